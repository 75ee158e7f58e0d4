//! What holds for rings, grilles and folds whatever their size.

use std::f64::consts::{FRAC_PI_4, PI};

use mountwright::outline::Point;
use mountwright::shape::fold::{Fold, FoldAsk, Neutral, folded};
use mountwright::shape::grille::{GrilleAsk, grille};
use mountwright::shape::panel::{Cutout, PanelAsk, panel};
use mountwright::shape::ring::{Chamfer, Holds, Insert, RingAsk, Screws, ring};
use mountwright::shape::seal::{SealAsk, seals};
use mountwright::shape::stack::{Stocked, stack};
use mountwright::shape::template::{Guide, router};
use mountwright::shape::{Centres, Faces, Form, Grain, Hand, Toward};
use proptest::prelude::*;

fn stock(mm: f64, price_per_m2: f64) -> Stocked {
    Stocked {
        name: format!("{mm} mm"),
        thickness_m: mm * 1e-3,
        price_per_m2,
    }
}

fn screws(holds: Holds, circle_m: f64, hole_m: f64) -> Screws {
    Screws {
        name: "screw".into(),
        holds,
        centres: Centres::Circle {
            diameter_m: circle_m,
            count: 4,
            first_rad: 0.3,
        },
        hole_m,
        depth_m: 0.0,
        countersink_m: None,
        insert: None,
    }
}

fn cutout(form: Form) -> Cutout {
    Cutout {
        name: "driver".into(),
        form,
        at: Point::new(0.0, 0.0),
        turn_rad: 0.0,
    }
}

/// A ring of 220 mm with an opening of 142 mm, 25 mm deep in two layers.
fn ask(screws: Vec<Screws>, chamfer_m: f64) -> RingAsk {
    RingAsk {
        name: "ring".into(),
        hand: Hand::Either,
        outer: Form::Circle { diameter_m: 0.22 },
        cutout: cutout(Form::Circle { diameter_m: 0.142 }),
        screws,
        depth_m: 0.025,
        over_m: 1e-3,
        stocked: vec![stock(12.5, 40.0)],
        joint_price: 0.5,
        chamfer: (chamfer_m > 0.0).then_some(Chamfer {
            depth_m: chamfer_m,
            angle_rad: FRAC_PI_4,
        }),
        bevel_m: 0.0,
        finish_m: 0.0,
        faces: Faces::Alike,
        grain: Grain::Free,
    }
}

proptest! {
    #[test]
    fn a_chamfer_takes_edge_and_glue(circle in 0.15..0.21_f64, deep in 1e-3..0.022_f64, hole in 3e-3..7e-3_f64) {
        let made = ring(&ask(vec![screws(Holds::Vehicle, circle, hole)], deep));
        // At the vehicle's face the opening is wider by as much as the chamfer is high, at 45°.
        let edge = (0.11 - circle / 2.0).min(circle / 2.0 - 0.071 - deep);
        match made {
            Ok(made) => {
                prop_assert!(edge >= hole / 2.0 - 1e-9);
                prop_assert!((made.edge_m.unwrap() - edge).abs() < 1e-9);
                let opened = 0.071 + (deep - 0.0125).max(0.0);
                let holes = 4.0 * PI / 4.0 * hole * hole;
                prop_assert!((made.glue_area_m2 - (PI * (0.11_f64.powi(2) - opened * opened) - holes)).abs() < 1e-9);
            }
            Err(e) => prop_assert!(edge < hole / 2.0 + 1e-9 || circle / 2.0 - 0.071 < hole / 2.0 + 1e-9, "{}", e),
        }
    }

    #[test]
    fn every_driver_screw_has_a_hole_in_the_front_layer(depth in 0.0..0.025_f64) {
        let made = ring(&ask(vec![Screws { depth_m: depth, ..screws(Holds::Driver, 0.18, 3.2e-3) }], 0.0)).unwrap();
        let holes: Vec<usize> = made.blanks.iter().map(|b| b.outline.holes.len() - 1).collect();
        prop_assert_eq!(holes, vec![4, if depth > 0.0125 { 4 } else { 0 }]);
    }

    #[test]
    fn a_grilles_retaining_ring_keeps_two_millimetres(lap in 2e-3..0.012_f64, wrap in 0.0..2e-3_f64, play in 0.0..1e-3_f64) {
        let asked = GrilleAsk { name: "grille".into(), hand: Hand::Either,
            outer: Form::Circle { diameter_m: 0.19 }, opening: Form::Circle { diameter_m: 0.14 },
            thickness_m: 0.012, retainer_m: 2e-3, mesh_m: 1e-3, lap_m: lap, wrap_m: wrap, play_m: play,
            cone_m: None, faces: Faces::Alike };
        let width = lap - wrap - 2.0 * play;
        match grille(&asked) {
            Ok(made) => {
                prop_assert!(width >= 2e-3 - 1e-9);
                prop_assert!((made.retainer.outline.web_m().unwrap() - width).abs() < 1e-9);
            }
            Err(_) => prop_assert!(width < 2e-3 + 1e-9),
        }
    }

    #[test]
    fn of_stacks_that_cost_the_same_the_one_of_fewest_layers_is_taken(mm in 2_u32..5, times in 2_u32..5, price in 1_u32..900) {
        let (thin, price) = (f64::from(mm), f64::from(price) / 100.0);
        let n = f64::from(times);
        let stocked = [stock(thin, price), stock(thin * n, price * n)];
        let made = stack(thin * n * 1e-3, 0.0, &stocked, 0.0234, 0.0).unwrap();
        prop_assert_eq!(made.layers, vec![1]);
    }

    #[test]
    fn a_finish_thicker_than_a_corner_leaves_it_sharp(corner in 0.0..1.4e-3_f64) {
        let made = panel(&PanelAsk { name: "trim".into(), hand: Hand::Left, thickness_m: 1e-3,
            outer: Form::RoundedRectangle { width_m: 0.1, height_m: 0.06, corner_m: corner },
            cutouts: vec![], holes: vec![], finish_m: 1.5e-3, faces: Faces::Alike, grain: Grain::Free }).unwrap();
        prop_assert!((made.blank.area_m2() - 0.097 * 0.057).abs() < 1e-12);
        // A bushing rolls round the template's corner: offset (B - d)/2, common to every book of routing.
        let template = router(&made.blank, Guide::Bushing { bushing_m: 0.016, bit_m: 6.35e-3 }).unwrap();
        prop_assert!(template.notes.iter().any(|n| n.about == "outside corners" && n.text.contains("4.8 mm")));
    }
}

#[test]
fn an_insert_is_judged_by_the_edge_of_its_own_holes() {
    let insert = Insert {
        outside_m: 5e-3,
        length_m: 8e-3,
    };
    let driver = Screws {
        depth_m: 0.010,
        insert: Some(insert),
        ..screws(Holds::Driver, 0.159, 3.2e-3)
    };
    let vehicle = Screws {
        centres: Centres::Circle {
            diameter_m: 0.151,
            count: 4,
            first_rad: 1.1,
        },
        ..screws(Holds::Vehicle, 0.151, 4.5e-3)
    };
    // The vehicle's holes lie 4.5 mm from the opening, the inserts 8.5 mm, and they need 5.05 mm.
    let made = ring(&ask(vec![vehicle, driver], 0.0)).unwrap();
    assert!((made.edge_m.unwrap() - 0.0045).abs() < 1e-9);
}

#[test]
fn gaskets_follow_an_opening_that_is_not_round() {
    let oval = RingAsk {
        outer: Form::Ellipse {
            width_m: 0.2,
            height_m: 0.27,
        },
        cutout: cutout(Form::Stadium {
            width_m: 0.22,
            height_m: 0.15,
        }),
        ..ask(vec![], 0.0)
    };
    let turned = RingAsk {
        outer: Form::Stadium {
            width_m: 0.30,
            height_m: 0.22,
        },
        ..oval.clone()
    };
    let made = ring(&turned).unwrap();
    let found = seals(
        &made.blanks,
        &SealAsk {
            flange_m: 0.172,
            free_m: 6e-3,
            trim_gap_m: Some(0.01),
            fixing: None,
            screw_m: 5e-3,
        },
    )
    .unwrap();
    // 11 mm of flange all round: its edge is a stadium of 242 by 172 mm, and the collar's middle lies 3 mm inside it.
    let collar = found.collar.unwrap().outline.size_m().0;
    assert!((collar - (2.0 * 0.07 + PI * (0.172 - 6e-3))).abs() < 1e-9);
    let (w, h) = found.driver.outline.size_m();
    assert!((w - h - 0.07).abs() < 1e-9 && h < 0.172);
}

#[test]
fn a_gentle_joggle_does_not_run_into_itself() {
    let fold = |toward| Fold {
        angle_rad: 15_f64.to_radians(),
        inside_radius_m: 0.012,
        toward,
    };
    let joggle = FoldAsk {
        name: "joggle".into(),
        hand: Hand::Left,
        thickness_m: 0.012,
        width_m: 0.08,
        flanges_m: vec![0.06, 0.01, 0.06],
        folds: vec![fold(Toward::Show), fold(Toward::Back)],
        neutral: Neutral::Fixed(0.5),
        bend_radius_over_t: 1.0,
        border_over_t: 0.0,
        springback_rad: 0.0,
        finish_m: 0.0,
        faces: Faces::Alike,
        grain: Grain::Free,
    };
    assert!(folded(&joggle).is_ok());
    // A closed box of four right angles does: its last flange lies on its first.
    let square = |toward| Fold {
        angle_rad: PI / 2.0,
        inside_radius_m: 3e-3,
        toward,
    };
    let shut = FoldAsk {
        thickness_m: 3e-3,
        flanges_m: vec![0.05; 5],
        folds: vec![square(Toward::Show); 4],
        ..joggle
    };
    assert!(folded(&shut).is_err());
}
