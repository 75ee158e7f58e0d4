//! Tasks in, a schedule by the clock out.

use std::borrow::Cow;

use serde::Serialize;

use super::calendar::Calendar;
use super::place::{Job, Placed, Problem, Tail, end_s};
use super::search::search;
use crate::climate::Climate;
use crate::error::{Error, Range, Result, check};
use crate::task::{Task, Unattended};

/// Most people at the benches.
const FABRICATORS: Range = Range::new(1.0, 100.0, "");

/// The shop that the work is done in.
#[derive(Debug, Clone, Copy)]
pub struct Bench<'a> {
    /// Opening hours.
    pub calendar: &'a Calendar,
    /// Air by the hour, for cures.
    pub climate: &'a Climate,
    /// Pairs of hands, 1 to 100; each attended task takes one.
    pub fabricators: u32,
}

/// Numbers in place of the laws of the tasks: the likely ones, or one draw.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Times {
    /// Attended time of each task. [s]
    pub attended_s: Vec<f64>,
    /// Wait after each task whose unattended part has a fixed law; 0 for the others, where it is not read. [s]
    pub wait_s: Vec<f64>,
    /// Factor on the times of the cure that follows each task, from the cure's own time law; 1 is the data sheet's.
    pub cure_factor: Vec<f64>,
}

impl Times {
    /// The likeliest time of every task.
    pub fn likely(tasks: &[Task]) -> Self {
        let wait = |task: &Task| match &task.unattended {
            Unattended::Fixed(law) => law.likely(),
            Unattended::None | Unattended::Cure(_) => 0.0,
        };
        Self {
            attended_s: tasks.iter().map(|task| task.attended.likely()).collect(),
            wait_s: tasks.iter().map(wait).collect(),
            cure_factor: vec![1.0; tasks.len()],
        }
    }
}

/// One task by the clock.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Entry {
    /// Position of the task in the list given.
    pub task: usize,
    /// Hands on. [s]
    pub start_s: f64,
    /// Hands off. [s]
    pub hands_off_s: f64,
    /// Done, with its unattended part. [s]
    pub done_s: f64,
    /// Spans in which hands are on it, one unless it is split at closing time. [s]
    pub pieces: Vec<(f64, f64)>,
    /// Which pair of hands, from 0; 0 too where it needs none.
    pub hands: u32,
}

/// All tasks by the clock.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Schedule {
    /// Every task, by its start.
    pub entries: Vec<Entry>,
    /// The list that gave the schedule: what [`replay`] takes.
    pub order: Vec<usize>,
    /// Start of the plan. [s]
    pub start_s: f64,
    /// Everything is done. [s]
    pub ready_s: f64,
    /// First instant from then on at which somebody is there to hand back: closing time counts. [s]
    pub hand_back_s: f64,
    /// Attended time of all tasks. [s]
    pub attended_s: f64,
    /// From the start of the plan until everything is done. [s]
    pub elapsed_s: f64,
    /// No order is done before this; of a replay, the end of its own longest path. [s]
    pub bound_s: f64,
    /// Whether no order is done earlier by more than a second.
    pub proved: bool,
}

/// The order of the tasks that is done earliest, on the calendar from `start_s` on.
///
/// Attended parts lie in opening hours, one for each pair of hands at a time, unsplit unless the task allows it; unattended parts run through the night.
/// Up to about a dozen attended tasks the order is proved best by branch and bound, beyond it comes with its bound.
///
/// # Errors
/// [`Error::Shape`] for two tasks of one name or times that do not match the tasks; [`Error::Unknown`] for a forerunner that is not there;
/// [`Error::Impossible`] for tasks that wait for each other, a task longer than any opening, a cure that never ends, a longest wait that cannot be kept;
/// [`Error::OutOfRange`] for times that are negative or not finite.
pub fn order(tasks: &[Task], times: &Times, bench: &Bench, start_s: f64) -> Result<Schedule> {
    let capacity = capacity(bench)?;
    let problem = Problem::new(
        jobs(tasks, times, bench)?,
        &capacity,
        bench.calendar,
        start_s,
    )?;
    let found = search(&problem)?;
    let (bound_s, proved) = (found.bound_s, found.proved);
    schedule(&problem, found.list, found.placed, bound_s, proved)
}

/// The tasks in a fixed order with other times: each as early as forerunners, hands and calendar allow.
///
/// A task that takes longer than the longest opening stops at closing time and goes on the next morning: what overran in one draw is not left undone.
/// Where the order cannot keep a longest wait with these times, another is taken that can.
///
/// # Errors
/// As [`order()`] but for a task that is too long, and [`Error::Shape`] for an order that does not hold every task once, after its forerunners.
pub fn replay(
    order: &[usize],
    tasks: &[Task],
    times: &Times,
    bench: &Bench,
    start_s: f64,
) -> Result<Schedule> {
    let capacity = capacity(bench)?;
    let mut jobs = jobs(tasks, times, bench)?;
    let longest_s = bench.calendar.longest_s();
    for job in &mut jobs {
        job.may_split |= job.hands_s > longest_s;
    }
    let problem = Problem::new(jobs, &capacity, bench.calendar, start_s)?;
    check_order(order, &problem)?;
    let (list, placed) = match problem.generate(order) {
        Ok(placed) => (order.to_vec(), placed),
        Err(Error::Impossible { .. }) if problem.waits_limited => {
            let found = search(&problem)?;
            (found.list, found.placed)
        }
        Err(other) => return Err(other),
    };
    let bound_s = end_s(&problem.heads()?, start_s);
    schedule(&problem, list, placed, bound_s, false)
}

fn capacity(bench: &Bench) -> Result<[u32; 1]> {
    let given = f64::from(bench.fabricators);
    check(
        "fabricators",
        given,
        FABRICATORS,
        "somebody must do the work",
    )?;
    Ok([bench.fabricators])
}

fn jobs<'a>(tasks: &'a [Task], times: &Times, bench: &Bench<'a>) -> Result<Vec<Job<'a>>> {
    let lists = [
        ("attended_s", &times.attended_s),
        ("wait_s", &times.wait_s),
        ("cure_factor", &times.cure_factor),
    ];
    for (what, list) in lists {
        if list.len() != tasks.len() {
            return Err(Error::Shape {
                what: what.into(),
                given: format!("{} values", list.len()),
                allowed: format!("one for each of {} tasks", tasks.len()),
            });
        }
    }
    let mut at = std::collections::BTreeMap::new();
    for (position, task) in tasks.iter().enumerate() {
        if at.insert(task.id.as_str(), position).is_some() {
            return Err(Error::Shape {
                what: "name of a task".into(),
                given: format!("\"{}\" twice", task.id),
                allowed: "a name of its own for each task".into(),
            });
        }
    }
    tasks
        .iter()
        .enumerate()
        .map(|(position, task)| {
            let forerunner = |id: &String| {
                let known = || Error::unknown("task", id.as_str(), at.keys().copied());
                at.get(id.as_str()).copied().ok_or_else(known)
            };
            Ok(Job {
                name: &task.id,
                hands_s: times.attended_s[position],
                demand: &[1],
                tail: match &task.unattended {
                    Unattended::None => Tail::Fixed(0.0),
                    Unattended::Fixed(_) => Tail::Fixed(times.wait_s[position]),
                    Unattended::Cure(cure) => {
                        let factor = times.cure_factor[position];
                        let same = (factor - 1.0).abs() < f64::EPSILON;
                        let cure = if same {
                            Cow::Borrowed(&**cure)
                        } else {
                            Cow::Owned(cure.scaled(factor)?)
                        };
                        Tail::Cure(Box::new(cure), bench.climate)
                    }
                },
                after: task.after.iter().map(forerunner).collect::<Result<_>>()?,
                may_split: task.may_split,
                max_wait_s: task.max_wait_s,
            })
        })
        .collect()
}

/// Whether `order` holds every job once, after its forerunners.
pub(super) fn check_order(order: &[usize], problem: &Problem) -> Result<()> {
    let mut seen = vec![false; problem.jobs.len()];
    for &job in order {
        let fine = seen.get(job) == Some(&false)
            && problem.jobs[job].after.iter().all(|&before| seen[before]);
        if !fine {
            return Err(Error::Shape {
                what: "order of the tasks".into(),
                given: format!("number {job} twice, too early, or not a task"),
                allowed: "every task once, after its forerunners".into(),
            });
        }
        seen[job] = true;
    }
    if seen.iter().all(|&s| s) {
        return Ok(());
    }
    Err(Error::Shape {
        what: "order of the tasks".into(),
        given: format!("{} of {} tasks", order.len(), seen.len()),
        allowed: "every task once".into(),
    })
}

pub(super) fn schedule(
    problem: &Problem,
    order: Vec<usize>,
    placed: Vec<Placed>,
    bound_s: f64,
    proved: bool,
) -> Result<Schedule> {
    let ready_s = end_s(&placed, problem.start_s);
    let mut entries: Vec<Entry> = placed
        .into_iter()
        .enumerate()
        .map(|(task, p)| Entry {
            task,
            start_s: p.start_s,
            hands_off_s: p.hands_off_s,
            done_s: p.done_s,
            pieces: p.pieces,
            hands: 0,
        })
        .collect();
    entries.sort_by(|a, b| a.start_s.total_cmp(&b.start_s).then(a.task.cmp(&b.task)));
    // The first pair of hands that is free; there is one, since the profile kept the count.
    let mut free_from_s: Vec<f64> = Vec::new();
    for entry in entries.iter_mut().filter(|entry| !entry.pieces.is_empty()) {
        let free = |&from_s: &f64| from_s <= entry.start_s + super::calendar::SAME_S;
        let hands = free_from_s
            .iter()
            .position(free)
            .unwrap_or(free_from_s.len());
        if hands == free_from_s.len() {
            free_from_s.push(0.0);
        }
        free_from_s[hands] = entry.hands_off_s;
        entry.hands = u32::try_from(hands).unwrap_or(u32::MAX);
    }
    Ok(Schedule {
        entries,
        order,
        start_s: problem.start_s,
        ready_s,
        hand_back_s: problem.calendar.open_from(ready_s)?,
        attended_s: problem.jobs.iter().map(|job| job.hands_s).sum(),
        elapsed_s: ready_s - problem.start_s,
        bound_s,
        proved,
    })
}
