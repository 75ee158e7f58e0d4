//! The convex hull of a body's section: arcs in the order of their outward normals, straight in between.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use crate::error::{Error, Range, Result, check};
use crate::outline::{Chain, Point, Segment};

/// A convex section about the body's axis, which lies inside it.
///
/// Normals are angles from straight up, positive to the right. Moving the whole curve out by a distance only adds it to
/// each radius, so lengths of liner, neutral axis and strap come from one curve.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hull {
    /// From the left of straight down, clockwise, to the right of straight down.
    arcs: Vec<Round>,
}

/// An arc, or a corner where its radius is 0.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Round {
    centre: Point,
    radius: f64,
    from: f64,
    to: f64,
    /// Radius that a strap bends to over it: its own, or that of the curve for which a corner of a profile stands. [m]
    bend_m: f64,
}

/// Where a taut strap leaves the hull for its foot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Leaves {
    /// The normal there.
    pub(super) normal_rad: f64,
    /// Straight way to the foot's circle. [m]
    pub(super) flank_m: f64,
}

/// How far arcs may lie from an oval: far below what a strap holds. [m]
const OVAL_TOLERANCE_M: f64 = 1e-6;
/// Corners of a profile that turn by no more than this are points on a curve: 20 points round a circle turn by 0.31 rad each.
const SAMPLED_RAD: f64 = 0.55;
/// Corners of a profile at most: a profile gauge has fewer pins.
const MOST_CORNERS: usize = 2000;

impl Round {
    fn at(&self, normal: f64, out_m: f64) -> Point {
        let r = self.radius + out_m;
        Point::new(
            self.centre.x_m + r * normal.sin(),
            self.centre.y_m + r * normal.cos(),
        )
    }
}

impl Hull {
    pub(super) fn round(radius_m: f64) -> Self {
        Self {
            arcs: vec![Round {
                centre: Point::new(0.0, 0.0),
                radius: radius_m,
                from: -PI,
                to: PI,
                bend_m: radius_m,
            }],
        }
    }

    pub(super) fn oval(width_m: f64, height_m: f64) -> Self {
        let origin = Point::new(0.0, 0.0);
        let chain = Chain::ellipse(origin, width_m, height_m, OVAL_TOLERANCE_M);
        let mut arcs = vec![];
        for (start, segment) in chain.pieces() {
            if let Segment::Arc {
                centre, sweep_rad, ..
            } = *segment
            {
                let polar = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
                let to = FRAC_PI_2 - polar;
                let radius = start.distance_m(centre);
                arcs.push(Round {
                    centre,
                    radius,
                    bend_m: radius,
                    from: to - sweep_rad,
                    to,
                });
            }
        }
        Self::ordered(arcs)
    }

    /// The hull of points; a strap bridges hollows.
    pub(super) fn of(points: &[Point]) -> Result<Self> {
        check(
            "points of the body's profile",
            points.len() as f64,
            Range::new(3.0, MOST_CORNERS as f64, "1"),
            "take the profile at 20 to 100 points",
        )?;
        for (i, p) in points.iter().enumerate() {
            let range = Range::new(-0.5, 0.5, "m");
            let fix = "measure it from the body's axis";
            check(format!("profile[{i}].x_m"), p.x_m, range, fix)?;
            check(format!("profile[{i}].y_m"), p.y_m, range, fix)?;
        }
        let corners = clockwise(points);
        let refused = |given: &str| Error::Shape {
            what: "profile of the body".into(),
            given: given.into(),
            allowed: "points round the body's section, measured from an axis inside it".into(),
        };
        let n = corners.len();
        if n < 3 {
            return Err(refused("points in one line"));
        }
        let corner = |i: usize| corners.get(i % n).copied().unwrap_or(Point::new(0.0, 0.0));
        // Clockwise, the outward normal of an edge lies to its left.
        let normal = |a: Point, b: Point| {
            let (x, y) = (b.x_m - a.x_m, b.y_m - a.y_m);
            f64::atan2(-y, x)
        };
        let mut arcs = vec![];
        for i in 0..n {
            let (a, b, c) = (corner(i + n - 1), corner(i), corner(i + 1));
            if a.x_m * b.y_m - a.y_m * b.x_m >= 0.0 {
                return Err(refused("an axis outside the points or on their edge"));
            }
            let from = normal(a, b);
            let turn = (normal(b, c) - from).rem_euclid(TAU);
            // A curve that turns by so much over half of both sides; a sharper corner is a corner.
            let bend_m = if turn <= SAMPLED_RAD {
                (a.distance_m(b) + b.distance_m(c)) / (2.0 * turn)
            } else {
                0.0
            };
            arcs.push(Round {
                centre: b,
                radius: 0.0,
                from,
                to: from + turn,
                bend_m,
            });
        }
        Ok(Self::ordered(arcs))
    }

    /// Arcs over −π to π, cut there.
    fn ordered(arcs: Vec<Round>) -> Self {
        let mut cut = vec![];
        for arc in arcs {
            // The turns that bring its start into −π to π.
            let turns = ((arc.from + PI) / TAU).floor() * TAU;
            let (from, to) = (arc.from - turns, arc.to - turns);
            if to > PI {
                cut.push(Round {
                    from,
                    to: PI,
                    ..arc
                });
                cut.push(Round {
                    from: -PI,
                    to: to - TAU,
                    ..arc
                });
            } else {
                cut.push(Round { from, to, ..arc });
            }
        }
        cut.sort_by(|a, b| a.from.total_cmp(&b.from));
        Self { arcs: cut }
    }

    /// The same section seen from the other end: right and left change places.
    pub(super) fn mirrored(&self) -> Self {
        let arcs = self.arcs.iter().rev().map(|a| Round {
            centre: Point::new(-a.centre.x_m, a.centre.y_m),
            from: -a.to,
            to: -a.from,
            ..*a
        });
        Self {
            arcs: arcs.collect(),
        }
    }

    /// Farthest reach from the axis in the direction of a normal, which lies within −π to π. [m]
    pub(super) fn reach_m(&self, normal: f64) -> f64 {
        // An arc counts only where it has that normal: its circle reaches further elsewhere.
        let has = |a: &&Round| a.from <= normal + 1e-9 && a.to >= normal - 1e-9;
        self.arcs
            .iter()
            .filter(has)
            .map(|a| a.centre.x_m * normal.sin() + a.centre.y_m * normal.cos() + a.radius)
            .fold(0.0, f64::max)
    }

    /// Least radius between two normals. [m]
    pub(super) fn least_radius_m(&self, from: f64, to: f64) -> f64 {
        self.arcs
            .iter()
            .filter(|a| a.to > from + 1e-9 && a.from < to - 1e-9)
            .map(|a| a.bend_m)
            .fold(f64::INFINITY, f64::min)
    }

    /// Where a strap that lies `out_m` off the hull leaves it to the right, for a circle of radius `foot_m` about `foot` on the strap's other side.
    ///
    /// On each arc the tangent is `n·(F − c) = ρ + out + foot` for the normal n; the first one from the top is the strap's.
    pub(super) fn leaves(&self, out_m: f64, foot: Point, foot_m: f64) -> Option<Leaves> {
        for arc in &self.arcs {
            let (x, y) = (foot.x_m - arc.centre.x_m, foot.y_m - arc.centre.y_m);
            let away = x.hypot(y);
            let need = arc.radius + out_m + foot_m;
            if away <= 0.0 || need > away {
                continue;
            }
            let normal_rad = x.atan2(y) - (need / away).acos();
            if normal_rad > 0.0 && normal_rad >= arc.from - 1e-12 && normal_rad <= arc.to + 1e-12 {
                return Some(Leaves {
                    normal_rad,
                    flank_m: (away * away - need * need).max(0.0).sqrt(),
                });
            }
        }
        None
    }

    /// Length `out_m` off the hull, from its top over the axis to the right as far as a normal. [m]
    ///
    /// Negative where the strap leaves for the right before it has come over the axis: a profile whose top lies far left.
    pub(super) fn length_m(&self, out_m: f64, normal: f64) -> f64 {
        self.over_to_m(out_m, normal) - self.over_to_axis_m(out_m)
    }

    /// Arcs of the way from straight left over the top.
    fn over_the_top(&self) -> impl Iterator<Item = Round> + '_ {
        let later = self.arcs.iter().filter(|a| a.to > -FRAC_PI_2);
        later.map(|arc| Round {
            from: arc.from.max(-FRAC_PI_2),
            ..*arc
        })
    }

    /// Length from straight left over the top as far as a normal. [m]
    fn over_to_m(&self, out_m: f64, normal: f64) -> f64 {
        let mut total = 0.0;
        let mut last: Option<Point> = None;
        for arc in self.over_the_top().take_while(|a| a.from < normal) {
            let to = arc.to.min(normal);
            total += last.map_or(0.0, |p| p.distance_m(arc.at(arc.from, out_m)));
            total += (arc.radius + out_m) * (to - arc.from);
            last = Some(arc.at(to, out_m));
        }
        total
    }

    /// Length from straight left to where the curve passes over the axis. [m]
    fn over_to_axis_m(&self, out_m: f64) -> f64 {
        let mut total = 0.0;
        let mut last: Option<Point> = None;
        for arc in self.over_the_top() {
            let start = arc.at(arc.from, out_m);
            let straight = last.map_or(0.0, |p| p.distance_m(start));
            if start.x_m >= 0.0 {
                // It passes on the straight before this arc.
                let share = last.map_or(0.0, |p| -p.x_m / (start.x_m - p.x_m));
                return total + share.clamp(0.0, 1.0) * straight;
            }
            total += straight;
            let r = arc.radius + out_m;
            let end = arc.at(arc.to, out_m);
            if end.x_m >= 0.0 {
                let over = (-arc.centre.x_m / r).clamp(-1.0, 1.0).asin();
                return total + r * (over.clamp(arc.from, arc.to) - arc.from);
            }
            total += r * (arc.to - arc.from);
            last = Some(end);
        }
        total
    }
}

/// Corners of the hull, clockwise (Andrew's monotone chain).
fn clockwise(points: &[Point]) -> Vec<Point> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.x_m.total_cmp(&b.x_m).then(a.y_m.total_cmp(&b.y_m)));
    sorted.dedup_by(|a, b| a.distance_m(*b) < 1e-9);
    let half = |points: &mut dyn Iterator<Item = Point>| {
        let mut chain: Vec<Point> = vec![];
        for p in points {
            while let [.., a, b] = chain.as_slice() {
                let cross = (b.x_m - a.x_m) * (p.y_m - a.y_m) - (b.y_m - a.y_m) * (p.x_m - a.x_m);
                // A hair of a bend is rounding of the measurement.
                if cross >= -1e-12 {
                    chain.pop();
                } else {
                    break;
                }
            }
            chain.push(p);
        }
        chain.pop();
        chain
    };
    let mut hull = half(&mut sorted.iter().copied());
    hull.extend(half(&mut sorted.iter().rev().copied()));
    hull
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn many(n: u32, width: f64, height: f64) -> Vec<Point> {
        (0..n)
            .map(|i| {
                let u = TAU * f64::from(i) / f64::from(n);
                Point::new(width / 2.0 * u.cos(), height / 2.0 * u.sin())
            })
            .collect()
    }

    #[test]
    fn a_rectangle_is_as_long_as_its_sides_and_a_turn() {
        // 40 by 20 mm, 3 mm off: half of the top, a quarter turn of 3 mm, half of the side (to the middle of its normal).
        let p = |x, y| Point::new(x, y);
        let hull = Hull::of(&[
            p(0.02, 0.01),
            p(-0.02, 0.01),
            p(-0.02, -0.01),
            p(0.02, -0.01),
            p(0.0, 0.0),
        ])
        .unwrap();
        let quarter = 3e-3 * FRAC_PI_2;
        assert!((hull.length_m(3e-3, FRAC_PI_2) - (0.02 + quarter)).abs() < 1e-12);
        assert!((hull.length_m(3e-3, PI) - (0.02 + 2.0 * quarter + 0.02)).abs() < 1e-12);
        assert!(
            (hull.reach_m(0.0) - 0.01).abs() < 1e-15
                && (hull.reach_m(FRAC_PI_2) - 0.02).abs() < 1e-15
        );
        assert!(Hull::of(&[p(0.01, 0.0), p(0.02, 0.0), p(0.015, 0.01)]).is_err());
        // Its corners are sharp; sixty points round a circle stand for the circle.
        assert!(hull.least_radius_m(-PI, PI).abs() < 1e-15);
        let round = Hull::of(&many(60, 0.05, 0.05)).unwrap();
        assert!((round.least_radius_m(-1.0, 1.0) - 0.025).abs() < 0.025 * 2e-3);
    }

    proptest! {
        #[test]
        fn the_way_round_does_not_depend_on_where_the_axis_lies(
            n in 5_u32..40, w in 0.02..0.06_f64, lean in -0.8..0.8_f64, shift in -0.3..0.3_f64, left in 0.3..1.5_f64, right in 0.3..1.5_f64,
        ) {
            // A leaning oval, whose top lies off its middle; moving it aside moves its axis.
            let section = |aside: f64| -> Hull {
                let points: Vec<Point> = many(n, w, 0.03).iter().map(|p| Point::new(p.x_m + lean * p.y_m + aside * w, p.y_m)).collect();
                Hull::of(&points).unwrap()
            };
            let (one, other) = (section(0.0), section(shift));
            let way = |hull: &Hull| hull.mirrored().length_m(3e-3, left) + hull.length_m(3e-3, right);
            prop_assert!((way(&one) - way(&other)).abs() < 1e-12);
            // Chord by chord along the same curve.
            let (mut chords, mut last) = (0.0, None);
            for i in 0..=40_000_u32 {
                let normal = -left + (left + right) * f64::from(i) / 40_000.0;
                let arc = one.arcs.iter().find(|a| a.from <= normal && normal <= a.to).unwrap();
                let p = arc.at(normal, 3e-3);
                chords += last.map_or(0.0, |l: Point| l.distance_m(p));
                last = Some(p);
            }
            prop_assert!((way(&one) - chords).abs() < 1e-6);
        }

        #[test]
        fn ovals_and_their_points_agree(
            w in 0.01..0.1_f64, ratio in 0.4..2.5_f64, out in 0.0..0.01_f64, far in 1.3..4.0_f64, deep in 0.0..2.0_f64, foot in 0.002..0.02_f64,
        ) {
            let h = w * ratio;
            // An ellipse reaches √(a² sin² + b² cos²) along a normal.
            for normal in [0.0, 0.7, -1.2, FRAC_PI_2, -FRAC_PI_2, PI] {
                let reach = (w / 2.0 * f64::sin(normal)).hypot(h / 2.0 * f64::cos(normal));
                prop_assert!((Hull::oval(w, h).reach_m(normal) - reach).abs() < 2e-6);
            }
            let (oval, points) = (Hull::oval(w, h), Hull::of(&many(2000, w, h)).unwrap());
            let at = Point::new((w / 2.0 + out + foot) * far, -deep * h / 2.0);
            let (a, b) = (oval.leaves(out, at, foot).unwrap(), points.leaves(out, at, foot).unwrap());
            // 2000 corners lie within 2e-6 of the size inside the oval; the normal steps by as much as two of them turn.
            prop_assert!((a.flank_m - b.flank_m).abs() < 0.02 * w.max(h));
            let path = |hull: &Hull, l: &Leaves| hull.length_m(out, l.normal_rad) + l.flank_m + foot * l.normal_rad;
            prop_assert!((path(&oval, &a) - path(&points, &b)).abs() < 1e-4 * w.max(h));
            let round = Hull::round(w / 2.0);
            let circle = Hull::oval(w, w);
            let (c, d) = (round.leaves(out, at, foot).unwrap(), circle.leaves(out, at, foot).unwrap());
            prop_assert!((c.normal_rad - d.normal_rad).abs() < 1e-9 && (c.flank_m - d.flank_m).abs() < 1e-9);
            prop_assert!((round.length_m(out, c.normal_rad) - circle.length_m(out, d.normal_rad)).abs() < 1e-9);
            prop_assert!((round.length_m(out, c.normal_rad) - c.normal_rad * (w / 2.0 + out)).abs() < 1e-12);
            prop_assert_eq!(oval.mirrored().mirrored(), oval);
        }
    }
}
