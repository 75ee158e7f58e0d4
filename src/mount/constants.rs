//! Every constant of the checks in one list, for the report of where a plan's numbers come from.

use super::bundle::COLD_SWING;
use super::fixing::{LASTING_FACTOR, SHOCK_FACTOR};
use super::joint::{SHORT_FACTOR, SUSTAINED_FACTOR};
use super::place::{WARM_UP, ZONE_SPREAD};
use super::service_heat::{KEEP_BELOW, KEEP_BELOW_FORMED, SAG_SEEN};
use super::sheet::{PLASTIC_SHAPE, POISSON};
use super::steel::{
    CLIP_NUT_BEARS, CLIP_NUT_BEHIND, CLIP_NUT_GRIP, CLIP_NUT_REACH, GASKET_LEAST, GASKET_MOST,
    RIVET_NUT_BEHIND, RIVET_NUT_BULGE, RIVET_NUT_GRIP, STEEL_YIELD, THROUGH_BOLT_BEARS,
    THROUGH_BOLT_BEHIND, THROUGH_BOLT_GRIP,
};
use super::vibration::{FATIGUE_FACTOR, Q_SCREWED};
use crate::sourced::Constant;

/// Every constant of the checks; limits stand in the checks themselves.
pub static CONSTANTS: &[&Constant] = &[
    &COLD_SWING,
    &POISSON,
    &PLASTIC_SHAPE,
    &ZONE_SPREAD,
    &WARM_UP,
    &KEEP_BELOW,
    &KEEP_BELOW_FORMED,
    &SAG_SEEN,
    &Q_SCREWED,
    &FATIGUE_FACTOR,
    &LASTING_FACTOR,
    &SHOCK_FACTOR,
    &SUSTAINED_FACTOR,
    &SHORT_FACTOR,
    &RIVET_NUT_GRIP,
    &CLIP_NUT_GRIP,
    &THROUGH_BOLT_GRIP,
    &RIVET_NUT_BEHIND,
    &CLIP_NUT_BEHIND,
    &THROUGH_BOLT_BEHIND,
    &RIVET_NUT_BULGE,
    &CLIP_NUT_BEARS,
    &THROUGH_BOLT_BEARS,
    &CLIP_NUT_REACH,
    &STEEL_YIELD,
    &GASKET_LEAST,
    &GASKET_MOST,
];
