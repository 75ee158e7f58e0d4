//! Holes that screws ask for: clearance, and slots that let a part grow in the sun.

use crate::sourced::{Constant, Standing};

const fn clearance(name: &'static str, [fine, medium, coarse]: [f64; 3]) -> Constant {
    Constant {
        name,
        value: medium,
        low: fine,
        high: coarse,
        unit: "m",
        source: "ISO 273, medium series between fine and coarse, from memory",
        standing: Standing::Remembered,
    }
}

/// Clearance beyond a thread up to 3.5 mm.
pub const CLEARANCE_TO_3_5: Constant = clearance("hole.clearance_to_3.5_mm", [2e-4, 4e-4, 7e-4]);
/// Clearance beyond a thread up to 5 mm.
pub const CLEARANCE_TO_5: Constant = clearance("hole.clearance_to_5_mm", [3e-4, 5e-4, 8e-4]);
/// Clearance beyond a thread up to 6 mm.
pub const CLEARANCE_TO_6: Constant = clearance("hole.clearance_to_6_mm", [4e-4, 6e-4, 10e-4]);
/// Clearance beyond a wider thread.
pub const CLEARANCE_WIDER: Constant = clearance("hole.clearance_wider", [4e-4, 10e-4, 20e-4]);

/// Round clearance hole for a screw, medium fit. [m]
///
/// ```
/// use mountwright::shape::hole::clearance_hole_m;
/// assert!((clearance_hole_m(0.004) - 0.0045).abs() < 1e-12);
/// ```
pub fn clearance_hole_m(diameter_m: f64) -> f64 {
    // A hair, so that 3.5 mm written in inches and back stays in its row.
    const HAIR_M: f64 = 1e-6;
    let rows = [
        (3.5e-3, &CLEARANCE_TO_3_5),
        (5e-3, &CLEARANCE_TO_5),
        (6e-3, &CLEARANCE_TO_6),
    ];
    let row = rows.iter().find(|row| diameter_m <= row.0 + HAIR_M);
    diameter_m + row.map_or(CLEARANCE_WIDER.value, |row| row.1.value)
}

/// From the coldest night to the hottest sun: the swing that a slot allows for, both ways from the shop's own temperature.
pub const SLOT_SWING: Constant = Constant::practice("hole.slot_swing", [50.0, 70.0, 90.0], "K");

/// Length that a slot has beyond its movement, to aim by.
pub const SLOT_AIM: Constant = Constant::practice("hole.slot_aim", [5e-4, 1e-3, 2e-3], "m");

/// Play of a slotted hole at `span_m` from the fixed one: its movement over [`SLOT_SWING`] both ways, and [`SLOT_AIM`]. [m]
///
/// ```
/// use mountwright::shape::hole::slot_play_m;
/// // ABS, 9e-5 1/K, 150 mm: 0.945 mm each way over 70 K.
/// assert!((slot_play_m(9e-5, 0.15) - (2.0 * 0.945e-3 + 1e-3)).abs() < 1e-12);
/// ```
pub fn slot_play_m(expansion_1_k: f64, span_m: f64) -> f64 {
    2.0 * expansion_1_k * SLOT_SWING.value * span_m + SLOT_AIM.value
}
