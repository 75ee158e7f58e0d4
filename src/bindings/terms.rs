//! Terms of a price and lines of a bill, as Python writes them.

use super::laws::Share;
use crate::cost::{Earning, Group, Line, Overhead, PricedOn, Tax, TaxBy, Terms};
use crate::error::{Error, Result};
use crate::money::{Currency, Rounding};

/// What a price is made with, as Python writes it.
pub(super) struct Words<'a> {
    pub(super) currency: &'a str,
    pub(super) margin: Option<Share>,
    pub(super) markup: Option<Share>,
    pub(super) overhead_per_hour: f64,
    pub(super) overhead_on_labour: Option<Share>,
    pub(super) fees: Share,
    pub(super) minimum: f64,
    pub(super) discount: Share,
    pub(super) tax: Share,
    pub(super) tax_by: &'a str,
    pub(super) tax_exempt: Vec<String>,
    pub(super) rounding: &'a str,
    pub(super) cover: Option<Share>,
}

impl<'a> Words<'a> {
    /// Nothing but a currency; a margin or a markup is still to be given.
    pub(super) fn plain(currency: &'a str) -> Self {
        Self {
            currency,
            margin: None,
            markup: None,
            overhead_per_hour: 0.0,
            overhead_on_labour: None,
            fees: Share::Number(0.0),
            minimum: 0.0,
            discount: Share::Number(0.0),
            tax: Share::Number(0.0),
            tax_by: "total",
            tax_exempt: vec![],
            rounding: "half-up",
            cover: None,
        }
    }

    pub(super) fn terms(&self) -> Result<Terms> {
        let earning = match (&self.margin, &self.markup) {
            (Some(share), None) => Earning::Margin {
                share: share.fraction("margin")?,
            },
            (None, Some(share)) => Earning::Markup {
                share: share.fraction("markup")?,
            },
            (given, _) => {
                return Err(Error::Shape {
                    what: "margin and markup".into(),
                    given: if given.is_some() { "both" } else { "neither" }.into(),
                    allowed: "one of the two".into(),
                });
            }
        };
        let overhead = match &self.overhead_on_labour {
            None => Overhead::PerHour {
                rate: self.overhead_per_hour,
            },
            Some(_) if self.overhead_per_hour != 0.0 => {
                return Err(Error::Shape {
                    what: "overhead".into(),
                    given: "by the hour and on labour".into(),
                    allowed: "one of the two".into(),
                });
            }
            Some(share) => Overhead::OnLabour {
                share: share.fraction("overhead_on_labour")?,
            },
        };
        let by = match self.tax_by {
            "total" => TaxBy::Total,
            "line" => TaxBy::Line,
            other => return Err(Error::unknown("rounding of tax", other, ["total", "line"])),
        };
        let rounding = match self.rounding {
            "half-up" => Rounding::HalfUp,
            "half-even" => Rounding::HalfEven,
            other => return Err(Error::unknown("rounding", other, ["half-up", "half-even"])),
        };
        let exempt = self.tax_exempt.iter().map(|group| Group::named(group));
        Ok(Terms {
            currency: Currency::named(self.currency)?,
            overhead,
            priced_on: match &self.cover {
                None => PricedOn::Mean,
                Some(share) => PricedOn::Percentile {
                    share: share.fraction("cover")?,
                },
            },
            earning,
            fees: self.fees.fraction("fees")?,
            minimum: self.minimum,
            discount: self.discount.fraction("discount")?,
            tax: Tax {
                rate: self.tax.fraction("tax")?,
                exempt: exempt.collect::<Result<_>>()?,
                by,
            },
            rounding,
        })
    }
}

/// A line of a bill as Python writes it.
pub(super) type PlainLine = (String, String, f64, String, f64);

/// A line of a bill.
pub(super) fn line((name, group, amount, unit, rate): PlainLine) -> Result<Line> {
    Line::new(name, Group::named(&group)?, amount, unit, rate)
}
