//! What still stands of a job file with faults: its other parts are looked at too, so that all their faults are told at once.

use std::collections::BTreeMap;

use toml::{Table, Value};

use super::{Job, JobFile};
use crate::error::{Error, Problem, Result};
use crate::file::{self, Names, Source};

/// The lists of a job whose entries can be left out, each by itself.
const PARTS: [&str; 6] = ["straps", "pods", "rings", "panels", "folded", "grilles"];
/// Keys at the top without which no part can be planned as it is meant.
const FOR_ALL: [&str; 3] = ["sun", "sets", "places"];

/// A job file with faults, and what stands of it.
#[derive(Debug)]
pub struct Faulty {
    source: Source,
    problems: Vec<Problem>,
    /// The job without what is at fault, where that can be read and its parts can be planned.
    rest: Option<JobFile>,
    stood: Stood,
}

impl Faulty {
    /// Every fault of the file that is known without planning.
    pub fn error(&self) -> Error {
        self.source.fault(self.problems.clone())
    }

    /// The same with what `planned` finds in the parts that stand.
    pub fn error_with(mut self, planned: impl FnOnce(&JobFile) -> Result<()>) -> Error {
        if let Some(Err(Error::Job { problems, .. })) = self.rest.as_ref().map(planned) {
            self.stood.add(&mut self.problems, problems, &self.source);
        }
        self.error()
    }
}

/// Where the entries that are left stood in the file, list by list.
#[derive(Debug, Default)]
struct Stood(BTreeMap<String, Vec<usize>>);

/// The list and the number of its entry that a key lies in: `rings[2].depth` in (`rings`, 2).
fn entry(field: &str) -> Option<(&str, usize, &str)> {
    let (list, rest) = field.split_once('[')?;
    let (number, rest) = rest.split_once(']')?;
    let known = PARTS.contains(&list) || list == "places";
    Some((list, number.parse().ok().filter(|_| known)?, rest))
}

impl Stood {
    /// A key of what is left as it is called in the file; `None` for one that is there no longer as it was written.
    fn field(&self, field: &str) -> Option<String> {
        let Some((list, number, rest)) = entry(field) else {
            // A key at the top that is not a list, out of which entries were left.
            let list = PARTS.contains(&field) || field == "places";
            return (!field.is_empty() && !list).then(|| field.into());
        };
        let at = match self.0.get(list) {
            Some(stood) => *stood.get(number)?,
            None => number,
        };
        Some(format!("{list}[{at}]{rest}"))
    }

    /// Adds the faults of the parts that are left, each key once.
    fn add(&self, all: &mut Vec<Problem>, found: Vec<Problem>, source: &Source) {
        for problem in found {
            let Some(field) = self.field(&problem.field) else {
                continue;
            };
            if !all.iter().any(|known| known.field == field) {
                all.push(source.problem(field, problem.message));
            }
        }
    }
}

/// Looks for the faults that the first ones hide.
pub(super) fn look_on(path: &str, text: &str, names: &Names, first: Error) -> Box<Faulty> {
    let source = file::places::<Job>(path, text);
    let Error::Job { mut problems, .. } = first else {
        let message = first.to_string();
        let problems = vec![source.problem("", message)];
        return Box::new(Faulty {
            source,
            problems,
            rest: None,
            stood: Stood::default(),
        });
    };
    let mut stood = Stood::default();
    let mut rest = None;
    let mut in_doubt = false;
    if let Ok(mut table) = text.parse::<Table>() {
        let mut found = problems.clone();
        while leave_out(&mut table, &mut stood, &found, &mut in_doubt) {
            let Ok(text) = toml::to_string(&table) else {
                break;
            };
            match JobFile::once(path, &text, names) {
                Ok(job) => {
                    rest = Some(job).filter(|_| !in_doubt);
                    break;
                }
                Err(Error::Job { problems: more, .. }) => {
                    stood.add(&mut problems, more.clone(), &source);
                    found = more;
                }
                Err(_) => break,
            }
        }
    }
    Box::new(Faulty {
        source,
        problems,
        rest,
        stood,
    })
}

/// Leaves out of a job what is at fault; whether anything was.
fn leave_out(
    job: &mut Table,
    stood: &mut Stood,
    problems: &[Problem],
    in_doubt: &mut bool,
) -> bool {
    let before = job.clone();
    let mut out: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for problem in problems {
        if let Some((list, number, _)) = entry(&problem.field) {
            out.entry(list).or_default().push(number);
            continue;
        }
        let key = problem.field.split(['.', '[']).next().unwrap_or("");
        *in_doubt |= FOR_ALL.contains(&key);
        match stand_in(key) {
            Some(value) => drop(job.insert(key.into(), value)),
            None => drop(job.remove(key)),
        }
    }
    // Parts at a place that is at fault are not looked at further: what they must stand is not known.
    let places = out.remove("places").unwrap_or_default();
    let names: Vec<Value> = places.iter().filter_map(|&n| name_of(job, n)).collect();
    for list in PARTS {
        let Some(Value::Array(entries)) = job.get_mut(list) else {
            continue;
        };
        let at_fault = out.get(list);
        let stands = |number: usize, entry: &Value| {
            let there = |key: &str| match entry.get(key) {
                Some(Value::Array(all)) => all.iter().any(|one| names.contains(one)),
                Some(one) => names.contains(one),
                None => false,
            };
            !at_fault.is_some_and(|all| all.contains(&number))
                && !there("place")
                && !there("places")
        };
        let numbers = (0..entries.len()).collect();
        let were = stood.0.remove(list).unwrap_or(numbers);
        let left = |(i, &was): (usize, &usize)| {
            let entry = entries.get(i)?;
            stands(i, entry).then(|| (was, entry.clone()))
        };
        let (were, kept): (Vec<usize>, Vec<Value>) =
            were.iter().enumerate().filter_map(left).unzip();
        *entries = kept;
        stood.0.insert(list.into(), were);
    }
    if let Some(Value::Array(entries)) = job.get_mut("places") {
        let mut number = 0;
        entries.retain(|_| {
            number += 1;
            !places.contains(&(number - 1))
        });
        let were = stood
            .0
            .remove("places")
            .unwrap_or_else(|| (0..number).collect());
        let left = were.iter().enumerate().filter(|(i, _)| !places.contains(i));
        let left = left.map(|(_, &was)| was).collect();
        stood.0.insert("places".into(), left);
    }
    *job != before
}

fn name_of(job: &Table, place: usize) -> Option<Value> {
    job.get("places")?.get(place)?.get("name").cloned()
}

/// What stands for a key that every job has, so that the rest can be read.
fn stand_in(key: &str) -> Option<Value> {
    match key {
        "schema" => Some(Value::Integer(i64::from(file::SCHEMA))),
        "name" | "vehicle" => Some("-".into()),
        "start" => Some("2000-01-03 08:00".into()),
        "sun" => Some("mild".into()),
        _ => None,
    }
}
