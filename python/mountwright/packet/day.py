"""The order of work as a drawing: one row for a task, one panel for a day."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import Any

from mountwright.packet.svg import COOL, FAINT, INK, SOFT, Drawing
from mountwright.packet.words import moment

LEFT, RIGHT, ROW = 192.0, 352.0, 14.0


def days(name: str, entries: list[dict[str, Any]]) -> str:
    """Draw the calendar of a job.

    Hands-on work is solid; what cures, dries or cools alone is hatched and may run past closing.

    Parameters
    ----------
    name : str
        Unique in the page.
    entries : list of dict
        ``schedule.entries`` of ``plan.json``, by their start.

    Returns
    -------
    str
        An SVG document.
    """
    rows = [
        (
            f"{number} {entry['task']}",
            moment(entry["start"]),
            moment(entry["hands_off"]),
            moment(entry["done"]),
        )
        for number, entry in enumerate(entries, start=1)
    ]
    dates = sorted({stamp.date() for _, start, off, _ in rows for stamp in (start, off)})
    opens = min(_hour(start) for _, start, _, _ in rows)
    shuts = max(_hour(off) for _, _, off, _ in rows)
    first, last = math.floor(opens), max(math.ceil(shuts), math.floor(opens) + 1)
    panels = [
        (date, [r for r in rows if r[1].date() <= date <= max(r[2], r[1]).date()]) for date in dates
    ]
    height = sum(34 + ROW * len(inside) + 14 for _, inside in panels)
    drawing = Drawing(
        name,
        "Order of work",
        f"{len(rows)} tasks over {len(dates)} working day{'s' if len(dates) > 1 else ''}; "
        "the table below it gives the same times.",
        360,
        height,
    )
    alone = drawing.hatch(COOL, gap=4)
    top = 0.0
    for date, inside in panels:
        opening = datetime.combine(date, datetime.min.time())

        def x(stamp: datetime, opening: datetime = opening) -> float:
            at = (stamp - opening) / timedelta(hours=1)
            return LEFT + (RIGHT - LEFT) * (min(max(at, first), last) - first) / (last - first)

        drawing.text(4, top + 14, f"{date:%A} {date.day} {date:%B}", size=11, bold=True)
        floor = top + 30 + ROW * len(inside)
        step = 1 if last - first <= 10 else 2
        for hour in range(first, last + 1, step):
            at = x(opening + timedelta(hours=hour))
            drawing.line([(at, top + 28), (at, floor)], stroke=FAINT, line=0.7)
            drawing.text(at, top + 24, f"{hour % 24}", size=9, anchor="middle", fill=SOFT)
        for i, (task, start, off, done) in enumerate(inside):
            y = top + 30 + ROW * i
            clock = f"{start:%H:%M}" if start.date() == date else ""
            drawing.text(4, y + 10, clock, size=8.2, fill=SOFT)
            drawing.text(31, y + 10, _fit(task), size=8.2)
            if done > off:
                drawing.box(x(off), y + 2.5, x(done) - x(off), ROW - 6, fill=alone)
                drawing.box(x(off), y + 2.5, x(done) - x(off), ROW - 6, stroke=COOL, line=0.6)
            drawing.box(x(start), y + 1, max(x(off) - x(start), 1.5), ROW - 3, fill=INK)
            if done.date() > date:
                tip = RIGHT
                drawing.area([(tip - 6, y + 2), (tip, y + 7), (tip - 6, y + 12)], fill=COOL)
        top = floor + 18
    drawing.box(31, top - 12, 10, 7, fill=INK)
    drawing.text(45, top - 5.5, "hands on", size=8.2)
    drawing.box(100, top - 12, 10, 7, fill=alone, stroke=COOL, line=0.6)
    drawing.text(114, top - 5.5, "cures, dries or cools alone", size=8.2)
    drawing.height = top
    return drawing.render()


def _hour(stamp: datetime) -> float:
    return stamp.hour + stamp.minute / 60


def _fit(words: str, most: int = 37) -> str:
    return words if len(words) <= most else words[: most - 1].rstrip() + "…"
