//! Pressed pods and folded panels in Python.

use pyo3::prelude::*;
use pyo3::types::PyDict;

use super::record;
use super::shape::of_material;
use super::shape_parts::{angle, faces, grain, hand, length, word};
use crate::error::{Error, Result};
use crate::material::Property;
use crate::shape::draw::{DrawAsk, Held, Solid, drawn};
use crate::shape::fold::{Fold, FoldAsk, Neutral, folded};

/// Draw or drape a pod over a plug.
///
/// Parameters
/// ----------
/// name : str
///     What the part is called.
/// solid : {"cylinder", "frustum", "dome", "box"}
///     What is drawn.
/// sizes : dict of str to str
///     Sizes inside the rim: cylinder ``diameter``, ``depth``; frustum ``rim``, ``crown``,
///     ``depth``; dome ``rim``, ``height``; box ``length``, ``width``, ``depth``, ``corner``.
/// thickness : str
///     Thickness of the sheet.
/// held : {"clamped", "free"}
///     Clamped round the rim (it stretches), or free to slide in (draped by hand).
/// edge : str, default "20 mm"
///     Width of the clamped edge, cut off after forming.
/// depth_ratio_max : float, default 1
///     Greatest depth over width of the material.
/// hand : {"either", "left", "right"}
///     Side of the vehicle.
/// faces : {"alike", "one-sided"}
///     Faces of the sheet.
/// grain : {"free", "along-x", "along-y"}
///     Direction in the sheet.
///
/// Returns
/// -------
/// PressedPod
///     The blank, the areal draw ratio, each wall, the mean and the thinnest thickness.
///
/// Raises
/// ------
/// OutOfRangeError
///     A size cannot be, or the draw is deeper than the material stands.
/// ShapeError
///     A size is missing or is not one of the solid's.
/// UnknownNameError
///     No solid has that name.
///
/// Examples
/// --------
/// >>> pod = mw.pressed_pod("pod", "frustum", {"rim": "60 mm", "crown": "40 mm", "depth": "15 mm"},
/// ...     thickness="2 mm")
/// >>> round(pod.draw_ratio, 3), round(pod.mean_m * 1e3, 3), round(pod.thinnest_m * 1e3, 3)
/// (1.446, 1.383, 1.123)
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords in Python
#[pyo3(signature = (name, solid, sizes, *, thickness, held = "clamped", edge = "20 mm", depth_ratio_max = 1.0, hand = "either", faces = "alike", grain = "free"))]
pub(super) fn pressed_pod<'py>(
    py: Python<'py>,
    name: String,
    solid: &str,
    sizes: &Bound<'py, PyDict>,
    thickness: &str,
    held: &str,
    edge: &str,
    depth_ratio_max: f64,
    hand: &str,
    faces: &str,
    grain: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let known: &[&str] = match solid {
        "cylinder" => &["diameter", "depth"],
        "frustum" => &["rim", "crown", "depth"],
        "dome" => &["rim", "height"],
        "box" => &["length", "width", "depth", "corner"],
        other => {
            let names = ["cylinder", "frustum", "dome", "box"];
            return Err(Error::unknown("solid", other, names).into());
        }
    };
    for key in sizes.keys() {
        let key: String = key.extract()?;
        if !known.contains(&key.as_str()) {
            return Err(Error::unknown("size of this solid", &key, known.iter().copied()).into());
        }
    }
    let size = |key: &str| -> PyResult<f64> {
        match sizes.get_item(key)? {
            Some(text) => Ok(length(key, &text.extract::<String>()?)?),
            None => Err(Error::Shape {
                what: format!("sizes of a {solid}"),
                given: format!("no {key}"),
                allowed: known.join(", "),
            }
            .into()),
        }
    };
    let solid = match solid {
        "cylinder" => Solid::Cylinder {
            diameter_m: size("diameter")?,
            depth_m: size("depth")?,
        },
        "frustum" => Solid::Frustum {
            rim_m: size("rim")?,
            crown_m: size("crown")?,
            depth_m: size("depth")?,
        },
        "dome" => Solid::Dome {
            rim_m: size("rim")?,
            height_m: size("height")?,
        },
        _ => Solid::Box {
            length_m: size("length")?,
            width_m: size("width")?,
            depth_m: size("depth")?,
            corner_m: size("corner")?,
        },
    };
    let held: Held = word("way to hold the sheet", held, &["clamped", "free"])?;
    let ask = DrawAsk {
        name,
        hand: self::hand(hand)?,
        thickness_m: length("thickness", thickness)?,
        solid,
        held,
        edge_m: length("edge", edge)?,
        depth_ratio_max,
        faces: self::faces(faces)?,
        grain: self::grain(grain)?,
    };
    let made = py.detach(|| drawn(&ask))?;
    record::give_from(py, "mountwright.shapes", "PressedPod", &made)
}

/// The neutral axis of a fold: a share of the thickness, or DIN 6935.
#[derive(FromPyObject)]
pub(super) enum NeutralText {
    Share(f64),
    Rule(String),
}

/// Lay a panel flat that is folded along parallel lines.
///
/// Parameters
/// ----------
/// name : str
///     What the part is called.
/// flanges : list of str
///     From left to right, outside to where the outer faces would meet.
/// folds : list of tuples (str, str, str)
///     One fewer: angle, inside radius, and ``"show"`` or ``"back"`` for the way the flap goes.
/// thickness : str
///     Thickness of the sheet.
/// width : str
///     Length along the bend lines.
/// neutral : float or "din-6935", optional
///     Place of the neutral axis from the inside face; 0.45 if left out.
/// material : str, optional
///     Takes the least bend radius from the catalogue.
/// border : float, default 0
///     Clear sheet that each bend wants beside its line, over the thickness; 20 for foamed PVC.
/// springback : str, default "2 deg"
///     How far a bend opens again.
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
/// FoldedPanel
///     The blank with its bends in the order in which they are made, the flat length, what each fold
///     takes off, the angle to press each to.
///
/// Raises
/// ------
/// OutOfRangeError
///     A size cannot be, a radius is below the least, a flange is shorter than its bends.
/// ImpossibleError
///     The folded profile would run into itself.
/// ShapeError
///     Flanges and folds do not go together.
/// UnitError
///     A text is no length or angle.
///
/// Examples
/// --------
/// >>> made = mw.folded_panel("bracket", ["50 mm", "80 mm"], [("90°", "6 mm", "show")],
/// ...     thickness="3 mm", width="80 mm", neutral="din-6935")
/// >>> round(made.flat_length_m * 1e3, 3)
/// 123.311
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords in Python
#[pyo3(signature = (name, flanges, folds, *, thickness, width, neutral = None, material = None, border = 0.0, springback = "2 deg", hand = "either", finish = "0 mm", faces = "alike", grain = "free"))]
pub(super) fn folded_panel<'py>(
    py: Python<'py>,
    name: String,
    flanges: Vec<String>,
    folds: Vec<(String, String, String)>,
    thickness: &str,
    width: &str,
    neutral: Option<NeutralText>,
    material: Option<&str>,
    border: f64,
    springback: &str,
    hand: &str,
    finish: &str,
    faces: &str,
    grain: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let flanges_m = flanges
        .iter()
        .enumerate()
        .map(|(i, f)| length(&format!("flanges[{i}]"), f))
        .collect::<Result<Vec<_>>>()?;
    let folds = folds
        .iter()
        .enumerate()
        .map(|(i, (turn, radius, toward))| {
            Ok(Fold {
                angle_rad: angle(&format!("folds[{i}], angle"), turn)?,
                inside_radius_m: length(&format!("folds[{i}], radius"), radius)?,
                toward: word("way of a fold", toward, &["show", "back"])?,
            })
        })
        .collect::<Result<Vec<_>>>()?;
    let ask = FoldAsk {
        name,
        hand: self::hand(hand)?,
        thickness_m: length("thickness", thickness)?,
        width_m: length("width", width)?,
        flanges_m,
        folds,
        neutral: match neutral {
            None => Neutral::Fixed(0.45),
            Some(NeutralText::Share(k)) => Neutral::Fixed(k),
            Some(NeutralText::Rule(rule)) if rule == "din-6935" => Neutral::Din6935,
            Some(NeutralText::Rule(rule)) => {
                return Err(Error::unknown("rule of the neutral axis", &rule, ["din-6935"]).into());
            }
        },
        bend_radius_over_t: of_material(material, Property::BendRadius)?.unwrap_or(1.0),
        border_over_t: border,
        springback_rad: angle("springback", springback)?,
        finish_m: length("finish", finish)?,
        faces: self::faces(faces)?,
        grain: self::grain(grain)?,
    };
    let made = py.detach(|| folded(&ask))?;
    record::give_from(py, "mountwright.shapes", "FoldedPanel", &made)
}
