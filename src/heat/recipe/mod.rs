//! How to heat one part: when its forming window opens and closes, how long it can be worked, when it has set.

mod answer;
mod ask;
mod cool;
mod warm;

pub use answer::{Binds, Chart, ClosedBy, NoWindow, Recipe, Reheats, recipe};
pub use ask::{Ask, Back, Body, Grain, Hold, Need};
pub use cool::Behind;
