#![doc = include_str!("theory.md")]

mod amount;
pub mod catalogue;
pub mod clock;
pub mod closing;
mod constants;
pub mod cure;
pub mod exotherm;
pub mod histories;
pub mod joint;
pub mod kinetics;
pub mod network;
mod ode;
mod quicker;
pub mod rank;
pub mod resin;
mod run;
pub mod schedule;
pub mod shift;
pub mod solvent;
pub mod strength;

pub use amount::{Amount, DROP, Laid, NOZZLE, Pack};
pub use catalogue::{Adhesive, Catalogue, Role, Substrate};
pub use clock::{Band, Clock};
pub use constants::CONSTANTS;
pub use cure::{Cure, Ready, ReadyBand};
pub use histories::ReadyColumns;
pub use joint::{Joint, JointAsk, joint};
pub use kinetics::Kinetics;
pub use network::{Diffusion, Glass, gel_conversion};
pub use quicker::Quicker;
pub use rank::{Conditions, Ranked, Ranking, Refused, coats, rank};
pub use resin::Resin;
pub use schedule::{Seam, cure_of};
pub use shift::{Fit, Shift};
pub use strength::{Load, Strength};
