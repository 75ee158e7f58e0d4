//! Outlines on given boards: all are laid at once, overlapping, and moved apart one by one; what overlaps for long weighs more
//! and more (guided local search; J. Egeblad, B. K. Nielsen, A. Odgaard, 2007, European Journal of Operational Research 183, 1249-1266).

use super::grid::{Dice, Pattern, Problem, Spot, Um};
use super::polygon::{Edge, Xy};
use super::shapes::{Exit, Shapes};

/// Room kept beyond the gap, so that overlaps smaller than this and rounding do no harm. [µm]
const ROOM_UM: f64 = 5.0;
/// Overlap that counts as none. [µm]
const NONE_UM: f64 = 3.0;
/// Weighted overlap that is not worth another step. [µm]
const LITTLE_UM: f64 = 1e-3;
/// A step that lessens the overlap by less than this share is none: else a search could creep for ever.
const GAIN: f64 = 0.01;
/// Places tried anywhere, and near the present one, for one move.
const ANYWHERE: usize = 20;
const NEARBY: usize = 10;
/// Best places followed downhill.
const FOLLOWED: usize = 3;
/// Rounds without progress before the search goes back to its best state.
const PATIENCE: u32 = 60;
/// Times that it does so before it gives up.
const STRIKES: u32 = 3;

/// What a board is bounded by: half planes. [µm]
pub(super) type Inside = Vec<Edge>;

/// Where outlines may lie.
#[derive(Debug, Clone)]
pub(super) struct Room {
    inside: Inside,
    /// Bounds: left, bottom, right, top. [µm]
    frame: [f64; 4],
    /// Board whose blocked pieces count, and the distance kept from them.
    blocked: Option<(usize, f64)>,
}

impl Room {
    /// Inside half planes that are drawn in by `by` first.
    pub(super) fn new(mut inside: Inside, by: f64, frame: [f64; 4]) -> Self {
        for e in &mut inside {
            e.off -= by + ROOM_UM;
        }
        Self {
            inside,
            frame,
            blocked: None,
        }
    }

    /// A rectangle from the origin.
    pub(super) fn rectangle((w, h): Xy, by: f64) -> Self {
        let edge = |nx, ny, off| Edge { nx, ny, off };
        let inside = vec![
            edge(1.0, 0.0, w),
            edge(-1.0, 0.0, 0.0),
            edge(0.0, 1.0, h),
            edge(0.0, -1.0, 0.0),
        ];
        Self::new(inside, by, [0.0, 0.0, w, h])
    }

    /// The same with what is blocked of a board.
    pub(super) fn blocked(mut self, board: usize, gap: f64) -> Self {
        self.blocked = Some((board, gap + ROOM_UM));
        self
    }

    /// No further than this to the right and upwards.
    pub(super) fn pushed_in(mut self, (right, top): Xy) -> Self {
        for (nx, ny, off) in [(1.0, 0.0, right), (0.0, 1.0, top)] {
            self.inside.push(Edge {
                nx,
                ny,
                off: off - ROOM_UM,
            });
        }
        self.frame[2] = self.frame[2].min(right);
        self.frame[3] = self.frame[3].min(top);
        self
    }

    /// Somewhere in the frame for something of this size.
    pub(super) fn anywhere(&self, (w, h): Xy, dice: &mut Dice) -> Xy {
        let [l, b, r, t] = self.frame;
        (
            l + dice.share() * (r - l - w).max(0.0),
            b + dice.share() * (t - b - h).max(0.0),
        )
    }

    /// The place nearest to `at` within the frame.
    pub(super) fn nearest(&self, at: Xy, (w, h): Xy) -> Xy {
        let [l, b, r, t] = self.frame;
        (at.0.min(r - w).max(l), at.1.min(t - h).max(b))
    }
}

/// Where one outline lies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pose {
    pub(super) board: usize,
    pub(super) variant: usize,
    pub(super) at: Xy,
}

/// How a search ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum End {
    /// Nothing overlaps.
    Whole,
    /// The effort is spent.
    Spent,
    /// No progress for long.
    Stuck,
}

/// Outlines on boards, overlapping or not.
#[derive(Debug)]
pub(super) struct Nest<'a> {
    shapes: &'a Shapes,
    /// Variants that each outline may take.
    choices: Vec<&'a [usize]>,
    rooms: Vec<Room>,
    gap: f64,
    pub(super) poses: Vec<Pose>,
    /// Bounds of each pose, grown by the gap to the right and upwards.
    boxes: Vec<[f64; 4]>,
    weights: Vec<f64>,
    /// Least overlap so far, and where.
    least: f64,
    least_poses: Vec<Pose>,
    idle: u32,
    strikes: u32,
    exits: Vec<Exit>,
}

impl<'a> Nest<'a> {
    pub(super) fn new(
        shapes: &'a Shapes,
        choices: Vec<&'a [usize]>,
        rooms: Vec<Room>,
        gap: Um,
        poses: Vec<Pose>,
    ) -> Self {
        let n = poses.len();
        let mut nest = Self {
            shapes,
            choices,
            rooms,
            gap: gap as f64 + ROOM_UM,
            boxes: vec![],
            weights: vec![1.0; n * (n + 1)],
            least: f64::INFINITY,
            least_poses: poses.clone(),
            poses,
            idle: 0,
            strikes: 0,
            exits: vec![],
        };
        nest.boxes = nest.poses.iter().map(|p| nest.bounds(p)).collect();
        nest
    }

    fn bounds(&self, pose: &Pose) -> [f64; 4] {
        let (w, h) = self.shapes.variants[pose.variant].size;
        let (x, y) = pose.at;
        [x, y, x + w + self.gap, y + h + self.gap]
    }

    fn put(&mut self, i: usize, pose: Pose) {
        self.poses[i] = pose;
        self.boxes[i] = self.bounds(&pose);
    }

    /// How far a pose reaches over an edge of its board.
    fn beyond(&self, pose: &Pose, e: &Edge) -> f64 {
        let size = self.shapes.variants[pose.variant].size;
        let reach = if e.ny.abs() < 1e-12 {
            if e.nx > 0.0 { size.0 } else { 0.0 }
        } else if e.nx.abs() < 1e-12 {
            if e.ny > 0.0 { size.1 } else { 0.0 }
        } else {
            self.shapes.reach(pose.variant, (e.nx, e.ny))
        };
        reach - e.depth(pose.at)
    }

    /// How far a pose reaches over the edges of its board and into what is blocked.
    fn over(&self, pose: &Pose) -> f64 {
        let room = &self.rooms[pose.board];
        let edges: f64 = room
            .inside
            .iter()
            .map(|e| self.beyond(pose, e).max(0.0))
            .sum();
        let blocked = room.blocked.and_then(|(board, gap)| {
            let block = self.shapes.block(board, pose.variant)?;
            Some(block.depth(pose.at, gap))
        });
        edges + blocked.unwrap_or(0.0)
    }

    fn between(&self, p: &Pose, q: &Pose) -> f64 {
        let shift = (q.at.0 - p.at.0, q.at.1 - p.at.1);
        self.shapes.depth(p.variant, q.variant, shift, self.gap)
    }

    fn weight(&self, i: usize, j: usize) -> usize {
        i * (self.poses.len() + 1) + j
    }

    /// Whether the bounds of `j` meet a box on a board.
    fn meets(&self, j: usize, board: usize, [l, b, r, t]: &[f64; 4]) -> bool {
        let other = &self.boxes[j];
        other[0] < *r
            && *l < other[2]
            && other[1] < *t
            && *b < other[3]
            && self.poses[j].board == board
    }

    /// Weighted overlap of outline `i` at a pose; stops counting above `limit`.
    fn cost(&self, i: usize, pose: &Pose, limit: f64) -> f64 {
        let n = self.poses.len();
        let mut sum = self.weights[self.weight(i, n)] * self.over(pose);
        let bounds = self.bounds(pose);
        for j in 0..n {
            if j != i && self.meets(j, pose.board, &bounds) {
                sum += self.weights[self.weight(i, j)] * self.between(&self.poses[j], pose);
                if sum >= limit {
                    break;
                }
            }
        }
        sum
    }

    /// All overlaps: pairs both ways, and edges of boards as the number of outlines.
    fn overlaps(&self) -> Vec<(usize, usize, f64)> {
        let n = self.poses.len();
        let mut overlaps = vec![];
        for i in 0..n {
            let pose = self.poses[i];
            let over = self.over(&pose);
            if over > 0.0 {
                overlaps.push((i, n, over));
            }
            for j in i + 1..n {
                if self.meets(j, pose.board, &self.boxes[i]) {
                    let depth = self.between(&self.poses[j], &pose);
                    if depth > 0.0 {
                        overlaps.push((i, j, depth));
                        overlaps.push((j, i, depth));
                    }
                }
            }
        }
        overlaps
    }

    /// Moves overlapping outlines until none overlaps, there is no progress for long, or the effort is spent.
    pub(super) fn run(&mut self, dice: &mut Dice, spent: &mut u64, effort: u64) -> End {
        let n = self.poses.len();
        let stop = *spent + effort;
        loop {
            let overlaps = self.overlaps();
            *spent += n as u64 / 4;
            let (mut total, mut worst) = (0.0, 0.0_f64);
            let mut moves = vec![false; n];
            for &(i, _, depth) in &overlaps {
                total += depth;
                worst = worst.max(depth);
                moves[i] |= depth > NONE_UM;
            }
            let mut moving: Vec<usize> = (0..n).filter(|&i| moves[i]).collect();
            if moving.is_empty() {
                return End::Whole;
            }
            if *spent >= stop {
                return End::Spent;
            }
            if total < self.least {
                if total < self.least * 0.98 {
                    self.idle = 0;
                }
                self.least = total;
                self.least_poses.clone_from(&self.poses);
            }
            self.idle += 1;
            if self.idle > PATIENCE {
                self.idle = 0;
                self.strikes += 1;
                if self.strikes >= STRIKES {
                    return End::Stuck;
                }
                self.weights.fill(1.0);
                for i in 0..n {
                    self.put(i, self.least_poses[i]);
                }
                continue;
            }
            for w in &mut self.weights {
                *w = (*w * 0.95).max(1.0);
            }
            for (i, j, depth) in overlaps {
                let at = self.weight(i, j);
                self.weights[at] *= 1.2 + 0.8 * depth / worst;
            }
            for k in (1..moving.len()).rev() {
                moving.swap(k, dice.below(k + 1));
            }
            for i in moving {
                if *spent >= stop {
                    break;
                }
                self.relocate(i, dice, spent);
            }
        }
    }

    /// Two of the larger outlines change places, to leave a state in which the search was stuck.
    pub(super) fn disturb(&mut self, dice: &mut Dice) {
        let n = self.poses.len();
        if n < 2 {
            return;
        }
        let size = |p: &Pose| {
            let (w, h) = self.shapes.variants[p.variant].size;
            w * h
        };
        let mut order: Vec<usize> = (0..n).collect();
        order.sort_by(|&a, &b| {
            size(&self.poses[b])
                .total_cmp(&size(&self.poses[a]))
                .then(a.cmp(&b))
        });
        let large = (n / 2).max(2).min(n);
        let (i, j) = (dice.below(large), dice.below(large));
        let (a, b) = (order[i], order[j]);
        let (p, q) = (self.poses[a], self.poses[b]);
        for (k, mine, other) in [(a, p, q), (b, q, p)] {
            let size = self.shapes.variants[mine.variant].size;
            let at = self.rooms[other.board].nearest(other.at, size);
            let board = other.board;
            self.put(k, Pose { board, at, ..mine });
        }
    }

    fn relocate(&mut self, i: usize, dice: &mut Dice, spent: &mut u64) {
        let now = self.poses[i];
        let mut limit = self.cost(i, &now, f64::INFINITY);
        if limit <= 0.0 {
            return;
        }
        let mut best: Vec<(f64, Pose)> = vec![(limit, now)];
        let size = self.shapes.variants[now.variant].size;
        for k in 0..ANYWHERE + NEARBY {
            let variant = if k % 3 == 0 {
                now.variant
            } else {
                self.choices[i][dice.below(self.choices[i].len())]
            };
            let near = k >= ANYWHERE;
            let board = if near || self.rooms.len() == 1 || dice.below(2) == 0 {
                now.board
            } else {
                dice.below(self.rooms.len())
            };
            let new_size = self.shapes.variants[variant].size;
            let at = if near {
                let at = (
                    now.at.0 + (dice.share() - 0.5) * size.0,
                    now.at.1 + (dice.share() - 0.5) * size.1,
                );
                self.rooms[board].nearest(at, new_size)
            } else {
                self.rooms[board].anywhere(new_size, dice)
            };
            let pose = Pose { board, variant, at };
            *spent += 1;
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
            self.put(i, pose);
        }
    }

    /// Steps out of the overlaps that weigh most, then small steps along the axes and across them.
    fn downhill(
        &mut self,
        i: usize,
        mut cost: f64,
        mut pose: Pose,
        spent: &mut u64,
    ) -> (f64, Pose) {
        let size = self.shapes.variants[pose.variant].size;
        let mut step = 0.05 * size.0.min(size.1);
        let finest = 0.02 * step;
        loop {
            while cost > LITTLE_UM {
                let Some((c, next)) = self.step_out(i, cost, &pose, spent) else {
                    break;
                };
                let enough = c < (1.0 - GAIN) * cost;
                (cost, pose) = (c, next);
                if !enough {
                    break;
                }
            }
            if cost <= LITTLE_UM || step < finest {
                return (cost, pose);
            }
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
                let at = (pose.at.0 + step * dx, pose.at.1 + step * dy);
                let next = Pose { at, ..pose };
                *spent += 1;
                let c = self.cost(i, &next, cost);
                if c < (1.0 - GAIN) * cost {
                    (cost, pose, better) = (c, next, true);
                    break;
                }
            }
            if !better {
                step *= 0.4;
            }
        }
    }

    /// The first of the shifts out of one or two of the weightiest overlaps that lessens the cost.
    fn step_out(
        &mut self,
        i: usize,
        cost: f64,
        pose: &Pose,
        spent: &mut u64,
    ) -> Option<(f64, Pose)> {
        let mut exits = std::mem::take(&mut self.exits);
        exits.clear();
        self.find_exits(i, pose, &mut exits);
        exits.sort_by(|a, b| b.weighted.total_cmp(&a.weighted));
        exits.truncate(3);
        let alone = |e: &Exit| (e.out.0 * e.depth, e.out.1 * e.depth);
        let mut found = None;
        'tries: for (k, a) in exits.iter().enumerate() {
            let both = exits[k + 1..].iter().filter_map(|b| corner(a, b));
            for (dx, dy) in both.chain([alone(a)]) {
                let at = (pose.at.0 + dx, pose.at.1 + dy);
                let next = Pose { at, ..*pose };
                *spent += 1;
                let c = self.cost(i, &next, cost);
                if c < cost {
                    found = Some((c, next));
                    break 'tries;
                }
            }
        }
        self.exits = exits;
        found
    }

    fn find_exits(&self, i: usize, pose: &Pose, exits: &mut Vec<Exit>) {
        let n = self.poses.len();
        let room = &self.rooms[pose.board];
        let weight = self.weights[self.weight(i, n)];
        for e in &room.inside {
            let depth = self.beyond(pose, e);
            if depth > 0.0 {
                exits.push(Exit {
                    weighted: weight * depth,
                    depth,
                    out: (-e.nx, -e.ny),
                });
            }
        }
        if let Some((board, gap)) = room.blocked
            && let Some(block) = self.shapes.block(board, pose.variant)
        {
            block.exits(pose.at, gap, weight, 1.0, exits);
        }
        let bounds = self.bounds(pose);
        for j in 0..n {
            if j != i && self.meets(j, pose.board, &bounds) {
                let other = &self.poses[j];
                let shift = (pose.at.0 - other.at.0, pose.at.1 - other.at.1);
                let weight = self.weights[self.weight(i, j)];
                let pair = (other.variant, pose.variant);
                self.shapes.exits(pair, shift, self.gap, weight, exits);
            }
        }
    }

    /// The patterns of items, rounded to whole micrometres.
    #[allow(clippy::cast_possible_truncation)] // places on a sheet
    pub(super) fn patterns(&self, problem: &Problem) -> Vec<Pattern> {
        let mut patterns = vec![Pattern::default(); self.rooms.len()];
        for (item, pose) in self.poses.iter().enumerate() {
            let v = &self.shapes.variants[pose.variant];
            patterns[pose.board].spots.push(Spot {
                item,
                turn_rad: v.turn_rad,
                flipped: v.flipped,
                x: pose.at.0.round() as Um,
                y: pose.at.1.round() as Um,
                w: v.size.0.ceil() as Um + problem.gap,
                h: v.size.1.ceil() as Um + problem.gap,
            });
        }
        patterns
    }
}

/// The shift that leaves two overlaps at once, by their two nearest edges.
fn corner(a: &Exit, b: &Exit) -> Option<Xy> {
    let turn = a.out.0 * b.out.1 - a.out.1 * b.out.0;
    // Nearly the same way out, or nearly opposite ones.
    if turn.abs() < 0.05 {
        return None;
    }
    Some((
        (a.depth * b.out.1 - b.depth * a.out.1) / turn,
        (b.depth * a.out.0 - a.depth * b.out.0) / turn,
    ))
}
