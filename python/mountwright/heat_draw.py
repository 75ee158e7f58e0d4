"""The picture of a working range: areas with colour and hatching, words in each, round axes."""

from __future__ import annotations

import itertools
import math
from typing import TYPE_CHECKING
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from mountwright.packet.svg import (
    COOL,
    COOL_WASH,
    INK,
    PAPER,
    SOFT,
    WARM,
    WARM_WASH,
    Drawing,
    _n,
    clock_ticks,
    ticks,
)
from mountwright.packet.words import Units, clock

if TYPE_CHECKING:
    from mountwright.heat_map import WorkingRange

LEFT, RIGHT, TOP, FLOOR = 56.0, 606.0, 58.0, 388.0
WIDTH = 640.0
GOOD = "#fffbe8"
BURNT = "#f0b48c"
LEGEND = {
    "distance-time": (
        ("too cold", "wait"),
        ("workable", "form it now, extraction on"),
        ("fumes", "only with extraction at work, else stop"),
        ("overheated", "stop, take the heat away"),
    ),
    "setting-distance": (
        ("too cold", "never soft: go nearer or hotter"),
        ("workable", "there is a time to form it"),
        ("fumes", "only with extraction at work"),
        ("overheated", "do not: too hot before it is soft"),
    ),
}
CAUTION = (
    "Hot air, hot sheet and nozzle burn: gloves, glasses, nothing that burns nearby.",
    "Extract fumes at the source; stop at a sharp smell or a change of colour, whatever the map "
    "says.",
    "Drawn for the likeliest values: guns and sheets differ, so try a coupon first.",
)

Points = list[tuple[float, float]]


def draw(found: WorkingRange, units: Units) -> str:
    """Draw a map; :meth:`WorkingRange.svg` says more."""
    over_time = found.kind == "distance-time"
    share = ", ".join(f"{word} {part:.0%}" for word, part in found.share().items())
    name = f"range-{crc32(repr(found).encode() + found.zone.tobytes()):08x}"
    height = FLOOR + 140
    drawing = Drawing(
        name,
        f"Working range of {found.title}",
        f"{'Distance over time' if over_time else 'Setting over distance'}: {share}.",
        WIDTH,
        height,
    )
    fills = (
        drawing.hatch(COOL, angle=-45, gap=11, wash=COOL_WASH),
        GOOD,
        _dots(drawing, WARM, WARM_WASH),
        drawing.hatch(WARM, angle=45, gap=5, wash=BURNT),
    )
    # Distances grow upwards, settings too: the first row lies at the floor.
    zone = found.zone
    ys = np.asarray(found.distance_m if over_time else found.setting_k)
    xs = np.asarray(found.time_s if over_time else found.distance_m)
    place = _Place(xs, ys)
    drawing.marks.append(
        f'<clipPath id="{name}-frame"><rect x="{LEFT}" y="{TOP}" width="{RIGHT - LEFT}" '
        f'height="{FLOOR - TOP}"/></clipPath><g clip-path="url(#{name}-frame)">'
    )
    drawing.box(LEFT, TOP, RIGHT - LEFT, FLOOR - TOP, fill=fills[0])
    for level in (1, 2, 3):
        loops = [place.on_paper(loop) for loop in outlines(zone >= level)]
        if loops:
            path = "".join(f"M{'L'.join(f'{_n(x)} {_n(y)}' for x, y in loop)}Z" for loop in loops)
            drawing.marks.append(
                f'<path d="{path}" fill="{fills[level]}" fill-rule="evenodd" stroke="{INK}" '
                f'stroke-width="1.4" stroke-linejoin="round"/>'
            )
    drawing.marks.append("</g>")
    _axes(drawing, found, xs, ys, units)
    drawing.text(LEFT, 24, f"Working range: {found.title.split(', ')[0]}", size=15, bold=True)
    drawing.text(LEFT, 41, ", ".join(found.title.split(", ")[1:]), size=11, fill=SOFT)
    for number, word in enumerate(found.zones):
        spot = inside(zone == number)
        if spot is not None:
            x, y = place.at(*spot)
            _tag(drawing, x, y, word, size=12.5, bold=number == 1)
    if over_time:
        _longest(drawing, zone, xs, ys, place, units)
    _legend(drawing, LEGEND[found.kind], fills)
    for i, line in enumerate(CAUTION):
        drawing.text(LEFT, FLOOR + 100 + 13 * i, line, size=9.5, fill=SOFT)
    return drawing.render()


class _Place:
    """Where points of the grid lie on the paper."""

    def __init__(self, xs: NDArray[np.float64], ys: NDArray[np.float64]) -> None:
        self.xs, self.ys = xs, ys

    def _along(self, axis: NDArray[np.float64], index: float) -> float:
        """Value at a fraction of an index, straight on beyond the ends."""
        last = axis.size - 1
        if last == 0:
            return float(axis[0])
        i = min(max(math.floor(index), 0), last - 1)
        return float(axis[i] + (index - i) * (axis[i + 1] - axis[i]))

    def x(self, value: float) -> float:
        low, high = float(self.xs[0]), float(self.xs[-1])
        return LEFT + (RIGHT - LEFT) * (value - low) / ((high - low) or 1.0)

    def y(self, value: float) -> float:
        low, high = float(self.ys[0]), float(self.ys[-1])
        return FLOOR - (FLOOR - TOP) * (value - low) / ((high - low) or 1.0)

    def at(self, row: float, column: float) -> tuple[float, float]:
        return self.x(self._along(self.xs, column)), self.y(self._along(self.ys, row))

    def on_paper(self, loop: Points) -> Points:
        return thinned([self.at(row, column) for row, column in loop])


def outlines(mask: NDArray[np.bool_]) -> list[Points]:
    """Trace the borders of an area as closed loops of (row, column), smoothed within half a cell.

    The area is taken to go on beyond the edges of the grid.

    Examples
    --------
    >>> len(outlines(np.array([[True, False], [True, False]])))
    1
    >>> outlines(np.zeros((3, 3), dtype=bool))
    []
    """
    pad = 6
    wide = np.pad(np.pad(mask, pad, mode="edge"), 1)
    loops = []
    for loop in _loops(wide):
        smooth = _smoothed(loop)
        loops.append([(r - pad - 1, c - pad - 1) for r, c in smooth])
    return loops


def _loops(mask: NDArray[np.bool_]) -> list[Points]:
    """Follow the cell edges between inside and outside, the inside on the left."""
    ahead: dict[tuple[float, float], list[tuple[float, float]]] = {}

    def edge(a: tuple[float, float], b: tuple[float, float]) -> None:
        ahead.setdefault(a, []).append(b)

    inside = mask.astype(np.int8)
    for row, column in zip(*np.nonzero(np.diff(inside, axis=0)), strict=True):
        y, left, right = row + 0.5, column - 0.5, column + 0.5
        if mask[row, column]:
            edge((y, left), (y, right))
        else:
            edge((y, right), (y, left))
    for row, column in zip(*np.nonzero(np.diff(inside, axis=1)), strict=True):
        x, top, bottom = column + 0.5, row - 0.5, row + 0.5
        if mask[row, column]:
            edge((bottom, x), (top, x))
        else:
            edge((top, x), (bottom, x))
    loops = []
    while ahead:
        start = next(iter(ahead))
        loop, at = [start], start
        while True:
            nexts = ahead[at]
            # Where two areas touch at a corner, either way closes a loop.
            to = nexts.pop()
            if not nexts:
                del ahead[at]
            if to == start:
                break
            loop.append(to)
            at = to
        loops.append(loop)
    return loops


def _smoothed(loop: Points, rounds: int = 3) -> Points:
    """Cut the stairs of a loop: midpoints of its edges, then means over three neighbours."""
    points = np.array(loop, dtype=float)
    points = (points + np.roll(points, -1, axis=0)) / 2
    if len(points) > 12:
        for _ in range(rounds):
            points = (np.roll(points, 1, axis=0) + 2 * points + np.roll(points, -1, axis=0)) / 4
    return [(float(r), float(c)) for r, c in points]


def thinned(points: Points, slack: float = 0.15) -> Points:
    """Leave out points that lie on the line between those that are kept.

    Examples
    --------
    >>> thinned([(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 2.0)])
    [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0)]
    """
    if len(points) < 3:
        return points
    keep = [False] * len(points)
    keep[0] = keep[-1] = True
    stack = [(0, len(points) - 1)]
    while stack:
        a, b = stack.pop()
        (x0, y0), (x1, y1) = points[a], points[b]
        length = math.hypot(x1 - x0, y1 - y0)
        far, at = slack, -1
        for i in range(a + 1, b):
            x, y = points[i]
            if length:
                off = abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / length
            else:
                off = math.hypot(x - x0, y - y0)
            if off > far:
                far, at = off, i
        if at > 0:
            keep[at] = True
            stack += [(a, at), (at, b)]
    return list(itertools.compress(points, keep))


def inside(mask: NDArray[np.bool_]) -> tuple[float, float] | None:
    """Find a point deep inside an area, where a word fits; None where the area is small.

    Examples
    --------
    >>> inside(np.ones((9, 9), dtype=bool))
    (4.0, 4.0)
    """
    rows, columns = mask.shape
    if mask.mean() < 0.02:
        return None
    best, spot = 0.0, None
    # The longest run along a row says where a word fits; the middle of a high block is best.
    for row in range(rows):
        for start, stop in _runs(mask[row]):
            middle = (start + stop - 1) // 2
            column = mask[:, middle]
            up = next((b for a, b in _runs(column) if a <= row < b), row) - row - 1
            down = row - next((a for a, b in _runs(column) if a <= row < b), row)
            room = min((stop - start) / columns / 2.2, (min(up, down) + 0.5) / rows)
            if room > best + 1e-9:
                best, spot = room, (float(row), float(middle))
    return spot if best > 0.025 else None


def _runs(line: NDArray[np.bool_]) -> list[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], line, [False]]).astype(np.int8)))
    return [(int(a), int(b)) for a, b in zip(edges[::2], edges[1::2], strict=True)]


def _dots(drawing: Drawing, colour: str, wash: str) -> str:
    """Give a dotted fill."""
    key = f"{drawing.name}-{len(drawing.hatches)}"
    pattern = (
        'width="9" height="9" patternUnits="userSpaceOnUse">'
        f'<rect width="9" height="9" fill="{wash}"/>'
        f'<circle cx="2.5" cy="2.5" r="1.3" fill="{colour}"/>'
        f'<circle cx="7" cy="7" r="1.3" fill="{colour}"/>'
    )
    return f"url(#{drawing.hatches.setdefault(pattern, key)})"


def _length_axis(units: Units) -> tuple[float, str]:
    return (1 / 0.0254, "in") if units == "inch" else (1e3, "mm")


def _axes(
    drawing: Drawing,
    found: WorkingRange,
    xs: NDArray[np.float64],
    ys: NDArray[np.float64],
    units: Units,
) -> None:
    place = _Place(xs, ys)
    scale, unit = _length_axis(units)
    degree, zero, sign = (1.8, -459.67, "°F") if units == "inch" else (1.0, -273.15, "°C")
    if found.kind == "distance-time":
        across = [(at, clock(at)) for at in clock_ticks(float(xs[-1]), 10) if at >= xs[0]]
        up = [(d / scale, f"{d:g}") for d in ticks(ys[0] * scale, ys[-1] * scale, 7)]
        below, beside = "time of heat, minutes : seconds", f"distance from the nozzle, {unit}"
    else:
        across = [(d / scale, f"{d:g}") for d in ticks(xs[0] * scale, xs[-1] * scale, 10)]
        settings = ticks(ys[0] * degree + zero, ys[-1] * degree + zero, 8)
        up = [((t - zero) / degree, f"{t:g}") for t in settings]
        below, beside = f"distance from the nozzle, {unit}", f"air at the nozzle, {sign}"
    drawing.box(LEFT, TOP, RIGHT - LEFT, FLOOR - TOP, stroke=INK, line=1.2)
    for at, words in across:
        x = place.x(at)
        drawing.line([(x, FLOOR), (x, FLOOR + 4)])
        drawing.text(x, FLOOR + 16, words, size=10.5, anchor="middle")
    for at, words in up:
        y = place.y(at)
        drawing.line([(LEFT - 4, y), (LEFT, y)])
        drawing.text(LEFT - 7, y + 3.7, words, size=10.5, anchor="end")
    drawing.text((LEFT + RIGHT) / 2, FLOOR + 33, below, size=10.5, anchor="middle", fill=SOFT)
    middle = (TOP + FLOOR) / 2
    drawing.marks.append(f'<g transform="rotate(-90 15 {_n(middle)})">')
    drawing.text(15, middle + 4, beside, size=10.5, anchor="middle", fill=SOFT)
    drawing.marks.append("</g>")


def _longest(
    drawing: Drawing,
    zone: NDArray[np.uint8],
    xs: NDArray[np.float64],
    ys: NDArray[np.float64],
    place: _Place,
    units: Units,
) -> None:
    """Mark the distance at which the sheet stays workable, without fumes, longest."""
    best: tuple[float, int, int, int] | None = None
    for row in range(zone.shape[0]):
        for start, stop in _runs(zone[row] == 1):
            if stop < xs.size and start > 0:
                seconds = float(xs[stop] - xs[start])
                if best is None or seconds > best[0]:
                    best = (seconds, row, start, stop)
    if best is None or best[0] < 0.08 * (xs[-1] - xs[0]):
        return
    seconds, row, start, stop = best
    y = place.y(float(ys[row]))
    left, right = place.x(float(xs[start])), place.x(float(xs[stop]))
    for stroke, line in ((PAPER, 5.0), (INK, 1.8)):
        drawing.line([(left, y), (right, y)], stroke=stroke, line=line)
        for x in (left, right):
            drawing.line([(x, y - 6), (x, y + 6)], stroke=stroke, line=line)
    scale, unit = _length_axis(units)
    far = f"{ys[row] * scale:.3g} {unit}"
    words = f"longest: {clock(float(xs[start]))} to {clock(float(xs[stop]))} at {far}"
    # Above or below the line, where it hides fewer borders.
    reach = max(1, round(20 * (ys.size - 1) / (FLOOR - TOP)))
    wide = 2.9 * len(words) * (xs.size - 1) / (RIGHT - LEFT)
    middle = (start + stop) / 2
    under = slice(max(int(middle - wide), 0), int(middle + wide) + 1)

    def borders(far: int) -> int:
        inside_map = 0 <= row + far < ys.size
        return int(np.count_nonzero(np.diff(zone[row + far, under]))) if inside_map else 99

    below = borders(-reach) <= borders(reach)
    _tag(drawing, (left + right) / 2, y + (17 if below else -17), words, size=10)


def _tag(
    drawing: Drawing, x: float, y: float, words: str, *, size: float, bold: bool = False
) -> None:
    """Write words on a slip of paper, within the frame."""
    half = size * (0.31 if bold else 0.28) * len(words) + 5
    x = min(max(x, LEFT + half + 2), RIGHT - half - 2)
    y = min(max(y, TOP + size), FLOOR - size)
    drawing.box(x - half, y - 0.72 * size, 2 * half, 1.44 * size, fill=PAPER)
    drawing.text(x, y + 0.35 * size, words, size=size, anchor="middle", bold=bold)


def _legend(drawing: Drawing, words: tuple[tuple[str, str], ...], fills: tuple[str, ...]) -> None:
    for i, ((word, meaning), fill) in enumerate(zip(words, fills, strict=True)):
        x = LEFT + (i % 2) * 275
        y = FLOOR + 46 + (i // 2) * 21
        drawing.box(x, y, 26, 15, fill=fill, stroke=INK)
        drawing.text(x + 33, y + 11.5, f"{word}: {meaning}", size=10.5)
