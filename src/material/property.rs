//! The properties that a material can have: name, unit, plausible range, and whether a plan draws it.

use serde::{Deserialize, Serialize};

use super::material::Role;
use crate::error::{Error, Range, Result};
use crate::quantity::Dimension;

macro_rules! properties {
    ($($(#[doc = $doc:literal])+ $name:ident, $key:literal, $field:literal, $dimension:ident, $low:literal, $high:literal, $drawn:ident;)+) => {
        /// A property of a material. Its [`key`](Property::key) is its name in files and in Python, its
        /// [`field`](Property::field) the same with the SI unit.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        #[non_exhaustive]
        pub enum Property {
            $($(#[doc = $doc])+ #[serde(rename = $key)] $name,)+
        }

        /// One row for each property, in the order of the enumeration.
        static SPECS: [Spec; [$(Property::$name),+].len()] = [
            $(Spec {
                property: Property::$name,
                key: $key,
                field: $field,
                dimension: Dimension::$dimension,
                low: $low,
                high: $high,
                drawn: $drawn,
                meaning: concat!($($doc),+),
            },)+
        ];
    };
}

/// What there is to know about a property.
#[derive(Debug)]
struct Spec {
    property: Property,
    key: &'static str,
    field: &'static str,
    dimension: Dimension,
    /// Plausible range of a plastic, foam or board, SI.
    low: f64,
    high: f64,
    drawn: bool,
    meaning: &'static str,
}

#[allow(non_upper_case_globals)] // words for the table below
const drawn: bool = true;
#[allow(non_upper_case_globals)]
const held: bool = false;

properties! {
    /// Density at 23 °C.
    Density, "density", "density_kg_m3", Density, 10.0, 2500.0, drawn;
    /// Thermal conductivity at 23 °C.
    Conductivity, "conductivity", "conductivity_w_m_k", Conductivity, 0.02, 0.6, drawn;
    /// Change of conductivity with temperature.
    ConductivitySlope, "conductivity_slope", "conductivity_slope_w_m_k2", ConductivitySlope, -0.002, 0.001, drawn;
    /// Specific heat capacity at 23 °C, without any melting peak.
    HeatCapacity, "heat_capacity", "heat_capacity_j_kg_k", HeatCapacity, 700.0, 3000.0, drawn;
    /// Emissivity in the infrared of a room-temperature body.
    Emissivity, "emissivity", "emissivity", Fraction, 0.02, 1.0, drawn;
    /// Absorption of infrared in depth: a ray falls to 1/e over its inverse.
    InfraredAbsorption, "infrared_absorption", "infrared_absorption_1_m", Attenuation, 100.0, 20_000.0, held;
    /// Glass transition.
    GlassTransition, "glass_transition", "glass_transition_k", Temperature, 120.0, 480.0, held;
    /// Where melting starts on heating.
    MeltingStart, "melting_start", "melting_start_k", Temperature, 280.0, 550.0, drawn;
    /// Peak of melting.
    MeltingPeak, "melting_peak", "melting_peak_k", Temperature, 280.0, 550.0, held;
    /// Where melting ends on heating.
    MeltingEnd, "melting_end", "melting_end_k", Temperature, 280.0, 550.0, drawn;
    /// Heat of melting of the sheet as it is, partly crystalline.
    MeltingEnthalpy, "melting_enthalpy", "melting_enthalpy_j_kg", SpecificEnergy, 5e3, 300e3, drawn;
    /// Where freezing starts on cooling: below the melting range where the melt supercools.
    FreezingStart, "freezing_start", "freezing_start_k", Temperature, 270.0, 550.0, drawn;
    /// Where freezing ends on cooling.
    FreezingEnd, "freezing_end", "freezing_end_k", Temperature, 270.0, 550.0, drawn;
    /// Heat deflection temperature under 0.455 MPa (ASTM D648, ISO 75 method B).
    Hdt455, "hdt_455", "hdt_455_k", Temperature, 290.0, 550.0, drawn;
    /// Heat deflection temperature under 1.82 MPa (ASTM D648, ISO 75 method A).
    Hdt1820, "hdt_1820", "hdt_1820_k", Temperature, 290.0, 550.0, drawn;
    /// Vicat softening temperature, ISO 306 method B50 unless its note says otherwise.
    Vicat, "vicat", "vicat_k", Temperature, 290.0, 550.0, drawn;
    /// Highest temperature of lasting service that makers print.
    MaxService, "max_service", "max_service_k", Temperature, 290.0, 550.0, held;
    /// Young's modulus at 23 °C, short time.
    YoungsModulus, "youngs_modulus", "youngs_modulus_pa", Pressure, 50e6, 6e9, drawn;
    /// Poisson's ratio at 23 °C.
    PoissonRatio, "poisson_ratio", "poisson_ratio", Fraction, 0.0, 0.5, held;
    /// Yield strength in tension at 23 °C.
    YieldStrength, "yield_strength", "yield_strength_pa", Pressure, 2e6, 120e6, drawn;
    /// Strength in bending at 23 °C.
    FlexuralStrength, "flexural_strength", "flexural_strength_pa", Pressure, 2e6, 200e6, held;
    /// Creep modulus after 1000 h at 23 °C over the short-time modulus.
    CreepFactor, "creep_factor_1000h", "creep_factor_1000h", Fraction, 0.02, 1.0, drawn;
    /// Linear thermal expansion.
    Expansion, "expansion", "expansion_1_k", Expansion, 1e-6, 5e-4, drawn;
    /// Stress of a gasket foam at 25 % compression.
    CompressionStress25, "compression_stress_25", "compression_stress_25_pa", Pressure, 1e3, 1e6, drawn;
    /// Stress of a gasket foam at 50 % compression.
    CompressionStress50, "compression_stress_50", "compression_stress_50_pa", Pressure, 1e3, 3e6, drawn;
    /// Share of its compression that a gasket foam keeps.
    CompressionSet, "compression_set", "compression_set_fraction", Fraction, 0.0, 1.0, held;
    /// Below it a formed part keeps its shape.
    Set, "set", "set_k", Temperature, 280.0, 500.0, drawn;
    /// The sheet bends under its own weight: enough for a strap or a fold.
    Limp, "limp", "limp_k", Temperature, 300.0, 550.0, drawn;
    /// The sheet draws: it stretches into or over a form.
    Formable, "formable", "formable_k", Temperature, 300.0, 550.0, drawn;
    /// Usual forming temperature.
    Normal, "normal", "normal_k", Temperature, 300.0, 550.0, held;
    /// Above it the sheet sags, blisters, foams or burns.
    Upper, "upper", "upper_k", Temperature, 310.0, 600.0, drawn;
    /// Onset of harmful fumes; may lie inside the forming window.
    FumeOnset, "fume_onset", "fume_onset_k", Temperature, 320.0, 650.0, held;
    /// Onset of lasting damage.
    Degradation, "degradation", "degradation_k", Temperature, 350.0, 650.0, held;
    /// Turns to char.
    Carbonisation, "carbonisation", "carbonisation_k", Temperature, 400.0, 800.0, held;
    /// Activation energy of thermal damage.
    DoseEnergy, "dose_energy", "dose_energy_j_mol", MolarEnergy, 40e3, 300e3, drawn;
    /// Time to visible colour at the dose temperature.
    DoseTime, "dose_time", "dose_time_s", Time, 10.0, 1e6, drawn;
    /// Temperature that the dose time is stated for; the degradation temperature where it is not given.
    DoseTemperature, "dose_temperature", "dose_temperature_k", Temperature, 350.0, 650.0, held;
    /// Shrinkage of a free sheet along its extrusion when it is heated to form.
    HeatedShrinkage, "heated_shrinkage", "heated_shrinkage_fraction", Fraction, -0.02, 0.6, drawn;
    /// Shrinkage from the form to the cold part.
    MouldShrinkage, "mould_shrinkage", "mould_shrinkage_fraction", Fraction, 0.0, 0.06, drawn;
    /// Least inside radius of a hot bend over the thickness.
    BendRadius, "bend_radius", "bend_radius_over_thickness", Fraction, 0.0, 20.0, held;
    /// Least inside radius of a cold curve over the thickness.
    ColdBendRadius, "cold_bend_radius", "cold_bend_radius_over_thickness", Fraction, 10.0, 1000.0, held;
    /// Greatest thickness for a sharp cold bend on a brake.
    BrakeBendLimit, "brake_bend_limit", "brake_bend_limit_m", Length, 1e-4, 0.02, held;
    /// Greatest depth of a draw over the smallest width of its opening.
    DrawDepthRatio, "draw_depth_ratio", "draw_depth_ratio", Fraction, 0.05, 10.0, held;
    /// Time on a strip heater, for each metre of thickness.
    LineBendTime, "line_bend_time", "line_bend_time_s_m", TimePerLength, 1e3, 5e5, held;
    /// Time between radiant panels, for each metre of thickness.
    RadiantTime, "radiant_time", "radiant_time_s_m", TimePerLength, 1e3, 5e5, held;
    /// Water taken up in 24 h.
    WaterUptake, "water_uptake", "water_uptake_fraction", Fraction, 0.0, 0.2, held;
}

impl Property {
    /// How many there are.
    pub(crate) const COUNT: usize = SPECS.len();

    fn spec(self) -> &'static Spec {
        &SPECS[self as usize]
    }

    /// Every property, in a fixed order.
    pub fn all() -> impl Iterator<Item = Self> {
        SPECS.iter().map(|s| s.property)
    }

    /// Its name in files and in Python: `heat_capacity`.
    pub fn key(self) -> &'static str {
        self.spec().key
    }

    /// Its name with the SI unit: `heat_capacity_j_kg_k`.
    pub fn field(self) -> &'static str {
        self.spec().field
    }

    /// What it means, in one line.
    pub fn meaning(self) -> &'static str {
        self.spec().meaning.trim()
    }

    /// Its dimension, which says which units a file may use.
    pub fn dimension(self) -> Dimension {
        self.spec().dimension
    }

    /// Whether a plan draws it; ratings and rules of thumb are held.
    pub fn is_drawn(self) -> bool {
        self.spec().drawn
    }

    /// What is plausible for a material of that role, SI; a value outside is a slip of unit or decimal.
    pub fn plausible(self, role: Role) -> Range {
        let s = self.spec();
        let (low, high) = match (role, self) {
            (Role::Body, Self::Density) => (300.0, 9000.0),
            (Role::Body, Self::Conductivity) => (0.05, 450.0),
            (Role::Body, Self::HeatCapacity) => (350.0, 3000.0),
            (Role::Body, Self::YoungsModulus) => (1e9, 250e9),
            (Role::Body, Self::YieldStrength) => (10e6, 2e9),
            _ => (s.low, s.high),
        };
        Range::new(low, high, s.dimension.si_unit())
    }

    /// The property whose key is `key`.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest keys.
    ///
    /// ```
    /// use mountwright::material::Property;
    /// assert_eq!(Property::named("vicat")?, Property::Vicat);
    /// assert!(Property::named("vikat").unwrap_err().to_string().contains("vicat"));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn named(key: &str) -> Result<Self> {
        SPECS
            .iter()
            .find(|s| s.key == key)
            .map(|s| s.property)
            .ok_or_else(|| Error::unknown("property", key, SPECS.iter().map(|s| s.key)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_stands_at_its_place_with_its_own_names() {
        let mut keys: Vec<&str> = Property::all().map(Property::key).collect();
        for (i, p) in Property::all().enumerate() {
            assert_eq!(p as usize, i);
            assert_eq!(Property::named(p.key()).unwrap(), p);
            assert_eq!(
                serde_json::to_string(&p).unwrap(),
                format!("\"{}\"", p.key())
            );
            assert!(p.field().starts_with(p.key()) && p.meaning().ends_with('.'));
            let range = p.plausible(Role::Sheet);
            assert!(range.low < range.high);
        }
        keys.sort_unstable();
        keys.dedup();
        assert_eq!(keys.len(), Property::COUNT);
    }
}
