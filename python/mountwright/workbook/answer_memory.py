"""What the shop's memory says to the questions that a shop asks."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

from mountwright.memory import MONEY, Table
from mountwright.plan import Shop
from mountwright.workbook.answer_price import money_form
from mountwright.workbook.lines import Lines


def tables(shop: Shop) -> tuple[Table, ...]:
    """Ask a shop's memory; nothing where it has none, or none that is there yet."""
    if shop.memory_file is None or not Path(shop.memory_file).exists():
        return ()
    memory = shop.memory
    return (
        memory.ask("cost"),
        memory.ask("underestimated"),
        memory.taught(),
        memory.ask("old offcuts"),
        memory.ask("comebacks"),
        memory.ask("used"),
    )


class Shown(NamedTuple):
    """How a column is shown."""

    head: str
    form: str
    factor: float = 1.0
    """To the unit of the heading."""


_INCHES = {"mm": ("in", 1 / 25.4), "m2": ("ft2", 1 / 0.3048**2)}


def memory(lines: Lines, answers: Sequence[Table], plan: dict[str, Any]) -> None:
    """Write the answers, a table each, with the money and in the units of the other sheets."""
    if not answers:
        lines.note('The shop has no memory yet: see "memory" on the sheet Workshop.')
    for table in answers:
        lines.heading(table.title)
        if not len(table):
            lines.note("Nothing yet.")
            continue
        columns = {name: _shown(name, plan) for name in table.columns}
        lines.head(*(shown.head for shown in columns.values()))
        forms = {n: shown.form for n, shown in enumerate(columns.values(), start=1)}
        for row in table.to_dict()["rows"]:
            values = (_plain(row.get(name), shown.factor) for name, shown in columns.items())
            lines.line(*values, forms=forms)


def _shown(name: str, plan: dict[str, Any]) -> Shown:
    if MONEY.search(name):
        return Shown(name.replace("_", " "), money_form(plan))
    stem, _, unit = name.rpartition("_")
    if unit not in _INCHES:
        return Shown(name.replace("_", " "), "General")
    factor = 1.0
    if plan["job"].get("units") == "inch":
        unit, factor = _INCHES[unit]
    return Shown(f"{stem.replace('_', ' ')} [{unit.replace('2', '²')}]", "0.0##", factor)


def _plain(value: object, factor: float) -> object:
    """Give a value that a cell can hold; three bounds as middle and range."""
    if isinstance(value, list):
        if len(value) == 3 and all(isinstance(v, (int, float)) for v in value):
            return f"{value[1]:.2f} ({value[0]:.2f} to {value[2]:.2f})"
        return ", ".join(map(str, value))
    if isinstance(value, float):
        return round(value * factor, 3)
    return value
