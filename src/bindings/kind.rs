//! Values of the wrong kind: `None` where a text belongs, a table where a row belongs.
//!
//! `pyo3` raises a bare `TypeError` for them. Functions and methods are wrapped once for the whole module
//! (`mountwright.kinds.told`); a constructor cannot be, so that its arguments come in through [`of`].

use pyo3::exceptions::PyBaseException;
use pyo3::prelude::*;

const KINDS: &str = "mountwright.kinds";

/// An argument of a constructor; one of the wrong kind is a `KindError`, to which `pyo3` adds the argument's name.
pub(super) fn of<'a, 'py, T>(given: &'a Bound<'py, PyAny>) -> PyResult<T>
where
    T: FromPyObject<'a, 'py>,
{
    let py = given.py();
    let refused = py.import(KINDS)?.getattr("masked")?.call1((given,))?;
    if let Ok(fault) = refused.cast_into::<PyBaseException>() {
        return Err(PyErr::from_value(fault.into_any()));
    }
    given
        .extract::<T>()
        .map_err(|other| fault("", given, &other.into()))
}

/// The `KindError` for a value that could not be read; to one without a name `pyo3` adds it.
pub(super) fn fault(what: &str, given: &Bound<'_, PyAny>, other: &PyErr) -> PyErr {
    let py = given.py();
    py.import(KINDS)
        .and_then(|kinds| {
            kinds
                .getattr("fault")?
                .call1((what, given, other.value(py)))
        })
        .map_or_else(|failed| failed, PyErr::from_value)
}

/// Wraps the functions and methods of the module.
pub(super) fn told(module: &Bound<'_, PyModule>) -> PyResult<()> {
    let wrap = module.py().import(KINDS)?.getattr("told")?;
    wrap.call1((module,)).map(drop)
}
