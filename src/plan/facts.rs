//! What the job says of a part, for the plan's pages.

use super::chain::Kept;
use super::result::Measured;
use super::setup::{Setup, Stuff};
use crate::file::{Length, Mass};
use crate::shape::Hand;

/// A part as the job has it.
pub(super) struct Facts {
    pub(super) kind: &'static str,
    pub(super) places: Vec<String>,
    pub(super) hand: Hand,
    pub(super) quantity: u32,
    pub(super) material: String,
    pub(super) measured: Vec<Measured>,
}

fn length(what: &str, Length(m): Length) -> Measured {
    Measured {
        what: what.into(),
        value: m.value,
        plus_minus: m.plus_minus,
        unit: "m".into(),
    }
}

fn mass(what: &str, Mass(m): Mass) -> Measured {
    Measured {
        what: what.into(),
        value: m.value,
        plus_minus: m.plus_minus,
        unit: "kg".into(),
    }
}

/// Thickness: of the sheet where that was measured, else as the job has it.
fn thickness(setup: &Setup, material: &str, job: Length, sheet: Option<&String>) -> Measured {
    match setup.measured(Stuff::of(material, job.si(), sheet)) {
        Some(own) => Measured {
            what: format!("thickness of sheet {}", own.name),
            value: own.sheet.thickness.value,
            plus_minus: own.sheet.thickness.high - own.sheet.thickness.value,
            unit: "m".into(),
        },
        None => length("thickness", job),
    }
}

/// The part at `index`, counted over straps, rings, panels.
pub(super) fn facts(setup: &Setup, kept: &Kept, index: usize) -> Facts {
    let straps = kept.straps.len();
    let rings = kept.rings.len();
    if let Some((_, s)) = kept.straps.get(index) {
        return Facts {
            kind: "strap",
            places: vec![s.place.clone()],
            hand: s.hand,
            quantity: 1,
            material: s.material.clone(),
            measured: vec![
                thickness(setup, &s.material, s.thickness, s.sheet.as_ref()),
                length("body diameter", s.body_diameter),
                mass("body mass", s.body_mass),
                length("foam thickness", s.foam_thickness),
                length("axis height", s.axis_height),
                length("front screw", s.front_screw),
                length("rear screw", s.rear_screw),
                length("foot radius", s.foot_radius),
                length("middle width", s.middle_width),
                length("end width", s.end_width),
                length("tab length", s.tab_length),
                length("gun distance", s.gun_distance),
            ],
        };
    }
    if let Some((_, r)) = index.checked_sub(straps).and_then(|i| kept.rings.get(i)) {
        let mut measured = vec![length("width", r.width)];
        measured.extend(r.height.map(|h| length("height", h)));
        measured.push(length("cutout width", r.cutout_width));
        measured.extend(r.cutout_height.map(|h| length("cutout height", h)));
        measured.extend([
            length("driver bolt circle", r.driver_bolt_circle),
            length("vehicle bolt circle", r.vehicle_bolt_circle),
            length("depth", r.depth),
            length("driver depth", r.driver_depth),
            length("driver flange", r.driver_flange),
            length("free depth", r.free_depth),
            mass("driver mass", r.driver_mass),
        ]);
        return Facts {
            kind: "ring",
            places: r.places.clone(),
            hand: r.hand,
            quantity: u32::try_from(r.places.len()).unwrap_or(u32::MAX),
            material: r.material.clone(),
            measured,
        };
    }
    match index
        .checked_sub(straps + rings)
        .and_then(|i| kept.panels.get(i))
    {
        Some((_, p)) => Facts {
            kind: "panel",
            places: vec![p.place.clone()],
            hand: p.hand,
            quantity: 1,
            material: p.material.clone(),
            measured: [
                Some(thickness(setup, &p.material, p.thickness, p.sheet.as_ref())),
                Some(length("width", p.width)),
                Some(length("height", p.height)),
                p.corner_radius.map(|r| length("corner radius", r)),
                Some(length("screw edge", p.screw_edge)),
            ]
            .into_iter()
            .flatten()
            .collect(),
        },
        None => Facts {
            kind: "",
            places: vec![],
            hand: Hand::Either,
            quantity: 0,
            material: String::new(),
            measured: vec![],
        },
    }
}
