//! The air that adhesives cure in and paint dries in: temperature and humidity over the day, straight between the hours.
//!
//! A heated shop, a car in the sun or a heat lamp are given as values like any other: this module only reads them.

use serde::Serialize;

use crate::error::{Error, Range, Result, check};

/// Seconds of a day.
pub const DAY_S: f64 = 86_400.0;

/// Air temperatures that are accepted. [K]
pub const TEMPERATURES_K: Range = Range::new(200.0, 500.0, "K");

/// Relative humidities that are accepted, as a fraction.
pub const HUMIDITIES: Range = Range::new(0.0, 1.0, "1");

/// Temperature and relative humidity of the air at an instant.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Air {
    /// Temperature. [K]
    pub temperature_k: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
}

/// A stretch of time over which temperature and humidity run straight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// Its start, in seconds since the plan's first midnight; minus infinity before a history.
    pub start_s: f64,
    /// Its end; infinite where the air stays as it is for good.
    pub end_s: f64,
    /// The air at its start.
    pub first: Air,
    /// The air at its end.
    pub last: Air,
}

impl Stretch {
    /// The air at an instant inside the stretch.
    pub fn at(&self, t_s: f64) -> Air {
        if self.start_s.is_finite() && self.end_s.is_finite() {
            let x = (t_s - self.start_s) / (self.end_s - self.start_s);
            Air {
                temperature_k: self.first.temperature_k
                    + x * (self.last.temperature_k - self.first.temperature_k),
                humidity: self.first.humidity + x * (self.last.humidity - self.first.humidity),
            }
        } else {
            self.first
        }
    }
}

/// Temperature and relative humidity of the air, straight between given instants: always the same, a day that repeats, or a history.
///
/// Instants are seconds since the plan's first midnight and may be negative.
///
/// ```
/// use mountwright::climate::Climate;
/// // 15 °C at night, 25 °C from hour 12 on: half-way between two hours is half-way between their values.
/// let mut hours = [288.15; 24];
/// hours[12..].fill(298.15);
/// let shop = Climate::daily(&hours, &[0.5; 24])?;
/// assert!((shop.temperature_k(11.5 * 3600.0) - 293.15).abs() < 1e-9);
/// assert!((shop.temperature_k(35.5 * 3600.0) - 293.15).abs() < 1e-9);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Climate {
    /// Instants of the knots, rising. [s]
    times_s: Vec<f64>,
    /// The air at each knot.
    airs: Vec<Air>,
    /// Length of the repeated day; `None` for a history, which holds its first air before and its last air after. [s]
    period_s: Option<f64>,
}

impl Climate {
    /// The same air for good.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a temperature outside 200 to 500 K or a humidity outside 0 to 1.
    pub fn constant(temperature_k: f64, humidity: f64) -> Result<Self> {
        Self::from_history(&[0.0], &[temperature_k], &[humidity])
    }

    /// A day that repeats: the air at 0:00, 1:00 .. 23:00.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] as for [`Climate::constant`], with the hour.
    pub fn daily(temperature_k: &[f64; 24], humidity: &[f64; 24]) -> Result<Self> {
        let mut times_s: Vec<f64> = (0..24).map(|h| f64::from(h) * 3600.0).collect();
        let mut airs = airs(temperature_k, humidity)?;
        times_s.push(DAY_S);
        airs.push(airs[0]);
        Ok(Self {
            times_s,
            airs,
            period_s: Some(DAY_S),
        })
    }

    /// A history: the air at given instants, which must rise. Before the first instant the first air holds, after the last the last.
    ///
    /// # Errors
    /// [`Error::Shape`] for lists of different lengths, an empty list or instants that do not rise;
    /// [`Error::OutOfRange`] for an instant that is not finite and for air outside [`Climate::constant`]'s ranges.
    pub fn from_history(times_s: &[f64], temperature_k: &[f64], humidity: &[f64]) -> Result<Self> {
        let lengths = [times_s.len(), temperature_k.len(), humidity.len()];
        if times_s.is_empty() || lengths.iter().any(|n| *n != lengths[0]) {
            return Err(Error::Shape {
                what: "climate history".into(),
                given: format!(
                    "{} instants, {} temperatures, {} humidities",
                    lengths[0], lengths[1], lengths[2]
                ),
                allowed: "lists of one length, at least 1".into(),
            });
        }
        for (i, t) in times_s.iter().enumerate() {
            check(
                format!("times_s[{i}]"),
                *t,
                Range::new(-1e10, 1e10, "s"),
                "give seconds since the plan's first midnight",
            )?;
        }
        if let Some(i) = times_s.windows(2).position(|w| w[1] <= w[0]) {
            return Err(Error::Shape {
                what: format!("times_s[{}]", i + 1),
                given: format!("{} s after {} s", times_s[i + 1], times_s[i]),
                allowed: "instants that rise: sort the history and drop repeats".into(),
            });
        }
        Ok(Self {
            times_s: times_s.to_vec(),
            airs: airs(temperature_k, humidity)?,
            period_s: None,
        })
    }

    /// The air at an instant.
    pub fn air(&self, t_s: f64) -> Air {
        self.stretch(t_s).at(t_s)
    }

    /// Temperature at an instant. [K]
    pub fn temperature_k(&self, t_s: f64) -> f64 {
        self.air(t_s).temperature_k
    }

    /// Relative humidity at an instant, 0 to 1.
    pub fn humidity(&self, t_s: f64) -> f64 {
        self.air(t_s).humidity
    }

    /// Length of the day that repeats; `None` for a history. [s]
    pub fn period_s(&self) -> Option<f64> {
        self.period_s
    }

    /// The stretch that an instant lies in; at a knot, the one that begins there.
    pub fn stretch(&self, t_s: f64) -> Stretch {
        let (shift_s, within_s) = match self.period_s {
            Some(p) => {
                let shift_s = (t_s / p).floor() * p;
                (shift_s, t_s - shift_s)
            }
            None => (0.0, t_s),
        };
        let last = self.times_s.len() - 1;
        let after = self.times_s.partition_point(|t| *t <= within_s);
        if self.period_s.is_none() && (after == 0 || after > last) {
            // Before the history, or after it.
            let (start_s, end_s, air) = if after == 0 {
                (f64::NEG_INFINITY, self.times_s[0], self.airs[0])
            } else {
                (self.times_s[last], f64::INFINITY, self.airs[last])
            };
            return Stretch {
                start_s,
                end_s,
                first: air,
                last: air,
            };
        }
        let i = after.clamp(1, last);
        Stretch {
            start_s: shift_s + self.times_s[i - 1],
            end_s: shift_s + self.times_s[i],
            first: self.airs[i - 1],
            last: self.airs[i],
        }
    }

    /// Coldest and hottest temperature of all knots. [K]
    pub fn extremes_k(&self) -> (f64, f64) {
        self.airs
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), a| {
                (low.min(a.temperature_k), high.max(a.temperature_k))
            })
    }
}

fn airs(temperature_k: &[f64], humidity: &[f64]) -> Result<Vec<Air>> {
    temperature_k
        .iter()
        .zip(humidity)
        .enumerate()
        .map(|(i, (t, rh))| {
            Ok(Air {
                temperature_k: check(
                    format!("temperature_k[{i}]"),
                    *t,
                    TEMPERATURES_K,
                    "give the air's temperature in kelvin",
                )?,
                humidity: check(
                    format!("humidity[{i}]"),
                    *rh,
                    HUMIDITIES,
                    "give relative humidity as a fraction: 0.5 for 50 %",
                )?,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_repeats_before_and_after_and_is_continuous() {
        let mut hours = [0.0; 24];
        for (h, k) in hours.iter_mut().enumerate() {
            *k = 288.0 + (h as f64 * 7.0) % 11.0;
        }
        let day = Climate::daily(&hours, &[0.4; 24]).unwrap();
        for i in 0..200 {
            let t = f64::from(i) * 431.7;
            for days in [-3.0, 1.0, 40.0] {
                let other = day.temperature_k(t + days * DAY_S);
                assert!((day.temperature_k(t) - other).abs() < 1e-9);
            }
        }
        // 23:30 lies half-way between 23:00 and 0:00.
        let half = f64::midpoint(hours[23], hours[0]);
        assert!((day.temperature_k(23.5 * 3600.0) - half).abs() < 1e-9);
    }

    #[test]
    fn a_history_holds_its_ends() {
        let h = Climate::from_history(&[0.0, 100.0], &[290.0, 300.0], &[0.2, 0.4]).unwrap();
        assert!((h.temperature_k(-5.0) - 290.0).abs() < 1e-12);
        assert!((h.temperature_k(25.0) - 292.5).abs() < 1e-12);
        assert!((h.humidity(1e9) - 0.4).abs() < 1e-12);
        assert!(h.stretch(100.0).end_s.is_infinite());
    }
}
