//! What a mount stands at its place: how warm it gets, what its glue holds there.

use super::part::Glued;
use super::practice;
use super::setup::Setup;
use super::values::Values;
use crate::error::Result;
use crate::finish::{Catalogue, Shade};
use crate::job::Place;
use crate::mount::joint::GluedJoint;
use crate::mount::place::zone_temperature;
use crate::mount::service_heat::Warmth;

/// Rise of a surface against a dark one in the same sun, as a share of the dark one's rise over the air: that of what it takes up.
pub(super) fn shade_share(shade: Shade) -> Result<f64> {
    let finishes = Catalogue::standard()?;
    let takes_up = |shade| finishes.absorptance(shade).value;
    Ok(takes_up(shade) / takes_up(Shade::Dark))
}

/// How warm a part gets at its place in the sun.
///
/// The zone's figures hold for a dark part; its rise over the cabin's air is that of a lit surface and scales with the
/// absorptance of the finish.
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
    let share = shade_share(shade)?;
    let rise = (lit_k - air.value).max(0.0);
    Ok(Warmth {
        temperature_k: lit_k - rise * (1.0 - share),
        plus_minus_k: (zone.high - zone.value).max(0.0),
    })
}

/// How warm the warmest of several places gets.
pub(super) fn warmest(
    setup: &Setup,
    places: &[String],
    shade: Shade,
    values: &mut Values,
) -> Result<Warmth> {
    let mut warmest = Warmth {
        temperature_k: 0.0,
        plus_minus_k: 0.0,
    };
    for place in places {
        let here = warmth(setup, setup.place(place)?, shade, values)?;
        if here.temperature_k > warmest.temperature_k {
            warmest = here;
        }
    }
    Ok(warmest)
}

/// A glued joint of `area_m2` as the checks of the mount take it.
pub(super) fn joint(setup: &Setup, glued: &Glued, area_m2: f64) -> GluedJoint {
    let adhesive = setup.bonds.adhesive(&glued.joint.adhesive);
    GluedJoint {
        adhesive: glued.joint.name.clone(),
        area_m2,
        strength_pa: glued.joint.strength.value_pa,
        service_limit_k: adhesive
            .map_or(practice::USUAL_LIMIT.value, |a| a.service_temperature.value),
        peels: false,
    }
}
