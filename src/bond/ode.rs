//! A small explicit integrator: Dormand and Prince's 5(4) pair with error control and dense output.

use crate::error::{Error, Result};

/// Steps after which a run is given up.
const MOST_STEPS: usize = 2_000_000;

/// Where a run ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct End<const N: usize> {
    /// The instant. [s]
    pub(crate) t_s: f64,
    /// The state there.
    pub(crate) y: [f64; N],
    /// Whether the first component reached the level asked for.
    pub(crate) reached: bool,
}

/// Runs `y' = f(t, y)` over smooth pieces, keeping its step size from one to the next.
pub(crate) struct Stepper<const N: usize> {
    /// Error allowed in each step by component: a share of the state reached, and never less than an absolute value.
    tolerance: [(f64, f64); N],
    /// Step size to try next. [s]
    step_s: f64,
    steps: usize,
}

// Dormand and Prince (1980), J. Comput. Appl. Math. 6, 19-26; dense output after Hairer, Norsett and Wanner, Solving ODEs I, II.6.
const C: [f64; 5] = [0.2, 0.3, 0.8, 8.0 / 9.0, 1.0];
const A2: [f64; 1] = [0.2];
const A3: [f64; 2] = [3.0 / 40.0, 9.0 / 40.0];
const A4: [f64; 3] = [44.0 / 45.0, -56.0 / 15.0, 32.0 / 9.0];
const A5: [f64; 4] = [
    19_372.0 / 6_561.0,
    -25_360.0 / 2_187.0,
    64_448.0 / 6_561.0,
    -212.0 / 729.0,
];
const A6: [f64; 5] = [
    9_017.0 / 3_168.0,
    -355.0 / 33.0,
    46_732.0 / 5_247.0,
    49.0 / 176.0,
    -5_103.0 / 18_656.0,
];
const B: [f64; 6] = [
    35.0 / 384.0,
    0.0,
    500.0 / 1_113.0,
    125.0 / 192.0,
    -2_187.0 / 6_784.0,
    11.0 / 84.0,
];
const E: [f64; 7] = [
    71.0 / 57_600.0,
    0.0,
    -71.0 / 16_695.0,
    71.0 / 1_920.0,
    -17_253.0 / 339_200.0,
    22.0 / 525.0,
    -1.0 / 40.0,
];
const D: [f64; 7] = [
    -12_715_105_075.0 / 11_282_082_432.0,
    0.0,
    87_487_479_700.0 / 32_700_410_799.0,
    -10_690_763_975.0 / 1_880_347_072.0,
    701_980_252_875.0 / 199_316_789_632.0,
    -1_453_857_185.0 / 822_651_844.0,
    69_997_945.0 / 29_380_423.0,
];

/// `y + h sum(a k)`.
fn along<const N: usize>(y: &[f64; N], h: f64, weights: &[f64], k: &[[f64; N]]) -> [f64; N] {
    let mut out = *y;
    for (w, k) in weights.iter().zip(k) {
        for (o, k) in out.iter_mut().zip(k) {
            *o += h * w * k;
        }
    }
    out
}

impl<const N: usize> Stepper<N> {
    pub(crate) fn new(tolerance: [(f64, f64); N]) -> Self {
        Self {
            tolerance,
            step_s: 0.0,
            steps: 0,
        }
    }

    /// From `(t_s, y)` to `end_s`, or to the instant at which the first component reaches `level` from below.
    ///
    /// `seen` is called with the instant and the state after every step.
    pub(crate) fn run(
        &mut self,
        f: impl Fn(f64, &[f64; N]) -> [f64; N],
        t_s: f64,
        y: [f64; N],
        end_s: f64,
        level: f64,
        mut seen: impl FnMut(f64, &[f64; N]),
    ) -> Result<End<N>> {
        let mut end = End {
            t_s,
            y,
            reached: y[0] >= level,
        };
        if end.reached || end_s <= t_s {
            return Ok(end);
        }
        let mut k = [[0.0; N]; 7];
        k[0] = f(t_s, &y);
        if self.step_s <= 0.0 {
            self.step_s = end_s - t_s;
        }
        // What is left below this is rounding of the instants.
        let least_s = 1e-12 * (end_s - t_s).max(end_s.abs());
        while end_s - end.t_s > least_s {
            self.steps += 1;
            if self.steps > MOST_STEPS {
                return Err(Error::Impossible {
                    what: "integrating the cure".into(),
                    why: format!("it took more than {MOST_STEPS} steps"),
                    remedy: "check the rate constants: they are far too fast for the time asked"
                        .into(),
                });
            }
            let last = self.step_s >= end_s - end.t_s;
            let h = if last { end_s - end.t_s } else { self.step_s };
            let (t, y) = (end.t_s, end.y);
            k[1] = f(t + C[0] * h, &along(&y, h, &A2, &k));
            k[2] = f(t + C[1] * h, &along(&y, h, &A3, &k));
            k[3] = f(t + C[2] * h, &along(&y, h, &A4, &k));
            k[4] = f(t + C[3] * h, &along(&y, h, &A5, &k));
            k[5] = f(t + C[4] * h, &along(&y, h, &A6, &k));
            let next = along(&y, h, &B, &k);
            k[6] = f(t + h, &next);
            let miss = along(&[0.0; N], h, &E, &k);
            let error = miss.iter().zip(&next).zip(&self.tolerance).fold(
                0.0_f64,
                |worst, ((miss, y), (share, least))| {
                    let one = miss.abs() / (share * y.abs()).max(*least);
                    // NaN must not be swallowed by max.
                    if one > worst || one.is_nan() {
                        one
                    } else {
                        worst
                    }
                },
            );
            // Fifth order; never more than five times longer or ten times shorter. NaN counts as too long.
            let grow = (0.9 * error.max(1e-10).powf(-0.2)).clamp(0.1, 5.0);
            if error <= 1.0 || h <= least_s {
                if next[0] >= level {
                    let x = dense_root(y[0], next[0], h, &k, level);
                    end.t_s = t + x * h;
                    end.y = next;
                    end.y[0] = level;
                    end.reached = true;
                    seen(end.t_s, &end.y);
                    return Ok(end);
                }
                end.t_s = if last { end_s } else { t + h };
                end.y = next;
                k[0] = k[6];
                seen(end.t_s, &end.y);
                // A step cut short by the end says little about the next.
                self.step_s = if last {
                    self.step_s.max(h * grow)
                } else {
                    h * grow
                };
            } else {
                self.step_s = h * if error.is_nan() { 0.1 } else { grow };
            }
        }
        end.t_s = end_s;
        Ok(end)
    }
}

/// Place in 0 to 1 at which the step's own interpolant of the first component passes `level`.
fn dense_root<const N: usize>(y0: f64, y1: f64, h: f64, k: &[[f64; N]; 7], level: f64) -> f64 {
    let rise = y1 - y0;
    let bend = h * k[0][0] - rise;
    let twist = rise - h * k[6][0] - bend;
    let fine: f64 = h * D.iter().zip(k).map(|(d, k)| d * k[0]).sum::<f64>();
    let value = |x: f64| y0 + x * (rise + (1.0 - x) * (bend + x * (twist + (1.0 - x) * fine)));
    let (mut low, mut high) = (0.0, 1.0);
    // Fifty halvings reach the last bit of x.
    for _ in 0..50 {
        let middle = f64::midpoint(low, high);
        if value(middle) < level {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
