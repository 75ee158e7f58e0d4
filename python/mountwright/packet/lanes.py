"""The day in lanes: a band for each pair of hands, and below them what runs on alone."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import Any

from mountwright.packet.svg import COOL, FAINT, INK, PAPER, SOFT, Drawing
from mountwright.packet.words import moment

LEFT, RIGHT, LANE, THIN = 58.0, 352.0, 22.0, 10.0

Fields = dict[str, Any]


def lanes(name: str, schedule: Fields) -> str:
    """Draw who works when.

    Each block of work bears its number in the order of work; what cures, dries or cools alone is
    hatched and stands below the hands, with the number of the task that it follows. Where the shop
    is closed the ground is grey.

    Parameters
    ----------
    name : str
        Unique in the page.
    schedule : dict
        ``schedule`` of ``plan.json``.

    Returns
    -------
    str
        An SVG document.
    """
    entries = [
        entry | {"number": number, "off": moment(entry["hands_off"]), "end": moment(entry["done"])}
        for number, entry in enumerate(schedule["entries"], start=1)
    ]
    worked = [(e, *piece) for e in entries if e["hands"] is not None for piece in _pieces(e)]
    dates = sorted({start.date() for _, start, _ in worked})
    hours = [(_hour(start), _hour(start) + (end - start) / HOUR) for _, start, end in worked]
    first = math.floor(min((start for start, _ in hours), default=8))
    last = max(math.ceil(max((end for _, end in hours), default=17)), first + 1)
    drawing = Drawing(
        name,
        "The day in lanes",
        f"{schedule['fabricators']} at work on {len(dates)} days; the table gives the same times.",
        360,
        0,
    )
    alone = drawing.hatch(COOL, gap=4)
    top = 0.0
    for date in dates:
        midnight = datetime.combine(date, datetime.min.time())

        def x(at: datetime, midnight: datetime = midnight) -> float:
            hour = min(max((at - midnight) / HOUR, first), last)
            return LEFT + (RIGHT - LEFT) * (hour - first) / (last - first)

        today = [w for w in worked if w[1].date() == date]
        shuts = midnight + last * HOUR
        waits = [
            e
            for e in entries
            if e["end"] > e["off"]
            and e["hands"] is not None
            and e["off"] < shuts
            and e["end"] > midnight + first * HOUR
        ]
        rows = _packed(waits)
        hands = max((e["hands"] for e, _, _ in today), default=0) + 1
        floor = top + 30 + LANE * hands + THIN * (1 + max(rows, default=-1)) + 4
        drawing.text(4, top + 14, f"{date:%A} {date.day} {date:%B}", size=11, bold=True)
        drawing.box(LEFT, top + 28, RIGHT - LEFT, floor - top - 28, fill=FAINT)
        for start, end in _open(schedule, entries, midnight):
            drawing.box(x(start), top + 28, x(end) - x(start), floor - top - 28, fill=PAPER)
        for hour in range(first, last + 1, 1 if last - first <= 12 else 2):
            at = x(midnight + hour * HOUR)
            drawing.line([(at, top + 28), (at, floor)], stroke=FAINT, line=0.7)
            drawing.text(at, top + 24, f"{hour % 24}", size=9, anchor="middle", fill=SOFT)
        for pair in range(hands):
            words = "hands" if schedule["fabricators"] == 1 else f"hands {pair + 1}"
            drawing.text(4, top + 30 + LANE * pair + 14, words, size=9)
        if rows:
            drawing.text(4, top + 30 + LANE * hands + 8, "alone", size=9)
        for entry, start, end in today:
            y = top + 30 + LANE * entry["hands"] + 1
            wide = x(end) - x(start)
            drawing.box(x(start), y, wide, LANE - 3, fill=INK, stroke=PAPER, line=0.8)
            if wide > 9:
                middle = x(start) + wide / 2
                drawing.text(
                    middle, y + 13, str(entry["number"]), size=8.5, anchor="middle", fill=PAPER
                )
        for entry, row in zip(waits, rows, strict=True):
            y = top + 30 + LANE * hands + THIN * row + 1
            wide = max(x(entry["end"]) - x(entry["off"]), 1.5)
            drawing.box(x(entry["off"]), y, wide, THIN - 2, fill=alone, stroke=COOL, line=0.6)
            if wide > 12:
                drawing.text(x(entry["off"]) + 2, y + 7, str(entry["number"]), size=8.5, halo=True)
        top = floor + 12
    drawing.height = top
    return drawing.render()


HOUR = timedelta(hours=1)


def _hour(stamp: datetime) -> float:
    return stamp.hour + stamp.minute / 60


def _pieces(entry: Fields) -> list[tuple[datetime, datetime]]:
    """Give the stretches of work by the clock; ``pieces_s`` counts from the first midnight."""
    zero = moment(entry["start"]) - timedelta(seconds=entry["start_s"])
    return [
        (zero + timedelta(seconds=start), zero + timedelta(seconds=end))
        for start, end in entry["pieces_s"]
    ]


def _open(
    schedule: Fields, entries: list[Fields], midnight: datetime
) -> list[tuple[datetime, datetime]]:
    """Give the opening hours of one day."""
    zero = moment(entries[0]["start"]) - timedelta(seconds=entries[0]["start_s"])
    spans = [
        (zero + timedelta(seconds=start), zero + timedelta(seconds=end))
        for start, end in schedule["open_s"]
    ]
    return [span for span in spans if midnight <= span[0] < midnight + timedelta(days=1)]


def _packed(waits: list[Fields]) -> list[int]:
    """Give each wait the first row that is free when it begins."""
    free: list[datetime] = []
    rows = []
    for wait in sorted(waits, key=lambda e: e["off"]):
        row = next((i for i, until in enumerate(free) if until <= wait["off"]), len(free))
        if row == len(free):
            free.append(wait["end"])
        free[row] = wait["end"]
        rows.append((waits.index(wait), row))
    return [row for _, row in sorted(rows)]
