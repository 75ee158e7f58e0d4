//! A parked car against softening, shape recovery and sag.
//!
//! A rule on the heat-deflection temperature alone fails every ring that is in service: the test bends a bar to
//! 1.82 MPa, a ring carries a few hundredths of that. So the test is read at the stress that the part really carries.

use serde::Serialize;

use super::beam::Held;
use super::check::{Check, MarginKind, Rule, Sense, Verdict};
use super::place::{Climate, Zone, zone_temperature};
use super::sheet::Material;
use crate::error::{Range, Result, check};
use crate::quantity::{Dimension, System, show};
use crate::sourced::{Constant, Standing};

/// How far a part has to stay below softening. [K]
pub const KEEP_BELOW: Constant = Constant {
    name: "mount.keep_below",
    value: 10.0,
    low: 5.0,
    high: 15.0,
    unit: "K",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};
/// The same for a part that was formed hot and is free to go flat again. [K]
pub const KEEP_BELOW_FORMED: Constant = Constant {
    name: "mount.keep_below_formed",
    value: 15.0,
    low: 10.0,
    high: 25.0,
    unit: "K",
    source: "common practice, no source: recovery begins near the glass transition",
    standing: Standing::CommonPractice,
};

/// Temperature of a part in service and its half-width.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Warmth {
    /// Sustained temperature of the part in a parked car. [K]
    pub temperature_k: f64,
    /// Half-width of its spread, 0 where a plan draws the temperature itself. [K]
    pub plus_minus_k: f64,
}

impl Warmth {
    /// From a zone's temperature with its bounds.
    pub fn of(zone: &crate::sourced::Sourced) -> Self {
        Self {
            temperature_k: zone.value,
            plus_minus_k: (zone.high - zone.value).max(0.0),
        }
    }

    pub(super) fn validate(self) -> Result<()> {
        check(
            "warmth.temperature_k",
            self.temperature_k,
            Range::new(230.0, 420.0, "K"),
            "give the temperature of the part in service in kelvin",
        )?;
        check(
            "warmth.plus_minus_k",
            self.plus_minus_k,
            Range::new(0.0, 40.0, "K"),
            "give half the spread",
        )?;
        Ok(())
    }
}

/// How a part was made, as far as the sun cares.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Made {
    /// Cut from flat sheet: there is no shape to lose.
    Flat,
    /// Bent or drawn while hot: near softening it wants to go flat again.
    FormedHot,
}

/// What would stand the heat, for the advice.
fn another_sheet(needed_k: f64) -> String {
    const LADDER: [(f64, &str); 4] = [
        (372.0, "ABS (about 100 °C)"),
        (378.0, "acrylic (about 105 °C)"),
        (390.0, "an ABS-polycarbonate blend (about 120 °C)"),
        (418.0, "polycarbonate (about 145 °C)"),
    ];
    let names: Vec<&str> = LADDER
        .iter()
        .filter(|(k, _)| *k >= needed_k)
        .map(|(_, name)| *name)
        .take(2)
        .collect();
    let names = if names.is_empty() {
        "which no sheet of this trade has: metal".to_string()
    } else {
        format!("commonly {}", names.join(" or "))
    };
    format!(
        "a sheet whose softening (the lower of Vicat B and glass transition) is {} or more, {names}; or a cooler or shaded place",
        // rounded up, so that what is advised passes
        celsius((needed_k - 273.15).ceil() + 273.15)
    )
}

fn celsius(k: f64) -> String {
    show(k, Dimension::Temperature, System::Metric, 0)
}

const SOFTENING: Rule = Rule {
    name: "softening in the sun",
    unit: "K",
    sense: Sense::AtMost,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "heat-deflection test (ISO 75-2, its 0.2 % strain from memory) read at the part's own stress, no higher than Vicat B or glass transition, less 10 K by common practice",
    standing: Standing::CommonPractice,
};

/// Sustained temperature against the deflection temperature at the part's own stress, less 10 K.
///
/// The reserve is the spread of the temperature: a part that passes only at the likeliest temperature is marginal.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a temperature, spread or stress that cannot be.
pub fn softening(
    part: &str,
    material: &Material,
    warmth: Warmth,
    held: Held,
    stress_pa: f64,
) -> Result<Check> {
    warmth.validate()?;
    let deflects = material.softening.deflection_temperature_k(stress_pa)?;
    let limit = deflects - KEEP_BELOW.value;
    let rule = Rule {
        reserve: warmth.plus_minus_k,
        ..SOFTENING
    };
    let held = match held {
        Held::BothEnds => "held at both ends",
        Held::ClampedAllRound => "clamped all round",
        Held::Cantilever => "free at one end",
    };
    let why = format!(
        "{} ± {:.0} K in the sun; {held} it carries {:.3} MPa, at which {} deflects at {} (at the data sheet's 1.82 MPa: {}); kept {:.0} K below",
        celsius(warmth.temperature_k),
        warmth.plus_minus_k,
        stress_pa / 1e6,
        material.name,
        celsius(deflects),
        celsius(material.hdt_1820_k),
        KEEP_BELOW.value
    );
    let needed = warmth.temperature_k + warmth.plus_minus_k + KEEP_BELOW.value;
    Ok(rule.judge(part, warmth.temperature_k, limit, why, || {
        another_sheet(needed)
    }))
}

const RECOVERY: Rule = Rule {
    name: "shape recovery",
    unit: "K",
    sense: Sense::AtMost,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "a hot-formed part goes flat again near the glass transition; 15 K (free) or 10 K (held) below the lower of Vicat B and glass transition, common practice",
    standing: Standing::CommonPractice,
};

/// Sustained temperature against the onset of shape recovery; `None` for a part that was not formed hot.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a temperature or spread that cannot be.
pub fn recovery(
    part: &str,
    material: &Material,
    warmth: Warmth,
    held: Held,
    made: Made,
) -> Result<Option<Check>> {
    warmth.validate()?;
    if made == Made::Flat {
        return Ok(None);
    }
    let free = held == Held::Cantilever;
    let below = if free { KEEP_BELOW_FORMED } else { KEEP_BELOW };
    let limit = material.soft_k() - below.value;
    let rule = Rule {
        reserve: warmth.plus_minus_k,
        ..RECOVERY
    };
    let how = if free {
        "WARNING: it was formed hot and its free end can unbend: in the sun it goes flat again"
    } else {
        "it was formed hot; its ends are held, so it cannot open, but its crown flattens and pulls at the screws"
    };
    let why = format!(
        "{how}. {} ± {:.0} K against softening of {} at {}, kept {:.0} K below",
        celsius(warmth.temperature_k),
        warmth.plus_minus_k,
        material.name,
        celsius(material.soft_k()),
        below.value
    );
    let needed = warmth.temperature_k + warmth.plus_minus_k + below.value;
    Ok(Some(rule.judge(
        part,
        warmth.temperature_k,
        limit,
        why,
        || {
            let hold = if free {
                "; hold its free end with a screw as well"
            } else {
                ""
            };
            format!("{}{hold}", another_sheet(needed))
        },
    )))
}

const STEADY: Rule = Rule {
    name: "maker's steady service limit",
    unit: "K",
    sense: Sense::AtMost,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "the maker's data sheet; a parked car peaks for hours, not for good, so going past it is marginal by itself",
    standing: Standing::CommonPractice,
};

/// Sustained temperature against the maker's limit for steady service: marginal at worst, and where the hot end of its
/// spread is beyond the limit.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a temperature or spread that cannot be.
pub fn steady_service(part: &str, material: &Material, warmth: Warmth) -> Result<Check> {
    warmth.validate()?;
    let limit = material.max_service_k;
    let rule = Rule {
        reserve: warmth.plus_minus_k,
        ..STEADY
    };
    let why = format!(
        "{} ± {:.0} K in the sun, steady limit of {} {}",
        celsius(warmth.temperature_k),
        warmth.plus_minus_k,
        material.name,
        celsius(limit)
    );
    let mut found = rule.judge(part, warmth.temperature_k, limit, why, || {
        format!(
            "a sheet rated for steady service at {} or more, or the maker's word on hours above its limit",
            celsius((warmth.temperature_k + warmth.plus_minus_k - 273.15).ceil() + 273.15)
        )
    });
    found.verdict = found.verdict.min(Verdict::Marginal);
    Ok(found)
}

const FINISH: Rule = Rule {
    name: "finish in the heat",
    unit: "K",
    sense: Sense::AtMost,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "what plain paint systems and heat-resistant wrap glues stand, from memory: their data sheets decide",
    standing: Standing::Remembered,
};

/// Temperature in the sun against what a finish stands (`limit_k`): marginal where the hot end of its spread is beyond that.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a temperature, spread or limit that cannot be.
///
/// ```
/// use mountwright::mount::{Verdict, service_heat::{Warmth, finish_heat}};
/// let dash = Warmth { temperature_k: 367.0, plus_minus_k: 6.0 };
/// assert_eq!(finish_heat("panel", "painted", 358.15, dash)?.verdict, Verdict::Fail);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn finish_heat(part: &str, finish: &str, limit_k: f64, warmth: Warmth) -> Result<Check> {
    warmth.validate()?;
    let limit = check(
        "limit of the finish",
        limit_k,
        Range::new(273.15, 600.0, "K"),
        "take it from the data sheet",
    )?;
    let rule = Rule {
        reserve: warmth.plus_minus_k,
        ..FINISH
    };
    let why = format!(
        "{} ± {:.0} K in the sun; {finish}, it stands {}",
        celsius(warmth.temperature_k),
        warmth.plus_minus_k,
        celsius(limit)
    );
    Ok(rule.judge(part, warmth.temperature_k, limit, why, || {
        format!(
            "a finish whose data sheet says {} or more, a lighter shade, or a place in the shade",
            celsius((warmth.temperature_k + warmth.plus_minus_k - 273.15).ceil() + 273.15)
        )
    }))
}

const SAG: Rule = Rule {
    name: "sag in the heat",
    unit: "m",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.3,
    source: "elastic deflection (textbook) with the creep modulus at 1000 h and the temperature in the sun; creep factors mostly from memory",
    standing: Standing::Remembered,
};

/// Sag that the eye begins to see. [m]
pub const SAG_SEEN: Constant = Constant {
    name: "mount.sag_seen",
    value: 1e-3,
    low: 0.5e-3,
    high: 2e-3,
    unit: "m",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// Sag under its load after about 1000 hours in the heat: a few summers.
///
/// `sag_times_modulus` is the deflection for a modulus of 1 Pa (deflection is inverse to it).
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a temperature, load or limit that cannot be.
pub fn sag(
    part: &str,
    material: &Material,
    warmth: Warmth,
    sag_times_modulus: f64,
    limit_m: f64,
) -> Result<Check> {
    warmth.validate()?;
    check(
        "sag_times_modulus",
        sag_times_modulus,
        Range::new(0.0, 1e12, "m Pa"),
        "give the deflection for 1 Pa",
    )?;
    let limit = check(
        "limit_m",
        limit_m,
        Range::new(1e-6, 1.0, "m"),
        "0.5 to 2 mm is usual",
    )?;
    let k = warmth.temperature_k;
    let modulus = material.creep_modulus_pa(k);
    let figure = sag_times_modulus / modulus;
    let why = format!(
        "{:.2} mm after about 1000 h at {}: modulus {:.0} MPa there, {:.0} MPa with creep; {:.1} mm is seen",
        figure * 1e3,
        celsius(k),
        material.modulus_pa(k) / 1e6,
        modulus / 1e6,
        limit * 1e3
    );
    Ok(SAG.judge(part, figure, limit, why, || {
        let times = figure / (limit * (1.0 - SAG.reserve));
        format!(
            "a wider or shorter span, or a sheet with a creep modulus of {:.0} MPa at {}",
            (modulus * times / 1e6).ceil(),
            celsius(k)
        )
    }))
}

/// Whether a sheet belongs in a place at all: its shape and its stiffness in the sun of that place, unloaded.
///
/// This is what ranks sheets before anything is drawn; [`super::check_strap`] and its like judge the finished part.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a material that no sheet can be.
///
/// ```
/// use mountwright::material::Catalogue;
/// use mountwright::mount::{Material, Verdict};
/// use mountwright::mount::beam::Held;
/// use mountwright::mount::place::{Climate, Zone};
/// use mountwright::mount::service_heat::{belongs, Made};
/// let foam = Material::of(&Catalogue::standard()?.get("expanded-pvc")?.properties())?;
/// let dash = belongs(&foam, Zone::DashTop, Climate::Hot, Held::BothEnds, Made::FormedHot)?;
/// assert_eq!(dash.verdict, Verdict::Fail);
/// let door = belongs(&foam, Zone::Door, Climate::Hot, Held::ClampedAllRound, Made::Flat)?;
/// assert_eq!(door.verdict, Verdict::Pass);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn belongs(
    material: &Material,
    zone: Zone,
    climate: Climate,
    held: Held,
    made: Made,
) -> Result<Check> {
    material.validate()?;
    let warmth = Warmth::of(&zone_temperature(zone, climate));
    let found = match recovery(zone.name(), material, warmth, held, made)? {
        Some(found) => found,
        None => softening(zone.name(), material, warmth, held, 0.0)?,
    };
    Ok(Check {
        name: "belongs in its place",
        ..found
    })
}
