"""The stub says what the compiled module has, and the package is typed throughout."""

import inspect
import subprocess
import sys

import mountwright as mw


def test_stub_agrees_with_the_compiled_module() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mypy.stubtest", "mountwright._core"], capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr


def test_every_signature_can_be_asked_for() -> None:
    # CPython 3.11 reads the signature of a compiled function as ASCII: "60 degC", not "60 °C".
    asked = 0
    for name in mw.__all__:
        answer = getattr(mw, name)
        members = [
            member
            for key, member in (vars(answer).items() if inspect.isclass(answer) else ())
            if not key.startswith("_") and callable(getattr(answer, key))
        ]
        for one in [answer, *members]:
            made = inspect.unwrap(getattr(one, "__func__", one))
            if getattr(made, "__text_signature__", None) is not None:
                inspect.signature(made)
                asked += 1
    assert asked > 50
