"""Notebooks run from a clean kernel, hold no output in git, and leave their user something."""

import importlib
import json
import shutil
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))
# What its user takes away, below `out/`.
TAKEN = {
    "pillar_pod": ("pillar-pod/packet.html", "pillar-pod/quote.html"),
    "pricing_panels": ("pricing-panels/quote.html", "pricing-panels/alternatives.csv"),
    "heat_gun_lesson": (
        "heat-gun-lesson/before.html",
        "heat-gun-lesson/wall.html",
        "heat-gun-lesson/class-log.csv",
    ),
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
        log = (folder / "class-log.csv").read_text().splitlines()
        # Eight pupils with three coupons each, told apart.
        assert log[0].startswith("pupil,")
        assert len({line.split(",")[0] for line in log[1:]}) == 8
        assert len(log) == 1 + 8 * 3
        before = (folder / "before.html").read_text()
        assert all(word in before for word in ("19 coupons", "9 coupons", "Spoiled", "Answers"))


def test_the_lesson_asks_long_before_it_answers() -> None:
    texts = ["".join(cell["source"]) for cell in cells(ROOT / "notebooks/heat_gun_lesson.ipynb")]
    asked = max(i for i, text in enumerate(texts) if "## 6. Exercises" in text)
    answered = [i for i, text in enumerate(texts) if "answers = [" in text]
    # The wall sheet of the class stands between them; nothing comes after the answers.
    assert asked < len(texts) - 4
    assert answered == [len(texts) - 1]
