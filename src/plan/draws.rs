//! The draws: each row through the chain, the fixed order and the bill, reduced to its numbers.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::bill::bill;
use super::chain::{Kept, through};
use super::held::Held;
use super::part::{PartRun, times};
use super::result::LayoutPlan;
use super::setup::Setup;
use super::values::Values;
use crate::error::{Error, Result, Watch};
use crate::heat::Recipe;
use crate::mount::Verdict;
use crate::promise::{Bench, Entry, Schedule, replay};
use crate::spread::{Draws, Inputs};
use crate::task::{Kind, Task};

/// Rows between two looks at whether to go on.
const CHUNK: usize = 32;

/// The numbers of one draw that end up in a range.
pub(super) struct Row {
    /// Which draw it is.
    pub(super) draw: usize,
    pub(super) parts: Vec<PartRow>,
    pub(super) attended_s: Vec<f64>,
    pub(super) usual_s: Vec<f64>,
    pub(super) fixed_s: Vec<f64>,
    pub(super) wait_s: Vec<f64>,
    pub(super) hours_s: f64,
    pub(super) hand_back_s: f64,
    pub(super) elapsed_s: f64,
    /// When all is ready to be fitted. [s]
    pub(super) bench_done_s: f64,
    pub(super) cost: f64,
}

/// The numbers of one part in one draw.
pub(super) struct PartRow {
    pub(super) developed_m: Option<f64>,
    pub(super) adds_face_m: f64,
    pub(super) recipe: Option<RecipeRow>,
    pub(super) joint: Option<[Option<f64>; 3]>,
    /// Names of the checks that fail.
    pub(super) failed: Vec<&'static str>,
}

/// Window, stop, shaping, hold, touch, the part behind, and limp.
pub(super) type RecipeRow = [Option<f64>; 8];

pub(super) fn recipe_row(r: &Recipe) -> RecipeRow {
    [
        r.opens_s,
        r.closes_s,
        r.stop_s,
        r.working_time_s,
        r.hold_s,
        r.touch_s,
        r.behind.map(|b| b.face_k),
        r.limp_s,
    ]
}

fn part_row(part: &PartRun) -> PartRow {
    let joint = part.glued.as_ref().map(|g| {
        let of = |s: Option<f64>| s.map(|s| s * g.factor);
        [
            Some(g.joint.open_s * g.factor),
            of(g.joint.handling_s),
            of(g.joint.full_s),
        ]
    });
    PartRow {
        developed_m: part.developed_m,
        adds_face_m: part.adds_face_m,
        recipe: part.recipe.as_ref().map(recipe_row),
        joint,
        failed: part
            .checks
            .iter()
            .filter(|c| c.verdict == Verdict::Fail)
            .map(|c| c.name)
            .collect(),
    }
}

/// Length of what runs on alone after each task. [s]
pub(super) fn waits(schedule: &Schedule, count: usize) -> Vec<f64> {
    let mut waits = vec![0.0; count];
    for entry in &schedule.entries {
        if let Some(wait) = waits.get_mut(entry.task) {
            *wait = entry.done_s - entry.hands_off_s;
        }
    }
    waits
}

/// When the last task is done that comes before fitting. [s]
fn bench_done_s(schedule: &Schedule, tasks: &[Task], start_s: f64) -> f64 {
    let before_fitting = |entry: &&Entry| {
        let kind = tasks.get(entry.task).map(|task| task.kind);
        !matches!(kind, Some(Kind::Fit | Kind::HandBack))
    };
    let done = schedule.entries.iter().filter(before_fitting);
    done.map(|entry| entry.done_s).fold(start_s, f64::max)
}

/// One draw through the chain, the fixed order and the bill.
fn draw(
    setup: &Setup,
    kept: &Kept,
    adhesives: &BTreeMap<String, String>,
    (layouts, held): (&[LayoutPlan], &Held),
    list: &[usize],
    (inputs, drawn, number): (&Inputs, &Draws, usize),
) -> Result<Row> {
    let values = Values::Row(inputs, drawn, number);
    let mut run = through(setup, kept, adhesives, values)?;
    held.hold(&mut run.tasks);
    let tasks = run.task_list();
    let times = times(&run.tasks);
    let bench = Bench {
        calendar: &setup.calendar,
        climate: &run.climate,
        fabricators: setup.shop.shop.fabricators,
    };
    let schedule = replay(list, &tasks, &times, &bench, setup.start_s)?;
    let cost = bill(setup, &run, layouts)?.cost(&setup.terms());
    Ok(Row {
        draw: number,
        parts: run.parts.iter().map(part_row).collect(),
        wait_s: waits(&schedule, tasks.len()),
        hours_s: times.attended_s.iter().sum(),
        attended_s: times.attended_s,
        usual_s: run.tasks.iter().map(|t| t.usual_s).collect(),
        fixed_s: run.tasks.iter().map(|t| t.fixed_s).collect(),
        hand_back_s: schedule.hand_back_s,
        elapsed_s: schedule.hand_back_s - setup.start_s,
        bench_done_s: bench_done_s(&schedule, &tasks, setup.start_s),
        cost,
    })
}

/// All draws, and why those are left out in which a part cannot be made at all.
pub(super) fn draws(
    setup: &Setup,
    kept: &Kept,
    adhesives: &BTreeMap<String, String>,
    stock: (&[LayoutPlan], &Held),
    list: &[usize],
    (inputs, drawn): (&Inputs, &Draws),
    watch: &dyn Watch,
) -> Result<(Vec<Row>, Vec<Error>)> {
    each(drawn.len(), watch, |number| {
        let one = (inputs, drawn, number);
        draw(setup, kept, adhesives, stock, list, one)
    })
}

/// What the job costs in each draw, without its calendar; draws in which a part cannot be made are left out.
pub(super) fn costs(
    setup: &Setup,
    kept: &Kept,
    adhesives: &BTreeMap<String, String>,
    layouts: &[LayoutPlan],
    (inputs, drawn): (&Inputs, &Draws),
    watch: &dyn Watch,
) -> Result<Vec<f64>> {
    let terms = setup.terms();
    let costs = each(drawn.len(), watch, |number| {
        let values = Values::Row(inputs, drawn, number);
        let run = through(setup, kept, adhesives, values)?;
        Ok(bill(setup, &run, layouts)?.cost(&terms))
    })?;
    Ok(costs.0)
}

/// What comes of every draw, in their order, and the errors of those that cannot be.
fn each<T: Send>(
    count: usize,
    watch: &dyn Watch,
    one: impl Fn(usize) -> Result<T> + Sync,
) -> Result<(Vec<T>, Vec<Error>)> {
    let mut rows = vec![];
    let mut failed = vec![];
    let mut done = 0;
    while done < count {
        if !watch.go_on(done as f64 / count as f64) {
            return Err(Error::Stopped);
        }
        let end = (done + CHUNK).min(count);
        let chunk: Vec<Result<T>> = (done..end).into_par_iter().map(&one).collect();
        for row in chunk {
            match row {
                Ok(row) => rows.push(row),
                Err(Error::Stopped) => return Err(Error::Stopped),
                Err(why) => failed.push(why),
            }
        }
        done = end;
    }
    Ok((rows, failed))
}

/// One figure over all rows.
pub(super) fn over<'r>(rows: &'r [Row], of: impl Fn(&'r Row) -> Option<f64>) -> Vec<Option<f64>> {
    rows.iter().map(of).collect()
}

/// Share of the rows for which something holds; `None` without rows.
pub(super) fn share(rows: &[Row], holds: impl Fn(&Row) -> bool) -> Option<f64> {
    let count = rows.iter().filter(|r| holds(r)).count();
    (!rows.is_empty()).then(|| count as f64 / rows.len() as f64)
}
