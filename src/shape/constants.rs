//! The constants of this room, for the report of where an answer's numbers come from.

use super::draw::{LEAST_SHARE, LEAST_WALL_M};
use super::fold::{FOAM_BORDER_OVER_T, NEUTRAL_HOT, SPRINGBACK_RAD};
use super::grille::CONE_ROOM_M;
use super::ring::INSERT_WALL;
use super::router::{
    HAND_FEED_M_S, HAND_PASS_M, HOLD_DOWN_M, LEAST_CHIP_M, ROUGH_M, SAW_FEED_M_S, SAW_KERF_M,
};
use super::seal::PRESSED;
use super::strap::{OVERSIZE_M, TWIST_STRAIN};
use crate::sourced::Constant;

/// Every constant of the blanks.
pub static CONSTANTS: &[&Constant] = &[
    &HAND_PASS_M,
    &ROUGH_M,
    &HOLD_DOWN_M,
    &SAW_KERF_M,
    &SAW_FEED_M_S,
    &HAND_FEED_M_S,
    &LEAST_CHIP_M,
    &TWIST_STRAIN,
    &OVERSIZE_M,
    &FOAM_BORDER_OVER_T,
    &SPRINGBACK_RAD,
    &NEUTRAL_HOT,
    &INSERT_WALL,
    &CONE_ROOM_M,
    &PRESSED,
    &LEAST_SHARE,
    &LEAST_WALL_M,
];
