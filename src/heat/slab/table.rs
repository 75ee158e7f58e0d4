//! A property over temperature: piecewise linear, held constant outside its points.

use serde::Serialize;

use crate::error::{Error, Range, Result, check};

/// Temperatures that tables, gases and bodies may have. [K]
pub const TEMPERATURE: Range = Range::new(150.0, 1500.0, "K");

/// A property over temperature, piecewise linear between its points and held outside them.
///
/// ```
/// use mountwright::heat::Table;
/// let k = Table::new(vec![300.0, 400.0], vec![0.18, 0.20])?;
/// assert!((k.at(350.0) - 0.19).abs() < 1e-15);
/// assert_eq!(k.at(500.0), 0.20);
/// assert_eq!(Table::constant(0.17).at(350.0), 0.17);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Table {
    temperature_k: Vec<f64>,
    value: Vec<f64>,
}

impl Table {
    /// The same value at every temperature.
    pub fn constant(value: f64) -> Self {
        Self {
            temperature_k: vec![300.0],
            value: vec![value],
        }
    }

    /// Points with rising temperature, 150 to 1500 K.
    ///
    /// # Errors
    /// [`Error::Shape`] without points, with unequal lengths or with temperatures that do not rise;
    /// [`Error::OutOfRange`] for a temperature outside 150 to 1500 K or a value that is not finite.
    pub fn new(temperature_k: Vec<f64>, value: Vec<f64>) -> Result<Self> {
        let fault = |given: String, allowed: &str| Error::Shape {
            what: "table over temperature".into(),
            given,
            allowed: allowed.into(),
        };
        if temperature_k.is_empty() || temperature_k.len() != value.len() {
            return Err(fault(
                format!(
                    "{} temperatures, {} values",
                    temperature_k.len(),
                    value.len()
                ),
                "as many values as temperatures, at least one",
            ));
        }
        if temperature_k.len() > 10_000 {
            return Err(fault(
                format!("{} points", temperature_k.len()),
                "at most 10000 points",
            ));
        }
        for &t in &temperature_k {
            check("temperature of a table", t, TEMPERATURE, "use kelvin")?;
        }
        let finite = Range::new(-f64::MAX, f64::MAX, "");
        for &v in &value {
            check("value of a table", v, finite, "give a finite number")?;
        }
        if temperature_k.windows(2).any(|w| w[1] - w[0] < 1e-6) {
            return Err(fault("temperatures that do not rise".into(), "rising ones"));
        }
        Ok(Self {
            temperature_k,
            value,
        })
    }

    /// Value at a temperature.
    pub fn at(&self, temperature_k: f64) -> f64 {
        let (t, v) = (&self.temperature_k, &self.value);
        let after = t.partition_point(|&x| x < temperature_k);
        if after == 0 {
            v[0]
        } else if after == t.len() {
            v[after - 1]
        } else {
            let share = (temperature_k - t[after - 1]) / (t[after] - t[after - 1]);
            v[after - 1] + share * (v[after] - v[after - 1])
        }
    }

    /// The temperatures of its points. [K]
    pub fn temperatures_k(&self) -> &[f64] {
        &self.temperature_k
    }

    /// The values of its points.
    pub fn values(&self) -> &[f64] {
        &self.value
    }

    /// The same table with every value times `factor`.
    #[must_use]
    pub fn scaled(&self, factor: f64) -> Self {
        Self {
            temperature_k: self.temperature_k.clone(),
            value: self.value.iter().map(|v| v * factor).collect(),
        }
    }

    /// Whether it is the same at every temperature.
    pub fn is_constant(&self) -> bool {
        self.value
            .windows(2)
            .all(|w| (w[1] - w[0]).abs() <= 1e-12 * w[0].abs())
    }

    /// Checks that every value lies in `range`.
    pub(crate) fn check(&self, what: &str, range: Range) -> Result<()> {
        for &v in &self.value {
            check(what, v, range, "check the unit")?;
        }
        Ok(())
    }

    /// Integral from the first temperature of `nodes` to each of them, exact for `self`
    /// when every kink of `self` is one of `nodes`.
    pub(crate) fn integral_over(&self, nodes: &[f64]) -> Vec<f64> {
        let mut sum = 0.0;
        let mut out = Vec::with_capacity(nodes.len());
        for (i, &t) in nodes.iter().enumerate() {
            if i > 0 {
                sum += (t - nodes[i - 1]) * f64::midpoint(self.at(t), self.at(nodes[i - 1]));
            }
            out.push(sum);
        }
        out
    }
}
