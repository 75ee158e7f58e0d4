#![doc = include_str!("theory.md")]

mod band;
mod causes;
mod chance;
mod inputs;
mod law;
mod quantile;
mod shares;
mod variance;

pub(crate) use band::sorted;
pub use band::{Band, covering, percentile, percentile_interval, percentiles};
pub use causes::rank_correlation;
pub use chance::Chance;
pub use inputs::{Draws, InputId, Inputs};
pub(crate) use inputs::{below, stream};
pub use law::Law;
pub use quantile::Quantile;
pub use shares::{Share, shares};
pub use variance::{Row, VarianceShare, variance_shares};
