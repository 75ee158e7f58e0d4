"""Tables of recipes: the caller's columns in, the same kind of table out."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mountwright import _core
from mountwright._core import Heat
from mountwright.errors import MountwrightError, ShapeError
from mountwright.heat import question
from mountwright.tables import Progress, Table, known_way, reported, unknown

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
    progress: Progress,
    asked: dict[str, Any],
) -> Any:
    """Work the rows of a table out; :func:`mountwright.recipes` says how."""
    marks = known_way(on_error)
    table = Table(rows, "recipes")
    length = table.length
    numbers, texts, faults = _sorted_out(table.columns, marks=marks)
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
    with reported(progress, "recipes") as report:
        for words, at in _groups(texts, length):
            share = at.size / max(length, 1)
            before = done / max(length, 1)
            try:
                found, noted, wrong = _core._recipes(
                    question(**{"material": material, **asked, **words}),
                    heat,
                    names=list(numbers),
                    columns=[values[at] for values in numbers.values()],
                    rows=at.tolist(),
                    raises=not marks,
                    progress=None if report is None else _scaled(report, before, share),
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
        if report is not None:
            report(1.0)
    return table.give(results, notes, error)


def _scaled(
    progress: Callable[[float], object], before: float, share: float
) -> Callable[[float], object]:
    return lambda fraction: progress(before + share * fraction)


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
            raise unknown("column", name, (*known, *MEASURED, *ASKED))
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
