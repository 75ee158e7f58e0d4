"""Materials at the border, and against a second library's tables."""

import pickle
import sys
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import ht
import pytest

import mountwright as mw

# DIN EN 12524:2000 as `ht` prints it: density, conductivity, heat capacity, all SI.
TABLE = ht.insulation.building_materials
PLASTICS = {
    "rigid-pvc": "Plastics, Polyvinylchloride (PVC)",
    "pmma-cast": "Plastics, polymethylmethacrylate (PMMA)",
    "pmma-extruded": "Plastics, polymethylmethacrylate (PMMA)",
    "pc": "Plastics, polycarbonates",
    "hips": "Plastics, polystyrene",
    "pp": "Plastics, polypropylene",
    "pe-foam": "Sealant, polyethylene foam",
    "aluminium": "Metals, aluminium alloys",
    "steel": "Metals, steel",
}

OWN = """schema = 1
[sources.own-scale]
author = "an invented shop"
title = "weighed offcuts"
how = "measured"
[materials.abs.properties]
density = { value = 1060, low = 1055, high = 1065, unit = "kg/m3",
            standing = "measured-by-shop", source = "own-scale" }
""".replace(",\n            ", ", ")


@pytest.mark.parametrize(("name", "row"), PLASTICS.items())
def test_a_second_table_lies_inside_the_range(name: str, row: str) -> None:
    material = mw.material(name)
    density, conductivity, capacity = TABLE[row]
    # Half of the last digit that the standard prints.
    for ours, printed, half in (
        (material.density, density, 5.0),
        (material.conductivity, conductivity, 0.005),
        (material.heat_capacity, capacity, 50.0),
    ):
        assert ours.low - half <= printed <= ours.high + half


def test_a_number_carries_its_provenance() -> None:
    limp = mw.material("ABS").limp
    assert limp.low <= limp.value <= limp.high
    assert limp.unit == "K"
    assert limp.standing == "published"
    assert limp.origin == "standard catalogue"
    assert limp.source


def test_names_are_forgiving_and_a_miss_names_the_nearest() -> None:
    assert mw.material("Foamed_PVC").name == "expanded-pvc"
    with pytest.raises(mw.UnknownNameError) as caught:
        mw.material("polycarbonat")
    assert caught.value.near[0] == "polycarbonate"
    with pytest.raises(AttributeError):
        _ = mw.material("abs").vikat
    with pytest.raises(mw.UnknownNameError):
        mw.materials(role="sheets")  # type: ignore[arg-type]


def test_a_file_of_ones_own_replaces_a_property_and_keeps_its_origin(tmp_path: Path) -> None:
    path = tmp_path / "own.toml"
    path.write_text(OWN, encoding="utf-8")
    density = mw.material("abs", file=str(path)).density
    assert (density.value, density.origin) == (1060.0, str(path))
    assert mw.material("abs").density.value == 1040.0
    path.write_text(OWN.replace("kg/m3", "mm"), encoding="utf-8")
    with pytest.raises(mw.JobError) as caught:
        mw.material("abs", file=str(path))
    problem = caught.value.problems[0]
    assert problem.line == 7
    assert problem.field == "materials.abs.properties.density"
    with pytest.raises(FileNotFoundError):
        mw.material("abs", file=str(tmp_path / "none.toml"))


def test_filters_answer_the_questions_of_the_shop() -> None:
    # 95 °C for long, with 10 K to spare.
    hot = [m.name for m in mw.materials(role="sheet", softens_above="105 °C")]
    assert hot == ["pc", "pmma-cast", "pp"]
    # The makers of two of them name a steady limit below that: 80 °C cast acrylic, 100 °C PP.
    assert [m.name for m in mw.materials(role="sheet", survives="95 °C")] == ["pc"]
    # "Formable under 120 °C": only the low-temperature sheet; solid PVC and PETG draw from 122 °C.
    assert [m.name for m in mw.materials(formable_at="120 °C", role="sheet")] == ["pcl"]
    assert "abs" in [m.name for m in mw.materials(role="sheet", formable_at="140 °C")]
    limp = {m.name for m in mw.materials(role="sheet", limp_at="120 °C")}
    assert {"rigid-pvc", "petg", "pcl"} <= limp
    assert "pc" not in limp
    assert all(m.stock is not None for m in mw.materials(stocked="1/8 in"))
    with pytest.raises(mw.UnitError):
        mw.materials(limp_at="120")


def test_materials_print_and_convert() -> None:
    sheets = mw.materials(role="sheet")
    text = str(sheets)
    assert text.splitlines()[0].startswith("material")
    assert len(text.splitlines()) == len(sheets) + 1
    assert "<td>abs</td>" in sheets._repr_html_()
    columns = sheets.to_columns(bounds=True)
    assert {len(column) for column in columns.values()} == {len(sheets)}
    i = columns["material"].index("abs")
    assert columns["hdt_1820_k_low"][i] < columns["hdt_1820_k"][i]
    assert sheets["abs"] == mw.material("abs")
    assert sheets[0].name == columns["material"][0]
    with pytest.raises(KeyError):
        _ = sheets["steel"]
    abs_sheet = mw.material("abs")
    assert "caution: extract" in str(abs_sheet)
    assert "93 (80 to 104) °C" in abs_sheet._repr_html_()
    assert "limp" in dir(abs_sheet)
    assert pickle.loads(pickle.dumps(abs_sheet)) == abs_sheet


def test_a_frame_comes_from_whichever_library_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    sheets = mw.materials(role="sheet")
    frame = sheets.to_frame("polars", bounds=True)
    assert frame["material"].to_list() == [m.name for m in sheets]
    assert frame.filter(frame["material"] == "abs")["density_kg_m3"].item() == 1040.0
    columns: dict[str, list[object]] = {}

    class Frame:
        def __init__(self, data: dict[str, list[object]]) -> None:
            columns.update(data)

        def set_index(self, name: str) -> str:
            return name

    monkeypatch.setitem(sys.modules, "pandas", SimpleNamespace(DataFrame=Frame))
    assert sheets.to_frame() == sheets.to_frame("pandas") == "material"
    assert "density_kg_m3" in columns
    monkeypatch.setitem(sys.modules, "pandas", None)
    assert sheets.to_frame().shape == (len(sheets), len(sheets.to_columns()))
    monkeypatch.setitem(sys.modules, "polars", None)
    with pytest.raises(ImportError, match="frames"):
        sheets.to_frame()


def test_pandas_and_polars_hold_the_same_numbers() -> None:
    sheets = mw.materials(role="sheet")
    pandas, polars = sheets.to_frame("pandas"), sheets.to_frame("polars")
    assert pandas.loc["abs", "density_kg_m3"] == 1040.0
    assert list(pandas.index) == polars["material"].to_list()
    assert pandas["limp_k"].to_list() == polars["limp_k"].to_list()
    # What a shop asks of a frame: hot ones by their own softening test.
    assert set(pandas[pandas["hdt_1820_k"] > 400].index) == {"pc"}


def test_a_hot_material_is_softer() -> None:
    cold, hot = mw.material_at("abs", "23 °C"), mw.material_at("abs", "90 °C")
    assert cold.modulus_pa is not None
    assert hot.modulus_pa is not None
    assert hot.modulus_pa < cold.modulus_pa
    assert mw.material_at("pe-foam", "23 °C").modulus_pa is None
    with pytest.raises(mw.OutOfRangeError):
        mw.material_at("abs", "500 °C")


def test_a_measured_sheet_takes_the_place_of_the_generic() -> None:
    own = mw.measured_sheet(
        "expanded-pvc",
        name="rack 3",
        thickness="3.1 mm ± 0.05 mm",
        mass="186 g",
        area="0.1 m2",
        square_before="100 mm",
        square_after="97 mm",
        film=True,
    )
    # 186 g over 0.1 m² and 3.1 mm.
    assert own.material.density.value == pytest.approx(600.0, rel=1e-12)
    assert own.material.heated_shrinkage.value == pytest.approx(0.03, rel=1e-9)
    assert own.material.conductivity.standing == "derived"
    assert own.thickness.source == "measured by the shop"
    assert any("film" in note.text for note in own.notes)
    with pytest.raises(mw.ShapeError):
        mw.measured_sheet("abs", name="x", thickness="3 mm", mass="1 g")
    with pytest.raises(mw.OutOfRangeError):
        mw.measured_sheet("abs", name="x", thickness="3 mm", mass="9 kg", area="1 cm2")


def test_the_report_counts_standings() -> None:
    report = mw.material_provenance(["abs", "steel"])
    assert {row.of for row in report.entries} == {"abs", "steel"}
    assert "published" in str(report).splitlines()[0]
    assert sum(report.counts.to_dict().values()) == len(report.entries)
    assert "<td>abs: limp</td>" in report._repr_html_()


def test_ranking_gives_reasons_and_refuses_nonsense() -> None:
    good: dict[str, Any] = {
        "material": "pc",
        "formed": True,
        "window_s": 20.0,
        "softening_k": 407.0,
        "service_k": 353.0,
        "margin_k": 25.0,
        "modulus_pa": 1.8e9,
        "bond_fraction": 0.7,
        "price": 9.0,
        "fumes": 2,
        "dried": True,
    }
    never = good | {"material": "abs", "window_s": None}
    first, last = mw.rank_materials([never, good])
    assert (first.material, last.material) == ("pc", "abs")
    assert "never opens" in last.against[0]
    fails = good | {"material": "petg", "fails": ["door slam, hot"]}
    assert "door slam" in mw.rank_materials([fails])[0].against[0]
    buy = good | {"price": None, "thickness_m": 3e-3, "supply": "to buy"}
    (told,) = mw.rank_materials([buy])
    assert (told.thickness_m, told.supply) == (3e-3, "to buy")
    assert any("no price" in reason.text for reason in told.reasons)
    assert len(first.reasons) == 6
    with pytest.raises(mw.OutOfRangeError):
        mw.rank_materials([good | {"price": float("nan")}])
    with pytest.raises(mw.OutOfRangeError):
        mw.rank_materials(
            [good],
            weights=dict.fromkeys(
                ("forming", "service", "stiffness", "bond", "price", "hazards"), 0.0
            ),
        )


def test_sheets_that_must_be_bought_are_ranked_beside_those_of_the_shop() -> None:
    job, shop = mw.Job.read("demo-data/pillar-pods.toml"), mw.Shop.read("demo-data/shop.toml")
    choice = mw.plan(job, shop=shop, draws=0).choices[0]
    assert isinstance(choice, mw.Choice)
    supplies = {(sheet.material, sheet.supply) for sheet in choice.ranked}
    assert ("abs", "in the rack") in supplies
    assert ("pc", "to order from the shop's list") in supplies
    assert ("petg", "not in the rack: to buy") in supplies
    text = str(choice)
    assert text.startswith("left pod: asked for abs\nsheet")
    assert "softens" in text
    assert all(len(line) < 100 for line in text.splitlines())
    assert "<td>not in the rack: to buy</td>" in choice._repr_html_()


def test_a_materials_file_reaches_a_comparison(tmp_path: Path) -> None:
    job, shop = mw.Job.read("demo-data/pillar-pods.toml"), mw.Shop.read("demo-data/shop.toml")
    own = tmp_path / "own.toml"
    own.write_text(
        OWN.split("[materials")[0] + "[materials.abs.properties]\n"
        'max_service = { value = 40, low = 40, high = 40, unit = "°C", '
        'standing = "invented", source = "own-scale" }\n',
        encoding="utf-8",
    )
    ways = {"bare": {"finish": "bare"}}
    plain = mw.compare(job, shop=shop, ways=ways, draws=0)
    found = mw.compare(job, shop=shop, ways=ways, materials=own, draws=0)
    # Its maker rates it for less than a parked car: marginal.
    assert not any("maker" in told for told in plain.ways[1].marginal)
    assert any("maker" in told for told in found.ways[1].marginal)
