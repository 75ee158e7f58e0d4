//! One leg of a strap: from the top of the body down to its tab, as it is measured and as it is developed.

use std::f64::consts::PI;

use serde::Serialize;

use super::StrapAsk;
use super::checks::LENGTH;
use super::hull::Hull;
use crate::error::{Error, Range, Result, check};
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

/// Moves both screws alike along their tabs, until they are as far apart as the vehicle's holes.
pub(super) fn spread_screws(ask: &StrapAsk, legs: &mut [LegPath; 2]) -> Result<()> {
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
        (leg.tab_m - hole) / 2.0 - ask.finish_m - leg.cut_m.max(0.0)
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

/// From the foot's centre to the screw in the middle of its tab, along the plane. [m]
fn tab_reach_m(ask: &StrapAsk, leg: &Leg) -> f64 {
    let (sin, cos) = leg.tilt_rad.sin_cos();
    leg.tab_m / 2.0 * cos - (ask.thickness_m + ask.bend_radius_m) * sin
}

/// A leg between the body and its foot: their inner tangent. `hull` has this leg at its right.
pub(super) fn leg_path(side: &str, ask: &StrapAsk, leg: &Leg, hull: &Hull) -> Result<LegPath> {
    let t = ask.thickness_m;
    let r = ask.bend_radius_m;
    let out = ask.foam_m + ask.neutral_fraction * t;
    let b = r + ask.neutral_fraction * t;
    let cos = leg.tilt_rad.cos();
    // Faults speak of the screw, which is what is measured, not of the foot's centre.
    let (screw, near) = (tab_reach_m(ask, leg), hull.reach_m(PI / 2.0) + out + b);
    check(
        format!("{side} screw, from the body's axis"),
        leg.foot_m + screw,
        Range::computed(near + screw, LENGTH.high + screw, "m"),
        "the foot is so near that the leg would lean under the body: move the screw out, or take less foam or a tighter foot",
    )?;
    let lowest = (t + r) / cos - (hull.reach_m(0.0) + out + b);
    let above = screw * leg.tilt_rad.tan();
    check(
        format!("height of the body's axis over the {side} screw"),
        leg.centre_height_m + above,
        Range::computed(lowest + above, LENGTH.high + above, "m"),
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
        screw_m: leg.foot_m + screw,
    })
}
