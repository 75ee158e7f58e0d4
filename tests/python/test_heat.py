"""The slab solver against scipy's stiff integrator and against the exact series."""

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

import mountwright as mw

SIGMA = 5.670374419e-8  # W/m²K⁴, CODATA 2018, exact in the SI since 2019


def node_model(cells: int, seconds: float) -> tuple[np.ndarray, np.ndarray]:
    """A nonlinear case by scipy: rising k and cp, radiating faces, nodes on both faces."""
    thickness, density = 3e-3, 1180.0
    x = np.linspace(0.0, thickness, cells + 1)
    dx = x[1]

    def k(t: np.ndarray) -> np.ndarray:
        return np.asarray(np.interp(t, [290.0, 500.0], [0.16, 0.24]))

    def cp(t: np.ndarray) -> np.ndarray:
        return np.asarray(
            np.interp(t, [290.0, 370.0, 390.0, 500.0], [1300.0, 1500.0, 1850.0, 2100.0])
        )

    def rate(_: float, t: np.ndarray) -> np.ndarray:
        inner = k((t[1:] + t[:-1]) / 2) * np.diff(t) / dx
        front = 62.0 * (520.0 - t[0]) + 0.9 * SIGMA * (294.0**4 - t[0] ** 4)
        back = 8.0 * (294.0 - t[-1]) + 0.9 * SIGMA * (294.0**4 - t[-1] ** 4)
        into = np.empty_like(t)
        into[0] = front + inner[0]
        into[1:-1] = np.diff(inner)
        into[-1] = back - inner[-1]
        size = np.full(cells + 1, dx)
        size[[0, -1]] = dx / 2
        return np.asarray(into / (size * density * cp(t)))

    at = np.linspace(5.0, seconds, 30)
    done = solve_ivp(
        rate, (0.0, seconds), np.full(cells + 1, 294.0), "BDF", at, rtol=1e-8, atol=1e-7
    )
    return at, done.y.T


def test_a_nonlinear_slab_agrees_with_a_stiff_integrator() -> None:
    at, reference = node_model(256, 150.0)
    layer = mw.Layer(
        thickness_m=3e-3,
        conductivity_w_m_k=([290.0, 500.0], [0.16, 0.24]),
        density_kg_m3=1180.0,
        heat_capacity_j_kg_k=([290.0, 370.0, 390.0, 500.0], [1300.0, 1500.0, 1850.0, 2100.0]),
        start_k=294.0,
    )
    front = mw.Face(film_w_m2_k=62.0, gas_k=520.0, emissivity=0.9, surroundings_k=294.0)
    back = mw.Face(film_w_m2_k=8.0, gas_k=294.0, emissivity=0.9, surroundings_k=294.0)
    history = mw.heat_slab([layer], [mw.Step(seconds=150.0, front=front, back=back)], at)
    # 32 cells against 256: the grid's own error is some 0.1 K (second order).
    assert np.max(np.abs(history.front_k - reference[:, 0])) < 0.25
    assert np.max(np.abs(history.back_k - reference[:, -1])) < 0.25
    assert abs(history.energy_error) < 1e-9


@pytest.mark.parametrize("biot", [0.1, 1.0, 5.0])
def test_a_linear_slab_agrees_with_the_exact_series(biot: float) -> None:
    """Plane wall with convection: Bergman et al., Fundamentals of Heat and Mass Transfer, 5.5."""
    half, k, density, cp = 1.5e-3, 0.18, 1180.0, 1500.0
    film = biot * k / half
    roots = [
        brentq(lambda z, n=n: z * np.tan(z) - biot, n * np.pi + 1e-9, n * np.pi + np.pi / 2 - 1e-9)
        for n in range(8)
    ]
    fourier = 0.6
    seconds = fourier * half**2 * density * cp / k

    def theta(x: float) -> float:
        return float(
            sum(
                4 * np.sin(z) / (2 * z + np.sin(2 * z)) * np.exp(-z * z * fourier) * np.cos(z * x)
                for z in roots
            )
        )

    layer = mw.Layer(
        thickness_m=half,
        conductivity_w_m_k=k,
        density_kg_m3=density,
        heat_capacity_j_kg_k=cp,
        start_k=300.0,
        cells=64,
    )
    step = mw.Step(seconds=seconds, front=mw.Face(film_w_m2_k=film, gas_k=400.0), back=mw.Face())
    history = mw.heat_slab([layer], [step], [seconds])
    # 64 cells of second order and steps of 5 mK: a few hundredths of a kelvin in a hundred.
    assert history.back_k[0] == pytest.approx(400.0 - 100.0 * theta(0.0), abs=0.05)
    assert history.front_k[0] == pytest.approx(400.0 - 100.0 * theta(1.0), abs=0.05)


def test_what_cannot_be_is_refused() -> None:
    def layer(thickness_m: float) -> mw.Layer:
        return mw.Layer(
            thickness_m=thickness_m,
            conductivity_w_m_k=0.18,
            density_kg_m3=1180.0,
            heat_capacity_j_kg_k=1500.0,
            start_k=294.0,
        )

    step = mw.Step(seconds=10.0, front=mw.Face(film_w_m2_k=60.0, gas_k=500.0), back=mw.Face())
    for thickness in (0.0, -1e-3, float("nan"), float("inf")):
        with pytest.raises(mw.OutOfRangeError):
            mw.heat_slab([layer(thickness)], [step])
    with pytest.raises(mw.MountwrightError):
        mw.heat_slab([], [step])
