//! Aim, wedges, gaskets and grilles in Python.

use pyo3::prelude::*;

use super::drawing::{SHAPES, blank_of};
use super::record;
use super::shape_parts::{Form, angle, faces, hand, length, maybe, word};
use crate::error::{Error, Result};
use crate::shape::Blank;
use crate::shape::aim::{AimAsk, WedgeAsk, aim as aimed, wedge as made_wedge};
use crate::shape::grille::{GrilleAsk, grille as made_grille};
use crate::shape::seal::{SealAsk, seals as made_seals};

/// Three numbers of a point or a direction.
fn triple(what: &str, given: Vec<f64>) -> Result<[f64; 3]> {
    <[f64; 3]>::try_from(given).map_err(|given| Error::Shape {
        what: what.into(),
        given: format!("{} numbers", given.len()),
        allowed: "three: forward, to the left, up".into(),
    })
}

fn blanks_of(any: &Bound<'_, PyAny>) -> PyResult<Vec<Blank>> {
    any.try_iter()?.map(|blank| blank_of(&blank?)).collect()
}

/// Aim one tweeter at a listener; left and right are asked apart, for they are no mirror images.
///
/// Parameters
/// ----------
/// at_m, listener_m : tuple of three float
///     The dome and the ear that it looks at, from one point of the vehicle: forward, to the left,
///     up. [m]
/// normal : tuple of three float
///     Direction in which the surface under the pod looks.
/// along : tuple of three float
///     Direction along the surface from which the turn is counted.
///
/// Returns
/// -------
/// Aim
///     ``distance_m``; ``turn_rad`` of the body's axis on the surface; ``lift_rad`` off it, the angle
///     of the wedge.
///
/// Raises
/// ------
/// OutOfRangeError
///     A point cannot be.
/// ShapeError
///     ``along`` points off the surface; a point or direction has not three numbers.
///
/// Examples
/// --------
/// >>> left = mw.aim((0, 0.6, 0.9), (-1.0, -0.4, 1.0), normal=(-0.5, -0.8, 0.2), along=(0, 0, 1))
/// >>> round(left.distance_m, 3)
/// 1.418
#[pyfunction]
#[pyo3(signature = (at_m, listener_m, *, normal, along))]
pub(super) fn aim(
    py: Python<'_>,
    at_m: Vec<f64>,
    listener_m: Vec<f64>,
    normal: Vec<f64>,
    along: Vec<f64>,
) -> PyResult<Bound<'_, PyAny>> {
    let made = aimed(&AimAsk {
        at_m: triple("at_m", at_m)?,
        listener_m: triple("listener_m", listener_m)?,
        normal: triple("normal", normal)?,
        along: triple("along", along)?,
    })?;
    record::give_from(py, SHAPES, "Aim", &made)
}

/// Make the wedge that lifts a pod off its surface, one under each tab.
///
/// Parameters
/// ----------
/// name : str
///     What the part is called.
/// lift : str
///     The angle.
/// length, width : str, default "22 mm", "24 mm"
///     Those of the tab; the slope runs along the width.
/// thin : str, default "1.5 mm"
///     Thickness at the thin edge.
/// hole : str, default "4.5 mm"
///     Clearance hole of the screw.
/// hand : {"either", "left", "right"}
///     Side of the vehicle.
///
/// Returns
/// -------
/// Wedge
///     ``blank`` (its sloping face), ``side`` (its profile), ``thick_m``, ``longer_screw_m``.
///
/// Raises
/// ------
/// OutOfRangeError
///     A size or the angle cannot be.
/// UnitError
///     A text is no length or angle.
///
/// Examples
/// --------
/// >>> round(mw.wedge("left wedge", lift="10°").thick_m * 1e3, 2)
/// 5.73
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords in Python
#[pyo3(signature = (name, *, lift, length = "22 mm", width = "24 mm", thin = "1.5 mm", hole = "4.5 mm", hand = "either"))]
pub(super) fn wedge<'py>(
    py: Python<'py>,
    name: String,
    lift: &str,
    length: &str,
    width: &str,
    thin: &str,
    hole: &str,
    hand: &str,
) -> PyResult<Bound<'py, PyAny>> {
    use super::shape_parts::length as metres;
    let made = made_wedge(&WedgeAsk {
        name,
        hand: self::hand(hand)?,
        length_m: metres("length", length)?,
        width_m: metres("width", width)?,
        lift_rad: angle("lift", lift)?,
        thin_m: metres("thin", thin)?,
        hole_m: metres("hole", hole)?,
    })?;
    record::give_from(py, SHAPES, "Wedge", &made)
}

/// Make the gaskets of a ring, a collar to the trim, and say what its screws need in steel.
///
/// Parameters
/// ----------
/// ring : AdapterRing
///     The ring.
/// flange : str
///     Diameter of the driver's flange.
/// foam : str, default "5 mm"
///     Thickness of the closed-cell foam before it is pressed.
/// trim_gap : str, optional
///     From the driver's face to the back of the trim, where a collar closes it.
/// fixing : {"rivet-nut", "clip-nut", "through-bolt"}, optional
///     What takes the ring's screws in steel.
/// screw : str, default "5 mm"
///     Thread of the ring's screws.
///
/// Returns
/// -------
/// Seals
///     ``driver``, ``vehicle`` and ``collar`` blanks, ``pressed_m``, ``strip_m``, ``notes``.
///
/// Raises
/// ------
/// OutOfRangeError
///     A size cannot be, or the flange does not cover the cutout.
/// UnknownNameError
///     No fixing has that name.
/// UnitError
///     A text is no length.
///
/// Examples
/// --------
/// >>> ring = mw.adapter_ring("ring", mw.Form.circle("176 mm"), mw.Form.circle("142 mm"),
/// ...     depth="12.5 mm", stock=[("12.5 mm", 40.0)])
/// >>> round(mw.seals(ring, flange="165 mm").pressed_m, 4)
/// 0.003
#[pyfunction]
#[pyo3(signature = (ring, *, flange, foam = "5 mm", trim_gap = None, fixing = None, screw = "5 mm"))]
pub(super) fn seals<'py>(
    py: Python<'py>,
    ring: &Bound<'py, PyAny>,
    flange: &str,
    foam: &str,
    trim_gap: Option<&str>,
    fixing: Option<&str>,
    screw: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let layers = blanks_of(&ring.getattr("blanks")?)?;
    let fixing = fixing
        .map(|f| word("fixing", f, &["rivet-nut", "clip-nut", "through-bolt"]))
        .transpose()?;
    let ask = SealAsk {
        flange_m: length("flange", flange)?,
        free_m: length("foam", foam)?,
        trim_gap_m: maybe("trim_gap", trim_gap)?,
        fixing,
        screw_m: length("screw", screw)?,
    };
    let made = py.detach(|| made_seals(&layers, &ask))?;
    record::give_from(py, SHAPES, "Seals", &made)
}

/// Make a grille as parts: a trim ring with a recess, the mesh, and a ring that retains it.
///
/// Parameters
/// ----------
/// name : str
///     What the part is called.
/// outer, opening : Form
///     Outside and opening of the trim ring, as finished.
/// thickness, retainer, mesh : str
///     Thickness of the trim ring's sheet, of the retaining ring's, and of the mesh.
/// lap : str, default "8 mm"
///     How far the mesh lies under the trim ring.
/// wrap : str, default "0 mm"
///     Thickness of wrap, paint or cloth.
/// play : str, default "0.5 mm"
///     Play between mesh, retaining ring and recess.
/// cone : tuple of two str, optional
///     Greatest travel of the cone forwards, and the distance from its rest to the trim ring's back.
/// hand : {"either", "left", "right"}
///     Side of the vehicle.
/// faces : {"alike", "one-sided"}
///     Faces of the sheet.
///
/// Returns
/// -------
/// Grille
///     ``frame``, ``mesh`` and ``retainer`` blanks, ``recess_m``, ``left_m``, ``cone_room_m``.
///
/// Raises
/// ------
/// OutOfRangeError
///     The recess leaves too little, or the cone would touch the mesh.
/// UnitError
///     A text is no length.
///
/// Examples
/// --------
/// >>> made = mw.grille("grille", mw.Form.circle("190 mm"), mw.Form.circle("140 mm"),
/// ...     thickness="6 mm", retainer="2 mm", mesh="1 mm", cone=("5 mm", "8 mm"))
/// >>> round(made.recess_m, 4), round(made.cone_room_m, 4)
/// (0.003, 0.005)
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords in Python
#[pyo3(signature = (name, outer, opening, *, thickness, retainer, mesh, lap = "8 mm", wrap = "0 mm", play = "0.5 mm", cone = None, hand = "either", faces = "alike"))]
pub(super) fn grille<'py>(
    py: Python<'py>,
    name: String,
    outer: Form,
    opening: Form,
    thickness: &str,
    retainer: &str,
    mesh: &str,
    lap: &str,
    wrap: &str,
    play: &str,
    cone: Option<(String, String)>,
    hand: &str,
    faces: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let ask = GrilleAsk {
        name,
        hand: self::hand(hand)?,
        outer: outer.core,
        opening: opening.core,
        thickness_m: length("thickness", thickness)?,
        retainer_m: length("retainer", retainer)?,
        mesh_m: length("mesh", mesh)?,
        lap_m: length("lap", lap)?,
        wrap_m: length("wrap", wrap)?,
        play_m: length("play", play)?,
        cone_m: match cone {
            None => None,
            Some((travel, rest)) => Some((
                length("cone, travel", &travel)?,
                length("cone, distance", &rest)?,
            )),
        },
        faces: self::faces(faces)?,
    };
    let made = py.detach(|| made_grille(&ask))?;
    record::give_from(py, SHAPES, "Grille", &made)
}
