//! What acts on one face of a slab: convection, free convection, radiation, a flux.

use serde::Serialize;

use super::lanes::Lanes;
use super::table::TEMPERATURE;
use crate::error::{Range, Result, check};
use crate::physics::STEFAN_BOLTZMANN;

/// What acts on one face.
///
/// Heat into the face at temperature `T`:
/// `q = film (gas − T) + free |still − T|^1/4 (still − T) + emissivity σ (surroundings⁴ − T⁴) + flux`.
/// The gas of a jet does not radiate: radiation is exchanged with `surroundings_k` only.
///
/// ```
/// use mountwright::heat::Face;
/// let gun = Face { film_w_m2_k: 62.0, gas_k: 513.0, emissivity: 0.9, surroundings_k: 294.0, ..Face::INSULATED };
/// assert!(gun.heat_in_w_m2(294.0) > 0.0);
/// assert_eq!(Face::INSULATED.heat_in_w_m2(400.0), 0.0);
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Face {
    /// Film coefficient of a forced flow, or the conductance to a body of steady temperature. [W/m²/K]
    pub film_w_m2_k: f64,
    /// Temperature that the film is referred to: the adiabatic wall temperature of a jet, the bath, the bar. [K]
    pub gas_k: f64,
    /// Free convection as `free · ΔT^5/4`, see [`free_film`](crate::heat::film). [W/m²/K^1.25]
    pub free_w_m2_k125: f64,
    /// Temperature of the still air. [K]
    pub still_k: f64,
    /// Emissivity, effective where the surroundings are not black. 0 to 1
    pub emissivity: f64,
    /// Radiating temperature of the surroundings. [K]
    pub surroundings_k: f64,
    /// Absorbed flux that does not depend on the face. [W/m²]
    pub flux_w_m2: f64,
}

/// Film coefficients accepted. [W/m²/K]
const FILM: Range = Range::new(0.0, 1e9, "W/m2/K");
/// Free convection factors accepted. [W/m²/K^1.25]
const FREE: Range = Range::new(0.0, 1e3, "W/m2/K^1.25");
/// Fluxes accepted. [W/m²]
const FLUX: Range = Range::new(-1e7, 1e7, "W/m2");

impl Face {
    /// A face that lets no heat pass.
    pub const INSULATED: Self = Self {
        film_w_m2_k: 0.0,
        gas_k: 293.15,
        free_w_m2_k125: 0.0,
        still_k: 293.15,
        emissivity: 0.0,
        surroundings_k: 293.15,
        flux_w_m2: 0.0,
    };

    /// A face that is held at a temperature, through a conductance of 1e6 W/m²/K.
    pub fn held_at(temperature_k: f64) -> Self {
        Self {
            film_w_m2_k: 1e6,
            gas_k: temperature_k,
            ..Self::INSULATED
        }
    }

    /// Heat that flows into the face at a temperature. [W/m²]
    pub fn heat_in_w_m2(&self, temperature_k: f64) -> f64 {
        let law: FaceLaw<1> = FaceLaw::new(&[*self]);
        law.flux(Lanes([temperature_k])).0.0[0]
    }

    /// Checks every number; `place` names the face.
    pub(crate) fn check(&self, place: &str) -> Result<()> {
        let emissivity = Range::new(0.0, 1.0, "");
        for (name, value, range, remedy) in [
            (
                "film_w_m2_k",
                self.film_w_m2_k,
                FILM,
                "give a film coefficient of 0 or more",
            ),
            (
                "free_w_m2_k125",
                self.free_w_m2_k125,
                FREE,
                "give 0 or a factor of free convection",
            ),
            (
                "emissivity",
                self.emissivity,
                emissivity,
                "plastics: 0.85 to 0.95",
            ),
            ("flux_w_m2", self.flux_w_m2, FLUX, "give the absorbed flux"),
            ("gas_k", self.gas_k, TEMPERATURE, "use kelvin"),
            ("still_k", self.still_k, TEMPERATURE, "use kelvin"),
            (
                "surroundings_k",
                self.surroundings_k,
                TEMPERATURE,
                "use kelvin",
            ),
        ] {
            // The name is put together only for a fault: faces are checked row by row.
            if !range.holds(value) {
                check(format!("{place}.{name}"), value, range, remedy)?;
            }
        }
        Ok(())
    }
}

/// Faces of `W` slabs side by side.
#[derive(Debug, Clone, Copy)]
pub(crate) struct FaceLaw<const W: usize> {
    film: Lanes<W>,
    /// `film · gas + flux`.
    offered: Lanes<W>,
    free: Lanes<W>,
    still: Lanes<W>,
    radiation: Lanes<W>,
    /// `radiation · surroundings⁴`.
    received: Lanes<W>,
    any_free: bool,
}

impl<const W: usize> FaceLaw<W> {
    pub(crate) fn new(faces: &[Face; W]) -> Self {
        let lane = |f: fn(&Face) -> f64| Lanes(std::array::from_fn(|w| f(&faces[w])));
        Self {
            film: lane(|f| f.film_w_m2_k),
            offered: lane(|f| f.film_w_m2_k * f.gas_k + f.flux_w_m2),
            free: lane(|f| f.free_w_m2_k125),
            still: lane(|f| f.still_k),
            radiation: lane(|f| f.emissivity * STEFAN_BOLTZMANN.value),
            received: lane(|f| f.emissivity * STEFAN_BOLTZMANN.value * f.surroundings_k.powi(4)),
            any_free: faces.iter().any(|f| f.free_w_m2_k125 > 0.0),
        }
    }

    /// Replaces the face of one lane.
    pub(crate) fn set(&mut self, lane: usize, face: &Face) {
        let one: FaceLaw<1> = FaceLaw::new(&[*face]);
        self.film.0[lane] = one.film.0[0];
        self.offered.0[lane] = one.offered.0[0];
        self.free.0[lane] = one.free.0[0];
        self.still.0[lane] = one.still.0[0];
        self.radiation.0[lane] = one.radiation.0[0];
        self.received.0[lane] = one.received.0[0];
        self.any_free = self.free.0.iter().any(|&f| f > 0.0);
    }

    /// The face of one lane.
    pub(crate) fn lane(&self, lane: usize) -> FaceLaw<1> {
        let one = |of: &Lanes<W>| Lanes([of.0[lane]]);
        FaceLaw {
            film: one(&self.film),
            offered: one(&self.offered),
            free: one(&self.free),
            still: one(&self.still),
            radiation: one(&self.radiation),
            received: one(&self.received),
            any_free: self.free.0[lane] > 0.0,
        }
    }

    /// Heat into the face and its derivative over the face's temperature.
    #[inline(always)]
    pub(crate) fn flux(&self, t: Lanes<W>) -> (Lanes<W>, Lanes<W>) {
        let square = t * t;
        let mut heat =
            self.offered - self.film * t + self.received - self.radiation * square * square;
        let mut slope = -self.film - self.radiation * square * t * 4.0;
        if self.any_free {
            let rise = self.still - t;
            let film = self.free * rise.map(|x| x.abs().sqrt().sqrt());
            heat += film * rise;
            slope += film * -1.25;
        }
        (heat, slope)
    }
}
