//! Networks of tasks: order of precedence, critical path, PERT.

use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal};

use crate::error::{Error, Range, Result, check};

/// Length of a task or a project. [s]
pub(super) const LENGTHS_S: Range = Range::new(0.0, 1e8, "s");

/// One activity of a network.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Activity {
    /// Name, for messages.
    pub name: String,
    /// Length, in any unit of time; attended or not.
    pub length: f64,
    /// Activities (by position) that must end before, each with the least wait after it (lag, same unit).
    pub after: Vec<(usize, f64)>,
}

/// Times of one activity on a critical path analysis.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Float {
    /// Earliest start.
    pub earliest_start: f64,
    /// Earliest finish.
    pub earliest_finish: f64,
    /// Latest start that does not delay the end.
    pub latest_start: f64,
    /// Latest finish that does not delay the end.
    pub latest_finish: f64,
    /// Delay that does not move the end.
    pub total_float: f64,
    /// Delay that moves no other activity.
    pub free_float: f64,
}

/// A critical path analysis.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CriticalPath {
    /// Earliest end of the whole.
    pub end: f64,
    /// One for each activity.
    pub activities: Vec<Float>,
    /// Activities without total float, in order of precedence.
    pub critical: Vec<usize>,
}

/// Forward and backward pass over a network without limits of capacity or calendar.
///
/// # Errors
/// [`Error::Impossible`] for a cycle, which is named; [`Error::Shape`] for a forerunner that does not exist; [`Error::OutOfRange`] for a length or a lag that is negative or not finite.
///
/// ```
/// use mountwright::promise::{critical_path, Activity};
/// let cut = Activity { name: "cut".into(), length: 20.0, after: vec![] };
/// let cure = Activity { name: "cure".into(), length: 90.0, after: vec![(0, 0.0)] };
/// let paint = Activity { name: "paint a test card".into(), length: 15.0, after: vec![(0, 0.0)] };
/// let path = critical_path(&[cut, cure, paint])?;
/// assert_eq!(path.critical, [0, 1]);
/// assert!((path.activities[2].total_float - 75.0).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn critical_path(activities: &[Activity]) -> Result<CriticalPath> {
    for activity in activities {
        let what = |part: &str| format!("{}.{part}", activity.name);
        check(
            what("length"),
            activity.length,
            LENGTHS_S,
            "a length is zero or more",
        )?;
        for &(_, lag) in &activity.after {
            check(what("after"), lag, LENGTHS_S, "a lag is zero or more")?;
        }
    }
    let names: Vec<&str> = activities.iter().map(|a| a.name.as_str()).collect();
    let after: Vec<Vec<usize>> = activities
        .iter()
        .map(|a| a.after.iter().map(|(at, _)| *at).collect())
        .collect();
    let order = precedence_order(&names, &after)?;

    let mut start = vec![0.0_f64; activities.len()];
    for &at in &order {
        for &(before, lag) in &activities[at].after {
            start[at] = start[at].max(start[before] + activities[before].length + lag);
        }
    }
    let finish = |at: usize| start[at] + activities[at].length;
    let end = (0..activities.len()).map(finish).fold(0.0, f64::max);
    let mut latest = vec![end; activities.len()];
    let mut next_start = vec![end; activities.len()];
    for &at in order.iter().rev() {
        let latest_start = latest[at] - activities[at].length;
        for &(before, lag) in &activities[at].after {
            latest[before] = latest[before].min(latest_start - lag);
            next_start[before] = next_start[before].min(start[at] - lag);
        }
    }
    let floats: Vec<Float> = (0..activities.len())
        .map(|at| Float {
            earliest_start: start[at],
            earliest_finish: finish(at),
            latest_start: latest[at] - activities[at].length,
            latest_finish: latest[at],
            total_float: latest[at] - finish(at),
            free_float: next_start[at] - finish(at),
        })
        .collect();
    // Sums of a path taken forwards and backwards differ by rounding only.
    let no_float = 1e-9 * end.max(1.0);
    let critical = order
        .into_iter()
        .filter(|&at| floats[at].total_float <= no_float)
        .collect();
    Ok(CriticalPath {
        end,
        activities: floats,
        critical,
    })
}

/// Mean and variance of a path by PERT, and the chance to end by a time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pert {
    /// Mean of each activity, `(a + 4m + b)/6`.
    pub means: Vec<f64>,
    /// Variance of each activity, the classic `((b - a)/6)²`.
    pub variances: Vec<f64>,
    /// Critical path of the means.
    pub path: CriticalPath,
    /// Sum of the variances along it; of several critical paths the greatest.
    pub variance: f64,
}

impl Pert {
    /// Chance that the whole ends by `time`, from a normal law with the mean and variance of the critical path.
    ///
    /// Optimistic where paths merge, since the greatest of several ends is on average later than the greatest of their averages:
    /// a cross-check for a sampled schedule, not a promise.
    pub fn chance_by(&self, time: f64) -> f64 {
        if self.variance > 0.0 {
            Normal::standard().cdf((time - self.path.end) / self.variance.sqrt())
        } else if time >= self.path.end {
            1.0
        } else {
            0.0
        }
    }
}

/// Classic PERT: three-point times `(lowest, likeliest, highest)` on a network of activities, whose own lengths are not read.
///
/// # Errors
/// As [`critical_path`], and [`Error::OutOfRange`] for points that are not in order; [`Error::Shape`] unless there is one triple for each activity.
pub fn pert(activities: &[Activity], points: &[(f64, f64, f64)]) -> Result<Pert> {
    if activities.len() != points.len() {
        return Err(Error::Shape {
            what: "three-point times".into(),
            given: format!("{} for {} activities", points.len(), activities.len()),
            allowed: "one triple for each activity".into(),
        });
    }
    let mut timed = activities.to_vec();
    let mut variances = Vec::with_capacity(points.len());
    for (activity, &(low, likely, high)) in timed.iter_mut().zip(points) {
        let law = crate::spread::Law::Pert { low, likely, high }.check(&activity.name)?;
        activity.length = law.mean();
        variances.push(((high - low) / 6.0).powi(2));
    }
    let path = critical_path(&timed)?;
    let variance = greatest_variance(&timed, &path, &variances);
    Ok(Pert {
        means: timed.iter().map(|a| a.length).collect(),
        variances,
        path,
        variance,
    })
}

/// Variance of the critical path; of several equally long ones the greatest, not their sum.
fn greatest_variance(timed: &[Activity], path: &CriticalPath, variances: &[f64]) -> f64 {
    let no_float = 1e-9 * path.end.max(1.0);
    let mut until = vec![0.0_f64; timed.len()];
    let mut greatest = 0.0_f64;
    // Forerunners stand before their followers.
    for &at in &path.critical {
        let starts = path.activities[at].earliest_start;
        let before = (timed[at].after.iter())
            .filter(|(b, lag)| path.activities[*b].earliest_finish + lag >= starts - no_float)
            .filter(|(b, _)| path.activities[*b].total_float <= no_float)
            .map(|(b, _)| until[*b])
            .fold(0.0, f64::max);
        until[at] = before + variances[at];
        greatest = greatest.max(until[at]);
    }
    greatest
}

/// Positions so that every one comes after its forerunners, else in the order given.
pub(super) fn precedence_order(names: &[&str], after: &[Vec<usize>]) -> Result<Vec<usize>> {
    let n = names.len();
    let mut open = vec![0_usize; n];
    let mut next: Vec<Vec<usize>> = vec![Vec::new(); n];
    for (at, before) in after.iter().enumerate() {
        for &b in before {
            let list = next.get_mut(b).ok_or_else(|| Error::Shape {
                what: format!("forerunner of \"{}\"", names[at]),
                given: format!("number {b}"),
                allowed: format!("a number below {n}"),
            })?;
            list.push(at);
            open[at] += 1;
        }
    }
    let mut order: Vec<usize> = Vec::with_capacity(n);
    let mut ready: std::collections::BTreeSet<usize> = (0..n).filter(|&at| open[at] == 0).collect();
    while let Some(at) = ready.pop_first() {
        order.push(at);
        for &then in &next[at] {
            open[then] -= 1;
            if open[then] == 0 {
                ready.insert(then);
            }
        }
    }
    if order.len() == n {
        return Ok(order);
    }
    // Every task left waits for another one that is left: walking backwards from any must meet itself.
    let left = |at: &usize| open[*at] > 0;
    let mut trail: Vec<usize> = Vec::new();
    let mut at = (0..n).find(left).unwrap_or(0);
    while !trail.contains(&at) {
        trail.push(at);
        at = after[at].iter().copied().find(left).unwrap_or(at);
    }
    let from = trail.iter().position(|&t| t == at).unwrap_or(0);
    let mut circle: Vec<usize> = trail[from..].iter().rev().copied().collect();
    // From the task that stands first in the list.
    let first = (0..circle.len()).min_by_key(|&i| circle[i]).unwrap_or(0);
    circle.rotate_left(first);
    circle.push(circle[0]);
    let circle: Vec<&str> = circle.into_iter().map(|t| names[t]).collect();
    Err(Error::Impossible {
        what: "an order of the tasks".into(),
        why: format!("they wait for each other: {}", circle.join(" → ")),
        remedy: "take one of these out of the other's \"after\"".into(),
    })
}
