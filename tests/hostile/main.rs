//! Bad and hostile input: a typed error, never a panic, a hang or a NaN.

// Helpers of tests may fail as loudly as the tests.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bond;
mod cost;
mod finish;
mod heat;
mod material;
mod mount;
mod outline;
mod promise;
mod shape;
mod spread;
mod stock;
