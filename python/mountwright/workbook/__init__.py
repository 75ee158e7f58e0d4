"""Workbooks: a job and a shop typed into a spreadsheet, and the plan beside them.

:func:`new` writes a workbook to fill in; :func:`plan` reads it back after a person has edited it in
any office program, and adds sheets with the answer; :func:`write` writes those sheets alone;
:func:`text_of` takes the job or the shop out. All need the extra ``workbook``.
"""

from __future__ import annotations

from collections.abc import Collection
from pathlib import Path
from typing import Any, Literal, NamedTuple

from mountwright.plan import Job, Plan, Shop, StrPath

__all__ = ["Planned", "new", "plan", "text_of", "write"]


class Planned(NamedTuple):
    """A workbook that was planned."""

    plan: Plan
    """The plan; its sources name the cells of the workbook."""
    path: Path
    """The workbook that holds the result sheets: the same, or a second one beside it."""


def new(
    path: StrPath,
    *,
    job: Job | None = None,
    shop: Shop | None = None,
    kinds: Collection[str] = (),
) -> Path:
    """Write a workbook to fill in: job, parts, stock, rates.

    Each sheet has its units and notes in the headings, lists to choose from, and a row of values
    that are taken where a cell is empty.

    Parameters
    ----------
    path : path-like
        An ``.xlsx`` file that is not there yet.
    job : Job, optional
        What to fill in; an invented sample of one panel, marked as such, if left out, or nothing
        where other kinds of part are asked for.
    shop : Shop, optional
        The same for the shop.
    kinds : collection of str, optional
        Kinds of part whose sheets are shown though the job has none: ``panels``, ``rings``,
        ``straps``, ``pods``, ``folded``, ``grilles``. The others are hidden.

    Returns
    -------
    Path
        The workbook.

    Raises
    ------
    OSError
        There is a file already, or it cannot be written.
    UnknownNameError
        There is no such kind of part.
    ImportError
        The extra is not installed.

    Examples
    --------
    >>> import tempfile
    >>> folder = tempfile.TemporaryDirectory()
    >>> at = new(f"{folder.name}/shop.xlsx")
    >>> planned = plan(at, draws=0)
    >>> planned.plan.parts[0].name, planned.path == at
    ('kick panel', True)
    >>> folder.cleanup()
    """
    from mountwright.workbook.pages import KINDS

    for kind in kinds:
        if kind not in KINDS:
            _unknown(kind, KINDS)
    at = Path(path)
    _writer().new(at, job, shop, kinds)
    return at


def plan(
    path: StrPath,
    *,
    out: StrPath | None = None,
    materials: StrPath | None = None,
    draws: int = 256,
    seed: int = 1,
) -> Planned:
    """Plan what stands in a workbook, and add sheets with the answer to it.

    The sheets of an earlier plan are replaced; every other sheet stays as it is: values, formulas
    with their stored results, notes. Where the workbook holds what could not be kept (pictures,
    controls, charts, macros) it is left alone and a second one is written beside it.

    Parameters
    ----------
    path : path-like
        A workbook of :func:`new`, edited and saved.
    out : path-like, optional
        Another workbook for the result sheets.
    materials : path-like, optional
        A materials file of your own, laid over the standard catalogue.
    draws : int, default 256
        Draws behind the ranges; 0 for none.
    seed : int, default 1
        The same seed gives the same plan.

    Returns
    -------
    Planned
        The plan, and the workbook that holds it.

    Raises
    ------
    OSError
        It cannot be read or written; it is as it was.
    WorkbookError
        It is no workbook of ours, holds faults (all are listed by sheet and cell), is open in an
        office program, or was changed meanwhile; it is as it was.
    ImportError
        The extra is not installed.

    Examples
    --------
    See :func:`new`.
    """
    writer = _writer()
    from mountwright.workbook.reader import read
    from mountwright.workbook.save import stamp

    at = Path(path)
    own = Path(materials) if materials is not None else None
    seen = stamp(at)
    typed = read(at, materials=own)
    made = writer.plan_typed(typed, materials=own, draws=draws, seed=seed)
    remembered = writer.remembered(typed)
    if out is not None and (other := Path(out)).resolve() != at.resolve():
        before = stamp(other) if other.exists() else None
        return Planned(made, writer.put(made, other, None, before, remembered))
    return Planned(made, writer.put(made, at, typed, seen, remembered))


def write(path: StrPath, plan: Plan) -> Path:
    """Write the result sheets of a plan into a workbook.

    Parameters
    ----------
    path : path-like
        Made where it is missing. In one that is there, the sheets of an earlier plan are replaced
        and every other stays; where it holds what could not be kept (pictures, controls, charts,
        macros), a second one is written beside it.
    plan : Plan
        What is written.

    Returns
    -------
    Path
        The workbook that was written.

    Raises
    ------
    OSError
        It cannot be read or written; it is as it was.
    WorkbookError
        What is there is no workbook, or is open in an office program.
    ImportError
        The extra is not installed.

    Examples
    --------
    >>> import tempfile
    >>> shop = mw.Shop.read("demo-data/shop.toml")
    >>> rings = mw.plan(mw.Job.read("demo-data/door-rings.toml"), shop=shop, draws=0)
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write(f"{folder}/job.xlsx", rings).name
    'job.xlsx'
    """
    writer = _writer()
    from mountwright.workbook.save import stamp

    at = Path(path)
    written: Path = writer.put(plan, at, None, stamp(at) if at.exists() else None)
    return written


def text_of(path: StrPath, file: Literal["job", "shop"]) -> tuple[str, str]:
    """Give the job or the shop that stands in a workbook: its text, and a name for messages.

    Parameters
    ----------
    path : path-like
        A workbook of :func:`new`, edited and saved; the sheets of the other file may be empty.
    file : {"job", "shop"}
        Which.

    Returns
    -------
    tuple of str
        TOML, and what to call it.

    Raises
    ------
    OSError
        It cannot be read.
    WorkbookError
        It is no workbook of ours, or holds faults: all of them by sheet and cell.
    ImportError
        The extra is not installed.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     text, name = text_of(new(f"{folder}/shop.xlsx"), "shop")
    >>> name.endswith("shop.xlsx (shop)")
    True
    """
    _writer()
    from mountwright.workbook.reader import read

    typed = read(Path(path), wanted=(file,))
    return typed.texts[file].text, typed.name(file)


def _writer() -> Any:
    """Load what needs the extra, only when it is used."""
    try:
        from mountwright.workbook import writer
    except ImportError as error:
        raise ImportError(
            f"a workbook needs {error.name}: pip install 'mountwright[workbook]'"
        ) from error
    return writer


def _unknown(kind: str, known: Collection[str]) -> None:
    from mountwright.errors import UnknownNameError

    raise UnknownNameError(
        f'no kind of part is called "{kind}"; known are: {", ".join(known)}', "kind", kind, known
    )
