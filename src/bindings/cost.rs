//! Cost, learning and laws in Python.

use std::collections::BTreeMap;

use numpy::{AllowTypeChange, PyArray1, PyArrayLike2};
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};

use super::arrays::{self, Column};
use super::promise::read;
use super::{long, record};
use crate::cost::{
    Bill, Binding, Curve, Earning, Estimate, Group, Line, Model, Overhead, PricedOn, Quote,
    QuoteTerms, Repriced, Sampler, Tax, TaxBy, Terms, UncertainLine, estimate as estimate_bill,
    price_breaks as breaks_of, spares,
};
use crate::error::{Error, Result};
use crate::money::{Currency, Rounding};
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

/// The model of a learning curve by its name.
fn model(name: &str) -> Result<Model> {
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
    units: u32,
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

/// What a price is made with, as Python writes it.
struct Words<'a> {
    currency: &'a str,
    margin: Option<Share>,
    markup: Option<Share>,
    overhead_per_hour: f64,
    overhead_on_labour: Option<Share>,
    fees: Share,
    minimum: f64,
    discount: Share,
    tax: Share,
    tax_by: &'a str,
    tax_exempt: Vec<String>,
    rounding: &'a str,
    cover: Option<Share>,
}

impl<'a> Words<'a> {
    /// Nothing but a currency; a margin or a markup is still to be given.
    fn plain(currency: &'a str) -> Self {
        Self {
            currency,
            margin: None,
            markup: None,
            overhead_per_hour: 0.0,
            overhead_on_labour: None,
            fees: Share::Number(0.0),
            minimum: 0.0,
            discount: Share::Number(0.0),
            tax: Share::Number(0.0),
            tax_by: "total",
            tax_exempt: vec![],
            rounding: "half-up",
            cover: None,
        }
    }

    fn terms(&self) -> Result<Terms> {
        let earning = match (&self.margin, &self.markup) {
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
                });
            }
        };
        let overhead = match &self.overhead_on_labour {
            None => Overhead::PerHour {
                rate: self.overhead_per_hour,
            },
            Some(_) if self.overhead_per_hour > 0.0 => {
                return Err(Error::Shape {
                    what: "overhead".into(),
                    given: "by the hour and on labour".into(),
                    allowed: "one of the two".into(),
                });
            }
            Some(share) => Overhead::OnLabour {
                share: share.fraction("overhead_on_labour")?,
            },
        };
        let by = match self.tax_by {
            "total" => TaxBy::Total,
            "line" => TaxBy::Line,
            other => return Err(Error::unknown("rounding of tax", other, ["total", "line"])),
        };
        let rounding = match self.rounding {
            "half-up" => Rounding::HalfUp,
            "half-even" => Rounding::HalfEven,
            other => return Err(Error::unknown("rounding", other, ["half-up", "half-even"])),
        };
        let exempt = self.tax_exempt.iter().map(|group| Group::named(group));
        Ok(Terms {
            currency: Currency::named(self.currency)?,
            overhead,
            priced_on: match &self.cover {
                None => PricedOn::Mean,
                Some(share) => PricedOn::Percentile {
                    share: share.fraction("cover")?,
                },
            },
            earning,
            fees: self.fees.fraction("fees")?,
            minimum: self.minimum,
            discount: self.discount.fraction("discount")?,
            tax: Tax {
                rate: self.tax.fraction("tax")?,
                exempt: exempt.collect::<Result<_>>()?,
                by,
            },
            rounding,
        })
    }
}

/// A line of a bill as Python writes it.
type PlainLine = (String, String, f64, String, f64);

fn line((name, group, amount, unit, rate): PlainLine) -> Result<Line> {
    Line::new(name, Group::named(&group)?, amount, unit, rate)
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
///     Least net price.
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
    let job = py.detach(move || estimate_bill(&bill, &terms, draws.as_deref()))?;
    record::give(py, "Estimate", &job)
}

/// Price several quantities of one thing: set-up once, hands that learn, material by the piece.
///
/// Parameters
/// ----------
/// each : sequence of tuple
///     Lines of one piece but labour: ``(name, group, amount, unit, rate)`` as for :func:`estimate`.
/// quantities : sequence of int
///     How many pieces, 1 to 1 000 000.
/// first : str
///     Attended time of the first piece: ``"45 min"``.
/// set_up : str, default "0 s"
///     Attended time once for all: templates, machines.
/// labour_per_hour : float
///     Money for an attended hour.
/// currency : str
///     Three letters as in ISO 4217.
/// margin, markup : float or str, optional
///     What the shop earns, as a share of the price or of the cost; give one of the two.
/// once : sequence of tuple, optional
///     Lines once for all.
/// slope : float or str, default 1
///     Time left after a doubling, 0.5 to 1: ``"88 %"``; 1 is no learning.
/// model : {"unit", "cumulative-average"}, default "unit"
///     What the slope is a slope of.
/// overhead_per_hour : float, default 0
///     Money for each attended hour.
/// minimum : float, default 0
///     Least net price.
///
/// Returns
/// -------
/// tuple of PriceBreak
///     ``quantity``, ``total_net`` and ``each_net`` as whole minor units with their currency,
///     ``hours_attended``.
///
/// Raises
/// ------
/// OutOfRangeError
///     A quantity of none, a margin of 1 or more, a negative rate, a number that is not finite.
/// ShapeError
///     Not exactly one of margin and markup is given, or the currency is not three letters.
/// UnknownNameError
///     No group or model has that name.
/// UnitError
///     A text is not a time or a share.
///
/// Examples
/// --------
/// >>> sheet = ("foam board", "material", 0.1, "m²", 20.0)
/// >>> prices = mw.price_breaks(
/// ...     [sheet], quantities=[1, 4], first="30 min", set_up="1 h", labour_per_hour=40,
/// ...     slope="80 %", currency="XTS", margin="50 %",
/// ... )
/// >>> [price.each_net.minor for price in prices]
/// [12400, 5542]
#[pyfunction]
#[pyo3(signature = (
    each, *, quantities, first, set_up = "0 s", labour_per_hour, currency, margin = None, markup = None,
    once = vec![], slope = Share::Number(1.0), model = "unit", overhead_per_hour = 0.0, minimum = 0.0
), text_signature = "(each, *, quantities, first, set_up='0 s', labour_per_hour, currency, margin=None, \
markup=None, once=(), slope=1.0, model='unit', overhead_per_hour=0.0, minimum=0.0)")]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn price_breaks<'py>(
    py: Python<'py>,
    each: Vec<PlainLine>,
    quantities: Vec<u32>,
    first: &str,
    set_up: &str,
    labour_per_hour: f64,
    currency: &str,
    margin: Option<Share>,
    markup: Option<Share>,
    once: Vec<PlainLine>,
    slope: Share,
    model: &str,
    overhead_per_hour: f64,
    minimum: f64,
) -> PyResult<Bound<'py, PyTuple>> {
    let terms = Words {
        margin,
        markup,
        overhead_per_hour,
        minimum,
        ..Words::plain(currency)
    }
    .terms()?;
    let seconds =
        |what: &str, text: &str| Ok::<_, Error>(parse(what, text, Dimension::Time)?.value);
    let set_up_s = seconds("set_up", set_up)?;
    let curve = Curve::new(slope.fraction("slope")?, self::model(model)?)?;
    let learning = curve.from_first(seconds("first", first)?)?;
    let each = each.into_iter().map(line).collect::<Result<Vec<_>>>()?;
    let once = once.into_iter().map(line).collect::<Result<Vec<_>>>()?;
    let breaks = py.detach(move || {
        breaks_of(&quantities, &terms, |quantity| {
            let attended_s = set_up_s + learning.total(quantity)?;
            let mut lines = once.clone();
            for one in &each {
                let amount = one.amount * f64::from(quantity);
                lines.push(Line::new(
                    &one.name, one.group, amount, &one.unit, one.rate,
                )?);
            }
            let hours = attended_s / 3600.0;
            lines.push(Line::new(
                "work",
                Group::Labour,
                hours,
                "h",
                labour_per_hour,
            )?);
            Ok(Bill {
                lines,
                attended_s,
                rework: 0.0,
            })
        })
    })?;
    let records = breaks
        .iter()
        .map(|price| record::give(py, "PriceBreak", price))
        .collect::<PyResult<Vec<_>>>()?;
    PyTuple::new(py, records)
}

/// Write the quote of an estimate: what the customer sees, and nothing else.
///
/// Parameters
/// ----------
/// job : Estimate
///     What :func:`estimate` gave.
/// work : sequence of str
///     The work, so that a stranger could check it.
/// date : str
///     Day of the quote: ``"2026-11-25"``.
/// vehicle, customer, number : str, default ""
///     For which vehicle, for whom, and the shop's number of the quote.
/// valid_days : int, default 21
///     Days for which it stands, 1 to 365.
/// binding : {"fixed", "estimate"}, default "fixed"
///     Whether the price binds, or is an estimate with its range; that needs draws.
/// deposit : float or str, default 0
///     Share of the price with tax that is paid when the work is ordered.
/// assumptions, exclusions : sequence of str, optional
///     What the price rests on, and what is not in it.
/// ready_by : str, optional
///     When the vehicle is handed back in nine jobs of ten: ``"2026-12-03T16:30"``.
///
/// Returns
/// -------
/// Quote
///     ``terms`` (the words), ``lines``, ``net``, ``tax``, ``gross``, ``range``, ``deposit``,
///     ``valid_until``, ``ready_by``; money as whole minor units with their currency.
///
/// Raises
/// ------
/// OutOfRangeError
///     A deposit outside 0 to 1, days outside 1 to 365.
/// ShapeError
///     An estimate without draws, a day that is none, or a record that is no estimate.
/// UnknownNameError
///     ``binding`` is not one of the two.
/// UnitError
///     A text is not a share.
///
/// Examples
/// --------
/// >>> job = mw.estimate(
/// ...     [("forming", "labour", 2, "h", 35.0)],
/// ...     attended="2 h", currency="XTS", margin="30 %", tax="20 %",
/// ... )
/// >>> quote = mw.quote(job, work=["one pod"], date="2026-11-25", deposit="30 %")
/// >>> quote.gross.minor, quote.deposit.minor, quote.valid_until
/// (12000, 3600, '2026-12-16')
/// >>> "margin" in quote.to_json()
/// False
#[pyfunction]
#[pyo3(signature = (
    job, *, work, date, vehicle = "", customer = "", number = "", valid_days = 21, binding = "fixed",
    deposit = Share::Number(0.0), assumptions = vec![], exclusions = vec![], ready_by = None
), text_signature = "(job, *, work, date, vehicle='', customer='', number='', valid_days=21, binding='fixed', \
deposit=0.0, assumptions=(), exclusions=(), ready_by=None)")]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn quote<'py>(
    py: Python<'py>,
    job: Bound<'py, PyAny>,
    work: Vec<String>,
    date: &str,
    vehicle: &str,
    customer: &str,
    number: &str,
    valid_days: u16,
    binding: &str,
    deposit: Share,
    assumptions: Vec<String>,
    exclusions: Vec<String>,
    ready_by: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let text: String = job.call_method0("to_json")?.extract()?;
    let job: Estimate = serde_json::from_str(&text).map_err(|e| Error::Shape {
        what: "job".into(),
        given: e.to_string(),
        allowed: "what mw.estimate gave".into(),
    })?;
    let terms = QuoteTerms {
        number: number.into(),
        customer: customer.into(),
        vehicle: vehicle.into(),
        work,
        date: read(date, "date", "a day: 2026-11-25")?,
        valid_days,
        binding: match binding {
            "fixed" => Binding::Fixed,
            "estimate" => Binding::Estimate,
            other => return Err(Error::unknown("binding", other, ["fixed", "estimate"]).into()),
        },
        deposit: deposit.fraction("deposit")?,
        assumptions,
        exclusions,
    };
    let ready_by = ready_by
        .map(|text| read(text, "ready_by", "a day and time: 2026-12-03T16:30"))
        .transpose()?;
    record::give(py, "Quote", &Quote::of(&job, terms, ready_by)?)
}

/// Rank what the variance of a result comes from, out of the draws that gave it.
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
pub(super) fn blanks_to_start(good: u32, fail: Share, confidence: Share) -> PyResult<u32> {
    Ok(spares(
        good,
        fail.fraction("fail")?,
        confidence.fraction("confidence")?,
    )?)
}

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
    draws: usize,
    seed: u64,
) -> PyResult<Bound<'py, PyArray1<f64>>> {
    let sampler = sampler(&lines, &causes)?;
    let totals = long::long(py, None, |_| sampler.costs(draws, seed))?;
    Ok(arrays::give(py, totals))
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
///     A quote has not one factor for each line, or not exactly one of margin and markup is given.
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
    factors: PyArrayLike2<'py, f64, AllowTypeChange>,
    causes: BTreeMap<String, Bound<'py, PyAny>>,
    currency: &str,
    margin: Option<Share>,
    markup: Option<Share>,
    minimum: f64,
    cover: Option<Share>,
    draws: usize,
    seed: u64,
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
    let quotes: Vec<Vec<f64>> = (factors.as_array().rows().into_iter())
        .map(|row| row.to_vec())
        .collect();
    let found = long::long(py, None, |watch| {
        sampler.reprice(&quotes, &terms, draws, seed, watch)
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
