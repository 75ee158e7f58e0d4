"""Charts: every figure has units, sources and words, in colours that all eyes tell apart."""

import itertools
import re
import subprocess
import sys
import textwrap
import warnings
from collections.abc import Callable
from typing import Any

import matplotlib as mpl
import numpy as np
import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.colors import to_rgb
from matplotlib.text import Text

import mountwright as mw
from mountwright.charts import Chart, forming_window, sheet_layout, working_range
from mountwright.charts.sheet_layout import _path
from mountwright.charts.style import COOL, INK, WARM
from mountwright.charts.working_range import FILLS

HEAT = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
ASKED: dict[str, Any] = {"thickness": "3 mm", "heat": HEAT, "back": "turned every 8 s"}


@pytest.fixture(scope="module")
def recipe() -> mw.Recipe:
    return mw.recipe("abs", draws=64, history=True, **ASKED)


@pytest.fixture(scope="module")
def slab() -> mw.SlabHistory:
    hot, cool = mw.Face(film_w_m2_k=60, gas_k=520), mw.Face(film_w_m2_k=8)
    layer = mw.Layer(
        thickness_m=3e-3,
        conductivity_w_m_k=0.18,
        density_kg_m3=1040,
        heat_capacity_j_kg_k=1900,
        start_k=293.15,
    )
    return mw.heat_slab([layer], [mw.Step(seconds=90, front=hot, back=cool)])


@pytest.fixture(scope="module")
def zones() -> mw.WorkingRange:
    gun = mw.HotAirGun("300 °C", "300 L/min")
    return mw.setting_distance_map(
        "expanded-pvc", thickness="3 mm", gun=gun, back="turned every 8 s", points=(30, 20)
    )


@pytest.fixture(scope="module")
def ways() -> mw.Alternatives:
    job = mw.Job.read("demo-data/door-rings.toml")
    shop = mw.Shop.read("demo-data/shop.toml")
    changed = {"all bare": {"finish": "bare"}, "lead": {"material": "lead"}}
    return mw.compare(job, shop=shop, ways=changed, draws=16)


Made = Callable[[Any], Chart]
DRAWN: list[tuple[str, Made]] = [
    ("slab", mw.charts.temperatures),
    ("recipe", mw.charts.forming_window),
    ("recipe", mw.charts.causes),
    ("zones", mw.charts.working_range),
    ("pods", mw.charts.sheet_layout),
    ("rings", mw.charts.sheet_layout),
    ("rings", mw.charts.cost_band),
    ("rings", mw.charts.causes),
    ("rings", mw.charts.bench_day),
    ("ways", mw.charts.ways),
]


@pytest.mark.parametrize(("answer", "draw"), DRAWN)
def test_a_chart_has_units_sources_and_words(
    answer: str, draw: Made, request: pytest.FixtureRequest
) -> None:
    before = dict(mpl.rcParams)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        chart = draw(request.getfixturevalue(answer))
        picture = chart.png(dpi=60)
    assert picture[:8] == b"\x89PNG\r\n\x1a\n"
    assert dict(mpl.rcParams) == before
    texts = [text.get_text() for text in chart.texts]
    assert any("Sources" in text for text in texts)
    assert len(chart.alt) > 40
    for ax in chart.axes:
        if not ax.axison:
            continue
        labels = [ax.get_xlabel(), ax.get_ylabel()]
        units = ("mm", "°C", "seconds", "%", "XTS", ", h")
        assert any(label.endswith(units) for label in labels), labels
    # Letters that can be read without a glass: 7.5 points, common practice, no source.
    assert min(float(text.get_fontsize()) for text in chart.findobj(Text) if text.get_text()) >= 7.5
    # Nothing runs off the paper, and the foot lies below what is drawn.
    chart.draw_without_rendering()
    wide = chart.bbox.width
    canvas: Any = FigureCanvasAgg(chart)
    renderer = canvas.get_renderer()
    for ax in chart.axes:
        box = ax.get_tightbbox(renderer)
        if box is not None:
            assert box.x0 > -1
            assert box.y0 > chart.texts[-1].get_window_extent(renderer).y1 - 2
            assert box.x1 < wide + 1
            assert box.y1 < chart.texts[1].get_window_extent(renderer).y0 + 2


@pytest.mark.parametrize(
    ("draw", "answer", "label"),
    [
        (mw.charts.temperatures, "slab", "temperature, °F"),
        (mw.charts.forming_window, "recipe", "temperature, °F"),
        (mw.charts.working_range, "zones", "air at the nozzle, °F"),
        (mw.charts.sheet_layout, "pods", "in"),
    ],
)
def test_charts_speak_inches_and_fahrenheit(
    draw: Any, answer: str, label: str, request: pytest.FixtureRequest
) -> None:
    found = request.getfixturevalue(answer)
    assert draw(found, units="inch").axes[0].get_ylabel() == label
    with pytest.raises(mw.ShapeError, match="furlong"):
        draw(found, units="furlong")


def test_the_window_stands_where_the_recipe_says(recipe: mw.Recipe) -> None:
    chart = forming_window(recipe)
    ax = chart.axes[0]
    stop = [np.asarray(line.get_xdata()) for line in ax.lines]
    assert any((times == recipe.stop_s).all() for times in stop)
    limp = round(recipe.limits.limp_k - 273.15)
    assert any(f"limp {limp} °C" in text.get_text() for text in ax.texts)
    same = forming_window(recipe, units="inch").axes[0]
    front = np.asarray(ax.lines[0].get_ydata())
    # NIST SP 811, B.8: t/°F = 1.8 t/°C + 32.
    assert np.allclose(np.asarray(same.lines[0].get_ydata()), 1.8 * front + 32)


def test_a_time_beyond_the_chart_is_not_told_as_its_end() -> None:
    far = mw.HotAirGun.two_setting("II").at("160 mm", "60 mm x 200 mm")
    found = mw.recipe("abs", thickness="3 mm", heat=far, back="turned every 8 s", history=True)
    assert found.closes_s is not None
    assert found.closes_s > 600
    chart = forming_window(found, note="nozzle 160 mm away")
    told = {text.get_text() for ax in chart.axes for text in ax.texts}
    assert "not too hot within 10 min" in told
    assert not any(word.startswith("too hot") for word in told)
    assert any("nozzle 160 mm away" in text.get_text() for text in chart.texts)
    # One word for what is waited for, and no limit that it does not need.
    words = " ".join(told)
    assert "limp" in words
    assert "ready" not in words
    assert "formable" not in words


def test_the_legend_of_a_map_says_what_to_do(zones: mw.WorkingRange) -> None:
    over_time = mw.distance_time_map(
        "expanded-pvc",
        thickness="3 mm",
        gun=mw.HotAirGun.two_setting("II"),
        back="turned every 8 s",
        points=(30, 40),
    )
    for found, stops in ((zones, "do not"), (over_time, "stop, take the heat away")):
        legend = working_range(found).axes[0].get_legend()
        assert legend is not None
        words = dict(text.get_text().split(": ", 1) for text in legend.get_texts())
        assert tuple(words) == found.zones
        assert "extraction" in words["fumes"]
        assert "workable" not in words["fumes"]
        assert words["overheated"].startswith(stops)
        # The picture without matplotlib says the same.
        assert all(meaning in found.svg() for meaning in words.values())


def test_a_part_of_a_plan_is_drawn_as_its_recipe(pods: mw.Plan) -> None:
    assert forming_window(pods.parts[0]).alt.startswith("Forming window of left pod, ABS, 3 mm")


def test_what_cannot_be_drawn_is_refused(rings: mw.Plan, slab: mw.SlabHistory) -> None:
    with pytest.raises(mw.ShapeError, match="history=True"):
        forming_window(mw.recipe("abs", **ASKED))
    with pytest.raises(mw.ShapeError, match="history"):
        forming_window(rings.parts[0])
    with pytest.raises(mw.ShapeError, match="depths is 9"):
        mw.charts.temperatures(slab, depths=9)
    with pytest.raises(mw.ShapeError, match="draws"):
        mw.charts.causes(mw.recipe("abs", **ASKED))
    with pytest.raises(mw.ShapeError, match="1 x 4"):
        working_range(mw.WorkingRange("distance-time", "x", [0.1], [1, 2, 3, 4.0], [[0, 1, 1, 3]]))


@pytest.mark.parametrize("job", ["pillar-pods", "door-rings", "kick-panels", "dash-pods"])
def test_plans_without_draws_are_drawn_too(job: str) -> None:
    shop = mw.Shop.read("demo-data/shop.toml")
    plan = mw.plan(mw.Job.read(f"demo-data/{job}.toml"), shop=shop, draws=0)
    for draw in (mw.charts.sheet_layout, mw.charts.cost_band, mw.charts.bench_day):
        assert draw(plan).png(dpi=40)[:4] == b"\x89PNG"


def test_hours_of_a_long_day_stand_apart() -> None:
    hours = {"monday": ["07:00-22:30"]}
    tasks = [
        {"name": f"spread the glue over the whole of the long face {i}", "attended": "90 min"}
        for i in range(10)
    ]
    chart = mw.charts.bench_day(mw.promise(tasks, hours=hours, start="2026-03-02T07:00"))
    chart.draw_without_rendering()
    boxes = [label.get_window_extent() for label in chart.axes[0].get_xticklabels()]
    assert all(b.x0 - a.x1 > 3 for a, b in itertools.pairwise(boxes))


def test_a_way_that_cannot_be_made_is_named_below(ways: mw.Alternatives) -> None:
    chart = mw.charts.ways(ways)
    assert any("lead cannot be made" in text.get_text() for text in chart.texts)


def test_outlines_on_a_sheet_have_the_area_of_the_blanks(rings: mw.Plan) -> None:
    chart = sheet_layout(rings)
    for ax, used in zip(
        chart.axes, [s for one in rings.layouts for s in one.sheets_used], strict=True
    ):
        parts = [patch for patch in ax.patches if patch.get_linewidth() == 0.9]
        assert len(parts) == len(used.placements)
        drawn = sum(abs(sum(map(_area, p.get_path().to_polygons()))) for p in parts)
        # Holes run the other way round. Chords of 6° lie inside their arcs by up to 0.2 % of area.
        assert drawn / 1e6 / (used.width_m * used.height_m) == pytest.approx(
            used.yield_fraction, rel=0.02
        )


def _area(loop: Any) -> float:
    x, y = np.asarray(loop).T
    return float(0.5 * np.sum(x[:-1] * y[1:] - x[1:] * y[:-1]))


def test_an_arc_of_a_drawing_is_a_circle() -> None:
    # SVG 2, section 9.3.8: a half turn of radius 5 from (5, 0), both ways.
    for sweep, sign in ((1, 1), (0, -1)):
        points = np.asarray(_path(f"M5 0A5 5 0 0 {sweep} -5 0Z").vertices)
        assert np.allclose(np.hypot(*points.T), 5)
        assert (sign * points[1:-2, 1] > 0).all()


# Machado, Oliveira and Fernandes, IEEE Trans. Vis. Comput. Graph. 15 (2009) 1291-1298: simulation
# at severity 1.0 on linear RGB; matrices from memory of their table.
EYES = {
    "protan": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deutan": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritan": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
    "all": np.eye(3).tolist(),
}


@pytest.mark.parametrize("eye", EYES)
@pytest.mark.parametrize("colours", [(INK, WARM, COOL), FILLS], ids=["strokes", "zones"])
def test_colours_differ_for_every_kind_of_colour_vision(eye: str, colours: tuple[str, ...]) -> None:
    seen = [_lab(np.array(EYES[eye]) @ _linear(colour)) for colour in colours]
    for a, b in itertools.combinations(seen, 2):
        # CIE 1976: 2.3 is just noticeable (Mahy et al. 1994); four times that is plain.
        assert np.linalg.norm(a - b) > 9.2


def _linear(colour: str) -> Any:
    """IEC 61966-2-1."""
    c = np.array(to_rgb(colour))
    return np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)


def _lab(linear: Any) -> Any:
    xyz = np.array(
        [[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]
    ) @ np.clip(linear, 0, 1)
    f = np.cbrt(xyz / np.array([0.9505, 1.0, 1.089]))
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def test_matplotlib_is_loaded_late_and_a_missing_one_names_the_extra() -> None:
    program = """
        import sys
        import mountwright as mw
        assert "matplotlib" not in sys.modules and "numpy" not in sys.modules
        sys.modules["matplotlib"] = None
        try:
            mw.charts
        except ImportError as missing:
            print(missing)
    """
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(program)],
        capture_output=True,
        text=True,
        check=True,
    )
    assert "mountwright[charts]" in done.stdout
    with pytest.raises(AttributeError, match="chart"):
        _ = mw.chart  # type: ignore[attr-defined]


def test_ready_is_never_told_early_nor_too_hot_late() -> None:
    def told(words: str, text: str) -> int:
        found = re.search(rf"{words} (\d+):(\d\d)", text)
        assert found is not None, text
        return 60 * int(found[1]) + int(found[2])

    gun = mw.HotAirGun.two_setting("II")
    for distance in ("60 mm", "80 mm", "100 mm", "120 mm", "140 mm"):
        heat = gun.at(distance, "60 mm x 200 mm")
        for thickness in ("2 mm", "2.5 mm", "3 mm", "4 mm"):
            found = mw.recipe(
                "abs", thickness=thickness, heat=heat, back="turned every 8 s", history=True
            )
            if not found.has_window or found.closes_s is None or found.closes_s > 600:
                continue
            assert found.opens_s is not None
            shown = " ".join(t.get_text() for ax in forming_window(found).axes for t in ax.texts)
            assert 0 <= told("limp", shown) - found.opens_s < 5
            assert 0 <= found.closes_s - told("too hot", shown) < 5


def test_work_at_the_likeliest_times_is_called_so(pods: mw.Plan) -> None:
    assert pods.schedule is not None
    attended = pods.schedule.attended_s
    # Likeliest times summed lie below the median, since work runs over more than under.
    assert attended.nominal < attended.p50
    chart = mw.charts.bench_day(pods)
    assert f"{attended.nominal / 3600:.1f} h of work at the likeliest times" in chart.alt
    below = " ".join(text.get_text() for text in chart.texts)
    assert re.search(rf"more\s+than\s+{attended.p50 / 3600:.1f}\s+h\s+hands\s+on", below)


def test_the_foot_and_the_line_under_the_title_fill_the_width(zones: mw.WorkingRange) -> None:
    chart = working_range(zones)
    canvas: Any = FigureCanvasAgg(chart)
    renderer = canvas.get_renderer()
    for written in chart.texts[1:]:
        box = written.get_window_extent(renderer)
        assert box.x1 <= chart.bbox.width
        # The longest word of the captions is an eighth of a line.
        assert "\n" not in written.get_text() or box.x1 > 0.87 * chart.bbox.width
