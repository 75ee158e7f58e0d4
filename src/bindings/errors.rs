//! Each [`Error`] as its exception of `mountwright.errors`, with the same fields and the same text.

use std::io::ErrorKind;

use pyo3::exceptions::{PyKeyboardInterrupt, PyOSError};
use pyo3::prelude::*;

use crate::error::{Error, MemoryFault, Problem, Range};

/// The Python classes; in a module of their own because the macro writes undocumented items.
mod class {
    use pyo3::import_exception;
    import_exception!(mountwright.errors, ImpossibleError);
    import_exception!(mountwright.errors, JobError);
    import_exception!(mountwright.errors, MemoryFileError);
    import_exception!(mountwright.errors, OutOfRangeError);
    import_exception!(mountwright.errors, ShapeError);
    import_exception!(mountwright.errors, UnitError);
    import_exception!(mountwright.errors, UnknownNameError);
}

impl From<Error> for PyErr {
    fn from(error: Error) -> Self {
        let message = error.to_string();
        match error {
            Error::OutOfRange {
                what,
                given,
                allowed: Range { low, high, unit },
                remedy,
            } => class::OutOfRangeError::new_err((message, what, given, (low, high), unit, remedy)),
            Error::Unit {
                what,
                given,
                expected,
                remedy,
            } => class::UnitError::new_err((message, what, given, expected, remedy)),
            Error::Unknown { kind, given, near } => {
                class::UnknownNameError::new_err((message, kind, given, near))
            }
            Error::Shape {
                what,
                given,
                allowed,
            } => class::ShapeError::new_err((message, what, given, allowed)),
            Error::Job { path, problems } => {
                let problems: Vec<(Option<usize>, String, String)> = problems
                    .into_iter()
                    .map(|p| (p.line, p.field, p.message))
                    .collect();
                class::JobError::new_err((message, path, problems))
            }
            Error::Impossible { what, why, remedy } => {
                class::ImpossibleError::new_err((message, what, why, remedy))
            }
            Error::Io {
                kind,
                errno,
                path,
                text,
            } => PyOSError::new_err((errno.unwrap_or_else(|| number(kind)), words(&text), path)),
            Error::Memory {
                fault,
                path,
                what,
                remedy,
            } => class::MemoryFileError::new_err((message, fault.name(), path, what, remedy)),
            Error::Stopped => PyKeyboardInterrupt::new_err(message),
        }
    }
}

/// The system's number for a fault that came without one, so that Python picks the right child of `OSError`.
fn number(kind: ErrorKind) -> i32 {
    match kind {
        ErrorKind::NotFound => 2,
        ErrorKind::PermissionDenied => 13,
        ErrorKind::AlreadyExists => 17,
        ErrorKind::NotADirectory => 20,
        ErrorKind::IsADirectory => 21,
        ErrorKind::InvalidInput | ErrorKind::InvalidData => 22,
        _ => 5,
    }
}

/// The system's words without `(os error 2)`, which Python writes in its own way.
fn words(text: &str) -> String {
    match text.split_once(" (os error ") {
        Some((words, _)) => words.to_string(),
        None => text.to_string(),
    }
}

/// One error of each kind, in the order of the enum, for the table test.
///
/// The match has no catch-all: a new variant does not compile until it stands in this chain.
fn next(error: Option<&Error>) -> Option<(&'static str, Error)> {
    Some(match error {
        None => (
            "OutOfRange",
            Error::OutOfRange {
                what: "thickness_m".into(),
                given: 2.0,
                allowed: Range::new(0.0001, 0.1, "m"),
                remedy: "measure the sheet".into(),
            },
        ),
        Some(Error::OutOfRange { .. }) => (
            "Unit",
            Error::Unit {
                what: "air".into(),
                given: "3 mm".into(),
                expected: "a temperature".into(),
                remedy: "use one of °C".into(),
            },
        ),
        Some(Error::Unit { .. }) => ("Unknown", Error::unknown("material", "abss", ["abs"])),
        Some(Error::Unknown { .. }) => (
            "Shape",
            Error::Shape {
                what: "layers".into(),
                given: "0 layers".into(),
                allowed: "1 to 64 layers".into(),
            },
        ),
        Some(Error::Shape { .. }) => (
            "Job",
            Error::Job {
                path: "job.toml".into(),
                problems: vec![
                    Problem {
                        line: Some(3),
                        field: "straps[1].thickness".into(),
                        message: "is missing".into(),
                    },
                    Problem {
                        line: None,
                        field: "schema".into(),
                        message: "is missing".into(),
                    },
                ],
            },
        ),
        Some(Error::Job { .. }) => (
            "Impossible",
            Error::Impossible {
                what: "a forming window".into(),
                why: "the face is past its limit first".into(),
                remedy: "turn the strap".into(),
            },
        ),
        Some(Error::Impossible { .. }) => (
            "Io",
            Error::io("absent.toml", &std::io::Error::from_raw_os_error(2)),
        ),
        Some(Error::Io { .. }) => (
            "Memory",
            Error::Memory {
                fault: MemoryFault::AlreadyUsed,
                path: "shop.db".into(),
                what: "offcut \"A-17\" is used by another job".into(),
                remedy: "plan again".into(),
            },
        ),
        Some(Error::Memory { .. }) => ("Stopped", Error::Stopped),
        Some(Error::Stopped) => return None,
    })
}

/// One exception of every kind that the core can raise, by the name of its variant.
#[pyfunction]
pub(super) fn _faults(
    py: Python<'_>,
) -> Vec<(&'static str, Py<pyo3::exceptions::PyBaseException>)> {
    std::iter::successors(next(None), |(_, error)| next(Some(error)))
        .map(|(name, error)| (name, PyErr::from(error).into_value(py)))
        .collect()
}
