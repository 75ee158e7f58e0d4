//! Bad input to climates, cures, joints and catalogues: typed errors; "will not cure here" is an answer.

use mountwright::Error;
use mountwright::bond::{
    Catalogue, Clock, Conditions, Cure, Fit, JointAsk, Kinetics, Laid, Load, Resin, Seam, Shift,
    cure_of, exotherm::pot_life, joint, rank,
};
use mountwright::climate::{Air, Climate};
use proptest::prelude::*;

const NASTY: [f64; 7] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    -1.0,
    0.0,
    1e300,
    -1e300,
];

fn is_range<T>(answer: &Result<T, Error>) -> bool {
    matches!(answer, Err(Error::OutOfRange { .. }))
}

fn is_shape<T>(answer: &Result<T, Error>) -> bool {
    matches!(answer, Err(Error::Shape { .. }))
}

#[test]
fn climates_that_cannot_be_are_refused() {
    for x in NASTY {
        assert!(is_range(&Climate::constant(x, 0.5)), "{x} K");
    }
    for x in [f64::NAN, -0.01, 1.01, 50.0] {
        assert!(is_range(&Climate::constant(293.0, x)), "humidity {x}");
    }
    let mut hours = [293.0; 24];
    hours[7] = f64::NAN;
    let message = Climate::daily(&hours, &[0.5; 24]).unwrap_err().to_string();
    assert!(message.contains("temperature_k[7]"), "{message}");
    // Time that stands still or runs backwards, lists of different lengths, no list.
    let two = [293.0; 2];
    let half = [0.5; 2];
    assert!(is_shape(&Climate::from_history(&[0.0, 0.0], &two, &half)));
    assert!(is_shape(&Climate::from_history(&[0.0, -1.0], &two, &half)));
    assert!(is_shape(&Climate::from_history(&[0.0], &two, &half)));
    assert!(is_shape(&Climate::from_history(&[], &[], &[])));
    assert!(is_range(&Climate::from_history(
        &[0.0, f64::NAN],
        &two,
        &half
    )));
}

#[test]
fn cures_that_cannot_be_are_refused() {
    for x in NASTY {
        assert!(is_range(&Cure::fixed("x", 60.0, x, 60.0)), "{x} s");
        assert!(is_range(&Cure::drying("x", x, 40e3)), "{x} min");
        assert!(is_range(&Shift::new(&[(x, 60.0)], 60e3)), "{x} K");
    }
    for x in [f64::NAN, f64::INFINITY, -1.0, 1e9] {
        assert!(is_range(&Cure::drying("x", 30.0, x)), "{x} J/mol");
        assert!(
            is_range(&cure_of("epoxy-slow").unwrap().scaled(x)),
            "factor {x}"
        );
    }
    assert!(is_shape(&Shift::new(&[], 60e3)));
    assert!(is_shape(&Shift::new(&[(300.0, 60.0), (290.0, 90.0)], 60e3)));
    assert!(is_shape(&Fit::new(&[(300.0, 60.0), (300.0, 90.0)])));
    assert!(is_shape(&Fit::new(&[])));
    let air = Climate::constant(293.0, 0.5).unwrap();
    for x in [f64::NAN, f64::INFINITY, 1e300] {
        assert!(is_range(&cure_of("epoxy-slow").unwrap().ready_at(x, &air)));
    }
    let hot = Clock::Cooling {
        time_constant_s: 40.0,
        applied_k: 400.0,
        set_k: 450.0,
    };
    assert!(is_range(&hot.checked()));
}

#[test]
fn what_will_not_cure_is_an_answer() {
    let ready = |name: &str, kelvin: f64, humidity: f64| {
        let air = Climate::constant(kelvin, humidity).unwrap();
        cure_of(name).unwrap().ready_at(0.0, &air).unwrap()
    };
    let cold = ready("epoxy-30min", 273.15, 0.5);
    assert!(cold.handling_s.is_none() && cold.full_s.is_none());
    assert!(cold.never.unwrap().contains("warm"));
    // A moisture cure in bone-dry air.
    let dry = ready("silicone-neutral", 296.15, 0.0);
    assert!(dry.full_s.is_none() && dry.never.is_some());
    // Hot melt in a place hotter than it sets.
    assert!(ready("hot-melt-eva", 380.0, 0.5).never.is_some());
    // Cold nights only slow it: the day cures it.
    let mut hours = [275.0; 24];
    hours[10..16].fill(295.0);
    let shop = Climate::daily(&hours, &[0.5; 24]).unwrap();
    let slow = cure_of("epoxy-30min")
        .unwrap()
        .ready_at(0.0, &shop)
        .unwrap();
    assert!(slow.handling_s.unwrap() > 10.0 * 3600.0 && slow.never.is_none());
}

#[test]
fn air_colder_than_a_cure_works_in_is_refused_where_times_are_asked() {
    let air = |temperature_k, humidity| Air {
        temperature_k,
        humidity,
    };
    for name in Catalogue::standard().unwrap().names() {
        let cure = cure_of(name).unwrap();
        let cold = cure.times_at(air(cure.minimum_k() - 0.1, 0.5));
        assert!(is_range(&cold), "{name}");
        // The same air as a climate is an answer: never.
        let climate = Climate::constant(cure.minimum_k() - 0.1, 0.5).unwrap();
        let ready = cure.ready_at(0.0, &climate).unwrap();
        assert!(
            ready.handling_s.is_none() && ready.never.is_some(),
            "{name}"
        );
        assert!(is_range(&cure.times_at(air(296.15, 1.01))));
        assert!(is_range(&cure.open_left(0.0, f64::NAN, &climate)));
        assert!(is_range(&cure.open_for(f64::INFINITY, &climate)));
    }
}

#[test]
fn pots_and_resins_that_cannot_be_are_refused() {
    for x in NASTY {
        assert!(is_range(&pot_life("epoxy-slow", x, 296.15)), "{x} kg");
        assert!(is_range(&pot_life("epoxy-slow", 0.1, x)), "{x} K");
        assert!(x == 0.0 || is_range(&Resin::published("hein-2018").unwrap().capped(x)));
    }
    assert!(matches!(
        Resin::published("hein"),
        Err(Error::Unknown { .. })
    ));
    let unknown = Resin::published("karkanas-1998").unwrap().capped(20.0);
    assert!(matches!(unknown, Err(Error::Impossible { .. })));
    let air = Climate::constant(393.15, 0.5).unwrap();
    let resin = Resin::published("hein-2018").unwrap();
    // Instants that fall: a history running backwards.
    assert!(is_range(&resin.path(0.0, &[0.0, 10.0, 5.0], &air)));
    assert!(is_range(&resin.path(1.5, &[0.0, 10.0], &air)));
}

#[test]
fn joints_that_cannot_be_are_refused() {
    let good = JointAsk::film("abs", "abs", 0.01);
    for x in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e300] {
        let mut ask = good.clone();
        ask.conditions.gap_m = Some(x);
        assert!(is_range(&joint(&ask)), "gap {x}");
        let mut ask = good.clone();
        ask.conditions.overlap_m = x;
        assert!(is_range(&joint(&ask)), "overlap {x}");
        let mut ask = good.clone();
        ask.laid = Laid::Film { area_m2: x };
        assert!(is_range(&joint(&ask)), "area {x}");
        let mut ask = good.clone();
        ask.conditions.service_k = x;
        assert!(is_range(&joint(&ask)), "service {x}");
        let mut ask = good.clone();
        ask.conditions.closing_s = Some(x);
        assert!(is_range(&joint(&ask)), "closing {x}");
        let mut ask = good.clone();
        ask.laid = Laid::Bead {
            length_m: 0.1,
            radius_m: x,
        };
        assert!(is_range(&joint(&ask)), "radius {x}");
    }
    let mut ask = good.clone();
    ask.conditions.shop.humidity = 1.2;
    assert!(is_range(&joint(&ask)));
    let mut ask = good.clone();
    ask.count = 0;
    assert!(is_range(&joint(&ask)));
    let mut ask = good.clone();
    ask.adhesive = Some("epoxy-30mins".into());
    let Err(Error::Unknown { near, .. }) = joint(&ask) else {
        panic!("an unknown adhesive was found");
    };
    assert_eq!(near[0], "epoxy-30min");
    let Err(Error::Unknown { kind, near, .. }) = rank("abss", "abs", &Conditions::default()) else {
        panic!("an unknown face was found");
    };
    assert_eq!((kind.as_str(), near[0].as_str()), ("substrate", "abs"));
    // Nothing holds hot, untreated polyethylene.
    let mut ask = JointAsk::film("hdpe", "hdpe", 0.01);
    ask.conditions.service_k = 390.0;
    ask.conditions.load = Load::Sustained;
    assert!(matches!(joint(&ask), Err(Error::Impossible { .. })));
}

#[test]
fn kinetics_that_cannot_be_are_refused() {
    for x in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
        assert!(is_range(&Kinetics::new([x, 1.0], [5e4, 5e4], [1.0; 3])));
        assert!(is_range(&Kinetics::new([1.0, 1.0], [x, 5e4], [1.0; 3])));
        assert!(is_range(&Kinetics::new(
            [1.0, 1.0],
            [5e4, 5e4],
            [1.0, x, 1.0]
        )));
    }
    let air = Climate::constant(293.0, 0.5).unwrap();
    let resin = Kinetics::room_temperature_example();
    for x in [f64::NAN, -0.1, 1.1] {
        assert!(is_range(&resin.conversion(x, 0.0, 10.0, &air)));
        assert!(is_range(&resin.reaches(x, 0.0, &air)));
    }
    for x in [f64::NAN, -1.0, f64::INFINITY] {
        assert!(is_range(&resin.conversion(0.0, 0.0, x, &air)));
    }
    // Nothing starts it: it never arrives, and says so at once.
    let dead = Kinetics::new([0.0, 1e10], [0.0, 5e4], [1.0, 1.0, 1.0]).unwrap();
    assert_eq!(dead.reaches(0.5, 0.0, &air).unwrap(), None);
    // As fast as the bounds allow: done at once, no hang.
    let wild = Kinetics::new([1e30, 1e30], [0.0, 0.0], [1.0, 1.0, 1.0]).unwrap();
    assert!(wild.conversion(0.0, 0.0, 1e6, &air).unwrap() > 0.999);
}

const GOOD: &str = include_str!("../../src/bond/catalogue.toml");

#[test]
fn a_faulty_catalogue_names_the_line_and_the_key() {
    let fault = |from: &str, to: &str, field: &str| {
        let text = GOOD.replacen(from, to, 1);
        assert_ne!(text, GOOD, "{from}");
        let Err(Error::Job { problems, .. }) = Catalogue::parse("mine.toml", &text) else {
            panic!("{to} was taken");
        };
        let found = problems.iter().find(|p| p.field.contains(field));
        assert!(
            found.is_some_and(|p| p.line.is_some()),
            "{field}: {problems:?}"
        );
    };
    fault(
        "density = { value = 1050",
        "density = { value = 9050",
        "ca-ethyl.density",
    );
    fault("unit = \"kg/m3\"", "unit = \"g/m3\"", "ca-ethyl.density");
    fault("source = \"ca-sheet\"", "source = \"a friend\"", "ca-ethyl");
    fault("score = 3", "score = 4", "score");
    fault("role = \"general\"", "role = \"generous\"", "role");
    fault(
        "[adhesive.ca-ethyl.suits]\nexpanded-pvc",
        "[adhesive.ca-ethyl.suits]\nexpandedpvc",
        "suits",
    );
    fault(
        "law = \"shifted\"\ntemperature_k = [296.15]",
        "law = \"shifted\"\ntemperature_k = []",
        "open",
    );
    fault(
        "pp = \"primer-polyolefin\"",
        "pp = \"primer-pvc\"",
        "primer.pp",
    );
    fault("batch_limit", "batch_limits", "batch_limits");
}

proptest! {
    #[test]
    fn any_damage_to_a_catalogue_is_read_or_refused(at in 0..GOOD.len(), cut in 0..400_usize) {
        let text: String = GOOD.char_indices().filter(|(i, _)| *i < at || *i >= at + cut).map(|(_, c)| c).collect();
        if let Err(e) = Catalogue::parse("damaged", &text) {
            prop_assert!(matches!(e, Error::Job { .. }), "{}", e);
        }
    }

    #[test]
    fn any_seam_is_answered_or_refused(gap in proptest::option::of(any::<f64>()), overlap in any::<f64>(), start in any::<f64>()) {
        let air = Climate::constant(293.0, 0.5).unwrap();
        for glue in Catalogue::standard().unwrap().adhesive.values() {
            let seam = Seam { gap_m: gap, overlap_m: overlap, substrates: vec!["no such face".into()] };
            match glue.cure(&seam).and_then(|c| c.ready_at(start, &air)) {
                Ok(ready) => prop_assert!(ready.open_s.is_finite() && ready.full_s.is_none_or(f64::is_finite)),
                Err(e) => prop_assert!(matches!(e, Error::OutOfRange { .. }), "{}", e),
            }
        }
    }
}
