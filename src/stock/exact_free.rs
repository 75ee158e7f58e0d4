//! A few rectangles on one board, free layout, worked out to the end: every layout in the plane can be built by putting
//! each item into a corner of the staircase around those before it (S. Martello, D. Pisinger, D. Vigo, 2000, Operations
//! Research 48, 256-267), so trying all corners and orders finds a layout or shows that there is none.

use std::f64::consts::FRAC_PI_2;

use super::grid::{Item, Spot, Um};

/// What working a case out to the end gave.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Exact<T> {
    /// There is a layout: this.
    Fits(T),
    /// There is none.
    Not,
    /// The effort did not suffice.
    Unknown,
}

/// The search for one board.
struct Staircase<'a> {
    items: &'a [Item],
    size: (Um, Um),
    spots: Vec<Spot>,
    effort: u64,
    stop: u64,
}

/// Lays all of `chosen` on a board of `w` by `h`, or shows that they do not fit; `effort` grows by the positions tried.
pub(super) fn lay(
    items: &[Item],
    chosen: &[usize],
    size: (Um, Um),
    effort: &mut u64,
    stop: u64,
) -> Exact<Vec<Spot>> {
    let mut order = chosen.to_vec();
    // The largest first: what does not fit shows early.
    order.sort_by(|&a, &b| items[b].area().total_cmp(&items[a].area()).then(a.cmp(&b)));
    let mut search = Staircase {
        items,
        size,
        spots: vec![],
        effort: *effort,
        stop,
    };
    let found = search.place(&mut order);
    *effort = search.effort;
    match found {
        Some(true) => Exact::Fits(search.spots),
        Some(false) => Exact::Not,
        None => Exact::Unknown,
    }
}

impl Staircase<'_> {
    /// Whether the waiting items fit around those that lie; `None` where the effort ran out.
    fn place(&mut self, waiting: &mut Vec<usize>) -> Option<bool> {
        if waiting.is_empty() {
            return Some(true);
        }
        let (w, h) = self.size;
        let sides = waiting.iter().flat_map(|&i| &self.items[i].sizes);
        let (mut least_w, mut least_h) = (w, h);
        for &(a, b) in sides {
            least_w = least_w.min(a);
            least_h = least_h.min(b);
        }
        let corners = self.corners();
        let wanted: f64 = waiting.iter().map(|&i| self.items[i].area()).sum();
        if wanted > room(&corners, self.size, (least_w, least_h)) + 0.5 {
            return Some(false);
        }
        let mut complete = true;
        for &(x, y) in &corners {
            let mut seen: Vec<usize> = vec![];
            for at in 0..waiting.len() {
                let index = waiting[at];
                let item = &self.items[index];
                if seen.contains(&item.class) {
                    continue;
                }
                seen.push(item.class);
                for (turned, &(iw, ih)) in item.sizes.iter().enumerate() {
                    self.effort += 1;
                    if x + iw > w || y + ih > h || self.seen_before((x, y), (iw, ih)) {
                        continue;
                    }
                    if self.effort > self.stop {
                        return None;
                    }
                    self.spots.push(Spot {
                        item: index,
                        turn_rad: if turned == 1 { FRAC_PI_2 } else { 0.0 },
                        flipped: false,
                        x,
                        y,
                        w: iw,
                        h: ih,
                    });
                    waiting.remove(at);
                    match self.place(waiting) {
                        Some(true) => return Some(true),
                        Some(false) => {}
                        None => complete = false,
                    }
                    waiting.insert(at, index);
                    self.spots.pop();
                    if !complete {
                        return None;
                    }
                }
            }
        }
        Some(false)
    }

    /// Inner corners of the staircase around the items that lie, from the left edge to the lower edge.
    fn corners(&self) -> Vec<(Um, Um)> {
        let mut ends: Vec<(Um, Um)> = self.spots.iter().map(|s| (s.x + s.w, s.y + s.h)).collect();
        ends.sort_by_key(|&(x, y)| std::cmp::Reverse((y, x)));
        let mut corners = vec![];
        let mut left = 0;
        for (x, y) in ends {
            if x > left {
                corners.push((left, y));
                left = x;
            }
        }
        corners.push((left, 0));
        corners
    }

    /// Two items that could have been laid in either order are laid from left to right only.
    fn seen_before(&self, (x, y): (Um, Um), (w, h): (Um, Um)) -> bool {
        let Some((last, before)) = self.spots.split_last() else {
            return false;
        };
        // The last item could still be laid after this one.
        let free_of_last = x + w <= last.x || y + h <= last.y;
        if x >= last.x || !free_of_last {
            return false;
        }
        // The corner was there before the last item was laid.
        let wall = x == 0 || before.iter().any(|s| s.x + s.w == x && s.y + s.h > y);
        let floor = y == 0 || before.iter().any(|s| s.y + s.h == y && s.x + s.w > x);
        wall && floor
    }
}

/// Area above and to the right of the staircase that an item may still reach.
fn room(corners: &[(Um, Um)], (w, h): (Um, Um), (least_w, least_h): (Um, Um)) -> f64 {
    let mut room = 0.0;
    // Where the board ends too soon to the right, only items that begin further left, and so higher, reach.
    let mut lowest = h;
    for (k, &(x, y)) in corners.iter().enumerate() {
        if w - x >= least_w {
            lowest = y;
        }
        let end = corners.get(k + 1).map_or(w, |next| next.0);
        let high = h - lowest;
        if high >= least_h {
            room += (end - x) as f64 * high as f64;
        }
    }
    room
}

#[cfg(test)]
mod tests {
    use super::super::grid::Problem;
    use super::*;
    use crate::stock::{Ask, Method, Part, SheetKind, Turns};
    use proptest::prelude::*;

    fn problem(sizes: &[(f64, f64)], sheet: (f64, f64), turns: Turns) -> Problem {
        let parts = sizes
            .iter()
            .enumerate()
            .map(|(i, s)| Part::rectangle(format!("{i}"), s.0, s.1, 1, turns))
            .collect();
        let mut ask = Ask::new(
            parts,
            vec![SheetKind::new("sheet", sheet.0, sheet.1, 1.0)],
            Method::Cnc,
        );
        (ask.kerf_m, ask.spacing_m, ask.trim_m) = (0.0, 0.0, 0.0);
        Problem::new(&ask)
    }

    fn fits(problem: &Problem) -> Exact<Vec<Spot>> {
        let all: Vec<usize> = (0..problem.items.len()).collect();
        let board = &problem.boards[0];
        let mut effort = 0;
        lay(
            &problem.items,
            &all,
            (board.w, board.h),
            &mut effort,
            2_000_000,
        )
    }

    /// A pinwheel of four and a square in the middle: there is no straight cut through it, and no room to spare.
    #[test]
    fn a_pinwheel_is_found_and_one_micrometre_less_is_refused() {
        let parts = [(0.2, 0.1), (0.1, 0.2), (0.2, 0.1), (0.1, 0.2), (0.1, 0.1)];
        assert!(matches!(
            fits(&problem(&parts, (0.3, 0.3), Turns::None)),
            Exact::Fits(_)
        ));
        assert_eq!(
            fits(&problem(&parts, (0.3, 0.299_999), Turns::None)),
            Exact::Not
        );
        // Area alone would allow three strips of 0.16 x 0.1 on 0.25 x 0.2: only two lie beside or above one another.
        let strips = [(0.16, 0.1); 3];
        assert_eq!(
            fits(&problem(&strips, (0.25, 0.2), Turns::None)),
            Exact::Not
        );
    }

    proptest! {
        /// A sheet cut at random into pieces can be put together again, whatever the order and the turns.
        #[test]
        fn what_was_cut_from_a_sheet_fits_on_it(cuts in proptest::collection::vec((0.2..0.8_f64, any::<bool>(), 0..8_usize), 1..7)) {
            let mut pieces = vec![(0.3, 0.2)];
            for (share, upright, which) in cuts {
                let (w, h): (f64, f64) = pieces.swap_remove(which % pieces.len());
                let round = |x: f64| (x * 1e3).round() / 1e3;
                let (a, b) = (round(w * share), round(h * share));
                let (first, second) = if upright { ((a, h), (w - a, h)) } else { ((w, b), (w, h - b)) };
                pieces.extend([first, second]);
            }
            prop_assume!(pieces.iter().all(|p| p.0 > 5e-4 && p.1 > 5e-4));
            prop_assert!(!matches!(fits(&problem(&pieces, (0.3, 0.2), Turns::None)), Exact::Not));
            prop_assert!(!matches!(fits(&problem(&pieces, (0.2, 0.3), Turns::Quarter)), Exact::Not));
        }
    }
}
