//! What speeds a cure up safely, in hours.

use serde::Serialize;

use super::catalogue::{Adhesive, StageLaw};
use super::cure::Cure;
use crate::climate::{Air, Climate};
use crate::error::Result;

/// Warmest air that a fresh joint is put into: under the softening of every sheet, cool to the hand. [K]
const WARM_K: f64 = 313.15;

/// A warm shop. [K]
const SHOP_K: f64 = 303.15;

/// Humidity that is still kind to cyanoacrylate and silicone.
const HUMID: f64 = 0.6;

/// A saving below this share of the time is not worth naming.
const WORTH: f64 = 0.1;

/// One way to have it sooner.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Quicker {
    /// What is done.
    pub what: String,
    /// Air that the joint then stands in. [K]
    pub temperature_k: f64,
    /// Its relative humidity, 0 to 1.
    pub humidity: f64,
    /// Time to handling strength. [s]
    pub handling_s: f64,
    /// Time to full cure. [s]
    pub full_s: f64,
}

/// Ways that shorten the time to handling strength by a tenth or more; none for solvents, which must leave slowly, and tape, which must wet.
pub(crate) fn quicker(adhesive: &Adhesive, cure: &Cure, shop: Air) -> Result<Vec<Quicker>> {
    let warm = |temperature_k: f64, what: &str| {
        let air = Air {
            temperature_k,
            ..shop
        };
        (what.to_string(), air)
    };
    let ways = match adhesive.handling.law {
        // Contact cement is shifted for its drying; a flammable solvent is not warmed.
        StageLaw::Shifted if adhesive.coat_kg_m2.is_none() => vec![
            warm(SHOP_K, "warm the shop and the parts to 30 °C"),
            warm(
                WARM_K,
                "keep the closed joint at 40 °C, below the sheet's softening",
            ),
        ],
        StageLaw::Surface | StageLaw::Depth => {
            let air = Air {
                humidity: HUMID,
                ..shop
            };
            vec![("damp the air to 60 % humidity".to_string(), air)]
        }
        _ => Vec::new(),
    };
    let now = cure.ready_at(0.0, &Climate::constant(shop.temperature_k, shop.humidity)?)?;
    let mut found = Vec::new();
    for (what, air) in ways {
        let then = cure.ready_at(0.0, &Climate::constant(air.temperature_k, air.humidity)?)?;
        let (Some(handling_s), Some(full_s)) = (then.handling_s, then.full_s) else {
            continue;
        };
        let sooner = now
            .handling_s
            .is_none_or(|s| handling_s < (1.0 - WORTH) * s);
        if sooner {
            found.push(Quicker {
                what,
                temperature_k: air.temperature_k,
                humidity: air.humidity,
                handling_s,
                full_s,
            });
        }
    }
    Ok(found)
}
