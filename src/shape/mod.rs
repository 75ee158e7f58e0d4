#![doc = include_str!("theory.md")]

pub mod aim;
pub mod bend;
mod blank;
mod constants;
pub mod draw;
pub mod drawing;
pub mod flange;
pub mod fold;
mod form;
pub mod grille;
pub mod hole;
mod limits;
pub mod measure;
pub mod panel;
pub mod ring;
pub mod router;
pub mod seal;
pub mod seat;
pub mod stack;
pub mod strap;
mod symmetry;
pub mod template;

pub use blank::{
    Bend, Blank, Contour, Drill, Faces, Grain, Hand, HeatedZone, HoleKind, Mark, Toward, Turns,
};
pub use constants::CONSTANTS;
pub use form::{Centres, Form};
