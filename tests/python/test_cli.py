"""The command line as a person and a script meet it: words, streams, exit status, leavings."""

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import mountwright as mw

ROOT = Path(__file__).parents[2]
POD = "demo-data/pillar-pods.toml"
SHOP = "demo-data/shop.toml"


def mountwright(*words: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "mountwright", *map(str, words)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )


def test_the_main_job_runs_from_start_to_packet(tmp_path: Path) -> None:
    done = mountwright("plan", POD, "--shop", SHOP, "--out", tmp_path / "out")
    assert (done.returncode, done.stderr) == (0, "")
    assert "left pod" in done.stdout
    assert "not planned" in done.stdout
    assert str(tmp_path / "out" / "packet.html") in done.stdout
    assert (tmp_path / "out" / "packet.html").is_file()


def test_a_seed_repeats_to_the_last_byte(tmp_path: Path) -> None:
    for name in ("one", "two"):
        mountwright("plan", POD, "--shop", SHOP, "--draws", "16", "--out", tmp_path / name)
    files = [p for p in (tmp_path / "one").rglob("*.*") if p.is_file()]
    assert len(files) > 5
    for path in files:
        twin = tmp_path / "two" / path.relative_to(tmp_path / "one")
        assert path.read_bytes() == twin.read_bytes(), path


def test_json_is_the_whole_plan_and_nothing_else() -> None:
    done = mountwright("plan", POD, "--shop", SHOP, "--draws", "0", "--json")
    assert json.loads(done.stdout)["job"]["name"] == "Tweeter pods, both pillars"


def test_sources_tells_where_every_number_comes_from(tmp_path: Path) -> None:
    done = mountwright("sources", POD, "--shop", SHOP)
    assert (done.returncode, done.stderr) == (0, "")
    first, *lines = done.stdout.splitlines()
    for standing in ("published", "common practice", "remembered", "derived", "invented"):
        assert standing in first
    assert "  limp: 127 (127 to 130) °C  [published]" in lines
    assert any("mount.keep_below" in line for line in lines)
    told = json.loads(mountwright("sources", POD, "--shop", SHOP, "--json").stdout)
    assert sum(told["counts"].values()) == len(told["entries"])
    assert {"name", "value", "low", "high", "unit", "source", "standing"} <= set(told["entries"][0])
    own = tmp_path / "own.toml"
    own.write_text(OWN, encoding="utf-8")
    text = mountwright("sources", POD, "--shop", SHOP, "--materials", own).stdout
    assert f"from {own}" in text
    assert "1 measured by shop" in text
    own.write_text(OWN.replace("kg/m3", "mm"), encoding="utf-8")
    done = mountwright("sources", POD, "--shop", SHOP, "--materials", own)
    assert done.returncode == 2
    assert "line 7" in done.stderr


def test_materials_are_shown_filtered_and_side_by_side(tmp_path: Path) -> None:
    every = mountwright("materials")
    assert (every.returncode, every.stderr) == (0, "")
    assert every.stdout.splitlines()[0].startswith("material")
    hot = mountwright("materials", "--role", "sheet", "--survives", "95 °C", "--stocked", "3 mm")
    assert [line.split()[0] for line in hot.stdout.splitlines()[1:]] == ["pc"]
    one = mountwright("materials", "foamed PVC").stdout
    assert one.startswith("expanded-pvc: expanded (foamed) PVC board")
    assert "surprise: max service" in one
    two = mountwright("materials", "abs", "pc", "--property", "limp").stdout.splitlines()
    assert two[0].split() == ["material", "limp"]
    assert len(two) == 3
    told = json.loads(mountwright("materials", "abs", "--json").stdout)
    assert told["entries"]["limp"]["unit"] == "K"
    miss = mountwright("materials", "polycarbonat")
    assert miss.returncode == 2
    assert "nearest: polycarbonate" in miss.stderr
    assert mountwright("materials", "--limp-at", "120").returncode == 2
    own = tmp_path / "own.toml"
    own.write_text(OWN, encoding="utf-8")
    assert "1060" in mountwright("materials", "abs", "--materials", own).stdout


def test_sheets_are_chosen_with_reasons() -> None:
    done = mountwright("choose", POD, "--shop", SHOP)
    assert (done.returncode, done.stderr) == (0, "")
    assert "left pod: asked for abs" in done.stdout
    assert "not in the rack: to buy" in done.stdout
    assert json.loads(mountwright("choose", POD, "--shop", SHOP, "--json").stdout)[0]["ranked"]


def test_numbers_of_the_users_own_files_are_theirs(tmp_path: Path) -> None:
    shop = tmp_path / "shop.toml"
    text = (ROOT / SHOP).read_text(encoding="utf-8")
    shop.write_text(text.replace("invented = true", "invented = false", 1), encoding="utf-8")
    done = mountwright("sources", POD, "--shop", shop)
    first, *lines = done.stdout.splitlines()
    assert " the user's" in first
    at = lines.index("  rates.labour_per_hour: 34  [the user's]")
    assert lines[at + 2].startswith(f"    from {shop}, line ")
    # Every standing that is counted in the head stands beside as many numbers.
    for part in first.split(": ", 1)[1].split(","):
        count, standing = part.strip().split(" ", 1)
        assert done.stdout.count(f"[{standing}]") == int(count)


OWN = """schema = 1
[sources.own-scale]
author = "an invented shop"
title = "weighed offcuts"
how = "measured"
[materials.abs.properties]
density = { value = 1060, low = 1055, high = 1065, unit = "kg/m3", standing = "measured-by-shop", \
source = "own-scale" }
""".replace("\\\n", "")

BAD_FILES = {
    "not TOML": ("schema = = 1", "line 1"),
    "empty": ("", "fault"),
    "unknown key": ("schema = 1\nvehicel = 'x'\n", "vehicle"),
    "newer": ("schema = 99\n", "schema"),
}


@pytest.mark.parametrize("fault", BAD_FILES)
def test_a_bad_job_is_one_clear_message(tmp_path: Path, fault: str) -> None:
    text, words = BAD_FILES[fault]
    job = tmp_path / "job.toml"
    job.write_text(text)
    done = mountwright("plan", job, "--shop", SHOP, "--out", tmp_path / "out")
    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr.startswith(f"mountwright: {job}")
    assert words in done.stderr
    assert "Traceback" not in done.stderr
    assert not (tmp_path / "out").exists()


def test_a_missing_file_is_named() -> None:
    done = mountwright("plan", "absent.toml", "--shop", SHOP)
    assert done.returncode == 2
    assert done.stderr == "mountwright: absent.toml: No such file or directory\n"


def test_a_file_that_is_not_text_is_named(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_bytes(b"\xff\xfe\x00")
    done = mountwright("plan", tmp_path / "job.toml", "--shop", SHOP)
    assert done.returncode == 2
    assert "not text" in done.stderr


def test_a_traceback_comes_when_asked() -> None:
    done = mountwright("plan", "absent.toml", "--shop", SHOP, "--traceback")
    assert "Traceback" in done.stderr
    assert done.returncode != 0


def test_a_wrong_option_is_bad_input() -> None:
    for words in (["--draws", "-1"], ["--draws", "many"], ["--sheets", "3"]):
        done = mountwright("plan", POD, "--shop", SHOP, *words)
        assert done.returncode == 2, words
        assert words[0] in done.stderr


def test_an_out_folder_that_cannot_be_made_is_one_clear_error(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    done = mountwright("plan", POD, "--shop", SHOP, "--out", tmp_path / "file" / "out")
    assert done.returncode == 2
    assert done.stderr.startswith(f"mountwright: {tmp_path / 'file'}")
    assert len(done.stderr.splitlines()) == 1
    assert [p.name for p in tmp_path.iterdir()] == ["file"]


def test_an_existing_packet_outlives_a_bad_job(tmp_path: Path) -> None:
    mountwright("plan", POD, "--shop", SHOP, "--draws", "0", "--out", tmp_path / "out")
    before = {p: p.read_bytes() for p in (tmp_path / "out").rglob("*.*") if p.is_file()}
    (tmp_path / "bad.toml").write_text("schema = 1")
    done = mountwright("plan", tmp_path / "bad.toml", "--shop", SHOP, "--out", tmp_path / "out")
    assert done.returncode == 2
    after = {p: p.read_bytes() for p in (tmp_path / "out").rglob("*.*") if p.is_file()}
    assert after == before


def test_an_interrupt_is_heard(tmp_path: Path) -> None:
    # So many draws that it would run for minutes.
    words = ["plan", POD, "--shop", SHOP, "--draws", "30000", "--out", str(tmp_path / "out")]
    running = subprocess.Popen(
        [sys.executable, "-m", "mountwright", *words],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    time.sleep(2)
    assert running.poll() is None
    running.send_signal(signal.SIGINT)
    before = time.monotonic()
    said = running.communicate(timeout=30)[1]
    assert (running.returncode, said.strip()) == (130, "mountwright: stopped")
    # The watch is asked every few milliseconds; the rest is the machine being busy.
    assert time.monotonic() - before < 5
    assert not (tmp_path / "out").exists()


def test_a_source_tree_that_is_not_installed_says_so() -> None:
    code = """
import sys
from importlib import metadata
def none(name):
    raise metadata.PackageNotFoundError(name)
metadata.version = none
sys.argv = ["mountwright", "--version"]
from mountwright.cli import main
main()
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert "is not installed" in done.stdout


def test_help_has_examples_and_exit_status() -> None:
    assert "Exit status" in mountwright("--help").stdout
    assert "Examples" in mountwright("plan", "--help").stdout
    assert mountwright("--version").stdout.startswith("mountwright 0.")


def test_an_unknown_name_is_answered_with_those_that_there_are(tmp_path: Path) -> None:
    said = mountwright("materials", "gold").stderr
    assert "abs, " in said
    assert "rigid-pvc" in said
    assert "pressed-pod" in mountwright("measure", "hat").stderr
    assert "straps" in mountwright("workbook", "new", tmp_path / "a.xlsx", "--part", "hats").stderr


def test_a_shell_completes_kinds_and_materials() -> None:
    # The protocol of click's completion for bash: words in, "plain,WORD" lines out.
    for begun, found in (("measure pa", "panel"), ("materials rigid", "rigid-pvc")):
        done = subprocess.run(
            [sys.executable, "-c", "from mountwright.cli import main; main()"],
            env=os.environ
            | {
                "COMP_WORDS": f"mountwright {begun}",
                "COMP_CWORD": "2",
                "_MOUNTWRIGHT_COMPLETE": "bash_complete",
            },
            capture_output=True,
            text=True,
            check=False,
        )
        assert done.stdout.splitlines() == [f"plain,{found}"]


def test_usual_values_of_a_measure_sheet_are_what_a_job_file_asks_for() -> None:
    listed = mw.schema("job")["properties"]
    straps = mw.measure_sheet("strap").to_type
    assert straps == {
        "body_mass": "40 g",
        "foam_thickness": "2 mm",
        "tab_length": "22 mm",
        "screw_diameter": "4 mm",
    }
    assert set(straps) <= set(listed["straps"]["items"]["required"])
    # Typed in as they are printed, they are taken: the demo job with them is planned.
    said = mountwright("measure", "strap").stdout
    text = (ROOT / POD).read_text()
    for line in said.partition("[[straps]]")[2].splitlines()[1:]:
        key = line.split("=")[0].strip()
        assert re.search(rf"^{key} = ", text, re.MULTILINE), key
        text = re.sub(rf"^{key} = .*$", line.strip(), text, flags=re.MULTILINE)
    job = mw.Job.from_text(text, path="typed")
    assert mw.plan(job, shop=mw.Shop.read(ROOT / SHOP), draws=0).parts


def test_importing_loads_nothing_heavy() -> None:
    code = "import sys, mountwright; print(*sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    loaded = set(done.stdout.split())
    assert "mountwright._core" in loaded
    assert loaded.isdisjoint({"numpy", "jinja2", "click", "matplotlib", "pandas"})


def test_planning_needs_no_numpy() -> None:
    # NumPy takes longer to load than a plan to compute.
    code = f"""
import sys, mountwright as mw
mw.plan(mw.Job.read({POD!r}), shop=mw.Shop.read({SHOP!r}), draws=0)
print("numpy" in sys.modules)
"""
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout == "False\n"


def test_a_closed_pipe_is_no_error() -> None:
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "w") as closed:
        done = subprocess.run(
            [sys.executable, "-m", "mountwright", "plan", POD, "--shop", SHOP, "--json"],
            cwd=ROOT,
            stdout=closed,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert "Traceback" not in done.stderr
