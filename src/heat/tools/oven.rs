//! The oven, with still or driven air.

use serde::Serialize;

use crate::error::{Note, Range, Result, check};
use crate::heat::exposure::{Exposure, factor};
use crate::heat::film::{Lie, still_air};
use crate::sourced::{Constant, Standing};

/// An oven: its walls are taken as warm as its air, and it heats both faces.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Oven {
    /// Temperature of air and walls, measured beside the sheet. [K]
    pub air_k: f64,
    /// Whether a fan drives the air.
    pub fan: bool,
    /// Length that the air runs along the sheet. [m]
    pub length_m: f64,
}

/// Film coefficient in driven oven air.
pub const FAN_FILM: Constant = Constant {
    name: "oven.fan_film",
    value: 25.0,
    low: 15.0,
    high: 40.0,
    unit: "W/m2/K",
    source: "forced-air ovens, 15 to 40, remembered",
    standing: Standing::Remembered,
};
/// How well a shop oven holds its setting.
pub const SETTING_SPREAD_K: f64 = 10.0;

impl Oven {
    /// What the oven does to a face; both faces get the same.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for air outside 0 to 400 °C or a length outside 1 cm to 3 m.
    ///
    /// ```
    /// use mountwright::heat::tools::oven::Oven;
    /// let heat = Oven { air_k: 408.15, fan: true, length_m: 0.3 }.exposure()?;
    /// assert!(heat.film_low_w_m2_k < heat.film_w_m2_k);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn exposure(&self) -> Result<Exposure> {
        check(
            "oven.air_k",
            self.air_k,
            Range::new(273.15, 673.15, "K"),
            "measure beside the sheet",
        )?;
        check(
            "oven.length_m",
            self.length_m,
            Range::new(0.01, 3.0, "m"),
            "give the sheet's length",
        )?;
        let mut notes = vec![Note::new(
            "oven",
            "taken as holding its setting to ±10 K; measure beside the sheet, not at the dial",
        )];
        let (low, film, high, source) = if self.fan {
            (FAN_FILM.low, FAN_FILM.value, FAN_FILM.high, FAN_FILM.source)
        } else {
            // The sheet is cold at first and as warm as the air at last: half of the way is typical.
            let typical_k = f64::midpoint(self.air_k, 293.15).min(self.air_k - 5.0);
            let still = still_air(typical_k, self.air_k, self.length_m, Lie::Upright)?;
            notes.extend(still.notes);
            (
                0.6 * still.value,
                still.value,
                1.8 * still.value,
                "Churchill and Chu 1975, upright; level shelves and drafts widen it",
            )
        };
        Ok(Exposure {
            source: if self.fan { "fan oven" } else { "still oven" }.into(),
            film_low_w_m2_k: low,
            film_high_w_m2_k: high,
            gas_low_k: self.air_k - SETTING_SPREAD_K,
            gas_high_k: self.air_k + SETTING_SPREAD_K,
            factors: vec![
                factor(
                    "heat.film_w_m2_k",
                    (low, film, high),
                    "W/m2/K",
                    source,
                    Standing::Derived,
                ),
                factor(
                    "heat.gas_k",
                    (
                        self.air_k - SETTING_SPREAD_K,
                        self.air_k,
                        self.air_k + SETTING_SPREAD_K,
                    ),
                    "K",
                    "shop ovens, common practice",
                    Standing::CommonPractice,
                ),
            ],
            notes,
            ..Exposure::fixed(film, self.air_k, self.air_k)?
        })
    }
}
