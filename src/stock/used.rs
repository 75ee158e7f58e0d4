//! One board with its pattern as a sheet that is handed back: placements, steps, what is kept, where the area goes.

use super::ask::{Ask, Part};
use super::discs::disc;
use super::grid::{Pattern, Problem, Spot, after, metres};
use super::layout::{Area, Kind, Loss, Placed, Remnant, Used};
use super::method::Method;
use super::order::{router_steps, saw_steps, sorted};
use super::remnants::remnants;
use super::sheet::Sold;
use super::solution::{bought, saw_length_m};
use crate::outline::{Outline, Placement};

/// Where a part lies whose bounds have their lower left corner at (`x_m`, `y_m`).
fn placement(part: &Part, spot: &Spot, (x_m, y_m): (f64, f64)) -> Placement {
    let turn = Placement {
        turn_rad: spot.turn_rad,
        x_m: 0.0,
        y_m: 0.0,
    };
    let (left, bottom, ..) = lying(part, spot.flipped, turn).bounds_m();
    Placement {
        x_m: x_m - left,
        y_m: y_m - bottom,
        ..turn
    }
}

fn lying(part: &Part, flipped: bool, placement: Placement) -> Outline {
    if flipped {
        part.outline.mirrored().placed(placement)
    } else {
        part.outline.placed(placement)
    }
}

pub(super) fn sheet(
    ask: &Ask,
    problem: &Problem,
    board: usize,
    pattern: &Pattern,
    copies: &mut [u32],
) -> (Used, Loss) {
    let b = &problem.boards[board];
    let name = match b.kind {
        Kind::Offcut => ask.offcuts[b.index].name.clone(),
        Kind::Sheet => ask.sheets[b.index].name.clone(),
    };
    let ((width_m, height_m), cost) = bought(problem, board, pattern);
    let at = |x, y| (b.corner_m.0 + metres(x), b.corner_m.1 + metres(y));
    let saw = ask.method == Method::Saw;
    let mut placements = vec![];
    let mut kept: Vec<Remnant> = remnants(b, pattern, saw, problem.gap, problem.keep_least)
        .into_iter()
        .map(|(x, y, w, h)| {
            let (x_m, y_m) = at(x, y);
            let area = Area {
                x_m,
                y_m,
                width_m: metres(w),
                height_m: metres(h),
            };
            Remnant {
                area,
                diameter_m: None,
                value: area.width_m * area.height_m * b.keep_per_m2,
            }
        })
        .collect();
    let mut parts_m2 = 0.0;
    let mut edges_m = 0.0;
    for spot in &sorted(ask, problem, pattern) {
        let item = &problem.items[spot.item];
        let host = placement(&ask.blanks[item.part], spot, at(spot.x, spot.y));
        // What lies in a hole is cut before the hole.
        let inner = item
            .inner
            .iter()
            .map(|i| (i.part, i.flipped, after(i.placement, host)));
        let together: Vec<(usize, bool, Placement)> =
            inner.chain([(item.part, spot.flipped, host)]).collect();
        let outlines: Vec<Outline> = together
            .iter()
            .map(|&(part, flipped, placement)| lying(&ask.blanks[part], flipped, placement))
            .collect();
        for (&(index, flipped, placement), outline) in together.iter().zip(&outlines) {
            let part = &ask.blanks[index];
            copies[index] += 1;
            let (l, bottom, r, t) = outline.bounds_m();
            parts_m2 += part.outline.area_m2();
            edges_m += part.outline.edge_length_m();
            placements.push(Placed {
                part: part.id.clone(),
                copy: copies[index],
                placement,
                flipped,
                bounds: Area {
                    x_m: l,
                    y_m: bottom,
                    width_m: r - l,
                    height_m: t - bottom,
                },
                hold: ask.method.hold(r - l, t - bottom),
            });
            if !saw && b.keep_per_m2 > 0.0 {
                let least_m = metres(problem.keep_least.0);
                let empty = outline.holes.iter().filter(|hole| {
                    let hole = Outline::new((*hole).clone(), vec![]);
                    !outlines.iter().any(|o| hole.holds(o.outside.start))
                });
                kept.extend(empty.filter_map(|h| disc(h, ask.kerf_m, least_m, b.keep_per_m2)));
            }
        }
    }
    let steps = if saw {
        saw_steps(problem, board, (width_m, height_m), pattern)
    } else {
        router_steps(ask, &placements)
    };
    let whole = match b.sold {
        Sold::Whole => b.area_m2,
        Sold::ByLength | Sold::ToSize => width_m * height_m,
    };
    let trimmed_height = height_m - 2.0 * ask.trim_m;
    let box_m2 = width_m * height_m;
    // Of an offcut that is no rectangle only what lies outside its largest rectangle is not trim but scrap.
    let trim_m2 = if (box_m2 - whole).abs() < 1e-12 {
        (whole - (width_m - 2.0 * ask.trim_m) * trimmed_height).max(0.0)
    } else {
        0.0
    };
    let kept_m2: f64 = kept.iter().map(Remnant::area_m2).sum();
    let cut_m = if saw {
        saw_length_m(problem, board, pattern)
    } else {
        edges_m
    };
    let rest = (whole - trim_m2 - parts_m2 - kept_m2).max(0.0);
    let kerf_m2 = (cut_m * ask.kerf_m).min(rest);
    let areas = Loss {
        parts_m2,
        kept_m2,
        kerf_m2,
        trim_m2,
        scrap_m2: rest - kerf_m2,
    };
    let used = Used {
        stock: name,
        kind: b.kind,
        width_m,
        height_m,
        cost,
        placements,
        steps,
        kept,
        yield_fraction: (parts_m2 / whole).min(1.0),
    };
    (used, areas)
}
