"""The forming window of a recipe: temperatures over time, limits, stop, working time, hold."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from mountwright.charts.style import (
    COOL,
    COOL_WASH,
    INK,
    PAPER,
    SOFT,
    WARM,
    Chart,
    Units,
    band_of,
    chart,
    degree_sign,
    degrees,
    figure_of,
    known,
    sheet_sources,
    style,
    time_axis,
)
from mountwright.errors import ShapeError
from mountwright.heat_draw import GOOD
from mountwright.heat_records import Recipe
from mountwright.heat_words import said
from mountwright.packet.words import by_beat, clock, from_beat, length, sheet_name, window_times
from mountwright.records import Record

CURVES: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("front_k", "heated face", {"color": WARM, "lw": 2.2}),
    ("back_k", "other face", {"color": COOL, "lw": 1.7, "ls": (0, (6, 2.4))}),
    ("mean_k", "mean", {"color": SOFT, "lw": 1.3}),
    ("coldest_k", "coldest point", {"color": INK, "lw": 1.7, "ls": (0, (1.2, 1.4))}),
)
LIMITS = {
    "upper_k": "past forming",
    "formable_k": "formable",
    "limp_k": "limp",
    "set_k": "set",
    "fume_onset_k": "fumes",
}


# Nobody stands longer than this with a gun in the hand: common practice, no source.
LONGEST_S = 600.0


def forming_window(recipe: Recipe | Record, *, note: str = "", units: Units = "metric") -> Chart:
    """Draw temperatures over time with the limits of the sheet and the window between them.

    Where the recipe has draws, bars above the chart show from the 10th to the 90th percentile when
    the window opens, when heat stops and when it closes.

    Parameters
    ----------
    recipe : Recipe, or a part of a plan
        A recipe that was asked for with ``history=True``; of a plan, ``plan.parts[0]``.
    note : str, optional
        Added to the line under the heading: what a recipe does not know, such as how far away the
        nozzle is.
    units : {"metric", "inch"}, default "metric"
        Degrees Celsius or Fahrenheit.

    Returns
    -------
    Chart
        A matplotlib figure.

    Raises
    ------
    ShapeError
        The recipe has no history; the part is not heated; other units.

    Examples
    --------
    >>> heat = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
    >>> asked = {"thickness": "3 mm", "heat": heat, "back": "turned every 8 s"}
    >>> recipe = mw.recipe("abs", history=True, draws=32, **asked)
    >>> chart = mw.charts.forming_window(recipe, note="nozzle 100 mm away")
    >>> chart.axes[0].get_ylabel()
    'temperature, °C'
    """
    units = known(units)
    part = recipe if isinstance(recipe, Recipe) else None
    name, what = _named(recipe, units)
    what += f", {note}" if note else ""
    if part is None:
        recipe = getattr(recipe, "recipe", None) or recipe
    history = getattr(recipe, "history", None)
    if history is None:
        raise ShapeError(
            "recipe is without history, allowed is one with temperatures over time: ask "
            "for it with history=True",
            "recipe",
            "without history",
            "one with temperatures over time",
        )
    times = np.asarray(history.t_s)
    ranges = getattr(recipe, "ranges", None)
    seen = {key: getattr(recipe, key) for key in ("opens_s", "stop_s", "closes_s")}
    opens, stop, closes = (figure_of(value) for value in seen.values())
    bands = {
        key: band_of(getattr(ranges, key, None) if ranges else value) for key, value in seen.items()
    }
    told = window_times(opens, stop, closes)
    cue, first = f"heat stops at {told['stop_s']}", bands["closes_s"] and bands["closes_s"][0]
    if part is not None and opens is not None and stop is not None and stop >= opens:
        # Seconds are counted from what is seen, and a range that misleads is not drawn.
        counted, first = part.more_s, part.too_hot_from_s
        cue = (
            f"stop: {part.need} + {said(counted, step=1)}" if counted else f"stop once {part.need}"
        )
        bands = {key: band_of(part.range_of(key)) for key in ("opens_s", "closes_s")}
    end = float(times[-1])
    curves = [(np.asarray(k), w, s) for key, w, s in CURVES if (k := getattr(history, key, None))]
    hottest = max(float(values.max()) for values, *_ in curves)
    limits = {
        words: float(k)
        for key, words in LIMITS.items()
        # A limit far above everything that happens would flatten the curves.
        if (k := getattr(recipe.limits, key, None))
        and k < hottest + 60
        and not (words == "formable" and getattr(recipe, "need", "") == "limp")
    }
    sign = degree_sign(units)
    peak = f"The hottest point reaches {degrees(hottest, units):.0f} {sign}."
    alt = f"Forming window of {what}: " + (
        "it never opens. " + peak
        if opens is None
        else f"it opens at {told['opens_s']}, {cue}, {_closing(closes, told['closes_s'])}. " + peak
    )
    draws = getattr(recipe, "draws", None)
    lines = [
        _words(recipe),
        f"Bars: 10 to 90 % of {draws} draws." if draws and any(bands.values()) else "",
    ]
    if any(bands.values()) and not draws:
        lines[1] = "Bars: 10 to 90 % of the draws."
    keys = [key.removesuffix("_k") for key, words in LIMITS.items() if words in limits]
    caption = [" ".join(lines).strip(), sheet_sources(name, keys)]
    with style():
        made = chart("Forming window", what, alt=alt, caption=caption, height=5.1)
        grid: Any = made.add_gridspec(2, 1, height_ratios=(1.6, 7), hspace=0.0)
        ax = made.add_subplot(grid[1])
        top = made.add_subplot(grid[0], sharex=ax)
        low = min(float(values.min()) for values, *_ in curves)
        high = max(hottest, *limits.values()) if limits else hottest
        ax.set_ylim(degrees(low - 5, units), degrees(high + 9, units))
        if opens is not None:
            ax.axvspan(opens, end if closes is None else min(closes, end), color=GOOD, lw=0)
        if opens is not None and stop is not None:
            _after(ax, recipe, stop, end)
        for values, words, stroke in curves:
            ax.plot(times, degrees(values, units), label=words, **stroke)
        _limits(ax, limits, end, units)
        if stop is not None:
            for panel in (ax, top):
                panel.axvline(stop, color=INK, lw=1.6)
        time_axis(ax, end)
        ax.set_ylabel(f"temperature, {sign}")
        ax.legend(
            loc="upper center",
            bbox_to_anchor=(0.5, -0.17),
            ncols=4,
            handlelength=3,
            columnspacing=1.6,
        )
        heads = {
            "closes_s": f"too hot {told['closes_s']}",
            "stop_s": cue.replace("heat stops at", "stop"),
        }
        heads["opens_s"] = f"{getattr(recipe, 'need', 'limp')} {told['opens_s']}"
        burns = closes is not None and closes <= LONGEST_S
        if not burns:
            heads["closes_s"] = f"not too hot within {LONGEST_S / 60:.0f} min"
        sooner = first is not None and first < min(LONGEST_S, closes or math.inf)
        if first is not None and sooner and not (burns and bands["closes_s"]):
            heads["closes_s"] = f"too hot from {clock(math.floor(first))} on in one draw of ten"
        _bars(top, {"closes_s": closes, "stop_s": stop, "opens_s": opens}, bands, heads, end)
    return made


def _named(recipe: Any, units: Units) -> tuple[str, str]:
    """Give the sheet's name for look-ups, and what is heated in words."""
    thick = length(recipe.thickness_m, units) if hasattr(recipe, "thickness_m") else ""
    if isinstance(recipe, Recipe):
        name = recipe.material
        return (
            name,
            f"{sheet_name(name)}, {thick}, {recipe.source}, {recipe.back}",
        )
    name = str(getattr(recipe, "material", ""))
    words = [getattr(recipe, "name", ""), sheet_name(name), thick]
    found = getattr(recipe, "recipe", None)
    if found is not None:
        far = getattr(found, "distance_m", None)
        words += [found.gun, f"nozzle {length(far, units)} away" if far else "", found.behind]
    return name, ", ".join(word for word in words if word) or "a part"


def _closing(closes: float | None, told: str) -> str:
    if closes is None or closes > LONGEST_S:
        return f"it does not close within {LONGEST_S / 60:.0f} minutes"
    return f"it closes at {told}"


def _words(recipe: Any) -> str:
    if not figure_of(recipe.opens_s):
        why = getattr(getattr(recipe, "why_no_window", None), "why", "")
        return f"No window: {why}." if why else "No window."
    told = "One run, at the likeliest inputs; limp is rounded up, too hot down. Work it for "
    told += f"{by_beat(figure_of(recipe.working_time_s))} after the stop"
    return f"{told}, hold it for {from_beat(figure_of(recipe.hold_s))}."


def _after(ax: Any, recipe: Any, stop: float, end: float) -> None:
    """Mark, at the foot, how long it can be worked and how long it is held."""
    for value, words, fill, y, ink in (
        (recipe.working_time_s, "work it", COOL, 0.06, PAPER),
        (recipe.hold_s, "hold it", COOL_WASH, 0.0, INK),
    ):
        seconds = figure_of(value)
        if seconds is None:
            continue
        wide = min(seconds, end - stop)
        ax.barh(
            y + 0.03,
            wide,
            0.06,
            left=stop,
            color=fill,
            edgecolor=COOL,
            lw=0.8,
            transform=ax.get_xaxis_transform(),
            zorder=3,
        )
        inside = wide > 0.1 * end
        # What does not fit into its bar stands behind it.
        ax.text(
            stop + (wide / 2 if inside else wide + 0.01 * end),
            y + 0.0285,
            words,
            transform=ax.get_xaxis_transform(),
            color=ink if inside else INK,
            size=8,
            ha="center" if inside else "left",
            va="center",
            zorder=4,
        )


def _limits(ax: Any, limits: dict[str, float], end: float, units: Units) -> None:
    """Draw the limits, each label clear of the one below it."""
    low, high = ax.get_ylim()
    step = 0.052 * (high - low)
    last = low
    for words, kelvin in sorted(limits.items(), key=lambda pair: pair[1]):
        at = degrees(kelvin, units)
        ax.axhline(at, color=INK, lw=0.8, ls=(0, (8, 3, 2, 3)))
        last = max(at, last + step)
        ax.annotate(
            f"{words} {at:.0f} {degree_sign(units)}",
            (end, last),
            (5, 0),
            textcoords="offset points",
            va="center",
            size=8.5,
            annotation_clip=False,
        )


def _bars(
    top: Any,
    at_s: dict[str, float | None],
    bands: dict[str, tuple[float, float] | None],
    words: dict[str, str],
    end: float,
) -> None:
    """Draw, above the chart, when things happen and within which range."""
    top.set_axis_off()
    top.set_ylim(-0.6, 2.6)
    stop = at_s["stop_s"]
    for row, (key, colour) in enumerate((("closes_s", WARM), ("stop_s", INK), ("opens_s", COOL))):
        at, told, band = at_s[key], words[key], bands.get(key)
        if at is None and key == "closes_s" and stop is not None:
            at = math.inf
        if at is None:
            continue
        if band is not None:
            top.plot(
                [min(b, end) for b in band],
                [row, row],
                color=colour,
                lw=3,
                alpha=0.55,
                solid_capstyle="butt",
                clip_on=False,
            )
        # What happens after the end of the chart is pointed to, not drawn.
        mark = ">" if at > end else "D" if row == 1 else "o"
        at = min(at, end)
        top.plot(at, row, mark, color=colour, ms=5, clip_on=False)
        right = max(at, min(band[1], end)) if band else at
        left = min(at, band[0]) if band else at
        first = right < 0.72 * end
        if row == 2 and stop is not None:
            # Clear of the stroke at the stop.
            first = left < 0.3 * end
            right = max(right, stop)
        top.annotate(
            told,
            (right if first else left, row),
            (7 if first else -7, 0),
            textcoords="offset points",
            va="center",
            ha="left" if first else "right",
            size=8.5,
            weight="bold" if row == 1 else "normal",
            annotation_clip=False,
        )
