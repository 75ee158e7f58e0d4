//! When a warm part may be touched.

use super::slab::TEMPERATURE;
use crate::error::{Range, Result, check};

/// Burn thresholds of plastics by contact time: below, no burn is to be expected. (s, °C)
///
/// ISO 13732-1, remembered to ±3 K: plastics 85 °C at 1 s and 71 °C at 10 s, any material 51 °C at 1 min,
/// 48 °C at 10 min, 43 °C at 8 h.
pub const BURN_PLASTICS: [(f64, f64); 5] = [
    (1.0, 85.0),
    (10.0, 71.0),
    (60.0, 51.0),
    (600.0, 48.0),
    (28_800.0, 43.0),
];

/// Effusivity of skin, `√(k ρ c)` of k 0.37, ρ 1000, c 3770. [W s^½/m²/K]
pub const SKIN_EFFUSIVITY: f64 = 1181.0;
/// Temperature of skin. [K]
pub const SKIN_K: f64 = 306.15;

/// Temperature below which a plastic face may be touched for `contact_s`. [K]
///
/// Straight in the logarithm of the time between the thresholds of [`BURN_PLASTICS`]; shorter than 1 s counts as 1 s.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a contact outside 0 to 28 800 s.
///
/// ```
/// let t = mountwright::heat::touch::threshold_k(10.0)?;
/// assert!((t - 344.15).abs() < 1e-9);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn threshold_k(contact_s: f64) -> Result<f64> {
    check(
        "contact_s",
        contact_s,
        Range::new(0.0, 28_800.0, "s"),
        "10 s is a firm grip",
    )?;
    let mut celsius = BURN_PLASTICS[0].1;
    for pair in BURN_PLASTICS.windows(2) {
        let ((t0, c0), (t1, c1)) = (pair[0], pair[1]);
        if contact_s > t0 {
            let share = ((contact_s / t0).ln() / (t1 / t0).ln()).min(1.0);
            celsius = c0 + share * (c1 - c0);
        }
    }
    Ok(celsius + 273.15)
}

/// Temperature of the skin at the moment of contact, both bodies thick: `(e_s T_s + e_m T_m)/(e_s + e_m)`.
///
/// Valid while the body is thick against `√(α t)`; the idea of ASTM C1057.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for an effusivity outside 1 to 1e5 or a temperature outside 150 to 1500 K.
pub fn contact_k(body_k: f64, body_effusivity: f64) -> Result<f64> {
    check("body_k", body_k, TEMPERATURE, "use kelvin")?;
    check(
        "body_effusivity",
        body_effusivity,
        Range::new(1.0, 1e5, "W s^0.5/m2/K"),
        "√(k ρ c)",
    )?;
    Ok((SKIN_EFFUSIVITY * SKIN_K + body_effusivity * body_k) / (SKIN_EFFUSIVITY + body_effusivity))
}

/// A grip that the recipe waits for: a firm hold of ten seconds.
pub const GRIP_S: f64 = 10.0;
