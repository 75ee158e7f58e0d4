//! A choice of boards under search: laid as boxes or as true outlines, and once all fits with an edge pushed in.

use super::choice::Choice;
use super::fit::{Filler, Fit, Style, start_order};
use super::grid::{Dice, Pattern, Problem, Um};
use super::nest::{Nest, Pose, inset, rectangle};
use super::shapes::Shapes;
use super::solution::Solution;

/// How far an edge is pushed in where outlines are laid, as a share of what is used: at first, and at last.
const PUSH: (f64, f64) = (0.03, 3e-4);

/// A choice of boards under search.
#[derive(Debug)]
pub(super) struct Attempt<'a> {
    pub(super) choice: Choice,
    /// Sizes of the boards, one of them with an edge pushed in once all fits.
    sizes: Vec<(Um, Um)>,
    boxes: Option<Fit>,
    outlines: Option<Nest<'a>>,
    /// Patterns of the last whole layout on these boards.
    pub(super) whole: Option<Vec<Pattern>>,
    /// Which edge is pushed in next, and how far.
    push: usize,
    share: f64,
}

/// Patterns of the boards, and what is left over.
type Tried = (Vec<Pattern>, Vec<usize>);

impl<'a> Attempt<'a> {
    pub(super) fn new(problem: &Problem, choice: Choice) -> Self {
        Self {
            sizes: sizes(problem, &choice.boards),
            choice,
            boxes: None,
            outlines: None,
            whole: None,
            push: 0,
            share: PUSH.0,
        }
    }

    /// Goes on for `effort` positions; gives what could be better than `best`.
    pub(super) fn run(
        &mut self,
        filler: &mut Filler<'a>,
        best: &Solution,
        effort: u64,
    ) -> Option<Tried> {
        match &filler.problem.shapes {
            Some(shapes) if filler.dice.below(8) > 0 => {
                self.run_outlines(shapes, filler, best, effort)
            }
            _ => self.run_boxes(filler, best, effort),
        }
    }

    /// Goes on from a layout on the same boards that another search found.
    pub(super) fn take_over(&mut self, problem: &Problem, best: &Solution) {
        let mine: Vec<usize> = best.used.iter().map(|u| u.0).collect();
        if problem.shapes.is_some() && best.left.is_empty() && mine == self.choice.boards {
            self.whole = Some(best.used.iter().map(|u| u.1.clone()).collect());
            self.push_in(problem, false);
        }
    }

    /// Lays boxes, now and then from a new start.
    fn run_boxes(&mut self, filler: &mut Filler, best: &Solution, effort: u64) -> Option<Tried> {
        let problem = filler.problem;
        let fit = match self.boxes.take() {
            Some(fit) if filler.dice.below(2) == 0 => self.boxes.insert(fit),
            _ => {
                let n = problem.items.len();
                let style = Style::thrown(n, filler.saw, &mut filler.dice);
                let rule = filler.dice.below(8);
                let order = match &self.whole {
                    Some(whole) if rule > 4 => whole
                        .iter()
                        .flat_map(|p| &p.spots)
                        .map(|s| s.item)
                        .collect(),
                    _ => start_order(
                        problem,
                        &(0..n).collect::<Vec<usize>>(),
                        rule,
                        &mut filler.dice,
                    ),
                };
                self.boxes.insert(Fit::new(
                    problem,
                    &self.sizes,
                    &order,
                    style,
                    &mut filler.dice,
                ))
            }
        };
        fit.run(filler, effort);
        (fit.left_area() <= best.left_area).then(|| fit.best(problem))
    }

    /// Lays outlines: from where they lay on the same boards before, the rest anywhere.
    fn run_outlines(
        &mut self,
        shapes: &'a Shapes,
        filler: &mut Filler<'a>,
        best: &Solution,
        effort: u64,
    ) -> Option<Tried> {
        let problem = filler.problem;
        let nest = match self.outlines.take() {
            Some(nest) if filler.dice.below(8) > 0 => self.outlines.insert(nest),
            _ => {
                let inner: Vec<(f64, f64)> = self
                    .sizes
                    .iter()
                    .map(|s| ((s.0 - problem.gap) as f64, (s.1 - problem.gap) as f64))
                    .collect();
                let boards = inner.iter().map(|&s| inset(rectangle(s), 0.0)).collect();
                let poses = self.start(shapes, problem, best, &inner, &mut filler.dice);
                let choices = problem
                    .items
                    .iter()
                    .map(|i| i.variants.as_slice())
                    .collect();
                self.outlines.insert(Nest::new(
                    shapes,
                    choices,
                    (boards, inner),
                    problem.gap,
                    poses,
                ))
            }
        };
        let whole = nest.run(&mut filler.dice, &mut filler.effort, effort);
        whole.then(|| (nest.patterns(problem), vec![]))
    }

    fn start(
        &self,
        shapes: &Shapes,
        problem: &Problem,
        best: &Solution,
        inner: &[(f64, f64)],
        dice: &mut Dice,
    ) -> Vec<Pose> {
        let mut poses: Vec<Option<Pose>> = vec![None; problem.items.len()];
        // Boards of the best layout, each for one board of the same kind here.
        let mut known: Vec<Option<&Pattern>> = vec![None; inner.len()];
        if let Some(whole) = &self.whole {
            known = whole.iter().map(Some).collect();
        } else {
            for (kind, pattern) in &best.used {
                let free = (0..inner.len())
                    .find(|&b| known[b].is_none() && self.choice.boards[b] == *kind);
                if let Some(b) = free {
                    known[b] = Some(pattern);
                }
            }
        }
        for (board, pattern) in known.iter().enumerate() {
            for spot in pattern.iter().flat_map(|p| &p.spots) {
                let alike = |&&v: &&usize| {
                    let v = &shapes.variants[v];
                    v.flipped == spot.flipped && (v.turn_rad - spot.turn_rad).abs() < 1e-9
                };
                let item = &problem.items[spot.item];
                let Some(&variant) = item.variants.iter().find(alike).or(item.variants.first())
                else {
                    continue;
                };
                poses[spot.item] = Some(Pose {
                    board,
                    variant,
                    at: (spot.x as f64, spot.y as f64),
                });
            }
        }
        poses
            .into_iter()
            .zip(&problem.items)
            .map(|(pose, item)| {
                let mut pose = pose.unwrap_or_else(|| {
                    let board = dice.below(inner.len());
                    let variant = item.variants[dice.below(item.variants.len())];
                    let at = (dice.share() * inner[board].0, dice.share() * inner[board].1);
                    Pose { board, variant, at }
                });
                // Pushed in with the edge.
                let (w, h) = shapes.variants[pose.variant].size;
                let room = inner[pose.board];
                pose.at = (
                    pose.at.0.min((room.0 - w).max(0.0)),
                    pose.at.1.min((room.1 - h).max(0.0)),
                );
                pose
            })
            .collect()
    }

    /// Pushes one edge of one board in, so that the next whole layout leaves more of it; false where no board is worth it.
    pub(super) fn push_in(&mut self, problem: &Problem, failed: bool) -> bool {
        let Some(whole) = &self.whole else {
            return false;
        };
        let ways = 2 * self.choice.boards.len();
        if failed {
            self.share /= 2.0;
            if problem.shapes.is_none() || self.share < PUSH.1 {
                self.share = PUSH.0;
                self.push += 1;
            }
        }
        let by = |length: Um| {
            #[allow(clippy::cast_possible_truncation)] // a share of a length
            let by = if problem.shapes.is_some() {
                (self.share * length as f64) as Um
            } else {
                1
            };
            length - by.max(1)
        };
        for _ in 0..ways {
            // The last boards hold the least, so they are tried first.
            let way = self.push % ways;
            let upwards = way.is_multiple_of(2);
            let at = self.choice.boards.len() - 1 - way / 2;
            let board = &problem.boards[self.choice.boards[at]];
            let (w, h) = whole[at].used();
            let cleared = problem.keep_least.0 + problem.gap;
            let size = if !upwards {
                (by(w).min(board.w - cleared), board.h)
            } else if board.by_length {
                (board.w, by(h))
            } else {
                (board.w, by(h).min(board.h - cleared))
            };
            let useful = if board.by_length {
                upwards
            } else {
                board.keep_per_m2 > 0.0
            };
            if useful && size.0 > 0 && size.1 > 0 && !whole[at].spots.is_empty() {
                let mut pushed = sizes(problem, &self.choice.boards);
                pushed[at] = size;
                if pushed != self.sizes {
                    self.sizes = pushed;
                    self.boxes = None;
                    self.outlines = None;
                }
                return true;
            }
            self.push += 1;
        }
        false
    }
}

fn sizes(problem: &Problem, boards: &[usize]) -> Vec<(Um, Um)> {
    boards
        .iter()
        .map(|&b| (problem.boards[b].w, problem.boards[b].h))
        .collect()
}
