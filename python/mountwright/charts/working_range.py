"""A map of the working range: where a sheet is too cold, workable, fuming, overheated."""

from __future__ import annotations

from typing import Any

import numpy as np
from matplotlib.patches import Patch, PathPatch
from matplotlib.path import Path

from mountwright.charts.style import (
    COOL,
    COOL_WASH,
    INK,
    PAPER,
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
from mountwright.heat_draw import GOOD, LEGEND, Points, inside, outlines
from mountwright.heat_map import WorkingRange

# Fill and hatching of each zone; the hatching is what is left of it in grey.
FILLS = (COOL_WASH, GOOD, "#f6cfae", "#dd8f60")
HATCHES = ("\\\\", "", "..", "///")
STROKES = (COOL, INK, WARM, WARM)


def working_range(found: WorkingRange, *, units: Units = "metric") -> Chart:
    """Draw a map of the working range.

    Parameters
    ----------
    found : WorkingRange
        From :func:`mountwright.distance_time_map` or :func:`mountwright.setting_distance_map`.
    units : {"metric", "inch"}, default "metric"
        Of the axes.

    Returns
    -------
    Chart
        A matplotlib figure.

    Raises
    ------
    ShapeError
        A map with one row or one column; other units.

    Examples
    --------
    >>> gun = mw.HotAirGun("300 °C", "300 L/min")
    >>> asked = {"thickness": "3 mm", "back": "turned every 8 s"}
    >>> found = mw.distance_time_map("abs", gun=gun, points=(8, 12), **asked)
    >>> mw.charts.working_range(found).axes[0].get_ylabel()
    'distance from the nozzle, mm'
    """
    units = known(units)
    if min(found.zone.shape) < 2:
        given = " x ".join(map(str, found.zone.shape))
        allowed = "two rows and two columns or more"
        raise ShapeError(f"map is {given}, allowed is {allowed}", "map", given, allowed)
    over_time = found.time_s is not None
    if found.time_s is not None:
        across, up = found.time_s, lengths(found.distance_m, units)
    else:
        across, up = lengths(found.distance_m, units), degrees(found.setting_k, units)
    share = ", ".join(f"{word} {part:.0%}" for word, part in found.share().items())
    head, _, rest = found.title.partition(", ")
    alt = (
        f"Working range of {found.title}, "
        f"{'distance over time' if over_time else 'setting over distance'}: {share}."
    )
    caption = [
        "Drawn for the likeliest values: guns and sheets differ, so try a coupon first. Extract "
        "fumes at the source; stop at a sharp smell or a change of colour, whatever the map says.",
        "Sources: sheet data of the catalogue, jet and conduction as in src/heat/theory.md."
        + "".join(f" {note[0].upper()}{note[1:]}." for note in found.notes[:1]),
    ]
    with style():
        made = chart(f"Working range: {head}", rest, alt=alt, caption=caption, height=5.2)
        ax = made.add_subplot()
        ax.grid(visible=False)
        ax.set_facecolor(FILLS[0])
        # Zones are nested: each is drawn over those below it, so that their borders do not mix.
        for level, (fill, hatch, edge) in enumerate(zip(FILLS, HATCHES, STROKES, strict=True)):
            loops = outlines(found.zone >= level)
            if not loops:
                continue
            area = Path.make_compound_path(*(_border(loop, across, up) for loop in loops))
            ax.add_patch(PathPatch(area, facecolor=fill, edgecolor=edge, hatch=hatch, lw=0))
            ax.add_patch(PathPatch(area, facecolor="none", edgecolor=INK, lw=1.2 if level else 0))
        for number, word in enumerate(found.zones):
            spot = inside(found.zone == number)
            if spot is not None:
                row, column = (round(i) for i in spot)
                ax.text(
                    across[column],
                    up[row],
                    word,
                    ha="center",
                    va="center",
                    size=10,
                    weight="bold" if number == 1 else "normal",
                    bbox={"facecolor": PAPER, "edgecolor": "none", "pad": 2.5},
                )
        if over_time:
            time_axis(ax, float(across[-1]), "time of heat")
            ax.set_ylabel(f"distance from the nozzle, {length_sign(units)}")
        else:
            ax.set_xlabel(f"distance from the nozzle, {length_sign(units)}")
            ax.set_ylabel(f"air at the nozzle, {degree_sign(units)}")
        ax.set_xlim(float(across[0]), float(across[-1]))
        ax.set_ylim(float(up[0]), float(up[-1]))
        handles = [
            Patch(facecolor=fill, edgecolor=stroke, hatch=hatch, lw=0.8, label=f"{word}: {meaning}")
            for (word, meaning), fill, hatch, stroke in zip(
                LEGEND[found.kind], FILLS, HATCHES, STROKES, strict=True
            )
        ]
        ax.legend(
            handles=handles,
            loc="upper center",
            bbox_to_anchor=(0.5, -0.13),
            ncols=2,
            handlelength=2.4,
            handleheight=1.3,
        )
    return made


def _border(loop: Points, across: Any, up: Any) -> Path:
    """Turn a loop of (row, column) into one of the axes, going straight on beyond their ends."""
    points = np.array(loop)

    def along(axis: Any, index: Any) -> Any:
        low = np.clip(np.floor(index).astype(int), 0, axis.size - 2)
        return axis[low] + (index - low) * (axis[low + 1] - axis[low])

    corners = np.column_stack([along(across, points[:, 1]), along(up, points[:, 0])])
    return Path(np.vstack([corners, corners[:1]]), closed=True)
