//! Bad measurements and hostile names: a typed error, never a panic or a NaN in a drawing.

use mountwright::Error;
use mountwright::outline::{Chain, Outline, Point};
use mountwright::quantity::System;
use mountwright::shape::aim::{AimAsk, WedgeAsk, aim, wedge};
use mountwright::shape::draw::{DrawAsk, Held, Solid, drawn};
use mountwright::shape::drawing::{Page, Title, drawing};
use mountwright::shape::fold::{Fold, FoldAsk, Neutral, folded};
use mountwright::shape::grille::{GrilleAsk, grille};
use mountwright::shape::panel::{Cutout, Hole, PanelAsk, panel};
use mountwright::shape::router::{Cuts, Cutter, Method, cut};
use mountwright::shape::seal::{SealAsk, SteelFixing, seals};
use mountwright::shape::strap::{Body, Leg, StrapAsk, WireExit, strap};
use mountwright::shape::template::{Guide, router};
use mountwright::shape::{Blank, Faces, Form, Grain, Hand, HoleKind, Toward};

const BAD: [f64; 6] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 1e9, -0.0];

const WIRE: WireExit = WireExit {
    along_m: 0.0,
    width_m: 4e-3,
    depth_m: 5e-3,
    lip_m: 1e-3,
    upper: false,
};

fn profile(x_m: f64) -> Body {
    let p = Point::new;
    Body::Profile {
        points: vec![p(x_m, 0.0), p(-0.02, 0.02), p(-0.02, -0.02), p(0.02, 0.01)],
    }
}

fn pod() -> StrapAsk {
    let leg = Leg::flat(0.045, 0.027, 0.022, 0.024);
    StrapAsk::new("pod", 3e-3, 0.0235, leg, leg)
}

#[test]
fn bad_numbers_in_a_strap_are_refused_or_answered_finitely() {
    let set: [fn(&mut StrapAsk, f64); 29] = [
        |a, v| a.thickness_m = v,
        |a, v| a.body = Body::Round { radius_m: v },
        |a, v| a.foam_m = v,
        |a, v| a.middle_width_m = v,
        |a, v| a.middle_length_m = v,
        |a, v| a.left.foot_m = v,
        |a, v| a.right.foot_m = v,
        |a, v| a.left.centre_height_m = v,
        |a, v| a.left.tab_m = v,
        |a, v| a.left.end_width_m = v,
        |a, v| a.left.tilt_rad = v,
        |a, v| a.bend_radius_m = v,
        |a, v| a.bend_radius_over_t = v,
        |a, v| a.neutral_fraction = v,
        |a, v| a.holes.diameter_m = v,
        |a, v| a.holes.slot_m = v,
        |a, v| a.trim_m = v,
        |a, v| a.shrink_fraction = v,
        |a, v| a.screw_spacing_m = Some(v),
        |a, v| a.left.aside_m = v,
        |a, v| a.right.twist_rad = v,
        |a, v| a.left.cut_m = v,
        |a, v| a.body_length_m = Some(v),
        |a, v| (a.body_length_m, a.bare_m) = (Some(0.05), v),
        |a, v| {
            a.body = Body::Oval {
                width_m: v,
                height_m: 0.04,
            }
        },
        |a, v| {
            a.body = Body::Oval {
                width_m: 0.04,
                height_m: v,
            }
        },
        |a, v| a.body = profile(v),
        |a, v| a.wire = Some(WireExit { along_m: v, ..WIRE }),
        |a, v| {
            a.wire = Some(WireExit {
                width_m: v,
                lip_m: v,
                ..WIRE
            });
        },
    ];
    for (i, set) in set.iter().enumerate() {
        for bad in BAD {
            let mut ask = pod();
            set(&mut ask, bad);
            match strap(&ask) {
                Err(Error::OutOfRange { .. }) => {}
                Err(other) => unreachable!("{i} {bad}: {other}"),
                Ok(made) => {
                    assert!(
                        bad.abs() <= 1.0 && made.developed_length_m.is_finite(),
                        "{i} {bad}"
                    );
                    assert!(made.blank.outline.faults().is_empty(), "{i} {bad}");
                }
            }
        }
    }
}

#[test]
fn a_piece_too_short_names_the_length_that_reaches() {
    let whole = strap(&pod()).unwrap().blank_length_m;
    let mut ask = pod();
    ask.available_length_m = Some(whole - 1e-3);
    match strap(&ask) {
        Err(Error::OutOfRange { what, allowed, .. }) => {
            assert_eq!(what, "available_length_m");
            assert!((allowed.low - whole).abs() < 1e-12);
        }
        other => unreachable!("{other:?}"),
    }
    ask.available_length_m = Some(whole + 1e-6);
    assert!(strap(&ask).is_ok());
    let mut tight = pod();
    tight.bend_radius_over_t = 3.0;
    match strap(&tight) {
        Err(Error::OutOfRange { what, allowed, .. }) => {
            assert_eq!(what, "bend_radius_m");
            assert!((allowed.low - 9e-3).abs() < 1e-9);
        }
        other => unreachable!("{other:?}"),
    }
}

#[test]
fn names_cannot_break_out_of_a_drawing() {
    let mut ask = pod();
    ask.name = "</text><script>alert(1)</script>\u{0}\n\u{ffff}\"'&".repeat(200);
    let title = Title {
        units: System::Inch,
        job: "]]><svg onload=x>".into(),
        material: "\u{7}\u{1b}[31m".into(),
        remark: "&lt;".into(),
    };
    let svg = drawing(&strap(&ask).unwrap().blank, &title).unwrap().svg();
    assert!(!svg.contains("<script") && !svg.contains("onload=x>") && !svg.contains('\u{0}'));
    assert!(!svg.contains("NaN") && !svg.contains("inf"));
    assert_eq!(svg.matches("<svg").count(), 1);
    assert!(svg.contains("&amp;lt;"));
}

fn flat(cutouts: Vec<Cutout>, holes: Vec<Hole>) -> PanelAsk {
    PanelAsk {
        name: "panel".into(),
        hand: Hand::Either,
        thickness_m: 3e-3,
        outer: Form::RoundedRectangle {
            width_m: 0.3,
            height_m: 0.2,
            corner_m: 0.01,
        },
        cutouts,
        holes,
        finish_m: 0.0,
        faces: Faces::Alike,
        grain: Grain::Free,
    }
}

fn round(name: &str, diameter_m: f64, x: f64, y: f64) -> Cutout {
    Cutout {
        name: name.into(),
        form: Form::Circle { diameter_m },
        at: Point::new(x, y),
        turn_rad: 0.0,
    }
}

#[test]
fn features_that_do_not_fit_are_named() {
    let text = |ask: &PanelAsk| panel(ask).unwrap_err().to_string();
    let larger = text(&flat(vec![round("driver", 0.25, 0.0, 0.0)], vec![]));
    assert!(
        larger.contains("driver") && larger.contains("0 to 0.2"),
        "{larger}"
    );
    let across = text(&flat(vec![round("driver", 0.1, 0.12, 0.0)], vec![]));
    assert!(
        across.contains("cutout \"driver\" is not inside the part"),
        "{across}"
    );
    let twice = text(&flat(
        vec![round("one", 0.1, 0.0, 0.0), round("two", 0.1, 0.05, 0.0)],
        vec![],
    ));
    assert!(
        twice.contains("cutout \"two\" overlaps another hole"),
        "{twice}"
    );
    let outside = text(&flat(
        vec![],
        vec![Hole::round("screw", Point::new(0.2, 0.0), 4e-3)],
    ));
    assert!(
        outside.contains("screw") && outside.contains("at least 2.00 mm inside"),
        "{outside}"
    );
    let same = Hole::round("screw", Point::new(0.1, 0.0), 4e-3);
    let over = text(&flat(vec![], vec![same.clone(), same]));
    assert!(over.contains("hole \"screw\""), "{over}");
    for bad in BAD {
        assert!(panel(&flat(vec![round("d", bad, 0.0, 0.0)], vec![])).is_err());
        if bad.abs() > 0.0 {
            assert!(panel(&flat(vec![round("d", 0.05, bad, 0.0)], vec![])).is_err());
            assert!(
                panel(&flat(
                    vec![],
                    vec![Hole::round("h", Point::new(0.0, bad), 4e-3)]
                ))
                .is_err()
            );
        }
        assert!(
            panel(&flat(
                vec![],
                vec![Hole::round("h", Point::new(0.0, 0.0), bad)]
            ))
            .is_err()
        );
        let slot = Hole {
            kind: HoleKind::Slot {
                length_m: bad,
                angle_rad: 0.0,
            },
            ..Hole::round("h", Point::new(0.0, 0.0), 4e-3)
        };
        assert!(panel(&flat(vec![], vec![slot])).is_err());
    }
    let few = PanelAsk {
        outer: Form::Polygon {
            points: vec![Point::new(0.0, 0.0); 2],
            corner_m: 0.0,
        },
        ..flat(vec![], vec![])
    };
    assert!(matches!(panel(&few), Err(Error::Shape { .. })));
    let nowhere = PanelAsk {
        outer: Form::Polygon {
            points: vec![Point::new(0.1, 0.1); 5],
            corner_m: 0.01,
        },
        ..flat(vec![], vec![])
    };
    assert!(matches!(panel(&nowhere), Err(Error::Shape { .. })));
}

#[test]
fn bad_folds_and_draws_are_refused() {
    for bad in BAD {
        let fold = Fold {
            angle_rad: bad,
            inside_radius_m: 6e-3,
            toward: Toward::Show,
        };
        let ask = FoldAsk {
            name: "f".into(),
            hand: Hand::Either,
            thickness_m: 3e-3,
            width_m: 0.1,
            flanges_m: vec![0.05, 0.05],
            folds: vec![fold],
            neutral: Neutral::Fixed(0.45),
            bend_radius_over_t: 1.0,
            border_over_t: 0.0,
            springback_rad: 0.0,
            finish_m: 0.0,
            faces: Faces::Alike,
            grain: Grain::Free,
        };
        assert!(folded(&ask).is_err());
        let good = Fold {
            angle_rad: 1.0,
            ..fold
        };
        for flanges_m in [vec![], vec![0.1], vec![bad, 0.1], vec![0.1; 3]] {
            assert!(
                folded(&FoldAsk {
                    folds: vec![good],
                    flanges_m,
                    ..ask.clone()
                })
                .is_err()
            );
        }
        for solid in [
            Solid::Cylinder {
                diameter_m: bad,
                depth_m: 0.02,
            },
            Solid::Cylinder {
                diameter_m: 0.1,
                depth_m: bad,
            },
            Solid::Frustum {
                rim_m: 0.1,
                crown_m: bad,
                depth_m: 0.02,
            },
            Solid::Dome {
                rim_m: 0.1,
                height_m: bad,
            },
            Solid::Box {
                length_m: 0.1,
                width_m: bad,
                depth_m: 0.02,
                corner_m: 0.01,
            },
            Solid::Box {
                length_m: 0.1,
                width_m: 0.1,
                depth_m: 0.02,
                corner_m: bad,
            },
        ] {
            let ask = DrawAsk {
                name: "d".into(),
                hand: Hand::Either,
                thickness_m: 3e-3,
                solid,
                held: Held::Clamped,
                edge_m: 0.01,
                depth_ratio_max: 1.0,
                faces: Faces::Alike,
                grain: Grain::Free,
            };
            assert!(
                matches!(drawn(&ask), Err(Error::OutOfRange { .. })),
                "{solid:?}"
            );
        }
    }
}

#[test]
fn a_profile_that_runs_into_itself_is_refused() {
    // A closed square tube whose last flange would pass through the first.
    let right = Fold {
        angle_rad: std::f64::consts::FRAC_PI_2,
        inside_radius_m: 5e-3,
        toward: Toward::Show,
    };
    let tube = FoldAsk {
        name: "tube".into(),
        hand: Hand::Either,
        thickness_m: 2e-3,
        width_m: 0.1,
        flanges_m: vec![0.05, 0.05, 0.05, 0.08],
        folds: vec![right; 3],
        neutral: Neutral::Fixed(0.45),
        bend_radius_over_t: 1.0,
        border_over_t: 0.0,
        springback_rad: 0.0,
        finish_m: 0.0,
        faces: Faces::Alike,
        grain: Grain::Free,
    };
    assert!(matches!(folded(&tube), Err(Error::Impossible { .. })));
}

#[test]
fn a_bit_that_does_not_fit_is_refused() {
    let star: Vec<Point> = (0..10)
        .map(|i| {
            Point::new(0.0, 0.0).polar(
                f64::from(i) * 0.628_318_53,
                if i % 2 == 0 { 0.05 } else { 0.02 },
            )
        })
        .collect();
    let plate = Outline::new(
        Chain::rounded_rectangle(Point::new(0.0, 0.0), 0.2, 0.2, 0.0),
        vec![Chain::polygon(&star)],
    );
    let cutter = Cutter {
        bit_m: 0.025,
        flutes: 2,
        turns_per_s: 300.0,
    };
    assert!(matches!(
        cut(
            &plate,
            6e-3,
            Method::Machine { pass_m: 3e-3 },
            cutter,
            Cuts::Soft
        ),
        Err(Error::Shape { .. })
    ));
    for bad in BAD {
        let tool = Cutter {
            bit_m: bad,
            ..cutter
        };
        assert!(cut(&plate, 6e-3, Method::HandPlunge, tool, Cuts::Soft).is_err());
        assert!(cut(&plate, bad, Method::Saw, cutter, Cuts::Soft).is_err());
    }
}

fn ring_blank() -> Blank {
    let circle = Form::Circle { diameter_m: 0.14 };
    let driver = Cutout {
        name: "driver".into(),
        form: circle,
        at: Point::new(0.0, 0.0),
        turn_rad: 0.0,
    };
    panel(&flat(vec![driver], vec![])).unwrap().blank
}

#[test]
fn bad_numbers_in_aims_and_wedges_are_refused_or_answered_finitely() {
    let up = [0.0, 0.0, 1.0];
    let ask = WedgeAsk {
        name: "w".into(),
        hand: Hand::Left,
        length_m: 0.02,
        width_m: 0.02,
        lift_rad: 0.2,
        thin_m: 1e-3,
        hole_m: 4e-3,
    };
    let set: [fn(&mut WedgeAsk, f64); 5] = [
        |a, v| a.length_m = v,
        |a, v| a.width_m = v,
        |a, v| a.lift_rad = v,
        |a, v| a.thin_m = v,
        |a, v| a.hole_m = v,
    ];
    for bad in BAD {
        let point = [bad, 0.0, 1.0];
        for (at_m, normal) in [(point, up), ([0.5, 0.0, 0.0], point)] {
            let along = [0.0, 1.0, 0.0];
            let listener_m = [1.0, 0.0, 0.0];
            if let Ok(set) = aim(&AimAsk {
                at_m,
                listener_m,
                normal,
                along,
            }) {
                assert!(set.lift_rad.is_finite() && set.turn_rad.is_finite());
            }
        }
        for change in set {
            let mut wrong = ask.clone();
            change(&mut wrong, bad);
            assert!(wedge(&wrong).is_err(), "{wrong:?}");
        }
    }
    assert!(
        aim(&AimAsk {
            at_m: up,
            listener_m: up,
            normal: up,
            along: up
        })
        .is_err()
    );
}

#[test]
fn bad_numbers_in_gaskets_and_templates_are_refused() {
    let ring = ring_blank();
    let ask = SealAsk {
        flange_m: 0.16,
        free_m: 5e-3,
        trim_gap_m: None,
        fixing: Some(SteelFixing::RivetNut),
        screw_m: 5e-3,
    };
    let layers = [ring.clone()];
    assert!(seals(&layers, &ask).is_ok() && seals(&[], &ask).is_err());
    for bad in BAD {
        for wrong in [
            SealAsk {
                flange_m: bad,
                ..ask
            },
            SealAsk { free_m: bad, ..ask },
            SealAsk {
                trim_gap_m: Some(bad),
                ..ask
            },
            SealAsk {
                screw_m: bad,
                ..ask
            },
        ] {
            assert!(seals(&layers, &wrong).is_err(), "{wrong:?}");
        }
        for guide in [
            Guide::Bearing { bit_m: bad },
            Guide::Bushing {
                bushing_m: bad,
                bit_m: 6e-3,
            },
        ] {
            assert!(router(&ring, guide).is_err(), "{guide:?}");
        }
    }
}

#[test]
fn bad_numbers_in_grilles_are_refused() {
    let circle = |diameter_m| Form::Circle { diameter_m };
    let ask = GrilleAsk {
        name: "g".into(),
        hand: Hand::Either,
        outer: circle(0.19),
        opening: circle(0.14),
        thickness_m: 6e-3,
        retainer_m: 2e-3,
        mesh_m: 1e-3,
        lap_m: 8e-3,
        wrap_m: 5e-4,
        play_m: 5e-4,
        cone_m: None,
        faces: Faces::Alike,
    };
    assert!(grille(&ask).is_ok());
    let set: [fn(&mut GrilleAsk, f64); 7] = [
        |a, v| a.outer = Form::Circle { diameter_m: v },
        |a, v| a.opening = Form::Circle { diameter_m: v },
        |a, v| a.thickness_m = v,
        |a, v| a.retainer_m = v,
        |a, v| a.mesh_m = v,
        |a, v| a.lap_m = v,
        |a, v| a.cone_m = Some((5e-3, v)),
    ];
    for bad in BAD {
        for change in set {
            let mut wrong = ask.clone();
            change(&mut wrong, bad);
            assert!(grille(&wrong).is_err(), "{wrong:?}");
        }
    }
}

#[test]
fn a_drawing_of_any_size_has_a_bounded_number_of_pages() {
    let mut ask = flat(vec![], vec![]);
    ask.outer = Form::RoundedRectangle {
        width_m: 5.0,
        height_m: 5.0,
        corner_m: 0.0,
    };
    let made = drawing(&panel(&ask).unwrap().blank, &Title::default()).unwrap();
    let pdf = made.pdf(Page::A4);
    let pages = String::from_utf8_lossy(&pdf)
        .matches("/Type /Page\n")
        .count();
    // 5 m over rooms of 0.190 by 0.267 m that overlap by 15 mm: 29 by 20, and a page of tables.
    assert!(
        (500..=600).contains(&pages) && pdf.len() < 4 << 20,
        "{pages} pages, {} bytes",
        pdf.len()
    );
}

#[test]
fn a_polygon_that_crosses_itself_is_told_so() {
    let corner = |x, y| Point::new(x, y);
    let bow = Form::Polygon {
        points: vec![
            corner(0.0, 0.0),
            corner(0.1, 0.1),
            corner(0.1, 0.0),
            corner(0.0, 0.1),
        ],
        corner_m: 0.0,
    };
    let error = bow.chain("bow").unwrap_err();
    assert!(matches!(error, Error::Shape { .. }));
    // Where its two diagonals meet.
    assert!(error.to_string().contains("50"), "{error}");
}
