"""The recipe as a strip: heat until it is limp, seconds from there, stop, shape, hold."""

from __future__ import annotations

from typing import Any

from mountwright.packet.cues import more
from mountwright.packet.svg import (
    COOL,
    INK,
    WARM,
    WARM_WASH,
    Drawing,
)
from mountwright.packet.words import by_beat, from_beat, middle, span

# The strip is drawn for a telephone, 360 wide; on paper it is twice as large, to be read at arm's
# length.
LEFT, RIGHT = 8.0, 352.0
ON_TOP, OFF_TOP, BAR = 22.0, 78.0, 22.0


def strip(name: str, part: str, recipe: dict[str, Any]) -> str:
    """Draw the strip of one part whose window opens.

    Parameters
    ----------
    name : str
        Unique in the page.
    part : str
        The part, for the title.
    recipe : dict
        A recipe of ``plan.json`` with ``limp_s`` and ``more_s``.

    Returns
    -------
    str
        An SVG document.
    """
    # The middle of the draws up to limp; from there on, what is counted.
    limp = middle(recipe["limp_s"]) or 0.0
    stop: float = limp + recipe["more_s"]
    too_long: float | None = recipe["too_long_s"]
    working, still = middle(recipe["working_time_s"]), middle(recipe["hold_s"])
    # A part that never cools below what it needs may be shaped for as long as it is held.
    hold: float = stop + (still or working or 0)
    shape: float = stop + (working or still or 0)
    end: float = max(hold, shape, limp + (too_long or 0), stop) * 1.02

    def x(seconds: float) -> float:
        return LEFT + (RIGHT - LEFT) * min(seconds, end) / end

    past = end if too_long is None else limp + too_long
    counted = f"limp + {more(recipe)}" if recipe["more_s"] else "once limp"
    ranges = span(recipe["limp_s"], from_beat)
    drawing = Drawing(
        name,
        f"Heating of {part}, strip of times",
        f"Limp at about {from_beat(limp)}{f', {ranges}' if ranges else ''}; stop: {counted}"
        + (f"; too hot {too_long:.0f} s after limp" if too_long else "")
        + f"; shape it within {by_beat(working)} of the stop, hold it for {from_beat(still)}.",
        360,
        116,
    )
    window = drawing.hatch(WARM, wash=WARM_WASH)
    # Gun on.
    drawing.box(x(0), ON_TOP, x(limp) - x(0), BAR, fill=WARM_WASH)
    drawing.box(x(limp), ON_TOP, x(past) - x(limp), BAR, fill=window)
    drawing.box(x(past), ON_TOP, x(end) - x(past), BAR, fill=INK)
    drawing.box(x(0), ON_TOP, x(end) - x(0), BAR, stroke=INK)
    if x(limp) - x(0) > 110:
        drawing.text(x(0) + 5, ON_TOP + 15, "HEAT until limp", size=11, bold=True, fill=WARM)
    elif x(limp) - x(0) > 44:
        drawing.text(x(0) + 5, ON_TOP + 15, "HEAT", size=11, bold=True, fill=WARM)
    # The stop.
    drawing.line([(x(stop), ON_TOP - 3), (x(stop), OFF_TOP + BAR)], line=2.4)
    drawing.area(
        [(x(stop) - 5, ON_TOP - 4), (x(stop) + 5, ON_TOP - 4), (x(stop), ON_TOP + 4)], fill=INK
    )
    across = min(max(x(stop), 70), 290)
    drawing.text(across, 14, f"STOP {counted}", size=14, anchor="middle", bold=True)
    # What is seen, and its range; all that follows moves with it.
    below = ON_TOP + BAR + 14
    left = x(limp) >= 100
    at = x(limp) - 3 if left else LEFT
    for row, words in enumerate([f"limp at about {from_beat(limp)}", ranges]):
        drawing.text(at, below + 13 * row, words, size=10.5, anchor="end" if left else "start")
    if too_long and past < end:
        words = f"too hot: limp + {too_long:.0f} s"
        drawing.text(min(x(past), RIGHT - 110), below, words, size=10.5, halo=True)
    # Gun off.
    drawing.box(x(stop), OFF_TOP, x(shape) - x(stop), BAR, fill=COOL)
    holding = drawing.hatch(COOL, angle=-45, gap=4)
    drawing.box(x(shape), OFF_TOP, x(hold) - x(shape), BAR, fill=holding)
    drawing.box(x(stop), OFF_TOP, x(max(hold, shape)) - x(stop), BAR, stroke=INK)
    under = OFF_TOP + BAR + 12
    shape_words = f"shape {by_beat(working)}"
    hold_words = f"hold {from_beat(still)}"
    drawing.text(x(stop), under, shape_words, size=10.5, bold=True, fill=COOL)
    if x(stop) + 66 + 58 < x(hold):
        drawing.text(x(hold), under, hold_words, size=10.5, anchor="end", bold=True, fill=COOL)
    else:
        drawing.text(
            x(stop) - 6, OFF_TOP + 15, hold_words, size=10.5, anchor="end", bold=True, fill=COOL
        )
    return drawing.render()
