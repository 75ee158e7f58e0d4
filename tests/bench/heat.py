"""Time recipes against a general integrator, and what a person waits for: rows, maps, draws.

Run it with the interpreter that has mountwright installed as a release build, from the top of the
tree: ``.venv/bin/python tests/bench/heat.py``. The ratios are of one run on one core: both sides
follow the same sheet on the same 25 nodes, with the same properties and faces, and the integrator
takes the loosest tolerance at which each of its times lies within 0.2 % of a tight run. Nothing
fails on a time.
"""

import os
import subprocess
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

SIGMA = 5.670374419e-8  # W/m²K⁴, CODATA 2018
MATERIAL, THICKNESS_M, CELLS = "abs", 3e-3, 24
FILM, GAS_C, AIR_K, WIDTH_M = 45.0, 230.0, 293.15, 0.06
GRIP_S = 10.0
ROWS = 1500
ERROR = 2e-3


def best(run: Callable[[], object], times: int) -> float:
    """Give the shortest time of several runs, in seconds."""
    found = []
    for _ in range(times):
        start = time.perf_counter()
        run()
        found.append(time.perf_counter() - start)
    return min(found)


class Sheet:
    """The same sheet as a system of ordinary differential equations, one temperature a node."""

    def __init__(self) -> None:
        import mountwright as mw

        self.grid = np.linspace(250.0, 600.0, 141)
        at = [mw.material_at(MATERIAL, f"{t} K") for t in self.grid]
        k = np.array([m.conductivity_w_m_k for m in at])
        capacity = np.array([m.heat_capacity_j_kg_k for m in at])
        found = mw.material(MATERIAL)
        self.capacity = capacity * found.density.value
        steps = np.diff(self.grid) * (k[1:] + k[:-1]) / 2
        self.potential = np.concatenate([[0.0], np.cumsum(steps)])
        self.emissivity = found.emissivity.value
        self.dx = THICKNESS_M / CELLS
        self.size = np.full(CELLS + 1, self.dx)
        self.size[[0, -1]] /= 2
        self.weight = self.size / THICKNESS_M
        self.need, self.upper, self.set = (
            found.limp.value,
            found.upper.value,
            found.set.value,
        )
        self.touch = mw.touch_limit(GRIP_S)
        face = mw.Face.cooling(
            typical_k=self.need, air_k=AIR_K, length_m=WIDTH_M, emissivity=self.emissivity
        )
        self.free = face.free_w_m2_k125

    def rate(self, t: Array, film: float, gas: float, free: float) -> Array:
        """Warm or cool both faces alike."""
        into = np.empty_like(t)
        flow = np.diff(np.interp(t, self.grid, self.potential)) / self.dx
        ends = t[[0, -1]]
        rise = AIR_K - ends
        heat = (
            film * (gas - ends)
            + free * np.sqrt(np.sqrt(np.abs(rise))) * rise
            + self.emissivity * SIGMA * (AIR_K**4 - ends**4)
        )
        into[1:-1] = np.diff(flow)
        into[0] = flow[0] + heat[0]
        into[-1] = heat[1] - flow[-1]
        return into / (self.size * np.interp(t, self.grid, self.capacity))

    def times(self, method: str, rtol: float) -> Array:
        """Follow the whole recipe: window, working time, hold, touch."""
        from scipy.integrate import solve_ivp
        from scipy.sparse import diags

        n = CELLS + 1
        more: dict[str, Any] = {"rtol": rtol, "atol": rtol * 10}
        if method == "LSODA":
            more |= {"lband": 1, "uband": 1}
        else:
            more["jac_sparsity"] = diags([1.0, 1.0, 1.0], [-1, 0, 1], shape=(n, n)).tocsc()

        def event(
            value: Callable[[Array], float], level: float, *, last: bool
        ) -> Callable[[float, Array], float]:
            def at(_: float, t: Array) -> float:
                return value(t) - level

            at.terminal = last  # type: ignore[attr-defined]
            return at

        warm = solve_ivp(
            lambda _, t: self.rate(t, FILM, GAS_C + 273.15, 0.0),
            (0.0, 3600.0),
            np.full(n, AIR_K),
            method,
            dense_output=True,
            events=[
                event(np.min, self.need, last=False),
                event(np.max, self.upper, last=True),
            ],
            **more,
        )
        opens, closes = (float(t[0]) for t in warm.t_events)
        stop = (opens + closes) / 2
        cold = solve_ivp(
            lambda _, t: self.rate(t, 0.0, AIR_K, self.free),
            (0.0, 3600.0),
            warm.sol(stop),
            method,
            events=[
                event(lambda t: float(t @ self.weight), self.need, last=False),
                event(np.max, self.set, last=False),
                event(np.max, self.touch, last=True),
            ],
            **more,
        )
        return np.array([opens, closes, *(float(t[0]) for t in cold.t_events)])


def one_core() -> None:
    """Print one recipe on one core against BDF and LSODA."""
    import mountwright as mw

    heat = mw.Heat.given(FILM, f"{GAS_C} °C")
    asked: dict[str, Any] = {
        "material": MATERIAL,
        "heat": heat,
        "back": "same heat",
        "width": f"{WIDTH_M} m",
    }
    rows = {"thickness_m": np.full(ROWS, THICKNESS_M)}
    found = mw.recipes(rows, **asked)
    names = ("opens_s", "closes_s", "working_time_s", "hold_s", "touch_s")
    ours = np.array([found[name][0] for name in names])
    each = best(lambda: mw.recipes(rows, **asked), 7) / ROWS
    sheet = Sheet()
    tight = sheet.times("LSODA", 1e-9)
    print("times                                 " + " ".join(f"{t:7.2f}" for t in tight) + " s")
    wrong = float(np.abs(ours / tight - 1).max())
    print(f"one full recipe, one core             {each * 1e6:7.1f} us    error {wrong:.1e}")
    for method in ("BDF", "LSODA"):
        for rtol in (1e-2, 3e-3, 1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 1e-6):
            wrong = float(np.abs(sheet.times(method, rtol) / tight - 1).max())
            if wrong <= ERROR:
                break
        spent = best(lambda m=method, r=rtol: sheet.times(m, r), 5)  # type: ignore[misc]
        print(
            f"  scipy {method:5} (rtol {rtol:.0e})           {spent * 1e3:7.2f} ms    "
            f"error {wrong:.1e}   {spent / each:5.0f} times"
        )


def main() -> None:
    """Print the figures."""
    alone = dict(os.environ, RAYON_NUM_THREADS="1", OMP_NUM_THREADS="1", OPENBLAS_NUM_THREADS="1")
    subprocess.run([sys.executable, __file__, "one-core"], check=True, env=alone)
    import mountwright as mw

    heat = mw.Heat.given(FILM, f"{GAS_C} °C")
    rows = {"thickness_m": np.linspace(2e-3, 4e-3, 100_000)}
    asked: dict[str, Any] = {"material": MATERIAL, "heat": heat, "back": "same heat"}
    spent = best(lambda: mw.recipes(rows, **asked), 2)
    print(f"100 000 rows, all cores               {spent:7.2f} s")
    gun = mw.HotAirGun("300 °C", "300 L/min")
    strap: dict[str, Any] = {"thickness": "3 mm", "back": "turned every 8 s"}
    spent = best(lambda: mw.distance_time_map("expanded-pvc", gun=gun, **strap), 3)
    print(f"map of 200 x 200, distance, time      {spent * 1e3:7.1f} ms")
    spent = best(lambda: mw.setting_distance_map("expanded-pvc", gun=gun, **strap), 1)
    print(f"map of 200 x 200, setting, distance   {spent:7.2f} s")
    at = gun.at("120 mm")
    for name, turned in (("steady", "same heat"), ("turned", "turned every 8 s")):
        asked = {"thickness": "3 mm", "heat": at, "back": turned, "draws": 256}
        spent = best(lambda asked=asked: mw.recipe("expanded-pvc", **asked), 5)  # type: ignore[misc]
        print(f"a recipe with 256 draws, {name}       {spent * 1e3:7.1f} ms")


if __name__ == "__main__":
    if sys.argv[1:] == ["one-core"]:
        one_core()
    else:
        main()
