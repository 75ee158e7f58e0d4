"""The few marks that our drawings are made of: rectangles, lines, texts, hatches."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from html import escape
from typing import Literal

# Told apart by every kind of colour vision and, through hatching and dashes, in grey.
INK = "#1b1f23"
SOFT = "#5d6670"
FAINT = "#d5dae0"
PAPER = "#ffffff"
WARM = "#b5470c"
COOL = "#12588f"
WARM_WASH = "#fbe3d3"
COOL_WASH = "#d9e8f5"

Anchor = Literal["start", "middle", "end"]


@dataclass
class Drawing:
    """A drawing that fills up from the back to the front.

    Parameters
    ----------
    name : str
        Unique in its page: the names of hatches begin with it.
    title : str
        What it shows, in one line.
    description : str
        What a person who cannot see it should know.
    width, height : float
        Size in its own units.
    """

    name: str
    title: str
    description: str
    width: float
    height: float
    marks: list[str] = field(default_factory=list)
    hatches: dict[str, str] = field(default_factory=dict)

    def hatch(self, colour: str, *, angle: int = 45, gap: float = 5, wash: str = PAPER) -> str:
        """Give a hatched fill, made once for each kind.

        Parameters
        ----------
        colour, wash : str
            Of the strokes and of the ground.
        angle : int
            Degrees; 45 leans one way, -45 the other.
        gap : float
            Between two strokes.

        Returns
        -------
        str
            For ``fill``.
        """
        key = f"{self.name}-{len(self.hatches)}"
        pattern = (
            f'width="{_n(gap)}" height="{_n(gap)}" patternUnits="userSpaceOnUse" '
            f'patternTransform="rotate({angle})">'
            f'<rect width="{_n(gap)}" height="{_n(gap)}" fill="{wash}"/>'
            f'<path d="M0 0V{_n(gap)}" stroke="{colour}" stroke-width="1.6"/>'
        )
        key = self.hatches.setdefault(pattern, key)
        return f"url(#{key})"

    def box(
        self,
        x: float,
        y: float,
        width: float,
        height: float,
        *,
        fill: str = "none",
        stroke: str = "none",
        line: float = 1,
    ) -> None:
        """Draw a rectangle."""
        self.marks.append(
            f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(max(width, 0))}" '
            f'height="{_n(max(height, 0))}" fill="{fill}" stroke="{stroke}" '
            f'stroke-width="{_n(line)}"/>'
        )

    def line(
        self,
        points: Iterable[tuple[float, float]],
        *,
        stroke: str = INK,
        line: float = 1,
        dash: str = "",
    ) -> None:
        """Draw a chain of straight strokes."""
        path = "L".join(f"{_n(x)} {_n(y)}" for x, y in points)
        dashes = f' stroke-dasharray="{dash}"' if dash else ""
        self.marks.append(
            f'<path d="M{path}" fill="none" stroke="{stroke}" stroke-width="{_n(line)}" '
            f'stroke-linejoin="round"{dashes}/>'
        )

    def area(self, points: Iterable[tuple[float, float]], *, fill: str) -> None:
        """Fill a polygon."""
        path = "L".join(f"{_n(x)} {_n(y)}" for x, y in points)
        self.marks.append(f'<path d="M{path}Z" fill="{fill}"/>')

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        size: float = 10,
        anchor: Anchor = "start",
        fill: str = INK,
        bold: bool = False,
        halo: bool = False,
    ) -> None:
        """Write a line of text, on a halo of paper where it crosses other marks."""
        weight = ' font-weight="700"' if bold else ""
        ring = f' stroke="{PAPER}" stroke-width="3" paint-order="stroke"' if halo else ""
        self.marks.append(
            f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" text-anchor="{anchor}" '
            f'fill="{fill}"{weight}{ring}>{escape(words)}</text>'
        )

    def render(self) -> str:
        """Write the drawing as a document that stands alone or inside a page."""
        patterns = "".join(f'<pattern id="{key}" {p}</pattern>' for p, key in self.hatches.items())
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(self.width)} '
            f'{_n(self.height)}" role="img" aria-labelledby="{self.name}-t {self.name}-d" '
            f'font-family="Helvetica Neue,Arial,DejaVu Sans,sans-serif">'
            f'<title id="{self.name}-t">{escape(self.title)}</title>'
            f'<desc id="{self.name}-d">{escape(self.description)}</desc>'
            f"<defs>{patterns}</defs>"
            f'<rect width="100%" height="100%" fill="{PAPER}"/>' + "".join(self.marks) + "</svg>\n"
        )


def ticks(low: float, high: float, most: int) -> list[float]:
    """Give round values from ``low`` to ``high``: steps of 1, 2 or 5 times a power of ten.

    Examples
    --------
    >>> ticks(0, 170, 5)
    [0.0, 50.0, 100.0, 150.0]
    """
    return _steps(low, high, most, (1, 2, 5))


def clock_ticks(high_s: float, most: int) -> list[float]:
    """Give round times from 0 to ``high_s``: whole parts and multiples of a minute.

    Examples
    --------
    >>> clock_ticks(200, 5)
    [0.0, 60.0, 120.0, 180.0]
    """
    for step in (5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 1200.0, 1800.0):
        if high_s / step <= most:
            return [i * step for i in range(int(high_s / step) + 1)]
    return _steps(0, high_s, most, (1, 2, 5))


def _steps(low: float, high: float, most: int, bases: tuple[int, ...]) -> list[float]:
    if not high > low:
        return [low]
    power = 10.0 ** math.floor(math.log10((high - low) / most))
    marks: list[float] = []
    for step in (base * power * scale for scale in (1, 10, 100) for base in bases):
        first = math.ceil(low / step - 1e-9)
        inside = [i * step for i in range(first, math.floor(high / step + 1e-9) + 1)]
        # A step that finds nothing to stand on leaves the finer one.
        marks = inside or marks
        if (high - low) / step <= most:
            break
    return marks


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")
