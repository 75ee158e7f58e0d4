"""Quantities, arrays and records at the border."""

import copy
import pickle
from typing import Any

import numpy as np
import pytest

import mountwright as mw

# Exact factors of the inch and the Fahrenheit scale: NIST SP 811 (2008), appendix B.8.
INCH_M = 0.0254
FREEZING_K = 273.15


def test_shop_units_become_si() -> None:
    assert mw.quantity("1/8 in", "length").value == pytest.approx(INCH_M / 8, rel=1e-15)
    assert mw.quantity("32 °F", "temperature").value == pytest.approx(FREEZING_K, rel=1e-15)


@pytest.mark.parametrize("text", ["3", "", "NaN mm", "inf mm", "3 °C", "1e999 mm", "3 mm\0"])
def test_wrong_text_is_a_unit_error(text: str) -> None:
    with pytest.raises(mw.UnitError) as caught:
        mw.quantity(text, "length", what="thickness")
    assert caught.value.what == "thickness"


def test_unknown_dimension_names_the_nearest() -> None:
    with pytest.raises(mw.UnknownNameError) as caught:
        mw.quantity("3 mm", "lenght")  # type: ignore[arg-type]
    assert caught.value.near[0] == "length"


def test_a_wrong_row_is_named() -> None:
    with pytest.raises(mw.UnitError, match=r"thickness\[1\]"):
        mw.quantities(["3 mm", "4"], "length", what="thickness")
    with pytest.raises(mw.UnitError, match="no uncertainty"):
        mw.quantities(["3 mm ± 1 mm"], "length")


def test_empty_array_stays_empty() -> None:
    assert mw.quantities([], "length").shape == (0,)


@pytest.mark.parametrize("dtype", ["float64", "float32", "int64"])
def test_arrays_of_any_number_type_are_shown(dtype: str) -> None:
    assert mw.show(np.array([1, 2], dtype=dtype), "time", digits=0) == ["1 s", "2 s"]


def test_a_python_type_that_is_no_number_is_a_type_error() -> None:
    with pytest.raises(TypeError):
        mw.show({}, "length")  # type: ignore[call-overload]


def test_too_many_digits_are_refused() -> None:
    with pytest.raises(mw.OutOfRangeError) as caught:
        mw.show(1.0, "length", digits=10**6)
    assert caught.value.allowed == (0, 12)


def test_records_are_frozen_equal_and_pickle() -> None:
    record = mw.quantity("47 mm ± 1 mm", "length")
    assert isinstance(record, mw.Measure)
    for twin in (pickle.loads(pickle.dumps(record)), copy.copy(record), copy.deepcopy(record)):
        assert twin == record
        assert hash(twin) == hash(record)
    assert mw.Record(record.to_dict()) != record
    assert {"value", "plus_minus"} <= set(dir(record))
    with pytest.raises(AttributeError, match="frozen"):
        record.value = 1.0
    with pytest.raises(AttributeError, match="no field"):
        _ = record.depth


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"a": 1}, {"a": 1.0}),
        ({"a": 0.0}, {"a": -0.0}),
        ({"a": {"b": [1, 2.0]}, "c": None}, {"c": None, "a": {"b": [1.0, 2]}}),
    ],
)
def test_records_that_are_equal_hash_alike(one: dict[str, Any], other: dict[str, Any]) -> None:
    assert mw.Record(one) == mw.Record(other)
    assert hash(mw.Record(one)) == hash(mw.Record(other))
    assert len({mw.Record(one), mw.Record(other)}) == 1


def test_html_of_a_record_escapes_its_text() -> None:
    page = mw.Record({"<name>": "<script>"})._repr_html_()
    assert "<script>" not in page
    assert "&lt;script&gt;" in page
