//! The whole job.

use jiff::civil::DateTime;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Folded, Grille, Panel, Part, Place, Pod, QuoteWords, Ring, Strap};
use crate::error::{Error, Result};
use crate::mount::place::Climate as Sun;
use crate::quantity::System;
use crate::shape::drawing::Page;

/// A job: what is to be made for one vehicle, or for several alike.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "mountwright job")]
pub struct Job {
    /// Version of this file's form: 1.
    #[schemars(extend("const" = crate::file::SCHEMA))]
    pub schema: u32,
    /// What the shop calls the job.
    pub name: String,
    /// Whether it is made up.
    #[serde(default)]
    pub invented: bool,
    /// Remarks that are printed with the plan.
    pub remarks: Option<String>,
    /// The vehicle in the shop's own words; no personal data is needed.
    pub vehicle: String,
    /// When work can start, as "2026-12-01 08:30".
    #[schemars(extend("format" = "moment", "examples" = ["2026-12-01 08:30"]))]
    pub start: String,
    /// How hot the sun makes the vehicle where it is parked.
    pub sun: Sun,
    /// Units on drawings and pages; metric where nothing is said.
    pub units: Option<System>,
    /// Paper of the drawings to print; Letter where units are inches, else A4.
    pub paper: Option<Page>,
    /// Vehicles alike that are made in one batch; 1 where nothing is said. Templates and set-up are made once, hands get quicker.
    #[schemars(range(min = 1, max = 100))]
    pub sets: Option<u32>,
    /// Blanks of each part that are cut besides and kept for next time.
    #[schemars(range(min = 0, max = 10))]
    pub spare_blanks: Option<u32>,
    /// When the vehicle comes in again to be fitted, as "2026-12-03 08:30"; it stays where nothing is said.
    #[schemars(extend("format" = "moment", "examples" = ["2026-12-01 08:30"]))]
    pub vehicle_back: Option<String>,
    /// What the quote says beside the price.
    pub quote: Option<QuoteWords>,
    /// Places on the vehicle.
    #[schemars(length(min = 1, max = 40))]
    pub places: Vec<Place>,
    /// Straps formed hot round a round body.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub straps: Vec<Strap>,
    /// Pods pressed or draped hot over a plug.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub pods: Vec<Pod>,
    /// Adapter rings.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub rings: Vec<Ring>,
    /// Flat trim panels.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub panels: Vec<Panel>,
    /// Panels folded hot along lines.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub folded: Vec<Folded>,
    /// Grilles.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub grilles: Vec<Grille>,
}

impl Job {
    /// The start as a civil time.
    ///
    /// # Errors
    /// [`Error::Unit`] where it is not of the form `2026-12-01 08:30`.
    pub fn start(&self) -> Result<DateTime> {
        civil("start", &self.start)
    }

    /// When the vehicle comes in again, as a civil time; `None` where it stays.
    ///
    /// # Errors
    /// [`Error::Unit`] where it is not of the form `2026-12-01 08:30`.
    pub fn vehicle_back(&self) -> Result<Option<DateTime>> {
        let back = self.vehicle_back.as_deref();
        back.map(|text| civil("vehicle_back", text)).transpose()
    }

    /// All parts with the key where each stands, kind by kind.
    pub fn parts(&self) -> Vec<(String, Part)> {
        fn keyed<T: Clone>(list: &[T], key: &str, part: fn(T) -> Part) -> Vec<(String, Part)> {
            let numbered = list.iter().cloned().enumerate();
            numbered
                .map(|(i, one)| (format!("{key}[{i}]"), part(one)))
                .collect()
        }
        [
            keyed(&self.straps, "straps", Part::Strap),
            keyed(&self.pods, "pods", Part::Pod),
            keyed(&self.rings, "rings", Part::Ring),
            keyed(&self.panels, "panels", Part::Panel),
            keyed(&self.folded, "folded", Part::Folded),
            keyed(&self.grilles, "grilles", Part::Grille),
        ]
        .concat()
    }

    /// Names of all parts with the key where each stands.
    pub fn part_names(&self) -> Vec<(String, String)> {
        let parts = self.parts().into_iter();
        parts.map(|(at, p)| (at, p.name().to_string())).collect()
    }
}

/// A civil time from its text.
pub(crate) fn civil(what: &str, text: &str) -> Result<DateTime> {
    DateTime::strptime("%Y-%m-%d %H:%M", text).map_err(|_| Error::Unit {
        what: what.into(),
        given: text.chars().take(40).collect(),
        expected: "a date and a time such as \"2026-12-01 08:30\"".into(),
        remedy: "write year-month-day hour:minute".into(),
    })
}
