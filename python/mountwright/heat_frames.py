"""Tables of recipes: the caller's columns in, the same kind of table out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mountwright import _core
from mountwright._core import Heat
from mountwright.errors import MountwrightError, ShapeError, UnknownNameError
from mountwright.heat import question

RESULTS = (
    "opens_s",
    "closes_s",
    "stop_s",
    "working_time_s",
    "hold_s",
    "touch_s",
    "peak_face_k",
    "reheats_left",
)
# Columns of texts that become numbers: their column and what they measure.
MEASURED = {
    "thickness": ("thickness_m", "length"),
    "air": ("air_k", "temperature"),
    "gas": ("gas_k", "temperature"),
    "stop": ("stop_s", "time"),
}
# Columns of texts that ask another question: rows that agree in them are worked out together.
ASKED = ("material", "back", "need", "hold")


def batch(
    rows: Any,
    material: str | None,
    heat: Heat | None,
    on_error: str,
    progress: Callable[[float], object] | None,
    asked: dict[str, Any],
) -> Any:
    """Work the rows of a table out; :func:`mountwright.recipes` says how."""
    if on_error not in ("raise", "mark"):
        raise _unknown("way with errors", on_error, ("raise", "mark"))
    columns = _columns(rows)
    length = _length(columns)
    marks = on_error == "mark"
    numbers, texts, faults = _sorted_out(columns, marks=marks)
    if material is None and "material" not in texts:
        raise TypeError("recipes() needs material, or a column material")
    if heat is None:
        if not {"film_w_m2_k", "gas_k"} <= numbers.keys():
            raise TypeError("recipes() needs heat, or columns film_w_m2_k and gas_k")
        heat = Heat.given(1.0, "20 °C")
    if "thickness_m" in numbers:
        # Any thickness: the column takes its place.
        asked.setdefault("thickness", "3 mm")
    results = {name: np.full(length, np.nan) for name in RESULTS}
    notes: NDArray[np.object_] = np.full(length, "", dtype=object)
    error: NDArray[np.object_] = np.full(length, None, dtype=object)
    done = 0
    for words, at in _groups(texts, length):
        share = at.size / max(length, 1)
        before = done / max(length, 1)
        report = None if progress is None else _scaled(progress, before, share)
        try:
            found, noted, wrong = _core._recipes(
                question(**{"material": material, **asked, **words}),
                heat,
                names=list(numbers),
                columns=[values[at] for values in numbers.values()],
                rows=at.tolist(),
                raises=not marks,
                progress=report,
            )
        except MountwrightError as fault:
            # A group whose question cannot be is marked as a whole.
            if not (marks and words):
                raise
            error[at] = str(fault)
        else:
            for name in RESULTS:
                results[name][at] = found[name]
            notes[at] = noted
            error[at] = wrong
        done += at.size
    for row, text in faults.items():
        error[row] = text
    if progress is not None:
        progress(1.0)
    return _as_given(rows, results, notes, error)


def _scaled(
    progress: Callable[[float], object], before: float, share: float
) -> Callable[[float], object]:
    return lambda fraction: progress(before + share * fraction)


def _unknown(kind: str, given: str, known: tuple[str, ...]) -> UnknownNameError:
    import difflib

    near = difflib.get_close_matches(given, known, n=3)
    nearest = f"; nearest: {', '.join(near)}" if near else ""
    message = f'no {kind} is called "{given}"{nearest}'
    return UnknownNameError(message, kind, given, near)


def _columns(rows: Any) -> dict[str, NDArray[Any]]:
    if isinstance(rows, Mapping):
        return {str(name): np.asarray(values) for name, values in rows.items()}
    if hasattr(rows, "columns") and hasattr(rows, "__getitem__"):
        return {str(name): np.asarray(rows[name].to_numpy()) for name in rows.columns}
    raise TypeError(
        f"recipes() takes a mapping of columns or a data frame, not {type(rows).__name__}"
    )


def _length(columns: dict[str, NDArray[Any]]) -> int:
    sizes = {name: values.shape for name, values in columns.items()}
    first = next(iter(sizes.values()), None)
    if first is None or len(first) != 1 or any(size != first for size in sizes.values()):
        given = ", ".join(f"{name} {size}" for name, size in sizes.items()) or "no columns"
        allowed = "at least one column, all of one length"
        raise ShapeError(
            f"columns of recipes is {given}, allowed is {allowed}",
            "columns of recipes",
            given,
            allowed,
        )
    return int(first[0])


def _sorted_out(
    columns: dict[str, NDArray[Any]], *, marks: bool
) -> tuple[dict[str, NDArray[np.float64]], dict[str, NDArray[Any]], dict[int, str]]:
    known = _core._recipe_columns()
    numbers: dict[str, NDArray[np.float64]] = {}
    texts: dict[str, NDArray[Any]] = {}
    faults: dict[int, str] = {}
    for name, values in columns.items():
        into, dimension = MEASURED.get(name, (name, ""))
        if into in numbers:
            raise ShapeError(
                f"columns of recipes is {into} twice, allowed is each quantity once",
                "columns of recipes",
                f"{into} twice",
                "each quantity once",
            )
        if name in known:
            numbers[name] = np.ascontiguousarray(values, dtype=np.float64)
        elif name in MEASURED:
            numbers[into] = _read(name, values, dimension, faults, marks=marks)
        elif name in ASKED:
            texts[name] = values
        else:
            raise _unknown("column", name, (*known, *MEASURED, *ASKED))
    if not numbers:
        # Rows that differ only in words: a thickness of one column is still needed.
        raise ShapeError(
            "columns of recipes is words only, allowed is at least one column of quantities",
            "columns of recipes",
            "words only",
            "at least one column of quantities",
        )
    return numbers, texts, faults


def _read(
    name: str,
    values: NDArray[Any],
    dimension: Any,
    faults: dict[int, str],
    *,
    marks: bool,
) -> NDArray[np.float64]:
    texts = [str(value) for value in values.tolist()]
    try:
        return _core.quantities(texts, dimension, what=name)
    except MountwrightError:
        if not marks:
            raise
    found = np.full(len(texts), np.nan)
    for row, text in enumerate(texts):
        try:
            found[row] = _core.quantities([text], dimension, what=name)[0]
        except MountwrightError as fault:
            faults.setdefault(row, str(fault).replace(f"{name}[0]", name))
    return found


def _groups(
    texts: dict[str, NDArray[Any]], length: int
) -> list[tuple[dict[str, str], NDArray[np.intp]]]:
    """Rows that ask the same question, in the order of their first row."""
    if not texts:
        return [({}, np.arange(length))]
    keys = list(zip(*(values.tolist() for values in texts.values()), strict=True))
    groups: dict[tuple[Any, ...], list[int]] = {}
    for row, key in enumerate(keys):
        groups.setdefault(key, []).append(row)
    return [
        (dict(zip(texts, map(str, key), strict=True)), np.array(at)) for key, at in groups.items()
    ]


def _as_given(
    rows: Any,
    results: dict[str, NDArray[np.float64]],
    notes: NDArray[np.object_],
    error: NDArray[np.object_],
) -> Any:
    if isinstance(rows, Mapping):
        return {**results, "notes": notes, "error": error}
    kind = type(rows)
    if kind.__module__.partition(".")[0] == "polars":
        import polars

        frame = polars.DataFrame({name: polars.Series(v) for name, v in results.items()})
        frame = frame.fill_nan(None)
        return frame.with_columns(
            polars.Series("notes", notes.tolist(), dtype=polars.String),
            polars.Series("error", error.tolist(), dtype=polars.String),
        )
    return kind({**results, "notes": notes, "error": error}, index=rows.index)
