//! The nominal run and the draws put together into one plan.

use std::collections::BTreeMap;

use super::bill::bill;
use super::buying::deliveries;
use super::cautions::cautions;
use super::chain::{Kept, Through, through};
use super::day::{promise_plan, schedule_plan, task_plans};
use super::draws::draws;
use super::parts::parts;
use super::price::{causes, price};
use super::result::{Change, JobShort, LayoutPlan, Plan, Refused, ShopShort};
use super::setup::{Setup, plain};
use super::values::Values;
use super::{Options, choose, drawings, held, provenance, quote, same_thickness, stock, taken};
use crate::error::{Error, Note, Result, Watch};
use crate::job::JobFile;
use crate::mount::airbag::refuse;
use crate::provenance::Provenance;
use crate::shop::Shop;
use crate::spread::Inputs;

/// Puts the plan together.
pub(super) fn assemble(setup: &Setup, options: Options, watch: &dyn Watch) -> Result<Plan> {
    let kept = Kept::of(setup)?;
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
    let mut nominal = through(setup, &kept, &BTreeMap::new(), Values::Nominal(&mut inputs))?;
    let cuts: Vec<_> = nominal.parts.iter().flat_map(|p| &p.cuts).collect();
    let (layouts, mut drawn_all) = stock::layouts(setup, &cuts, options.seed, watch)?;
    placed(setup, &layouts)?;
    let (schedule, held) = held::ordered(setup, &mut nominal, &layouts)?;
    let nominal_bill = bill(setup, &nominal, &layouts)?;

    let (rows, failed) = if options.draws > 0 {
        let drawn = inputs.draw_watched(options.draws, options.seed, watch)?;
        let all = draws(
            setup,
            &kept,
            &nominal.adhesives,
            (&layouts, &held),
            &schedule.order,
            (&inputs, &drawn),
            watch,
        )?;
        plan.causes = causes(&inputs, &drawn, &all.0)?;
        all
    } else {
        (vec![], vec![])
    };
    if let Some(first) = failed.first() {
        let why = format!(
            "{} of {} draws could not be made (the first: {first})",
            failed.len(),
            options.draws
        );
        if rows.len() * 2 < options.draws {
            return Err(Error::Impossible {
                what: "a range for this plan".into(),
                why,
                remedy: "measure again what has the widest ±, or plan with no draws".into(),
            });
        }
        let text =
            format!("{why} and are left out of the ranges: measure again what has the widest ±");
        plan.notes.push(Note::new("draws", text));
    }

    plan.tasks = task_plans(&nominal, &schedule, &rows)?;
    plan.parts = parts(setup, &kept, &nominal, &rows, &plan.tasks)?;
    plan.taken = taken::taken(setup, &kept);
    plan.changes = changes(setup, &nominal);
    (plan.suggestions, plan.choices) = choose::choose(setup, &kept, &nominal)?;
    plan.schedule = Some(schedule_plan(setup, &nominal, &schedule, &rows)?);
    plan.promise = Some(promise_plan(setup, &nominal, &schedule, &rows)?);
    let quoted = price(setup, &kept, &mut plan, &nominal_bill, &rows)?;
    let words = quote::quote(setup, &kept, &plan, &quoted, options, watch)?;
    plan.quote = Some(words);
    plan.deliveries = deliveries(setup, &layouts)?;
    plan.layouts = layouts;
    warn(setup, &mut plan);
    plan.provenance = provenance::report(setup, &kept, &nominal)?;
    plan.cautions = cautions(&nominal, &kept, setup)?;
    for part in &nominal.parts {
        plan.notes.extend(part.notes.iter().cloned());
    }
    plan.notes.sort();
    plan.notes.dedup();
    drawn_all.extend(drawings::blanks(setup, &nominal)?);
    plan.drawings = drawn_all;
    Ok(plan)
}

/// What the shop's memory changed in this plan; `None` where it changed nothing.
fn remembered(setup: &Setup) -> Option<Note> {
    let known = setup.shop.known.as_ref()?;
    let moved = provenance::taught(setup)
        .into_iter()
        .map(|(name, s)| format!("{name} {:.2} ({:.2} to {:.2})", s.value, s.low, s.high));
    let mut told: Vec<String> = moved.collect();
    let trials = known.coupons.len();
    if trials > 0 {
        let word = if trials == 1 { "trial" } else { "trials" };
        told.push(format!("the gun by {trials} {word}"));
    }
    let text = format!("moved by what was done before: {}", told.join("; "));
    (!told.is_empty()).then(|| Note::new("the shop's memory", text))
}

/// Offcuts that the shop's memory keeps under a material which no catalogue has: no part is ever cut from them.
fn strangers(setup: &Setup) -> Option<Note> {
    let known = setup.shop.known.as_ref()?;
    let strange = (known.offcuts.iter().map(|(offcut, _)| offcut))
        .filter(|offcut| setup.materials.get(&offcut.material).is_err())
        .map(|offcut| format!("{} of \"{}\"", offcut.name, offcut.material));
    let strange: Vec<String> = strange.collect();
    let text = format!(
        "{} keeps offcuts of materials that no catalogue has, which no part is cut from: {}; take each out with mountwright rack --gone and its name, and put it in once more",
        known.path,
        strange.join("; ")
    );
    (!strange.is_empty()).then(|| Note::new("the shop's memory", text))
}

/// What a reader could take for a fault, and what the calendar asks of the shop.
fn warn(setup: &Setup, plan: &mut Plan) {
    plan.notes.extend(remembered(setup));
    plan.notes.extend(strangers(setup));
    if let Some(estimate) = &plan.estimate
        && let (Some(nominal), Some(p10)) = (estimate.cost.nominal, estimate.cost.p10)
        && nominal < p10
    {
        plan.notes.push(Note::new(
            "estimate",
            "the sum of the likeliest values lies below nine draws in ten: times are rather exceeded than undercut, so what is likeliest for each line is unlikely for all together; the price is made of the draws, not of this sum",
        ));
    }
    if plan.draws == 0 {
        plan.notes.push(Note::new(
            "draws",
            "no spread was computed: every figure is the likeliest, the price holds nothing for what usually goes wrong, and no chance stands behind the time; plan with draws before anything is offered",
        ));
    }
    for (offcut, _) in setup.shop.offcuts_in_rack() {
        let same = |l: &&LayoutPlan| {
            l.material == offcut.material && same_thickness(offcut.thickness.si(), l.thickness_m)
        };
        if let Some(day) = setup.shop.to_come(&offcut.name, setup.first_day())
            && plan.layouts.iter().any(|l| same(&l))
        {
            let text = format!(
                "{} is still to be cut by another job, {day} at the earliest: it is not counted on; a later start may use it",
                offcut.name
            );
            plan.notes.push(Note::new("rack", text));
        }
    }
    if setup.back_s.is_some() {
        plan.notes.push(Note::new(
            "promise",
            "the vehicle goes home in between: trial fits are made to the template, and what does not fit shows only on the second visit",
        ));
    }
    if let Some(share) = plan.promise.as_ref().and_then(|p| p.ready_to_fit_share)
        && share < 0.8
    {
        let text = format!(
            "only in {:.0} of 100 draws is all ready to be fitted when the vehicle comes in again: ask for it later",
            share * 100.0
        );
        plan.notes.push(Note::new("promise", text));
    }
}

fn empty(setup: &Setup, options: Options) -> Plan {
    Plan {
        schema: crate::file::SCHEMA,
        program: format!("mountwright {}", env!("CARGO_PKG_VERSION")),
        draws: options.draws,
        seed: options.seed,
        job: job_short(setup.job),
        shop: shop_short(&setup.shop.shop),
        refused: vec![],
        parts: vec![],
        layouts: vec![],
        deliveries: vec![],
        tasks: vec![],
        schedule: None,
        promise: None,
        estimate: None,
        price: None,
        quote: None,
        causes: vec![],
        taken: vec![],
        changes: vec![],
        suggestions: vec![],
        choices: vec![],
        provenance: Provenance::default(),
        cautions: vec![],
        notes: vec![],
        drawings: vec![],
    }
}

/// The job in short.
pub(super) fn job_short(file: &JobFile) -> JobShort {
    let job = &file.job;
    JobShort {
        name: job.name.clone(),
        vehicle: job.vehicle.clone(),
        invented: job.invented,
        remarks: job.remarks.clone(),
        start: job.start.clone(),
        sun: plain(&job.sun),
        units: job.units.unwrap_or_default(),
        file: file.source.text().into(),
    }
}

/// The shop in short.
pub(super) fn shop_short(shop: &Shop) -> ShopShort {
    ShopShort {
        name: shop.name.clone(),
        invented: shop.invented,
        currency: shop.currency.clone(),
    }
}

fn refusals(setup: &Setup) -> Vec<Refused> {
    let job = &setup.job.job;
    let refusal = |p: &crate::job::Place| refuse(p.zone, p.airbag, p.driver_view);
    let mut all = vec![];
    for place in &job.places {
        let Some(no) = refusal(place) else { continue };
        let parts = job.parts().into_iter();
        let there = parts.filter(|(_, part)| part.places().contains(&place.name));
        let others = job.places.iter().filter(|p| refusal(p).is_none());
        let free = others.map(|p| format!("{} (named in this job, both answers no)", p.name));
        all.push(Refused {
            place: place.name.clone(),
            parts: there.map(|(_, part)| part.name().to_string()).collect(),
            why: no.why,
            find_out: no.find_out,
            consider_instead: free.chain(no.consider_instead).collect(),
        });
    }
    all
}

/// Every blank must lie somewhere.
pub(super) fn placed(setup: &Setup, layouts: &[LayoutPlan]) -> Result<()> {
    let mut problems = vec![];
    for plan in layouts {
        for missing in &plan.layout.unplaced {
            let names = setup.job.job.part_names();
            let at = names
                .iter()
                .find(|(_, name)| missing.part.starts_with(name.as_str()))
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

fn changes(setup: &Setup, nominal: &Through) -> Vec<Change> {
    let mut changes = vec![];
    for run in &nominal.parts {
        for cut in run.cuts.iter().filter(|c| c.spares > 0) {
            changes.push(Change {
                what: format!("{}: {} more blank is cut", run.name, cut.spares),
                why: "so many come out wrong that the blanks asked for would not be enough".into(),
            });
        }
        let shelf = &setup.shop.shop.adhesives;
        let bought = run.glued.iter().flat_map(|glued| {
            let joint = &glued.joint;
            let primers = joint.primed.iter().map(|p| (&p.primer, &p.name));
            std::iter::once((&joint.adhesive, &joint.name)).chain(primers)
        });
        for (key, name) in bought {
            if shelf.iter().all(|a| a.family != *key) {
                changes.push(Change {
                    what: format!("{}: {name} has to be bought; it costs nothing in this estimate yet", run.name),
                    why: "it does not stand on the shop's shelf, and nothing there does in its place: add it with its price to the shop's file".into(),
                });
            }
        }
        if run.finish.adds_edge_m.value > 0.0 {
            changes.push(Change {
                what: format!(
                    "{}: every edge is cut back by {:.2} mm, cutouts are opened by as much",
                    run.name,
                    run.finish.adds_edge_m.value * 1e3
                ),
                why: format!("{} adds that much at the edges", run.finish.name),
            });
        }
    }
    changes
}
