//! Dry air at one atmosphere.
//!
//! Viscosity and conductivity after the U.S. Standard Atmosphere 1976 (Sutherland's form and its
//! conductivity equation), remembered; checked against table A.4 of Bergman et al. in `tests/published`.

use crate::sourced::{Constant, Standing};

const ATMOSPHERE: &str = "U.S. Standard Atmosphere 1976 (remembered)";
/// Factor of Sutherland's viscosity.
pub const SUTHERLAND: Constant = Constant::exact(
    "air.sutherland",
    1.458e-6,
    "kg/m/s/K^0.5",
    ATMOSPHERE,
    Standing::Remembered,
);
/// Temperature of Sutherland's viscosity.
pub const SUTHERLAND_K: Constant = Constant::exact(
    "air.sutherland_temperature",
    110.4,
    "K",
    ATMOSPHERE,
    Standing::Remembered,
);
/// Factor of the conductivity.
pub const CONDUCTS: Constant = Constant::exact(
    "air.conductivity",
    2.646_38e-3,
    "W/m/K^1.5",
    ATMOSPHERE,
    Standing::Remembered,
);
/// Temperature of the conductivity.
pub const CONDUCTS_K: Constant = Constant::exact(
    "air.conductivity_temperature",
    245.4,
    "K",
    ATMOSPHERE,
    Standing::Remembered,
);
/// Density times temperature at 101 325 Pa.
pub const DENSITY: Constant = Constant::exact(
    "air.density",
    353.05,
    "kg K/m3",
    "ideal gas: 101325 Pa, 28.96 g/mol, 8.314 J/mol/K",
    Standing::Derived,
);

/// Dynamic viscosity, `1.458e-6 T^1.5/(T + 110.4)`, 170 to 1900 K. [Pa s]
///
/// ```
/// assert!((mountwright::heat::air::viscosity_pa_s(293.15) - 1.8134e-5).abs() < 1e-9);
/// ```
pub fn viscosity_pa_s(temperature_k: f64) -> f64 {
    SUTHERLAND.value * temperature_k * temperature_k.sqrt() / (temperature_k + SUTHERLAND_K.value)
}

/// Thermal conductivity, `2.64638e-3 T^1.5/(T + 245.4·10^(−12/T))`, 170 to 1900 K. [W/m/K]
pub fn conductivity_w_m_k(temperature_k: f64) -> f64 {
    CONDUCTS.value * temperature_k * temperature_k.sqrt()
        / (temperature_k + CONDUCTS_K.value * 10_f64.powf(-12.0 / temperature_k))
}

/// Density of the ideal gas at 101 325 Pa, `353.05/T`. [kg/m³]
pub fn density_kg_m3(temperature_k: f64) -> f64 {
    DENSITY.value / temperature_k
}

/// Prandtl number; 0.69 to 0.71 from 20 to 500 °C.
pub const PRANDTL: Constant = Constant {
    name: "air.prandtl",
    value: 0.70,
    low: 0.69,
    high: 0.71,
    unit: "1",
    source: "Bergman et al., Fundamentals of Heat and Mass Transfer, table A.4 (remembered)",
    standing: Standing::Remembered,
};

/// Heat capacity at constant pressure, 1005 to 1090 from 20 to 500 °C. [J/kg/K]
pub const HEAT_CAPACITY: Constant = Constant {
    name: "air.heat_capacity",
    value: 1030.0,
    low: 1005.0,
    high: 1090.0,
    unit: "J/kg/K",
    source: "Bergman et al., Fundamentals of Heat and Mass Transfer, table A.4 (remembered)",
    standing: Standing::Remembered,
};
