#![doc = include_str!("theory.md")]

mod along;
mod build;
mod chain;
mod dxf;
mod dxf_read;
mod faults;
mod file;
mod fit;
mod flatten;
mod measure;
mod offset;
mod part;
mod piece;
mod spline;
pub(crate) mod svg;
mod svg_path;
mod svg_read;
mod trace;

pub use build::Corner;
pub use chain::{Chain, Circle, Point, Segment};
pub(crate) use dxf::as_circle;
pub use dxf::{DxfLayer, DxfText, dxf};
pub use dxf_read::{Unit, read_dxf};
pub use faults::{Fault, FaultKind};
pub use file::read_file;
pub use flatten::CHORD_M;
pub use part::{Outline, Placement};
pub(crate) use piece::Piece;
pub use svg_read::read_svg;
pub use trace::Traced;
