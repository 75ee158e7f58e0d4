//! What the customer sees.

use jiff::civil::{Date, DateTime};

use super::breaks::breaks;
use super::chain::Kept;
use super::price::{number, rounded};
use super::result::{PartPlan, QuoteLinePlan, QuotePlan};
use super::setup::Setup;
use super::{Options, Plan};
use crate::cost::{Binding, Estimate, Quote, QuoteTerms, Terms};
use crate::error::{Result, Watch};
use crate::job::{Part, QuoteWords, Template};
use crate::quantity::{Dimension, show};

/// Days for which a quote stands where the job does not say; common practice, no source.
const VALID_DAYS: u16 = 21;

/// The quote of a plan whose parts, promise and price are there.
pub(super) fn quote(
    setup: &Setup,
    kept: &Kept,
    plan: &Plan,
    quoted: &Estimate,
    options: Options,
    watch: &dyn Watch,
) -> Result<QuotePlan> {
    let usual = QuoteWords::default();
    let said = setup.job.job.quote.as_ref().unwrap_or(&usual);
    let terms = setup.terms();
    let date = match said.date()? {
        Some(date) => date,
        None => setup.job.job.start()?.date(),
    };
    let mut binding = said.binding.unwrap_or(Binding::Fixed);
    if quoted.price_needed.is_none() {
        // Without draws there is no range to show.
        binding = Binding::Fixed;
    }
    let made = Quote::of(
        quoted,
        QuoteTerms {
            number: said.number.clone().unwrap_or_default(),
            customer: said.customer.clone().unwrap_or_default(),
            vehicle: setup.job.job.vehicle.clone(),
            work: plan.parts.iter().map(|part| work(setup, part)).collect(),
            date,
            valid_days: said.valid_days.unwrap_or(VALID_DAYS),
            binding,
            deposit: said.deposit.map_or(0.0, crate::file::Share::si),
            assumptions: assumptions(setup, kept, plan, said, binding),
            exclusions: exclusions(setup, plan, said),
        },
        ready_by(plan),
    )?;
    let day = |date: Date| date.strftime("%Y-%m-%d").to_string();
    Ok(QuotePlan {
        shop: setup.shop.shop.name.clone(),
        number: said.number.clone(),
        customer: said.customer.clone(),
        vehicle: made.terms.vehicle,
        sets: setup.sets,
        date: day(date),
        valid_until: day(made.valid_until),
        binding,
        work: made.terms.work,
        lines: made
            .lines
            .iter()
            .map(|line| QuoteLinePlan {
                name: line.name.into(),
                net: number(line.net),
                tax: number(line.tax),
            })
            .collect(),
        currency: setup.currency.code().into(),
        net: number(made.net),
        tax: number(made.tax),
        gross: number(made.gross),
        range: made.range.map(|(low, high)| (number(low), number(high))),
        deposit: (made.deposit.minor() > 0).then(|| number(made.deposit)),
        words: words_of_tax(&terms),
        ready_by: made
            .ready_by
            .map(|at| at.strftime("%Y-%m-%d %H:%M").to_string()),
        assumptions: made.terms.assumptions,
        exclusions: made.terms.exclusions,
        breaks: breaks(setup, kept, quoted, options, watch)?,
    })
}

fn ready_by(plan: &Plan) -> Option<DateTime> {
    let p90 = plan.promise.as_ref()?.p90.as_deref()?;
    DateTime::strptime("%Y-%m-%d %H:%M", p90).ok()
}

/// What is done, so that a stranger could check it.
fn work(setup: &Setup, part: &PartPlan) -> String {
    let units = setup.job.job.units.unwrap_or_default();
    let thickness = show(part.thickness_m, Dimension::Length, units, 1);
    format!(
        "{} × {}: {}, {}; {}; fitted at {}",
        part.quantity,
        part.name,
        part.material_title,
        thickness,
        part.finish,
        part.places.join(", ")
    )
}

/// What the price rests on.
fn assumptions(
    setup: &Setup,
    kept: &Kept,
    plan: &Plan,
    said: &QuoteWords,
    binding: Binding,
) -> Vec<String> {
    let mut all = vec![
        "the vehicle is as it was measured; what turns out different is asked about first".into(),
    ];
    if binding == Binding::Estimate {
        // A fixed price does not move with that of the sheet.
        all.push("sheet costs what it costs on the day of the quote".into());
    }
    if setup.back_s.is_some() {
        all.push("the vehicle comes in twice: to be measured, and to be fitted".into());
    }
    if let Some(more) = plan
        .price
        .as_ref()
        .and_then(|p| p.if_template_lost.as_ref())
    {
        let currency = setup.currency.code();
        all.push(format!(
            "the template of an earlier job is on the shelf; if it cannot be found, the net price rises by about {more} {currency}"
        ));
    }
    let lost: Vec<&str> = (kept.parts.iter())
        .filter(|(_, part)| part.template() == Template::Lost)
        .map(|(_, part)| part.name())
        .collect();
    if !lost.is_empty() {
        let names = lost.join(", ");
        all.push(format!("the template of {names} is lost and made again"));
    }
    // Of what nobody said, the customer sees how dark the finish is.
    let shade = |(_, part): &&(String, Part)| part.shade().is_none();
    let dark: Vec<&str> = kept
        .parts
        .iter()
        .filter(shade)
        .map(|(_, part)| part.name())
        .collect();
    if !dark.is_empty() {
        all.push(format!(
            "the colour of {} is dark, since nothing else was said",
            dark.join(", ")
        ));
    }
    all.extend(said.assumptions.iter().cloned());
    all
}

/// What is not in the price.
fn exclusions(setup: &Setup, plan: &Plan, said: &QuoteWords) -> Vec<String> {
    let mut all: Vec<String> = (plan.refused.iter())
        .map(|r| {
            let parts = r.parts.join(", ");
            format!(
                "{parts} ({}): not offered before it is known whether it may go there",
                r.place
            )
        })
        .collect();
    if !said.exclusions.is_empty() {
        all.extend(said.exclusions.iter().cloned());
        return all;
    }
    let places = &setup.job.job.places;
    let clips = places.iter().any(|p| p.trim_clips.unwrap_or(0) > 0);
    let trim = if clips {
        "trim that breaks when it is taken off"
    } else {
        "trim and clips that break when they are taken off"
    };
    all.extend([
        trim.into(),
        "damage that shows only behind the trim".into(),
        "wiring, and the setting up of the sound".into(),
    ]);
    all
}

/// Discount and tax in words, with the rule of rounding.
pub(super) fn words_of_tax(terms: &Terms) -> String {
    let discount = if terms.discount > 0.0 {
        format!("discount {:.1} % taken off, ", terms.discount * 100.0)
    } else {
        String::new()
    };
    let exempt = terms.tax.exempt.iter().map(|g| g.customer_name());
    let exempt: Vec<&str> = exempt.collect();
    let without = if exempt.is_empty() {
        String::new()
    } else {
        format!(", none on {}", exempt.join(", "))
    };
    format!(
        "{discount}tax {:.1} % on the net price{without}; {}",
        terms.tax.rate * 100.0,
        rounded(terms)
    )
}
