//! A shop's file with what the memory knows beyond it: the form in which plans see the memory.

use std::collections::{BTreeMap, BTreeSet};

use super::Memory;
use super::guns::Trial;
use super::rack::{Offcut, text};
use crate::error::Result;
use crate::file::{Length, Temperature, Time};
use crate::outline::Outline;
use crate::quantity::Measure;
use crate::shop::{BadArea, Coupon, Known, OffcutInRack, ShopFile};

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

fn coupon(trial: Trial) -> Coupon {
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

impl Memory {
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
        let counts: BTreeMap<String, u32> = self
            .sheets()?
            .into_iter()
            .map(|s| (s.name, s.on_hand))
            .collect();
        let mut trials = self.trials(Some(&shop.shop.gun.name))?;
        let early = trials.len().saturating_sub(MOST_TRIALS);
        Ok(ShopFile {
            known: Some(Known {
                path: self.path.clone(),
                on_hand: counts,
                offcuts: self.rack()?.into_iter().map(in_rack).collect(),
                remembered: known,
                coupons: trials.split_off(early).into_iter().map(coupon).collect(),
                learned: self.taught(&shop.shop)?.learned,
            }),
            ..shop.clone()
        })
    }
}
