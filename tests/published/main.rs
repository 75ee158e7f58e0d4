//! Checks against the outside: published tables, worked examples, exact solutions. The source stands beside each check.

// Helpers of tests may fail as loudly as the tests.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bond;
mod bond_kinetics;
mod cost;
mod finish;
mod heat;
mod material;
mod memory;
mod mount;
mod outline;
mod promise;
mod shape;
mod spread;
mod stock;
