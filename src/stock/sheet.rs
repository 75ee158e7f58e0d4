//! Stock: sheets on sale, whole or cut by the merchant, and offcuts on the shelf.

use serde::Serialize;

use super::ask::{MONEY, rectangle};
use super::layout::Area;
use crate::error::{Range, Result, check};
use crate::outline::Outline;

/// How a kind of sheet is sold.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sold {
    /// As it is.
    #[default]
    Whole,
    /// By length: only the height that the parts need is bought, at its share of the price, and nothing of it is kept.
    ByLength,
    /// Cut to size: only the rectangle that the parts need is bought, at its share of the price, and nothing of it is kept.
    ToSize,
}

/// What a merchant asks on top of a delivery that is long or heavy; nothing by default.
///
/// Each fee is paid once a delivery. Where the kinds of one merchant differ, the least limit and the greatest fee count.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Surcharge {
    /// Longest side that comes without it; `None`: any. [m]
    pub longest_m: Option<f64>,
    /// For a delivery in which a piece is longer. [currency]
    pub oversize_fee: f64,
    /// Greatest mass that comes without it; `None`: any. [kg]
    pub heaviest_kg: Option<f64>,
    /// For a delivery that is heavier. [currency]
    pub overweight_fee: f64,
    /// Mass of a square metre of the sheet. [kg/m²]
    pub mass_kg_m2: f64,
}

impl Surcharge {
    pub(super) fn checked(&self, what: &str) -> Result<()> {
        let mass = Range::new(0.0, 1e5, "kg");
        let limits = [
            ("longest_m", self.longest_m, Range::new(0.0, 100.0, "m")),
            ("oversize_fee", Some(self.oversize_fee), MONEY),
            ("heaviest_kg", self.heaviest_kg, mass),
            ("overweight_fee", Some(self.overweight_fee), MONEY),
            ("mass_kg_m2", Some(self.mass_kg_m2), mass),
        ];
        for (field, value, range) in limits {
            if let Some(value) = value {
                check(format!("{what}.{field}"), value, range, "ask the merchant")?;
            }
        }
        Ok(())
    }
}

/// A kind of sheet that can be bought. Half and quarter sheets are kinds of their own.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SheetKind {
    /// Name, unique among sheets and offcuts.
    pub name: String,
    /// Width. [m]
    pub width_m: f64,
    /// Height. [m]
    pub height_m: f64,
    /// Price of one whole sheet. [currency]
    pub price: f64,
    /// How many can be had; `None`: as many as needed.
    pub in_stock: Option<u32>,
    /// Added to the price of each: cutting at the merchant's. [currency]
    pub cut_fee: f64,
    /// Who brings it; what comes from one merchant comes with one delivery.
    pub merchant: String,
    /// Paid once for all that comes from its merchant; where kinds differ the greatest counts. [currency]
    pub freight: f64,
    /// What is asked on top of that for what is long or heavy.
    pub surcharge: Surcharge,
    /// Days until it is there; 0: on the rack.
    pub days_to_arrive: f64,
    /// Whether it is sold whole or cut to order.
    pub sold: Sold,
    /// Scratches, holes and print that no part may lie on, from the lower left corner; parts keep the trim from them.
    pub bad_areas: Vec<Area>,
}

impl SheetKind {
    /// A whole sheet, as many as needed, without fees, on the rack.
    pub fn new(name: impl Into<String>, width_m: f64, height_m: f64, price: f64) -> Self {
        Self {
            name: name.into(),
            width_m,
            height_m,
            price,
            in_stock: None,
            cut_fee: 0.0,
            merchant: String::new(),
            freight: 0.0,
            surcharge: Surcharge::default(),
            days_to_arrive: 0.0,
            sold: Sold::Whole,
            bad_areas: vec![],
        }
    }

    /// The sheet halved across its longer side, at half the price and `cut_fee` more for each half.
    #[must_use]
    pub fn halved(&self, cut_fee: f64) -> Self {
        let mut half = self.clone();
        half.name = format!("half {}", self.name);
        half.price = self.price / 2.0;
        half.cut_fee = self.cut_fee + cut_fee;
        if self.height_m >= self.width_m {
            half.height_m = self.height_m / 2.0;
        } else {
            half.width_m = self.width_m / 2.0;
        }
        half
    }

    /// The sheet cut across and along the middle, at a quarter of the price and `cut_fee` more for each quarter.
    ///
    /// ```
    /// use mountwright::stock::SheetKind;
    /// let quarter = SheetKind::new("3 mm", 1.22, 2.44, 40.0).quartered(1.5);
    /// assert_eq!((quarter.width_m, quarter.height_m, quarter.price), (0.61, 1.22, 10.0));
    /// ```
    #[must_use]
    pub fn quartered(&self, cut_fee: f64) -> Self {
        Self {
            name: format!("quarter {}", self.name),
            width_m: self.width_m / 2.0,
            height_m: self.height_m / 2.0,
            price: self.price / 4.0,
            cut_fee: self.cut_fee + cut_fee,
            ..self.clone()
        }
    }

    /// Lengths of the sheet in its full width, at their share of the price and `cut_fee` more for each.
    #[must_use]
    pub fn cut_to_length(&self, cut_fee: f64) -> Self {
        Self {
            name: format!("{} by length", self.name),
            cut_fee: self.cut_fee + cut_fee,
            sold: Sold::ByLength,
            ..self.clone()
        }
    }

    /// Pieces of the sheet cut to size, at their share of the price and `cut_fee` more for each piece.
    #[must_use]
    pub fn cut_to_size(&self, cut_fee: f64) -> Self {
        Self {
            name: format!("{} cut to size", self.name),
            cut_fee: self.cut_fee + cut_fee,
            sold: Sold::ToSize,
            ..self.clone()
        }
    }
}

/// A piece left from earlier work; there is one of each.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Offcut {
    /// Name, unique among sheets and offcuts.
    pub name: String,
    /// Its outline; cutouts in it are its holes.
    pub outline: Outline,
    /// What it is worth on the shelf: taking it costs this. [currency]
    pub shelf_value: f64,
    /// Parts of it that no part may lie on; parts keep the trim from them.
    pub bad_areas: Vec<Area>,
}

impl Offcut {
    /// An offcut of any outline.
    pub fn shape(name: impl Into<String>, outline: Outline, shelf_value: f64) -> Self {
        Self {
            name: name.into(),
            outline,
            shelf_value,
            bad_areas: vec![],
        }
    }

    /// A rectangular offcut.
    pub fn rectangle(
        name: impl Into<String>,
        width_m: f64,
        height_m: f64,
        shelf_value: f64,
    ) -> Self {
        Self::shape(name, rectangle(width_m, height_m), shelf_value)
    }
}
