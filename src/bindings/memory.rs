//! The shop's memory in Python: one door, a request in JSON, an answer in JSON.

use std::path::Path;

use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use super::drawing::Drawing;
use crate::error::{Error, Range, Result, check};
use crate::material::Catalogue;
use crate::memory::{
    Again, Closing, Comeback, JobState, Memory, NewOffcut, OtherSide, Planned, Question, Season,
    SheetCount, Tend, Trial, labels,
};
use crate::outline::{Chain, Outline, Point, Unit, read_file};
use crate::plan::names_with;
use crate::quantity::{Dimension, parse};
use crate::shop::{ShopFile, add_materials};

/// What is asked of the memory; `on` is a day.
#[derive(Clone, Deserialize)]
#[serde(tag = "do", rename_all = "kebab-case", deny_unknown_fields)]
enum Request {
    Quote {
        plan: String,
        on: String,
    },
    Accept {
        plan: String,
        on: String,
    },
    Undo {
        job: String,
        start: Option<String>,
    },
    PlannedMinutes {
        job: String,
        start: Option<String>,
    },
    Close {
        job: String,
        start: Option<String>,
        closing: Closing,
        glue: Option<String>,
        on: String,
    },
    CameBack {
        job: String,
        start: Option<String>,
        on: String,
        season: Option<Season>,
        what: String,
        place: String,
        remarks: Option<String>,
    },
    Jobs {
        state: Option<String>,
    },
    Rack,
    Sheets,
    Put {
        piece: Piece,
        on: String,
    },
    Scrap {
        name: String,
        on: String,
    },
    Stand {
        name: String,
        on: String,
        place: Option<String>,
        photo: Option<String>,
    },
    Count {
        name: String,
        on_hand: u32,
        lot: Option<String>,
        thickness: Option<String>,
        place: Option<String>,
        photo: Option<String>,
        on: String,
    },
    Patterns {
        vehicle: Option<String>,
    },
    Tend {
        part: String,
        vehicle: Option<String>,
        hangs: Option<String>,
        spares: Option<u32>,
    },
    Again {
        part: String,
        vehicle: Option<String>,
        other_side: bool,
        place: Option<String>,
        looked: bool,
        start: String,
    },
    Tried {
        trial: Tried,
        on: String,
    },
    Trials {
        gun: Option<String>,
    },
    ForgetTrial {
        number: i64,
    },
    ForgetComeback {
        job: String,
        start: Option<String>,
    },
    Taught,
    Cost {
        kind: Option<String>,
        from: Option<String>,
        to: Option<String>,
    },
    Underestimated,
    OldOffcuts {
        before: String,
    },
    Comebacks,
    Used,
    Export {
        folder: String,
    },
    Load {
        folder: String,
    },
    /// All of them, or none.
    AtOnce {
        requests: Vec<Request>,
    },
}

/// An offcut to be put into the rack, in shop units.
#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Piece {
    name: Option<String>,
    material: String,
    thickness: String,
    width: Option<String>,
    height: Option<String>,
    outline_file: Option<String>,
    lot: Option<String>,
    sheet: Option<String>,
    place: Option<String>,
    photo: Option<String>,
}

/// A timed trial, in shop units.
#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Tried {
    gun: Option<String>,
    material: String,
    thickness: String,
    width: Option<String>,
    length: Option<String>,
    distance: String,
    turn_every: Option<String>,
    limp_after: String,
    air: Option<String>,
}

fn si(what: &str, text: &str, dimension: Dimension) -> Result<f64> {
    parse(what, text, dimension).map(|m| m.value)
}

fn some_si(what: &str, text: Option<&String>, dimension: Dimension) -> Result<Option<f64>> {
    text.map(|t| si(what, t, dimension)).transpose()
}

fn outline(piece: &Piece) -> Result<Outline> {
    let length = |what: &str, text: &String| {
        let size = Range::new(5e-3, 20.0, "m");
        check(
            what,
            si(what, text, Dimension::Length)?,
            size,
            "measure the offcut",
        )
    };
    match (&piece.width, &piece.height, &piece.outline_file) {
        (Some(w), Some(h), None) => {
            let (w, h) = (length("width", w)?, length("height", h)?);
            let corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)].map(|(x, y)| Point::new(x, y));
            Ok(Outline::new(Chain::polygon(&corners), vec![]))
        }
        (None, None, Some(file)) => {
            let path = Path::new(file);
            let folder = path.parent().unwrap_or(Path::new(""));
            let name = path.file_name().and_then(|n| n.to_str()).unwrap_or(file);
            let mut read = read_file(folder, name, Unit::Stated)?;
            match (read.parts.pop(), read.parts.is_empty()) {
                (Some(outline), true) => Ok(outline),
                _ => Err(Error::Shape {
                    what: "outline of the offcut".into(),
                    given: "a drawing of none or of several parts".into(),
                    allowed: "one outside with its cutouts".into(),
                }),
            }
        }
        _ => Err(Error::Shape {
            what: "outline of the offcut".into(),
            given: "not one outline".into(),
            allowed: "width and height, or a drawing".into(),
        }),
    }
}

fn put(memory: &mut Memory, piece: &Piece, shop: &ShopFile, on: &str) -> Result<String> {
    let new = NewOffcut {
        outline: outline(piece)?,
        name: piece.name.clone(),
        material: piece.material.clone(),
        thickness_m: si("thickness", &piece.thickness, Dimension::Length)?,
        lot: piece.lot.clone(),
        sheet: piece.sheet.clone(),
        place: piece.place.clone(),
        photo: piece.photo.clone(),
    };
    memory.put(&new, &shop.shop, on)
}

fn tried(memory: &mut Memory, trial: &Tried, shop: &ShopFile, on: &str) -> Result<()> {
    let length = |what: &str, text: &String| si(what, text, Dimension::Length);
    let trial = Trial {
        number: None,
        gun: trial
            .gun
            .clone()
            .unwrap_or_else(|| shop.shop.gun.name.clone()),
        on: on.into(),
        material: trial.material.clone(),
        thickness_m: length("thickness", &trial.thickness)?,
        width_m: some_si("width", trial.width.as_ref(), Dimension::Length)?,
        length_m: some_si("length", trial.length.as_ref(), Dimension::Length)?,
        distance_m: length("distance", &trial.distance)?,
        turn_every_s: some_si("turn_every", trial.turn_every.as_ref(), Dimension::Time)?,
        limp_after_s: si("limp_after", &trial.limp_after, Dimension::Time)?,
        air_k: some_si("air", trial.air.as_ref(), Dimension::Temperature)?,
    };
    memory.tried(&trial, &shop.shop)
}

fn state(name: &str) -> Result<JobState> {
    match name {
        "quoted" => Ok(JobState::Quoted),
        "accepted" => Ok(JobState::Accepted),
        "done" => Ok(JobState::Done),
        _ => Err(Error::unknown(
            "state of a job",
            name,
            ["quoted", "accepted", "done"],
        )),
    }
}

fn value(answer: impl Serialize) -> Value {
    serde_json::to_value(answer).unwrap_or(Value::Null)
}

/// What goes in changes nothing here but the memory.
fn done(nothing: ()) -> Value {
    value(nothing)
}

impl Request {
    /// Whether it may make the memory where there is none: asking does not, and what was never remembered cannot be changed.
    fn makes(&self, shop: &ShopFile) -> bool {
        match self {
            Self::Quote { .. }
            | Self::Accept { .. }
            | Self::Put { .. }
            | Self::Count { .. }
            | Self::Tried { .. }
            | Self::Load { .. } => true,
            Self::AtOnce { requests } => requests.iter().any(|r| r.makes(shop)),
            Self::Scrap { name, .. } | Self::Stand { name, .. } => shop.offcuts.contains_key(name),
            _ => false,
        }
    }
}

/// The other side, where it is asked for; what only that has is refused without it.
fn side(other_side: bool, place: Option<String>, looked: bool) -> Result<Option<OtherSide>> {
    if !other_side && (place.is_some() || looked) {
        return Err(Error::Shape {
            what: "part made once more".into(),
            given: "a place, or that somebody looked there, but not the other side".into(),
            allowed: "these with the other side alone: on its own side it goes where it was".into(),
        });
    }
    Ok(other_side.then_some(OtherSide { place, looked }))
}

fn at_once(
    memory: &mut Memory,
    shop: &ShopFile,
    names: &crate::file::Names,
    requests: Vec<Request>,
) -> Result<Vec<Value>> {
    memory.at_once(|memory| {
        let each = requests.into_iter();
        each.map(|one| answer(memory, shop, names, one)).collect()
    })
}

fn answer(
    memory: &mut Memory,
    shop: &ShopFile,
    names: &crate::file::Names,
    request: Request,
) -> Result<Value> {
    Ok(match request {
        Request::Quote { plan, on } => done(memory.quote(&Planned::read(&plan)?, shop, &on)?),
        Request::Accept { plan, on } => value(memory.accept(&Planned::read(&plan)?, shop, &on)?),
        Request::Undo { job, start } => done(memory.undo(&job, start.as_deref())?),
        Request::PlannedMinutes { job, start } => {
            value(memory.planned_minutes(&job, start.as_deref())?)
        }
        Request::Close {
            job,
            start,
            mut closing,
            glue,
            on,
        } => {
            closing.glue_used_m3 = some_si("glue", glue.as_ref(), Dimension::Volume)?;
            value(memory.close(&job, start.as_deref(), &closing, names, &on)?)
        }
        Request::CameBack {
            job,
            start,
            on,
            season,
            what,
            place,
            remarks,
        } => done(memory.came_back(&Comeback {
            job,
            start,
            on,
            season,
            what,
            place,
            remarks,
        })?),
        Request::Jobs { state: of } => value(memory.jobs(of.as_deref().map(state).transpose()?)?),
        Request::Rack => value(memory.standing(shop)?.1),
        Request::Sheets => value(memory.standing(shop)?.0),
        Request::Put { piece, on } => value(put(memory, &piece, shop, &on)?),
        Request::Scrap { name, on } => {
            memory.adopt(&name, shop, &on)?;
            done(memory.scrap(&name)?)
        }
        Request::Stand {
            name,
            on,
            place,
            photo,
        } => {
            memory.adopt(&name, shop, &on)?;
            done(memory.stand(&name, place.as_deref(), photo.as_deref())?)
        }
        Request::Count {
            name,
            on_hand,
            lot,
            thickness,
            place,
            photo,
            on,
        } => {
            let known = shop.shop.sheets.iter().map(|s| s.name.as_str());
            if !known.clone().any(|k| k == name) {
                return Err(Error::unknown("sheet of the shop", name, known));
            }
            let thickness_m = some_si("thickness", thickness.as_ref(), Dimension::Length)?;
            let sheet = SheetCount {
                name,
                on_hand,
                lot,
                thickness_m,
                place,
                photo,
                since: None,
            };
            done(memory.count(&sheet, &on)?)
        }
        Request::Patterns { vehicle } => value(memory.patterns(vehicle.as_deref())?),
        Request::Tend {
            part,
            vehicle,
            hangs,
            spares,
        } => done(memory.tend(&part, vehicle.as_deref(), &Tend { hangs, spares })?),
        Request::Again {
            part,
            vehicle,
            other_side,
            place,
            looked,
            start,
        } => {
            let other_side = side(other_side, place, looked)?;
            value(memory.again(&Again {
                part,
                vehicle,
                other_side,
                start,
            })?)
        }
        Request::Tried { trial, on } => done(tried(memory, &trial, shop, &on)?),
        Request::Trials { gun } => value(memory.trials(gun.as_deref())?),
        Request::ForgetTrial { number } => done(memory.forget_trial(number)?),
        Request::ForgetComeback { job, start } => {
            done(memory.forget_comeback(&job, start.as_deref())?)
        }
        Request::Taught => value(memory.taught(&shop.shop)?),
        Request::Cost { kind, from, to } => {
            value(memory.ask(&Question::Cost { kind, from, to })?)
        }
        Request::Underestimated => value(memory.ask(&Question::Underestimated)?),
        Request::OldOffcuts { before } => value(memory.ask(&Question::OldOffcuts { before })?),
        Request::Comebacks => value(memory.ask(&Question::Comebacks)?),
        Request::Used => value(memory.ask(&Question::Used)?),
        Request::Export { folder } => {
            let files = memory.export(Path::new(&folder))?;
            json!(
                files
                    .iter()
                    .map(|f| f.to_string_lossy())
                    .collect::<Vec<_>>()
            )
        }
        Request::Load { folder } => done(memory.import(Path::new(&folder))?),
        Request::AtOnce { requests } => value(at_once(memory, shop, names, requests)?),
    })
}

/// The names of the catalogue, and those of the shop's own materials: the memory needs no more of them than their names.
fn names_in(shop_text: &str) -> Result<crate::file::Names> {
    let mut names = names_with(Catalogue::standard()?)?;
    // Faults of the text are told when it is read.
    if let Ok(keys) = shop_text.parse() {
        add_materials(&mut names, &keys);
    }
    Ok(names)
}

/// Ask the memory at `path` of the shop whose file is given; `Memory` calls it.
#[pyfunction]
pub(super) fn _memory(
    py: Python<'_>,
    path: String,
    shop_text: String,
    shop_path: String,
    request: String,
) -> PyResult<String> {
    let request: Request =
        serde_json::from_str(&request).map_err(|e| PyValueError::new_err(e.to_string()))?;
    let answer = py.detach(move || {
        let names = names_in(&shop_text)?;
        let shop = ShopFile::parse(&shop_path, &shop_text, &names)?;
        let mut memory = match &request {
            made if made.makes(&shop) => {
                // Tried in the working memory first: what is refused makes no file.
                if !Path::new(&path).exists() {
                    let mut trial = Memory::reading(&path)?;
                    answer(&mut trial, &shop, &names, request.clone())?;
                }
                Memory::open(&path)?
            }
            // Files of nothing would be taken for a copy.
            Request::Export { .. } => Memory::existing(&path)?.ok_or_else(|| Error::Io {
                kind: std::io::ErrorKind::NotFound,
                errno: None,
                path: path.clone(),
                text: "there is no memory to export".into(),
            })?,
            _ => Memory::reading(&path)?,
        };
        answer(&mut memory, &shop, &names, request)
    })?;
    Ok(answer.to_string())
}

/// Labels of offcuts in the rack; `Memory` calls it.
#[pyfunction]
pub(super) fn _labels(
    py: Python<'_>,
    path: String,
    shop_text: String,
    shop_path: String,
    names: Vec<String>,
) -> PyResult<Drawing> {
    let asked = (&path, &shop_text, &shop_path, &names);
    let again = ("_labels", asked.into_pyobject(py)?.unbind());
    let drawing = py.detach(move || -> Result<_> {
        let known = names_in(&shop_text)?;
        let shop = ShopFile::parse(&shop_path, &shop_text, &known)?;
        let mut rack = Memory::reading(&path)?.standing(&shop)?.1;
        for name in &names {
            if !rack.iter().any(|o| o.name == *name) {
                let known = rack.iter().map(|o| o.name.as_str());
                return Err(Error::unknown("offcut in the rack", name, known));
            }
        }
        rack.retain(|o| names.is_empty() || names.contains(&o.name));
        Ok(labels(&rack))
    })?;
    Ok(Drawing::of(drawing, again))
}
