//! Ranges that every part of sheet shares.

use crate::error::{Range, Result, check};

/// Thickness of a sheet that is formed hot. [m]
pub(super) fn formed_thickness(thickness_m: f64) -> Result<f64> {
    let formed = Range::new(3e-4, 0.025, "m");
    check("thickness_m", thickness_m, formed, "measure the sheet")
}

/// Thickness of a sheet that is only cut. [m]
pub(super) fn cut_thickness(thickness_m: f64) -> Result<f64> {
    let cut = Range::new(3e-4, 0.06, "m");
    check("thickness_m", thickness_m, cut, "measure the sheet")
}

/// Thickness that a finish adds to every edge. [m]
pub(super) fn edge_finish(finish_m: f64) -> Result<f64> {
    check(
        "finish_m",
        finish_m,
        Range::new(0.0, 2e-3, "m"),
        "the finish would eat the edge: take a thinner one",
    )
}

/// Least inside radius of the material over its thickness.
pub(super) fn bend_radius_over_t(ratio: f64) -> Result<f64> {
    check(
        "bend_radius_over_t",
        ratio,
        Range::new(0.0, 500.0, "1"),
        "take it from the material",
    )
}
