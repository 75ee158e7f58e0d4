//! The one flattening of the library: arcs become chords when something is drawn or laid out.

use super::{Chain, Point, Segment};

/// The chord error that drawings and layouts use. [m]
pub const CHORD_M: f64 = 5e-5;

impl Chain {
    /// Corners of a polygon that follows the chain to within `chord_m`.
    ///
    /// With `outward` the polygon holds the chain (corners outside convex arcs), else it is held by it: outsides
    /// are flattened outward and holes inward, so that a layout of the polygons never overlaps in truth.
    pub fn flatten(&self, chord_m: f64, outward: bool) -> Vec<Point> {
        let turning = if self.area_m2() >= 0.0 { 1.0 } else { -1.0 };
        let mut points = vec![];
        for (start, segment) in self.pieces() {
            match *segment {
                Segment::Line { .. } => points.push(start),
                Segment::Arc {
                    centre,
                    sweep_rad,
                    end,
                } => {
                    let r = start.distance_m(centre);
                    if r <= 0.0 {
                        points.push(start);
                        continue;
                    }
                    // A convex arc bulges away from the inside of its chain.
                    let convex = sweep_rad * turning > 0.0;
                    let half = (1.0 - (chord_m / r).min(1.0)).acos().max(1e-4);
                    let n = (sweep_rad.abs() / (2.0 * half)).ceil().max(1.0);
                    let step = sweep_rad / n;
                    let from = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
                    points.push(start);
                    if convex == outward {
                        // Tangent polygon: corners at mid-steps, outside the arc.
                        let reach = r / (step / 2.0).cos().abs().max(0.1);
                        let mut i = 0.0;
                        while i < n {
                            points.push(centre.polar(from + (i + 0.5) * step, reach));
                            i += 1.0;
                        }
                    } else {
                        let mut i = 1.0;
                        while i < n {
                            points.push(centre.polar(from + i * step, r));
                            i += 1.0;
                        }
                    }
                    debug_assert!(
                        end.distance_m(centre.polar(from + sweep_rad, r)) < 1e-6 + r * 1e-6
                    );
                }
            }
        }
        points.dedup_by(|a, b| a.distance_m(*b) < 1e-9);
        points
    }
}
