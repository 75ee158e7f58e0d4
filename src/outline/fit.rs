//! Arcs through a smooth curve, to within a tolerance: splines, ellipses and Bézier curves become lines and arcs.

use super::build::biarc;
use super::piece::Piece;
use super::{Point, Segment};

/// How far arcs may lie from the curve that they stand for. [m]
pub(super) const FIT_M: f64 = 5e-6;
/// Halvings at most: 1024 pieces of a curve.
const DEEPEST: u32 = 10;

/// A point of a curve and its direction there.
pub(super) type Place = (Point, (f64, f64));

/// Arcs along `curve` from `u` to `v`.
pub(super) fn arcs(curve: &dyn Fn(f64) -> Place, u: f64, v: f64) -> Vec<Segment> {
    let mut out = vec![];
    let middle = f64::midpoint(u, v);
    // Two halves at least: a curve that turns back looks straight to its ends.
    part(curve, u, middle, DEEPEST, &mut out);
    part(curve, middle, v, DEEPEST, &mut out);
    out
}

fn part(curve: &dyn Fn(f64) -> Place, u: f64, v: f64, depth: u32, out: &mut Vec<Segment>) {
    let (p, t) = directed(curve, u, v);
    let (q, s) = directed(curve, v, u);
    let two = if p.distance_m(q) <= 1e-9 {
        vec![Segment::Line { end: q }]
    } else {
        biarc(p, t, q, (-s.0, -s.1))
    };
    let mut pieces = vec![];
    let mut from = p;
    for segment in &two {
        pieces.push(Piece::new(from, segment));
        from = segment.end();
    }
    let wild = two
        .iter()
        .any(|s| matches!(s, Segment::Arc { sweep_rad, .. } if sweep_rad.abs() > 2.0));
    let off = (1..8)
        .map(|i| {
            let (at, _) = curve(u + (v - u) * f64::from(i) / 8.0);
            pieces
                .iter()
                .map(|piece| piece.distance(at))
                .fold(f64::INFINITY, f64::min)
        })
        .fold(0.0, f64::max);
    if depth > 0 && (wild || off > FIT_M) {
        let middle = f64::midpoint(u, v);
        part(curve, u, middle, depth - 1, out);
        part(curve, middle, v, depth - 1, out);
    } else {
        out.extend(two);
    }
}

/// Place at `u` with the direction towards `v`; by a small step where the derivative vanishes.
fn directed(curve: &dyn Fn(f64) -> Place, u: f64, v: f64) -> Place {
    let (p, d) = curve(u);
    let sign = (v - u).signum();
    if d.0.hypot(d.1) > 1e-9 {
        return (p, (sign * d.0, sign * d.1));
    }
    let (q, _) = curve(u + 1e-3 * (v - u));
    (p, (q.x_m - p.x_m, q.y_m - p.y_m))
}
