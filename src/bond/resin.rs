//! A resin with its kinetics, gel point and glass transition, and its way through any history.

use serde::Serialize;

use super::kinetics::Kinetics;
use super::network::{Diffusion, Glass, gel_conversion};
use crate::climate::Climate;
use crate::error::{Error, Range, Result, check};

/// A resin whose parameters are known.
///
/// ```
/// use mountwright::bond::Resin;
/// use mountwright::climate::Climate;
/// // Hein (2018), a hot-cure resin, at 120 °C: the gel point, 0.57735, is passed after 239 minutes.
/// let path = Resin::published("hein-2018")?.path(0.0, &[0.0, 20_000.0], &Climate::constant(393.15, 0.5)?)?;
/// assert!((path.gel_s.unwrap_or(0.0) / 60.0 - 239.068).abs() < 0.001);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Resin {
    /// Rate over conversion and temperature.
    pub kinetics: Kinetics,
    /// Conversion at which it gels; `None` where it is not known.
    pub gel: Option<f64>,
    /// Glass transition over conversion; `None` where it is not known.
    pub glass: Option<Glass>,
    /// Where the numbers come from.
    pub source: &'static str,
}

/// Conversion and state of a resin along a history.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Path {
    /// Conversion at each instant.
    pub conversion: Vec<f64>,
    /// Glass transition at each instant; empty where it is not known. [K]
    pub glass_k: Vec<f64>,
    /// Instant of the gel point; `None` where it is not reached or not known. [s]
    pub gel_s: Option<f64>,
    /// First instant at which the glass transition is at the air's temperature or above it (vitrification), looked for at the instants given. [s]
    pub vitrifies_s: Option<f64>,
}

/// Names that [`Resin::published`] knows.
pub const NAMES: [&str; 4] = [
    "karkanas-1998",
    "pantelelis-2005",
    "hein-2018",
    "room-temperature",
];

impl Resin {
    /// A resin of the literature, by its name: `karkanas-1998`, `pantelelis-2005`, `hein-2018` are sets for one hot-cure transfer-moulding resin (they differ by
    /// a factor of 1.6 in gel time: good fits do); `room-temperature` is derived here, for illustration.
    ///
    /// Epoxide of two groups with a diamine, balanced: gel at 0.57735.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest names.
    pub fn published(name: &str) -> Result<Self> {
        let gel = Some(gel_conversion(1.0, 4.0, 2.0)?);
        let set = |factors, energies, orders, glass, source| {
            Ok(Self {
                kinetics: Kinetics::new(factors, energies, orders)?,
                gel,
                glass,
                source,
            })
        };
        match name {
            "karkanas-1998" => set(
                [2.6e4, 5.78e4],
                [74_690.0, 57_880.0],
                [0.449, 1.217, 1.786],
                None,
                "Karkanas (1998), as in a public code file; orders and units inferred",
            ),
            "pantelelis-2005" => set(
                [2.54e4, 6.05e4],
                [71_460.0, 61_250.0],
                [0.492, 1.252, 1.75],
                None,
                "Pantelelis (2005), as in a public code file; orders and units inferred",
            ),
            "hein-2018" => set(
                [11.149_f64.exp(), 8.762_f64.exp()],
                [75_549.0, 50_911.0],
                [0.489, 1.549, 2.179],
                Some(Glass::new(256.35, 498.15, 0.543)?),
                "Hein (2018), as in a public code file; orders and units inferred",
            ),
            "room-temperature" => Ok(Self {
                kinetics: Kinetics::room_temperature_example(),
                gel,
                // Tg of the unreacted mix and the shape from memory; the end from DSC of a branched aliphatic amine (abstract, 2017).
                glass: Some(Glass::new(253.15, 392.15, 0.4)?),
                source: "derived here from published pieces; for illustration",
            }),
            other => Err(Error::unknown("resin", other, NAMES)),
        }
    }

    /// The same, its cure ending where the glass transition is `above_k` over the temperature (room-temperature cures end 15 to 25 K above).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside 0 to 100 K; [`Error::Impossible`] where its glass transition is not known.
    pub fn capped(mut self, above_k: f64) -> Result<Self> {
        check(
            "above_k",
            above_k,
            Range::new(0.0, 100.0, "K"),
            "20 K is usual",
        )?;
        let Some(glass) = self.glass else {
            return Err(Error::Impossible {
                what: "ending the cure by the glass transition".into(),
                why: "it is not known for this resin".into(),
                remedy: "take hein-2018 or room-temperature".into(),
            });
        };
        self.kinetics = self
            .kinetics
            .with_diffusion(Diffusion::Cap { glass, above_k });
        Ok(self)
    }

    /// Its way through a history, from a conversion at the first instant.
    ///
    /// # Errors
    /// As for [`Kinetics::conversions`].
    pub fn path(&self, from: f64, times_s: &[f64], climate: &Climate) -> Result<Path> {
        let conversion = self.kinetics.conversions(from, times_s, climate)?;
        let glass_k = self.glass.map_or_else(Vec::new, |glass| {
            conversion.iter().map(|a| glass.at(*a)).collect()
        });
        let gel_s = match self.gel {
            Some(gel) => self.first(times_s, &conversion, climate, |a, _| a - gel)?,
            None => None,
        };
        let vitrifies_s = match self.glass {
            Some(glass) => {
                let over = |a: f64, t_s: f64| glass.at(a) - climate.temperature_k(t_s);
                self.first(times_s, &conversion, climate, over)?
            }
            None => None,
        };
        Ok(Path {
            conversion,
            glass_k,
            gel_s,
            vitrifies_s,
        })
    }

    /// First instant at which `over(conversion, instant)` is not below nothing: the first of the given instants that is past it, then halved down.
    fn first(
        &self,
        times_s: &[f64],
        conversion: &[f64],
        climate: &Climate,
        over: impl Fn(f64, f64) -> f64,
    ) -> Result<Option<f64>> {
        let past = times_s.iter().zip(conversion);
        let Some(i) = past.clone().position(|(t, a)| over(*a, *t) >= 0.0) else {
            return Ok(None);
        };
        if i == 0 {
            return Ok(Some(times_s[0]));
        }
        let (from_s, from) = (times_s[i - 1], conversion[i - 1]);
        let (mut low_s, mut high_s) = (from_s, times_s[i]);
        // Forty halvings: a year to a tenth of a millisecond.
        for _ in 0..40 {
            let t_s = f64::midpoint(low_s, high_s);
            let a = self
                .kinetics
                .conversion(from, from_s, t_s - from_s, climate)?;
            if over(a, t_s) >= 0.0 {
                high_s = t_s;
            } else {
                low_s = t_s;
            }
        }
        Ok(Some(high_s))
    }
}
