//! Holes of screws in a sheet.

use pyo3::prelude::*;
use serde::Serialize;

use super::super::record;
use super::{length, sheet};
use crate::error::{Range, check};
use crate::mount::fixing::{clearance_hole_m, thread_advice, thread_forming};
use crate::sourced::Standing;

/// Screws and holes that a sheet asks for.
#[derive(Serialize)]
struct Holes {
    pilot_m: f64,
    boss_m: f64,
    engagement_m: f64,
    clearance_m: f64,
    edge_m: f64,
    pitch_m: f64,
    thread: &'static str,
    standing: Standing,
}

/// Give the holes that a screw asks for in a sheet.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// screw : str
///     Its thread: ``"4 mm"``.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// ScrewHoles
///     Pilot, boss, engagement, clearance, edge distance, pitch [m], and what thread suits the sheet.
///
/// Raises
/// ------
/// OutOfRangeError
///     The thread lies outside 1 to 12 mm.
/// UnitError
///     It is no length.
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
/// >>> holes = mw.screw_holes("abs", "4 mm")
/// >>> round(holes.pilot_m * 1e3, 2), round(holes.edge_m * 1e3, 1)
/// (3.2, 8.0)
#[pyfunction]
#[pyo3(signature = (material, screw, *, file=None))]
pub(in crate::bindings) fn screw_holes<'py>(
    py: Python<'py>,
    material: &str,
    screw: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let sheet = sheet(material, file)?;
    let d = check(
        "screw",
        length("screw", screw)?,
        Range::new(1e-3, 0.012, "m"),
        "screws of this trade are 2 to 6 mm",
    )?;
    let row = thread_forming(sheet.family);
    let holes = Holes {
        pilot_m: row.hole * d,
        boss_m: row.boss * d,
        engagement_m: row.engagement * d,
        clearance_m: clearance_hole_m(d),
        edge_m: d * if sheet.family.is_brittle() { 3.0 } else { 2.0 },
        pitch_m: 4.0 * d,
        thread: thread_advice(sheet.modulus_pa(crate::material::ROOM_K)),
        standing: row.standing,
    };
    record::give(py, "ScrewHoles", &holes)
}
