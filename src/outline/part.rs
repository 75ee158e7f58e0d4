//! Flat parts: an outside with its holes, and where it lies on a sheet.

use serde::{Deserialize, Serialize};

use super::{Chain, Point};

/// A flat part: an outside and its holes. [m]
///
/// The outside runs counter-clockwise and the holes clockwise; [`Outline::new`] turns them so.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Outline {
    /// The outside, counter-clockwise.
    pub outside: Chain,
    /// The holes, clockwise.
    pub holes: Vec<Chain>,
}

impl Outline {
    /// An outline whose chains are turned the right way.
    pub fn new(outside: Chain, holes: Vec<Chain>) -> Self {
        let outside = if outside.area_m2() < 0.0 {
            outside.reversed()
        } else {
            outside
        };
        let holes = holes
            .into_iter()
            .map(|h| if h.area_m2() > 0.0 { h.reversed() } else { h })
            .collect();
        Self { outside, holes }
    }

    /// Net area. [m²]
    pub fn area_m2(&self) -> f64 {
        self.outside.area_m2() + self.holes.iter().map(Chain::area_m2).sum::<f64>()
    }

    /// Length of all edges, the outside and the holes. [m]
    pub fn edge_length_m(&self) -> f64 {
        self.outside.length_m() + self.holes.iter().map(Chain::length_m).sum::<f64>()
    }

    /// Bounds of the outside: (left, bottom, right, top). [m]
    pub fn bounds_m(&self) -> (f64, f64, f64, f64) {
        self.outside.bounds_m()
    }

    /// Width and height of the bounds. [m]
    pub fn size_m(&self) -> (f64, f64) {
        let (left, bottom, right, top) = self.bounds_m();
        (right - left, top - bottom)
    }

    /// Turned about the origin, then shifted.
    #[must_use]
    pub fn placed(&self, placement: Placement) -> Self {
        self.map(|p| placement.apply(p), false)
    }

    /// Mirrored in the y axis (left and right change places): the other hand, or the face seen from behind.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let flipped = self.map(|p| Point::new(-p.x_m, p.y_m), true);
        Self::new(flipped.outside, flipped.holes)
    }

    fn map(&self, point: impl Fn(Point) -> Point + Copy, flip: bool) -> Self {
        Self {
            outside: self.outside.map(point, flip),
            holes: self.holes.iter().map(|h| h.map(point, flip)).collect(),
        }
    }

    /// The outside and the holes as polygons to within `chord_m`, the outside outward and the holes inward.
    pub fn flatten(&self, chord_m: f64) -> (Vec<Point>, Vec<Vec<Point>>) {
        (
            self.outside.flatten(chord_m, true),
            self.holes
                .iter()
                .map(|h| h.flatten(chord_m, false))
                .collect(),
        )
    }
}

/// Where a blank lies on its sheet: a turn counter-clockwise about the blank's origin, then a shift from the sheet's lower left corner.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Placement {
    /// The turn. [rad]
    pub turn_rad: f64,
    /// The shift to the right. [m]
    pub x_m: f64,
    /// The shift upwards. [m]
    pub y_m: f64,
}

impl Placement {
    /// A point of the blank on the sheet.
    pub fn apply(&self, point: Point) -> Point {
        let (sin, cos) = self.turn_rad.sin_cos();
        Point::new(
            cos * point.x_m - sin * point.y_m + self.x_m,
            sin * point.x_m + cos * point.y_m + self.y_m,
        )
    }
}

#[cfg(test)]
mod tests {
    use std::f64::consts::{PI, TAU};

    use proptest::prelude::*;

    use super::*;
    use crate::outline::Circle;

    #[test]
    fn areas_and_lengths_are_those_of_plane_geometry() {
        let disc = Chain::circle(Circle {
            centre: Point::new(0.1, -0.2),
            radius_m: 0.05,
        });
        assert!((disc.area_m2() - PI * 0.0025).abs() < 1e-15);
        assert!((disc.length_m() - TAU * 0.05).abs() < 1e-15);
        let stadium = Chain::rounded_rectangle(Point::new(1.0, 2.0), 0.3, 0.1, 0.05);
        assert!((stadium.area_m2() - (0.2 * 0.1 + PI * 0.0025)).abs() < 1e-15);
        let (left, bottom, right, top) = stadium.bounds_m();
        for (got, want) in [(left, 0.85), (bottom, 1.95), (right, 1.15), (top, 2.05)] {
            assert!((got - want).abs() < 1e-12);
        }
    }

    #[test]
    fn flattening_keeps_to_its_side() {
        let circle = Circle {
            centre: Point::new(0.0, 0.0),
            radius_m: 0.08,
        };
        let ring = Outline::new(
            Chain::circle(circle),
            vec![Chain::circle(Circle {
                radius_m: 0.06,
                ..circle
            })],
        );
        let (outside, holes) = ring.flatten(5e-5);
        let origin = Point::new(0.0, 0.0);
        for pair in outside.windows(2) {
            let middle = Point::new(
                f64::midpoint(pair[0].x_m, pair[1].x_m),
                f64::midpoint(pair[0].y_m, pair[1].y_m),
            );
            assert!(
                middle.distance_m(origin) >= 0.08 - 1e-12 && pair[0].distance_m(origin) < 0.080_06
            );
        }
        for p in &holes[0] {
            assert!(p.distance_m(origin) <= 0.06 + 1e-12);
        }
    }

    proptest! {
        #[test]
        fn turning_and_mirroring_keep_area_and_length(
            w in 0.01..1.0_f64, h in 0.01..1.0_f64, r in 0.0..0.5_f64, turn in -7.0..7.0_f64,
        ) {
            let o = Outline::new(Chain::rounded_rectangle(Point::new(0.3, 0.1), w, h, r), vec![]);
            let moved = o.placed(Placement { turn_rad: turn, x_m: 0.4, y_m: -2.0 }).mirrored();
            prop_assert!((moved.area_m2() - o.area_m2()).abs() < 1e-12);
            prop_assert!((moved.edge_length_m() - o.edge_length_m()).abs() < 1e-12);
        }
    }
}
