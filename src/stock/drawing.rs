//! The layout as a picture to hang above the saw: each sheet to scale, readable in grey print.

use std::collections::BTreeMap;
use std::fmt::Write;

use super::ask::{Ask, Turns};
use super::layout::{Kind, Layout, Placed, Step, Used};
use super::method::Hold;
use crate::outline::{CHORD_M, Chain, Outline, Point, Segment};

/// Sizes as shares of the longer side of the sheet, so that every sheet reads alike on one page: room around it, title,
/// the largest lettering on parts, and the least that can be read on A4.
const MARGIN: f64 = 0.035;
const TITLE: f64 = 0.014;
const LETTER: f64 = 0.013;
const LEAST_LETTER: f64 = 0.0055;
/// Width of the lines of parts, of the sheet, and of cuts.
const LINE: f64 = 0.001;

/// One drawing for each sheet used, in order: SVG whose user unit is a millimetre on the sheet, so that it prints at any scale;
/// lettering and lines are sized by the sheet, so that a small offcut reads like a whole sheet.
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
    let page = Page::new(ask, used);
    let (full_w, full_h) = (
        page.width + 2.0 * page.margin,
        page.height + 3.0 * page.margin,
    );
    let step = page.unit * 0.005;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {full_w:.1} {full_h:.1}\" \
         font-family=\"sans-serif\" stroke-linejoin=\"round\">\n\
         <title>{}</title>\n\
         <defs><pattern id=\"keep\" width=\"{step:.2}\" height=\"{step:.2}\" patternUnits=\"userSpaceOnUse\" patternTransform=\"rotate(45)\">\
         <line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"{step:.2}\" stroke=\"#777\" stroke-width=\"{:.2}\"/></pattern></defs>\n",
        escape(&title(used, number)),
        step / 6.0,
    );
    let letter = TITLE * page.unit;
    let line = |svg: &mut String, y: f64, content: &str| {
        // No wider than the page.
        let most = (full_w - 2.0 * page.margin) / (0.6 * content.chars().count().max(1) as f64);
        text(svg, (page.margin, y), letter.min(most), "start", content);
    };
    line(&mut svg, page.margin * 0.7, &title(used, number));
    let below = page.margin + page.height;
    let sizes = format!(
        "{:.0} x {:.0} mm, yield {:.0} %",
        page.width,
        page.height,
        used.yield_fraction * 100.0
    );
    line(&mut svg, below + page.margin * 0.7, &sizes);
    line(&mut svg, below + page.margin * 1.4, &holding(used));
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
        grain(&mut svg, &page);
    }
    svg.push_str("</svg>\n");
    svg
}

/// How many parts are held in which way.
fn holding(used: &Used) -> String {
    let words = |hold| match hold {
        Hold::Clamps => "clamped",
        Hold::Tape => "taped down",
        Hold::Table => "held by the table",
        Hold::Tabs => "left on tabs",
        Hold::Fence => "along the fence",
        Hold::PushStick => "with a push stick or sled",
    };
    let mut counts: BTreeMap<Hold, usize> = BTreeMap::new();
    for placed in &used.placements {
        *counts.entry(placed.hold).or_default() += 1;
    }
    let list: Vec<String> = counts
        .iter()
        .map(|(&hold, n)| format!("{n} {}", words(hold)))
        .collect();
    format!("hold: {}", list.join(", "))
}

fn title(used: &Used, number: &str) -> String {
    let kind = match used.kind {
        Kind::Offcut => "offcut",
        Kind::Sheet => "sheet",
    };
    format!("{} ({kind} {number})", used.stock)
}

/// From metres on the sheet to millimetres on the page; the sheet's y runs upwards, the page's downwards.
struct Page {
    width: f64,
    height: f64,
    /// The longer side, by which lettering and lines are sized.
    unit: f64,
    margin: f64,
    /// Where the sheet begins: an offcut's outline need not begin at its origin.
    origin: Point,
}

impl Page {
    fn new(ask: &Ask, used: &Used) -> Self {
        let offcut = used.offcut(ask).map(|o| o.outline.bounds_m());
        let (width, height) = (used.width_m * 1e3, used.height_m * 1e3);
        let unit = width.max(height);
        Self {
            width,
            height,
            unit,
            margin: MARGIN * unit,
            origin: offcut.map_or(Point::new(0.0, 0.0), |b| Point::new(b.0, b.1)),
        }
    }

    fn line(&self, times: f64) -> f64 {
        times * LINE * self.unit
    }

    fn at(&self, p: Point) -> (f64, f64) {
        (
            self.margin + (p.x_m - self.origin.x_m) * 1e3,
            self.margin + self.height - (p.y_m - self.origin.y_m) * 1e3,
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
    let offcut = used.offcut(ask);
    let path = match offcut {
        Some(offcut) => page.outline(&offcut.outline),
        None => page.outline(&super::ask::rectangle(used.width_m, used.height_m)),
    };
    let _ = writeln!(
        svg,
        "<path d=\"{path}\" fill=\"white\" fill-rule=\"evenodd\" stroke=\"black\" stroke-width=\"{:.2}\"/>",
        page.line(1.5)
    );
    for area in used.bad_areas(ask) {
        let (x, y) = page.at(Point::new(area.x_m, area.y_m + area.height_m));
        let (w, h) = (area.width_m * 1e3, area.height_m * 1e3);
        let _ = writeln!(
            svg,
            "<path d=\"M{x:.2} {y:.2}h{w:.2}v{h:.2}h-{w:.2}ZM{x:.2} {y:.2}l{w:.2} {h:.2}m0-{h:.2}l-{w:.2} {h:.2}\" fill=\"none\" stroke=\"black\" stroke-width=\"{:.2}\"/>",
            page.line(0.5)
        );
    }
}

fn kept(svg: &mut String, used: &Used, page: &Page) {
    for remnant in &used.kept {
        let a = &remnant.area;
        let (x, y) = page.at(Point::new(a.x_m, a.y_m + a.height_m));
        let (w, h) = (a.width_m * 1e3, a.height_m * 1e3);
        let _ = writeln!(
            svg,
            "<path d=\"{}\" fill=\"url(#keep)\" stroke=\"#777\" stroke-width=\"{:.2}\"/>",
            page.outline(&remnant.outline()),
            page.line(0.8)
        );
        label(
            svg,
            page,
            (x + w / 2.0, y + h / 2.0),
            (w, h),
            &["keep".into(), remnant.label()],
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
        "<path d=\"{path}\" fill=\"#d9d9d9\" fill-rule=\"evenodd\" stroke=\"black\" stroke-width=\"{:.2}\"/>",
        page.line(1.0)
    );
    let b = &placed.bounds;
    let (w, h) = (b.width_m * 1e3, b.height_m * 1e3);
    let name = match step {
        Some(step) => format!("{step}: {} {}", placed.part, placed.copy),
        None => format!("{} {}", placed.part, placed.copy),
    };
    let flip = if placed.flipped { ", face down" } else { "" };
    let at = page.at(inside(&outline));
    label(
        svg,
        page,
        at,
        (w, h),
        &[name, format!("{w:.0} x {h:.0}{flip}")],
    );
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
        let dash = page.line(7.0);
        let _ = writeln!(
            svg,
            "<line x1=\"{:.2}\" y1=\"{:.2}\" x2=\"{:.2}\" y2=\"{:.2}\" stroke=\"black\" stroke-width=\"{:.2}\" stroke-dasharray=\"{dash:.2} {:.2}\"/>",
            a.0,
            a.1,
            b.0,
            b.1,
            page.line(1.0),
            dash / 2.0
        );
        let along = 0.12;
        let at = (a.0 + along * (b.0 - a.0), a.1 + along * (b.1 - a.1));
        let letter = 0.007 * page.unit;
        let _ = writeln!(
            svg,
            "<circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"{:.2}\" fill=\"white\" stroke=\"black\" stroke-width=\"{:.2}\"/>",
            at.0,
            at.1,
            0.85 * letter,
            page.line(0.7)
        );
        let number = (i + 1).to_string();
        text(svg, (at.0, at.1 + 0.35 * letter), letter, "middle", &number);
    }
}

fn grain(svg: &mut String, page: &Page) {
    let (x, y) = (
        page.width + 1.5 * page.margin,
        page.margin + page.height / 2.0,
    );
    let (long, wide) = (0.7 * page.margin, 0.2 * page.margin);
    let _ = writeln!(
        svg,
        "<path d=\"M{x:.2} {:.2}V{:.2}M{:.2} {:.2}L{x:.2} {:.2}L{:.2} {:.2}\" fill=\"none\" stroke=\"black\" stroke-width=\"{:.2}\"/>",
        y + long,
        y - long,
        x - wide,
        y - 0.6 * long,
        y - long,
        x + wide,
        y - 0.6 * long,
        page.line(2.0)
    );
    let letter = 0.25 * page.margin;
    text(svg, (x, y + long + 1.2 * letter), letter, "middle", "grain");
}

/// Lines of text about a place, as large as fits in `size`, upright where that is larger; nothing where it could not be read.
fn label(svg: &mut String, page: &Page, (x, y): (f64, f64), (w, h): (f64, f64), lines: &[String]) {
    let least = LEAST_LETTER * page.unit;
    let longest = lines.iter().map(|l| l.chars().count()).max().unwrap_or(1) as f64;
    // A letter is about 0.6 of its size wide, a line 1.25 of it high.
    let size = |w: f64, h: f64| {
        (0.85 * w / (0.6 * longest))
            .min(0.85 * h / (1.25 * lines.len() as f64))
            .min(LETTER * page.unit)
    };
    let (flat, upright) = (size(w, h), size(h, w));
    let letter = flat.max(upright);
    if letter < least {
        return;
    }
    let turn = if upright > flat * 1.2 {
        format!(" transform=\"rotate(-90 {x:.2} {y:.2})\"")
    } else {
        String::new()
    };
    let letter = if turn.is_empty() {
        flat.max(least)
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
