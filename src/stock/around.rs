//! A sawn board with bad areas: straight cuts from edge to edge leave clear pieces, and the bad areas in waste between them.

use super::grid::{Cut, Dice, Um};

/// Left, bottom, width, height.
type Rect = (Um, Um, Um, Um);

/// The clear pieces of a board and the cuts that part them, parents before children.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Around {
    pub(super) pieces: Vec<Rect>,
    pub(super) cuts: Vec<Cut>,
}

impl Around {
    /// Cuts a board apart. Each cut runs along an edge of a bad area, as a rule so that the larger clear piece comes off;
    /// one time in four the dice choose another.
    /// A half of no more than the gap is no half: the cut takes it.
    pub(super) fn new((w, h): (Um, Um), blocked: &[Rect], gap: Um, dice: &mut Dice) -> Self {
        let mut this = Self {
            pieces: vec![],
            cuts: vec![],
        };
        let mut open = vec![(0, 0, w, h)];
        while let Some(piece) = open.pop() {
            let within: Vec<Rect> = blocked.iter().filter_map(|b| meet(*b, piece)).collect();
            if within.is_empty() {
                this.pieces.push(piece);
                continue;
            }
            let mut ways: Vec<(i128, Cut)> = within
                .iter()
                .flat_map(|b| edges(*b, piece, gap))
                .map(|cut| (clear(cut, &within), cut))
                .collect();
            ways.sort_by_key(|way| std::cmp::Reverse(way.0));
            ways.dedup_by_key(|way| (way.1.upright, way.1.at));
            // Nothing but waste where no edge lies within the piece.
            let at = if dice.below(4) == 0 {
                dice.below(ways.len())
            } else {
                0
            };
            let Some(&(_, cut)) = ways.get(at) else {
                continue;
            };
            this.cuts.push(cut);
            open.extend(halves(cut));
        }
        this
    }

    /// The same with width and height changed over.
    pub(super) fn turned(mut self) -> Self {
        for p in &mut self.pieces {
            *p = (p.1, p.0, p.3, p.2);
        }
        for c in &mut self.cuts {
            (c.x, c.y, c.w, c.h, c.upright) = (c.y, c.x, c.h, c.w, !c.upright);
        }
        self
    }
}

fn meet(a: Rect, b: Rect) -> Option<Rect> {
    let (l, bottom) = (a.0.max(b.0), a.1.max(b.1));
    let (r, top) = ((a.0 + a.2).min(b.0 + b.2), (a.1 + a.3).min(b.1 + b.3));
    (l < r && bottom < top).then_some((l, bottom, r - l, top - bottom))
}

/// The cuts through a piece along the edges of a bad area in it.
fn edges(bad: Rect, (x, y, w, h): Rect, gap: Um) -> impl Iterator<Item = Cut> {
    let upright = [bad.0 - x, bad.0 + bad.2 - x];
    let level = [bad.1 - y, bad.1 + bad.3 - y];
    let cut = move |upright, at| Cut {
        x,
        y,
        w,
        h,
        upright,
        at,
    };
    let across = upright
        .into_iter()
        .filter(move |&at| gap < at && at < w - gap);
    let along = level
        .into_iter()
        .filter(move |&at| gap < at && at < h - gap);
    across
        .map(move |at| cut(true, at))
        .chain(along.map(move |at| cut(false, at)))
}

fn halves(c: Cut) -> [Rect; 2] {
    if c.upright {
        [(c.x, c.y, c.at, c.h), (c.x + c.at, c.y, c.w - c.at, c.h)]
    } else {
        [(c.x, c.y, c.w, c.at), (c.x, c.y + c.at, c.w, c.h - c.at)]
    }
}

/// Area of the halves that are clear.
fn clear(cut: Cut, within: &[Rect]) -> i128 {
    halves(cut)
        .into_iter()
        .filter(|half| within.iter().all(|b| meet(*b, *half).is_none()))
        .map(|half| i128::from(half.2) * i128::from(half.3))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bad_area_in_the_middle_leaves_all_but_itself() {
        let bad = (40, 30, 10, 20);
        for seed in 0..50 {
            let around = Around::new((100, 80), &[bad], 0, &mut Dice::new(seed, 0));
            let area: Um = around.pieces.iter().map(|p| p.2 * p.3).sum();
            assert_eq!(area, 100 * 80 - 10 * 20);
            assert!(around.pieces.iter().all(|p| meet(*p, bad).is_none()));
            assert_eq!(around.cuts.len(), 4);
            assert_eq!(around.clone().turned().turned(), around);
        }
    }

    #[test]
    fn bad_areas_at_the_edge_and_all_over_are_waste() {
        let mut dice = Dice::new(1, 0);
        let all = Around::new((100, 80), &[(-5, -5, 200, 200)], 0, &mut dice);
        assert!(all.pieces.is_empty() && all.cuts.is_empty());
        let corner = Around::new((100, 80), &[(90, 70, 20, 20)], 0, &mut dice);
        assert_eq!(
            corner.pieces.iter().map(|p| p.2 * p.3).sum::<Um>(),
            100 * 80 - 100
        );
    }
}
