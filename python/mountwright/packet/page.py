"""The page of a packet: every number of the plan in words, poured into one template."""

from __future__ import annotations

import base64
import re
from typing import Any

from mountwright._core import said, show
from mountwright.packet import at_hand, checklist, holes, loading, taken
from mountwright.packet.cues import cues, told
from mountwright.packet.day import days
from mountwright.packet.figures import as_drawn, legible
from mountwright.packet.lanes import lanes
from mountwright.packet.quote import read, template
from mountwright.packet.sheets import brought, paid, sheets
from mountwright.packet.strip import strip
from mountwright.packet.window import window
from mountwright.packet.words import (
    LBF_N,
    NO_SPREAD,
    Units,
    billed,
    blank_size,
    chance,
    coins,
    day,
    duration,
    figure,
    hours,
    length,
    middle,
    minutes,
    plainly,
    promised,
    size,
    slug,
    span,
    spoken,
    stopped,
    temperature,
    thickness,
    unfit,
    unique,
    unmade,
)
from mountwright.plan import Drawn
from mountwright.records import standing

Fields = dict[str, Any]

ON_THE_CARD = {"routing", "removal", "openings", "recess", "clips"}
"""Notes on how a blank is cut: they stand on its card and its drawing."""

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
    plan = spoken(plan, units)
    return template("page.html").render(
        plan=plan,
        style=read("page.css"),
        parts=[
            _part(part, stem, units, drawings, charts, away=_away(plan))
            | {
                "cautions": _cautions(plan, part),
                "cut": [*part["cut"], *_from(plan, part, units)],
                "unloaded": loading.on_the_card(plan, part),
            }
            for each, stem in zip(plan["parts"], _stems(plan), strict=True)
            for part in [as_drawn(each, drawings, units)]
        ],
        at_hand=at_hand.groups(plan),
        ends=_ends(plan),
        after_forming=_after_forming(plan, units),
        layouts=[
            sheets(layout, plan, units)
            | {"pictures": _layouts([d for d in drawings if d.file in layout["drawings"]])}
            for layout in plan["layouts"]
        ],
        deliveries=[brought(d, units, coins(plan)) for d in plan["deliveries"] if paid(d)],
        day_chart=charts.get("charts/day.svg", ""),
        lanes_chart=charts.get("charts/lanes.svg", ""),
        tasks=_tasks(plan),
        price=_price(plan),
        starts=day(plan["job"]["start"]),
        no_spread=NO_SPREAD,
        unmade=unmade(plan),
        stopped=stopped(plan),
        glance=_glance(plan),
        on_the_vehicle=checklist.on_the_vehicle(
            [(part["kind"], part["name"]) for part in plan["parts"]]
        ),
        choices=_choices(plan, units),
        remarks=_remarks(plan),
        taken=taken.words(plan),
        sources=_sources(plan["provenance"]),
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
        drawn["charts/lanes.svg"] = lanes("lanes", plan["schedule"])
    return drawn


def _picture(drawn: Drawn) -> Fields:
    """Give a drawing of the core as an image that cannot disturb the page."""
    data = base64.b64encode(drawn.svg.encode()).decode()
    return {"src": f"data:image/svg+xml;base64,{data}", "alt": drawn.title}


def _faces(part: Fields, drawings: list[Drawn]) -> list[Fields]:
    """Give the views of a part for its card, in letters that can be read where page.css sets them.

    A heated part's stand beside its cuts, those of others above them, two abreast.
    """
    found = [d for d in drawings if d.part == part["name"] and d.kind == "face"]
    room = (78.0, 27.0) if part["recipe"] else (88.0 if len(found) > 1 else 180.0, 48.0)
    return [_picture(d._replace(svg=legible(d.svg, *room))) for d in found]


def _layouts(drawn: list[Drawn]) -> list[Fields]:
    """Give the layouts of one sheet in letters that can be read where page.css sets them."""
    room = (90.0 if len(drawn) > 1 else 186.0, 62.0)
    return [_picture(d._replace(svg=legible(d.svg, *room))) for d in drawn]


def _stems(plan: Fields) -> list[str]:
    """Give each part a stem of its own, also where names differ only in what a stem leaves out."""
    names: set[str] = set()
    return [unique(slug(part["name"]), names) for part in plan["parts"]]


def _part(
    part: Fields,
    stem: str,
    units: Units,
    drawings: list[Drawn],
    charts: dict[str, str],
    *,
    away: bool,
) -> Fields:
    blank, recipe = part["blank"], part["recipe"]
    thick = thickness(part, units)
    layers = [length(t, units) for t in blank["layer_thicknesses_m"]]
    if len(layers) > 1 and part["kind"] != "grille":
        thick = f"{thick} from {len(layers)} layers ({' + '.join(layers)})"
    return {
        "name": part["name"],
        "id": stem,
        "kind": part["kind"],
        "hand": part["hand"],
        "places": ", ".join(part["places"]),
        "quantity": part["quantity"],
        "sheet": f"{part['material_title']}, {thick}",
        "finish": part["finish"],
        "size": blank_size(blank, units),
        # Beside what is nearly as wide as long there is more room for words.
        "compact": blank["length_m"] < 2 * blank["width_m"],
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
        "pictures": _faces(part, drawings),
        "true_size": any(d.part == part["name"] and d.pdf for d in drawings),
        "bench": holes.steps(part, drawings),
        "bends": part["bends"],
        "recipe": _recipe(recipe) if recipe else None,
        "strip": charts.get(f"charts/{stem}-strip.svg", ""),
        "window": charts.get(f"charts/{stem}-window.svg", ""),
        "bench_list": checklist.on_the_bench(part["kind"], away=away),
        "checks": [_check(check, units) for check in part["checks"]],
        "stop": unfit(part),
        "fails": look_at(part, "fail"),
        "look_at": look_at(part, "marginal"),
    }


def look_at(part: Fields, verdict: str) -> list[Fields]:
    """Give the checks of a part that ended so: name, reason and remedy of each.

    Examples
    --------
    >>> check = {"name": "web", "verdict": "marginal", "why": "8 of 10 mm", "mend": ""}
    >>> look_at({"checks": [check, check | {"verdict": "pass"}]}, "marginal")
    [{'name': 'web', 'why': '8 of 10 mm', 'mend': ''}]
    """
    return [
        {key: check[key] for key in ("name", "why", "mend")}
        for check in part["checks"]
        if check["verdict"] == verdict
    ]


def _from(plan: Fields, part: Fields, units: Units) -> list[str]:
    """Say from which piece a part is cut, and where it lies on it."""
    names = sorted((p["name"] for p in plan["parts"]), key=len, reverse=True)
    found = []
    for layout in plan["layouts"]:
        for stock in layout["sheets_used"]:
            places = [
                size((placed["bounds"]["x_m"], placed["bounds"]["y_m"]), units)
                for placed in stock["placements"]
                if next((n for n in names if placed["part"].startswith(n)), "") == part["name"]
            ]
            if places:
                named = f"{stock['kind']} {stock['stock']}"
                whole = size((stock["width_m"], stock["height_m"]), units)
                at = " and ".join([", ".join(places[:-1]), places[-1]] if places[1:] else places)
                if len(places) > 4:
                    at = f"{len(places)} places: table of {named}, under Sheets"
                found.append(f"from {named} ({whole}), its lower left at {at}")
                found += [
                    note["text"]
                    for note in layout["notes"]
                    if note["about"] == "thickness" and note["text"].startswith(stock["stock"])
                ]
    return found


def _ends(plan: Fields) -> str:
    """Say what the ends of the work that are told mean: three, where draws were made."""
    schedule, promise = plan["schedule"], plan["promise"]
    if not schedule:
        return ""
    likely = f"The table ends on {day(schedule['ready'])}: every task at its likeliest time"
    if not promise or promise["p90"] is None:
        return f"{likely}."
    return (
        f"{likely}. Half of all jobs like this one are ready by {day(promise['p50'])}, nine in ten "
        f"by {day(promise['p90'])}: that is promised and quoted."
    )


def _away(plan: Fields) -> bool:
    """Tell whether the vehicle leaves between measuring and fitting."""
    return bool(plan["promise"]) and len(plan["promise"]["visits"]) > 1


def _cautions(plan: Fields, part: Fields) -> list[str]:
    """Give the cautions of one bench card: the general ones and those of its own sheet."""
    later = {name for p in plan["parts"] for name in _later(p)}
    others = {p["material"] for p in plan["parts"]} - {part["material"]}
    if not part["recipe"]:
        others.add("Hot air")
    return [c for c in plan["cautions"] if c.partition(":")[0] not in later | others]


def _later(part: Fields) -> list[str]:
    """Name what a part meets after forming, as the cautions name it."""
    return [part["finish"], *([part["joint"]["title"]] if part["joint"] else [])]


def _after_forming(plan: Fields, units: Units) -> list[Fields]:
    """Give joint and finish of each part; parts that are treated alike stand together."""
    groups: list[Fields] = []
    for part in plan["parts"]:
        if not part["joint"] and not part["finish_steps"]:
            continue
        names = _later(part)
        group = {
            "key": (part["kind"], part["material"], *names),
            "names": [part["name"]],
            "joint": _joint(part["joint"], units) if part["joint"] else None,
            "fixes": bool(part["joint"]) and "fixes " in part["joint"]["why"],
            "finish": part["finish"],
            "adds": _adds(part["finish_adds_m"], units),
            "steps": [
                {
                    "name": step["name"],
                    "attended": f"{minutes(step['attended_s']['nominal'])} min",
                    "wait": duration(step["wait_s"]["nominal"]) if step["wait_s"] else "",
                }
                for step in part["finish_steps"]
            ],
            "cautions": [c for c in plan["cautions"] if c.partition(":")[0] in names],
        }
        alike = next((g for g in groups if g["key"] == group["key"]), None)
        if alike:
            alike["names"].append(part["name"])
        else:
            # What was said of a coat above is not said again.
            told = {caution for g in groups for caution in g["cautions"]}
            group["also"] = [n for n in names if any(c.partition(":")[0] == n for c in told)]
            group["cautions"] = [c for c in group["cautions"] if c not in told]
            groups.append(group)
    return groups


def _adds(band: Fields, units: Units) -> str:
    added = band["nominal"]
    return length(added, units, 2) if added else ""


def _difference(unit: str) -> str:
    return "K difference" if unit == "K" else unit


def _measured(value: float, unit: str, units: Units, digits: int = 0) -> str:
    """Write a figure in the shop's unit, with more digits than usual where they are asked for."""
    match unit:
        case "m":
            return length(value, units, digits or 1)
        case "K":
            return temperature(value, units, max(digits - 1, 0))
        case "K difference":
            return f"{figure(value * 1.8)} °F" if units == "inch" else f"{figure(value)} K"
        case "rad":
            return f"{figure(value * 57.29577951308232, digits or 3)}°"
        case "Pa":
            return show(value, "pressure", units=units, digits=max(digits, 2))
        case "N" if units == "inch":
            return f"{figure(value / LBF_N, max(digits, 3))} lbf"
        case "kg":
            return f"{figure(value * 1e3, max(digits, 3))} g"
        case "s":
            return duration(value)
        case "" | "1":
            return figure(value, max(digits, 3))
        case _:
            return f"{figure(value, max(digits, 3))} {unit}"


def _recipe(recipe: Fields) -> Fields:
    none = recipe.get("no_window")
    return {
        "words": told(recipe),
        "strokes": recipe["strokes"],
        "cues": [] if none or recipe["more_s"] is None else cues(recipe),
        "none": none,
    }


def _joint(joint: Fields, units: Units) -> Fields:
    return {
        "name": joint["name"],
        "title": at_hand.adhesive(joint),
        "why": joint["why"],
        "amount": f"{figure(joint['amount_m3'] * 1e6, 2)} mL in all, "
        + said(f"each joint {joint['area_m2'] * 1e4:.1f} cm²", units=units),
        # The hand that is late has lost the joint: what nine pots in ten give.
        "open": duration(joint["open_s"]["p10"] or joint["open_s"]["nominal"]),
        "handling": duration(middle(joint["handling_s"])),
        "handling_span": span(joint["handling_s"], duration),
        "full": duration(middle(joint["full_s"])),
        "full_span": span(joint["full_s"], duration),
        "preparation": joint["preparation"],
        "sooner": [
            f"{way['what']}: handle after {duration(way['handling_s'])}" for way in joint["quicker"]
        ],
    }


IN_WORDS = {"head shape", "gaskets", "sheds water"}
"""Checks of what is or is not so: their count tells less than their reason."""


def _check(check: Fields, units: Units) -> Fields:
    found, limit = apart(check["figure"], check["limit"], check["unit"], units)
    limit = f"{check['sense'].replace('-', ' ')} {limit}{_spare(check)}"
    if check["name"] in IN_WORDS:
        found, limit = ("no" if check["verdict"] == "fail" else "yes"), ""
    return {
        "name": check["name"],
        "figure": found,
        "limit": limit,
        "verdict": VERDICTS[check["verdict"]],
        "kind": check["verdict"],
        "why": check["why"],
        "mend": check["mend"],
        "source": check["source"],
    }


def apart(figure: float, limit: float, unit: str, units: Units) -> tuple[str, str]:
    """Write a figure and its limit with as many digits as tell them apart.

    Examples
    --------
    >>> apart(0.0055, 0.005494, "m", "metric")
    ('5.5 mm', '5.49 mm')
    >>> apart(8151.0, 11184.0, "Pa", "metric")
    ('0.008 MPa', '0.011 MPa')
    """
    for digits in range(1, 6):
        texts = [_measured(value, unit, units, digits) for value in (figure, limit)]
        # What is nought to these digits says nothing either.
        nought = any(
            value and not re.search("[1-9]", text.partition(" ")[0])
            for value, text in zip((figure, limit), texts, strict=True)
        )
        if texts[0] != texts[1] and not (nought and unit == "Pa"):
            break
        if figure == limit:
            texts = [_measured(value, unit, units) for value in (figure, limit)]
            break
    return texts[0], texts[1]


def _spare(check: Fields) -> str:
    """Say how much is left of a limit that is nearly used up."""
    if check["unit"] not in {"m", "Pa", "N"} or not check["limit"]:
        return ""
    left = (check["limit"] - check["figure"]) / check["limit"]
    left = left if check["sense"] == "at-most" else -left
    if not 0 <= left < 0.1:
        return ""
    return f", {100 * left:.{0 if left >= 0.01 else 1}f} % to spare"


def _tasks(plan: Fields) -> list[Fields]:
    tasks = {task["id"]: task for task in plan["tasks"]}
    rows = []
    entries = plan["schedule"]["entries"] if plan["schedule"] else []
    for number, entry in enumerate(entries, start=1):
        attended = tasks[entry["task"]]["attended_s"]
        rows.append(
            {
                "number": number,
                "task": entry["task"],
                "start": day(entry["start"]),
                "hands": minutes(attended["nominal"]) if attended["nominal"] else "",
                "span": span(attended, minutes) if attended["nominal"] else "",
                "done": day(entry["done"]) if entry["done"] != entry["hands_off"] else "",
            }
        )
    return rows


def _price(plan: Fields) -> Fields | None:
    price, estimate = plan["price"], plan["estimate"]
    if not price or not estimate:
        return None
    digits = price["minor_digits"]

    def money(value: float | None) -> str:
        return "" if value is None else f"{value:,.{digits}f}"

    units: Units = plan["job"].get("units", "metric")
    groups: dict[str, list[Fields]] = {}
    for line in estimate["lines"]:
        amount, unit, rate = billed(line, units)
        groups.setdefault(line["group"], []).append(
            {
                "name": line["name"],
                "amount": f"{figure(amount)} {unit}",
                # A rate may be less than a coin.
                "rate": f"{rate:,.{max(digits, 2)}f}",
                "cost": money(line["cost"]),
            }
        )
    cost = estimate["cost"]
    causes = plan["causes"]
    rest = [
        1 - sum(c[key] for c in causes) for key in ("share_of_cost_spread", "share_of_time_spread")
    ]
    loss = price["chance_of_loss"]
    return {
        "groups": groups,
        "labour": labour(plan),
        "sum": money(estimate["cost"]["nominal"]),
        "allowance": money(estimate["allowance"]),
        "cost": money(estimate["cost"]["nominal"] + estimate["allowance"]),
        "cost_span": span(estimate["cost"], money),
        "cost_error": money(cost["error"]) if cost["error"] is not None else "",
        "words": price["words"],
        "loss": chance(loss, plan["draws"]) if loss is not None else "",
        "covering": [(f"{c['chance'] * 100:.0f} %", c["net"]) for c in price["covering"]],
        "if_template_lost": price["if_template_lost"],
        "rest": [f"{max(share, 0) * 100:.0f} %" for share in rest],
        "causes": [
            {
                "input": cause["input"],
                "cost": f"{cause['share_of_cost_spread'] * 100:.0f} %",
                "time": f"{cause['share_of_time_spread'] * 100:.0f} %",
            }
            for cause in causes
        ],
    }


def labour(plan: Fields) -> str:
    """Say what is in the hours that are priced, and what is in the others that are told."""
    found = plan["estimate"]["hours"]
    words = (
        f"Work is priced at {figure(found['nominal'])} h: each task at its likeliest, hands on, "
        "without waits."
    )
    if found["p50"] is not None:
        words += (
            f" Half of all jobs take less than {figure(found['p50'])} h hands on, since work is "
            "rather slower than quicker; what that costs is in the line for what usually goes "
            "wrong."
        )
    elapsed = middle(plan["schedule"]["elapsed_s"])
    half = "in half of all jobs at most " if plan["schedule"]["elapsed_s"]["p50"] else ""
    return (
        f"{words} From start to hand-back it is {half}{duration(elapsed)}: with what cures, dries "
        "and cools alone, and the hours when the shop is closed."
    )


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
        rows.append(("Promise" if plan["draws"] else "Ready", *promised(promise)))
    if schedule := plan["schedule"]:
        attended = schedule["attended_s"]
        rows.append(("Hands on", hours(middle(attended)), span(attended, hours)))
    verdicts = [c["verdict"] for part in plan["parts"] for c in part["checks"]]
    found = [v for v in VERDICTS if v in verdicts]
    if found:
        counts = ", ".join(f"{verdicts.count(v)} {v}" for v in found)
        rows.append(("Checks", VERDICTS[found[-1]], counts))
    return rows


def _remarks(plan: Fields) -> list[Fields]:
    """Give each remark once, however many parts it belongs to."""
    found: list[Fields] = []
    for part in plan["parts"]:
        for holder in (part["blank"], part["recipe"], part["joint"]):
            notes = holder["notes"] if holder else []
            found += [note for note in notes if note["about"] not in ON_THE_CARD]
    unique: list[Fields] = []
    for note in [*found, *plan["notes"]]:
        if note not in unique:
            unique.append(note)
    return [
        note | {"text": plainly(note["text"])} if note["about"] == "draws" else note
        for note in unique
    ]


def _choices(plan: Fields, units: Units) -> list[Fields]:
    """Give the sheets that may serve for each part, best first, with reasons."""
    return [
        {
            "part": choice["part"],
            "asked": choice["asked"],
            "sheets": [
                {
                    "name": sheet["material"],
                    "thick": length(sheet["thickness_m"], units) if sheet["thickness_m"] else "",
                    "supply": sheet["supply"],
                    "verdict": "does not do" if sheet["against"] else f"{figure(points)} of 100",
                    "why": plainly(
                        "; ".join(
                            sheet["against"] or [reason["text"] for reason in sheet["reasons"]]
                        )
                    ),
                }
                for sheet in choice["ranked"]
                for points in [100 * sheet["score_fraction"]]
            ],
        }
        for choice in plan["choices"]
    ]


def _sources(provenance: Fields) -> Fields:
    """Give every number one line, and every source one place."""
    places: dict[str, int] = {}
    rows = []
    for entry in provenance["entries"]:
        rows.append(
            {
                "name": entry["name"],
                "value": entry["shown"],
                "standing": standing(entry["standing"]),
                "place": places.setdefault(entry["source"], len(places) + 1),
            }
        )
    return {
        "counts": [(standing(s), n) for s, n in provenance["counts"].items()],
        "rows": rows,
        "places": list(places),
    }
