//! Room: cost.
