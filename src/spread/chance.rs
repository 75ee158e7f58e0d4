//! The chance of something that happens or not, learned from counts.

use statrs::distribution::{Beta, ContinuousCDF, Normal};
use statrs::function::beta::ln_beta;
use statrs::function::factorial::ln_binomial;

use crate::error::{Error, Range, Result, check};

/// Above it for both counts the beta law is as good as normal.
const MANY: f64 = 500.0;
/// Tries above which more of them say nothing of how a rare one is spread.
const MOST: f64 = 1e5;

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
        let most = self.yes + self.no;
        Ok(if self.yes.min(self.no) > MANY {
            self.of_many(p)
        } else if most > MOST {
            // One of both is rare beside endless others: what is told no longer depends on how many.
            let (yes, no) = (self.yes, self.no);
            let scale = MOST / most;
            let rare = yes < no;
            let law = if rare {
                Beta::new(yes, MOST - yes)
            } else {
                Beta::new(MOST - no, no)
            };
            match law {
                Ok(law) if rare => law.inverse_cdf(p) * scale,
                Ok(law) => 1.0 - (1.0 - law.inverse_cdf(p)) * scale,
                Err(_) => self.mean(),
            }
        } else {
            law.inverse_cdf(p)
        })
    }

    /// The quantile for large counts, where the continued fraction of the beta function takes too long: normal, with the skewness
    /// (Cornish and Fisher); its fault is some 1/n of the standard deviation.
    fn of_many(&self, p: f64) -> f64 {
        let (yes, no, n) = (self.yes, self.no, self.yes + self.no);
        let sd = (yes / n * (no / n) / (n + 1.0)).sqrt();
        let skew = 2.0 * (no - yes) * (n + 1.0).sqrt() / ((n + 2.0) * (yes * no).sqrt());
        let z = Normal::standard().inverse_cdf(p);
        if z.is_infinite() {
            return p;
        }
        (self.mean() + sd * (z + skew * (z * z - 1.0) / 6.0)).clamp(0.0, 1.0)
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

#[cfg(test)]
#[allow(clippy::unwrap_used)] // tests may panic: that is how a test fails
mod tests {
    use super::*;

    #[test]
    fn quantiles_of_endless_counts_are_told() {
        // With one of both rare the beta law is the gamma law over the tries: quantiles of gamma(2), from its own function 1 - (1 + x)e^-x.
        let rare = Chance { yes: 2.0, no: 1e9 };
        for p in [0.1, 0.5, 0.9] {
            let x = rare.quantile(p).unwrap() * 1e9;
            let back = 1.0 - (1.0 + x) * (-x).exp();
            assert!((back - p).abs() < 1e-3, "{p} {back}");
            let other = Chance { yes: 1e9, no: 2.0 }.quantile(1.0 - p).unwrap();
            assert!(((1.0 - other) * 1e9 / x - 1.0).abs() < 1e-3, "{other}");
        }
        // Many of both: about the mean, as wide as the normal law.
        let many = Chance { yes: 1e7, no: 3e7 };
        let sd = (0.25 * 0.75 / 4e7_f64).sqrt();
        for (p, z) in [(0.1, -1.281_551_565_5), (0.5, 0.0), (0.9, 1.281_551_565_5)] {
            assert!((many.quantile(p).unwrap() - 0.25 - z * sd).abs() < 1e-3 * sd);
        }
        assert_eq!(
            (many.quantile(0.0).unwrap(), many.quantile(1.0).unwrap()),
            (0.0, 1.0)
        );
    }

    #[test]
    fn both_ways_agree_where_they_meet() {
        for (yes, no) in [(500.5, 700.0), (500.5, 9000.0)] {
            let chance = Chance { yes, no };
            let law = Beta::new(yes, no).unwrap();
            let sd = (yes * no / (yes + no + 1.0)).sqrt() / (yes + no);
            for p in [0.01, 0.1, 0.5, 0.9, 0.99] {
                let fault = chance.quantile(p).unwrap() - law.inverse_cdf(p);
                assert!(fault.abs() < 5e-3 * sd, "{yes} {no} {p}: {fault}");
            }
        }
    }
}
