//! A shop's file with what the memory knows beyond it: the form in which plans see the memory.

use std::collections::{BTreeMap, BTreeSet};

use super::Memory;
use super::guns::Trial;
use super::rack::{Offcut, SheetCount, at_origin, text};
use crate::error::Result;
use crate::file::{Length, Temperature, Time};
use crate::outline::Outline;
use crate::quantity::Measure;
use crate::shop::{BadArea, Coupon, Known, OffcutInRack, SheetMeasured, ShopFile};

/// Trials that are taken, the latest: more say nothing new. As many as the fit takes.
const MOST_TRIALS: usize = 200;

fn exact(value: f64) -> Measure {
    Measure {
        value,
        plus_minus: 0.0,
    }
}

fn length(value: f64) -> Length {
    Length(exact(value))
}

fn in_rack(offcut: Offcut) -> (OffcutInRack, Outline) {
    let bad = offcut.bad_areas.iter().map(|area| BadArea {
        x: length(area.x_m),
        y: length(area.y_m),
        width: length(area.width_m),
        height: length(area.height_m),
    });
    let entry = OffcutInRack {
        bad_areas: bad.collect(),
        name: offcut.name,
        material: offcut.material,
        thickness: length(offcut.thickness_m),
        width: None,
        height: None,
        corners: None,
        outline_file: None,
        worth: offcut.worth,
        // A lot goes before the name of its sheet: it says more.
        sheet: offcut.lot.or(offcut.sheet),
    };
    (entry, offcut.outline)
}

/// A trial as the shop's file has it.
pub(crate) fn coupon(trial: Trial) -> Coupon {
    Coupon {
        material: trial.material,
        thickness: length(trial.thickness_m),
        width: trial.width_m.map(length),
        length: trial.length_m.map(length),
        distance: length(trial.distance_m),
        turn_every: trial.turn_every_s.map(|s| Time(exact(s))),
        limp_after: Time(exact(trial.limp_after_s)),
        air: trial.air_k.map(|k| Temperature(exact(k))),
    }
}

/// An offcut of the shop's file.
fn of_file(offcut: &OffcutInRack, outline: &Outline) -> Offcut {
    let (width_m, height_m) = outline.size_m();
    Offcut {
        name: offcut.name.clone(),
        material: offcut.material.clone(),
        thickness_m: offcut.thickness.si(),
        lot: None,
        sheet: offcut.sheet.clone(),
        outline: at_origin(outline),
        bad_areas: crate::plan::areas(&offcut.bad_areas),
        width_m,
        height_m,
        area_m2: outline.area_m2(),
        worth: offcut.worth,
        place: None,
        photo: None,
        since: None,
        from_job: None,
    }
}

/// What is known of the sheets of one name: the memory's lot and thickness go before the file's. What the file measured on another
/// lot says nothing of this one.
fn measured(of_file: Option<SheetMeasured>, count: &SheetCount) -> Option<SheetMeasured> {
    let lot_of_file = of_file.as_ref().and_then(|m| m.lot.clone());
    let same = count.lot.is_none() || lot_of_file.is_none() || count.lot == lot_of_file;
    let lot = count.lot.clone().or(lot_of_file);
    match (of_file.filter(|_| same), count.thickness_m) {
        (Some(known), thickness_m) => Some(SheetMeasured {
            lot,
            thickness: thickness_m.map_or(known.thickness, length),
            ..known
        }),
        (None, Some(thickness_m)) => Some(SheetMeasured {
            lot,
            thickness: length(thickness_m),
            piece_mass: None,
            piece_area: None,
            square_before: None,
            square_after: None,
            limp_after: None,
            limp_distance: None,
            texture: None,
            film: None,
        }),
        (None, None) => None,
    }
}

impl Memory {
    /// All that stands in the rack: what the memory knows, and what the shop's file tells beyond it. By name.
    ///
    /// # Errors
    /// [`crate::Error::Memory`] for a damaged file.
    pub fn standing(&self, shop: &ShopFile) -> Result<(Vec<SheetCount>, Vec<Offcut>)> {
        let known = self.with(shop)?;
        let remembered = known.known.as_ref().map(|k| &k.remembered);
        let unseen = |name: &String| remembered.is_none_or(|seen| !seen.contains(name));
        let mut offcuts = self.rack()?;
        let of_shop = shop.shop.offcuts.iter().filter(|o| unseen(&o.name));
        let of_shop = of_shop.filter_map(|o| Some(of_file(o, shop.offcuts.get(&o.name)?)));
        offcuts.extend(of_shop);
        offcuts.sort_by(|a, b| a.name.cmp(&b.name));
        let mut sheets = self.sheets()?;
        for sheet in &shop.shop.sheets {
            let counted = sheets.iter().any(|s| s.name == sheet.name);
            if let Some(on_hand) = sheet.on_hand.filter(|n| *n > 0 && !counted) {
                let measured = sheet.measured.as_ref();
                sheets.push(SheetCount {
                    name: sheet.name.clone(),
                    on_hand,
                    lot: measured.and_then(|m| m.lot.clone()),
                    thickness_m: measured.map(|m| m.thickness.si()),
                    place: None,
                    photo: None,
                    since: None,
                });
            }
        }
        sheets.sort_by(|a, b| a.name.cmp(&b.name));
        Ok((sheets, offcuts))
    }

    /// Days from which offcuts are there that accepted jobs are still to leave.
    fn to_come(&self) -> Result<BTreeMap<String, String>> {
        let rows = self.all(
            "SELECT o.name, o.since FROM offcut o JOIN job j ON j.id = o.made_by \
             WHERE o.state = 'rack' AND j.state = 'accepted' AND o.since > j.accepted_on",
            [],
            |row| Ok((row.get(0)?, row.get(1)?)),
        )?;
        Ok(rows.into_iter().collect())
    }

    /// The shop's file with what the memory knows: plans made with it see the rack as it is, the gun as it was tried, and work as
    /// long as it took.
    ///
    /// # Errors
    /// [`crate::Error::Memory`] for a damaged file.
    pub fn with(&self, shop: &ShopFile) -> Result<ShopFile> {
        let names: Vec<&String> = shop.offcuts.keys().collect();
        let known: BTreeSet<String> = self
            .all(
                "SELECT name FROM offcut WHERE name IN (SELECT value FROM json_each(?1))",
                [text(&names)],
                |row| row.get(0),
            )?
            .into_iter()
            .collect();
        let counted = self.sheets()?;
        let mut own = shop.shop.clone();
        for sheet in &mut own.sheets {
            if let Some(count) = counted.iter().find(|c| c.name == sheet.name) {
                sheet.measured = measured(sheet.measured.take(), count);
            }
        }
        let counts: BTreeMap<String, u32> =
            counted.into_iter().map(|s| (s.name, s.on_hand)).collect();
        let mut trials = self.trials(Some(&shop.shop.gun.name))?;
        let early = trials.len().saturating_sub(MOST_TRIALS);
        Ok(ShopFile {
            known: Some(Known {
                path: self.path.clone(),
                on_hand: counts,
                offcuts: self.rack()?.into_iter().map(in_rack).collect(),
                remembered: known,
                to_come: self.to_come()?,
                coupons: trials.split_off(early).into_iter().map(coupon).collect(),
                learned: self.taught(&shop.shop)?.learned,
            }),
            shop: own,
            ..shop.clone()
        })
    }
}
