"""What the shop's memory says to the questions that a shop asks."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from mountwright.memory import Table
from mountwright.plan import Shop
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


def memory(lines: Lines, answers: Sequence[Table]) -> None:
    """Write the answers, a table each."""
    if not answers:
        lines.note('The shop has no memory yet: see "memory" on the sheet Workshop.')
    for table in answers:
        lines.heading(table.title)
        if not len(table):
            lines.note("Nothing yet.")
            continue
        columns = [name for name in table.columns if not name.endswith("_m")]
        lines.head(*(name.replace("_", " ") for name in columns))
        for row in table.to_dict()["rows"]:
            values = (_plain(row.get(name)) for name in columns)
            lines.line(*values, forms=dict.fromkeys(range(1, len(columns) + 1), "General"))


def _plain(value: object) -> object:
    """Give a value that a cell can hold; three bounds as middle and range."""
    if isinstance(value, list):
        if len(value) == 3 and all(isinstance(v, (int, float)) for v in value):
            return f"{value[1]:.2f} ({value[0]:.2f} to {value[2]:.2f})"
        return ", ".join(map(str, value))
    if isinstance(value, float):
        return round(value, 3)
    return value
