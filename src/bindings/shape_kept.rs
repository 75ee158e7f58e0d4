//! Parts in pickles and for people: their kind and their fields.

use pyo3::prelude::*;
use pyo3::types::PyTuple;
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::record;
use super::shape_leg::Leg;
use super::shape_parts::{Cutout, Form};
use super::shape_screws::{Hole, Screws};
use crate::error::{Error, Result};

/// What pickles a part: its kind and its fields.
pub(super) type Kept<'py> = (Bound<'py, PyAny>, Bound<'py, PyTuple>);

pub(super) fn kept<'py>(py: Python<'py>, kind: &str, part: &impl Serialize) -> PyResult<Kept<'py>> {
    let make = py.import("mountwright._core")?.getattr("_part")?;
    Ok((make, (kind, record::json(part)?).into_pyobject(py)?))
}

/// The kind of a part with the fields that are set, for people.
pub(super) fn shown(kind: &str, part: &impl Serialize) -> PyResult<String> {
    let fields: serde_json::Map<String, serde_json::Value> = read(&record::json(part)?)?;
    let told: Vec<String> = fields
        .iter()
        .filter(|(_, value)| !value.is_null())
        .map(|(name, value)| format!("{name}={value}"))
        .collect();
    Ok(format!("{kind}({})", told.join(", ")))
}

fn read<T: DeserializeOwned>(text: &str) -> Result<T> {
    serde_json::from_str(text).map_err(|fault| Error::Shape {
        what: "pickled part".into(),
        given: fault.to_string(),
        allowed: "what this version of the library wrote".into(),
    })
}

/// A part from its kind and fields, as a pickle holds them.
#[pyfunction]
pub(super) fn _part<'py>(py: Python<'py>, kind: &str, text: &str) -> PyResult<Bound<'py, PyAny>> {
    Ok(match kind {
        "Form" => Bound::new(py, Form { core: read(text)? })?.into_any(),
        "Leg" => Bound::new(py, read::<Leg>(text)?)?.into_any(),
        "Cutout" => Bound::new(py, Cutout { core: read(text)? })?.into_any(),
        "Hole" => Bound::new(py, Hole { core: read(text)? })?.into_any(),
        "Screws" => Bound::new(py, Screws { core: read(text)? })?.into_any(),
        _ => {
            let known = ["Form", "Leg", "Cutout", "Hole", "Screws"];
            return Err(Error::unknown("part", kind, known).into());
        }
    })
}
