//! Room: promise.
