//! The drawings that a job's parts name: read from beside the job file, held against what was measured.

use std::collections::BTreeMap;
use std::path::Path;

use super::{Job, OutlineShape, OutlineUnit};
use crate::error::{Error, Note, Problem, Range, Result, check};
use crate::file::{Length, Source};
use crate::outline::{Chain, Outline, Placement, Unit, read_file};
use crate::quantity::said_fault;

/// A drawing that a part names.
struct Trace<'a> {
    /// Its key.
    at: String,
    part: &'a str,
    file: &'a str,
    unit: Option<OutlineUnit>,
    /// Measured width and height. [m]
    size: (f64, Option<f64>),
    /// Whether its centre is that of its largest opening.
    about_opening: bool,
}

/// How far a traced drawing may differ from what was measured; a wrong unit differs by a factor.
const TRACED_WITHIN: f64 = 0.03;

/// What was read from drawings, by the name of the part.
#[derive(Debug, Default)]
pub(super) struct Drawings {
    pub(super) outlines: BTreeMap<String, Outline>,
    /// Cutouts of rings.
    pub(super) cutouts: BTreeMap<String, Outline>,
    /// What the reader left out or bridged.
    pub(super) notes: BTreeMap<String, Vec<Note>>,
}

/// Reads the drawings of all parts.
pub(super) fn traces(
    job: &Job,
    source: &Source,
    folder: &Path,
    problems: &mut Vec<Problem>,
) -> Drawings {
    let units = job.units.unwrap_or_default();
    let mut drawings = Drawings::default();
    let mut read = |trace: &Trace,
                    into: &mut BTreeMap<String, Outline>,
                    problems: &mut Vec<Problem>| match trace.read(folder) {
        Ok((outline, notes)) => {
            into.insert(trace.part.to_string(), outline);
            let said = drawings.notes.entry(trace.part.to_string()).or_default();
            said.extend(notes);
        }
        Err(Error::Job {
            path,
            problems: faults,
        }) => {
            for fault in faults {
                problems.push(source.problem(&trace.at, format!("{path}: {fault}")));
            }
        }
        Err(error) => problems.push(source.problem(&trace.at, said_fault(&error, units))),
    };
    for trace in outsides(job) {
        read(&trace, &mut drawings.outlines, problems);
    }
    for (i, p) in job.rings.iter().enumerate() {
        let size = (p.cutout_width.si(), p.cutout_height.map(Length::si));
        if let Some(file) = &p.cutout_file {
            let trace = Trace {
                at: format!("rings[{i}].cutout_file"),
                part: &p.name,
                file,
                unit: p.outline_unit,
                size,
                about_opening: false,
            };
            read(&trace, &mut drawings.cutouts, problems);
        } else if let (Some(OutlineShape::Traced), Some(whole)) =
            (p.cutout_outline, drawings.outlines.get(&p.name))
        {
            match opening(whole, size) {
                Ok(cutout) => {
                    drawings.cutouts.insert(p.name.clone(), cutout);
                }
                Err(e) => problems.push(
                    source.problem(format!("rings[{i}].cutout_outline"), said_fault(&e, units)),
                ),
            }
        }
    }
    drawings
}

/// The largest opening of a drawing, held against what was measured.
fn opening(whole: &Outline, size: (f64, Option<f64>)) -> Result<Outline> {
    let largest = largest(&whole.holes).ok_or_else(|| Error::Shape {
        what: "traced cutout".into(),
        given: "a drawing without an opening".into(),
        allowed: "an outside with its opening, or cutout_file".into(),
    })?;
    let cutout = Outline::new(largest.clone(), vec![]);
    agrees(&cutout, "cutout", size)?;
    Ok(cutout)
}

fn largest(holes: &[Chain]) -> Option<&Chain> {
    holes
        .iter()
        .max_by(|a, b| a.area_m2().abs().total_cmp(&b.area_m2().abs()))
}

/// The drawings of outsides and sections.
fn outsides(job: &Job) -> Vec<Trace<'_>> {
    let mut all = vec![];
    for (i, p) in job.straps.iter().enumerate() {
        if let Some(file) = &p.body_file {
            all.push(Trace {
                at: format!("straps[{i}].body_file"),
                part: &p.name,
                file,
                unit: None,
                size: (p.body_diameter.si(), p.body_height.map(Length::si)),
                about_opening: false,
            });
        }
    }
    for (i, p) in job.rings.iter().enumerate() {
        if let Some(file) = &p.outline_file {
            all.push(Trace {
                at: format!("rings[{i}].outline_file"),
                part: &p.name,
                file,
                unit: p.outline_unit,
                size: (p.width.si(), p.height.map(Length::si)),
                about_opening: true,
            });
        }
    }
    for (i, p) in job.panels.iter().enumerate() {
        if let Some(file) = &p.outline_file {
            all.push(Trace {
                at: format!("panels[{i}].outline_file"),
                part: &p.name,
                file,
                unit: p.outline_unit,
                size: (p.width.si(), Some(p.height.si())),
                about_opening: false,
            });
        }
    }
    all
}

/// Whether a drawing is as large as was measured; a wrong unit shows.
fn agrees(part: &Outline, drawing: &str, measured: (f64, Option<f64>)) -> Result<()> {
    let (width, height) = part.size_m();
    let sides = [
        ("width", width, Some(measured.0)),
        ("height", height, measured.1),
    ];
    for (what, drawn, measured) in sides {
        let Some(measured) = measured else { continue };
        check(
            format!("{what} in the drawing \"{drawing}\""),
            drawn,
            Range::new(
                measured * (1.0 - TRACED_WITHIN),
                measured * (1.0 + TRACED_WITHIN),
                "m",
            ),
            format!(
                "it does not agree with the {what} measured, {:.1} mm: the unit of the drawing is wrong, or the measurement is",
                measured * 1e3
            ),
        )?;
    }
    Ok(())
}

impl Trace<'_> {
    fn read(&self, folder: &Path) -> Result<(Outline, Vec<Note>)> {
        let unit = match self.unit {
            None => Unit::Stated,
            Some(OutlineUnit::Millimetre) => Unit::ElseMillimetre,
            Some(OutlineUnit::Inch) => Unit::ElseInch,
        };
        let read = read_file(folder, self.file, unit)?;
        let [part] = read.parts.as_slice() else {
            return Err(Error::Shape {
                what: format!("drawing file \"{}\"", self.file),
                given: format!("{} parts side by side", read.parts.len()),
                allowed: "one outside with its openings".into(),
            });
        };
        agrees(part, self.file, self.size)?;
        let opening = largest(&part.holes).filter(|_| self.about_opening);
        let (l, b, r, t) = opening.map_or_else(|| part.bounds_m(), Chain::bounds_m);
        let placed = part.placed(Placement {
            turn_rad: 0.0,
            x_m: -f64::midpoint(l, r),
            y_m: -f64::midpoint(b, t),
        });
        let notes = read.notes.iter().map(|note| {
            let about = format!("{}, drawing \"{}\", {}", self.part, self.file, note.about);
            Note::new(about, note.text.clone())
        });
        Ok((placed, notes.collect()))
    }
}
