//! What the tool decides: kerf, spacing, trim, how a part is held, and in which order parts are cut free.

use serde::{Deserialize, Serialize};

use crate::sourced::{Constant, Standing};

/// How the sheet is cut; decides the kind of layout, the distances and the order of cutting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// A hand-held router along a template or fence: free shapes, cut row by row from one edge, so that the rest of the
    /// sheet stays in one stiff piece. A part that may be flipped is cut with its template turned over.
    HandRouter,
    /// A saw, or scoring and snapping: straight cuts from edge to edge of the piece in hand. Flipping changes nothing.
    Saw,
    /// A router on a machine: free shapes, small ones first while the sheet holds them, each next one the nearest.
    Cnc,
}

/// How a part is kept from moving as it comes free.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Hold {
    /// Clamped on both sides of the cut.
    Clamps,
    /// Taped down over its whole face, because it is too small for clamps.
    Tape,
    /// Held by the vacuum table or by screws in the waste.
    Table,
    /// Left hanging by tabs or a thin skin, because the table does not hold it.
    Tabs,
    /// Led along the fence.
    Fence,
    /// Led along the fence by a sled or a push stick, because hands would come too near the blade.
    PushStick,
}

const fn usual(name: &'static str, value: f64, low: f64, high: f64) -> Constant {
    Constant {
        name,
        value,
        low,
        high,
        unit: "m",
        source: "common practice, no source",
        standing: Standing::CommonPractice,
    }
}

const KERF_HAND_ROUTER: Constant = usual("stock.kerf.hand_router", 6.35e-3, 3.175e-3, 12.7e-3);
const KERF_SAW: Constant = usual("stock.kerf.saw", 3.0e-3, 0.5e-3, 4.0e-3);
const KERF_CNC: Constant = usual("stock.kerf.cnc", 3.175e-3, 1.5e-3, 6.35e-3);
const SPACING_HAND_ROUTER: Constant = usual("stock.spacing.hand_router", 12.0e-3, 6.0e-3, 25.0e-3);
const SPACING_CNC: Constant = usual("stock.spacing.cnc", 5.0e-3, 3.0e-3, 10.0e-3);
const TRIM: Constant = usual("stock.trim", 5.0e-3, 0.0, 15.0e-3);
/// Least width of a remnant that is worth a place in the rack. [m]
pub(super) const KEEP_WIDTH: Constant = usual("stock.keep.width", 0.1, 0.05, 0.3);
/// Least length of a remnant that is worth a place in the rack. [m]
pub(super) const KEEP_LENGTH: Constant = usual("stock.keep.length", 0.3, 0.1, 0.6);
/// A part whose shorter side is less than this moves as it comes free. [m]
const SMALL: Constant = usual("stock.hold.small", 0.1, 0.05, 0.2);

/// Every constant of the layouts.
pub static CONSTANTS: &[&Constant] = &[
    &KERF_HAND_ROUTER,
    &KERF_SAW,
    &KERF_CNC,
    &SPACING_HAND_ROUTER,
    &SPACING_CNC,
    &TRIM,
    &KEEP_WIDTH,
    &KEEP_LENGTH,
    &SMALL,
];

impl Method {
    /// The usual width of the cut. [m]
    pub const fn kerf(self) -> Constant {
        match self {
            Self::HandRouter => KERF_HAND_ROUTER,
            Self::Saw => KERF_SAW,
            Self::Cnc => KERF_CNC,
        }
    }

    /// The usual least distance between two parts: one cut for a saw, room for the base and the clamps for a router. [m]
    pub const fn spacing(self) -> Constant {
        match self {
            Self::HandRouter => SPACING_HAND_ROUTER,
            Self::Saw => KERF_SAW,
            Self::Cnc => SPACING_CNC,
        }
    }

    /// The usual strip that is cut off each edge of a sheet before its edge is trusted. [m]
    pub const fn trim(self) -> Constant {
        TRIM
    }

    /// How a part of this size is held as it comes free; below a shorter side of 100 mm (common practice, no source) it is small.
    ///
    /// ```
    /// use mountwright::stock::{Hold, Method};
    /// assert_eq!(Method::Cnc.hold(0.4, 0.06), Hold::Tabs);
    /// assert_eq!(Method::HandRouter.hold(0.4, 0.3), Hold::Clamps);
    /// ```
    pub fn hold(self, width_m: f64, height_m: f64) -> Hold {
        let small = width_m.min(height_m) < SMALL.value;
        match (self, small) {
            (Self::HandRouter, false) => Hold::Clamps,
            (Self::HandRouter, true) => Hold::Tape,
            (Self::Saw, false) => Hold::Fence,
            (Self::Saw, true) => Hold::PushStick,
            (Self::Cnc, false) => Hold::Table,
            (Self::Cnc, true) => Hold::Tabs,
        }
    }
}
