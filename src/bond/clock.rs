//! How long one stage of a cure takes in steady air.

use serde::Serialize;

use super::kinetics::Kinetics;
use super::shift::{Shift, TIMES_S};
use crate::climate::{Air, Climate};
use crate::error::{Error, Range, Result, check};
use crate::sourced::{Constant, Standing};

const fn buck(name: &'static str, value: f64, unit: &'static str) -> Constant {
    Constant::exact(
        name,
        value,
        unit,
        "Buck 1981, saturation pressure over water, from memory",
        Standing::Remembered,
    )
}
/// Saturation pressure at 0 °C.
pub const VAPOUR_AT_ZERO: Constant = buck("vapour.at_zero", 611.21, "Pa");
/// Slope of its logarithm.
pub const VAPOUR_SLOPE: Constant = buck("vapour.slope", 18.678, "1");
/// How the slope falls with temperature.
pub const VAPOUR_FALL: Constant = buck("vapour.fall", 234.5, "K");
/// Its pole below 0 °C.
pub const VAPOUR_POLE: Constant = buck("vapour.pole", 257.14, "K");

/// Saturation pressure of water vapour over water after Buck (1981), from memory: `611.21 exp{(18.678 - T/234.5) T/(257.14 + T)}`, T in °C. [Pa]
///
/// For -40 to 100 °C.
///
/// ```
/// assert!((mountwright::bond::clock::saturation_pa(296.15) - 2809.85).abs() < 0.01);
/// ```
pub fn saturation_pa(temperature_k: f64) -> f64 {
    let t = temperature_k - 273.15;
    let slope = VAPOUR_SLOPE.value - t / VAPOUR_FALL.value;
    VAPOUR_AT_ZERO.value * (slope * t / (VAPOUR_POLE.value + t)).exp()
}

/// One temperature band of a solvent-cement schedule.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// The band holds above this temperature, the edge itself belongs to the colder band. [K]
    pub above_k: f64,
    /// Time in this band. [s]
    pub time_s: f64,
}

/// How long one stage takes in steady air.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Clock {
    /// The same at any temperature: tape, cooling of a thin bead.
    Fixed {
        /// Time. [s]
        time_s: f64,
    },
    /// Published times shifted by temperature.
    Shifted(Shift),
    /// A surface cure driven by moisture (cyanoacrylate): time in inverse proportion to humidity, held outside 20 to 70 %.
    Humidity {
        /// Time at 50 % relative humidity. [s]
        half_humid_s: f64,
    },
    /// A skin, then hardening inwards with the square root of time (silicone sealant).
    Moisture {
        /// Time until a skin has formed. [s]
        skin_s: f64,
        /// Depth to be hardened. [m]
        depth_m: f64,
        /// Depth hardened in the first day at 23 °C and 50 % relative humidity. [m/day^0.5]
        depth_m_root_day: f64,
    },
    /// Temperature bands (solvent cement), hottest first.
    Banded {
        /// The bands; below the last one nothing sets.
        bands: Vec<Band>,
        /// Upper edge of the hottest band; above it that band is used, with a note. [K]
        until_k: f64,
        /// Times are longer by this factor in damp air.
        damp_factor: f64,
        /// Relative humidity above which air is damp.
        damp_above: f64,
    },
    /// A conversion of autocatalytic kinetics, where a resin's own parameters are known.
    Converted {
        /// The kinetics.
        kinetics: Kinetics,
        /// The conversion at which the stage is reached.
        conversion: f64,
    },
    /// A thin bead that cools to its setting temperature (hot melt): `tau ln((T_start - T)/(T_set - T))`.
    Cooling {
        /// Time constant. [s]
        time_constant_s: f64,
        /// Temperature when applied. [K]
        applied_k: f64,
        /// Temperature at which it is set. [K]
        set_k: f64,
    },
}

/// Humidity from which the cyanoacrylate law is used.
pub const DRIEST: Constant = Constant::practice("cyanoacrylate.driest", [0.1, 0.2, 0.3], "1");
/// Humidity up to which it is used.
pub const DAMPEST: Constant = Constant::practice("cyanoacrylate.dampest", [0.6, 0.7, 0.8], "1");

impl Clock {
    /// The clock itself, where its numbers are possible.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] or [`Error::Shape`] with the number that is not.
    pub fn checked(self) -> Result<Self> {
        let remedy = "copy it from the data sheet";
        let time = |what: &str, s: f64| check(what, s, TIMES_S, remedy).map(|_| ());
        let kelvin =
            |what: &str, k: f64| check(what, k, Range::new(200.0, 600.0, "K"), remedy).map(|_| ());
        match &self {
            Self::Fixed { time_s } => time("time_s", *time_s)?,
            Self::Shifted(_) => (),
            Self::Humidity { half_humid_s } => time("half_humid_s", *half_humid_s)?,
            Self::Moisture {
                skin_s,
                depth_m,
                depth_m_root_day,
            } => {
                check("skin_s", *skin_s, Range::new(0.0, 1e6, "s"), remedy)?;
                let range = Range::new(1e-6, 0.2, "m");
                check(
                    "depth_m",
                    *depth_m,
                    range,
                    "half the overlap, or the bead's height",
                )?;
                let range = Range::new(1e-5, 0.1, "m/day^0.5");
                check("depth_m_root_day", *depth_m_root_day, range, remedy)?;
            }
            Self::Banded {
                bands,
                until_k,
                damp_factor,
                damp_above,
            } => {
                kelvin("until_k", *until_k)?;
                if bands.is_empty() || bands.windows(2).any(|w| w[1].above_k >= w[0].above_k) {
                    return Err(Error::Shape {
                        what: "bands".into(),
                        given: format!("{} bands", bands.len()),
                        allowed: "at least one band, hottest first".into(),
                    });
                }
                for band in bands {
                    time("bands[].time_s", band.time_s)?;
                    kelvin("bands[].above_k", band.above_k)?;
                }
                check(
                    "damp_factor",
                    *damp_factor,
                    Range::new(1.0, 10.0, "1"),
                    remedy,
                )?;
                check("damp_above", *damp_above, Range::new(0.0, 1.0, "1"), remedy)?;
            }
            Self::Converted { conversion, .. } => {
                let range = Range::new(1e-6, 0.999_999, "1");
                check("conversion", *conversion, range, "full cure is about 0.95")?;
            }
            Self::Cooling {
                time_constant_s,
                applied_k,
                set_k,
            } => {
                time("time_constant_s", *time_constant_s)?;
                kelvin("applied_k", *applied_k)?;
                check("set_k", *set_k, Range::new(200.0, *applied_k, "K"), remedy)?;
            }
        }
        Ok(self)
    }

    /// Share of the stage that goes by in each second in this air: the inverse of its time in steady air, 0 where it stands still. [1/s]
    pub fn rate(&self, air: Air) -> f64 {
        match self {
            Self::Fixed { time_s } => 1.0 / time_s,
            Self::Shifted(shift) => shift.rate_1_s(air.temperature_k),
            Self::Humidity { half_humid_s } => {
                air.humidity.clamp(DRIEST.value, DAMPEST.value) / 0.5 / half_humid_s
            }
            Self::Moisture {
                skin_s,
                depth_m,
                depth_m_root_day,
            } => {
                let wet =
                    air.humidity * saturation_pa(air.temperature_k) / (0.5 * saturation_pa(296.15));
                if wet <= 0.0 {
                    return 0.0;
                }
                let days = (depth_m / depth_m_root_day).powi(2) / wet;
                1.0 / (skin_s + days * crate::climate::DAY_S)
            }
            Self::Banded {
                bands,
                damp_factor,
                damp_above,
                ..
            } => bands
                .iter()
                .find(|b| air.temperature_k > b.above_k)
                .map_or(0.0, |b| {
                    let damp = air.humidity > *damp_above;
                    1.0 / (b.time_s * if damp { *damp_factor } else { 1.0 })
                }),
            Self::Converted {
                kinetics,
                conversion,
            } => {
                let steady = Climate::constant(air.temperature_k, air.humidity);
                let reached = steady.and_then(|air| kinetics.reaches(*conversion, 0.0, &air));
                reached.ok().flatten().map_or(0.0, |t_s| 1.0 / t_s)
            }
            Self::Cooling {
                time_constant_s,
                applied_k,
                set_k,
            } => {
                let t = air.temperature_k;
                if t >= *set_k {
                    return 0.0;
                }
                // Never quicker than a thousandth of the time constant: an adhesive applied at its setting temperature has no open time.
                let spans = ((applied_k - t) / (set_k - t)).ln().max(1e-3);
                1.0 / (time_constant_s * spans)
            }
        }
    }

    /// Calls `kink` with every temperature at which the rate is not smooth.
    pub(crate) fn each_kink_k(&self, mut kink: impl FnMut(f64)) {
        match self {
            Self::Shifted(shift) => {
                shift.each_row_k(&mut kink);
                kink(shift.hold_above_k());
            }
            Self::Banded { bands, .. } => bands.iter().for_each(|b| kink(b.above_k)),
            Self::Cooling { set_k, .. } => kink(*set_k),
            Self::Fixed { .. }
            | Self::Humidity { .. }
            | Self::Moisture { .. }
            | Self::Converted { .. } => (),
        }
    }

    /// Calls `kink` with every humidity at which the rate is not smooth.
    pub(crate) fn each_kink_humidity(&self, mut kink: impl FnMut(f64)) {
        match self {
            Self::Humidity { .. } => {
                kink(DRIEST.value);
                kink(DAMPEST.value);
            }
            Self::Banded { damp_above, .. } => kink(*damp_above),
            Self::Fixed { .. }
            | Self::Shifted(_)
            | Self::Moisture { .. }
            | Self::Converted { .. }
            | Self::Cooling { .. } => (),
        }
    }
}
