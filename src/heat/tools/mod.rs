//! Sources of heat: each gives the [`Exposure`](super::Exposure) of the face that it is turned to.

pub mod bar;
pub mod bath;
pub mod gun;
pub mod oven;
pub mod panel;
