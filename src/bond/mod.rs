#![doc = include_str!("theory.md")]

pub mod clock;
pub mod cure;

pub use clock::{Band, Clock, Shift};
pub use cure::{Cure, Ready};
