//! The estimate of a job: lines, overhead, rework, price, range.

use serde::{Deserialize, Serialize};

use super::line::GROUPS;
use super::{Asked, Group, Line, Overhead, PricedOn, TaxBy, Terms};
use crate::error::{Error, Range, Result, check};
use crate::money::Money;
use crate::spread::{Band, covering, percentiles};

/// What a job takes, in plain numbers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Bill {
    /// All lines but overhead and rework.
    pub lines: Vec<Line>,
    /// Attended time. [s]
    pub attended_s: f64,
    /// Expected cost of rework, in currency; see [`super::bounded`].
    pub rework: f64,
}

impl Bill {
    /// Sum of all lines.
    pub fn direct(&self) -> f64 {
        // From +0, so that no lines are no cost and not -0.
        self.lines.iter().fold(0.0, |sum, line| sum + line.cost)
    }

    /// Sum of the lines of one group.
    pub fn of(&self, group: Group) -> f64 {
        self.lines
            .iter()
            .filter(|line| line.group == group)
            .map(|line| line.cost)
            .sum()
    }

    /// Full cost under a shop's terms: lines, overhead, rework. A plain function, for draws.
    pub fn cost(&self, terms: &Terms) -> f64 {
        let direct = self.direct();
        direct
            + terms.overhead_of(direct, self.of(Group::Labour), self.attended_s / 3600.0)
            + self.rework
    }
}

/// The part of the net price that falls to a group of lines, with its tax.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PriceLine {
    /// Which lines.
    pub group: Group,
    /// Its part of the net price; the parts add up exactly.
    pub net: Money,
    /// Its tax where tax is rounded by line; its share of the tax otherwise.
    pub tax: Money,
}

/// What a job costs and what it is sold for. Costs are in units of the currency, prices are money.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Estimate {
    /// The lines of the bill.
    pub lines: Vec<Line>,
    /// Their sum.
    pub net_cost: f64,
    /// Overhead.
    pub overhead: f64,
    /// Expected rework.
    pub rework: f64,
    /// Lines, overhead and rework.
    pub full_cost: f64,
    /// What the cost that the price is made of is above the full cost of the bill: the allowance for what usually goes wrong.
    pub allowance: f64,
    /// The price before it was rounded, step by step.
    pub asked: Asked,
    /// Net price.
    pub price_net: Money,
    /// Tax.
    pub tax: Money,
    /// Price with tax.
    pub price_gross: Money,
    /// The net price and the tax by group, for the customer.
    pub price_lines: Vec<PriceLine>,
    /// Attended hours.
    pub hours_attended: f64,
    /// What is left of the net price after fees and the cost that it is made of, as a share of it; `None` where nothing is charged.
    pub margin_left: Option<f64>,
    /// Range of the full cost, where there are draws.
    pub cost_band: Option<Band>,
    /// Range of the net price that every draw by itself would need.
    pub price_needed: Option<Band>,
    /// Chance that cost and fees exceed the net price.
    pub chance_of_loss: Option<f64>,
}

/// The estimate of a bill; `draws` are full costs ([`Bill::cost`]) draw by draw, or none.
///
/// Without draws the price is made of the bill as it stands, whatever the terms say.
///
/// # Errors
/// As [`Terms::check`]; [`Error::OutOfRange`] for a time, a rework or a draw that is negative or not finite;
/// [`Error::Impossible`] where credits exceed what a group costs.
///
/// ```
/// use mountwright::cost::{Bill, Earning, Group, Line, Terms, estimate};
/// use mountwright::money::Currency;
/// let bill = Bill {
///     lines: vec![
///         Line::new("expanded PVC 3 mm", Group::Material, 0.12, "m²", 14.11)?,
///         Line::new("forming", Group::Labour, 1.5, "h", 30.0)?,
///     ],
///     attended_s: 5400.0,
///     rework: 2.0,
/// };
/// let terms = Terms::plain(Currency::named("XTS")?, Earning::Margin { share: 0.4 });
/// let job = estimate(&bill, &terms, None)?;
/// assert_eq!(job.price_net.to_string(), "81.16 XTS");
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn estimate(bill: &Bill, terms: &Terms, draws: Option<&[f64]>) -> Result<Estimate> {
    terms.check()?;
    let some = Range::new(0.0, 1e12, "");
    check(
        "attended_s",
        bill.attended_s,
        some,
        "a time is zero or more",
    )?;
    check("rework", bill.rework, some, "a cost is zero or more")?;
    for group in GROUPS {
        // A credit may not outgrow what it is taken off, but for rounding.
        if bill.of(group) < -1e-9 {
            return Err(Error::Impossible {
                what: format!("a cost of {group:?}"),
                why: format!("credits exceed it by {}", -bill.of(group)),
                remedy: "credit no more offcuts than the job leaves".into(),
            });
        }
    }
    let net_cost = bill.direct();
    let hours_attended = bill.attended_s / 3600.0;
    let overhead = terms.overhead_of(net_cost, bill.of(Group::Labour), hours_attended);
    let full_cost = check(
        "full cost",
        bill.cost(terms),
        some,
        "check amounts and rates",
    )?;
    if let Some(draws) = draws
        && let Some(at) = draws.iter().position(|cost| !some.holds(*cost))
    {
        check(
            format!("draws[{at}]"),
            draws[at],
            some,
            "a cost is zero or more",
        )?;
    }
    let basis = match (draws, terms.priced_on) {
        (None, _) | (_, PricedOn::Bill) => full_cost,
        (Some(draws), PricedOn::Mean) => percentiles(draws)?.mean,
        (Some(draws), PricedOn::Percentile { share }) => covering(draws, share)?,
    };
    let asked = terms.asked(basis);
    let price_net = Money::rounded(asked.net_price, terms.currency, terms.rounding)?;
    // Overhead that hours or wages carry is charged with the work, and so is what is done again; that on all lines with each.
    let with_work = match terms.overhead {
        Overhead::OnLines { .. } => 0.0,
        Overhead::PerHour { .. } | Overhead::OnLabour { .. } => overhead,
    };
    let (price_lines, tax) = taxed(bill, with_work + bill.rework, terms, price_net)?;
    let kept = price_net.major() * (1.0 - terms.fees);
    let needed = |draws: &[f64]| {
        percentiles(
            &draws
                .iter()
                .map(|&cost| terms.asked(cost).net_price)
                .collect::<Vec<_>>(),
        )
    };
    let losses = |draws: &[f64]| {
        draws.iter().filter(|&&cost| cost > kept).count() as f64 / draws.len() as f64
    };
    Ok(Estimate {
        lines: bill.lines.clone(),
        net_cost,
        overhead,
        rework: bill.rework,
        full_cost,
        allowance: basis - full_cost,
        asked,
        price_net,
        tax,
        price_gross: price_net.plus(tax)?,
        price_lines,
        hours_attended,
        margin_left: (price_net.minor() > 0).then(|| (kept - basis) / price_net.major()),
        cost_band: draws.map(percentiles).transpose()?,
        price_needed: draws.map(needed).transpose()?,
        chance_of_loss: draws.map(losses),
    })
}

/// Net price at which cost and fees are covered with probability `p`, without any earning.
///
/// # Errors
/// [`Error::OutOfRange`] for `p` outside 0 to 1, fees of 1 or more; [`Error::Shape`] for no draws.
pub fn covering_price(draws: &[f64], p: f64, fees: f64) -> Result<f64> {
    check(
        "fees",
        fees,
        Range::new(0.0, 1.0 - 1e-6, ""),
        "a share of the price, below 1",
    )?;
    Ok(covering(draws, p)? / (1.0 - fees))
}

/// The net price shared over the groups by their cost, `with_work` added to that of labour, and the tax on each.
fn taxed(
    bill: &Bill,
    with_work: f64,
    terms: &Terms,
    price_net: Money,
) -> Result<(Vec<PriceLine>, Money)> {
    let mut weights: Vec<(Group, f64)> = GROUPS
        .into_iter()
        .map(|group| {
            let added = if group == Group::Labour {
                with_work
            } else {
                0.0
            };
            (group, bill.of(group).max(0.0) + added)
        })
        .filter(|(_, cost)| *cost > 0.0)
        .collect();
    if weights.is_empty() {
        // Only a minimum charge or rework: it is charged as work.
        weights.push((Group::Labour, 1.0));
    }
    let parts = price_net.shared(&weights.iter().map(|(_, cost)| *cost).collect::<Vec<_>>())?;
    let rate = |group: &Group| {
        if terms.tax.exempt.contains(group) {
            0.0
        } else {
            terms.tax.rate
        }
    };
    let nothing = Money::from_minor(0, terms.currency);
    let by_line: Vec<Money> = weights
        .iter()
        .zip(&parts)
        .map(|((group, _), part)| part.times(rate(group), terms.rounding))
        .collect::<Result<_>>()?;
    let taxes = match terms.tax.by {
        TaxBy::Line => by_line,
        TaxBy::Total => {
            let mut taxable = nothing;
            for ((group, _), part) in weights.iter().zip(&parts) {
                if rate(group) > 0.0 {
                    taxable = taxable.plus(*part)?;
                }
            }
            let tax = taxable.times(terms.tax.rate, terms.rounding)?;
            let shares: Vec<f64> = weights
                .iter()
                .zip(&parts)
                .map(|((group, _), part)| part.major() * rate(group))
                .collect();
            if tax.minor() == 0 {
                vec![nothing; parts.len()]
            } else {
                tax.shared(&shares)?
            }
        }
    };
    let mut sum = nothing;
    let mut lines = Vec::with_capacity(parts.len());
    for (((group, _), net), tax) in weights.into_iter().zip(parts).zip(taxes) {
        sum = sum.plus(tax)?;
        lines.push(PriceLine { group, net, tax });
    }
    Ok((lines, sum))
}
