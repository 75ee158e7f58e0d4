//! The road under a mount.

use pyo3::prelude::*;

use super::super::arrays::{self, Column};
use crate::error::Result;
use crate::mount::vibration::{Psd, Q_SCREWED, miles_rms};

/// Shake a part with one main frequency on a random profile.
///
/// Parameters
/// ----------
/// frequency_hz : array_like, shape (n,)
///     First frequency of the part. [Hz]
/// q : float, default 10
///     Amplification at resonance, 8 to 15 for screwed plastic.
/// profile : sequence of (float, float), optional
///     Frequency [Hz] and density [(m/s²)²/Hz], straight in log-log; the car body of ISO 16750-3,
///     test IV, if left out.
///
/// Returns
/// -------
/// integrated, miles : ndarray of float64, shape (n,)
///     Root mean square acceleration [m/s²], by integrating over the whole profile, and by Miles'
///     equation, which is only a cross-check: it runs 15 to 25 % low above about 100 Hz.
///
/// Raises
/// ------
/// OutOfRangeError
///     A frequency outside 0.1 Hz to 1 MHz, a Q outside 0.51 to 1000, or a density that cannot be.
/// ShapeError
///     The profile has too few points, or its frequencies do not rise.
///
/// Examples
/// --------
/// >>> integrated, miles = mw.road_response([63.2, 150.0])
/// >>> integrated.round(1), miles.round(1)
/// (array([69.8, 41.6]), array([66.4, 31.2]))
#[pyfunction]
#[pyo3(signature = (frequency_hz, *, q=None, profile=None))]
#[allow(clippy::type_complexity)] // two arrays of one length
pub(in crate::bindings) fn road_response(
    py: Python<'_>,
    frequency_hz: Column,
    q: Option<f64>,
    profile: Option<Vec<(f64, f64)>>,
) -> PyResult<(
    Bound<'_, numpy::PyArray1<f64>>,
    Bound<'_, numpy::PyArray1<f64>>,
)> {
    let q = q.unwrap_or(Q_SCREWED.value);
    let profile = profile.map_or_else(|| Ok(Psd::body()), Psd::new)?;
    let all = match frequency_hz {
        Column::One(f) => vec![f],
        Column::Many(f) => f,
    };
    let (whole, miles): (Vec<f64>, Vec<f64>) = py
        .detach(|| {
            let both = |f: f64| -> Result<(f64, f64)> {
                let whole = profile.response_rms_m_s2(f, q)?;
                Ok((whole, miles_rms(f, q, profile.at(f))))
            };
            all.into_iter().map(both).collect::<Result<Vec<_>>>()
        })?
        .into_iter()
        .unzip();
    Ok((arrays::give(py, whole), arrays::give(py, miles)))
}
