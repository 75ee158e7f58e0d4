//! What the job costs and is sold for, and what the spread comes from.

use super::chain::Kept;
use super::draws::{Row, over};
use super::practice::{PACE, TEMPLATE, time_law};
use super::result::{Band, CausePlan, CoveringPlan, EstimatePlan, LinePlan, PricePlan};
use super::setup::{Setup, plain};
use super::{Plan, quote};
use crate::cost::{Bill, Estimate, PricedOn, TaxBy, Terms, covering_price, estimate};
use crate::error::Result;
use crate::job::Template;
use crate::money::{Money, Rounding};
use crate::spread::{Draws, Inputs, shares};

/// Chances with which a price covers the cost that the shop is shown.
const CHANCES: [f64; 4] = [0.5, 0.8, 0.9, 0.95];

pub(super) fn price(
    setup: &Setup,
    kept: &Kept,
    plan: &mut Plan,
    nominal: &Bill,
    rows: &[Row],
) -> Result<Estimate> {
    let terms = setup.terms();
    let costs: Vec<f64> = rows.iter().map(|r| r.cost).collect();
    let quoted = estimate(nominal, &terms, (!costs.is_empty()).then_some(&costs))?;
    let drawn: Vec<Option<f64>> = costs.iter().map(|c| Some(*c)).collect();
    plan.estimate = Some(EstimatePlan {
        lines: lines(nominal, &quoted, &terms),
        cost: Band::new(Some(quoted.full_cost), &drawn)?,
        mean_cost: match costs.len() {
            0 => quoted.full_cost,
            count => costs.iter().sum::<f64>() / count as f64,
        },
        hours: Band::new(
            Some(quoted.hours_attended),
            &over(rows, |r| Some(r.hours_s / 3600.0)),
        )?,
        allowance: quoted.allowance,
    });
    let mut covering = vec![];
    for chance in CHANCES.into_iter().filter(|_| !costs.is_empty()) {
        let net = covering_price(&costs, chance, terms.fees)?;
        covering.push(CoveringPlan {
            chance,
            net: number(Money::rounded(net, terms.currency, terms.rounding)?),
        });
    }
    plan.price = Some(PricePlan {
        currency: setup.currency.code().to_string(),
        net: number(quoted.price_net),
        tax: number(quoted.tax),
        gross: number(quoted.price_gross),
        gross_minor: quoted.price_gross.minor(),
        minor_digits: setup.currency.digits(),
        margin_fraction: quoted.margin_left,
        chance_of_loss: quoted.chance_of_loss,
        words: words_of_price(setup, &terms, rows.is_empty()),
        covering,
        if_template_lost: if_template_lost(setup, kept, &quoted, &terms)?.map(number),
    });
    Ok(quoted)
}

/// An amount without its currency.
pub(super) fn number(m: Money) -> String {
    m.to_string()
        .trim_end_matches(|c: char| !c.is_ascii_digit())
        .to_string()
}

/// The bill's lines, then overhead and rework.
fn lines(nominal: &Bill, quoted: &Estimate, terms: &Terms) -> Vec<LinePlan> {
    let mut lines: Vec<LinePlan> = nominal
        .lines
        .iter()
        .map(|l| LinePlan {
            name: l.name.clone(),
            group: plain(&l.group),
            amount: l.amount,
            unit: l.unit.clone(),
            rate: l.rate,
            cost: l.cost,
        })
        .collect();
    let extra = |name: &str, group: &str, amount: f64, unit: &str, rate: f64, cost: f64| LinePlan {
        name: name.into(),
        group: group.into(),
        amount,
        unit: unit.into(),
        rate,
        cost,
    };
    let overhead = quoted.overhead;
    lines.push(match terms.overhead {
        crate::cost::Overhead::PerHour { rate } => extra(
            "overhead",
            "overhead",
            quoted.hours_attended,
            "h",
            rate,
            overhead,
        ),
        _ => extra("overhead", "overhead", 1.0, "job", overhead, overhead),
    });
    lines.push(extra(
        "expected rework",
        "rework",
        1.0,
        "job",
        quoted.rework,
        quoted.rework,
    ));
    lines
}

/// What the net price rises by if the templates that are on the shelf have to be made again.
fn if_template_lost(
    setup: &Setup,
    kept: &Kept,
    quoted: &Estimate,
    terms: &Terms,
) -> Result<Option<Money>> {
    let templates = kept.parts.iter().map(|(_, part)| part.template());
    let on_shelf = templates.filter(|t| *t == Template::OnShelf).count();
    if on_shelf == 0 {
        return Ok(None);
    }
    let one_s = time_law(setup.shop.shop.times.template, &TEMPLATE).mean();
    let pace = PACE.sourced().law().mean();
    // Gloves and masks go with the hours.
    let an_hour = setup.an_hour() + setup.shop.shop.consumables.protection_per_hour;
    let more = on_shelf as f64 * one_s * pace / 3600.0 * an_hour;
    let basis = quoted.full_cost + quoted.allowance;
    let with = terms.asked(basis + more).net_price;
    let with = Money::rounded(with, terms.currency, terms.rounding)?;
    Ok(Some(with.minus(quoted.price_net)?))
}

fn words_of_price(setup: &Setup, terms: &Terms, nominal: bool) -> String {
    let rates = &setup.shop.shop.rates;
    let mut words = vec![match (nominal, terms.priced_on) {
        (true, _) | (_, PricedOn::Bill) => "the likeliest cost".to_string(),
        (false, PricedOn::Mean) => "the mean cost of all draws".into(),
        (false, PricedOn::Percentile { share }) => format!(
            "the cost that {:.0} of 100 draws do not exceed",
            share * 100.0
        ),
    }];
    words.push(match (rates.margin, rates.markup) {
        (Some(m), _) => format!("margin {:.0} % of the price", m.si() * 100.0),
        (None, Some(m)) => format!("markup {:.0} % on the cost", m.si() * 100.0),
        (None, None) => "no earning".into(),
    });
    if terms.fees > 0.0 {
        words.push(format!("fees {:.1} % of the price", terms.fees * 100.0));
    }
    if let Some(minimum) = rates.minimum {
        words.push(format!("at least {minimum:.2} net"));
    }
    format!("{}, {}", words.join(", "), quote::words_of_tax(terms))
}

/// The rule of rounding in words.
pub(super) fn rounded(terms: &Terms) -> &'static str {
    match (terms.tax.by, terms.rounding) {
        (TaxBy::Total, Rounding::HalfUp) => "rounded half up, once on the total",
        (TaxBy::Total, Rounding::HalfEven) => "rounded half to even, once on the total",
        (TaxBy::Line, Rounding::HalfUp) => "rounded half up on each line",
        (TaxBy::Line, Rounding::HalfEven) => "rounded half to even on each line",
    }
}

/// What the spread comes from: shares of the variance of cost and hand-back, from the draws themselves.
pub(super) fn causes(inputs: &Inputs, drawn: &Draws, rows: &[Row]) -> Result<Vec<CausePlan>> {
    // Draws that were left out have no row.
    let columns: Vec<(&str, Vec<f64>)> = inputs
        .iter()
        .map(|(id, name, _)| {
            let of_row = rows.iter().map(|row| drawn.value(id, row.draw));
            (name, of_row.collect())
        })
        .collect();
    let columns: Vec<(&str, &[f64])> = columns.iter().map(|(name, x)| (*name, &x[..])).collect();
    let costs: Vec<f64> = rows.iter().map(|r| r.cost).collect();
    let backs: Vec<f64> = rows.iter().map(|r| r.elapsed_s).collect();
    let mut all: Vec<CausePlan> = shares(&columns, &costs)?
        .into_iter()
        .map(|share| CausePlan {
            input: share.name,
            share_of_cost_spread: share.first_order,
            share_of_time_spread: 0.0,
        })
        .collect();
    for share in shares(&columns, &backs)? {
        match all.iter_mut().find(|c| c.input == share.name) {
            Some(cause) => cause.share_of_time_spread = share.first_order,
            None => all.push(CausePlan {
                input: share.name,
                share_of_cost_spread: 0.0,
                share_of_time_spread: share.first_order,
            }),
        }
    }
    let weight = |c: &CausePlan| c.share_of_cost_spread.max(c.share_of_time_spread);
    all.sort_by(|a, b| weight(b).total_cmp(&weight(a)).then(a.input.cmp(&b.input)));
    all.truncate(12);
    Ok(all)
}
