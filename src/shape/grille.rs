//! A grille as parts: a trim ring with a recess for its mesh, the mesh, and a ring that retains it.

use serde::Serialize;

use super::blank::{Blank, Contour, Faces, Grain, Hand, Mark};
use super::form::Form;
use super::panel::{Cutout, PanelAsk, panel};
use crate::error::{Note, Range, Result, check};
use crate::outline::{Outline, Point};
use crate::sourced::{Constant, Standing};

/// Room that a cone needs in front of its greatest travel.
pub const CONE_ROOM_M: Constant = Constant {
    name: "grille.cone_room",
    value: 3.0e-3,
    low: 2.0e-3,
    high: 5.0e-3,
    unit: "m",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// What a grille is asked to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GrilleAsk {
    /// Name of the part.
    pub name: String,
    /// The side of the vehicle that it is for.
    pub hand: Hand,
    /// The trim ring's outside, as finished.
    pub outer: Form,
    /// The opening through which the driver is seen, as finished.
    pub opening: Form,
    /// Thickness of the trim ring's sheet. [m]
    pub thickness_m: f64,
    /// Thickness of the retaining ring's sheet. [m]
    pub retainer_m: f64,
    /// Thickness of the mesh. [m]
    pub mesh_m: f64,
    /// How far the mesh lies under the trim ring all round; 2 to 30 mm. [m]
    pub lap_m: f64,
    /// Thickness of the wrap, paint or cloth: on the edge of the opening and once under the mesh. [m]
    pub wrap_m: f64,
    /// Play between mesh, retaining ring and recess all round. [m]
    pub play_m: f64,
    /// Greatest travel of the cone forwards, and the distance from its rest to the back of the trim ring. [m]
    pub cone_m: Option<(f64, f64)>,
    /// The faces of the sheet.
    pub faces: Faces,
}

/// A grille.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Grille {
    /// The visible ring, with the recess marked on its back.
    pub frame: Blank,
    /// The mesh.
    pub mesh: Blank,
    /// The ring that holds the mesh in its recess.
    pub retainer: Blank,
    /// Depth of the recess from the back: mesh, wrap and retaining ring. [m]
    pub recess_m: f64,
    /// What is left of the trim ring in front of the recess. [m]
    pub left_m: f64,
    /// What is left beside the recess, at its narrowest. [m]
    pub web_m: f64,
    /// Room left between the cone at its greatest travel and the mesh. [m]
    pub cone_room_m: Option<f64>,
    /// Remarks.
    pub notes: Vec<Note>,
}

impl Grille {
    /// What guides the router round the recess: the frame's outside, open as wide as the recess.
    pub fn recess_board(&self) -> Blank {
        let recess = self.frame.marks.iter().filter_map(|mark| match mark {
            Mark::Contour {
                what: Contour::Recess,
                chain,
                ..
            } => Some(chain.clone()),
            _ => None,
        });
        Blank {
            name: format!("{} recess", self.frame.name),
            outline: Outline {
                outside: self.frame.outline.outside.clone(),
                holes: recess.collect(),
            },
            ..self.frame.clone()
        }
    }
}

/// Makes a grille.
///
/// # Errors
/// [`crate::Error::OutOfRange`] where the recess leaves less than 1 mm of the sheet, or a cone would touch the mesh;
/// otherwise as for a panel.
///
/// ```
/// use mountwright::shape::{Faces, Form, Hand, grille::{GrilleAsk, grille}};
/// let made = grille(&GrilleAsk { name: "door grille".into(), hand: Hand::Either,
///     outer: Form::Circle { diameter_m: 0.19 }, opening: Form::Circle { diameter_m: 0.14 },
///     thickness_m: 0.006, retainer_m: 0.002, mesh_m: 0.001, lap_m: 0.008, wrap_m: 0.0005, play_m: 0.0005,
///     cone_m: Some((0.005, 0.008)), faces: Faces::Alike })?;
/// assert!((made.recess_m - 0.0035).abs() < 1e-12 && made.cone_room_m.unwrap() > 0.003);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn grille(ask: &GrilleAsk) -> Result<Grille> {
    // As thick as a finish may be.
    let thin = Range::new(0.0, 2e-3, "m");
    check("wrap_m", ask.wrap_m, thin, "measure the wrap")?;
    check(
        "play_m",
        ask.play_m,
        Range::new(0.0, 3e-3, "m"),
        "0.5 mm is usual",
    )?;
    check(
        "mesh_m",
        ask.mesh_m,
        Range::new(1e-4, 5e-3, "m"),
        "measure the mesh",
    )?;
    // The retaining ring has play outside, wrap and play inside, and 2 mm of its own.
    let least_lap = 2e-3 + 2.0 * ask.play_m + ask.wrap_m;
    check(
        "lap_m",
        ask.lap_m,
        Range::computed(least_lap, 0.03, "m"),
        "the mesh must lie under its ring by at least 2 mm, beside play and wrap",
    )?;
    let recess_m = ask.mesh_m + ask.wrap_m + ask.retainer_m;
    check(
        "thickness_m",
        ask.thickness_m,
        Range::new(recess_m + 1e-3, 0.06, "m"),
        "the recess for mesh, wrap and retaining ring would leave less than 1 mm: take thicker sheet or a thinner retaining ring",
    )?;
    let cutout = |form: Form| Cutout {
        name: "opening".into(),
        form,
        at: Point::new(0.0, 0.0),
        turn_rad: 0.0,
    };
    let ring =
        |name: String, outer: Form, thickness_m: f64, holes: Vec<Cutout>, finish_m: f64, faces| {
            panel(&PanelAsk {
                name,
                hand: ask.hand,
                thickness_m,
                outer,
                cutouts: holes,
                holes: vec![],
                finish_m,
                faces,
                grain: Grain::Free,
            })
            .map(|p| p.blank)
        };
    let opening = ask.opening.chain("opening")?;
    let recess = opening.offset(ask.lap_m)?;
    let mut frame = ring(
        ask.name.clone(),
        ask.outer.clone(),
        ask.thickness_m,
        vec![cutout(ask.opening.clone())],
        ask.wrap_m,
        ask.faces,
    )?;
    let outer = ask.outer.chain("outer")?;
    let web = outer.clearance_m(&recess);
    check(
        "lap_m",
        ask.lap_m,
        Range::computed(least_lap, ask.lap_m + web - 3e-3, "m"),
        "the recess would leave less than 3 mm of the ring's edge: take less lap or a larger outside",
    )?;
    frame.marks.push(Mark::Contour {
        what: Contour::Recess,
        chain: recess.clone(),
        depth_m: recess_m,
    });
    let mut mesh = ring(
        format!("{} mesh", ask.name),
        Form::Traced(recess.offset(-ask.play_m)?),
        ask.mesh_m.max(3e-4),
        vec![],
        0.0,
        Faces::Alike,
    )?;
    mesh.thickness_m = ask.mesh_m;
    let retainer = ring(
        format!("{} retaining ring", ask.name),
        Form::Traced(recess.offset(-ask.play_m)?),
        ask.retainer_m,
        vec![cutout(Form::Traced(
            opening.offset(ask.wrap_m + ask.play_m)?,
        ))],
        0.0,
        Faces::Alike,
    )?;
    let mut notes = vec![Note::new(
        "grille",
        "route the recess from the back, before the opening is cut; wrap the trim ring, the film trimmed in the recess's corner, lay the mesh in, then glue the retaining ring in over it, its edge to the recess's bare wall, all round",
    )];
    let cone_room_m = ask
        .cone_m
        .map(|cone| cone_room(ask, cone, &mut notes))
        .transpose()?;
    Ok(Grille {
        frame,
        mesh,
        retainer,
        recess_m,
        left_m: ask.thickness_m - recess_m,
        web_m: web,
        cone_room_m,
        notes,
    })
}

/// Room in front of a cone's greatest travel. [m]
fn cone_room(
    ask: &GrilleAsk,
    (travel_m, rest_m): (f64, f64),
    notes: &mut Vec<Note>,
) -> Result<f64> {
    check(
        "cone travel",
        travel_m,
        Range::new(0.0, 0.05, "m"),
        "take it from the driver's data sheet",
    )?;
    // The mesh's back face stands a retaining ring in front of the trim ring's back.
    let room = rest_m + ask.retainer_m - travel_m;
    check(
        "distance from the cone to the trim ring",
        rest_m,
        Range::new(travel_m + CONE_ROOM_M.value - ask.retainer_m, 0.2, "m"),
        "the cone would touch the mesh: set the grille further out, or take a flatter mesh",
    )?;
    notes.push(Note::new(
        "cone",
        format!(
            "{:.1} mm are left in front of its greatest travel",
            room * 1e3
        ),
    ));
    Ok(room)
}
