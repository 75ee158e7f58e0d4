//! Plans plastic mounts that are heat-formed and routed at the bench, from the sheet to the promise, each number with its range and its source.

#[cfg(feature = "python")]
mod bindings;
pub mod bond;
pub mod climate;
pub mod cost;
pub mod error;
pub mod file;
pub mod finish;
pub mod heat;
pub mod job;
pub mod material;
pub mod memory;
pub mod money;
pub mod mount;
pub mod outline;
pub mod physics;
pub mod plan;
pub mod promise;
pub mod provenance;
pub mod quantity;
pub mod shape;
pub mod shop;
pub mod sourced;
pub mod spread;
pub mod stock;
pub mod task;

pub use error::{Error, Result};
