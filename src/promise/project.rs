//! Projects with several capacities: hands, clamps, an oven, a bay.

use super::calendar::Calendar;
use super::order::{Schedule, check_order, schedule};
use super::place::{Job, Problem, Tail, end_s};
use super::search::search;
use crate::error::{Error, Range, Result, check};

/// One job of a [`Project`].
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct ProjectJob {
    /// Name, for messages.
    pub name: String,
    /// Time for which it takes its capacities, in opening hours. [s]
    pub length_s: f64,
    /// What it takes of each capacity.
    pub demand: Vec<u32>,
    /// Wait after it that takes nothing and runs through the night. [s]
    pub wait_s: f64,
    /// Jobs, by position, that must be done before.
    pub after: Vec<usize>,
}

/// A resource-constrained project: jobs that take amounts of several capacities.
///
/// ```
/// use jiff::civil::date;
/// use mountwright::promise::{Calendar, Project, ProjectJob};
/// // Two hands and one oven: the second load waits for the first.
/// let load = |name: &str| ProjectJob { name: name.into(), length_s: 1200.0, demand: vec![1, 1], wait_s: 0.0, after: vec![] };
/// let project = Project { jobs: vec![load("left"), load("right")], capacity: vec![2, 1] };
/// let schedule = project.order(&Calendar::always(date(2026, 3, 2), 900.0)?, 0.0)?;
/// assert!((schedule.ready_s - 2400.0).abs() < 1e-6 && schedule.proved);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Project {
    /// Jobs.
    pub jobs: Vec<ProjectJob>,
    /// How much there is of each capacity, 1 or more.
    pub capacity: Vec<u32>,
}

impl Project {
    /// The order of the jobs that is done earliest; see [`super::order()`].
    ///
    /// # Errors
    /// As [`super::order()`], and [`Error::Shape`] for a job that does not name its demand on every capacity.
    pub fn order(&self, calendar: &Calendar, start_s: f64) -> Result<Schedule> {
        let problem = self.problem(calendar, start_s)?;
        let found = search(&problem)?;
        schedule(
            &problem,
            found.list,
            found.placed,
            found.bound_s,
            found.proved,
        )
    }

    /// Serial generation from a list of the jobs.
    ///
    /// # Errors
    /// As [`Project::order`], and [`Error::Shape`] for a list that does not hold every job once, after its forerunners.
    pub fn replay(&self, list: &[usize], calendar: &Calendar, start_s: f64) -> Result<Schedule> {
        let problem = self.problem(calendar, start_s)?;
        check_order(list, &problem)?;
        let placed = problem.generate(list)?;
        let path_s = end_s(&problem.heads()?, start_s);
        schedule(&problem, list.to_vec(), placed, path_s, false)
    }

    fn problem<'a>(&'a self, calendar: &'a Calendar, start_s: f64) -> Result<Problem<'a>> {
        for (at, &capacity) in self.capacity.iter().enumerate() {
            let allowed = Range::new(1.0, 1e6, "");
            check(
                format!("capacity[{at}]"),
                f64::from(capacity),
                allowed,
                "leave out what there is none of",
            )?;
        }
        let jobs = self
            .jobs
            .iter()
            .map(|job| {
                if job.demand.len() != self.capacity.len() {
                    return Err(Error::Shape {
                        what: format!("demand of \"{}\"", job.name),
                        given: format!("{} numbers", job.demand.len()),
                        allowed: format!("one for each of {} capacities", self.capacity.len()),
                    });
                }
                Ok(Job {
                    name: &job.name,
                    hands_s: job.length_s,
                    demand: &job.demand,
                    tail: Tail::Fixed(job.wait_s),
                    after: job.after.clone(),
                    may_split: false,
                    max_wait_s: None,
                })
            })
            .collect::<Result<_>>()?;
        Problem::new(jobs, &self.capacity, calendar, start_s)
    }
}
