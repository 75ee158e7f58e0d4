"""What holds for every command alike: help with examples, JSON, exit status, completion."""

import json
import os
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest

from mountwright.cli import _commands

ROOT = Path(__file__).parents[2]
JOB, SHOP = "demo-data/door-rings.toml", "demo-data/shop.toml"
DRAWS = ("--draws", "0")

# A shop whose memory knows the job as accepted, and one that knows nothing yet.
KNOWS, NEW = (("--shop", SHOP, "--memory", f"{{out}}/{name}.db") for name in ("knows", "new"))
NAME = "Front door rings and a kick panel"
AGAIN = ("--start", "2026-12-09 08:30")
CAME = ("--what", "glue let go", "--where", "left pillar")
TRIED = ("3 mm", "100 mm", "92 s")

# Command to its words when all is well and when they are wrong; {out} is a folder of the test.
COMMANDS: dict[str, tuple[list[str], list[str]]] = {
    "plan": ([JOB, "--shop", SHOP, *DRAWS], [SHOP, "--shop", SHOP]),
    "measure": (["strap"], ["hat"]),
    "compare": (
        [JOB, "--shop", SHOP, "--way", "bare: finish=bare", *DRAWS],
        [JOB, "--shop", SHOP, "--way", "bare: finish=gilded"],
    ),
    "sources": ([JOB, "--shop", SHOP], ["absent.toml", "--shop", SHOP]),
    "choose": ([JOB, "--shop", SHOP], [JOB, "--shop", JOB]),
    "materials": (["abs"], ["abss"]),
    "workbook new": (["{out}/new.xlsx"], ["{out}/made.xlsx"]),
    "workbook plan": (["{out}/made.xlsx", *DRAWS], [JOB]),
    "schema": (["job"], ["jop"]),
    "accept": (["{out}/packet", *NEW], ["absent", *NEW]),
    "close": ([NAME, *KNOWS, "--minutes", "cutting=35"], ["no such job", *KNOWS]),
    "rack": ([*KNOWS], ["--shop", SHOP]),
    "again": (["kick panel", *KNOWS, *AGAIN], ["no such part", *KNOWS, *AGAIN]),
    "coupon": (["abs", *TRIED, *KNOWS], ["abss", *TRIED, *KNOWS]),
    "comeback": ([NAME, *KNOWS, *CAME], ["no such job", *KNOWS, *CAME]),
    "ask": (["jobs", *KNOWS], ["weather", *KNOWS]),
    "export": (["{out}/files", *KNOWS], ["{out}/packet", *KNOWS]),
    "load": (["{out}/plain", *NEW], ["absent", *NEW]),
}


def commands(group: click.Group, before: str = "") -> Iterator[tuple[str, click.Command]]:
    for name, command in group.commands.items():
        if isinstance(command, click.Group):
            yield from commands(command, f"{before}{name} ")
        else:
            yield before + name, command


FOUND = dict(commands(_commands))


def run(*words: str, **more: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "mountwright", *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env=os.environ | more,
    )


@pytest.fixture(scope="module")
def prepared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("commands")
    knows = [word.format(out=folder) for word in KNOWS]
    for words in (
        ["workbook", "new", f"{folder}/made.xlsx"],
        ["plan", JOB, "--shop", SHOP, *DRAWS, "--out", f"{folder}/packet"],
        ["accept", f"{folder}/packet", *knows],
        ["close", NAME, *knows, "--minutes", "cutting=30"],
        ["export", f"{folder}/plain", *knows],
    ):
        done = run(*words)
        assert (done.returncode, done.stderr) == (0, ""), words
    return folder


@pytest.fixture
def out(prepared: Path, tmp_path: Path) -> str:
    return str(shutil.copytree(prepared, tmp_path / "out"))


def test_the_table_has_every_command() -> None:
    assert set(COMMANDS) == set(FOUND)


@pytest.mark.parametrize("name", FOUND)
def test_help_says_what_for_and_gives_an_example(name: str) -> None:
    text = click.Context(FOUND[name], info_name=f"mountwright {name}").get_help()
    # Examples stand on lines of their own, to be copied.
    assert f"\n    mountwright {name} " in text.partition("Example")[2]
    for option in FOUND[name].params:
        if isinstance(option, click.Option):
            assert option.help, option.name
    assert max(map(len, text.splitlines())) <= 100


@pytest.mark.parametrize("name", COMMANDS)
def test_done_is_0_and_bad_input_is_2(name: str, out: str) -> None:
    good, bad = ([word.format(out=out) for word in words] for words in COMMANDS[name])
    done = run(*name.split(), *good)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout
    assert "\x1b" not in done.stdout
    wrong = run(*name.split(), *bad)
    assert wrong.returncode == 2
    assert wrong.stdout == ""
    assert wrong.stderr
    assert "Traceback" not in wrong.stderr


def test_every_command_can_speak_json() -> None:
    without = [
        name
        for name, command in FOUND.items()
        if not any("--json" in option.opts for option in command.params)
    ]
    assert without == []


@pytest.mark.parametrize("name", COMMANDS)
def test_json_is_json_and_nothing_else(name: str, out: str) -> None:
    good = [word.format(out=out) for word in COMMANDS[name][0]]
    assert json.loads(run(*name.split(), *good, "--json").stdout)


@pytest.mark.parametrize("name", FOUND)
def test_every_command_tells_what_the_library_refuses(name: str) -> None:
    # The option comes with what turns errors into words, and from nowhere else.
    assert [p.name for p in FOUND[name].params].count("traceback") == 1


def test_a_reader_that_has_gone_is_no_bad_input(out: str) -> None:
    read, write = os.pipe()
    os.close(read)
    words = [word.format(out=out) for word in ["ask", *COMMANDS["ask"][0]]]
    with os.fdopen(write, "w") as closed:
        done = subprocess.run(
            [sys.executable, "-m", "mountwright", *words],
            cwd=ROOT,
            stdout=closed,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert (done.returncode, done.stderr) == (141, "")


def test_the_help_documents_every_exit_status() -> None:
    text = run("--help").stdout
    for status in ("0 ", "1 ", "2 ", "130 ", "141 "):
        assert f"\n    {status}" in text.partition("Exit status:")[2]


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("mountwright wo", "workbook"),
        ("mountwright workbook p", "plan"),
        ("mountwright plan --dr", "--draws"),
        ("mountwright schema s", "shop"),
    ],
)
def test_the_shell_completes(typed: str, offered: str) -> None:
    words = typed.split()
    done = run(
        _MOUNTWRIGHT_COMPLETE="bash_complete", COMP_WORDS=typed, COMP_CWORD=str(len(words) - 1)
    )
    assert done.returncode == 0
    assert offered in {line.partition(",")[2] for line in done.stdout.splitlines()}


def test_the_help_tells_how_the_shell_completes() -> None:
    line = 'eval "$(_MOUNTWRIGHT_COMPLETE=bash_source mountwright)"'
    assert f"\n    {line}\n" in run("--help").stdout
    assert "complete" in run(_MOUNTWRIGHT_COMPLETE="bash_source").stdout
