//! The rack: whole sheets and offcuts, what is known of each, and where it stands.

use rusqlite::{Connection, OptionalExtension, Row, params};
use serde::Serialize;

use super::Memory;
use super::fault::told;
use super::words::{day, material, named, said};
use crate::error::{Error, Range, Result, check};
use crate::outline::Outline;
use crate::shop::{Shop, ShopFile};
use crate::stock::Area;

/// A piece left from earlier work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Offcut {
    /// What is written on it; never given twice.
    pub name: String,
    /// Its plastic, by the catalogue's name.
    pub material: String,
    /// Thickness; measured, where the sheet was. [m]
    pub thickness_m: f64,
    /// Lot of its sheet.
    pub lot: Option<String>,
    /// The sheet that it was cut from.
    pub sheet: Option<String>,
    /// Outline, from its lower left corner.
    pub outline: Outline,
    /// Places on it that no part may lie on.
    pub bad_areas: Vec<Area>,
    /// Width and height over all. [m]
    pub width_m: f64,
    /// Height over all. [m]
    pub height_m: f64,
    /// Area. [m²]
    pub area_m2: f64,
    /// What it is worth on the shelf, in the shop's currency; by its share of the sheet's price where nothing is said.
    pub worth: Option<f64>,
    /// Where it stands.
    pub place: Option<String>,
    /// File of a photo of it.
    pub photo: Option<String>,
    /// The day since which it is there; `None` where only the shop's file tells of it.
    pub since: Option<String>,
    /// The job that left it.
    pub from_job: Option<String>,
}

/// An offcut to be put into the rack.
#[derive(Debug, Clone, PartialEq)]
pub struct NewOffcut {
    /// What is written on it; the next free name where nothing is said.
    pub name: Option<String>,
    /// Its plastic, by the catalogue's name.
    pub material: String,
    /// Thickness, measured; 0.3 mm to 60 mm. [m]
    pub thickness_m: f64,
    /// Outline.
    pub outline: Outline,
    /// Lot of its sheet.
    pub lot: Option<String>,
    /// The sheet that it was cut from, as the shop's file calls it.
    pub sheet: Option<String>,
    /// Where it stands.
    pub place: Option<String>,
    /// File of a photo of it.
    pub photo: Option<String>,
}

/// Whole sheets of one name in the rack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SheetCount {
    /// Name in the shop's file.
    pub name: String,
    /// How many.
    pub on_hand: u32,
    /// Their lot.
    pub lot: Option<String>,
    /// Thickness, measured. [m]
    pub thickness_m: Option<f64>,
    /// Where they stand.
    pub place: Option<String>,
    /// File of a photo.
    pub photo: Option<String>,
    /// The day on which they were last counted or taken from; `None` where only the shop's file tells of them.
    pub since: Option<String>,
}

/// Thickness of a sheet or an offcut.
pub(super) const THICKNESS: Range = Range::new(3e-4, 0.06, "m");
/// Whole sheets of one name.
pub(super) const ON_HAND: Range = Range::new(0.0, 1e4, "");

const COLUMNS: &str = "o.name, o.material, o.thickness_m, o.lot, o.sheet, o.outline, o.bad_areas, \
    o.area_m2, o.worth, o.place, o.photo, o.since, j.name";

/// A column that holds JSON.
pub(super) fn json<T: serde::de::DeserializeOwned>(row: &Row, at: usize) -> rusqlite::Result<T> {
    let text: String = row.get(at)?;
    serde_json::from_str(&text).map_err(|e| {
        rusqlite::Error::FromSqlConversionFailure(at, rusqlite::types::Type::Text, Box::new(e))
    })
}

/// A value as JSON; what is stored is always writable.
pub(super) fn text(value: &impl Serialize) -> String {
    serde_json::to_string(value).unwrap_or_default()
}

fn offcut(row: &Row) -> rusqlite::Result<Offcut> {
    let outline: Outline = json(row, 5)?;
    let (width_m, height_m) = outline.size_m();
    Ok(Offcut {
        name: row.get(0)?,
        material: row.get(1)?,
        thickness_m: row.get(2)?,
        lot: row.get(3)?,
        sheet: row.get(4)?,
        outline,
        bad_areas: json(row, 6)?,
        width_m,
        height_m,
        area_m2: row.get(7)?,
        worth: row.get(8)?,
        place: row.get(9)?,
        photo: row.get(10)?,
        since: row.get(11)?,
        from_job: row.get(12)?,
    })
}

/// The outline with its lower left corner at the origin.
pub(super) fn at_origin(outline: &Outline) -> Outline {
    let (left, bottom, _, _) = outline.bounds_m();
    outline.placed(crate::outline::Placement {
        turn_rad: 0.0,
        x_m: -left,
        y_m: -bottom,
    })
}

/// A row of an offcut as it is written; gives its name.
pub(super) struct Piece<'a> {
    pub(super) name: Option<&'a str>,
    pub(super) material: &'a str,
    pub(super) thickness_m: f64,
    pub(super) lot: Option<&'a str>,
    pub(super) sheet: Option<&'a str>,
    pub(super) outline: &'a Outline,
    pub(super) bad_areas: &'a [Area],
    pub(super) worth: Option<f64>,
    pub(super) place: Option<&'a str>,
    pub(super) photo: Option<&'a str>,
    pub(super) since: &'a str,
    pub(super) made_by: Option<i64>,
    pub(super) used_by: Option<i64>,
    /// The job that took it straight from the shop's file.
    pub(super) adopted_by: Option<i64>,
}

impl Piece<'_> {
    pub(super) fn put(&self, tx: &Connection) -> rusqlite::Result<String> {
        // A name is given with the row's number, which is never used twice. Pieces that bring their own name are numbered below zero, so
        // that the first name that is given is K-001.
        let blank = format!("\u{1}{}", self.since);
        tx.prepare(
            "INSERT INTO offcut (id, name, material, thickness_m, lot, sheet, outline, bad_areas, area_m2, worth, \
             place, photo, since, state, made_by, used_by, adopted_by) \
             VALUES (iif(?16, (SELECT min(coalesce(min(id), 0), 0) - 1 FROM offcut), NULL), \
             ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?17)",
        )?
        .execute(params![
            self.name.unwrap_or(&blank),
            self.material,
            self.thickness_m,
            self.lot,
            self.sheet,
            text(self.outline),
            text(&self.bad_areas),
            self.outline.area_m2(),
            self.worth,
            self.place,
            self.photo,
            self.since,
            if self.used_by.is_some() { "used" } else { "rack" },
            self.made_by,
            self.used_by,
            self.name.is_some(),
            self.adopted_by,
        ])?;
        if let Some(name) = self.name {
            return Ok(name.into());
        }
        let id = tx.last_insert_rowid();
        let mut name = format!("K-{id:03}");
        let mut taken = tx.prepare("SELECT count(*) FROM offcut WHERE name = ?1")?;
        while taken.query_row([&name], |row| row.get::<_, i64>(0))? > 0 {
            name.push('+');
        }
        tx.prepare("UPDATE offcut SET name = ?1 WHERE id = ?2")?
            .execute(params![name, id])?;
        Ok(name)
    }
}

impl Memory {
    /// The offcuts in the rack, by name.
    ///
    /// # Errors
    /// [`Error::Memory`] for a damaged file.
    pub fn rack(&self) -> Result<Vec<Offcut>> {
        let sql = format!(
            "SELECT {COLUMNS} FROM offcut o LEFT JOIN job j ON j.id = o.made_by \
             WHERE o.state = 'rack' ORDER BY o.name"
        );
        self.all(&sql, [], offcut)
    }

    /// The offcuts in the rack that a job left, by name.
    pub(super) fn left_by(&self, job: i64) -> Result<Vec<Offcut>> {
        let sql = format!(
            "SELECT {COLUMNS} FROM offcut o LEFT JOIN job j ON j.id = o.made_by \
             WHERE o.made_by = ?1 AND o.state = 'rack' ORDER BY o.name"
        );
        self.all(&sql, [job], offcut)
    }

    /// Whole sheets that the memory has counted, by name.
    ///
    /// # Errors
    /// [`Error::Memory`] for a damaged file.
    pub fn sheets(&self) -> Result<Vec<SheetCount>> {
        self.all(
            "SELECT name, on_hand, lot, thickness_m, place, photo, since FROM sheet ORDER BY name",
            [],
            |row| {
                Ok(SheetCount {
                    name: row.get(0)?,
                    on_hand: row.get(1)?,
                    lot: row.get(2)?,
                    thickness_m: row.get(3)?,
                    place: row.get(4)?,
                    photo: row.get(5)?,
                    since: row.get(6)?,
                })
            },
        )
    }

    /// Puts an offcut into the rack; gives its name. `shop` tells the materials of its own.
    ///
    /// # Errors
    /// [`Error::Unknown`] for a material that is neither the catalogue's nor that of a sheet of the shop; [`Error::Shape`] for a faulty outline, a name that was given before, or words that cannot be; [`Error::OutOfRange`] for the
    /// thickness; [`Error::Memory`] where the file cannot be written.
    pub fn put(&mut self, piece: &NewOffcut, shop: &Shop, on: &str) -> Result<String> {
        let since = day("day", on)?.to_string();
        let name = said("offcut.name", piece.name.as_deref())?;
        let material = material(&piece.material, shop)?;
        check(
            "offcut.thickness_m",
            piece.thickness_m,
            THICKNESS,
            "measure it with a caliper",
        )?;
        let outline = at_origin(&piece.outline.clone().checked("offcut")?);
        let (lot, sheet) = (
            said("lot", piece.lot.as_deref())?,
            said("sheet", piece.sheet.as_deref())?,
        );
        let (place, photo) = (
            said("place", piece.place.as_deref())?,
            said("photo", piece.photo.as_deref())?,
        );
        let path = self.path.clone();
        self.change(|tx| {
            if let Some(name) = &name
                && state(tx, name).map_err(|e| told(&path, &e))?.is_some()
            {
                return Err(Error::Shape {
                    what: "name of an offcut".into(),
                    given: format!("\"{name}\", which was given before"),
                    allowed: "a name of its own".into(),
                });
            }
            let row = Piece {
                name: name.as_deref(),
                material: &material,
                thickness_m: piece.thickness_m,
                lot: lot.as_deref(),
                sheet: sheet.as_deref(),
                outline: &outline,
                bad_areas: &[],
                worth: None,
                place: place.as_deref(),
                photo: photo.as_deref(),
                since: &since,
                made_by: None,
                used_by: None,
                adopted_by: None,
            };
            row.put(tx).map_err(|e| told(&path, &e))
        })
    }

    /// Takes an offcut out of the rack that is broken, lost or thrown away.
    ///
    /// # Errors
    /// [`Error::Unknown`] where none of that name is in the rack; [`Error::Memory`] where the file cannot be written.
    pub fn scrap(&mut self, name: &str) -> Result<()> {
        let sql = "UPDATE offcut SET state = 'gone' WHERE name = ?1 AND state = 'rack'";
        self.one_offcut(name, |tx| tx.execute(sql, [name]))
    }

    /// Takes an offcut that only the shop's file tells of into the memory, which knows of it from then on; one that the memory
    /// knows, and one of no such name, change nothing.
    ///
    /// # Errors
    /// [`Error::Unit`] for a day that is none; [`Error::Unknown`] for its material, as [`Memory::put`]; [`Error::Memory`] where the file cannot be written.
    pub fn adopt(&mut self, name: &str, shop: &ShopFile, on: &str) -> Result<()> {
        let since = day("day", on)?.to_string();
        let of_file = shop.shop.offcuts.iter().find(|o| o.name == name);
        let Some((offcut, outline)) = of_file.zip(shop.offcuts.get(name)) else {
            return Ok(());
        };
        let path = self.path.clone();
        self.change(|tx| {
            let fail = |e| told(&path, &e);
            if state(tx, name).map_err(fail)?.is_some() {
                return Ok(());
            }
            let material = material(&offcut.material, &shop.shop)?;
            let piece = Piece {
                name: Some(name),
                material: &material,
                thickness_m: offcut.thickness.si(),
                lot: None,
                sheet: offcut.sheet.as_deref(),
                outline: &at_origin(outline),
                bad_areas: &crate::plan::areas(&offcut.bad_areas),
                worth: offcut.worth,
                place: None,
                photo: None,
                since: &since,
                made_by: None,
                used_by: None,
                adopted_by: None,
            };
            piece.put(tx).map_err(fail)?;
            Ok(())
        })
    }

    /// Says where an offcut stands and which photo shows it; what is left out stays.
    ///
    /// # Errors
    /// As [`Memory::scrap`]; [`Error::Shape`] for words that cannot be.
    pub fn stand(&mut self, name: &str, place: Option<&str>, photo: Option<&str>) -> Result<()> {
        let (place, photo) = (said("place", place)?, said("photo", photo)?);
        let sql = "UPDATE offcut SET place = coalesce(?2, place), photo = coalesce(?3, photo) \
                   WHERE name = ?1 AND state = 'rack'";
        self.one_offcut(name, |tx| tx.execute(sql, params![name, place, photo]))
    }

    fn one_offcut(
        &mut self,
        name: &str,
        work: impl FnOnce(&Connection) -> rusqlite::Result<usize>,
    ) -> Result<()> {
        let path = self.path.clone();
        let changed = self.change(|tx| work(tx).map_err(|e| told(&path, &e)))?;
        if changed == 1 {
            return Ok(());
        }
        let known = self.rack()?;
        let known = known.iter().map(|o| o.name.as_str());
        Err(Error::unknown("offcut in the rack", name, known))
    }

    /// Says how many whole sheets of a name stand in the rack, and what is known of them; what is left out stays.
    ///
    /// # Errors
    /// [`Error::Shape`] for words that cannot be; [`Error::OutOfRange`] for a thickness or a count that cannot be;
    /// [`Error::Memory`] where the file cannot be written.
    pub fn count(&mut self, sheet: &SheetCount, on: &str) -> Result<()> {
        let name = named("sheet.name", &sheet.name)?;
        let since = day("day", on)?.to_string();
        check("on_hand", f64::from(sheet.on_hand), ON_HAND, "count them")?;
        if let Some(t) = sheet.thickness_m {
            check(
                "sheet.thickness_m",
                t,
                THICKNESS,
                "measure it with a caliper",
            )?;
        }
        let (lot, place) = (
            said("lot", sheet.lot.as_deref())?,
            said("place", sheet.place.as_deref())?,
        );
        let photo = said("photo", sheet.photo.as_deref())?;
        let path = self.path.clone();
        self.change(|tx| {
            let values = params![name, sheet.on_hand, lot, sheet.thickness_m, place, photo, since];
            tx.execute(
                "INSERT INTO sheet (name, on_hand, lot, thickness_m, place, photo, since) \
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) ON CONFLICT (name) DO UPDATE SET on_hand = ?2, \
                 lot = coalesce(?3, lot), thickness_m = coalesce(?4, thickness_m), \
                 place = coalesce(?5, place), photo = coalesce(?6, photo), since = ?7",
                values,
            )
            .and_then(|_| tx.execute("UPDATE taken SET uncounted = 0 WHERE sheet = ?1", [&name]))
            .map_err(|e| told(&path, &e))
        })?;
        Ok(())
    }

    /// All rows of a question.
    pub(super) fn all<T>(
        &self,
        sql: &str,
        with: impl rusqlite::Params,
        row: impl FnMut(&Row) -> rusqlite::Result<T>,
    ) -> Result<Vec<T>> {
        let read = || -> rusqlite::Result<Vec<T>> {
            let mut question = self.db.prepare(sql)?;
            question.query_map(with, row)?.collect()
        };
        read().map_err(|e| told(&self.path, &e))
    }
}

/// Where the offcut of a name is: `rack`, `used`, `gone`; `None` where the memory does not know it.
pub(super) fn state(tx: &Connection, name: &str) -> rusqlite::Result<Option<String>> {
    tx.prepare("SELECT state FROM offcut WHERE name = ?1")?
        .query_row([name], |row| row.get(0))
        .optional()
}
