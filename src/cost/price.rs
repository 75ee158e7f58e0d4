//! From cost to price, in one order: margin or markup, fees, minimum charge, discount, tax.

use serde::{Deserialize, Serialize};

use super::Group;
use crate::error::{Error, Range, Result, check};
use crate::money::{Currency, Rounding};

/// What the shop earns on a job. A markup of 25 % and a margin of 20 % are the same price.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Earning {
    /// Share of the cost, put on it.
    Markup {
        /// 0 to 100 (that is 10 000 %).
        share: f64,
    },
    /// Share of the price.
    Margin {
        /// 0 to below 1.
        share: f64,
    },
}

impl Earning {
    /// As a share of the cost: `u = g/(1-g)`.
    pub fn markup(&self) -> f64 {
        match *self {
            Self::Markup { share } => share,
            Self::Margin { share } => share / (1.0 - share),
        }
    }

    /// As a share of the price, without fees: `g = u/(1+u)`.
    pub fn margin(&self) -> f64 {
        match *self {
            Self::Markup { share } => share / (1.0 + share),
            Self::Margin { share } => share,
        }
    }
}

/// How overhead is laid on a job.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Overhead {
    /// For each attended hour.
    PerHour {
        /// Money an hour.
        rate: f64,
    },
    /// On the labour lines.
    OnLabour {
        /// Share of them.
        share: f64,
    },
    /// On all lines.
    OnLines {
        /// Share of them.
        share: f64,
    },
}

/// How tax is rounded; both are lawful in places, and a quote says which.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum TaxBy {
    /// Once, on the sum.
    #[default]
    Total,
    /// On each line, then added.
    Line,
}

/// Tax on the net price.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tax {
    /// Share of the net price.
    pub rate: f64,
    /// Groups that are not taxed; in some places labour.
    pub exempt: Vec<Group>,
    /// How it is rounded.
    pub by: TaxBy,
}

/// Which cost the price is made of.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum PricedOn {
    /// The bill as it stands. With times that are rather exceeded than undercut it loses money over many jobs.
    Bill,
    /// The mean of the draws: right over many jobs.
    #[default]
    Mean,
    /// A percentile of the draws: for one large fixed price, 0.7 to 0.8.
    Percentile {
        /// 0 to 1.
        share: f64,
    },
}

/// How a shop makes a price of a cost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Terms {
    /// Currency of all prices and rates.
    pub currency: Currency,
    /// Overhead.
    pub overhead: Overhead,
    /// Which cost the price is made of.
    pub priced_on: PricedOn,
    /// Markup or margin.
    pub earning: Earning,
    /// Fees as a share of the price: card, marketplace.
    pub fees: f64,
    /// Least net price of any job, before a discount.
    pub minimum: f64,
    /// Discount, share of the net price.
    pub discount: f64,
    /// Tax.
    pub tax: Tax,
    /// What becomes of half a minor unit.
    pub rounding: Rounding,
}

/// A net price on its way, before it is rounded to money.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Asked {
    /// What covers cost, earning and fees.
    pub earning_price: f64,
    /// The same, or the minimum charge where that is more.
    pub list_price: f64,
    /// After the discount.
    pub net_price: f64,
}

impl Terms {
    /// Terms without overhead, fees, minimum, discount or tax, priced on the mean.
    pub fn plain(currency: Currency, earning: Earning) -> Self {
        Self {
            currency,
            overhead: Overhead::PerHour { rate: 0.0 },
            priced_on: PricedOn::default(),
            earning,
            fees: 0.0,
            minimum: 0.0,
            discount: 0.0,
            tax: Tax {
                rate: 0.0,
                exempt: vec![],
                by: TaxBy::default(),
            },
            rounding: Rounding::default(),
        }
    }

    /// The terms themselves, if a price can be made with them.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for shares and rates that are negative, not finite or too large; [`Error::Impossible`] where margin and fees leave nothing for the cost.
    pub fn check(&self) -> Result<&Self> {
        let some = Range::new(0.0, 1e9, "");
        let part = Range::new(0.0, 1.0, "");
        let (name, share, range) = match self.overhead {
            Overhead::PerHour { rate } => ("overhead.per_hour", rate, some),
            Overhead::OnLabour { share } => {
                ("overhead.on_labour", share, Range::new(0.0, 100.0, ""))
            }
            Overhead::OnLines { share } => ("overhead.on_lines", share, Range::new(0.0, 100.0, "")),
        };
        check(name, share, range, "overhead is zero or more")?;
        if let PricedOn::Percentile { share } = self.priced_on {
            check(
                "priced_on",
                share,
                part,
                "a percentile lies between 0 and 1",
            )?;
        }
        let below_one = Range::new(0.0, 1.0 - 1e-6, "");
        match self.earning {
            Earning::Markup { share } => {
                check(
                    "markup",
                    share,
                    Range::new(0.0, 100.0, ""),
                    "a share of the cost",
                )?;
            }
            Earning::Margin { share } => {
                let remedy = "a margin is a share of the price and below 100 %; a markup is a share of the cost";
                check("margin", share, below_one, remedy)?;
            }
        }
        check(
            "fees",
            self.fees,
            below_one,
            "a share of the price, below 1",
        )?;
        if let Earning::Margin { share } = self.earning
            && share + self.fees >= 1.0 - 1e-6
        {
            return Err(Error::Impossible {
                what: "a price".into(),
                why: format!(
                    "a margin of {} and fees of {} leave nothing of it for the cost",
                    share, self.fees
                ),
                remedy: "lower one of them; did you mean a markup?".into(),
            });
        }
        check("minimum", self.minimum, some, "a charge is zero or more")?;
        check(
            "discount",
            self.discount,
            below_one,
            "a share of the price, below 1",
        )?;
        check(
            "tax.rate",
            self.tax.rate,
            Range::new(0.0, 10.0, ""),
            "0.2 is 20 %",
        )?;
        Ok(self)
    }

    /// Overhead of a job from its lines, its labour lines and its attended hours.
    pub fn overhead_of(&self, lines: f64, labour: f64, attended_h: f64) -> f64 {
        match self.overhead {
            Overhead::PerHour { rate } => rate * attended_h,
            Overhead::OnLabour { share } => share * labour,
            Overhead::OnLines { share } => share * lines,
        }
    }

    /// Net price of a cost: `C(1+u)/(1-f)` or `C/(1-g-f)`, then the minimum charge, then the discount. A plain function, for draws.
    pub fn asked(&self, cost: f64) -> Asked {
        let earning_price = match self.earning {
            Earning::Markup { share } => cost * (1.0 + share) / (1.0 - self.fees),
            Earning::Margin { share } => cost / (1.0 - share - self.fees),
        };
        let list_price = earning_price.max(self.minimum);
        Asked {
            earning_price,
            list_price,
            net_price: list_price * (1.0 - self.discount),
        }
    }
}
