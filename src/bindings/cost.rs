//! Learning, estimates and blanks to start with, in Python.

use numpy::PyArray1;
use pyo3::prelude::*;

use super::arrays::{self, Column};
use super::laws::Share;
use super::record;
use super::terms::{PlainLine, Words, line};
use super::whole;
use crate::cost::{Bill, Curve, Model, estimate as estimate_bill, spares};
use crate::error::{Error, Result};
use crate::quantity::{Dimension, parse};

/// The model of a learning curve by its name.
pub(super) fn model(name: &str) -> Result<Model> {
    match name {
        "unit" => Ok(Model::Unit),
        "cumulative-average" => Ok(Model::CumulativeAverage),
        other => Err(Error::unknown(
            "model",
            other,
            ["unit", "cumulative-average"],
        )),
    }
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
    #[pyo3(from_py_with = whole::count)] units: u32,
    slope: Share,
    model: &str,
    machine_share: Share,
) -> PyResult<Bound<'py, PyArray1<f64>>> {
    let curve = Curve::new(slope.fraction("slope")?, self::model(model)?)?
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
/// overhead_on_labour : float or str, optional
///     Overhead as a share of the labour lines, in place of that by the hour.
/// rework : float, default 0
///     Expected cost of rework.
/// fees : float or str, default 0
///     Share of the price.
/// minimum : float, default 0
///     Least price before the discount.
/// discount : float or str, default 0
///     Share of the net price.
/// tax : float or str, default 0
///     Share of the net price.
/// tax_by : {"total", "line"}, default "total"
///     Where tax is rounded.
/// tax_exempt : sequence of str, optional
///     Groups that are not taxed.
/// rounding : {"half-up", "half-even"}, default "half-up"
///     What becomes of half a minor unit.
/// draws : array_like, shape (n,), optional
///     Full cost of each draw; gives the range, and the price is then made of its mean.
/// cover : float or str, optional
///     With draws: the price is made of the cost that is not exceeded with this chance: ``"80 %"``.
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
///     Not exactly one of margin and markup is given, overhead is given twice, or the currency is not
///     three letters.
/// UnknownNameError
///     No group or rule of rounding has that name.
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
    lines, *, attended, currency, margin = None, markup = None, overhead_per_hour = 0.0,
    overhead_on_labour = None, rework = 0.0, fees = Share::Number(0.0), minimum = 0.0,
    discount = Share::Number(0.0), tax = Share::Number(0.0), tax_by = "total", tax_exempt = vec![],
    rounding = "half-up", draws = None, cover = None
), text_signature = "(lines, *, attended, currency, margin=None, markup=None, overhead_per_hour=0.0, \
overhead_on_labour=None, rework=0.0, fees=0.0, minimum=0.0, discount=0.0, tax=0.0, tax_by='total', tax_exempt=(), \
rounding='half-up', draws=None, cover=None)")]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn estimate<'py>(
    py: Python<'py>,
    lines: Vec<PlainLine>,
    attended: &str,
    currency: &str,
    margin: Option<Share>,
    markup: Option<Share>,
    overhead_per_hour: f64,
    overhead_on_labour: Option<Share>,
    rework: f64,
    fees: Share,
    minimum: f64,
    discount: Share,
    tax: Share,
    tax_by: &str,
    tax_exempt: Vec<String>,
    rounding: &str,
    draws: Option<Column>,
    cover: Option<Share>,
) -> PyResult<Bound<'py, PyAny>> {
    let covers = cover.is_some();
    let bill = Bill {
        lines: lines.into_iter().map(line).collect::<Result<_>>()?,
        attended_s: parse("attended", attended, Dimension::Time)?.value,
        rework,
    };
    let terms = Words {
        currency,
        margin,
        markup,
        overhead_per_hour,
        overhead_on_labour,
        fees,
        minimum,
        discount,
        tax,
        tax_by,
        tax_exempt,
        rounding,
        cover,
    }
    .terms()?;
    let draws = draws.map(|draws| match draws {
        Column::One(cost) => vec![cost],
        Column::Many(costs) => costs,
    });
    if covers && draws.is_none() {
        return Err(Error::Shape {
            what: "cover".into(),
            given: "a chance without draws".into(),
            allowed: "draws of the full cost, as draw_costs gives them".into(),
        }
        .into());
    }
    let job = py.detach(move || estimate_bill(&bill, &terms, draws.as_deref()))?;
    record::give(py, "Estimate", &job)
}

/// Count the blanks to begin with so that enough come out right.
///
/// Parameters
/// ----------
/// good : int
///     Parts that are wanted, up to 10 000.
/// fail : float or str
///     Chance that a part comes out wrong, 0 to 0.95.
/// confidence : float or str, default 0.95
///     Chance with which the blanks are enough, 0 to 0.9999.
///
/// Returns
/// -------
/// int
///     The least number whose good ones are enough with that chance.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number lies outside its range.
/// UnitError
///     A text is not a share.
///
/// Examples
/// --------
/// Two pods of which one in ten comes out wrong: two blanks would do in 81 of 100 jobs.
///
/// >>> mw.blanks_to_start(2, "10 %"), mw.blanks_to_start(2, "10 %", confidence="80 %")
/// (3, 2)
#[pyfunction]
#[pyo3(signature = (good, fail, *, confidence = Share::Number(0.95)), text_signature = "(good, fail, *, confidence=0.95)")]
pub(super) fn blanks_to_start(
    #[pyo3(from_py_with = whole::count)] good: u32,
    fail: Share,
    confidence: Share,
) -> PyResult<u32> {
    Ok(spares(
        good,
        fail.fraction("fail")?,
        confidence.fraction("confidence")?,
    )?)
}
