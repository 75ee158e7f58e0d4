//! Cost, learning and laws in Python.

use std::collections::BTreeMap;

use numpy::PyArray1;
use pyo3::prelude::*;

use super::arrays::{self, Column};
use super::{long, record};
use crate::cost::{
    Bill, Curve, Earning, Group, Line, Model, Overhead, PricedOn, Sampler, Tax, TaxBy, Terms,
    UncertainLine, estimate as estimate_bill,
};
use crate::error::{Error, Result};
use crate::money::{Currency, Rounding};
use crate::quantity::{Dimension, parse};
use crate::spread::{Law, percentiles};

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
///     Probabilities, 0 to 1.
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
///     of the three percentiles for independent draws.
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

/// Times of the units of a batch on a learning curve.
///
/// Parameters
/// ----------
/// first : float
///     Time of the first unit, in any unit of time.
/// units : int
///     How many, up to 1 000 000.
/// slope : float or str
///     Time left after a doubling, 0.5 to 1: ``0.85`` or ``"85 %"``.
/// model : {"unit", "cumulative-average"}, default "unit"
///     What the slope is a slope of: each unit by itself (Crawford), or the mean so far (Wright).
/// machine_share : float or str, default 0
///     Share of the first unit that a machine or the material paces.
///
/// Returns
/// -------
/// ndarray of float64, shape (units,)
///     Time of each unit, in the unit of ``first``.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number lies outside its range.
/// UnknownNameError
///     No model has that name.
///
/// Examples
/// --------
/// >>> mw.learning(100, 4, slope="80 %").round(4)
/// array([100.    ,  80.    ,  70.2104,  64.    ])
/// >>> mw.learning(100, 4, slope="80 %", model="cumulative-average").cumsum()[[0, 1, 3]].round(6)
/// array([100., 160., 256.])
#[pyfunction]
#[pyo3(signature = (first, units, *, slope, model = "unit", machine_share = Share::Number(0.0)), text_signature = "(first, units, *, slope, model='unit', machine_share=0.0)")]
pub(super) fn learning<'py>(
    py: Python<'py>,
    first: f64,
    units: u32,
    slope: Share,
    model: &str,
    machine_share: Share,
) -> PyResult<Bound<'py, PyArray1<f64>>> {
    let model = match model {
        "unit" => Model::Unit,
        "cumulative-average" => Model::CumulativeAverage,
        other => {
            return Err(Error::unknown("model", other, ["unit", "cumulative-average"]).into());
        }
    };
    let curve = Curve::new(slope.fraction("slope")?, model)?
        .with_machine_share(machine_share.fraction("machine_share")?)?;
    let times = py.detach(move || {
        let learning = curve.from_first(first)?;
        (1..=units)
            .map(|k| learning.unit(k))
            .collect::<Result<Vec<f64>>>()
    })?;
    Ok(arrays::give(py, times))
}

/// Price a job from the lines of its bill.
///
/// Parameters
/// ----------
/// lines : sequence of tuple
///     ``(name, group, amount, unit, rate)``; the group is ``"material"``, ``"consumable"``,
///     ``"labour"``, ``"machine"`` or ``"outside"``, the rate is money for one unit.
/// attended : str
///     Attended time: ``"2.5 h"``.
/// currency : str
///     Three letters as in ISO 4217.
/// margin, markup : float or str, optional
///     What the shop earns, as a share of the price or of the cost; give one of the two.
/// overhead_per_hour : float, default 0
///     Money for each attended hour.
/// rework : float, default 0
///     Expected cost of rework.
/// fees : float or str, default 0
///     Share of the price.
/// minimum : float, default 0
///     Least net price.
/// discount : float or str, default 0
///     Share of the net price.
/// tax : float or str, default 0
///     Share of the net price.
/// tax_by : {"total", "line"}, default "total"
///     Where tax is rounded.
/// draws : array_like, shape (n,), optional
///     Full cost of each draw; gives the range, and the price is then made of its mean.
///
/// Returns
/// -------
/// Estimate
///     Costs by line and in full, prices as whole minor units with their currency, the range and
///     the chance of loss where there are draws.
///
/// Raises
/// ------
/// OutOfRangeError
///     A margin of 1 or more, a negative rate, a number that is not finite.
/// ImpossibleError
///     Margin and fees leave nothing of the price.
/// ShapeError
///     Not exactly one of margin and markup is given, or the currency is not three letters.
/// UnknownNameError
///     No group has that name.
/// UnitError
///     A text is not a time or a share.
///
/// Examples
/// --------
/// >>> job = mw.estimate(
/// ...     [("foam board", "material", 0.4, "m²", 15.0), ("forming", "labour", 2, "h", 32.0)],
/// ...     attended="2 h", currency="XTS", margin="30 %", tax="20 %",
/// ... )
/// >>> job.full_cost, job.price_net.minor, job.tax.minor
/// (70.0, 10000, 2000)
#[pyfunction]
#[pyo3(signature = (
    lines, *, attended, currency, margin = None, markup = None, overhead_per_hour = 0.0, rework = 0.0,
    fees = Share::Number(0.0), minimum = 0.0, discount = Share::Number(0.0), tax = Share::Number(0.0),
    tax_by = "total", draws = None
), text_signature = "(lines, *, attended, currency, margin=None, markup=None, overhead_per_hour=0.0, rework=0.0, \
fees=0.0, minimum=0.0, discount=0.0, tax=0.0, tax_by='total', draws=None)")]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn estimate<'py>(
    py: Python<'py>,
    lines: Vec<(String, String, f64, String, f64)>,
    attended: &str,
    currency: &str,
    margin: Option<Share>,
    markup: Option<Share>,
    overhead_per_hour: f64,
    rework: f64,
    fees: Share,
    minimum: f64,
    discount: Share,
    tax: Share,
    tax_by: &str,
    draws: Option<Column>,
) -> PyResult<Bound<'py, PyAny>> {
    let bill = Bill {
        lines: lines
            .into_iter()
            .map(|(name, group, amount, unit, rate)| {
                Line::new(name, Group::named(&group)?, amount, unit, rate)
            })
            .collect::<Result<_>>()?,
        attended_s: parse("attended", attended, Dimension::Time)?.value,
        rework,
    };
    let earning = match (&margin, &markup) {
        (Some(share), None) => Earning::Margin {
            share: share.fraction("margin")?,
        },
        (None, Some(share)) => Earning::Markup {
            share: share.fraction("markup")?,
        },
        (given, _) => {
            return Err(Error::Shape {
                what: "margin and markup".into(),
                given: if given.is_some() { "both" } else { "neither" }.into(),
                allowed: "one of the two".into(),
            }
            .into());
        }
    };
    let by = match tax_by {
        "total" => TaxBy::Total,
        "line" => TaxBy::Line,
        other => return Err(Error::unknown("rounding of tax", other, ["total", "line"]).into()),
    };
    let terms = Terms {
        currency: Currency::named(currency)?,
        overhead: Overhead::PerHour {
            rate: overhead_per_hour,
        },
        priced_on: PricedOn::Mean,
        earning,
        fees: fees.fraction("fees")?,
        minimum,
        discount: discount.fraction("discount")?,
        tax: Tax {
            rate: tax.fraction("tax")?,
            exempt: vec![],
            by,
        },
        rounding: Rounding::HalfUp,
    };
    let draws = draws.map(|draws| match draws {
        Column::One(cost) => vec![cost],
        Column::Many(costs) => costs,
    });
    let job = py.detach(move || estimate_bill(&bill, &terms, draws.as_deref()))?;
    record::give(py, "Estimate", &job)
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
    draws: usize,
    seed: u64,
) -> PyResult<Bound<'py, PyArray1<f64>>> {
    let law_of = |tuple: &Bound<'py, PyAny>| -> PyResult<Law> {
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
    let totals = long::long(py, None, |_| {
        Sampler::new(&lines, &causes)?.costs(draws, seed)
    })?;
    Ok(arrays::give(py, totals))
}
