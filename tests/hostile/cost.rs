//! Prices that cannot be: margins of all and more, negative rates, credits beyond what is credited.

use mountwright::Error;
use mountwright::cost::{
    Bill, Curve, Earning, Group, Learning, Line, Model, Overhead, PricedOn, Sampler, Tax, TaxBy,
    Terms, UncertainLine, absorption_rate, bounded, capital_recovery, covering_price, cutter_wear,
    estimate, labour_lines, labour_rate, machine_rate, net_material, spares, standard_time,
    tries_drawn, unbounded,
};
use mountwright::error::Unwatched;
use mountwright::money::Currency;
use mountwright::spread::Law;

const BAD: [f64; 3] = [f64::NAN, f64::INFINITY, -1.0];

fn terms(earning: Earning) -> Terms {
    Terms::plain(Currency::named("XTS").unwrap(), earning)
}

fn one_line(cost: f64) -> Bill {
    Bill {
        lines: vec![Line::new("work", Group::Labour, 1.0, "h", cost).unwrap()],
        attended_s: 3600.0,
        rework: 0.0,
    }
}

#[test]
fn a_margin_of_everything_is_refused_and_a_markup_offered() {
    for share in [1.0, 1.5, f64::NAN, -0.1] {
        let refused = terms(Earning::Margin { share });
        let Err(Error::OutOfRange { what, remedy, .. }) = estimate(&one_line(10.0), &refused, None)
        else {
            panic!("no error for {share}")
        };
        assert_eq!(what, "margin");
        assert!(remedy.contains("markup"));
    }
    let crowded = Terms {
        fees: 0.1,
        ..terms(Earning::Margin { share: 0.95 })
    };
    assert!(matches!(
        estimate(&one_line(10.0), &crowded, None),
        Err(Error::Impossible { .. })
    ));
    // A markup may well be above 100 %.
    assert!(
        estimate(
            &one_line(10.0),
            &terms(Earning::Markup { share: 1.5 }),
            None
        )
        .is_ok()
    );
}

#[test]
fn shares_and_rates_that_cannot_be_are_refused() {
    let plain = terms(Earning::Markup { share: 0.3 });
    for bad in BAD {
        let refused = [
            terms(Earning::Markup { share: bad }),
            Terms {
                fees: bad,
                ..plain.clone()
            },
            Terms {
                minimum: bad,
                ..plain.clone()
            },
            Terms {
                discount: bad,
                ..plain.clone()
            },
            Terms {
                tax: Tax {
                    rate: bad,
                    exempt: vec![],
                    by: TaxBy::Line,
                },
                ..plain.clone()
            },
            Terms {
                overhead: Overhead::PerHour { rate: bad },
                ..plain.clone()
            },
            Terms {
                overhead: Overhead::OnLabour { share: bad },
                ..plain.clone()
            },
            Terms {
                overhead: Overhead::OnLines { share: bad },
                ..plain.clone()
            },
            Terms {
                priced_on: PricedOn::Percentile { share: bad },
                ..plain.clone()
            },
        ];
        for terms in refused {
            assert!(
                matches!(
                    estimate(&one_line(1.0), &terms, None),
                    Err(Error::OutOfRange { .. })
                ),
                "{terms:?}"
            );
        }
        assert!(matches!(
            Line::new("x", Group::Labour, bad, "h", 1.0),
            Err(Error::OutOfRange { .. })
        ));
        assert!(matches!(
            Line::new("x", Group::Labour, 1.0, "h", bad),
            Err(Error::OutOfRange { .. })
        ));
        let bill = Bill {
            attended_s: bad,
            ..one_line(1.0)
        };
        assert!(matches!(
            estimate(&bill, &plain, None),
            Err(Error::OutOfRange { .. })
        ));
        let bill = Bill {
            rework: bad,
            ..one_line(1.0)
        };
        assert!(matches!(
            estimate(&bill, &plain, None),
            Err(Error::OutOfRange { .. })
        ));
        assert!(matches!(
            estimate(&one_line(1.0), &plain, Some(&[1.0, bad])),
            Err(Error::OutOfRange { .. })
        ));
    }
    assert!(matches!(
        estimate(&one_line(1.0), &plain, Some(&[])),
        Err(Error::Shape { .. })
    ));
    let all_off = Terms {
        discount: 1.0,
        ..plain
    };
    assert!(matches!(
        estimate(&one_line(1.0), &all_off, None),
        Err(Error::OutOfRange { .. })
    ));
}

#[test]
fn credits_stay_below_what_they_are_taken_off() {
    let bill = Bill {
        lines: vec![
            Line::new("sheet", Group::Material, 1.0, "m²", 10.0).unwrap(),
            Line::credit("offcut kept", Group::Material, 2.0, "m²", 10.0).unwrap(),
        ],
        attended_s: 0.0,
        rework: 0.0,
    };
    let plain = terms(Earning::Markup { share: 0.3 });
    assert!(matches!(
        estimate(&bill, &plain, None),
        Err(Error::Impossible { .. })
    ));
    assert!(matches!(
        net_material(&[(42.0, 1.0)], 1.5, 0.0, 0.5, 0.0),
        Err(Error::OutOfRange { .. })
    ));
}

#[test]
fn an_empty_job_costs_nothing_or_the_minimum() {
    let empty = Bill {
        lines: vec![],
        attended_s: 0.0,
        rework: 0.0,
    };
    let plain = terms(Earning::Margin { share: 0.3 });
    let job = estimate(&empty, &plain, None).unwrap();
    assert_eq!((job.price_net.minor(), job.margin_left), (0, None));
    let least = Terms {
        minimum: 25.0,
        ..plain
    };
    assert_eq!(
        estimate(&empty, &least, None).unwrap().price_net.minor(),
        2500
    );
}

#[test]
fn quotes_to_be_repriced_have_a_factor_for_each_line() {
    let law = Law::Fixed { value: 5.0 };
    let line = UncertainLine {
        name: "a".into(),
        law,
        causes: vec![],
    };
    let sampler = Sampler::new(&[line], &[]).unwrap();
    let terms = terms(Earning::Markup { share: 0.5 });
    let price = |quotes: &[Vec<f64>], n| sampler.reprice(quotes, &terms, n, 1, &Unwatched);
    assert!(price(&[], 10).unwrap().is_empty());
    for quotes in [vec![vec![]], vec![vec![1.0], vec![1.0, 2.0]]] {
        assert!(matches!(price(&quotes, 10), Err(Error::Shape { .. })));
    }
    for bad in [f64::NAN, -1.0, f64::INFINITY] {
        assert!(matches!(
            price(&[vec![bad]], 10),
            Err(Error::OutOfRange { .. })
        ));
    }
    for n in [0, usize::MAX] {
        assert!(matches!(
            price(&[vec![1.0]], n),
            Err(Error::OutOfRange { .. })
        ));
    }
}

#[test]
fn prices_beyond_money_are_refused() {
    let mut bill = one_line(1e9);
    for line in &mut bill.lines {
        line.cost = 1e11;
    }
    let plain = terms(Earning::Markup { share: 0.3 });
    assert!(matches!(
        estimate(&bill, &plain, None),
        Err(Error::OutOfRange { .. })
    ));
    bill.lines[0].cost = f64::NAN;
    assert!(estimate(&bill, &plain, None).is_err());
}

#[test]
fn learning_that_cannot_be_is_refused() {
    for slope in [f64::NAN, 0.0, -0.8, 0.4, 1.01, f64::INFINITY] {
        assert!(
            matches!(
                Curve::new(slope, Model::Unit),
                Err(Error::OutOfRange { .. })
            ),
            "{slope}"
        );
    }
    let curve = Curve::new(0.8, Model::CumulativeAverage).unwrap();
    for bad in BAD {
        assert!(curve.from_first(bad).is_err() && curve.from_timed(3, bad).is_err());
        assert!(curve.with_machine_share(bad).is_err() && curve.with_units_before(bad).is_err());
        assert!(Learning::fitted(&[(1, 10.0), (2, bad)]).is_err());
    }
    let learning = curve.from_first(100.0).unwrap();
    assert!(
        learning.unit(0).is_err() && learning.lot(0, 3).is_err() && learning.lot(3, 2).is_err()
    );
    assert!(learning.unit(u32::MAX).is_err() && learning.total(u32::MAX).is_err());
    assert!(learning.total(0).unwrap().abs() < 1e-15);
    assert!(matches!(
        Learning::fitted(&[(1, 10.0)]),
        Err(Error::Shape { .. })
    ));
    // Slower with each unit: no learning curve.
    assert!(matches!(
        Learning::fitted(&[(1, 10.0), (2, 20.0)]),
        Err(Error::OutOfRange { .. })
    ));
}

#[test]
fn every_rate_refuses_what_cannot_be() {
    for bad in BAD {
        assert!(
            standard_time(bad, 1.0, 0.1).is_err()
                && standard_time(1.0, bad, 0.1).is_err()
                && standard_time(1.0, 1.0, bad).is_err()
        );
        assert!(
            labour_rate(bad, 0.2, 1800.0, 200.0, 0.7).is_err()
                && labour_rate(1.0, bad, 1800.0, 200.0, 0.7).is_err()
        );
        assert!(
            labour_rate(1.0, 0.2, bad, 200.0, 0.7).is_err()
                && labour_rate(1.0, 0.2, 1800.0, bad, 0.7).is_err()
        );
        assert!(labour_rate(1.0, 0.2, 1800.0, 200.0, bad).is_err());
        assert!(absorption_rate(bad, 1.0).is_err() && absorption_rate(1.0, bad).is_err());
        assert!(
            capital_recovery(bad, 0.0, 0.1, 4.0).is_err()
                && capital_recovery(1.0, bad, 0.1, 4.0).is_err()
        );
        assert!(
            capital_recovery(1.0, 0.0, bad, 4.0).is_err()
                && capital_recovery(1.0, 0.0, 0.1, bad).is_err()
        );
        assert!(
            machine_rate(bad, 0.0, 1.0, 0.0, 0.0).is_err()
                && machine_rate(1.0, 0.0, bad, 0.0, 0.0).is_err()
        );
        assert!(
            cutter_wear(bad, 1.0, 0, 1.0, 1).is_err() && cutter_wear(1.0, bad, 0, 1.0, 1).is_err()
        );
        assert!(
            unbounded(bad, 1.0, 1.0).is_err()
                && bounded(bad, 2, 1.0, 1.0).is_err()
                && bounded(0.1, 2, bad, 1.0).is_err()
        );
        assert!(
            spares(3, bad, 0.9).is_err()
                && spares(3, 0.1, bad).is_err()
                && tries_drawn(0.1, bad).is_err()
        );
        assert!(
            net_material(&[(bad, 1.0)], 0.0, 0.0, 0.5, 0.0).is_err()
                && net_material(&[(1.0, bad)], 0.0, 0.0, 0.5, 0.0).is_err()
        );
        assert!(
            covering_price(&[1.0], bad, 0.0).is_err() && covering_price(&[1.0], 0.5, bad).is_err()
        );
        assert!(labour_lines(&[], &[bad], 1.0).is_err());
    }
    assert!(labour_rate(1.0, 0.0, 100.0, 100.0, 1.0).is_err());
    assert!(bounded(0.1, 0, 1.0, 1.0).is_err() && bounded(1.0, 2, 1.0, 1.0).is_err());
    assert!(spares(u32::MAX, 0.1, 0.9).is_err() && spares(3, 0.96, 0.9).is_err());
    assert_eq!(spares(0, 0.5, 0.9).unwrap(), 0);
    assert_eq!(tries_drawn(0.95, 1.0).unwrap(), 1000);
}
