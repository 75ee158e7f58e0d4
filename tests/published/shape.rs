//! Straps, bends and draws against handbook values and against independent numerical integration.

#![allow(clippy::unwrap_used)] // a failed helper is a failed test

use mountwright::shape::bend::inner_length_m;
use mountwright::shape::strap::{Leg, Strap, StrapAsk, strap};

fn ask(foot_mm: f64) -> StrapAsk {
    let leg = Leg {
        foot_m: foot_mm * 1e-3,
        centre_height_m: 0.025,
        tab_m: 0.020,
        end_width_m: 0.025,
        tilt_rad: 0.0,
    };
    StrapAsk::new("strap", 0.003, 0.025, leg, leg)
}

fn made(foot_mm: f64) -> Strap {
    strap(&ask(foot_mm)).unwrap()
}

/// The neutral axis of one leg as 20 000 chords, drawn from its geometry alone (circle, tangent point, circle).
fn arc_length_by_chords(a: f64, b: f64, foot: f64, drop: f64, tab: f64) -> f64 {
    // The flank leaves the body where the line to the foot circle touches both; found by bisection on
    // the slope at which the line tangent to the body passes the foot's centre at distance b.
    let miss = |slope: f64| {
        let (sin, cos) = f64::sin_cos(slope);
        // Signed distance of the foot's centre (foot, -drop) below the tangent line at angle `slope`.
        a - (foot * sin - drop * cos) + b
    };
    let (mut low, mut high) = (1e-6, std::f64::consts::PI);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if miss(middle) > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    let slope = f64::midpoint(low, high);
    let n = 20_000;
    let mut points = vec![];
    for i in 0..=n {
        let angle = slope * f64::from(i) / f64::from(n);
        points.push((a * angle.sin(), a * angle.cos()));
    }
    for i in 0..=n {
        let angle = slope * (1.0 - f64::from(i) / f64::from(n));
        points.push((foot - b * angle.sin(), -drop - b * angle.cos()));
    }
    points.push((foot + tab, -drop - b));
    points
        .windows(2)
        .map(|p| (p[1].0 - p[0].0).hypot(p[1].1 - p[0].1))
        .sum()
}

#[test]
fn saddle_on_a_plane_has_the_worked_length() {
    // Worked values of the tangent construction, R 25, t 3, K 0.5, r 6, c 25, T 20 mm, checked by summing
    // 40 000 chords (own derivation, computed apart from this library); printed to 0.01 mm and 0.01°.
    for (foot, flank, wrap_deg, length) in
        [(34.0, 16.00, 90.0, 178.81), (45.0, 33.54, 64.96, 184.18)]
    {
        let s = made(foot);
        assert!(
            (s.left.flank_m * 1e3 - flank).abs() < 0.005,
            "{}",
            s.left.flank_m
        );
        assert!((s.left.wrap_rad.to_degrees() - wrap_deg).abs() < 0.005);
        assert!(
            (s.developed_length_m * 1e3 - length).abs() < 0.005,
            "{}",
            s.developed_length_m
        );
    }
}

#[test]
fn developed_length_is_the_arc_length_of_the_neutral_axis() {
    for foot in [34.0, 38.5, 45.0, 70.0, 150.0] {
        let by_chords = 2.0 * arc_length_by_chords(0.0265, 0.0075, foot * 1e-3, 0.016, 0.020);
        // 20 000 chords of an arc fall short by less than 1e-9 of its length.
        assert!((made(foot).developed_length_m - by_chords).abs() < 1e-9);
    }
}

#[test]
fn bend_allowances_are_those_of_the_handbooks() {
    let quarter = std::f64::consts::FRAC_PI_2;
    // DIN 6935 (from memory): k = 0.65 + 0.5 log10(r/s), allowance a (r + k s/2). r 6, s 3: 11.311 mm.
    let k = 0.65 + 0.5 * 2.0_f64.log10();
    assert!((inner_length_m(quarter, 6.0, 3.0, k / 2.0) - 11.311).abs() < 5e-4);
    // Machinery's Handbook, 90° (from memory): 1.57 R + 0.55 T soft brass, 0.64 T soft steel, 0.71 T hard.
    for (neutral, factor) in [(0.350, 0.55), (0.407, 0.64), (0.452, 0.71)] {
        let length = inner_length_m(quarter, 6.0, 3.0, neutral);
        // Both factors are printed to two places.
        assert!((length - (1.57 * 6.0 + factor * 3.0)).abs() < 0.005 * (6.0 + 3.0));
    }
}
