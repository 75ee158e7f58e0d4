//! Small cases worked out to the end: choices of boards that cannot hold the items are struck out, which lifts the bound, and
//! the first that can hold them is laid.

use std::collections::BTreeMap;

use super::choice::Choices;
use super::exact_free::{self, Exact};
use super::exact_saw::{self, Groups};
use super::grid::{Pattern, Problem, Um};
use super::sheet::Sold;
use super::solution::{Cutting, HAIR, Solution, solution};

/// More items than this are left to the search.
const MOST_ITEMS: usize = 12;

/// Works out as many choices as the effort allows, the cheapest first.
pub(super) fn prove(
    problem: &Problem,
    cutting: Cutting,
    choices: &mut Choices,
    best: &mut Solution,
    effort: &mut u64,
    stop: u64,
) {
    let n = problem.items.len();
    let most = if cutting.saw {
        exact_saw::MOST_ITEMS
    } else {
        MOST_ITEMS
    };
    let spoilt = problem.boards.iter().any(|b| !b.blocked.is_empty());
    if problem.shapes.is_some() || spoilt || n > most {
        return;
    }
    let mut cases = Cases {
        problem,
        saw: cutting.saw,
        known: BTreeMap::new(),
        groups: BTreeMap::new(),
        effort: *effort,
        stop,
    };
    let all = (1_usize << n) - 1;
    while let Some(choice) = choices.list.first_mut() {
        if best.left.is_empty() && choice.lower >= best.cost - HAIR * (1.0 + best.cost.abs()) {
            break;
        }
        match cases.assign(&choice.boards, all) {
            Exact::Not => {
                choices.list.remove(0);
            }
            Exact::Unknown => break,
            Exact::Fits(patterns) => {
                let used = choice.boards.iter().copied().zip(patterns).collect();
                let found = solution(problem, cutting, used, vec![]);
                let strip = match choice.boards.as_slice() {
                    &[b] if problem.boards[b].sold == Sold::ByLength => Some(b),
                    _ => None,
                };
                let mut found = found;
                let shortest = strip.is_some_and(|b| cases.shorten(cutting, b, all, &mut found));
                let cost = found.cost;
                if found.better_than(best) {
                    *best = found;
                }
                if !shortest || cutting.rate_per_m > 0.0 {
                    break;
                }
                choice.lower = cost;
                choices.list.sort_by(|a, b| a.lower.total_cmp(&b.lower));
            }
        }
    }
    *effort = cases.effort;
}

/// Groups of items, as bits, on boards.
struct Cases<'a> {
    problem: &'a Problem,
    saw: bool,
    known: BTreeMap<(usize, usize), Exact<Pattern>>,
    groups: BTreeMap<(Um, Um), Option<Groups>>,
    effort: u64,
    stop: u64,
}

impl Cases<'_> {
    fn area(&self, group: usize) -> f64 {
        members(group).map(|i| self.problem.items[i].area()).sum()
    }

    /// One group on one board.
    fn one(&mut self, board: usize, group: usize) -> Exact<Pattern> {
        if let Some(known) = self.known.get(&(board, group)) {
            return known.clone();
        }
        let b = &self.problem.boards[board];
        let answer = self.sized((b.w, b.h), group);
        self.known.insert((board, group), answer.clone());
        answer
    }

    fn sized(&mut self, size: (Um, Um), group: usize) -> Exact<Pattern> {
        let items = &self.problem.items;
        if self.saw {
            let all: Vec<usize> = (0..items.len()).collect();
            let groups = self
                .groups
                .entry(size)
                .or_insert_with(|| Groups::new(items, &all, size, &mut self.effort, self.stop));
            return groups
                .as_ref()
                .map_or(Exact::Unknown, |g| g.lay(items, group));
        }
        let chosen: Vec<usize> = members(group).collect();
        match exact_free::lay(items, &chosen, size, &mut self.effort, self.stop) {
            Exact::Fits(spots) => Exact::Fits(Pattern {
                spots,
                ..Pattern::default()
            }),
            Exact::Not => Exact::Not,
            Exact::Unknown => Exact::Unknown,
        }
    }

    /// All of `group` on these boards.
    fn assign(&mut self, boards: &[usize], group: usize) -> Exact<Vec<Pattern>> {
        let Some((&board, others)) = boards.split_first() else {
            return if group == 0 {
                Exact::Fits(vec![])
            } else {
                Exact::Not
            };
        };
        if others.is_empty() {
            return match self.one(board, group) {
                Exact::Fits(pattern) => Exact::Fits(vec![pattern]),
                Exact::Not => Exact::Not,
                Exact::Unknown => Exact::Unknown,
            };
        }
        let room: f64 = others.iter().map(|&b| self.problem.boards[b].area()).sum();
        let alike = others.iter().all(|&b| b == board);
        let first = group & group.wrapping_neg();
        let mut subsets: Vec<(f64, usize)> = vec![];
        let mut subset = group;
        loop {
            let area = self.area(subset);
            let fits =
                area <= self.problem.boards[board].area() && self.area(group ^ subset) <= room;
            // Of boards that are alike the first holds the first item; of items that are alike the first go first.
            if fits && (!alike || subset & first != 0) && self.in_order(subset, group) {
                subsets.push((area, subset));
            }
            if subset == 0 {
                break;
            }
            subset = (subset - 1) & group;
        }
        subsets.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let mut hopeless: Vec<usize> = vec![];
        let mut unknown = false;
        for (_, subset) in subsets {
            // Where the rest did not fit beside more, it does not beside less.
            if hopeless.iter().any(|&h| subset & !h == 0) {
                continue;
            }
            match self.one(board, subset) {
                Exact::Not => {}
                Exact::Unknown => unknown = true,
                Exact::Fits(pattern) => match self.assign(others, group ^ subset) {
                    Exact::Fits(mut patterns) => {
                        patterns.insert(0, pattern);
                        return Exact::Fits(patterns);
                    }
                    Exact::Not => hopeless.push(subset),
                    Exact::Unknown => unknown = true,
                },
            }
            if self.effort > self.stop {
                return Exact::Unknown;
            }
        }
        if unknown { Exact::Unknown } else { Exact::Not }
    }

    fn in_order(&self, subset: usize, group: usize) -> bool {
        let class = |i: usize| self.problem.items[i].class;
        members(subset).all(|i| members(group ^ subset).all(|j| j > i || class(i) != class(j)))
    }

    /// Shortens a strip until it cannot be shorter (true) or the effort is spent.
    fn shorten(&mut self, cutting: Cutting, board: usize, all: usize, best: &mut Solution) -> bool {
        let w = self.problem.boards[board].w;
        loop {
            let Some((_, pattern)) = best.used.first() else {
                return false;
            };
            // Under a saw the first answer is the shortest already.
            if self.saw {
                return true;
            }
            let h = pattern.used().1 - 1;
            match self.sized((w, h), all) {
                Exact::Fits(shorter) => {
                    *best = solution(self.problem, cutting, vec![(board, shorter)], vec![]);
                }
                Exact::Not => return true,
                Exact::Unknown => return false,
            }
        }
    }
}

fn members(group: usize) -> impl Iterator<Item = usize> {
    (0..usize::BITS as usize).filter(move |i| group >> i & 1 == 1)
}
