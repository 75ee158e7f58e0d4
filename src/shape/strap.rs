//! A strap wrapped round a body over foam, with two tabs that are screwed down.

use std::f64::consts::PI;

use serde::Serialize;

use super::bend::{outer_strain, outer_thinning};
use super::blank::{Blank, Faces, Grain, Hand};
use super::hull::Hull;
use super::strap_pattern::Pattern;
use crate::error::{Error, Note, Range, Result, check};
use crate::outline::Point;
use crate::sourced::{Constant, Standing};

/// Strain of a twisted tab's edges up to which a limp strap follows without being measured on the vehicle.
pub const TWIST_STRAIN: Constant = Constant {
    name: "strap.twist_strain",
    value: 0.02,
    low: 0.01,
    high: 0.04,
    unit: "1",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// How much longer and wider on each side a tab is left that is twisted too far to be developed.
pub const OVERSIZE_M: Constant = Constant {
    name: "strap.oversize",
    value: 0.010,
    low: 0.005,
    high: 0.015,
    unit: "m",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

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
    /// How far the tab lies aside along the body's axis, upwards in the drawing; within 0.2 m. [m]
    ///
    /// Body, flank, foot and tab all run parallel to that axis, so this is exact.
    pub aside_m: f64,
    /// How far the tab's plane is turned about the strap's own run; within 0.8 rad. [rad]
    pub twist_rad: f64,
    /// What the trial fit showed: cut off the end of this leg, negative where it was too short; within 50 mm. [m]
    pub cut_m: f64,
}

impl Leg {
    /// A leg to a tab in the plane of the body's trim, neither aside nor twisted. [m]
    pub const fn flat(foot_m: f64, centre_height_m: f64, tab_m: f64, end_width_m: f64) -> Self {
        Self {
            foot_m,
            centre_height_m,
            tab_m,
            end_width_m,
            tilt_rad: 0.0,
            aside_m: 0.0,
            twist_rad: 0.0,
            cut_m: 0.0,
        }
    }

    /// The leg at `side` to a screw point in space: `screw_m` from the body's centre, on a face whose normal `normal` points off the vehicle.
    ///
    /// Both count along the strap (to the right of the drawing), up (off the vehicle) and along the body's axis
    /// (upwards in the drawing). `reach_m` is as for [`to_screw`](Self::to_screw).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] where the face does not look upwards, [`Error::Shape`] where the screw lies on the other leg's side.
    ///
    /// ```
    /// use mountwright::shape::strap::{Leg, Side};
    /// let leg = Leg::seated(Side::Left, [-0.05, -0.027, 0.004], [0.0, 1.0, 0.1], 0.022, 0.024, 0.009)?;
    /// assert!((leg.centre_height_m - 0.027).abs() < 1e-12 && (leg.aside_m - 0.004).abs() < 1e-12);
    /// assert!((leg.twist_rad - 0.1_f64.atan()).abs() < 1e-12);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn seated(
        side: Side,
        screw_m: [f64; 3],
        normal: [f64; 3],
        tab_m: f64,
        end_width_m: f64,
        reach_m: f64,
    ) -> Result<Self> {
        let name = match side {
            Side::Left => "left",
            Side::Right => "right",
        };
        let out = if side == Side::Left { -1.0 } else { 1.0 };
        let [x, y, z] = screw_m;
        let place = Range::new(-1.0, 1.0, "m");
        for (axis, value) in ["along", "up", "across"].iter().zip(screw_m) {
            let fix = "measure the screw from the body's centre";
            check(format!("{name} screw, {axis}"), value, place, fix)?;
        }
        let size = (normal[0] * normal[0] + normal[1] * normal[1] + normal[2] * normal[2]).sqrt();
        check(
            format!("length of the {name} tab's normal"),
            size,
            Range::new(1e-6, 1e6, "1"),
            "give the direction in which the face looks",
        )?;
        let [nx, ny, nz] = normal.map(|v| v / size);
        check(
            format!("the {name} tab's normal, up"),
            ny,
            Range::new(0.5, 1.0, "1"),
            "turn the measurement so that the face looks nearly upwards",
        )?;
        if x * out <= 0.0 {
            return Err(Error::Shape {
                what: format!("{name} screw"),
                given: format!("{:.1} mm along the strap", x * 1e3),
                allowed:
                    "the left screw at the left of the body's centre, the right one at its right"
                        .into(),
            });
        }
        let leg = Self {
            tilt_rad: (out * nx).atan2(ny),
            aside_m: z,
            twist_rad: nz.atan2(ny.hypot(nx)),
            ..Self::flat(0.0, 0.0, tab_m, end_width_m)
        }
        .to_screw(x * out, reach_m);
        // The face's plane, followed from the screw to under the foot's centre.
        let under = y + (x * out - leg.foot_m) * leg.tilt_rad.tan();
        Ok(Self {
            centre_height_m: -under,
            ..leg
        })
    }

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
    /// Strain of the tab's edges by its twist over the flank and the foot, `(φ h / L)² / 2`.
    pub twist_strain: f64,
    /// How much longer and wider on each side the tab is left because it cannot be developed. [m]
    pub oversize_m: f64,
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
        liner_area_m2: body.inside_length * pattern.middle_width_m(),
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

/// The bend round the body, as the strap lies on it.
#[derive(Debug, Clone, Copy)]
pub(super) struct RoundBody {
    /// Tightest inside radius. [m]
    pub(super) least_radius_m: f64,
    /// Length of the foam at the middle of its thickness. [m]
    pub(super) foam_length: f64,
    /// Length of the strap's inside. [m]
    pub(super) inside_length: f64,
}

fn round_the_body(
    ask: &StrapAsk,
    hull: &Hull,
    left: &LegPath,
    right: &LegPath,
) -> Result<RoundBody> {
    let mirrored = hull.mirrored();
    let length =
        |out: f64| mirrored.length_m(out, left.wrap_rad) + hull.length_m(out, right.wrap_rad);
    let least_radius_m = hull.least_radius_m(-left.wrap_rad, right.wrap_rad) + ask.foam_m;
    check(
        "body radius and foam",
        least_radius_m,
        Range::new(ask.least_radius_m(), 1.0, "m"),
        "the body is too small or too sharp for this sheet: take thinner sheet, more foam or another material, or round its corner",
    )?;
    Ok(RoundBody {
        least_radius_m,
        foam_length: length(ask.foam_m / 2.0),
        inside_length: length(ask.foam_m),
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

/// A leg between the body and its foot: their inner tangent. `hull` has this leg at its right.
fn leg_path(side: &str, ask: &StrapAsk, leg: &Leg, hull: &Hull) -> Result<LegPath> {
    let t = ask.thickness_m;
    let r = ask.bend_radius_m;
    let out = ask.foam_m + ask.neutral_fraction * t;
    let b = r + ask.neutral_fraction * t;
    let (sin, cos) = leg.tilt_rad.sin_cos();
    // A hair more than upright: the strap's own tangent there is found by an arc cosine.
    check(
        format!("{side}.foot_m"),
        leg.foot_m,
        Range::new(hull.reach_m(PI / 2.0) + out + b, LENGTH.high, "m"),
        "the foot is so near that the leg would lean under the body: move the screw out, or take less foam or a tighter foot",
    )?;
    let lowest = (t + r) / cos - (hull.reach_m(0.0) + out + b);
    check(
        format!("{side}.centre_height_m"),
        leg.centre_height_m,
        Range::new(lowest, LENGTH.high, "m"),
        "the body lies so deep that the strap never touches it: raise it or put the tab lower",
    )?;
    let drop = leg.centre_height_m - (t + r) / cos;
    let leaves = hull
        .leaves(out, Point::new(leg.foot_m, -drop), b)
        .ok_or_else(|| Error::Impossible {
            what: format!("the {side} leg"),
            why: "no straight flank reaches from the body to its foot".into(),
            remedy: "move the screw out, or take less foam or a tighter foot".into(),
        })?;
    let (flank, wrap) = (leaves.flank_m, leaves.normal_rad);
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
    let leaves_body_m = hull.length_m(out, wrap);
    let foot_begins_m = leaves_body_m + flank;
    let foot_ends_m = foot_begins_m + b * foot;
    let twisted_over = (flank + b * foot).max(1e-6);
    let twist_strain = (leg.twist_rad * leg.end_width_m / 2.0 / twisted_over).powi(2) / 2.0;
    Ok(LegPath {
        twist_strain,
        oversize_m: if twist_strain > TWIST_STRAIN.value {
            OVERSIZE_M.value
        } else {
            0.0
        },
        wrap_rad: wrap,
        flank_m: flank,
        foot_rad: foot,
        leaves_body_m,
        foot_begins_m,
        foot_ends_m,
        end_m: foot_ends_m + leg.tab_m - leg.cut_m,
        screw_at_m: foot_ends_m + leg.tab_m / 2.0,
        screw_m: leg.foot_m - (t + r) * sin + leg.tab_m / 2.0 * cos,
    })
}

fn checked(ask: &StrapAsk) -> Result<()> {
    check(
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
        "bend_radius_m",
        ask.bend_radius_m,
        Range::new(ask.least_radius_m(), 0.1, "m"),
        "the material cracks or crushes in a tighter bend: take a larger radius, thinner sheet or another material",
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
    if let Some(length_m) = ask.body_length_m {
        check(
            "body_length_m",
            length_m,
            Range::new(2e-3, 1.0, "m"),
            "measure the body along its own axis",
        )?;
        check(
            "bare_m",
            ask.bare_m,
            Range::new(0.0, length_m, "m"),
            "measure the dome and the grille at the body's front",
        )?;
        check(
            "middle_width_m",
            ask.middle_width_m,
            Range::new(WIDTH.low, (length_m - ask.bare_m).max(WIDTH.low), "m"),
            "the strap would cover the dome: take a narrower middle",
        )?;
    }
    checked_wire(ask)?;
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

/// The notch lies in the part of the strap that keeps its width.
fn checked_wire(ask: &StrapAsk) -> Result<()> {
    let Some(wire) = ask.wire else { return Ok(()) };
    check(
        "wire.width_m",
        wire.width_m,
        Range::new(1e-3, 0.03, "m"),
        "measure the cable with its grommet",
    )?;
    check(
        "wire.depth_m",
        wire.depth_m,
        Range::new(wire.width_m, 0.5 * ask.middle_width_m, "m"),
        "a notch is at least as deep as it is wide, and leaves half of the strap",
    )?;
    check(
        "wire.lip_m",
        wire.lip_m,
        Range::new(0.0, wire.depth_m / 2.0, "m"),
        "a lip is rounded by 1 to 3 mm",
    )?;
    let most = (ask.middle_length_m / 2.0 - wire.width_m / 2.0 - wire.lip_m).max(0.0);
    check(
        "wire.along_m",
        wire.along_m,
        Range::new(-most, most, "m"),
        "the cable leaves where the strap keeps its width: move it nearer to the body's middle, or make the middle longer",
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
    check(
        format!("{side}.aside_m"),
        leg.aside_m,
        Range::new(-0.2, 0.2, "m"),
        "give how far the screw lies aside of the body's middle",
    )?;
    check(
        format!("{side}.twist_rad"),
        leg.twist_rad,
        Range::new(-0.8, 0.8, "rad"),
        "turn the measurement so that the tab looks nearly upwards",
    )?;
    check(
        format!("{side}.cut_m"),
        leg.cut_m,
        Range::new(-0.05, 0.05_f64.min(leg.tab_m / 2.0), "m"),
        "a larger change at the trial fit is a new measurement of the foot or the tab",
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
