"""What can go wrong.

Every error says what was wrong, the value given, what is allowed and what to do; the same facts are
its attributes. A file that cannot be read or written is the built-in :class:`OSError`, an interrupt
the built-in :class:`KeyboardInterrupt`.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple, Self

__all__ = [
    "CellProblem",
    "ImpossibleError",
    "JobError",
    "KindError",
    "MemoryFileError",
    "MountwrightError",
    "OutOfRangeError",
    "Problem",
    "ShapeError",
    "UnitError",
    "UnknownNameError",
    "WorkbookError",
]


class MountwrightError(Exception):
    """Every error of this library.

    Parameters
    ----------
    message : str
        The whole text; ``str()`` of the error gives it back.
    *facts
        The same facts one by one, which the children name.
    """

    def __init__(self, message: str, *facts: object) -> None:
        # All of it goes to Exception, so that an error pickles.
        super().__init__(message, *facts)
        self.message = message

    def __str__(self) -> str:
        return self.message


class OutOfRangeError(MountwrightError, ValueError):
    """A number outside what is possible; NaN is outside every range.

    Attributes
    ----------
    what : str
        The quantity, with its place where it has one.
    given : float
        The value given, in SI.
    allowed : tuple of (float, float)
        Least and greatest value allowed, in SI; infinite where there is no bound.
    unit : str
        SI unit; empty for a pure number.
    remedy : str
        What to do.
    """

    def __init__(
        self,
        message: str,
        what: str,
        given: float,
        allowed: tuple[float, float],
        unit: str,
        remedy: str,
    ) -> None:
        super().__init__(message, what, given, allowed, unit, remedy)
        self.what = what
        self.given = given
        self.allowed = allowed
        self.unit = unit
        self.remedy = remedy


class UnitError(MountwrightError, ValueError):
    """Text that is not a quantity of the dimension asked for.

    Attributes
    ----------
    what : str
        The quantity.
    given : str
        The text given.
    expected : str
        The dimension expected, with an example.
    remedy : str
        What to do.
    """

    def __init__(self, message: str, what: str, given: str, expected: str, remedy: str) -> None:
        super().__init__(message, what, given, expected, remedy)
        self.what = what
        self.given = given
        self.expected = expected
        self.remedy = remedy


class KindError(MountwrightError, TypeError):
    """A value of the wrong kind: ``None`` where a text belongs, a table where a row belongs.

    Attributes
    ----------
    what : str
        The argument.
    given : str
        The value given, cut short where it is long.
    allowed : str
        What is taken.
    """

    def __init__(self, message: str, what: str, given: str, allowed: str) -> None:
        super().__init__(message, what, given, allowed)
        self.what = what
        self.given = given
        self.allowed = allowed

    @classmethod
    def of(cls, what: str, given: object, allowed: str) -> Self:
        """Put the message together."""
        shown = ascii(given) if isinstance(given, str) else repr(given)
        shown = " ".join(shown.split())
        shown = shown if len(shown) <= 60 else f"{shown[:57]}..."
        if given is not None and not isinstance(given, str):
            shown = f"{shown} ({type(given).__name__})"
        return cls(f"{what} is {shown}, allowed is {allowed}", what, shown, allowed)

    def named(self, what: str) -> Self:
        """Give the same error with the name of the argument."""
        message = f"{what} is {self.given}, allowed is {self.allowed}"
        return type(self)(message, what, self.given, self.allowed)

    def add_note(self, note: str) -> None:
        """Take the name of a constructor's argument, which the compiled core tells in a note."""
        name = note.removeprefix("while processing '").removesuffix("'")
        if self.what or name == note:
            super().add_note(note)
        else:
            self.__init__(*self.named(name).args)  # type: ignore[misc]


class UnknownNameError(MountwrightError, LookupError):
    """A name that is not in a catalogue.

    Attributes
    ----------
    kind : str
        What was looked for: ``"material"``, ``"adhesive"``, ``"dimension"``.
    given : str
        The name given.
    near : tuple of str
        The nearest names known, best first.
    """

    def __init__(self, message: str, kind: str, given: str, near: Iterable[str]) -> None:
        self.near = tuple(near)
        super().__init__(message, kind, given, self.near)
        self.kind = kind
        self.given = given


class ShapeError(MountwrightError, ValueError):
    """A shape, size or structure that cannot be.

    Array lengths that differ, outlines that cross themselves, a hole outside its part.

    Attributes
    ----------
    what : str
        The feature.
    given : str
        What was given.
    allowed : str
        What would be allowed.
    """

    def __init__(self, message: str, what: str, given: str, allowed: str) -> None:
        super().__init__(message, what, given, allowed)
        self.what = what
        self.given = given
        self.allowed = allowed


class Problem(NamedTuple):
    """One fault of a file."""

    line: int | None
    """Line counted from 1; ``None`` where the fault has none, such as a missing key."""
    field: str
    """The key, as a path: ``straps[1].thickness``."""
    message: str
    """What is wrong, what is allowed and what to do."""


class JobError(MountwrightError, ValueError):
    """All the faults of one file, together.

    Attributes
    ----------
    path : str
        The file.
    problems : tuple of Problem
        Every fault found, in the order of the file.
    """

    def __init__(
        self, message: str, path: str, problems: Iterable[tuple[int | None, str, str]]
    ) -> None:
        self.problems = tuple(Problem(*problem) for problem in problems)
        super().__init__(message, path, self.problems)
        self.path = path


class CellProblem(NamedTuple):
    """One fault of a workbook."""

    sheet: str
    """The sheet; empty where the fault is of the whole workbook."""
    cell: str
    """The address on it: ``"E7"``."""
    field: str
    """The key of the file for which the cell stands: ``panels[0].width``."""
    message: str
    """What is wrong, what is allowed and what to do."""


class WorkbookError(MountwrightError, ValueError):
    """A workbook that cannot be read, or all the faults of its cells, together.

    Attributes
    ----------
    path : str
        The file.
    problems : tuple of CellProblem
        Every faulty cell, in the order of the sheets; empty where the file itself is at fault.
    """

    def __init__(
        self, message: str, path: str, problems: Iterable[tuple[str, str, str, str]]
    ) -> None:
        self.problems = tuple(CellProblem(*problem) for problem in problems)
        super().__init__(message, path, self.problems)
        self.path = path


class ImpossibleError(MountwrightError, RuntimeError):
    """A question that is well put and has no answer.

    Attributes
    ----------
    what : str
        What was asked for.
    why : str
        Why there is none.
    remedy : str
        What would help.
    """

    def __init__(self, message: str, what: str, why: str, remedy: str) -> None:
        super().__init__(message, what, why, remedy)
        self.what = what
        self.why = why
        self.remedy = remedy


class MemoryFileError(MountwrightError, RuntimeError):
    """The shop's memory cannot do what was asked; its file is as it was.

    Attributes
    ----------
    fault : str
        ``"newer"``, ``"not-a-memory"``, ``"damaged"``, ``"read-only"``, ``"full"``, ``"busy"``,
        ``"accepted-twice"``, ``"already-used"`` or ``"unknown-material"``.
    path : str
        The file.
    what : str
        What is wrong.
    remedy : str
        What to do.
    """

    def __init__(self, message: str, fault: str, path: str, what: str, remedy: str) -> None:
        super().__init__(message, fault, path, what, remedy)
        self.fault = fault
        self.path = path
        self.what = what
        self.remedy = remedy
