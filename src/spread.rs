//! Uncertain inputs, their laws, and one matrix of draws for a whole plan.

use serde::Serialize;

/// The law of one uncertain input.
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

impl Law {
    /// Mean of the law.
    pub fn mean(&self) -> f64 {
        match *self {
            Self::Fixed { value } => value,
            Self::Uniform { low, high } => f64::midpoint(low, high),
            Self::Triangular { low, likely, high } => (low + likely + high) / 3.0,
            Self::Pert { low, likely, high } => (low + 4.0 * likely + high) / 6.0,
            Self::LogNormal { median, log_sd } => median * (log_sd * log_sd / 2.0).exp(),
        }
    }
}
