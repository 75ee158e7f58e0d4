//! What to allow for besides the times: drying before the heat, shrinkage in it and after it, a fold that opens again.

use serde::Serialize;

use crate::error::Result;
use crate::material::{Material, Property};
use crate::shape::fold::SPRINGBACK_RAD;
use crate::sourced::{Constant, Sourced};

/// Allowances of one sheet, each with its range and source; `None` where the catalogue knows none.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Allowances {
    /// Time in the drying oven before the heat, for this thickness. [s]
    pub dry_s: Option<f64>,
    /// How much a free sheet shrinks along its extrusion in the heat: cut it longer, or clamp it.
    pub heated_shrinkage: Option<Sourced>,
    /// How much the part shrinks from the hot form until it is cold: make the form larger.
    pub after_shrinkage: Option<Sourced>,
    /// How far a fold opens again after a cool hold: press it further. [rad]
    pub springback: Constant,
}

impl Allowances {
    /// The allowances of a sheet of a material, as thick as measured.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a thickness outside 0.1 to 100 mm.
    ///
    /// ```
    /// use mountwright::heat::Allowances;
    /// use mountwright::material::Catalogue;
    /// let pc = Allowances::of(Catalogue::standard()?.get("pc")?, 3e-3)?;
    /// assert!(pc.dry_s > Some(3600.0)); // hours, or it blisters
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn of(material: &Material, thickness_m: f64) -> Result<Self> {
        let known = |property| material.sourced(property).ok().cloned();
        Ok(Self {
            dry_s: material
                .drying
                .as_ref()
                .map(|drying| drying.time_s(thickness_m))
                .transpose()?
                .flatten(),
            heated_shrinkage: known(Property::HeatedShrinkage),
            after_shrinkage: known(Property::MouldShrinkage),
            springback: SPRINGBACK_RAD,
        })
    }
}
