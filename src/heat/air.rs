//! Dry air at one atmosphere.
//!
//! Viscosity and conductivity after the U.S. Standard Atmosphere 1976 (Sutherland's form and its
//! conductivity equation), remembered; checked against table A.4 of Bergman et al. in `tests/published`.

/// Dynamic viscosity, `1.458e-6 T^1.5/(T + 110.4)`, 170 to 1900 K. [Pa s]
///
/// ```
/// assert!((mountwright::heat::air::viscosity_pa_s(293.15) - 1.8134e-5).abs() < 1e-9);
/// ```
pub fn viscosity_pa_s(temperature_k: f64) -> f64 {
    1.458e-6 * temperature_k * temperature_k.sqrt() / (temperature_k + 110.4)
}

/// Thermal conductivity, `2.64638e-3 T^1.5/(T + 245.4·10^(−12/T))`, 170 to 1900 K. [W/m/K]
pub fn conductivity_w_m_k(temperature_k: f64) -> f64 {
    2.646_38e-3 * temperature_k * temperature_k.sqrt()
        / (temperature_k + 245.4 * 10_f64.powf(-12.0 / temperature_k))
}

/// Density of the ideal gas at 101 325 Pa, `353.05/T`. [kg/m³]
pub fn density_kg_m3(temperature_k: f64) -> f64 {
    353.05 / temperature_k
}

/// Prandtl number; 0.69 to 0.71 from 20 to 500 °C.
pub const PRANDTL: f64 = 0.70;

/// Heat capacity at constant pressure, 1005 to 1090 from 20 to 500 °C. [J/kg/K]
pub const HEAT_CAPACITY_J_KG_K: f64 = 1030.0;

/// Standard acceleration of free fall, exact by definition (3rd CGPM, 1901). [m/s²]
pub const GRAVITY_M_S2: f64 = 9.806_65;
