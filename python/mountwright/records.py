"""Answers: frozen records with the fields that the core wrote, units in the names."""

from __future__ import annotations

import html
import json
from collections.abc import Iterator, Mapping
from typing import Any, Self

__all__ = ["Measure", "Record"]


class Record:
    """A frozen answer with named fields.

    Nested answers are records too, lists are tuples. Two records of a class are equal when their
    fields are. A child lists its fields as annotations, for readers and type checkers; the values
    come from the core.

    Parameters
    ----------
    fields : mapping of str to object
        Plain values as JSON has them.

    Examples
    --------
    >>> m = mw.Measure({"value": 0.047, "plus_minus": 0.001})
    >>> m.value, m.to_dict()
    (0.047, {'value': 0.047, 'plus_minus': 0.001})
    """

    __slots__ = ("_fields",)
    _fields: dict[str, Any]

    def __init__(self, fields: Mapping[str, Any]) -> None:
        object.__setattr__(self, "_fields", dict(fields))

    @classmethod
    def from_json(cls, text: str) -> Self:
        """Read a record back from :meth:`to_json`.

        Parameters
        ----------
        text : str
            A JSON object.

        Returns
        -------
        Record
            Of the class that it is called on.

        Examples
        --------
        >>> mw.Measure.from_json('{"value": 1.0, "plus_minus": 0.0}')
        Measure(value=1.0, plus_minus=0.0)
        """
        return cls(json.loads(text))

    def to_json(self, *, indent: int | None = None) -> str:
        """Write the record as JSON.

        Parameters
        ----------
        indent : int, optional
            Spaces for each level; one line if left out.

        Returns
        -------
        str
            A JSON object.

        Examples
        --------
        >>> mw.quantity("3 mm", "length").to_json()
        '{"value": 0.003, "plus_minus": 0.0}'
        """
        return json.dumps(self._fields, ensure_ascii=False, indent=indent)

    def to_dict(self) -> dict[str, Any]:
        """Copy the record into plain dicts, lists, strings and numbers.

        Returns
        -------
        dict
            Free to be changed.

        Examples
        --------
        >>> mw.quantity("3 mm", "length").to_dict()
        {'value': 0.003, 'plus_minus': 0.0}
        """
        copy: dict[str, Any] = json.loads(self.to_json())
        return copy

    def __getattr__(self, name: str) -> Any:
        # The field itself is asked for here only while a copy is being built.
        if name == "_fields" or name not in self._fields:
            raise AttributeError(
                f"{type(self).__name__} has no field {name!r}", name=name, obj=self
            )
        return _wrap(self._fields[name])

    def __setattr__(self, name: str, value: object) -> None:
        raise AttributeError(f"{type(self).__name__} is frozen", name=name, obj=self)

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"{type(self).__name__} is frozen", name=name, obj=self)

    def __dir__(self) -> Iterator[str]:
        yield from super().__dir__()
        yield from self._fields

    def __eq__(self, other: object) -> bool:
        if type(other) is not type(self):
            return NotImplemented
        return self._fields == other._fields

    def __hash__(self) -> int:
        return hash(self.to_json())

    def __reduce__(self) -> tuple[type[Self], tuple[dict[str, Any]]]:
        return type(self), (self._fields,)

    def __repr__(self) -> str:
        inside = ", ".join(f"{name}={_short(value)}" for name, value in self._fields.items())
        return f"{type(self).__name__}({inside})"

    def _repr_html_(self) -> str:
        rows = "".join(
            f"<tr><th scope='row'>{html.escape(name.replace('_', ' '))}</th>"
            f"<td>{html.escape(_short(value))}</td></tr>"
            for name, value in self._fields.items()
        )
        return f"<table><caption>{type(self).__name__}</caption>{rows}</table>"


class Measure(Record):
    """A measured quantity in SI with the uncertainty that was written beside it."""

    value: float
    """Value. [SI]"""
    plus_minus: float
    """Half-width of its range; 0 where none was written. [SI]"""


def _wrap(value: Any) -> Any:
    match value:
        case dict():
            return Record(value)
        case list():
            return tuple(_wrap(item) for item in value)
        case _:
            return value


def _short(value: Any) -> str:
    match value:
        case dict():
            return "{" + ", ".join(value) + "}"
        case list() if len(value) > 4 or any(isinstance(item, (dict, list)) for item in value):
            return f"[{len(value)} items]"
        case float():
            return repr(float(f"{value:.6g}"))
        case _:
            return repr(value)
