//! How strongly a result follows an input.

use crate::error::{Error, Result};

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
    ranks_in(&ascending(values), values)
}

/// Places of the values from the least to the greatest.
pub(super) fn ascending(values: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|&a, &b| values[a].total_cmp(&values[b]));
    order
}

/// Ranks from 1 of values whose ascending order is known, ties sharing their mean.
pub(super) fn ranks_in(order: &[usize], values: &[f64]) -> Vec<f64> {
    let mut ranks = vec![0.0; values.len()];
    let mut from = 0;
    for tied in order.chunk_by(|&a, &b| values[a].total_cmp(&values[b]).is_eq()) {
        let shared = from as f64 + f64::midpoint(1.0, tied.len() as f64);
        for &at in tied {
            ranks[at] = shared;
        }
        from += tied.len();
    }
    ranks
}
