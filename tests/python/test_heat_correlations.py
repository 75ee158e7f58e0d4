"""The correlations of heat against the library `ht`, handbooks and standards."""

import math
from collections.abc import Callable

import ht
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import mountwright as mw

# Powers of ten: the range of each fit.
upright = st.floats(-1, 12).map(lambda p: 10.0**p)
prandtl = st.floats(-1, 2).map(lambda p: 10.0**p)


@given(upright, prandtl)
def test_an_upright_face_agrees_with_ht(rayleigh: float, pr: float) -> None:
    ours = mw.free_convection_nusselt(rayleigh, prandtl=pr)
    theirs = ht.conv_free_immersed.Nu_vertical_plate_Churchill(pr, rayleigh / pr)
    # The same equation (Churchill and Chu 1975); ht keeps its constants to as many digits.
    assert ours == pytest.approx(theirs, rel=1e-12)


@given(st.floats(4, 11).map(lambda p: 10.0**p))
def test_a_level_face_with_its_warm_side_up_agrees_with_ht(rayleigh: float) -> None:
    ours = mw.free_convection_nusselt(rayleigh, lie="facing up")
    theirs = ht.conv_free_immersed.Nu_horizontal_plate_McAdams(0.7, rayleigh / 0.7, buoyancy=True)
    # McAdams' two laws meet near 1e7, where the two libraries may take either: they differ by 2 %.
    near = abs(math.log10(rayleigh) - 7) < 0.05
    assert ours == pytest.approx(theirs, rel=0.05 if near else 1e-12)


@given(st.floats(5, 10).map(lambda p: 10.0**p))
def test_a_level_face_with_its_warm_side_down_agrees_with_ht(rayleigh: float) -> None:
    ours = mw.free_convection_nusselt(rayleigh, lie="facing down")
    theirs = ht.conv_free_immersed.Nu_horizontal_plate_McAdams(0.7, rayleigh / 0.7, buoyancy=False)
    assert ours == pytest.approx(theirs, rel=1e-12)


def martin(reynolds: float, height: float, radius: float, pr: float) -> float:
    """Bergman et al., Fundamentals of Heat and Mass Transfer, 6th edition, equations 7.71 to 7.73.

    The area of the nozzle over that of the disc, A_r = D²/(4 r²), as the book writes it.
    """
    ratio = 1 / (4 * radius**2)
    root = math.sqrt(ratio)
    g = 2 * root * (1 - 2.2 * root) / (1 + 0.2 * (height - 6) * root)
    f = 2 * math.sqrt(reynolds) * math.sqrt(1 + 0.005 * reynolds**0.55)
    return float(g * f * pr**0.42)


@given(st.floats(2000, 400_000), st.floats(2, 12), st.floats(2.5, 7.5), st.floats(0.6, 1.0))
def test_the_jet_agrees_with_the_form_of_the_textbook(
    reynolds: float, height: float, radius: float, pr: float
) -> None:
    ours = mw.jet_nusselt(reynolds, height, radius, prandtl=pr)
    # The same correlation in other variables: rounding only.
    assert ours == pytest.approx(martin(reynolds, height, radius, pr), rel=1e-12)


@given(st.floats(2000, 400_000), st.floats(2, 12), st.floats(0.05, 7.0))
def test_the_mean_of_the_jet_is_the_mean_of_its_local_values(
    reynolds: float, height: float, radius: float
) -> None:
    def local(r: float) -> float:
        return mw.jet_nusselt(reynolds, height, r, local=True)

    # Gauss-Legendre on each side of the joint at 2.5: parabola inside, smooth outside.
    total = 0.0
    for low, high in ((0.0, min(radius, 2.5)), (2.5, max(radius, 2.5))):
        x, w = np.polynomial.legendre.leggauss(12)
        r = low + (high - low) * (x + 1) / 2
        total += float(np.sum(w * [2 * ri * local(float(ri)) for ri in r])) * (high - low) / 2
    assert mw.jet_nusselt(reynolds, height, radius) == pytest.approx(total / radius**2, rel=1e-6)


def test_the_jet_is_continuous_and_positive_under_the_gun() -> None:
    radii = np.linspace(0, 7.5, 400)
    values = np.array([mw.jet_nusselt(8000, 4, float(r)) for r in radii])
    assert (values > 0).all()
    assert (np.diff(values) < 0).all()
    # A tenth of the spacing must move it a tenth as far: no step at 2.5.
    assert np.abs(np.diff(values)).max() < 3 * np.median(np.abs(np.diff(values)))


@given(st.floats(300, 600), st.floats(260, 310), st.floats(0.02, 2.0))
def test_still_air_agrees_with_ht_and_its_own_air(face: float, air: float, length: float) -> None:
    """Air as table A.4 of Bergman et al. has it, between its rows straight."""
    if abs(face - air) < 5:
        return
    rows = np.array(
        [
            # K, 1e-6 m²/s, 1e-3 W/m/K, Pr
            [250, 11.44, 22.3, 0.720],
            [300, 15.89, 26.3, 0.707],
            [350, 20.92, 30.0, 0.700],
            [400, 26.41, 33.8, 0.690],
            [450, 32.39, 37.3, 0.686],
            [500, 38.79, 40.7, 0.684],
        ]
    )
    mean = (face + air) / 2
    nu, k, pr = (float(np.interp(mean, rows[:, 0], rows[:, i])) for i in (1, 2, 3))
    grashof = 9.80665 / mean * abs(face - air) * length**3 / (nu * 1e-6) ** 2
    damping = (1 + (0.492 / pr) ** (9 / 16)) ** (4 / 9)
    laminar = 0.68 + 0.670 * (grashof * pr) ** 0.25 / damping
    turbulent = ht.conv_free_immersed.Nu_vertical_plate_Churchill(pr, grashof)
    # The two properties of air differ by 1 % each, the Prandtl number by 2 %: near 1e9, where one
    # form takes over from the other, either may be the one, and they lie a third apart.
    near = abs(math.log10(grashof * pr) - 9) < 0.1
    forms = [laminar, turbulent] if near else [turbulent if grashof * pr >= 1e9 else laminar]
    ours = mw.still_air_film(face, air, length) * length / (k * 1e-3)
    assert any(ours == pytest.approx(theirs, rel=0.02) for theirs in forms)


@pytest.mark.parametrize(
    ("seconds", "celsius"), [(1, 85), (10, 71), (60, 51), (600, 48), (28_800, 43)]
)
def test_burn_thresholds_are_those_of_the_standard(seconds: float, celsius: float) -> None:
    """ISO 13732-1, plastics and, from a minute on, any material; remembered to ±3 K."""
    assert mw.touch_limit(seconds) - 273.15 == pytest.approx(celsius, abs=1e-9)


@given(st.floats(0, 28_800), st.floats(0, 28_800))
def test_a_longer_touch_stands_less(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert mw.touch_limit(high) <= mw.touch_limit(low)


@given(
    st.floats(0.001, 0.1),
    st.floats(5e-8, 2e-7),
    st.floats(1, 600),
    st.floats(370, 420),
    st.floats(1, 60),
)
def test_the_soft_width_is_that_of_the_half_space(
    strip: float, diffusivity: float, seconds: float, soft: float, above: float
) -> None:
    """Carslaw and Jaeger, section 2.4: a face held at the edge's temperature, erfc to each side."""
    edge, start = soft + above, 293.15
    width = mw.soft_width(
        strip,
        diffusivity_m2_s=diffusivity,
        seconds=seconds,
        start_k=start,
        soft_k=soft,
        edge_k=edge,
    )
    depth = (width - strip) / 2
    share = math.erfc(depth / (2 * math.sqrt(diffusivity * seconds)))
    # The inverse error function of statrs is good to some 1e-10.
    assert start + share * (edge - start) == pytest.approx(soft, abs=1e-6)


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf, -1.0])
def test_what_cannot_be_is_refused(bad: float) -> None:
    calls: list[Callable[[], float]] = [
        lambda: mw.jet_nusselt(bad, 6, 4),
        lambda: mw.jet_nusselt(1e4, bad, 4),
        lambda: mw.jet_nusselt(1e4, 6, bad),
        lambda: mw.jet_nusselt(1e4, 6, 4, prandtl=bad),
        lambda: mw.free_convection_nusselt(bad),
        lambda: mw.free_convection_nusselt(1e6, prandtl=bad),
        lambda: mw.still_air_film(bad, 293, 0.1),
        lambda: mw.still_air_film(393, bad, 0.1),
        lambda: mw.still_air_film(393, 293, bad),
        lambda: mw.touch_limit(bad),
        lambda: mw.soft_width(
            bad, diffusivity_m2_s=1e-7, seconds=9, start_k=293, soft_k=400, edge_k=440
        ),
    ]
    for call in calls:
        with pytest.raises(mw.OutOfRangeError):
            call()
    with pytest.raises(mw.UnknownNameError):
        mw.free_convection_nusselt(1e6, lie="standing")  # type: ignore[arg-type]
