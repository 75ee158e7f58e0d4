"""Any estimator over the rows of a table: the one mechanism behind all of them."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Literal, TypeVar, overload

__all__ = ["for_rows"]

Frame = TypeVar("Frame")


@overload
def for_rows(
    estimator: Callable[..., Any],
    rows: Mapping[str, Any],
    *,
    on_error: Literal["raise", "mark"] = "raise",
    progress: Callable[[float], object] | bool | None = None,
    **same: Any,
) -> dict[str, Any]: ...
@overload
def for_rows(
    estimator: Callable[..., Any],
    rows: Frame,
    *,
    on_error: Literal["raise", "mark"] = "raise",
    progress: Callable[[float], object] | bool | None = None,
    **same: Any,
) -> Frame: ...
def for_rows(
    estimator: Callable[..., Any],
    rows: Any,
    *,
    on_error: Literal["raise", "mark"] = "raise",
    progress: Callable[[float], object] | bool | None = None,
    **same: Any,
) -> Any:
    """Ask an estimator for each row of a table, and give the same kind of table back.

    For :func:`joint`, :func:`finish`, :func:`check_strap`, :func:`check_ring`, :func:`strap`,
    :func:`belongs` and every other function of the library that answers one question, and for
    functions of your own that put several together. Recipes have :func:`recipes`, which is faster.

    Rows are spread over threads; the core works without the interpreter's lock. For more rows than
    one machine bears, the guide on tables has a tested recipe.

    Parameters
    ----------
    estimator : callable
        It takes keywords and returns a record, checks, a mapping or a number.
    rows : mapping of str to array_like, pandas.DataFrame or polars.DataFrame
        A column for each keyword that differs from row to row. An argument that takes a text with
        a unit may come as numbers whose column ends in the unit: ``thickness_mm`` for
        ``thickness``, ``service_k`` for ``service``. Endings are those of results, and ``_mm``,
        ``_in``, ``_c``, ``_f``, ``_g``, ``_ml``, ``_min``, ``_percent``, ``_deg``. A missing text
        is left to its default, a missing number is an error of its row. Arrays of a mapping are
        broadcast against each other; scalars give scalars.
    on_error : {"raise", "mark"}, default "raise"
        What to do with a row that cannot be: raise its error with the row's number, counted from
        0, or mark it in ``error`` and go on.
    progress : callable or True, optional
        Called some twenty times a second with the share done, 0 to 1; True shows a tqdm bar.
    **same
        Keywords that are the same for all rows.

    Returns
    -------
    mapping, pandas.DataFrame or polars.DataFrame
        The kind that was given, its index kept: a column for each number, word and yes or no of
        the answer, ``<result>_<unit>``, those of a record within joined by its name; then ``notes``
        and ``error`` (None, or what is wrong with the row). Of checks, ``worst``, and of each its
        figure and its ``_verdict``. Lists of answers are left out. A table without rows gets the
        same columns without rows; of functions of your own only ``notes`` and ``error``.

    Raises
    ------
    ShapeError
        There is no column, columns do not fit together, or one is of dates or complex numbers; a
        required argument is missing.
    UnknownNameError
        A column or a keyword is no argument of the estimator.
    UnitError
        A number stands where a text with its unit is needed, or the other way round.
    MountwrightError
        With ``on_error="raise"``, of the first row that cannot be.
    Exception
        What else a function of your own raises, with the row in a note, whatever ``on_error`` is: a
        fault of the function is none of its row. A division by zero and the like are marked. Have
        the function raise :class:`MountwrightError` for a row that it refuses.
    ImportError
        ``progress=True`` without tqdm.
    KeyboardInterrupt
        Ctrl-C is heard within 0.2 s and one row.

    Examples
    --------
    >>> columns = {"area_cm2": [20.0, 75.0], "adhesive": "epoxy-30min"}
    >>> found = mw.for_rows(mw.joint, columns, a="abs", b="abs")
    >>> found["handling_s"].shape, bool(found["amount_net_m3"][0] < found["amount_net_m3"][1])
    ((2,), True)

    >>> found = mw.for_rows(
    ...     mw.joint, {"area": ["20 cm2", "20 apples"]}, a="abs", b="abs", on_error="mark"
    ... )
    >>> found["error"][0] is None, "apples" in found["error"][1]
    (True, True)
    """
    # Loaded here: the import of the package must stay light.
    from mountwright.asking import ask

    return ask(estimator, rows, on_error, progress, same)
