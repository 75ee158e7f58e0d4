//! One view of a blank: its edges, marks and dimensions.

use super::figure::figure;
use super::page::{MARGIN_M, Page};
use super::sheet::{Anchor, Ink, Item, Paper};
use crate::outline::{Chain, Circle, Point, as_circle};
use crate::quantity::said;
use crate::shape::blank::{Blank, Drill, Grain, HoleKind, Mark};

const TEXT_M: f64 = 0.0028;
/// 7 pt: smaller is not read at the bench.
pub(super) const LEAST_TEXT_M: f64 = 0.0025;
const CAPTION_M: f64 = 0.0035;
/// Room above a view for its caption and the overall width.
const HEAD_M: f64 = 0.016;
/// From the part to the far side of a dimension's figure.
const DIMENSION_M: f64 = 0.0071;
/// Room left of a view for the overall height.
const SIDE_M: f64 = 0.012;
/// The same where only so little keeps the part on one page: the height then stands inside the part.
const TIGHT_M: f64 = 0.002;
/// Room below a view for ordinates.
const ORDINATES_M: f64 = 0.022;

/// A blank seen from one face.
pub(super) struct View<'a> {
    blank: &'a Blank,
    caption: &'static str,
    bounds: (f64, f64, f64, f64),
    /// How much larger it is lettered, for a picture that is shown smaller than it is; its ordinates then stay away. 1 at true size.
    larger: f64,
}

impl<'a> View<'a> {
    pub(super) fn new(blank: &'a Blank, caption: &'static str) -> Self {
        Self {
            blank,
            caption,
            bounds: blank.outline.bounds_m(),
            larger: 1.0,
        }
    }

    /// The same, lettered so much larger.
    pub(super) fn lettered(self, larger: f64) -> Self {
        Self { larger, ..self }
    }

    /// Room that larger letters need beyond that of a view at true size.
    fn more_m(&self) -> f64 {
        (self.larger - 1.0) * DIMENSION_M
    }

    pub(super) fn width_m(&self) -> f64 {
        self.bounds.2 - self.bounds.0 + 2.0 * self.side_m()
    }

    /// Room at the left and the right: little where that saves taping a second page of A4 on.
    fn side_m(&self) -> f64 {
        let width = self.bounds.2 - self.bounds.0;
        let page = Page::A4.size_m().0 - 2.0 * MARGIN_M;
        let saves = width + 2.0 * SIDE_M > page && width + 2.0 * TIGHT_M <= page;
        let tight = saves && self.larger <= 1.0;
        if tight {
            TIGHT_M
        } else {
            SIDE_M + self.more_m()
        }
    }

    /// Stations along x that are worth a number: bends, trim lines and hole centres of a blank that is bent.
    fn stations(&self) -> Vec<(f64, String)> {
        if self.blank.bends.is_empty() || self.larger > 1.0 {
            return vec![];
        }
        let mut stations = vec![];
        for (i, bend) in self.blank.bends.iter().enumerate() {
            let letter = letter(i);
            stations.push((middle_x(bend.begins), letter.clone()));
            stations.push((middle_x(bend.ends), letter));
        }
        for mark in &self.blank.marks {
            match mark {
                Mark::Hole { centre, .. } => stations.push((centre.x_m, "hole".into())),
                Mark::TrimLine { from, to } => {
                    stations.push((middle_x((*from, *to)), "trim".into()));
                }
                _ => {}
            }
        }
        stations.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        stations
    }
}

/// The letter of a bend in views and table: A to Z, then with a number.
pub(super) fn letter(index: usize) -> String {
    let letters = b'A'..=b'Z';
    let letter = letters.clone().nth(index % 26).map_or('?', char::from);
    match index / 26 {
        0 => letter.to_string(),
        round => format!("{letter}{round}"),
    }
}

fn middle_x((a, b): (Point, Point)) -> f64 {
    f64::midpoint(a.x_m, b.x_m)
}

pub(super) fn draw(view: &View, paper: &mut Paper) {
    paper.larger = view.larger;
    let (left, bottom, right, top) = view.bounds;
    let stations = view.stations();
    let side = view.side_m();
    let x0 = paper.left_m + side - left;
    let y0 = paper.y_m - HEAD_M - view.more_m() - top;
    let at = |p: Point| Point::new(p.x_m + x0, p.y_m + y0);
    let (l, r, b, t) = (left + x0, right + x0, bottom + y0, top + y0);
    if paper.origin_m.is_none() {
        paper.origin_m = Some(Point::new(x0, y0));
        paper.centres_m = view
            .blank
            .marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Hole { centre, .. } => Some(at(*centre)),
                _ => None,
            })
            .collect();
    }

    paper.write(
        Point::new(paper.left_m, paper.y_m - 4e-3),
        CAPTION_M,
        Anchor::Start,
        false,
        true,
        &format!("{}: {}", view.blank.name, view.caption),
    );
    for zone in &view.blank.heated {
        paper.items.push(Item::Chain {
            chain: zone.chain.moved(x0, y0),
            ink: Ink::Zone,
        });
    }
    for chain in std::iter::once(&view.blank.outline.outside).chain(&view.blank.outline.holes) {
        paper.items.push(Item::Chain {
            chain: chain.moved(x0, y0),
            ink: if view.blank.drills(chain) {
                Ink::Drill
            } else {
                Ink::Cut
            },
        });
    }
    grain(view, (l, b, t), paper);
    for bend in &view.blank.bends {
        for (from, to) in [bend.begins, bend.ends] {
            paper.line(at(from), at(to), Ink::Bend);
        }
    }
    let mut number = 0;
    for mark in &view.blank.marks {
        number += usize::from(matches!(mark, Mark::Hole { .. }));
        draw_mark(mark, number, (x0, y0), paper);
    }
    openings(view.blank, (x0, y0), paper);
    overall(paper, (l, r, b, t), side < SIDE_M);
    if !stations.is_empty() {
        ordinates(paper, &stations, x0, b);
    }
    paper.y_m = b - if stations.is_empty() {
        6e-3
    } else {
        ORDINATES_M
    };
    paper.larger = 1.0;
}

/// An arrow along the grain of the sheet, below the left edge of the view.
fn grain(view: &View, (l, b, t): (f64, f64, f64), paper: &mut Paper) {
    let along_x = match view.blank.grain {
        Grain::Free => return,
        Grain::AlongX => true,
        Grain::AlongY => false,
    };
    let reach = 0.012;
    let from = Point::new(l + 3e-3, f64::midpoint(b, t) - reach / 2.0);
    let turn = |x: f64, y: f64| {
        let (x, y) = if along_x { (x, y) } else { (y, x) };
        Point::new(from.x_m + x, from.y_m + y)
    };
    let (tail, tip) = (turn(0.0, 0.0), turn(reach, 0.0));
    paper.line(tail, tip, Ink::Measure);
    for end in [(reach, -1.0), (0.0, 1.0)] {
        for side in [-1e-3, 1e-3] {
            paper.line(
                turn(end.0, 0.0),
                turn(end.0 + end.1 * 2e-3, side),
                Ink::Measure,
            );
        }
    }
    paper.text(turn(1e-3, 1.5e-3), TEXT_M, Anchor::Start, "grain");
}

/// The size of each opening, in its middle; drilled holes stand in the table.
fn openings(blank: &Blank, (x0, y0): (f64, f64), paper: &mut Paper) {
    const LEAST_M: f64 = 0.014;
    for hole in &blank.outline.holes {
        let (l, b, r, t) = hole.bounds_m();
        let (w, h) = (r - l, t - b);
        if w < LEAST_M || h < 2.0 * TEXT_M {
            continue;
        }
        let text = if as_circle(hole).is_some() {
            format!("Ø {}", figure(w, paper.units))
        } else {
            format!("{} x {}", figure(w, paper.units), figure(h, paper.units))
        };
        let middle = Point::new(
            f64::midpoint(l, r) + x0,
            f64::midpoint(b, t) + y0 - paper.larger * TEXT_M / 3.0,
        );
        paper.text(middle, TEXT_M, Anchor::Middle, &text);
    }
}

fn draw_mark(mark: &Mark, number: usize, (x0, y0): (f64, f64), paper: &mut Paper) {
    let at = |p: Point| Point::new(p.x_m + x0, p.y_m + y0);
    match mark {
        Mark::CentreLine { from, to } => paper.line(at(*from), at(*to), Ink::Centre),
        Mark::TrimLine { from, to } => paper.line(at(*from), at(*to), Ink::Trim),
        Mark::Contour { chain, .. } => paper.items.push(Item::Chain {
            chain: chain.moved(x0, y0),
            ink: Ink::Contour,
        }),
        Mark::Text { at: place, text } => {
            let text = said(text, paper.units);
            paper.text(at(*place), TEXT_M, Anchor::Middle, &text);
        }
        Mark::Hole {
            kind,
            centre,
            diameter_m,
            drill,
            ..
        } => {
            let c = at(*centre);
            let reach = diameter_m / 2.0 + 1.5e-3;
            let cross = |dx: f64, dy: f64| Point::new(c.x_m + dx, c.y_m + dy);
            paper.line(cross(-reach, 0.0), cross(reach, 0.0), Ink::Centre);
            paper.line(cross(0.0, -reach), cross(0.0, reach), Ink::Centre);
            if *drill == Drill::AfterTrialFit {
                let chain = match *kind {
                    HoleKind::Round => Chain::circle(Circle {
                        centre: c,
                        radius_m: diameter_m / 2.0,
                    }),
                    HoleKind::Slot {
                        length_m,
                        angle_rad,
                    } => Chain::slot(c, length_m, *diameter_m, angle_rad),
                };
                paper.items.push(Item::Chain {
                    chain,
                    ink: Ink::Later,
                });
            }
            paper.text(
                cross(diameter_m / 2.0 + 0.6e-3, diameter_m / 2.0 + 0.6e-3),
                LEAST_TEXT_M,
                Anchor::Start,
                &number.to_string(),
            );
        }
    }
}

/// Overall width above, overall height at the left, or inside the left edge where there is no room beside it.
fn overall(paper: &mut Paper, (l, r, b, t): (f64, f64, f64, f64), inside: bool) {
    let larger = paper.larger;
    let y = t + 4e-3 * larger;
    dimension(paper, Point::new(l, y), Point::new(r, y));
    for x in [l, r] {
        paper.line(
            Point::new(x, t + 0.8e-3),
            Point::new(x, y + 1e-3),
            Ink::Measure,
        );
    }
    let (wide, high) = (figure(r - l, paper.units), figure(t - b, paper.units));
    paper.text(
        Point::new(f64::midpoint(l, r), y + 1e-3 * larger),
        TEXT_M,
        Anchor::Middle,
        &wide,
    );
    let x = if inside { l + 5e-3 } else { l - 4e-3 * larger };
    dimension(paper, Point::new(x, b), Point::new(x, t));
    if !inside {
        for y in [b, t] {
            paper.line(
                Point::new(l - 0.8e-3, y),
                Point::new(x - 1e-3, y),
                Ink::Measure,
            );
        }
    }
    paper.write(
        Point::new(x - 1e-3 * larger, f64::midpoint(b, t)),
        TEXT_M,
        Anchor::Middle,
        true,
        false,
        &high,
    );
}

/// A dimension line with oblique ticks, horizontal or upright.
fn dimension(paper: &mut Paper, from: Point, to: Point) {
    paper.line(from, to, Ink::Measure);
    for p in [from, to] {
        let d = 0.9e-3;
        paper.line(
            Point::new(p.x_m - d, p.y_m - d),
            Point::new(p.x_m + d, p.y_m + d),
            Ink::Measure,
        );
    }
}

/// Distances from the centre mark, written upright below the part and spread so that they do not overlap.
fn ordinates(paper: &mut Paper, stations: &[(f64, String)], x0: f64, bottom: f64) {
    const PITCH_M: f64 = 3.4e-3;
    let n = stations.len();
    let mut places: Vec<f64> = stations.iter().map(|(x, _)| x + x0).collect();
    // A few sweeps from both sides keep the pitch and stay near the true place.
    for _ in 0..n {
        for i in 1..n {
            let (Some(&a), Some(&b)) = (places.get(i - 1), places.get(i)) else {
                continue;
            };
            if b - a < PITCH_M {
                let middle = f64::midpoint(a, b);
                if let Some(place) = places.get_mut(i - 1) {
                    *place = middle - PITCH_M / 2.0;
                }
                if let Some(place) = places.get_mut(i) {
                    *place = middle + PITCH_M / 2.0;
                }
            }
        }
    }
    for ((x, name), place) in stations.iter().zip(places) {
        let from = Point::new(x + x0, bottom - 0.8e-3);
        let knee = Point::new(x + x0, bottom - 2.5e-3);
        let foot = Point::new(place, bottom - 5e-3);
        paper.line(from, knee, Ink::Measure);
        paper.line(knee, foot, Ink::Measure);
        paper.write(
            Point::new(place + 0.9e-3, bottom - 5.6e-3),
            LEAST_TEXT_M,
            Anchor::End,
            true,
            false,
            &format!("{} {name}", figure(*x, paper.units)),
        );
    }
}
