//! Shares of variance from the draws that are there already.

use std::f64::consts::PI;

use serde::Serialize;

use super::causes::ranks;
use crate::error::{Error, Result};

/// An input and what of the variance of a result goes when it becomes known.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Share {
    /// Name of the input.
    pub name: String,
    /// First order: `Var(E[Y|X])/Var Y`, 0 to 1.
    pub first_order: f64,
}

/// Cosines in which the mean of the result over one input is written: four for a few hundred draws, six from a thousand on.
fn harmonics(n: usize) -> usize {
    if n < 1000 { 4 } else { 6 }
}

/// Fewest draws from which a share is told.
const FEWEST: usize = 32;
/// Chance that an input without any effect is listed, over all inputs.
const FALSE_ALARM: f64 = 0.01;

/// Shares of variance of independent inputs from one set of draws, without any further run; largest first.
///
/// `columns` are the names of the inputs with their draws, `result` what came of them. The mean of the result over the rank of an input is
/// a sum of cosines; its variance, less what chance would give it, is the input's share. The strongest input is taken out before the next is looked at,
/// so that weak ones are not lost in its noise. What chance alone would give is left out; the list is empty below 32 draws or where the result does not vary.
/// What the shares leave of 1 is what inputs do together, and what is too weak for so many draws.
///
/// # Errors
/// [`Error::Shape`] for columns of different length.
///
/// # Source
/// Plischke, Reliability Engineering and System Safety 95 (2010) 354, and its cosine form (from memory).
///
/// ```
/// use mountwright::spread::{Inputs, Law, shares};
/// let mut inputs = Inputs::default();
/// let a = inputs.register("finishing", Law::Uniform { low: 0.0, high: 2.0 })?;
/// let b = inputs.register("cutting", Law::Uniform { low: 0.0, high: 1.0 })?;
/// let draws = inputs.draw(1024, 1)?;
/// let (a, b) = (draws.column(a), draws.column(b));
/// let total: Vec<f64> = a.iter().zip(b).map(|(a, b)| a + b).collect();
/// let found = shares(&[("finishing", a), ("cutting", b)], &total)?;
/// // Four parts in five and one part in five: the squares of the widths.
/// assert!((found[0].first_order - 0.8).abs() < 0.02 && (found[1].first_order - 0.2).abs() < 0.02);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn shares(columns: &[(&str, &[f64])], result: &[f64]) -> Result<Vec<Share>> {
    let n = result.len();
    for (name, column) in columns {
        if column.len() != n {
            return Err(Error::Shape {
                what: format!("draws of \"{name}\""),
                given: format!("{} values", column.len()),
                allowed: format!("one for each of {n} results"),
            });
        }
    }
    let mean = result.iter().sum::<f64>() / n.max(1) as f64;
    let mut left: Vec<f64> = result.iter().map(|y| y - mean).collect();
    let variance = square_mean(&left);
    // Also where a column is not finite: its sums are compared and never listed.
    if n < FEWEST || !(variance > 0.0 && variance.is_finite()) {
        return Ok(vec![]);
    }
    let terms = harmonics(n);
    let mut open: Vec<(&str, Vec<f64>)> = columns
        .iter()
        .filter(|(_, column)| column.iter().any(|x| x.total_cmp(&column[0]).is_ne()))
        .map(|(name, column)| {
            let places = ranks(column);
            (*name, places.iter().map(|r| (r - 0.5) / n as f64).collect())
        })
        .collect();
    // A sum of squares of `terms` coefficients of pure chance exceeds this with the chance of a false alarm, shared out over all inputs.
    let limit = chance_limit(terms, FALSE_ALARM / open.len().max(1) as f64);
    let mut found = vec![];
    while !open.is_empty() {
        let noise = square_mean(&left) / n as f64;
        let mut best: Option<(usize, Vec<f64>, f64)> = None;
        for (at, (_, places)) in open.iter().enumerate() {
            let series = series(places, &left, terms);
            let power: f64 = series.iter().map(|c| c * c).sum();
            if best.as_ref().is_none_or(|(_, _, most)| power > *most) {
                best = Some((at, series, power));
            }
        }
        let Some((at, series, power)) = best else {
            break;
        };
        if power <= limit * noise || noise <= 1e-14 * variance || power.is_nan() {
            break;
        }
        let (name, places) = open.swap_remove(at);
        for (y, &place) in left.iter_mut().zip(&places) {
            *y -= series
                .iter()
                .zip(1..)
                .map(|(c, k)| c * cosine(k, place))
                .sum::<f64>();
        }
        let chance = terms as f64 * square_mean(&left) / n as f64;
        found.push(Share {
            name: name.to_string(),
            first_order: ((power - chance) / variance).clamp(0.0, 1.0),
        });
    }
    found.sort_by(|a, b| {
        b.first_order
            .total_cmp(&a.first_order)
            .then(a.name.cmp(&b.name))
    });
    Ok(found)
}

fn square_mean(values: &[f64]) -> f64 {
    values.iter().map(|y| y * y).sum::<f64>() / values.len() as f64
}

/// `√2 cos(k π u)`, of mean square 1 over `u` from 0 to 1.
fn cosine(k: u32, u: f64) -> f64 {
    std::f64::consts::SQRT_2 * (f64::from(k) * PI * u).cos()
}

fn series(places: &[f64], values: &[f64], terms: usize) -> Vec<f64> {
    (1..)
        .take(terms)
        .map(|k| {
            let sum: f64 = places
                .iter()
                .zip(values)
                .map(|(&u, y)| y * cosine(k, u))
                .sum();
            sum / values.len() as f64
        })
        .collect()
}

/// What a chi-squared variable of `freedoms` exceeds with probability `tail`, by Wilson and Hilferty's cube (Proceedings of the National Academy of Sciences 17 (1931) 684).
fn chance_limit(freedoms: usize, tail: f64) -> f64 {
    use statrs::distribution::{ContinuousCDF, Normal};
    let spread = 2.0 / (9.0 * freedoms as f64);
    let z = -Normal::standard().inverse_cdf(tail);
    freedoms as f64 * (1.0 - spread + z * spread.sqrt()).powi(3)
}
