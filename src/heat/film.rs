//! Free convection and radiation at a face in still air.

use serde::Serialize;

use super::air;
use super::slab::{Face, TEMPERATURE};
use crate::error::{Note, Noted, Range, Result, check};
use crate::physics::{GRAVITY, STEFAN_BOLTZMANN};
use crate::sourced::{Constant, Standing};

/// A printed coefficient.
const fn printed(name: &'static str, value: f64, source: &'static str) -> Constant {
    Constant::exact(name, value, "1", source, Standing::Published)
}

const CHURCHILL_CHU: &str = "Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1323-1329; free convection to about 15 %";
const MCADAMS: &str = "McAdams, as equations 9.30 to 9.32 of Bergman et al., Fundamentals of Heat and Mass Transfer, 6th edition; free convection to about 15 %";
/// Upright face, conduction alone.
pub const UPRIGHT_STILL: Constant = printed("film.upright_still", 0.825, CHURCHILL_CHU);
/// Upright face, laminar and turbulent.
pub const UPRIGHT: Constant = printed("film.upright", 0.387, CHURCHILL_CHU);
/// Upright face in the laminar form, conduction alone.
pub const LAMINAR_STILL: Constant = printed("film.upright_laminar_still", 0.68, CHURCHILL_CHU);
/// Upright face in the laminar form.
pub const LAMINAR: Constant = printed("film.upright_laminar", 0.670, CHURCHILL_CHU);
/// Prandtl number in both forms.
pub const PRANDTL_OF_FORM: Constant = printed("film.upright_prandtl", 0.492, CHURCHILL_CHU);
/// Level face, its warm side up, below a Rayleigh number of 1e7.
pub const LEVEL_UP: Constant = printed("film.level_up", 0.54, MCADAMS);
/// Level face, its warm side up, above that.
pub const LEVEL_UP_TURBULENT: Constant = printed("film.level_up_turbulent", 0.15, MCADAMS);
/// Level face, its warm side down.
pub const LEVEL_DOWN: Constant = printed("film.level_down", 0.27, MCADAMS);

/// Rayleigh numbers that are answered.
const RAYLEIGH: Range = Range::new(0.0, 1e15, "");
/// Prandtl numbers that are answered.
const PRANDTL: Range = Range::new(1e-3, 1e5, "");

/// How a face lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Lie {
    /// Upright.
    Upright,
    /// Level, its warm side up.
    FacingUp,
    /// Level, its warm side down.
    FacingDown,
}

fn note_outside(range: Range, value: f64, what: &str) -> Vec<Note> {
    if range.holds(value) {
        Vec::new()
    } else {
        vec![Note::new(
            "free convection",
            format!(
                "{what} {value:.3e} lies outside {} to {}, where the equation was fitted",
                range.low, range.high
            ),
        )]
    }
}

/// Mean Nusselt number of free convection from an upright isothermal face, for laminar and turbulent flow.
///
/// `Nu = (0.825 + 0.387 Ra^(1/6) / [1 + (0.492/Pr)^(9/16)]^(8/27))²`, `Ra` on the height.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a Rayleigh number outside 0 to 1e15 or a Prandtl number outside 1e-3 to 1e5; noted outside
/// 0.1 to 1e12.
///
/// # Source
/// Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1323-1329.
///
/// ```
/// let nu = mountwright::heat::film::upright(2.63e9 * 0.69, 0.69)?;
/// assert_eq!(nu.value.round(), 147.0); // worked example 9.2 of Bergman et al.
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn upright(rayleigh: f64, prandtl: f64) -> Result<Noted<f64>> {
    check(
        "rayleigh",
        rayleigh,
        RAYLEIGH,
        "check size and temperatures",
    )?;
    check("prandtl", prandtl, PRANDTL, "air has 0.7")?;
    let damping = (1.0 + (PRANDTL_OF_FORM.value / prandtl).powf(9.0 / 16.0)).powf(8.0 / 27.0);
    Ok(Noted {
        value: (UPRIGHT_STILL.value + UPRIGHT.value * rayleigh.powf(1.0 / 6.0) / damping).powi(2),
        notes: note_outside(Range::new(0.1, 1e12, ""), rayleigh, "the Rayleigh number"),
    })
}

/// The laminar form, a little nearer below `Ra = 1e9`: `Nu = 0.68 + 0.670 Ra^¼ / [1 + (0.492/Pr)^(9/16)]^(4/9)`.
///
/// # Errors
/// As [`upright`]; noted above 1e9.
///
/// # Source
/// Churchill and Chu, as [`upright`].
pub fn upright_laminar(rayleigh: f64, prandtl: f64) -> Result<Noted<f64>> {
    check(
        "rayleigh",
        rayleigh,
        RAYLEIGH,
        "check size and temperatures",
    )?;
    check("prandtl", prandtl, PRANDTL, "air has 0.7")?;
    let damping = (1.0 + (PRANDTL_OF_FORM.value / prandtl).powf(9.0 / 16.0)).powf(4.0 / 9.0);
    Ok(Noted {
        value: LAMINAR_STILL.value + LAMINAR.value * rayleigh.sqrt().sqrt() / damping,
        notes: note_outside(Range::new(0.0, 1e9, ""), rayleigh, "the Rayleigh number"),
    })
}

/// Mean Nusselt number of a level face on the length area/perimeter: warm side up `0.54 Ra^¼` below 1e7 and
/// `0.15 Ra^⅓` above, warm side down `0.27 Ra^¼`.
///
/// # Errors
/// As [`upright`]; noted outside 1e4 to 1e11 (up) or 1e5 to 1e10 (down).
///
/// # Source
/// `McAdams`, as equations 9.30 to 9.32 of Bergman et al., Fundamentals of Heat and Mass Transfer, 6th edition.
pub fn level(rayleigh: f64, warm_side_up: bool) -> Result<Noted<f64>> {
    check(
        "rayleigh",
        rayleigh,
        RAYLEIGH,
        "check size and temperatures",
    )?;
    let (value, range) = if !warm_side_up {
        (
            LEVEL_DOWN.value * rayleigh.sqrt().sqrt(),
            Range::new(1e5, 1e10, ""),
        )
    } else if rayleigh <= 1e7 {
        (
            LEVEL_UP.value * rayleigh.sqrt().sqrt(),
            Range::new(1e4, 1e11, ""),
        )
    } else {
        (
            LEVEL_UP_TURBULENT.value * rayleigh.cbrt(),
            Range::new(1e4, 1e11, ""),
        )
    };
    Ok(Noted {
        value,
        notes: note_outside(range, rayleigh, "the Rayleigh number"),
    })
}

/// Film coefficient of free convection in air. [W/m²/K]
///
/// `length_m` is the height of an upright face, area over perimeter of a level one. Air properties are taken at the mean of
/// face and air.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a length outside 1 mm to 10 m or temperatures outside 150 to 1500 K.
pub fn still_air(face_k: f64, air_k: f64, length_m: f64, lie: Lie) -> Result<Noted<f64>> {
    check(
        "length_m",
        length_m,
        Range::new(1e-3, 10.0, "m"),
        "give the size of the face",
    )?;
    check("face_k", face_k, TEMPERATURE, "use kelvin")?;
    check("air_k", air_k, TEMPERATURE, "use kelvin")?;
    let mean_k = f64::midpoint(face_k, air_k);
    let kinematic = air::viscosity_pa_s(mean_k) / air::density_kg_m3(mean_k);
    let grashof = GRAVITY.value / mean_k * (face_k - air_k).abs() * length_m.powi(3)
        / (kinematic * kinematic);
    let rayleigh = grashof * air::PRANDTL.value;
    let nusselt = match lie {
        Lie::Upright if rayleigh < 1e9 => upright_laminar(rayleigh, air::PRANDTL.value)?,
        Lie::Upright => upright(rayleigh, air::PRANDTL.value)?,
        Lie::FacingUp => level(rayleigh, true)?,
        Lie::FacingDown => level(rayleigh, false)?,
    };
    Ok(Noted {
        value: nusselt.value * air::conductivity_w_m_k(mean_k) / length_m,
        notes: nusselt.notes,
    })
}

/// A face that cools in still air and to walls at air temperature.
///
/// The film coefficient follows `ΔT^¼`, the law of laminar free convection, through its value at a face
/// `typical_k`; radiation is exact.
///
/// # Errors
/// As [`still_air`].
pub fn cooling(
    typical_k: f64,
    air_k: f64,
    length_m: f64,
    lie: Lie,
    emissivity: f64,
) -> Result<Face> {
    // With hardly any difference the film does not matter, but its factor must stay finite.
    let typical_k = if (typical_k - air_k).abs() < 10.0 {
        air_k + 10.0
    } else {
        typical_k
    };
    let film = still_air(typical_k, air_k, length_m, lie)?.value;
    Ok(Face {
        free_w_m2_k125: film / (typical_k - air_k).abs().sqrt().sqrt(),
        still_k: air_k,
        gas_k: air_k,
        emissivity,
        surroundings_k: air_k,
        ..Face::INSULATED
    })
}

/// Radiation as a film coefficient, `εσ (T + T₀)(T² + T₀²)`. [W/m²/K]
///
/// ```
/// let h = mountwright::heat::film::radiation_film(0.9, 373.15, 293.15);
/// assert!((h - 7.65684).abs() < 1e-5);
/// ```
pub fn radiation_film(emissivity: f64, face_k: f64, surroundings_k: f64) -> f64 {
    emissivity
        * STEFAN_BOLTZMANN.value
        * (face_k + surroundings_k)
        * (face_k * face_k + surroundings_k * surroundings_k)
}
