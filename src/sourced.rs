//! A number never travels alone: its value, the bounds of the grades that a shop will meet, its unit, its source and its standing.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::spread::Law;

/// Where a number comes from.
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
pub enum Standing {
    /// Read in the source that is named.
    Published,
    /// A fact of the trade without a single source.
    CommonPractice,
    /// From memory; no copy of a source was found.
    Remembered,
    /// Computed here from other numbers; the note gives the formula.
    Derived,
    /// Measured by the shop on its own sheet or tool.
    MeasuredByShop,
    /// Stated by the user in a file of their own: a price, a rate, a size.
    User,
    /// Made up for a scenario.
    Invented,
}

/// A value with the bounds of its grades, its source and its standing.
///
/// `low` and `high` are what a shop will meet, not a confidence interval; [`Sourced::law`] turns them
/// into the law from which draws are taken.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sourced {
    /// Most likely value, SI.
    pub value: f64,
    /// Least value met, SI.
    pub low: f64,
    /// Greatest value met, SI.
    pub high: f64,
    /// SI unit, `"1"` for a pure number.
    pub unit: String,
    /// Key of the source, or several separated by `, `.
    pub source: String,
    /// Where it comes from.
    pub standing: Standing,
    /// Conditions, test standard, conflicts; may be empty.
    #[serde(default)]
    pub note: String,
}

impl Sourced {
    /// What is wrong with it in a catalogue where its unit should be `unit` and its source keys are among `known`: bounds out of order, another
    /// unit, a source that is not listed.
    pub fn faults(&self, unit: &str, known: &BTreeMap<String, String>) -> Vec<String> {
        let mut found = Vec::new();
        if self.unit != unit {
            found.push(format!("unit is \"{}\", expected \"{unit}\"", self.unit));
        }
        if !(self.low <= self.value && self.value <= self.high) {
            found.push(format!(
                "low {}, value {}, high {}: must not fall",
                self.low, self.value, self.high
            ));
        }
        for key in self.source.split(", ") {
            if !known.contains_key(key) {
                found.push(format!("no source is called \"{key}\""));
            }
        }
        found
    }

    /// The law that every plan draws it from: triangular(low, value, high), fixed where the bounds meet.
    ///
    /// ```
    /// use mountwright::sourced::{Sourced, Standing};
    /// let k = Sourced { value: 0.18, low: 0.17, high: 0.23, unit: "W/m/K".into(),
    ///     source: "made up".into(), standing: Standing::Invented, note: String::new() };
    /// assert!((k.law().mean() - (0.17 + 0.18 + 0.23) / 3.0).abs() < 1e-15);
    /// ```
    pub fn law(&self) -> Law {
        if self.high > self.low {
            Law::Triangular {
                low: self.low,
                likely: self.value,
                high: self.high,
            }
        } else {
            Law::Fixed { value: self.value }
        }
    }
}

impl Standing {
    /// Its name, as files and results write it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Published => "published",
            Self::CommonPractice => "common-practice",
            Self::Remembered => "remembered",
            Self::Derived => "derived",
            Self::MeasuredByShop => "measured-by-shop",
            Self::User => "user",
            Self::Invented => "invented",
        }
    }
}

/// A constant of the program with its provenance, for use in `const` tables beside the formula that needs it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Constant {
    /// Name, unique in the library: `jet.velocity_decay`.
    pub name: &'static str,
    /// Most likely value, SI.
    pub value: f64,
    /// Least value met, SI.
    pub low: f64,
    /// Greatest value met, SI.
    pub high: f64,
    /// SI unit, `"1"` for a pure number.
    pub unit: &'static str,
    /// The source in words: author, title, year, place.
    pub source: &'static str,
    /// Where it comes from.
    pub standing: Standing,
}

impl Constant {
    /// What the trade does, without a source.
    pub const fn practice(
        name: &'static str,
        [low, value, high]: [f64; 3],
        unit: &'static str,
    ) -> Self {
        Self {
            name,
            value,
            low,
            high,
            unit,
            source: "common practice, no source",
            standing: Standing::CommonPractice,
        }
    }

    /// A number without a range: exact by definition, or printed in a formula.
    pub const fn exact(
        name: &'static str,
        value: f64,
        unit: &'static str,
        source: &'static str,
        standing: Standing,
    ) -> Self {
        Self {
            name,
            value,
            low: value,
            high: value,
            unit,
            source,
            standing,
        }
    }

    /// The same as a [`Sourced`].
    pub fn sourced(&self) -> Sourced {
        Sourced {
            value: self.value,
            low: self.low,
            high: self.high,
            unit: self.unit.into(),
            source: self.source.into(),
            standing: self.standing,
            note: String::new(),
        }
    }
}
