//! What is asked for: blanks, stock, and how it is cut.

use serde::Serialize;

use super::layout::Area;
use super::method::{KEEP_LENGTH, KEEP_WIDTH, Method};
use super::shapes::is_rectangle;
use super::sheet::{Offcut, SheetKind, Sold};
use crate::error::{Error, Range, Result, check};
use crate::outline::{Chain, Outline, Point};
pub use crate::shape::Turns;

/// A part to be laid, and how many of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Part {
    /// Name, unique in the ask.
    pub id: String,
    /// True outline with its holes, before the turn.
    pub outline: Outline,
    /// How many.
    pub quantity: u32,
    /// Turns allowed.
    pub turns: Turns,
    /// Whether it may be cut from the other face (mirrored).
    pub may_flip: bool,
}

impl Part {
    /// A rectangle with its lower left corner at the origin.
    ///
    /// ```
    /// use mountwright::stock::{Part, Turns};
    /// let strap = Part::rectangle("strap", 0.42, 0.06, 2, Turns::Quarter);
    /// assert!((strap.outline.area_m2() - 0.42 * 0.06).abs() < 1e-12);
    /// ```
    pub fn rectangle(
        id: impl Into<String>,
        width_m: f64,
        height_m: f64,
        quantity: u32,
        turns: Turns,
    ) -> Self {
        Self::shape(id, rectangle(width_m, height_m), quantity, turns)
    }

    /// A part of any outline, which may not be flipped.
    pub fn shape(id: impl Into<String>, outline: Outline, quantity: u32, turns: Turns) -> Self {
        Self {
            id: id.into(),
            outline,
            quantity,
            turns,
            may_flip: false,
        }
    }
}

/// A rectangle from the origin to (`width_m`, `height_m`); a size below zero becomes zero, which is refused later.
pub(super) fn rectangle(width_m: f64, height_m: f64) -> Outline {
    let size = |length_m: f64| if length_m < 0.0 { 0.0 } else { length_m };
    let (width_m, height_m) = (size(width_m), size(height_m));
    Outline::new(
        Chain::polygon(&[
            Point::new(0.0, 0.0),
            Point::new(width_m, 0.0),
            Point::new(width_m, height_m),
            Point::new(0.0, height_m),
        ]),
        vec![],
    )
}

/// All that a layout needs to know: one material, one thickness.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ask {
    /// The parts.
    pub blanks: Vec<Part>,
    /// The kinds of sheet on sale.
    pub sheets: Vec<SheetKind>,
    /// The offcuts on the shelf.
    pub offcuts: Vec<Offcut>,
    /// Width of the cut, 0 to 0.05. [m]
    pub kerf_m: f64,
    /// Least distance between two parts; the greater of this and the kerf counts. A saw leaves one kerf. [m]
    pub spacing_m: f64,
    /// Strip cut off each edge of a sheet or offcut before parts are laid; 0 where the edges are good. [m]
    pub trim_m: f64,
    /// How it is cut.
    pub method: Method,
    /// Least width and length of a remnant worth keeping, either way round; a disc from the middle of a ring is as wide as the width. [m]
    pub keep_least_m: (f64, f64),
    /// What a kept remnant is worth as a share of the sheet's price for its area, 0 to 1. An offcut's remnant keeps its full share of the offcut's shelf value.
    pub recovery_fraction: f64,
    /// Cost of cutting. [currency/m]
    pub cutting_rate_per_m: f64,
    /// What each day of waiting for a sheet costs: the latest that is bought counts. [currency/day]
    pub waiting_rate_per_day: f64,
    /// Only sheets that arrive within this many days are bought; `None`: any.
    pub within_days: Option<f64>,
    /// Seed of the search: the same ask gives the same layout.
    pub seed: u64,
    /// How long to search, in tried positions of a part.
    pub effort: u64,
}

/// Effort of a layout of rectangles where none is asked for: about a tenth of a second. [tried positions]
pub const DEFAULT_EFFORT: u64 = 4_000_000;
/// The same under a saw, where a position is tested sooner. [tried positions]
pub const DEFAULT_SAW_EFFORT: u64 = 20_000_000;
/// The same where some part is no rectangle: a position of an outline takes longer. [tried positions]
pub const DEFAULT_OUTLINE_EFFORT: u64 = 200_000;

const MOST_PARTS: f64 = 100_000.0;
const SIZE: Range = Range::new(1e-4, 20.0, "m");
pub(super) const MONEY: Range = Range::new(0.0, 1e9, "currency");

impl Ask {
    /// An ask with the usual kerf, spacing and trim of the method, remnants from 100 x 300 mm at half their price.
    pub fn new(blanks: Vec<Part>, sheets: Vec<SheetKind>, method: Method) -> Self {
        let boxes = blanks.iter().all(|b| is_rectangle(&b.outline));
        Self {
            blanks,
            sheets,
            offcuts: vec![],
            kerf_m: method.kerf().value,
            spacing_m: method.spacing().value,
            trim_m: method.trim().value,
            method,
            keep_least_m: (KEEP_WIDTH.value, KEEP_LENGTH.value),
            recovery_fraction: 0.5,
            cutting_rate_per_m: 0.0,
            waiting_rate_per_day: 0.0,
            within_days: None,
            seed: 1,
            effort: if method == Method::Saw {
                DEFAULT_SAW_EFFORT
            } else if boxes {
                DEFAULT_EFFORT
            } else {
                DEFAULT_OUTLINE_EFFORT
            },
        }
    }

    /// The distance that is kept between two parts. [m]
    pub fn gap_m(&self) -> f64 {
        match self.method {
            Method::Saw => self.kerf_m,
            Method::HandRouter | Method::Cnc => self.kerf_m.max(self.spacing_m),
        }
    }

    /// Refuses what cannot be: sizes, prices, names, outlines.
    pub(super) fn checked(&self) -> Result<()> {
        let length = |what: &str, value: f64, low: f64, high: f64| {
            check(what, value, Range::new(low, high, "m"), "measure again")
        };
        length("kerf_m", self.kerf_m, 0.0, 0.05)?;
        length("spacing_m", self.spacing_m, 0.0, 1.0)?;
        length("trim_m", self.trim_m, 0.0, 1.0)?;
        length("keep_least_m.0", self.keep_least_m.0, 1e-3, 100.0)?;
        length("keep_least_m.1", self.keep_least_m.1, 1e-3, 100.0)?;
        let share = Range::new(0.0, 1.0, "1");
        check(
            "recovery_fraction",
            self.recovery_fraction,
            share,
            "give a share from 0 to 1",
        )?;
        check(
            "cutting_rate_per_m",
            self.cutting_rate_per_m,
            MONEY,
            "give the cost of one metre of cut",
        )?;
        check(
            "waiting_rate_per_day",
            self.waiting_rate_per_day,
            MONEY,
            "give the cost of one day of waiting",
        )?;
        if let Some(days) = self.within_days {
            check(
                "within_days",
                days,
                Range::new(0.0, 1e4, "days"),
                "give the days until the cut",
            )?;
        }
        if self.blanks.is_empty() {
            return Err(Error::Shape {
                what: "blanks".into(),
                given: "an empty list".into(),
                allowed: "at least one part".into(),
            });
        }
        self.checked_parts()?;
        self.checked_stock()
    }

    fn checked_parts(&self) -> Result<()> {
        let mut names = std::collections::BTreeSet::new();
        let mut count = 0.0;
        for (i, part) in self.blanks.iter().enumerate() {
            unique(&mut names, format!("blanks[{i}].id"), &part.id)?;
            checked_outline(&format!("blanks[{i}].outline"), &part.outline)?;
            count += f64::from(part.quantity);
        }
        check(
            "number of parts",
            count,
            Range::new(1.0, MOST_PARTS, "parts"),
            "lay out fewer parts at a time",
        )?;
        Ok(())
    }

    fn checked_stock(&self) -> Result<()> {
        let mut names = std::collections::BTreeSet::new();
        for (i, sheet) in self.sheets.iter().enumerate() {
            let at = |field: &str| format!("sheets[{i}].{field}");
            unique(&mut names, at("name"), &sheet.name)?;
            let days = Range::new(0.0, 1e4, "days");
            for (field, value, range, remedy) in [
                ("width_m", sheet.width_m, SIZE, "measure the sheet"),
                ("height_m", sheet.height_m, SIZE, "measure the sheet"),
                ("price", sheet.price, MONEY, "give the price of one sheet"),
                (
                    "cut_fee",
                    sheet.cut_fee,
                    MONEY,
                    "give the fee for one sheet",
                ),
                (
                    "freight",
                    sheet.freight,
                    MONEY,
                    "give the cost of one delivery",
                ),
                (
                    "days_to_arrive",
                    sheet.days_to_arrive,
                    days,
                    "ask the merchant",
                ),
            ] {
                check(at(field), value, range, remedy)?;
            }
            sheet.surcharge.checked(&at("surcharge"))?;
            checked_areas(&at("bad_areas"), &sheet.bad_areas)?;
            if sheet.sold != Sold::Whole && !sheet.bad_areas.is_empty() {
                return Err(Error::Shape {
                    what: at("bad_areas"),
                    given: "bad areas of a sheet that is cut to order".into(),
                    allowed: "bad areas of whole sheets and offcuts".into(),
                });
            }
        }
        for (i, offcut) in self.offcuts.iter().enumerate() {
            let at = |field: &str| format!("offcuts[{i}].{field}");
            unique(&mut names, at("name"), &offcut.name)?;
            check(
                at("shelf_value"),
                offcut.shelf_value,
                MONEY,
                "give what it is worth",
            )?;
            checked_outline(&at("outline"), &offcut.outline)?;
            checked_areas(&at("bad_areas"), &offcut.bad_areas)?;
        }
        Ok(())
    }
}

fn checked_areas(what: &str, areas: &[Area]) -> Result<()> {
    let place = Range::new(-20.0, 20.0, "m");
    for (i, area) in areas.iter().enumerate() {
        for (field, value, range) in [
            ("x_m", area.x_m, place),
            ("y_m", area.y_m, place),
            ("width_m", area.width_m, SIZE),
            ("height_m", area.height_m, SIZE),
        ] {
            check(
                format!("{what}[{i}].{field}"),
                value,
                range,
                "measure the bad area",
            )?;
        }
    }
    Ok(())
}

fn unique(names: &mut std::collections::BTreeSet<String>, what: String, name: &str) -> Result<()> {
    if name.is_empty() || !names.insert(name.to_string()) {
        return Err(Error::Shape {
            what,
            given: format!("\"{name}\""),
            allowed: "a name that is not empty and not used twice".into(),
        });
    }
    Ok(())
}

/// An outline that can be cut, of a possible size.
fn checked_outline(what: &str, outline: &Outline) -> Result<()> {
    let (width, height) = outline.size_m();
    check(format!("{what}: width"), width, SIZE, "measure the part")?;
    check(format!("{what}: height"), height, SIZE, "measure the part")?;
    match outline.faults().first() {
        None => Ok(()),
        Some(fault) => Err(Error::Shape {
            what: what.into(),
            given: format!("faulty: {fault}"),
            allowed: "closed contours that do not cross, holes apart and inside".into(),
        }),
    }
}
