//! Corners of a sheet with parts so small that not even a number can be read on them: shown again below, enlarged.

use std::fmt::Write;

use super::label::text;
use super::{LINE, Name, Numbered, Page, TITLE, cuts, parts, saw_cuts, stock};
use crate::outline::{Outline, Point};
use crate::stock::ask::Ask;
use crate::stock::layout::{Placed, Used};

/// Longest side of a detail, as a share of the longer side of the sheet; the shortest likewise.
const LARGEST: f64 = 0.055;
const SMALLEST: f64 = 0.03;
/// Room around the parts of a detail, likewise.
const AROUND: f64 = 0.006;
/// More details than this are not drawn.
const MOST: usize = 8;

/// A part of the sheet: left, bottom, right, top. [m]
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Detail([f64; 4]);

impl Detail {
    pub(super) fn holds(&self, p: Point) -> bool {
        let [l, b, r, t] = self.0;
        (l..=r).contains(&p.x_m) && (b..=t).contains(&p.y_m)
    }

    pub(super) fn shows(&self, outline: &Outline) -> bool {
        let (l, b, r, t) = outline.bounds_m();
        self.holds(Point::new(l, b)) && self.holds(Point::new(r, t))
    }

    fn meets(&self, outline: &Outline) -> bool {
        let ([l, b, r, t], o) = (self.0, outline.bounds_m());
        o.0 < r && o.2 > l && o.1 < t && o.3 > b
    }

    /// What it shows of a level or upright cut.
    fn clipped(&self, &(number, from, to): &Numbered) -> Option<Numbered> {
        let [l, b, r, t] = self.0;
        let near = |p: Point| Point::new(p.x_m.clamp(l, r), p.y_m.clamp(b, t));
        let (a, z) = (near(from), near(to));
        let outside = |a: f64, z: f64, low: f64, high: f64| a.max(z) < low || a.min(z) > high;
        let outside = outside(from.x_m, to.x_m, l, r) || outside(from.y_m, to.y_m, b, t);
        (!outside && a != z).then_some((number, a, z))
    }

    fn longer_m(&self) -> f64 {
        let [l, b, r, t] = self.0;
        (r - l).max(t - b)
    }

    fn with(&self, other: &Self) -> Self {
        let ([l, b, r, t], o) = (self.0, other.0);
        Self([l.min(o[0]), b.min(o[1]), r.max(o[2]), t.max(o[3])])
    }
}

/// The details that a sheet needs.
pub(super) fn details(lying: &[(&Placed, Outline)], names: &[Name], page: &Page) -> Vec<Detail> {
    let unit_m = page.unit * 1e-3;
    let mut details: Vec<Detail> = vec![];
    for ((_, outline), name) in lying.iter().zip(names) {
        if name.room.is_some() || name.mark_room.is_some() {
            continue;
        }
        let (l, b, r, t) = outline.bounds_m();
        let around = AROUND * unit_m;
        let wider = |low: f64, high: f64| {
            let more = around.max((SMALLEST * unit_m - (high - low)) / 2.0);
            (low - more, high + more)
        };
        let ((l, r), (b, t)) = (wider(l, r), wider(b, t));
        let this = Detail([l, b, r, t]);
        if this.longer_m() > LARGEST * unit_m {
            continue;
        }
        let near = details
            .iter_mut()
            .find(|d| d.with(&this).longer_m() <= LARGEST * unit_m);
        if let Some(near) = near {
            *near = near.with(&this);
        } else if details.len() < MOST {
            details.push(this);
        }
    }
    details
}

/// Frames the details on the sheet and draws each of them below, from `top` downwards; gives the height that they take.
pub(super) fn draw(
    svg: &mut String,
    (ask, used): (&Ask, &Used),
    (lying, names): (&[(&Placed, Outline)], &[Name]),
    page: &Page,
    details: &[Detail],
    top: f64,
) -> f64 {
    let columns = if details.len() == 1 { 1.0 } else { 2.0 };
    let gap = page.margin;
    let side = (page.width - (columns - 1.0) * gap) / columns;
    let letter = TITLE * page.unit;
    let (mut x, mut y, mut row) = (page.margin, top, 0.0_f64);
    for (name, detail) in ('A'..).zip(details) {
        let [l, b, r, t] = detail.0;
        let (left, upper) = page.at(Point::new(l, t));
        let (w, h) = ((r - l) * 1e3, (t - b) * 1e3);
        let _ = writeln!(
            svg,
            "<rect x=\"{left:.2}\" y=\"{upper:.2}\" width=\"{w:.2}\" height=\"{h:.2}\" fill=\"none\" stroke=\"black\" stroke-width=\"{:.2}\"/>",
            page.line(2.0)
        );
        text(
            svg,
            (left + w + 0.3 * letter, upper + h / 2.0 + 0.35 * letter),
            letter,
            "start",
            &name.to_string(),
        );
        let times = side / w.max(h);
        let (shown_w, shown_h) = (w * times, h * times);
        let caption = format!("{name}, {times:.1} times as large");
        text(svg, (x, y + letter), letter, "start", &caption);
        let picture_y = y + 1.6 * letter;
        let _ = writeln!(
            svg,
            "<svg x=\"{x:.2}\" y=\"{picture_y:.2}\" width=\"{shown_w:.2}\" height=\"{shown_h:.2}\" viewBox=\"{left:.3} {upper:.3} {w:.3} {h:.3}\">"
        );
        // Lettering and lines as large on paper as on the rest of the page.
        let near = Page {
            unit: page.unit / times,
            ..*page
        };
        stock(svg, ask, used, &near);
        let shown = || lying.iter().zip(names).filter(|(l, _)| detail.meets(&l.1));
        let all: Vec<Outline> = shown().map(|(l, _)| l.1.clone()).collect();
        let (inside, marks): (Vec<(&Placed, Outline)>, Vec<Name>) = shown()
            .map(|(l, name)| (l.clone(), name.at(&near, &l.1, &all)))
            .unzip();
        parts(svg, &inside, &marks, &near, &[]);
        let saw: Vec<Numbered> = saw_cuts(used)
            .iter()
            .filter_map(|c| detail.clipped(c))
            .collect();
        cuts(svg, &saw, &near, &[]);
        svg.push_str("</svg>\n");
        let _ = writeln!(
            svg,
            "<rect x=\"{x:.2}\" y=\"{picture_y:.2}\" width=\"{shown_w:.2}\" height=\"{shown_h:.2}\" fill=\"none\" stroke=\"black\" stroke-width=\"{:.2}\"/>",
            2.0 * LINE * page.unit
        );
        row = row.max(shown_h + 2.6 * letter);
        x += side + gap;
        if x + side > page.margin + page.width + 1e-6 {
            (x, y, row) = (page.margin, y + row, 0.0);
        }
    }
    y + row - top
}
