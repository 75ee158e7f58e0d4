//! Parts that come out wrong: tries, blanks lost, blanks to start with.

use serde::Serialize;
use statrs::distribution::{Binomial, DiscreteCDF};

use crate::error::{Error, Range, Result, check};

/// Chances to fail that are taken; at 0.95 a part needs twenty tries.
const CHANCES: Range = Range::new(0.0, 0.95, "");
const COSTS: Range = Range::new(0.0, 1e12, "");

/// Mean and variance of the cost of tries that fail independently with chance `fail` until one is good: `first + q/(1-q) again`, `again² q/(1-q)²`.
///
/// # Errors
/// [`Error::OutOfRange`] for a chance outside 0 to 0.95 or a negative cost.
pub fn unbounded(fail: f64, first: f64, again: f64) -> Result<(f64, f64)> {
    let q = check(
        "fail",
        fail,
        CHANCES,
        "a part that fails nearly always needs another method",
    )?;
    check("first", first, COSTS, "a cost is zero or more")?;
    check("again", again, COSTS, "a cost is zero or more")?;
    Ok((
        first + q / (1.0 - q) * again,
        again * again * q / (1.0 - q).powi(2),
    ))
}

/// Expected tries and blanks of one good part.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bounded {
    /// Tries for one good part, counting those on blanks that were lost.
    pub tries: f64,
    /// Blanks for one good part.
    pub blanks: f64,
    /// Cost of one good part.
    pub cost: f64,
    /// What it costs more than one blank and one try.
    pub rework: f64,
}

/// Tries with a blank that stands only so many (reheats left, plus the first): then it is lost and another one is begun.
///
/// Tries per blank `(1-q^R)/(1-q)`, blank lost with `q^R`, so each good part takes `1/(1-q^R)` blanks and costs `(blank + try (1-q^R)/(1-q)) / (1-q^R)`.
///
/// # Errors
/// [`Error::OutOfRange`] for a chance outside 0 to 0.95, no tries, or a negative cost.
///
/// ```
/// let good = mountwright::cost::bounded(0.1, 2, 8.0, 12.0)?;
/// assert!((good.cost - 21.4141).abs() < 5e-5);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn bounded(fail: f64, tries_per_blank: u32, blank: f64, one_try: f64) -> Result<Bounded> {
    let q = check(
        "fail",
        fail,
        CHANCES,
        "a part that fails nearly always needs another method",
    )?;
    let most = Range::new(1.0, 1000.0, "");
    let remedy = "a blank that stands no heat cannot be formed";
    let r = check("tries_per_blank", f64::from(tries_per_blank), most, remedy)?;
    check("blank", blank, COSTS, "a cost is zero or more")?;
    check("one_try", one_try, COSTS, "a cost is zero or more")?;
    let lost = q.powf(r);
    let blanks = 1.0 / (1.0 - lost);
    let tries = 1.0 / (1.0 - q);
    let cost = blank * blanks + one_try * tries;
    Ok(Bounded {
        tries,
        blanks,
        cost,
        rework: cost - blank - one_try,
    })
}

/// Tries that one good part takes in a draw, for `u` uniform on 0 to 1: the geometric law `P(k) = q^(k-1) (1-q)` by its quantile, at most a thousand.
///
/// With a blank that stands `R` tries it takes `ceil(tries / R)` blanks.
///
/// # Errors
/// [`Error::OutOfRange`] for a chance outside 0 to 0.95 or `u` outside 0 to 1.
pub fn tries_drawn(fail: f64, u: f64) -> Result<u32> {
    let q = check(
        "fail",
        fail,
        CHANCES,
        "a part that fails nearly always needs another method",
    )?;
    check(
        "u",
        u,
        Range::new(0.0, 1.0, ""),
        "draw it uniform on 0 to 1",
    )?;
    if q <= 0.0 {
        return Ok(1);
    }
    let failures = ((1.0 - u).ln() / q.ln()).floor().clamp(0.0, 999.0);
    // Between 0 and 999.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    Ok(1 + failures as u32)
}

/// Blanks to start so that `good` come out right with at least `confidence`: the least `N` with `P(Bin(N, 1-q) >= good) >= confidence`.
///
/// For a handful of parts this, not `good/(1-q)`, is what a bench needs.
///
/// # Errors
/// [`Error::OutOfRange`] for a chance outside 0 to 0.95, a confidence outside 0 to 0.9999, or more than 10 000 parts.
pub fn spares(good: u32, fail: f64, confidence: f64) -> Result<u32> {
    let q = check(
        "fail",
        fail,
        CHANCES,
        "a part that fails nearly always needs another method",
    )?;
    check(
        "confidence",
        confidence,
        Range::new(0.0, 0.9999, ""),
        "0.9 is nine jobs in ten",
    )?;
    check(
        "good",
        f64::from(good),
        Range::new(0.0, 1e4, ""),
        "count the parts of the job",
    )?;
    if good == 0 || q <= 0.0 {
        return Ok(good);
    }
    let enough = |blanks: u32| -> Result<bool> {
        let law = Binomial::new(1.0 - q, u64::from(blanks)).map_err(|_| Error::OutOfRange {
            what: "fail".into(),
            given: fail,
            allowed: CHANCES,
            remedy: "give a chance".into(),
        })?;
        // A hair below, so that a chance that is met exactly is met.
        Ok(law.sf(u64::from(good) - 1) >= confidence - 1e-12)
    };
    // The chance rises with the number of blanks: double, then halve the gap.
    let (mut few, mut many) = (good - 1, good);
    while !enough(many)? {
        few = many;
        many *= 2;
    }
    while many - few > 1 {
        let middle = u32::midpoint(few, many);
        if enough(middle)? {
            many = middle;
        } else {
            few = middle;
        }
    }
    Ok(many)
}

/// Mean chance to fail after so many failures and successes of the shop's own count: `(failures + 1/2)/(n + 1)`, the mean of Jeffreys' beta law.
pub fn jeffreys_mean(failures: u32, successes: u32) -> f64 {
    (f64::from(failures) + 0.5) / (f64::from(failures) + f64::from(successes) + 1.0)
}
