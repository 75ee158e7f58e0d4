//! Which part of a drawing goes on which page: bands that fit stay whole, larger ones are tiled.

use serde::{Deserialize, Serialize};

use super::sheet::{Anchor, Band, Drawing, Ink, Item, clean};
use crate::error::{Error, Result};
use crate::outline::{Chain, Circle, Point};

/// Room at the left, right and upper edge of a page: printers leave at most about this blank (common practice, no source). [m]
pub(super) const MARGIN_M: f64 = 0.010;
/// Room at the lower edge for the bars and the page's number. [m]
const FOOT_M: f64 = 0.020;
/// How far neighbouring pages show the same: enough for a strip of tape (common practice, no source). [m]
const OVERLAP_M: f64 = 0.015;

/// A size of paper.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Page {
    /// 210 by 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 by 11 in.
    Letter,
}

impl Page {
    /// Width and height, upright. [m]
    pub const fn size_m(self) -> (f64, f64) {
        match self {
            Self::A4 => (0.210, 0.297),
            Self::Letter => (0.2159, 0.2794),
        }
    }

    /// The paper with a name: `a4`, `letter`.
    ///
    /// # Errors
    /// [`Error::Unknown`] for another name.
    pub fn named(name: &str) -> Result<Self> {
        match name.to_ascii_lowercase().as_str() {
            "a4" => Ok(Self::A4),
            "letter" => Ok(Self::Letter),
            _ => Err(Error::unknown("size of paper", name, ["a4", "letter"])),
        }
    }
}

/// One page of a drawing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Sheet {
    /// Width and height of the paper as it is turned. [m]
    pub(super) paper_m: (f64, f64),
    /// What it shows of the drawing: left, bottom, right, top. [m]
    pub(super) window_m: (f64, f64, f64, f64),
    /// Crosses and lines on the overlaps, in the drawing's own place.
    pub(super) marks: Vec<Item>,
    /// What its foot says: page 1 of 3.
    words: String,
}

/// A page upright or turned, and the room for the drawing on it. [m]
#[derive(Debug, Clone, Copy)]
struct Room {
    paper: (f64, f64),
    inside: (f64, f64),
}

fn rooms(page: Page) -> [Room; 2] {
    let (w, h) = page.size_m();
    [(w, h), (h, w)].map(|(w, h)| Room {
        paper: (w, h),
        inside: (w - 2.0 * MARGIN_M, h - MARGIN_M - FOOT_M),
    })
}

/// A hair, so that rounding does not cost a page. [m]
const HAIR_M: f64 = 1e-6;

fn fits(bands: &[Band], room: (f64, f64)) -> bool {
    let width = bands.iter().map(|b| b.width_m).fold(0.0, f64::max);
    let height = match (bands.first(), bands.last()) {
        (Some(first), Some(last)) => first.top_m - last.bottom_m,
        _ => 0.0,
    };
    width <= room.0 + HAIR_M && height <= room.1 + HAIR_M
}

/// The pages of a drawing.
pub(super) fn sheets(drawing: &Drawing, page: Page) -> Vec<Sheet> {
    let rooms = rooms(page);
    let left = drawing.margin_m;
    let mut bands = &drawing.bands[..];
    let mut sheets: Vec<Sheet> = vec![];
    while let Some(first) = bands.first() {
        // The orientation that takes most bands; upright where both take as many.
        let takes = rooms.map(|room| {
            let n = (1..=bands.len())
                .take_while(|&n| bands.get(..n).is_some_and(|b| fits(b, room.inside)))
                .last();
            (n.unwrap_or(0), room.paper)
        });
        let [upright, turned] = takes;
        let (n, paper_m) = if turned.0 > upright.0 {
            turned
        } else {
            upright
        };
        if n == 0 {
            sheets.extend(tiles(first, left, &rooms));
            bands = bands.get(1..).unwrap_or(&[]);
            continue;
        }
        let (taken, rest) = bands.split_at(n);
        let width = taken.iter().map(|b| b.width_m).fold(0.0, f64::max);
        let bottom = taken.last().map_or(first.bottom_m, |b| b.bottom_m);
        sheets.push(Sheet {
            paper_m,
            window_m: (left, bottom, left + width, first.top_m),
            marks: vec![],
            words: String::new(),
        });
        bands = rest;
    }
    let count = sheets.len();
    for (i, sheet) in sheets.iter_mut().enumerate() {
        sheet.words = format!("page {} of {count}{}", i + 1, sheet.words);
    }
    sheets
}

/// How many pages in a row cover a length.
fn needed(length_m: f64, room_m: f64) -> u32 {
    let more = ((length_m - room_m - HAIR_M) / (room_m - OVERLAP_M)).ceil();
    // At most 5 m over 0.1 m.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let n = more.clamp(0.0, 1000.0) as u32;
    n + 1
}

/// A band spread over rows and columns of pages, in the orientation that takes fewest.
fn tiles(band: &Band, left: f64, rooms: &[Room; 2]) -> Vec<Sheet> {
    let (width, height) = (band.width_m, band.top_m - band.bottom_m);
    let count = |room: (f64, f64)| needed(width, room.0) * needed(height, room.1);
    let [upright, turned] = *rooms;
    let chosen = if count(turned.inside) < count(upright.inside) {
        turned
    } else {
        upright
    };
    let (paper_m, room) = (chosen.paper, chosen.inside);
    let (columns, rows) = (needed(width, room.0), needed(height, room.1));
    let step = (room.0 - OVERLAP_M, room.1 - OVERLAP_M);
    let mut sheets = vec![];
    for row in 0..rows {
        for column in 0..columns {
            let x = left + f64::from(column) * step.0;
            let y = band.top_m - f64::from(row) * step.1;
            let window_m = (
                x,
                (y - room.1).max(band.bottom_m),
                (x + room.0).min(left + width),
                y,
            );
            let mut marks = vec![];
            for joint in [column.checked_sub(1), Some(column)].into_iter().flatten() {
                if joint + 1 < columns {
                    let at = left + f64::from(joint + 1) * step.0 + OVERLAP_M / 2.0;
                    upright_joint(&mut marks, at, window_m);
                }
            }
            for joint in [row.checked_sub(1), Some(row)].into_iter().flatten() {
                if joint + 1 < rows {
                    let at = band.top_m - f64::from(joint + 1) * step.1 - OVERLAP_M / 2.0;
                    level_joint(&mut marks, at, window_m);
                }
            }
            let place = match (rows, columns) {
                (1, _) => format!(", part {} of {columns} from left to right", column + 1),
                (_, 1) => format!(", part {} of {rows} from top to bottom", row + 1),
                _ => format!(
                    ", row {} of {rows} from the top, column {} of {columns} from the left",
                    row + 1,
                    column + 1
                ),
            };
            sheets.push(Sheet {
                paper_m,
                window_m,
                marks,
                words: format!("{place}; cut one page at the broken line, lay it on the other so that the crosses meet, tape"),
            });
        }
    }
    sheets
}

fn cross(marks: &mut Vec<Item>, centre: Point) {
    let arm = 4e-3;
    for (dx, dy) in [(arm, 0.0), (0.0, arm)] {
        marks.push(Item::Line {
            from: Point::new(centre.x_m - dx, centre.y_m - dy),
            to: Point::new(centre.x_m + dx, centre.y_m + dy),
            ink: Ink::Frame,
        });
    }
    marks.push(Item::Chain {
        chain: Chain::circle(Circle {
            centre,
            radius_m: 2.5e-3,
        }),
        ink: Ink::Frame,
    });
}

/// A broken line with two crosses where two pages meet side by side.
fn upright_joint(marks: &mut Vec<Item>, x_m: f64, (_, bottom, _, top): (f64, f64, f64, f64)) {
    marks.push(Item::Line {
        from: Point::new(x_m, bottom),
        to: Point::new(x_m, top),
        ink: Ink::Later,
    });
    for share in [0.1, 0.9] {
        cross(marks, Point::new(x_m, bottom + share * (top - bottom)));
    }
}

/// A broken line with two crosses where a page meets the one below.
fn level_joint(marks: &mut Vec<Item>, y_m: f64, (left, _, right, _): (f64, f64, f64, f64)) {
    marks.push(Item::Line {
        from: Point::new(left, y_m),
        to: Point::new(right, y_m),
        ink: Ink::Later,
    });
    for share in [0.1, 0.9] {
        cross(marks, Point::new(left + share * (right - left), y_m));
    }
}

impl Sheet {
    /// Bars of 100 mm and 4 in, the drawing's name and the page's number, in the page's own place.
    pub(super) fn foot(&self, name: &str) -> Vec<Item> {
        let mut items = vec![];
        let text = |y_m: f64, x_m: f64, text: String| Item::Text {
            at: Point::new(x_m, y_m),
            size_m: 2.5e-3,
            anchor: Anchor::Start,
            upwards: false,
            bold: false,
            text,
        };
        for (y_m, length_m, parts, label) in [
            (0.0115, 0.100, 10_u32, "100 mm: measure before you cut"),
            (
                0.0070,
                0.1016,
                4,
                "4 in: print at 100 %, do not fit to the page",
            ),
        ] {
            let step = length_m / f64::from(parts);
            for i in (0..parts).step_by(2) {
                items.push(Item::Bar {
                    at: Point::new(MARGIN_M + step * f64::from(i), y_m),
                    width_m: step,
                    height_m: 1.5e-3,
                });
            }
            for y in [y_m, y_m + 1.5e-3] {
                items.push(Item::Line {
                    from: Point::new(MARGIN_M, y),
                    to: Point::new(MARGIN_M + length_m, y),
                    ink: Ink::Frame,
                });
            }
            for x in [MARGIN_M, MARGIN_M + length_m] {
                items.push(Item::Line {
                    from: Point::new(x, y_m - 0.5e-3),
                    to: Point::new(x, y_m + 2e-3),
                    ink: Ink::Frame,
                });
            }
            items.push(text(y_m, MARGIN_M + length_m + 2e-3, label.into()));
        }
        let name: String = clean(name).chars().take(40).collect();
        items.push(text(0.0155, MARGIN_M, format!("{name}, {}", self.words)));
        items
    }
}
