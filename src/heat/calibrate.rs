//! Fits a source of heat to the shop's own timed trials, so that its predictions narrow.
//!
//! Two numbers are fitted: a factor on the film coefficient and a shift of the gas's effectiveness. Both start from what is
//! known without coupons (a prior), each coupon weighs in by its own uncertainty, and one that lies far off loses weight
//! (Student's t with four degrees of freedom, by reweighting).

use serde::Serialize;

use super::recipe::{Ask, Back, window};
use super::slab::Where;
use super::tools::gun::HotAirGun;
use crate::error::{Error, Note, Range, Result, check};

/// One trial.
#[derive(Debug, Clone, Serialize)]
pub struct Coupon {
    /// How it was heated: the sheet, the nominal exposure, the back.
    pub ask: Ask,
    /// What was seen.
    pub seen: Seen,
}

/// What was seen at a trial.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Seen {
    /// It went limp (or formable, as the question has it) after this time.
    Limp {
        /// From the start of heat. [s]
        seconds: f64,
        /// Standard uncertainty as a share; 0.10 is usual by eye and watch.
        uncertainty: f64,
    },
    /// A thermocouple or infrared trace.
    Trace {
        /// Where it was taken.
        place: Where,
        /// Times. [s]
        t_s: Vec<f64>,
        /// Temperatures. [K]
        temperature_k: Vec<f64>,
        /// Standard uncertainty. [K]
        uncertainty_k: f64,
    },
}

/// A fitted number with its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Fitted {
    /// Likeliest value.
    pub value: f64,
    /// Standard uncertainty.
    pub sd: f64,
}

/// What coupons tell about a source.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Calibration {
    /// Natural logarithm of the factor on the film coefficient.
    pub log_film_factor: Fitted,
    /// Shift of the effectiveness.
    pub effectiveness_shift: Fitted,
    /// Correlation of the two.
    pub correlation: f64,
    /// What is left of each coupon, in its own standard uncertainties; positive where the model is slower or colder.
    pub residuals: Vec<f64>,
    /// Coupons that lie too far off to count.
    pub outliers: Vec<usize>,
    /// Whether coupons contradict each other more than their uncertainties allow.
    pub contradict: bool,
    /// What is to be known.
    pub notes: Vec<Note>,
}

/// Without coupons: spread of the film factor (logarithm) and of the effectiveness.
const PRIOR_SD: [f64; 2] = [0.20, 0.10];
/// Degrees of freedom of Student's t.
const FREEDOM: f64 = 4.0;
/// Further off than this a coupon does not count.
const FAR: f64 = 3.5;
/// Most coupons.
const MOST_COUPONS: usize = 1000;

/// Fits a source to coupons; two are enough, more say whether they agree.
///
/// # Errors
/// [`Error::Shape`] for no coupons or a trace that is none; [`Error::OutOfRange`] for times and uncertainties that cannot be;
/// what [`recipe`](super::recipe) refuses.
///
/// ```
/// use mountwright::heat::calibrate::{Coupon, Seen, calibrate};
/// use mountwright::heat::{Ask, Back, HotAirGun, Limits, Sheet, Table, Wear};
/// let sheet = Sheet::new(3e-3, 550.0, Table::constant(0.072), Table::constant(1250.0), None, 0.9)?;
/// let limits = Limits { limp_k: 388.0, formable_k: 400.0, upper_k: 433.0, set_k: 339.0,
///     fume_onset_k: None, dose: None, wear: Wear::USUAL };
/// let gun = HotAirGun::two_setting("I")?;
/// let coupon = |distance_m: f64, seconds: f64| -> Result<Coupon, mountwright::Error> {
///     let heat = gun.at(distance_m, (0.05, 0.20))?;
///     let ask = Ask::new(sheet.clone(), limits.clone(), heat, 293.15, Back::Turned { every_s: 6.0 });
///     Ok(Coupon { ask, seen: Seen::Limp { seconds, uncertainty: 0.10 } })
/// };
/// let fit = calibrate(&[coupon(0.10, 60.0)?, coupon(0.13, 75.0)?])?;
/// let own = gun.calibrated(&fit);
/// // Film and gas are drawn along the line on which the coupons hold them.
/// assert!(own.measured);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn calibrate(coupons: &[Coupon]) -> Result<Calibration> {
    check_coupons(coupons)?;
    let mut at = [0.0, 0.0];
    let mut left = residuals(coupons, at)?;
    let mut normal = [[0.0; 2]; 2];
    for _ in 0..ROUNDS {
        // Gauss-Newton with the weights of Student's t.
        let steps = [0.02, 0.01];
        let slopes = [0, 1].map(|j| {
            let mut moved = at;
            moved[j] += steps[j];
            residuals(coupons, moved)
        });
        let [film, gas] = slopes;
        let (film, gas) = (film?, gas?);
        normal = [[PRIOR_SD[0].powi(-2), 0.0], [0.0, PRIOR_SD[1].powi(-2)]];
        let mut pull = [at[0] * normal[0][0], at[1] * normal[1][1]];
        for (i, group) in left.iter().enumerate() {
            let size = mean_square(group);
            // A trace counts as one coupon: its points share their errors.
            let weight = (FREEDOM + 1.0) / (FREEDOM + size) / group.len().max(1) as f64;
            for (n, &r) in group.iter().enumerate() {
                let slope = [(film[i][n] - r) / steps[0], (gas[i][n] - r) / steps[1]];
                for a in 0..2 {
                    pull[a] += weight * slope[a] * r;
                    for b in 0..2 {
                        normal[a][b] += weight * slope[a] * slope[b];
                    }
                }
            }
        }
        let det = normal[0][0] * normal[1][1] - normal[0][1] * normal[1][0];
        let step = [
            -(normal[1][1] * pull[0] - normal[0][1] * pull[1]) / det,
            -(normal[0][0] * pull[1] - normal[1][0] * pull[0]) / det,
        ];
        // A long step is shortened: far from the fit the slopes say little.
        let shorten = (0.3 / step[0].abs().max(1e-9))
            .min(0.15 / step[1].abs().max(1e-9))
            .min(1.0);
        at = [
            (at[0] + shorten * step[0]).clamp(-2.0, 2.0),
            (at[1] + shorten * step[1]).clamp(-0.8, 0.8),
        ];
        left = residuals(coupons, at)?;
        if step[0].abs() < 1e-4 && step[1].abs() < 1e-4 {
            break;
        }
    }
    Ok(report(at, normal, &left))
}

/// Rounds of the fit.
const ROUNDS: usize = 25;

fn mean_square(group: &[f64]) -> f64 {
    group.iter().map(|r| r * r).sum::<f64>() / group.len().max(1) as f64
}

fn report(at: [f64; 2], normal: [[f64; 2]; 2], left: &[Vec<f64>]) -> Calibration {
    let det = normal[0][0] * normal[1][1] - normal[0][1] * normal[1][0];
    let sd = [(normal[1][1] / det).sqrt(), (normal[0][0] / det).sqrt()];
    let residuals: Vec<f64> = left
        .iter()
        .map(|g| mean_square(g).sqrt().copysign(g.iter().sum()))
        .collect();
    let outliers: Vec<usize> = (0..residuals.len())
        .filter(|&i| residuals[i].abs() > FAR)
        .collect();
    let kept: Vec<f64> = residuals
        .iter()
        .copied()
        .filter(|r| r.abs() <= FAR)
        .collect();
    // Sum of squares against its expectation: three standard deviations of chi square are too many. With as many outliers as
    // good coupons nothing can be told.
    let free = (kept.len() as f64 - 1.0).max(1.0);
    let square: f64 = kept.iter().map(|r| r * r).sum();
    let contradict = square > free + 3.0 * (2.0 * free).sqrt()
        || (!outliers.is_empty() && outliers.len() >= kept.len());
    let mut notes = Vec::new();
    if !outliers.is_empty() {
        notes.push(Note::new(
            "calibration",
            format!(
                "coupons {:?} lie too far off and hardly count: try them again",
                outliers.iter().map(|i| i + 1).collect::<Vec<_>>()
            ),
        ));
    }
    if contradict {
        notes.push(Note::new(
            "calibration",
            "the coupons contradict each other more than their uncertainties allow: check distances, thickness and watch",
        ));
    }
    // Where coupons disagree, their scatter says how well the fit is known.
    let widen = if contradict {
        (square / free).sqrt().max(1.0)
    } else {
        1.0
    };
    Calibration {
        log_film_factor: Fitted {
            value: at[0],
            sd: sd[0] * widen,
        },
        effectiveness_shift: Fitted {
            value: at[1],
            sd: sd[1] * widen,
        },
        correlation: -normal[0][1] / (normal[0][0] * normal[1][1]).sqrt(),
        residuals,
        outliers,
        contradict,
        notes,
    }
}

/// Checks what coupons say, before anything is fitted to it.
pub(crate) fn check_coupons(coupons: &[Coupon]) -> Result<()> {
    if coupons.is_empty() || coupons.len() > MOST_COUPONS {
        return Err(Error::Shape {
            what: "coupons".into(),
            given: format!("{} coupons", coupons.len()),
            allowed: format!("1 to {MOST_COUPONS} coupons; two or more tell film and air apart"),
        });
    }
    for (i, coupon) in coupons.iter().enumerate() {
        let at = |name: &str| format!("coupons[{i}].{name}");
        match &coupon.seen {
            Seen::Limp {
                seconds,
                uncertainty,
            } => {
                check(
                    at("seconds"),
                    *seconds,
                    Range::new(0.1, 1e4, "s"),
                    "time it with a watch",
                )?;
                check(
                    at("uncertainty"),
                    *uncertainty,
                    Range::new(0.01, 1.0, ""),
                    "0.10 by eye and watch",
                )?;
            }
            Seen::Trace {
                t_s,
                temperature_k,
                uncertainty_k,
                ..
            } => {
                check(
                    at("uncertainty_k"),
                    *uncertainty_k,
                    Range::new(0.1, 50.0, "K"),
                    "3 K is usual",
                )?;
                let rising = t_s.windows(2).all(|w| w[1] > w[0]);
                if t_s.is_empty()
                    || t_s.len() != temperature_k.len()
                    || t_s.len() > 10_000
                    || !rising
                {
                    return Err(Error::Shape {
                        what: at("t_s"),
                        given: format!("{} times, {} temperatures", t_s.len(), temperature_k.len()),
                        allowed: "as many temperatures as rising times, at most 10000".into(),
                    });
                }
                for (&t, &k) in t_s.iter().zip(temperature_k) {
                    check(
                        at("t_s"),
                        t,
                        Range::new(0.0, 1e4, "s"),
                        "from the start of heat",
                    )?;
                    check(
                        at("temperature_k"),
                        k,
                        Range::new(200.0, 1000.0, "K"),
                        "use kelvin",
                    )?;
                }
            }
        }
    }
    Ok(())
}

/// Model minus trial, in standard uncertainties.
fn residuals(coupons: &[Coupon], [log_film, shift]: [f64; 2]) -> Result<Vec<Vec<f64>>> {
    coupons
        .iter()
        .map(|coupon| {
            let mut ask = coupon.ask.clone();
            ask.exposure = ask.exposure.tuned(log_film.exp(), shift)?;
            match &coupon.seen {
                Seen::Limp {
                    seconds,
                    uncertainty,
                } => {
                    // The trial says nothing about scorching: a window that has closed still warms.
                    ask.limits.dose = None;
                    ask.limits.upper_k = 1400.0;
                    let model = log_limp_s(&ask, 20.0 * seconds)?;
                    Ok(vec![(model - seconds.ln()) / uncertainty])
                }
                Seen::Trace {
                    place,
                    t_s,
                    temperature_k,
                    uncertainty_k,
                } => {
                    let model = super::recipe::temperatures(&ask, *place, t_s)?;
                    Ok(model
                        .iter()
                        .zip(temperature_k)
                        .map(|(m, t)| (t - m) / uncertainty_k)
                        .collect())
                }
            }
        })
        .collect()
}

/// Shortest and longest time until limp that a gun can have which differs from what is known without coupons by five standard
/// deviations of film and of gas; `None` where the coldest never gets there. What lies outside was not a trial of this gun. [s]
///
/// # Errors
/// What [`recipe`](super::recipe) refuses.
pub(crate) fn possible_limp_s(ask: &Ask) -> Result<(Option<f64>, Option<f64>)> {
    let limp = |way: f64| {
        let mut ask = ask.clone();
        ask.exposure = ask
            .exposure
            .tuned((way * PRIOR_SD[0]).exp(), way * PRIOR_SD[1])?;
        ask.limits.dose = None;
        ask.limits.upper_k = 1400.0;
        Ok(window(&ask)?.warm_s)
    };
    Ok((limp(5.0)?, limp(-5.0)?))
}

/// Turns of a hand about the time that was meant; a hand does not turn by the clock (common practice, no source).
const UNEVEN: [f64; 5] = [0.8, 0.9, 1.0, 1.1, 1.2];

/// Logarithm of the time until the sheet is limp, `never_s` where it never is.
///
/// With turns at sharp times it jumps by a turn where the opening passes from one face's heat to the next, and a fit to it would
/// stick; the mean over a hand's uneven turns does not.
fn log_limp_s(ask: &Ask, never_s: f64) -> Result<f64> {
    let log = |ask: &Ask| Ok(window(ask)?.warm_s.unwrap_or(never_s).ln());
    let Back::Turned { every_s } = ask.back else {
        return log(ask);
    };
    let mut ask = ask.clone();
    let mut sum = 0.0;
    for uneven in UNEVEN {
        ask.back = Back::Turned {
            every_s: every_s * uneven,
        };
        sum += log(&ask)?;
    }
    Ok(sum / UNEVEN.len() as f64)
}

impl HotAirGun {
    /// The gun with what coupons told: its factors lie where they were fitted, and as narrow.
    ///
    /// The bounds are the fit and 2.45 standard uncertainties either way: a triangle as wide as that has the fit's own spread.
    #[must_use]
    pub fn calibrated(&self, fit: &Calibration) -> Self {
        // A triangular law of half width w has the standard deviation w/√6.
        let half = 6.0_f64.sqrt();
        let film = [-1.0, 0.0, 1.0]
            .map(|s: f64| (fit.log_film_factor.value + s * half * fit.log_film_factor.sd).exp());
        // Coupons tell the product of film and effectiveness far better than either: the shift is drawn about its line on the film.
        let (film_sd, shift_sd) = (fit.log_film_factor.sd, fit.effectiveness_shift.sd);
        let own_sd = shift_sd * (1.0 - fit.correlation.powi(2)).max(0.0).sqrt();
        let shift =
            [-1.0, 0.0, 1.0].map(|s: f64| fit.effectiveness_shift.value + s * half * own_sd);
        Self {
            // What the tool says no longer matters: the fit holds for it as it is.
            setpoint_k: [self.setpoint_k[1]; 3],
            airflow_m3_s: [self.airflow_m3_s[1]; 3],
            film_factor: film,
            effectiveness_shift: shift,
            shift_per_log_film: fit.correlation * shift_sd / film_sd,
            measured: true,
            source: "fitted to the shop's own coupons",
            ..self.clone()
        }
    }
}
