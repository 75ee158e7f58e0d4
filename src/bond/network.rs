//! What the network is at a conversion: gel point, glass transition, and how its stiffness slows the reaction.

use serde::Serialize;

use crate::error::{Range, Result, check};
use crate::physics::GAS_CONSTANT;

/// Conversion of epoxide at gelation after Flory and Stockmayer: `sqrt{r/[(f_a - 1)(f_e - 1)]}`, at most 1.
///
/// `ratio` is amine hydrogen over epoxide, `amine` and `epoxide` the functionalities. From memory (standard).
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a ratio outside 0.01 to 100 or functionalities outside 2 to 20.
///
/// ```
/// let gel = mountwright::bond::network::gel_conversion(1.0, 4.0, 2.0)?;
/// assert!((gel - 0.57735).abs() < 1e-5);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn gel_conversion(ratio: f64, amine: f64, epoxide: f64) -> Result<f64> {
    let range = Range::new(0.01, 100.0, "1");
    check(
        "ratio",
        ratio,
        range,
        "amine hydrogen over epoxide, 1 when balanced",
    )?;
    let range = Range::new(2.0, 20.0, "1");
    check(
        "amine",
        amine,
        range,
        "reactive hydrogens of one amine, 4 for a diamine",
    )?;
    check(
        "epoxide",
        epoxide,
        range,
        "epoxide groups of one resin, usually 2",
    )?;
    Ok((ratio / ((amine - 1.0) * (epoxide - 1.0))).sqrt().min(1.0))
}

/// Glass transition over conversion (DiBenedetto): `Tg = Tg0 + (Tginf - Tg0) L a/[1 - (1 - L) a]`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Glass {
    /// Of the unreacted mix. [K]
    pub start_k: f64,
    /// Fully reacted. [K]
    pub end_k: f64,
    /// Shape L.
    pub shape: f64,
}

impl Glass {
    /// A relation, checked.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for temperatures outside 100 to 700 K or not rising, a shape outside 0.01 to 1.
    pub fn new(start_k: f64, end_k: f64, shape: f64) -> Result<Self> {
        let remedy = "take it from the paper or from DSC";
        check("start_k", start_k, Range::new(100.0, 700.0, "K"), remedy)?;
        check(
            "end_k",
            end_k,
            Range::new(start_k + 1.0, 701.0, "K"),
            remedy,
        )?;
        check("shape", shape, Range::new(0.01, 1.0, "1"), remedy)?;
        Ok(Self {
            start_k,
            end_k,
            shape,
        })
    }

    /// Glass transition at a conversion. [K]
    pub fn at(&self, conversion: f64) -> f64 {
        let a = conversion.clamp(0.0, 1.0);
        self.start_k + (self.end_k - self.start_k) * self.shape * a / (1.0 - (1.0 - self.shape) * a)
    }

    /// Conversion at which the glass transition reaches a temperature (vitrification): `y/[L + (1 - L) y]`; 0 and 1 outside.
    pub fn conversion(&self, temperature_k: f64) -> f64 {
        let y = ((temperature_k - self.start_k) / (self.end_k - self.start_k)).clamp(0.0, 1.0);
        y / (self.shape + (1.0 - self.shape) * y)
    }
}

/// How a stiff network slows the reaction.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Diffusion {
    /// Not at all.
    None,
    /// The rate runs out over the last 0.02 of conversion before the glass transition is `above_k` over the cure temperature (room-temperature
    /// cures end 15 to 25 K above; an assumption).
    Cap {
        /// Glass transition over conversion.
        glass: Glass,
        /// How far over the cure temperature. [K]
        above_k: f64,
    },
    /// The rate is divided by `1 + exp[C (a - ac)]`, `ac = ac0 + acT T`.
    Sigmoid {
        /// Steepness C.
        steepness: f64,
        /// `ac0`.
        at_zero: f64,
        /// `acT`. [1/K]
        slope_1_k: f64,
    },
    /// Rabinowitch: `1/k = 1/kc + 1/kd`, `kd = Ad exp(-Ed/RT) exp(-b/f)`, free volume `f = w (T - Tg) + g`, nothing at `f <= 0`.
    FreeVolume {
        /// Glass transition over conversion.
        glass: Glass,
        /// `Ad`. [1/s]
        factor_1_s: f64,
        /// `Ed`. [J/mol]
        energy_j_mol: f64,
        /// `b`.
        b: f64,
        /// `w`. [1/K]
        w_1_k: f64,
        /// `g`.
        g: f64,
    },
}

/// Conversion over which [`Diffusion::Cap`] takes the rate to nothing: a jump would stall the integrator.
const TAPER: f64 = 0.02;

impl Diffusion {
    /// A rate constant as slowed at a conversion and temperature. [1/s]
    pub(crate) fn slowed(&self, k_1_s: f64, conversion: f64, temperature_k: f64) -> f64 {
        match *self {
            Self::None => k_1_s,
            Self::Cap { glass, above_k } => {
                let cap = glass.conversion(temperature_k + above_k);
                if cap >= 1.0 {
                    k_1_s
                } else {
                    k_1_s * ((cap - conversion) / TAPER).clamp(0.0, 1.0)
                }
            }
            Self::Sigmoid {
                steepness,
                at_zero,
                slope_1_k,
            } => {
                let ac = at_zero + slope_1_k * temperature_k;
                k_1_s / (1.0 + (steepness * (conversion - ac)).exp())
            }
            Self::FreeVolume {
                glass,
                factor_1_s,
                energy_j_mol,
                b,
                w_1_k,
                g,
            } => {
                let f = w_1_k * (temperature_k - glass.at(conversion)) + g;
                if f <= 0.0 {
                    return 0.0;
                }
                let kd = factor_1_s
                    * (-energy_j_mol / (GAS_CONSTANT.value * temperature_k) - b / f).exp();
                k_1_s * kd / (k_1_s + kd)
            }
        }
    }
}
