//! Laws, draws and money that cannot be.

use mountwright::Error;
use mountwright::error::Watch;
use mountwright::money::{Currency, Money, Rounding};
use mountwright::spread::{Inputs, Law, percentile, percentiles, rank_correlation, shares};

const BAD: [f64; 4] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 1e300];

#[test]
fn laws_out_of_order_or_not_finite_are_refused() {
    let mut laws = vec![
        Law::Uniform {
            low: 2.0,
            high: 1.0,
        },
        Law::Triangular {
            low: 3.0,
            likely: 2.0,
            high: 1.0,
        },
        Law::Triangular {
            low: 1.0,
            likely: 4.0,
            high: 3.0,
        },
        Law::Pert {
            low: 1.0,
            likely: 0.0,
            high: 3.0,
        },
        Law::LogNormal {
            median: 0.0,
            log_sd: 0.1,
        },
        Law::LogNormal {
            median: -1.0,
            log_sd: 0.1,
        },
        Law::LogNormal {
            median: 1.0,
            log_sd: -0.1,
        },
        Law::LogNormal {
            median: 1.0,
            log_sd: 50.0,
        },
    ];
    for bad in BAD {
        laws.push(Law::Fixed { value: bad });
        laws.push(Law::Uniform {
            low: bad,
            high: bad,
        });
        laws.push(Law::Triangular {
            low: 0.0,
            likely: bad,
            high: 1.0,
        });
        laws.push(Law::Pert {
            low: 0.0,
            likely: 0.5,
            high: bad,
        });
        laws.push(Law::LogNormal {
            median: bad,
            log_sd: 0.1,
        });
        laws.push(Law::LogNormal {
            median: 1.0,
            log_sd: bad,
        });
    }
    for law in laws {
        assert!(
            matches!(law.check("x"), Err(Error::OutOfRange { .. })),
            "{law:?}"
        );
        assert!(
            law.quantile(0.5).is_err() && law.cdf(1.0).is_err(),
            "{law:?}"
        );
        assert!(Inputs::default().register("x", law).is_err(), "{law:?}");
    }
}

#[test]
fn chances_and_factors_that_cannot_be_are_refused() {
    let fine = Law::Pert {
        low: 0.0,
        likely: 1.0,
        high: 2.0,
    };
    for p in [f64::NAN, -0.1, 1.1] {
        assert!(matches!(fine.quantile(p), Err(Error::OutOfRange { .. })));
    }
    assert!(fine.cdf(f64::NAN).is_err());
    assert!(
        Law::LogNormal {
            median: 1.0,
            log_sd: 1.0
        }
        .quantile(1.0)
        .is_err()
    );
    assert!(
        Law::LogNormal {
            median: 1.0,
            log_sd: 1.0
        }
        .scaled(-1.0)
        .is_err()
    );
    assert!(fine.scaled(f64::NAN).is_err());
    // Turned round, the law stays one.
    assert_eq!(
        fine.scaled(-1.0).unwrap(),
        Law::Pert {
            low: -2.0,
            likely: -1.0,
            high: 0.0
        }
    );
}

#[test]
fn laws_of_no_width_are_single_values() {
    for law in [
        Law::Uniform {
            low: 2.0,
            high: 2.0,
        },
        Law::Triangular {
            low: 2.0,
            likely: 2.0,
            high: 2.0,
        },
        Law::Pert {
            low: 2.0,
            likely: 2.0,
            high: 2.0,
        },
        Law::LogNormal {
            median: 2.0,
            log_sd: 0.0,
        },
    ] {
        for p in [0.0, 0.3, 1.0] {
            assert!((law.quantile(p).unwrap() - 2.0).abs() < 1e-15, "{law:?}");
        }
        assert!(law.cdf(1.9).unwrap() < 0.5 && law.cdf(2.0).unwrap() > 0.5);
        assert!(law.variance().abs() < 1e-15);
    }
}

#[test]
fn one_name_has_one_law() {
    let mut inputs = Inputs::default();
    inputs.register("pace", Law::Fixed { value: 1.0 }).unwrap();
    let Err(Error::Shape { what, .. }) = inputs.register("pace", Law::Fixed { value: 2.0 }) else {
        panic!("no error")
    };
    assert!(what.contains("pace"));
}

#[test]
fn draws_are_at_least_one_and_fit_memory() {
    let mut inputs = Inputs::default();
    inputs
        .register(
            "pace",
            Law::Uniform {
                low: 0.0,
                high: 1.0,
            },
        )
        .unwrap();
    for n in [0, usize::MAX] {
        assert!(matches!(inputs.draw(n, 1), Err(Error::OutOfRange { .. })));
    }
    assert_eq!(Inputs::default().draw(3, 1).unwrap().len(), 3);
    let stopped = inputs.draw_watched(3, 1, &Never);
    assert!(matches!(stopped, Err(Error::Stopped)));
}

/// Stops whatever asks it.
struct Never;

impl Watch for Never {
    fn go_on(&self, _done_fraction: f64) -> bool {
        false
    }
}

#[test]
fn percentiles_need_finite_values() {
    assert!(matches!(percentiles(&[]), Err(Error::Shape { .. })));
    for bad in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        assert!(matches!(
            percentiles(&[1.0, bad]),
            Err(Error::OutOfRange { .. })
        ));
    }
    for q in [f64::NAN, -0.1, 1.1] {
        assert!(matches!(
            percentile(&[1.0], q),
            Err(Error::OutOfRange { .. })
        ));
    }
    assert!(rank_correlation(&[1.0], &[1.0, 2.0]).is_err());
    assert!(shares(&[("a", &[1.0])], &[1.0, 2.0]).is_err());
    // Too few draws and no variance have no shares; draws that are no numbers are named.
    assert!(shares(&[("a", &[1.0])], &[1.0]).unwrap().is_empty());
    let up: Vec<f64> = (0..100).map(f64::from).collect();
    assert!(shares(&[("a", &up)], &[7.0; 100]).unwrap().is_empty());
    for bad in [f64::NAN, f64::INFINITY] {
        assert!(shares(&[("a", &up)], &[bad; 100]).is_err());
        assert!(shares(&[("a", &[bad; 100])], &up).is_err());
    }
    assert!(shares(&[], &up).unwrap().is_empty());
}

#[test]
fn money_is_of_one_currency_and_of_this_world() {
    let (xts, jpy) = (
        Currency::named("XTS").unwrap(),
        Currency::named("JPY").unwrap(),
    );
    for code in ["", "xts", "XTSS", "X1S", "ÄÖÜ", "€"] {
        assert!(
            matches!(Currency::named(code), Err(Error::Shape { .. })),
            "{code}"
        );
    }
    let (a, b) = (Money::from_minor(1, xts), Money::from_minor(1, jpy));
    for error in [a.plus(b).err(), a.minus(b).err(), a.compared(b).err()] {
        assert!(matches!(error, Some(Error::Shape { given, .. }) if given == "XTS and JPY"));
    }
    for bad in BAD {
        assert!(matches!(
            Money::rounded(bad, xts, Rounding::HalfUp),
            Err(Error::OutOfRange { .. })
        ));
        assert!(matches!(
            a.times(bad, Rounding::HalfUp),
            Err(Error::OutOfRange { .. })
        ));
    }
    let most = Money::from_minor(i64::MAX, xts);
    assert!(matches!(most.plus(a), Err(Error::OutOfRange { .. })));
    assert!(matches!(
        Money::from_minor(i64::MIN, xts).minus(a),
        Err(Error::OutOfRange { .. })
    ));
    assert!(matches!(a.shared(&[]), Err(Error::Shape { .. })));
    assert!(matches!(a.shared(&[0.0, 0.0]), Err(Error::Shape { .. })));
    for bad in [f64::NAN, -1.0, f64::INFINITY] {
        assert!(matches!(
            a.shared(&[1.0, bad]),
            Err(Error::OutOfRange { .. })
        ));
    }
    assert_eq!(most.to_string(), "92233720368547758.07 XTS");
    assert_eq!(
        Money::from_minor(i64::MIN, jpy).to_string(),
        "-9223372036854775808 JPY"
    );
}
