//! Whether a driver fits, and the largest that does.

use pyo3::prelude::*;
use serde::Serialize;

use super::super::record;
use super::{Texts, fit_of, give, length, sheet};
use crate::mount::drivers::{Opening, openings as openings_of};
use crate::mount::fit::{check_fit as fit_checks, largest_cutout_m};

/// Check whether a driver fits its place.
///
/// Parameters
/// ----------
/// measures : dict of str
///     ``driver_depth`` and ``depth_behind_face`` (to the first thing behind it, glass fully down and
///     up: the lesser), and where measured ``spacer``, ``flange_recess``, ``magnet_to_wiring``,
///     ``magnet_to_steel``, ``terminal_gap``, ``cone_travel`` with ``grille_gap``, ``flange``,
///     ``basket``, ``cutout``. What was not measured is not checked.
/// part : str, default "driver"
///     Its name in the texts.
///
/// Returns
/// -------
/// Checks
///     Each with figure, limit, margin, verdict, and what would mend it.
///
/// Raises
/// ------
/// OutOfRangeError
///     A measure is negative or above 2 m.
/// ShapeError
///     ``driver_depth`` or ``depth_behind_face`` is missing.
/// UnitError
///     A measure is no length.
/// UnknownNameError
///     A key is not one of these.
///
/// Examples
/// --------
/// >>> shallow = {"driver_depth": "58 mm", "depth_behind_face": "50 mm"}
/// >>> print(mw.check_fit(shallow)["depth"].mend)
/// a spacer of 12.0 mm, or a driver of 46.0 mm depth at most
/// >>> mw.check_fit(shallow | {"spacer": "13 mm"}).worst
/// 'pass'
#[pyfunction]
#[pyo3(signature = (measures, *, part="driver"))]
pub(in crate::bindings) fn check_fit<'py>(
    py: Python<'py>,
    measures: Texts,
    part: &str,
) -> PyResult<Bound<'py, PyAny>> {
    give(py, fit_checks(part, &fit_of(&measures)?)?)
}

#[derive(Serialize)]
struct Openings {
    largest_cutout_m: f64,
    openings: Vec<Opening>,
}

/// Find the largest driver for a ring or panel of a given width.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// width : str
///     Least width of the outline.
/// thickness : str
///     Of one layer.
/// screw : str, default "4 mm"
///     Thread of the driver's screws.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Openings
///     ``largest_cutout_m`` and, for every round class of drivers, largest first, what is left of the
///     least web and of the screws' edge distance. Cutouts are those usual for the class: measure
///     the driver.
///
/// Raises
/// ------
/// OutOfRangeError
///     A width, thickness or screw that cannot be.
/// UnitError
///     A text is no length.
/// UnknownNameError
///     No material has that name.
/// ImpossibleError
///     The catalogue lacks a number of the sheet.
/// JobError
///     The materials file has faults.
/// OSError
///     The materials file cannot be read.
///
/// Examples
/// --------
/// >>> found = mw.openings("expanded-pvc", width="186 mm", thickness="13 mm", screw="3.5 mm")
/// >>> next(o.driver for o in found.openings if o.fits)
/// '6.5 in'
#[pyfunction]
#[pyo3(signature = (material, *, width, thickness, screw="4 mm", file=None))]
pub(in crate::bindings) fn openings<'py>(
    py: Python<'py>,
    material: &str,
    width: &str,
    thickness: &str,
    screw: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let family = sheet(material, file)?.family;
    let (width_m, layer_m) = (length("width", width)?, length("thickness", thickness)?);
    let found = Openings {
        largest_cutout_m: largest_cutout_m(family, width_m, layer_m)?,
        openings: openings_of(family, width_m, layer_m, length("screw", screw)?)?,
    };
    record::give(py, "Openings", &found)
}
