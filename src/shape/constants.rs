//! The constants of this room, for the report of where an answer's numbers come from.

use super::aim::THIN_EDGE_M;
use super::draw::{ESTIMATED_RESERVE, LEAST_SHARE, LEAST_WALL_M};
use super::fold::{FOAM_BORDER_OVER_T, NEUTRAL_HOT, SPRINGBACK_RAD};
use super::grille::CONE_ROOM_M;
use super::hole::{
    CLEARANCE_TO_3_5, CLEARANCE_TO_5, CLEARANCE_TO_6, CLEARANCE_WIDER, SLOT_AIM, SLOT_SWING,
};
use super::ring::{INSERT_BEYOND_M, INSERT_OVER_M, INSERT_WALL};
use super::router::{
    HAND_FEED_M_S, HAND_PASS_M, HOLD_DOWN_M, LEAST_CHIP_M, PLUNGE_S, ROUGH_M, SAW_FEED_M_S,
    SAW_KERF_M, TRIM_PASS_M,
};
use super::seal::{
    BACK_M, PRESSED, RIVET_NUT_M3, RIVET_NUT_M4, RIVET_NUT_M5, RIVET_NUT_M6, RIVET_NUT_M8,
};
use super::seat::FOAM_FREE;
use super::strap::{OVERSIZE_M, TWIST_STRAIN};
use super::template::{BOARD_M, CARD_M};
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
    &ESTIMATED_RESERVE,
    &LEAST_WALL_M,
    &FOAM_FREE,
    &CLEARANCE_TO_3_5,
    &CLEARANCE_TO_5,
    &CLEARANCE_TO_6,
    &CLEARANCE_WIDER,
    &SLOT_SWING,
    &SLOT_AIM,
    &INSERT_OVER_M,
    &INSERT_BEYOND_M,
    &TRIM_PASS_M,
    &PLUNGE_S,
    &BACK_M,
    &RIVET_NUT_M3,
    &RIVET_NUT_M4,
    &RIVET_NUT_M5,
    &RIVET_NUT_M6,
    &RIVET_NUT_M8,
    &CARD_M,
    &BOARD_M,
    &THIN_EDGE_M,
];
