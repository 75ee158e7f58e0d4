//! The seat of a round body in a pod: what goes into it from behind, and where its foam lies on the wall.

use std::f64::consts::PI;

use super::draw::Solid;
use crate::sourced::{Constant, Standing};

/// Free thickness of a closed-cell foam over its thickness as pressed: as far it still fills a gap.
pub const FOAM_FREE: Constant = Constant {
    name: "seat.foam_free",
    value: 4.0 / 3.0,
    low: 1.15,
    high: 1.5,
    unit: "1",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// A round body with a strip of foam round it, pushed in from behind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// The pod, as it is inside.
    pub solid: Solid,
    /// Diameter of the body. [m]
    pub body_m: f64,
    /// Length of the body, and of its foam along its axis. [m]
    pub length_m: f64,
    /// Thickness of the foam, pressed. [m]
    pub foam_m: f64,
}

impl Seat {
    /// Diameter of the body with its foam. [m]
    pub fn across_m(&self) -> f64 {
        self.body_m + 2.0 * self.foam_m
    }

    /// The narrowest bore that the foam still fills, once as thick as it is free. [m]
    pub fn filled_m(&self) -> f64 {
        self.body_m + 2.0 * FOAM_FREE.value * self.foam_m
    }

    /// Bore at the crown, where the front of the body comes to lie; of a dome, which has no flat crown, that at the rim. [m]
    pub fn bore_m(&self) -> f64 {
        match self.solid {
            Solid::Cylinder { diameter_m, .. } => diameter_m,
            Solid::Frustum { crown_m, .. } => crown_m,
            Solid::Dome { rim_m, .. } => rim_m,
            Solid::Box {
                length_m, width_m, ..
            } => length_m.min(width_m),
        }
    }

    /// How far in from the rim something `across_m` wide goes. [m]
    ///
    /// ```
    /// use mountwright::shape::{draw::Solid, seat::Seat};
    /// // A half ball of radius 50 mm: something 80 mm wide goes 30 mm deep (3, 4, 5).
    /// let solid = Solid::Dome { rim_m: 0.1, height_m: 0.05 };
    /// let seat = Seat { solid, body_m: 0.07, length_m: 0.02, foam_m: 0.005 };
    /// assert!((seat.depth_m(0.08) - 0.03).abs() < 1e-12 && seat.across_m() == 0.08);
    /// ```
    pub fn depth_m(&self, across_m: f64) -> f64 {
        match self.solid {
            Solid::Cylinder { depth_m, .. }
            | Solid::Frustum { depth_m, .. }
            | Solid::Box { depth_m, .. } => depth_m,
            Solid::Dome { rim_m, height_m } => {
                let radius_m = ball_m(rim_m, height_m);
                let above = radius_m.powi(2) - (across_m / 2.0).powi(2);
                (above.max(0.0).sqrt() - (radius_m - height_m)).max(0.0)
            }
        }
    }

    /// The face that foam and pod share: of the wall, only as far back as the foam reaches it. [m²]
    ///
    /// ```
    /// use mountwright::shape::{draw::Solid, seat::Seat};
    /// let cup = Solid::Cylinder { diameter_m: 0.053, depth_m: 0.016 };
    /// let seat = Seat { solid: cup, body_m: 0.047, length_m: 0.014, foam_m: 0.003 };
    /// assert!((seat.held_m2() - std::f64::consts::PI * 0.053 * 0.014).abs() < 1e-12);
    /// // 8.5 mm off the wall all round: foam of 3 mm touches nothing.
    /// let wide = Solid::Cylinder { diameter_m: 0.07, depth_m: 0.016 };
    /// assert_eq!(Seat { solid: wide, ..seat }.held_m2(), 0.0);
    /// ```
    pub fn held_m2(&self) -> f64 {
        let filled_m = self.filled_m();
        match self.solid {
            Solid::Cylinder { diameter_m, .. } => cone_m2(diameter_m, 0.0, filled_m, self.length_m),
            Solid::Frustum {
                rim_m,
                crown_m,
                depth_m,
            } => {
                let slope = (rim_m - crown_m) / 2.0 / depth_m;
                cone_m2(crown_m, slope, filled_m, self.length_m)
            }
            Solid::Dome { rim_m, height_m } => {
                // A zone of a ball: its circumference times its height (Archimedes).
                let zone_m = self.depth_m(self.across_m()) - self.depth_m(filled_m);
                2.0 * PI * ball_m(rim_m, height_m) * zone_m.min(self.length_m)
            }
            Solid::Box {
                length_m, width_m, ..
            } => {
                // On each flat wall a strip as wide as the chord that the free foam cuts on it.
                let strip = |between_m: f64| {
                    let half2 = (filled_m / 2.0).powi(2) - (between_m / 2.0).powi(2);
                    4.0 * half2.max(0.0).sqrt() * self.length_m
                };
                strip(length_m) + strip(width_m)
            }
        }
    }
}

/// Radius of the ball that a dome is a cap of. [m]
fn ball_m(rim_m: f64, height_m: f64) -> f64 {
    ((rim_m / 2.0).powi(2) + height_m.powi(2)) / (2.0 * height_m)
}

/// Wall of a cone from its narrow end until it is `filled_m` wide, at most `length_m` along its axis. [m²]
fn cone_m2(narrow_m: f64, slope: f64, filled_m: f64, length_m: f64) -> f64 {
    let room_m = (filled_m - narrow_m) / 2.0;
    let along_m = if room_m < 0.0 {
        0.0
    } else if slope * length_m <= room_m {
        length_m
    } else {
        room_m / slope
    };
    PI * (narrow_m + slope * along_m) * along_m * slope.hypot(1.0)
}
