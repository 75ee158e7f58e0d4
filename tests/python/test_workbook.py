"""A workbook is written, typed into, read back and planned; nothing that was typed is lost.

The workbooks are opened here by openpyxl, as a stand-in for an office program; what a real one
does with them is in test_workbook_office.
"""

import datetime as dt
import html
import re
import sys
import tomllib
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.comments import Comment
from openpyxl.styles import Font
from openpyxl.utils import get_column_letter
from openpyxl.workbook.defined_name import DefinedName

import mountwright as mw
from mountwright import workbook
from mountwright.packet.quote import quote_page
from mountwright.workbook.cells import CellFault, read, write
from mountwright.workbook.fields import Field, regions
from mountwright.workbook.pages import KINDS, USUAL, pages
from mountwright.workbook.reader import read as read_back
from mountwright.workbook.results import COPY, LAYOUT, MEMORY, TITLES

DEMO = Path(__file__).parents[2] / "demo-data"
SHOWN = tuple(title for title in TITLES if title not in (MEMORY, COPY, LAYOUT))
JOBS = sorted(path for path in DEMO.glob("*.toml") if path.name != "shop.toml")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return workbook.new(tmp_path / "shop.xlsx")


def edited(path: Path, *changes: tuple[str, str, Any]) -> Path:
    """Type into cells: sheet, address, value."""
    wb = openpyxl.load_workbook(path)
    for sheet, cell, value in changes:
        wb[sheet][cell] = value
    wb.save(path)
    return path


def column(path: Path, sheet: str, label: str) -> str:
    ws = openpyxl.load_workbook(path)[sheet]
    labels = [str(c.value or "").removesuffix(" *") for c in ws[4]]
    return get_column_letter(labels.index(label) + 1)


def faults(path: Path) -> dict[str, str]:
    with pytest.raises(mw.WorkbookError) as caught:
        read_back(path)
    return {f"{p.sheet}!{p.cell}": p.message for p in caught.value.problems}


# What is asked for


def test_every_key_of_both_files_has_one_home() -> None:
    homes = [region for page in pages() for region in page.regions]
    assert len(homes) == len(set(homes))
    assert set(homes) == set(regions())
    # No sheet was made up for want of a place in the list.
    assert [page.title for page in pages() if page.title != page.title.strip()] == []
    labels = [[f.label for f in region.fields] for region in regions()]
    assert all(len(one) == len(set(one)) for one in labels)


def test_what_is_usual_names_keys_that_are_there() -> None:
    fields = {r.path: {f.key for f in r.fields} for r in regions() if r.file == "job"}
    for path, values in USUAL.items():
        assert set(values) <= fields[path], path
    assert set(KINDS) <= set(fields)


@pytest.mark.parametrize("path", JOBS, ids=lambda p: p.stem)
def test_a_job_goes_into_a_workbook_and_comes_back(path: Path, tmp_path: Path) -> None:
    (tmp_path / "drawings").symlink_to(DEMO / "drawings")
    shop = DEMO / "shop.toml"
    at = workbook.new(tmp_path / "a.xlsx", job=mw.Job.read(path), shop=mw.Shop.read(shop))
    back = read_back(at)
    assert back.job == tomllib.loads(path.read_text(encoding="utf-8"))
    assert back.shop == tomllib.loads(shop.read_text(encoding="utf-8"))
    assert back.usual == []


def test_its_plan_is_the_plan_of_the_files(rings: mw.Plan, tmp_path: Path) -> None:
    files = mw.Job.read(DEMO / "door-rings.toml"), mw.Shop.read(DEMO / "shop.toml")
    at = workbook.new(tmp_path / "a.xlsx", job=files[0], shop=files[1])
    plan, written = workbook.plan(at, draws=32)
    assert written == at
    ours, theirs = plan.to_dict(), rings.to_dict()
    places = [entry.pop("origin") for entry in ours["provenance"]["entries"]]
    for entry in theirs["provenance"]["entries"]:
        entry.pop("origin")
    # What was asked stands in the plan as it was written.
    assert tomllib.loads(ours["job"].pop("file")) == tomllib.loads(theirs["job"].pop("file"))
    assert ours == theirs
    # Numbers of the user's own name their cells.
    assert "a.xlsx, Rings!H7" in places
    assert not any(str(tmp_path) in place for place in places)


# Five measurements, on the telephone


def test_a_workbook_is_a_shop_whatever_job_stands_in_it(book: Path) -> None:
    job = mw.Job.read(book)
    made = mw.plan(job, shop=mw.Shop.read(book), draws=0)
    assert made.parts == workbook.plan(book, draws=0).plan.parts
    # A shop of its own, whose job nobody typed: for the other jobs that come as files.
    edited(book, ("Job", "B14", None), ("Job", "B11", None))
    with pytest.raises(mw.WorkbookError, match="Job!B14"):
        mw.Job.read(book)
    shop = mw.Shop.read(book, memory=book.with_name("shop.db"))
    panels = mw.plan(DEMO / "kick-panels.toml", shop=shop, draws=0)
    assert panels.parts
    assert shop.memory.accept(panels, on="2026-11-26").job == panels.job.name


def test_a_workbook_in_another_folder_has_the_same_memory(tmp_path: Path) -> None:
    text = (DEMO / "shop.toml").read_text(encoding="utf-8")
    file = tmp_path / "shop.toml"
    file.write_text('memory = "shop.db"\n' + text, encoding="utf-8")
    (tmp_path / "other").mkdir()
    shop = mw.Shop.read(file)
    book = workbook.new(tmp_path / "other/shop.xlsx", shop=shop)
    found = mw.Shop.read(book).memory_file
    assert found
    assert Path(found).resolve() == tmp_path / "shop.db"


def test_what_is_left_empty_is_taken_from_the_row_of_what_is_usual(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    ws = wb["Panels"]
    heads = {str(c.value).removesuffix(" *"): n for n, c in enumerate(ws[4], start=1)}
    for name in heads:
        if name not in {"check", "name", "place", "width", "height"}:
            ws.cell(7, heads[name]).value = None
    ws.cell(6, heads["thickness"]).value = "1/8 in"
    wb.save(book)
    back = read_back(book)
    panel = back.job["panels"][0]
    assert panel["thickness"] == "1/8 in"
    assert (panel["hand"], panel["material"], panel["screws"]) == ("either", "abs", 6)
    assert ("panels: thickness", "1/8 in") in back.usual
    workbook.plan(book, draws=0)
    first = openpyxl.load_workbook(book).worksheets[0]
    # In a row of its own, each once, in the words of the sheet.
    assert first["A9"].value == "Taken as usual"
    told = str(first["D9"].value)
    assert "Where cells were empty: " in told
    assert told.count("panels: thickness 1/8 in") == 1
    assert "Eight jobs in ten" not in told
    quote = openpyxl.load_workbook(book)["Quote"]
    ours, theirs = (
        " ".join(str(c.value) for row in quote[area] for c in row) for area in ("F1:F20", "A1:E60")
    )
    assert "panels: thickness 1/8 in" in ours
    assert "pace of the fabricator" in ours
    assert "pace of the fabricator" not in theirs
    # The shop's own choices are no measurements of the vehicle.
    assert "panels: corner radius 12 mm" in ours
    assert "panels: corner radius" not in theirs


def test_what_is_the_samples_is_told_until_it_is_typed_over(book: Path) -> None:
    edited(book, ("Workshop", "B7", "no"), ("Job", "B12", "no"))

    def told() -> tuple[str, dict[str, str]]:
        plan, _ = workbook.plan(book, draws=0)
        from_cells = [e for e in plan.provenance.entries if "!" in (e.origin or "")]
        ours = {e.name.partition(": ")[2] for e in from_cells if "sample" in e.source}
        own = {e.name.partition(": ")[2] for e in from_cells if e.standing == "user"}
        assert ours | own == {e.name.partition(": ")[2] for e in from_cells}
        typed = {"rates.labour_per_hour", "sheets[0].price"}
        assert own >= typed if is_typed else ours >= typed
        counts = plan.provenance.counts.to_dict()
        assert sum(counts.values()) == len(plan.provenance.entries)
        wb = openpyxl.load_workbook(book)
        lines = [str(c.value or "") for c in wb["Costs"]["A"]]
        start = next((n for n, t in enumerate(lines) if t.startswith("Not yours")), len(lines))
        each = (line.partition(": ") for line in lines[start + 2 :] if ": " in line)
        seen = " ".join(str(c.value) for c in wb["Job"]["D"])
        quote = " ".join(str(v) for row in wb["Quote"]["A1:E60"] for v in row)
        assert "Not yours" not in quote
        return seen, {sheet: values for sheet, _, values in each}

    is_typed = False
    seen, sheets = told()
    assert "invented values of the sample" in seen
    assert "labour per hour 34" in sheets["Rates"]
    assert "number 2026-101" in sheets["Job"]
    assert "ABS 3 mm" in sheets["Stock"]
    assert "A-17" in sheets["Offcuts"]
    assert "measure: low 6 min" in sheets["Times"]
    wb = openpyxl.load_workbook(book)
    for sheet, label, value in (("Rates", "labour per hour", 41), ("Job", "number", "77")):
        row = next(c.row for c in wb[sheet]["A"] if str(c.value).startswith(label))
        wb[sheet].cell(row, 2).value = value
    wb["Stock"][f"{column(book, 'Stock', 'price')}7"] = 61.5
    wb.save(book)
    is_typed = True
    seen, sheets = told()
    assert "labour per hour" not in sheets["Rates"]
    assert "number" not in sheets["Job"]
    assert "ABS 3 mm" not in sheets["Stock"]
    assert "ABS 6 mm" in sheets["Stock"]


@pytest.mark.parametrize(
    ("sheet", "key", "value"),
    [
        # A round opening wider than the panel is high, beside it, above it; a corner too round.
        ("Cutouts", "width", 250),
        ("Cutouts", "right", 1000),
        ("Cutouts", "up", 1000),
        ("Panels", "corner radius", 200),
    ],
)
def test_what_does_not_fit_is_told_at_its_own_cell(
    book: Path, sheet: str, key: str, value: float
) -> None:
    cell = f"{column(book, sheet, key)}7"
    edited(book, (sheet, cell, value))
    with pytest.raises(mw.WorkbookError) as caught:
        workbook.plan(book, draws=0)
    assert [(p.sheet, p.cell) for p in caught.value.problems] == [(sheet, cell)]


def test_names_are_found_whatever_their_case_and_blanks(book: Path) -> None:
    edited(book, ("Panels", f"{column(book, 'Panels', 'place')}7", "Left  Kick panel"))
    assert read_back(book).job["panels"][0]["place"] == "left kick panel"


def test_a_shops_own_file_is_no_sample(tmp_path: Path) -> None:
    own = mw.Shop.read(DEMO / "shop.toml")
    book = workbook.new(tmp_path / "own.xlsx", shop=own)
    wb = openpyxl.load_workbook(book)
    assert not any(c.value == "invented sample" for row in wb["Stock"] for c in row)
    assert (
        {"Job", "Panels"} <= set(read_back(book).sample) <= {"Job", "Places", "Panels", "Cutouts"}
    )


def test_the_price_stands_on_the_first_sheet(book: Path) -> None:
    plan, _ = workbook.plan(book, draws=16)
    wb = openpyxl.load_workbook(book)
    assert wb.sheetnames[0] == "Job"
    assert plan.price is not None
    assert wb["Job"]["B4"].value == float(plan.price.gross)
    totals = [row for row in wb["Quote"].values if row[0] == "Fixed price"]
    assert totals[0][1:4] == tuple(float(plan.price.to_dict()[k]) for k in ("net", "tax", "gross"))


def test_the_quote_tells_the_customer_nothing_of_the_shops_own_sums(book: Path) -> None:
    workbook.plan(book, draws=16)
    words = " ".join(str(v) for row in openpyxl.load_workbook(book)["Quote"].values for v in row)
    for own in ("margin", "labour", "overhead", "allowance"):
        assert own not in words
    assert "Invented sample data" in words


STRAP = {
    "name": "strap",
    "place": "left kick panel",
    "hand": "left",
    "material": "abs",
    "body diameter": 47,
    "body mass": 300,
    "axis height": 30,
    "front screw": 50,
    "rear screw": 50,
}
"""So heavy that a fall of the vehicle into a hole tears it off."""


def strapped(path: Path) -> Path:
    workbook.new(path, kinds=["straps"])
    cells = [("Straps", f"{column(path, 'Straps', k)}7", v) for k, v in STRAP.items()]
    place = [("Places", f"{c}7", v) for c, v in zip("BCDE", PLACE, strict=True)]
    return edited(path, ("Job", "B14", "van"), *place, *cells)


PLACE = ("left kick panel", "upper-pillar", "no", "no")


def of_quote(path: Path) -> list[str]:
    """Give the sentences of the customer's part of the sheet."""
    ws = openpyxl.load_workbook(path)["Quote"]
    return [str(v) for row in ws.iter_rows(max_col=5, values_only=True) for v in row if v]


def test_a_price_of_what_fails_is_marked_as_not_to_be_handed_out(tmp_path: Path) -> None:
    book = strapped(tmp_path / "a.xlsx")
    plan, _ = workbook.plan(book, draws=16)
    failing = [c.name for c in plan.parts[0].checks if c.verdict == "fail"]
    assert failing
    wb = openpyxl.load_workbook(book)
    told = wb["Job"]["D5"]
    assert str(told.value).startswith("Not to be handed out: strap fails ")
    assert all(name in str(told.value) for name in failing)
    assert told.font.color.rgb == wb["Job"]["B4"].font.color.rgb == "00C00000"
    assert wb["Job"]["A4"].value == "Draft: price with tax"
    assert str(wb["Quote"]["A4"].value).startswith("Draft. Not to be handed out: strap fails ")
    words = of_quote(book)
    assert "Fixed price" not in words
    assert "Accepted on" not in words
    assert not any("is fixed" in text for text in words)
    # The same on the page.
    assert "not to be handed out" in quote_page(plan.to_dict())


def test_the_sheet_says_to_the_customer_what_the_page_says(tmp_path: Path) -> None:
    at = strapped(tmp_path / "a.xlsx")
    edited(at, ("Straps", f"{column(at, 'Straps', 'body mass')}7", 40), ("Job", "B29", 0.3))
    plan, _ = workbook.plan(at, draws=16)
    page = re.sub(r"<[^>]+>", " ", quote_page(plan.to_dict()).partition("<main>")[2])
    page = " ".join(html.unescape(page).split())
    words = of_quote(at)
    for part in (
        "Ask first: nothing is done beyond this total",
        "formed hot can move in a parked car",
        "the rest when the vehicle is handed back",
        "Accepted on",
        "Not in the price",
        "begins on",
    ):
        assert part in page
        assert any(part in text for text in words), part


def test_the_customer_reads_of_his_vehicle_alone_in_the_units_of_the_job(tmp_path: Path) -> None:
    book = strapped(tmp_path / "a.xlsx")
    height = column(book, "Straps", "axis height")
    edited(book, ("Straps", f"{height}7", None), ("Straps", f"{height}6", 30.48))
    edited(book, ("Job", "B17", "inch"), ("Straps", f"{column(book, 'Straps', 'body mass')}7", 40))
    workbook.plan(book, draws=16)
    (usual,) = [text for text in of_quote(book) if text.startswith("Usual values")]
    # 30.48 mm are 1.2 in by definition of the inch.
    assert usual == "Usual values stand for what was not measured yet: straps: axis height 1.2 in."
    beside = " ".join(str(c.value) for c in openpyxl.load_workbook(book)["Quote"]["F"])
    assert "turn every 8 s" in beside


def test_formulas_of_the_shops_own_find_the_answer_by_name(book: Path) -> None:
    plan, _ = workbook.plan(book, draws=16)
    wb = openpyxl.load_workbook(book)
    assert plan.price is not None
    given = plan.price.to_dict()
    for name, key in (("price", "gross"), ("net", "net"), ("tax", "tax")):
        ((sheet, cell),) = wb.defined_names[f"mountwright_{name}"].destinations
        assert wb[sheet][cell].value == float(given[key])


def test_the_sums_of_the_shop_lead_to_the_net_price(book: Path) -> None:
    rates = openpyxl.load_workbook(book)["Rates"]["A"]
    fees = next(c.row for c in rates if c.value == "fees")
    workbook.plan(edited(book, ("Rates", f"B{fees}", 0.04)), draws=16)
    costs = [(str(row[0] or ""), row[5]) for row in rows_of_sheet(book, "Costs")]
    first = next(n for n, (name, _) in enumerate(costs) if name.startswith("Cost that"))
    (_, cost), (fee, share), (left, earned), (net, price) = costs[first : first + 4]
    assert (fee[:4], left[:12], net) == ("Fees", "What is left", "Net")
    assert share == pytest.approx(0.04 * price, abs=0.015)
    assert round(cost + share + earned, 2) == price
    told = dict(costs)
    assert cost == pytest.approx(
        told["Sum of the likeliest"] + told["Allowance for what goes wrong"], abs=0.011
    )


def rows_of_sheet(path: Path, sheet: str) -> list[tuple[Any, ...]]:
    return list(openpyxl.load_workbook(path)[sheet].iter_rows(values_only=True))


def test_money_is_named_after_the_shops_currency(book: Path) -> None:
    workbook.plan(edited(book, ("Workshop", "B8", "EUR")), draws=0)
    wb = openpyxl.load_workbook(book)
    texts = [str(c.value) for ws in wb.worksheets for row in ws.iter_rows() for c in row]
    assert "EUR" in texts
    # The line of the currency itself says what XTS is.
    assert [text for text in texts if "XTS" in text and "code for tests" not in text] == []


def test_a_currency_without_small_coins_has_none_in_sentences_either(book: Path) -> None:
    changes = [("Offcuts", f"{c}7", None) for c in "BCDEFGHI"]
    workbook.plan(edited(book, ("Workshop", "B8", "JPY"), *changes), draws=0)
    wb = openpyxl.load_workbook(book)
    texts = [
        str(value)
        for ws in wb.worksheets
        if ws.title not in ("Sources", "As planned")
        for row in ws.iter_rows(values_only=True)
        for value in row
    ]
    amounts = [found for text in texts for found in re.findall(r"([\d.,]+) JPY", text)]
    assert amounts
    assert [amount for amount in amounts if "." in amount.strip(".,")] == []
    # What an hour or a metre costs may be less than a coin.
    costs = {row[0]: row for row in wb["Costs"].iter_rows()}
    rates = [row[4].number_format for row in costs.values() if isinstance(row[4].value, float)]
    assert set(rates) == {"#,##0.00"}


def test_an_estimate_on_the_least_price_is_no_range(book: Path) -> None:
    rates = openpyxl.load_workbook(book)["Rates"]
    row = next(c.row for c in rates["A"] if c.value == "minimum")
    workbook.plan(edited(book, ("Rates", f"B{row}", 5_000), ("Job", "B28", "estimate")), draws=16)
    words = " ".join(of_quote(book))
    assert "fixed by the shop's least price" in words
    assert "can end between" not in words


# Cells


LENGTH = Field("width", "", "quantity", True, unit="mm", format="length")
INCHES = Field("width", "", "quantity", True, unit="in", format="length")
SHARE = Field("tax", "", "quantity", True, unit="%", format="share")


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        (LENGTH, 310, "310 mm"),
        (LENGTH, 0.1 + 0.2, "0.3 mm"),
        (LENGTH, " 12\u00a0in ", "12 in"),
        (LENGTH, "310 mm ± 1 mm", "310 mm ± 1 mm"),
        (LENGTH, "310", "310 mm"),
        (LENGTH, 1_000_000, "1000000 mm"),
        (LENGTH, "310 +- 2", "310 mm +- 2"),
        (LENGTH, "310 ± 2 %", "310 mm ± 2 %"),
        (INCHES, "12 3/16", "12 3/16 in"),
        (INCHES, "3/16", "3/16 in"),
        (Field("m", "", "name", True, format="material", words=("abs", "pc")), "ABS", "abs"),
        (Field("on", "", "day", True, format="date"), "2026-12-01", "2026-12-01"),
        (Field("on", "", "day", True, format="moment"), "2026-12-01", "2026-12-01 00:00"),
        (LENGTH, "", None),
        (LENGTH, "  ", None),
        (LENGTH, None, None),
        (SHARE, 20, "20 %"),
        (SHARE, "7.5 %", "7.5 %"),
        (SHARE, "20", "20 %"),
        (SHARE, "40 ± 2", "40 % ± 2"),
        (Field("sun", "", "word", True, words=("mild", "hot")), "Hot", "hot"),
        (Field("by", "", "word", True, words=("hand-router",)), "hand router", "hand-router"),
        (Field("by", "", "word", True, words=("a",)), "b", "b"),
        (Field("film", "", "yes or no", False), "Yes", True),
        (Field("film", "", "yes or no", False), False, False),
        (Field("lot", "", "text", False), 17.0, "17"),
        (Field("screws", "", "whole", True), 6.0, 6),
        (Field("price", "", "money", True), "14.50", 14.5),
        (Field("on", "", "day", True, format="date"), dt.datetime(2026, 12, 1), "2026-12-01"),
        (
            Field("start", "", "day", True, format="moment"),
            dt.datetime(2026, 12, 1, 8, 29, 59, 999_000),
            "2026-12-01 08:30",
        ),
        (Field("breaks", "", "whole", False, many=True), "1; 3;6", [1, 3, 6]),
        (Field("breaks", "", "whole", False, many=True), "1, 3,6", [1, 3, 6]),
        (Field("breaks", "", "whole", False, many=True), "1,\n3", [1, 3]),
        (
            Field("closed", "", "day", False, many=True, format="date"),
            "2026-12-25, 2026-12-26",
            ["2026-12-25", "2026-12-26"],
        ),
        (Field("breaks", "", "whole", False, many=True), 3, [3]),
        (Field("says", "", "text", False, many=True), "a; b\nc", ["a; b", "c"]),
    ],
)
def test_a_cell_says_what_the_file_would_say(field: Field, typed: Any, said: Any) -> None:
    assert read(field, typed, unit=field.unit, percent=False) == said
    if said is not None and said != "b":
        again = write(field, said)
        assert read(field, again, unit=field.unit, percent="%" in field.unit) == said


def test_a_percentage_is_a_share_of_a_hundred() -> None:
    assert read(SHARE, 0.2, unit="%", percent=True) == "20 %"
    assert write(SHARE, "20 %") == 0.2


@pytest.mark.parametrize(
    ("field", "typed", "told"),
    [
        (LENGTH, dt.datetime(2026, 8, 1), "is a date"),
        (LENGTH, dt.time(8, 30), "time of day"),
        (SHARE, 0.2, "is that 0.2 % or 20 %"),
        *((SHARE, text, "is that 0.4 % or 40 %") for text in ("0.4", ".4", ".40", "+.4", "2/5")),
        (SHARE, "0.4 ± 0.05", "is that 0.4 % or 40 %"),
        (SHARE, "4e-1", "is that 0.4 % or 40 %"),
        (LENGTH, "3,5", 'write "3.5"$'),
        (LENGTH, "3,500 mm", 'write "3.500 mm" or "3500 mm"$'),
        (LENGTH, "about 300", 'write "300"$'),
        (Field("price", "", "money", True), "58,50", 'write "58.50"$'),
        (Field("screws", "", "whole", True), "ca. 6", 'write "6"$'),
        (Field("lot", "", "text", False), dt.datetime(2026, 11, 1), "is a date"),
    ],
)
def test_what_cannot_be_meant_is_said(field: Field, typed: Any, told: str) -> None:
    with pytest.raises(CellFault, match=told):
        read(field, typed, unit=field.unit, percent=False)


# Faults


def test_all_faults_come_at_once_by_sheet_and_cell(book: Path) -> None:
    width = column(book, "Panels", "width")
    finish = column(book, "Panels", "finish")
    material = column(book, "Panels", "material")
    price = column(book, "Stock", "price")
    edited(
        book,
        ("Job", "B14", None),  # the vehicle
        ("Panels", f"{width}7", "31 °C"),
        ("Panels", f"{finish}7", "gilded"),
        ("Panels", f"{material}7", "abss"),
        ("Cutouts", "B7", "kick pannel"),
        ("Stock", f"{price}8", "dear"),
        ("Stock", f"{price}9", "=1+1"),
    )
    found = faults(book)
    assert found["Job!B14"].startswith("missing; The vehicle")
    assert "expected a length" in found[f"Panels!{width}7"]
    assert "allowed are: bare" in found[f"Panels!{finish}7"]
    assert 'no material is called "abss"; nearest: abs' in found[f"Panels!{material}7"]
    assert "names none of panels; there are: kick panel" in found["Cutouts!B7"]
    assert "expected a number" in found[f"Stock!{price}8"]
    assert "formula without a stored result" in found[f"Stock!{price}9"]
    assert len(found) == 7
    with pytest.raises(mw.WorkbookError) as caught:
        read_back(book)
    first, *lines = str(caught.value).splitlines()
    assert first == f"{book}: 7 faults"
    assert lines[0].startswith("  Job!B14 (vehicle): missing")
    # In the order of the sheets.
    sheets = [p.sheet for p in caught.value.problems]
    assert sheets == ["Job", "Panels", "Panels", "Panels", "Cutouts", "Stock", "Stock"]


def test_a_fault_of_what_is_usual_names_the_row_of_what_is_usual(book: Path) -> None:
    edge = column(book, "Panels", "screw edge")
    edited(book, ("Panels", f"{edge}6", "9 °C"), ("Panels", f"{edge}7", None))
    assert "expected a length" in faults(book)[f"Panels!{edge}6"]


def test_a_fault_of_one_of_several_values_names_their_line(book: Path) -> None:
    row = next(c.row for c in openpyxl.load_workbook(book)["Job"]["A"] if c.value == "breaks")
    edited(book, ("Job", f"B{row}", "1, three"))
    with pytest.raises(mw.WorkbookError, match=rf"Job!B{row} \(quote: breaks\): is \"three\""):
        read_back(book)
    assert "Several: 1; 3; 6" in str(openpyxl.load_workbook(book)["Job"][f"D{row}"].value)


def test_a_part_that_cannot_be_made_names_its_cells(book: Path) -> None:
    """Found by the plan, after the parser: a cutout that leaves its panel."""
    edited(book, ("Cutouts", f"{column(book, 'Cutouts', 'right')}7", 400))
    with pytest.raises(mw.WorkbookError) as caught:
        workbook.plan(book, draws=0)
    assert {p.sheet for p in caught.value.problems} <= {"Cutouts", "Panels"}
    assert all(p.cell for p in caught.value.problems)


def test_a_cutout_that_is_too_large_names_its_own_cell_in_the_shops_units(book: Path) -> None:
    cell = f"{column(book, 'Cutouts', 'width')}7"
    edited(book, ("Cutouts", cell, 500))
    with pytest.raises(mw.WorkbookError) as caught:
        workbook.plan(book, draws=0)
    [problem] = caught.value.problems
    assert (problem.sheet, problem.cell) == ("Cutouts", cell)
    assert "is 500 mm, allowed is 0 to 310 mm" in problem.message


def test_a_panel_without_a_name_is_one_fault(book: Path) -> None:
    edited(book, ("Panels", f"{column(book, 'Panels', 'name')}7", None))
    [(cell, message)] = faults(book).items()
    assert cell.startswith("Panels!")
    assert message.startswith("missing")


def test_an_error_in_a_cell_is_told(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    cell = wb["Stock"][f"{column(book, 'Stock', 'price')}7"]
    cell.value, cell.data_type = "#REF!", "e"
    wb.save(book)
    assert list(faults(book).values()) == ["holds the error #REF!"]


@pytest.mark.parametrize("typed", [0.4, "0.4", ".4"])
def test_a_share_that_may_be_meant_two_ways_is_refused_in_either_form(
    typed: float | str, book: Path
) -> None:
    wb = openpyxl.load_workbook(book)
    cell = wb["Rates"]["B7"]
    assert wb["Rates"]["A7"].value == "margin"
    cell.value, cell.number_format = typed, "General"
    wb.save(book)
    assert faults(book)["Rates!B7"].startswith("is 0.4: is that 0.4 % or 40 %?")


@pytest.mark.parametrize(
    ("sheet", "label", "instead"),
    [
        ("Panels", "finish", "surface"),
        ("Panels", "corner radius", "corner radius (mm)"),
        ("Panels", "corner radius", "corner radius [mm]"),
        ("Panels", "finish", None),
        ("Panels", "width", "breadth"),
        ("Cutouts", "panel", "board"),
        ("Rates", "minimum", "minimum price"),
        ("Rates", "labour per hour", "wages"),
        ("Job", "vehicle", "car"),
    ],
)
def test_a_label_that_is_not_known_is_a_fault_of_its_cell(
    sheet: str, label: str, instead: str | None, book: Path
) -> None:
    """Also where its key may be left out: what was typed must not be lost."""
    wb = openpyxl.load_workbook(book)
    cell = labelled(wb[sheet], label)
    cell.value = instead
    wb.save(book)
    found = faults(book)
    assert set(found) == {f"{sheet}!{cell.coordinate}"}
    assert "would not be read" in next(iter(found.values())) or sheet == "Cutouts"


def labelled(ws: Any, label: str) -> Any:
    """Find a heading, or the label of a line."""
    return next(
        cell
        for row in ws.iter_rows(max_row=60)
        for cell in row
        if str(cell.value or "").removesuffix(" *") == label
    )


def test_a_needed_column_without_a_heading_is_told_once(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    ws: Any = wb["Panels"]
    head = labelled(ws, "width")
    head.value = None
    for row in range(7, 10):
        ws.cell(row, head.column).value = None
        ws.cell(row, 2).value = f"panel {row}"
    wb.save(book)
    found = faults(book)
    assert found[f"Panels!{head.coordinate}"].startswith("missing; Width")


def test_a_deleted_column_is_told_at_the_start_of_its_table(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    ws: Any = wb["Panels"]
    ws.delete_cols(labelled(ws, "width").column)
    wb.save(book)
    found = faults(book)
    assert list(found) == ["Panels!A4"]
    assert found["Panels!A4"].startswith("the column width is not there any more")


def test_lines_and_headings_of_times_must_be_known(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    ws: Any = wb["Times"]
    assert ws["B5"].value == "low [min]"
    ws["A6"], ws["B6"] = "sharpening", 3
    ws["C5"] = "likely [mm]"
    wb.save(book)
    found = faults(book)
    assert set(found) == {"Times!A6", "Times!C5"}
    assert 'the unit "mm"' in found["Times!C5"]


def test_faults_speak_of_cells_not_of_the_file(book: Path) -> None:
    names = [c for c in "BCDEFGHIJKLMNOP" if openpyxl.load_workbook(book)["Panels"][f"{c}7"].value]
    panels = openpyxl.load_workbook(book)["Panels"]
    edited(book, *(("Panels", f"{c}8", panels[f"{c}7"].value) for c in names))
    told = faults(book)["Panels!B8"]
    assert "stands already at Panels!B7" in told
    # A job of no part.
    edited(book, *(("Panels", f"{c}{row}", None) for c in names for row in (7, 8)))
    edited(book, *(("Cutouts", f"{c}7", None) for c in "BCDEFGHI"))
    told = " ".join(faults(book).values())
    assert "sheet Straps" in told
    assert "[[" not in told


def test_money_is_whole_cents_and_lengths_hundredths(rings: mw.Plan, tmp_path: Path) -> None:
    wb = openpyxl.load_workbook(workbook.write(tmp_path / "a.xlsx", rings))
    for title in ("Quote", "Costs", "Cut list"):
        for cell in (c for row in wb[title].iter_rows() for c in row):
            if isinstance(cell.value, float) and cell.number_format in ("#,##0.00", "0.0"):
                assert cell.value == round(cell.value, 2), (title, cell.coordinate)


def test_layouts_and_cautions_are_not_cut_through(rings: mw.Plan, tmp_path: Path) -> None:
    wb = openpyxl.load_workbook(workbook.write(tmp_path / "a.xlsx", rings))
    ws: Any = wb["Cut list"]
    pictures = ws._images
    assert pictures
    assert len(ws.row_breaks.brk) >= len(pictures) - 1
    for picture in pictures:
        top = picture.anchor._from.row + 1
        # In points of 12,700 English metric units (ECMA-376, part 1, 20.1.2.1).
        bottom = top + round(picture.anchor.ext.height / 12_700 / 15)
        assert not any(top <= one.id < bottom for one in ws.row_breaks.brk)
    notes = [str(c.value) for c in wb["Recipes"]["A"]]
    assert "Cautions" not in notes


def test_no_heading_of_the_workbook_is_in_powers_of_ten(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    texts = [str(c.value) for ws in wb.worksheets for row in ws.iter_rows() for c in row]
    assert not any("e+0" in text for text in texts)
    # What is empty is drawn over by the unit of a column that is folded away.
    for title in ("Panels", "Stock", "Merchants"):
        assert wb[title][f"{column(book, title, 'own remarks')}5"].value


@pytest.mark.parametrize(
    ("sheet", "label", "value"),
    [("Places", "H4", "H7"), ("Rates", "A23", "B23"), ("Job", "A34", "B34"), ("Job", "A22", "B22")],
)
def test_what_adjoins_a_block_is_read_or_a_fault(
    book: Path, sheet: str, label: str, value: str
) -> None:
    edited(book, (sheet, label, "extra fee"), (sheet, value, 7))
    told = faults(book)
    assert list(told) == [f"{sheet}!{label}"]
    assert '"extra fee", which is not known' in told[f"{sheet}!{label}"]
    # Under a heading of ours, or with nothing typed to it, or apart, it is no fault.
    edited(book, (sheet, value, None))
    read_back(book)
    edited(book, (sheet, label, "own remarks"), (sheet, value, 7))
    read_back(book)


def test_what_stands_apart_from_a_block_is_the_shops_own(book: Path) -> None:
    ours = read_back(book)
    edited(
        book,
        ("Places", "I4", "extra fee"),
        ("Places", "I7", 7),
        ("Job", "A36", "extra fee"),
        ("Job", "B36", 7),
    )
    theirs = read_back(book)
    assert (ours.job, ours.shop) == (theirs.job, theirs.shop)


def test_blanks_and_case_of_a_label_are_no_matter(book: Path) -> None:
    before = read_back(book)
    wb = openpyxl.load_workbook(book)
    labelled(wb["Panels"], "width").value = "  WIDTH *"
    labelled(wb["Panels"], "corner radius").value = "Corner  radius"
    labelled(wb["Rates"], "minimum").value = "Minimum "
    wb.save(book)
    after = read_back(book)
    assert (after.job, after.shop) == (before.job, before.shop)


def test_own_remarks_may_stand_among_the_lines(book: Path) -> None:
    before = read_back(book)
    wb = openpyxl.load_workbook(book)
    ws: Any = wb["Rates"]
    free = labelled(ws, "markup")
    assert ws.cell(free.row, 2).value is None
    free.value = "own remarks"
    ws.cell(free.row, 2).value = "ask about the rent"
    wb.save(book)
    assert read_back(book).shop == before.shop


def test_merged_cells_are_told(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    ws = wb["Stock"]
    material = column(book, "Stock", "material")
    assert ws[f"{material}8"].value is not None
    ws.merge_cells(f"{material}7:{material}8")
    wb.save(book)
    assert "unmerge" in faults(book)[f"Stock!{material}8"]


def test_a_wrong_unit_is_a_fault_of_its_own_cell(book: Path) -> None:
    width = column(book, "Panels", "width")
    height = column(book, "Panels", "height")
    typed = (
        ("Panels", f"{width}5", "inn"),
        ("Panels", f"{height}5", "1/2 in"),
        ("Rates", "C7", "mm"),
    )
    edited(book, *typed)
    found = faults(book)
    assert set(found) == {f"Panels!{width}5", f"Panels!{height}5", "Rates!C7"}
    assert "use one of mm, cm, m" in found[f"Panels!{width}5"]


def test_too_many_rows_are_a_fault_of_the_first_beyond(book: Path) -> None:
    most = next(r.most for r in regions() if r.path == "panels")
    wb = openpyxl.load_workbook(book)
    ws: Any = wb["Panels"]
    for row in range(8, 7 + most + 3):
        for cell in ws[7][1:]:
            ws.cell(row, cell.column).value = cell.value
        ws.cell(row, 2).value = f"panel {row}"
    wb.save(book)
    [(cell, message)] = faults(book).items()
    assert cell == f"Panels!B{7 + most}"
    assert f"has {most + 3} entries" in message


def test_two_columns_of_one_key_are_told(book: Path) -> None:
    edited(book, ("Panels", f"{column(book, 'Panels', 'own remarks')}4", "width"))
    assert "stands in two columns" in " ".join(faults(book).values())


# A person's own


def test_nothing_that_was_typed_is_lost(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    mine = wb.create_sheet("My sums", 2)
    mine["A1"], mine["A2"], mine["A3"] = 3.5, "=A1*2", '=HYPERLINK("x","y")'
    mine["A4"], mine["A5"] = dt.datetime(2026, 1, 2, 3, 4), True
    mine["B1"] = "bold"
    mine["B1"].font = Font(bold=True, color="FF00AA")
    mine["B1"].comment = Comment("my note", "me")
    mine["B2"].number_format, mine["B2"].value = "0.000", 1.5
    mine.merge_cells("C1:D2")
    mine.column_dimensions["C"].width = 33
    quote = wb.create_sheet("Quote")
    quote["A1"] = "my own letter"
    wb.create_sheet("hidden").sheet_state = "hidden"
    wb["Panels"][f"{column(book, 'Panels', 'own remarks')}9"] = "ask about the clips"
    wb.defined_names["my_rate"] = DefinedName("my_rate", attr_text="'My sums'!$A$1")
    wb["Rates"]["F5"] = "=B5*1.1"
    wb["Panels"].column_dimensions["D"].width = 55
    wb.save(book)
    before = openpyxl.load_workbook(book)
    for _ in range(2):
        workbook.plan(book, draws=0)
        after = openpyxl.load_workbook(book)
        for ws in before.worksheets:
            now = after[ws.title]
            if ws.title == "Job":
                continue
            for row in ws.iter_rows():
                for cell in row:
                    twin = now[cell.coordinate]
                    assert twin.value == cell.value, (ws.title, cell.coordinate)
                    assert twin.number_format == cell.number_format
                    assert (twin.comment is None) == (cell.comment is None)
            assert now.sheet_state == ws.sheet_state
            assert now.merged_cells.ranges == ws.merged_cells.ranges
        kept = after["My sums"]["B1"]
        assert (kept.comment.text, kept.font.b, kept.font.color.rgb) == (
            "my note",
            True,
            "00FF00AA",
        )
        assert after["My sums"].column_dimensions["C"].width == 33
        assert after["Panels"].column_dimensions["D"].width == 55
        assert "my_rate" in after.defined_names
        # A sheet of ours keeps off a title that is taken, also the second time.
        assert after["Quote"]["A1"].value == "my own letter"
        assert [t for t in after.sheetnames if t.startswith("Quote")] == ["Quote1", "Quote"]


def test_formulas_are_read_by_their_stored_results_and_keep_them(book: Path) -> None:
    """A result is stored as an office program stores it; two plans in a row read it twice."""
    price = f"{column(book, 'Stock', 'price')}7"
    edited(book, ("Stock", price, "=29*2"))
    stored(book, {"Stock": {price: "58"}})
    for _ in range(2):
        plan, _ = workbook.plan(book, draws=0)
        assert openpyxl.load_workbook(book)["Stock"][price].value == "=29*2"
        assert openpyxl.load_workbook(book, data_only=True)["Stock"][price].value == 58
    assert plan.price is not None


def stored(path: Path, results: dict[str, dict[str, str]]) -> None:
    """Store results of formulas, as ECMA-376 has it: `<v>` beside `<f>`."""
    wb = openpyxl.load_workbook(path)
    numbered = enumerate(wb.sheetnames, start=1)
    parts = {f"xl/worksheets/sheet{number}.xml": title for number, title in numbered}
    with zipfile.ZipFile(path) as old:
        texts = {info.filename: old.read(info) for info in old.infolist()}
    with zipfile.ZipFile(path, "w") as new:
        for name, data in texts.items():
            for cell, value in results.get(parts.get(name, ""), {}).items():
                pattern = rf'(<c r="{cell}"[^>]*><f>.*?</f>)<v ?/>'.encode()
                data, count = re.subn(pattern, rb"\1<v>" + value.encode() + b"</v>", data)
                assert count == 1
            new.writestr(name, data)


def test_sheets_and_columns_may_be_moved_and_renamed(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    wb["Panels"].title = "Our panels"
    wb.move_sheet("Stock", -5)
    ws = wb["Our panels"]
    left, right = column(book, "Panels", "width"), column(book, "Panels", "height")
    for row in range(4, 8):
        a, b = ws[f"{left}{row}"], ws[f"{right}{row}"]
        a.value, b.value = b.value, a.value
    for name in ("mountwright_job_panels", "mountwright_list_job_panels"):
        old = wb.defined_names[name].attr_text
        wb.defined_names[name].attr_text = old.replace("'Panels'", "'Our panels'")
    wb.save(book)
    back = read_back(book)
    assert (back.job["panels"][0]["width"], back.job["panels"][0]["height"]) == ("310 mm", "215 mm")
    assert workbook.plan(book, draws=0).plan.parts[0].name == "kick panel"


def test_a_sheet_may_have_an_apostrophe_in_its_title(book: Path) -> None:
    before = read_back(book)
    wb = openpyxl.load_workbook(book)
    for old, new in (("Offcuts", "Joe's offcuts"), ("Job", "Joe''s job")):
        wb[old].title = new
        quoted = new.replace("'", "''")
        for name in wb.defined_names.values():
            name.attr_text = name.attr_text.replace(f"'{old}'!", f"'{quoted}'!")
    wb.save(book)
    after = read_back(book)
    assert before.shop["offcuts"]
    assert (after.job, after.shop) == (before.job, before.shop)
    plan, _ = workbook.plan(book, draws=0)
    assert plan.price is not None
    assert openpyxl.load_workbook(book)["Joe''s job"]["B4"].value == float(plan.price.gross)


def test_a_table_whose_sheet_is_not_found_is_told(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    wb.defined_names["mountwright_shop_offcuts"].attr_text = "'Rack'!$A$4:$F$4"
    wb.save(book)
    assert "Rack!$A$4:$F$4, which is not there" in faults(book)["!"]


def test_the_unit_in_the_heading_counts(book: Path) -> None:
    width = column(book, "Panels", "width")
    edited(book, ("Panels", f"{width}5", "in"), ("Panels", f"{width}7", 12))
    assert read_back(book).job["panels"][0]["width"] == "12 in"


@pytest.mark.parametrize("first", "=+-@")
def test_text_never_becomes_a_formula(first: str, tmp_path: Path) -> None:
    text = (DEMO / "door-rings.toml").read_text(encoding="utf-8")
    evil = f"{first}cmd|' /C calc'!A0"
    text = text.replace("Front door rings and a kick panel", evil)
    text = text.replace('"kick panel"', f'"{evil} part"').replace("the green van", f"{evil} van")
    job = mw.Job.from_text(text, path=str(DEMO / "door-rings.toml"))
    shop = mw.Shop.read(DEMO / "shop.toml")
    plan = mw.plan(job, shop=shop, draws=0)
    out = plan.write_workbook(tmp_path / "out" / "job.xlsx")
    filled = workbook.new(tmp_path / "in.xlsx", job=job, shop=shop)
    workbook.plan(filled, draws=0)
    seen = 0
    for path in (out, filled):
        wb = openpyxl.load_workbook(path)
        for ws in wb.worksheets:
            for row in ws.iter_rows():
                for cell in row:
                    if isinstance(cell.value, str) and cell.value.startswith(evil):
                        seen += 1
                        assert cell.data_type == "s", (ws.title, cell.coordinate)
                        assert cell.quotePrefix, (ws.title, cell.coordinate)
                    elif cell.data_type == "f":
                        assert evil not in str(cell.value)
    assert seen > 8
    assert read_back(filled).job["name"] == evil


# Results


def test_the_results_stand_in_a_workbook_of_their_own(pods: mw.Plan, tmp_path: Path) -> None:
    at = pods.write_workbook(tmp_path / "deep" / "job.xlsx")
    wb = openpyxl.load_workbook(at)
    assert tuple(wb.sheetnames) == SHOWN
    texts = {ws.title: " ".join(str(v) for r in ws.values for v in r if v) for ws in wb.worksheets}
    assert "left pod" in texts["Recipes"]
    assert "Then heat on" in texts["Recipes"]
    assert "offcut A-17" in texts["Cut list"]
    assert "air bag" in texts["Checks"]
    assert "published" in texts["Sources"]
    assert len(wb["Cut list"]._images) == len([d for d in pods.drawings if d.kind == "layout"])  # type: ignore[attr-defined]
    entries = pods.provenance.to_dict()["entries"]
    assert sum(1 for row in wb["Sources"].values if row[0] in {e["name"] for e in entries}) == len(
        entries
    )
    # A second plan replaces the sheets and adds none.
    assert pods.write_workbook(at) == at
    assert tuple(openpyxl.load_workbook(at).sheetnames) == SHOWN


def test_each_blank_of_the_cut_list_is_there_once(rings: mw.Plan, tmp_path: Path) -> None:
    ws = openpyxl.load_workbook(rings.write_workbook(tmp_path / "job.xlsx"))["Cut list"]
    rows = {(r[1], r[2]) for r in ws.values if isinstance(r[2], int)}
    placed = [
        (p["part"], p["copy"])
        for layout in rings.to_dict()["layouts"]
        for stock in layout["sheets_used"]
        for p in stock["placements"]
    ]
    assert rows == set(placed)
    assert len(placed) == len(set(placed)) > 4


def test_every_sheet_is_set_up_for_paper(book: Path) -> None:
    workbook.plan(book, draws=0)
    for ws in openpyxl.load_workbook(book).worksheets:
        if ws.sheet_state == "visible":
            # What the customer gets is a letter, no page of the shop's workbook.
            way = "portrait" if ws.title == "Quote" else "landscape"
            assert ws.page_setup.orientation == way, ws.title
            footer: Any = ws.oddFooter
            assert ("&N" in str(footer.right.text)) == (ws.title != "Quote")
            assert ws.page_setup.paperSize in (9, "9")
            assert ws.freeze_panes, ws.title


def test_input_cells_are_open_and_formulas_are_not(book: Path) -> None:
    wb = openpyxl.load_workbook(book)
    for page in pages():
        ws = wb[page.title]
        assert ws.protection.sheet
        for row in ws.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    assert cell.protection.locked, (ws.title, cell.coordinate)
    assert not wb["Panels"]["B7"].protection.locked
    assert not wb["Panels"]["B29"].protection.locked
    assert not wb["Rates"]["B5"].protection.locked


def test_a_file_that_is_there_is_not_replaced(book: Path) -> None:
    before = book.read_bytes()
    with pytest.raises(FileExistsError):
        workbook.new(book)
    assert book.read_bytes() == before


def test_kinds_of_part_are_shown_when_asked_for(tmp_path: Path) -> None:
    with pytest.raises(mw.UnknownNameError, match="hats"):
        workbook.new(tmp_path / "a.xlsx", kinds=["hats"])
    wb = openpyxl.load_workbook(workbook.new(tmp_path / "a.xlsx", kinds=["straps"]))
    # No sample of another kind is planned, and charged, beside what is typed.
    typed = [wb[name].cell(7, column).value for name in ("Panels", "Places") for column in (2, 3)]
    assert typed == [None] * 4
    assert wb["Straps"].sheet_state == "visible"
    assert wb["Rings"].sheet_state == "hidden"


@pytest.mark.parametrize("missing", ["openpyxl", "resvg_py"])
def test_a_missing_extra_is_named(
    missing: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in [n for n in sys.modules if n.startswith("mountwright.workbook.")]:
        monkeypatch.delitem(sys.modules, name)
    for name in ("writer", "reader", "results", "inputs", "style", "answer_bench"):
        monkeypatch.delattr(workbook, name, raising=False)
    monkeypatch.setitem(sys.modules, missing, None)
    with pytest.raises(ImportError, match=rf"{missing}.*pip install 'mountwright\[workbook\]'"):
        workbook.new(tmp_path / "a.xlsx")


def test_what_the_shops_memory_says_stands_on_a_sheet(book: Path) -> None:
    sheet, label = next(
        (page.title, f.label)
        for page in pages()
        for region in page.regions
        if region.file == "shop" and region.path == ""
        for f in region.fields
        if f.key == "memory"
    )
    ws = openpyxl.load_workbook(book)[sheet]
    row = next(c.row for c in ws["A"] if str(c.value or "").removesuffix(" *") == label)
    edited(book, (sheet, f"B{row}", "shop.db"))
    planned = workbook.plan(book, draws=0)
    # Not there yet: a plan makes none.
    assert "Memory" not in openpyxl.load_workbook(book).sheetnames
    assert not (book.parent / "shop.db").exists()
    _, shop = read_back(book).files()
    shop.memory.accept(planned.plan, on="2026-12-07")
    shop.memory.close(planned.plan.job.name, minutes={"cut": 30}, on="2026-12-08")
    workbook.plan(book, draws=0)
    answers = openpyxl.load_workbook(book)["Memory"]
    rows: dict[Any, list[Any]] = {}
    for row in answers.iter_rows(values_only=True):
        rows.setdefault(row[0], list(row))
    price = planned.plan.price
    assert price is not None
    assert rows["panel"][1:3] == [1, price.currency]
    assert rows["panel"][3] == pytest.approx(float(price.net), abs=0.005)
    # What was typed at the closing: half an hour of cutting.
    assert rows["cut"][3] == 30
    assert {answers.cell(r, 4).number_format for r in range(4, 8)} >= {"#,##0.00"}
