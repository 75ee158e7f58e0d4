//! Where parts may lie on a piece of stock that is no clear rectangle: inside its convex hull, less the pockets between hull and
//! edge, its cutouts and its bad areas.

use super::layout::Area;
use super::polygon::{Edge, Xy, convex_pieces, edges, hull, tidy};
use crate::outline::Outline;

/// How finely arcs are followed. [m]
const CHORD_M: f64 = 2e-4;

/// The usable part of a board, seen from the lower left corner of its largest clear rectangle. [µm]
#[derive(Debug, Clone)]
pub(super) struct Clear {
    /// Half planes of the trimmed hull.
    pub(super) edges: Vec<Edge>,
    /// Their bounds: left, bottom, right, top.
    pub(super) frame: [f64; 4],
    /// Convex pieces that no part may lie on or come nearer to than the trim.
    pub(super) blocked: Vec<Vec<Xy>>,
}

/// What of an outline may be used; `origin_m` is where coordinates count from, `trim` is taken off all edges.
pub(super) fn clear(outline: &Outline, bad: &[Area], origin_m: (f64, f64), trim: f64) -> Clear {
    let flat = |chain: &crate::outline::Chain, outside: bool| -> Vec<Xy> {
        let points = chain.flatten(CHORD_M, outside);
        let points = points
            .iter()
            .map(|p| ((p.x_m - origin_m.0) * 1e6, (p.y_m - origin_m.1) * 1e6));
        tidy(&points.collect::<Vec<Xy>>())
    };
    let outside = flat(&outline.outside, false);
    let hull = hull(&outside);
    let mut edges = edges(&hull);
    for e in &mut edges {
        e.off -= trim;
    }
    let mut blocked = pockets(&outside, &hull);
    for hole in &outline.holes {
        blocked.extend(convex_pieces(&flat(hole, true)));
    }
    for area in bad {
        let (l, b) = ((area.x_m - origin_m.0) * 1e6, (area.y_m - origin_m.1) * 1e6);
        let (r, t) = (l + area.width_m * 1e6, b + area.height_m * 1e6);
        blocked.push(vec![(l, b), (r, b), (r, t), (l, t)]);
    }
    let all =
        |f: fn(&Xy) -> f64, less: fn(f64, f64) -> f64, start| hull.iter().map(f).fold(start, less);
    Clear {
        edges,
        frame: [
            all(|p| p.0, f64::min, f64::INFINITY) + trim,
            all(|p| p.1, f64::min, f64::INFINITY) + trim,
            all(|p| p.0, f64::max, f64::NEG_INFINITY) - trim,
            all(|p| p.1, f64::max, f64::NEG_INFINITY) - trim,
        ],
        blocked,
    }
}

/// Convex pieces between a counter-clockwise polygon and its hull.
fn pockets(polygon: &[Xy], hull: &[Xy]) -> Vec<Vec<Xy>> {
    let n = polygon.len();
    let on_hull: Vec<usize> = (0..n).filter(|&i| hull.contains(&polygon[i])).collect();
    let mut pockets = vec![];
    for (k, &from) in on_hull.iter().enumerate() {
        let to = on_hull[(k + 1) % on_hull.len()];
        let steps = (to + n - from) % n;
        if steps < 2 {
            continue;
        }
        let pocket: Vec<Xy> = (0..=steps).map(|s| polygon[(from + s) % n]).collect();
        let pocket = tidy(&pocket);
        if pocket.len() > 2 {
            pockets.extend(convex_pieces(&pocket));
        }
    }
    pockets
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::{Chain, Point};

    #[test]
    fn the_pocket_of_an_l_is_the_corner_that_it_lacks() {
        let p = Point::new;
        let l = [
            p(0.0, 0.0),
            p(0.6, 0.0),
            p(0.6, 0.2),
            p(0.3, 0.2),
            p(0.3, 0.5),
            p(0.0, 0.5),
        ];
        let l = Outline::new(Chain::polygon(&l), vec![]);
        let clear = clear(&l, &[], (0.0, 0.0), 1e4);
        assert_eq!(clear.edges.len(), 5);
        // Between hull and L lies one triangle of 0.3 by 0.3 m.
        assert_eq!(clear.blocked.len(), 1);
        assert_eq!(clear.blocked[0].len(), 3);
        let want = [1e4, 1e4, 5.9e5, 4.9e5];
        assert!(
            clear
                .frame
                .iter()
                .zip(want)
                .all(|(a, b)| (a - b).abs() < 1e-3)
        );
    }
}
