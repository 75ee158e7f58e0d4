//! Cure kinetics against closed forms and against worked values computed elsewhere from published parameter sets.
//!
//! The parameter sets are those of papers named beside them, as copied into a public code file; their exponents' meaning was inferred. The worked values were computed
//! independently of this library with a general stiff integrator at tight tolerance, to the digits printed here.

use mountwright::bond::Resin;
use mountwright::bond::exotherm::{Cup, pot_life};
use mountwright::bond::kinetics::{Kinetics, integrate};
use mountwright::bond::network::{Diffusion, Glass, gel_conversion};
use mountwright::climate::Climate;

fn at(celsius: f64) -> Climate {
    Climate::constant(celsius + 273.15, 0.5).unwrap()
}

/// Half of the last of six printed decimals, and the integrator's own 1e-7.
const PRINTED: f64 = 6e-7;

fn conversions(resin: &Kinetics, celsius: f64, printed: &[(f64, f64)]) {
    for (seconds, a) in printed {
        let found = resin.conversion(0.0, 0.0, *seconds, &at(celsius)).unwrap();
        assert!(
            (found - a).abs() < PRINTED,
            "{seconds} s: {found}, printed {a}"
        );
    }
}

fn reaches_s(resin: &Kinetics, a: f64, celsius: f64) -> f64 {
    resin.reaches(a, 0.0, &at(celsius)).unwrap().unwrap()
}

/// Karkanas (1998), hot-cure epoxy/amine, at 140 °C.
#[test]
fn karkanas_set() {
    let resin =
        Kinetics::new([2.6e4, 5.78e4], [74_690.0, 57_880.0], [0.449, 1.217, 1.786]).unwrap();
    let [k1, k2] = resin.constants(413.15);
    assert!((k1 - 9.377_47e-6).abs() < 5e-12 && (k2 - 2.781_57e-3).abs() < 5e-9);
    let printed = [
        (1800.0, 0.054_364),
        (3600.0, 0.515_823),
        (7200.0, 0.932_433),
        (14_400.0, 0.987_701),
    ];
    conversions(&resin, 140.0, &printed);
    assert!((reaches_s(&resin, 0.57735, 140.0) / 60.0 - 63.103).abs() < 6e-4);
}

/// Hein (2018) at 120 °C and Pantelelis (2005) at 160 °C.
#[test]
fn hein_and_pantelelis_sets() {
    let resin = Kinetics::new(
        [11.149_f64.exp(), 8.762_f64.exp()],
        [75_549.0, 50_911.0],
        [0.489, 1.549, 2.179],
    )
    .unwrap();
    let printed = [
        (1800.0, 0.012_245),
        (3600.0, 0.028_019),
        (7200.0, 0.089_039),
        (14_400.0, 0.581_585),
    ];
    conversions(&resin, 120.0, &printed);
    assert!((reaches_s(&resin, 0.57735, 120.0) / 60.0 - 239.068).abs() < 1.5e-3);
    let resin =
        Kinetics::new([2.54e4, 6.05e4], [71_460.0, 61_250.0], [0.492, 1.252, 1.75]).unwrap();
    let printed = [
        (1800.0, 0.326_832),
        (3600.0, 0.812_454),
        (7200.0, 0.975_581),
    ];
    conversions(&resin, 160.0, &printed);
    assert!((reaches_s(&resin, 0.57735, 160.0) / 60.0 - 41.723).abs() < 6e-4);
}

/// The room-temperature set derived for this library, at 23, 40 and 20 °C.
#[test]
fn room_temperature_set() {
    let resin = Kinetics::room_temperature_example();
    let [k1, k2] = resin.constants(296.15);
    assert!((k1 - 7.063_55e-6).abs() < 5e-12 && (k2 - 1.537_02e-4).abs() < 5e-10);
    for (hours, a) in [
        (1.0, 0.032_66),
        (2.0, 0.082_76),
        (4.0, 0.238_27),
        (7.0, 0.502_92),
        (12.0, 0.744_83),
        (24.0, 0.898_13),
        (72.0, 0.972_43),
    ] {
        let found = resin
            .conversion(0.0, 0.0, hours * 3600.0, &at(23.0))
            .unwrap();
        // Half of the last of five printed decimals, and the integrator's 1e-7.
        assert!((found - a).abs() < 5.2e-6, "{hours} h: {found}");
    }
    let gel = 1.0 / 3.0_f64.sqrt();
    for (a, celsius, hours, last) in [
        (0.2, 23.0, 3.5716, 1e-4),
        (gel, 23.0, 8.0901, 1e-4),
        (0.6, 23.0, 8.4715, 1e-4),
        (0.8, 23.0, 14.3818, 1e-4),
        (0.95, 23.0, 42.859, 1e-3),
        (gel, 40.0, 1.6385, 1e-4),
        (gel, 20.0, 10.8147, 1e-4),
    ] {
        let found = reaches_s(&resin, a, celsius) / 3600.0;
        // Half of the last printed digit, and slow rates turn 1e-7 of conversion into up to 3e-5 h.
        assert!(
            (found - hours).abs() < 0.6 * last,
            "{a} at {celsius} °C: {found} h"
        );
    }
}

/// Lee-Loos-Springer form for a hot-cure prepreg (per minute), whose rate jumps at a = 0.3; at 116 and 177 °C.
#[test]
fn prepreg_set_with_a_jump() {
    let k = |a: f64, e: f64, t: f64| a * (-e / (8.314_462_618 * t)).exp();
    let rate = |a: f64, t: f64| {
        let k1 = k(2.101e9, 8.07e4, t);
        let k2 = k(-2.014e9, 7.78e4, t);
        let k3 = k(1.960e5, 5.66e4, t);
        let per_minute = if a <= 0.3 {
            (k1 + k2 * a) * (1.0 - a) * (0.47 - a)
        } else {
            k3 * (1.0 - a)
        };
        per_minute / 60.0
    };
    for (celsius, minutes, a) in [
        (116.0, 10.0, 0.104_82),
        (116.0, 30.0, 0.205_47),
        (116.0, 60.0, 0.274_06),
        (116.0, 120.0, 0.426_19),
        (177.0, 10.0, 0.532_24),
        (177.0, 30.0, 0.838_08),
        (177.0, 60.0, 0.967_02),
    ] {
        let found = integrate(rate, 0.0, 0.0, minutes * 60.0, &at(celsius)).unwrap();
        assert!(
            (found - a).abs() < 5.2e-6,
            "{celsius} °C, {minutes} min: {found}"
        );
    }
}

/// Closed forms at k1 = 1e-4, k2 = 8e-4 1/s: `m = 1, n = 2` and `m = n = 1`; n-th order at k = 5e-5 1/s after 36 000 s.
#[test]
fn closed_forms() {
    let steady = |k1: f64, k2: f64, orders| Kinetics::new([k1, k2], [0.0, 0.0], orders).unwrap();
    let (k1, k2) = (1e-4, 8e-4);
    let s: f64 = k1 + k2;
    let second = steady(k1, k2, [2.0, 1.0, 2.0]);
    for a in [0.1, 0.3, 0.5, 0.57735, 0.8, 0.95_f64] {
        let exact = a / (s * (1.0 - a)) + k2 / (s * s) * ((k1 + k2 * a) / (k1 * (1.0 - a))).ln();
        let found = reaches_s(&second, a, 20.0);
        // 1e-7 of conversion at the rate there.
        let slack = 2e-7 / second.rate(a, 293.15);
        assert!(
            (found - exact).abs() < slack,
            "a {a}: {found} s, exact {exact} s"
        );
    }
    assert!((reaches_s(&second, 0.5, 20.0) - 3385.2692).abs() < 1e-3);
    let gel = 1.0 / 3.0_f64.sqrt();
    assert!((reaches_s(&second, gel, 20.0) - 4073.1937).abs() < 1e-3);
    let first = steady(k1, k2, [1.0, 1.0, 1.0]);
    for (t, a) in [(600.0, 0.073_694), (1800.0, 0.310_508), (3600.0, 0.731_613)] {
        let exact = k1 * ((s * t).exp() - 1.0) / (k1 * (s * t).exp() + k2);
        let found = first.conversion(0.0, 0.0, t, &at(20.0)).unwrap();
        assert!((found - exact).abs() < 1e-7 && (found - a).abs() < PRINTED);
    }
    for (n, a) in [(1.0, 0.834_701), (1.5, 0.722_992), (2.0, 0.642_857)] {
        let order = steady(5e-5, 0.0, [n, 0.0, 0.0]);
        let found = order.conversion(0.0, 0.0, 36_000.0, &at(20.0)).unwrap();
        assert!((found - a).abs() < PRINTED, "order {n}: {found}");
    }
}

/// First order over a temperature that rises straight: `a = 1 - exp(-integral of k dt)`, the integral by Simpson's rule on 20 000 panels.
#[test]
fn first_order_over_a_ramp() {
    let resin = Kinetics::new([1e6, 0.0], [60_000.0, 0.0], [1.0, 0.0, 0.0]).unwrap();
    let ramp = Climate::from_history(&[0.0, 7200.0], &[288.15, 318.15], &[0.5, 0.5]).unwrap();
    let k = |t: f64| resin.constants(288.15 + 30.0 * t / 7200.0)[0];
    let panels = 20_000;
    let h = 7200.0 / f64::from(panels);
    let integral: f64 = (0..panels)
        .map(|i| {
            let t = f64::from(i) * h;
            h / 6.0 * (k(t) + 4.0 * k(t + h / 2.0) + k(t + h))
        })
        .sum();
    let found = resin.conversion(0.0, 0.0, 7200.0, &ramp).unwrap();
    assert!((found - (1.0 - (-integral).exp())).abs() < 1e-7);
}

/// Gel points after Flory and Stockmayer (standard) and the `DiBenedetto` relation for Hein's resin (Tg0 -16.8 °C, Tginf 225 °C, lambda 0.543).
#[test]
fn gel_point_and_glass_transition() {
    for (r, f, a) in [
        (1.0, 4.0, 0.577_35),
        (0.8, 4.0, 0.516_40),
        (1.2, 4.0, 0.632_46),
        (1.0, 6.0, 0.447_21),
    ] {
        assert!((gel_conversion(r, f, 2.0).unwrap() - a).abs() < 5e-6);
    }
    let glass = Glass::new(273.15 - 16.8, 273.15 + 225.0, 0.543).unwrap();
    for (a, celsius) in [(0.5, 68.292), (0.8, 148.770), (0.9, 183.926)] {
        assert!((glass.at(a) - 273.15 - celsius).abs() < 5e-4);
        assert!((glass.conversion(glass.at(a)) - a).abs() < 1e-12);
    }
    assert!((glass.conversion(296.15) - 0.266_25).abs() < 5e-6);
    assert!((glass.conversion(373.15) - 0.632_46).abs() < 5e-6);
    // A branched aliphatic amine: Tg0 -20 °C (remembered), Tginf 119 °C (DSC), L 0.4 (remembered).
    let amine = Glass::new(253.15, 392.15, 0.4).unwrap();
    assert!((amine.conversion(288.15) - 0.456_92).abs() < 5e-6);
    assert!((amine.conversion(296.15) - 0.528_26).abs() < 5e-6);
    assert!((amine.conversion(316.15) - 0.675).abs() < 5e-4);
}

/// A room-temperature cure with that network stalls at a = 0.675 at 23 °C (Tg 20 K over the air).
#[test]
fn a_stiff_network_ends_the_cure() {
    let glass = Glass::new(253.15, 392.15, 0.4).unwrap();
    let cap = Diffusion::Cap {
        glass,
        above_k: 20.0,
    };
    let resin = Kinetics::room_temperature_example().with_diffusion(cap);
    let month = 30.0 * 86_400.0;
    let cold = resin.conversion(0.0, 0.0, month, &at(23.0)).unwrap();
    assert!(cold < 0.6752 && cold > 0.66, "{cold}");
    // Warming goes on with it; nothing undoes it.
    let warm = resin.conversion(cold, 0.0, month, &at(40.0)).unwrap();
    assert!(warm > cold + 0.05);
    assert!(resin.reaches(0.9, 0.0, &at(23.0)).unwrap().is_none());
}

/// Mass effect of the room-temperature set from 25 °C: 20 g 98.5 min, peak 190 °C; 100 g 74.1 min, peak 225 °C; 136 g (118 mL) 71 min; thin 172.8 min
/// (computed elsewhere from the same equations; a data sheet gives 2 h for 118 mL, so the model is on the safe side).
#[test]
fn a_mixed_mass_warms_itself() {
    let resin = Kinetics::room_temperature_example();
    for (grams, minutes, peak_c) in [
        (20.0, 98.5, Some(190.0)),
        (100.0, 74.1, Some(225.0)),
        (136.0, 71.0, None),
    ] {
        let pot = Cup::epoxy(grams / 1e3, 298.15).pot_life(&resin).unwrap();
        let found = pot.pot_life_s.unwrap() / 60.0;
        let last = if grams > 130.0 { 0.55 } else { 0.06 };
        assert!((found - minutes).abs() < last, "{grams} g: {found} min");
        assert!((pot.thin_s.unwrap() / 60.0 - 172.8).abs() < 0.06);
        if let Some(peak_c) = peak_c {
            assert!(
                (pot.peak_k - 273.15 - peak_c).abs() < 0.55,
                "{} °C",
                pot.peak_k - 273.15
            );
        }
    }
}

/// Hein (2018), glass transition after `DiBenedetto` with Tg0 -16.8 °C, Tginf 225 °C, L 0.543: 100 °C is the glass transition at a conversion of 0.63246 (closed form), so at 100 °C the
/// resin vitrifies there, after it has gelled at 0.57735; the instants are those of scipy-checked kinetics.
#[test]
fn a_resin_gels_and_vitrifies() {
    let resin = Resin::published("hein-2018").unwrap();
    let times: Vec<f64> = (0..200).map(|i| f64::from(i) * 600.0).collect();
    let path = resin.path(0.0, &times, &at(100.0)).unwrap();
    let reached = |a: f64| reaches_s(&resin.kinetics, a, 100.0);
    // The level is printed to five digits.
    assert!((path.vitrifies_s.unwrap() / reached(0.63246) - 1.0).abs() < 1e-4);
    assert!((path.gel_s.unwrap() / reached(0.577_350_27) - 1.0).abs() < 1e-6);
    assert!(path.gel_s < path.vitrifies_s);
    assert!(path.glass_k.windows(2).all(|w| w[1] >= w[0]));
    // Capped at 20 K over the air, the glass transition stops there.
    let capped = resin.capped(20.0).unwrap();
    let end = capped.path(0.0, &[0.0, 4e6], &at(100.0)).unwrap();
    assert!((end.glass_k[1] - (373.15 + 20.0)).abs() < 0.1);
}

/// A slow epoxy's sheet states 2 h for 4 fl oz (136 g) at 25 °C (ASTM D2471): the model is anchored there, and must fall with mass and warmth, and a thin film
/// outlasts the cup; an adhesive without a stated mass has no such answer.
#[test]
fn pot_life_goes_by_mixed_mass() {
    let minutes = |kg, c: f64| {
        let found = pot_life("epoxy-slow", kg, c + 273.15).unwrap();
        assert!(found.thin_s > found.pot_life_s);
        found.pot_life_s.unwrap() / 60.0
    };
    // Half a percent of the rate is left after the rounds of fitting; far inside the model's factor of two.
    assert!((minutes(0.136, 25.0) - 120.0).abs() < 0.6);
    let falling = [0.01, 0.03, 0.1, 0.3].map(|kg| minutes(kg, 25.0));
    assert!(falling.windows(2).all(|w| w[1] < w[0]));
    assert!(minutes(0.1, 15.0) > 1.5 * minutes(0.1, 25.0));
    let none = pot_life("polyurethane-2k", 0.1, 298.15);
    assert!(matches!(none, Err(mountwright::Error::Impossible { .. })));
}
