"""The result sheets of a workbook: found by their names, replaced where they stand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.utils.cell import range_boundaries
from openpyxl.workbook.defined_name import DefinedName
from openpyxl.worksheet.worksheet import Worksheet

from mountwright import _core
from mountwright.errors import UnitError
from mountwright.memory import Table
from mountwright.packet import taken
from mountwright.packet.quote import kind
from mountwright.packet.words import (
    NO_SPREAD,
    Units,
    hours,
    length,
    middle,
    promised,
    size,
    span,
    stopped,
    thickness,
)
from mountwright.plan import Plan
from mountwright.workbook import answer_bench, answer_memory, answer_price
from mountwright.workbook.inputs import ANSWER_NAME, named
from mountwright.workbook.lines import Lines
from mountwright.workbook.pages import MEASURED
from mountwright.workbook.reader import Typed
from mountwright.workbook.style import ALARM, ANSWER, COOL, INK, SOFT, WARM, put

Fields = dict[str, Any]

COPY = "As planned"
FOR_THE_SHOP = "For the shop, not printed: taken because nobody said it"

_SHEETS: dict[str, tuple[str, tuple[float, ...], Callable[[Lines, Plan, Fields], None]]] = {
    "Quote": (
        "For the customer.",
        (44, 18, 18, 18),
        lambda lines, _, fields: answer_price.quote(lines, fields),
    ),
    "Cut list": (
        "What to buy, to cut and to keep; x and y from the lower left corner.",
        (34, 26, 8, 12, 12, 12, 12, 14),
        lambda lines, plan, fields: answer_bench.cut_list(lines, fields, list(plan.drawings)),
    ),
    "Recipes": (
        "How each part is heated. Gloves, glasses, extraction on; nothing that burns nearby.",
        (30, 18, 24, 30, 24),
        lambda lines, _, fields: answer_bench.recipes(lines, fields),
    ),
    "Day": (
        "The work on the calendar.",
        (11, 52, 20, 12, 22, 20),
        lambda lines, _, fields: answer_bench.the_day(lines, fields),
    ),
    "Costs": (
        "The shop's own sums.",
        (52, 16, 12, 14, 16, 16),
        lambda lines, _, fields: answer_price.costs(lines, fields),
    ),
    "Checks": (
        "What is refused, what fails, what can hurt.",
        (22, 13, 30, 66, 40),
        lambda lines, _, fields: answer_price.checks(lines, fields),
    ),
    "Sources": (
        "Where the numbers come from.",
        (42, 30, 18, 72, 40),
        lambda lines, _, fields: answer_bench.sources(lines, fields),
    ),
}

MEMORY = "Memory"

LAYOUT = "Layout"
"""A sheet of its own once; its pictures stand below the cut list now."""

TITLES = (*_SHEETS, MEMORY, COPY, LAYOUT)

ONE_PAGE = ("Quote", "Day", "Costs", "Sources")
"""Sheets that are set on one page whatever stands on them."""


def name_of(title: str) -> str:
    """Give the name under which a workbook knows a result sheet, whatever its title.

    Examples
    --------
    >>> name_of("Cut list")
    'mountwright_result_cut_list'
    """
    return f"mountwright_result_{title.lower().replace(' ', '_')}"


def ours(wb: Workbook) -> dict[str, Worksheet]:
    """Find the result sheets of an earlier plan."""
    found: dict[str, Worksheet] = {}
    for title in TITLES:
        for sheet, _ in named(wb, name_of(title)):
            if sheet in wb.sheetnames and isinstance(wb[sheet], Worksheet):
                found[title] = _sheet(wb, sheet)
    return found


def _sheet(wb: Workbook, title: str) -> Worksheet:
    ws = wb[title]
    assert isinstance(ws, Worksheet)
    return ws


def put_results(
    wb: Workbook, plan: Plan, typed: Typed | None, remembered: Sequence[Table] = ()
) -> dict[tuple[str, str], Any]:
    """Write the result sheets into a workbook, in place of those of an earlier plan.

    Parameters
    ----------
    wb : Workbook
        Any; sheets that are not ours stay as they are.
    plan : Plan
        What is written.
    typed : Typed, optional
        What stands on the input sheets, if they are in this workbook: then the first of them
        shows the price, and says when something was changed since.
    remembered : sequence of Table, default ()
        Answers of the shop's memory, for a sheet of their own.

    Returns
    -------
    dict
        The results of the formulas that were written, by sheet and cell.
    """
    fields = plan.to_dict()
    if typed and fields["quote"]:
        told = [*fields["quote"]["assumptions"], *_unmeasured(typed)]
        fields = {**fields, "quote": {**fields["quote"], "assumptions": told}}
    fields = {**fields, "sampled": typed.sample if typed else {}}
    active = wb.active.title if wb.active is not None else ""
    old = ours(wb)
    if LAYOUT in old:
        wb.remove(old.pop(LAYOUT))
        del wb.defined_names[name_of(LAYOUT)]
    results: dict[tuple[str, str], Any] = {}
    sheets = dict(_SHEETS)
    if remembered or MEMORY in old:
        sheets[MEMORY] = (
            "What done jobs say.",
            (34, 16, 16, 16, 16, 16, 16, 16, 16),
            lambda lines, _, fields: answer_memory.memory(lines, remembered, fields),
        )
    for offset, (title, (hint, columns, fill)) in enumerate(sheets.items()):
        ws = _fresh(wb, title, old, 1 + offset if typed else len(wb.sheetnames))
        lines = Lines(ws, title, hint, columns)
        fill(lines, plan, fields)
        lines.done(pages=int(title in ONE_PAGE), letter=title == "Quote")
        # Beside the paper, so that no customer reads it.
        beside = ws.cell(1, len(columns) + 2)
        put(beside, "Written anew by each plan: keep your own work on other sheets.", color=SOFT)
        if title == "Quote":
            _for_the_shop(ws, len(columns) + 2, fields, typed)
        if title == "Recipes" and not any(part["recipe"] for part in fields["parts"]):
            # No page for nothing.
            ws.sheet_state = "hidden"
            ws.print_area = None
    if typed:
        _name_currency(typed, fields["shop"]["currency"])
        copy = _fresh(wb, COPY, old, len(wb.sheetnames))
        copy.sheet_state = "hidden"
        results = _answer(wb, fields, typed, _copied(wb, copy, typed))
    if active in wb.sheetnames:
        wb.active = wb.sheetnames.index(active)
    return results


def _name_currency(typed: Typed, currency: str) -> None:
    """Have the units of money on the input sheets name the shop's currency, if it was changed."""
    for title, at in typed.money_units:
        written = typed.formulas[title][at]
        if isinstance(written, Cell) and written.data_type != "f":
            # Also as it was read: it is compared with what stands there later.
            written.value = typed.results[title][at].value = currency


def _fresh(wb: Workbook, title: str, old: dict[str, Worksheet], index: int) -> Worksheet:
    if title in old:
        before = old[title]
        own, index = before.title, wb.index(before)
        wb.remove(before)
        wb.create_sheet(own, index)
    else:
        # A sheet of this title that is not ours keeps it; the library numbers the new one.
        wb.create_sheet(title, index)
    ws = _sheet(wb, wb.sheetnames[index])
    name = name_of(title)
    wb.defined_names[name] = DefinedName(name, attr_text=f"'{ws.title}'!$A$1")
    return ws


def _copied(wb: Workbook, copy: Worksheet, typed: Typed) -> str:
    """Copy what was typed, and give a formula that is true while all of it is unchanged."""
    put(copy["A1"], "What stood on the input sheets when this was planned.", color=SOFT)
    row = 3
    tests = []
    for title, (left, top, right, bottom) in typed.regions:
        ws = typed.results[title]
        across, down = right - left + 1, bottom - top + 1
        for y in range(down):
            for x in range(across):
                value = ws.cell(top + y, left + x).value
                if value is not None:
                    put(copy.cell(row + y, 1 + x), value)
        theirs = _area(title, left, top, right, bottom)
        mine = _area(copy.title, 1, row, across, row + down - 1)
        tests.append(f"SUMPRODUCT(--({theirs}<>{mine}))")
        row += down + 1
    tests += [f"COUNTA({_area(title, *corners)})" for title, corners in typed.beneath]
    return f"IFERROR({'+'.join(tests)},1)=0"


def _area(title: str, left: int, top: int, right: int, bottom: int) -> str:
    quoted = title.replace("'", "''")
    return f"'{quoted}'!${get_column_letter(left)}${top}:${get_column_letter(right)}${bottom}"


def _usual(typed: Typed) -> list[str]:
    """Name what the rows "where empty" gave, in the words of the sheets, each once."""
    return [f"{label} {value}" for label, value in dict(typed.usual).items()]


def _unmeasured(typed: Typed) -> list[str]:
    """Tell the customer which measurements of his vehicle are usual values so far.

    What the shop sets at its bench is none of them.
    """
    units = typed.job.get("units", "metric")
    sizes = [
        f"{label} {_in_units(value, units)}"
        for label, value in dict(typed.usual).items()
        if label.rpartition(": ")[2].replace(" ", "_") in MEASURED
    ]
    if not sizes:
        return []
    return [f"usual values stand for what was not measured yet: {'; '.join(sizes)}"]


def _in_units(value: str, units: Units) -> str:
    """Write a length in the units of the job; what is none stays as it is."""
    try:
        found = _core.quantity(value, "length")
    except UnitError:
        return value
    return length(found.value, units)


def _for_the_shop(ws: Worksheet, column: int, plan: Fields, typed: Typed | None) -> None:
    """Say beside the quote, where no customer reads it, what nobody said."""
    told = taken.words(plan)
    if typed and (usual := _usual(typed)):
        told.insert(0, f"Taken where cells were empty: {'; '.join(usual)}.")
    if typed and typed.sample:
        told.insert(0, _sampled(typed))
    if told:
        put(ws.cell(3, column), FOR_THE_SHOP, bold=True)
    ws.column_dimensions[get_column_letter(column)].width = 90
    for row, text in enumerate(told, start=4):
        put(ws.cell(row, column), text, size=9, color=WARM)


def _sampled(typed: Typed) -> str:
    """Tell on which sheets values of the sample still stand; which ones, the sheet Costs tells."""
    named = "; ".join(typed.sample)
    return f"{answer_price.SAMPLED}: {named}. Which they are stands on the sheet Costs."


ANSWERS = {
    "mountwright_price": (0, 1),
    "mountwright_net": (1, 1),
    "mountwright_tax": (1, 2),
    "mountwright_promise": (2, 1),
}
"""Names of the cells of the answer: row and column within its box."""

UNCHANGED = "Planned with what stands in this workbook."
CHANGED = "Something was changed since: this is the old price. Plan again."


def _answer(wb: Workbook, plan: Fields, typed: Typed, unchanged: str) -> dict[tuple[str, str], Any]:
    """Show price and promise on the first sheet."""
    found = named(wb, ANSWER_NAME)
    if not found or found[0][0] not in wb.sheetnames:
        return {}
    ws = wb[found[0][0]]
    left, top, _, _ = range_boundaries(found[0][1])
    assert left is not None
    assert top is not None
    why = stopped(plan)
    fails = f"{answer_price.NOT_OUT}: {'; '.join(why)}." if why else ""
    price, promise, schedule = plan["price"], plan["promise"], plan["schedule"]

    def cell(row: int, column: int, value: Any, **dress: Any) -> None:
        put(ws.cell(top + row, left + column), value, background=ANSWER, wrap=True, **dress)

    if price:
        digits = price["minor_digits"]
        money = "#,##0" + (f".{'0' * digits}" if digits else "")
        draft = bool(plan["quote"]) and kind(plan) == "Draft"
        cell(0, 0, "Draft: price with tax" if draft else "Price with tax", bold=True)
        color = ALARM if fails else COOL
        cell(0, 1, float(price["gross"]), size=16, bold=True, color=color, form=money)
        cell(0, 2, price["currency"], color=SOFT)
        cell(1, 0, "Net, and its tax", bold=True)
        cell(1, 1, float(price["net"]), form=money)
        cell(1, 2, float(price["tax"]), form=money)
    else:
        cell(0, 1, "nothing planned", size=16, bold=True, color=WARM)
        cell(1, 1, "")
        cell(1, 2, "")
    # Formulas of the shop's own find them here, whatever stands around them.
    for name, (row, column) in ANSWERS.items():
        at = f"${get_column_letter(left + column)}${top + row}"
        quoted = ws.title.replace("'", "''")
        wb.defined_names[name] = DefinedName(name, attr_text=f"'{quoted}'!{at}")
    cell(0, 3, None, bold=True, color=INK)
    ws.cell(top, left + 3).value = f'=IF({unchanged},"{UNCHANGED}","{CHANGED}")'
    ready, sure = promised(promise) if promise else ("", "")
    cell(2, 1, ready)
    attended = schedule["attended_s"] if schedule else None
    worked = hours(middle(attended)) if attended else ""
    cell(3, 1, worked)
    many = span(attended, hours) if attended else ""
    spread = "" if plan["draws"] else NO_SPREAD
    parts = "; ".join(_part(part, plan) for part in plan["parts"])
    # What forbids a price stands right beneath it.
    cell(
        1,
        3,
        f"{fails} {spread} {'' if fails else parts}".strip(),
        size=9,
        bold=bool(fails),
        color=ALARM if fails else WARM if spread else INK,
    )
    refused = "; ".join(f"{', '.join(r['parts'])} ({r['place']})" for r in plan["refused"])
    sure = sure[:1].upper() + sure[1:] + "." if sure else ""
    missing = f"Not planned, see Checks: {refused}" if refused else ""
    cell(2, 3, f"{sure} {missing}".strip(), size=9, color=WARM if refused else INK)
    cell(3, 3, f"Eight jobs in ten: {many}." if many else "", size=9)
    told = [_sampled(typed)] if typed.sample else []
    if usual := _usual(typed):
        told.append(f"Where cells were empty: {'; '.join(usual)}.")
    if parts_take := taken.of_parts(plan):
        told.append(f"{'; '.join(parts_take)}.")
    if any(not one["part"] for one in plan["taken"]):
        told.append("What the shop has not said stands on the sheet Costs.")
    cell(5, 0, "Taken as usual" if told else "", bold=True)
    cell(5, 1, "see beside" if told else "", color=SOFT)
    cell(5, 2, "")
    cell(5, 3, " ".join(told), size=9, color=WARM)
    cell(4, 3, parts if fails else "", size=9)
    for row in range(1, 6):
        text = str(ws.cell(top + row, left + 3).value or "")
        ws.row_dimensions[top + row].height = 14 * max(1, -(-len(text) // 95))
    return {(ws.title, ws.cell(top, left + 3).coordinate): UNCHANGED}


def _part(part: Fields, plan: Fields) -> str:
    units = plan["job"].get("units", "metric")
    many = f"{part['quantity']} × " if part["quantity"] > 1 else ""
    blank = part["blank"]
    sides = size((blank["length_m"], blank["width_m"]), units)
    thick = thickness(part, units)
    return f"{many}{part['name']}, {part['material']} {thick}, blank {sides}"
