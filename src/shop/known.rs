//! What the shop's memory knows beyond its file: what stands in the rack by now, trials of the gun, what done jobs taught.

use std::collections::{BTreeMap, BTreeSet};

use super::{Coupon, OffcutInRack, SheetForSale, ShopFile};
use crate::file::Names;
use crate::outline::Outline;
use crate::spread::{Chance, Law};
use crate::task::Kind;

/// What the memory knows; the shop's file counts where it says nothing.
#[derive(Debug, Clone, Default)]
pub struct Known {
    /// The memory's file.
    pub path: String,
    /// Whole sheets in the rack by their name.
    pub on_hand: BTreeMap<String, u32>,
    /// Offcuts in the rack, with their outlines.
    pub offcuts: Vec<(OffcutInRack, Outline)>,
    /// Days from which offcuts are there that an accepted job is still to leave, by their names: a plan that starts before does not count on
    /// them.
    pub to_come: BTreeMap<String, String>,
    /// Offcuts of the shop's file that the memory knows: they are used, or stand among its own.
    pub remembered: BTreeSet<String>,
    /// Timed trials of the shop's gun.
    pub coupons: Vec<Coupon>,
    /// What done jobs taught; `None` while none is done.
    pub learned: Option<Learned>,
}

/// What done jobs taught.
#[derive(Debug, Clone, PartialEq)]
pub struct Learned {
    /// How many jobs.
    pub jobs: u32,
    /// Pace of the fabricator: factor on every attended time; `None` where no work was timed.
    pub pace: Option<Law>,
    /// Factor on the attended time of a kind of work beside the pace, where it was timed.
    pub work: BTreeMap<Kind, Law>,
    /// Chance that a formed part comes out wrong; `None` where no heats were counted.
    pub spoilage: Option<Chance>,
}

/// Adds the materials that a file's keys name, at any depth, to those that may be named: where a plan that was made with a
/// materials file of the shop's own is only remembered, their properties are not needed.
pub fn add_materials(names: &mut Names, keys: &toml::Table) {
    fn walk(found: &mut Vec<String>, value: &toml::Value) {
        match value {
            toml::Value::Table(table) => {
                found.extend(
                    table
                        .get("material")
                        .and_then(toml::Value::as_str)
                        .map(Into::into),
                );
                table.values().for_each(|v| walk(found, v));
            }
            toml::Value::Array(list) => list.iter().for_each(|v| walk(found, v)),
            _ => {}
        }
    }
    let known = names.entry("material").or_default();
    for value in keys.values() {
        walk(known, value);
    }
    known.sort();
    known.dedup();
}

impl ShopFile {
    /// How many of a sheet stand in the rack.
    pub fn on_hand(&self, sheet: &SheetForSale) -> u32 {
        let known = self.known.as_ref().and_then(|k| k.on_hand.get(&sheet.name));
        known.copied().or(sheet.on_hand).unwrap_or(0)
    }

    /// The offcuts in the rack with their outlines: those of the file that the memory has not seen, then its own.
    pub fn offcuts_in_rack(&self) -> impl Iterator<Item = (&OffcutInRack, &Outline)> {
        let seen = |name: &String| {
            let known = self.known.as_ref();
            known.is_some_and(|k| k.remembered.contains(name))
        };
        let of_file = self.shop.offcuts.iter().filter(move |o| !seen(&o.name));
        let of_file = of_file.filter_map(|o| Some((o, self.offcuts.get(&o.name)?)));
        let own = self.known.iter().flat_map(|k| &k.offcuts);
        of_file.chain(own.map(|(offcut, outline)| (offcut, outline)))
    }

    /// The day from which an offcut is there, such as 2026-12-04, where that lies behind `day`; `None` for one that is there then.
    pub fn to_come(&self, offcut: &str, day: &str) -> Option<&str> {
        let known = self.known.as_ref().and_then(|k| k.to_come.get(offcut));
        // Days as they are written here stand in the order of their letters.
        known.map(String::as_str).filter(|from| *from > day)
    }

    /// Timed trials of the gun: of the file, then of the memory.
    pub fn coupons(&self) -> impl Iterator<Item = &Coupon> {
        let known = self.known.iter().flat_map(|k| &k.coupons);
        self.shop.gun.coupons.iter().chain(known)
    }

    /// What done jobs taught.
    pub fn learned(&self) -> Option<&Learned> {
        self.known.as_ref()?.learned.as_ref()
    }
}
