//! What lies inside a chain, and how far chains are from one another; arcs exact.

use std::f64::consts::TAU;

use super::piece::Piece;
use super::{Chain, Outline, Point, Segment};

impl Chain {
    pub(crate) fn piece_list(&self) -> Vec<Piece> {
        self.pieces().map(|(a, s)| Piece::new(a, s)).collect()
    }

    /// Whether a point lies inside, arcs exact; a point on the chain may count either way.
    ///
    /// The winding number: the angles under which the chords are seen, and a full turn for each piece between an arc and its chord that holds the point.
    pub fn holds(&self, p: Point) -> bool {
        let mut turned = 0.0;
        for (a, segment) in self.pieces() {
            let b = segment.end();
            let (ax, ay) = (a.x_m - p.x_m, a.y_m - p.y_m);
            let (bx, by) = (b.x_m - p.x_m, b.y_m - p.y_m);
            // A point on the chord counts as left of it, here and for the arc below.
            let cross = ax * by - ay * bx;
            let left = cross >= 0.0;
            let angle = cross.abs().atan2(ax * bx + ay * by);
            turned += if left { angle } else { -angle };
            if let Segment::Arc {
                centre, sweep_rad, ..
            } = *segment
            {
                let inside = p.distance_m(centre) < a.distance_m(centre);
                let full = sweep_rad.abs() >= TAU - 1e-12;
                // The arc lies right of its chord where it turns counter-clockwise.
                if inside && (full || left == (sweep_rad < 0.0)) {
                    turned += TAU * sweep_rad.signum();
                }
            }
        }
        (turned / TAU).round().abs() > 0.5
    }

    /// Distance from a point to the chain. [m]
    pub fn distance_m(&self, p: Point) -> f64 {
        self.pieces()
            .map(|(a, s)| Piece::new(a, s).distance(p))
            .fold(f64::INFINITY, f64::min)
    }

    /// Least distance between two chains, 0 where they cross. [m]
    pub fn clearance_m(&self, other: &Self) -> f64 {
        let mut theirs: Vec<_> = other
            .piece_list()
            .into_iter()
            .map(|p| (p.bounds(), p))
            .collect();
        // From left to right, so that a traced contour of many short lines is searched only where it is near.
        theirs.sort_by(|a, b| a.0.0.total_cmp(&b.0.0));
        let widest = theirs.iter().map(|(t, _)| t.2 - t.0).fold(0.0, f64::max);
        let mut least = other.distance_m(self.start);
        for mine in self.piece_list() {
            let m = mine.bounds();
            let first = theirs.partition_point(|(t, _)| t.0 < m.0 - least - widest);
            for (t, piece) in theirs.iter().skip(first) {
                if t.0 > m.2 + least {
                    break;
                }
                let dx = (t.0 - m.2).max(m.0 - t.2).max(0.0);
                let dy = (t.1 - m.3).max(m.1 - t.3).max(0.0);
                if dx.hypot(dy) < least {
                    least = least.min(mine.clearance(piece));
                }
            }
        }
        least
    }
}

impl Outline {
    /// Whether a point lies on the material.
    pub fn holds(&self, p: Point) -> bool {
        self.outside.holds(p) && !self.holes.iter().any(|h| h.holds(p))
    }

    /// Distance from a point to the nearest edge, outside or hole. [m]
    pub fn edge_distance_m(&self, p: Point) -> f64 {
        self.holes
            .iter()
            .map(|h| h.distance_m(p))
            .fold(self.outside.distance_m(p), f64::min)
    }

    /// Narrowest place between a hole and the outside or another hole; `None` without holes. [m]
    pub fn web_m(&self) -> Option<f64> {
        let mut least: Option<f64> = None;
        for (i, hole) in self.holes.iter().enumerate() {
            let others = self.holes.iter().skip(i + 1);
            for chain in std::iter::once(&self.outside).chain(others) {
                let gap = hole.clearance_m(chain);
                least = Some(least.map_or(gap, |l| l.min(gap)));
            }
        }
        least
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::Circle;
    use proptest::prelude::*;

    fn ring(r: f64, x: f64, y: f64) -> Chain {
        Chain::circle(Circle {
            centre: Point::new(x, y),
            radius_m: r,
        })
    }

    proptest! {
        #[test]
        fn circles_hold_and_clear_as_their_radii_say(
            r in 0.01..0.2_f64, s in 0.01..0.2_f64, x in -0.5..0.5_f64, y in -0.5..0.5_f64,
        ) {
            let (one, two) = (ring(r, 0.0, 0.0), ring(s, x, y));
            let d = x.hypot(y);
            prop_assume!((d - r).abs() > 1e-9);
            prop_assert_eq!(one.holds(Point::new(x, y)), d < r);
            let want = if d > r + s { d - r - s } else if d < (r - s).abs() { (r - s).abs() - d } else { 0.0 };
            prop_assert!((one.clearance_m(&two) - want).abs() < 1e-12);
        }

        #[test]
        fn what_is_held_agrees_with_a_fine_polygon(
            w in 0.05..0.3_f64, h in 0.05..0.3_f64, corner in 0.001..0.02_f64, x in -0.2..0.2_f64, y in -0.2..0.2_f64,
        ) {
            let chain = Chain::rounded_rectangle(Point::new(0.0, 0.0), w, h, corner);
            let p = Point::new(x, y);
            prop_assume!(chain.distance_m(p) > 1e-5);
            // Even-odd rule on a polygon within 1 µm.
            let corners = chain.flatten(1e-6, false);
            let mut inside = false;
            for (i, a) in corners.iter().enumerate() {
                let b = corners[(i + 1) % corners.len()];
                if (a.y_m > y) != (b.y_m > y) && x < a.x_m + (y - a.y_m) / (b.y_m - a.y_m) * (b.x_m - a.x_m) {
                    inside = !inside;
                }
            }
            prop_assert_eq!(chain.holds(p), inside);
            prop_assert_eq!(chain.reversed().holds(p), inside);
        }

        #[test]
        fn clearance_is_the_least_over_many_points(
            x in 0.2..0.5_f64, y in -0.3..0.3_f64, turn in 0.0..3.0_f64,
        ) {
            let one = Chain::rounded_rectangle(Point::new(0.0, 0.0), 0.2, 0.1, 0.03);
            let two = Chain::slot(Point::new(x, y), 0.12, 0.03, turn);
            let by_points = one.flatten(1e-8, false).iter().map(|&p| two.distance_m(p)).fold(f64::INFINITY, f64::min);
            let clear = one.clearance_m(&two);
            prop_assert!(clear <= by_points + 1e-12);
            // Points along an arc are at most 2e-5 m apart here, and lines are covered by their ends and the other's ends.
            prop_assume!(by_points > 1e-3);
            let back = two.flatten(1e-8, false).iter().map(|&p| one.distance_m(p)).fold(f64::INFINITY, f64::min);
            prop_assert!(clear > by_points.min(back) - 1e-6);
        }
    }
}
