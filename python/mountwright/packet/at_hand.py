"""What must lie ready before work starts."""

from __future__ import annotations

from typing import Any

Fields = dict[str, Any]

GRADE = "polyolefin grade"


def groups(plan: Fields) -> list[Fields]:
    """Give what must lie ready for each part; parts that need the same stand together."""
    found: list[Fields] = []
    for part in plan["parts"]:
        # A drawing is named after its part, which does not make it another piece of foam.
        lines = [line.replace(f"({part['name']} ", "(") for line in _lines(part)]
        alike = next((g for g in found if g["lines"] == lines), None)
        if alike:
            alike["names"].append(part["name"])
        else:
            found.append({"names": [part["name"]], "lines": lines})
    return found


def adhesive(joint: Fields) -> str:
    """Name an adhesive by what to buy: of some only one grade grips polyolefins.

    Examples
    --------
    >>> adhesive({"title": "methacrylate", "why": "hdpe: polyolefin grades only"})
    'methacrylate, polyolefin grade'
    """
    return f"{joint['title']}, {GRADE}" if f"{GRADE}s only" in joint["why"] else joint["title"]


def _lines(part: Fields) -> list[str]:
    lines: list[str] = []
    joint = part["joint"]
    for line in part["at_hand"]:
        glue = joint and line.startswith(f"{joint['title']}: ")
        if glue:
            lines.append(adhesive(joint) + line.removeprefix(joint["title"]))
        else:
            lines.append(line)
        if glue and adhesive(joint) != joint["title"]:
            lines.append(f"polyolefin primer, as the maker of this {GRADE} names it")
    return lines
