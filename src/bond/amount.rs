//! How much adhesive a joint takes, in how many mixes and packs, and what it costs.

use serde::Serialize;

use super::catalogue::Adhesive;
use super::joint::JointAsk;
use super::strength::percentiles;
use crate::error::{Range, Result, check};
use crate::sourced::{Constant, Standing};

/// How the adhesive lies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Laid {
    /// A film over the whole overlap.
    Film {
        /// Area of one joint. [m²]
        area_m2: f64,
    },
    /// A half-round bead.
    Bead {
        /// Length of one joint. [m]
        length_m: f64,
        /// Radius of the bead. [m]
        radius_m: f64,
    },
    /// A fillet in an inside corner, with legs alike.
    Fillet {
        /// Length of one joint. [m]
        length_m: f64,
        /// Leg. [m]
        leg_m: f64,
    },
}

impl Laid {
    /// The sizes themselves, where they are possible.
    pub(crate) fn checked(&self) -> Result<&Self> {
        let size = |what: &str, m: f64, most: f64| {
            check(what, m, Range::new(1e-5, most, "m"), "measure the bead")
        };
        match *self {
            Self::Film { area_m2 } => {
                let range = Range::new(1e-7, 100.0, "m2");
                check("area_m2", area_m2, range, "give the overlap of one joint")?;
            }
            Self::Bead { length_m, radius_m } => {
                size("radius_m", radius_m, 0.05)?;
                size("length_m", length_m, 1e3)?;
            }
            Self::Fillet { length_m, leg_m } => {
                size("leg_m", leg_m, 0.05)?;
                size("length_m", length_m, 1e3)?;
            }
        }
        Ok(self)
    }
}

/// A pack as the shop buys it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Pack {
    /// Volume; of tape, area times thickness. [m³]
    pub volume_m3: f64,
    /// Price in the shop's currency.
    pub price: f64,
    /// Price of one mixer nozzle, in the same; 0 where it comes with the pack.
    pub nozzle_price: f64,
}

/// What stays in a static mixer nozzle.
pub const NOZZLE: Constant = Constant {
    name: "bond.nozzle_volume",
    value: 2e-6,
    low: 1e-6,
    high: 5e-6,
    unit: "m3",
    source: "1-5 mL per nozzle, engineering assumption, no source",
    standing: Standing::CommonPractice,
};

/// Volume of a drop of cyanoacrylate: 0.006 g (Handbook of Adhesive Technology) at 1050 kg/m³.
pub const DROP: Constant = Constant {
    name: "bond.drop_volume",
    value: 5.7e-9,
    low: 5e-9,
    high: 2e-8,
    unit: "m3",
    source: "Handbook of Adhesive Technology, reprint of \"speed of cure\": a drop is 0.006 g",
    standing: Standing::Published,
};

/// How much adhesive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Amount {
    /// In the joints themselves. [m³]
    pub net_m3: f64,
    /// With squeeze-out, waste and nozzles. [m³]
    pub low_m3: f64,
    /// The same, usual. [m³]
    pub volume_m3: f64,
    /// The same, at most. [m³]
    pub high_m3: f64,
    /// One job in ten takes less. [m³]
    pub p10_m3: f64,
    /// Half of the jobs take less. [m³]
    pub p50_m3: f64,
    /// Nine jobs in ten take less. [m³]
    pub p90_m3: f64,
    /// Mass of the usual volume. [kg]
    pub mass_kg: f64,
    /// Mass of one mix; 0 where nothing is mixed. [kg]
    pub batch_kg: f64,
    /// Static mixer nozzles, one for each mix; 0 where nothing is mixed.
    pub nozzles: u32,
    /// Mixes to be made, by open time and by the mass that may be mixed at once; 1 where nothing is mixed.
    pub batches: u32,
    /// Packs for the greatest volume; `None` without a pack.
    pub packs: Option<u32>,
    /// Cost of what one joint uses, nozzle included, in the pack's currency; `None` without a pack.
    pub cost_each: Option<f64>,
    /// Cost of the whole packs and nozzles for all joints; `None` without a pack.
    pub cost_bought: Option<f64>,
}

/// The amount of one adhesive for what is asked.
pub(crate) fn amount(
    glue: &Adhesive,
    ask: &JointAsk,
    open_s: f64,
    closing_s: f64,
) -> Result<Amount> {
    let count = check(
        "count",
        f64::from(ask.count),
        Range::new(1.0, 1e5, "1"),
        "give the number of joints alike",
    )?;
    let gap_m = ask.conditions.gap_m.unwrap_or(glue.gap.value);
    let each_m3 = match *ask.laid.checked()? {
        Laid::Film { area_m2 } => match &glue.coat_kg_m2 {
            // Contact cement: both faces coated, whatever the gap.
            Some(coat) => 2.0 * area_m2 * coat.value / glue.density.value,
            // Tape is as thick as it is.
            None if glue.tape => area_m2 * glue.gap.value,
            None => area_m2 * gap_m,
        },
        Laid::Bead { length_m, radius_m } => {
            std::f64::consts::PI * radius_m * radius_m / 2.0 * length_m
        }
        Laid::Fillet { length_m, leg_m } => leg_m * leg_m / 2.0 * length_m,
    };
    let drop_m3 = if glue.family == "cyanoacrylate" {
        DROP.value
    } else {
        0.0
    };
    let each_m3 = each_m3.max(drop_m3);
    let net_m3 = each_m3 * count;
    let batches = if glue.pack_mixed {
        let each_kg = each_m3 * (1.0 + glue.waste.value) * glue.density.value;
        let by_time = (open_s / closing_s).floor().max(1.0);
        let by_mass = glue
            .batch_limit
            .as_ref()
            .map_or(f64::INFINITY, |m| m.value / each_kg);
        // A joint that needs more than one mix takes several; else as many joints as fit.
        if by_mass < 1.0 {
            (count / by_mass).ceil()
        } else {
            (count / by_time.min(by_mass.floor())).ceil()
        }
    } else {
        1.0
    };
    let with = |share: f64, nozzle: f64| {
        net_m3 * (1.0 + share)
            + if glue.pack_mixed {
                batches * nozzle
            } else {
                0.0
            }
    };
    let volume_m3 = with(glue.waste.value, NOZZLE.value);
    let high_m3 = with(glue.waste.high, NOZZLE.high);
    let (mut packs, mut cost_each, mut cost_bought) = (None, None, None);
    if let Some(pack) = ask.pack {
        let range = Range::new(1e-7, 1.0, "m3");
        let pack_m3 = check(
            "pack.volume_m3",
            pack.volume_m3,
            range,
            "read the pack's label",
        )?;
        let range = Range::new(0.0, 1e6, "per pack");
        let price = check("pack.price", pack.price, range, "give the price of a pack")?;
        packs = Some(whole((high_m3 / pack_m3).ceil()));
        let nozzle = check(
            "pack.nozzle_price",
            pack.nozzle_price,
            range,
            "0 if none is paid",
        )?;
        let nozzles = if glue.pack_mixed { batches } else { 0.0 };
        cost_each = Some((volume_m3 / pack_m3 * price + nozzles * nozzle) / count);
        cost_bought = packs.map(|n: u32| f64::from(n) * price + nozzles * nozzle);
    }
    let low_m3 = with(glue.waste.low, NOZZLE.low);
    let [p10_m3, p50_m3, p90_m3] = percentiles(low_m3, volume_m3, high_m3)?;
    Ok(Amount {
        net_m3,
        low_m3,
        p10_m3,
        p50_m3,
        p90_m3,
        batch_kg: if glue.pack_mixed {
            volume_m3 * glue.density.value / batches
        } else {
            0.0
        },
        nozzles: if glue.pack_mixed { whole(batches) } else { 0 },
        volume_m3,
        high_m3,
        mass_kg: volume_m3 * glue.density.value,
        batches: whole(batches),
        packs,
        cost_each,
        cost_bought,
    })
}

/// A count that was checked to be small.
#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped to what fits
fn whole(x: f64) -> u32 {
    x.clamp(0.0, f64::from(u32::MAX)) as u32
}
