"""A workbook goes through an office program and back: it calculates, saves, and prints.

LibreOffice, headless, is the stand-in for whatever the shop uses. Without it these tests are
skipped, but never where `.ci/run` installs it.
"""

import os
import shutil
import subprocess
from pathlib import Path
from typing import Any

import openpyxl
import pypdf
import pytest

import mountwright as mw
from mountwright import workbook
from mountwright.workbook.reader import read
from mountwright.workbook.results import CHANGED, UNCHANGED

DEMO = Path(__file__).parents[2] / "demo-data"

pytestmark = pytest.mark.skipif(
    shutil.which("soffice") is None and os.environ.get("CI") != "true",
    reason="LibreOffice is not installed: apt-get install libreoffice-calc",
)


@pytest.fixture(scope="session")
def profile(tmp_path_factory: pytest.TempPathFactory) -> str:
    return (tmp_path_factory.mktemp("office") / "profile").as_uri()


def through(path: Path, profile: str, form: str = "xlsx") -> Path:
    """Have it opened, calculated and saved by the office program; over itself, as a person does."""
    out = path.parent / "out"
    done = subprocess.run(
        [
            *("soffice", "--headless", f"-env:UserInstallation={profile}"),
            *("--convert-to", form, "--outdir", str(out), str(path)),
        ],
        capture_output=True,
        text=True,
        timeout=300,
        check=True,
    )
    made = out / f"{path.stem}.{form}"
    assert made.is_file(), done.stderr
    return made.replace(path) if form == "xlsx" else made


def values(path: Path, sheet: str) -> dict[str, Any]:
    ws = openpyxl.load_workbook(path, data_only=True)[sheet]
    return {c.coordinate: c.value for row in ws.iter_rows() for c in row if c.value is not None}


def test_there_and_back_twice(tmp_path: Path, profile: str) -> None:
    """Written, saved by the office program, planned, edited, saved again, planned again."""
    job, shop = mw.Job.read(DEMO / "kick-panels.toml"), mw.Shop.read(DEMO / "shop.toml")
    path = workbook.new(tmp_path / "shop.xlsx", job=job, shop=shop)
    before = read(path)
    wb = openpyxl.load_workbook(path)
    mine = wb.create_sheet("My sums")
    mine["A1"], mine["A2"], mine["A3"] = 30, "=A1+A1", '="no"&"te"'
    price = next(c.column_letter for c in wb["Stock"][4] if c.value == "price *")
    wb["Stock"][f"{price}9"] = "='My sums'!A1+28"
    wb.save(path)
    with pytest.raises(mw.WorkbookError, match=rf"Stock!{price}9 .*without a stored result"):
        workbook.plan(path, draws=0)

    through(path, profile)
    after = read(path)
    assert after.job == before.job
    assert after.shop["sheets"][2]["price"] == 58 == before.shop["sheets"][2]["price"]
    assert after.shop == before.shop
    # Its own formulas: every row that is filled is complete, the others say nothing.
    checks = {k: v for k, v in values(path, "Panels").items() if k.startswith("A") and k > "A6"}
    assert set(checks.values()) - {"A7"} >= {"✓"}
    assert "fill in" not in checks.values()
    assert values(path, "Job")["B8"] == 0
    rates = values(path, "Rates")
    hour = next(k for k, v in rates.items() if v == "an hour costs").replace("A", "B")
    sold = next(k for k, v in rates.items() if v == "an hour sells at").replace("A", "B")
    assert (rates[hour], rates[sold]) == (50, pytest.approx(50 / 0.6))

    plan, written = workbook.plan(path, draws=0)
    assert written == path
    gross = float(plan.price.gross)  # type: ignore[union-attr]
    assert values(path, "Job")["B4"] == gross
    assert values(path, "Job")["D4"] == UNCHANGED
    assert values(path, "My sums") == {"A1": 30, "A2": 60, "A3": "note"}

    # The office program agrees that nothing has changed, and sees when something has.
    through(path, profile)
    assert values(path, "Job")["D4"] == UNCHANGED
    assert values(path, "Job")["B4"] == gross
    wb = openpyxl.load_workbook(path)
    width = next(c.column_letter for c in wb["Panels"][4] if c.value == "width *")
    wb["Panels"][f"{width}7"] = 420
    wb["My sums"]["A1"] = 31
    wb.save(path)
    through(path, profile)
    assert values(path, "Job")["D4"] == CHANGED
    again, written = workbook.plan(path, draws=0)
    assert written == path
    assert again.price.gross != plan.price.gross  # type: ignore[union-attr]
    assert values(path, "My sums")["A2"] == 62
    assert values(path, "Job")["D4"] == UNCHANGED
    # Far beneath what is ruled, too: it is read from there.
    wb = openpyxl.load_workbook(path)
    wb["Panels"]["B40"] = "one more"
    wb.save(path)
    through(path, profile)
    assert values(path, "Job")["D4"] == CHANGED


def test_what_the_office_program_adds_is_kept(tmp_path: Path, profile: str) -> None:
    """Notes, lists to choose from and colours survive the office program and the plan."""
    path = through(workbook.new(tmp_path / "shop.xlsx"), profile)
    workbook.plan(path, draws=0)
    ws = openpyxl.load_workbook(path)["Panels"]
    head = next(c for c in ws[4] if c.value == "width *")
    assert "Allowed: 20 mm to 2000 mm" in head.comment.text  # type: ignore[union-attr]
    lists = [v.formula1 for v in ws.data_validations.dataValidation if v.type == "list"]
    assert "mountwright_list_material" in lists
    assert len(ws.conditional_formatting) == 1
    assert ws.protection.sheet


@pytest.mark.parametrize("job", ["pillar-pods.toml", "kick-panels.toml"])
def test_it_prints_on_paper(job: str, tmp_path: Path, profile: str) -> None:
    files = mw.Job.read(DEMO / job), mw.Shop.read(DEMO / "shop.toml")
    path = workbook.new(tmp_path / "shop.xlsx", job=files[0], shop=files[1])
    workbook.plan(path, draws=16)
    pages = pypdf.PdfReader(through(path, profile, "pdf")).pages
    texts = [page.extract_text() for page in pages]
    # What a shop prints is a few pages; a sheet of input is a page or two.
    wb = openpyxl.load_workbook(path)
    shown = [ws.title for ws in wb.worksheets if ws.sheet_state == "visible"]
    printed = [text.split()[-5:] for text in texts]
    assert sum(any(word in {"Quote", "Recipes", "Day"} for word in words) for words in printed) <= 7
    assert sum("Sources" in words for words in printed) <= 1
    assert len(pages) <= len(shown) + 6
    for page in pages:
        # A4: ISO 216, 297 by 210 millimetres, across but for the customer's quote.
        sides = [float(s) / 72 * 25.4 for s in (page.mediabox.width, page.mediabox.height)]
        upright = "Fixed price" in page.extract_text()
        assert sides == pytest.approx([210, 297] if upright else [297, 210], abs=1)
    for text in texts:
        for wrong in ("###", "#NAME?", "#REF!", "#VALUE!", "Err:5"):
            assert wrong not in text, text
    assert "What is made, for which vehicle" in texts[0]
    assert any("Fixed price" in text for text in texts)
