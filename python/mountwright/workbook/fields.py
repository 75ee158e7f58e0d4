"""What a workbook asks for, taken from the schema of the files: one field a key.

A list of tables in a file (``panels``) becomes a *table*, one row each; a list inside it
(``panels.cutouts``) becomes a table of its own that names the row it belongs to; tables of the file
itself (``rates``) become *forms*, one line a key; tables that are all alike (``times``) become a
*grid*. What the parser learns, the workbook asks for: nothing here knows a key by its name.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any, Literal

from mountwright.plan import schema

File = Literal["job", "shop"]
Kind = Literal["quantity", "money", "number", "whole", "yes or no", "word", "name", "text", "day"]

OWNER = "^"
"""Key of the column that names the row of the outer table."""

CURRENCY = "¤"
"""Unit of money, whatever the shop's currency is."""

# The unit of a column is the one in which the schema gives its bounds; a shop thinks in minutes.
_EXAMPLE = re.compile(r"^[-+]?[\d.]+\s*(?P<unit>\S+)$")
_INSTEAD = {"d": "min"}

_SEVERAL = {"whole": "1; 3; 6", "day": "2026-12-25; 2026-12-26"}
"""How several are typed into one cell."""

_DIMENSIONS = frozenset(
    {
        "length",
        "area",
        "volume",
        "angle",
        "time",
        "temperature",
        "mass",
        "volume-flow",
        "power",
        "speed",
        "share",
    }
)


@dataclass(frozen=True)
class Field:
    """One key of a file."""

    key: str
    """Its path within its region: ``steel.fixing``."""
    about: str
    """What it means, and what is allowed."""
    kind: Kind
    """What a cell of it holds."""
    needed: bool
    """Whether the parser demands it."""
    many: bool = False
    """Whether a cell may hold several values."""
    unit: str = ""
    """Unit of a bare number; ``"¤"`` for the currency of the shop."""
    format: str = ""
    """The schema's own: dimension, list of names, or form of a date."""
    words: tuple[str, ...] = ()
    """The words that it allows, or the names that are offered."""

    @property
    def label(self) -> str:
        """What stands in the heading: the key in words.

        Examples
        --------
        >>> Field("steel.hole_edge", "", "quantity", needed=False).label
        'steel: hole edge'
        """
        return self.key.replace("_", " ").replace(".", ": ")

    @property
    def dimension(self) -> Any:
        """Of a quantity: what the parser of quantities calls its format.

        Examples
        --------
        >>> Field("tax", "", "quantity", needed=True, format="share").dimension
        'fraction'
        """
        return "fraction" if self.format == "share" else self.format


@dataclass(frozen=True)
class Region:
    """A part of a file that has a place of its own on a sheet."""

    file: File
    path: str
    """``panels.cutouts``; empty for the keys of the file itself."""
    shape: Literal["form", "table", "grid"]
    about: str
    fields: tuple[Field, ...]
    rows: tuple[Field, ...] = ()
    """Of a grid: its lines; each has every field."""
    most: int = 1
    """Of a table: the most rows that the parser takes."""
    owner: str = ""
    """Of a table within a table: the path of the outer one."""

    @property
    def name(self) -> str:
        """Name under which the workbook knows it, wherever it is moved.

        Examples
        --------
        >>> region("job", "panels.cutouts").name
        'mountwright_job_panels_cutouts'
        """
        return "_".join(filter(None, ["mountwright", self.file, self.path.replace(".", "_")]))


@cache
def regions() -> tuple[Region, ...]:
    """List everything that a workbook asks for, in the order of the files.

    Examples
    --------
    >>> [r.path for r in regions() if r.file == "job"][:4]
    ['', 'quote', 'places', 'straps']
    """
    found: list[Region] = []
    files: tuple[File, ...] = ("job", "shop")
    for file in files:
        top = schema(file)
        tables = {k: v for k, v in top["properties"].items() if _is_table(v)}
        keys = {k: v for k, v in top["properties"].items() if k not in tables and k != "schema"}
        rest = {**top, "properties": keys}
        found.append(Region(file, "", "form", "", tuple(_fields(rest))))
        for key, value in tables.items():
            found += _regions(file, key, value, "")
    return tuple(found)


def region(file: File, path: str) -> Region:
    """Find a region.

    Examples
    --------
    >>> region("shop", "times").shape
    'grid'
    """
    return next(r for r in regions() if (r.file, r.path) == (file, path))


def _is_table(value: dict[str, Any]) -> bool:
    return "properties" in value or "properties" in value.get("items", {})


def _regions(file: File, path: str, value: dict[str, Any], owner: str) -> Iterator[Region]:
    about = value.get("description", "")
    if "items" in value:
        item = value["items"]
        fields = list(_fields(item))
        if owner:
            word = owner.rpartition(".")[2].replace("_", " ")
            fields.insert(0, Field(OWNER, f"The one of {word} that it belongs to.", "name", True))
        yield Region(
            file, path, "table", about, tuple(fields), most=value.get("maxItems", 200), owner=owner
        )
        for key, inner in item["properties"].items():
            if _is_table(inner) and "items" in inner:
                yield from _regions(file, f"{path}.{key}", inner, path)
        return
    inner_tables = [v for v in value["properties"].values() if "properties" in v]
    if len(inner_tables) == len(value["properties"]):
        rows = tuple(
            Field(key, v.get("description", ""), "text", needed=False)
            for key, v in value["properties"].items()
        )
        yield Region(file, path, "grid", about, tuple(_fields(inner_tables[0])), rows)
        return
    yield Region(file, path, "form", about, tuple(_fields(value)))
    for key, inner in value["properties"].items():
        if _is_table(inner) and "items" in inner:
            yield from _regions(file, f"{path}.{key}", inner, "")


def _fields(table: dict[str, Any], prefix: str = "", *, needed: bool = True) -> Iterator[Field]:
    for key, value in table["properties"].items():
        demanded = needed and key in table.get("required", [])
        path = prefix + key
        if "properties" in value:
            yield from _fields(value, f"{path}.", needed=demanded)
        elif "properties" in value.get("items", {}):
            continue
        elif "additionalProperties" in value and value["additionalProperties"] is not False:
            for word in value["propertyNames"]["enum"]:
                yield _field(f"{path}.{word}", value["additionalProperties"], needed=False)
        else:
            yield _field(path, value, needed=demanded)


def _field(key: str, value: dict[str, Any], *, needed: bool) -> Field:
    many = value.get("type") == "array"
    one = {**value.get("items", {}), "description": value.get("description", "")} if many else value
    about = value.get("description", "").replace("`", "")
    if many and "least" in one:
        about += f" Allowed: {one['least']} to {one['most']}."
    form = one.get("format", "")
    words = _words(one)
    unit = ""
    kind: Kind = "text"
    if one.get("type") == "number":
        # Bare numbers that stand alone are prices; those in lists are directions.
        kind, unit = ("number", "") if many else ("money", CURRENCY)
    elif one.get("type") == "integer":
        kind = "whole"
    elif one.get("type") == "boolean":
        kind = "yes or no"
    elif "enum" in one or "oneOf" in one:
        kind = "word"
    elif form in _DIMENSIONS:
        kind, unit = "quantity", _unit(one)
    elif form in {"date", "moment"}:
        kind = "day"
    elif form:
        kind = "name"
    if many:
        about += f" Several: {_SEVERAL.get(kind, 'a semicolon or a line end between them')}."
    if kind in {"whole", "money"} and "maximum" in one:
        about += f" Allowed: {one['minimum']:.12g} to {one['maximum']:.12g}."
    return Field(key, about.strip(), kind, needed, many, unit, form, words)


def _words(value: dict[str, Any]) -> tuple[str, ...]:
    found: list[str] = list(value.get("enum", []))
    for choice in [*value.get("oneOf", []), *value.get("anyOf", [])]:
        found += [choice["const"]] if "const" in choice else _words(choice)
    return tuple(found)


def _unit(value: dict[str, Any]) -> str:
    found = _EXAMPLE.match(value.get("least", "")) or _EXAMPLE.match(value["examples"][0])
    most = _EXAMPLE.match(value.get("most", ""))
    unit = found["unit"] if found else value["least"].lstrip("-0123456789.")
    return _INSTEAD.get(most["unit"], unit) if most else unit
