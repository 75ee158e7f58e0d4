//! Room: shape.
