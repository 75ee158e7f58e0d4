//! A round jet of hot air: its decay on the way, and what it does to a plate that it meets.

use crate::error::{Note, Noted, Range, Result, check};
use crate::sourced::{Constant, Standing};

const fn martin(name: &'static str, value: f64) -> Constant {
    Constant::exact(
        name,
        value,
        "1",
        "Martin, Advances in Heat Transfer 13 (1977) 1-60; how far a hand-held gun lies from it is the gun's film factor",
        Standing::Published,
    )
}
/// Factor of the film.
pub const MARTIN_FILM: Constant = martin("jet.film", 2.0);
/// Growth of the film with the Reynolds number.
pub const MARTIN_FAST: Constant = martin("jet.film_reynolds", 0.005);
/// Radius over nozzle diameter at which the area mean vanishes.
pub const MARTIN_CORE: Constant = martin("jet.core", 1.1);
/// Spread for each nozzle diameter of distance.
pub const MARTIN_SPREAD: Constant = martin("jet.spread", 0.1);
/// Distance over nozzle diameter from which the spread counts.
pub const MARTIN_FAR: Constant = martin("jet.far", 6.0);
const fn reach(name: &'static str, [low, value, high]: [f64; 3]) -> Constant {
    Constant {
        name,
        value,
        low,
        high,
        unit: "1",
        source: "our own construction, ±0.15 on the effectiveness",
        standing: Standing::Derived,
    }
}
/// Reach of the warm gas to the side, in nozzle diameters.
pub const REACH_NOZZLE: Constant = reach("jet.reach_nozzle", [1.5, 2.2, 3.0]);
/// Reach of the warm gas to the side, for each length of distance.
pub const REACH_DISTANCE: Constant = reach("jet.reach_distance", [0.15, 0.25, 0.35]);

/// Outside this the area-mean correlation was never fitted: radius of the disc over nozzle diameter.
pub const MARTIN_RADIUS: Range = Range::new(2.5, 7.5, "");
/// Distance over nozzle diameter of the correlation.
pub const MARTIN_HEIGHT: Range = Range::new(2.0, 12.0, "");
/// Reynolds numbers of the correlation.
pub const MARTIN_REYNOLDS: Range = Range::new(2e3, 4e5, "");

/// What the jet is when it meets the plate: pure numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Impact {
    /// Reynolds number at the nozzle, `4 ṁ / (π D μ)`.
    pub reynolds: f64,
    /// Distance of the plate over the nozzle's diameter.
    pub height: f64,
    /// Prandtl number of the gas.
    pub prandtl: f64,
}

/// Area-mean Nusselt number (on `D`) over a disc of radius `r = radius D` under one round jet.
///
/// `N̄u = Pr^0.42 G F`, `F = 2 Re^½ (1 + 0.005 Re^0.55)^½`, `G = (ρ − 1.1)/(ρ (ρ + 0.1 (H/D − 6)))`, `ρ = r/D`.
/// This is the bare formula: valid for 2.5 ≤ r/D ≤ 7.5, 2 ≤ H/D ≤ 12, 2000 ≤ Re ≤ 400 000; it falls below r/D 2 and is
/// negative below 1.1. [`Impact::mean`] is the one to use.
///
/// # Source
/// Martin, Advances in Heat Transfer 13 (1977) 1-60; Bergman et al., Fundamentals of Heat and Mass Transfer, section 7.7.2.
pub fn martin_mean(impact: &Impact, radius: f64) -> f64 {
    let b = MARTIN_SPREAD.value * (impact.height - MARTIN_FAR.value);
    strength(impact) * (radius - MARTIN_CORE.value) / (radius * (radius + b))
}

/// Local Nusselt number that belongs to [`martin_mean`]: `½/ρ · d(ρ² N̄u)/dρ`.
///
/// `(ρ² + 2bρ − 1.1b) / (2ρ (ρ + b)²)` times `Pr^0.42 F`; same validity.
pub fn martin_local(impact: &Impact, radius: f64) -> f64 {
    let b = MARTIN_SPREAD.value * (impact.height - MARTIN_FAR.value);
    strength(impact) * (radius * radius + 2.0 * b * radius - MARTIN_CORE.value * b)
        / (2.0 * radius * (radius + b).powi(2))
}

/// `Pr^0.42 F`.
fn strength(impact: &Impact) -> f64 {
    let re = impact.reynolds;
    let fast = 1.0 + MARTIN_FAST.value * re.powf(0.55);
    impact.prandtl.powf(0.42) * MARTIN_FILM.value * (re * fast).sqrt()
}

/// A jet made ready for many radii: the correlation where it holds, its continuation elsewhere.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    held: Impact,
    factor: f64,
    centre: f64,
    edge: f64,
}

impl Impact {
    /// Makes it ready, with a note for everything that lies outside the correlation.
    ///
    /// Within r/D 2.5 the mean and the local value run on as parabolas that meet the correlation in both:
    /// `Nu(r) = Nu₀ + (N_L − Nu₀)(r/2.5D)²`, `Nu₀ = 2 N̄ − N_L` at 2.5; our own construction. A distance outside 2 to 12
    /// diameters takes the nearer limit; below Re 2000 the value falls with √Re.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a Reynolds number outside 1 to 1e7, a distance outside 0 to 200 diameters or a
    /// Prandtl number outside 0.1 to 100.
    pub fn spot(&self) -> Result<Noted<Spot>> {
        check(
            "reynolds",
            self.reynolds,
            Range::new(1.0, 1e7, ""),
            "check airflow and nozzle",
        )?;
        check(
            "distance / nozzle",
            self.height,
            Range::new(0.0, 200.0, ""),
            "check distance and nozzle",
        )?;
        check(
            "prandtl",
            self.prandtl,
            Range::new(0.1, 100.0, ""),
            "air has 0.7",
        )?;
        let mut notes = Vec::new();
        if self.height < MARTIN_HEIGHT.low {
            notes.push(Note::new(
                "jet correlation",
                "nearer than 2 nozzle diameters, where it was not measured: the value at 2 is used; very near it is higher",
            ));
        } else if self.height > MARTIN_HEIGHT.high {
            notes.push(Note::new(
                "jet correlation",
                "further than 12 nozzle diameters, where it was not measured: the value at 12 is used, 40 % less to 10 % more",
            ));
        }
        if self.reynolds < MARTIN_REYNOLDS.low {
            notes.push(Note::new(
                "jet correlation",
                format!(
                    "Reynolds number {:.0} is below 2000: continued with the square root",
                    self.reynolds
                ),
            ));
        } else if self.reynolds > MARTIN_REYNOLDS.high {
            notes.push(Note::new(
                "jet correlation",
                "Reynolds number above 400 000: continued",
            ));
        }
        let held = Impact {
            reynolds: self.reynolds.max(MARTIN_REYNOLDS.low),
            height: self.height.clamp(MARTIN_HEIGHT.low, MARTIN_HEIGHT.high),
            prandtl: self.prandtl,
        };
        let factor = (self.reynolds / MARTIN_REYNOLDS.low).min(1.0).sqrt();
        let edge = martin_local(&held, MARTIN_RADIUS.low);
        let centre = 2.0 * martin_mean(&held, MARTIN_RADIUS.low) - edge;
        Ok(Noted {
            value: Spot {
                held,
                factor,
                centre,
                edge,
            },
            notes,
        })
    }
}

impl Spot {
    /// Local Nusselt number at `radius` nozzle diameters from the point of impact.
    pub fn local(&self, radius: f64) -> f64 {
        let share = radius / MARTIN_RADIUS.low;
        self.factor
            * if share < 1.0 {
                self.centre + (self.edge - self.centre) * share * share
            } else {
                martin_local(&self.held, radius)
            }
    }

    /// Mean Nusselt number over the disc of `radius` nozzle diameters.
    pub fn mean(&self, radius: f64) -> f64 {
        let share = radius / MARTIN_RADIUS.low;
        self.factor
            * if share < 1.0 {
                self.centre + 0.5 * (self.edge - self.centre) * share * share
            } else {
                martin_mean(&self.held, radius)
            }
    }
}

/// Diameter of a jet of room density that carries the same mass and momentum: `D √(T_room/T_jet)` in kelvin.
///
/// # Source
/// Thring and Newby, Fourth Symposium on Combustion, 1953 (remembered).
pub fn effective_diameter_m(nozzle_m: f64, room_k: f64, jet_k: f64) -> f64 {
    nozzle_m * (room_k / jet_k).sqrt()
}

/// Share of the excess temperature left on the centreline: `min(1, c d*/x)`, `c = 5.0` (4.3 to 5.5).
///
/// # Source
/// Chen and Rodi, Vertical Turbulent Buoyant Jets, 1980; Fischer et al., Mixing in Inland and Coastal Waters, 1979 (remembered).
pub fn centreline_excess(decay: f64, effective_diameter_m: f64, distance_m: f64) -> f64 {
    if distance_m <= decay * effective_diameter_m {
        1.0
    } else {
        decay * effective_diameter_m / distance_m
    }
}

/// How the adiabatic wall temperature falls away from the point of impact: `1/√(1 + (r/(2.2 D + 0.25 H))²)`.
///
/// Our own construction, ±0.15 absolute on the effectiveness.
pub fn radial_excess(radius_m: f64, nozzle_m: f64, distance_m: f64) -> f64 {
    let scale = REACH_NOZZLE.value * nozzle_m + REACH_DISTANCE.value * distance_m;
    1.0 / (1.0 + (radius_m / scale).powi(2)).sqrt()
}
