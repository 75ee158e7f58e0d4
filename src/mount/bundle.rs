//! What every finished part is checked for: the sun, its own weight, the road and a shock.

use super::beam::Held;
use super::check::{Check, or_thicker};
use super::service_heat::{self, Made, Warmth};
use super::sheet::Material;
use super::shock::{self, HalfSine};
use super::vibration::{self, Shaken};
use crate::error::Result;
use crate::physics::GRAVITY;
use crate::sourced::Constant;

/// From a warm shop to a winter night: the least swing that the holes have to allow.
pub(super) const COLD_SWING: Constant =
    Constant::practice("mount.cold_swing", [30.0, 45.0, 60.0], "K");

/// What one thickness of a part does under load.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bent {
    pub(super) shaken: Shaken,
    /// Deflection under its weight for a modulus of 1 Pa. [m Pa]
    pub(super) sag_times_modulus: f64,
}

/// A part and its place.
#[derive(Debug, Clone, Copy)]
pub(super) struct Exposed<'a> {
    pub(super) part: &'a str,
    pub(super) material: &'a Material,
    pub(super) warmth: Warmth,
    pub(super) held: Held,
    pub(super) made: Made,
    pub(super) thickness_m: f64,
    pub(super) sag_limit_m: f64,
    pub(super) q: f64,
    pub(super) shock: HalfSine,
}

/// Shape recovery, softening, the maker's limit, sag, road and shock, with the thickness that would pass.
///
/// Stiffness and strength are those at the likeliest temperature in the sun; its spread is the reserve of the checks
/// on temperature, and a plan draws it for the rest.
pub(super) fn in_service(
    e: &Exposed<'_>,
    bent: impl Fn(f64) -> Result<Bent>,
) -> Result<Vec<Check>> {
    let here = bent(e.thickness_m)?;
    let weight_pa = GRAVITY.value * here.shaken.stress_per_m_s2;
    let sag = |t: f64| {
        let load = bent(t)?.sag_times_modulus;
        service_heat::sag(e.part, e.material, e.warmth, load, e.sag_limit_m)
    };
    let road = |t: f64| vibration::road(e.part, &bent(t)?.shaken, e.q);
    let shock = |t: f64| shock::shock(e.part, &bent(t)?.shaken, e.shock, e.q);

    let mut found = Vec::new();
    found.extend(service_heat::recovery(
        e.part, e.material, e.warmth, e.held, e.made,
    )?);
    found.push(service_heat::softening(
        e.part, e.material, e.warmth, e.held, weight_pa,
    )?);
    found.push(service_heat::steady_service(e.part, e.material, e.warmth)?);
    let t = e.thickness_m;
    found.push(or_thicker(sag(t)?, t, sag)?);
    found.push(or_thicker(road(t)?, t, road)?);
    found.push(or_thicker(shock(t)?, t, shock)?);
    Ok(found)
}
