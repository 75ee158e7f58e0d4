"""The packet says what the plan says, safely, whatever the plan says."""

import copy
import html
import json
import pickle
import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest

import mountwright as mw
from mountwright.packet.cues import cues
from mountwright.packet.words import by_beat, day, from_beat

VOID = {"meta", "input", "img", "br", "hr", "link"}


class Outline(HTMLParser):
    """What a reader without eyes gets: nesting, headings, ids, pictures."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.levels: list[int] = []
        self.ids: list[str] = []
        self.pictures_without_words = 0
        self.words: list[str] = []
        self.feed(page)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = dict(attrs)
        if "id" in found:
            self.ids.append(found["id"] or "")
        if re.fullmatch(r"h[1-6]", tag):
            self.levels.append(int(tag[1]))
        if tag == "img" and not found.get("alt"):
            self.pictures_without_words += 1
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self.open.pop()

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] not in {"style", "script"}:
            self.words.append(data)


def page_of(plan: mw.Plan, folder: Path) -> str:
    return plan.write_packet(folder).read_text(encoding="utf-8")


def changed(plan: mw.Plan, change: Callable[[dict[str, Any]], None]) -> mw.Plan:
    fields = plan.to_dict()
    change(fields)
    return mw.Plan(fields, drawings=plan.drawings)


def test_the_page_is_well_formed_and_can_be_heard(pods: mw.Plan, tmp_path: Path) -> None:
    outline = Outline(page_of(pods, tmp_path))
    assert len(outline.ids) == len(set(outline.ids))
    assert outline.levels[0] == 1
    assert outline.levels.count(1) == 1
    jumps = zip(outline.levels, outline.levels[1:], strict=False)
    assert all(lower <= upper + 1 for upper, lower in jumps)
    assert outline.pictures_without_words == 0


def test_the_page_says_every_part_place_price_and_caution(pods: mw.Plan, tmp_path: Path) -> None:
    words = " ".join(" ".join(Outline(page_of(pods, tmp_path)).words).split())
    assert pods.price
    wanted = [part.name for part in pods.parts]
    wanted += [place for refusal in pods.refused for place in (refusal.place, *refusal.parts)]
    wanted += [pods.price.gross, pods.price.net, *pods.cautions]
    wanted += [stroke[1:] for part in pods.parts if part.recipe for stroke in part.recipe.strokes]
    wanted += [check.name for part in pods.parts for check in part.checks]
    for text in wanted:
        assert text in words


def test_the_page_asks_for_nothing_and_runs_nothing(pods: mw.Plan, tmp_path: Path) -> None:
    page = page_of(pods, tmp_path)
    assert not re.search(r"""(?:src|href)=["'](?!data:|#)""", page)
    assert not re.search(r"url\((?!#)", page)
    assert "<script" not in page
    assert "@import" not in page


def test_every_drawing_is_xml_with_a_title(pods: mw.Plan, tmp_path: Path) -> None:
    page_of(pods, tmp_path)
    charts = sorted((tmp_path / "charts").glob("*.svg"))
    assert len(charts) == 2 + 2 * sum(1 for part in pods.parts if part.recipe)
    for path in charts:
        root = ElementTree.parse(path).getroot()
        assert root.findtext("{http://www.w3.org/2000/svg}title")
        assert root.findtext("{http://www.w3.org/2000/svg}desc")
    for path in (tmp_path / "drawings").glob("blank-*.svg"):
        assert ElementTree.parse(path).getroot().get("width", "").endswith("mm")


def test_letters_of_the_drawings_can_be_read_on_paper(pods: mw.Plan, tmp_path: Path) -> None:
    page_of(pods, tmp_path)
    # Width on paper in mm, from page.css: two windows side by side, lanes, the strip.
    wide = {"window": 86, "lanes": 135, "strip": 106}
    for path in (tmp_path / "charts").glob("*.svg"):
        mm = wide.get(path.stem.rpartition("-")[2])
        text = path.read_text(encoding="utf-8")
        sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', text)]
        across = float(re.findall(r'viewBox="0 0 ([\d.]+)', text)[0])
        if mm:
            # 7 points: common practice, no source.
            assert min(sizes) * mm / across / 25.4 * 72 >= 7, path.name


def test_plan_json_is_the_plan(pods: mw.Plan, tmp_path: Path) -> None:
    page_of(pods, tmp_path)
    text = (tmp_path / "plan.json").read_text(encoding="utf-8")
    assert json.loads(text) == pods.to_dict()


def test_text_from_a_job_cannot_become_markup(pods: mw.Plan, tmp_path: Path) -> None:
    evil = '"><script>alert(1)</script>&<img src=x onerror=alert(1)>'

    def change(plan: dict[str, Any]) -> None:
        plan["job"]["name"] = plan["job"]["vehicle"] = plan["shop"]["name"] = evil
        for part in plan["parts"]:
            part["name"] = evil
            part["places"] = [evil]
        for task in plan["tasks"]:
            task["id"] += evil
        for entry in plan["schedule"]["entries"]:
            entry["task"] += evil

    page = page_of(changed(pods, change), tmp_path)
    Outline(page)
    assert "<script" not in page
    assert "<img src=x" not in page
    for path in (tmp_path / "charts").glob("*.svg"):
        ElementTree.parse(path)


def test_a_window_that_never_opens_is_said_and_not_drawn(pods: mw.Plan, tmp_path: Path) -> None:
    never = {"nominal": None, "p10": None, "p50": None, "p90": None}

    def change(plan: dict[str, Any]) -> None:
        recipe = plan["parts"][0]["recipe"]
        for key in ("opens_s", "stop_s", "working_time_s", "hold_s", "touch_s"):
            recipe[key] = never
        recipe["has_window"] = False
        recipe["no_window"] = {
            "why": "the face is past its limit first",
            "remedies": ["turn the strap over every few seconds"],
        }
        recipe["strokes"] = []

    page = page_of(changed(pods, change), tmp_path)
    assert "The window never opens." in page
    assert "turn the strap over every few seconds" in page
    assert not (tmp_path / "charts" / "left-pod-strip.svg").exists()


def test_without_draws_there_are_no_ranges(pods: mw.Plan, tmp_path: Path) -> None:
    def strip(value: Any) -> None:
        if isinstance(value, dict):
            if "p10" in value and "nominal" in value:
                value.update(p10=None, p50=None, p90=None)
            for inside in value.values():
                strip(inside)
        elif isinstance(value, list):
            for inside in value:
                strip(inside)

    page = page_of(changed(pods, strip), tmp_path)
    assert "eight tries in ten" not in page
    assert "Seconds after limp" not in page
    assert "never to never" not in page


def test_a_plan_in_which_all_is_refused_has_a_page(pods: mw.Plan, tmp_path: Path) -> None:
    def change(plan: dict[str, Any]) -> None:
        plan.update(parts=[], layouts=[], tasks=[], causes=[])
        plan.update(schedule=None, promise=None, estimate=None, price=None, quote=None)

    plan = changed(pods, change)
    page = page_of(plan, tmp_path)
    Outline(page)
    assert "Not planned: " in page
    assert "for the office" not in page
    assert not (tmp_path / "quote.html").exists()
    assert "not planned" in str(plan)


def test_inches_reach_every_page(pods: mw.Plan, tmp_path: Path) -> None:
    page = page_of(changed(pods, lambda plan: plan["job"].update(units="inch")), tmp_path)
    assert " °F" in page
    assert " in</b>" in page


def test_two_parts_of_like_names_keep_their_own_charts(pods: mw.Plan, tmp_path: Path) -> None:
    def change(plan: dict[str, Any]) -> None:
        twin = copy.deepcopy(plan["parts"][0])
        twin["name"] = plan["parts"][0]["name"].upper()
        plan["parts"].append(twin)

    outline = Outline(page_of(changed(pods, change), tmp_path))
    assert len(outline.ids) == len(set(outline.ids))


def test_a_packet_of_long_and_like_names_keeps_every_drawing(tmp_path: Path) -> None:
    """File systems take names of 255 bytes; a blank here has a name of 300 letters."""
    demo = Path(__file__).parents[2] / "demo-data"
    text = (demo / "door-rings.toml").read_text(encoding="utf-8")
    text = text.replace('"kick panel"', f'"{"kick panel " * 27}x"')
    job = mw.Job.from_text(text, path=str(demo / "door-rings.toml"))
    plan = mw.plan(job, shop=mw.Shop.read(demo / "shop.toml"), draws=0)
    assert max(len(drawn.file) for drawn in plan.drawings) > 255
    plan.write_packet(tmp_path)
    names = [path.name for path in (tmp_path / "drawings").iterdir()]
    written = [drawn for drawn in plan.drawings if drawn.kind != "face"]
    assert len([name for name in names if name.endswith(".svg")]) == len(written)
    assert len([name for name in names if name.endswith(".pdf")]) == len(
        [drawn for drawn in written if drawn.pdf]
    )
    assert max(map(len, names)) < 120


def test_the_summary_fits_a_terminal(pods: mw.Plan) -> None:
    lines = str(pods).splitlines()
    assert max(len(line) for line in lines) <= 88
    assert any(line.startswith("not planned") for line in lines)
    assert any(line.startswith("price") for line in lines)


def test_a_plan_is_a_value(pods: mw.Plan) -> None:
    back = pickle.loads(pickle.dumps(pods))
    assert back == pods
    assert back.drawings == pods.drawings
    assert repr(pods).startswith("Plan(job=")
    assert pods._repr_html_().startswith("<pre>")
    with pytest.raises(AttributeError, match="frozen"):
        pods.price = None


def test_draws_that_cannot_be_made_are_said_first_and_in_the_units_of_the_bench(
    pods: mw.Plan, tmp_path: Path
) -> None:
    text = (
        "3 of 64 draws could not be made (the first: /invented/shop/job.toml: 1 fault\n  line 8: "
        "rings[0]: recess_depth_m is 6 mm, allowed is 6.09987968018 to 60 mm: take thicker sheet) "
        "and are left out of the ranges: measure again what has the widest ±"
    )

    def change(plan: dict[str, Any]) -> None:
        plan["notes"].append({"about": "draws", "text": text})

    plan = changed(pods, change)
    page = " ".join(" ".join(Outline(page_of(plan, tmp_path)).words).split())
    for said in (page[: page.index("Bench card")], " ".join(str(plan).split())):
        assert "3 of 64 draws could not be made" in said
        assert "rings, no. 1: recess depth is 6 mm, allowed is 6.1 to 60 mm" in said
    assert "job.toml" not in page
    assert "_m is" not in page


def test_printed_pages_bear_their_number_and_the_job_whatever_its_name(
    pods: mw.Plan, tmp_path: Path
) -> None:
    name = 'Ends "; } } </style><script>'
    page = page_of(changed(pods, lambda plan: plan["job"].update(name=name)), tmp_path)
    assert page.count("</style>") == 1
    style = page[: page.index("</style>")]
    assert "counter(page)" in style
    # CSS Syntax 3, section 4.3.7: a backslash and six digits of hexadecimal are one character.
    found = re.search(r'@bottom-left \{ content: "([^"]*)"; \}', style)
    assert found
    assert re.sub(r"\\([0-9a-f]{6})", lambda c: chr(int(c[1], 16)), found[1]) == name


def test_a_disc_has_a_diameter(rings: mw.Plan, pods: mw.Plan, tmp_path: Path) -> None:
    ring = next(part for part in rings.parts if part.kind == "ring")
    wide = mw.show(ring.blank.width_m, "length", digits=1)
    assert f"Blank <b>Ø {wide}</b>" in page_of(rings, tmp_path / "rings")
    assert "Ø" not in str(pods)


def test_one_table_of_times_has_one_unit(pods: mw.Plan, tmp_path: Path) -> None:
    page = page_of(pods, tmp_path)
    table = page[page.index('<table class="tasks">') :]
    rows = re.findall(r"</th><td>[^<]*</td><td>([^<]*)", table[: table.index("</table>")])
    assert pods.schedule
    assert len(rows) == len(pods.schedule.entries)
    assert all(re.fullmatch(r"[\d.]* ?", row) for row in rows)


def test_the_hold_on_a_card_is_never_longer_than_it_may_take(pods: mw.Plan, tmp_path: Path) -> None:
    hold = pods.parts[0].recipe.hold_s
    assert hold.nominal <= hold.p90
    assert f"up to {from_beat(hold.p90)}" in page_of(pods, tmp_path)


def test_card_strip_words_and_terminal_tell_the_same_times(pods: mw.Plan, tmp_path: Path) -> None:
    page = page_of(pods, tmp_path)
    for part, stem in zip(pods.parts, ("left-pod", "right-pod"), strict=True):
        recipe = part.recipe
        limp, hold = (from_beat(band.p50) for band in (recipe.opens_s, recipe.hold_s))
        shape = by_beat(recipe.working_time_s.p50)
        ranges = f"{from_beat(recipe.opens_s.p10)} to {from_beat(recipe.opens_s.p90)}"
        more = f"{recipe.more_s:.0f} s"
        card = page[page.index(f'id="{stem}"') :]
        card = card[: card.index("</section>")]
        figures = re.findall(r"<dd>([^<]*?)\s*(?:<small|</dd)", card)
        assert figures == [limp, more, shape, hold]
        assert f"<small>{ranges}</small>" in card
        told = " ".join(recipe.strokes)
        assert f"{more} more, then stop" in told
        assert all(time in told for time in (shape, hold, by_beat(recipe.latest_s)))
        strip = (tmp_path / "charts" / f"{stem}-strip.svg").read_text(encoding="utf-8")
        for words in (limp, ranges, f"limp + {more}", f"shape {shape}", f"hold {hold}"):
            assert words in strip
        summary = " ".join(str(pods).split())
        assert f"limp at about {limp} ({ranges}), then {more}, shape within {shape}" in summary


def test_no_stop_of_the_card_comes_before_limp_or_after_too_hot(pods: mw.Plan) -> None:
    for part in pods.parts:
        recipe = part.recipe
        # In nine draws of ten these seconds after limp lie before the best stop and the limit.
        assert 0 < recipe.more_s <= recipe.past_limp_s.p10 < recipe.window_s.p10
        assert recipe.more_s < recipe.too_long_s <= recipe.window_s.p10
        # The clock ends no run that is limp in time, by more than it is rounded.
        assert recipe.latest_s > recipe.opens_s.p90 + recipe.more_s - 5


def test_waits_have_one_unit_in_figure_and_range(pods: mw.Plan, tmp_path: Path) -> None:
    words = " ".join(" ".join(Outline(page_of(pods, tmp_path)).words).split())
    assert not re.search(r"\d h \d+ min", words)
    # Two units in one range: "295 s to 10 min".
    for low, high in re.findall(r"\d (s|min|h|days) to [\d.]+ (s|min|h|days)\b", words):
        assert low == high


def test_cautions_come_before_the_work_and_marginal_checks_stand_on_the_card(
    rings: mw.Plan, pods: mw.Plan, tmp_path: Path
) -> None:
    page = page_of(pods, tmp_path / "pods")
    card = page[page.index('id="left-pod"') : page.index('id="right-pod"')]
    order = ['class="cautions"', "<h3>Cut</h3>", "<h3>Heat</h3>", "Trial fit, then drill"]
    places = [card.index(words) for words in order]
    assert places == sorted(places)
    page = page_of(rings, tmp_path / "rings")
    ring = next(part for part in rings.parts if part.kind == "ring")
    shaky = [check.name for check in ring.checks if check.verdict == "marginal"]
    assert shaky
    card = page[page.index('id="front-door-ring"') : page.index('id="kick-panel"')]
    assert all(f"marginal: {name}" in card.replace("&#39;", "'") for name in shaky)
    quote = (tmp_path / "rings" / "quote.html").read_text(encoding="utf-8")
    assert "marginal" not in quote[quote.index("<body") :]


def test_a_card_says_from_which_piece_it_is_cut_and_what_lies_ready(
    pods: mw.Plan, tmp_path: Path
) -> None:
    page = page_of(pods, tmp_path)
    for part in pods.parts:
        card = page[page.index(f'id="{part.name.replace(" ", "-")}"') :]
        assert "From offcut A-17" in card[: card.index("</section>")]
        ready = " ".join(part.at_hand)
        for thing in ("2 screws", "4.0 mm thread", "foam", "cyanoacrylate", "primer", "vinyl film"):
            assert thing in ready
        assert "router bit 6.35 mm" in ready
        assert f"for 1 joint of {part.joint.area_m2 * 1e4:.1f} cm²" in ready
    # What was measured over the screws comes back: 50 and 57 mm, and 56 and 53 mm.
    assert "107.0 mm apart on the vehicle: REAR 57.0 mm, FRONT 50.0 mm" in pods.parts[0].bench[0]
    assert "109.0 mm apart on the vehicle: REAR 53.0 mm, FRONT 56.0 mm" in pods.parts[1].bench[0]
    assert "along the strap" in pods.parts[0].bench[1]


def test_a_figure_and_its_limit_are_told_apart(
    rings: mw.Plan, pods: mw.Plan, tmp_path: Path
) -> None:
    for plan, name in ((rings, "rings"), (pods, "pods")):
        page = page_of(plan, tmp_path / name)
        found = re.findall(r"<td>([^<]+) <small>(at most|at least) ([^,<]+)", page)
        assert len(found) > 20
        same = [(figure, limit) for figure, _, limit in found if figure == limit]
        # Counts may stand at their limit, as no sharp head does at 0 and two gaskets at 2.
        assert all(figure.isdigit() for figure, _ in same), same


def test_the_ends_of_the_work_are_told_apart(pods: mw.Plan, tmp_path: Path) -> None:
    page = page_of(pods, tmp_path)
    assert pods.promise
    assert pods.schedule
    told = re.search(r"<p>The table ends on ([^<]*)</p>", page)
    assert told
    for stamp in (pods.schedule.ready, pods.promise.p50, pods.promise.p90):
        assert day(stamp) in told[1]


def test_a_part_that_fails_is_neither_quoted_nor_made(hopeless: mw.Plan, tmp_path: Path) -> None:
    page = page_of(hopeless, tmp_path)
    quote = " ".join(
        " ".join(Outline((tmp_path / "quote.html").read_text(encoding="utf-8")).words).split()
    )
    for offer in ("Quote ", "Fixed price", "Handed back by", "Accepted on", "Stands until"):
        assert offer not in quote
    assert "not to be handed out" in quote
    assert "quote.html\ta draft" in (tmp_path / "contents.txt").read_text(encoding="utf-8")
    told = " ".join(str(hopeless).split())
    assert "Draft, not a quote, not to be handed out" in told
    assert told.count("DO NOT MAKE") == len(hopeless.parts)
    for part in hopeless.parts:
        failed = [check for check in part.checks if check.verdict == "fail"]
        assert failed
        card = page[page.index(f'id="{part.name.replace(" ", "-")}"') :]
        card = card[: card.index("</section>")]
        # Before anything that could be begun with, and each with its remedy.
        assert card.index("DO NOT MAKE") < card.index("Blank <b>")
        for check in failed:
            assert check.name in quote
            assert f"<b>FAIL {check.name}</b>" in card
            assert f"FAIL: {check.name}" in told
            assert check.mend in card
        assert "forming window never opens" in quote


def test_one_failed_check_is_enough_to_stop_a_quote(pods: mw.Plan, tmp_path: Path) -> None:
    def change(plan: dict[str, Any]) -> None:
        plan["parts"][0]["checks"][0].update(verdict="fail", mend="take a thicker sheet")

    page = page_of(changed(pods, change), tmp_path)
    assert page.count("DO NOT MAKE") == 1
    assert "Fixed price" not in (tmp_path / "quote.html").read_text(encoding="utf-8")


def test_holes_of_a_card_have_the_numbers_and_figures_of_the_drawing(
    rings: mw.Plan, pods: mw.Plan, tmp_path: Path
) -> None:
    page = page_of(rings, tmp_path / "rings")
    for part in rings.parts:
        card = page[page.index(f'id="{part.name.replace(" ", "-")}"') :]
        card = card[: card.index("</section>")]
        tables = re.findall(r'<table class="holes">.*?</table>', card, re.DOTALL)
        drawn = [d for d in rings.drawings if d.part == part.name and d.kind == "blank"]
        assert len(tables) == len(drawn)
        for table, drawing in zip(tables, drawn, strict=True):
            heads = re.findall(r'<th scope="col">(\d+)', table)
            words = re.findall(r"<text[^>]*>([^<]*)", drawing.svg)
            rows = words[next(i for i, w in enumerate(words) if w.startswith("Holes (")) :]
            cells = re.findall(r"<td>([^<]*)", table)
            many = len(heads)
            assert heads == [str(i + 1) for i in range(many)]
            for i, number in enumerate(heads):
                # No., name, x, y and size, as they stand on the drawing.
                at = rows.index(number)
                x, y, size = rows[at + 2 : at + 5]
                assert cells[i].startswith(size)
                for said, value, more in (
                    (cells[many + i], x, "right"),
                    (cells[2 * many + i], y, "up"),
                ):
                    figure, _, side = said.partition(" ")
                    signed = (
                        0.0 if said == "middle" else float(figure) * (1 if side == more else -1)
                    )
                    assert signed == float(value)
    page = page_of(pods, tmp_path / "pods")
    assert "expected, in mm from the centre mark: no. 1" in page


def test_a_plan_without_its_drawings_still_tells_its_holes(rings: mw.Plan, tmp_path: Path) -> None:
    page = page_of(mw.Plan(rings.to_dict()), tmp_path)
    assert "Ø 3.9 mm at 54.8 mm right 54.8 mm up" in page


def test_nuts_of_the_driver_and_the_grade_of_the_adhesive_lie_ready(
    rings: mw.Plan, tmp_path: Path
) -> None:
    def ready(page: str) -> str:
        return page[page.index('id="at-hand"') : page.index('id="finish"')]

    # Two rings of four driver screws in nuts; the kick panel has none.
    text = ready(page_of(rings, tmp_path / "nuts"))
    assert "8 nuts for them, 3.5 mm thread" in text
    assert "polyolefin" not in text

    def change(plan: dict[str, Any]) -> None:
        plan["parts"][0]["joint"]["why"] = "hdpe: polyolefin grades only"

    page = page_of(changed(rings, change), tmp_path / "grade")
    text = ready(page)
    assert re.search(r"two-part, polyolefin grade: \d+ mL", text)
    assert "polyolefin primer" in text
    assert "<b>polyurethane, two-part, polyolefin grade</b>" in page[page.index('id="finish"') :]


def test_all_that_is_typed_of_a_ring_is_a_step_on_its_card_with_its_tool(rings: mw.Plan) -> None:
    ring = rings.parts[0]
    steps, ready = " | ".join(ring.bench), " | ".join(ring.at_hand)
    # A cone of 90° from 10 mm down to the hole of 5.5 mm is 2.25 mm deep.
    assert "3 holes in the DRIVER face: Ø 10.0 mm, 2.3 mm deep" in steps
    assert "to the vehicle, countersunk head of 10.0 mm" in ready
    assert "countersink bit of 90°, 10.0 mm wide" in ready
    # The upper half of the outside: pi x 185.7 / 2.
    assert "lip along the upper half of the outside, 292 mm" in steps
    assert "for the lip, 292 mm long" in ready
    # ISO 4032: M3.5 is 6 mm across flats, 2.8 mm high; corners stand 2/sqrt(3) of the flats apart.
    assert "M3.5: 6.0 mm across flats, 6.9 mm across corners, 2.8 mm deep" in steps
    # Rivet nuts of M5 sit in holes of 7 mm.
    assert "3 holes of 7.0 mm in it for the rivet nuts" in steps
    assert "drill 7.0 mm for the steel" in ready
    assert "self-adhesive" in ready
    assert "let a bevel or a lip" not in str(rings.to_dict()["notes"])


def cut_of(page: str, stem: str) -> str:
    card = page[page.index(f'id="{stem}"') :]
    return card[card.index("<h3>Cut</h3>") : card.index('class="measured"')]


def test_a_card_points_to_a_template_only_where_one_is_drawn(
    rings: mw.Plan, pods: mw.Plan, tmp_path: Path
) -> None:
    assert not [drawn for drawn in pods.drawings if drawn.kind == "template"]
    cut = cut_of(page_of(pods, tmp_path / "pods"), "left-pod").lower()
    assert "straight edge clamped on the scribed line" in cut
    assert "router template" not in cut
    assert [d for d in rings.drawings if d.kind == "template" and d.part == "kick panel"]
    cut = cut_of(page_of(rings, tmp_path / "rings"), "kick-panel").lower()
    assert "against the router template" in cut
    assert "start hole" in cut


CUES = ("Limp at about", "Shape within", "Hold, from stop")


def times_of(words: str) -> list[int]:
    """Give the times of a text in seconds."""
    return [60 * int(m) + int(s) for m, s in re.findall(r"(\d+):(\d\d)", words)]


def test_times_of_a_card_err_to_the_safe_side(pods: mw.Plan) -> None:
    for part in pods.parts:
        recipe = part.recipe
        told = {name: (figure, more) for name, figure, more in cues(recipe.to_dict())}
        limp, shape, hold = (times_of(told[name][0])[0] for name in CUES)
        assert recipe.opens_s.p50 <= limp < recipe.opens_s.p50 + 5
        assert recipe.working_time_s.p50 - 5 < shape <= recipe.working_time_s.p50
        assert recipe.hold_s.p50 <= hold < recipe.hold_s.p50 + 5
        assert times_of(told["Limp at about"][1])[0] >= recipe.opens_s.p10
        assert times_of(told["Hold, from stop"][1])[0] >= recipe.hold_s.p90


def test_a_card_says_where_on_its_sheet_each_blank_lies(rings: mw.Plan, tmp_path: Path) -> None:
    cut = cut_of(page_of(rings, tmp_path / "few"), "front-door-ring")
    placed = [
        one["bounds"]
        for layout in rings.to_dict()["layouts"]
        for stock in layout["sheets_used"]
        for one in stock["placements"]
        if one["part"].startswith("front door ring")
    ]
    assert len(placed) == 4
    for at in placed:
        x, y = (float(f"{at[key] * 1e3:.1f}") for key in ("x_m", "y_m"))
        assert f"{x:g} × {y:g} mm" in cut

    def many(plan: dict[str, Any]) -> None:
        stock = plan["layouts"][0]["sheets_used"][0]
        stock["placements"] *= 2

    page = page_of(changed(rings, many), tmp_path / "many")
    name = rings.to_dict()["layouts"][0]["sheets_used"][0]["stock"]
    assert f"8 places: table of offcut {name}, under Sheets" in page
    assert f"<caption>offcut {name}" in page


def test_the_list_at_hand_over_is_that_of_the_parts_and_ends_a_week_later(
    rings: mw.Plan, pods: mw.Plan, tmp_path: Path
) -> None:
    def ends(page: str) -> str:
        return page[page.index("before it is handed back</h3>") : page.index('id="sheets"')]

    both = ends(page_of(rings, tmp_path / "rings"))
    for word in ("Seal", "Polarity", "Rattle"):
        assert re.search(rf"{word}[^<]*\(front door ring\)", both)
    assert "1.5 V cell" in both

    def panel(plan: dict[str, Any]) -> None:
        plan["parts"] = [part for part in plan["parts"] if part["kind"] == "panel"]

    alone = ends(page_of(changed(rings, panel), tmp_path / "panel"))
    for word in ("Seal", "Polarity", "Rattle", "tweeter"):
        assert word not in alone
    # Pods of tweeters stand in the open air of the cabin.
    tweeters = ends(page_of(pods, tmp_path / "pods"))
    assert "Polarity" in tweeters
    assert "Seal" not in tweeters
    for text in (both, alone, tweeters):
        assert "about a week on" in text
        assert "look again" in text


@pytest.fixture(scope="module", params=["pillar-pods", "door-rings", "dash-pods"])
def in_inches(request: pytest.FixtureRequest) -> mw.Plan:
    demo = Path(__file__).parents[2] / "demo-data"
    text = (demo / f"{request.param}.toml").read_text(encoding="utf-8")
    text = text.replace('units = "metric"', 'units = "inch"')
    job = mw.Job.from_text(text, path=str(demo / f"{request.param}.toml"))
    return mw.plan(job, shop=mw.Shop.read(demo / "shop.toml"), draws=8)


def test_a_packet_in_inches_has_no_metric_lengths_areas_or_pressures(
    in_inches: mw.Plan, tmp_path: Path
) -> None:
    page = page_of(in_inches, tmp_path)
    # All but the price, whose lines are the shop's own, and the sources.
    page = page[page.index("<main>") : page.index('id="price"')] + page[page.index('id="checks"') :]
    words = html.unescape(re.sub(r"<[^>]*>", " ", page[: page.index('id="sources"')]))
    for stock in ("ABS 3 mm", "ABS 6 mm"):
        words = words.replace(stock, "")
    assert not re.findall(r"[\d.]+ (?:[cm]?m²|cm|mm|[kMG]?Pa|°C)\b", words)
    assert re.search(r"each joint [\d.]+ in²", words)
    assert " psi" in words


def test_a_length_on_a_card_is_that_of_the_drawing(in_inches: mw.Plan, tmp_path: Path) -> None:
    page = page_of(in_inches, tmp_path)
    for part in in_inches.parts:
        cut = cut_of(page, part.name.replace(" ", "-"))
        drawn = " ".join(d.svg for d in in_inches.drawings if d.part == part.name)
        sizes = re.findall(r"\d+\.\d{3}", re.findall(r"blanks? ([^<.,]*\.[^<,]*?) in", cut)[0])
        assert sizes
        for size in sizes:
            assert f">{size}<" in drawn


def test_a_way_that_fails_is_not_told_as_if_it_could_be_quoted(tmp_path: Path) -> None:
    demo = Path(__file__).parents[2] / "demo-data"
    text = (demo / "pillar-pods.toml").read_text(encoding="utf-8")
    job = mw.Job.from_text(text.replace('sun = "mild"', 'sun = "hot"'), path=str(demo / "x.toml"))
    found = mw.compare(
        job, shop=mw.Shop.read(demo / "shop.toml"), ways={"bare": {"finish": "bare"}}, draws=0
    )
    page = found.write_page(tmp_path / "ways.html").read_text(encoding="utf-8")
    failing = [way for way in found.ways if way.fails]
    assert failing
    assert page.count("Do not make or quote as it stands") == len(failing)
    for way in failing:
        assert f"{len(way.fails)} FAIL," in str(found)
        assert all(html.escape(one, quote=False) in page for one in way.fails)
