//! What parts are made of in Python: forms, legs, cutouts, holes, sets of screws; text in shop units goes in.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::de::DeserializeOwned;
use serde::{Deserialize, Serialize};

use super::record;
use crate::error::{Error, Result};
use crate::outline::Point;
use crate::quantity::{Dimension, parse};
use crate::shape::panel::{Cutout as CoreCutout, Hole as CoreHole};
use crate::shape::ring::{Holds, Insert, Screws as CoreScrews};
use crate::shape::strap::{Leg as CoreLeg, Side};
use crate::shape::{Centres, Faces, Form as CoreForm, Grain, Hand, HoleKind};

pub(super) fn length(what: &str, text: &str) -> Result<f64> {
    Ok(parse(what, text, Dimension::Length)?.value)
}

pub(super) fn angle(what: &str, text: &str) -> Result<f64> {
    Ok(parse(what, text, Dimension::Angle)?.value)
}

pub(super) fn maybe(what: &str, text: Option<&str>) -> Result<Option<f64>> {
    text.map(|t| length(what, t)).transpose()
}

pub(super) fn point(what: &str, (x, y): &(String, String)) -> Result<Point> {
    Ok(Point::new(
        length(&format!("{what}, x"), x)?,
        length(&format!("{what}, y"), y)?,
    ))
}

/// A word of an enumeration by the name that its file has.
pub(super) fn word<T: DeserializeOwned>(kind: &str, text: &str, known: &[&str]) -> Result<T> {
    serde_json::from_value(serde_json::Value::String(text.into()))
        .map_err(|_| Error::unknown(kind, text, known.iter().copied()))
}

pub(super) fn hand(text: &str) -> Result<Hand> {
    word("side", text, &["left", "right", "either"])
}

pub(super) fn faces(text: &str) -> Result<Faces> {
    word("kind of face", text, &["alike", "one-sided"])
}

pub(super) fn grain(text: &str) -> Result<Grain> {
    word("grain", text, &["free", "along-x", "along-y"])
}

/// What pickles a part: its kind and its fields.
type Kept<'py> = (Bound<'py, PyAny>, Bound<'py, PyTuple>);

fn kept<'py>(py: Python<'py>, kind: &str, part: &impl Serialize) -> PyResult<Kept<'py>> {
    let make = py.import("mountwright._core")?.getattr("_part")?;
    Ok((make, (kind, record::json(part)?).into_pyobject(py)?))
}

/// The kind of a part with the fields that are set, for people.
fn shown(kind: &str, part: &impl Serialize) -> PyResult<String> {
    let fields: serde_json::Map<String, serde_json::Value> = read(&record::json(part)?)?;
    let told: Vec<String> = fields
        .iter()
        .filter(|(_, value)| !value.is_null())
        .map(|(name, value)| format!("{name}={value}"))
        .collect();
    Ok(format!("{kind}({})", told.join(", ")))
}

fn read<T: DeserializeOwned>(text: &str) -> Result<T> {
    serde_json::from_str(text).map_err(|fault| Error::Shape {
        what: "pickled part".into(),
        given: fault.to_string(),
        allowed: "what this version of the library wrote".into(),
    })
}

/// A part from its kind and fields, as a pickle holds them.
#[pyfunction]
pub(super) fn _part<'py>(py: Python<'py>, kind: &str, text: &str) -> PyResult<Bound<'py, PyAny>> {
    Ok(match kind {
        "Form" => Bound::new(py, Form { core: read(text)? })?.into_any(),
        "Leg" => Bound::new(py, read::<Leg>(text)?)?.into_any(),
        "Cutout" => Bound::new(py, Cutout { core: read(text)? })?.into_any(),
        "Hole" => Bound::new(py, Hole { core: read(text)? })?.into_any(),
        "Screws" => Bound::new(py, Screws { core: read(text)? })?.into_any(),
        _ => {
            let known = ["Form", "Leg", "Cutout", "Hole", "Screws"];
            return Err(Error::unknown("part", kind, known).into());
        }
    })
}

/// A closed outline about its own centre: made by one of its functions.
///
/// Examples
/// --------
/// >>> mw.Form.rectangle("400 mm", "250 mm", corner="20 mm")
/// Form.rectangle(0.4 m, 0.25 m, corner 0.02 m)
/// >>> mw.Form.ellipse("150 mm", "220 mm").area_m2 < 0.15 * 0.22
/// True
#[pyclass(frozen, eq, from_py_object, module = "mountwright")]
#[derive(Clone, PartialEq)]
pub(super) struct Form {
    pub(super) core: CoreForm,
}

#[pymethods]
impl Form {
    /// A circle of a diameter.
    #[staticmethod]
    fn circle(diameter: &str) -> PyResult<Self> {
        Ok(Self {
            core: CoreForm::Circle {
                diameter_m: length("diameter", diameter)?,
            },
        })
    }

    /// An ellipse, as tangent arcs within 0.01 mm.
    #[staticmethod]
    fn ellipse(width: &str, height: &str) -> PyResult<Self> {
        Ok(Self {
            core: CoreForm::Ellipse {
                width_m: length("width", width)?,
                height_m: length("height", height)?,
            },
        })
    }

    /// A straight slot with round ends.
    #[staticmethod]
    fn stadium(width: &str, height: &str) -> PyResult<Self> {
        Ok(Self {
            core: CoreForm::Stadium {
                width_m: length("width", width)?,
                height_m: length("height", height)?,
            },
        })
    }

    /// A rectangle with rounded corners.
    #[staticmethod]
    #[pyo3(signature = (width, height, *, corner = "0 mm"))]
    fn rectangle(width: &str, height: &str, corner: &str) -> PyResult<Self> {
        Ok(Self {
            core: CoreForm::RoundedRectangle {
                width_m: length("width", width)?,
                height_m: length("height", height)?,
                corner_m: length("corner", corner)?,
            },
        })
    }

    /// A polygon through corners in order, rounded.
    #[staticmethod]
    #[pyo3(signature = (points, *, corner = "0 mm"))]
    fn polygon(points: Vec<(String, String)>, corner: &str) -> PyResult<Self> {
        let points = points
            .iter()
            .enumerate()
            .map(|(i, p)| point(&format!("points[{i}]"), p))
            .collect::<Result<_>>()?;
        Ok(Self {
            core: CoreForm::Polygon {
                points,
                corner_m: length("corner", corner)?,
            },
        })
    }

    /// Net area. [m²]
    #[getter]
    fn area_m2(&self) -> PyResult<f64> {
        Ok(self.core.chain("form")?.area_m2())
    }

    fn __repr__(&self) -> String {
        match &self.core {
            CoreForm::Circle { diameter_m } => format!("Form.circle({diameter_m} m)"),
            CoreForm::Ellipse { width_m, height_m } => {
                format!("Form.ellipse({width_m} m, {height_m} m)")
            }
            CoreForm::Stadium { width_m, height_m } => {
                format!("Form.stadium({width_m} m, {height_m} m)")
            }
            CoreForm::RoundedRectangle {
                width_m,
                height_m,
                corner_m,
            } => format!("Form.rectangle({width_m} m, {height_m} m, corner {corner_m} m)"),
            CoreForm::Polygon { points, .. } => {
                format!("Form.polygon({} corners)", points.len())
            }
            CoreForm::Traced(chain) => {
                format!("Form of a drawing ({} pieces)", chain.segments.len())
            }
        }
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept(py, "Form", &self.core)
    }
}

/// One leg of a strap, to its screw.
///
/// Measured the plain way, from the body's axis along the trim; or, with ``at`` and ``normal``, from
/// the body's centre in space: along the strap (to the right), up (off the vehicle), and along the
/// body's axis (upwards in the drawing).
///
/// Parameters
/// ----------
/// screw : str, optional
///     From the body's axis to the screw, along the trim.
/// height : str, optional
///     Body's axis over the face under the screw.
/// tab : str, default "22 mm"
///     Straight length beyond the foot; the screw sits in its middle.
/// width : str, default "24 mm"
///     Width at the tab.
/// tilt, twist : str, default "0°"
///     How far the face falls away outwards, and how far it is turned about the strap's run.
/// aside : str, default "0 mm"
///     How far the screw lies aside of the body's middle, upwards in the drawing.
/// cut : str, default "0 mm"
///     What the trial fit showed: cut off this leg; negative where it was too short.
/// at : tuple of three str, optional
///     The screw in space.
/// normal : tuple of three float, default (0, 1, 0)
///     Direction in which the face under the tab looks, with ``at``.
///
/// Examples
/// --------
/// >>> mw.Leg(screw="57 mm", height="27 mm").tab_m
/// 0.022
#[pyclass(frozen, eq, from_py_object, module = "mountwright")]
#[derive(Clone, PartialEq, Serialize, Deserialize)]
#[allow(clippy::unsafe_derive_deserialize)] // the unsafe methods are pyo3's own
pub(super) struct Leg {
    screw_m: Option<(f64, f64)>,
    /// Length of the tab. [m]
    #[pyo3(get)]
    tab_m: f64,
    /// Width at the tab. [m]
    #[pyo3(get)]
    width_m: f64,
    tilt_rad: f64,
    twist_rad: f64,
    aside_m: f64,
    cut_m: f64,
    at_m: Option<[f64; 3]>,
    normal: [f64; 3],
}

#[pymethods]
impl Leg {
    #[new]
    #[allow(clippy::too_many_arguments)] // keywords in Python
    #[pyo3(signature = (*, screw = None, height = None, tab = "22 mm", width = "24 mm", tilt = "0°", twist = "0°", aside = "0 mm", cut = "0 mm", at = None, normal = (0.0, 1.0, 0.0)))]
    fn new(
        screw: Option<&str>,
        height: Option<&str>,
        tab: &str,
        width: &str,
        tilt: &str,
        twist: &str,
        aside: &str,
        cut: &str,
        at: Option<(String, String, String)>,
        normal: (f64, f64, f64),
    ) -> PyResult<Self> {
        let screw_m = match (screw, height) {
            (Some(screw), Some(height)) => {
                Some((length("screw", screw)?, length("height", height)?))
            }
            _ => None,
        };
        let at_m = match at {
            None => None,
            Some((x, y, z)) => Some([
                length("at, along", &x)?,
                length("at, up", &y)?,
                length("at, across", &z)?,
            ]),
        };
        if screw_m.is_some() == at_m.is_some() {
            return Err(Error::Shape {
                what: "leg".into(),
                given: "neither a screw with its height nor a point in space, or both".into(),
                allowed: "screw and height, or at (and normal)".into(),
            }
            .into());
        }
        Ok(Self {
            screw_m,
            tab_m: length("tab", tab)?,
            width_m: length("width", width)?,
            tilt_rad: angle("tilt", tilt)?,
            twist_rad: angle("twist", twist)?,
            aside_m: length("aside", aside)?,
            cut_m: length("cut", cut)?,
            at_m,
            normal: [normal.0, normal.1, normal.2],
        })
    }

    fn __repr__(&self) -> PyResult<String> {
        shown("Leg", self)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept(py, "Leg", self)
    }
}

impl Leg {
    pub(super) fn core(&self, side: Side, reach_m: f64) -> Result<CoreLeg> {
        if let Some(at_m) = self.at_m {
            let leg = CoreLeg::seated(side, at_m, self.normal, self.tab_m, self.width_m, reach_m)?;
            return Ok(CoreLeg {
                cut_m: self.cut_m,
                ..leg
            });
        }
        let (screw_m, height_m) = self.screw_m.unwrap_or((0.0, 0.0));
        let leg = CoreLeg {
            tilt_rad: self.tilt_rad,
            twist_rad: self.twist_rad,
            aside_m: self.aside_m,
            cut_m: self.cut_m,
            ..CoreLeg::flat(0.0, height_m, self.tab_m, self.width_m)
        }
        .to_screw(screw_m, reach_m);
        Ok(CoreLeg {
            centre_height_m: height_m - (screw_m - leg.foot_m) * self.tilt_rad.tan(),
            ..leg
        })
    }
}

/// An opening through a flat part.
///
/// Parameters
/// ----------
/// name : str
///     What it is for.
/// form : Form
///     Its form.
/// at : tuple of two str, default ("0 mm", "0 mm")
///     Its centre, from the part's centre: to the right, up.
/// turn : str, default "0°"
///     Its turn, counter-clockwise.
///
/// Examples
/// --------
/// >>> mw.Cutout("pull", mw.Form.stadium("100 mm", "30 mm"), at=("0 mm", "50 mm")).name
/// 'pull'
#[pyclass(frozen, eq, from_py_object, module = "mountwright")]
#[derive(Clone, PartialEq)]
pub(super) struct Cutout {
    pub(super) core: CoreCutout,
}

#[pymethods]
impl Cutout {
    #[new]
    #[pyo3(signature = (name, form, *, at = None, turn = "0°"))]
    fn new(name: String, form: Form, at: Option<(String, String)>, turn: &str) -> PyResult<Self> {
        let at = match at {
            None => Point::new(0.0, 0.0),
            Some(at) => point("at", &at)?,
        };
        Ok(Self {
            core: CoreCutout {
                name,
                form: form.core,
                at,
                turn_rad: angle("turn", turn)?,
            },
        })
    }

    /// What it is for.
    #[getter]
    fn name(&self) -> &str {
        &self.core.name
    }

    fn __repr__(&self) -> PyResult<String> {
        shown("Cutout", &self.core)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept(py, "Cutout", &self.core)
    }
}

/// A drilled hole of a flat part.
///
/// Parameters
/// ----------
/// name : str
///     What it is for.
/// at : tuple of two str
///     Its centre, from the part's centre: to the right, up.
/// diameter : str
///     Diameter, or width of a slot.
/// slot : str, optional
///     Length of a slot from end to end.
/// slot_angle : str, default "0°"
///     Direction of its length.
/// countersink : str, optional
///     Diameter of a countersink in the show face.
///
/// Examples
/// --------
/// >>> mw.Hole("screw", at=("-180 mm", "0 mm"), diameter="4.5 mm").name
/// 'screw'
#[pyclass(frozen, eq, from_py_object, module = "mountwright")]
#[derive(Clone, PartialEq)]
pub(super) struct Hole {
    pub(super) core: CoreHole,
}

#[pymethods]
impl Hole {
    #[new]
    #[pyo3(signature = (name, *, at, diameter, slot = None, slot_angle = "0°", countersink = None))]
    fn new(
        name: String,
        at: (String, String),
        diameter: &str,
        slot: Option<&str>,
        slot_angle: &str,
        countersink: Option<&str>,
    ) -> PyResult<Self> {
        let kind = match slot {
            None => HoleKind::Round,
            Some(slot) => HoleKind::Slot {
                length_m: length("slot", slot)?,
                angle_rad: angle("slot_angle", slot_angle)?,
            },
        };
        Ok(Self {
            core: CoreHole {
                name,
                kind,
                centre: point("at", &at)?,
                diameter_m: length("diameter", diameter)?,
                countersink_m: maybe("countersink", countersink)?,
            },
        })
    }

    /// What it is for.
    #[getter]
    fn name(&self) -> &str {
        &self.core.name
    }

    fn __repr__(&self) -> PyResult<String> {
        shown("Hole", &self.core)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept(py, "Hole", &self.core)
    }
}

/// A set of screws of a ring: on a bolt circle, at the corners of a rectangle, along the edge, or one by one.
///
/// Parameters
/// ----------
/// name : str
///     What they are.
/// holds : {"driver", "vehicle"}
///     Whether they hold the driver to the ring, or the ring to the vehicle (through all layers).
/// hole : str
///     Diameter of the hole: clearance for the vehicle, pilot for the driver.
/// circle : str, optional
///     Diameter of the bolt circle, with ``count`` and ``first``.
/// rectangle : tuple of two str, optional
///     Distances between the four holes along x and y, as on oval drivers.
/// inset : str, optional
///     Distance from the edge, with ``count``: evenly along it.
/// places : list of tuples of two str, optional
///     One by one.
/// count : int, default 4
///     How many.
/// first : str, default "45°"
///     Angle of the first on a bolt circle.
/// depth : str, default "0 mm"
///     How deep a driver's screw needs its pilot.
/// countersink : str, optional
///     Diameter of a countersink in the driver's face.
/// insert : tuple of two str, optional
///     Outside diameter and length of a threaded insert.
///
/// Examples
/// --------
/// >>> mw.Screws("driver screw", "driver", hole="3.2 mm", circle="157 mm", depth="12 mm").name
/// 'driver screw'
#[pyclass(frozen, eq, from_py_object, module = "mountwright")]
#[derive(Clone, PartialEq)]
pub(super) struct Screws {
    pub(super) core: CoreScrews,
}

#[pymethods]
impl Screws {
    #[new]
    #[allow(clippy::too_many_arguments)] // keywords in Python
    #[pyo3(signature = (name, holds, *, hole, circle = None, rectangle = None, inset = None, places = None, count = 4, first = "45°", depth = "0 mm", countersink = None, insert = None))]
    fn new(
        name: String,
        holds: &str,
        hole: &str,
        circle: Option<&str>,
        rectangle: Option<(String, String)>,
        inset: Option<&str>,
        places: Option<Vec<(String, String)>>,
        count: u32,
        first: &str,
        depth: &str,
        countersink: Option<&str>,
        insert: Option<(String, String)>,
    ) -> PyResult<Self> {
        let holds: Holds = word("holder", holds, &["driver", "vehicle"])?;
        let centres = match (circle, rectangle, inset, places) {
            (Some(circle), None, None, None) => Centres::Circle {
                diameter_m: length("circle", circle)?,
                count,
                first_rad: angle("first", first)?,
            },
            (None, Some(sides), None, None) => {
                let sides = point("rectangle", &sides)?;
                Centres::Rectangle {
                    width_m: sides.x_m,
                    height_m: sides.y_m,
                }
            }
            (None, None, Some(inset), None) => Centres::AlongEdge {
                inset_m: length("inset", inset)?,
                count,
            },
            (None, None, None, Some(places)) => Centres::Places(
                places
                    .iter()
                    .enumerate()
                    .map(|(i, p)| point(&format!("places[{i}]"), p).map(|p| (p.x_m, p.y_m)))
                    .collect::<Result<_>>()?,
            ),
            _ => {
                return Err(Error::Shape {
                    what: format!("screws \"{name}\""),
                    given: "no place, or several".into(),
                    allowed: "one of circle, rectangle, inset, places".into(),
                }
                .into());
            }
        };
        let insert = match insert {
            None => None,
            Some((outside, long)) => Some(Insert {
                outside_m: length("insert, diameter", &outside)?,
                length_m: length("insert, length", &long)?,
            }),
        };
        Ok(Self {
            core: CoreScrews {
                name,
                holds,
                centres,
                hole_m: length("hole", hole)?,
                depth_m: length("depth", depth)?,
                countersink_m: maybe("countersink", countersink)?,
                insert,
            },
        })
    }

    /// What they are.
    #[getter]
    fn name(&self) -> &str {
        &self.core.name
    }

    fn __repr__(&self) -> PyResult<String> {
        shown("Screws", &self.core)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept(py, "Screws", &self.core)
    }
}
