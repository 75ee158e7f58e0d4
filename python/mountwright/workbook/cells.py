"""One cell: what a person types, and what the file says."""

from __future__ import annotations

import math
import re
from datetime import date, datetime, time, timedelta
from typing import Any

from mountwright import _core
from mountwright.errors import UnitError
from mountwright.workbook.fields import Field

_YES = {"yes": True, "no": False, "true": True, "false": False}
_NUMBER = re.compile(r"[-+]?(\d+(\.\d*)?|\.\d+)", re.ASCII)
_SPREAD = re.compile(r" *(±|\+/?-)")
# A number with a comma, or with words before it.
_NEARLY = re.compile(
    r"(\D*[^\d.,+-])?(?P<whole>[-+]?\d+)(,(?P<part>\d+))?(?P<rest>\D.*)?", re.ASCII
)


class CellFault(Exception):  # noqa: N818 - it is caught here and told with its cell
    """What is wrong with a cell, in words."""


def read(field: Field, value: Any, *, unit: str, percent: bool) -> Any:
    """Turn the value of a cell into what the file would say.

    What is of the wrong type goes through as it is: the parser refuses it in its own words.

    Parameters
    ----------
    field : Field
        The key.
    value : object
        Of the cell: text, a number, true or false, a date.
    unit : str
        Of bare numbers in this column.
    percent : bool
        Whether the cell is shown as a percentage, so that 0.2 stands for 20 %.

    Returns
    -------
    object
        ``None`` for an empty cell.

    Raises
    ------
    CellFault
        It cannot be meant so.

    Examples
    --------
    >>> width = Field("width", "", "quantity", True, unit="mm", format="length")
    >>> read(width, 310, unit="mm", percent=False), read(width, "12 in", unit="mm", percent=False)
    ('310 mm', '12 in')
    """
    if isinstance(value, str):
        value = value.replace("\u00a0", " ").strip() or None
    if value is None:
        return None
    if field.many:
        items = _split(field, value) if isinstance(value, str) else [value]
        return [_one(field, item, unit, percent) for item in items]
    return _one(field, value, unit, percent)


def _split(field: Field, text: str) -> list[str]:
    """Split at line ends, or else at semicolons; what has no comma of its own, at commas too."""
    if field.kind in {"whole", "day"}:
        parts = re.split(r"[;,\n]", text)
    else:
        parts = text.splitlines() if "\n" in text else text.split(";")
    return [part.strip() for part in parts if part.strip()]


def _one(field: Field, value: Any, unit: str, percent: bool) -> Any:  # noqa: FBT001
    if isinstance(value, (date, time, timedelta)):
        return _day(field, value)
    if isinstance(value, float) and not math.isfinite(value):
        raise CellFault("is not a number")
    if isinstance(value, str) and field.kind in {"quantity", "money", "whole"}:
        _spelt(field, value)
    match field.kind:
        case "quantity":
            return _quantity(field, value, unit, percent)
        case "money" | "number":
            return float(value) if isinstance(value, str) and _NUMBER.fullmatch(value) else value
        case "whole":
            if isinstance(value, str) and value.isdecimal() and len(value) < 10:
                return int(value)
            whole = isinstance(value, float) and value.is_integer()
            return int(value) if whole else value
        case "yes or no":
            return _YES.get(value.casefold(), value) if isinstance(value, str) else value
        case "day":
            return _dated(field, value)
        case "word" | "name":
            return _word(field, value)
        case _:
            return plain(value)


def _day(field: Field, value: date | time | timedelta) -> str:
    if field.kind != "day" or not isinstance(value, date):
        raise CellFault(
            f"is a date or a time of day ({value}): the office program took what was typed for "
            "one; write it with its unit, or format the cell as text first"
        )
    if value.year < 1900:
        # What a spreadsheet makes of a number below 1.
        raise CellFault("is a day before 1900: write one such as 2026-12-01")
    if field.format == "date":
        return f"{value:%Y-%m-%d}"
    if not isinstance(value, datetime):
        value = datetime(value.year, value.month, value.day)
    # Spreadsheets keep times as fractions of a day: half a minute hides their rounding.
    return f"{value + timedelta(seconds=30):%Y-%m-%d %H:%M}"


def _dated(field: Field, value: Any) -> str:
    """Read a date that an office program left as text, with a time of day or without."""
    text = plain(value)
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return text
    return text if found.tzinfo else _day(field, found)


def _spelt(field: Field, text: str) -> None:
    """Refuse a number that is spelt as no program reads it, and say what to type instead."""
    found = _NEARLY.fullmatch(text)
    if found is None or _reads(field, text):
        return
    whole, part, rest = found["whole"], found["part"], found["rest"] or ""
    meant = [f"{whole}.{part}{rest}" if part else f"{whole}{rest}"]
    if part and len(part) == 3:
        # The comma may stand between thousands.
        meant.append(f"{whole}{part}{rest}")
    if _reads(field, meant[0]):
        told = " or ".join(f'"{one}"' for one in meant)
        raise CellFault(f'is "{text}", which is no number: write {told}')


def _reads(field: Field, text: str) -> bool:
    """Say whether a text is a number, or a quantity with its unit or without."""
    if field.kind == "whole":
        return text.isdecimal()
    if field.kind != "quantity":
        return _NUMBER.fullmatch(text) is not None
    try:
        _core.quantity(text, field.dimension)
    except UnitError:
        return _bare(_SPREAD.split(text)[0]) is not None
    return True


def _quantity(field: Field, value: Any, unit: str, percent: bool) -> Any:  # noqa: FBT001
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        return value
    bare: float | None
    if isinstance(value, str):
        number = _SPREAD.split(value)[0]
        bare, said = _bare(number), f"{number} {unit}{value.removeprefix(number)}"
    elif percent and field.format == "share":
        return f"{100 * value:.12g} {unit}"
    else:
        bare, said = value, f"{value:.12g} {unit}"
    if bare is None:
        return value
    if field.format == "share" and unit == "%" and 0 < bare < 1:
        raise CellFault(f'is {bare:g}: is that {bare:g} % or {100 * bare:g} %? Write "20 %"')
    return said


def _bare(text: str) -> float | None:
    """Read a number that stands without a unit, as the parser of quantities reads it."""
    try:
        return None if "%" in text or "percent" in text else _core.quantity(text, "fraction").value
    except UnitError:
        return None


def _word(field: Field, value: Any) -> Any:
    """Find a word whatever its case, and with blanks for hyphens."""
    if not isinstance(value, str):
        return plain(value)
    typed = "-".join(value.casefold().replace("_", " ").split())
    return next((word for word in field.words if word.casefold() == typed), value)


def plain(value: Any) -> str:
    """Write a value as text: a lot called 17 is a number to a spreadsheet.

    Examples
    --------
    >>> plain(17.0), plain(True), plain("17")
    ('17', 'yes', '17')
    """
    match value:
        case bool():
            return "yes" if value else "no"
        case float():
            return f"{value:.12g}"
        case datetime():
            return f"{value:%Y-%m-%d %H:%M}"
        case _:
            return str(value).strip()


def write(field: Field, value: Any) -> Any:
    """Turn what a file says into the value of a cell: the inverse of :func:`read`.

    Examples
    --------
    >>> width = Field("width", "", "quantity", True, unit="mm", format="length")
    >>> write(width, "310 mm"), write(width, "310 mm ± 1 mm"), write(width, "12 in")
    (310, '310 mm ± 1 mm', '12 in')
    """
    if isinstance(value, list):
        texts = [str(write(Field(field.key, "", field.kind, False), item)) for item in value]
        if not any(";" in text for text in texts):
            return "; ".join(texts)
        # A text that holds a semicolon: a line end after the last says that lines are meant.
        return "\n".join(texts) + ("\n" if len(texts) == 1 and ";" in texts[0] else "")
    if isinstance(value, bool):
        return plain(value)
    if field.kind == "day":
        form = "%Y-%m-%d" if field.format == "date" else "%Y-%m-%d %H:%M"
        try:
            return datetime.strptime(value, form)
        except ValueError:
            return value
    if field.kind == "quantity" and field.unit:
        number, _, unit = value.partition(" ")
        if unit.strip() == field.unit and _NUMBER.fullmatch(number):
            bare = float(number)
            if field.format == "share":
                return round(bare / 100, 12)
            return int(bare) if bare.is_integer() else bare
    return value
