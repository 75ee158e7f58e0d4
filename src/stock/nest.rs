//! Outlines on given boards: all are laid at once, overlapping, and moved apart one by one; what overlaps for long weighs more
//! and more (guided local search; J. Egeblad, B. K. Nielsen, A. Odgaard, 2007, European Journal of Operational Research 183, 1249-1266).

use super::grid::{Dice, Pattern, Problem, Spot, Um};
use super::polygon::{Edge, Xy};
use super::shapes::Shapes;

/// Room kept beyond the gap, so that overlaps smaller than this and rounding do no harm. [µm]
const ROOM_UM: f64 = 5.0;
/// Overlap that counts as none. [µm]
const NONE_UM: f64 = 3.0;
/// Places tried anywhere, and near the present one, for one move.
const ANYWHERE: usize = 16;
const NEARBY: usize = 8;
/// Best places followed downhill.
const FOLLOWED: usize = 3;
/// Rounds without progress before two outlines change places.
const PATIENCE: u32 = 30;
/// A tried position of an outline takes about as long as so many of a rectangle.
pub(super) const OUTLINE_EFFORT: u64 = 20;

/// What a board is bounded by: half planes. [µm]
pub(super) type Inside = Vec<Edge>;

/// The half planes of a rectangle from the origin.
pub(super) fn rectangle((w, h): Xy) -> Inside {
    let edge = |nx, ny, off| Edge { nx, ny, off };
    vec![
        edge(1.0, 0.0, w),
        edge(-1.0, 0.0, 0.0),
        edge(0.0, 1.0, h),
        edge(0.0, -1.0, 0.0),
    ]
}

/// The same, `by` and the room for rounding further in.
pub(super) fn inset(mut inside: Inside, by: f64) -> Inside {
    for e in &mut inside {
        e.off -= by + ROOM_UM;
    }
    inside
}

/// Where one outline lies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pose {
    pub(super) board: usize,
    pub(super) variant: usize,
    pub(super) at: Xy,
}

/// Outlines on boards, overlapping or not.
#[derive(Debug)]
pub(super) struct Nest<'a> {
    shapes: &'a Shapes,
    /// Variants that each outline may take.
    choices: Vec<&'a [usize]>,
    boards: Vec<Inside>,
    /// Bounds of each board. [µm]
    sizes: Vec<Xy>,
    gap: f64,
    pub(super) poses: Vec<Pose>,
    weights: Vec<f64>,
    least: f64,
    idle: u32,
}

impl<'a> Nest<'a> {
    pub(super) fn new(
        shapes: &'a Shapes,
        choices: Vec<&'a [usize]>,
        (boards, sizes): (Vec<Inside>, Vec<Xy>),
        gap: Um,
        poses: Vec<Pose>,
    ) -> Self {
        let n = poses.len();
        Self {
            shapes,
            choices,
            boards,
            sizes,
            gap: gap as f64 + ROOM_UM,
            poses,
            weights: vec![1.0; n * (n + 1)],
            least: f64::INFINITY,
            idle: 0,
        }
    }

    /// How far a pose reaches over the edges of its board.
    fn over(&self, pose: &Pose) -> f64 {
        let v = &self.shapes.variants[pose.variant];
        self.boards[pose.board]
            .iter()
            .map(|e| {
                let straight = if e.ny.abs() < 1e-12 {
                    Some(if e.nx > 0.0 { v.size.0 } else { 0.0 })
                } else if e.nx.abs() < 1e-12 {
                    Some(if e.ny > 0.0 { v.size.1 } else { 0.0 })
                } else {
                    None
                };
                let reach =
                    straight.unwrap_or_else(|| self.shapes.reach(pose.variant, (e.nx, e.ny)));
                (reach - e.depth(pose.at)).max(0.0)
            })
            .sum()
    }

    fn between(&self, p: &Pose, q: &Pose) -> f64 {
        if p.board != q.board {
            return 0.0;
        }
        let shift = (q.at.0 - p.at.0, q.at.1 - p.at.1);
        self.shapes
            .overlap(p.variant, q.variant)
            .depth(shift, self.gap)
    }

    fn weight(&self, i: usize, j: usize) -> usize {
        i * (self.poses.len() + 1) + j
    }

    /// Weighted overlap of outline `i` at a pose; stops counting above `limit`.
    fn cost(&self, i: usize, pose: &Pose, limit: f64) -> f64 {
        let n = self.poses.len();
        let mut sum = self.weights[self.weight(i, n)] * self.over(pose);
        for (j, other) in self.poses.iter().enumerate() {
            if sum >= limit {
                break;
            }
            if j != i && other.board == pose.board {
                sum += self.weights[self.weight(i, j)] * self.between(other, pose);
            }
        }
        sum
    }

    /// Moves overlapping outlines until none overlaps (true) or the effort is spent.
    pub(super) fn run(&mut self, dice: &mut Dice, spent: &mut u64, effort: u64) -> bool {
        let n = self.poses.len();
        let stop = *spent + effort;
        loop {
            let mut moving: Vec<usize> = vec![];
            let mut total = 0.0;
            let mut worst = 0.0_f64;
            let mut overlaps = vec![];
            for i in 0..n {
                let over = self.over(&self.poses[i]);
                let mut bad = over > NONE_UM;
                overlaps.push((i, n, over));
                for j in 0..n {
                    let depth = if i == j {
                        0.0
                    } else {
                        self.between(&self.poses[j], &self.poses[i])
                    };
                    if depth > 0.0 {
                        bad |= depth > NONE_UM;
                        overlaps.push((i, j, depth));
                    }
                }
                if bad {
                    moving.push(i);
                }
            }
            for &(.., depth) in &overlaps {
                total += depth;
                worst = worst.max(depth);
            }
            *spent += OUTLINE_EFFORT * n as u64;
            if moving.is_empty() {
                return true;
            }
            if *spent >= stop {
                return false;
            }
            for w in &mut self.weights {
                *w = (*w * 0.97).max(1.0);
            }
            for (i, j, depth) in overlaps {
                let at = self.weight(i, j);
                self.weights[at] *= 1.03 + 0.4 * depth / worst.max(1e-9);
            }
            self.idle += 1;
            if total < self.least * 0.98 {
                self.least = total;
                self.idle = 0;
            } else if self.idle > PATIENCE {
                self.shake(dice);
            }
            for k in (1..moving.len()).rev() {
                moving.swap(k, dice.below(k + 1));
            }
            for i in moving {
                self.relocate(i, dice, spent);
            }
        }
    }

    /// Two outlines of nearly the same size change places.
    fn shake(&mut self, dice: &mut Dice) {
        self.idle = 0;
        self.least = f64::INFINITY;
        self.weights.fill(1.0);
        let n = self.poses.len();
        let size = |p: &Pose| {
            self.shapes.variants[p.variant].size.0 * self.shapes.variants[p.variant].size.1
        };
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|&a, &b| {
            size(&self.poses[b])
                .total_cmp(&size(&self.poses[a]))
                .then(a.cmp(&b))
        });
        if n < 2 {
            return;
        }
        // The largest are moved most: the small ones find their place again.
        let i = dice.steps(n - 2).max(dice.below(n - 1) / 2);
        let j = (i + 1 + dice.steps(n - 2)).min(n - 1);
        let (a, b) = (order[i], order[j]);
        let (p, q) = (self.poses[a], self.poses[b]);
        self.poses[a] = Pose {
            board: q.board,
            at: q.at,
            ..p
        };
        self.poses[b] = Pose {
            board: p.board,
            at: p.at,
            ..q
        };
    }

    fn relocate(&mut self, i: usize, dice: &mut Dice, spent: &mut u64) {
        let now = self.poses[i];
        let mut limit = self.cost(i, &now, f64::INFINITY);
        let mut best: Vec<(f64, Pose)> = vec![(limit, now)];
        let size = self.shapes.variants[now.variant].size;
        for k in 0..ANYWHERE + NEARBY {
            let variant = if k % 3 == 0 {
                now.variant
            } else {
                self.choices[i][dice.below(self.choices[i].len())]
            };
            let near = k >= ANYWHERE;
            let board = if near || self.boards.len() == 1 || dice.below(2) == 0 {
                now.board
            } else {
                dice.below(self.boards.len())
            };
            let (bw, bh) = self.sizes[board];
            let (w, h) = self.shapes.variants[variant].size;
            let at = if near {
                (
                    now.at.0 + (dice.share() - 0.5) * size.0,
                    now.at.1 + (dice.share() - 0.5) * size.1,
                )
            } else {
                (
                    dice.share() * (bw - w).max(0.0),
                    dice.share() * (bh - h).max(0.0),
                )
            };
            let pose = Pose { board, variant, at };
            *spent += OUTLINE_EFFORT;
            let cost = self.cost(i, &pose, limit);
            if cost < limit {
                best.push((cost, pose));
                best.sort_by(|a, b| a.0.total_cmp(&b.0));
                best.truncate(FOLLOWED);
                if best.len() == FOLLOWED {
                    limit = best.last().map_or(limit, |b| b.0);
                }
            }
        }
        let mut chosen: Option<(f64, Pose)> = None;
        for (cost, pose) in best {
            let end = self.downhill(i, cost, pose, spent);
            if chosen.is_none_or(|c| end.0 < c.0) {
                chosen = Some(end);
            }
            if chosen.is_some_and(|c| c.0 <= 0.0) {
                break;
            }
        }
        if let Some((_, pose)) = chosen {
            self.poses[i] = pose;
        }
    }

    /// Steps along the axes and across them, halved where none helps.
    fn downhill(&self, i: usize, mut cost: f64, mut pose: Pose, spent: &mut u64) -> (f64, Pose) {
        let size = self.shapes.variants[pose.variant].size;
        let mut step = 0.1 * size.0.min(size.1);
        while step > 1.0 && cost > 0.0 {
            let mut better = false;
            for (dx, dy) in [
                (1.0, 0.0),
                (0.0, 1.0),
                (-1.0, 0.0),
                (0.0, -1.0),
                (0.7, 0.7),
                (0.7, -0.7),
                (-0.7, 0.7),
                (-0.7, -0.7),
            ] {
                let next = Pose {
                    at: (pose.at.0 + step * dx, pose.at.1 + step * dy),
                    ..pose
                };
                *spent += OUTLINE_EFFORT;
                let c = self.cost(i, &next, cost);
                if c < cost {
                    (cost, pose, better) = (c, next, true);
                    break;
                }
            }
            if !better {
                step *= 0.4;
            }
        }
        (cost, pose)
    }

    /// The patterns of items, rounded to whole micrometres.
    #[allow(clippy::cast_possible_truncation)] // places on a sheet
    pub(super) fn patterns(&self, problem: &Problem) -> Vec<Pattern> {
        let mut patterns = vec![Pattern::default(); self.boards.len()];
        for (item, pose) in self.poses.iter().enumerate() {
            let v = &self.shapes.variants[pose.variant];
            let (x, y) = (pose.at.0.round() as Um, pose.at.1.round() as Um);
            patterns[pose.board].spots.push(Spot {
                item,
                turn_rad: v.turn_rad,
                flipped: v.flipped,
                x: x.max(0),
                y: y.max(0),
                w: v.size.0.ceil() as Um + problem.gap,
                h: v.size.1.ceil() as Um + problem.gap,
            });
        }
        patterns
    }
}
