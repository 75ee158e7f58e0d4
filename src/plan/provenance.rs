//! Every number that a plan used, with its source and its standing.

use std::collections::BTreeMap;

use super::chain::{Kept, Through};
use super::result::{Provenance, Used};
use super::setup::Setup;
use super::{PRACTICE, mounting};
use crate::error::Result;
use crate::finish;
use crate::mount::place::zone_temperature;
use crate::sourced::{Sourced, Standing};

fn used(name: String, s: &Sourced) -> Used {
    Used {
        name,
        value: s.value,
        low: s.low,
        high: s.high,
        unit: s.unit.clone(),
        source: s.source.clone(),
        standing: s.standing,
        note: s.note.clone(),
    }
}

/// The word for a standing.
fn word(standing: Standing) -> &'static str {
    match standing {
        Standing::Published => "published",
        Standing::CommonPractice => "common-practice",
        Standing::Remembered => "remembered",
        Standing::Derived => "derived",
        Standing::MeasuredByShop => "measured-by-shop",
        Standing::Invented => "invented",
    }
}

/// The report of a plan.
pub(super) fn report(setup: &Setup, kept: &Kept, through: &Through) -> Result<Provenance> {
    let mut entries: Vec<Used> = vec![];
    let mut materials: Vec<&str> = vec![];
    let straps = kept
        .straps
        .iter()
        .flat_map(|(_, s)| [s.material.as_str(), s.foam.as_str()]);
    let rings = kept.rings.iter().map(|(_, r)| r.material.as_str());
    let panels = kept.panels.iter().map(|(_, p)| p.material.as_str());
    for name in straps.chain(rings).chain(panels) {
        if !materials.contains(&name) {
            materials.push(name);
        }
    }
    for name in materials {
        let material = setup.materials.get(name)?;
        for (property, entry) in &material.entries {
            let title = format!("{name}: {}", property.key().replace('_', " "));
            let mut row = used(title, &entry.sourced);
            row.source = words_of(setup, &row.source);
            entries.push(row);
        }
    }
    let gun = through.parts.iter().find_map(|p| p.exposure.as_ref());
    for factor in gun.iter().flat_map(|e| &e.factors) {
        entries.push(used(format!("gun: {}", factor.name), &factor.sourced()));
    }
    for part in &through.parts {
        if let Some(glued) = &part.glued
            && let Ok(adhesive) = setup.bonds.adhesive(&glued.joint.adhesive)
        {
            for (what, value) in [
                ("density", &adhesive.density),
                ("gap", &adhesive.gap),
                ("least temperature", &adhesive.minimum_temperature),
                ("service temperature", &adhesive.service_temperature),
                ("waste", &adhesive.waste),
                ("factor on its times", &adhesive.time_factor),
            ] {
                let mut row = used(format!("{}: {what}", glued.joint.adhesive), value);
                row.source = bond_words(setup, &row.source);
                entries.push(row);
            }
        }
        let name = &part.finish.name;
        entries.push(used(
            format!("{name}: adds to a face"),
            &part.finish.adds_face_m,
        ));
        entries.push(used(
            format!("{name}: adds to an edge"),
            &part.finish.adds_edge_m,
        ));
        entries.push(used(
            format!("{name}: absorptance"),
            &part.finish.absorptance,
        ));
        for step in &finish::Catalogue::standard()?
            .recipe(part.finish.kind)?
            .steps
        {
            entries.push(used(
                format!("{name} / {}: set-up", step.name),
                &step.set_up,
            ));
        }
    }
    for place in &setup.job.job.places {
        let zone = zone_temperature(place.zone, setup.job.job.sun);
        entries.push(used(format!("parked cabin: {}", place.zone.name()), &zone));
    }
    let times = &setup.shop.shop.times;
    let own = super::practice::own_times(times);
    for constant in PRACTICE.into_iter().chain([&mounting::Q]) {
        let given = own
            .iter()
            .find(|(c, _)| c.name == constant.name)
            .and_then(|(_, t)| *t);
        let mut row = used(constant.name.to_string(), &constant.sourced());
        if let Some(t) = given {
            (row.low, row.value, row.high) = (t.low.si(), t.likely.si(), t.high.si());
            row.source = "the shop's file".into();
            row.standing = shop_standing(setup);
        }
        entries.push(row);
    }
    entries.sort_by(|a, b| a.name.cmp(&b.name));
    entries.dedup_by(|a, b| a.name == b.name);
    let mut counts = BTreeMap::new();
    for entry in &entries {
        *counts.entry(word(entry.standing).to_string()).or_insert(0) += 1;
    }
    Ok(Provenance { counts, entries })
}

/// Numbers of the shop's file: its own, or made up where the shop is.
fn shop_standing(setup: &Setup) -> Standing {
    if setup.shop.shop.invented {
        Standing::Invented
    } else {
        Standing::MeasuredByShop
    }
}

/// Keys of sources as author and title.
fn words_of(setup: &Setup, keys: &str) -> String {
    let words = |key: &str| match setup.materials.source(key) {
        Ok(source) => format!("{}, {}", source.author, source.title),
        Err(_) => key.to_string(),
    };
    keys.split(", ").map(words).collect::<Vec<_>>().join("; ")
}

fn bond_words(setup: &Setup, keys: &str) -> String {
    keys.split(", ")
        .map(|key| {
            setup
                .bonds
                .sources
                .get(key)
                .cloned()
                .unwrap_or_else(|| key.to_string())
        })
        .collect::<Vec<_>>()
        .join("; ")
}
