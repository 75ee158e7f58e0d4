//! How warm the place of a mount gets.

use super::setup::Setup;
use super::values::Values;
use crate::error::Result;
use crate::finish::Shade;
use crate::job::Place;
use crate::mount::place::zone_temperature;
use crate::mount::service_heat::Warmth;

/// Rise of a light or middle surface against a dark one in the same sun, as a share of the dark one's rise over the air.
pub(super) const SHADE_SHARE: [(Shade, f64); 3] = [
    (Shade::Dark, 1.0),
    (Shade::Middle, 0.75),
    (Shade::Light, 0.42),
];

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
