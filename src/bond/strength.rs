//! How strong a joint is, hot or cold, and what may be asked of it.

use serde::{Deserialize, Serialize};

use super::catalogue::{Adhesive, Catalogue};
use crate::error::{Range, Result, check};
use crate::material::{self, Property};
use crate::sourced::{Constant, Sourced, Standing};
use crate::spread::Law;

/// What a joint has to carry.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema, Default,
)]
#[serde(rename_all = "kebab-case")]
pub enum Load {
    /// A wrap, a gasket, a collar of foam: it only has to stay where it is.
    Light,
    /// A load now and then, at room temperature.
    Static,
    /// A load that stays, or a car's heat and vibration.
    #[default]
    Sustained,
}

/// Factor of safety for a static load; an assumption.
pub const STATIC_FACTOR: Constant = factor("bond.static_factor", 4.0);
/// Factor of safety for a load that stays, or a car's heat; an assumption.
pub const SUSTAINED_FACTOR: Constant = factor("bond.sustained_factor", 10.0);

const fn factor(name: &'static str, value: f64) -> Constant {
    Constant {
        name,
        value,
        low: value,
        high: value,
        unit: "1",
        source: "engineering assumption for planning, no source; the data sheet's design value comes first",
        standing: Standing::CommonPractice,
    }
}

/// Temperature at which strengths are given.
pub const STRENGTH_AT: Constant = Constant::exact(
    "bond.strength_at",
    296.15,
    "K",
    "standard atmosphere of ISO 291, 23 °C, from memory",
    Standing::Remembered,
);

/// Shear strength of a joint at a temperature, as an average over the overlap.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Strength {
    /// Least of the grades. [Pa]
    pub low_pa: f64,
    /// Usual. [Pa]
    pub value_pa: f64,
    /// Greatest of the grades. [Pa]
    pub high_pa: f64,
    /// One grade in ten is weaker. [Pa]
    pub p10_pa: f64,
    /// Half of the grades are weaker. [Pa]
    pub p50_pa: f64,
    /// Nine grades in ten are weaker. [Pa]
    pub p90_pa: f64,
    /// What may be asked of it: the usual strength over the factor, tape's long-load limit where that is less. [Pa]
    pub allowable_pa: f64,
    /// The factor of safety in the allowable.
    pub factor: f64,
    /// What gives way first.
    pub limited_by: String,
    /// Source keys.
    pub source: String,
    /// The weakest standing among the numbers used.
    pub standing: Standing,
}

/// Share of the strength at 23 °C that is left: straight down to nothing at the service limit (an assumption).
///
/// ```
/// use mountwright::bond::strength::hot_share;
/// assert_eq!(hot_share(296.15, 353.15), 1.0);
/// assert!((hot_share(324.65, 353.15) - 0.5).abs() < 1e-12);
/// assert_eq!(hot_share(360.0, 353.15), 0.0);
/// ```
pub fn hot_share(temperature_k: f64, limit_k: f64) -> f64 {
    if limit_k <= STRENGTH_AT.value {
        return 0.0;
    }
    if limit_k.is_infinite() {
        return 1.0;
    }
    ((limit_k - temperature_k) / (limit_k - STRENGTH_AT.value)).clamp(0.0, 1.0)
}

/// 10th, 50th and 90th percentile of the triangle over a least, a usual and a greatest value.
pub(super) fn percentiles(low: f64, likely: f64, high: f64) -> Result<[f64; 3]> {
    let law = if high > low {
        Law::Triangular { low, likely, high }
    } else {
        Law::Fixed { value: likely }
    };
    Ok([law.quantile(0.1)?, law.quantile(0.5)?, law.quantile(0.9)?])
}

/// Temperatures at which a face that is a sheet of the material catalogue goes limp, least, usual and greatest; never for any other. [K]
fn limp_k(face: &str) -> [f64; 3] {
    let sheet = (material::Catalogue::standard()
        .and_then(|all| all.get(face))
        .ok())
    .filter(|m| m.role == material::Role::Sheet);
    match sheet.map(|m| m.sourced(Property::Limp)) {
        Some(Ok(limp)) => [limp.low, limp.value, limp.high],
        _ => [f64::INFINITY; 3],
    }
}

impl Adhesive {
    /// Strength on one face at 23 °C. [Pa]
    pub fn strength_on_face(&self, face: &str) -> &Sourced {
        self.strength_on.get(face).unwrap_or(&self.strength)
    }
}

impl Catalogue {
    /// Strength of an adhesive between two faces at a temperature, fully cured.
    ///
    /// The weaker face decides, and the core under it where that tears first.
    ///
    /// # Errors
    /// [`crate::Error::Unknown`] for a name, [`crate::Error::OutOfRange`] for a temperature outside 200 to 500 K.
    pub fn strength(
        &self,
        adhesive: &str,
        faces: [&str; 2],
        temperature_k: f64,
        load: Load,
    ) -> Result<Strength> {
        let range = Range::new(200.0, 500.0, "K");
        let temperature_k = check("temperature_k", temperature_k, range, "give kelvin")?;
        let glue = self.adhesive(adhesive)?;
        let limit = &glue.service_temperature;
        let mut found: Option<(Sourced, String)> = None;
        let mut weaker = |s: Sourced, by: String| match &found {
            Some((old, _)) if old.value <= s.value => (),
            _ => found = Some((s, by)),
        };
        for face in faces {
            let substrate = self.substrate(face)?;
            let bond = glue.strength_on_face(self.kin(face));
            let holds = glue.suits.get(self.kin(face));
            if holds.is_some_and(|s| s.score == 0) {
                let none = Sourced {
                    value: 0.0,
                    low: 0.0,
                    high: 0.0,
                    ..bond.clone()
                };
                let why = holds.map_or("", |s| s.why.as_str());
                weaker(none, format!("{} on {}: {why}", glue.name, substrate.name));
                continue;
            }
            // Nothing is carried where the sheet itself is limp.
            let limp = limp_k(face);
            let share = |limit_k: f64, limp_k: f64| {
                hot_share(temperature_k, limit_k).min(hot_share(temperature_k, limp_k))
            };
            let hot = Sourced {
                value: bond.value * share(limit.value, limp[1]),
                low: bond.low * share(limit.low, limp[0]),
                high: bond.high * share(limit.high, limp[2]),
                source: format!("{}, {}", bond.source, limit.source),
                standing: bond.standing.max(limit.standing),
                ..bond.clone()
            };
            weaker(hot, format!("{} on {}", glue.name, substrate.name));
            if let Some(core) = &substrate.core_strength {
                let hot = Sourced {
                    value: core.value * hot_share(temperature_k, limp[1]),
                    low: core.low * hot_share(temperature_k, limp[0]),
                    high: core.high * hot_share(temperature_k, limp[2]),
                    ..core.clone()
                };
                weaker(hot, format!("the inside of the {}", substrate.name));
            }
        }
        // Two faces were looked at, so something was found.
        let (s, limited_by) = found.unwrap_or((glue.strength.clone(), glue.name.clone()));
        let factor = match load {
            Load::Light | Load::Static => STATIC_FACTOR.value,
            Load::Sustained => SUSTAINED_FACTOR.value,
        };
        let mut allowable_pa = s.value / factor;
        if let (Some(long), Load::Sustained | Load::Static) = (&glue.static_stress, load) {
            allowable_pa = allowable_pa.min(long.value * hot_share(temperature_k, limit.value));
        }
        let low_pa = s.low.min(s.value);
        let [p10_pa, p50_pa, p90_pa] = percentiles(low_pa, s.value, s.high)?;
        Ok(Strength {
            low_pa,
            value_pa: s.value,
            high_pa: s.high,
            p10_pa,
            p50_pa,
            p90_pa,
            allowable_pa,
            factor,
            limited_by,
            source: s.source,
            standing: s.standing,
        })
    }
}

/// Greatest over average shear in a single lap of equal faces (Volkersen, from memory): `(w L/2) coth(w L/2)`, `w = sqrt{2G/(E t ta)}`.
///
/// Scale a coupon's load with the width of a joint; past `w L/2` of 3 more overlap carries hardly more.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for sizes outside 1 µm to 10 m or moduli outside 0.01 to 1,000,000 MPa.
///
/// ```
/// use mountwright::bond::strength::{Lap, peak_over_average};
/// // E 2400 MPa, t 3 mm, G 500 MPa, bond line 0.15 mm: 6.014 at 12.5 mm of overlap, 12.028 at 25 mm.
/// let lap = Lap { overlap_m: 0.0125, thickness_m: 3e-3, modulus_pa: 2.4e9, bond_line_m: 1.5e-4, shear_modulus_pa: 5e8 };
/// assert!((peak_over_average(&lap)? - 6.014).abs() < 1e-3);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn peak_over_average(lap: &Lap) -> Result<f64> {
    let size = Range::new(1e-6, 10.0, "m");
    let modulus = Range::new(1e4, 1e12, "Pa");
    let l = check("overlap_m", lap.overlap_m, size, "measure the overlap")?;
    let t = check("thickness_m", lap.thickness_m, size, "measure the sheet")?;
    let ta = check(
        "bond_line_m",
        lap.bond_line_m,
        size,
        "measure the bond line",
    )?;
    let e = check("modulus_pa", lap.modulus_pa, modulus, "see the material")?;
    let g = check(
        "shear_modulus_pa",
        lap.shear_modulus_pa,
        modulus,
        "see the data sheet",
    )?;
    let half = (2.0 * g / (e * t * ta)).sqrt() * l / 2.0;
    Ok(half / half.tanh())
}

/// A single lap of equal faces.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Lap {
    /// Length of the overlap, along the load. [m]
    pub overlap_m: f64,
    /// Thickness of each sheet. [m]
    pub thickness_m: f64,
    /// Young's modulus of the sheet. [Pa]
    pub modulus_pa: f64,
    /// Thickness of the bond line. [m]
    pub bond_line_m: f64,
    /// Shear modulus of the adhesive. [Pa]
    pub shear_modulus_pa: f64,
}
