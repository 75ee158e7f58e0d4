//! Boards with parts on them, and what they cost.

use super::grid::{Pattern, Problem, Um, metres};
use super::remnants::remnants;

/// Money below this makes no difference, as a share.
pub(super) const HAIR: f64 = 1e-9;

/// Boards with their patterns, and what found no place.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub(super) used: Vec<(usize, Pattern)>,
    pub(super) left: Vec<usize>,
    /// Bought + taken - kept + saw cuts.
    pub(super) cost: f64,
    /// Length of saw cuts, for ties.
    cut: f64,
    pub(super) left_area: f64,
}

impl Solution {
    /// Fewer parts left over, then less money, then fewer boards, then shorter cuts.
    pub(super) fn better_than(&self, other: &Self) -> bool {
        let close = |a: f64, b: f64| (a - b).abs() <= HAIR * (1.0 + b.abs());
        if !close(self.left_area, other.left_area) {
            return self.left_area < other.left_area;
        }
        if !close(self.cost, other.cost) {
            return self.cost < other.cost;
        }
        if self.used.len() != other.used.len() {
            return self.used.len() < other.used.len();
        }
        self.cut < other.cut * (1.0 - HAIR)
    }
}

/// How cutting enters the objective.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cutting {
    pub(super) saw: bool,
    pub(super) rate_per_m: f64,
    /// Of all parts. [m]
    pub(super) perimeter_m: f64,
}

/// What a board costs with this pattern on it: cost - kept, and the length of its cuts. [currency, m]
pub(super) fn board_cost(
    problem: &Problem,
    cutting: Cutting,
    board: usize,
    pattern: &Pattern,
) -> (f64, f64) {
    let b = &problem.boards[board];
    let cost = if b.by_length {
        bought_by_length(problem, board, pattern).1
    } else {
        b.cost
    };
    let kept: f64 = remnants(b, pattern, cutting.saw, problem.gap, problem.keep_least)
        .iter()
        .map(|r| r.2 as f64 * r.3 as f64 * 1e-12 * b.keep_per_m2)
        .sum();
    let cut = if cutting.saw {
        saw_length_m(problem, board, pattern)
    } else {
        0.0
    };
    (cost - kept + cut * cutting.rate_per_m, cut)
}

/// Length that is bought of a sheet by length, and its cost. [m, currency]
pub(super) fn bought_by_length(problem: &Problem, board: usize, pattern: &Pattern) -> (f64, f64) {
    let b = &problem.boards[board];
    let used = pattern.used().1 - problem.gap + 2 * problem.trim;
    let length_m = (metres(used)).min(b.full_m.1);
    (length_m, b.fee + (b.cost - b.fee) * length_m / b.full_m.1)
}

/// Length of all cuts of a sawn board, with its trimmed edges. [m]
pub(super) fn saw_length_m(problem: &Problem, board: usize, pattern: &Pattern) -> f64 {
    let b = &problem.boards[board];
    let cuts: Um = pattern
        .cuts
        .iter()
        .map(|c| if c.upright { c.h } else { c.w } - problem.gap)
        .sum();
    let height_m = if b.by_length {
        bought_by_length(problem, board, pattern).0
    } else {
        b.full_m.1
    };
    let trims = if problem.trim > 0 {
        2.0 * (b.full_m.0 + height_m)
    } else {
        0.0
    };
    metres(cuts) + trims
}

pub(super) fn solution(
    problem: &Problem,
    cutting: Cutting,
    used: Vec<(usize, Pattern)>,
    left: Vec<usize>,
) -> Solution {
    let used: Vec<(usize, Pattern)> = used.into_iter().filter(|u| !u.1.spots.is_empty()).collect();
    let (mut cost, mut cut) = (0.0, 0.0);
    for (board, pattern) in &used {
        let (c, l) = board_cost(problem, cutting, *board, pattern);
        cost += c;
        cut += l;
    }
    let left_area = left.iter().map(|&i| problem.items[i].area()).sum();
    Solution {
        used,
        left,
        cost,
        cut,
        left_area,
    }
}
