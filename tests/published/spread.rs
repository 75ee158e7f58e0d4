//! Laws, draws and money against closed forms and published figures.

use mountwright::money::{Currency, Money, Rounding};
use mountwright::spread::{
    Inputs, Law, covering, percentile_interval, percentiles, shares, variance_shares,
};

const TRIANGULAR: Law = Law::Triangular {
    low: 10.0,
    likely: 12.0,
    high: 20.0,
};
const PERT: Law = Law::Pert {
    low: 10.0,
    likely: 12.0,
    high: 20.0,
};

#[test]
fn three_point_laws_have_the_reference_moments_and_quantiles() {
    // scipy.stats.triang and scipy.stats.beta, printed to five digits.
    assert!((TRIANGULAR.mean() - 14.0).abs() < 1e-12);
    assert!((TRIANGULAR.variance() - 14.0 / 3.0).abs() < 1e-12);
    assert!((PERT.mean() - 13.0).abs() < 1e-12);
    assert!((PERT.variance() - 3.0).abs() < 1e-12);
    for (law, quantiles) in [
        (TRIANGULAR, [11.414_21, 13.675_44, 17.171_57]),
        (PERT, [10.899_02, 12.766_72, 15.453_34]),
    ] {
        for (p, expected) in [0.1, 0.5, 0.9].into_iter().zip(quantiles) {
            let x = law.quantile(p).unwrap();
            assert!((x - expected).abs() < 5.1e-6, "{law:?} {p} {x}");
            assert!((law.cdf(x).unwrap() - p).abs() < 1e-12);
        }
    }
}

#[test]
fn a_law_is_found_back_from_its_percentiles() {
    // P10 and P90 of triangular(10, 12, 20), scipy.
    let Law::Triangular { low, high, .. } =
        Law::from_percentiles(11.414_214, 12.0, 17.171_573).unwrap()
    else {
        panic!("not triangular")
    };
    // Six digits after the point were given.
    assert!((low - 10.0).abs() < 1e-5 && (high - 20.0).abs() < 1e-5);
    assert!(Law::from_percentiles(12.5, 12.0, 17.0).is_err());
}

#[test]
fn four_rectangular_laws_cover_the_guides_interval() {
    // JCGM 101:2008, 9.2.3: the sum of four rectangular laws of standard deviation 1 has the 95 % interval ± 3.88 (remembered);
    // exact 2 √3 (2 - (3/5)^(1/4)) = 3.879407.
    let half = 3.0_f64.sqrt();
    let mut inputs = Inputs::default();
    let ids: Vec<_> = (1..=4)
        .map(|i| {
            inputs
                .register(
                    format!("x{i}"),
                    Law::Uniform {
                        low: -half,
                        high: half,
                    },
                )
                .unwrap()
        })
        .collect();
    let n = 100_000;
    let draws = inputs.draw(n, 1).unwrap();
    let mut sums: Vec<f64> = (0..n)
        .map(|row| ids.iter().map(|&id| draws.value(id, row)).sum())
        .collect();
    sums.sort_by(f64::total_cmp);
    let (low, high) = (sums[n / 40], sums[n - 1 - n / 40]);
    // Four standard errors sqrt(q (1 - q) / N) / f(x) of independent draws, f = 0.0358 there.
    let exact = 2.0 * half * (2.0 - 0.6_f64.powf(0.25));
    assert!((exact - 3.879_407).abs() < 5e-7);
    assert!(
        (low + exact).abs() < 0.055 && (high - exact).abs() < 0.055,
        "{low} {high}"
    );
    let mean = percentiles(&sums).unwrap().mean;
    assert!(mean.abs() < 1e-3);
}

#[test]
fn money_rounds_as_the_rules_print() {
    // 0.125, 0.135, 0.175: half-up 0.13, 0.14, 0.18 (UK VATREC12030 and EU Regulation 1103/97), half-even 0.12, 0.14, 0.18 (ASTM E29 and ISO 80000-1 B, rule A).
    let xts = Currency::named("XTS").unwrap();
    let minor = |amount: f64, rule| Money::rounded(amount, xts, rule).unwrap().minor();
    for (amount, up, even) in [
        (0.125, 13, 12),
        (0.135, 14, 14),
        (0.175, 18, 18),
        (2.675, 268, 268),
        (1.005, 101, 100),
    ] {
        assert_eq!(minor(amount, Rounding::HalfUp), up, "{amount}");
        assert_eq!(minor(-amount, Rounding::HalfUp), -up, "{amount}");
        assert_eq!(minor(amount, Rounding::HalfEven), even, "{amount}");
        assert_eq!(minor(-amount, Rounding::HalfEven), -even, "{amount}");
    }
    // UK Notice 700, 17.5: tax by line and on the sum may differ. Three lines of 0.99 at 7.5 %.
    let line = Money::from_minor(99, xts)
        .times(0.075, Rounding::HalfUp)
        .unwrap();
    let sum = Money::from_minor(297, xts)
        .times(0.075, Rounding::HalfUp)
        .unwrap();
    assert_eq!((line.minor() * 3, sum.minor()), (21, 22));
}

#[test]
fn variance_shares_of_the_ishigami_function_are_the_published_ones() {
    // Ishigami and Homma (1990), a = 7, b = 0.1: V = 13.844588, S = 0.313905, 0.442411, 0, ST = 0.557589, 0.442411, 0.243684 in closed form
    // (scipy.stats.sobol_indices prints 0.316, 0.438, 0.003 and 0.561, 0.443, 0.242 from 1024 points).
    let pi = std::f64::consts::PI;
    let mut inputs = Inputs::default();
    let mut add = |name: &str| {
        inputs
            .register(name, Law::Uniform { low: -pi, high: pi })
            .unwrap()
    };
    let (x1, x2, x3) = (add("x1"), add("x2"), add("x3"));
    let shares = variance_shares(&inputs, 16_384, 1, |row| {
        let sin = row.value(x1).sin();
        Ok(sin + 7.0 * row.value(x2).sin().powi(2) + 0.1 * row.value(x3).powi(4) * sin)
    })
    .unwrap();
    assert_eq!(
        shares
            .iter()
            .map(|share| share.name.as_str())
            .collect::<String>(),
        "x1x2x3"
    );
    // Estimators of 16 384 rows scatter by about 0.01.
    for (share, (first, total)) in shares.iter().zip([
        (0.313_905, 0.557_589),
        (0.442_411, 0.442_411),
        (0.0, 0.243_684),
    ]) {
        assert!((share.first_order - first).abs() < 0.02, "{share:?}");
        assert!((share.total - total).abs() < 0.02, "{share:?}");
    }
}

#[test]
fn shares_from_the_draws_themselves_are_those_of_the_ishigami_function() {
    // The same closed form; x3 has no share of its own, and what it does with x1 (0.243684) stays in the rest.
    let pi = std::f64::consts::PI;
    let mut inputs = Inputs::default();
    let ids = ["x1", "x2", "x3"].map(|name| {
        let law = Law::Uniform { low: -pi, high: pi };
        (name, inputs.register(name, law).unwrap())
    });
    for (n, tolerance) in [(256, 0.09), (8192, 0.015)] {
        let draws = inputs.draw(n, 1).unwrap();
        let columns = ids.map(|(name, id)| (name, draws.column(id)));
        let [(_, x1), (_, x2), (_, x3)] = columns;
        let result: Vec<f64> = (0..n)
            .map(|i| x1[i].sin() + 7.0 * x2[i].sin().powi(2) + 0.1 * x3[i].powi(4) * x1[i].sin())
            .collect();
        let found = shares(&columns, &result).unwrap();
        let of = |name: &str| {
            found
                .iter()
                .find(|s| s.name == name)
                .map_or(0.0, |s| s.first_order)
        };
        // A share of a quarter to a half scatters by about 1/sqrt(n).
        for (name, exact) in [("x1", 0.313_905), ("x2", 0.442_411), ("x3", 0.0)] {
            assert!((of(name) - exact).abs() < tolerance, "{n} draws: {found:?}");
        }
    }
}

#[test]
fn leaving_out_correlation_understates_the_spread_as_published() {
    // Book (1999), charted by Smith (2007): n equal lines with common correlation rho: 1 - 1/sqrt(1 + (n - 1) rho). n = 10, rho = 0.2: 40.2 %.
    // Here the correlation comes from a shared cause: lines x = c + e with Var c = rho.
    let mut inputs = Inputs::default();
    let half = 3.0_f64.sqrt();
    let one = Law::Uniform {
        low: -half,
        high: half,
    };
    let cause = inputs.register("cause", one).unwrap();
    let own: Vec<_> = (0..10)
        .map(|i| inputs.register(format!("line {i}"), one).unwrap())
        .collect();
    let draws = inputs.draw(20_000, 1).unwrap();
    let sd = |shared: f64| {
        let sums: Vec<f64> = (0..draws.len())
            .map(|row| {
                let common = shared.sqrt() * draws.value(cause, row);
                own.iter()
                    .map(|&id| common + (1.0 - shared).sqrt() * draws.value(id, row))
                    .sum()
            })
            .collect();
        (sums.iter().map(|s| s * s).sum::<f64>() / sums.len() as f64).sqrt()
    };
    // Printed to a tenth of a per cent; the sample's standard deviation is good to half a per cent.
    assert!((1.0 - sd(0.0) / sd(0.2) - 0.402).abs() < 0.005);
}

#[test]
fn a_percentile_lies_between_the_ranks_of_hahn_and_meeker() {
    // Hahn and Meeker, Statistical Intervals: 100 draws, P90 with 95 %: ranks 85 and 97, coverage 0.95227 (computed from the binomial law).
    let draws: Vec<f64> = (1..=100).map(f64::from).collect();
    let (low, high) = percentile_interval(&draws, 0.9, 0.95).unwrap();
    assert!((low - 85.0).abs() < 1e-12 && (high - 97.0).abs() < 1e-12);
    assert!(percentile_interval(&draws, 0.9, 0.9523).unwrap() != (low, high));
    // Ten draws say little about a P99.
    assert!(percentile_interval(&draws[..10], 0.99, 0.95).is_err());
}

#[test]
fn the_error_of_a_percentile_is_that_of_its_density() {
    // sqrt(q (1 - q)/N)/f(x_q): triangular (10, 12, 20), P90: 0.1342 at N = 1000, 0.0424 at 10 000.
    for (n, printed) in [(1000, 0.1342), (10_000, 0.0424)] {
        // A plain grid of the law has its percentiles without noise, so the order statistics show the density alone.
        let grid: Vec<f64> = (0..n)
            .map(|i| {
                TRIANGULAR
                    .quantile((f64::from(i) + 0.5) / f64::from(n))
                    .unwrap()
            })
            .collect();
        let error = percentiles(&grid).unwrap().error;
        // The density bends over one standard error to each side.
        assert!((error / printed - 1.0).abs() < 0.01, "{n} {error}");
    }
}

#[test]
fn the_mean_is_near_that_of_three_percentiles() {
    // Swanson: 0.3 P10 + 0.4 P50 + 0.3 P90; 14.0459 for triangular (10, 12, 20), whose mean is 14.
    let at = |p| TRIANGULAR.quantile(p).unwrap();
    assert!((0.3 * at(0.1) + 0.4 * at(0.5) + 0.3 * at(0.9) - 14.0459).abs() < 5e-5);
}

/// Named columns of independent uniform draws.
fn uniform(names: &[String], n: usize, seed: u64) -> Vec<Vec<f64>> {
    let mut inputs = Inputs::default();
    let one = Law::Uniform {
        low: 0.0,
        high: 1.0,
    };
    let ids: Vec<_> = names
        .iter()
        .map(|name| inputs.register(name.clone(), one).unwrap())
        .collect();
    let draws = inputs.draw(n, seed).unwrap();
    ids.iter().map(|&id| draws.column(id).to_vec()).collect()
}

#[test]
fn a_rare_jump_has_its_whole_share() {
    // Closed form: a jump of height h with probability p has the variance h² p (1 - p), a uniform law of width w has w²/12; h = 10, p = 0.05, w = 6.
    let names = ["late", "cutting"].map(String::from);
    for (n, tolerance) in [(256, 0.07), (4096, 0.02)] {
        let columns = uniform(&names, n, 1);
        let result: Vec<f64> = columns[0]
            .iter()
            .zip(&columns[1])
            .map(|(late, cutting)| 10.0 * f64::from(*late > 0.95) + 6.0 * cutting)
            .collect();
        let given = [("late", &columns[0][..]), ("cutting", &columns[1][..])];
        let found = shares(&given, &result).unwrap();
        let (jump, smooth) = (100.0 * 0.05 * 0.95, 3.0);
        for (name, exact) in [("late", jump), ("cutting", smooth)] {
            let share = found.iter().find(|s| s.name == name).unwrap().first_order;
            assert!(
                (share - exact / (jump + smooth)).abs() < tolerance,
                "{n}: {found:?}"
            );
        }
    }
}

#[test]
fn an_input_of_few_values_has_its_whole_share() {
    // A coin of 0 or 1 against two uniform laws: variances 1/4 and 1/12 each: shares 0.6, 0.2, 0.2. Three reheats at random: variance of (0, 1, 2) is 2/3, of the uniform law of width 4 is 4/3.
    let names = ["a", "b", "c"].map(String::from);
    let n = 2048;
    let columns = uniform(&names, n, 3);
    let coin: Vec<f64> = columns[0].iter().map(|u| u.round()).collect();
    let reheats: Vec<f64> = columns[0].iter().map(|u| (3.0 * u).floor()).collect();
    let sum: Vec<f64> = (0..n)
        .map(|i| coin[i] + columns[1][i] + columns[2][i])
        .collect();
    let given = [
        ("coin", &coin[..]),
        ("b", &columns[1][..]),
        ("c", &columns[2][..]),
    ];
    let found = shares(&given, &sum).unwrap();
    assert_eq!(found[0].name, "coin");
    assert!((found[0].first_order - 0.6).abs() < 0.02, "{found:?}");
    assert!((found[1].first_order - 0.2).abs() < 0.02, "{found:?}");
    let sum: Vec<f64> = (0..n).map(|i| reheats[i] + 4.0 * columns[1][i]).collect();
    let found = shares(&[("reheats", &reheats[..]), ("b", &columns[1][..])], &sum).unwrap();
    assert_eq!(found[0].name, "b");
    assert!((found[1].first_order - 1.0 / 3.0).abs() < 0.02, "{found:?}");
}

#[test]
fn an_input_without_effect_is_seldom_listed() {
    // One plan in a hundred may list one: of 200 with twenty idle inputs each, binomial(200, 0.01) stays at 7 or below with probability 0.999.
    // Half of the results have a heavy tail, as days lost by chance have.
    let names: Vec<String> = (0..21).map(|i| format!("x{i}")).collect();
    let alarms = (0..200)
        .filter(|&seed| {
            let columns = uniform(&names, 256, seed);
            let result: Vec<f64> = columns[20]
                .iter()
                .map(|&u| {
                    if seed % 2 == 0 {
                        u
                    } else {
                        (1.0 - u).powf(-0.5)
                    }
                })
                .collect();
            let given: Vec<_> = names
                .iter()
                .zip(&columns)
                .map(|(n, c)| (&n[..], &c[..]))
                .collect();
            !shares(&given[..20], &result).unwrap().is_empty()
        })
        .count();
    assert!(alarms <= 7, "{alarms}");
}

#[test]
fn a_draw_that_failed_is_named() {
    let mut column = vec![0.5; 64];
    column[3] = f64::NAN;
    let result: Vec<f64> = (0..64).map(f64::from).collect();
    let message = shares(&[("curing", &column)], &result)
        .unwrap_err()
        .to_string();
    assert!(
        message.contains("curing") && message.contains("NaN"),
        "{message}"
    );
}

#[test]
fn a_skewed_input_has_its_whole_share() {
    // A result that is its only input: share 1. With a uniform law of the same variance beside it: one half each (both are sums of squares of the parts).
    let law = Law::LogNormal {
        median: 1.0,
        log_sd: 1.0,
    };
    let half = (3.0 * law.variance()).sqrt();
    let mut inputs = Inputs::default();
    let glue = inputs.register("glue", law).unwrap();
    let work = inputs
        .register(
            "work",
            Law::Uniform {
                low: -half,
                high: half,
            },
        )
        .unwrap();
    let draws = inputs.draw(4096, 5).unwrap();
    let (glue, work) = (draws.column(glue), draws.column(work));
    let alone = shares(&[("glue", glue), ("work", work)], glue).unwrap();
    assert_eq!(alone.len(), 1, "{alone:?}");
    assert!((alone[0].first_order - 1.0).abs() < 1e-6, "{alone:?}");
    let sum: Vec<f64> = glue.iter().zip(work).map(|(a, b)| a + b).collect();
    let variance = |x: &[f64]| {
        let mean = x.iter().sum::<f64>() / x.len() as f64;
        x.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / x.len() as f64
    };
    for share in shares(&[("glue", glue), ("work", work)], &sum).unwrap() {
        let own = if share.name == "glue" { glue } else { work };
        assert!(
            (share.first_order - variance(own) / variance(&sum)).abs() < 0.02,
            "{share:?}"
        );
    }
}

#[test]
fn a_covering_value_covers_with_at_least_its_chance() {
    // The order statistic ceil(n p): 244 of 256 for 95 %, the greater of two for 90 %.
    let draws: Vec<f64> = (1..=256).map(f64::from).collect();
    assert!((covering(&draws, 0.95).unwrap() - 244.0).abs() < 1e-12);
    assert!((covering(&[0.0, 100.0], 0.9).unwrap() - 100.0).abs() < 1e-12);
    let ten: Vec<f64> = (1..=10).map(f64::from).collect();
    assert!((covering(&ten, 0.9).unwrap() - 9.0).abs() < 1e-12);
    // One draw says nothing of how well it is known.
    assert!(percentiles(&[5.0]).unwrap().error.is_infinite());
}
