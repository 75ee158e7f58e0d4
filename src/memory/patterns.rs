//! Patterns: what was made for a place of a vehicle and worked, with its edits after the trial fit.

use rusqlite::{Connection, OptionalExtension, Row, params};
use serde::Serialize;
use toml::{Table, Value};

use super::Memory;
use super::accept::Found;
use super::close::Closing;
use super::fault::told;
use super::planned::Recipe;
use super::rack::{json, text};
use super::words::{named, said};
use crate::error::{Error, Problem, Result};
use crate::file::{self, Names};
use crate::job::Job;
use crate::outline::Outline;

/// What was made for a place of a vehicle, and worked.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Pattern {
    /// The vehicle in the shop's own words.
    pub vehicle: String,
    /// What the shop calls the part.
    pub part: String,
    /// Where it goes.
    pub place: String,
    /// `left`, `right` or `either`.
    pub hand: String,
    /// Kind of part.
    pub kind: String,
    /// The job that it was made for last.
    pub job: String,
    /// The day on which that was done.
    pub made_on: String,
    /// The part, its places and the sun in the form of a job's file, with the edits: TOML.
    pub keys: String,
    /// Outline of its blank.
    pub outline: Outline,
    /// How it was heated; `None` for a part that stays flat.
    pub recipe: Option<Recipe>,
    /// Edits after the trial fit, in words.
    pub edits: Option<String>,
    /// Where its template hangs.
    pub hangs: Option<String>,
    /// Spares that lie ready.
    pub spares: u32,
}

/// What is said of a pattern later; what is left out stays.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Tend {
    /// Where its template hangs now; empty where it is lost.
    pub hangs: Option<String>,
    /// Spares that lie ready now.
    pub spares: Option<u32>,
}

/// Most spares of one part, as `close` takes them.
pub(super) const MOST_SPARES: u32 = 1000;

/// Lists of parts in a job's file.
pub(super) const LISTS: [&str; 6] = ["straps", "pods", "rings", "panels", "folded", "grilles"];

const COLUMNS: &str = "p.vehicle, p.part, p.place, p.hand, p.kind, j.name, p.made_on, p.keys, p.outline, \
    p.recipe, p.edits, p.hangs, p.spares";

fn pattern(row: &Row) -> rusqlite::Result<Pattern> {
    let recipe: Option<String> = row.get(9)?;
    Ok(Pattern {
        vehicle: row.get(0)?,
        part: row.get(1)?,
        place: row.get(2)?,
        hand: row.get(3)?,
        kind: row.get(4)?,
        job: row.get(5)?,
        made_on: row.get(6)?,
        keys: row.get(7)?,
        outline: json(row, 8)?,
        recipe: recipe.map(|_| json(row, 9)).transpose()?,
        edits: row.get(10)?,
        hangs: row.get(11)?,
        spares: row.get(12)?,
    })
}

impl Memory {
    /// Patterns of one vehicle or of all, by vehicle and part.
    ///
    /// # Errors
    /// [`Error::Memory`] for a damaged file.
    pub fn patterns(&self, vehicle: Option<&str>) -> Result<Vec<Pattern>> {
        let sql = format!(
            "SELECT {COLUMNS} FROM pattern p JOIN job j ON j.id = p.job \
             WHERE ?1 IS NULL OR p.vehicle = ?1 ORDER BY p.vehicle, p.part, p.place"
        );
        self.all(&sql, [vehicle], pattern)
    }

    /// The pattern of a part; `vehicle` where several have one of that name.
    ///
    /// # Errors
    /// [`Error::Unknown`] where there is none; [`Error::Shape`] where several have that name.
    pub fn pattern(&self, part: &str, vehicle: Option<&str>) -> Result<Pattern> {
        let mut all = self.patterns(vehicle)?;
        if all.iter().any(|p| p.part == part.trim()) {
            all.retain(|p| p.part == part.trim());
        } else {
            let known = all.iter().map(|p| p.part.as_str());
            return Err(Error::unknown("pattern", part, known));
        }
        if all.len() > 1 {
            let vehicles: Vec<String> = all
                .iter()
                .map(|p| format!("{} ({})", p.vehicle, p.place))
                .collect();
            return Err(Error::Shape {
                what: format!("pattern \"{part}\""),
                given: format!("the name of {}: {}", all.len(), vehicles.join(", ")),
                allowed: "one of them: say for which vehicle".into(),
            });
        }
        all.pop().ok_or_else(|| Error::unknown("pattern", part, []))
    }

    /// Says where a template hangs now, and how many spares lie ready.
    ///
    /// # Errors
    /// As [`Memory::pattern`]; [`Error::Memory`] where the file cannot be written.
    pub fn tend(&mut self, part: &str, vehicle: Option<&str>, tend: &Tend) -> Result<()> {
        let found = self.pattern(part, vehicle)?;
        let hangs = said("hangs", tend.hangs.as_deref())?;
        let lost = tend.hangs.is_some() && hangs.is_none();
        let path = self.path.clone();
        self.change(|tx| {
            tx.execute(
                "UPDATE pattern SET hangs = CASE WHEN ?5 THEN NULL ELSE coalesce(?6, hangs) END, \
                 spares = coalesce(?7, spares) WHERE vehicle = ?1 AND part = ?2 AND place = ?3 AND hand = ?4",
                params![found.vehicle, found.part, found.place, found.hand, lost, hangs, tend.spares],
            )
            .map_err(|e| told(&path, &e))
        })?;
        Ok(())
    }
}

/// Remembers every part of a done job.
pub(super) fn remember(
    tx: &Connection,
    path: &str,
    found: &Found,
    closing: &Closing,
    names: &Names,
    on: &str,
) -> Result<()> {
    let known: Vec<&str> = found.kept.parts.iter().map(|p| p.name.as_str()).collect();
    let given = closing.edits.iter().map(|e| &e.0);
    let given = given.chain(closing.hangs.iter().map(|h| &h.0));
    for part in given.chain(closing.spares.iter().map(|s| &s.0)) {
        if !known.contains(&part.trim()) {
            return Err(Error::unknown(
                "part of this job",
                part,
                known.iter().copied(),
            ));
        }
    }
    let job: Table = found.kept.file.parse().unwrap_or_default();
    let fail = |e| told(path, &e);
    for part in &found.kept.parts {
        let Some(outline) = &part.blank.outline else {
            continue;
        };
        let mine = |name: &String| name.trim() == part.name;
        let edits: Vec<(&str, &str)> = closing
            .edits
            .iter()
            .filter(|e| mine(&e.0))
            .map(|e| (e.1.trim(), e.2.trim()))
            .collect();
        let place = part.places.join(", ");
        let whose = params![found.vehicle, part.name, place, part.hand];
        let before = tx
            .query_row(
                "SELECT job, keys FROM pattern WHERE vehicle = ?1 AND part = ?2 AND place = ?3 AND hand = ?4",
                whose,
                |row| Ok((row.get::<_, i64>(0)?, row.get::<_, String>(1)?)),
            )
            .optional()
            .map_err(fail)?;
        let hangs = closing.hangs.iter().find(|h| mine(&h.0));
        let hangs = hangs
            .map(|h| named("where the template hangs", &h.1))
            .transpose()?;
        let spares: Option<u32> = closing.spares.iter().find(|s| mine(&s.0)).map(|s| s.1);
        let own = before.as_ref().is_some_and(|b| b.0 == found.id);
        if found.state == "done" && before.is_some() && !own && edits.is_empty() {
            // A later job made it once more: what that knows is not undone by a word about an older one.
            tx.execute(
                "UPDATE pattern SET hangs = coalesce(?5, hangs), spares = coalesce(?6, spares) \
                 WHERE vehicle = ?1 AND part = ?2 AND place = ?3 AND hand = ?4",
                params![found.vehicle, part.name, place, part.hand, hangs, spares],
            )
            .map_err(fail)?;
            continue;
        }
        let edited = before.filter(|_| own).map(|b| b.1);
        let Some(entry) = Entry::of(&job, &part.name, edited.as_deref(), &edits) else {
            continue;
        };
        let keys = entry.keys(&job, &part.places);
        let keys = checked(&keys, names, &entry.edits)?;
        tx.execute(
            "INSERT INTO pattern (vehicle, part, place, hand, kind, job, made_on, keys, outline, recipe, edits, \
             hangs, spares) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, coalesce(?13, 0)) \
             ON CONFLICT (vehicle, part, place, hand) DO UPDATE SET kind = ?5, job = ?6, made_on = ?7, \
             keys = ?8, outline = ?9, recipe = ?10, edits = ?11, hangs = coalesce(?12, hangs), \
             spares = coalesce(?13, spares)",
            params![
                found.vehicle,
                part.name,
                place,
                part.hand,
                part.kind,
                found.id,
                on,
                keys,
                text(outline),
                part.recipe.as_ref().map(text),
                entry.words(),
                hangs,
                spares,
            ],
        )
        .map_err(fail)?;
    }
    Ok(())
}

/// A part as a job's file has it, with its edits.
struct Entry {
    list: &'static str,
    part: Table,
    edits: Table,
}

/// The entries of a list of a job's file.
fn entries<'a>(job: &'a Table, list: &str) -> &'a [Value] {
    let found = job.get(list).and_then(Value::as_array);
    found.map_or(&[], Vec::as_slice)
}

fn name(entry: &Value) -> Option<&str> {
    entry.get("name").and_then(Value::as_str)
}

impl Entry {
    /// The part of a job's file; `edited` is what was kept of it when the job was closed before. `None` where the file has no such
    /// part.
    fn of(job: &Table, part: &str, edited: Option<&str>, edits: &[(&str, &str)]) -> Option<Self> {
        let (list, written) = LISTS.iter().find_map(|list| {
            let entry = entries(job, list).iter().find(|e| name(e) == Some(part))?;
            Some((*list, entry.as_table()?))
        })?;
        let edited: Option<Table> = edited.and_then(|keys| keys.parse().ok());
        let edited = edited.and_then(|keys| entries(&keys, list).first()?.as_table().cloned());
        let mut part = edited.unwrap_or_else(|| written.clone());
        for (key, value) in edits {
            // A number or a truth as TOML has it, else text: `3 mm`.
            let plain: Option<Table> = format!("v = {value}").parse().ok();
            let plain = plain.and_then(|t| t.get("v").cloned());
            let plain = plain.unwrap_or_else(|| Value::String((*value).into()));
            part.insert((*key).into(), plain);
        }
        let differs = |(key, value): &(&String, &Value)| written.get(*key) != Some(*value);
        let edits = part.iter().filter(differs);
        let edits = edits.map(|(k, v)| (k.clone(), v.clone())).collect();
        Some(Self { list, part, edits })
    }

    /// What a job's file says of it: sun and units, its places, the part with its edits.
    fn keys(&self, job: &Table, places: &[String]) -> Table {
        let mut kept = Table::new();
        for key in ["invented", "sun", "units", "paper"] {
            if let Some(value) = job.get(key) {
                kept.insert(key.into(), value.clone());
            }
        }
        let there = entries(job, "places").iter();
        let there = there.filter(|p| name(p).is_some_and(|n| places.iter().any(|q| q == n)));
        kept.insert("places".into(), Value::Array(there.cloned().collect()));
        let part = vec![Value::Table(self.part.clone())];
        kept.insert(self.list.into(), Value::Array(part));
        kept
    }

    /// The edits in words: `front_cut = 3 mm; lap = 12 mm`.
    fn words(&self) -> Option<String> {
        let word = |(key, value): (&String, &Value)| match value.as_str() {
            Some(text) => format!("{key} = {text}"),
            None => format!("{key} = {value}"),
        };
        let words: Vec<String> = self.edits.iter().map(word).collect();
        (!words.is_empty()).then(|| words.join("; "))
    }
}

/// The keys as text, if they still are a part.
fn checked(keys: &Table, names: &Names, edits: &Table) -> Result<String> {
    let written = toml::to_string(keys).unwrap_or_default();
    if edits.is_empty() {
        return Ok(written);
    }
    // It was planned with these: a shop may have materials of its own.
    let mut names = names.clone();
    crate::shop::add_materials(&mut names, keys);
    let head = super::again::head("edits", "as before", "2000-01-03 08:00", None);
    match file::read::<Job>(
        "edits",
        &format!("{head}{written}"),
        &names,
        &[("place", "places")],
    ) {
        Ok(_) => Ok(written),
        Err(Error::Job { path, problems }) => {
            // Lines of a text that the user never saw say nothing.
            let problems = problems.into_iter().map(|p| Problem { line: None, ..p });
            Err(Error::Job {
                path,
                problems: problems.collect(),
            })
        }
        Err(other) => Err(other),
    }
}

/// The keys of a place that the memory has for a vehicle, as TOML.
pub(super) fn place_of(memory: &Memory, vehicle: &str, place: &str) -> Result<Option<Table>> {
    let found = memory
        .db
        .query_row(
            "SELECT keys FROM pattern WHERE vehicle = ?1 AND place = ?2 ORDER BY made_on DESC LIMIT 1",
            params![vehicle, place],
            |row| row.get::<_, String>(0),
        )
        .optional()
        .map_err(|e| told(&memory.path, &e))?;
    let keys: Option<Table> = found.and_then(|keys| keys.parse().ok());
    let places = keys.and_then(|k| k.get("places").and_then(Value::as_array).cloned());
    let named = |p: &Value| p.get("name").and_then(Value::as_str) == Some(place);
    Ok(places
        .and_then(|all| all.into_iter().find(named))
        .and_then(|p| p.as_table().cloned()))
}
