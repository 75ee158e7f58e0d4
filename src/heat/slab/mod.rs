//! Transient conduction through a stack of layers, with events located inside the step.

pub(crate) mod abreast;
pub(crate) mod body;
pub(crate) mod drive;
mod face;
mod history;
mod kernel;
mod lanes;
mod material;
mod table;
pub(crate) mod track;

pub use body::{CONTACT, Layer, THICKNESS};
pub use face::Face;
pub use history::{Fineness, History, Step, heat_slab, heat_slab_with};
pub use material::{CONDUCTIVITY, Material, Melting};
pub use table::{TEMPERATURE, Table};
pub use track::Where;
