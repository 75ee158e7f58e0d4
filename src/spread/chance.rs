//! The chance of something that happens or not, learned from counts.

use statrs::distribution::{Beta, ContinuousCDF};
use statrs::function::beta::ln_beta;
use statrs::function::factorial::ln_binomial;

use crate::error::{Error, Range, Result, check};

/// What is believed of a chance: a beta law, as after `yes` of `yes + no` tries.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct Chance {
    /// Tries in which it happened, with those that the prior stands for.
    pub yes: f64,
    /// Tries in which it did not, with those that the prior stands for.
    pub no: f64,
}

impl Chance {
    /// A chance of about `mean`, known as well as from so many tries.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a mean that is not inside 0 to 1, or no tries.
    pub fn prior(mean: f64, tries: f64) -> Result<Self> {
        let inside = Range::new(1e-6, 1.0 - 1e-6, "");
        check("mean", mean, inside, "a share inside 0 to 1")?;
        check("tries", tries, Range::new(1e-3, 1e9, ""), "above zero")?;
        Ok(Self {
            yes: mean * tries,
            no: (1.0 - mean) * tries,
        })
    }

    /// After so many tries more, of which it happened in so many.
    #[must_use]
    pub fn seen(self, tries: u32, yes: u32) -> Self {
        Self {
            yes: self.yes + f64::from(yes),
            no: self.no + f64::from(tries.saturating_sub(yes)),
        }
    }

    /// Its mean: the chance that it happens in the next try.
    pub fn mean(&self) -> f64 {
        self.yes / (self.yes + self.no)
    }

    /// Value that is not exceeded with probability `p`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a law that is none, or `p` outside 0 to 1.
    pub fn quantile(&self, p: f64) -> Result<f64> {
        check("p", p, Range::new(0.0, 1.0, ""), "a probability")?;
        let law = Beta::new(self.yes, self.no).map_err(|_| Error::OutOfRange {
            what: "tries".into(),
            given: self.yes.min(self.no),
            allowed: Range::new(f64::MIN_POSITIVE, 1e300, ""),
            remedy: "both counts lie above zero".into(),
        })?;
        Ok(law.inverse_cdf(p))
    }

    /// Chance that of `tries` more it happens in exactly `k`: the beta-binomial law.
    ///
    /// ```
    /// use mountwright::spread::Chance;
    /// // Laplace's rule of succession: after nothing seen, every count of three is as likely.
    /// let flat = Chance { yes: 1.0, no: 1.0 };
    /// assert!((flat.of(2, 3) - 0.25).abs() < 1e-12);
    /// ```
    pub fn of(&self, k: u32, tries: u32) -> f64 {
        if k > tries {
            return 0.0;
        }
        let (k_f, rest) = (f64::from(k), f64::from(tries - k));
        (ln_binomial(u64::from(tries), u64::from(k)) + ln_beta(self.yes + k_f, self.no + rest)
            - ln_beta(self.yes, self.no))
        .exp()
    }
}
