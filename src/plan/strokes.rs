//! A recipe as it is worked at the bench: strokes, turns, what to see and feel, where to stop.
//!
//! The cue comes first: the sheet is seen to be limp, and seconds are counted from there. A clock alone would stop half of
//! the sheets before they are limp, since guns differ more than sheets do. Figures are the middle of the draws.

use super::practice::STROKE;
use super::result::{Band, LimitsShort};
use crate::file::Time;
use crate::heat::Recipe;
use crate::job::{Heat, Need};
use crate::quantity::{Dimension, System, show};

/// What hands and ranges support. [s]
const BEAT_S: f64 = 5.0;

/// The times that the bench is told.
pub(super) struct Told {
    shape: Band,
    hold: Band,
    touch: Band,
    /// As in [`super::result::RecipeShort`]. [s]
    pub(super) more_s: Option<f64>,
    pub(super) too_long_s: Option<f64>,
    pub(super) latest_s: Option<f64>,
}

impl Told {
    /// From limp, shaping, hold and touch, and from what follows limp: soft enough, the best stop and too hot.
    pub(super) fn new(times: &[Band; 4], [enough_s, past_limp_s, window_s]: [Band; 3]) -> Self {
        let [limp_s, shape, hold, touch] = *times;
        let low = |band: Band| band.p10.or(band.nominal).map(down);
        let hot_s = low(window_s);
        // One beat apart at least, else there is no time to count; but never before the middle of the sheets are soft enough
        // for a shape that needs more than limp.
        let enough = middle(enough_s).map_or(0.0, |s| (s / BEAT_S).ceil() * BEAT_S);
        let more_s = low(past_limp_s).map(|s| {
            hot_s
                .map_or(s, |most| s.min(most - BEAT_S))
                .max(enough.max(0.0))
        });
        let too_long_s = hot_s.filter(|&hot| more_s.is_none_or(|more| hot > more || enough <= 0.0));
        let latest_s = more_s.and_then(|more| match (limp_s.p90, limp_s.nominal) {
            (Some(late), _) => Some(up(late) + more),
            (None, Some(limp)) => Some(up(limp) + too_long_s.unwrap_or(more)),
            _ => None,
        });
        Self {
            shape,
            hold,
            touch,
            more_s,
            too_long_s,
            latest_s,
        }
    }
}

/// Down to whole beats. [s]
fn down(seconds: f64) -> f64 {
    (seconds / BEAT_S).floor() * BEAT_S
}

/// Up to whole beats, one at least. [s]
fn up(seconds: f64) -> f64 {
    // What lies on a beat but for rounding stays there.
    ((seconds / BEAT_S - 1e-9).ceil() * BEAT_S).max(BEAT_S)
}

/// Down to whole beats; what is shorter than one in whole seconds. [s]
fn at_most(seconds: f64) -> f64 {
    if seconds < BEAT_S {
        seconds.floor()
    } else {
        down(seconds + 1e-9)
    }
}

/// As a stop watch shows it.
fn watch(seconds: f64) -> String {
    let whole = seconds.round();
    format!("{:.0}:{:02.0}", (whole / 60.0).floor(), whole % 60.0)
}

/// The middle of the draws; the likeliest without them.
fn middle(band: Band) -> Option<f64> {
    band.p50.or(band.nominal)
}

/// What the faces have about a time of heating, over a turn before and after it: coolest and hottest. [K]
fn read_about(recipe: &Recipe, t_s: f64, turn_s: f64) -> Option<(f64, f64)> {
    let chart = recipe.history.as_ref()?;
    let times = chart
        .t_s
        .iter()
        .zip(chart.front_k.iter().zip(&chart.back_k));
    times
        .filter(|&(&t, _)| (t - t_s).abs() <= turn_s)
        .flat_map(|(_, (&front, &back))| [front, back])
        .fold(None, |seen, k| {
            Some(seen.map_or((k, k), |(low, high): (f64, f64)| (low.min(k), high.max(k))))
        })
}

/// The steps in order; empty where there is no window. `dry_first` says whether it has to be dry, `turning` how its
/// other face is heated, `shaping` what is done with the hot sheet.
pub(super) fn strokes(
    heat: &Heat,
    (dry_first, turning, shaping): (Option<&str>, &str, &str),
    (recipe, told): (&Recipe, &Told),
    gun: &str,
    limits: &LimitsShort,
    body_limit_k: Option<f64>,
    units: System,
) -> Vec<String> {
    let stroke = STROKE.value;
    let (Some(_), Some(limp_s), Some(more)) = (recipe.opens_s, recipe.limp_s, told.more_s) else {
        return vec![];
    };
    let turn_s = heat.turn_every.map_or(stroke, Time::si).max(stroke);
    let far = show(heat.gun_distance.si(), Dimension::Length, units, 0);
    let warm = |k: f64| show(k, Dimension::Temperature, units, 0);
    let turned = heat.turn_every.map_or_else(String::new, |every| {
        format!("; {turning} every {:.0} s", every.si())
    });
    let mut lines = vec![];
    lines.extend(dry_first.map(str::to_string));
    lines.extend([
        "Extraction, gloves and glasses on; no solvent or glue open nearby; protective film off."
            .to_string(),
        format!("{gun}, nozzle {far} from the sheet; let it run until it is steady."),
        format!(
            "Keep it moving, {stroke:.0} s a stroke along the heated zone{turned}. Watch the sheet, not the clock."
        ),
        format!(
            "Limp: it bends under its own weight, in a frame it sags{}.",
            read_about(recipe, limp_s, turn_s).map_or_else(String::new, |(cool, hot)| format!(
                " and reads {} to {} (infrared, emissivity 0.95)",
                warm(cool),
                warm(hot)
            )),
        ),
    ]);
    let wait = if more > 0.0 {
        let until = match heat.need {
            Need::Limp => String::new(),
            Need::Formable => format!(
                " until it draws without a fight (its middle has {})",
                warm(limits.formable_k)
            ),
        };
        format!("Once it is limp, {more:.0} s more{until}, then stop")
    } else {
        "Once it is limp, stop at once".into()
    };
    lines.push(match told.too_long_s {
        Some(most) if most > more => format!("{wait}; {most:.0} s more is too long."),
        _ => format!("{wait}."),
    });
    let off = told.latest_s.map_or_else(String::new, |latest| {
        format!("; gun off at {}, limp or not", watch(latest))
    });
    lines.push(format!(
        "Stop at once if the face shines, yellows, smells sharp or reads over {}{off}.",
        warm(recipe.peak_face_k)
    ));
    if let Some(working) = middle(told.shape) {
        lines.push(format!(
            "You have {} to {shaping}.",
            watch(at_most(working))
        ));
    }
    if let Some(hold) = middle(told.hold) {
        lines.push(format!(
            "Hold it still until {} after the stop, longer where it gives; it is set below {}.{}",
            // Who lets go early has lost the shape.
            watch(up(hold)),
            warm(limits.set_k),
            // What burns is told at its late end.
            (told.touch.p90.or(told.touch.nominal)).map_or_else(String::new, |touch| format!(
                " Gloves on until {}.",
                watch(up(touch))
            ))
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

#[cfg(test)]
mod tests {
    use super::*;

    fn band(p10: f64, p50: f64, p90: f64) -> Band {
        Band {
            nominal: Some(p50),
            p10: Some(p10),
            p50: Some(p50),
            p90: Some(p90),
            error: None,
        }
    }

    /// Whatever the draws say, seconds are counted before it is too hot, and the clock ends no run that is limp in time.
    #[test]
    fn the_stop_lies_between_limp_and_too_hot() {
        for (past, window) in [(1.0, 3.0), (8.0, 9.0), (8.0, 17.0), (40.0, 44.0)] {
            let limp = band(43.0, 58.0, 84.0);
            let told = Told::new(
                &[limp; 4],
                [
                    band(0.0, 0.0, 0.0),
                    band(past, past, past),
                    band(window, window, window),
                ],
            );
            let (more, most) = (told.more_s.unwrap(), told.too_long_s.unwrap());
            assert!(0.0 <= more && more <= past && more <= window, "{past}");
            assert!(most <= window && (more < most || most == 0.0), "{window}");
            assert!(told.latest_s.unwrap() >= 84.0 + more);
        }
    }

    /// A shape that needs more than limp is not stopped before the middle of the sheets has it.
    #[test]
    fn formable_is_waited_for() {
        for (enough, past, window) in [(12.8, 20.0, 19.0), (8.0, 12.0, 30.0), (21.0, 26.0, 25.0)] {
            let limp = band(43.0, 58.0, 84.0);
            let all = [enough, past, window].map(|s| band(s, s, s));
            let told = Told::new(&[limp; 4], all);
            let more = told.more_s.unwrap();
            assert!(enough <= more && more < enough + 2.0 * BEAT_S, "{more}");
            assert!(
                told.too_long_s
                    .is_none_or(|most| more < most && most <= window)
            );
        }
    }

    #[test]
    fn a_stop_watch_shows_minutes_and_seconds() {
        assert_eq!(watch(60.0), "1:00");
        assert_eq!(watch(5.0), "0:05");
        assert_eq!(watch(125.0), "2:05");
    }

    /// Time to shape is never told longer than it is, a hold never shorter; neither by more than a beat.
    #[test]
    fn times_are_rounded_to_the_safe_side() {
        for seconds in [0.4, 3.7, 5.0, 58.7, 60.0, 60.1, 126.0] {
            assert!(at_most(seconds) <= seconds && seconds - at_most(seconds) < BEAT_S);
            assert!(up(seconds) >= seconds && up(seconds) - seconds < BEAT_S);
        }
    }
}
