//! Which inputs the spread of a result comes from.

use serde::Serialize;

use super::{Draws, Inputs};
use crate::error::{Error, Result};

/// One input and how strongly the result follows it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cause {
    /// Name of the input.
    pub name: String,
    /// Rank correlation with the result, -1 to 1.
    pub rank_correlation: f64,
}

/// The inputs by the strength of their rank correlation with `result`, strongest first; inputs that do not vary are left out.
///
/// # Errors
/// [`Error::Shape`] unless `result` holds one value for each draw.
pub fn ranked_causes(inputs: &Inputs, draws: &Draws, result: &[f64]) -> Result<Vec<Cause>> {
    let mut causes = inputs
        .iter()
        .filter(|(_, _, law)| law.variance() > 0.0)
        .map(|(id, name, _)| {
            Ok(Cause {
                name: name.to_string(),
                rank_correlation: rank_correlation(draws.column(id), result)?,
            })
        })
        .collect::<Result<Vec<_>>>()?;
    // Ties keep the order of registration.
    causes.sort_by(|a, b| {
        b.rank_correlation
            .abs()
            .total_cmp(&a.rank_correlation.abs())
    });
    Ok(causes)
}

/// Spearman's rank correlation, average ranks for ties; 0 where either column does not vary.
///
/// # Errors
/// [`Error::Shape`] for columns of different length.
pub fn rank_correlation(x: &[f64], y: &[f64]) -> Result<f64> {
    if x.len() != y.len() {
        return Err(Error::Shape {
            what: "columns of draws".into(),
            given: format!("{} and {} values", x.len(), y.len()),
            allowed: "one value of the result for each draw".into(),
        });
    }
    let (x, y) = (ranks(x), ranks(y));
    let middle = f64::midpoint(1.0, x.len() as f64);
    let (mut xy, mut xx, mut yy) = (0.0, 0.0, 0.0);
    for (a, b) in x.iter().zip(&y) {
        let (a, b) = (a - middle, b - middle);
        xy += a * b;
        xx += a * a;
        yy += b * b;
    }
    Ok(if xx > 0.0 && yy > 0.0 {
        xy / (xx * yy).sqrt()
    } else {
        0.0
    })
}

/// Ranks from 1, ties sharing their mean.
fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    let mut ranks = vec![0.0; values.len()];
    let mut from = 0;
    while from < order.len() {
        let tied = order[from..]
            .iter()
            .take_while(|&&at| values[at].total_cmp(&values[order[from]]).is_eq())
            .count();
        let shared = from as f64 + f64::midpoint(1.0, tied as f64);
        for &at in &order[from..from + tied] {
            ranks[at] = shared;
        }
        from += tied;
    }
    ranks
}
