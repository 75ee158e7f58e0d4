//! Whether a blank looks the same from both faces, so that one drawing serves both.

use super::blank::{Blank, Faces, Hand, HoleKind, Mark};
use crate::outline::{Chain, Point};

/// How far the two views may differ: far below what is cut. [m]
const SAME_M: f64 = 1e-6;
/// Points along a chain that are held against it, beside the ends of its pieces.
const POINTS: u32 = 97;

impl Blank {
    /// Whether its back shows the same as its show face: it serves on both sides, its faces are alike, nothing is bent or cut
    /// into one face, and its edges and holes are their own mirror image in the y axis.
    ///
    /// ```
    /// use mountwright::outline::Point;
    /// use mountwright::shape::{Faces, Form, Grain, Hand, panel::{Hole, PanelAsk, panel}};
    /// let with_hole_at = |x_m: f64| panel(&PanelAsk { name: "cover".into(), hand: Hand::Either, thickness_m: 0.003,
    ///     outer: Form::Circle { diameter_m: 0.1 }, cutouts: vec![], holes: vec![Hole::round("screw", Point::new(x_m, 0.03), 0.004)],
    ///     finish_m: 0.0, faces: Faces::Alike, grain: Grain::Free });
    /// assert!(with_hole_at(0.0)?.blank.looks_alike_from_the_back());
    /// assert!(!with_hole_at(0.01)?.blank.looks_alike_from_the_back());
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn looks_alike_from_the_back(&self) -> bool {
        let one_face = |mark: &Mark| matches!(mark, Mark::Contour { .. } | Mark::Text { .. });
        let holes = &self.outline.holes;
        self.hand == Hand::Either
            && self.faces == Faces::Alike
            && self.bends.is_empty()
            && !self.marks.iter().any(one_face)
            && lies_on(&self.outline.outside, &self.outline.outside)
            && holes.iter().all(|a| holes.iter().any(|b| lies_on(a, b)))
            && self.drilled_alike()
    }

    /// Whether each drilled hole has its like on the other side of the y axis.
    fn drilled_alike(&self) -> bool {
        let holes: Vec<(Point, f64, HoleKind)> = self
            .marks
            .iter()
            .filter_map(|mark| match *mark {
                Mark::Hole {
                    kind,
                    centre,
                    diameter_m,
                    ..
                } => Some((centre, diameter_m, kind)),
                _ => None,
            })
            .collect();
        holes.iter().all(|(centre, diameter_m, kind)| {
            let there = Point::new(-centre.x_m, centre.y_m);
            holes.iter().any(|(other, wide_m, its)| {
                other.distance_m(there) < SAME_M
                    && (wide_m - diameter_m).abs() < SAME_M
                    && same_slot(*kind, *its)
            })
        })
    }
}

/// Whether one kind of hole is the mirror image of another.
fn same_slot(a: HoleKind, b: HoleKind) -> bool {
    match (a, b) {
        (HoleKind::Round, HoleKind::Round) => true,
        (
            HoleKind::Slot {
                length_m,
                angle_rad,
            },
            HoleKind::Slot {
                length_m: other_m,
                angle_rad: turned_rad,
            },
        ) => (length_m - other_m).abs() < SAME_M && (angle_rad + turned_rad).sin().abs() < 1e-6,
        _ => false,
    }
}

/// Whether the mirror image of `a` lies on `b`.
fn lies_on(a: &Chain, b: &Chain) -> bool {
    let ends = a.pieces().map(|(start, _)| start);
    a.evenly(POINTS)
        .into_iter()
        .chain(ends)
        .all(|p| b.distance_m(Point::new(-p.x_m, p.y_m)) < SAME_M)
}
