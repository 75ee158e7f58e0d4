//! The whole memory as plain files, one table each, and back.
//!
//! CSV (RFC 4180) in UTF-8; an empty cell is nothing. Outlines and plans are JSON in their cell.

use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::Connection;
use rusqlite::types::{Value, ValueRef};

use super::Memory;
use super::fault::told;
use super::loaded::{Loaded, Row};
use crate::error::{Error, Problem, Result};

/// Tables, each after those that it points at; the last holds the numbers given so far, so that no name is given twice.
const TABLES: [&str; 9] = [
    "sheet",
    "job",
    "taken",
    "offcut",
    "timed",
    "pattern",
    "coupon",
    "comeback",
    "sqlite_sequence",
];

/// Name of the file of a table.
fn file(folder: &Path, table: &str) -> PathBuf {
    let name = if table == "sqlite_sequence" {
        "numbers"
    } else {
        table
    };
    folder.join(format!("{name}.csv"))
}

impl Memory {
    /// Writes every table into a folder that is new or empty; gives the files.
    ///
    /// # Errors
    /// [`Error::Io`] where something is in the folder already, or it cannot be written.
    pub fn export(&self, folder: &Path) -> Result<Vec<PathBuf>> {
        let io = |path: &Path, e: &std::io::Error| Error::io(path.to_string_lossy(), e);
        fs::create_dir_all(folder).map_err(|e| io(folder, &e))?;
        let mut entries = fs::read_dir(folder).map_err(|e| io(folder, &e))?;
        if entries.next().is_some() {
            return Err(Error::Io {
                kind: std::io::ErrorKind::AlreadyExists,
                errno: None,
                path: folder.to_string_lossy().into_owned(),
                text: "the folder is not empty: name a new one".into(),
            });
        }
        let fail = |e| told(&self.path, &e);
        // One view of all tables, whatever another program does meanwhile.
        let tx = self.db.unchecked_transaction().map_err(fail)?;
        let mut files = vec![];
        for table in TABLES {
            let path = file(folder, table);
            let text = written(&tx, table).map_err(fail)?;
            fs::write(&path, text).map_err(|e| io(&path, &e))?;
            files.push(path);
        }
        Ok(files)
    }

    /// Reads what [`Memory::export`] wrote into this memory, which must be empty: all of it or nothing.
    ///
    /// # Errors
    /// [`Error::Impossible`] where something is in the memory already; [`Error::Io`] for a file that cannot be read;
    /// [`Error::Job`] with file, line and column of a cell that no command would have written.
    pub fn import(&mut self, folder: &Path) -> Result<()> {
        let path = self.path.clone();
        let mut texts = vec![];
        for table in TABLES {
            let file = file(folder, table);
            let name = file.to_string_lossy().into_owned();
            texts.push((table, crate::job::text_of(&name)?, name));
        }
        self.change(|tx| {
            let fail = |e| told(&path, &e);
            let rows = "SELECT (SELECT count(*) FROM sheet) + (SELECT count(*) FROM job) + (SELECT count(*) FROM offcut) \
                        + (SELECT count(*) FROM coupon)";
            if tx.query_row(rows, [], |row| row.get::<_, i64>(0)).map_err(fail)? > 0 {
                return Err(Error::Impossible {
                    what: format!("reading into {path}"),
                    why: "something is remembered there already".into(),
                    remedy: "read into a memory that is new".into(),
                });
            }
            let mut loaded = Loaded::default();
            for (table, text, file) in &texts {
                read(tx, &path, table, text, file, &mut loaded)?;
            }
            Ok(())
        })
    }
}

fn columns(db: &Connection, table: &str) -> rusqlite::Result<Vec<(String, String)>> {
    let mut question = db.prepare("SELECT name, type FROM pragma_table_info(?1)")?;
    question
        .query_map([table], |row| Ok((row.get(0)?, row.get(1)?)))?
        .collect()
}

fn written(db: &Connection, table: &str) -> rusqlite::Result<Vec<u8>> {
    let names: Vec<String> = columns(db, table)?.into_iter().map(|c| c.0).collect();
    let mut out = csv::Writer::from_writer(vec![]);
    // Writing into memory does not fail.
    let mut write = |cells: &[String]| out.write_record(cells).is_ok();
    write(&names);
    let mut question = db.prepare(&format!(
        "SELECT {} FROM {table} ORDER BY 1, 2",
        names.join(", ")
    ))?;
    let mut rows = question.query([])?;
    while let Some(row) = rows.next()? {
        let cell = |at: usize| {
            Ok(match row.get_ref(at)? {
                ValueRef::Null | ValueRef::Blob(_) => String::new(),
                ValueRef::Integer(i) => i.to_string(),
                // The shortest text that reads back as the same number.
                ValueRef::Real(f) => format!("{f:?}"),
                ValueRef::Text(t) => String::from_utf8_lossy(t).into_owned(),
            })
        };
        let cells = (0..names.len())
            .map(cell)
            .collect::<rusqlite::Result<Vec<_>>>()?;
        write(&cells);
    }
    Ok(out.into_inner().unwrap_or_default())
}

/// The line on which a record begins, from 1. The reader stands before the end of the line before it where lines end in CR LF, and
/// before empty lines that it passes over.
fn line_at(text: &str, byte: u64) -> usize {
    let byte = usize::try_from(byte).unwrap_or(usize::MAX).min(text.len());
    let (before, after) = text.as_bytes().split_at(byte);
    let passed = after.iter().take_while(|b| matches!(b, b'\r' | b'\n'));
    1 + before.iter().chain(passed).filter(|b| **b == b'\n').count()
}

/// A whole number; tables of other programs write `2.0` for 2.
fn whole(cell: &str) -> Option<i64> {
    let plain = || {
        let number: f64 = cell.trim().parse().ok()?;
        // Up to 2^53 a number with a point stands for one whole number alone.
        let exact = number.fract() == 0.0 && number.abs() <= 9_007_199_254_740_992.0;
        exact.then(|| format!("{number:.0}").parse().ok())?
    };
    cell.parse().ok().or_else(plain)
}

fn read(
    tx: &Connection,
    path: &str,
    table: &str,
    text: &str,
    file: &str,
    loaded: &mut Loaded,
) -> Result<()> {
    let fail = |e| told(path, &e);
    let fault = |byte: Option<u64>, field: &str, message: String| Error::Job {
        path: file.into(),
        problems: vec![Problem {
            line: byte.map(|b| line_at(text, b)),
            field: field.into(),
            message,
        }],
    };
    let columns = columns(tx, table).map_err(fail)?;
    let mut rows = csv::Reader::from_reader(text.as_bytes());
    let not_csv = |e: &csv::Error| {
        fault(
            e.position().map(csv::Position::byte),
            "",
            format!("not CSV: {e}"),
        )
    };
    let head = rows.headers().map_err(|e| not_csv(&e))?.clone();
    let known: Vec<&str> = columns.iter().map(|c| c.0.as_str()).collect();
    // Files that a program of the first form wrote lack what the second form added at the end.
    let first_form: Vec<&str> = (known.iter().copied())
        .filter(|name| !SECOND_FORM.contains(&(table, name)))
        .collect();
    let older = head.iter().eq(first_form.iter().copied());
    if !older && !head.iter().eq(known.iter().copied()) {
        let wanted: Vec<&str> = columns.iter().map(|c| c.0.as_str()).collect();
        return Err(fault(
            Some(0),
            "",
            format!("its columns must be {}", wanted.join(", ")),
        ));
    }
    if table == "sqlite_sequence" {
        tx.execute("DELETE FROM sqlite_sequence", [])
            .map_err(fail)?;
    }
    let given = if older { first_form } else { known };
    let marks = vec!["?"; given.len()].join(", ");
    let mut insert = tx
        .prepare(&format!(
            "INSERT INTO {table} ({}) VALUES ({marks})",
            given.join(", ")
        ))
        .map_err(fail)?;
    for row in rows.records() {
        let row = row.map_err(|e| not_csv(&e))?;
        let at = row.position().map(csv::Position::byte);
        let mut cells = vec![];
        for (cell, (name, kind)) in row.iter().zip(&columns) {
            let not = |what: &str| fault(at, name, format!("is \"{cell}\", expected {what}"));
            cells.push(match (cell, kind.as_str()) {
                ("", _) => Value::Null,
                (_, "INTEGER") => Value::Integer(whole(cell).ok_or_else(|| not("a whole number"))?),
                (_, "REAL") => Value::Real(cell.parse().map_err(|_| not("a number"))?),
                // The table of numbers has no types.
                _ if name == "seq" => {
                    Value::Integer(whole(cell).ok_or_else(|| not("a whole number"))?)
                }
                _ => Value::Text(cell.into()),
            });
        }
        let cells_of = Row(given.iter().copied().zip(&cells).collect());
        loaded
            .row(table, &cells_of)
            .map_err(|(field, words)| fault(at, field, words))?;
        insert
            .execute(rusqlite::params_from_iter(cells))
            .map_err(|e| fault(at, "", format!("cannot be: {e}")))?;
    }
    if older && table == "job" {
        // As the step to the second form has it.
        tx.execute(COUNTED, []).map_err(fail)?;
    }
    Ok(())
}

/// Columns that the second form added, each at the end of its table.
const SECOND_FORM: [(&str, &str); 4] = [
    ("timed", "fixed_s"),
    ("offcut", "adopted_by"),
    ("taken", "uncounted"),
    ("job", "counted"),
];
const COUNTED: &str =
    "UPDATE job SET counted = 1 WHERE heats IS NOT NULL AND heats <> formed + coalesce(spoiled, 0)";
