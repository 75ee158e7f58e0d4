//! Many recipes at once: one question with columns of values, spread over the cores.

use std::sync::atomic::{AtomicUsize, Ordering};

use rayon::prelude::*;
use serde::Serialize;

use super::recipe::{Ask, Recipe, recipes_abreast};
use crate::error::{Error, Result, Watch};

/// What a column of values changes in the question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Vary {
    /// Thickness of the sheet. [m]
    Thickness,
    /// Factor on its conductivity.
    ConductivityFactor,
    /// Factor on its density times heat capacity.
    HeatCapacityFactor,
    /// Its emissivity.
    Emissivity,
    /// Film coefficient of the exposure. [W/m²/K]
    Film,
    /// Gas temperature of the exposure. [K]
    Gas,
    /// Air of the shop. [K]
    Air,
    /// Temperature at which the sheet is limp. [K]
    Limp,
    /// Temperature at which it is formable. [K]
    Formable,
    /// Temperature that no point may exceed. [K]
    Upper,
    /// Temperature below which it keeps its shape. [K]
    Set,
    /// Time at which heating stops. [s]
    Stop,
    /// How far air round the edges warms the back.
    Wrap,
}

impl Vary {
    /// All of them, in order.
    pub const ALL: [Self; 13] = [
        Self::Thickness,
        Self::ConductivityFactor,
        Self::HeatCapacityFactor,
        Self::Emissivity,
        Self::Film,
        Self::Gas,
        Self::Air,
        Self::Limp,
        Self::Formable,
        Self::Upper,
        Self::Set,
        Self::Stop,
        Self::Wrap,
    ];

    /// Its name as a column, with the unit.
    pub fn name(self) -> &'static str {
        match self {
            Self::Thickness => "thickness_m",
            Self::ConductivityFactor => "conductivity_factor",
            Self::HeatCapacityFactor => "heat_capacity_factor",
            Self::Emissivity => "emissivity",
            Self::Film => "film_w_m2_k",
            Self::Gas => "gas_k",
            Self::Air => "air_k",
            Self::Limp => "limp_k",
            Self::Formable => "formable_k",
            Self::Upper => "upper_k",
            Self::Set => "set_k",
            Self::Stop => "stop_s",
            Self::Wrap => "wrap",
        }
    }

    /// The one with a name.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest names.
    pub fn named(name: &str) -> Result<Self> {
        Self::ALL
            .into_iter()
            .find(|v| v.name() == name)
            .ok_or_else(|| Error::unknown("column", name, Self::ALL.map(Self::name)))
    }

    /// Puts a value into a question.
    pub fn set(self, ask: &mut Ask, value: f64) {
        match self {
            Self::Thickness => ask.sheet.thickness_m = value,
            Self::ConductivityFactor => ask.sheet.conductivity_factor = value,
            Self::HeatCapacityFactor => ask.sheet.heat_capacity_factor = value,
            Self::Emissivity => ask.sheet.emissivity = value,
            Self::Film => ask.exposure.film_w_m2_k = value,
            Self::Gas => ask.exposure.gas_k = value,
            Self::Air => ask.air_k = value,
            Self::Limp => ask.limits.limp_k = value,
            Self::Formable => ask.limits.formable_k = value,
            Self::Upper => ask.limits.upper_k = value,
            Self::Set => ask.limits.set_k = value,
            Self::Stop => ask.stop_s = Some(value),
            Self::Wrap => ask.wrap = Some(value),
        }
    }
}

/// Answers row by row; NaN stands for "never".
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Recipes {
    /// See [`Recipe::opens_s`](super::Recipe::opens_s). [s]
    pub opens_s: Vec<f64>,
    /// See [`Recipe::closes_s`](super::Recipe::closes_s). [s]
    pub closes_s: Vec<f64>,
    /// See [`Recipe::stop_s`](super::Recipe::stop_s). [s]
    pub stop_s: Vec<f64>,
    /// See [`Recipe::working_time_s`](super::Recipe::working_time_s). [s]
    pub working_time_s: Vec<f64>,
    /// See [`Recipe::hold_s`](super::Recipe::hold_s). [s]
    pub hold_s: Vec<f64>,
    /// See [`Recipe::touch_s`](super::Recipe::touch_s). [s]
    pub touch_s: Vec<f64>,
    /// See [`Recipe::peak_face_k`](super::Recipe::peak_face_k). [K]
    pub peak_face_k: Vec<f64>,
    /// More heats that the sheet stands.
    pub reheats_left: Vec<f64>,
    /// What is to be known of a row, and why it has no window; empty where there is nothing.
    pub notes: Vec<String>,
    /// What was wrong with a row.
    #[serde(skip)]
    pub error: Vec<Option<Error>>,
}

/// Rows worked out between two looks at the watch.
const CHUNK: usize = 64;
/// Most rows of one call.
const MOST_ROWS: usize = 100_000_000;

/// Works out one recipe for each row of the columns; a row that cannot be is marked and the others go on.
///
/// The same answers on any number of cores. `watch` is asked every 64 rows.
///
/// # Errors
/// [`Error::Shape`] for columns of different length, [`Error::Stopped`] when the watch says so.
///
/// ```
/// use mountwright::error::Unwatched;
/// use mountwright::heat::{Ask, Back, Exposure, Limits, Sheet, Table, Vary, Wear, recipes};
/// let sheet = Sheet::new(3e-3, 1040.0, Table::constant(0.18), Table::constant(1900.0), None, 0.95)?;
/// let limits = Limits { limp_k: 400.0, formable_k: 411.0, upper_k: 455.0, set_k: 358.0,
///     fume_onset_k: None, dose: None, wear: Wear::USUAL };
/// let ask = Ask::new(sheet, limits, Exposure::fixed(60.0, 520.0, 293.15)?, 293.15, Back::SameHeat);
/// let rows = recipes(&ask, &[(Vary::Thickness, &[2e-3, 3e-3, 4e-3])], &Unwatched)?;
/// assert!(rows.opens_s[0] < rows.opens_s[1] && rows.opens_s[1] < rows.opens_s[2]);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn recipes(ask: &Ask, columns: &[(Vary, &[f64])], watch: &dyn Watch) -> Result<Recipes> {
    let rows = columns.first().map_or(0, |(_, v)| v.len());
    if columns.is_empty() || rows > MOST_ROWS || columns.iter().any(|(_, v)| v.len() != rows) {
        return Err(Error::Shape {
            what: "columns of recipes".into(),
            given: format!(
                "lengths {:?}",
                columns.iter().map(|(_, v)| v.len()).collect::<Vec<_>>()
            ),
            allowed: "at least one column, all of one length".into(),
        });
    }
    let mut plain = ask.clone();
    plain.exposure.notes.clear();
    plain.exposure.factors.clear();
    plain.history = false;
    let done = AtomicUsize::new(0);
    let starts: Vec<usize> = (0..rows).step_by(CHUNK).collect();
    let parts = starts
        .par_iter()
        .map(|&start| {
            if !watch.go_on(done.load(Ordering::Relaxed) as f64 / rows as f64) {
                return Err(Error::Stopped);
            }
            let end = (start + CHUNK).min(rows);
            let asks: Vec<Ask> = (start..end)
                .map(|row| {
                    let mut ask = plain.clone();
                    for (vary, values) in columns {
                        vary.set(&mut ask, values[row]);
                    }
                    ask
                })
                .collect();
            let mut part = Recipes::default();
            for answer in recipes_abreast(&asks) {
                part.push(answer);
            }
            done.fetch_add(end - start, Ordering::Relaxed);
            Ok(part)
        })
        .collect::<Result<Vec<_>>>()?;
    let mut all = Recipes::default();
    for part in parts {
        all.append(part);
    }
    Ok(all)
}

fn in_one_line(recipe: &Recipe) -> String {
    let why = recipe
        .why_no_window
        .iter()
        .map(|no| format!("no window: {}", no.why));
    let notes = recipe.notes.iter().map(ToString::to_string);
    why.chain(notes).collect::<Vec<_>>().join("; ")
}

impl Recipes {
    fn push(&mut self, answer: Result<Recipe>) {
        let never = f64::NAN;
        let (row, notes, error) = match answer {
            Ok(r) => (
                [
                    r.opens_s.unwrap_or(never),
                    r.closes_s.unwrap_or(never),
                    r.stop_s.unwrap_or(never),
                    r.working_time_s.unwrap_or(never),
                    r.hold_s.unwrap_or(never),
                    r.touch_s.unwrap_or(never),
                    r.peak_face_k,
                    r.reheats.map_or(never, |r| f64::from(r.left)),
                ],
                in_one_line(&r),
                None,
            ),
            Err(e) => ([never; 8], String::new(), Some(e)),
        };
        for (list, value) in self.columns_mut().into_iter().zip(row) {
            list.push(value);
        }
        self.notes.push(notes);
        self.error.push(error);
    }

    fn append(&mut self, mut other: Self) {
        for (list, more) in self.columns_mut().into_iter().zip(other.columns_mut()) {
            list.append(more);
        }
        self.notes.append(&mut other.notes);
        self.error.append(&mut other.error);
    }

    fn columns_mut(&mut self) -> [&mut Vec<f64>; 8] {
        [
            &mut self.opens_s,
            &mut self.closes_s,
            &mut self.stop_s,
            &mut self.working_time_s,
            &mut self.hold_s,
            &mut self.touch_s,
            &mut self.peak_face_k,
            &mut self.reheats_left,
        ]
    }
}
