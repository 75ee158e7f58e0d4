#![doc = include_str!("theory.md")]

mod band;
mod causes;
mod inputs;
mod law;

pub(crate) use band::sorted;
pub use band::{Band, percentile, percentiles};
pub use causes::{Cause, rank_correlation, ranked_causes};
pub(crate) use inputs::below;
pub use inputs::{Draws, InputId, Inputs};
pub use law::Law;
