//! The question in whole micrometres: items and boards, both grown by the gap, so that rectangles that touch are one gap apart.

use std::collections::BTreeMap;

use super::ask::{Ask, Turns};
use super::board::{Board, boards};
use super::method::Method;
use super::polygon::{Xy, is_convex, tidy};
use super::shapes::Shapes;
use crate::outline::{Outline, Placement, Point};

/// Whole micrometres.
pub(super) type Um = i64;

/// Rounding of binary fractions that were whole micrometres before.
const SLACK_UM: f64 = 0.01;

/// Smallest whole number of micrometres that holds a length.
pub(super) fn up(length_m: f64) -> Um {
    whole((length_m * 1e6 - SLACK_UM).ceil())
}

/// Greatest whole number of micrometres within a length.
pub(super) fn down(length_m: f64) -> Um {
    whole((length_m * 1e6 + SLACK_UM).floor())
}

#[allow(clippy::cast_possible_truncation)] // lengths are checked to be at most 1000 m
fn whole(length_um: f64) -> Um {
    length_um as Um
}

/// Back to metres.
pub(super) fn metres(length: Um) -> f64 {
    length as f64 * 1e-6
}

/// One copy of a part, as a rectangle grown by the gap.
#[derive(Debug, Clone)]
pub(super) struct Item {
    /// Index of the part in the ask.
    pub(super) part: usize,
    /// Width and height as drawn, then after a quarter turn where that is allowed and differs.
    pub(super) sizes: Vec<(Um, Um)>,
    /// Items of one class are alike.
    pub(super) class: usize,
    /// Whether quarter turns are allowed.
    pub(super) may_turn: bool,
    /// Shapes that it may take, where outlines are laid.
    pub(super) variants: Vec<usize>,
    /// What lies in its holes, innermost first.
    pub(super) inner: Vec<Inner>,
    /// Area that no layout can do without, for bounds: of a rectangle grown by the gap, of an outline by half a gap all
    /// round; and that of all that lies in its holes. [µm²]
    pub(super) weight: f64,
    pub(super) inner_weight: f64,
}

impl Item {
    pub(super) fn area(&self) -> f64 {
        self.sizes
            .first()
            .map_or(0.0, |&(w, h)| w as f64 * h as f64)
    }

    pub(super) fn fits(&self, board: &Board) -> bool {
        let (most_w, most_h) = board.reach();
        self.sizes.iter().any(|&(w, h)| w <= most_w && h <= most_h)
    }
}

/// A part in a hole of another, placed in the other's frame.
#[derive(Debug, Clone, Copy)]
pub(super) struct Inner {
    pub(super) part: usize,
    pub(super) flipped: bool,
    pub(super) placement: Placement,
}

/// A placement in a frame that is itself placed.
pub(super) fn after(inner: Placement, outer: Placement) -> Placement {
    let at = outer.apply(Point::new(inner.x_m, inner.y_m));
    let turn_rad = (inner.turn_rad + outer.turn_rad) % std::f64::consts::TAU;
    Placement {
        turn_rad,
        x_m: at.x_m,
        y_m: at.y_m,
    }
}

/// The whole question.
#[derive(Debug)]
pub(super) struct Problem {
    pub(super) gap: Um,
    pub(super) trim: Um,
    pub(super) items: Vec<Item>,
    pub(super) boards: Vec<Board>,
    /// Least remnant, shorter side first.
    pub(super) keep_least: (Um, Um),
    /// Cost of a day of waiting.
    pub(super) waiting_rate: f64,
    /// Where some part is no rectangle.
    pub(super) shapes: Option<Shapes>,
}

impl Problem {
    pub(super) fn new(ask: &Ask) -> Self {
        let gap = up(ask.gap_m());
        let boards = boards(ask, gap);
        let shapes = if ask.method == Method::Saw {
            None
        } else {
            Shapes::new(&ask.blanks, &boards)
        };
        let mut items = vec![];
        let mut classes: BTreeMap<Vec<(Um, Um)>, usize> = BTreeMap::new();
        for (index, part) in ask.blanks.iter().enumerate() {
            let (width_m, height_m) = part.outline.size_m();
            let (w, h) = (up(width_m) + gap, up(height_m) + gap);
            let mut sizes = vec![(w, h)];
            let quarters = matches!(part.turns, Turns::Quarter | Turns::Any);
            if w != h && quarters {
                sizes.push((h, w));
            }
            let next = classes.len();
            let class = *classes.entry(sizes.clone()).or_insert(next);
            for _ in 0..part.quantity {
                items.push(Item {
                    part: index,
                    sizes: sizes.clone(),
                    class,
                    may_turn: quarters,
                    variants: shapes.as_ref().map_or(vec![], |s| s.of_part[index].clone()),
                    inner: vec![],
                    weight: if shapes.is_some() {
                        weight(&part.outline, gap)
                    } else {
                        w as f64 * h as f64
                    },
                    inner_weight: 0.0,
                });
            }
        }
        let (a, b) = (up(ask.keep_least_m.0), up(ask.keep_least_m.1));
        Self {
            gap,
            trim: up(ask.trim_m),
            items,
            boards,
            waiting_rate: ask.waiting_rate_per_day,
            keep_least: (a.min(b), a.max(b)),
            shapes,
        }
    }
}

/// Area within half a gap of the outside (J. Steiner's formula for convex chains; without the growth where a chain is not
/// convex, which is less than is true), less the holes, which may be kept or hold other parts. [µm²]
fn weight(outline: &Outline, gap: Um) -> f64 {
    let half = gap as f64 / 2.0;
    let c = &outline.outside;
    let polygon: Vec<Xy> = c
        .flatten(1e-4, true)
        .iter()
        .map(|p| (p.x_m * 1e6, p.y_m * 1e6))
        .collect();
    let grown = if is_convex(&tidy(&polygon)) {
        c.length_m() * 1e6 * half + std::f64::consts::PI * half * half
    } else {
        0.0
    };
    outline.area_m2() * 1e12 + grown
}

/// Where one item lies: lower left corner of its bounds from the trimmed corner of its board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Spot {
    pub(super) item: usize,
    /// Counter-clockwise, after the flip. [rad]
    pub(super) turn_rad: f64,
    pub(super) flipped: bool,
    pub(super) x: Um,
    pub(super) y: Um,
    /// Bounds, grown by the gap.
    pub(super) w: Um,
    pub(super) h: Um,
}

/// A cut of the piece (x, y, w, h) at `at` from its left or lower edge; coordinates are grown by the gap like the items.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cut {
    pub(super) x: Um,
    pub(super) y: Um,
    pub(super) w: Um,
    pub(super) h: Um,
    pub(super) upright: bool,
    pub(super) at: Um,
}

/// The parts on one board.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Pattern {
    pub(super) spots: Vec<Spot>,
    /// Saw only: parents before children.
    pub(super) cuts: Vec<Cut>,
    /// Saw only: rectangles that no part lies on.
    pub(super) left: Vec<(Um, Um, Um, Um)>,
}

impl Pattern {
    pub(super) fn clear(&mut self) {
        self.spots.clear();
        self.cuts.clear();
        self.left.clear();
    }

    /// What lies on a part of `size` of a sawn board is first cut free from the rest of it, which stays in one piece.
    pub(super) fn freed(&mut self, (full_w, full_h): (Um, Um), (w, h): (Um, Um)) {
        let mut first = vec![];
        let mut through = |w, h, upright, at| {
            first.push(Cut {
                x: 0,
                y: 0,
                w,
                h,
                upright,
                at,
            });
        };
        if h < full_h {
            through(full_w, full_h, false, h);
            self.left.push((0, h, full_w, full_h - h));
        }
        if w < full_w {
            through(full_w, h, true, w);
            self.left.push((w, 0, full_w - w, h));
        }
        self.cuts.splice(0..0, first);
    }

    pub(super) fn used(&self) -> (Um, Um) {
        self.spots
            .iter()
            .fold((0, 0), |(w, h), s| (w.max(s.x + s.w), h.max(s.y + s.h)))
    }
}

/// Random numbers of a search, the same on every machine.
#[derive(Debug)]
pub(super) struct Dice(rand_chacha::ChaCha8Rng);

impl Dice {
    pub(super) fn new(seed: u64, stream: u64) -> Self {
        use rand_chacha::rand_core::SeedableRng;
        let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(stream);
        Self(rng)
    }

    fn bits(&mut self) -> u64 {
        use rand_chacha::rand_core::Rng;
        u64::from(self.0.next_u32())
    }

    /// A whole number below `n`; 0 where `n` is 0.
    #[allow(clippy::cast_possible_truncation)] // below n
    pub(super) fn below(&mut self, n: usize) -> usize {
        ((self.bits() * n as u64) >> 32) as usize
    }

    /// 0 in one of two throws, 1 in one of four, and so on, at most `most`.
    pub(super) fn steps(&mut self, most: usize) -> usize {
        let mut n = 0;
        while n < most && self.below(2) == 1 {
            n += 1;
        }
        n
    }

    /// A number from 0 to below 1.
    pub(super) fn share(&mut self) -> f64 {
        self.bits() as f64 / 4_294_967_296.0
    }
}
