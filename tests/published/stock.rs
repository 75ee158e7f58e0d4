//! Layouts against the open packing instances under `tests/data/packing`; each file there names its papers.

use std::path::Path;

use mountwright::error::Unwatched;
use mountwright::outline::{Chain, Outline, Point};
use mountwright::stock::{Ask, Method, Part, SheetKind, Sold, Turns, lay_out};
use serde_json::Value;

/// The instances have no unit; one of theirs is a millimetre here.
const UNIT_M: f64 = 1e-3;

fn instances(file: &str) -> Vec<Value> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/packing")
        .join(file);
    let text = std::fs::read_to_string(path).unwrap();
    let data: Value = serde_json::from_str(&text).unwrap();
    let list = data["instances"].as_array().unwrap().clone();
    assert!(!list.is_empty());
    list
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn parts(instance: &Value, turns: Turns) -> Vec<Part> {
    let items = instance["items"].as_array().unwrap();
    items
        .iter()
        .enumerate()
        .map(|(i, item)| {
            let quantity = u32::try_from(item[2].as_u64().unwrap()).unwrap();
            let (w, h) = (number(&item[0]) * UNIT_M, number(&item[1]) * UNIT_M);
            Part::rectangle(format!("part {i}"), w, h, quantity, turns)
        })
        .collect()
}

/// No kerf, no trim, nothing kept: as in the papers.
fn bare(blanks: Vec<Part>, sheets: Vec<SheetKind>, effort: u64) -> Ask {
    Ask {
        kerf_m: 0.0,
        spacing_m: 0.0,
        trim_m: 0.0,
        recovery_fraction: 0.0,
        effort,
        ..Ask::new(blanks, sheets, Method::Cnc)
    }
}

/// A sheet by length whose price is its length in the instance's unit.
fn strip(instance: &Value, width: &str, length: f64) -> SheetKind {
    SheetKind {
        sold: Sold::ByLength,
        ..SheetKind::new(
            "strip",
            number(&instance[width]) * UNIT_M,
            2.0 * length * UNIT_M,
            2.0 * length,
        )
    }
}

/// Berkey and Wang 1987, Martello and Vigo 1998: the fewest sheets, as drawn and turned, where the minimum is proved.
#[test]
fn sheets_of_one_size_reach_every_proved_minimum() {
    for instance in instances("sheets_of_one_size.json") {
        let sheet = SheetKind::new(
            "sheet",
            number(&instance["sheet"][0]) * UNIT_M,
            number(&instance["sheet"][1]) * UNIT_M,
            1.0,
        );
        for (turns, key) in [
            (Turns::None, "fewest_as_drawn"),
            (Turns::Quarter, "fewest_turned"),
        ] {
            let Some(fewest) = instance[key].as_f64() else {
                continue;
            };
            let layout = lay_out(
                &bare(parts(&instance, turns), vec![sheet.clone()], 8_000_000),
                &Unwatched,
            )
            .unwrap();
            let got = layout.money.objective;
            assert!(
                (got - fewest).abs() < 1e-9,
                "{} {key}: {got}, not {fewest}",
                instance["name"]
            );
            // No layout beats a proved minimum, so neither may the bound.
            assert!(
                layout.bound <= fewest + 1e-9,
                "{} {key}: bound {}",
                instance["name"],
                layout.bound
            );
        }
    }
}

/// Hopper and Turton 2001, Hopper 2000: strips cut up without waste, so their height is exact.
#[test]
fn strips_come_near_their_exact_height() {
    let mut gaps: Vec<(String, f64)> = vec![];
    for instance in instances("strip_rectangles.json") {
        let height = number(&instance["optimum_height"]);
        let ask = bare(
            parts(&instance, Turns::Quarter),
            vec![strip(&instance, "strip_width", height)],
            2_000_000,
        );
        let layout = lay_out(&ask, &Unwatched).unwrap();
        let gap = layout.money.objective / height - 1.0;
        assert!(
            gap > -1e-9 && layout.bound <= height + 1e-9,
            "{}: {gap}",
            instance["name"]
        );
        gaps.push((instance["set"].as_str().unwrap().to_string(), gap));
    }
    // The best rules of a common open packer reach 3.3 % and 5.5 % on these; a short search must beat them.
    for (set, most) in [("HT2001a", 0.025), ("HOPPER", 0.05)] {
        let of: Vec<f64> = gaps.iter().filter(|g| g.0 == set).map(|g| g.1).collect();
        let mean = of.iter().sum::<f64>() / of.len() as f64;
        assert!(mean <= most, "{set}: mean gap {mean}");
    }
}

/// Ortmann, Ntene, van Vuuren 2010, sets Nice and Path: cut up without waste, so the optimum is the parts' area.
#[test]
fn sheets_of_several_sizes_are_solved_more_often_than_not() {
    let mut solved = 0;
    for instance in instances("sheets_of_several_sizes.json") {
        let sheets = instance["bins"].as_array().unwrap().iter().enumerate();
        let sheets = sheets
            .map(|(i, b)| SheetKind {
                in_stock: b["stock"].as_u64().map(|n| u32::try_from(n).unwrap()),
                ..SheetKind::new(
                    format!("sheet {i}"),
                    number(&b["width"]) * UNIT_M,
                    number(&b["height"]) * UNIT_M,
                    number(&b["price"]),
                )
            })
            .collect();
        let layout = lay_out(
            &bare(parts(&instance, Turns::Quarter), sheets, 8_000_000),
            &Unwatched,
        )
        .unwrap();
        let optimum = number(&instance["optimum_price"]);
        assert!(
            layout.money.objective >= optimum * (1.0 - 1e-9)
                && layout.bound <= optimum * (1.0 + 1e-9)
        );
        solved += usize::from(layout.proved);
    }
    assert!(solved >= 4, "{solved} of 6");
}

/// Irregular strips of the collection named in the file: no layout is shorter than the best one published in 2025 by more than
/// the last printed digit, and a short search comes within a quarter of it.
#[test]
fn outlines_stay_between_the_best_known_length_and_a_quarter_more() {
    for instance in instances("irregular.json") {
        let best = number(&instance["best_known_length"]);
        let width = number(&instance["strip_width_used_in_published_runs"]);
        let unit_m = 0.4 / width;
        let parts = instance["pieces"].as_array().unwrap().iter().enumerate();
        let parts = parts
            .map(|(i, piece)| {
                let turns = match piece["turns_deg"].as_array().unwrap().len() {
                    1 => Turns::None,
                    2 => Turns::Half,
                    _ => Turns::Quarter,
                };
                // The strip runs upwards here, so both axes change places.
                let corners = piece["outline"].as_array().unwrap().iter();
                let corners: Vec<Point> = corners
                    .map(|p| Point::new(number(&p[1]) * unit_m, number(&p[0]) * unit_m))
                    .collect();
                let outline = Outline::new(Chain::polygon(&corners), vec![]);
                let count = u32::try_from(piece["count"].as_u64().unwrap()).unwrap();
                Part::shape(format!("piece {i}"), outline, count, turns)
            })
            .collect();
        let sheet = SheetKind {
            sold: Sold::ByLength,
            ..SheetKind::new("strip", 0.4, 2.0 * best * unit_m, 2.0 * best)
        };
        let layout = lay_out(&bare(parts, vec![sheet], 1_000_000), &Unwatched).unwrap();
        let got = layout.money.objective;
        assert!(
            got > best * 0.9995 && got < best * 1.25,
            "{}: {got}",
            instance["name"]
        );
        assert!(layout.bound <= best && layout.unplaced.is_empty());
    }
}
