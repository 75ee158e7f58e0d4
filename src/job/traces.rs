//! The drawings that a job's parts name: read from beside the job file, held against what was measured.

use std::collections::BTreeMap;
use std::path::Path;

use super::{Job, OutlineUnit};
use crate::error::{Error, Problem, Range, Result, check};
use crate::file::{Length, Source};
use crate::outline::{Chain, Outline, Placement, Unit, read_file};

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

/// Reads the drawings of all parts.
pub(super) fn traces(
    job: &Job,
    source: &Source,
    folder: &Path,
    problems: &mut Vec<Problem>,
) -> BTreeMap<String, Outline> {
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
    let mut traced = BTreeMap::new();
    for trace in all {
        match trace.read(folder) {
            Ok(outline) => {
                traced.insert(trace.part.to_string(), outline);
            }
            Err(Error::Job {
                path,
                problems: faults,
            }) => {
                for fault in faults {
                    problems.push(source.problem(&trace.at, format!("{path}: {fault}")));
                }
            }
            Err(error) => problems.push(source.problem(&trace.at, error.to_string())),
        }
    }
    traced
}

impl Trace<'_> {
    fn read(&self, folder: &Path) -> Result<Outline> {
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
        let (width, height) = part.size_m();
        let sides = [
            ("width", width, Some(self.size.0)),
            ("height", height, self.size.1),
        ];
        for (what, drawn, measured) in sides {
            let Some(measured) = measured else { continue };
            check(
                format!("{what} in the drawing \"{}\"", self.file),
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
        let opening = part
            .holes
            .iter()
            .max_by(|a, b| a.area_m2().abs().total_cmp(&b.area_m2().abs()))
            .filter(|_| self.about_opening);
        let (l, b, r, t) = opening.map_or_else(|| part.bounds_m(), Chain::bounds_m);
        Ok(part.placed(Placement {
            turn_rad: 0.0,
            x_m: -f64::midpoint(l, r),
            y_m: -f64::midpoint(b, t),
        }))
    }
}
