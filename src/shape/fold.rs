//! A panel folded along parallel lines: flat length, setbacks, heated strips, order of bends.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::bend::{inner_length_m, outer_strain, outer_thinning};
use super::blank::{Bend, Blank, Faces, Grain, Hand, HeatedZone, Toward};
use super::limits;
use crate::error::{Error, Note, Range, Result, check};
use crate::outline::{Chain, Outline, Piece, Point, Segment};
use crate::sourced::{Constant, Standing};

/// Clear sheet beside a bend line of foamed PVC, over the thickness.
pub const FOAM_BORDER_OVER_T: Constant = Constant {
    name: "fold.foam_border_over_t",
    value: 20.0,
    low: 10.0,
    high: 20.0,
    unit: "1",
    source: "fabrication guide of foamed PVC sheet, page on line bending",
    standing: Standing::Published,
};

/// How far a line bend opens again after a cool hold.
pub const SPRINGBACK_RAD: Constant = Constant {
    name: "fold.springback",
    value: 2.0 * PI / 180.0,
    low: PI / 180.0,
    high: 3.0 * PI / 180.0,
    unit: "rad",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// K of a line bend heated from outside and free to move.
pub const NEUTRAL_HOT: Constant = Constant {
    name: "fold.neutral_hot",
    value: 0.45,
    low: 0.33,
    high: 0.5,
    unit: "1",
    source: "between the middle of a sheet that is limp through and that of one whose inside face is cold; inferred, no source was found",
    standing: Standing::Derived,
};

/// Where the neutral axis of a fold lies.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Neutral {
    /// K, a share of the thickness from the inside face: 0.45 for a line bend heated from outside, 0.33 to 0.4 with a cold inside (inferred, no source).
    Fixed(f64),
    /// DIN 6935, for cold metal: `k = 0.65 + 0.5 log10(r/s)`, at most 1; K is half of it.
    Din6935,
}

impl Neutral {
    /// K for an inside radius and a thickness.
    ///
    /// ```
    /// use mountwright::shape::fold::Neutral;
    /// assert!((2.0 * Neutral::Din6935.fraction(6.0, 3.0) - 0.8005).abs() < 5e-5);
    /// ```
    pub fn fraction(self, inside_radius_m: f64, thickness_m: f64) -> f64 {
        match self {
            Self::Fixed(k) => k,
            Self::Din6935 => {
                let k = 0.65 + 0.5 * (inside_radius_m / thickness_m).log10();
                k.clamp(0.0, 1.0) / 2.0
            }
        }
    }
}

/// One fold between two flanges.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Fold {
    /// Angle that the sheet turns through, above 0 to 170°. [rad]
    pub angle_rad: f64,
    /// Inside radius. [m]
    pub inside_radius_m: f64,
    /// Which way the flaps go.
    pub toward: Toward,
}

/// What a folded panel is asked to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FoldAsk {
    /// Name of the blank.
    pub name: String,
    /// The side of the vehicle that it is for.
    pub hand: Hand,
    /// Sheet thickness; 0.3 mm to 25 mm. [m]
    pub thickness_m: f64,
    /// Length along the bend lines. [m]
    pub width_m: f64,
    /// Flanges from left to right, measured outside to where the outer faces would meet. [m]
    pub flanges_m: Vec<f64>,
    /// Folds between them: one fewer than flanges.
    pub folds: Vec<Fold>,
    /// Where the neutral axis lies.
    pub neutral: Neutral,
    /// Least inside radius of the material over its thickness.
    pub bend_radius_over_t: f64,
    /// Clear sheet that each bend needs beside its line, over the thickness; 0 where nothing is known.
    pub border_over_t: f64,
    /// How far a bend opens again. [rad]
    pub springback_rad: f64,
    /// Thickness that the finish adds to every edge. [m]
    pub finish_m: f64,
    /// The faces of the sheet.
    pub faces: Faces,
    /// The direction in the sheet.
    pub grain: Grain,
}

/// A folded panel laid flat.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Folded {
    /// The blank; its bends stand in the order in which they are made, outermost first.
    pub blank: Blank,
    /// Flat length across the bends. [m]
    pub flat_length_m: f64,
    /// What each fold takes off the sum of the outside lengths, `2 OSSB − BA`, from left to right. [m]
    pub deductions_m: Vec<f64>,
    /// Angle to press each fold to, from left to right: the angle and what springs back. [rad]
    pub press_to_rad: Vec<f64>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// Outside setback, `(R + t) tan(a/2)`. [m]
pub fn setback_m(angle_rad: f64, inside_radius_m: f64, thickness_m: f64) -> f64 {
    (inside_radius_m + thickness_m) * (angle_rad / 2.0).tan()
}

/// Width of the strip to heat: the arc at mid-thickness and a thickness more, `a (R + t/2) + t` (common practice, no source). [m]
pub fn heated_width_m(angle_rad: f64, inside_radius_m: f64, thickness_m: f64) -> f64 {
    angle_rad * (inside_radius_m + thickness_m / 2.0) + thickness_m
}

/// Lays a folded panel flat.
///
/// # Errors
/// [`Error::OutOfRange`] for a size that cannot be, a radius below the least of the material, a flange shorter than its
/// setbacks; [`Error::Impossible`] where the folded profile would run into itself.
///
/// ```
/// use mountwright::shape::{Faces, Grain, Hand, Toward};
/// use mountwright::shape::fold::{Fold, FoldAsk, Neutral, folded};
/// let corner = Fold { angle_rad: std::f64::consts::FRAC_PI_2, inside_radius_m: 0.006, toward: Toward::Show };
/// let made = folded(&FoldAsk {
///     name: "bracket".into(), hand: Hand::Either, thickness_m: 0.003, width_m: 0.08,
///     flanges_m: vec![0.05, 0.08], folds: vec![corner], neutral: Neutral::Din6935,
///     bend_radius_over_t: 2.0, border_over_t: 0.0, springback_rad: 0.035, finish_m: 0.0,
///     faces: Faces::Alike, grain: Grain::Free,
/// })?;
/// // 50 + 80 − 2 · 9 + 11.311 mm
/// assert!((made.flat_length_m - 0.123311).abs() < 1e-6);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn folded(ask: &FoldAsk) -> Result<Folded> {
    checked(ask)?;
    let t = ask.thickness_m;
    let spans = spans(ask)?;
    collides(ask, &spans)?;
    let flat: f64 = spans.iter().map(|s| s.flat_m + s.bend_m).sum::<f64>() - 2.0 * ask.finish_m;
    let half = ask.width_m / 2.0 - ask.finish_m;
    let outline = Outline::new(
        Chain::rounded_rectangle(Point::new(0.0, 0.0), flat, 2.0 * half, 0.0),
        vec![],
    );
    let mut bends = vec![];
    let mut heated = vec![];
    let mut x = -flat / 2.0 - ask.finish_m;
    for (i, (span, fold)) in spans.iter().zip(&ask.folds).enumerate() {
        let begins = x + span.flat_m;
        let ends = begins + span.bend_m;
        x = ends;
        let across = |x: f64| (Point::new(x, -half), Point::new(x, half));
        let k = ask.neutral.fraction(fold.inside_radius_m, t);
        bends.push(Bend {
            name: format!("fold {}", i + 1),
            begins: across(begins),
            ends: across(ends),
            inside_radius_m: fold.inside_radius_m,
            angle_rad: fold.angle_rad,
            toward: fold.toward,
            allowance_m: span.bend_m,
            outer_strain: outer_strain(fold.inside_radius_m, t, k),
        });
        // A strip beside a short flange ends with the sheet.
        let wanted = heated_width_m(fold.angle_rad, fold.inside_radius_m, t);
        let middle = f64::midpoint(begins, ends);
        let (from, to) = (
            (middle - wanted / 2.0).max(-flat / 2.0),
            (middle + wanted / 2.0).min(flat / 2.0),
        );
        let strip = to - from;
        let centre = Point::new(f64::midpoint(from, to), 0.0);
        let chain = Chain::rounded_rectangle(centre, strip, 2.0 * half, 0.0);
        heated.push(HeatedZone {
            name: format!("strip of fold {}", i + 1),
            length_m: strip,
            width_m: 2.0 * half,
            area_m2: chain.area_m2(),
            chain,
        });
    }
    // Outermost first: a flange that stands already is then never between the heater and the next line.
    let from_middle = |bend: &Bend| f64::midpoint(bend.begins.0.x_m, bend.ends.0.x_m).abs();
    bends.sort_by(|a, b| from_middle(b).total_cmp(&from_middle(a)));
    let tightest = ask.folds.iter().map(|f| f.inside_radius_m).reduce(f64::min);
    let thinning = ask
        .folds
        .iter()
        .map(|f| {
            outer_thinning(
                f.inside_radius_m,
                t,
                ask.neutral.fraction(f.inside_radius_m, t),
            )
        })
        .fold(0.0, f64::max);
    let notes = remarks(ask, &spans);
    Ok(Folded {
        flat_length_m: flat,
        deductions_m: ask
            .folds
            .iter()
            .zip(&spans)
            .map(|(f, s)| 2.0 * setback_m(f.angle_rad, f.inside_radius_m, t) - s.bend_m)
            .collect(),
        press_to_rad: ask
            .folds
            .iter()
            .map(|f| f.angle_rad + ask.springback_rad)
            .collect(),
        blank: Blank {
            name: ask.name.clone(),
            cut_length_m: outline.edge_length_m(),
            outline,
            thickness_m: t,
            hand: ask.hand,
            marks: vec![],
            bends,
            heated,
            faces: ask.faces,
            grain: ask.grain,
            developed_length_m: Some(flat),
            thinning_fraction: thinning,
            least_radius_m: tightest,
            trim_m: 0.0,
            notes: notes.clone(),
        },
        notes,
    })
}

/// The flat part of a flange and the bend after it (0 after the last).
struct Span {
    flat_m: f64,
    bend_m: f64,
}

fn spans(ask: &FoldAsk) -> Result<Vec<Span>> {
    let t = ask.thickness_m;
    let setback = |i: Option<usize>| {
        i.and_then(|i| ask.folds.get(i))
            .map_or(0.0, |f| setback_m(f.angle_rad, f.inside_radius_m, t))
    };
    ask.flanges_m
        .iter()
        .enumerate()
        .map(|(i, &flange)| {
            let taken = setback(i.checked_sub(1)) + setback(Some(i));
            check(
                format!("flanges_m[{i}]"),
                flange,
                Range::computed(taken, 3.0, "m"),
                "the flange is shorter than its bends: make it longer, or its radii smaller",
            )?;
            let bend_m = ask.folds.get(i).map_or(0.0, |f| {
                let k = ask.neutral.fraction(f.inside_radius_m, t);
                inner_length_m(f.angle_rad, f.inside_radius_m, t, k)
            });
            Ok(Span {
                flat_m: flange - taken,
                bend_m,
            })
        })
        .collect()
}

/// Folds the middle line up and looks whether it meets itself.
fn collides(ask: &FoldAsk, spans: &[Span]) -> Result<()> {
    let t = ask.thickness_m;
    let mut at = Point::new(0.0, 0.0);
    let mut heading: f64 = 0.0;
    let mut pieces: Vec<Piece> = vec![];
    // Where each piece ends along the middle line. [m]
    let mut ends: Vec<f64> = vec![];
    let mut along = 0.0;
    for (i, span) in spans.iter().enumerate() {
        let end = at.polar(heading, span.flat_m);
        pieces.push(Piece::new(at, &Segment::Line { end }));
        along += span.flat_m;
        ends.push(along);
        at = end;
        if let Some(fold) = ask.folds.get(i) {
            let turn = match fold.toward {
                Toward::Show => fold.angle_rad,
                Toward::Back => -fold.angle_rad,
            };
            let r = fold.inside_radius_m + t / 2.0;
            let centre = at.polar(heading + PI / 2.0 * turn.signum(), r);
            heading += turn;
            let end = centre.polar(heading - PI / 2.0 * turn.signum(), r);
            pieces.push(Piece::new(
                at,
                &Segment::Arc {
                    end,
                    centre,
                    sweep_rad: turn,
                },
            ));
            along += r * fold.angle_rad;
            ends.push(along);
            at = end;
        }
    }
    for (i, one) in pieces.iter().enumerate() {
        // Neighbours meet by design, and what lies as near along the sheet has not come back to itself: round half a turn
        // the way is longer than the gap by π/2.
        for (j, two) in pieces.iter().enumerate().skip(i + 3) {
            let way = (ends.get(j - 1).zip(ends.get(i))).map_or(0.0, |(to, from)| to - from);
            let gap = one.clearance(two);
            if gap < t && gap < way / 1.5 {
                return Err(Error::Impossible {
                    what: format!("folding {}", ask.name),
                    why: "the folded profile runs into itself".into(),
                    remedy: "make the end flanges shorter or the angles smaller".into(),
                });
            }
        }
    }
    Ok(())
}

fn remarks(ask: &FoldAsk, spans: &[Span]) -> Vec<Note> {
    let mut notes = vec![];
    let border = ask.border_over_t * ask.thickness_m;
    for (i, span) in spans.iter().enumerate() {
        if span.flat_m < border {
            notes.push(Note::new(
                format!("flange {}", i + 1),
                format!(
                    "{:.0} mm of flat sheet beside a bend line that wants {:.0} mm: clamp it so that it does not warp, or cut it back after bending",
                    span.flat_m * 1e3,
                    border * 1e3
                ),
            ));
        }
    }
    if ask.neutral == Neutral::Din6935 {
        notes.push(Note::new(
            "DIN 6935",
            "made for cold metal; bend a strip of the shop's own sheet and measure before cutting to size",
        ));
    }
    notes
}

fn checked(ask: &FoldAsk) -> Result<()> {
    let t = limits::formed_thickness(ask.thickness_m)?;
    if ask.folds.is_empty() || ask.flanges_m.len() != ask.folds.len() + 1 || ask.folds.len() > 50 {
        return Err(Error::Shape {
            what: "flanges and folds".into(),
            given: format!(
                "{} flanges and {} folds",
                ask.flanges_m.len(),
                ask.folds.len()
            ),
            allowed: "1 to 50 folds, and one flange more than folds".into(),
        });
    }
    limits::edge_finish(ask.finish_m)?;
    check(
        "width_m",
        ask.width_m,
        Range::new(5e-3, 3.0, "m"),
        "give the length along the bend lines",
    )?;
    check(
        "border_over_t",
        ask.border_over_t,
        Range::new(0.0, 100.0, "1"),
        "20 for foamed PVC",
    )?;
    check(
        "springback_rad",
        ask.springback_rad,
        Range::new(0.0, 0.5, "rad"),
        "1° to 3° is usual for a line bend held until cool",
    )?;
    limits::bend_radius_over_t(ask.bend_radius_over_t)?;
    if let Neutral::Fixed(k) = ask.neutral {
        check(
            "neutral",
            k,
            Range::new(0.0, 0.5, "1"),
            "0.45 for a line bend heated from outside",
        )?;
    }
    for (i, fold) in ask.folds.iter().enumerate() {
        check(
            format!("folds[{i}].angle_rad"),
            fold.angle_rad,
            Range::new(1e-3, 170_f64.to_radians(), "rad"),
            "outside lengths have no meaning for a fold that nearly closes",
        )?;
        check(
            format!("folds[{i}].inside_radius_m"),
            fold.inside_radius_m,
            Range::new(
                (ask.bend_radius_over_t * t * (1.0 - 1e-9)).max(0.0),
                0.5,
                "m",
            ),
            "the material cracks or crushes in a tighter bend: take a larger radius, thinner sheet or another material",
        )?;
    }
    Ok(())
}
