//! Sources of heat: each gives the [`Exposure`](super::Exposure) of the face that it is turned to.

pub mod gun;
