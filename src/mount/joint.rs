//! A glued joint of a mount: its stress hot, against what the adhesive still stands there.

use serde::Serialize;

use super::check::{Check, MarginKind, Rule, Sense};
use super::service_heat::Warmth;
use crate::error::{Range, Result, check};
use crate::material::ROOM_K;
use crate::quantity::{Dimension, System, show};
use crate::sourced::{Constant, Standing};

/// A glued joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GluedJoint {
    /// Adhesive, for the texts.
    pub adhesive: String,
    /// Glued area. [m²]
    pub area_m2: f64,
    /// Lap-shear strength on this plastic at 23 °C. [Pa]
    pub strength_pa: f64,
    /// Where its strength is gone. [K]
    pub service_limit_k: f64,
    /// Whether the load peels or cleaves the joint rather than shears it.
    pub peels: bool,
}

/// Factor on strength for a load that stays, or in a hot car.
pub const SUSTAINED_FACTOR: Constant = Constant {
    name: "mount.joint_sustained_factor",
    value: 10.0,
    low: 6.0,
    high: 15.0,
    unit: "1",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};
/// Factor on strength for a short load.
pub const SHORT_FACTOR: Constant = Constant {
    name: "mount.joint_short_factor",
    value: 4.0,
    low: 3.0,
    high: 6.0,
    unit: "1",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// Share of the room-temperature strength left at `temperature_k`: straight from 1 at 23 °C to 0 at the service limit.
pub fn strength_share(temperature_k: f64, service_limit_k: f64) -> f64 {
    let span = service_limit_k - ROOM_K;
    if span <= 0.0 {
        return 0.0;
    }
    ((service_limit_k - temperature_k) / span).clamp(0.0, 1.0)
}

const JOINT: Rule = Rule {
    name: "glued joint, hot",
    unit: "Pa",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.2,
    source: "average shear over the area; strength straight down to nothing at the service limit; a tenth counts for a lasting load, a quarter for a shock (common practice)",
    standing: Standing::CommonPractice,
};
const PEEL: Rule = Rule {
    name: "peel",
    unit: "N",
    sense: Sense::AtMost,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "peel and cleavage are not to carry the main load of a joint (common practice)",
    standing: Standing::CommonPractice,
};

/// Average stress of the joint at the warm end of the spread, under the harder of a lasting and a short load; and peel.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a size, load or temperature that cannot be.
pub fn glued(
    part: &str,
    joint: &GluedJoint,
    warmth: Warmth,
    sustained_n: f64,
    shock_n: f64,
) -> Result<Vec<Check>> {
    warmth.validate()?;
    let remedy = "give SI units";
    let area = check(
        "joint.area_m2",
        joint.area_m2,
        Range::new(1e-9, 10.0, "m²"),
        remedy,
    )?;
    let strength = check(
        "joint.strength_pa",
        joint.strength_pa,
        Range::new(1e2, 1e9, "Pa"),
        remedy,
    )?;
    let end_k = check(
        "joint.service_limit_k",
        joint.service_limit_k,
        Range::new(273.15, 600.0, "K"),
        "take it from the adhesive's data sheet",
    )?;
    let load = Range::new(0.0, 1e6, "N");
    let sustained = check("sustained_n", sustained_n, load, remedy)?;
    let short = check("shock_n", shock_n, load, remedy)?;
    let k = warmth.temperature_k + warmth.plus_minus_k;
    let share = strength_share(k, end_k);
    let lasting = (
        sustained * SUSTAINED_FACTOR.value,
        SUSTAINED_FACTOR.value,
        sustained,
        "lasting",
    );
    let shock = (
        short * SHORT_FACTOR.value,
        SHORT_FACTOR.value,
        short,
        "short",
    );
    let (weighed_n, factor, load_n, kind) = if shock.0 > lasting.0 { shock } else { lasting };
    let figure = load_n / area;
    let limit = strength * share / factor;
    let why = format!(
        "{kind} load {load_n:.1} N on {:.1} cm²; {} keeps {:.0} % of {:.1} MPa at {}, of which one part in {factor:.0} counts",
        area * 1e4,
        joint.adhesive,
        share * 100.0,
        strength / 1e6,
        show(k, Dimension::Temperature, System::Metric, 0)
    );
    let mut found = vec![JOINT.judge(part, figure, limit, why, || {
        if share > 0.0 {
            let need = weighed_n / (strength * share * (1.0 - JOINT.reserve));
            format!(
                "a lighter shade, a place out of the sun or a lighter body; or {:.1} cm² of glued area; or a clip or screws that carry the load",
                (need * 1e5).ceil() / 10.0
            )
        } else {
            format!(
                "an adhesive rated above {}, or screws that carry the load",
                show(k + 10.0, Dimension::Temperature, System::Metric, 0)
            )
        }
    })];
    if joint.peels && sustained.max(short) > 0.0 {
        found.push(PEEL.judge(
            part,
            sustained.max(short),
            0.0,
            format!("the joint is peeled by {:.1} N", sustained.max(short)),
            || "turn the joint so that it is sheared or pressed, or add a screw at the end that lifts".into(),
        ));
    }
    Ok(found)
}
