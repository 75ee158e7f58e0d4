//! Where a tweeter looks: the turn on its surface, the lift that a wedge gives it, and the wedge itself.

use serde::{Deserialize, Serialize};

use super::blank::{Blank, Faces, Grain, Hand, Mark};
use crate::error::{Error, Note, Range, Result, check};
use crate::outline::{Chain, Outline, Point};
use crate::sourced::Constant;

/// Two points of the vehicle and the surface on which the pod sits, in one frame: forward, to the left, up.
///
/// Each side is measured by itself: the listener sits off the middle, so left and right are no mirror images.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct AimAsk {
    /// The tweeter's dome. [m]
    pub at_m: [f64; 3],
    /// What it should look at: the far listener's ear is usual. [m]
    pub listener_m: [f64; 3],
    /// Direction in which the surface under the pod looks; any length.
    pub normal: [f64; 3],
    /// Direction along the surface from which the turn is counted: up the pillar; any length.
    pub along: [f64; 3],
}

/// How a pod is set so that its body's axis looks at the listener.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Aim {
    /// Distance to the listener. [m]
    pub distance_m: f64,
    /// Turn of the body's axis on the surface from `along`, counter-clockwise for one who looks at the surface. [rad]
    pub turn_rad: f64,
    /// Lift of the axis off the surface: the wedge's angle; negative looks into the surface. [rad]
    pub lift_rad: f64,
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn unit(what: &str, v: [f64; 3], least: f64) -> Result<([f64; 3], f64)> {
    let length = dot(v, v).sqrt();
    check(
        what,
        length,
        Range::new(least, 1e6, ""),
        "give three numbers that are not all zero",
    )?;
    Ok((v.map(|x| x / length), length))
}

/// Aims one tweeter.
///
/// # Errors
/// [`Error::OutOfRange`] for points that cannot be, or a listener in the dome; [`Error::Shape`] where `along` points off the surface.
///
/// ```
/// use mountwright::shape::aim::{AimAsk, aim};
/// // A pod on a surface that looks up, its listener a metre back and a metre up: lifted by 45°.
/// let set = aim(&AimAsk { at_m: [0.0; 3], listener_m: [-1.0, 0.0, 1.0], normal: [0.0, 0.0, 1.0], along: [-1.0, 0.0, 0.0] })?;
/// assert!((set.lift_rad.to_degrees() - 45.0).abs() < 1e-9 && set.turn_rad.abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn aim(ask: &AimAsk) -> Result<Aim> {
    for (what, point) in [("at_m", ask.at_m), ("listener_m", ask.listener_m)] {
        for (axis, value) in ["forward", "left", "up"].iter().zip(point) {
            check(
                format!("{what}, {axis}"),
                value,
                Range::new(-20.0, 20.0, "m"),
                "measure both from the same point of the vehicle",
            )?;
        }
    }
    let towards = [0, 1, 2].map(|i| {
        ask.listener_m.get(i).copied().unwrap_or(0.0) - ask.at_m.get(i).copied().unwrap_or(0.0)
    });
    let (towards, distance_m) = unit("distance to the listener", towards, 0.05)?;
    let (normal, _) = unit("length of normal", ask.normal, 1e-9)?;
    let (along, _) = unit("length of along", ask.along, 1e-9)?;
    let off = dot(along, normal);
    if off.abs() > 0.95 {
        return Err(Error::Shape {
            what: "along".into(),
            given: format!("{:.0}° off the surface", off.abs().asin().to_degrees()),
            allowed: "a direction that runs along the surface".into(),
        });
    }
    let x = [0, 1, 2].map(|i: usize| {
        along.get(i).copied().unwrap_or(0.0) - off * normal.get(i).copied().unwrap_or(0.0)
    });
    let y = cross(normal, x);
    Ok(Aim {
        distance_m,
        turn_rad: dot(towards, y).atan2(dot(towards, x)),
        lift_rad: dot(towards, normal).clamp(-1.0, 1.0).asin(),
    })
}

/// Thickness of a wedge at its thin edge, where nothing is said: a feather edge crushes.
pub const THIN_EDGE_M: Constant = Constant::practice("wedge.thin_edge", [1e-3, 1.5e-3, 2e-3], "m");

/// A wedge under one tab.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct WedgeAsk {
    /// Name of the part.
    pub name: String,
    /// The side of the vehicle that it is for.
    pub hand: Hand,
    /// Length along the strap: that of the tab. [m]
    pub length_m: f64,
    /// Width along the slope: that of the tab. [m]
    pub width_m: f64,
    /// The lift that it gives; above 0 to 45°. [rad]
    pub lift_rad: f64,
    /// Thickness at its thin edge; a feather edge crushes. [m]
    pub thin_m: f64,
    /// Clearance hole of the screw. [m]
    pub hole_m: f64,
}

/// A wedge.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wedge {
    /// Its sloping face at true size, with the screw's hole; as thick as the block it is cut from.
    pub blank: Blank,
    /// Its side at true size: the shape to saw.
    pub side: Outline,
    /// Thickness at its thick edge. [m]
    pub thick_m: f64,
    /// How much longer the screw must be than under a flat tab. [m]
    pub longer_screw_m: f64,
    /// Remarks.
    pub notes: Vec<Note>,
}

impl Wedge {
    /// Its side as a drawing shows it: the second drawing of its note.
    #[must_use]
    pub fn side_blank(&self) -> Blank {
        let (length_m, height_m) = self.blank.outline.size_m();
        Blank {
            name: format!("{} side", self.blank.name),
            cut_length_m: self.side.edge_length_m(),
            outline: self.side.clone(),
            // The block is as long as the tab.
            thickness_m: length_m,
            marks: vec![],
            notes: vec![Note::new(
                "side of the wedge",
                format!(
                    "saw the block to this side, {:.1} mm long along the strap; its slope is {:.1} mm",
                    length_m * 1e3,
                    height_m * 1e3
                ),
            )],
            ..self.blank.clone()
        }
    }
}

/// Makes a wedge.
///
/// # Errors
/// [`Error::OutOfRange`] for a size or an angle that cannot be.
///
/// ```
/// use mountwright::shape::{Hand, aim::{WedgeAsk, wedge}};
/// let made = wedge(&WedgeAsk { name: "left wedge".into(), hand: Hand::Left, length_m: 0.022, width_m: 0.024,
///     lift_rad: 0.2, thin_m: 0.002, hole_m: 0.0045 })?;
/// assert!((made.thick_m - (0.002 + 0.024 * 0.2_f64.tan())).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn wedge(ask: &WedgeAsk) -> Result<Wedge> {
    let size = Range::new(5e-3, 0.3, "m");
    check("length_m", ask.length_m, size, "as long as the tab")?;
    check("width_m", ask.width_m, size, "as wide as the tab")?;
    check(
        "lift_rad",
        ask.lift_rad,
        Range::new(1e-3, std::f64::consts::FRAC_PI_4, "rad"),
        "a steeper pod slides: turn the pod on its surface, or mount it elsewhere",
    )?;
    check(
        "thin_m",
        ask.thin_m,
        Range::new(5e-4, 0.02, "m"),
        "1 to 2 mm is usual",
    )?;
    check(
        "hole_m",
        ask.hole_m,
        Range::new(1e-3, 0.5 * ask.length_m.min(ask.width_m), "m"),
        "the hole must leave the wedge whole: take a larger wedge or a smaller screw",
    )?;
    let thick_m = ask.thin_m + ask.width_m * ask.lift_rad.tan();
    let slope_m = ask.width_m / ask.lift_rad.cos();
    let origin = Point::new(0.0, 0.0);
    // The screw stands upright on the vehicle, so its hole is long along the slope.
    let hole = Chain::slot(
        origin,
        ask.hole_m / ask.lift_rad.cos() + 1e-9,
        ask.hole_m,
        std::f64::consts::FRAC_PI_2,
    );
    let outline = Outline::new(
        Chain::rounded_rectangle(origin, ask.length_m, slope_m, 0.0),
        vec![hole],
    );
    let middle = f64::midpoint(ask.thin_m, thick_m);
    let notes = vec![Note::new(
        "wedge",
        format!(
            "{:.1} mm at its thin edge, {:.1} mm at its thick one; {:.1}°; cut the block's side to the second drawing, glue or tape it under the tab",
            ask.thin_m * 1e3,
            thick_m * 1e3,
            ask.lift_rad.to_degrees()
        ),
    )];
    let cut_length_m = outline.edge_length_m();
    Ok(Wedge {
        blank: Blank {
            name: ask.name.clone(),
            outline,
            thickness_m: thick_m,
            hand: ask.hand,
            marks: vec![Mark::CentreLine {
                from: Point::new(0.0, -slope_m / 2.0),
                to: Point::new(0.0, slope_m / 2.0),
            }],
            bends: vec![],
            heated: vec![],
            faces: Faces::Alike,
            grain: Grain::Free,
            developed_length_m: None,
            thinning_fraction: 0.0,
            least_radius_m: None,
            trim_m: 0.0,
            cut_length_m,
            notes: notes.clone(),
        },
        side: Outline::new(
            Chain::polygon(&[
                origin,
                Point::new(ask.width_m, 0.0),
                Point::new(ask.width_m, thick_m),
                Point::new(0.0, ask.thin_m),
            ]),
            vec![],
        ),
        thick_m,
        longer_screw_m: middle,
        notes,
    })
}
