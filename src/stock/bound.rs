//! What no layout can beat: by area over the kinds of board, and by dual feasible functions on one kind.

use super::board::Board;
use super::grid::{Item, Problem, Um, metres};
use super::sheet::Sold;

/// At most so many thresholds of each function; every one gives a valid bound.
const THRESHOLDS: usize = 12;

/// A function f from [0, 1] to [0, 1] such that numbers that add up to at most 1 still do after f (Fekete and Schepers 2001).
#[derive(Debug, Clone, Copy)]
enum Dual {
    Same,
    /// Rounds down to whole (k+1)-th parts, and makes them k-th parts.
    Round(f64),
    /// Drops what is below a threshold, and makes what leaves less than it whole.
    Drop(f64),
    /// Counts how many of a threshold fit beside.
    Count(f64),
}

const HAIR: f64 = 1e-9;

impl Dual {
    fn of(self, x: f64) -> f64 {
        match self {
            Self::Same => x,
            Self::Round(k) => {
                let parts = (k + 1.0) * x;
                if (parts - parts.round()).abs() < HAIR {
                    x
                } else {
                    parts.floor() / k
                }
            }
            Self::Drop(least) => {
                if x > 1.0 - least + HAIR {
                    1.0
                } else if x < least - HAIR {
                    0.0
                } else {
                    x
                }
            }
            Self::Count(least) => {
                // Rounded so that the bound never gains by rounding.
                let most = (1.0 / least + HAIR).floor();
                if x > 0.5 + HAIR {
                    1.0 - ((1.0 - x) / least + HAIR).floor() / most
                } else if x < least - HAIR || x < HAIR {
                    0.0
                } else if x <= 0.5 - HAIR || least <= 0.5 - HAIR {
                    1.0 / most
                } else {
                    0.5
                }
            }
        }
    }
}

fn duals(sides: &[f64]) -> Vec<Dual> {
    let mut duals = vec![Dual::Same];
    duals.extend((1..=5).map(|k| Dual::Round(f64::from(k))));
    let mut at: Vec<f64> = sides
        .iter()
        .copied()
        .filter(|&s| s > 0.0 && s <= 0.5)
        .collect();
    at.extend(
        sides
            .iter()
            .map(|&s| 1.0 - s)
            .filter(|&s| s > 0.0 && s <= 0.5),
    );
    at.sort_by(f64::total_cmp);
    at.dedup_by(|a, b| (*a - *b).abs() < HAIR);
    let n = at.len();
    for i in 0..n.min(THRESHOLDS) {
        let least = at[if n <= THRESHOLDS {
            i
        } else {
            i * (n - 1) / (THRESHOLDS - 1)
        }];
        duals.push(Dual::Drop(least));
        duals.push(Dual::Count(least));
    }
    duals
}

/// Items of one class and how many there are.
pub(super) fn classes(items: &[Item]) -> Vec<(Vec<(Um, Um)>, f64)> {
    let mut counted: Vec<(Vec<(Um, Um)>, f64)> = vec![];
    for item in items {
        if counted.len() <= item.class {
            counted.resize(item.class + 1, (vec![], 0.0));
        }
        let entry = &mut counted[item.class];
        entry.0.clone_from(&item.sizes);
        entry.1 += 1.0;
    }
    counted.retain(|c| c.1 > 0.0);
    counted
}

/// Sides of an item, over those of a board, after each function: the item as drawn and turned.
type Values = Vec<(Vec<f64>, Vec<f64>)>;

fn values(sizes: &[(Um, Um)], (w, h): (f64, f64), across: &[Dual], along: &[Dual]) -> Values {
    sizes
        .iter()
        .filter(|s| s.0 as f64 <= w && s.1 as f64 <= h)
        .map(|&(a, b)| {
            (
                across.iter().map(|f| f.of(a as f64 / w)).collect(),
                along.iter().map(|f| f.of(b as f64 / h)).collect(),
            )
        })
        .collect()
}

/// Least number of boards of one kind that hold all items, at least 1; `None` where an item fits none.
pub(super) fn least_boards(items: &[Item], board: &Board, outlines: bool) -> Option<u32> {
    if outlines {
        return items.iter().all(|i| i.fits(board)).then_some(1);
    }
    let size = (board.w as f64, board.h as f64);
    let counted = classes(items);
    let (xs, ys): (Vec<f64>, Vec<f64>) = counted
        .iter()
        .flat_map(|c| &c.0)
        .map(|&(a, b)| (a as f64 / size.0, b as f64 / size.1))
        .unzip();
    let (across, along) = (duals(&xs), duals(&ys));
    let mut table = vec![];
    for (sizes, count) in &counted {
        let v = values(sizes, size, &across, &along);
        if v.is_empty() {
            return None;
        }
        table.push((v, *count));
    }
    let mut most = 1.0_f64;
    for i in 0..across.len() {
        for j in 0..along.len() {
            let sum: f64 = table
                .iter()
                .map(|(v, n)| {
                    n * v
                        .iter()
                        .map(|(f, g)| f[i] * g[j])
                        .fold(f64::INFINITY, f64::min)
                })
                .sum();
            most = most.max((sum - 1e-6).ceil());
        }
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    // at most the number of items
    Some(most as u32)
}

/// Least grown length of a strip as wide as the board that holds all items; `None` where an item fits nowhere.
pub(super) fn least_length(items: &[Item], board: &Board, outlines: bool) -> Option<f64> {
    if outlines {
        let area: f64 = items.iter().map(|i| i.weight + i.inner_weight).sum();
        return items
            .iter()
            .all(|i| i.fits(board))
            .then_some(area / board.w as f64);
    }
    let size = (board.w as f64, board.h as f64);
    let counted = classes(items);
    let xs: Vec<f64> = counted
        .iter()
        .flat_map(|c| &c.0)
        .map(|s| s.0 as f64 / size.0)
        .collect();
    let across = duals(&xs);
    let mut table = vec![];
    let mut longest = 0.0_f64;
    for (sizes, count) in &counted {
        let v = values(sizes, size, &across, &[Dual::Same]);
        let shortest = v
            .iter()
            .map(|(_, g)| g[0] * size.1)
            .fold(f64::INFINITY, f64::min);
        if v.is_empty() {
            return None;
        }
        longest = longest.max(shortest);
        table.push((v, *count));
    }
    for i in 0..across.len() {
        let sum: f64 = table
            .iter()
            .map(|(v, n)| {
                n * v
                    .iter()
                    .map(|(f, g)| f[i] * g[0] * size.1)
                    .fold(f64::INFINITY, f64::min)
            })
            .sum();
        longest = longest.max(sum);
    }
    Some(longest)
}

/// The least that a board adds to the objective: `fixed` for its use and `per_area` for each grown square micrometre of items on it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rate {
    pub(super) fixed: f64,
    pub(super) per_area: f64,
}

impl Rate {
    pub(super) fn of(board: &Board, problem: &Problem) -> Self {
        let um = 1e-6;
        if board.sold != Sold::Whole {
            return Self::of_cut(board, problem);
        }
        // What is kept lies beside the items on the grown board.
        if problem.shapes.is_some() {
            let per_area = board.keep_per_m2 * um * um;
            let fixed = board.cost - per_area * board.area();
            if fixed >= 0.0 {
                return Self { fixed, per_area };
            }
            // What is kept is no more than the sheet either; the line through zero below both.
            let (w, h) = board.reach();
            let whole = (w - problem.gap) as f64 * (h - problem.gap) as f64;
            let least = (board.cost - per_area * whole).max(0.0);
            let grown = board.area();
            return Self {
                fixed: 0.0,
                per_area: per_area
                    .min(least / (grown - whole))
                    .min(board.cost / grown),
            };
        }
        // Of rectangles what is kept, grown by the gap, lies beside the items on the grown board; a rectangle on the board
        // is at most this share of itself grown.
        let most = board.keep_per_m2
            * (board.w - problem.gap) as f64
            * (board.h - problem.gap) as f64
            * um
            * um;
        Self {
            fixed: board.cost - most,
            per_area: most / board.area(),
        }
    }

    /// Of a board that is cut to order.
    fn of_cut(board: &Board, problem: &Problem) -> Self {
        let um = 1e-6;
        let ends = 2 * problem.trim - problem.gap;
        // No fixed cost below zero: the grown length is at least the least side, so length - gap >= length (1 - gap / side).
        let share = if ends >= 0 {
            1.0
        } else {
            (1.0 - problem.gap as f64 / least_side(problem)).max(0.0)
        };
        let price = board.cost - board.fee;
        if board.sold == Sold::ToSize {
            return Self {
                fixed: board.fee,
                per_area: price / board.area_m2 * um * um * share * share,
            };
        }
        // price / full height x (grown length - gap + 2 trim), and grown length >= area / width
        let per_m = price / board.full_m.1;
        let sure = if ends >= 0 { ends } else { 2 * problem.trim };
        Self {
            fixed: board.fee + per_m * metres(sure),
            per_area: per_m * um / board.w as f64 * share,
        }
    }
}

/// Least side of all that is laid, grown by the gap.
fn least_side(problem: &Problem) -> f64 {
    let boxes = problem.items.iter().flat_map(|i| &i.sizes);
    let least = boxes.map(|s| s.0.min(s.1)).min().unwrap_or(problem.gap);
    let turned = problem.shapes.iter().flat_map(|s| &s.variants);
    turned
        .map(|v| v.size.0.min(v.size.1) + problem.gap as f64)
        .fold(least.max(1) as f64, f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// The defining property of a dual feasible function.
        #[test]
        fn sums_to_one_stay_sums_to_one(
            parts in proptest::collection::vec(1_u32..100, 1..12),
            slack in 0_u32..50,
            k in 1_u32..8,
            threshold in 1_u32..50,
        ) {
            let whole = f64::from(parts.iter().sum::<u32>() + slack);
            let least = f64::from(threshold) / 100.0;
            for f in [Dual::Round(f64::from(k)), Dual::Drop(least), Dual::Count(least)] {
                let sum: f64 = parts.iter().map(|&p| f.of(f64::from(p) / whole)).sum();
                prop_assert!(sum <= 1.0 + 1e-6, "{f:?} gives {sum}");
            }
        }
    }
}
