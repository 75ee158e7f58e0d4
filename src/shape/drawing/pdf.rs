//! The drawing as PDF at true size, on one page where it fits, else tiled over pages that are glued together.
//!
//! Fonts are the standard Helvetica that every reader has; letters outside Western European writing become `?`.

use std::f64::consts::FRAC_PI_4;

use pdf_writer::{Content, Finish, Name, Pdf, Rect, Ref, Str, TextStr};

use super::page::{MARGIN_M, Page, Sheet, sheets};
use super::sheet::{Anchor, Drawing, Ink, Item};
use super::svg::ZONE_GREY;
use crate::outline::{Chain, Point, Segment};

/// Half of a line's width. [m]
const HAIR_M: f64 = 3e-4;
/// Points in a millimetre.
const POINTS: f64 = 72.0 / 25.4;
const REGULAR: Name = Name(b"F1");
const BOLD: Name = Name(b"F2");
const WHOLE: Name = Name(b"D");

impl Drawing {
    /// The drawing as a PDF document at true size on A4 or Letter paper.
    ///
    /// What is larger than a page is spread over several that overlap by 15 mm; crosses on the overlap must meet
    /// when they are laid over one another. Each page has bars of 100 mm and 4 in. The same drawing gives the same bytes.
    ///
    /// ```
    /// use mountwright::shape::drawing::{Page, Title, drawing};
    /// use mountwright::shape::strap::{Leg, StrapAsk, strap};
    /// let leg = Leg::flat(0.045, 0.025, 0.020, 0.025);
    /// let made = strap(&StrapAsk::new("pod strap", 0.003, 0.025, leg, leg))?;
    /// let bytes = drawing(&made.blank, &Title::default())?.pdf(Page::A4);
    /// assert!(bytes.starts_with(b"%PDF-"));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn pdf(&self, page: Page) -> Vec<u8> {
        let sheets = sheets(self, page);
        let mut used = 0;
        let mut next = || {
            used += 1;
            Ref::new(used)
        };
        let (catalog, tree, info, regular, bold, whole) =
            (next(), next(), next(), next(), next(), next());
        let ids: Vec<(Ref, Ref)> = sheets.iter().map(|_| (next(), next())).collect();
        let mut pdf = Pdf::new();
        pdf.catalog(catalog).pages(tree);
        pdf.document_info(info)
            .title(TextStr(&self.name))
            .producer(TextStr("mountwright"));
        // Far fewer pages than i32 holds: a blank is at most 5 m long.
        let count = i32::try_from(ids.len()).unwrap_or(i32::MAX);
        pdf.pages(tree).kids(ids.iter().map(|i| i.0)).count(count);
        for (id, name) in [(regular, &b"Helvetica"[..]), (bold, b"Helvetica-Bold")] {
            pdf.type1_font(id)
                .base_font(Name(name))
                .encoding_predefined(Name(b"WinAnsiEncoding"));
        }
        let mut content = Content::new();
        for item in &self.items {
            write_item(&mut content, item);
        }
        let content = content.finish();
        let mut form = pdf.form_xobject(whole, &content);
        form.bbox(Rect::new(0.0, 0.0, mm(self.width_m), mm(self.height_m)));
        let mut resources = form.resources();
        resources.fonts().pair(REGULAR, regular).pair(BOLD, bold);
        resources.finish();
        form.finish();
        for (sheet, (id, stream)) in sheets.iter().zip(ids) {
            let (w, h) = sheet.paper_m;
            let mut leaf = pdf.page(id);
            leaf.parent(tree)
                .media_box(Rect::new(0.0, 0.0, points(w), points(h)))
                .contents(stream);
            let mut resources = leaf.resources();
            resources.fonts().pair(REGULAR, regular).pair(BOLD, bold);
            resources.x_objects().pair(WHOLE, whole);
            resources.finish();
            leaf.finish();
            pdf.stream(stream, &self.leaf(sheet));
        }
        pdf.finish()
    }

    /// One page: its window on the drawing, marks to align it by, and a foot with bars.
    fn leaf(&self, sheet: &Sheet) -> Vec<u8> {
        let mut c = Content::new();
        let scale = points(1e-3);
        c.transform([scale, 0.0, 0.0, scale, 0.0, 0.0]);
        let (left, bottom, right, top) = sheet.window_m;
        // At the upper edge; a hair more than the window, so that a line on its edge is whole.
        let low = sheet.paper_m.1 - MARGIN_M - (top - bottom);
        c.save_state();
        c.rect(
            mm(MARGIN_M - HAIR_M),
            mm(low - HAIR_M),
            mm(right - left + 2.0 * HAIR_M),
            mm(top - bottom + 2.0 * HAIR_M),
        );
        c.clip_nonzero().end_path();
        c.transform([1.0, 0.0, 0.0, 1.0, mm(MARGIN_M - left), mm(low - bottom)]);
        c.x_object(WHOLE);
        for mark in &sheet.marks {
            write_item(&mut c, mark);
        }
        c.restore_state();
        for item in sheet.foot(&self.name) {
            write_item(&mut c, &item);
        }
        c.finish().to_vec()
    }
}

/// Millimetres of a length, as PDF writes numbers; 5 m is written to 0.4 µm.
fn mm(length_m: f64) -> f32 {
    #[allow(clippy::cast_possible_truncation)]
    let mm = (length_m * 1e3) as f32;
    mm
}

fn points(length_m: f64) -> f32 {
    #[allow(clippy::cast_possible_truncation)]
    let points = (length_m * 1e3 * POINTS) as f32;
    points
}

fn write_item(c: &mut Content, item: &Item) {
    match item {
        Item::Chain { chain, ink } => {
            pen(c, *ink);
            path(c, chain);
            if *ink == Ink::Zone {
                c.fill_nonzero_and_stroke();
            } else {
                c.stroke();
            }
        }
        Item::Line { from, to, ink } => {
            pen(c, *ink);
            c.move_to(mm(from.x_m), mm(from.y_m));
            c.line_to(mm(to.x_m), mm(to.y_m));
            c.stroke();
        }
        Item::Bar {
            at,
            width_m,
            height_m,
        } => {
            c.set_fill_gray(0.0);
            c.rect(mm(at.x_m), mm(at.y_m), mm(*width_m), mm(*height_m));
            c.fill_nonzero();
        }
        Item::Text {
            at,
            size_m,
            anchor,
            upwards,
            bold,
            text,
        } => {
            let text = western(text);
            let back = match anchor {
                Anchor::Start => 0.0,
                Anchor::Middle => 0.5,
                Anchor::End => 1.0,
            } * width_m(&text, *size_m);
            let (cos, sin) = if *upwards { (0.0, 1.0) } else { (1.0, 0.0) };
            let (x, y) = (
                at.x_m - back * f64::from(cos),
                at.y_m - back * f64::from(sin),
            );
            c.set_fill_gray(0.0);
            c.begin_text();
            c.set_font(if *bold { BOLD } else { REGULAR }, mm(*size_m));
            c.set_text_matrix([cos, sin, -sin, cos, mm(x), mm(y)]);
            c.show(Str(&text));
            c.end_text();
        }
    }
}

#[allow(clippy::cast_possible_truncation)]
fn pen(c: &mut Content, ink: Ink) {
    let (width, grey, dashes) = ink.pen();
    c.set_line_width(mm(width));
    c.set_stroke_gray(grey as f32);
    c.set_dash_pattern(dashes.iter().map(|&d| mm(d)), 0.0);
    if ink == Ink::Zone {
        c.set_fill_gray(ZONE_GREY as f32);
    }
}

/// Lines, and cubic curves for arcs: pieces of 45° at most lie within 5 millionths of the radius.
fn path(c: &mut Content, chain: &Chain) {
    c.move_to(mm(chain.start.x_m), mm(chain.start.y_m));
    for (start, segment) in chain.pieces() {
        match *segment {
            Segment::Line { end } => {
                c.line_to(mm(end.x_m), mm(end.y_m));
            }
            Segment::Arc {
                centre, sweep_rad, ..
            } => {
                let r = start.distance_m(centre);
                let from = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
                let n = (sweep_rad.abs() / FRAC_PI_4).ceil().clamp(1.0, 16.0);
                let step = sweep_rad / n;
                let reach = 4.0 / 3.0 * (step / 4.0).tan() * r;
                let mut i = 0.0;
                while i < n {
                    let (a, b) = (from + i * step, from + (i + 1.0) * step);
                    let (p, q) = (centre.polar(a, r), centre.polar(b, r));
                    let out = |p: Point, angle: f64, by: f64| {
                        Point::new(p.x_m - by * angle.sin(), p.y_m + by * angle.cos())
                    };
                    let (u, v) = (out(p, a, reach), out(q, b, -reach));
                    c.cubic_to(
                        mm(u.x_m),
                        mm(u.y_m),
                        mm(v.x_m),
                        mm(v.y_m),
                        mm(q.x_m),
                        mm(q.y_m),
                    );
                    i += 1.0;
                }
            }
        }
    }
    c.close_path();
}

/// Text in the encoding of the standard fonts (Windows 1252).
fn western(text: &str) -> Vec<u8> {
    text.chars()
        .map(|c| match c {
            ' '..='~' => c as u8,
            '\u{2212}' => b'-',
            '\u{20ac}' => 0x80,
            '\u{2026}' => 0x85,
            '\u{2018}' => 0x91,
            '\u{2019}' => 0x92,
            '\u{201c}' => 0x93,
            '\u{201d}' => 0x94,
            '\u{2022}' => 0x95,
            '\u{2013}' => 0x96,
            '\u{2014}' => 0x97,
            '\u{a0}'..='\u{ff}' => u8::try_from(u32::from(c)).unwrap_or(b'?'),
            _ => b'?',
        })
        .collect()
}

/// Widths of the printable ASCII letters of Helvetica, thousandths of its size (its published metrics, from memory).
const WIDTHS: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556,
    556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667,
    611, 778, 722, 278, 500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667,
    667, 611, 278, 278, 278, 469, 556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500,
    222, 833, 556, 556, 556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];

fn width_m(text: &[u8], size_m: f64) -> f64 {
    let thousandths: u32 = text
        .iter()
        .map(|&b| {
            let at = usize::from(b).checked_sub(32);
            u32::from(at.and_then(|i| WIDTHS.get(i)).copied().unwrap_or(556))
        })
        .sum();
    f64::from(thousandths) / 1e3 * size_m
}
