#![doc = include_str!("theory.md")]
// Places in tables and counts of turns are clamped, or not negative, before they are cast; the kernel is small functions that
// only pay when they vanish into their loops.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    clippy::inline_always
)]

pub mod air;
mod allowance;
mod behind;
pub mod calibrate;
pub mod constants;
pub mod dose;
pub mod exposure;
pub mod film;
pub mod jet;
mod line_bend;
pub mod map;
pub mod modal;
mod of_material;
mod open;
mod quick;
mod ranges;
mod recipe;
mod rows;
mod sheet;
pub mod slab;
pub mod tools;
pub mod touch;

pub use allowance::Allowances;
pub use behind::{Foam, behind, foam_for};
pub use dose::Dose;
pub use exposure::{Exposure, Radiator};
pub use line_bend::{LineBend, line_bend};
pub use open::{Way, ways_to_a_window};
pub use quick::{Quick, QuickRecipe, quick, quick_rows};
pub use ranges::{Ranged, ranges, usual_spread};
pub use recipe::{
    Ask, Back, Behind, Binds, Body, Chart, ClosedBy, Grain, Hold, Need, NoWindow, Pulse, Recipe,
    Reheats, Window, recipe, window, wrap_of,
};
pub use rows::{Recipes, Vary, recipes};
pub use sheet::{Limits, Sheet, Wear};
pub use slab::{Face, History, Layer, Melting, Step, Table, Where, heat_slab};
pub use tools::gun::HotAirGun;
