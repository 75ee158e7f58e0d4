//! The rack and those who fill it: sheets on sale, merchants, offcuts of any outline, bad areas.

use std::collections::BTreeMap;
use std::path::Path;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{SheetMeasured, Shop};
use crate::error::{Error, Problem, Result};
use crate::file::{Length, Mass, Source};
use crate::outline::{Chain, Outline, Point, Unit, read_file};

/// Who sells sheet: what a delivery of his costs, and what he asks for cutting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Merchant {
    /// What the shop calls him; sheets name him by it.
    pub name: String,
    /// Price of a delivery, or of the way to him, whatever comes with it.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub delivery: f64,
    /// Longest side of a piece that comes at that price; with `oversize_fee`.
    #[schemars(extend("least" = "100 mm", "most" = "10 m"))]
    pub oversize_over: Option<Length>,
    /// What a delivery costs more in which a piece is longer.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub oversize_fee: Option<f64>,
    /// Greatest mass that comes at that price; with `overweight_fee`.
    #[schemars(extend("least" = "0.1 kg", "most" = "10000 kg"))]
    pub overweight_over: Option<Mass>,
    /// What a delivery costs more that is heavier.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub overweight_fee: Option<f64>,
    /// Fee for each half of a sheet, at half its price; left out where he sells no halves.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub half_fee: Option<f64>,
    /// Fee for each quarter of a sheet, at a quarter of its price; left out where he sells no quarters.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub quarter_fee: Option<f64>,
    /// Fee for each length of a sheet in its full width, at its share of the price; left out where he cuts none.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub by_length_fee: Option<f64>,
    /// Fee for each piece cut to size, at its share of the price; left out where he cuts none.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub to_size_fee: Option<f64>,
}

/// A sheet that can be bought.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SheetForSale {
    /// What the shop calls it.
    pub name: String,
    /// Its plastic.
    #[schemars(extend("format" = "material"))]
    pub material: String,
    /// Its thickness.
    #[schemars(extend("least" = "0.3 mm", "most" = "60 mm"))]
    pub thickness: Length,
    /// Its width.
    #[schemars(extend("least" = "50 mm", "most" = "4000 mm"))]
    pub width: Length,
    /// Its height.
    #[schemars(extend("least" = "50 mm", "most" = "4000 mm"))]
    pub height: Length,
    /// Its price.
    #[schemars(range(min = 0.0, max = 1e6))]
    pub price: f64,
    /// Who sells it, one of `merchants`; where nothing is said it comes with a delivery at `rates.delivery`.
    #[schemars(extend("format" = "merchant"))]
    pub merchant: Option<String>,
    /// How many stand in the rack already.
    #[schemars(range(min = 0, max = 10_000))]
    pub on_hand: Option<u32>,
    /// Working days until more arrive: the days on which the shop is open, after the day of the order; what comes is there as it opens.
    #[schemars(range(min = 0, max = 365))]
    pub days_to_arrive: Option<u32>,
    /// Scratches, holes and print on those in the rack; a sheet without them is an entry of its own.
    #[serde(default)]
    #[schemars(length(max = 50))]
    pub bad_areas: Vec<BadArea>,
    /// What was measured on it; parts of this material and thickness are then planned with these numbers.
    pub measured: Option<SheetMeasured>,
}

/// A place on a sheet that no part may lie on; parts keep the trim from it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BadArea {
    /// From the left edge.
    #[schemars(extend("least" = "0 mm", "most" = "4000 mm"))]
    pub x: Length,
    /// From the lower edge.
    #[schemars(extend("least" = "0 mm", "most" = "4000 mm"))]
    pub y: Length,
    /// Its width.
    #[schemars(extend("least" = "1 mm", "most" = "4000 mm"))]
    pub width: Length,
    /// Its height.
    #[schemars(extend("least" = "1 mm", "most" = "4000 mm"))]
    pub height: Length,
}

/// A corner of an outline.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Corner {
    /// From the left.
    #[schemars(extend("least" = "0 mm", "most" = "4000 mm"))]
    pub x: Length,
    /// From below.
    #[schemars(extend("least" = "0 mm", "most" = "4000 mm"))]
    pub y: Length,
}

/// A piece left from an earlier job: a rectangle, or of any outline.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OffcutInRack {
    /// What is written on it.
    pub name: String,
    /// Its plastic.
    #[schemars(extend("format" = "material"))]
    pub material: String,
    /// Its thickness.
    #[schemars(extend("least" = "0.3 mm", "most" = "60 mm"))]
    pub thickness: Length,
    /// Width of a rectangle.
    #[schemars(extend("least" = "20 mm", "most" = "4000 mm"))]
    pub width: Option<Length>,
    /// Height of a rectangle.
    #[schemars(extend("least" = "20 mm", "most" = "4000 mm"))]
    pub height: Option<Length>,
    /// Corners of another outline in order: `[{ x = "0 mm", y = "0 mm" }, …]`.
    #[schemars(length(min = 3, max = 500))]
    pub corners: Option<Vec<Corner>>,
    /// A drawing of another outline with its cutouts (.dxf or .svg, from the folder of this file).
    pub outline_file: Option<String>,
    /// What it is worth on the shelf; its share of the price by `cutting.offcut_worth` where nothing is said.
    #[schemars(range(min = 0.0, max = 1e6))]
    pub worth: Option<f64>,
    /// Places on it that no part may lie on.
    #[serde(default)]
    #[schemars(length(max = 50))]
    pub bad_areas: Vec<BadArea>,
    /// Name or lot of the sheet that it was cut from.
    pub sheet: Option<String>,
}

impl OffcutInRack {
    /// Its outline; a drawing is looked for in `folder`.
    fn outline(&self, folder: &Path) -> Result<Outline> {
        let shape = |given: String, allowed: &str| Error::Shape {
            what: format!("offcut \"{}\"", self.name),
            given,
            allowed: allowed.into(),
        };
        let at = |x, y| Point::new(x, y);
        let polygon = |points: &[Point]| Outline::new(Chain::polygon(points), vec![]);
        let outline = match (self.width, self.height, &self.corners, &self.outline_file) {
            (Some(w), Some(h), None, None) => {
                let (w, h) = (w.si(), h.si());
                polygon(&[at(0.0, 0.0), at(w, 0.0), at(w, h), at(0.0, h)])
            }
            (None, None, Some(corners), None) => {
                let points = corners.iter().map(|c| at(c.x.si(), c.y.si()));
                polygon(&points.collect::<Vec<_>>())
            }
            (None, None, None, Some(file)) => {
                let mut read = read_file(folder, file, Unit::Stated)?;
                if read.parts.len() != 1 {
                    let given = format!("a drawing of {} parts", read.parts.len());
                    return Err(shape(given, "one outside with its cutouts"));
                }
                read.parts.remove(0)
            }
            _ => {
                return Err(shape(
                    "not one outline".into(),
                    "width and height, or corners, or outline_file",
                ));
            }
        };
        match outline.faults().first() {
            None => Ok(outline),
            Some(fault) => Err(shape(
                format!("faulty: {fault}"),
                "an outline that does not cross itself",
            )),
        }
    }
}

/// Outlines of all offcuts by their name, and what is wrong with them.
pub(super) fn outlines(
    shop: &Shop,
    source: &Source,
    folder: &Path,
    problems: &mut Vec<Problem>,
) -> BTreeMap<String, Outline> {
    let mut outlines = BTreeMap::new();
    for (i, offcut) in shop.offcuts.iter().enumerate() {
        match offcut.outline(folder) {
            Ok(outline) => {
                outlines.insert(offcut.name.clone(), outline);
            }
            Err(error) => {
                let key = if offcut.outline_file.is_some() {
                    ".outline_file"
                } else {
                    ""
                };
                problems.push(source.problem(format!("offcuts[{i}]{key}"), error.to_string()));
            }
        }
    }
    outlines
}

/// What the rack's keys say against each other.
pub(super) fn faults(shop: &Shop, source: &Source) -> Vec<Problem> {
    let mut problems = vec![];
    let mut say = |field: &str, message: &str| problems.push(source.problem(field, message));
    for (list, names) in [
        (
            "merchants",
            shop.merchants.iter().map(|m| &m.name).collect::<Vec<_>>(),
        ),
        ("sheets", shop.sheets.iter().map(|s| &s.name).collect()),
        ("offcuts", shop.offcuts.iter().map(|o| &o.name).collect()),
    ] {
        for (i, name) in names.iter().enumerate() {
            if names.iter().position(|n| n == name) < Some(i) {
                let what = list.trim_end_matches('s');
                let message = format!("this name stands already further up: name each {what} once");
                say(&format!("{list}[{i}].name"), &message);
            }
        }
    }
    for (i, m) in shop.merchants.iter().enumerate() {
        for (limit, fee, given) in [
            (
                "oversize_over",
                "oversize_fee",
                [m.oversize_over.is_some(), m.oversize_fee.is_some()],
            ),
            (
                "overweight_over",
                "overweight_fee",
                [m.overweight_over.is_some(), m.overweight_fee.is_some()],
            ),
        ] {
            if given[0] != given[1] {
                say(
                    &format!("merchants[{i}].{}", if given[0] { limit } else { fee }),
                    &format!("{limit} and {fee} belong together: give both or neither"),
                );
            }
        }
    }
    for (i, sheet) in shop.sheets.iter().enumerate() {
        if !sheet.bad_areas.is_empty() && sheet.on_hand.unwrap_or(0) == 0 {
            say(
                &format!("sheets[{i}].bad_areas"),
                "bad areas are those of sheets in the rack, and on_hand says that there is none",
            );
        }
    }
    problems
}

#[cfg(test)]
mod tests {
    use crate::shop::ShopFile;

    const SHOP: &str = include_str!("../../demo-data/shop.toml");

    fn read(more: &str) -> crate::Result<ShopFile> {
        // Lists of tables may stand anywhere, so at the end.
        ShopFile::parse(
            "shop",
            &format!("{SHOP}\n{more}"),
            &crate::plan::names().unwrap(),
        )
    }

    #[test]
    fn an_offcut_has_one_outline_of_any_form() {
        let head = "[[offcuts]]\nname = \"L\"\nmaterial = \"abs\"\nthickness = \"3 mm\"\n";
        let corner = |x, y| format!("{{ x = \"{x} mm\", y = \"{y} mm\" }}");
        let l = [
            (0, 0),
            (600, 0),
            (600, 200),
            (300, 200),
            (300, 500),
            (0, 500),
        ];
        let l: Vec<String> = l.iter().map(|&(x, y)| corner(x, y)).collect();
        let made = read(&format!("{head}corners = [{}]", l.join(", "))).unwrap();
        assert!((made.offcuts["L"].area_m2() - 0.21).abs() < 1e-12);
        let bow = [(0, 0), (100, 100), (100, 0), (0, 100)].map(|(x, y)| corner(x, y));
        for (more, why) in [
            (String::new(), "not one outline"),
            ("width = \"300 mm\"".into(), "not one outline"),
            (format!("corners = [{}]", bow.join(", ")), "cross"),
            (
                "outline_file = \"../L.dxf\"".into(),
                "leaves the job's folder",
            ),
        ] {
            let message = read(&format!("{head}{more}")).unwrap_err().to_string();
            assert!(
                message.contains(why) && message.contains("offcuts["),
                "{message}"
            );
        }
    }

    #[test]
    fn merchants_and_bad_areas_are_held_against_the_rest_of_the_file() {
        for (more, why) in [
            (
                "[[merchants]]\nname = \"m\"\ndelivery = 9.0\noversize_fee = 3.0",
                "belong together",
            ),
            ("[[merchants]]\nname = \"m\"\ndelivery = -9.0", "allowed"),
            (
                "[[sheets]]\nname = \"x\"\nmaterial = \"abs\"\nthickness = \"3 mm\"\nwidth = \"1 m\"\nheight = \"1 m\"\nprice = 9.0\nmerchant = \"nobody\"",
                "merchant",
            ),
            (
                "[[sheets]]\nname = \"x\"\nmaterial = \"abs\"\nthickness = \"3 mm\"\nwidth = \"1 m\"\nheight = \"1 m\"\nprice = 9.0\nbad_areas = [{ x = \"0 mm\", y = \"0 mm\", width = \"9 mm\", height = \"9 mm\" }]",
                "in the rack",
            ),
        ] {
            let message = read(more).unwrap_err().to_string();
            assert!(message.contains(why), "{message}");
        }
    }
}
