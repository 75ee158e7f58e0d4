//! Checks of a finished mount in Python.

use std::collections::BTreeMap;

use pyo3::prelude::*;
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::arrays::{self, Column};
use super::material::{catalogue, word};
use super::record;
use super::whole;
use crate::error::{Error, Result};
use crate::mount::airbag::{Answer, refuse};
use crate::mount::beam::{Held, Tab};
use crate::mount::drivers::{Opening, openings as openings_of};
use crate::mount::fit::{Fit, check_fit as fit_checks};
use crate::mount::fixing::{Screw, clearance_hole_m, thread_advice, thread_forming};
use crate::mount::joint::GluedJoint;
use crate::mount::place::{Climate, Zone, zone_temperature};
use crate::mount::service_heat::{Made, Warmth, belongs as belongs_in};
use crate::mount::shock::{BODY_SHOCK, DOOR_SLAM, HalfSine};
use crate::mount::steel::{DOOR_NOTES, Gasket, SteelSeat};
use crate::mount::vibration::{Psd, Q_SCREWED, miles_rms};
use crate::mount::{
    Check, Material, PanelMount, RingMount, StrapMount, Verdict, check_panel as panel_checks,
    check_ring as ring_checks, check_strap as strap_checks, summary, worst,
};
use crate::quantity::{Dimension, Measure, parse};
use crate::shape::ring::Insert;
use crate::shape::seal::SteelFixing;
use crate::sourced::Standing;

const PLACES: [&str; 5] = [
    "cabin-air",
    "upper-pillar",
    "dash-top",
    "parcel-shelf",
    "door",
];
const SUNS: [&str; 3] = ["mild", "hot", "extreme"];
const HELD: [&str; 3] = ["both-ends", "clamped-all-round", "cantilever"];
const TO_STEEL: [&str; 3] = ["rivet-nut", "clip-nut", "through-bolt"];

/// Texts by name: `{"driver_depth": "58 mm"}`.
type Texts = BTreeMap<String, String>;

/// Checks with their gravest verdict.
#[derive(Serialize)]
struct Found {
    worst: Verdict,
    summary: String,
    checks: Vec<Check>,
}

fn give(py: Python<'_>, checks: Vec<Check>) -> PyResult<Bound<'_, PyAny>> {
    let all = Found {
        worst: worst(&checks),
        summary: summary(&checks),
        checks,
    };
    record::give(py, "Checks", &all)
}

fn length(what: &str, text: &str) -> Result<f64> {
    Ok(parse(what, text, Dimension::Length)?.value)
}

fn mass(what: &str, text: &str) -> Result<f64> {
    Ok(parse(what, text, Dimension::Mass)?.value)
}

fn sheet(material: &str, file: Option<&str>) -> Result<Material> {
    Material::of(&catalogue(file)?.get(material)?.properties())
}

/// How warm it gets: as measured where that was, else by place and sun.
fn warmth(place: &str, sun: &str, temperature: Option<&str>) -> Result<Warmth> {
    let zone: Zone = word("place", place, &PLACES)?;
    let sun: Climate = word("sun", sun, &SUNS)?;
    Ok(match temperature {
        None => Warmth::of(&zone_temperature(zone, sun)),
        Some(text) => {
            let Measure { value, plus_minus } = parse("temperature", text, Dimension::Temperature)?;
            Warmth {
                temperature_k: value,
                plus_minus_k: plus_minus,
            }
        }
    })
}

fn shock(name: &str) -> Result<HalfSine> {
    match name {
        "door-slam" => Ok(DOOR_SLAM),
        "kerb" => Ok(BODY_SHOCK),
        _ => Err(Error::unknown("shock", name, ["door-slam", "kerb"])),
    }
}

fn screw(what: &str, text: &str, countersunk: bool) -> Result<Screw> {
    Ok(Screw {
        countersunk,
        ..Screw::pan(length(what, text)?)
    })
}

/// Takes the texts of a dict one by one, and refuses what is left.
struct Take<'a> {
    of: &'a str,
    texts: Texts,
    known: Vec<&'static str>,
}

impl<'a> Take<'a> {
    fn from(of: &'a str, texts: &Texts) -> Self {
        Self {
            of,
            texts: texts.clone(),
            known: vec![],
        }
    }

    fn text(&mut self, key: &'static str) -> Option<String> {
        self.known.push(key);
        self.texts.remove(key)
    }

    fn need(&mut self, key: &'static str) -> Result<String> {
        self.text(key).ok_or_else(|| Error::Shape {
            what: format!("{}[\"{key}\"]", self.of),
            given: "nothing".into(),
            allowed: "a value: it is needed".into(),
        })
    }

    fn length(&mut self, key: &'static str) -> Result<Option<f64>> {
        let text = self.text(key);
        text.map(|text| length(&format!("{}[\"{key}\"]", self.of), &text))
            .transpose()
    }

    fn need_length(&mut self, key: &'static str) -> Result<f64> {
        let text = self.need(key)?;
        length(&format!("{}[\"{key}\"]", self.of), &text)
    }

    fn truth(&mut self, key: &'static str) -> Result<bool> {
        match self.need(key)?.to_lowercase().as_str() {
            "true" | "yes" => Ok(true),
            "false" | "no" => Ok(false),
            other => Err(Error::unknown(key, other, ["yes", "no"])),
        }
    }

    fn word<T: DeserializeOwned>(&mut self, key: &'static str, known: &[&str]) -> Result<T> {
        let text = self.need(key)?;
        word(key, &text, known)
    }

    fn done(self) -> Result<()> {
        match self.texts.keys().next() {
            None => Ok(()),
            Some(key) => Err(Error::unknown(
                format!("key of {}", self.of),
                key,
                self.known.iter().copied(),
            )),
        }
    }
}

fn fit_of(texts: &Texts) -> Result<Fit> {
    let mut take = Take::from("fit", texts);
    let fit = Fit {
        driver_depth_m: take.need_length("driver_depth")?,
        depth_behind_face_m: take.need_length("depth_behind_face")?,
        spacer_m: take.length("spacer")?.unwrap_or(0.0),
        flange_recess_m: take.length("flange_recess")?.unwrap_or(0.0),
        magnet_to_wiring_m: take.length("magnet_to_wiring")?,
        magnet_to_steel_m: take.length("magnet_to_steel")?,
        terminal_gap_m: take.length("terminal_gap")?,
        cone_travel_m: take.length("cone_travel")?,
        grille_gap_m: take.length("grille_gap")?,
        flange_m: take.length("flange")?,
        basket_m: take.length("basket")?,
        cutout_m: take.length("cutout")?,
    };
    take.done()?;
    Ok(fit)
}

fn joint_of(texts: &Texts) -> Result<GluedJoint> {
    let mut take = Take::from("joint", texts);
    let joint = GluedJoint {
        adhesive: take.need("adhesive")?,
        area_m2: parse("joint[\"area\"]", &take.need("area")?, Dimension::Area)?.value,
        strength_pa: parse(
            "joint[\"strength\"]",
            &take.need("strength")?,
            Dimension::Pressure,
        )?
        .value,
        service_limit_k: parse(
            "joint[\"service_limit\"]",
            &take.need("service_limit")?,
            Dimension::Temperature,
        )?
        .value,
        peels: take.truth("peels")?,
    };
    take.done()?;
    Ok(joint)
}

fn seat_of(texts: &Texts) -> Result<SteelSeat> {
    let mut take = Take::from("steel", texts);
    let mut strip = |free, pressed| -> Result<Option<Gasket>> {
        match (take.length(free)?, take.length(pressed)?) {
            (Some(free_m), Some(pressed_m)) => Ok(Some(Gasket { free_m, pressed_m })),
            (None, None) => Ok(None),
            _ => Err(Error::Shape {
                what: format!("{free} and {pressed}"),
                given: "one of them".into(),
                allowed: "both or neither".into(),
            }),
        }
    };
    let to_steel = strip("gasket_to_steel", "gasket_to_steel_pressed")?;
    let to_driver = strip("gasket_to_driver", "gasket_to_driver_pressed")?;
    let collar = strip("collar_to_trim", "collar_to_trim_pressed")?;
    let seat = SteelSeat {
        fixing: take.word::<SteelFixing>("fixing", &TO_STEEL)?,
        panel_m: take.need_length("panel")?,
        hole_edge_m: take.length("hole_edge")?,
        behind_m: take.length("behind")?,
        to_steel,
        to_driver,
        sheds_water: take.truth("sheds_water")?,
        collar,
    };
    take.done()?;
    Ok(seat)
}

/// Check a strap or pod on its tabs.
///
/// Shape recovery and softening at the real stress, sag, road, shock, screws, room for thermal
/// movement, the driver's fit and a glued joint. Nothing here approves a mount: near an air bag's
/// path or in the driver's view the vehicle maker's instructions and licensed practice decide.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// thickness, tab_length, tab_width : str
///     One tab, from its screw to where the body begins: ``"3 mm"``.
/// carried : str
///     Mass of everything that the tabs carry: ``"70 g"``.
/// place : {"upper-pillar", "dash-top", "parcel-shelf", "cabin-air", "door"}
///     Where it sits in the parked car.
/// sun : {"mild", "hot", "extreme"}, default "hot"
///     Sun at 25, 35 or 45 °C outside.
/// temperature : str, optional
///     As measured, instead of place and sun: ``"68 °C ± 4 K"``.
/// held : {"both-ends", "cantilever"}, default "both-ends"
///     Tabs on opposite sides of a stiff body, or on one side only.
/// formed : bool, default True
///     Whether it was formed hot.
/// tabs, screws_per_tab : int, default 2, 1
///     How many.
/// screw : str, default "4 mm"
///     Thread of the screws.
/// countersunk : bool, default False
///     Whether their heads are cones.
/// edge : str, optional
///     Hole centre to the nearest edge; half the tab's width if left out.
/// slot : str, optional
///     Clear length of the slotted hole; a round clearance hole if left out.
/// from_fixed : str, optional
///     From the fixed screw to the slotted hole; two tabs and 50 mm if left out.
/// sag_limit : str, default "1 mm"
///     Sag that is seen.
/// q : float, default 10
///     Amplification at resonance, 8 to 15 for screwed plastic.
/// shock : {"kerb", "door-slam"}, default "kerb"
///     The shock of its place.
/// fit : dict of str, optional
///     Measures of the driver in its place, as :func:`check_fit` takes them.
/// joint : dict of str, optional
///     A glued joint that carries the driver: ``adhesive``, ``area``, ``strength``,
///     ``service_limit``, ``peels``.
/// part : str, default "strap"
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
///     Held at both ends by one tab, or a key of ``fit`` or ``joint`` is missing.
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
/// >>> pod = dict(thickness="3 mm", tab_length="25 mm", tab_width="35 mm", carried="70 g",
/// ...            place="upper-pillar", slot="6 mm")
/// >>> [c.name for c in mw.check_strap("abs", **pod) if c.verdict != "pass"]
/// ["maker's steady service limit"]
/// >>> mw.check_strap("expanded-pvc", **pod)["shape recovery"].verdict
/// 'fail'
#[pyfunction]
#[pyo3(signature = (material, *, thickness, tab_length, tab_width, carried, place, sun="hot", temperature=None, held="both-ends", formed=true, tabs=2, screws_per_tab=1, screw="4 mm", countersunk=false, edge=None, slot=None, from_fixed=None, sag_limit="1 mm", q=10.0, shock="kerb", fit=None, joint=None, part="strap", file=None))]
#[allow(clippy::too_many_arguments, clippy::fn_params_excessive_bools)] // keywords in Python
pub(super) fn check_strap<'py>(
    py: Python<'py>,
    material: &str,
    thickness: &str,
    tab_length: &str,
    tab_width: &str,
    carried: &str,
    place: &str,
    sun: &str,
    temperature: Option<&str>,
    held: &str,
    formed: bool,
    tabs: u32,
    #[pyo3(from_py_with = whole::count)] screws_per_tab: u32,
    screw: &str,
    countersunk: bool,
    edge: Option<&str>,
    slot: Option<&str>,
    from_fixed: Option<&str>,
    sag_limit: &str,
    q: f64,
    shock: &str,
    fit: Option<Texts>,
    joint: Option<Texts>,
    part: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let tab = Tab {
        length_m: length("tab_length", tab_length)?,
        width_m: length("tab_width", tab_width)?,
        thickness_m: length("thickness", thickness)?,
    };
    let screw = self::screw("screw", screw, countersunk)?;
    let or = |what: &str, text: Option<&str>, usual: f64| -> Result<f64> {
        text.map_or(Ok(usual), |text| length(what, text))
    };
    let mount = StrapMount {
        part: part.into(),
        material: sheet(material, file)?,
        tab,
        tabs,
        held: word::<Held>("held", held, &HELD)?,
        carried_kg: mass("carried", carried)?,
        made: made(formed),
        warmth: warmth(place, sun, temperature)?,
        screws_per_tab,
        screw,
        edge_m: or("edge", edge, tab.width_m / 2.0)?,
        slot_m: or("slot", slot, clearance_hole_m(screw.diameter_m))?,
        from_fixed_m: or("from_fixed", from_fixed, 2.0 * tab.length_m + 0.05)?,
        sag_limit_m: length("sag_limit", sag_limit)?,
        q,
        shock: self::shock(shock)?,
        fit: fit.as_ref().map(fit_of).transpose()?,
        joint: joint.as_ref().map(joint_of).transpose()?,
        joined_kg: None,
    };
    give(py, py.detach(|| strap_checks(&mount))?)
}

fn made(formed: bool) -> Made {
    if formed { Made::FormedHot } else { Made::Flat }
}

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
/// edge : str, optional
///     Least distance from a hole centre to the cutout or the outer edge; half the web if left out.
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
#[pyo3(signature = (material, *, thickness, web, driver_mass, vehicle_circle, layer=None, vehicle_screws=4, vehicle_screw="5 mm", driver_screws=4, driver_screw="4 mm", driver_offset=None, driver_engagement=None, driver_pilot=None, driver_insert=None, room=None, web_at_screws=None, edge=None, vehicle_hole=None, place="door", sun="hot", temperature=None, countersunk=false, sag_limit="1 mm", q=10.0, shock="door-slam", fit=None, joint=None, steel=None, part="ring", file=None))]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn check_ring<'py>(
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
    edge: Option<&str>,
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
    let bolt = self::screw("vehicle_screw", vehicle_screw, countersunk)?;
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
        driver_screw: self::screw("driver_screw", driver_screw, countersunk)?,
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
        edge_m: or("edge", edge, web_m / 2.0)?,
        vehicle_hole_m: or(
            "vehicle_hole",
            vehicle_hole,
            clearance_hole_m(bolt.diameter_m),
        )?,
        sag_limit_m: length("sag_limit", sag_limit)?,
        q,
        shock: self::shock(shock)?,
        fit: fit.as_ref().map(fit_of).transpose()?,
        joint: joint.as_ref().map(joint_of).transpose()?,
        steel: steel.as_ref().map(seat_of).transpose()?,
    };
    give(py, py.detach(|| ring_checks(&mount))?)
}

/// Check a trim panel.
///
/// Softening at the real stress, sag, road, shock, a thumb on its middle, screws, room for thermal
/// movement. Nothing here approves a mount.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// width, height : str
///     Its two sides between fastenings.
/// thickness : str
///     Of the sheet.
/// place : {"cabin-air", "door", "parcel-shelf", "dash-top", "upper-pillar"}
///     Where it sits.
/// sun : {"mild", "hot", "extreme"}, default "hot"
///     Sun at 25, 35 or 45 °C outside.
/// temperature : str, optional
///     As measured, instead of place and sun.
/// centre_mass : str, default "0 g"
///     Fixed at its middle: a driver, a pod.
/// covering : float, default 0
///     Finish spread over it. [kg/m²]
/// formed : bool, default False
///     Whether it was formed hot.
/// held : {"clamped-all-round", "both-ends", "cantilever"}, default "clamped-all-round"
///     How it is held.
/// screw : str, default "4 mm"
///     Thread of its screws.
/// countersunk : bool, default False
///     Whether their heads are cones.
/// edge : str, default "12 mm"
///     Hole centre to the nearest edge.
/// pitch : str, default "150 mm"
///     Greatest distance between neighbouring screws.
/// slot : str, default "6 mm"
///     Clear length of the slotted holes.
/// sag_limit : str, default "1 mm"
///     Sag that is seen.
/// q : float, default 10
///     Amplification at resonance, 8 to 15 for screwed plastic.
/// shock : {"kerb", "door-slam"}, default "kerb"
///     The shock of its place.
/// part : str, default "panel"
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
///     A size, mass or temperature that a panel cannot have.
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
/// >>> panel = mw.check_panel("abs", width="290 mm", height="190 mm", thickness="3 mm",
/// ...                        place="cabin-air")
/// >>> panel["sag in the heat"].verdict
/// 'pass'
#[pyfunction]
#[pyo3(signature = (material, *, width, height, thickness, place, sun="hot", temperature=None, centre_mass="0 g", covering=0.0, formed=false, held="clamped-all-round", screw="4 mm", countersunk=false, edge="12 mm", pitch="150 mm", slot="6 mm", sag_limit="1 mm", q=10.0, shock="kerb", part="panel", file=None))]
#[allow(clippy::too_many_arguments, clippy::fn_params_excessive_bools)] // keywords in Python
pub(super) fn check_panel<'py>(
    py: Python<'py>,
    material: &str,
    width: &str,
    height: &str,
    thickness: &str,
    place: &str,
    sun: &str,
    temperature: Option<&str>,
    centre_mass: &str,
    covering: f64,
    formed: bool,
    held: &str,
    screw: &str,
    countersunk: bool,
    edge: &str,
    pitch: &str,
    slot: &str,
    sag_limit: &str,
    q: f64,
    shock: &str,
    part: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let mount = PanelMount {
        part: part.into(),
        material: sheet(material, file)?,
        sides_m: [length("width", width)?, length("height", height)?],
        thickness_m: length("thickness", thickness)?,
        centre_kg: mass("centre_mass", centre_mass)?,
        covering_kg_m2: covering,
        made: made(formed),
        held: word::<Held>("held", held, &HELD)?,
        warmth: warmth(place, sun, temperature)?,
        screw: self::screw("screw", screw, countersunk)?,
        edge_m: length("edge", edge)?,
        pitch_m: length("pitch", pitch)?,
        slot_m: length("slot", slot)?,
        sag_limit_m: length("sag_limit", sag_limit)?,
        q,
        shock: self::shock(shock)?,
    };
    give(py, py.detach(|| panel_checks(&mount))?)
}

/// Check whether a driver fits its place.
///
/// Parameters
/// ----------
/// measures : dict of str
///     ``driver_depth`` and ``depth_behind_face`` (to the first thing behind it, glass fully down and
///     up: the lesser), and where measured ``spacer``, ``flange_recess``, ``magnet_to_wiring``,
///     ``magnet_to_steel``, ``terminal_gap``, ``cone_travel`` with ``grille_gap``, ``flange``,
///     ``basket``, ``cutout``. What was not measured is not checked.
/// part : str, default "driver"
///     Its name in the texts.
///
/// Returns
/// -------
/// Checks
///     Each with figure, limit, margin, verdict, and what would mend it.
///
/// Raises
/// ------
/// OutOfRangeError
///     A measure is negative or above 2 m.
/// ShapeError
///     ``driver_depth`` or ``depth_behind_face`` is missing.
/// UnitError
///     A measure is no length.
/// UnknownNameError
///     A key is not one of these.
///
/// Examples
/// --------
/// >>> shallow = {"driver_depth": "58 mm", "depth_behind_face": "50 mm"}
/// >>> print(mw.check_fit(shallow)["depth"].mend)
/// a spacer of 12.0 mm, or a driver of 46.0 mm depth at most
/// >>> mw.check_fit(shallow | {"spacer": "13 mm"}).worst
/// 'pass'
#[pyfunction]
#[pyo3(signature = (measures, *, part="driver"))]
pub(super) fn check_fit<'py>(
    py: Python<'py>,
    measures: Texts,
    part: &str,
) -> PyResult<Bound<'py, PyAny>> {
    give(py, fit_checks(part, &fit_of(&measures)?)?)
}

/// Ask whether a sheet belongs in a place at all, before anything is drawn.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// place : {"upper-pillar", "dash-top", "parcel-shelf", "cabin-air", "door"}
///     Where it would sit.
/// sun : {"mild", "hot", "extreme"}, default "hot"
///     Sun at 25, 35 or 45 °C outside.
/// formed : bool, default True
///     Whether it would be formed hot.
/// held : {"both-ends", "clamped-all-round", "cantilever"}, default "both-ends"
///     How it would be held; a formed part with a free end goes flat again first.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Check
///     With the reason, and what would belong there instead.
///
/// Raises
/// ------
/// UnknownNameError
///     No material, place or sun has that name.
/// ImpossibleError
///     The catalogue lacks a number that the check needs.
/// JobError
///     The materials file has faults.
/// OSError
///     The materials file cannot be read.
///
/// Examples
/// --------
/// >>> mw.belongs("expanded-pvc", "dash-top").verdict
/// 'fail'
/// >>> mw.belongs("expanded-pvc", "door", formed=False, held="clamped-all-round").verdict
/// 'pass'
#[pyfunction]
#[pyo3(signature = (material, place, *, sun="hot", formed=true, held="both-ends", file=None))]
pub(super) fn belongs<'py>(
    py: Python<'py>,
    material: &str,
    place: &str,
    sun: &str,
    formed: bool,
    held: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let zone: Zone = word("place", place, &PLACES)?;
    let sun: Climate = word("sun", sun, &SUNS)?;
    let held = word::<Held>("held", held, &HELD)?;
    let found = belongs_in(&sheet(material, file)?, zone, sun, held, made(formed))?;
    record::give(py, "Check", &found)
}

/// Give the temperature of a place in a car that is parked in the sun.
///
/// Parameters
/// ----------
/// place : {"upper-pillar", "dash-top", "parcel-shelf", "cabin-air", "door"}
///     Where.
/// sun : {"mild", "hot", "extreme"}, default "hot"
///     Sun at 25, 35 or 45 °C outside.
///
/// Returns
/// -------
/// Sourced
///     In kelvin. Of air, dash and rear shelf there are published measurements; pillar and door are
///     inferred from them.
///
/// Raises
/// ------
/// UnknownNameError
///     No place or sun has that name.
///
/// Examples
/// --------
/// >>> dash = mw.cabin_temperature("dash-top")
/// >>> round(dash.value - 273.15), round(dash.high - dash.value)
/// (80, 6)
#[pyfunction]
#[pyo3(signature = (place, sun="hot"))]
pub(super) fn cabin_temperature<'py>(
    py: Python<'py>,
    place: &str,
    sun: &str,
) -> PyResult<Bound<'py, PyAny>> {
    let zone: Zone = word("place", place, &PLACES)?;
    let sun: Climate = word("sun", sun, &SUNS)?;
    record::give(py, "Sourced", &zone_temperature(zone, sun))
}

/// Shake a part with one main frequency on a random profile.
///
/// Parameters
/// ----------
/// frequency_hz : array_like, shape (n,)
///     First frequency of the part. [Hz]
/// q : float, default 10
///     Amplification at resonance, 8 to 15 for screwed plastic.
/// profile : sequence of (float, float), optional
///     Frequency [Hz] and density [(m/s²)²/Hz], straight in log-log; the car body of ISO 16750-3,
///     test IV, if left out.
///
/// Returns
/// -------
/// integrated, miles : ndarray of float64, shape (n,)
///     Root mean square acceleration [m/s²], by integrating over the whole profile, and by Miles'
///     equation, which is only a cross-check: it runs 15 to 25 % low above about 100 Hz.
///
/// Raises
/// ------
/// OutOfRangeError
///     A frequency outside 0.1 Hz to 1 MHz, a Q outside 0.51 to 1000, or a density that cannot be.
/// ShapeError
///     The profile has too few points, or its frequencies do not rise.
///
/// Examples
/// --------
/// >>> integrated, miles = mw.road_response([63.2, 150.0])
/// >>> integrated.round(1), miles.round(1)
/// (array([69.8, 41.6]), array([66.4, 31.2]))
#[pyfunction]
#[pyo3(signature = (frequency_hz, *, q=None, profile=None))]
#[allow(clippy::type_complexity)] // two arrays of one length
pub(super) fn road_response(
    py: Python<'_>,
    frequency_hz: Column,
    q: Option<f64>,
    profile: Option<Vec<(f64, f64)>>,
) -> PyResult<(
    Bound<'_, numpy::PyArray1<f64>>,
    Bound<'_, numpy::PyArray1<f64>>,
)> {
    let q = q.unwrap_or(Q_SCREWED.value);
    let profile = profile.map_or_else(|| Ok(Psd::body()), Psd::new)?;
    let all = match frequency_hz {
        Column::One(f) => vec![f],
        Column::Many(f) => f,
    };
    let (whole, miles): (Vec<f64>, Vec<f64>) = py
        .detach(|| {
            let both = |f: f64| -> Result<(f64, f64)> {
                let whole = profile.response_rms_m_s2(f, q)?;
                Ok((whole, miles_rms(f, q, profile.at(f))))
            };
            all.into_iter().map(both).collect::<Result<Vec<_>>>()
        })?
        .into_iter()
        .unzip();
    Ok((arrays::give(py, whole), arrays::give(py, miles)))
}

/// Screws and holes that a sheet asks for.
#[derive(Serialize)]
struct Holes {
    pilot_m: f64,
    boss_m: f64,
    engagement_m: f64,
    clearance_m: f64,
    edge_m: f64,
    pitch_m: f64,
    thread: &'static str,
    standing: Standing,
}

/// Give the holes that a screw asks for in a sheet.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// screw : str
///     Its thread: ``"4 mm"``.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// ScrewHoles
///     Pilot, boss, engagement, clearance, edge distance, pitch [m], and what thread suits the sheet.
///
/// Raises
/// ------
/// OutOfRangeError
///     The thread lies outside 1 to 12 mm.
/// UnitError
///     It is no length.
/// UnknownNameError
///     No material has that name.
/// ImpossibleError
///     The catalogue lacks a number of the sheet.
/// JobError
///     The materials file has faults.
/// OSError
///     The materials file cannot be read.
///
/// Examples
/// --------
/// >>> holes = mw.screw_holes("abs", "4 mm")
/// >>> round(holes.pilot_m * 1e3, 2), round(holes.edge_m * 1e3, 1)
/// (3.2, 8.0)
#[pyfunction]
#[pyo3(signature = (material, screw, *, file=None))]
pub(super) fn screw_holes<'py>(
    py: Python<'py>,
    material: &str,
    screw: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let sheet = sheet(material, file)?;
    let d = crate::error::check(
        "screw",
        length("screw", screw)?,
        crate::error::Range::new(1e-3, 0.012, "m"),
        "screws of this trade are 2 to 6 mm",
    )?;
    let row = thread_forming(sheet.family);
    let holes = Holes {
        pilot_m: row.hole * d,
        boss_m: row.boss * d,
        engagement_m: row.engagement * d,
        clearance_m: clearance_hole_m(d),
        edge_m: d * if sheet.family.is_brittle() { 3.0 } else { 2.0 },
        pitch_m: 4.0 * d,
        thread: thread_advice(sheet.modulus_pa(crate::material::ROOM_K)),
        standing: row.standing,
    };
    record::give(py, "ScrewHoles", &holes)
}

#[derive(Serialize)]
struct Openings {
    largest_cutout_m: f64,
    openings: Vec<Opening>,
}

/// Find the largest driver for a ring or panel of a given width.
///
/// Parameters
/// ----------
/// material : str
///     The sheet, by its name in the catalogue.
/// width : str
///     Least width of the outline.
/// thickness : str
///     Of one layer.
/// screw : str, default "4 mm"
///     Thread of the driver's screws.
/// file : str, optional
///     A materials file of your own, laid over the standard catalogue.
///
/// Returns
/// -------
/// Openings
///     ``largest_cutout_m`` and, for every round class of drivers, largest first, what is left of the
///     least web and of the screws' edge distance. Cutouts are those usual for the class: measure
///     the driver.
///
/// Raises
/// ------
/// OutOfRangeError
///     A width, thickness or screw that cannot be.
/// UnitError
///     A text is no length.
/// UnknownNameError
///     No material has that name.
/// ImpossibleError
///     The catalogue lacks a number of the sheet.
/// JobError
///     The materials file has faults.
/// OSError
///     The materials file cannot be read.
///
/// Examples
/// --------
/// >>> found = mw.openings("expanded-pvc", width="186 mm", thickness="13 mm", screw="3.5 mm")
/// >>> next(o.driver for o in found.openings if o.fits)
/// '6.5 in'
#[pyfunction]
#[pyo3(signature = (material, *, width, thickness, screw="4 mm", file=None))]
pub(super) fn openings<'py>(
    py: Python<'py>,
    material: &str,
    width: &str,
    thickness: &str,
    screw: &str,
    file: Option<&str>,
) -> PyResult<Bound<'py, PyAny>> {
    let family = sheet(material, file)?.family;
    let (width_m, layer_m) = (length("width", width)?, length("thickness", thickness)?);
    let found = Openings {
        largest_cutout_m: crate::mount::fit::largest_cutout_m(family, width_m, layer_m)?,
        openings: openings_of(family, width_m, layer_m, length("screw", screw)?)?,
    };
    record::give(py, "Openings", &found)
}

#[derive(Serialize)]
struct Place {
    refused: bool,
    why: String,
    find_out: Vec<String>,
    consider_instead: Vec<String>,
    leave_as_it_is: Vec<&'static str>,
}

/// Ask whether anything may be planned for a place at all.
///
/// Parameters
/// ----------
/// place : {"upper-pillar", "dash-top", "parcel-shelf", "cabin-air", "door"}
///     Where.
/// airbag, driver_view : {"yes", "no", "unknown"}
///     Whether an air bag sits or deploys there, and whether it is in the driver's view of the road,
///     mirrors or instruments; not known counts as yes.
///
/// Returns
/// -------
/// PlaceAnswer
///     ``refused`` with the reason, what to find out and where to look instead; and what a mount in a
///     door must leave as it is. Not refused is no approval: the vehicle maker's instructions and
///     licensed practice decide.
///
/// Raises
/// ------
/// UnknownNameError
///     No place or answer has that name.
///
/// Examples
/// --------
/// >>> mw.may_plan("upper-pillar", airbag="unknown", driver_view="no").refused
/// True
#[pyfunction]
#[pyo3(signature = (place, *, airbag, driver_view))]
pub(super) fn may_plan<'py>(
    py: Python<'py>,
    place: &str,
    airbag: &str,
    driver_view: &str,
) -> PyResult<Bound<'py, PyAny>> {
    const ANSWERS: [&str; 3] = ["yes", "no", "unknown"];
    let zone: Zone = word("place", place, &PLACES)?;
    let airbag: Answer = word("airbag", airbag, &ANSWERS)?;
    let view: Answer = word("driver_view", driver_view, &ANSWERS)?;
    let no = refuse(zone, airbag, view);
    let answer = Place {
        refused: no.is_some(),
        why: no.as_ref().map_or(String::new(), |r| r.why.clone()),
        find_out: no.as_ref().map_or(vec![], |r| r.find_out.clone()),
        consider_instead: no.map_or(vec![], |r| r.consider_instead),
        leave_as_it_is: if zone == Zone::Door {
            DOOR_NOTES.to_vec()
        } else {
            vec![]
        },
    };
    record::give(py, "PlaceAnswer", &answer)
}
