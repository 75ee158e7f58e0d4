//! What comes back: placements, what to buy, what to keep, and what it costs.

use serde::{Deserialize, Serialize};

use super::ask::{Ask, rectangle};
use super::method::Hold;
use super::sheet::Offcut;
use crate::error::Note;
use crate::outline::{Chain, Circle, Outline, Placement, Point};

/// What a used piece of stock is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A piece from the shelf.
    Offcut,
    /// A sheet to be bought or taken from the rack at its price.
    Sheet,
}

/// A rectangle on a sheet, from its lower left corner. [m]
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Area {
    /// Left edge. [m]
    pub x_m: f64,
    /// Lower edge. [m]
    pub y_m: f64,
    /// Width. [m]
    pub width_m: f64,
    /// Height. [m]
    pub height_m: f64,
}

/// One copy of a part on its sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Placed {
    /// The part's `id`.
    pub part: String,
    /// Which copy, from 1, over all sheets.
    pub copy: u32,
    /// Turn about the part's origin (after the flip), then shift, from the sheet's lower left corner.
    pub placement: Placement,
    /// Whether it is mirrored in its y axis before the turn.
    pub flipped: bool,
    /// Bounds of the placed outline.
    pub bounds: Area,
    /// How it is held while it is cut free.
    pub hold: Hold,
}

/// One step of cutting a sheet, in order.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(tag = "what", rename_all = "kebab-case")]
pub enum Step {
    /// Cut an edge of the sheet true.
    Trim {
        /// Where the cut starts. [m]
        from_m: (f64, f64),
        /// Where it ends. [m]
        to_m: (f64, f64),
    },
    /// Cut the piece in hand in two, from edge to edge.
    Through {
        /// The piece in hand.
        piece: Area,
        /// Where the cut starts: its edge on the side of the stop. [m]
        from_m: (f64, f64),
        /// Where it ends. [m]
        to_m: (f64, f64),
        /// Distance from the piece's left or lower edge: the setting of the stop. [m]
        stop_m: f64,
    },
    /// Rout a hole of a part, before its outside.
    Inside {
        /// The part's `id`.
        part: String,
        /// Which copy.
        copy: u32,
        /// Which hole, in the order of the outline.
        hole: usize,
    },
    /// Rout the outside of a part, which comes free.
    Outside {
        /// The part's `id`.
        part: String,
        /// Which copy.
        copy: u32,
    },
}

/// A piece worth putting back on the shelf: a clear rectangle, or the largest disc of a cutout that stays empty.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Remnant {
    /// Where it lies on the sheet.
    pub area: Area,
    /// Diameter of a disc; `None` for a rectangle. [m]
    pub diameter_m: Option<f64>,
    /// What it is worth on the shelf. [currency]
    pub value: f64,
}

impl Remnant {
    /// Its outline where it lies on the sheet.
    pub fn outline(&self) -> Outline {
        let a = &self.area;
        let Some(diameter_m) = self.diameter_m else {
            return rectangle(a.width_m, a.height_m).placed(Placement {
                turn_rad: 0.0,
                x_m: a.x_m,
                y_m: a.y_m,
            });
        };
        let radius_m = diameter_m / 2.0;
        let centre = Point::new(a.x_m + radius_m, a.y_m + radius_m);
        Outline::new(Chain::circle(Circle { centre, radius_m }), vec![])
    }

    /// Its area. [m²]
    pub fn area_m2(&self) -> f64 {
        match self.diameter_m {
            Some(d) => std::f64::consts::PI * d * d / 4.0,
            None => self.area.width_m * self.area.height_m,
        }
    }
}

/// One sheet or offcut with what is cut from it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Used {
    /// Name of the sheet kind or offcut.
    pub stock: String,
    /// What it is.
    pub kind: Kind,
    /// Width. [m]
    pub width_m: f64,
    /// Height; of a sheet cut to length, what is bought. [m]
    pub height_m: f64,
    /// Paid for it, or its shelf value. [currency]
    pub cost: f64,
    /// The parts on it.
    pub placements: Vec<Placed>,
    /// How to cut it.
    pub steps: Vec<Step>,
    /// What is worth keeping of it.
    pub kept: Vec<Remnant>,
    /// Share of its area that becomes parts.
    pub yield_fraction: f64,
}

impl Used {
    /// The offcut of the ask that this is, if it is one.
    pub(super) fn offcut<'a>(&self, ask: &'a Ask) -> Option<&'a Offcut> {
        ask.offcuts
            .iter()
            .find(|o| self.kind == Kind::Offcut && o.name == self.stock)
    }

    /// Its bad areas.
    pub(super) fn bad_areas<'a>(&self, ask: &'a Ask) -> &'a [Area] {
        match self.kind {
            Kind::Offcut => self.offcut(ask).map_or(&[], |o| &o.bad_areas),
            Kind::Sheet => ask
                .sheets
                .iter()
                .find(|s| s.name == self.stock)
                .map_or(&[], |s| &s.bad_areas),
        }
    }
}

/// Sheets of one kind to buy.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Purchase {
    /// The sheet kind.
    pub name: String,
    /// How many.
    pub count: u32,
    /// Price and fees of all of them. [currency]
    pub price: f64,
    /// Who sells it.
    pub merchant: String,
    /// Days until they are there.
    pub days_to_arrive: f64,
}

/// Copies of a part that found no place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Unplaced {
    /// The part's `id`.
    pub part: String,
    /// How many of its copies.
    pub copies: u32,
    /// Why.
    pub reason: String,
}

/// What the layout costs. The objective is `bought + freight + waiting + shelf_taken - kept + cutting`.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Money {
    /// Sheets and their fees. [currency]
    pub bought: f64,
    /// Deliveries. [currency]
    pub freight: f64,
    /// Days until the last sheet is there, at the rate of the ask. [currency]
    pub waiting: f64,
    /// Shelf value of the offcuts taken. [currency]
    pub shelf_taken: f64,
    /// Shelf value of what is kept. [currency]
    pub kept: f64,
    /// Length of cut at the rate of the ask. [currency]
    pub cutting: f64,
    /// What is made as small as can be. [currency]
    pub objective: f64,
}

/// A part's share of the cost of material.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Share {
    /// The part's `id`.
    pub part: String,
    /// For all its copies; the shares add up to `bought + shelf_taken - kept`. [currency]
    pub material_cost: f64,
}

/// Where the area of the stock goes; the five add up to the area of the stock used.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Loss {
    /// Into parts, holes not counted. [m²]
    pub parts_m2: f64,
    /// Back on the shelf. [m²]
    pub kept_m2: f64,
    /// Into dust along the parts' edges. [m²]
    pub kerf_m2: f64,
    /// Trimmed edges. [m²]
    pub trim_m2: f64,
    /// Into the bin. [m²]
    pub scrap_m2: f64,
}

/// A checked layout with its cost and its bound.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Layout {
    /// The stock used, each with its parts.
    pub sheets_used: Vec<Used>,
    /// What to buy.
    pub buy: Vec<Purchase>,
    /// What found no place; empty for a whole layout.
    pub unplaced: Vec<Unplaced>,
    /// Area of parts over area of stock used.
    pub yield_fraction: f64,
    /// The same with kept remnants counted as yield.
    pub yield_with_kept_fraction: f64,
    /// Money that goes into parts: (bought + taken - kept) is spent for parts and waste; this is the parts' share by area of the money.
    pub yield_by_money_fraction: f64,
    /// The cost.
    pub money: Money,
    /// No layout of these parts on this stock has a lower objective. [currency]
    pub bound: f64,
    /// (objective - bound) / bound; `None` where the bound is zero and the objective is not, or parts are left over.
    pub gap_fraction: Option<f64>,
    /// Whether the objective meets the bound: there is no better layout.
    pub proved: bool,
    /// Each part's share of the cost of material.
    pub shares: Vec<Share>,
    /// Length of all cuts. [m]
    pub cut_length_m: f64,
    /// Where the area goes.
    pub loss: Loss,
    /// Positions tried.
    pub effort_used: u64,
    /// Seed of the search.
    pub seed: u64,
    /// Whether the caller stopped the search before its effort was spent; such a layout need not repeat.
    pub cut_short: bool,
    /// What else is to be known.
    pub notes: Vec<Note>,
}
