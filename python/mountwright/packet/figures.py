"""Figures and letters of a card: a length is rounded once as on its drawing, and can be read."""

from __future__ import annotations

import re
from typing import Any
from xml.etree import ElementTree

from mountwright.packet.words import Units
from mountwright.plan import Drawn

NEAR_IN = 0.0025
"""A sentence is rounded to 0.1 mm and then to 0.001 in: half of each."""

LETTERS_MM = 7.1 / 72 * 25.4
"""7 points and a little: smaller is not read at the bench (common practice, no source)."""

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


def legible(svg: str, wide_mm: float, tall_mm: float) -> str:
    """Enlarge the letters of a drawing that are set too small, and the pitch of lines of a label.

    Parameters
    ----------
    svg : str
        The drawing.
    wide_mm, tall_mm : float
        The room that it gets on paper; it keeps its shape.

    Returns
    -------
    str
        The drawing, as it was where its letters are large enough.

    Examples
    --------
    >>> legible('<svg viewBox="0 0 200 100"><text font-size="5">7</text></svg>', 100, 100)
    '<svg viewBox="0 0 200 100"><text font-size="5.009">7</text></svg>'
    """
    sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)]
    box = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    if not sizes or not box:
        return svg
    scale = min(wide_mm / float(box[1]), tall_mm / float(box[2]))
    least = LETTERS_MM / scale

    def enlarged(size: re.Match[str]) -> str:
        return f'font-size="{max(float(size[1]), least):.4g}"'

    return re.sub(r'font-size="([\d.]+)"', enlarged, _apart(svg, least))


def _apart(svg: str, least: float) -> str:
    """Move the second line of a label down by as much as its letters grow."""

    def moved(pair: re.Match[str]) -> str:
        first, second, size = (float(pair[key]) for key in ("first", "second", "size"))
        y = first + (second - first) * max(least / size, 1.0)
        return f'{pair["label"]}y="{y:.2f}"'

    return re.sub(
        r'(?P<label>x="(?P<x>[\d.]+)" y="(?P<first>[\d.]+)" font-size="(?P<size>[\d.]+)" '
        r'text-anchor="middle"[^>]*>[^<]*</text>\s*<text x="(?P=x)" )y="(?P<second>[\d.]+)"',
        moved,
        svg,
    )
