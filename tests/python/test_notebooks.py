"""Notebooks run from a clean kernel, hold no output in git, and leave their user something."""

import csv
import importlib
import itertools
import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest

import mountwright as mw

NEAR = ("100 mm", "3 mm")
ROOT = Path(__file__).parents[2]
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))
# What its user takes away, below `out/`.
TAKEN = {
    "pillar_pod": ("pillar-pod/packet.html", "pillar-pod/quote.html"),
    "pricing_panels": (
        "pricing-panels/quote.html",
        "pricing-panels/alternatives.csv",
        "pricing-panels/sizes.csv",
    ),
    "heat_gun_lesson": ("heat-gun-lesson/before.html",),
}


def cells(path: Path) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return found


def test_there_is_a_notebook_for_each_user() -> None:
    assert {path.stem for path in NOTEBOOKS} == set(TAKEN)


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_no_output_is_kept_in_git(path: Path) -> None:
    book = json.loads(path.read_text(encoding="utf-8"))
    assert set(book["metadata"]) <= {"kernelspec", "language_info"}
    assert set(book["metadata"]["language_info"]) == {"name"}
    for cell in book["cells"]:
        assert cell["metadata"] == {}
        if cell["cell_type"] == "code":
            assert cell["outputs"] == []
            assert cell["execution_count"] is None


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
def test_a_notebook_says_for_whom_it_is_and_what_can_hurt(path: Path) -> None:
    first = "".join(cells(path)[0]["source"])
    assert first.startswith("# ")
    assert "For the " in first
    words = "".join("".join(c["source"]) for c in cells(path) if c["cell_type"] == "markdown")
    assert "> **Cautions" in words
    assert "licensed practice" in words
    assert "**invented**" in words or "invented here" in words
    assert "## What you take away" in words


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda p: p.stem)
@pytest.mark.filterwarnings("default")  # of the kernel's own libraries
def test_a_notebook_runs_from_a_clean_kernel(path: Path, tmp_path: Path) -> None:
    nbformat = importlib.import_module("nbformat")
    nbclient = importlib.import_module("nbclient")
    # A copy: what it writes goes beside it.
    shutil.copytree(ROOT / "demo-data", tmp_path / "demo-data")
    (tmp_path / "notebooks").mkdir()
    book = nbformat.read(path, as_version=4)
    client = nbclient.NotebookClient(
        book, timeout=120, resources={"metadata": {"path": str(tmp_path / "notebooks")}}
    )
    client.execute()
    for cell in book.cells:
        for output in cell.get("outputs", []):
            # Warnings are for the author, not for the reader.
            assert output.get("name") != "stderr", output.get("text")
    for name in TAKEN[path.stem]:
        assert (tmp_path / "out" / name).stat().st_size > 100, name
    if path.stem == "heat_gun_lesson":
        folder = tmp_path / "out" / "heat-gun-lesson"
        # No invented time hangs on a wall, or stands on the sheets that are printed before.
        assert [path.name for path in folder.iterdir()] == ["before.html"]
        before = (folder / "before.html").read_text()
        assert all(word in before for word in ("19 coupons", "9 coupons", "Spoiled", "Answers"))
        assert "not yet tried" in before
        assert "our gun" not in before
        check_the_sheets_of_the_lesson(before)


def lesson(tmp_path: Path, *changes: tuple[str, str]) -> Path:
    """Run the lesson with other words in its cells; give the folder of its sheets."""
    nbformat = importlib.import_module("nbformat")
    nbclient = importlib.import_module("nbclient")
    (tmp_path / "notebooks").mkdir()
    book = nbformat.read(ROOT / "notebooks/heat_gun_lesson.ipynb", as_version=4)
    for was, now in changes:
        cell = next(c for c in book.cells if c.cell_type == "code" and was in c.source)
        cell.source = cell.source.replace(was, now)
    nbclient.NotebookClient(
        book, timeout=120, resources={"metadata": {"path": str(tmp_path / "notebooks")}}
    ).execute()
    return tmp_path / "out/heat-gun-lesson"


def told_in(page: Path) -> str:
    """Give what a page says; pictures are not read."""
    return re.sub(r"<[^>]*>", " ", page.read_text(encoding="utf-8"))


def check_the_sheets_of_the_lesson(before: str) -> None:
    """Hold the printed sheets of the lesson against the library and against each other."""
    sheets = before.split("<section>")[1:]
    assert ["Answers" in sheet for sheet in sheets] == [False, False, False, True]
    # A slip for each gun, on which each of its two pupils has a line for each coupon.
    slips = sheets[1].split("<div class='slip")[1:]
    assert [slip.count("<tr>") for slip in slips] == [2 * 3] * 4
    assert len(set(re.findall(r"pupil \d+", sheets[1]))) == 8
    # What stops the heat stands on every sheet that lies at the bench.
    for sheet in (sheets[0], *slips, sheets[2]):
        plain = " ".join(sheet.split())
        for sign in ("a bite in nose or throat", "smell", "smoke", "shine", "bubble"):
            assert sign in plain, sign
        assert "nozzle" in plain
    # One stage begins where the one before ends, and the last ends within the ninety minutes.
    stages = [tuple(map(int, s)) for s in re.findall(r"<td>(\d+) to (\d+)</td>", sheets[0])]
    assert stages[0][0] == 0
    assert all(a[1] == b[0] for a, b in itertools.pairwise(stages))
    assert stages[-1][1] <= 90
    # The teacher's sheet and the log give the time at which the map goes from cold to workable.
    zones = mw.distance_time_map(
        "abs",
        thickness="3 mm",
        gun=mw.HotAirGun.two_setting("II"),
        back="turned every 8 s",
        distances=["100 mm"],
        times="0 s to 5 min",
        points=601,
    )
    times = zones.time_s
    assert times is not None
    ready = float(times[(zones.zone[0] == 1).argmax()])
    told = re.search(r"<td>100 mm</td>\s*<td>3 mm</td>\s*<td>(\d+) \(", sheets[0])
    assert told is not None
    # Rounded to a second; the map has a point each half second.
    assert abs(int(told[1]) - ready) <= 1.0
    # Nobody waits at the gun for longer than ten minutes, and no sheet tells them to.
    assert max(int(s) for s in re.findall(r"(?<![\d.:])(\d+) s\b", before)) <= 600


def test_the_lesson_asks_long_before_it_answers() -> None:
    texts = ["".join(cell["source"]) for cell in cells(ROOT / "notebooks/heat_gun_lesson.ipynb")]
    asked = max(i for i, text in enumerate(texts) if "## 6. Exercises" in text)
    answered = [i for i, text in enumerate(texts) if "answers = [" in text]
    # The wall sheet of the class stands between them; nothing comes after the answers.
    assert asked < len(texts) - 4
    assert answered == [len(texts) - 1]


@pytest.mark.filterwarnings("default")  # of the kernel's own libraries
def test_a_class_that_has_tried_leaves_its_log_and_a_sheet_for_the_wall(tmp_path: Path) -> None:
    # One whole line without a limp coupon, too: it calibrates nothing.
    folder = lesson(
        tmp_path,
        ("tried = False", "tried = True"),
        ("[47, 50, 49, 52, 46, 48, 51, 49]", "[None] * 8"),
    )
    rows = list(csv.DictReader((folder / "class-log.csv").read_text(encoding="utf-8").splitlines()))
    # Eight pupils with three coupons each, told apart.
    assert len({r["pupil"] for r in rows}) == 8
    assert len(rows) == 8 * 3
    assert [r["limp, s"] for r in rows[16:]] == [""] * 8
    before = (folder / "before.html").read_text(encoding="utf-8")
    near = {r["likeliest gun: limp, s"] for r in rows if (r["nozzle to sheet"], r["sheet"]) == NEAR}
    first = re.search(r"<td>100 mm</td>\s*<td>3 mm</td>\s*<td>(\d+) \(", before)
    assert first is not None
    assert near == {first[1]}
    assert "By our gun, as the class tried it" in before
    wall = " ".join(told_in(folder / "wall.html").split())
    for sign in ("a bite in nose or throat", "smell", "smoke", "shine", "bubble", "nozzle"):
        assert sign in wall, sign
    # The stop is counted from limp, and ends before it is too hot.
    limp, more, hot = map(int, re.findall(r"(\d+) s limp \+ (\d+) s (\d+) s", wall)[0])
    assert limp + more < hot


@pytest.mark.filterwarnings("default")  # of the kernel's own libraries
def test_the_lesson_takes_another_sheet_inches_and_fewer_pupils(tmp_path: Path) -> None:
    folder = lesson(
        tmp_path,
        ("tried = False", "tried = True"),
        ("pupils = 8", "pupils = 6"),
        ('units = "metric"', 'units = "inch"'),
        ('material, thickness, thin = "abs"', 'material, thickness, thin = "petg"'),
        ('thickness, thin = "1/8 in"', 'thickness, thin = "3/16 in"'),
    )
    assert len((folder / "class-log.csv").read_text().splitlines()) == 1 + 6 * 3
    for name in ("before.html", "wall.html"):
        told = told_in(folder / name)
        assert "ABS" not in told, name
        assert "PETG" in told, name
        assert not re.search(r"\d (mm|°C|K)\b", told), name
        # Lengths stand as they were written: a ruler has them.
        assert "3/16 in" in told, name
        assert not re.search(r"\b1/8 in", told.split("Answers")[0]), name
    assert "nozzle 4 in away" in (folder / "wall.html").read_text(encoding="utf-8")


@pytest.mark.filterwarnings("default")  # of the kernel's own libraries
def test_no_class_heats_pvc(tmp_path: Path) -> None:
    errors = importlib.import_module("nbclient.exceptions")
    with pytest.raises(errors.CellExecutionError, match="no class heats PVC"):
        lesson(tmp_path, ('= "abs", "3 mm"', '= "expanded-pvc", "3 mm"'))
    assert not (tmp_path / "out").exists()
