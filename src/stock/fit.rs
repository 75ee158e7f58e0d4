//! Laying all items on given boards: boards are emptied and filled again in a changed order, and a change that is no worse than the state of a while ago is kept.

use super::around::Around;
use super::blocks::Blocks;
use super::grid::{Dice, Item, Pattern, Problem, Um};
use super::search::LARGEST_SLICE;
use super::{free, saw};
use crate::error::Watch;

/// How many steps back a change is compared with (late acceptance; Burke and Bykov 2017).
pub(super) const MEMORY: usize = 10;

/// More items than this are not joined: that would take longer than the search.
const MOST_JOINED: usize = 600;

/// One searcher: its dice, its memory and the positions that it has tried.
pub(super) struct Filler<'a> {
    pub(super) problem: &'a Problem,
    pub(super) saw: bool,
    pub(super) dice: Dice,
    pub(super) effort: u64,
    watch: &'a dyn Watch,
    /// Share of the search that is done, for the watch.
    pub(super) done: f64,
    /// Whether the watch stopped it: nothing is filled from then on.
    pub(super) stopped: bool,
    /// Effort when the watch was asked last.
    asked: u64,
    free: free::Scratch,
    sawn: saw::Scratch,
}

impl<'a> Filler<'a> {
    pub(super) fn new(problem: &'a Problem, saw: bool, dice: Dice, watch: &'a dyn Watch) -> Self {
        Self {
            problem,
            saw,
            dice,
            effort: 0,
            watch,
            done: 0.0,
            stopped: false,
            asked: 0,
            free: free::Scratch::default(),
            sawn: saw::Scratch::default(),
        }
    }

    /// Cuts round the bad areas of a board under a saw, thrown anew each time.
    pub(super) fn around(&mut self, board: usize) -> Option<Around> {
        let b = &self.problem.boards[board];
        (!b.blocked.is_empty()).then(|| Around::new((b.w, b.h), &b.blocked, b.gap, &mut self.dice))
    }

    /// Fills one board of a size, cut around its bad areas where it has some; what finds no place is appended to `rest`.
    ///
    /// For a saw `first_upright` says for each item whether the first cut beside it is upright.
    pub(super) fn fill(
        &mut self,
        items: &[Item],
        (size, around): ((Um, Um), Option<&Around>),
        order: &[usize],
        (greedy, first_upright): (bool, &[bool]),
        pattern: &mut Pattern,
        rest: &mut Vec<usize>,
    ) {
        let (effort, asked, stopped) = (&mut self.effort, &mut self.asked, &mut self.stopped);
        // One filling of very many items takes long.
        let mut go_on = |effort: u64| {
            if !*stopped && effort - *asked > LARGEST_SLICE {
                *asked = effort;
                *stopped = !self.watch.go_on(self.done);
            }
            !*stopped
        };
        if self.saw {
            saw::fill(
                items,
                (size, around),
                order,
                first_upright,
                pattern,
                rest,
                (&mut self.sawn, &mut go_on),
                effort,
            );
        } else {
            free::fill(
                items,
                size,
                order,
                greedy,
                pattern,
                rest,
                (&mut self.free, &mut go_on),
                effort,
            );
        }
    }
}

/// How a state of the search looks at its boards.
#[derive(Debug, Clone, Copy)]
pub(super) struct Style {
    /// Boards are filled from their left edge instead of their lower edge.
    pub(super) across: bool,
    /// Items are joined until so many blocks are left.
    pub(super) fewest: usize,
    /// Share of a block that may stay empty.
    pub(super) waste: f64,
}

impl Style {
    /// Single items from the lower edge upwards.
    pub(super) const PLAIN: Self = Self {
        across: false,
        fewest: usize::MAX,
        waste: 0.0,
    };

    /// A style by the dice: every other time with blocks, every other time across.
    pub(super) fn thrown(items: usize, saw: bool, dice: &mut Dice) -> Self {
        let across = dice.below(2) == 0;
        if dice.below(2) == 0 || items > MOST_JOINED {
            return Self {
                across,
                ..Self::PLAIN
            };
        }
        let waste = if saw {
            [0.0, 0.01, 0.02, 0.04][dice.below(4)]
        } else {
            0.0
        };
        Self {
            across,
            fewest: 1 + dice.below(items),
            waste,
        }
    }
}

/// A state of the search on fixed boards.
#[derive(Debug)]
pub(super) struct Fit {
    style: Style,
    blocks: Blocks,
    /// Sizes of the boards, sideways where the style is across.
    sizes: Vec<(Um, Um)>,
    /// Cuts round their bad areas, sideways too.
    arounds: Vec<Option<Around>>,
    patterns: Vec<Pattern>,
    left: Vec<usize>,
    rank: Vec<u32>,
    first_upright: Vec<bool>,
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
    pub(super) fn new(
        problem: &Problem,
        (sizes, arounds): (&[(Um, Um)], Vec<Option<Around>>),
        order: &[usize],
        style: Style,
        dice: &mut Dice,
    ) -> Self {
        let blocks = if style.fewest >= order.len() {
            Blocks::single(problem, style.across)
        } else {
            Blocks::joined(problem, sizes, style, dice)
        };
        let mut place = vec![0; problem.items.len()];
        for (at, &i) in order.iter().enumerate() {
            place[i] = at;
        }
        let n = blocks.items.len();
        let first: Vec<usize> = (0..n)
            .map(|b| {
                blocks
                    .members(b)
                    .into_iter()
                    .map(|i| place[i])
                    .min()
                    .unwrap_or(0)
            })
            .collect();
        let mut left: Vec<usize> = (0..n).collect();
        left.sort_unstable_by_key(|&b| first[b]);
        let mut rank = vec![0; n];
        for (r, &b) in (0_u32..).zip(&left) {
            rank[b] = r;
        }
        Self {
            style,
            patterns: vec![Pattern::default(); sizes.len()],
            sizes: sizes
                .iter()
                .map(|&(w, h)| if style.across { (h, w) } else { (w, h) })
                .collect(),
            arounds: if style.across {
                arounds.into_iter().map(|a| a.map(Around::turned)).collect()
            } else {
                arounds
            },
            left,
            rank,
            first_upright: (0..n).map(|_| dice.below(2) == 0).collect(),
            best: (vec![], vec![], f64::INFINITY),
            memory: vec![],
            step: 0,
            blocks,
        }
    }

    fn cost(&self, left: &[usize]) -> f64 {
        left.iter().map(|&i| self.blocks.items[i].area()).sum()
    }

    /// Area that the best state leaves over, infinite before the first step.
    pub(super) fn left_area(&self) -> f64 {
        self.best.2
    }

    /// The best state in items: patterns, and what is left over.
    pub(super) fn best(&self, problem: &Problem) -> (Vec<Pattern>, Vec<usize>) {
        let patterns = self
            .best
            .0
            .iter()
            .map(|p| self.blocks.unfold(problem, self.style.across, p))
            .collect();
        (
            patterns,
            self.best
                .1
                .iter()
                .flat_map(|&b| self.blocks.members(b))
                .collect(),
        )
    }

    /// What joining the blocks took, in tried positions: each join compares all that is left.
    pub(super) fn start_effort(&self, problem: &Problem) -> u64 {
        let n = problem.items.len();
        2 * (n * (n - self.blocks.items.len())) as u64
    }

    /// Searches until nothing is left over (true) or `effort` positions are tried.
    pub(super) fn run(&mut self, filler: &mut Filler, effort: u64) -> bool {
        let stop = filler.effort + effort;
        let n = self.sizes.len();
        let mut current = self.cost(&self.left);
        let mut pool = vec![];
        let mut rest = vec![];
        let mut chosen: Vec<usize> = vec![];
        let mut filled: Vec<Pattern> = vec![];
        while self.best.2 > 0.0 {
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
            // A step counts even where no position is tried, so that a search ends.
            filler.effort += 1 + pool.len() as u64;
            pool.sort_unstable_by_key(|&i| self.rank[i]);
            let greedy = filler.dice.below(4) > 0;
            filled.resize_with(chosen.len(), Pattern::default);
            for (pattern, &b) in filled.iter_mut().zip(&chosen) {
                rest.clear();
                let how = (greedy, self.first_upright.as_slice());
                filler.fill(
                    &self.blocks.items,
                    (self.sizes[b], self.arounds[b].as_ref()),
                    &pool,
                    how,
                    pattern,
                    &mut rest,
                );
                std::mem::swap(&mut pool, &mut rest);
            }
            let cost = self.cost(&pool);
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
                    self.swap(a, b);
                }
            }
            if self.memory.len() <= slot {
                self.memory.push(current);
            } else if current < self.memory[slot] || cost > then {
                self.memory[slot] = current;
            }
            if filler.effort >= stop || filler.stopped {
                break;
            }
        }
        self.best.2 <= 0.0
    }

    /// Changes the order of the pool, or the way of a saw's cuts, a little and says how.
    fn turn(&mut self, pool: &[usize], filler: &mut Filler) -> Vec<(usize, usize)> {
        let mut swaps = vec![];
        if pool.is_empty() {
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
            let b = if filler.saw && filler.dice.below(3) == 0 {
                a
            } else {
                pool[filler.dice.below(pool.len())]
            };
            self.swap(a, b);
            swaps.push((a, b));
        }
        swaps
    }

    /// Two items change places in the order; an item with itself: its first cut turns.
    fn swap(&mut self, a: usize, b: usize) {
        if a == b {
            self.first_upright[a] = !self.first_upright[a];
        } else {
            self.rank.swap(a, b);
        }
    }
}
