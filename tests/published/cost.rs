//! Learning, rates, rework and price against published figures and closed forms.

use mountwright::cost::{
    Bill, Curve, Earning, Group, Learning, Line, Model, Tax, TaxBy, Terms, absorption_rate,
    bounded, capital_recovery, estimate, jeffreys_mean, machine_rate, net_material, spares,
    standard_time, unbounded,
};
use mountwright::money::{Currency, Money};

fn near(found: f64, printed: f64, half_digit: f64) {
    assert!(
        (found - printed).abs() <= half_digit,
        "found {found}, printed {printed}"
    );
}

fn curve(first: f64, slope: f64, model: Model) -> Learning {
    Curve::new(slope, model).unwrap().from_first(first).unwrap()
}

#[test]
fn wright_means_and_totals_are_the_printed_ones() {
    // Management-accounting text, 100 h and 80 %: means 100, 80, 64, 51.2, 40.96; totals 100, 160, 256, 409.6, 655.36.
    // Increments 60, 96, 153.6 and 245.76, which the page misprints as 254.76.
    let learning = curve(100.0, 0.8, Model::CumulativeAverage);
    for (n, mean, total) in [
        (1, 100., 100.),
        (2, 80., 160.),
        (4, 64., 256.),
        (8, 51.2, 409.6),
        (16, 40.96, 655.36),
    ] {
        near(learning.total(n).unwrap() / f64::from(n), mean, 1e-9);
        near(learning.total(n).unwrap(), total, 1e-9);
    }
    for (first, last, increment) in [(2, 2, 60.), (3, 4, 96.), (5, 8, 153.6), (9, 16, 245.76)] {
        near(learning.lot(first, last).unwrap(), increment, 1e-9);
    }
    // R package learningCurve, examples: 110 h, 88.5 %, unit 2200 takes 23.34001.
    near(
        curve(110.0, 0.885, Model::CumulativeAverage)
            .unit(2200)
            .unwrap(),
        23.340_01,
        5e-6,
    );
}

#[test]
fn crawford_units_and_totals_are_the_printed_ones() {
    let learning = curve(100.0, 0.8, Model::Unit);
    // Computed from the same data: the total of 16 is a third more than Wright's.
    near(learning.unit(3).unwrap(), 70.2104, 5e-5);
    near(learning.total(8).unwrap(), 534.591, 5e-4);
    near(learning.total(16).unwrap(), 892.014, 5e-4);
    // R package learningCurve, examples: 100 h, 85 %, unit 125 and the total of 125.
    let learning = curve(100.0, 0.85, Model::Unit);
    near(learning.unit(125).unwrap(), 32.236_47, 5e-6);
    near(learning.total(125).unwrap(), 5201.085, 5e-4);
    near(
        learning.lot(1, 60).unwrap() + learning.lot(61, 125).unwrap(),
        5201.085,
        5e-4,
    );
    // Kerzner, Project Management, table 18-1: 812 h, 75 %, 250 units: total 34 170 and mean 137 printed to their digits.
    let learning = curve(812.0, 0.75, Model::Unit);
    near(learning.total(250).unwrap(), 34_170.0, 5.0);
    near(learning.total(250).unwrap() / 250.0, 137.0, 0.5);
    near(learning.unit(250).unwrap(), 82.0958, 5e-5);
}

#[test]
fn machine_paced_work_learns_less() {
    // De Jong, Ergonomics 1 (1957) 51, computed: 20, 80 %, half machine, ten units 163.1537, without machine 126.3075.
    let hands = Curve::new(0.8, Model::Unit).unwrap();
    near(
        hands.from_first(20.0).unwrap().total(10).unwrap(),
        126.3075,
        5e-5,
    );
    let half = hands.with_machine_share(0.5).unwrap();
    near(
        half.from_first(20.0).unwrap().total(10).unwrap(),
        163.1537,
        5e-5,
    );
}

#[test]
fn first_unit_and_slope_come_back_from_timed_units() {
    for model in [Model::Unit, Model::CumulativeAverage] {
        let given = curve(100.0, 0.85, model);
        let timed = given.unit(7).unwrap();
        let found = given.curve().from_timed(7, timed).unwrap();
        near(found.first(), 100.0, 1e-9);
    }
    let given = curve(100.0, 0.85, Model::Unit);
    let timed: Vec<(u32, f64)> = (1..=6).map(|k| (k, given.unit(k).unwrap())).collect();
    let found = Learning::fitted(&timed).unwrap();
    near(found.first(), 100.0, 1e-9);
    near(found.curve().slope(), 0.85, 1e-12);
}

#[test]
fn material_and_rates_are_the_worked_ones() {
    // One sheet of 1.22 x 2.44 m at 42, 1.2 m2 kept at half its worth: by hand.
    near(
        net_material(&[(42.0, 1.22 * 2.44)], 1.2, 0.0, 0.5, 0.0).unwrap(),
        33.5345,
        5e-5,
    );
    // IAS 2 illustration: 1 000 000 over 400 000 h is 2.50; 402 000 h worked apply 1 005 000, 25 000 more than the 980 000 spent.
    let rate = absorption_rate(1e6, 4e5).unwrap();
    near(rate, 2.5, 1e-12);
    near(rate * 402_000.0 - 980_000.0, 25_000.0, 1e-6);
    // Problem of a manufacturing text (its answer computed): 150 000 over four years at 15 %, 2080 h a year.
    let yearly = capital_recovery(150_000.0, 0.0, 0.15, 4.0).unwrap();
    near(yearly / 150_000.0, 0.350_265, 5e-7);
    let hour = machine_rate(yearly, 0.0, 2080.0, 0.0, 0.0).unwrap();
    near(hour, 25.2595, 5e-5);
    near(hour * 1.35, 34.1004, 5e-5);
    near(hour * (1.0 + 2.3 / 6.5), 34.1975, 5.1e-5);
    // Without interest it is the price over the years; with very little it tends there.
    near(
        capital_recovery(1200.0, 200.0, 0.0, 5.0).unwrap(),
        200.0,
        1e-9,
    );
    near(
        capital_recovery(1200.0, 200.0, 1e-12, 5.0).unwrap(),
        200.0,
        1e-6,
    );
    // ILO, Introduction to Work Study: allowance on time worked or on the shift, 15 %: 2.3 % apart.
    let worked = standard_time(60.0, 1.0, 0.15).unwrap();
    near(60.0 / (1.0 - 0.15) / worked - 1.0, 0.023, 5e-4);
}

#[test]
fn rework_is_the_worked_one() {
    // By hand: q = 0.1, two tries to a blank, blank 8, try 12.
    let good = bounded(0.1, 2, 8.0, 12.0).unwrap();
    near(good.cost, 21.4141, 5e-5);
    near(good.rework, 1.4141, 5e-5);
    // Without a bound the geometric law: mean 1/(1-q), variance q/(1-q)^2.
    let (mean, variance) = unbounded(0.2, 1.0, 1.0).unwrap();
    near(mean, 1.25, 1e-12);
    near(variance, 0.3125, 1e-12);
    // Rolled yield of a quality text: 10 000 parts through defect rates of 5, 8 and 10 %: 7866 without any.
    near(10_000.0 * 0.95 * 0.92 * 0.90, 7866.0, 0.5);
    // One good part at q = 0.1 with 95 %: two blanks, 1 - 0.01; four parts with 95 %: six, since P(Bin(5, 0.9) >= 4) = 0.9185 and P(Bin(6, 0.9) >= 4) = 0.98415.
    assert_eq!(spares(1, 0.1, 0.95).unwrap(), 2);
    assert_eq!(spares(4, 0.1, 0.9).unwrap(), 5);
    assert_eq!(spares(4, 0.1, 0.95).unwrap(), 6);
    assert_eq!(spares(3, 0.0, 0.99).unwrap(), 3);
    // Jeffreys: no failure in nine gives 0.05.
    near(jeffreys_mean(0, 9), 0.05, 1e-12);
}

#[test]
fn margin_and_markup_are_the_tables_pairs() {
    // Any text of pricing: 25 % markup is 20 % margin, 50 is 33.33, 100 is 50.
    for (markup, margin) in [(0.25, 0.2), (0.5, 0.3333), (1.0, 0.5)] {
        near(Earning::Markup { share: markup }.margin(), margin, 5e-5);
        near(
            Earning::Margin {
                share: Earning::Markup { share: markup }.margin(),
            }
            .markup(),
            markup,
            1e-12,
        );
    }
    // 40 % less a discount of 10 % leaves 33.33 %.
    let terms = Terms {
        discount: 0.1,
        ..Terms::plain(
            Currency::named("XTS").unwrap(),
            Earning::Margin { share: 0.4 },
        )
    };
    let job = estimate(&of_lines(&[(Group::Labour, 600.0)]), &terms, None).unwrap();
    assert_eq!(job.price_net.minor(), 90_000);
    near(job.margin_left.unwrap(), 0.3333, 5e-5);
}

fn of_lines(lines: &[(Group, f64)]) -> Bill {
    Bill {
        lines: lines
            .iter()
            .map(|&(group, cost)| Line::new("line", group, 1.0, "", cost).unwrap())
            .collect(),
        attended_s: 0.0,
        rework: 0.0,
    }
}

#[test]
fn tax_is_rounded_as_the_shop_says() {
    // UK Notice 700, 17.5: by line or on the total, both lawful. Three lines of 0.99 at 7.5 %: 0.21 by line, 0.22 on 2.97.
    let bill = of_lines(&[
        (Group::Material, 0.99),
        (Group::Labour, 0.99),
        (Group::Outside, 0.99),
    ]);
    let terms = |by| Terms {
        tax: Tax {
            rate: 0.075,
            exempt: vec![],
            by,
        },
        ..Terms::plain(
            Currency::named("XTS").unwrap(),
            Earning::Markup { share: 0.0 },
        )
    };
    for (by, tax) in [(TaxBy::Line, 21), (TaxBy::Total, 22)] {
        let job = estimate(&bill, &terms(by), None).unwrap();
        assert_eq!((job.price_net.minor(), job.tax.minor()), (297, tax));
        assert_eq!(
            job.price_lines
                .iter()
                .map(|line| line.tax.minor())
                .sum::<i64>(),
            tax
        );
    }
    // Tax inside a gross price at 20 % is one sixth.
    let net = Money::from_minor(10_000, Currency::named("XTS").unwrap());
    let terms = Terms {
        tax: Tax {
            rate: 0.2,
            exempt: vec![],
            by: TaxBy::Total,
        },
        ..Terms::plain(net.currency(), Earning::Markup { share: 0.0 })
    };
    let job = estimate(&of_lines(&[(Group::Labour, 100.0)]), &terms, None).unwrap();
    near(job.tax.major() / job.price_gross.major(), 1.0 / 6.0, 1e-12);
}
