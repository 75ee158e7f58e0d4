//! Laying all items on given boards: boards are emptied and filled again in a changed order, and a change that is no worse than the state of a while ago is kept.

use super::grid::{Dice, Pattern, Problem, Um};
use super::{free, saw};

/// How many steps back a change is compared with (late acceptance; Burke and Bykov 2017).
const MEMORY: usize = 60;

/// One searcher: its dice, its memory and the positions that it has tried.
#[derive(Debug)]
pub(super) struct Filler<'a> {
    pub(super) problem: &'a Problem,
    pub(super) saw: bool,
    pub(super) dice: Dice,
    pub(super) effort: u64,
    free: free::Scratch,
    sawn: saw::Scratch,
}

impl<'a> Filler<'a> {
    pub(super) fn new(problem: &'a Problem, saw: bool, dice: Dice) -> Self {
        Self {
            problem,
            saw,
            dice,
            effort: 0,
            free: free::Scratch::default(),
            sawn: saw::Scratch::default(),
        }
    }

    /// Fills one board; what finds no place is appended to `rest`.
    pub(super) fn fill(
        &mut self,
        size: (Um, Um),
        order: &[usize],
        greedy: bool,
        pattern: &mut Pattern,
        rest: &mut Vec<usize>,
    ) {
        let items = &self.problem.items;
        if self.saw {
            saw::fill(
                items,
                size,
                order,
                &mut self.dice,
                pattern,
                rest,
                &mut self.sawn,
                &mut self.effort,
            );
        } else {
            free::fill(
                items,
                size,
                order,
                greedy,
                pattern,
                rest,
                &mut self.free,
                &mut self.effort,
            );
        }
    }
}

/// A state of the search on fixed boards.
#[derive(Debug, Clone)]
pub(super) struct Fit {
    pub(super) sizes: Vec<(Um, Um)>,
    pub(super) patterns: Vec<Pattern>,
    pub(super) left: Vec<usize>,
    rank: Vec<u32>,
    best: (Vec<Pattern>, Vec<usize>, f64),
    memory: Vec<f64>,
    step: usize,
}

/// Orders to start from.
pub(super) fn start_order(
    problem: &Problem,
    items: &[usize],
    rule: usize,
    dice: &mut Dice,
) -> Vec<usize> {
    let mut order = items.to_vec();
    let size = |i: usize| problem.items[i].sizes.first().copied().unwrap_or((0, 0));
    let area = |i: usize| i128::from(size(i).0) * i128::from(size(i).1);
    match rule % 5 {
        0 => order.sort_by_key(|&i| std::cmp::Reverse(area(i))),
        1 => order.sort_by_key(|&i| std::cmp::Reverse(size(i).0.max(size(i).1))),
        2 => order.sort_by_key(|&i| std::cmp::Reverse(size(i).0)),
        3 => order.sort_by_key(|&i| std::cmp::Reverse(size(i).1)),
        _ => {
            for i in (1..order.len()).rev() {
                order.swap(i, dice.below(i + 1));
            }
        }
    }
    order
}

impl Fit {
    /// Empty boards, all items left, in this order.
    pub(super) fn new(problem: &Problem, sizes: Vec<(Um, Um)>, order: &[usize]) -> Self {
        let mut rank = vec![0; problem.items.len()];
        for (r, &i) in (0_u32..).zip(order) {
            rank[i] = r;
        }
        Self {
            patterns: vec![Pattern::default(); sizes.len()],
            sizes,
            left: order.to_vec(),
            rank,
            best: (vec![], vec![], f64::INFINITY),
            memory: vec![],
            step: 0,
        }
    }

    /// Goes on from patterns that are known.
    pub(super) fn from_patterns(
        problem: &Problem,
        sizes: Vec<(Um, Um)>,
        patterns: Vec<Pattern>,
    ) -> Self {
        let order: Vec<usize> = patterns
            .iter()
            .flat_map(|p| &p.spots)
            .map(|s| s.item)
            .collect();
        Self {
            patterns,
            left: vec![],
            ..Self::new(problem, sizes, &order)
        }
    }

    fn cost(problem: &Problem, left: &[usize]) -> f64 {
        left.iter().map(|&i| problem.items[i].area()).sum()
    }

    /// The best state: patterns, what is left over and its area.
    pub(super) fn best(&self) -> (&[Pattern], &[usize], f64) {
        (&self.best.0, &self.best.1, self.best.2)
    }

    /// Searches until nothing is left over (true) or `effort` positions are tried.
    pub(super) fn run(&mut self, filler: &mut Filler, effort: u64) -> bool {
        let problem = filler.problem;
        let stop = filler.effort + effort;
        let n = self.sizes.len();
        let mut current = Self::cost(problem, &self.left);
        let mut pool = vec![];
        let mut rest = vec![];
        let mut chosen: Vec<usize> = vec![];
        let mut filled: Vec<Pattern> = vec![];
        while self.best.2 > 0.0 {
            // A step tries at least something, so that a search ends.
            filler.effort += 1;
            chosen.clear();
            if self.step == 0 || n <= 2 {
                chosen.extend(0..n);
            } else {
                let k = 1 + filler.dice.below(3.min(n));
                while chosen.len() < k {
                    let b = filler.dice.below(n);
                    if !chosen.contains(&b) {
                        chosen.push(b);
                    }
                }
            }
            pool.clear();
            pool.extend_from_slice(&self.left);
            for &b in &chosen {
                pool.extend(self.patterns[b].spots.iter().map(|s| s.item));
            }
            let swaps = if self.step == 0 {
                vec![]
            } else {
                self.turn(&pool, filler)
            };
            pool.sort_unstable_by_key(|&i| self.rank[i]);
            let greedy = filler.dice.below(4) > 0;
            filled.resize_with(chosen.len(), Pattern::default);
            for (pattern, &b) in filled.iter_mut().zip(&chosen) {
                rest.clear();
                filler.fill(self.sizes[b], &pool, greedy, pattern, &mut rest);
                std::mem::swap(&mut pool, &mut rest);
            }
            let cost = Self::cost(problem, &pool);
            let slot = self.step % MEMORY;
            let then = self.memory.get(slot).copied().unwrap_or(f64::INFINITY);
            self.step += 1;
            if cost <= current || cost <= then {
                current = cost;
                for (pattern, &b) in filled.iter_mut().zip(&chosen) {
                    std::mem::swap(&mut self.patterns[b], pattern);
                }
                std::mem::swap(&mut self.left, &mut pool);
                if cost < self.best.2 {
                    self.best = (self.patterns.clone(), self.left.clone(), cost);
                }
            } else {
                for &(a, b) in swaps.iter().rev() {
                    self.rank.swap(a, b);
                }
            }
            if self.memory.len() <= slot {
                self.memory.push(current);
            } else if current < self.memory[slot] || cost > then {
                self.memory[slot] = current;
            }
            if filler.effort >= stop {
                break;
            }
        }
        self.best.2 <= 0.0
    }

    /// Changes the order of the pool a little and says how.
    fn turn(&mut self, pool: &[usize], filler: &mut Filler) -> Vec<(usize, usize)> {
        let mut swaps = vec![];
        if pool.len() < 2 {
            return swaps;
        }
        let times = if filler.dice.below(8) == 0 { 4 } else { 1 };
        for _ in 0..times {
            // What is left over is moved more often than what lies well.
            let a = if !self.left.is_empty() && filler.dice.below(3) == 0 {
                self.left[filler.dice.below(self.left.len())]
            } else {
                pool[filler.dice.below(pool.len())]
            };
            let b = pool[filler.dice.below(pool.len())];
            self.rank.swap(a, b);
            swaps.push((a, b));
        }
        swaps
    }
}
