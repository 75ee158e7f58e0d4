"""Every public class of answers: shown, compared, copied into plain values, pickled."""

import inspect
import json
import pickle
from collections.abc import Iterable, Iterator
from typing import Any

import pytest

import mountwright as mw
from mountwright.records import Record

CLASSES = {
    name: value
    for name in mw.__all__
    if inspect.isclass(value := getattr(mw, name)) and not issubclass(value, Exception)
}
# What answers are asked with, and objects that are asked further: these pickle and compare.
ASKED_WITH = {
    "Climate",
    "Coupon",
    "Cure",
    "Cutout",
    "Face",
    "Form",
    "Hole",
    "HotAirGun",
    "Layer",
    "Leg",
    "Melting",
    "Memory",
    "Screws",
    "Step",
}
# Drawings are shown as what they draw; tuples of fields are what a tuple is.
DRAWN = {"CellProblem", "Drawing", "Drawn", "Problem"}
ANSWERS = sorted(CLASSES.keys() - ASKED_WITH - DRAWN)


@pytest.fixture(scope="module")
def answers(
    pods: mw.Plan, rings: mw.Plan, tmp_path_factory: pytest.TempPathFactory
) -> dict[str, Any]:
    """One answer of each class, from the functions that give them."""
    file = tmp_path_factory.mktemp("answers") / "shop.db"
    memory = mw.Shop.read("demo-data/shop.toml", memory=file).memory
    heat = mw.HotAirGun.two_setting("II").at("100 mm", "50 mm x 200 mm")
    strap: dict[str, Any] = {"thickness": "3 mm", "back": "turned every 8 s"}
    recipe = mw.recipe("abs", heat=heat, draws=16, history=True, **strap)
    face = mw.Face(film_w_m2_k=50, gas_k=500)
    layer = mw.Layer(
        thickness_m=3e-3,
        conductivity_w_m_k=0.18,
        density_kg_m3=1040,
        heat_capacity_j_kg_k=1900,
        start_k=293.15,
    )
    gun = mw.HotAirGun.two_setting("II").calibrated(
        [mw.Coupon("abs", thickness="3 mm", distance="100 mm", limp_after="72 s")]
    )
    ring = mw.adapter_ring(
        "ring",
        mw.Form.circle("186 mm"),
        mw.Form.circle("142 mm"),
        depth="12 mm",
        stock=[("12 mm", 9.0)],
    )
    legs = mw.Leg(screw="57 mm", height="27 mm")
    panel = mw.panel("panel", mw.Form.circle("200 mm"), thickness="3 mm")
    line = ("bending", "labour", 2.0, "h", 35.0)
    estimate = mw.estimate(
        [line], attended="2 h", currency="XTS", margin="30 %", draws=[60.0, 80.0]
    )
    job, shop = mw.Job.read("demo-data/door-rings.toml"), mw.Shop.read("demo-data/shop.toml")
    return {
        type(answer).__name__: answer
        for answer in _found(
            pods,
            rings,
            recipe,
            recipe.ranges,
            mw.heat_slab([layer], [mw.Step(seconds=30, front=face, back=mw.Face())]),
            heat,
            gun.calibration,
            mw.ways_to_a_window("abs", heat=heat, thickness="3 mm")[0],
            mw.heat_behind("abs", heat=heat, **strap),
            mw.foam_for("abs", heat=heat, limit="60 °C", **strap),
            mw.line_bend(
                "abs", heat=mw.Heat.bar("175 °C"), strip="12 mm", thickness="3 mm", back="same heat"
            ),
            mw.distance_time_map(
                "abs", gun=mw.HotAirGun("300 °C", "300 L/min"), points=(4, 5), **strap
            ),
            mw.strap("pod", thickness="3 mm", body="47 mm", left=legs, right=legs),
            panel,
            panel.blank,
            ring,
            mw.seals(ring, flange="165 mm"),
            mw.pressed_pod(
                "dome", "cylinder", {"diameter": "80 mm", "depth": "30 mm"}, thickness="3 mm"
            ),
            mw.folded_panel(
                "cover",
                ["80 mm", "40 mm"],
                [("90°", "3 mm", "show")],
                thickness="3 mm",
                width="200 mm",
            ),
            mw.grille(
                "grille",
                mw.Form.circle("200 mm"),
                mw.Form.circle("170 mm"),
                thickness="6 mm",
                retainer="3 mm",
                mesh="1 mm",
            ),
            mw.wedge("wedge", lift="5°"),
            mw.aim([0, 0, 0], [1, 0.4, 0.2], normal=[0, 0, 1], along=[1, 0, 0]),
            mw.routing(panel.blank, method="hand-plunge"),
            mw.template_sizes(bushing="16 mm", bit="6.35 mm", hole="120 mm"),
            mw.trace("demo-data/drawings/bracket.dxf"),
            mw.measure_sheet("strap"),
            mw.lay_out(
                [{"name": "a", "width": "40 mm", "height": "30 mm"}],
                [{"name": "b", "width": "1 m", "height": "1 m", "price": 20.0}],
            ),
            mw.adhesive("epoxy-30min"),
            mw.rank_adhesives("abs", "abs"),
            mw.joint("abs", "abs", area="20 cm2"),
            mw.cure("epoxy-30min").times_at("23 °C"),
            mw.cure("epoxy-30min").ready_band_at(0.0, mw.Climate.steady("23 °C")),
            mw.pot_life("epoxy-30min", mass="20 g"),
            mw.finish("textured", material="abs", area="200 cm2"),
            mw.belongs("abs", "door"),
            mw.check_fit({"driver_depth": "58 mm", "depth_behind_face": "70 mm"}),
            mw.may_plan("door", airbag="no", driver_view="no"),
            mw.cabin_temperature("door"),
            mw.material("abs"),
            mw.materials(role="sheet"),
            mw.material_at("abs", "80 °C"),
            mw.compare_materials(["abs", "pc"], ["limp"]),
            mw.material_provenance(["abs"]),
            mw.measured_sheet("abs", name="K7", thickness="3.1 mm"),
            mw.quantity("3 mm", "length"),
            mw.screw_holes("abs", "4 mm"),
            mw.openings("expanded-pvc", width="186 mm", thickness="13 mm", screw="3.5 mm"),
            mw.band([1.0, 2.0, 3.0]),
            estimate,
            mw.quote(estimate, work=["one pod"], date="2026-11-25"),
            mw.price_breaks(
                [("sheet", "material", 0.2, "m²", 20.0)],
                quantities=[1],
                first="1 h",
                labour_per_hour=30,
                currency="XTS",
                margin="30 %",
            )[0],
            mw.promise(
                [{"name": "cut", "attended": "20 min"}],
                hours={"monday": ["08:00-17:00"]},
                start="2026-03-02T08:00",
            ),
            job,
            shop,
            mw.compare(job, shop=shop, ways={"bare": {"finish": "bare"}}, draws=0),
            memory.accept(pods, on="2026-11-26"),
            *memory.close(pods.job.name, minutes={"cut": 20.0}, on="2026-11-27"),
            memory.jobs(),
        )
    }


def _found(*answers: Any) -> Iterator[Any]:
    """Give answers, and those that they hold."""
    for answer in answers:
        yield answer
        if isinstance(answer, Record):
            for name in answer.to_dict():
                held = getattr(answer, name)
                for one in held if isinstance(held, tuple) else (held,):
                    if isinstance(one, Record) and type(one) is not Record:
                        yield from _found(one)


@pytest.mark.parametrize("name", ANSWERS)
def test_an_answer_is_shown_compared_copied_and_pickled(name: str, answers: dict[str, Any]) -> None:
    answer: Any = answers.get(name)
    if name == "Record":
        answer = mw.Record({"value": 1.0})
    assert answer is not None, f"the test makes no {name}"
    assert type(answer).__name__ == name
    text = repr(answer)
    assert text.startswith(name)
    assert "object at 0x" not in text
    assert len(text) < 2000
    page = answer._repr_html_()
    assert page.count("<") > 1
    assert "object at 0x" not in page
    plain = answer.to_dict()
    assert json.loads(json.dumps(plain)) == plain
    again = pickle.loads(pickle.dumps(answer))
    assert again == answer
    assert again.to_dict() == plain
    assert answer != 1


def test_answers_that_differ_are_not_equal(answers: dict[str, Any]) -> None:
    seen: Iterable[Any] = answers.values()
    for a in seen:
        assert sum(a == b for b in answers.values()) == 1
    assert mw.quantity("3 mm", "length") != mw.quantity("4 mm", "length")
    assert mw.quantity("3 mm", "length").value != mw.quantity("4 mm", "length").value


ASKED: dict[str, Any] = {
    "Climate": lambda: mw.Climate.steady("23 °C"),
    "Coupon": lambda: mw.Coupon("abs", thickness="3 mm", distance="100 mm", limp_after="72 s"),
    "Cure": lambda: mw.cure("epoxy-30min"),
    "Cutout": lambda: mw.Cutout("driver", mw.Form.circle("120 mm")),
    "Face": lambda: mw.Face(film_w_m2_k=50, gas_k=500),
    "Form": lambda: mw.Form.circle("120 mm"),
    "Hole": lambda: mw.Hole("screw", at=("10 mm", "5 mm"), diameter="4 mm"),
    "HotAirGun": lambda: mw.HotAirGun.two_setting("II"),
    "Layer": lambda: mw.Layer(
        thickness_m=3e-3,
        conductivity_w_m_k=0.18,
        density_kg_m3=1040,
        heat_capacity_j_kg_k=1900,
        start_k=293.15,
    ),
    "Leg": lambda: mw.Leg(screw="57 mm", height="27 mm"),
    "Melting": lambda: mw.Melting(latent_j_kg=6e4, melts_k=(320.0, 333.0, 340.0)),
    "Memory": lambda: mw.Shop.read("demo-data/shop.toml", memory="shop.db").memory,
    "Screws": lambda: mw.Screws("driver", "driver", hole="4 mm", circle="150 mm"),
    "Step": lambda: mw.Step(seconds=30, front=mw.Face(), back=mw.Face()),
    "Drawing": lambda: mw.panel("p", mw.Form.circle("9 cm"), thickness="3 mm").blank.drawing(),
}


@pytest.mark.parametrize("name", sorted(ASKED_WITH | {"Drawing"}))
def test_what_is_asked_with_is_shown_compared_and_pickled(name: str) -> None:
    one, other = ASKED[name](), ASKED[name]()
    assert "object at 0x" not in repr(one)
    assert one == other
    assert pickle.loads(pickle.dumps(one)) == one
    assert one != 1
    if name not in ("Drawing", "Memory"):
        plain = one.to_dict()
        assert json.loads(json.dumps(plain)) == plain
        assert one._repr_html_().startswith("<table><caption>")
