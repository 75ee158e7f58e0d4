//! Sheets of the rack that the shop has measured: their numbers go before the catalogue's.

use super::chain::Kept;
use super::setup::{Setup, called, same_thickness};
use super::values::Values;
use crate::error::{Error, Note, Problem, Result};
use crate::file::Length;
use crate::job::Part;
use crate::material::{Catalogue, MeasuredSheet, Piece, Sheet, Square, Texture};
use crate::shape::Faces;
use crate::shop::{SheetForSale, SheetMeasured, Shop};
use crate::sourced::Standing;

/// A measured sheet.
#[derive(Debug, Clone)]
pub(super) struct InRack {
    /// What the shop calls it.
    pub(super) name: String,
    /// Its lot or delivery; may be empty.
    lot: String,
    /// The catalogue's name of its material.
    material: String,
    /// Thickness that it is sold as. [m]
    sold_m: f64,
    /// Its own numbers.
    pub(super) sheet: Sheet,
    /// Limp under the shop's gun: after this time, at this distance. [s, m]
    pub(super) limp: Option<(f64, f64)>,
    texture: Texture,
}

impl InRack {
    /// The measured sheets of a shop.
    ///
    /// # Errors
    /// Measurements that are not possible.
    pub(super) fn all(shop: &Shop, materials: &Catalogue) -> Result<Vec<Self>> {
        let own = |sheet: &SheetForSale, m: &SheetMeasured| {
            let texture = m.texture.unwrap_or(Texture::None);
            let measured = MeasuredSheet {
                name: sheet.name.clone(),
                lot: m.lot.clone().unwrap_or_default(),
                thickness_m: m.thickness.0,
                piece: m.piece_mass.zip(m.piece_area).map(|(mass, area)| Piece {
                    mass_kg: mass.0,
                    area_m2: area.0,
                }),
                square: m.square_before.zip(m.square_after).map(|(b, a)| Square {
                    before_m: b.0,
                    after_m: a.0,
                }),
                limp_after_s: m.limp_after.map(|t| t.0),
                texture,
                film: m.film.unwrap_or(false),
            };
            let mut own = measured.of(materials.get(&sheet.material)?)?;
            if shop.invented {
                let entries = own.material.entries.values_mut().map(|e| &mut e.sourced);
                for number in entries.chain([&mut own.thickness]) {
                    if number.standing == Standing::MeasuredByShop {
                        number.standing = Standing::Invented;
                    }
                }
            }
            Ok(Self {
                name: sheet.name.clone(),
                lot: m.lot.clone().unwrap_or_default(),
                material: sheet.material.clone(),
                sold_m: sheet.thickness.si(),
                sheet: own,
                limp: m
                    .limp_after
                    .zip(m.limp_distance)
                    .map(|(t, d)| (t.si(), d.si())),
                texture,
            })
        };
        let sheets = shop.sheets.iter();
        sheets
            .filter_map(|s| s.measured.as_ref().map(|m| own(s, m)))
            .collect()
    }

    /// Whether it goes by this name or this lot.
    pub(super) fn called(&self, name: &str) -> bool {
        self.name == name || self.lot == name
    }

    /// Whether it is of this material.
    pub(super) fn of(&self, material: &str) -> bool {
        self.material == material
    }

    /// Whether a part of this material and thickness is cut from it.
    pub(super) fn is(&self, material: &str, thickness_m: f64) -> bool {
        self.material == material && same_thickness(self.sold_m, thickness_m)
    }

    /// Its thickness in this run. [m]
    pub(super) fn thickness_m(&self, values: &mut Values) -> Result<f64> {
        values.sourced(
            &format!("sheet {}: thickness", self.name),
            &self.sheet.thickness,
        )
    }

    /// Its faces, for blanks.
    pub(super) fn faces(&self) -> Faces {
        match self.texture {
            Texture::OneSide => Faces::OneSided,
            Texture::None | Texture::BothSides => Faces::Alike,
        }
    }

    /// What to know of it beside a part.
    pub(super) fn notes(&self, part: &str) -> Vec<Note> {
        let t = &self.sheet.thickness;
        let lot = if t.note.is_empty() {
            String::new()
        } else {
            format!(" ({})", t.note)
        };
        let text = format!(
            "planned with what the shop measured on its sheet \"{}\"{lot}, {:.2} mm: cut it from that sheet, or measure the one that is used",
            self.name,
            t.value * 1e3
        );
        let mut all = vec![Note::new(part, text)];
        all.extend(self.sheet.notes.iter().cloned());
        all
    }
}

/// Thickness of a part in this run: of its sheet where that was measured, else as the job has it. [m]
pub(super) fn thickness_m(
    rack: Option<&InRack>,
    part: &str,
    job: Length,
    values: &mut Values,
) -> Result<f64> {
    match rack {
        Some(own) => own.thickness_m(values),
        None => super::values::measured(values, part, "thickness", job),
    }
}

/// Faults of parts that name a sheet which the shop does not have, or which is another than they ask for.
pub(super) fn check_names(setup: &Setup, kept: &Kept) -> Result<()> {
    let problems: Vec<Problem> = (kept.parts.iter())
        .filter_map(|(at, part)| Some((format!("{at}.sheet"), unfit(setup, part)?)))
        .map(|(at, message)| setup.job.source.problem(at, message))
        .collect();
    if problems.is_empty() {
        Ok(())
    } else {
        Err(setup.job.source.fault(problems))
    }
}

/// Why a part cannot be cut from the sheet that it names; `None` where it can.
fn unfit(setup: &Setup, part: &Part) -> Option<String> {
    let name = part.sheet()?;
    let sheets = &setup.shop.shop.sheets;
    let Some(sheet) = sheets.iter().find(|s| called(s, name)) else {
        let known = sheets.iter().map(|s| s.name.as_str());
        return Some(Error::unknown("sheet of the shop", name, known).to_string());
    };
    if sheet.material != part.material() {
        return Some(format!(
            "\"{name}\" is {}, the part asks for {}",
            sheet.material,
            part.material()
        ));
    }
    let sold_m = sheet.thickness.si();
    let asked_m = part.thickness().map(Length::si);
    let asked_m = asked_m.filter(|asked| !same_thickness(sold_m, *asked))?;
    Some(format!(
        "\"{name}\" is sold as {:.1} mm, the part asks for {:.1} mm",
        sold_m * 1e3,
        asked_m * 1e3
    ))
}
