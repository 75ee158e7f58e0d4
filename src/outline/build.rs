//! Chains from a few numbers: rounded polygons, stadiums, slots, ellipses.

use std::f64::consts::PI;

use super::{Chain, Point, Segment};

/// A corner of a polygon and the radius that rounds it. [m]
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Where the edges would meet.
    pub point: Point,
    /// Radius; 0 leaves it sharp. It is made smaller where an edge is too short for it. [m]
    pub radius_m: f64,
}

impl Corner {
    /// A corner.
    pub const fn new(x_m: f64, y_m: f64, radius_m: f64) -> Self {
        Self {
            point: Point::new(x_m, y_m),
            radius_m,
        }
    }
}

impl Chain {
    /// A closed polygon with rounded corners; each arc is tangent to both of its edges.
    ///
    /// ```
    /// use mountwright::outline::{Chain, Corner};
    /// let square = [Corner::new(0.0, 0.0, 0.01), Corner::new(0.1, 0.0, 0.01), Corner::new(0.1, 0.1, 0.01), Corner::new(0.0, 0.1, 0.01)];
    /// let cut_off = (4.0 - std::f64::consts::PI) * 0.01 * 0.01;
    /// assert!((Chain::rounded_polygon(&square).area_m2() - (0.01 - cut_off)).abs() < 1e-15);
    /// ```
    pub fn rounded_polygon(corners: &[Corner]) -> Self {
        let n = corners.len();
        let at = |i: usize| corners.get(i % n.max(1)).copied();
        // Half of each neighbouring edge at most, so that two corners never share a stretch.
        let mut chain: Option<Self> = None;
        let mut push = |segment: Option<Segment>, from: Point| match (&mut chain, segment) {
            (None, segment) => {
                chain = Some(Self {
                    start: from,
                    segments: segment.into_iter().collect(),
                });
            }
            (Some(chain), segment) => {
                let last = chain.segments.last().map_or(chain.start, Segment::end);
                if last.distance_m(from) > 1e-12 {
                    chain.segments.push(Segment::Line { end: from });
                }
                chain.segments.extend(segment);
            }
        };
        for i in 0..n {
            let (Some(before), Some(here), Some(after)) = (at(i + n - 1), at(i), at(i + 1)) else {
                continue;
            };
            match fillet(before.point, here, after.point) {
                Some((from, arc)) => push(Some(arc), from),
                None => push(None, here.point),
            }
        }
        let mut chain = chain.unwrap_or_else(|| Self::polygon(&[]));
        let last = chain.segments.last().map_or(chain.start, Segment::end);
        if last.distance_m(chain.start) > 1e-12 {
            chain.segments.push(Segment::Line { end: chain.start });
        }
        chain
    }

    /// A slot of `length_m` from end to end and `width_m` across, its length at `angle_rad`; a circle where the length is the width.
    pub fn slot(centre: Point, length_m: f64, width_m: f64, angle_rad: f64) -> Self {
        let r = width_m / 2.0;
        let reach = (length_m / 2.0 - r).max(0.0);
        let (a, b) = (
            centre.polar(angle_rad, reach),
            centre.polar(angle_rad + PI, reach),
        );
        let side = angle_rad + PI / 2.0;
        let arc = |end: Point, centre: Point| Segment::Arc {
            end,
            centre,
            sweep_rad: PI,
        };
        let line = |end: Point| Segment::Line { end };
        let start = a.polar(side, -r);
        let segments = if reach > 0.0 {
            vec![
                arc(a.polar(side, r), a),
                line(b.polar(side, r)),
                arc(b.polar(side, -r), b),
                line(start),
            ]
        } else {
            vec![arc(a.polar(side, r), a), arc(start, a)]
        };
        Self { start, segments }
    }

    /// An ellipse of `width_m` by `height_m` as tangent arcs that stay within `tolerance_m` of it, counter-clockwise.
    ///
    /// Each piece of the ellipse between two points becomes two arcs that meet both end tangents (a
    /// biarc); pieces are halved until the tolerance holds.
    pub fn ellipse(centre: Point, width_m: f64, height_m: f64, tolerance_m: f64) -> Self {
        let (a, b) = (width_m / 2.0, height_m / 2.0);
        let at = |u: f64| Point::new(centre.x_m + a * u.cos(), centre.y_m + b * u.sin());
        let tangent = |u: f64| (-a * u.sin(), b * u.cos());
        let mut pieces = 2_u32;
        loop {
            let step = PI / 2.0 / f64::from(pieces);
            let mut segments = vec![];
            let mut worst: f64 = 0.0;
            for i in 0..4 * pieces {
                let (u, v) = (f64::from(i) * step, f64::from(i + 1) * step);
                let end = if i + 1 == 4 * pieces { at(0.0) } else { at(v) };
                let two = biarc(at(u), tangent(u), end, tangent(v));
                let mut start = at(u);
                for segment in &two {
                    if i < pieces {
                        worst = worst.max(off_ellipse(start, segment, centre, a, b));
                    }
                    start = segment.end();
                }
                segments.extend(two);
            }
            // 512 pieces a quarter serve any tolerance that a shop can ask for.
            if worst <= tolerance_m || pieces >= 512 {
                return Self {
                    start: at(0.0),
                    segments,
                };
            }
            pieces *= 2;
        }
    }
}

/// The arc that rounds a corner, and the point where it leaves the edge before.
fn fillet(before: Point, here: Corner, after: Point) -> Option<(Point, Segment)> {
    let p = here.point;
    let (l1, l2) = (before.distance_m(p), p.distance_m(after));
    if here.radius_m <= 0.0 || l1 <= 0.0 || l2 <= 0.0 {
        return None;
    }
    let (ux, uy) = ((p.x_m - before.x_m) / l1, (p.y_m - before.y_m) / l1);
    let (vx, vy) = ((after.x_m - p.x_m) / l2, (after.y_m - p.y_m) / l2);
    let turn = (ux * vy - uy * vx).atan2(ux * vx + uy * vy);
    let half = (turn.abs() / 2.0).tan();
    if !(1e-9..1e9).contains(&half) {
        return None;
    }
    let reach = (here.radius_m * half).min(l1 / 2.0).min(l2 / 2.0);
    let radius = reach / half;
    let from = Point::new(p.x_m - reach * ux, p.y_m - reach * uy);
    let side = radius * turn.signum();
    let centre = Point::new(from.x_m - side * uy, from.y_m + side * ux);
    let end = Point::new(p.x_m + reach * vx, p.y_m + reach * vy);
    Some((
        from,
        Segment::Arc {
            end,
            centre,
            sweep_rad: turn,
        },
    ))
}

/// Two arcs from `p` to `q` that leave along `t` and arrive along `s` (equal-chord biarc), lines where they are straight.
///
/// With unit tangents and `v = q − p`, the shoulder length d solves `v·v = 2 d v·(t + s) + 2 d² (1 − t·s)`
/// (Bolton, Biarc curves, Computer-Aided Design 7 (1975) 89).
pub(crate) fn biarc(p: Point, t: (f64, f64), q: Point, s: (f64, f64)) -> Vec<Segment> {
    let unit = |(x, y): (f64, f64)| {
        let l = x.hypot(y);
        if l > 0.0 { (x / l, y / l) } else { (1.0, 0.0) }
    };
    let (t, s) = (unit(t), unit(s));
    let v = (q.x_m - p.x_m, q.y_m - p.y_m);
    let vv = v.0 * v.0 + v.1 * v.1;
    let vt = v.0 * (t.0 + s.0) + v.1 * (t.1 + s.1);
    let bend = 2.0 * (1.0 - t.0 * s.0 - t.1 * s.1);
    let root = (vt * vt + bend * vv).sqrt();
    // The positive root, written so that it holds for parallel tangents too.
    let d = if vt + root > 0.0 {
        vv / (vt + root)
    } else {
        0.0
    };
    if !(d > 0.0 && d.is_finite()) {
        return vec![Segment::Line { end: q }];
    }
    let middle = Point::new(
        f64::midpoint(p.x_m + d * t.0, q.x_m - d * s.0),
        f64::midpoint(p.y_m + d * t.1, q.y_m - d * s.1),
    );
    vec![arc_from(p, t, middle), arc_back(middle, q, s)]
}

/// The arc from `p` along the unit tangent `t` to `q`.
pub(crate) fn arc_from(p: Point, t: (f64, f64), q: Point) -> Segment {
    let (vx, vy) = (q.x_m - p.x_m, q.y_m - p.y_m);
    let across = t.0 * vy - t.1 * vx;
    let chord = vx.hypot(vy);
    if across.abs() <= 1e-12 * chord.max(1e-12) {
        return Segment::Line { end: q };
    }
    let radius = chord * chord / (2.0 * across);
    Segment::Arc {
        end: q,
        centre: Point::new(p.x_m - radius * t.1, p.y_m + radius * t.0),
        sweep_rad: 2.0 * across.atan2(t.0 * vx + t.1 * vy),
    }
}

/// The arc from `p` that arrives at `q` along the unit tangent `s`.
fn arc_back(p: Point, q: Point, s: (f64, f64)) -> Segment {
    match arc_from(q, (-s.0, -s.1), p) {
        Segment::Line { .. } => Segment::Line { end: q },
        Segment::Arc {
            centre, sweep_rad, ..
        } => Segment::Arc {
            end: q,
            centre,
            sweep_rad: -sweep_rad,
        },
    }
}

/// Greatest distance of points along an arc from the ellipse, to first order.
fn off_ellipse(start: Point, segment: &Segment, centre: Point, a: f64, b: f64) -> f64 {
    let off = |p: Point| {
        let (x, y) = ((p.x_m - centre.x_m) / a, (p.y_m - centre.y_m) / b);
        let slope = 2.0 * (x / a).hypot(y / b);
        ((x * x + y * y - 1.0) / slope).abs()
    };
    match *segment {
        Segment::Line { end } => off(Point::new(
            f64::midpoint(start.x_m, end.x_m),
            f64::midpoint(start.y_m, end.y_m),
        )),
        Segment::Arc {
            centre: c,
            sweep_rad,
            ..
        } => {
            let r = start.distance_m(c);
            let from = (start.y_m - c.y_m).atan2(start.x_m - c.x_m);
            (1..16)
                .map(|i| off(c.polar(from + sweep_rad * f64::from(i) / 16.0, r)))
                .fold(0.0, f64::max)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_ellipse_has_the_area_of_an_ellipse() {
        let tolerance = 1e-6;
        let e = Chain::ellipse(Point::new(0.2, -0.1), 0.15, 0.22, tolerance);
        // The area is off by at most tolerance times perimeter.
        assert!((e.area_m2() - PI * 0.075 * 0.11).abs() < tolerance * 0.6);
        // Ramanujan's second perimeter formula; error below 1e-9 at this ratio (from memory).
        let h = ((0.075_f64 - 0.11) / (0.075 + 0.11)).powi(2);
        let perimeter = PI * 0.185 * (1.0 + 3.0 * h / (10.0 + (4.0 - 3.0 * h).sqrt()));
        assert!((e.length_m() - perimeter).abs() < 1e-6);
        let (left, bottom, right, top) = e.bounds_m();
        for (got, want) in [(left, 0.125), (right, 0.275), (bottom, -0.21), (top, 0.01)] {
            assert!((got - want).abs() < 1e-9);
        }
    }

    proptest! {
        #[test]
        fn ellipses_are_tangent_and_closed(w in 0.01..0.5_f64, ratio in 0.2..5.0_f64) {
            let e = Chain::ellipse(Point::new(0.0, 0.0), w, w * ratio, 5e-6);
            prop_assert!(e.segments.len() < 3000);
            prop_assert!(e.segments.last().unwrap().end().distance_m(e.start) < 1e-12);
            for (start, segment) in e.pieces() {
                if let Segment::Arc { end, centre, sweep_rad } = *segment {
                    prop_assert!((start.distance_m(centre) - end.distance_m(centre)).abs() < 1e-9);
                    prop_assert!(sweep_rad > 0.0);
                }
            }
        }

        #[test]
        fn slots_have_their_size(l in 0.005..0.1_f64, w in 0.002..0.005_f64, turn in -4.0..4.0_f64) {
            let slot = Chain::slot(Point::new(0.1, 0.1), l, w, turn);
            let want = (l - w) * w + PI * w * w / 4.0;
            prop_assert!((slot.area_m2() - want).abs() < 1e-12);
        }
    }
}
