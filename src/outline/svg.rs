//! Chains as SVG path data, in millimetres with y downwards as SVG has it.

use std::fmt::Write;

use super::{Chain, Point, Segment};

/// Class of the group in which a drawing of ours shows the blank from its show face; a reader takes only what is cut there.
pub(crate) const FRONT_CLASS: &str = "seen-from-the-show-face";

impl Chain {
    /// Path data of the closed chain in millimetres; y points down from `top_m`, x right from `left_m`. Arcs stay arcs.
    ///
    /// ```
    /// use mountwright::outline::{Chain, Point};
    /// let square = Chain::rounded_rectangle(Point::new(0.005, 0.005), 0.01, 0.01, 0.0);
    /// assert_eq!(square.svg_path(0.0, 0.01), "M0 10L10 10L10 0L0 0L0 10Z");
    /// ```
    pub fn svg_path(&self, left_m: f64, top_m: f64) -> String {
        let x = |p: Point| mm(p.x_m - left_m);
        let y = |p: Point| mm(top_m - p.y_m);
        let mut path = format!("M{} {}", x(self.start), y(self.start));
        for (start, segment) in self.pieces() {
            // Writing to a string cannot fail.
            let _ = match *segment {
                Segment::Line { end } => write!(path, "L{} {}", x(end), y(end)),
                Segment::Arc {
                    end,
                    centre,
                    sweep_rad,
                } => {
                    let r = start.distance_m(centre);
                    let from = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
                    let middle = centre.polar(from + sweep_rad / 2.0, r);
                    // In two halves: SVG cannot say an arc that ends where it starts. The flag is 1 for a turn to the right of y up.
                    let flag = u8::from(sweep_rad < 0.0);
                    let r = mm(r);
                    write!(
                        path,
                        "A{r} {r} 0 0 {flag} {} {}A{r} {r} 0 0 {flag} {} {}",
                        x(middle),
                        y(middle),
                        x(end),
                        y(end)
                    )
                }
            };
        }
        path.push('Z');
        path
    }
}

/// Millimetres with at most four places (0.1 µm), without trailing zeros.
pub(crate) fn mm(length_m: f64) -> String {
    let text = format!("{:.4}", length_m * 1e3);
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" {
        "0".into()
    } else {
        text.into()
    }
}
