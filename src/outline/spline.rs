//! Rational B-splines of the plane, by de Boor's recursion.

use super::Point;
use super::fit::Place;

/// A B-spline with its knots, in homogeneous coordinates (x w, y w, w).
pub(super) struct Spline {
    degree: usize,
    knots: Vec<f64>,
    points: Vec<[f64; 3]>,
}

/// Highest degree that drawings use.
const HIGHEST: usize = 11;

impl Spline {
    /// `None` where the numbers do not make a spline.
    pub(super) fn new(
        degree: usize,
        knots: Vec<f64>,
        points: &[Point],
        weights: &[f64],
    ) -> Option<Self> {
        let n = points.len();
        let fits = (1..=HIGHEST).contains(&degree)
            && n > degree
            && knots.len() == n + degree + 1
            && (weights.is_empty() || weights.len() == n)
            && weights.iter().all(|&w| w > 1e-9 && w < 1e9)
            && knots.is_sorted();
        let points = points
            .iter()
            .enumerate()
            .map(|(i, p)| {
                let w = weights.get(i).copied().unwrap_or(1.0);
                [p.x_m * w, p.y_m * w, w]
            })
            .collect();
        let spline = Self {
            degree,
            knots,
            points,
        };
        (fits && spline.ends().1 > spline.ends().0).then_some(spline)
    }

    /// First and last parameter.
    pub(super) fn ends(&self) -> (f64, f64) {
        let knot = |i: usize| self.knots.get(i).copied().unwrap_or(0.0);
        (knot(self.degree), knot(self.points.len()))
    }

    /// Stretches between different knots.
    pub(super) fn spans(&self) -> Vec<(f64, f64)> {
        let (first, last) = self.ends();
        self.knots
            .windows(2)
            .filter_map(|k| match *k {
                [a, b] if b > a && a >= first && b <= last => Some((a, b)),
                _ => None,
            })
            .collect()
    }

    /// Place and derivative at a parameter.
    pub(super) fn at(&self, u: f64) -> Place {
        let p = self.degree;
        let n = self.points.len();
        // The knot span that holds u; the last span holds its end.
        let span = (p..n)
            .rev()
            .find(|&i| self.knots.get(i).is_some_and(|&k| k <= u))
            .unwrap_or(p);
        let span = (p..=span)
            .rev()
            .find(|&i| self.knots.get(i) < self.knots.get(i + 1))
            .unwrap_or(span);
        let knot = |i: usize| self.knots.get(i).copied().unwrap_or(0.0);
        let mut d: Vec<[f64; 3]> = (0..=p)
            .map(|j| {
                self.points
                    .get(span - p + j)
                    .copied()
                    .unwrap_or([0.0, 0.0, 1.0])
            })
            .collect();
        let mut slope = [0.0; 3];
        for r in 1..=p {
            if r == p {
                // The derivative from the last two points of the recursion.
                let wide = knot(span + 1) - knot(span);
                if let (Some(a), Some(b)) = (d.get(p - 1), d.get(p))
                    && wide > 0.0
                {
                    for (s, (x, y)) in slope.iter_mut().zip(a.iter().zip(b)) {
                        *s = (y - x) * p as f64 / wide;
                    }
                }
            }
            for j in (r..=p).rev() {
                let low = knot(span + j - p);
                let high = knot(span + j + 1 - r);
                let share = if high > low {
                    (u - low) / (high - low)
                } else {
                    0.0
                };
                let before = d.get(j - 1).copied().unwrap_or_default();
                if let Some(here) = d.get_mut(j) {
                    for (x, y) in here.iter_mut().zip(before) {
                        *x = y + share * (*x - y);
                    }
                }
            }
        }
        let [x, y, w] = d.get(p).copied().unwrap_or([0.0, 0.0, 1.0]);
        let place = Point::new(x / w, y / w);
        // Quotient rule for the rational curve.
        let direction = (
            (slope[0] - place.x_m * slope[2]) / w,
            (slope[1] - place.y_m * slope[2]) / w,
        );
        (place, direction)
    }
}
