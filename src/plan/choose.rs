//! Runs the chain again for each part with every sheet that may serve: which pass, and how they rank.

use std::collections::BTreeMap;

use super::chain::{Kept, Through, through};
use super::offers::{Offer, Supply, offers, one, with_bought};
use super::part::PartRun;
use super::result::{Choice, Suggestion};
use super::setup::Setup;
use super::values::Values;
use crate::error::{Error, Result};
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

/// A part made of one sheet.
struct Tried {
    offer: Offer,
    /// The chain with this part alone; or why it cannot be made.
    made: Result<Through>,
}

/// What would do better where a part fails, and every sheet that may serve for every part, ranked.
pub(super) fn choose(
    setup: &Setup,
    kept: &Kept,
    nominal: &Through,
) -> Result<(Vec<Suggestion>, Vec<Choice>)> {
    let (mut suggestions, mut choices) = (vec![], vec![]);
    for (i, run) in nominal.parts.iter().enumerate() {
        let offers = offers(setup, kept, i);
        let wider = with_bought(setup, &offers);
        let setup = &setup.in_shop(&wider);
        let asked = material_of(kept, i);
        let tried: Vec<Tried> = offers
            .into_iter()
            .map(|offer| {
                let only = one(kept, i, &offer);
                let mut inputs = Inputs::default();
                let values = Values::Nominal(&mut inputs);
                let made = through(setup, &only, &BTreeMap::new(), values);
                Tried { offer, made }
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

/// The nearest to what was asked of the other sheets with which nothing fails: of the shop and as thick, of the shop, to buy.
fn suggestion(run: &PartRun, why: String, others: &[Tried]) -> Suggestion {
    let mut pass: BTreeMap<(bool, bool), Vec<String>> = BTreeMap::new();
    for other in others {
        // A sheet in which it cannot be made at all is no suggestion.
        let Ok(made) = &other.made else { continue };
        if made.parts.iter().all(|p| fault(p).is_none()) {
            let marginal = made
                .parts
                .iter()
                .any(|p| worst(&p.checks) == Verdict::Marginal);
            let offer = &other.offer;
            let thick = match offer.thickness_m {
                Some(t) if !offer.as_asked => format!(" of {:.1} mm", t * 1e3),
                _ => String::new(),
            };
            let buy = offer.supply == Supply::ToBuy;
            let remarks: Vec<&str> = [(marginal, "marginal"), (buy, "to buy")]
                .iter()
                .filter_map(|(holds, word)| holds.then_some(*word))
                .collect();
            let told = if remarks.is_empty() {
                String::new()
            } else {
                format!(" ({})", remarks.join(", "))
            };
            let tier = pass.entry((buy, !offer.as_asked)).or_default();
            tier.push(format!("{}{thick}{told}", offer.material));
        }
    }
    Suggestion {
        part: run.name.clone(),
        change: match pass.into_values().next() {
            Some(names) => format!("take {}", names.join(" or ")),
            None => "no sheet of the shop or the catalogue passes: see what would mend each check"
                .into(),
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
                candidates.push(candidate(setup, &t.offer, made, part, strongest)?);
            }
            None => never.push(Ranked {
                material: t.offer.material.clone(),
                thickness_m: t.offer.thickness_m,
                supply: t.offer.supply.words().into(),
                score_fraction: 0.0,
                against: vec![match &t.made {
                    Err(fault) => format!("cannot be made of it: {}", plain_fault(fault)),
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

/// A fault without the path and the lines of the job's file, which asks for another sheet.
fn plain_fault(fault: &Error) -> String {
    match fault {
        Error::Job { problems, .. } => {
            let words: Vec<&str> = problems.iter().map(|p| p.message.as_str()).collect();
            words.join("; ")
        }
        other => other.to_string(),
    }
}

/// One part of one sheet, in plain numbers.
fn candidate(
    setup: &Setup,
    offer: &Offer,
    made: &Through,
    part: &PartRun,
    strongest_pa: f64,
) -> Result<Candidate> {
    let name = offer.material.as_str();
    let thickest = (part.cuts.iter()).max_by(|a, b| a.thickness_m.total_cmp(&b.thickness_m));
    let material = match thickest.and_then(|cut| setup.measured(cut.stuff())) {
        Some(own) => &own.sheet.material,
        None => setup.materials.get(name)?,
    };
    let p = material.properties();
    let service_k = part.warmth.temperature_k;
    let mut price = 0.0;
    let mut copies = 1.0;
    for cut in &part.cuts {
        let per_m2 = setup.price_per_m2(cut.stuff()).unwrap_or(0.0);
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
        price: (offer.supply != Supply::ToBuy).then_some(price),
        thickness_m: offer.thickness_m,
        supply: offer.supply.words().into(),
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
    kept.parts
        .get(index)
        .map_or_else(String::new, |(_, part)| part.material().to_string())
}
