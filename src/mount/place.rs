//! How hot the places of a parked cabin get.

use serde::{Deserialize, Serialize};

use crate::error::{Range, Result, check};
use crate::sourced::{Constant, Sourced, Standing};

/// Where in the vehicle a mount sits.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Zone {
    /// In the cabin, out of the sun: footwell, kick panel, console.
    CabinAir,
    /// Upper windscreen pillar with the sun on it.
    UpperPillar,
    /// Top of the dashboard.
    DashTop,
    /// Shelf below the rear window.
    ParcelShelf,
    /// Inside of a door, shaded by its trim.
    Door,
}

impl Zone {
    /// Every zone.
    pub const ALL: [Self; 5] = [
        Self::CabinAir,
        Self::UpperPillar,
        Self::DashTop,
        Self::ParcelShelf,
        Self::Door,
    ];

    /// The place in words.
    pub fn name(self) -> &'static str {
        match self {
            Self::CabinAir => "cabin, out of the sun",
            Self::UpperPillar => "upper pillar",
            Self::DashTop => "dash top",
            Self::ParcelShelf => "parcel shelf",
            Self::Door => "door",
        }
    }
}

/// How strong the summer is.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Climate {
    /// Sun at 25 °C outside.
    Mild,
    /// Sun at 35 °C outside.
    Hot,
    /// Sun at 45 °C outside.
    Extreme,
}

/// Half-width of the spread of every zone temperature. [K]
pub const ZONE_SPREAD: Constant = Constant {
    name: "mount.zone_spread",
    value: 6.0,
    low: 4.0,
    high: 8.0,
    unit: "K",
    source: "judged from the differences between the studies of parked cars",
    standing: Standing::Derived,
};

const ZONE_SOURCE: &str = "air: mean rise of 22 K in an hour over 16 clear days, Pediatrics 116 (2005) e109; dash and shelf: about 71 °C mean, up to 88 °C, Arizona 2016 and 2018, nearly 93 °C Florida energy centre 1990; pillar taken midway between air and dash, door from air: no published measurement of either was found";

/// Temperature of a part in a parked car in full sun, after an hour or more.
///
/// Spread ±6 K ([`ZONE_SPREAD`]); its law is what a plan draws from. The pillar and the door are inferred from air
/// and dash: no published measurement of them was found.
///
/// ```
/// use mountwright::mount::place::{zone_temperature, Climate, Zone};
/// let dash = zone_temperature(Zone::DashTop, Climate::Hot);
/// assert!((dash.value - (273.15 + 80.0)).abs() < 1e-9);
/// assert!((dash.high - dash.value - 6.0).abs() < 1e-9);
/// ```
pub fn zone_temperature(zone: Zone, climate: Climate) -> Sourced {
    let [mild, hot, extreme] = match zone {
        Zone::CabinAir => [47.0, 57.0, 67.0],
        Zone::UpperPillar => [57.0, 70.0, 82.0],
        Zone::DashTop => [68.0, 80.0, 94.0],
        Zone::ParcelShelf => [68.0, 80.0, 90.0],
        Zone::Door => [45.0, 55.0, 65.0],
    };
    let celsius = match climate {
        Climate::Mild => mild,
        Climate::Hot => hot,
        Climate::Extreme => extreme,
    };
    let value = celsius + 273.15;
    Sourced {
        value,
        low: value - ZONE_SPREAD.value,
        high: value + ZONE_SPREAD.value,
        unit: "K".into(),
        source: ZONE_SOURCE.into(),
        standing: Standing::Derived,
        note: "a part with the sun on it and a dark face; see sun_surface_k for another colour"
            .into(),
    }
}

/// Time constant of the warming of a parked cabin. [s]
pub const WARM_UP: Constant = Constant {
    name: "mount.warm_up",
    value: 21.6 * 60.0,
    low: 9.0 * 60.0,
    high: 21.6 * 60.0,
    unit: "s",
    source: "80 % of the rise of one hour in the first 30 min (Pediatrics 116 (2005) e109) gives 21.6 min; 80 % in 15 min (Brisbane survey of 1995) gives about 9 min",
    standing: Standing::Derived,
};

/// Share of the final rise that a cabin has reached after `parked_s`: `1 - exp(-t/tau)`.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a time below 0 or above 1e7 s.
pub fn warm_up_share(parked_s: f64) -> Result<f64> {
    let t = check(
        "parked_s",
        parked_s,
        Range::new(0.0, 1e7, "s"),
        "give the time in the sun in seconds",
    )?;
    Ok(-(-t / WARM_UP.value).exp_m1())
}

/// Sun on a face behind glass.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Sun {
    /// Share of the light that the face takes up: about 0.95 black, 0.4 light grey.
    pub absorptance: f64,
    /// Share of the sun that the glass lets through; 0.55 for tinted windscreens.
    pub glass_transmittance: f64,
    /// Sun on the glass. [W/m²]
    pub irradiance_w_m2: f64,
    /// Convection and radiation from the face together; 12 to 18 in a still cabin. [W/m²/K]
    pub film_w_m2_k: f64,
}

impl Default for Sun {
    /// A black face under a high sun: 0.95, 0.55, 950 W/m², 15 W/m²/K.
    fn default() -> Self {
        Self {
            absorptance: 0.95,
            glass_transmittance: 0.55,
            irradiance_w_m2: 950.0,
            film_w_m2_k: 15.0,
        }
    }
}

/// Temperature of a sun-lit face over the air of the cabin: `T = T_air + a t G / h`.
///
/// The back is taken as insulated, so it is an upper estimate.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for shares outside 0 to 1, an irradiance above 1500 W/m² or a film outside 2 to 200 W/m²/K.
///
/// ```
/// use mountwright::mount::place::{sun_surface_k, Sun};
/// let black = sun_surface_k(330.0, Sun::default())?;
/// assert!((black - 330.0 - 33.1).abs() < 0.05);
/// let light = sun_surface_k(330.0, Sun { absorptance: 0.4, ..Sun::default() })?;
/// assert!(light < black);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn sun_surface_k(air_k: f64, sun: Sun) -> Result<f64> {
    let share = Range::new(0.0, 1.0, "");
    let air = check("air_k", air_k, Range::new(200.0, 400.0, "K"), "give kelvin")?;
    let a = check(
        "absorptance",
        sun.absorptance,
        share,
        "black is about 0.95, light grey 0.4",
    )?;
    let t = check(
        "glass_transmittance",
        sun.glass_transmittance,
        share,
        "0.55 for tinted glass",
    )?;
    let g = check(
        "irradiance_w_m2",
        sun.irradiance_w_m2,
        Range::new(0.0, 1500.0, "W/m²"),
        "full sun is about 1000 W/m²",
    )?;
    let h = check(
        "film_w_m2_k",
        sun.film_w_m2_k,
        Range::new(2.0, 200.0, "W/m²/K"),
        "12 to 18 W/m²/K in a still cabin",
    )?;
    Ok(air + a * t * g / h)
}
