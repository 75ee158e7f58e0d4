//! The line bend: how long a strip is soaked, and how wide it becomes soft.

use serde::Serialize;

use super::recipe::{Ask, Recipe, recipe};
use super::tools::bar::soft_width_m;
use crate::error::{Note, Result};

/// A bend along a line that a heated strip has softened.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LineBend {
    /// The soak is its `opens_s` to `closes_s`; `stop_s` is the middle.
    pub recipe: Recipe,
    /// Width that is soft at the end of the soak, an upper bound; `None` without a window. [m]
    pub soft_width_m: Option<f64>,
}

/// Works out the soak of a line bend, and the width that becomes soft beside a strip `strip_m` wide.
///
/// The soak is a recipe through the thickness, good where the strip is wider than three thicknesses; a note says so where it
/// is not. The width is [`soft_width_m`] with the diffusivity at the temperature that the shape needs.
///
/// # Errors
/// As [`recipe`] and [`soft_width_m`].
///
/// ```
/// use mountwright::heat::{Ask, Back, Limits, Sheet, Table, Wear, line_bend, tools::bar::Bar};
/// let sheet = Sheet::new(3e-3, 1180.0, Table::constant(0.19), Table::constant(1470.0), None, 0.9)?;
/// let limits = Limits { limp_k: 413.0, formable_k: 423.0, upper_k: 463.0, set_k: 353.0,
///     fume_onset_k: None, dose: None, wear: Wear::USUAL };
/// let bar = Bar { surface_k: 450.0, pressed_soft: false }.exposure()?;
/// let bend = line_bend(&Ask::new(sheet, limits, bar, 293.15, Back::SameHeat), 0.012)?;
/// assert!(bend.soft_width_m > Some(0.012));
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn line_bend(ask: &Ask, strip_m: f64) -> Result<LineBend> {
    let mut recipe = recipe(ask)?;
    let sheet = &ask.sheet;
    let need_k = ask.need_k();
    let diffusivity = sheet.conductivity_factor * sheet.conductivity_w_m_k.at(need_k)
        / (sheet.heat_capacity_factor
            * sheet.density_kg_m3
            * sheet.heat_capacity_j_kg_k.at(need_k));
    let soft_width_m = recipe
        .stop_s
        .map(|stop| {
            soft_width_m(
                strip_m,
                diffusivity,
                stop,
                [ask.air_k, need_k, recipe.peak_face_k],
            )
        })
        .transpose()?;
    if strip_m < NARROW * sheet.thickness_m {
        recipe.notes.push(Note::new(
            "line bend",
            "the strip is narrower than three thicknesses: heat runs off sideways, and the soak is longer than this",
        ));
    }
    Ok(LineBend {
        recipe,
        soft_width_m,
    })
}

/// Strips narrower than this many thicknesses are not heated through the thickness alone.
const NARROW: f64 = 3.0;
