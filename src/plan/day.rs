//! The tasks on the calendar, and what can be promised.

use super::chain::Through;
use super::draws::{Row, over, share, waits};
use super::result::{Band, EntryPlan, PromisePlan, SchedulePlan, TaskPlan, VisitPlan};
use super::setup::Setup;
use crate::error::Result;
use crate::promise::{Entry, Schedule, promise_from};
use crate::task::Kind;

pub(super) fn task_plans(
    nominal: &Through,
    schedule: &Schedule,
    rows: &[Row],
) -> Result<Vec<TaskPlan>> {
    let waits = waits(schedule, nominal.tasks.len());
    let mut plans = vec![];
    for (at, planned) in nominal.tasks.iter().enumerate() {
        let wait = waits.get(at).copied().unwrap_or(0.0);
        let drawn = over(rows, |r| r.wait_s.get(at).copied());
        let waits_at_all = wait > 0.0 || drawn.iter().flatten().any(|w| *w > 0.0);
        let attended = over(rows, |r| r.attended_s.get(at).copied());
        let mean = |once_s: f64, of: &dyn Fn(&Row) -> &[f64]| {
            let drawn = rows.iter().filter_map(|r| of(r).get(at));
            match rows.len() {
                0 => once_s * (1.0 + planned.again),
                count => drawn.sum::<f64>() / count as f64,
            }
        };
        plans.push(TaskPlan {
            id: planned.task.id.clone(),
            part: planned.task.part.clone(),
            kind: planned.task.kind,
            attended_s: Band::new(Some(planned.attended_s), &attended)?,
            mean_s: mean(planned.attended_s, &|r| &r.attended_s),
            usual_s: mean(planned.usual_s, &|r| &r.usual_s),
            fixed_s: mean(planned.fixed_s, &|r| &r.fixed_s),
            wait_s: if waits_at_all {
                Some(Band::new(Some(wait), &drawn)?)
            } else {
                None
            },
            after: planned.task.after.clone(),
        });
    }
    Ok(plans)
}

pub(super) fn civil(setup: &Setup, at_s: f64) -> Result<String> {
    Ok(setup
        .calendar
        .date_time(at_s)?
        .strftime("%Y-%m-%d %H:%M")
        .to_string())
}

pub(super) fn schedule_plan(
    setup: &Setup,
    nominal: &Through,
    schedule: &Schedule,
    rows: &[Row],
) -> Result<SchedulePlan> {
    let mut entries = vec![];
    for entry in &schedule.entries {
        let Some(planned) = nominal.tasks.get(entry.task) else {
            continue;
        };
        entries.push(EntryPlan {
            task: planned.task.id.clone(),
            part: planned.task.part.clone(),
            kind: planned.task.kind,
            start: civil(setup, entry.start_s)?,
            hands_off: civil(setup, entry.hands_off_s)?,
            done: civil(setup, entry.done_s)?,
            start_s: entry.start_s,
            hands_off_s: entry.hands_off_s,
            done_s: entry.done_s,
            pieces_s: entry.pieces.clone(),
            hands: (!entry.pieces.is_empty()).then_some(entry.hands),
        });
    }
    entries.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    Ok(SchedulePlan {
        entries,
        attended_s: Band::new(Some(schedule.attended_s), &over(rows, |r| Some(r.hours_s)))?,
        elapsed_s: Band::new(
            Some(schedule.hand_back_s - setup.start_s),
            &over(rows, |r| Some(r.elapsed_s)),
        )?,
        ready: civil(setup, schedule.hand_back_s)?,
        bound_s: schedule.bound_s - setup.start_s,
        proved: schedule.proved,
        fabricators: setup.shop.shop.fabricators,
        open_s: setup.calendar.spans(setup.start_s, schedule.hand_back_s),
    })
}

/// When the vehicle is in the shop.
fn visits(setup: &Setup, nominal: &Through, schedule: &Schedule) -> Result<Vec<VisitPlan>> {
    let away = setup.back_s.is_some();
    let visit = |what: &str, first: &dyn Fn(Kind) -> bool, last: &dyn Fn(Kind) -> bool| {
        let of = |holds: &dyn Fn(Kind) -> bool| -> Vec<&Entry> {
            let hands_on = schedule.entries.iter().filter(|e| !e.pieces.is_empty());
            hands_on
                .filter(|e| {
                    nominal
                        .tasks
                        .get(e.task)
                        .is_some_and(|t| holds(t.task.kind))
                })
                .collect()
        };
        let from_s = of(first)
            .iter()
            .map(|e| e.start_s)
            .fold(f64::INFINITY, f64::min);
        let to_s = of(last).iter().map(|e| e.hands_off_s).fold(0.0, f64::max);
        if from_s > to_s {
            return Ok(None);
        }
        Ok(Some(VisitPlan {
            what: what.into(),
            from: civil(setup, from_s)?,
            to: civil(setup, setup.calendar.slot_from(to_s)?)?,
        }))
    };
    let measuring = |kind| kind == Kind::Measure;
    let fitting = |kind| matches!(kind, Kind::Fit | Kind::HandBack);
    let any = |kind| measuring(kind) || fitting(kind) || kind == Kind::TrialFit;
    let all = if away {
        vec![
            visit("measuring", &measuring, &measuring)?,
            visit("fitting", &fitting, &fitting)?,
        ]
    } else {
        vec![visit("measuring to hand-back", &any, &fitting)?]
    };
    Ok(all.into_iter().flatten().collect())
}

pub(super) fn promise_plan(
    setup: &Setup,
    nominal: &Through,
    schedule: &Schedule,
    rows: &[Row],
) -> Result<PromisePlan> {
    let visits = visits(setup, nominal, schedule)?;
    let ready_to_fit_share = setup
        .back_s
        .and_then(|back_s| share(rows, |row| row.bench_done_s <= back_s));
    if rows.is_empty() {
        let slot = civil(setup, setup.calendar.slot_from(schedule.hand_back_s)?)?;
        let words = format!(
            "ready by {slot} if every task takes its likeliest time: no spread was computed, so this is no promise"
        );
        return Ok(PromisePlan {
            p50: slot,
            p80: None,
            p90: None,
            words,
            visits,
            ready_to_fit_share,
        });
    }
    let backs: Vec<f64> = rows.iter().map(|r| r.hand_back_s).collect();
    let promise = promise_from(&backs, &setup.calendar)?;
    let write = |at: jiff::civil::DateTime| at.strftime("%Y-%m-%d %H:%M").to_string();
    let p90 = write(promise.p90);
    // The vehicle stays as long as is promised, not as long as the likeliest run takes.
    let mut visits = visits;
    if let Some(last) = visits.last_mut() {
        last.to = last.to.clone().max(p90.clone());
    }
    Ok(PromisePlan {
        p50: write(promise.p50),
        words: format!("promise {p90}: nine jobs in ten like this one are ready by then"),
        p80: Some(write(promise.p80)),
        p90: Some(p90),
        visits,
        ready_to_fit_share,
    })
}
