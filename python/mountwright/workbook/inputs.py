"""The input sheets: forms and tables with lists to choose from, units, notes and checks."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from copy import copy
from datetime import datetime
from typing import Any

from openpyxl import Workbook
from openpyxl.comments import Comment
from openpyxl.formatting.rule import Rule
from openpyxl.formula.tokenizer import TokenizerError
from openpyxl.styles import Font
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.utils import get_column_letter
from openpyxl.utils.datetime import CALENDAR_WINDOWS_1900
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.datavalidation import DataValidation
from openpyxl.worksheet.properties import Outline
from openpyxl.worksheet.worksheet import Worksheet

from mountwright.workbook import cells
from mountwright.workbook.fields import CURRENCY, OWNER, Field, File, Region
from mountwright.workbook.pages import USUAL, Page, pages
from mountwright.workbook.style import (
    ANSWER,
    COOL,
    MISSING,
    OPEN,
    SOFT,
    WARM,
    WASH,
    fill,
    font,
    paper,
    protect,
    put,
    title,
    widths,
)
from mountwright.workbook.style import USUAL as USUAL_COLOUR

HEAD, UNIT, USUAL_ROW, FIRST = 4, 5, 6, 7
"""Rows of a table: headings, units, what is taken where a cell is empty, first of its own."""
LAST = 300
"""Row to which lists and names reach, though fewer rows are ruled."""
PAPER = 220
"""Characters that are easily read across a page."""
SPARE = 12
"""Empty rows that are ruled beneath those filled."""
CHECK = "check"
REMARKS = "own remarks"
SAMPLE = "invented sample"
FOR_WHOM = (
    "To print: Quote for the customer; Cut list, Recipes and Day for the bench; Costs, Checks and "
    "Sources for the office. Sheets without a blue tab are typed on: print none of them."
)
"""Of the sheets that a plan adds."""
ANSWER_NAME = "mountwright_answer"
SAMPLE_NAMES: dict[File, str] = {"job": "mountwright_sample", "shop": "mountwright_sample_shop"}
"""There where a file was filled in with the sample."""
HOURS = ("an hour costs", "an hour sells at")
"""Lines of our own below the rates, which follow from them."""
MARK = " *"
"""Behind the heading of a key that is needed."""

_UNITS = {"mm": "mm,cm,m,in", "m": "m,mm,in,ft", "°C": "°C,°F", "g": "g,kg,oz,lb", "kg": "kg,g,lb"}
_FORMS = {"money": "#,##0.00", "day": "yyyy-mm-dd hh:mm"}

Data = Mapping[str, Any]


def fill_in(
    wb: Workbook, job: Data, shop: Data, *, kinds: Collection[str], sample: Collection[File] = ()
) -> None:
    """Write every input sheet into an empty workbook.

    Parameters
    ----------
    wb : Workbook
        Without sheets.
    job, shop : mapping
        What the files say.
    kinds : collection of str
        Kinds of part whose sheets are shown though the job has none.
    sample : collection of str, default ()
        Which of the two are invented samples: their values are marked as such.
    """
    lists = _Lists(wb)
    for file in sample:
        name = SAMPLE_NAMES[file]
        wb.defined_names[name] = DefinedName(name, attr_text='"invented"')
    for page in pages():
        ws = wb.create_sheet(page.title)
        shown = False
        for region in page.regions:
            data = job if region.file == "job" else shop
            if region.shape == "table":
                rows = list(rows_of(region, data))
                shown = bool(rows)
                mark = SAMPLE if region.file in sample else ""
                _table(ws, page, region, rows, lists, shop.get("currency", ""), mark)
        if page.regions[0].shape != "table":
            _forms(ws, page, job, shop, lists, sample)
            shown = True
        if page.part and not shown and page.part not in kinds:
            ws.sheet_state = "hidden"
            # Some office programs print hidden sheets that have an area to print.
            ws.print_area = None
        protect(ws)
    lists.write()
    _count_rows(wb)


class _Lists:
    """Lists to choose from, on a hidden sheet, each under a name."""

    def __init__(self, wb: Workbook) -> None:
        self.wb = wb
        self.named: dict[str, tuple[str, ...]] = {}

    def of(self, region: Region, field: Field) -> DataValidation:
        choice = DataValidation(
            promptTitle=field.label[:32] if field.key != OWNER else "belongs to",
            prompt=field.about[:250],
            showInputMessage=True,
            allow_blank=True,
        )
        source = self._source(region, field)
        if source and not field.many:
            choice.type, choice.formula1 = "list", source
            choice.showErrorMessage = True
            choice.errorStyle = "stop" if field.kind in {"word", "yes or no"} else "warning"
            choice.errorTitle = choice.promptTitle
            choice.error = "Choose one of the list."
        return choice

    def _source(self, region: Region, field: Field) -> str:
        if field.key == OWNER:
            return f"mountwright_list_{region.file}_{region.owner.replace('.', '_')}"
        if field.kind == "yes or no":
            return '"yes,no"'
        if field.kind == "name" and not field.words:
            return f"mountwright_list_{region.file}_{field.format}s"
        if not field.words:
            return ""
        inline = ",".join(field.words)
        if field.kind == "word" and len(inline) < 250:
            return f'"{inline}"'
        name = f"mountwright_list_{field.format or field.key}"
        self.named[name] = field.words
        return name

    def write(self) -> None:
        ws = self.wb.create_sheet("Lists")
        ws.sheet_state = "hidden"
        for column, (name, words) in enumerate(self.named.items(), start=1):
            letter = get_column_letter(column)
            put(ws.cell(1, column), name.removeprefix("mountwright_list_"), bold=True)
            for row, word in enumerate(words, start=2):
                put(ws.cell(row, column), word)
            _name(self.wb, name, ws, f"${letter}$2:${letter}${len(words) + 1}")


def _name(wb: Workbook, name: str, ws: Worksheet, where: str) -> None:
    wb.defined_names[name] = DefinedName(name, attr_text=f"'{ws.title}'!{where}")


def named(wb: Workbook, name: str) -> list[tuple[str, str]]:
    """Give the sheets and areas that a name stands for; none where it is broken or not there."""
    found = wb.defined_names.get(name)
    try:
        areas = list(found.destinations) if found is not None else []
    except (AttributeError, TokenizerError):
        return []
    # The library leaves the apostrophes of a title doubled.
    return [((title or "").replace("''", "'"), area) for title, area in areas]


def _book(ws: Worksheet) -> Workbook:
    assert isinstance(ws.parent, Workbook)
    return ws.parent


def rows_of(region: Region, data: Data) -> Iterable[tuple[str, dict[str, Any]]]:
    """Give the rows of a table, each with the name of the row it belongs to."""
    if region.owner:
        last = region.path.rpartition(".")[2]
        for owner in data.get(region.owner, []):
            yield from ((str(owner.get("name", "")), row) for row in owner.get(last, []))
        return
    *outer, last = region.path.split(".")
    for key in outer:
        data = data.get(key, {})
    yield from (("", row) for row in data.get(last, []))


def get(row: Data, key: str, owner: str = "") -> Any:
    """Give what stands at the path of a key; ``None`` where nothing does."""
    if key == OWNER:
        return owner
    value: Any = row
    for step in key.split("."):
        value = value.get(step) if isinstance(value, Mapping) else None
    return value


def _form(field: Field) -> str:
    if field.kind == "day" and field.format == "date":
        return "yyyy-mm-dd"
    if field.format == "share":
        return "0.##%" if field.unit == "%" else "General"
    if field.kind in {"text", "name", "word"}:
        return "@"
    return _FORMS.get(field.kind, "General")


def _width(field: Field) -> float:
    if field.key == OWNER or field.key == "name":
        return 22
    longest = max(map(len, field.words), default=0)
    by_kind = {"text": 18, "name": 16, "day": 17, "quantity": 11, "money": 11, "whole": 9}
    return max(by_kind.get(field.kind, 11), min(longest + 3, 18))


def _label(region: Region, field: Field) -> str:
    label = field.label
    if field.key == OWNER:
        label = region.owner.rpartition(".")[2].removesuffix("s").replace("_", " ")
    return label + (MARK if field.needed else "")


def _table(
    ws: Worksheet,
    page: Page,
    region: Region,
    rows: Sequence[tuple[str, Data]],
    lists: _Lists,
    currency: str,
    remark: str,
) -> None:
    usual = {
        key: value
        for key, value in USUAL.get(region.path, {}).items()
        if region.file == "job"
        # A row that leaves a key out means what the parser takes then.
        and (all(get(row, key, owner) is not None for owner, row in rows) or _needed(region, key))
    }
    used = {f.key for f in region.fields for o, row in rows if get(row, f.key, o) is not None}
    shown = [f for f in region.fields if f.needed or f.key in used or f.key in usual]
    if len(region.fields) - len(shown) < 4:
        shown = list(region.fields)
    folded = [f for f in region.fields if f not in shown]
    columns: list[Field | None] = [*shown, None, *folded]
    last_shown, last = get_column_letter(len(shown) + 1), get_column_letter(len(columns) + 1)
    end = FIRST + max(len(rows) + SPARE, 24) - 1
    title(ws, page.title, page.hint, len(shown) + 2)
    for row, text in (
        (HEAD, CHECK),
        (UNIT, "unit"),
        (USUAL_ROW, "where empty"),
    ):
        put(ws.cell(row, 1), text, size=8, color=SOFT, wrap=True)
    ws.column_dimensions["A"].width = 11
    for number, field in enumerate(columns, start=2):
        letter = get_column_letter(number)
        head = ws.cell(HEAD, number)
        ws.column_dimensions[letter].protection = OPEN
        if field is None:
            put(head, REMARKS, bold=True, wrap=True, box=True, background=WASH)
            # Not empty: a unit of a column that is folded away would be drawn over it.
            put(ws.cell(UNIT, number), "–", size=9, color=SOFT, box=True, background=WASH)
            put(ws.cell(USUAL_ROW, number), "not read", size=8, color=SOFT, box=True)
            ws.column_dimensions[letter].width = 22
        else:
            _column(ws, region, field, number, usual.get(field.key), lists, currency, end)
        _body(ws, field, number, rows, end, remark)
    if folded:
        first = get_column_letter(len(shown) + 3)
        ws.column_dimensions.group(first, last, outline_level=1, hidden=True)
        ws.sheet_properties.outlinePr = Outline(summaryRight=False)
        put(
            ws["A3"],
            f"{MARK.strip()} is needed. {len(folded)} more columns are folded away: "
            f"the + above the column headings unfolds them.",
            size=8,
            color=SOFT,
        )
    else:
        put(ws["A3"], f"{MARK.strip()} is needed.", size=8, color=SOFT)
    _checks(ws, region, last_shown, end)
    ws.row_dimensions[HEAD].height = 40
    ws.freeze_panes = f"C{FIRST}"
    paper(ws, titles=f"{HEAD}:{USUAL_ROW}", last=f"A1:{get_column_letter(len(shown) + 2)}{end}")
    # A table of many columns goes on pages side by side, each with the names of the rows.
    across = sum(_width(f) for f in shown) + 33
    ws.page_setup.fitToWidth = -(-int(across) // PAPER)
    ws.print_title_cols = "A:B"
    _name(_book(ws), region.name, ws, f"$A${HEAD}:${last}${HEAD}")
    named = next((n for n, f in enumerate(columns, 2) if f and f.key == "name"), None)
    if named:
        letter = get_column_letter(named)
        listed = f"mountwright_list_{region.file}_{region.path.replace('.', '_')}"
        _name(_book(ws), listed, ws, f"${letter}${FIRST}:${letter}${max(end, LAST)}")


def _body(
    ws: Worksheet,
    field: Field | None,
    number: int,
    rows: Sequence[tuple[str, Data]],
    end: int,
    remark: str,
) -> None:
    """Fill a column of a table and rule its spare rows; without a field, that of the remarks."""
    for row in range(FIRST, end + 1):
        cell = ws.cell(row, number)
        if row - FIRST > len(rows):
            # A copy of the first spare row's dress is much quicker than dressing each.
            cell._style = copy(ws.cell(row - 1, number)._style)  # type: ignore[union-attr]
            continue
        owner, data = rows[row - FIRST] if row - FIRST < len(rows) else ("", {})
        if field is None:
            put(cell, remark if data and remark else None, box=True, wrap=True, color=WARM)
        else:
            value = get(data, field.key, owner) if data else None
            put(
                cell,
                None if value is None else cells.write(field, value),
                box=True,
                form=_form(field),
                wrap=field.many,
                align="left" if field.kind in {"text", "name", "word"} else "right",
            )
        cell.protection = OPEN


def _needed(region: Region, key: str) -> bool:
    return any(f.key == key and f.needed for f in region.fields)


def _column(
    ws: Worksheet,
    region: Region,
    field: Field,
    number: int,
    usual: Any,
    lists: _Lists,
    currency: str,
    end: int,
) -> None:
    letter = get_column_letter(number)
    right = field.kind not in {"text", "name", "word"}
    align = "right" if right else "left"
    head = ws.cell(HEAD, number)
    put(head, _label(region, field), bold=True, wrap=True, box=True, background=WASH, align=align)
    note = Comment(field.about, "mountwright")
    note.width, note.height = 300, 40 + 18 * (len(field.about) // 38 + 1)
    head.comment = note
    unit = put(
        ws.cell(UNIT, number),
        currency if field.unit == CURRENCY else field.unit,
        size=9,
        color=COOL,
        box=True,
        background=WASH,
        align=align,
    )
    if field.unit in _UNITS:
        unit.protection = OPEN
        ws.add_data_validation(choice := DataValidation("list", formula1=f'"{_UNITS[field.unit]}"'))
        choice.add(unit.coordinate)
    cell = put(
        ws.cell(USUAL_ROW, number),
        None if usual is None else cells.write(field, usual),
        italic=True,
        color=WARM,
        box=True,
        background=USUAL_COLOUR,
        form=_form(field),
        align=align,
    )
    cell.protection = OPEN
    ws.column_dimensions[letter].width = _width(field)
    choice = lists.of(region, field)
    ws.add_data_validation(choice)
    choice.add(f"{letter}{USUAL_ROW}:{letter}{max(end, LAST)}")


def _when(formula: str) -> Rule:
    """Colour what is missing where a formula is true."""
    return Rule(type="expression", formula=[formula], dxf=DifferentialStyle(fill=fill(MISSING)))


def _checks(ws: Worksheet, region: Region, last: str, end: int) -> None:
    """Say for each row whether it is complete, and colour what is missing."""
    heads, usual = f"$B${HEAD}:${last}${HEAD}", f"$B${USUAL_ROW}:${last}${USUAL_ROW}"
    for row in range(FIRST, end + 1):
        own = f"$B{row}:${last}{row}"
        missing = f'SUMPRODUCT((RIGHT({heads},1)="*")*({own}="")*({usual}=""))'
        cell = put(ws.cell(row, 1), None, size=9, bold=True, color=COOL, align="center")
        cell.value = f'=IF(COUNTA({own})=0,"",IF({missing}=0,"✓","fill in"))'
    rule = f'AND($A{FIRST}="fill in",RIGHT(B${HEAD},1)="*",B{FIRST}="",B${USUAL_ROW}="")'
    ws.conditional_formatting.add(f"B{FIRST}:{last}{end}", _when(rule))


def _forms(
    ws: Worksheet,
    page: Page,
    job: Data,
    shop: Data,
    lists: _Lists,
    sample: Collection[File],
) -> None:
    grid = page.regions[0].shape == "grid"
    title(ws, page.title, page.hint, 5 if grid else 4)
    widths(ws, 27, *((12, 12, 12, 66) if grid else (30, 10, 84)))
    row = 4
    if page.title == "Job":
        row = _answer(ws)
    for region in page.regions:
        data: Any = job if region.file == "job" else shop
        for key in region.path.split(".") if region.path else ():
            data = data.get(key, {})
        heading = region.path.replace("_", " ").capitalize() or page.title
        put(ws.cell(row, 1), heading, size=12, bold=True, color=COOL)
        row += 1
        if region.shape == "grid":
            row = _grid(ws, region, data, row)
        else:
            first = row
            row = _form_rows(ws, region, data, lists, shop.get("currency", ""), row)
            if region.file in sample:
                _mark_sample(ws, first, row)
        if region.path == "rates":
            row = _hour(ws, region, row)
        row += 1
    ws.freeze_panes = "A3"
    paper(ws, last=f"A1:{'E' if grid else 'D'}{row - 1}", pages=1)


def _mark_sample(ws: Worksheet, first: int, end: int) -> None:
    """Mark the values of a form for as long as they are those of the sample."""
    put(ws["A3"], "Values on this ground are the sample's, invented: type your own.", size=8)
    ws["A3"].font, ws["A3"].fill = font(8, color=WARM), fill(USUAL_COLOUR)
    look = DifferentialStyle(font=Font(color=WARM, italic=True), fill=fill(USUAL_COLOUR))
    for row in range(first, end):
        value = ws.cell(row, 2).value
        if value is None:
            continue
        same = f'"{value}"' if isinstance(value, str) else _number(value)
        rule = Rule(type="expression", formula=[f"$B${row}={same}"], dxf=look)
        ws.conditional_formatting.add(f"B{row}", rule)


def _number(value: Any) -> str:
    """Write a value as a formula has it; days are numbers to a spreadsheet."""
    if isinstance(value, datetime):
        value = (value - CALENDAR_WINDOWS_1900).total_seconds() / 86_400
    return str(value)


def _form_rows(
    ws: Worksheet, region: Region, data: Data, lists: _Lists, currency: str, row: int
) -> int:
    first = row
    for field in region.fields:
        value = get(data, field.key)
        put(ws.cell(row, 1), _label(region, field), box=True, background=WASH, bold=field.needed)
        cell = put(
            ws.cell(row, 2),
            None if value is None else cells.write(field, value),
            box=True,
            form=_form(field),
            wrap=True,
        )
        cell.protection = OPEN
        unit = currency if field.unit == CURRENCY else field.unit
        put(ws.cell(row, 3), unit, size=9, color=COOL, box=True)
        put(ws.cell(row, 4), field.about, size=9, color=SOFT, wrap=True)
        lines = max(-(-len(field.about) // 110), -(-len(str(cell.value or "")) // 30), 1)
        ws.row_dimensions[row].height = 14 * lines
        choice = lists.of(region, field)
        ws.add_data_validation(choice)
        choice.add(cell.coordinate)
        row += 1
    needed = f'AND(RIGHT($A{first},1)="*",$B{first}="")'
    ws.conditional_formatting.add(f"B{first}:B{row - 1}", _when(needed))
    _name(_book(ws), region.name, ws, f"$A${first}:$A${row - 1}")
    return row


def _grid(ws: Worksheet, region: Region, data: Data, row: int) -> int:
    first = row
    for column, field in enumerate(region.fields, start=2):
        text = f"{field.label} [{field.unit}]" if field.unit else field.label
        head = put(ws.cell(row, column), text, bold=True, box=True, background=WASH)
        head.comment = Comment(field.about, "mountwright")
    for line in region.rows:
        row += 1
        put(ws.cell(row, 1), line.label, box=True, background=WASH)
        for column, field in enumerate(region.fields, start=2):
            value = get(data, f"{line.key}.{field.key}")
            cell = put(
                ws.cell(row, column),
                None if value is None else cells.write(field, value),
                box=True,
            )
            cell.protection = OPEN
        put(ws.cell(row, 2 + len(region.fields)), line.about, size=9, color=SOFT)
    _name(_book(ws), region.name, ws, f"$A${first}:${get_column_letter(column)}${row}")
    return row + 1


def _hour(ws: Worksheet, region: Region, row: int) -> int:
    """Write what follows from the rates, as protected formulas."""
    at = {f.key: f"B{row - len(region.fields) + n}" for n, f in enumerate(region.fields)}
    cost = f"{at['labour_per_hour']}+{at['overhead_per_hour']}"
    margin, markup = at["margin"], at["markup"]
    sold = f'IF({margin}<>"",({cost})/(1-{margin}),({cost})*(1+{markup}))'
    for label, formula, about in (
        (HOURS[0], cost, "Labour and overhead, from the lines above; protected."),
        (HOURS[1], sold, "With the margin or the markup, before tax; protected."),
    ):
        put(ws.cell(row, 1), label, italic=True, box=True)
        cell = put(ws.cell(row, 2), None, italic=True, box=True, form="#,##0.00")
        cell.value = f'=IFERROR({formula},"")'
        put(ws.cell(row, 4), about, size=9, color=SOFT)
        row += 1
    return row


def _answer(ws: Worksheet) -> int:
    """Write the box for the answer on top of the first sheet; a plan fills it."""
    first = 4
    put(ws.cell(first - 1, 4), FOR_WHOM, size=8, color=SOFT, wrap=True)
    ws.row_dimensions[first - 1].height = 24
    for offset, label in enumerate(
        ("Price with tax", "Net and tax", "Ready by", "Hands on", "Rows to complete", "")
    ):
        row = first + offset
        for column in range(1, 5):
            put(ws.cell(row, column), "", box=False, background=ANSWER)
        put(ws.cell(row, 1), label, bold=True, background=ANSWER)
    put(ws.cell(first, 2), "not planned yet", size=16, bold=True, color=WARM, background=ANSWER)
    put(
        ws.cell(first, 4),
        "Save, close, then: mountwright workbook plan and the name of this file.",
        color=SOFT,
        wrap=True,
        background=ANSWER,
    )
    ws.row_dimensions[first].height = 26
    _name(_book(ws), ANSWER_NAME, ws, f"$A${first}:$D${first + 5}")
    return first + 6


def _count_rows(wb: Workbook) -> None:
    """Count on the first sheet the rows of every table that lack something."""
    counts = [
        f"COUNTIF('{page.title}'!$A${FIRST}:$A${LAST},\"fill in\")"
        for page in pages()
        if page.regions[0].shape == "table"
    ]
    ws = wb[pages()[0].title]
    cell = put(ws["B8"], None, background=ANSWER)
    cell.value = "=" + "+".join(counts)
