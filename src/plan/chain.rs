//! All parts of a job in one run: tasks, lines and what each stage says.

use std::collections::{BTreeMap, BTreeSet};

use super::part::{PartRun, Planned, Run, Step, times};
use super::result::LayoutPlan;
use super::setup::{Setup, same_thickness};
use super::values::Values;
use super::{
    AWAY, CUT_SET_UP, HAND_BACK, HEAT_SET_UP, SECOND_VISIT, folded, grille, panel, pod, practice,
    ring, strap,
};
use crate::climate::Climate;
use crate::cost::{Curve, Group, Line, Model};
use crate::error::{Error, Problem, Result};
use crate::job::Part;
use crate::mount::airbag::refuse;
use crate::mount::service_heat::finish_heat;
use crate::promise::Times;
use crate::quantity::said_fault;
use crate::spread::Law;
use crate::task::{Kind, Task, Unattended};

/// The parts that are planned: those whose places are not refused, each with its key.
pub(super) struct Kept {
    pub(super) parts: Vec<(String, Part)>,
}

/// Where in a part's table a fault stands, as far as its own words tell: a panel's cutouts are called by their number.
fn key_at_fault(part: &Part, fault: &Error) -> String {
    let Part::Panel(panel) = part else {
        return String::new();
    };
    let text = fault.to_string();
    if text.starts_with("outer.corner") {
        return ".corner_radius".into();
    }
    let number = text.split_once("cutout \"cutout ").and_then(|(_, rest)| {
        let digits = rest.split('"').next()?;
        digits.parse::<usize>().ok()
    });
    let Some((at, cutout)) = number
        .and_then(|n| n.checked_sub(1))
        .and_then(|at| Some((at, panel.cutouts.get(at)?)))
    else {
        return String::new();
    };
    // A round opening has no height of its own.
    let key = if text.starts_with("height") && cutout.height.is_some() {
        ".height"
    } else if text.starts_with("width") || text.starts_with("height") {
        ".width"
    } else if text.contains("not inside the part") {
        let reach_m = cutout.right.si().abs() + cutout.width.si() / 2.0;
        if reach_m > panel.width.si() / 2.0 {
            ".right"
        } else {
            ".up"
        }
    } else {
        ""
    };
    format!(".cutouts[{at}]{key}")
}

/// Whether nothing may be planned for a place.
fn refused(setup: &Setup, place: &str) -> bool {
    setup
        .place(place)
        .is_ok_and(|p| refuse(p.zone, p.airbag, p.driver_view).is_some())
}

impl Kept {
    /// The parts that are planned.
    ///
    /// # Errors
    /// [`Error::Job`] where parts name sheets that the shop does not have so.
    pub(super) fn of(setup: &Setup) -> Result<Self> {
        let parts = setup.job.job.parts().into_iter();
        let kept = parts.filter_map(|(at, part)| {
            let part = part.at_places(|place| !refused(setup, place))?;
            Some((at, part))
        });
        let kept = Self {
            parts: kept.collect(),
        };
        super::rack::check_names(setup, &kept)?;
        Ok(kept)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }

    /// Whether something is heated.
    pub(super) fn heats(&self) -> bool {
        self.parts.iter().any(|(_, part)| part.heat().is_some())
    }
}

/// One run of the whole chain up to the calendar.
pub(super) struct Through {
    /// In the order of `Kept`.
    pub(super) parts: Vec<PartRun>,
    pub(super) tasks: Vec<Planned>,
    pub(super) lines: Vec<Line>,
    pub(super) rework: f64,
    pub(super) climate: Climate,
    /// Factor on the price of sheet.
    pub(super) sheet_price: f64,
    /// The adhesive of each part.
    pub(super) adhesives: BTreeMap<String, String>,
}

impl Through {
    pub(super) fn times(&self) -> Times {
        times(&self.tasks)
    }

    pub(super) fn task_list(&self) -> Vec<Task> {
        self.tasks.iter().map(|t| t.task.clone()).collect()
    }

    /// Makes cutting wait for the sheets that have to be bought.
    pub(super) fn wait_for_sheets(&mut self, layouts: &[LayoutPlan]) {
        for plan in layouts {
            let of_this = |run: &&PartRun| {
                run.cuts.iter().any(|c| {
                    c.material == plan.material && same_thickness(c.thickness_m, plan.thickness_m)
                })
            };
            let cuts: Vec<String> = self
                .parts
                .iter()
                .filter(of_this)
                .map(|run| format!("{} / cut", run.name))
                .collect();
            for bought in plan.layout.buy.iter().filter(|b| b.days_to_arrive > 0.0) {
                let id = format!("delivery: {}", bought.name);
                for planned in self.tasks.iter_mut().filter(|t| cuts.contains(&t.task.id)) {
                    planned.task.after.push(id.clone());
                }
                let wait_s = bought.days_to_arrive * 86_400.0;
                let task = Task {
                    unattended: Unattended::Fixed(Law::Fixed { value: wait_s }),
                    ..idle(id, Kind::Cut)
                };
                self.tasks.push(Planned {
                    task,
                    attended_s: 0.0,
                    usual_s: 0.0,
                    fixed_s: 0.0,
                    again: 0.0,
                    wait_s,
                    cure_factor: 1.0,
                });
            }
        }
    }
}

/// Runs all parts once; `adhesives` are those chosen already, by part.
///
/// # Errors
/// [`Error::Job`] with one fault for each part that cannot be made, and the line where the part stands.
pub(super) fn through(
    setup: &Setup,
    kept: &Kept,
    adhesives: &BTreeMap<String, String>,
    mut values: Values,
) -> Result<Through> {
    let shop = &setup.shop.shop;
    let learned = setup.shop.learned();
    let pace = match learned.and_then(|l| l.pace) {
        Some(law) => values.take(practice::PACE.name, law)?,
        None => values.constant(&practice::PACE)?,
    };
    let rise_k = values.constant(&practice::SHOP_AIR)?;
    let sheet_price = values.constant(&practice::SHEET_PRICE)?;
    let spoilage = match (learned.and_then(|l| l.spoilage), shop.spoilage) {
        (Some(chance), _) => values.chance(practice::SPOILAGE.name, chance)?.min(0.9),
        (None, Some(share)) => share.si(),
        (None, None) => values.constant(&practice::SPOILAGE)?,
    };
    let slope = match shop.rates.learning {
        Some(share) => share.si(),
        None => values.constant(&practice::LEARNING)?,
    };
    let mut run = Run {
        setup,
        pace,
        rise_k,
        climate: setup.climate(rise_k)?,
        learning: Curve::new(slope, shop.rates.learning_model.unwrap_or(Model::Unit))?,
        spoilage,
        tasks: vec![],
        lines: vec![],
        adhesives: adhesives.clone(),
        batch_steps: BTreeMap::new(),
        values,
    };
    let once = |run: &mut Run, id: &str, kind, time| {
        let after = vec![];
        run.step(Step {
            id: id.into(),
            part: None,
            kind,
            time,
            units: (1, 1),
            paced_s: 0.0,
            after,
        })
        .map(drop)
    };
    once(
        &mut run,
        CUT_SET_UP,
        Kind::Cut,
        (shop.times.cut_set_up, &practice::CUT_SET_UP),
    )?;
    if kept.heats() {
        once(
            &mut run,
            HEAT_SET_UP,
            Kind::Heat,
            (shop.times.heat_set_up, &practice::HEAT_SET_UP),
        )?;
    }
    let mut parts = vec![];
    let mut problems: Vec<Problem> = vec![];
    let units = setup.job.job.units.unwrap_or_default();
    let mut keep = |at: &str, part: &Part, made: Result<PartRun>| match made {
        Ok(part) => {
            parts.push(part);
            Ok(())
        }
        Err(stop @ (Error::Stopped | Error::Io { .. })) => Err(stop),
        Err(Error::Job { problems: more, .. }) => {
            problems.extend(more);
            Ok(())
        }
        Err(fault) => {
            let at = format!("{at}{}", key_at_fault(part, &fault));
            let text = said_fault(&fault, units);
            problems.push(setup.job.source.problem(at, text));
            Ok(())
        }
    };
    let mut made: BTreeMap<&str, u32> = BTreeMap::new();
    for (at, part) in &kept.parts {
        // Units of a kind are numbered through: hands get quicker from one to the next.
        let before = made.entry(part.kind()).or_insert(0);
        let (unit, first) = (*before + 1, *before * setup.sets + 1);
        *before += u32::try_from(part.places().len()).unwrap_or(1);
        let one = match part {
            Part::Strap(job) => strap::run(&mut run, job, unit),
            Part::Pod(job) => pod::run(&mut run, job, unit),
            Part::Ring(job) => ring::run(&mut run, job, first),
            Part::Panel(job) => panel::run(&mut run, job, unit),
            Part::Folded(job) => folded::run(&mut run, job, unit),
            Part::Grille(job) => grille::run(&mut run, job, first),
        };
        let drawn = setup.job.drawing_notes.get(part.name());
        let one = one.and_then(|mut run| {
            run.notes.extend(drawn.into_iter().flatten().cloned());
            if let Some(limit) = &run.finish.limit_k {
                let (name, finish) = (&run.name, &run.finish.name);
                let check = finish_heat(name, finish, limit.value, run.warmth)?;
                run.checks.push(check);
            }
            Ok(run)
        });
        keep(at, part, one)?;
    }
    if !problems.is_empty() {
        return Err(setup.job.source.fault(problems));
    }
    clips(&mut run, kept)?;
    second_visit(&mut run)?;
    hand_back(&mut run)?;
    as_learned(&mut run)?;
    hot_work_first(&mut run);
    measured_first(&mut run);
    let hours = run.tasks.iter().map(|t| t.attended_s).sum::<f64>() / 3600.0;
    run.consumes(
        "gloves, masks, wipes",
        hours,
        "h",
        shop.consumables.protection_per_hour,
    )?;
    let rework = parts.iter().map(|p| p.rework).sum();
    Ok(Through {
        parts,
        tasks: run.tasks,
        lines: run.lines,
        rework,
        climate: run.climate,
        sheet_price,
        adhesives: run.adhesives,
    })
}

/// The vehicle comes to be measured: bench and gun are set up behind its first measuring, not before.
fn measured_first(run: &mut Run) {
    let measured = run.tasks.iter().find(|t| t.task.kind == Kind::Measure);
    let Some(first) = measured.map(|t| t.task.id.clone()) else {
        return;
    };
    for planned in &mut run.tasks {
        if [CUT_SET_UP, HEAT_SET_UP].contains(&planned.task.id.as_str()) {
            planned.task.after.push(first.clone());
        }
    }
}

/// All hot work before the first glue, primer or paint is opened: no heat gun where a solvent or its vapour is (a rule of every
/// data sheet of them; the order of the tasks alone would not keep it where parts are made side by side).
fn hot_work_first(run: &mut Run) {
    let of = |tasks: &[super::part::Planned], holds: &dyn Fn(Kind) -> bool| -> BTreeSet<String> {
        let held = tasks.iter().filter(|t| holds(t.task.kind));
        held.map(|t| t.task.id.clone()).collect()
    };
    let opens = |kind| matches!(kind, Kind::Bond | Kind::Finish);
    let hot = of(&run.tasks, &|kind| matches!(kind, Kind::Heat | Kind::Form));
    let open = of(&run.tasks, &opens);
    for planned in run.tasks.iter_mut().filter(|t| opens(t.task.kind)) {
        let task = &mut planned.task;
        if task.after.iter().any(|before| open.contains(before)) {
            continue;
        }
        let missing = hot.iter().filter(|id| !task.after.contains(id));
        let missing: Vec<String> = missing.cloned().collect();
        task.after.extend(missing);
    }
}

/// The time of each kind of work that done jobs told of, by the shop's own factor: on the hands, not on what the machine takes.
fn as_learned(run: &mut Run) -> Result<()> {
    let Some(learned) = run.setup.shop.learned() else {
        return Ok(());
    };
    for (kind, law) in &learned.work {
        let name = format!("time of {} against the trade's", kind.name());
        let factor = run.values.take(&name, *law)?;
        for planned in run.tasks.iter_mut().filter(|t| t.task.kind == *kind) {
            planned.attended_s = planned.fixed_s + (planned.attended_s - planned.fixed_s) * factor;
        }
    }
    Ok(())
}

/// Old clips that break where trim is taken off for a part.
fn clips(run: &mut Run, kept: &Kept) -> Result<()> {
    let places: BTreeSet<&String> = (kept.parts.iter())
        .flat_map(|(_, part)| part.places())
        .collect();
    let mut clips = 0;
    for place in places {
        clips += run.setup.place(place)?.trim_clips.unwrap_or(0) * run.setup.sets;
    }
    if clips > 0 {
        let breaks = run.values.constant(&practice::CLIPS_BREAK)?;
        let prices = &run.setup.shop.shop.consumables;
        let price = prices.clip.unwrap_or(prices.fastener);
        run.consumes(
            "trim clips that break",
            f64::from(clips) * breaks,
            "pieces",
            price,
        )?;
    }
    Ok(())
}

/// Where the vehicle goes home in between: all is measured first, trial fits are made to the template, and fitting waits until it is back.
fn second_visit(run: &mut Run) -> Result<()> {
    let Some(back_s) = run.setup.back_s else {
        return Ok(());
    };
    let measuring = run.tasks.iter().filter(|t| t.task.kind == Kind::Measure);
    let measured: Vec<String> = measuring.map(|t| t.task.id.clone()).collect();
    for planned in &mut run.tasks {
        let task = &mut planned.task;
        match task.kind {
            Kind::Measure => {}
            Kind::Fit | Kind::HandBack => task.after.push(SECOND_VISIT.into()),
            _ if task.after.iter().all(|before| measured.contains(before)) => {
                task.after.clone_from(&measured);
            }
            _ => {}
        }
    }
    let wait_s = back_s - run.setup.start_s;
    run.tasks.push(Planned {
        task: Task {
            unattended: Unattended::Fixed(Law::Fixed { value: wait_s }),
            ..idle(AWAY.into(), Kind::Fit)
        },
        attended_s: 0.0,
        usual_s: 0.0,
        fixed_s: 0.0,
        again: 0.0,
        wait_s,
        cure_factor: 1.0,
    });
    run.step(Step {
        id: SECOND_VISIT.into(),
        part: None,
        kind: Kind::Fit,
        time: (None, &practice::SECOND_VISIT),
        units: (1, run.setup.sets),
        paced_s: 0.0,
        after: vec![AWAY.into()],
    })?;
    Ok(())
}

/// A task that needs no hands and waits for nothing.
fn idle(id: String, kind: Kind) -> Task {
    Task {
        id,
        part: None,
        kind,
        attended: Law::Fixed { value: 0.0 },
        unattended: Unattended::None,
        after: vec![],
        may_split: true,
        max_wait_s: None,
        once: true,
    }
}

/// The end of the job, after every task that nothing else waits for.
fn hand_back(run: &mut Run) -> Result<()> {
    let waited: BTreeSet<&String> = run.tasks.iter().flat_map(|t| &t.task.after).collect();
    let ids = run.tasks.iter().map(|t| &t.task.id);
    let after = ids.filter(|id| !waited.contains(id)).cloned().collect();
    run.step(Step {
        id: HAND_BACK.into(),
        part: None,
        kind: Kind::HandBack,
        time: (run.setup.shop.shop.times.hand_back, &practice::HAND_BACK),
        units: (1, run.setup.sets),
        paced_s: 0.0,
        after,
    })?;
    Ok(())
}

/// Lines of the same name put together, in the order in which they came.
pub(super) fn together(lines: &[Line]) -> Result<Vec<Line>> {
    let mut sums: Vec<(String, Group, f64, String, f64)> = vec![];
    for line in lines {
        let known = sums.iter_mut().find(|s| {
            s.0 == line.name
                && s.1 == line.group
                && s.3 == line.unit
                && (s.4 - line.rate).abs() < 1e-12
        });
        match known {
            Some(sum) => sum.2 += line.amount,
            None => sums.push((
                line.name.clone(),
                line.group,
                line.amount,
                line.unit.clone(),
                line.rate,
            )),
        }
    }
    sums.into_iter()
        .map(|(name, group, amount, unit, rate)| Line::new(name, group, amount, unit, rate))
        .collect()
}
