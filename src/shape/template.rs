//! Templates made from a blank: card to try on the vehicle, and a pattern to guide the router.

use serde::{Deserialize, Serialize};

use super::bend::inner_length_m;
use super::blank::{Bend, Blank, Faces, Grain, Mark, Toward};
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

/// How much longer thin card has to be than the flat drawing of a bent part, to lie where the part will lie. [m]
///
/// Both have the same face towards the vehicle; their neutral axes do not lie alike off it, so that each bend takes another
/// length: the difference of the neutral radii times the angle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct CardGap {
    /// Over the bends whose inside is the vehicle's: less card than drawn.
    pub over_m: f64,
    /// At the feet, rounded as the sheet is: more card than drawn.
    pub feet_m: f64,
    /// At the feet, creased sharp.
    pub creased_m: f64,
}

impl CardGap {
    /// From end to end, feet rounded. [m]
    pub fn whole_m(self) -> f64 {
        self.over_m + self.feet_m
    }

    /// From end to end, feet creased. [m]
    pub fn whole_creased_m(self) -> f64 {
        self.over_m + self.creased_m
    }
}

/// What card of `card_m` takes more in the bends of a sheet of `sheet_m`, whose neutral axis lies at `neutral_fraction`.
///
/// ```
/// use mountwright::shape::strap::{Leg, StrapAsk, strap};
/// use mountwright::shape::template::card_gap;
/// let leg = Leg::flat(0.034, 0.025, 0.020, 0.025);
/// let made = strap(&StrapAsk::new("left pod strap", 0.003, 0.025, leg, leg))?;
/// let gap = card_gap(&made.blank.bends, 0.003, 0.5, 0.001);
/// // 1 mm nearer to the body over the whole crown, and as much farther out in the feet: tabs in one plane turn alike.
/// assert!((gap.over_m + 0.001 * made.blank.bends[0].angle_rad).abs() < 1e-12);
/// assert!(gap.whole_m().abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn card_gap(bends: &[Bend], sheet_m: f64, neutral_fraction: f64, card_m: f64) -> CardGap {
    let mut gap = CardGap {
        over_m: 0.0,
        feet_m: 0.0,
        creased_m: 0.0,
    };
    for bend in bends {
        let (angle, inside_m) = (bend.angle_rad, bend.inside_radius_m);
        // How far the sheet's neutral axis lies off its inside face, and the card's off its own.
        let (sheet_off_m, card_off_m) = (neutral_fraction * sheet_m, 0.5 * card_m);
        match bend.toward {
            Toward::Back => gap.over_m += angle * (card_off_m - sheet_off_m),
            Toward::Show => {
                let drawn_m = inner_length_m(angle, inside_m, sheet_m, neutral_fraction);
                let round_m = inside_m + sheet_m - card_m;
                gap.feet_m += inner_length_m(angle, round_m, card_m, 0.5) - drawn_m;
                // A crease runs on along both tangents to where they meet.
                gap.creased_m += 2.0 * round_m * (angle / 2.0).tan() + angle * card_off_m - drawn_m;
            }
        }
    }
    gap
}

/// What the note of a strap's card is about that tells how card differs from sheet.
pub const CARD_GAP: &str = "card against sheet";

/// The card template of a strap, with how much longer or shorter card comes out than the sheet that it stands for.
pub fn strap_card(blank: &Blank, neutral_fraction: f64) -> Blank {
    let mut made = card(blank);
    let gap = card_gap(
        &blank.bends,
        blank.thickness_m,
        neutral_fraction,
        made.thickness_m,
    );
    made.notes.push(Note::new(CARD_GAP, gap_words(&made, gap)));
    made
}

/// What a person does about the difference.
fn gap_words(card: &Blank, gap: CardGap) -> String {
    let fits = |m: f64| match (m * 1e4).round() / 10.0 {
        0.0 => "it fits as drawn".into(),
        mm if mm > 0.0 => format!("it is {mm:.1} mm short"),
        mm => format!("it is {:.1} mm long", -mm),
    };
    format!(
        "card of {:.1} mm wraps nearer than the sheet: its lines stand {:.1} mm far out on each side; tab to tab {} with feet rounded, {} creased; leave that, cut as drawn",
        card.thickness_m * 1e3,
        -gap.over_m * 5e2,
        fits(gap.whole_m()),
        fits(gap.whole_creased_m())
    )
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::Point;
    use crate::shape::strap::{Leg, StrapAsk, strap};

    /// With the neutral axis in the middle, as a limp strap has it: elsewhere `strap` draws the flank itself a little turned.
    ///
    /// A strap of card thickness that shares the face towards the vehicle, developed by itself, differs from the sheet's by the closed form.
    #[test]
    fn card_differs_by_the_neutral_radii_times_the_angles() {
        for (t, k, foot, tilt) in [
            (0.003, 0.5, 0.006, 0.0),
            (0.003, 0.5, 0.006, 0.15),
            (0.006, 0.5, 0.012, -0.1),
        ] {
            let (card, body) = (0.001, 0.025);
            let leg = |tilt_rad: f64| Leg {
                tilt_rad,
                ..Leg::flat(0.045, 0.027, 0.022, 0.024)
            };
            let of = |thickness_m: f64, bend_radius_m: f64, neutral_fraction: f64| {
                let ask = StrapAsk {
                    neutral_fraction,
                    bend_radius_m,
                    bend_radius_over_t: 0.0,
                    middle_length_m: 0.02,
                    ..StrapAsk::new("s", thickness_m, body, leg(tilt), leg(0.0))
                };
                strap(&ask).unwrap()
            };
            let sheet = of(t, foot, k);
            let thin = of(card, foot + t - card, 0.5);
            let gap = card_gap(&sheet.blank.bends, t, k, card);
            let whole = thin.developed_length_m - sheet.developed_length_m;
            assert!(
                (gap.whole_m() - whole).abs() < 1e-9,
                "{t} {k} {tilt}: {whole}"
            );
            let crown = thin.blank.bends[0].allowance_m - sheet.blank.bends[0].allowance_m;
            assert!((gap.over_m - crown).abs() < 1e-9, "{t} {k}: {crown}");
            // Two straight ways are longer than the round between them.
            assert!(gap.creased_m > gap.feet_m);
        }
    }

    /// A right angle by hand: 9 mm of back radius, so 8 mm of tangent twice, and a quarter of a turn at half of the card.
    #[test]
    fn a_creased_foot_runs_to_its_corner() {
        let point = Point::new(0.0, 0.0);
        let bend = Bend {
            name: "foot".into(),
            begins: (point, point),
            ends: (point, point),
            inside_radius_m: 0.006,
            angle_rad: std::f64::consts::FRAC_PI_2,
            toward: Toward::Show,
            allowance_m: 0.0,
            outer_strain: 0.0,
        };
        let gap = card_gap(&[bend], 0.003, 0.5, 0.001);
        let quarter = std::f64::consts::FRAC_PI_2;
        let by_hand = 0.016 + quarter * 0.0005 - quarter * 0.0075;
        assert!((gap.creased_m - by_hand).abs() < 1e-12);
    }
}
