//! What the heat and shape stages take from a material: the forming window, melting and freezing, thermal damage, draw limits.

use serde::Serialize;

use super::properties::Properties;
use super::property::Property;
use crate::error::Result;

/// Temperatures of the forming window. [K]
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Forming {
    /// Below it a formed part keeps its shape.
    pub set_k: f64,
    /// Bends under its own weight: enough for a strap or a fold.
    pub limp_k: f64,
    /// Draws.
    pub formable_k: f64,
    /// Usual forming temperature.
    pub normal_k: Option<f64>,
    /// Limit of the hottest point.
    pub upper_k: f64,
    /// Onset of harmful fumes; may lie inside the window.
    pub fume_onset_k: Option<f64>,
    /// Onset of lasting damage.
    pub degradation_k: Option<f64>,
}

impl Forming {
    pub(super) fn of(p: &Properties) -> Result<Self> {
        // Draws of neighbouring temperatures may cross: the order of the window is kept.
        let limp_k = p.need(Property::Limp)?;
        let formable_k = p.need(Property::Formable)?.max(limp_k);
        Ok(Self {
            set_k: p.need(Property::Set)?.min(limp_k),
            limp_k,
            formable_k,
            normal_k: p.get(Property::Normal),
            upper_k: p.need(Property::Upper)?.max(formable_k),
            fume_onset_k: p.get(Property::FumeOnset),
            degradation_k: p.get(Property::Degradation),
        })
    }

    /// Whether fumes may start before the window closes.
    pub fn fumes_inside_window(&self) -> bool {
        self.fume_onset_k.is_some_and(|onset| onset < self.upper_k)
    }
}

/// Melting on heating, and freezing on cooling, which lies lower where the melt supercools.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Melting {
    /// Where melting starts. [K]
    pub start_k: f64,
    /// Where it melts fastest. [K]
    pub peak_k: f64,
    /// Where melting ends. [K]
    pub end_k: f64,
    /// Heat of melting of the sheet as it is. [J/kg]
    pub enthalpy_j_kg: f64,
    /// Where freezing starts. [K]
    pub freezing_start_k: f64,
    /// Where it freezes fastest: half way, since no source gives it. [K]
    pub freezing_peak_k: f64,
    /// Where freezing ends. [K]
    pub freezing_end_k: f64,
}

impl Melting {
    pub(super) fn of(p: &Properties) -> Option<Self> {
        let start_k = p.get(Property::MeltingStart)?;
        // Draws may cross: 2 K at least for each range, the peak inside, freezing nowhere above melting.
        let end_k = p.get(Property::MeltingEnd)?.max(start_k + 2.0);
        let middle = f64::midpoint(start_k, end_k);
        let peak_k = p.get(Property::MeltingPeak).unwrap_or(middle);
        let freezing_start_k = p.get(Property::FreezingStart).unwrap_or(end_k).min(end_k);
        let freezing_end_k = p
            .get(Property::FreezingEnd)
            .unwrap_or(start_k)
            .min(start_k)
            .min(freezing_start_k - 2.0);
        Some(Self {
            start_k,
            peak_k: peak_k.clamp(start_k + 0.5, end_k - 0.5),
            end_k,
            enthalpy_j_kg: p.get(Property::MeltingEnthalpy)?,
            freezing_start_k,
            freezing_peak_k: f64::midpoint(freezing_start_k, freezing_end_k),
            freezing_end_k,
        })
    }
}

/// Parameters of thermal damage: at the reference temperature the limit of colour is reached after the reference time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Dose {
    /// Activation energy. [J/mol]
    pub activation_energy_j_mol: f64,
    /// Time to visible colour at the reference temperature. [s]
    pub reference_time_s: f64,
    /// Temperature that the time is stated for. [K]
    pub reference_temperature_k: f64,
    /// Not to be used above. [K]
    pub valid_to_k: f64,
}

impl Dose {
    /// How far above its reference temperature the Arrhenius form is used: the source for PVC stops at 230 °C, 50 K above. [K]
    const REACH_K: f64 = 50.0;

    pub(super) fn of(p: &Properties) -> Result<Self> {
        let reference_temperature_k = match p.get(Property::DoseTemperature) {
            Some(t) => t,
            None => p.need(Property::Degradation)?,
        };
        Ok(Self {
            activation_energy_j_mol: p.need(Property::DoseEnergy)?,
            reference_time_s: p.need(Property::DoseTime)?,
            reference_temperature_k,
            valid_to_k: reference_temperature_k + Self::REACH_K,
        })
    }
}

/// Ratio of areas of a round cup with a flat bottom: formed surface over opening, `1 + 4 H/D`.
///
/// `depth_ratio` is depth over width of the opening (`H/D`). Textbook geometry.
///
/// ```
/// use mountwright::material::areal_ratio_of_cup;
/// assert!((areal_ratio_of_cup(1.0) - 5.0).abs() < 1e-15);
/// ```
pub fn areal_ratio_of_cup(depth_ratio: f64) -> f64 {
    1.0 + 4.0 * depth_ratio
}

/// Ratio of areas of a spherical cap: `1 + (h/a)²` with height `h` on the rim's radius `a`; `depth_ratio` is `h/(2a)`.
///
/// ```
/// use mountwright::material::areal_ratio_of_cap;
/// assert!((areal_ratio_of_cap(0.5) - 2.0).abs() < 1e-15); // a hemisphere
/// ```
pub fn areal_ratio_of_cap(depth_ratio: f64) -> f64 {
    1.0 + (2.0 * depth_ratio).powi(2)
}
