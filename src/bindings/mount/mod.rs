//! Checks of a finished mount in Python.

mod fit;
mod panel;
mod place;
mod ring;
mod road;
mod screws;
mod strap;

use std::collections::BTreeMap;

use pyo3::prelude::*;
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::material::{catalogue, word};
use super::record;
use crate::error::{Error, Result};
use crate::mount::fit::Fit;
use crate::mount::fixing::Screw;
use crate::mount::joint::GluedJoint;
use crate::mount::place::{Climate, Zone, zone_temperature};
use crate::mount::service_heat::{Made, Warmth};
use crate::mount::shock::{BODY_SHOCK, DOOR_SLAM, HalfSine};
use crate::mount::steel::{Gasket, SteelSeat};
use crate::mount::{Check, Material, Verdict, summary, worst};
use crate::quantity::{Dimension, Measure, parse};
use crate::shape::seal::SteelFixing;

pub(super) use fit::{check_fit, openings};
pub(super) use panel::check_panel;
pub(super) use place::{belongs, cabin_temperature, may_plan};
pub(super) use ring::check_ring;
pub(super) use road::road_response;
pub(super) use screws::screw_holes;
pub(super) use strap::check_strap;

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

fn made(formed: bool) -> Made {
    if formed { Made::FormedHot } else { Made::Flat }
}
