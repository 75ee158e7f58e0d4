//! Rows of plain files, held against what the commands allow before they are read in.

use std::collections::BTreeMap;

use rusqlite::types::Value;
use serde::de::DeserializeOwned;

use super::close::{GLUE, MINUTES, MONEY, heats_of};
use super::guns::SIZES;
use super::patterns::{LISTS, MOST_SPARES};
use super::planned::{Kept, Recipe};
use super::rack::{ON_HAND, THICKNESS};
use super::words::{civil, day, named, not_before};
use crate::error::{Error, Range, Result, check};
use crate::outline::Outline;
use crate::stock::Area;
use crate::task::Kind;

/// Money, counts, numbers of rows and planned seconds: what is more is no work of a shop.
const MOST: f64 = 1e9;
/// Shares of a time and areas are the same up to rounding.
const ROUNDING: f64 = 1e-6;

/// What was read of the rows before.
#[derive(Default)]
pub(super) struct Loaded {
    jobs: BTreeMap<i64, Job>,
}

struct Job {
    kept: Kept,
    done_on: Option<String>,
}

/// The cells of a row by the names of their columns.
pub(super) struct Row<'a>(pub(super) BTreeMap<&'a str, &'a Value>);

/// A column and why its cell cannot be.
type Fault<'a> = (&'a str, String);

impl Row<'_> {
    fn text(&self, column: &str) -> Option<&str> {
        match self.0.get(column) {
            Some(Value::Text(text)) => Some(text),
            _ => None,
        }
    }

    fn number(&self, column: &str) -> Option<f64> {
        match self.0.get(column) {
            Some(Value::Real(number)) => Some(*number),
            Some(Value::Integer(whole)) => Some(*whole as f64),
            _ => None,
        }
    }

    fn whole(&self, column: &str) -> Option<i64> {
        match self.0.get(column) {
            Some(Value::Integer(whole)) => Some(*whole),
            _ => None,
        }
    }

    fn count(&self, column: &str) -> u32 {
        let whole = self.whole(column).unwrap_or(0);
        u32::try_from(whole).unwrap_or(u32::MAX)
    }
}

/// A cell that must have something; what the column must not lack, the table itself refuses.
fn column<'a>(
    row: &Row,
    name: &'a str,
    look: impl FnOnce(&str) -> Result<()>,
) -> std::result::Result<(), Fault<'a>> {
    let text = row.text(name).map_or(Ok(()), look);
    text.map_err(|e| (name, e.to_string()))
}

fn within<'a>(row: &Row, columns: &[(&'a str, Range)]) -> std::result::Result<(), Fault<'a>> {
    for (name, range) in columns {
        if let Some(value) = row.number(name) {
            check(*name, value, *range, "mend the cell").map_err(|e| (*name, e.to_string()))?;
        }
    }
    Ok(())
}

fn days<'a>(row: &Row, columns: &[&'a str]) -> std::result::Result<(), Fault<'a>> {
    for name in columns {
        column(row, name, |text| day(name, text).map(drop))?;
    }
    Ok(())
}

fn words<'a>(row: &Row, columns: &[&'a str]) -> std::result::Result<(), Fault<'a>> {
    for name in columns {
        column(row, name, |text| named(name, text).map(drop))?;
    }
    Ok(())
}

fn json<T: DeserializeOwned>(what: &str, text: &str) -> Result<T> {
    serde_json::from_str(text).map_err(|e| shape(what, &e.to_string(), "as it was written"))
}

fn outline(text: &str) -> Result<Outline> {
    json::<Outline>("outline", text)?.checked("the cell")
}

fn shape(what: &str, given: &str, allowed: &str) -> Error {
    Error::Shape {
        what: what.into(),
        given: given.into(),
        allowed: allowed.into(),
    }
}

const fn to(most: f64) -> Range {
    Range::new(0.0, most, "")
}

impl Loaded {
    /// Holds a row against the ranges that the commands allow.
    ///
    /// # Errors
    /// The column and why its cell cannot be.
    pub(super) fn row(
        &mut self,
        table: &str,
        row: &Row,
    ) -> std::result::Result<(), Fault<'static>> {
        // Whatever it is: endless numbers and those beyond any shop.
        for (name, value) in &row.0 {
            let number = match value {
                Value::Real(number) => *number,
                Value::Integer(whole) => *whole as f64,
                _ => continue,
            };
            check(*name, number, Range::new(-MOST, MOST, ""), "mend the cell")
                .map_err(|e| ("", e.to_string()))?;
        }
        match table {
            "sheet" => {
                within(row, &[("on_hand", ON_HAND), ("thickness_m", THICKNESS)])?;
                days(row, &["since"])?;
                words(row, &["name", "lot", "place", "photo"])
            }
            "job" => self.job(row),
            "taken" => within(row, &[("count", ON_HAND)]),
            "offcut" => offcut(row),
            "timed" => self.timed(row),
            "pattern" => pattern(row),
            "coupon" => {
                within(row, &SIZES)?;
                days(row, &["tried_on"])?;
                words(row, &["gun", "material"])
            }
            "comeback" => {
                words(row, &["what", "place", "remarks"])?;
                days(row, &["came_on"])?;
                let job = row.whole("job").and_then(|id| self.jobs.get(&id));
                let done_on = job.and_then(|j| j.done_on.as_deref());
                column(row, "came_on", |on| {
                    not_before("came_on", on, done_on, "it was done then")
                })
            }
            _ => within(row, &[("seq", to(MOST))]),
        }
    }

    fn job(&mut self, row: &Row) -> std::result::Result<(), Fault<'static>> {
        words(row, &["name", "vehicle", "remarks"])?;
        column(row, "start", |text| civil("start", text).map(drop))?;
        days(row, &["quoted_on", "accepted_on", "done_on"])?;
        let state = row.text("state").unwrap_or_default();
        for (name, wanted) in [
            ("accepted_on", state != "quoted"),
            ("done_on", state == "done"),
        ] {
            if row.text(name).is_some() != wanted {
                let words = if wanted { "a day" } else { "no day" };
                return Err((name, format!("a job that is {state} has {words} here")));
            }
        }
        column(row, "accepted_on", |on| {
            not_before(
                "accepted_on",
                on,
                row.text("quoted_on"),
                "it was quoted then",
            )
        })?;
        column(row, "done_on", |on| {
            not_before(
                "done_on",
                on,
                row.text("accepted_on"),
                "it was accepted then",
            )
        })?;
        within(
            row,
            &[
                ("net_price", to(MOST)),
                ("cost", to(MOST)),
                ("hours", to(MOST)),
                ("hour_cost", to(MOST)),
                ("formed", to(MOST)),
                ("glue_m3", to(MOST)),
                ("glue_used_m3", GLUE),
                ("more_cost", MONEY),
            ],
        )?;
        if row.whole("heats").is_some() {
            let of = heats_of(
                row.count("formed"),
                row.count("heats"),
                row.count("spoiled"),
            );
            of.map_err(|e| ("heats", e.to_string()))?;
        }
        let plan = row.text("plan").unwrap_or_default();
        let kept = json::<Kept>("plan", plan).and_then(Kept::checked);
        let kept = kept.map_err(|e| ("plan", e.to_string()))?;
        let job = Job {
            kept,
            done_on: row.text("done_on").map(Into::into),
        };
        self.jobs.insert(row.whole("id").unwrap_or_default(), job);
        Ok(())
    }

    fn timed(&self, row: &Row) -> std::result::Result<(), Fault<'static>> {
        words(row, &["work"])?;
        let kind = row.text("kind").unwrap_or_default();
        if !Kind::ALL.into_iter().any(|k| k.key() == kind) {
            let known = Kind::ALL.map(Kind::key);
            let words = Error::unknown("kind of work", kind, known).to_string();
            return Err(("kind", words));
        }
        let job = row.whole("job").and_then(|id| self.jobs.get(&id));
        if let Some(job) = job {
            column(row, "work", |work| job.kept.work(work).map(drop))?;
        }
        let usual = row.number("usual_s").unwrap_or(0.0);
        within(
            row,
            &[
                ("planned_s", to(MOST)),
                ("usual_s", to(MOST)),
                (
                    "actual_s",
                    Range::new(MINUTES.low * 60.0, MINUTES.high * 60.0, "s"),
                ),
                // What sheet and machine take is a part of the time.
                ("fixed_s", Range::new(0.0, usual * (1.0 + ROUNDING), "s")),
            ],
        )
    }
}

fn offcut(row: &Row) -> std::result::Result<(), Fault<'static>> {
    words(row, &["name", "material", "lot", "sheet", "place", "photo"])?;
    days(row, &["since"])?;
    within(row, &[("thickness_m", THICKNESS), ("worth", to(MOST))])?;
    column(row, "outline", |text| {
        let area = outline(text)?.area_m2();
        let same = Range::new(area * (1.0 - ROUNDING), area * (1.0 + ROUNDING), "m2");
        let given = row.number("area_m2").unwrap_or(area);
        check("area_m2", given, same, "it is that of the outline").map(drop)
    })?;
    column(row, "bad_areas", |text| {
        json::<Vec<Area>>("bad_areas", text).map(drop)
    })
}

fn pattern(row: &Row) -> std::result::Result<(), Fault<'static>> {
    words(row, &["vehicle", "part", "place", "hangs"])?;
    days(row, &["made_on"])?;
    within(row, &[("spares", to(f64::from(MOST_SPARES)))])?;
    column(row, "outline", |text| outline(text).map(drop))?;
    column(row, "recipe", |text| {
        json::<Recipe>("recipe", text).map(drop)
    })?;
    column(row, "keys", |text| {
        let keys: toml::Table = text
            .parse()
            .map_err(|e: toml::de::Error| shape("keys", e.message(), "the part as TOML"))?;
        let parts = LISTS.iter().filter_map(|list| keys.get(*list)?.as_array());
        let is_part = |part: &toml::Value| part.is_table();
        if parts.flatten().any(is_part) {
            Ok(())
        } else {
            Err(shape("keys", "without its part", "the part as TOML"))
        }
    })
}
