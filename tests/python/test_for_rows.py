"""Any estimator over rows: the caller's kind of table, one by one the same, errors by row."""

import importlib
import os
import subprocess
import sys
import textwrap
from collections.abc import Callable
from typing import Any

import numpy as np
import pandas as pd
import polars as pl
import pytest

import mountwright as mw

JOINT: dict[str, Any] = {"a": "abs", "b": "abs", "adhesive": "epoxy-30min"}
AREAS = [20.0, 50.0, 75.0]

# One row of each estimator that answers with numbers, as keywords that differ and keywords alike.
ESTIMATORS: list[tuple[Callable[..., Any], dict[str, Any], dict[str, Any]]] = [
    (mw.joint, {"area": "20 cm2"}, JOINT),
    (mw.finish, {"area": "200 cm2"}, {"kind": "textured", "material": "abs"}),
    (mw.belongs, {"sun": "hot"}, {"material": "abs", "place": "upper-pillar"}),
    (
        mw.check_strap,
        {"thickness": "3 mm"},
        {
            "material": "abs",
            "tab_length": "30 mm",
            "tab_width": "24 mm",
            "carried": "60 g",
            "place": "upper-pillar",
        },
    ),
    (
        mw.check_panel,
        {"width": "300 mm"},
        {"material": "abs", "height": "200 mm", "thickness": "3 mm", "place": "cabin-air"},
    ),
    (
        mw.check_ring,
        {"web": "20 mm"},
        {
            "material": "hdpe",
            "thickness": "12 mm",
            "driver_mass": "900 g",
            "vehicle_circle": "170 mm",
        },
    ),
    (
        mw.pressed_pod,
        {"thickness": "3 mm"},
        {
            "name": "dome",
            "solid": "cylinder",
            "sizes": {"diameter": "80 mm", "depth": "30 mm"},
        },
    ),
    (mw.pot_life, {"mass": "20 g"}, {"adhesive": "epoxy-30min"}),
    (mw.material_at, {"temperature": "80 °C"}, {"name": "abs"}),
    (mw.cabin_temperature, {"sun": "hot"}, {"place": "dash-top"}),
    (mw.template_sizes, {"hole": "120 mm"}, {"bushing": "16 mm", "bit": "6.35 mm"}),
    (
        mw.recipe,
        {"thickness": "3 mm"},
        {"material": "abs", "heat": mw.Heat.given(45, "260 °C"), "back": "same heat"},
    ),
]


@pytest.mark.parametrize(
    ("estimator", "row", "same"), ESTIMATORS, ids=lambda e: getattr(e, "__name__", "")
)
def test_every_estimator_takes_scalars_arrays_and_frames(
    estimator: Callable[..., Any], row: dict[str, Any], same: dict[str, Any]
) -> None:
    one = mw.for_rows(estimator, row, **same)
    assert one["error"] is None
    many = {name: [value] * 3 for name, value in row.items()}
    arrays = mw.for_rows(estimator, many, **same)
    pandas = mw.for_rows(estimator, pd.DataFrame(many, index=["x", "y", "z"]), **same)
    polars = mw.for_rows(estimator, pl.DataFrame(many), **same)
    assert list(one) == list(arrays) == list(pandas.columns) == list(polars.columns)
    assert list(one)[-2:] == ["notes", "error"]
    assert len(one) > 2
    assert pandas.index.tolist() == ["x", "y", "z"]
    for name, value in one.items():
        alike = value == value  # NaN stands for never
        for found in (arrays[name][2], pandas[name].iloc[2]):
            assert found == value if alike else found != found, name
        assert polars[name][2] == (value if alike else None), name


def test_rows_are_the_answers_one_by_one() -> None:
    found = mw.for_rows(mw.joint, {"area_cm2": AREAS}, **JOINT)
    for i, area in enumerate(AREAS):
        one = mw.joint(area=f"{area} cm2", **JOINT)
        assert found["handling_s"][i] == one.handling_s
        assert found["amount_net_m3"][i] == one.amount.net_m3
        assert found["allowable_n"][i] == one.allowable_n
        assert found["adhesive"][i] == one.adhesive


def test_arrays_are_broadcast() -> None:
    grid = {"area_cm2": np.array([[20.0], [50.0]]), "gap_mm": [0.1, 0.2, 0.4]}
    found = mw.for_rows(mw.joint, grid, **JOINT)
    assert found["amount_net_m3"].shape == (2, 3)
    # A layer's volume is its area times its gap.
    assert found["amount_net_m3"][1, 2] == pytest.approx(50e-4 * 0.4e-3)


@pytest.mark.parametrize(
    ("column", "value"),
    [("service_k", 333.15), ("service_c", 60.0), ("service_f", 140.0), ("service", "60 °C")],
)
def test_an_ending_says_the_unit(column: str, value: Any) -> None:
    found = mw.for_rows(mw.joint, {column: [value]}, area="20 cm2", **JOINT)
    one = mw.joint(area="20 cm2", service="60 °C", **JOINT)
    assert found["strength_value_pa"][0] == pytest.approx(one.strength.value_pa, rel=1e-9)


def test_checks_give_their_figures_and_verdicts() -> None:
    ring: dict[str, Any] = ESTIMATORS[5][2]
    found = mw.for_rows(mw.check_ring, {"web_mm": [4.0, 20.0]}, **ring)
    one = mw.check_ring(web="4.0 mm", **ring)
    assert found["worst"][0] == one.worst
    told = {name for name in found if name.endswith("_verdict")}
    assert len(told) == len({check.name for check in one})


def test_a_row_that_cannot_be_is_raised_or_marked() -> None:
    rows = pd.DataFrame(
        {"area_cm2": [20.0, -1.0, np.nan, 50.0], "adhesive": ["epoxy-30min"] * 3 + ["epoxi"]},
        index=[7, 8, 9, 10],
    )
    same: dict[str, Any] = {"a": "abs", "b": "abs"}
    with pytest.raises(mw.MountwrightError, match="row 1: "):
        mw.for_rows(mw.joint, rows, **same)
    found = mw.for_rows(mw.joint, rows, on_error="mark", **same)
    assert found["error"].isna().tolist() == [True, False, False, False]
    assert "missing" in found["error"][9]
    assert "epoxi" in found["error"][10]
    assert found["handling_s"].isna().tolist() == [False, True, True, True]
    # A text that is missing is left to its default.
    rest = mw.for_rows(mw.joint, {"area_cm2": [20.0, 20.0], "gap": [None, "0.3 mm"]}, **JOINT)
    assert rest["amount_net_m3"][0] == mw.joint(area="20 cm2", **JOINT).amount.net_m3


def test_nullable_columns_of_pandas_are_numbers_and_texts() -> None:
    rows = pd.DataFrame(
        {
            "area_cm2": pd.array([20, None, 50], dtype="Int64"),
            "gap": pd.array(["0.2 mm", "0.2 mm", None], dtype="string"),
        }
    )
    found = mw.for_rows(mw.joint, rows, on_error="mark", **JOINT)
    assert found["error"].isna().tolist() == [True, False, True]
    thick = pd.DataFrame({"thickness_m": pd.array([3e-3, None], dtype="Float64")})
    heat = mw.Heat.given(45, "260 °C")
    many = mw.recipes(thick, material="abs", heat=heat, back="same heat", on_error="mark")
    assert many["error"].isna().tolist() == [True, False]


def test_a_value_of_the_wrong_kind_is_an_error_of_its_row() -> None:
    rows = {"area": ["20 cm2", 3.0, "30 cm2"]}
    with pytest.raises(mw.UnitError, match="row 1: "):
        mw.for_rows(mw.joint, rows, **JOINT)
    found = mw.for_rows(mw.joint, rows, on_error="mark", **JOINT)
    assert [e is None for e in found["error"]] == [True, False, True]
    assert "area 3" in found["error"][1]
    panel: dict[str, Any] = ESTIMATORS[4][2] | {"width": "300 mm"}
    found = mw.for_rows(mw.check_panel, {"screws": [4, -1, 2.5]}, on_error="mark", **panel)
    assert [e is None for e in found["error"]] == [True, False, False]


@pytest.mark.parametrize(
    "counts",
    [
        pd.array([4, None, 6], dtype="Int64"),
        [4.0, np.nan, 6.0],
        np.ma.masked_array([4, 5, 6], mask=[False, True, False]),
    ],
)
def test_counts_with_a_gap_are_counts(counts: Any) -> None:
    panel: dict[str, Any] = ESTIMATORS[4][2] | {"width": "300 mm"}
    rows = {"screws": counts}
    table = rows if isinstance(counts, np.ma.MaskedArray) else pd.DataFrame(rows)
    found = mw.for_rows(mw.check_panel, table, on_error="mark", **panel)
    assert [e is None for e in found["error"]] == [True, False, True]
    assert found["worst"][2] == mw.check_panel(screws=6, **panel).worst


@pytest.mark.parametrize(
    ("rows", "more", "fault"),
    [
        ({}, {}, mw.ShapeError),
        ({"area_cm2": [1.0, 2.0], "gap_mm": [1.0] * 3}, {}, mw.ShapeError),
        ({"area_cm2": [1.0], "area": ["1 cm2"]}, {}, mw.ShapeError),
        ({"area_cm2": [1.0]}, {"area": "3 cm2"}, mw.ShapeError),
        ({"area_cm2": [1.0]}, {"gapp": "1 mm"}, mw.UnknownNameError),
        ({"area_cm2": [1.0 + 1j]}, {}, mw.ShapeError),
        (pl.LazyFrame({"area_cm2": [1.0]}), {}, mw.ShapeError),
        (pd.DataFrame([[1.0, 2.0]], columns=["area_cm2"] * 2), {}, mw.ShapeError),
        ({"aera_cm2": [1.0]}, {}, mw.UnknownNameError),
        ({"area_furlong": [1.0]}, {}, mw.UnknownNameError),
        ({"area_cm2": [1.0]}, {"on_error": "skip"}, mw.UnknownNameError),
        ([1, 2], {}, TypeError),
    ],
)
def test_a_table_that_is_none_is_refused(
    rows: Any, more: dict[str, Any], fault: type[Exception]
) -> None:
    with pytest.raises(fault):
        mw.for_rows(mw.joint, rows, **JOINT, **more)


def test_an_unknown_column_names_the_nearest_argument() -> None:
    with pytest.raises(mw.UnknownNameError, match="nearest: area"):
        mw.for_rows(mw.joint, {"aera_cm2": [1.0]}, **JOINT)


def test_a_missing_argument_is_told_with_its_row() -> None:
    with pytest.raises(mw.ShapeError, match="row 0: b is missing"):
        mw.for_rows(mw.joint, {"area_cm2": [1.0]}, a="abs")


@pytest.mark.parametrize(
    ("estimator", "row", "same"), ESTIMATORS, ids=lambda e: getattr(e, "__name__", "")
)
def test_no_rows_have_the_columns_of_one(
    estimator: Callable[..., Any], row: dict[str, Any], same: dict[str, Any]
) -> None:
    one = pd.DataFrame(
        {name: [value] for name, value in row.items()}, index=pd.Index([7], name="n")
    )
    full, none = (mw.for_rows(estimator, rows, **same) for rows in (one, one.iloc[:0]))
    assert len(none) == 0
    assert list(none.columns) == list(full.columns)
    assert none.index.name == "n"
    numbers = [name for name in full.columns if pd.api.types.is_numeric_dtype(full[name])]
    assert numbers
    assert none.dtypes.equals(full.dtypes)
    polars = mw.for_rows(estimator, pl.DataFrame(one).clear(), **same)
    assert polars.height == 0
    assert polars.columns == list(full.columns)
    assert all(
        polars[name].dtype.is_float() or polars[name].dtype == pl.Boolean for name in numbers
    )
    assert not any(polars[name].dtype.is_numeric() for name in ("notes", "error"))


def test_a_column_of_numbers_without_rows_has_the_columns_of_one() -> None:
    full = mw.for_rows(mw.joint, pd.DataFrame({"area_cm2": [20.0]}), **JOINT)
    none = mw.for_rows(mw.joint, pd.DataFrame({"area_cm2": pd.Series([], dtype=float)}), **JOINT)
    pd.testing.assert_frame_equal(none, full.iloc[:0], check_index_type=False)
    arrays = mw.for_rows(mw.joint, {"area_cm2": np.array([])}, **JOINT)
    assert {values.shape for values in arrays.values()} == {(0,)}
    assert list(arrays) == list(full.columns)


def test_a_function_of_ones_own_is_not_asked_without_rows() -> None:
    def mine(area: str) -> float:
        raise AssertionError(area)

    found = mw.for_rows(mine, pd.DataFrame({"area": []}))
    assert list(found.columns) == ["notes", "error"]


def test_a_programming_error_is_not_hidden() -> None:
    def broken(area: str) -> float:
        raise RuntimeError(area)

    with pytest.raises(RuntimeError, match="x") as caught:
        mw.for_rows(broken, {"area": ["x", "y"]}, on_error="mark")
    assert caught.value.__notes__ == ["in row 0"]


def test_progress_rises_to_one(capfd: pytest.CaptureFixture[str]) -> None:
    seen: list[float] = []
    mw.for_rows(mw.joint, {"area_cm2": np.linspace(1, 90, 300)}, progress=seen.append, **JOINT)
    assert seen == sorted(seen)
    assert seen[-1] == 1.0
    mw.for_rows(mw.joint, {"area_cm2": AREAS}, progress=True, **JOINT)
    assert "joint: 100%" in capfd.readouterr().err


def test_ctrl_c_is_heard() -> None:
    program = """
        import os, signal, threading, time
        import mountwright as mw
        sent = []
        def send():
            time.sleep(0.7)
            sent.append(time.monotonic())
            os.kill(os.getpid(), signal.SIGINT)
        threading.Thread(target=send, daemon=True).start()
        rows = {"area_cm2": [20.0] * 300_000}
        try:
            mw.for_rows(mw.joint, rows, a="abs", b="abs")
        except KeyboardInterrupt:
            print(time.monotonic() - sent[0])
    """
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(program)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    # 0.05 s of listening and one row, each thread waiting its turn where cores are busy.
    busy = max(os.getloadavg()[0] / (os.cpu_count() or 1), 1.0)
    assert float(done.stdout) < 0.3 * busy


@pytest.mark.filterwarnings("default")  # of the cluster's own libraries
def test_a_frame_goes_over_a_cluster() -> None:
    """The recipe of the guide on tables, on a small frame; a million rows go the same way."""
    dd = importlib.import_module("dask.dataframe")
    distributed = importlib.import_module("dask.distributed")
    heat = mw.Heat.given(45, "260 °C")
    frame = pd.DataFrame(
        {"thickness_m": np.linspace(2e-3, 4e-3, 400)}, index=pd.RangeIndex(5, 405, name="blank")
    )
    rows = dd.from_pandas(frame, npartitions=4)
    asked: dict[str, Any] = {"material": "abs", "back": "same heat", "on_error": "mark"}
    meta = mw.recipes(frame.iloc[:0], heat=heat, **asked)
    with (
        distributed.LocalCluster(
            n_workers=2, threads_per_worker=1, dashboard_address=":0"
        ) as cluster,
        distributed.Client(cluster),
    ):
        found = rows.map_partitions(mw.recipes, heat=heat, meta=meta, **asked).compute()
    pd.testing.assert_frame_equal(found, mw.recipes(frame, heat=heat, **asked), check_dtype=False)


def test_a_table_whose_rows_all_fail_keeps_its_columns() -> None:
    good = mw.for_rows(
        mw.joint, {"area": ["20 cm2"], "adhesive": ["epoxy-30min"]}, a="abs", b="abs"
    )
    bad = mw.for_rows(
        mw.joint,
        {"area": ["x", "y"], "adhesive": ["epoxy-30min"] * 2},
        a="abs",
        b="abs",
        on_error="mark",
    )
    assert list(bad) == list(good)
    assert all(bad["error"])
    assert np.isnan(bad["handling_s"]).all()


def test_an_own_functions_division_by_zero_marks_its_row() -> None:
    def inverse(x: float) -> float:
        return 1 / x

    found = mw.for_rows(inverse, {"x": [2.0, 0.0]}, on_error="mark")
    assert found["result"][0] == 0.5
    assert "ZeroDivisionError" in found["error"][1]
    with pytest.raises(ZeroDivisionError):
        mw.for_rows(inverse, {"x": [2.0, 0.0]})


def test_a_fault_of_an_own_function_passes_on_with_its_row() -> None:
    def refused(x: float) -> float:
        if x > 1:
            raise mw.MountwrightError("too far")
        raise ValueError("a slip")

    with pytest.raises(ValueError, match="slip") as caught:
        mw.for_rows(refused, {"x": [2.0, 2.0, 1.0]}, on_error="mark")
    assert caught.value.__notes__ == ["in row 2"]
    found = mw.for_rows(refused, {"x": [2.0]}, on_error="mark")
    assert found["error"][0] == "too far"


def test_a_unit_is_not_said_twice() -> None:
    plain, said = (
        mw.for_rows(mw.joint, {name: [area]}, adhesive="epoxy-30min", a="abs", b="abs")[
            "handling_s"
        ]
        for name, area in (("area", "20 cm2"), ("area_cm2", "20 cm2"))
    )
    assert plain == said
