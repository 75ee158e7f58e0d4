"""Layouts against the alternatives, in one run, on the open instances of ``tests/data/packing``.

    pip install '.[bench]'; maturin develop --release
    python tests/bench/layout.py [--seed 1] [--seconds 10] [--only strips several saw one outlines]

rectpack runs each of its rules and keeps the best; spyrrow gets the seconds and threads that we
had. Seconds are of the wall; beside them stands the time of the processors, which a busy machine
stretches less.
"""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import rectpack
import spyrrow

import mountwright as mw

DATA = Path(__file__).parents[1] / "data" / "packing"
BARE: dict[str, Any] = {"kerf": "0 mm", "spacing": "0 mm", "trim": "0 mm", "recovery": 0.0}


def instances(name: str) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads((DATA / name).read_text())["instances"]
    return found


def millimetres(value: float) -> str:
    return f"{value:.6f} mm"


def blanks(items: list[list[int]], turns: str) -> list[dict[str, Any]]:
    return [
        {
            "name": f"{i}",
            "width": millimetres(w),
            "height": millimetres(h),
            "quantity": n,
            "turns": turns,
        }
        for i, (w, h, n) in enumerate(items)
    ]


def timed(work: Callable[[], Any]) -> tuple[Any, float, float]:
    """The answer, seconds of the wall, seconds of the processors."""
    wall, cpu = time.perf_counter(), time.process_time()
    answer = work()
    return answer, time.perf_counter() - wall, time.process_time() - cpu


FREE = [
    getattr(rectpack, name)
    for name in dir(rectpack)
    if name.startswith(("MaxRects", "Skyline")) and name not in ("MaxRects", "Skyline")
]
SAWN = [
    getattr(rectpack, name)
    for name in dir(rectpack)
    if name.startswith("Guillotine") and name != "Guillotine"
]
SORTS = [
    rectpack.SORT_AREA,
    rectpack.SORT_PERI,
    rectpack.SORT_SSIDE,
    rectpack.SORT_LSIDE,
    rectpack.SORT_RATIO,
]


def packed(
    items: list[tuple[int, int]], bins: list[tuple[int, int, int]], rules: list[Any]
) -> Iterator[Any]:
    """Packers of all rules and orders that place every item."""
    for rule in rules:
        for sort in SORTS:
            packer = rectpack.newPacker(
                mode=rectpack.PackingMode.Offline,
                bin_algo=rectpack.PackingBin.Global,
                pack_algo=rule,
                sort_algo=sort,
                rotation=True,
            )
            for w, h in items:
                packer.add_rect(w, h)
            for w, h, n in bins:
                packer.add_bin(w, h, n)
            packer.pack()
            if len(packer.rect_list()) == len(items):
                yield packer


def each(items: list[list[int]], more: int = 0) -> list[tuple[int, int]]:
    return [(w + more, h + more) for w, h, n in items for _ in range(n)]


def strips(seed: int) -> None:
    gaps: dict[str, list[tuple[float, float]]] = {}
    wall = cpu = other = 0.0
    for instance in instances("strip_rectangles.json"):
        best, width = instance["optimum_height"], instance["strip_width"]
        sheet = {
            "name": "strip",
            "width": millimetres(width),
            "height": millimetres(2 * best),
            "price": 2.0 * best,
            "sold": "by-length",
        }
        layout, w, c = timed(
            lambda sheet=sheet, items=instance["items"]: mw.lay_out(
                blanks(items, "quarter"),
                [sheet],
                method="cnc",
                effort=60_000_000,
                seed=seed,
                seconds=2.0,
                **BARE,
            )
        )
        wall, cpu = wall + w, cpu + c
        begun = time.perf_counter()
        theirs = min(
            max(r[2] + r[4] for r in p.rect_list())
            for p in packed(each(instance["items"]), [(width, 2 * best, 1)], FREE)
        )
        other += time.perf_counter() - begun
        name = "C1-C4" if instance["set"] == "HT2001a" else "HopperT"
        ours = layout.money.objective / best - 1
        gaps.setdefault(name, []).append((ours, theirs / best - 1))
    for (name, found), aim in zip(gaps.items(), ("1.0", "2.5"), strict=True):
        ours, theirs = (100 * statistics.mean(g[k] for g in found) for k in (0, 1))
        print(f"strips {name}: mean gap {ours:.2f} % (aim {aim}), rectpack {theirs:.2f} %")
    print(f"  seed {seed}, {wall:.1f} s wall, {cpu:.1f} s processors; rectpack {other:.1f} s")


def several(seed: int) -> None:
    gaps = []
    longest = 0.0
    for instance in instances("sheets_of_several_sizes.json"):
        rack = [
            {
                "name": f"{i}",
                "width": millimetres(b["width"]),
                "height": millimetres(b["height"]),
                "price": float(b["price"]),
                "in_stock": b["stock"],
            }
            for i, b in enumerate(instance["bins"])
        ]
        layout, w, _ = timed(
            lambda rack=rack, items=instance["items"]: mw.lay_out(
                blanks(items, "quarter"),
                rack,
                method="cnc",
                effort=200_000_000,
                seed=seed,
                seconds=10.0,
                **BARE,
            )
        )
        longest = max(longest, w)
        best = instance["optimum_price"]
        bins = [(b["width"], b["height"], b["stock"] or 20) for b in instance["bins"]]
        price = {(b["width"], b["height"]): b["price"] for b in instance["bins"]}
        theirs = [
            sum(price.get((b.width, b.height), price.get((b.height, b.width), 0)) for b in p)
            for order in (bins, bins[::-1])
            for p in packed(each(instance["items"]), order, FREE)
        ]
        gaps.append(
            (layout.money.objective / best - 1, min(theirs, default=float("nan")) / best - 1)
        )
        print(
            f"  {instance['name']}: {100 * gaps[-1][0]:.2f} %, rectpack {100 * gaps[-1][1]:.1f} %"
        )
    solved = sum(g[0] < 1e-9 for g in gaps)
    middle = 100 * statistics.median(g[0] for g in gaps)
    print(
        f"several sizes: {solved} of {len(gaps)} solved (aim 4), "
        f"median gap {middle:.2f} % (aim 2), seed {seed}, at most {longest:.1f} s each"
    )


def saw(seed: int) -> None:
    gaps = []
    longest = 0.0
    for instance in instances("saw_strips.json"):
        best, kerf, trim = instance["optimum_length"], instance["kerf"], instance["trim"]
        sheet = {
            "name": "sheet",
            "width": millimetres(instance["sheet_width"]),
            "height": millimetres(2 * best),
            "price": 2.0 * best,
            "sold": "by-length",
        }
        layout, wall, _ = timed(
            lambda sheet=sheet, items=instance["items"], kerf=kerf, trim=trim: mw.lay_out(
                blanks(items, "quarter"),
                [sheet],
                method="saw",
                kerf=millimetres(kerf),
                trim=millimetres(trim),
                recovery=0.0,
                effort=200_000_000,
                seed=seed,
            )
        )
        longest = max(longest, wall)
        width = instance["sheet_width"] - 2 * trim + kerf
        theirs = min(
            max(r[2] + r[4] for r in p.rect_list()) - kerf + 2 * trim
            for p in packed(each(instance["items"], kerf), [(width, 3 * best, 1)], SAWN)
        )
        gaps.append((layout.money.objective / best - 1, theirs / best - 1))
    ours, theirs = (100 * statistics.mean(g[k] for g in gaps) for k in (0, 1))
    print(
        f"saw strips: mean {ours:.2f} % too long (aim 2), rectpack {theirs:.2f} %, seed {seed}, "
        f"at most {longest:.1f} s each"
    )


def one_size(seed: int) -> None:
    met = total = theirs = 0
    for instance in instances("sheets_of_one_size.json"):
        width, height = instance["sheet"]
        for turns, key in (("none", "fewest_as_drawn"), ("quarter", "fewest_turned")):
            fewest = instance.get(key)
            if fewest is None:
                continue
            rack = [
                {
                    "name": "sheet",
                    "width": millimetres(width),
                    "height": millimetres(height),
                    "price": 1.0,
                }
            ]
            layout = mw.lay_out(
                blanks(instance["items"], turns), rack, method="cnc", effort=8_000_000, seed=seed,
                **BARE,
            )  # fmt: skip
            total += 1
            met += layout.money.objective < fewest + 0.5
            if turns == "quarter":
                bins = [(width, height, 40)]
                count = min(len(p) for p in packed(each(instance["items"]), bins, FREE))
                theirs += count <= fewest
    print(
        f"one size: {met} of {total} proved minima met (aim all), "
        f"rectpack {theirs} of the turned ones, seed {seed}"
    )


def outlines(seed: int, seconds: int) -> None:
    # Enough for any machine of today: the seconds stop it.
    effort = 10**11
    for instance in instances("irregular.json"):
        width = instance["strip_width_used_in_published_runs"]
        best = instance["best_known_length"]
        pieces = instance["pieces"]
        # One millimetre for a unit, scaled to a strip of 400 mm.
        unit = 0.4 / width
        parts = [
            {
                "name": f"{i}",
                "outline_m": [(y * unit, x * unit) for x, y in piece["outline"]],
                "quantity": piece["count"],
                "turns": {1: "none", 2: "half"}.get(len(piece["turns_deg"]), "quarter"),
            }
            for i, piece in enumerate(pieces)
        ]
        sheet = {
            "name": "strip",
            "width": "400 mm",
            "height": f"{2000 * best * unit:.9f} mm",
            "price": 2 * best,
            "sold": "by-length",
        }
        layout, wall, cpu = timed(
            lambda parts=parts, sheet=sheet: mw.lay_out(
                parts, [sheet], method="cnc", effort=effort, seconds=seconds, seed=seed, **BARE
            )
        )
        ours = layout.money.objective
        items = [
            spyrrow.Item(
                f"{i}", [tuple(p) for p in piece["outline"]], piece["count"], piece["turns_deg"]
            )
            for i, piece in enumerate(pieces)
        ]
        strip = spyrrow.StripPackingInstance(instance["name"], width, items)
        config = spyrrow.StripPackingConfig(
            early_termination=False, total_computation_time=seconds, num_workers=2, seed=seed
        )
        solution, their_wall, their_cpu = timed(
            lambda strip=strip, config=config: strip.solve(config)
        )
        area = instance["pieces_area"]

        def dense(length: float, area: float = area, width: float = width) -> float:
            return 100 * area / (length * width)

        print(
            f"outlines {instance['name']}: length {ours:.3f} ({dense(ours):.2f} %), "
            f"spyrrow {solution.width:.3f} ({dense(solution.width):.2f} %), "
            f"ratio {ours / solution.width:.4f} (aim 1), seed {seed}, "
            f"{wall:.1f} s wall {cpu:.1f} s processors, "
            f"spyrrow {their_wall:.1f} and {their_cpu:.1f}"
        )


@contextlib.contextmanager
def quiet() -> Iterator[None]:
    """Nothing that spyrrow writes to the terminal."""
    kept = os.dup(1), os.dup(2)
    with Path(os.devnull).open("w") as null:
        os.dup2(null.fileno(), 2)
        try:
            yield
        finally:
            for place, copy in zip((1, 2), kept, strict=True):
                os.dup2(copy, place)
                os.close(copy)


def main() -> int:
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--seconds", type=int, default=10, help="for each outline strip")
    ask.add_argument("--only", nargs="*", default=["strips", "several", "saw", "one", "outlines"])
    given = ask.parse_args()
    with quiet():
        for name, run in (
            ("strips", strips),
            ("several", several),
            ("saw", saw),
            ("one", one_size),
            ("outlines", lambda seed: outlines(seed, given.seconds)),
        ):
            if name in given.only:
                run(given.seed)
                sys.stdout.flush()
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
