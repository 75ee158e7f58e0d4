//! Templates made from a blank: card to try on the vehicle, and a pattern to guide the router.

use serde::{Deserialize, Serialize};

use super::blank::{Blank, Faces, Grain, Mark};
use super::router::template_offset_m;
use crate::error::{Note, Range, Result, check};
use crate::outline::{Outline, Segment};
use crate::sourced::Constant;

/// What follows the template.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Guide {
    /// A bit with a bearing of its own diameter: the template is the part.
    Bearing {
        /// Diameter of the bit. [m]
        bit_m: f64,
    },
    /// A bushing in the router's base: the part is larger than its template by (B − d)/2 all round, a cutout smaller.
    Bushing {
        /// Outside diameter of the bushing, as measured. [m]
        bushing_m: f64,
        /// Diameter of the bit. [m]
        bit_m: f64,
    },
}

impl Guide {
    /// Outside diameter of what rolls along the template, and of the bit. [m]
    fn sizes(self) -> (f64, f64) {
        match self {
            Self::Bearing { bit_m } => (bit_m, bit_m),
            Self::Bushing { bushing_m, bit_m } => (bushing_m, bit_m),
        }
    }
}

/// Card that templates are cut from.
pub const CARD_M: Constant = Constant::practice("template.card", [5e-4, 1e-3, 2e-3], "m");
/// Board that router templates are cut from.
pub const BOARD_M: Constant = Constant::practice("template.board", [4e-3, 6e-3, 12e-3], "m");

/// The card template of a blank: the same flat shape with its bend and trim lines, to be tried on the vehicle before sheet is cut.
pub fn card(blank: &Blank) -> Blank {
    Blank {
        name: format!("{} card template", blank.name),
        thickness_m: CARD_M.value,
        faces: Faces::Alike,
        grain: Grain::Free,
        heated: vec![],
        notes: vec![Note::new(
            "card template",
            if blank.heated.is_empty() {
                "cut it from card first, try it on the vehicle, correct it, then mark the sheet from it"
            } else {
                "cut it from card first, hold it round the dummy on the vehicle, correct it, then mark the sheet from it"
            },
        )],
        ..blank.clone()
    }
}

/// The router template of a blank: its edges and cutouts moved by the guide's offset, hole centres marked.
///
/// Seen from the show face as the blank; with the router on the back, print the mirrored view.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a tool that cannot be, [`crate::Error::Shape`] where a feature is too small for the offset.
///
/// ```
/// use mountwright::outline::Point;
/// use mountwright::shape::{Faces, Form, Grain, Hand, panel::{Cutout, PanelAsk, panel}, template::{Guide, router}};
/// let made = panel(&PanelAsk { name: "ring".into(), hand: Hand::Either, thickness_m: 0.0125,
///     outer: Form::Circle { diameter_m: 0.176 },
///     cutouts: vec![Cutout { name: "driver".into(), form: Form::Circle { diameter_m: 0.142 }, at: Point::new(0.0, 0.0), turn_rad: 0.0 }],
///     holes: vec![], finish_m: 0.0, faces: Faces::Alike, grain: Grain::Free })?;
/// let template = router(&made.blank, Guide::Bushing { bushing_m: 0.016, bit_m: 0.00635 })?;
/// // The cutout of 142 mm wants a hole of 142 + 16 − 6.35 = 151.65 mm in the template.
/// let (left, _, right, _) = template.outline.holes[0].bounds_m();
/// assert!((right - left - 0.15165).abs() < 1e-9);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn router(blank: &Blank, guide: Guide) -> Result<Blank> {
    let (roll_m, bit_m) = guide.sizes();
    check(
        "bit_m",
        bit_m,
        Range::new(1e-3, 0.025, "m"),
        "measure the bit",
    )?;
    check(
        "bushing_m",
        roll_m,
        Range::new(bit_m, 0.06, "m"),
        "the bit must pass through its bushing: measure the bushing's outside",
    )?;
    let offset_m = template_offset_m(roll_m, bit_m);
    let outline = blank.routed().offset(-offset_m)?;
    let mut notes = vec![Note::new(
        "router template",
        if offset_m > 0.0 {
            format!(
                "for a bushing of {:.2} mm and a bit of {:.2} mm: its edges stand {:.2} mm inside the part's, its openings are as much wider; measure both tools, bushings differ by 0.1 mm",
                roll_m * 1e3,
                bit_m * 1e3,
                offset_m * 1e3
            )
        } else {
            "for a bit whose bearing is as large as the bit: its edges are those of the part".into()
        },
    )];
    let corner = least_inside_corner_m(&outline);
    if corner < roll_m / 2.0 - 1e-9 {
        notes.push(Note::new(
            "inside corners",
            format!(
                "the guide does not reach into inside corners below {:.1} mm radius: they come out rounder, at least {:.1} mm; file them",
                roll_m * 5e2,
                bit_m * 5e2
            ),
        ));
    }
    // Seen from the other side, an outside corner is an inside one.
    let turned = Outline {
        outside: blank.outline.outside.reversed(),
        holes: vec![],
    };
    if offset_m > 0.0 && least_inside_corner_m(&turned) < offset_m - 1e-9 {
        notes.push(Note::new(
            "outside corners",
            format!(
                "the bushing rolls round the template's corners: the part's come out rounded by {:.1} mm at least",
                offset_m * 1e3
            ),
        ));
    }
    Ok(Blank {
        name: format!("{} router template", blank.name),
        cut_length_m: outline.edge_length_m(),
        outline,
        thickness_m: BOARD_M.value,
        faces: Faces::Alike,
        grain: Grain::Free,
        heated: vec![],
        bends: vec![],
        trim_m: 0.0,
        marks: blank
            .marks
            .iter()
            .filter(|m| matches!(m, Mark::Hole { .. } | Mark::CentreLine { .. }))
            .cloned()
            .collect(),
        notes,
        ..blank.clone()
    })
}

/// Least radius of the corners into which a guide must reach; infinite where there are none. [m]
pub(super) fn least_inside_corner_m(outline: &Outline) -> f64 {
    let mut least = f64::INFINITY;
    for chain in std::iter::once(&outline.outside).chain(&outline.holes) {
        let pieces: Vec<(crate::outline::Point, &Segment)> = chain.pieces().collect();
        for (i, (start, segment)) in pieces.iter().enumerate() {
            // Outsides run counter-clockwise and holes clockwise: a turn to the right is an inside corner of both.
            if let Segment::Arc {
                centre, sweep_rad, ..
            } = segment
                && *sweep_rad < 0.0
            {
                least = least.min(start.distance_m(*centre));
            }
            let Some((next, after)) = pieces.get((i + 1) % pieces.len()) else {
                continue;
            };
            let one = crate::outline::Piece::new(*start, segment);
            let two = crate::outline::Piece::new(*next, after);
            let (_, (ux, uy)) = one.directions();
            let ((vx, vy), _) = two.directions();
            let turn = (ux * vy - uy * vx).atan2(ux * vx + uy * vy);
            if turn < -0.02 {
                least = 0.0;
            }
        }
    }
    least
}
