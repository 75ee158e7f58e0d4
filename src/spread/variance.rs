//! How much of the variance of a result comes from each input.

use rayon::prelude::*;
use serde::Serialize;

use super::{Draws, InputId, Inputs};
use crate::error::Result;

/// What one input, or one group of inputs that share a cause, does to the variance of a result.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VarianceShare {
    /// Name of the input, or of the first of its group.
    pub name: String,
    /// Share that goes when this alone becomes known: `Var(E[Y|X])/Var Y`.
    pub first_order: f64,
    /// Share that stays when all else is known: `1 - Var(E[Y|all but X])/Var Y`.
    pub total: f64,
}

/// A row of values of all inputs, for a model that is run on it.
#[derive(Debug, Clone, Copy)]
pub struct Row<'a> {
    base: &'a Draws,
    other: &'a Draws,
    swapped: Option<InputId>,
    at: usize,
}

impl Row<'_> {
    /// Value of an input.
    ///
    /// # Panics
    /// For a number from another registry.
    pub fn value(&self, id: InputId) -> f64 {
        let from = if self.swapped == Some(id) {
            self.other
        } else {
            self.base
        };
        from.value(id, self.at)
    }
}

/// Shares of variance by runs of a model on `n (k + 2)` rows, largest total first; inputs that do not vary are left out.
///
/// First order by Saltelli's estimator, `mean(f_B (f_ABi - f_A))/V`, total by Jansen's, `mean((f_A - f_ABi)²)/(2V)`, on two independent Latin hypercubes.
/// Inputs are independent here: what shares a cause is one input.
///
/// # Errors
/// As [`Inputs::draw`], and what the model returns.
///
/// # Source
/// Saltelli, Annoni, Azzini, Campolongo, Ratto and Tarantola, Computer Physics Communications 181 (2010) 259; Jansen, Computer Physics Communications 117 (1999) 35.
pub fn variance_shares(
    inputs: &Inputs,
    n: usize,
    seed: u64,
    model: impl Fn(Row) -> Result<f64> + Sync,
) -> Result<Vec<VarianceShare>> {
    let base = inputs.draw(n, seed)?;
    // Another seed for the second matrix; 2^64/phi keeps neighbouring seeds apart.
    let other = inputs.draw(n, seed ^ 0x9e37_79b9_7f4a_7c15)?;
    let run = |base: &Draws, other: &Draws, swapped: Option<InputId>| -> Result<Vec<f64>> {
        (0..n)
            .into_par_iter()
            .map(|at| {
                model(Row {
                    base,
                    other,
                    swapped,
                    at,
                })
            })
            .collect()
    };
    let f_a = run(&base, &other, None)?;
    let f_b = run(&other, &base, None)?;
    let both = || f_a.iter().chain(&f_b);
    let mean = both().sum::<f64>() / (2 * n) as f64;
    let variance = both().map(|y| (y - mean).powi(2)).sum::<f64>() / (2 * n) as f64;
    let mut shares = Vec::new();
    for (id, name, law) in inputs.iter() {
        if law.variance() <= 0.0 {
            continue;
        }
        let f_ab = run(&base, &other, Some(id))?;
        // Centred: the estimator has the same mean and less noise.
        let first: f64 = (0..n).map(|i| (f_b[i] - mean) * (f_ab[i] - f_a[i])).sum();
        let total: f64 = (0..n).map(|i| (f_a[i] - f_ab[i]).powi(2)).sum();
        let of = |sum: f64| {
            if variance > 0.0 {
                sum / n as f64 / variance
            } else {
                0.0
            }
        };
        shares.push(VarianceShare {
            name: name.to_string(),
            first_order: of(first),
            total: of(total) / 2.0,
        });
    }
    shares.sort_by(|a, b| b.total.total_cmp(&a.total));
    Ok(shares)
}
