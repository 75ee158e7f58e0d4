//! True outlines for the search: each part in each of its turns as convex pieces, and for two of them where they overlap.

use std::f64::consts::{PI, TAU};
use std::sync::OnceLock;

use super::ask::{Part, Turns};
use super::board::Board;
use super::polygon::{Edge, Xy, convex_pieces, hull, overlap_edges, reach, tidy};
use crate::outline::{Chain, Outline, Placement, Segment};

/// How finely arcs are followed; the polygon lies outside the arc. [m]
const CHORD_M: f64 = 2e-4;
/// A shape of more pieces than this is laid by its hull.
const MOST_PIECES: usize = 24;
/// Turns that are tried where any angle is allowed.
const ANGLES: u32 = 8;

/// A part turned, and flipped or not, with the lower left corner of its bounds at the origin.
#[derive(Debug)]
pub(super) struct Variant {
    pub(super) turn_rad: f64,
    pub(super) flipped: bool,
    /// Width and height of the bounds. [µm]
    pub(super) size: Xy,
    pieces: Vec<Vec<Xy>>,
}

/// Where another variant's origin must not lie, seen from this one's.
#[derive(Debug)]
pub(super) struct Overlap {
    bounds: [f64; 4],
    /// For each two convex pieces the bounds of their region and its edges.
    regions: Vec<([f64; 4], std::ops::Range<usize>)>,
    edges: Vec<Edge>,
}

/// One overlap of two convex pieces: how deep, and which way out.
#[derive(Debug, Clone, Copy)]
pub(super) struct Exit {
    /// Depth times what it weighs.
    pub(super) weighted: f64,
    pub(super) depth: f64,
    pub(super) out: Xy,
}

fn bounds(pieces: &[Vec<Xy>]) -> [f64; 4] {
    let all = || pieces.iter().flatten();
    [
        all().map(|p| p.0).fold(f64::INFINITY, f64::min),
        all().map(|p| p.1).fold(f64::INFINITY, f64::min),
        all().map(|p| p.0).fold(f64::NEG_INFINITY, f64::max),
        all().map(|p| p.1).fold(f64::NEG_INFINITY, f64::max),
    ]
}

impl Overlap {
    fn new(a: &[Vec<Xy>], b: &[Vec<Xy>]) -> Self {
        let (mut regions, mut edges) = (vec![], vec![]);
        for p in a {
            for q in b {
                let first = edges.len();
                edges.extend(overlap_edges(p, q));
                let bounds = difference(
                    bounds(std::slice::from_ref(p)),
                    bounds(std::slice::from_ref(q)),
                );
                regions.push((bounds, first..edges.len()));
            }
        }
        let bounds = regions.iter().fold(
            [
                f64::INFINITY,
                f64::INFINITY,
                f64::NEG_INFINITY,
                f64::NEG_INFINITY,
            ],
            |all, (b, _)| {
                [
                    all[0].min(b[0]),
                    all[1].min(b[1]),
                    all[2].max(b[2]),
                    all[3].max(b[3]),
                ]
            },
        );
        Self {
            bounds,
            regions,
            edges,
        }
    }

    /// How deep a shift lies in the regions, added up, with `gap` around each; 0 where the two are a gap apart.
    pub(super) fn depth(&self, p: Xy, gap: f64) -> f64 {
        if out(&self.bounds, p, gap) {
            return 0.0;
        }
        let mut sum = 0.0;
        for (bounds, edges) in &self.regions {
            if out(bounds, p, gap) {
                continue;
            }
            let mut least = f64::INFINITY;
            for e in &self.edges[edges.clone()] {
                least = least.min(e.depth(p) + gap);
                if least <= 0.0 {
                    break;
                }
            }
            sum += least.max(0.0);
        }
        sum
    }

    /// The ways out of all regions that a shift lies in.
    pub(super) fn exits(&self, p: Xy, gap: f64, weight: f64, sign: f64, exits: &mut Vec<Exit>) {
        if out(&self.bounds, p, gap) {
            return;
        }
        for (bounds, edges) in &self.regions {
            if out(bounds, p, gap) {
                continue;
            }
            let mut nearest: Option<(f64, &Edge)> = None;
            for e in &self.edges[edges.clone()] {
                let depth = e.depth(p) + gap;
                if nearest.is_none_or(|n| depth < n.0) {
                    nearest = Some((depth, e));
                }
                if depth <= 0.0 {
                    break;
                }
            }
            if let Some((depth, e)) = nearest.filter(|n| n.0 > 0.0) {
                exits.push(Exit {
                    weighted: weight * depth,
                    depth,
                    out: (sign * e.nx, sign * e.ny),
                });
            }
        }
    }
}

fn difference(a: [f64; 4], b: [f64; 4]) -> [f64; 4] {
    [a[0] - b[2], a[1] - b[3], a[2] - b[0], a[3] - b[1]]
}

fn out(b: &[f64; 4], p: Xy, gap: f64) -> bool {
    p.0 <= b[0] - gap || p.0 >= b[2] + gap || p.1 <= b[1] - gap || p.1 >= b[3] + gap
}

/// All variants of all parts, and what of each board is blocked.
#[derive(Debug)]
pub(super) struct Shapes {
    pub(super) variants: Vec<Variant>,
    /// Variants of each part.
    pub(super) of_part: Vec<Vec<usize>>,
    /// Convex pieces of each board that no part may lie on.
    blocked: Vec<Vec<Vec<Xy>>>,
    overlaps: Vec<OnceLock<Box<Overlap>>>,
    blocks: Vec<OnceLock<Box<Overlap>>>,
}

impl Shapes {
    /// Variants of these parts on these boards, or `None` where all is rectangles, which need none of this.
    pub(super) fn new(parts: &[Part], boards: &[Board]) -> Option<Self> {
        if parts.iter().all(|p| is_rectangle(&p.outline))
            && boards.iter().all(|b| b.clear.is_none())
        {
            return None;
        }
        let mut variants = vec![];
        let mut of_part = vec![];
        for part in parts {
            let first = variants.len();
            for turn_rad in angles(part) {
                variants.push(variant(&part.outline, turn_rad, false));
                if part.may_flip && !is_disc(&part.outline.outside) {
                    variants.push(variant(&part.outline.mirrored(), turn_rad, true));
                }
            }
            of_part.push((first..variants.len()).collect());
        }
        let n = variants.len();
        let blocked: Vec<Vec<Vec<Xy>>> = boards
            .iter()
            .map(|b| b.clear.as_ref().map_or(vec![], |c| c.blocked.clone()))
            .collect();
        let cells = |n: usize| (0..n).map(|_| OnceLock::new()).collect();
        Some(Self {
            variants,
            of_part,
            overlaps: cells(n * n),
            blocks: cells(blocked.len() * n),
            blocked,
        })
    }

    /// Where `b` must not lie, seen from `a`; worked out when first asked for.
    fn overlap(&self, a: usize, b: usize) -> &Overlap {
        self.overlaps[a * self.variants.len() + b].get_or_init(|| {
            Box::new(Overlap::new(
                &self.variants[a].pieces,
                &self.variants[b].pieces,
            ))
        })
    }

    /// How deep a variant `b` that lies `shift` from an `a` overlaps it; of the two ways to see it one is kept.
    pub(super) fn depth(&self, a: usize, b: usize, shift: Xy, gap: f64) -> f64 {
        if a <= b {
            self.overlap(a, b).depth(shift, gap)
        } else {
            self.overlap(b, a).depth((-shift.0, -shift.1), gap)
        }
    }

    /// The ways out for `b`.
    pub(super) fn exits(
        &self,
        (a, b): (usize, usize),
        shift: Xy,
        gap: f64,
        weight: f64,
        exits: &mut Vec<Exit>,
    ) {
        if a <= b {
            self.overlap(a, b).exits(shift, gap, weight, 1.0, exits);
        } else {
            let shift = (-shift.0, -shift.1);
            self.overlap(b, a).exits(shift, gap, weight, -1.0, exits);
        }
    }

    /// Where a variant must not lie on a board; `None` where nothing is blocked.
    pub(super) fn block(&self, board: usize, variant: usize) -> Option<&Overlap> {
        let blocked = self.blocked.get(board).filter(|b| !b.is_empty())?;
        let cell = &self.blocks[board * self.variants.len() + variant];
        Some(cell.get_or_init(|| Box::new(Overlap::new(blocked, &self.variants[variant].pieces))))
    }

    /// How far a variant reaches in a direction. [µm]
    pub(super) fn reach(&self, variant: usize, direction: Xy) -> f64 {
        self.variants[variant]
            .pieces
            .iter()
            .map(|p| reach(p, direction))
            .fold(f64::NEG_INFINITY, f64::max)
    }
}

/// Whether an outline is four lines square to the axes.
pub(super) fn is_rectangle(outline: &Outline) -> bool {
    let (w, h) = outline.size_m();
    let lines = outline
        .outside
        .segments
        .iter()
        .all(|s| matches!(s, Segment::Line { .. }));
    lines && outline.holes.is_empty() && (outline.area_m2() - w * h).abs() <= 1e-9 * w * h
}

/// Whether a chain is a full circle.
pub(super) fn is_disc(chain: &Chain) -> bool {
    let (l, b, r, t) = chain.bounds_m();
    let radius = (r - l) / 2.0;
    let arcs = chain
        .segments
        .iter()
        .all(|s| matches!(s, Segment::Arc { .. }));
    arcs && ((r - l) - (t - b)).abs() < 1e-9
        && (chain.area_m2().abs() - PI * radius * radius).abs() < 1e-9 * radius
}

/// Turns that are tried; a rectangle is laid square to the sheet, a disc once.
fn angles(part: &Part) -> Vec<f64> {
    let count = match part.turns {
        Turns::None => 1,
        Turns::Half => 2,
        Turns::Quarter => 4,
        Turns::Any if is_rectangle(&part.outline) => 4,
        Turns::Any => ANGLES,
    };
    let count = if is_disc(&part.outline.outside) {
        1
    } else {
        count
    };
    // A rectangle turned by half lies as before.
    let count = if is_rectangle(&part.outline) {
        count.div_ceil(2)
    } else {
        count
    };
    let step = match part.turns {
        Turns::Half => PI,
        Turns::None | Turns::Quarter => PI / 2.0,
        Turns::Any => {
            if is_rectangle(&part.outline) {
                PI / 2.0
            } else {
                TAU / f64::from(ANGLES)
            }
        }
    };
    (0..count).map(|i| f64::from(i) * step).collect()
}

fn variant(outline: &Outline, turn_rad: f64, flipped: bool) -> Variant {
    let turned = outline.placed(Placement {
        turn_rad,
        x_m: 0.0,
        y_m: 0.0,
    });
    let (l, b, r, t) = turned.bounds_m();
    let flat = |chord_m: f64| -> Vec<Xy> {
        let points = turned.outside.flatten(chord_m, true);
        tidy(
            &points
                .iter()
                .map(|p| ((p.x_m - l) * 1e6, (p.y_m - b) * 1e6))
                .collect::<Vec<Xy>>(),
        )
    };
    let mut pieces = convex_pieces(&flat(CHORD_M));
    if pieces.len() > MOST_PIECES {
        pieces = convex_pieces(&flat(5.0 * CHORD_M));
    }
    if pieces.len() > MOST_PIECES {
        pieces = vec![hull(&pieces.concat())];
    }
    Variant {
        turn_rad,
        flipped,
        size: ((r - l) * 1e6, (t - b) * 1e6),
        pieces,
    }
}
