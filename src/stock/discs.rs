//! Discs worth keeping from the cutouts of rings that stay empty.

use super::layout::{Area, Remnant};
use crate::outline::{Chain, Outline, Point, as_circle};

/// Steps each way in which the middle of a cutout is looked for, and times that the steps are made finer.
const STEPS: (u32, u32) = (12, 4);

/// The largest disc in the hole of a placed part, less the cut around it; `None` where it is not worth its place.
pub(super) fn disc(hole: &Chain, kerf_m: f64, least_m: f64, value_per_m2: f64) -> Option<Remnant> {
    let (centre, inner_m) = middle(hole);
    // A hair less, so that rounding never makes it larger than the hole.
    let radius_m = (inner_m - kerf_m) * (1.0 - 1e-9);
    let diameter_m = 2.0 * radius_m;
    (diameter_m >= least_m).then_some(Remnant {
        area: Area {
            x_m: centre.x_m - radius_m,
            y_m: centre.y_m - radius_m,
            width_m: diameter_m,
            height_m: diameter_m,
        },
        diameter_m: Some(diameter_m),
        value: std::f64::consts::PI * radius_m * radius_m * value_per_m2,
    })
}

/// The point of a hole that lies deepest in it, and how deep.
fn middle(hole: &Chain) -> (Point, f64) {
    if let Some((centre, radius_m)) = as_circle(hole) {
        return (centre, radius_m);
    }
    let inside = Outline::new(hole.clone(), vec![]);
    let (mut l, mut b, mut r, mut t) = hole.bounds_m();
    let mut best = (Point::new(l, b), 0.0);
    for _ in 0..STEPS.1 {
        let (w, h) = ((r - l) / f64::from(STEPS.0), (t - b) / f64::from(STEPS.0));
        for i in 0..=STEPS.0 {
            for j in 0..=STEPS.0 {
                let p = Point::new(l + f64::from(i) * w, b + f64::from(j) * h);
                let deep = inside.edge_distance_m(p);
                if deep > best.1 && inside.holds(p) {
                    best = (p, deep);
                }
            }
        }
        (l, r) = (best.0.x_m - w, best.0.x_m + w);
        (b, t) = (best.0.y_m - h, best.0.y_m + h);
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outline::Circle;

    #[test]
    fn a_cutout_keeps_its_disc_less_the_kerf() {
        let centre = Point::new(0.3, 0.2);
        let round = Chain::circle(Circle {
            centre,
            radius_m: 0.08,
        });
        let kept = disc(&round, 0.006, 0.1, 50.0).unwrap();
        let diameter_m = kept.diameter_m.unwrap();
        assert!((diameter_m - 0.148).abs() < 1e-9);
        assert!(disc(&round, 0.006, 0.15, 50.0).is_none());
        // A square of side 2 holds the circle of radius 1; the grid is finer than a thousandth of it.
        let p = Point::new;
        let square = Chain::polygon(&[p(0.0, 0.0), p(0.2, 0.0), p(0.2, 0.2), p(0.0, 0.2)]);
        assert!((middle(&square).1 - 0.1).abs() < 1e-4);
    }
}
