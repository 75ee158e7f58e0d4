"""What several commands of the command line share."""

from __future__ import annotations

import functools
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, NoReturn

import click

import mountwright as mw

BAD_INPUT = 2
READER_GONE = 141

shop_option = click.option(
    "--shop",
    required=True,
    type=click.Path(path_type=Path),
    help="The shop's own file: TOML, or a workbook.",
)
memory_option = click.option(
    "--memory",
    type=click.Path(path_type=Path),
    help="The file of the shop's memory; that of the shop's file if left out.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print as JSON.")

Command = Callable[..., None]


def told(command: Command) -> Command:
    """Tell what the library refuses in words, with exit status 2; ``--traceback`` shows where.

    Every command bears it, as its last decorator. Whatever else is raised is a fault of the
    program and keeps its traceback and Python's exit status 1.
    """

    @functools.wraps(command)
    def run(*args: Any, traceback: bool, **more: Any) -> None:
        try:
            command(*args, **more)
        except BrokenPipeError:
            # Not a file of the user's; click would make status 1 of it.
            reader_gone()
        except (mw.MountwrightError, OSError, ImportError) as error:
            if traceback:
                raise
            click.echo(f"mountwright: {_words(error)}", err=True)
            sys.exit(BAD_INPUT)

    shown = click.option(
        "--traceback", is_flag=True, help="Show where in the program an error arose."
    )
    return shown(run)


def reader_gone() -> NoReturn:
    """Stop without a word: the reader of the output has gone, as ``head`` does."""
    # Python flushes at its end once more, which would be told as a fault.
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    sys.exit(READER_GONE)


def complete_materials(_context: object, _parameter: object, begun: str) -> list[str]:
    """Give the names of the standard catalogue that begin so, for the completion of a shell."""
    return [name for name in _material_names() if name.startswith(begun.lower())]


def _material_names() -> list[str]:
    return [found.name for found in mw.materials()]


def _words(error: Exception) -> str:
    if isinstance(error, mw.UnknownNameError) and error.kind == "material" and not error.near:
        return f"{error}; the standard catalogue has: {', '.join(_material_names())}"
    if isinstance(error, OSError) and error.filename:
        return f"{error.filename}: {error.strerror}"
    return str(error)
