"""Whatever stands in an argument's place, the answer is an answer or an error of this library."""

import ast
import doctest
import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import mountwright as mw
from mountwright import _core
from mountwright.asking import _arguments

WRONG: list[Any] = [
    *(None, float("nan"), float("inf"), -1, "x", b"", [], [[1.0]], {}, 1j, True, object()),
    *(
        10**400,
        "\ud800",
        np.array([]),
        np.ma.array([1.0, 2.0], mask=[False, True]),
        np.ones((2, 2)),
    ),
]
# They call the caller's own function, or write what it gives into text as Python does.
OWN = {"progress", "indent"}
Call = tuple[Callable[..., Any], tuple[Any, ...], dict[str, Any]]


class _Called(ast.NodeTransformer):
    """Turns `f(x)` into `_note(f, x)`."""

    def visit_Call(self, node: ast.Call) -> ast.AST:
        self.generic_visit(node)
        note = ast.Name("_note", ast.Load())
        return ast.copy_location(ast.Call(note, [node.func, *node.args], node.keywords), node)


def _public(called: Callable[..., Any]) -> str:
    """Give its name where it is a public function or method of the library."""
    name = getattr(called, "__qualname__", "")
    first, *rest = name.split(".")
    owner = getattr(mw, first, None) if first in mw.__all__ else None
    ours = owner is called or inspect.isclass(owner)
    return name if ours and not any(part.startswith("_") for part in rest) else ""


def _calls() -> dict[str, Call]:
    """Run the examples of the docstrings, and give each public call in them once."""
    calls: dict[str, Call] = {}

    def note(called: Callable[..., Any], *given: Any, **named: Any) -> Any:
        if name := _public(called):
            calls.setdefault(name, (called, given, named))
        return called(*given, **named)

    packages = pkgutil.walk_packages(mw.__path__, "mountwright.")
    names = [found.name for found in packages if "__main__" not in found.name]
    for module in [_core, *map(importlib.import_module, names)]:
        for test in doctest.DocTestFinder().find(module, globs={"mw": mw, "_note": note}):
            for example in test.examples:
                tree = ast.fix_missing_locations(_Called().visit(ast.parse(example.source)))
                exec(compile(tree, test.name, "exec"), {**vars(module), **test.globs}, test.globs)
    return calls


def _asked(call: Call) -> Iterator[tuple[str, Any, tuple[Any, ...], dict[str, Any]]]:
    called, given, named = call
    left = list(_arguments(called) or {})[len(given) :]
    for wrong in WRONG:
        for at in range(len(given)):
            yield f"argument {at}", wrong, (*given[:at], wrong, *given[at + 1 :]), named
        for name in {*named, *left} - OWN:
            yield name, wrong, given, {**named, name: wrong}


def test_a_wrong_value_is_an_error_of_the_library(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "demo-data").symlink_to(Path("demo-data").resolve())
    monkeypatch.chdir(tmp_path)
    calls = _calls()
    assert len(calls) > 100
    raw = []
    for name, call in calls.items():
        for argument, wrong, given, named in _asked(call):
            try:
                call[0](*given, **named)
            except (mw.MountwrightError, OSError):
                pass
            except Exception as fault:
                raw.append(f"{name}({argument}={wrong!r}): {type(fault).__name__}: {fault}")
    assert not raw, "\n".join(ascii(line) for line in raw)


def test_the_error_names_the_argument_what_was_given_and_what_is_taken() -> None:
    with pytest.raises(mw.KindError, match=r"^setpoint is None, allowed is a text$") as found:
        mw.HotAirGun(None, "300 L/min")  # type: ignore[arg-type]
    assert (found.value.what, found.value.given, found.value.allowed) == (
        "setpoint",
        "None",
        "a text",
    )
    with pytest.raises(mw.KindError, match=r"^at_s is 3\.0 \(float\), allowed is .* one row"):
        mw.heat_slab([], [], 3.0)  # type: ignore[arg-type]
    with pytest.raises(mw.KindError, match=r"^values is masked_array.*without a mask"):
        mw.show(np.ma.array([1.0], mask=[True]), "length")
    for lossy in (np.array([1j]), np.array([True])):
        with pytest.raises(mw.KindError, match=r"^values is array.*real numbers"):
            mw.show(lossy, "length")


@pytest.mark.parametrize(
    "made",
    [
        lambda: mw.Face(emissivity=1.5),
        lambda: mw.Step(seconds=0.0, front=mw.Face(), back=mw.Face()),
        lambda: mw.Form.circle("-3 mm"),
        lambda: mw.show(float("nan"), "length"),
    ],
)
def test_what_cannot_be_is_refused_where_it_is_made(made: Callable[[], object]) -> None:
    with pytest.raises(mw.OutOfRangeError):
        made()
