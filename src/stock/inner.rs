//! The largest upright rectangle inside an outline, so that rectangles can be laid on any offcut.

use super::layout::Area;
use crate::outline::{Outline, Point};

/// How finely arcs are followed. [m]
const CHORD_M: f64 = 2e-4;
/// At most so many candidate edges each way; more corners than that are thinned out.
const MOST_LINES: usize = 48;

/// (x, y, width, height) of the largest rectangle clear of bad areas whose sides run through corners of the outline or of one. [m]
pub(super) fn largest_rectangle(outline: &Outline, bad: &[Area]) -> Option<(f64, f64, f64, f64)> {
    // Inward for the outside and outward for the holes, so that the rectangle lies inside in truth.
    let mut edges = vec![];
    let outside = outline.outside.flatten(CHORD_M, false);
    let holes = outline.holes.iter().map(|h| h.flatten(CHORD_M, true));
    let chains: Vec<Vec<Point>> = std::iter::once(outside).chain(holes).collect();
    let (mut xs, mut ys) = (vec![], vec![]);
    for chain in &chains {
        for (i, a) in chain.iter().enumerate() {
            let b = chain[(i + 1) % chain.len()];
            edges.push((*a, b));
            xs.push(a.x_m);
            ys.push(a.y_m);
        }
    }
    for area in bad {
        xs.extend([area.x_m, area.x_m + area.width_m]);
        ys.extend([area.y_m, area.y_m + area.height_m]);
    }
    let (xs, ys) = (lines(xs), lines(ys));
    let spoilt = |l: f64, b: f64, r: f64, t: f64| {
        bad.iter().any(|a| {
            let hair = 1e-9;
            a.x_m < r - hair
                && l + hair < a.x_m + a.width_m
                && a.y_m < t - hair
                && b + hair < a.y_m + a.height_m
        })
    };
    let mut best: Option<(f64, f64, f64, f64)> = None;
    for (i, &left) in xs.iter().enumerate() {
        for (j, &bottom) in ys.iter().enumerate() {
            for &right in xs.iter().skip(i + 1).rev() {
                let most = (right - left) * (ys.last().copied().unwrap_or(bottom) - bottom);
                if best.is_some_and(|(_, _, w, h)| most <= w * h) {
                    break;
                }
                for &top in ys.iter().skip(j + 1).rev() {
                    let area = (right - left) * (top - bottom);
                    if best.is_some_and(|(_, _, w, h)| area <= w * h) {
                        break;
                    }
                    if inside(&edges, left, bottom, right, top) && !spoilt(left, bottom, right, top)
                    {
                        best = Some((left, bottom, right - left, top - bottom));
                        break;
                    }
                }
            }
        }
    }
    best
}

fn lines(mut at: Vec<f64>) -> Vec<f64> {
    at.sort_by(f64::total_cmp);
    at.dedup_by(|a, b| (*a - *b).abs() < 1e-7);
    let n = at.len();
    if n <= MOST_LINES {
        return at;
    }
    (0..MOST_LINES)
        .map(|i| at[i * (n - 1) / (MOST_LINES - 1)])
        .collect()
}

/// Whether no edge enters the open rectangle and its middle lies inside.
fn inside(edges: &[(Point, Point)], left: f64, bottom: f64, right: f64, top: f64) -> bool {
    let hair = 1e-9;
    let (l, b, r, t) = (left + hair, bottom + hair, right - hair, top - hair);
    if edges.iter().any(|&(p, q)| enters(p, q, l, b, r, t)) {
        return false;
    }
    let (x, y) = (f64::midpoint(left, right), f64::midpoint(bottom, top));
    let crossings = edges
        .iter()
        .filter(|(p, q)| (p.y_m > y) != (q.y_m > y))
        .filter(|(p, q)| p.x_m + (y - p.y_m) / (q.y_m - p.y_m) * (q.x_m - p.x_m) > x)
        .count();
    crossings % 2 == 1
}

/// Whether the line from `p` to `q` has a point in the rectangle (Liang and Barsky's clipping).
fn enters(p: Point, q: Point, l: f64, b: f64, r: f64, t: f64) -> bool {
    let (dx, dy) = (q.x_m - p.x_m, q.y_m - p.y_m);
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    for (d, room) in [
        (-dx, p.x_m - l),
        (dx, r - p.x_m),
        (-dy, p.y_m - b),
        (dy, t - p.y_m),
    ] {
        if d.abs() < 1e-15 {
            if room < 0.0 {
                return false;
            }
        } else if d < 0.0 {
            from = from.max(room / d);
        } else {
            to = to.min(room / d);
        }
    }
    from < to
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::Chain;

    #[test]
    fn an_l_shaped_offcut_gives_its_larger_arm() {
        let p = |x, y| Point::new(x, y);
        let l = Outline::new(
            Chain::polygon(&[
                p(0.0, 0.0),
                p(0.6, 0.0),
                p(0.6, 0.2),
                p(0.3, 0.2),
                p(0.3, 0.5),
                p(0.0, 0.5),
            ]),
            vec![],
        );
        let (x, y, w, h) = largest_rectangle(&l, &[]).unwrap();
        for (got, want) in [(x, 0.0), (y, 0.0), (w, 0.3), (h, 0.5)] {
            assert!((got - want).abs() < 1e-12);
        }
    }

    #[test]
    fn a_disc_gives_a_square_of_nearly_two_radii_squared() {
        let disc = crate::outline::Circle {
            centre: Point::new(0.1, 0.1),
            radius_m: 0.1,
        };
        let (_, _, w, h) =
            largest_rectangle(&Outline::new(Chain::circle(disc), vec![]), &[]).unwrap();
        // The largest rectangle in a circle is the square with area 2 r^2; the corners of the polygon are a few degrees apart.
        assert!(w * h <= 0.02 && w * h > 0.95 * 0.02);
    }
}
