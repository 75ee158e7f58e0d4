//! The thinnest place of a drawn pod.

use super::check::{Check, MarginKind, Rule, Sense, mm_up};
use crate::error::{Range, Result, check};
use crate::shape::draw::{ESTIMATED_RESERVE, LEAST_SHARE, LEAST_WALL_M};
use crate::sourced::Standing;

const WALL: Rule = Rule {
    name: "thinnest wall",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Fraction,
    reserve: 0.1,
    source: "half of the sheet and 1.5 mm; common practice, no source",
    standing: Standing::CommonPractice,
};

/// What an estimated wall must have in hand to pass, common practice, no source.
const ESTIMATED: Rule = Rule {
    reserve: ESTIMATED_RESERVE.value,
    source: "half of the sheet and 1.5 mm, and half as much again where no published law gives the thinnest place; common practice, no source",
    ..WALL
};

/// Thinnest place of a drawn pod against half of its sheet and 1.5 mm.
///
/// One that is only `estimated` passes with half as much again, and is marginal below that.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a thickness that a sheet cannot have, or a wall thicker than its sheet.
///
/// ```
/// use mountwright::mount::{Verdict, wall};
/// assert_eq!(wall("pod", 0.0014, 0.003, false)?.verdict, Verdict::Fail);
/// assert_eq!(wall("pod", 0.0020, 0.003, false)?.verdict, Verdict::Pass);
/// assert_eq!(wall("pod", 0.0020, 0.003, true)?.verdict, Verdict::Marginal);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn wall(part: &str, thinnest_m: f64, sheet_m: f64, estimated: bool) -> Result<Check> {
    let sheet = check(
        "sheet_m",
        sheet_m,
        Range::new(3e-4, 0.025, "m"),
        "measure the sheet",
    )?;
    let thinnest = check(
        "thinnest_m",
        thinnest_m,
        Range::new(0.0, sheet * (1.0 + 1e-9), "m"),
        "a drawn wall is no thicker than its sheet",
    )?;
    let limit = LEAST_WALL_M.value.max(LEAST_SHARE.value * sheet);
    let (rule, word) = if estimated {
        (ESTIMATED, "about ")
    } else {
        (WALL, "")
    };
    let why = format!(
        "{word}{:.2} mm of a sheet of {:.2} mm at its thinnest, {:.2} mm needed",
        thinnest * 1e3,
        sheet * 1e3,
        limit * 1e3
    );
    Ok(rule.judge(part, thinnest, limit, why, || {
        let share = thinnest / sheet;
        if share >= LEAST_SHARE.value * (1.0 + rule.reserve) {
            let enough = LEAST_WALL_M.value * (1.0 + rule.reserve) / share;
            format!("sheet of {:.1} mm", mm_up(enough, 0.5))
        } else {
            "a shallower and more tapered plug, or the sheet draped free: too little of any sheet is left"
                .into()
        }
    }))
}
