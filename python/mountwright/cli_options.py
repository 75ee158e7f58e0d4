"""What several commands of the command line share."""

from __future__ import annotations

import functools
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

import mountwright as mw

BAD_INPUT = 2

shop_option = click.option(
    "--shop", required=True, type=click.Path(path_type=Path), help="The shop's own file."
)
memory_option = click.option(
    "--memory",
    type=click.Path(path_type=Path),
    help="The file of the shop's memory; that of the shop's file if left out.",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print as JSON.")
traceback_option = click.option(
    "--traceback", is_flag=True, help="Show where in the program an error arose."
)

Command = TypeVar("Command", bound=Callable[..., None])


def words_of(error: Exception) -> str:
    """Put an error into one text."""
    if isinstance(error, OSError) and error.filename:
        return f"{error.filename}: {error.strerror}"
    return str(error)


def told(command: Command) -> Command:
    """Tell bad input in words, with exit status 2, instead of a traceback."""

    @functools.wraps(command)
    def run(*args: Any, traceback: bool, **more: Any) -> None:
        try:
            command(*args, **more)
        except (mw.MountwrightError, OSError) as error:
            if traceback:
                raise
            click.echo(f"mountwright: {words_of(error)}", err=True)
            sys.exit(BAD_INPUT)

    return run  # type: ignore[return-value]
