//! An adapter ring: one outline, one cutout, screws on both sides, layers glued to a depth.

use serde::Serialize;

use super::blank::{Blank, Contour, Faces, Grain, Hand, HoleKind, Mark};
use super::form::{Centres, Form};
use super::panel::{Cutout, Hole, PanelAsk, panel};
use super::stack::{Stack, Stocked, stack};
use crate::error::{Note, Range, Result, check};
use crate::outline::{Chain, Outline};

/// What screws hold.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Holds {
    /// The driver is screwed to the ring.
    Driver,
    /// The ring is screwed to the vehicle, through all layers.
    Vehicle,
}

/// One set of screws.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Screws {
    /// Name: `vehicle screw`.
    pub name: String,
    /// What they hold.
    pub holds: Holds,
    /// Where they sit.
    pub centres: Centres,
    /// Diameter of the hole: clearance for the vehicle, pilot for the driver. [m]
    pub hole_m: f64,
    /// How deep a driver screw needs its pilot, from the driver's face; vehicle holes go through. [m]
    pub depth_m: f64,
    /// Diameter of a countersink in the driver's face. [m]
    pub countersink_m: Option<f64>,
}

/// A chamfer that opens the cutout behind the cone.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Chamfer {
    /// Height along the axis, from the vehicle's face. [m]
    pub depth_m: f64,
    /// Angle against the axis: 45° opens as far as it is high. [rad]
    pub angle_rad: f64,
}

/// What a ring is asked to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RingAsk {
    /// Name of the part.
    pub name: String,
    /// The side of the vehicle that it is for.
    pub hand: Hand,
    /// The outside, as finished.
    pub outer: Form,
    /// The driver's opening, as finished.
    pub cutout: Cutout,
    /// Screws of both sides.
    pub screws: Vec<Screws>,
    /// Depth that is needed, both gaskets apart. [m]
    pub depth_m: f64,
    /// How much deeper it may become. [m]
    pub over_m: f64,
    /// Thicknesses that can be had.
    pub stocked: Vec<Stocked>,
    /// Price of one glue line, in the shop's currency.
    pub joint_price: f64,
    /// Chamfer behind the cone.
    pub chamfer: Option<Chamfer>,
    /// Thickness that the finish adds to every edge. [m]
    pub finish_m: f64,
    /// The faces of the sheet.
    pub faces: Faces,
    /// The direction in the sheet.
    pub grain: Grain,
}

/// A ring, layer by layer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ring {
    /// One blank for each layer, from the driver's face to the vehicle's.
    pub blanks: Vec<Blank>,
    /// The layers and their price.
    pub stack: Stack,
    /// Glue area of all joints between layers together. [m²]
    pub glue_area_m2: f64,
    /// Narrowest place between cutout and outside, at the vehicle's face where a chamfer widens it. [m]
    pub web_m: f64,
    /// Least distance from a screw's centre to the outside or the cutout; `None` without screws. [m]
    pub edge_m: Option<f64>,
    /// Least of that distance over the hole's diameter.
    pub edge_over_diameter: Option<f64>,
    /// Least distance between two screws. [m]
    pub pitch_m: Option<f64>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// Makes an adapter ring from stocked sheets.
///
/// # Errors
/// [`crate::Error::OutOfRange`], [`crate::Error::Shape`] as for a panel; [`crate::Error::Impossible`] where no layers make the depth.
///
/// ```
/// use mountwright::outline::Point;
/// use mountwright::shape::{Centres, Faces, Form, Grain, Hand, panel::Cutout, stack::Stocked};
/// use mountwright::shape::ring::{Holds, RingAsk, Screws, ring};
/// let stock = |mm: f64, price_per_m2| Stocked { name: format!("{mm} mm"), thickness_m: mm * 1e-3, price_per_m2 };
/// let made = ring(&RingAsk {
///     name: "door ring".into(),
///     hand: Hand::Either,
///     outer: Form::Circle { diameter_m: 0.176 },
///     cutout: Cutout { name: "driver".into(), form: Form::Circle { diameter_m: 0.142 }, at: Point::new(0.0, 0.0), turn_rad: 0.0 },
///     screws: vec![Screws { name: "driver screw".into(), holds: Holds::Driver,
///         centres: Centres::Circle { diameter_m: 0.157, count: 4, first_rad: 0.785 },
///         hole_m: 0.0032, depth_m: 0.012, countersink_m: None }],
///     depth_m: 0.025, over_m: 0.001,
///     stocked: vec![stock(12.5, 40.0), stock(6.0, 18.0)],
///     joint_price: 0.5, chamfer: None, finish_m: 0.0, faces: Faces::Alike, grain: Grain::Free,
/// })?;
/// assert_eq!(made.blanks.len(), 2);
/// assert!((made.web_m - 0.017).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn ring(ask: &RingAsk) -> Result<Ring> {
    let area =
        ask.outer.chain("outer")?.area_m2() - ask.cutout.form.chain(&ask.cutout.name)?.area_m2();
    let stack = stack(
        ask.depth_m,
        ask.over_m,
        &ask.stocked,
        area.max(0.0),
        ask.joint_price,
    )?;
    let count = stack.layers.len();
    let thicknesses: Vec<f64> = stack
        .layers
        .iter()
        .filter_map(|&i| ask.stocked.get(i).map(|s| s.thickness_m))
        .collect();
    for screws in &ask.screws {
        check(
            format!("depth_m of \"{}\"", screws.name),
            screws.depth_m,
            Range::new(0.0, stack.depth_m, "m"),
            "a pilot is at most as deep as the ring",
        )?;
    }
    let mut above = 0.0;
    let mut panels = vec![];
    for (i, &thickness_m) in thicknesses.iter().enumerate() {
        let name = if count == 1 {
            ask.name.clone()
        } else {
            format!("{} layer {} of {count}", ask.name, i + 1)
        };
        let mut made = panel(&PanelAsk {
            name,
            hand: ask.hand,
            thickness_m,
            outer: ask.outer.clone(),
            cutouts: vec![ask.cutout.clone()],
            holes: holes(ask, above, i == 0)?,
            finish_m: ask.finish_m,
            faces: ask.faces,
            grain: ask.grain,
        })?;
        above += thickness_m;
        let below = stack.depth_m - above;
        if let Some(mark) = chamfer(ask, &made.blank.outline, thickness_m, below)? {
            made.blank.marks.push(mark);
        }
        panels.push(made);
    }
    let least = |value: fn(&super::panel::Panel) -> Option<f64>| {
        panels.iter().filter_map(value).reduce(f64::min)
    };
    let opened = ask.chamfer.map_or(0.0, |c| c.depth_m * c.angle_rad.tan());
    let web = least(|p| p.web_m).unwrap_or(0.0) - opened;
    check(
        "chamfer.depth_m",
        ask.chamfer.map_or(0.0, |c| c.depth_m),
        Range::new(
            0.0,
            ask.chamfer
                .map_or(0.0, |c| (web + opened) / c.angle_rad.tan().max(1e-9)),
            "m",
        ),
        "the chamfer would cut through the outside: make it lower or steeper",
    )?;
    let mut notes = vec![];
    if count > 1 {
        notes.push(Note::new(
            "layers",
            format!(
                "glue {count} layers on their whole face, pressed flat, before drilling through"
            ),
        ));
    }
    let glue_area_m2 = panels
        .windows(2)
        .map(|pair| {
            pair.iter()
                .map(|p| p.blank.area_m2())
                .fold(f64::INFINITY, f64::min)
        })
        .sum();
    Ok(Ring {
        glue_area_m2,
        web_m: web,
        edge_m: least(|p| p.edge_m),
        edge_over_diameter: least(|p| p.edge_over_diameter),
        pitch_m: least(|p| p.pitch_m),
        blanks: panels.into_iter().map(|p| p.blank).collect(),
        stack,
        notes,
    })
}

/// Holes of the layer whose driver side lies `above_m` below the driver's face.
fn holes(ask: &RingAsk, above_m: f64, first: bool) -> Result<Vec<Hole>> {
    let outer = ask.outer.chain("outer")?;
    let mut holes = vec![];
    for screws in &ask.screws {
        let reaches = screws.holds == Holds::Vehicle || above_m < screws.depth_m - 1e-9;
        if !reaches {
            continue;
        }
        for centre in screws.centres.points(&screws.name, &outer)? {
            holes.push(Hole {
                name: screws.name.clone(),
                kind: HoleKind::Round,
                centre,
                diameter_m: screws.hole_m,
                countersink_m: screws.countersink_m.filter(|_| first),
            });
        }
    }
    Ok(holes)
}

/// The chamfer's line on the back of a layer that ends `below_m` above the vehicle's face.
fn chamfer(
    ask: &RingAsk,
    outline: &Outline,
    thickness_m: f64,
    below_m: f64,
) -> Result<Option<Mark>> {
    let Some(chamfer) = ask.chamfer else {
        return Ok(None);
    };
    check(
        "chamfer.depth_m",
        chamfer.depth_m,
        Range::new(0.0, (ask.depth_m - 3e-3).max(0.0), "m"),
        "leave at least 3 mm straight at the driver's face",
    )?;
    check(
        "chamfer.angle_rad",
        chamfer.angle_rad,
        Range::new(0.0, 1.3, "rad"),
        "45° is usual",
    )?;
    let here = (chamfer.depth_m - below_m).min(thickness_m);
    let widened = (chamfer.depth_m - below_m) * chamfer.angle_rad.tan();
    let Some(cutout) = outline
        .holes
        .first()
        .filter(|_| here > 1e-9 && widened > 0.0)
    else {
        return Ok(None);
    };
    let chain: Chain = cutout.offset(-widened)?;
    Ok(Some(Mark::Contour {
        what: Contour::Chamfer,
        chain,
        depth_m: here,
    }))
}
