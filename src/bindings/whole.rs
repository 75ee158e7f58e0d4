//! Whole numbers in: what a machine's integer cannot hold is a typed error with the range allowed.

use pyo3::exceptions::PyOverflowError;
use pyo3::prelude::*;

use super::kind;
use crate::error::{Error, Range};

/// More draws than this fill the memory of a workstation.
const MOST_DRAWS: f64 = 1e8;

fn whole(given: &Bound<'_, PyAny>, what: &str, high: f64, remedy: &str) -> PyResult<u64> {
    let allowed = Range::new(0.0, high, "");
    match given.extract::<u64>() {
        Ok(number) if number as f64 <= high => Ok(number),
        Err(other) if !other.is_instance_of::<PyOverflowError>(given.py()) => {
            Err(kind::fault("", given, &other))
        }
        _ => Err(Error::OutOfRange {
            what: what.into(),
            given: given.extract().unwrap_or(f64::INFINITY),
            allowed,
            remedy: remedy.into(),
        }
        .into()),
    }
}

/// Draws behind the ranges.
pub(super) fn draws(given: &Bound<'_, PyAny>) -> PyResult<usize> {
    let count = whole(
        given,
        "draws",
        MOST_DRAWS,
        "0 for none, 256 for a plan, 10000 for a price",
    )?;
    Ok(usize::try_from(count)?)
}

/// The seed of the draws.
pub(super) fn seed(given: &Bound<'_, PyAny>) -> PyResult<u64> {
    whole(
        given,
        "seed",
        u64::MAX as f64,
        "any whole number from 0 to 2^64 - 1",
    )
}

/// How many pieces, one number for each price.
pub(super) fn quantities(given: &Bound<'_, PyAny>) -> PyResult<Vec<u32>> {
    given.try_iter()?.map(|one| count(&one?)).collect()
}

/// Digits after the point.
pub(super) fn digits(given: &Bound<'_, PyAny>) -> PyResult<usize> {
    // More than a double holds would only be noise.
    let count = whole(
        given,
        "digits",
        12.0,
        "ask for 0 to 12 digits after the point",
    )?;
    Ok(usize::try_from(count)?)
}

/// How many of something.
pub(super) fn count(given: &Bound<'_, PyAny>) -> PyResult<u32> {
    let count = whole(
        given,
        "a count",
        f64::from(u32::MAX),
        "a whole number from 0 on",
    )?;
    Ok(u32::try_from(count)?)
}

/// Tried positions of a layout; `None` leaves it to the library.
pub(super) fn effort(given: &Bound<'_, PyAny>) -> PyResult<Option<u64>> {
    if given.is_none() {
        return Ok(None);
    }
    whole(
        given,
        "effort",
        u64::MAX as f64,
        "tried positions, 0 or more",
    )
    .map(Some)
}
