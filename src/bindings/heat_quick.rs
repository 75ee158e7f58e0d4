//! Linear recipes in Python: whole columns through the exact series.

use pyo3::prelude::*;
use pyo3::types::PyDict;

use super::arrays::{self, Column};
use super::long;
use crate::error::{Error, Result};
use crate::heat::modal::Wall;
use crate::heat::{Quick, QuickRecipe, quick_rows};

/// A time of an answer.
type Field = fn(&QuickRecipe) -> Option<f64>;

/// Most rows of one call.
const MOST_ROWS: usize = 100_000_000;

/// Work out many linear recipes by the exact series: one layer, constant properties, films only.
///
/// Much faster than :func:`recipes`; put radiation into the films. Times are good to 1e-9 of
/// themselves. Each argument is one number for all rows, or one for each row. Where the numbers are
/// those of a material, :func:`material_notes` tells which of them are weak.
///
/// Parameters
/// ----------
/// thickness_m : float or array_like
///     Thickness. [m]
/// conductivity_w_m_k : float or array_like
///     Conductivity. [W/m/K]
/// capacity_j_m3_k : float or array_like
///     Density times heat capacity. [J/m³/K]
/// film_w_m2_k, gas_k : float or array_like
///     Film coefficient and gas temperature at the front while it is heated. [W/m²/K, K]
/// need_k, upper_k, set_k : float or array_like
///     What the shape needs at the coldest point, what the hottest stands, where it is set. [K]
/// cool_film_w_m2_k : float or array_like, default 13
///     Film coefficient at both faces while it cools; 13 is still air and radiation. [W/m²/K]
/// air_k : float or array_like, default 293.15
///     Air that it cools in, and the sheet at the start. [K]
/// back_film_w_m2_k, back_gas_k : float or array_like, optional
///     The same at the back while it is heated; the front's where left out. [W/m²/K, K]
/// stop_s : float or array_like, optional
///     When heating stops; the middle of the window where left out. [s]
/// on_error : {"raise", "mark"}, default "raise"
///     What to do with a row that cannot be: raise its error, or mark it in ``error`` and go on.
/// progress : callable, optional
///     Called with the share done, 0 to 1.
///
/// Returns
/// -------
/// dict
///     Arrays ``opens_s``, ``closes_s``, ``stop_s``, ``working_time_s`` and ``hold_s``, NaN where a
///     time never comes; and ``error``, a list of None or texts.
///
/// Raises
/// ------
/// ShapeError
///     Columns of different length, or limits out of order.
/// OutOfRangeError
///     A number cannot be.
/// KeyboardInterrupt
///     Ctrl-C is heard within 0.2 s.
///
/// References
/// ----------
/// .. [1] Carslaw and Jaeger, Conduction of Heat in Solids, 2nd edition, sections 3.9 to 3.11.
///
/// Examples
/// --------
/// >>> found = mw.quick_recipes(
/// ...     thickness_m=[2e-3, 3e-3], conductivity_w_m_k=0.17, capacity_j_m3_k=1.9e6,
/// ...     film_w_m2_k=50, gas_k=450, need_k=400, upper_k=430, set_k=350,
/// ... )
/// >>> bool(found["opens_s"][0] < found["opens_s"][1])
/// True
#[pyfunction]
#[pyo3(signature = (*, thickness_m, conductivity_w_m_k, capacity_j_m3_k, film_w_m2_k, gas_k, need_k, upper_k, set_k, cool_film_w_m2_k = Column::One(13.0), air_k = Column::One(293.15), back_film_w_m2_k = None, back_gas_k = None, stop_s = None, on_error = "raise", progress = None), text_signature = "(*, thickness_m, conductivity_w_m_k, capacity_j_m3_k, film_w_m2_k, gas_k, need_k, upper_k, set_k, cool_film_w_m2_k=13.0, air_k=293.15, back_film_w_m2_k=None, back_gas_k=None, stop_s=None, on_error='raise', progress=None)")]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn quick_recipes<'py>(
    py: Python<'py>,
    thickness_m: Column,
    conductivity_w_m_k: Column,
    capacity_j_m3_k: Column,
    film_w_m2_k: Column,
    gas_k: Column,
    need_k: Column,
    upper_k: Column,
    set_k: Column,
    cool_film_w_m2_k: Column,
    air_k: Column,
    back_film_w_m2_k: Option<Column>,
    back_gas_k: Option<Column>,
    stop_s: Option<Column>,
    on_error: &str,
    progress: Option<&Bound<'py, PyAny>>,
) -> PyResult<Bound<'py, PyDict>> {
    if !matches!(on_error, "raise" | "mark") {
        return Err(Error::unknown("way with errors", on_error, ["raise", "mark"]).into());
    }
    let back_film = back_film_w_m2_k.as_ref().unwrap_or(&film_w_m2_k);
    let back_gas = back_gas_k.as_ref().unwrap_or(&gas_k);
    let all = [
        &thickness_m,
        &conductivity_w_m_k,
        &capacity_j_m3_k,
        &film_w_m2_k,
        &gas_k,
        back_film,
        back_gas,
        &cool_film_w_m2_k,
        &air_k,
        &need_k,
        &upper_k,
        &set_k,
    ];
    let rows = common_rows(all.into_iter().chain(&stop_s))?;
    let found = long::long(py, progress, |watch| {
        let asked: Vec<Quick> = (0..rows)
            .map(|row| {
                let air = air_k.at(row);
                Quick {
                    wall: Wall {
                        thickness_m: thickness_m.at(row),
                        conductivity_w_m_k: conductivity_w_m_k.at(row),
                        capacity_j_m3_k: capacity_j_m3_k.at(row),
                        start_k: air,
                    },
                    heat: [
                        (film_w_m2_k.at(row), gas_k.at(row)),
                        (back_film.at(row), back_gas.at(row)),
                    ],
                    cool: [(cool_film_w_m2_k.at(row), air); 2],
                    need_k: need_k.at(row),
                    upper_k: upper_k.at(row),
                    set_k: set_k.at(row),
                    stop_s: stop_s.as_ref().map(|stop| stop.at(row)),
                }
            })
            .collect();
        quick_rows(&asked, watch)
    })?;
    if on_error == "raise"
        && let Some((row, error)) = found
            .iter()
            .enumerate()
            .find_map(|(row, answer)| Some((row, answer.as_ref().err()?)))
    {
        return Err(super::heat_recipe::at_row(row, error.clone()).into());
    }
    let out = PyDict::new(py);
    let columns: [(&str, Field); 5] = [
        ("opens_s", |q| q.opens_s),
        ("closes_s", |q| q.closes_s),
        ("stop_s", |q| q.stop_s),
        ("working_time_s", |q| q.working_time_s),
        ("hold_s", |q| q.hold_s),
    ];
    for (name, value) in columns {
        let column = found
            .iter()
            .map(|q| q.as_ref().ok().and_then(value).unwrap_or(f64::NAN))
            .collect();
        out.set_item(name, arrays::give(py, column))?;
    }
    let errors: Vec<Option<String>> = found
        .iter()
        .map(|q| q.as_ref().err().map(Error::to_string))
        .collect();
    out.set_item("error", errors)?;
    Ok(out)
}

/// Rows of columns that must agree; numbers for all rows go with any.
fn common_rows<'a>(columns: impl Iterator<Item = &'a Column>) -> Result<usize> {
    let lengths: Vec<usize> = columns.filter_map(Column::rows).collect();
    let rows = lengths.first().copied().unwrap_or(1);
    if rows > MOST_ROWS || lengths.iter().any(|&length| length != rows) {
        return Err(Error::Shape {
            what: "columns of quick recipes".into(),
            given: format!("lengths {lengths:?}"),
            allowed: "one length for all that are not single numbers".into(),
        });
    }
    Ok(rows)
}
