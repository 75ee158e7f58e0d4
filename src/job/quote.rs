//! What a quote says beside the price.

use jiff::civil::Date;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cost::Binding;
use crate::error::{Error, Result};
use crate::file::Share;

/// What a quote says to the customer beside the price.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct QuoteWords {
    /// The shop's number of the quote.
    pub number: Option<String>,
    /// Who it is for, in the shop's own words.
    pub customer: Option<String>,
    /// Day of the quote, as "2026-11-25"; the day on which work can start where nothing is said.
    #[schemars(extend("format" = "date", "examples" = ["2026-11-25"]))]
    pub date: Option<String>,
    /// Days for which it stands; 21 where nothing is said.
    #[schemars(range(min = 1, max = 365))]
    pub valid_days: Option<u16>,
    /// Whether the price is fixed or an estimate with a range; fixed where nothing is said.
    pub binding: Option<Binding>,
    /// Share of the price with tax that is paid when the work is ordered.
    #[schemars(extend("least" = "0 %", "most" = "100 %"))]
    pub deposit: Option<Share>,
    /// Discount on the net price.
    #[schemars(extend("least" = "0 %", "most" = "90 %"))]
    pub discount: Option<Share>,
    /// What the price rests on, beside what the plan says by itself.
    #[serde(default)]
    #[schemars(length(max = 20))]
    pub assumptions: Vec<String>,
    /// What is not in the price; the usual three where none is given.
    #[serde(default)]
    #[schemars(length(max = 20))]
    pub exclusions: Vec<String>,
    /// Numbers of vehicles alike for which prices are shown beside each other.
    #[serde(default)]
    #[schemars(extend("items" = {"type": "integer", "minimum": 1, "maximum": 100}), length(max = 6))]
    pub breaks: Vec<u32>,
}

impl QuoteWords {
    /// Day of the quote.
    ///
    /// # Errors
    /// [`Error::Unit`] where it is not of the form `2026-11-25`.
    pub fn date(&self) -> Result<Option<Date>> {
        let read = |text: &str| {
            Date::strptime("%Y-%m-%d", text).map_err(|_| Error::Unit {
                what: "quote.date".into(),
                given: text.chars().take(40).collect(),
                expected: "a day such as \"2026-11-25\"".into(),
                remedy: "write year-month-day".into(),
            })
        };
        self.date.as_deref().map(read).transpose()
    }
}
