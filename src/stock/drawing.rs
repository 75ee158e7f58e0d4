//! The layout as a picture to hang above the saw: each sheet to scale, readable in grey print.

mod detail;
mod label;

use std::collections::BTreeMap;
use std::fmt::Write;

use super::ask::{Ask, Turns};
use super::layout::{Kind, Layout, Placed, Remnant, Step, Used};
use super::method::Hold;
use super::shapes::is_rectangle;
use crate::outline::{Chain, Outline, Point, Segment};
use crate::quantity::{Dimension, System, show};
use detail::Detail;
use label::{escape, text};

/// Sizes as shares of the longer side of the sheet, so that every sheet reads alike on one page: room around it, and title.
const MARGIN: f64 = 0.05;
const TITLE: f64 = 0.024;
/// Width of the lines of parts, of the sheet, and of cuts.
const LINE: f64 = 0.001;

/// One drawing for each sheet used, in order: SVG whose user unit is a millimetre on the sheet, so that it prints at any scale;
/// lettering and lines are sized by the sheet, so that a small offcut reads like a whole sheet.
///
/// Parts carry their name and size and the number of the step that frees them; remnants to keep are hatched; what is cut off
/// and thrown away stays white. A part that is too small for its name bears the number alone and stands in a list below; where even
/// the number is too large, that corner of the sheet is shown enlarged. Where turning is not free an arrow shows the direction of the grain as drawn (upwards).
/// Sizes are written in `units`: whole millimetres, or inches with two digits.
pub fn drawings(ask: &Ask, layout: &Layout, units: System) -> Vec<String> {
    let count = layout.sheets_used.len();
    layout
        .sheets_used
        .iter()
        .enumerate()
        .map(|(i, used)| drawing(ask, used, &format!("{} of {count}", i + 1), units))
        .collect()
}

fn drawing(ask: &Ask, used: &Used, number: &str, units: System) -> String {
    let page = Page::new(ask, used, units);
    let mut picture = String::new();
    stock(&mut picture, ask, used, &page);
    kept(&mut picture, used, &page);
    let lying = lying(ask, used);
    let names = names(used, &lying, &page);
    let details = detail::details(&lying, &names, &page);
    parts(&mut picture, &lying, &names, &page, &details);
    cuts(&mut picture, &saw_cuts(used), &page, &details);
    let small: Vec<String> = names.iter().filter_map(Name::entry).collect();
    let letter = TITLE * page.unit;
    let full_w = page.width + 2.0 * page.margin;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // letters on a line
    let most = (page.width / (0.6 * letter)).max(30.0) as usize;
    let small = label::list(&small, most);
    let below = page.height + page.margin * (3.0 + 0.7 * small.len() as f64);
    let full_h = below
        + detail::draw(
            &mut picture,
            (ask, used),
            (&lying, &names),
            &page,
            &details,
            below,
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
    let line = |svg: &mut String, y: f64, content: &str| {
        // No wider than the page.
        let most = (full_w - 2.0 * page.margin) / (0.6 * content.chars().count().max(1) as f64);
        text(svg, (page.margin, y), letter.min(most), "start", content);
    };
    line(&mut svg, page.margin * 0.7, &title(used, number));
    let below = page.margin + page.height;
    let sizes = format!(
        "{} {}, yield {:.0} %",
        page.sides(used.width_m, used.height_m),
        page.written(0.0).1,
        used.yield_fraction * 100.0
    );
    line(&mut svg, below + page.margin * 0.7, &sizes);
    line(&mut svg, below + page.margin * 1.4, &holding(used));
    for (i, entries) in small.iter().enumerate() {
        line(
            &mut svg,
            below + page.margin * (2.1 + 0.7 * i as f64),
            entries,
        );
    }
    svg.push_str(&picture);
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
    /// What sizes are written in.
    units: System,
}

impl Page {
    fn new(ask: &Ask, used: &Used, units: System) -> Self {
        let offcut = used.offcut(ask).map(|o| o.outline.bounds_m());
        let (width, height) = (used.width_m * 1e3, used.height_m * 1e3);
        let unit = width.max(height);
        Self {
            width,
            height,
            unit,
            margin: MARGIN * unit,
            origin: offcut.map_or(Point::new(0.0, 0.0), |b| Point::new(b.0, b.1)),
            units,
        }
    }

    /// A length as it is written, and its unit.
    fn written(&self, length_m: f64) -> (String, String) {
        let text = show(length_m, Dimension::Length, self.units, 0);
        let (number, unit) = text.split_once(' ').unwrap_or((&text, ""));
        (number.into(), unit.into())
    }

    /// Two sides as they are written, without their unit.
    fn sides(&self, width_m: f64, height_m: f64) -> String {
        format!("{} x {}", self.written(width_m).0, self.written(height_m).0)
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
        let size = match remnant.diameter_m {
            Some(diameter_m) => format!("disc {}", page.written(diameter_m).0),
            None => page.sides(a.width_m, a.height_m),
        };
        let lines = ["keep".into(), size];
        if let Some(room) = label::in_rectangle(page, (x + w / 2.0, y + h / 2.0), (w, h), &lines) {
            label::write(svg, room, &lines);
        }
    }
}

/// The parts with their outlines where they lie.
fn lying<'a>(ask: &Ask, used: &'a Used) -> Vec<(&'a Placed, Outline)> {
    let outlines: BTreeMap<&str, &Outline> = ask
        .blanks
        .iter()
        .map(|p| (p.id.as_str(), &p.outline))
        .collect();
    used.placements
        .iter()
        .filter_map(|p| {
            let outline = *outlines.get(p.part.as_str())?;
            let outline = if p.flipped {
                &outline.mirrored()
            } else {
                outline
            };
            Some((p, outline.placed(p.placement)))
        })
        .collect()
}

/// What stands on a part.
struct Name {
    /// Name and size, with the number of the step that frees it.
    lines: [String; 2],
    /// Where they stand; `None` where there is no room.
    room: Option<label::Room>,
    /// What stands there instead: the step, or the place in the list below.
    mark: String,
    /// Where the mark stands; `None` where there is no room even for that.
    mark_room: Option<label::Room>,
    /// Name and size for the list.
    entry: String,
}

impl Name {
    /// The same on a page of another scale, which shows the same mark.
    fn at(&self, page: &Page, outline: &Outline, others: &[Outline]) -> Self {
        let room = room(page, outline, others, &self.lines);
        Self {
            lines: self.lines.clone(),
            room,
            mark: self.mark.clone(),
            mark_room: label::on_part(page, outline, others, std::slice::from_ref(&self.mark)),
            entry: self.entry.clone(),
        }
    }

    /// What the list says of it.
    fn entry(&self) -> Option<String> {
        let listed = || format!("{}: {}", self.mark, self.entry);
        self.room.is_none().then(listed)
    }
}

fn names(used: &Used, lying: &[(&Placed, Outline)], page: &Page) -> Vec<Name> {
    let kept = used.kept.iter().map(Remnant::outline);
    let others: Vec<Outline> = lying.iter().map(|l| l.1.clone()).chain(kept).collect();
    let mut listed = 0;
    let mut names = vec![];
    for ((placed, outline), step) in lying.iter().zip(freed(used)) {
        let name = format!("{} {}", placed.part, placed.copy);
        let sides = page.sides(placed.bounds.width_m, placed.bounds.height_m);
        let flip = if placed.flipped { ", face down" } else { "" };
        let size = format!("{sides}{flip}");
        let entry = format!("{name}, {size}");
        let lines = [
            step.map_or_else(|| name.clone(), |n| format!("{n}: {name}")),
            size,
        ];
        let room = room(page, outline, &others, &lines);
        listed += usize::from(room.is_none());
        let mark = step.map_or_else(|| format!("({listed})"), |n| n.to_string());
        let mark_room = match room {
            Some(_) => None,
            None => label::on_part(page, outline, &others, std::slice::from_ref(&mark)),
        };
        names.push(Name {
            lines,
            room,
            mark,
            mark_room,
            entry,
        });
    }
    names
}

/// Draws the parts where they lie, without marks where a detail shows them.
fn parts(
    svg: &mut String,
    lying: &[(&Placed, Outline)],
    names: &[Name],
    page: &Page,
    details: &[Detail],
) {
    for (_, outline) in lying {
        let _ = writeln!(
            svg,
            "<path d=\"{}\" fill=\"#d9d9d9\" fill-rule=\"evenodd\" stroke=\"black\" stroke-width=\"{:.2}\"/>",
            page.outline(outline),
            page.line(1.0)
        );
    }
    for ((_, outline), name) in lying.iter().zip(names) {
        if let Some(room) = name.room {
            label::write(svg, room, &name.lines);
        } else if !details.iter().any(|d| d.shows(outline)) {
            let room = name
                .mark_room
                .unwrap_or_else(|| label::deepest(page, outline));
            label::write(svg, room, std::slice::from_ref(&name.mark));
        }
    }
}

/// Where the name of a part stands.
fn room(
    page: &Page,
    outline: &Outline,
    others: &[Outline],
    lines: &[String],
) -> Option<label::Room> {
    if !is_rectangle(outline) {
        return label::on_part(page, outline, others, lines);
    }
    let (l, b, r, t) = outline.bounds_m();
    let middle = Point::new(f64::midpoint(l, r), f64::midpoint(b, t));
    let size = ((r - l) * 1e3, (t - b) * 1e3);
    label::in_rectangle(page, page.at(middle), size, lines)
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

/// A saw cut with its number.
type Numbered = (usize, Point, Point);

fn saw_cuts(used: &Used) -> Vec<Numbered> {
    let ends = |s: &Step| match s {
        Step::Trim { from_m, to_m } | Step::Through { from_m, to_m, .. } => {
            Some([*from_m, *to_m].map(|p| Point::new(p.0, p.1)))
        }
        Step::Inside { .. } | Step::Outside { .. } => None,
    };
    let numbered = (1..).zip(&used.steps);
    numbered
        .filter_map(|(i, s)| ends(s).map(|[from, to]| (i, from, to)))
        .collect()
}

/// Saw cuts with their numbers, without numbers where a detail shows them.
fn cuts(svg: &mut String, cuts: &[Numbered], page: &Page, details: &[Detail]) {
    for &(number, from, to) in cuts {
        let (a, b) = (page.at(from), page.at(to));
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
        if details.iter().any(|d| d.holds(from) && d.holds(to)) {
            continue;
        }
        let along = 0.12;
        let at = (a.0 + along * (b.0 - a.0), a.1 + along * (b.1 - a.1));
        let letter = 0.014 * page.unit;
        let _ = writeln!(
            svg,
            "<circle cx=\"{:.2}\" cy=\"{:.2}\" r=\"{:.2}\" fill=\"white\" stroke=\"black\" stroke-width=\"{:.2}\"/>",
            at.0,
            at.1,
            0.85 * letter,
            page.line(0.7)
        );
        let at = (at.0, at.1 + 0.35 * letter);
        text(svg, at, letter, "middle", &number.to_string());
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
        // 180 mm are 7.087 in, 600 mm are 23.622 in.
        let in_inches = drawings(&ask, &layout, System::Inch);
        assert!(in_inches[0].contains("7.09 x 7.09") && in_inches[0].contains("23.62 x 23.62 in"));
        assert!(!in_inches[0].contains(" mm"));
        let drawings = drawings(&ask, &layout, System::Metric);
        assert_eq!(drawings.len(), layout.sheets_used.len());
        let svg = &drawings[0];
        assert!(
            svg.contains("ring &lt;left&gt; &amp; &quot;right&quot; 1, 180 x 180")
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
