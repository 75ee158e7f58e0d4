"""Temperatures over time at several depths of a wall or a sheet."""

from __future__ import annotations

from typing import Any

import numpy as np

from mountwright._core import SlabHistory
from mountwright.charts.style import (
    COOL,
    INK,
    SOFT,
    WARM,
    Chart,
    Units,
    chart,
    degree_sign,
    degrees,
    known,
    length_sign,
    lengths,
    style,
    time_axis,
)
from mountwright.errors import ShapeError

# Warm where the heat comes in, cool at the back; dashes tell them apart in grey.
STROKES: tuple[dict[str, Any], ...] = (
    {"color": WARM, "lw": 2.2},
    {"color": INK, "lw": 1.3, "ls": (0, (1.2, 1.4))},
    {"color": SOFT, "lw": 1.5},
    {"color": INK, "lw": 1.3, "ls": (0, (6, 2, 1.2, 2))},
    {"color": COOL, "lw": 2.0, "ls": (0, (6, 2.4))},
)


def temperatures(
    history: SlabHistory, *, depths: int = 5, title: str = "", units: Units = "metric"
) -> Chart:
    """Draw temperatures over time at several depths.

    Parameters
    ----------
    history : SlabHistory
        From :func:`mountwright.heat_slab`.
    depths : int, default 5
        How many depths, 2 to 5: both faces, the others evenly between them.
    title : str, optional
        What was heated, for the heading.
    units : {"metric", "inch"}, default "metric"
        Millimetres and degrees Celsius, or inches and degrees Fahrenheit.

    Returns
    -------
    Chart
        A matplotlib figure.

    Raises
    ------
    ShapeError
        Fewer than two depths or more than five; fewer than two times; other units.

    Examples
    --------
    >>> face = mw.Face(film_w_m2_k=50, gas_k=500)
    >>> layer = mw.Layer(
    ...     thickness_m=3e-3,
    ...     conductivity_w_m_k=0.18,
    ...     density_kg_m3=1040,
    ...     heat_capacity_j_kg_k=1900,
    ...     start_k=293.15,
    ... )
    >>> found = mw.heat_slab([layer], [mw.Step(seconds=60, front=face, back=mw.Face())])
    >>> len(mw.charts.temperatures(found, depths=3).axes[0].lines)
    3
    """
    units = known(units)
    if not 2 <= depths <= len(STROKES):
        raise ShapeError(
            f"depths is {depths}, allowed is 2 to {len(STROKES)}",
            "depths",
            str(depths),
            f"2 to {len(STROKES)}",
        )
    times, places = np.asarray(history.t_s), np.asarray(history.x_m)
    if times.size < 2:
        raise ShapeError(
            "history is shorter than two times, allowed is two times or more: ask heat_slab for "
            "more with at_s",
            "history",
            "shorter than two times",
            "two times or more",
        )
    at = [int(np.abs(places - x).argmin()) for x in np.linspace(places[0], places[-1], depths)]
    field = degrees(np.asarray(history.temperature_k), units)
    sign, unit = degree_sign(units), length_sign(units)
    last = [f"{lengths(places[i], units):.3g} {unit}" for i in at]
    front, back = field[:, at[0]], field[:, at[-1]]
    alt = (
        f"Temperatures over {times[-1]:.0f} s{' of ' + title if title else ''}: the front goes "
        f"from {front[0]:.0f} to at most {front.max():.0f} {sign} and ends at {front[-1]:.0f} "
        f"{sign}; the back from {back[0]:.0f} to at most {back.max():.0f} {sign} and ends at "
        f"{back[-1]:.0f} {sign}."
    )
    closes = f"{max(abs(history.energy_error), 1e-16):.0e}"
    caption = [
        f"One-dimensional transient conduction; the heat balance closes to {closes}. Sources: "
        "src/heat/theory.md; material data as given."
    ]
    with style():
        made = chart("Temperature by depth", title, alt=alt, caption=caption)
        ax = made.add_subplot()
        for i, words, stroke in zip(at, last, _strokes(depths), strict=True):
            end = "front" if i == at[0] else "back" if i == at[-1] else ""
            ax.plot(
                times, field[:, i], label=f"{words} {end}".strip(), solid_capstyle="round", **stroke
            )
        time_axis(ax, float(times[-1]), "time")
        ax.set_ylabel(f"temperature, {sign}")
        ax.legend(title="depth", loc="center left", bbox_to_anchor=(1.0, 0.5), handlelength=3.2)
    return made


def _strokes(depths: int) -> list[dict[str, Any]]:
    chosen = {2: (0, 4), 3: (0, 2, 4), 4: (0, 1, 3, 4), 5: (0, 1, 2, 3, 4)}[depths]
    return [STROKES[i] for i in chosen]
