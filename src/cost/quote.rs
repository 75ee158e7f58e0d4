//! What the customer sees, and nothing else.

use jiff::ToSpan;
use jiff::civil::{Date, DateTime};
use serde::Serialize;

use super::{Bill, Estimate, Group, Terms, estimate};
use crate::error::{Error, Range, Result, check};
use crate::money::{Money, Rounding};

/// Whether the price binds.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Binding {
    /// A fixed price: it binds once it is accepted.
    Fixed,
    /// A range, and the reason why it could move.
    Estimate,
}

/// What a quote says beside its price.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QuoteTerms {
    /// The shop's number of the quote.
    pub number: String,
    /// Who it is for.
    pub customer: String,
    /// For which vehicle.
    pub vehicle: String,
    /// The work, so that a stranger could check it.
    pub work: Vec<String>,
    /// Day of the quote.
    pub date: Date,
    /// Days for which it stands, 1 to 365: sheet prices move.
    pub valid_days: u16,
    /// Whether the price binds.
    pub binding: Binding,
    /// Share of the gross price that is paid when the work is ordered, 0 to 1.
    pub deposit: f64,
    /// What the price rests on: measured from a template, colour, temperature of use.
    pub assumptions: Vec<String>,
    /// What is not in it: hidden damage, wiring, clips that break when trim is taken off.
    pub exclusions: Vec<String>,
}

/// One line of a quote.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QuoteLine {
    /// In the customer's words.
    pub name: &'static str,
    /// Without tax.
    pub net: Money,
    /// Tax.
    pub tax: Money,
}

/// A quote for the customer. It holds neither cost nor margin, neither rates nor the chance of rework.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Quote {
    /// What it says beside the price.
    pub terms: QuoteTerms,
    /// Parts and work apart; they add up to the price exactly.
    pub lines: Vec<QuoteLine>,
    /// Net price.
    pub net: Money,
    /// Tax.
    pub tax: Money,
    /// Price with tax.
    pub gross: Money,
    /// From and to, with tax, where the price is an estimate.
    pub range: Option<(Money, Money)>,
    /// Paid when the work is ordered.
    pub deposit: Money,
    /// Last day on which it can be accepted.
    pub valid_until: Date,
    /// Handed back by then in nine jobs of ten.
    pub ready_by: Option<DateTime>,
}

impl Quote {
    /// The quote of an estimate; `ready_by` is the P90 of its promise.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a deposit outside 0 to 1 or days outside 1 to 365;
    /// [`Error::Shape`] for a price that is an estimate without draws (it has no range to show), no work, a date outside 1900 to 2999, or a hand-back before the date.
    pub fn of(job: &Estimate, terms: QuoteTerms, ready_by: Option<DateTime>) -> Result<Self> {
        check(
            "deposit",
            terms.deposit,
            Range::new(0.0, 1.0, ""),
            "share of the price",
        )?;
        let shape = |what: &str, given: String, allowed: &str| Error::Shape {
            what: what.into(),
            given,
            allowed: allowed.into(),
        };
        if terms.work.iter().all(|line| line.trim().is_empty()) {
            let allowed = "what is done, so that a stranger could check it";
            return Err(shape("work", "nothing".into(), allowed));
        }
        if !(1900..3000).contains(&terms.date.year()) {
            let given = terms.date.to_string();
            return Err(shape("date of the quote", given, "a day from 1900 to 2999"));
        }
        if let Some(early) = ready_by.filter(|at| at.date() < terms.date) {
            let allowed = format!("a time from the day of the quote on, {}", terms.date);
            return Err(shape("ready_by", early.to_string(), &allowed));
        }
        let days = Range::new(1.0, 365.0, "d");
        check(
            "valid_days",
            f64::from(terms.valid_days),
            days,
            "14 to 30 is usual",
        )?;
        let range = match (terms.binding, job.price_needed) {
            (Binding::Fixed, _) => None,
            (Binding::Estimate, Some(needed)) => {
                // The range of the net price moves the gross price in proportion; never past the price itself.
                let gross = |net: f64| {
                    let share = if job.price_net.minor() > 0 {
                        net / job.price_net.major()
                    } else {
                        1.0
                    };
                    job.price_gross.times(share, Rounding::HalfUp)
                };
                let (low, high) = (gross(needed.p10)?, gross(needed.p90)?);
                let price = job.price_gross;
                let low = if low.minor() < price.minor() {
                    low
                } else {
                    price
                };
                let high = if high.minor() > price.minor() {
                    high
                } else {
                    price
                };
                Some((low, high))
            }
            (Binding::Estimate, None) => {
                return Err(Error::Shape {
                    what: "quote".into(),
                    given: "an estimate without a range".into(),
                    allowed: "a fixed price, or an estimate with draws".into(),
                });
            }
        };
        let valid_until = terms
            .date
            .checked_add(i64::from(terms.valid_days).days())
            .map_err(|_| shape("valid_days", terms.valid_days.to_string(), "fewer days"))?;
        Ok(Self {
            lines: job
                .price_lines
                .iter()
                .map(|line| QuoteLine {
                    name: line.group.customer_name(),
                    net: line.net,
                    tax: line.tax,
                })
                .collect(),
            net: job.price_net,
            tax: job.tax,
            gross: job.price_gross,
            range,
            deposit: job.price_gross.times(terms.deposit, Rounding::HalfUp)?,
            valid_until,
            ready_by,
            terms,
        })
    }
}

impl Group {
    /// Its name on a customer's quote.
    pub const fn customer_name(self) -> &'static str {
        match self {
            Self::Material => "parts and material",
            Self::Consumable => "adhesive and consumables",
            Self::Labour => "work",
            Self::Machine => "machine time",
            Self::Outside => "work by others and delivery",
        }
    }
}

/// The price at one quantity.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PriceBreak {
    /// Pieces.
    pub quantity: u32,
    /// Net price of all.
    pub total_net: Money,
    /// Net price of one, rounded; the total is what counts.
    pub each_net: Money,
    /// Attended hours of all.
    pub hours_attended: f64,
}

/// Prices at several quantities; `bill_of` gives the bill of so many pieces: set-up once, learning, spares and sheet by number.
///
/// # Errors
/// [`Error::OutOfRange`] for a quantity of none, and what [`estimate()`] and `bill_of` return.
pub fn price_breaks(
    quantities: &[u32],
    terms: &Terms,
    bill_of: impl Fn(u32) -> Result<Bill>,
) -> Result<Vec<PriceBreak>> {
    quantities
        .iter()
        .map(|&quantity| {
            let allowed = Range::new(1.0, 1e6, "");
            check(
                "quantity",
                f64::from(quantity),
                allowed,
                "ask for one piece or more",
            )?;
            let job = estimate(&bill_of(quantity)?, terms, None)?;
            Ok(PriceBreak {
                quantity,
                total_net: job.price_net,
                each_net: job
                    .price_net
                    .times(1.0 / f64::from(quantity), terms.rounding)?,
                hours_attended: job.hours_attended,
            })
        })
        .collect()
}

/// One way to do a job beside the others.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Alternative {
    /// What is different: the material, the thickness, the method.
    pub name: String,
    /// Price with tax.
    pub price_gross: Money,
    /// What it is more than the cheapest.
    pub more_than_least: Money,
    /// Full cost.
    pub full_cost: f64,
    /// Attended hours.
    pub hours_attended: f64,
    /// Chance that it loses money, where there are draws.
    pub chance_of_loss: Option<f64>,
}

/// Alternatives side by side, cheapest first, ties in the order given.
///
/// # Errors
/// [`Error::Shape`] for two currencies.
pub fn side_by_side(alternatives: &[(&str, &Estimate)]) -> Result<Vec<Alternative>> {
    let mut sorted = alternatives.to_vec();
    sorted.sort_by_key(|(_, job)| job.price_gross.minor());
    let Some(least) = sorted.first().map(|(_, job)| job.price_gross) else {
        return Ok(vec![]);
    };
    sorted
        .into_iter()
        .map(|(name, job)| {
            Ok(Alternative {
                name: name.to_string(),
                price_gross: job.price_gross,
                more_than_least: job.price_gross.minus(least)?,
                full_cost: job.full_cost,
                hours_attended: job.hours_attended,
                chance_of_loss: job.chance_of_loss,
            })
        })
        .collect()
}
