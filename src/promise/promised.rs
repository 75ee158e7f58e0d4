//! A time that can be promised, from schedules draw by draw.

use jiff::civil::DateTime;
use rayon::prelude::*;
use serde::Serialize;

use super::calendar::Calendar;
use super::network::LENGTHS_S;
use super::order::{Bench, Schedule, Times, order, replay};
use crate::climate::Climate;
use crate::error::{Error, Range, Result, check};
use crate::spread::{Inputs, Law};
use crate::task::{Task, Unattended};

/// Pace of a fabricator: ten times as fast to ten times as slow; far outside what anybody's hands do.
const PACES: Range = Range::new(0.1, 10.0, "");

/// When the vehicle is handed back, with a chance; each time is rounded up to the shop's slot.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Promise {
    /// One job in two is handed back by then.
    pub p50: DateTime,
    /// Eight jobs in ten.
    pub p80: DateTime,
    /// Nine jobs in ten.
    pub p90: DateTime,
    /// The same three in seconds since the plan's first midnight. [s]
    pub p50_s: f64,
    /// [s]
    pub p80_s: f64,
    /// [s]
    pub p90_s: f64,
    /// Share of the draws in which a task cannot be done at all: a cure that never ends in that draw's cold, a longest wait that cannot be kept. They count as later than every other.
    pub never_share: f64,
}

/// A promise for tasks in a fixed order: `draw` gives the times and the climate of each draw.
///
/// # Errors
/// As [`replay`]. A draw in which the tasks cannot be done counts as later than all others; only where that leaves no P90 its error is reported.
pub fn promise(
    order: &[usize],
    tasks: &[Task],
    bench: &Bench,
    start_s: f64,
    draws: usize,
    draw: impl Fn(usize) -> Result<(Times, Climate)> + Sync,
) -> Result<Promise> {
    let hand_backs: Vec<Result<f64>> = (0..draws)
        .into_par_iter()
        .map(|row| {
            let (times, climate) = draw(row)?;
            let bench = Bench {
                climate: &climate,
                ..*bench
            };
            Ok(replay(order, tasks, &times, &bench, start_s)?.hand_back_s)
        })
        .collect();
    let mut done_s = vec![];
    let mut never = None;
    for hand_back in hand_backs {
        match hand_back {
            Ok(at_s) => done_s.push(at_s),
            Err(why @ Error::Impossible { .. }) => never = never.or(Some(why)),
            Err(other) => return Err(other),
        }
    }
    match never {
        Some(why) if done_s.len() < rank(draws, 9) => Err(why),
        _ => percentiles(&done_s, draws, bench.calendar),
    }
}

/// The order at the likeliest times, and the promise from draws of the tasks' own laws, all attended times with one shared `pace` of the fabricators.
///
/// # Errors
/// As [`super::order()`] and [`promise`]; [`Error::OutOfRange`] for a law that cannot be, a pace that may be zero, or no draws.
pub fn order_and_promise(
    tasks: &[Task],
    pace: Law,
    bench: &Bench,
    start_s: f64,
    draws: usize,
    seed: u64,
) -> Result<(Schedule, Promise)> {
    let schedule = order(tasks, &Times::likely(tasks), bench, start_s)?;
    let mut inputs = Inputs::default();
    check(
        "lowest pace",
        pace.quantile(0.0)?,
        PACES,
        "a factor on the attended times: 1 is the usual pace",
    )?;
    let pace = inputs.register("pace", pace)?;
    let one = Law::Fixed { value: 1.0 };
    let mut own = Vec::with_capacity(tasks.len());
    for task in tasks {
        let (wait, cure) = match &task.unattended {
            Unattended::None => (Law::Fixed { value: 0.0 }, one),
            Unattended::Fixed(law) => (*law, one),
            Unattended::Cure(cure) => (Law::Fixed { value: 0.0 }, cure.time_law()),
        };
        let mut named = |what: &str, law| inputs.register(format!("{}: {what}", task.id), law);
        own.push((
            named("attended", task.attended)?,
            named("wait", wait)?,
            named("cure", cure)?,
        ));
    }
    let values = inputs.draw(draws, seed)?;
    let promise = promise(&schedule.order, tasks, bench, start_s, draws, |row| {
        let value = |id| values.value(id, row);
        let times = Times {
            attended_s: own.iter().map(|ids| value(ids.0) * value(pace)).collect(),
            wait_s: own.iter().map(|ids| value(ids.1)).collect(),
            cure_factor: own.iter().map(|ids| value(ids.2)).collect(),
        };
        Ok((times, bench.climate.clone()))
    })?;
    Ok((schedule, promise))
}

/// A promise from the hand-back of every draw.
///
/// A percentile is the least time by which at least that share of the draws is handed back, never a time between two of them: hand-backs come in lumps, since they wait for opening.
///
/// # Errors
/// [`Error::Shape`] for no draws, [`Error::OutOfRange`] for one before the first day or not finite.
pub fn promise_from(hand_backs_s: &[f64], calendar: &Calendar) -> Result<Promise> {
    percentiles(hand_backs_s, hand_backs_s.len(), calendar)
}

/// Number of draws that are done when `tenths` tenths of all are.
fn rank(draws: usize, tenths: usize) -> usize {
    (draws * tenths).div_ceil(10)
}

/// Percentiles of `draws` hand-backs of which the ones given came to an end, nine in ten at least.
fn percentiles(hand_backs_s: &[f64], draws: usize, calendar: &Calendar) -> Result<Promise> {
    let sorted = crate::spread::sorted(hand_backs_s)?;
    for &at_s in [sorted.first(), sorted.last()].into_iter().flatten() {
        check(
            "hand-back",
            at_s,
            LENGTHS_S,
            "count seconds from the first midnight",
        )?;
    }
    let by = |tenths: usize| calendar.slot_from(sorted[rank(draws, tenths) - 1]);
    let (p50_s, p80_s, p90_s) = (by(5)?, by(8)?, by(9)?);
    Ok(Promise {
        p50: calendar.date_time(p50_s)?,
        p80: calendar.date_time(p80_s)?,
        p90: calendar.date_time(p90_s)?,
        p50_s,
        p80_s,
        p90_s,
        never_share: (draws - sorted.len()) as f64 / draws as f64,
    })
}
