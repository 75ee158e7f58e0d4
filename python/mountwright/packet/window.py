"""The forming window of a part as a chart: temperatures over time, with the limits of the sheet."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from mountwright._core import show
from mountwright.packet.svg import (
    COOL,
    FAINT,
    INK,
    PAPER,
    SOFT,
    WARM,
    WARM_WASH,
    Anchor,
    Drawing,
    clock_ticks,
    ticks,
)
from mountwright.packet.words import Units, clock, temperature, window_times

LEFT, RIGHT, TOP, FLOOR = 38.0, 350.0, 28.0, 166.0
# Two charts stand side by side on paper, 82 mm wide each: this is 7.1 pt there.
LETTERS = 11.0

CURVES = (
    ("front_k", "heated face", WARM, 2.0, ""),
    ("back_k", "other face", COOL, 1.6, "6 2.5"),
    ("mean_k", "mean", SOFT, 1.2, ""),
    ("coldest_k", "coldest point", INK, 1.8, "1.6 2"),
)
LIMITS = (
    ("upper_k", "past forming"),
    ("formable_k", "formable"),
    ("limp_k", "limp"),
    ("set_k", "set"),
    ("fume_onset_k", "fumes"),
)


def window(name: str, part: str, recipe: dict[str, Any], units: Units) -> str:
    """Draw the chart of one part.

    Parameters
    ----------
    name : str
        Unique in the page.
    part : str
        The part, for the title.
    recipe : dict
        A recipe of ``plan.json`` with its ``history``.
    units : {"metric", "inch"}
        Which degrees.

    Returns
    -------
    str
        An SVG document.
    """
    history = recipe["history"]
    times: list[float] = history["t_s"]
    curves = [(history[key], *style) for key, *style in CURVES if history.get(key)]
    limits = [(recipe["limits"][key], words) for key, words in LIMITS if recipe["limits"].get(key)]
    if recipe.get("need") == "limp":
        limits = [(k, words) for k, words in limits if words != "formable"]
    hottest: float = max(max(values) for values, *_ in curves)
    # A limit far above everything that happens would flatten the curves.
    limits = [(k, words) for k, words in limits if k < hottest + 60]
    end = times[-1]
    low: float = min(min(values) for values, *_ in curves) - 5
    high: float = max(hottest, *(k for k, _ in limits)) + 8 if limits else hottest + 8

    def x(seconds: float) -> float:
        return LEFT + (RIGHT - LEFT) * max(0.0, min(seconds / end, 1.0))

    def y(kelvin: float) -> float:
        return FLOOR - (FLOOR - TOP) * (kelvin - low) / (high - low)

    opens = recipe["opens_s"]["nominal"]
    closes = recipe["closes_s"]["nominal"]
    stop = recipe["stop_s"]["nominal"]
    told = window_times(opens, stop, closes)
    shown = "The window never opens" if opens is None else f"The window opens at {told['opens_s']}"
    drawing = Drawing(
        name,
        f"Forming window of {part}",
        f"{shown} and closes at {told['closes_s']}; heat stops at {told['stop_s']}. "
        f"The hottest point reaches {temperature(hottest, units)}.",
        360,
        FLOOR + 62,
    )
    if opens is not None:
        right = closes if closes is not None else end
        fill = drawing.hatch(WARM, wash=WARM_WASH, gap=7)
        drawing.box(x(opens), TOP, x(right) - x(opens), FLOOR - TOP, fill=WARM_WASH)
        drawing.box(x(opens), TOP, x(right) - x(opens), 7, fill=fill)
        wide = x(right) - x(opens) > 60
        drawing.text(
            (x(opens) + x(right)) / 2 if wide else x(opens),
            TOP - 4,
            "window",
            size=LETTERS,
            anchor="middle" if wide else "end",
            fill=WARM,
            bold=True,
        )
    # Axes: degrees of the shop, minutes and seconds.
    scale, zero = (1.8, -459.67) if units == "inch" else (1.0, -273.15)
    for degrees in ticks(low * scale + zero, high * scale + zero, 6):
        at = y((degrees - zero) / scale)
        drawing.line([(LEFT, at), (RIGHT, at)], stroke=FAINT, line=0.7)
        drawing.text(LEFT - 4, at + 3.5, f"{degrees:.0f}", size=LETTERS, anchor="end", fill=SOFT)
    drawing.text(
        4,
        12,
        show(low, "temperature", units=units, digits=0).split(" ")[1],
        size=LETTERS,
        fill=SOFT,
    )
    for at in clock_ticks(end, 7):
        drawing.line([(x(at), FLOOR), (x(at), FLOOR + 3)], stroke=SOFT)
        drawing.text(x(at), FLOOR + 13, clock(at), size=LETTERS, anchor="middle", fill=SOFT)
    drawing.line([(LEFT, TOP), (LEFT, FLOOR), (RIGHT, FLOOR)], stroke=SOFT)
    for kelvin, _ in limits:
        drawing.line([(LEFT, y(kelvin)), (RIGHT, y(kelvin))], stroke=INK, line=0.8, dash="8 3 2 3")
    # The limits in words, each clear of the one below it, on paper of their own.
    labels: list[tuple[float, str]] = []
    for kelvin, words in sorted(limits):
        foot = min(y(kelvin) - 3, labels[-1][0] - LETTERS - 1.5 if labels else FLOOR)
        labels.append((foot, f"{words} {temperature(kelvin, units)}"))
        broad = 0.56 * LETTERS * len(labels[-1][1])
        drawing.box(RIGHT - broad, foot - 0.8 * LETTERS, broad, LETTERS, fill=PAPER)
    # Curves, clipped to the frame by construction.
    for values, _, colour, line, dash in curves:
        points = [(x(t), y(k)) for t, k in zip(times, values, strict=True)]
        kept = points[:1] + [b for a, b in pairwise(points) if b != a]
        drawing.line(kept, stroke=colour, line=line, dash=dash)
    for foot, label in labels:
        drawing.text(RIGHT, foot, label, size=LETTERS, anchor="end", halo=True)
    if stop is not None:
        drawing.line([(x(stop), TOP - 12), (x(stop), FLOOR)], line=1.6)
        side: Anchor = "end" if x(stop) > 300 else "start"
        shift = -4 if side == "end" else 4
        drawing.text(
            x(stop) + shift,
            TOP - 14,
            f"stop {told['stop_s']}",
            size=LETTERS,
            bold=True,
            anchor=side,
        )
    # Key.
    for number, (_, words, colour, line, dash) in enumerate(curves):
        left, at = LEFT + 160 * (number % 2), FLOOR + 36 + 18 * (number // 2)
        drawing.line([(left, at - 4), (left + 24, at - 4)], stroke=colour, line=line, dash=dash)
        drawing.text(left + 30, at, words, size=LETTERS)
    return drawing.render()
