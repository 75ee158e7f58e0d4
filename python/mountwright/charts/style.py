"""What all charts share: paper, colours, axes with units, the line that names sources."""

from __future__ import annotations

import base64
import html
import io
import math
from collections.abc import Iterable
from typing import Any, cast

import matplotlib as mpl
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties
from matplotlib.textpath import text_to_path
from matplotlib.ticker import FixedLocator, FuncFormatter

from mountwright._core import material
from mountwright.errors import MountwrightError, ShapeError
from mountwright.packet.svg import (
    COOL,
    COOL_WASH,
    FAINT,
    INK,
    PAPER,
    SOFT,
    WARM,
    WARM_WASH,
    clock_ticks,
)
from mountwright.packet.words import Units, clock
from mountwright.records import standing

__all__ = [
    "COOL",
    "COOL_WASH",
    "FAINT",
    "INK",
    "PAPER",
    "SOFT",
    "WARM",
    "WARM_WASH",
    "Chart",
    "Units",
]

# A grey, a blue and an orange of different lightness: each pair differs for every kind of colour
# vision, and the washes stay apart from the strokes in grey.
STYLE: dict[Any, Any] = {
    "axes.axisbelow": True,
    "axes.edgecolor": SOFT,
    "axes.grid": True,
    "axes.labelcolor": SOFT,
    "axes.labelsize": 9,
    "axes.linewidth": 0.8,
    "axes.spines.right": False,
    "axes.spines.top": False,
    "axes.titlelocation": "left",
    "axes.titlesize": 10,
    "figure.facecolor": PAPER,
    "font.family": ["DejaVu Sans"],
    "font.size": 9,
    "grid.color": FAINT,
    "grid.linewidth": 0.6,
    "hatch.linewidth": 0.9,
    "legend.fontsize": 8.5,
    "legend.frameon": False,
    "text.color": INK,
    "xtick.color": SOFT,
    "xtick.labelsize": 8.5,
    "ytick.color": SOFT,
    "ytick.labelsize": 8.5,
}


# Sizes of the lines under the title and at the foot. [pt]
UNDER = 9.0
FOOT = 7.8


class Chart(Figure):
    """A matplotlib figure that says in words what it shows.

    Attributes
    ----------
    alt : str
        What a person who cannot see it should know.
    """

    alt: str = ""

    def png(self, *, dpi: float = 150) -> bytes:
        """Draw it as a PNG.

        Parameters
        ----------
        dpi : float, default 150
            Dots to the inch.

        Returns
        -------
        bytes
            A PNG file.
        """
        out = io.BytesIO()
        self.savefig(out, format="png", dpi=dpi)
        return out.getvalue()

    def _repr_html_(self) -> str:
        picture = base64.b64encode(self.png()).decode("ascii")
        wide = round(96 * self.get_figwidth())
        return (
            f'<img alt="{html.escape(self.alt, quote=True)}" style="max-width:100%;width:{wide}px" '
            f'src="data:image/png;base64,{picture}">'
        )


def style() -> Any:
    """Give the context in which figures are made; nothing outside of it changes."""
    return mpl.rc_context(STYLE)


def chart(
    title: str,
    below: str,
    *,
    alt: str,
    caption: Iterable[str],
    width: float = 7.0,
    height: float = 4.2,
) -> Chart:
    """Make an empty figure with its heading and, at its foot, where the numbers come from.

    ``below`` stands under the title; what is drawn lies between them and the foot.
    """
    made = Chart(figsize=(width, height), layout="constrained")
    made.alt = alt
    foot = [line for text in caption if text for line in _lines(text, FOOT, width)]
    under = _lines(below, UNDER, width)
    up = (0.30 + 0.16 * len(under)) / height
    down = (0.10 + 0.157 * len(foot)) / height
    engine: Any = made.get_layout_engine()
    engine.set(rect=(0.008, down, 0.984, 1 - up - down), h_pad=0.04, w_pad=0.06)
    made.text(0.014, 1 - 0.07 / height, title, va="top", size=11.5, weight="bold")
    made.text(0.014, 1 - 0.29 / height, "\n".join(under), va="top", size=UNDER, color=SOFT)
    made.text(
        0.014, 0.06 / height, "\n".join(foot), va="bottom", size=FOOT, color=SOFT, linespacing=1.35
    )
    return made


def _lines(text: str, points: float, width: float) -> list[str]:
    """Break a text into lines as wide as the figure, less a margin on either side."""
    font = FontProperties(family=STYLE["font.family"], size=points)
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        long, _, _ = text_to_path.get_text_width_height_descent(longer, font, ismath=False)
        if lines and long / 72 <= width * 0.96:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def degrees(kelvin: Any, units: Units) -> Any:
    """Turn kelvins into the degrees of the axis."""
    return kelvin * 1.8 - 459.67 if units == "inch" else kelvin - 273.15


def degree_sign(units: Units) -> str:
    """Give the unit of :func:`degrees`."""
    return "°F" if units == "inch" else "°C"


def lengths(metres: Any, units: Units) -> Any:
    """Turn metres into the lengths of the axis."""
    return metres / 0.0254 if units == "inch" else metres * 1e3


def length_sign(units: Units) -> str:
    """Give the unit of :func:`lengths`."""
    return "in" if units == "inch" else "mm"


def known(units: str) -> Units:
    """Hold the units against those that there are."""
    if units in ("metric", "inch"):
        return cast(Units, units)
    allowed = '"metric" or "inch"'
    raise ShapeError(f"units is {units!r}, allowed is {allowed}", "units", repr(units), allowed)


def time_axis(ax: Axes, end_s: float, words: str = "time from the start of heat") -> None:
    """Mark seconds along as a stop watch shows them."""
    marks = clock_ticks(end_s, 9)
    ax.set_xlim(0, end_s)
    ax.xaxis.set_major_locator(FixedLocator(marks))
    ax.xaxis.set_major_formatter(FuncFormatter(lambda s, _: clock(s)))
    ax.set_xlabel(f"{words}, minutes : seconds")


def figure_of(value: Any) -> float | None:
    """Give a time: a number, or the likeliest of a range as plans have them."""
    if value is None:
        return None
    found = value.nominal if hasattr(value, "nominal") else value
    return None if found is None or not math.isfinite(found) else float(found)


def band_of(value: Any) -> tuple[float, float] | None:
    """Give the range of a time where there are draws."""
    low, high = getattr(value, "p10", None), getattr(value, "p90", None)
    return None if low is None or high is None else (float(low), float(high))


def sheet_sources(name: str, properties: Iterable[str]) -> str:
    """Say where properties of a sheet come from; empty for a sheet of the user's own file."""
    try:
        sheet = material(name)
    except MountwrightError:
        return ""
    by: dict[str, list[str]] = {}
    for key in properties:
        found = sheet.entries.to_dict().get(key)
        if found:
            words = f"{found['source']} ({standing(found['standing'])})"
            by.setdefault(words, []).append(key.replace("_", " "))
    told = "; ".join(f"{', '.join(keys)}: {source}" for source, keys in by.items())
    return f"Sources for {sheet.name}: {told}." if told else ""


def standings(plan: Any) -> str:
    """Say what the numbers of a plan rest on."""
    counts = plan.provenance.counts.to_dict()
    told = ", ".join(f"{n} {standing(name)}" for name, n in counts.items() if n)
    return (
        f"Sources: {sum(counts.values())} numbers, {told}; plan.provenance lists each with its "
        "source."
    )
