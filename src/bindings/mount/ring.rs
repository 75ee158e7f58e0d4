//! Checks of an adapter ring with its driver.

use pyo3::prelude::*;

use super::super::whole;
use super::{Texts, fit_of, give, joint_of, length, mass, seat_of, sheet, warmth};
use crate::error::Result;
use crate::mount::fixing::clearance_hole_m;
use crate::mount::{RingMount, check_ring as ring_checks};
use crate::shape::ring::Insert;

/// Check an adapter ring with its driver.
///
/// Web, softening at the real stress, sag, road, door slam, screws, the driver's fit, the glue
/// between its layers, and its seat on steel. Nothing here approves a mount.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// thickness : str
///     Of the whole stack where its layers are glued, of one layer where they are not.
/// layer : str, optional
///     Thickness of one layer; the whole if left out.
/// web : str
///     Least web between cutout and outer edge.
/// driver_mass : str
///     Mass of the driver.
/// vehicle_circle : str
///     Diameter of the circle of the screws to the vehicle.
/// vehicle_screws, driver_screws : int, default 4
///     How many.
/// vehicle_screw, driver_screw : str, default "5 mm", "4 mm"
///     Their threads.
/// driver_offset : str, optional
///     Along the ring from a driver screw to the nearest vehicle screw, at its worst; halfway between
///     two vehicle screws if left out.
/// driver_engagement, driver_pilot : str, optional
///     Thread in plastic and its pilot hole, where the driver's screws go into the ring itself.
/// driver_insert : tuple of (str, str), optional
///     Outside diameter and length of threaded inserts that the driver's screws go into.
/// room : str, optional
///     Diameter of the largest circle in the outside, for the largest driver that fits; with ``cutout`` in ``fit``.
/// web_at_screws : str, optional
///     Least web through a screw's centre; the least web if left out.
/// driver_edge, vehicle_edge : str, optional
///     Least distance from the centre of a driver's, of a vehicle's screw to the cutout or the outer
///     edge; half the web if left out.
/// pitch : str, optional
///     Least distance between two hole centres, of both sets of screws; not checked if left out.
/// vehicle_hole : str, optional
///     Hole for a vehicle screw; the usual clearance if left out.
/// place : {"door", "cabin-air", "parcel-shelf", "dash-top", "upper-pillar"}, default "door"
///     Where it sits.
/// sun : {"mild", "hot", "extreme"}, default "hot"
///     Sun at 25, 35 or 45 °C outside.
/// temperature : str, optional
///     As measured, instead of place and sun.
/// countersunk : bool, default False
///     Whether the heads of the screws are cones.
/// sag_limit : str, default "1 mm"
///     Sag that is seen.
/// q : float, default 10
///     Amplification at resonance, 8 to 15 for screwed plastic.
/// shock : {"door-slam", "kerb"}, default "door-slam"
///     The shock of its place.
/// fit : dict of str, optional
///     Measures of the driver in its place, as :func:`check_fit` takes them.
/// joint : dict of str, optional
///     The glue between its layers: ``adhesive``, ``area``, ``strength``, ``service_limit``, ``peels``.
/// steel : dict of str, optional
///     Its seat on the steel of a door: ``fixing`` (``"rivet-nut"``, ``"clip-nut"``,
///     ``"through-bolt"``), ``panel``, ``sheds_water`` (``"yes"`` or ``"no"``) and, where measured,
///     ``hole_edge``, ``behind`` and the strips ``gasket_to_steel``, ``gasket_to_driver``,
///     ``collar_to_trim``, each with its ``..._pressed``.
/// part : str, default "ring"
///     Its name in the texts.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Checks
///     Each with figure, limit, margin, verdict, source, and what would mend it.
///
/// Raises
/// ------
/// OutOfRangeError
///     A size, mass, count or temperature that a mount cannot have.
/// ShapeError
///     A key of ``fit``, ``joint`` or ``steel`` is missing.
/// UnitError
///     A text is not a quantity of its kind.
/// UnknownNameError
///     No material, place, sun or shock has that name.
/// ImpossibleError
///     The catalogue lacks a number that the checks need.
/// JobError
///     The materials file has faults.
/// OSError
///     The materials file cannot be read.
///
/// Examples
/// --------
/// >>> ring = mw.check_ring("expanded-pvc", thickness="26 mm", layer="13 mm", web="21 mm",
/// ...                      driver_mass="0.9 kg", vehicle_circle="165 mm")
/// >>> ring["shock, hot"].unit
/// 'Pa'
#[pyfunction]
#[pyo3(signature = (material, *, thickness, web, driver_mass, vehicle_circle, layer=None, vehicle_screws=4, vehicle_screw="5 mm", driver_screws=4, driver_screw="4 mm", driver_offset=None, driver_engagement=None, driver_pilot=None, driver_insert=None, room=None, web_at_screws=None, driver_edge=None, vehicle_edge=None, pitch=None, vehicle_hole=None, place="door", sun="hot", temperature=None, countersunk=false, sag_limit="1 mm", q=10.0, shock="door-slam", fit=None, joint=None, steel=None, part="ring", file=None))]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(in crate::bindings) fn check_ring<'py>(
    py: Python<'py>,
    material: &str,
    thickness: &str,
    web: &str,
    driver_mass: &str,
    vehicle_circle: &str,
    layer: Option<&str>,
    #[pyo3(from_py_with = whole::count)] vehicle_screws: u32,
    vehicle_screw: &str,
    #[pyo3(from_py_with = whole::count)] driver_screws: u32,
    driver_screw: &str,
    driver_offset: Option<&str>,
    driver_engagement: Option<&str>,
    driver_pilot: Option<&str>,
    driver_insert: Option<(String, String)>,
    room: Option<&str>,
    web_at_screws: Option<&str>,
    driver_edge: Option<&str>,
    vehicle_edge: Option<&str>,
    pitch: Option<&str>,
    vehicle_hole: Option<&str>,
    place: &str,
    sun: &str,
    temperature: Option<&str>,
    countersunk: bool,
    sag_limit: &str,
    q: f64,
    shock: &str,
    fit: Option<Texts>,
    joint: Option<Texts>,
    steel: Option<Texts>,
    part: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let or = |what: &str, text: Option<&str>, usual: f64| -> Result<f64> {
        text.map_or(Ok(usual), |text| length(what, text))
    };
    let maybe = |what: &str, text: Option<&str>| text.map(|t| length(what, t)).transpose();
    let thickness_m = length("thickness", thickness)?;
    let web_m = length("web", web)?;
    let circle_m = length("vehicle_circle", vehicle_circle)?;
    let half_pitch_m = std::f64::consts::PI * circle_m / f64::from(vehicle_screws.max(1)) / 2.0;
    let bolt = super::screw("vehicle_screw", vehicle_screw, countersunk)?;
    let mount = RingMount {
        part: part.into(),
        material: sheet(material, file)?,
        thickness_m,
        layer_m: or("layer", layer, thickness_m)?,
        web_at_screws_m: maybe("web_at_screws", web_at_screws)?,
        room_m: maybe("room", room)?,
        vehicle_span_m: None,
        web_m,
        driver_kg: mass("driver_mass", driver_mass)?,
        warmth: warmth(place, sun, temperature)?,
        vehicle_circle_m: circle_m,
        vehicle_screws,
        vehicle_screw: bolt,
        driver_screws,
        driver_screw: super::screw("driver_screw", driver_screw, countersunk)?,
        driver_offset_m: or("driver_offset", driver_offset, half_pitch_m)?,
        driver_engagement_m: maybe("driver_engagement", driver_engagement)?,
        driver_pilot_m: maybe("driver_pilot", driver_pilot)?,
        driver_insert: driver_insert
            .map(|(outside, length_)| -> Result<Insert> {
                Ok(Insert {
                    outside_m: length("driver_insert, outside", &outside)?,
                    length_m: length("driver_insert, length", &length_)?,
                })
            })
            .transpose()?,
        driver_edge_m: or("driver_edge", driver_edge, web_m / 2.0)?,
        vehicle_edge_m: or("vehicle_edge", vehicle_edge, web_m / 2.0)?,
        pitch_m: maybe("pitch", pitch)?,
        front_m: or("layer", layer, thickness_m)?,
        vehicle_hole_m: or(
            "vehicle_hole",
            vehicle_hole,
            clearance_hole_m(bolt.diameter_m),
        )?,
        sag_limit_m: length("sag_limit", sag_limit)?,
        q,
        shock: super::shock(shock)?,
        fit: fit.as_ref().map(fit_of).transpose()?,
        joint: joint.as_ref().map(joint_of).transpose()?,
        steel: steel.as_ref().map(seat_of).transpose()?,
    };
    give(py, py.detach(|| ring_checks(&mount))?)
}
