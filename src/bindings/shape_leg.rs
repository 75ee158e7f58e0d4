//! A leg of a strap in Python.

use pyo3::prelude::*;
use serde::{Deserialize, Serialize};

use super::shape_kept::{Kept, kept, shown};
use super::shape_parts::{angle, length};
use super::{kind, record};
use crate::error::{Error, Result};
use crate::shape::strap::{Leg as CoreLeg, Side};

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
/// tilt, twist : str, default "0 deg"
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
    #[pyo3(signature = (*, screw = None, height = None, tab = "22 mm", width = "24 mm", tilt = "0 deg", twist = "0 deg", aside = "0 mm", cut = "0 mm", at = None, normal = (0.0, 1.0, 0.0)), text_signature = "(*, screw=None, height=None, tab='22 mm', width='24 mm', tilt='0 deg', twist='0 deg', aside='0 mm', cut='0 mm', at=None, normal=(0.0, 1.0, 0.0))")]
    fn new(
        #[pyo3(from_py_with = kind::of)] screw: Option<&str>,
        #[pyo3(from_py_with = kind::of)] height: Option<&str>,
        #[pyo3(from_py_with = kind::of)] tab: &str,
        #[pyo3(from_py_with = kind::of)] width: &str,
        #[pyo3(from_py_with = kind::of)] tilt: &str,
        #[pyo3(from_py_with = kind::of)] twist: &str,
        #[pyo3(from_py_with = kind::of)] aside: &str,
        #[pyo3(from_py_with = kind::of)] cut: &str,
        #[pyo3(from_py_with = kind::of)] at: Option<(String, String, String)>,
        #[pyo3(from_py_with = kind::of)] normal: (f64, f64, f64),
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
        let turned = [
            angle("tilt", tilt)?,
            angle("twist", twist)?,
            length("aside", aside)?,
        ];
        if at_m.is_some() && turned.iter().any(|v| v.abs() > 0.0) {
            return Err(Error::Shape {
                what: "leg".into(),
                given: "a point in space, and tilt, twist or aside besides".into(),
                allowed: "at with normal: they say how the tab's face lies".into(),
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

    /// Copy it into plain dicts, lists, texts and numbers, in SI.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Its fields by their names.
    fn to_dict<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        record::plain(py, self)
    }

    fn _repr_html_<'py>(slf: &Bound<'py, Self>) -> PyResult<Bound<'py, PyAny>> {
        record::table(slf)
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
