"""The caller's own table in, the same kind of table out: mappings of arrays, pandas, Polars."""

from __future__ import annotations

import contextlib
import difflib
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from mountwright.errors import KindError, MountwrightError, ShapeError, UnknownNameError
from mountwright.kinds import text

Progress = Callable[[float], object] | bool | None

# Endings of a column that holds numbers of that unit, for an argument that takes text.
UNITS = {
    "m": "m",
    "mm": "mm",
    "in": "in",
    "m2": "m2",
    "cm2": "cm2",
    "m3": "m3",
    "ml": "mL",
    "k": "K",
    "c": "°C",
    "f": "°F",
    "s": "s",
    "min": "min",
    "h": "h",
    "kg": "kg",
    "g": "g",
    "n": "N",
    "pa": "Pa",
    "mpa": "MPa",
    "percent": "%",
    "deg": "°",
}
_NUMBER = re.compile(r"[-+]?[\d.]+(e[-+]?\d+)?", re.ASCII | re.IGNORECASE)


class Table:
    """Columns of one length, and how to give answers back as they were asked.

    Parameters
    ----------
    rows : mapping of str to array_like, pandas.DataFrame or polars.DataFrame
        A mapping's values are broadcast against each other as NumPy does; scalars give scalars.
    asker : str
        Who asks, for messages.

    Raises
    ------
    ShapeError
        There is no column, columns do not fit together, or one holds what no quantity is.
    TypeError
        It is none of these.
    """

    def __init__(self, rows: Any, asker: str) -> None:
        self.rows = rows
        self.is_mapping = isinstance(rows, Mapping)
        if self.is_mapping:
            given = {str(name): _array(values) for name, values in rows.items()}
        elif type(rows).__name__ == "LazyFrame":
            raise _no_table(
                f"rows of {asker}", "a lazy frame", "a frame that is worked out: call .collect()"
            )
        elif hasattr(rows, "columns") and hasattr(rows, "__getitem__"):
            names = [str(name) for name in rows.columns]
            for name in names:
                if names.count(name) > 1:
                    raise _no_table(f"columns of {asker}", f"{name} twice", "each name once")
            given = {str(name): _series(rows[name]) for name in rows.columns}
        else:
            raise KindError.of(f"rows of {asker}", rows, "a mapping of columns or a data frame")
        for name, values in given.items():
            if values.dtype.kind in _REFUSED:
                what = f"column {name} of {asker}"
                raise _no_table(what, _REFUSED[values.dtype.kind], "numbers, or texts with a unit")
        self.shape = _shape(given, asker)
        self.columns: dict[str, NDArray[Any]] = {
            name: np.broadcast_to(values, self.shape).reshape(-1) for name, values in given.items()
        }
        self.length = int(np.prod(self.shape, dtype=np.int64))

    def give(
        self, results: Mapping[str, NDArray[Any]], notes: NDArray[Any], error: NDArray[Any]
    ) -> Any:
        """Give answers back in the caller's kind of table, its index kept."""
        columns: dict[str, Any] = {**results, "notes": notes, "error": error}
        if self.is_mapping:
            if self.shape == ():
                return {name: values[0] for name, values in columns.items()}
            return {name: values.reshape(self.shape) for name, values in columns.items()}
        kind = type(self.rows)
        if kind.__module__.partition(".")[0] == "polars":
            return _polars(columns)
        import pandas

        # Of texts the frame makes a kind of its own, also where there are no rows to see it from.
        words = pandas.Series(["text"]).dtype
        for name, values in columns.items():
            if _words(values):
                columns[name] = pandas.Series(values, index=self.rows.index, dtype=words)
        # In that kind None would be NaN.
        columns["error"] = pandas.Series(error, index=self.rows.index, dtype=object)
        return kind(columns, index=self.rows.index)


# Kinds of arrays that would lose their meaning as numbers.
_REFUSED = {"c": "complex numbers", "M": "dates", "m": "spans of time without a unit"}


def _array(values: Any) -> NDArray[Any]:
    if isinstance(values, np.ma.MaskedArray):
        found = np.array(values.data, dtype=np.float64 if values.dtype.kind in "iuf" else object)
        found[np.ma.getmaskarray(values)] = np.nan
        return found
    found = np.asarray(values)
    # A column of texts keeps its texts, and what stands between them: numpy's own would be cut to
    # one length, and a number among them be a text.
    return np.array(values, dtype=object) if found.dtype.kind in "US" else found


def _series(column: Any) -> NDArray[Any]:
    """Give a column of a frame as an array, NaN for a number that is missing."""
    kind = column.dtype
    if getattr(kind, "kind", "O") in "iuf" and hasattr(kind, "na_value"):
        # Nullable numbers of pandas.
        return np.asarray(column.to_numpy(dtype=np.float64, na_value=np.nan))
    return np.asarray(column.to_numpy())


def _no_table(what: str, given: str, allowed: str) -> ShapeError:
    return ShapeError(f"{what} is {given}, allowed is {allowed}", what, given, allowed)


def missing(name: str) -> ShapeError:
    """Make the error for a value that is not there."""
    return ShapeError(
        f"{name} is missing, allowed is a value: fill it in or leave the row out",
        name,
        "missing",
        "a value",
    )


def with_unit(value: Any, unit: str) -> Any:
    """Give a number of a column its unit; what says its own keeps it.

    Examples
    --------
    >>> with_unit(3, "mm"), with_unit("3", "mm"), with_unit("3 in", "mm")
    ('3 mm', '3 mm', '3 in')
    """
    whole = isinstance(value, str) and not _NUMBER.fullmatch(value.strip())
    return value if whole else f"{value} {unit}"


def is_missing(value: Any) -> bool:
    """Say whether a value is none: nothing, NaN, or what pandas has in their place."""
    return value is None or type(value).__name__ == "NAType" or bool(value != value)


def _shape(columns: Mapping[str, NDArray[Any]], asker: str) -> tuple[int, ...]:
    shapes = {name: values.shape for name, values in columns.items()}
    allowed = "at least one column, all of one length or such that they broadcast"
    try:
        if shapes:
            return np.broadcast_shapes(*shapes.values())
    except ValueError:
        pass
    given = ", ".join(f"{name} {shape}" for name, shape in shapes.items()) or "no columns"
    raise _no_table(f"columns of {asker}", given, allowed)


def _words(values: NDArray[Any]) -> bool:
    """Say whether a column holds texts, or nothing; objects else are numbers with gaps."""
    return values.dtype == object and all(v is None or isinstance(v, str) for v in values)


def _polars(columns: Mapping[str, NDArray[Any]]) -> Any:
    import polars

    series = []
    for name, values in columns.items():
        if values.dtype == object:
            series.append(
                polars.Series(
                    name, values.tolist(), dtype=polars.String if _words(values) else None
                )
            )
        else:
            series.append(
                polars.Series(name, values).fill_nan(None)
                if values.dtype.kind == "f"
                else polars.Series(name, values)
            )
    return polars.DataFrame(series)


def known_way(on_error: str) -> bool:
    """Hold ``on_error`` against what there is; give whether rows are marked."""
    if text("on_error", on_error) not in ("raise", "mark"):
        raise unknown("way with errors", on_error, ("raise", "mark"))
    return on_error == "mark"


def unknown(
    kind: str, given: str, known: tuple[str, ...], meant: str | None = None
) -> UnknownNameError:
    """Make the error for a name that is not known, with those nearest to what was meant."""
    near = difflib.get_close_matches(meant or given, known, n=3)
    nearest = f"; nearest: {', '.join(near)}" if near else f"; known are: {', '.join(known)}"
    return UnknownNameError(f'no {kind} is called "{given}"{nearest}', kind, given, near)


def in_row(row: int, fault: MountwrightError) -> MountwrightError:
    """Give the same error with the row before its message."""
    return type(fault)(f"row {row}: {fault.message}", *fault.args[1:])


@contextlib.contextmanager
def reported(progress: Progress, what: str) -> Iterator[Callable[[float], object] | None]:
    """Give the function to report the share done to: the caller's, a tqdm bar's, or none.

    Raises
    ------
    ImportError
        ``progress=True`` and tqdm is not installed.
    """
    if progress is None or progress is False:
        yield None
    elif progress is True:
        try:
            from tqdm.auto import tqdm
        except ImportError as missing:
            raise ImportError(
                "progress=True needs tqdm: pip install 'mountwright[frames]'", name="tqdm"
            ) from missing
        form = "{l_bar}{bar}| {elapsed}<{remaining}"
        with tqdm(total=1.0, desc=what, bar_format=form) as bar:
            yield lambda share: bar.update(share - bar.n)
    else:
        yield progress


OnError = Literal["raise", "mark"]
