#![doc = include_str!("theory.md")]

mod along;
mod build;
mod chain;
mod dxf;
mod faults;
mod flatten;
mod measure;
mod offset;
mod part;
mod piece;
pub(crate) mod svg;

pub use build::Corner;
pub use chain::{Chain, Circle, Point, Segment};
pub(crate) use dxf::as_circle;
pub use dxf::{DxfLayer, dxf};
pub use faults::{Fault, FaultKind};
pub use flatten::CHORD_M;
pub use part::{Outline, Placement};
pub(crate) use piece::Piece;
