//! A plan accepted: the stock that it takes leaves the rack, the offcuts that it keeps go in, all at once or not at all; and undone.

use rusqlite::{Connection, OptionalExtension, params};
use serde::Serialize;

use super::Memory;
use super::fault::told;
use super::planned::{Kept, Planned, PlannedLayout};
use super::rack::{Offcut, Piece, at_origin, json, state, text};
use super::words::{day, named, not_before};
use crate::error::{Error, MemoryFault, Result};
use crate::outline::Outline;
use crate::plan::{IN_RACK, same_thickness};
use crate::shop::ShopFile;
use crate::stock::{Area, Kind, Purchase, Used};

/// Sizes of an offcut that differ by no more are the same. [m]
const MEASURED_TO_M: f64 = 5e-4;

/// What accepting a plan did.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Accepted {
    /// The job.
    pub job: String,
    /// Offcuts taken from the rack.
    pub offcuts_taken: Vec<String>,
    /// Whole sheets taken from the rack, and how many.
    pub sheets_taken: Vec<(String, u32)>,
    /// Sheet that the rack does not have and that must be ordered.
    pub order: Vec<Purchase>,
    /// Sheets to be ordered that an accepted job orders already, each with that job: its rest may do.
    pub ordered_before: Vec<(String, String)>,
    /// Offcuts that the job leaves, as they go into the rack.
    pub kept: Vec<Offcut>,
}

/// How far a job is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum JobState {
    /// Its price was given.
    Quoted,
    /// The customer said yes; its stock is taken.
    Accepted,
    /// It is handed back.
    Done,
}

/// A job in short.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobEntry {
    /// What the shop calls it.
    pub name: String,
    /// The vehicle in the shop's own words.
    pub vehicle: String,
    /// When work starts, civil time.
    pub start: String,
    /// `quoted`, `accepted` or `done`.
    pub state: String,
    /// Kinds of its parts.
    pub kinds: String,
    /// Net price, in `currency`.
    pub net_price: f64,
    /// ISO 4217 code.
    pub currency: String,
    /// The day on which it came into this state.
    pub on: String,
}

/// A job of the memory, as a change needs it.
pub(super) struct Found {
    pub(super) id: i64,
    pub(super) state: String,
    pub(super) name: String,
    pub(super) vehicle: String,
    pub(super) kept: Kept,
}

impl Memory {
    /// Remembers that a plan was quoted. A job that was quoted before is replaced, one that was accepted stays.
    ///
    /// # Errors
    /// [`Error::Memory`] where it was accepted already, or the file cannot be written; [`Error::Unit`] for a day that is none.
    pub fn quote(&mut self, plan: &Planned, shop: &ShopFile, on: &str) -> Result<()> {
        let on = day("day", on)?.to_string();
        let path = self.path.clone();
        self.change(|tx| {
            let id = open_job(tx, &path, plan)?;
            write_job(tx, id, plan, shop, "quoted", &on).map_err(|e| told(&path, &e))
        })?;
        Ok(())
    }

    /// Accepts a plan: takes its sheets and offcuts from the rack and puts the offcuts that it keeps in.
    ///
    /// # Errors
    /// [`Error::Memory`] where the job was accepted before, where stock that it takes is no longer in the rack or is another than was planned, or where the file
    /// cannot be written; [`Error::Shape`] for a day before it was quoted; [`Error::Impossible`] where a part of it is not to be made
    /// as planned, since it fails a check or has no forming window; nothing is changed then.
    pub fn accept(&mut self, plan: &Planned, shop: &ShopFile, on: &str) -> Result<Accepted> {
        plan.may_be_made()?;
        let on = day("day", on)?.to_string();
        let path = self.path.clone();
        let (id, sheets_taken, offcuts_taken, ordered_before) = self.change(|tx| {
            let id = open_job(tx, &path, plan)?;
            let fail = |e| told(&path, &e);
            if let Some(id) = id {
                let sql = "SELECT quoted_on FROM job WHERE id = ?1";
                let quoted: String = tx.query_row(sql, [id], |row| row.get(0)).map_err(fail)?;
                not_before(
                    "day on which it was accepted",
                    &on,
                    Some(&quoted),
                    "it was quoted then",
                )?;
            }
            let ordered = ordered_before(tx, plan).map_err(fail)?;
            let id = write_job(tx, id, plan, shop, "accepted", &on).map_err(fail)?;
            let sheets = take_sheets(tx, &path, id, plan, shop, &on)?;
            let mut taken = vec![];
            for layout in &plan.layouts {
                for used in &layout.sheets_used {
                    let since =
                        cut_on(plan, layout, used).map_or(on.clone(), |day| day.max(on.clone()));
                    let from = match used.kind {
                        Kind::Offcut => {
                            taken.push(used.stock.clone());
                            take_offcut(tx, &path, id, layout, used, shop, &on)?
                        }
                        Kind::Sheet => From::sheet(tx, shop, layout, &used.stock).map_err(fail)?,
                    };
                    for kept in &used.kept {
                        let piece = Piece {
                            name: None,
                            material: &layout.material,
                            thickness_m: from.thickness_m,
                            lot: from.lot.as_deref(),
                            sheet: from.sheet.as_deref(),
                            outline: &at_origin(&kept.outline()),
                            bad_areas: &[],
                            worth: None,
                            place: None,
                            photo: None,
                            since: &since,
                            made_by: Some(id),
                            used_by: None,
                            adopted_by: None,
                        };
                        piece.put(tx).map_err(fail)?;
                    }
                }
            }
            Ok((id, sheets, taken, ordered))
        })?;
        Ok(Accepted {
            job: plan.job.name.clone(),
            offcuts_taken,
            sheets_taken,
            order: plan
                .layouts
                .iter()
                .flat_map(|l| l.buy.iter().cloned())
                .collect(),
            ordered_before,
            kept: self.left_by(id)?,
        })
    }

    /// Takes the acceptance of a job back: its stock returns to the rack, the offcuts that it left leave it, and it is quoted again.
    ///
    /// # Errors
    /// [`Error::Unknown`] for a job that is not there; [`Error::Impossible`] where it is done or was never accepted;
    /// [`Error::Memory`] where another job uses what it left, or the file cannot be written.
    pub fn undo(&mut self, job: &str, start: Option<&str>) -> Result<()> {
        let path = self.path.clone();
        self.change(|tx| {
            let found = find(tx, &path, job, start, &["accepted"])?;
            if found.state != "accepted" {
                return Err(Error::Impossible {
                    what: format!("taking back \"{}\"", found.name),
                    why: format!("it is {}", found.state),
                    remedy: "only a job that is accepted and not yet done can be taken back".into(),
                });
            }
            let fail = |e| told(&path, &e);
            let elsewhere = tx
                .query_row(
                    "SELECT o.name, coalesce(j.name, 'nobody knows what') FROM offcut o \
                     LEFT JOIN job j ON j.id = o.used_by WHERE o.made_by = ?1 AND o.state = 'used'",
                    [found.id],
                    |row| Ok((row.get::<_, String>(0)?, row.get::<_, String>(1)?)),
                )
                .optional()
                .map_err(fail)?;
            if let Some((name, by)) = elsewhere {
                return Err(Error::Memory {
                    fault: MemoryFault::AlreadyUsed,
                    path: path.clone(),
                    what: format!("offcut \"{name}\" that this job left is used for \"{by}\""),
                    remedy: "take that job back first".into(),
                });
            }
            let back = || -> rusqlite::Result<()> {
                tx.execute(
                    "DELETE FROM offcut WHERE made_by = ?1 OR adopted_by = ?1",
                    [found.id],
                )?;
                tx.execute(
                    "UPDATE offcut SET state = 'rack', used_by = NULL WHERE used_by = ?1",
                    [found.id],
                )?;
                tx.execute(
                    "UPDATE sheet SET on_hand = on_hand + t.count FROM taken t \
                     WHERE t.job = ?1 AND t.sheet = sheet.name",
                    [found.id],
                )?;
                let sql = "DELETE FROM taken WHERE job = ?1 RETURNING sheet, uncounted";
                let taken: Vec<(String, bool)> = tx
                    .prepare(sql)?
                    .query_map([found.id], |row| Ok((row.get(0)?, row.get(1)?)))?
                    .collect::<rusqlite::Result<_>>()?;
                // A sheet of which no job takes any more, and that nobody counted, stands in the shop's file alone again.
                for (sheet, _) in taken.iter().filter(|(_, uncounted)| *uncounted) {
                    tx.execute(
                        "DELETE FROM sheet WHERE name = ?1 AND NOT EXISTS (SELECT 1 FROM taken WHERE sheet = ?1)",
                        [sheet],
                    )?;
                }
                tx.execute(
                    "UPDATE job SET state = 'quoted', accepted_on = NULL WHERE id = ?1",
                    [found.id],
                )?;
                Ok(())
            };
            back().map_err(fail)
        })
    }

    /// Jobs, the latest first; of one state where it is given.
    ///
    /// # Errors
    /// [`Error::Memory`] for a damaged file.
    pub fn jobs(&self, state: Option<JobState>) -> Result<Vec<JobEntry>> {
        let state = state.map(|s| match s {
            JobState::Quoted => "quoted",
            JobState::Accepted => "accepted",
            JobState::Done => "done",
        });
        self.all(
            "SELECT name, vehicle, start, state, kinds, net_price, currency, \
             coalesce(done_on, accepted_on, quoted_on) FROM job \
             WHERE ?1 IS NULL OR state = ?1 ORDER BY id DESC",
            [state],
            |row| {
                Ok(JobEntry {
                    name: row.get(0)?,
                    vehicle: row.get(1)?,
                    start: row.get(2)?,
                    state: row.get(3)?,
                    kinds: row.get(4)?,
                    net_price: row.get(5)?,
                    currency: row.get(6)?,
                    on: row.get(7)?,
                })
            },
        )
    }
}

/// The number of the plan's job where it was quoted before; `None` where it is new.
fn open_job(tx: &Connection, path: &str, plan: &Planned) -> Result<Option<i64>> {
    let job = &plan.job;
    named("job.name", &job.name)?;
    named("job.vehicle", &job.vehicle)?;
    let known = tx
        .query_row(
            "SELECT id, state, coalesce(accepted_on, '') FROM job WHERE name = ?1 AND vehicle = ?2 AND start = ?3",
            params![job.name, job.vehicle, job.start],
            |row| Ok((row.get::<_, i64>(0)?, row.get::<_, String>(1)?, row.get::<_, String>(2)?)),
        )
        .optional()
        .map_err(|e| told(path, &e))?;
    match known {
        Some((id, state, _)) if state == "quoted" => Ok(Some(id)),
        Some((_, _, on)) => Err(Error::Memory {
            fault: MemoryFault::AcceptedTwice,
            path: path.into(),
            what: format!("\"{}\" for {} was accepted on {on}", job.name, job.vehicle),
            remedy: "take it back first, or give the new job another start or name".into(),
        }),
        None => Ok(None),
    }
}

fn write_job(
    tx: &Connection,
    id: Option<i64>,
    plan: &Planned,
    shop: &ShopFile,
    state: &str,
    on: &str,
) -> rusqlite::Result<i64> {
    let rates = &shop.shop.rates;
    let on_labour = rates.overhead_on_labour.map_or(0.0, crate::file::Share::si);
    let hour_cost = rates.labour_per_hour * (1.0 + on_labour) + rates.overhead_per_hour;
    let accepted = (state == "accepted").then_some(on);
    tx.prepare(
        "INSERT INTO job (id, name, vehicle, start, state, quoted_on, accepted_on, kinds, currency, net_price, \
         cost, hours, hour_cost, formed, glue_m3, plan) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15, ?16) \
         ON CONFLICT (id) DO UPDATE SET state = ?5, accepted_on = ?7, kinds = ?8, currency = ?9, net_price = ?10, \
         cost = ?11, hours = ?12, hour_cost = ?13, formed = ?14, glue_m3 = ?15, plan = ?16",
    )?
    .execute(params![
        id,
        plan.job.name,
        plan.job.vehicle,
        plan.job.start,
        state,
        on,
        accepted,
        plan.kinds(),
        plan.shop.currency,
        plan.net_price(),
        plan.cost(),
        plan.hours(),
        hour_cost,
        plan.formed(),
        plan.glue_m3(),
        text(&plan.kept()),
    ])?;
    Ok(id.unwrap_or_else(|| tx.last_insert_rowid()))
}

/// The first day on which a piece can be cut: when work starts, and sheet that is bought is there. `None` for a start that is none.
fn cut_on(plan: &Planned, layout: &PlannedLayout, used: &Used) -> Option<String> {
    let bought = used.kind == Kind::Sheet && !used.stock.ends_with(IN_RACK);
    let orders = layout.buy.iter().filter(|_| bought);
    let there = orders.filter_map(|b| plan.arrives(&b.merchant)).max();
    let start = crate::job::civil("start", plan.job.start.trim()).ok()?;
    let there = there.and_then(|at| crate::job::civil("arrival", at).ok());
    Some(there.unwrap_or(start).max(start).date().to_string())
}

/// Sheets that the plan orders and that another accepted job, not yet done, orders too, with that job.
fn ordered_before(tx: &Connection, plan: &Planned) -> rusqlite::Result<Vec<(String, String)>> {
    let mut question = tx.prepare(
        "SELECT job.name FROM job, json_each(job.plan, '$.orders') AS sheet \
         WHERE job.state = 'accepted' AND sheet.value = ?1 ORDER BY job.id",
    )?;
    let mut found = vec![];
    for sheet in plan.orders() {
        let jobs = question.query_map([&sheet], |row| row.get(0))?;
        for job in jobs {
            found.push((sheet.clone(), job?));
        }
    }
    Ok(found)
}

/// Takes whole sheets from the rack.
fn take_sheets(
    tx: &Connection,
    path: &str,
    job: i64,
    plan: &Planned,
    shop: &ShopFile,
    on: &str,
) -> Result<Vec<(String, u32)>> {
    let fail = |e| told(path, &e);
    let mut all: Vec<(String, u32)> = vec![];
    for taken in plan.layouts.iter().flat_map(|l| &l.from_rack) {
        let name = taken.name.strip_suffix(IN_RACK).unwrap_or(&taken.name);
        match all.iter_mut().find(|(known, _)| known == name) {
            Some((_, count)) => *count += taken.count,
            None => all.push((name.into(), taken.count)),
        }
    }
    for (name, count) in &all {
        let known: Option<u32> = tx
            .query_row("SELECT on_hand FROM sheet WHERE name = ?1", [name], |row| {
                row.get(0)
            })
            .optional()
            .map_err(fail)?;
        let of_file = || {
            shop.shop
                .sheets
                .iter()
                .find(|s| s.name == *name)
                .and_then(|s| s.on_hand)
        };
        let there = known.or_else(of_file).unwrap_or(0);
        let Some(left) = there.checked_sub(*count) else {
            return Err(Error::Memory {
                fault: MemoryFault::AlreadyUsed,
                path: path.into(),
                what: format!(
                    "the plan takes {count} of \"{name}\" from the rack, {there} stand there"
                ),
                remedy: "plan the job once more, or count the rack".into(),
            });
        };
        let take = || {
            tx.execute(
                "INSERT INTO sheet (name, on_hand, since) VALUES (?1, ?2, ?3) \
                 ON CONFLICT (name) DO UPDATE SET on_hand = ?2, since = ?3",
                params![name, left, on],
            )?;
            // As the one who took of it before: until it is counted, the shop's file tells how many there were.
            tx.execute(
                "INSERT INTO taken (job, sheet, count, uncounted) VALUES (?1, ?2, ?3, \
                 CASE WHEN ?4 THEN 1 ELSE coalesce((SELECT min(uncounted) FROM taken WHERE sheet = ?2), 0) END)",
                params![job, name, count, known.is_none()],
            )
        };
        take().map_err(fail)?;
    }
    Ok(all)
}

/// What a piece was cut from.
struct From {
    sheet: Option<String>,
    lot: Option<String>,
    thickness_m: f64,
}

impl From {
    /// A sheet of the shop's file: measured where it stood in the rack, as sold where it was bought.
    fn sheet(
        tx: &Connection,
        shop: &ShopFile,
        layout: &PlannedLayout,
        stock: &str,
    ) -> rusqlite::Result<Self> {
        let in_rack = stock.strip_suffix(IN_RACK);
        let base = in_rack.unwrap_or(stock);
        // A half or a length of a sheet is called after it.
        let mut sheets = shop
            .shop
            .sheets
            .iter()
            .filter(|s| base.contains(s.name.as_str()));
        let sheet = sheets.by_ref().max_by_key(|s| s.name.len());
        let measured = sheet
            .and_then(|s| s.measured.as_ref())
            .filter(|_| in_rack.is_some());
        let own: Option<(Option<String>, Option<f64>)> = match sheet.filter(|_| in_rack.is_some()) {
            Some(sheet) => tx
                .query_row(
                    "SELECT lot, thickness_m FROM sheet WHERE name = ?1",
                    [&sheet.name],
                    |row| Ok((row.get(0)?, row.get(1)?)),
                )
                .optional()?,
            None => None,
        };
        let (lot, thickness_m) = own.unwrap_or_default();
        Ok(Self {
            sheet: sheet.map(|s| s.name.clone()),
            lot: lot.or_else(|| measured.and_then(|m| m.lot.clone())),
            thickness_m: thickness_m
                .or(measured.map(|m| m.thickness.si()))
                .unwrap_or(layout.thickness_m),
        })
    }
}

/// Takes an offcut from the rack: one of the memory, or one of the shop's file that it has not seen.
fn take_offcut(
    tx: &Connection,
    path: &str,
    job: i64,
    layout: &PlannedLayout,
    used: &Used,
    shop: &ShopFile,
    on: &str,
) -> Result<From> {
    let fail = |e| told(path, &e);
    let name = &used.stock;
    let taken = |what: String| Error::Memory {
        fault: MemoryFault::AlreadyUsed,
        path: path.into(),
        what,
        remedy: "plan the job once more: the layout changes".into(),
    };
    match state(tx, name).map_err(fail)?.as_deref() {
        Some("rack") => {
            let sql = "UPDATE offcut SET state = 'used', used_by = ?1 WHERE name = ?2 \
                       RETURNING sheet, lot, thickness_m, material, outline";
            let read = |row: &rusqlite::Row| {
                let from = From {
                    sheet: row.get(0)?,
                    lot: row.get(1)?,
                    thickness_m: row.get(2)?,
                };
                Ok((from, row.get::<_, String>(3)?, json::<Outline>(row, 4)?))
            };
            let (from, material, outline) = tx
                .prepare(sql)
                .and_then(|mut update| update.query_row(params![job, name], read))
                .map_err(fail)?;
            match other_than(layout, used, &material, from.thickness_m, &outline) {
                Some(words) => Err(taken(words)),
                None => Ok(from),
            }
        }
        Some(_) => {
            let sql =
                "SELECT j.name FROM offcut o JOIN job j ON j.id = o.used_by WHERE o.name = ?1";
            let by: Option<String> = tx
                .query_row(sql, [name], |row| row.get(0))
                .optional()
                .map_err(fail)?;
            Err(taken(match by {
                Some(by) => format!("offcut \"{name}\" is used for \"{by}\""),
                None => format!("offcut \"{name}\" is gone from the rack"),
            }))
        }
        None => {
            let of_file = shop.shop.offcuts.iter().find(|o| o.name == *name);
            let Some((offcut, outline)) = of_file.zip(shop.offcuts.get(name)) else {
                return Err(taken(format!(
                    "offcut \"{name}\" stands neither in the memory nor in the shop's file"
                )));
            };
            let thickness_m = offcut.thickness.si();
            if let Some(words) = other_than(layout, used, &offcut.material, thickness_m, outline) {
                return Err(taken(words));
            }
            let bad: Vec<Area> = crate::plan::areas(&offcut.bad_areas);
            let piece = Piece {
                name: Some(name),
                material: &layout.material,
                thickness_m,
                lot: None,
                sheet: offcut.sheet.as_deref(),
                outline,
                bad_areas: &bad,
                worth: offcut.worth,
                place: None,
                photo: None,
                since: on,
                made_by: None,
                used_by: Some(job),
                adopted_by: Some(job),
            };
            piece.put(tx).map_err(fail)?;
            Ok(From {
                sheet: offcut.sheet.clone(),
                lot: None,
                thickness_m,
            })
        }
    }
}

/// In words, how an offcut is another than the plan was made with; `None` where it is the same.
fn other_than(
    layout: &PlannedLayout,
    used: &Used,
    material: &str,
    thickness_m: f64,
    outline: &Outline,
) -> Option<String> {
    let (width_m, height_m) = outline.size_m();
    let same = |a: f64, b: f64| (a - b).abs() <= MEASURED_TO_M;
    let as_planned = material == layout.material
        && same_thickness(thickness_m, layout.thickness_m)
        && same(width_m, used.width_m)
        && same(height_m, used.height_m);
    (!as_planned).then(|| {
        let piece = |material: &str, [t, w, h]: [f64; 3]| {
            format!(
                "{material}, {:.1} mm, {:.0} mm x {:.0} mm",
                t * 1e3,
                w * 1e3,
                h * 1e3
            )
        };
        format!(
            "offcut \"{}\" is {}, and was planned as {}",
            used.stock,
            piece(material, [thickness_m, width_m, height_m]),
            piece(
                &layout.material,
                [layout.thickness_m, used.width_m, used.height_m]
            )
        )
    })
}

/// The job of a name: the only one, or the one in a wanted state; with `start`, the one that starts then.
pub(super) fn find(
    tx: &rusqlite::Connection,
    path: &str,
    name: &str,
    start: Option<&str>,
    wanted: &[&str],
) -> Result<Found> {
    let fail = |e| told(path, &e);
    let read = || -> rusqlite::Result<Vec<(Found, String)>> {
        let mut question = tx.prepare(
            "SELECT id, state, name, vehicle, plan, start FROM job WHERE name = ?1 AND (?2 IS NULL OR start LIKE ?2 || '%') \
             ORDER BY id DESC",
        )?;
        let rows = question.query_map(params![name.trim(), start], |row| {
            let found = Found {
                id: row.get(0)?,
                state: row.get(1)?,
                name: row.get(2)?,
                vehicle: row.get(3)?,
                kept: json(row, 4)?,
            };
            Ok((found, row.get(5)?))
        })?;
        rows.collect()
    };
    let mut found = read().map_err(fail)?;
    if found
        .iter()
        .filter(|(f, _)| wanted.contains(&f.state.as_str()))
        .count()
        == 1
    {
        found.retain(|(f, _)| wanted.contains(&f.state.as_str()));
    }
    if found.len() > 1 {
        let starts: Vec<&str> = found.iter().map(|(_, start)| start.as_str()).collect();
        return Err(Error::Shape {
            what: format!("job \"{name}\""),
            given: format!(
                "the name of {} jobs, which start {}",
                found.len(),
                starts.join(", ")
            ),
            allowed: "one of them: say when it starts".into(),
        });
    }
    if let Some((found, _)) = found.pop() {
        return Ok(found);
    }
    let names = || -> rusqlite::Result<Vec<String>> {
        tx.prepare("SELECT DISTINCT name FROM job")?
            .query_map([], |row| row.get(0))?
            .collect()
    };
    let names = names().map_err(fail)?;
    Err(Error::unknown(
        "job",
        name,
        names.iter().map(String::as_str),
    ))
}
