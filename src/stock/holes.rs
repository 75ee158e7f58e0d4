//! Small parts in the cutouts of rings: a hole is a further sheet that costs nothing. What lies in a hole moves with its ring.

use super::ask::{Ask, Turns};
use super::grid::{Dice, Inner, Item, Um, after};
use super::inner::largest_rectangle;
use super::nest::{End, Nest, Pose, Room};
use super::polygon::{Xy, edges, is_convex, tidy};
use super::shapes::{Shapes, is_disc};
use crate::outline::{Chain, Outline, Placement};

/// Tries in all; a job with very many rings leaves the rest of its holes empty.
const MOST_TRIES: usize = 300;
/// Positions tried to find a place for one more part in a hole.
const EFFORT: u64 = 3_000;
/// How finely arcs of holes are followed. [m]
const CHORD_M: f64 = 2e-4;
/// More of a hole than this is never filled by parts of other shapes.
const FULL: f64 = 0.95;

/// A hole as a board, with its lower left corner on the part. [m]
struct Hole {
    room: Room,
    size: Xy,
    corner_m: (f64, f64),
    area_m2: f64,
}

/// Puts items into holes of others, the smallest rings first, so that a ring with its filling may lie in a larger one.
pub(super) fn fill_holes(
    ask: &Ask,
    shapes: &Shapes,
    mut items: Vec<Item>,
    gap: Um,
    seed: u64,
) -> (Vec<Item>, u64) {
    let mut dice = Dice::new(seed, u64::MAX);
    let mut spent = 0;
    let mut tries = 0;
    let area = |i: &Item| ask.blanks[i.part].outline.outside.area_m2();
    let mut hosts: Vec<usize> = (0..items.len())
        .filter(|&i| !ask.blanks[items[i].part].outline.holes.is_empty())
        .collect();
    hosts.sort_by(|&a, &b| area(&items[a]).total_cmp(&area(&items[b])).then(a.cmp(&b)));
    let mut nested = vec![false; items.len()];
    let mut hopeless: std::collections::BTreeSet<(usize, usize, usize)> =
        std::collections::BTreeSet::new();
    for host in hosts {
        if nested[host] {
            continue;
        }
        let part = items[host].part;
        for (number, chain) in ask.blanks[part].outline.holes.iter().enumerate() {
            let Some(hole) = hole(chain, gap) else {
                continue;
            };
            let mut guests: Vec<usize> = (0..items.len())
                .filter(|&i| i != host && !nested[i] && area(&items[i]) < FULL * hole.area_m2)
                .collect();
            guests.sort_by(|&a, &b| area(&items[b]).total_cmp(&area(&items[a])).then(a.cmp(&b)));
            let (mut lying, mut poses): (Vec<usize>, Vec<Pose>) = (vec![], vec![]);
            let mut free = FULL * hole.area_m2;
            for guest in guests {
                let key = (part, number, items[guest].part);
                if tries >= MOST_TRIES || hopeless.contains(&key) || area(&items[guest]) > free {
                    continue;
                }
                tries += 1;
                lying.push(guest);
                let choices: Vec<&[usize]> = lying
                    .iter()
                    .map(|&i| items[i].variants.as_slice())
                    .collect();
                let mut start = poses.clone();
                let variant = items[guest].variants[dice.below(items[guest].variants.len())];
                let (w, h) = shapes.variants[variant].size;
                start.push(Pose {
                    board: 0,
                    variant,
                    at: ((hole.size.0 - w) / 2.0, (hole.size.1 - h) / 2.0),
                });
                let rooms = vec![hole.room.clone()];
                let mut nest = Nest::new(shapes, choices, rooms, gap, start);
                if nest.run(&mut dice, &mut spent, EFFORT) == End::Whole {
                    free -= area(&items[guest]);
                    poses.clone_from(&nest.poses);
                } else {
                    lying.pop();
                    if lying.is_empty() {
                        hopeless.insert(key);
                    }
                }
            }
            for (guest, pose) in lying.into_iter().zip(poses) {
                nested[guest] = true;
                let moved = take(&items[guest], shapes, &pose, hole.corner_m, ask);
                for inner in &moved {
                    restrict(&mut items[host], shapes, ask.blanks[inner.part].turns, ask);
                }
                items[host].inner.extend(moved);
            }
        }
    }
    let mut keep = nested.iter();
    items.retain(|_| keep.next() == Some(&false));
    (items, spent)
}

/// A hole less the gap, as half planes; its largest rectangle where it is not convex.
fn hole(chain: &Chain, gap: Um) -> Option<Hole> {
    let (l, b, r, t) = chain.bounds_m();
    let area_m2 = chain.area_m2().abs();
    let polygon: Vec<Xy> = chain
        .flatten(CHORD_M, false)
        .iter()
        .map(|p| ((p.x_m - l) * 1e6, (p.y_m - b) * 1e6))
        .collect();
    let polygon = tidy(&polygon);
    let gap = gap as f64;
    if is_convex(&polygon) {
        let size = ((r - l) * 1e6, (t - b) * 1e6);
        return Some(Hole {
            room: Room::new(edges(&polygon), gap, [0.0, 0.0, size.0, size.1]),
            size,
            corner_m: (l, b),
            area_m2,
        });
    }
    let (x, y, w, h) = largest_rectangle(&Outline::new(chain.clone(), vec![]), &[])?;
    let size = (w * 1e6, h * 1e6);
    Some(Hole {
        room: Room::rectangle(size, gap),
        size,
        corner_m: (x, y),
        area_m2: w * h,
    })
}

/// A guest and all that lies in it, seen from the part that it now lies in.
fn take(guest: &Item, shapes: &Shapes, pose: &Pose, corner_m: (f64, f64), ask: &Ask) -> Vec<Inner> {
    let v = &shapes.variants[pose.variant];
    let outline = &ask.blanks[guest.part].outline;
    let outline = if v.flipped {
        outline.mirrored()
    } else {
        outline.clone()
    };
    let turn = Placement {
        turn_rad: v.turn_rad,
        x_m: 0.0,
        y_m: 0.0,
    };
    let (l, b, ..) = outline.placed(turn).bounds_m();
    let placement = Placement {
        x_m: corner_m.0 + pose.at.0 * 1e-6 - l,
        y_m: corner_m.1 + pose.at.1 * 1e-6 - b,
        ..turn
    };
    let mut all: Vec<Inner> = guest
        .inner
        .iter()
        .map(|i| Inner {
            placement: after(i.placement, placement),
            ..*i
        })
        .collect();
    all.push(Inner {
        part: guest.part,
        flipped: v.flipped,
        placement,
    });
    all
}

/// A ring turns only as far as what lies in it may, and is not flipped.
fn restrict(host: &mut Item, shapes: &Shapes, turns: Turns, ask: &Ask) {
    let quarters = match turns {
        Turns::Any => None,
        Turns::Quarter => Some(1.0),
        Turns::Half => Some(2.0),
        Turns::None => Some(4.0),
    };
    host.variants.retain(|&v| {
        let v = &shapes.variants[v];
        let steps = quarters.map_or(0.0, |q| v.turn_rad / (q * std::f64::consts::FRAC_PI_2));
        !v.flipped && (steps - steps.round()).abs() < 1e-9
    });
    if quarters.is_some_and(|q| q > 1.0) && !is_disc(&ask.blanks[host.part].outline.outside) {
        host.may_turn = false;
        host.sizes.truncate(1);
    }
}
