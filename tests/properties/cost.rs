//! More work never costs less, and what is shared adds up.

use mountwright::cost::{
    Bill, Curve, Earning, Group, Line, Model, Overhead, Tax, TaxBy, Terms, bounded, estimate,
    spares, tries_drawn,
};
use mountwright::money::Currency;
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

proptest! {
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
