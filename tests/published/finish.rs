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
