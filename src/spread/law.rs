//! The law of one uncertain input.

use serde::Serialize;
use statrs::distribution::{ContinuousCDF, Normal};
use statrs::function::beta::{beta_reg, inv_beta_reg, ln_beta};

use crate::error::{Range, Result, check};

/// Weight of the likeliest in the PERT law.
const PERT_WEIGHT: f64 = 4.0;
/// Largest standard deviation of `ln x` taken: at 5 the P90 is six hundred times the median.
const LOG_SD_MAX: f64 = 5.0;

/// The law of one uncertain input.
///
/// ```
/// use mountwright::spread::Law;
/// let hours = Law::Triangular { low: 10.0, likely: 12.0, high: 20.0 };
/// assert!((hours.mean() - 14.0).abs() < 1e-12);
/// assert!((hours.quantile(0.9)? - 17.17157).abs() < 1e-5);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Law {
    /// Always the same.
    Fixed {
        /// The value.
        value: f64,
    },
    /// Any value between two bounds, all alike.
    Uniform {
        /// Least.
        low: f64,
        /// Greatest.
        high: f64,
    },
    /// Straight rise to the likeliest and straight fall.
    Triangular {
        /// Least.
        low: f64,
        /// Likeliest.
        likely: f64,
        /// Greatest.
        high: f64,
    },
    /// Beta-PERT with weight 4 on the likeliest.
    Pert {
        /// Least.
        low: f64,
        /// Likeliest.
        likely: f64,
        /// Greatest.
        high: f64,
    },
    /// Log-normal: `ln x` is normal.
    LogNormal {
        /// Median.
        median: f64,
        /// Standard deviation of `ln x`.
        log_sd: f64,
    },
}

/// Range of every finite parameter; a sum of squares of three stays finite.
const FINITE: Range = Range::new(-1e150, 1e150, "");

impl Law {
    /// The law itself, if its parameters can be one: finite, `low <= likely <= high`, median above 0, `log_sd` 0 to 5.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] that names `what` and the parameter.
    pub fn check(self, what: &str) -> Result<Self> {
        let points = |low: f64, likely: f64, high: f64| -> Result<()> {
            let order = "give the three points in order: lowest, likeliest, highest";
            check(format!("{what}.low"), low, FINITE, "give a finite number")?;
            check(format!("{what}.high"), high, Range { low, ..FINITE }, order)?;
            let allowed = Range::new(low, high, "");
            check(format!("{what}.likely"), likely, allowed, order)?;
            Ok(())
        };
        match self {
            Self::Fixed { value } => {
                check(what, value, FINITE, "give a finite number")?;
            }
            Self::Uniform { low, high } => points(low, low, high)?,
            Self::Triangular { low, likely, high } | Self::Pert { low, likely, high } => {
                points(low, likely, high)?;
            }
            Self::LogNormal { median, log_sd } => {
                let positive = Range::new(f64::MIN_POSITIVE, 1e150, "");
                let remedy = "the median of a log-normal is above zero";
                check(format!("{what}.median"), median, positive, remedy)?;
                let allowed = Range::new(0.0, LOG_SD_MAX, "");
                let remedy = "0.1 is about ± 10 %, 0.7 a factor of two";
                check(format!("{what}.log_sd"), log_sd, allowed, remedy)?;
            }
        }
        Ok(self)
    }

    /// Mean of the law.
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Fixed { value } => value,
            Self::Uniform { low, high } => f64::midpoint(low, high),
            Self::Triangular { low, likely, high } => (low + likely + high) / 3.0,
            Self::Pert { low, likely, high } => {
                (low + PERT_WEIGHT * likely + high) / (PERT_WEIGHT + 2.0)
            }
            Self::LogNormal { median, log_sd } => median * (log_sd * log_sd / 2.0).exp(),
        }
    }

    /// Most likely value; the middle of a uniform law, the median of a log-normal.
    pub fn likely(&self) -> f64 {
        match *self {
            Self::Fixed { value } => value,
            Self::Uniform { low, high } => f64::midpoint(low, high),
            Self::Triangular { likely, .. } | Self::Pert { likely, .. } => likely,
            Self::LogNormal { median, .. } => median,
        }
    }

    /// Variance of the law; of the PERT law the exact one, not `((high - low)/6)²`.
    pub fn variance(&self) -> f64 {
        match *self {
            Self::Fixed { .. } => 0.0,
            Self::Uniform { low, high } => (high - low).powi(2) / 12.0,
            Self::Triangular { low, likely, high } => {
                // The textbook form with the origin at `low`: no cancellation for a narrow law far from 0.
                let (m, b) = (likely - low, high - low);
                (m * m + b * b - m * b) / 18.0
            }
            Self::Pert { low, high, .. } => {
                let mean = self.mean();
                (mean - low) * (high - mean) / (PERT_WEIGHT + 3.0)
            }
            Self::LogNormal { median, log_sd } => {
                let s2 = log_sd * log_sd;
                median * median * s2.exp() * s2.exp_m1()
            }
        }
    }

    /// Value that is not exceeded with probability `p`.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for `p` outside 0 to 1, for `p = 1` of a log-normal, and for a law that [`Law::check`] refuses.
    pub fn quantile(&self, p: f64) -> Result<f64> {
        self.check("law")?;
        let top = match self {
            Self::LogNormal { log_sd, .. } if *log_sd > 0.0 => 1.0 - f64::EPSILON,
            _ => 1.0,
        };
        let remedy = if top < 1.0 {
            "a probability lies between 0 and 1, and below 1 for a log-normal law: it has no greatest value"
        } else {
            "a probability lies between 0 and 1"
        };
        check("probability", p, Range::new(0.0, top, ""), remedy)?;
        Ok(self.at(p))
    }

    /// Quantile of a law that was checked, for `p` inside 0 to 1.
    pub(crate) fn at(&self, p: f64) -> f64 {
        match *self {
            Self::Fixed { value } => value,
            Self::Uniform { low, high } => low + p * (high - low),
            Self::Triangular { low, likely, high } => {
                let range = high - low;
                if p * range < likely - low {
                    low + (p * range * (likely - low)).sqrt()
                } else {
                    high - ((1.0 - p) * range * (high - likely)).sqrt()
                }
            }
            Self::Pert { low, likely, high } => match shapes(low, likely, high) {
                None => low,
                Some((alpha, beta)) => low + (high - low) * inverse_beta(alpha, beta, p),
            },
            Self::LogNormal { median, log_sd } => {
                if log_sd > 0.0 {
                    median * (log_sd * Normal::standard().inverse_cdf(p)).exp()
                } else {
                    median
                }
            }
        }
    }

    /// Probability that the value is at most `x`.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for NaN and for a law that [`Law::check`] refuses.
    pub fn cdf(&self, x: f64) -> Result<f64> {
        self.check("law")?;
        check(
            "x",
            x,
            Range::new(f64::NEG_INFINITY, f64::INFINITY, ""),
            "give a number",
        )?;
        let step = |at: f64| if x >= at { 1.0 } else { 0.0 };
        Ok(match *self {
            Self::Fixed { value } => step(value),
            Self::Uniform { low, high }
            | Self::Triangular { low, high, .. }
            | Self::Pert { low, high, .. }
                if high <= low || x <= low || x >= high =>
            {
                step(high)
            }
            Self::Uniform { low, high } => (x - low) / (high - low),
            Self::Triangular { low, likely, high } => {
                if x < likely {
                    (x - low).powi(2) / ((high - low) * (likely - low))
                } else if likely < high {
                    1.0 - (high - x).powi(2) / ((high - low) * (high - likely))
                } else {
                    1.0
                }
            }
            Self::Pert { low, likely, high } => match shapes(low, likely, high) {
                None => step(low),
                Some((alpha, beta)) => beta_reg(alpha, beta, (x - low) / (high - low)),
            },
            Self::LogNormal { median, log_sd } => {
                if log_sd <= 0.0 {
                    step(median)
                } else if x <= 0.0 {
                    0.0
                } else {
                    Normal::standard().cdf((x / median).ln() / log_sd)
                }
            }
        })
    }

    /// The law of `factor` times the value; a factor below zero turns it round.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] where the result is no law: a factor that is not finite, or not above zero for a log-normal.
    pub fn scaled(&self, factor: f64) -> Result<Self> {
        check("factor", factor, FINITE, "give a finite number")?;
        let turn = |a: f64, b: f64| {
            if factor < 0.0 {
                (b * factor, a * factor)
            } else {
                (a * factor, b * factor)
            }
        };
        let scaled = match *self {
            Self::Fixed { value } => Self::Fixed {
                value: value * factor,
            },
            Self::Uniform { low, high } => {
                let (low, high) = turn(low, high);
                Self::Uniform { low, high }
            }
            Self::Triangular { low, likely, high } => {
                let (low, high) = turn(low, high);
                Self::Triangular {
                    low,
                    likely: likely * factor,
                    high,
                }
            }
            Self::Pert { low, likely, high } => {
                let (low, high) = turn(low, high);
                Self::Pert {
                    low,
                    likely: likely * factor,
                    high,
                }
            }
            Self::LogNormal { median, log_sd } => Self::LogNormal {
                median: median * factor,
                log_sd,
            },
        };
        scaled.check("scaled law")
    }

    /// The triangular law whose P10, most likely value and P90 are these: people asked for "lowest and highest" give percentiles, not ends.
    ///
    /// Solves `(p10-a)² = 0.1 (b-a)(m-a)` and `(b-p90)² = 0.1 (b-a)(b-m)` for the ends.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] unless `p10 <= likely <= p90`, since no triangular law has its likeliest value outside (its P10 would then be no percentile of it).
    pub fn from_percentiles(p10: f64, likely: f64, p90: f64) -> Result<Self> {
        Self::Triangular {
            low: p10,
            likely,
            high: p90,
        }
        .check("percentiles")?;
        if p90 <= p10 {
            return Ok(Self::Fixed { value: likely });
        }
        // Fixed point on the width w = b - a: with u = m - a, each tail equation is a quadratic in its own end,
        // (u - d)² = 0.1 w u, whose root u >= d is d + 0.05 w + sqrt(0.1 w d + (0.05 w)²). The sum of both is a
        // contraction in w (slope below 0.1 + sqrt terms < 1).
        let (below, above) = (likely - p10, p90 - likely);
        let end = |d: f64, w: f64| d + 0.05 * w + (0.1 * w * d + (0.05 * w).powi(2)).sqrt();
        let mut width = p90 - p10;
        for _ in 0..500 {
            let next = end(below, width) + end(above, width);
            let done = (next - width).abs() <= 1e-15 * next;
            width = next;
            if done {
                break;
            }
        }
        Self::Triangular {
            low: likely - end(below, width),
            likely,
            high: likely + end(above, width),
        }
        .check("law of the percentiles")
    }
}

/// Shape parameters of the PERT law; `None` where it is a single value.
pub(super) fn shapes(low: f64, likely: f64, high: f64) -> Option<(f64, f64)> {
    let range = high - low;
    (range > 0.0).then(|| {
        (
            1.0 + PERT_WEIGHT * (likely - low) / range,
            1.0 + PERT_WEIGHT * (high - likely) / range,
        )
    })
}

/// Inverse of the regularised incomplete beta function; the library's first answer is polished by Newton steps kept inside 0 to 1.
fn inverse_beta(alpha: f64, beta: f64, p: f64) -> f64 {
    if p <= 0.0 || p >= 1.0 {
        return p.clamp(0.0, 1.0);
    }
    let mut x = inv_beta_reg(alpha, beta, p).clamp(f64::MIN_POSITIVE, 1.0 - f64::EPSILON);
    for _ in 0..2 {
        let density =
            ((alpha - 1.0) * x.ln() + (beta - 1.0) * (-x).ln_1p() - ln_beta(alpha, beta)).exp();
        if density <= 0.0 {
            break;
        }
        let next = x - (beta_reg(alpha, beta, x) - p) / density;
        if next <= 0.0 || next >= 1.0 {
            break;
        }
        x = next;
    }
    x
}
