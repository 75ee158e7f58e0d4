//! A clock running in air that changes: the shares of its time add up to one.

use super::clock::Clock;
use super::kinetics::Reaction;
use crate::climate::{Air, Climate, Stretch};
use crate::error::Result;

/// Nodes and weights of three-point Gauss-Legendre quadrature on 0 to 1 (Abramowitz and Stegun, table 25.4).
const NODES: [f64; 3] = [0.112_701_665_379_258_31, 0.5, 0.887_298_334_620_741_7];
const WEIGHTS: [f64; 3] = [5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0];

/// Longest step in temperature of one quadrature. At 100 kJ/mol the exponent changes by 0.7 over it near 20 °C, and the rule, whose relative error is
/// `x^7 (3!)^4/(7 (6!)^3)` for an exponent that changes by x, misses by less than 1e-7. [K]
const STEP_K: f64 = 5.0;

/// What a stage met on its way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Way {
    /// The instant at which it is done; `None` where it never is. [s]
    pub(crate) at_s: Option<f64>,
    /// Coldest and hottest air on the way. [K]
    pub(crate) temperature_k: (f64, f64),
    /// Driest and dampest air on the way.
    pub(crate) humidity: (f64, f64),
}

/// One clock running in a climate, slowed by a factor, standing still below a temperature.
pub(crate) struct Run<'a> {
    pub(crate) clock: &'a Clock,
    pub(crate) factor: f64,
    pub(crate) minimum_k: f64,
}

impl Run<'_> {
    fn rate(&self, air: Air) -> f64 {
        if air.temperature_k < self.minimum_k {
            0.0
        } else {
            self.clock.rate(air) / self.factor
        }
    }

    /// Runs from `start_s` until the share gone by is one.
    pub(crate) fn from(&self, start_s: f64, climate: &Climate) -> Result<Way> {
        let mut way = Way {
            at_s: None,
            temperature_k: (f64::INFINITY, f64::NEG_INFINITY),
            humidity: (f64::INFINITY, f64::NEG_INFINITY),
        };
        if let Clock::Converted {
            kinetics,
            conversion,
        } = self.clock
        {
            let reaction = Reaction {
                rate: |a, t| kinetics.rate(a, t) / self.factor,
                climate,
                minimum_k: self.minimum_k,
            };
            way.at_s = reaction.reaches(*conversion, start_s)?;
            way.meets(climate.air(start_s));
            return Ok(way);
        }
        let mut done = 0.0;
        let mut t_s = start_s;
        // A day that repeats is integrated once; whole days are then passed over.
        let mut day_end_s = climate.period_s().map_or(f64::INFINITY, |p| start_s + p);
        loop {
            let stretch = climate.stretch(t_s);
            let end_s = stretch.end_s.min(day_end_s);
            let from = stretch.at(t_s);
            if end_s.is_infinite() {
                way.meets(from);
                let rate = self.rate(from);
                way.at_s = (rate > 0.0).then(|| t_s + (1.0 - done) / rate);
                return Ok(way);
            }
            match self.over(&stretch, t_s, end_s, 1.0 - done, &mut way) {
                Passed::Share(share) => done += share,
                Passed::Done(at_s) => {
                    way.at_s = Some(at_s);
                    return Ok(way);
                }
            }
            t_s = end_s;
            if t_s >= day_end_s {
                if done <= 0.0 {
                    return Ok(way);
                }
                let period_s = day_end_s - start_s;
                let days = ((1.0 - done) / done).floor().max(0.0);
                t_s += days * period_s;
                done = (done + days * done).min(1.0);
                day_end_s = f64::INFINITY;
                if !t_s.is_finite() || t_s > 1e12 {
                    return Ok(way);
                }
            }
        }
    }

    /// The share that goes by between two instants of one stretch, or the instant at which `need` of it is reached.
    fn over(&self, stretch: &Stretch, from_s: f64, to_s: f64, need: f64, way: &mut Way) -> Passed {
        let (a, b) = (stretch.at(from_s), stretch.at(to_s));
        let rise_k = b.temperature_k - a.temperature_k;
        let damper = b.humidity - a.humidity;
        let mut cuts = Cuts::new();
        if rise_k.abs() > 0.0 {
            let mut kink = |k: f64| cuts.add((k - a.temperature_k) / rise_k);
            self.clock.each_kink_k(&mut kink);
            kink(self.minimum_k);
        }
        if damper.abs() > 0.0 {
            self.clock
                .each_kink_humidity(|h| cuts.add((h - a.humidity) / damper));
        }
        let mut passed = 0.0;
        let mut x0 = 0.0;
        for &x1 in cuts.sorted() {
            let steps = ((x1 - x0) * rise_k.abs() / STEP_K).ceil().max(1.0);
            let width = (x1 - x0) / steps;
            let mut step = 0.0;
            while step < steps {
                let piece = Piece {
                    run: self,
                    stretch,
                    from_s: from_s + (x0 + step * width) * (to_s - from_s),
                    length_s: width * (to_s - from_s),
                    steady: rise_k.abs() <= 0.0 && damper.abs() <= 0.0,
                };
                way.meets(stretch.at(piece.from_s));
                let share = piece.share(piece.length_s);
                if passed + share >= need {
                    let at_s = piece.from_s + piece.time_of(need - passed, share);
                    way.meets(stretch.at(at_s));
                    return Passed::Done(at_s);
                }
                passed += share;
                step += 1.0;
            }
            x0 = x1;
        }
        way.meets(b);
        Passed::Share(passed)
    }
}

enum Passed {
    Share(f64),
    Done(f64),
}

impl Way {
    fn meets(&mut self, air: Air) {
        self.temperature_k.0 = self.temperature_k.0.min(air.temperature_k);
        self.temperature_k.1 = self.temperature_k.1.max(air.temperature_k);
        self.humidity.0 = self.humidity.0.min(air.humidity);
        self.humidity.1 = self.humidity.1.max(air.humidity);
    }
}

/// A smooth piece of one stretch.
struct Piece<'a> {
    run: &'a Run<'a>,
    stretch: &'a Stretch,
    from_s: f64,
    length_s: f64,
    steady: bool,
}

impl Piece<'_> {
    /// Share that goes by in the first `length_s` of the piece.
    fn share(&self, length_s: f64) -> f64 {
        if self.steady {
            return length_s * self.run.rate(self.stretch.first);
        }
        let sum: f64 = NODES
            .iter()
            .zip(WEIGHTS)
            .map(|(x, w)| w * self.run.rate(self.stretch.at(self.from_s + x * length_s)))
            .sum();
        length_s * sum
    }

    /// Time from the piece's start at which `need` of its whole `share` has gone by.
    fn time_of(&self, need: f64, share: f64) -> f64 {
        if self.steady {
            return need / share * self.length_s;
        }
        // Newton's method, kept inside the bracket.
        let (mut low, mut high) = (0.0, self.length_s);
        let mut t = self.length_s * (need / share);
        for _ in 0..60 {
            let miss = self.share(t) - need;
            if miss > 0.0 {
                high = t;
            } else {
                low = t;
            }
            let rate = self.run.rate(self.stretch.at(self.from_s + t));
            let mut next = t - miss / rate;
            if !(next > low && next < high) {
                next = f64::midpoint(low, high);
            }
            if (next - t).abs() <= 1e-9 * self.length_s {
                return next;
            }
            t = next;
        }
        t
    }
}

/// Places in 0 to 1 where a piece ends.
struct Cuts {
    at: [f64; 16],
    count: usize,
}

impl Cuts {
    fn new() -> Self {
        Self {
            at: [1.0; 16],
            count: 1,
        }
    }

    /// Adds a place strictly inside; a kink too many only costs accuracy.
    fn add(&mut self, x: f64) {
        if x > 0.0 && x < 1.0 && self.count < self.at.len() {
            self.at[self.count] = x;
            self.count += 1;
        }
    }

    fn sorted(&mut self) -> &[f64] {
        let at = &mut self.at[..self.count];
        if at.len() > 1 {
            at.sort_unstable_by(f64::total_cmp);
        }
        at
    }
}
