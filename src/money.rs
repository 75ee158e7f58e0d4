//! Money as a whole number of the currency's minor unit, with named rounding.
//!
//! Costs stay in floating point; they turn to money once, at the price. Binary fractions hold 2.675 a little too low, so an amount within a
//! millionth of the minor unit of a half counts as the half. Half-up is the rule of invoices (away from zero: EU Regulation 1103/97, article 5),
//! half-even that of statistics (IEEE 754; ISO 80000-1, annex B, rule A).

use std::cmp::Ordering;
use std::fmt;

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use crate::error::{Error, Range, Result, check};

/// A currency: its three-letter code and the decimal digits of its minor unit.
///
/// ```
/// use mountwright::money::Currency;
/// assert_eq!(Currency::named("JPY")?.digits(), 0);
/// assert_eq!(Currency::named("XTS")?.digits(), 2);
/// assert!(Currency::named("coins").is_err());
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Currency {
    code: [u8; 3],
}

/// Currencies whose minor unit is not the hundredth (ISO 4217, list one; standing: remembered, the digits of JPY and KWD are published).
const OTHER_DIGITS: [(&str, u32); 26] = [
    ("BHD", 3),
    ("BIF", 0),
    ("CLF", 4),
    ("CLP", 0),
    ("DJF", 0),
    ("GNF", 0),
    ("IQD", 3),
    ("ISK", 0),
    ("JOD", 3),
    ("JPY", 0),
    ("KMF", 0),
    ("KRW", 0),
    ("KWD", 3),
    ("LYD", 3),
    ("OMR", 3),
    ("PYG", 0),
    ("RWF", 0),
    ("TND", 3),
    ("UGX", 0),
    ("UYI", 0),
    ("UYW", 4),
    ("VND", 0),
    ("VUV", 0),
    ("XAF", 0),
    ("XOF", 0),
    ("XPF", 0),
];

impl Currency {
    /// The currency of a code of three capital letters; a code that ISO 4217 does not list, such as one of a demonstration, has two digits.
    ///
    /// # Errors
    /// [`Error::Shape`] for anything but three capital letters.
    pub fn named(code: &str) -> Result<Self> {
        match *code.as_bytes() {
            [a, b, c] if [a, b, c].iter().all(u8::is_ascii_uppercase) => {
                Ok(Self { code: [a, b, c] })
            }
            _ => Err(Error::Shape {
                what: "currency".into(),
                given: format!("\"{}\"", code.chars().take(20).collect::<String>()),
                allowed: "a code of three capital letters, as in ISO 4217".into(),
            }),
        }
    }

    /// The three letters.
    pub fn code(&self) -> &str {
        std::str::from_utf8(&self.code).unwrap_or("XXX")
    }

    /// Decimal digits of the minor unit.
    pub fn digits(&self) -> u32 {
        OTHER_DIGITS
            .iter()
            .find(|(code, _)| *code == self.code())
            .map_or(2, |(_, digits)| *digits)
    }

    /// Minor units in one major unit.
    pub fn minor_per_major(&self) -> i64 {
        10_i64.pow(self.digits())
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

impl Serialize for Currency {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        serializer.serialize_str(self.code())
    }
}

impl<'de> Deserialize<'de> for Currency {
    fn deserialize<D: Deserializer<'de>>(from: D) -> std::result::Result<Self, D::Error> {
        let code = String::deserialize(from)?;
        Self::named(&code).map_err(serde::de::Error::custom)
    }
}

/// What becomes of half a minor unit.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Rounding {
    /// Away from zero: 0.125 becomes 0.13.
    #[default]
    HalfUp,
    /// To the even neighbour: 0.125 becomes 0.12.
    HalfEven,
}

/// An amount of money.
///
/// ```
/// use mountwright::money::{Currency, Money, Rounding};
/// let xts = Currency::named("XTS")?;
/// let price = Money::rounded(2.675, xts, Rounding::HalfUp)?;
/// assert_eq!(price.to_string(), "2.68 XTS");
/// let shares = Money::from_minor(1000, xts).shared(&[1.0, 1.0, 1.0])?;
/// assert_eq!(shares.iter().map(|m| m.minor()).collect::<Vec<_>>(), [334, 333, 333]);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub struct Money {
    minor: i64,
    currency: Currency,
}

/// Largest amount, in minor units: a millionth of one still shows in a double.
const MOST_MINOR: f64 = 1e12;
/// Parts of the minor unit kept before the rule of rounding is asked.
const PARTS: i128 = 1_000_000;

impl Money {
    /// An amount in minor units.
    pub const fn from_minor(minor: i64, currency: Currency) -> Self {
        Self { minor, currency }
    }

    /// An amount in major units, rounded to the minor unit by `rounding`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an amount that is not finite or above 10¹² minor units.
    pub fn rounded(amount: f64, currency: Currency, rounding: Rounding) -> Result<Self> {
        let per_major = currency.minor_per_major() as f64;
        let most = MOST_MINOR / per_major;
        let remedy = "check the prices and quantities that it was made of";
        check(
            "amount of money",
            amount,
            Range::new(-most, most, ""),
            remedy,
        )?;
        // Inside ± 10^18, checked above.
        #[allow(clippy::cast_possible_truncation)]
        let parts = (amount * per_major * PARTS as f64).round() as i128;
        Ok(Self {
            minor: divided(parts, PARTS, rounding),
            currency,
        })
    }

    /// Minor units.
    pub const fn minor(&self) -> i64 {
        self.minor
    }

    /// Currency.
    pub const fn currency(&self) -> Currency {
        self.currency
    }

    /// The amount in major units, for formulas and charts.
    pub fn major(&self) -> f64 {
        self.minor as f64 / self.currency.minor_per_major() as f64
    }

    /// Sum of two amounts.
    ///
    /// # Errors
    /// [`Error::Shape`] for two currencies, [`Error::OutOfRange`] where the sum is too large.
    pub fn plus(self, other: Self) -> Result<Self> {
        self.same_currency(other)?;
        self.sum(self.minor.checked_add(other.minor))
    }

    /// Difference of two amounts.
    ///
    /// # Errors
    /// As [`Money::plus`].
    pub fn minus(self, other: Self) -> Result<Self> {
        self.same_currency(other)?;
        self.sum(self.minor.checked_sub(other.minor))
    }

    /// `factor` times the amount, rounded.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a factor that is not finite, or a product above 10¹² minor units.
    pub fn times(self, factor: f64, rounding: Rounding) -> Result<Self> {
        Self::rounded(self.major() * factor, self.currency, rounding)
    }

    /// Which is more.
    ///
    /// # Errors
    /// [`Error::Shape`] for two currencies.
    pub fn compared(self, other: Self) -> Result<Ordering> {
        self.same_currency(other)?;
        Ok(self.minor.cmp(&other.minor))
    }

    /// The amount in shares by weight that add up to it exactly: each is rounded down, then what is left goes one by one
    /// to the largest remainders, ties by position.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a negative weight or one that is not finite; [`Error::Shape`] where no weight is above zero.
    pub fn shared(self, weights: &[f64]) -> Result<Vec<Self>> {
        for (at, &weight) in weights.iter().enumerate() {
            let allowed = Range::new(0.0, 1e150, "");
            check(
                format!("weights[{at}]"),
                weight,
                allowed,
                "weights are zero or more",
            )?;
        }
        let total: f64 = weights.iter().sum();
        if total <= 0.0 {
            return Err(Error::Shape {
                what: "weights of the shares".into(),
                given: if weights.is_empty() {
                    "none"
                } else {
                    "all zero"
                }
                .into(),
                allowed: "one or more, at least one above zero".into(),
            });
        }
        let whole = self.minor.unsigned_abs();
        let exact: Vec<f64> = weights.iter().map(|w| whole as f64 * (w / total)).collect();
        // Each is at most `whole`; the sum of floors may overshoot it only by the rounding of the quotients, which `min` stops.
        let mut left = whole;
        let mut shares: Vec<u64> = exact
            .iter()
            .map(|e| {
                #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
                let share = (e.floor() as u64).min(left);
                left -= share;
                share
            })
            .collect();
        let mut order: Vec<usize> = (0..weights.len()).filter(|&at| weights[at] > 0.0).collect();
        order.sort_by(|&a, &b| {
            (exact[b] - exact[b].floor())
                .total_cmp(&(exact[a] - exact[a].floor()))
                .then(a.cmp(&b))
        });
        for &at in order
            .iter()
            .cycle()
            .take(usize::try_from(left).unwrap_or(usize::MAX))
        {
            shares[at] += 1;
        }
        let sign = self.minor.signum();
        shares
            .into_iter()
            .map(|share| self.sum(i64::try_from(share).ok().map(|share| share * sign)))
            .collect()
    }

    fn same_currency(self, other: Self) -> Result<()> {
        if self.currency == other.currency {
            return Ok(());
        }
        Err(Error::Shape {
            what: "currencies of one sum".into(),
            given: format!("{} and {}", self.currency, other.currency),
            allowed: "one currency; change the price list to it first".into(),
        })
    }

    fn sum(self, minor: Option<i64>) -> Result<Self> {
        minor
            .map(|minor| Self { minor, ..self })
            .ok_or_else(|| Error::OutOfRange {
                what: "sum of money".into(),
                given: f64::INFINITY,
                allowed: Range::new(i64::MIN as f64, i64::MAX as f64, "minor units"),
                remedy: "check the prices and quantities that it was made of".into(),
            })
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let digits = self.currency.digits() as usize;
        let per_major = self.currency.minor_per_major().unsigned_abs();
        let minor = self.minor.unsigned_abs();
        let sign = if self.minor < 0 { "-" } else { "" };
        write!(f, "{sign}{}", minor / per_major)?;
        if digits > 0 {
            write!(f, ".{:0digits$}", minor % per_major)?;
        }
        write!(f, " {}", self.currency)
    }
}

/// `above / below` to a whole number by a rule of rounding; `below` is positive and even.
fn divided(above: i128, below: i128, rounding: Rounding) -> i64 {
    let (down, rest) = (above.div_euclid(below), above.rem_euclid(below));
    let up = match (rest * 2).cmp(&below) {
        Ordering::Less => false,
        Ordering::Greater => true,
        Ordering::Equal => match rounding {
            // Away from zero: `down` is the floor, so up for what is positive.
            Rounding::HalfUp => above > 0,
            Rounding::HalfEven => down % 2 != 0,
        },
    };
    // `above` is at most 10^18 and `below` 10^6.
    i64::try_from(down + i128::from(up)).unwrap_or(i64::MAX)
}
