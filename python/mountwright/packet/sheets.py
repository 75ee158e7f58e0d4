"""Sheets in words: what to buy and who brings it, what lies on each, what a second visit costs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from mountwright._core import said, show
from mountwright.packet.words import Units, coins, day, figure, length, size

Fields = dict[str, Any]
Money = Callable[[float], str]
"""Writes an amount with its currency."""


def bought(
    purchase: Fields,
    money: Money,
    layout: Fields | None = None,
    units: Units = "metric",
    deliveries: list[Fields] | None = None,
) -> str:
    """Write what is bought, how large where it is cut to order, where, and when it is there.

    What one merchant brings is there at one time: that of his delivery.

    Examples
    --------
    >>> sheet = {
    ...     "name": "board",
    ...     "count": 2,
    ...     "price": 84.0,
    ...     "merchant": "yard",
    ...     "days_to_arrive": 1.0,
    ... }
    >>> bought(sheet, "{:.2f} XTS".format)
    '2 × board (84.00 XTS, from yard, here in 1 working day)'
    """
    pieces = [
        size((used["width_m"], used["height_m"]), units)
        for used in (layout or {"sheets_used": []})["sheets_used"]
        if (used["kind"], used["stock"]) == ("sheet", purchase["name"])
    ]
    words = [*dict.fromkeys(pieces), money(purchase["price"])]
    if purchase["merchant"]:
        words.append(f"from {purchase['merchant']}")
    his = [d for d in deliveries or [] if d["merchant"] == purchase["merchant"]]
    words.append(_here(his[0] if his else purchase))
    return f"{purchase['count']} × {purchase['name']} ({', '.join(words)})"


def _here(brought: Fields) -> str:
    days = brought["days_to_arrive"]
    if days <= 0:
        return "to be had at once"
    if arrives := brought.get("arrives"):
        return f"here on {day(arrives)}"
    return f"here in {figure(days)} working day{'' if days == 1 else 's'}"


def paid(delivery: Fields) -> bool:
    """Say whether a delivery costs anything."""
    return any(delivery[key] for key in ("price", "oversize_fee", "overweight_fee"))


def brought(delivery: Fields, units: Units, money: Money) -> str:
    """Write what a delivery costs, and why.

    Examples
    --------
    >>> words = brought(
    ...     {
    ...         "merchant": "yard",
    ...         "price": 12.0,
    ...         "oversize_fee": 8.0,
    ...         "overweight_fee": 0.0,
    ...         "longest_m": 2.44,
    ...         "mass_kg": 6.0,
    ...         "days_to_arrive": 1.0,
    ...         "arrives": "2026-12-02 08:30",
    ...     },
    ...     "metric",
    ...     "{:.2f} XTS".format,
    ... )
    >>> words.partition(", and ")[0]
    'Delivery from yard, here on Wed 2 Dec, 08:30: 12.00 XTS'
    >>> words.partition(", and ")[2]
    '8.00 XTS because a piece is 2440 mm long'
    """
    words = [money(delivery["price"])]
    if delivery["oversize_fee"]:
        long = length(delivery["longest_m"], units)
        words.append(f"and {money(delivery['oversize_fee'])} because a piece is {long} long")
    if delivery["overweight_fee"]:
        kg = delivery["mass_kg"]
        heavy = show(kg, "mass", units=units, digits=0) if units == "inch" else f"{figure(kg)} kg"
        words.append(f"and {money(delivery['overweight_fee'])} because it weighs {heavy}")
    whose = f" from {delivery['merchant']}" if delivery["merchant"] else ""
    return f"Delivery{whose}, {_here(delivery)}: {', '.join(words)}"


def again(visit: Fields | None, money: Money) -> str:
    """Write what one more piece would cost later, beside what is wasted now.

    Examples
    --------
    >>> visit = {"sheet": "board", "price": 42.0, "brought": 12.0, "days_to_arrive": 2.0}
    >>> print(again(visit | {"wasted": 6.5}, "{:.2f} XTS".format))
    Should a piece be missing on the day, a second visit for 1 × board costs 54.00 XTS and 2
    working days. The sheet that goes to waste here is worth 6.50 XTS.
    """
    if visit is None:
        return ""
    days = visit["days_to_arrive"]
    wait = f" and {figure(days)} working day{'' if days == 1 else 's'}" if days > 0 else ""
    cost = money(visit["price"] + visit["brought"])
    return (
        f"Should a piece be missing on the day, a second visit for 1 × {visit['sheet']} costs "
        f"{cost}{wait}. The sheet that goes to waste here is worth "
        f"{money(visit['wasted'])}."
    )


def sheets(layout: Fields, plan: Fields, units: Units) -> Fields:
    """Give one layout in words, without its pictures."""
    titles = {p["material"]: p["material_title"] for p in plan["parts"]}
    money = coins(plan)
    return {
        "title": f"{titles.get(layout['material'], layout['material'])}, "
        f"{length(layout['thickness_m'], units)}",
        "buy": [
            bought(purchase, money, layout, units, plan["deliveries"]) for purchase in layout["buy"]
        ],
        "again": again(layout["second_visit"], money),
        "used": [_stock(stock, units) for stock in layout["sheets_used"]],
        "yield": f"{layout['yield_fraction'] * 100:.0f} %",
        "cut": said(f"{figure(layout['cut_length_m'])} m", units=units),
        "unplaced": layout["unplaced"],
        "notes": layout["notes"],
    }


def _stock(stock: Fields, units: Units) -> Fields:
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
        "kept": [_kept(remnant, units) for remnant in stock["kept"]],
    }


def _kept(remnant: Fields, units: Units) -> str:
    if remnant.get("diameter_m"):
        return f"disc Ø {length(remnant['diameter_m'], units)}"
    return size((remnant["area"]["width_m"], remnant["area"]["height_m"]), units)
