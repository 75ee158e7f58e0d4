//! What the job costs and is sold for, and what the spread comes from.

use super::Plan;
use super::draws::{Row, over};
use super::result::{Band, CausePlan, EstimatePlan, LinePlan, PricePlan};
use super::setup::{Setup, plain};
use crate::cost::{Bill, estimate};
use crate::error::Result;
use crate::spread::{Draws, Inputs, ranked_causes};

pub(super) fn price(setup: &Setup, plan: &mut Plan, nominal: &Bill, rows: &[Row]) -> Result<()> {
    let terms = setup.terms();
    let costs: Vec<f64> = rows.iter().map(|r| r.cost).collect();
    let quoted = estimate(nominal, &terms, (!costs.is_empty()).then_some(&costs))?;
    let drawn: Vec<Option<f64>> = costs.iter().map(|c| Some(*c)).collect();
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
    let hours = quoted.hours_attended;
    let per_hour = setup.shop.shop.rates.overhead_per_hour;
    lines.push(extra(
        "overhead",
        "overhead",
        hours,
        "h",
        per_hour,
        quoted.overhead,
    ));
    lines.push(extra(
        "expected rework",
        "rework",
        1.0,
        "job",
        quoted.rework,
        quoted.rework,
    ));
    plan.estimate = Some(EstimatePlan {
        lines,
        cost: Band::new(Some(quoted.full_cost), &drawn)?,
        hours: Band::new(Some(hours), &over(rows, |r| Some(r.hours_s / 3600.0)))?,
        allowance: quoted.allowance,
    });
    let number = |m: crate::money::Money| {
        m.to_string()
            .trim_end_matches(|c: char| !c.is_ascii_digit())
            .to_string()
    };
    plan.price = Some(PricePlan {
        currency: setup.currency.code().to_string(),
        net: number(quoted.price_net),
        tax: number(quoted.tax),
        gross: number(quoted.price_gross),
        minor_digits: setup.currency.digits(),
        margin_fraction: quoted.margin_left,
        chance_of_loss: quoted.chance_of_loss,
        words: words_of_price(setup, rows.is_empty()),
    });
    Ok(())
}

fn words_of_price(setup: &Setup, nominal: bool) -> String {
    let rates = &setup.shop.shop.rates;
    let earning = match (rates.margin, rates.markup) {
        (Some(m), _) => format!("margin {:.0} % of the price", m.si() * 100.0),
        (None, Some(m)) => format!("markup {:.0} % on the cost", m.si() * 100.0),
        (None, None) => "no earning".into(),
    };
    let basis = if nominal {
        "the likeliest cost"
    } else {
        "the mean cost of all draws"
    };
    format!(
        "{basis}, {earning}, tax {:.1} % on the net price; rounded half up, once",
        rates.tax.si() * 100.0
    )
}

/// What the spread comes from: squared rank correlations, as shares.
pub(super) fn causes(inputs: &Inputs, drawn: &Draws, rows: &[Row]) -> Result<Vec<CausePlan>> {
    if rows.len() < 16 || rows.len() < drawn.len() {
        return Ok(vec![]);
    }
    let costs: Vec<f64> = rows.iter().map(|r| r.cost).collect();
    let backs: Vec<f64> = rows.iter().map(|r| r.elapsed_s).collect();
    let shares = |result: &[f64]| -> Result<Vec<(String, f64)>> {
        let ranked = ranked_causes(inputs, drawn, result)?;
        // A correlation that chance alone would give in so many draws is none.
        let chance = 9.0 / rows.len() as f64;
        let squares: Vec<(String, f64)> = ranked
            .into_iter()
            .map(|c| (c.name, c.rank_correlation.powi(2)))
            .filter(|c| c.1 > chance)
            .collect();
        let sum: f64 = squares.iter().map(|c| c.1).sum();
        Ok(squares
            .into_iter()
            .map(|(name, s)| (name, s / sum.max(1.0)))
            .collect())
    };
    let mut all: Vec<CausePlan> = shares(&costs)?
        .into_iter()
        .map(|(input, share)| CausePlan {
            input,
            share_of_cost_spread: share,
            share_of_time_spread: 0.0,
        })
        .collect();
    for (name, share) in shares(&backs)? {
        match all.iter_mut().find(|c| c.input == name) {
            Some(cause) => cause.share_of_time_spread = share,
            None => all.push(CausePlan {
                input: name,
                share_of_cost_spread: 0.0,
                share_of_time_spread: share,
            }),
        }
    }
    let weight = |c: &CausePlan| c.share_of_cost_spread.max(c.share_of_time_spread);
    all.sort_by(|a, b| weight(b).total_cmp(&weight(a)).then(a.input.cmp(&b.input)));
    all.truncate(12);
    Ok(all)
}
