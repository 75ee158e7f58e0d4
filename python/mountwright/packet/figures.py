"""Figures of a card as they stand on its drawing: a length is rounded once."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

from mountwright.packet.words import Units
from mountwright.plan import Drawn

NEAR_IN = 0.0025
"""A sentence is rounded to 0.1 mm and then to 0.001 in: half of each."""

_FIGURE = re.compile(r"(?<![\d.])\d+\.\d{3}(?![\d.])")


def as_drawn(part: dict[str, Any], drawings: list[Drawn], units: Units) -> dict[str, Any]:
    """Give a part whose sentences have the inches of its drawing; in metric they do so already.

    Parameters
    ----------
    part : dict
        A part of ``plan.json``.
    drawings : list of Drawn
        All drawings.
    units : str
        Those of the job.

    Returns
    -------
    dict
        The part; the one given stays as it is.

    Examples
    --------
    >>> svg = '<svg xmlns="http://www.w3.org/2000/svg"><text>Ø 2.166</text></svg>'
    >>> blank = Drawn("blank-ring.svg", "ring", "ring", "blank", svg)
    >>> part = {"name": "ring", "cut": [], "bends": [], "bench": ["opening Ø 2.165 in"]}
    >>> as_drawn(part, [blank], "inch")["bench"]
    ['opening Ø 2.166 in']
    """
    figures = {
        found
        for drawn in drawings
        if drawn.part == part["name"] and drawn.kind == "blank"
        for text in ElementTree.fromstring(drawn.svg).iter("{http://www.w3.org/2000/svg}text")
        for found in _FIGURE.findall(text.text or "")
    }
    if units == "metric" or not figures:
        return part

    def nearest(found: re.Match[str]) -> str:
        near = min(figures, key=lambda figure: abs(float(figure) - float(found[0])))
        return near if abs(float(near) - float(found[0])) < NEAR_IN else found[0]

    return part | {
        key: [_FIGURE.sub(nearest, line) for line in part[key]] for key in ("cut", "bends", "bench")
    }
