//! What an hour, a cutter and a part that comes out wrong cost, in Python.

use pyo3::prelude::*;

use super::arrays::Column;
use super::laws::Share;
use super::record;
use super::whole;
use crate::cost;

/// Cost of a productive hour of a fabricator.
///
/// ``wage (1 + on_cost) / ((paid - leave) productive)``: dividing by the hours paid would price too low.
///
/// Parameters
/// ----------
/// wage : float
///     Wage of a year, in money.
/// on_cost : float or str
///     What the employer pays on top, as a share of the wage: ``"25 %"``.
/// paid_h : float
///     Hours paid in a year.
/// leave_h : float
///     Hours of leave, holidays and sickness among them.
/// productive : float or str
///     Share of the hours at work that can be charged to a job, above 0 and at most 1.
///
/// Returns
/// -------
/// float
///     Money for one productive hour.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number is negative, leave exceeds what is paid, or nothing is productive.
/// UnitError
///     A text is not a share.
///
/// Examples
/// --------
/// >>> mw.labour_rate(30_000, on_cost="25 %", paid_h=1800, leave_h=200, productive="75 %")
/// 31.25
#[pyfunction]
#[pyo3(signature = (wage, *, on_cost, paid_h, leave_h, productive))]
pub(super) fn labour_rate(
    wage: f64,
    on_cost: Share,
    paid_h: f64,
    leave_h: f64,
    productive: Share,
) -> PyResult<f64> {
    let on_cost = on_cost.fraction("on_cost")?;
    let productive = productive.fraction("productive")?;
    Ok(cost::labour_rate(
        wage, on_cost, paid_h, leave_h, productive,
    )?)
}

/// Cost of an hour of a machine: ownership and upkeep over the hours that it runs, and power.
///
/// Power belongs here or in overhead, never in both.
///
/// Parameters
/// ----------
/// owning : float
///     Cost of owning it for a year, as :func:`capital_recovery` gives it.
/// upkeep : float
///     Upkeep of a year.
/// hours : float
///     Hours that it runs in a year.
/// power_kw : float, default 0
///     Power while it runs. [kW]
/// energy_price : float, default 0
///     Money for one kilowatt-hour.
///
/// Returns
/// -------
/// float
///     Money for one hour of running.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number is negative, or it never runs.
///
/// Examples
/// --------
/// >>> mw.machine_rate(owning=1200, upkeep=300, hours=500, power_kw=1.5, energy_price=0.4)
/// 3.6
#[pyfunction]
#[pyo3(signature = (*, owning, upkeep, hours, power_kw = 0.0, energy_price = 0.0))]
pub(super) fn machine_rate(
    owning: f64,
    upkeep: f64,
    hours: f64,
    power_kw: f64,
    energy_price: f64,
) -> PyResult<f64> {
    Ok(cost::machine_rate(
        owning,
        upkeep,
        hours,
        power_kw,
        energy_price,
    )?)
}

/// Yearly cost of owning a machine: ``(price - salvage) f + salvage i``, ``f = i (1+i)^n / ((1+i)^n - 1)``.
///
/// Parameters
/// ----------
/// price : float
///     What it costs to buy.
/// salvage : float, default 0
///     What it fetches at the end, at most its price.
/// interest : float or str, default 0
///     Interest of a year: ``"8 %"``.
/// years : float
///     Years that it serves, a month to 100 years.
///
/// Returns
/// -------
/// float
///     Money for one year.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number is negative or too large.
/// UnitError
///     A text is not a share.
///
/// Examples
/// --------
/// The factor of ten years at 8 % is 0.1490 in any table of engineering economy.
///
/// >>> round(mw.capital_recovery(1000, interest="8 %", years=10), 1)
/// 149.0
#[pyfunction]
#[pyo3(signature = (price, *, years, salvage = 0.0, interest = Share::Number(0.0)), text_signature = "(price, *, years, salvage=0.0, interest=0.0)")]
pub(super) fn capital_recovery(
    price: f64,
    years: f64,
    salvage: f64,
    interest: Share,
) -> PyResult<f64> {
    Ok(cost::capital_recovery(
        price,
        salvage,
        interest.fraction("interest")?,
        years,
    )?)
}

/// Overhead for each hour of the base, at normal capacity (IAS 2, paragraph 13).
///
/// Parameters
/// ----------
/// overhead : float
///     Budgeted overhead of a period.
/// base_h : float
///     Budgeted hours of labour or machine in it.
///
/// Returns
/// -------
/// float
///     Money for one hour.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number is negative, or there are no hours.
///
/// Examples
/// --------
/// >>> mw.absorption_rate(24_000, 1600)
/// 15.0
#[pyfunction]
pub(super) fn absorption_rate(overhead: f64, base_h: f64) -> PyResult<f64> {
    Ok(cost::absorption_rate(overhead, base_h)?)
}

/// Standard time of a task from one that was timed: ``observed rating (1 + allowance)``.
///
/// Parameters
/// ----------
/// observed : float
///     Time by the watch, in any unit of time.
/// rating : float or str, default 1
///     Pace that was seen, 1 for the usual one.
/// allowance : float or str, default 0
///     Rest and interruptions, as a share of the time worked; ``1/(1 - a) - 1`` where a share ``a`` of the
///     shift is meant.
///
/// Returns
/// -------
/// float
///     Time, in the unit of ``observed``.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number lies outside its range.
/// UnitError
///     A text is not a share.
///
/// Examples
/// --------
/// >>> round(mw.standard_time(10, rating="110 %", allowance="15 %"), 6)
/// 12.65
#[pyfunction]
#[pyo3(signature = (observed, *, rating = Share::Number(1.0), allowance = Share::Number(0.0)), text_signature = "(observed, *, rating=1.0, allowance=0.0)")]
pub(super) fn standard_time(observed: f64, rating: Share, allowance: Share) -> PyResult<f64> {
    Ok(cost::standard_time(
        observed,
        rating.fraction("rating")?,
        allowance.fraction("allowance")?,
    )?)
}

/// Cutter used up by a length of cut: ``price / (life (1 + regrinds)) cut passes``.
///
/// Parameters
/// ----------
/// price : float
///     What the cutter costs.
/// life_m : float
///     Length that it cuts before it is dull. [m]
/// cut_m : float
///     Length of the cut. [m]
/// passes : int, default 1
///     Passes over it.
/// regrinds : int, default 0
///     How often it can be sharpened.
///
/// Returns
/// -------
/// float
///     Money.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number is negative, or there is no life.
///
/// Examples
/// --------
/// >>> mw.cutter_wear(30, life_m=300, cut_m=5, passes=2)
/// 1.0
#[pyfunction]
#[pyo3(signature = (price, *, life_m, cut_m, passes = 1, regrinds = 0))]
pub(super) fn cutter_wear(
    price: f64,
    life_m: f64,
    cut_m: f64,
    #[pyo3(from_py_with = whole::count)] passes: u32,
    #[pyo3(from_py_with = whole::count)] regrinds: u32,
) -> PyResult<f64> {
    Ok(cost::cutter_wear(price, life_m, regrinds, cut_m, passes)?)
}

/// Tries, blanks and cost of one good part, where a blank stands only so many tries.
///
/// Parameters
/// ----------
/// fail : float or str
///     Chance that a try comes out wrong, 0 to 0.95.
/// tries_per_blank : int
///     Tries that a blank stands: reheats left, and the first.
/// blank, one_try : float
///     Cost of a blank and of a try.
///
/// Returns
/// -------
/// Record
///     ``tries``, ``blanks`` and ``cost`` of one good part, and ``rework``: what it costs above one blank and
///     one try.
///
/// Raises
/// ------
/// OutOfRangeError
///     A chance outside 0 to 0.95, no tries, a negative cost.
/// UnitError
///     A text is not a share.
///
/// Examples
/// --------
/// >>> round(mw.rework("10 %", 2, blank=8, one_try=12).cost, 4)
/// 21.4141
#[pyfunction]
#[pyo3(signature = (fail, tries_per_blank, *, blank, one_try))]
pub(super) fn rework(
    py: Python<'_>,
    fail: Share,
    #[pyo3(from_py_with = whole::count)] tries_per_blank: u32,
    blank: f64,
    one_try: f64,
) -> PyResult<Bound<'_, PyAny>> {
    let good = cost::bounded(fail.fraction("fail")?, tries_per_blank, blank, one_try)?;
    record::give(py, "Record", &good)
}

/// Net price at which cost and fees are covered with a chosen chance, without any earning.
///
/// Parameters
/// ----------
/// draws : array_like, shape (n,)
///     Full cost of each draw.
/// cover : float or str
///     The chance: ``"80 %"``.
/// fees : float or str, default 0
///     Fees as a share of the price, below 1.
///
/// Returns
/// -------
/// float
///     Money.
///
/// Raises
/// ------
/// OutOfRangeError
///     A chance outside 0 to 1, or fees of 1 or more.
/// ShapeError
///     There are no draws.
/// UnitError
///     A text is not a share.
///
/// Examples
/// --------
/// >>> mw.covering_price([90, 100, 110, 120, 130], "75 %", fees="4 %")
/// 125.0
#[pyfunction]
#[pyo3(signature = (draws, cover, *, fees = Share::Number(0.0)), text_signature = "(draws, cover, *, fees=0.0)")]
pub(super) fn covering_price(draws: Column, cover: Share, fees: Share) -> PyResult<f64> {
    let draws = match draws {
        Column::One(cost) => vec![cost],
        Column::Many(costs) => costs,
    };
    Ok(cost::covering_price(
        &draws,
        cover.fraction("cover")?,
        fees.fraction("fees")?,
    )?)
}
