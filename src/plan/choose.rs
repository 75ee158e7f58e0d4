//! Runs the chain again for each part with every other sheet of the shop: which pass, and how they rank.

use std::collections::BTreeMap;

use super::chain::{Kept, Through, through};
use super::part::PartRun;
use super::result::{Choice, Suggestion};
use super::setup::{Setup, same_thickness};
use super::values::Values;
use crate::error::Result;
use crate::material::{Candidate, Need, Ranked, Weights, rank};
use crate::mount::service_heat::KEEP_BELOW;
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

/// A part made of another sheet of the shop.
struct Tried {
    material: String,
    /// The chain with this part alone; or why it cannot be made.
    made: Result<Through>,
}

/// What would do better where a part fails, and every sheet of the shop for every part, ranked.
pub(super) fn choose(
    setup: &Setup,
    kept: &Kept,
    nominal: &Through,
) -> Result<(Vec<Suggestion>, Vec<Choice>)> {
    let (mut suggestions, mut choices) = (vec![], vec![]);
    for (i, run) in nominal.parts.iter().enumerate() {
        let asked = material_of(kept, i);
        let names = std::iter::once(asked.clone()).chain(others(setup, kept, i));
        let tried: Vec<Tried> = names
            .map(|material| {
                let only = one(kept, i, &material);
                let mut inputs = Inputs::default();
                let values = Values::Nominal(&mut inputs);
                let made = through(setup, &only, &BTreeMap::new(), values);
                Tried { material, made }
            })
            .collect();
        if let Some(why) = fault(run) {
            suggestions.push(suggestion(run, why, tried.get(1..).unwrap_or_default()));
        }
        choices.push(Choice {
            part: run.name.clone(),
            asked,
            ranked: ranked(setup, &tried)?,
        });
    }
    Ok((suggestions, choices))
}

/// The other sheets with which nothing fails.
fn suggestion(run: &PartRun, why: String, others: &[Tried]) -> Suggestion {
    let mut pass = vec![];
    for other in others {
        // A sheet in which it cannot be made at all is no suggestion.
        let Ok(made) = &other.made else { continue };
        if made.parts.iter().all(|p| fault(p).is_none()) {
            let marginal = made
                .parts
                .iter()
                .any(|p| worst(&p.checks) == Verdict::Marginal);
            pass.push(if marginal {
                format!("{} (marginal)", other.material)
            } else {
                other.material.clone()
            });
        }
    }
    Suggestion {
        part: run.name.clone(),
        change: if pass.is_empty() {
            "no other sheet of the shop passes at this thickness: see what would mend each check"
                .into()
        } else {
            format!("take {}", pass.join(" or "))
        },
        why,
    }
}

/// Every sheet that was tried, best first; one in which the part cannot be made stands last, with the reason.
fn ranked(setup: &Setup, tried: &[Tried]) -> Result<Vec<Ranked>> {
    let strongest = tried
        .iter()
        .filter_map(|t| t.made.as_ref().ok())
        .flat_map(|made| &made.parts)
        .filter_map(|part| part.glued.as_ref())
        .map(|g| g.joint.strength.value_pa)
        .fold(0.0, f64::max);
    let mut candidates = vec![];
    let mut never = vec![];
    for t in tried {
        let made = t.made.as_ref().ok();
        match made.and_then(|m| Some((m, m.parts.first()?))) {
            Some((made, part)) => {
                candidates.push(candidate(setup, &t.material, made, part, strongest)?);
            }
            None => never.push(Ranked {
                material: t.material.clone(),
                score_fraction: 0.0,
                against: vec![match &t.made {
                    Err(fault) => format!("cannot be made of it: {fault}"),
                    Ok(_) => "cannot be made of it".into(),
                }],
                reasons: vec![],
            }),
        }
    }
    let mut all = rank(&candidates, &Weights::default())?;
    all.append(&mut never);
    Ok(all)
}

/// One part of one sheet, in plain numbers.
fn candidate(
    setup: &Setup,
    name: &str,
    made: &Through,
    part: &PartRun,
    strongest_pa: f64,
) -> Result<Candidate> {
    let thickness_m = part.cuts.iter().map(|c| c.thickness_m).fold(0.0, f64::max);
    let material = match setup.measured(name, thickness_m) {
        Some(own) => &own.sheet.material,
        None => setup.materials.get(name)?,
    };
    let p = material.properties();
    let service_k = part.warmth.temperature_k;
    let mut price = 0.0;
    let mut copies = 1.0;
    for cut in &part.cuts {
        let per_m2 = setup.price_per_m2(name, cut.thickness_m).unwrap_or(0.0);
        price += per_m2 * cut.blank.area_m2();
        copies = f64::from(cut.copies);
    }
    price += made.lines.iter().map(|l| l.cost).sum::<f64>() / copies;
    let window = part.recipe.as_ref().and_then(|r| {
        // A window that never closes is as long as any.
        r.opens_s
            .map(|opens| r.closes_s.map_or(3600.0, |closes| closes - opens))
    });
    Ok(Candidate {
        material: name.into(),
        formed: part.recipe.is_some(),
        window_s: if part.recipe.is_some() {
            window
        } else {
            Some(0.0)
        },
        softening_k: p.softening_k().unwrap_or(f64::NAN),
        service_k,
        margin_k: KEEP_BELOW.value,
        modulus_pa: p.softening()?.modulus_pa(service_k),
        bond_fraction: match &part.glued {
            Some(g) if strongest_pa > 0.0 => g.joint.strength.value_pa / strongest_pa,
            _ => 1.0,
        },
        price,
        fumes: material.hazards.as_ref().map_or(0, |h| h.fumes.len()),
        dried: part.recipe.is_some()
            && material
                .drying
                .as_ref()
                .is_some_and(|d| d.needed == Need::Yes),
        fails: part
            .checks
            .iter()
            .filter(|c| c.verdict == Verdict::Fail)
            .map(|c| c.name.to_string())
            .collect(),
    })
}

/// The material that the job asks for.
fn material_of(kept: &Kept, index: usize) -> String {
    let (straps, rings) = (kept.straps.len(), kept.rings.len());
    let strap = kept.straps.get(index).map(|(_, s)| &s.material);
    let ring = || Some(&kept.rings.get(index.checked_sub(straps)?)?.1.material);
    let panel = || {
        Some(
            &kept
                .panels
                .get(index.checked_sub(straps + rings)?)?
                .1
                .material,
        )
    };
    strap
        .or_else(ring)
        .or_else(panel)
        .cloned()
        .unwrap_or_default()
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
