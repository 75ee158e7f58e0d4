"""Cures at the border, and the kinetics against a general integrator."""

import pickle

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

import mountwright as mw

GAS = 8.314462618
HOUR = 3600.0


def reference(
    times: NDArray[np.float64],
    kelvin: NDArray[np.float64],
    factors: NDArray[np.float64],
    energies: NDArray[np.float64],
    orders: tuple[float, float, float],
) -> NDArray[np.float64]:
    """Conversion by a stiff integrator, kink by kink: its own steps would straddle them."""
    n1, m, n2 = orders

    def rate(t: float, y: NDArray[np.float64]) -> list[float]:
        k1, k2 = factors * np.exp(-energies / (GAS * np.interp(t, times, kelvin)))
        a = min(max(float(y[0]), 0.0), 1.0)
        return [k1 * (1 - a) ** n1 + k2 * a**m * (1 - a) ** n2]

    found = [0.0]
    for i in range(1, times.size):
        span = (float(times[i - 1]), float(times[i]))
        done = solve_ivp(rate, span, [found[-1]], method="LSODA", rtol=1e-10, atol=1e-13)
        found.append(min(float(done.y[0, -1]), 1.0))
    return np.array(found)


def test_kinetics_agree_with_a_stiff_integrator_over_random_resins_and_histories() -> None:
    rng = np.random.default_rng(20)
    worst = 0.0
    for _ in range(60):
        energies = rng.uniform(40e3, 90e3, 2)
        # Rates at 23 °C that finish in hours to weeks.
        factors = np.exp(rng.uniform([-13, -10], [-8, -6]) + energies / (GAS * 296.15))
        n1, m, n2 = (float(n) for n in rng.uniform([0.4, 0.3, 0.5], [2.5, 2.0, 2.5]))
        times = np.concatenate([[0.0], np.cumsum(rng.uniform(600, 7200, 12))])
        kelvin = rng.uniform(280, 315, times.size)
        ours = mw.conversion(
            times,
            kelvin,
            factors=(factors[0], factors[1]),
            energies_j_mol=(energies[0], energies[1]),
            orders=(n1, m, n2),
        )
        theirs = reference(times, kelvin, factors, energies, (n1, m, n2))
        worst = max(worst, float(np.abs(ours - theirs).max()))
    # What the library promises.
    assert worst < 1e-6


def test_a_cure_over_a_history_is_the_integral_of_its_rates() -> None:
    cure = mw.cure("epoxy-30min")
    times = np.arange(0, 48) * HOUR
    kelvin = 293.15 + 5 * np.sin(times / 86400 * 2 * np.pi)
    ready = cure.ready_at(3.3 * HOUR, mw.Climate(kelvin, np.full(48, 0.5), times))
    assert ready.handling_s is not None
    # The catalogue's 3 h at 23 °C with 65 kJ/mol.
    fine = np.linspace(3.3 * HOUR, ready.handling_s, 200_001)
    t = np.interp(fine, times, kelvin)
    share = np.trapezoid(1 / (3 * HOUR * np.exp(65e3 / GAS * (1 / t - 1 / 296.15))), fine)
    assert share == pytest.approx(1, abs=1e-6)


def test_many_histories_are_the_same_as_one_by_one() -> None:
    rng = np.random.default_rng(3)
    cure = mw.cure("polyurethane-2k")
    times = np.arange(0, 60) * HOUR
    kelvin = rng.uniform(278, 305, (200, times.size))
    humidity = rng.uniform(0.2, 0.8, kelvin.shape)
    many = cure.ready_over(0.0, times, kelvin, humidity)
    for i in (0, 7, 199):
        one = cure.ready_at(0.0, mw.Climate(kelvin[i], humidity[i], times))
        assert many["handling_s"][i] == one.handling_s
        assert many["full_s"][i] == one.full_s
    cold = cure.ready_over(0.0, times, np.full((1, times.size), 273.15), humidity[:1])
    assert np.isnan(cold["full_s"]).all()


def test_never_is_an_answer() -> None:
    ready = mw.cure("epoxy-5min").ready_at(0.0, mw.Climate.steady("2 °C"))
    assert ready.handling_s is None
    assert "warm" in (ready.never or "")


def test_a_band_is_in_order() -> None:
    band = mw.cure("contact-cement").ready_band_at(0.0, mw.Climate.steady("20 °C"))
    assert band.p10.handling_s < band.p50.handling_s < band.p90.handling_s


def test_climates_and_cures_compare_and_pickle() -> None:
    day = mw.Climate(np.linspace(285, 300, 24), np.full(24, 0.4))
    history = mw.Climate([290, 300], [0.4, 0.5], [0, 100])
    for thing in (day, history, mw.cure("ca-ethyl", gap="0.1 mm", faces=["abs", "pc"])):
        assert pickle.loads(pickle.dumps(thing)) == thing
    assert "repeats" in repr(day)
    assert day != history


def test_a_joint_says_how_much_and_how_strong() -> None:
    joint = mw.joint(
        "expanded-pvc", "expanded-pvc", area="75 cm2", count=4, pack="50 mL", price=20.0
    )
    assert joint.score > 1
    assert joint.amount.packs == 1
    assert 0 < joint.amount.cost_each < 20
    assert joint.strength.allowable_pa < joint.strength.value_pa
    assert any("data sheet" in text for text in joint.cautions)


def test_a_wrapped_pair_is_half_a_day() -> None:
    wrap = mw.finish("vinyl-wrap", material="abs", area="140 cm2", edge="540 mm")
    assert 0.7 < 2 * wrap.attended_s / HOUR < 3
    assert wrap.waiting_s is not None


def test_the_foam_under_a_pod_is_not_stuck_with_what_sets_before_it_is_home() -> None:
    answer = mw.rank_adhesives("pe-foam", "abs", service="80 °C", load="light", area="100 cm2")
    assert answer.ranked[0].adhesive == "foam-tape"
    (glue,) = [r for r in answer.refused if r.adhesive == "ca-ethyl"]
    assert "closing takes 2 min" in glue.reasons[-1]


def test_every_adhesive_has_sources_for_its_numbers() -> None:
    standings = {"published", "common-practice", "remembered", "derived"}
    for name in mw.adhesives():
        glue = mw.adhesive(name).to_dict()
        for number in (glue[k] for k in ("gap", "strength", "service_temperature", "cold_limit")):
            assert number["standing"] in standings
            assert number["source"]
        assert {s["score"] for s in glue["suits"].values()} <= {0, 1, 2, 3}
        assert all(s["why"] for s in glue["suits"].values())


def test_ten_thousand_histories_at_once() -> None:
    rng = np.random.default_rng(4)
    times = np.arange(0, 25) * HOUR
    kelvin = 288.15 + 6 * rng.random((10_000, times.size))
    many = mw.cure("epoxy-slow").ready_over(0.0, times, kelvin, np.full_like(kelvin, 0.5))
    assert many["handling_s"].shape == (10_000,)
    assert np.isfinite(many["handling_s"]).all()
    assert (many["handling_s"] <= many["full_s"]).all()


def test_a_resin_ends_at_its_cap_and_gels_before_it_vitrifies() -> None:
    times = np.linspace(0, 3e5, 200)
    kelvin = np.full(times.size, 373.15)
    path = mw.resin_path(times, kelvin, resin="hein-2018", cap=20.0)
    assert path["gel_s"] < path["vitrifies_s"]
    assert path["glass_k"][-1] <= 393.15 + 0.1
    with pytest.raises(mw.ImpossibleError):
        mw.resin_path(times, kelvin, resin="karkanas-1998", cap=20.0)


@pytest.mark.parametrize(
    ("call", "error"),
    [
        (lambda: mw.cure("epoxi"), mw.UnknownNameError),
        (lambda: mw.cure("ca-ethyl", gap="0 mm"), mw.OutOfRangeError),
        (lambda: mw.cure("ca-ethyl", gap="3 s"), mw.UnitError),
        (lambda: mw.cure("epoxy-5min").times_at("2 °C"), mw.OutOfRangeError),
        (lambda: mw.adhesive("epoxi"), mw.UnknownNameError),
        (lambda: mw.rank_coats("abs", "varnish"), mw.UnknownNameError),  # type: ignore[arg-type]
        (lambda: mw.pot_life("polyurethane-2k", mass="50 g"), mw.ImpossibleError),
        (lambda: mw.joint("abs", "abs"), mw.ShapeError),
        (lambda: mw.joint("abs", "abs", area="1 cm2", bead="1 cm"), mw.ShapeError),
        (lambda: mw.cure("ca-ethyl", faces=["abbs"]), mw.UnknownNameError),
        (lambda: mw.Climate([293.0], [1.2]), mw.OutOfRangeError),
        (lambda: mw.Climate([293.0, 294.0], [0.5, 0.5]), mw.ShapeError),
        (lambda: mw.Climate([293.0, 294.0], [0.5, 0.5], [10.0, 5.0]), mw.ShapeError),
        (lambda: mw.Climate.steady("20 °C", "120 %"), mw.OutOfRangeError),
        (lambda: mw.rank_adhesives("abs", "abs", load="heavy"), mw.UnknownNameError),  # type: ignore[arg-type]
        (lambda: mw.joint("hdpe", "hdpe", area="1 cm2", service="115 °C"), mw.ImpossibleError),
        (lambda: mw.finish("varnish", material="abs", area="1 cm2"), mw.UnknownNameError),  # type: ignore[arg-type]
        (lambda: mw.finish("bare", material="abs", area="-1 cm2"), mw.OutOfRangeError),
    ],
)
def test_bad_input_is_refused(call, error) -> None:  # type: ignore[no-untyped-def]
    with pytest.raises(error):
        call()


def test_nothing_is_claimed_where_nothing_holds() -> None:
    # Polyethylene is not wetted untreated: score 0 means do not use.
    for adhesive in ("epoxy-slow", "pvc-cement", "silicone-neutral"):
        joint = mw.joint("hdpe", "hdpe", area="75 cm2", adhesive=adhesive)
        assert joint.score == 0
        assert joint.strength.value_pa == 0
        assert joint.allowable_n == 0
    # Polycaprolactone melts near 60 °C: a joint on it carries nothing above.
    for service, holds in (("40 °C", True), ("75 °C", False)):
        joint = mw.joint(
            "pcl", "pcl", area="75 cm2", adhesive="polyurethane-2k", service=service, load="static"
        )
        assert (joint.strength.value_pa > 0) == holds


def test_a_filler_that_the_sheet_does_not_stand_gives_way_to_one_that_it_does() -> None:
    for sheet in ("hips", "pc"):
        made = mw.finish("filled-painted", material=sheet, area="0.03 m2", edge="0.5 m")
        used = {used.name for step in made.steps for used in step.uses}
        assert "plastic filler, two-part, flexible" in used
        assert not any("polyester" in name for name in used)
        assert any("styrene" in caution for caution in made.cautions)
    usual = mw.finish("filled-painted", material="expanded-pvc", area="0.03 m2", edge="0.5 m")
    assert any(used.name == "polyester filler" for step in usual.steps for used in step.uses)
