//! Polygons for outlines: convex pieces, and for two convex pieces the region where their placements overlap.

/// A point or a direction. [µm]
pub(super) type Xy = (f64, f64);

/// A half plane: unit normal and how far along it the edge lies.
#[derive(Debug, Clone, Copy)]
pub(super) struct Edge {
    pub(super) nx: f64,
    pub(super) ny: f64,
    pub(super) off: f64,
}

impl Edge {
    /// How far a point lies inside; negative outside.
    pub(super) fn depth(&self, p: Xy) -> f64 {
        self.off - self.nx * p.0 - self.ny * p.1
    }
}

fn cross(o: Xy, a: Xy, b: Xy) -> f64 {
    (a.0 - o.0) * (b.1 - o.1) - (a.1 - o.1) * (b.0 - o.0)
}

/// Twice the signed area.
fn area2(polygon: &[Xy]) -> f64 {
    let next = polygon.iter().skip(1).chain(polygon.first());
    polygon
        .iter()
        .zip(next)
        .map(|(a, b)| a.0 * b.1 - a.1 * b.0)
        .sum()
}

/// Whether no corner of a counter-clockwise polygon turns inwards by more than rounding.
pub(super) fn is_convex(polygon: &[Xy]) -> bool {
    let n = polygon.len();
    (0..n).all(|i| turns_left(polygon[(i + n - 1) % n], polygon[i], polygon[(i + 1) % n]))
}

/// Left or straight on, to within rounding of the lengths.
fn turns_left(a: Xy, b: Xy, c: Xy) -> bool {
    let scale = (b.0 - a.0).abs() + (b.1 - a.1).abs() + (c.0 - b.0).abs() + (c.1 - b.1).abs();
    cross(a, b, c) >= -1e-9 * scale * scale
}

/// The convex hull, counter-clockwise (Andrew's monotone chain).
pub(super) fn hull(points: &[Xy]) -> Vec<Xy> {
    let mut sorted = points.to_vec();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    sorted.dedup();
    if sorted.len() < 3 {
        return sorted;
    }
    let mut hull: Vec<Xy> = vec![];
    for pass in 0..2 {
        let start = hull.len();
        let walk: Box<dyn Iterator<Item = &Xy>> = if pass == 0 {
            Box::new(sorted.iter())
        } else {
            Box::new(sorted.iter().rev())
        };
        for &p in walk {
            while hull.len() >= start + 2
                && cross(hull[hull.len() - 2], hull[hull.len() - 1], p) <= 0.0
            {
                hull.pop();
            }
            hull.push(p);
        }
        hull.pop();
    }
    hull
}

/// Convex pieces that together make up a simple counter-clockwise polygon: triangles by cutting off ears, joined again
/// while the union stays convex (S. Hertel, K. Mehlhorn, 1983). The hull where the polygon cannot be cut up.
pub(super) fn convex_pieces(polygon: &[Xy]) -> Vec<Vec<Xy>> {
    if is_convex(polygon) {
        return vec![polygon.to_vec()];
    }
    let Some(triangles) = ears(polygon) else {
        return vec![hull(polygon)];
    };
    let mut pieces: Vec<Vec<usize>> = triangles.into_iter().map(|t| t.to_vec()).collect();
    let mut joined = true;
    while joined {
        joined = false;
        'search: for i in 0..pieces.len() {
            for j in i + 1..pieces.len() {
                if let Some(union) = union(polygon, &pieces[i], &pieces[j]) {
                    pieces[i] = union;
                    pieces.swap_remove(j);
                    joined = true;
                    break 'search;
                }
            }
        }
    }
    pieces
        .into_iter()
        .map(|p| p.into_iter().map(|i| polygon[i]).collect())
        .collect()
}

/// Triangles of corner numbers.
fn ears(polygon: &[Xy]) -> Option<Vec<[usize; 3]>> {
    let mut open: Vec<usize> = (0..polygon.len()).collect();
    let mut triangles = vec![];
    while open.len() > 3 {
        let n = open.len();
        // The fattest ear first: slivers make poor pieces.
        let mut best: Option<(f64, usize)> = None;
        for i in 0..n {
            let (a, b, c) = (open[(i + n - 1) % n], open[i], open[(i + 1) % n]);
            let (p, q, r) = (polygon[a], polygon[b], polygon[c]);
            let area = cross(p, q, r);
            if area <= 0.0 {
                continue;
            }
            let held = open.iter().any(|&o| {
                let x = polygon[o];
                o != a
                    && o != b
                    && o != c
                    && x != p
                    && x != q
                    && x != r
                    && cross(p, q, x) >= 0.0
                    && cross(q, r, x) >= 0.0
                    && cross(r, p, x) >= 0.0
            });
            let side = (r.0 - p.0).hypot(r.1 - p.1).max(1e-9);
            if !held && best.is_none_or(|b| area / (side * side) > b.0) {
                best = Some((area / (side * side), i));
            }
        }
        let (_, i) = best?;
        triangles.push([open[(i + n - 1) % n], open[i], open[(i + 1) % n]]);
        open.remove(i);
    }
    let last = [*open.first()?, *open.get(1)?, *open.get(2)?];
    if cross(polygon[last[0]], polygon[last[1]], polygon[last[2]]) > 0.0 {
        triangles.push(last);
    }
    Some(triangles)
}

/// Two pieces joined over a common edge, if that is convex.
fn union(polygon: &[Xy], one: &[usize], two: &[usize]) -> Option<Vec<usize>> {
    for i in 0..one.len() {
        let (a, b) = (one[i], one[(i + 1) % one.len()]);
        let Some(j) = (0..two.len()).find(|&j| two[j] == b && two[(j + 1) % two.len()] == a) else {
            continue;
        };
        // Around `one` from b to a, then around `two` from a to b.
        let mut union: Vec<usize> = (0..one.len())
            .map(|k| one[(i + 1 + k) % one.len()])
            .collect();
        union.extend((2..two.len()).map(|k| two[(j + k) % two.len()]));
        let corners: Vec<Xy> = union.iter().map(|&k| polygon[k]).collect();
        return is_convex(&corners).then_some(union);
    }
    None
}

/// Edges of the convex region of shifts of `b` at which it overlaps `a`: the Minkowski sum of `a` and the mirror of `b`.
pub(super) fn overlap_edges(a: &[Xy], b: &[Xy]) -> Vec<Edge> {
    let mirrored: Vec<Xy> = b.iter().map(|p| (-p.0, -p.1)).collect();
    let mut edges = edges(a);
    edges.extend(self::edges(&mirrored));
    // In every direction of either the sum reaches as far as both together.
    for e in &mut edges {
        e.off = reach(a, (e.nx, e.ny)) + reach(&mirrored, (e.nx, e.ny));
    }
    edges.sort_by(|p, q| p.ny.atan2(p.nx).total_cmp(&q.ny.atan2(q.nx)));
    edges.dedup_by(|p, q| (p.nx - q.nx).abs() < 1e-9 && (p.ny - q.ny).abs() < 1e-9);
    edges
}

/// Half planes whose common part is a convex counter-clockwise polygon.
pub(super) fn edges(polygon: &[Xy]) -> Vec<Edge> {
    let next = polygon.iter().skip(1).chain(polygon.first());
    polygon
        .iter()
        .zip(next)
        .filter_map(|(p, q)| {
            let (dx, dy) = (q.0 - p.0, q.1 - p.1);
            let length = dx.hypot(dy);
            (length > 1e-6).then(|| {
                let (nx, ny) = (dy / length, -dx / length);
                Edge {
                    nx,
                    ny,
                    off: nx * p.0 + ny * p.1,
                }
            })
        })
        .collect()
}

/// How far a polygon reaches in a direction.
pub(super) fn reach(polygon: &[Xy], (nx, ny): Xy) -> f64 {
    polygon
        .iter()
        .map(|p| nx * p.0 + ny * p.1)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Counter-clockwise, without corners that coincide or lie on a straight line.
pub(super) fn tidy(polygon: &[Xy]) -> Vec<Xy> {
    let mut points = polygon.to_vec();
    points.dedup_by(|a, b| (a.0 - b.0).hypot(a.1 - b.1) < 1e-3);
    if points.len() > 1
        && points
            .first()
            .zip(points.last())
            .is_some_and(|(a, b)| (a.0 - b.0).hypot(a.1 - b.1) < 1e-3)
    {
        points.pop();
    }
    if area2(&points) < 0.0 {
        points.reverse();
    }
    let n = points.len();
    (0..n)
        .filter(|&i| {
            let (a, b, c) = (points[(i + n - 1) % n], points[i], points[(i + 1) % n]);
            let scale = (c.0 - a.0).hypot(c.1 - a.1).max(1e-3);
            (cross(a, b, c) / scale).abs() > 1e-3
        })
        .map(|i| points[i])
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_l_is_two_pieces_of_its_own_area() {
        let l = [
            (0.0, 0.0),
            (6.0, 0.0),
            (6.0, 2.0),
            (3.0, 2.0),
            (3.0, 5.0),
            (0.0, 5.0),
        ];
        let pieces = convex_pieces(&l);
        let area: f64 = pieces.iter().map(|p| area2(p) / 2.0).sum();
        assert!(
            (area - 21.0).abs() < 1e-9 && pieces.len() == 2 && pieces.iter().all(|p| is_convex(p))
        );
    }

    proptest! {
        /// Stars about a point are simple; their pieces are convex and make up their area.
        #[test]
        fn pieces_make_up_a_star(radii in proptest::collection::vec(0.2..1.0_f64, 3..24)) {
            let n = radii.len() as f64;
            let star: Vec<Xy> = radii.iter().enumerate().map(|(i, r)| {
                let angle = std::f64::consts::TAU * i as f64 / n;
                (r * 1e5 * angle.cos(), r * 1e5 * angle.sin())
            }).collect();
            let star = tidy(&star);
            let pieces = convex_pieces(&star);
            prop_assert!(pieces.iter().all(|p| is_convex(p)));
            let area: f64 = pieces.iter().map(|p| area2(p)).sum();
            prop_assert!((area / area2(&star) - 1.0).abs() < 1e-6);
        }

        /// Two boxes overlap where both coordinates do, and as deep as the lesser of the two.
        #[test]
        fn boxes_overlap_as_deep_as_their_sides_say(
            a in (1.0..9.0_f64, 1.0..9.0_f64), b in (1.0..9.0_f64, 1.0..9.0_f64), p in (-12.0..12.0_f64, -12.0..12.0_f64),
        ) {
            let square = |s: Xy| [(0.0, 0.0), (s.0, 0.0), s, (0.0, s.1)];
            let depth = overlap_edges(&square(a), &square(b)).iter().map(|e| e.depth(p)).fold(f64::INFINITY, f64::min);
            let x = (a.0 - p.0).min(p.0 + b.0);
            let y = (a.1 - p.1).min(p.1 + b.1);
            prop_assert!((depth - x.min(y)).abs() < 1e-9);
        }
    }
}
