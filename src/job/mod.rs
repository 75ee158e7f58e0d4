//! The job file: which places of the vehicle, which parts, what was measured.
//!
//! Each kind of part has its keys in its own file; [`Part`] is a part of any kind. [`JobFile`] reads a file and tells
//! every fault at once, with its line.

mod faults;
mod file;
mod folded;
mod grille;
mod panel;
mod part;
mod place;
mod pod;
mod quote;
mod rest;
mod ring;
mod strap;
#[cfg(test)]
mod tests;
mod traces;
mod whole;
mod words;

pub use file::{JobFile, text_of};
pub use folded::{Fold, FoldToward, Folded};
pub use grille::Grille;
pub use panel::{Cutout, Panel};
pub use part::{Heat, Measured, Part};
pub use place::Place;
pub use pod::{PlugShape, Pod, PodHeld, PodInside};
pub use quote::QuoteWords;
pub use rest::Faulty;
pub use ring::{GasketStrip, Ring, Steel};
pub use strap::{Aim, Strap};
pub use whole::Job;
pub(crate) use whole::civil;
pub use words::{Behind, DriverFixing, FormedOn, Need, OutlineShape, OutlineUnit, Template};
