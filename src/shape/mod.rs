//! Flat patterns: each part becomes blanks with marks, bends and heated zones at true size.

pub mod bend;
mod blank;
pub mod drawing;
mod form;
pub mod panel;
pub mod ring;
pub mod stack;
pub mod strap;
mod strap_pattern;

pub use blank::{
    Bend, Blank, Contour, Drill, Faces, Grain, Hand, HeatedZone, HoleKind, Mark, Toward, Turns,
};
pub use form::{Centres, Form};
