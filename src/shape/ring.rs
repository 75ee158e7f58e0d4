//! An adapter ring: one outline, one cutout, screws on both sides, layers glued to a depth.

use serde::{Deserialize, Serialize};

use super::blank::{Blank, Contour, Faces, Grain, Hand, HoleKind, Mark};
use super::form::{Centres, Form};
use super::panel::{Cutout, Hole, PanelAsk, panel};
use super::stack::{Stack, Stocked, stack};
use crate::error::{Error, Note, Range, Result, check};
use crate::outline::{Chain, Outline, Point};
use crate::sourced::{Constant, Standing};

/// What screws hold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Holds {
    /// The driver is screwed to the ring.
    Driver,
    /// The ring is screwed to the vehicle, through all layers.
    Vehicle,
}

/// One set of screws.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Screws {
    /// Name: `vehicle screw`.
    pub name: String,
    /// What they hold.
    pub holds: Holds,
    /// Where they sit.
    pub centres: Centres,
    /// Diameter of the hole: clearance for the vehicle, pilot for the driver. [m]
    pub hole_m: f64,
    /// How deep a driver screw needs its pilot, from the driver's face, through the front layer at least; vehicle holes go
    /// through all. [m]
    pub depth_m: f64,
    /// Diameter of a countersink in the driver's face. [m]
    pub countersink_m: Option<f64>,
    /// A threaded insert that takes them; its own hole counts then, and `hole_m` does not.
    pub insert: Option<Insert>,
}

/// A threaded insert.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Insert {
    /// Outside diameter. [m]
    pub outside_m: f64,
    /// Length. [m]
    pub length_m: f64,
}

impl Insert {
    /// Diameter of its hole: [`INSERT_OVER_M`] more than the insert, no chamfer at the mouth. [m]
    pub fn hole_m(&self) -> f64 {
        self.outside_m + INSERT_OVER_M.value
    }

    /// Depth of its hole: [`INSERT_BEYOND_M`] more than its length. [m]
    pub fn depth_m(&self) -> f64 {
        self.length_m + INSERT_BEYOND_M.value
    }
}

/// How much wider than an insert its hole is drilled.
pub const INSERT_OVER_M: Constant = Constant {
    name: "ring.insert_over",
    value: 1e-4,
    low: 0.0,
    high: 1e-4,
    unit: "m",
    source: "a press-in insert maker's page: hole tolerance +0.10/-0 mm",
    standing: Standing::Published,
};

/// How much deeper than an insert its hole is drilled.
pub const INSERT_BEYOND_M: Constant = Constant {
    name: "ring.insert_beyond",
    value: 2.5e-3,
    low: 2e-3,
    high: 3e-3,
    unit: "m",
    source: "a self-tapping insert maker's guide: 2 to 3 mm",
    standing: Standing::Published,
};

/// Wall that an insert needs around it, over its outside diameter.
pub const INSERT_WALL: Constant = Constant {
    name: "ring.insert_wall",
    value: 0.5,
    low: 0.25,
    high: 0.9,
    unit: "1",
    source: "a self-tapping insert maker's guide, commodity plastics: 0.25 to 0.9",
    standing: Standing::Published,
};

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
    /// Bevel of the driver's face along the upper outer edge, that sheds water; 0 for none. [m]
    pub bevel_m: f64,
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
    /// Narrowest place between cutout and outside through a screw's centre; `None` without screws. [m]
    pub web_at_screws_m: Option<f64>,
    /// Diameter of the largest circle about the centre in the outside. [m]
    pub room_m: f64,
    /// Least distance from a screw's centre to the outside or the cutout; `None` without screws. [m]
    pub edge_m: Option<f64>,
    /// That of the driver's screws alone. [m]
    pub driver_edge_m: Option<f64>,
    /// That of the vehicle's screws alone. [m]
    pub vehicle_edge_m: Option<f64>,
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
///         hole_m: 0.0032, depth_m: 0.012, countersink_m: None, insert: None }],
///     depth_m: 0.025, over_m: 0.001,
///     stocked: vec![stock(12.5, 40.0), stock(6.0, 18.0)],
///     joint_price: 0.5, chamfer: None, bevel_m: 0.0, finish_m: 0.0, faces: Faces::Alike, grain: Grain::Free,
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
    check(
        "bevel_m",
        ask.bevel_m,
        Range::new(0.0, 0.03, "m"),
        "3 mm is usual",
    )?;
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
        if i == 0 && ask.bevel_m > 0.0 {
            made.blank
                .marks
                .push(bevel(ask, &made.blank.outline, thickness_m)?);
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
    let front = panels.first().map(|p| &p.blank.outline);
    let sets = (ask.screws.iter())
        .map(|screws| beside(ask, screws, front, stack.depth_m))
        .collect::<Result<Vec<Option<Beside>>>>()?;
    let mut notes = inserts(ask, &sets)?;
    let of_sets = |value: fn(&Beside) -> f64| (sets.iter().flatten().map(value)).reduce(f64::min);
    let edge_of = |holds: Holds| {
        let pairs = ask.screws.iter().zip(&sets);
        let held = pairs.filter(|(screws, _)| screws.holds == holds);
        held.filter_map(|(_, set)| set.map(|set| set.edge_m))
            .reduce(f64::min)
    };
    if count > 1 {
        notes.push(Note::new(
            "layers",
            format!(
                "glue {count} layers on their whole face, pressed flat, before drilling through"
            ),
        ));
    }
    let mut glue_area_m2 = 0.0;
    let mut below_m = stack.depth_m;
    for pair in panels.windows(2) {
        let areas = pair.iter().map(|p| p.blank.area_m2());
        below_m -= pair.first().map_or(0.0, |p| p.blank.thickness_m);
        let opened = front.map_or(Ok(0.0), |front| opened_m2(ask, front, below_m))?;
        glue_area_m2 += areas.fold(f64::INFINITY, f64::min) - opened;
    }
    Ok(Ring {
        glue_area_m2,
        web_m: web,
        web_at_screws_m: of_sets(|set| set.web_m),
        room_m: panels.first().map_or(0.0, |p| {
            2.0 * p.blank.outline.outside.distance_m(Point::new(0.0, 0.0))
        }),
        edge_m: of_sets(|set| set.edge_m),
        driver_edge_m: edge_of(Holds::Driver),
        vehicle_edge_m: edge_of(Holds::Vehicle),
        edge_over_diameter: of_sets(|set| set.edge_over_diameter),
        pitch_m: least(|p| p.pitch_m),
        blanks: panels.into_iter().map(|p| p.blank).collect(),
        stack,
        notes,
    })
}

/// What stands beside one set of screws, at its narrowest.
#[derive(Debug, Clone, Copy)]
struct Beside {
    /// Least distance of a centre from the outside or the cutout over the hole's diameter.
    edge_over_diameter: f64,
    /// From a centre to the outside or the cutout. [m]
    edge_m: f64,
    /// Cutout to outside through a centre. [m]
    web_m: f64,
}

/// How far a chamfer has widened the cutout `below_m` above the vehicle's face. [m]
fn widened_m(ask: &RingAsk, below_m: f64) -> f64 {
    let opens = |c: Chamfer| (c.depth_m - below_m).max(0.0) * c.angle_rad.tan();
    ask.chamfer.map_or(0.0, opens)
}

/// Glue area that a chamfer has taken `below_m` above the vehicle's face. [m²]
fn opened_m2(ask: &RingAsk, front: &Outline, below_m: f64) -> Result<f64> {
    let widened = widened_m(ask, below_m);
    match front.holes.first() {
        Some(cutout) if widened > 1e-9 => {
            Ok(cutout.offset(-widened)?.area_m2().abs() - cutout.area_m2().abs())
        }
        _ => Ok(0.0),
    }
}

/// What a set of screws has beside it, where a chamfer has widened the cutout most along its holes.
fn beside(
    ask: &RingAsk,
    screws: &Screws,
    front: Option<&Outline>,
    depth_m: f64,
) -> Result<Option<Beside>> {
    // The cutout stands before the drilled holes.
    let Some((outline, cutout)) = front.and_then(|o| Some((o, o.holes.first()?))) else {
        return Ok(None);
    };
    let (hole_m, deep_m) = screws.insert.map_or((screws.hole_m, screws.depth_m), |i| {
        (i.hole_m(), i.depth_m())
    });
    let below_m = match screws.holds {
        Holds::Vehicle => 0.0,
        Holds::Driver => (depth_m - deep_m).max(0.0),
    };
    let opened = widened_m(ask, below_m);
    let (mut edge_m, mut web_m) = (f64::INFINITY, f64::INFINITY);
    for centre in screws
        .centres
        .points(&screws.name, &ask.outer.chain("outer")?)?
    {
        let to_outside = outline.outside.distance_m(centre);
        let to_cutout = cutout.distance_m(centre) - opened;
        edge_m = edge_m.min(to_outside).min(to_cutout);
        web_m = web_m.min(to_outside + to_cutout);
    }
    if opened > 0.0 && edge_m < hole_m / 2.0 {
        return Err(Error::OutOfRange {
            what: format!("chamfer.depth_m beside the holes of \"{}\"", screws.name),
            given: ask.chamfer.map_or(0.0, |c| c.depth_m),
            allowed: Range::new(
                0.0,
                ask.chamfer.map_or(0.0, |c| {
                    let less = (hole_m / 2.0 - edge_m) / c.angle_rad.tan().max(1e-9);
                    (c.depth_m - less).max(0.0)
                }),
                "m",
            ),
            remedy: "the chamfer would cut these holes open: make it lower or steeper, or move the screws out".into(),
        });
    }
    Ok((edge_m.is_finite()).then_some(Beside {
        edge_over_diameter: edge_m / hole_m,
        edge_m,
        web_m,
    }))
}

/// Holes of the layer whose driver side lies `above_m` below the driver's face.
fn holes(ask: &RingAsk, above_m: f64, first: bool) -> Result<Vec<Hole>> {
    let outer = ask.outer.chain("outer")?;
    let mut holes = vec![];
    for screws in &ask.screws {
        let depth_m = screws.insert.map_or(screws.depth_m, |i| i.depth_m());
        let reaches = first || screws.holds == Holds::Vehicle || above_m < depth_m - 1e-9;
        if !reaches {
            continue;
        }
        for centre in screws.centres.points(&screws.name, &outer)? {
            holes.push(Hole {
                name: screws.name.clone(),
                kind: HoleKind::Round,
                centre,
                diameter_m: screws.insert.map_or(screws.hole_m, |i| i.hole_m()),
                countersink_m: screws.countersink_m.filter(|_| first),
            });
        }
    }
    Ok(holes)
}

/// Inserts need a wall around them and a depth to sit in.
fn inserts(ask: &RingAsk, sets: &[Option<Beside>]) -> Result<Vec<Note>> {
    let mut notes = vec![];
    for (screws, set) in ask.screws.iter().zip(sets) {
        let Some(insert) = screws.insert else {
            continue;
        };
        let name = &screws.name;
        check(
            format!("insert of \"{name}\", outside_m"),
            insert.outside_m,
            Range::new(2e-3, 0.02, "m"),
            "measure the insert",
        )?;
        check(
            format!("insert of \"{name}\", length_m"),
            insert.length_m,
            Range::new(2e-3, (ask.depth_m - INSERT_BEYOND_M.value).max(2e-3), "m"),
            "the insert is too long for the ring: take a shorter one or a deeper ring",
        )?;
        let need = insert.hole_m() / 2.0 + INSERT_WALL.value * insert.outside_m;
        check(
            format!("edge distance of \"{name}\""),
            set.map_or(need, |set| set.edge_m),
            Range::new(need, f64::INFINITY, "m"),
            "an insert needs half of its diameter of sheet around it: move the screws, widen the ring or take a smaller insert",
        )?;
        notes.push(Note::new(
            name.clone(),
            format!(
                "insert: drill {:.2} mm, {:.1} mm deep, without a chamfer, sink it by 1 mm; a heat-set insert needs solid thermoplastic, never foamed sheet",
                insert.hole_m() * 1e3,
                insert.depth_m() * 1e3
            ),
        ));
    }
    Ok(notes)
}

/// The line from which the upper outer edge is bevelled at 45°.
fn bevel(ask: &RingAsk, outline: &Outline, thickness_m: f64) -> Result<Mark> {
    check(
        "bevel_m",
        ask.bevel_m,
        Range::new(0.0, 0.5 * thickness_m, "m"),
        "a bevel takes at most half of the front layer",
    )?;
    Ok(Mark::Contour {
        what: Contour::Bevel,
        chain: outline.outside.offset(-ask.bevel_m)?,
        depth_m: ask.bevel_m,
    })
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
