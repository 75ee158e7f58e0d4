//! What a source of heat does to a face of the sheet, with its range.

use serde::Serialize;

use super::slab::{Face, TEMPERATURE};
use super::tools::gun::Aim;
use crate::error::{Error, Note, Range, Result, check};
use crate::sourced::{Constant, Standing};

/// A radiating body in front of the face; the rest of the view is the room.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Radiator {
    /// Its temperature. [K]
    pub temperature_k: f64,
    /// Its emissivity.
    pub emissivity: f64,
    /// Share of the face's view that it fills.
    pub view: f64,
}

/// What a source of heat does to the face that it is turned to.
///
/// `film_w_m2_k` is the area mean over the patch, and `gas_k` the adiabatic wall temperature weighted by it, so that
/// `film (gas − T)` is the mean heat by convection. Every number that is uncertain stands in `factors`; draw them and pass
/// them to [`Exposure::with`].
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Exposure {
    /// The source: `hot-air gun`.
    pub source: String,
    /// Film coefficient (or contact conductance). [W/m²/K]
    pub film_w_m2_k: f64,
    /// Its low bound. [W/m²/K]
    pub film_low_w_m2_k: f64,
    /// Its high bound. [W/m²/K]
    pub film_high_w_m2_k: f64,
    /// Temperature that the film is referred to. [K]
    pub gas_k: f64,
    /// Its low bound. [K]
    pub gas_low_k: f64,
    /// Its high bound. [K]
    pub gas_high_k: f64,
    /// Temperature of the walls that the face sees beside the radiator. [K]
    pub surroundings_k: f64,
    /// A radiating body in front of the face.
    pub radiator: Option<Radiator>,
    /// Whether the face exchanges radiation at all; not in a bath or against a bar.
    pub radiates: bool,
    /// Absorbed flux that does not depend on the face. [W/m²]
    pub flux_w_m2: f64,
    /// Uncertain inputs, in the order in which [`Exposure::with`] takes their values.
    pub factors: Vec<Constant>,
    /// What is to be known: correlations outside their range, cautions.
    pub notes: Vec<Note>,
    /// The gun that gave it, to be worked out again for drawn factors.
    #[serde(skip)]
    pub(crate) aim: Option<Aim>,
}

impl Exposure {
    /// A film and a gas temperature from elsewhere, without a range.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a film outside 0 to 1e6 W/m²/K or a temperature outside 150 to 1500 K.
    pub fn fixed(film_w_m2_k: f64, gas_k: f64, surroundings_k: f64) -> Result<Self> {
        check(
            "film_w_m2_k",
            film_w_m2_k,
            Range::new(0.0, 1e6, "W/m2/K"),
            "give a film coefficient",
        )?;
        check("gas_k", gas_k, TEMPERATURE, "use kelvin")?;
        check("surroundings_k", surroundings_k, TEMPERATURE, "use kelvin")?;
        Ok(Self {
            source: "given film".into(),
            film_w_m2_k,
            film_low_w_m2_k: film_w_m2_k,
            film_high_w_m2_k: film_w_m2_k,
            gas_k,
            gas_low_k: gas_k,
            gas_high_k: gas_k,
            surroundings_k,
            radiator: None,
            radiates: true,
            flux_w_m2: 0.0,
            factors: Vec::new(),
            notes: Vec::new(),
            aim: None,
        })
    }

    /// What acts on a face of the sheet.
    ///
    /// Exchange with a radiator is that of two grey faces of equal size,
    /// `1/[(1−ε₁)/ε₁ + 1/F + (1−ε₂)/ε₂]`; both exchanges are merged into one with the fourth-power mean.
    pub fn face(&self, sheet_emissivity: f64) -> Face {
        let own = if self.radiates { sheet_emissivity } else { 0.0 };
        let (emissivity, surroundings_k) = match self.radiator {
            Some(r) if own > 0.0 && r.view > 0.0 && r.emissivity > 0.0 => {
                let pair =
                    1.0 / ((1.0 - own) / own + 1.0 / r.view + (1.0 - r.emissivity) / r.emissivity);
                let room = own * (1.0 - r.view);
                let fourth = (pair * r.temperature_k.powi(4) + room * self.surroundings_k.powi(4))
                    / (pair + room);
                (pair + room, fourth.sqrt().sqrt())
            }
            _ => (own, self.surroundings_k),
        };
        Face {
            film_w_m2_k: self.film_w_m2_k,
            gas_k: self.gas_k,
            emissivity,
            surroundings_k,
            flux_w_m2: self.flux_w_m2,
            ..Face::INSULATED
        }
    }

    /// The same source with drawn values of its [`factors`](Self::factors), in their order.
    ///
    /// # Errors
    /// [`Error::Shape`] for another number of values; [`Error::OutOfRange`] for values that cannot be.
    pub fn with(&self, values: &[f64]) -> Result<Self> {
        if values.len() != self.factors.len() {
            return Err(Error::Shape {
                what: "values of the exposure's factors".into(),
                given: format!("{} values", values.len()),
                allowed: format!("{}, one for each factor", self.factors.len()),
            });
        }
        if let Some(aim) = &self.aim {
            return aim.exposure_with(values, self);
        }
        let mut drawn = self.clone();
        for (factor, &value) in self.factors.iter().zip(values) {
            match factor.name {
                "heat.film_w_m2_k" => {
                    let range = Range::new(0.0, 1e6, "W/m2/K");
                    drawn.film_w_m2_k =
                        check(factor.name, value, range, "give a film coefficient")?;
                }
                "heat.radiator_k" => {
                    let t = check(factor.name, value, TEMPERATURE, "use kelvin")?;
                    if let Some(r) = &mut drawn.radiator {
                        r.temperature_k = t;
                    }
                }
                _ => drawn.gas_k = check(factor.name, value, TEMPERATURE, "use kelvin")?,
            }
        }
        Ok(drawn)
    }

    /// The same source with its film multiplied and its effectiveness shifted; for calibration.
    pub(crate) fn tuned(&self, film_factor: f64, shift: f64) -> Result<Self> {
        if let Some(aim) = &self.aim {
            return aim.tuned(film_factor, shift);
        }
        let excess = self.gas_k - self.surroundings_k;
        Ok(Self {
            film_w_m2_k: self.film_w_m2_k * film_factor,
            gas_k: (self.gas_k + shift * excess).clamp(TEMPERATURE.low, TEMPERATURE.high),
            ..self.clone()
        })
    }
}

/// An uncertain input of a source.
pub(crate) fn factor(
    name: &'static str,
    (low, value, high): (f64, f64, f64),
    unit: &'static str,
    source: &'static str,
    standing: Standing,
) -> Constant {
    Constant {
        name,
        value,
        low,
        high,
        unit,
        source,
        standing,
    }
}
