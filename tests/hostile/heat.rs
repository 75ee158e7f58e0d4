//! Bad heat: a typed error or a right answer, never a panic, a hang or a NaN.

use mountwright::Error;
use mountwright::error::{Unwatched, Watch};
use mountwright::heat::slab::{Fineness, heat_slab_with};
use mountwright::heat::{
    Ask, Back, Exposure, Face, Hold, HotAirGun, Layer, Limits, Melting, Pulse, Sheet, Step, Table,
    Vary, Wear, heat_slab, recipe, recipes,
};
use proptest::prelude::*;

fn layer(thickness_m: f64) -> Layer {
    Layer {
        thickness_m,
        conductivity_w_m_k: Table::constant(0.2),
        density_kg_m3: 1200.0,
        heat_capacity_j_kg_k: Table::constant(1500.0),
        melting: None,
        start_k: vec![293.15],
        contact_w_m2_k: None,
        cells: None,
    }
}

fn ask(thickness_m: f64, film: f64, gas_k: f64) -> Ask {
    let sheet = Sheet::new(
        thickness_m,
        1200.0,
        Table::constant(0.2),
        Table::constant(1500.0),
        None,
        0.9,
    );
    let limits = Limits {
        limp_k: 390.0,
        formable_k: 400.0,
        upper_k: 440.0,
        set_k: 350.0,
        fume_onset_k: None,
        dose: None,
        wear: Wear::USUAL,
    };
    let heat = Exposure::fixed(film, gas_k, 293.15).unwrap();
    Ask::new(sheet.unwrap(), limits, heat, 293.15, Back::Open)
}

const BAD: [f64; 6] = [
    f64::NAN,
    f64::INFINITY,
    f64::NEG_INFINITY,
    -1.0,
    1e300,
    -1e300,
];

#[test]
fn bad_numbers_are_refused_by_name() {
    let step = Step {
        seconds: 10.0,
        front: Face::INSULATED,
        back: Face::INSULATED,
    };
    for bad in BAD {
        let refused = |r: Result<_, Error>| matches!(r, Err(Error::OutOfRange { .. }));
        assert!(refused(heat_slab(&[layer(bad)], &[step], &[])));
        assert!(refused(heat_slab(
            &[Layer {
                density_kg_m3: bad,
                ..layer(3e-3)
            }],
            &[step],
            &[]
        )));
        assert!(refused(heat_slab(
            &[Layer {
                start_k: vec![bad],
                ..layer(3e-3)
            }],
            &[step],
            &[]
        )));
        assert!(refused(heat_slab(
            &[Layer {
                contact_w_m2_k: Some(bad),
                ..layer(3e-3)
            }],
            &[step],
            &[]
        )));
        let k = Table::constant(bad);
        assert!(refused(heat_slab(
            &[Layer {
                conductivity_w_m_k: k,
                ..layer(3e-3)
            }],
            &[step],
            &[]
        )));
        assert!(refused(heat_slab(
            &[layer(3e-3)],
            &[Step {
                seconds: bad,
                ..step
            }],
            &[]
        )));
        let front = Face {
            film_w_m2_k: bad,
            ..Face::INSULATED
        };
        assert!(refused(heat_slab(
            &[layer(3e-3)],
            &[Step { front, ..step }],
            &[]
        )));
        let front = Face {
            gas_k: bad,
            ..Face::INSULATED
        };
        assert!(refused(heat_slab(
            &[layer(3e-3)],
            &[Step { front, ..step }],
            &[]
        )));
        assert!(refused(heat_slab(&[layer(3e-3)], &[step], &[bad])));
        assert!(HotAirGun::new(bad, 5e-3, 34e-3).is_err());
        assert!(HotAirGun::new(600.0, bad, 34e-3).is_err());
        assert!(HotAirGun::new(600.0, 5e-3, bad).is_err());
        let gun = HotAirGun::two_setting("I").unwrap();
        assert!(gun.at(bad, (0.1, 0.1)).is_err());
        assert!(gun.at(0.1, (bad, 0.1)).is_err());
        let good = ask(3e-3, 50.0, 450.0);
        for vary in Vary::ALL {
            let mut one = good.clone();
            vary.set(&mut one, bad);
            assert!(recipe(&one).is_err(), "{vary:?} {bad}");
        }
        {
            let back = Back::Turned { every_s: bad };
            assert!(
                recipe(&Ask {
                    back,
                    ..good.clone()
                })
                .is_err()
            );
        }
        let pulse = Some(Pulse {
            on_s: bad,
            off_s: 1.0,
            strength: 1.0,
        });
        assert!(
            recipe(&Ask {
                pulse,
                ..good.clone()
            })
            .is_err()
        );
    }
}

#[test]
fn bad_structure_is_refused() {
    let step = Step {
        seconds: 10.0,
        front: Face::INSULATED,
        back: Face::INSULATED,
    };
    let shape = |r: Result<_, Error>| matches!(r, Err(Error::Shape { .. }));
    assert!(shape(heat_slab(&[], &[step], &[])));
    assert!(shape(heat_slab(&[layer(1e-3)], &[], &[])));
    assert!(shape(heat_slab(&[layer(1e-3)], &[step], &[5.0, 4.0])));
    assert!(shape(heat_slab(
        &[Layer {
            start_k: vec![],
            ..layer(1e-3)
        }],
        &[step],
        &[]
    )));
    assert!(Table::new(vec![300.0, 300.0], vec![1.0, 2.0]).is_err());
    assert!(Table::new(vec![300.0], vec![1.0, 2.0]).is_err());
    assert!(Melting::between(7e4, (340.0, 330.0, 350.0), (300.0, 310.0, 320.0)).is_err());
    let freezes_above =
        Melting::between(7e4, (320.0, 330.0, 340.0), (340.0, 350.0, 360.0)).unwrap();
    assert!(shape(heat_slab(
        &[Layer {
            melting: Some(freezes_above),
            ..layer(1e-3)
        }],
        &[step],
        &[]
    )));
    let mut upside_down = ask(3e-3, 50.0, 450.0);
    upside_down.limits.upper_k = 380.0;
    assert!(matches!(recipe(&upside_down), Err(Error::Shape { .. })));
    assert!(matches!(
        HotAirGun::two_setting("III"),
        Err(Error::Unknown { .. })
    ));
    assert!(
        recipes(
            &ask(3e-3, 50.0, 450.0),
            &[(Vary::Air, &[290.0]), (Vary::Gas, &[400.0, 500.0])],
            &Unwatched
        )
        .is_err()
    );
    assert!(recipes(&ask(3e-3, 50.0, 450.0), &[], &Unwatched).is_err());
}

/// Biot numbers from 1e-6 to 1e6, 0.1 mm to 100 mm, air above forming temperature, no air at all: an answer.
#[test]
fn extremes_are_answered() {
    for thickness_m in [1e-4_f64, 1e-3, 1e-2, 0.1] {
        for biot in [1e-6, 1e-3, 1.0, 1e3, 1e6] {
            let film = (biot * 0.2 / thickness_m).min(1e6);
            for gas_k in [293.15, 420.0, 1200.0] {
                let answer = recipe(&ask(thickness_m, film, gas_k)).unwrap();
                assert!(answer.peak_face_k.is_finite());
                assert_eq!(answer.opens_s.is_none(), answer.why_no_window.is_some());
            }
        }
    }
    let mut hot_shop = ask(3e-3, 50.0, 450.0);
    hot_shop.air_k = 395.0;
    let answer = recipe(&hot_shop).unwrap();
    assert_eq!(answer.opens_s, Some(0.0));
    assert!(answer.hold_s.is_none());
    let still = recipe(&ask(3e-3, 0.0, 450.0)).unwrap();
    assert!(still.why_no_window.is_some());
}

/// A caller that stops gets the typed answer; steps are bounded.
#[test]
fn work_stops_when_it_is_told_to() {
    struct No;
    impl Watch for No {
        fn go_on(&self, _done: f64) -> bool {
            false
        }
    }
    let rows = vec![3e-3; 1000];
    let stopped = recipes(&ask(3e-3, 50.0, 450.0), &[(Vary::Thickness, &rows)], &No);
    assert_eq!(stopped.unwrap_err(), Error::Stopped);
    let hot = Face {
        film_w_m2_k: 50.0,
        gas_k: 500.0,
        ..Face::INSULATED
    };
    let step = Step {
        seconds: 100.0,
        front: hot,
        back: hot,
    };
    let few = Fineness {
        most_steps: 3,
        ..Fineness::default()
    };
    assert!(matches!(
        heat_slab_with(&[layer(3e-3)], &[step], &[], few),
        Err(Error::Impossible { .. })
    ));
}

/// A part of a question made of bytes.
fn number(bytes: &mut impl Iterator<Item = u8>, low: f64, high: f64) -> f64 {
    match bytes.next().unwrap_or(0) {
        0 => f64::NAN,
        1 => f64::INFINITY,
        2 => -1.0,
        3 => 0.0,
        4 => 1e300,
        b => low * (high / low).powf(f64::from(b - 5) / 250.0),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    /// Any bytes make a slab that is heated, or refused with a typed error.
    #[test]
    fn any_bytes_are_heated_or_refused(bytes in prop::collection::vec(any::<u8>(), 8..80)) {
        let mut b = bytes.into_iter();
        let layers = (0..=b.next().unwrap_or(0) % 3)
            .map(|_| Layer {
                conductivity_w_m_k: Table::constant(number(&mut b, 1e-2, 400.0)),
                density_kg_m3: number(&mut b, 5.0, 2e4),
                heat_capacity_j_kg_k: Table::constant(number(&mut b, 100.0, 5000.0)),
                start_k: vec![number(&mut b, 200.0, 1000.0)],
                contact_w_m2_k: (b.next().unwrap_or(0) > 128).then(|| number(&mut b, 1.0, 1e6)),
                melting: (b.next().unwrap_or(0) > 200)
                    .then(|| Melting::between(5e4, (330.0, 335.0, 340.0), (300.0, 310.0, 320.0)).unwrap()),
                cells: Some(usize::from(b.next().unwrap_or(0)) % 30),
                ..layer(number(&mut b, 1e-5, 0.5))
            })
            .collect::<Vec<_>>();
        let mut face = || Face {
            film_w_m2_k: number(&mut b, 1e-3, 1e6),
            gas_k: number(&mut b, 200.0, 1400.0),
            free_w_m2_k125: number(&mut b, 1e-2, 10.0),
            emissivity: number(&mut b, 1e-3, 1.0),
            surroundings_k: number(&mut b, 200.0, 1400.0),
            ..Face::INSULATED
        };
        let (front, back) = (face(), face());
        let steps = [Step { seconds: number(&mut b, 1e-3, 1e5), front, back }];
        if let Ok(run) = heat_slab(&layers, &steps, &[]) {
            prop_assert!(run.temperature_k.iter().all(|t| t.is_finite()));
            prop_assert!(run.energy_error.abs() < 1e-9, "{}", run.energy_error);
        }
    }

    /// Any hold and back: an answer or a typed error.
    #[test]
    fn any_question_is_answered(mm in 0.1..20.0_f64, film in 0.0..300.0_f64, gas in 250.0..900.0_f64, every in 0.5..60.0_f64, on in 0.1..30.0_f64) {
        let plain = ask(mm * 1e-3, film, gas);
        let turned = Ask { back: Back::Turned { every_s: every }, ..plain.clone() };
        let pulsed = Ask { pulse: Some(Pulse { on_s: on, off_s: every, strength: 1.5 }), ..plain.clone() };
        let held = Ask {
            hold: Hold::AgainstMetalBehindFoam { foam: mountwright::heat::Body::FOAM, metal: mountwright::heat::Body::DRIVER, transfer_s: 3.0 },
            back: Back::SameHeat,
            ..plain
        };
        for ask in [turned, pulsed, held] {
            let answer = recipe(&ask).unwrap();
            prop_assert!(answer.peak_face_k.is_finite());
        }
    }
}
