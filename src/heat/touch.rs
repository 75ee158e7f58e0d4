//! When a warm part may be touched.

use super::slab::TEMPERATURE;
use crate::error::{Range, Result, check};
use crate::sourced::{Constant, Standing};

/// A burn threshold, known to ±3 K.
const fn burn(name: &'static str, kelvin: f64) -> Constant {
    Constant {
        name,
        value: kelvin,
        low: kelvin - 3.0,
        high: kelvin + 3.0,
        unit: "K",
        source: "ISO 13732-1, burn thresholds, from memory to 3 K",
        standing: Standing::Remembered,
    }
}
/// Burn threshold of plastics, 1 s: 85 °C.
pub const BURN_1_S: Constant = burn("touch.burn_1_s", 358.15);
/// Burn threshold of plastics, 10 s: 71 °C.
pub const BURN_10_S: Constant = burn("touch.burn_10_s", 344.15);
/// Burn threshold of any material, 1 min: 51 °C.
pub const BURN_1_MIN: Constant = burn("touch.burn_1_min", 324.15);
/// Burn threshold of any material, 10 min: 48 °C.
pub const BURN_10_MIN: Constant = burn("touch.burn_10_min", 321.15);
/// Burn threshold of any material, 8 h: 43 °C.
pub const BURN_8_H: Constant = burn("touch.burn_8_h", 316.15);

/// Burn thresholds by contact time: below, no burn is to be expected. (s, K)
pub const BURN_PLASTICS: [(f64, Constant); 5] = [
    (1.0, BURN_1_S),
    (10.0, BURN_10_S),
    (60.0, BURN_1_MIN),
    (600.0, BURN_10_MIN),
    (28_800.0, BURN_8_H),
];

/// Effusivity of skin, `√(k ρ c)` of k 0.37, ρ 1000, c 3770.
pub const SKIN_EFFUSIVITY: Constant = Constant::exact(
    "touch.skin_effusivity",
    1181.0,
    "W s^0.5/m2/K",
    "of conductivity 0.37 W/m/K, density 1000 kg/m3, heat capacity 3770 J/kg/K, textbook values from memory",
    Standing::Remembered,
);
/// Temperature of skin.
pub const SKIN: Constant = Constant::exact(
    "touch.skin",
    306.15,
    "K",
    "usual temperature of the hand's skin, from memory",
    Standing::Remembered,
);

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
    let mut kelvin = BURN_1_S.value;
    for pair in BURN_PLASTICS.windows(2) {
        let ((t0, short), (t1, long)) = (pair[0], pair[1]);
        if contact_s > t0 {
            let share = ((contact_s / t0).ln() / (t1 / t0).ln()).min(1.0);
            kelvin = short.value + share * (long.value - short.value);
        }
    }
    Ok(kelvin)
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
    let skin = SKIN_EFFUSIVITY.value;
    Ok((skin * SKIN.value + body_effusivity * body_k) / (skin + body_effusivity))
}

/// A grip that the recipe waits for: a firm hold of ten seconds.
pub const GRIP: Constant = Constant::practice("touch.grip", [5.0, 10.0, 60.0], "s");
