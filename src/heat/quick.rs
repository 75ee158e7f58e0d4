//! The quick recipe: constant properties and linear faces, answered by the exact series, one row or millions.

use rayon::prelude::*;
use serde::Serialize;

use super::modal::{Exact, Wall};
use super::slab::{Face, Step, Where};
use crate::error::{Error, Result, Watch};

/// A question without radiation, free convection or change of properties: put radiation into the films.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Quick {
    /// The sheet, at its start.
    pub wall: Wall,
    /// Film coefficient and gas temperature at front and back while it is heated. [W/m²/K, K]
    pub heat: [(f64, f64); 2],
    /// The same while it cools. [W/m²/K, K]
    pub cool: [(f64, f64); 2],
    /// What the shape needs at the coldest point. [K]
    pub need_k: f64,
    /// What the hottest point stands. [K]
    pub upper_k: f64,
    /// Below this at the hottest point it is set. [K]
    pub set_k: f64,
    /// When heating stops; `None` takes the middle of the window. [s]
    pub stop_s: Option<f64>,
}

/// The answer to a [`Quick`] question; every time `None` where it never comes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct QuickRecipe {
    /// The coldest point reaches what the shape needs. [s]
    pub opens_s: Option<f64>,
    /// The hottest point reaches its limit. [s]
    pub closes_s: Option<f64>,
    /// When heating stops; `None` without a window. [s]
    pub stop_s: Option<f64>,
    /// From the end of heat until the mean falls below what the shape needs. [s]
    pub working_time_s: Option<f64>,
    /// From the end of heat until the hottest point is set. [s]
    pub hold_s: Option<f64>,
}

/// Longest heating and cooling looked at: three years. [s]
const LONGEST_S: f64 = 1e8;
/// Where a window has no end, heating goes on by this share beyond its opening.
const OPEN_END: f64 = 0.25;
/// Fourier numbers after a switch from which the series suffices; the next where an answer lies before the one above it.
const SHORTEST_FO: [f64; 5] = [0.1, 0.02, 1e-3, 1e-4, 1e-5];

/// Window, working time and hold of one sheet from the exact series; event times are good to 1e-9 of themselves.
///
/// "Never" is not within three years.
///
/// # Errors
/// [`Error::OutOfRange`] for a wall, a film or a temperature that cannot be, [`Error::Shape`] for limits out of order.
///
/// ```
/// use mountwright::heat::modal::Wall;
/// use mountwright::heat::{Quick, quick};
/// let wall = Wall { thickness_m: 3e-3, conductivity_w_m_k: 0.17, capacity_j_m3_k: 1.9e6, start_k: 293.15 };
/// let sheet = Quick { wall, heat: [(50.0, 450.0); 2], cool: [(12.0, 293.15); 2],
///     need_k: 400.0, upper_k: 430.0, set_k: 350.0, stop_s: None };
/// let answer = quick(&sheet)?;
/// assert!(answer.opens_s < answer.closes_s && answer.working_time_s < answer.hold_s);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn quick(ask: &Quick) -> Result<QuickRecipe> {
    if !(ask.set_k < ask.need_k && ask.need_k < ask.upper_k) {
        return Err(Error::Shape {
            what: "limits of a quick recipe".into(),
            given: format!(
                "set {}, need {}, upper {} K",
                ask.set_k, ask.need_k, ask.upper_k
            ),
            allowed: "set below need, need below upper".into(),
        });
    }
    let wall = &ask.wall;
    let mut heating = Exact::new(wall, &[faces(ask.heat)], SHORTEST_FO[0])?;
    let pace = heating.pace_1_s();
    let (mut opens_s, mut closes_s) = (None, None);
    let mut earliest_fo = 0.0;
    for shortest_fo in SHORTEST_FO {
        heating.deepen(shortest_fo);
        opens_s = heating.first_time(Where::Coldest, ask.need_k, true);
        closes_s = heating.first_time(Where::Hottest, ask.upper_k, true);
        earliest_fo = earliest([opens_s, closes_s, ask.stop_s]) * pace;
        if earliest_fo >= shortest_fo {
            break;
        }
    }
    beyond_the_series(earliest_fo)?;
    let mut out = QuickRecipe {
        opens_s: opens_s.filter(|&open| closes_s.is_none_or(|close| open < close)),
        closes_s,
        stop_s: None,
        working_time_s: None,
        hold_s: None,
    };
    let Some(opens) = out.opens_s else {
        return Ok(out);
    };
    let middle = closes_s.map_or(opens * (1.0 + OPEN_END), |c| f64::midpoint(opens, c));
    let stop = ask.stop_s.unwrap_or(middle);
    out.stop_s = Some(stop);
    let mut cooling = heating.followed_by(stop, &faces(ask.cool))?;
    for shortest_fo in SHORTEST_FO {
        cooling.deepen(shortest_fo);
        let after = |place, level| {
            cooling
                .first_after(place, level, false, stop)
                .map(|t| t - stop)
        };
        out.working_time_s = after(Where::Mean, ask.need_k);
        out.hold_s = after(Where::Hottest, ask.set_k);
        earliest_fo = earliest([out.working_time_s, out.hold_s, None]) * pace;
        if earliest_fo >= shortest_fo {
            break;
        }
    }
    beyond_the_series(earliest_fo)?;
    Ok(out)
}

/// Refuses what comes so soon after a switch that no series of a few hundred terms shows it.
fn beyond_the_series(earliest_fo: f64) -> Result<()> {
    let [.., finest] = SHORTEST_FO;
    if earliest_fo >= finest {
        return Ok(());
    }
    Err(Error::Impossible {
        what: "a quick recipe".into(),
        why: format!(
            "something happens within a Fourier number of {finest} of a switch: in the skin of the sheet, before the rest has noticed"
        ),
        remedy: "ask a recipe, which follows it through time; or check thickness, film and gas"
            .into(),
    })
}

/// What holds at the switch itself needs no series.
fn earliest(times: [Option<f64>; 3]) -> f64 {
    let later = times.into_iter().flatten().filter(|&t| t > 0.0);
    later.fold(f64::INFINITY, f64::min)
}

fn faces([front, back]: [(f64, f64); 2]) -> Step {
    let face = |(film_w_m2_k, gas_k)| Face {
        film_w_m2_k,
        gas_k,
        ..Face::INSULATED
    };
    Step {
        seconds: LONGEST_S,
        front: face(front),
        back: face(back),
    }
}

/// Rows worked out between two looks at the watch.
const CHUNK: usize = 256;

/// [`quick`] for many rows, spread over the cores; a row that cannot be is marked and the others go on.
///
/// # Errors
/// [`Error::Stopped`] when the watch says so.
pub fn quick_rows(rows: &[Quick], watch: &dyn Watch) -> Result<Vec<Result<QuickRecipe>>> {
    let chunks = rows
        .par_chunks(CHUNK)
        .enumerate()
        .map(|(i, chunk)| {
            if !watch.go_on((i * CHUNK) as f64 / rows.len() as f64) {
                return Err(Error::Stopped);
            }
            Ok(chunk.iter().map(quick).collect::<Vec<_>>())
        })
        .collect::<Result<Vec<_>>>()?;
    Ok(chunks.into_iter().flatten().collect())
}
