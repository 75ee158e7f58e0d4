//! Mount checks against printed tables, standards and textbook values.

use mountwright::material::{Catalogue, ROOM_K};
use mountwright::mount::beam::{Held, Tab, Tip, cantilever_root, guided_root, tab_frequency};
use mountwright::mount::fixing::{Screw, core_m, pull_out_n, slot_m};
use mountwright::mount::plate::{
    Rim, disc_frequency, plate_middle, plate_stiffness, rectangle_frequency,
};
use mountwright::mount::service_heat::{Made, Warmth};
use mountwright::mount::shock::{BODY_SHOCK, DOOR_SLAM, HalfSine, half_sine_peak};
use mountwright::mount::vibration::{Psd, miles_rms, miles_travel_m};
use mountwright::mount::{Material, PanelMount, check_panel};

/// Agreement to half a unit of the last printed digit.
fn printed(value: f64, printed: f64, last_digit: f64) {
    assert!(
        (value - printed).abs() <= 0.5001 * last_digit,
        "{value} against printed {printed}"
    );
}

/// ISO 16750-3:2023, test IV, prints an rms of 27.8 m/s² for the profile; its break points are from memory.
#[test]
fn the_body_profile_integrates_to_the_rms_that_the_standard_prints() {
    let rms = Psd::body().rms_m_s2();
    printed(rms, 27.8, 0.1);
    printed(rms, 27.784, 0.001); // closed form by an independent script
}

/// Values of the log-log line and of the band below 55 Hz, by an independent script.
#[test]
fn the_body_profile_interpolates_straight_in_log_log() {
    let body = Psd::body();
    for (f, s, digit) in [
        (40.0, 8.019, 1e-3),
        (100.0, 1.257, 1e-3),
        (150.0, 0.4126, 1e-4),
        (330.0, 0.1846, 1e-4),
    ] {
        printed(body.at(f), s, digit);
    }
    printed(body.mean_square(10.0, 55.0).sqrt(), 21.50, 0.01);
    assert!(body.at(9.9) < f64::EPSILON && body.at(1001.0) < f64::EPSILON);
}

/// Exact integral of |H|² S over 10 to 1000 Hz against Miles' equation, Q 10; table by an independent script.
#[test]
fn the_road_response_is_integrated_and_miles_runs_low_above_100_hz() {
    let body = Psd::body();
    for (f, exact, miles) in [
        (40.0, 71.9, 71.0),
        (63.2, 69.8, 66.4),
        (100.0, 52.2, 44.4),
        (150.0, 41.6, 31.2),
        (250.0, 40.4, 31.3),
        (690.0, 46.4, 39.0),
    ] {
        printed(body.response_rms_m_s2(f, 10.0).unwrap(), exact, 0.1);
        printed(miles_rms(f, 10.0, body.at(f)), miles, 0.1);
    }
}

/// NASA Goddard's note on Miles' equation: 200 Hz, Q 20, 0.01 g²/Hz (level read off its plot); three sigma as the design load.
#[test]
fn miles_gives_the_case_of_the_nasa_note() {
    let rms = miles_rms(200.0, 20.0, 0.01);
    printed(rms, 7.93, 0.01);
    printed(3.0 * rms, 23.8, 0.1);
    // The travel is the acceleration over w² for one mode: the two formulas of the note agree.
    let w = 2.0 * std::f64::consts::PI * 200.0;
    assert!((miles_travel_m(200.0, 20.0, 0.01) * w * w / rms - 1.0).abs() < 1e-12);
}

/// White noise, wide band: the exact mean square of one mode moved at its foot is pi/2 f Q S (1 + 1/Q²) (textbook).
#[test]
fn a_flat_wide_profile_gives_the_exact_white_noise_response() {
    let flat = Psd::new(vec![(0.011, 1.0), (9.0e5, 1.0)]).unwrap();
    for q in [1.0, 5.0, 10.0, 50.0] {
        let f = 100.0;
        let exact = std::f64::consts::PI / 2.0 * f * q * (1.0 + 1.0 / (q * q));
        let found = flat.response_rms_m_s2(f, q).unwrap().powi(2);
        // What the band cuts off: about f (f/band end)/Q² above and 0.01 Hz below.
        assert!(
            (found / exact - 1.0).abs() < 3e-4,
            "Q {q}: {found} against {exact}"
        );
    }
}

/// Exact roots: 3.5160 bare (any textbook); tip mass equal to the beam's: Math. Probl. Eng. (2017) 1568019, table 1.
#[test]
fn cantilever_roots_are_those_in_print() {
    for (mu, square) in [(0.0, 3.5160), (0.1, 2.9678), (0.5, 2.0163), (1.0, 1.5573)] {
        printed(cantilever_root(mu, 1).unwrap().powi(2), square, 1e-4);
    }
    for (mode, square, digit) in [
        (1, 1.557_298, 1e-6),
        (2, 16.250_09, 1e-5),
        (3, 50.895_84, 1e-5),
        (4, 105.1983, 1e-4),
        (5, 179.2320, 1e-4),
    ] {
        printed(cantilever_root(1.0, mode).unwrap().powi(2), square, digit);
    }
    // Bare clamped-free roots of any textbook: 1.8751, 4.6941, 7.8548.
    for (mode, root) in [(1, 1.8751), (2, 4.6941), (3, 7.8548)] {
        printed(cantilever_root(0.0, mode).unwrap(), root, 1e-4);
    }
}

/// Rayleigh's static shape (33/140 of the beam's mass at the tip, any textbook) is an upper bound: +1.47 % bare.
#[test]
fn the_textbook_tip_mass_rule_lies_just_above_the_exact_root() {
    for (mu, excess, digit) in [(0.0_f64, 1.47, 0.01), (0.5, 0.15, 0.01), (1.0, 0.05, 0.01)] {
        let rule = (3.0 / (mu + 33.0 / 140.0)).sqrt();
        let exact = cantilever_root(mu, 1).unwrap().powi(2);
        printed(100.0 * (rule / exact - 1.0), excess, digit);
    }
}

/// An ABS tab of 40 x 3 x 50 mm with 30 g at its tip, worked by hand: 63.2 Hz; two tabs double the stiffness.
#[test]
fn a_tab_with_a_tweeter_rings_at_63_hz() {
    let tab = Tab {
        length_m: 0.05,
        width_m: 0.04,
        thickness_m: 0.003,
    };
    printed(
        tab_frequency(tab, Tip::Free, 2.3e9, 1050.0, 0.030).unwrap(),
        63.2,
        0.1,
    );
    let double = Tab {
        width_m: 0.08,
        ..tab
    };
    let same_tip = tab_frequency(double, Tip::Free, 2.3e9, 1050.0, 0.060).unwrap();
    printed(same_tip, 63.2, 0.1);
}

/// Leissa, NASA SP-160 (1969): 10.216 clamped disc; Navier's exact rectangle. Worked with E 2.3 GPa, nu 0.35, 1050 kg/m³.
#[test]
fn plates_ring_at_their_textbook_frequencies() {
    let clamped = disc_frequency(Rim::Clamped, 0.080, 0.006, 2.3e9, 0.35, 1050.0).unwrap();
    printed(clamped, 695.0, 1.0);
    let rectangle = rectangle_frequency([0.2, 0.15], 0.003, 2.3e9, 0.35, 1050.0, 0.0).unwrap();
    printed(rectangle, 149.0, 1.0);
    let supported = disc_frequency(Rim::Supported, 0.080, 0.006, 2.3e9, 0.35, 1050.0).unwrap();
    assert!((clamped / supported - 10.2158 / 4.935).abs() < 1e-9);
}

/// Receptance of a supported plate at its middle, `1/(4 mu) = sum of x/(l - x)` over all odd modes, mu the mass over the
/// plate's: solved with 10^6 modes by an independent script (numpy, scipy).
#[test]
fn a_mass_in_the_middle_lowers_a_plates_frequency_as_all_its_modes_say() {
    let (a, t, rho) = (0.2, 0.003, 1050.0);
    for (ratio, mu, share, within) in [
        (1.0, 0.5, 0.560_792, 5e-4),
        (2.0, 0.2, 0.724_947, 2e-3),
        (3.0, 1.0, 0.381_914, 5e-3),
        (5.0, 0.2, 0.632_770, 0.03),
    ] {
        let of = |kg| rectangle_frequency([a, ratio * a], t, 2.3e9, 0.35, rho, kg).unwrap();
        let own_kg = rho * t * a * a * ratio;
        let found = of(mu * own_kg) / of(0.0);
        assert!((found / share - 1.0).abs() < within, "{ratio}: {found}");
    }
}

/// Beams of any handbook: 5 W L³/384 EI and P L³/48 EI on two supports, W L³/8 EI and 5 P L³/48 EI (P half way) held at
/// one end, where the free end presses in by P L³/3 EI.
#[test]
fn panels_held_at_their_ends_bend_as_handbook_beams() {
    let catalogue = Catalogue::standard().unwrap();
    let abs = Material::of(&catalogue.get("abs").unwrap().properties()).unwrap();
    let warmth = Warmth {
        temperature_k: 330.15,
        plus_minus_k: 5.0,
    };
    let (span, breadth, t) = (0.29, 0.19, 3e-3);
    let figure = |held, centre_kg, name: &str| {
        let found = check_panel(&PanelMount {
            part: "panel".into(),
            material: abs.clone(),
            sides_m: [span, breadth],
            thickness_m: t,
            centre_kg,
            covering_kg_m2: 0.0,
            made: Made::Flat,
            held,
            warmth,
            screw: Screw::pan(0.004),
            edge_m: 0.012,
            pitch_m: 0.15,
            screws: 4,
            slot_m: 0.006,
            from_fixed_m: 0.1,
            sag_limit_m: 1e-3,
            q: 10.0,
            shock: BODY_SHOCK,
        });
        found
            .unwrap()
            .iter()
            .find(|c| c.name == name)
            .unwrap()
            .figure
    };
    let inertia = breadth * t.powi(3) / 12.0;
    let cold = span.powi(3) / (abs.modulus_pa(ROOM_K) * inertia);
    let thumb = |held| figure(held, 0.0, "pressed with a thumb") / (10.0 * cold);
    assert!((thumb(Held::BothEnds) * 48.0 - 1.0).abs() < 1e-9);
    assert!((thumb(Held::Cantilever) * 3.0 - 1.0).abs() < 1e-9);
    let own_kg = abs.density_kg_m3 * span * breadth * t;
    let sag = |held, kg| figure(held, kg, "sag in the heat");
    let bare = sag(Held::BothEnds, 0.0);
    assert!((sag(Held::Cantilever, 0.0) / bare - 384.0 / 40.0).abs() < 1e-9);
    let loaded = sag(Held::BothEnds, 0.2) / bare;
    assert!((loaded - (1.0 + 0.2 / own_kg * 384.0 / 240.0)).abs() < 1e-9);
    // The force in the middle is carried by a breadth of one span at most here, where the end is free.
    let loaded = sag(Held::Cantilever, 0.2) / sag(Held::Cantilever, 0.0);
    assert!((loaded - (1.0 + 0.2 / own_kg * 40.0 / 48.0)).abs() < 1e-9);
}

/// Timoshenko and Woinowsky-Krieger, infinite strips: 0.01695 P a²/D on two supports, 0.168 P a²/D at the free edge of one
/// that is clamped (from memory): never less give than these, and a fifth more at most.
#[test]
fn a_thumb_on_a_wide_strip_is_not_carried_by_all_of_it() {
    let nu: f64 = 0.35;
    for (helps, beam, printed) in [(1.2, 48.0, 0.01695), (2.0, 3.0, 0.168)] {
        // A beam of EI = D (1 - nu²) b.
        let give = 1.0 / (beam * (1.0 - nu * nu) * helps);
        assert!(give >= printed && give < 1.25 * printed, "{give}");
    }
}

/// Timoshenko and Woinowsky-Krieger, square plate, nu 0.3: 0.00406 q a⁴/D, 0.0479 q a², 0.01160 P a²/D (from memory).
#[test]
fn a_square_plate_bends_as_in_the_handbook() {
    let a = 0.3;
    let d = plate_stiffness(2.0e9, 0.003, 0.3);
    let uniform = plate_middle([a, a], d, 0.3, 100.0, 0.0).unwrap();
    printed(
        uniform.deflection_m * d / (100.0 * a.powi(4)),
        0.00406,
        1e-5,
    );
    printed(uniform.moment_n / (100.0 * a * a), 0.0479, 1e-4);
    let point = plate_middle([a, a], d, 0.3, 0.0, 10.0).unwrap();
    printed(point.deflection_m * d / (10.0 * a * a), 0.01160, 1e-5);
    // Side ratio 2, uniform: 0.01013 q a⁴/D and 0.1017 q a² (same table).
    let long = plate_middle([a, 2.0 * a], d, 0.3, 100.0, 0.0).unwrap();
    printed(long.deflection_m * d / (100.0 * a.powi(4)), 0.01013, 1e-5);
    printed(long.moment_n / (100.0 * a * a), 0.1017, 1e-4);
}

/// Shock response of one mode to a half-sine, undamped and Q 10, by an independent Runge-Kutta integration.
#[test]
fn the_peak_of_a_half_sine_is_that_of_an_independent_integration() {
    for (cycles, undamped, q10) in [
        (0.1, 0.396, 0.369),
        (0.25, 0.943, 0.878),
        (0.5, 1.571, 1.463),
        (0.8, 1.768, 1.651),
        (1.0, 1.732, 1.624),
        (1.5, 1.500, 1.421),
        (2.0, 1.268, 1.212),
    ] {
        // Q 10⁴ stands for undamped: it changes the peak by about pi/(4 Q), under 1e-4.
        let free = half_sine_peak(cycles, 1e4).unwrap();
        assert!(
            (free - undamped).abs() < 6e-4,
            "{cycles}: {free} against {undamped}"
        );
        printed(half_sine_peak(cycles, 10.0).unwrap(), q10, 1e-3);
    }
    // Resonant pulse (f T = 1/2): pi/2 exactly, any text on shock.
    let resonant = half_sine_peak(0.5, 1e4).unwrap();
    assert!((resonant - std::f64::consts::FRAC_PI_2).abs() < 2e-4);
}

/// Change of speed of a half-sine: 2 A T/pi.
#[test]
fn slams_change_speed_as_worked_by_hand() {
    printed(DOOR_SLAM.speed_change_m_s(), 3.501, 1e-3);
    let second = HalfSine {
        peak_m_s2: 300.0,
        ..BODY_SHOCK
    };
    printed(second.speed_change_m_s(), 1.146, 1e-3);
}

/// A screw maker's boss table (cores) and a pull-out worked by hand: 4 mm, 6 mm deep, yield 40 MPa.
#[test]
fn pull_out_and_cores_are_those_of_the_table() {
    for (d, core) in [
        (2.2, 1.25),
        (3.0, 1.66),
        (4.0, 2.17),
        (5.0, 2.68),
        (8.0, 4.21),
    ] {
        assert!((core_m(d * 1e-3) * 1e3 - core).abs() < 1e-9);
    }
    let upper = pull_out_n(0.004, 0.006, 40e6).unwrap();
    printed(upper, 1343.0, 1.0);
    printed(upper / 5.0, 269.0, 1.0);
}

/// ABS 9e-5 1/K, 70 K, 150 mm from the fixed screw: 0.95 mm each side, by hand. Cellular-PVC trim moves 4.8 mm in 5.5 m.
#[test]
fn slots_allow_for_the_movement() {
    let each_side = (slot_m(0.004, 9e-5, 70.0, 0.150).unwrap() - 0.004) / 2.0;
    printed(each_side * 1e3, 0.945, 0.001);
    // The bulletin prints the movement and its share, 868 ppm: as an expansion over 1 K the formula gives its 4.8 mm.
    let trim = (slot_m(0.004, 868e-6, 1.0, 5.5).unwrap() - 0.004) / 2.0;
    printed(trim * 1e3, 4.8, 0.1);
}

/// Clamped and guided, bare: tan b + tanh b = 0, b = 2.36502 (Blevins, Formulas for Natural Frequency; from memory). With a
/// heavy end the static shape holds: 12 EI/L³ and 13/35 of the beam's mass (any textbook), an upper bound.
#[test]
fn a_guided_beam_rings_at_its_textbook_root() {
    printed(guided_root(0.0).unwrap(), 2.36502, 1e-5);
    for (mu, loosest) in [(1.0, 2e-3), (10.0, 5e-5), (1000.0, 1e-8)] {
        let rule = (12.0_f64 / (mu + 13.0 / 35.0)).sqrt();
        let excess = rule / guided_root(mu).unwrap().powi(2) - 1.0;
        assert!((-1e-12..loosest).contains(&excess), "{mu}: {excess}");
    }
}
