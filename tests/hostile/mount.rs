//! Bad input to the mount checks: a typed error, never a panic or a number that is none.

use mountwright::Error;
use mountwright::mount::beam::{Held, Tab, Tip, cantilever_root, guided_root, tab_frequency};
use mountwright::mount::drivers::driver_class;
use mountwright::mount::fit::{Fit, check_fit, largest_cutout_m, web, web_at_screw};
use mountwright::mount::fixing::{
    Screw, ScrewLoad, core_m, edge_distance, engagement, pilot, pitch, pull_out_n, slot_m,
};
use mountwright::mount::joint::{GluedJoint, glued};
use mountwright::mount::place::{Sun, sun_surface_k, warm_up_share};
use mountwright::mount::plate::{Rim, disc_frequency, plate_middle, rectangle_frequency};
use mountwright::mount::service_heat::{Made, Warmth, sag};
use mountwright::mount::shock::{DOOR_SLAM, HalfSine, half_sine_peak};
use mountwright::mount::vibration::{Psd, Shaken, road};
use mountwright::mount::{Family, Material, StrapMount, check_strap};

const BAD: [f64; 6] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    -1.0,
    -1e300,
    1e300,
];

#[allow(clippy::needless_pass_by_value)] // reads better at fifty calls
fn out_of_range<T: std::fmt::Debug>(found: Result<T, Error>) {
    assert!(matches!(found, Err(Error::OutOfRange { .. })), "{found:?}");
}

fn abs() -> Material {
    let catalogue = mountwright::material::Catalogue::standard().unwrap();
    Material::of(&catalogue.get("abs").unwrap().properties()).unwrap()
}

fn warmth() -> Warmth {
    Warmth {
        temperature_k: 340.0,
        plus_minus_k: 6.0,
    }
}

fn pod() -> StrapMount {
    StrapMount {
        part: "pod".into(),
        material: abs(),
        tab: Tab {
            length_m: 0.025,
            width_m: 0.035,
            thickness_m: 0.003,
        },
        tabs: 2,
        held: Held::BothEnds,
        carried_kg: 0.07,
        made: Made::FormedHot,
        warmth: warmth(),
        screws_per_tab: 1,
        screw: Screw::pan(0.004),
        edge_m: 0.010,
        slot_m: 0.006,
        from_fixed_m: 0.15,
        sag_limit_m: 1e-3,
        q: 10.0,
        shock: StrapMount::SHOCK,
        fit: None,
        joined_kg: None,
        joint: None,
    }
}

#[test]
fn impossible_numbers_are_refused_everywhere() {
    let tab = pod().tab;
    let screw = Screw::pan(0.004);
    let body = Psd::body();
    for bad in BAD {
        out_of_range(cantilever_root(bad, 1));
        out_of_range(guided_root(bad));
        out_of_range(tab_frequency(
            Tab {
                length_m: bad,
                ..tab
            },
            Tip::Free,
            2e9,
            1e3,
            0.1,
        ));
        out_of_range(tab_frequency(tab, Tip::Guided, bad, 1e3, 0.1));
        out_of_range(tab_frequency(tab, Tip::Free, 2e9, bad, 0.1));
        out_of_range(tab_frequency(tab, Tip::Free, 2e9, 1e3, bad));
        out_of_range(disc_frequency(Rim::Clamped, bad, 0.003, 2e9, 0.35, 1e3));
        out_of_range(disc_frequency(Rim::Clamped, 0.1, 0.003, 2e9, bad, 1e3));
        out_of_range(rectangle_frequency([0.1, bad], 0.003, 2e9, 0.35, 1e3, 0.0));
        out_of_range(plate_middle([0.1, 0.1], bad, 0.35, 1.0, 1.0));
        out_of_range(plate_middle([bad, 0.1], 5.0, 0.35, 1.0, 1.0));
        out_of_range(body.response_rms_m_s2(bad, 10.0));
        out_of_range(body.response_rms_m_s2(100.0, bad));
        out_of_range(half_sine_peak(bad, 10.0));
        out_of_range(half_sine_peak(1.0, bad));
        let pulse = HalfSine {
            duration_s: bad,
            ..DOOR_SLAM
        };
        out_of_range(pulse.peak_on(100.0, 10.0));
        out_of_range(pull_out_n(bad, 0.006, 40e6));
        out_of_range(pull_out_n(0.004, bad, 40e6));
        out_of_range(pull_out_n(0.004, 0.006, bad));
        out_of_range(slot_m(0.004, bad, 70.0, 0.1));
        out_of_range(edge_distance("p", Family::Abs, screw, bad));
        out_of_range(edge_distance("p", Family::Abs, Screw::pan(bad), 0.01));
        out_of_range(engagement("p", Family::Abs, screw, bad));
        out_of_range(pilot("p", Family::Abs, screw, bad));
        out_of_range(pitch("p", screw, bad, 0.003));
        out_of_range(web("p", Family::Abs, bad, 0.003));
        out_of_range(web_at_screw("p", bad, 0.008));
        out_of_range(largest_cutout_m(Family::Abs, bad, 0.003));
        out_of_range(warm_up_share(bad));
        out_of_range(sun_surface_k(bad, Sun::default()));
        out_of_range(sun_surface_k(
            330.0,
            Sun {
                film_w_m2_k: bad,
                ..Sun::default()
            },
        ));
        out_of_range(abs().softening.deflection_temperature_k(bad));
        out_of_range(sag("p", &abs(), warmth(), bad, 1e-3));
        out_of_range(check_fit(
            "p",
            &Fit {
                driver_depth_m: bad,
                ..Fit::default()
            },
        ));
        out_of_range(check_fit(
            "p",
            &Fit {
                grille_gap_m: Some(bad),
                ..Fit::default()
            },
        ));
        out_of_range(road(
            "p",
            &Shaken {
                frequency_hz: 50.0,
                stress_per_m_s2: bad,
                strength_pa: 1e7,
            },
            10.0,
        ));
        out_of_range(road(
            "p",
            &Shaken {
                frequency_hz: 50.0,
                stress_per_m_s2: 1e4,
                strength_pa: bad,
            },
            10.0,
        ));
        assert!(!core_m(0.0005).is_nan());
    }
}

#[test]
fn a_strap_refuses_each_bad_field_by_name() {
    for bad in BAD {
        let tab = pod().tab;
        let cases = [
            StrapMount {
                tab: Tab {
                    width_m: bad,
                    ..tab
                },
                ..pod()
            },
            StrapMount {
                carried_kg: bad,
                ..pod()
            },
            StrapMount {
                warmth: Warmth {
                    temperature_k: bad,
                    plus_minus_k: 6.0,
                },
                ..pod()
            },
            StrapMount {
                warmth: Warmth {
                    temperature_k: 340.0,
                    plus_minus_k: bad,
                },
                ..pod()
            },
            StrapMount {
                edge_m: bad,
                ..pod()
            },
            StrapMount {
                slot_m: bad,
                ..pod()
            },
            StrapMount {
                from_fixed_m: bad,
                ..pod()
            },
            StrapMount {
                sag_limit_m: bad,
                ..pod()
            },
            StrapMount { q: bad, ..pod() },
            StrapMount {
                material: Material {
                    creep_factor: bad,
                    ..abs()
                },
                ..pod()
            },
        ];
        for case in cases {
            out_of_range(check_strap(&case));
        }
    }
    out_of_range(check_strap(&StrapMount {
        screws_per_tab: 0,
        ..pod()
    }));
    out_of_range(check_strap(&StrapMount {
        screws_per_tab: u32::MAX,
        ..pod()
    }));
    let found = check_strap(&StrapMount { tabs: 1, ..pod() });
    assert!(matches!(found, Err(Error::Shape { ref what, .. }) if what == "held"));
}

#[test]
fn sheets_that_no_plastic_is_are_refused() {
    for bad in BAD {
        for wrong in [
            Material {
                yield_pa: bad,
                ..abs()
            },
            Material {
                bending_pa: bad,
                ..abs()
            },
            Material {
                density_kg_m3: bad,
                ..abs()
            },
            Material {
                creep_factor: bad,
                ..abs()
            },
            Material {
                max_service_k: bad,
                ..abs()
            },
        ] {
            out_of_range(wrong.validate().map(|()| 0));
        }
    }
    // Celsius in a field of kelvin.
    out_of_range(
        Material {
            max_service_k: 75.0,
            ..abs()
        }
        .validate()
        .map(|()| 0),
    );
    let catalogue = mountwright::material::Catalogue::standard().unwrap();
    for name in ["pe-foam", "steel", "wood-board"] {
        let found = Material::of(&catalogue.get(name).unwrap().properties());
        assert!(matches!(found, Err(Error::Impossible { .. })), "{name}");
    }
}

#[test]
fn profiles_need_rising_points() {
    assert!(matches!(
        Psd::new(vec![(10.0, 1.0)]),
        Err(Error::Shape { .. })
    ));
    assert!(matches!(
        Psd::new(vec![(10.0, 1.0), (5.0, 1.0)]),
        Err(Error::Shape { .. })
    ));
    out_of_range(Psd::new(vec![(10.0, -1.0), (50.0, 1.0)]));
}

#[test]
fn loads_without_screws_and_joints_without_area_are_refused() {
    let load = ScrewLoad {
        name: "a pull",
        total_n: 10.0,
        screws: 0,
        factor: 5.0,
    };
    out_of_range(load.each_n());
    out_of_range(
        ScrewLoad {
            screws: 2,
            factor: 0.0,
            ..load
        }
        .each_n(),
    );
    let joint = GluedJoint {
        adhesive: "epoxy".into(),
        area_m2: 0.0,
        strength_pa: 5e6,
        service_limit_k: 353.0,
        peels: true,
    };
    out_of_range(glued("p", &joint, warmth(), 1.0, 10.0));
    out_of_range(glued(
        "p",
        &GluedJoint {
            area_m2: 1e-3,
            ..joint
        },
        warmth(),
        f64::NAN,
        10.0,
    ));
}

#[test]
fn an_unknown_driver_class_offers_the_nearest() {
    let Err(Error::Unknown { near, .. }) = driver_class("6.5 inch") else {
        panic!("it is known");
    };
    assert_eq!(near.first().map(String::as_str), Some("6.5 in"));
}
