"""Holes of a card by the numbers of its drawing, with the drawing's own figures."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

from mountwright.packet.words import sentence
from mountwright.plan import Drawn

Fields = dict[str, Any]

ACROSS = 8
"""Holes beside each other on a card."""

_ITEM = re.compile(
    r"(?P<size>(?:Ø|slot) [\d. x]+?) (?P<unit>mm|in)(?:, (?P<lies>[a-z ]+))?,? at (?P<place>.+)"
)


def steps(part: Fields, drawings: list[Drawn]) -> list[Fields]:
    """Give the steps at the bench; one that names holes has them apart, numbered as drawn.

    Parameters
    ----------
    part : dict
        A part of ``plan.json``.
    drawings : list of Drawn
        All drawings; where that of a blank is missing its step stays one sentence.

    Returns
    -------
    list of dict
        ``text``, and ``tables`` of at most eight holes each.

    Examples
    --------
    >>> steps({"name": "ring", "bench": ["break the edges"]}, [])
    [{'text': 'break the edges', 'tables': []}]
    """
    return [_step(line, part["name"], drawings) for line in part["bench"]]


def _step(line: str, part: str, drawings: list[Drawn]) -> Fields:
    head, _, items = line.rpartition(": ")
    blank = head.partition(": ")[0]
    found = [_ITEM.fullmatch(item) for item in items.split("; ")]
    drawn = next(
        (d for d in drawings if d.part == part and d.kind == "blank" and _shows(d, blank)), None
    )
    if not head or drawn is None or not all(found):
        return {"text": line, "tables": []}
    rows = numbered(drawn.svg)
    holes = [_hole(item, rows) for item in found if item]
    if not all(holes):
        return {"text": line, "tables": []}
    unit = found[0]["unit"] if found[0] else ""
    head = f"{sentence(head)[:-1]}, in {unit} from the centre mark"
    if len(holes) < 3:
        words = "; ".join(
            f"no. {h['number']}, {h['size']}{', ' + h['lies'] if h['lies'] else ''}, "
            f"at {' '.join(filter(None, (h['across'], h['up'])))}"
            for h in holes
        )
        return {"text": f"{head}: {words}", "tables": []}
    return {
        "text": f"{head}:",
        "tables": [holes[i : i + ACROSS] for i in range(0, len(holes), ACROSS)],
    }


def _shows(drawn: Drawn, blank: str) -> bool:
    return drawn.title == blank or drawn.title.startswith(f"{blank}, ")


def _hole(item: re.Match[str], rows: list[tuple[str, str, str, str]]) -> Fields:
    """Find the hole of a sentence in the drawing's table: the nearest one."""
    x, y = _place(item["place"])
    if not rows:
        return {}
    number, across, up, size = min(
        rows, key=lambda row: abs(float(row[1]) - x) + abs(float(row[2]) - y)
    )
    # A sentence rounds once more than the drawing: to 0.1 mm, and that to 0.001 in.
    if abs(float(across) - x) + abs(float(up) - y) > 0.2:
        return {}
    return {
        "number": number,
        "size": size,
        "lies": item["lies"] or "",
        "across": _side(across, "left", "right"),
        "up": _side(up, "down", "up"),
    }


def _place(words: str) -> tuple[float, float]:
    """Read a place: to the right and up are more.

    Examples
    --------
    >>> _place("54.8 mm left 12.0 mm up"), _place("the centre mark")
    ((-54.8, 12.0), (0.0, 0.0))
    """
    x = y = 0.0
    for value, way in re.findall(r"([\d.]+) (?:mm|in) (left|right|up|down)", words):
        signed = float(value) * (-1 if way in {"left", "down"} else 1)
        if way in {"left", "right"}:
            x = signed
        else:
            y = signed
    return x, y


def _side(value: str, less: str, more: str) -> str:
    if not float(value):
        return ""
    return f"{value.removeprefix('-')} {less if value.startswith('-') else more}"


def numbered(svg: str) -> list[tuple[str, str, str, str]]:
    """Read the table of holes that stands on a drawing: number, right, up and size of each.

    Examples
    --------
    >>> cells = ["", "hole", "x", "y", "size", "when"], ["1", "screw", "-5.0", "0.0", "Ø 4", "now"]
    >>> lines = "".join(f'<text y="{y}">{c}</text>' for y, line in enumerate(cells) for c in line)
    >>> name = "http://www.w3.org/2000/svg"
    >>> numbered(f'<svg xmlns="{name}"><text y="9">Holes (mm)</text>{lines}</svg>')
    [('1', '-5.0', '0.0', 'Ø 4')]
    """
    texts = [
        (float(text.get("y", "0")), text.text or "")
        for text in ElementTree.fromstring(svg).iter("{http://www.w3.org/2000/svg}text")
    ]
    start = next((i for i, (_, words) in enumerate(texts) if words.startswith("Holes (")), None)
    if start is None:
        return []
    lines: dict[float, list[str]] = {}
    for y, words in texts[start + 1 :]:
        lines.setdefault(y, []).append(words)
    rows = []
    # The first line is the head of the table; it ends where no number begins a line.
    for cells in list(lines.values())[1:]:
        if len(cells) < 5 or not cells[0].isdigit():
            break
        rows.append((cells[0], cells[2], cells[3], cells[4]))
    return rows
