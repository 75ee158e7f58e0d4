"""What was taken because nobody said it: for the shop that quotes, not for the customer."""

from __future__ import annotations

from typing import Any

from mountwright.packet.words import sentence

Fields = dict[str, Any]


def of_parts(plan: Fields) -> list[str]:
    """Name what was taken of the parts: part, key and value.

    Examples
    --------
    >>> of_parts({"taken": [{"part": "ring", "what": "shade", "value": "dark", "why": "usual"}]})
    ['ring: shade dark']
    """
    return [f"{one['part']}: {one['what']} {one['value']}" for one in plan["taken"] if one["part"]]


def words(plan: Fields) -> list[str]:
    """Tell everything that was taken, by where it comes from, and which checks hold narrowly.

    Examples
    --------
    >>> told = {"part": "", "what": "gun: nozzle", "value": "34 mm", "why": "common practice"}
    >>> words({"taken": [told], "parts": []})
    ['Common practice: gun: nozzle 34 mm.']
    """
    by_why: dict[str, list[str]] = {}
    for one in plan["taken"]:
        whose = f"{one['part']}: " if one["part"] else ""
        by_why.setdefault(one["why"], []).append(f"{whose}{one['what']} {one['value']}")
    told = [sentence(f"{why}: {'; '.join(each)}") for why, each in by_why.items()]
    narrow = [
        f"{part['name']}: {check['name']}"
        for part in plan["parts"]
        for check in part["checks"]
        if check["verdict"] == "marginal"
    ]
    if narrow:
        told.append(f"Marginal checks, which rest on this: {'; '.join(narrow)}.")
    return told
