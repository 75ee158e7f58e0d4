//! What tasks wait for besides the work before them: a sheet that has to be brought, and a set-up the day of its work.

use super::buying::deliveries;
use super::chain::{Through, only_wait};
use super::part::Planned;
use super::result::LayoutPlan;
use super::setup::{Setup, same_thickness};
use super::{CUT_SET_UP, HEAT_SET_UP};
use crate::error::{Error, Result};
use crate::promise::{Bench, Schedule, order};
use crate::stock;
use crate::task::Kind;

const DAY_S: f64 = 86_400.0;

/// Found once at the likeliest inputs; every draw waits for the same.
#[derive(Default)]
pub(super) struct Held {
    /// Deliveries: the task of each, and how long it takes. [s]
    deliveries: Vec<(String, f64)>,
    /// A task, and what it waits for.
    waits: Vec<(String, String)>,
}

impl Held {
    /// Cutting waits for the sheets that have to be bought for it; what is cut from the rack does not.
    ///
    /// What one merchant brings is one delivery, so all of it is there at one time.
    fn for_sheets(setup: &Setup, nominal: &Through, layouts: &[LayoutPlan]) -> Result<Self> {
        let mut held = Self::default();
        for brought in deliveries(setup, layouts)? {
            let wait_s = setup
                .calendar
                .opening(setup.start_s, brought.days_to_arrive)?
                - setup.start_s;
            if wait_s > 0.0 {
                held.deliveries.push((task(&brought.merchant), wait_s));
            }
        }
        for plan in layouts {
            for bought in plan.layout.buy.iter().filter(|b| b.days_to_arrive > 0.0) {
                let id = task(&bought.merchant);
                let sheets = plan.layout.sheets_used.iter();
                let lies_on_it: Vec<&str> = sheets
                    .filter(|s| s.kind == stock::Kind::Sheet && s.stock == bought.name)
                    .flat_map(|s| s.placements.iter().map(|p| p.part.as_str()))
                    .collect();
                let waiting = nominal.parts.iter().filter(|run| {
                    run.cuts.iter().any(|c| {
                        c.material == plan.material
                            && same_thickness(c.thickness_m, plan.thickness_m)
                            && lies_on_it.contains(&c.blank.name.as_str())
                    })
                });
                let cuts = waiting.map(|run| (format!("{} / cut", run.name), id.clone()));
                held.waits.extend(cuts);
            }
        }
        Ok(held)
    }

    /// Makes the tasks of a run wait.
    pub(super) fn hold(&self, tasks: &mut Vec<Planned>) {
        for (id, wait_s) in &self.deliveries {
            tasks.push(only_wait(id.clone(), Kind::Cut, *wait_s));
        }
        for (id, before) in &self.waits {
            for planned in tasks.iter_mut().filter(|t| t.task.id == *id) {
                planned.task.after.push(before.clone());
            }
        }
    }
}

/// The task that brings what one merchant sells.
fn task(merchant: &str) -> String {
    let whose = if merchant.is_empty() {
        "sheet"
    } else {
        merchant
    };
    format!("delivery: {whose}")
}

/// The order of the nominal run that is done earliest, with the bench set up on the day of the first work that needs it; and
/// what its tasks wait for, which the run holds from then on.
///
/// A set-up of some minutes early on another day would save these minutes where all waits for a sheet, but would take bench and
/// gun from other jobs until then. It stays early only where the hand-back would move to a later day.
pub(super) fn ordered(
    setup: &Setup,
    nominal: &mut Through,
    layouts: &[LayoutPlan],
) -> Result<(Schedule, Held)> {
    let mut held = Held::for_sheets(setup, nominal, layouts)?;
    held.hold(&mut nominal.tasks);
    let bench = Bench {
        calendar: &setup.calendar,
        climate: &nominal.climate,
        fabricators: setup.shop.shop.fabricators,
    };
    let times = nominal.times();
    let mut best = order(&nominal.task_list(), &times, &bench, setup.start_s)?;
    for id in [CUT_SET_UP, HEAT_SET_UP] {
        let besides = Held {
            deliveries: vec![],
            waits: too_early(id, &nominal.tasks, &best),
        };
        if besides.waits.is_empty() {
            continue;
        }
        let as_before = nominal.tasks.clone();
        besides.hold(&mut nominal.tasks);
        match order(&nominal.task_list(), &times, &bench, setup.start_s) {
            Ok(later) if day(later.hand_back_s) <= day(best.hand_back_s) => {
                best = later;
                held.waits.extend(besides.waits);
            }
            Ok(_) | Err(Error::Impossible { .. }) => nominal.tasks = as_before,
            Err(other) => return Err(other),
        }
    }
    Ok((best, held))
}

fn day(at_s: f64) -> f64 {
    (at_s / DAY_S).floor()
}

/// Where a set-up stands on an earlier day than the first work that needs it: the set-up with all that this work waits for besides.
fn too_early(id: &str, tasks: &[Planned], schedule: &Schedule) -> Vec<(String, String)> {
    let is_it = |task: usize| tasks.get(task).is_some_and(|t| t.task.id == id);
    let needs_it = |task: usize| {
        let planned = tasks.get(task)?;
        let needs = planned.task.after.iter().any(|before| before == id);
        needs.then_some(&planned.task.after)
    };
    let set_up = schedule.entries.iter().find(|e| is_it(e.task));
    // The entries stand by their start.
    let first = (schedule.entries.iter()).find_map(|e| Some((e, needs_it(e.task)?)));
    match (set_up, first) {
        (Some(set_up), Some((work, after))) if day(set_up.hands_off_s) < day(work.start_s) => after
            .iter()
            .filter(|before| *before != id)
            .map(|before| (id.to_string(), before.clone()))
            .collect(),
        _ => vec![],
    }
}
