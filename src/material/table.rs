//! A quantity over temperature: straight lines between points, held flat outside them.

use serde::Serialize;

use crate::error::{Error, Result};

/// A quantity over temperature, SI: straight lines between its points, held flat outside them.
///
/// ```
/// use mountwright::material::Table;
/// let k = Table::new(vec![300.0, 400.0], vec![0.2, 0.3])?;
/// assert!((k.at(350.0) - 0.25).abs() < 1e-15);
/// assert!((k.at(500.0) - 0.3).abs() < 1e-15);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Table {
    temperature_k: Vec<f64>,
    value: Vec<f64>,
}

impl Table {
    /// Points at rising temperatures.
    ///
    /// # Errors
    /// [`Error::Shape`] where there is no point, the lists differ in length, the temperatures do not rise, or a number is not finite.
    pub fn new(temperature_k: Vec<f64>, value: Vec<f64>) -> Result<Self> {
        let finite = temperature_k.iter().chain(&value).all(|x| x.is_finite());
        let rising = temperature_k.windows(2).all(|w| w[0] < w[1]);
        if value.is_empty() || value.len() != temperature_k.len() || !finite || !rising {
            return Err(Error::Shape {
                what: "table over temperature".into(),
                given: format!(
                    "{} temperatures and {} values",
                    temperature_k.len(),
                    value.len()
                ),
                allowed: "as many of each, one or more, finite, at rising temperatures".into(),
            });
        }
        Ok(Self {
            temperature_k,
            value,
        })
    }

    /// The same at every temperature.
    pub fn constant(value: f64) -> Self {
        Self {
            temperature_k: vec![super::ROOM_K],
            value: vec![value],
        }
    }

    /// Temperatures of its points. [K]
    pub fn temperature_k(&self) -> &[f64] {
        &self.temperature_k
    }

    /// Values at its points, SI.
    pub fn value(&self) -> &[f64] {
        &self.value
    }

    /// The value at a temperature; NaN at NaN.
    pub fn at(&self, temperature_k: f64) -> f64 {
        let (t, v) = (&self.temperature_k, &self.value);
        if temperature_k.is_nan() {
            return f64::NAN;
        }
        match t.partition_point(|&x| x <= temperature_k) {
            0 => v[0],
            i if i == t.len() => v[i - 1],
            i => {
                let share = (temperature_k - t[i - 1]) / (t[i] - t[i - 1]);
                v[i - 1] + share * (v[i] - v[i - 1])
            }
        }
    }

    /// The same curve times a factor.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            temperature_k: self.temperature_k.clone(),
            value: self.value.iter().map(|v| v * factor).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn crooked_tables_are_refused() {
        for (t, v) in [
            (vec![], vec![]),
            (vec![1.0, 1.0], vec![1.0, 2.0]),
            (vec![2.0, 1.0], vec![1.0, 2.0]),
            (vec![1.0], vec![1.0, 2.0]),
            (vec![1.0, 2.0], vec![1.0, f64::NAN]),
        ] {
            assert!(matches!(Table::new(t, v), Err(Error::Shape { .. })));
        }
        assert!(Table::constant(2.0).at(f64::NAN).is_nan());
    }

    proptest! {
        #[test]
        fn stays_between_its_values(t in -100.0..900.0_f64, v in proptest::collection::vec(0.0..9.0_f64, 1..8)) {
            let at: Vec<f64> = (0..v.len()).map(|i| 50.0 * i as f64).collect();
            let y = Table::new(at, v.clone()).unwrap().at(t);
            let low = v.iter().copied().fold(f64::INFINITY, f64::min);
            let high = v.iter().copied().fold(0.0, f64::max);
            // Rounding of one multiplication and two additions.
            prop_assert!(y >= low - 1e-12 && y <= high + 1e-12);
        }
    }
}
