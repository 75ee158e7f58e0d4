"""A million draws of a job of thirty lines, by mountwright and by vectorised NumPy, in one run.

Run with `python tests/bench/estimate.py` on a release build (`maturin develop --release`).
"""

import time
from collections.abc import Callable

import numpy as np

import mountwright as mw

DRAWS = 1_000_000
BASES = [10.0 + i for i in range(30)]
PACE = (0.8, 1.0, 1.5)
SHEET = (0.9, 1.0, 1.2)


def ours() -> np.ndarray:
    """Draw the totals with the library."""
    lines: list[tuple[str, tuple[str | float, ...], list[str]]] = []
    for i, x in enumerate(BASES):
        cause = ["pace"] if i < 20 else ["sheet"]
        law: tuple[str | float, ...]
        if i < 10:
            law = ("triangular", x, 1.2 * x, 2 * x)
        elif i < 20:
            law = ("pert", x, 1.2 * x, 2 * x)
        elif i < 25:
            law = ("log-normal", x, 0.2)
        else:
            law = ("fixed", x)
        lines.append((f"line {i}", law, cause))
    causes: dict[str, tuple[str | float, ...]] = {
        "pace": ("pert", *PACE),
        "sheet": ("triangular", *SHEET),
    }
    return mw.draw_costs(lines, causes=causes, draws=DRAWS, seed=1)


def numpys() -> np.ndarray:
    """Draw the totals with NumPy's own generators, a column at a time."""
    rng = np.random.default_rng(1)

    def pert(low: float, likely: float, high: float) -> np.ndarray:
        share = (likely - low) / (high - low)
        return low + (high - low) * rng.beta(1 + 4 * share, 5 - 4 * share, DRAWS)

    pace, sheet = pert(*PACE), rng.triangular(*SHEET, DRAWS)
    total = np.zeros(DRAWS)
    for i, x in enumerate(BASES):
        if i < 10:
            total += pace * rng.triangular(x, 1.2 * x, 2 * x, DRAWS)
        elif i < 20:
            total += pace * pert(x, 1.2 * x, 2 * x)
        elif i < 25:
            total += sheet * rng.lognormal(np.log(x), 0.2, DRAWS)
        else:
            total += sheet * x
    return total


def best_of_five(run: Callable[[], np.ndarray]) -> tuple[float, np.ndarray]:
    """Time a run five times."""
    seconds = []
    for _ in range(5):
        start = time.perf_counter()
        found = run()
        seconds.append(time.perf_counter() - start)
    return min(seconds), found


def main() -> None:
    """Print both times and how far the percentiles are apart."""
    (ours_s, a), (numpys_s, b) = best_of_five(ours), best_of_five(numpys)
    percentiles = [np.percentile(x, [10, 50, 90]) for x in (a, b)]
    apart = np.abs(percentiles[0] / percentiles[1] - 1).max()
    print(
        f"mountwright {ours_s:.3f} s, NumPy {numpys_s:.3f} s: {numpys_s / ours_s:.1f} times faster"
    )
    print(f"P10, P50, P90 {percentiles[0].round(1)}, at most {apart:.1e} apart")


if __name__ == "__main__":
    main()
