//! The layout as a picture to hang above the saw: each sheet to scale, readable in grey print.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::ask::{Ask, Turns};
use super::layout::{Kind, Layout, Placed, Step, Used};
use crate::outline::{CHORD_M, Chain, Outline, Point, Segment};

/// Room around a sheet for its title and sizes. [mm]
const MARGIN_MM: f64 = 60.0;
/// Sizes of lettering. [mm on the sheet]
const TITLE_MM: f64 = 26.0;
/// Lettering smaller than this cannot be read at the usual scale of one page. [mm on the sheet]
const LEAST_LETTER_MM: f64 = 7.0;

/// One drawing for each sheet used, in order: SVG whose user unit is a millimetre on the sheet, so that it prints at any scale.
///
/// Parts carry their name and size and the number of the step that frees them; remnants to keep are hatched; what is cut off
/// and thrown away stays white. Where turning is not free an arrow shows the direction of the grain as drawn (upwards).
pub fn drawings(ask: &Ask, layout: &Layout) -> Vec<String> {
    let count = layout.sheets_used.len();
    layout
        .sheets_used
        .iter()
        .enumerate()
        .map(|(i, used)| drawing(ask, used, &format!("{} of {count}", i + 1)))
        .collect()
}

fn drawing(ask: &Ask, used: &Used, number: &str) -> String {
    let (w, h) = (used.width_m * 1e3, used.height_m * 1e3);
    let (full_w, full_h) = (w + 2.0 * MARGIN_MM, h + 2.0 * MARGIN_MM);
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {full_w:.1} {full_h:.1}\" \
         font-family=\"sans-serif\" stroke-linejoin=\"round\">\n\
         <title>{}</title>\n\
         <defs><pattern id=\"keep\" width=\"12\" height=\"12\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
         <line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"12\" stroke=\"#777\" stroke-width=\"2\"/></pattern></defs>\n",
        escape(&title(used, number)),
    );
    text(
        &mut svg,
        (MARGIN_MM, MARGIN_MM * 0.6),
        TITLE_MM,
        "start",
        &title(used, number),
    );
    let sizes = format!(
        "{w:.0} x {h:.0} mm, yield {:.0} %",
        used.yield_fraction * 100.0
    );
    text(
        &mut svg,
        (MARGIN_MM, full_h - MARGIN_MM * 0.35),
        TITLE_MM,
        "start",
        &sizes,
    );
    // The sheet's y runs upwards, the page's downwards.
    let page = Page { height_mm: h };
    stock(&mut svg, ask, used, &page);
    kept(&mut svg, used, &page);
    let freed = freed(used);
    let parts: BTreeMap<&str, &Outline> = ask
        .blanks
        .iter()
        .map(|p| (p.id.as_str(), &p.outline))
        .collect();
    for (placed, step) in used.placements.iter().zip(freed) {
        if let Some(outline) = parts.get(placed.part.as_str()) {
            part(&mut svg, outline, placed, step, &page);
        }
    }
    cuts(&mut svg, used, &page);
    if ask
        .blanks
        .iter()
        .any(|p| matches!(p.turns, Turns::None | Turns::Half))
    {
        grain(&mut svg, full_w - MARGIN_MM / 2.0, full_h / 2.0);
    }
    svg.push_str("</svg>\n");
    svg
}

fn title(used: &Used, number: &str) -> String {
    let kind = match used.kind {
        Kind::Offcut => "offcut",
        Kind::Sheet => "sheet",
    };
    format!("{} ({kind} {number})", used.stock)
}

/// From metres on the sheet to millimetres on the page.
struct Page {
    height_mm: f64,
}

impl Page {
    fn at(&self, p: Point) -> (f64, f64) {
        (
            MARGIN_MM + p.x_m * 1e3,
            MARGIN_MM + self.height_mm - p.y_m * 1e3,
        )
    }

    /// A closed path; arcs stay arcs.
    fn path(&self, chain: &Chain) -> String {
        let (x, y) = self.at(chain.start);
        let mut path = format!("M{x:.3} {y:.3}");
        for (start, segment) in chain.pieces() {
            match segment {
                Segment::Line { end } => {
                    let (x, y) = self.at(*end);
                    let _ = write!(path, "L{x:.3} {y:.3}");
                }
                Segment::Arc {
                    centre, sweep_rad, ..
                } => {
                    // Halves, because an arc of a full turn has no direction in SVG.
                    let r = start.distance_m(*centre);
                    let from = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
                    for share in [0.5, 1.0] {
                        let (x, y) = self.at(centre.polar(from + share * sweep_rad, r));
                        let sweep = u8::from(*sweep_rad < 0.0);
                        let _ = write!(path, "A{0:.3} {0:.3} 0 0 {sweep} {x:.3} {y:.3}", r * 1e3);
                    }
                }
            }
        }
        path.push('Z');
        path
    }

    fn outline(&self, outline: &Outline) -> String {
        std::iter::once(&outline.outside)
            .chain(&outline.holes)
            .map(|c| self.path(c))
            .collect()
    }
}

fn stock(svg: &mut String, ask: &Ask, used: &Used, page: &Page) {
    let offcut = ask
        .offcuts
        .iter()
        .find(|o| used.kind == Kind::Offcut && o.name == used.stock);
    let path = match offcut {
        Some(offcut) => page.outline(&offcut.outline),
        None => page.outline(&super::ask::rectangle(used.width_m, used.height_m)),
    };
    let _ = writeln!(
        svg,
        "<path d=\"{path}\" fill=\"white\" fill-rule=\"evenodd\" stroke=\"black\" stroke-width=\"3\"/>"
    );
}

fn kept(svg: &mut String, used: &Used, page: &Page) {
    for remnant in &used.kept {
        let a = &remnant.area;
        let (x, y) = page.at(Point::new(a.x_m, a.y_m + a.height_m));
        let (w, h) = (a.width_m * 1e3, a.height_m * 1e3);
        let _ = writeln!(
            svg,
            "<rect x=\"{x:.2}\" y=\"{y:.2}\" width=\"{w:.2}\" height=\"{h:.2}\" fill=\"url(#keep)\" stroke=\"#777\" stroke-width=\"1.5\"/>"
        );
        label(
            svg,
            (x + w / 2.0, y + h / 2.0),
            (w, h),
            &["keep".into(), format!("{w:.0} x {h:.0}")],
        );
    }
}

fn part(svg: &mut String, outline: &Outline, placed: &Placed, step: Option<usize>, page: &Page) {
    let outline = if placed.flipped {
        outline.mirrored()
    } else {
        outline.clone()
    }
    .placed(placed.placement);
    let path = page.outline(&outline);
    let _ = writeln!(
        svg,
        "<path d=\"{path}\" fill=\"#d9d9d9\" fill-rule=\"evenodd\" stroke=\"black\" stroke-width=\"2\"/>"
    );
    let b = &placed.bounds;
    let (w, h) = (b.width_m * 1e3, b.height_m * 1e3);
    let name = match step {
        Some(step) => format!("{step}: {} {}", placed.part, placed.copy),
        None => format!("{} {}", placed.part, placed.copy),
    };
    let flip = if placed.flipped { ", face down" } else { "" };
    let at = page.at(inside(&outline));
    label(svg, at, (w, h), &[name, format!("{w:.0} x {h:.0}{flip}")]);
}

/// A place for the name on the material: the middle of the bounds, or the corner deepest inside where that is a hole.
fn inside(outline: &Outline) -> Point {
    let (l, b, r, t) = outline.bounds_m();
    let middle = Point::new(f64::midpoint(l, r), f64::midpoint(b, t));
    if outline.holds(middle) {
        return middle;
    }
    let mut best = (0.0, middle);
    for x in 1..16 {
        for y in 1..16 {
            let p = Point::new(
                l + (r - l) * f64::from(x) / 16.0,
                b + (t - b) * f64::from(y) / 16.0,
            );
            let deep = outline.edge_distance_m(p);
            if deep > best.0 + CHORD_M && outline.holds(p) {
                best = (deep, p);
            }
        }
    }
    best.1
}

/// For each part the number of the step that frees it.
fn freed(used: &Used) -> Vec<Option<usize>> {
    used.placements
        .iter()
        .map(|placed| {
            let outside = |s: &Step| matches!(s, Step::Outside { part, copy } if *part == placed.part && *copy == placed.copy);
            used.steps.iter().position(outside).map(|i| i + 1)
        })
        .collect()
}

/// Saw cuts with their numbers.
fn cuts(svg: &mut String, used: &Used, page: &Page) {
    for (i, step) in used.steps.iter().enumerate() {
        let (Step::Trim { from_m, to_m } | Step::Through { from_m, to_m, .. }) = step else {
            continue;
        };
        let (a, b) = (
            page.at(Point::new(from_m.0, from_m.1)),
            page.at(Point::new(to_m.0, to_m.1)),
        );
        let _ = writeln!(
            svg,
            "<line x1=\"{:.2}\" y1=\"{:.2}\" x2=\"{:.2}\" y2=\"{:.2}\" stroke=\"black\" stroke-width=\"2\" stroke-dasharray=\"14 6\"/>",
            a.0, a.1, b.0, b.1
        );
        let along = 0.12;
        let at = (a.0 + along * (b.0 - a.0), a.1 + along * (b.1 - a.1));
        let _ = writeln!(
            svg,
            "<circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"11\" fill=\"white\" stroke=\"black\" stroke-width=\"1.5\"/>",
            at.0, at.1
        );
        text(
            svg,
            (at.0, at.1 + 4.5),
            13.0,
            "middle",
            &(i + 1).to_string(),
        );
    }
}

fn grain(svg: &mut String, x: f64, y: f64) {
    let _ = writeln!(
        svg,
        "<path d=\"M{x:.1} {:.1}V{:.1}M{:.1} {:.1}L{x:.1} {:.1}L{:.1} {:.1}\" fill=\"none\" stroke=\"black\" stroke-width=\"4\"/>",
        y + 60.0,
        y - 60.0,
        x - 12.0,
        y - 40.0,
        y - 60.0,
        x + 12.0,
        y - 40.0
    );
    text(svg, (x, y + 85.0), 18.0, "middle", "grain");
}

/// Lines of text about a place, as large as fits in `size`, upright where that is larger; nothing where it could not be read.
fn label(svg: &mut String, (x, y): (f64, f64), (w, h): (f64, f64), lines: &[String]) {
    let longest = lines.iter().map(|l| l.chars().count()).max().unwrap_or(1) as f64;
    // A letter is about 0.6 of its size wide, a line 1.25 of it high.
    let size = |w: f64, h: f64| {
        (0.85 * w / (0.6 * longest))
            .min(0.85 * h / (1.25 * lines.len() as f64))
            .min(22.0)
    };
    let (flat, upright) = (size(w, h), size(h, w));
    let letter = flat.max(upright);
    if letter < LEAST_LETTER_MM {
        return;
    }
    let turn = if upright > flat * 1.2 {
        format!(" transform=\"rotate(-90 {x:.2} {y:.2})\"")
    } else {
        String::new()
    };
    let letter = if turn.is_empty() {
        flat.max(LEAST_LETTER_MM)
    } else {
        upright
    };
    let _ = write!(svg, "<g{turn}>");
    let first = y - letter * 1.25 * (lines.len() as f64 - 1.0) / 2.0 + letter * 0.35;
    for (i, line) in lines.iter().enumerate() {
        text(
            svg,
            (x, first + letter * 1.25 * i as f64),
            letter,
            "middle",
            line,
        );
    }
    svg.push_str("</g>\n");
}

fn text(svg: &mut String, (x, y): (f64, f64), size: f64, anchor: &str, content: &str) {
    let _ = writeln!(
        svg,
        "<text x=\"{x:.2}\" y=\"{y:.2}\" font-size=\"{size:.1}\" text-anchor=\"{anchor}\">{}</text>",
        escape(content)
    );
}

/// Text that may stand in XML: the five marks replaced, and characters that XML does not allow left out.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c < ' ' || c == '\u{fffe}' || c == '\u{ffff}' => {}
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::error::Unwatched;
    use crate::outline::Circle;
    use crate::stock::{Method, Part, SheetKind, lay_out};

    #[test]
    fn names_are_escaped_and_arcs_stay_arcs() {
        let circle = |radius_m| {
            Chain::circle(Circle {
                centre: Point::new(0.0, 0.0),
                radius_m,
            })
        };
        let ring = Outline::new(circle(0.09), vec![circle(0.07)]);
        let parts = vec![
            Part::shape("ring <left> & \"right\"\u{1}", ring, 2, Turns::Any),
            Part::rectangle("strap", 0.4, 0.06, 1, Turns::None),
        ];
        let ask = Ask::new(
            parts,
            vec![SheetKind::new("sheet & board", 0.6, 0.6, 12.0)],
            Method::HandRouter,
        );
        let layout = lay_out(&ask, &Unwatched).unwrap();
        let drawings = drawings(&ask, &layout);
        assert_eq!(drawings.len(), layout.sheets_used.len());
        let svg = &drawings[0];
        assert!(
            svg.contains("ring &lt;left&gt; &amp; &quot;right&quot; 1")
                && svg.contains("sheet &amp; board")
        );
        assert!(
            !svg.contains('\u{1}')
                && svg.contains("A90.000 90.000")
                && svg.contains("A70.000 70.000")
        );
        assert!(svg.contains("grain") && svg.contains("url(#keep)"));
        // Every element that is opened is closed.
        let count = |mark: &str| svg.matches(mark).count();
        assert_eq!(count("<text"), count("</text>"));
        assert_eq!(count("<g"), count("</g>"));
    }
}
