"""How the sheets look: a few colours, one face, paper."""

from __future__ import annotations

from functools import cache

from openpyxl.cell.cell import Cell, MergedCell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Protection, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.worksheet import Worksheet

INK, SOFT, LINE = "1B1F23", "4D5660", "C3CAD1"
WASH, USUAL, MISSING, ANSWER = "E6ECEF", "F4F0E3", "F9D9C7", "EAF2F6"
COOL, WARM, ALARM = "12588F", "A03C06", "C00000"

FACE = "Arial"

_thin = Side(style="thin", color=LINE)
BOX = Border(left=_thin, right=_thin, top=_thin, bottom=_thin)
RULE = Border(bottom=Side(style="medium", color=COOL))
OPEN = Protection(locked=False)


@cache
def font(size: float = 10, *, bold: bool = False, italic: bool = False, color: str = INK) -> Font:
    """Give the one face of the workbook."""
    return Font(name=FACE, size=size, bold=bold, italic=italic, color=color)


@cache
def fill(color: str) -> PatternFill:
    """Fill a cell with one colour."""
    return PatternFill("solid", start_color=color, end_color=color)


@cache
def _alignment(align: str, wrap: bool, box: bool) -> Alignment:  # noqa: FBT001
    # Off the rule of a box, so that a number does not touch the text beside it.
    indent = 1 if box and align != "center" else 0
    return Alignment(horizontal=align, vertical="center", wrap_text=wrap, indent=indent)


def put(
    cell: Cell | MergedCell,
    value: object,
    *,
    size: float = 10,
    bold: bool = False,
    italic: bool = False,
    color: str = INK,
    form: str = "",
    wrap: bool = False,
    align: str = "left",
    box: bool = False,
    background: str = "",
) -> Cell:
    """Write a value that can never be a formula, and dress its cell.

    Text that begins like a formula is marked as text, so that it stays text when it is edited.
    """
    assert isinstance(cell, Cell)
    if isinstance(value, str):
        text = "".join(c for c in value if c >= " " or c in "\n\t")[:32_000]
        cell.value = text
        if text.startswith(("=", "+", "-", "@")):
            cell.data_type = "s"
            cell.quotePrefix = True
    else:
        cell.value = value  # type: ignore[assignment]
    cell.font = font(size, bold=bold, italic=italic, color=color)
    cell.alignment = _alignment(align, wrap, box)
    if form:
        cell.number_format = form
    if box:
        cell.border = BOX
    if background:
        cell.fill = fill(background)
    return cell


def title(ws: Worksheet, text: str, hint: str, width: int) -> None:
    """Write the title of a sheet and what it is for, ruled over its width."""
    put(ws["A1"], text, size=18, bold=True)
    ws.row_dimensions[1].height = 28
    put(ws["A2"], hint, color=SOFT)
    ws.row_dimensions[2].height = 18
    for column in range(1, width + 1):
        ws.cell(2, column).border = RULE


def widths(ws: Worksheet, *columns: float) -> None:
    """Set the widths of the first columns, in characters."""
    for number, width in enumerate(columns, start=1):
        ws.column_dimensions[get_column_letter(number)].width = width


def paper(
    ws: Worksheet, *, titles: str = "", last: str = "", pages: int = 0, letter: bool = False
) -> None:
    """Set a sheet up for A4 landscape, as wide as one page; ``titles`` are repeated rows.

    It is made small enough for so many ``pages``, where they are given. A ``letter`` stands upright
    and is not numbered among the pages of the workbook.
    """
    ws.page_setup.orientation = "portrait" if letter else "landscape"
    ws.page_setup.paperSize = 9
    ws.page_setup.fitToWidth = 1
    ws.page_setup.fitToHeight = pages
    ws.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    ws.page_margins.left = ws.page_margins.right = 0.5
    ws.page_margins.top, ws.page_margins.bottom = 0.5, 0.6
    footer = ws.oddFooter
    assert footer is not None
    footer.left.text, footer.right.text = "&A", "" if letter else "&P of &N"
    footer.left.size = footer.right.size = 8
    ws.print_options.horizontalCentered = False
    ws.sheet_view.showGridLines = False
    if titles:
        ws.print_title_rows = titles
    if last:
        ws.print_area = last


def protect(ws: Worksheet) -> None:
    """Protect what is not open, without a password; columns and rows may still be arranged."""
    ws.protection.sheet = True
    for right in ("formatCells", "formatColumns", "formatRows", "insertRows", "sort", "autoFilter"):
        setattr(ws.protection, right, False)
