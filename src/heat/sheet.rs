//! The sheet and the temperatures that bound its forming.

use std::sync::Arc;

use serde::Serialize;

use super::dose::Dose;
use super::slab::{Material, Melting, TEMPERATURE, THICKNESS, Table};
use crate::error::{Error, Range, Result, check};
use crate::sourced::Constant;

/// A sheet ready to be heated. Its tables are prepared once; thickness, emissivity and the two factors may be changed freely.
#[derive(Debug, Clone, Serialize)]
pub struct Sheet {
    /// Thickness. [m]
    pub thickness_m: f64,
    /// Density. [kg/m³]
    pub density_kg_m3: f64,
    /// Conductivity. [W/m/K]
    pub conductivity_w_m_k: Table,
    /// Heat capacity without what melts. [J/kg/K]
    pub heat_capacity_j_kg_k: Table,
    /// Melting and freezing, where it melts.
    pub melting: Option<Melting>,
    /// Emissivity of both faces.
    pub emissivity: f64,
    /// Factor on the whole table of conductivity, for draws; usually 1.
    pub conductivity_factor: f64,
    /// Factor on density times heat capacity (and heat of melting), for draws; usually 1.
    pub heat_capacity_factor: f64,
    #[serde(skip)]
    pub(crate) material: Arc<Material>,
}

impl Sheet {
    /// A sheet from its properties.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a thickness outside 0.01 mm to 1 m, an emissivity outside 0 to 1 or a property outside what
    /// materials have; [`Error::Shape`] for a melting that is none.
    ///
    /// ```
    /// use mountwright::heat::{Sheet, Table};
    /// let foamed_pvc = Sheet::new(3e-3, 550.0, Table::constant(0.072), Table::constant(1100.0), None, 0.9)?;
    /// assert_eq!(foamed_pvc.thickness_m, 3e-3);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn new(
        thickness_m: f64,
        density_kg_m3: f64,
        conductivity_w_m_k: Table,
        heat_capacity_j_kg_k: Table,
        melting: Option<Melting>,
        emissivity: f64,
    ) -> Result<Self> {
        let material = Material::new(
            &conductivity_w_m_k,
            density_kg_m3,
            &heat_capacity_j_kg_k,
            melting.as_ref(),
        )?;
        let sheet = Self {
            thickness_m,
            density_kg_m3,
            conductivity_w_m_k,
            heat_capacity_j_kg_k,
            melting,
            emissivity,
            conductivity_factor: 1.0,
            heat_capacity_factor: 1.0,
            material: Arc::new(material),
        };
        sheet.check()?;
        Ok(sheet)
    }

    /// Checks what may have been changed since it was made.
    pub(crate) fn check(&self) -> Result<()> {
        check(
            "sheet.thickness_m",
            self.thickness_m,
            THICKNESS,
            "measure the sheet",
        )?;
        check(
            "sheet.emissivity",
            self.emissivity,
            Range::new(0.0, 1.0, ""),
            "plastics: 0.85 to 0.95",
        )?;
        let factor = Range::new(0.01, 100.0, "");
        check(
            "sheet.conductivity_factor",
            self.conductivity_factor,
            factor,
            "1 is usual",
        )?;
        check(
            "sheet.heat_capacity_factor",
            self.heat_capacity_factor,
            factor,
            "1 is usual",
        )?;
        Ok(())
    }
}

/// Temperatures that bound the forming of a sheet, and what it stands.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Limits {
    /// Bends under its own weight: enough for a strap or a fold. [K]
    pub limp_k: f64,
    /// Draws: needed to press a pod. [K]
    pub formable_k: f64,
    /// No point may be hotter. [K]
    pub upper_k: f64,
    /// Keeps its shape below. [K]
    pub set_k: f64,
    /// A face gives off fumes from here on. [K]
    pub fume_onset_k: Option<f64>,
    /// Loss of stability by time and temperature, where it is known.
    pub dose: Option<Dose>,
    /// What repeated heats cost, where it is known.
    pub wear: Wear,
}

/// What one heat costs in thickness and shrinkage, and how much is allowed in all.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Wear {
    /// Loss of thickness in one heat, as a share.
    pub thinning_per_heat: f64,
    /// Loss of thickness allowed in all.
    pub thinning_limit: f64,
    /// Shrinkage along the sheet in one free heat, as a share.
    pub shrinkage_per_heat: f64,
    /// Shrinkage allowed in all.
    pub shrinkage_limit: f64,
}

/// Loss of thickness where a part is pressed again.
pub(super) const THINNING: Constant = Constant::practice("wear.thinning", [0.02, 0.03, 0.05], "1");
/// Loss of thickness that is let pass.
pub(super) const THINNING_LIMIT: Constant =
    Constant::practice("wear.thinning_limit", [0.05, 0.10, 0.15], "1");
/// Shrinkage in one free heat.
pub(super) const SHRINKAGE: Constant =
    Constant::practice("wear.shrinkage", [0.005, 0.01, 0.02], "1");
/// Shrinkage that is let pass.
pub(super) const SHRINKAGE_LIMIT: Constant =
    Constant::practice("wear.shrinkage_limit", [0.02, 0.04, 0.06], "1");

impl Wear {
    /// Common practice, no source: pressing again thins by 3 %, a free heat shrinks by 1 %; 10 % and 4 % are let pass.
    pub const USUAL: Self = Self {
        thinning_per_heat: THINNING.value,
        thinning_limit: THINNING_LIMIT.value,
        shrinkage_per_heat: SHRINKAGE.value,
        shrinkage_limit: SHRINKAGE_LIMIT.value,
    };
}

impl Limits {
    /// Checks every number and their order.
    pub(crate) fn check(&self) -> Result<()> {
        for (name, value) in [
            ("limits.limp_k", self.limp_k),
            ("limits.formable_k", self.formable_k),
            ("limits.upper_k", self.upper_k),
            ("limits.set_k", self.set_k),
        ] {
            check(name, value, TEMPERATURE, "use kelvin")?;
        }
        if let Some(onset) = self.fume_onset_k {
            check("limits.fume_onset_k", onset, TEMPERATURE, "use kelvin")?;
        }
        if let Some(dose) = &self.dose {
            dose.check()?;
        }
        let w = &self.wear;
        for (name, value) in [
            ("limits.wear.thinning_per_heat", w.thinning_per_heat),
            ("limits.wear.thinning_limit", w.thinning_limit),
            ("limits.wear.shrinkage_per_heat", w.shrinkage_per_heat),
            ("limits.wear.shrinkage_limit", w.shrinkage_limit),
        ] {
            check(
                name,
                value,
                Range::new(0.0, 1.0, ""),
                "give a share, 0 to 1",
            )?;
        }
        if !(self.set_k < self.limp_k
            && self.limp_k <= self.formable_k
            && self.formable_k < self.upper_k)
        {
            return Err(Error::Shape {
                what: "limits".into(),
                given: format!(
                    "set {}, limp {}, formable {}, upper {} K",
                    self.set_k, self.limp_k, self.formable_k, self.upper_k
                ),
                allowed: "set below limp, limp at or below formable, formable below upper".into(),
            });
        }
        Ok(())
    }
}
