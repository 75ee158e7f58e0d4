//! The search: a first layout by price per filled area, then every choice of boards that could be cheaper, then more of the rest kept in one piece.

use rayon::prelude::*;

use super::choice::{Choice, Choices, choices};
use super::fit::{Filler, Fit, start_order};
use super::grid::{Dice, Pattern, Problem, Um};
use super::remnants::remnants;
use crate::error::{Error, Result, Watch};

/// Independent searches; fixed, so that a seed repeats on any machine.
const SEARCHES: u64 = 4;
/// Below this effort one search does it all. [tried positions]
const SMALL_EFFORT: u64 = 100_000;
/// Times that the searches are compared.
const ROUNDS: u64 = 12;
/// Money below this makes no difference, as a share.
const HAIR: f64 = 1e-9;

/// Boards with their patterns, and what found no place.
#[derive(Debug, Clone)]
pub(super) struct Solution {
    pub(super) used: Vec<(usize, Pattern)>,
    pub(super) left: Vec<usize>,
    /// Bought + taken - kept + saw cuts.
    pub(super) cost: f64,
    /// Length of saw cuts, for ties.
    cut: f64,
    left_area: f64,
}

impl Solution {
    /// Fewer parts left over, then less money, then fewer boards, then shorter cuts.
    fn better_than(&self, other: &Self) -> bool {
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

/// What the search found.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) solution: Solution,
    pub(super) bound: f64,
    pub(super) effort: u64,
    pub(super) cut_short: bool,
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
    let length_m = (super::grid::metres(used)).min(b.full_m.1);
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
    super::grid::metres(cuts) + trims
}

fn solution(
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

/// A first layout: the board with the least price for what fits on it is taken next, until all is laid.
fn first(problem: &Problem, cutting: Cutting, filler: &mut Filler) -> Solution {
    let all: Vec<usize> = (0..problem.items.len()).collect();
    let mut best: Option<Solution> = None;
    for rule in 0..2 {
        let mut left = start_order(problem, &all, rule, &mut filler.dice);
        let mut stock: Vec<u32> = problem.boards.iter().map(|b| b.stock).collect();
        let mut used: Vec<(usize, Pattern)> = vec![];
        while !left.is_empty() {
            // (price of area, board, pattern, rest)
            let mut next: Option<(f64, usize, Pattern, Vec<usize>)> = None;
            for (b, board) in problem.boards.iter().enumerate() {
                if stock[b] == 0 {
                    continue;
                }
                let (mut pattern, mut rest) = (Pattern::default(), vec![]);
                filler.fill((board.w, board.h), &left, true, &mut pattern, &mut rest);
                if pattern.spots.is_empty() {
                    continue;
                }
                let filled: f64 = pattern.spots.iter().map(|s| s.w as f64 * s.h as f64).sum();
                let cost = board_cost(problem, cutting, b, &pattern).0;
                if rest.is_empty() {
                    let mut whole = used.clone();
                    whole.push((b, pattern.clone()));
                    let whole = solution(problem, cutting, whole, vec![]);
                    if best.as_ref().is_none_or(|s| whole.better_than(s)) {
                        best = Some(whole);
                    }
                }
                let price = cost / filled;
                if next.as_ref().is_none_or(|n| price < n.0) {
                    next = Some((price, b, pattern, rest));
                }
            }
            let Some((_, b, pattern, rest)) = next else {
                break;
            };
            if stock[b] != u32::MAX {
                stock[b] -= 1;
            }
            used.push((b, pattern));
            left = rest;
        }
        let end = solution(problem, cutting, used, left);
        if best.as_ref().is_none_or(|s| end.better_than(s)) {
            best = Some(end);
        }
    }
    best.unwrap_or_else(|| solution(problem, cutting, vec![], all))
}

/// A choice of boards under search.
#[derive(Debug)]
struct Attempt {
    choice: Choice,
    fit: Fit,
    /// Patterns of the last whole layout on these boards.
    whole: Option<Vec<Pattern>>,
    /// Which edge is pushed in next.
    push: usize,
}

impl Attempt {
    fn new(problem: &Problem, choice: Choice, order: &[usize]) -> Self {
        let sizes = choice
            .boards
            .iter()
            .map(|&b| (problem.boards[b].w, problem.boards[b].h))
            .collect();
        Self {
            fit: Fit::new(problem, sizes, order),
            choice,
            whole: None,
            push: 0,
        }
    }

    /// Pushes one edge of one board in, so that the next whole layout leaves more of it; false where no board is worth it.
    fn push_in(&mut self, problem: &Problem, next: bool) -> bool {
        let Some(whole) = &self.whole else {
            return false;
        };
        let ways = 2 * self.choice.boards.len();
        if next {
            self.push += 1;
        }
        for _ in 0..ways {
            // The last boards hold the least, so they are tried first.
            let way = self.push % ways;
            let at = self.choice.boards.len() - 1 - way / 2;
            let board = &problem.boards[self.choice.boards[at]];
            let (w, h) = whole[at].used();
            let cleared = problem.keep_least.0 + problem.gap;
            let size = if way.is_multiple_of(2) {
                let most = if board.by_length {
                    h - 1
                } else {
                    (h - 1).min(board.h - cleared)
                };
                (board.w, most)
            } else {
                ((w - 1).min(board.w - cleared), board.h)
            };
            let useful = if board.by_length {
                way.is_multiple_of(2)
            } else {
                board.keep_per_m2 > 0.0
            };
            if useful && size.0 > 0 && size.1 > 0 && !whole[at].spots.is_empty() {
                let mut sizes: Vec<(Um, Um)> = self
                    .choice
                    .boards
                    .iter()
                    .map(|&b| (problem.boards[b].w, problem.boards[b].h))
                    .collect();
                sizes[at] = size;
                self.fit = Fit::from_patterns(problem, sizes, whole.clone());
                return true;
            }
            self.push += 1;
        }
        false
    }
}

struct Search<'a> {
    cutting: Cutting,
    filler: Filler<'a>,
    attempts: Vec<Attempt>,
    turn: usize,
    best: Solution,
}

impl Search<'_> {
    /// Spends `effort` positions on the choices that could still be better, in turn.
    fn advance(&mut self, effort: u64, slice: u64, watch: &dyn Watch, done: f64) -> bool {
        let problem = self.filler.problem;
        let stop = self.filler.effort + effort;
        while self.filler.effort < stop {
            if !watch.go_on(done) {
                return false;
            }
            let best = &self.best;
            self.attempts.retain(|a| {
                best.left_area > 0.0 || a.choice.lower < best.cost - HAIR * (1.0 + best.cost.abs())
            });
            if self.attempts.is_empty() {
                break;
            }
            // The cheapest choices are tried most: every second turn goes to one of the first three.
            self.turn += 1;
            let among = if self.turn.is_multiple_of(2) { 3 } else { 12 }.min(self.attempts.len());
            let at = self.filler.dice.below(among);
            let attempt = &mut self.attempts[at];
            let slice = slice.min(stop - self.filler.effort);
            let whole = attempt.fit.run(&mut self.filler, slice);
            let (patterns, left, left_area) = attempt.fit.best();
            if left_area <= self.best.left_area {
                let used = attempt
                    .choice
                    .boards
                    .iter()
                    .copied()
                    .zip(patterns.iter().cloned())
                    .collect();
                let found = solution(problem, self.cutting, used, left.to_vec());
                if found.better_than(&self.best) {
                    self.best = found;
                }
            }
            if whole {
                attempt.whole = Some(patterns.to_vec());
                if !attempt.push_in(problem, false) {
                    self.attempts.remove(at);
                }
            } else if attempt.whole.is_some() && !attempt.push_in(problem, true) {
                self.attempts.remove(at);
            }
        }
        true
    }
}

/// Searches with `effort` positions; the answer depends on the ask alone, not on the machine.
pub(super) fn search(
    problem: &Problem,
    cutting: Cutting,
    seed: u64,
    effort: u64,
    watch: &dyn Watch,
) -> Result<Found> {
    if !watch.go_on(0.0) {
        return Err(Error::Stopped);
    }
    let mut filler = Filler::new(problem, cutting.saw, Dice::new(seed, 0));
    let mut best = first(problem, cutting, &mut filler);
    let by_saw = (cutting.saw && cutting.rate_per_m > 0.0)
        .then_some((cutting.rate_per_m, cutting.perimeter_m));
    let at_most = if best.left.is_empty() {
        best.cost
    } else {
        f64::INFINITY
    };
    let Choices { list, bound } = choices(problem, by_saw, at_most);
    let mut used = filler.effort;
    let proved = |s: &Solution| s.left.is_empty() && s.cost <= bound + HAIR * (1.0 + bound.abs());
    let list = if list.is_empty() && !best.left.is_empty() {
        vec![everything(problem)]
    } else {
        list
    };
    let mut cut_short = false;
    if used < effort && !list.is_empty() && !proved(&best) {
        let searches = if effort <= SMALL_EFFORT { 1 } else { SEARCHES };
        let each = (effort - used) / searches;
        let all: Vec<usize> = (0..problem.items.len()).collect();
        let mut running: Vec<Search> = (0..searches)
            .map(|s| {
                let mut filler = Filler::new(problem, cutting.saw, Dice::new(seed, s + 1));
                let attempts = list
                    .iter()
                    .enumerate()
                    .map(|(i, choice)| {
                        #[allow(clippy::cast_possible_truncation)] // fewer than five
                        let order = start_order(problem, &all, s as usize + i, &mut filler.dice);
                        Attempt::new(problem, choice.clone(), &order)
                    })
                    .collect();
                Search {
                    cutting,
                    filler,
                    attempts,
                    turn: 0,
                    best: best.clone(),
                }
            })
            .collect();
        let slice = (each / 60).max(2_000);
        for round in 0..ROUNDS {
            let done = round as f64 / ROUNDS as f64;
            let went_on: Vec<bool> = running
                .par_iter_mut()
                .map(|s| s.advance(each / ROUNDS, slice, watch, done))
                .collect();
            for s in &running {
                if s.best.better_than(&best) {
                    best = s.best.clone();
                }
            }
            for s in &mut running {
                s.best = best.clone();
            }
            if went_on.contains(&false) {
                cut_short = true;
                break;
            }
            if proved(&best) || running.iter().all(|s| s.attempts.is_empty()) {
                break;
            }
        }
        used += running.iter().map(|s| s.filler.effort).sum::<u64>();
    }
    Ok(Found {
        solution: best,
        bound,
        effort: used,
        cut_short,
    })
}

/// All the boards that there are, where they are too few for the items.
fn everything(problem: &Problem) -> Choice {
    let mut boards = vec![];
    for (b, board) in problem.boards.iter().enumerate() {
        for _ in 0..(board.stock as usize).min(problem.items.len()) {
            boards.push(b);
        }
    }
    boards.truncate(problem.items.len());
    Choice {
        boards,
        lower: f64::NEG_INFINITY,
    }
}
