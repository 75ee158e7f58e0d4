//! The window alone: for maps, searches and fits that need no cooling.

use serde::Serialize;

use super::answer::ClosedBy;
use super::ask::Ask;
use super::warm::{Warmed, warm};
use crate::error::Result;
use crate::heat::slab::Where;

/// When the forming window opens and closes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Window {
    /// The coldest point reaches what the shape needs, also after the window has closed; `None` if never. [s]
    pub warm_s: Option<f64>,
    /// The hottest point reaches its limit, or the dose is used up; `None` if never. [s]
    pub closes_s: Option<f64>,
    /// What closes it.
    pub closed_by: Option<ClosedBy>,
    /// A face begins to give off fumes; `None` if it does not before the window closes. [s]
    pub fumes_s: Option<f64>,
}

impl Window {
    /// Seconds that the window stays open: 0 where it never opens, infinite where it never closes.
    pub fn seconds(&self) -> f64 {
        match (self.warm_s, self.closes_s) {
            (None, _) => 0.0,
            (Some(_), None) => f64::INFINITY,
            (Some(warm), Some(close)) => (close - warm).max(0.0),
        }
    }
}

/// Works out the window alone, at some half of the cost of a recipe.
///
/// # Errors
/// As [`recipe`](super::recipe).
pub fn window(ask: &Ask) -> Result<Window> {
    ask.check()?;
    Ok(Window::of(ask, &warm(ask)?))
}

impl Window {
    /// What the record of a heat says.
    pub(crate) fn of(ask: &Ask, warmed: &Warmed) -> Self {
        let track = &warmed.run.walk.track;
        let fumes_s = ask.limits.fume_onset_k.and_then(|onset| {
            let (nodes, mut scratch) = (&warmed.nodes, Vec::new());
            track.first_time(nodes, Where::Hottest, onset, true, 0, &mut scratch)
        });
        let (closes_s, closed_by) = warmed.closes().unzip();
        Self {
            warm_s: warmed.opens_s,
            closes_s,
            closed_by,
            fumes_s,
        }
    }
}

/// Temperatures of a place at times of heating, whatever happens to the sheet.
pub(crate) fn temperatures(ask: &Ask, place: Where, t_s: &[f64]) -> Result<Vec<f64>> {
    ask.check()?;
    let mut warmed = Warmed::cold(ask)?;
    warmed.heat_until(t_s.iter().copied().fold(1e-3, f64::max))?;
    let mut profile = Vec::new();
    Ok(t_s
        .iter()
        .map(|&t| {
            warmed.run.walk.track.profile_at(t, &mut profile);
            warmed.nodes.value(place, &profile)
        })
        .collect())
}
