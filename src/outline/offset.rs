//! Chains at a distance: the thickness of a finish, a chamfer's upper edge, the way of a cutter.

use std::f64::consts::PI;

use super::piece::{Piece, carrier_crossings};
use super::{Chain, Outline, Point, Segment};
use crate::error::{Error, Result};

impl Chain {
    /// The chain moved `offset_m` to its right: away from the material, for the outside of a part and for its holes alike.
    ///
    /// Lines move, arcs change their radius; an opening corner is filled by an arc about it (all points at that
    /// distance), a closing corner is cut where its edges meet, and so is a round corner that the offset eats whole.
    ///
    /// # Errors
    /// [`Error::Shape`] where a feature is too small for the offset.
    ///
    /// ```
    /// use mountwright::outline::{Chain, Circle, Point};
    /// let disc = Chain::circle(Circle { centre: Point::new(0.0, 0.0), radius_m: 0.05 });
    /// let grown = disc.offset(0.003)?;
    /// assert!((grown.length_m() - std::f64::consts::TAU * 0.053).abs() < 1e-12);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn offset(&self, offset_m: f64) -> Result<Self> {
        let moved = self.moved_pieces(offset_m);
        let n = moved.len();
        let mut chain: Option<Self> = None;
        let mut from: Vec<Point> = Vec::with_capacity(n);
        let mut to: Vec<Point> = Vec::with_capacity(n);
        let mut joins: Vec<Option<Segment>> = Vec::with_capacity(n);
        for (i, (_, piece)) in moved.iter().enumerate() {
            let Some((corner, next)) = moved.get((i + 1) % n) else {
                continue;
            };
            let (_, end) = piece.ends();
            let (start, _) = next.ends();
            if end.distance_m(start) <= 1e-9 {
                to.push(end);
                from.push(end);
                joins.push(None);
            } else if opens(piece, next, offset_m) {
                let a = (end.y_m - corner.y_m).atan2(end.x_m - corner.x_m);
                let b = (start.y_m - corner.y_m).atan2(start.x_m - corner.x_m);
                let mut sweep = (b - a).rem_euclid(2.0 * PI);
                if offset_m < 0.0 {
                    sweep -= 2.0 * PI;
                }
                to.push(end);
                from.push(start);
                joins.push(Some(Segment::Arc {
                    end: start,
                    centre: *corner,
                    sweep_rad: sweep,
                }));
            } else {
                let met = carrier_crossings(piece, next)
                    .into_iter()
                    .min_by(|p, q| p.distance_m(*corner).total_cmp(&q.distance_m(*corner)))
                    .ok_or_else(|| too_small(offset_m, *corner))?;
                to.push(met);
                from.push(met);
                joins.push(None);
            }
        }
        for i in 0..n {
            let (Some((corner, piece)), Some(&a), Some(&b)) =
                (moved.get(i), from.get((i + n - 1) % n), to.get(i))
            else {
                continue;
            };
            let segment = between(piece, a, b).ok_or_else(|| too_small(offset_m, *corner))?;
            let chain = chain.get_or_insert_with(|| Self {
                start: a,
                segments: vec![],
            });
            chain.segments.push(segment);
            chain.segments.extend(joins.get(i).copied().flatten());
        }
        let chain = chain.ok_or_else(|| too_small(offset_m, self.start))?;
        let turned = chain.area_m2() * self.area_m2() <= 0.0;
        let crossed = Outline {
            outside: chain.clone(),
            holes: vec![],
        }
        .faults();
        match crossed.first() {
            None if !turned => Ok(chain),
            None => Err(too_small(offset_m, self.start)),
            Some(fault) => Err(too_small(offset_m, fault.at)),
        }
    }

    /// Each piece moved by itself, with the corner where it started.
    fn moved_pieces(&self, offset_m: f64) -> Vec<(Point, Piece)> {
        self.pieces()
            .filter(|(a, s)| match s {
                Segment::Line { end } => a.distance_m(*end) > 1e-9,
                Segment::Arc {
                    centre, sweep_rad, ..
                } => a.distance_m(*centre) * sweep_rad.abs() > 1e-9,
            })
            .filter_map(|(a, segment)| {
                let b = segment.end();
                let piece = match *segment {
                    Segment::Line { .. } => {
                        let l = a.distance_m(b);
                        let (nx, ny) = ((b.y_m - a.y_m) / l, (a.x_m - b.x_m) / l);
                        let shift =
                            |p: Point| Point::new(p.x_m + offset_m * nx, p.y_m + offset_m * ny);
                        Segment::Line { end: shift(b) }.at(shift(a))
                    }
                    Segment::Arc {
                        centre, sweep_rad, ..
                    } => {
                        let r = a.distance_m(centre);
                        let scale = 1.0 + offset_m * sweep_rad.signum() / r;
                        if scale <= 1e-9 {
                            // Its neighbours meet inside it, or the chain fails as a whole.
                            return None;
                        }
                        let move_out = |p: Point| {
                            Point::new(
                                centre.x_m + scale * (p.x_m - centre.x_m),
                                centre.y_m + scale * (p.y_m - centre.y_m),
                            )
                        };
                        Segment::Arc {
                            end: move_out(b),
                            centre,
                            sweep_rad,
                        }
                        .at(move_out(a))
                    }
                };
                Some((a, piece))
            })
            .collect()
    }
}

impl Segment {
    fn at(&self, start: Point) -> Piece {
        Piece::new(start, self)
    }
}

impl Outline {
    /// The part with every edge moved `offset_m` away from the material; negative takes material off.
    ///
    /// # Errors
    /// [`Error::Shape`] where a feature is too small for the offset.
    pub fn offset(&self, offset_m: f64) -> Result<Self> {
        if offset_m.abs() <= 0.0 {
            return Ok(self.clone());
        }
        Ok(Self {
            outside: self.outside.offset(offset_m)?,
            holes: self
                .holes
                .iter()
                .map(|h| h.offset(offset_m))
                .collect::<Result<_>>()?,
        })
    }
}

fn too_small(offset_m: f64, at: Point) -> Error {
    Error::Shape {
        what: format!("offset by {:.2} mm", offset_m * 1e3),
        given: format!(
            "larger than a feature at x {:.2} mm, y {:.2} mm",
            at.x_m * 1e3,
            at.y_m * 1e3
        ),
        allowed: "less than the smallest inner radius and half of the narrowest place there".into(),
    }
}

/// Whether the moved ends part at a corner (else they overlap and are cut).
fn opens(one: &Piece, two: &Piece, offset_m: f64) -> bool {
    let (_, (ux, uy)) = one.directions();
    let ((vx, vy), _) = two.directions();
    // A left turn opens on the right side.
    (ux * vy - uy * vx) * offset_m > 0.0
}

/// The piece cut to run from `a` to `b`; `None` where nothing is left of it.
fn between(piece: &Piece, a: Point, b: Point) -> Option<Segment> {
    match *piece {
        Piece::Line { a: p, b: q } => {
            let along = (b.x_m - a.x_m) * (q.x_m - p.x_m) + (b.y_m - a.y_m) * (q.y_m - p.y_m);
            (along > 0.0).then_some(Segment::Line { end: b })
        }
        Piece::Arc {
            centre,
            from,
            sweep,
            a: p,
            b: q,
            ..
        } => {
            let angle = |p: Point| (p.y_m - centre.y_m).atan2(p.x_m - centre.x_m);
            // How far each end was cut (positive) or drawn out (negative); both are less than half a turn.
            let near = |x: f64| (x + PI).rem_euclid(2.0 * PI) - PI;
            let at_start = if a.distance_m(p) > 1e-12 {
                near(angle(a) - from)
            } else {
                0.0
            };
            let at_end = if b.distance_m(q) > 1e-12 {
                near(angle(b) - from - sweep)
            } else {
                0.0
            };
            let left = sweep - at_start + at_end;
            (left * sweep > 0.0 && left.abs() <= 2.0 * PI).then_some(Segment::Arc {
                end: b,
                centre,
                sweep_rad: left,
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn offsets_obey_steiner(
            w in 0.05..0.3_f64, h in 0.05..0.3_f64, r in 0.0..0.02_f64, d in 1e-4..0.02_f64,
        ) {
            // Steiner's formula for a convex body: A(d) = A + L d + π d², L(d) = L + 2 π d.
            for chain in [
                Chain::rounded_rectangle(Point::new(0.1, 0.2), w, h, r),
                Chain::ellipse(Point::new(0.0, 0.0), w, h, 1e-5),
            ] {
                let grown = chain.offset(d).unwrap();
                prop_assert!((grown.area_m2() - (chain.area_m2() + chain.length_m() * d + PI * d * d)).abs() < 1e-9);
                prop_assert!((grown.length_m() - (chain.length_m() + 2.0 * PI * d)).abs() < 1e-9);
                // A hole in that shape closes by the same offset, and the finish taken off comes back.
                let hole = chain.reversed();
                if let Ok(closed) = hole.offset(d) {
                    prop_assert!(closed.area_m2().abs() < hole.area_m2().abs());
                }
            }
            let sharp = Chain::rounded_rectangle(Point::new(0.0, 0.0), w, h, 0.0);
            let inset = sharp.offset(-d).unwrap();
            prop_assert!((inset.area_m2() - (w - 2.0 * d) * (h - 2.0 * d)).abs() < 1e-12);
            // A round corner smaller than the offset comes out sharp.
            let small = Chain::rounded_rectangle(Point::new(0.0, 0.0), w, h, 0.9 * d);
            prop_assert!((small.offset(-d).unwrap().area_m2() - inset.area_m2()).abs() < 1e-12);
        }

        #[test]
        fn an_inset_that_eats_the_part_is_refused(w in 0.01..0.1_f64, over in 1.001..10.0_f64) {
            let plate = Chain::rounded_rectangle(Point::new(0.0, 0.0), w, w, 0.0);
            prop_assert!(plate.offset(-w / 2.0 * over).is_err());
            let round = Chain::rounded_rectangle(Point::new(0.0, 0.0), w, w, w / 5.0);
            prop_assert!(round.offset(-w / 2.0 * over).is_err());
            let disc = Chain::circle(crate::outline::Circle { centre: Point::new(0.0, 0.0), radius_m: w / 2.0 });
            prop_assert!(disc.offset(-w / 2.0 * over).is_err());
            let long = Chain::slot(Point::new(0.0, 0.0), 2.0 * w, w, 0.3);
            prop_assert!(long.offset(-w / 2.0 * over).is_err());
        }
    }
}
