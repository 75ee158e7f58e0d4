//! A property over temperature.

use serde::Serialize;

use crate::error::{Error, Range, Result, check};

/// A positive property over temperature: straight in its logarithm between the points, held at the ends.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Table {
    /// (temperature K, value), temperatures rising.
    points: Vec<(f64, f64)>,
}

impl Table {
    /// A table of 1 to 200 points with rising temperatures and positive values.
    ///
    /// # Errors
    /// [`Error::Shape`] for no or too many points or temperatures that do not rise, [`Error::OutOfRange`] for a
    /// temperature outside 1 to 2000 K or a value outside 1e-6 to 1e15.
    ///
    /// ```
    /// use mountwright::mount::Table;
    /// let modulus_pa = Table::new(vec![(296.0, 2.0e9), (366.0, 0.5e9)])?;
    /// assert!((modulus_pa.at(331.0) - 1.0e9).abs() < 1.0); // half way: the geometric mean
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn new(points: Vec<(f64, f64)>) -> Result<Self> {
        if points.is_empty() || points.len() > 200 {
            return Err(Error::Shape {
                what: "property table".into(),
                given: format!("{} points", points.len()),
                allowed: "1 to 200 points".into(),
            });
        }
        for (i, &(temperature_k, value)) in points.iter().enumerate() {
            check(
                format!("table[{i}].temperature_k"),
                temperature_k,
                Range::new(1.0, 2000.0, "K"),
                "give kelvin",
            )?;
            check(
                format!("table[{i}].value"),
                value,
                Range::new(1e-6, 1e15, ""),
                "give a positive value in SI",
            )?;
        }
        if points.windows(2).any(|w| matches!(w, [a, b] if b.0 <= a.0)) {
            return Err(Error::Shape {
                what: "property table".into(),
                given: "temperatures that do not rise".into(),
                allowed: "each temperature above the one before".into(),
            });
        }
        Ok(Self { points })
    }

    /// The value at `temperature_k`.
    pub fn at(&self, temperature_k: f64) -> f64 {
        let (Some(&first), Some(&last)) = (self.points.first(), self.points.last()) else {
            return f64::NAN; // `new` allows no empty table
        };
        if temperature_k <= first.0 {
            return first.1;
        }
        if temperature_k >= last.0 {
            return last.1;
        }
        let above = self.points.partition_point(|p| p.0 <= temperature_k);
        match self.points.get(above.saturating_sub(1)..=above) {
            Some(&[(t0, v0), (t1, v1)]) => v0 * (v1 / v0).powf((temperature_k - t0) / (t1 - t0)),
            _ => last.1,
        }
    }

    /// The lowest temperature at which the value has fallen to `level`; `None` where it never does.
    pub fn falls_to(&self, level: f64) -> Option<f64> {
        let mut before: Option<(f64, f64)> = None;
        for &(t1, v1) in &self.points {
            if v1 <= level {
                return Some(match before {
                    Some((t0, v0)) => t0 + (t1 - t0) * (level / v0).ln() / (v1 / v0).ln(),
                    None => t1,
                });
            }
            before = Some((t1, v1));
        }
        None
    }
}
