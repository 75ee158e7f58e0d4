//! The only form of work that stages hand on.
//!
//! `promise` puts tasks on the calendar and `cost` prices their attended time; both read the same list and the same draws.

use serde::Serialize;

use crate::bond::cure::Cure;
use crate::spread::Law;

/// What kind of work a task is; decides learning (only hands learn) and the line on the estimate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// Measuring the vehicle and the driver.
    Measure,
    /// Making or fetching a template.
    Template,
    /// Sawing, routing, drilling, trimming.
    Cut,
    /// Drying sheet in an oven before it is heated to form.
    Dry,
    /// Heating, moved all the time.
    Heat,
    /// Pressing, folding, holding until set.
    Form,
    /// Trying on the vehicle and correcting.
    TrialFit,
    /// Preparing, gluing, clamping.
    Bond,
    /// Filling, texturing, wrapping, painting.
    Finish,
    /// Fitting to the vehicle.
    Fit,
    /// Polarity, rattle, seal, clean up, hand back.
    HandBack,
}

impl Kind {
    /// Every kind, in the order of the work.
    pub const ALL: [Self; 11] = [
        Self::Measure,
        Self::Template,
        Self::Cut,
        Self::Dry,
        Self::Heat,
        Self::Form,
        Self::TrialFit,
        Self::Bond,
        Self::Finish,
        Self::Fit,
        Self::HandBack,
    ];

    /// Its name in files and results.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Measure => "measure",
            Self::Template => "template",
            Self::Cut => "cut",
            Self::Dry => "dry",
            Self::Heat => "heat",
            Self::Form => "form",
            Self::TrialFit => "trial-fit",
            Self::Bond => "bond",
            Self::Finish => "finish",
            Self::Fit => "fit",
            Self::HandBack => "hand-back",
        }
    }

    /// Whether hands set its pace, so that it gets quicker over a batch; heating and holding are paced by the sheet.
    pub const fn learns(self) -> bool {
        !matches!(self, Self::Heat | Self::Form)
    }

    /// Its name on an estimate.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Measure => "measuring",
            Self::Template => "template",
            Self::Cut => "cutting",
            Self::Dry => "drying",
            Self::Heat => "heating",
            Self::Form => "forming",
            Self::TrialFit => "trial fit",
            Self::Bond => "bonding",
            Self::Finish => "finishing",
            Self::Fit => "fitting",
            Self::HandBack => "testing and handing back",
        }
    }
}

/// What runs on without anybody after the attended part.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Unattended {
    /// Nothing.
    None,
    /// A wait whose length is known beforehand: cooling, soaking, delivery. [s]
    Fixed(Law),
    /// A cure or a drying, which has no length until `promise` gives it a start in the shop's climate.
    /// The joint counts as done at handling strength.
    Cure(Box<Cure>),
}

/// One piece of work.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Task {
    /// Name, unique in the plan: `left pod / wrap`.
    pub id: String,
    /// The part that it belongs to; `None` for work of the whole job.
    pub part: Option<String>,
    /// What kind of work.
    pub kind: Kind,
    /// Attended time at the usual pace of one fabricator. [s]
    pub attended: Law,
    /// What runs on alone after it.
    pub unattended: Unattended,
    /// Tasks (their `id`) that must be done, with their unattended part, before this starts.
    pub after: Vec<String>,
    /// Whether it may be stopped at closing time and taken up next day; forming and bonding never.
    pub may_split: bool,
    /// Longest wait allowed between the end of the last `after` and the start of this. [s]
    pub max_wait_s: Option<f64>,
    /// Whether it is done once for the batch rather than for each part (does not learn).
    pub once: bool,
}
