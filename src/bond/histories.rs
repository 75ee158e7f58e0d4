//! One cure over many histories at once.

use rayon::prelude::*;
use serde::Serialize;

use super::cure::Cure;
use super::kinetics::Kinetics;
use crate::climate::Climate;
use crate::error::{Error, Result};

/// When the stages are reached, one entry for each history; NaN where never.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadyColumns {
    /// Until when the parts can be joined. [s]
    pub open_s: Vec<f64>,
    /// From when on the joint can be handled. [s]
    pub handling_s: Vec<f64>,
    /// From when on it is fully cured. [s]
    pub full_s: Vec<f64>,
}

impl Cure {
    /// [`Cure::ready_at`] over many histories that share their instants, in parallel; the same answer on any number of cores.
    ///
    /// `temperature_k` and `humidity` hold one row of `times_s.len()` values after another.
    ///
    /// # Errors
    /// [`Error::Shape`] for lists that are no whole number of rows or differ in length; what [`Climate::from_history`] and
    /// [`Cure::ready_at`] refuse.
    ///
    /// ```
    /// let epoxy = mountwright::bond::cure_of("epoxy-slow")?;
    /// let hours = [0.0, 36_000.0];
    /// let many = epoxy.ready_over(0.0, &hours, &[293.15, 293.15, 298.15, 298.15], &[0.5; 4])?;
    /// assert!((many.handling_s[0] / 3600.0 - 12.0).abs() < 1e-9 && (many.handling_s[1] / 3600.0 - 7.0).abs() < 1e-9);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn ready_over(
        &self,
        start_s: f64,
        times_s: &[f64],
        temperature_k: &[f64],
        humidity: &[f64],
    ) -> Result<ReadyColumns> {
        let width = times_s.len();
        if width == 0
            || temperature_k.len() != humidity.len()
            || !temperature_k.len().is_multiple_of(width)
        {
            return Err(Error::Shape {
                what: "climate histories".into(),
                given: format!(
                    "{width} instants, {} temperatures, {} humidities",
                    temperature_k.len(),
                    humidity.len()
                ),
                allowed: "at least one instant, and a temperature and a humidity for each instant of each history".into(),
            });
        }
        let rows: Vec<[f64; 3]> = temperature_k
            .par_chunks(width)
            .zip(humidity.par_chunks(width))
            .map(|(t, h)| {
                let climate = Climate::from_history(times_s, t, h)?;
                let ready = self.ready_at(start_s, &climate)?;
                Ok([Some(ready.open_s), ready.handling_s, ready.full_s]
                    .map(|s| s.unwrap_or(f64::NAN)))
            })
            .collect::<Result<_>>()?;
        let column = |i: usize| rows.iter().map(|r| r[i]).collect();
        Ok(ReadyColumns {
            open_s: column(0),
            handling_s: column(1),
            full_s: column(2),
        })
    }
}

impl Kinetics {
    /// Conversion at each of some rising instants, from a conversion at the first.
    ///
    /// # Errors
    /// As for [`Kinetics::conversion`]; [`Error::OutOfRange`] for instants that fall.
    pub fn conversions(&self, from: f64, times_s: &[f64], climate: &Climate) -> Result<Vec<f64>> {
        let mut a = from;
        let mut found = Vec::with_capacity(times_s.len());
        let mut before_s = times_s.first().copied().unwrap_or(0.0);
        for &t_s in times_s {
            a = self.conversion(a, before_s, t_s - before_s, climate)?;
            before_s = t_s;
            found.push(a);
        }
        Ok(found)
    }
}
