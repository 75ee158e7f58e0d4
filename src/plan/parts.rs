//! Each part as the plan shows it: its blank, recipe, joint, finish and checks, with their ranges.

use super::chain::{Kept, Through};
use super::draws::{RecipeRow, Row, over, recipe_row, share};
use super::part::{Glued, PartRun};
use super::practice::UNLUCKY;
use super::result::{
    Band, BlankShort, FinishStep, History, JointShort, LimitsShort, NoWindow, PartPlan,
    RecipeShort, TaskPlan,
};
use super::setup::{Setup, plain};
use super::strokes::{self, Told};
use super::{at_hand, bench, facts, gun};
use crate::error::{Error, Result};
use crate::file::Temperature;
use crate::heat::{Binds, ClosedBy, Recipe};
use crate::job::{Behind, FormedOn, Heat, Need, Part, PodHeld};
use crate::mount::{Check, Verdict};
use crate::quantity::System;

pub(super) fn parts(
    setup: &Setup,
    kept: &Kept,
    nominal: &Through,
    rows: &[Row],
    tasks: &[TaskPlan],
) -> Result<Vec<PartPlan>> {
    let mut plans = vec![];
    for (i, run) in nominal.parts.iter().enumerate() {
        let Some((_, asked)) = kept.parts.get(i) else {
            continue;
        };
        let part = |row: &'_ Row| row.parts.get(i).map(|p| (p.developed_m, p.adds_face_m));
        let developed = match run.developed_m {
            Some(nominal) => Some(Band::new(
                Some(nominal),
                &over(rows, |r| part(r).and_then(|p| p.0)),
            )?),
            None => None,
        };
        let recipe = match (&run.recipe, asked.heat()) {
            (Some(recipe), Some(heat)) => {
                Some(recipe_short(setup, (asked, &heat), run, recipe, i, rows)?)
            }
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
                wait_s: tasks.get(at).and_then(|t| t.wait_s),
            });
        }
        let first = run.cuts.first();
        let sizes = first.map_or((0.0, 0.0), |c| c.blank.outline.size_m());
        plans.push(PartPlan {
            name: run.name.clone(),
            kind: asked.kind().into(),
            places: asked.places().to_vec(),
            hand: plain(&asked.hand()),
            quantity: u32::try_from(asked.places().len()).unwrap_or(1) * setup.sets,
            material_title: setup.materials.get(asked.material())?.about.clone(),
            material: asked.material().into(),
            thickness_m: run.cuts.iter().map(|c| c.blank.thickness_m).sum(),
            finish: run.finish.name.clone(),
            measured: facts::measured(setup, asked),
            blank: BlankShort {
                length_m: sizes.0.max(sizes.1),
                width_m: sizes.0.min(sizes.1),
                area_m2: first.map_or(0.0, |c| c.blank.area_m2()),
                edge_length_m: first.map_or(0.0, |c| c.blank.outline.edge_length_m()),
                cut_length_m: first.map_or(0.0, |c| c.blank.cut_length_m),
                developed_m: developed,
                layer_thicknesses_m: run.cuts.iter().map(|c| c.blank.thickness_m).collect(),
                outline: first.map(|c| c.blank.outline.clone()),
                notes: run
                    .cuts
                    .iter()
                    .flat_map(|c| c.blank.notes.clone())
                    .collect(),
            },
            bends: bench::in_units(&run.bends, setup.job.job.units.unwrap_or_default()),
            bench: bench::in_units(&bench_lines(run), setup.job.job.units.unwrap_or_default()),
            cut: bench::in_units(
                &at_hand::cut(run, asked),
                setup.job.job.units.unwrap_or_default(),
            ),
            at_hand: bench::in_units(
                &at_hand::lines(setup, run, asked),
                setup.job.job.units.unwrap_or_default(),
            ),
            recipe,
            joint,
            finish_steps,
            finish_adds_m: Band::new(Some(run.adds_face_m), &over(rows, |r| part(r).map(|p| p.1)))?,
            finish_cautions: run.finish.cautions.clone(),
            checks: run.checks.iter().map(|c| drawn(c, i, rows)).collect(),
            fails_in: share(rows, |r| {
                r.parts.get(i).is_some_and(|p| !p.failed.is_empty())
            }),
        });
    }
    Ok(plans)
}

/// Folds, layers and a cold pod's edges first, then what is cut and drilled in each blank, then what is put together.
fn bench_lines(run: &PartRun) -> Vec<String> {
    let stacked = run.cuts.len() > 1;
    let cuts = run.cuts.iter().enumerate().flat_map(|(i, cut)| {
        let when = match (stacked, i) {
            (false, _) => "drill as drawn",
            (true, 0) => "drill as drawn, before it is glued",
            (true, _) => "drill through the first layer once they are glued",
        };
        bench::cuts(&cut.blank, when)
    });
    let first = run.bench.iter().cloned();
    let last = run.last.iter().cloned();
    first.chain(cuts).chain(last).collect()
}

/// What is done with the hot sheet.
fn shaping(run: &PartRun, heat: &Heat) -> &'static str {
    if line_after_line(run) {
        return "fold it to its angle";
    }
    // A strap has bends to be told of, a drawn pod has none.
    match (heat.formed_on, run.bends.is_empty()) {
        (FormedOn::Plug, false) => "lay its crown over the plug, then both feet down, tabs flat",
        (FormedOn::RealPart, false) => {
            "lay its crown over the part with its foam, then both feet down, tabs flat"
        }
        (FormedOn::Plug, true) => "lay it over the plug and press it down",
        (FormedOn::RealPart, true) => "lay it over the part with its foam and press it down",
        (FormedOn::Hands, _) => "lay it on and press it down",
    }
}

/// How its other face comes before the gun.
fn turning(asked: &Part) -> &'static str {
    match asked {
        Part::Pod(job) if job.held == PodHeld::Clamped => "turn the whole frame over",
        _ => "turn it over",
    }
}

/// Whether it is heated and folded line after line: then each bend has a strip of its own.
fn line_after_line(run: &PartRun) -> bool {
    let strips = |cut: &super::part::Cut| cut.blank.heated.len() == cut.blank.bends.len();
    run.cuts
        .iter()
        .any(|cut| !cut.blank.bends.is_empty() && strips(cut))
}

/// A check with what the draws say of it: one that passes only at the likeliest inputs is marginal.
fn drawn(check: &Check, at: usize, rows: &[Row]) -> Check {
    let fails = share(rows, |r| {
        r.parts
            .get(at)
            .is_some_and(|p| p.failed.contains(&check.name))
    });
    let mut check = check.clone();
    if let Some(fails) = fails.filter(|f| *f > UNLUCKY.value && check.verdict == Verdict::Pass) {
        let hundred = fails * 100.0;
        check.verdict = Verdict::Marginal;
        check.why = format!(
            "{}; with grades, heat and measures as they may be it fails in {hundred:.0} of 100 cases",
            check.why
        );
        check.mend = Some("the sheet that is used measured (see `measured` in the shop file), a cooler or shaded place, or a sheet with more to spare".into());
    }
    check
}

fn recipe_short(
    setup: &Setup,
    (asked, heat): (&Part, &Heat),
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
    let after_limp = |k: usize| {
        let row = |row: RecipeRow| Some(row.get(k).copied().flatten()? - row[7]?);
        let drawn = over(rows, |r| row(r.parts.get(at)?.recipe?));
        Band::new(row(recipe_row(recipe)), &drawn)
    };
    let told = Told::new(
        &[of(7)?, of(3)?, of(4)?, of(5)?],
        [after_limp(0)?, after_limp(2)?, after_limp(1)?],
    );
    let units = setup.job.job.units.unwrap_or(System::Metric);
    let thickness_m = run.cuts.first().map_or(0.0, |cut| cut.blank.thickness_m);
    let dry_first = (setup.materials.get(asked.material())?).dry_first(thickness_m, units)?;
    let gun = gun::words(&setup.shop.shop.gun);
    let body_limit_k = heat.body_limit.map(Temperature::si);
    let Some(limits) = &run.limits else {
        return Err(Error::Impossible {
            what: "a recipe".into(),
            why: "the part has no forming temperatures".into(),
            remedy: "choose a sheet that is formed".into(),
        });
    };
    let limits = LimitsShort {
        limp_k: limits.limp_k,
        formable_k: limits.formable_k,
        upper_k: limits.upper_k,
        set_k: limits.set_k,
        fume_onset_k: limits.fume_onset_k,
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
    let lies = match heat.behind {
        Behind::OpenAir => "open air",
        Behind::Board => "a board",
        Behind::SameHeat => "the same heat on both faces",
    };
    let behind = match heat.turn_every {
        Some(every) => format!("{lies}, turned over every {:.0} s", every.si()),
        None => lies.to_string(),
    };
    Ok(RecipeShort {
        opens_s: of(0)?,
        limp_s: of(7)?,
        closes_s: of(1)?,
        stop_s: of(2)?,
        past_limp_s: after_limp(2)?,
        window_s: after_limp(1)?,
        more_s: told.more_s,
        too_long_s: told.too_long_s,
        latest_s: told.latest_s,
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
        need: match heat.need {
            Need::Formable => "formable".into(),
            Need::Limp => "limp".into(),
        },
        behind,
        strokes: strokes::strokes(
            heat,
            (dry_first.as_deref(), turning(asked), shaping(run, heat)),
            (recipe, &told),
            &gun,
            &limits,
            body_limit_k,
            units,
        ),
        gun,
        distance_m: heat.gun_distance.si(),
        limits,
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

fn joint_short(g: &Glued, at: usize, rows: &[Row]) -> Result<JointShort> {
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
        closing_s: j.closing_s,
        strength: j.strength.clone(),
        allowable_n: j.allowable_n,
        batches: j.amount.batches,
        packs: j.amount.packs,
        speed_up: j.speed_up.clone(),
        quicker: j.quicker.clone(),
        preparation: j.preparation.join("; "),
        cautions: j.cautions.clone(),
        notes: j.notes.clone(),
    })
}
