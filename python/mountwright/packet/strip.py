"""The recipe as a strip of times: gun on, stop, shape, hold."""

from __future__ import annotations

from typing import Any

from mountwright.packet.svg import (
    COOL,
    FAINT,
    INK,
    SOFT,
    WARM,
    WARM_WASH,
    Anchor,
    Drawing,
    clock_ticks,
)
from mountwright.packet.words import beat, clock

# The strip is drawn for a telephone, 360 wide; on paper it is twice as large, to be read at arm's
# length.
LEFT, RIGHT = 8.0, 352.0
ON_TOP, OFF_TOP, BAR = 22.0, 74.0, 22.0


def strip(name: str, part: str, recipe: dict[str, Any]) -> str:
    """Draw the strip of one part whose window opens.

    Parameters
    ----------
    name : str
        Unique in the page.
    part : str
        The part, for the title.
    recipe : dict
        A recipe of ``plan.json`` with ``opens_s`` and ``stop_s``.

    Returns
    -------
    str
        An SVG document.
    """
    opens: float = recipe["opens_s"]["nominal"]
    stop: float = recipe["stop_s"]["nominal"]
    closes: float | None = recipe["closes_s"]["nominal"]
    working, still = recipe["working_time_s"]["nominal"], recipe["hold_s"]["nominal"]
    # A part that never cools below what it needs may be shaped for as long as it is held.
    hold = stop + (still or working or 0)
    shape = stop + (working or still or 0)
    end = max(hold, shape, closes or 0, stop) * 1.04

    def x(seconds: float) -> float:
        return LEFT + (RIGHT - LEFT) * min(seconds, end) / end

    past = closes if closes is not None else end
    drawing = Drawing(
        name,
        f"Heating of {part}, strip of times",
        f"Limp at {beat(opens)}, stop at {beat(stop)}, past its limit at {beat(closes)}; "
        f"shape it within {beat(working)} of the stop, hold it for {beat(still)}.",
        360,
        136,
    )
    window = drawing.hatch(WARM, wash=WARM_WASH)
    # Gun on.
    drawing.box(x(0), ON_TOP, x(opens) - x(0), BAR, fill=WARM_WASH)
    drawing.box(x(opens), ON_TOP, x(past) - x(opens), BAR, fill=window)
    drawing.box(x(past), ON_TOP, x(end) - x(past), BAR, fill=INK)
    drawing.box(x(0), ON_TOP, x(end) - x(0), BAR, stroke=INK)
    if x(opens) - x(0) > 44:
        drawing.text(x(0) + 5, ON_TOP + 15, "HEAT", size=11, bold=True, fill=WARM)
    # The stop.
    drawing.line([(x(stop), ON_TOP - 3), (x(stop), OFF_TOP + BAR)], line=2.4)
    drawing.area(
        [(x(stop) - 5, ON_TOP - 4), (x(stop) + 5, ON_TOP - 4), (x(stop), ON_TOP + 4)], fill=INK
    )
    side: Anchor = "start" if x(stop) < 60 else "end" if x(stop) > 300 else "middle"
    drawing.text(x(stop), 14, f"STOP {beat(stop)}", size=14, anchor=side, bold=True)
    # What the window says, with its range.
    below = ON_TOP + BAR + 13
    for at, label, band, left, up in (
        (opens, f"limp {beat(opens)}", recipe["opens_s"], x(opens) >= 70, 10.5),
        (closes, f"too hot {beat(closes)}", recipe["closes_s"], x(past) > 290, 8),
    ):
        if at is None:
            continue
        low, high = band.get("p10"), band.get("p90")
        if low is not None and high is not None:
            drawing.line([(x(low), below - up), (x(high), below - up)], line=1.4, stroke=SOFT)
        here: Anchor = "end" if left else "start"
        drawing.text(x(at), below + 4.5, label, size=10.5, anchor=here, halo=True)
    # Gun off.
    drawing.box(x(stop), OFF_TOP, x(shape) - x(stop), BAR, fill=COOL)
    holding = drawing.hatch(COOL, angle=-45, gap=4)
    drawing.box(x(shape), OFF_TOP, x(hold) - x(shape), BAR, fill=holding)
    drawing.box(x(stop), OFF_TOP, x(max(hold, shape)) - x(stop), BAR, stroke=INK)
    under = OFF_TOP + BAR + 12
    shape_words = f"shape {beat(working)}"
    hold_words = f"hold {beat(still)}"
    drawing.text(x(stop), under, shape_words, size=10.5, bold=True, fill=COOL)
    if x(stop) + 66 + 58 < x(hold):
        drawing.text(x(hold), under, hold_words, size=10.5, anchor="end", bold=True, fill=COOL)
    else:
        drawing.text(
            x(stop) - 6, OFF_TOP + 15, hold_words, size=10.5, anchor="end", bold=True, fill=COOL
        )
    # The clock.
    floor = 126.0
    drawing.line([(LEFT, floor - 8), (RIGHT, floor - 8)], stroke=FAINT)
    for at in clock_ticks(end, 7):
        drawing.line([(x(at), floor - 11), (x(at), floor - 5)], stroke=SOFT)
        drawing.text(
            x(at), floor + 6, clock(at), size=9.5, anchor="middle" if at else "start", fill=SOFT
        )
    return drawing.render()
