"""What the customer sees, and ways to make a job side by side."""

import html
import json
import re
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner

import mountwright as mw
from mountwright.cli import _commands
from mountwright.packet.words import NO_SPREAD

DEMO = Path(__file__).parents[2] / "demo-data"
SHOP = mw.Shop.read(DEMO / "shop.toml")
RINGS = (DEMO / "door-rings.toml").read_text(encoding="utf-8")
WAYS: dict[str, dict[str, Any]] = {
    "panel from PC": {"part": "kick panel", "material": "pc"},
    "all bare": {"finish": "bare"},
    "thin": {"thickness": "1.5 mm"},
}


def headed(lines: str) -> mw.Job:
    return mw.Job.from_text(RINGS.replace("\n[[", f"\n{lines}\n[[", 1))


def words(page: str) -> str:
    return " ".join(re.sub(r"(?s)<style>.*?</style>|<[^>]*>", " ", page).split())


def test_the_quote_shows_the_customer_price_and_promise_and_nothing_of_the_shop(
    tmp_path: Path,
) -> None:
    quote = (
        '[quote]\nnumber = "41"\ncustomer = "<b>the owner</b>"\ndeposit = "30 %"\nbreaks = [1, 3]'
    )
    plan = mw.plan(headed(quote), shop=SHOP, draws=32)
    plan.write_packet(tmp_path)
    page = (tmp_path / "quote.html").read_text(encoding="utf-8")
    seen = words(page)
    assert plan.quote
    wanted = [plan.quote.gross, plan.quote.net, plan.quote.tax, plan.quote.deposit, "Quote 41"]
    wanted += [line.net for line in plan.quote.lines] + [row.net for row in plan.quote.breaks]
    wanted += ["23 December 2026", "The price is fixed", *plan.quote.work]
    for text in wanted:
        assert text in seen
    assert "&lt;b&gt;the owner" in page
    assert plan.estimate
    for text in ("margin", "overhead", "rework", "chance", "learning", "per hour"):
        assert text not in seen.lower()
    # Every amount on the page is one of the quote's own, none of the shop's costs or rates.
    own = {plan.quote.gross, plan.quote.deposit}
    for line in [plan.quote, *plan.quote.lines]:
        own |= {line.net, line.tax}
    for row in plan.quote.breaks:
        own |= {row.net, row.each_net}
    assert set(re.findall(r"\d+\.\d\d", seen)) == own
    assert not re.search(r"""(?:src|href)=["'](?!data:|#)""", page)
    # What the office sees stands in the packet.
    office = words((tmp_path / "packet.html").read_text(encoding="utf-8"))
    assert "margin 40 % of the price" in office
    assert "overhead" in office


def test_an_estimate_shows_its_range(tmp_path: Path) -> None:
    job = headed('[quote]\nbinding = "estimate"')
    plan = mw.plan(job, shop=SHOP, draws=32)
    plan.write_packet(tmp_path)
    assert plan.quote
    assert plan.quote.range
    low, high = plan.quote.range
    seen = words((tmp_path / "quote.html").read_text(encoding="utf-8"))
    assert f"between {low} XTS and {high} XTS" in seen
    assert float(low) <= float(plan.quote.gross) <= float(high)


def test_ways_stand_side_by_side(tmp_path: Path) -> None:
    job = mw.Job.read(DEMO / "door-rings.toml")
    found = mw.compare(job, shop=SHOP, ways=WAYS, draws=32)
    assert found.ways[0].gross == mw.plan(job, shop=SHOP, draws=32).price.gross  # type: ignore[union-attr]
    assert min(float(way.more_gross) for way in found.ways if way.more_gross) == 0
    assert "1.5 mm" in found.ways[3].problem
    lines = str(found).splitlines()
    # Why the last cannot be made stands beneath, in full, so that columns stay narrow.
    assert len(lines) == 6
    assert lines[0].startswith("way")
    assert "1.5 mm" in lines[-1]
    assert max(map(len, lines[:5])) < 120
    page = found.write_page(tmp_path / "ways.html").read_text(encoding="utf-8")
    seen = html.unescape(words(page))
    for way in found.ways:
        assert way.name in seen
        assert (way.gross or way.problem) in seen
    assert not re.search(r"""(?:src|href)=["'](?!data:|#)""", page)
    again = mw.Alternatives.from_json(found.to_json())
    assert again == found


@pytest.mark.parametrize(
    ("way", "error"),
    [
        ({}, mw.ShapeError),
        ({"colour": "red"}, mw.JobError),
        ({"thickness": "3 kg"}, mw.JobError),
        ({"thickness": "3 m"}, mw.JobError),
        ({"finish": "gold"}, mw.JobError),
        ({"sets": 100_000}, mw.JobError),
        ({"part": "kick panle", "material": "pc"}, mw.UnknownNameError),
    ],
)
def test_ways_that_cannot_be_are_refused(way: dict[str, Any], error: type[Exception]) -> None:
    job = mw.Job.read(DEMO / "door-rings.toml")
    with pytest.raises(error):
        mw.compare(job, shop=SHOP, ways={"odd": way}, draws=0)


def test_ways_from_the_command_line(tmp_path: Path) -> None:
    files = [str(DEMO / "door-rings.toml"), "--shop", str(DEMO / "shop.toml"), "--draws", "0"]
    page = tmp_path / "ways.html"
    ways = ["--way", "bare: finish=bare", "--way", "three: sets=3"]
    done = CliRunner().invoke(_commands, ["compare", *files, *ways, "--out", str(page)])
    assert done.exit_code == 0, done.output
    assert page.exists()
    done = CliRunner().invoke(_commands, ["compare", *files, *ways, "--json"])
    assert [way["name"] for way in json.loads(done.output)["ways"]] == [
        "as it stands",
        "bare",
        "three",
    ]
    done = CliRunner().invoke(_commands, ["compare", *files, "--way", "bare"])
    assert done.exit_code == 2
    done = CliRunner().invoke(_commands, ["compare", *files, "--way", "odd: part=nobody"])
    assert done.exit_code == 2


def faces(draws: int, folder: Path) -> dict[str, str]:
    """Give the words of one plan wherever it is read."""
    plan = mw.plan(mw.Job.read(DEMO / "door-rings.toml"), shop=SHOP, draws=draws)
    plan.write_packet(folder)
    book = openpyxl.load_workbook(plan.write_workbook(folder / "job.xlsx"))
    cells = " ".join(str(c.value) for ws in book for row in ws.iter_rows() for c in row if c.value)
    return {
        "terminal": " ".join(str(plan).split()),
        "workbook": cells,
        **{
            name: html.unescape(words((folder / name).read_text(encoding="utf-8")))
            for name in ("packet.html", "quote.html")
        },
    }


def test_the_promise_has_the_same_words_wherever_it_is_read(tmp_path: Path) -> None:
    for face, seen in faces(32, tmp_path).items():
        assert "nine jobs in ten like this one are ready by then" in seen.lower(), face
        assert "if every task takes its likeliest time" not in seen, face
        assert "no spread was computed" not in seen.lower(), face


def test_without_draws_every_face_says_that_there_is_no_spread(tmp_path: Path) -> None:
    seen = faces(0, tmp_path)
    for face, text in seen.items():
        # A terminal has less room.
        assert ("no spread was computed" if face == "terminal" else NO_SPREAD) in text, face
        assert "nine jobs in ten" not in text.lower(), face
    assert "Not an offer" in seen["quote.html"]
    assert seen["quote.html"].startswith("Draft")


@pytest.mark.parametrize("name", ["pillar-pods", "dash-pods", "kick-panels"])
def test_hot_work_is_done_before_glue_is_opened_and_the_last_visit_lasts_to_the_promise(
    name: str,
) -> None:
    plan = mw.plan(DEMO / f"{name}.toml", shop=SHOP, draws=32)
    assert plan.schedule
    assert plan.promise
    entries = plan.schedule.entries
    # Data sheets of solvent-borne primers and glues: no flame and no heat gun near.
    hot = [e.hands_off_s for e in entries if e.kind in {"heat", "form"}]
    opened = [e.start_s for e in entries if e.kind in {"bond", "finish"}]
    assert max(hot, default=0) <= min(opened)
    assert plan.promise.visits[-1].to == plan.promise.p90


def test_a_pot_of_paint_is_mixed_once_for_the_batch() -> None:
    text = (DEMO / "pillar-pods.toml").read_text(encoding="utf-8")
    painted = mw.Job.from_text(text.replace("vinyl-wrap", "filled-painted"))
    plan = mw.plan(painted, shop=SHOP, draws=0)
    mixed = [task.id for task in plan.tasks if "mix paint" in task.id]
    assert len(mixed) == 1
    coats = [task for task in plan.tasks if task.id.endswith("colour coats")]
    assert len(coats) == 2
    assert all(mixed[0] in task.after for task in coats)


def test_only_what_was_formed_hot_is_said_to_move_in_the_sun(tmp_path: Path) -> None:
    for name, formed in (("door-rings", False), ("pillar-pods", True)):
        plan = mw.plan(DEMO / f"{name}.toml", shop=SHOP, draws=8)
        plan.write_packet(tmp_path / name)
        page = (tmp_path / name / "quote.html").read_text(encoding="utf-8")
        assert ("formed hot can move" in page) == formed
