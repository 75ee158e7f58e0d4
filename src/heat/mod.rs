//! Room: heat.
