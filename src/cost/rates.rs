//! What an hour costs.

use crate::error::{Range, Result, check};

const MONEY: Range = Range::new(0.0, 1e12, "");
const SHARE: Range = Range::new(0.0, 10.0, "");
const PART: Range = Range::new(1e-3, 1.0, "");
const HOURS: Range = Range::new(1e-6, 1e7, "h");

/// Standard time of a task from an observed one: `observed × rating × (1 + allowance)`, the allowance on time worked.
///
/// An allowance that is a share `a` of the shift is `1/(1-a) - 1` here: at 15 % the two differ by 2.3 %.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for negative or non-finite values.
///
/// # Source
/// ILO, *Introduction to Work Study*.
pub fn standard_time(observed_s: f64, rating: f64, allowance: f64) -> Result<f64> {
    check(
        "observed_s",
        observed_s,
        Range::new(0.0, 1e8, "s"),
        "a time is zero or more",
    )?;
    check(
        "rating",
        rating,
        Range::new(0.1, 3.0, ""),
        "1 is the usual pace",
    )?;
    check(
        "allowance",
        allowance,
        SHARE,
        "0.15 adds 15 % to the time worked",
    )?;
    Ok(observed_s * rating * (1.0 + allowance))
}

/// Cost of a productive hour: `wage (1 + on-cost) / ((paid - leave) × productive share)`.
///
/// Dividing by paid hours would price too low by the inverse of the productive share.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for negative or non-finite values, no hours worked, or a productive share outside 0.001 to 1.
///
/// ```
/// // 30 000 a year, a quarter on-cost, 1800 h paid of which 200 h leave, 75 % at the bench.
/// let rate = mountwright::cost::labour_rate(30_000.0, 0.25, 1800.0, 200.0, 0.75)?;
/// assert!((rate - 31.25).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn labour_rate(
    wage_per_year: f64,
    on_cost: f64,
    paid_h: f64,
    leave_h: f64,
    productive: f64,
) -> Result<f64> {
    check(
        "wage_per_year",
        wage_per_year,
        MONEY,
        "a wage is zero or more",
    )?;
    check("on_cost", on_cost, SHARE, "0.25 adds a quarter to the wage")?;
    check("paid_h", paid_h, HOURS, "hours paid a year")?;
    check(
        "leave_h",
        leave_h,
        Range::new(0.0, paid_h - 1e-6, "h"),
        "less than the hours paid",
    )?;
    check(
        "productive",
        productive,
        PART,
        "share of the hours at work that a job can be charged",
    )?;
    Ok(wage_per_year * (1.0 + on_cost) / ((paid_h - leave_h) * productive))
}

/// Overhead for each hour of the base: `budgeted overhead / budgeted hours`, at normal capacity (IAS 2, paragraph 13).
///
/// # Errors
/// [`crate::Error::OutOfRange`] for negative or non-finite values, or no hours.
pub fn absorption_rate(overhead: f64, base_h: f64) -> Result<f64> {
    check("overhead", overhead, MONEY, "a budget is zero or more")?;
    check("base_h", base_h, HOURS, "hours of normal capacity")?;
    Ok(overhead / base_h)
}

/// Yearly cost of owning a machine: `A = (P - S) f + S i`, `f = i (1+i)^N / ((1+i)^N - 1)`; `(P - S)/N` without interest.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for negative or non-finite values, a salvage value above the price, or less than a month of life.
///
/// # Source
/// Any text of engineering economy; Groover, *Automation, Production Systems*.
pub fn capital_recovery(price: f64, salvage: f64, interest: f64, years: f64) -> Result<f64> {
    check("price", price, MONEY, "a price is zero or more")?;
    check(
        "salvage",
        salvage,
        Range::new(0.0, price, ""),
        "at most the price",
    )?;
    check(
        "interest",
        interest,
        Range::new(0.0, 1.0, ""),
        "0.08 is 8 % a year",
    )?;
    check(
        "years",
        years,
        Range::new(1.0 / 12.0, 100.0, ""),
        "years that it serves",
    )?;
    // expm1 and ln1p keep the factor right down to no interest at all.
    let growth = (years * interest.ln_1p()).exp_m1();
    let factor = if growth > 0.0 {
        interest * (1.0 + growth) / growth
    } else {
        1.0 / years
    };
    Ok((price - salvage) * factor + salvage * interest)
}

/// Cost of a machine's hour: ownership and upkeep over the hours it runs, and power. Power belongs here or in overhead, never in both.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for negative or non-finite values, or no hours.
pub fn machine_rate(
    owning_per_year: f64,
    upkeep_per_year: f64,
    hours_per_year: f64,
    power_kw: f64,
    energy_per_kwh: f64,
) -> Result<f64> {
    check(
        "owning_per_year",
        owning_per_year,
        MONEY,
        "a cost is zero or more",
    )?;
    check(
        "upkeep_per_year",
        upkeep_per_year,
        MONEY,
        "a cost is zero or more",
    )?;
    check(
        "hours_per_year",
        hours_per_year,
        HOURS,
        "hours that it runs",
    )?;
    check(
        "power_kw",
        power_kw,
        Range::new(0.0, 1e4, "kW"),
        "zero where overhead holds it",
    )?;
    check(
        "energy_per_kwh",
        energy_per_kwh,
        Range::new(0.0, 1e6, ""),
        "a price is zero or more",
    )?;
    Ok((owning_per_year + upkeep_per_year) / hours_per_year + power_kw * energy_per_kwh)
}
