//! What must hold for any input: conservation, bounds, monotonicity, the same answer for a seed.
