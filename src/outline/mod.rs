//! Flat shapes: closed chains of lines and arcs with holes, in metres; outsides run counter-clockwise, holes clockwise.
//!
//! Arcs stay arcs until they are drawn; [`Outline::flatten`] is the one flattening of the library.

mod build;
mod geometry;

pub use build::Corner;
pub use geometry::{Chain, Circle, Outline, Placement, Point, Segment};
