//! The hot-air gun.

use serde::Serialize;

use crate::error::{Error, Note, Range, Result, check};
use crate::heat::air;
use crate::heat::exposure::{Exposure, factor};
use crate::heat::jet::{self, Impact};
use crate::sourced::{Constant, Standing};

/// A hot-air gun: what leaves its nozzle.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HotAirGun {
    /// Temperature of the air at the nozzle, with its bounds. [K]
    pub setpoint_k: [f64; 3],
    /// Airflow as volume at `flow_meant_at_k`, with its bounds. [m³/s]
    pub airflow_m3_s: [f64; 3],
    /// Temperature at which the airflow is meant; `None` decides by the power that it would take. [K]
    pub flow_meant_at_k: Option<f64>,
    /// Inner diameter of the nozzle. [m]
    pub nozzle_m: f64,
    /// Rated power, where it is known. [W]
    pub rated_w: Option<f64>,
    /// Air of the room. [K]
    pub room_k: f64,
    /// A reflector or a box behind the part that keeps the hot air there.
    pub reflector: bool,
    /// Factor on the film coefficient and shift of the effectiveness: low, likely, high. Narrowed by calibration.
    pub film_factor: [f64; 3],
    /// See `film_factor`.
    pub effectiveness_shift: [f64; 3],
    /// How much the effectiveness moves with the logarithm of the film factor: what coupons hold together stays together.
    pub shift_per_log_film: f64,
    /// Whether its nozzle is a slot, taken as a round one of equal area.
    pub slot: bool,
    /// Whether coupons have calibrated it.
    pub measured: bool,
    /// Where setpoint and airflow come from.
    pub source: &'static str,
}

/// Setpoints. [K]
const SETPOINT: Range = Range::new(303.15, 1073.15, "K");
/// Airflows: from a welding tip to a fan heater. [m³/s]
const AIRFLOW: Range = Range::new(1e-5, 0.1, "m3/s");
/// Nozzles. [m]
const NOZZLE: Range = Range::new(2e-3, 0.2, "m");
/// Power that a hand tool does not exceed. [W]
pub const HAND_TOOL_W: Constant = Constant {
    name: "gun.hand_tool_w",
    value: 2200.0,
    low: 1400.0,
    high: 2300.0,
    unit: "W",
    source: "ratings of hand-held hot-air guns, common practice, no single source",
    standing: Standing::CommonPractice,
};
/// Decay of the centreline excess temperature.
pub const EXCESS_DECAY: Constant = Constant {
    name: "gun.excess_decay",
    value: 5.0,
    low: 4.3,
    high: 5.5,
    unit: "1",
    source: "Chen and Rodi 1980; Fischer et al. 1979, chapter 9",
    standing: Standing::Remembered,
};
/// How far a hand-held gun's mean film lies from the correlation.
pub const FILM_FACTOR: [f64; 3] = [0.75, 1.0, 1.4];
/// How far its effectiveness lies from the model.
pub const EFFECTIVENESS_SHIFT: [f64; 3] = [-0.15, 0.0, 0.15];

impl HotAirGun {
    /// A gun with a known setpoint, airflow and nozzle.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a setpoint outside 30 to 800 °C, an airflow outside 0.6 to 6000 L/min or a nozzle outside
    /// 2 to 200 mm.
    ///
    /// ```
    /// use mountwright::heat::HotAirGun;
    /// let gun = HotAirGun::new(623.15, 300e-3 / 60.0, 34e-3)?;
    /// let heat = gun.at(0.12, (0.06, 0.20))?;
    /// assert!(heat.gas_k < 623.15); // entrained air cools the jet on its way
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn new(setpoint_k: f64, airflow_m3_s: f64, nozzle_m: f64) -> Result<Self> {
        check(
            "setpoint_k",
            setpoint_k,
            SETPOINT,
            "give the air temperature at the nozzle",
        )?;
        check(
            "airflow_m3_s",
            airflow_m3_s,
            AIRFLOW,
            "give litres per minute of the tool",
        )?;
        check(
            "nozzle_m",
            nozzle_m,
            NOZZLE,
            "measure the bore of the nozzle",
        )?;
        Ok(Self {
            setpoint_k: [setpoint_k - 25.0, setpoint_k, setpoint_k + 15.0],
            airflow_m3_s: [0.85, 1.0, 1.1].map(|f| f * airflow_m3_s),
            flow_meant_at_k: None,
            nozzle_m,
            rated_w: None,
            room_k: 293.15,
            reflector: false,
            shift_per_log_film: 0.0,
            slot: false,
            film_factor: FILM_FACTOR,
            effectiveness_shift: EFFECTIVENESS_SHIFT,
            measured: false,
            source: "as given; a hand tool holds its setpoint to -25/+15 K and its airflow to -15/+10 %, common practice",
        })
    }

    /// The usual two-setting gun that says `I` and `II` and nothing else: wide ranges, to be narrowed by coupons.
    ///
    /// # Errors
    /// [`Error::Unknown`] for another setting.
    pub fn two_setting(setting: &str) -> Result<Self> {
        let litres = |l: f64| l * 1e-3 / 60.0;
        let (setpoint_k, airflow_m3_s) = match setting {
            "I" => (
                [523.15, 623.15, 673.15],
                [litres(150.0), litres(250.0), litres(350.0)],
            ),
            "II" => (
                [673.15, 773.15, 873.15],
                [litres(250.0), litres(400.0), litres(550.0)],
            ),
            other => return Err(Error::unknown("setting", other, ["I", "II"])),
        };
        Ok(Self {
            setpoint_k,
            airflow_m3_s,
            flow_meant_at_k: Some(setpoint_k[1]),
            ..Self::new(setpoint_k[1], airflow_m3_s[1], 34e-3)?
        })
        .map(|gun| Self {
            source: "two-setting hand tools: 250-400 and 400-600 °C, 150-350 and 250-550 L/min at the nozzle, common practice",
            ..gun
        })
    }

    /// The same gun with a slot nozzle, `width` by `length`: taken as a round one of equal area, its film 25 % less certain
    /// (our own construction).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a side outside 0.5 to 200 mm.
    ///
    /// ```
    /// let gun = mountwright::heat::HotAirGun::two_setting("I")?.with_slot(8e-3, 70e-3)?;
    /// assert!((gun.nozzle_m - 0.0267).abs() < 1e-4 && gun.film_factor[0] < 0.6);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn with_slot(mut self, width_m: f64, length_m: f64) -> Result<Self> {
        let side = Range::new(5e-4, 0.2, "m");
        check("slot width", width_m, side, "measure the slot")?;
        check("slot length", length_m, side, "measure the slot")?;
        self.nozzle_m = (4.0 / std::f64::consts::PI * width_m * length_m).sqrt();
        self.film_factor[0] *= 0.75;
        self.film_factor[2] *= 1.25;
        self.slot = true;
        Ok(self)
    }

    /// The same gun in a room of another temperature. [K]
    #[must_use]
    pub fn in_room(mut self, room_k: f64) -> Self {
        self.room_k = room_k;
        self
    }

    /// What it does to a patch `(width, length)` at a distance: held still over a square, swept to and fro along anything longer.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a distance outside 5 mm to 1 m, a side outside 1 mm to 2 m, or a room outside −40 to 60 °C.
    pub fn at(&self, distance_m: f64, patch_m: (f64, f64)) -> Result<Exposure> {
        self.aimed(distance_m, patch_m)?.exposure()
    }

    /// [`HotAirGun::at`] without ranges, factors and notes, for maps: a tenth of the work.
    ///
    /// # Errors
    /// As [`HotAirGun::at`].
    pub fn mean_at(&self, distance_m: f64, patch_m: (f64, f64)) -> Result<Exposure> {
        self.aimed(distance_m, patch_m)?.likely()
    }

    /// The same gun at another setting; its bounds move along. [K]
    #[must_use]
    pub fn set_to(&self, setpoint_k: f64) -> Self {
        let moved = setpoint_k - self.setpoint_k[1];
        Self {
            setpoint_k: self.setpoint_k.map(|t| t + moved),
            ..self.clone()
        }
    }

    fn aimed(&self, distance_m: f64, patch_m: (f64, f64)) -> Result<Aim> {
        check(
            "room_k",
            self.room_k,
            Range::new(233.15, 333.15, "K"),
            "use kelvin",
        )?;
        check(
            "distance_m",
            distance_m,
            Range::new(5e-3, 1.0, "m"),
            "keep 30 to 300 mm",
        )?;
        check(
            "setpoint_k",
            self.setpoint_k[1],
            SETPOINT,
            "give the air temperature at the nozzle",
        )?;
        check(
            "airflow_m3_s",
            self.airflow_m3_s[1],
            AIRFLOW,
            "give litres per minute of the tool",
        )?;
        check(
            "nozzle_m",
            self.nozzle_m,
            NOZZLE,
            "measure the bore of the nozzle",
        )?;
        let side = Range::new(1e-3, 2.0, "m");
        check("patch width", patch_m.0, side, "give the heated patch")?;
        check("patch length", patch_m.1, side, "give the heated patch")?;
        Ok(Aim {
            gun: self.clone(),
            distance_m,
            short_m: patch_m.0.min(patch_m.1),
            long_m: patch_m.0.max(patch_m.1),
        })
    }
}

/// A gun held before a patch.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Aim {
    gun: HotAirGun,
    distance_m: f64,
    short_m: f64,
    long_m: f64,
}

/// Nodes and weights of Gauss-Legendre quadrature on 0 to 1, six points.
/// Abramowitz and Stegun, table 25.4.
const GAUSS: [(f64, f64); 6] = [
    (0.033_765_242_898_423_98, 0.085_662_246_189_585_17),
    (0.169_395_306_766_867_75, 0.180_380_786_524_069_3),
    (0.380_690_406_958_401_55, 0.233_956_967_286_345_53),
    (0.619_309_593_041_598_5, 0.233_956_967_286_345_53),
    (0.830_604_693_233_132_3, 0.180_380_786_524_069_3),
    (0.966_234_757_101_576, 0.085_662_246_189_585_17),
];

/// Means over a patch.
struct Means {
    film_w_m2_k: f64,
    effectiveness: f64,
    notes: Vec<Note>,
    reynolds: f64,
    power_w: f64,
}

impl Aim {
    /// Mass flow, and whether the litres had to be taken at the nozzle's temperature.
    fn mass_flow(&self, setpoint_k: f64, airflow_m3_s: f64) -> (f64, bool) {
        let gun = &self.gun;
        if let Some(at_k) = gun.flow_meant_at_k {
            return (air::density_kg_m3(at_k) * airflow_m3_s, false);
        }
        let cold = air::density_kg_m3(293.15) * airflow_m3_s;
        let limit = gun.rated_w.map_or(HAND_TOOL_W.value, |w| 0.9 * w);
        if cold * air::HEAT_CAPACITY.value * (gun.setpoint_k[1] - gun.room_k) > limit {
            (air::density_kg_m3(setpoint_k) * airflow_m3_s, true)
        } else {
            (cold, false)
        }
    }

    fn means(&self, setpoint_k: f64, airflow_m3_s: f64, distance_m: f64) -> Result<Means> {
        let gun = &self.gun;
        let (mass_kg_s, at_nozzle) = self.mass_flow(setpoint_k, airflow_m3_s);
        let reynolds = 4.0 * mass_kg_s
            / (std::f64::consts::PI * gun.nozzle_m * air::viscosity_pa_s(setpoint_k));
        let spot = Impact {
            reynolds,
            height: distance_m / gun.nozzle_m,
            prandtl: air::PRANDTL.value,
        }
        .spot()?;
        let mut notes = spot.notes;
        let spot = spot.value;
        let effective = jet::effective_diameter_m(gun.nozzle_m, gun.room_k, setpoint_k);
        let centre = if gun.reflector {
            1.0
        } else {
            jet::centreline_excess(EXCESS_DECAY.value, effective, distance_m)
        };
        // Local film and film times effectiveness, over points of the patch and places of the gun.
        let travel = self.long_m - self.short_m;
        let (mut film, mut carried) = (0.0, 0.0);
        for (y, wy) in GAUSS {
            for (x, wx) in GAUSS {
                for (c, wc) in GAUSS {
                    let along = 0.5 * x * self.long_m - (c - 0.5) * travel;
                    let radius = along.hypot(0.5 * y * self.short_m);
                    let local = spot.local(radius / gun.nozzle_m) * wy * wx * wc;
                    film += local;
                    carried += local
                        * if gun.reflector {
                            1.0
                        } else {
                            jet::radial_excess(radius, gun.nozzle_m, distance_m)
                        };
                }
            }
        }
        let effectiveness = centre * carried / film;
        // Film temperature between a face near forming and the gas that it meets.
        let gas_k = gun.room_k + effectiveness * (setpoint_k - gun.room_k);
        let film_k = f64::midpoint(gas_k, TYPICAL_FACE_K);
        let reach = (self.long_m.hypot(self.short_m)) / 2.0 / gun.nozzle_m;
        if reach > 7.5 {
            notes.push(Note::new(
                "jet correlation",
                "the patch reaches further than 7.5 nozzle diameters, where it was not measured: continued, ±30 %",
            ));
        }
        if self.short_m / 2.0 / gun.nozzle_m < 2.5 {
            notes.push(Note::new(
                "jet correlation",
                "the patch lies within 2.5 nozzle diameters of the jet, where the area mean was not measured: continued as parabolas (our own construction, -20/+55 %)",
            ));
        }
        let power_w = mass_kg_s * air::HEAT_CAPACITY.value * (setpoint_k - gun.room_k);
        if at_nozzle {
            notes.push(Note::new(
                "airflow",
                format!(
                    "as litres of room air it would carry {:.1} kW, more than a hand tool has: taken as litres at the nozzle's temperature; ask at which temperature they are meant",
                    air::density_kg_m3(293.15) * airflow_m3_s * air::HEAT_CAPACITY.value
                        * (setpoint_k - gun.room_k) / 1e3
                ),
            ));
        }
        Ok(Means {
            film_w_m2_k: film * air::conductivity_w_m_k(film_k) / gun.nozzle_m,
            effectiveness,
            notes,
            reynolds,
            power_w,
        })
    }

    /// Film and gas temperature for drawn factors.
    fn drawn(&self, values: &[f64]) -> Result<(f64, f64, Means)> {
        let means = self.means(values[0], values[1], self.distance_m * values[2])?;
        let tied = self.gun.shift_per_log_film * (values[3] / self.gun.film_factor[1]).ln();
        let effectiveness = (means.effectiveness + values[4] + tied).clamp(0.05, 1.0);
        let room = self.gun.room_k;
        Ok((
            means.film_w_m2_k * values[3],
            room + effectiveness * (values[0] - room),
            means,
        ))
    }

    /// Another film factor and shift of the effectiveness, on top of the gun's own.
    pub(crate) fn tuned(&self, film_factor: f64, shift: f64) -> Result<Exposure> {
        let mut aim = self.clone();
        aim.gun.film_factor[1] *= film_factor;
        aim.gun.effectiveness_shift[1] += shift;
        Ok(Exposure {
            aim: Some(self.clone()),
            ..aim.likely()?
        })
    }

    /// Film and gas temperature at the likeliest values, nothing more.
    fn likely(&self) -> Result<Exposure> {
        let gun = &self.gun;
        let values = [
            gun.setpoint_k[1],
            gun.airflow_m3_s[1],
            1.0,
            gun.film_factor[1],
            gun.effectiveness_shift[1],
        ];
        let (film, gas, _) = self.drawn(&values)?;
        Ok(Exposure {
            source: "hot-air gun".into(),
            ..Exposure::fixed(film, gas, gun.room_k)?
        })
    }

    /// The same gun further away, if that is still within reach.
    pub(crate) fn further(&self, factor: f64) -> Result<(f64, Exposure)> {
        let distance_m = (self.distance_m * factor).min(1.0);
        let aim = Self {
            distance_m,
            ..self.clone()
        };
        Ok((distance_m, aim.likely()?))
    }

    /// The exposure for drawn factors.
    pub(crate) fn exposure_with(&self, values: &[f64], nominal: &Exposure) -> Result<Exposure> {
        check(
            "gun.setpoint_k",
            values[0],
            SETPOINT,
            "draw from the factor's law",
        )?;
        check(
            "gun.airflow_m3_s",
            values[1],
            AIRFLOW,
            "draw from the factor's law",
        )?;
        check(
            "gun.distance_factor",
            values[2],
            Range::new(0.1, 10.0, ""),
            "draw from the factor's law",
        )?;
        check(
            "gun.film_factor",
            values[3],
            Range::new(0.05, 20.0, ""),
            "draw from the factor's law",
        )?;
        check(
            "gun.effectiveness_shift",
            values[4],
            Range::new(-1.0, 1.0, ""),
            "draw from the factor's law",
        )?;
        let (film_w_m2_k, gas_k, _) = self.drawn(values)?;
        Ok(Exposure {
            film_w_m2_k,
            gas_k,
            ..nominal.clone()
        })
    }

    fn exposure(&self) -> Result<Exposure> {
        let gun = &self.gun;
        let (nozzle, room) = (gun.nozzle_m, gun.room_k);
        let first = self.means(gun.setpoint_k[1], gun.airflow_m3_s[1], self.distance_m)?;
        let effective = jet::effective_diameter_m(nozzle, room, gun.setpoint_k[1]);
        let mut shift = gun.effectiveness_shift;
        let mut notes = first.notes;
        // At low Reynolds numbers the jet decays faster: down to 0.6 of the excess at 4000, beyond the core.
        let weak = ((1e4 - first.reynolds) / 6e3).clamp(0.0, 1.0);
        let beyond = (self.distance_m / (EXCESS_DECAY.value * effective) - 0.5).clamp(0.0, 1.0);
        if weak * beyond > 0.0 && !gun.reflector && !gun.measured {
            shift[0] -= 0.4 * first.effectiveness * weak * beyond;
            notes.push(Note::new(
                "jet decay",
                format!("Reynolds number {:.0}: a weak jet may cool faster on its way than the law used; the range is widened downwards", first.reynolds),
            ));
        }
        if gun.slot {
            notes.push(Note::new(
                "slot nozzle",
                "taken as a round nozzle of equal area: the film is 25 % less certain",
            ));
        }
        let known = if gun.measured {
            "calibrated by coupons of the shop"
        } else {
            "film and gas temperature are known to ±25 to 30 % until coupons calibrate them"
        };
        notes.push(Note::new(
            "hot-air gun",
            format!("{:.0} W in the air; {known}", first.power_w),
        ));
        let bounds = |b: [f64; 3]| (b[0], b[1], b[2]);
        let factors = vec![
            factor(
                "gun.setpoint_k",
                bounds(gun.setpoint_k),
                "K",
                gun.source,
                Standing::CommonPractice,
            ),
            factor(
                "gun.airflow_m3_s",
                bounds(gun.airflow_m3_s),
                "m3/s",
                gun.source,
                Standing::CommonPractice,
            ),
            factor(
                "gun.distance_factor",
                (0.85, 1.0, 1.2),
                "1",
                "a hand keeps its distance to -15/+20 %, common practice",
                Standing::CommonPractice,
            ),
            factor(
                "gun.film_factor",
                bounds(gun.film_factor),
                "1",
                "spread of measured stagnation values against the correlation, and of hand-held practice",
                Standing::Derived,
            ),
            factor(
                "gun.effectiveness_shift",
                bounds(shift),
                "1",
                "our own model of entrainment, ±0.15; wider for weak jets",
                Standing::Derived,
            ),
        ];
        let likely: Vec<f64> = factors.iter().map(|f| f.value).collect();
        let (film, gas, _) = self.drawn(&likely)?;
        // Each factor to both bounds, the moves added as squares.
        let mut moved = [0.0_f64; 4];
        for (i, f) in factors.iter().enumerate() {
            for at in [f.low, f.high] {
                let mut values = likely.clone();
                values[i] = at;
                let (h, t, _) = self.drawn(&values)?;
                for (slot, change) in [(0, film - h), (1, h - film), (2, gas - t), (3, t - gas)] {
                    moved[slot] += change.max(0.0).powi(2);
                }
            }
        }
        let moved = moved.map(f64::sqrt);
        Ok(Exposure {
            source: "hot-air gun".into(),
            film_low_w_m2_k: (film - moved[0]).max(0.0),
            film_high_w_m2_k: film + moved[1],
            gas_low_k: gas - moved[2],
            gas_high_k: gas + moved[3],
            factors,
            notes,
            aim: Some(self.clone()),
            ..Exposure::fixed(film, gas, room)?
        })
    }
}

/// Face temperature at which film properties are taken. [K]
const TYPICAL_FACE_K: f64 = 363.15;
