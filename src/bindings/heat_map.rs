//! Working-range maps in Python; `mountwright.heat_map` has the documented functions and the picture.

use numpy::{AllowTypeChange, IntoPyArray, PyArray2, PyArrayLike1};
use pyo3::prelude::*;

use super::heat_ask::Question;
use super::heat_gun::HotAirGun;
use super::heat_source::sides;
use super::long;
use crate::error::Error;
use crate::heat::map::{distance_time_map, setting_distance_map};

/// Zones down the rows and along the columns: `kind` says which map it is.
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords of mountwright.heat_map
pub(super) fn _working_range<'py>(
    py: Python<'py>,
    kind: &str,
    question: Question,
    gun: HotAirGun,
    patch: &str,
    rows: PyArrayLike1<'py, f64, AllowTypeChange>,
    columns: PyArrayLike1<'py, f64, AllowTypeChange>,
    progress: Option<&Bound<'py, PyAny>>,
) -> PyResult<Bound<'py, PyArray2<u8>>> {
    let (rows, columns) = (rows.as_array().to_vec(), columns.as_array().to_vec());
    let map = long::long(py, progress, |watch| {
        let patch_m = sides("patch", patch)?;
        // The map puts its own exposure in the place of this one.
        let any = gun.core.mean_at(0.1, patch_m)?;
        let ask = question.ask(any, Some(patch_m.0))?.0;
        match kind {
            "distance-time" => distance_time_map(&ask, &gun.core, patch_m, &rows, &columns, watch),
            "setting-distance" => {
                setting_distance_map(&ask, &gun.core, patch_m, &rows, &columns, watch)
            }
            other => {
                let known = ["distance-time", "setting-distance"];
                Err(Error::unknown("map", other, known))
            }
        }
    })?;
    Ok(map.zone.into_pyarray(py))
}
