//! Published times and their shift with temperature.

use serde::Serialize;

use crate::error::{Error, Range, Result, check};
use crate::physics::GAS_CONSTANT;
use crate::sourced::Constant;

/// Times that a stage may take in steady air. [s]
pub(crate) const TIMES_S: Range = Range::new(1e-3, 3.2e8, "s");

/// Activation energies that are accepted. [J/mol]
pub(crate) const ACTIVATIONS_J_MOL: Range = Range::new(0.0, 200_000.0, "J/mol");

/// Temperature above which a single published time is not shifted further: the law is known to break there.
pub const SHIFT_UNTIL: Constant =
    Constant::practice("bond.shift_until", [313.15, 323.15, 333.15], "K");

/// Times published at one or more temperatures, with a straight `ln t` over `1/T` between them and an activation energy beyond.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shift {
    /// Temperatures of the rows, rising. [K]
    temperature_k: Vec<f64>,
    /// Times of the rows. [s]
    time_s: Vec<f64>,
    /// Their natural logarithms.
    #[serde(skip)]
    ln_time: Vec<f64>,
    /// Activation energy below the coldest row, and above the hottest up to [`SHIFT_UNTIL`]. [J/mol]
    activation_j_mol: f64,
}

impl Shift {
    /// From rows of (temperature \[K\], time \[s\]) with rising temperatures.
    ///
    /// # Errors
    /// [`Error::Shape`] without a row, or where temperatures do not rise; [`Error::OutOfRange`] for a temperature outside 200 to 500 K, a time
    /// outside 1 ms to ten years, an activation energy outside 0 to 200 kJ/mol.
    pub fn new(rows: &[(f64, f64)], activation_j_mol: f64) -> Result<Self> {
        if rows.is_empty() || rows.windows(2).any(|w| w[1].0 <= w[0].0) {
            return Err(Error::Shape {
                what: "cure schedule".into(),
                given: format!("{} rows", rows.len()),
                allowed: "at least one row, temperatures rising".into(),
            });
        }
        let remedy = "copy the schedule from the data sheet";
        let mut shift = Self {
            temperature_k: Vec::new(),
            time_s: Vec::new(),
            ln_time: Vec::new(),
            activation_j_mol: check(
                "activation_j_mol",
                activation_j_mol,
                ACTIVATIONS_J_MOL,
                "65000 is usual for room-temperature adhesives",
            )?,
        };
        for (i, (t, s)) in rows.iter().enumerate() {
            let t = check(
                format!("rows[{i}].temperature_k"),
                *t,
                Range::new(200.0, 500.0, "K"),
                remedy,
            )?;
            let s = check(format!("rows[{i}].time_s"), *s, TIMES_S, remedy)?;
            shift.temperature_k.push(t);
            shift.time_s.push(s);
            shift.ln_time.push(s.ln());
        }
        Ok(shift)
    }

    /// Time in steady air of a temperature. [s]
    pub fn time_s(&self, temperature_k: f64) -> f64 {
        self.ln_time_at(temperature_k).exp()
    }

    /// The inverse of [`Shift::time_s`]. [1/s]
    pub(crate) fn rate_1_s(&self, temperature_k: f64) -> f64 {
        (-self.ln_time_at(temperature_k)).exp()
    }

    fn ln_time_at(&self, temperature_k: f64) -> f64 {
        let t = temperature_k.min(self.hold_above_k());
        let beyond = |i: usize| {
            self.ln_time[i]
                + self.activation_j_mol / GAS_CONSTANT.value
                    * (1.0 / t - 1.0 / self.temperature_k[i])
        };
        let last = self.temperature_k.len() - 1;
        let after = self.temperature_k.partition_point(|row| *row <= t);
        if after == 0 {
            beyond(0)
        } else if after > last {
            beyond(last)
        } else {
            let (a, b) = (self.temperature_k[after - 1], self.temperature_k[after]);
            let x = (1.0 / a - 1.0 / t) / (1.0 / a - 1.0 / b);
            self.ln_time[after - 1] + x * (self.ln_time[after] - self.ln_time[after - 1])
        }
    }

    /// Temperature above which the time no longer falls. [K]
    pub fn hold_above_k(&self) -> f64 {
        let hottest = self
            .temperature_k
            .last()
            .copied()
            .unwrap_or(SHIFT_UNTIL.value);
        hottest.max(SHIFT_UNTIL.value)
    }

    /// Calls `row` with the temperature of every row. [K]
    pub(crate) fn each_row_k(&self, mut row: impl FnMut(f64)) {
        self.temperature_k.iter().for_each(|t| row(*t));
    }

    /// Coldest temperature with a published time. [K]
    pub fn coldest_k(&self) -> f64 {
        self.temperature_k
            .first()
            .copied()
            .unwrap_or(SHIFT_UNTIL.value)
    }
}

/// An activation energy fitted to a schedule.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Fit {
    /// Activation energy. [J/mol]
    pub activation_j_mol: f64,
    /// ln of the time in seconds at `1/T = 0`.
    ln_time_0: f64,
}

impl Fit {
    /// Least squares of `ln t` on `1/T` through rows of (temperature \[K\], time \[s\]); use rows between 10 and 40 °C, where the law holds.
    ///
    /// # Errors
    /// [`Error::Shape`] for fewer than two different temperatures; [`Error::OutOfRange`] for a temperature outside 200 to 500 K or a time outside
    /// 1 ms to ten years.
    ///
    /// ```
    /// use mountwright::bond::Fit;
    /// // A two-part polyurethane's times to 1 N/mm² at 15, 23 and 40 °C: 68.24 kJ/mol.
    /// let fit = Fit::new(&[(288.15, 9000.0), (296.15, 3600.0), (313.15, 900.0)])?;
    /// assert!((fit.activation_j_mol / 1e3 - 68.24).abs() < 0.005);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn new(rows: &[(f64, f64)]) -> Result<Self> {
        let remedy = "copy the schedule from the data sheet";
        let mut points = Vec::with_capacity(rows.len());
        for (i, (t, s)) in rows.iter().enumerate() {
            let range = Range::new(200.0, 500.0, "K");
            let t = check(format!("rows[{i}].temperature_k"), *t, range, remedy)?;
            let s = check(format!("rows[{i}].time_s"), *s, TIMES_S, remedy)?;
            points.push((1.0 / t, s.ln()));
        }
        let n = points.len() as f64;
        let mean_x = points.iter().map(|p| p.0).sum::<f64>() / n;
        let mean_y = points.iter().map(|p| p.1).sum::<f64>() / n;
        let spread: f64 = points.iter().map(|p| (p.0 - mean_x).powi(2)).sum();
        // Temperatures a hundredth of a kelvin apart at room temperature differ by 1e-7 in 1/T.
        if points.len() < 2 || spread < 1e-14 {
            return Err(Error::Shape {
                what: "cure schedule".into(),
                given: format!("{} rows", rows.len()),
                allowed: "two different temperatures or more".into(),
            });
        }
        let slope = points
            .iter()
            .map(|p| (p.0 - mean_x) * (p.1 - mean_y))
            .sum::<f64>()
            / spread;
        Ok(Self {
            activation_j_mol: slope * GAS_CONSTANT.value,
            ln_time_0: mean_y - slope * mean_x,
        })
    }

    /// Fitted time at a temperature. [s]
    pub fn time_s(&self, temperature_k: f64) -> f64 {
        (self.ln_time_0 + self.activation_j_mol / (GAS_CONSTANT.value * temperature_k)).exp()
    }
}
