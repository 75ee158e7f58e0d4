//! Shares of variance from the draws that are there already.

use std::f64::consts::{PI, SQRT_2};
use std::sync::Arc;

use serde::Serialize;

use super::causes::{ascending, ranks_in};
use crate::error::{Error, Range, Result};

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
/// Most steps looked for in one input: lost evenings, nights and weekends.
const STEPS: usize = 3;
/// Fewest draws on each side of a step: fewer are single accidents.
const SIDE: usize = 5;
/// Terms of chance that a fitted step takes: its height, and two for its place (Ninomiya, Statistics and Probability Letters 72 (2005) 237, from memory).
const STEP_FREEDOMS: usize = 3;

/// Shares of variance of independent inputs from one set of draws, without any further run; largest first.
///
/// `columns` are the names of the inputs with their draws, `result` what came of them. The mean of the result over the rank of an input is
/// a straight line in its value, a sum of cosines, and up to three steps where it jumps (a deadline missed); its variance, less what chance would give it, is the input's share. The strongest input is taken out before the next is looked at,
/// so that weak ones are not lost in its noise. What chance alone would give is left out; the list is empty below 32 draws or where the result does not vary.
/// What the shares leave of 1 is what inputs do together, and what is too weak for so many draws.
///
/// # Errors
/// [`Error::Shape`] for columns of different length, [`Error::OutOfRange`] for a value that is not finite.
///
/// # Source
/// Plischke, Reliability Engineering and System Safety 95 (2010) 354, and its cosine form (from memory); the steps are our own.
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
    for (name, values) in columns.iter().copied().chain([("the result", result)]) {
        if let Some(&given) = values.iter().find(|x| !x.is_finite()) {
            return Err(Error::OutOfRange {
                what: format!("a draw of {name}"),
                given,
                allowed: Range::new(f64::NEG_INFINITY, f64::INFINITY, ""),
                remedy: "leave out the draws that failed".into(),
            });
        }
    }
    let mean = result.iter().sum::<f64>() / n.max(1) as f64;
    let mut left: Vec<f64> = result.iter().map(|y| y - mean).collect();
    let variance = square_mean(&left);
    if n < FEWEST || !(variance > 0.0 && variance.is_finite()) {
        return Ok(vec![]);
    }
    let even = Arc::new(basis(
        &(0..n)
            .map(|i| (i as f64 + 0.5) / n as f64)
            .collect::<Vec<_>>(),
        harmonics(n),
    ));
    let mut open: Vec<Input> = columns
        .iter()
        .filter(|(_, column)| column.iter().any(|x| x.total_cmp(&column[0]).is_ne()))
        .map(|(name, column)| Input::new(name, column, &even))
        .collect();
    let limits = Limits::new(n, open.len());
    let mut found = vec![];
    while square_mean(&left) > 1e-14 * variance {
        let fits = open.iter().enumerate();
        let strongest = fits
            .filter_map(|(at, input)| Some((at, input.fit(&left, &limits)?)))
            .max_by(|(_, a), (_, b)| a.power.total_cmp(&b.power));
        let Some((at, fit)) = strongest else { break };
        let input = open.swap_remove(at);
        for (&draw, rest) in input.order.iter().zip(&fit.rest) {
            left[draw] = *rest;
        }
        let chance = fit.freedoms as f64 * square_mean(&left) / n as f64;
        found.push(Share {
            name: input.name.to_string(),
            first_order: ((fit.power - chance) / variance).clamp(0.0, 1.0),
        });
    }
    found.sort_by(|a, b| {
        b.first_order
            .total_cmp(&a.first_order)
            .then(a.name.cmp(&b.name))
    });
    Ok(found)
}

/// An input, its draws in rising order.
struct Input<'a> {
    name: &'a str,
    column: &'a [f64],
    order: Vec<usize>,
    /// Whether the value of a draw is that of the next one.
    tied: Vec<bool>,
    /// Cosines over the ranks, independent of each other and of a constant, mean square 1; one for all inputs without ties.
    basis: Arc<Vec<Vec<f64>>>,
}

/// What an input explains of a result.
struct Fit {
    /// What it leaves, in the order of the input.
    rest: Vec<f64>,
    /// Variance that goes with it, chance included.
    power: f64,
    /// Terms of chance in it.
    freedoms: usize,
}

/// Takes what an input explains out of what is left, if it says more than chance; terms of chance that this takes.
type Take<'a> = fn(&Input<'a>, &mut [f64], &Limits) -> usize;

/// What chance alone reaches, in variances of the mean.
struct Limits {
    line: f64,
    smooth: f64,
    step: f64,
}

impl Limits {
    fn new(n: usize, inputs: usize) -> Self {
        // The chance of a false alarm is shared out over all inputs, and over the three ways of fitting them; a step may stand at any draw.
        let tail = FALSE_ALARM / (3 * inputs.max(1)) as f64;
        Self {
            line: chance_limit(1, tail),
            smooth: chance_limit(harmonics(n), tail),
            step: chance_limit(1, tail / n as f64),
        }
    }
}

impl<'a> Input<'a> {
    fn new(name: &'a str, column: &'a [f64], even: &Arc<Vec<Vec<f64>>>) -> Self {
        let order = ascending(column);
        let same = |pair: &[usize]| column[pair[0]].total_cmp(&column[pair[1]]).is_eq();
        let tied: Vec<bool> = order.windows(2).map(same).collect();
        let basis = if tied.contains(&true) {
            let ranks = ranks_in(&order, column);
            let place = |&draw: &usize| (ranks[draw] - 0.5) / column.len() as f64;
            Arc::new(basis(
                &order.iter().map(place).collect::<Vec<_>>(),
                even.len(),
            ))
        } else {
            Arc::clone(even)
        };
        Self {
            name,
            column,
            order,
            tied,
            basis,
        }
    }

    /// A straight line in the value, cosines of its rank and steps, where they say more than chance, in whichever order says most; `None` where none does.
    ///
    /// The line is for skewed inputs, whose tail a few cosines of the rank cannot follow.
    fn fit(&self, left: &[f64], limits: &Limits) -> Option<Fit> {
        let left: Vec<f64> = self.order.iter().map(|&draw| left[draw]).collect();
        let noise = square_mean(&left) / left.len() as f64;
        let after_chance = |fit: &Fit| fit.power - fit.freedoms as f64 * noise;
        let (line, cosines, steps): (Take, Take, Take) =
            (Self::take_line, Self::take_cosines, Self::take_steps);
        [
            [line, cosines, steps],
            [cosines, steps, line],
            [steps, line, cosines],
        ]
        .into_iter()
        .filter_map(|takes| {
            let mut rest = left.clone();
            let freedoms = takes.map(|take| take(self, &mut rest, limits)).iter().sum();
            (freedoms > 0).then(|| Fit {
                power: square_mean(&left) - square_mean(&rest),
                rest,
                freedoms,
            })
        })
        .max_by(|a, b| after_chance(a).total_cmp(&after_chance(b)))
    }

    fn take_line(&self, rest: &mut [f64], limits: &Limits) -> usize {
        let n = rest.len() as f64;
        let mean = self.column.iter().sum::<f64>() / n;
        let mut line: Vec<f64> = self
            .order
            .iter()
            .map(|&draw| self.column[draw] - mean)
            .collect();
        let size = square_mean(&line).sqrt();
        if !(size > 0.0 && size.is_finite()) {
            return 0;
        }
        for x in &mut line {
            *x /= size;
        }
        let slope = dot(rest, &line) / n;
        if slope * slope <= limits.line * square_mean(rest) / n {
            return 0;
        }
        less(rest, slope, &line);
        1
    }

    fn take_cosines(&self, rest: &mut [f64], limits: &Limits) -> usize {
        let n = rest.len() as f64;
        let on = |cosine: &Vec<f64>| dot(rest, cosine) / n;
        let coefficients: Vec<f64> = self.basis.iter().map(on).collect();
        let power: f64 = coefficients.iter().map(|c| c * c).sum();
        if power <= limits.smooth * square_mean(rest) / n {
            return 0;
        }
        for (c, cosine) in coefficients.iter().zip(&*self.basis) {
            less(rest, *c, cosine);
        }
        self.basis.len()
    }

    fn take_steps(&self, rest: &mut [f64], limits: &Limits) -> usize {
        let mut freedoms = 0;
        for _ in 0..STEPS {
            let Some(at) = self.step(rest, limits.step) else {
                break;
            };
            let (low, high) = rest.split_at_mut(at);
            for side in [low, high] {
                let mean = side.iter().sum::<f64>() / side.len() as f64;
                for y in side {
                    *y -= mean;
                }
            }
            freedoms += STEP_FREEDOMS;
        }
        freedoms
    }

    /// Number of draws below the step that takes most of the variance; `None` where chance, or a single draw, could do the same.
    fn step(&self, rest: &[f64], limit: f64) -> Option<usize> {
        let n = rest.len();
        let gain = |sum: f64, below: usize, all: usize| {
            sum * sum * all as f64 / (below as f64 * (all - below) as f64)
        };
        let mean = rest.iter().sum::<f64>() / n as f64;
        let (mut best, mut at, mut sum_at) = (0.0, 0, 0.0);
        let mut sum = 0.0;
        for (below, (y, tied)) in (1..).zip(rest.iter().zip(&self.tied)) {
            sum += y - mean;
            if below < SIDE || n - below < SIDE || *tied {
                continue;
            }
            let gained = gain(sum, below, n);
            if gained > best {
                (best, at, sum_at) = (gained, below, sum);
            }
        }
        if at == 0 {
            return None;
        }
        let noise = rest.iter().map(|y| (y - mean).powi(2)).sum::<f64>() - best;
        // Without the draw that speaks loudest for it, the step must still stand.
        let (few, toward) = if at <= n - at {
            (&rest[..at], sum_at.signum())
        } else {
            (&rest[at..], -sum_at.signum())
        };
        let loudest = few
            .iter()
            .map(|y| (y - mean) * toward)
            .fold(f64::NEG_INFINITY, f64::max);
        let without = gain((sum_at.abs() - loudest).max(0.0), few.len() - 1, n - 1);
        (without > limit * noise / n as f64).then_some(at)
    }
}

/// Cosines `√2 cos(k π u)` over places from 0 to 1 in rising order, made independent of a constant and of each other (Gram and Schmidt): over tied places they are not,
/// and there are fewer of them.
fn basis(places: &[f64], terms: usize) -> Vec<Vec<f64>> {
    let n = places.len() as f64;
    let mut basis: Vec<Vec<f64>> = vec![];
    for k in (1..).take(terms) {
        let cosine = |u: &f64| SQRT_2 * (f64::from(k) * PI * u).cos();
        let mut own: Vec<f64> = places.iter().map(cosine).collect();
        let mean = own.iter().sum::<f64>() / n;
        for x in &mut own {
            *x -= mean;
        }
        for known in &basis {
            let shared = dot(&own, known) / n;
            less(&mut own, shared, known);
        }
        let size = square_mean(&own).sqrt();
        if size > 1e-6 {
            for x in &mut own {
                *x /= size;
            }
            basis.push(own);
        }
    }
    basis
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Takes `factor` times `other` away.
fn less(values: &mut [f64], factor: f64, other: &[f64]) {
    for (x, y) in values.iter_mut().zip(other) {
        *x -= factor * y;
    }
}

fn square_mean(values: &[f64]) -> f64 {
    values.iter().map(|y| y * y).sum::<f64>() / values.len() as f64
}

/// What a chi-squared variable of `freedoms` exceeds with probability `tail`, by Wilson and Hilferty's cube (Proceedings of the National Academy of Sciences 17 (1931) 684).
fn chance_limit(freedoms: usize, tail: f64) -> f64 {
    use statrs::distribution::{ContinuousCDF, Normal};
    let spread = 2.0 / (9.0 * freedoms as f64);
    let z = -Normal::standard().inverse_cdf(tail);
    freedoms as f64 * (1.0 - spread + z * spread.sqrt()).powi(3)
}
