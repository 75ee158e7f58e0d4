//! The order of cutting.

use std::collections::BTreeMap;

use super::ask::Ask;
use super::grid::{Pattern, Problem, Spot, metres};
use super::layout::{Area, Placed, Step};
use super::method::{Hold, Method};
use super::solution::{clipped, sawn_size, trims};

/// The spots of a board in the order in which they are cut: by hand row by row, on a machine the small ones first and each
/// next one the nearest.
pub(super) fn sorted(ask: &Ask, problem: &Problem, pattern: &Pattern) -> Vec<Spot> {
    let mut spots = pattern.spots.clone();
    spots.sort_by_key(|s| (s.y, s.x));
    if ask.method != Method::Cnc {
        return spots;
    }
    let gap = problem.gap;
    let small = |s: &Spot| ask.method.hold(metres(s.w - gap), metres(s.h - gap)) == Hold::Tabs;
    let mut order: Vec<Spot> = vec![];
    let mut at = (0, 0);
    while !spots.is_empty() {
        let far = |s: &Spot| {
            let (dx, dy) = (s.x - at.0, s.y - at.1);
            (
                !small(s),
                i128::from(dx) * i128::from(dx) + i128::from(dy) * i128::from(dy),
            )
        };
        let next = (0..spots.len())
            .min_by_key(|&i| far(&spots[i]))
            .unwrap_or(0);
        let spot = spots.remove(next);
        at = (spot.x, spot.y);
        order.push(spot);
    }
    order
}

/// Part by part, what lies in a hole first, then the holes, then the outside: a part that is free no longer holds still.
pub(super) fn router_steps(ask: &Ask, placements: &[Placed]) -> Vec<Step> {
    let holes: BTreeMap<&str, usize> = ask
        .blanks
        .iter()
        .map(|p| (p.id.as_str(), p.outline.holes.len()))
        .collect();
    let mut steps = vec![];
    for p in placements {
        for hole in 0..holes.get(p.part.as_str()).copied().unwrap_or(0) {
            steps.push(Step::Inside {
                part: p.part.clone(),
                copy: p.copy,
                hole,
            });
        }
        steps.push(Step::Outside {
            part: p.part.clone(),
            copy: p.copy,
        });
    }
    steps
}

pub(super) fn saw_steps(
    problem: &Problem,
    board: usize,
    size_m: (f64, f64),
    pattern: &Pattern,
) -> Vec<Step> {
    let b = &problem.boards[board];
    let mut steps = vec![];
    for (from_m, to_m) in trims(problem, board, size_m) {
        steps.push(Step::Trim { from_m, to_m });
    }
    let end = sawn_size(problem, board, pattern);
    for cut in pattern.cuts.iter().filter_map(|c| clipped(c, end)) {
        let piece = Area {
            x_m: b.corner_m.0 + metres(cut.x),
            y_m: b.corner_m.1 + metres(cut.y),
            width_m: metres(cut.w - problem.gap),
            height_m: metres(cut.h - problem.gap),
        };
        let stop_m = metres(cut.at - problem.gap);
        let (from_m, to_m) = if cut.upright {
            let x = piece.x_m + stop_m;
            ((x, piece.y_m), (x, piece.y_m + piece.height_m))
        } else {
            let y = piece.y_m + stop_m;
            ((piece.x_m, y), (piece.x_m + piece.width_m, y))
        };
        steps.push(Step::Through {
            piece,
            from_m,
            to_m,
            stop_m,
        });
    }
    steps
}
