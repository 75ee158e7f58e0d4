"""The shop's memory from Python and from the command line."""

import contextlib
import functools
import json
import math
import sqlite3
import subprocess
import sys
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pypdf
import pytest
from scipy import stats

import mountwright as mw

ROOT = Path(__file__).parents[2]
DEMO = ROOT / "demo-data"
NAME = "Tweeter pods, both pillars"
DAY = "2026-11-26"


@pytest.fixture
def shop(tmp_path: Path) -> mw.Shop:
    return mw.Shop.read(DEMO / "shop.toml", memory=tmp_path / "shop.db")


def planned(shop: mw.Shop, day: int = 1, draws: int = 0) -> mw.Plan:
    text = (DEMO / "pillar-pods.toml").read_text(encoding="utf-8")
    job = mw.Job.from_text(text.replace("2026-12-01", f"2026-12-{day:02}"))
    return mw.plan(job, shop=shop, draws=draws)


def test_the_shops_file_names_its_memory(tmp_path: Path) -> None:
    text = 'memory = "own.db"\n' + (DEMO / "shop.toml").read_text(encoding="utf-8")
    file = tmp_path / "shop.toml"
    file.write_text(text, encoding="utf-8")
    shop = mw.Shop.read(file)
    assert shop.memory_file == str(tmp_path / "own.db")
    plan = planned(shop)
    # A plan alone makes no file.
    assert not (tmp_path / "own.db").exists()
    shop.memory.accept(plan)
    assert (tmp_path / "own.db").exists()
    with pytest.raises(mw.ImpossibleError, match="memory = "):
        _ = mw.Shop.read(DEMO / "shop.toml").memory


def test_the_next_plan_sees_what_the_last_one_left(shop: mw.Shop) -> None:
    first = planned(shop)
    done = shop.memory.accept(first, on=DAY)
    taken = set(done.offcuts_taken)
    second = planned(shop, 2)
    used = {u.stock for layout in second.layouts for u in layout.sheets_used}
    assert taken
    assert not taken & used
    rack = {row.name for row in shop.memory.rack()}
    assert {piece.name for piece in done.kept} <= rack
    assert not taken & rack
    with pytest.raises(mw.MemoryFileError) as caught:
        shop.memory.accept(first)
    assert caught.value.fault == "accepted-twice"
    with pytest.raises(mw.MemoryFileError) as caught:
        shop.memory.accept(planned(mw.Shop.read(DEMO / "shop.toml"), 2))
    assert caught.value.fault == "already-used"
    shop.memory.undo(NAME)
    again = {u.stock for layout in planned(shop, 2).layouts for u in layout.sheets_used}
    assert again == {u.stock for layout in first.layouts for u in layout.sheets_used}


def test_labels_and_tables_can_be_taken_elsewhere(shop: mw.Shop, tmp_path: Path) -> None:
    done = shop.memory.accept(planned(shop), on=DAY)
    pdf = tmp_path / "labels.pdf"
    pdf.write_bytes(shop.memory.labels([done.kept[0].name]).pdf(page="a4"))
    text = pypdf.PdfReader(pdf).pages[0].extract_text()
    assert done.kept[0].name in text
    assert done.kept[0].material in text
    frame = shop.memory.rack().to_frame("pandas")
    assert isinstance(frame, pd.DataFrame)
    ours = frame[frame["from_job"] == NAME]
    assert list(ours["name"]) == [piece.name for piece in done.kept]
    assert list(ours["thickness_mm"]) == [3.0]
    with pytest.raises(mw.UnknownNameError):
        shop.memory.labels(["K-999"])


def test_offcuts_of_the_shop_file_are_labelled_moved_and_taken_out(shop: mw.Shop) -> None:
    names = [row.name for row in shop.memory.rack()]
    drawn = shop.memory.labels().svg()
    assert all(name in drawn for name in names)
    shop.memory.stand("A-17", place="left bay")
    shop.memory.scrap("A-21")
    rack = {row.name: row.place for row in shop.memory.rack()}
    assert rack.keys() == set(names) - {"A-21"}
    assert rack["A-17"] == "left bay"


def test_what_jobs_teach_agrees_with_numpy_and_scipy(shop: mw.Shop) -> None:
    """The posterior of a linear model with a shared pace, written out in dense matrices.

    Gelman et al., Bayesian Data Analysis, section 14.2, with the group's covariance
    ``I + tau 1 1'`` inverted by NumPy and the law's quantiles from SciPy.
    """
    kinds = ["cutting", "finishing", "fitting"]
    rng = np.random.default_rng(4)
    for day in range(1, 7):
        plan = planned(shop, day, draws=8)
        shop.memory.accept(plan)
        timed = kinds[: 1 + day % 3]
        usual = shop.memory.planned_minutes(NAME, start=plan.job.start)
        minutes = {kind: usual[kind] * float(rng.lognormal(0.3, 0.2)) for kind in timed}
        shop.memory.close(NAME, start=plan.job.start, minutes=minutes, heats=4, spoiled=day % 2)

    with sqlite3.connect(shop.memory.path) as db:
        rows = db.execute(
            "SELECT job, kind, ln((actual_s - fixed_s) / (usual_s - fixed_s)) FROM timed"
            " ORDER BY job, kind"
        ).fetchall()
    keys = {"cut": 1, "finish": 2, "fit": 3}
    # The trade's pace, triangular from 0.85 over 1 to 1.3, by its mean and variance.
    low, likely, high = 0.85, 1.0, 1.3
    mean = (low + likely + high) / 3
    variance = (low**2 + likely**2 + high**2 - low * likely - low * high - likely * high) / 18
    log_variance = math.log1p(variance / mean**2)
    noise = 0.25
    # A kind of work takes, in the mean over shops and noise, what the trade says.
    kind_mean = -(0.2**2 + noise**2) / 2
    prior_mean = np.array([math.log(mean) - log_variance / 2, *[kind_mean] * 3])
    precision = np.diag([noise**2 / (log_variance / 2), *[(noise / 0.2) ** 2] * 3])
    tau = log_variance / 2 / noise**2
    shape, rate = 3.0, noise**2 * 2.0
    start = precision @ prior_mean
    square = prior_mean @ start
    after, pull = precision.copy(), start.copy()
    for job in sorted({row[0] for row in rows}):
        mine = [row for row in rows if row[0] == job]
        x = np.zeros((len(mine), 4))
        x[:, 0] = 1
        for at, row in enumerate(mine):
            x[at, keys[row[1]]] = 1
        y = np.array([row[2] for row in mine])
        weight = np.linalg.inv(np.eye(len(mine)) + tau)
        after += x.T @ weight @ x
        pull += x.T @ weight @ y
        square += y @ weight @ y
        shape += len(mine) / 2
    middle = np.linalg.solve(after, pull)
    rate += (square - middle @ pull) / 2
    inverse = np.linalg.inv(after)
    told = {row.what: row for row in shop.memory.taught()}
    for name, at in {"pace": 0, "cutting": 1, "finishing": 2, "fitting": 3}.items():
        scale = math.sqrt(rate / shape * (inverse[at, at] + (tau if at == 0 else 0)))
        # The mean of log-normal noise lies above its middle: it goes with the kind of work.
        half = 0 if at == 0 else rate / (shape - 1) / 2
        law = stats.t(2 * shape, middle[at] + half, scale)
        # Rounding, and the inverse of the incomplete beta function of either library.
        assert told[name].now == pytest.approx(np.exp(law.ppf([0.1, 0.5, 0.9])), rel=1e-8)
    spoilage = stats.beta(20 * 0.1 + 3, 20 * 0.9 + 24 - 3)
    assert told["spoilage"].now == pytest.approx(spoilage.ppf([0.1, 0.5, 0.9]), rel=1e-8)
    assert told["spoilage"].seen == 24


def test_a_chance_of_tries_to_come_is_beta_binomial() -> None:
    """The law behind spoilage; its closed form against SciPy's, through NumPy's own integral."""
    share = stats.beta(5, 37)
    grid = np.linspace(0, 1, 200_001)
    for k in range(4):
        integral = np.trapezoid(stats.binom(3, grid).pmf(k) * share.pdf(grid), grid)
        assert stats.betabinom(3, 5, 37).pmf(k) == pytest.approx(integral, abs=1e-8)


def test_questions_are_frames(shop: mw.Shop) -> None:
    plan = planned(shop)
    done = shop.memory.accept(plan, on="2025-05-02")
    shop.memory.close(NAME, minutes={"cutting": 60.0}, glue="9 mL", on="2025-05-09")
    cost = shop.memory.ask("cost", kind="pods", since="2025-01-01", until="2025-12-31")
    assert list(cost.to_frame("polars")["jobs"]) == [1]
    assert cost[0].hours_actual == pytest.approx(1.0)
    assert shop.memory.ask("underestimated")[0].work == "cutting"
    # Closed once more to say where a template hangs: what was noted stays, the day too.
    shop.memory.close(NAME, hangs={"left pod": "by the door"})
    assert shop.memory.jobs()[0].on == "2025-05-09"
    assert cost == shop.memory.ask("cost", kind="pods", since="2025-01-01", until="2025-12-31")
    assert shop.memory.ask("used")[0].glue_used_ml == pytest.approx(9.0)
    assert len(shop.memory.ask("old offcuts", before="2026-05-03")) == len(done.kept)
    with pytest.raises(mw.UnknownNameError):
        shop.memory.ask("cost", kind="wheels")


def test_the_other_side_is_one_call_and_is_planned_once_somebody_has_looked(shop: mw.Shop) -> None:
    shop.memory.accept(planned(shop))
    shop.memory.close(NAME, edits={"left pod": {"front_cut": "3 mm"}})
    again = functools.partial(
        shop.memory.again,
        "left pod",
        start="2027-01-04 08:30",
        other_side=True,
        place="right sail",
    )
    refused = mw.plan(again(), shop=shop, draws=0)
    assert refused.refused
    assert not refused.parts
    made = mw.plan(again(looked=True), shop=shop, draws=0)
    assert [(part.name, part.hand) for part in made.parts] == [("right pod", "right")]


def run(*words: str | Path, text: str | None = None) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "mountwright", *map(str, words)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        input=text,
    )


def test_the_command_line_goes_from_accept_to_ask(tmp_path: Path) -> None:
    ours = ("--shop", "demo-data/shop.toml", "--memory", tmp_path / "shop.db")
    out = tmp_path / "out"
    run("plan", "demo-data/pillar-pods.toml", *ours[:2], "--draws", "0", "--out", out)
    assert run("accept", out, *ours, "--quoted").returncode == 0
    done = run("accept", out, *ours)
    assert (done.returncode, done.stderr) == (0, "")
    assert (out / "labels.pdf").read_bytes()[:5] == b"%PDF-"
    twice = run("accept", out, *ours)
    assert twice.returncode == 2
    assert "was accepted on" in twice.stderr
    assert "Traceback" not in twice.stderr
    name = json.loads(run("rack", *ours, "--json").stdout)["offcuts"]["rows"][-1]["name"]
    assert "left bay" in run("rack", *ours, "--place", f"{name}: left bay").stdout
    put = run("rack", *ours, "--put", "abs, 3 mm, 420 mm x 310 mm", "--count", "ABS 3 mm: 2")
    assert (put.returncode, put.stderr) == (0, "")
    closed = run("close", NAME, *ours, "--minutes", "cutting=45", "--heats", "3", "--spoiled", "1")
    assert (closed.returncode, closed.stderr) == (0, "")
    assert "cutting" in closed.stdout
    assert "cutting" in run("ask", "underestimated", *ours).stdout
    assert '"state": "done"' in run("ask", "jobs", *ours, "--json").stdout
    came = run("comeback", NAME, *ours, "--what", "glue let go", "--where", "left pillar")
    assert "glue let go" in came.stdout
    job = tmp_path / "again.toml"
    made = run("again", "left pod", *ours, "--start", "2027-01-04 08:30", "--out", job)
    assert (made.returncode, made.stderr) == (0, "")
    assert run("plan", job, *ours, "--draws", "0").returncode == 0
    assert run("again", "left pod", *ours, "--start", "x", "--out", job).returncode == 2
    assert run("coupon", "abs", "3 mm", "100 mm", "92 s", *ours).returncode == 0
    assert run("export", tmp_path / "plain", *ours).returncode == 0
    new = ("--shop", "demo-data/shop.toml", "--memory", tmp_path / "new.db")
    assert run("load", tmp_path / "plain", *new).returncode == 0
    assert run("ask", "jobs", *new).stdout == run("ask", "jobs", *ours).stdout


def test_what_must_not_be_made_is_not_accepted(shop: mw.Shop, tmp_path: Path) -> None:
    """A driver deeper than its door fails a check: library and command refuse, and take nothing."""
    text = (DEMO / "door-rings.toml").read_text(encoding="utf-8")
    job = mw.Job.from_text(text.replace('free_depth = "52 mm', 'free_depth = "30 mm'))
    plan = mw.plan(job, shop=shop, draws=0)
    with pytest.raises(mw.ImpossibleError, match="front door ring fails 1 check") as caught:
        shop.memory.accept(plan, on=DAY)
    assert "plan it once more" in str(caught.value)
    assert not shop.memory.jobs()
    plan.write_packet(tmp_path / "out")
    ours = ("--shop", "demo-data/shop.toml", "--memory", tmp_path / "shop.db")
    refused = run("accept", tmp_path / "out", *ours)
    assert refused.returncode == 2
    assert "depth" in refused.stderr
    assert "Traceback" not in refused.stderr
    assert not (tmp_path / "out" / "labels.pdf").exists()


@pytest.mark.parametrize(
    "words",
    [
        ("accept", "no/such/packet"),
        ("accept", "demo-data/shop.toml"),
        ("close", "no such job"),
        ("close", "x", "--minutes", "cutting"),
        ("rack", "--put", "abs"),
        ("rack", "--gone", "K-001"),
        ("rack", "--count", "no such sheet: 2"),
        ("again", "left pod", "--start", "2027-01-04 08:30"),
        ("coupon", "abs", "3 mm", "100 mm", "forever"),
        ("ask", "cost", "--kind", "wheels"),
        ("load", "no/such/folder"),
    ],
)
def test_bad_words_are_told_without_a_traceback(words: tuple[str, ...], tmp_path: Path) -> None:
    done = run(*words, "--shop", "demo-data/shop.toml", "--memory", tmp_path / "shop.db")
    assert done.returncode == 2
    assert done.stderr
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("wrong", "what"),
    [
        ({"minutes": {"cutting": math.nan}}, "minutes of cutting"),
        ({"minutes": {"cutting": -1.0}}, "minutes of cutting"),
        ({"heats": -1}, "heats"),
        ({"spoiled": -2}, "spoiled"),
        ({"spares": {"left pod": -1}}, "spares of left pod"),
        ({"more_cost": math.inf}, "more_cost"),
        ({"glue": "-3 mL"}, "glue_used"),
    ],
)
def test_counts_that_cannot_be_are_named_with_what_is_allowed(
    shop: mw.Shop, wrong: dict[str, Any], what: str
) -> None:
    shop.memory.accept(planned(shop), on=DAY)
    with pytest.raises(mw.OutOfRangeError, match="allowed is") as caught:
        shop.memory.close(NAME, on=DAY, **wrong)
    assert caught.value.what == what
    low, high = caught.value.allowed
    assert not low <= caught.value.given <= high
    assert shop.memory.jobs()[0].state == "accepted"


def test_sizes_and_words_that_cannot_be_are_named(shop: mw.Shop) -> None:
    memory = shop.memory
    with pytest.raises(mw.OutOfRangeError, match=r"width is -0\.04") as caught:
        memory.put("abs", "3 mm", "-4 cm", "10 cm")
    assert caught.value.unit == "m"
    with pytest.raises(mw.OutOfRangeError, match="on_hand is -1"):
        memory.count("ABS 3 mm", -1)
    with pytest.raises(mw.ShapeError, match="whole number"):
        memory.count("ABS 3 mm", 1.5)  # type: ignore[arg-type]
    with pytest.raises(mw.UnitError, match="thickness is 3"):
        memory.put("abs", 3, "40 mm", "10 cm")  # type: ignore[arg-type]
    with pytest.raises(mw.UnknownNameError, match="known: cost, underestimated"):
        memory.ask("zz")  # type: ignore[arg-type]
    with pytest.raises(mw.UnknownNameError, match="known: spring"):
        memory.came_back(NAME, "x", "y", season="wet")  # type: ignore[arg-type]
    with pytest.raises(mw.UnknownNameError, match="known: quoted"):
        memory.jobs("lost")  # type: ignore[arg-type]
    with pytest.raises(mw.ShapeError, match="2026-02-01 or later"):
        memory.ask("cost", since="2026-02-01", until="2025-01-01")


def test_days_are_held_against_each_other(shop: mw.Shop) -> None:
    memory, plan = shop.memory, planned(shop)
    memory.quote(plan, on="2026-03-02")
    with pytest.raises(mw.ShapeError, match="2026-03-02 or later: it was quoted then"):
        memory.accept(plan, on="2026-03-01")
    memory.accept(plan, on="2026-03-04")
    with pytest.raises(mw.ShapeError, match="2026-03-04 or later: it was accepted then"):
        memory.close(NAME, on="2026-03-03")
    memory.close(NAME, on="2026-03-06")
    with pytest.raises(mw.ShapeError, match="2026-03-06 or later: it was done then"):
        memory.came_back(NAME, "glue let go", "left pillar", on="2026-03-05")
    memory.came_back(NAME, "glue let go", "left pillar", on="2026-07-05")
    with pytest.raises(mw.ShapeError, match="2026-07-05 or earlier: it came back then"):
        memory.close(NAME, on="2026-07-06")
    # A day that is refused changes nothing.
    assert memory.jobs()[0].on == "2026-03-06"


def test_spoiled_parts_count_as_heated_once_more_and_only_where_parts_are_heated(
    shop: mw.Shop,
) -> None:
    shop.memory.accept(planned(shop), on=DAY)
    shop.memory.close(NAME, spoiled=1, on=DAY)
    used = shop.memory.ask("used")[0]
    assert (used.parts_formed, used.heats, used.spoiled) == (2, 3, 1)
    rings = mw.plan(mw.Job.read(DEMO / "door-rings.toml"), shop=shop, draws=0)
    shop.memory.accept(rings, on=DAY)
    with pytest.raises(mw.ShapeError, match="no part of this job is formed hot"):
        shop.memory.close(rings.job.name, spoiled=1, on=DAY)


def test_a_question_to_a_wrong_name_makes_no_file(tmp_path: Path) -> None:
    path = tmp_path / "shpo.db"
    memory = mw.Shop.read(DEMO / "shop.toml", memory=path).memory
    in_file = {row.name for row in mw.Shop.read(DEMO / "shop.toml", memory=path).memory.rack()}
    # What the shop's file tells stands there all the same.
    assert "A-17" in in_file
    assert len(memory.ask("comebacks")) == len(memory.jobs()) == len(memory.trials()) == 0
    with pytest.raises(mw.UnknownNameError):
        memory.close(NAME)
    with pytest.raises(mw.UnknownNameError):
        memory.again("left pod", start="2026-12-01 08:30")
    with pytest.raises(FileNotFoundError, match="no memory to export"):
        memory.export(tmp_path / "plain")
    assert list(tmp_path.iterdir()) == []
    nowhere = mw.Shop.read(DEMO / "shop.toml", memory=tmp_path / "no" / "shop.db").memory
    for ask in (nowhere.jobs, lambda: nowhere.put("abs", "3 mm", "40 mm", "10 cm")):
        with pytest.raises(FileNotFoundError, match="folder of this memory is not there"):
            ask()
    told = run("ask", "jobs", "--shop", DEMO / "shop.toml", "--memory", path)
    assert (told.returncode, told.stdout) == (2, "")
    assert f"there is no such file: {path}" in told.stderr.replace("\n", " ")
    assert list(tmp_path.iterdir()) == []
    (tmp_path / "empty.db").touch()
    told = run("rack", "--shop", DEMO / "shop.toml", "--memory", tmp_path / "empty.db")
    assert (told.returncode, "the file is empty" in told.stderr) == (2, True)
    assert (tmp_path / "empty.db").stat().st_size == 0


def test_what_is_refused_makes_no_memory(tmp_path: Path) -> None:
    memory = mw.Shop.read(DEMO / "shop.toml", memory=tmp_path / "shop.db").memory
    with pytest.raises(FileNotFoundError):
        memory.load(tmp_path / "no")
    with pytest.raises(mw.UnknownNameError, match="nearest: abs"):
        memory.put("absx", "3 mm", "40 mm", "10 cm")
    assert list(tmp_path.iterdir()) == []


def test_what_one_command_says_of_the_rack_is_done_or_nothing(tmp_path: Path) -> None:
    ours = ("--shop", "demo-data/shop.toml", "--memory", tmp_path / "shop.db")
    put = ("--put", "abs, 3 mm, 420 mm x 310 mm")
    failed = run("rack", *ours, *put, "--count", "ABS 3 mm: 2", "--gone", "A-17", "--gone", "Z-1")
    assert failed.returncode == 2
    assert "Z-1" in failed.stderr
    assert list(tmp_path.iterdir()) == []
    assert run("rack", *ours, *put).returncode == 0
    before = run("rack", *ours, "--json").stdout
    assert run("rack", *ours, *put, "--gone", "A-17", "--gone", "Z-1").returncode == 2
    assert run("rack", *ours, "--json").stdout == before
    done = run("rack", *ours, *put, *put, "--gone", "A-17", "--place", "K-001: left bay")
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("in    K-002\nin    K-003\n")


def test_a_day_is_said_when_a_plan_is_accepted(tmp_path: Path) -> None:
    ours = ("--shop", "demo-data/shop.toml", "--memory", tmp_path / "shop.db")
    out = tmp_path / "out"
    run("plan", "demo-data/pillar-pods.toml", *ours[:2], "--draws", "0", "--out", out)
    refused = run("accept", out, *ours, "--labels", tmp_path / "labels.doc")
    assert (refused.returncode, "labels.doc" in refused.stderr) == (2, True)
    assert not (tmp_path / "labels.doc").exists()
    assert not (tmp_path / "shop.db").exists()
    assert run("accept", out, *ours, "--on", "2026-11-24").returncode == 0
    jobs = json.loads(run("ask", "jobs", *ours, "--json").stdout)
    assert [row["on"] for row in jobs["rows"]] == ["2026-11-24"]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("ask", "comebacks", "--kind", "pods"), "--kind goes with the question cost"),
        (("ask", "jobs", "--year", "2025"), "--year goes with the question cost"),
        (("ask", "cost", "--before", DAY), "--before goes with the question old-offcuts"),
    ],
)
def test_an_option_that_a_question_has_no_use_for_is_refused(
    words: tuple[str, ...], told: str, tmp_path: Path
) -> None:
    done = run(*words, "--shop", "demo-data/shop.toml", "--memory", tmp_path / "shop.db")
    assert (done.returncode, told in done.stderr) == (2, True)


def test_limits_and_places_that_have_no_use_are_refused(shop: mw.Shop) -> None:
    with pytest.raises(mw.ShapeError, match="kind of the question 'used'"):
        shop.memory.ask("used", kind="pods")
    with pytest.raises(mw.ShapeError, match="the other side alone"):
        shop.memory.again("left pod", start="2027-01-04 08:30", place="right sail")


def test_planned_minutes_are_means(shop: mw.Shop) -> None:
    """The mean of times that are rather exceeded than undercut lies above the likeliest.

    Summed over all work it is the mean of the hours, which lies between the ninth and the first
    tenth of the draws.
    """
    plan = planned(shop, draws=128)
    shop.memory.accept(plan, on=DAY)
    hours = sum(shop.memory.planned_minutes(NAME).values()) / 60
    band = plan.to_dict()["estimate"]["hours"]
    assert hours > band["nominal"]
    assert band["p10"] < hours < band["p90"]


def test_the_first_name_that_is_given_is_the_first(shop: mw.Shop) -> None:
    """Offcuts that bring their own name use none up; a name is not given again after an undo."""
    done = shop.memory.accept(planned(shop), on=DAY)
    assert done.offcuts_taken == ("A-17",)
    assert [piece.name for piece in done.kept] == ["K-001"]
    shop.memory.undo(NAME)
    assert [piece.name for piece in shop.memory.accept(planned(shop), on=DAY).kept] == ["K-002"]


def test_again_refuses_what_is_no_start_before_a_file_is_written(shop: mw.Shop) -> None:
    shop.memory.accept(planned(shop), on=DAY)
    shop.memory.close(NAME, on=DAY)
    with pytest.raises(mw.UnitError, match="2026-12-01 08:30") as caught:
        shop.memory.again("left pod", start="tomorrow")
    assert (caught.value.what, caught.value.given) == ("start", "tomorrow")
    assert shop.memory.taught().title.startswith("What 0 done jobs")


def test_a_trial_that_no_gun_can_have_had_is_refused_and_a_wrong_one_forgotten(
    shop: mw.Shop,
) -> None:
    """Three seconds for 3 mm: the sheet alone holds more heat than 0.2 MW/m² brings in that time.

    1050 kg/m³ × 1500 J/(kg K) × 3 mm × 80 K = 0.38 MJ/m² (handbook values of ABS, remembered).
    """
    memory = shop.memory
    with pytest.raises(mw.OutOfRangeError, match="try again") as caught:
        memory.tried("abs", "3 mm", "100 mm", "3 s")
    low, high = caught.value.allowed
    assert low * 0.2e6 > 1050 * 1500 * 3e-3 * 80 * 0.2
    assert low < high
    memory.tried("abs", "3 mm", "100 mm", "80 s", turn_every="8 s", on=DAY)
    memory.tried("abs", "3 mm", "100 mm", "84 s", turn_every="8 s", width="60 mm", on=DAY)
    assert [row.number for row in memory.trials()] == [1, 2]
    assert "50 mm by 100 mm" in str(memory.trials())
    memory.forget_trial(1)
    assert [row.limp_after_s for row in memory.trials()] == [84.0]
    with pytest.raises(mw.UnknownNameError):
        memory.forget_trial(1)


def test_a_comeback_by_mistake_is_forgotten(shop: mw.Shop) -> None:
    memory = shop.memory
    memory.accept(planned(shop), on=DAY)
    memory.close(NAME, on=DAY)
    with pytest.raises(mw.ImpossibleError, match="none is noted"):
        memory.forget_comeback(NAME)
    memory.came_back(NAME, "glue let go", "left pillar", on=DAY)
    memory.came_back(NAME, "rattles", "right pillar", on=DAY)
    memory.forget_comeback(NAME)
    assert [row.what for row in memory.ask("comebacks")] == ["glue let go"]


def test_lot_and_thickness_of_the_rack_go_into_plans(shop: mw.Shop) -> None:
    """What was measured on one lot says nothing of the next."""
    name = "ABS 3 mm"
    shop.memory.count(name, 3, lot="L-7", thickness="2.9 mm", on=DAY)
    plan = planned(shop)
    numbers = {e["name"]: e["value"] for e in plan.to_dict()["provenance"]["entries"]}
    assert numbers[f"sheet {name}: thickness"] == pytest.approx(2.9e-3)
    assert "L-7" in plan.to_json()


def test_a_plan_tells_what_the_memory_moved(shop: mw.Shop) -> None:
    assert "\nmemory" not in str(planned(shop))
    shop.memory.accept(planned(shop), on=DAY)
    shop.memory.close(NAME, minutes={"cutting": 90.0}, on=DAY)
    told = str(planned(shop, 2))
    assert "\nmemory" in told
    assert "pace of the fabricator" in told
    assert shop.memory.taught().title.startswith("What 1 done job taught")


def test_accepting_lists_what_must_be_ordered(shop: mw.Shop) -> None:
    rings = mw.plan(mw.Job.read(DEMO / "door-rings.toml"), shop=shop, draws=0)
    bought = [p["name"] for layout in rings.to_dict()["layouts"] for p in layout["buy"]]
    done = shop.memory.accept(rings, on=DAY)
    assert [sheet.name for sheet in done.order] == bought
    assert all(f"order     {s.count} × {s.name}" in str(done) for s in done.order)


def test_a_shop_with_materials_of_its_own_has_a_memory(tmp_path: Path) -> None:
    text = (DEMO / "shop.toml").read_text(encoding="utf-8")
    own = text.replace('material = "abs"', 'material = "house-sheet"')
    shop = mw.Shop.from_text(own, memory=tmp_path / "shop.db")
    assert shop.memory.put("house-sheet", "3 mm", "40 mm", "10 cm", on=DAY) == "K-001"
    assert "house-sheet" in {row.material for row in shop.memory.rack()}
    with pytest.raises(mw.UnknownNameError):
        shop.memory.put("hose-sheet", "3 mm", "40 mm", "10 cm")


def test_heats_that_follow_from_spoiled_parts_follow_a_new_count_of_them(shop: mw.Shop) -> None:
    memory = shop.memory
    memory.accept(planned(shop), on=DAY)
    memory.close(NAME, spoiled=1, on=DAY)
    memory.close(NAME, spoiled=4)
    row = memory.ask("used")[0]
    # Two pods, each formed once, and once more for each that came out wrong.
    assert (row.heats, row.spoiled) == (6, 4)
    memory.close(NAME, heats=9)
    memory.close(NAME, spoiled=2)
    row = memory.ask("used")[0]
    assert (row.heats, row.spoiled) == (9, 2)


def test_a_job_whose_offcut_was_broken_can_be_taken_back(shop: mw.Shop) -> None:
    before = {row.name for row in shop.memory.rack()}
    done = shop.memory.accept(planned(shop), on=DAY)
    shop.memory.scrap(done.kept[0].name)
    shop.memory.undo(NAME)
    assert {row.name for row in shop.memory.rack()} == before


def test_an_offcut_says_its_form(tmp_path: Path) -> None:
    shop = mw.Shop.read(DEMO / "shop.toml", memory=tmp_path / "shop.db")
    rings = mw.plan(DEMO / "door-rings.toml", shop=shop, draws=0)
    told = str(shop.memory.accept(rings, on=DAY))
    assert "disc of 127 mm" in told
    assert {row.form for row in shop.memory.rack()} == {"rectangle", "disc", "other"}


def test_a_name_that_is_misspelt_is_told_before_anything_is_planned(tmp_path: Path) -> None:
    wrong = tmp_path / "misspelt.db"
    for name in ("plan", "sources"):
        job = ("demo-data/pillar-pods.toml", "--shop", "demo-data/shop.toml")
        told = run(name, *job, "--memory", wrong)
        assert told.returncode == 2
        assert "there is no such file" in told.stderr
        assert "mend its name" in told.stderr
        assert not wrong.exists()
    made = run(
        *("rack", "--shop", "demo-data/shop.toml", "--memory", wrong),
        *("--put", "abs, 3 mm, 420 mm x 310 mm"),
    )
    assert made.returncode == 0
    assert f"{wrong}: a new memory" in made.stdout
    again = run("rack", "--shop", "demo-data/shop.toml", "--memory", wrong, "--gone", "K-001")
    assert "a new memory" not in again.stdout


def test_a_trial_of_a_material_that_no_catalogue_has_is_named_with_its_remedy(
    shop: mw.Shop,
) -> None:
    """An older program wrote down what it was told; only SQL can write such rows now."""
    memory = shop.memory
    memory.tried("abs", "3 mm", "100 mm", "72 s", turn_every="8 s", on="2026-11-26")
    memory.put("abs", "3 mm", "420 mm", "310 mm", on="2026-11-26")
    with contextlib.closing(sqlite3.connect(memory.path)) as db, db:
        db.execute("UPDATE coupon SET material = 'abss'")
        db.execute("UPDATE offcut SET material = 'abss'")
    job = mw.Job.read(DEMO / "pillar-pods.toml")
    with pytest.raises(mw.MemoryFileError) as caught:
        mw.plan(job, shop=shop, draws=0)
    error = caught.value
    assert (error.fault, error.path) == ("unknown-material", memory.path)
    assert "trial 1 of the gun" in error.what
    assert '"abss" (nearest: abs)' in error.what
    assert "mountwright coupon --forget 1" in error.remedy
    # The remedy mends it; the offcut blocks nothing, and is named too.
    memory.forget_trial(1)
    notes = [note.text for note in mw.plan(job, shop=shop, draws=0).notes]
    strange = next(text for text in notes if "abss" in text)
    assert "K-001" in strange
    assert "rack --gone" in strange
    memory.scrap("K-001")
    notes = [note.text for note in mw.plan(job, shop=shop, draws=0).notes]
    assert not any("abss" in text for text in notes)


def test_what_is_usually_lost_is_in_the_planned_cost(shop: mw.Shop) -> None:
    """The plan holds blanks that come out wrong: ``more_cost`` is what goes beyond them."""
    job = mw.Job.read(DEMO / "pillar-pods.toml")
    text = (DEMO / "shop.toml").read_text(encoding="utf-8")

    def cost(share: str) -> float:
        own = text.replace('spoilage = "10 %"', f'spoilage = "{share}"')
        plan = mw.plan(job, shop=mw.Shop.from_text(own, path=str(DEMO / "shop.toml")), draws=64)
        return float(plan.to_dict()["estimate"]["mean_cost"])

    assert cost("0 %") < cost("10 %") < cost("40 %")
    plan = mw.plan(job, shop=shop, draws=64)
    shop.memory.accept(plan, on="2026-11-26")
    shop.memory.close(plan.job.name, heats=3, spoiled=1, on="2026-12-02")
    # A blank that was lost costs no more than planned, unless something is noted beside.
    row = shop.memory.ask("cost")[0]
    assert row.cost_actual == row.cost_planned
    shop.memory.close(plan.job.name, more_cost=5.0)
    row = shop.memory.ask("cost")[0]
    assert row.cost_actual == pytest.approx(row.cost_planned + 5.0)


def test_money_of_a_table_keeps_its_cents() -> None:
    rows = [{"quoted_net": 650.09, "left_over": 12345.678, "hours_actual": 650.09}]
    table = mw.Table({"title": "", "columns": list(rows[0]), "rows": rows})
    assert str(table).split()[-3:] == ["650.09", "12345.68", "650.1"]


def test_heats_that_leave_no_good_part_are_refused(shop: mw.Shop) -> None:
    shop.memory.accept(planned(shop), on=DAY)
    counts: tuple[tuple[int, int], ...] = ((1, 0), (3, 3), (1000, 0))
    for heats, spoiled in counts:
        with pytest.raises(mw.OutOfRangeError, match="allowed is"):
            shop.memory.close(NAME, heats=heats, spoiled=spoiled, on=DAY)
    assert shop.memory.jobs()[0].state == "accepted"


def test_closing_tells_which_tasks_a_name_covers(shop: mw.Shop) -> None:
    shop.memory.accept(planned(shop), on=DAY)
    (cut,) = shop.memory.close(NAME, minutes={"cut": 20.0}, on=DAY)
    assert "without" in str(cut)
    (cutting,) = shop.memory.close(NAME, minutes={"cutting": 40.0}, on=DAY)
    assert set(cutting.tasks) == {*cut.tasks, *cut.left_out}
    assert str(cutting).startswith("cutting: all of it")


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01"])
def test_days_far_off_are_refused(shop: mw.Shop, day: str) -> None:
    with pytest.raises(mw.ShapeError, match="2000 to 2100"):
        shop.memory.accept(planned(shop), on=day)
