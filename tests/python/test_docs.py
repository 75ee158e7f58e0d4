"""Every example in the documentation runs, and every public function is documented in full."""

import doctest
import importlib
import inspect
import pkgutil
import runpy
from pathlib import Path
from types import ModuleType

import pytest

import mountwright as mw
from mountwright import _core

ROOT = Path(__file__).parents[2]
OPTIONS = doctest.NORMALIZE_WHITESPACE | doctest.ELLIPSIS

MODULES = [_core] + [
    importlib.import_module(found.name)
    for found in pkgutil.walk_packages(mw.__path__, "mountwright.")
    if not found.name.endswith("__main__")
]
PUBLIC = {name: getattr(mw, name) for name in mw.__all__} | {
    f"charts.{name}": getattr(mw.charts, name) for name in mw.charts.__all__
}


@pytest.mark.parametrize("module", MODULES, ids=lambda m: m.__name__)
def test_examples_of_a_module_run(module: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    finder = doctest.DocTestFinder(exclude_empty=True)
    runner = doctest.DocTestRunner(optionflags=OPTIONS)
    for test in finder.find(module, globs={**vars(module), "mw": mw}):
        runner.run(test)
    assert runner.summarize().failed == 0


def test_the_readme_runs(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    found = doctest.testfile(
        str(ROOT / "README.md"), module_relative=False, optionflags=OPTIONS, encoding="utf-8"
    )
    assert found.failed == 0
    assert found.attempted >= 8


@pytest.mark.parametrize(
    "guide", sorted((ROOT / "python/mountwright/guide").glob("*.md")), ids=lambda p: p.stem
)
def test_a_guide_runs(guide: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    found = doctest.testfile(
        str(guide), module_relative=False, optionflags=OPTIONS, encoding="utf-8"
    )
    assert found.failed == 0
    assert found.attempted >= 4


def test_the_public_face_has_examples() -> None:
    examples = sum(len(doctest.DocTestFinder().find(m, globs={})) for m in MODULES)
    assert examples > 0


def test_all_lists_every_public_name() -> None:
    public = {
        name
        for name, value in vars(mw).items()
        if not name.startswith("_") and not inspect.ismodule(value)
    }
    assert public == set(mw.__all__)
    assert list(mw.__all__) == sorted(mw.__all__)


def test_the_site_has_every_public_name_once() -> None:
    pages = runpy.run_path(str(ROOT / ".docs/reference.py"))["PAGES"]
    assert sorted(" ".join(pages.values()).split()) == sorted(mw.__all__)


@pytest.mark.parametrize("name", [n for n, v in PUBLIC.items() if inspect.isroutine(v)])
def test_a_public_function_is_documented_in_full(name: str) -> None:
    text = inspect.getdoc(PUBLIC[name]) or ""
    for section in ("Parameters", "Returns", "Raises", "Examples"):
        assert f"{section}\n---" in text, section


@pytest.mark.parametrize("name", [n for n, v in PUBLIC.items() if inspect.isclass(v)])
def test_a_public_class_is_documented_with_its_fields(name: str) -> None:
    kind = PUBLIC[name]
    assert inspect.getdoc(kind)
    if issubclass(kind, mw.MountwrightError) and kind is not mw.MountwrightError:
        assert "Attributes\n---" in (inspect.getdoc(kind) or "")
