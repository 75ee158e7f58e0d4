//! Bad asks: a typed error or a partial layout that says what is left, never a panic and never a silent drop.

use mountwright::Error;
use mountwright::error::{Unwatched, Watch};
use mountwright::stock::{Ask, Method, Part, SheetKind, Turns, lay_out};

fn sheet() -> SheetKind {
    SheetKind::new("sheet", 1.22, 2.44, 60.0)
}

fn ask(blanks: Vec<Part>) -> Ask {
    Ask {
        effort: 50_000,
        ..Ask::new(blanks, vec![sheet()], Method::HandRouter)
    }
}

fn one(w: f64, h: f64) -> Ask {
    ask(vec![Part::rectangle("panel", w, h, 1, Turns::Quarter)])
}

#[test]
fn impossible_numbers_are_refused() {
    for bad in [
        0.0,
        -0.1,
        f64::NAN,
        f64::INFINITY,
        -f64::INFINITY,
        1e300,
        1e-9,
    ] {
        for ask in [one(bad, 0.1), one(0.1, bad)] {
            let error = lay_out(&ask, &Unwatched).unwrap_err();
            assert!(
                matches!(error, Error::OutOfRange { .. } | Error::Shape { .. }),
                "{bad}: {error}"
            );
        }
        let mut stock = one(0.1, 0.1);
        stock.sheets[0].width_m = bad;
        assert!(matches!(
            lay_out(&stock, &Unwatched).unwrap_err(),
            Error::OutOfRange { .. }
        ));
    }
    for bad in [-1.0, f64::NAN, f64::INFINITY] {
        let mut asks: Vec<Ask> = (0..8).map(|_| one(0.1, 0.1)).collect();
        asks[0].kerf_m = bad;
        asks[1].trim_m = bad;
        asks[2].spacing_m = bad;
        asks[3].recovery_fraction = bad;
        asks[4].cutting_rate_per_m = bad;
        asks[5].sheets[0].price = bad;
        asks[6].sheets[0].cut_fee = bad;
        asks[7].keep_least_m.0 = bad;
        for ask in asks {
            assert!(matches!(
                lay_out(&ask, &Unwatched).unwrap_err(),
                Error::OutOfRange { .. }
            ));
        }
    }
}

#[test]
fn names_must_be_unique_and_parts_given() {
    assert!(matches!(
        lay_out(&ask(vec![]), &Unwatched),
        Err(Error::Shape { .. })
    ));
    let twice = ask(vec![
        Part::rectangle("a", 0.1, 0.1, 1, Turns::None),
        Part::rectangle("a", 0.2, 0.1, 1, Turns::None),
    ]);
    assert!(matches!(
        lay_out(&twice, &Unwatched),
        Err(Error::Shape { .. })
    ));
    let none = ask(vec![Part::rectangle("a", 0.1, 0.1, 0, Turns::None)]);
    assert!(matches!(
        lay_out(&none, &Unwatched),
        Err(Error::OutOfRange { .. })
    ));
}

#[test]
fn a_part_larger_than_every_sheet_is_named() {
    let error = lay_out(&one(3.0, 0.1), &Unwatched).unwrap_err();
    assert!(
        matches!(&error, Error::Impossible { why, .. } if why.contains("panel") && why.contains("sheet")),
        "{error}"
    );
    let both = ask(vec![
        Part::rectangle("too long", 3.0, 0.1, 2, Turns::Quarter),
        Part::rectangle("short", 0.3, 0.1, 2, Turns::Quarter),
    ]);
    let layout = lay_out(&both, &Unwatched).unwrap();
    assert_eq!(layout.unplaced.len(), 1);
    assert_eq!(
        (layout.unplaced[0].part.as_str(), layout.unplaced[0].copies),
        ("too long", 2)
    );
    assert!(
        layout.unplaced[0].reason.contains("3000.0 x 100.0 mm")
            && layout.unplaced[0].reason.contains("sheet")
    );
}

#[test]
fn too_little_stock_leaves_parts_and_says_which() {
    let mut ask = ask(vec![Part::rectangle("panel", 0.7, 0.7, 9, Turns::None)]);
    ask.sheets[0].in_stock = Some(2);
    let layout = lay_out(&ask, &Unwatched).unwrap();
    let placed: usize = layout.sheets_used.iter().map(|u| u.placements.len()).sum();
    assert_eq!((placed, layout.unplaced[0].copies), (6, 3));
    assert_eq!(layout.gap_fraction, None);
    let nothing = Ask {
        sheets: vec![],
        ..one(0.1, 0.1)
    };
    assert!(matches!(
        lay_out(&nothing, &Unwatched),
        Err(Error::Impossible { .. })
    ));
}

#[test]
fn ten_thousand_parts_are_laid() {
    let blanks = (0..10_000)
        .map(|i| {
            Part::rectangle(
                format!("part {i}"),
                0.02 + f64::from(i % 97) * 1e-3,
                0.03 + f64::from(i % 89) * 1e-3,
                1,
                Turns::Quarter,
            )
        })
        .collect();
    let layout = lay_out(&ask(blanks), &Unwatched).unwrap();
    let placed: usize = layout.sheets_used.iter().map(|u| u.placements.len()).sum();
    assert_eq!(placed, 10_000);
    assert!(layout.unplaced.is_empty());
}

struct Never;

impl Watch for Never {
    fn go_on(&self, _: f64) -> bool {
        false
    }
}

#[test]
fn stopping_before_the_first_layout_is_an_error() {
    assert_eq!(lay_out(&one(0.1, 0.1), &Never), Err(Error::Stopped));
}
