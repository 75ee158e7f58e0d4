//! Pot life of a mixed mass that warms itself.

use serde::Serialize;

use super::catalogue::Catalogue;
use super::kinetics::Kinetics;
use super::ode::Stepper;
use crate::error::{Error, Range, Result, check};

/// A mixed mass in a cup: a squat cylinder as wide as high that loses heat all round.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Cup {
    /// Mass mixed. [kg]
    pub mass_kg: f64,
    /// Air, and the mix at the start. [K]
    pub air_k: f64,
    /// Film coefficient all round. [W/m²K]
    pub film_w_m2_k: f64,
    /// Heat capacity. [J/kgK]
    pub heat_capacity_j_kg_k: f64,
    /// Heat of full cure. [J/kg]
    pub heat_j_kg: f64,
    /// Density. [kg/m³]
    pub density_kg_m3: f64,
    /// Conversion at which it can no longer be spread.
    pub stiff_at: f64,
}

/// How a mixed mass behaves.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PotLife {
    /// Until it can no longer be spread; `None` where it is not within ten days. [s]
    pub pot_life_s: Option<f64>,
    /// The same spread out thin, at the air's temperature; `None` as before. [s]
    pub thin_s: Option<f64>,
    /// Hottest that the mass gets if left in the cup: an upper bound. [K]
    pub peak_k: f64,
}

/// How long a run looks ahead. [s]
const AHEAD_S: f64 = 864_000.0;

impl Cup {
    /// A mass of ordinary epoxy: 10 W/m²K, 1800 J/kgK, 400 kJ/kg, 1150 kg/m³, stiff at a conversion of 0.20 (engineering assumptions).
    pub fn epoxy(mass_kg: f64, air_k: f64) -> Self {
        Self {
            mass_kg,
            air_k,
            film_w_m2_k: 10.0,
            heat_capacity_j_kg_k: 1800.0,
            heat_j_kg: 4.0e5,
            density_kg_m3: 1150.0,
            stiff_at: 0.20,
        }
    }

    /// Pot life: `m c dT/dt = m H da/dt - h A (T - T_air)`, `D = (4 m/(pi rho))^(1/3)`, `A = 1.5 pi D²`.
    ///
    /// Conservative against the one published pair that was found (71 min against 2 h for 118 mL).
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a mass outside 0.1 g to 100 kg, air outside 250 to 400 K, other numbers outside what is possible.
    ///
    /// ```
    /// use mountwright::bond::{exotherm::Cup, kinetics::Kinetics};
    /// let resin = Kinetics::room_temperature_example();
    /// let small = Cup::epoxy(0.02, 298.15).pot_life(&resin)?;
    /// let large = Cup::epoxy(0.10, 298.15).pot_life(&resin)?;
    /// assert!(large.pot_life_s < small.pot_life_s && large.peak_k > small.peak_k);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn pot_life(&self, kinetics: &Kinetics) -> Result<PotLife> {
        let remedy = "see the data sheet";
        check(
            "mass_kg",
            self.mass_kg,
            Range::new(1e-4, 100.0, "kg"),
            "weigh the mix",
        )?;
        check(
            "air_k",
            self.air_k,
            Range::new(250.0, 400.0, "K"),
            "measure the shop's air",
        )?;
        check(
            "film_w_m2_k",
            self.film_w_m2_k,
            Range::new(0.1, 1e4, "W/m2K"),
            remedy,
        )?;
        let range = Range::new(100.0, 1e4, "J/kgK");
        check(
            "heat_capacity_j_kg_k",
            self.heat_capacity_j_kg_k,
            range,
            remedy,
        )?;
        check(
            "heat_j_kg",
            self.heat_j_kg,
            Range::new(0.0, 1e6, "J/kg"),
            remedy,
        )?;
        check(
            "density_kg_m3",
            self.density_kg_m3,
            Range::new(100.0, 5e3, "kg/m3"),
            remedy,
        )?;
        check(
            "stiff_at",
            self.stiff_at,
            Range::new(1e-3, 0.99, "1"),
            remedy,
        )?;
        let pi = std::f64::consts::PI;
        let across_m = (4.0 * self.mass_kg / (pi * self.density_kg_m3)).cbrt();
        let area_m2 = 1.5 * pi * across_m * across_m;
        let cooling_1_s = self.film_w_m2_k * area_m2 / (self.mass_kg * self.heat_capacity_j_kg_k);
        let rise_k = self.heat_j_kg / self.heat_capacity_j_kg_k;
        let change = |_t: f64, y: &[f64; 2]| {
            // The stages of a step may stray; the rate is defined up to what organic matter bears.
            let rate = kinetics.rate(y[0], y[1].clamp(200.0, 1000.0));
            [rate, rise_k * rate - cooling_1_s * (y[1] - self.air_k)]
        };
        let start = [0.0, self.air_k];
        // Of the conversion, a share (see the kinetics); of the temperature, K.
        let tolerance = [(1e-8, 1e-18), (0.0, 1e-6)];
        let stiff =
            Stepper::new(tolerance).run(change, 0.0, start, AHEAD_S, self.stiff_at, |_, _| ())?;
        let mut peak_k = self.air_k;
        let mut before = (0.0, self.air_k, change(0.0, &start)[1]);
        Stepper::new(tolerance).run(change, 0.0, start, AHEAD_S, 2.0, |t, y| {
            let now = (t, y[1], change(t, y)[1]);
            peak_k = peak_k.max(now.1);
            if before.2 > 0.0 && now.2 <= 0.0 {
                peak_k = peak_k.max(top(before, now));
            }
            before = now;
        })?;
        let thin = |_t: f64, y: &[f64; 1]| [kinetics.rate(y[0], self.air_k)];
        let thin = Stepper::new([tolerance[0]]).run(
            thin,
            0.0,
            [0.0],
            AHEAD_S,
            self.stiff_at,
            |_, _| (),
        )?;
        Ok(PotLife {
            pot_life_s: stiff.reached.then_some(stiff.t_s),
            thin_s: thin.reached.then_some(thin.t_s),
            peak_k,
        })
    }
}

/// Pot life of a mixed mass of an epoxy of the catalogue, in air of a temperature.
///
/// The stated open time is for the mass in its `pot_mass`, at 23 °C or the temperature of its row: the illustrative room-temperature kinetics are made faster or slower until a
/// [`Cup`] of that mass has that pot life, and then asked about this mass and this air. Between masses this is a model with one published check; read it as a range of a factor of two.
///
/// # Errors
/// [`Error::Unknown`] for an adhesive; [`Error::Impossible`] for one whose pot life by mass is not known; as for [`Cup::pot_life`].
///
/// ```
/// use mountwright::bond::exotherm::pot_life;
/// // The slow epoxy's sheet: 2 h for 118 mL (136 g) at 25 °C. Half the mass stays open longer, a warm shop takes from it.
/// let printed = pot_life("epoxy-slow", 0.136, 298.15)?.pot_life_s.unwrap_or(0.0);
/// assert!((printed / 3600.0 - 2.0).abs() < 0.001);
/// assert!(pot_life("epoxy-slow", 0.05, 298.15)?.pot_life_s > Some(printed));
/// assert!(pot_life("epoxy-slow", 0.136, 308.15)?.pot_life_s < Some(printed));
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn pot_life(adhesive: &str, mass_kg: f64, air_k: f64) -> Result<PotLife> {
    let glue = Catalogue::standard()?.adhesive(adhesive)?;
    let (Some(mass), Some(stated_k), Some(stated_s)) = (
        &glue.pot_mass,
        glue.open.temperature_k.first(),
        glue.open.time_s.first(),
    ) else {
        return Err(Error::Impossible {
            what: format!("the pot life of {} by mass", glue.name),
            why: "no mixed mass is stated with its open time".into(),
            remedy: "go by the open time, and mix no more than its sheet allows".into(),
        });
    };
    let stated = Cup::epoxy(mass.value, *stated_k);
    let resin = Kinetics::room_temperature_example();
    // The pot life falls a little less than in proportion to the rate, since a quick mass loses less heat: a few rounds settle it.
    let mut rate = 1.0;
    for _ in 0..ROUNDS {
        let found = stated.pot_life(&resin.scaled(rate)?)?.pot_life_s;
        rate *= found.unwrap_or(AHEAD_S) / stated_s;
    }
    Cup::epoxy(mass_kg, air_k).pot_life(&resin.scaled(rate)?)
}

/// Rounds of fitting the rate: each takes the miss down about five times.
const ROUNDS: usize = 12;

/// Greatest value of the cubic through two points `(t, value, slope)` with a rise at the first and a fall at the second.
fn top(a: (f64, f64, f64), b: (f64, f64, f64)) -> f64 {
    let h = b.0 - a.0;
    let (rise, first, last) = (b.1 - a.1, h * a.2, h * b.2);
    // y = y0 + first x + p x^2 + q x^3 on 0 to 1.
    let p = 3.0 * rise - 2.0 * first - last;
    let q = first + last - 2.0 * rise;
    let root = (p * p - 3.0 * q * first).max(0.0).sqrt();
    // The root of the derivative at which it falls, in the form that does not cancel.
    let x = if p < 0.0 {
        first / (root - p)
    } else {
        (p + root) / (-3.0 * q)
    };
    if (0.0..=1.0).contains(&x) {
        a.1 + x * (first + x * (p + x * q))
    } else {
        a.1
    }
}
