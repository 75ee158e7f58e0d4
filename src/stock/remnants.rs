//! What is left of a board and worth keeping: the largest empty rectangles, one after another.

use super::board::Board;
use super::grid::{Pattern, Um};
use super::sheet::Sold;

/// More empty rectangles than this are not followed: the smallest are dropped.
const MOST: usize = 400;

type Rect = (Um, Um, Um, Um);

/// Disjoint rectangles (x, y, w, h) without the gap, each at least `least` (shorter side, longer side), largest first.
///
/// Coordinates are those of the board, which is grown by the gap; a remnant loses one gap each way, to the cut that
/// frees it.
pub(super) fn remnants(
    board: &Board,
    pattern: &Pattern,
    saw: bool,
    gap: Um,
    least: (Um, Um),
) -> Vec<Rect> {
    if board.sold != Sold::Whole || board.keep_per_m2 <= 0.0 {
        return vec![];
    }
    let mut free = if saw {
        if pattern.spots.is_empty() {
            vec![(0, 0, board.w, board.h)]
        } else {
            pattern.left.clone()
        }
    } else {
        empty_rectangles(board, pattern, gap, least)
    };
    free.retain(|r| worth(r, gap, least));
    let mut kept: Vec<Rect> = vec![];
    while let Some(&best) = free
        .iter()
        .max_by_key(|r| (true_area(r, gap), std::cmp::Reverse((r.0, r.1))))
    {
        kept.push((best.0, best.1, best.2 - gap, best.3 - gap));
        free = without(&free, best);
        free.retain(|r| worth(r, gap, least));
    }
    kept
}

fn true_area(r: &Rect, gap: Um) -> i128 {
    i128::from(r.2 - gap) * i128::from(r.3 - gap)
}

fn worth(r: &Rect, gap: Um, least: (Um, Um)) -> bool {
    let (a, b) = (r.2 - gap, r.3 - gap);
    a.min(b) >= least.0 && a.max(b) >= least.1
}

/// All maximal empty rectangles: the board, with each item taken out of every rectangle that it meets.
fn empty_rectangles(board: &Board, pattern: &Pattern, gap: Um, least: (Um, Um)) -> Vec<Rect> {
    let mut free = vec![(0, 0, board.w, board.h)];
    for s in &pattern.spots {
        free = without(&free, (s.x, s.y, s.w, s.h));
        free.retain(|r| worth(r, gap, least));
        if free.len() > MOST {
            free.sort_unstable_by_key(|r| std::cmp::Reverse(true_area(r, gap)));
            free.truncate(MOST);
        }
    }
    free
}

/// Maximal rectangles of what `free` covers without `taken`.
fn without(free: &[Rect], taken: Rect) -> Vec<Rect> {
    let (tx, ty, tw, th) = taken;
    let mut whole = vec![];
    let mut parts: Vec<Rect> = vec![];
    for &(x, y, w, h) in free {
        if tx >= x + w || tx + tw <= x || ty >= y + h || ty + th <= y {
            whole.push((x, y, w, h));
            continue;
        }
        if tx > x {
            parts.push((x, y, tx - x, h));
        }
        if tx + tw < x + w {
            parts.push((tx + tw, y, x + w - tx - tw, h));
        }
        if ty > y {
            parts.push((x, y, w, ty - y));
        }
        if ty + th < y + h {
            parts.push((x, ty + th, w, y + h - ty - th));
        }
    }
    parts.sort_unstable();
    parts.dedup();
    let holds = |a: &Rect, b: &Rect| {
        a.0 <= b.0 && a.1 <= b.1 && a.0 + a.2 >= b.0 + b.2 && a.1 + a.3 >= b.1 + b.3
    };
    for i in 0..parts.len() {
        let inside = parts
            .iter()
            .enumerate()
            .any(|(j, p)| j != i && holds(p, &parts[i]))
            || whole.iter().any(|p| holds(p, &parts[i]));
        if !inside {
            whole.push(parts[i]);
        }
    }
    whole
}
