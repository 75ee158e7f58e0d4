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
    "heat_gun_lesson": ("heat-gun-lesson/wall-sheet.pdf", "heat-gun-lesson/class-log.csv"),
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
