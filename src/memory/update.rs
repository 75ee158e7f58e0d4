//! Conjugate updates in closed form: what was believed, what was seen, what is believed now.

use statrs::distribution::{ContinuousCDF, StudentsT};

use crate::error::{Error, Range, Result, check};

/// What is believed of several numbers that add up to what is seen, with noise of unknown size: normal-inverse-gamma.
///
/// `y = Σ x_i β_i + u + e`, with `e` normal of variance σ², `u` normal of variance `shared · σ²` and the same for all rows of a
/// group, `β | σ²` normal with precision Λ/σ², `σ²` inverse gamma of `shape` and `rate`. See theory.md.
#[derive(Debug, Clone, PartialEq)]
pub struct Belief {
    /// Λ, row by row.
    precision: Vec<f64>,
    /// Λ times the mean.
    pull: Vec<f64>,
    shape: f64,
    /// Rate of σ² without the part of the mean: `b + ½ mᵀΛm`.
    squares: f64,
    shared: f64,
}

/// A Student t law.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Student {
    /// Its middle.
    pub mean: f64,
    /// Its scale; its standard deviation is `scale √(freedom/(freedom-2))`.
    pub scale: f64,
    /// Degrees of freedom.
    pub freedom: f64,
}

impl Student {
    /// Standard deviation; infinite for two degrees of freedom or fewer.
    pub fn sd(&self) -> f64 {
        if self.freedom > 2.0 {
            self.scale * (self.freedom / (self.freedom - 2.0)).sqrt()
        } else {
            f64::INFINITY
        }
    }

    /// Value that is not exceeded with probability `p`, inside 0 to 1.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a law that is none.
    pub fn quantile(&self, p: f64) -> Result<f64> {
        let law = StudentsT::new(self.mean, self.scale, self.freedom);
        Ok(law.map_err(|_| none("scale", self.scale))?.inverse_cdf(p))
    }
}

fn none(what: &str, given: f64) -> Error {
    Error::OutOfRange {
        what: what.into(),
        given,
        allowed: Range::new(f64::MIN_POSITIVE, 1e300, ""),
        remedy: "give a number above zero".into(),
    }
}

impl Belief {
    /// Before anything is seen: each number about `means[i]` with standard deviation `sds[i]`, independent; noise about `noise_sd`,
    /// known as well as from `2 · shape` rows.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for deviations that are not above zero, a shape of 1 or less, `shared` below zero.
    pub fn prior(
        means: &[f64],
        sds: &[f64],
        noise_sd: f64,
        shape: f64,
        shared: f64,
    ) -> Result<Self> {
        let positive = Range::new(1e-9, 1e9, "");
        let size = "give a standard deviation above zero";
        check("noise_sd", noise_sd, positive, size)?;
        check(
            "shape",
            shape,
            Range::new(1.0 + 1e-9, 1e9, ""),
            "above 1, so that the noise has a mean",
        )?;
        check("shared", shared, Range::new(0.0, 1e9, ""), "zero or more")?;
        let n = means.len();
        let mut belief = Self {
            precision: vec![0.0; n * n],
            pull: vec![0.0; n],
            shape,
            // The mean of an inverse gamma law is rate/(shape-1).
            squares: noise_sd * noise_sd * (shape - 1.0),
            shared,
        };
        for (i, (mean, sd)) in means.iter().zip(sds).enumerate() {
            check("sd", *sd, positive, size)?;
            let precision = (noise_sd / sd).powi(2);
            belief.precision[i * n + i] = precision;
            belief.pull[i] = precision * mean;
            belief.squares += precision * mean * mean / 2.0;
        }
        Ok(belief)
    }

    /// After a group of rows was seen: which numbers (by their place) add up to each, and what was seen.
    #[must_use]
    pub fn seen(mut self, group: &[(&[usize], f64)]) -> Self {
        let n = self.pull.len();
        // Inverse of I + s 11ᵀ for the rows of a group (Sherman and Morrison).
        let share = self.shared / (1.0 + self.shared * group.len() as f64);
        for (i, (mine, y)) in group.iter().enumerate() {
            for (j, (theirs, z)) in group.iter().enumerate() {
                let weight = if i == j { 1.0 - share } else { -share };
                for &a in *mine {
                    self.pull[a] += weight * z;
                    for &b in *theirs {
                        self.precision[a * n + b] += weight;
                    }
                }
                self.squares += weight * y * z / 2.0;
            }
        }
        self.shape += group.len() as f64 / 2.0;
        self
    }

    /// What is believed of a sum of the numbers, `x · β`, and of a new row of it where `noise` is 1 (1 + shared: in a new group).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] where rounding left nothing of the precision.
    pub fn of(&self, x: &[f64], noise: f64) -> Result<Student> {
        let root = cholesky(&self.precision, self.pull.len())?;
        let mean = solve(&root, &self.pull);
        let explained: f64 = mean.iter().zip(&self.pull).map(|(m, h)| m * h).sum();
        // Never below zero but for rounding.
        let rate = (self.squares - explained / 2.0).max(f64::MIN_POSITIVE);
        let spread: f64 = solve(&root, x).iter().zip(x).map(|(s, x)| s * x).sum();
        Ok(Student {
            mean: mean.iter().zip(x).map(|(m, x)| m * x).sum(),
            scale: (rate / self.shape * (spread + noise)).sqrt(),
            freedom: 2.0 * self.shape,
        })
    }

    /// Variance of what a group shares, over that of the noise.
    pub const fn shared(&self) -> f64 {
        self.shared
    }

    /// What is believed of the variance of the noise: shape and rate of its inverse gamma law.
    ///
    /// # Errors
    /// As [`Belief::of`].
    pub fn noise(&self) -> Result<(f64, f64)> {
        let mean = solve(&cholesky(&self.precision, self.pull.len())?, &self.pull);
        let explained: f64 = mean.iter().zip(&self.pull).map(|(m, h)| m * h).sum();
        Ok((self.shape, self.squares - explained / 2.0))
    }
}

/// Lower triangle L of a positive definite matrix, `L Lᵀ`.
fn cholesky(matrix: &[f64], n: usize) -> Result<Vec<f64>> {
    let mut root = vec![0.0; n * n];
    for i in 0..n {
        for j in 0..=i {
            let before: f64 = (0..j).map(|k| root[i * n + k] * root[j * n + k]).sum();
            let left = matrix[i * n + j] - before;
            root[i * n + j] = if i == j {
                check(
                    "precision",
                    left,
                    Range::new(f64::MIN_POSITIVE, 1e300, ""),
                    "",
                )?
                .sqrt()
            } else {
                left / root[j * n + j]
            };
        }
    }
    Ok(root)
}

/// `x` of `L Lᵀ x = y`.
fn solve(root: &[f64], y: &[f64]) -> Vec<f64> {
    let n = y.len();
    let mut x = y.to_vec();
    for i in 0..n {
        let before: f64 = (0..i).map(|k| root[i * n + k] * x[k]).sum();
        x[i] = (x[i] - before) / root[i * n + i];
    }
    for i in (0..n).rev() {
        let after: f64 = (i + 1..n).map(|k| root[k * n + i] * x[k]).sum();
        x[i] = (x[i] - after) / root[i * n + i];
    }
    x
}
