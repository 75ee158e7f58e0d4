//! Straps, rings, panels in Python.

use pyo3::prelude::*;

use super::record;
use super::shape_leg::Leg;
use super::shape_parts::{Cutout, Form, angle, faces, grain, hand, length, maybe, point, word};
use super::shape_screws::{Hole, Screws};
use crate::error::Result;
use crate::material::{Catalogue, Property};
use crate::shape::panel::{PanelAsk, panel as made_panel};
use crate::shape::ring::{Chamfer, RingAsk, ring};
use crate::shape::stack::Stocked;
use crate::shape::strap::{Body, Side, StrapAsk, TabHoles, WireExit, strap as made_strap};

/// The body of a strap: a diameter, two sizes of an oval, or points of a profile.
#[derive(FromPyObject)]
pub(super) enum BodyText {
    Round(String),
    Oval((String, String)),
    Profile(Vec<(String, String)>),
}

impl BodyText {
    fn core(&self) -> Result<Body> {
        Ok(match self {
            Self::Round(diameter) => Body::Round {
                radius_m: length("body", diameter)? / 2.0,
            },
            Self::Oval((width, height)) => Body::Oval {
                width_m: length("body, width", width)?,
                height_m: length("body, height", height)?,
            },
            Self::Profile(points) => Body::Profile {
                points: points
                    .iter()
                    .enumerate()
                    .map(|(i, p)| point(&format!("body[{i}]"), p))
                    .collect::<Result<_>>()?,
            },
        })
    }
}

/// A property of a material, where a material is named and has it.
pub(super) fn of_material(name: Option<&str>, property: Property) -> Result<Option<f64>> {
    match name {
        None => Ok(None),
        Some(name) => Ok(Catalogue::standard()?.get(name)?.properties().get(property)),
    }
}

/// Develop a strap that is wrapped round a body over foam and screwed down by two tabs.
///
/// Parameters
/// ----------
/// name : str
///     What the part is called.
/// thickness : str
///     Thickness of the sheet.
/// body : str, tuple of two str, or list of such tuples
///     Diameter of a round body; width and height of an oval one; or points of a profile taken by
///     card or gauge, from the body's axis (a strap bridges its hollows).
/// left, right : Leg
///     The two legs, seen from the show face; they may differ in everything.
/// hand : {"either", "left", "right"}
///     Side of the vehicle.
/// foam : str, default "0 mm"
///     Foam between body and strap, pressed.
/// middle_width : str, optional
///     Width over the body; that of the wider tab if left out.
/// middle_length : str, optional
///     Length along the strap that keeps this width.
/// foot_radius : str, optional
///     Inside radius of both foot bends; twice the thickness if left out.
/// material : str, optional
///     Takes the least bend radius and the shrinkage from the catalogue.
/// neutral : float, default 0.5
///     Place of the neutral axis from the inside face: 0.5 limp and free, 0 pulled tight on a form.
/// hole : str, default "4.5 mm"
///     Screw holes; drilled after the trial fit.
/// slot : str, default "7 mm"
///     Length of the slot at one end.
/// slot_at : {"right", "left"}
///     Which end has it.
/// spacing : str, optional
///     Distance between the screws, where it differs from the middles of the tabs.
/// trim : str, default "8 mm"
///     Extra length at each end, cut off after the trial fit.
/// shrink : float, optional
///     Share of its length that the sheet loses when heated; the material's if left out.
/// finish : str, default "0 mm"
///     Thickness that the finish adds to every edge.
/// faces : {"alike", "one-sided"}
///     Faces of the sheet.
/// grain : {"free", "along-x", "along-y"}
///     Direction in the sheet.
/// available : str, optional
///     Length of the piece at hand.
/// wire : str, optional
///     Width of a notch for the cable, in the lower edge at ``wire_along``.
/// wire_along : str, default "0 mm"
///     Where it lies from the body's middle, to the right.
/// body_length, bare : str, optional
///     Length of the body along its axis, and how much of it must stay bare (dome, grille).
///
/// Returns
/// -------
/// Strap
///     The blank with its bends, zones and marks, the foam, both legs, how the body comes out.
///
/// Raises
/// ------
/// OutOfRangeError
///     A measurement cannot be; it names the feature and the range that works.
/// UnitError
///     A text is no length or angle.
/// ShapeError
///     A profile or a leg that does not fit together.
/// UnknownNameError
///     No material, side or face has that name.
///
/// Examples
/// --------
/// >>> leg = mw.Leg(screw="57 mm", height="27 mm")
/// >>> pod = mw.strap("pod", thickness="3 mm", body="47 mm", left=leg, right=leg, foam="2 mm")
/// >>> round(pod.developed_length_m * 1e3, 1), pod.removal
/// (193.8, 'down')
/// >>> pod.blank.drawing().svg()[:4]
/// '<svg'
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords in Python
#[pyo3(signature = (name, *, thickness, body, left, right, hand = "either", foam = "0 mm", middle_width = None, middle_length = None, foot_radius = None, material = None, neutral = 0.5, hole = "4.5 mm", slot = "7 mm", slot_at = "right", spacing = None, trim = "8 mm", shrink = None, finish = "0 mm", faces = "alike", grain = "free", available = None, wire = None, wire_along = "0 mm", body_length = None, bare = None))]
pub(super) fn strap<'py>(
    py: Python<'py>,
    name: &str,
    thickness: &str,
    body: BodyText,
    left: Leg,
    right: Leg,
    hand: &str,
    foam: &str,
    middle_width: Option<&str>,
    middle_length: Option<&str>,
    foot_radius: Option<&str>,
    material: Option<&str>,
    neutral: f64,
    hole: &str,
    slot: &str,
    slot_at: &str,
    spacing: Option<&str>,
    trim: &str,
    shrink: Option<f64>,
    finish: &str,
    faces: &str,
    grain: &str,
    available: Option<&str>,
    wire: Option<&str>,
    wire_along: &str,
    body_length: Option<&str>,
    bare: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let thickness_m = length("thickness", thickness)?;
    let bend_radius_m = maybe("foot_radius", foot_radius)?.unwrap_or(2.0 * thickness_m);
    let reach_m = thickness_m + bend_radius_m;
    let left = left.core(Side::Left, reach_m)?;
    let right = right.core(Side::Right, reach_m)?;
    let usual = StrapAsk::new(name, thickness_m, 0.02, left, right);
    let body = body.core()?;
    let across = match &body {
        Body::Round { radius_m } => 2.0 * radius_m,
        Body::Oval { width_m, .. } => *width_m,
        Body::Profile { points } => points.iter().map(|p| 2.0 * p.x_m.abs()).fold(0.0, f64::max),
    };
    let wire = match maybe("wire", wire)? {
        None => None,
        Some(width_m) => Some(WireExit {
            along_m: length("wire_along", wire_along)?,
            width_m,
            depth_m: 1.2 * width_m,
            lip_m: (0.6 * width_m).min(2e-3),
            upper: false,
        }),
    };
    let ask = StrapAsk {
        hand: self::hand(hand)?,
        middle_length_m: maybe("middle_length", middle_length)?.unwrap_or(across / 2.0),
        body,
        foam_m: length("foam", foam)?,
        middle_width_m: maybe("middle_width", middle_width)?.unwrap_or(usual.middle_width_m),
        bend_radius_m,
        bend_radius_over_t: of_material(material, Property::BendRadius)?.unwrap_or(1.0),
        neutral_fraction: neutral,
        holes: TabHoles {
            diameter_m: length("hole", hole)?,
            slot_m: length("slot", slot)?,
            slot: word("end", slot_at, &["left", "right"])?,
        },
        screw_spacing_m: maybe("spacing", spacing)?,
        trim_m: length("trim", trim)?,
        shrink_fraction: match shrink {
            Some(share) => share,
            None => of_material(material, Property::HeatedShrinkage)?.unwrap_or(0.0),
        },
        finish_m: length("finish", finish)?,
        faces: self::faces(faces)?,
        grain: self::grain(grain)?,
        available_length_m: maybe("available", available)?,
        wire,
        body_length_m: maybe("body_length", body_length)?,
        bare_m: maybe("bare", bare)?.unwrap_or(0.0),
        ..usual
    };
    let made = py.detach(|| made_strap(&ask))?;
    record::give_from(py, "mountwright.shapes", "Strap", &made)
}

/// Make a flat part: an outline with cutouts and drilled holes.
///
/// Parameters
/// ----------
/// name : str
///     What the part is called.
/// outer : Form
///     The outside, as finished.
/// thickness : str
///     Thickness of the sheet.
/// cutouts : list of Cutout, optional
///     Openings, as finished.
/// holes : list of Hole, optional
///     Holes, as drilled.
/// hand : {"either", "left", "right"}
///     Side of the vehicle.
/// finish : str, default "0 mm"
///     Thickness that the finish adds to every edge; taken off the outside, added to cutouts.
/// faces : {"alike", "one-sided"}
///     Faces of the sheet.
/// grain : {"free", "along-x", "along-y"}
///     Direction in the sheet.
///
/// Returns
/// -------
/// Panel
///     The blank, its narrowest web, its least edge distance and pitch.
///
/// Raises
/// ------
/// OutOfRangeError
///     A size cannot be.
/// ShapeError
///     A cutout or hole lies outside the part or over another; it names the feature and its place.
/// UnitError
///     A text is no length.
///
/// Examples
/// --------
/// >>> made = mw.panel("trim", mw.Form.rectangle("400 mm", "250 mm", corner="20 mm"),
/// ...     thickness="3 mm", cutouts=[mw.Cutout("pull", mw.Form.circle("120 mm"))])
/// >>> round(made.web_m, 3)
/// 0.065
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords in Python
#[pyo3(signature = (name, outer, *, thickness, cutouts = None, holes = None, hand = "either", finish = "0 mm", faces = "alike", grain = "free"))]
pub(super) fn panel<'py>(
    py: Python<'py>,
    name: String,
    outer: Form,
    thickness: &str,
    cutouts: Option<Vec<Cutout>>,
    holes: Option<Vec<Hole>>,
    hand: &str,
    finish: &str,
    faces: &str,
    grain: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let ask = PanelAsk {
        name,
        hand: self::hand(hand)?,
        thickness_m: length("thickness", thickness)?,
        outer: outer.core,
        cutouts: cutouts
            .unwrap_or_default()
            .into_iter()
            .map(|c| c.core)
            .collect(),
        holes: holes
            .unwrap_or_default()
            .into_iter()
            .map(|h| h.core)
            .collect(),
        finish_m: length("finish", finish)?,
        faces: self::faces(faces)?,
        grain: self::grain(grain)?,
    };
    let made = py.detach(|| made_panel(&ask))?;
    record::give_from(py, "mountwright.shapes", "Panel", &made)
}

/// Make an adapter ring or baffle from stocked sheets, at least cost.
///
/// Parameters
/// ----------
/// name : str
///     What the part is called.
/// outer : Form
///     The outside, as finished.
/// cutout : Form
///     The driver's opening, as finished.
/// depth : str
///     Depth that is needed, both gaskets apart.
/// stock : list of tuples (str, float)
///     Thicknesses that can be had and the price of each per square metre.
/// screws : list of Screws, optional
///     Both sets: the driver's and the vehicle's.
/// over : str, default "1.5 mm"
///     How much deeper the stack may become.
/// joint_price : float, default 0
///     Price of one glue line, in the same currency.
/// chamfer : str, optional
///     Height of a chamfer behind the cone, from the vehicle's face.
/// chamfer_angle : str, default "45 deg"
///     Its angle against the axis.
/// bevel : str, default "0 mm"
///     Bevel of the upper outer edge, that sheds water.
/// hand : {"either", "left", "right"}
///     Side of the vehicle.
/// finish : str, default "0 mm"
///     Thickness that the finish adds to every edge.
/// faces : {"alike", "one-sided"}
///     Faces of the sheet.
/// grain : {"free", "along-x", "along-y"}
///     Direction in the sheet.
///
/// Returns
/// -------
/// AdapterRing
///     A blank for each layer, the stack and its price, the glue area, web and edge distances.
///
/// Raises
/// ------
/// OutOfRangeError
///     A size cannot be.
/// ShapeError
///     A cutout or a hole lies outside the ring or over another.
/// ImpossibleError
///     No layers make the depth; it says which depths they do make.
/// UnitError
///     A text is no length or angle.
///
/// Examples
/// --------
/// >>> made = mw.adapter_ring("ring", mw.Form.circle("176 mm"), mw.Form.circle("142 mm"),
/// ...     depth="25 mm", stock=[("12.5 mm", 40.0), ("6 mm", 18.0)],
/// ...     screws=[mw.Screws("driver screw", "driver", hole="3.2 mm", circle="157 mm", depth="12 mm")])
/// >>> len(made.blanks), round(made.stack.depth_m, 4), round(made.web_m, 4)
/// (2, 0.025, 0.017)
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords in Python
#[pyo3(signature = (name, outer, cutout, *, depth, stock, screws = None, over = "1.5 mm", joint_price = 0.0, chamfer = None, chamfer_angle = "45 deg", bevel = "0 mm", hand = "either", finish = "0 mm", faces = "alike", grain = "free"))]
pub(super) fn adapter_ring<'py>(
    py: Python<'py>,
    name: String,
    outer: Form,
    cutout: Form,
    depth: &str,
    stock: Vec<(String, f64)>,
    screws: Option<Vec<Screws>>,
    over: &str,
    joint_price: f64,
    chamfer: Option<&str>,
    chamfer_angle: &str,
    bevel: &str,
    hand: &str,
    finish: &str,
    faces: &str,
    grain: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let stocked = stock
        .into_iter()
        .enumerate()
        .map(|(i, (thickness, price_per_m2))| {
            Ok(Stocked {
                thickness_m: length(&format!("stock[{i}]"), &thickness)?,
                name: thickness,
                price_per_m2,
            })
        })
        .collect::<Result<Vec<_>>>()?;
    let angle_rad = angle("chamfer_angle", chamfer_angle)?;
    let ask = RingAsk {
        name,
        hand: self::hand(hand)?,
        outer: outer.core,
        cutout: crate::shape::panel::Cutout {
            name: "driver".into(),
            form: cutout.core,
            at: crate::outline::Point::new(0.0, 0.0),
            turn_rad: 0.0,
        },
        screws: screws
            .unwrap_or_default()
            .into_iter()
            .map(|s| s.core)
            .collect(),
        depth_m: length("depth", depth)?,
        over_m: length("over", over)?,
        stocked,
        joint_price,
        chamfer: maybe("chamfer", chamfer)?.map(|depth_m| Chamfer { depth_m, angle_rad }),
        bevel_m: length("bevel", bevel)?,
        finish_m: length("finish", finish)?,
        faces: self::faces(faces)?,
        grain: self::grain(grain)?,
    };
    let made = py.detach(|| ring(&ask))?;
    record::give_from(py, "mountwright.shapes", "AdapterRing", &made)
}
