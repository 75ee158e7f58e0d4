//! A choice of boards under search: laid as boxes or as true outlines, and once all fits with an edge pushed in.

use super::choice::Choice;
use super::fit::{Filler, Fit, Style, start_order};
use super::grid::{Dice, Pattern, Problem, Um};
use super::nest::{End, Nest, Pose, Room};
use super::search::LARGEST_SLICE;
use super::shapes::Shapes;
use super::sheet::Sold;
use super::solution::Solution;

/// How far an edge is pushed in where outlines are laid, as a share of what is used: at first, and at last.
const PUSH: (f64, f64) = (0.08, 4e-4);
/// The same after the search was stuck at the last.
const PUSH_AGAIN: f64 = 3e-3;

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
    /// Whether outlines change places before the next search, because the last was stuck.
    disturbed: bool,
}

/// What a slice of the search came to.
#[derive(Debug)]
pub(super) enum Tried {
    /// Patterns of the boards, and what is left over, where that could be better than the best.
    Found(Vec<Pattern>, Vec<usize>),
    /// Nothing so far; to be gone on with.
    Open,
    /// Nothing, and no more is to be expected.
    Failed,
}

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
            disturbed: false,
        }
    }

    /// Goes on for `effort` positions.
    pub(super) fn run(
        &mut self,
        filler: &mut Filler<'a>,
        best: &Solution,
        effort: u64,
        go_on: &dyn Fn() -> bool,
    ) -> Tried {
        match &filler.problem.shapes {
            Some(shapes) if self.whole.is_some() || filler.dice.below(8) > 0 => {
                self.run_outlines(shapes, filler, best, effort)
            }
            _ => self.run_boxes(filler, best, effort, go_on),
        }
    }

    /// Goes on from a layout on the same boards that another search found.
    pub(super) fn take_over(&mut self, problem: &Problem, best: &Solution) {
        let mine: Vec<usize> = best.used.iter().map(|u| u.0).collect();
        if problem.shapes.is_some() && best.left.is_empty() && mine == self.choice.boards {
            let patterns: Vec<Pattern> = best.used.iter().map(|u| u.1.clone()).collect();
            if self.whole.as_ref() != Some(&patterns) {
                self.whole = Some(patterns);
                self.push_in(problem, false);
            }
        }
    }

    /// Lays boxes, now and then from a new start.
    fn run_boxes(
        &mut self,
        filler: &mut Filler,
        best: &Solution,
        effort: u64,
        go_on: &dyn Fn() -> bool,
    ) -> Tried {
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
                let boards = self.choice.boards.iter();
                let arounds = boards.map(|&b| filler.around(b)).collect();
                let dice = &mut filler.dice;
                let fit = Fit::new(problem, (&self.sizes, arounds), &order, style, dice);
                filler.effort += fit.start_effort(problem);
                self.boxes.insert(fit)
            }
        };
        let stop = filler.effort + effort;
        while filler.effort < stop {
            let slice = (stop - filler.effort).min(LARGEST_SLICE);
            if fit.run(filler, slice) || !go_on() {
                break;
            }
        }
        if fit.left_area() <= best.left_area {
            let (mut patterns, left) = fit.best(problem);
            if filler.saw {
                for (pattern, (&b, &size)) in patterns
                    .iter_mut()
                    .zip(self.choice.boards.iter().zip(&self.sizes))
                {
                    pattern.freed((problem.boards[b].w, problem.boards[b].h), size);
                }
            }
            Tried::Found(patterns, left)
        } else {
            Tried::Failed
        }
    }

    /// Lays outlines: from where they lay on the same boards before, the rest anywhere.
    fn run_outlines(
        &mut self,
        shapes: &'a Shapes,
        filler: &mut Filler<'a>,
        best: &Solution,
        effort: u64,
    ) -> Tried {
        let problem = filler.problem;
        let nest = if let Some(nest) = self.outlines.take() {
            self.outlines.insert(nest)
        } else {
            let rooms = self.rooms(problem);
            let poses = self.start(shapes, problem, best, &rooms, &mut filler.dice);
            let choices = problem.items.iter().map(|i| i.variants.as_slice());
            let mut nest = Nest::new(shapes, choices.collect(), rooms, problem.gap, poses);
            if std::mem::take(&mut self.disturbed) {
                nest.disturb(&mut filler.dice);
            }
            self.outlines.insert(nest)
        };
        match nest.run(&mut filler.dice, &mut filler.effort, effort) {
            End::Whole => {
                let patterns = nest.patterns(problem);
                self.outlines = None;
                Tried::Found(patterns, vec![])
            }
            End::Spent => Tried::Open,
            End::Stuck => {
                self.outlines = None;
                Tried::Failed
            }
        }
    }

    /// Where outlines may lie on each board.
    fn rooms(&self, problem: &Problem) -> Vec<Room> {
        let length = |um: Um| (um - problem.gap) as f64;
        let boards = self.choice.boards.iter().zip(&self.sizes);
        boards
            .map(|(&b, &(w, h))| {
                let board = &problem.boards[b];
                let size = (length(w), length(h));
                let Some(clear) = &board.clear else {
                    return Room::rectangle(size, 0.0);
                };
                let room = Room::new(clear.edges.clone(), 0.0, clear.frame)
                    .blocked(b, problem.trim as f64);
                if (w, h) == (board.w, board.h) {
                    room
                } else {
                    room.pushed_in(size)
                }
            })
            .collect()
    }

    fn start(
        &self,
        shapes: &Shapes,
        problem: &Problem,
        best: &Solution,
        rooms: &[Room],
        dice: &mut Dice,
    ) -> Vec<Pose> {
        let mut poses: Vec<Option<Pose>> = vec![None; problem.items.len()];
        // Boards of the best layout, each for one board of the same kind here.
        let mut known: Vec<Option<&Pattern>> = vec![None; rooms.len()];
        if let Some(whole) = &self.whole {
            known = whole.iter().map(Some).collect();
        } else {
            for (kind, pattern) in &best.used {
                let free = (0..rooms.len())
                    .find(|&b| known[b].is_none() && self.choice.boards[b] == *kind);
                if let Some(b) = free {
                    known[b] = Some(pattern);
                }
            }
        }
        for (board, pattern) in known.iter().enumerate() {
            let Some(pattern) = pattern else { continue };
            // What lies beyond a line moves by as much as the edge is pushed in, so that overlaps arise at the line only.
            let used = pattern.used();
            let (w, h) = self.sizes[board];
            let (dx, dy) = ((used.0 - w).max(0), (used.1 - h).max(0));
            let line = (dice.share() * w as f64, dice.share() * h as f64);
            for spot in &pattern.spots {
                let alike = |&&v: &&usize| {
                    let v = &shapes.variants[v];
                    v.flipped == spot.flipped && (v.turn_rad - spot.turn_rad).abs() < 1e-9
                };
                let item = &problem.items[spot.item];
                let Some(&variant) = item.variants.iter().find(alike).or(item.variants.first())
                else {
                    continue;
                };
                let middle = (
                    spot.x as f64 + spot.w as f64 / 2.0,
                    spot.y as f64 + spot.h as f64 / 2.0,
                );
                let shift = |middle: f64, line: f64, by: Um| if middle > line { by } else { 0 };
                poses[spot.item] = Some(Pose {
                    board,
                    variant,
                    at: (
                        (spot.x - shift(middle.0, line.0, dx)) as f64,
                        (spot.y - shift(middle.1, line.1, dy)) as f64,
                    ),
                });
            }
        }
        poses
            .into_iter()
            .zip(&problem.items)
            .map(|(pose, item)| {
                let mut pose = pose.unwrap_or_else(|| {
                    let board = dice.below(rooms.len());
                    let variant = item.variants[dice.below(item.variants.len())];
                    let at = rooms[board].anywhere(shapes.variants[variant].size, dice);
                    Pose { board, variant, at }
                });
                let size = shapes.variants[pose.variant].size;
                pose.at = rooms[pose.board].nearest(pose.at, size);
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
                self.share = PUSH_AGAIN;
                self.push += 1;
                self.disturbed = true;
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
            let size = if !upwards && board.sold == Sold::ToSize {
                (by(w), board.h)
            } else if !upwards {
                (by(w).min(board.w - cleared), board.h)
            } else if board.sold != Sold::Whole {
                (board.w, by(h))
            } else {
                (board.w, by(h).min(board.h - cleared))
            };
            let useful = match board.sold {
                Sold::Whole => board.keep_per_m2 > 0.0,
                Sold::ByLength => upwards,
                Sold::ToSize => true,
            };
            // Beyond a pushed edge a sawn board is clear only where it has no bad area.
            let useful = useful && board.blocked.is_empty();
            if useful && size.0 > 0 && size.1 > 0 && !whole[at].spots.is_empty() {
                let mut pushed = sizes(problem, &self.choice.boards);
                pushed[at] = size;
                if pushed != self.sizes {
                    self.sizes = pushed;
                    self.boxes = None;
                }
                self.outlines = None;
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
