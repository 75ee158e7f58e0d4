//! Costs drawn many times in Python.

use std::collections::BTreeMap;

use numpy::{AllowTypeChange, PyArray1, PyArrayLike2};
use pyo3::prelude::*;
use pyo3::types::PyDict;

use super::laws::{Share, law, named_numbers};
use super::terms::Words;
use super::whole;
use super::{arrays, long};
use crate::cost::{Repriced, Sampler, UncertainLine};
use crate::error::{Error, Result};
use crate::spread::Law;

/// Lines and their causes as Python writes them, ready to draw.
fn sampler(
    lines: &[(String, Bound<'_, PyAny>, Vec<String>)],
    causes: &BTreeMap<String, Bound<'_, PyAny>>,
) -> PyResult<Sampler> {
    let law_of = |tuple: &Bound<'_, PyAny>| -> PyResult<Law> {
        let (name, numbers) = named_numbers(tuple)?;
        Ok(law(&name, &numbers)?)
    };
    let names: Vec<&str> = causes.keys().map(String::as_str).collect();
    let lines = lines
        .iter()
        .map(|(name, law, own)| {
            let find = |cause: &String| {
                let at = names.iter().position(|known| known == cause);
                at.ok_or_else(|| Error::unknown("cause", cause.as_str(), names.iter().copied()))
            };
            let causes = own.iter().map(find).collect::<Result<_>>()?;
            Ok(UncertainLine {
                name: name.clone(),
                law: law_of(law)?,
                causes,
            })
        })
        .collect::<PyResult<Vec<_>>>()?;
    let causes = causes
        .iter()
        .map(|(name, law)| Ok((name.clone(), law_of(law)?)))
        .collect::<PyResult<Vec<_>>>()?;
    Ok(Sampler::new(&lines, &causes)?)
}

/// Draw the total of uncertain lines many times.
///
/// Parameters
/// ----------
/// lines : sequence of tuple
///     ``(name, law, causes)``: the law as for :func:`quantiles`, and the names of the causes that
///     multiply it.
/// causes : dict of str to tuple, optional
///     Laws of shared causes: the pace of the fabricator, the price of sheet.
/// draws : int, default 10000
///     How many, up to 100 000 000.
/// seed : int, default 1
///     The same seed gives the same draws on any machine.
///
/// Returns
/// -------
/// ndarray of float64, shape (draws,)
///     Totals, in the unit of the laws. Blocks of 1024 are Latin hypercubes.
///
/// Raises
/// ------
/// OutOfRangeError
///     The numbers of a law are none, or there are no draws.
/// ShapeError
///     Two lines or causes have one name, or a law has another count of numbers.
/// UnknownNameError
///     No law or no cause has that name.
///
/// Examples
/// --------
/// >>> totals = mw.draw_costs(
/// ...     [
/// ...         ("forming", ("triangular", 30, 40, 70), ["pace"]),
/// ...         ("finishing", ("pert", 50, 60, 140), ["pace"]),
/// ...         ("sheet", ("fixed", 42), []),
/// ...     ],
/// ...     causes={"pace": ("pert", 0.8, 1.0, 1.5)},
/// ... )
/// >>> totals.shape, bool(150 < totals.mean() < 170)
/// ((10000,), True)
#[pyfunction]
#[pyo3(signature = (lines, *, causes = BTreeMap::new(), draws = 10_000, seed = 1), text_signature = "(lines, *, causes={}, draws=10000, seed=1)")]
pub(super) fn draw_costs<'py>(
    py: Python<'py>,
    lines: Vec<(String, Bound<'py, PyAny>, Vec<String>)>,
    causes: BTreeMap<String, Bound<'py, PyAny>>,
    #[pyo3(from_py_with = whole::draws)] draws: usize,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
) -> PyResult<Bound<'py, PyArray1<f64>>> {
    let sampler = sampler(&lines, &causes)?;
    let totals = long::long(py, None, |_| sampler.costs(draws, seed))?;
    Ok(arrays::give(py, totals))
}

/// Factors as a table, one row for each quote.
fn quotes(given: &Bound<'_, PyAny>) -> PyResult<Vec<Vec<f64>>> {
    if given.len().is_ok_and(|quotes| quotes == 0) {
        return Ok(vec![]);
    }
    let table = given.extract::<PyArrayLike2<'_, f64, AllowTypeChange>>();
    let table = table.map_err(|_| Error::Shape {
        what: "factors".into(),
        given: "no table of numbers".into(),
        allowed: "a row for each quote with a factor for each line: [[1, 1], [2, 1]]".into(),
    })?;
    let table = table.as_array();
    Ok(table.rows().into_iter().map(|row| row.to_vec()).collect())
}

/// Price many quotes from the same draws: other quantities and rates, the same laws.
///
/// Parameters
/// ----------
/// lines : sequence of tuple
///     ``(name, law, causes)`` as for :func:`draw_costs`; together they are the full cost.
/// factors : array_like, shape (quotes, lines)
///     Factor on each line of each quote.
/// causes : dict of str to tuple, optional
///     Laws of shared causes.
/// currency : str
///     Three letters as in ISO 4217.
/// margin, markup : float or str, optional
///     What the shop earns, as a share of the price or of the cost; give one of the two.
/// minimum : float, default 0
///     Least net price.
/// cover : float or str, optional
///     The price is made of the cost that is not exceeded with this chance; of the mean if left out.
/// draws : int, default 1000
///     Draws, the same for all quotes.
/// seed : int, default 1
///     The same seed gives the same draws on any machine.
///
/// Returns
/// -------
/// dict of str to ndarray of float64, shape (quotes,)
///     ``net``, the net price in units of the currency, and of the cost ``p10``, ``p50``, ``p90``,
///     ``mean`` and ``error``, the standard error of the least certain percentile.
///
/// Raises
/// ------
/// OutOfRangeError
///     A factor is negative, the numbers of a law are none, or there are no draws.
/// ShapeError
///     The factors are no table, a quote has not one for each line, or not exactly one of margin and markup is given.
/// UnknownNameError
///     No law or no cause has that name.
/// UnitError
///     A text is not a share.
///
/// Examples
/// --------
/// >>> lines = [("forming", ("triangular", 30, 40, 70), []), ("sheet", ("fixed", 42), [])]
/// >>> found = mw.reprice(lines, [[1, 1], [2, 1], [1, 0]], currency="XTS", margin="40 %")
/// >>> bool(found["net"][2] < found["net"][0] < found["net"][1])
/// True
#[pyfunction]
#[pyo3(signature = (
    lines, factors, *, causes = BTreeMap::new(), currency, margin = None, markup = None, minimum = 0.0,
    cover = None, draws = 1000, seed = 1
), text_signature = "(lines, factors, *, causes={}, currency, margin=None, markup=None, minimum=0.0, \
cover=None, draws=1000, seed=1)")]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn reprice<'py>(
    py: Python<'py>,
    lines: Vec<(String, Bound<'py, PyAny>, Vec<String>)>,
    #[pyo3(from_py_with = quotes)] factors: Vec<Vec<f64>>,
    causes: BTreeMap<String, Bound<'py, PyAny>>,
    currency: &str,
    margin: Option<Share>,
    markup: Option<Share>,
    minimum: f64,
    cover: Option<Share>,
    #[pyo3(from_py_with = whole::draws)] draws: usize,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
) -> PyResult<Bound<'py, PyDict>> {
    let sampler = sampler(&lines, &causes)?;
    let terms = Words {
        margin,
        markup,
        minimum,
        cover,
        ..Words::plain(currency)
    }
    .terms()?;
    let found = long::long(py, None, |watch| {
        sampler.reprice(&factors, &terms, draws, seed, watch)
    })?;
    let by_name = PyDict::new(py);
    let give = |name: &str, of: fn(&Repriced) -> f64| {
        by_name.set_item(name, arrays::give(py, found.iter().map(of).collect()))
    };
    give("net", |quote| quote.net.major())?;
    give("p10", |quote| quote.cost.p10)?;
    give("p50", |quote| quote.cost.p50)?;
    give("p90", |quote| quote.cost.p90)?;
    give("mean", |quote| quote.cost.mean)?;
    give("error", |quote| quote.cost.error)?;
    Ok(by_name)
}
