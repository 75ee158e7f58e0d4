//! Bad input to finishes.

use mountwright::Error;
use mountwright::finish::{Catalogue, FinishAsk, Kind, finish};

#[test]
fn finishes_that_cannot_be_are_refused() {
    for kind in Kind::ALL {
        let good = FinishAsk::new(kind, 0.02, 0.5, "abs");
        assert!(finish(&good).is_ok());
        for x in [f64::NAN, f64::INFINITY, -1.0, 1e300] {
            let ask = FinishAsk::new(kind, x, 0.5, "abs");
            assert!(
                matches!(finish(&ask), Err(Error::OutOfRange { .. })),
                "area {x}"
            );
            let ask = FinishAsk::new(kind, 0.02, x, "abs");
            assert!(
                matches!(finish(&ask), Err(Error::OutOfRange { .. })),
                "edge {x}"
            );
            let mut ask = good.clone();
            ask.air.temperature_k = x;
            assert!(
                matches!(finish(&ask), Err(Error::OutOfRange { .. })),
                "air {x}"
            );
        }
        let ask = FinishAsk::new(kind, 0.02, 0.5, "abss");
        let Err(Error::Unknown { near, .. }) = finish(&ask) else {
            panic!("an unknown sheet was taken");
        };
        assert_eq!(near[0], "abs");
    }
}

#[test]
fn a_faulty_table_names_the_line_and_the_key() {
    let good = include_str!("../../src/finish/catalogue.toml");
    for (from, to, field) in [
        ("unit = \"s/m2\"", "unit = \"s\"", "per_area"),
        ("[finish.bare]", "[finish.naked]", "finish.naked"),
        ("source = \"trade\"", "source = \"hearsay\"", "finish"),
        ("\nonce = true", "\nonce = 1", "once"),
    ] {
        let text = good.replacen(from, to, 1);
        let Err(Error::Job { problems, .. }) = Catalogue::parse("mine.toml", &text) else {
            panic!("{to} was taken");
        };
        let found = problems
            .iter()
            .any(|p| p.field.contains(field) && p.line.is_some());
        assert!(found, "{field}: {problems:?}");
    }
}
