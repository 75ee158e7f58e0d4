//! Recipes in Python: one with its ranges, many at once, ways to a window, heat behind foam.
//!
//! `mountwright.heat` has the documented functions: it fills in the question and takes the answers apart.

use std::collections::BTreeMap;

use numpy::{AllowTypeChange, PyArrayLike1};
use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use pyo3::types::PyDict;
use serde::Serialize;

use super::heat_ask::Question;
use super::heat_source::{Heat, exact};
use super::laws::law;
use super::whole;
use super::{arrays, long};
use crate::error::{Error, Note, Result};
use crate::heat::{self, Allowances, Ask, Limits, Need, Recipe, Vary, usual_spread};
use crate::material::{Drying, Hazards, Material, Use};
use crate::quantity::Dimension;
use crate::spread::{Band, Law, Share};

/// A recipe, what was asked, and its ranges.
#[derive(Serialize)]
struct Answer<'a> {
    material: &'a str,
    thickness_m: f64,
    width_m: f64,
    source: &'a str,
    film_w_m2_k: f64,
    gas_k: f64,
    air_k: f64,
    back: &'a str,
    need: Need,
    held: &'a str,
    limits: &'a Limits,
    #[serde(flatten)]
    recipe: &'a Recipe,
    draws: usize,
    window_share: Option<f64>,
    ranges: Option<BTreeMap<&'static str, Option<Band>>>,
    causes: &'a [Share],
    drying: &'a Option<Drying>,
    allowances: Allowances,
    hazards: &'a Option<Hazards>,
    /// Width that a heated strip makes soft, for a line bend. [m]
    #[serde(skip_serializing_if = "Option::is_none")]
    soft_width_m: Option<f64>,
}

/// An answer with what its material is to be told.
#[derive(Serialize)]
struct Told<'a, T> {
    #[serde(flatten)]
    answer: &'a T,
    notes: &'a [Note],
}

/// What the material of a question is to be told: its thickness counts as measured where it was written with ±.
fn told(ask: &Ask, written: &[(Vary, Law)], material: &Material) -> Result<Vec<Note>> {
    let used = Use {
        infrared: ask.exposure.radiator.is_some(),
        measured: written.iter().any(|(vary, _)| *vary == Vary::Thickness),
        ..Use::FORMED
    };
    material.notes_of_sheet(ask.sheet.thickness_m, used)
}

fn json(answer: &impl Serialize) -> PyResult<String> {
    serde_json::to_string(answer).map_err(|e| PyValueError::new_err(e.to_string()))
}

/// The usual spreads, with those that were written or given in their place.
fn laws(ask: &Ask, written: Vec<(Vary, Law)>) -> Vec<(Vary, Law)> {
    let mut laws: Vec<(Vary, Law)> = usual_spread(ask)
        .into_iter()
        .filter(|(vary, _)| !written.iter().any(|(other, _)| other == vary))
        .collect();
    laws.extend(written);
    laws
}

/// One recipe, as JSON; with draws also its ranges.
#[pyfunction]
pub(super) fn _recipe(
    py: Python<'_>,
    question: Question,
    heat: Heat,
    #[pyo3(from_py_with = whole::draws)] draws: usize,
    spread: Vec<(String, String, Vec<f64>)>,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
    history: bool,
) -> PyResult<String> {
    py.detach(|| {
        let (plain, mut written, material) = question.ask(heat.core, heat.width_m)?;
        let measured = written.clone();
        for (name, kind, numbers) in &spread {
            let vary = Vary::named(name)?;
            written.retain(|(other, _)| *other != vary);
            written.push((vary, law(kind, numbers)?));
        }
        let ask = Ask { history, ..plain };
        let notes = told(&ask, &measured, &material)?;
        if draws == 0 {
            let mut recipe = heat::recipe(&ask)?;
            recipe.notes.extend(notes);
            return Ok(answer(&question, &ask, &material, &recipe, 0, None, None));
        }
        let mut found = heat::ranges(&ask, &laws(&ask, written), draws, seed)?;
        found.likely.notes.extend(notes);
        let ranges = BTreeMap::from([
            ("opens_s", found.opens_s),
            ("closes_s", found.closes_s),
            ("working_time_s", found.working_time_s),
            ("hold_s", found.hold_s),
            ("past_opening_s", found.past_opening_s),
            ("touch_s", found.touch_s),
            ("peak_face_k", found.peak_face_k),
        ]);
        let more = (ranges, found.window_share, found.causes.as_slice());
        Ok(answer(
            &question,
            &ask,
            &material,
            &found.likely,
            draws,
            Some(more),
            None,
        ))
    })
    .map_err(|e: Error| PyErr::from(e))?
}

type Ranges<'a> = (BTreeMap<&'static str, Option<Band>>, f64, &'a [Share]);

fn answer(
    question: &Question,
    ask: &Ask,
    material: &Material,
    recipe: &Recipe,
    draws: usize,
    more: Option<Ranges<'_>>,
    soft_width_m: Option<f64>,
) -> PyResult<String> {
    let (ranges, window_share, causes) = match more {
        Some((ranges, share, causes)) => (Some(ranges), Some(share), causes),
        None => (None, None, [].as_slice()),
    };
    json(&Answer {
        material: &material.name,
        thickness_m: ask.sheet.thickness_m,
        width_m: ask.width_m,
        source: &ask.exposure.source,
        film_w_m2_k: ask.exposure.film_w_m2_k,
        gas_k: ask.exposure.gas_k,
        air_k: ask.air_k,
        back: &question.back,
        need: ask.need,
        held: &question.hold,
        limits: &ask.limits,
        recipe,
        draws,
        window_share,
        ranges,
        causes,
        drying: &material.drying,
        allowances: Allowances::of(material, ask.sheet.thickness_m)?,
        hazards: &material.hazards,
        soft_width_m,
    })
}

/// The soak of a line bend and the width that it makes soft, as JSON.
#[pyfunction]
pub(super) fn _line_bend(
    py: Python<'_>,
    question: Question,
    heat: Heat,
    strip: &str,
) -> PyResult<String> {
    py.detach(|| {
        let strip_m = exact("strip", strip, Dimension::Length)?;
        let (ask, written, material) = question.ask(heat.core, heat.width_m)?;
        let mut bend = heat::line_bend(&ask, strip_m)?;
        (bend.recipe.notes).extend(told(&ask, &written, &material)?);
        Ok(answer(
            &question,
            &ask,
            &material,
            &bend.recipe,
            0,
            None,
            bend.soft_width_m,
        ))
    })
    .map_err(|e: Error| PyErr::from(e))?
}

/// The row of a batch in front of what is wrong with it.
pub(super) fn at_row(row: usize, error: Error) -> Error {
    let at = |what: String| format!("row {row}: {what}");
    match error {
        Error::OutOfRange {
            what,
            given,
            allowed,
            remedy,
        } => Error::OutOfRange {
            what: at(what),
            given,
            allowed,
            remedy,
        },
        Error::Shape {
            what,
            given,
            allowed,
        } => Error::Shape {
            what: at(what),
            given,
            allowed,
        },
        Error::Impossible { what, why, remedy } => Error::Impossible {
            what: at(what),
            why,
            remedy,
        },
        other => other,
    }
}

/// Columns of results by their names, the notes of each row, and what was wrong with it.
type Columns<'py> = (Bound<'py, PyDict>, Vec<String>, Vec<Option<String>>);

/// Many recipes: columns of results by their names, the notes of each row, and what was wrong with it.
///
/// `rows` names the rows of the caller's table, for messages.
#[pyfunction]
#[allow(clippy::too_many_arguments)] // keywords of mountwright.heat
pub(super) fn _recipes<'py>(
    py: Python<'py>,
    question: Question,
    heat: Heat,
    names: Vec<String>,
    columns: Vec<PyArrayLike1<'py, f64, AllowTypeChange>>,
    rows: Vec<usize>,
    raises: bool,
    progress: Option<&Bound<'py, PyAny>>,
) -> PyResult<Columns<'py>> {
    let varied = names
        .iter()
        .map(|name| Vary::named(name))
        .collect::<Result<Vec<_>>>()?;
    let values: Vec<Vec<f64>> = columns.iter().map(|c| c.as_array().to_vec()).collect();
    drop(columns);
    let mut found = long::long(py, progress, |watch| {
        let ask = question.ask(heat.core, heat.width_m)?.0;
        let columns: Vec<(Vary, &[f64])> = varied
            .iter()
            .zip(&values)
            .map(|(&vary, values)| (vary, values.as_slice()))
            .collect();
        heat::recipes(&ask, &columns, watch)
    })?;
    let wrong = std::mem::take(&mut found.error);
    if raises {
        let first = wrong.iter().position(Option::is_some);
        if let Some((row, error)) = first.and_then(|i| Some((i, wrong[i].clone()?))) {
            return Err(at_row(rows.get(row).copied().unwrap_or(row), error).into());
        }
    }
    let out = PyDict::new(py);
    for (name, values) in [
        ("opens_s", found.opens_s),
        ("closes_s", found.closes_s),
        ("stop_s", found.stop_s),
        ("working_time_s", found.working_time_s),
        ("hold_s", found.hold_s),
        ("touch_s", found.touch_s),
        ("peak_face_k", found.peak_face_k),
        ("reheats_left", found.reheats_left),
    ] {
        out.set_item(name, arrays::give(py, values))?;
    }
    let texts = wrong
        .into_iter()
        .map(|error| error.map(|e| e.to_string()))
        .collect();
    Ok((out, found.notes, texts))
}

/// Names of the columns that `_recipes` takes.
#[pyfunction]
pub(super) fn _recipe_columns() -> Vec<&'static str> {
    Vary::ALL.map(Vary::name).to_vec()
}

/// Ways to a window of some seconds, as JSON.
#[pyfunction]
pub(super) fn _ways(
    py: Python<'_>,
    question: Question,
    heat: Heat,
    seconds: &str,
) -> PyResult<String> {
    let (ways, notes) = py.detach(|| {
        let seconds = exact("seconds", seconds, Dimension::Time)?;
        let (ask, written, material) = question.ask(heat.core, heat.width_m)?;
        let notes = told(&ask, &written, &material)?;
        Ok::<_, Error>((heat::ways_to_a_window(&ask, seconds)?, notes))
    })?;
    let told: Vec<Told<heat::Way>> = ways
        .iter()
        .map(|answer| Told {
            answer,
            notes: &notes,
        })
        .collect();
    json(&told)
}

/// How warm a part behind foam becomes, or with a limit the foam that keeps it cooler; as JSON.
#[pyfunction]
pub(super) fn _behind(
    py: Python<'_>,
    question: Question,
    heat: Heat,
    limit: Option<String>,
) -> PyResult<String> {
    py.detach(|| {
        let (ask, written, material) = question.ask(heat.core, heat.width_m)?;
        let notes = &told(&ask, &written, &material)?;
        match limit {
            None => {
                let answer = &heat::behind(&ask)?;
                Ok(json(&Told { answer, notes }))
            }
            Some(limit) => {
                let limit_k = exact("limit", &limit, Dimension::Temperature)?;
                let answer = &heat::foam_for(&ask, limit_k)?;
                Ok(json(&Told { answer, notes }))
            }
        }
    })
    .map_err(|e: Error| PyErr::from(e))?
}
