//! What must hold for any input: conservation, bounds, monotonicity, the same answer for a seed.

// Helpers of tests may fail as loudly as the tests.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bond;
mod cost;
mod heat;
mod material;
mod mount;
mod outline;
mod promise;
mod ring;
mod shape;
mod spread;
mod stock;
