"""Layouts: measured with shapely on random jobs, held at the interface, stopped and watched."""

import _thread
import math
import random
import threading
import time
from typing import Any

import pytest
from shapely import affinity
from shapely.geometry import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

import mountwright as mw

# A disc as a polygon of this many sides a quarter lies inside the circle by 1 - cos(pi / 4n).
SIDES = 256
# Shapes are placed by binary fractions of a metre, rounded outwards to whole micrometres; discs are
# polygons within 5e-6 of their radius, which is at most 0.1 m here.
HAIR_M = 3e-6

Blank = dict[str, Any]


def shape(blank: Blank) -> BaseGeometry:
    def metres(key: str) -> float:
        return mw.quantity(blank[key], "length").value

    if "width" in blank:
        return box(0, 0, metres("width"), metres("height"))
    if "diameter" in blank:
        outside = Point(0, 0).buffer(metres("diameter") / 2, quad_segs=SIDES)
        hole = (
            Point(0, 0).buffer(metres("hole") / 2, quad_segs=SIDES) if "hole" in blank else Point()
        )
        return outside.difference(hole)
    return Polygon(blank["outline_m"], blank.get("holes_m"))


def laid(blanks: list[Blank], used: mw.Record) -> list[BaseGeometry]:
    shapes = {b["name"]: shape(b) for b in blanks}
    out = []
    for placed in used.placements:
        part = shapes[placed.part]
        if placed.flipped:
            part = affinity.scale(part, xfact=-1, yfact=1, origin=(0, 0))
        at = placed.placement
        part = affinity.rotate(part, at.turn_rad, origin=(0, 0), use_radians=True)
        out.append(affinity.translate(part, at.x_m, at.y_m))
    return out


def random_blanks(dice: random.Random) -> list[Blank]:
    blanks: list[Blank] = []
    for i in range(dice.randint(1, 5)):
        size = dice.uniform(40, 180)
        kind = dice.choice(["rectangle", "ring", "wedge", "corner"])
        blank: Blank = {
            "name": f"{kind} {i}",
            "quantity": dice.randint(1, 3),
            "turns": dice.choice(["none", "half", "quarter", "any"]),
            "may_flip": dice.random() < 0.5,
        }
        if kind == "rectangle":
            blank |= {"width": f"{size:.3f} mm", "height": f"{size * dice.uniform(0.2, 2):.3f} mm"}
        elif kind == "ring":
            blank |= {"diameter": f"{size:.3f} mm", "hole": f"{0.7 * size:.3f} mm"}
        else:
            corners = (
                [(0.0, 0.0), (2.0, 0.1), (2.0, 0.3), (0.0, 0.5)]
                if kind == "wedge"
                else [(0.0, 0.0), (1.0, 0.0), (1.0, 0.3), (0.3, 0.3), (0.3, 1.0), (0.0, 1.0)]
            )
            blank["outline_m"] = [(x * size / 1e3, y * size / 1e3) for x, y in corners]
        blanks.append(blank)
    return blanks


@pytest.mark.parametrize("seed", range(16))
def test_parts_keep_their_distances_by_shapely(seed: int) -> None:
    dice = random.Random(seed)
    blanks = random_blanks(dice)
    gap_mm, trim_mm = dice.uniform(0, 8), dice.uniform(0, 8)
    bad = (300.0, 200.0, 60.0, 40.0)
    corners = [(0.0, 0.0), (0.7, 0.0), (0.7, 0.2), (0.3, 0.25), (0.3, 0.6), (0.0, 0.6)]
    rack: list[dict[str, Any]] = [
        {
            "name": "sheet",
            "width": "900 mm",
            "height": "600 mm",
            "price": 20.0,
            "bad_areas": [tuple(f"{v} mm" for v in bad)],
        },
        {"name": "L", "outline_m": corners, "shelf_value": 1.0},
    ]
    layout = mw.lay_out(
        blanks,
        rack,
        method="cnc",
        kerf=f"{gap_mm:.3f} mm",
        spacing="0 mm",
        trim=f"{trim_mm:.3f} mm",
        seed=seed,
        effort=20_000,
    )
    gap, trim = round(gap_mm, 3) / 1e3, round(trim_mm, 3) / 1e3
    placed = 0
    for used in layout.sheets_used:
        sheet = (
            Polygon(corners)
            if used.stock == "L"
            else box(0, 0, 0.9, 0.6).difference(box(*(v / 1e3 for v in bad[:2]), 0.36, 0.24))
        )
        parts = laid(blanks, used)
        placed += len(parts)
        for i, part in enumerate(parts):
            assert sheet.buffer(HAIR_M).contains(part)
            assert sheet.exterior.distance(part) > trim - HAIR_M
            for other in parts[:i]:
                assert part.distance(other) > gap - HAIR_M
                assert part.intersection(other).area < 1e-9
        for kept in used.kept:
            a = kept.area
            rest: BaseGeometry = box(a.x_m, a.y_m, a.x_m + a.width_m, a.y_m + a.height_m)
            if kept.diameter_m is not None:
                centre = Point(a.x_m + a.width_m / 2, a.y_m + a.height_m / 2)
                rest = centre.buffer(kept.diameter_m / 2, quad_segs=SIDES)
            assert all(rest.intersection(p).area < 1e-9 for p in parts)
        area = sum(p.area for p in parts)
        assert area == pytest.approx(used.yield_fraction * sheet.area, rel=0.02)
    wanted = sum(b["quantity"] for b in blanks)
    assert placed + sum(u.copies for u in layout.unplaced) == wanted
    assert layout.bound <= layout.money.objective + 1e-9


def test_a_saw_cuts_from_edge_to_edge_in_order() -> None:
    layout = mw.lay_out(
        [
            {"name": "a", "width": "300 mm", "height": "200 mm", "quantity": 3},
            {"name": "b", "width": "120 mm", "height": "150 mm", "quantity": 4},
        ],
        [{"name": "sheet", "width": "1 m", "height": "600 mm", "price": 20.0}],
        method="saw",
    )
    steps = layout.sheets_used[0].steps
    assert [s.what for s in steps[:4]] == ["trim"] * 4
    length = sum(math.dist(s.from_m, s.to_m) for s in steps)
    assert layout.cut_length_m == pytest.approx(length)


def test_what_the_merchant_offers_is_weighed_with_freight_and_days() -> None:
    blanks = [{"name": "panel", "width": "500 mm", "height": "500 mm", "quantity": 2}]
    sheet = {"name": "sheet", "width": "1.22 m", "height": "2.44 m", "price": 60.0}
    offers = {"half_fee": 2.0, "quarter_fee": 3.0, "to_size_fee": 4.0}
    options: dict[str, Any] = {"method": "saw", "recovery": 0.0}
    # Two panels and a saw cut on a quarter of 0.61 x 1.22 m.
    quarter = mw.lay_out(blanks, [sheet | offers], **options)
    assert [b.name for b in quarter.buy] == ["sheet cut to size"]
    assert quarter.money.bought == pytest.approx(4.0 + 60.0 * (1.013 * 0.51) / (1.22 * 2.44))
    # Without the last offer the quarter is the cheapest; freight is paid once.
    del offers["to_size_fee"]
    brought = mw.lay_out(
        blanks,
        [sheet | offers | {"freight": 9.0, "days_to_arrive": 3}],
        waiting_rate_per_day=5.0,
        **options,
    )
    assert [b.name for b in brought.buy] == ["quarter sheet"]
    assert (brought.money.freight, brought.money.waiting) == (9.0, 15.0)
    assert brought.money.objective == pytest.approx(15.0 + 3.0 + 9.0 + 15.0)
    assert brought.proved


def test_what_is_long_or_heavy_costs_more_freight() -> None:
    blanks = [{"name": "panel", "width": "500 mm", "height": "500 mm", "quantity": 2}]
    sheet = {
        "name": "sheet",
        "width": "1.22 m",
        "height": "2.44 m",
        "price": 60.0,
        "freight": 9.0,
        "mass": "12 kg",
        "half_fee": 2.0,
    }
    options: dict[str, Any] = {"method": "saw", "recovery": 1.0}
    # All that is left has its price, so a whole sheet costs no more than half of one.
    whole = mw.lay_out(blanks, [sheet], **options)
    assert (whole.buy[0].name, whole.money.freight) == ("sheet", 9.0)
    half = mw.lay_out(blanks, [sheet | {"oversize": ("2 m", 7.0)}], **options)
    assert (half.buy[0].name, half.money.freight) == ("half sheet", 9.0)
    half = mw.lay_out(blanks, [sheet | {"overweight": ("10 kg", 7.0)}], **options)
    assert (half.buy[0].name, half.money.freight) == ("half sheet", 9.0)
    # Four panels want the whole sheet; both fees are paid, once.
    both = sheet | {"oversize": ("2 m", 7.0), "overweight": ("10 kg", 3.0)}
    del both["half_fee"]
    dear = mw.lay_out([blanks[0] | {"quantity": 8}], [both], **options)
    assert dear.money.freight == 9.0 + 7.0 + 3.0
    with pytest.raises(mw.ShapeError, match="mass"):
        mw.lay_out(blanks, [{k: v for k, v in both.items() if k != "mass"}])


def test_an_earlier_answer_is_kept_when_the_stock_grows() -> None:
    blanks = [{"name": "panel", "width": "400 mm", "height": "300 mm", "quantity": 2}]
    board = {"name": "board", "width": "1 m", "height": "1 m", "price": 20.0}
    before = mw.lay_out(blanks, [board], method="saw")
    offcut = {"name": "A", "width": "500 mm", "height": "700 mm", "shelf_value": 3.0}
    after = mw.lay_out(blanks, [board, offcut], method="saw", earlier=before)
    assert [u.stock for u in after.sheets_used] == ["A"]
    # An offcut that is worth more than the board is left where it is.
    dear = offcut | {"shelf_value": 30.0}
    same = mw.lay_out(blanks, [board, dear], method="saw", earlier=before)
    assert same.money.objective == pytest.approx(before.money.objective)
    # One panel more: the earlier layout lacks it.
    more = mw.lay_out([blanks[0] | {"quantity": 3}], [board], method="saw", earlier=before)
    assert len(more.sheets_used[0].placements) == 3
    with pytest.raises(TypeError, match="earlier"):
        mw.lay_out(blanks, [board], earlier="before")  # type: ignore[arg-type]


def test_a_saw_works_around_a_scratch() -> None:
    layout = mw.lay_out(
        [{"name": "panel", "width": "450 mm", "height": "450 mm", "quantity": 4}],
        [
            {
                "name": "sheet",
                "width": "1 m",
                "height": "1 m",
                "price": 20.0,
                "bad_areas": [("480 mm", "480 mm", "40 mm", "40 mm")],
            }
        ],
        method="saw",
        trim="0 mm",
        recovery=0.0,
    )
    assert layout.buy[0].count == 1
    scratch = box(0.48, 0.48, 0.52, 0.52)
    for placed in layout.sheets_used[0].placements:
        b = placed.bounds
        part = box(b.x_m, b.y_m, b.x_m + b.width_m, b.y_m + b.height_m)
        assert part.intersection(scratch).area < 1e-12


def test_a_small_case_is_proved_where_area_alone_is_no_proof() -> None:
    # Three strips of 160 x 100 mm have less area than a sheet of 250 x 200 mm; only two fit on it.
    layout = mw.lay_out(
        [{"name": "strip", "width": "160 mm", "height": "100 mm", "quantity": 3, "turns": "none"}],
        [{"name": "sheet", "width": "250 mm", "height": "200 mm", "price": 10.0}],
        method="cnc",
        kerf="0 mm",
        spacing="0 mm",
        trim="0 mm",
        recovery=0.0,
    )
    assert layout.buy[0].count == 2
    assert layout.proved
    assert layout.gap_fraction == 0.0


def test_discs_of_empty_cutouts_are_kept() -> None:
    layout = mw.lay_out(
        [{"name": "ring", "diameter": "200 mm", "hole": "160 mm"}],
        [{"name": "sheet", "width": "300 mm", "height": "300 mm", "price": 10.0}],
        method="cnc",
        kerf="6 mm",
    )
    discs = [k for k in layout.sheets_used[0].kept if k.diameter_m is not None]
    assert [d.diameter_m for d in discs] == [pytest.approx(0.148)]
    assert layout.dxf[0].count("CIRCLE") >= 3
    assert "disc 148" in layout.drawings[0]


def test_the_same_seed_repeats_and_a_stop_says_so() -> None:
    blanks = [
        {
            "name": f"p{i}",
            "width": f"{90 + 7 * i} mm",
            "height": f"{60 + 11 * (i % 7)} mm",
            "quantity": 3,
        }
        for i in range(20)
    ]
    rack = [{"name": "sheet", "width": "1 m", "height": "700 mm", "price": 20.0}]
    first = mw.lay_out(blanks, rack, method="cnc", effort=200_000)
    again = mw.lay_out(blanks, rack, method="cnc", effort=200_000)
    assert first == again
    assert not first.cut_short
    done: list[float] = []
    begun = time.perf_counter()
    short = mw.lay_out(blanks, rack, method="cnc", effort=10**12, seconds=0.3, progress=done.append)
    # A slice between two looks at the clock is some 30 ms of an idle machine.
    assert time.perf_counter() - begun < 3.0
    assert short.cut_short
    assert done == sorted(done)
    assert done[-1] == 1.0
    assert mw.Layout.from_json(short.to_json()) == short


def test_ctrl_c_is_heard_while_it_searches() -> None:
    blanks = [
        {
            "name": f"p{i}",
            "outline_m": [(0, 0), (0.1 + i / 100, 0), (0.05, 0.2)],
            "quantity": 4,
            "turns": "any",
        }
        for i in range(12)
    ]
    rack = [{"name": "sheet", "width": "1 m", "height": "700 mm", "price": 20.0}]
    asked: list[float] = []

    def interrupt() -> None:
        asked.append(time.perf_counter())
        _thread.interrupt_main()

    timer = threading.Timer(1.0, interrupt)
    timer.start()
    with pytest.raises(KeyboardInterrupt):
        mw.lay_out(blanks, rack, effort=10**12)
    # 0.2 s on an idle machine; this one may be busy.
    assert time.perf_counter() - asked[0] < 2.0


def test_bad_asks_are_refused_with_the_place_of_the_fault() -> None:
    sheet = [{"name": "sheet", "width": "1 m", "height": "1 m", "price": 20.0}]
    blank: Blank = {"name": "a", "width": "100 mm", "height": "100 mm"}
    with pytest.raises(mw.UnknownNameError, match="quantity"):
        mw.lay_out([blank | {"quanity": 3}], sheet)
    with pytest.raises(mw.ShapeError, match=r"blanks\[0\]"):
        mw.lay_out([{"name": "a"}], sheet)
    bow = [(0.0, 0.0), (0.1, 0.1), (0.1, 0.0), (0.0, 0.1)]
    with pytest.raises(mw.ShapeError, match="cross"):
        mw.lay_out([{"name": "a", "outline_m": bow}], sheet)
    with pytest.raises(mw.OutOfRangeError):
        mw.lay_out([blank | {"width": "-3 mm"}], sheet)
    with pytest.raises(mw.ImpossibleError, match="a is 2000"):
        mw.lay_out([blank | {"width": "2 m"}], sheet)
    with pytest.raises(TypeError, match=r"blanks\[0\].quantity"):
        mw.lay_out([blank | {"quantity": "three"}], sheet)
    with pytest.raises(mw.UnknownNameError, match="hand-router"):
        mw.lay_out([blank], sheet, method="hand router")  # type: ignore[arg-type]
    with pytest.raises(mw.ShapeError, match="shelf_value"):
        mw.lay_out([blank], [{"name": "s", "width": "1 m", "height": "1 m"}])
    short = mw.lay_out([blank | {"quantity": 200}], [sheet[0] | {"in_stock": 1}])
    assert short.unplaced[0].part == "a"
    assert short.unplaced[0].copies + len(short.sheets_used[0].placements) == 200
