//! Columns of numbers in and out.

use numpy::{AllowTypeChange, IntoPyArray, PyArray1, PyArrayLike1};
use pyo3::prelude::*;

/// An argument that is one number for all rows, or one for each row.
pub(super) enum Column {
    /// The same for every row.
    One(f64),
    /// One value for each row, copied: another thread may write to the caller's array while the core works.
    Many(Vec<f64>),
}

impl<'py> FromPyObject<'_, 'py> for Column {
    type Error = PyErr;

    fn extract(object: Borrowed<'_, 'py, PyAny>) -> PyResult<Self> {
        if let Ok(one) = object.extract::<f64>() {
            return Ok(Self::One(one));
        }
        let many: PyArrayLike1<'_, f64, AllowTypeChange> = object.extract()?;
        Ok(Self::Many(many.as_array().to_vec()))
    }
}

impl Column {
    /// Its value in a row.
    pub(super) fn at(&self, row: usize) -> f64 {
        match self {
            Self::One(value) => *value,
            Self::Many(values) => values[row],
        }
    }

    /// Its rows; `None` for one number that serves all.
    pub(super) fn rows(&self) -> Option<usize> {
        match self {
            Self::One(_) => None,
            Self::Many(values) => Some(values.len()),
        }
    }
}

/// Hands a column to Python without a copy.
pub(super) fn give(py: Python<'_>, values: Vec<f64>) -> Bound<'_, PyArray1<f64>> {
    values.into_pyarray(py)
}
