//! Slammed doors and kerbs: the peak answer of a mount to a half-sine shock.

use std::f64::consts::PI;

use serde::Serialize;

use super::check::{Check, MarginKind, Rule, Sense};
use super::vibration::{Shaken, stronger};
use crate::error::{Range, Result, check};
use crate::sourced::Standing;

/// A half-sine shock.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HalfSine {
    /// Its name.
    pub name: &'static str,
    /// Peak. [m/s²]
    pub peak_m_s2: f64,
    /// Length. [s]
    pub duration_s: f64,
    /// Factor on the hot strength: more where it comes many thousand times.
    pub factor: f64,
}

/// Slam of a door, the harder of two published profiles; it comes tens of thousands of times.
pub const DOOR_SLAM: HalfSine = HalfSine {
    name: "door slam",
    peak_m_s2: 500.0,
    duration_s: 0.011,
    factor: 2.0,
};
/// Shock at rigid points of the body: kerb, pothole; it comes now and then.
pub const BODY_SHOCK: HalfSine = HalfSine {
    name: "kerb shock",
    peak_m_s2: 500.0,
    duration_s: 0.006,
    factor: 1.5,
};

impl HalfSine {
    /// Change of speed: `2 A T/pi`. [m/s]
    ///
    /// ```
    /// let slam = mountwright::mount::shock::DOOR_SLAM;
    /// assert!((slam.speed_change_m_s() - 3.501).abs() < 5e-4);
    /// ```
    pub fn speed_change_m_s(&self) -> f64 {
        2.0 * self.peak_m_s2 * self.duration_s / PI
    }

    /// Peak acceleration of a mount of first frequency `frequency_hz`. [m/s²]
    ///
    /// # Errors
    /// As [`half_sine_peak`].
    pub fn peak_on(&self, frequency_hz: f64, q: f64) -> Result<f64> {
        let limits = [
            (
                "shock.peak_m_s2",
                self.peak_m_s2,
                Range::new(0.0, 1e6, "m/s²"),
            ),
            (
                "shock.duration_s",
                self.duration_s,
                Range::new(1e-5, 1.0, "s"),
            ),
            ("shock.factor", self.factor, Range::new(1.0, 100.0, "")),
        ];
        for (what, value, range) in limits {
            check(
                what,
                value,
                range,
                "body and door shocks are 300 to 500 m/s² for 6 to 11 ms",
            )?;
        }
        Ok(self.peak_m_s2 * half_sine_peak(frequency_hz * self.duration_s, q)?)
    }
}

/// Peak absolute acceleration of one mode over the peak of a half-sine at its foot; `cycles` = `f_n T`.
///
/// The exact solution of the damped mode, during the pulse and after it, is scanned and its peak refined. Above
/// 200 cycles the part follows its foot within 0.5 %, and the answer is that of 200.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for `cycles` outside 0 to 1e7 or a Q outside 0.51 to 1e4.
///
/// ```
/// use mountwright::mount::shock::half_sine_peak;
/// assert!((half_sine_peak(1.0, 10.0)? - 1.624).abs() < 5e-4);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn half_sine_peak(cycles: f64, q: f64) -> Result<f64> {
    let cycles = check(
        "cycles",
        cycles,
        Range::new(0.0, 1e7, ""),
        "give first frequency times length of the shock",
    )?
    .min(200.0);
    let q = check(
        "q",
        q,
        Range::new(0.51, 1e4, ""),
        "8 to 15 for screwed plastic",
    )?;
    if cycles < 1e-9 {
        return Ok(0.0);
    }
    let mode = Mode::new(cycles, q);
    // The pulse lasts from 0 to 1; after it the first swing is the largest: one and a half periods hold it.
    let pulse = scan(|t| mode.during(t).abs(), 0.0, 1.0, cycles.max(1.0));
    let after = scan(|t| mode.after(t).abs(), 0.0, 1.5 / cycles, 1.5);
    Ok(pulse.max(after))
}

/// Greatest value of `f` on `[a, b]`, which holds about `swings` periods: a fine scan, then a golden section.
fn scan(f: impl Fn(f64) -> f64, a: f64, b: f64, swings: f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_8;
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // at most 200 * 64
    let n = (64.0 * swings).ceil().clamp(64.0, 12_800.0) as u32;
    let step = (b - a) / f64::from(n);
    let at = |i: u32| a + step * f64::from(i);
    let mut best = (0, f(a));
    for i in 1..=n {
        let value = f(at(i));
        if value > best.1 {
            best = (i, value);
        }
    }
    let (mut low, mut high) = ((at(best.0) - step).max(a), (at(best.0) + step).min(b));
    for _ in 0..40 {
        let x1 = high - GOLDEN * (high - low);
        let x2 = low + GOLDEN * (high - low);
        if f(x1) < f(x2) {
            low = x1;
        } else {
            high = x2;
        }
    }
    f(f64::midpoint(low, high)).max(best.1)
}

/// `x'' + 2 z w x' + w² x = -sin(pi t)` for 0 < t < 1, at rest before; free after.
struct Mode {
    w: f64,
    z: f64,
    wd: f64,
    /// Particular solution `p sin + r cos`.
    p: f64,
    r: f64,
    /// State at the end of the pulse.
    end: (f64, f64),
}

impl Mode {
    fn new(cycles: f64, q: f64) -> Self {
        let w = 2.0 * PI * cycles;
        let z = 0.5 / q;
        let gap = w * w - PI * PI;
        let drag = 2.0 * z * w * PI;
        let below = gap * gap + drag * drag;
        let mut mode = Self {
            w,
            z,
            wd: w * (1.0 - z * z).sqrt(),
            p: -gap / below,
            r: drag / below,
            end: (0.0, 0.0),
        };
        mode.end = mode.forced(1.0);
        mode
    }

    /// Free decay from (x0, v0) after `t`.
    fn free(&self, (x0, v0): (f64, f64), t: f64) -> (f64, f64) {
        let decay = (-self.z * self.w * t).exp();
        let (sin, cos) = (self.wd * t).sin_cos();
        let b = (v0 + self.z * self.w * x0) / self.wd;
        let x = decay * (x0 * cos + b * sin);
        let v = decay
            * ((b * self.wd - self.z * self.w * x0) * cos
                - (x0 * self.wd + self.z * self.w * b) * sin);
        (x, v)
    }

    fn forced(&self, t: f64) -> (f64, f64) {
        let (sin, cos) = (PI * t).sin_cos();
        let (x, v) = self.free((-self.r, -self.p * PI), t);
        (
            x + self.p * sin + self.r * cos,
            v + PI * (self.p * cos - self.r * sin),
        )
    }

    /// Absolute acceleration from the travel against the foot.
    fn absolute(&self, (x, v): (f64, f64)) -> f64 {
        -(self.w * self.w * x + 2.0 * self.z * self.w * v)
    }

    fn during(&self, t: f64) -> f64 {
        self.absolute(self.forced(t))
    }

    fn after(&self, t: f64) -> f64 {
        self.absolute(self.free(self.end, t))
    }
}

const SHOCK: Rule = Rule {
    name: "shock, hot",
    unit: "Pa",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.2,
    source: "half-sine shocks of ISO 16750-3 for doors and body points (500 m/s², 11 and 6 ms, second-hand); peak of one mode, exact; factor on the hot strength by how often it comes, common practice",
    standing: Standing::CommonPractice,
};

/// Stress at the peak of a shock against the hot strength over its factor.
///
/// # Errors
/// As [`half_sine_peak`], and for a stress or strength that cannot be.
pub fn shock(part: &str, shaken: &Shaken, pulse: HalfSine, q: f64) -> Result<Check> {
    shaken.validate()?;
    let peak = pulse.peak_on(shaken.frequency_hz, q)?;
    let stress = peak * shaken.stress_per_m_s2;
    let limit = shaken.strength_pa / pulse.factor;
    let why = format!(
        "{} of {:.0} m/s² for {:.0} ms becomes {peak:.0} m/s² at {:.0} Hz and bends it to {:.1} MPa; hot strength over {} is {:.1} MPa",
        pulse.name,
        pulse.peak_m_s2,
        pulse.duration_s * 1e3,
        shaken.frequency_hz,
        stress / 1e6,
        pulse.factor,
        limit / 1e6
    );
    Ok(SHOCK.judge(part, stress, limit, why, || {
        stronger(stress * pulse.factor, SHOCK.reserve)
    }))
}
