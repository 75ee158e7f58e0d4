//! Room: finish.
