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
pub(super) fn ranks(values: &[f64]) -> Vec<f64> {
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
