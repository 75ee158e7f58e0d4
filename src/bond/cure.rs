//! When a joint can be handled, if it is started then.

use serde::Serialize;

/// A cure or a drying that has no length until it has a start in a climate.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cure {
    /// Adhesive, paint or filler.
    pub name: String,
}
