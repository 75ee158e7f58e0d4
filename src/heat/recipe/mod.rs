//! How to heat one part: when its forming window opens and closes, how long it can be worked, when it has set.

mod abreast;
mod answer;
mod ask;
mod cool;
mod warm;
mod window;

pub(crate) use abreast::{openings_abreast, recipes_abreast};
pub use answer::{Binds, Chart, ClosedBy, NoWindow, Recipe, Reheats, recipe};
pub use ask::{Ask, Back, Body, Grain, Hold, Need, Pulse, wrap_of};
pub(super) use ask::{PAST_OPENING, WRAP_MOST, WRAP_WIDTH};
pub use cool::Behind;
pub(crate) use window::temperatures;
pub use window::{Window, window};
