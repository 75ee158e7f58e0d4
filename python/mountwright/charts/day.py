"""The day at the bench: who works when, and what cures, dries or cools alone."""

from __future__ import annotations

import math
from datetime import datetime, timedelta
from typing import Any

from mountwright.charts.style import (
    COOL,
    COOL_WASH,
    FAINT,
    INK,
    SOFT,
    Chart,
    chart,
    standings,
    style,
)
from mountwright.errors import ShapeError
from mountwright.packet.words import day as in_words
from mountwright.packet.words import duration, moment
from mountwright.plan import Plan
from mountwright.records import WorkPlan

HOUR = timedelta(hours=1)


def bench_day(work: Plan | WorkPlan) -> Chart:
    """Draw the tasks by the clock, a panel for each working day.

    Hands-on work is solid; what cures, dries or cools alone is hatched. Where the shop is closed
    the ground is grey.

    Parameters
    ----------
    work : Plan or WorkPlan
        A plan, or what :func:`mountwright.promise` gives.

    Returns
    -------
    Chart
        A matplotlib figure.

    Raises
    ------
    ShapeError
        Nothing is on the calendar.

    Examples
    --------
    >>> day = {"monday": ["08:00-17:00"]}
    >>> cut = {"name": "cut", "attended": "20 min"}
    >>> work = mw.promise([cut], hours=day, start="2026-03-02T08:00")
    >>> mw.charts.bench_day(work).alt
    '1 task on 1 day, 20 min of work; done Mon 2 Mar, 08:20.'
    """
    schedule: Any = work.schedule if isinstance(work, Plan) else work
    entries = [] if schedule is None else list(getattr(schedule, "entries", None) or schedule.steps)
    if not entries:
        raise ShapeError(
            "calendar is empty, allowed is one with a task", "calendar", "empty", "one with a task"
        )
    zero = moment(entries[0].start) - timedelta(seconds=entries[0].start_s)
    rows = [_row(number, entry, zero) for number, entry in enumerate(entries, start=1)]
    dates = sorted({start.date() for row in rows for start, _ in row["pieces"]})
    attended = schedule.attended_s
    worked = getattr(attended, "nominal", attended)
    tasks, days = _count(len(rows), "task"), _count(len(dates), "day")
    # The calendar runs at the likeliest times; half of all jobs take longer.
    of_work = f"{duration(worked)} of work"
    if getattr(attended, "p50", None) is not None:
        of_work += " at the likeliest times"
        half = f" Half of all jobs take more than {duration(attended.p50)} hands on."
    else:
        half = ""
    alt = f"{tasks} on {days}, {of_work}; done {in_words(schedule.ready)}."
    promised = work.promise
    below = f"{of_work}; done {in_words(schedule.ready)}"
    if promised is not None and promised.p90 is not None:
        below += f"; promise {in_words(promised.p90)}: nine jobs in ten are ready by then"
    opens = [(zero + timedelta(seconds=a), zero + timedelta(seconds=b)) for a, b in schedule.open_s]
    first = min((_hour(s) for row in rows for s, _ in row["pieces"]), default=8.0)
    last = max(_hour(s) + (e - s) / HOUR for row in rows for s, e in row["pieces"])
    panels = [(date, [row for row in rows if _on(row, date)]) for date in dates]
    high = 1.15 + sum(0.62 + 0.175 * len(inside) for _, inside in panels)
    foot = standings(work) if isinstance(work, Plan) else "Sources: tasks, hours and pace as given."
    with style():
        made = chart(
            "The day at the bench",
            below,
            alt=alt,
            width=7.4,
            height=high,
            caption=[
                f"Solid: hands-on. Hatched: cures, dries or cools alone. Grey: closed.{half}",
                foot,
            ],
        )
        grid: Any = made.add_gridspec(
            len(panels), 1, height_ratios=[1.6 + len(inside) for _, inside in panels]
        )
        for i, (date, inside) in enumerate(panels):
            ax = made.add_subplot(grid[i])
            midnight = datetime.combine(date, datetime.min.time())
            _panel(ax, midnight, inside, opens, first, last)
    return made


def _row(number: int, entry: Any, zero: datetime) -> dict[str, Any]:
    pieces = [(zero + timedelta(seconds=a), zero + timedelta(seconds=b)) for a, b in entry.pieces_s]
    name = getattr(entry, "task", None) or entry.name
    return {
        "words": f"{number}  {name if len(name) <= 54 else name[:53].rstrip() + '…'}",
        "hands": entry.hands is not None,
        "pieces": pieces or [(moment(entry.start), moment(entry.hands_off))],
        "off": moment(entry.hands_off),
        "done": moment(entry.done),
    }


def _on(row: dict[str, Any], date: Any) -> bool:
    return bool(row["pieces"][0][0].date() <= date <= row["off"].date())


def _panel(
    ax: Any,
    midnight: datetime,
    rows: list[dict[str, Any]],
    opens: list[Any],
    first: float,
    last: float,
) -> None:
    def x(at: datetime) -> float:
        return (at - midnight) / HOUR

    left, right = math.floor(first), math.ceil(max(last, first + 1))
    ax.set_facecolor(FAINT)
    for start, end in opens:
        if start.date() == midnight.date():
            ax.axvspan(x(start), x(end), color="#ffffff", lw=0, zorder=0)
    for i, row in enumerate(rows):
        if row["done"] > row["off"]:
            to = min(x(row["done"]), right)
            ax.barh(
                i,
                max(to - x(row["off"]), 0),
                0.5,
                left=x(row["off"]),
                color=COOL_WASH,
                edgecolor=COOL,
                hatch="////",
                lw=0.6,
            )
        for start, end in row["pieces"]:
            if start.date() == midnight.date():
                fill = INK if row["hands"] else SOFT
                ax.barh(i, max(x(end) - x(start), 0.03), 0.62, left=x(start), color=fill, lw=0)
    ax.set_yticks(range(len(rows)), [row["words"] for row in rows], size=8, color=INK)
    ax.tick_params(axis="y", length=0)
    ax.set_ylim(len(rows) - 0.4, -0.6)
    ax.set_xlim(left, right)
    step = 1 if right - left <= 9 else 2
    marks = range(left, right + 1, step)
    ax.set_xticks(marks, [f"{mark % 24}" for mark in marks])
    ax.set_title(f"{midnight:%A} {midnight.day} {midnight:%B}", size=9.5, weight="bold")
    ax.set_xlabel("hour of the day, h", size=8)


def _hour(stamp: datetime) -> float:
    return stamp.hour + stamp.minute / 60 + stamp.second / 3600


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
