//! What a place does to a mount, and whether one may be planned there.

use pyo3::prelude::*;
use serde::Serialize;

use super::super::material::word;
use super::super::record;
use super::{HELD, PLACES, SUNS, made, sheet};
use crate::mount::airbag::{Answer, refuse};
use crate::mount::beam::Held;
use crate::mount::place::{Climate, Zone, zone_temperature};
use crate::mount::service_heat::belongs as belongs_in;
use crate::mount::steel::DOOR_NOTES;

/// Ask whether a sheet belongs in a place at all, before anything is drawn.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// place : {"upper-pillar", "dash-top", "parcel-shelf", "cabin-air", "door"}
///     Where it would sit.
/// sun : {"mild", "hot", "extreme"}, default "hot"
///     Sun at 25, 35 or 45 °C outside.
/// formed : bool, default True
///     Whether it would be formed hot.
/// held : {"both-ends", "clamped-all-round", "cantilever"}, default "both-ends"
///     How it would be held; a formed part with a free end goes flat again first.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Check
///     With the reason, and what would belong there instead.
///
/// Raises
/// ------
/// UnknownNameError
///     No material, place or sun has that name.
/// ImpossibleError
///     The catalogue lacks a number that the check needs.
/// JobError
///     The materials file has faults.
/// OSError
///     The materials file cannot be read.
///
/// Examples
/// --------
/// >>> mw.belongs("expanded-pvc", "dash-top").verdict
/// 'fail'
/// >>> mw.belongs("expanded-pvc", "door", formed=False, held="clamped-all-round").verdict
/// 'pass'
#[pyfunction]
#[pyo3(signature = (material, place, *, sun="hot", formed=true, held="both-ends", file=None))]
pub(in crate::bindings) fn belongs<'py>(
    py: Python<'py>,
    material: &str,
    place: &str,
    sun: &str,
    formed: bool,
    held: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let zone: Zone = word("place", place, &PLACES)?;
    let sun: Climate = word("sun", sun, &SUNS)?;
    let held = word::<Held>("held", held, &HELD)?;
    let found = belongs_in(&sheet(material, file)?, zone, sun, held, made(formed))?;
    record::give(py, "Check", &found)
}

/// Give the temperature of a place in a car that is parked in the sun.
///
/// Parameters
/// ----------
/// place : {"upper-pillar", "dash-top", "parcel-shelf", "cabin-air", "door"}
///     Where.
/// sun : {"mild", "hot", "extreme"}, default "hot"
///     Sun at 25, 35 or 45 °C outside.
///
/// Returns
/// -------
/// Sourced
///     In kelvin. Of air, dash and rear shelf there are published measurements; pillar and door are
///     inferred from them.
///
/// Raises
/// ------
/// UnknownNameError
///     No place or sun has that name.
///
/// Examples
/// --------
/// >>> dash = mw.cabin_temperature("dash-top")
/// >>> round(dash.value - 273.15), round(dash.high - dash.value)
/// (80, 6)
#[pyfunction]
#[pyo3(signature = (place, sun="hot"))]
pub(in crate::bindings) fn cabin_temperature<'py>(
    py: Python<'py>,
    place: &str,
    sun: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let zone: Zone = word("place", place, &PLACES)?;
    let sun: Climate = word("sun", sun, &SUNS)?;
    record::give(py, "Sourced", &zone_temperature(zone, sun))
}

#[derive(Serialize)]
struct Place {
    refused: bool,
    why: String,
    find_out: Vec<String>,
    consider_instead: Vec<String>,
    leave_as_it_is: Vec<&'static str>,
}

/// Ask whether anything may be planned for a place at all.
///
/// Parameters
/// ----------
/// place : {"upper-pillar", "dash-top", "parcel-shelf", "cabin-air", "door"}
///     Where.
/// airbag, driver_view : {"yes", "no", "unknown"}
///     Whether an air bag sits or deploys there, and whether it is in the driver's view of the road,
///     mirrors or instruments; not known counts as yes.
///
/// Returns
/// -------
/// PlaceAnswer
///     ``refused`` with the reason, what to find out and where to look instead; and what a mount in a
///     door must leave as it is. Not refused is no approval: the vehicle maker's instructions and
///     licensed practice decide.
///
/// Raises
/// ------
/// UnknownNameError
///     No place or answer has that name.
///
/// Examples
/// --------
/// >>> mw.may_plan("upper-pillar", airbag="unknown", driver_view="no").refused
/// True
#[pyfunction]
#[pyo3(signature = (place, *, airbag, driver_view))]
pub(in crate::bindings) fn may_plan<'py>(
    py: Python<'py>,
    place: &str,
    airbag: &str,
    driver_view: &str,
) -> PyResult<Bound<'py, PyAny>> {
    const ANSWERS: [&str; 3] = ["yes", "no", "unknown"];
    let zone: Zone = word("place", place, &PLACES)?;
    let airbag: Answer = word("airbag", airbag, &ANSWERS)?;
    let view: Answer = word("driver_view", driver_view, &ANSWERS)?;
    let no = refuse(zone, airbag, view);
    let answer = Place {
        refused: no.is_some(),
        why: no.as_ref().map_or(String::new(), |r| r.why.clone()),
        find_out: no.as_ref().map_or(vec![], |r| r.find_out.clone()),
        consider_instead: no.map_or(vec![], |r| r.consider_instead),
        leave_as_it_is: if zone == Zone::Door {
            DOOR_NOTES.to_vec()
        } else {
            vec![]
        },
    };
    record::give(py, "PlaceAnswer", &answer)
}
