//! Drawings, traced files and measure sheets in Python.

use std::path::Path;

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::Serialize;

use super::record;
use super::shape_parts::Form;
use crate::error::{Error, Note, Result};
use crate::outline::{Outline, Unit, read_file};
use crate::quantity::System;
use crate::shape::Blank;
use crate::shape::drawing::{Drawing as Core, Page, Title, drawing};
use crate::shape::measure::Kind;

pub(super) const SHAPES: &str = "mountwright.shapes";

/// A drawing at true size.
///
/// It comes from a blank (``blank.drawing()``) or a measure sheet, and is written as SVG, DXF or PDF.
///
/// Examples
/// --------
/// >>> made = mw.panel("trim", mw.Form.circle("300 mm"), thickness="3 mm")
/// >>> drawing = made.blank.drawing(job="the green van")
/// >>> drawing.name, drawing.pdf(page="letter")[:5]
/// ('trim', b'%PDF-')
#[pyclass(frozen, module = "mountwright")]
pub(super) struct Drawing {
    core: Core,
    /// The function of the module that draws it, and what it is given.
    again: (&'static str, Py<PyTuple>),
}

impl Drawing {
    /// The drawing of the core, and how to draw it again.
    pub(super) const fn of(core: Core, again: (&'static str, Py<PyTuple>)) -> Self {
        Self { core, again }
    }
}

#[pymethods]
impl Drawing {
    /// Name of what is drawn.
    #[getter]
    fn name(&self) -> &str {
        &self.core.name
    }

    /// Width. [m]
    #[getter]
    fn width_m(&self) -> f64 {
        self.core.width_m
    }

    /// Height. [m]
    #[getter]
    fn height_m(&self) -> f64 {
        self.core.height_m
    }

    /// The drawing as a complete SVG document, in millimetres.
    fn svg(&self) -> String {
        self.core.svg()
    }

    /// The drawing as an ASCII DXF file in millimetres, one layer for each kind of line.
    ///
    /// The blank's own origin is the origin; layers that begin with ``BACK-`` show the other face.
    fn dxf(&self) -> String {
        self.core.dxf()
    }

    /// The drawing as a PDF at true size: on one page where it fits, else on several to be taped together.
    ///
    /// Parameters
    /// ----------
    /// page : {"a4", "letter"}
    ///     Size of the paper.
    #[pyo3(signature = (*, page = "a4"))]
    fn pdf(&self, page: &str) -> PyResult<Vec<u8>> {
        Ok(self.core.pdf(Page::named(page)?))
    }

    fn _repr_svg_(&self) -> String {
        self.core.svg()
    }

    fn __eq__(&self, other: &Bound<'_, PyAny>) -> bool {
        other
            .cast::<Self>()
            .is_ok_and(|other| other.get().core.svg() == self.core.svg())
    }

    fn __reduce__<'py>(
        &self,
        py: Python<'py>,
    ) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let make = py.import("mountwright._core")?.getattr(self.again.0)?;
        Ok((make, self.again.1.bind(py).clone()))
    }

    fn __repr__(&self) -> String {
        format!(
            "Drawing({:?}, {:.1} mm x {:.1} mm)",
            self.core.name,
            self.core.width_m * 1e3,
            self.core.height_m * 1e3
        )
    }
}

/// The blank that a record of Python holds.
pub(super) fn blank_of(any: &Bound<'_, PyAny>) -> PyResult<Blank> {
    let text: String = any.call_method0("to_json")?.extract()?;
    serde_json::from_str(&text).map_err(|e| {
        Error::Shape {
            what: "blank".into(),
            given: e.to_string(),
            allowed: "a Blank, as straps, rings, panels and the rest hold it".into(),
        }
        .into()
    })
}

/// The drawing of a blank; `Blank.drawing` calls it.
#[pyfunction]
pub(super) fn _blank_drawing(
    py: Python<'_>,
    blank: &Bound<'_, PyAny>,
    job: String,
    material: String,
    remark: String,
    units: &str,
) -> PyResult<Drawing> {
    let given = (blank, &job, &material, &remark, units).into_pyobject(py)?;
    let again = ("_blank_drawing", given.unbind());
    let blank = blank_of(blank)?;
    let title = Title {
        job,
        material,
        remark,
        units: System::named(units)?,
    };
    let core = py.detach(|| drawing(&blank, &title))?;
    Ok(Drawing { core, again })
}

/// The blank mirrored; `Blank.mirrored` calls it.
#[pyfunction]
pub(super) fn _blank_mirrored<'py>(
    py: Python<'py>,
    blank: &Bound<'py, PyAny>,
) -> PyResult<Bound<'py, PyAny>> {
    record::give_from(py, SHAPES, "Blank", &blank_of(blank)?.mirrored())
}

#[derive(Serialize)]
struct TracedPart {
    area_m2: f64,
    edge_length_m: f64,
    width_m: f64,
    height_m: f64,
    outline: Outline,
}

#[derive(Serialize)]
struct Traced {
    parts: Vec<TracedPart>,
    notes: Vec<Note>,
}

fn trace_file(path: &str, unit: Option<&str>) -> Result<crate::outline::Traced> {
    let unit = match unit {
        None => Unit::Stated,
        Some("mm") => Unit::ElseMillimetre,
        Some("in") => Unit::ElseInch,
        Some(other) => return Err(Error::unknown("unit of a drawing", other, ["mm", "in"])),
    };
    let path = Path::new(path);
    let name = path.file_name().and_then(|n| n.to_str()).unwrap_or("");
    read_file(path.parent().unwrap_or(Path::new("")), name, unit)
}

/// Read the parts of a traced drawing.
///
/// DXF: lines, arcs, circles, polylines with bulges, ellipses, splines, in the units of the header.
/// SVG: paths and basic shapes with an absolute size; nothing in it runs or is loaded.
///
/// Parameters
/// ----------
/// path : str
///     A ``.dxf`` or ``.svg`` file of at most 64 MiB.
/// unit : {"mm", "in"}, optional
///     Unit of a DXF file that states none.
///
/// Returns
/// -------
/// Traced
///     ``parts``, largest first, each with ``area_m2``, ``edge_length_m``, ``width_m``,
///     ``height_m``, ``outline`` and ``form()``, ``holes()``; and ``notes``.
///
/// Raises
/// ------
/// JobError
///     Open, crossing or doubled contours, each with its place.
/// ShapeError
///     It is not such a drawing, has no units, or holds scripts or references.
/// OutOfRangeError
///     Too many entities, or parts of impossible size.
/// OSError
///     It cannot be read.
///
/// Examples
/// --------
/// >>> bracket = mw.trace("demo-data/drawings/bracket.dxf").parts[0]
/// >>> round(bracket.width_m, 3), len(bracket.holes())
/// (0.182, 4)
#[pyfunction]
#[pyo3(signature = (path, *, unit = None))]
pub(super) fn trace<'py>(
    py: Python<'py>,
    path: std::path::PathBuf,
    unit: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let path = path.to_string_lossy().into_owned();
    let read = py.detach(|| trace_file(&path, unit))?;
    let parts = read
        .parts
        .into_iter()
        .map(|outline| {
            let (width_m, height_m) = outline.size_m();
            TracedPart {
                area_m2: outline.area_m2(),
                edge_length_m: outline.edge_length_m(),
                width_m,
                height_m,
                outline,
            }
        })
        .collect();
    let traced = Traced {
        parts,
        notes: read.notes,
    };
    record::give_from(py, SHAPES, "Traced", &traced)
}

/// Forms of a traced part about the middle of its outside: the outside, then its openings; `TracedPart` calls it.
#[pyfunction]
pub(super) fn _forms(part: &Bound<'_, PyAny>) -> PyResult<Vec<Form>> {
    let text: String = part.call_method0("to_json")?.extract()?;
    let fault = |e: serde_json::Error| Error::Shape {
        what: "traced part".into(),
        given: e.to_string(),
        allowed: "a part of a traced drawing".into(),
    };
    let value: serde_json::Value = serde_json::from_str(&text).map_err(fault)?;
    let outline: Outline =
        serde_json::from_value(value.get("outline").cloned().unwrap_or_default()).map_err(fault)?;
    let outline = outline.checked("traced part")?;
    let (l, b, r, t) = outline.bounds_m();
    let (x, y) = (-f64::midpoint(l, r), -f64::midpoint(b, t));
    let forms = std::iter::once(&outline.outside).chain(&outline.holes);
    Ok(forms
        .map(|chain| Form {
            core: crate::shape::Form::Traced(chain.moved(x, y)),
        })
        .collect())
}

/// Give the measure sheet of a kind of part, to be printed before anything is planned.
///
/// Parameters
/// ----------
/// kind : {"strap", "ring", "panel", "pressed-pod", "folded-panel", "grille"}
///     Kind of part.
/// units : {"metric", "inch"}, default "metric"
///     Units of what it says.
///
/// Returns
/// -------
/// MeasureSheet
///     ``lines``: what to measure, with what, how well, what is taken where nobody measured; and
///     ``drawing()`` to print.
///
/// Raises
/// ------
/// UnknownNameError
///     No kind or system of units has that name.
///
/// Examples
/// --------
/// >>> sheet = mw.measure_sheet("ring")
/// >>> sheet.lines[5].what, sheet.lines[5].spread
/// ('driver behind its flange, with terminals', '± 1 mm')
/// >>> mw.measure_sheet("ring", units="inch").lines[5].spread
/// '± 0.04 in'
#[pyfunction]
#[pyo3(signature = (kind, *, units = "metric"))]
pub(super) fn measure_sheet<'py>(
    py: Python<'py>,
    kind: &str,
    units: &str,
) -> PyResult<Bound<'py, PyAny>> {
    #[derive(Serialize)]
    struct Line {
        key: &'static str,
        what: &'static str,
        with: &'static str,
        spread: String,
        default: String,
    }
    #[derive(Serialize)]
    struct Sheet {
        kind: &'static str,
        units: System,
        lines: Vec<Line>,
    }
    let (kind, units) = (Kind::named(kind)?, System::named(units)?);
    let lines = kind.lines().iter().map(|l| Line {
        key: l.key,
        what: l.what,
        with: l.with,
        spread: l.spread(units),
        default: l.usual(units),
    });
    let sheet = Sheet {
        kind: kind.name(),
        units,
        lines: lines.collect(),
    };
    record::give_from(py, SHAPES, "MeasureSheet", &sheet)
}

/// The measure sheet to print; `MeasureSheet.drawing` calls it.
#[pyfunction]
pub(super) fn _measure_drawing(py: Python<'_>, kind: &str, units: &str) -> PyResult<Drawing> {
    Ok(Drawing {
        core: Kind::named(kind)?.drawing(System::named(units)?),
        again: (
            "_measure_drawing",
            (kind, units).into_pyobject(py)?.unbind(),
        ),
    })
}
