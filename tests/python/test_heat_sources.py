"""What each source of heat does to a face, and guns with their coupons."""

import pickle
import warnings
from typing import Any

import numpy as np
import pytest

import mountwright as mw

STRAP: dict[str, Any] = {"thickness": "3 mm", "patch": "50 mm x 200 mm", "back": "turned every 6 s"}


def gun() -> mw.HotAirGun:
    return mw.HotAirGun("350 °C", "300 L/min", "34 mm")


SOURCES = {
    "gun": lambda: gun().at("120 mm", "60 mm x 200 mm"),
    "two-setting": lambda: mw.HotAirGun.two_setting("II").at("150 mm"),
    "oven": lambda: mw.Heat.oven("135 °C"),
    "still oven": lambda: mw.Heat.oven("135 °C", fan=False),
    "panel": lambda: mw.Heat.panel("450 °C", clear_sheet=True),
    "bath": lambda: mw.Heat.bath("75 °C"),
    "bar": lambda: mw.Heat.bar("160 °C", pressed_soft=True),
    "given": lambda: mw.Heat.given((40, 60, 80), "240 °C ± 15 °C", flux_w_m2=100),
}


@pytest.mark.parametrize("name", SOURCES)
def test_a_source_has_its_range_its_notes_and_survives_a_pickle(name: str) -> None:
    heat = SOURCES[name]()
    assert heat.film_low_w_m2_k <= heat.film_w_m2_k <= heat.film_high_w_m2_k
    assert heat.gas_low_k <= heat.gas_k <= heat.gas_high_k
    assert pickle.loads(pickle.dumps(heat)) == heat == SOURCES[name]()
    for factor in heat.factors:
        assert factor.low <= factor.value <= factor.high
        assert factor.source
        assert factor.standing
    if name != "given":
        assert heat.notes
    assert heat.source in heat._repr_html_()
    assert "W/m²/K" in repr(heat)
    face = heat.face(0.9)
    # A cold face is warmed, and a face far hotter than all of it cools.
    assert face.heat_in_w_m2(280.0) > 0
    assert face.heat_in_w_m2(1400.0) < 0


def test_a_wider_patch_or_an_easier_way_of_writing_it_is_the_same_patch() -> None:
    assert gun().at("120 mm", "60 mm x 200 mm") == gun().at("120 mm", "60 mm x 200 mm")
    a, b = gun().at("120 mm", "60 x 200 mm"), gun().at("12 cm", "6 cm × 20 cm")
    assert a.film_w_m2_k == pytest.approx(b.film_w_m2_k, rel=1e-12)
    assert a.gas_k == pytest.approx(b.gas_k, rel=1e-12)
    c = gun().at("120 mm", "2 in x 8 in")
    assert c.film_w_m2_k > 0


def test_further_away_the_gas_is_cooler_and_never_hotter_than_the_nozzle() -> None:
    heats = [gun().at(f"{d} mm") for d in (30, 100, 150, 200, 300, 500)]
    gases = [h.gas_k for h in heats]
    # While the core of the jet lasts, a wide patch may gain as the jet spreads.
    assert gases[1:] == sorted(gases[1:], reverse=True)
    assert all(293.15 < gas < 350 + 273.15 for gas in gases)


def test_a_reflector_keeps_the_gas_hot() -> None:
    kept = mw.HotAirGun("350 °C", "300 L/min", reflector=True)
    assert kept.at("150 mm").gas_k > gun().at("150 mm").gas_k


def test_litres_that_contradict_the_power_are_taken_hot_and_noted() -> None:
    # 500 L/min of room air to 600 °C would take 6 kW: 353/293 kg/m³ · 8.3e-3 m³/s · 1030 · 580 K.
    strong = mw.HotAirGun("600 °C", "500 L/min").at("120 mm")
    assert any(note.about == "airflow" for note in strong.notes)
    said = mw.HotAirGun("600 °C", "500 L/min", airflow_meant_at="600 °C").at("120 mm")
    assert not any(note.about == "airflow" for note in said.notes)
    assert said.film_w_m2_k == pytest.approx(strong.film_w_m2_k, rel=1e-12)


def test_a_written_uncertainty_is_the_range() -> None:
    known = mw.HotAirGun("350 °C ± 5 °C", "300 L/min ± 10 L/min")
    low, likely, high = known.setpoint_k
    assert (likely - low, high - likely) == pytest.approx((5, 5), abs=1e-9)
    low, likely, high = known.airflow_m3_s
    assert low * 60e3 == pytest.approx(290)
    assert high * 60e3 == pytest.approx(310)


def test_two_coupons_narrow_the_gun() -> None:
    plain = mw.HotAirGun.two_setting("I")
    assert plain.calibration is None
    coupons = [
        mw.Coupon("expanded-pvc", distance="100 mm", limp_after="60 s", **STRAP),
        mw.Coupon("expanded-pvc", distance="130 mm", limp_after="75 s", **STRAP),
    ]
    own = plain.calibrated(coupons)
    assert own.film_factor[0] < own.film_factor[1] < own.film_factor[2]
    assert own.setpoint_k[0] == own.setpoint_k[2]
    fit = own.calibration
    assert fit is not None
    assert len(fit.residuals) == 2
    assert "coupons" in str(fit)
    assert pickle.loads(pickle.dumps(own)) == own
    assert pickle.loads(pickle.dumps(coupons)) == coupons
    assert pickle.loads(pickle.dumps(own.at("120 mm"))) == own.at("120 mm")
    assert "calibrated by 2 coupons" in repr(own)
    # Its own predictions narrow too.
    wide, narrow = (
        mw.recipe(
            "expanded-pvc",
            thickness="3 mm",
            heat=g.at("115 mm", "50 mm x 200 mm"),
            back="turned every 6 s",
            draws=128,
        ).ranges
        for g in (plain, own)
    )
    assert wide is not None
    assert narrow is not None
    assert narrow.opens_s is not None
    assert wide.opens_s is not None
    assert narrow.opens_s.p90 - narrow.opens_s.p10 < wide.opens_s.p90 - wide.opens_s.p10


def fitted(times: list[float]) -> mw.Calibration:
    distances = (90, 100, 110, 120, 130, 140)
    coupons = [
        mw.Coupon("expanded-pvc", distance=f"{d} mm", limp_after=f"{t} s", **STRAP)
        for d, t in zip(distances, times, strict=False)
    ]
    found = mw.HotAirGun.two_setting("I").calibrated(coupons).calibration
    assert found is not None
    return found


def test_a_wild_outlier_hardly_moves_the_fit_and_is_named() -> None:
    plain = mw.HotAirGun.two_setting("I")
    times = [
        mw.recipe(
            "expanded-pvc",
            thickness="3 mm",
            heat=plain.at(f"{d} mm", "50 mm x 200 mm"),
            back="turned every 6 s",
        ).opens_s
        for d in (90, 100, 110, 120, 130, 140)
    ]
    good = fitted([t or 0.0 for t in times])
    # The trials are the model's own: nothing to correct.
    assert good.log_film_factor.value == pytest.approx(0, abs=0.02)
    wild = fitted([*(t or 0.0 for t in times[:5]), 6 * (times[5] or 0.0)])
    assert 5 in wild.outliers
    assert wild.log_film_factor.value == pytest.approx(0, abs=0.1)
    assert wild.notes


def test_a_trace_calibrates_as_well() -> None:
    t = [5.0 * i for i in range(1, 13)]
    history = mw.recipe(
        "abs",
        thickness="3 mm",
        heat=gun().at("120 mm", "50 mm x 100 mm"),
        back="open",
        history=True,
        stop="60 s",
    ).history
    assert history is not None
    front = np.interp(t, history.t_s, history.front_k).tolist()
    coupon = mw.Coupon(
        "abs",
        thickness="3 mm",
        distance="120 mm",
        patch="50 mm x 100 mm",
        back="open",
        trace=(t, front),
        where="front",
    )
    assert pickle.loads(pickle.dumps(coupon)) == coupon
    fit = gun().calibrated([coupon]).calibration
    assert fit is not None
    # The trace is the model's own.
    assert fit.log_film_factor.value == pytest.approx(0, abs=0.05)
    assert abs(fit.residuals[0]) < 0.5


def test_coupons_that_contradict_each_other_are_said_to() -> None:
    found = fitted([20.0, 200.0, 20.0, 200.0])
    assert found.contradict
    assert "contradict" in str(found)


BAD: list[tuple[Any, type[Exception]]] = [
    (lambda: mw.HotAirGun("350", "300 L/min"), mw.UnitError),
    (lambda: mw.HotAirGun("350 °C", "300 mm"), mw.UnitError),
    (lambda: mw.HotAirGun("5000 °C", "300 L/min"), mw.OutOfRangeError),
    (lambda: mw.HotAirGun("350 °C", "0 L/min"), mw.OutOfRangeError),
    (lambda: mw.HotAirGun("350 °C", "300 L/min", "0 mm"), mw.OutOfRangeError),
    (lambda: mw.HotAirGun("350 °C", "300 L/min", room="900 °C"), mw.OutOfRangeError),
    (lambda: mw.HotAirGun.two_setting("III"), mw.UnknownNameError),  # type: ignore[arg-type]
    (lambda: gun().at("1 mm"), mw.OutOfRangeError),
    (lambda: gun().at("-120 mm"), mw.OutOfRangeError),
    (lambda: gun().at("120 mm", "60 mm"), mw.UnitError),
    (lambda: gun().at("120 mm", "x"), mw.UnitError),
    (lambda: gun().at("120 mm", "60 mm x 200 mm x 3 mm"), mw.UnitError),
    (lambda: gun().at("120 mm ± 3 mm"), mw.UnitError),
    (lambda: gun().calibrated([]), mw.ShapeError),
    (lambda: mw.Heat.bath("120 °C"), mw.OutOfRangeError),
    (lambda: mw.Heat.oven("nan °C"), mw.UnitError),
    (lambda: mw.Heat.oven("135 °C", length="0 mm"), mw.OutOfRangeError),
    (lambda: mw.Heat.panel("450 °C", emissivity=float("nan")), mw.OutOfRangeError),
    (lambda: mw.Heat.panel("450 °C", size="a x b"), mw.UnitError),
    (lambda: mw.Heat.bar("900 °C"), mw.OutOfRangeError),
    (lambda: mw.Heat.given(float("nan"), "200 °C"), mw.OutOfRangeError),
    (lambda: mw.Heat.given(-1.0, "200 °C"), mw.OutOfRangeError),
    (lambda: mw.Heat.given((3, 2, 1), "200 °C"), mw.ShapeError),
    (lambda: mw.Heat.given(10, "200 °C ± 900 °C"), mw.OutOfRangeError),
    (
        lambda: mw.Coupon("abss", thickness="3 mm", distance="9 cm", limp_after="9 s"),
        mw.UnknownNameError,
    ),
    (lambda: mw.Coupon("abs", thickness="3 mm", distance="9 cm"), mw.ShapeError),
    (
        lambda: mw.Coupon(
            "abs", thickness="3 mm", distance="9 cm", limp_after="9 s", trace=([1.0], [300.0])
        ),
        mw.ShapeError,
    ),
    (
        lambda: mw.Coupon(
            "abs",
            thickness="3 mm",
            distance="9 cm",
            trace=([1.0], [300.0]),
            where="top",  # type: ignore[arg-type]
        ),
        mw.UnknownNameError,
    ),
    (
        lambda: gun().calibrated(
            [
                mw.Coupon(
                    "abs", thickness="3 mm", distance="9 cm", trace=([2.0, 1.0], [300.0, 301.0])
                )
            ]
        ),
        mw.ShapeError,
    ),
    (
        lambda: gun().calibrated(
            [mw.Coupon("abs", thickness="3 mm", distance="9 cm", limp_after="0 s")]
        ),
        mw.OutOfRangeError,
    ),
    (
        lambda: gun().calibrated(
            [mw.Coupon("abs", thickness="3 mm", distance="9 cm", limp_after="9 s", uncertainty=0.0)]
        ),
        mw.OutOfRangeError,
    ),
]


@pytest.mark.parametrize("i", range(len(BAD)))
def test_what_cannot_be_is_refused(i: int) -> None:
    call, fault = BAD[i]
    with warnings.catch_warnings(), pytest.raises(fault):
        call()
