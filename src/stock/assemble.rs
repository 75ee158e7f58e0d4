//! From the search's whole micrometres to the layout that is handed back.

use std::collections::BTreeMap;

use super::ask::{Ask, Method, Part};
use super::grid::{Item, Pattern, Problem, Spot, after, metres};
use super::layout::{
    Area, Kind, Layout, Loss, Money, Placed, Purchase, Remnant, Share, Step, Unplaced, Used,
};
use super::remnants::remnants;
use super::search::Found;
use super::solution::{bought_by_length, saw_length_m};
use crate::error::Note;
use crate::outline::{Outline, Placement};

/// The layout of what the search found; `unplaced` are the parts that no stock can hold.
pub(super) fn layout(
    ask: &Ask,
    problem: &Problem,
    found: &Found,
    mut unplaced: Vec<Unplaced>,
    notes: Vec<Note>,
) -> Layout {
    let mut copies = vec![0_u32; ask.blanks.len()];
    let mut sheets_used = vec![];
    let mut loss = Loss::default();
    let mut cut_length_m = 0.0;
    let mut spent: BTreeMap<usize, f64> = BTreeMap::new();
    let mut spent_on_parts = 0.0;
    for (board, pattern) in ordered(problem, found) {
        let (used, areas) = sheet(ask, problem, board, pattern, &mut copies);
        let kept: f64 = used.kept.iter().map(|k| k.value).sum();
        for part in parts_on(problem, pattern) {
            let share = ask.blanks[part].outline.area_m2() / areas.parts_m2;
            *spent.entry(part).or_default() += (used.cost - kept) * share;
        }
        let stock = problem.boards[board]
            .area_m2
            .min(used.width_m * used.height_m);
        spent_on_parts += used.cost * areas.parts_m2 / stock;
        cut_length_m += if ask.method == Method::Saw {
            saw_length_m(problem, board, pattern)
        } else {
            parts_on(problem, pattern)
                .map(|p| ask.blanks[p].outline.edge_length_m())
                .sum()
        };
        loss.parts_m2 += areas.parts_m2;
        loss.kept_m2 += areas.kept_m2;
        loss.kerf_m2 += areas.kerf_m2;
        loss.trim_m2 += areas.trim_m2;
        loss.scrap_m2 += areas.scrap_m2;
        sheets_used.push(used);
    }
    let sum = |kind: Kind| {
        sheets_used
            .iter()
            .filter(|u: &&Used| u.kind == kind)
            .fold(0.0, |sum, u| sum + u.cost)
    };
    let mut money = Money {
        bought: sum(Kind::Sheet),
        shelf_taken: sum(Kind::Offcut),
        kept: sheets_used
            .iter()
            .flat_map(|u| &u.kept)
            .fold(0.0, |sum, k| sum + k.value),
        cutting: cut_length_m * ask.cutting_rate_per_m,
        objective: 0.0,
    };
    money.objective = money.bought + money.shelf_taken - money.kept + money.cutting;
    left_over(ask, problem, found, &mut unplaced);
    let whole = found.solution.left.is_empty();
    let router = if ask.method == Method::Saw {
        0.0
    } else {
        money.cutting
    };
    // Rounding of the sums must not lift the bound above a layout that meets it.
    let bound = if whole {
        (found.bound + router).clamp(0.0, money.objective.max(0.0))
    } else {
        0.0
    };
    let over = money.objective - bound;
    let met = over <= 1e-9 * (1.0 + bound);
    let stock: f64 = loss.parts_m2 + loss.kept_m2 + loss.kerf_m2 + loss.trim_m2 + loss.scrap_m2;
    let net = money.bought + money.shelf_taken - money.kept;
    Layout {
        buy: purchases(ask, &sheets_used),
        unplaced,
        yield_fraction: share(loss.parts_m2, stock),
        yield_with_kept_fraction: share(loss.parts_m2 + loss.kept_m2, stock),
        yield_by_money_fraction: share(spent_on_parts, net),
        money,
        bound,
        gap_fraction: if !whole {
            None
        } else if met {
            Some(0.0)
        } else if bound > 0.0 {
            Some(over / bound)
        } else {
            None
        },
        proved: whole && met,
        shares: shares(ask, &spent, net),
        cut_length_m,
        loss,
        effort_used: found.effort,
        seed: ask.seed,
        cut_short: found.cut_short,
        notes,
        sheets_used,
    }
}

/// Index of each part on a board, in holes too.
fn parts_on<'a>(problem: &'a Problem, pattern: &'a Pattern) -> impl Iterator<Item = usize> + 'a {
    pattern
        .spots
        .iter()
        .map(|s| &problem.items[s.item])
        .flat_map(parts_of)
}

fn parts_of(item: &Item) -> impl Iterator<Item = usize> + '_ {
    item.inner.iter().map(|i| i.part).chain([item.part])
}

fn share(part: f64, whole: f64) -> f64 {
    if whole > 0.0 {
        (part / whole).min(1.0)
    } else {
        0.0
    }
}

/// Offcuts first, then sheets, each in the order of the ask, the fullest first.
fn ordered<'a>(problem: &Problem, found: &'a Found) -> Vec<(usize, &'a Pattern)> {
    let mut used: Vec<(usize, &Pattern)> =
        found.solution.used.iter().map(|(b, p)| (*b, p)).collect();
    used.sort_by(|a, b| {
        let filled = |p: &Pattern| {
            p.spots
                .iter()
                .map(|s| problem.items[s.item].area())
                .sum::<f64>()
        };
        a.0.cmp(&b.0).then(filled(b.1).total_cmp(&filled(a.1)))
    });
    used
}

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

fn sheet(
    ask: &Ask,
    problem: &Problem,
    board: usize,
    pattern: &Pattern,
    copies: &mut [u32],
) -> (Used, Loss) {
    let b = &problem.boards[board];
    let (name, height_m, cost) = match b.kind {
        Kind::Offcut => (ask.offcuts[b.index].name.clone(), b.full_m.1, b.cost),
        Kind::Sheet if b.by_length => {
            let (length_m, cost) = bought_by_length(problem, board, pattern);
            (ask.sheets[b.index].name.clone(), length_m, cost)
        }
        Kind::Sheet => (ask.sheets[b.index].name.clone(), b.full_m.1, b.cost),
    };
    let at = |x, y| (b.corner_m.0 + metres(x), b.corner_m.1 + metres(y));
    let mut spots = pattern.spots.clone();
    spots.sort_by_key(|s| (s.y, s.x));
    let mut placements = vec![];
    let mut parts_m2 = 0.0;
    let mut edges_m = 0.0;
    for spot in &spots {
        let item = &problem.items[spot.item];
        let host = placement(&ask.blanks[item.part], spot, at(spot.x, spot.y));
        // What lies in a hole is cut before the hole.
        let inner = item
            .inner
            .iter()
            .map(|i| (i.part, i.flipped, after(i.placement, host)));
        for (index, flipped, placement) in inner.chain([(item.part, spot.flipped, host)]) {
            let part = &ask.blanks[index];
            copies[index] += 1;
            let (l, bottom, r, t) = lying(part, flipped, placement).bounds_m();
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
            });
        }
    }
    let saw = ask.method == Method::Saw;
    let kept: Vec<Remnant> = remnants(b, pattern, saw, problem.gap, problem.keep_least)
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
                value: area.width_m * area.height_m * b.keep_per_m2,
            }
        })
        .collect();
    let steps = if saw {
        saw_steps(ask, problem, board, height_m, pattern)
    } else {
        router_steps(ask, &placements)
    };
    let whole = if b.by_length {
        b.full_m.0 * height_m
    } else {
        b.area_m2
    };
    let trimmed_height = height_m - 2.0 * ask.trim_m;
    let box_m2 = b.full_m.0 * height_m;
    // Of an offcut that is no rectangle only what lies outside its largest rectangle is not trim but scrap.
    let trim_m2 = if (box_m2 - whole).abs() < 1e-12 {
        (whole - (b.full_m.0 - 2.0 * ask.trim_m) * trimmed_height).max(0.0)
    } else {
        0.0
    };
    let kept_m2: f64 = kept.iter().map(|k| k.area.width_m * k.area.height_m).sum();
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
        width_m: b.full_m.0,
        height_m,
        cost,
        placements,
        steps,
        kept,
        yield_fraction: share(parts_m2, whole),
    };
    (used, areas)
}

/// Part by part, what lies in a hole first, then the holes, then the outside: a part that is free no longer holds still.
fn router_steps(ask: &Ask, placements: &[Placed]) -> Vec<Step> {
    let holes: BTreeMap<&str, usize> = ask
        .blanks
        .iter()
        .map(|p| (p.id.as_str(), p.outline.holes.len()))
        .collect();
    let mut steps = vec![];
    for p in placements {
        for hole in 0..holes.get(p.part.as_str()).copied().unwrap_or(0) {
            steps.push(Step::Inside {
                part: p.part.clone(),
                copy: p.copy,
                hole,
            });
        }
        steps.push(Step::Outside {
            part: p.part.clone(),
            copy: p.copy,
        });
    }
    steps
}

fn saw_steps(
    ask: &Ask,
    problem: &Problem,
    board: usize,
    height_m: f64,
    pattern: &Pattern,
) -> Vec<Step> {
    let b = &problem.boards[board];
    let mut steps = vec![];
    if ask.trim_m > 0.0 {
        let (w, t) = (b.full_m.0, ask.trim_m);
        for (from_m, to_m) in [
            ((0.0, t), (w, t)),
            ((0.0, height_m - t), (w, height_m - t)),
            ((t, 0.0), (t, height_m)),
            ((w - t, 0.0), (w - t, height_m)),
        ] {
            steps.push(Step::Trim { from_m, to_m });
        }
    }
    // A sheet by length is bought no longer than its parts need.
    let top = if b.by_length { pattern.used().1 } else { b.h };
    for cut in &pattern.cuts {
        let h = cut.h.min(top - cut.y);
        if !cut.upright && cut.at >= h {
            continue;
        }
        let piece = Area {
            x_m: b.corner_m.0 + metres(cut.x),
            y_m: b.corner_m.1 + metres(cut.y),
            width_m: metres(cut.w - problem.gap),
            height_m: metres(h - problem.gap),
        };
        let stop_m = metres(cut.at - problem.gap);
        let (from_m, to_m) = if cut.upright {
            let x = piece.x_m + stop_m;
            ((x, piece.y_m), (x, piece.y_m + piece.height_m))
        } else {
            let y = piece.y_m + stop_m;
            ((piece.x_m, y), (piece.x_m + piece.width_m, y))
        };
        steps.push(Step::Through {
            piece,
            from_m,
            to_m,
            stop_m,
        });
    }
    steps
}

fn purchases(ask: &Ask, used: &[Used]) -> Vec<Purchase> {
    ask.sheets
        .iter()
        .filter_map(|sheet| {
            let mine = used
                .iter()
                .filter(|u| u.kind == Kind::Sheet && u.stock == sheet.name);
            let (mut count, mut price) = (0, 0.0);
            for u in mine {
                count += 1;
                price += u.cost;
            }
            (count > 0).then(|| Purchase {
                name: sheet.name.clone(),
                count,
                price,
                days_to_arrive: sheet.days_to_arrive,
            })
        })
        .collect()
}

fn left_over(ask: &Ask, problem: &Problem, found: &Found, unplaced: &mut Vec<Unplaced>) {
    let mut left: BTreeMap<usize, u32> = BTreeMap::new();
    for &i in &found.solution.left {
        for part in parts_of(&problem.items[i]) {
            *left.entry(part).or_default() += 1;
        }
    }
    for (part, copies) in left {
        unplaced.push(Unplaced {
            part: ask.blanks[part].id.clone(),
            copies,
            reason: format!(
                "no room is left on the stock that there is ({} used)",
                found.solution.used.len()
            ),
        });
    }
}

/// The shares, made to add up to `net` to the last bit that addition in this order can give.
fn shares(ask: &Ask, spent: &BTreeMap<usize, f64>, net: f64) -> Vec<Share> {
    let mut shares: Vec<Share> = spent
        .iter()
        .map(|(&part, &material_cost)| Share {
            part: ask.blanks[part].id.clone(),
            material_cost,
        })
        .collect();
    for _ in 0..4 {
        let sum: f64 = shares.iter().map(|s| s.material_cost).sum();
        if let Some(last) = shares.last_mut() {
            last.material_cost += net - sum;
        }
    }
    shares
}
