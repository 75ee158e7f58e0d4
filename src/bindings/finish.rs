//! Finishes in Python.

use pyo3::prelude::*;

use super::record;
use crate::climate::Air;
use crate::error::{Error, Result};
use crate::finish::{FinishAsk, Kind, Shade, finish as finished};
use crate::quantity::{Dimension, parse};

fn kind(name: &str) -> Result<Kind> {
    let known = Kind::ALL.map(Kind::key);
    Kind::ALL
        .into_iter()
        .find(|k| k.key() == name)
        .ok_or_else(|| Error::unknown("finish", name, known))
}

fn shaded(name: &str) -> Result<Shade> {
    match name {
        "dark" => Ok(Shade::Dark),
        "middle" => Ok(Shade::Middle),
        "light" => Ok(Shade::Light),
        other => Err(Error::unknown("shade", other, ["dark", "middle", "light"])),
    }
}

/// Count what the finish of one part takes, uses, adds and stands.
///
/// Parameters
/// ----------
/// kind : {"bare", "textured", "filled-painted", "vinyl-wrap", "fabric-wrap"}
///     What it is covered with.
/// material : str
///     The sheet beneath.
/// area : str
///     Area that is finished: ``"200 cm2"``.
/// edge : str, default "0 mm"
///     Length of its edges, cutouts included.
/// shade : {"dark", "middle", "light"}, default "dark"
///     How light or dark it is.
/// shop : str, default "21 degC"
///     Air of the shop.
/// humidity : str, default "50 %"
///     Relative humidity of the shop.
///
/// Returns
/// -------
/// Finish
///     ``steps`` with hands-on and waiting time, ``adds_face_m``, ``adds_edge_m``, ``limit_k``,
///     ``absorptance``, ``cautions`` and more.
///
/// Raises
/// ------
/// UnknownNameError
///     No finish, sheet or shade has that name.
/// OutOfRangeError
///     An impossible area, length or air.
/// UnitError
///     A text is no such quantity.
///
/// Examples
/// --------
/// >>> wrap = mw.finish("vinyl-wrap", material="abs", area="140 cm2", edge="540 mm")
/// >>> wrap.adds_face_m.low, wrap.adds_face_m.high
/// (0.0005, 0.0015)
#[pyfunction]
#[pyo3(signature = (kind, *, material, area, edge = "0 mm", shade = "dark", shop = "21 degC", humidity = "50 %"))]
#[allow(clippy::too_many_arguments)] // they are keywords in Python
pub(super) fn finish<'py>(
    py: Python<'py>,
    kind: &str,
    material: &str,
    area: &str,
    edge: &str,
    shade: &str,
    shop: &str,
    humidity: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let si = |what: &str, text: &str, dimension| parse(what, text, dimension).map(|m| m.value);
    let ask = FinishAsk {
        kind: self::kind(kind)?,
        face_area_m2: si("area", area, Dimension::Area)?,
        edge_length_m: si("edge", edge, Dimension::Length)?,
        substrate: material.into(),
        shade: shaded(shade)?,
        air: Air {
            temperature_k: si("shop", shop, Dimension::Temperature)?,
            humidity: si("humidity", humidity, Dimension::Fraction)?,
        },
    };
    record::give(py, "Finish", &py.detach(|| finished(&ask))?)
}
