#![doc = include_str!("theory.md")]

mod calendar;
mod network;
mod order;
mod place;
mod profile;
mod project;
mod promised;
mod relax;
mod search;

pub use calendar::{Calendar, Window};
pub use network::{Activity, CriticalPath, Float, Pert, critical_path, pert};
pub use order::{Bench, Entry, Schedule, Times, order, replay};
pub use project::{Project, ProjectJob};
pub use promised::{Promise, order_and_promise, promise, promise_from};
