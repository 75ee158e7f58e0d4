//! Exact distances between lines and arcs, for the check of a layout; nothing of the search is used here.

use std::f64::consts::TAU;

use crate::outline::{Chain, Outline, Point, Segment};

/// A line or an arc with both its ends.
#[derive(Debug, Clone, Copy)]
pub(super) enum Piece {
    Line(Point, Point),
    Arc {
        centre: Point,
        radius: f64,
        from: f64,
        sweep: f64,
        ends: (Point, Point),
    },
}

/// An outline taken apart, each piece with its bounds.
#[derive(Debug, Clone)]
pub(super) struct Edges {
    pub(super) pieces: Vec<(Piece, Bounds)>,
    pub(super) bounds: Bounds,
    chains: Vec<Vec<Point>>,
}

/// Left, bottom, right, top. [m]
pub(super) type Bounds = (f64, f64, f64, f64);

/// Chord of the polygons that only say what lies inside what. [m]
const CHORD_M: f64 = 1e-5;

impl Edges {
    pub(super) fn of(outline: &Outline) -> Self {
        let chains = || std::iter::once(&outline.outside).chain(&outline.holes);
        let pieces = chains()
            .flat_map(Chain::pieces)
            .map(|(start, segment)| piece(start, segment))
            .collect();
        Self {
            pieces,
            bounds: outline.bounds_m(),
            chains: chains().map(|c| c.flatten(CHORD_M, true)).collect(),
        }
    }

    /// Whether a point well off the edges lies in the material.
    pub(super) fn hold(&self, p: Point) -> bool {
        self.chains
            .iter()
            .filter(|c| crossings(c, p) % 2 == 1)
            .count()
            % 2
            == 1
    }

    /// A point on an edge.
    pub(super) fn any_point(&self) -> Option<Point> {
        self.pieces.first().map(|(p, _)| p.ends().0)
    }

    /// Whether all edges are at least `gap` from those of `other`.
    pub(super) fn clear_of(&self, other: &Self, gap: f64) -> bool {
        self.pieces.iter().all(|(a, ab)| {
            apart(*ab, other.bounds) >= gap
                || other
                    .pieces
                    .iter()
                    .all(|(b, bb)| apart(*ab, *bb) >= gap || a.distance(b) >= gap)
        })
    }
}

fn piece(start: Point, segment: &Segment) -> (Piece, Bounds) {
    let bounds = Chain {
        start,
        segments: vec![*segment],
    }
    .bounds_m();
    let piece = match *segment {
        Segment::Line { end } => Piece::Line(start, end),
        Segment::Arc {
            end,
            centre,
            sweep_rad,
        } => Piece::Arc {
            centre,
            radius: start.distance_m(centre),
            from: (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m),
            sweep: sweep_rad,
            ends: (start, end),
        },
    };
    (piece, bounds)
}

/// Distance between two boxes, along the axis on which they are furthest apart.
pub(super) fn apart(a: Bounds, b: Bounds) -> f64 {
    let x = (b.0 - a.2).max(a.0 - b.2);
    let y = (b.1 - a.3).max(a.1 - b.3);
    x.max(y)
}

fn crossings(chain: &[Point], p: Point) -> usize {
    let next = chain.iter().skip(1).chain(chain.first());
    chain
        .iter()
        .zip(next)
        .filter(|(a, b)| (a.y_m > p.y_m) != (b.y_m > p.y_m))
        .filter(|(a, b)| a.x_m + (p.y_m - a.y_m) / (b.y_m - a.y_m) * (b.x_m - a.x_m) > p.x_m)
        .count()
}

fn minus(a: Point, b: Point) -> (f64, f64) {
    (a.x_m - b.x_m, a.y_m - b.y_m)
}

fn cross(a: (f64, f64), b: (f64, f64)) -> f64 {
    a.0 * b.1 - a.1 * b.0
}

fn to_line(p: Point, a: Point, b: Point) -> f64 {
    let (d, e) = (minus(b, a), minus(p, a));
    let length2 = d.0 * d.0 + d.1 * d.1;
    let t = if length2 > 0.0 {
        ((d.0 * e.0 + d.1 * e.1) / length2).clamp(0.0, 1.0)
    } else {
        0.0
    };
    p.distance_m(Point::new(a.x_m + t * d.0, a.y_m + t * d.1))
}

fn lines_cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side = |p, q, r| cross(minus(q, p), minus(r, p));
    side(a, b, c) * side(a, b, d) < 0.0 && side(c, d, a) * side(c, d, b) < 0.0
}

impl Piece {
    fn ends(&self) -> (Point, Point) {
        match *self {
            Self::Line(a, b) => (a, b),
            Self::Arc { ends, .. } => ends,
        }
    }

    /// Where it starts.
    pub(super) fn start(&self) -> Point {
        self.ends().0
    }

    /// Whether an arc passes through the angle.
    fn sweeps(&self, angle: f64) -> bool {
        match *self {
            Self::Line(..) => false,
            Self::Arc { from, sweep, .. } => {
                let turned = if sweep >= 0.0 {
                    angle - from
                } else {
                    from - angle
                };
                turned.rem_euclid(TAU) <= sweep.abs()
            }
        }
    }

    fn to_point(self, p: Point) -> f64 {
        match self {
            Self::Line(a, b) => to_line(p, a, b),
            Self::Arc {
                centre,
                radius,
                ends,
                ..
            } => {
                let (dx, dy) = minus(p, centre);
                if self.sweeps(dy.atan2(dx)) {
                    (dx.hypot(dy) - radius).abs()
                } else {
                    p.distance_m(ends.0).min(p.distance_m(ends.1))
                }
            }
        }
    }

    /// Least distance, 0 where they meet.
    fn distance(&self, other: &Self) -> f64 {
        let (a, b) = (self.ends(), other.ends());
        let mut least = self
            .to_point(b.0)
            .min(self.to_point(b.1))
            .min(other.to_point(a.0))
            .min(other.to_point(a.1));
        match (*self, *other) {
            (Self::Line(p, q), Self::Line(r, s)) => {
                if lines_cross(p, q, r, s) {
                    least = 0.0;
                }
            }
            (Self::Line(p, q), Self::Arc { .. }) => least = least.min(line_to_arc(p, q, other)),
            (Self::Arc { .. }, Self::Line(p, q)) => least = least.min(line_to_arc(p, q, self)),
            (Self::Arc { .. }, Self::Arc { .. }) => least = least.min(arc_to_arc(self, other)),
        }
        least
    }
}

/// Where a line and an arc cross, and where their normals fall together; their ends are looked at elsewhere.
fn line_to_arc(p: Point, q: Point, arc: &Piece) -> f64 {
    let Piece::Arc { centre, radius, .. } = *arc else {
        return f64::INFINITY;
    };
    let d = minus(q, p);
    let length = d.0.hypot(d.1);
    if length <= 0.0 {
        return f64::INFINITY;
    }
    let u = (d.0 / length, d.1 / length);
    let to_centre = minus(centre, p);
    let along = u.0 * to_centre.0 + u.1 * to_centre.1;
    let foot = Point::new(p.x_m + along * u.0, p.y_m + along * u.1);
    let off = foot.distance_m(centre);
    if off < radius {
        let half = (radius * radius - off * off).sqrt();
        for t in [along - half, along + half] {
            let at = Point::new(p.x_m + t * u.0 - centre.x_m, p.y_m + t * u.1 - centre.y_m);
            if (0.0..=length).contains(&t) && arc.sweeps(at.y_m.atan2(at.x_m)) {
                return 0.0;
            }
        }
    }
    let normal = u.0.atan2(-u.1);
    [normal, normal + TAU / 2.0]
        .into_iter()
        .filter(|&angle| arc.sweeps(angle))
        .map(|angle| to_line(centre.polar(angle, radius), p, q))
        .fold(f64::INFINITY, f64::min)
}

/// Where two arcs cross, and where their normals fall together; their ends are looked at elsewhere.
fn arc_to_arc(a: &Piece, b: &Piece) -> f64 {
    let (
        Piece::Arc {
            centre: ca,
            radius: ra,
            ..
        },
        Piece::Arc {
            centre: cb,
            radius: rb,
            ..
        },
    ) = (*a, *b)
    else {
        return f64::INFINITY;
    };
    let (dx, dy) = minus(cb, ca);
    let d = dx.hypot(dy);
    if d < 1e-12 {
        return f64::INFINITY;
    }
    let line = dy.atan2(dx);
    if d < ra + rb && d > (ra - rb).abs() {
        let open = ((ra * ra + d * d - rb * rb) / (2.0 * ra * d))
            .clamp(-1.0, 1.0)
            .acos();
        for angle in [line - open, line + open] {
            let (bx, by) = minus(ca.polar(angle, ra), cb);
            if a.sweeps(angle) && b.sweeps(by.atan2(bx)) {
                return 0.0;
            }
        }
    }
    let mut least = f64::INFINITY;
    for angle in [line, line + TAU / 2.0] {
        if a.sweeps(angle) {
            least = least.min(b.to_point(ca.polar(angle, ra)));
        }
        if b.sweeps(angle) {
            least = least.min(a.to_point(cb.polar(angle, rb)));
        }
    }
    least
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::Circle;
    use proptest::prelude::*;

    fn circle(x: f64, y: f64, r: f64) -> Outline {
        Outline::new(
            Chain::circle(Circle {
                centre: Point::new(x, y),
                radius_m: r,
            }),
            vec![],
        )
    }

    fn least(a: &Outline, b: &Outline) -> f64 {
        let (a, b) = (Edges::of(a), Edges::of(b));
        a.pieces
            .iter()
            .flat_map(|(p, _)| b.pieces.iter().map(move |(q, _)| p.distance(q)))
            .fold(f64::INFINITY, f64::min)
    }

    proptest! {
        /// Plane geometry: circles apart, one in the other, or crossing.
        #[test]
        fn circles(x in -1.0..1.0_f64, y in -1.0..1.0_f64, r in 0.05..0.6_f64, s in 0.05..0.6_f64) {
            let d = x.hypot(y);
            let want = (d - r - s).max((r - s).abs() - d).max(0.0);
            prop_assume!(d > 1e-6);
            prop_assert!((least(&circle(0.0, 0.0, r), &circle(x, y, s)) - want).abs() < 1e-9);
        }

        /// A circle against an upright rectangle: distance of a point from a box, less the radius.
        #[test]
        fn circle_and_rectangle(x in -1.0..1.0_f64, y in -1.0..1.0_f64, r in 0.05..0.6_f64) {
            let square = super::super::ask::rectangle(0.4, 0.2);
            let out = ((-x).max(x - 0.4).max(0.0)).hypot((-y).max(y - 0.2).max(0.0));
            prop_assume!(out > 0.0);
            let far = [(0.0, 0.0), (0.4, 0.0), (0.0, 0.2), (0.4, 0.2)]
                .into_iter()
                .map(|(a, b): (f64, f64)| (x - a).hypot(y - b))
                .fold(0.0, f64::max);
            let want = if far < r { r - far } else { (out - r).max(0.0) };
            prop_assert!((least(&square, &circle(x, y, r)) - want).abs() < 1e-9);
        }
    }
}
