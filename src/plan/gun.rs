//! The shop's gun, aimed at a strap, with the drawn values of what is uncertain in it.

use super::values::Values;
use crate::error::Result;
use crate::heat::{Exposure, HotAirGun};
use crate::shop::Gun;

/// Nozzle of a gun about which nothing is said; common practice, no source. [m]
const NOZZLE_M: f64 = 0.034;

/// What the gun does to the patch; one gun serves a whole plan, so its factors are drawn once.
pub(super) fn exposure(
    gun: &Gun,
    distance_m: f64,
    patch_m: (f64, f64),
    air_k: f64,
    values: &mut Values,
) -> Result<Exposure> {
    let tool = tool(gun)?.in_room(air_k);
    let usual = tool.at(distance_m, patch_m)?;
    let drawn = usual
        .factors
        .iter()
        .map(|factor| values.caused(&format!("gun: {}", factor.name), factor.sourced().law()))
        .collect::<Result<Vec<f64>>>()?;
    usual.with(&drawn)
}

fn tool(gun: &Gun) -> Result<HotAirGun> {
    let nozzle_m = gun.nozzle.map_or(NOZZLE_M, super::super::file::Length::si);
    let mut tool = match (&gun.setting, gun.air, gun.airflow) {
        (Some(setting), ..) => HotAirGun {
            nozzle_m,
            ..HotAirGun::two_setting(setting)?
        },
        (None, Some(air), Some(flow)) => HotAirGun::new(air.si(), flow.si(), nozzle_m)?,
        // The file's own checks refuse the rest.
        (None, ..) => HotAirGun {
            nozzle_m,
            ..HotAirGun::two_setting("I")?
        },
    };
    tool.rated_w = gun.power.map(super::super::file::Power::si);
    Ok(tool)
}

/// The gun in words.
pub(super) fn words(gun: &Gun) -> String {
    match (&gun.setting, gun.air) {
        (Some(setting), _) => format!("{}, two-setting gun on {setting}", gun.name),
        (None, Some(air)) => format!("{}, dial at {:.0} °C", gun.name, air.si() - 273.15),
        (None, None) => gun.name.clone(),
    }
}
