//! The cautions of a job: hot air, tools, fumes, solvents, and what this plan does not decide.

use super::chain::{Kept, Through};
use super::setup::Setup;
use crate::error::Result;

/// All cautions, each once.
pub(super) fn cautions(nominal: &Through, kept: &Kept, setup: &Setup) -> Result<Vec<String>> {
    let mut all: Vec<String> = vec![];
    if kept.heats() {
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
