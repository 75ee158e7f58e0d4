//! Points, lines and arcs, and closed chains of them.

use std::f64::consts::{PI, TAU};

use serde::{Deserialize, Serialize};

use super::Corner;

/// A point of the plane. [m]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Circle {
    /// Centre.
    pub centre: Point,
    /// Radius. [m]
    pub radius_m: f64,
}

/// One piece of a chain, from the end of the piece before it to `end`.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
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
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
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
        let at = |x: f64, y: f64| Corner::new(centre.x_m + x, centre.y_m + y, radius_m);
        Self::rounded_polygon(&[at(-a, -b), at(a, -b), at(a, b), at(-a, b)])
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

    /// The point `along_m` from the start, along the chain; its end beyond its length.
    ///
    /// ```
    /// use mountwright::outline::{Chain, Point};
    /// let square = Chain::rounded_rectangle(Point::new(0.0, 0.0), 0.2, 0.2, 0.0);
    /// assert!(square.point_at(0.3).distance_m(Point::new(0.1, 0.0)) < 1e-12);
    /// ```
    pub fn point_at(&self, along_m: f64) -> Point {
        let mut left_m = along_m.max(0.0);
        for (start, segment) in self.pieces() {
            let (length_m, point) = match *segment {
                Segment::Line { end } => {
                    let length_m = start.distance_m(end);
                    let share = left_m / length_m.max(f64::MIN_POSITIVE);
                    let between = |a: f64, b: f64| a + (b - a) * share;
                    (
                        length_m,
                        Point::new(between(start.x_m, end.x_m), between(start.y_m, end.y_m)),
                    )
                }
                Segment::Arc {
                    centre, sweep_rad, ..
                } => {
                    let radius_m = start.distance_m(centre);
                    let from = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
                    let turn = left_m / radius_m.max(f64::MIN_POSITIVE) * sweep_rad.signum();
                    (
                        radius_m * sweep_rad.abs(),
                        centre.polar(from + turn, radius_m),
                    )
                }
            };
            if left_m <= length_m {
                return point;
            }
            left_m -= length_m;
        }
        self.start
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

    /// The same chain, shifted.
    #[must_use]
    pub fn moved(&self, x_m: f64, y_m: f64) -> Self {
        self.map(|p| Point::new(p.x_m + x_m, p.y_m + y_m), false)
    }

    /// Mirrored in the y axis, and turned so that it runs the same way round.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        self.map(|p| Point::new(-p.x_m, p.y_m), true).reversed()
    }

    pub(super) fn map(&self, point: impl Fn(Point) -> Point, flip: bool) -> Self {
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
