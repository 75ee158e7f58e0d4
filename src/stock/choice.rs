//! Which boards could do: every choice of boards that covers the items by area, the cheapest first, and the bound that follows.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::bound::{self, Rate};
use super::delivery::least_delivery;
use super::grid::Problem;
use super::sheet::Sold;

/// Cells of the area that has to be covered.
const CELLS: usize = 512;
/// Choices looked at before the list is closed.
const MOST_LOOKED_AT: usize = 6_000;
/// Pieces of a sheet cut to order that are tried where one could hold everything.
const MOST_PIECES: usize = 3;
/// Choices handed on.
const MOST_CHOICES: usize = 48;

/// Some boards, with a lower bound of the objective of any layout on just these.
#[derive(Debug, Clone)]
pub(super) struct Choice {
    /// Indices of boards, repeated for each sheet.
    pub(super) boards: Vec<usize>,
    pub(super) lower: f64,
}

/// All choices worth a try, cheapest first.
#[derive(Debug)]
pub(super) struct Choices {
    pub(super) list: Vec<Choice>,
    /// No choice that is not in the list has a lower objective.
    others: f64,
    /// No layout has a lower one, whatever the choice.
    by_item: f64,
}

impl Choices {
    /// A bound that holds for every layout.
    pub(super) fn bound(&self) -> f64 {
        let listed = self.list.iter().map(|c| c.lower);
        listed.fold(self.others, f64::min).max(self.by_item)
    }
}

#[derive(Debug)]
struct Node {
    key: f64,
    boards: Vec<usize>,
    cells: usize,
    fixed: f64,
}

impl PartialEq for Node {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Node {}
impl PartialOrd for Node {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Node {
    /// The greatest is popped first: the least key, then the fewest boards, then the first in order.
    fn cmp(&self, other: &Self) -> Ordering {
        other
            .key
            .total_cmp(&self.key)
            .then(other.boards.len().cmp(&self.boards.len()))
            .then(other.boards.cmp(&self.boards))
    }
}

/// What a choice has to satisfy, worked out once.
struct Needs<'a> {
    problem: &'a Problem,
    rates: Vec<Rate>,
    area: f64,
    /// Boards on which each class fits.
    homes: Vec<Vec<bool>>,
    least_boards: Vec<Option<u32>>,
    least_length: Vec<Option<f64>>,
    cutting: Option<(f64, f64)>,
}

/// `cutting`: rate per metre and perimeter of all items, for a saw; `ample`: whether one of each board is known to hold all items.
pub(super) fn choices(
    problem: &Problem,
    cutting: Option<(f64, f64)>,
    at_most: f64,
    ample: &[bool],
) -> Choices {
    let needs = Needs::new(problem, cutting);
    let n = problem.boards.len();
    let cells: Vec<usize> = problem
        .boards
        .iter()
        .map(|b| cell_count(b.area() / needs.area))
        .collect();
    let completion = completions(problem, &needs, &cells);
    let cheapest = needs
        .rates
        .iter()
        .map(|r| r.per_area)
        .fold(f64::INFINITY, f64::min)
        * needs.area;
    let mut heap = BinaryHeap::from([Node {
        key: 0.0,
        boards: vec![],
        cells: 0,
        fixed: 0.0,
    }]);
    let mut list: Vec<Choice> = vec![];
    let mut dear = f64::INFINITY;
    let mut open = f64::INFINITY;
    let mut looked = 0;
    while let Some(node) = heap.pop() {
        if node.key > at_most {
            open = node.key;
            break;
        }
        looked += 1;
        if looked > MOST_LOOKED_AT || list.len() >= MOST_CHOICES {
            open = node.key;
            break;
        }
        if node.cells >= CELLS
            && let Some(lower) = needs.lower(&node.boards)
        {
            if lower > at_most {
                dear = dear.min(lower);
            } else {
                list.push(Choice {
                    boards: node.boards.clone(),
                    lower,
                });
            }
        }
        let first = node.boards.last().copied().unwrap_or(0);
        for k in first..n {
            let so_far = node.boards.iter().filter(|&&b| b == k).count();
            if so_far as u64 >= u64::from(problem.boards[k].stock)
                || node.boards.len() >= problem.items.len()
            {
                continue;
            }
            let covered = (node.cells + cells[k]).min(CELLS);
            let more = completion[k][CELLS - covered];
            if more.is_infinite() {
                continue;
            }
            let fixed = node.fixed + needs.rates[k].fixed;
            // Where one piece cut to order could hold everything, more are not followed far; the bound counts them all the same.
            if ample[k] && problem.boards[k].sold != Sold::Whole {
                let joins = needs.joins(k);
                if so_far >= if joins { 1 } else { MOST_PIECES } {
                    if !joins {
                        dear = dear.min(fixed + more + cheapest);
                    }
                    continue;
                }
            }
            let mut boards = node.boards.clone();
            boards.push(k);
            heap.push(Node {
                key: fixed + more + cheapest,
                boards,
                cells: covered,
                fixed,
            });
        }
    }
    list.sort_by(|a, b| {
        a.lower
            .total_cmp(&b.lower)
            .then(a.boards.len().cmp(&b.boards.len()))
            .then(a.boards.cmp(&b.boards))
    });
    Choices {
        list,
        others: dear.min(open),
        by_item: needs.by_item(),
    }
}

#[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // clamped
fn cell_count(share: f64) -> usize {
    ((share * CELLS as f64 * (1.0 + 1e-12)).ceil()).clamp(1.0, CELLS as f64) as usize
}

/// `completions[k][c]`: least fixed cost of boards from `k` on that cover `c` cells.
fn completions(problem: &Problem, needs: &Needs, cells: &[usize]) -> Vec<Vec<f64>> {
    let n = problem.boards.len();
    let mut tables = vec![vec![]; n];
    let mut table = vec![f64::INFINITY; CELLS + 1];
    table[0] = 0.0;
    for k in (0..n).rev() {
        let (size, fixed) = (cells[k], needs.rates[k].fixed);
        let most = CELLS.div_ceil(size);
        if problem.boards[k].stock as usize >= most {
            for c in 1..=CELLS {
                table[c] = table[c].min(table[c.saturating_sub(size)] + fixed);
            }
        } else {
            for _ in 0..problem.boards[k].stock {
                for c in (1..=CELLS).rev() {
                    table[c] = table[c].min(table[c.saturating_sub(size)] + fixed);
                }
            }
        }
        // Covering more is never asked for, so covering less costs at most as much.
        for c in (0..CELLS).rev() {
            table[c] = table[c].min(table[c + 1]);
        }
        tables[k].clone_from(&table);
    }
    tables
}

impl<'a> Needs<'a> {
    fn new(problem: &'a Problem, cutting: Option<(f64, f64)>) -> Self {
        let classes = bound::classes(&problem.items);
        let homes = classes
            .iter()
            .map(|(sizes, _)| {
                problem
                    .boards
                    .iter()
                    .map(|b| {
                        let (most_w, most_h) = b.reach();
                        sizes.iter().any(|&(w, h)| w <= most_w && h <= most_h)
                    })
                    .collect()
            })
            .collect();
        Self {
            problem,
            rates: problem
                .boards
                .iter()
                .map(|b| Rate::of(b, problem))
                .collect(),
            area: problem
                .items
                .iter()
                .map(|i| i.weight + i.inner_weight)
                .sum(),
            homes,
            // Dual feasible functions hold for rectangles only.
            least_boards: problem
                .boards
                .iter()
                .map(|b| bound::least_boards(&problem.items, b, problem.shapes.is_some()))
                .collect(),
            least_length: problem
                .boards
                .iter()
                .map(|b| {
                    if b.sold == Sold::ByLength {
                        bound::least_length(&problem.items, b, problem.shapes.is_some())
                    } else {
                        None
                    }
                })
                .collect(),
            cutting,
        }
    }

    /// Lower bound of the objective: each item at the least price of area among the boards that it fits on.
    fn by_item(&self) -> f64 {
        let price =
            |b: usize| self.rates[b].per_area + self.rates[b].fixed / self.problem.boards[b].area();
        let prices: Vec<f64> = (0..self.rates.len()).map(price).collect();
        let least = prices.iter().copied().fold(f64::INFINITY, f64::min);
        let mut sum = 0.0;
        for item in &self.problem.items {
            let own = self
                .problem
                .boards
                .iter()
                .zip(&prices)
                .filter(|(b, _)| item.fits(b))
                .map(|(_, p)| *p)
                .fold(f64::INFINITY, f64::min);
            // What lies in a hole might lie on another board.
            sum += item.weight * own + item.inner_weight * least;
        }
        sum
    }

    /// Whether lengths of a board never cost more in one piece than apart. If that piece is longer than the board, even all of
    /// the board costs less, and holds everything.
    fn joins(&self, board: usize) -> bool {
        let b = &self.problem.boards[board];
        let trim = self.problem.trim;
        b.sold == Sold::ByLength
            && 2 * trim >= self.problem.gap
            // The cut between them takes the place of the trim of two ends.
            && (trim > 0 || self.cutting.is_none())
            && (b.surcharge.longest_m.is_none() || b.surcharge.oversize_fee <= 0.0)
    }

    /// Lower bound of the objective on just these boards; `None` where the items cannot all lie on them.
    fn lower(&self, boards: &[usize]) -> Option<f64> {
        if !self
            .homes
            .iter()
            .all(|home| boards.iter().any(|&b| home[b]))
        {
            return None;
        }
        let &first = boards.first()?;
        let mut strip = 0.0_f64;
        if boards.iter().all(|&b| b == first) {
            if self.least_boards[first].is_none_or(|least| boards.len() < least as usize) {
                return None;
            }
            let board = &self.problem.boards[first];
            if board.sold == Sold::ByLength {
                // Lengths end to end are one strip.
                let grown = self.least_length[first]?;
                let n = boards.len() as f64;
                if grown > n * board.h as f64 {
                    return None;
                }
                let ends = n * (2 * self.problem.trim - self.problem.gap) as f64;
                let price = board.cost - board.fee;
                strip = n * board.fee + price * (grown + ends) * 1e-6 / board.full_m.1;
            }
        }
        // The items fill the boards with the lowest price of area first.
        let mut rates: Vec<(f64, f64)> = boards
            .iter()
            .map(|&b| (self.rates[b].per_area, self.problem.boards[b].area()))
            .collect();
        rates.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut area = self.area;
        let mut money: f64 = boards.iter().map(|&b| self.rates[b].fixed).sum();
        for (per, capacity) in rates {
            let on = area.min(capacity);
            money += per * on;
            area -= on;
        }
        if area > 1e-9 * self.area {
            return None;
        }
        // Both sides of a cut serve a part; the rest of the parts' edges are edges of boards.
        let cuts = self.cutting.map_or(0.0, |(rate, perimeter)| {
            let edges: f64 = boards
                .iter()
                .map(|&b| 2.0 * (self.problem.boards[b].full_m.0 + self.problem.boards[b].full_m.1))
                .sum();
            rate * ((perimeter - edges) / 2.0).max(0.0)
        });
        let (freight, waiting) = least_delivery(self.problem, boards.iter().copied());
        Some(money.max(strip) + cuts + freight + waiting)
    }
}
