//! Road vibration: a published random profile, and what a mount with one main frequency makes of it.

use std::f64::consts::PI;

use serde::Serialize;

use super::check::{Check, MarginKind, Rule, Sense};
use crate::error::{Error, Range, Result, check};
use crate::sourced::{Constant, Standing};

/// Amplification at resonance of plastic parts held by screws.
pub const Q_SCREWED: Constant = Constant {
    name: "mount.q_screwed",
    value: 10.0,
    low: 8.0,
    high: 15.0,
    unit: "1",
    source: "common practice for screwed plastic parts, no source",
    standing: Standing::CommonPractice,
};

/// Spectral density of acceleration, straight in log-log between its points and nothing outside.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Psd {
    /// (frequency Hz, density (m/s²)²/Hz), frequencies rising.
    points: Vec<(f64, f64)>,
}

/// The profile of the car's body: (frequency Hz, density (m/s²)²/Hz).
pub const BODY: [(f64, f64); 6] = [
    (10.0, 20.0),
    (55.0, 6.5),
    (180.0, 0.25),
    (300.0, 0.25),
    (360.0, 0.14),
    (1000.0, 0.14),
];

/// Where the body profile comes from.
pub const BODY_SOURCE: &str = "ISO 16750-3 test IV, random vibration of the car body, 8 h for each axis, 10 to 1000 Hz: break points from memory; they integrate to 27.78 m/s², and the standard's figure is 27.8";

impl Psd {
    /// A profile of 2 to 200 points.
    ///
    /// # Errors
    /// [`Error::Shape`] for too few or too many points or frequencies that do not rise, [`Error::OutOfRange`] for a
    /// frequency outside 0.01 to 1e6 Hz or a density outside 1e-12 to 1e12 (m/s²)²/Hz.
    pub fn new(points: Vec<(f64, f64)>) -> Result<Self> {
        if points.len() < 2 || points.len() > 200 {
            return Err(Error::Shape {
                what: "vibration profile".into(),
                given: format!("{} points", points.len()),
                allowed: "2 to 200 points".into(),
            });
        }
        for (i, &(f, s)) in points.iter().enumerate() {
            check(
                format!("profile[{i}].frequency_hz"),
                f,
                Range::new(0.01, 1e6, "Hz"),
                "give hertz",
            )?;
            check(
                format!("profile[{i}].density"),
                s,
                Range::new(1e-12, 1e12, "(m/s²)²/Hz"),
                "give (m/s²)²/Hz; 1 g²/Hz is 96.2 of them",
            )?;
        }
        if points.windows(2).any(|w| matches!(w, [a, b] if b.0 <= a.0)) {
            return Err(Error::Shape {
                what: "vibration profile".into(),
                given: "frequencies that do not rise".into(),
                allowed: "each frequency above the one before".into(),
            });
        }
        Ok(Self { points })
    }

    /// The body of a car: see [`BODY_SOURCE`].
    ///
    /// ```
    /// let rms = mountwright::mount::vibration::Psd::body().rms_m_s2();
    /// assert!((rms - 27.784).abs() < 5e-4);
    /// ```
    pub fn body() -> Self {
        Self {
            points: BODY.to_vec(),
        }
    }

    /// Density at `frequency_hz`, 0 outside the profile. [(m/s²)²/Hz]
    pub fn at(&self, frequency_hz: f64) -> f64 {
        self.segments()
            .find(|s| frequency_hz >= s.0.0 && frequency_hz <= s.1.0)
            .map_or(0.0, |s| along(s, frequency_hz))
    }

    fn segments(&self) -> impl Iterator<Item = ((f64, f64), (f64, f64))> + '_ {
        self.points.windows(2).filter_map(|w| match w {
            [a, b] => Some((*a, *b)),
            _ => None,
        })
    }

    /// Mean square between two frequencies, in closed form. [(m/s²)²]
    ///
    /// A segment with slope n: `S1 f1/(n+1) [(f2/f1)^(n+1) - 1]`, or `S1 f1 ln(f2/f1)` where n = -1.
    pub fn mean_square(&self, low_hz: f64, high_hz: f64) -> f64 {
        self.segments()
            .map(|s| {
                let (f1, f2) = (low_hz.max(s.0.0), high_hz.min(s.1.0));
                if f2 <= f1 {
                    return 0.0;
                }
                let power = slope(s) + 1.0;
                let span = (f2 / f1).ln();
                // (e^(p u) - 1)/p, which goes to u as p goes to 0
                let x = power * span;
                let integral = if x.abs() < 1e-12 {
                    span
                } else {
                    x.exp_m1() / power
                };
                along(s, f1) * f1 * integral
            })
            .sum()
    }

    /// Root mean square of the whole profile. [m/s²]
    pub fn rms_m_s2(&self) -> f64 {
        self.mean_square(0.0, f64::INFINITY).sqrt()
    }

    /// Root mean square acceleration of a part on this profile, by integrating `|H|² S` over all of it. [m/s²]
    ///
    /// `|H|² = (1 + (2 z r)²)/((1 - r²)² + (2 z r)²)`, `r = f/f_n`, z = 1/(2 Q): one mode, moved at its foot.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a frequency outside 0.1 Hz to 1 MHz or a Q outside 0.51 to 1000.
    ///
    /// ```
    /// let body = mountwright::mount::vibration::Psd::body();
    /// assert!((body.response_rms_m_s2(63.2, 10.0)? - 69.8).abs() < 0.1);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn response_rms_m_s2(&self, frequency_hz: f64, q: f64) -> Result<f64> {
        let natural_hz = check(
            "frequency_hz",
            frequency_hz,
            Range::new(0.1, 1e6, "Hz"),
            "give the first frequency in hertz",
        )?;
        let q = check(
            "q",
            q,
            Range::new(0.51, 1000.0, ""),
            "8 to 15 for screwed plastic",
        )?;
        Ok(self
            .segments()
            .map(|s| segment_response(s, natural_hz, q))
            .sum::<f64>()
            .sqrt())
    }
}

/// Slope of a segment in log-log.
fn slope(((f1, s1), (f2, s2)): ((f64, f64), (f64, f64))) -> f64 {
    (s2 / s1).ln() / (f2 / f1).ln()
}

fn along(segment: ((f64, f64), (f64, f64)), f: f64) -> f64 {
    let (f1, s1) = segment.0;
    s1 * (f / f1).powf(slope(segment))
}

/// Power of the transmissibility of one mode at `ratio` = `f/f_n`.
pub fn transmissibility_squared(ratio: f64, q: f64) -> f64 {
    let damped = (ratio / q).powi(2);
    (1.0 + damped) / ((1.0 - ratio * ratio).powi(2) + damped)
}

/// `|H|² S` over one segment in u = ln f, by Simpson on panels that crowd round the resonance.
fn segment_response(segment: ((f64, f64), (f64, f64)), fn_hz: f64, q: f64) -> f64 {
    let (start, end) = (segment.0.0.ln(), segment.1.0.ln());
    let centre = fn_hz.ln();
    let mut cuts = vec![start, end];
    let mut reach = 0.5 / q; // half the half-power width, in ln f
    while reach < 20.0 {
        cuts.extend([centre - reach, centre + reach]);
        reach *= 2.0;
    }
    cuts.push(centre);
    cuts.retain(|c| (start..=end).contains(c));
    cuts.sort_by(f64::total_cmp);
    let integrand = |u: f64| {
        let f = u.exp();
        transmissibility_squared(f / fn_hz, q) * along(segment, f) * f
    };
    cuts.windows(2)
        .map(|w| match w {
            [a, b] => simpson(integrand, *a, *b),
            _ => 0.0,
        })
        .sum()
}

/// Simpson's rule on 16 intervals.
fn simpson(f: impl Fn(f64) -> f64, a: f64, b: f64) -> f64 {
    const HALF_INTERVALS: i32 = 8;
    let h = (b - a) / f64::from(2 * HALF_INTERVALS);
    let mut sum = f(a) + f(b);
    for i in 0..HALF_INTERVALS {
        sum += 4.0 * f(a + h * f64::from(2 * i + 1));
        if i > 0 {
            sum += 2.0 * f(a + h * f64::from(2 * i));
        }
    }
    sum * h / 3.0
}

/// Miles' equation: rms response of one mode to a flat density, `sqrt(pi/2 f_n Q S)`. In the unit of `density`'s root.
///
/// Only a cross-check here: on the body profile it runs 15 to 25 % low above about 100 Hz, because what passes
/// below resonance is not in it. Use [`Psd::response_rms_m_s2`].
///
/// # Source
/// Miles, J. Aeronautical Sciences 21 (1954); NASA note on Miles' equation.
pub fn miles_rms(frequency_hz: f64, q: f64, density: f64) -> f64 {
    (PI / 2.0 * frequency_hz * q * density).sqrt()
}

/// Rms travel against the foot under a flat density of acceleration: `sqrt(Q S/(32 pi³ f_n³))`. [m]
pub fn miles_travel_m(frequency_hz: f64, q: f64, density: f64) -> f64 {
    (q * density / (32.0 * PI.powi(3) * frequency_hz.powi(3))).sqrt()
}

/// Share of the strength that plastics stand for millions of cycles, as the factor on three times the rms stress.
pub const FATIGUE_FACTOR: Constant = Constant {
    name: "mount.fatigue_factor",
    value: 3.0,
    low: 2.5,
    high: 4.0,
    unit: "1",
    source: "endurance of plastics at 10^6 to 10^7 cycles is about a quarter to a third of static strength, from memory",
    standing: Standing::Remembered,
};

const ROAD: Rule = Rule {
    name: "road vibration, hot",
    unit: "Pa",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.25,
    source: "ISO 16750-3 test IV profile (break points from memory, their integral agrees with the standard's rms) integrated with one mode; three times rms against bending strength over 3 (endurance of plastics, from memory)",
    standing: Standing::Remembered,
};

/// What shaking does to a part.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Shaken {
    /// First frequency, hot. [Hz]
    pub frequency_hz: f64,
    /// Bending stress for each m/s² of its load. [Pa/(m/s²)]
    pub stress_per_m_s2: f64,
    /// Bending strength, hot. [Pa]
    pub strength_pa: f64,
}

impl Shaken {
    pub(super) fn validate(&self) -> Result<()> {
        check(
            "stress_per_m_s2",
            self.stress_per_m_s2,
            Range::new(0.0, 1e12, "Pa/(m/s²)"),
            "give the bending stress under 1 m/s²",
        )?;
        check(
            "strength_pa",
            self.strength_pa,
            Range::new(1.0, 1e10, "Pa"),
            "give the bending strength in pascal",
        )?;
        Ok(())
    }
}

/// Three times the rms stress on the body profile against a third of the hot strength.
///
/// # Errors
/// As [`Psd::response_rms_m_s2`], and for a stress or strength that cannot be.
pub fn road(part: &str, shaken: &Shaken, q: f64) -> Result<Check> {
    shaken.validate()?;
    let rms = Psd::body().response_rms_m_s2(shaken.frequency_hz, q)?;
    let stress = 3.0 * rms * shaken.stress_per_m_s2;
    let limit = shaken.strength_pa / FATIGUE_FACTOR.value;
    let why = format!(
        "first frequency {:.0} Hz; {rms:.0} m/s² rms on the road, three times that bends it to {:.1} MPa; hot strength over {} is {:.1} MPa",
        shaken.frequency_hz,
        stress / 1e6,
        FATIGUE_FACTOR.value,
        limit / 1e6
    );
    Ok(ROAD.judge(part, stress, limit, why, || {
        stronger(stress * FATIGUE_FACTOR.value, ROAD.reserve)
    }))
}

/// The hot strength that would pass, for the advice: `factored` is stress times its factor.
pub(super) fn stronger(factored_pa: f64, reserve: f64) -> String {
    format!(
        "a wider or shorter span, or a sheet as stiff with a hot bending strength of {:.1} MPa",
        (factored_pa / (1.0 - reserve) / 1e5).ceil() / 10.0
    )
}
