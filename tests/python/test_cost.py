"""Cost, learning, laws and promise against scipy and textbook figures, and their errors."""

import json
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

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
    # With alphap = betap = 1 scipy has the same definition, number 7 of Hyndman and Fan.
    found = stats.mstats.mquantiles(values, [0.1, 0.5, 0.9], alphap=1, betap=1)
    np.testing.assert_allclose([band.p10, band.p50, band.p90], found, rtol=1e-13)
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
    with pytest.raises(mw.ShapeError, match='without "attended"'):
        work({"name": "cut"})
    with pytest.raises(mw.ShapeError, match='without "name"'):
        work({"attended": "1 h"})
    with pytest.raises(mw.OutOfRangeError, match="pace"):
        work({"name": "cut", "attended": "1 h"}, pace=(0, 0, 0))
    with pytest.raises(mw.OutOfRangeError):
        work({"name": "cut", "attended": ("3 h", "2 h", "1 h")})
    with pytest.raises(mw.OutOfRangeError):
        mw.quantiles(("triangular", 3, 2, 1), 0.5)
    with pytest.raises(mw.UnknownNameError):
        mw.quantiles(("gauss", 0, 1), 0.5)
    with pytest.raises(mw.ShapeError):
        mw.quantiles(("pert", 0, 1), 0.5)


def test_drawn_totals_have_the_moments_of_their_laws() -> None:
    # Closed forms by scipy: lines times a shared cause, E[xy] = E[x]E[y], variance of the sum.
    pace = stats.beta(1 + 4 * 0.2 / 0.7, 1 + 4 * 0.5 / 0.7, loc=0.8, scale=0.7)
    lines = [stats.triang(0.2, loc=10, scale=10), stats.beta(1.8, 4.2, loc=10, scale=10)]
    totals = mw.draw_costs(
        [
            ("a", ("triangular", 10, 12, 20), ["pace"]),
            ("b", ("pert", 10, 12, 20), ["pace"]),
            ("c", ("log-normal", 5, 0.3), []),
        ],
        causes={"pace": ("pert", 0.8, 1.0, 1.5)},
        draws=200_000,
    )
    alone = stats.lognorm(0.3, scale=5)
    mean, var = sum(law.mean() for law in lines), sum(law.var() for law in lines)
    expected = pace.mean() * mean + alone.mean()
    spread = var * (pace.var() + pace.mean() ** 2) + pace.var() * mean**2 + alone.var()
    # 200 000 draws: the mean within six standard errors, the variance within 2 %.
    assert totals.mean() == pytest.approx(expected, abs=6 * np.sqrt(spread / 200_000))
    assert totals.var() == pytest.approx(spread, rel=0.02)


def ishigami(x: Any) -> Any:
    a, b, c = x
    return np.sin(a) + 7 * np.sin(b) ** 2 + 0.1 * c**4 * np.sin(a)


def test_variance_shares_are_those_of_the_ishigami_function() -> None:
    law: tuple[str | float, ...] = ("uniform", 0.0, 2 * np.pi)
    x = {name: mw.draw_costs([(name, law, [])], draws=8192) - np.pi for name in ("x1", "x2", "x3")}
    shares = mw.variance_shares(x, ishigami(np.array(list(x.values()))))
    # Closed form (Ishigami and Homma 1990) and scipy's estimator, which runs the function anew.
    assert shares["x1"] == pytest.approx(0.313905, abs=0.02)
    assert shares["x2"] == pytest.approx(0.442411, abs=0.02)
    assert shares.get("x3", 0.0) < 0.02
    uniform: Any = stats.uniform(-np.pi, 2 * np.pi)
    sobol = stats.sobol_indices(func=ishigami, n=4096, dists=[uniform] * 3, rng=1)
    np.testing.assert_allclose(
        [shares.get(name, 0.0) for name in ("x1", "x2", "x3")], sobol.first_order, atol=0.03
    )


def test_a_failed_draw_is_named_and_few_values_are_shared_out() -> None:
    x = mw.draw_costs([("a", ("uniform", 0, 1), [])], draws=4096)
    y = mw.draw_costs([("b", ("uniform", 0, 1), [])], draws=4096)
    with pytest.raises(mw.OutOfRangeError, match="cutting"):
        mw.variance_shares({"cutting": np.where(x > 0.5, np.nan, x)}, y)
    # A coin has the variance 1/4, the uniform law 1/12: three parts in four.
    coin = np.round(x)
    assert mw.variance_shares({"coin": coin, "b": y}, coin + y) == pytest.approx(
        {"coin": 0.75, "b": 0.25}, abs=0.02
    )


def test_a_task_that_overruns_closing_time_goes_on_the_next_day() -> None:
    # Three hours likely, a morning of four: no draw is lost, and late ones end the next morning.
    hours = {day: ["08:00-12:00"] for day in ("monday", "tuesday")}
    task = {"name": "form", "attended": ("2 h", "3 h", "7 h")}
    work = mw.promise([task], hours=hours, start="2026-03-02T08:00", pace=(1, 1, 1))
    assert work.hand_back == "2026-03-02T11:00:00"
    assert work.promise.p90.startswith("2026-03-03T08")
    assert work.promise.never_share == 0


def test_a_quote_is_made_of_an_estimate() -> None:
    draws = np.random.default_rng(1).triangular(60, 70, 110, size=2000)
    job = mw.estimate(
        [("sheet", "material", 1, "sheet", 20.0), ("work", "labour", 2, "h", 25.0)],
        attended="2 h",
        currency="XTS",
        margin="30 %",
        tax="20 %",
        draws=draws,
    )
    words: dict[str, Any] = {"work": ["two pods"], "date": "2026-11-25"}
    quote = mw.quote(job, binding="estimate", deposit=0.5, ready_by="2026-12-03T16:30", **words)
    assert quote.gross == job.price_gross
    assert sum(line.net.minor for line in quote.lines) == quote.net.minor
    low, high = quote.range or (None, None)
    assert low.minor <= quote.gross.minor <= high.minor  # type: ignore[union-attr]
    assert quote.ready_by == "2026-12-03T16:30:00"
    hidden = quote.to_json()
    assert not any(word in hidden for word in ("cost", "margin", "rate", "loss"))
    with pytest.raises(mw.ShapeError):
        mw.quote(mw.Record({"price": 3}), **words)  # type: ignore[arg-type]
    with pytest.raises(mw.ShapeError):
        mw.quote(job, work=["two pods"], date="tomorrow")
    with pytest.raises(mw.ShapeError, match="work"):
        mw.quote(job, work=[], date="2026-11-25")
    with pytest.raises(mw.ShapeError, match="1900"):
        mw.quote(job, work=["two pods"], date="0000-01-01")
    with pytest.raises(mw.ShapeError, match="ready_by"):
        mw.quote(job, ready_by="2026-11-24T16:30", **words)
    with pytest.raises(mw.OutOfRangeError):
        mw.quote(job, valid_days=0, **words)
    with pytest.raises(mw.UnknownNameError):
        mw.quote(job, binding="perhaps", **words)  # type: ignore[arg-type]
    changed = job.to_dict()
    changed["tax"]["currency"] = "coins"
    with pytest.raises(mw.ShapeError, match="three capital letters"):
        mw.quote(mw.Estimate(changed), **words)


def test_overhead_exemption_and_cover_reach_the_price() -> None:
    def job(**more: Any) -> mw.Estimate:
        lines = [("sheet", "material", 1, "sheet", 40.0), ("work", "labour", 2, "h", 30.0)]
        return mw.estimate(lines, attended="2 h", currency="XTS", margin="20 %", **more)

    assert job(overhead_on_labour="50 %").overhead == pytest.approx(30.0)
    assert job(tax="10 %", tax_exempt=["labour"]).tax.minor == 500
    draws = np.linspace(80.0, 120.0, 1001)
    sure = job(draws=draws, cover="90 %")
    assert sure.price_net.minor == round(116 / 0.8 * 100)
    with pytest.raises(mw.ShapeError, match="overhead"):
        job(overhead_on_labour=0.5, overhead_per_hour=10)
    with pytest.raises(mw.UnknownNameError):
        job(rounding="up")
    with pytest.raises(mw.OutOfRangeError):
        job(overhead_on_labour=-0.1)


def test_price_breaks_rise_in_all_and_fall_each() -> None:
    def breaks(**more: Any) -> tuple[mw.PriceBreak, ...]:
        options: dict[str, Any] = {
            "quantities": [1, 2, 5, 10, 50],
            "first": "40 min",
            "set_up": "2 h",
            "labour_per_hour": 34,
            "currency": "XTS",
            "margin": "40 %",
        }
        return mw.price_breaks([("sheet", "material", 0.2, "m²", 20.0)], **(options | more))

    for slope in (0.8, 1.0):
        for model in ("unit", "cumulative-average"):
            prices = breaks(slope=slope, model=model)
            totals = [price.total_net.minor for price in prices]
            each = [price.each_net.minor for price in prices]
            assert totals == sorted(totals)
            assert each == sorted(each, reverse=True)
    # Crawford at 80 %, units 1 and 2: 40 and 32 minutes.
    assert breaks(slope=0.8)[1].hours_attended == pytest.approx(2 + 72 / 60)
    with pytest.raises(mw.OutOfRangeError):
        breaks(quantities=[0])
    with pytest.raises(mw.OutOfRangeError):
        breaks(labour_per_hour=-1)
    with pytest.raises(mw.OutOfRangeError):
        breaks(slope=0.3)
    with pytest.raises(mw.UnknownNameError):
        breaks(model="wright")
    with pytest.raises(mw.OutOfRangeError, match="count"):
        breaks(quantities=[-1])
    # Labour in the lines would be paid twice.
    with pytest.raises(mw.ShapeError, match="labour"):
        mw.price_breaks(
            [("work", "labour", 1, "h", 34.0)],
            quantities=[1],
            first="40 min",
            labour_per_hour=34,
            currency="XTS",
            margin="40 %",
        )


def test_enough_blanks_are_the_binomial_quantile_of_scipy() -> None:
    for good in (1, 2, 5, 20):
        for fail in (0.05, 0.1, 0.3):
            n = mw.blanks_to_start(good, fail)
            assert stats.binom(n, 1 - fail).sf(good - 1) >= 0.95
            assert n == good or stats.binom(n - 1, 1 - fail).sf(good - 1) < 0.95


def test_a_cure_takes_longer_in_tonights_cold_shop() -> None:
    def ready(night_c: float) -> str:
        air = np.full(24, 273.15 + night_c)
        air[8:18] = 293.15
        work = mw.promise(
            [
                {"name": "glue", "attended": "30 min", "cure": mw.cure("epoxy-slow")},
                {"name": "wrap", "attended": "30 min", "after": ["glue"]},
            ],
            hours={day: ["00:00-24:00"] for day in WEEK},
            start="2026-03-02T16:00",
            climate=mw.Climate(air, np.full(24, 0.5)),
        )
        return work.ready

    warm, cold = ready(20.0), ready(12.0)
    # Twelve hours at 20 °C, as the data sheet prints, after the half hour of work; then the wrap.
    assert warm == "2026-03-03T05:00:00"
    assert cold > warm
    glue: dict[str, Any] = {"name": "glue", "attended": "30 min", "cure": mw.cure("epoxy-slow")}
    with pytest.raises(mw.ShapeError, match="climate"):
        mw.promise([glue], hours=WEEK, start="2026-03-02T08:00")
    with pytest.raises(mw.ShapeError, match="a wait and a cure"):
        mw.promise([glue | {"wait": "1 h"}], hours=WEEK, start="2026-03-02T08:00")
    # Below its least temperature it never cures: the task is named.
    climate = mw.Climate.steady("2 °C")
    with pytest.raises(mw.ImpossibleError, match="glue"):
        mw.promise([glue], hours=WEEK, start="2026-03-02T08:00", climate=climate)


def test_the_days_are_drawn_in_lanes() -> None:
    tasks: list[dict[str, Any]] = [
        {"name": "cut", "attended": "90 min"},
        {"name": "glue", "attended": "30 min", "wait": "20 h", "after": ["cut"]},
        {"name": "saw", "attended": "3 h"},
    ]
    for fabricators in (1, 2):
        work = mw.promise(tasks, hours=WEEK, start="2026-03-02T08:00", fabricators=fabricators)
        root = ElementTree.fromstring(work.draw())
        words = [text.text for text in root.iter("{http://www.w3.org/2000/svg}text")]
        assert "Monday 2 March" in words
        assert ("hands 2" in words) == (fabricators == 2)
        assert work._repr_html_() == work.draw()


def test_many_quotes_are_priced_from_the_same_draws() -> None:
    laws: list[tuple[str | float, ...]] = [("triangular", 30, 40, 70), ("pert", 50, 60, 140)]
    lines = [(f"line {i}", law, ["pace"]) for i, law in enumerate(laws)]
    causes: dict[str, tuple[str | float, ...]] = {"pace": ("pert", 0.8, 1.0, 1.5)}
    factors = np.random.default_rng(1).uniform(0.5, 2.0, size=(200, 2))
    found = mw.reprice(lines, factors, causes=causes, currency="XTS", margin="40 %", draws=1000)
    costs = mw.draw_costs(lines, causes=causes, draws=1000)
    # A factor of one on both lines is the job itself.
    plain = mw.reprice(lines, [[1, 1]], causes=causes, currency="XTS", margin="40 %", draws=1000)
    assert plain["p90"][0] == pytest.approx(np.percentile(costs, 90))
    assert plain["net"][0] == pytest.approx(costs.mean() / 0.6, abs=0.006)
    np.testing.assert_allclose(found["net"], found["mean"] / 0.6, atol=0.006)
    # More of everything never costs less.
    more = mw.reprice(lines, factors * 1.1, causes=causes, currency="XTS", margin="40 %")
    assert (more["net"] >= found["net"]).all()
    with pytest.raises(mw.ShapeError):
        mw.reprice(lines, [[1.0]], causes=causes, currency="XTS", margin="40 %")
    with pytest.raises(mw.OutOfRangeError):
        mw.reprice(lines, [[1.0, -1.0]], causes=causes, currency="XTS", margin="40 %")
    with pytest.raises(mw.ShapeError, match="factors"):
        mw.reprice(lines, 3, causes=causes, currency="XTS", margin="40 %")  # type: ignore[arg-type]
    assert mw.reprice(lines, [], causes=causes, currency="XTS", margin="40 %")["net"].size == 0


def test_rates_agree_with_the_worked_figures() -> None:
    # IAS 2, illustration: 1 000 000 over 400 000 h is 2.50 an hour.
    assert mw.absorption_rate(1e6, 4e5) == pytest.approx(2.5)
    # Annuity table of any text of engineering economy: 15 %, four years: 0.35027.
    assert mw.capital_recovery(150_000, years=4, interest="15 %") == pytest.approx(
        150_000 * 0.35027, rel=2e-5
    )
    # Without interest it is the price over the years.
    assert mw.capital_recovery(1200, years=4) == pytest.approx(300)
    # ILO, Introduction to Work Study: the allowance counts on the time worked.
    assert mw.standard_time(10, allowance=0.15) == pytest.approx(11.5)
    with pytest.raises(mw.OutOfRangeError, match="productive"):
        mw.labour_rate(3e4, on_cost=0.2, paid_h=1800, leave_h=100, productive=0)
    with pytest.raises(mw.OutOfRangeError, match="fail"):
        mw.rework("99 %", 1, blank=1, one_try=1)
    assert mw.covering_price([1.0], "80 %") == 1.0


def test_a_critical_path_keeps_names_lags_and_circles() -> None:
    # The printed networks are held in the core (tests/published/promise.rs); here a chain by hand
    # and scipy.
    chain = [
        ("a", (6.0, 8.0, 10.0), []),
        ("b", (3.0, 6.0, 9.0), ["a"]),
        ("c", (1.0, 3.0, 5.0), ["b"]),
        ("d", (2.0, 4.0, 12.0), ["c"]),
        ("e", (2.0, 2.0, 2.0), ["d"]),
    ]
    found = mw.critical_path_pert(chain, by=28.0)
    assert found.end == pytest.approx(24.0)
    by_hand = sum(((b - a) / 6) ** 2 for _, (a, _, b), _ in chain)
    assert found.variance == pytest.approx(by_hand)
    assert found.chance_by == pytest.approx(stats.norm(24, by_hand**0.5).cdf(28.0))
    assert found.critical == ("a", "b", "c", "d", "e")
    with pytest.raises(mw.ImpossibleError, match=r"glue.*cure|cure.*glue"):
        mw.critical_path([("glue", 1, ["cure"]), ("cure", 2, ["glue"])])
    with pytest.raises(mw.UnknownNameError, match="glu"):
        mw.critical_path([("glue", 1, []), ("cure", 2, ["glu"])])
    lagged = mw.critical_path([("paint", 1, []), ("coat", 1, [("paint", 3.0)])])
    assert lagged.end == pytest.approx(5.0)


def test_of_two_critical_paths_the_wider_one_counts() -> None:
    # Classic PERT sums along one path: ((9 - 1)/6)² by hand, not twice that.
    found = mw.critical_path_pert(
        [("a", (1, 5, 9), []), ("b", (1, 5, 9), []), ("c", (5, 5, 5), ["a", "b"])], by=10 + 4 / 3
    )
    assert found.variance == pytest.approx((8 / 6) ** 2)
    assert found.chance_by == pytest.approx(stats.norm.cdf(1.0))


def test_half_of_everything_is_learned_at_a_slope_of_a_half() -> None:
    # Wright's total is T1 n^(1 + b): with b = -1 the first unit is all.
    times = mw.learning(1, 4, slope=0.5, model="cumulative-average")
    np.testing.assert_allclose(times, [1, 0, 0, 0])


def test_a_price_that_covers_needs_draws() -> None:
    with pytest.raises(mw.ShapeError, match="cover"):
        mw.estimate(
            [("a", "labour", 1, "h", 5)],
            attended="0 h",
            currency="XTS",
            margin=0.3,
            cover="80 %",
        )


def test_a_key_that_a_task_does_not_have_is_named() -> None:
    with pytest.raises(mw.UnknownNameError, match="after"):
        mw.promise(
            [{"name": "trim", "attended": "25 min", "afer": ["glue"]}],
            hours=WEEK,
            start="2026-03-02T08:00",
        )


def test_small_cases_are_done_as_early_as_a_constraint_solver_proves() -> None:
    """Hours with breaks, one to three pairs of hands, longest waits; the file says whose ends."""
    file = Path(__file__).parents[1] / "data/promise/proved_ends.json"
    given = json.loads(file.read_text(encoding="utf-8"))
    midnight = datetime.fromisoformat("2026-03-02T00:00:00")
    days = ("monday", "tuesday", "wednesday", "thursday", "friday")
    proved = 0
    for case in given["cases"]:
        ask = partial(
            mw.promise,
            case["tasks"],
            hours=dict.fromkeys(days, case["hours"]),
            start=given["start"],
            fabricators=case["fabricators"],
            pace=(1.0, 1.0, 1.0),
            draws=1,
        )
        if case["done"] is None:
            with pytest.raises(mw.ImpossibleError):
                ask()
            continue
        plan = ask()
        done = (datetime.fromisoformat(plan.ready) - midnight).total_seconds() / 60
        assert done == pytest.approx(case["done"], abs=1e-3), case
        proved += plan.proved
    assert proved > 80


def test_a_task_that_stops_for_the_night_keeps_the_longest_wait_after_it() -> None:
    # By hand: sand all but a moment on Monday and that on Tuesday, coat Tue 08:00-14:00; an hour
    # of sanding on Tuesday and coat 09:00-15:00 does too.
    hours = {day: ["08:00-16:00"] for day in ("monday", "tuesday", "wednesday")}
    sand = {"name": "sand", "attended": "3 h", "may_split": True}
    coat = {"name": "coat", "attended": "6 h", "after": ["sand"], "max_wait": "1 h"}
    plan = mw.promise([sand, coat], hours=hours, start="2026-03-02T08:00", pace=(1, 1, 1), draws=2)
    assert "2026-03-03T14:00:00" <= plan.ready <= "2026-03-03T15:00:00"
    before, after = plan.steps
    waited = datetime.fromisoformat(after.start) - datetime.fromisoformat(before.done)
    assert 0 <= waited.total_seconds() <= 3600


def test_a_first_unit_takes_its_whole_time_at_any_slope() -> None:
    # Cumulative average at 50 %: n units take n * n**-1 of the first, so half an hour for all.
    for quantity in (1, 4, 64):
        (row,) = mw.price_breaks(
            [],
            quantities=[quantity],
            first="30 min",
            set_up="1 h",
            labour_per_hour=40,
            currency="XTS",
            margin=0.3,
            slope=0.5,
            model="cumulative-average",
        )
        assert row.hours_attended == pytest.approx(1.5, abs=1e-9)
    with pytest.raises(mw.OutOfRangeError, match="set_up"):
        mw.price_breaks(
            [], quantities=[1], first="30 min", set_up="-20 min", labour_per_hour=40,
            currency="XTS", margin=0.3,
        )  # fmt: skip


@pytest.mark.parametrize(("good", "fail"), [(1, 0.1), (1, 0.2), (2, 0.1), (1, 0.35), (20, 0.5)])
def test_a_chance_that_is_met_exactly_is_enough(good: int, fail: float) -> None:
    """The chance that n blanks are enough is itself asked for: n, not n + 1 (SciPy's binomial)."""
    for n in range(good, 2 * good + 1):
        met = float(stats.binom(n, 1 - fail).sf(good - 1))
        if 0 < met < 0.9999:
            assert mw.blanks_to_start(good, fail, confidence=met) == n
