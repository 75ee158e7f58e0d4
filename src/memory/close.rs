//! A job closed: what it took, and what it left to be remembered; and a job that came back.

use std::collections::BTreeSet;

use rusqlite::{Connection, params};
use serde::{Deserialize, Serialize};

use super::Memory;
use super::accept::{Found, find};
use super::fault::told;
use super::patterns;
use super::planned::{PlannedTask, Work};
use super::words::{day, named, not_before, said};
use crate::error::{Error, Range, Result, check};
use crate::file::Names;

/// What is noted when a job is done; what is left out was not counted, or stays as it was noted before.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Closing {
    /// Attended time of work, by its name: a kind of work (`cutting`), a piece of it over all parts (`lay the film`), or one task
    /// (`left pod / cut`); 0.1 to 10 000 minutes.
    pub minutes: Vec<(String, f64)>,
    /// Times that a part was heated to be formed, those that came out wrong with them: at least one that came out right for each
    /// formed part, at most 20 for each.
    pub heats: Option<u32>,
    /// How many of those came out wrong; without `heats` each formed part counts as heated once more than it was spoiled.
    pub spoiled: Option<u32>,
    /// Glue used. [m³]
    pub glue_used_m3: Option<f64>,
    /// What it cost beyond the plan, beside hours. The planned cost holds the blanks that are usually lost, so of sheet bought once more
    /// only what goes beyond them. [currency]
    pub more_cost: Option<f64>,
    /// Anything else.
    pub remarks: Option<String>,
    /// What the trial fit showed: part, key of the job's file, value: `("left pod", "front_cut", "3 mm")`.
    pub edits: Vec<(String, String, String)>,
    /// Where templates hang: part and place.
    pub hangs: Vec<(String, String)>,
    /// Spares made for next time: part and how many.
    pub spares: Vec<(String, u32)>,
    /// The day on which it was done, where that is not the day on which it is first closed.
    pub done_on: Option<String>,
}

/// Which tasks of a job the minutes of a name were noted for.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Covered {
    /// The name, as it was given.
    pub work: String,
    /// Its tasks.
    pub tasks: Vec<String>,
    /// Tasks of the same kind of work that it leaves out.
    pub left_out: Vec<String>,
}

/// A season.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Season {
    /// Spring.
    Spring,
    /// Summer.
    Summer,
    /// Autumn.
    Autumn,
    /// Winter.
    Winter,
}

impl Season {
    /// Its name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Spring => "spring",
            Self::Summer => "summer",
            Self::Autumn => "autumn",
            Self::Winter => "winter",
        }
    }

    /// The season of a month, 1 to 12, north of the equator, by whole months.
    pub const fn of_month(month: i8) -> Self {
        match month {
            3..=5 => Self::Spring,
            6..=8 => Self::Summer,
            9..=11 => Self::Autumn,
            _ => Self::Winter,
        }
    }
}

/// A job that came back.
#[derive(Debug, Clone, PartialEq)]
pub struct Comeback {
    /// The job.
    pub job: String,
    /// When it started, where several have that name.
    pub start: Option<String>,
    /// The day.
    pub on: String,
    /// The season; that of the day north of the equator where nothing is said.
    pub season: Option<Season>,
    /// What failed: "glue let go".
    pub what: String,
    /// Where: "left pillar".
    pub place: String,
    /// Anything else.
    pub remarks: Option<String>,
}

/// Most heats for each formed part: a slip of the pen is more. Common practice, no source.
const MOST_HEATS: f64 = 20.0;
/// Longest time of a piece of work, and shortest. [min]
pub(super) const MINUTES: Range = Range::new(0.1, 1e4, "min");
/// What a job cost beyond its plan. [currency]
pub(super) const MONEY: Range = Range::new(-1e9, 1e9, "");
/// Glue of one job. [m³]
pub(super) const GLUE: Range = Range::new(0.0, 0.1, "m3");

impl Memory {
    /// Closes an accepted job: what it took moves the next estimate, what was made is remembered as a pattern. Closing it once
    /// more replaces what is given then; what was noted before and is not given stays. Gives the tasks that each name covers.
    ///
    /// # Errors
    /// [`Error::Unknown`] for a job, work or part that is not there; [`Error::OutOfRange`] for counts that cannot be;
    /// [`Error::Shape`] for work that is noted twice, or inside of work that was noted as a whole, for heats of a job of which nothing
    /// is formed hot, and for a day before it was accepted or after it came back; [`Error::Job`] for an edit that the part does not take;
    /// [`Error::Impossible`] for a job that was not accepted; [`Error::Memory`] where the file cannot be written.
    pub fn close(
        &mut self,
        job: &str,
        start: Option<&str>,
        closing: &Closing,
        names: &Names,
        on: &str,
    ) -> Result<Vec<Covered>> {
        let today = day("day", on)?.to_string();
        let given = closing.done_on.as_deref().map(|d| day("day", d));
        let given = given.transpose()?.map(|d| d.to_string());
        let remarks = said("remarks", closing.remarks.as_deref())?;
        let path = self.path.clone();
        self.change(|tx| {
            let found = find(tx, &path, job, start, &["accepted"])?;
            if found.state == "quoted" {
                return Err(Error::Impossible {
                    what: format!("closing \"{}\"", found.name),
                    why: "it was quoted and not accepted".into(),
                    remedy: "accept it first".into(),
                });
            }
            let fail = |e| told(&path, &e);
            let before = Noted::of(tx, found.id).map_err(fail)?;
            let (heats, spoiled) = counts(closing, &found, &before)?.unzip();
            let counted = before.counted || closing.heats.is_some();
            let on = given.or(before.done_on).unwrap_or(today);
            let what = "day on which it was done";
            not_before(
                what,
                &on,
                before.accepted_on.as_deref(),
                "it was accepted then",
            )?;
            if let Some(came_on) = before.came_on
                && on > came_on
            {
                return Err(Error::Shape {
                    what: what.into(),
                    given: on,
                    allowed: format!("{came_on} or earlier: it came back then"),
                });
            }
            let covered = times(tx, &path, &found, closing)?;
            tx.execute(
                "UPDATE job SET state = 'done', done_on = ?2, heats = ?3, spoiled = ?4, \
                 glue_used_m3 = coalesce(?5, glue_used_m3), more_cost = coalesce(?6, more_cost), \
                 remarks = coalesce(?7, remarks), counted = ?8 WHERE id = ?1",
                params![
                    found.id,
                    on,
                    heats,
                    spoiled,
                    closing.glue_used_m3,
                    closing.more_cost,
                    remarks,
                    counted,
                ],
            )
            .map_err(fail)?;
            // What the job leaves is there once it is done, whenever that was planned.
            tx.execute(
                "UPDATE offcut SET since = ?2 WHERE made_by = ?1 AND since > ?2",
                params![found.id, on],
            )
            .map_err(fail)?;
            patterns::remember(tx, &path, &found, closing, names, &on)?;
            Ok(covered)
        })
    }

    /// Planned minutes of a job by kind of work, each its mean, in the order of the work: what is asked when it is closed.
    ///
    /// # Errors
    /// [`Error::Unknown`] for a job that is not there; [`Error::Memory`] for a damaged file.
    pub fn planned_minutes(&self, job: &str, start: Option<&str>) -> Result<Vec<(String, f64)>> {
        let found = find(&self.db, &self.path, job, start, &["accepted"])?;
        let kinds = found.kept.by_kind().into_iter();
        Ok(kinds
            .map(|(kind, s)| {
                let word = super::planned::word(&kind).map_or(kind.clone(), Into::into);
                (word, s / 60.0)
            })
            .collect())
    }

    /// Remembers that a done job came back.
    ///
    /// # Errors
    /// [`Error::Unknown`] for a job that is not there; [`Error::Impossible`] for one that is not done; [`Error::Unit`] for a day
    /// that is none; [`Error::Shape`] for one before it was done; [`Error::Memory`] where the file cannot be written.
    pub fn came_back(&mut self, comeback: &Comeback) -> Result<()> {
        let on = day("day", &comeback.on)?;
        let season = comeback.season.unwrap_or(Season::of_month(on.month()));
        let what = named("what failed", &comeback.what)?;
        let place = named("where", &comeback.place)?;
        let remarks = said("remarks", comeback.remarks.as_deref())?;
        let path = self.path.clone();
        self.change(|tx| {
            let found = find(tx, &path, &comeback.job, comeback.start.as_deref(), &["done"])?;
            if found.state != "done" {
                return Err(Error::Impossible {
                    what: format!("a comeback of \"{}\"", found.name),
                    why: format!("it is {}", found.state),
                    remedy: "close it first".into(),
                });
            }
            let on = on.to_string();
            let done_on = Noted::of(tx, found.id).map_err(|e| told(&path, &e))?.done_on;
            not_before("day of the comeback", &on, done_on.as_deref(), "it was done then")?;
            tx.execute(
                "INSERT INTO comeback (job, came_on, season, what, place, remarks) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![found.id, on, season.name(), what, place, remarks],
            )
            .map_err(|e| told(&path, &e))
        })?;
        Ok(())
    }
}

impl Memory {
    /// Forgets the comeback of a job that was noted last: it was noted by mistake.
    ///
    /// # Errors
    /// [`Error::Unknown`] for a job that is not there; [`Error::Impossible`] for one that never came back; [`Error::Memory`] where the
    /// file cannot be written.
    pub fn forget_comeback(&mut self, job: &str, start: Option<&str>) -> Result<()> {
        let path = self.path.clone();
        self.change(|tx| {
            let found = find(tx, &path, job, start, &["done"])?;
            let sql =
                "DELETE FROM comeback WHERE id = (SELECT max(id) FROM comeback WHERE job = ?1)";
            match tx.execute(sql, [found.id]).map_err(|e| told(&path, &e))? {
                0 => Err(Error::Impossible {
                    what: format!("forgetting a comeback of \"{}\"", found.name),
                    why: "none is noted".into(),
                    remedy: "look at `ask comebacks` for its name".into(),
                }),
                _ => Ok(()),
            }
        })
    }
}

/// What was noted of a job before it is closed.
struct Noted {
    accepted_on: Option<String>,
    /// First comeback.
    came_on: Option<String>,
    done_on: Option<String>,
    heats: Option<u32>,
    spoiled: Option<u32>,
    /// Whether the heats were counted; else they follow from the spoiled parts.
    counted: bool,
}

impl Noted {
    fn of(tx: &Connection, job: i64) -> rusqlite::Result<Self> {
        let sql = "SELECT done_on, heats, spoiled, accepted_on, (SELECT min(came_on) FROM comeback WHERE job = ?1), counted \
                   FROM job WHERE id = ?1";
        tx.query_row(sql, [job], |row| {
            Ok(Self {
                done_on: row.get(0)?,
                heats: row.get(1)?,
                spoiled: row.get(2)?,
                accepted_on: row.get(3)?,
                came_on: row.get(4)?,
                counted: row.get(5)?,
            })
        })
    }
}

/// Heats and how many came out wrong; `None` where neither was ever counted.
fn counts(closing: &Closing, found: &Found, before: &Noted) -> Result<Option<(u32, u32)>> {
    check(
        "more_cost",
        closing.more_cost.unwrap_or(0.0),
        MONEY,
        "what it cost more",
    )?;
    check(
        "glue_used",
        closing.glue_used_m3.unwrap_or(0.0),
        GLUE,
        "in millilitres as a rule",
    )?;
    let spoiled = closing.spoiled.or(before.spoiled);
    if closing.heats.or(before.heats).is_none() && spoiled.is_none() {
        return Ok(None);
    }
    let formed: u32 = found
        .kept
        .parts
        .iter()
        .filter(|p| p.recipe.is_some())
        .map(|p| p.quantity)
        .sum();
    let spoiled = spoiled.unwrap_or(0);
    // Heats that were counted stay; those that followed from the spoiled parts follow the new number of them.
    let counted = before.heats.filter(|_| before.counted);
    let heats = closing.heats.or(counted);
    if formed == 0 && heats.unwrap_or(0).max(spoiled) > 0 {
        // A sheet that was cut wrong says nothing of heats that come out wrong.
        return Err(Error::Shape {
            what: if spoiled > 0 { "spoiled" } else { "heats" }.into(),
            given: heats.unwrap_or(0).max(spoiled).to_string(),
            allowed:
                "none: no part of this job is formed hot; what was cut wrong goes into more_cost"
                    .into(),
        });
    }
    let heats = heats.unwrap_or(formed.saturating_add(spoiled));
    heats_of(formed, heats, spoiled)?;
    Ok(Some((heats, spoiled)))
}

/// Holds counted heats against the parts that were formed: each part of a done job came out right once.
pub(super) fn heats_of(formed: u32, heats: u32, spoiled: u32) -> Result<()> {
    let formed = f64::from(formed);
    let most = MOST_HEATS * formed;
    check(
        "spoiled",
        f64::from(spoiled),
        Range::new(0.0, most - formed, ""),
        "count the heats that came out wrong",
    )?;
    check(
        "heats",
        f64::from(heats),
        Range::new(formed + f64::from(spoiled), most, ""),
        "count each heat: one that came out right for each formed part, and those that were spoiled",
    )?;
    Ok(())
}

/// Writes the times of the work that was timed, in place of those that were noted of the same tasks.
fn times(tx: &Connection, path: &str, found: &Found, closing: &Closing) -> Result<Vec<Covered>> {
    let fail = |e| told(path, &e);
    let mut works = vec![];
    let mut covered: BTreeSet<usize> = BTreeSet::new();
    for (name, minutes) in &closing.minutes {
        check(
            format!("minutes of {name}"),
            *minutes,
            MINUTES,
            "leave out what was not timed",
        )?;
        let work = found.kept.work(name)?;
        if work.tasks.iter().any(|task| !covered.insert(*task)) {
            return Err(Error::Shape {
                what: format!("minutes of {name}"),
                given: "in other work that is noted already".into(),
                allowed: "each task once".into(),
            });
        }
        works.push((name, *minutes, work));
    }
    let before = || -> rusqlite::Result<Vec<String>> {
        let mut question = tx.prepare("SELECT work FROM timed WHERE job = ?1")?;
        question.query_map([found.id], |row| row.get(0))?.collect()
    };
    for noted in before().map_err(fail)? {
        let tasks = found.kept.work(&noted)?.tasks;
        let inside = |(_, _, work): &&(_, _, Work)| work.tasks.iter().any(|t| tasks.contains(t));
        let Some((name, ..)) = works.iter().find(inside) else {
            continue;
        };
        if tasks.iter().any(|task| !covered.contains(task)) {
            return Err(Error::Shape {
                what: format!("minutes of {name}"),
                given: format!("a piece of \"{noted}\", which was noted as a whole"),
                allowed: format!("\"{noted}\" once more, or all of its pieces"),
            });
        }
        tx.execute(
            "DELETE FROM timed WHERE job = ?1 AND work = ?2",
            params![found.id, noted],
        )
        .map_err(fail)?;
    }
    for (name, minutes, work) in &works {
        tx.execute(
            "INSERT INTO timed (job, work, kind, planned_s, usual_s, actual_s, fixed_s) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
            params![found.id, work.called(name), work.kind, work.planned_s, work.usual_s, minutes * 60.0, work.fixed_s],
        )
        .map_err(fail)?;
    }
    let covers = |(name, _, work): &(&String, f64, Work)| {
        let tasks = found.kept.tasks.iter().enumerate();
        let same = tasks.filter(|(_, t)| t.kind == work.kind && t.usual_s > 0.0);
        let (in_it, left_out): (Vec<_>, Vec<_>) = same.partition(|(at, _)| work.tasks.contains(at));
        let ids =
            |list: Vec<(usize, &PlannedTask)>| list.iter().map(|(_, t)| t.id.clone()).collect();
        Covered {
            work: name.trim().into(),
            tasks: ids(in_it),
            left_out: ids(left_out),
        }
    };
    Ok(works.iter().map(covers).collect())
}
