"""What is done: cut list, layouts, recipes, the day, and where the numbers come from."""

from __future__ import annotations

import io
from collections import Counter
from typing import Any

import resvg_py
from openpyxl.drawing.image import Image

from mountwright.packet.cues import cues, told
from mountwright.packet.page import charts
from mountwright.packet.sheets import again, bought, brought, paid, sheets
from mountwright.packet.words import (
    Units,
    coins,
    day,
    duration,
    hours,
    length,
    promised,
    sentence,
    span,
)
from mountwright.plan import Drawn
from mountwright.records import standing
from mountwright.workbook.lines import Lines

Fields = dict[str, Any]

PICTURE_WIDTH = 900
TALLEST = 400
"""Of a picture on a sheet. [pixels at 96 to the inch]"""


SOURCES_IN_A_ROW = 8

FACES = "Arial, Helvetica, Liberation Sans, DejaVu Sans, Noto Sans, Segoe UI, Verdana, sans-serif"
"""Faces of which every usual system has one."""


def cut_list(lines: Lines, plan: Fields, drawings: list[Drawn]) -> None:
    """Write what to buy, what to cut, what goes back into the rack, and a picture of each sheet."""
    units = _units(plan)
    scale, unit = (1 / 0.0254, "in") if units == "inch" else (1e3, "mm")
    form = "0.00" if units == "inch" else "0.0"
    money = coins(plan)
    lines.heading("Buy")
    buy = [
        bought(one, money, layout, units, plan["deliveries"])
        for layout in plan["layouts"]
        for one in layout["buy"]
    ]
    for text in buy or ["Nothing."]:
        lines.note(text)
    for delivery in filter(paid, plan["deliveries"]):
        lines.note(brought(delivery, units, money))
    for layout in plan["layouts"]:
        words = sheets(layout, plan, units)
        lines.heading(f"{words['title']}: {words['yield']} used, {words['cut']} to cut")
        lines.head(
            "cut from",
            "part",
            "no.",
            f"x [{unit}]",
            f"y [{unit}]",
            f"width [{unit}]",
            f"height [{unit}]",
            "turned by [°]",
            right=range(3, 9),
        )
        for stock in layout["sheets_used"]:
            for placed in stock["placements"]:
                bounds = [
                    round(placed["bounds"][key] * scale, 4 if units == "inch" else 2)
                    for key in ("x_m", "y_m", "width_m", "height_m")
                ]
                turn = placed["placement"]["turn_rad"] * 57.29577951308232
                lines.line(
                    f"{stock['kind']} {stock['stock']}",
                    placed["part"],
                    placed["copy"],
                    *bounds,
                    turn,
                    forms=dict.fromkeys((4, 5, 6, 7), form) | {8: "0"},
                )
        for stock, used in zip(words["used"], layout["sheets_used"], strict=True):
            if stock["cuts"]:
                lines.note(f"Saw cuts in {stock['name']}, in order: {'; '.join(stock['cuts'])}.")
            if stock["kept"]:
                lines.note(f"Keep of {used['kind']} {used['stock']}: {'; '.join(stock['kept'])}.")
        if layout["unplaced"]:
            missing = ", ".join(map(str, layout["unplaced"]))
            lines.note(f"No room for: {missing}.", warn=True)
        if text := again(layout["second_visit"], money):
            lines.note(text)
    for drawn in drawings:
        if drawn.kind == "layout":
            image = _drawn(drawn.svg, PICTURE_WIDTH, TALLEST)
            lines.room(image.height * 0.75 + 30)
            lines.heading(drawn.title)
            _place(lines, image)


def recipes(lines: Lines, plan: Fields) -> None:
    """Write how each part is heated, with its strip of times."""
    drawn = charts(plan)
    formed = [part for part in plan["parts"] if part["recipe"]]
    if not formed:
        lines.note("No part of this job is formed hot.")
    strips = [svg for name, svg in drawn.items() if name.endswith("-strip.svg")]
    for part in formed:
        recipe = part["recipe"]
        if part is not formed[0]:
            # One part a page, to be pinned above the bench.
            lines.page()
        lines.heading(
            f"{part['name']}: {part['material_title']}, {length(part['thickness_m'], _units(plan))}"
        )
        if not recipe["has_window"]:
            lines.note(f"The window never opens: {recipe['no_window']['why']}.", warn=True)
            continue
        lines.head("cue", "at, or for", "range, or limit")
        for cue in cues(recipe):
            lines.line(*cue)
        lines.note(f"{told(recipe)} Reheats left: {recipe['reheats_left']}.")
        for number, stroke in enumerate(recipe["strokes"], start=1):
            lines.note(f"{number}. {stroke}")
        if strips:
            _place(lines, _drawn(strips.pop(0), 380, TALLEST))
    if formed:
        # In one cell, so that no page break parts them.
        lines.note(f"Cautions: {' '.join(map(sentence, plan['cautions']))}", warn=True)


def the_day(lines: Lines, plan: Fields) -> None:
    """Write the work on the calendar, and the promise."""
    schedule, promise = plan["schedule"], plan["promise"]
    if not schedule:
        lines.note("Nothing is planned: see the sheet Checks.", warn=True)
        return
    if promise:
        ready, sure = promised(promise)
        lines.fact("Promise" if plan["draws"] else "Ready", ready)
        lines.fact("", sentence(sure))
    attended = schedule["attended_s"]
    lines.fact(
        "Hands on", hours(attended["nominal"] if attended["p50"] is None else attended["p50"])
    )
    lines.row += 1
    tasks = {task["id"]: task for task in plan["tasks"]}
    lines.head(
        "no.",
        "task",
        "begin",
        "hands on [min]",
        "hands on, eight jobs in ten",
        "left alone until",
        right=(1, 4),
        repeat=True,
    )
    for number, entry in enumerate(schedule["entries"], start=1):
        hands = tasks[entry["task"]]["attended_s"]
        # A delivery takes no hands.
        worked = any(hands[key] for key in ("nominal", "p90"))
        alone = day(entry["done"]) if entry["done"] != entry["hands_off"] else ""
        lines.line(
            number,
            entry["task"],
            day(entry["start"]),
            hands["nominal"] / 60 if worked else "",
            span(hands, duration) if worked else "",
            alone,
            forms={4: "0"},
        )


def sources(lines: Lines, plan: Fields) -> None:
    """Write every number that was used, with its source and standing."""
    found = plan["provenance"]
    lines.note(", ".join(f"{count} {standing(name)}" for name, count in found["counts"].items()))
    lines.note(
        "On paper stand the sources, each once, with how many numbers it gives. The numbers stand "
        "beneath them, on screen: print a selection where you need them on paper."
    )
    by_standing: dict[str, Counter[str]] = {}
    for entry in found["entries"]:
        by_standing.setdefault(standing(entry["standing"]), Counter())[entry["source"]] += 1
    for name, sources in by_standing.items():
        lines.heading(f"{name}: {sources.total()} numbers")
        told = [f"{source} ({many})" for source, many in sources.most_common()]
        # A row can only be so high.
        for first in range(0, len(told), SOURCES_IN_A_ROW):
            lines.note("; ".join(told[first : first + SOURCES_IN_A_ROW]))
    lines.until_here()
    lines.heading("Every number")
    lines.head("number", "value", "standing", "source", "from")
    first = lines.row - 1
    for entry in found["entries"]:
        lines.line(
            entry["name"],
            entry["shown"],
            standing(entry["standing"]),
            entry["source"],
            entry["origin"],
        )
    lines.ws.auto_filter.ref = f"A{first}:E{lines.row - 1}"


def _units(plan: Fields) -> Units:
    units: Units = plan["job"].get("units", "metric")
    return units


def _drawn(svg: str, width: int, tallest: int) -> Image:
    # The renderer knows no generic face; twice as fine as it is shown, so that it prints well.
    svg = svg.replace('font-family="sans-serif"', f'font-family="{FACES}"')
    png = resvg_py.svg_to_bytes(svg_string=svg, width=2 * width, background="white")
    image = Image(io.BytesIO(png))
    # On one sheet of A4 across, with its heading.
    width = min(width, round(tallest * image.width / image.height))
    image.width, image.height = width, round(width * image.height / image.width)
    return image


def _place(lines: Lines, image: Image) -> None:
    lines.ws.add_image(image, f"A{lines.row}")
    # A row is 15 points high where nothing is said, and a pixel three quarters of a point.
    lines.row += round(image.height * 0.75 / 15) + 2
