//! The radiant panel.

use std::f64::consts::PI;

use serde::Serialize;

use crate::error::{Note, Range, Result, check};
use crate::heat::exposure::{Exposure, Radiator, factor};
use crate::heat::film::{Lie, still_air};
use crate::sourced::Standing;

/// A flat radiant panel parallel to the sheet, centred on it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Panel {
    /// Temperature of its surface. [K]
    pub surface_k: f64,
    /// Emissivity of its surface.
    pub emissivity: f64,
    /// Width and length of panel and sheet, taken as equal. [m]
    pub size_m: (f64, f64),
    /// Distance. [m]
    pub distance_m: f64,
    /// Air and walls of the room. [K]
    pub room_k: f64,
    /// Whether the sheet lets short waves through (clear acrylic, polycarbonate, PETG).
    pub clear_sheet: bool,
}

/// View factor of two equal, parallel, aligned rectangles `a × b` at distance `d`.
///
/// `F = 2/(πXY) { ln √[(1+X²)(1+Y²)/(1+X²+Y²)] + X√(1+Y²) atan(X/√(1+Y²)) + Y√(1+X²) atan(Y/√(1+X²)) − X atan X − Y atan Y }`
/// with `X = a/d`, `Y = b/d`.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for sides or a distance outside 1 mm to 10 m.
///
/// # Source
/// Howell, catalogue of configuration factors, C-11; Bergman et al., table 13.2.
///
/// ```
/// use mountwright::heat::tools::panel::view_of_parallel_rectangles;
/// // Two faces of a cube: 0.1998.
/// assert!((view_of_parallel_rectangles(1.0, 1.0, 1.0)? - 0.1998).abs() < 5e-5);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn view_of_parallel_rectangles(a_m: f64, b_m: f64, distance_m: f64) -> Result<f64> {
    let range = Range::new(1e-3, 10.0, "m");
    check("panel width", a_m, range, "measure the panel")?;
    check("panel length", b_m, range, "measure the panel")?;
    check("panel distance", distance_m, range, "measure the distance")?;
    let (x, y) = (a_m / distance_m, b_m / distance_m);
    let (xx, yy) = (1.0 + x * x, 1.0 + y * y);
    let sum = 0.5 * (xx * yy / (xx + y * y)).ln()
        + x * yy.sqrt() * (x / yy.sqrt()).atan()
        + y * xx.sqrt() * (y / xx.sqrt()).atan()
        - x * x.atan()
        - y * y.atan();
    Ok((2.0 / (PI * x * y) * sum).clamp(0.0, 1.0))
}

/// View factor of a small strip under a heated wire or bar at distance `gap`, between two points of the sheet at
/// `from` and `to` along it: `½ (sin β₂ − sin β₁)`, `tan β = x/gap`.
///
/// ```
/// // A wire sees half of itself falling on an endless sheet on either side.
/// let f = mountwright::heat::tools::panel::view_of_wire(0.01, -10.0, 10.0);
/// assert!((f - 1.0).abs() < 1e-5);
/// ```
pub fn view_of_wire(gap_m: f64, from_m: f64, to_m: f64) -> f64 {
    let sine = |x: f64| x / x.hypot(gap_m);
    0.5 * (sine(to_m) - sine(from_m))
}

impl Panel {
    /// What the panel does to the face that it is turned to; between them stands warm, still air.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a surface outside 50 to 1200 °C, an emissivity outside 0.02 to 1, or sizes outside
    /// 1 mm to 10 m.
    pub fn exposure(&self) -> Result<Exposure> {
        check(
            "panel.surface_k",
            self.surface_k,
            Range::new(323.15, 1473.15, "K"),
            "measure with a thermometer",
        )?;
        check(
            "panel.emissivity",
            self.emissivity,
            Range::new(0.02, 1.0, ""),
            "ceramic 0.9",
        )?;
        check(
            "panel.room_k",
            self.room_k,
            Range::new(233.15, 333.15, "K"),
            "use kelvin",
        )?;
        let view = view_of_parallel_rectangles(self.size_m.0, self.size_m.1, self.distance_m)?;
        let typical_k = 373.15;
        let film = still_air(
            typical_k,
            self.room_k,
            self.size_m.0.min(self.size_m.1),
            Lie::Upright,
        )?
        .value;
        // Air between panel and sheet is warmer than the room.
        let gas_k = self.room_k + 0.25 * (typical_k - self.room_k);
        let mut notes = vec![Note::new(
            "radiant panel",
            "the middle of the sheet sees more of the panel than its edges: the view is the mean",
        )];
        if self.clear_sheet && self.surface_k > 1273.15 {
            notes.push(Note::new(
                "radiant panel",
                "a clear sheet takes in short waves in depth: heating only at the face over-predicts scorching",
            ));
        }
        let spread = 0.04 * self.surface_k;
        Ok(Exposure {
            source: "radiant panel".into(),
            film_low_w_m2_k: 0.6 * film,
            film_high_w_m2_k: 1.8 * film,
            radiator: Some(Radiator {
                temperature_k: self.surface_k,
                emissivity: self.emissivity,
                view,
            }),
            factors: vec![
                factor(
                    "heat.film_w_m2_k",
                    (0.6 * film, film, 1.8 * film),
                    "W/m2/K",
                    "Churchill and Chu 1975; drafts widen it",
                    Standing::Derived,
                ),
                factor(
                    "heat.radiator_k",
                    (
                        self.surface_k - spread,
                        self.surface_k,
                        self.surface_k + spread,
                    ),
                    "K",
                    "panel surfaces are known to ±4 %, common practice",
                    Standing::CommonPractice,
                ),
            ],
            notes,
            ..Exposure::fixed(film, gas_k, self.room_k)?
        })
    }
}
