"""Asks an estimator row by row, on a few threads, and sets its answers side by side."""

from __future__ import annotations

import ast
import contextlib
import inspect
import itertools
import os
import re
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from typing import Any

import numpy as np
from numpy.typing import NDArray

from mountwright.errors import KindError, MountwrightError, ShapeError, UnitError
from mountwright.records import Checks, Record
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


def ask(
    estimator: Callable[..., Any],
    rows: Any,
    on_error: str,
    progress: Progress,
    same: Mapping[str, Any],
) -> Any:
    """Ask for each row; :func:`mountwright.for_rows` says how."""
    if not callable(estimator):
        raise KindError.of("estimator", estimator, "a function, such as mountwright.joint")
    marks = known_way(on_error)
    table = Table(rows, "for_rows")
    readers = _readers(estimator, list(table.columns), same)
    columns = [(name, unit, table.columns[column]) for column, (name, unit) in readers.items()]
    needed = {name for name, needs in (_arguments(estimator) or {}).items() if needs}

    def answer(row: int) -> tuple[dict[str, Any], str, str | None]:
        try:
            asked = {**same, **_asked(columns, row)}
            for name in needed - asked.keys():
                raise missing(name)
            flat, notes = _flat(_answer(estimator, asked))
        except MountwrightError as fault:
            if not marks:
                raise
            return {}, "", str(fault)
        except ArithmeticError as fault:
            if not marks:
                raise
            return {}, "", f"{type(fault).__name__}: {fault}"
        else:
            return flat, notes, None

    with reported(progress, getattr(estimator, "__name__", "rows")) as report:
        answers = _spread(answer, table.length, report)
    if any(error is None for _, _, error in answers):
        return table.give(*_columns(answers))
    # No row says what an answer holds: one of a usual row does, and is cut off again.
    results, notes, error = _columns(answers + _usual_answer(estimator, columns, same))
    many = len(answers)
    return table.give({n: v[:many] for n, v in results.items()}, notes[:many], error[:many])


# Where no row says what an answer holds, the library is asked with values that most take.
_USUAL_NUMBERS = (20, 3, 100, 300, 1, 0.02, 0.003, 0.3, 330)
_USUAL_TEXTS = (
    *("abs", "20 cm2", "20 mm", "3 mm", "120 mm", "300 mm", "20 g", "80 °C", "60 s"),
    *("upper-pillar", "hot", "textured", "epoxy-30min", "circle", "left", 4),
)
_MOST_TRIES = 4000


def _usual_answer(
    estimator: Callable[..., Any],
    columns: list[tuple[str, str, NDArray[Any]]],
    same: Mapping[str, Any],
) -> list[tuple[dict[str, Any], str, str | None]]:
    """Give an answer of the library to a usual row, for its columns alone; none where none fits.

    A function of the caller's own is not asked about what is in none of its rows.
    """
    if (getattr(estimator, "__module__", None) or "").partition(".")[0] != "mountwright":
        return []
    takes = _arguments(estimator) or {}
    # What may be left out is left out first.
    for needed in (True, False):
        asked = {
            name: [f"{number} {unit}" for number in _USUAL_NUMBERS] if unit else _USUAL_TEXTS
            for name, unit, _ in columns
            if unit or takes.get(name) or not needed
        }
        tries = itertools.islice(itertools.product(*asked.values()), _MOST_TRIES)
        for row in tries:
            with contextlib.suppress(MountwrightError, TypeError, OverflowError):
                return [(*_flat(estimator(**same, **dict(zip(asked, row, strict=True)))), None)]
    return []


def _readers(
    estimator: Callable[..., Any], columns: list[str], same: Mapping[str, Any]
) -> dict[str, tuple[str, str]]:
    """Give, for each column, the argument that it fills and the unit that its numbers are in."""
    takes = _arguments(estimator)
    for name in same:
        if takes is not None and name not in takes:
            raise unknown("argument of the estimator", name, tuple(takes))
    found = {}
    for column in columns:
        stem, _, ending = column.rpartition("_")
        if takes is None or column in takes:
            found[column] = (column, "")
        elif stem in takes and ending in UNITS:
            found[column] = (stem, UNITS[ending])
        else:
            meant = stem if ending in UNITS else column
            raise unknown("argument of the estimator", column, tuple(takes), meant)
    names = [name for name, _ in found.values()] + list(same)
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise ShapeError(
            f"columns of for_rows is {twice} twice, allowed is each argument once",
            "columns of for_rows",
            f"{twice} twice",
            "each argument once",
        )
    return found


def _arguments(estimator: Callable[..., Any]) -> dict[str, bool] | None:
    """Give the estimator's arguments, and whether each is needed; None where it takes any."""
    try:
        takes = inspect.signature(estimator).parameters
    except ValueError:
        # `inspect` reads signatures of compiled functions as ASCII, and defaults have degree signs.
        return _written(getattr(estimator, "__text_signature__", None))
    if any(p.kind is inspect.Parameter.VAR_KEYWORD for p in takes.values()):
        return None
    return {name: p.default is inspect.Parameter.empty for name, p in takes.items()}


def _written(signature: str | None) -> dict[str, bool] | None:
    """Read arguments from a signature that is written out.

    Examples
    --------
    >>> _written("(a, *, service='60 °C')")
    {'a': True, 'service': False}
    """
    if signature is None:
        return None
    found = ast.parse(f"def f{signature.replace('$', '')}: ...").body[0]
    assert isinstance(found, ast.FunctionDef)
    given = found.args
    plain = [a.arg for a in (*given.posonlyargs, *given.args)]
    optional = set(plain[len(plain) - len(given.defaults) :]) if given.defaults else set()
    named = zip(given.kwonlyargs, given.kw_defaults, strict=True)
    return {name: name not in optional for name in plain} | {
        a.arg: default is None for a, default in named
    }


def _asked(columns: list[tuple[str, str, NDArray[Any]]], row: int) -> dict[str, Any]:
    asked: dict[str, Any] = {}
    for name, unit, values in columns:
        value = values[row]
        if hasattr(value, "item"):
            value = value.item()
        gone = is_missing(value)
        if gone and values.dtype == object and not unit:
            continue
        if gone:
            raise missing(name)
        if isinstance(value, float) and value.is_integer() and abs(value) < 2**53:
            # A column of counts with a gap comes as fractions.
            value = int(value)
        asked[name] = with_unit(value, unit) if unit else value
    return asked


def _answer(estimator: Callable[..., Any], asked: dict[str, Any]) -> Any:
    """Ask; a value of the wrong kind is an error of its row, as any other that cannot be."""
    try:
        return estimator(**asked)
    except (TypeError, OverflowError) as fault:
        if estimator.__module__.partition(".")[0] != "mountwright":
            raise
        given = ", ".join(f"{name} {value!r}" for name, value in asked.items())
        expected = "a text with its unit, or a number where the argument is one"
        raise UnitError(
            f"the arguments are {given}, expected each as {expected}: {fault}; "
            "a column of numbers names its unit, as area_cm2 for area",
            "the arguments",
            given,
            expected,
            "name the unit in the column",
        ) from fault


def _flat(found: Any) -> tuple[dict[str, Any], str]:
    """Turn an answer into columns, and its notes into a line."""
    if isinstance(found, Checks):
        flat: dict[str, Any] = {"worst": found.worst}
        for check in found:
            name = re.sub(r"\W+", "_", check.name.lower()).strip("_")
            unit = re.sub(r"\W+", "", check.unit.lower())
            flat[name if unit in ("", "1") else f"{name}_{unit}"] = check.figure
            flat[f"{name}_verdict"] = check.verdict
        return flat, ""
    fields = found.to_dict() if isinstance(found, Record) else found
    if not isinstance(fields, Mapping):
        return {"result": fields}, ""
    notes = "; ".join(
        f"{note['about']}: {note['text']}" if isinstance(note, Mapping) else str(note)
        for note in fields.get("notes") or ()
    )
    return dict(_leaves(fields, "")), notes


def _leaves(fields: Mapping[str, Any], before: str) -> Iterator[tuple[str, Any]]:
    for name, value in fields.items():
        if isinstance(value, Mapping):
            yield from _leaves(value, f"{before}{name}_")
        elif not isinstance(value, (list, tuple)) and name not in ("notes", "error"):
            yield before + name, value


def _spread(
    answer: Callable[[int], Any], length: int, report: Callable[[float], object] | None
) -> list[Any]:
    """Ask for all rows on a few threads, in chunks of some 50 ms, and listen in between."""
    answers: list[Any] = [None] * length
    stop = threading.Event()
    workers = min(os.cpu_count() or 1, 16)

    def chunk(first: int, last: int) -> int:
        for row in range(first, last):
            if stop.is_set():
                break
            try:
                answers[row] = answer(row)
            except MountwrightError as fault:
                raise in_row(row, fault) from fault
            except Exception as fault:
                fault.add_note(f"in row {row}")
                raise
        return last - first

    at, done, size = 0, 0, 1
    running: dict[Future[int], tuple[int, float]] = {}
    faults: dict[int, BaseException] = {}
    with ThreadPoolExecutor(workers) as pool:
        try:
            while done < length or running:
                while at < length and len(running) < 2 * workers and not faults:
                    last = min(at + size, length)
                    running[pool.submit(chunk, at, last)] = (at, time.monotonic())
                    at = last
                if not running:
                    break
                finished, _ = wait(running, timeout=0.05, return_when=FIRST_COMPLETED)
                for future in finished:
                    first, began = running.pop(future)
                    if (fault := future.exception()) is not None:
                        faults[first] = fault
                        continue
                    done += future.result()
                    spent = max(time.monotonic() - began, 1e-6)
                    size = max(1, min(round(size * min(0.05 * workers / spent, 2.0)), 4096))
                if report is not None:
                    report(min(done / length, 1.0))
        except BaseException:
            stop.set()
            raise
    if faults:
        # Chunks end as they like: the first row is raised all the same.
        raise faults[min(faults)]
    if report is not None:
        report(1.0)
    return answers


def _columns(
    answers: list[tuple[dict[str, Any], str, str | None]],
) -> tuple[dict[str, NDArray[Any]], NDArray[Any], NDArray[Any]]:
    """Set answers side by side: numbers as floats, NaN for none; all else as objects."""
    names: dict[str, None] = {}
    for flat, _, _ in answers:
        names.update(dict.fromkeys(flat))
    found: dict[str, NDArray[Any]] = {}
    for name in names:
        values = [flat.get(name) for flat, _, _ in answers]
        known = [value for value in values if value is not None]
        if all(isinstance(value, bool) for value in known) and len(known) == len(values):
            found[name] = np.array(values, dtype=bool)
        elif all(isinstance(value, int | float) and not isinstance(value, bool) for value in known):
            found[name] = np.array([np.nan if v is None else v for v in values], dtype=np.float64)
        else:
            found[name] = _objects(values)
    notes = _objects([note for _, note, _ in answers])
    return found, notes, _objects([error for _, _, error in answers])


def _objects(values: list[Any]) -> NDArray[Any]:
    found = np.empty(len(values), dtype=object)
    found[:] = values
    return found
