//! Lettering: labels as large as there is room for, and a list below the sheet for parts that are too small for theirs.

use std::fmt::Write;

use super::Page;
use crate::outline::{Outline, Point};

/// The largest lettering on parts and the least that can be read on A4, as shares of the longer side of the sheet.
const LETTER: f64 = 0.024;
const LEAST_LETTER: f64 = 0.016;
/// Each try at a place is so much smaller than the one before.
const SMALLER: f64 = 0.85;
/// A letter is about 0.6 of its size wide, a line 1.25 of it high.
const WIDE: f64 = 0.6;
const HIGH: f64 = 1.25;
/// Places that are tried on an outline, each way.
const PLACES: u32 = 12;

/// A place for lines of text, in millimetres of the page.
#[derive(Debug, Clone, Copy)]
pub(super) struct Room {
    at: (f64, f64),
    letter: f64,
    upright: bool,
}

fn longest(lines: &[String]) -> f64 {
    lines.iter().map(|l| l.chars().count()).max().unwrap_or(1) as f64
}

/// Room for lines about the middle of a clear rectangle; `None` where they could not be read.
pub(super) fn in_rectangle(
    page: &Page,
    at: (f64, f64),
    (w, h): (f64, f64),
    lines: &[String],
) -> Option<Room> {
    let size = |w: f64, h: f64| {
        (0.85 * w / (WIDE * longest(lines)))
            .min(0.85 * h / (HIGH * lines.len() as f64))
            .min(LETTER * page.unit)
    };
    let (flat, upright) = (size(w, h), size(h, w));
    let turned = upright > flat * 1.2;
    let letter = if turned { upright } else { flat };
    (letter >= LEAST_LETTER * page.unit).then_some(Room {
        at,
        letter,
        upright: turned,
    })
}

/// Room for lines on the material of a part, or in one of its holes where nothing else lies.
pub(super) fn on_part(
    page: &Page,
    outline: &Outline,
    others: &[Outline],
    lines: &[String],
) -> Option<Room> {
    let empty = outline.holes.iter().filter_map(|hole| {
        let hole = Outline::new(hole.clone(), vec![]);
        let taken = others.iter().any(|o| hole.holds(o.outside.start));
        (!taken).then_some(hole)
    });
    let shapes: Vec<Outline> = std::iter::once(outline.clone()).chain(empty).collect();
    let places: Vec<(usize, Point, f64)> = shapes
        .iter()
        .enumerate()
        .flat_map(|(i, s)| {
            grid(s)
                .into_iter()
                .map(move |p| (i, p, s.edge_distance_m(p)))
        })
        .collect();
    let mut letter = LETTER * page.unit;
    while letter >= LEAST_LETTER * page.unit {
        let long = longest(lines) * WIDE * letter * 1.1e-3;
        let high = lines.len() as f64 * HIGH * letter * 1.1e-3;
        for upright in [false, true] {
            let (w, h) = if upright { (high, long) } else { (long, high) };
            let fits = |(shape, at, deep): &&(usize, Point, f64)| {
                *deep >= high / 2.0 && holds(&shapes[*shape], *at, (w, h))
            };
            if let Some((_, at, _)) = places.iter().find(fits) {
                return Some(Room {
                    at: page.at(*at),
                    letter,
                    upright,
                });
            }
        }
        letter *= SMALLER;
    }
    None
}

/// Places inside a shape, the middle first.
fn grid(shape: &Outline) -> Vec<Point> {
    let (l, b, r, t) = shape.bounds_m();
    let middle = Point::new(f64::midpoint(l, r), f64::midpoint(b, t));
    let mut places: Vec<Point> = (1..PLACES)
        .flat_map(|x| (1..PLACES).map(move |y| (x, y)))
        .map(|(x, y)| {
            let share = |n: u32| f64::from(n) / f64::from(PLACES);
            Point::new(l + (r - l) * share(x), b + (t - b) * share(y))
        })
        .collect();
    // Nearness in tenths of a millimetre, so that rounding decides nothing.
    places.sort_by(|a, b| {
        let far = |p: &Point| (p.distance_m(middle) * 1e4).round();
        far(a).total_cmp(&far(b))
    });
    places.insert(0, middle);
    places.retain(|p| shape.holds(*p));
    places
}

/// Whether a rectangle about a place lies in a shape: its corners and the middles of its sides do.
fn holds(shape: &Outline, at: Point, (w, h): (f64, f64)) -> bool {
    [-0.5, 0.0, 0.5].iter().all(|x| {
        [-0.5, 0.0, 0.5]
            .iter()
            .all(|y| shape.holds(Point::new(at.x_m + x * w, at.y_m + y * h)))
    })
}

/// Writes lines of text.
pub(super) fn write(svg: &mut String, room: Room, lines: &[String]) {
    let Room {
        at: (x, y),
        letter,
        upright,
    } = room;
    let turn = if upright {
        format!(" transform=\"rotate(-90 {x:.2} {y:.2})\"")
    } else {
        String::new()
    };
    let _ = write!(svg, "<g{turn}>");
    let first = y - letter * HIGH * (lines.len() as f64 - 1.0) / 2.0 + letter * 0.35;
    for (i, line) in lines.iter().enumerate() {
        let at = (x, first + letter * HIGH * i as f64);
        text(svg, at, letter, "middle", line);
    }
    svg.push_str("</g>\n");
}

/// The deepest place of a part, for a mark that has no room of its own.
pub(super) fn deepest(page: &Page, outline: &Outline) -> Room {
    let deepest = grid(outline).into_iter().max_by(|a, b| {
        let deep = |p: &Point| (outline.edge_distance_m(*p) * 1e4).round();
        deep(a).total_cmp(&deep(b))
    });
    let (l, b, r, t) = outline.bounds_m();
    let middle = Point::new(f64::midpoint(l, r), f64::midpoint(b, t));
    Room {
        at: page.at(deepest.unwrap_or(middle)),
        letter: LEAST_LETTER * page.unit,
        upright: false,
    }
}

/// The entries of the list in lines of at most so many letters.
pub(super) fn list(entries: &[String], most: usize) -> Vec<String> {
    let mut lines: Vec<String> = vec![];
    for entry in entries {
        match lines.last_mut() {
            Some(line) if line.chars().count() + entry.chars().count() + 2 <= most => {
                line.push_str("; ");
                line.push_str(entry);
            }
            _ => lines.push(entry.clone()),
        }
    }
    lines
}

pub(super) fn text(svg: &mut String, (x, y): (f64, f64), size: f64, anchor: &str, content: &str) {
    let _ = writeln!(
        svg,
        "<text x=\"{x:.2}\" y=\"{y:.2}\" font-size=\"{size:.1}\" text-anchor=\"{anchor}\">{}</text>",
        escape(content)
    );
}

/// Text that may stand in XML: the five marks replaced, and characters that XML does not allow left out.
pub(super) fn escape(text: &str) -> String {
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
