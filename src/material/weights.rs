//! How much each reason counts in the choice of a sheet, and where more counts no more.

use serde::Serialize;

use super::catalogue::SURVIVES_BY;
use crate::error::{Range, Result, check};
use crate::sourced::{Constant, Standing};

/// How much each point counts; only their ratios matter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Weights {
    /// Length of the forming window.
    pub forming: f64,
    /// Distance of softening from the service temperature.
    pub service: f64,
    /// Stiffness at the service temperature.
    pub stiffness: f64,
    /// Adhesion.
    pub bond: f64,
    /// Price.
    pub price: f64,
    /// Few fumes.
    pub hazards: f64,
}

const fn choice(name: &'static str, value: f64, unit: &'static str) -> Constant {
    Constant::exact(
        name,
        value,
        unit,
        "our own choice: service counts most, since a mount that sags in the sun is lost",
        Standing::CommonPractice,
    )
}
const FORMING: Constant = choice("rank.weight_forming", 3.0, "1");
const SERVICE: Constant = choice("rank.weight_service", 4.0, "1");
const STIFFNESS: Constant = choice("rank.weight_stiffness", 1.0, "1");
const BOND: Constant = choice("rank.weight_bond", 2.0, "1");
const PRICE: Constant = choice("rank.weight_price", 2.0, "1");
const HAZARDS: Constant = choice("rank.weight_hazards", 1.0, "1");
/// A window as long as this leaves time enough for any hand; longer counts no more.
pub(super) const EASY_WINDOW: Constant = choice("rank.easy_window", 30.0, "s");
/// A distance as long as this beyond the margin is enough; more counts no more.
pub(super) const EASY_MARGIN: Constant = choice("rank.easy_margin", 25.0, "K");
/// Share of the points for forming that is left where the sheet must be dried first.
pub(super) const DRIED: Constant = choice("rank.dried", 0.7, "1");

/// Every constant of the choice of a sheet.
pub static RANKING: &[&Constant] = &[
    &SURVIVES_BY,
    &FORMING,
    &SERVICE,
    &STIFFNESS,
    &BOND,
    &PRICE,
    &HAZARDS,
    &EASY_WINDOW,
    &EASY_MARGIN,
    &DRIED,
];

impl Default for Weights {
    /// Our own choice: service counts most, since a mount that sags in the sun is lost.
    fn default() -> Self {
        Self {
            forming: FORMING.value,
            service: SERVICE.value,
            stiffness: STIFFNESS.value,
            bond: BOND.value,
            price: PRICE.value,
            hazards: HAZARDS.value,
        }
    }
}

pub(super) fn checked_weights(w: &Weights) -> Result<[f64; 6]> {
    let range = Range::new(0.0, 1e6, "");
    let all = [
        w.forming,
        w.service,
        w.stiffness,
        w.bond,
        w.price,
        w.hazards,
    ];
    for x in all {
        check("weight", x, range, "give a weight of 0 or more")?;
    }
    let remedy = "let one weight be above 0";
    check(
        "sum of weights",
        all.iter().sum(),
        Range::new(1e-9, 1e7, ""),
        remedy,
    )?;
    Ok(all)
}
