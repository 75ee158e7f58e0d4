//! Boards with parts on them, and what they cost.

use super::delivery::delivery;
use super::grid::{Cut, Pattern, Problem, Um, metres};
use super::remnants::remnants;
use super::sheet::Sold;

/// Money below this makes no difference, as a share.
pub(super) const HAIR: f64 = 1e-9;

/// Boards with their patterns, and what found no place.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub(super) used: Vec<(usize, Pattern)>,
    pub(super) left: Vec<usize>,
    /// Bought + delivery + taken - kept + saw cuts.
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
    let cost = bought(problem, board, pattern).1;
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

/// Size that is bought, and its cost. [m, currency]
pub(super) fn bought(problem: &Problem, board: usize, pattern: &Pattern) -> ((f64, f64), f64) {
    let b = &problem.boards[board];
    let used = pattern.used();
    let cut = |used: Um, full_m: f64| metres(used - problem.gap + 2 * problem.trim).min(full_m);
    let size = match b.sold {
        Sold::Whole => return (b.full_m, b.cost),
        Sold::ByLength => (b.full_m.0, cut(used.1, b.full_m.1)),
        Sold::ToSize => (cut(used.0, b.full_m.0), cut(used.1, b.full_m.1)),
    };
    let share = size.0 * size.1 / (b.full_m.0 * b.full_m.1);
    (size, b.fee + (b.cost - b.fee) * share)
}

/// Where the cuts of a sawn board end: a sheet cut to order is bought no larger than its parts need.
pub(super) fn sawn_size(problem: &Problem, board: usize, pattern: &Pattern) -> (Um, Um) {
    let b = &problem.boards[board];
    let used = pattern.used();
    match b.sold {
        Sold::Whole => (b.w, b.h),
        Sold::ByLength => (b.w, used.1),
        Sold::ToSize => used,
    }
}

/// Length of all cuts of a sawn board, with its trimmed edges. [m]
pub(super) fn saw_length_m(problem: &Problem, board: usize, pattern: &Pattern) -> f64 {
    let end = sawn_size(problem, board, pattern);
    let cuts: Um = pattern
        .cuts
        .iter()
        .filter_map(|c| clipped(c, end))
        .map(|c| if c.upright { c.h } else { c.w } - problem.gap)
        .sum();
    let size_m = bought(problem, board, pattern).0;
    let trims: f64 = trims(problem, board, size_m)
        .iter()
        .map(|(from, to)| (to.0 - from.0).hypot(to.1 - from.1))
        .sum();
    metres(cuts) + trims
}

/// From where to where. [m]
pub(super) type Line = ((f64, f64), (f64, f64));

/// The cuts along the trimmed edges of a board bought in this size; they also square an offcut of another outline.
pub(super) fn trims(problem: &Problem, board: usize, (w, h): (f64, f64)) -> Vec<Line> {
    let b = &problem.boards[board];
    let (left, bottom) = b.origin_m;
    let (right, top) = (left + w, bottom + h);
    // A sheet cut to order ends where its parts do.
    let (x, y) = b.corner_m;
    let trim = metres(problem.trim);
    let (end_x, end_y) = match b.sold {
        Sold::Whole => (x + metres(b.w - b.gap), y + metres(b.h - b.gap)),
        Sold::ByLength => (x + metres(b.w - b.gap), top - trim),
        Sold::ToSize => (right - trim, top - trim),
    };
    let hair = 2e-6;
    let level = |y: f64| ((left, y), (right, y));
    let upright = |x: f64| ((x, bottom), (x, top));
    let lines = [
        (y > bottom + hair, level(y)),
        (end_y < top - hair, level(end_y)),
        (x > left + hair, upright(x)),
        (end_x < right - hair, upright(end_x)),
    ];
    let cut = lines.into_iter().filter(|l| l.0);
    cut.map(|l| l.1).collect()
}

/// A cut on a board that ends at `end`; `None` where nothing is left to cut.
pub(super) fn clipped(cut: &Cut, end: (Um, Um)) -> Option<Cut> {
    let (w, h) = (cut.w.min(end.0 - cut.x), cut.h.min(end.1 - cut.y));
    let room = if cut.upright { w } else { h };
    (w > 0 && h > 0 && cut.at < room).then_some(Cut { w, h, ..*cut })
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
    let pieces = used.iter().map(|(b, p)| (*b, bought(problem, *b, p).0));
    let (freight, waiting) = delivery(problem, pieces);
    cost += freight + waiting;
    let left_area = left.iter().map(|&i| problem.items[i].area()).sum();
    Solution {
        used,
        left,
        cost,
        cut,
        left_area,
    }
}
