"""A result sheet, written line by line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from openpyxl.utils import get_column_letter
from openpyxl.worksheet.pagebreak import Break
from openpyxl.worksheet.worksheet import Worksheet

from mountwright.workbook.style import (
    ALARM,
    ANSWER,
    COOL,
    SOFT,
    WARM,
    WASH,
    paper,
    put,
    title,
    widths,
)

PAPER = 510
"""Height of a page between its margins, A4 across. [points]"""


class Lines:
    """A sheet and the line that is written next."""

    def __init__(self, ws: Worksheet, name: str, hint: str, columns: Sequence[float]) -> None:
        self.ws = ws
        self.row = 4
        self.width = len(columns)
        self.columns = columns
        self.repeated = ""
        self.printed = 0
        title(ws, name, hint, len(columns))
        widths(ws, *columns)
        ws.sheet_properties.tabColor = COOL
        ws.freeze_panes = "A4"

    def heading(self, text: str) -> None:
        """Begin a part."""
        self.row += 1 if self.row > 4 else 0
        put(self.ws.cell(self.row, 1), text, size=12, bold=True, color=COOL)
        self.row += 1

    def head(self, *labels: str, right: Iterable[int] = (), repeat: bool = False) -> None:
        """Write the headings of a table; ``right`` are columns of numbers, counted from 1.

        A sheet of one long table has them on each page: ``repeat``.
        """
        if repeat:
            self.repeated = f"{self.row}:{self.row}"
        aligned = set(right)
        for column, label in enumerate(labels, start=1):
            put(
                self.ws.cell(self.row, column),
                label,
                bold=True,
                wrap=True,
                box=True,
                background=WASH,
                align="right" if column in aligned else "left",
            )
        self._height(labels)
        self.row += 1

    def line(self, *values: Any, forms: dict[int, str] | None = None, bold: bool = False) -> None:
        """Write a line of a table; ``forms`` are number formats by column."""
        for column, value in enumerate(values, start=1):
            value = _rounded(value, (forms or {}).get(column, ""))
            number = isinstance(value, (int, float)) and not isinstance(value, bool)
            put(
                self.ws.cell(self.row, column),
                value,
                # A number that is wrapped loses its indent in some office programs.
                wrap=not number,
                box=True,
                bold=bold,
                form=(forms or {}).get(column, ""),
                align="right" if number else "left",
                background=ANSWER if bold else "",
            )
        self._height(values)
        self.row += 1

    def fact(self, label: str, value: Any, form: str = "") -> None:
        """Write a label and what it says; nothing where there is nothing to say."""
        if value in (None, ""):
            return
        put(self.ws.cell(self.row, 1), label, color=SOFT)
        put(self.ws.cell(self.row, 2), value, bold=True, form=form)
        self.row += 1

    def note(self, text: str, *, warn: bool = False, alarm: bool = False) -> None:
        """Write a sentence over the whole width."""
        color = ALARM if alarm else WARM if warn else SOFT
        cell = put(self.ws.cell(self.row, 1), text, color=color, bold=alarm, wrap=True)
        if self.width > 1:
            self.ws.merge_cells(
                start_row=self.row, end_row=self.row, start_column=1, end_column=self.width
            )
        rows = max(1, -(-len(str(cell.value)) // max(int(sum(self.columns) * 1.1), 1)))
        self.ws.row_dimensions[self.row].height = 14 * rows
        self.row += 1

    def page(self) -> None:
        """Begin a new page on paper."""
        self.ws.row_breaks.append(Break(id=self.row - 1))

    def room(self, points: float) -> None:
        """Begin a new page where so much more would be cut through by the end of this one."""
        breaks = self.ws.row_breaks.brk
        first = breaks[-1].id + 1 if breaks else 1
        heights = (self.ws.row_dimensions[row].height or 15 for row in range(first, self.row))
        if sum(heights) % PAPER + points > PAPER:
            self.page()

    def until_here(self) -> None:
        """Print no more than stands above: what follows is for the screen."""
        self.printed = self.row - 1

    def done(self, *, pages: int = 0, letter: bool = False) -> None:
        """Set the sheet up for paper."""
        last = get_column_letter(self.width)
        area = f"A1:{last}{max(self.printed or self.row - 1, 4)}"
        paper(self.ws, titles=self.repeated, last=area, pages=pages, letter=letter)

    def _height(self, values: Sequence[Any]) -> None:
        # Office programs do not fit the height of a row that they did not write.
        rows = 1
        for value, width in zip(values, self.columns, strict=False):
            if isinstance(value, str):
                lines = value.splitlines() or [""]
                rows = max(
                    rows, sum(-(-max(len(one), 1) // max(int(1.1 * width) - 2, 1)) for one in lines)
                )
        self.ws.row_dimensions[self.row].height = 14 * rows


def _rounded(value: Any, form: str) -> Any:
    """Round money to the coins that are shown.

    Examples
    --------
    >>> _rounded(4.109999999999999, "#,##0.00"), _rounded(0.125, "0.###")
    (4.11, 0.125)
    """
    if not isinstance(value, float) or not form.startswith("#,##0"):
        return value
    return round(value, len(form.partition(".")[2]))
