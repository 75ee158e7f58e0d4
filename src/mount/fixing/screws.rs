//! Sizes of screws and of the holes that they ask for.

use serde::Serialize;

use super::super::sheet::Family;
use crate::error::{Range, Result, check};
use crate::sourced::Standing;

/// A screw into or through plastic.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Screw {
    /// Thread outside diameter. [m]
    pub diameter_m: f64,
    /// Diameter of head or washer. [m]
    pub head_m: f64,
    /// Whether its head is a cone that wedges into the sheet.
    pub countersunk: bool,
}

impl Screw {
    /// A pan-head screw: head twice the thread, as common practice has it.
    pub fn pan(diameter_m: f64) -> Self {
        Self {
            diameter_m,
            head_m: 2.0 * diameter_m,
            countersunk: false,
        }
    }

    pub(in crate::mount) fn validate(&self) -> Result<()> {
        check(
            "screw.diameter_m",
            self.diameter_m,
            Range::new(1e-3, 0.012, "m"),
            "screws of this trade are 2 to 6 mm",
        )?;
        check(
            "screw.head_m",
            self.head_m,
            Range::new(self.diameter_m, 0.06, "m"),
            "give the diameter of head or washer",
        )?;
        Ok(())
    }
}

/// Pilot hole, boss and engagement of thread-forming screws, as multiples of the thread diameter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ThreadForming {
    /// Pilot hole.
    pub hole: f64,
    /// Boss outside diameter.
    pub boss: f64,
    /// Engagement.
    pub engagement: f64,
    /// Where the row comes from.
    pub standing: Standing,
}

/// Factors of thread-forming screws for a kind of plastic.
///
/// ABS is printed in a screw maker's boss table; the rest are from memory, foamed PVC is common practice.
pub fn thread_forming(family: Family) -> ThreadForming {
    let row = |hole, boss, engagement, standing| ThreadForming {
        hole,
        boss,
        engagement,
        standing,
    };
    match family {
        Family::Abs => row(0.80, 2.00, 2.00, Standing::Published),
        Family::Pc => row(0.85, 2.50, 2.20, Standing::Remembered),
        Family::Acrylic => row(0.85, 2.00, 2.00, Standing::Remembered),
        Family::Pp => row(0.70, 2.00, 2.00, Standing::Remembered),
        Family::Hdpe => row(0.75, 1.80, 1.80, Standing::Remembered),
        Family::FoamedPvc => row(0.68, 2.00, 2.50, Standing::CommonPractice),
        Family::RigidPvc | Family::Hips | Family::AcrylicPvc | Family::Petg | Family::Other => {
            row(0.80, 2.00, 2.00, Standing::Remembered)
        }
    }
}

/// Thread and core diameters of thread-forming screws. [m] A screw maker's boss table.
pub const CORES_M: [(f64, f64); 8] = [
    (0.0022, 0.00125),
    (0.0025, 0.00140),
    (0.0030, 0.00166),
    (0.0035, 0.00191),
    (0.0040, 0.00217),
    (0.0050, 0.00268),
    (0.0060, 0.00319),
    (0.0080, 0.00421),
];

/// Core of a thread-forming screw of `diameter_m`: between the rows of [`CORES_M`] in a straight line, outside by the nearest row's share. [m]
pub fn core_m(diameter_m: f64) -> f64 {
    let (Some(first), Some(last)) = (CORES_M.first(), CORES_M.last()) else {
        return f64::NAN; // the table has rows
    };
    if diameter_m <= first.0 {
        return diameter_m * first.1 / first.0;
    }
    CORES_M
        .windows(2)
        .find_map(|w| match w {
            [a, b] if diameter_m <= b.0 => {
                Some(a.1 + (b.1 - a.1) * (diameter_m - a.0) / (b.0 - a.0))
            }
            _ => None,
        })
        .unwrap_or(diameter_m * last.1 / last.0)
}

/// Thread of a hexagon nut, its width across flats and its height. [m] ISO 4032, M3.5 of its non-preferred row; from memory.
pub const NUTS_M: [(f64, f64, f64); 8] = [
    (0.002, 0.0040, 0.0016),
    (0.0025, 0.0050, 0.0020),
    (0.003, 0.0055, 0.0024),
    (0.0035, 0.0060, 0.0028),
    (0.004, 0.0070, 0.0032),
    (0.005, 0.0080, 0.0047),
    (0.006, 0.0100, 0.0052),
    (0.008, 0.0130, 0.0068),
];

/// Width across flats and height of a hexagon nut; `None` for a thread without a row in [`NUTS_M`]. [m]
pub fn nut_m(thread_m: f64) -> Option<(f64, f64)> {
    let row = NUTS_M.iter().find(|row| (row.0 - thread_m).abs() < 5e-5)?;
    Some((row.1, row.2))
}

/// What thread suits a sheet of flexural modulus `modulus_pa` at room temperature.
pub fn thread_advice(modulus_pa: f64) -> &'static str {
    if modulus_pa < 1.4e9 {
        "any thread-forming screw"
    } else if modulus_pa <= 2.8e9 {
        "thread-cutting or wide-pitch screws for plastics: ordinary thread formers overstress it"
    } else {
        "thread-cutting screws or an insert"
    }
}
