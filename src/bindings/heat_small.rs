//! The correlations of heat in Python, each by itself: bare SI numbers in and out.

use pyo3::prelude::*;

use super::heat::lie;
use crate::error::{Range, Result, check};
use crate::heat::film::{self, Lie};
use crate::heat::jet::Impact;
use crate::heat::tools::bar;
use crate::heat::touch;

/// Nusselt number, on the nozzle's diameter, of a round jet that meets a plate.
///
/// Martin's correlation where it was measured (2.5 to 7.5 nozzle diameters from the point of impact,
/// 2 to 12 away, Reynolds 2000 to 400 000); within 2.5 diameters it is continued by parabolas that
/// meet it in mean and local value. :meth:`HotAirGun.at` notes what lies outside.
///
/// Parameters
/// ----------
/// reynolds : float
///     Reynolds number at the nozzle, 1 to 1e7.
/// height : float
///     Distance of the plate over the nozzle's diameter, 0 to 200.
/// radius : float
///     Distance from the point of impact over the nozzle's diameter, 0 to 1000.
/// prandtl : float, default 0.7
///     Prandtl number of the gas.
/// local : bool, default False
///     The value at that radius instead of the mean over the disc.
///
/// Returns
/// -------
/// float
///     Nusselt number.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number cannot be.
///
/// References
/// ----------
/// .. [1] Martin, Advances in Heat Transfer 13 (1977) 1-60.
///
/// Examples
/// --------
/// >>> mw.jet_nusselt(10_000, 6, 3) > mw.jet_nusselt(10_000, 6, 4) > 0
/// True
#[pyfunction]
#[pyo3(signature = (reynolds, height, radius, *, prandtl = 0.7, local = false))]
pub(super) fn jet_nusselt(
    reynolds: f64,
    height: f64,
    radius: f64,
    prandtl: f64,
    local: bool,
) -> Result<f64> {
    let far = Range::new(0.0, 1000.0, "");
    check("radius", radius, far, "count it in nozzle diameters")?;
    let impact = Impact {
        reynolds,
        height,
        prandtl,
    };
    let spot = impact.spot()?.value;
    Ok(if local {
        spot.local(radius)
    } else {
        spot.mean(radius)
    })
}

/// Nusselt number of free convection from an isothermal face.
///
/// Upright: Churchill and Chu, on the height, for laminar and turbulent flow. Level: McAdams, on area
/// over perimeter, with the warm side up or down.
///
/// Parameters
/// ----------
/// rayleigh : float
///     Rayleigh number, 0 to 1e15; fitted for 0.1 to 1e12 upright, 1e4 to 1e11 facing up and
///     1e5 to 1e10 facing down.
/// prandtl : float, default 0.7
///     Prandtl number; only an upright face asks for it.
/// lie : {"upright", "facing up", "facing down"}, default "upright"
///     How the warm face lies.
/// laminar : bool, default False
///     The laminar form for an upright face, a little nearer below 1e9.
///
/// Returns
/// -------
/// float
///     Mean Nusselt number.
///
/// Raises
/// ------
/// OutOfRangeError
///     A number cannot be.
/// UnknownNameError
///     A face does not lie like that.
///
/// References
/// ----------
/// .. [1] Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1323-1329.
///
/// Examples
/// --------
/// A worked example of Bergman et al. (9.2) prints 147:
///
/// >>> round(mw.free_convection_nusselt(2.63e9 * 0.69, prandtl=0.69))
/// 147
#[pyfunction]
#[pyo3(signature = (rayleigh, *, prandtl = 0.7, lie = "upright", laminar = false))]
pub(super) fn free_convection_nusselt(
    rayleigh: f64,
    prandtl: f64,
    lie: &str,
    laminar: bool,
) -> Result<f64> {
    let found = match (self::lie(lie)?, laminar) {
        (Lie::Upright, false) => film::upright(rayleigh, prandtl)?,
        (Lie::Upright, true) => film::upright_laminar(rayleigh, prandtl)?,
        (Lie::FacingUp, _) => film::level(rayleigh, true)?,
        (Lie::FacingDown, _) => film::level(rayleigh, false)?,
    };
    Ok(found.value)
}

/// Film coefficient of free convection in air.
///
/// Parameters
/// ----------
/// face_k, air_k : float
///     Temperatures of face and air, 150 to 1500 K. [K]
/// length_m : float
///     Height of an upright face, area over perimeter of a level one; 1 mm to 10 m. [m]
/// lie : {"upright", "facing up", "facing down"}, default "upright"
///     How the warm face lies.
///
/// Returns
/// -------
/// float
///     Film coefficient. [W/m²/K]
///
/// Raises
/// ------
/// OutOfRangeError
///     A number cannot be.
/// UnknownNameError
///     A face does not lie like that.
///
/// Examples
/// --------
/// >>> 6 < mw.still_air_film(393, 293, 0.1) < 8
/// True
#[pyfunction]
#[pyo3(signature = (face_k, air_k, length_m, *, lie = "upright"))]
pub(super) fn still_air_film(face_k: f64, air_k: f64, length_m: f64, lie: &str) -> Result<f64> {
    Ok(film::still_air(face_k, air_k, length_m, self::lie(lie)?)?.value)
}

/// Temperature below which a plastic face may be touched for some time without a burn.
///
/// Parameters
/// ----------
/// seconds : float
///     How long it is touched, 0 to 28 800; 10 is a firm grip. [s]
///
/// Returns
/// -------
/// float
///     The threshold, remembered to ±3 K. [K]
///
/// Raises
/// ------
/// OutOfRangeError
///     The time cannot be.
///
/// References
/// ----------
/// .. [1] ISO 13732-1.
///
/// Examples
/// --------
/// >>> round(mw.touch_limit(10) - 273.15)
/// 71
#[pyfunction]
pub(super) fn touch_limit(seconds: f64) -> Result<f64> {
    touch::threshold_k(seconds)
}

/// Soft width beside a heated strip, for a line bend; an upper bound.
///
/// Parameters
/// ----------
/// strip_m : float
///     Width of the strip, 0 to 1. [m]
/// diffusivity_m2_s : float
///     Of the sheet: conductivity / (density · heat capacity). [m²/s]
/// seconds : float
///     The soak. [s]
/// start_k, soft_k, edge_k : float
///     Of the sheet at the start, where it is soft, and of the strip's edge. [K]
///
/// Returns
/// -------
/// float
///     Width; 0 where the edge stays below ``soft_k``. [m]
///
/// Raises
/// ------
/// OutOfRangeError
///     A number cannot be.
///
/// Examples
/// --------
/// >>> strip = mw.soft_width(
/// ...     12e-3, diffusivity_m2_s=1.1e-7, seconds=120, start_k=293, soft_k=400, edge_k=440
/// ... )
/// >>> 0.012 < strip < 0.022
/// True
#[pyfunction]
#[pyo3(signature = (strip_m, *, diffusivity_m2_s, seconds, start_k, soft_k, edge_k))]
pub(super) fn soft_width(
    strip_m: f64,
    diffusivity_m2_s: f64,
    seconds: f64,
    start_k: f64,
    soft_k: f64,
    edge_k: f64,
) -> Result<f64> {
    bar::soft_width_m(
        strip_m,
        diffusivity_m2_s,
        seconds,
        [start_k, soft_k, edge_k],
    )
}
