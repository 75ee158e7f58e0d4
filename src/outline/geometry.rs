//! Points, lines and arcs, closed chains of them, and outlines with holes.

use std::f64::consts::{PI, TAU};

use serde::Serialize;

/// A point of the plane. [m]
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Point {
    /// To the right.
    pub x_m: f64,
    /// Upwards.
    pub y_m: f64,
}

impl Point {
    /// A point.
    pub const fn new(x_m: f64, y_m: f64) -> Self {
        Self { x_m, y_m }
    }

    /// Distance to another point. [m]
    pub fn distance_m(self, other: Self) -> f64 {
        (self.x_m - other.x_m).hypot(self.y_m - other.y_m)
    }

    /// The point at an angle and a distance from this one.
    #[must_use]
    pub fn polar(self, angle_rad: f64, radius_m: f64) -> Self {
        Self::new(
            self.x_m + radius_m * angle_rad.cos(),
            self.y_m + radius_m * angle_rad.sin(),
        )
    }
}

/// A circle: a hole, a driver, a body. [m]
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Circle {
    /// Centre.
    pub centre: Point,
    /// Radius. [m]
    pub radius_m: f64,
}

/// One piece of a chain, from the end of the piece before it to `end`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Segment {
    /// A straight line.
    Line {
        /// Where it ends.
        end: Point,
    },
    /// A circular arc about `centre`, turning by `sweep_rad` (positive: counter-clockwise).
    Arc {
        /// Where it ends.
        end: Point,
        /// Its centre.
        centre: Point,
        /// The angle that it turns through, -2π to 2π. [rad]
        sweep_rad: f64,
    },
}

impl Segment {
    /// Where it ends.
    pub fn end(&self) -> Point {
        match *self {
            Self::Line { end } | Self::Arc { end, .. } => end,
        }
    }
}

/// A closed chain of lines and arcs; the last piece ends at `start`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Chain {
    /// Where it starts and ends.
    pub start: Point,
    /// Its pieces in order.
    pub segments: Vec<Segment>,
}

impl Chain {
    /// A closed polygon through `points`, closed by itself.
    pub fn polygon(points: &[Point]) -> Self {
        let start = points.first().copied().unwrap_or(Point::new(0.0, 0.0));
        let mut segments: Vec<Segment> = points
            .iter()
            .skip(1)
            .map(|&end| Segment::Line { end })
            .collect();
        segments.push(Segment::Line { end: start });
        Self { start, segments }
    }

    /// A full circle, counter-clockwise, as two half turns.
    pub fn circle(circle: Circle) -> Self {
        let Circle { centre, radius_m } = circle;
        let east = Point::new(centre.x_m + radius_m, centre.y_m);
        let west = Point::new(centre.x_m - radius_m, centre.y_m);
        Self {
            start: east,
            segments: vec![
                Segment::Arc {
                    end: west,
                    centre,
                    sweep_rad: PI,
                },
                Segment::Arc {
                    end: east,
                    centre,
                    sweep_rad: PI,
                },
            ],
        }
    }

    /// A rectangle `width_m` by `height_m` about `centre` with corners of `radius_m` (0: sharp), counter-clockwise.
    pub fn rounded_rectangle(centre: Point, width_m: f64, height_m: f64, radius_m: f64) -> Self {
        let (a, b) = (width_m / 2.0, height_m / 2.0);
        let r = radius_m.clamp(0.0, a.min(b));
        let at = |x: f64, y: f64| Point::new(centre.x_m + x, centre.y_m + y);
        if r <= 0.0 {
            return Self::polygon(&[at(-a, -b), at(a, -b), at(a, b), at(-a, b)]);
        }
        let corner = |cx: f64, cy: f64, ex: f64, ey: f64| Segment::Arc {
            end: at(ex, ey),
            centre: at(cx, cy),
            sweep_rad: PI / 2.0,
        };
        Self {
            start: at(-a + r, -b),
            segments: vec![
                Segment::Line { end: at(a - r, -b) },
                corner(a - r, -b + r, a, -b + r),
                Segment::Line { end: at(a, b - r) },
                corner(a - r, b - r, a - r, b),
                Segment::Line { end: at(-a + r, b) },
                corner(-a + r, b - r, -a, b - r),
                Segment::Line {
                    end: at(-a, -b + r),
                },
                corner(-a + r, -b + r, -a + r, -b),
            ],
        }
    }

    /// The pieces with the point where each starts.
    pub fn pieces(&self) -> impl Iterator<Item = (Point, &Segment)> {
        let starts = std::iter::once(self.start).chain(self.segments.iter().map(Segment::end));
        starts.zip(self.segments.iter())
    }

    /// Length along the chain. [m]
    pub fn length_m(&self) -> f64 {
        self.pieces()
            .map(|(start, segment)| match segment {
                Segment::Line { end } => start.distance_m(*end),
                Segment::Arc {
                    centre, sweep_rad, ..
                } => start.distance_m(*centre) * sweep_rad.abs(),
            })
            .sum()
    }

    /// Signed area by Green's theorem, arcs exact; positive for a counter-clockwise chain. [m²]
    pub fn area_m2(&self) -> f64 {
        self.pieces()
            .map(|(start, segment)| {
                let end = segment.end();
                let chord = (start.x_m * end.y_m - end.x_m * start.y_m) / 2.0;
                match segment {
                    Segment::Line { .. } => chord,
                    Segment::Arc {
                        centre, sweep_rad, ..
                    } => {
                        let r = start.distance_m(*centre);
                        chord + r * r * (sweep_rad - sweep_rad.sin()) / 2.0
                    }
                }
            })
            .sum()
    }

    /// The same chain run the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        let mut segments: Vec<Segment> = self
            .pieces()
            .map(|(start, segment)| match *segment {
                Segment::Line { .. } => Segment::Line { end: start },
                Segment::Arc {
                    centre, sweep_rad, ..
                } => Segment::Arc {
                    end: start,
                    centre,
                    sweep_rad: -sweep_rad,
                },
            })
            .collect();
        segments.reverse();
        Self {
            start: self.start,
            segments,
        }
    }

    fn map(&self, point: impl Fn(Point) -> Point, flip: bool) -> Self {
        let sign = if flip { -1.0 } else { 1.0 };
        Self {
            start: point(self.start),
            segments: self
                .segments
                .iter()
                .map(|segment| match *segment {
                    Segment::Line { end } => Segment::Line { end: point(end) },
                    Segment::Arc {
                        end,
                        centre,
                        sweep_rad,
                    } => Segment::Arc {
                        end: point(end),
                        centre: point(centre),
                        sweep_rad: sign * sweep_rad,
                    },
                })
                .collect(),
        }
    }

    /// Corners of a polygon that follows the chain to within `chord_m`.
    ///
    /// With `outward` the polygon holds the chain (corners outside convex arcs), else it is held by it: outsides
    /// are flattened outward and holes inward, so that a layout of the polygons never overlaps in truth.
    pub fn flatten(&self, chord_m: f64, outward: bool) -> Vec<Point> {
        let turning = if self.area_m2() >= 0.0 { 1.0 } else { -1.0 };
        let mut points = vec![];
        for (start, segment) in self.pieces() {
            match *segment {
                Segment::Line { .. } => points.push(start),
                Segment::Arc {
                    centre,
                    sweep_rad,
                    end,
                } => {
                    let r = start.distance_m(centre);
                    if r <= 0.0 {
                        points.push(start);
                        continue;
                    }
                    // A convex arc bulges away from the inside of its chain.
                    let convex = sweep_rad * turning > 0.0;
                    let half = (1.0 - (chord_m / r).min(1.0)).acos().max(1e-3);
                    let n = (sweep_rad.abs() / (2.0 * half)).ceil().max(1.0);
                    let step = sweep_rad / n;
                    let from = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
                    points.push(start);
                    if convex == outward {
                        // Tangent polygon: corners at mid-steps, outside the arc.
                        let reach = r / (step / 2.0).cos().abs().max(0.1);
                        let mut i = 0.0;
                        while i < n {
                            points.push(centre.polar(from + (i + 0.5) * step, reach));
                            i += 1.0;
                        }
                    } else {
                        let mut i = 1.0;
                        while i < n {
                            points.push(centre.polar(from + i * step, r));
                            i += 1.0;
                        }
                    }
                    debug_assert!(
                        end.distance_m(centre.polar(from + sweep_rad, r)) < 1e-6 + r * 1e-6
                    );
                }
            }
        }
        points.dedup_by(|a, b| a.distance_m(*b) < 1e-9);
        points
    }

    /// Least and greatest x and y, arcs exact: (left, bottom, right, top). [m]
    pub fn bounds_m(&self) -> (f64, f64, f64, f64) {
        let mut b = (
            f64::INFINITY,
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::NEG_INFINITY,
        );
        let mut grow = |p: Point| {
            b = (
                b.0.min(p.x_m),
                b.1.min(p.y_m),
                b.2.max(p.x_m),
                b.3.max(p.y_m),
            );
        };
        grow(self.start);
        for (start, segment) in self.pieces() {
            grow(segment.end());
            if let Segment::Arc {
                centre, sweep_rad, ..
            } = *segment
            {
                let r = start.distance_m(centre);
                let from = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
                for quarter in 0..4 {
                    let angle = f64::from(quarter) * PI / 2.0;
                    let turned = if sweep_rad >= 0.0 {
                        (angle - from).rem_euclid(TAU)
                    } else {
                        (from - angle).rem_euclid(TAU)
                    };
                    if turned <= sweep_rad.abs() {
                        grow(centre.polar(angle, r));
                    }
                }
            }
        }
        b
    }
}

/// A flat part: an outside and its holes. [m]
///
/// The outside runs counter-clockwise and the holes clockwise; [`Outline::new`] turns them so.
#[derive(Debug, Clone, PartialEq, Serialize)]
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
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
    use super::*;
    use proptest::prelude::*;

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
