//! Checks against the outside: published tables, worked examples, exact solutions. The source stands beside each check.

mod bond;
mod shape;
