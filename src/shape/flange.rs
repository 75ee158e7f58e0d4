//! Screws in what stays flat of a formed part: the flange round a pod's rim, the outer flanges of a folded panel.
//!
//! What was formed hot never lies exactly where the flat said, so these holes are marked through the vehicle's at the
//! trial fit and drilled then; the drawing shows where they are to be expected.

use serde::{Deserialize, Serialize};

use super::blank::{Contour, Drill, HoleKind, Mark};
use super::draw::Drawn;
use super::fold::Folded;
use super::hole::slot_play_m;
use crate::error::{Error, Range, Result, check};
use crate::outline::Point;

/// A flange round the rim of a drawn pod.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct RimFlange {
    /// Its width outside the rim after trimming. [m]
    pub width_m: f64,
    /// Screws along its middle, evenly; 2 to 64.
    pub screws: u32,
    /// Diameter of their holes. [m]
    pub hole_m: f64,
}

/// Screws along the free edges of the first and the last flange of a folded panel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct EdgeScrews {
    /// Screws in each of the two flanges; 1 to 64.
    pub each: u32,
    /// From their centres to the free edge. [m]
    pub edge_m: f64,
    /// Diameter of the round hole, and width of the slots. [m]
    pub hole_m: f64,
    /// Linear thermal expansion of the sheet, which the slots allow for; 0 to 1e-3. [1/K]
    pub expansion_1_k: f64,
}

const HOLE: Range = Range::new(1e-3, 0.03, "m");

fn later(name: &str, kind: HoleKind, centre: Point, diameter_m: f64) -> Mark {
    Mark::Hole {
        name: name.into(),
        kind,
        centre,
        diameter_m,
        drill: Drill::AfterTrialFit,
    }
}

/// Leaves a flange on a pod; gives the distance between neighbouring screws. [m]
///
/// # Errors
/// [`Error::OutOfRange`] for a flange that the clamped edge does not hold, or too narrow for its holes.
///
/// ```
/// use mountwright::shape::{Faces, Grain, Hand, flange::{RimFlange, rim_flange}};
/// use mountwright::shape::draw::{DrawAsk, Held, Solid, drawn};
/// let mut made = drawn(&DrawAsk {
///     name: "pod".into(), hand: Hand::Left, thickness_m: 0.003,
///     solid: Solid::Dome { rim_m: 0.08, height_m: 0.02 },
///     held: Held::Clamped, edge_m: 0.02, depth_ratio_max: 1.0, faces: Faces::Alike, grain: Grain::Free,
/// })?;
/// let pitch_m = rim_flange(&mut made, &RimFlange { width_m: 0.012, screws: 4, hole_m: 0.0045 })?;
/// // A quarter of a circle of 92 mm.
/// assert!((pitch_m - std::f64::consts::PI * 0.092 / 4.0).abs() < 1e-9);
/// assert_eq!(made.blank.holes_after_trial_fit(), 4);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn rim_flange(made: &mut Drawn, flange: &RimFlange) -> Result<f64> {
    let hole = check("hole_m", flange.hole_m, HOLE, "give the clearance hole")?;
    check(
        "flange width_m",
        flange.width_m,
        Range::new(2.0 * hole, made.blank.trim_m, "m"),
        "a flange is twice as wide as its holes, and no wider than the clamped edge that it is cut out of",
    )?;
    let count = f64::from(flange.screws);
    let counted = Range::new(2.0, 64.0, "1");
    check("flange screws", count, counted, "two at least")?;
    let rim = made.blank.marks.iter().find_map(|mark| match mark {
        Mark::Contour {
            what: Contour::Rim,
            chain,
            ..
        } => Some(chain.clone()),
        _ => None,
    });
    let rim = rim.ok_or_else(|| Error::Shape {
        what: made.blank.name.clone(),
        given: "no rim".into(),
        allowed: "a drawn pod".into(),
    })?;
    let middle = rim.offset(flange.width_m / 2.0)?;
    made.blank.marks.push(Mark::Contour {
        what: Contour::Flange,
        chain: rim.offset(flange.width_m)?,
        depth_m: made.blank.thickness_m,
    });
    let screws = middle.evenly(flange.screws).into_iter();
    let marks = screws.map(|centre| later("screw", HoleKind::Round, centre, hole));
    made.blank.marks.extend(marks);
    made.blank.trim_m -= flange.width_m;
    Ok(middle.length_m() / count)
}

/// Puts screws into the outer flanges of a folded panel; gives the greatest distance between neighbours in one flange, or
/// from the only one to the flange's end. [m]
///
/// The first hole is round. The rest are slots along the bend lines, so that the panel may grow in the sun; across them its
/// bends give way.
///
/// # Errors
/// [`Error::OutOfRange`] where a flange has no flat place for them.
pub fn edge_screws(made: &mut Folded, screws: &EdgeScrews) -> Result<f64> {
    let hole = check("hole_m", screws.hole_m, HOLE, "give the clearance hole")?;
    let expansion = check(
        "expansion_1_k",
        screws.expansion_1_k,
        Range::new(0.0, 1e-3, "1/K"),
        "plastics are 5e-5 to 2e-4 1/K",
    )?;
    let each = f64::from(screws.each);
    check(
        "screws in a flange",
        each,
        Range::new(1.0, 64.0, "1"),
        "one at least",
    )?;
    let (left, bottom, right, top) = made.blank.outline.bounds_m();
    let bends = &made.blank.bends;
    let first = bends.iter().map(|b| b.begins.0.x_m);
    let last = bends.iter().map(|b| b.ends.0.x_m);
    let flats = [
        ("first", first.fold(f64::INFINITY, f64::min) - left),
        ("last", right - last.fold(f64::NEG_INFINITY, f64::max)),
    ];
    for (flange, flat_m) in flats {
        check(
            format!("screws to the free edge of the {flange} flange"),
            screws.edge_m,
            Range::new(hole, flat_m - hole, "m"),
            "a screw sits in the flat part of its flange, a hole's width from edge and bend: move it, or make the flange longer",
        )?;
    }
    let pitch = (top - bottom) / each;
    let centres = [left + screws.edge_m, right - screws.edge_m]
        .into_iter()
        .flat_map(|x_m| {
            (0..screws.each).map(move |i| Point::new(x_m, bottom + (f64::from(i) + 0.5) * pitch))
        });
    let fixed_y_m = bottom + 0.5 * pitch;
    let marks = centres.enumerate().map(|(i, centre)| {
        if i == 0 {
            return later("screw, fixed", HoleKind::Round, centre, hole);
        }
        let play_m = slot_play_m(expansion, (centre.y_m - fixed_y_m).abs());
        let kind = HoleKind::Slot {
            length_m: hole + play_m,
            angle_rad: std::f64::consts::FRAC_PI_2,
        };
        later("screw, slotted", kind, centre, hole)
    });
    made.blank.marks.extend(marks);
    Ok(pitch)
}
