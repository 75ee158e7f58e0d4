//! The constants of this room, for the report of where an answer's numbers come from.

use super::amount::{DROP, NOZZLE};
use super::clock::{DAMPEST, DRIEST, VAPOUR_AT_ZERO, VAPOUR_FALL, VAPOUR_POLE, VAPOUR_SLOPE};
use super::closing::PRESSING;
use super::schedule::WIDE_OVERLAP;
use super::shift::SHIFT_UNTIL;
use super::solvent::{DAMP_ABOVE, DAMP_FACTOR};
use super::strength::{STATIC_FACTOR, STRENGTH_AT, SUSTAINED_FACTOR};
use crate::sourced::Constant;

/// Every constant of the joints; numbers of one adhesive stand in the catalogue.
pub static CONSTANTS: &[&Constant] = &[
    &NOZZLE,
    &DROP,
    &PRESSING,
    &STRENGTH_AT,
    &STATIC_FACTOR,
    &SUSTAINED_FACTOR,
    &SHIFT_UNTIL,
    &WIDE_OVERLAP,
    &DAMP_ABOVE,
    &DAMP_FACTOR,
    &VAPOUR_AT_ZERO,
    &VAPOUR_SLOPE,
    &VAPOUR_FALL,
    &VAPOUR_POLE,
    &DRIEST,
    &DAMPEST,
];
