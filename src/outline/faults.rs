//! What is wrong with an outline, each fault with its place. Nothing is mended in silence.

use std::fmt;

use serde::Serialize;

use super::piece::Piece;
use super::{Chain, Outline, Point, Segment};
use crate::error::{Error, Result};

/// Gaps and distances up to this count as touching. [m]
const TOUCH_M: f64 = 1e-6;
/// Sizes beyond this are wrong units, not a part. [m]
const LARGEST_M: f64 = 20.0;
/// More pieces than this is not the outline of a part.
pub(crate) const MOST_PIECES: usize = 20_000;
/// Faults listed; the rest is only counted by looking again after mending.
const MOST_FAULTS: usize = 50;

/// What is wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FaultKind {
    /// A coordinate that is not a number or lies beyond 20 m.
    NoPlace,
    /// The chain does not come back to its start, or an arc's end does not lie on its circle.
    Open,
    /// No area to speak of.
    NoArea,
    /// More pieces than an outline of a part has.
    TooManyPieces,
    /// The chain crosses or touches itself.
    CrossesItself,
    /// The same contour twice.
    Twice,
    /// A hole outside the part, or across its edge.
    HoleOutside,
    /// Two holes that touch, overlap or lie in one another.
    HolesOverlap,
}

/// One fault with its place.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Fault {
    /// What is wrong.
    pub kind: FaultKind,
    /// Which chain: 0 the outside, from 1 the holes.
    pub chain: usize,
    /// Where.
    pub at: Point,
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = match self.kind {
            FaultKind::NoPlace => "has a coordinate that is not a number or lies beyond 20 m",
            FaultKind::Open => "is open",
            FaultKind::NoArea => "has no area",
            FaultKind::TooManyPieces => "has too many pieces",
            FaultKind::CrossesItself => "crosses or touches itself",
            FaultKind::Twice => "is there twice",
            FaultKind::HoleOutside => "is not inside the part",
            FaultKind::HolesOverlap => "overlaps another hole",
        };
        if self.chain == 0 {
            write!(f, "the outside {what}")?;
        } else {
            write!(f, "hole {} {what}", self.chain)?;
        }
        write!(
            f,
            " at x {:.2} mm, y {:.2} mm",
            self.at.x_m * 1e3,
            self.at.y_m * 1e3
        )
    }
}

impl Outline {
    /// Every fault, in the order of the chains, at most 50; empty for an outline that can be cut.
    ///
    /// ```
    /// use mountwright::outline::{Chain, FaultKind, Outline, Point};
    /// let bow = [(0.0, 0.0), (0.1, 0.1), (0.1, 0.0), (0.0, 0.1)].map(|(x, y)| Point::new(x, y));
    /// let faults = Outline::new(Chain::polygon(&bow), vec![]).faults();
    /// assert!(faults.iter().any(|f| f.kind == FaultKind::CrossesItself));
    /// ```
    pub fn faults(&self) -> Vec<Fault> {
        let mut faults = vec![];
        let chains: Vec<&Chain> = std::iter::once(&self.outside).chain(&self.holes).collect();
        for (i, chain) in chains.iter().enumerate() {
            own_faults(i, chain, &mut faults);
        }
        // Places of chains mean nothing until each chain is sound.
        if faults.is_empty() {
            self.mutual_faults(&mut faults);
        }
        faults.truncate(MOST_FAULTS);
        faults
    }

    fn mutual_faults(&self, faults: &mut Vec<Fault>) {
        let bounds: Vec<_> = self.holes.iter().map(Chain::bounds_m).collect();
        for (i, hole) in self.holes.iter().enumerate() {
            if faults.len() >= MOST_FAULTS {
                return;
            }
            let mut push = |kind| {
                faults.push(Fault {
                    kind,
                    chain: i + 1,
                    at: hole.start,
                });
            };
            let apart = hole.clearance_m(&self.outside);
            if same(hole, &self.outside) {
                push(FaultKind::Twice);
            } else if apart <= TOUCH_M || !self.outside.holds(hole.start) {
                push(FaultKind::HoleOutside);
            }
            for (j, other) in self.holes.iter().enumerate().take(i) {
                if !boxes_touch(bounds.get(i), bounds.get(j)) {
                    continue;
                }
                if same(hole, other) {
                    push(FaultKind::Twice);
                } else if hole.clearance_m(other) <= TOUCH_M
                    || other.holds(hole.start)
                    || hole.holds(other.start)
                {
                    push(FaultKind::HolesOverlap);
                }
            }
        }
    }

    /// Gives the outline back if it can be cut.
    ///
    /// # Errors
    /// [`Error::Shape`] with the first fault and its place, and how many more there are.
    pub fn checked(self, name: &str) -> Result<Self> {
        let faults = self.faults();
        let Some(first) = faults.first() else {
            return Ok(self);
        };
        let more = match faults.len() - 1 {
            0 => String::new(),
            n => format!(", and {n} more"),
        };
        Err(Error::Shape {
            what: format!("outline of {name}"),
            given: format!("faulty: {first}{more}"),
            allowed: "closed contours that do not cross, holes apart and inside; mend the drawing and read it again".into(),
        })
    }
}

type Bounds = (f64, f64, f64, f64);

fn boxes_touch(one: Option<&Bounds>, two: Option<&Bounds>) -> bool {
    match (one, two) {
        (Some(a), Some(b)) => {
            a.0 <= b.2 + TOUCH_M
                && b.0 <= a.2 + TOUCH_M
                && a.1 <= b.3 + TOUCH_M
                && b.1 <= a.3 + TOUCH_M
        }
        _ => false,
    }
}

/// Whether two chains run along one another everywhere.
fn same(one: &Chain, two: &Chain) -> bool {
    let close = |a: f64, b: f64, by: f64| (a - b).abs() <= by;
    let (a, b) = (one.bounds_m(), two.bounds_m());
    close(a.0, b.0, TOUCH_M)
        && close(a.1, b.1, TOUCH_M)
        && close(a.2, b.2, TOUCH_M)
        && close(a.3, b.3, TOUCH_M)
        && close(
            one.area_m2().abs(),
            two.area_m2().abs(),
            TOUCH_M * one.length_m(),
        )
        && one
            .segments
            .iter()
            .all(|s| two.distance_m(s.end()) <= TOUCH_M)
        && two
            .segments
            .iter()
            .all(|s| one.distance_m(s.end()) <= TOUCH_M)
}

/// Faults of one chain by itself.
fn own_faults(index: usize, chain: &Chain, faults: &mut Vec<Fault>) {
    let mut push = |kind, at| {
        if faults.len() < MOST_FAULTS {
            faults.push(Fault {
                kind,
                chain: index,
                at,
            });
        }
    };
    if chain.segments.len() > MOST_PIECES {
        return push(FaultKind::TooManyPieces, chain.start);
    }
    let placed = |p: Point| p.x_m.abs() <= LARGEST_M && p.y_m.abs() <= LARGEST_M;
    if !placed(chain.start) {
        return push(FaultKind::NoPlace, chain.start);
    }
    let mut sound = true;
    for (start, segment) in chain.pieces() {
        let end = segment.end();
        if !placed(end) {
            return push(FaultKind::NoPlace, start);
        }
        if let Segment::Arc {
            centre, sweep_rad, ..
        } = *segment
        {
            let r = start.distance_m(centre);
            // A flat arc has its centre far away; beyond this it is a line to any tool.
            if !(r.is_finite() && r < 1e6 && sweep_rad.is_finite()) {
                return push(FaultKind::NoPlace, start);
            }
            let from = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
            if centre.polar(from + sweep_rad, r).distance_m(end) > TOUCH_M {
                push(FaultKind::Open, end);
                sound = false;
            }
        }
    }
    let last = chain.segments.last().map_or(chain.start, Segment::end);
    if last.distance_m(chain.start) > TOUCH_M {
        push(FaultKind::Open, last);
        sound = false;
    }
    if !sound {
        return;
    }
    // A piece shorter than the touching distance would seem to touch the one after it.
    let pieces: Vec<Piece> = chain
        .piece_list()
        .into_iter()
        .filter(|p| p.length() > TOUCH_M)
        .collect();
    let touches = self_touches(&pieces);
    for &at in &touches {
        push(FaultKind::CrossesItself, at);
    }
    // A sliver narrower than the touching distance.
    let sliver = chain.area_m2().abs() <= TOUCH_M * chain.length_m().max(TOUCH_M);
    if touches.is_empty() && sliver {
        push(FaultKind::NoArea, chain.start);
    }
}

/// Where pieces of one chain touch that are not neighbours, or neighbours beyond their common end.
fn self_touches(pieces: &[Piece]) -> Vec<Point> {
    let n = pieces.len();
    let mut order: Vec<(usize, Bounds, &Piece)> = pieces
        .iter()
        .enumerate()
        .map(|(i, p)| (i, p.bounds(), p))
        .collect();
    order.sort_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let mut found = vec![];
    for (k, (i, a, one)) in order.iter().enumerate() {
        for (j, b, two) in order.iter().skip(k + 1) {
            if b.0 > a.2 + TOUCH_M {
                break;
            }
            if b.1 > a.3 + TOUCH_M || a.1 > b.3 + TOUCH_M {
                continue;
            }
            let (first, second) = (*i.min(j), *i.max(j));
            let neighbours = second - first == 1 || (first == 0 && second == n - 1);
            let touch = if neighbours {
                neighbours_touch(one, two)
            } else if one.clearance(two) <= TOUCH_M {
                let (p, _) = two.ends();
                one.crossings(two)
                    .first()
                    .copied()
                    .or_else(|| Some(one.nearest(p)))
            } else {
                None
            };
            if let Some(at) = touch {
                found.push(at);
                if found.len() >= MOST_FAULTS {
                    return found;
                }
            }
        }
    }
    found
}

/// Where two neighbours meet besides their common ends.
fn neighbours_touch(one: &Piece, two: &Piece) -> Option<Point> {
    let (a, b) = one.ends();
    let (c, d) = two.ends();
    let common = |p: Point| {
        (p.distance_m(a) <= 10.0 * TOUCH_M || p.distance_m(b) <= 10.0 * TOUCH_M)
            && (p.distance_m(c) <= 10.0 * TOUCH_M || p.distance_m(d) <= 10.0 * TOUCH_M)
    };
    let crossing = one.crossings(two).into_iter().find(|&p| !common(p));
    // A spike folds back on itself: the far end of one lies on the other.
    let folded = [(a, two), (b, two), (c, one), (d, one)]
        .into_iter()
        .find(|&(p, piece)| !common(p) && piece.distance(p) <= TOUCH_M)
        .map(|(p, _)| p);
    crossing.or(folded)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::Circle;
    use proptest::prelude::*;

    fn disc(x: f64, y: f64, r: f64) -> Chain {
        Chain::circle(Circle {
            centre: Point::new(x, y),
            radius_m: r,
        })
    }

    fn kinds(outline: &Outline) -> Vec<FaultKind> {
        outline.faults().iter().map(|f| f.kind).collect()
    }

    #[test]
    fn each_fault_is_found_at_its_place() {
        let plate = Chain::rounded_rectangle(Point::new(0.0, 0.0), 0.2, 0.1, 0.01);
        let with = |holes: Vec<Chain>| kinds(&Outline::new(plate.clone(), holes));
        assert_eq!(with(vec![disc(0.0, 0.0, 0.02), disc(0.06, 0.0, 0.02)]), []);
        assert_eq!(with(vec![disc(0.3, 0.0, 0.02)]), [FaultKind::HoleOutside]);
        assert_eq!(with(vec![disc(0.09, 0.0, 0.02)]), [FaultKind::HoleOutside]);
        assert_eq!(
            with(vec![disc(0.0, 0.0, 0.02), disc(0.03, 0.0, 0.02)]),
            [FaultKind::HolesOverlap]
        );
        assert_eq!(
            with(vec![disc(0.0, 0.0, 0.02), disc(0.0, 0.0, 0.01)]),
            [FaultKind::HolesOverlap]
        );
        assert_eq!(
            with(vec![disc(0.0, 0.0, 0.02), disc(0.0, 0.0, 0.02)]),
            [FaultKind::Twice]
        );
        assert_eq!(with(vec![plate.clone()]), [FaultKind::Twice]);
        let open = Chain {
            start: Point::new(0.0, 0.0),
            segments: vec![
                Segment::Line {
                    end: Point::new(0.1, 0.0),
                },
                Segment::Line {
                    end: Point::new(0.1, 0.1),
                },
            ],
        };
        let faults = Outline::new(open, vec![]).faults();
        assert_eq!(faults[0].kind, FaultKind::Open);
        assert!(faults[0].at.distance_m(Point::new(0.1, 0.1)) < 1e-12);
        let spike =
            [(0.0, 0.0), (0.1, 0.0), (0.1, 0.1), (0.1, -0.1)].map(|(x, y)| Point::new(x, y));
        assert!(
            kinds(&Outline::new(Chain::polygon(&spike), vec![]))
                .contains(&FaultKind::CrossesItself)
        );
        let lost = [(0.0, 0.0), (f64::NAN, 0.0), (0.1, 0.1)].map(|(x, y)| Point::new(x, y));
        assert_eq!(
            kinds(&Outline::new(Chain::polygon(&lost), vec![])),
            [FaultKind::NoPlace]
        );
        assert_eq!(
            kinds(&Outline::new(Chain::polygon(&[]), vec![])),
            [FaultKind::NoArea]
        );
    }

    proptest! {
        #[test]
        fn sound_shapes_have_no_fault(
            w in 0.02..0.5_f64, h in 0.02..0.5_f64, r in 0.0..0.3_f64, ratio in 0.2..5.0_f64, turn in 0.0..7.0_f64,
        ) {
            let placement = crate::outline::Placement { turn_rad: turn, x_m: 0.3, y_m: -0.2 };
            for chain in [
                Chain::rounded_rectangle(Point::new(0.1, 0.0), w, h, r),
                Chain::ellipse(Point::new(0.1, 0.0), w, w * ratio, 1e-5),
                Chain::slot(Point::new(0.0, 0.0), w + h, h, turn),
            ] {
                let faults = Outline::new(chain, vec![]).placed(placement).faults();
                prop_assert!(faults.is_empty(), "{:?}", faults);
            }
        }
    }
}
