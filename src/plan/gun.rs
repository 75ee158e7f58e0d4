//! The shop's gun, aimed at a strap, with the drawn values of what is uncertain in it.

use super::practice::{BY_EYE, NOZZLE, PATCH_LENGTH, PATCH_WIDTH, TRIAL_AIR, TRIAL_TURN};
use super::rack::InRack;
use super::setup::Setup;
use super::values::Values;
use crate::error::{Error, Range, Result, check};
use crate::file::{Length, Power, Temperature};
use crate::heat::calibrate::{Calibration, Coupon, Seen, calibrate, possible_limp_s};
use crate::heat::{Ask, Back, Exposure, HotAirGun, Limits, Sheet};
use crate::material::Catalogue;
use crate::shop::{self, Gun, ShopFile};

/// What is meant by a trial about which nothing is said, wherever it is noted: in the shop's file, its memory or Python.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct UsualTrial {
    /// Width and length of the heated patch. [m]
    pub(crate) patch_m: (f64, f64),
    /// Air of the shop. [K]
    pub(crate) air_k: f64,
    /// Standard uncertainty of the time, as a share.
    pub(crate) uncertainty: f64,
}

impl UsualTrial {
    /// The usual trial.
    pub(crate) fn get() -> Self {
        Self {
            patch_m: (PATCH_WIDTH.value, PATCH_LENGTH.value),
            air_k: TRIAL_AIR.value,
            uncertainty: BY_EYE.value,
        }
    }
}

/// What the gun does to the patch; one gun serves a whole plan, so its factors are drawn once.
pub(super) fn exposure(
    setup: &Setup,
    distance_m: f64,
    patch_m: (f64, f64),
    air_k: f64,
    values: &mut Values,
) -> Result<Exposure> {
    let tool = setup.gun.clone().in_room(air_k);
    let usual = tool.at(distance_m, patch_m)?;
    let drawn = usual
        .factors
        .iter()
        .map(|factor| values.caused(&format!("gun: {}", factor.name), factor.sourced().law()))
        .collect::<Result<Vec<f64>>>()?;
    let mut exposure = usual.with(&drawn)?;
    if let Some(fit) = &setup.trials {
        exposure.notes.extend(fit.notes.iter().cloned());
    }
    Ok(exposure)
}

/// The gun as the shop knows it, narrowed by its coupons and by the sheets of the rack that were timed, and what they told.
pub(super) fn known(
    shop: &ShopFile,
    materials: &Catalogue,
    rack: &[InRack],
) -> Result<(HotAirGun, Option<Calibration>)> {
    let tool = tool(&shop.shop.gun)?;
    let mut coupons = shop
        .coupons()
        .map(|coupon| trial(coupon, &tool, materials))
        .collect::<Result<Vec<_>>>()?;
    for own in rack {
        coupons.extend(timed(own, &tool)?);
    }
    if coupons.is_empty() {
        return Ok((tool, None));
    }
    let fit = calibrate(&coupons)?;
    Ok((tool.calibrated(&fit), Some(fit)))
}

/// Refuses a trial that no gun like the shop's can have had: a stopped watch, minutes for seconds, another sheet.
///
/// # Errors
/// [`Error::OutOfRange`] with the times that are possible; what a recipe refuses.
pub fn possible_trial(gun: &Gun, coupon: &shop::Coupon, materials: &Catalogue) -> Result<()> {
    let told = trial(coupon, &tool(gun)?, materials)?;
    let (quickest, slowest) = possible_limp_s(&told.ask)?;
    let Some(quickest) = quickest else {
        return Err(Error::Impossible {
            what: format!(
                "{} limp under \"{}\" at this distance",
                coupon.material, gun.name
            ),
            why: "even the hottest gun of this kind does not warm it so far".into(),
            remedy: "look at material, distance and size of the piece once more".into(),
        });
    };
    let range = Range::new(quickest.floor(), slowest.unwrap_or(3600.0).ceil(), "s");
    check(
        "trial.limp_after_s",
        coupon.limp_after.si(),
        range,
        "outside it the trial was of another sheet, distance or setting, or the watch is wrong: try again",
    )?;
    Ok(())
}

fn trial(coupon: &shop::Coupon, tool: &HotAirGun, materials: &Catalogue) -> Result<Coupon> {
    let properties = materials.get(&coupon.material)?.properties();
    let usual = UsualTrial::get();
    let air_k = coupon.air.map_or(usual.air_k, Temperature::si);
    let patch_m = (
        coupon.width.map_or(usual.patch_m.0, Length::si),
        coupon.length.map_or(usual.patch_m.1, Length::si),
    );
    let exposure = tool
        .clone()
        .in_room(air_k)
        .at(coupon.distance.si(), patch_m)?;
    let back = coupon.turn_every.map_or(Back::Open, |every| Back::Turned {
        every_s: every.si(),
    });
    let sheet = Sheet::of(&properties, coupon.thickness.si())?;
    let ask = Ask {
        width_m: patch_m.0,
        ..Ask::new(sheet, Limits::of(&properties)?, exposure, air_k, back)
    };
    Ok(Coupon {
        ask,
        seen: Seen::Limp {
            seconds: coupon.limp_after.si(),
            uncertainty: usual.uncertainty,
        },
    })
}

/// A measured sheet of the rack as a coupon, with its own numbers; `None` where it was not timed.
fn timed(own: &InRack, tool: &HotAirGun) -> Result<Option<Coupon>> {
    let Some((seconds, distance_m)) = own.limp else {
        return Ok(None);
    };
    let properties = own.sheet.material.properties();
    let usual = UsualTrial::get();
    let exposure = (tool.clone().in_room(usual.air_k)).at(distance_m, usual.patch_m)?;
    let sheet = Sheet::of(&properties, own.sheet.thickness.value)?;
    let back = Back::Turned {
        every_s: TRIAL_TURN.value,
    };
    let ask = Ask {
        width_m: usual.patch_m.0,
        ..Ask::new(sheet, Limits::of(&properties)?, exposure, usual.air_k, back)
    };
    let seen = Seen::Limp {
        seconds,
        uncertainty: usual.uncertainty,
    };
    Ok(Some(Coupon { ask, seen }))
}

fn tool(gun: &Gun) -> Result<HotAirGun> {
    let nozzle_m = gun.nozzle.map_or(NOZZLE.value, Length::si);
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
    tool.rated_w = gun.power.map(Power::si);
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
