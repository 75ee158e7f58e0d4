"""Recipes: what must hold of them, and their times against scipy's stiff integrator."""

import json
import pickle
import re
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from scipy.sparse import diags

import mountwright as mw

SIGMA = 5.670374419e-8  # W/m²K⁴, CODATA 2018, exact in the SI since 2019
GAS = 8.314462618  # J/mol/K, exact in the SI since 2019
Array = NDArray[np.float64]


class Reference:
    """A sheet as stored heat of many nodes, by BDF: temperature-dependent properties, melting."""

    def __init__(self, material: str, thickness_m: float, cells: int = 160) -> None:
        self.grid = np.linspace(150.0, 900.0, 7501)
        found = mw.material(material)
        # Outside their points the catalogue's properties are held.
        rows = np.arange(215.0, 670.0, 0.5)
        several = [mw.material_at(material, f"{t} K") for t in rows]
        self.k = np.interp(self.grid, rows, [m.conductivity_w_m_k for m in several])
        cp = np.interp(self.grid, rows, [m.heat_capacity_j_kg_k for m in several])
        molten = np.zeros_like(self.grid)
        if found.entries.to_dict().get("melting_start"):
            start, top, end = (
                getattr(found, f"melting_{x}").value for x in ("start", "peak", "end")
            )
            # A triangular peak: the molten share is an S of two parabolas.
            t = np.clip(self.grid, start, end)
            molten = np.where(
                t <= top,
                (t - start) ** 2 / ((top - start) * (end - start)),
                1 - (end - t) ** 2 / ((end - top) * (end - start)),
            )
            latent = found.melting_enthalpy.value
        else:
            latent = 0.0
        density = found.density.value
        self.emissivity = found.emissivity.value
        step = np.diff(self.grid)
        sensible = np.concatenate([[0.0], np.cumsum((cp[1:] + cp[:-1]) / 2 * step)])
        self.heat = density * (sensible + latent * molten)
        self.potential = np.concatenate([[0.0], np.cumsum((self.k[1:] + self.k[:-1]) / 2 * step)])
        self.dx = thickness_m / cells
        self.size = np.full(cells + 1, self.dx)
        self.size[[0, -1]] /= 2
        self.sparsity = diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(cells + 1, cells + 1)).toarray()

    def temperature(self, heat: Array) -> Array:
        return np.asarray(np.interp(heat, self.heat, self.grid))

    def run(
        self, start: Array, seconds: float, front: mw.Face, back: mw.Face
    ) -> tuple[Array, Array]:
        def rate(_: float, heat: Array) -> Array:
            t = self.temperature(heat)
            flow = np.diff(np.interp(t, self.grid, self.potential)) / self.dx
            into = np.empty_like(heat)
            into[0] = flow[0] + flux(front, t[0])
            into[1:-1] = np.diff(flow)
            into[-1] = flux(back, t[-1]) - flow[-1]
            return np.asarray(into / self.size)

        at = np.linspace(0.0, seconds, max(int(seconds / 0.05), 2))
        done = solve_ivp(
            rate, (0.0, seconds), start, "BDF", at, rtol=1e-7, atol=1e2, jac_sparsity=self.sparsity
        )
        return done.t, done.y.T


def flux(face: mw.Face, t: float) -> float:
    """Heat into a face, written out again: W/m²."""
    rise = face.still_k - t
    return float(
        face.film_w_m2_k * (face.gas_k - t)
        + face.free_w_m2_k125 * abs(rise) ** 0.25 * rise
        + face.emissivity * SIGMA * (face.surroundings_k**4 - t**4)
        + face.flux_w_m2
    )


def first(t: Array, values: Array, level: float, *, rising: bool) -> float | None:
    beyond = values >= level if rising else values <= level
    if not beyond.any():
        return None
    i = int(np.argmax(beyond))
    if i == 0:
        return float(t[0])
    share = (level - values[i - 1]) / (values[i] - values[i - 1])
    return float(t[i - 1] + share * (t[i] - t[i - 1]))


def times(
    material: str, recipe: mw.Recipe, heat: mw.Heat, turn_s: float | None, air_k: float
) -> dict[str, float | None]:
    """The times of a recipe, followed from its own end of heat."""
    sheet = Reference(material, recipe.thickness_m)
    limits = recipe.limits
    need = limits.limp_k
    hot = heat.face(sheet.emissivity)
    cool = mw.Face.cooling(
        typical_k=need, air_k=air_k, length_m=recipe.width_m, emissivity=sheet.emissivity
    )
    state = np.full(sheet.size.size, np.interp(air_k, sheet.grid, sheet.heat))
    end = 1.05 * (recipe.closes_s or recipe.stop_s or 0.0)
    t_all, y_all, now, turned = [0.0], [state], 0.0, False
    while now < end:
        span = min(turn_s or end, end - now)
        faces = [hot, cool] if turn_s else [hot, hot]
        t, y = sheet.run(state, span, *(faces[::-1] if turned else faces))
        t_all += list(now + t[1:])
        y_all += list(y[1:])
        state, now, turned = y[-1], now + span, not turned
    t, heat_of = np.array(t_all), np.array(y_all)
    warm = sheet.temperature(heat_of)
    found = {
        "opens_s": first(t, warm.min(axis=1), need, rising=True),
        "upper": first(t, warm.max(axis=1), limits.upper_k, rising=True),
    }
    closes = found.pop("upper")
    if limits.dose is not None:
        d = limits.dose
        speed = np.exp(d.activation_j_mol / GAS * (1 / d.reference_k - 1 / warm[:, [0, -1]]))
        speed /= d.reference_s
        taken = np.cumsum((speed[1:] + speed[:-1]) / 2 * np.diff(t)[:, None], axis=0).max(axis=1)
        used = first(t[1:], taken, d.limit, rising=True)
        closes = min((x for x in (closes, used) if x is not None), default=None)
    found["closes_s"] = closes
    assert recipe.stop_s is not None
    i = int(np.searchsorted(t, recipe.stop_s))
    share = (recipe.stop_s - t[i - 1]) / (t[i] - t[i - 1])
    stopped = heat_of[i - 1] + share * (heat_of[i] - heat_of[i - 1])
    t, heat_of = sheet.run(stopped, 1.2 * max(recipe.hold_s or 0, recipe.touch_s or 0), cool, cool)
    cold = sheet.temperature(heat_of)
    weight = sheet.size / sheet.size.sum()
    found["working_time_s"] = first(t, cold @ weight, need, rising=False)
    found["hold_s"] = first(t, cold.max(axis=1), limits.set_k, rising=False)
    found["touch_s"] = first(t, cold.max(axis=1), mw.touch_limit(10), rising=False)
    return found


@pytest.mark.parametrize(
    ("material", "film", "gas", "turn_s"),
    [
        ("abs", 45, "260 °C", None),
        ("abs", 60, "260 °C", 8.0),
        ("expanded-pvc", 25, "200 °C", None),
        ("expanded-pvc", 45, "230 °C", 8.0),
    ],
)
def test_every_time_of_a_full_recipe_agrees_with_a_stiff_integrator(
    material: str, film: float, gas: str, turn_s: float | None
) -> None:
    """Radiation, free convection, properties over temperature; heating and cooling."""
    heat = mw.Heat.given(film, gas, surroundings="21 °C")
    back = "same heat" if turn_s is None else f"turned every {turn_s} s"
    recipe = mw.recipe(material, thickness="3 mm", heat=heat, back=back, air="21 °C", wrap="0 %")
    assert recipe.has_window
    theirs = times(material, recipe, heat, turn_s, 294.15)
    if recipe.closes_s is None:
        # Followed to the end of heat only.
        assert theirs.pop("closes_s") is None
    for name, value in theirs.items():
        ours = getattr(recipe, name)
        assert value is not None, name
        # The promise of the default grain. 160 cells and 0.05 s between looks add less than 0.02 %.
        # A time shorter than 5 s is asked for to 10 ms instead.
        assert ours == pytest.approx(value, rel=2e-3, abs=0.01), name


def test_an_opening_that_is_only_grazed_is_found() -> None:
    """Between two turns the coldest point passes from one half to the other, within a step."""
    heat = mw.Heat.given(45, "260 °C", surroundings="21 °C")
    recipe = mw.recipe(
        "abs", thickness="3 mm", heat=heat, back="turned every 8 s", air="21 °C", wrap="0 %"
    )
    theirs = times("abs", recipe, heat, 8.0, 294.15)
    assert recipe.opens_s == pytest.approx(theirs["opens_s"], rel=2e-3)


def test_a_melting_sheet_opens_as_a_stiff_integrator_says() -> None:
    heat = mw.Heat.oven("85 °C")
    recipe = mw.recipe("pcl", thickness="2 mm", heat=heat, back="same heat", wrap="0 %")
    sheet = Reference("pcl", 2e-3)
    hot = heat.face(sheet.emissivity)
    state = np.full(sheet.size.size, np.interp(293.15, sheet.grid, sheet.heat))
    assert recipe.opens_s is not None
    t, heat_of = sheet.run(state, 1.1 * recipe.opens_s, hot, hot)
    need = recipe.limits.limp_k
    theirs = first(t, sheet.temperature(heat_of).min(axis=1), need, rising=True)
    assert recipe.opens_s == pytest.approx(theirs, rel=2e-3)


def asked(**more: Any) -> dict[str, Any]:
    return {
        "material": "abs",
        "thickness": "3 mm",
        "heat": mw.Heat.given(45, "260 °C"),
        "back": "same heat",
        **more,
    }


@given(st.floats(1, 8), st.floats(1.05, 2), st.sampled_from(["same heat", "turned every 6 s"]))
@settings(max_examples=25, deadline=None)
def test_thicker_is_slower_and_hotter_is_faster(mm: float, factor: float, back: str) -> None:
    def opens(thickness: float, film: float, gas: float) -> float:
        r = mw.recipe(
            "abs",
            thickness=f"{thickness} mm",
            heat=mw.Heat.given(film, f"{gas} °C"),
            back="same heat",
        )
        # The window may be closed before: then the coldest point is late.
        return r.opens_s or np.inf

    plain = opens(mm, 20, 150)
    assert opens(mm * factor, 20, 150) >= plain
    assert opens(mm, 20 * factor, 150) <= plain * (1 + 1e-6)
    assert opens(mm, 20, 150 + 20 * factor) <= plain * (1 + 1e-6)
    assert back


def test_times_come_in_their_order() -> None:
    r = mw.recipe(**asked())
    found = [x for x in (r.opens_s, r.stop_s, r.closes_s) if x is not None]
    assert len(found) == 3
    assert found == sorted(found)
    assert 0 < (r.working_time_s or 0) < (r.hold_s or 0)
    assert r.peak_face_k <= r.limits.upper_k + 0.5
    assert (r.opens, r.closes, r.stop) == (r.opens_s, r.closes_s, r.stop_s)
    assert (r.working_time, r.hold, r.touch) == (r.working_time_s, r.hold_s, r.touch_s)
    assert r.reheats is not None
    assert r.reheats_left == r.reheats.left


def test_a_strap_of_the_trade_is_limp_in_one_to_two_minutes() -> None:
    """Common practice, no source: a 3 mm strap under a hand-held gun, moved and turned."""
    r = mw.recipe(
        "expanded-pvc",
        thickness="3 mm",
        heat=mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm"),
        back="turned every 8 s",
        draws=256,
    )
    assert r.ranges is not None
    opens = r.ranges.opens_s
    assert opens is not None
    assert r.window_share is not None
    assert opens.p10 < 120
    assert opens.p90 > 60
    assert r.window_share > 0.5
    # One face only, its back in open air: the face scorches before the back is limp.
    bare = mw.recipe(
        "expanded-pvc",
        thickness="3 mm",
        heat=mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm"),
    )
    assert not bare.has_window
    assert bare.why_no_window is not None
    assert bare.why_no_window.remedies


def test_ranges_repeat_with_their_seed_and_hold_the_likeliest() -> None:
    heat = mw.HotAirGun("300 °C", "250 L/min").at("120 mm")
    one, two = (mw.recipe(**asked(heat=heat), draws=64, seed=s) for s in (3, 3))
    assert one == two
    assert one != mw.recipe(**asked(heat=heat), draws=64, seed=4)
    for name in ("opens_s", "closes_s", "hold_s"):
        band = getattr(one.ranges, name)
        assert isinstance(band, mw.Band)
        assert band.p10 <= band.p50 <= band.p90
    strengths = [c.first_order for c in one.causes]
    assert strengths == sorted(strengths, reverse=True)


@pytest.mark.parametrize("distance", ["100 mm", "120 mm", "140 mm", "150 mm"])
@pytest.mark.parametrize("tried", [False, True], ids=["untried", "calibrated"])
def test_the_seconds_after_limp_do_for_nine_draws_in_ten(distance: str, *, tried: bool) -> None:
    gun = mw.HotAirGun.two_setting("II")
    if tried:
        seen: dict[str, Any] = {"patch": "60 mm x 200 mm", "back": "turned every 8 s"}
        gun = gun.calibrated(
            [
                mw.Coupon("abs", thickness="3 mm", distance="100 mm", limp_after="74 s", **seen),
                mw.Coupon("abs", thickness="3 mm", distance="140 mm", limp_after="118 s", **seen),
            ]
        )
    question: dict[str, Any] = {
        "material": "abs",
        "thickness": "3 mm",
        "heat": gun.at(distance, "60 mm x 200 mm"),
        "back": "turned every 8 s",
    }
    plain, r = mw.recipe(**question), mw.recipe(**question, draws=128)
    # The likeliest run is what it is without draws.
    assert (r.opens_s, r.stop_s, r.closes_s) == (plain.opens_s, plain.stop_s, plain.closes_s)
    assert r.ranges is not None
    assert r.ranges.past_opening_s is not None
    assert r.more_s is not None
    assert plain.more_s is not None
    # Each draw stops within its own window; counted from what is seen, nine in ten go on longer.
    assert 0 <= r.more_s <= min(plain.more_s, r.ranges.past_opening_s.p10)
    assert re.search(r"Once it is limp, (.* more, then stop|stop at once)\.", r.explain())
    # What was asked for is left alone.
    asked_for = mw.recipe(**question, draws=16, stop=f"{plain.stop_s} s")
    assert asked_for.stop_s == pytest.approx(plain.stop_s)


def test_a_figure_stands_within_the_range_beside_it() -> None:
    gun = mw.HotAirGun.two_setting("II")
    several = 0
    for material, thickness in (("abs", "3 mm"), ("pc", "3 mm"), ("petg", "2 mm")):
        for mm in (100, 130, 150, 170):
            heat = gun.at(f"{mm} mm", "60 mm x 200 mm")
            r = mw.recipe(
                material, thickness=thickness, heat=heat, back="turned every 8 s", draws=64
            )
            for name in ("opens_s", "closes_s", "working_time_s", "hold_s"):
                band = r.range_of(name)
                if band is None:
                    continue
                several += 1
                assert r.window_share is not None
                assert r.window_share >= 0.9
                assert band.p10 <= getattr(r, name) <= band.p90
            steps = r.explain().split("\n\n")[1]
            if not r.range_of("hold_s") and (r.window_share or 0) < 0.9:
                assert "(" not in steps.replace("(emissivity 0.95)", "")
                # What burns is told all the same.
                if r.has_window and r.ranges and r.ranges.closes_s:
                    sooner = r.ranges.closes_s.p10 < (r.closes_s or np.inf)
                    assert ("one time in ten" in steps) == sooner
    assert several


def test_a_spread_can_be_given_and_written() -> None:
    heat = mw.Heat.given(50, "220 °C")
    fixed = {name: ("fixed", value) for name, value in {"thickness_m": 3e-3, "wrap": 0.0}.items()}
    wide = mw.recipe(**asked(heat=heat, thickness="3 mm ± 0.6 mm"), draws=64)
    narrow = mw.recipe(**asked(heat=heat), draws=64, spread=fixed)

    def width(r: mw.Recipe) -> float:
        assert r.ranges is not None
        assert r.ranges.opens_s is not None
        return r.ranges.opens_s.p90 - r.ranges.opens_s.p10

    assert width(wide) > width(narrow)
    assert wide.causes[0].name == "thickness_m"
    assert "thickness_m" not in [c.name for c in narrow.causes]
    with pytest.raises(mw.UnknownNameError):
        mw.recipe(**asked(), draws=8, spread={"thicknes_m": ("fixed", 1.0)})
    with pytest.raises(mw.UnknownNameError):
        mw.recipe(**asked(), draws=8, spread={"thickness_m": ("flat", 1.0)})


def test_a_recipe_is_told_in_the_words_of_the_bench() -> None:
    heat = mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm")
    r = mw.recipe(
        "expanded-pvc",
        thickness="3 mm",
        heat=heat,
        back="turned every 8 s",
        hold="on the part",
        draws=64,
        history=True,
    )
    told = r.explain()
    for words in (
        "turn it over every 8 s",
        "Once it is limp, ",
        "infrared",
        "Hold it still",
        "Caution",
    ):
        assert words in told
    assert str(r) == told
    page = r._repr_html_()
    assert page.count("<svg") == 1
    assert "Cautions" in page
    assert pickle.loads(pickle.dumps(r)) == r
    assert mw.Recipe.from_json(r.to_json()) == r
    assert json.loads(r.to_json()) == r.to_dict()
    assert r.history is not None
    assert r.history.t_s[0] == 0
    # Rounded to 5 s, but for the strokes and the turns: no other second is told.
    steps = told.split("Caution")[0].replace("2 s a stroke", "").replace("every 8 s", "")
    assert all(int(x) % 5 == 0 for x in re.findall(r"\b(\d+) s\b", steps))
    cold = mw.recipe("expanded-pvc", thickness="3 mm", heat=heat)
    assert "No window" in cold.explain()
    assert "No window" in cold._repr_html_()
    with pytest.raises(ValueError, match="history=True"):
        cold.svg()


def test_ways_open_what_they_promise() -> None:
    heat = mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm")
    ways = mw.ways_to_a_window("expanded-pvc", thickness="3 mm", heat=heat, seconds="20 s")
    assert ways
    assert all(way.seconds >= 20 for way in ways)
    opens = [way.window.warm_s for way in ways]
    assert opens == sorted(opens)
    turned = next(w for w in ways if w.what == "turn it over every 4 s")
    r = mw.recipe("expanded-pvc", thickness="3 mm", heat=heat, back="turned every 4 s")
    assert turned.window.warm_s == pytest.approx(r.opens_s, rel=1e-9)
    assert "opens at" in str(turned)
    hour = mw.ways_to_a_window("expanded-pvc", thickness="3 mm", heat=heat, seconds="1 h")
    assert {way.what for way in hour} < {way.what for way in ways}


def test_foam_keeps_the_part_cool_and_no_thinner_does() -> None:
    strap: dict[str, Any] = {
        "metal": "1 mm",
        "thickness": "3 mm",
        "heat": mw.HotAirGun.two_setting("I").at("120 mm", "50 mm x 200 mm"),
        "back": "turned every 8 s",
    }
    found = mw.foam_for("expanded-pvc", limit="35 °C", **strap)
    assert found.behind.face_k <= 35 + 273.15
    thinner = f"{found.thickness_m * 0.95e3} mm"
    warm = mw.heat_behind("expanded-pvc", foam=thinner, **strap)
    assert warm.face_k > 35 + 273.15
    assert warm.inside_k <= warm.face_k <= warm.foam_k
    open_back = {**strap, "back": "open"}
    with pytest.raises(mw.ImpossibleError):
        mw.heat_behind("expanded-pvc", **open_back)


def test_pulses_and_strokes_are_gentler_than_steady_heat() -> None:
    heat = mw.Heat.given(60, "220 °C")
    steady = mw.recipe(**asked(heat=heat))
    pulsed = mw.recipe(**asked(heat=heat, pulse="5 s on, 5 s off"))
    strokes = mw.recipe(**asked(heat=heat, pulse="2 s strokes, 40 %"))
    assert steady.opens_s
    assert pulsed.opens_s
    assert strokes.opens_s
    # The same mean film in short bursts: a little later, for a rest cools.
    assert steady.opens_s < strokes.opens_s < 1.2 * steady.opens_s < pulsed.opens_s


BAD: list[tuple[dict[str, Any], type[Exception]]] = [
    ({"material": "abss"}, mw.UnknownNameError),
    ({"material": "plywood"}, mw.MountwrightError),
    ({"thickness": "3"}, mw.UnitError),
    ({"thickness": "0 mm"}, mw.OutOfRangeError),
    ({"thickness": "-3 mm"}, mw.OutOfRangeError),
    ({"thickness": "1e9 m"}, mw.OutOfRangeError),
    ({"thickness": "nan mm"}, mw.UnitError),
    ({"back": "closed"}, mw.UnknownNameError),
    ({"back": "turned every now and then"}, mw.UnitError),
    ({"back": "turned every 0 s"}, mw.OutOfRangeError),
    ({"need": "soft"}, mw.UnknownNameError),
    ({"hold": "in air"}, mw.UnknownNameError),
    ({"air": "3 mm"}, mw.UnitError),
    ({"air": "2000 °C"}, mw.OutOfRangeError),
    ({"width": "0 mm"}, mw.OutOfRangeError),
    ({"stop": "0 s"}, mw.OutOfRangeError),
    ({"pulse": "now and then"}, mw.UnitError),
    ({"pulse": "5 s on, 0 s off"}, mw.OutOfRangeError),
    ({"pulse": "2 s strokes, 0 %"}, mw.MountwrightError),
    ({"wrap": "300 %"}, mw.OutOfRangeError),
    ({"draws": -1}, mw.OutOfRangeError),
    ({"draws": 10**9}, mw.OutOfRangeError),
    ({"file": "absent.toml"}, OSError),
    ({"thicknes": "3 mm"}, TypeError),
]


@pytest.mark.parametrize("i", range(len(BAD)))
def test_what_cannot_be_is_refused(i: int) -> None:
    more, fault = BAD[i]
    with pytest.raises(fault):
        mw.recipe(**asked(**more))


def test_a_line_bend_is_soft_on_both_sides_of_its_strip() -> None:
    bar = mw.Heat.bar("175 °C")
    narrow, wide = (
        mw.line_bend("abs", thickness="3 mm", heat=bar, strip=strip, back="same heat")
        for strip in ("6 mm", "12 mm")
    )
    one = mw.recipe("abs", thickness="3 mm", heat=bar, back="same heat")
    assert narrow.opens_s == wide.opens_s == one.opens_s
    assert narrow.soft_width_m is not None
    assert wide.soft_width_m is not None
    assert wide.soft_width_m - narrow.soft_width_m == pytest.approx(6e-3, abs=1e-9)
    # A strip narrower than three thicknesses is noted.
    assert any(note.about == "line bend" for note in narrow.notes)
    assert not any(note.about == "line bend" for note in wide.notes)
    assert "bend along its middle" in wide.explain()
    assert pickle.loads(pickle.dumps(wide)) == wide
    cold = mw.line_bend("abs", thickness="3 mm", heat=mw.Heat.bar("80 °C"), strip="12 mm")
    assert cold.soft_width_m is None
    assert "No window" in str(cold)


@given(
    st.floats(1e-3, 12e-3),
    st.floats(0.05, 0.4),
    st.floats(0.5e6, 3e6),
    st.floats(10, 200),
    st.floats(430, 600),
)
@settings(max_examples=30, deadline=None)
def test_linear_recipes_agree_with_the_plane_wall(
    thick: float, k: float, capacity: float, film: float, gas: float
) -> None:
    """Full series of the plane wall (Bergman et al., 5.5), both faces alike, at the time told."""
    found = mw.quick_recipes(
        thickness_m=thick,
        conductivity_w_m_k=k,
        capacity_j_m3_k=capacity,
        film_w_m2_k=film,
        gas_k=gas,
        need_k=400.0,
        upper_k=425.0,
        set_k=350.0,
    )
    half = thick / 2
    biot = film * half / k
    low = np.arange(80) * np.pi
    roots = np.array(
        [brentq(lambda z: z * np.sin(z) - biot * np.cos(z), a, a + np.pi) for a in low]
    )
    weight = 4 * np.sin(roots) / (2 * roots + np.sin(2 * roots))

    def temperature(t: float, x: float) -> float:
        fourier = k / capacity * t / half**2
        theta = np.sum(weight * np.exp(-(roots**2) * fourier) * np.cos(roots * x))
        return float(gas + (293.15 - gas) * theta)

    closes = float(found["closes_s"][0])
    assert temperature(closes, 1.0) == pytest.approx(425.0, abs=1e-4)
    opens = float(found["opens_s"][0])
    if np.isnan(opens):
        assert temperature(closes, 0.0) <= 400.0 + 1e-4
    else:
        assert temperature(opens, 0.0) == pytest.approx(400.0, abs=1e-6)


def test_linear_recipes_take_columns_and_mark_their_faults() -> None:
    asked: dict[str, Any] = {
        "conductivity_w_m_k": 0.17,
        "capacity_j_m3_k": 1.9e6,
        "film_w_m2_k": 50,
        "gas_k": 450,
        "need_k": 400,
        "upper_k": 430,
        "set_k": 350,
    }
    thick = np.array([2e-3, np.nan, 4e-3, -1.0])
    found = mw.quick_recipes(thickness_m=thick, on_error="mark", **asked)
    assert [e is None for e in found["error"]] == [True, False, True, False]
    assert found["opens_s"][0] < found["opens_s"][2]
    with pytest.raises(mw.OutOfRangeError, match="row 1"):
        mw.quick_recipes(thickness_m=thick, **asked)
    with pytest.raises(mw.ShapeError):
        mw.quick_recipes(thickness_m=[1e-3, 2e-3], **{**asked, "gas_k": [450.0] * 3})
    with pytest.raises(mw.ShapeError):
        mw.quick_recipes(thickness_m=2e-3, **{**asked, "set_k": 500})
    with pytest.raises(mw.UnknownNameError):
        mw.quick_recipes(thickness_m=2e-3, on_error="skip", **asked)  # type: ignore[arg-type]
    seen: list[float] = []
    many = mw.quick_recipes(
        thickness_m=np.full(50_000, 3e-3), progress=seen.append, **{**asked, "stop_s": 60.0}
    )
    assert many["opens_s"].min() == many["opens_s"].max()
    # The same sheet cools alike whether its back is told or left out.
    both = mw.quick_recipes(
        thickness_m=3e-3, **{**asked, "back_film_w_m2_k": 50, "back_gas_k": 450, "stop_s": 60.0}
    )
    assert both["hold_s"][0] == pytest.approx(many["hold_s"][0], rel=1e-12)


def test_a_slot_is_taken_as_a_round_nozzle_of_equal_area_and_known_less() -> None:
    slot = mw.HotAirGun("350 °C", "300 L/min", "8 mm x 70 mm")
    assert slot.nozzle_m == pytest.approx((4 / np.pi * 8e-3 * 70e-3) ** 0.5)
    plain = mw.HotAirGun("350 °C", "300 L/min")
    assert slot.film_factor[0] < plain.film_factor[0]
    heat = slot.at("120 mm")
    assert any(note.about == "slot nozzle" for note in heat.notes)
    assert pickle.loads(pickle.dumps(heat)) == heat


def test_what_to_allow_for_is_said_with_its_range() -> None:
    heat = mw.Heat.oven("190 °C")
    draw = mw.recipe("pc", thickness="3 mm", heat=heat, back="same heat", need="formable")
    # Makers' processing guides, remembered: polycarbonate of 3 mm dries some four hours at 125 °C.
    assert 3 * 3600 <= draw.allowances.dry_s <= 12 * 3600
    # Handbook tables of moulding shrinkage, remembered: polycarbonate 0.5 to 0.7 %.
    after = draw.allowances.after_shrinkage
    assert after.low <= 0.005
    assert after.high >= 0.007
    assert "form larger" in draw.explain()
    assert " h: damp sheet" in draw.explain()
    fold = mw.recipe("abs", thickness="3 mm", heat=mw.Heat.oven("170 °C"), back="same heat")
    # Springback of a line bend 1 to 3 degrees: common practice, no source.
    assert fold.allowances.springback.low == pytest.approx(np.radians(1))
    assert "1 to 3° after a cool hold" in fold.explain()


def test_a_history_has_points_inside_long_steps() -> None:
    heat = mw.Heat.given(40, "300 °C")
    history = mw.recipe("expanded-pvc", thickness="3 mm", heat=heat, history=True).history
    assert history is not None
    times = np.asarray(history.t_s)
    assert (np.diff(times) >= 0).all()
    # A hundredth of the whole, or a sixteenth of a step.
    assert np.diff(times).max() <= times[-1] / 16
    # A wall that starts cold and is heated all along only gets warmer.
    for name in ("mean_k", "front_k", "back_k", "coldest_k"):
        assert (np.diff(getattr(history, name)) > -1e-3).all(), name
