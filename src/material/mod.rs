//! Room: material.
