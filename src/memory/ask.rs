//! Questions that a shop asks of its memory, each answered as a table.

use rusqlite::types::ValueRef;
use serde::Serialize;
use serde_json::{Map, Number, Value, json};

use super::Memory;
use super::fault::told;
use super::words::{day, not_before};
use crate::error::{Error, Result};

/// A question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// What done jobs cost against what was quoted, by the kinds of their parts.
    Cost {
        /// Only jobs with such a part: `pods`, `ring`, `panel`; all where nothing is said.
        kind: Option<String>,
        /// First day.
        from: Option<String>,
        /// Last day.
        to: Option<String>,
    },
    /// Which work takes longer than planned, the worst first.
    Underestimated,
    /// Offcuts that stand in the rack since before a day, the oldest first.
    OldOffcuts {
        /// The day.
        before: String,
    },
    /// What failed, where and in which season.
    Comebacks,
    /// Heats and glue of done jobs against what was planned, by the kinds of their parts.
    Used,
}

/// An answer: a table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Answer {
    /// What it tells.
    pub title: String,
    /// Names of its columns, with their units.
    pub columns: Vec<String>,
    /// Its rows, by the names of the columns.
    pub rows: Vec<Map<String, Value>>,
    /// What to know of it.
    pub note: String,
}

impl Memory {
    /// Answers a question.
    ///
    /// # Errors
    /// [`Error::Unit`] for a day that is none, [`Error::Shape`] for a last day before the first, [`Error::Unknown`] for a kind of part that is none, [`Error::Memory`] for a damaged file.
    pub fn ask(&self, question: &Question) -> Result<Answer> {
        match question {
            Question::Cost { kind, from, to } => self.cost(kind.as_deref(), from.as_deref(), to.as_deref()),
            Question::Underestimated => self.underestimated(),
            Question::OldOffcuts { before } => self.old_offcuts(before),
            Question::Comebacks => self.table(
                "Jobs that came back",
                "SELECT c.what, c.place AS \"where\", c.season, count(*) AS times, max(c.came_on) AS last, \
                 group_concat(DISTINCT j.name) AS jobs FROM comeback c JOIN job j ON j.id = c.job \
                 GROUP BY c.what, c.place, c.season ORDER BY times DESC, last DESC, c.what",
                &[],
                "what failed, where and in which season; most often first",
            ),
            Question::Used => self.table(
                "Heats and glue of done jobs",
                "SELECT kinds, count(*) AS jobs, sum(CASE WHEN heats IS NOT NULL THEN formed END) AS parts_formed, sum(heats) AS heats, \
                 sum(spoiled) AS spoiled, 1e6 * sum(CASE WHEN glue_used_m3 IS NOT NULL THEN glue_m3 END) AS glue_planned_ml, \
                 1e6 * sum(glue_used_m3) AS glue_used_ml FROM job WHERE state = 'done' GROUP BY kinds ORDER BY kinds",
                &[],
                "heats are compared with the parts of jobs in which heats or spoiled parts were counted, glue over jobs in which it was counted",
            ),
        }
    }

    fn cost(&self, kind: Option<&str>, from: Option<&str>, to: Option<&str>) -> Result<Answer> {
        let date = |what: &str, text: Option<&str>| {
            text.map(|t| day(what, t).map(|d| Value::String(d.to_string())))
                .transpose()
        };
        let (from, to) = (date("from", from)?, date("to", to)?);
        if let (Some(from), Some(to)) = (
            from.as_ref().and_then(Value::as_str),
            to.as_ref().and_then(Value::as_str),
        ) {
            not_before(
                "last day of the question",
                to,
                Some(from),
                "that is its first day",
            )?;
        }
        let kinds = kind.map(kinds).transpose()?.unwrap_or_default();
        let like = |at: usize| {
            let kind = kinds.get(at).or(kinds.first());
            kind.map_or(Value::Null, |k| Value::String(format!("%, {k},%")))
        };
        self.table(
            "What jobs cost against what was quoted",
            "SELECT kinds, count(*) AS jobs, currency, sum(net_price) AS quoted_net, sum(cost) AS cost_planned, \
             sum(cost + coalesce((t.actual_s - t.planned_s) / 3600 * hour_cost, 0) + coalesce(more_cost, 0)) AS cost_actual, \
             sum(net_price - cost - coalesce((t.actual_s - t.planned_s) / 3600 * hour_cost, 0) - coalesce(more_cost, 0)) AS left_over, \
             sum(t.planned_s) / 3600 AS hours_planned, sum(t.actual_s) / 3600 AS hours_actual \
             FROM job LEFT JOIN (SELECT job, sum(planned_s) AS planned_s, sum(actual_s) AS actual_s FROM timed GROUP BY job) t \
             ON t.job = job.id WHERE state = 'done' AND (?1 IS NULL OR done_on >= ?1) AND (?2 IS NULL OR done_on <= ?2) \
             AND (?3 IS NULL OR ', ' || kinds || ',' LIKE ?3 OR ', ' || kinds || ',' LIKE ?4) \
             GROUP BY kinds, currency ORDER BY kinds",
            &[from.unwrap_or(Value::Null), to.unwrap_or(Value::Null), like(0), like(1)],
            "planned is the mean that the price rests on; actual cost is the planned one with the hours that were timed in place of those planned, and what was noted besides; hours planned are those of the work that was timed alone",
        )
    }

    fn underestimated(&self) -> Result<Answer> {
        self.table(
            "Work against its plan",
            "SELECT work, count(*) AS jobs, sum(planned_s) / 60 AS planned_min, sum(actual_s) / 60 AS actual_min, \
             sum(actual_s) / sum(planned_s) AS actual_over_planned, \
             1.0 * sum(actual_s > planned_s) / count(*) AS longer_in_share_of_jobs \
             FROM timed GROUP BY work ORDER BY actual_over_planned DESC, work",
            &[],
            "planned is the mean that the price rests on; above 1: it takes longer; plans made with this memory move by themselves",
        )
    }

    fn old_offcuts(&self, before: &str) -> Result<Answer> {
        let before = day("before", before)?.to_string();
        self.table(
            &format!("Offcuts in the rack since before {before}"),
            "SELECT name, material, 1e3 * thickness_m AS thickness_mm, area_m2, lot, place, since FROM offcut \
             WHERE state = 'rack' AND since < ?1 ORDER BY since, name",
            &[Value::String(before)],
            "use them, sell them, or take them out of the rack",
        )
    }

    fn table(&self, title: &str, sql: &str, with: &[Value], note: &str) -> Result<Answer> {
        let mut answer = Answer {
            title: title.into(),
            columns: vec![],
            rows: vec![],
            note: note.into(),
        };
        let mut read = || -> rusqlite::Result<()> {
            let mut question = self.db.prepare(sql)?;
            answer.columns = question.column_names().map(Into::into).collect();
            let with = rusqlite::params_from_iter(with.iter().map(Value::as_str));
            let mut found = question.query(with)?;
            while let Some(row) = found.next()? {
                let mut cells = Map::new();
                for (at, name) in answer.columns.iter().enumerate() {
                    cells.insert(name.clone(), plain(row.get_ref(at)?));
                }
                answer.rows.push(cells);
            }
            Ok(())
        };
        read().map_err(|e| told(&self.path, &e))?;
        Ok(answer)
    }
}

fn plain(value: ValueRef) -> Value {
    match value {
        ValueRef::Null | ValueRef::Blob(_) => Value::Null,
        ValueRef::Integer(i) => json!(i),
        ValueRef::Real(f) => Number::from_f64(f).map_or(Value::Null, Value::Number),
        ValueRef::Text(t) => Value::String(String::from_utf8_lossy(t).into_owned()),
    }
}

/// Kinds of part by the shop's word for them.
fn kinds(word: &str) -> Result<Vec<&'static str>> {
    let small = word.trim().to_lowercase();
    let one = small.strip_suffix('s').unwrap_or(&small);
    Ok(match one {
        "pod" => vec!["strap", "pressed-pod"],
        "strap" => vec!["strap"],
        "pressed-pod" | "pressed pod" => vec!["pressed-pod"],
        "ring" => vec!["ring"],
        "panel" => vec!["panel", "folded-panel"],
        "folded-panel" | "folded panel" => vec!["folded-panel"],
        "grille" => vec!["grille"],
        _ => {
            let known = ["pods", "straps", "rings", "panels", "grilles"];
            return Err(Error::unknown("kind of part", word, known));
        }
    })
}
