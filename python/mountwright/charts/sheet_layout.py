"""Sheets and offcuts with the blanks on them, to scale."""

from __future__ import annotations

import math
import re
from typing import Any
from xml.etree import ElementTree

import numpy as np
from matplotlib.patches import PathPatch
from matplotlib.path import Path

from mountwright.charts.style import (
    COOL_WASH,
    INK,
    PAPER,
    SOFT,
    WARM_WASH,
    Chart,
    Units,
    chart,
    known,
    length_sign,
    lengths,
    standings,
    style,
)
from mountwright.errors import ShapeError
from mountwright.packet.words import size
from mountwright.plan import Plan
from mountwright.records import Layout

FILLS = (WARM_WASH, COOL_WASH, "#e4e7eb", "#f7efc9", "#d3e6dc", "#e9dcea")


def sheet_layout(layout: Layout | Plan, *, units: Units = "metric") -> Chart:
    """Draw each sheet and offcut that is cut, with its blanks and what is kept.

    Parameters
    ----------
    layout : Layout or Plan
        From :func:`mountwright.lay_out`; of a plan, all its sheets.
    units : {"metric", "inch"}, default "metric"
        Of the axes.

    Returns
    -------
    Chart
        A matplotlib figure.

    Raises
    ------
    ShapeError
        Nothing is laid out; other units.

    Examples
    --------
    >>> layout = mw.lay_out(
    ...     [{"name": "panel", "width": "400 mm", "height": "300 mm", "quantity": 2}],
    ...     [{"name": "board", "width": "1 m", "height": "1 m", "price": 20.0}],
    ...     method="saw",
    ... )
    >>> mw.charts.sheet_layout(layout).alt
    'Layout of 2 blanks on 1 sheet: board, 2 blanks, yield 24 %.'
    """
    units = known(units)
    sheets = _sheets(layout)
    if not sheets:
        raise ShapeError(
            "layout is without a sheet, allowed is one that lays something out",
            "layout",
            "without a sheet",
            "one that lays something out",
        )
    names: dict[str, int] = {}
    for _, used, _ in sheets:
        for placed in used.placements:
            names.setdefault(placed.part, len(names))
    count = sum(len(used.placements) for _, used, _ in sheets)
    told = "; ".join(
        f"{used.stock}, {len(used.placements)} blanks, yield {100 * used.yield_fraction:.0f} %"
        for _, used, _ in sheets
    )
    noun = "sheet" if len(sheets) == 1 else "sheets"
    alt = f"Layout of {count} blanks on {len(sheets)} {noun}: {told}."
    foot = standings(layout) if isinstance(layout, Plan) else _cost(layout)
    listed = ", ".join(f"{i + 1} {name}" for name, i in names.items())
    hatched = any(kind == "keep" for *_, drawing in sheets for kind, _ in _shapes(drawing))
    kept = "; what is hatched is kept for the rack" if hatched else ""
    columns = 1 if len(sheets) == 1 else 2
    rows = math.ceil(len(sheets) / columns)
    tall = [used.height_m / max(used.width_m, 1e-9) for _, used, _ in sheets]
    height = 1.2 + 0.15 * (len(listed) // 90)
    for i in range(0, len(sheets), columns):
        height += min(6.0 / columns * max(tall[i : i + columns]), 6.0) + 0.75
    with style():
        made = chart(
            "Layout",
            f"{listed}. Seen from the show face{kept}.",
            alt=alt,
            caption=[foot],
            height=min(max(height, 3.0), 14.0),
        )
        for number, (title, used, drawing) in enumerate(sheets, start=1):
            ax = made.add_subplot(rows, columns, number)
            _sheet(ax, title, used, drawing, names, units)
        # Axes that keep their shape settle only at the third pass.
        for _ in range(3):
            made.draw_without_rendering()
    return made


def _sheets(layout: Any) -> list[tuple[str, Any, str]]:
    """Give title, sheet and drawing of each."""
    if isinstance(layout, Layout):
        return [
            (used.stock, used, svg)
            for used, svg in zip(layout.sheets_used, layout.drawings, strict=True)
        ]
    by_file = {drawn.file: drawn.svg for drawn in layout.drawings}
    found = []
    for one in layout.layouts:
        for used, file in zip(one.sheets_used, one.drawings, strict=True):
            found.append((f"{used.stock}, {one.material}", used, by_file[file]))
    return found


def _sheet(
    ax: Any, title: str, used: Any, drawing: str, names: dict[str, int], units: Units
) -> None:
    shapes = _shapes(drawing)
    scale = lengths(1e-3, units)
    for kind, path in shapes:
        fill, hatch, edge, line = {
            "sheet": (PAPER, None, INK, 1.4),
            "keep": ("none", "///", SOFT, 0.6),
            "part": (PAPER, None, INK, 0.9),
        }[kind]
        scaled = Path(path.vertices * scale, path.codes)
        if kind == "part":
            fill = FILLS[_owner(path, used, names) % len(FILLS)]
        patch = PathPatch(scaled, facecolor=fill, edgecolor=edge, lw=line, hatch=hatch)
        ax.add_patch(patch)
        if kind != "part":
            continue
        x, y = _solid(path)
        ax.text(
            x * scale,
            y * scale,
            str(_owner(path, used, names) + 1),
            ha="center",
            va="center",
            size=8.5,
            weight="bold",
            bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 0.8, "alpha": 0.85},
        )
    wide, high = lengths(used.width_m, units), lengths(used.height_m, units)
    ax.set_xlim(-0.02 * wide, 1.02 * wide)
    ax.set_ylim(-0.02 * wide, high + 0.02 * wide)
    ax.set_aspect("equal")
    ax.grid(visible=False)
    ax.set_title(
        f"{title}\n{size((used.width_m, used.height_m), units)}, "
        f"yield {100 * used.yield_fraction:.0f} %",
        size=9,
    )
    ax.set_xlabel(length_sign(units))
    ax.set_ylabel(length_sign(units))


def _solid(path: Path) -> tuple[float, float]:
    """Find a point of a blank away from its edges and holes, where a number fits."""
    loops = path.to_polygons()
    box = path.get_extents()
    grid = np.stack(
        np.meshgrid(np.linspace(box.x0, box.x1, 27)[1:-1], np.linspace(box.y0, box.y1, 27)[1:-1]),
        axis=-1,
    ).reshape(-1, 2)
    # Even-odd: the outside once, and once more inside a hole.
    solid = sum(Path(loop).contains_points(grid).astype(int) for loop in loops) % 2 == 1
    edge = np.concatenate([_along(np.asarray(loop)) for loop in loops])
    away = np.hypot(*(grid[:, None, :] - edge[None, :, :]).transpose(2, 0, 1)).min(axis=1)
    middle = np.array([(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2])
    # Between places as good, the one nearest to the middle.
    found = away - 1e-2 * np.hypot(*(grid - middle).T)
    x, y = grid[int(np.where(solid, found, -np.inf).argmax())]
    return float(x), float(y)


def _along(loop: Any) -> Any:
    """Points along a loop, close enough to measure from."""
    shares = np.linspace(0, 1, 12, endpoint=False)[None, :, None]
    return (loop[:-1, None] * (1 - shares) + loop[1:, None] * shares).reshape(-1, 2)


def _owner(path: Path, used: Any, names: dict[str, int]) -> int:
    """Find the blank that an outline is, by the middle of its bounds."""
    box = path.get_extents()
    middle = np.array([(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2]) / 1e3

    def off(placed: Any) -> float:
        b = placed.bounds
        return float(
            np.hypot(b.x_m + b.width_m / 2 - middle[0], b.y_m + b.height_m / 2 - middle[1])
        )

    return names[min(used.placements, key=off).part]


def _cost(layout: Layout) -> str:
    told = f"Objective {layout.money.objective:.2f}, bound {layout.bound:.2f}"
    if layout.proved:
        told += ", proved: no layout costs less"
    elif layout.gap_fraction is not None:
        told += f": at most {100 * layout.gap_fraction:.0f} % above the best"
    return f"{told}. Seed {layout.seed}. Sources: sizes and prices as given; src/stock/theory.md."


def _shapes(drawing: str) -> list[tuple[str, Path]]:
    """Read sheet, parts and kept areas from a drawing of the core, in mm from the lower left."""
    kinds = {"white": "sheet", "#d9d9d9": "part", "url(#keep)": "keep"}
    found = []
    for element in ElementTree.fromstring(drawing).iter("{http://www.w3.org/2000/svg}path"):
        kind = kinds.get(element.get("fill", ""))
        if kind is not None:
            found.append((kind, _path(element.get("d", ""))))
    sheet = next(path for kind, path in found if kind == "sheet").get_extents()
    # On paper y runs down; on a sheet up from its lower edge.
    return [(kind, Path(_turned(path, sheet.x0, sheet.y1), path.codes)) for kind, path in found]


def _turned(path: Path, left: float, floor: float) -> Any:
    points = np.asarray(path.vertices)
    return np.column_stack([points[:, 0] - left, floor - points[:, 1]])


def _path(text: str) -> Path:
    """Read lines and circular arcs: the only marks that outlines of the core are made of."""
    points: list[tuple[float, float]] = []
    codes: list[Any] = []
    for letter, numbers in re.findall(r"([MLAZ])([^MLAZ]*)", text):
        values = [float(n) for n in numbers.split()]
        if letter == "Z":
            points.append((0.0, 0.0))
            codes.append(Path.CLOSEPOLY)
        elif letter == "A":
            radius, _, _, large, sweep, x, y = values
            arc = _arc(points[-1], (x, y), radius, large=bool(large), sweep=bool(sweep))
            points += arc
            codes += [Path.LINETO] * len(arc)
        else:
            points.append((values[0], values[1]))
            codes.append(Path.MOVETO if letter == "M" else Path.LINETO)
    closed = np.array(points)
    for i, code in enumerate(codes):
        if code == Path.CLOSEPOLY:
            closed[i] = closed[max(j for j in range(i) if codes[j] == Path.MOVETO)]
    return Path(closed, codes)


def _arc(
    start: tuple[float, float],
    end: tuple[float, float],
    radius: float,
    *,
    large: bool,
    sweep: bool,
) -> list[tuple[float, float]]:
    """Flatten an arc between two points, as SVG 2 defines it (appendix B.2.4)."""
    (x0, y0), (x1, y1) = start, end
    half = math.hypot(x1 - x0, y1 - y0) / 2
    if half == 0:
        return []
    radius = max(radius, half)
    away = math.sqrt(max(radius**2 - half**2, 0.0)) * (1 if large != sweep else -1)
    # The centre lies on the line through the middle, square to the chord.
    cx = (x0 + x1) / 2 - away * (y1 - y0) / (2 * half)
    cy = (y0 + y1) / 2 + away * (x1 - x0) / (2 * half)
    first = math.atan2(y0 - cy, x0 - cx)
    turn = math.atan2(y1 - cy, x1 - cx) - first
    if sweep and turn <= 0:
        turn += math.tau
    if not sweep and turn >= 0:
        turn -= math.tau
    steps = max(2, math.ceil(abs(turn) / math.radians(6)))
    angles = [first + turn * i / steps for i in range(1, steps + 1)]
    return [(cx + radius * math.cos(a), cy + radius * math.sin(a)) for a in angles[:-1]] + [end]
