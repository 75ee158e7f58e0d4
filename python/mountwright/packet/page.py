"""The page of a packet: every number of the plan in words, poured into one template."""

from __future__ import annotations

import base64
import re
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from mountwright.packet import checklist
from mountwright.packet.day import days
from mountwright.packet.strip import strip
from mountwright.packet.window import window
from mountwright.packet.words import (
    Units,
    clock,
    day,
    duration,
    figure,
    hours,
    length,
    sentence,
    size,
    slug,
    span,
    temperature,
)
from mountwright.plan import Drawn

if TYPE_CHECKING:
    from jinja2 import Template

Fields = dict[str, Any]

VERDICTS = {"pass": "✓ pass", "marginal": "! marginal", "fail": "✗ fail"}


def page(plan: Fields, drawings: list[Drawn], charts: dict[str, str]) -> str:
    """Write the page.

    Parameters
    ----------
    plan : dict
        What ``plan.json`` holds.
    drawings : list of Drawn
        Blanks and layouts.
    charts : dict of str to str
        The charts of :func:`charts`, by the name of the file.

    Returns
    -------
    str
        HTML that asks for nothing from outside.
    """
    units: Units = plan["job"].get("units", "metric")
    return _template().render(
        plan=plan,
        style=_read("page.css"),
        parts=[
            _part(part, stem, units, drawings, charts)
            for part, stem in zip(plan["parts"], _stems(plan), strict=True)
        ],
        layouts=[_layout(layout, plan, units, drawings) for layout in plan["layouts"]],
        day_chart=charts.get("charts/day.svg", ""),
        tasks=_tasks(plan),
        quote=_quote(plan),
        starts=day(plan["job"]["start"]),
        glance=_glance(plan),
        on_the_vehicle=checklist.ON_THE_VEHICLE,
        sources=_sources(plan.get("provenance", {})),
    )


def charts(plan: Fields) -> dict[str, str]:
    """Draw the strip and the window of every heated part, and the calendar.

    Parameters
    ----------
    plan : dict
        What ``plan.json`` holds.

    Returns
    -------
    dict of str to str
        SVG documents by the name of their file.
    """
    units: Units = plan["job"].get("units", "metric")
    drawn = {}
    for part, stem in zip(plan["parts"], _stems(plan), strict=True):
        recipe = part["recipe"]
        if not recipe:
            continue
        if recipe.get("has_window") and recipe["stop_s"]["nominal"] is not None:
            drawn[f"charts/{stem}-strip.svg"] = strip(f"strip-{stem}", part["name"], recipe)
        if recipe.get("history"):
            drawn[f"charts/{stem}-window.svg"] = window(
                f"window-{stem}", part["name"], recipe, units
            )
    if plan["schedule"]:
        drawn["charts/day.svg"] = days("day", plan["schedule"]["entries"])
    return drawn


@cache
def _template() -> Template:
    # Loaded here: the import of the package must stay light.
    from jinja2 import Environment, StrictUndefined

    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True
    )
    environment.filters["sentence"] = sentence
    return environment.from_string(_read("page.html"))


@cache
def _read(name: str) -> str:
    return files("mountwright.packet").joinpath(name).read_text(encoding="utf-8")


def _picture(drawn: Drawn) -> Fields:
    """Give a drawing of the core as an image that cannot disturb the page."""
    data = base64.b64encode(drawn.svg.encode()).decode()
    sides = re.search(r'width="([\d.]+)mm" height="([\d.]+)mm"', drawn.svg)
    return {
        "src": f"data:image/svg+xml;base64,{data}",
        "alt": drawn.title,
        "file": f"drawings/{drawn.file}",
        "tall": bool(sides) and float(sides[2]) > float(sides[1]) if sides else False,
    }


def _stems(plan: Fields) -> list[str]:
    """Give each part a stem of its own, also where names differ only in what a stem leaves out."""
    stems: list[str] = []
    for part in plan["parts"]:
        stem = slug(part["name"])
        stems.append(stem if stem not in stems else f"{stem}-{len(stems) + 1}")
    return stems


def _part(
    part: Fields, stem: str, units: Units, drawings: list[Drawn], charts: dict[str, str]
) -> Fields:
    blank, recipe = part["blank"], part["recipe"]
    thickness = length(part["thickness_m"], units)
    layers = [length(t, units) for t in blank["layer_thicknesses_m"]]
    if len(layers) > 1:
        thickness = f"{thickness} from {len(layers)} layers ({' + '.join(layers)})"
    return {
        "name": part["name"],
        "id": stem,
        "kind": part["kind"],
        "hand": part["hand"],
        "places": ", ".join(part["places"]),
        "quantity": part["quantity"],
        "sheet": f"{part['material_title']}, {thickness}",
        "finish": part["finish"].replace("-", " "),
        "size": size((blank["length_m"], blank["width_m"]), units),
        "measured": [
            {
                "what": m["what"],
                "value": _measured(m["value"], m["unit"], units),
                "spread": f"± {_measured(m['plus_minus'], _difference(m['unit']), units)}"
                if m["plus_minus"]
                else "",
            }
            for m in part["measured"]
        ],
        "pictures": [_picture(d) for d in drawings if d.part == part["name"]],
        "recipe": _recipe(recipe, units) if recipe else None,
        "strip": charts.get(f"charts/{stem}-strip.svg", ""),
        "window": charts.get(f"charts/{stem}-window.svg", ""),
        "joint": _joint(part["joint"], units) if part.get("joint") else None,
        "steps": [
            {
                "name": step["name"],
                "attended": duration(step["attended_s"]["nominal"]),
                "wait": duration(step["wait_s"]["nominal"]) if step.get("wait_s") else "",
            }
            for step in part.get("finish_steps", [])
        ],
        "adds": _adds(part.get("finish_adds_m"), units),
        "finish_cautions": part.get("finish_cautions", []),
        "bench_list": checklist.ON_THE_BENCH[part["kind"]],
        "checks": [_check(check, units) for check in part["checks"]],
        "notes": [
            *blank.get("notes", []),
            *(recipe or {}).get("notes", []),
            *((part.get("joint") or {}).get("notes", [])),
        ],
    }


def _adds(band: Fields | None, units: Units) -> str:
    added = (band or {}).get("nominal")
    return length(added, units, 2) if added else ""


def _difference(unit: str) -> str:
    return "K difference" if unit == "K" else unit


def _measured(value: float, unit: str, units: Units) -> str:
    match unit:
        case "m":
            return length(value, units)
        case "K":
            return temperature(value, units)
        case "K difference":
            return f"{figure(value * 1.8)} °F" if units == "inch" else f"{figure(value)} K"
        case "rad":
            return f"{figure(value * 57.29577951308232)}°"
        case "kg":
            return f"{figure(value * 1e3)} g"
        case "s":
            return duration(value)
        case "" | "1":
            return figure(value)
        case _:
            return f"{figure(value)} {unit}"


def _recipe(recipe: Fields, units: Units) -> Fields:
    none = recipe.get("no_window")
    return {
        "remarks": _remarks(recipe, units),
        "strokes": recipe["strokes"],
        "cues": [
            ("Limp", clock(recipe["opens_s"]["nominal"]), span(recipe["opens_s"], clock)),
            ("Stop", clock(recipe["stop_s"]["nominal"]), span(recipe["stop_s"], clock)),
            (
                "Shape within",
                clock(recipe["working_time_s"]["nominal"]),
                span(recipe["working_time_s"], clock),
            ),
            ("Hold still", clock(recipe["hold_s"]["nominal"]), span(recipe["hold_s"], clock)),
        ],
        "none": none,
    }


def _remarks(recipe: Fields, units: Units) -> list[str]:
    remarks = [
        f"{sentence(recipe['gun'])[:-1]}, nozzle {length(recipe['distance_m'], units)} off; "
        f"{recipe['behind']}; until {recipe['need']}.",
        "Times are minutes:seconds.",
    ]
    if recipe["opens_s"].get("p10") is not None:
        remarks.append("The ranges hold eight tries in ten.")
    touch = (recipe.get("touch_s") or {}).get("nominal")
    if touch is not None:
        remarks.append(f"Cool enough to touch {clock(touch)} after the stop.")
    if recipe.get("reheats_left") is not None:
        bound = recipe.get("reheats_bound_by")
        remarks.append(
            f"Reheats left after this one: {recipe['reheats_left']}"
            + (f" (bound by {bound})." if bound else ".")
        )
    body = _body(recipe, units)
    return [*remarks, body] if body else remarks


def _body(recipe: Fields, units: Units) -> str:
    peak, limit = recipe.get("body_peak_k"), recipe.get("body_limit_k")
    if not peak or peak["nominal"] is None:
        return ""
    text = f"The part behind the foam reaches {temperature(peak['nominal'], units)}"
    ranges = span(peak, lambda k: temperature(k, units))
    text += f" ({ranges})" if ranges else ""
    return f"{text}; {temperature(limit, units)} allowed." if limit else f"{text}."


def _joint(joint: Fields, units: Units) -> Fields:
    return {
        "title": joint["title"],
        "why": joint["why"],
        "name": joint["name"],
        "amount": f"{figure(joint['amount_m3'] * 1e6, 2)} mL "
        f"on {figure(joint['area_m2'] * 1e4)} cm²",
        "open": duration(joint["open_s"]["nominal"]),
        "handling": duration(joint["handling_s"]["nominal"]),
        "handling_span": span(joint["handling_s"], duration),
        "full": duration(joint["full_s"]["nominal"]),
        "preparation": joint["preparation"],
        "cautions": joint.get("cautions", []),
    }


def _check(check: Fields, units: Units) -> Fields:
    def write(value: float | None) -> str:
        return "" if value is None else _measured(value, check["unit"], units)

    return {
        "name": check["name"],
        "figure": write(check["figure"]),
        "limit": write(check["limit"]),
        "verdict": VERDICTS.get(check["verdict"], check["verdict"]),
        "kind": check["verdict"],
        "why": check["why"],
        "mend": check.get("mend"),
        "source": check["source"],
    }


def _layout(layout: Fields, plan: Fields, units: Units, drawings: list[Drawn]) -> Fields:
    titles = {p["material"]: p["material_title"] for p in plan["parts"]}
    currency = plan["shop"]["currency"]
    return {
        "title": f"{titles.get(layout['material'], layout['material'])}, "
        f"{length(layout['thickness_m'], units)}",
        "buy": [f"{b['count']} × {b['name']} ({b['price']:.2f} {currency})" for b in layout["buy"]],
        "used": [_stock(stock, units) for stock in layout["sheets_used"]],
        "yield": f"{layout['yield_fraction'] * 100:.0f} %",
        "cut": f"{figure(layout['cut_length_m'])} m",
        "unplaced": layout["unplaced"],
        "pictures": [_picture(d) for d in drawings if d.file in layout["drawings"]],
        "notes": layout["notes"],
    }


def _stock(stock: Fields, units: Units) -> Fields:
    kept = [size((k["area"]["width_m"], k["area"]["height_m"]), units) for k in stock["kept"]]
    return {
        "name": f"{stock['kind']} {stock['stock']}",
        "size": size((stock["width_m"], stock["height_m"]), units),
        "rows": [
            {
                "part": placed["part"],
                "number": placed["copy"],
                "at": size((placed["bounds"]["x_m"], placed["bounds"]["y_m"]), units),
                "size": size((placed["bounds"]["width_m"], placed["bounds"]["height_m"]), units),
            }
            for placed in stock["placements"]
        ],
        "cuts": [
            f"{length(step['stop_m'], units)} "
            f"{'from the left' if step['from_m'][0] == step['to_m'][0] else 'from below'}"
            for step in stock["steps"]
            if step["what"] == "through"
        ],
        "kept": kept,
    }


def _tasks(plan: Fields) -> list[Fields]:
    tasks = {task["id"]: task for task in plan["tasks"]}
    rows = []
    for entry in plan["schedule"]["entries"] if plan["schedule"] else []:
        attended = tasks[entry["task"]]["attended_s"]
        rows.append(
            {
                "task": entry["task"],
                "start": day(entry["start"]),
                "hands": duration(attended["nominal"]),
                "span": span(attended, duration),
                "done": day(entry["done"]) if entry["done"] != entry["hands_off"] else "",
            }
        )
    return rows


def _quote(plan: Fields) -> Fields | None:
    price, estimate = plan["price"], plan["estimate"]
    if not price or not estimate:
        return None
    digits = price["minor_digits"]

    def money(value: float | None) -> str:
        return "" if value is None else f"{value:,.{digits}f}"

    groups: dict[str, list[Fields]] = {}
    for line in estimate["lines"]:
        groups.setdefault(line["group"], []).append(
            {
                "name": line["name"],
                "amount": f"{figure(line['amount'])} {line['unit']}",
                "rate": money(line["rate"]),
                "cost": money(line["cost"]["nominal"]),
                "span": span(line["cost"], money),
            }
        )
    loss = price["chance_of_loss"]
    return {
        "groups": groups,
        "cost": money(estimate["cost"]["nominal"]),
        "cost_span": span(estimate["cost"], money),
        "words": price["words"],
        "loss": f"{loss * 100:.0f} %" if loss is not None else "",
        "causes": [
            {
                "input": cause["input"],
                "cost": f"{cause['share_of_cost_spread'] * 100:.0f} %",
                "time": f"{cause['share_of_time_spread'] * 100:.0f} %",
            }
            for cause in plan["causes"]
        ],
    }


def _glance(plan: Fields) -> list[tuple[str, str, str]]:
    rows = []
    if price := plan["price"]:
        rows.append(
            (
                "Price",
                f"{price['gross']} {price['currency']}",
                f"{price['net']} and {price['tax']} tax",
            )
        )
    if promise := plan["promise"]:
        sure = promise["p90"]
        rows.append(("Promise", day(sure or promise["p50"]), "nine in ten" if sure else ""))
    if schedule := plan["schedule"]:
        attended = schedule["attended_s"]
        rows.append(("Hands on", hours(attended["nominal"]), span(attended, hours)))
    verdicts = [c["verdict"] for part in plan["parts"] for c in part["checks"]]
    found = [v for v in VERDICTS if v in verdicts]
    if found:
        counts = ", ".join(f"{verdicts.count(v)} {v}" for v in found)
        rows.append(("Checks", VERDICTS[found[-1]], counts))
    return rows


def _sources(provenance: Fields) -> Fields:
    return {
        "counts": [
            (standing.replace("-", " "), n) for standing, n in provenance.get("counts", {}).items()
        ],
        "rows": [
            {
                "name": e["name"],
                "value": f"{figure(e['value'])} {e['unit'] if e['unit'] != '1' else ''}".strip(),
                "span": f"{figure(e['low'])} to {figure(e['high'])}"
                if e["high"] > e["low"]
                else "",
                "standing": e["standing"].replace("-", " "),
                "source": e["source"],
            }
            for e in provenance.get("entries", [])
        ],
    }
