//! Every number that a plan used, with its source and its standing.
//!
//! Catalogues' records and the user's files are walked whole, and each room lists its constants: nothing is named twice, so
//! nothing can be forgotten here.

use super::chain::{Kept, Through};
use super::mounting::shade_share;
use super::practice;
use super::setup::{Setup, plain};
use crate::bond::catalogue::{Adhesive, StageLaw};
use crate::bond::{self, Clock, solvent};
use crate::error::Result;
use crate::file::Source;
use crate::finish::{self, Shade};
use crate::heat::{self, Body};
use crate::job::{Behind, FormedOn};
use crate::mount::fixing::thread_forming;
use crate::mount::place::zone_temperature;
use crate::mount::vibration::{BODY, BODY_SOURCE};
use crate::mount::{self, Check, Family};
use crate::provenance::Provenance;
use crate::sourced::{Constant, Sourced, Standing};
use crate::spread::Law;
use crate::{material, memory, physics, shape, stock};

/// The report of a plan.
pub(super) fn report(setup: &Setup, kept: &Kept, through: &Through) -> Result<Provenance> {
    let mut report = Provenance::default();
    materials(&mut report, setup, kept, through)?;
    heating(&mut report, kept, through);
    joints(&mut report, setup, through);
    finishes(&mut report, through)?;
    places(&mut report, setup);
    for check in through.parts.iter().flat_map(|p| &p.checks) {
        let name = format!("limit of {}, {}", check.name, check.part);
        report.number("check", &name, &limit(check), "");
    }
    tables(&mut report, through)?;
    constants(&mut report, setup, kept, through);
    remembered(&mut report, setup);
    files(&mut report, setup, kept, through);
    Ok(report)
}

/// Sheets, measured or generic, and foams.
fn materials(report: &mut Provenance, setup: &Setup, kept: &Kept, through: &Through) -> Result<()> {
    for cut in through.parts.iter().flat_map(|p| &p.cuts) {
        match setup.measured(cut.stuff()) {
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
    for foam in kept.parts.iter().filter_map(|(_, part)| part.foam()) {
        report.material(foam, setup.materials.get(foam)?, setup.materials);
    }
    Ok(())
}

/// The gun, and what straps lie on and are pressed against.
fn heating(report: &mut Provenance, kept: &Kept, through: &Through) {
    let exposures = through.parts.iter().filter_map(|p| p.exposure.as_ref());
    for factor in exposures.flat_map(|e| &e.factors) {
        let name = format!("gun: {}", factor.name);
        report.number("gun", &name, &factor.sourced(), "");
    }
    for heated in kept.parts.iter().filter_map(|(_, part)| part.heat()) {
        let form: &[(&str, Body)] = match heated.formed_on {
            FormedOn::Plug => &[("plug", Body::PLUG)],
            FormedOn::RealPart => &[("foam under heat", Body::FOAM), ("driver", Body::DRIVER)],
            FormedOn::Hands => &[],
        };
        let board = matches!(heated.behind, Behind::Board).then_some(("board", Body::BOARD));
        for (whose, body) in form.iter().copied().chain(board) {
            for (what, sourced) in body.told() {
                report.number(whose, &format!("{whose}: {what}"), &sourced, "");
            }
        }
    }
}

/// Adhesives and the faces that they join.
fn joints(report: &mut Provenance, setup: &Setup, through: &Through) {
    let words = |key: &str| bond_words(setup, key);
    for glued in through.parts.iter().filter_map(|p| p.glued.as_ref()) {
        let whose = &glued.joint.adhesive;
        let Ok(adhesive) = setup.bonds.adhesive(whose) else {
            continue;
        };
        // Of what an adhesive does on each face only that on these.
        let kin: Vec<&str> = (glued.substrates.iter())
            .flat_map(|face| [face.as_str(), setup.bonds.kin(face)])
            .collect();
        let keep = |path: &str| {
            ["strength_on.", "fixture.", "suits."]
                .iter()
                .find_map(|by_face| path.strip_prefix(by_face))
                .is_none_or(|face| kin.iter().any(|own| face.split('.').next() == Some(own)))
        };
        report.record(whose, adhesive, keep, words);
        schedule(report, whose, adhesive);
        for primed in &glued.joint.primed {
            if let Ok(primer) = setup.bonds.adhesive(&primed.primer) {
                report.record(&primed.primer, primer, keep, words);
            }
        }
        for face in &glued.substrates {
            if let Ok(substrate) = setup.bonds.substrate(face) {
                report.record(&format!("face of {face}"), substrate, |_| true, words);
            }
        }
    }
}

/// The times of a solvent cement, which its stages take from a schedule.
fn schedule(report: &mut Provenance, whose: &str, adhesive: &Adhesive) {
    let stages = [
        ("open", Some(&adhesive.open)),
        ("handling", Some(&adhesive.handling)),
        ("full", Some(&adhesive.full)),
        ("joinable", adhesive.joinable.as_ref()),
    ];
    for (name, stage) in stages {
        let Some(row) = stage
            .filter(|s| s.law == StageLaw::SolventCement)
            .and_then(|s| s.row)
        else {
            continue;
        };
        if let Clock::Banded { bands, .. } = solvent::clock(solvent::Socket::Small, row, 1.0) {
            for band in bands {
                let name = format!("{whose}: {name}, above {:.0} °C", band.above_k - 273.15);
                let time =
                    Constant::exact("", band.time_s, "s", solvent::MANUAL, Standing::Published);
                report.number(whose, &name, &time.sourced(), "");
            }
        }
    }
}

fn finishes(report: &mut Provenance, through: &Through) -> Result<()> {
    let catalogue = finish::Catalogue::standard()?;
    let words = |key: &str| {
        let known = catalogue.sources.get(key);
        known.map_or_else(|| key.into(), Clone::clone)
    };
    for part in &through.parts {
        let recipe = catalogue.recipe(part.finish.kind)?;
        report.record(&recipe.name, recipe, |_| true, words);
        report.record("colour", &catalogue.shade, |_| true, words);
    }
    Ok(())
}

/// How warm the places of the job become.
fn places(report: &mut Provenance, setup: &Setup) {
    for place in &setup.job.job.places {
        let zone = zone_temperature(place.zone, setup.job.job.sun);
        let name = format!("parked cabin: {}", place.zone.name());
        report.number("place", &name, &zone, "");
    }
}

/// Tables of the checks: the body's vibration, screws in each plastic.
fn tables(report: &mut Provenance, through: &Through) -> Result<()> {
    let number = |value: f64, unit: &'static str, source: &'static str, standing| {
        Constant::exact("", value, unit, source, standing).sourced()
    };
    for (hertz, density) in BODY {
        let told = number(density, "(m/s2)2/Hz", BODY_SOURCE, Standing::Remembered);
        let name = format!("vibration of the body at {hertz:.0} Hz");
        report.number("check", &name, &told, "");
    }
    for cut in through.parts.iter().flat_map(|p| &p.cuts) {
        let row = thread_forming(Family::of_name(&cut.material));
        let source = match row.standing {
            Standing::Published => "a screw maker's boss table",
            Standing::Remembered => "screw makers' tables, from memory",
            _ => "common practice, no source",
        };
        let whose = format!("screws in {}", cut.material);
        for (what, over) in [
            ("pilot hole", row.hole),
            ("boss", row.boss),
            ("engagement", row.engagement),
        ] {
            let name = format!("{whose}: {what} over the thread");
            report.number(&whose, &name, &number(over, "1", source, row.standing), "");
        }
    }
    for shade in [Shade::Dark, Shade::Middle, Shade::Light] {
        let share = shade_share(shade)?;
        let source = "absorptance of the finish over that of a dark one";
        let name = format!("colour: rise of a {} face over a dark one", plain(&shade));
        let told = number(share, "1", source, Standing::Derived);
        report.number("colour", &name, &told, "");
    }
    Ok(())
}

/// Constants of the rooms that the plan went through, with the shop's own times and shares in place of the trade's.
fn constants(report: &mut Provenance, setup: &Setup, kept: &Kept, through: &Through) {
    report.constants("physics", physics::CONSTANTS.iter().copied());
    report.constants("materials", material::SOFTENING.iter().copied());
    report.constants("materials", material::FOAM.iter().copied());
    report.constants("choice of a sheet", material::RANKING.iter().copied());
    if kept.heats() {
        report.constants("heat", heat::constants::RECIPE.iter().copied());
        report.constants("heat", heat::constants::GUN.iter().copied());
    }
    report.constants("blanks", shape::CONSTANTS.iter().copied());
    report.constants("layouts", stock::CONSTANTS.iter().copied());
    if through.parts.iter().any(|p| p.glued.is_some()) {
        report.constants("joints", bond::CONSTANTS.iter().copied());
    }
    report.constants("checks of the mount", mount::CONSTANTS.iter().copied());
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
    let taught = taught(setup);
    for constant in practice::ALL {
        let mut row = constant.sourced();
        let mut origin = "";
        if taught.iter().any(|(name, _)| name == constant.name) {
            continue;
        }
        if let Some((_, given)) = own.iter().find(|(c, _)| c.name == constant.name) {
            [row.low, row.value, row.high] = *given;
            row.source = "the user's own file".into();
            row.standing = standing(shop.invented, "");
            origin = setup.shop.source.path();
        }
        report.number("practice of the trade", constant.name, &row, origin);
    }
}

/// What done jobs and trials that the shop's memory has told, in place of the trade's figures.
pub(super) fn taught(setup: &Setup) -> Vec<(String, Sourced)> {
    let Some(learned) = setup.shop.learned() else {
        return vec![];
    };
    let row = |low: f64, value: f64, high: f64, note: String| Sourced {
        value,
        low,
        high,
        unit: "1".into(),
        source: material::MEASURED.into(),
        standing: match standing(setup.shop.shop.invented, "") {
            Standing::User => Standing::MeasuredByShop,
            invented => invented,
        },
        note,
    };
    let of_law = |law: &Law| {
        let at = |p: f64| law.quantile(p).unwrap_or(f64::NAN);
        let note = format!(
            "from {} done jobs; one in ten is lower, one in ten higher",
            learned.jobs
        );
        row(at(0.1), at(0.5), at(0.9), note)
    };
    let mut all = vec![];
    if let Some(law) = &learned.pace {
        all.push((practice::PACE.name.to_string(), of_law(law)));
    }
    for (kind, law) in &learned.work {
        all.push((
            format!("time of {} against the trade's", kind.name()),
            of_law(law),
        ));
    }
    if let Some(chance) = &learned.spoilage {
        let at = |p: f64| chance.quantile(p).unwrap_or(f64::NAN);
        let note = "from the heats of done jobs; one in ten is lower, one in ten higher".into();
        all.push((
            practice::SPOILAGE.name.to_string(),
            row(at(0.1), chance.mean(), at(0.9), note),
        ));
    }
    all
}

/// What the shop's memory told this plan: what jobs taught, trials of the gun.
fn remembered(report: &mut Provenance, setup: &Setup) {
    let Some(known) = &setup.shop.known else {
        return;
    };
    if known.learned.is_some() {
        report.constants("the shop's memory", memory::CONSTANTS.iter().copied());
    }
    for (name, sourced) in taught(setup) {
        report.number("the shop's memory", &name, &sourced, &known.path);
    }
    let standing = standing(setup.shop.shop.invented, "gun.coupons");
    for (i, trial) in known.coupons.iter().enumerate() {
        let seconds = trial.limp_after.si();
        let told = Constant::exact("", seconds, "s", material::MEASURED, standing).sourced();
        let name = format!("gun: trial {}, {} limp after", i + 1, trial.material);
        report.number("gun", &name, &told, &known.path);
    }
}

/// What the user wrote in the files of shop and job, as far as this plan asks for it.
fn files(report: &mut Provenance, setup: &Setup, kept: &Kept, through: &Through) {
    let shop = &setup.shop.shop;
    let sheets: Vec<&str> = (through.parts.iter().flat_map(|p| &p.cuts))
        .map(|cut| cut.material.as_str())
        .collect();
    let glues: Vec<&str> = (through.parts.iter().filter_map(|p| p.glued.as_ref()))
        .map(|glued| glued.joint.adhesive.as_str())
        .collect();
    let of_shop = |field: &str| {
        let listed = |list: &str| index(field, list);
        let sheet = listed("sheets").map(|i| shop.sheets.get(i).map(|s| &s.material));
        let offcut = listed("offcuts").map(|i| shop.offcuts.get(i).map(|o| &o.material));
        if let Some(material) = sheet.or(offcut) {
            return material.is_some_and(|m| sheets.contains(&m.as_str()));
        }
        if let Some(i) = listed("adhesives") {
            return (shop.adhesives.get(i)).is_some_and(|a| glues.contains(&a.family.as_str()));
        }
        // Told with the trade's own figures.
        !field.starts_with("times.") && !matches!(field, "schema" | "spoilage" | "rates.learning")
    };
    own_file(report, "shop", &setup.shop.source, shop.invented, of_shop);
    let planned: Vec<&str> = kept.parts.iter().map(|(at, _)| at.as_str()).collect();
    let of_job = |field: &str| {
        let parts = ["straps", "pods", "rings", "panels", "folded", "grilles"];
        let part = parts.iter().find_map(|list| index(field, list));
        match part {
            Some(_) => planned.iter().any(|at| field.starts_with(*at)),
            None => field != "schema",
        }
    };
    let invented = setup.job.job.invented;
    own_file(report, "job", &setup.job.source, invented, of_job);
}

/// The place in `list` that a field belongs to: `sheets[2].price` is of the third of `sheets`.
fn index(field: &str, list: &str) -> Option<usize> {
    let (at, _) = field
        .strip_prefix(list)?
        .strip_prefix('[')?
        .split_once(']')?;
    at.parse().ok()
}

fn own_file(
    report: &mut Provenance,
    whose: &str,
    source: &Source,
    invented: bool,
    used: impl Fn(&str) -> bool,
) {
    for given in source.numbers().iter().filter(|g| used(&g.field)) {
        let origin = match source.line(&given.field) {
            Some(line) => format!("{}, line {line}", source.path()),
            None => source.path().to_string(),
        };
        let standing = standing(invented, &given.field);
        report.given(whose, given, standing, &origin);
    }
}

/// Numbers of a user's file: stated by the user or measured by the shop, or made up where the file is.
fn standing(invented: bool, field: &str) -> Standing {
    if invented {
        Standing::Invented
    } else if field.contains(".measured.") || field.starts_with("gun.coupons") {
        Standing::MeasuredByShop
    } else {
        Standing::User
    }
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

/// A source of the adhesives in words.
fn bond_words(setup: &Setup, key: &str) -> String {
    setup
        .bonds
        .sources
        .get(key)
        .cloned()
        .unwrap_or_else(|| key.to_string())
}
