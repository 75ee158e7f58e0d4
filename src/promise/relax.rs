//! A bound below every schedule: heads and tails by the calendar, hands that may be taken away and put back.

use super::calendar::SAME_S;
use super::place::{Placed, Problem, Tail};
use crate::error::Result;

/// Steps of the bisection of a cure's latest start; 2^-17 of a day and a half is a second.
const BISECTIONS: usize = 17;

/// Earliest hands-off of every job, capacity left out; jobs that stand keep their place. Given as (earliest start, earliest done).
pub(super) fn heads(problem: &Problem, placed: &[Placed], stands: &[bool]) -> Result<Vec<Placed>> {
    let mut heads = placed.to_vec();
    for &job in &problem.precedence {
        if !stands[job] {
            let (ready_s, _) = problem.ready_s(job, &heads);
            heads[job] = problem.place(job, ready_s, None)?;
        }
    }
    Ok(heads)
}

/// Latest end of the attended part of every job that lets all be done by `deadline_s`; `None` where there is none.
pub(super) fn latest_hands_off(
    problem: &Problem,
    heads: &[Placed],
    deadline_s: f64,
) -> Result<Option<Vec<f64>>> {
    let n = problem.jobs.len();
    let mut must_be_done = vec![deadline_s; n];
    let mut latest = vec![deadline_s; n];
    for &job in problem.precedence.iter().rev() {
        let head = &heads[job];
        let Some(mut by_s) = latest_before(problem, job, head, must_be_done[job])? else {
            return Ok(None);
        };
        let Job {
            hands_s, may_split, ..
        } = Job::of(problem, job);
        let mut start_s = by_s;
        if hands_s > 0.0 {
            let Some(start) = problem.calendar.latest_start(by_s, hands_s, may_split) else {
                return Ok(None);
            };
            start_s = start;
            if !may_split {
                by_s = by_s.min(start + hands_s);
            }
        }
        if start_s < head.start_s - 2.0 * SAME_S {
            return Ok(None);
        }
        latest[job] = by_s;
        for &before in &problem.jobs[job].after {
            must_be_done[before] = must_be_done[before].min(start_s);
        }
    }
    Ok(Some(latest))
}

/// The two numbers of a job that the backward pass reads.
struct Job {
    hands_s: f64,
    may_split: bool,
}

impl Job {
    fn of(problem: &Problem, job: usize) -> Self {
        let job = &problem.jobs[job];
        Self {
            hands_s: job.hands_s,
            may_split: job.may_split,
        }
    }
}

/// Latest instant for hands to leave `job` so that its tail ends by `by_s`; rounded up, so that the bound stays one.
fn latest_before(problem: &Problem, job: usize, head: &Placed, by_s: f64) -> Result<Option<f64>> {
    if let Tail::Fixed(wait_s) = problem.jobs[job].tail {
        return Ok(Some(by_s - wait_s));
    }
    if head.done_s > by_s + SAME_S {
        return Ok(None);
    }
    let (mut fits_s, mut late_s) = (head.hands_off_s, by_s);
    for _ in 0..BISECTIONS {
        let middle = f64::midpoint(fits_s, late_s);
        if problem.done_s(job, middle)? <= by_s {
            fits_s = middle;
        } else {
            late_s = middle;
        }
    }
    Ok(Some(late_s))
}

/// Whether every capacity could serve all jobs that do not stand between their heads and `latest`, if work could be divided and moved at will:
/// earliest deadline first with interruptions, in open time, is then exact.
pub(super) fn fits(
    problem: &Problem,
    heads: &[Placed],
    latest: &[f64],
    stands: &[bool],
    free_from_s: f64,
) -> bool {
    let open = |at_s: f64| problem.calendar.open_time(at_s);
    (0..problem.capacity.len()).all(|at| {
        let mut work: Vec<Piece> = (0..problem.jobs.len())
            .filter(|&job| !stands[job] && problem.jobs[job].demand[at] > 0)
            .filter(|&job| problem.jobs[job].hands_s > 0.0)
            .map(|job| {
                let share =
                    f64::from(problem.jobs[job].demand[at]) / f64::from(problem.capacity[at]);
                Piece {
                    release: open(heads[job].start_s.max(free_from_s)),
                    left: problem.jobs[job].hands_s * share,
                    deadline: open(latest[job]),
                }
            })
            .collect();
        served(&mut work)
    })
}

/// Work of one job on one capacity, in seconds of open time.
struct Piece {
    release: f64,
    left: f64,
    deadline: f64,
}

/// Earliest deadline first with interruptions; whether no deadline is missed.
fn served(work: &mut [Piece]) -> bool {
    work.sort_by(|a, b| a.release.total_cmp(&b.release));
    let mut present: Vec<usize> = Vec::with_capacity(work.len());
    let mut arrived = 0;
    let mut t = 0.0_f64;
    loop {
        if present.is_empty() {
            match work.get(arrived) {
                None => return true,
                Some(next) => t = t.max(next.release),
            }
        }
        while work.get(arrived).is_some_and(|piece| piece.release <= t) {
            present.push(arrived);
            arrived += 1;
        }
        let urgent = present
            .iter()
            .copied()
            .enumerate()
            .min_by(|a, b| work[a.1].deadline.total_cmp(&work[b.1].deadline));
        let Some((at, job)) = urgent else { return true };
        let until = work.get(arrived).map_or(f64::INFINITY, |next| next.release);
        let end = (t + work[job].left).min(until);
        work[job].left -= end - t;
        t = end;
        if work[job].left <= SAME_S {
            if t > work[job].deadline + 4.0 * SAME_S {
                return false;
            }
            present.swap_remove(at);
        }
    }
}

/// Greatest end before which no schedule can be done, found to half a second. [s]
pub(super) fn bound_s(problem: &Problem, heads: &[Placed], upper_s: f64) -> Result<f64> {
    let stands = vec![false; problem.jobs.len()];
    let path_s = super::place::end_s(heads, problem.start_s);
    let possible = |by_s: f64| -> Result<bool> {
        Ok(latest_hands_off(problem, heads, by_s)?
            .is_some_and(|latest| fits(problem, heads, &latest, &stands, problem.start_s)))
    };
    if possible(path_s)? {
        return Ok(path_s);
    }
    let (mut low, mut high) = (path_s, upper_s.max(path_s));
    while high - low > 0.5 {
        let middle = f64::midpoint(low, high);
        if possible(middle)? {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(low)
}
