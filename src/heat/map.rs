//! Working-range maps: where a sheet is too cold, workable, fuming or overheated, over distance and time, or setting and
//! distance.

use ndarray::Array2;
use rayon::prelude::*;
use serde::Serialize;

use super::recipe::{Ask, Window, openings_abreast, window};
use super::tools::gun::HotAirGun;
use crate::error::{Error, Range, Result, Watch, check};

/// What a sheet is at one point of a map.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
#[repr(u8)]
pub enum Zone {
    /// The coldest point is not yet (or never) what the shape needs.
    TooCold = 0,
    /// It can be formed.
    Workable = 1,
    /// It can be formed, and a face gives off fumes.
    Fumes = 2,
    /// A point is, or gets, hotter than it may be before the sheet can be formed.
    Overheated = 3,
}

/// A map: one zone for each point.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Map {
    /// Values down the rows (distance in m, or setting in K).
    pub rows: Vec<f64>,
    /// Values along the columns (time in s, or distance in m).
    pub columns: Vec<f64>,
    /// [`Zone`] as a number, row by row.
    #[serde(skip)]
    pub zone: Array2<u8>,
}

/// Most points along one side.
const MOST: usize = 2000;

fn check_axis(what: &str, values: &[f64], range: Range) -> Result<()> {
    if values.is_empty() || values.len() > MOST {
        return Err(Error::Shape {
            what: what.into(),
            given: format!("{} values", values.len()),
            allowed: format!("1 to {MOST} values"),
        });
    }
    for &v in values {
        check(what, v, range, "choose values in this range")?;
    }
    Ok(())
}

/// The sheet at a time of heating.
fn at_time(w: &Window, t_s: f64) -> Zone {
    let passed = |event: Option<f64>| event.is_some_and(|e| e <= t_s);
    if passed(w.closes_s) {
        Zone::Overheated
    } else if !passed(w.warm_s) {
        Zone::TooCold
    } else if passed(w.fumes_s) {
        Zone::Fumes
    } else {
        Zone::Workable
    }
}

/// Whether there is a window at all.
fn in_all(w: &Window) -> Zone {
    match (w.warm_s, w.closes_s) {
        (Some(warm), closes) if closes.is_none_or(|c| warm < c) => {
            if w.fumes_s.is_some_and(|f| f < warm) {
                Zone::Fumes
            } else {
                Zone::Workable
            }
        }
        (_, Some(_)) => Zone::Overheated,
        (_, None) => Zone::TooCold,
    }
}

fn shaped(rows: &[f64], columns: &[f64], zones: Vec<u8>) -> Map {
    let shape = (rows.len(), columns.len());
    Map {
        rows: rows.to_vec(),
        columns: columns.to_vec(),
        zone: Array2::from_shape_vec(shape, zones).unwrap_or_else(|_| Array2::zeros(shape)),
    }
}

/// Distance down, time along: one history for each distance.
///
/// # Errors
/// As [`recipe`](super::recipe) and [`HotAirGun::at`]; [`Error::Stopped`] when the watch says so.
pub fn distance_time_map(
    ask: &Ask,
    gun: &HotAirGun,
    patch_m: (f64, f64),
    distances_m: &[f64],
    times_s: &[f64],
    watch: &dyn Watch,
) -> Result<Map> {
    check_axis("distances_m", distances_m, Range::new(5e-3, 1.0, "m"))?;
    check_axis("times_s", times_s, Range::new(0.0, 1e5, "s"))?;
    let windows = distances_m
        .par_iter()
        .map(|&d| {
            if !watch.go_on(0.0) {
                return Err(Error::Stopped);
            }
            let exposure = gun.mean_at(d, patch_m)?;
            window(&Ask {
                exposure,
                ..ask.clone()
            })
        })
        .collect::<Result<Vec<_>>>()?;
    let zones = windows
        .iter()
        .flat_map(|w| times_s.iter().map(move |&t| at_time(w, t) as u8))
        .collect();
    Ok(shaped(distances_m, times_s, zones))
}

/// Cells worked out between two looks at the watch.
const CHUNK: usize = 50;

/// Setting down, distance along: whether there is a window at all.
///
/// # Errors
/// As [`distance_time_map`].
pub fn setting_distance_map(
    ask: &Ask,
    gun: &HotAirGun,
    patch_m: (f64, f64),
    settings_k: &[f64],
    distances_m: &[f64],
    watch: &dyn Watch,
) -> Result<Map> {
    check_axis("settings_k", settings_k, Range::new(303.15, 1073.15, "K"))?;
    check_axis("distances_m", distances_m, Range::new(5e-3, 1.0, "m"))?;
    let rows = settings_k
        .par_iter()
        .map(|&setting| {
            let gun = gun.set_to(setting);
            let asks = distances_m
                .iter()
                .map(|&d| {
                    let exposure = gun.mean_at(d, patch_m)?;
                    Ok(Ask {
                        exposure,
                        ..ask.clone()
                    })
                })
                .collect::<Result<Vec<_>>>()?;
            let mut zones = Vec::with_capacity(asks.len());
            for some in asks.chunks(CHUNK) {
                if !watch.go_on(0.0) {
                    return Err(Error::Stopped);
                }
                for window in openings_abreast(some) {
                    zones.push(in_all(&window?) as u8);
                }
            }
            Ok(zones)
        })
        .collect::<Result<Vec<_>>>()?;
    Ok(shaped(settings_k, distances_m, rows.concat()))
}
