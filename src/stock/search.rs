//! The search: a first layout by price per filled area, then every choice of boards that could be cheaper, then more of the rest kept in one piece.

use rayon::prelude::*;

use super::attempt::{Attempt, Tried};
use super::choice::{Choice, choices};
use super::delivery::least_delivery;
use super::exchange::Exchange;
use super::fit::{Filler, start_order};
use super::grid::{Dice, Pattern, Problem};
use super::prove::prove;
use super::solution::{Cutting, HAIR, Solution, board_cost, solution};
use crate::error::{Error, Result, Watch};

/// Independent searches of rectangles, and of outlines; fixed, so that a seed repeats on any machine.
const SEARCHES: (u64, u64) = (4, 2);
/// Share of the effort in which a small case may be worked out to the end.
const EXACT_SHARE: u64 = 4;
/// Below this effort one search does it all. [tried positions]
const SMALL_EFFORT: (u64, u64) = (100_000, 10_000);
/// Least positions tried in one go.
const LEAST_SLICE: u64 = 1_000;
/// Positions of a few fillings, over the square of the number of items; and how often that is doubled at most.
const FEW_FILLINGS: u64 = 2;
const MOST_DOUBLED: usize = 14;
/// Most positions of rectangles, and of outlines, tried before the caller is asked again whether to go on: some 30 ms.
pub(super) const LARGEST_SLICE: u64 = 400_000;
const LARGEST_OUTLINE_SLICE: u64 = 30_000;
/// Outlines from which on a slice is shorter.
const MANY: u64 = 100;
/// Share that is done once there is a layout: from then on the caller may stop the search and gets one.
const LEAST_DONE: f64 = 1e-9;
/// Times that the searches are compared.
const ROUNDS: u64 = 12;

/// What the search found.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) solution: Solution,
    pub(super) bound: f64,
    pub(super) effort: u64,
    pub(super) cut_short: bool,
}

/// A first layout: the board with the least price for what fits on it is taken next, until all is laid; and which boards were
/// seen to hold everything.
fn first(problem: &Problem, cutting: Cutting, filler: &mut Filler) -> (Solution, Vec<bool>) {
    let all: Vec<usize> = (0..problem.items.len()).collect();
    let mut ample = vec![false; problem.boards.len()];
    let upright = vec![false; all.len()];
    let mut best: Option<Solution> = None;
    for rule in 0..2 {
        let mut left = start_order(problem, &all, rule, &mut filler.dice);
        let mut stock: Vec<u32> = problem.boards.iter().map(|b| b.stock).collect();
        let mut used: Vec<(usize, Pattern)> = vec![];
        while !left.is_empty() {
            let brought = |more: Option<usize>| {
                let (freight, waiting) =
                    least_delivery(problem, used.iter().map(|u| u.0).chain(more));
                freight + waiting
            };
            let so_far = brought(None);
            // (price of area, board, pattern, rest)
            let mut next: Option<(f64, usize, Pattern, Vec<usize>)> = None;
            for (b, board) in problem.boards.iter().enumerate() {
                if stock[b] == 0 {
                    continue;
                }
                let (mut pattern, mut rest) = (Pattern::default(), vec![]);
                let how = (true, upright.as_slice());
                let around = filler.around(b);
                filler.fill(
                    &problem.items,
                    ((board.w, board.h), around.as_ref()),
                    &left,
                    how,
                    &mut pattern,
                    &mut rest,
                );
                if pattern.spots.is_empty() {
                    continue;
                }
                let filled: f64 = pattern.spots.iter().map(|s| s.w as f64 * s.h as f64).sum();
                let cost = board_cost(problem, cutting, b, &pattern).0 + brought(Some(b)) - so_far;
                if rest.is_empty() {
                    ample[b] |= used.is_empty();
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
    let best = best.unwrap_or_else(|| solution(problem, cutting, vec![], all));
    (best, ample)
}

struct Search<'a> {
    cutting: Cutting,
    filler: Filler<'a>,
    attempts: Vec<Attempt<'a>>,
    exchange: Exchange,
    best: Solution,
}

impl Search<'_> {
    /// Spends `effort` positions, in turn on choices of boards that could be better and on exchanging a few boards.
    fn advance(&mut self, effort: u64, watch: &dyn Watch, done: f64) -> bool {
        let stop = self.filler.effort + effort;
        for attempt in &mut self.attempts {
            attempt.take_over(self.filler.problem, &self.best);
        }
        while self.filler.effort < stop {
            let left = (stop - self.filler.effort) as f64 / effort.max(1) as f64;
            let done = done + (1.0 - left) / ROUNDS as f64;
            self.filler.done = done.max(LEAST_DONE);
            if self.filler.stopped || !watch.go_on(done.max(LEAST_DONE)) {
                return false;
            }
            let best = &self.best;
            self.attempts.retain(|a| {
                best.left_area > 0.0 || a.choice.lower < best.cost - HAIR * (1.0 + best.cost.abs())
            });
            let slice = self.slice(effort).min(stop - self.filler.effort);
            let exchange = self.exchange.useful(self.filler.problem);
            if self.attempts.is_empty() && !exchange {
                break;
            }
            if self.attempts.is_empty() || exchange && self.filler.dice.below(3) == 0 {
                let slice = slice.min(LARGEST_SLICE);
                self.exchange.run(&mut self.filler, self.cutting, slice);
                if self.exchange.best.better_than(&self.best) {
                    self.best = self.exchange.best.clone();
                }
            } else {
                self.attempt(slice, &|| watch.go_on(done.max(LEAST_DONE)));
            }
        }
        true
    }

    /// How long a start is followed: some are soon given up, some are followed for long.
    ///
    /// Of rectangles half the starts last a few fillings, a quarter twice as long, and so on, whatever the effort: without knowing how
    /// long a lucky start takes nothing does much better (M. Luby, A. Sinclair, D. Zuckerman, 1993, Information Processing Letters 47, 173-180).
    fn slice(&mut self, effort: u64) -> u64 {
        let dice = &mut self.filler.dice;
        let slice = if self.filler.problem.shapes.is_some() {
            let share = ROUNDS * effort / [12, 24, 60][dice.below(3)];
            // A position of one among very many outlines takes longer.
            let n = self.filler.problem.items.len() as u64;
            share.min(LARGEST_OUTLINE_SLICE * MANY / n.max(MANY))
        } else {
            let n = self.filler.problem.items.len() as u64;
            (FEW_FILLINGS * n * n) << dice.steps(MOST_DOUBLED)
        };
        slice.max(LEAST_SLICE)
    }

    fn attempt(&mut self, slice: u64, go_on: &dyn Fn() -> bool) {
        let problem = self.filler.problem;
        // The first, which is the cheapest, every other time, the second every fourth time, and so on.
        let at = self.filler.dice.steps(self.attempts.len() - 1);
        let attempt = &mut self.attempts[at];
        let tried = attempt.run(&mut self.filler, &self.best, slice, go_on);
        let whole = matches!(&tried, Tried::Found(_, left) if left.is_empty());
        let open = matches!(tried, Tried::Open);
        if let Tried::Found(patterns, left) = tried {
            if whole {
                attempt.whole = Some(patterns.clone());
            }
            let used = attempt
                .choice
                .boards
                .iter()
                .copied()
                .zip(patterns)
                .collect();
            let found = solution(problem, self.cutting, used, left);
            if found.better_than(&self.best) {
                self.best = found;
            }
        }
        if !open && attempt.whole.is_some() && !attempt.push_in(problem, !whole) {
            self.attempts.remove(at);
        }
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
    let mut filler = Filler::new(problem, cutting.saw, Dice::new(seed, 0), watch);
    let (mut best, ample) = first(problem, cutting, &mut filler);
    if filler.stopped {
        return Err(Error::Stopped);
    }
    let by_saw = (cutting.saw && cutting.rate_per_m > 0.0)
        .then_some((cutting.rate_per_m, cutting.perimeter_m));
    let at_most = if best.left.is_empty() {
        best.cost
    } else {
        f64::INFINITY
    };
    let mut choices = choices(problem, by_saw, at_most, &ample);
    let mut used = filler.effort;
    if used < effort {
        let stop = used + effort / EXACT_SHARE;
        prove(problem, cutting, &mut choices, &mut best, &mut used, stop);
    }
    let bound = choices.bound();
    let list = choices.list;
    let proved = |s: &Solution| s.left.is_empty() && s.cost <= bound + HAIR * (1.0 + bound.abs());
    let list = if list.is_empty() && !best.left.is_empty() {
        vec![everything(problem)]
    } else {
        list
    };
    let mut cut_short = false;
    if used < effort && !proved(&best) {
        let (searches, small) = match problem.shapes {
            None => (SEARCHES.0, SMALL_EFFORT.0),
            Some(_) => (SEARCHES.1, SMALL_EFFORT.1),
        };
        let searches = if effort <= small { 1 } else { searches };
        let each = (effort - used) / searches;
        let mut running: Vec<Search> = (0..searches)
            .map(|s| {
                let filler = Filler::new(problem, cutting.saw, Dice::new(seed, s + 1), watch);
                let attempts = list
                    .iter()
                    .map(|c| Attempt::new(problem, c.clone()))
                    .collect();
                let exchange = Exchange::new(problem, best.clone());
                Search {
                    cutting,
                    filler,
                    attempts,
                    exchange,
                    best: best.clone(),
                }
            })
            .collect();
        for round in 0..ROUNDS {
            let done = round as f64 / ROUNDS as f64;
            let went_on: Vec<bool> = running
                .par_iter_mut()
                .map(|s| s.advance(each / ROUNDS, watch, done))
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
            if proved(&best) {
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
