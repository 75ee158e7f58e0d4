//! Finishes against what the trade says that they take: common practice, no source.

use mountwright::finish::{Finish, FinishAsk, Kind, finish};

/// One strap of a pillar pod: about 200 mm x 70 mm, its edges, one face finished.
fn strap(kind: Kind) -> Finish {
    finish(&FinishAsk::new(kind, 0.014, 0.54, "expanded-pvc")).unwrap()
}

/// Hands-on hours of a pair, steps for the batch once, and elapsed hours where the two go through the steps side by side.
fn pair_hours(kind: Kind) -> (f64, f64) {
    let one = strap(kind);
    let hands: f64 = one
        .steps
        .iter()
        .map(|s| s.attended.likely() * if s.once { 1.0 } else { 2.0 })
        .sum();
    (hands / 3600.0, (hands + one.waiting_s.unwrap()) / 3600.0)
}

/// A pair of bare straps is one to three hours and a wrapped pair about half a day in all, so the wrap takes 1.5 to 4.5 h elapsed.
#[test]
fn a_wrapped_pair_is_about_half_a_day() {
    for kind in [Kind::VinylWrap, Kind::FabricWrap] {
        let (hands, elapsed) = pair_hours(kind);
        assert!(hands > 0.7 && hands < 3.0, "{hands} h hands-on");
        assert!(elapsed > 1.5 && elapsed < 4.5, "{elapsed} h elapsed");
    }
}

/// Filled and painted is one to two days: over a night, under two whole days.
#[test]
fn a_painted_pair_is_one_to_two_days() {
    let (hands, elapsed) = pair_hours(Kind::FilledPainted);
    assert!(hands > 1.5 && hands < 6.0, "{hands} h hands-on");
    assert!(elapsed > 16.0 && elapsed < 48.0, "{elapsed} h elapsed");
}

/// Bare parts only have their edges broken: minutes. Texture is done in a day.
#[test]
fn bare_takes_minutes_and_texture_a_day() {
    let (hands, elapsed) = pair_hours(Kind::Bare);
    assert!(hands < 0.25 && (elapsed - hands).abs() < 1e-12);
    let (_, elapsed) = pair_hours(Kind::Textured);
    assert!(elapsed > 2.0 && elapsed < 9.0, "{elapsed} h elapsed");
}

/// A wrap adds 0.5 to 1.5 mm (common practice, no source).
#[test]
fn a_wrap_adds_half_to_one_and_a_half_millimetres() {
    for kind in [Kind::VinylWrap, Kind::FabricWrap] {
        let wrap = strap(kind);
        for s in [&wrap.adds_face_m, &wrap.adds_edge_m] {
            assert!(s.low >= 0.5e-3 && s.high <= 1.5e-3);
        }
    }
}

/// A cold shop dries slower by more than "half the speed for 10 K" for what reacts, less for what evaporates (40 and 60 kJ/mol against 51).
#[test]
fn a_cold_shop_dries_slower() {
    let mut ask = FinishAsk::new(Kind::FilledPainted, 0.014, 0.54, "abs");
    let warm = finish(&ask).unwrap();
    ask.air.temperature_k -= 5.0;
    let cold = finish(&ask).unwrap();
    let ratio = cold.waiting_s.unwrap() / warm.waiting_s.unwrap();
    assert!(ratio > 1.25 && ratio < 1.65, "{ratio}");
    // Below the clear coat's least temperature nothing is promised.
    ask.air.temperature_k = 283.0;
    assert!(finish(&ask).unwrap().waiting_s.is_none());
}

/// Windows close with the drying: Arrhenius at 40 kJ/mol (evaporation) for primers, as the adhesive catalogue has it; the
/// catalogue's own windows are common practice, no source.
#[test]
fn the_next_coat_comes_before_the_primer_or_glue_has_closed() {
    let at = |kind, celsius: f64| {
        let mut ask = FinishAsk::new(kind, 0.02, 0.5, "abs");
        ask.air.temperature_k = 273.15 + celsius;
        finish(&ask).unwrap()
    };
    let window = |kind, celsius, name: &str| {
        let found = at(kind, celsius);
        let step = found.steps.iter().find(|s| s.name.contains(name)).unwrap();
        step.max_wait_s.unwrap()
    };
    // Primer: open for half an hour at 23 °C, dry after a quarter.
    let warm = window(Kind::Textured, 23.0, "first coat");
    assert!(warm > 0.0 && warm < 1800.0, "{warm}");
    let hot = window(Kind::Textured, 40.0, "first coat");
    let speed = f64::exp(40e3 / 8.314_462_618 * (1.0 / 296.15 - 1.0 / 313.15));
    assert!((warm / hot / speed - 1.0).abs() < 1e-3, "{warm} {hot}");
    // Wrap glue: an hour open less twenty minutes of drying.
    assert!((window(Kind::VinylWrap, 23.0, "lay") - 2400.0).abs() < 1.0);
    assert!(window(Kind::VinylWrap, 40.0, "lay") < 1200.0);
    assert!((window(Kind::VinylWrap, 15.0, "lay") - 2400.0).abs() < 1.0);
    // Colour to clear: a day, less in a hot shop, never more in a cold one.
    let clear = |celsius| window(Kind::FilledPainted, celsius, "clear coats");
    assert!((clear(23.0) - 86_400.0).abs() < 1.0 && (clear(18.0) - 86_400.0).abs() < 1.0);
    assert!(clear(35.0) < 86_400.0 / 1.5);
}

#[test]
fn what_never_dries_says_why_and_what_lies_beneath_counts() {
    let mut cold = FinishAsk::new(Kind::VinylWrap, 0.02, 0.5, "abs");
    cold.air.temperature_k = 278.15;
    let found = finish(&cold).unwrap();
    assert!(found.waiting_s.is_none());
    assert!(
        found
            .notes
            .iter()
            .any(|n| n.about.contains("glue") && n.text.contains("°C"))
    );
    // The flexible filler that takes the place of polyester on these sheets stands less than the paint.
    let limit = |sheet: &str| {
        let found = finish(&FinishAsk::new(Kind::FilledPainted, 0.02, 0.5, sheet)).unwrap();
        let primed: Vec<bool> = (found.steps.iter())
            .filter(|s| s.name.contains("fill"))
            .map(|s| s.name.contains("primer"))
            .collect();
        (found.limit_k.unwrap().value, primed.contains(&true))
    };
    let filler = mountwright::bond::Catalogue::standard().unwrap();
    let filler = filler.adhesive("filler-flexible").unwrap();
    assert!((limit("hips").0 - filler.service_temperature.value).abs() < 1e-9);
    assert!(limit("abs").0 > limit("hips").0 && !limit("abs").1);
    assert!(limit("pp").1 && limit("hdpe").1);
}
