//! From the search's whole micrometres to the layout that is handed back.

use std::collections::BTreeMap;

use super::ask::Ask;
use super::delivery::delivery;
use super::grid::{Item, Pattern, Problem};
use super::layout::{Kind, Layout, Loss, Money, Purchase, Share, Unplaced, Used};
use super::method::Method;
use super::search::Found;
use super::solution::{bought, saw_length_m};
use super::used::sheet;
use crate::error::Note;

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
        ..Money::default()
    };
    let used = found.solution.used.iter();
    let pieces = used.map(|(b, p)| (*b, bought(problem, *b, p).0));
    (money.freight, money.waiting) = delivery(problem, pieces);
    money.objective = money.bought + money.freight + money.waiting + money.shelf_taken - money.kept
        + money.cutting;
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
        let place = |b: usize| (problem.boards[b].kind, problem.boards[b].index);
        place(a.0)
            .cmp(&place(b.0))
            .then(filled(b.1).total_cmp(&filled(a.1)))
    });
    used
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
                merchant: sheet.merchant.clone(),
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
