//! Quotes and price breaks in Python.

use pyo3::prelude::*;
use pyo3::types::PyTuple;

use super::cost::model as model_of;
use super::laws::Share;
use super::promise::read;
use super::record;
use super::terms::{PlainLine, Words, line};
use super::whole;
use crate::cost::{
    Bill, Binding, Curve, Estimate, Group, Line, Quote, QuoteTerms, price_breaks as breaks_of,
};
use crate::error::{Error, Range, Result, check};
use crate::quantity::{Dimension, parse};

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
///     Not exactly one of margin and markup is given, a line of each is labour, or the currency is not
///     three letters.
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
    #[pyo3(from_py_with = whole::quantities)] quantities: Vec<u32>,
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
    let seconds = |what: &str, text: &str| {
        let given = parse(what, text, Dimension::Time)?.value;
        check(
            what,
            given,
            Range::new(0.0, 1e9, "s"),
            "a time is zero or more",
        )
    };
    let set_up_s = seconds("set_up", set_up)?;
    let curve = Curve::new(slope.fraction("slope")?, model_of(model)?)?;
    let learning = curve.from_first(seconds("first", first)?)?;
    let each = each.into_iter().map(line).collect::<Result<Vec<_>>>()?;
    if let Some(labour) = each.iter().find(|line| line.group == Group::Labour) {
        // It would be paid twice, and would not learn.
        return Err(Error::Shape {
            what: format!("\"{}\" in each", labour.name),
            given: "a line of labour".into(),
            allowed: "its time in first, its rate in labour_per_hour".into(),
        }
        .into());
    }
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
///     The work, so that a stranger could check it; one line or more.
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
///     When the vehicle is handed back in nine jobs of ten: ``"2026-12-03T16:30"``; not before ``date``.
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
///     An estimate without draws, no line of work, a day that is none or lies outside 1900 to 2999, a
///     hand-back before the quote, or a record that is no estimate.
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
