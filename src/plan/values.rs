//! One way through the chain serves the nominal plan and every draw: stages take each uncertain number from here by name.
//!
//! On the nominal way a number is registered with its law and its likeliest value is given; on the way of a
//! draw, the value in that draw's row. So no stage knows which of the two it is on.

use crate::error::Result;
use crate::file::Length;
use crate::sourced::{Constant, Sourced};
use crate::spread::{Chance, Draws, Inputs, Law};

/// Where one run of the chain takes its uncertain numbers from.
pub(super) enum Values<'a> {
    /// The nominal run: registers what it meets.
    Nominal(&'a mut Inputs),
    /// One row of the draws.
    Row(&'a Inputs, &'a Draws, usize),
}

impl Values<'_> {
    /// Whether this is the nominal run.
    pub(super) fn is_nominal(&self) -> bool {
        matches!(self, Self::Nominal(_))
    }

    /// The number called `name`.
    ///
    /// # Errors
    /// A law that cannot be, or the same name with another law.
    pub(super) fn take(&mut self, name: &str, law: Law) -> Result<f64> {
        match self {
            Self::Nominal(inputs) => {
                inputs.register(name, law)?;
                Ok(law.likely())
            }
            Self::Row(inputs, draws, row) => Ok(inputs
                .find(name)
                .map_or_else(|| law.likely(), |id| draws.value(id, *row))),
        }
    }

    /// A number whose law depends on where it is used, but whose cause is one: `cause` is drawn once as a share, and
    /// the number is that share's percentile of its own law.
    ///
    /// # Errors
    /// A law that cannot be.
    pub(super) fn caused(&mut self, cause: &str, law: Law) -> Result<f64> {
        let share = self.take(
            cause,
            Law::Uniform {
                low: 0.0,
                high: 1.0,
            },
        )?;
        if self.is_nominal() {
            Ok(law.likely())
        } else {
            law.quantile(share)
        }
    }

    /// A chance of which a beta law is believed: its mean, or its percentile in this draw.
    ///
    /// # Errors
    /// As [`Values::take`].
    pub(super) fn chance(&mut self, name: &str, chance: Chance) -> Result<f64> {
        let law = Law::Uniform {
            low: 0.0,
            high: 1.0,
        };
        let share = self.take(name, law)?;
        if self.is_nominal() {
            Ok(chance.mean())
        } else {
            chance.quantile(share)
        }
    }

    /// A catalogue value.
    ///
    /// # Errors
    /// As [`Values::take`].
    pub(super) fn sourced(&mut self, name: &str, sourced: &Sourced) -> Result<f64> {
        self.take(name, sourced.law())
    }

    /// A constant of the program.
    ///
    /// # Errors
    /// As [`Values::take`].
    pub(super) fn constant(&mut self, constant: &Constant) -> Result<f64> {
        self.sourced(constant.name, &constant.sourced())
    }
}

/// A measurement with its own range.
pub(super) fn measured(values: &mut Values, part: &str, what: &str, length: Length) -> Result<f64> {
    let Length(m) = length;
    if m.plus_minus > 0.0 {
        let (low, high) = (m.value - m.plus_minus, m.value + m.plus_minus);
        values.take(
            &format!("{part}: {what}"),
            Law::Triangular {
                low,
                likely: m.value,
                high,
            },
        )
    } else {
        Ok(m.value)
    }
}
