//! Screws: pilot, engagement, edge, pitch, pull-out, number, and room for thermal movement.

mod holes;
mod pull;
mod screws;

pub use crate::shape::hole::clearance_hole_m;
pub(super) use holes::usual_edge_m;
pub use holes::{
    countersink, driver_edge, edge_distance, engagement, head_shape, movement, pilot, pitch,
    ring_movement, slot_m, vehicle_edge,
};
pub use pull::{
    LASTING_FACTOR, SHOCK_FACTOR, ScrewLoad, insert_out, pull_out, pull_out_n, pull_through,
};
pub use screws::{
    CORES_M, NUTS_M, Screw, ThreadForming, core_m, nut_m, thread_advice, thread_forming,
};
