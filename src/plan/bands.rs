//! The nominal run and the draws put together into one plan.

use rayon::prelude::*;

use super::bill::bill;
use super::chain::{Kept, Through, through};
use super::part::{PartRun, times};
use super::result::{
    Band, BlankShort, CausePlan, Change, EntryPlan, EstimatePlan, FinishStep, History, JobShort,
    JointShort, LayoutPlan, LimitsShort, LinePlan, NoWindow, PartPlan, Plan, PricePlan,
    PromisePlan, Provenance, RecipeShort, Refused, SchedulePlan, ShopShort, TaskPlan,
};
use super::setup::Setup;
use super::values::Values;
use super::{Options, choose, gun, provenance, stock, strokes};
use crate::cost::{Bill, estimate};
use crate::error::{Error, Note, Result, Watch};
use crate::heat::{Binds, ClosedBy, Recipe};
use crate::mount::airbag::refuse;
use crate::mount::{Verdict, worst};
use crate::promise::{Bench, Schedule, order, promise_from, replay};
use crate::quantity::System;
use crate::spread::{Draws, Inputs, ranked_causes};

/// Rows between two looks at whether to go on.
const CHUNK: usize = 32;

/// The numbers of one draw that end up in a range.
struct Row {
    parts: Vec<PartRow>,
    attended_s: Vec<f64>,
    wait_s: Vec<f64>,
    hours_s: f64,
    hand_back_s: f64,
    elapsed_s: f64,
    cost: f64,
}

/// The numbers of one part in one draw.
struct PartRow {
    developed_m: Option<f64>,
    adds_face_m: f64,
    recipe: Option<[Option<f64>; 7]>,
    joint: Option<[Option<f64>; 3]>,
    worst: Verdict,
}

fn recipe_row(r: &Recipe) -> [Option<f64>; 7] {
    [
        r.opens_s,
        r.closes_s,
        r.stop_s,
        r.working_time_s,
        r.hold_s,
        r.touch_s,
        r.behind.map(|b| b.face_k),
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
        worst: worst(&part.checks),
    }
}

/// Length of what runs on alone after each task. [s]
fn waits(schedule: &Schedule, count: usize) -> Vec<f64> {
    let mut waits = vec![0.0; count];
    for entry in &schedule.entries {
        if let Some(wait) = waits.get_mut(entry.task) {
            *wait = entry.done_s - entry.hands_off_s;
        }
    }
    waits
}

/// One draw through the chain, the fixed order and the bill.
fn draw(
    setup: &Setup,
    kept: &Kept,
    layouts: &[LayoutPlan],
    list: &[usize],
    values: Values,
) -> Result<Row> {
    let mut run = through(setup, kept, values)?;
    run.wait_for_sheets(layouts);
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
        parts: run.parts.iter().map(part_row).collect(),
        wait_s: waits(&schedule, tasks.len()),
        hours_s: times.attended_s.iter().sum(),
        attended_s: times.attended_s,
        hand_back_s: schedule.hand_back_s,
        elapsed_s: schedule.hand_back_s - setup.start_s,
        cost,
    })
}

/// All draws; a draw in which a part cannot be made at all is left out and counted.
fn draws(
    setup: &Setup,
    kept: &Kept,
    layouts: &[LayoutPlan],
    list: &[usize],
    (inputs, drawn): (&Inputs, &Draws),
    watch: &dyn Watch,
) -> Result<(Vec<Row>, Vec<usize>, usize)> {
    let mut rows = vec![];
    let mut kept_rows = vec![];
    let mut failed = 0;
    let mut done = 0;
    while done < drawn.len() {
        if !watch.go_on(done as f64 / drawn.len() as f64) {
            return Err(Error::Stopped);
        }
        let end = (done + CHUNK).min(drawn.len());
        let chunk: Vec<Result<Row>> = (done..end)
            .into_par_iter()
            .map(|row| draw(setup, kept, layouts, list, Values::Row(inputs, drawn, row)))
            .collect();
        for (at, row) in (done..end).zip(chunk) {
            match row {
                Ok(row) => {
                    rows.push(row);
                    kept_rows.push(at);
                }
                Err(Error::Stopped) => return Err(Error::Stopped),
                Err(_) => failed += 1,
            }
        }
        done = end;
    }
    Ok((rows, kept_rows, failed))
}

/// Puts the plan together.
pub(super) fn assemble(setup: &Setup, options: Options, watch: &dyn Watch) -> Result<Plan> {
    let kept = Kept::of(setup);
    let mut plan = empty(setup, options);
    plan.refused = refusals(setup);
    if kept.is_empty() {
        plan.notes.push(Note::new(
            "plan",
            "nothing is planned: every place of the job is refused",
        ));
        return Ok(plan);
    }
    let mut inputs = Inputs::default();
    let mut nominal = through(setup, &kept, Values::Nominal(&mut inputs))?;
    let cuts: Vec<_> = nominal.parts.iter().flat_map(|p| &p.cuts).collect();
    let (layouts, mut drawings) = stock::layouts(setup, &cuts, options.seed, watch)?;
    placed(setup, &layouts)?;
    nominal.wait_for_sheets(&layouts);
    let tasks = nominal.task_list();
    let bench = Bench {
        calendar: &setup.calendar,
        climate: &nominal.climate,
        fabricators: setup.shop.shop.fabricators,
    };
    let schedule = order(&tasks, &nominal.times(), &bench, setup.start_s)?;
    let nominal_bill = bill(setup, &nominal, &layouts)?;

    let (rows, kept_rows, failed) = if options.draws > 0 {
        let drawn = inputs.draw(options.draws, options.seed)?;
        let all = draws(
            setup,
            &kept,
            &layouts,
            &schedule.order,
            (&inputs, &drawn),
            watch,
        )?;
        plan.causes = causes(&inputs, &drawn, &all.0, &all.1)?;
        all
    } else {
        (vec![], vec![], 0)
    };
    if failed > 0 {
        let text = format!(
            "{failed} of {} draws could not be made as measured and are left out of the ranges: measure again what has the widest ±",
            options.draws
        );
        plan.notes.push(Note::new("draws", text));
    }
    let _ = kept_rows;
    if options.draws > 0 && rows.len() * 2 < options.draws {
        return Err(Error::Impossible {
            what: "a range for this plan".into(),
            why: format!("{failed} of {} draws could not be made", options.draws),
            remedy: "measure again what has the widest ±, or plan with no draws".into(),
        });
    }

    plan.parts = parts(setup, &kept, &nominal, &rows)?;
    plan.changes = changes(setup, &nominal);
    plan.suggestions = choose::suggestions(setup, &kept, &nominal);
    plan.tasks = task_plans(&nominal, &schedule, &rows)?;
    plan.schedule = Some(schedule_plan(setup, &nominal, &schedule, &rows)?);
    plan.promise = Some(promise_plan(setup, &schedule, &rows)?);
    price(setup, &mut plan, &nominal_bill, &rows)?;
    plan.provenance = provenance::report(setup, &kept, &nominal)?;
    plan.cautions = cautions(&nominal, &kept, setup)?;
    for part in &nominal.parts {
        plan.notes.extend(part.notes.iter().cloned());
    }
    plan.notes.sort();
    plan.notes.dedup();
    drawings.extend(super::drawings::blanks(setup, &nominal)?);
    plan.drawings = drawings;
    plan.layouts = layouts;
    Ok(plan)
}

fn empty(setup: &Setup, options: Options) -> Plan {
    let (job, shop) = (&setup.job.job, &setup.shop.shop);
    Plan {
        schema: crate::file::SCHEMA,
        program: format!("mountwright {}", env!("CARGO_PKG_VERSION")),
        draws: options.draws,
        seed: options.seed,
        job: JobShort {
            name: job.name.clone(),
            vehicle: job.vehicle.clone(),
            invented: job.invented,
            remarks: job.remarks.clone(),
            start: job.start.clone(),
            sun: plain(&job.sun),
            units: job.units.unwrap_or_default(),
        },
        shop: ShopShort {
            name: shop.name.clone(),
            invented: shop.invented,
            currency: shop.currency.clone(),
        },
        refused: vec![],
        parts: vec![],
        layouts: vec![],
        tasks: vec![],
        schedule: None,
        promise: None,
        estimate: None,
        price: None,
        causes: vec![],
        changes: vec![],
        suggestions: vec![],
        provenance: Provenance::default(),
        cautions: vec![],
        notes: vec![],
        drawings: vec![],
    }
}

/// A word of an enumeration as its file writes it.
fn plain(word: &impl serde::Serialize) -> String {
    match serde_json::to_value(word) {
        Ok(serde_json::Value::String(text)) => text,
        _ => String::new(),
    }
}

fn refusals(setup: &Setup) -> Vec<Refused> {
    let job = &setup.job.job;
    let refusal = |p: &crate::job::Place| refuse(p.zone, p.airbag, p.driver_view);
    let mut all = vec![];
    for place in &job.places {
        let Some(no) = refusal(place) else { continue };
        let straps = job
            .straps
            .iter()
            .filter(|s| s.place == place.name)
            .map(|s| s.name.clone());
        let rings = job
            .rings
            .iter()
            .filter(|r| r.places.contains(&place.name))
            .map(|r| r.name.clone());
        let panels = job
            .panels
            .iter()
            .filter(|p| p.place == place.name)
            .map(|p| p.name.clone());
        let others = job.places.iter().filter(|p| refusal(p).is_none());
        let free = others.map(|p| format!("{} (named in this job, both answers no)", p.name));
        all.push(Refused {
            place: place.name.clone(),
            parts: straps.chain(rings).chain(panels).collect(),
            why: no.why,
            find_out: no.find_out,
            consider_instead: free.chain(no.consider_instead).collect(),
        });
    }
    all
}

/// Every blank must lie somewhere.
fn placed(setup: &Setup, layouts: &[LayoutPlan]) -> Result<()> {
    let mut problems = vec![];
    for plan in layouts {
        for missing in &plan.layout.unplaced {
            let names = setup.job.job.part_names();
            let at = names
                .iter()
                .find(|(_, name)| missing.part.starts_with(*name))
                .map_or("", |(at, _)| at);
            let message = format!("\"{}\" finds no sheet: {}", missing.part, missing.reason);
            problems.push(setup.job.source.problem(at, message));
        }
    }
    if problems.is_empty() {
        Ok(())
    } else {
        Err(setup.job.source.fault(problems))
    }
}

fn over<'r>(rows: &'r [Row], of: impl Fn(&'r Row) -> Option<f64>) -> Vec<Option<f64>> {
    rows.iter().map(of).collect()
}

fn parts(setup: &Setup, kept: &Kept, nominal: &Through, rows: &[Row]) -> Result<Vec<PartPlan>> {
    let mut plans = vec![];
    for (i, run) in nominal.parts.iter().enumerate() {
        let facts = super::facts::facts(kept, i);
        let part = |row: &'_ Row| row.parts.get(i).map(|p| (p.developed_m, p.adds_face_m));
        let developed = match run.developed_m {
            Some(nominal) => Some(Band::new(
                Some(nominal),
                &over(rows, |r| part(r).and_then(|p| p.0)),
            )?),
            None => None,
        };
        let recipe = match (&run.recipe, kept.straps.get(i)) {
            (Some(recipe), Some((_, job))) => Some(recipe_short(setup, job, run, recipe, i, rows)?),
            _ => None,
        };
        let joint = run
            .glued
            .as_ref()
            .map(|g| joint_short(g, i, rows))
            .transpose()?;
        let steps = nominal.tasks.iter().enumerate().filter(|(_, t)| {
            t.task.part.as_deref() == Some(&run.name) && t.task.kind == crate::task::Kind::Finish
        });
        let mut finish_steps = vec![];
        for (at, planned) in steps {
            let name = planned
                .task
                .id
                .rsplit(" / ")
                .next()
                .unwrap_or_default()
                .to_string();
            let attended = over(rows, |r| r.attended_s.get(at).copied());
            finish_steps.push(FinishStep {
                name,
                attended_s: Band::new(Some(planned.attended_s), &attended)?,
                wait_s: None,
            });
        }
        let first = run.cuts.first();
        let sizes = first.map_or((0.0, 0.0), |c| c.blank.outline.size_m());
        plans.push(PartPlan {
            name: run.name.clone(),
            kind: facts.kind.into(),
            places: facts.places,
            hand: plain(&facts.hand),
            quantity: facts.quantity,
            material_title: setup.materials.get(&facts.material)?.about.clone(),
            material: facts.material,
            thickness_m: run.cuts.iter().map(|c| c.blank.thickness_m).sum(),
            finish: run.finish.name.clone(),
            measured: facts.measured,
            blank: BlankShort {
                length_m: sizes.0.max(sizes.1),
                width_m: sizes.0.min(sizes.1),
                area_m2: first.map_or(0.0, |c| c.blank.area_m2()),
                edge_length_m: first.map_or(0.0, |c| c.blank.outline.edge_length_m()),
                cut_length_m: first.map_or(0.0, |c| c.blank.cut_length_m),
                developed_m: developed,
                layer_thicknesses_m: run.cuts.iter().map(|c| c.blank.thickness_m).collect(),
                notes: run
                    .cuts
                    .iter()
                    .flat_map(|c| c.blank.notes.clone())
                    .collect(),
            },
            recipe,
            joint,
            finish_steps,
            finish_adds_m: Band::new(Some(run.adds_face_m), &over(rows, |r| part(r).map(|p| p.1)))?,
            finish_cautions: run.finish.cautions.clone(),
            checks: run.checks.clone(),
            fails_in: share(rows, |r| {
                r.parts.get(i).is_some_and(|p| p.worst == Verdict::Fail)
            }),
        });
    }
    Ok(plans)
}

/// Share of the rows for which something holds; `None` without rows.
fn share(rows: &[Row], holds: impl Fn(&Row) -> bool) -> Option<f64> {
    let count = rows.iter().filter(|r| holds(r)).count();
    (!rows.is_empty()).then(|| count as f64 / rows.len() as f64)
}

fn recipe_short(
    setup: &Setup,
    job: &crate::job::Strap,
    run: &PartRun,
    recipe: &Recipe,
    at: usize,
    rows: &[Row],
) -> Result<RecipeShort> {
    let of = |k: usize| {
        let nominal = recipe_row(recipe).get(k).copied().flatten();
        let drawn = over(rows, |r| {
            let recipe = r.parts.get(at)?.recipe?;
            recipe.get(k).copied().flatten()
        });
        Band::new(nominal, &drawn)
    };
    let units = setup.job.job.units.unwrap_or(System::Metric);
    let gun = gun::words(&setup.shop.shop.gun);
    let body_limit_k = job.body_limit.map(super::super::file::Temperature::si);
    let Some(limits) = &run.limits else {
        return Err(Error::Impossible {
            what: "a recipe".into(),
            why: "the part has no forming temperatures".into(),
            remedy: "choose a sheet that is formed".into(),
        });
    };
    let history = recipe
        .history
        .as_ref()
        .map_or_else(History::default, |h| History {
            t_s: h.t_s.clone(),
            front_k: h.front_k.clone(),
            back_k: h.back_k.clone(),
            mean_k: h.mean_k.clone(),
            coldest_k: h.coldest_k.clone(),
        });
    let lies = match job.behind {
        crate::job::Behind::OpenAir => "open air",
        crate::job::Behind::Board => "a board",
        crate::job::Behind::SameHeat => "the same heat on both faces",
    };
    let behind = match job.turn_every {
        Some(every) => format!("{lies}, turned over every {:.0} s", every.si()),
        None => lies.to_string(),
    };
    Ok(RecipeShort {
        opens_s: of(0)?,
        closes_s: of(1)?,
        stop_s: of(2)?,
        working_time_s: of(3)?,
        hold_s: of(4)?,
        touch_s: of(5)?,
        closed_by: match recipe.closed_by {
            Some(ClosedBy::Upper) => "the hottest face reaches its limit".into(),
            Some(ClosedBy::Dose) => "time and temperature together discolour it".into(),
            None => "it stays open".into(),
        },
        has_window: recipe.opens_s.is_some(),
        window_share: share(rows, |r| {
            r.parts
                .get(at)
                .and_then(|p| p.recipe)
                .is_some_and(|r| r[0].is_some())
        }),
        no_window: recipe.why_no_window.as_ref().map(|n| NoWindow {
            why: n.why.clone(),
            remedies: n.remedies.clone(),
        }),
        reheats_left: recipe.reheats.map_or(0, |r| r.left),
        reheats_bound_by: match recipe.reheats.map(|r| r.binds) {
            Some(Binds::Dose) => "time and temperature".into(),
            Some(Binds::Thinning) => "loss of thickness".into(),
            Some(Binds::Shrinkage) => "shrinkage".into(),
            None => String::new(),
        },
        peak_face_k: Some(recipe.peak_face_k),
        core_k_at_stop: recipe.core_k,
        dose: recipe.dose,
        need: match job.need {
            Some(crate::job::Need::Formable) => "formable".into(),
            _ => "limp".into(),
        },
        behind,
        strokes: strokes::strokes(job, recipe, &gun, body_limit_k, units),
        gun,
        distance_m: job.gun_distance.si(),
        limits: LimitsShort {
            limp_k: limits.limp_k,
            formable_k: limits.formable_k,
            upper_k: limits.upper_k,
            set_k: limits.set_k,
            fume_onset_k: limits.fume_onset_k,
        },
        history,
        body_peak_k: if recipe.behind.map(|b| b.face_k).is_some() {
            Some(of(6)?)
        } else {
            None
        },
        body_limit_k,
        notes: recipe.notes.clone(),
    })
}

fn joint_short(g: &super::part::Glued, at: usize, rows: &[Row]) -> Result<JointShort> {
    let of = |k: usize, nominal: Option<f64>| {
        let drawn = over(rows, |r| r.parts.get(at)?.joint?.get(k).copied().flatten());
        Band::new(nominal, &drawn)
    };
    let j = &g.joint;
    Ok(JointShort {
        name: format!("{} to {}", g.substrates[0], g.substrates[1]),
        adhesive: j.adhesive.clone(),
        title: j.name.clone(),
        why: j.why.join("; "),
        substrates: g.substrates.clone(),
        area_m2: g.area_m2,
        amount_m3: j.amount.volume_m3,
        open_s: of(0, Some(j.open_s))?,
        handling_s: of(1, j.handling_s)?,
        full_s: of(2, j.full_s)?,
        preparation: j.preparation.join("; "),
        cautions: j.cautions.clone(),
        notes: j.notes.clone(),
    })
}

fn changes(setup: &Setup, nominal: &Through) -> Vec<Change> {
    let mut changes = vec![];
    for run in &nominal.parts {
        for cut in run.cuts.iter().filter(|c| c.spares > 0) {
            changes.push(Change {
                what: format!("{}: {} more blank is cut", run.name, cut.spares),
                why: "so many come out wrong that the blanks asked for would not be enough".into(),
            });
        }
        if let Some(glued) = &run.glued
            && !setup
                .shop
                .shop
                .adhesives
                .iter()
                .any(|a| a.family == glued.joint.adhesive)
        {
            changes.push(Change {
                what: format!("{}: {} has to be bought; it costs nothing in this estimate yet", run.name, glued.joint.name),
                why: "no adhesive on the shop's shelf suits this joint: add it with its price to the shop's file".into(),
            });
        }
        if run.finish.adds_edge_m.value > 0.0 {
            changes.push(Change {
                what: format!(
                    "{}: every edge is cut back by {:.1} mm, cutouts are opened by as much",
                    run.name,
                    run.finish.adds_edge_m.value * 1e3
                ),
                why: format!("{} adds that much at the edges", run.finish.name),
            });
        }
    }
    changes
}

fn task_plans(nominal: &Through, schedule: &Schedule, rows: &[Row]) -> Result<Vec<TaskPlan>> {
    let waits = waits(schedule, nominal.tasks.len());
    let mut plans = vec![];
    for (at, planned) in nominal.tasks.iter().enumerate() {
        let wait = waits.get(at).copied().unwrap_or(0.0);
        let drawn = over(rows, |r| r.wait_s.get(at).copied());
        let waits_at_all = wait > 0.0 || drawn.iter().flatten().any(|w| *w > 0.0);
        let attended = over(rows, |r| r.attended_s.get(at).copied());
        plans.push(TaskPlan {
            id: planned.task.id.clone(),
            part: planned.task.part.clone(),
            kind: planned.task.kind,
            attended_s: Band::new(Some(planned.attended_s), &attended)?,
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

fn civil(setup: &Setup, at_s: f64) -> Result<String> {
    Ok(setup
        .calendar
        .date_time(at_s)?
        .strftime("%Y-%m-%d %H:%M")
        .to_string())
}

fn schedule_plan(
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
    })
}

fn promise_plan(setup: &Setup, schedule: &Schedule, rows: &[Row]) -> Result<PromisePlan> {
    if rows.is_empty() {
        let slot = civil(setup, setup.calendar.slot_from(schedule.hand_back_s)?)?;
        let words = format!("ready by {slot} if every task takes its likeliest time");
        return Ok(PromisePlan {
            p50: slot,
            p80: None,
            p90: None,
            words,
        });
    }
    let backs: Vec<f64> = rows.iter().map(|r| r.hand_back_s).collect();
    let promise = promise_from(&backs, &setup.calendar)?;
    let write = |at: jiff::civil::DateTime| at.strftime("%Y-%m-%d %H:%M").to_string();
    let p80 = write(promise.p80);
    Ok(PromisePlan {
        p50: write(promise.p50),
        words: format!("promise {p80}: eight jobs in ten like this one are ready by then"),
        p80: Some(p80),
        p90: Some(write(promise.p90)),
    })
}

fn price(setup: &Setup, plan: &mut Plan, nominal: &Bill, rows: &[Row]) -> Result<()> {
    let terms = setup.terms();
    let costs: Vec<f64> = rows.iter().map(|r| r.cost).collect();
    let quoted = estimate(nominal, &terms, (!costs.is_empty()).then_some(&costs))?;
    let drawn: Vec<Option<f64>> = costs.iter().map(|c| Some(*c)).collect();
    let mut lines: Vec<LinePlan> = nominal
        .lines
        .iter()
        .map(|l| LinePlan {
            name: l.name.clone(),
            group: plain(&l.group),
            amount: l.amount,
            unit: l.unit.clone(),
            rate: l.rate,
            cost: l.cost,
        })
        .collect();
    let extra = |name: &str, group: &str, amount: f64, unit: &str, rate: f64, cost: f64| LinePlan {
        name: name.into(),
        group: group.into(),
        amount,
        unit: unit.into(),
        rate,
        cost,
    };
    let hours = quoted.hours_attended;
    let per_hour = setup.shop.shop.rates.overhead_per_hour;
    lines.push(extra(
        "overhead",
        "overhead",
        hours,
        "h",
        per_hour,
        quoted.overhead,
    ));
    lines.push(extra(
        "expected rework",
        "rework",
        1.0,
        "job",
        quoted.rework,
        quoted.rework,
    ));
    plan.estimate = Some(EstimatePlan {
        lines,
        cost: Band::new(Some(quoted.full_cost), &drawn)?,
        hours: Band::new(Some(hours), &over(rows, |r| Some(r.hours_s / 3600.0)))?,
        allowance: quoted.allowance,
    });
    let number = |m: crate::money::Money| {
        m.to_string()
            .trim_end_matches(|c: char| !c.is_ascii_digit())
            .to_string()
    };
    plan.price = Some(PricePlan {
        currency: setup.currency.code().to_string(),
        net: number(quoted.price_net),
        tax: number(quoted.tax),
        gross: number(quoted.price_gross),
        minor_digits: setup.currency.digits(),
        margin_fraction: quoted.margin_left,
        chance_of_loss: quoted.chance_of_loss,
        words: words_of_price(setup, rows.is_empty()),
    });
    Ok(())
}

fn words_of_price(setup: &Setup, nominal: bool) -> String {
    let rates = &setup.shop.shop.rates;
    let earning = match (rates.margin, rates.markup) {
        (Some(m), _) => format!("margin {:.0} % of the price", m.si() * 100.0),
        (None, Some(m)) => format!("markup {:.0} % on the cost", m.si() * 100.0),
        (None, None) => "no earning".into(),
    };
    let basis = if nominal {
        "the likeliest cost"
    } else {
        "the mean cost of all draws"
    };
    format!(
        "{basis}, {earning}, tax {:.1} % on the net price; rounded half up, once",
        rates.tax.si() * 100.0
    )
}

/// What the spread comes from: squared rank correlations, as shares.
fn causes(inputs: &Inputs, drawn: &Draws, rows: &[Row], kept: &[usize]) -> Result<Vec<CausePlan>> {
    if rows.len() < 16 || kept.len() < drawn.len() {
        return Ok(vec![]);
    }
    let costs: Vec<f64> = rows.iter().map(|r| r.cost).collect();
    let backs: Vec<f64> = rows.iter().map(|r| r.elapsed_s).collect();
    let shares = |result: &[f64]| -> Result<Vec<(String, f64)>> {
        let ranked = ranked_causes(inputs, drawn, result)?;
        // A correlation that chance alone would give in so many draws is none.
        let chance = 9.0 / rows.len() as f64;
        let squares: Vec<(String, f64)> = ranked
            .into_iter()
            .map(|c| (c.name, c.rank_correlation.powi(2)))
            .filter(|c| c.1 > chance)
            .collect();
        let sum: f64 = squares.iter().map(|c| c.1).sum();
        Ok(squares
            .into_iter()
            .map(|(name, s)| (name, s / sum.max(1.0)))
            .collect())
    };
    let mut all: Vec<CausePlan> = shares(&costs)?
        .into_iter()
        .map(|(input, share)| CausePlan {
            input,
            share_of_cost_spread: share,
            share_of_time_spread: 0.0,
        })
        .collect();
    for (name, share) in shares(&backs)? {
        match all.iter_mut().find(|c| c.input == name) {
            Some(cause) => cause.share_of_time_spread = share,
            None => all.push(CausePlan {
                input: name,
                share_of_cost_spread: 0.0,
                share_of_time_spread: share,
            }),
        }
    }
    let weight = |c: &CausePlan| c.share_of_cost_spread.max(c.share_of_time_spread);
    all.sort_by(|a, b| weight(b).total_cmp(&weight(a)).then(a.input.cmp(&b.input)));
    all.truncate(12);
    Ok(all)
}

fn cautions(nominal: &Through, kept: &Kept, setup: &Setup) -> Result<Vec<String>> {
    let mut all: Vec<String> = vec![];
    if !kept.straps.is_empty() {
        all.push("Hot air: the nozzle lights vapour and burns skin; gloves, glasses, extraction; stand the gun nose-up to cool; never heat a part on the vehicle near trim foam, wiring or an air bag.".into());
    }
    all.push("Router and saw: eye and ear protection, dust mask P2, work clamped, feed against the rotation; small parts may lift: hold them down.".into());
    let mut materials: Vec<&str> = nominal
        .parts
        .iter()
        .flat_map(|p| &p.cuts)
        .map(|c| c.material.as_str())
        .collect();
    materials.dedup();
    for name in materials {
        if let Some(h) = &setup.materials.get(name)?.hazards {
            let fumes = if h.fumes.is_empty() {
                String::new()
            } else {
                format!(" gives off {} when overheated;", h.fumes.join(", "))
            };
            all.push(format!("{name}:{fumes} {}.", h.cautions.join("; ")));
        }
    }
    for part in &nominal.parts {
        if let Some(glued) = &part.glued {
            all.push(format!(
                "{}: {}.",
                glued.joint.name,
                glued.joint.cautions.join("; ")
            ));
        }
        all.extend(
            part.finish
                .cautions
                .iter()
                .map(|c| format!("{}: {c}.", part.finish.name)),
        );
    }
    all.push("Air bags and the driver's view: this plan approves no mount. The vehicle maker's instructions, local codes, the data sheets and licensed practice come first.".into());
    let mut seen: Vec<String> = vec![];
    for caution in all {
        if !seen.contains(&caution) {
            seen.push(caution);
        }
    }
    Ok(seen)
}
