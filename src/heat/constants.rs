//! The constants of this room, for the report of where an answer's numbers come from.

use super::dose::{DOSE_LIMIT, PVC_ACTIVATION, PVC_REFERENCE};
use super::ranges::LIMP_SPREAD;
use super::recipe::{PAST_OPENING, WRAP_MOST, WRAP_WIDTH};
use super::sheet::{SHRINKAGE, SHRINKAGE_LIMIT, THINNING, THINNING_LIMIT};
use super::tools::bar::{LYING_CONTACT, PRESSED_CONTACT, WET_CLOTH};
use super::tools::bath::BATH_FILM;
use super::tools::gun::{EXCESS_DECAY, HAND_TOOL_W};
use super::tools::oven::FAN_FILM;
use super::{air, film, jet, touch};
use crate::sourced::Constant;

/// Those of every recipe: air, free convection, dose, wear, touch.
pub static RECIPE: &[&Constant] = &[
    &air::SUTHERLAND,
    &air::SUTHERLAND_K,
    &air::CONDUCTS,
    &air::CONDUCTS_K,
    &air::DENSITY,
    &air::PRANDTL,
    &air::HEAT_CAPACITY,
    &film::UPRIGHT_STILL,
    &film::UPRIGHT,
    &film::LAMINAR_STILL,
    &film::LAMINAR,
    &film::PRANDTL_OF_FORM,
    &film::LEVEL_UP,
    &film::LEVEL_UP_TURBULENT,
    &film::LEVEL_DOWN,
    &WRAP_WIDTH,
    &WRAP_MOST,
    &DOSE_LIMIT,
    &THINNING,
    &THINNING_LIMIT,
    &SHRINKAGE,
    &SHRINKAGE_LIMIT,
    &touch::BURN_1_S,
    &touch::BURN_10_S,
    &touch::BURN_1_MIN,
    &touch::BURN_10_MIN,
    &touch::BURN_8_H,
    &touch::GRIP,
];

/// Those of a hot-air gun.
pub static GUN: &[&Constant] = &[
    &HAND_TOOL_W,
    &EXCESS_DECAY,
    &jet::MARTIN_FILM,
    &jet::MARTIN_FAST,
    &jet::MARTIN_CORE,
    &jet::MARTIN_SPREAD,
    &jet::MARTIN_FAR,
    &jet::REACH_NOZZLE,
    &jet::REACH_DISTANCE,
];

/// Those of other tools and of questions that a plan does not ask.
pub static OTHERS: &[&Constant] = &[
    &PAST_OPENING,
    &LYING_CONTACT,
    &PRESSED_CONTACT,
    &WET_CLOTH,
    &BATH_FILM,
    &FAN_FILM,
    &LIMP_SPREAD,
    &PVC_ACTIVATION,
    &PVC_REFERENCE,
    &touch::SKIN_EFFUSIVITY,
    &touch::SKIN,
];
