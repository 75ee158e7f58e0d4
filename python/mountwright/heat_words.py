"""Recipes, heats and calibrations in the words of the bench."""

from __future__ import annotations

import html
import math
from collections.abc import Callable
from typing import Any, Literal
from zlib import crc32

from mountwright._core import Heat, HotAirGun, SlabHistory
from mountwright.heat_records import Calibration, LineBend, Recipe, Way
from mountwright.packet.words import length, sentence, sheet_name, temperature

# The usual cautions, whatever is heated and with what.
CAUTIONS = (
    "Hot air, hot sheet and the nozzle burn: gloves and glasses, nothing that burns nearby, no "
    "solvent or glue open in the room; let the tool cool on its stand.",
    "Heated plastic gives off fumes: extract at the source. Stop at a sharp smell or a change of "
    "colour, whatever the clock says.",
    "Local codes, the sheet's data sheet and licensed practice come first.",
)
STROKE = "2 s a stroke"
NAMES = {
    "thickness_m": "the thickness of the sheet",
    "conductivity_factor": "the sheet's conductivity",
    "heat_capacity_factor": "the sheet's heat capacity",
    "air_k": "the air of the shop",
    "limp_k": "where this sheet goes limp",
    "formable_k": "where this sheet draws",
    "wrap": "air round the edges",
    "gun.setpoint_k": "the air at the nozzle",
    "gun.airflow_m3_s": "the airflow",
    "gun.distance_factor": "how well the distance is kept",
    "gun.film_factor": "the gun's film coefficient",
    "gun.effectiveness_shift": "the air drawn in on the way",
    "heat.film_w_m2_k": "the film coefficient",
    "heat.gas_k": "the temperature of the heat",
    "heat.radiator_k": "the temperature of the panel",
}


Side = Literal["near", "up", "down"]
# Rounded to the safe side: ready late, too hot early.
SIDES: dict[str, Side] = {"opens_s": "up", "closes_s": "down"}


def said(seconds: float | None, side: Side = "near", step: int = 5) -> str:
    """Say a time rounded to what the range supports, 5 seconds, or to the safe side of it.

    Examples
    --------
    >>> said(48.2), said(112), said(2), said(1300), said(None)
    ('50 s', '1 min 50 s', '5 s', '22 min', 'never')
    >>> said(66.1, "up"), said(69.1, "down"), said(3.5, "down")
    ('1 min 10 s', '1 min 5 s', '3 s')
    """
    whole_of: Callable[[float], int] = round
    if side != "near":
        whole_of = math.ceil if side == "up" else math.floor
    if seconds is None or not math.isfinite(seconds):
        return "never"
    if seconds > 600:
        return f"{whole_of(seconds / 60)} min"
    whole = step * whole_of(seconds / step)
    if not whole:
        whole = math.floor(seconds) if side == "down" else step
    minutes, rest = divmod(whole, 60)
    if not minutes:
        return f"{rest} s"
    return f"{minutes} min {rest} s" if rest else f"{minutes} min"


def step_of(recipe: Recipe) -> int:
    """Say to how many seconds the window is told: 1 where 5 would leave no room within it."""
    if recipe.opens_s is None or recipe.closes_s is None:
        return 5
    first, last = math.ceil(recipe.opens_s / 5), math.floor(recipe.closes_s / 5)
    return 5 if max(first, round((recipe.stop_s or 0) / 5)) < last else 1


def _band(recipe: Recipe, name: str, step: int = 5) -> str:
    band = recipe.range_of(name)
    if band is None:
        return ""
    side = SIDES.get(name, "near")
    low, high = said(band.p10, side, step), said(band.p90, side, step)
    return f" ({low} to {high})" if low != high else ""


def _degrees(kelvin: float) -> str:
    return temperature(kelvin, "metric")


def head(recipe: Recipe) -> str:
    """Name the sheet and its heat in one line."""
    what = "limp" if recipe.need == "limp" else "formable"
    need = recipe.limits.limp_k if recipe.need == "limp" else recipe.limits.formable_k
    back = {"open": "back in open air", "board": "on a board", "same heat": "both faces"}.get(
        recipe.back, recipe.back
    )
    return (
        f"{length(recipe.thickness_m, 'metric')} {sheet_name(recipe.material)}, {recipe.source}, "
        f"{back}: "
        f"{what} at {_degrees(need)}"
    )


def _no_window(recipe: Recipe) -> list[str]:
    why = recipe.why_no_window
    if why is None:
        return []
    lines = [sentence(f"No window: {why.why}")]
    if why.remedies:
        lines.append(sentence(f"What would open one: {'; '.join(why.remedies)}"))
    return lines


def _drying(recipe: Recipe) -> list[str]:
    drying = recipe.drying
    if drying is None or drying.needed != "yes":
        return []
    at = "" if drying.temperature_k is None else f" at {_degrees(drying.temperature_k)}"
    hours = recipe.allowances.dry_s
    spent = "" if hours is None else f" for about {math.ceil(hours / 3600 - 0.05)} h"
    return [f"Dry the sheet first{at}{spent}: damp sheet blisters; its data sheet comes first."]


def _allowed(recipe: Recipe) -> list[str]:
    """Say what to allow for: shrinkage, and a fold that opens again."""
    allowed, lines = recipe.allowances, []

    def between(found: Any, scale: float, unit: str) -> str:
        low, high = f"{found.low * scale:.2g}", f"{found.high * scale:.2g}"
        return f"{low} to {high}{unit}" if low != high else f"{low}{unit}"

    if allowed.heated_shrinkage is not None:
        share = between(allowed.heated_shrinkage, 100, " %")
        lines.append(
            f"A free sheet shrinks by {share} along its extrusion: cut it longer or clamp it."
        )
    if allowed.after_shrinkage is not None and recipe.need == "formable":
        share = between(allowed.after_shrinkage, 100, " %")
        lines.append(f"From the form to the cold part it shrinks by {share}: make the form larger.")
    if recipe.need == "limp":
        angle = between(allowed.springback, math.degrees(1), "°")
        lines.append(
            f"A fold opens again by {angle} after a cool hold: press it that much further."
        )
    return lines


def steps(recipe: Recipe) -> list[str]:
    """Give the steps at the bench, in order."""
    if not recipe.has_window:
        return _no_window(recipe)
    lines = _drying(recipe)
    by_gun = recipe.source == "hot-air gun"
    moving = f"Keep the gun moving, {STROKE} along the whole heated zone" if by_gun else "Heat it"
    if recipe.turns is not None:
        turns = f"about {recipe.turns} turns" if recipe.turns > 1 else "once or twice"
        every = recipe.back.removeprefix("turned every ")
        lines.append(f"{moving}; turn it over every {every}, {turns}.")
    else:
        lines.append(f"{moving}.")
    word, look = (
        ("limp", "it bends under its own weight")
        if recipe.need == "limp"
        else ("formable", "it hangs like leather and springs back slowly from a gloved finger")
    )
    step = step_of(recipe)
    opens = said(recipe.opens_s, "up", step) + _band(recipe, "opens_s", step)
    lines.append(f"From about {opens} it is {word}: {look}.")
    if (recipe.stop_s or 0) < (recipe.opens_s or 0):
        lines.append(f"Stop at about {said(recipe.stop_s)}, before it is {word}.")
    else:
        counted = recipe.more_s
        until = f"{said(counted, step=step)} more, then stop" if counted else "stop at once"
        lines.append(f"Once it is {word}, {until}.")
    first, closes = recipe.too_hot_from_s, recipe.closes_s
    look = "Stop at once if the face shines, yellows, bubbles or smells sharp."
    # What burns is told even where the rest of its range is not.
    alone = first is not None and first < (closes or math.inf) and not recipe.range_of("closes_s")
    sooner = f"one time in ten {said(first, 'down', step)}" if alone else ""
    if closes is not None:
        because = (
            "its face is as hot as it may be"
            if recipe.closed_by == "upper"
            else "heat and time have used up what it stands"
        )
        told = said(closes, "down", step) + _band(recipe, "closes_s", step)
        told += f" is too long{f', {sooner} already' if sooner else ''}: {because}."
        lines.append(f"{told} {look}")
    elif sooner:
        lines.append(f"It stays open, but {sooner} is already too long. {look}")
    lines.append(
        f"An infrared thermometer (emissivity 0.95) reads at most {_degrees(recipe.peak_face_k)} "
        "on the face."
    )
    if recipe.fumes_from_s is not None:
        lines.append(f"Fumes begin at about {said(recipe.fumes_from_s)}: extraction on.")
    if isinstance(recipe, LineBend) and recipe.soft_width_m is not None:
        wide = length(recipe.soft_width_m, "metric", digits=0)
        lines.append(f"Up to {wide} beside the line are soft: bend along its middle.")
    if recipe.working_time_s is not None:
        lines.append(
            f"Then {said(recipe.working_time_s)}{_band(recipe, 'working_time_s')} are left to "
            "shape it."
        )
    if recipe.hold_s is None:
        lines.append("It does not set in this air: cool it with a damp cloth.")
    else:
        held = {"in hand": "", "on a form": " on the form", "on the part": " on the part"}
        lines.append(
            f"Hold it still{held.get(recipe.held, '')} for {said(recipe.hold_s)}"
            f"{_band(recipe, 'hold_s')}; it is set when it no longer gives."
        )
    if recipe.touch_s is not None and recipe.touch_s < 1:
        lines.append("Gloves stay on while it is soft: it clings, though it is not hot to a grip.")
    elif recipe.touch_s is not None:
        lines.append(
            f"Gloves stay on until {said(recipe.touch_s, 'up')} after the heat: from then on a "
            "bare hand may hold the sheet. The nozzle burns for longer."
        )
    if recipe.behind is not None:
        lines.append(
            f"Behind the foam the part's face reaches {_degrees(recipe.behind.face_k)} "
            f"{said(recipe.behind.face_s)} after the heat: hold that against its data sheet, and "
            "form on a dummy where it is close."
        )
    reheats = recipe.reheats
    if reheats is not None:
        binds = {"dose": "heat and time", "thinning": "loss of thickness"}.get(
            reheats.binds, reheats.binds
        )
        again = f"{reheats.left} more time{'' if reheats.left == 1 else 's'}"
        lines.append(f"Came out wrong? It can be heated {again}; {binds} sets the limit.")
    return [*lines, *_allowed(recipe)]


def _known(recipe: Recipe) -> list[str]:
    if not recipe.draws:
        return []
    lines = []
    share = recipe.window_share
    if share is not None and share < 0.9:
        lines.append(
            f"A window opens in {share:.0%} of {recipe.draws} draws of what is uncertain: too few "
            "to tell ranges."
        )
    elif share is not None and share < 0.995:
        lines.append(f"A window opens in {share:.0%} of {recipe.draws} draws of what is uncertain.")
    else:
        lines.append(f"Ranges hold eight of ten of {recipe.draws} draws of what is uncertain.")
    if share is not None and share >= 0.9:
        told = ("opens_s", "closes_s", "working_time_s", "hold_s")
        if any(getattr(recipe.ranges, name) and not recipe.range_of(name) for name in told):
            lines.append("A figure without a range lies outside that of the draws.")
    strong = [NAMES.get(c.name, c.name) for c in recipe.causes if c.first_order > 0.05]
    if strong:
        lines.append(f"What matters most: {', '.join(strong[:3])}.")
    return lines


def cautions(recipe: Recipe) -> list[str]:
    """Give what can hurt: the usual, then what the material adds."""
    own = [] if recipe.hazards is None else [sentence(c) for c in recipe.hazards.cautions]
    return [*own, *CAUTIONS]


def explain(recipe: Recipe) -> str:
    """Tell a recipe as text; :meth:`Recipe.explain` says more."""
    lines = [head(recipe), ""]
    lines += [f"{i}. {line}" for i, line in enumerate(steps(recipe), 1)]
    known = _known(recipe)
    if known:
        lines += ["", *known]
    if recipe.notes:
        lines += ["", *(sentence(f"{note.about}: {note.text}") for note in recipe.notes)]
    lines += ["", *(f"Caution: {text}" for text in cautions(recipe))]
    return "\n".join(lines)


def chart(recipe: Recipe) -> str:
    """Draw temperatures over time; :meth:`Recipe.svg` says more."""
    from mountwright.packet.window import window

    if recipe.history is None:
        raise ValueError("ask for the recipe with history=True to draw it")
    fields = recipe.to_dict()
    for name in ("opens_s", "closes_s", "stop_s"):
        fields[name] = {"nominal": fields[name]}
    name = f"recipe-{crc32(recipe.to_json().encode()):08x}"
    title = f"{length(recipe.thickness_m, 'metric')} {sheet_name(recipe.material)}"
    return window(name, title, fields, "metric")


TIMES = (
    ("window opens", "opens_s"),
    ("window closes", "closes_s"),
    ("time to shape", "working_time_s"),
    ("hold", "hold_s"),
    ("may be touched", "touch_s"),
)


def recipe_html(recipe: Recipe) -> str:
    """Tell a recipe in a notebook: times with their ranges, the steps, the chart."""
    to = dict.fromkeys(("opens_s", "closes_s"), step_of(recipe))
    rows = [
        f"<tr><th scope='row'>{label}</th><td>"
        f"{said(getattr(recipe, name), SIDES.get(name, 'near'), to.get(name, 5))}</td><td>"
        f"{html.escape(_band(recipe, name, to.get(name, 5)).strip(' ()'))}</td></tr>"
        for label, name in TIMES
        if recipe.has_window
    ]
    times = (
        "<table><thead><tr><th></th><th>likeliest</th><th>8 of 10</th></tr></thead>"
        f"<tbody>{''.join(rows)}</tbody></table>"
        if rows
        else ""
    )
    listed = "".join(f"<li>{html.escape(line)}</li>" for line in steps(recipe))
    known = "".join(f"<p>{html.escape(line)}</p>" for line in _known(recipe))
    notes = "".join(
        f"<li>{html.escape(sentence(f'{note.about}: {note.text}'))}</li>" for note in recipe.notes
    )
    told = f"<details><summary>notes</summary><ul>{notes}</ul></details>" if notes else ""
    hurts = "".join(f"<li>{html.escape(text)}</li>" for text in cautions(recipe))
    drawn = (
        f"<div style='max-width:34em'>{chart(recipe)}</div>" if recipe.history is not None else ""
    )
    return (
        f"<div><p><b>{html.escape(head(recipe))}</b></p>{times}{drawn}<ol>{listed}</ol>{known}"
        f"{told}<p><b>Cautions</b></p><ul>{hurts}</ul></div>"
    )


def way(way: Way) -> str:
    """Tell one way to a window in a line."""
    open_for = "and stays open" if math.isinf(way.seconds) else f"for {said(way.seconds)}"
    return f"{way.what}: opens at {said(way.window.warm_s)}, {open_for}"


def calibration(found: Calibration) -> str:
    """Tell what coupons told."""
    film, gas = found.log_film_factor, found.effectiveness_shift
    low, high = math.exp(film.value - film.sd), math.exp(film.value + film.sd)
    many = len(found.residuals)
    lines = [
        f"{many} coupon{'' if many == 1 else 's'}: film {math.exp(film.value):.2f} times the "
        f"correlation ({low:.2f} to {high:.2f}), effectiveness {gas.value:+.2f} ± {gas.sd:.2f}",
        *(sentence(note.text) for note in found.notes),
    ]
    return "\n".join(lines)


def _table(caption: str, rows: list[tuple[str, str]], notes: list[str]) -> str:
    body = "".join(
        f"<tr><th scope='row'>{html.escape(a)}</th><td>{html.escape(b)}</td></tr>" for a, b in rows
    )
    told = "".join(f"<li>{html.escape(note)}</li>" for note in notes)
    return (
        f"<table><caption>{html.escape(caption)}</caption><tbody>{body}</tbody></table>"
        f"<ul>{told}</ul>"
    )


def slab_dict(history: SlabHistory) -> dict[str, Any]:
    """Copy a history into plain lists and numbers."""
    arrays = (
        "t_s",
        "x_m",
        "temperature_k",
        "mean_k",
        "front_k",
        "back_k",
        "coldest_k",
        "hottest_k",
    )
    return {
        **{name: getattr(history, name).tolist() for name in arrays},
        "supplied_j_m2": list(history.supplied_j_m2),
        "energy_error": history.energy_error,
        "steps": history.steps,
    }


def slab_html(history: SlabHistory) -> str:
    """Tell a history in a notebook: where it begins, ends and is hottest."""

    def told(values: Any) -> str:
        first, last, peak = (v - 273.15 for v in (values[0], values[-1], max(values)))
        return f"{first:.0f} °C at first, {last:.0f} °C at last, {peak:.0f} °C at most"

    places = ("front", "back", "mean", "coldest", "hottest")
    rows = [(place, told(getattr(history, f"{place}_k"))) for place in places]
    rows.append(("heat balance", f"closes to {abs(history.energy_error):.0e}"))
    return _table(f"{history.t_s[-1]:.0f} s, {history.x_m[-1] * 1e3:.2f} mm", rows, [])


def heat_dict(heat: Heat) -> dict[str, Any]:
    """Copy a heat into plain lists and numbers."""
    names = (
        "source",
        "film_w_m2_k",
        "film_low_w_m2_k",
        "film_high_w_m2_k",
        "gas_k",
        "gas_low_k",
        "gas_high_k",
        "surroundings_k",
    )
    records = {name: [r.to_dict() for r in getattr(heat, name)] for name in ("factors", "notes")}
    return {name: getattr(heat, name) for name in names} | records


def heat_html(heat: Heat) -> str:
    """Tell a heat in a notebook."""

    def span(low: float, likely: float, high: float, unit: str) -> str:
        known = f" ({low:.0f} to {high:.0f})" if low < high else ""
        return f"{likely:.0f}{known} {unit}"

    zero = 273.15
    rows = [
        (
            "film coefficient",
            span(heat.film_low_w_m2_k, heat.film_w_m2_k, heat.film_high_w_m2_k, "W/m²/K"),
        ),
        (
            "gas",
            span(heat.gas_low_k - zero, heat.gas_k - zero, heat.gas_high_k - zero, "°C"),
        ),
        *((NAMES.get(f.name, f.name), _factor(f)) for f in heat.factors),
    ]
    return _table(heat.source, rows, [sentence(f"{n.about}: {n.text}") for n in heat.notes])


def _factor(factor: Any) -> str:
    return f"{factor.value:.4g} ({factor.low:.4g} to {factor.high:.4g}) {factor.unit}"


def gun_dict(gun: HotAirGun) -> dict[str, Any]:
    """Copy a gun into plain lists and numbers."""
    ranges = ("setpoint_k", "airflow_m3_s", "film_factor", "effectiveness_shift")
    names = ("airflow_meant_at_k", "nozzle_m", "room_k", "reflector", "source")
    told = gun.calibration
    return {
        **{name: list(getattr(gun, name)) for name in ranges},
        **{name: getattr(gun, name) for name in names},
        "calibration": None if told is None else told.to_dict(),
    }


def coupon_dict(material: tuple[str], words: dict[str, Any]) -> dict[str, Any]:
    """Copy what a coupon was made with into plain lists and numbers."""
    trace = words.get("trace")
    lists = {} if trace is None else {"trace": [list(values) for values in trace]}
    return {"material": material[0], **words, **lists}


def gun_html(gun: HotAirGun) -> str:
    """Tell a gun in a notebook."""
    rows = [("source", gun.source)]
    notes = []
    if gun.calibration is not None:
        notes = calibration(gun.calibration).splitlines()
    return _table(repr(gun), rows, notes)
