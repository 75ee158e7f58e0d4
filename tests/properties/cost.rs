//! More work never costs less, and what is shared adds up.

use mountwright::cost::{
    Bill, Binding, Curve, Earning, Group, Line, Model, Overhead, Quote, QuoteTerms, Sampler, Tax,
    TaxBy, Terms, UncertainLine, bounded, estimate, price_breaks, side_by_side, spares,
    tries_drawn,
};
use mountwright::error::Unwatched;
use mountwright::money::Currency;
use mountwright::spread::{Law, percentiles};
use proptest::prelude::*;

fn any_terms() -> impl Strategy<Value = Terms> {
    let earning = prop_oneof![
        (0.0..3.0_f64).prop_map(|share| Earning::Markup { share }),
        (0.0..0.8_f64).prop_map(|share| Earning::Margin { share }),
    ];
    (
        earning,
        0.0..0.15_f64,
        0.0..80.0_f64,
        0.0..0.5_f64,
        0.0..0.3_f64,
        0.0..40.0_f64,
        any::<bool>(),
        any::<bool>(),
    )
        .prop_map(
            |(earning, fees, minimum, discount, rate, overhead, by_line, exempt)| Terms {
                overhead: Overhead::PerHour { rate: overhead },
                fees,
                minimum,
                discount,
                tax: Tax {
                    rate,
                    exempt: if exempt { vec![Group::Labour] } else { vec![] },
                    by: if by_line { TaxBy::Line } else { TaxBy::Total },
                },
                ..Terms::plain(Currency::named("XTS").unwrap(), earning)
            },
        )
}

fn bill(material: f64, hours: f64, rework: f64) -> Bill {
    Bill {
        lines: vec![
            Line::new("sheet", Group::Material, material, "m²", 14.0).unwrap(),
            Line::new("work", Group::Labour, hours, "h", 32.0).unwrap(),
        ],
        attended_s: hours * 3600.0,
        rework,
    }
}

/// The same with work by others.
fn with_more(bill: &Bill) -> Bill {
    let mut bill = bill.clone();
    bill.lines
        .push(Line::new("outside", Group::Outside, 1.0, "", 10.0).unwrap());
    bill
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn more_work_never_costs_less(terms in any_terms(), m in 0.0..5.0_f64, h in 0.0..40.0_f64, r in 0.0..50.0_f64, more in 0.0..5.0_f64) {
        let few = estimate(&bill(m, h, r), &terms, None).unwrap();
        for bill in [bill(m + more, h, r), bill(m, h + more, r), bill(m, h, r + more)] {
            let many = estimate(&bill, &terms, None).unwrap();
            prop_assert!(many.full_cost >= few.full_cost);
            prop_assert!(many.price_net.minor() >= few.price_net.minor());
        }
    }

    #[test]
    fn the_parts_of_an_estimate_add_up(terms in any_terms(), m in 0.0..5.0_f64, h in 0.0..40.0_f64, r in 0.0..50.0_f64) {
        let job = estimate(&bill(m, h, r), &terms, None).unwrap();
        prop_assert_eq!(job.price_lines.iter().map(|l| l.net.minor()).sum::<i64>(), job.price_net.minor());
        prop_assert_eq!(job.price_lines.iter().map(|l| l.tax.minor()).sum::<i64>(), job.tax.minor());
        prop_assert_eq!(job.price_net.minor() + job.tax.minor(), job.price_gross.minor());
        // What is bought is marked up as the whole is: overhead by the hour and rework go with the work.
        let by_work = !matches!(terms.overhead, Overhead::OnLines { .. });
        for line in job.price_lines.iter().filter(|l| by_work && l.group != Group::Labour) {
            let cost: f64 = job.lines.iter().filter(|l| l.group == line.group).map(|l| l.cost).sum();
            let share = cost / job.full_cost * job.price_net.minor() as f64;
            prop_assert!((line.net.minor() as f64 - share).abs() <= 1.0 + 1e-9 * share, "{line:?} {share}");
        }
        let sum = job.net_cost + job.overhead + job.rework;
        prop_assert!((sum - job.full_cost).abs() <= 1e-9 * (1.0 + sum));
        // Tax never exceeds its rate by more than the rounding of three lines.
        prop_assert!(job.tax.major() <= job.price_net.major() * terms.tax.rate + 0.015 + 1e-9);
        // What is earned is what was asked for, wherever neither the minimum nor a discount speaks.
        if terms.discount <= 0.0 && job.asked.list_price <= job.asked.earning_price && job.full_cost > 0.0 {
            let kept = job.asked.net_price * (1.0 - terms.fees) - job.full_cost;
            let asked = match terms.earning {
                Earning::Markup { share } => share * job.full_cost,
                Earning::Margin { share } => share * job.asked.net_price,
            };
            prop_assert!((kept - asked).abs() <= 1e-9 * job.asked.net_price);
        }
    }

    #[test]
    fn more_pieces_never_cost_less_in_all(terms in any_terms(), slope in 0.6..1.0_f64, set_up in 0.0..5.0_f64, first in 0.05..3.0_f64, m in 0.0..1.0_f64) {
        let curve = Curve::new(slope, Model::Unit).unwrap().from_first(first).unwrap();
        let quantities: Vec<u32> = (1..=30).collect();
        let breaks = price_breaks(&quantities, &terms, |n| Ok(bill(m * f64::from(n), set_up + curve.total(n)?, 0.0))).unwrap();
        for pair in breaks.windows(2) {
            prop_assert!(pair[1].total_net.minor() >= pair[0].total_net.minor());
            prop_assert!(pair[1].hours_attended >= pair[0].hours_attended);
            // Set-up and learning are shared: one piece never gets dearer, but for the rounding of its own price.
            prop_assert!(pair[1].each_net.minor() <= pair[0].each_net.minor() + 1);
        }
    }

    #[test]
    fn a_quote_adds_up_and_keeps_its_range(terms in any_terms(), h in 0.5..40.0_f64, spread in 0.0..0.5_f64, deposit in 0.0..1.0_f64) {
        let bill = bill(1.0, h, 0.0);
        let cost = bill.cost(&terms);
        let draws: Vec<f64> = (0..100).map(|i| cost * (1.0 + spread * f64::from(i) / 100.0)).collect();
        let job = estimate(&bill, &terms, Some(&draws)).unwrap();
        let say = |binding| QuoteTerms {
            number: "7".into(),
            customer: "a customer".into(),
            vehicle: "a van".into(),
            work: vec!["two pods".into()],
            date: jiff::civil::date(2026, 3, 2),
            valid_days: 30,
            binding,
            deposit,
            assumptions: vec![],
            exclusions: vec!["wiring".into()],
        };
        let quote = Quote::of(&job, say(Binding::Estimate), None).unwrap();
        prop_assert_eq!(quote.lines.iter().map(|l| l.net.minor() + l.tax.minor()).sum::<i64>(), quote.gross.minor());
        prop_assert_eq!(quote.valid_until.to_string(), "2026-04-01");
        let (low, high) = quote.range.unwrap();
        prop_assert!(low.minor() <= quote.gross.minor() && quote.gross.minor() <= high.minor());
        prop_assert!(quote.deposit.minor() <= quote.gross.minor());
        prop_assert!(Quote::of(&job, say(Binding::Fixed), None).unwrap().range.is_none());
        // The customer sees neither cost nor margin.
        let page = serde_json::to_string(&quote).unwrap();
        for secret in ["cost", "margin", "rate", "overhead", "rework", "chance", "p10"] {
            prop_assert!(!page.contains(secret), "{secret}");
        }
        // Beside a dearer way the cheapest stands first.
        let dearer = estimate(&with_more(&bill), &terms, Some(&draws)).unwrap();
        let both = side_by_side(&[("glued twice", &dearer), ("as planned", &job)]).unwrap();
        prop_assert!(both[0].price_gross.minor() <= both[1].price_gross.minor());
        prop_assert_eq!(both[0].more_than_least.minor(), 0);
    }

    #[test]
    fn sampled_totals_have_the_moments_of_their_laws(seed in any::<u64>(), likely in 0.0..1.0_f64, pace in 0.0..0.5_f64) {
        let line = |name: &str, law, causes| UncertainLine { name: name.into(), law, causes };
        let (a, b) = (
            Law::Pert { low: 10.0, likely: 10.0 + 20.0 * likely, high: 30.0 },
            Law::LogNormal { median: 15.0, log_sd: 0.3 },
        );
        let cause = Law::Triangular { low: 1.0 - pace, likely: 1.0, high: 1.0 + pace };
        let sampler = Sampler::new(
            &[line("a", a, vec![0]), line("b", b, vec![0]), line("c", Law::Fixed { value: 5.0 }, vec![])],
            &[("pace".into(), cause)],
        )
        .unwrap();
        let n = 20 * 1024;
        let costs = sampler.costs(n, seed).unwrap();
        let mean = costs.iter().sum::<f64>() / n as f64;
        // E[c (a + b) + 5], and Var = E[c²] E[s²] - (E[c] E[s])² with s = a + b.
        let s = a.mean() + b.mean();
        let exact = cause.mean() * s + 5.0;
        let s2 = a.variance() + b.variance() + s * s;
        let variance = (cause.variance() + cause.mean().powi(2)) * s2 - (cause.mean() * s).powi(2);
        // Five standard errors of independent draws for the mean; the variance of 20 480 draws is good to a few per cent.
        prop_assert!((mean - exact).abs() < 5.0 * (variance / n as f64).sqrt());
        let sampled = costs.iter().map(|c| (c - mean).powi(2)).sum::<f64>() / n as f64;
        prop_assert!((sampled / variance - 1.0).abs() < 0.06, "{sampled} {variance}");
        // The same for a seed, with half the work too: blocks stand for themselves.
        prop_assert_eq!(&sampler.costs(n / 2, seed).unwrap(), &costs[..n / 2]);
        // A factor of two doubles every line without rounding.
        let doubled = sampler.costs_with(&[2.0, 2.0, 2.0], 1024, seed).unwrap();
        prop_assert!(doubled[7].total_cmp(&(2.0 * costs[7])).is_eq());
        let band = sampler.band(n, seed).unwrap();
        prop_assert!(band.p10 < band.p50 && band.p50 < band.p90 && band.error < variance.sqrt() * 0.05);
    }

    /// Re-priced quotes are those of draws taken one by one.
    #[test]
    fn many_quotes_are_priced_like_one(seed in any::<u64>(), first in 0.0..3.0_f64, second in 0.0..3.0_f64, n in 1_usize..1500) {
        let law = Law::Triangular { low: 10.0, likely: 12.0, high: 20.0 };
        let lines = ["a", "b"].map(|name| UncertainLine { name: name.into(), law, causes: vec![0] });
        let pace = ("pace".to_string(), Law::Pert { low: 0.8, likely: 1.0, high: 1.5 });
        let sampler = Sampler::new(&lines, &[pace]).unwrap();
        let terms = Terms::plain(Currency::named("XTS").unwrap(), Earning::Margin { share: 0.4 });
        let factors = vec![first, second];
        let many = sampler.reprice(&[factors.clone(), vec![1.0, 1.0]], &terms, n, seed, &Unwatched).unwrap();
        let one = percentiles(&sampler.costs_with(&factors, n, seed).unwrap()).unwrap();
        // The same sums in the same order, but for a fused rounding.
        prop_assert!((many[0].cost.p90 - one.p90).abs() <= 1e-9);
        prop_assert!((many[0].cost.mean - one.mean).abs() <= 1e-9);
        prop_assert!((many[0].net.major() - one.mean / 0.6).abs() <= 0.006);
    }

    #[test]
    fn markup_and_its_margin_ask_the_same(markup in 0.0..5.0_f64, cost in 0.0..1e5_f64) {
        let currency = Currency::named("XTS").unwrap();
        let by_markup = Earning::Markup { share: markup };
        let by_margin = Earning::Margin { share: by_markup.margin() };
        let ask = |earning| Terms::plain(currency, earning).asked(cost).net_price;
        prop_assert!((ask(by_markup) - ask(by_margin)).abs() <= 1e-9 * (1.0 + ask(by_markup)));
    }

    #[test]
    fn one_more_unit_takes_more_time_and_less_than_the_first(slope in 0.5..1.0_f64, n in 1_u32..200, machine in 0.0..1.0_f64, before in 0.0..20.0_f64) {
        for model in [Model::Unit, Model::CumulativeAverage] {
            let curve = Curve::new(slope, model).unwrap().with_machine_share(machine).unwrap().with_units_before(before).unwrap();
            let learning = curve.from_first(100.0).unwrap();
            let (few, many) = (learning.total(n).unwrap(), learning.total(n + 1).unwrap());
            let unit = learning.unit(n + 1).unwrap();
            prop_assert!(many >= few && unit <= 100.0 + 1e-9);
            prop_assert!((many - few - unit).abs() < 1e-8);
        }
    }

    #[test]
    fn more_spares_for_more_failures_and_more_confidence(good in 1_u32..30, fail in 0.0..0.5_f64, confidence in 0.5..0.99_f64) {
        let blanks = spares(good, fail, confidence).unwrap();
        prop_assert!(blanks >= good);
        prop_assert!(spares(good, (fail + 0.1).min(0.95), confidence).unwrap() >= blanks);
        prop_assert!(spares(good, fail, confidence + 0.009).unwrap() >= blanks);
        prop_assert!(spares(good + 1, fail, confidence).unwrap() > blanks);
    }

    #[test]
    fn rework_costs_more_with_each_failure_and_less_with_each_reheat(fail in 0.0..0.8_f64, tries in 1_u32..6) {
        let cost = |fail, tries| bounded(fail, tries, 8.0, 12.0).unwrap().cost;
        prop_assert!(cost(fail + 0.1, tries) > cost(fail, tries));
        prop_assert!(cost(fail, tries + 1) <= cost(fail, tries) + 1e-12);
    }
}

#[test]
fn drawn_tries_have_the_mean_of_the_geometric_law() {
    // The mean over a fine grid of u is 1/(1-q), but for the last cell, which holds the tail beyond it.
    let n = 100_000;
    for fail in [0.0, 0.1, 0.3, 0.7] {
        let mean = (0..n)
            .map(|i| f64::from(tries_drawn(fail, (f64::from(i) + 0.5) / f64::from(n)).unwrap()))
            .sum::<f64>()
            / f64::from(n);
        assert!((mean * (1.0 - fail) - 1.0).abs() < 1e-3, "{fail} {mean}");
    }
}
