//! What must hold for any strap, fold, draw and ring.

use mountwright::outline::{FaultKind, Point};
use mountwright::shape::draw::{DrawAsk, Held, Solid, drawn};
use mountwright::shape::drawing::{Title, drawing};
use mountwright::shape::fold::{Fold, FoldAsk, Neutral, folded};
use mountwright::shape::panel::{Cutout, Hole, PanelAsk, panel};
use mountwright::shape::ring::{Holds, RingAsk, Screws, ring};
use mountwright::shape::stack::Stocked;
use mountwright::shape::strap::{Body, Leg, StrapAsk, strap};
use mountwright::shape::{Blank, Centres, Faces, Form, Grain, Hand, HoleKind, Toward};
use proptest::prelude::*;

fn svg(blank: &Blank) -> String {
    drawing(blank, &Title::default()).unwrap().svg()
}

fn pod() -> StrapAsk {
    let leg = |foot_m, centre_height_m, tab_m| Leg::flat(foot_m, centre_height_m, tab_m, 0.024);
    StrapAsk {
        hand: Hand::Left,
        foam_m: 2e-3,
        middle_width_m: 0.038,
        middle_length_m: 0.03,
        bend_radius_m: 6e-3,
        screw_spacing_m: Some(0.107),
        ..StrapAsk::new(
            "left pod",
            3e-3,
            0.0235,
            leg(0.039, 0.027, 0.022),
            leg(0.046, 0.027, 0.022),
        )
    }
}

/// Area of a polygon between two abscissas.
fn area_between(points: &[Point], from: f64, to: f64) -> f64 {
    let mut area = 0.0;
    for (a, b) in points.iter().zip(points.iter().cycle().skip(1)) {
        // What lies under each edge within the strip, signed; the sum is the area.
        let (low, high) = (a.x_m.min(b.x_m).max(from), a.x_m.max(b.x_m).min(to));
        if high > low {
            let at = |x: f64| a.y_m + (b.y_m - a.y_m) * (x - a.x_m) / (b.x_m - a.x_m);
            area += (a.x_m - b.x_m).signum() * (high - low) * f64::midpoint(at(low), at(high));
        }
    }
    area.abs()
}

type Change = (&'static str, fn(&mut StrapAsk));

#[test]
fn every_measurement_of_a_strap_changes_its_drawing() {
    let before = svg(&strap(&pod()).unwrap().blank);
    // Each measurement by 3 mm (the spacing by as much as its tabs allow).
    let changes: [Change; 15] = [
        ("body", |a| {
            a.body = Body::Round {
                radius_m: 0.0235 - 1.5e-3,
            }
        }),
        ("foam", |a| a.foam_m -= 1.5e-3),
        ("left height", |a| a.left.centre_height_m += 3e-3),
        ("right height", |a| a.right.centre_height_m += 3e-3),
        ("left foot", |a| {
            a.left.foot_m += 3e-3;
            a.screw_spacing_m = Some(0.110);
        }),
        ("right foot", |a| {
            a.right.foot_m += 3e-3;
            a.screw_spacing_m = Some(0.110);
        }),
        ("middle width", |a| a.middle_width_m += 3e-3),
        ("middle length", |a| a.middle_length_m += 3e-3),
        ("end width", |a| a.right.end_width_m += 3e-3),
        ("tab", |a| a.left.tab_m += 3e-3),
        ("foot radius", |a| a.bend_radius_m += 3e-3),
        ("screw spacing", |a| a.screw_spacing_m = Some(0.110)),
        ("screw", |a| a.holes.diameter_m += 1e-3),
        ("trim", |a| a.trim_m += 3e-3),
        ("thickness", |a| a.thickness_m += 1e-3),
    ];
    for (what, change) in changes {
        let mut ask = pod();
        change(&mut ask);
        let after = strap(&ask).unwrap_or_else(|e| unreachable!("{what}: {e}"));
        assert_ne!(before, svg(&after.blank), "{what}");
    }
}

fn circle(diameter_m: f64, count: u32) -> Centres {
    Centres::Circle {
        diameter_m,
        count,
        first_rad: 0.4,
    }
}

#[test]
fn every_measurement_of_a_ring_changes_a_drawing() {
    let stock = |mm: f64| Stocked {
        name: format!("{mm} mm"),
        thickness_m: mm * 1e-3,
        price_per_m2: mm,
    };
    let screws = |name: &str, holds, diameter_m| Screws {
        name: name.into(),
        holds,
        centres: circle(diameter_m, 4),
        hole_m: 3.2e-3,
        depth_m: 0.012,
        countersink_m: None,
        insert: None,
    };
    let base = || RingAsk {
        name: "ring".into(),
        hand: Hand::Either,
        outer: Form::Circle { diameter_m: 0.180 },
        cutout: Cutout {
            name: "driver".into(),
            form: Form::Circle { diameter_m: 0.140 },
            at: Point::new(0.0, 0.0),
            turn_rad: 0.0,
        },
        screws: vec![
            screws("driver screw", Holds::Driver, 0.155),
            Screws {
                centres: Centres::Circle {
                    diameter_m: 0.160,
                    count: 4,
                    first_rad: 1.2,
                },
                ..screws("vehicle screw", Holds::Vehicle, 0.160)
            },
        ],
        depth_m: 0.018,
        over_m: 5e-4,
        stocked: vec![stock(6.0), stock(12.0), stock(3.0)],
        joint_price: 0.1,
        chamfer: None,
        bevel_m: 0.0,
        finish_m: 0.0,
        faces: Faces::Alike,
        grain: Grain::Free,
    };
    let all = |ask: &RingAsk| -> String { ring(ask).unwrap().blanks.iter().map(svg).collect() };
    let before = all(&base());
    let changes: [fn(&mut RingAsk); 8] = [
        |a| a.outer = Form::Circle { diameter_m: 0.183 },
        |a| a.cutout.form = Form::Circle { diameter_m: 0.143 },
        |a| a.cutout.at = Point::new(3e-3, 0.0),
        |a| a.depth_m = 0.021,
        |a| a.screws[0].centres = circle(0.158, 4),
        |a| a.screws[0].centres = circle(0.155, 3),
        |a| a.screws[0].hole_m += 1e-3,
        |a| a.finish_m = 1e-3,
    ];
    for (i, change) in changes.iter().enumerate() {
        let mut ask = base();
        change(&mut ask);
        assert_ne!(before, all(&ask), "change {i}");
    }
}

proptest! {
    #[test]
    fn straps_are_sound_and_mirror_into_one_another(
        radius in 0.01..0.06_f64, foam in 0.0..0.005_f64, t in 0.001..0.005_f64, foot in 0.004..0.02_f64,
        out in (0.0..0.08_f64, 0.0..0.08_f64), height in (0.0..0.04_f64, 0.0..0.04_f64),
        widths in (0.02..0.08_f64, 0.012..0.03_f64, 0.012..0.03_f64), tilt in (-0.3..0.3_f64, -0.3..0.3_f64),
    ) {
        let k = 0.5;
        let reach = radius + foam + foot + 2.0 * k * t;
        let leg = |out: f64, h: f64, end_width_m: f64, tilt_rad: f64| Leg {
            tilt_rad,
            ..Leg::flat(reach + 1e-3 + out, t + foot + h, 0.02, end_width_m)
        };
        let ask = StrapAsk {
            foam_m: foam,
            bend_radius_m: foot,
            middle_width_m: widths.0,
            ..StrapAsk::new("s", t, radius, leg(out.0, height.0, widths.1, tilt.0), leg(out.1, height.1, widths.2, tilt.1))
        };
        let Ok(one) = strap(&ask) else { return Ok(()) };
        let faults = one.blank.outline.faults();
        prop_assert!(faults.is_empty(), "{:?}", faults);
        let other = strap(&StrapAsk { left: ask.right, right: ask.left, ..ask.clone() }).unwrap();
        prop_assert!((one.developed_length_m - other.developed_length_m).abs() < 1e-12);
        prop_assert!((one.blank.area_m2() - other.blank.area_m2()).abs() < 1e-12);
        // The strap is no shorter than the straight way between the ends of its feet, over the top of the body.
        let top = ask.left.foot_m + ask.right.foot_m;
        prop_assert!(one.developed_length_m > top);
        // Bends and flanks add up to the developed length.
        let bent: f64 = one.blank.bends.iter().map(|b| b.allowance_m).sum();
        let straight = one.left.flank_m + one.right.flank_m + 0.04;
        prop_assert!((bent + straight - one.developed_length_m).abs() < 1e-9);
        prop_assert!(svg(&one.blank).len() > 1000);
    }

    #[test]
    fn what_the_liner_touches_is_the_straps_own_width_over_the_wrap(
        end in 0.010..0.037_f64, flat in 0.0..0.06_f64, foot in 0.036..0.06_f64, foam in 0.0..0.004_f64,
    ) {
        let leg = Leg::flat(foot, 0.027, 0.022, end);
        let far = Leg::flat(foot + 0.006, 0.027, 0.022, end);
        let ask = StrapAsk {
            foam_m: foam,
            middle_width_m: 0.038,
            middle_length_m: flat,
            bend_radius_m: 6e-3,
            ..StrapAsk::new("pod", 3e-3, 0.0235, leg, far)
        };
        let Ok(made) = strap(&ask) else { return Ok(()) };
        // The outline between the stations where the strap leaves the body, shortened from the neutral axis to the
        // inside of the sheet: (r + foam) for (r + foam + K t). Eased corners of the pattern leave under half a per cent.
        let (points, _) = made.blank.outline.flatten(1e-6);
        let on_inside = (0.0235 + foam) / (0.0235 + foam + ask.neutral_fraction * 3e-3);
        let area = area_between(&points, -made.left.leaves_body_m, made.right.leaves_body_m) * on_inside;
        prop_assert!((made.liner_area_m2 / area - 1.0).abs() < 5e-3, "{} {area}", made.liner_area_m2);
        prop_assert!(made.liner_area_m2 <= 0.038 * on_inside * (made.left.leaves_body_m + made.right.leaves_body_m) + 1e-12);
    }

    #[test]
    fn folds_are_made_from_the_outside_in_and_heated_on_the_sheet(
        flanges in prop::collection::vec(0.02..0.12_f64, 3..6), r in 0.003..0.009_f64, first in 0.0..1.0_f64,
    ) {
        let folds: Vec<Fold> = flanges.iter().skip(1)
            .map(|_| Fold { angle_rad: 0.9, inside_radius_m: r, toward: Toward::Show }).collect();
        // A first flange barely longer than its setback: the strip that wants heat reaches over the edge.
        let set = (r + 3e-3) * 0.45_f64.tan();
        let mut flanges_m = flanges;
        flanges_m[0] = set + 2e-3 * first;
        let ask = FoldAsk {
            name: "f".into(), hand: Hand::Either, thickness_m: 3e-3, width_m: 0.1, flanges_m, folds,
            neutral: Neutral::Fixed(0.45), bend_radius_over_t: 0.0, border_over_t: 0.0, springback_rad: 0.0,
            finish_m: 0.0, faces: Faces::Alike, grain: Grain::Free,
        };
        let Ok(made) = folded(&ask) else { return Ok(()) };
        let middles: Vec<f64> = made.blank.bends.iter()
            .map(|b| f64::midpoint(b.begins.0.x_m, b.ends.0.x_m).abs()).collect();
        prop_assert!(middles.is_sorted_by(|a, b| *a >= *b - 1e-12), "{middles:?}");
        let (left, bottom, right, top) = made.blank.outline.bounds_m();
        for zone in &made.blank.heated {
            let (l, b, r, t) = zone.chain.bounds_m();
            prop_assert!(l >= left - 1e-9 && r <= right + 1e-9 && b >= bottom - 1e-9 && t <= top + 1e-9);
            prop_assert!((zone.area_m2 - (r - l) * (t - b)).abs() < 1e-9 && (zone.length_m - (r - l)).abs() < 1e-9);
        }
    }

    #[test]
    fn a_slot_is_as_near_to_an_edge_as_the_screw_can_come(
        x in -0.08..0.08_f64, y in -0.03..0.03_f64, turn in 0.0..3.1_f64, length in 0.006..0.014_f64,
    ) {
        let hole = |kind| Hole {
            name: "screw".into(), centre: Point::new(x, y), diameter_m: 5e-3, kind, countersink_m: None,
        };
        let edge = |kind| panel(&PanelAsk {
            name: "p".into(), hand: Hand::Either, thickness_m: 3e-3,
            outer: Form::RoundedRectangle { width_m: 0.2, height_m: 0.1, corner_m: 0.0 },
            cutouts: vec![], holes: vec![hole(kind)], finish_m: 0.0, faces: Faces::Alike, grain: Grain::Free,
        }).unwrap().edge_m.unwrap();
        // In a rectangle: from the nearer end of the slot's axis to the nearest side.
        let play = (length - 5e-3) / 2.0;
        let (dx, dy) = (play * turn.cos().abs(), play * turn.sin().abs());
        let want = (0.1 - x.abs() - dx).min(0.05 - y.abs() - dy);
        let found = edge(HoleKind::Slot { length_m: length, angle_rad: turn });
        prop_assert!((found - want).abs() < 1e-9, "{found} {want}");
        prop_assert!((edge(HoleKind::Round) - (0.1 - x.abs()).min(0.05 - y.abs())).abs() < 1e-9);
    }

    #[test]
    fn draws_keep_their_volume(
        t in 0.0005..0.006_f64, rim in 0.03..0.3_f64, share in 0.1..0.9_f64, deep in 0.02..0.9_f64, corner in 0.05..0.45_f64,
    ) {
        for solid in [
            Solid::Cylinder { diameter_m: rim, depth_m: rim * deep },
            Solid::Frustum { rim_m: rim, crown_m: rim * share, depth_m: rim * deep },
            Solid::Dome { rim_m: rim, height_m: rim * deep / 2.0 },
            Solid::Box { length_m: rim * 1.3, width_m: rim, depth_m: rim * deep, corner_m: (rim * corner).max(t) },
        ] {
            let ask = DrawAsk {
                name: "pod".into(),
                hand: Hand::Either,
                thickness_m: t,
                solid,
                held: Held::Clamped,
                edge_m: 0.0,
                depth_ratio_max: 2.0,
                faces: Faces::Alike,
                grain: Grain::Free,
            };
            let Ok(made) = drawn(&ask) else { continue };
            let rim_area = match solid {
                Solid::Box { length_m, width_m, corner_m, .. } => {
                    length_m * width_m - (4.0 - std::f64::consts::PI) * corner_m * corner_m
                }
                _ => std::f64::consts::PI * rim * rim / 4.0,
            };
            let volume: f64 = made.walls.iter().map(|w| w.area_m2 * w.thickness_m).sum();
            prop_assert!((volume / (t * rim_area) - 1.0).abs() < 1e-12);
            let area: f64 = made.walls.iter().map(|w| w.area_m2).sum();
            prop_assert!((area / rim_area / made.draw_ratio - 1.0).abs() < 1e-9);
            prop_assert!(made.thinnest_m > 0.0 && made.thinnest_m <= made.mean_m * (1.0 + 1e-12));
            // Draped, the blank has the solid's own area.
            let draped = drawn(&DrawAsk { held: Held::Free, ..ask.clone() }).unwrap();
            prop_assert!((draped.blank.area_m2() / area - 1.0).abs() < 1e-9);
            let deeper = drawn(&DrawAsk { thickness_m: t * 1.1, ..ask.clone() });
            if let Ok(thicker) = deeper {
                prop_assert!(thicker.thinnest_m > made.thinnest_m);
            }
        }
    }

    #[test]
    fn folds_at_mid_thickness_are_as_long_as_their_middle_line(
        t in 0.001..0.005_f64, r in 0.003..0.02_f64, a in 0.1..2.0_f64, b in 0.1..2.0_f64, back in any::<bool>(),
    ) {
        let fold = |angle_rad, toward| Fold { angle_rad, inside_radius_m: r, toward };
        let ask = FoldAsk {
            name: "f".into(),
            hand: Hand::Either,
            thickness_m: t,
            width_m: 0.1,
            flanges_m: vec![0.08, 0.15, 0.08],
            folds: vec![fold(a, Toward::Show), fold(b, if back { Toward::Back } else { Toward::Show })],
            neutral: Neutral::Fixed(0.5),
            bend_radius_over_t: 0.0,
            border_over_t: 0.0,
            springback_rad: 0.0,
            finish_m: 0.0,
            faces: Faces::Alike,
            grain: Grain::Free,
        };
        let Ok(made) = folded(&ask) else { return Ok(()) };
        // Straight parts from the outer corner, arcs at mid-thickness.
        let set = |x: f64| (r + t) * (x / 2.0).tan();
        let want = 0.31 - 2.0 * set(a) - 2.0 * set(b) + (a + b) * (r + t / 2.0);
        prop_assert!((made.flat_length_m - want).abs() < 1e-12);
    }
}

#[test]
fn a_faulty_outline_is_not_drawn() {
    let mut blank = strap(&pod()).unwrap().blank;
    blank.outline.outside.segments.pop();
    assert_eq!(blank.outline.faults()[0].kind, FaultKind::Open);
    assert!(drawing(&blank, &Title::default()).is_err());
}
