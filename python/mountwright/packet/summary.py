"""The plan in a few lines, for a terminal."""

from __future__ import annotations

import textwrap
from typing import Any

from mountwright.packet.cues import more
from mountwright.packet.sheets import bought
from mountwright.packet.words import (
    Units,
    blank_size,
    by_beat,
    coins,
    dated,
    day,
    from_beat,
    hours,
    middle,
    sentence,
    span,
    spoken,
    stopped,
    thickness,
    unfit,
    unmade,
)

WIDTH = 88


def summary(plan: dict[str, Any]) -> str:
    """Write the lines.

    Parameters
    ----------
    plan : dict
        What ``plan.json`` holds.

    Returns
    -------
    str
        Lines of at most 88 characters.
    """
    units: Units = plan["job"].get("units", "metric")
    plan = spoken(plan, units)
    mark = " (invented)" if plan["job"].get("invented") else ""
    lines = [f"{plan['job']['name']}, {plan['job']['vehicle']}{mark}", ""]
    for refusal in plan["refused"]:
        words = f"{', '.join(refusal['parts'])} ({refusal['place']}): {sentence(refusal['why'])}"
        lines += _row("not planned", words)
        lines += _row("", f"Find out: {'; '.join(refusal['find_out'])}.")
        if refusal["consider_instead"]:
            instead = "; ".join(refusal["consider_instead"])
            lines += _row("", f"Consider instead: {instead}.")
    for part in plan["parts"]:
        lines += _row(part["name"], _part(part, units))
        if unfit(part):
            lines += _row("", "DO NOT MAKE as planned.")
        lines += [
            line
            for check in part["checks"]
            if check["verdict"] != "pass"
            for line in _row("", _found(check))
        ]
    buy = [
        bought(purchase, coins(plan), layout, units, plan["deliveries"])
        for layout in plan["layouts"]
        for purchase in layout["buy"]
    ]
    used = [
        f"{stock['kind']} {stock['stock']}"
        for layout in plan["layouts"]
        for stock in layout["sheets_used"]
    ]
    if used:
        lines += _row("cut from", ", ".join(used))
        lines += _row("buy", "; ".join(buy) if buy else "nothing")
    for note in plan.get("notes", []):
        if note["about"] == "the shop's memory":
            lines += _row("memory", sentence(note["text"]))
    if words := unmade(plan):
        lines += _row("draws", words)
    if plan.get("schedule"):
        attended = plan["schedule"]["attended_s"]
        lines += _row("hands on", _with(hours(middle(attended)), span(attended, hours)))
    if plan.get("promise"):
        lines += _row("ready", dated(plan["promise"]["words"]))
    elif plan.get("schedule"):
        lines += _row("ready", day(plan["schedule"]["ready"]))
    if plan.get("price"):
        price = plan["price"]
        lines += _row(
            "price",
            f"{price['gross']} {price['currency']} ({price['net']} and {price['tax']} tax)",
        )
        if why := stopped(plan):
            lines += _row(
                "", f"Draft, not a quote, not to be handed out: {' '.join(map(sentence, why))}"
            )
        if not plan["draws"]:
            lines += _row("", "without draws nothing is added for what may go wrong: no quote yet")
    return "\n".join(lines)


def _part(part: dict[str, Any], units: Units) -> str:
    blank, recipe = part["blank"], part.get("recipe")
    many = f"{part['quantity']} × " if part["quantity"] > 1 else ""
    words = f"{many}{part['material_title']}, {thickness(part, units)}, "
    words += f"blank {blank_size(blank, units)}, "
    words += part["finish"]
    if recipe and recipe["has_window"]:
        limp = recipe["limp_s"]
        words += f"; limp at about {_with(from_beat(middle(limp)), span(limp, from_beat))}"
        words += f", then {more(recipe)}, shape within {by_beat(middle(recipe['working_time_s']))}"
        words += f", hold {from_beat(middle(recipe['hold_s']))}"
    elif recipe:
        words += f"; the window never opens: {recipe['no_window']['why']}"
    verdicts = [check["verdict"] for check in part["checks"]]
    return f"{words}; {verdicts.count('pass')} of {len(verdicts)} checks pass"


def _found(check: dict[str, Any]) -> str:
    """Tell of a check that does not pass; what fails is loud, and its remedy stands beside it."""
    if check["verdict"] != "fail":
        return f"{check['verdict']}: {check['name']}. {sentence(check['why'])}"
    mend = f" Mend: {check['mend']}." if check["mend"] else ""
    return f"FAIL: {check['name']}. {sentence(check['why'])}{mend}"


def _with(nominal: str, ranges: str) -> str:
    return f"{nominal} ({ranges})" if ranges else nominal


def _row(name: str, words: str) -> list[str]:
    indent = " " * 14
    if len(name) > 12:
        head = [name]
        name = ""
    else:
        head = []
    return head + textwrap.wrap(
        words, WIDTH, initial_indent=f"{name:<14}", subsequent_indent=indent
    )
