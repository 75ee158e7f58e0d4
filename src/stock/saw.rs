//! Filling one board by straight cuts from edge to edge: every layout is a tree of cuts, so it can be sawn by construction.

use super::around::Around;
use super::grid::{Cut, Item, Pattern, Spot, Um};

/// A piece in hand.
#[derive(Debug, Clone, Copy)]
struct Piece {
    x: Um,
    y: Um,
    w: Um,
    h: Um,
}

/// Memory that fillings share.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    pieces: Vec<Piece>,
    waiting: Vec<usize>,
    seen: Vec<u64>,
    round: u64,
}

#[derive(Debug, Clone, Copy)]
struct Choice {
    at: usize,
    turned: bool,
    w: Um,
    h: Um,
    score: i32,
}

/// Lays items of `order` on a board of `w` by `h`, or on the clear pieces of it that cuts around its bad areas leave; what finds no place is appended to `rest`, in order.
///
/// The smallest piece in hand is filled next; an item goes to its lower left corner, and the rest of the piece is
/// cut in two: upright first where `first_upright` of the item says so, unless one way would lose a strip.
#[allow(clippy::too_many_arguments)] // the inner loop of the search, with its shared memory
pub(super) fn fill(
    items: &[Item],
    ((w, h), around): ((Um, Um), Option<&Around>),
    order: &[usize],
    first_upright: &[bool],
    pattern: &mut Pattern,
    rest: &mut Vec<usize>,
    (scratch, go_on): (&mut Scratch, &mut dyn FnMut(u64) -> bool),
    effort: &mut u64,
) {
    pattern.clear();
    let Scratch {
        pieces,
        waiting,
        seen,
        round,
    } = scratch;
    pieces.clear();
    match around {
        None => pieces.push(Piece { x: 0, y: 0, w, h }),
        Some(around) => {
            let clear = around.pieces.iter();
            pieces.extend(clear.map(|&(x, y, w, h)| Piece { x, y, w, h }));
            pattern.cuts.extend_from_slice(&around.cuts);
        }
    }
    waiting.clear();
    waiting.extend_from_slice(order);
    seen.resize(items.len().max(seen.len()), 0);
    let least = waiting
        .iter()
        .flat_map(|&i| &items[i].sizes)
        .map(|s| s.0.min(s.1))
        .min()
        .unwrap_or(0);
    while let Some(piece) = take_smallest(pieces) {
        let mut best: Option<Choice> = None;
        *round += 1;
        if piece.w >= least && piece.h >= least && go_on(*effort) {
            for (at, &i) in waiting.iter().enumerate() {
                let item = &items[i];
                if seen[item.class] == *round {
                    continue;
                }
                seen[item.class] = *round;
                for (turned, &(iw, ih)) in item.sizes.iter().enumerate() {
                    *effort += 1;
                    if iw > piece.w || ih > piece.h {
                        continue;
                    }
                    let score = side(piece.w - iw, least) + side(piece.h - ih, least);
                    if best.is_none_or(|b| score > b.score) {
                        best = Some(Choice {
                            at,
                            turned: turned == 1,
                            w: iw,
                            h: ih,
                            score,
                        });
                    }
                }
                if best.is_some_and(|b| b.score >= 2 * EXACT) {
                    break;
                }
            }
        }
        let Some(c) = best else {
            pattern.left.push((piece.x, piece.y, piece.w, piece.h));
            continue;
        };
        let item = waiting.remove(c.at);
        let Piece { x, y, .. } = piece;
        pattern.spots.push(Spot {
            item,
            turn_rad: if c.turned {
                std::f64::consts::FRAC_PI_2
            } else {
                0.0
            },
            flipped: false,
            x,
            y,
            w: c.w,
            h: c.h,
        });
        split(
            piece,
            (c.w, c.h),
            least,
            first_upright[item],
            pieces,
            pattern,
        );
    }
    rest.extend_from_slice(waiting);
}

/// Cuts an item of size (iw, ih) out of the lower left corner of a piece.
fn split(
    piece: Piece,
    (iw, ih): (Um, Um),
    least: Um,
    first_upright: bool,
    pieces: &mut Vec<Piece>,
    pattern: &mut Pattern,
) {
    let Piece { x, y, w, h } = piece;
    let (beside, above) = (w - iw, h - ih);
    // The first cut upright leaves a whole piece beside the item, the first cut level one above it.
    let upright = if beside == 0 || above == 0 {
        above == 0
    } else if beside < least && above >= least {
        false
    } else if above < least && beside >= least {
        true
    } else {
        first_upright
    };
    // The second cut runs only through what the first one left around the item.
    let (cut_w, cut_h) = if upright { (iw, h) } else { (w, ih) };
    let across = Cut {
        x,
        y,
        w,
        h: cut_h,
        upright: true,
        at: iw,
    };
    let along = Cut {
        x,
        y,
        w: cut_w,
        h,
        upright: false,
        at: ih,
    };
    let cuts = if upright {
        [across, along]
    } else {
        [along, across]
    };
    for cut in cuts {
        if cut.upright && beside > 0 {
            pattern.cuts.push(cut);
            pieces.push(Piece {
                x: x + iw,
                y,
                w: beside,
                h: cut.h,
            });
        } else if !cut.upright && above > 0 {
            pattern.cuts.push(cut);
            pieces.push(Piece {
                x,
                y: y + ih,
                w: cut.w,
                h: above,
            });
        }
    }
}

const EXACT: i32 = 4;

/// How well one side of an item fits: exactly, with useful room, or with a lost strip.
fn side(spare: Um, least: Um) -> i32 {
    if spare == 0 {
        EXACT
    } else if spare < least {
        -1
    } else {
        0
    }
}

fn take_smallest(pieces: &mut Vec<Piece>) -> Option<Piece> {
    let at = pieces
        .iter()
        .enumerate()
        .min_by_key(|(_, p)| i128::from(p.w) * i128::from(p.h))
        .map(|(i, _)| i)?;
    Some(pieces.swap_remove(at))
}
