//! Whether a joint can be closed while its adhesive is open: what the joint needs against what the adhesive gives.

use super::amount::Laid;
use super::catalogue::Adhesive;
use super::cure::Cure;
use crate::climate::Climate;
use crate::error::Result;
use crate::sourced::{Constant, Standing};

/// Time to set a joint up and press it home, whatever its size.
pub const PRESSING: Constant = Constant {
    name: "bond.pressing_time",
    value: 30.0,
    low: 15.0,
    high: 90.0,
    unit: "s",
    source: "common practice, no source: about two minutes in all for a joint as large as a hand",
    standing: Standing::CommonPractice,
};

impl Laid {
    /// Area that is wetted, for the time to lay it. [m²]
    pub fn area_m2(&self) -> f64 {
        match *self {
            Self::Film { area_m2 } => area_m2,
            Self::Bead { length_m, radius_m } => 2.0 * length_m * radius_m,
            Self::Fillet { length_m, leg_m } => length_m * leg_m,
        }
    }
}

impl Adhesive {
    /// Usual time to lay it over an area and close the joint. [s]
    pub fn closing_s(&self, area_m2: f64) -> f64 {
        PRESSING.value + self.spread.value * area_m2
    }
}

/// How long the parts can be joined, from the moment that they may be.
#[allow(clippy::struct_field_names)] // the unit belongs in the names
#[derive(Debug, Clone, Copy)]
pub(crate) struct Window {
    /// In a quick batch, at the 10th percentile of the cure's times. [s]
    pub(crate) quick_s: f64,
    /// By the data sheet. [s]
    pub(crate) printed_s: f64,
    /// In a slow batch, at the 90th percentile. [s]
    pub(crate) slow_s: f64,
}

impl Window {
    pub(crate) fn of(cure: &Cure, climate: &Climate) -> Result<Self> {
        let law = cure.time_law();
        let at = |factor: f64| {
            let open = cure.scaled(factor)?.open_for(0.0, climate)?;
            Ok(open.unwrap_or(0.0))
        };
        Ok(Self {
            quick_s: at(law.quantile(0.1)?)?,
            printed_s: at(1.0)?,
            slow_s: at(law.quantile(0.9)?)?,
        })
    }
}
