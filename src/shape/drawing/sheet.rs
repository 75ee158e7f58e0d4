//! The sheet of paper: views, tables, calibration bars and title block, from top to bottom.

use serde::Serialize;

use super::content;
use super::view::{self, View};
use crate::error::{Error, Result};
use crate::outline::{Chain, Point};
use crate::quantity::System;
use crate::shape::blank::Blank;

/// What a line on paper means; the writers give each its own pattern, so that it reads in grey.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Ink {
    /// An edge that is cut.
    Cut,
    /// A hole that is drilled in the flat.
    Drill,
    /// A hole that waits for the trial fit.
    Later,
    /// Where a bend begins or ends.
    Bend,
    /// A centre line or cross.
    Centre,
    /// Where the end is trimmed after the trial fit.
    Trim,
    /// A heated zone (filled).
    Zone,
    /// A contour that is not cut through.
    Contour,
    /// Dimension lines.
    Measure,
    /// Frames, tables and calibration bars.
    Frame,
}

/// Where a text stands to its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Anchor {
    /// It begins there.
    Start,
    /// Its middle is there.
    Middle,
    /// It ends there.
    End,
}

/// One thing on the paper, in metres from its lower left corner, y upwards.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Item {
    /// A closed chain.
    Chain {
        /// The chain.
        chain: Chain,
        /// Its meaning.
        ink: Ink,
    },
    /// A line.
    Line {
        /// One end.
        from: Point,
        /// The other end.
        to: Point,
        /// Its meaning.
        ink: Ink,
    },
    /// A filled rectangle, for calibration bars.
    Bar {
        /// Lower left corner.
        at: Point,
        /// Width. [m]
        width_m: f64,
        /// Height. [m]
        height_m: f64,
    },
    /// A line of text.
    Text {
        /// Where, on its base line.
        at: Point,
        /// Height of the letters' body. [m]
        size_m: f64,
        /// Where the text stands to `at`.
        anchor: Anchor,
        /// Whether it runs upwards.
        upwards: bool,
        /// Whether it is set bold.
        bold: bool,
        /// The words, without control characters.
        text: String,
    },
}

/// What the title block says besides what the blank itself says.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Title {
    /// The job.
    pub job: String,
    /// The material and colour of the sheet.
    pub material: String,
    /// A remark such as `invented demo data`; may be empty.
    pub remark: String,
    /// Units of dimensions, tables and notes.
    pub units: System,
}

/// A drawing at true size.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drawing {
    /// Name of the blank.
    pub name: String,
    /// Width of the paper. [m]
    pub width_m: f64,
    /// Height of the paper. [m]
    pub height_m: f64,
    /// What is on it, in painting order.
    pub items: Vec<Item>,
    /// Strips from top to bottom that may stand on pages of their own: views, then tables.
    pub bands: Vec<Band>,
    /// Empty edge all round. [m]
    pub margin_m: f64,
    /// Where the blank's origin lies in the view from the show face; `None` where there is no view.
    pub origin_m: Option<Point>,
    /// Hole centres in the view from the show face.
    pub centres_m: Vec<Point>,
}

/// What a strip of a drawing shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Shows {
    /// The blank from its show face.
    Front,
    /// The blank from its back.
    Back,
    /// Legend, tables and notes: no line in it is a contour.
    Words,
}

/// A strip of a drawing.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// Upper edge. [m]
    pub top_m: f64,
    /// Lower edge. [m]
    pub bottom_m: f64,
    /// Width from the margin. [m]
    pub width_m: f64,
    /// How many items stand in it and in the strips above.
    pub items: usize,
    /// What it shows.
    pub shows: Shows,
}

const FRONT: &str = "seen from the show face";
const BOTH: &str = "seen from the show face; mirrored it is the same";
const MARGIN_M: f64 = 0.010;
/// Narrowest paper: the calibration bars and the title block need it.
const LEAST_WIDTH_M: f64 = 0.190;
/// Width of tables on wide paper: what A4 holds. [m]
const TABLE_M: f64 = 0.190;
/// Margin that a view alone can do without, and the room of its heading with it.
const SPARE_M: f64 = 0.007;
const SPARE_ABOVE_M: f64 = 0.011;
/// Width of a bench card's text on A4 or Letter paper; a view that is not long takes half of it.
const CARD_M: f64 = 0.180;
/// Height of the picture on the card of a heated part, which also holds its strip of times.
const HOT_CARD_M: f64 = 0.027;
/// Larger blanks are not drawn on one sheet.
const LARGEST_M: f64 = 5.0;

/// Draws a blank at true size, seen from its show face, and once more mirrored, as the back shows it, unless both look alike.
///
/// # Errors
/// [`Error::Shape`] for a faulty outline or a blank larger than 5 m.
///
/// ```
/// use mountwright::shape::drawing::{Title, drawing};
/// use mountwright::shape::strap::{Leg, StrapAsk, strap};
/// let leg = Leg::flat(0.045, 0.025, 0.020, 0.025);
/// let made = strap(&StrapAsk::new("pod strap", 0.003, 0.025, leg, leg))?;
/// let svg = drawing(&made.blank, &Title::default())?.svg();
/// assert!(svg.starts_with("<svg") && svg.contains("seen from the show face"));
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn drawing(blank: &Blank, title: &Title) -> Result<Drawing> {
    let blank = checked(blank)?;
    let back = blank.mirrored();
    let mut views = vec![];
    if blank.looks_alike_from_the_back() {
        views.push(View::new(blank, BOTH));
    } else {
        views.push(View::new(blank, FRONT));
        views.push(View::new(
            &back,
            "mirrored: seen from the back, for marking and cutting on that face",
        ));
    }
    let inner = views
        .iter()
        .map(View::width_m)
        .fold(LEAST_WIDTH_M - 2.0 * MARGIN_M, f64::max);
    let mut paper = Paper::new(inner, title.units);
    for (i, view) in views.iter().enumerate() {
        view::draw(view, &mut paper);
        paper.strip(
            view.width_m(),
            if i > 0 { Shows::Back } else { Shows::Front },
        );
    }
    paper.right_m = paper.left_m + inner.min(TABLE_M);
    content::legend(blank, &mut paper);
    content::bends(blank, &mut paper);
    content::holes(blank, &mut paper);
    content::openings(blank, &mut paper);
    content::contours(blank, &mut paper);
    content::notes(blank, &mut paper);
    content::calibration(&mut paper);
    content::title_block(blank, title, &mut paper);
    paper.strip(inner.min(TABLE_M), Shows::Words);
    paper.right_m = paper.left_m + inner;
    Ok(paper.lifted(&blank.name))
}

/// The blank, if it can be drawn.
fn checked(blank: &Blank) -> Result<&Blank> {
    let outline = blank.outline.clone().checked(&blank.name)?;
    let (width, height) = outline.size_m();
    if width > LARGEST_M || height > LARGEST_M {
        return Err(Error::Shape {
            what: format!("drawing of {}", blank.name),
            given: format!("{width:.2} m by {height:.2} m"),
            allowed: "at most 5 m by 5 m".into(),
        });
    }
    Ok(blank)
}

/// Draws one view of a blank, seen from its show face, with its dimensions and no more: for a bench card.
///
/// The card shows it smaller than it is, so its words are written larger; the card also says what it is,
/// so it has no heading and little margin.
///
/// # Errors
/// As for [`drawing`].
pub fn face(blank: &Blank, units: System) -> Result<Drawing> {
    let blank = checked(blank)?;
    let (width_m, height_m) = blank.outline.size_m();
    let (wide_m, tall_m) = if blank.heated.is_empty() {
        let across = if width_m > 2.0 * height_m { 1.0 } else { 0.5 };
        (across * CARD_M, f64::INFINITY)
    } else {
        (CARD_M, HOT_CARD_M)
    };
    let larger = ((width_m + 2.0 * MARGIN_M) / wide_m).max((height_m + 2.0 * MARGIN_M) / tall_m);
    let view = View::new(blank, FRONT).lettered(larger.clamp(1.0, 8.0));
    let mut paper = Paper::new(view.width_m(), units);
    view::draw(&view, &mut paper);
    paper.strip(view.width_m(), Shows::Front);
    let mut made = paper.lifted(&blank.name);
    made.width_m -= 2.0 * SPARE_M;
    made.height_m -= SPARE_M + SPARE_ABOVE_M;
    made.items
        .retain(|item| !matches!(item, Item::Text { bold: true, .. }));
    made.margin_m -= SPARE_M;
    made.origin_m = made
        .origin_m
        .map(|p| Point::new(p.x_m - SPARE_M, p.y_m - SPARE_M));
    for p in &mut made.centres_m {
        *p = Point::new(p.x_m - SPARE_M, p.y_m - SPARE_M);
    }
    for band in &mut made.bands {
        band.items = made.items.len();
        band.top_m = made.height_m - made.margin_m;
        band.bottom_m -= SPARE_M;
    }
    made.items = made
        .items
        .into_iter()
        .map(|item| item.moved(-SPARE_M, -SPARE_M))
        .collect();
    Ok(made)
}

/// The paper while it is filled from the top; `y_m` is how far down it is used (negative).
pub(super) struct Paper {
    pub(super) left_m: f64,
    pub(super) right_m: f64,
    pub(super) y_m: f64,
    pub(super) items: Vec<Item>,
    pub(super) origin_m: Option<Point>,
    pub(super) centres_m: Vec<Point>,
    pub(super) units: System,
    /// How much larger words are written now.
    pub(super) larger: f64,
    bands: Vec<Band>,
}

impl Paper {
    /// Empty paper; laid out downwards from 0, then [`lifted`](Self::lifted).
    pub(super) fn new(inner_m: f64, units: System) -> Self {
        Self {
            left_m: MARGIN_M,
            right_m: MARGIN_M + inner_m,
            y_m: -MARGIN_M,
            items: vec![],
            origin_m: None,
            centres_m: vec![],
            units,
            larger: 1.0,
            bands: vec![],
        }
    }

    /// Ends a strip that began where the one before it ended.
    pub(super) fn strip(&mut self, width_m: f64, shows: Shows) {
        self.bands.push(Band {
            top_m: self.bands.last().map_or(-MARGIN_M, |b| b.bottom_m),
            bottom_m: self.y_m,
            width_m,
            items: self.items.len(),
            shows,
        });
    }

    /// The finished drawing, as high as what is on it.
    pub(super) fn lifted(self, name: &str) -> Drawing {
        let height_m = MARGIN_M - self.y_m;
        Drawing {
            name: clean(name),
            width_m: self.right_m + MARGIN_M,
            height_m,
            margin_m: MARGIN_M,
            origin_m: self.origin_m.map(|p| Point::new(p.x_m, p.y_m + height_m)),
            centres_m: self
                .centres_m
                .iter()
                .map(|p| Point::new(p.x_m, p.y_m + height_m))
                .collect(),
            bands: self
                .bands
                .into_iter()
                .map(|b| Band {
                    top_m: b.top_m + height_m,
                    bottom_m: b.bottom_m + height_m,
                    ..b
                })
                .collect(),
            items: self
                .items
                .into_iter()
                .map(|item| item.moved(0.0, height_m))
                .collect(),
        }
    }

    pub(super) fn line(&mut self, from: Point, to: Point, ink: Ink) {
        self.items.push(Item::Line { from, to, ink });
    }

    pub(super) fn text(&mut self, at: Point, size_m: f64, anchor: Anchor, text: &str) {
        self.write(at, size_m, anchor, false, false, text);
    }

    pub(super) fn write(
        &mut self,
        at: Point,
        size_m: f64,
        anchor: Anchor,
        upwards: bool,
        bold: bool,
        text: &str,
    ) {
        self.items.push(Item::Text {
            at,
            size_m: size_m * self.larger,
            anchor,
            upwards,
            bold,
            text: clean(text),
        });
    }

    pub(super) fn width_m(&self) -> f64 {
        self.right_m - self.left_m
    }
}

/// One line of printable text: control characters become spaces, and a name of any length stays one line.
pub(super) fn clean(text: &str) -> String {
    let kept: String = text
        .chars()
        .take(400)
        .map(|c| if c.is_control() { ' ' } else { c })
        .collect();
    kept.trim().into()
}

impl Item {
    /// The same, moved.
    #[must_use]
    pub fn moved(self, x_m: f64, y_m: f64) -> Self {
        let by = |p: Point| Point::new(p.x_m + x_m, p.y_m + y_m);
        match self {
            Self::Chain { chain, ink } => Self::Chain {
                chain: chain.moved(x_m, y_m),
                ink,
            },
            Self::Line { from, to, ink } => Self::Line {
                from: by(from),
                to: by(to),
                ink,
            },
            Self::Bar {
                at,
                width_m,
                height_m,
            } => Self::Bar {
                at: by(at),
                width_m,
                height_m,
            },
            Self::Text {
                at,
                size_m,
                anchor,
                upwards,
                bold,
                text,
            } => Self::Text {
                at: by(at),
                size_m,
                anchor,
                upwards,
                bold,
                text,
            },
        }
    }
}
