//! What is believed before a shop has closed a job.

use crate::sourced::{Constant, Standing};

const fn practice(name: &'static str, low: f64, value: f64, high: f64) -> Constant {
    Constant {
        name,
        value,
        low,
        high,
        unit: "1",
        source: "common practice, no source",
        standing: Standing::CommonPractice,
    }
}

/// Standard deviation of the logarithm of the time of one kind of work in one job.
pub(super) const WORK_NOISE: Constant = practice(
    "memory: noise of the time of a kind of work",
    0.15,
    0.25,
    0.4,
);
/// Standard deviation between shops of the logarithm of a kind of work's time, beside the pace.
pub(super) const WORK_SPREAD: Constant = practice(
    "memory: spread of a kind of work between shops",
    0.1,
    0.2,
    0.4,
);
/// Times that the noise is known as well as from.
pub(super) const NOISE_ROWS: Constant =
    practice("memory: times that the noise is known from", 3.0, 6.0, 12.0);
/// Share of the variance of the pace that is the day's; the rest is the shop's own.
pub(super) const PACE_OF_DAY: Constant = practice(
    "memory: share of the day in the variance of the pace",
    0.3,
    0.5,
    0.7,
);
/// Heats that the trade's spoilage is known as well as from.
pub(super) const SPOILAGE_HEATS: Constant = practice(
    "memory: heats that the usual spoilage is known from",
    10.0,
    20.0,
    60.0,
);

/// Least share of the usual time of the hands that is taken for theirs, where a machine paces part of the work.
pub(super) const HANDS_LEAST: Constant = practice(
    "memory: least share of the usual time of the hands",
    0.05,
    0.1,
    0.3,
);

/// Every constant here, for the report of provenance.
pub static ALL: &[&Constant] = &[
    &WORK_NOISE,
    &WORK_SPREAD,
    &NOISE_ROWS,
    &PACE_OF_DAY,
    &SPOILAGE_HEATS,
    &HANDS_LEAST,
];
