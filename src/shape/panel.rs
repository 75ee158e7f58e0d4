//! A flat part: an outline with cutouts and drilled holes.

use serde::{Deserialize, Serialize};

use super::blank::{Blank, Contour, Drill, Faces, Grain, Hand, HoleKind, Mark};
use super::form::Form;
use super::limits;
use crate::error::{Error, Note, Range, Result, check};
use crate::outline::{Chain, Circle, Outline, Placement, Point};

/// An opening through a part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Cutout {
    /// What it is for: `driver`.
    pub name: String,
    /// Its form.
    pub form: Form,
    /// Where its centre lies.
    pub at: Point,
    /// Its turn, counter-clockwise. [rad]
    pub turn_rad: f64,
}

/// A drilled hole.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Hole {
    /// What it is for: `vehicle screw`.
    pub name: String,
    /// Round or a slot.
    pub kind: HoleKind,
    /// Centre.
    pub centre: Point,
    /// Diameter, or width of the slot; 0.5 mm to 0.1 m. [m]
    pub diameter_m: f64,
    /// Diameter of a countersink in the show face; `None` for none. [m]
    pub countersink_m: Option<f64>,
}

impl Hole {
    /// A round hole.
    pub fn round(name: impl Into<String>, centre: Point, diameter_m: f64) -> Self {
        Self {
            name: name.into(),
            kind: HoleKind::Round,
            centre,
            diameter_m,
            countersink_m: None,
        }
    }

    fn chain(&self) -> Chain {
        match self.kind {
            HoleKind::Round => Chain::circle(Circle {
                centre: self.centre,
                radius_m: self.diameter_m / 2.0,
            }),
            HoleKind::Slot {
                length_m,
                angle_rad,
            } => Chain::slot(self.centre, length_m, self.diameter_m, angle_rad),
        }
    }
}

/// What a flat part is asked to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PanelAsk {
    /// Name of the blank.
    pub name: String,
    /// The side of the vehicle that it is for.
    pub hand: Hand,
    /// Sheet thickness; 0.3 mm to 60 mm. [m]
    pub thickness_m: f64,
    /// The outside, as finished.
    pub outer: Form,
    /// Openings, as finished.
    pub cutouts: Vec<Cutout>,
    /// Holes, as drilled.
    pub holes: Vec<Hole>,
    /// Thickness that the finish adds to every edge; taken off the outside and added to cutouts. [m]
    pub finish_m: f64,
    /// The faces of the sheet.
    pub faces: Faces,
    /// The direction in the sheet.
    pub grain: Grain,
}

/// A flat part with the distances that decide whether it holds.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Panel {
    /// What is cut.
    pub blank: Blank,
    /// Narrowest web between a cutout and the outside or another cutout; `None` without cutouts. [m]
    pub web_m: Option<f64>,
    /// Least distance from a screw's centre, anywhere along its slot, to the outside or a cutout; `None` without holes. [m]
    pub edge_m: Option<f64>,
    /// Least of that distance over the hole's own diameter.
    pub edge_over_diameter: Option<f64>,
    /// Least distance between two hole centres; `None` below two holes. [m]
    pub pitch_m: Option<f64>,
}

/// Makes a flat part.
///
/// # Errors
/// [`Error::OutOfRange`] for a size that cannot be, [`Error::Shape`] for a cutout or hole outside the part or over
/// another, with its name and place.
///
/// ```
/// use mountwright::outline::Point;
/// use mountwright::shape::{Faces, Form, Grain, Hand, panel::{Cutout, Hole, PanelAsk, panel}};
/// let made = panel(&PanelAsk {
///     name: "door trim".into(),
///     hand: Hand::Left,
///     thickness_m: 0.003,
///     outer: Form::RoundedRectangle { width_m: 0.4, height_m: 0.25, corner_m: 0.02 },
///     cutouts: vec![Cutout { name: "pull".into(), form: Form::Stadium { width_m: 0.1, height_m: 0.03 },
///         at: Point::new(0.0, 0.05), turn_rad: 0.0 }],
///     holes: vec![Hole::round("screw", Point::new(-0.18, 0.0), 0.0045)],
///     finish_m: 0.0,
///     faces: Faces::OneSided,
///     grain: Grain::Free,
/// })?;
/// assert!((made.web_m.unwrap() - 0.06).abs() < 1e-12 && (made.edge_m.unwrap() - 0.02).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn panel(ask: &PanelAsk) -> Result<Panel> {
    limits::cut_thickness(ask.thickness_m)?;
    limits::edge_finish(ask.finish_m)?;
    let finished = ask.outer.chain("outer")?;
    let mut cutouts = vec![];
    for cutout in &ask.cutouts {
        fits(&finished, cutout)?;
        cutouts.push(placed(cutout)?);
    }
    let cut = Outline::new(finished, cutouts)
        .checked(&ask.name)
        .map_err(|e| named(e, ask))?
        .offset(-ask.finish_m)?;
    let mut notes = vec![];
    if ask.finish_m > 0.0 {
        notes.push(Note::new(
            "finish",
            format!(
                "edges are cut {:.2} mm back, cutouts that much wider, for the thickness of the finish",
                ask.finish_m * 1e3
            ),
        ));
    }
    let cut_length_m = cut.edge_length_m();
    let web_m = cut.web_m();
    let mut outline = cut.clone();
    let mut edges = vec![];
    for (i, hole) in ask.holes.iter().enumerate() {
        let drilled = drilled(i, hole, &cut)?;
        // A screw may stand anywhere along its slot: what counts is the place that is nearest to an edge.
        let wall_m = std::iter::once(&cut.outside)
            .chain(&cut.holes)
            .map(|edge| drilled.clearance_m(edge))
            .fold(f64::INFINITY, f64::min);
        edges.push((wall_m + hole.diameter_m / 2.0, hole.diameter_m));
        outline.holes.push(drilled.reversed());
    }
    let outline = outline.checked(&ask.name).map_err(|e| named(e, ask))?;
    let least = |values: &mut dyn Iterator<Item = f64>| values.reduce(f64::min);
    let pitch_m = least(&mut ask.holes.iter().enumerate().flat_map(|(i, a)| {
        ask.holes
            .iter()
            .skip(i + 1)
            .map(move |b| a.centre.distance_m(b.centre))
    }));
    Ok(Panel {
        web_m,
        edge_m: least(&mut edges.iter().map(|e| e.0)),
        edge_over_diameter: least(&mut edges.iter().map(|e| e.0 / e.1)),
        pitch_m,
        blank: Blank {
            name: ask.name.clone(),
            outline,
            thickness_m: ask.thickness_m,
            hand: ask.hand,
            marks: marks(ask),
            bends: vec![],
            heated: vec![],
            faces: ask.faces,
            grain: ask.grain,
            developed_length_m: None,
            thinning_fraction: 0.0,
            least_radius_m: None,
            trim_m: 0.0,
            cut_length_m,
            notes,
        },
    })
}

fn marks(ask: &PanelAsk) -> Vec<Mark> {
    let mut marks = vec![];
    for hole in &ask.holes {
        marks.push(Mark::Hole {
            name: hole.name.clone(),
            kind: hole.kind,
            centre: hole.centre,
            diameter_m: hole.diameter_m,
            drill: Drill::Now,
        });
        if let Some(head_m) = hole.countersink_m {
            marks.push(Mark::Contour {
                what: Contour::Countersink,
                chain: Chain::circle(Circle {
                    centre: hole.centre,
                    radius_m: head_m / 2.0,
                }),
                // A 90° head: as deep as it is wider than its hole, halved.
                depth_m: ((head_m - hole.diameter_m) / 2.0).max(0.0),
            });
        }
    }
    marks
}

fn placed(cutout: &Cutout) -> Result<Chain> {
    let chain = cutout.form.chain(&cutout.name)?;
    let within = Range::new(-5.0, 5.0, "m");
    for (axis, value) in [("x_m", cutout.at.x_m), ("y_m", cutout.at.y_m)] {
        check(
            format!("{}.at.{axis}", cutout.name),
            value,
            within,
            "give its centre",
        )?;
    }
    check(
        format!("{}.turn_rad", cutout.name),
        cutout.turn_rad,
        Range::new(-10.0, 10.0, "rad"),
        "give its turn",
    )?;
    let placement = Placement {
        turn_rad: cutout.turn_rad,
        x_m: cutout.at.x_m,
        y_m: cutout.at.y_m,
    };
    Ok(Outline::new(chain, vec![]).placed(placement).outside)
}

/// A cutout that is larger than the part gets an error with the size that would fit.
fn fits(outer: &Chain, cutout: &Cutout) -> Result<()> {
    let (left, bottom, right, top) = placed(cutout)?.bounds_m();
    let (l, b, r, t) = outer.bounds_m();
    for (name, given, room) in [
        ("width", right - left, r - l),
        ("height", top - bottom, t - b),
    ] {
        check(
            format!("{} of cutout \"{}\"", name, cutout.name),
            given,
            Range::new(0.0, room, "m"),
            "the cutout is larger than the part: take a larger outside or a smaller cutout",
        )?;
    }
    Ok(())
}

fn drilled(index: usize, hole: &Hole, part: &Outline) -> Result<Chain> {
    let what = |field: &str| format!("holes[{index}] \"{}\" {field}", hole.name);
    check(
        what("diameter_m"),
        hole.diameter_m,
        Range::new(5e-4, 0.1, "m"),
        "give its diameter",
    )?;
    if let HoleKind::Slot {
        length_m,
        angle_rad,
    } = hole.kind
    {
        check(
            what("length_m"),
            length_m,
            Range::new(hole.diameter_m, 0.5, "m"),
            "a slot is at least as long as it is wide",
        )?;
        check(
            what("angle_rad"),
            angle_rad,
            Range::new(-10.0, 10.0, "rad"),
            "give its direction",
        )?;
    }
    if let Some(head_m) = hole.countersink_m {
        check(
            what("countersink_m"),
            head_m,
            Range::new(hole.diameter_m, 0.1, "m"),
            "a countersink is wider than its hole",
        )?;
    }
    let chain = hole.chain();
    let room = part.edge_distance_m(hole.centre);
    if !part.holds(hole.centre) || part.outside.clearance_m(&chain) <= 0.0 {
        return Err(Error::Shape {
            what: what("").trim_end().into(),
            given: format!(
                "not inside the part: centre at x {:.2} mm, y {:.2} mm, {:.2} mm from the edge",
                hole.centre.x_m * 1e3,
                hole.centre.y_m * 1e3,
                room * 1e3
            ),
            allowed: format!(
                "a centre at least {:.2} mm inside every edge",
                hole.diameter_m * 5e2
            ),
        });
    }
    Ok(chain)
}

/// The same error with the feature's name in place of its number.
fn named(error: Error, ask: &PanelAsk) -> Error {
    let Error::Shape {
        what,
        mut given,
        allowed,
    } = error
    else {
        return error;
    };
    let names = ask
        .cutouts
        .iter()
        .map(|c| format!("cutout \"{}\"", c.name))
        .chain(ask.holes.iter().map(|h| format!("hole \"{}\"", h.name)));
    for (i, name) in names.enumerate() {
        given = given.replacen(
            &format!("faulty: hole {} ", i + 1),
            &format!("faulty: {name} "),
            1,
        );
    }
    Error::Shape {
        what,
        given,
        allowed,
    }
}
