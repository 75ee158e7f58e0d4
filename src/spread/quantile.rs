//! Quantiles from a table, for many draws.

use std::sync::OnceLock;

use statrs::distribution::{Continuous, ContinuousCDF, Normal};
use statrs::function::beta::{beta_reg, inv_beta_reg, ln_beta};

use super::Law;
use super::law::shapes;
use crate::error::Result;

/// Bins to an octave of probability, as a power of two.
const BIN_BITS: u32 = 4;
/// Octaves below one half that are tabulated; rarer probabilities are computed.
const OCTAVES: usize = 20;
/// Nodes of one side.
const BINS: usize = OCTAVES << BIN_BITS;
/// Bits of a double beyond those that number its bin.
const SHIFT: u32 = f64::MANTISSA_DIGITS - 1 - BIN_BITS;

/// The quantile function of a law, made for many draws: a beta-PERT or log-normal law is read from a table.
///
/// The table divides each octave of probability below one half, from both ends, into sixteen bins, each with the cubic that has the
/// exact values and slopes at its ends; probabilities below 2⁻²¹ are computed. Its error stays below [`Quantile::ERROR`].
///
/// ```
/// use mountwright::spread::{Law, Quantile};
/// let law = Law::Pert { low: 10.0, likely: 12.0, high: 20.0 };
/// let fast = Quantile::of(law)?;
/// assert!((fast.at(0.9) - law.quantile(0.9)?).abs() < 10.0 * Quantile::ERROR);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct Quantile {
    law: Law,
    kind: Kind,
}

#[derive(Debug, Clone)]
enum Kind {
    Closed,
    Pert {
        low: f64,
        range: f64,
        below: Vec<Cubic>,
        above: Vec<Cubic>,
    },
    LogNormal {
        median: f64,
        log_sd: f64,
    },
}

/// Coefficients in the distance below the bin's upper end.
type Cubic = [f64; 4];

impl Quantile {
    /// Largest error: as a share of `high - low` for a beta-PERT law, of the value for a log-normal one with `log_sd` up to 1; none for the others.
    pub const ERROR: f64 = 1e-7;

    /// The quantile function of a law.
    ///
    /// # Errors
    /// As [`Law::check`].
    pub fn of(law: Law) -> Result<Self> {
        law.check("law")?;
        let kind = match law {
            Law::Pert { low, likely, high } => match shapes(low, likely, high) {
                None => Kind::Closed,
                Some((alpha, beta)) => Kind::Pert {
                    low,
                    range: high - low,
                    below: beta_side(alpha, beta),
                    above: beta_side(beta, alpha),
                },
            },
            Law::LogNormal { median, log_sd } if log_sd > 0.0 => Kind::LogNormal { median, log_sd },
            _ => Kind::Closed,
        };
        Ok(Self { law, kind })
    }

    /// The law.
    pub const fn law(&self) -> Law {
        self.law
    }

    /// Value that is not exceeded with probability `p`, above 0 and below 1; NaN for any other.
    #[inline]
    pub fn at(&self, p: f64) -> f64 {
        let mut one = [p];
        self.replace(&mut one);
        one[0]
    }

    /// [`Quantile::at`] in place of each probability; quickest where they rise.
    ///
    /// ```
    /// use mountwright::spread::{Law, Quantile};
    /// let mut levels = [0.1, 0.5, 0.9];
    /// Quantile::of(Law::Uniform { low: 2.0, high: 4.0 })?.replace(&mut levels);
    /// assert_eq!(levels, [2.2, 3.0, 3.8]);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn replace(&self, levels: &mut [f64]) {
        match &self.kind {
            Kind::Closed => each(levels, |p| self.law.at(p)),
            Kind::Pert {
                low,
                range,
                below,
                above,
            } => each(levels, |p| {
                let unit = if p <= 0.5 {
                    read(below, p)
                } else {
                    read(above, 1.0 - p).map(|x| 1.0 - x)
                };
                unit.map_or_else(|| self.law.at(p), |x| low + range * x)
            }),
            Kind::LogNormal { median, log_sd } => {
                let table = normal_side();
                each(levels, |p| {
                    let z = if p <= 0.5 {
                        read(table, p)
                    } else {
                        read(table, 1.0 - p).map(|z| -z)
                    };
                    z.map_or_else(|| self.law.at(p), |z| median * (log_sd * z).exp())
                });
            }
        }
    }
}

/// The value in place of each probability, NaN where it is none.
#[inline]
fn each(levels: &mut [f64], value: impl Fn(f64) -> f64) {
    for p in levels {
        *p = if *p > 0.0 && *p < 1.0 {
            value(*p)
        } else {
            f64::NAN
        };
    }
}

/// The cubic at `q`, above 0 and up to one half; `None` below the table.
#[inline]
fn read(side: &[Cubic], q: f64) -> Option<f64> {
    const HALF: u64 = 0.5_f64.to_bits();
    let behind = HALF.wrapping_sub(q.to_bits());
    // A bin number fits any `usize`; beyond the table `get` says so.
    #[allow(clippy::cast_possible_truncation)]
    let bin = (behind >> SHIFT) as usize;
    let [a, b, c, d] = *side.get(bin)?;
    let x = f64::from_bits(HALF - ((bin as u64) << SHIFT)) - q;
    Some(a + x * (b + x * (c + x * d)))
}

/// Upper end of a bin; of bin [`BINS`] the lower end of the table.
fn edge(bin: usize) -> f64 {
    f64::from_bits(0.5_f64.to_bits() - ((bin as u64) << SHIFT))
}

/// The bins between nodes of value and slope, from one half downwards.
fn cubics(nodes: &[(f64, f64)]) -> Vec<Cubic> {
    (0..nodes.len() - 1)
        .map(|bin| {
            let h = edge(bin) - edge(bin + 1);
            let ((from, from_slope), (to, to_slope)) = (nodes[bin], nodes[bin + 1]);
            // Slopes against the distance below the upper end have the other sign.
            let (s, t) = (-from_slope, -to_slope);
            let rise = (to - from) / h;
            [
                from,
                s,
                (3.0 * rise - 2.0 * s - t) / h,
                (s + t - 2.0 * rise) / (h * h),
            ]
        })
        .collect()
}

/// The lower half of a beta law: each node from the one before by Newton steps.
fn beta_side(alpha: f64, beta: f64) -> Vec<Cubic> {
    let ln_scale = ln_beta(alpha, beta);
    let density = |x: f64| ((alpha - 1.0) * x.ln() + (beta - 1.0) * (-x).ln_1p() - ln_scale).exp();
    let mut x = inv_beta_reg(alpha, beta, 0.5);
    let mut before = 0.5;
    let nodes: Vec<(f64, f64)> = (0..=BINS)
        .map(|bin| {
            let q = edge(bin);
            // As in the tail, where x goes with q^(1/alpha).
            x *= (q / before).powf(1.0 / alpha);
            before = q;
            for _ in 0..8 {
                let step = (beta_reg(alpha, beta, x) - q) / density(x);
                let next = (x - step).clamp(x / 4.0, f64::midpoint(x, 1.0));
                let small = (next - x).abs() <= 1e-14 * x;
                x = next;
                if small {
                    break;
                }
            }
            (x, 1.0 / density(x))
        })
        .collect();
    cubics(&nodes)
}

/// The lower half of the standard normal law.
fn normal_side() -> &'static [Cubic] {
    static SIDE: OnceLock<Vec<Cubic>> = OnceLock::new();
    SIDE.get_or_init(|| {
        let normal = Normal::standard();
        let node = |bin| {
            let z = normal.inverse_cdf(edge(bin));
            (z, 1.0 / normal.pdf(z))
        };
        cubics(&(0..=BINS).map(node).collect::<Vec<_>>())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Probabilities that fall everywhere in the table and below it.
    fn probabilities() -> impl Iterator<Item = f64> {
        let middle = (1..2000).map(|i| f64::from(i) / 2000.0 + 1.3e-4 * f64::from(i % 3));
        let tails = (0..300).flat_map(|i| {
            let q = 0.5_f64.powf(1.0 + f64::from(i) / 11.0);
            [q, 1.0 - q]
        });
        middle.chain(tails).filter(|p| *p > 0.0 && *p < 1.0)
    }

    #[test]
    fn the_table_is_as_exact_as_it_says() {
        let mut worst: f64 = 0.0;
        for tenth in 0..=10 {
            let law = Law::Pert {
                low: -1.0,
                likely: -1.0 + f64::from(tenth) / 5.0,
                high: 1.0,
            };
            let fast = Quantile::of(law).unwrap();
            for p in probabilities() {
                worst = worst.max((fast.at(p) - law.at(p)).abs() / 2.0);
            }
        }
        assert!(worst < Quantile::ERROR, "beta: {worst:e}");
        let mut worst: f64 = 0.0;
        for log_sd in [0.01, 0.3, 1.0] {
            let law = Law::LogNormal {
                median: 7.0,
                log_sd,
            };
            let fast = Quantile::of(law).unwrap();
            for p in probabilities() {
                worst = worst.max((fast.at(p) / law.at(p) - 1.0).abs());
            }
        }
        assert!(worst < Quantile::ERROR, "log-normal: {worst:e}");
    }

    #[test]
    fn the_table_rises() {
        let fast = Quantile::of(Law::Pert {
            low: 0.0,
            likely: 0.1,
            high: 1.0,
        })
        .unwrap();
        let mut last = 0.0;
        for i in 1..100_000 {
            let x = fast.at(f64::from(i) / 100_000.0);
            assert!(x > last);
            last = x;
        }
        for p in [f64::NAN, 0.0, 1.0, -0.1, 2.0] {
            assert!(fast.at(p).is_nan());
        }
    }
}
