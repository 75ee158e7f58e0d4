//! Draws are stratified, named and seeded; laws and their inverses agree; shares of money add up.

use mountwright::money::{Currency, Money, Rounding};
use mountwright::spread::{Inputs, Law, percentile, percentiles, rank_correlation};
use proptest::prelude::*;

fn any_law() -> impl Strategy<Value = Law> {
    let points = (-1e3..1e3_f64, 1e-3..1e3_f64, 0.0..1.0_f64);
    prop_oneof![
        points.clone().prop_map(|(low, range, _)| Law::Uniform {
            low,
            high: low + range
        }),
        points.clone().prop_map(|(low, range, at)| Law::Triangular {
            low,
            likely: low + at * range,
            high: low + range
        }),
        points.prop_map(|(low, range, at)| Law::Pert {
            low,
            likely: low + at * range,
            high: low + range
        }),
        (1e-3..1e3_f64, 1e-3..1.5_f64)
            .prop_map(|(median, log_sd)| Law::LogNormal { median, log_sd }),
    ]
}

proptest! {
    #[test]
    fn quantile_is_the_inverse_of_the_distribution(law in any_law(), p in 1e-6..0.999_999_f64) {
        let x = law.quantile(p).unwrap();
        // Far tails of a steep law lose digits of x, not of p.
        prop_assert!((law.cdf(x).unwrap() - p).abs() < 1e-9, "{law:?} {p} {x} {}", law.cdf(x).unwrap());
    }

    #[test]
    fn draws_have_the_mean_and_the_spread_of_their_law(law in any_law(), seed in any::<u64>()) {
        let mut inputs = Inputs::default();
        let id = inputs.register("x", law).unwrap();
        let draws = inputs.draw(2000, seed).unwrap();
        let column = draws.column(id);
        // Mean and variance of a log-normal hang on its last strata; those of its logarithm do not.
        let (column, exact_mean, exact) = match law {
            Law::LogNormal { median, log_sd } => {
                (column.iter().map(|x| x.ln()).collect(), median.ln(), log_sd * log_sd)
            }
            _ => (column.to_vec(), law.mean(), law.variance()),
        };
        // A stratified mean is within a few strata of the exact one: far inside sd/sqrt(n).
        let mean = column.iter().sum::<f64>() / 2000.0;
        prop_assert!((mean - exact_mean).abs() < 0.02 * exact.sqrt(), "{mean} {law:?}");
        let variance = column.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 1999.0;
        prop_assert!((variance / exact - 1.0).abs() < 0.02, "{variance} {law:?}");
    }

    #[test]
    fn every_stratum_is_hit_once(n in 1_usize..300, seed in any::<u64>()) {
        let mut inputs = Inputs::default();
        let id = inputs.register("u", Law::Uniform { low: 0.0, high: 1.0 }).unwrap();
        let draws = inputs.draw(n, seed).unwrap();
        let mut sorted = draws.column(id).to_vec();
        sorted.sort_by(f64::total_cmp);
        for (at, u) in sorted.iter().enumerate() {
            prop_assert!(*u >= at as f64 / n as f64 && *u <= (at + 1) as f64 / n as f64);
        }
    }

    #[test]
    fn another_input_changes_no_other_column(seed in any::<u64>(), law in any_law()) {
        let mut few = Inputs::default();
        let pace = few.register("pace", Law::Uniform { low: 0.8, high: 1.3 }).unwrap();
        let mut more = Inputs::default();
        let other = more.register("climate", law).unwrap();
        let same = more.register("pace", Law::Uniform { low: 0.8, high: 1.3 }).unwrap();
        let (few, more) = (few.draw(64, seed).unwrap(), more.draw(64, seed).unwrap());
        prop_assert_eq!(few.column(pace), more.column(same));
        // Two inputs do not run together.
        prop_assert!(rank_correlation(more.column(other), more.column(same)).unwrap().abs() < 0.75);
    }

    #[test]
    fn percentiles_lie_inside_and_in_order(values in prop::collection::vec(-1e6..1e6_f64, 2..200)) {
        let band = percentiles(&values).unwrap();
        let (least, most) = (percentile(&values, 0.0).unwrap(), percentile(&values, 1.0).unwrap());
        prop_assert!(least <= band.p10 && band.p10 <= band.p50 && band.p50 <= band.p90 && band.p90 <= most);
        prop_assert!(band.error >= 0.0 && band.error <= most - least);
    }

    #[test]
    fn shares_of_money_add_up_and_miss_by_less_than_a_minor_unit(minor in -1_000_000_000_i64..1_000_000_000, weights in prop::collection::vec(0.0..1e4_f64, 1..30)) {
        prop_assume!(weights.iter().sum::<f64>() > 1e-3);
        let total = Money::from_minor(minor, Currency::named("XTS").unwrap());
        let shares = total.shared(&weights).unwrap();
        prop_assert_eq!(shares.iter().map(Money::minor).sum::<i64>(), minor);
        let sum: f64 = weights.iter().sum();
        for (share, weight) in shares.iter().zip(&weights) {
            prop_assert!((share.minor() as f64 - minor as f64 * weight / sum).abs() < 1.0 + 1e-6);
        }
    }

    #[test]
    fn money_is_rounded_to_the_nearest_minor_unit(amount in -1e9..1e9_f64) {
        for code in ["XTS", "JPY", "KWD"] {
            let currency = Currency::named(code).unwrap();
            let unit = 1.0 / currency.minor_per_major() as f64;
            for rounding in [Rounding::HalfUp, Rounding::HalfEven] {
                let money = Money::rounded(amount, currency, rounding).unwrap();
                // A millionth of a unit is given to the half.
                prop_assert!((money.major() - amount).abs() <= unit * (0.5 + 2e-6));
            }
        }
    }
}
