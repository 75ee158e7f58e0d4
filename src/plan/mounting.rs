//! A material as the checks of a mount see it, and how warm its place gets.

use super::setup::Setup;
use super::values::Values;
use crate::error::Result;
use crate::finish::Shade;
use crate::job::Place;
use crate::material::{Properties, Property};
use crate::mount::place::zone_temperature;
use crate::mount::service_heat::Warmth;
use crate::mount::{Facts, Family, Material};
use crate::sourced::{Constant, Standing};

/// Amplification at resonance of screwed plastic.
pub(super) const Q: Constant = Constant {
    name: "amplification at resonance of screwed plastic",
    value: 10.0,
    low: 8.0,
    high: 15.0,
    unit: "1",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// Rise of a light or middle surface against a dark one in the same sun, as a share of the dark one's rise over the air.
const SHADE_SHARE: [(Shade, f64); 3] = [
    (Shade::Dark, 1.0),
    (Shade::Middle, 0.75),
    (Shade::Light, 0.42),
];

/// The material as the checks see it.
pub(super) fn material(properties: &Properties) -> Result<Material> {
    let need = |p| properties.need(p);
    Facts {
        name: properties.name().to_string(),
        family: Family::of_key(&properties.name().replace('-', "_")),
        density_kg_m3: need(Property::Density)?,
        modulus_pa: need(Property::YoungsModulus)?,
        poisson: properties.get(Property::PoissonRatio).unwrap_or(0.35),
        yield_pa: need(Property::YieldStrength)?,
        flexural_pa: need(Property::FlexuralStrength)?,
        tg_k: need(Property::GlassTransition)?,
        hdt_1820_k: need(Property::Hdt1820)?,
        hdt_455_k: need(Property::Hdt455)?,
        vicat_k: need(Property::Vicat)?,
        max_service_k: need(Property::MaxService)?,
        creep_factor: need(Property::CreepFactor)?,
        expansion_1_k: need(Property::Expansion)?,
    }
    .over_temperature()
}

/// How warm a part gets at its place in the sun.
///
/// The zone's figures hold for a dark part; its rise over the cabin's air is that of a lit surface and scales with the
/// absorptance of the finish (0.95 dark, 0.4 light; a plan takes 0.71 for the middle).
pub(super) fn warmth(
    setup: &Setup,
    place: &Place,
    shade: Shade,
    values: &mut Values,
) -> Result<Warmth> {
    use crate::mount::place::Zone;
    let sun = setup.job.job.sun;
    let zone = zone_temperature(place.zone, sun);
    let air = zone_temperature(Zone::CabinAir, sun);
    let lit_k = values.sourced(&format!("parked cabin: {}", place.zone.name()), &zone)?;
    let share = SHADE_SHARE
        .iter()
        .find(|(s, _)| *s == shade)
        .map_or(1.0, |(_, share)| *share);
    let rise = (lit_k - air.value).max(0.0);
    Ok(Warmth {
        temperature_k: lit_k - rise * (1.0 - share),
        plus_minus_k: (zone.high - zone.value).max(0.0),
    })
}
