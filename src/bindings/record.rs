//! Answers as records: the fields of a serialisable value under its class of `mountwright.records`.

use pyo3::exceptions::PyValueError;
use pyo3::prelude::*;
use serde::Serialize;

/// `answer` as an instance of `mountwright.records.CLASS`.
///
/// The fields are those that serde writes, so they are the names in `plan.json` too; a number that is not
/// finite arrives as `None`.
pub(super) fn give<'py>(
    py: Python<'py>,
    class: &str,
    answer: &impl Serialize,
) -> PyResult<Bound<'py, PyAny>> {
    give_from(py, "mountwright.records", class, answer)
}

/// The same for a class of another module.
pub(super) fn give_from<'py>(
    py: Python<'py>,
    module: &str,
    class: &str,
    answer: &impl Serialize,
) -> PyResult<Bound<'py, PyAny>> {
    py.import(module)?
        .getattr(class)?
        .call_method1("from_json", (json(answer)?,))
}

/// A value as plain dicts, lists, texts and numbers: what `to_dict` gives.
pub(super) fn plain<'py>(py: Python<'py>, value: &impl Serialize) -> PyResult<Bound<'py, PyAny>> {
    py.import("json")?.getattr("loads")?.call1((json(value)?,))
}

/// What `to_dict` gives as a table: what a notebook shows.
pub(super) fn table<'py>(answer: &Bound<'py, PyAny>) -> PyResult<Bound<'py, PyAny>> {
    answer
        .py()
        .import("mountwright.records")?
        .getattr("table")?
        .call1((answer,))
}

/// A value as JSON.
pub(super) fn json(value: &impl Serialize) -> PyResult<String> {
    serde_json::to_string(value).map_err(|e| PyValueError::new_err(e.to_string()))
}
