//! Learning over a batch: hands get quicker, machines and cures do not.

use serde::Serialize;

use crate::error::{Error, Range, Result, check};
use crate::task::Task;

/// What the slope of a learning curve is a slope of.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Model {
    /// Each unit by itself (Crawford): `t_k = T1 k^b`.
    Unit,
    /// The mean of the first `k` (Wright): `mean_k = T1 k^b`.
    CumulativeAverage,
}

/// Slope and model of a learning curve; a slope means nothing without its model.
///
/// ```
/// use mountwright::cost::{Curve, Model};
/// let curve = Curve::new(0.8, Model::Unit)?;
/// // Every doubling takes a fifth off the unit.
/// assert!((curve.from_first(100.0)?.unit(2)? - 80.0).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Curve {
    slope: f64,
    model: Model,
    machine_share: f64,
    units_before: f64,
}

/// Slopes taken: half the time at each doubling to none saved.
const SLOPES: Range = Range::new(0.5, 1.0, "");
/// Largest unit number.
const MOST_UNITS: f64 = 1e6;
/// Times of a unit, in any unit of time.
const TIMES: Range = Range::new(0.0, 1e9, "");

impl Curve {
    /// A curve; `slope` 0.5 to 1 is the time left after a doubling.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a slope outside 0.5 to 1.
    pub fn new(slope: f64, model: Model) -> Result<Self> {
        let slope = check(
            "slope",
            slope,
            SLOPES,
            "0.9 means that a doubling takes a tenth off",
        )?;
        Ok(Self {
            slope,
            model,
            machine_share: 0.0,
            units_before: 0.0,
        })
    }

    /// The same with a share of the first unit that a machine or the material paces (De Jong 1957).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside 0 to 1.
    pub fn with_machine_share(self, share: f64) -> Result<Self> {
        let range = Range::new(0.0, 1.0, "");
        let machine_share = check("machine_share", share, range, "give a fraction of the time")?;
        Ok(Self {
            machine_share,
            ..self
        })
    }

    /// The same for hands that have made the equal of some units before (Stanford-B); `T1` stays the time of a first unit without them.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside 0 to 1000.
    pub fn with_units_before(self, units: f64) -> Result<Self> {
        let range = Range::new(0.0, 1000.0, "");
        let units_before = check("units_before", units, range, "4 is usual for a related job")?;
        Ok(Self {
            units_before,
            ..self
        })
    }

    /// Slope.
    pub const fn slope(&self) -> f64 {
        self.slope
    }

    /// Model.
    pub const fn model(&self) -> Model {
        self.model
    }

    /// The times of a batch whose first unit takes `first`, in any unit of time.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a time that is negative or not finite.
    pub fn from_first(self, first: f64) -> Result<Learning> {
        let first = check(
            "time of the first unit",
            first,
            TIMES,
            "a time is zero or more",
        )?;
        Ok(Learning { first, curve: self })
    }

    /// The times of a batch of which unit `k` was timed.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a time that is negative or not finite, or unit 0.
    pub fn from_timed(self, k: u32, time: f64) -> Result<Learning> {
        let time = check("time of the unit", time, TIMES, "a time is zero or more")?;
        let at = Learning {
            first: 1.0,
            curve: self,
        }
        .unit(k)?;
        self.from_first(time / at)
    }

    /// `ln S / ln 2`, zero or below.
    fn exponent(&self) -> f64 {
        self.slope.log2()
    }

    /// Time of all units up to `k`, in first units, of what hands pace: the model's own sum.
    fn learned_unit(&self, k: f64) -> f64 {
        let x = k + self.units_before;
        let b = self.exponent();
        match self.model {
            Model::Unit => x.powf(b),
            // Nothing before the first unit, also at 50 %, where its power would be 0⁰.
            Model::CumulativeAverage if x <= 1.0 => x.powf(1.0 + b),
            Model::CumulativeAverage => x.powf(1.0 + b) - (x - 1.0).powf(1.0 + b),
        }
    }
}

/// First unit, slope and model of learning as one value.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Learning {
    first: f64,
    curve: Curve,
}

impl Learning {
    /// Time of the first unit.
    pub const fn first(&self) -> f64 {
        self.first
    }

    /// Slope and model.
    pub const fn curve(&self) -> Curve {
        self.curve
    }

    /// Time of unit `k`, from 1.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for unit 0 or beyond a million.
    pub fn unit(&self, k: u32) -> Result<f64> {
        let k = check(
            "unit",
            f64::from(k),
            Range::new(1.0, MOST_UNITS, ""),
            "units count from 1",
        )?;
        let machine = self.curve.machine_share;
        Ok(self.first * (machine + (1.0 - machine) * self.curve.learned_unit(k)))
    }

    /// Time of units `first` to `last`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] unless `1 <= first <= last <= 1 000 000`.
    pub fn lot(&self, first: u32, last: u32) -> Result<f64> {
        let from = check(
            "first unit",
            f64::from(first),
            Range::new(1.0, MOST_UNITS, ""),
            "units count from 1",
        )?;
        let to = Range::new(from, MOST_UNITS, "");
        let to = check(
            "last unit",
            f64::from(last),
            to,
            "a lot holds one unit or more",
        )?;
        let units = to - from + 1.0;
        let learned = match self.curve.model {
            Model::Unit => (first..=last)
                .map(|k| self.curve.learned_unit(f64::from(k)))
                .sum(),
            // The sum of the differences, without adding them.
            Model::CumulativeAverage => {
                let power = |x: f64| match x + self.curve.units_before {
                    // Nothing before the first unit, also at 50 %, where its power would be 0⁰.
                    none if none <= 0.0 => 0.0,
                    x => x.powf(1.0 + self.curve.exponent()),
                };
                power(to) - power(from - 1.0)
            }
        };
        let machine = self.curve.machine_share;
        Ok(self.first * (machine * units + (1.0 - machine) * learned))
    }

    /// Time of the first `n` units; none take no time.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] beyond a million units.
    pub fn total(&self, n: u32) -> Result<f64> {
        if n == 0 { Ok(0.0) } else { self.lot(1, n) }
    }

    /// The curve through timed units `(k, time)` of a batch, by least squares of `ln t` on `ln k` (unit model).
    ///
    /// # Errors
    /// [`Error::Shape`] for fewer than two different units; [`Error::OutOfRange`] for times that are not positive, or where the fitted slope lies outside 0.5 to 1.
    pub fn fitted(timed: &[(u32, f64)]) -> Result<Self> {
        let mut points = Vec::with_capacity(timed.len());
        for &(k, time) in timed {
            let k = check(
                "unit",
                f64::from(k),
                Range::new(1.0, MOST_UNITS, ""),
                "units count from 1",
            )?;
            let positive = Range::new(f64::MIN_POSITIVE, 1e9, "");
            let time = check("time of the unit", time, positive, "a timed unit took time")?;
            points.push((k.ln(), time.ln()));
        }
        let n = points.len() as f64;
        let (x, y) = points
            .iter()
            .fold((0.0, 0.0), |sum, p| (sum.0 + p.0 / n, sum.1 + p.1 / n));
        let xx: f64 = points.iter().map(|p| (p.0 - x).powi(2)).sum();
        let xy: f64 = points.iter().map(|p| (p.0 - x) * (p.1 - y)).sum();
        if xx <= 0.0 {
            return Err(Error::Shape {
                what: "timed units".into(),
                given: format!("{} of one number", points.len()),
                allowed: "two or more with different numbers".into(),
            });
        }
        let b = xy / xx;
        Curve::new(b.exp2(), Model::Unit)?.from_first((y - b * x).exp())
    }
}

/// Attended time of a task over a batch of `units`: once where it is done once, learned where hands pace it, else the same for each. [s]
///
/// # Errors
/// [`Error::OutOfRange`] for a time that is negative or not finite, or more than a million units.
pub fn batch_s(task: &Task, attended_s: f64, units: u32, curve: Option<Curve>) -> Result<f64> {
    let range = Range { unit: "s", ..TIMES };
    check(
        format!("\"{}\".attended_s", task.id),
        attended_s,
        range,
        "a time is zero or more",
    )?;
    match curve {
        _ if task.once => Ok(if units == 0 { 0.0 } else { attended_s }),
        Some(curve) if task.kind.learns() => curve.from_first(attended_s)?.total(units),
        _ => Ok(attended_s * f64::from(units)),
    }
}
