//! Adhesives: which suits a joint, how much, and when it can be handled.

pub mod cure;
