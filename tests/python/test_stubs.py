"""The stub says what the compiled module has, and the package is typed throughout."""

import subprocess
import sys


def test_stub_agrees_with_the_compiled_module() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "mypy.stubtest", "mountwright._core"], capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr
