//! Giving a few boards back and buying others for what lay on them: emptied and filled again, kept where it is no dearer than a while ago.

use super::delivery::least_delivery;
use super::fit::{Filler, MEMORY};
use super::grid::{Dice, Pattern, Problem};
use super::solution::{Cutting, Solution, board_cost, solution};

/// At most so many boards are given back at once.
const MOST_BOARDS: usize = 4;

/// A layout that is changed board by board.
#[derive(Debug)]
pub(super) struct Exchange {
    now: Solution,
    pub(super) best: Solution,
    upright: Vec<bool>,
    memory: Vec<f64>,
    step: usize,
}

impl Exchange {
    pub(super) fn new(problem: &Problem, start: Solution) -> Self {
        Self {
            now: start.clone(),
            best: start,
            upright: vec![false; problem.items.len()],
            memory: vec![],
            step: 0,
        }
    }

    /// Whether there is anything to exchange.
    pub(super) fn useful(&self, problem: &Problem) -> bool {
        self.now.used.len() > 1 || problem.boards.len() > 1
    }

    /// Goes on for `effort` positions.
    pub(super) fn run(&mut self, filler: &mut Filler, cutting: Cutting, effort: u64) {
        let problem = filler.problem;
        let stop = filler.effort + effort;
        while filler.effort < stop && !self.now.used.is_empty() {
            let give = 1 + filler.dice.steps(MOST_BOARDS.min(self.now.used.len()) - 1);
            let mut used = self.now.used.clone();
            let mut pool = self.now.left.clone();
            for _ in 0..give {
                let (_, pattern) = used.swap_remove(filler.dice.below(used.len()));
                pool.extend(pattern.spots.iter().map(|s| s.item));
            }
            // The copies made in a step take about as long as so many positions.
            filler.effort += 4 * problem.items.len() as u64;
            shuffle(problem, &mut pool, &mut filler.dice);
            for u in &mut self.upright {
                *u = filler.dice.below(2) == 0;
            }
            let left = self.buy(filler, cutting, &mut used, pool);
            let next = solution(problem, cutting, used, left);
            let slot = self.step % MEMORY;
            let then = self.memory.get(slot).copied().unwrap_or(f64::INFINITY);
            self.step += 1;
            let fewer = next.left_area < self.now.left_area;
            let same = next.left_area <= self.now.left_area;
            if fewer || same && (next.cost <= self.now.cost || next.cost <= then) {
                self.now = next;
                if self.now.better_than(&self.best) {
                    self.best = self.now.clone();
                }
            }
            if self.memory.len() <= slot {
                self.memory.push(self.now.cost);
            } else {
                self.memory[slot] = self.now.cost;
            }
        }
    }

    /// Buys boards for what lies in the pool, each time the one with about the least price for what fits on it.
    fn buy(
        &self,
        filler: &mut Filler,
        cutting: Cutting,
        used: &mut Vec<(usize, Pattern)>,
        mut pool: Vec<usize>,
    ) -> Vec<usize> {
        let problem = filler.problem;
        while !pool.is_empty() {
            let brought = |more: Option<usize>| {
                let (freight, waiting) =
                    least_delivery(problem, used.iter().map(|u| u.0).chain(more));
                freight + waiting
            };
            let so_far = brought(None);
            let mut next: Option<(f64, usize, Pattern, Vec<usize>)> = None;
            for (b, board) in problem.boards.iter().enumerate() {
                if used.iter().filter(|u| u.0 == b).count() as u64 >= u64::from(board.stock) {
                    continue;
                }
                let (mut pattern, mut rest) = (Pattern::default(), vec![]);
                let how = (filler.dice.below(4) > 0, self.upright.as_slice());
                let around = filler.around(b);
                filler.fill(
                    &problem.items,
                    ((board.w, board.h), around.as_ref()),
                    &pool,
                    how,
                    &mut pattern,
                    &mut rest,
                );
                if pattern.spots.is_empty() {
                    continue;
                }
                let filled: f64 = pattern.spots.iter().map(|s| s.w as f64 * s.h as f64).sum();
                let cost = board_cost(problem, cutting, b, &pattern).0 + brought(Some(b)) - so_far;
                let price = cost / filled;
                let price = price * (0.75 + 0.5 * filler.dice.share());
                if next.as_ref().is_none_or(|n| price < n.0) {
                    next = Some((price, b, pattern, rest));
                }
            }
            let Some((_, board, pattern, rest)) = next else {
                break;
            };
            used.push((board, pattern));
            pool = rest;
        }
        pool
    }
}

/// The large before the small, but not too strictly.
fn shuffle(problem: &Problem, pool: &mut Vec<usize>, dice: &mut Dice) {
    let by_side = dice.below(2) == 0;
    let strict = [0.3, 1.0, 10.0][dice.below(3)];
    let mut keyed: Vec<(f64, usize)> = pool
        .iter()
        .map(|&i| {
            let (w, h) = problem.items[i].sizes.first().copied().unwrap_or((0, 0));
            let size = if by_side {
                w.max(h) as f64
            } else {
                w as f64 * h as f64
            };
            (size * (1.0 + strict * dice.share()), i)
        })
        .collect();
    keyed.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    pool.clear();
    pool.extend(keyed.into_iter().map(|k| k.1));
}
