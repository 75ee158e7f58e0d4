"""Plain values as the text of a TOML file, one key a line, with the line of every key."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, NamedTuple


class Text(NamedTuple):
    """A TOML file that was written."""

    text: str
    """All of it."""
    lines: dict[int, str]
    """Line, counted from 1, to the key that stands there as a path: ``straps[1].thickness``."""


def toml(data: Mapping[str, Any]) -> Text:
    """Write a job or a shop as TOML.

    Parameters
    ----------
    data : mapping
        Text, numbers, booleans, lists and mappings of these.

    Returns
    -------
    Text
        The text, and which key stands on which line.

    Examples
    --------
    >>> written = toml({"schema": 1, "panels": [{"name": "a", "cutouts": [{"width": "9 mm"}]}]})
    >>> print(written.text)
    schema = 1
    [[panels]]
    name = "a"
    [[panels.cutouts]]
    width = "9 mm"
    >>> written.lines[5]
    'panels[0].cutouts[0].width'
    """
    lines: list[tuple[str, str]] = []
    _table(data, "", "", lines)
    return Text(
        "\n".join(text for text, _ in lines),
        {number: field for number, (_, field) in enumerate(lines, start=1)},
    )


def _table(table: Mapping[str, Any], head: str, field: str, lines: list[tuple[str, str]]) -> None:
    """Write the plain keys of a table, then its tables: TOML wants them in this order."""
    inner: list[tuple[str, str, Mapping[str, Any], str]] = []
    for key, value in table.items():
        name = _key(key)
        path = f"{head}.{name}" if head else name
        place = f"{field}.{key}" if field else key
        if isinstance(value, Mapping):
            inner.append(("[", path, value, place))
        elif isinstance(value, list) and value and all(isinstance(v, Mapping) for v in value):
            inner += [("[[", path, one, f"{place}[{i}]") for i, one in enumerate(value)]
        else:
            lines.append((f"{name} = {_value(value)}", place))
    for bracket, path, value, place in inner:
        lines.append((f"{bracket}{path}{bracket.replace('[', ']')}", place))
        _table(value, path, place, lines)


def _key(key: str) -> str:
    plain = key.replace("_", "").replace("-", "")
    return key if plain.isascii() and plain.isalnum() else _text(key)


def _value(value: Any) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return _text(value)
        case list():
            return f"[{', '.join(map(_value, value))}]"
        case Mapping():
            return f"{{ {', '.join(f'{_key(k)} = {_value(v)}' for k, v in value.items())} }}"
        case _:
            return repr(value)


def _text(text: str) -> str:
    # A JSON string is a TOML string, but for the one control character that JSON leaves bare.
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
