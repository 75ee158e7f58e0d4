"""Flat patterns, held against ezdxf, shapely, pypdf and handbook values."""

import io
import math
import random
import re
import time
from pathlib import Path
from subprocess import run
from typing import Any

import numpy as np
import pytest
import shapely
from ezdxf import path as ezpath
from ezdxf import units
from ezdxf.filemanagement import new, read
from ezdxf.lldxf.encoding import decode_dxf_unicode
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader
from shapely import LineString, Point, Polygon

import mountwright as mw

ROOT = Path(__file__).parents[2]


def pod(**more: Any) -> Any:
    left = mw.Leg(screw="57 mm", height="27 mm")
    right = mw.Leg(screw="50 mm", height="27 mm")
    given = {"thickness": "3 mm", "body": "47 mm", "left": left, "right": right, "foam": "2 mm"}
    make: Any = mw.strap
    return make("left pod", **(given | {"hand": "left"} | more))


def ring(**more: Any) -> Any:
    given: dict[str, Any] = {"depth": "25 mm", "stock": [("12.5 mm", 40.0), ("6 mm", 18.0)]}
    screws = [
        mw.Screws("driver screw", "driver", hole="3.2 mm", circle="157 mm", depth="12 mm"),
        mw.Screws("vehicle screw", "vehicle", hole="5.5 mm", circle="160 mm", count=3, first="90°"),
    ]
    outer, cutout = mw.Form.circle("176 mm"), mw.Form.circle("142 mm")
    return mw.adapter_ring("ring", outer, cutout, **({"screws": screws} | given | more))


# --- DXF ------------------------------------------------------------------------------------


def audited(text: str) -> Any:
    drawing = read(io.StringIO(text))
    audit = drawing.audit()
    assert not audit.errors, audit.errors
    assert not audit.fixes, audit.fixes
    assert drawing.units == units.MM
    return drawing


def test_an_independent_reader_finds_nothing_wrong_and_the_true_shape() -> None:
    made = ring(faces="one-sided", chamfer="5 mm", bevel="3 mm")
    for blank in made.blanks:
        space = audited(blank.drawing(job="Ø ± ° 100 % ^ \\P").dxf()).modelspace()
        circles: dict[str, list[Any]] = {c.dxf.layer: [] for c in space.query("CIRCLE")}
        for circle in space.query("CIRCLE"):
            circles[circle.dxf.layer].append(circle)
        radii = sorted(round(c.dxf.radius, 6) for c in circles["CUT"])
        assert radii[-2:] == [71.0, 88.0]
        assert all(c.dxf.center.magnitude < 1e-6 for c in circles["CUT"][:1])
        # Each drilled hole is a circle on its own layer with its centre marked by a point.
        points = [p.dxf.location for p in space.query("POINT[layer=='HOLE-CENTRES']")]
        for drilled in circles["DRILL"]:
            assert min((p - drilled.dxf.center).magnitude for p in points) < 1e-6
        assert len(circles["BACK-CUT"]) == len(circles["CUT"])
        words = {decode_dxf_unicode(t.dxf.text) for t in space.query("TEXT")}
        assert any("seen from the show face" in w for w in words)
        assert any("mirrored" in w for w in words)
        assert any("Ø ± °" in w for w in words)


@pytest.mark.parametrize("blank", ["strap", "foam", "card", "panel", "fold", "pod"])
def test_every_kind_of_part_passes_the_auditor(blank: str) -> None:
    strap = pod(wire="6 mm", middle_length="60 mm")
    made = {
        "strap": strap.blank,
        "foam": strap.foam,
        "card": mw.card_template(strap.blank),
        "panel": mw.panel("p", mw.Form.ellipse("300 mm", "200 mm"), thickness="3 mm").blank,
        "fold": mw.folded_panel(
            "f", ["50 mm", "80 mm"], [("90°", "9 mm", "show")], thickness="3 mm", width="80 mm"
        ).blank,
        "pod": mw.pressed_pod(
            "d", "dome", {"rim": "80 mm", "height": "25 mm"}, thickness="3 mm"
        ).blank,
    }[blank]
    space = audited(made.drawing().dxf()).modelspace()
    # Both faces of a sided blank are cut lines; the show face alone is on CUT.
    cut = [e for e in space.query("CIRCLE LWPOLYLINE") if e.dxf.layer == "CUT"]
    outer = max((polygon(e) for e in cut), key=lambda p: p.area)
    want = made.outline.outside
    assert outer.area == pytest.approx(abs(green(want)) * 1e6, rel=1e-5)


def polygon(entity: Any) -> Polygon:
    # Its paths make cubic curves of circles, 3e-4 off; the circle itself is flattened true.
    curve = entity if entity.dxftype() == "CIRCLE" else ezpath.make_path(entity)
    return Polygon([(v.x, v.y) for v in curve.flattening(1e-4)])


def green(chain: Any) -> float:
    """Area of a chain by Green's theorem on 2000 chords of each arc: not how the core does it."""
    points = []
    x, y = chain.start.x_m, chain.start.y_m
    for segment in chain.segments:
        fields = segment.to_dict()
        if "line" in fields:
            points.append((x, y))
            x, y = fields["line"]["end"].values()
            continue
        arc = fields["arc"]
        cx, cy = arc["centre"].values()
        r, from_ = math.hypot(x - cx, y - cy), math.atan2(y - cy, x - cx)
        for i in range(2000):
            a = from_ + arc["sweep_rad"] * i / 2000
            points.append((cx + r * math.cos(a), cy + r * math.sin(a)))
        x, y = arc["end"].values()
    ends = zip(points, points[1:] + points[:1], strict=True)
    return float(sum(a * d - c * b for (a, b), (c, d) in ends) / 2)


# --- PDF ------------------------------------------------------------------------------------

NUMBER = rb"-?\d*\.?\d+"


def pages(pdf: bytes) -> list[Any]:
    return list(PdfReader(io.BytesIO(pdf), strict=True).pages)


def window(page: Any) -> tuple[float, float, float]:
    """Shift of the drawing on a page and the size of a millimetre, both in points."""
    data = page.get_contents().get_data()
    first = re.match(rb"(" + NUMBER + rb") 0 0 ", data)
    assert first
    scale = float(first[1])
    shift = re.search(rb"1 0 0 1 (" + NUMBER + rb") (" + NUMBER + rb") cm\s+/D Do", data)
    assert shift
    return float(shift[1]) * scale, float(shift[2]) * scale, scale


def bars(page: Any) -> list[float]:
    """Lengths of the rows of filled rectangles in the foot, measured on paper. [mm]"""
    data = page.get_contents().get_data()
    first = re.match(rb"(" + NUMBER + rb") 0 0 ", data)
    assert first
    scale = float(first[1])
    found: dict[float, list[tuple[float, float]]] = {}
    rectangle = rb"(%s) (%s) (%s) (%s) re\s+f\b" % ((NUMBER,) * 4)
    for x, y, w, _ in re.findall(rectangle, data):
        found.setdefault(float(y), []).append((float(x), float(x) + float(w)))
    ends = [(min(a for a, _ in row), max(b for _, b in row)) for row in found.values()]
    return sorted((b - a) * scale / 72 * 25.4 for a, b in ends)


PAPER = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_printed_page_is_true_to_a_tenth_of_a_millimetre(paper: str) -> None:
    for blank in (pod().blank, ring().blanks[0], mw.card_template(pod().blank)):
        for page in pages(blank.drawing().pdf(page=paper)):
            _, _, scale = window(page)
            assert scale / 72 * 25.4 == pytest.approx(1, abs=1e-6)
            size = sorted(float(v) / 72 * 25.4 for v in page.mediabox[2:])
            assert size == pytest.approx(sorted(PAPER[paper]), abs=0.01)
            # Black are every second tenth of 100 mm, 90 mm, and every second inch of 4, 3 in.
            assert bars(page) == pytest.approx([76.2, 90.0], abs=0.01)


def test_the_cut_line_in_the_file_is_the_cut_line_of_the_blank() -> None:
    made = ring().blanks[0]
    drawing = made.drawing()
    form = pages(drawing.pdf(page="a4"))[0]["/Resources"]["/XObject"]["/D"]
    data = form.get_data()
    xs = [float(x) for x, _ in re.findall(rb"(%s) (%s) [ml]\n" % (NUMBER, NUMBER), data)]
    curves = re.findall(rb"(%s) (%s) (%s) (%s) (%s) (%s) c\n" % ((NUMBER,) * 6), data)
    ends = [(float(c[4]), float(c[5])) for c in curves]
    assert xs
    # The ring's outside: points 88 mm from their middle, to far less than 0.1 mm.
    widest = max(x for x, _ in ends) - min(x for x, _ in ends)
    assert widest == pytest.approx(176.0, abs=1e-3)


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_strap_is_whole_or_tiled_so_that_nothing_is_lost(paper: str) -> None:
    long = pod(
        left=mw.Leg(screw="190 mm", height="30 mm", tab="40 mm"),
        right=mw.Leg(screw="210 mm", height="30 mm", tab="40 mm"),
    ).blank
    panel = mw.panel("wide", mw.Form.rectangle("620 mm", "540 mm"), thickness="3 mm").blank
    for blank in (pod().blank, long, panel):
        drawing = blank.drawing()
        width, height = PAPER[paper]
        shown = []
        for page in pages(drawing.pdf(page=paper)):
            x, y, scale = window(page)
            data = page.get_contents().get_data()
            clip = re.search(rb"(%s) (%s) (%s) (%s) re\s+W\s+n\s" % ((NUMBER,) * 4), data)
            assert clip
            left, bottom, w, h = (float(v) for v in clip.groups())
            # Inside what a printer reaches.
            turned = float(page.mediabox[2]) > float(page.mediabox[3])
            wide, high = (height, width) if turned else (width, height)
            assert left >= 5
            assert bottom >= 5
            assert left + w <= wide - 5
            assert bottom + h <= high - 5
            shown.append(
                shapely.box(
                    left - x / scale,
                    bottom - y / scale,
                    *(left - x / scale + w, bottom - y / scale + h),
                )
            )
        margin = 10.0
        whole = shapely.box(
            margin,
            margin,
            min(drawing.width_m * 1e3 - margin, 1e9),
            drawing.height_m * 1e3 - margin,
        )
        seen = shapely.union_all(shown)
        # The tables need only the width of a page; the views must be seen whole.
        views = blank_box(drawing)
        assert views.difference(seen.buffer(1e-3)).area < 1e-3
        # The window is a line wider than the drawing.
        assert whole.bounds[3] == pytest.approx(seen.bounds[3], abs=0.31)
        if blank is panel:
            near = [a.intersection(b).area for i, a in enumerate(shown) for b in shown[i + 1 :]]
            assert max(near) > 15 * 100


def blank_box(drawing: Any) -> Any:
    """Bounds of the closed cut lines, from the ends of their pieces in the SVG."""
    ends = [
        [float(v) for v in piece.split()[-2:]]
        for path in re.findall(r'<path class="cut" d="([^"]*)Z"', drawing.svg())
        for piece in re.findall(r"[MLA]([^MLA]*)", path)
    ]
    xs = [x for x, _ in ends]
    ys = [drawing.height_m * 1e3 - y for _, y in ends]
    return shapely.box(min(xs), min(ys), max(xs), max(ys))


@pytest.mark.browser
def test_a_rasterised_page_measures_true_to_a_tenth_of_a_millimetre(tmp_path: Path) -> None:
    """Poppler rasters the page at 600 dpi; the black of ring and bar is then measured in pixels."""
    (tmp_path / "ring.pdf").write_bytes(ring().blanks[0].drawing().pdf(page="a4"))
    run(
        ["pdftoppm", "-gray", "-r", "600", "-f", "1", "-l", "1", "ring.pdf", "ring"],
        cwd=tmp_path,
        check=True,
    )
    raw = next(tmp_path.glob("ring*.pgm")).read_bytes()
    head = re.match(rb"P5\s+(\d+)\s+(\d+)\s+255\s", raw)
    assert head
    black = np.frombuffer(raw[head.end() :], np.uint8).reshape(int(head[2]), int(head[1])) < 90
    mm = 25.4 / 600
    # The ring's outside, 176 mm across, in a line 0.5 mm wide: middle to middle in its widest row.
    wide = max(
        (runs[-1].mean() - runs[0].mean()) * mm
        for row in black[:: int(1 / mm)]
        if len(runs := [r for r in strokes(row) if 0.4 < len(r) * mm < 1.5]) >= 2
    )
    assert wide == pytest.approx(176.0, abs=0.1)
    # The bar's black and white tenths: from its first black to its last, 90 mm.
    foot = black[int(275 / mm) :]
    tenths = [
        (row[-1][-1] - row[0][0] + 1) * mm
        for row in ([s for s in strokes(r) if abs(len(s) * mm - 10) < 0.3] for r in foot)
        if len(row) == 5
    ]
    assert tenths
    assert max(tenths) == pytest.approx(90.0, abs=0.1)


def strokes(row: Any) -> list[Any]:
    """Runs of black in a row of pixels, each as the places of its pixels."""
    places = np.flatnonzero(row)
    return [r for r in np.split(places, np.flatnonzero(np.diff(places) > 1) + 1) if len(r)]


def test_dimensions_tables_and_notes_are_in_the_shops_units() -> None:
    blank = ring(finish="0.4 mm").blanks[0]
    metric, inch = blank.drawing().svg(), blank.drawing(units="inch").svg()
    # 176 mm less the finish on both sides.
    assert ">175.2<" in metric
    assert f">{175.2 / 25.4:.3f}<" in inch
    assert "Holes (mm from" in metric
    assert "Holes (in from" in inch
    assert "edges are cut 0.40 mm back" in metric
    assert f"edges are cut {0.4 / 25.4:.4f} in back" in inch
    # A machine gets millimetres from both.
    radii = [
        sorted(c.dxf.radius for c in audited(d.dxf()).modelspace().query("CIRCLE[layer=='CUT']"))
        for d in (blank.drawing(), blank.drawing(units="inch"))
    ]
    assert radii[0] == radii[1]
    with pytest.raises(mw.UnknownNameError, match="inch"):
        blank.drawing(units="inches")


@pytest.mark.parametrize(
    ("more", "alike"),
    [
        ({}, True),
        ({"hand": "left"}, False),
        ({"faces": "one-sided"}, False),
        ({"chamfer": "5 mm"}, False),
        ({"turned": "80°"}, False),
    ],
)
def test_the_mirrored_face_is_printed_unless_it_is_the_same(
    more: dict[str, Any], *, alike: bool
) -> None:
    first = more.get("turned", "90°")
    screws = [mw.Screws("s", "vehicle", hole="5.5 mm", circle="160 mm", count=3, first=first)]
    given = {k: v for k, v in more.items() if k != "turned"}
    made = ring(screws=screws, **given)
    drawn = made.blanks[-1].drawing().svg()
    assert "seen from the show face" in drawn
    assert ("seen from the back" in drawn) is not alike
    assert ("mirrored it is the same" in drawn) is alike


@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_a_door_ring_is_not_taped_together(paper: str) -> None:
    wide = mw.panel("ring", mw.Form.circle("186 mm"), thickness="13 mm").blank
    drawing = wide.drawing()
    # Upright, and the whole outline on the first page; the tables stand below it or on a second.
    first, *rest = pages(drawing.pdf(page=paper))
    assert float(first.mediabox[2]) < float(first.mediabox[3])
    assert len(rest) <= 1
    data = first.get_contents().get_data()
    clip = re.search(rb"(%s) (%s) (%s) (%s) re\s+W\s+n\s" % ((NUMBER,) * 4), data)
    assert clip
    x, y, scale = window(first)
    left, bottom, w, h = (float(v) for v in clip.groups())
    shown = shapely.box(left, bottom, left + w, bottom + h)
    outline = shapely.affinity.translate(blank_box(drawing), x / scale, y / scale)
    assert shown.contains(outline)


def test_a_notch_is_as_wide_as_the_cable_once_it_is_finished() -> None:
    bare = pod(middle_length="60 mm", wire="6 mm")
    finished = pod(middle_length="60 mm", wire="6 mm", finish="0.5 mm")
    narrow = (blank_notch(b) for b in (bare.blank, finished.blank))
    assert [next(narrow), next(narrow)] == pytest.approx([6.0, 7.0])


def blank_notch(blank: Any) -> float:
    """Width of the notch half way down: the outline cut level there by shapely. [mm]"""
    outline = chords(blank.outline.outside)
    _, bottom, _, _ = outline.bounds
    level = bottom + 2.5
    cut = outline.intersection(LineString([(-30, level), (30, level)]))
    left, right = sorted(cut.geoms, key=lambda g: g.bounds[0])
    return float(right.bounds[0] - left.bounds[2])


def chords(chain: Any) -> Polygon:
    """The chain as a polygon, its arcs as 400 chords. [mm]"""
    points = []
    x, y = chain.start.x_m, chain.start.y_m
    for segment in chain.segments:
        fields = segment.to_dict()
        if "arc" in fields:
            arc = fields["arc"]
            cx, cy = arc["centre"].values()
            r, from_ = math.hypot(x - cx, y - cy), math.atan2(y - cy, x - cx)
            turns = (from_ + arc["sweep_rad"] * i / 400 for i in range(400))
            points += [(cx + r * math.cos(a), cy + r * math.sin(a)) for a in turns]
            x, y = arc["end"].values()
        else:
            points.append((x, y))
            x, y = fields["line"]["end"].values()
    return Polygon([(1e3 * x, 1e3 * y) for x, y in points])


def test_the_same_drawing_gives_the_same_bytes() -> None:
    assert pod().blank.drawing().pdf(page="a4") == pod().blank.drawing().pdf(page="a4")
    with pytest.raises(mw.UnknownNameError, match="a4"):
        pod().blank.drawing().pdf(page="a44")


# --- traced outlines --------------------------------------------------------------------------


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**32 - 1))
def test_areas_agree_with_shapely_on_random_outlines(
    seed: int, tmp_path_factory: pytest.TempPathFactory
) -> None:
    rng = random.Random(seed)
    doc = new("R2010")
    doc.units = units.MM
    space = doc.modelspace()
    count = rng.randint(3, 24)
    vertices = []
    for i in range(count):
        a = math.tau * (i + 0.6 * rng.random()) / count
        r = rng.uniform(60, 120)
        # A star shape with arcs that bulge a little either way.
        vertices.append((r * math.cos(a), r * math.sin(a), rng.choice([0, rng.uniform(-0.1, 0.1)])))
    outline = space.add_lwpolyline(vertices, format="xyb", close=True)
    hole = space.add_circle((rng.uniform(-5, 5), rng.uniform(-5, 5)), rng.uniform(2, 12))
    shape = polygon(outline)
    if not shape.is_valid or not shape.buffer(-0.5).contains(polygon(hole)):
        return
    file = tmp_path_factory.mktemp("dxf") / "random.dxf"
    doc.saveas(file)
    part = mw.trace(file).parts[0]
    net = shape.area - math.pi * hole.dxf.radius**2
    # The flattening of ezdxf is within 1e-4 mm: off by at most that times the edge.
    assert part.area_m2 * 1e6 == pytest.approx(net, abs=2e-4 * shape.length)
    assert len(part.holes()) == 1


def test_a_traced_outline_makes_a_ring_and_a_panel(tmp_path: Path) -> None:
    bracket = mw.trace("demo-data/drawings/bracket.dxf").parts[0]
    made = mw.adapter_ring(
        "ring", bracket.form(), mw.Form.circle("120 mm"), depth="12.5 mm", stock=[("12.5 mm", 40)]
    )
    assert made.web_m > 0.02
    panel = mw.panel(
        "panel",
        bracket.form(),
        thickness="3 mm",
        cutouts=[mw.Cutout(f"opening {i}", form) for i, form in enumerate(bracket.holes())],
    )
    assert panel.blank.cut_length_m == pytest.approx(bracket.edge_length_m, rel=1e-9)
    again = tmp_path / "again.dxf"
    again.write_text(panel.blank.drawing().dxf())


def test_ellipses_and_splines_of_another_program_keep_their_size(tmp_path: Path) -> None:
    doc = new("R2010")
    doc.units = units.IN
    doc.modelspace().add_ellipse((4, 3), major_axis=(3, 1), ratio=0.6)
    doc.saveas(tmp_path / "oval.dxf")
    part = mw.trace(tmp_path / "oval.dxf").parts[0]
    assert part.area_m2 == pytest.approx(math.pi * 10 * 0.6 * 0.0254**2, rel=1e-5)


# --- hostile drawings ---------------------------------------------------------------------------


def test_a_million_entities_are_refused_in_a_moment(tmp_path: Path) -> None:
    head = "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    line = "0\nLINE\n8\n0\n10\n0\n20\n0\n11\n1\n21\n1\n"
    (tmp_path / "big.dxf").write_text(head + line * 1_000_000 + "0\nENDSEC\n0\nEOF\n")
    start = time.perf_counter()
    with pytest.raises(mw.OutOfRangeError, match="entities"):
        mw.trace(tmp_path / "big.dxf")
    assert time.perf_counter() - start < 2


@pytest.mark.parametrize(
    ("body", "what"),
    [
        ("<script>alert(1)</script>", "script"),
        ('<image href="http://example.invalid/x.png"/>', "image"),
        ('<use href="other.svg#x"/>', "use"),
        ('<rect onclick="alert(1)" width="5" height="5"/>', "script"),
    ],
)
def test_an_svg_that_would_run_or_load_is_refused(tmp_path: Path, body: str, what: str) -> None:
    svg = '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm">'
    (tmp_path / "bad.svg").write_text(svg + body + "</svg>")
    with pytest.raises(mw.ShapeError, match=what):
        mw.trace(tmp_path / "bad.svg")


def test_an_svg_with_an_external_entity_is_refused(tmp_path: Path) -> None:
    (tmp_path / "xxe.svg").write_text(
        '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/passwd">]>'
        '<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><text>&x;</text></svg>'
    )
    with pytest.raises(mw.ShapeError, match="DOCTYPE"):
        mw.trace(tmp_path / "xxe.svg")
    (tmp_path / "note.txt").write_text("x")
    with pytest.raises(mw.ShapeError, match=r"\.dxf or \.svg"):
        mw.trace(tmp_path / "note.txt")
    with pytest.raises(OSError, match=r"none\.dxf"):
        mw.trace(tmp_path / "none.dxf")
    (tmp_path / "folder.dxf").mkdir()
    with pytest.raises(mw.ShapeError, match="plain file"):
        mw.trace(tmp_path / "folder.dxf")


def test_wrong_units_show(tmp_path: Path) -> None:
    doc = new("R2010")
    doc.units = units.M
    doc.modelspace().add_circle((0, 0), 90)
    doc.saveas(tmp_path / "ring.dxf")
    with pytest.raises(mw.OutOfRangeError, match="units"):
        mw.trace(tmp_path / "ring.dxf")
    doc.units = 0
    doc.saveas(tmp_path / "ring.dxf")
    with pytest.raises(mw.ShapeError, match="not stated"):
        mw.trace(tmp_path / "ring.dxf")
    assert mw.trace(tmp_path / "ring.dxf", unit="mm").parts[0].width_m == pytest.approx(0.18)


# --- straps -------------------------------------------------------------------------------------


def taut_length(body: Polygon, out: float, foot: tuple[float, float], b: float) -> float:
    """Length of a strap's neutral axis on the right of a body, found with shapely alone.

    The neutral axis lies ``out`` off the body and ``b`` off the foot's centre. The
    flank is the one line that touches both: found by sliding along the offset curve.
    """
    ring = shapely.segmentize(body.convex_hull.buffer(out, quad_segs=2000).exterior, 0.01)
    points = list(ring.coords)[:-1]
    top = max(range(len(points)), key=lambda i: points[i][1] - 1e3 * abs(points[i][0]))
    walk = [points[(top - i) % len(points)] for i in range(len(points))]
    if walk[1][0] < walk[0][0]:
        walk = [points[(top + i) % len(points)] for i in range(len(points))]
    for i in range(1, len(walk) - 1):
        (x0, y0), (x1, y1) = walk[i], walk[i + 1]
        dx, dy = x1 - x0, y1 - y0
        # Distance of the foot's centre to the left of the tangent: the strap passes it at b.
        off = (dx * (foot[1] - y0) - dy * (foot[0] - x0)) / math.hypot(dx, dy)
        if off >= b:
            lying = LineString(walk[: i + 1]).length - abs(walk[0][0])
            flank = math.sqrt(math.hypot(foot[0] - x0, foot[1] - y0) ** 2 - b * b)
            turned = math.atan2(-dy, dx)
            return float(lying + flank + b * turned)
    raise AssertionError("no tangent")


BODIES = {
    "round": ("47 mm", Point(0, 0).buffer(23.5, quad_segs=2000)),
    "oval": (
        ("60 mm", "40 mm"),
        shapely.affinity.scale(Point(0, 0).buffer(1, quad_segs=4000), 30, 20),
    ),
    "profile": (
        [
            ("-25 mm", "-15 mm"),
            ("25 mm", "-15 mm"),
            ("28 mm", "5 mm"),
            ("10 mm", "22 mm"),
            ("-12 mm", "20 mm"),
            ("-26 mm", "6 mm"),
            ("0 mm", "10 mm"),
        ],
        Polygon([(-25, -15), (25, -15), (28, 5), (10, 22), (-12, 20), (-26, 6)]),
    ),
}


@pytest.mark.parametrize("kind", sorted(BODIES))
@pytest.mark.parametrize("screws", [(75, 80), (82, 95)])
def test_developed_length_is_shapelys_arc_length_of_the_offset_curve(
    kind: str, screws: tuple[int, int]
) -> None:
    text, shape = BODIES[kind]
    t, foam, r, tab, height, k = 3.0, 5.0, 8.0, 22.0, 27.0, 0.5
    left, right = (mw.Leg(screw=f"{s} mm", height="27 mm") for s in screws)
    made = pod(body=text, left=left, right=right, foam="5 mm", foot_radius="8 mm")
    want = 0.0
    for screw, side in zip(screws, (-1, 1), strict=True):
        body = shapely.affinity.scale(shape, side, 1, origin=(0, 0))
        foot = (screw - tab / 2, -(height - t - r))
        want += taut_length(body, foam + k * t, foot, r + k * t) + tab
    # 2000 points to a quarter turn: steps of 0.02 mm along the curve at most.
    assert made.developed_length_m * 1e3 == pytest.approx(want, abs=0.02)


def test_a_tab_aside_moves_its_screw_and_a_twisted_one_is_oversize() -> None:
    flat = pod()
    aside = pod(left=mw.Leg(screw="57 mm", height="27 mm", aside="9 mm"))
    assert aside.developed_length_m == flat.developed_length_m
    screw = next(m for m in aside.blank.marks if m.mark == "hole")
    assert screw.centre.y_m == pytest.approx(0.009)
    twisted = pod(left=mw.Leg(screw="57 mm", height="27 mm", width="40 mm", twist="40°"))
    assert twisted.left.oversize_m == pytest.approx(0.01)
    assert twisted.blank_length_m == pytest.approx(flat.blank_length_m + 0.01)
    assert any("mark it on the vehicle" in n.text for n in twisted.notes)
    slight = pod(left=mw.Leg(screw="57 mm", height="27 mm", twist="5°"))
    assert slight.left.oversize_m == 0


def test_screw_points_in_space_give_the_same_strap_as_plain_measurements() -> None:
    space = pod(
        left=mw.Leg(at=("-57 mm", "-27 mm", "0 mm")), right=mw.Leg(at=("50 mm", "-27 mm", "0 mm"))
    )
    assert space.developed_length_m == pytest.approx(pod().developed_length_m, abs=1e-12)
    # A face that falls away by 20° under the right screw, measured both ways.
    tilt = math.radians(20)
    tilted = pod(right=mw.Leg(screw="50 mm", height="27 mm", tilt="20°"))
    seen = pod(
        right=mw.Leg(at=("50 mm", "-27 mm", "0 mm"), normal=(math.sin(tilt), math.cos(tilt), 0))
    )
    assert seen.developed_length_m == pytest.approx(tilted.developed_length_m, abs=1e-9)


def test_the_trial_fit_is_typed_in_and_kept() -> None:
    cut = pod(left=mw.Leg(screw="57 mm", height="27 mm", cut="2 mm"))
    assert cut.developed_length_m == pytest.approx(pod().developed_length_m - 0.002)
    assert any("2.0 mm shorter" in n.text for n in cut.notes)


def test_a_covered_dome_and_a_tight_bend_are_named() -> None:
    with pytest.raises(mw.OutOfRangeError, match="dome"):
        pod(body_length="24 mm", bare="8 mm")
    with pytest.raises(mw.OutOfRangeError, match="bend_radius_m"):
        pod(foot_radius="0.1 mm", material="abs")
    with pytest.raises(mw.OutOfRangeError, match="available_length_m"):
        pod(available="150 mm")
    with pytest.raises(mw.OutOfRangeError, match="screw, from the body's axis"):
        pod(left=mw.Leg(screw="30 mm", height="27 mm"))
    with pytest.raises(mw.ShapeError, match="axis outside"):
        pod(body=[("10 mm", "0 mm"), ("30 mm", "0 mm"), ("20 mm", "20 mm")])


def test_the_wire_notch_is_cut_and_rounded() -> None:
    plain, notched = pod(middle_length="60 mm"), pod(middle_length="60 mm", wire="6 mm")
    # A U of 6 by 7.2 mm with a half round floor; its lips of 2 mm take a little more.
    u = 6 * 4.2 + math.pi * 9 / 2
    lips = 2 * (1 - math.pi / 4) * 4
    taken = (plain.blank.outline, notched.blank.outline)
    areas = [abs(green(o.outside)) * 1e6 for o in taken]
    assert areas[0] - areas[1] == pytest.approx(u + lips, abs=1e-3)


# --- rings, panels, pods, folds -------------------------------------------------------------------


def test_a_panel_has_shapelys_area_and_distances() -> None:
    made: Any = mw.panel(
        "trim",
        mw.Form.rectangle("310 mm", "215 mm", corner="18 mm"),
        thickness="3 mm",
        cutouts=[mw.Cutout("round", mw.Form.circle("120 mm"), at=("-60 mm", "10 mm"))],
        holes=[mw.Hole("screw", at=("140 mm", "90 mm"), diameter="4.5 mm")],
        finish="0.4 mm",
    )
    outer = shapely.box(-155 + 18, -107.5 + 18, 155 - 18, 107.5 - 18).buffer(
        18 - 0.4, quad_segs=500
    )
    hole = Point(-60, 10).buffer(60.4, quad_segs=500)
    want = outer.difference(hole).difference(Point(140, 90).buffer(2.25, quad_segs=500))
    area = green(made.blank.outline.outside) + sum(map(green, made.blank.outline.holes))
    assert area * 1e6 == pytest.approx(want.area, rel=2e-6)
    assert made.web_m * 1e3 == pytest.approx(hole.distance(outer.exterior), abs=1e-3)
    assert made.edge_m * 1e3 == pytest.approx(Point(140, 90).distance(outer.exterior), abs=1e-3)


def test_bad_cutouts_and_holes_are_named_with_what_works() -> None:
    square = mw.Form.rectangle("100 mm", "100 mm")
    with pytest.raises(mw.OutOfRangeError, match='cutout "pull"'):
        mw.panel(
            "p", square, thickness="3 mm", cutouts=[mw.Cutout("pull", mw.Form.circle("120 mm"))]
        )
    with pytest.raises(mw.ShapeError, match=r'holes\[0\] "screw"'):
        mw.panel(
            "p",
            square,
            thickness="3 mm",
            holes=[mw.Hole("screw", at=("49 mm", "0 mm"), diameter="4.5 mm")],
        )
    with pytest.raises(mw.ShapeError, match='hole "b"'):
        mw.panel(
            "p",
            square,
            thickness="3 mm",
            holes=[
                mw.Hole("a", at=("0 mm", "0 mm"), diameter="6 mm"),
                mw.Hole("b", at=("4 mm", "0 mm"), diameter="6 mm"),
            ],
        )
    with pytest.raises(mw.ImpossibleError, match="mm or"):
        ring(depth="20 mm")
    with pytest.raises(mw.UnitError):
        mw.panel("p", square, thickness="3")


@given(
    rim=st.floats(30, 300), share=st.floats(0.1, 0.9), deep=st.floats(0.05, 0.9), t=st.floats(1, 6)
)
def test_every_draw_keeps_its_volume(rim: float, share: float, deep: float, t: float) -> None:
    solids = {
        "cylinder": {"diameter": f"{rim} mm", "depth": f"{rim * deep} mm"},
        "frustum": {"rim": f"{rim} mm", "crown": f"{rim * share} mm", "depth": f"{rim * deep} mm"},
        "dome": {"rim": f"{rim} mm", "height": f"{rim * deep / 2} mm"},
    }
    for solid, sizes in solids.items():
        press: Any = mw.pressed_pod
        made = press("p", solid, sizes, thickness=f"{t} mm", edge="0 mm")
        volume = sum(w.area_m2 * w.thickness_m for w in made.walls)
        assert volume == pytest.approx(math.pi * (rim / 2e3) ** 2 * t / 1e3, rel=1e-9)
        assert made.thinnest_m < made.mean_m


def test_handbook_bend_allowances() -> None:
    # DIN 6935 (from memory), r 6 s 3: k 0.8005, 11.311 mm; setback 9 mm, so 50 + 80 - 18 + 11.311.
    made = mw.folded_panel(
        "b",
        ["50 mm", "80 mm"],
        [("90°", "6 mm", "show")],
        thickness="3 mm",
        width="80 mm",
        neutral="din-6935",
    )
    assert made.flat_length_m * 1e3 == pytest.approx(123.311, abs=5e-4)
    # Machinery's Handbook, 90°, soft steel (from memory): 1.57 R + 0.64 T.
    steel = mw.folded_panel(
        "b",
        ["50 mm", "80 mm"],
        [("90°", "6 mm", "show")],
        thickness="3 mm",
        width="80 mm",
        neutral=0.407,
    )
    assert steel.blank.bends[0].allowance_m * 1e3 == pytest.approx(1.57 * 6 + 0.64 * 3, abs=0.045)


def test_templates_work_both_ways_as_their_drawings_do() -> None:
    sizes: Any = mw.template_sizes(bushing="16 mm", bit="6.35 mm", hole="142 mm")
    back = mw.template_sizes(bushing="16 mm", bit="6.35 mm", template=f"{sizes.template_m} m")
    assert back.hole_m == pytest.approx(0.142)
    template = mw.router_template(ring().blanks[0], bit="6.35 mm", bushing="16 mm")
    drawn = audited(template.drawing().dxf()).modelspace()
    radii = sorted(c.dxf.radius for c in drawn.query("CIRCLE[layer=='CUT']"))
    outside: Any = mw.template_sizes(bushing="16 mm", bit="6.35 mm", part="176 mm")
    assert radii == pytest.approx([sizes.template_m * 500, outside.pattern_m * 500])


def test_routing_follows_the_method() -> None:
    blank = ring().blanks[0]
    by = {m: mw.routing(blank, method=m) for m in ("sawn-then-trimmed", "hand-plunge", "machine")}
    assert by["hand-plunge"].passes == 5
    assert by["sawn-then-trimmed"].passes == 1
    assert by["sawn-then-trimmed"].spacing_m == pytest.approx(0.0082)
    # Path of the bit's centre: outside + d and cutout - d, and the screw holes.
    assert by["machine"].path_m > math.pi * (0.176 + 0.142)
    # Feed from the chip: 2 flutes, 18 000 rpm (a cutter dealer's page: 0.1 mm gives 3600 mm/min).
    machine = by["machine"]
    assert machine.feed_m_s == pytest.approx(2 * machine.chip_m * 300)


def test_gaskets_fit_between_flange_and_ring() -> None:
    made = mw.seals(ring(), flange="165 mm", trim_gap="12 mm", fixing="rivet-nut")
    width = made.driver.outline.outside
    assert abs(green(width)) * 1e6 == pytest.approx(math.pi * 81.5**2, rel=1e-6)
    assert made.collar
    assert made.collar.thickness_m == pytest.approx(0.005)
    assert any("7.0 mm" in n.text for n in made.notes)
    with pytest.raises(mw.OutOfRangeError, match="flange"):
        mw.seals(ring(), flange="140 mm")


def test_a_grille_leaves_room_for_the_cone() -> None:
    outer, opening = mw.Form.circle("190 mm"), mw.Form.circle("140 mm")
    sizes: dict[str, Any] = {"thickness": "6 mm", "retainer": "2 mm", "mesh": "1 mm"}
    made = mw.grille("g", outer, opening, wrap="0.5 mm", **sizes)
    assert made.recess_m == pytest.approx(0.0035)
    recess = next(m for m in made.frame.marks if m.mark == "contour")
    assert abs(green(recess.chain)) * 1e6 == pytest.approx(math.pi * 78**2, rel=1e-6)
    with pytest.raises(mw.OutOfRangeError, match="touch the mesh"):
        mw.grille("g", outer, opening, cone=("9 mm", "8 mm"), **sizes)


def test_left_and_right_aim_apart() -> None:
    # Both look at the driver's far ear, 0.4 m left of the middle: no mirror images.
    ear = (-1.0, 0.4, 1.0)
    left = mw.aim((0, 0.6, 0.9), ear, normal=(-0.5, -0.8, 0.2), along=(0, 0, 1))
    right = mw.aim((0, -0.6, 0.9), ear, normal=(-0.5, 0.8, 0.2), along=(0, 0, 1))
    assert left.lift_rad != pytest.approx(right.lift_rad, abs=0.05)
    # The angle to the listener by the dot product alone.
    to = [e - p for e, p in zip(ear, (0, 0.6, 0.9), strict=True)]
    n = (-0.5, -0.8, 0.2)
    cosine = sum(a * b for a, b in zip(to, n, strict=True)) / math.hypot(*to) / math.hypot(*n)
    assert left.lift_rad == pytest.approx(math.pi / 2 - math.acos(cosine))


def test_a_measure_sheet_prints_on_one_page() -> None:
    for kind in ("strap", "ring", "panel", "pressed-pod", "folded-panel", "grille"):
        sheet = mw.measure_sheet(kind)
        assert sheet.lines
        assert all(line.what for line in sheet.lines)
        for paper in PAPER:
            assert len(pages(sheet.drawing().pdf(page=paper))) == 1
    inch = mw.measure_sheet("strap", units="inch")
    tab = next(line for line in inch.lines if line.key == "tab_length")
    # ± 1 mm, 22 mm.
    assert (tab.spread, tab.default) == ("± 0.04 in", "0.87 in")
    assert "0.87 in" in inch.drawing().svg()
    with pytest.raises(mw.UnknownNameError, match="ring"):
        mw.measure_sheet("rings")


@pytest.mark.parametrize(
    "asked",
    [
        {"hole": "5 mm"},
        {"template": "10 mm"},
        {"part": "5 mm"},
    ],
)
def test_template_sizes_that_cannot_be_are_refused(asked: dict[str, str]) -> None:
    with pytest.raises(mw.OutOfRangeError):
        mw.template_sizes(bushing="16 mm", bit="6.35 mm", **asked)


def test_a_hole_and_its_template_are_not_both_given() -> None:
    with pytest.raises(mw.ShapeError):
        mw.template_sizes(bushing="16 mm", bit="6.35 mm", hole="10 mm", template="151.65 mm")


def test_a_crossing_polygon_is_an_error_and_one_layer_has_no_glue() -> None:
    bow = [("0 mm", "0 mm"), ("100 mm", "100 mm"), ("100 mm", "0 mm"), ("0 mm", "100 mm")]
    with pytest.raises(mw.ShapeError, match="cross"):
        mw.panel("p", mw.Form.polygon(bow), thickness="3 mm")
    single = ring(stock=[("18 mm", 50.0)], depth="18 mm")
    assert math.copysign(1.0, single.glue_area_m2) == 1.0
    assert single.glue_area_m2 == 0.0


def test_few_thick_layers_are_found_beside_many_thin_ones() -> None:
    # By hand: 12 + 12, 8 + 8; eight cheap thin layers stop short of either.
    for depth, stock, layers in (
        ("24 mm", [("1.5 mm", 5.0), ("12 mm", 55.0)], [12, 12]),
        ("16 mm", [("1 mm", 1.0), ("8 mm", 10.0)], [8, 8]),
    ):
        ring = mw.adapter_ring(
            "r", mw.Form.circle("220 mm"), mw.Form.circle("140 mm"), depth=depth, over="0 mm",
            stock=stock,
        )  # fmt: skip
        assert [round(blank.thickness_m * 1e3) for blank in ring.blanks] == layers


@pytest.mark.parametrize(
    "hidden", ['display="none"', 'style="display:none"', 'visibility="hidden"']
)
def test_what_is_hidden_in_a_drawing_is_no_cutout(hidden: str, tmp_path: Path) -> None:
    svg = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="99mm" height="99mm" viewBox="0 0 99 99">'
        f'<circle cx="50" cy="49" r="40"/><g {hidden}><circle cx="50" cy="49" r="20"/></g></svg>'
    )
    file = tmp_path / "hidden.svg"
    file.write_text(svg, encoding="utf-8")
    made = mw.trace(file)
    assert made.parts[0].area_m2 == pytest.approx(math.pi * 0.04**2, rel=1e-6)
    assert any("hidden" in note.text for note in made.notes)
    file.write_text(svg.replace('r="40"', 'r="40" style="transform:scale(2)"'), encoding="utf-8")
    with pytest.raises(mw.ShapeError, match="transform in a style"):
        mw.trace(file)
