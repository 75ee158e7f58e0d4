//! What holds for every layout, on random jobs.

use mountwright::error::Unwatched;
use mountwright::outline::{Chain, Circle, Outline, Point};
use mountwright::stock::{
    Area, Ask, Layout, Method, Offcut, Part, SheetKind, Step, Surcharge, Turns, check, lay_out,
    lay_out_again,
};
use proptest::prelude::*;

fn turns() -> impl Strategy<Value = Turns> {
    prop_oneof![
        Just(Turns::None),
        Just(Turns::Half),
        Just(Turns::Quarter),
        Just(Turns::Any)
    ]
}

fn method() -> impl Strategy<Value = Method> {
    prop_oneof![
        Just(Method::HandRouter),
        Just(Method::Saw),
        Just(Method::Cnc)
    ]
}

prop_compose! {
    fn part()(w in 0.02..0.5_f64, h in 0.02..0.4_f64, quantity in 1_u32..4, turns in turns()) -> Part {
        Part::rectangle("", w, h, quantity, turns)
    }
}

prop_compose! {
    fn ask()(
        parts in proptest::collection::vec(part(), 1..8),
        method in method(),
        kerf_m in 0.0..0.01_f64,
        spacing_m in 0.0..0.02_f64,
        trim_m in 0.0..0.02_f64,
        offcuts in proptest::collection::vec((0.1..0.7_f64, 0.1..0.7_f64, 0.0..10.0_f64), 0..3),
        stock in proptest::option::of(1_u32..4),
        recovery_fraction in 0.0..1.0_f64,
        rate in prop_oneof![Just(0.0), 0.0..2.0_f64],
        longest_m in proptest::option::of(0.3..1.5_f64),
        seed in any::<u64>(),
    ) -> Ask {
        let blanks = parts.into_iter().enumerate().map(|(i, p)| Part { id: format!("part {i}"), ..p }).collect();
        let surcharge = Surcharge {
            longest_m, oversize_fee: 5.0, heaviest_kg: longest_m.map(|m| 4.0 * m), overweight_fee: 3.0, mass_kg_m2: 2.1,
        };
        let whole = SheetKind { surcharge, ..SheetKind::new("whole", 1.2, 0.8, 30.0) };
        let sheets = vec![
            SheetKind { in_stock: stock, freight: 4.0, ..whole.clone() },
            SheetKind { merchant: "near".into(), days_to_arrive: 1.0, ..whole.halved(1.0) },
            whole.cut_to_size(3.0),
        ];
        let offcuts = offcuts
            .into_iter()
            .enumerate()
            .map(|(i, (w, h, value))| Offcut::rectangle(format!("offcut {i}"), w, h, value))
            .collect();
        Ask {
            kerf_m, spacing_m, trim_m, offcuts, recovery_fraction, seed,
            cutting_rate_per_m: rate,
            waiting_rate_per_day: 2.0 * rate,
            effort: 30_000,
            ..Ask::new(blanks, sheets, method)
        }
    }
}

/// The bounds of all parts on one sheet, measured here and not by the library's own check.
fn clear(ask: &Ask, layout: &Layout) {
    for used in &layout.sheets_used {
        let boxes: Vec<[f64; 4]> = used
            .placements
            .iter()
            .map(|p| {
                let part = ask.blanks.iter().find(|b| b.id == p.part).unwrap();
                let (l, b, r, t) = part.outline.placed(p.placement).bounds_m();
                [l, b, r, t]
            })
            .collect();
        for (i, a) in boxes.iter().enumerate() {
            // Whole micrometres, so a hair more than rounding.
            assert!(a[0] > ask.trim_m - 1e-7 && a[1] > ask.trim_m - 1e-7);
            assert!(
                a[2] < used.width_m - ask.trim_m + 1e-7 && a[3] < used.height_m - ask.trim_m + 1e-7
            );
            for b in &boxes[i + 1..] {
                let apart = (b[0] - a[2])
                    .max(a[0] - b[2])
                    .max((b[1] - a[3]).max(a[1] - b[3]));
                assert!(
                    apart > ask.gap_m() - 1e-7,
                    "{apart} apart, not {}",
                    ask.gap_m()
                );
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn every_layout_can_be_cut_and_adds_up(ask in ask()) {
        let layout = lay_out(&ask, &Unwatched).unwrap();
        clear(&ask, &layout);
        check(&ask, &layout).unwrap();
        let asked: u32 = ask.blanks.iter().map(|p| p.quantity).sum();
        let placed: usize = layout.sheets_used.iter().map(|u| u.placements.len()).sum();
        let left: u32 = layout.unplaced.iter().map(|u| u.copies).sum();
        prop_assert_eq!(asked as usize, placed + left as usize);
        prop_assert!(layout.bound <= layout.money.objective * (1.0 + 1e-9) + 1e-9);
        let area: f64 = layout.sheets_used.iter().map(|u| u.width_m * u.height_m).sum();
        let l = &layout.loss;
        prop_assert!((l.parts_m2 + l.kept_m2 + l.kerf_m2 + l.trim_m2 + l.scrap_m2 - area).abs() < 1e-9 * area);
        if ask.method == Method::Saw {
            let length: f64 = layout.sheets_used.iter().flat_map(|u| &u.steps).map(|s| match s {
                Step::Trim { from_m, to_m } | Step::Through { from_m, to_m, .. } =>
                    (to_m.0 - from_m.0).hypot(to_m.1 - from_m.1),
                _ => f64::NAN,
            }).sum();
            prop_assert!((length - layout.cut_length_m).abs() < 1e-6, "{} and {}", length, layout.cut_length_m);
        }
    }

    #[test]
    fn a_seed_repeats(ask in ask()) {
        prop_assert_eq!(lay_out(&ask, &Unwatched).unwrap(), lay_out(&ask, &Unwatched).unwrap());
    }

    /// More stock, laid out again from the answer for less, never costs more or leaves more over.
    #[test]
    fn more_stock_is_never_worse(ask in ask()) {
        let mut less = ask.clone();
        less.offcuts.clear();
        less.sheets.truncate(1);
        let before = lay_out(&less, &Unwatched);
        prop_assume!(before.is_ok());
        let before = before.unwrap();
        let after = lay_out_again(&ask, &before, &Unwatched).unwrap();
        check(&ask, &after).unwrap();
        let left = |l: &Layout| l.unplaced.iter().map(|u| {
            let part = ask.blanks.iter().find(|b| b.id == u.part).unwrap();
            part.outline.area_m2() * f64::from(u.copies)
        }).sum::<f64>();
        prop_assert!(left(&after) <= left(&before) + 1e-12);
        if left(&after) >= left(&before) {
            prop_assert!(after.money.objective <= before.money.objective + 1e-9);
        }
        prop_assert!(after.bound <= after.money.objective + 1e-9);
    }

    /// Parts and stock are searched in the order of their names: only the sums are added in another order.
    #[test]
    fn the_order_of_the_input_changes_nothing(ask in ask(), at in any::<prop::sample::Index>()) {
        let mut turned = ask.clone();
        let (parts, sheets) = (ask.blanks.len(), ask.sheets.len());
        turned.blanks.rotate_left(at.index(parts));
        turned.blanks.reverse();
        turned.sheets.rotate_left(at.index(sheets));
        turned.offcuts.reverse();
        let (a, b) = (lay_out(&ask, &Unwatched).unwrap(), lay_out(&turned, &Unwatched).unwrap());
        let (x, y) = (a.money.objective, b.money.objective);
        prop_assert!((x - y).abs() <= 1e-9 * (1.0 + x.abs()), "{} and {}", x, y);
        prop_assert!((a.bound - b.bound).abs() <= 1e-9 * (1.0 + x.abs()));
        prop_assert_eq!(a.unplaced.len(), b.unplaced.len());
        prop_assert_eq!(a.proved, b.proved);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// What a short search gives as a bound, no longer one goes below; of pieces cut to order several may be needed.
    #[test]
    fn no_search_goes_below_a_bound(
        parts in proptest::collection::vec((0.15..0.42_f64, 0.1..0.4_f64, 1_u32..3), 2..6),
        (length, fee, gap, trim_m) in (0.8..1.8_f64, prop_oneof![Just(0.0), Just(1.0)], prop_oneof![Just(0.0), Just(0.003), Just(0.012)], prop_oneof![Just(0.0), Just(0.005)]),
        (to_size, whole_too, method, rate) in (any::<bool>(), any::<bool>(), method(), prop_oneof![Just(0.0), Just(0.5)]),
    ) {
        let blanks = parts.into_iter().enumerate().map(|(i, (w, h, n))| Part::rectangle(format!("part {i}"), w, h, n, Turns::Quarter)).collect();
        let whole = SheetKind::new("whole", 0.6, length, 10.0);
        let mut sheets = vec![if to_size { whole.cut_to_size(fee) } else { whole.cut_to_length(fee) }];
        if whole_too {
            sheets.push(whole);
        }
        let mut ask = Ask {
            kerf_m: gap, spacing_m: gap, trim_m, cutting_rate_per_m: rate, effort: 1,
            ..Ask::new(blanks, sheets, method)
        };
        let short = lay_out(&ask, &Unwatched).unwrap();
        ask.effort = 200_000;
        let long = lay_out(&ask, &Unwatched).unwrap();
        prop_assume!(short.unplaced.is_empty() && long.unplaced.is_empty());
        for (a, b) in [(&short, &long), (&long, &short)] {
            prop_assert!(a.bound <= b.money.objective * (1.0 + 1e-9) + 1e-9, "{} and {}", a.bound, b.money.objective);
        }
    }
}

prop_compose! {
    /// A ring, a tapered strap, a triangle or an L, of a few sizes.
    fn shape()(kind in 0..4_u8, size in 0.05..0.2_f64, quantity in 1_u32..4, turns in turns(), may_flip in any::<bool>()) -> Part {
        let p = |x: f64, y: f64| Point::new(x * size, y * size);
        let disc = |r: f64| Chain::circle(Circle { centre: Point::new(0.03, 0.0), radius_m: r * size });
        let outline = match kind {
            0 => Outline::new(disc(0.5), vec![disc(0.38)]),
            1 => Outline::new(Chain::polygon(&[p(0.0, 0.0), p(2.0, 0.1), p(2.0, 0.3), p(0.0, 0.5)]), vec![]),
            2 => Outline::new(Chain::polygon(&[p(0.0, 0.0), p(1.0, 0.0), p(0.2, 0.8)]), vec![]),
            _ => Outline::new(Chain::polygon(&[p(0.0, 0.0), p(1.0, 0.0), p(1.0, 0.3), p(0.3, 0.3), p(0.3, 1.0), p(0.0, 1.0)]), vec![]),
        };
        Part { may_flip, ..Part::shape("", outline, quantity, turns) }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Clearances by the outline room, which knows nothing of layouts.
    #[test]
    fn outlines_keep_their_distance(
        parts in proptest::collection::vec(shape(), 1..6), gap in 0.0..0.01_f64, trim_m in 0.0..0.01_f64, seed in any::<u64>(),
    ) {
        let blanks: Vec<Part> = parts.into_iter().enumerate().map(|(i, p)| Part { id: format!("part {i}"), ..p }).collect();
        let ask = Ask {
            kerf_m: gap, spacing_m: gap, trim_m, seed, effort: 10_000,
            ..Ask::new(blanks, vec![SheetKind::new("sheet", 0.9, 0.6, 12.0)], Method::Cnc)
        };
        let layout = lay_out(&ask, &Unwatched).unwrap();
        prop_assert!(layout.unplaced.is_empty() && layout.bound <= layout.money.objective + 1e-9);
        for used in &layout.sheets_used {
            let lying: Vec<Outline> = used.placements.iter().map(|p| {
                let outline = &ask.blanks.iter().find(|b| b.id == p.part).unwrap().outline;
                if p.flipped { outline.mirrored().placed(p.placement) } else { outline.placed(p.placement) }
            }).collect();
            for (i, a) in lying.iter().enumerate() {
                let (l, b, r, t) = a.bounds_m();
                prop_assert!(l > trim_m - 1e-7 && b > trim_m - 1e-7 && r < 0.9 - trim_m + 1e-7 && t < 0.6 - trim_m + 1e-7);
                for b in &lying[i + 1..] {
                    for c in std::iter::once(&a.outside).chain(&a.holes) {
                        for d in std::iter::once(&b.outside).chain(&b.holes) {
                            prop_assert!(c.clearance_m(d) > gap - 1e-7);
                        }
                    }
                    prop_assert!(!a.holds(b.outside.start) && !b.holds(a.outside.start));
                }
            }
        }
    }
}

/// Two rings and the discs cut from the middle of them: the discs lie in the holes, so the sheet holds no more than the rings need.
#[test]
fn cutouts_of_rings_hold_small_parts() {
    let disc = |radius_m| {
        Chain::circle(Circle {
            centre: Point::new(0.0, 0.0),
            radius_m,
        })
    };
    let ring = Outline::new(disc(0.09), vec![disc(0.075)]);
    let blanks = vec![
        Part::shape("ring", ring, 2, Turns::Any),
        Part::shape("disc", Outline::new(disc(0.04), vec![]), 2, Turns::Any),
        Part::rectangle("tab", 0.02, 0.03, 4, Turns::Quarter),
    ];
    let ask = Ask {
        kerf_m: 0.003,
        spacing_m: 0.003,
        ..Ask::new(
            blanks,
            vec![SheetKind::new("sheet", 0.2, 0.4, 8.0)],
            Method::Cnc,
        )
    };
    let layout = lay_out(&ask, &Unwatched).unwrap();
    assert_eq!((layout.sheets_used.len(), layout.unplaced.len()), (1, 0));
    let steps = &layout.sheets_used[0].steps;
    let at = |what: &dyn Fn(&Step) -> bool| steps.iter().position(what).unwrap();
    let hole = at(&|s| matches!(s, Step::Inside { part, .. } if part == "ring"));
    let inner = at(&|s| matches!(s, Step::Outside { part, .. } if part == "disc"));
    let outer = at(&|s| matches!(s, Step::Outside { part, .. } if part == "ring"));
    assert!(inner < hole && hole < outer);
}

prop_compose! {
    fn area()(x_m in -0.1..1.0_f64, y_m in -0.1..0.7_f64, width_m in 0.001..0.3_f64, height_m in 0.001..0.3_f64) -> Area {
        Area { x_m, y_m, width_m, height_m }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// A saw cuts around bad areas: the library's own check replays the cuts, and distances are measured here.
    #[test]
    fn a_saw_keeps_off_bad_areas(ask in ask(), bad in proptest::collection::vec(area(), 1..4), odd in any::<bool>()) {
        let mut ask = Ask { method: Method::Saw, ..ask };
        ask.sheets.truncate(1);
        ask.sheets[0].bad_areas.clone_from(&bad);
        if odd {
            let p = |x: f64, y: f64| Point::new(x + 0.05, y);
            let l = [p(0.0, 0.0), p(0.9, 0.0), p(0.9, 0.3), p(0.5, 0.4), p(0.5, 0.7), p(0.0, 0.7)];
            ask.offcuts.push(Offcut {
                bad_areas: bad.clone(),
                ..Offcut::shape("L", Outline::new(Chain::polygon(&l), vec![]), 1.0)
            });
        }
        let layout = match lay_out(&ask, &Unwatched) {
            Ok(layout) => layout,
            Err(e) => {
                prop_assert!(matches!(e, mountwright::Error::Impossible { .. }), "{e}");
                return Ok(());
            }
        };
        check(&ask, &layout).unwrap();
        for used in layout.sheets_used.iter().filter(|u| u.stock == "whole" || u.stock == "L") {
            let parts = used.placements.iter().map(|p| (p.bounds, ask.trim_m));
            for (a, off) in parts.chain(used.kept.iter().map(|k| (k.area, 0.0))) {
                for b in &bad {
                    let x = (b.x_m - a.x_m - a.width_m).max(a.x_m - b.x_m - b.width_m);
                    let y = (b.y_m - a.y_m - a.height_m).max(a.y_m - b.y_m - b.height_m);
                    // Two directions are rounded to whole micrometres each.
                    prop_assert!(x.max(y) > off - 3e-6, "{} from a bad area, trim {}", x.max(y), ask.trim_m);
                }
            }
        }
    }
}

/// Two rings that fit a square sheet only across its diagonal: the discs from their cutouts lie apart, the boxes round them do not.
#[test]
fn discs_are_kept_from_rings_side_by_side_on_the_diagonal() {
    let circle = |radius_m| {
        Chain::circle(Circle {
            centre: Point::new(0.0, 0.0),
            radius_m,
        })
    };
    let ring = Outline::new(circle(0.0835), vec![circle(0.076)]);
    let rings = vec![Part::shape("ring", ring, 2, Turns::None)];
    let sheets = vec![SheetKind::new("sheet", 0.31, 0.31, 20.0)];
    let ask = Ask {
        keep_least_m: (0.1, 0.1),
        ..Ask::new(rings, sheets, Method::HandRouter)
    };
    let layout = lay_out(&ask, &Unwatched).unwrap();
    check(&ask, &layout).unwrap();
    assert_eq!(layout.sheets_used.len(), 1);
    let kept = &layout.sheets_used[0].kept;
    let discs: Vec<_> = kept.iter().filter(|k| k.diameter_m.is_some()).collect();
    assert_eq!(discs.len(), 2);
    let away = |a: f64, b: f64| (a - b).abs();
    let (a, b) = (discs[0].area, discs[1].area);
    assert!(away(a.x_m, b.x_m) < a.width_m && away(a.y_m, b.y_m) < a.height_m);
}

/// A scratch in the middle of a sheet: all around it four panels are sawn, where the largest clear rectangle holds two.
#[test]
fn a_scratch_costs_a_saw_no_more_than_itself() {
    let panels = vec![Part::rectangle("panel", 0.45, 0.45, 4, Turns::None)];
    let mut ask = Ask {
        trim_m: 0.0,
        recovery_fraction: 0.0,
        ..Ask::new(
            panels,
            vec![SheetKind::new("sheet", 1.0, 1.0, 20.0)],
            Method::Saw,
        )
    };
    ask.sheets[0].bad_areas = vec![Area {
        x_m: 0.48,
        y_m: 0.48,
        width_m: 0.04,
        height_m: 0.04,
    }];
    let layout = lay_out(&ask, &Unwatched).unwrap();
    assert_eq!((layout.buy[0].count, layout.unplaced.len()), (1, 0));
}
