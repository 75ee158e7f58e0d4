"""Cost, learning, laws and promise against scipy and textbook figures, and their errors."""

from typing import Any

import numpy as np
import pytest
from scipy import stats

import mountwright as mw

P = np.array([0.001, 0.01, 0.1, 0.25, 0.5, 0.75, 0.9, 0.99, 0.999])
DAY = ["08:00-12:00", "13:00-17:00"]
WEEK = dict.fromkeys(("monday", "tuesday", "wednesday", "thursday", "friday"), DAY)


@pytest.mark.parametrize("likely", [10.0, 11.0, 12.5, 17.0, 20.0])
def test_pert_quantiles_agree_with_scipy_beta(likely: float) -> None:
    low, high = 10.0, 20.0
    alpha = 1 + 4 * (likely - low) / (high - low)
    reference = stats.beta(alpha, 6 - alpha, loc=low, scale=high - low).ppf(P)
    # Both invert the same function; the last digits are those of the incomplete beta.
    np.testing.assert_allclose(mw.quantiles(("pert", low, likely, high), P), reference, rtol=1e-10)


def test_the_other_laws_agree_with_scipy() -> None:
    pairs = [
        (("uniform", 2.0, 5.0), stats.uniform(2.0, 3.0)),
        (("triangular", 2.0, 3.0, 7.0), stats.triang(0.2, loc=2.0, scale=5.0)),
        (("log-normal", 3.0, 0.4), stats.lognorm(0.4, scale=3.0)),
    ]
    for law, reference in pairs:
        np.testing.assert_allclose(mw.quantiles(law, P), reference.ppf(P), rtol=1e-10)


def test_band_agrees_with_numpy_percentiles() -> None:
    values = np.random.default_rng(1).lognormal(size=997)
    band = mw.band(values)
    expected = np.percentile(values, [10, 50, 90])
    np.testing.assert_allclose([band.p10, band.p50, band.p90], expected, rtol=1e-13)
    assert band.mean == pytest.approx(values.mean(), rel=1e-13)
    # The density at the P90 gives the error of independent draws; ranks scatter about it.
    p90 = stats.lognorm(1.0).ppf(0.9)
    exact = np.sqrt(0.09 / 997) / stats.lognorm(1.0).pdf(p90)
    assert band.error == pytest.approx(exact, rel=0.5)


def test_learning_agrees_with_the_textbook_totals() -> None:
    # Wright, 100 h, 80 %: totals of 1, 2, 4, 8, 16 in a management-accounting text.
    times = mw.learning(100, 16, slope="80 %", model="cumulative-average")
    totals = np.cumsum(times)[[0, 1, 3, 7, 15]]
    np.testing.assert_allclose(totals, [100, 160, 256, 409.6, 655.36])
    # Crawford, 100 h, 85 %: total of 125 units, R package learningCurve.
    assert mw.learning(100, 125, slope=0.85).sum() == pytest.approx(5201.085, abs=5e-4)


def test_an_estimate_prices_its_draws() -> None:
    draws = np.random.default_rng(1).triangular(900, 1000, 1500, size=4000)
    job = mw.estimate(
        [("foam board", "material", 2.0, "m²", 14.5), ("work", "labour", 20, "h", 40.0)],
        attended="20 h",
        currency="XTS",
        markup="25 %",
        overhead_per_hour=5.0,
        tax="20 %",
        draws=draws,
    )
    assert job.full_cost == pytest.approx(929.0)
    # Priced on the mean of the draws, with 25 % on it.
    assert job.price_net.minor == round(draws.mean() * 125)
    assert job.chance_of_loss == pytest.approx((draws > job.price_net.minor / 100).mean())
    assert job.cost_band is not None
    assert job.cost_band.p90 == pytest.approx(np.percentile(draws, 90))
    assert job.price_gross.minor == job.price_net.minor + job.tax.minor


def test_margin_and_markup_are_not_confused() -> None:
    def job(**earning: Any) -> mw.Estimate:
        return mw.estimate(
            [("work", "labour", 1, "h", 75.0)], attended="1 h", currency="XTS", **earning
        )

    assert job(markup=1 / 3).price_net == job(margin="25 %").price_net
    both: list[dict[str, float]] = [{}, {"margin": 0.2, "markup": 0.25}]
    for wrong in both:
        with pytest.raises(mw.ShapeError):
            job(**wrong)
    with pytest.raises(mw.OutOfRangeError, match="markup"):
        job(margin="100 %")
    with pytest.raises(mw.UnitError):
        job(margin="3 mm")


def test_work_runs_through_the_night_but_hands_do_not() -> None:
    work = mw.promise(
        [
            {"name": "glue", "attended": "30 min", "wait": "6 h"},
            {"name": "wrap", "attended": ("60 min", "90 min", "150 min"), "after": ["glue"]},
        ],
        hours=WEEK,
        start="2026-03-06T15:00",
    )
    # Friday evening the glue is dry at half past nine; the wrap waits for Monday.
    assert work.ready == work.hand_back == "2026-03-09T09:30:00"
    assert work.promise.p50 <= work.promise.p80 <= work.promise.p90
    assert work.promise.p50 >= "2026-03-09T09:30:00"


def test_the_same_seed_gives_the_same_promise() -> None:
    tasks = [
        {"name": "cut", "attended": ("10 min", "20 min", "60 min")},
        {"name": "form", "attended": ("10 min", "20 min", "60 min"), "after": ["cut"]},
    ]
    first, again, other = (
        mw.promise(tasks, hours=WEEK, start="2026-03-02T08:00", slot="1 min", seed=seed)
        for seed in (1, 1, 2)
    )
    assert first == again
    assert first.steps == other.steps


def test_tasks_that_cannot_be_say_so() -> None:
    def work(*tasks: dict[str, Any], **more: Any) -> mw.WorkPlan:
        options: dict[str, Any] = {"hours": WEEK, "start": "2026-03-02T08:00"} | more
        return mw.promise(tasks, **options)

    with pytest.raises(mw.ImpossibleError, match="cut → fit → cut"):
        work(
            {"name": "cut", "attended": "1 h", "after": ["fit"]},
            {"name": "fit", "attended": "1 h", "after": ["cut"]},
        )
    with pytest.raises(mw.ImpossibleError, match="opening hours"):
        work({"name": "cut", "attended": "1 h"}, hours={})
    with pytest.raises(mw.UnknownNameError) as unknown:
        work(
            {"name": "cut", "attended": "1 h", "after": ["mesure"]},
            {"name": "measure", "attended": "1 h"},
        )
    assert unknown.value.near == ("measure",)
    with pytest.raises(mw.UnknownNameError):
        work(hours={"monay": DAY})
    with pytest.raises(mw.ShapeError):
        work(hours={"monday": ["12:00-08:00"]})
    with pytest.raises(mw.ShapeError):
        work(start="tomorrow")
    with pytest.raises(mw.OutOfRangeError):
        work({"name": "cut", "attended": ("3 h", "2 h", "1 h")})
    with pytest.raises(mw.OutOfRangeError):
        mw.quantiles(("triangular", 3, 2, 1), 0.5)
    with pytest.raises(mw.UnknownNameError):
        mw.quantiles(("gauss", 0, 1), 0.5)
    with pytest.raises(mw.ShapeError):
        mw.quantiles(("pert", 0, 1), 0.5)
