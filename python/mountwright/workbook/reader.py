"""A workbook read back: the files that it stands for, and every fault by its cell."""

from __future__ import annotations

import contextlib
import difflib
import re
import tomllib
import warnings
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, NamedTuple

from openpyxl import Workbook, load_workbook
from openpyxl.cell import MergedCell
from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import range_boundaries
from openpyxl.worksheet.worksheet import Worksheet

from mountwright import _core
from mountwright.errors import CellProblem, JobError, UnitError, WorkbookError
from mountwright.plan import Job, Shop, own_materials
from mountwright.workbook import cells
from mountwright.workbook.fields import CURRENCY, OWNER, Field, File, Region, regions
from mountwright.workbook.inputs import (
    CHECK,
    HOURS,
    MARK,
    REMARKS,
    SAMPLE_NAMES,
    get,
    named,
    rows_of,
)
from mountwright.workbook.pages import pages
from mountwright.workbook.safe import Package, look_over
from mountwright.workbook.toml import Text, toml

FARTHEST = 6_000
"""Rows beneath the headings of a table that are read."""


LAST_ROW, LAST_COLUMN = 1_048_576, 16_384
"""Of any sheet."""


class At(NamedTuple):
    """A cell."""

    sheet: str
    cell: str


@dataclass
class Typed:
    """What stands in a workbook."""

    path: Path
    package: Package
    job: dict[str, Any]
    shop: dict[str, Any]
    formulas: Workbook
    """The workbook with its formulas: what is written back."""
    results: Workbook
    """The same with their stored results: what is read."""
    cells: dict[tuple[File, str], At] = field(default_factory=dict)
    """Where each key of the files is typed, also where its cell is empty."""
    usual: list[tuple[str, str]] = field(default_factory=list)
    """What was taken because a cell was empty: table and key in words, value."""
    sample: dict[str, list[str]] = field(default_factory=dict)
    """What still stands as the sample has it: sheet, values in words."""
    sample_keys: set[tuple[File, str]] = field(default_factory=set)
    """The same by the keys of the files."""
    regions: list[tuple[str, tuple[int, int, int, int]]] = field(default_factory=list)
    """Sheet and corners (column, row, column, row) of everything that was read."""
    beneath: list[tuple[str, tuple[int, int, int, int]]] = field(default_factory=list)
    """The same of the empty rows beneath each table: what is typed there later is read too."""
    money_units: list[At] = field(default_factory=list)
    """Cells that name the currency of a column or a line."""
    texts: dict[File, Text] = field(default_factory=dict)

    def files(self) -> tuple[Job, Shop]:
        """Give the job and the shop, under names that tell them apart in messages."""
        job, shop = (self.texts[file].text for file in ("job", "shop"))
        return Job.from_text(job, path=self.name("job")), Shop.from_text(
            shop, path=self.name("shop")
        )

    def name(self, file: File) -> str:
        """Name one of the two files; drawings are looked for in the folder of it."""
        return f"{self.path} ({file})"

    def place(self, file: File, key: str) -> At:
        """Find the cell of a key, or of what holds it."""
        while key:
            if (file, key) in self.cells:
                return self.cells[file, key]
            key = key[: max(key.rfind("."), key.rfind("["), 0)]
        return self.cells.get((file, ""), At("", ""))


def read(
    path: Path, *, materials: Path | None = None, wanted: Collection[File] = ("job", "shop")
) -> Typed:
    """Read the input sheets of a workbook and hold them against the parser.

    Parameters
    ----------
    path : Path
        The workbook.
    materials : Path, optional
        A materials file of your own.
    wanted : collection of str, default ("job", "shop")
        Of which file; the sheets of the other one may be empty.

    Returns
    -------
    Typed
        Two files without faults, and where each key stands.

    Raises
    ------
    OSError
        It cannot be read.
    WorkbookError
        It is no workbook, not one of ours, or has faults: all of them by sheet and cell.
    """
    package = look_over(path)
    reader = _Reader(path, package)
    typed = reader.read(wanted)
    problems = reader.problems
    known = {(p.sheet, p.cell) for p in problems}
    files: tuple[tuple[File, dict[str, Any]], ...] = (("job", typed.job), ("shop", typed.shop))
    for file, data in files:
        if file not in wanted:
            continue
        if SAMPLE_NAMES[file] in typed.formulas.defined_names:
            words, keys = of_sample(file, data)
            typed.sample |= words
            typed.sample_keys |= {(file, key) for key in keys}
        typed.texts[file] = toml(data)
        try:
            _core.check_file(
                file,
                typed.texts[file].text,
                typed.name(file),
                materials=own_materials(materials),
            )
        except JobError as error:
            for problem in located(typed, file, error):
                if (problem.sheet, problem.cell) not in known:
                    problems.append(problem)
    if problems:
        raise faulty(path, problems, [sheet.title for sheet in package.sheets])
    return typed


def located(typed: Typed, file: File, error: JobError) -> Iterator[CellProblem]:
    """Give the faults of a file by the cells they stand in."""
    for problem in error.problems:
        at = typed.place(file, problem.field)
        message = problem.message.removeprefix(f"{problem.field} ")
        message = _KEY.sub(lambda key: _in_cells(typed, file, key[0]), message)
        message = _LIST.sub(lambda key: f"a row of the sheet {_sheet_of(file, key[1])}", message)
        # One of several values in a cell goes by the name of the cell.
        key = problem.field
        if (file, key) not in typed.cells:
            key = _INDEX.sub("", key)
        yield CellProblem(at.sheet, at.cell, key, message)


# How the files, which nobody typed here, name a row and a list.
_KEY = re.compile(r"\b[a-z_]+\[\d+\](\.[a-z_]+\[\d+\])*")
_INDEX = re.compile(r"\[\d+\]$")
_LIST = re.compile(r"\[\[([a-z_.]+)\]\]")


def _in_cells(typed: Typed, file: File, key: str) -> str:
    at = typed.cells.get((file, f"{key}.name")) or typed.cells.get((file, key))
    return f"{at.sheet}!{at.cell}" if at else key


def _sheet_of(file: File, path: str) -> str:
    found = (p.title for p in pages() for r in p.regions if (r.file, r.path) == (file, path))
    return next(found, path)


def faulty(path: Path, problems: list[CellProblem], sheets: list[str]) -> WorkbookError:
    """Make the error that holds every fault, in the order of the sheets."""

    def order(problem: CellProblem) -> tuple[int, int, int]:
        sheet = sheets.index(problem.sheet) if problem.sheet in sheets else -1
        if not problem.cell:
            return sheet, 0, 0
        column, row, *_ = range_boundaries(problem.cell)
        return sheet, row or 0, column or 0

    # What is wrong with a heading is wrong for every row, and is told once.
    lines = {_line(problem): problem for problem in sorted(problems, key=order)}
    problems = list(lines.values())
    count = f"{len(lines)} fault{'s' if len(lines) > 1 else ''}"
    return WorkbookError("\n  ".join([f"{path}: {count}", *lines]), str(path), problems)


def _line(problem: CellProblem) -> str:
    where = f"{problem.sheet}!{problem.cell}" if problem.cell else problem.sheet
    label = problem.field.rpartition("]")[2].strip(".").replace("_", " ").replace(".", ": ")
    head = f"{where} ({label})" if label and where else where or label
    return f"{head}: {problem.message}" if head else problem.message


def open_workbook(path: Path, *, results: bool) -> Workbook:
    """Open a workbook that was looked over: its formulas, or their stored results."""
    try:
        with warnings.catch_warnings():
            # What the library warns that it drops was found before, and decides what is written.
            warnings.simplefilter("ignore")
            # Opened here, so that it is closed also where the library fails halfway.
            with path.open("rb") as file:
                wb = load_workbook(file, data_only=results, rich_text=not results)
    except OSError:
        raise
    except Exception as error:
        why = " ".join(str(error).split())[:200] or type(error).__name__
        raise WorkbookError(f"{path} is a broken workbook: {why}", str(path), ()) from error
    if any(ws.max_row > LAST_ROW or ws.max_column > LAST_COLUMN for ws in wb.worksheets):
        raise WorkbookError(f"{path} is a broken workbook: a cell off its sheet", str(path), ())
    return wb


class _Label(NamedTuple):
    """A heading, or the label of a line."""

    number: int
    """Its column or row."""
    at: At
    text: str
    filled: bool
    """Whether something is typed under it or beside it."""


class _Reader:
    def __init__(self, path: Path, package: Package) -> None:
        self.formulas = open_workbook(path, results=False)
        self.results = open_workbook(path, results=True)
        self.path = path
        self.problems: list[CellProblem] = []
        self.typed = Typed(path, package, {"schema": 1}, {"schema": 1}, self.formulas, self.results)

    def read(self, wanted: Collection[File]) -> Typed:
        if not any(region.name in self.formulas.defined_names for region in regions()):
            raise WorkbookError(
                f"{self.path} is not a workbook of mountwright: "
                "make one with mountwright workbook new",
                str(self.path),
                (),
            )
        for region in regions():
            if region.file not in wanted:
                continue
            found = self._find(region)
            if found is None:
                continue
            ws, bounds = found
            self.typed.cells.setdefault((region.file, region.path), self._at(ws, *bounds[:2]))
            if region.shape == "table":
                self._table(region, ws, bounds)
            elif region.shape == "form":
                self._form(region, ws, bounds)
            else:
                self._grid(region, ws, bounds)
        for region in regions():
            if region.file in wanted and region.shape == "table":
                self._names(region)
        return self.typed

    def _names(self, region: Region) -> None:
        """Have cells that name a row of another list name it as it stands there."""
        data = self._data(region)
        for f in region.fields:
            if f.kind != "name" or f.words or f.key == OWNER:
                continue
            listed = [one.get("name") for one in data.get(f"{f.format}s", [])]
            for _, row in rows_of(region, data):
                given = get(row, f.key)
                if isinstance(given, list):
                    _set(row, f.key, [_named(one, listed) for one in given])
                elif given is not None:
                    _set(row, f.key, _named(given, listed))

    def _find(self, region: Region) -> tuple[Worksheet, tuple[int, int, int, int]] | None:
        """Find a region by its name, wherever it was moved; ``None`` where it was deleted."""
        areas = named(self.formulas, region.name)
        for title, area in areas:
            with contextlib.suppress(ValueError, KeyError, TypeError):
                left, top, right, bottom = range_boundaries(area)
                ws = self.results[title]
                if None not in (left, top, right, bottom) and isinstance(ws, Worksheet):
                    assert left
                    assert top
                    assert right
                    assert bottom
                    return ws, (left, top, min(right, left + 300), min(bottom, top + 300))
        if areas:
            told = f"the name {region.name} stands for {areas[0][0]}!{areas[0][1]}"
            self._say(At("", ""), "", f"{told}, which is not there: undo what was renamed")
        elif region.shape == "form" and any(f.needed for f in region.fields):
            what = region.path or region.file
            self._say(At("", ""), region.path, f'the lines of "{what}" are no longer there')
        return None

    def _at(self, ws: Worksheet, column: int, row: int) -> At:
        return At(ws.title, f"{get_column_letter(column)}{row}")

    def _say(self, at: At, key: str, message: str) -> None:
        self.problems.append(CellProblem(at.sheet, at.cell, key, message))

    def _value(self, field: Field, key: str, at: At, unit: str) -> Any:
        """Read a cell; what is wrong with it is noted, and it counts as empty."""
        cell = self.results[at.sheet][at.cell]
        formula = self.formulas[at.sheet][at.cell]
        value = cell.value
        if formula.data_type == "f" and value is None and cell.data_type != "str":
            message = "holds a formula without a stored result: open the workbook in an office "
            self._say(at, key, message + "program, let it calculate, and save it")
            return None
        if isinstance(cell, MergedCell):
            self._say(at, key, "is merged with other cells: unmerge them, and fill each in")
            return None
        if cell.data_type == "e":
            self._say(at, key, f"holds the error {value}")
            return None
        try:
            return cells.read(field, value, unit=unit, percent="%" in (cell.number_format or ""))
        except cells.CellFault as fault:
            self._say(at, key, str(fault))
            return None

    def _unit(self, field: Field, at: At | None) -> str:
        """Give the unit of a column, which stands in the workbook: the shop may change it."""
        if field.unit == CURRENCY and at is not None:
            self.typed.money_units.append(at)
        if field.kind != "quantity" or at is None:
            return field.unit
        cell = self.results[at.sheet][at.cell]
        if isinstance(cell, MergedCell):
            self._say(at, "", "is merged with other cells: unmerge them, and give each its unit")
        return self._known_unit(field, at, str(cell.value or "").strip() or field.unit)

    def _known_unit(self, field: Field, at: At, unit: str) -> str:
        try:
            # Behind a decimal, so that "1/2 in" is no unit.
            _core.quantity(f"1.5 {unit}", field.dimension)
        except UnitError as fault:
            self._say(at, "", f'gives the unit "{unit}" to {field.label}: {fault.remedy}')
            return field.unit
        return unit

    def _data(self, region: Region) -> dict[str, Any]:
        return self.typed.job if region.file == "job" else self.typed.shop

    def _labelled(
        self, fields: Mapping[str, Field], labels: Iterable[_Label], twice: str
    ) -> tuple[dict[str, int], dict[str, At]]:
        """Find keys by their labels, in whatever order they stand.

        Given back are the column or row of each key, and for keys that are not there the label
        that may have been theirs. A label that is not known must have nothing beside it.
        """
        found: dict[str, int] = {}
        strays: list[_Label] = []
        corner = None
        for label in labels:
            corner = corner or label.at
            if label.text in fields:
                key = fields[label.text].key
                if key in found:
                    self._say(label.at, key, f"stands {twice}: delete one")
                found.setdefault(key, label.number)
            elif label.text not in (CHECK, REMARKS):
                strays.append(label)
        missing = {text: f for text, f in fields.items() if f.key not in found}
        for label in strays:
            if label.filled:
                near = difflib.get_close_matches(label.text, missing)
                near = near or [text for text, f in missing.items() if f.needed]
                meant = f"; missing: {', '.join(near)}" if near else ""
                given = label.text[:60]
                what = f'is "{given}", which is not known' if given else "is empty"
                self._say(
                    label.at,
                    "",
                    f"{what}: what is typed with it would not be read{meant}; "
                    f'call it "{REMARKS}" if it is none of ours, or leave an empty row or column '
                    "between",
                )
        lost: dict[str, At] = {}
        places = {label.text: label.at for label in reversed(strays)}
        for text, f in missing.items():
            if nearest := difflib.get_close_matches(text, places, n=1):
                lost[f.key] = places[nearest[0]]
            if f.needed and corner:
                lost.setdefault(f.key, strays[0].at if strays else corner)
        return found, lost

    def _columns(
        self, region: Region, ws: Worksheet, bounds: tuple[int, int, int, int], first: int
    ) -> tuple[dict[str, int], dict[str, At]]:
        """Find the columns by their headings; values stand from the row ``first`` to the bottom."""
        left, top, right, bottom = bounds
        # A column that adjoins the block belongs to it; an empty one between keeps it free.
        while right < LAST_COLUMN and _plain(ws.cell(top, right + 1).value):
            right += 1
        owner = region.owner.rpartition(".")[2].removesuffix("s").replace("_", " ")
        fields = {owner if f.key == OWNER else f.label: f for f in region.fields}
        labels = []
        for column in range(left, right + 1):
            text = _plain(ws.cell(top, column).value)
            if region.shape == "grid":
                text = text.partition(" [")[0]
            filled = text not in fields and any(
                self._filled(ws, row, column) for row in range(first, bottom + 1)
            )
            labels.append(_Label(column, self._at(ws, column, top), text, filled))
        # A column that was deleted leaves an empty one at the far end: no place to look for it.
        while labels and not labels[-1].text and not labels[-1].filled:
            labels.pop()
        return self._labelled(fields, labels, "in two columns")

    def _lines(
        self, ws: Worksheet, fields: Iterable[Field], rows: range, left: int, right: int
    ) -> tuple[dict[str, int], dict[str, At]]:
        """Find the lines by their labels, which stand in the column ``left``."""
        labels = []
        for row in rows:
            filled = any(self._filled(ws, row, column) for column in range(left + 1, right + 1))
            text = _plain(ws.cell(row, left).value)
            labels.append(_Label(row, self._at(ws, left, row), text, filled))
        labels += self._below(ws, rows.stop, left, right)
        return self._labelled({f.label: f for f in fields}, labels, "on two lines")

    def _below(self, ws: Worksheet, row: int, left: int, right: int) -> Iterator[_Label]:
        """Give the filled lines that adjoin a block; an empty line between keeps them free."""
        starts = {(title, rows.start) for title, rows in self._blocks()}
        while (text := _plain(ws.cell(row, left).value)) and (ws.title, row) not in starts:
            filled = any(self._filled(ws, row, column) for column in range(left + 1, right + 1))
            if filled and text not in HOURS:
                yield _Label(row, self._at(ws, left, row), text, filled)
            row += 1

    def _blocks(self) -> Iterator[tuple[str, range]]:
        """Give the sheet and the rows of every block that has a name."""
        for region in regions():
            for title, area in named(self.formulas, region.name):
                with contextlib.suppress(ValueError, TypeError):
                    _, top, _, bottom = range_boundaries(area)
                    if top is not None and bottom is not None:
                        yield title, range(top, bottom + 1)

    def _filled(self, ws: Worksheet, row: int, column: int) -> bool:
        # Asked of the cells that are there: `ws.cell` would make the others.
        cell = ws._cells.get((row, column))
        formula = self.formulas[ws.title]._cells.get((row, column))
        typed = cell is not None and str("" if cell.value is None else cell.value).strip() != ""
        return typed or (formula is not None and formula.data_type == "f")

    def _table(self, region: Region, ws: Worksheet, bounds: tuple[int, int, int, int]) -> None:
        left, top, right, _ = bounds
        last = self._last_row(ws, top, right)
        columns, lost = self._columns(region, ws, (left, top, right, last), top + 2)
        fields = [f for f in region.fields if f.key in columns]
        units = {f.key: self._unit(f, self._at(ws, columns[f.key], top + 1)) for f in fields}
        if columns:
            left, right = min(columns.values()), max(columns.values())
            end = max(last + 6, top + 30)
            self.typed.regions.append((ws.title, (left, top + 1, right, end)))
            self.typed.beneath.append((ws.title, (left, end + 1, right, end + FARTHEST)))
        rows: list[dict[str, Any]] = []
        owners = self._owners(region)
        corner = self._at(ws, bounds[0], top)
        for row in range(top + 3, last + 1):
            if all(ws.cell(row, c).value is None for c in columns.values()) and not any(
                self.formulas[ws.title].cell(row, c).data_type == "f" for c in columns.values()
            ):
                continue
            if lost:
                self._deleted(region, corner, lost)
            self._row(region, ws, row, top, columns, lost, fields, units, rows, owners)
        if region.owner or not rows:
            return
        data = self._data(region)
        *outer, last_key = region.path.split(".")
        for key in outer:
            data = data.setdefault(key, {})
        data[last_key] = rows

    def _deleted(self, region: Region, corner: At, lost: dict[str, At]) -> None:
        """Tell which needed columns are not there, where nothing in the headings may be one."""
        gone = [f.label for f in region.fields if f.needed and lost.get(f.key) == corner]
        if gone and corner not in {(p.sheet, p.cell) for p in self.problems}:
            columns = f"the column{'s' if len(gone) > 1 else ''} {', '.join(gone)}"
            are = "are" if len(gone) > 1 else "is"
            told = f"{columns} {are} not there any more: undo what was deleted"
            self._say(corner, "", told)

    def _last_row(self, ws: Worksheet, top: int, right: int) -> int:
        last = ws.max_row
        if last > top + FARTHEST:
            beyond = ws.iter_rows(
                min_row=top + FARTHEST + 1,
                max_row=min(last, top + FARTHEST + 2_000),
                min_col=1,
                max_col=right,
                values_only=True,
            )
            if any(value is not None for row in beyond for value in row):
                at = self._at(ws, 1, top + FARTHEST + 1)
                self._say(at, "", f"rows from here on are not read: at most {FARTHEST} are")
            last = top + FARTHEST
        return last

    def _owners(self, region: Region) -> list[dict[str, Any]]:
        owners: list[dict[str, Any]] = self._data(region).get(region.owner, [])
        return owners if region.owner else []

    def _row(
        self,
        region: Region,
        ws: Worksheet,
        row: int,
        top: int,
        columns: dict[str, int],
        lost: dict[str, At],
        fields: list[Field],
        units: dict[str, str],
        rows: list[dict[str, Any]],
        owners: list[dict[str, Any]],
    ) -> None:
        made: dict[str, Any] = {}
        places = dict(lost)
        usual: list[tuple[str, str]] = []
        owner: Any = None
        before = len(self.problems)
        for f in fields:
            at = self._at(ws, columns[f.key], row)
            value = self._value(f, f"{region.path}.{f.key}", at, units[f.key])
            faulted = any((p.sheet, p.cell) == at for p in self.problems[before:])
            if value is None and not faulted:
                instead = self._at(ws, columns[f.key], top + 2)
                value = self._value(f, f"{region.path}.{f.key}", instead, units[f.key])
                if value is not None:
                    at = instead
                    usual.append((f"{region.path.replace('.', ' ')}: {f.label}", str(value)))
            places[f.key] = at
            if f.key == OWNER:
                owner = value
            elif value is not None:
                _set(made, f.key, value)
        target, path = rows, region.path
        if region.owner:
            names = [one.get("name") for one in owners]
            owner = _named(owner, names)
            matches = [n for n, name in enumerate(names) if name == owner]
            word = region.owner.replace("_", " ")
            at = places.get(OWNER, self._at(ws, 1, row))
            if not matches:
                if None in names:
                    # Its own cell is told; what belongs to it can only be found with it.
                    return
                known = ", ".join(dict.fromkeys(map(str, names))) or "none"
                given = f'"{owner}"' if owner is not None else "empty"
                self._say(at, "", f"is {given}, which names none of {word}; there are: {known}")
                return
            last = region.path.rpartition(".")[2]
            target = owners[matches[0]].setdefault(last, [])
            path = f"{region.owner}[{matches[0]}].{last}"
        target.append(made)
        prefix = f"{path}[{len(target) - 1}]"
        if len(target) == region.most + 1:
            # Where the parser says that there are too many.
            self.typed.cells[region.file, path] = self._at(ws, min(columns.values()), row)
        self.typed.usual += usual
        self.typed.cells[region.file, prefix] = self._at(ws, min(columns.values()), row)
        for f in region.fields:
            if f.key in places:
                self.typed.cells[region.file, f"{prefix}.{f.key}"] = places[f.key]

    def _form(self, region: Region, ws: Worksheet, bounds: tuple[int, int, int, int]) -> None:
        left, top, _, bottom = bounds
        self.typed.regions.append((ws.title, (left + 1, top, left + 2, bottom)))
        prefix = f"{region.path}." if region.path else ""
        lines, lost = self._lines(ws, region.fields, range(top, bottom + 1), left, left + 1)
        for key, at in lost.items():
            self.typed.cells[region.file, prefix + key] = at
        for f in region.fields:
            if f.key not in lines:
                continue
            row = lines[f.key]
            at = self._at(ws, left + 1, row)
            self.typed.cells[region.file, prefix + f.key] = at
            unit = self._unit(f, self._at(ws, left + 2, row))
            value = self._value(f, prefix + f.key, at, unit)
            if value is not None:
                _set(self._data(region), prefix + f.key, value)
        self._lists(region, prefix)

    def _lists(self, region: Region, prefix: str) -> None:
        """Give what the parser demands though the form is empty: the table itself."""
        if region.path and any(f.needed for f in region.fields):
            data = self._data(region)
            for key in prefix.strip(".").split("."):
                data = data.setdefault(key, {})

    def _grid(self, region: Region, ws: Worksheet, bounds: tuple[int, int, int, int]) -> None:
        left, top, right, bottom = bounds
        self.typed.regions.append((ws.title, (left + 1, top, right, bottom)))
        columns, _ = self._columns(region, ws, (left + 1, top, right, bottom), top + 1)
        lines, _ = self._lines(ws, region.rows, range(top + 1, bottom + 1), left, right)
        fields = [f for f in region.fields if f.key in columns]
        units = {f.key: self._head_unit(f, self._at(ws, columns[f.key], top)) for f in fields}
        for line, row in lines.items():
            key = f"{region.path}.{line}"
            self.typed.cells[region.file, key] = self._at(ws, left, row)
            for f in fields:
                at = self._at(ws, columns[f.key], row)
                self.typed.cells[region.file, f"{key}.{f.key}"] = at
                value = self._value(f, f"{key}.{f.key}", at, units[f.key])
                if value is not None:
                    _set(self._data(region), f"{key}.{f.key}", value)

    def _head_unit(self, field: Field, at: At) -> str:
        """Give the unit that stands in the heading of a column."""
        head = str(self.results[at.sheet][at.cell].value)
        return self._known_unit(field, at, head.partition("[")[2].rstrip("] ") or field.unit)


def _named(given: Any, listed: Sequence[Any]) -> Any:
    """Find a name whatever its case and its blanks, unless it could be that of two rows.

    Examples
    --------
    >>> _named("Left  Kick panel", ["left kick panel", "a", "A"]), _named("a", ["a", "A"])
    ('left kick panel', 'a')
    """
    if given in listed or not isinstance(given, str):
        return given
    alike = {name for name in listed if isinstance(name, str) and _plain(name) == _plain(given)}
    return alike.pop() if len(alike) == 1 else given


def of_sample(file: File, data: Mapping[str, Any]) -> tuple[dict[str, list[str]], set[str]]:
    """Name what a file says as the sample does: in words by its sheets, and by its keys."""
    found: dict[str, list[str]] = {}
    keys: set[str] = set()
    ours = sample(file)
    for page in pages():
        alike = [
            one
            for region in page.regions
            if region.file == file
            for one in _alike(region, data, ours)
        ]
        if alike:
            found[page.title] = [words for words, _ in alike]
            keys.update(*(of for _, of in alike))
    return found, keys


def _alike(
    region: Region, data: Mapping[str, Any], ours: Mapping[str, Any]
) -> Iterator[tuple[str, list[str]]]:
    if region.shape == "table":
        theirs = {_called(*one): one[1] for one in rows_of(region, ours)}
        prices = [f.key for f in region.fields if f.kind == "money"]
        for path, (owner, row) in zip(_paths(region, data), rows_of(region, data), strict=True):
            like = theirs.get(_called(owner, row))
            # A row is its own once its prices are; one without prices once anything in it is.
            if like and all(get(row, key) == get(like, key) for key in prices or (*row, *like)):
                same = [f.key for f in region.fields if get(row, f.key) == get(like, f.key)]
                yield _called(owner, row), [f"{path}.{key}" for key in same]
        return
    keys = [
        (f"{line.label}: {f.label}", f"{line.key}.{f.key}")
        for line in region.rows
        for f in region.fields
    ] or [(f.label, f.key) for f in region.fields if f.kind != "yes or no"]
    head = f"{region.path}." if region.path else ""
    for label, key in keys:
        value = get(data, head + key)
        if value is not None and value == get(ours, head + key):
            yield f"{label} {_shown(value)}", [head + key]


def _paths(region: Region, data: Mapping[str, Any]) -> Iterator[str]:
    """Give the paths of the rows of a table, in the order of :func:`rows_of`."""
    if not region.owner:
        yield from (f"{region.path}[{n}]" for n, _ in enumerate(rows_of(region, data)))
        return
    last = region.path.rpartition(".")[2]
    for n, owner in enumerate(data.get(region.owner, [])):
        yield from (f"{region.owner}[{n}].{last}[{m}]" for m, _ in enumerate(owner.get(last, [])))


def _called(owner: str, row: Mapping[str, Any]) -> str:
    """Call a row by its name, by that of the row it belongs to, or by what it says first."""
    return str(row.get("name") or owner or next(iter(row.values()), ""))


def _shown(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else cells.plain(value)


@cache
def sample(file: File) -> dict[str, Any]:
    """Give the invented sample of a file."""
    at = files("mountwright.workbook").joinpath(f"sample_{file}.toml")
    return tomllib.loads(at.read_text(encoding="utf-8"))


def _plain(label: Any) -> str:
    """Take a label as it is meant, whatever its blanks and case.

    Examples
    --------
    >>> _plain("Steel:  hole edge *")
    'steel: hole edge'
    """
    return " ".join(str(label or "").casefold().split()).removesuffix(MARK.strip()).strip()


def _set(data: dict[str, Any], key: str, value: Any) -> None:
    *outer, last = key.split(".")
    for step in outer:
        data = data.setdefault(step, {})
    data[last] = value
