//! Laws, percentiles and shares of variance in Python.

use std::collections::BTreeMap;

use numpy::PyArray1;
use pyo3::prelude::*;
use pyo3::types::PyDict;

use super::arrays::{self, Column};
use super::record;
use crate::error::{Error, Result};
use crate::quantity::{Dimension, parse};
use crate::spread::{Law, percentiles, shares};

/// A share as a number or as text: `0.35`, `"35 %"`.
#[derive(FromPyObject)]
pub(super) enum Share {
    Number(f64),
    Text(String),
}

impl Share {
    pub(super) fn fraction(&self, what: &str) -> Result<f64> {
        match self {
            Self::Number(number) => Ok(*number),
            Self::Text(text) => Ok(parse(what, text, Dimension::Fraction)?.value),
        }
    }
}

/// A law by its name and its numbers.
pub(super) fn law(name: &str, numbers: &[f64]) -> Result<Law> {
    let made = match (name, numbers) {
        ("fixed", &[value]) => Law::Fixed { value },
        ("uniform", &[low, high]) => Law::Uniform { low, high },
        ("triangular", &[low, likely, high]) => Law::Triangular { low, likely, high },
        ("pert", &[low, likely, high]) => Law::Pert { low, likely, high },
        ("log-normal", &[median, log_sd]) => Law::LogNormal { median, log_sd },
        ("fixed" | "uniform" | "triangular" | "pert" | "log-normal", _) => {
            return Err(Error::Shape {
                what: format!("numbers of a {name} law"),
                given: format!("{} of them", numbers.len()),
                allowed: "fixed: 1; uniform: low, high; triangular and pert: low, likely, high; \
                          log-normal: median, sd of the logarithm"
                    .into(),
            });
        }
        _ => {
            let known = ["fixed", "uniform", "triangular", "pert", "log-normal"];
            return Err(Error::unknown("law", name, known));
        }
    };
    made.check(name)
}

/// Values that a law does not exceed with given probabilities.
///
/// Parameters
/// ----------
/// law : tuple
///     ``("fixed", x)``, ``("uniform", low, high)``, ``("triangular", low, likely, high)``,
///     ``("pert", low, likely, high)`` or ``("log-normal", median, sd of the logarithm)``.
/// p : array_like, shape (n,)
///     Probabilities, 0 to 1; below 1 for a log-normal law.
///
/// Returns
/// -------
/// ndarray of float64, shape (n,)
///     In the unit of the law.
///
/// Raises
/// ------
/// OutOfRangeError
///     A probability lies outside 0 to 1, or the numbers are no law.
/// ShapeError
///     The law has another count of numbers.
/// UnknownNameError
///     No law has that name.
///
/// Examples
/// --------
/// >>> mw.quantiles(("pert", 10, 12, 20), [0.1, 0.5, 0.9]).round(3)
/// array([10.899, 12.767, 15.453])
#[pyfunction]
pub(super) fn quantiles(
    py: Python<'_>,
    #[pyo3(from_py_with = named_numbers)] law: (String, Vec<f64>),
    p: Column,
) -> PyResult<Bound<'_, PyArray1<f64>>> {
    let law = self::law(&law.0, &law.1)?;
    let p = match p {
        Column::One(p) => vec![p],
        Column::Many(p) => p,
    };
    let found = py.detach(move || {
        p.into_iter()
            .map(|p| law.quantile(p))
            .collect::<Result<_>>()
    })?;
    Ok(arrays::give(py, found))
}

/// A name and the numbers behind it, out of one tuple.
pub(super) fn named_numbers(tuple: &Bound<'_, PyAny>) -> PyResult<(String, Vec<f64>)> {
    let mut items = tuple.try_iter()?;
    let name = match items.next() {
        Some(name) => name?.extract()?,
        None => String::new(),
    };
    let numbers = items.map(|item| item?.extract()).collect::<PyResult<_>>()?;
    Ok((name, numbers))
}

/// P10, P50, P90 and mean of draws, with their sampling error.
///
/// Parameters
/// ----------
/// values : array_like, shape (n,)
///     Finite draws of a result.
///
/// Returns
/// -------
/// Band
///     ``p10``, ``p50``, ``p90``, ``mean`` and ``error``, the standard error of the least certain
///     of the three percentiles for independent draws; ``None`` for a single one.
///
/// Raises
/// ------
/// ShapeError
///     There are no values.
/// OutOfRangeError
///     A value is not finite.
///
/// Examples
/// --------
/// >>> mw.band(range(101)).p90
/// 90.0
#[pyfunction]
pub(super) fn band(py: Python<'_>, values: Column) -> PyResult<Bound<'_, PyAny>> {
    let values = match values {
        Column::One(value) => vec![value],
        Column::Many(values) => values,
    };
    let band = py.detach(move || percentiles(&values))?;
    record::give(py, "Band", &band)
}

/// Rank what the variance of a result comes from, out of the draws that gave it.
///
/// The mean of the result over each input is fitted by a straight line, in cosines of its rank and
/// with up to three steps (a deadline missed), the strongest input first; what chance alone would give
/// is left out, and so is what swings more than a few times over the range of one input.
///
/// Parameters
/// ----------
/// inputs : dict of str to array_like, shape (n,)
///     The draws of each independent input.
/// result : array_like, shape (n,)
///     What came of them.
///
/// Returns
/// -------
/// dict of str to float
///     First-order share of the variance of each input that has one, largest first: what goes when
///     that input becomes known. What they leave of 1 is what inputs do together, and chance.
///     Empty below 32 draws.
///
/// Raises
/// ------
/// ShapeError
///     Columns of different length.
/// OutOfRangeError
///     A draw is not finite.
///
/// Examples
/// --------
/// >>> finishing = mw.draw_costs([("finishing", ("uniform", 0, 2), [])])
/// >>> cutting = mw.draw_costs([("cutting", ("uniform", 0, 1), [])])
/// >>> shares = mw.variance_shares({"cutting": cutting, "finishing": finishing}, cutting + finishing)
/// >>> {name: round(share, 1) for name, share in shares.items()}
/// {'finishing': 0.8, 'cutting': 0.2}
#[pyfunction]
pub(super) fn variance_shares(
    py: Python<'_>,
    inputs: BTreeMap<String, Column>,
    result: Column,
) -> PyResult<Bound<'_, PyDict>> {
    let many = |column: Column| match column {
        Column::One(value) => vec![value],
        Column::Many(values) => values,
    };
    let result = many(result);
    let inputs: Vec<(String, Vec<f64>)> = inputs
        .into_iter()
        .map(|(name, x)| (name, many(x)))
        .collect();
    let found = py.detach(move || {
        let columns: Vec<(&str, &[f64])> = inputs
            .iter()
            .map(|(name, x)| (name.as_str(), x.as_slice()))
            .collect();
        shares(&columns, &result)
    })?;
    let by_name = PyDict::new(py);
    for share in found {
        by_name.set_item(share.name, share.first_order)?;
    }
    Ok(by_name)
}
