//! Files in Python.

use pyo3::prelude::*;

use crate::job::text_of as read;

/// Read the text of a job or shop file.
///
/// Parameters
/// ----------
/// path : str
///     The file.
///
/// Returns
/// -------
/// str
///     Its text.
///
/// Raises
/// ------
/// OSError
///     It cannot be read.
/// JobError
///     It is not text.
///
/// Examples
/// --------
/// >>> from mountwright import _core
/// >>> _core.text_of("demo-data/shop.toml").splitlines()[0]
/// '# An invented shop. Names, prices, hours and offcuts are made up.'
#[pyfunction]
pub(super) fn text_of(py: Python<'_>, path: &str) -> PyResult<String> {
    Ok(py.detach(|| read(path))?)
}
