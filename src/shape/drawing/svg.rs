//! The drawing as SVG at true size: `width` and `height` in millimetres, user units of a millimetre.

use std::fmt::Write;

use super::sheet::{Anchor, Drawing, Ink, Item, Shows};
use crate::outline::Point;
use crate::outline::svg::{FRONT_CLASS, mm};

const INKS: [Ink; 10] = [
    Ink::Zone,
    Ink::Cut,
    Ink::Drill,
    Ink::Later,
    Ink::Bend,
    Ink::Centre,
    Ink::Trim,
    Ink::Contour,
    Ink::Measure,
    Ink::Frame,
];

impl Ink {
    /// Name of the layer or class.
    pub fn name(self) -> &'static str {
        match self {
            Self::Cut => "cut",
            Self::Drill => "drill",
            Self::Later => "later",
            Self::Bend => "bend",
            Self::Centre => "centre",
            Self::Trim => "trim",
            Self::Zone => "zone",
            Self::Contour => "contour",
            Self::Measure => "measure",
            Self::Frame => "frame",
        }
    }

    /// Width of the line, grey (0 black, 1 white) and dashes (on, off, …) on paper. [m]
    pub fn pen(self) -> (f64, f64, &'static [f64]) {
        match self {
            Self::Cut | Self::Drill => (0.5e-3, 0.0, &[]),
            Self::Later => (0.25e-3, 0.0, &[1.2e-3, 0.8e-3]),
            Self::Bend => (0.3e-3, 0.0, &[4e-3, 1e-3, 0.6e-3, 1e-3]),
            Self::Centre => (0.15e-3, 0.25, &[6e-3, 1e-3, 1e-3, 1e-3]),
            Self::Trim => (0.35e-3, 0.0, &[2.4e-3, 1.2e-3]),
            Self::Zone => (0.1e-3, 0.75, &[]),
            Self::Contour => (0.2e-3, 0.2, &[0.6e-3, 0.6e-3]),
            Self::Measure => (0.13e-3, 0.35, &[]),
            Self::Frame => (0.2e-3, 0.1, &[]),
        }
    }
}

/// Grey of a filled heated zone.
pub(super) const ZONE_GREY: f64 = 0.91;

impl Drawing {
    /// The drawing as a complete SVG document. Text is escaped; nothing in it runs or is loaded from elsewhere.
    pub fn svg(&self) -> String {
        let (w, h) = (mm(self.width_m), mm(self.height_m));
        let mut out = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\" font-family=\"sans-serif\">\n<title>{}</title>\n<style>\n",
            escaped(&self.name)
        );
        // Writing to a string cannot fail.
        for ink in INKS {
            let (width, grey, dashes) = ink.pen();
            let fill = if ink == Ink::Zone {
                shade(ZONE_GREY)
            } else {
                "none".into()
            };
            let _ = write!(
                out,
                ".{}{{fill:{fill};stroke:{};stroke-width:{}",
                ink.name(),
                shade(grey),
                mm(width)
            );
            if !dashes.is_empty() {
                let dashes: Vec<String> = dashes.iter().map(|&d| mm(d)).collect();
                let _ = write!(out, ";stroke-dasharray:{}", dashes.join(" "));
            }
            out.push_str("}\n");
        }
        out.push_str("</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n");
        let mut taken = 0;
        for band in &self.bands {
            let shows = match band.shows {
                Shows::Front => FRONT_CLASS,
                Shows::Back => "seen-from-the-back",
                Shows::Words => "words",
            };
            let _ = writeln!(out, "<g class=\"{shows}\">");
            for item in self.items.get(taken..band.items).unwrap_or(&[]) {
                self.write_item(&mut out, item);
            }
            taken = band.items;
            out.push_str("</g>\n");
        }
        out.push_str("</svg>\n");
        out
    }

    fn write_item(&self, out: &mut String, item: &Item) {
        let top = self.height_m;
        let x = |p: Point| mm(p.x_m);
        let y = |p: Point| mm(top - p.y_m);
        let _ = match item {
            Item::Chain { chain, ink } => writeln!(
                out,
                "<path class=\"{}\" d=\"{}\"/>",
                ink.name(),
                chain.svg_path(0.0, top)
            ),
            Item::Line { from, to, ink } => writeln!(
                out,
                "<path class=\"{}\" d=\"M{} {}L{} {}\"/>",
                ink.name(),
                x(*from),
                y(*from),
                x(*to),
                y(*to)
            ),
            Item::Bar {
                at,
                width_m,
                height_m,
            } => writeln!(
                out,
                "<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
                x(*at),
                mm(top - at.y_m - height_m),
                mm(*width_m),
                mm(*height_m)
            ),
            Item::Text {
                at,
                size_m,
                anchor,
                upwards,
                bold,
                text,
            } => {
                let anchor = match anchor {
                    Anchor::Start => "",
                    Anchor::Middle => " text-anchor=\"middle\"",
                    Anchor::End => " text-anchor=\"end\"",
                };
                let turn = if *upwards {
                    format!(" transform=\"rotate(-90 {} {})\"", x(*at), y(*at))
                } else {
                    String::new()
                };
                let weight = if *bold { " font-weight=\"bold\"" } else { "" };
                writeln!(
                    out,
                    "<text x=\"{}\" y=\"{}\" font-size=\"{}\"{anchor}{weight}{turn}>{}</text>",
                    x(*at),
                    y(*at),
                    mm(*size_m),
                    escaped(text)
                )
            }
        };
    }
}

/// A grey as an SVG colour.
fn shade(grey: f64) -> String {
    // Within 0 to 255.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let level = (grey.clamp(0.0, 1.0) * 255.0).round() as u8;
    format!("#{level:02x}{level:02x}{level:02x}")
}

/// Text for XML; characters that XML 1.0 does not allow are dropped.
pub(super) fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\u{fffe}' | '\u{ffff}' => {}
            c if c.is_control() => {}
            c => out.push(c),
        }
    }
    out
}
