//! What one check says: the figure, the limit, the margin, the verdict, why, and what would mend it.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::error::Result;
use crate::sourced::Standing;

/// What every set of checks ends with. No output of this library approves a mount.
pub const CLOSING: &str =
    "no fault found by these checks; the vehicle maker's instructions and licensed practice decide";

/// The outcome of one check, mildest first.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Inside the limit with the usual reserve. It is not an approval.
    Pass,
    /// Inside the limit without the usual reserve, or beyond it only at the unlucky end of the spread.
    Marginal,
    /// Beyond the limit.
    Fail,
}

/// On which side of the limit the figure has to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Sense {
    /// The figure may be the limit at most.
    AtMost,
    /// The figure has to be the limit at least.
    AtLeast,
}

/// How the margin is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum MarginKind {
    /// Distance from the limit over the limit, a pure number.
    Fraction,
    /// Distance from the limit, in the unit of the figure.
    Difference,
}

/// One check of a finished mount.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Check {
    /// What was checked: `sag in the heat`.
    pub name: &'static str,
    /// The part that was checked.
    pub part: String,
    /// The figure found, in `unit`.
    pub figure: f64,
    /// What it is held against, in `unit`.
    pub limit: f64,
    /// SI unit of figure and limit, `"1"` for a pure number.
    pub unit: &'static str,
    /// Whether the limit is the most or the least allowed.
    pub sense: Sense,
    /// Distance from the limit, positive on the good side; see `margin_is`.
    pub margin: f64,
    /// Whether `margin` is a fraction of the limit or a difference in `unit`.
    pub margin_is: MarginKind,
    /// Pass, marginal or fail.
    pub verdict: Verdict,
    /// How the figure came about and what the limit means.
    pub why: String,
    /// What would pass, with numbers; there for every verdict but a pass.
    pub mend: Option<String>,
    /// Where the limit comes from.
    pub source: &'static str,
    /// Standing of the weakest number in the rule.
    pub standing: Standing,
}

impl fmt::Display for Check {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let verdict = match self.verdict {
            Verdict::Pass => "pass",
            Verdict::Marginal => "marginal",
            Verdict::Fail => "FAIL",
        };
        write!(f, "{verdict}: {}, {}: {}", self.part, self.name, self.why)?;
        if let Some(mend) = &self.mend {
            write!(f, "; mend: {mend}")?;
        }
        Ok(())
    }
}

/// The gravest verdict of a set; a pass where there is none.
pub fn worst(checks: &[Check]) -> Verdict {
    checks
        .iter()
        .map(|c| c.verdict)
        .max()
        .unwrap_or(Verdict::Pass)
}

/// One line for people about a set of checks; it never calls a mount approved.
///
/// ```
/// use mountwright::mount::{summary, CLOSING};
/// assert_eq!(summary(&[]), "nothing was checked");
/// assert!(!CLOSING.contains("approved"));
/// ```
pub fn summary(checks: &[Check]) -> String {
    let count = |v: Verdict| checks.iter().filter(|c| c.verdict == v).count();
    match (count(Verdict::Fail), count(Verdict::Marginal)) {
        _ if checks.is_empty() => "nothing was checked".into(),
        (0, 0) => CLOSING.into(),
        (0, m) => format!(
            "{m} of {} checks marginal; the vehicle maker's instructions and licensed practice decide",
            checks.len()
        ),
        (f, m) => format!(
            "{f} of {} checks fail, {m} marginal: do not build it so",
            checks.len()
        ),
    }
}

/// The fixed side of a check: everything but the two numbers and the words.
#[derive(Debug, Clone, Copy)]
pub(super) struct Rule {
    pub(super) name: &'static str,
    pub(super) unit: &'static str,
    pub(super) sense: Sense,
    pub(super) margin_is: MarginKind,
    /// Margin from which it is a pass; between 0 and this it is marginal.
    pub(super) reserve: f64,
    pub(super) source: &'static str,
    pub(super) standing: Standing,
}

impl Rule {
    /// The check of `figure` against `limit`; `mend` is asked only where it does not pass.
    pub(super) fn judge(
        self,
        part: &str,
        figure: f64,
        limit: f64,
        why: String,
        mend: impl FnOnce() -> String,
    ) -> Check {
        let distance = match self.sense {
            Sense::AtMost => limit - figure,
            Sense::AtLeast => figure - limit,
        };
        let margin = match self.margin_is {
            MarginKind::Difference => distance,
            MarginKind::Fraction => distance / limit.abs().max(f64::MIN_POSITIVE),
        };
        // The rounding of a difference or a quotient must not turn what is just right into what is not.
        let hair = match self.margin_is {
            MarginKind::Difference => 1e-9 * limit.abs(),
            MarginKind::Fraction => 1e-9,
        };
        let verdict = if margin >= self.reserve - hair {
            Verdict::Pass
        } else if margin >= -hair {
            Verdict::Marginal
        } else {
            Verdict::Fail
        };
        Check {
            name: self.name,
            part: part.to_string(),
            figure,
            limit,
            unit: self.unit,
            sense: self.sense,
            margin,
            margin_is: self.margin_is,
            verdict,
            why,
            mend: (verdict != Verdict::Pass).then(mend),
            source: self.source,
            standing: self.standing,
        }
    }
}

/// Puts "N mm instead of M mm" before the advice of a check that does not pass, where a thicker part would pass.
///
/// `again` is the same check with another thickness; the thickness found, in steps of half a millimetre up to four
/// times the part's own, passes it.
pub(super) fn or_thicker(
    found: Check,
    thickness_m: f64,
    again: impl Fn(f64) -> Result<Check>,
) -> Result<Check> {
    const STEP_M: f64 = 0.5e-3;
    if found.verdict == Verdict::Pass {
        return Ok(found);
    }
    let steps = |m: f64| (m / STEP_M).ceil();
    let (mut fails, mut passes) = ((thickness_m / STEP_M).floor(), steps(4.0 * thickness_m));
    if again(passes * STEP_M)?.verdict != Verdict::Pass {
        return Ok(found);
    }
    while passes - fails > 1.0 {
        let middle = f64::midpoint(fails, passes).floor();
        if again(middle * STEP_M)?.verdict == Verdict::Pass {
            passes = middle;
        } else {
            fails = middle;
        }
    }
    let thicker = format!(
        "{:.1} mm thick instead of {:.1} mm",
        passes * STEP_M * 1e3,
        thickness_m * 1e3
    );
    let mend = found.mend.map(|m| format!("{thicker}, or {m}"));
    Ok(Check { mend, ..found })
}

/// Puts "N screws instead of M" before the advice of a check that does not pass, where more screws would pass.
///
/// `again` is the same check with another number, in steps of `step` up to sixteen.
pub(super) fn or_more_screws(
    found: Check,
    (screws, step): (u32, u32),
    again: impl Fn(u32) -> Result<Check>,
) -> Result<Check> {
    const MOST: u32 = 16;
    if found.verdict == Verdict::Pass {
        return Ok(found);
    }
    let step = step.max(1);
    for n in (screws.saturating_add(step)..=MOST).step_by(step as usize) {
        if again(n)?.verdict == Verdict::Pass {
            let mend = (found.mend).map(|m| format!("{n} screws instead of {screws}, or {m}"));
            return Ok(Check { mend, ..found });
        }
    }
    Ok(found)
}

/// Millimetres rounded up to the next step, so that what is advised passes.
pub(super) fn mm_up(m: f64, step_mm: f64) -> f64 {
    ((m * 1e3 - 1e-9) / step_mm).ceil() * step_mm
}
