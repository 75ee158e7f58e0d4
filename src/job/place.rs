//! A place on the vehicle.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::mount::airbag::Answer;
use crate::mount::place::Zone;

/// A place on the vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// What the shop calls it: "left pillar".
    pub name: String,
    /// Where in the cabin it is.
    pub zone: Zone,
    /// Whether an air bag, its tether or its path is there. Yes or unknown: nothing is planned for the place.
    pub airbag: Answer,
    /// Whether a part there stands in the driver's view. Yes or unknown: nothing is planned for the place.
    pub driver_view: Answer,
    /// Clips of the trim that is taken off there; some of them break.
    #[schemars(range(min = 0, max = 200))]
    pub trim_clips: Option<u32>,
}
