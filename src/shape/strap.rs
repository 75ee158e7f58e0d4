//! A strap wrapped round a body over foam, with two tabs that are screwed down.

use std::f64::consts::PI;

use serde::Serialize;

use super::bend::{outer_strain, outer_thinning};
use super::blank::{Blank, Faces, Grain, Hand};
use super::strap_pattern::Pattern;
use crate::error::{Error, Note, Range, Result, check};

/// One leg, from the top of the body down to its tab. The other leg may differ in everything.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Leg {
    /// Distance of the foot bend's centre from the body's axis, along the plane; 5 mm to 1 m. [m]
    pub foot_m: f64,
    /// Height of the body's centre over the underside of this tab, at the foot. [m]
    pub centre_height_m: f64,
    /// Straight length of the tab beyond the foot bend; 3 mm to 0.3 m. [m]
    pub tab_m: f64,
    /// Width at the tab; 5 mm to 0.5 m. [m]
    pub end_width_m: f64,
    /// How far the tab's plane falls away outwards; negative rises; within 1 rad. [rad]
    pub tilt_rad: f64,
}

impl Leg {
    /// The leg whose screw sits in the middle of its tab, `screw_m` from the body's axis.
    ///
    /// This is how a vehicle is measured: to the screw. `reach_m` is the strap's thickness plus the foot's inside radius.
    #[must_use]
    pub fn to_screw(self, screw_m: f64, reach_m: f64) -> Self {
        let (sin, cos) = self.tilt_rad.sin_cos();
        Self {
            foot_m: screw_m + reach_m * sin - self.tab_m / 2.0 * cos,
            ..self
        }
    }
}

/// Which leg takes the slot; the other takes the round hole.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Side {
    /// The leg at the left of the drawing.
    Left,
    /// The leg at the right of the drawing.
    Right,
}

/// The screws of the tabs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TabHoles {
    /// Diameter of the round hole and width of the slot. [m]
    pub diameter_m: f64,
    /// Length of the slot from end to end. [m]
    pub slot_m: f64,
    /// Which leg has the slot.
    pub slot: Side,
}

/// The body that a strap goes round.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
#[non_exhaustive]
pub enum Body {
    /// A round body.
    Round {
        /// Its radius; 2 mm to 0.5 m. [m]
        radius_m: f64,
    },
}

/// What a strap is asked to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrapAsk {
    /// Name of the blank.
    pub name: String,
    /// The side of the vehicle that it is for.
    pub hand: Hand,
    /// Sheet thickness; 0.3 mm to 25 mm. [m]
    pub thickness_m: f64,
    /// The body that it goes round, without foam.
    pub body: Body,
    /// Thickness of the foam between body and strap, as pressed; 0 for none. [m]
    pub foam_m: f64,
    /// Width over the body; 5 mm to 0.5 m. [m]
    pub middle_width_m: f64,
    /// Length along the strap that keeps this width, about the centre mark; beyond it the strap tapers to its tabs. [m]
    pub middle_length_m: f64,
    /// The leg at the left of the drawing, seen from the show face.
    pub left: Leg,
    /// The leg at the right.
    pub right: Leg,
    /// Inside radius of both foot bends. [m]
    pub bend_radius_m: f64,
    /// Least inside radius of the material over its thickness.
    pub bend_radius_over_t: f64,
    /// Place of the neutral axis in the thickness from the inside face, K: 0.5 for a limp and free strap, 0 where
    /// the inside face keeps its length because the strap is pulled tight on a form.
    pub neutral_fraction: f64,
    /// The screws.
    pub holes: TabHoles,
    /// Distance between the two screws along the plane; `None` puts them in the middle of their tabs. [m]
    pub screw_spacing_m: Option<f64>,
    /// Extra length at each end, cut off after the trial fit. [m]
    pub trim_m: f64,
    /// Share of its length that the sheet loses along the strap when it is heated.
    pub shrink_fraction: f64,
    /// Thickness that the finish adds to every edge. [m]
    pub finish_m: f64,
    /// The faces of the sheet.
    pub faces: Faces,
    /// The direction in the sheet.
    pub grain: Grain,
    /// Length of the piece at hand, where the strap must come out of it. [m]
    pub available_length_m: Option<f64>,
}

/// One leg as developed: lengths along the neutral axis from the centre mark.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct LegPath {
    /// Angle that it stays on the body, from the top. [rad]
    pub wrap_rad: f64,
    /// Straight flank between body and foot. [m]
    pub flank_m: f64,
    /// Angle of the foot bend. [rad]
    pub foot_rad: f64,
    /// Where it leaves the body. [m]
    pub leaves_body_m: f64,
    /// Where the foot bend begins. [m]
    pub foot_begins_m: f64,
    /// Where the foot bend ends and the tab begins. [m]
    pub foot_ends_m: f64,
    /// Where the tab ends. [m]
    pub end_m: f64,
    /// Where the screw is. [m]
    pub screw_at_m: f64,
    /// Distance of the screw from the body's axis, along the plane. [m]
    pub screw_m: f64,
}

/// A strap, developed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Strap {
    /// The strap itself.
    pub blank: Blank,
    /// The foam between body and strap, with its own outline; `None` without foam.
    pub foam: Option<Blank>,
    /// Area of the strap's inside that the foam (or the body) touches. [m²]
    pub liner_area_m2: f64,
    /// The leg at the left.
    pub left: LegPath,
    /// The leg at the right.
    pub right: LegPath,
    /// Length at the neutral axis from tab end to tab end. [m]
    pub developed_length_m: f64,
    /// Length of the blank: developed, plus what shrinks, plus trim at both ends. [m]
    pub blank_length_m: f64,
    /// Distance between the two screws along the plane. [m]
    pub screw_spacing_m: f64,
    /// Height of the finished top over the underside of the higher tab. [m]
    pub height_m: f64,
    /// Strain of the outer fibre at the tightest bend.
    pub outer_strain: f64,
    /// Remarks.
    pub notes: Vec<Note>,
}

const WIDTH: Range = Range::new(5e-3, 0.5, "m");
const LENGTH: Range = Range::new(0.0, 1.0, "m");

/// Develops a strap.
///
/// Seen from the show face, x runs along the strap from the centre mark at the top of the body.
/// Body and feet are circles; the flanks are their common tangents. `theory.md` has the formulas.
///
/// # Errors
/// [`Error::OutOfRange`] for a measurement outside its range, a radius below the least of the material, a foot too
/// near the body, a piece at hand that is too short; each names the measurement and the range that works.
///
/// ```
/// use mountwright::shape::strap::{Leg, StrapAsk, strap};
/// let leg = Leg { foot_m: 0.034, centre_height_m: 0.025, tab_m: 0.020, end_width_m: 0.025, tilt_rad: 0.0 };
/// let ask = StrapAsk::new("left pod strap", 0.003, 0.025, leg, leg);
/// let made = strap(&ask)?;
/// assert!((made.developed_length_m - 0.17881).abs() < 5e-6);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn strap(ask: &StrapAsk) -> Result<Strap> {
    checked(ask)?;
    let mut legs = [
        leg_path("left", ask, &ask.left)?,
        leg_path("right", ask, &ask.right)?,
    ];
    spread_screws(ask, &mut legs)?;
    let [left, right] = legs;
    let pattern = Pattern::new(ask, left, right)?;
    let t = ask.thickness_m;
    let body = ask.outer_radius_m();
    let tightest = ask.bend_radius_m.min(body);
    let wrap_rad = left.wrap_rad + right.wrap_rad;
    let developed = left.end_m + right.end_m;
    let notes = remarks(ask);
    let outline = pattern.outline();
    let cut_length_m = outline.edge_length_m();
    let blank = Blank {
        name: ask.name.clone(),
        outline,
        thickness_m: t,
        hand: ask.hand,
        marks: pattern.marks(),
        bends: pattern.bends(),
        heated: vec![pattern.heated()],
        faces: ask.faces,
        grain: ask.grain,
        developed_length_m: Some(developed),
        thinning_fraction: outer_thinning(tightest, t, ask.neutral_fraction),
        least_radius_m: Some(tightest),
        trim_m: ask.trim_m,
        cut_length_m,
        notes: notes.clone(),
    };
    Ok(Strap {
        blank,
        foam: (ask.foam_m > 0.0).then(|| pattern.foam()),
        liner_area_m2: wrap_rad * body * pattern.middle_width_m(),
        developed_length_m: developed,
        blank_length_m: pattern.blank_length_m(),
        screw_spacing_m: left.screw_m + right.screw_m,
        height_m: ask.left.centre_height_m.max(ask.right.centre_height_m) + body + t + ask.finish_m,
        outer_strain: outer_strain(tightest, t, ask.neutral_fraction),
        left,
        right,
        notes,
    })
}

/// Moves both screws alike along their tabs, until they are as far apart as the vehicle's holes.
fn spread_screws(ask: &StrapAsk, legs: &mut [LegPath; 2]) -> Result<()> {
    let Some(spacing_m) = ask.screw_spacing_m else {
        return Ok(());
    };
    let [left, right] = legs;
    let usual = left.screw_m + right.screw_m;
    let (cos_l, cos_r) = (ask.left.tilt_rad.cos(), ask.right.tilt_rad.cos());
    // The whole hole stays on its tab, clear of bend and end.
    let room = |leg: &Leg, side: Side| {
        let hole = if side == ask.holes.slot {
            ask.holes.slot_m
        } else {
            ask.holes.diameter_m
        };
        (leg.tab_m - hole) / 2.0 - ask.finish_m
    };
    let most = room(&ask.left, Side::Left)
        .min(room(&ask.right, Side::Right))
        .max(0.0)
        * (cos_l + cos_r);
    check(
        "screw_spacing_m",
        spacing_m,
        Range::new(usual - most, usual + most, "m"),
        "the screws would miss their tabs: move the feet, or take longer tabs",
    )?;
    let shift = (spacing_m - usual) / (cos_l + cos_r);
    for (leg, cos) in [(left, cos_l), (right, cos_r)] {
        leg.screw_at_m += shift;
        leg.screw_m += shift * cos;
    }
    Ok(())
}

fn remarks(ask: &StrapAsk) -> Vec<Note> {
    let mut notes = vec![];
    let tightest = ask.bend_radius_m.min(ask.outer_radius_m());
    let strain = outer_strain(tightest, ask.thickness_m, ask.neutral_fraction);
    if strain > 0.2 {
        notes.push(Note::new(
            "tightest bend",
            format!(
                "the outer fibre stretches by {:.0} %; warm it well through and bend slowly",
                strain * 100.0
            ),
        ));
    }
    let sunk = ask.body_radius_m() - ask.left.centre_height_m.min(ask.right.centre_height_m);
    if sunk > 1e-9 {
        notes.push(Note::new(
            "body",
            format!(
                "it reaches {:.1} mm below the plane of a tab: the trim needs an opening there",
                sunk * 1e3
            ),
        ));
    }
    notes.push(Note::new(
        "screw holes",
        "not drilled in the flat: mark them through the vehicle's holes at the trial fit, one round, one slotted",
    ));
    notes
}

impl StrapAsk {
    /// Radius of the body without foam. [m]
    pub fn body_radius_m(&self) -> f64 {
        match self.body {
            Body::Round { radius_m } => radius_m,
        }
    }

    /// Radius of what the strap lies on: the body with its foam. [m]
    pub fn outer_radius_m(&self) -> f64 {
        self.body_radius_m() + self.foam_m
    }

    /// A strap of sheet `thickness_m` round a body of `body_radius_m`, with what is usual for the rest: middle as wide
    /// as the body is high, feet bent at 3 t, 8 mm of trim, 4 mm screws (common practice, no source).
    pub fn new(
        name: impl Into<String>,
        thickness_m: f64,
        body_radius_m: f64,
        left: Leg,
        right: Leg,
    ) -> Self {
        Self {
            name: name.into(),
            hand: Hand::Either,
            thickness_m,
            body: Body::Round {
                radius_m: body_radius_m,
            },
            foam_m: 0.0,
            middle_width_m: left.end_width_m.max(right.end_width_m),
            middle_length_m: body_radius_m,
            left,
            right,
            bend_radius_m: 2.0 * thickness_m,
            bend_radius_over_t: 1.0,
            neutral_fraction: 0.5,
            holes: TabHoles {
                diameter_m: 4.5e-3,
                slot_m: 7e-3,
                slot: Side::Right,
            },
            screw_spacing_m: None,
            trim_m: 8e-3,
            shrink_fraction: 0.0,
            finish_m: 0.0,
            faces: Faces::Alike,
            grain: Grain::Free,
            available_length_m: None,
        }
    }
}

/// A leg between the body and its foot: two circles and their inner tangent.
fn leg_path(side: &str, ask: &StrapAsk, leg: &Leg) -> Result<LegPath> {
    let t = ask.thickness_m;
    let r = ask.bend_radius_m;
    let a = ask.outer_radius_m() + ask.neutral_fraction * t;
    let b = r + ask.neutral_fraction * t;
    let (sin, cos) = leg.tilt_rad.sin_cos();
    check(
        format!("{side}.foot_m"),
        leg.foot_m,
        Range::new(a + b, LENGTH.high, "m"),
        "the foot is so near that the leg would lean under the body: move the screw out, or take less foam or a tighter foot",
    )?;
    let lowest = (t + r) / cos - (a + b);
    check(
        format!("{side}.centre_height_m"),
        leg.centre_height_m,
        Range::new(lowest, LENGTH.high, "m"),
        "the body lies so deep that the strap never touches it: raise it or put the tab lower",
    )?;
    let drop = leg.centre_height_m - (t + r) / cos;
    let d = leg.foot_m.hypot(drop);
    let flank = (d * d - (a + b) * (a + b)).max(0.0).sqrt();
    let wrap = ((a + b) / d).min(1.0).asin() + drop.atan2(leg.foot_m);
    let foot = wrap - leg.tilt_rad;
    if !(wrap > 0.0 && foot > 0.0 && foot < PI) {
        return Err(Error::OutOfRange {
            what: format!("{side}.tilt_rad"),
            given: leg.tilt_rad,
            allowed: Range::new(-1.0, wrap, "rad"),
            remedy:
                "the tab must fall away less than the flank does, else there is no foot to bend"
                    .into(),
        });
    }
    let leaves_body_m = a * wrap;
    let foot_begins_m = leaves_body_m + flank;
    let foot_ends_m = foot_begins_m + b * foot;
    Ok(LegPath {
        wrap_rad: wrap,
        flank_m: flank,
        foot_rad: foot,
        leaves_body_m,
        foot_begins_m,
        foot_ends_m,
        end_m: foot_ends_m + leg.tab_m,
        screw_at_m: foot_ends_m + leg.tab_m / 2.0,
        screw_m: leg.foot_m - (t + r) * sin + leg.tab_m / 2.0 * cos,
    })
}

fn checked(ask: &StrapAsk) -> Result<()> {
    let t = check(
        "thickness_m",
        ask.thickness_m,
        Range::new(3e-4, 0.025, "m"),
        "measure the sheet",
    )?;
    check(
        "bend_radius_over_t",
        ask.bend_radius_over_t,
        Range::new(0.0, 500.0, "1"),
        "take it from the material",
    )?;
    check(
        "neutral_fraction",
        ask.neutral_fraction,
        Range::new(0.0, 0.5, "1"),
        "0.5 for a limp strap, 0 where it is pulled tight on a form",
    )?;
    check(
        "foam_m",
        ask.foam_m,
        Range::new(0.0, 0.05, "m"),
        "measure the foam as pressed",
    )?;
    check(
        "body_radius_m",
        ask.body_radius_m(),
        Range::new(2e-3, 0.5, "m"),
        "measure the body",
    )?;
    // A hair less, so that exactly three times the thickness passes in spite of rounding.
    let least = ask.bend_radius_over_t * t * (1.0 - 1e-9);
    check(
        "bend_radius_m",
        ask.bend_radius_m,
        Range::new(least, 0.1, "m"),
        "the material cracks or crushes in a tighter bend: take a larger radius, thinner sheet or another material",
    )?;
    check(
        "body_radius_m + foam_m",
        ask.outer_radius_m(),
        Range::new(least, 0.55, "m"),
        "the body is too small for this sheet: take thinner sheet, more foam or another material",
    )?;
    check(
        "middle_width_m",
        ask.middle_width_m,
        WIDTH,
        "measure the body's height",
    )?;
    check(
        "trim_m",
        ask.trim_m,
        Range::new(0.0, 0.1, "m"),
        "5 to 10 mm is usual",
    )?;
    check(
        "shrink_fraction",
        ask.shrink_fraction,
        Range::new(0.0, 0.2, "1"),
        "mark a 100 mm square, heat it limp, measure it again",
    )?;
    check(
        "finish_m",
        ask.finish_m,
        Range::new(0.0, 2e-3, "m"),
        "the finish would eat the edge: take a thinner one",
    )?;
    checked_leg("left", ask, &ask.left)?;
    checked_leg("right", ask, &ask.right)?;
    check(
        "holes.slot_m",
        ask.holes.slot_m,
        Range::new(ask.holes.diameter_m, 0.3, "m"),
        "a slot is at least as long as it is wide",
    )?;
    Ok(())
}

fn checked_leg(side: &str, ask: &StrapAsk, leg: &Leg) -> Result<()> {
    check(
        format!("{side}.tilt_rad"),
        leg.tilt_rad,
        Range::new(-1.0, 1.0, "rad"),
        "turn the drawing so that the tabs lie nearly in one plane",
    )?;
    check(
        format!("{side}.end_width_m"),
        leg.end_width_m,
        WIDTH,
        "give the tab's width",
    )?;
    check(
        format!("{side}.tab_m"),
        leg.tab_m,
        Range::new(3e-3, 0.3, "m"),
        "give the straight length beyond the foot bend",
    )?;
    let slot = if (side == "left") == (ask.holes.slot == Side::Left) {
        ask.holes.slot_m
    } else {
        ask.holes.diameter_m
    };
    check(
        format!("holes on the {side} tab"),
        slot,
        Range::new(1e-3, leg.tab_m - 2.0 * ask.finish_m, "m"),
        "the hole must lie inside its tab: take a longer tab or a smaller hole",
    )?;
    check(
        "holes.diameter_m",
        ask.holes.diameter_m,
        Range::new(1e-3, leg.end_width_m - 2.0 * ask.finish_m, "m"),
        "the hole must lie inside its tab: take a wider tab or a smaller hole",
    )?;
    Ok(())
}
