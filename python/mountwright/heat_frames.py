"""Tables of recipes: the caller's columns in, the same kind of table out."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mountwright import _core
from mountwright._core import Heat
from mountwright.errors import KindError, MountwrightError, ShapeError, UnitError
from mountwright.heat import question
from mountwright.tables import (
    UNITS,
    Progress,
    Table,
    in_row,
    is_missing,
    known_way,
    missing,
    reported,
    unknown,
    with_unit,
)

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
# Quantities that come as texts, or as numbers in a unit of the shop: their column and what they
# measure.
MEASURED = {
    "thickness": ("thickness_m", "length"),
    "air": ("air_k", "temperature"),
    "gas": ("gas_k", "temperature"),
    "limp": ("limp_k", "temperature"),
    "formable": ("formable_k", "temperature"),
    "upper": ("upper_k", "temperature"),
    "set": ("set_k", "temperature"),
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
    numbers, texts, faults = _sorted_out(table.columns)
    if material is None and "material" not in texts:
        raise KindError.of("material", None, "the name of a sheet's material, or a column of them")
    if heat is None:
        if not {"film_w_m2_k", "gas_k"} <= numbers.keys():
            raise KindError.of("heat", None, "a Heat, or columns film_w_m2_k and gas_k")
        heat = Heat.given(1.0, "20 °C")
    if "thickness_m" in numbers:
        # Any thickness: the column takes its place.
        asked.setdefault("thickness", "3 mm")
    elif "thickness" not in asked:
        raise missing("thickness")
    results = {name: np.full(length, np.nan) for name in RESULTS}
    notes: NDArray[np.object_] = np.full(length, "", dtype=object)
    error: NDArray[np.object_] = np.full(length, None, dtype=object)
    # Who raises hears of the first row that cannot be: those beyond a known one are not asked.
    end = length if marks else min(faults, default=length)
    blamed: dict[str, str] = {}
    done = 0

    def ask(
        words: dict[str, str],
        at: NDArray[np.intp],
        report: Callable[[float], object] | None = None,
        *,
        raises: bool,
    ) -> Any:
        if material is None and "material" not in words:
            raise missing("material")
        return _core._recipes(
            question(**{"material": material, **asked, **words}),
            heat,
            names=list(numbers),
            columns=[values[at] for values in numbers.values()],
            rows=at.tolist(),
            raises=raises,
            progress=report,
        )

    with reported(progress, "recipes") as report:
        for words, group in _groups(texts, length):
            share = group.size / max(length, 1)
            before = done / max(length, 1)
            done += group.size
            at = group[group < end]
            if at.size < group.size and not at.size:
                continue
            scaled = None if report is None else _scaled(report, before, share)
            try:
                found, noted, wrong = ask(words, at, scaled, raises=not marks and not texts)
            except MountwrightError as fault:
                # A group whose question cannot be is wrong as a whole.
                if not texts:
                    raise
                error[at] = str(fault)
                faults.setdefault(int(at[0]), fault)
            else:
                for name in RESULTS:
                    results[name][at] = found[name]
                notes[at] = noted
                error[at] = wrong
            if texts and not marks:
                first = next((int(row) for row in at if error[row] is not None), end)
                if first < end:
                    end, blamed = first, words
        if end < length:
            if end in faults:
                raise in_row(end, faults[end])
            ask(blamed, np.array([end]), raises=True)
        for row, told in faults.items():
            error[row] = str(told)
        if report is not None:
            report(1.0)
    return table.give(results, notes, error)


def _scaled(
    progress: Callable[[float], object], before: float, share: float
) -> Callable[[float], object]:
    return lambda fraction: progress(before + share * fraction)


def _sorted_out(
    columns: dict[str, NDArray[Any]],
) -> tuple[dict[str, NDArray[np.float64]], dict[str, NDArray[Any]], dict[int, MountwrightError]]:
    """Tell numbers from words; what is no number is kept by its row."""
    known = _core._recipe_columns()
    numbers: dict[str, NDArray[np.float64]] = {}
    texts: dict[str, NDArray[Any]] = {}
    faults: dict[int, MountwrightError] = {}
    for name, values in columns.items():
        stem, _, ending = name.rpartition("_")
        unit = UNITS.get(ending, "") if stem in MEASURED and name not in known else ""
        into, dimension = MEASURED.get(stem if unit else name, (name, ""))
        if into in numbers:
            raise ShapeError(
                f"columns of recipes is {into} twice, allowed is each quantity once",
                "columns of recipes",
                f"{into} twice",
                "each quantity once",
            )
        if name in known:
            numbers[name] = _numbers(name, values, faults)
        elif dimension:
            numbers[into] = _read(name, values, unit, dimension, faults)
        elif name in ASKED:
            texts[name] = values
        else:
            meant = stem if ending in UNITS else name
            raise unknown("column", name, (*known, *MEASURED, *ASKED), meant)
    if not numbers:
        # Rows that differ only in words: a thickness of one column is still needed.
        raise ShapeError(
            "columns of recipes is words only, allowed is at least one column of quantities",
            "columns of recipes",
            "words only",
            "at least one column of quantities",
        )
    return numbers, texts, faults


def _numbers(
    name: str, values: NDArray[Any], faults: dict[int, MountwrightError]
) -> NDArray[np.float64]:
    """Take a column of numbers; a number that is missing is NaN."""
    try:
        return np.ascontiguousarray(values, dtype=np.float64)
    except (TypeError, ValueError, OverflowError):
        found = np.full(values.size, np.nan)
    for row, value in enumerate(values.tolist()):
        try:
            found[row] = np.nan if is_missing(value) else float(value)
        except (TypeError, ValueError, OverflowError):
            expected, remedy = "a number", "write it in the unit of the column's name"
            message = f'{name} is "{value}", expected {expected}: {remedy}'
            faults.setdefault(row, UnitError(message, name, str(value), expected, remedy))
    return found


def _read(
    name: str,
    values: NDArray[Any],
    unit: str,
    dimension: Any,
    faults: dict[int, MountwrightError],
) -> NDArray[np.float64]:
    """Read a column of texts, or of numbers in a unit; what is missing is an error of its row."""
    texts = [
        "" if is_missing(value) else str(with_unit(value, unit) if unit else value)
        for value in values.tolist()
    ]
    with contextlib.suppress(MountwrightError):
        return _core.quantities(texts, dimension, what=name)
    found = np.full(len(texts), np.nan)
    for row, text in enumerate(texts):
        try:
            if not text:
                raise missing(name)
            found[row] = _core.quantities([text], dimension, what=name)[0]
        except MountwrightError as fault:
            message = fault.message.replace(f"{name}[0]", name)
            faults.setdefault(row, type(fault)(message, *fault.args[1:]))
    return found


def _groups(
    texts: dict[str, NDArray[Any]], length: int
) -> list[tuple[dict[str, str], NDArray[np.intp]]]:
    """Rows that ask the same question, in the order of their first row."""
    if not texts:
        return [({}, np.arange(length))]
    # A word that is missing is left to its default.
    columns = (
        [None if is_missing(value) else str(value) for value in values.tolist()]
        for values in texts.values()
    )
    keys = list(zip(*columns, strict=True))
    groups: dict[tuple[Any, ...], list[int]] = {}
    for row, key in enumerate(keys):
        groups.setdefault(key, []).append(row)
    return [
        (
            {name: word for name, word in zip(texts, key, strict=True) if word is not None},
            np.array(at),
        )
        for key, at in groups.items()
    ]
