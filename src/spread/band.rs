//! Percentiles of a result, with their sampling error.

use rayon::prelude::*;
use serde::{Deserialize, Deserializer, Serialize};
use statrs::distribution::{Binomial, DiscreteCDF};

use crate::error::{Error, Range, Result, check};

/// The range of a result: what is exceeded in nine, five and one of ten draws, its mean, and how well the draws know it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Band {
    /// One draw in ten is lower.
    pub p10: f64,
    /// Half of the draws are lower.
    pub p50: f64,
    /// Nine draws in ten are lower.
    pub p90: f64,
    /// Mean of the draws.
    pub mean: f64,
    /// Standard error of the least certain of the three percentiles; an upper bound under a Latin hypercube. One draw says nothing of it: infinite, `null` in JSON.
    #[serde(deserialize_with = "or_infinite")]
    pub error: f64,
}

fn or_infinite<'de, D: Deserializer<'de>>(given: D) -> std::result::Result<f64, D::Error> {
    Ok(Option::deserialize(given)?.unwrap_or(f64::INFINITY))
}

/// P10, P50, P90, mean and error of a column of results.
///
/// # Errors
/// [`Error::Shape`] for no values, [`Error::OutOfRange`] for one that is not finite.
///
/// ```
/// let draws: Vec<f64> = (0..=100).map(f64::from).collect();
/// let band = mountwright::spread::percentiles(&draws)?;
/// assert!((band.p10 - 10.0).abs() < 1e-12 && (band.p90 - 90.0).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn percentiles(values: &[f64]) -> Result<Band> {
    let sorted = sorted(values)?;
    Ok(Band {
        p10: interpolated(&sorted, 0.1),
        p50: interpolated(&sorted, 0.5),
        p90: interpolated(&sorted, 0.9),
        mean: values.iter().sum::<f64>() / values.len() as f64,
        error: if sorted.len() == 1 {
            f64::INFINITY
        } else {
            [0.1, 0.5, 0.9]
                .into_iter()
                .map(|q| standard_error(&sorted, q))
                .fold(0.0, f64::max)
        },
    })
}

/// One percentile by linear interpolation between order statistics; `q` from 0 to 1.
///
/// # Errors
/// [`Error::Shape`] for no values, [`Error::OutOfRange`] for one that is not finite or `q` outside 0 to 1.
pub fn percentile(values: &[f64], q: f64) -> Result<f64> {
    let remedy = "a percentile lies between 0 and 1";
    check("percentile", q, Range::new(0.0, 1.0, ""), remedy)?;
    Ok(interpolated(&sorted(values)?, q))
}

/// Interval that holds the `q` quantile of the law behind independent draws with at least `confidence`, whatever the law: two order statistics.
///
/// Ranks `l` and `u` with `B(u-1; N, q) - B(l-1; N, q) >= confidence`, equally far from `N q` on both sides (Hahn and Meeker, *Statistical Intervals*).
///
/// # Errors
/// [`Error::Shape`] for no values; [`Error::OutOfRange`] for one that is not finite, `q` or a confidence outside 0 to 1;
/// [`Error::Impossible`] where so few draws cannot give that confidence.
pub fn percentile_interval(values: &[f64], q: f64, confidence: f64) -> Result<(f64, f64)> {
    let inside = Range::new(1e-6, 1.0 - 1e-6, "");
    check("percentile", q, inside, "a percentile lies between 0 and 1")?;
    check("confidence", confidence, inside, "0.95 is usual")?;
    let sorted = sorted(values)?;
    let n = sorted.len();
    let too_few = || Error::Impossible {
        what: format!("an interval of the {q} quantile with a confidence of {confidence}"),
        why: format!("{n} draws do not reach it"),
        remedy: "draw more".into(),
    };
    let law = Binomial::new(q, n as u64).map_err(|_| too_few())?;
    let at_most = |k: usize| if k == 0 { 0.0 } else { law.cdf(k as u64 - 1) };
    // Ranks from 1, equally far to both sides of `floor(q n) + 1`, at the ends of the sample as far as there are.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // below `n`
    let middle = (q * n as f64) as usize + 1;
    let (mut low, mut high) = (middle.min(n), middle.min(n));
    while at_most(high) - at_most(low) < confidence {
        if low == 1 && high == n {
            return Err(too_few());
        }
        low = low.saturating_sub(1).max(1);
        high = (high + 1).min(n);
    }
    Ok((sorted[low - 1], sorted[high - 1]))
}

/// The least of the values that at least a share `p` of them does not exceed: what covers with that chance, where an interpolated percentile would fall short.
///
/// # Errors
/// [`Error::Shape`] for no values; [`Error::OutOfRange`] for one that is not finite, or `p` outside 0 to 1.
///
/// ```
/// use mountwright::spread::covering;
/// assert_eq!(covering(&[0.0, 100.0], 0.9)?, 100.0);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn covering(values: &[f64], p: f64) -> Result<f64> {
    let share = Range::new(0.0, 1.0, "");
    check("share", p, share, "a chance lies between 0 and 1")?;
    let sorted = sorted(values)?;
    // A hair below, so that 0.9 of 10 is 9 and not 10.
    let rank = (p * sorted.len() as f64 - 1e-9).ceil();
    // Inside the slice, since `p` is at most 1.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let at = (rank.max(1.0) as usize - 1).min(sorted.len() - 1);
    Ok(sorted[at])
}

/// A sorted copy of finite values.
pub(crate) fn sorted(values: &[f64]) -> Result<Vec<f64>> {
    if values.is_empty() {
        return Err(Error::Shape {
            what: "values".into(),
            given: "none".into(),
            allowed: "one or more".into(),
        });
    }
    if let Some(at) = values.iter().position(|value| !value.is_finite()) {
        let allowed = Range::new(f64::MIN, f64::MAX, "");
        check(
            format!("values[{at}]"),
            values[at],
            allowed,
            "give finite numbers",
        )?;
    }
    let mut sorted = values.to_vec();
    sorted.par_sort_unstable_by(f64::total_cmp);
    Ok(sorted)
}

fn interpolated(sorted: &[f64], q: f64) -> f64 {
    let position = q * (sorted.len() - 1) as f64;
    // `position` lies inside the slice.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let below = position.floor() as usize;
    let above = (below + 1).min(sorted.len() - 1);
    sorted[below] + (position - below as f64) * (sorted[above] - sorted[below])
}

/// Woodruff's: half the distance of the percentiles one binomial standard deviation to each side.
fn standard_error(sorted: &[f64], q: f64) -> f64 {
    let reach = (q * (1.0 - q) / sorted.len() as f64).sqrt();
    let side = |q: f64| interpolated(sorted, q.clamp(0.0, 1.0));
    (side(q + reach) - side(q - reach)) / 2.0
}
