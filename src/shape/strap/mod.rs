//! A strap wrapped round a body over foam, with two tabs that are screwed down.

mod checks;
mod hull;
mod leg;
mod pattern;

use std::f64::consts::PI;

use serde::Serialize;

use super::bend::{outer_strain, outer_thinning};
use super::blank::{Blank, Faces, Grain, Hand};
use crate::error::{Note, Range, Result, check};
use crate::outline::Point;
use checks::checked;
use hull::Hull;
pub use leg::{Leg, LegPath, OVERSIZE_M, Side, TWIST_STRAIN};
use leg::{leg_path, spread_screws};
use pattern::Pattern;

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
    /// An oval body, as an ellipse.
    Oval {
        /// Width along the plane; 4 mm to 1 m. [m]
        width_m: f64,
        /// Height off the plane; 4 mm to 1 m, within five times the width. [m]
        height_m: f64,
    },
    /// A profile taken by card or gauge: points round the section, from the body's axis. Its hull counts: a strap bridges hollows.
    Profile {
        /// 3 to 2000 points in any order, within 0.5 m, the axis inside them.
        points: Vec<Point>,
    },
}

/// A notch in the edge of the strap through which the cable leaves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct WireExit {
    /// Where its middle lies along the strap from the centre mark, negative to the left. [m]
    pub along_m: f64,
    /// Width: the cable and its grommet; 1 to 30 mm. [m]
    pub width_m: f64,
    /// How far it reaches in from the edge, at least its width. [m]
    pub depth_m: f64,
    /// Radius of its lips, so that they do not chafe. [m]
    pub lip_m: f64,
    /// Whether it lies in the upper edge of the drawing, else in the lower one.
    pub upper: bool,
}

/// How the body comes out once the screws are out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Removal {
    /// Straight down out of the strap, which holds it over less than half a turn.
    Down,
    /// Along its own axis: the strap reaches round it by more than half a turn.
    AlongItsAxis,
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
    /// Where the cable leaves; `None` where it leaves behind the trim.
    pub wire: Option<WireExit>,
    /// Length of the body along its own axis, where the strap must leave some of it bare. [m]
    pub body_length_m: Option<f64>,
    /// Length of the body that stays bare at its front: dome and grille. [m]
    pub bare_m: f64,
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
    /// How the body comes out without breaking the pod.
    pub removal: Removal,
    /// Remarks.
    pub notes: Vec<Note>,
}

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
/// let leg = Leg::flat(0.034, 0.025, 0.020, 0.025);
/// let ask = StrapAsk::new("left pod strap", 0.003, 0.025, leg, leg);
/// let made = strap(&ask)?;
/// assert!((made.developed_length_m - 0.17881).abs() < 5e-6);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn strap(ask: &StrapAsk) -> Result<Strap> {
    let hull = ask.hull()?;
    checked(ask)?;
    let mut legs = [
        leg_path("left", ask, &ask.left, &hull.mirrored())?,
        leg_path("right", ask, &ask.right, &hull)?,
    ];
    spread_screws(ask, &mut legs)?;
    let [left, right] = legs;
    let body = round_the_body(ask, &hull, &left, &right)?;
    let pattern = Pattern::new(ask, left, right, body)?;
    let t = ask.thickness_m;
    let tightest = ask.bend_radius_m.min(body.least_radius_m);
    let wrap_rad = left.wrap_rad + right.wrap_rad;
    let developed = left.end_m + right.end_m;
    let removal = if wrap_rad <= PI + 1e-9 {
        Removal::Down
    } else {
        Removal::AlongItsAxis
    };
    let notes = remarks(ask, &hull, &[left, right], tightest, removal);
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
        liner_area_m2: pattern.liner_area_m2(),
        developed_length_m: developed,
        blank_length_m: pattern.blank_length_m(),
        screw_spacing_m: left.screw_m + right.screw_m,
        height_m: ask.left.centre_height_m.max(ask.right.centre_height_m)
            + hull.reach_m(0.0)
            + ask.foam_m
            + t
            + ask.finish_m,
        outer_strain: outer_strain(tightest, t, ask.neutral_fraction),
        removal,
        left,
        right,
        notes,
    })
}

/// The bend round the body, as the strap lies on it.
#[derive(Debug, Clone, Copy)]
pub(super) struct RoundBody {
    /// Tightest inside radius. [m]
    pub(super) least_radius_m: f64,
    /// Lengths of the foam at the middle of its thickness, left and right of the body's axis. [m]
    pub(super) foam_m: [f64; 2],
    /// Lengths of the strap's inside, left and right of the body's axis. [m]
    pub(super) inside_lengths: [f64; 2],
}

fn round_the_body(
    ask: &StrapAsk,
    hull: &Hull,
    left: &LegPath,
    right: &LegPath,
) -> Result<RoundBody> {
    let mirrored = hull.mirrored();
    let lengths = |out: f64| {
        [
            mirrored.length_m(out, left.wrap_rad),
            hull.length_m(out, right.wrap_rad),
        ]
    };
    let least_radius_m = hull.least_radius_m(-left.wrap_rad, right.wrap_rad) + ask.foam_m;
    check(
        "body radius and foam",
        least_radius_m,
        Range::new(ask.least_radius_m(), 1.0, "m"),
        "the body is too small or too sharp for this sheet: take thinner sheet, more foam or another material, or round its corner",
    )?;
    Ok(RoundBody {
        least_radius_m,
        foam_m: lengths(ask.foam_m / 2.0),
        inside_lengths: lengths(ask.foam_m),
    })
}

fn remarks(
    ask: &StrapAsk,
    hull: &Hull,
    legs: &[LegPath; 2],
    tightest: f64,
    removal: Removal,
) -> Vec<Note> {
    let mut notes = vec![];
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
    for (side, leg) in ["left", "right"].iter().zip(legs) {
        if leg.oversize_m > 0.0 {
            notes.push(Note::new(
                format!("{side} tab"),
                format!(
                    "twisted too far to be developed (its edges would stretch by {:.1} %): the blank is {:.0} mm oversize there on each side and at the end; form it, mark it on the vehicle, then cut",
                    leg.twist_strain * 100.0,
                    leg.oversize_m * 1e3
                ),
            ));
        }
    }
    for (side, leg) in [("left", &ask.left), ("right", &ask.right)] {
        if leg.cut_m.abs() > 0.0 {
            let (what, by) = if leg.cut_m > 0.0 {
                ("shorter", leg.cut_m)
            } else {
                ("longer", -leg.cut_m)
            };
            notes.push(Note::new(
                "trial fit",
                format!(
                    "the {side} leg is {:.1} mm {what} than developed, as the trial fit showed",
                    by * 1e3
                ),
            ));
        }
    }
    notes.push(match removal {
        Removal::Down => Note::new(
            "removal",
            "the body comes out downwards once both screws are out; glue the foam to the strap, not to the body",
        ),
        Removal::AlongItsAxis => Note::new(
            "removal",
            "the strap reaches round the body by more than half a turn: leave its front open so that the body slides out along its axis; glue the foam to the strap, not to the body",
        ),
    });
    let sunk = hull.reach_m(PI) - ask.left.centre_height_m.min(ask.right.centre_height_m);
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
    /// The section that the strap lies on, without foam.
    fn hull(&self) -> Result<Hull> {
        let size = |what: &str, value: f64, low: f64| {
            check(what, value, Range::new(low, 1.0, "m"), "measure the body")
        };
        match &self.body {
            Body::Round { radius_m } => {
                let range = Range::new(2e-3, 0.5, "m");
                check("body_radius_m", *radius_m, range, "measure the body").map(Hull::round)
            }
            Body::Oval { width_m, height_m } => {
                size("body width_m", *width_m, 4e-3)?;
                let low = (width_m / 5.0).max(4e-3);
                let range = Range::new(low, (5.0 * width_m).min(1.0), "m");
                check("body height_m", *height_m, range, "measure the body")?;
                Ok(Hull::oval(*width_m, *height_m))
            }
            Body::Profile { points } => Hull::of(points),
        }
    }

    /// Least inside radius of the sheet, a hair less so that exactly the least passes in spite of rounding. [m]
    fn least_radius_m(&self) -> f64 {
        self.bend_radius_over_t * self.thickness_m * (1.0 - 1e-9)
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
            wire: None,
            body_length_m: None,
            bare_m: 0.0,
        }
    }
}
