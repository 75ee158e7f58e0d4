//! What parts are made of in Python: forms and cutouts; text in shop units goes in.

use pyo3::prelude::*;
use serde::de::DeserializeOwned;

use super::shape_kept::{Kept, kept, shown};
use super::{kind, record};
use crate::error::{Error, Result};
use crate::outline::Point;
use crate::quantity::{Dimension, parse};
use crate::shape::panel::Cutout as CoreCutout;
use crate::shape::{Faces, Form as CoreForm, Grain, Hand};

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
        Self::made(CoreForm::Circle {
            diameter_m: length("diameter", diameter)?,
        })
    }

    /// An ellipse, as tangent arcs within 0.01 mm.
    #[staticmethod]
    fn ellipse(width: &str, height: &str) -> PyResult<Self> {
        Self::made(CoreForm::Ellipse {
            width_m: length("width", width)?,
            height_m: length("height", height)?,
        })
    }

    /// A straight slot with round ends.
    #[staticmethod]
    fn stadium(width: &str, height: &str) -> PyResult<Self> {
        Self::made(CoreForm::Stadium {
            width_m: length("width", width)?,
            height_m: length("height", height)?,
        })
    }

    /// A rectangle with rounded corners.
    #[staticmethod]
    #[pyo3(signature = (width, height, *, corner = "0 mm"))]
    fn rectangle(width: &str, height: &str, corner: &str) -> PyResult<Self> {
        Self::made(CoreForm::RoundedRectangle {
            width_m: length("width", width)?,
            height_m: length("height", height)?,
            corner_m: length("corner", corner)?,
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
        Self::made(CoreForm::Polygon {
            points,
            corner_m: length("corner", corner)?,
        })
    }

    /// Net area. [m²]
    #[getter]
    fn area_m2(&self) -> PyResult<f64> {
        Ok(self.core.chain("form")?.area_m2())
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

impl Form {
    /// Refuses now what a part would refuse later.
    fn made(core: CoreForm) -> PyResult<Self> {
        core.chain("form")?;
        Ok(Self { core })
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
/// turn : str, default "0 deg"
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
    #[pyo3(signature = (name, form, *, at = None, turn = "0 deg"))]
    fn new(
        #[pyo3(from_py_with = kind::of)] name: String,
        #[pyo3(from_py_with = kind::of)] form: Form,
        #[pyo3(from_py_with = kind::of)] at: Option<(String, String)>,
        #[pyo3(from_py_with = kind::of)] turn: &str,
    ) -> PyResult<Self> {
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
        shown("Cutout", &self.core)
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<Kept<'py>> {
        kept(py, "Cutout", &self.core)
    }
}
