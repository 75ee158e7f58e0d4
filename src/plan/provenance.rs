//! Every number that a plan used, with its source and its standing.

use super::chain::{Kept, Through};
use super::setup::Setup;
use super::{PRACTICE, practice};
use crate::error::Result;
use crate::finish;
use crate::heat::dose::DOSE_LIMIT;
use crate::heat::tools::gun::{EXCESS_DECAY, HAND_TOOL_W};
use crate::material::SOFTENING;
use crate::mount::place::zone_temperature;
use crate::mount::{CONSTANTS, Check};
use crate::provenance::{Provenance, cited};
use crate::sourced::{Constant, Sourced, Standing};

/// The report of a plan.
pub(super) fn report(setup: &Setup, kept: &Kept, through: &Through) -> Result<Provenance> {
    let mut report = Provenance::default();
    materials(&mut report, setup, kept, through)?;
    for factor in through
        .parts
        .iter()
        .filter_map(|p| p.exposure.as_ref())
        .flat_map(|e| &e.factors)
    {
        report.number(
            "gun",
            &format!("gun: {}", factor.name),
            &factor.sourced(),
            "",
        );
    }
    if !kept.straps.is_empty() {
        report.constants([&HAND_TOOL_W, &EXCESS_DECAY, &DOSE_LIMIT]);
    }
    joints_and_finishes(&mut report, setup, through)?;
    for place in &setup.job.job.places {
        let zone = zone_temperature(place.zone, setup.job.job.sun);
        report.number(
            "place",
            &format!("parked cabin: {}", place.zone.name()),
            &zone,
            "",
        );
    }
    report.constants(SOFTENING);
    report.constants(CONSTANTS);
    for check in through.parts.iter().flat_map(|p| &p.checks) {
        let name = format!("limit of {}, {}", check.name, check.part);
        report.number("check", &name, &limit(check), "");
    }
    let shop = &setup.shop.shop;
    let times = practice::own_times(&shop.times);
    let times = times
        .iter()
        .filter_map(|(c, t)| t.map(|t| (*c, [t.low.si(), t.likely.si(), t.high.si()])));
    let shares = [
        (&practice::SPOILAGE, shop.spoilage),
        (&practice::LEARNING, shop.rates.learning),
    ];
    let shares = shares
        .into_iter()
        .filter_map(|(c, share)| share.map(|s| (c, [s.si(); 3])));
    let own: Vec<(&Constant, [f64; 3])> = times.chain(shares).collect();
    for constant in PRACTICE {
        let mut row = constant.sourced();
        let mut origin = "";
        if let Some((_, given)) = own.iter().find(|(c, _)| c.name == constant.name) {
            [row.low, row.value, row.high] = *given;
            row.source = "the shop's file".into();
            row.standing = shop_standing(setup);
            origin = setup.shop.source.path();
        }
        report.number("shop", constant.name, &row, origin);
    }
    Ok(report)
}

/// Sheets, measured or generic, and foams.
fn materials(report: &mut Provenance, setup: &Setup, kept: &Kept, through: &Through) -> Result<()> {
    for cut in through.parts.iter().flat_map(|p| &p.cuts) {
        match setup.measured(&cut.material, cut.thickness_m) {
            Some(own) => {
                let whose = format!("sheet {}", own.name);
                report.material(&whose, &own.sheet.material, setup.materials);
                let thickness = &own.sheet.thickness;
                report.number(&whose, &format!("{whose}: thickness"), thickness, &whose);
            }
            None => report.material(
                &cut.material,
                setup.materials.get(&cut.material)?,
                setup.materials,
            ),
        }
    }
    for (_, strap) in &kept.straps {
        report.material(
            &strap.foam,
            setup.materials.get(&strap.foam)?,
            setup.materials,
        );
    }
    Ok(())
}

fn joints_and_finishes(report: &mut Provenance, setup: &Setup, through: &Through) -> Result<()> {
    for part in &through.parts {
        if let Some(glued) = &part.glued
            && let Ok(adhesive) = setup.bonds.adhesive(&glued.joint.adhesive)
        {
            let whose = &glued.joint.adhesive;
            for (what, value) in [
                ("density", &adhesive.density),
                ("gap", &adhesive.gap),
                ("least temperature", &adhesive.minimum_temperature),
                ("service temperature", &adhesive.service_temperature),
                ("waste", &adhesive.waste),
                ("factor on its times", &adhesive.time_factor),
            ] {
                let value = cited(value, |key| bond_words(setup, key));
                report.number(whose, &format!("{whose}: {what}"), &value, "");
            }
        }
        let whose = &part.finish.name;
        for (what, value) in [
            ("adds to a face", &part.finish.adds_face_m),
            ("adds to an edge", &part.finish.adds_edge_m),
            ("absorptance", &part.finish.absorptance),
        ] {
            report.number(whose, &format!("{whose}: {what}"), value, "");
        }
        let recipe = finish::Catalogue::standard()?.recipe(part.finish.kind)?;
        for step in &recipe.steps {
            report.number(
                whose,
                &format!("{whose} / {}: set-up", step.name),
                &step.set_up,
                "",
            );
        }
    }
    Ok(())
}

/// The limit of a check, which has no range of its own.
fn limit(check: &Check) -> Sourced {
    Sourced {
        value: check.limit,
        low: check.limit,
        high: check.limit,
        unit: check.unit.into(),
        source: check.source.into(),
        standing: check.standing,
        note: String::new(),
    }
}

/// Numbers of the shop's file: its own, or made up where the shop is.
fn shop_standing(setup: &Setup) -> Standing {
    if setup.shop.shop.invented {
        Standing::Invented
    } else {
        Standing::MeasuredByShop
    }
}

/// A source of the adhesives in words.
fn bond_words(setup: &Setup, key: &str) -> String {
    setup
        .bonds
        .sources
        .get(key)
        .cloned()
        .unwrap_or_else(|| key.to_string())
}
