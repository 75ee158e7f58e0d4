//! Shop units in Python.

use numpy::PyArray1;
use pyo3::prelude::*;

use super::arrays::{self, Column};
use super::{long, record, whole};
use crate::error::{Error, Range, Result, check};
use crate::quantity::{Dimension, System, parse, said as said_in, show as show_one};

/// Rows between two looks at the watch: far less than the 50 ms in which Ctrl-C must be heard.
const ROWS_PER_LOOK: usize = 4096;

/// Read one quantity with its unit.
///
/// Parameters
/// ----------
/// text : str
///     A number and a unit, with its uncertainty if wanted: ``"1/8 in"``, ``"350 °F"``,
///     ``"47 mm ± 1 mm"``. A bare number is refused unless the dimension is ``"fraction"``.
/// dimension : str
///     ``"length"``, ``"area"``, ``"volume"``, ``"angle"``, ``"time"``, ``"temperature"``,
///     ``"temperature-difference"``, ``"mass"``, ``"force"``, ``"pressure"``, ``"power"``,
///     ``"speed"``, ``"volume-flow"``, ``"density"``, ``"rotation"``, ``"fraction"``,
///     ``"conductivity"``, ``"conductivity-slope"``, ``"heat-capacity"``, ``"specific-energy"``,
///     ``"molar-energy"``, ``"expansion"``, ``"attenuation"`` or ``"time-per-length"``.
/// what : str, default "quantity"
///     What it is, for the message of an error.
///
/// Returns
/// -------
/// Measure
///     ``value`` and ``plus_minus``, both in SI.
///
/// Raises
/// ------
/// UnitError
///     The text is not a finite number with a unit of that dimension.
/// UnknownNameError
///     No dimension has that name.
///
/// Examples
/// --------
/// >>> mw.quantity("1/8 in", "length").value
/// 0.003175
/// >>> mw.quantity("47 mm ± 1 mm", "length")
/// Measure(value=0.047, plus_minus=0.001)
#[pyfunction]
#[pyo3(signature = (text, dimension, *, what = "quantity"))]
pub(super) fn quantity<'py>(
    py: Python<'py>,
    text: &str,
    dimension: &str,
    what: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let measure = parse(what, text, Dimension::named(dimension)?)?;
    record::give(py, "Measure", &measure)
}

/// Read many quantities with their units.
///
/// Parameters
/// ----------
/// texts : sequence of str
///     Each as for :func:`quantity`.
/// dimension : str
///     As for :func:`quantity`.
/// what : str, default "quantity"
///     What they are, for the message of an error; the row is added.
///
/// Returns
/// -------
/// ndarray of float64, shape (n,)
///     The values in SI.
///
/// Raises
/// ------
/// UnitError
///     A text is not a finite number with a unit of that dimension, or carries an uncertainty
///     that an array could not hold.
/// UnknownNameError
///     No dimension has that name.
///
/// Examples
/// --------
/// >>> mw.quantities(["3 mm", "1/2 in"], "length")
/// array([0.003 , 0.0127])
#[pyfunction]
#[pyo3(signature = (texts, dimension, *, what = "quantity"))]
pub(super) fn quantities<'py>(
    py: Python<'py>,
    texts: Vec<String>,
    dimension: &str,
    what: &str,
) -> PyResult<Bound<'py, PyArray1<f64>>> {
    let dimension = Dimension::named(dimension)?;
    let values = long::long(py, None, |watch| {
        let read = |(row, text): (usize, &String)| -> Result<f64> {
            let done = row as f64 / texts.len() as f64;
            if row % ROWS_PER_LOOK == 0 && !watch.go_on(done) {
                return Err(Error::Stopped);
            }
            let name = format!("{what}[{row}]");
            let measure = parse(&name, text, dimension)?;
            if measure.plus_minus > 0.0 {
                return Err(Error::Unit {
                    what: name,
                    given: text.clone(),
                    expected: dimension.example().into(),
                    remedy: "an array holds no uncertainty: read it alone or leave it out".into(),
                });
            }
            Ok(measure.value)
        };
        texts
            .iter()
            .enumerate()
            .map(read)
            .collect::<Result<Vec<f64>>>()
    })?;
    Ok(arrays::give(py, values))
}

/// Write SI values for people.
///
/// Parameters
/// ----------
/// values : float or array_like, shape (n,)
///     In SI.
/// dimension : str
///     As for :func:`quantity`.
/// units : {"metric", "inch"}, default "metric"
///     Which units to show.
/// digits : int, default 1
///     Digits after the point in millimetres, degrees, seconds; inches get two more. 0 to 12.
///
/// Returns
/// -------
/// str or list of str
///     One text for one value, a list for an array.
///
/// Raises
/// ------
/// OutOfRangeError
///     A value is not finite; the number of digits lies outside 0 to 12.
/// UnknownNameError
///     No dimension or system of units has that name.
///
/// Examples
/// --------
/// >>> mw.show(0.003175, "length", units="inch")
/// '0.125 in'
/// >>> mw.show([293.15, 393.15], "temperature", digits=0)
/// ['20 °C', '120 °C']
#[pyfunction]
#[pyo3(signature = (values, dimension, *, units = "metric", digits = 1))]
pub(super) fn show(
    py: Python<'_>,
    values: Column,
    dimension: &str,
    units: &str,
    #[pyo3(from_py_with = whole::digits)] digits: usize,
) -> PyResult<Py<PyAny>> {
    let dimension = Dimension::named(dimension)?;
    let system = System::named(units)?;
    let told = |value: f64| {
        let finite = Range::new(-f64::MAX, f64::MAX, dimension.si_unit());
        check("values", value, finite, "leave out what is not known")?;
        Ok(show_one(value, dimension, system, digits))
    };
    Ok(match values {
        Column::One(value) => told(value)?.into_pyobject(py)?.into_any().unbind(),
        Column::Many(values) => values
            .iter()
            .map(|value| told(*value))
            .collect::<Result<Vec<_>>>()?
            .into_pyobject(py)?
            .unbind(),
    })
}

/// Tell a sentence of an answer in the shop's units.
///
/// The core's sentences (why, mend, notes) speak of millimetres and degrees Celsius. Lengths, areas, feeds
/// and temperatures are told in inches, feet and degrees Fahrenheit; forces, stresses and masses stay.
///
/// Parameters
/// ----------
/// text : str
///     The sentence.
/// units : {"metric", "inch"}, default "metric"
///     Which units to tell.
///
/// Returns
/// -------
/// str
///     The sentence; as it is in metric units.
///
/// Raises
/// ------
/// UnknownNameError
///     No system of units has that name.
///
/// Examples
/// --------
/// >>> mw.said("saw 2 to 3 mm outside the line", units="inch")
/// 'saw 0.08 to 0.12 in outside the line'
#[pyfunction]
#[pyo3(signature = (text, *, units = "metric"))]
pub(super) fn said(text: &str, units: &str) -> PyResult<String> {
    Ok(said_in(text, System::named(units)?))
}
