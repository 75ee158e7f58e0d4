//! Filling one board with rectangles that may lie anywhere: the lowest gap of the skyline is filled next, by the item that fits it best.

use super::grid::{Item, Pattern, Spot, Um};

/// A level stretch of the skyline.
#[derive(Debug, Clone, Copy)]
struct Step {
    x: Um,
    y: Um,
    w: Um,
}

/// Memory that fillings share.
#[derive(Debug, Default)]
pub(super) struct Scratch {
    skyline: Vec<Step>,
    waiting: Vec<usize>,
    seen: Vec<u64>,
    round: u64,
}

/// A choice for the lowest gap.
#[derive(Debug, Clone, Copy)]
struct Choice {
    at: usize,
    turned: bool,
    w: Um,
    h: Um,
    right: bool,
    score: i32,
}

/// Lays items of `order` on a board of `w` by `h`; what finds no place is appended to `rest`, in order.
///
/// Among items that fit the gap equally well the first in `order` is taken, so the order is what a search turns.
#[allow(clippy::too_many_arguments)] // the inner loop of the search, with its shared memory
pub(super) fn fill(
    items: &[Item],
    (w, h): (Um, Um),
    order: &[usize],
    greedy: bool,
    pattern: &mut Pattern,
    rest: &mut Vec<usize>,
    (scratch, go_on): (&mut Scratch, &mut dyn FnMut(u64) -> bool),
    effort: &mut u64,
) {
    pattern.clear();
    let Scratch {
        skyline,
        waiting,
        seen,
        round,
    } = scratch;
    skyline.clear();
    skyline.push(Step { x: 0, y: 0, w });
    waiting.clear();
    waiting.extend_from_slice(order);
    seen.resize(items.len().max(seen.len()), 0);
    // Least side among the waiting items: a narrower gap is lost.
    let mut least = waiting
        .iter()
        .flat_map(|&i| &items[i].sizes)
        .map(|s| s.0)
        .min()
        .unwrap_or(w);
    while !waiting.is_empty() && go_on(*effort) {
        let Some(low) = lowest(skyline) else { break };
        let gap = skyline[low];
        if gap.y >= h {
            break;
        }
        let room = h - gap.y;
        let left = low
            .checked_sub(1)
            .and_then(|i| skyline.get(i))
            .map_or(room, |s| s.y - gap.y);
        let right = skyline.get(low + 1).map_or(room, |s| s.y - gap.y);
        let mut best: Option<Choice> = None;
        *round += 1;
        if gap.w >= least {
            for (at, &i) in waiting.iter().enumerate() {
                let item = &items[i];
                if seen[item.class] == *round {
                    continue;
                }
                seen[item.class] = *round;
                for (turned, &(iw, ih)) in item.sizes.iter().enumerate() {
                    *effort += 1;
                    if iw > gap.w || ih > room {
                        continue;
                    }
                    let (score, to_right) =
                        score(gap.w - iw, ih, (left, right, room), least, greedy);
                    if best.is_none_or(|b| score > b.score) {
                        best = Some(Choice {
                            at,
                            turned: turned == 1,
                            w: iw,
                            h: ih,
                            right: to_right,
                            score,
                        });
                    }
                }
                if best.is_some_and(|b| b.score >= TOP) {
                    break;
                }
            }
        }
        if let Some(c) = best {
            let item = waiting.remove(c.at);
            let x = if c.right { gap.x + gap.w - c.w } else { gap.x };
            pattern.spots.push(Spot {
                item,
                turn_rad: if c.turned {
                    std::f64::consts::FRAC_PI_2
                } else {
                    0.0
                },
                flipped: false,
                x,
                y: gap.y,
                w: c.w,
                h: c.h,
            });
            raise(skyline, low, x, c.w, gap.y + c.h);
            if items[item].sizes.iter().any(|s| s.0 == least) {
                least = waiting
                    .iter()
                    .flat_map(|&i| &items[i].sizes)
                    .map(|s| s.0)
                    .min()
                    .unwrap_or(w);
            }
        } else {
            // Nothing fits: the gap is lost up to its lower neighbour.
            let to = match (low.checked_sub(1), skyline.get(low + 1)) {
                (Some(l), Some(r)) => skyline[l].y.min(r.y),
                (Some(l), None) => skyline[l].y,
                (None, Some(r)) => r.y,
                (None, None) => break,
            };
            raise(skyline, low, gap.x, gap.w, to);
        }
    }
    rest.extend_from_slice(waiting);
}

/// No choice scores higher than this.
const TOP: i32 = 7;

/// How well an item fits a gap that it leaves `spare` wide beside it, and on which side it should lie.
fn score(
    spare: Um,
    h: Um,
    (left, right, room): (Um, Um, Um),
    least: Um,
    greedy: bool,
) -> (i32, bool) {
    let flush = i32::from(h == left)
        + i32::from(h == right)
        + i32::from(h == room && left != room && right != room);
    if spare == 0 {
        return (if greedy { 5 + flush } else { 2 + flush }, false);
    }
    // Beside the wall that it is level with, else beside the higher wall.
    let to_right = if h == left {
        false
    } else if h == right {
        true
    } else {
        right > left
    };
    let lost = if spare < least { -2 } else { 0 };
    (flush.min(1) + lost, to_right)
}

fn lowest(skyline: &[Step]) -> Option<usize> {
    let mut best: Option<usize> = None;
    for (i, s) in skyline.iter().enumerate() {
        if best.is_none_or(|b| s.y < skyline[b].y) {
            best = Some(i);
        }
    }
    best
}

/// Lifts the stretch from `x`, `w` wide, of step `at` to `y`, and joins level neighbours.
fn raise(skyline: &mut Vec<Step>, at: usize, x: Um, w: Um, y: Um) {
    let gap = skyline[at];
    let mut i = at;
    if x > gap.x {
        skyline[i].w = x - gap.x;
        i += 1;
        skyline.insert(i, Step { x, y, w });
    } else {
        skyline[i] = Step { x, y, w };
        let end = gap.x + gap.w;
        if x + w < end {
            skyline.insert(
                i + 1,
                Step {
                    x: x + w,
                    y: gap.y,
                    w: end - x - w,
                },
            );
        }
    }
    if i + 1 < skyline.len() && skyline[i + 1].y == y {
        skyline[i].w += skyline[i + 1].w;
        skyline.remove(i + 1);
    }
    if i > 0 && skyline[i - 1].y == y {
        skyline[i - 1].w += skyline[i].w;
        skyline.remove(i);
    }
}
