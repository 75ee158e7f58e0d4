//! Adhesives against published schedules and closed forms.

use mountwright::bond::{Band, Clock, Cure, Shift};
use mountwright::climate::Climate;

const HOUR: f64 = 3600.0;

fn celsius(c: f64) -> f64 {
    c + 273.15
}

fn steady(temperature_c: f64, humidity: f64) -> Climate {
    Climate::constant(celsius(temperature_c), humidity).unwrap()
}

fn handling_s(cure: &Cure, climate: &Climate) -> f64 {
    cure.ready_at(0.0, climate).unwrap().handling_s.unwrap()
}

/// Data sheet of a slow two-part epoxy (pot life 2 h, 4 fl oz, ASTM D2471): handling 12, 7, 2 h and 6 min at 20, 25, 40 and 100 °C.
#[test]
fn slow_epoxy_schedule_comes_back_as_printed() {
    let rows = [(20.0, 12.0), (25.0, 7.0), (40.0, 2.0), (100.0, 0.1)];
    let schedule: Vec<(f64, f64)> = rows.iter().map(|(c, h)| (celsius(*c), h * HOUR)).collect();
    let cure = Cure::named("slow epoxy")
        .with_handling(Clock::Shifted(Shift::new(&schedule, 65_000.0).unwrap()))
        .unwrap();
    for (c, h) in rows {
        // Rounding only: the rows are knots of the interpolation.
        let found = handling_s(&cure, &steady(c, 0.5)) / HOUR;
        assert!((found / h - 1.0).abs() < 1e-12, "{c} °C: {found} h");
    }
}

/// "Twice as fast for each 10 °C" as an activation energy, E = R ln 2/(1/T - 1/(T + 10)): 47.84 kJ/mol at 10-20 °C,
/// 51.22 at 20-30, 54.71 at 30-40 (closed form).
#[test]
fn the_doubling_rule_doubles_at_its_activation_energy() {
    for (c, kilojoules) in [(10.0, 47.84), (20.0, 51.22), (30.0, 54.71)] {
        let cure = Cure::shifted("rule", 600.0, HOUR, HOUR, celsius(c), kilojoules * 1e3).unwrap();
        let ratio = handling_s(&cure, &steady(c, 0.5)) / handling_s(&cure, &steady(c + 10.0, 0.5));
        // Half of the last digit printed, 0.005 kJ/mol of about 50, times ln 2, times 2.
        assert!((ratio - 2.0).abs() < 1.5e-4, "{c} °C: {ratio}");
    }
}

/// Solvent-cement schedule for pipe joints (plastic-pipe technical manual): 1 in pipe at 70 °F and 50 % humidity sets in 15 min; 2 in pipe
/// for high pressure at 45 °F and 70 % cures in 24 h and half as long again.
#[test]
fn solvent_cement_schedule_comes_back_as_printed() {
    let fahrenheit = |f: f64| (f - 32.0) / 1.8;
    let edges = [60.0, 40.0, 0.0].map(|f| celsius(fahrenheit(f)));
    let banded = |hours: [f64; 3], damp_factor: f64| Clock::Banded {
        bands: edges
            .iter()
            .zip(hours)
            .map(|(above_k, h)| Band {
                above_k: *above_k,
                time_s: h * HOUR,
            })
            .collect(),
        until_k: celsius(fahrenheit(100.0)),
        damp_factor,
        damp_above: 0.6,
    };
    let cement = |set: [f64; 3], cured: [f64; 3]| {
        Cure::named("cement")
            .with_handling(banded(set, 1.0))
            .unwrap()
            .with_full(banded(cured, 1.5))
            .unwrap()
    };
    let small = cement([0.25, 1.0, 3.0], [1.0, 2.0, 8.0]);
    let ready = small.ready_at(0.0, &steady(fahrenheit(70.0), 0.5)).unwrap();
    assert!((ready.handling_s.unwrap() - 900.0).abs() < 1e-9);
    assert!((ready.full_s.unwrap() - HOUR).abs() < 1e-9);
    let medium = cement([0.5, 2.0, 6.0], [12.0, 24.0, 96.0]);
    let ready = medium
        .ready_at(0.0, &steady(fahrenheit(45.0), 0.7))
        .unwrap();
    assert!((ready.handling_s.unwrap() / HOUR - 2.0).abs() < 1e-12);
    assert!((ready.full_s.unwrap() / HOUR - 36.0).abs() < 1e-12);
    // At a shared edge the colder, longer row holds; below 0 °F nothing sets.
    let ready = small.ready_at(0.0, &steady(fahrenheit(60.0), 0.5)).unwrap();
    assert!((ready.handling_s.unwrap() - HOUR).abs() < 1e-6);
    let ready = small.ready_at(0.0, &steady(fahrenheit(-5.0), 0.5)).unwrap();
    assert!(ready.handling_s.is_none() && ready.never.is_some());
}

/// One silicone sealant hardened 7.5 mm in 7 days (abstract, doi 10.1016/S0143-7496(97)00031-6); by the square-root law 2.835 mm in 24 h, and
/// 3 mm in 26.88 h at 23 °C and 50 %, in 80.75 h at 20 °C and 20 % (closed form, Buck's saturation pressure).
#[test]
fn sealant_depth_follows_the_square_root() {
    let depth = |depth_mm: f64| {
        Cure::named("sealant")
            .with_handling(Clock::Moisture {
                skin_s: 0.0,
                depth_m: depth_mm * 1e-3,
                depth_m_root_day: 7.5e-3 / 7.0_f64.sqrt(),
            })
            .unwrap()
    };
    let hours = |mm, c, rh| handling_s(&depth(mm), &steady(c, rh)) / HOUR;
    assert!((hours(7.5, 23.0, 0.5) - 7.0 * 24.0).abs() < 1e-9);
    // Printed digits: 2.835 mm means 24 h within 0.02 %, doubled by the square.
    assert!((hours(2.835, 23.0, 0.5) - 24.0).abs() < 0.01);
    assert!((hours(3.0, 23.0, 0.5) - 26.88).abs() < 0.005);
    assert!((hours(3.0, 20.0, 0.2) - 80.75).abs() < 0.005);
}
