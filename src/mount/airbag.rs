//! Air bags and the driver's view come first: where either is a yes or a doubt, nothing is planned.

use serde::{Deserialize, Serialize};

use super::place::Zone;

/// Yes, no, or not known; not known counts as yes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)] // each name says it
pub enum Answer {
    Yes,
    No,
    Unknown,
}

/// Why nothing is planned for a place, what to find out, and where to look instead.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Refusal {
    /// Why.
    pub why: String,
    /// What to find out, and where.
    pub find_out: Vec<String>,
    /// Places to consider; each is asked the same two questions again.
    pub consider_instead: Vec<String>,
}

/// Refuses a place on or near an air bag's path or in the driver's view; `None` where both answers are a plain no.
///
/// A `None` is no approval: the vehicle maker's instructions and licensed practice decide.
///
/// ```
/// use mountwright::mount::airbag::{refuse, Answer};
/// use mountwright::mount::place::Zone;
/// assert!(refuse(Zone::UpperPillar, Answer::Unknown, Answer::No).is_some());
/// assert!(refuse(Zone::Door, Answer::No, Answer::No).is_none());
/// ```
pub fn refuse(zone: Zone, airbag: Answer, driver_view: Answer) -> Option<Refusal> {
    let bag = match airbag {
        Answer::No => None,
        Answer::Yes => Some(
            "an air bag sits or deploys here: a mount in its path is thrown into the cabin or stops the bag",
        ),
        Answer::Unknown => {
            Some("it is not known whether an air bag sits or deploys here; not known counts as yes")
        }
    };
    let view = match driver_view {
        Answer::No => None,
        Answer::Yes => {
            Some("the place is in the driver's view of the road, mirrors or instruments")
        }
        Answer::Unknown => Some(
            "it is not known whether the place is in the driver's view; not known counts as yes",
        ),
    };
    if bag.is_none() && view.is_none() {
        return None;
    }
    let reasons: Vec<&str> = [bag, view].into_iter().flatten().collect();
    let mut find_out = Vec::new();
    if bag.is_some() {
        find_out.push("the vehicle maker's repair and rescue information: where each bag, its inflator, tether and path lie, by model year and trim level".to_string());
        find_out.push("marks on the trim and at the edge of the part that tell of a bag; the absence of a mark proves nothing".to_string());
        find_out.push("the maker's procedure for disconnecting the battery and the wait before trim is touched".to_string());
    }
    if view.is_some() {
        find_out.push("the driver's view from the lowest and the highest seat position, mirrors and instruments included, and the local rules on it".to_string());
    }
    let consider_instead = Zone::ALL
        .into_iter()
        .filter(|&z| z != zone && z != Zone::UpperPillar && z != Zone::DashTop)
        .map(|z| match z {
            Zone::CabinAir => {
                "kick panel, footwell or console, clear of pedals and of knee bags".to_string()
            }
            Zone::ParcelShelf => {
                "parcel shelf, well fastened, clear of rear curtain bags".to_string()
            }
            _ => "the maker's own speaker place in the door, behind its grille".to_string(),
        })
        .collect();
    Some(Refusal {
        why: format!(
            "nothing is planned for the {}: {}",
            zone.name(),
            reasons.join("; ")
        ),
        find_out,
        consider_instead,
    })
}
