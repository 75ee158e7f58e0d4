//! Items of equal or nearly equal side joined beforehand, so that they are laid as one: equal copies, and parts that complete one another.

use std::collections::BTreeMap;

use super::fit::Style;
use super::grid::{Cut, Dice, Item, Pattern, Problem, Spot, Um};

/// With more blocks than this only neighbours in size are compared.
const NEAR: usize = 12;

#[derive(Debug, Clone, Copy)]
enum Node {
    /// An item.
    Leaf(usize),
    /// Two nodes side by side, each laid as it is or turned.
    Beside((usize, bool), (usize, bool)),
}

/// What is laid: single items and blocks of several.
#[derive(Debug, Clone)]
pub(super) struct Blocks {
    /// As the fillings see them.
    pub(super) items: Vec<Item>,
    /// Root of each.
    roots: Vec<usize>,
    nodes: Vec<Node>,
    /// Size of each node as built.
    sizes: Vec<(Um, Um)>,
}

/// A block that may still grow.
#[derive(Debug, Clone, Copy)]
struct Growing {
    node: usize,
    size: (Um, Um),
    turns: bool,
}

impl Growing {
    fn laid(&self, turned: bool) -> (Um, Um) {
        if turned {
            (self.size.1, self.size.0)
        } else {
            self.size
        }
    }
}

impl Blocks {
    /// Every item by itself; with `across` width and height change places.
    pub(super) fn single(problem: &Problem, across: bool) -> Self {
        Self::build(
            problem,
            &[],
            Style {
                across,
                ..Style::PLAIN
            },
            None,
        )
    }

    /// Joins items until few blocks are left or no two lie well together on one of these boards.
    pub(super) fn joined(
        problem: &Problem,
        boards: &[(Um, Um)],
        style: Style,
        dice: &mut Dice,
    ) -> Self {
        Self::build(problem, boards, style, Some(dice))
    }

    fn build(
        problem: &Problem,
        boards: &[(Um, Um)],
        style: Style,
        dice: Option<&mut Dice>,
    ) -> Self {
        let Style {
            across,
            fewest,
            waste,
        } = style;
        let turn = |s: (Um, Um)| if across { (s.1, s.0) } else { s };
        let mut this = Self {
            items: vec![],
            roots: vec![],
            nodes: vec![],
            sizes: vec![],
        };
        let mut growing = vec![];
        for (i, item) in problem.items.iter().enumerate() {
            let size = turn(item.sizes.first().copied().unwrap_or((0, 0)));
            growing.push(Growing {
                node: i,
                size,
                turns: item.may_turn,
            });
            this.nodes.push(Node::Leaf(i));
            this.sizes.push(size);
        }
        if let Some(dice) = dice {
            let most: Vec<(Um, Um)> = boards.iter().map(|&b| turn(b)).collect();
            while growing.len() > fewest {
                let Some((i, j, (a, b))) = Self::pair(&growing, waste, &most, dice) else {
                    break;
                };
                let (one, two) = (growing[i], growing[j]);
                let (p, q) = (one.laid(a), two.laid(b));
                this.nodes.push(Node::Beside((one.node, a), (two.node, b)));
                let size = (p.0 + q.0, p.1.max(q.1));
                this.sizes.push(size);
                growing.swap_remove(i.max(j));
                growing.swap_remove(i.min(j));
                growing.push(Growing {
                    node: this.nodes.len() - 1,
                    size,
                    turns: one.turns && two.turns,
                });
            }
        }
        let mut classes: BTreeMap<Vec<(Um, Um)>, usize> = BTreeMap::new();
        for g in growing {
            let mut sizes = vec![g.size];
            if g.turns && g.size.0 != g.size.1 {
                sizes.push((g.size.1, g.size.0));
            }
            let next = classes.len();
            let class = *classes.entry(sizes.clone()).or_insert(next);
            this.items.push(Item {
                part: 0,
                sizes,
                class,
                may_turn: g.turns,
                variants: vec![],
                inner: vec![],
                weight: 0.0,
                inner_weight: 0.0,
            });
            this.roots.push(g.node);
        }
        this
    }

    /// Two blocks to join, and whether each is turned: any of those that leave nothing empty, else one that leaves little.
    fn pair(
        growing: &[Growing],
        waste: f64,
        boards: &[(Um, Um)],
        dice: &mut Dice,
    ) -> Option<(usize, usize, (bool, bool))> {
        // (height when laid so, width, which, turned), by height: near ones are neighbours.
        let mut sides: Vec<(Um, Um, usize, bool)> = vec![];
        for (i, g) in growing.iter().enumerate() {
            sides.push((g.size.1, g.size.0, i, false));
            if g.turns {
                sides.push((g.size.0, g.size.1, i, true));
            }
        }
        sides.sort_unstable();
        let mut exact = vec![];
        let mut close = vec![];
        for (n, a) in sides.iter().enumerate() {
            for b in sides.iter().skip(n + 1).take(NEAR) {
                if a.2 == b.2 {
                    continue;
                }
                let (w, h) = (a.1 + b.1, b.0);
                let turns = growing[a.2].turns && growing[b.2].turns;
                if !boards
                    .iter()
                    .any(|&(x, y)| (w <= x && h <= y) || (turns && h <= x && w <= y))
                {
                    continue;
                }
                let lost = (b.0 - a.0) as f64 * a.1 as f64;
                let found = (a.2, b.2, (a.3, b.3));
                if a.0 == b.0 {
                    exact.push(found);
                } else if lost <= waste * (w as f64 * h as f64) {
                    close.push(found);
                }
            }
        }
        let from = if exact.is_empty() || (!close.is_empty() && dice.below(16) == 0) {
            close
        } else {
            exact
        };
        from.get(dice.below(from.len())).copied()
    }

    /// The items in a block.
    pub(super) fn members(&self, block: usize) -> Vec<usize> {
        let mut open = vec![self.roots[block]];
        let mut members = vec![];
        while let Some(node) = open.pop() {
            match self.nodes[node] {
                Node::Leaf(item) => members.push(item),
                Node::Beside((a, _), (b, _)) => open.extend([b, a]),
            }
        }
        members
    }

    /// The pattern of items that a pattern of blocks stands for.
    pub(super) fn unfold(&self, problem: &Problem, across: bool, folded: &Pattern) -> Pattern {
        let mut pattern = Pattern {
            spots: vec![],
            cuts: folded.cuts.clone(),
            left: folded.left.clone(),
        };
        for spot in &folded.spots {
            self.lay(
                self.roots[spot.item],
                spot.turn_rad != 0.0,
                (spot.x, spot.y),
                &mut pattern,
            );
        }
        if across {
            for s in &mut pattern.spots {
                (s.x, s.y, s.w, s.h) = (s.y, s.x, s.h, s.w);
            }
            for c in &mut pattern.cuts {
                (c.x, c.y, c.w, c.h, c.upright) = (c.y, c.x, c.h, c.w, !c.upright);
            }
            for r in &mut pattern.left {
                *r = (r.1, r.0, r.3, r.2);
            }
        }
        for s in &mut pattern.spots {
            // Its size says whether an item is turned; a square lies as drawn.
            let drawn = problem.items[s.item]
                .sizes
                .first()
                .is_some_and(|&d| d == (s.w, s.h));
            s.turn_rad = if drawn {
                0.0
            } else {
                std::f64::consts::FRAC_PI_2
            };
        }
        pattern
    }

    fn lay(&self, node: usize, turned: bool, (x, y): (Um, Um), pattern: &mut Pattern) {
        let built = self.sizes[node];
        let (w, h) = if turned { (built.1, built.0) } else { built };
        match self.nodes[node] {
            Node::Leaf(item) => pattern.spots.push(Spot {
                item,
                turn_rad: 0.0,
                flipped: false,
                x,
                y,
                w,
                h,
            }),
            Node::Beside((a, a_turned), (b, b_turned)) => {
                // Turned, side by side becomes one above the other.
                let laid = |n: usize, own: bool| {
                    let s = self.sizes[n];
                    if own == turned { s } else { (s.1, s.0) }
                };
                let (p, q) = (laid(a, a_turned), laid(b, b_turned));
                let upright = !turned;
                let (at, second) = if upright {
                    (p.0, (x + p.0, y))
                } else {
                    (p.1, (x, y + p.1))
                };
                pattern.cuts.push(Cut {
                    x,
                    y,
                    w,
                    h,
                    upright,
                    at,
                });
                for (from, size) in [((x, y), p), (second, q)] {
                    // What the lower of the two leaves empty.
                    let (piece_w, piece_h) = if upright { (size.0, h) } else { (w, size.1) };
                    if upright && size.1 < h {
                        pattern.cuts.push(Cut {
                            x: from.0,
                            y: from.1,
                            w: piece_w,
                            h: piece_h,
                            upright: false,
                            at: size.1,
                        });
                        pattern
                            .left
                            .push((from.0, from.1 + size.1, size.0, h - size.1));
                    } else if !upright && size.0 < w {
                        pattern.cuts.push(Cut {
                            x: from.0,
                            y: from.1,
                            w: piece_w,
                            h: piece_h,
                            upright: true,
                            at: size.0,
                        });
                        pattern
                            .left
                            .push((from.0 + size.0, from.1, w - size.0, size.1));
                    }
                }
                self.lay(a, turned != a_turned, (x, y), pattern);
                self.lay(b, turned != b_turned, second, pattern);
            }
        }
    }
}
