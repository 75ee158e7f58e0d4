//! Bad and hostile input: a typed error, never a panic, a hang or a NaN.
