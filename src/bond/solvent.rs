//! The published set and cure schedule of solvent cements, by pipe size and temperature band.

use serde::{Deserialize, Serialize};

use super::clock::{Band, Clock};
use crate::sourced::{Constant, Standing};

/// Class of pipe, by nominal size. A lap or a ring has none: take [`Socket::Small`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Socket {
    /// 1/2 to 1 1/4 in.
    Small,
    /// 1 1/2 to 3 in.
    Medium,
    /// 4 to 8 in.
    Large,
}

/// Which time of the schedule.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Row {
    /// Until it may be moved with care.
    InitialSet,
    /// Until up to 180 psi of pressure.
    LowPressure,
    /// Until above 180 psi of pressure.
    HighPressure,
}

const HOUR_S: f64 = 3600.0;

/// Lower edges of the bands: 60, 40 and 0 °F, the last as the -17.8 °C that it is shown as. [K]
const EDGES_K: [f64; 3] = [288.705_555_6, 277.594_444_4, 255.35];

/// Upper edge of the hottest band: 100 °F. [K]
const UNTIL_K: f64 = 310.927_777_8;

/// Where the schedule was read.
pub const MANUAL: &str = "a plastic-pipe technical manual, page 96";
/// Above this relative humidity the cure, but not the set, takes longer.
pub const DAMP_ABOVE: Constant =
    Constant::exact("solvent.damp_above", 0.6, "1", MANUAL, Standing::Published);
/// How much longer.
pub const DAMP_FACTOR: Constant =
    Constant::exact("solvent.damp_factor", 1.5, "1", MANUAL, Standing::Published);

/// The schedule of a plastic-pipe technical manual (page 96) for ABS, PVC and CPVC cements alike, iron-pipe sizes.
///
/// An edge that two bands share belongs to the colder one (an assumption, on the safe side).
///
/// ```
/// use mountwright::bond::solvent::{clock, Row, Socket};
/// use mountwright::climate::Air;
/// // 2 in pipe at 45 °F and 70 % humidity: 24 h and half as long again.
/// let cure = clock(Socket::Medium, Row::HighPressure, 1.0);
/// let hours = 1.0 / cure.rate(Air { temperature_k: 280.37, humidity: 0.7 }) / 3600.0;
/// assert!((hours - 36.0).abs() < 1e-9);
/// ```
pub fn clock(socket: Socket, row: Row, times: f64) -> Clock {
    let hours: [f64; 3] = match (row, socket) {
        (Row::InitialSet, Socket::Small) => [0.25, 1.0, 3.0],
        (Row::InitialSet, Socket::Medium) => [0.5, 2.0, 6.0],
        (Row::InitialSet, Socket::Large) => [1.0, 4.0, 12.0],
        (Row::LowPressure, Socket::Small) => [1.0, 2.0, 8.0],
        (Row::LowPressure, Socket::Medium) => [2.0, 4.0, 16.0],
        (Row::LowPressure, Socket::Large) | (Row::HighPressure, Socket::Small) => [6.0, 12.0, 48.0],
        (Row::HighPressure, Socket::Medium) => [12.0, 24.0, 96.0],
        (Row::HighPressure, Socket::Large) => [24.0, 48.0, 192.0],
    };
    Clock::Banded {
        bands: EDGES_K
            .iter()
            .zip(hours)
            .map(|(above_k, h)| Band {
                above_k: *above_k,
                time_s: h * times * HOUR_S,
            })
            .collect(),
        until_k: UNTIL_K,
        damp_factor: if row == Row::InitialSet {
            1.0
        } else {
            DAMP_FACTOR.value
        },
        damp_above: DAMP_ABOVE.value,
    }
}
