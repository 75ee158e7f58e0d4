//! Critical paths in Python.

use std::collections::BTreeMap;

use pyo3::prelude::*;
use serde::Serialize;

use super::record;
use crate::error::{Error, Result};
use crate::promise::{Activity, CriticalPath, Float, critical_path as critical, pert};

/// Times of one activity under its name; mean and variance where it has three points.
#[derive(Serialize)]
struct Named {
    name: String,
    #[serde(flatten)]
    times: Float,
    #[serde(skip_serializing_if = "Option::is_none")]
    mean: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    variance: Option<f64>,
}

/// An analysis with names in place of positions.
#[derive(Serialize)]
struct Analysis {
    end: f64,
    critical: Vec<String>,
    activities: Vec<Named>,
}

/// The same with the spread of the critical path.
#[derive(Serialize)]
struct Spread {
    #[serde(flatten)]
    path: Analysis,
    variance: f64,
    chance_by: Option<f64>,
}

impl Analysis {
    fn of(path: &CriticalPath, names: &[String]) -> Self {
        let activities = names.iter().zip(&path.activities);
        Self {
            end: path.end,
            critical: path.critical.iter().map(|at| names[*at].clone()).collect(),
            activities: activities
                .map(|(name, times)| Named {
                    name: name.clone(),
                    times: *times,
                    mean: None,
                    variance: None,
                })
                .collect(),
        }
    }
}

/// A forerunner by its name, or by its name and the least wait after it.
#[derive(FromPyObject)]
pub(super) enum Before {
    Plain(String),
    Lagged(String, f64),
}

/// Name, length or three points, forerunners.
type Told<Length> = (String, Length, Vec<Before>);

/// Activities from their names, lengths and forerunners.
fn activities(given: Vec<Told<f64>>) -> Result<(Vec<String>, Vec<Activity>)> {
    let names: Vec<String> = given.iter().map(|(name, ..)| name.clone()).collect();
    let mut at = BTreeMap::new();
    for (i, name) in names.iter().enumerate() {
        if at.insert(name.as_str(), i).is_some() {
            return Err(Error::Shape {
                what: "activities".into(),
                given: format!("two called \"{name}\""),
                allowed: "a name of its own for each".into(),
            });
        }
    }
    let place = |name: &str| {
        let found = at.get(name).copied();
        found.ok_or_else(|| Error::unknown("activity", name, names.iter().map(String::as_str)))
    };
    let made = given.into_iter().map(|(name, length, after)| {
        let after = after.into_iter().map(|before| match before {
            Before::Plain(name) => Ok((place(&name)?, 0.0)),
            Before::Lagged(name, lag) => Ok((place(&name)?, lag)),
        });
        Ok(Activity {
            name,
            length,
            after: after.collect::<Result<_>>()?,
        })
    });
    let made = made.collect::<Result<Vec<_>>>()?;
    Ok((names, made))
}

/// Critical path of activities, without limits of hands or hours.
///
/// Parameters
/// ----------
/// activities : sequence of tuple
///     ``(name, length, forerunners)``; a forerunner is a name, or a name and the least wait after it. Lengths
///     are in any one unit of time, zero or more.
///
/// Returns
/// -------
/// Record
///     ``end``; ``critical``, the names without total float, in order; ``activities``, each with its ``name``,
///     ``earliest_start``, ``earliest_finish``, ``latest_start``, ``latest_finish``, ``total_float`` and
///     ``free_float``.
///
/// Raises
/// ------
/// ImpossibleError
///     Activities wait for each other; the circle is named.
/// OutOfRangeError
///     A length or a wait is negative or not finite.
/// ShapeError
///     Two activities have one name.
/// UnknownNameError
///     A forerunner is not among the activities.
///
/// Examples
/// --------
/// >>> path = mw.critical_path([("cut", 20, []), ("cure", 90, ["cut"]), ("paint a card", 15, ["cut"])])
/// >>> path.end, path.critical, path.activities[2].total_float
/// (110.0, ('cut', 'cure'), 75.0)
#[pyfunction]
pub(super) fn critical_path(
    py: Python<'_>,
    activities: Vec<Told<f64>>,
) -> PyResult<Bound<'_, PyAny>> {
    let (names, activities) = self::activities(activities)?;
    let path = critical(&activities)?;
    record::give(py, "Record", &Analysis::of(&path, &names))
}

/// Classic PERT: three-point times on a network of activities.
///
/// Optimistic where paths merge, since the greatest of several ends is on average later than the greatest of
/// their averages: a cross-check for :func:`promise`, not a promise.
///
/// Parameters
/// ----------
/// activities : sequence of tuple
///     ``(name, (lowest, likeliest, highest), forerunners)``; forerunners as for :func:`critical_path`.
/// by : float, optional
///     A time, for the chance to end by then.
///
/// Returns
/// -------
/// Record
///     As of :func:`critical_path` on the means, with the ``mean`` ``(a + 4 m + b)/6`` and the ``variance``
///     ``((b - a)/6)²`` of each activity, the ``variance`` of the critical path, and ``chance_by``, None without
///     ``by``.
///
/// Raises
/// ------
/// ImpossibleError
///     Activities wait for each other; the circle is named.
/// OutOfRangeError
///     Three points are not in order, or one is negative or not finite.
/// ShapeError
///     Two activities have one name.
/// UnknownNameError
///     A forerunner is not among the activities.
///
/// Examples
/// --------
/// >>> path = mw.critical_path_pert([("cut", (2, 4, 12), []), ("cure", (5, 5, 5), ["cut"])], by=10.0)
/// >>> path.activities[0].mean, round(path.variance, 4), path.end, path.chance_by
/// (5.0, 2.7778, 10.0, 0.5)
#[pyfunction]
#[pyo3(signature = (activities, *, by = None))]
pub(super) fn critical_path_pert(
    py: Python<'_>,
    activities: Vec<Told<(f64, f64, f64)>>,
    by: Option<f64>,
) -> PyResult<Bound<'_, PyAny>> {
    let points: Vec<(f64, f64, f64)> = activities.iter().map(|(_, points, _)| *points).collect();
    let plain = activities
        .into_iter()
        .map(|(name, _, after)| (name, 0.0, after))
        .collect();
    let (names, activities) = self::activities(plain)?;
    let found = pert(&activities, &points)?;
    let mut path = Analysis::of(&found.path, &names);
    let spread = found.means.iter().zip(&found.variances);
    for (activity, (mean, variance)) in path.activities.iter_mut().zip(spread) {
        activity.mean = Some(*mean);
        activity.variance = Some(*variance);
    }
    let answer = Spread {
        path,
        variance: found.variance,
        chance_by: by.map(|time| found.chance_by(time)),
    };
    record::give(py, "Record", &answer)
}
