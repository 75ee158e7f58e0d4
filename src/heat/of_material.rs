//! A sheet and its limits from a material of the catalogue.

use super::dose::{DOSE_LIMIT, Dose};
use super::sheet::{Limits, Sheet, Wear};
use super::slab::{Melting, Table};
use crate::error::Result;
use crate::material::{self, Properties, Property};

fn table(of: &material::Table) -> Result<Table> {
    Table::new(of.temperature_k().to_vec(), of.value().to_vec())
}

impl Sheet {
    /// A sheet of a material, as thick as measured.
    ///
    /// # Errors
    /// As [`Sheet::new`]; [`crate::Error::Impossible`] where the catalogue lacks what is needed.
    ///
    /// ```
    /// use mountwright::heat::Sheet;
    /// use mountwright::material::Catalogue;
    /// let abs = Catalogue::standard()?.get("abs")?.properties();
    /// assert_eq!(Sheet::of(&abs, 3e-3)?.emissivity, 0.95);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn of(properties: &Properties, thickness_m: f64) -> Result<Self> {
        let melting = properties
            .melting()
            .map(|m| {
                let peak = |low: f64, high: f64| f64::midpoint(low, high);
                let melts_at = properties.get(Property::MeltingPeak).unwrap_or(0.0);
                let inside = melts_at > m.start_k && melts_at < m.end_k;
                let melts_at = if inside {
                    melts_at
                } else {
                    peak(m.start_k, m.end_k)
                };
                Melting::between(
                    m.enthalpy_j_kg,
                    (m.start_k, melts_at, m.end_k),
                    (
                        m.freezing_end_k,
                        peak(m.freezing_end_k, m.freezing_start_k),
                        m.freezing_start_k,
                    ),
                )
            })
            .transpose()?;
        Self::new(
            thickness_m,
            properties.need(Property::Density)?,
            table(&properties.conductivity())?,
            table(&properties.heat_capacity())?,
            melting,
            properties.emissivity(),
        )
    }
}

impl Limits {
    /// The forming temperatures of a material, and what it stands.
    ///
    /// # Errors
    /// [`crate::Error::Impossible`] for a material that is not formed.
    pub fn of(properties: &Properties) -> Result<Self> {
        let forming = properties.forming()?;
        let dose = properties.dose().ok().map(|d| Dose {
            reference_s: d.reference_time_s,
            reference_k: d.reference_temperature_k,
            activation_j_mol: d.activation_energy_j_mol,
            limit: DOSE_LIMIT.value,
        });
        Ok(Self {
            limp_k: forming.limp_k,
            formable_k: forming.formable_k,
            upper_k: forming.upper_k,
            set_k: forming.set_k,
            fume_onset_k: forming.fume_onset_k,
            dose,
            wear: Wear::USUAL,
        })
    }
}
