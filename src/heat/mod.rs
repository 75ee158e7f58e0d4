//! Room: heat.
// Places in tables and counts of turns are clamped, or not negative, before they are cast; the kernel is small functions that
// only pay when they vanish into their loops.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::inline_always
)]

pub mod air;
pub mod dose;
pub mod exposure;
pub mod film;
pub mod jet;
pub mod modal;
mod of_material;
mod recipe;
mod sheet;
pub mod slab;
pub mod tools;
pub mod touch;

pub use dose::Dose;
pub use exposure::{Exposure, Radiator};
pub use recipe::{
    Ask, Back, Behind, Binds, Body, Chart, ClosedBy, Grain, Hold, Need, NoWindow, Recipe, Reheats,
    recipe,
};
pub use sheet::{Limits, Sheet, Wear};
pub use slab::{Face, History, Layer, Melting, Step, Table, Where, heat_slab};
pub use tools::gun::HotAirGun;
