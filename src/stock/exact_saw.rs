//! A few rectangles under a saw, worked out to the end: for every group of items the smallest pieces from which straight
//! cuts can free them, put together from the pieces of its halves (P. Y. Wang, 1983, Operations Research 31, 573-586, without its limits).

use std::f64::consts::FRAC_PI_2;

use super::exact_free::Exact;
use super::grid::{Cut, Item, Pattern, Spot, Um};

/// Sawn items are few: every group of them is looked at.
pub(super) const MOST_ITEMS: usize = 10;

/// How a piece is cut.
#[derive(Debug, Clone, Copy)]
enum How {
    /// It is an item.
    Item(usize, bool),
    /// An upright or level cut leaves two pieces: group and number of each.
    Cut(bool, (usize, usize), (usize, usize)),
}

#[derive(Debug, Clone, Copy)]
struct Piece {
    w: Um,
    h: Um,
    how: How,
}

/// For each group of items, as bits, the pieces of which none is smaller both ways.
#[derive(Debug)]
pub(super) struct Groups {
    pieces: Vec<Vec<Piece>>,
    size: (Um, Um),
}

fn keep(list: &mut Vec<Piece>, piece: Piece) {
    if list.iter().any(|p| p.w <= piece.w && p.h <= piece.h) {
        return;
    }
    list.retain(|p| p.w < piece.w || p.h < piece.h);
    list.push(piece);
}

impl Groups {
    /// All groups of `chosen` on boards of `size`; `None` where the effort runs out.
    pub(super) fn new(
        items: &[Item],
        chosen: &[usize],
        size: (Um, Um),
        effort: &mut u64,
        stop: u64,
    ) -> Option<Self> {
        if chosen.len() > MOST_ITEMS {
            return None;
        }
        let mut pieces: Vec<Vec<Piece>> = vec![vec![]; 1 << chosen.len()];
        for group in 1..pieces.len() {
            let mut list = vec![];
            if group.is_power_of_two() {
                let item = chosen[group.trailing_zeros() as usize];
                for (turned, &(w, h)) in items[item].sizes.iter().enumerate() {
                    if w <= size.0 && h <= size.1 {
                        keep(
                            &mut list,
                            Piece {
                                w,
                                h,
                                how: How::Item(item, turned == 1),
                            },
                        );
                    }
                }
            }
            // Each pair of halves once: one half holds the first item.
            let first = group & group.wrapping_neg();
            let mut half = (group - 1) & group;
            while half > 0 {
                if half & first != 0 {
                    let other = group ^ half;
                    for (i, a) in pieces[half].iter().enumerate() {
                        for (j, b) in pieces[other].iter().enumerate() {
                            *effort += 1;
                            let how = |upright| How::Cut(upright, (half, i), (other, j));
                            let (w, h) = (a.w + b.w, a.h.max(b.h));
                            if w <= size.0 {
                                keep(
                                    &mut list,
                                    Piece {
                                        w,
                                        h,
                                        how: how(true),
                                    },
                                );
                            }
                            let (w, h) = (a.w.max(b.w), a.h + b.h);
                            if h <= size.1 {
                                keep(
                                    &mut list,
                                    Piece {
                                        w,
                                        h,
                                        how: how(false),
                                    },
                                );
                            }
                        }
                    }
                }
                half = (half - 1) & group;
            }
            if *effort > stop {
                return None;
            }
            pieces[group] = list;
        }
        Some(Self { pieces, size })
    }

    /// The pattern of a group on a board, with the least height where there is a choice.
    pub(super) fn lay(&self, items: &[Item], group: usize) -> Exact<Pattern> {
        let list = &self.pieces[group];
        let Some(at) = (0..list.len()).min_by_key(|&i| (list[i].h, list[i].w)) else {
            return if group == 0 {
                Exact::Fits(Pattern::default())
            } else {
                Exact::Not
            };
        };
        let mut pattern = Pattern::default();
        self.cut(items, (group, at), (0, 0), self.size, &mut pattern);
        Exact::Fits(pattern)
    }

    /// Cuts a piece of the group's size, and then its halves, out of one that is at least as large.
    fn cut(
        &self,
        items: &[Item],
        (group, at): (usize, usize),
        (x, y): (Um, Um),
        (w, h): (Um, Um),
        pattern: &mut Pattern,
    ) {
        let piece = self.pieces[group][at];
        let mut through = |x, y, w, h, upright, at| {
            pattern.cuts.push(Cut {
                x,
                y,
                w,
                h,
                upright,
                at,
            });
        };
        if piece.h < h {
            through(x, y, w, h, false, piece.h);
            pattern.left.push((x, y + piece.h, w, h - piece.h));
        }
        if piece.w < w {
            through(x, y, w, piece.h, true, piece.w);
            pattern.left.push((x + piece.w, y, w - piece.w, piece.h));
        }
        match piece.how {
            How::Item(item, turned) => pattern.spots.push(Spot {
                item,
                turn_rad: if turned { FRAC_PI_2 } else { 0.0 },
                flipped: false,
                x,
                y,
                w: items[item].sizes[usize::from(turned)].0,
                h: items[item].sizes[usize::from(turned)].1,
            }),
            How::Cut(upright, one, two) => {
                let first = self.pieces[one.0][one.1];
                let (one_size, two_at, two_size) = if upright {
                    through(x, y, piece.w, piece.h, true, first.w);
                    (
                        (first.w, piece.h),
                        (x + first.w, y),
                        (piece.w - first.w, piece.h),
                    )
                } else {
                    through(x, y, piece.w, piece.h, false, first.h);
                    (
                        (piece.w, first.h),
                        (x, y + first.h),
                        (piece.w, piece.h - first.h),
                    )
                };
                self.cut(items, one, (x, y), one_size, pattern);
                self.cut(items, two, two_at, two_size, pattern);
            }
        }
    }
}
