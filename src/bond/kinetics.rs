//! Autocatalytic cure kinetics, integrated over any temperature history.

use serde::Serialize;

use super::network::Diffusion;
use super::ode::Stepper;
use crate::climate::{Climate, DAY_S};
use crate::error::{Range, Result, check};
use crate::physics::GAS_CONSTANT;

/// Kamal and Sourour's rate with separate orders: `da/dt = k1 (1-a)^n1 + k2 a^m (1-a)^n2`, `ki = Ai exp(-Ei/RT)`.
///
/// ```
/// use mountwright::bond::kinetics::Kinetics;
/// use mountwright::climate::Climate;
/// // Karkanas (1998) at 140 °C: a = 0.515823 after an hour.
/// let resin = Kinetics::new([2.6e4, 5.78e4], [74_690.0, 57_880.0], [0.449, 1.217, 1.786])?;
/// let oven = Climate::constant(413.15, 0.5)?;
/// assert!((resin.conversion(0.0, 0.0, 3600.0, &oven)? - 0.515823).abs() < 1e-6);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Kinetics {
    /// Factors A1, A2. [1/s]
    factor_1_s: [f64; 2],
    /// Activation energies E1, E2. [J/mol]
    energy_j_mol: [f64; 2],
    /// Order n1 of the uncatalysed path.
    order_free: f64,
    /// Order m of the product in the autocatalytic path.
    order_product: f64,
    /// Order n2 of what is left in the autocatalytic path.
    order_left: f64,
    /// What slows it when the network stiffens.
    diffusion: Diffusion,
}

/// Error allowed in one step, as a share of the conversion reached. Autocatalysis blows an early error up by the ratio of the rates, about as much as the
/// conversion grows: an error in proportion to the conversion does not grow.
const TOLERANCE: (f64, f64) = (1e-7, 1e-18);

/// Conversion from which on a cure counts as complete.
const COMPLETE: f64 = 1.0 - 1e-12;

/// `x^n`, quick for the orders that are common.
#[allow(clippy::float_cmp)] // exactly these orders are meant
fn power(x: f64, n: f64) -> f64 {
    if n == 1.0 {
        x
    } else if n == 2.0 {
        x * x
    } else if n == 0.0 {
        1.0
    } else {
        x.powf(n)
    }
}

impl Kinetics {
    /// Factors `[A1, A2]` in 1/s, activation energies `[E1, E2]` in J/mol, orders `[n1, m, n2]`.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for factors outside 0 to 1e30, energies outside 0 to 300 kJ/mol, orders outside 0 to 10.
    pub fn new(
        factor_1_s: [f64; 2],
        energy_j_mol: [f64; 2],
        [order_free, order_product, order_left]: [f64; 3],
    ) -> Result<Self> {
        let remedy = "copy it from the paper, with its units";
        for (i, a) in factor_1_s.iter().enumerate() {
            check(
                format!("factor_1_s[{i}]"),
                *a,
                Range::new(0.0, 1e30, "1/s"),
                remedy,
            )?;
        }
        for (i, e) in energy_j_mol.iter().enumerate() {
            check(
                format!("energy_j_mol[{i}]"),
                *e,
                Range::new(0.0, 3e5, "J/mol"),
                remedy,
            )?;
        }
        for (what, n) in [("n1", order_free), ("m", order_product), ("n2", order_left)] {
            check(what, n, Range::new(0.0, 10.0, "1"), remedy)?;
        }
        Ok(Self {
            factor_1_s,
            energy_j_mol,
            order_free,
            order_product,
            order_left,
            diffusion: Diffusion::None,
        })
    }

    /// A two-part amine epoxy that cures at room temperature, for illustration: **derived here, not published**.
    ///
    /// The two paths and their activation energies are those of an abstract on diamine-cured DGEBA (14 and 24.5 kcal/mol), third order (m = 1, n = 2); the factors were set so that a = 0.60
    /// at 7 h and 0.80 at 12 h at 25 °C, the handling and cure times of a slow epoxy's data sheet. Too fast above about 50 °C. A data sheet's table comes first.
    pub fn room_temperature_example() -> Self {
        Self {
            factor_1_s: [8.4904e12, 3.2965e6],
            energy_j_mol: [102_508.0, 58_576.0],
            order_free: 2.0,
            order_product: 1.0,
            order_left: 2.0,
            diffusion: Diffusion::None,
        }
    }

    /// The same with both factors multiplied: another grade, another catalyst.
    ///
    /// # Errors
    /// As for [`Kinetics::new`].
    pub fn scaled(self, factor: f64) -> Result<Self> {
        let orders = [self.order_free, self.order_product, self.order_left];
        let faster = Self::new(
            self.factor_1_s.map(|a| a * factor),
            self.energy_j_mol,
            orders,
        )?;
        Ok(faster.with_diffusion(self.diffusion))
    }

    /// The same, slowed by a stiff network.
    #[must_use]
    pub fn with_diffusion(mut self, diffusion: Diffusion) -> Self {
        self.diffusion = diffusion;
        self
    }

    /// Rate constants k1 and k2 at a temperature, without diffusion. [1/s]
    pub fn constants(&self, temperature_k: f64) -> [f64; 2] {
        let beta = -1.0 / (GAS_CONSTANT.value * temperature_k);
        [0, 1].map(|i| self.factor_1_s[i] * (self.energy_j_mol[i] * beta).exp())
    }

    /// Rate at a conversion and a temperature; the conversion is held in 0 to 1. [1/s]
    pub fn rate(&self, conversion: f64, temperature_k: f64) -> f64 {
        let a = conversion.clamp(0.0, 1.0);
        let [k1, k2] = self
            .constants(temperature_k)
            .map(|k| self.diffusion.slowed(k, a, temperature_k));
        let left = 1.0 - a;
        k1 * power(left, self.order_free)
            + k2 * power(a, self.order_product) * power(left, self.order_left)
    }

    /// Conversion after some time in a climate, from a conversion at the start.
    ///
    /// # Errors
    /// As for [`integrate`].
    pub fn conversion(
        &self,
        from: f64,
        start_s: f64,
        seconds: f64,
        climate: &Climate,
    ) -> Result<f64> {
        integrate(|a, t| self.rate(a, t), from, start_s, seconds, climate)
    }

    /// Instant at which a conversion is reached in a climate; `None` where it is not within a year.
    ///
    /// # Errors
    /// As for [`integrate`].
    pub fn reaches(&self, conversion: f64, start_s: f64, climate: &Climate) -> Result<Option<f64>> {
        let reaction = Reaction {
            rate: |a, t| self.rate(a, t),
            climate,
            minimum_k: 0.0,
        };
        reaction.reaches(conversion, start_s)
    }
}

/// Conversion after some time in a climate under any law `da/dt = rate(a, T)`, with `a` held in 0 to 1 and the law in 1/s.
///
/// Explicit fifth-order steps with error control (1e-8 of the conversion in each), cut at the kinks of the climate.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a conversion outside 0 to 1, a start that is not finite, a time outside 0 to 30 years;
/// [`crate::Error::Impossible`] where the law is so fast or so rough that two million steps do not do.
pub fn integrate(
    rate: impl Fn(f64, f64) -> f64,
    from: f64,
    start_s: f64,
    seconds: f64,
    climate: &Climate,
) -> Result<f64> {
    let range = Range::new(0.0, 1e9, "s");
    check("seconds", seconds, range, "give the time after the start")?;
    let reaction = Reaction {
        rate,
        climate,
        minimum_k: 0.0,
    };
    let (_, a) = reaction.go(from, start_s, start_s + seconds, f64::INFINITY)?;
    Ok(a)
}

/// A rate law running in a climate, standing still below a temperature.
pub(crate) struct Reaction<'a, F: Fn(f64, f64) -> f64> {
    pub(crate) rate: F,
    pub(crate) climate: &'a Climate,
    pub(crate) minimum_k: f64,
}

impl<F: Fn(f64, f64) -> f64> Reaction<'_, F> {
    pub(crate) fn reaches(&self, conversion: f64, start_s: f64) -> Result<Option<f64>> {
        let range = Range::new(0.0, COMPLETE, "1");
        check("conversion", conversion, range, "full cure is about 0.95")?;
        let (t_s, a) = self.go(0.0, start_s, start_s + super::cure::LONGEST_S, conversion)?;
        Ok((a >= conversion).then_some(t_s))
    }

    /// From a conversion at `start_s` until `end_s` or a level: the instant and the conversion there.
    fn go(&self, from: f64, start_s: f64, end_s: f64, level: f64) -> Result<(f64, f64)> {
        let mut a = check(
            "from",
            from,
            Range::new(0.0, 1.0, "1"),
            "conversion at the start",
        )?;
        let range = Range::new(-1e10, 1e10, "s");
        let mut t_s = check(
            "start_s",
            start_s,
            range,
            "seconds since the plan's first midnight",
        )?;
        let level = level.min(COMPLETE);
        let mut stepper = Stepper::new([TOLERANCE]);
        let (mut day_s, mut day_a) = (t_s + DAY_S, a);
        while t_s < end_s && a < level {
            let stretch = self.climate.stretch(t_s);
            // Cut where it stops standing still; and at days, to see whether anything still happens.
            let mut stop_s = stretch.end_s.min(end_s).min(day_s);
            let (t0, t1) = (
                stretch.at(t_s).temperature_k,
                stretch.at(stop_s).temperature_k,
            );
            if (t0 - self.minimum_k) * (t1 - self.minimum_k) < 0.0 {
                let x = (self.minimum_k - t0) / (t1 - t0);
                let cut_s = t_s + x * (stop_s - t_s);
                if cut_s > t_s {
                    stop_s = cut_s;
                }
            }
            let still = stretch.at(f64::midpoint(t_s, stop_s)).temperature_k < self.minimum_k;
            if still {
                t_s = stop_s;
            } else {
                let rate = |t: f64, y: &[f64; 1]| {
                    [(self.rate)(
                        y[0].clamp(0.0, 1.0),
                        stretch.at(t).temperature_k,
                    )]
                };
                let end = stepper.run(rate, t_s, [a], stop_s, level, |_, _| ())?;
                (t_s, a) = (end.t_s, end.y[0].clamp(0.0, 1.0));
            }
            if t_s >= day_s {
                // A day that repeats and brings next to nothing brings nothing more.
                let settled = self.climate.period_s().is_some() || stretch.end_s.is_infinite();
                if settled && a - day_a < 1e-9 {
                    return Ok((t_s, a));
                }
                (day_s, day_a) = (t_s + DAY_S, a);
            }
        }
        Ok((t_s, a))
    }
}
