//! A recipe as it is worked at the bench: strokes, turns, what to see and feel, where to stop.

use super::practice::STROKE;
use super::result::LimitsShort;
use crate::heat::Recipe;
use crate::job::Heat;
use crate::quantity::{Dimension, System, show};

/// Rounded to what hands and ranges support: 5 s. [s]
fn to_five(seconds: f64) -> f64 {
    (seconds / 5.0).round() * 5.0
}

/// What the two faces have at a time of heating, the cooler first. [K]
fn read_at(recipe: &Recipe, t_s: f64) -> Option<(f64, f64)> {
    let chart = recipe.history.as_ref()?;
    let i = chart.t_s.iter().position(|&t| t >= t_s)?;
    let (front, back) = (chart.front_k.get(i)?, chart.back_k.get(i)?);
    Some((front.min(*back), front.max(*back)))
}

/// The steps in order; empty where there is no window. `shaping` says what is done with the hot sheet.
pub(super) fn strokes(
    heat: &Heat,
    shaping: &str,
    recipe: &Recipe,
    gun: &str,
    limits: &LimitsShort,
    body_limit_k: Option<f64>,
    units: System,
) -> Vec<String> {
    let stroke = STROKE.value;
    let (Some(opens), Some(stop)) = (recipe.opens_s, recipe.stop_s) else {
        return vec![];
    };
    let far = show(heat.gun_distance.si(), Dimension::Length, units, 0);
    let warm = |k: f64| show(k, Dimension::Temperature, units, 0);
    let mut lines = vec![
        "Extraction, gloves and glasses on; no solvent or glue open nearby; protective film off."
            .to_string(),
        format!("{gun}, nozzle {far} from the sheet; let it run until it is steady."),
    ];
    match (heat.turn_every, recipe.turns) {
        (Some(every), Some(turns)) => lines.push(format!(
            "Keep it moving, {stroke:.0} s a stroke along the whole heated zone; turn it over every {:.0} s, about {turns} turns.",
            every.si()
        )),
        _ => lines.push(format!("Keep it moving, {stroke:.0} s a stroke along the whole heated zone.")),
    }
    lines.push(format!(
        "From about {:.0} s it goes limp: it bends under its own weight{}. Stop at about {:.0} s.",
        to_five(opens),
        read_at(recipe, opens).map_or_else(String::new, |(cool, hot)| format!(
            ", and its faces read {} to {} by an infrared thermometer set to an emissivity of 0.95",
            warm(cool),
            warm(hot)
        )),
        to_five(stop)
    ));
    if let Some(closes) = recipe.closes_s {
        lines.push(format!(
            "Stop at once, whatever the clock says, if the face shines, yellows or smells sharp; {:.0} s is too long. An infrared thermometer reads at most {} on the face.",
            to_five(closes),
            warm(recipe.peak_face_k)
        ));
    }
    if let Some(working) = recipe.working_time_s {
        lines.push(format!(
            "You have about {:.0} s to {}.",
            to_five(working).max(5.0),
            shaping
        ));
    }
    if let Some(hold) = recipe.hold_s {
        lines.push(format!(
            "Hold it still until {:.0} s after the heat, longer where it still gives; it is set when it reads below {}.",
            to_five(hold).max(5.0),
            warm(limits.set_k)
        ));
    }
    if let Some(touch) = recipe.touch_s {
        lines.push(format!(
            "Gloves stay on until {:.0} s after the heat.",
            to_five(touch).max(5.0)
        ));
    }
    if let (Some(peak), Some(limit)) = (recipe.behind.map(|b| b.face_k), body_limit_k) {
        let verdict = if peak <= limit {
            "below"
        } else {
            "ABOVE: form on a plug instead of the real part,"
        };
        lines.push(format!(
            "Behind the foam the part's face reaches {}, {verdict} its limit of {}.",
            warm(peak),
            warm(limit)
        ));
    }
    if let Some(reheats) = recipe.reheats {
        lines.push(format!(
            "Came out wrong? Heat it again, at most {} more times.",
            reheats.left
        ));
    }
    lines
}
