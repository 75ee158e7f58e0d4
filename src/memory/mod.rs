#![doc = include_str!("theory.md")]

mod accept;
mod again;
mod ask;
mod close;
mod constants;
mod fault;
mod guns;
mod known;
mod labels;
mod learn;
mod loaded;
mod open;
mod patterns;
mod plain;
mod planned;
mod rack;
#[cfg(test)]
mod tests;
mod update;
mod words;

pub use accept::{Accepted, JobEntry, JobState};
pub use again::{Again, OtherSide};
pub use ask::{Answer, Question};
pub use close::{Closing, Comeback, Covered, Season};
pub use constants::ALL as CONSTANTS;
pub use guns::Trial;
pub use labels::labels;
pub use learn::{Factor, Taught};
pub use open::Memory;
pub use patterns::{Pattern, Tend};
pub use planned::{Nominal, Planned, PlannedJob, Recipe};
pub use rack::{NewOffcut, Offcut, SheetCount};
pub use update::{Belief, Student};
