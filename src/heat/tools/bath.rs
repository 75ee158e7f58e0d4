//! The hot-water bath.

use serde::Serialize;

use crate::error::{Note, Range, Result, check};
use crate::heat::exposure::{Exposure, factor};
use crate::sourced::{Constant, Standing};

/// A bath of hot water; it heats both faces.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bath {
    /// Temperature of the water. [K]
    pub water_k: f64,
}

/// Film coefficient in a bath that is stirred by hand.
pub const BATH_FILM: Constant = Constant {
    name: "bath.film",
    value: 800.0,
    low: 400.0,
    high: 2000.0,
    unit: "W/m2/K",
    source: "still water by Churchill and Chu 600 to 1450; stirred 600 to 2000, remembered",
    standing: Standing::Remembered,
};

impl Bath {
    /// What the bath does to a face. The range of the film hardly matters: a sheet of 1.5 mm or more is at bath
    /// temperature on its face within seconds.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for water outside 0 to 100 °C.
    ///
    /// ```
    /// use mountwright::heat::tools::bath::Bath;
    /// assert!(Bath { water_k: 343.15 }.exposure()?.film_w_m2_k > 400.0);
    /// assert!(Bath { water_k: 400.0 }.exposure().is_err());
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn exposure(&self) -> Result<Exposure> {
        check(
            "bath.water_k",
            self.water_k,
            Range::new(273.15, 373.15, "K"),
            "water boils at 100 °C",
        )?;
        Ok(Exposure {
            source: "hot-water bath".into(),
            film_low_w_m2_k: BATH_FILM.low,
            film_high_w_m2_k: BATH_FILM.high,
            gas_low_k: self.water_k - 3.0,
            gas_high_k: (self.water_k + 3.0).min(373.15),
            radiates: false,
            factors: vec![
                factor(
                    "heat.film_w_m2_k",
                    (BATH_FILM.low, BATH_FILM.value, BATH_FILM.high),
                    "W/m2/K",
                    BATH_FILM.source,
                    BATH_FILM.standing,
                ),
                factor(
                    "heat.gas_k",
                    (
                        self.water_k - 3.0,
                        self.water_k,
                        (self.water_k + 3.0).min(373.15),
                    ),
                    "K",
                    "a bath is even to ±3 K, common practice",
                    Standing::CommonPractice,
                ),
            ],
            notes: vec![Note::new(
                "hot-water bath",
                "out of the bath the wet face cools two to three times as fast until it is dry",
            )],
            ..Exposure::fixed(BATH_FILM.value, self.water_k, self.water_k)?
        })
    }
}
