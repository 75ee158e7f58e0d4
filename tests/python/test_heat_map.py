"""Working-range maps: their zones are what the recipes say, and the picture is well formed."""

import pickle
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import mountwright as mw
from mountwright.heat_draw import outlines

GUN = mw.HotAirGun("300 °C", "300 L/min")
STRAP: dict[str, Any] = {"thickness": "3 mm", "back": "turned every 8 s"}


@pytest.fixture(scope="module")
def over_time() -> mw.WorkingRange:
    return mw.distance_time_map("expanded-pvc", gun=GUN, points=(24, 60), **STRAP)


@pytest.fixture(scope="module")
def over_settings() -> mw.WorkingRange:
    return mw.setting_distance_map("expanded-pvc", gun=GUN, points=(10, 9), **STRAP)


def test_zones_over_time_are_what_the_recipes_say(over_time: mw.WorkingRange) -> None:
    assert over_time.time_s is not None
    assert over_time.setting_k is None
    for i in range(0, over_time.distance_m.size, 5):
        far = f"{over_time.distance_m[i]} m"
        r = mw.recipe("expanded-pvc", heat=GUN.at(far), width="60 mm", **STRAP)
        for j in range(0, over_time.time_s.size, 3):
            t = over_time.time_s[j]
            word = over_time.zones[over_time.zone[i, j]]
            if r.closes_s is not None and t >= r.closes_s:
                assert word == "overheated"
            elif r.opens_s is None or t < r.opens_s:
                assert word == "too cold"
            else:
                assert word in ("workable", "fumes")


def test_zones_over_settings_are_what_the_recipes_say(over_settings: mw.WorkingRange) -> None:
    assert over_settings.setting_k is not None
    for i in range(0, 10, 3):
        for j in range(0, 9, 4):
            gun = mw.HotAirGun(f"{over_settings.setting_k[i]} K", "300 L/min")
            heat = gun.at(f"{over_settings.distance_m[j]} m")
            r = mw.recipe("expanded-pvc", heat=heat, width="60 mm", **STRAP)
            word = over_settings.zones[over_settings.zone[i, j]]
            if r.has_window:
                assert word in ("workable", "fumes")
            else:
                assert word == ("too cold" if r.closes_s is None else "overheated")


def test_a_sheet_goes_from_cold_to_workable_to_overheated(over_time: mw.WorkingRange) -> None:
    assert (over_time.zone[:, 0] == 0).all()
    # Along each row the zones only rise.
    assert (np.diff(over_time.zone.astype(int), axis=1) >= 0).all()
    assert sum(over_time.share().values()) == pytest.approx(1)


def test_a_map_is_frozen_and_survives_a_pickle(over_time: mw.WorkingRange) -> None:
    again = pickle.loads(pickle.dumps(over_time))
    assert again == over_time
    assert hash(again) == hash(over_time)
    with pytest.raises(ValueError, match="read-only"):
        over_time.zone[0, 0] = 3
    with pytest.raises(AttributeError):
        over_time.title = "x"
    assert over_time.to_dict()["zones"][1] == "workable"
    assert over_time != over_time.to_dict()


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_picture_has_colours_hatching_words_and_cautions(
    over_time: mw.WorkingRange, over_settings: mw.WorkingRange, tmp_path: Path, units: Any
) -> None:
    for found in (over_time, over_settings):
        path = found.write(tmp_path / "map.svg", units=units)
        text = path.read_text(encoding="utf-8")
        ET.fromstring(text)
        for word in found.zones:
            assert word in text
        assert text.count("<pattern") >= 3
        assert "Extract fumes" in text
        assert (" in</text>" in text) == (units == "inch")
        assert found.svg(units=units) == text
    assert over_time.svg() in over_time._repr_html_()


def test_outlines_hold_the_area_that_they_trace() -> None:
    """A disc on a grid of cells: area by the shoelace rule, against that of the circle."""
    size, radius = 81, 30.0
    y, x = np.mgrid[:size, :size] - (size - 1) / 2
    loops = outlines(x**2 + y**2 < radius**2)
    assert len(loops) == 1
    points = np.array(loops[0])
    a, b = points, np.roll(points, -1, axis=0)
    area = abs(np.sum(a[:, 0] * b[:, 1] - b[:, 0] * a[:, 1])) / 2
    # Smoothing may move the border by a fraction of a cell: 2 π r of them.
    assert area == pytest.approx(np.pi * radius**2, abs=0.5 * 2 * np.pi * radius)


def test_outlines_of_random_areas_close() -> None:
    rng = np.random.default_rng(3)
    for _ in range(50):
        mask = rng.random((rng.integers(1, 12), rng.integers(1, 12))) < rng.random()
        for loop in outlines(mask):
            assert len(loop) >= 4


@pytest.mark.parametrize(
    ("more", "fault"),
    [
        ({"distances": "30 mm"}, mw.UnitError),
        ({"distances": "30 mm to x"}, mw.UnitError),
        ({"distances": "0 mm to 300 mm"}, mw.OutOfRangeError),
        ({"times": "-5 s to 10 s"}, mw.OutOfRangeError),
        ({"points": 5000}, mw.ShapeError),
        ({"patch": "60 mm"}, mw.UnitError),
        ({"back": "closed"}, mw.UnknownNameError),
        ({"thickness": "0 mm"}, mw.OutOfRangeError),
    ],
)
def test_what_cannot_be_is_refused(more: dict[str, Any], fault: type[Exception]) -> None:
    with pytest.raises(fault):
        mw.distance_time_map("abs", gun=GUN, **{**STRAP, "points": 4, **more})


def test_a_list_of_texts_is_an_axis() -> None:
    found = mw.distance_time_map(
        "abs", gun=GUN, distances=["50 mm", "4 in"], times=["10 s", "1 min"], **STRAP
    )
    assert found.distance_m.tolist() == pytest.approx([0.05, 0.1016])
    assert found.zone.shape == (2, 2)
