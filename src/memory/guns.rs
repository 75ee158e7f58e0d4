//! Guns and their timed trials: the calibration that plans use.

use rusqlite::{Row, params};
use serde::Serialize;

use super::Memory;
use super::fault::told;
use super::known::coupon;
use super::words::{day, material, named};
use crate::error::{Error, MemoryFault, Range, Result, check, nearest_names};
use crate::file::Names;
use crate::material::Catalogue;
use crate::plan::possible_trial;
use crate::shop::Shop;

/// A timed trial: a piece of sheet that was heated until it went limp.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Trial {
    /// Its number in the memory, from 1, which is never given twice; `None` before it is remembered.
    pub number: Option<i64>,
    /// The gun, as the shop's file calls it.
    pub gun: String,
    /// The day.
    pub on: String,
    /// Material of the piece, by the catalogue's name.
    pub material: String,
    /// Its thickness, measured; 0.5 mm to 30 mm. [m]
    pub thickness_m: f64,
    /// Width of the heated patch; 5 mm to 1 m, 50 mm where nothing is said. [m]
    pub width_m: Option<f64>,
    /// Its length; 5 mm to 2 m, 100 mm where nothing is said. [m]
    pub length_m: Option<f64>,
    /// Nozzle to sheet; 20 mm to 0.6 m. [m]
    pub distance_m: f64,
    /// How often it was turned over; 1 s to 5 min, `None` where it was not. [s]
    pub turn_every_s: Option<f64>,
    /// From the start of heat until it bent under its own weight; 2 s to 1 h. [s]
    pub limp_after_s: f64,
    /// Air of the shop; -10 °C to 45 °C, 20 °C where nothing is said. [K]
    pub air_k: Option<f64>,
}

/// Sizes and times of a trial that can be, as in the shop's file.
pub(super) const SIZES: [(&str, Range); 7] = [
    ("thickness_m", Range::new(5e-4, 0.03, "m")),
    ("width_m", Range::new(5e-3, 1.0, "m")),
    ("length_m", Range::new(5e-3, 2.0, "m")),
    ("distance_m", Range::new(0.02, 0.6, "m")),
    ("turn_every_s", Range::new(1.0, 300.0, "s")),
    ("limp_after_s", Range::new(2.0, 3600.0, "s")),
    ("air_k", Range::new(263.15, 318.15, "K")),
];

fn trial(row: &Row) -> rusqlite::Result<Trial> {
    Ok(Trial {
        number: row.get(0)?,
        gun: row.get(1)?,
        on: row.get(2)?,
        material: row.get(3)?,
        thickness_m: row.get(4)?,
        width_m: row.get(5)?,
        length_m: row.get(6)?,
        distance_m: row.get(7)?,
        turn_every_s: row.get(8)?,
        limp_after_s: row.get(9)?,
        air_k: row.get(10)?,
    })
}

impl Memory {
    /// Remembers a timed trial; plans with a gun of that name use it. A trial of the shop's own gun with a sheet of the catalogue is
    /// held against what such a gun can do.
    ///
    /// # Errors
    /// [`Error::Unknown`] for a material that is neither the catalogue's nor that of a sheet of the shop; [`Error::OutOfRange`] for sizes and times that cannot be; [`Error::Impossible`] where such a gun never softens the sheet; [`Error::Memory`] where the file cannot be written.
    pub fn tried(&mut self, trial: &Trial, shop: &Shop) -> Result<()> {
        let gun = named("gun", &trial.gun)?;
        let on = day("day", &trial.on)?.to_string();
        let material = material(&trial.material, shop)?;
        let measure = "measure the trial";
        let values = [
            Some(trial.thickness_m),
            trial.width_m,
            trial.length_m,
            Some(trial.distance_m),
            trial.turn_every_s,
            Some(trial.limp_after_s),
            trial.air_k,
        ];
        for ((what, range), value) in SIZES.into_iter().zip(values) {
            if let Some(value) = value {
                check(format!("trial.{what}"), value, range, measure)?;
            }
        }
        let materials = Catalogue::standard()?;
        if gun == shop.gun.name && materials.get(&material).is_ok() {
            possible_trial(&shop.gun, &coupon(trial.clone()), materials)?;
        }
        let path = self.path.clone();
        self.change(|tx| {
            tx.execute(
                "INSERT INTO coupon (gun, tried_on, material, thickness_m, width_m, length_m, distance_m, \
                 turn_every_s, limp_after_s, air_k) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
                params![
                    gun,
                    on,
                    material,
                    trial.thickness_m,
                    trial.width_m,
                    trial.length_m,
                    trial.distance_m,
                    trial.turn_every_s,
                    trial.limp_after_s,
                    trial.air_k,
                ],
            )
            .map_err(|e| told(&path, &e))
        })?;
        Ok(())
    }

    /// Refuses trials of the shop's gun with materials that are not among `names`, all at once: an older program wrote down what it
    /// was told, and no plan can be made with them.
    ///
    /// # Errors
    /// [`Error::Memory`] with the number of each such trial, its material and how it is forgotten; a damaged file.
    pub fn check_trials(&self, shop: &Shop, names: &Names) -> Result<()> {
        let known = names.get("material").map_or(&[][..], Vec::as_slice);
        let mut told = vec![];
        let mut forget = vec![];
        for trial in self.trials(Some(&shop.gun.name))? {
            if known.contains(&trial.material) {
                continue;
            }
            let number = trial.number.unwrap_or_default();
            let near = nearest_names(&trial.material, known.iter().map(String::as_str));
            let near = near
                .first()
                .map_or(String::new(), |n| format!(" (nearest: {n})"));
            told.push(format!(
                "trial {number} of the gun \"{}\" on {} is of \"{}\"{near}",
                trial.gun, trial.on, trial.material
            ));
            forget.push(format!("mountwright coupon --forget {number}"));
        }
        if told.is_empty() {
            return Ok(());
        }
        Err(self.fault(
            MemoryFault::UnknownMaterial,
            format!("it names materials that no catalogue has: {}", told.join("; ")),
            format!(
                "forget each with {} and note it once more, or name the materials file that has it (--materials)",
                forget.join(", ")
            ),
        ))
    }

    /// Forgets a trial that was entered by mistake.
    ///
    /// # Errors
    /// [`Error::Unknown`] where there is none of that number; [`Error::Memory`] where the file cannot be written.
    pub fn forget_trial(&mut self, number: i64) -> Result<()> {
        let path = self.path.clone();
        let gone = self.change(|tx| {
            tx.execute("DELETE FROM coupon WHERE id = ?1", [number])
                .map_err(|e| told(&path, &e))
        })?;
        if gone == 1 {
            return Ok(());
        }
        let known: Vec<String> = self
            .trials(None)?
            .iter()
            .filter_map(|t| t.number)
            .map(|n| n.to_string())
            .collect();
        Err(Error::unknown(
            "trial",
            number.to_string(),
            known.iter().map(String::as_str),
        ))
    }

    /// Trials of one gun or of all, the oldest first.
    ///
    /// # Errors
    /// [`Error::Memory`] for a damaged file.
    pub fn trials(&self, gun: Option<&str>) -> Result<Vec<Trial>> {
        self.all(
            "SELECT id, gun, tried_on, material, thickness_m, width_m, length_m, distance_m, turn_every_s, \
             limp_after_s, air_k FROM coupon WHERE ?1 IS NULL OR gun = ?1 ORDER BY id",
            [gun],
            trial,
        )
    }
}
