//! Runs the chain again with another sheet where the one asked for fails, and says which would pass.

use std::collections::BTreeMap;

use super::chain::{Kept, through};
use super::part::PartRun;
use super::result::Suggestion;
use super::setup::{Setup, same_thickness};
use super::values::Values;
use crate::mount::{Verdict, worst};
use crate::spread::Inputs;

/// Why a part does not do as it is; `None` where it does.
fn fault(run: &PartRun) -> Option<String> {
    if run.recipe.as_ref().is_some_and(|r| r.opens_s.is_none()) {
        return Some("no forming window opens with this heat".into());
    }
    let failed = run
        .checks
        .iter()
        .filter(|c| c.verdict == Verdict::Fail)
        .map(|c| c.name);
    let failed: Vec<&str> = failed.collect();
    (!failed.is_empty()).then(|| format!("fails: {}", failed.join(", ")))
}

/// The sheets of the shop in which a failing part would do.
pub(super) fn suggestions(
    setup: &Setup,
    kept: &Kept,
    nominal: &super::chain::Through,
) -> Vec<Suggestion> {
    let mut all = vec![];
    for (i, run) in nominal.parts.iter().enumerate() {
        let Some(why) = fault(run) else { continue };
        let mut pass = vec![];
        for material in others(setup, kept, i) {
            let only = one(kept, i, &material);
            let mut inputs = Inputs::default();
            // A sheet in which it cannot be made at all is no suggestion.
            let Ok(made) = through(setup, &only, &BTreeMap::new(), Values::Nominal(&mut inputs))
            else {
                continue;
            };
            if made.parts.iter().all(|p| fault(p).is_none()) {
                let marginal = made
                    .parts
                    .iter()
                    .any(|p| worst(&p.checks) == Verdict::Marginal);
                pass.push(if marginal {
                    format!("{material} (marginal)")
                } else {
                    material
                });
            }
        }
        all.push(Suggestion {
            part: run.name.clone(),
            change: if pass.is_empty() {
                "no other sheet of the shop passes at this thickness: see what would mend each check".into()
            } else {
                format!("take {}", pass.join(" or "))
            },
            why,
        });
    }
    all
}

/// Other materials that the shop has in the thickness of the part at `index`.
fn others(setup: &Setup, kept: &Kept, index: usize) -> Vec<String> {
    let (straps, rings) = (kept.straps.len(), kept.rings.len());
    let (material, thickness_m) = if let Some((_, s)) = kept.straps.get(index) {
        (&s.material, Some(s.thickness.si()))
    } else if let Some((_, r)) = index.checked_sub(straps).and_then(|i| kept.rings.get(i)) {
        (&r.material, None)
    } else if let Some((_, p)) = index
        .checked_sub(straps + rings)
        .and_then(|i| kept.panels.get(i))
    {
        (&p.material, Some(p.thickness.si()))
    } else {
        return vec![];
    };
    let mut names: Vec<String> = vec![];
    for sheet in &setup.shop.shop.sheets {
        let fits = thickness_m.is_none_or(|t| same_thickness(sheet.thickness.si(), t));
        if fits && sheet.material != *material && !names.contains(&sheet.material) {
            names.push(sheet.material.clone());
        }
    }
    names
}

/// The job with one part alone, of another material.
fn one(kept: &Kept, index: usize, material: &str) -> Kept {
    let (straps, rings) = (kept.straps.len(), kept.rings.len());
    let mut only = Kept {
        straps: vec![],
        rings: vec![],
        panels: vec![],
    };
    if let Some((at, s)) = kept.straps.get(index) {
        let mut s = s.clone();
        s.material = material.into();
        only.straps.push((at.clone(), s));
    } else if let Some((at, r)) = index.checked_sub(straps).and_then(|i| kept.rings.get(i)) {
        let mut r = r.clone();
        r.material = material.into();
        only.rings.push((at.clone(), r));
    } else if let Some((at, p)) = index
        .checked_sub(straps + rings)
        .and_then(|i| kept.panels.get(i))
    {
        let mut p = p.clone();
        p.material = material.into();
        only.panels.push((at.clone(), p));
    }
    only
}
