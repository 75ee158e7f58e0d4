#![doc = include_str!("theory.md")]

pub mod catalogue;
pub mod clock;
pub mod cure;
pub mod joint;
pub mod rank;
pub mod schedule;
pub mod solvent;
pub mod strength;

pub use catalogue::{Adhesive, Catalogue, Role, Substrate};
pub use clock::{Band, Clock, Shift};
pub use cure::{Cure, Ready};
pub use joint::{Amount, Joint, JointAsk, Laid, Pack, joint};
pub use rank::{Conditions, Ranked, Ranking, Refused, rank};
pub use schedule::{Seam, cure_of};
pub use strength::{Load, Strength};
