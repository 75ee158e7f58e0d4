//! One line or arc by itself: nearest point, crossings with another, bounds.

use std::f64::consts::TAU;

use super::{Point, Segment};

/// A line or an arc with both of its ends.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Piece {
    Line {
        a: Point,
        b: Point,
    },
    Arc {
        centre: Point,
        radius: f64,
        /// Angle of its start.
        from: f64,
        sweep: f64,
        a: Point,
        b: Point,
    },
}

impl Piece {
    pub(crate) fn new(start: Point, segment: &Segment) -> Self {
        match *segment {
            Segment::Line { end } => Self::Line { a: start, b: end },
            Segment::Arc {
                end,
                centre,
                sweep_rad,
            } => Self::Arc {
                centre,
                radius: start.distance_m(centre),
                from: (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m),
                sweep: sweep_rad,
                a: start,
                b: end,
            },
        }
    }

    pub(crate) fn ends(&self) -> (Point, Point) {
        match *self {
            Self::Line { a, b } | Self::Arc { a, b, .. } => (a, b),
        }
    }

    pub(crate) fn length(&self) -> f64 {
        match *self {
            Self::Line { a, b } => a.distance_m(b),
            Self::Arc { radius, sweep, .. } => radius * sweep.abs(),
        }
    }

    /// The point at a share of its length.
    pub(crate) fn at(&self, share: f64) -> Point {
        match *self {
            Self::Line { a, b } => Point::new(
                a.x_m + share * (b.x_m - a.x_m),
                a.y_m + share * (b.y_m - a.y_m),
            ),
            Self::Arc {
                centre,
                radius,
                from,
                sweep,
                ..
            } => centre.polar(from + share * sweep, radius),
        }
    }

    /// Directions of travel at the start and at the end.
    pub(crate) fn directions(&self) -> ((f64, f64), (f64, f64)) {
        match *self {
            Self::Line { a, b } => {
                let d = (b.x_m - a.x_m, b.y_m - a.y_m);
                (d, d)
            }
            Self::Arc {
                centre,
                sweep,
                a,
                b,
                ..
            } => {
                let turned = |p: Point| {
                    let s = sweep.signum();
                    (-s * (p.y_m - centre.y_m), s * (p.x_m - centre.x_m))
                };
                (turned(a), turned(b))
            }
        }
    }

    /// (left, bottom, right, top); of an arc, those of its whole circle where it turns far, else grown by its height.
    pub(crate) fn bounds(&self) -> (f64, f64, f64, f64) {
        let (a, b) = self.ends();
        let grow = match *self {
            Self::Line { .. } => 0.0,
            Self::Arc { radius, sweep, .. } if sweep.abs() < 3.0 => {
                radius * (1.0 - (sweep / 2.0).cos())
            }
            Self::Arc { radius, .. } => 2.0 * radius,
        };
        (
            a.x_m.min(b.x_m) - grow,
            a.y_m.min(b.y_m) - grow,
            a.x_m.max(b.x_m) + grow,
            a.y_m.max(b.y_m) + grow,
        )
    }

    /// Whether an arc covers the direction from its centre to `p`, to within `slack` radians.
    fn covers(from: f64, sweep: f64, angle: f64, slack: f64) -> bool {
        let turned = if sweep >= 0.0 {
            angle - from
        } else {
            from - angle
        }
        .rem_euclid(TAU);
        turned <= sweep.abs() + slack || turned >= TAU - slack
    }

    /// The point of the piece that is nearest to `p`.
    pub(crate) fn nearest(&self, p: Point) -> Point {
        match *self {
            Self::Line { a, b } => {
                let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
                let l2 = dx * dx + dy * dy;
                if l2 <= 0.0 {
                    return a;
                }
                let s = (((p.x_m - a.x_m) * dx + (p.y_m - a.y_m) * dy) / l2).clamp(0.0, 1.0);
                Point::new(a.x_m + s * dx, a.y_m + s * dy)
            }
            Self::Arc {
                centre,
                radius,
                from,
                sweep,
                a,
                b,
            } => {
                let angle = (p.y_m - centre.y_m).atan2(p.x_m - centre.x_m);
                if Self::covers(from, sweep, angle, 0.0) {
                    centre.polar(angle, radius)
                } else if p.distance_m(a) <= p.distance_m(b) {
                    a
                } else {
                    b
                }
            }
        }
    }

    pub(crate) fn distance(&self, p: Point) -> f64 {
        self.nearest(p).distance_m(p)
    }

    /// Where two pieces cross; stretches in common are found by their ends, not here.
    pub(crate) fn crossings(&self, other: &Self) -> Vec<Point> {
        carrier_crossings(self, other)
            .into_iter()
            .filter(|&p| self.holds(p) && other.holds(p))
            .collect()
    }

    /// Whether a point of the carrier (line or circle) lies between the ends.
    fn holds(&self, p: Point) -> bool {
        match *self {
            Self::Line { a, b } => {
                let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
                let l2 = dx * dx + dy * dy;
                let s = (p.x_m - a.x_m) * dx + (p.y_m - a.y_m) * dy;
                s >= -1e-12 * l2 && s <= l2 * (1.0 + 1e-12)
            }
            Self::Arc {
                centre,
                from,
                sweep,
                ..
            } => {
                let angle = (p.y_m - centre.y_m).atan2(p.x_m - centre.x_m);
                Self::covers(from, sweep, angle, 1e-12)
            }
        }
    }

    /// Least distance to another piece, 0 where they cross.
    pub(crate) fn clearance(&self, other: &Self) -> f64 {
        if !self.crossings(other).is_empty() {
            return 0.0;
        }
        let (a, b) = self.ends();
        let (c, d) = other.ends();
        let mut least = [
            self.distance(c),
            self.distance(d),
            other.distance(a),
            other.distance(b),
        ]
        .into_iter()
        .fold(f64::INFINITY, f64::min);
        // Inside both pieces the shortest way is along a common normal, through the centre of every arc.
        for centre in [self.centre(), other.centre()].into_iter().flatten() {
            for (one, two) in [(self, other), (other, self)] {
                for p in one.through(centre) {
                    least = least.min(two.distance(p));
                }
            }
        }
        if let (Some(c), Some(d)) = (self.centre(), other.centre()) {
            let angle = (d.y_m - c.y_m).atan2(d.x_m - c.x_m);
            for (one, two, centre) in [(self, other, c), (other, self, d)] {
                for p in one.toward(centre, angle) {
                    least = least.min(two.distance(p));
                }
            }
        }
        least
    }

    fn centre(&self) -> Option<Point> {
        match *self {
            Self::Line { .. } => None,
            Self::Arc { centre, .. } => Some(centre),
        }
    }

    /// Points of the piece whose normal goes through `p`.
    fn through(&self, p: Point) -> Vec<Point> {
        match *self {
            Self::Line { .. } => vec![self.nearest(p)],
            Self::Arc { centre, .. } => {
                let angle = (p.y_m - centre.y_m).atan2(p.x_m - centre.x_m);
                self.toward(centre, angle)
            }
        }
    }

    /// Points of an arc at an angle from its centre and opposite.
    fn toward(&self, centre: Point, angle: f64) -> Vec<Point> {
        match *self {
            Self::Line { .. } => vec![],
            Self::Arc {
                radius,
                from,
                sweep,
                ..
            } => [angle, angle + std::f64::consts::PI]
                .into_iter()
                .filter(|&a| Self::covers(from, sweep, a, 0.0))
                .map(|a| centre.polar(a, radius))
                .collect(),
        }
    }
}

/// Crossings of the whole lines and circles that two pieces lie on.
pub(crate) fn carrier_crossings(one: &Piece, two: &Piece) -> Vec<Point> {
    match (one, two) {
        (&Piece::Line { a, b }, &Piece::Line { a: c, b: d }) => line_line(a, b, c, d),
        (&Piece::Line { a, b }, &Piece::Arc { centre, radius, .. })
        | (&Piece::Arc { centre, radius, .. }, &Piece::Line { a, b }) => {
            line_circle(a, b, centre, radius)
        }
        (
            &Piece::Arc { centre, radius, .. },
            &Piece::Arc {
                centre: c2,
                radius: r2,
                ..
            },
        ) => circle_circle(centre, radius, c2, r2),
    }
}

fn line_line(a: Point, b: Point, c: Point, d: Point) -> Vec<Point> {
    let (ux, uy) = (b.x_m - a.x_m, b.y_m - a.y_m);
    let (vx, vy) = (d.x_m - c.x_m, d.y_m - c.y_m);
    let cross = ux * vy - uy * vx;
    let lengths = ux.hypot(uy) * vx.hypot(vy);
    // Below this the lines are parallel to rounding.
    if cross.abs() <= 1e-14 * lengths || lengths <= 0.0 {
        return vec![];
    }
    let s = ((c.x_m - a.x_m) * vy - (c.y_m - a.y_m) * vx) / cross;
    vec![Point::new(a.x_m + s * ux, a.y_m + s * uy)]
}

fn line_circle(a: Point, b: Point, centre: Point, radius: f64) -> Vec<Point> {
    let l = a.distance_m(b);
    if l <= 0.0 {
        return vec![];
    }
    let (ux, uy) = ((b.x_m - a.x_m) / l, (b.y_m - a.y_m) / l);
    let along = (centre.x_m - a.x_m) * ux + (centre.y_m - a.y_m) * uy;
    let foot = Point::new(a.x_m + along * ux, a.y_m + along * uy);
    let off = foot.distance_m(centre);
    let half2 = radius * radius - off * off;
    if half2 < 0.0 {
        return vec![];
    }
    let half = half2.sqrt();
    vec![
        Point::new(foot.x_m - half * ux, foot.y_m - half * uy),
        Point::new(foot.x_m + half * ux, foot.y_m + half * uy),
    ]
}

fn circle_circle(c: Point, r: f64, d: Point, s: f64) -> Vec<Point> {
    let gap = c.distance_m(d);
    if gap <= 1e-12 * (r + s) || gap > r + s || gap < (r - s).abs() {
        return vec![];
    }
    let along = (gap * gap + r * r - s * s) / (2.0 * gap);
    let half = (r * r - along * along).max(0.0).sqrt();
    let (ux, uy) = ((d.x_m - c.x_m) / gap, (d.y_m - c.y_m) / gap);
    let (fx, fy) = (c.x_m + along * ux, c.y_m + along * uy);
    vec![
        Point::new(fx - half * uy, fy + half * ux),
        Point::new(fx + half * uy, fy - half * ux),
    ]
}
