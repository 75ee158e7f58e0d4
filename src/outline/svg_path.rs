//! Paths and arcs of SVG in user units, drawn in metres.

use std::f64::consts::{PI, TAU};

use svgtypes::{PathParser, PathSegment};

use super::dxf_read::close;
use super::fit::{Place, arcs};
use super::svg_read::refused;
use super::trace::{MOST_SEGMENTS, Sketch};
use super::{Point, Segment};
use crate::error::{Range, Result, check};

/// x' = a x + c y + e, y' = b x + d y + f.
#[derive(Debug, Clone, Copy)]
pub(super) struct Matrix(
    pub(super) f64,
    pub(super) f64,
    pub(super) f64,
    pub(super) f64,
    pub(super) f64,
    pub(super) f64,
);

impl Matrix {
    pub(super) fn then_inner(&self, inner: &Self) -> Self {
        let Self(a, b, c, d, e, f) = *self;
        let Self(g, h, i, j, k, l) = *inner;
        Self(
            a * g + c * h,
            b * g + d * h,
            a * i + c * j,
            b * i + d * j,
            a * k + c * l + e,
            b * k + d * l + f,
        )
    }

    pub(super) fn point(&self, x: f64, y: f64) -> Point {
        Point::new(
            self.0 * x + self.2 * y + self.4,
            self.1 * x + self.3 * y + self.5,
        )
    }

    fn vector(&self, x: f64, y: f64) -> (f64, f64) {
        (self.0 * x + self.2 * y, self.1 * x + self.3 * y)
    }

    /// The scale, where circles stay circles.
    fn similar(&self) -> bool {
        let (l1, l2) = (self.0.hypot(self.1), self.2.hypot(self.3));
        let slant = self.0 * self.2 + self.1 * self.3;
        (l1 - l2).abs() <= 1e-9 * l1.max(l2) && slant.abs() <= 1e-9 * l1 * l2
    }

    /// 1, or −1 where it mirrors.
    fn sense(&self) -> f64 {
        (self.0 * self.3 - self.1 * self.2).signum()
    }
}

pub(super) fn oval(
    centre: (f64, f64),
    radii: (f64, f64),
    matrix: &Matrix,
    sketch: &mut Sketch,
) -> Result<()> {
    if !(radii.0 > 0.0 && radii.1 > 0.0) {
        sketch.ignore("circle without a radius");
        return Ok(());
    }
    let arc = Arc {
        centre,
        radii,
        tilt: 0.0,
    };
    let start = matrix.point(centre.0 + radii.0, centre.1);
    let mut segments = arc.segments(0.0, PI, matrix);
    segments.extend(arc.segments(PI, PI, matrix));
    close(&mut segments, start);
    sketch.run(start, segments)
}

/// An elliptical arc in user units.
struct Arc {
    centre: (f64, f64),
    radii: (f64, f64),
    tilt: f64,
}

impl Arc {
    fn segments(&self, from: f64, sweep: f64, matrix: &Matrix) -> Vec<Segment> {
        let (st, ct) = self.tilt.sin_cos();
        let (cx, cy) = self.centre;
        let (rx, ry) = self.radii;
        let curve = |u: f64| -> Place {
            let (s, c) = u.sin_cos();
            let (x, y) = (rx * c, ry * s);
            let (dx, dy) = (-rx * s, ry * c);
            (
                matrix.point(cx + ct * x - st * y, cy + st * x + ct * y),
                matrix.vector(
                    sweep.signum() * (ct * dx - st * dy),
                    sweep.signum() * (st * dx + ct * dy),
                ),
            )
        };
        if (rx - ry).abs() <= 1e-9 * rx && matrix.similar() {
            let centre = matrix.point(cx, cy);
            // In halves, so that no piece is a full circle.
            return [0.5, 1.0]
                .into_iter()
                .map(|share| Segment::Arc {
                    end: curve(from + share * sweep).0,
                    centre,
                    sweep_rad: sweep / 2.0 * matrix.sense(),
                })
                .collect();
        }
        // The parameter may run backwards: the fit follows the direction from u to v itself.
        let forwards = |w: f64| curve(from + w * sweep);
        arcs(&forwards, 0.0, 1.0)
    }
}

/// Draws one run of a path in metres.
pub(super) struct Pen<'a> {
    matrix: &'a Matrix,
    pub(super) start: Point,
    pub(super) at: Point,
    segments: Vec<Segment>,
}

impl<'a> Pen<'a> {
    pub(super) fn new(matrix: &'a Matrix) -> Self {
        let origin = matrix.point(0.0, 0.0);
        Self {
            matrix,
            start: origin,
            at: origin,
            segments: vec![],
        }
    }

    pub(super) fn line(&mut self, to: Point) {
        if self.at.distance_m(to) > 1e-9 {
            self.segments.push(Segment::Line { end: to });
            self.at = to;
        }
    }

    fn curve(&mut self, c: [(f64, f64); 4]) {
        let [p0, p1, p2, p3] = c.map(|(x, y)| self.matrix.point(x, y));
        let curve = |u: f64| -> Place {
            let v = 1.0 - u;
            let mix = |f: fn(Point) -> f64| {
                let (a, b, c, d) = (f(p0), f(p1), f(p2), f(p3));
                (
                    v * v * v * a + 3.0 * v * v * u * b + 3.0 * v * u * u * c + u * u * u * d,
                    3.0 * (v * v * (b - a) + 2.0 * v * u * (c - b) + u * u * (d - c)),
                )
            };
            let (x, y) = (mix(|p| p.x_m), mix(|p| p.y_m));
            (Point::new(x.0, y.0), (x.1, y.1))
        };
        self.segments.extend(arcs(&curve, 0.0, 1.0));
        self.at = p3;
    }

    /// Hands the run on and starts anew.
    pub(super) fn finish(&mut self, sketch: &mut Sketch) -> Result<()> {
        let mut segments = std::mem::take(&mut self.segments);
        close(&mut segments, self.start);
        if segments.is_empty() {
            return Ok(());
        }
        sketch.run(self.start, segments)
    }
}

/// The runs of a path, each handed to the sketch.
pub(super) fn path(data: &str, matrix: &Matrix, sketch: &mut Sketch) -> Result<()> {
    let mut walk = Walk {
        pen: Pen::new(matrix),
        at: (0.0, 0.0),
        first: (0.0, 0.0),
        control: None,
    };
    for segment in PathParser::from(data) {
        let segment =
            segment.map_err(|e| refused(&format!("a path that ends in nonsense: {e}")))?;
        walk.take(segment, sketch)?;
        check(
            "a coordinate of the SVG file",
            walk.at.0.abs().max(walk.at.1.abs()),
            Range::new(0.0, 1e9, "px"),
            "set the size of the drawing to that of the part",
        )?;
        check(
            "pieces of one SVG path",
            walk.pen.segments.len() as f64,
            Range::new(0.0, MOST_SEGMENTS as f64, "1"),
            "keep only the contours of the parts in the file",
        )?;
    }
    walk.pen.finish(sketch)
}

/// Where a path is, in user units.
struct Walk<'a> {
    pen: Pen<'a>,
    at: (f64, f64),
    /// Start of the run.
    first: (f64, f64),
    /// Last control point, and whether it was a cubic's.
    control: Option<((f64, f64), bool)>,
}

impl Walk<'_> {
    fn to(&self, abs: bool, x: f64, y: f64) -> (f64, f64) {
        if abs {
            (x, y)
        } else {
            (self.at.0 + x, self.at.1 + y)
        }
    }

    /// The mirror image of the last control point, for smooth curves.
    fn mirrored(&self, cubic: bool) -> (f64, f64) {
        match self.control {
            Some((c, kind)) if kind == cubic => (2.0 * self.at.0 - c.0, 2.0 * self.at.1 - c.1),
            _ => self.at,
        }
    }

    fn cubic(&mut self, a: (f64, f64), b: (f64, f64), end: (f64, f64)) {
        self.pen.curve([self.at, a, b, end]);
        self.at = end;
        self.control = Some((b, true));
    }

    fn quadratic(&mut self, c: (f64, f64), end: (f64, f64)) {
        let two_thirds =
            |p: (f64, f64)| (p.0 + 2.0 / 3.0 * (c.0 - p.0), p.1 + 2.0 / 3.0 * (c.1 - p.1));
        let at = self.at;
        self.pen.curve([at, two_thirds(at), two_thirds(end), end]);
        self.at = end;
        self.control = Some((c, false));
    }

    fn line(&mut self, end: (f64, f64)) {
        let to = self.pen.matrix.point(end.0, end.1);
        self.pen.line(to);
        self.at = end;
        self.control = None;
    }

    fn take(&mut self, segment: PathSegment, sketch: &mut Sketch) -> Result<()> {
        use PathSegment as S;
        match segment {
            S::MoveTo { abs, x, y } => {
                self.pen.finish(sketch)?;
                self.first = self.to(abs, x, y);
                self.at = self.first;
                self.pen.start = self.pen.matrix.point(self.at.0, self.at.1);
                self.pen.at = self.pen.start;
                self.control = None;
            }
            S::LineTo { abs, x, y } => self.line(self.to(abs, x, y)),
            S::HorizontalLineTo { abs, x } => self.line((self.to(abs, x, 0.0).0, self.at.1)),
            S::VerticalLineTo { abs, y } => self.line((self.at.0, self.to(abs, 0.0, y).1)),
            S::CurveTo {
                abs,
                x1,
                y1,
                x2,
                y2,
                x,
                y,
            } => self.cubic(
                self.to(abs, x1, y1),
                self.to(abs, x2, y2),
                self.to(abs, x, y),
            ),
            S::SmoothCurveTo { abs, x2, y2, x, y } => {
                self.cubic(
                    self.mirrored(true),
                    self.to(abs, x2, y2),
                    self.to(abs, x, y),
                );
            }
            S::Quadratic { abs, x1, y1, x, y } => {
                self.quadratic(self.to(abs, x1, y1), self.to(abs, x, y));
            }
            S::SmoothQuadratic { abs, x, y } => {
                self.quadratic(self.mirrored(false), self.to(abs, x, y));
            }
            S::EllipticalArc {
                abs,
                rx,
                ry,
                x_axis_rotation,
                large_arc,
                sweep,
                x,
                y,
            } => {
                let end = self.to(abs, x, y);
                let tilt = x_axis_rotation.to_radians();
                if let Some((arc, from, turn)) =
                    arc_between(self.at, end, (rx, ry), tilt, large_arc, sweep)
                {
                    let pen = &mut self.pen;
                    pen.segments.extend(arc.segments(from, turn, pen.matrix));
                    // The arc ends where the path says, to the last bit.
                    pen.at = pen.matrix.point(end.0, end.1);
                    close(&mut pen.segments, pen.at);
                }
                self.line(end);
            }
            S::ClosePath { .. } => {
                self.pen.line(self.pen.start);
                self.pen.finish(sketch)?;
                self.pen.at = self.pen.start;
                self.at = self.first;
                self.control = None;
            }
        }
        Ok(())
    }
}

/// The arc of the standard between two points (SVG 1.1, appendix F.6.5): itself, the angle where it starts, its turn.
fn arc_between(
    p: (f64, f64),
    q: (f64, f64),
    radii: (f64, f64),
    tilt: f64,
    large: bool,
    positive: bool,
) -> Option<(Arc, f64, f64)> {
    let (mut rx, mut ry) = (radii.0.abs(), radii.1.abs());
    let (s, c) = tilt.sin_cos();
    let (dx, dy) = ((p.0 - q.0) / 2.0, (p.1 - q.1) / 2.0);
    let (x, y) = (c * dx + s * dy, c * dy - s * dx);
    if !(rx > 0.0 && ry > 0.0 && x.hypot(y) > 0.0) {
        return None;
    }
    let reach = (x / rx).hypot(y / ry);
    if reach > 1.0 {
        rx *= reach;
        ry *= reach;
    }
    let square = (x / rx).powi(2) + (y / ry).powi(2);
    let k = ((1.0 - square).max(0.0) / square).sqrt() * if large == positive { -1.0 } else { 1.0 };
    let (ux, uy) = (k * rx * y / ry, -k * ry * x / rx);
    let centre = (
        c * ux - s * uy + f64::midpoint(p.0, q.0),
        s * ux + c * uy + f64::midpoint(p.1, q.1),
    );
    let from = ((y - uy) / ry).atan2((x - ux) / rx);
    let to = ((-y - uy) / ry).atan2((-x - ux) / rx);
    let turn = (to - from).rem_euclid(TAU);
    let turn = if positive { turn } else { turn - TAU };
    let arc = Arc {
        centre,
        radii: (rx, ry),
        tilt,
    };
    (turn.abs() > 1e-12).then_some((arc, from, turn))
}
