//! Room: mount.
