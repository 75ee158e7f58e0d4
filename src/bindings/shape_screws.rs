//! Holes and sets of screws in Python.

use pyo3::prelude::*;

use super::shape_kept::{Kept, kept, shown};
use super::shape_parts::{angle, length, maybe, point, word};
use super::{kind, record, whole};
use crate::error::{Error, Result};
use crate::shape::panel::Hole as CoreHole;
use crate::shape::ring::{Holds, Insert, Screws as CoreScrews};
use crate::shape::{Centres, HoleKind};

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
/// slot_angle : str, default "0 deg"
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
    #[pyo3(signature = (name, *, at, diameter, slot = None, slot_angle = "0 deg", countersink = None))]
    fn new(
        #[pyo3(from_py_with = kind::of)] name: String,
        #[pyo3(from_py_with = kind::of)] at: (String, String),
        #[pyo3(from_py_with = kind::of)] diameter: &str,
        #[pyo3(from_py_with = kind::of)] slot: Option<&str>,
        #[pyo3(from_py_with = kind::of)] slot_angle: &str,
        #[pyo3(from_py_with = kind::of)] countersink: Option<&str>,
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

    /// Copy it into plain dicts, lists, texts and numbers, in SI.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Its fields by their names.
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        record::plain(py, &self.core)
    }

    fn _repr_html_<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        record::table(slf)
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
/// first : str, default "45 deg"
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
    #[pyo3(signature = (name, holds, *, hole, circle = None, rectangle = None, inset = None, places = None, count = 4, first = "45 deg", depth = "0 mm", countersink = None, insert = None))]
    fn new(
        #[pyo3(from_py_with = kind::of)] name: String,
        #[pyo3(from_py_with = kind::of)] holds: &str,
        #[pyo3(from_py_with = kind::of)] hole: &str,
        #[pyo3(from_py_with = kind::of)] circle: Option<&str>,
        #[pyo3(from_py_with = kind::of)] rectangle: Option<(String, String)>,
        #[pyo3(from_py_with = kind::of)] inset: Option<&str>,
        #[pyo3(from_py_with = kind::of)] places: Option<Vec<(String, String)>>,
        #[pyo3(from_py_with = whole::count)] count: u32,
        #[pyo3(from_py_with = kind::of)] first: &str,
        #[pyo3(from_py_with = kind::of)] depth: &str,
        #[pyo3(from_py_with = kind::of)] countersink: Option<&str>,
        #[pyo3(from_py_with = kind::of)] insert: Option<(String, String)>,
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

    /// Copy it into plain dicts, lists, texts and numbers, in SI.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Its fields by their names.
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        record::plain(py, &self.core)
    }

    fn _repr_html_<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        record::table(slf)
    }

    fn __repr__(&self) -> PyResult<String> {
        shown("Screws", &self.core)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept(py, "Screws", &self.core)
    }
}
