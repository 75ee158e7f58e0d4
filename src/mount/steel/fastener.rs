//! What the screws of a ring go into where they are held by steel: rivet nuts, clip nuts, bolts through.

use crate::error::Result;
use crate::shape::hole::clearance_hole_m;
use crate::shape::seal::SteelFixing;
use crate::sourced::{Constant, Standing};

pub(super) const FROM_MEMORY: &str = "fastener makers' tables, from memory";

const fn remembered(
    name: &'static str,
    [low, value, high]: [f64; 3],
    unit: &'static str,
) -> Constant {
    Constant {
        name,
        value,
        low,
        high,
        unit,
        source: FROM_MEMORY,
        standing: Standing::Remembered,
    }
}

/// Steel that a rivet nut grips: from its least to its most.
pub const RIVET_NUT_GRIP: Constant = remembered("steel.rivet_nut_grip", [0.5e-3, 1e-3, 3e-3], "m");
/// Steel that a clip nut grips.
pub const CLIP_NUT_GRIP: Constant = remembered("steel.clip_nut_grip", [0.5e-3, 1e-3, 2.5e-3], "m");
/// Steel that a through bolt of usual length grips.
pub const THROUGH_BOLT_GRIP: Constant =
    remembered("steel.through_bolt_grip", [0.4e-3, 1e-3, 10e-3], "m");
/// How far a rivet nut stands behind the steel, over its thread.
pub const RIVET_NUT_BEHIND: Constant = remembered("steel.rivet_nut_behind", [1.8, 2.4, 3.0], "1");
/// How far a clip nut's barrel stands behind the steel, over its thread.
pub const CLIP_NUT_BEHIND: Constant = remembered("steel.clip_nut_behind", [1.0, 1.5, 2.0], "1");
/// How far a nut with its washer and two turns of thread stand behind the steel, over the thread.
pub const THROUGH_BOLT_BEHIND: Constant =
    remembered("steel.through_bolt_behind", [1.4, 1.6, 2.0], "1");
/// How much wider than its hole a set rivet nut bulges behind the steel.
pub const RIVET_NUT_BULGE: Constant =
    remembered("steel.rivet_nut_bulge", [1e-3, 1.5e-3, 3e-3], "m");
/// Width of a clip nut on the steel, over its thread.
pub const CLIP_NUT_BEARS: Constant = remembered("steel.clip_nut_bears", [2.0, 2.5, 3.0], "1");
/// Diameter of a large washer, over its thread.
pub const THROUGH_BOLT_BEARS: Constant =
    remembered("steel.through_bolt_bears", [2.0, 3.0, 3.0], "1");
/// How far from an edge a clip nut reaches.
pub const CLIP_NUT_REACH: Constant = remembered("steel.clip_nut_reach", [10e-3, 12e-3, 15e-3], "m");
/// Yield of the mild steel of a door's inner panel: its low end counts.
pub const STEEL_YIELD: Constant = Constant {
    name: "steel.yield",
    value: 180e6,
    low: 140e6,
    high: 260e6,
    unit: "Pa",
    source: "deep-drawing sheet steel, handbook knowledge, from memory",
    standing: Standing::Remembered,
};
/// Hole in the steel for a thread of `thread_m`: the nut's own, else a clearance hole. [m]
///
/// # Errors
/// As [`SteelFixing::hole_m`].
pub fn hole_m(fixing: SteelFixing, thread_m: f64) -> Result<f64> {
    let own = fixing.hole_m(thread_m)?;
    Ok(own.unwrap_or_else(|| clearance_hole_m(thread_m)))
}

/// Thickness of steel that a fixing grips, least and most. [m]
pub fn grips_m(fixing: SteelFixing) -> (f64, f64) {
    let grip = match fixing {
        SteelFixing::RivetNut => RIVET_NUT_GRIP,
        SteelFixing::ClipNut => CLIP_NUT_GRIP,
        SteelFixing::ThroughBolt => THROUGH_BOLT_GRIP,
    };
    (grip.low, grip.high)
}

/// Room that a fixing needs behind the steel. [m]
pub(super) fn needs_behind_m(fixing: SteelFixing, thread_m: f64) -> f64 {
    let over = match fixing {
        SteelFixing::RivetNut => RIVET_NUT_BEHIND,
        SteelFixing::ClipNut => CLIP_NUT_BEHIND,
        SteelFixing::ThroughBolt => THROUGH_BOLT_BEHIND,
    };
    thread_m * over.value
}

/// Outside diameter of what bears on the steel from behind. [m]
pub(super) fn bears_m(fixing: SteelFixing, thread_m: f64) -> Result<f64> {
    Ok(match fixing {
        SteelFixing::RivetNut => hole_m(fixing, thread_m)? + RIVET_NUT_BULGE.value,
        SteelFixing::ClipNut => CLIP_NUT_BEARS.value * thread_m,
        SteelFixing::ThroughBolt => THROUGH_BOLT_BEARS.value * thread_m,
    })
}
