//! The heated strip for line bends, the contact plate, the wet cloth: bodies of steady temperature against a face.

use serde::Serialize;
use statrs::function::erf::erf_inv;

use crate::error::{Note, Range, Result, check};
use crate::heat::exposure::{Exposure, factor};
use crate::heat::slab::{Face, TEMPERATURE};
use crate::sourced::{Constant, Standing};

/// A heated bar or plate that touches the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bar {
    /// Temperature of its surface. [K]
    pub surface_k: f64,
    /// Whether the sheet is soft enough to wet it under pressure.
    pub pressed_soft: bool,
}

/// Contact of a sheet that lies on a bare metal bar.
pub const LYING_CONTACT: Constant = Constant {
    name: "bar.lying_contact",
    value: 350.0,
    low: 200.0,
    high: 600.0,
    unit: "W/m2/K",
    source: "judgement of this library, a factor of two: measurements exist only far above hand pressure (Fuller and Marotta 2001, 138 to 2758 kPa)",
    standing: Standing::Remembered,
};
/// Contact of a softened sheet that is pressed on.
pub const PRESSED_CONTACT: Constant = Constant {
    name: "bar.pressed_contact",
    value: 1100.0,
    low: 600.0,
    high: 2000.0,
    unit: "W/m2/K",
    source: LYING_CONTACT.source,
    standing: Standing::Remembered,
};
/// Film of a wet cloth that is pressed on and kept wet.
pub const WET_CLOTH: Constant = Constant {
    name: "bar.wet_cloth",
    value: 300.0,
    low: 150.0,
    high: 600.0,
    unit: "W/m2/K",
    source: "contact of a wet cloth at hand pressure, judgement of this library",
    standing: Standing::CommonPractice,
};

impl Bar {
    /// What the bar does to the face that it touches.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a surface outside 0 to 500 °C.
    pub fn exposure(&self) -> Result<Exposure> {
        check(
            "bar.surface_k",
            self.surface_k,
            Range::new(273.15, 773.15, "K"),
            "measure the bar",
        )?;
        let contact = if self.pressed_soft {
            PRESSED_CONTACT
        } else {
            LYING_CONTACT
        };
        Ok(Exposure {
            source: "heated bar".into(),
            film_low_w_m2_k: contact.low,
            film_high_w_m2_k: contact.high,
            gas_low_k: self.surface_k - 10.0,
            gas_high_k: self.surface_k + 10.0,
            radiates: false,
            factors: vec![
                factor(
                    "heat.film_w_m2_k",
                    (contact.low, contact.value, contact.high),
                    "W/m2/K",
                    contact.source,
                    contact.standing,
                ),
                factor(
                    "heat.gas_k",
                    (self.surface_k - 10.0, self.surface_k, self.surface_k + 10.0),
                    "K",
                    "bars hold ±10 K, common practice",
                    Standing::CommonPractice,
                ),
            ],
            notes: vec![Note::new(
                "contact",
                "contact conductance at hand pressure is known to a factor of two",
            )],
            ..Exposure::fixed(contact.value, self.surface_k, self.surface_k)?
        })
    }
}

/// A face under a wet cloth at `cloth_k`.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a cloth outside 0 to 60 °C.
pub fn wet_cloth(cloth_k: f64) -> Result<Face> {
    check(
        "cloth_k",
        cloth_k,
        Range::new(273.15, 333.15, "K"),
        "tap water",
    )?;
    Ok(Face {
        film_w_m2_k: WET_CLOTH.value,
        gas_k: cloth_k,
        ..Face::INSULATED
    })
}

/// Soft width beside a heated strip: `strip + 4 √(α t) · erf⁻¹((T_edge − T_soft)/(T_edge − T_start))`.
///
/// An upper bound (the strip's edge is taken as held at `edge_k`); our own construction. Nothing softens where the edge stays
/// below `soft_k`: then it is 0. Heating in one dimension is good where the strip is wider than three thicknesses.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a strip outside 0 to 1 m, a diffusivity outside 1e-9 to 1e-3 m²/s, a time outside 0 to
/// 1e6 s or temperatures outside 150 to 1500 K.
pub fn soft_width_m(
    strip_m: f64,
    diffusivity_m2_s: f64,
    seconds: f64,
    [start_k, soft_k, edge_k]: [f64; 3],
) -> Result<f64> {
    check(
        "strip_m",
        strip_m,
        Range::new(0.0, 1.0, "m"),
        "measure the strip",
    )?;
    check(
        "diffusivity_m2_s",
        diffusivity_m2_s,
        Range::new(1e-9, 1e-3, "m2/s"),
        "k/(ρ c)",
    )?;
    check(
        "seconds",
        seconds,
        Range::new(0.0, 1e6, "s"),
        "give the soak",
    )?;
    for (what, t) in [("start_k", start_k), ("soft_k", soft_k), ("edge_k", edge_k)] {
        check(what, t, TEMPERATURE, "use kelvin")?;
    }
    let colder = Range::new(TEMPERATURE.low, soft_k, "K");
    check(
        "start_k",
        start_k,
        colder,
        "the sheet must start below the temperature at which it is soft",
    )?;
    if edge_k <= soft_k {
        return Ok(0.0);
    }
    let share = (edge_k - soft_k) / (edge_k - start_k);
    Ok(strip_m + 4.0 * (diffusivity_m2_s * seconds).sqrt() * erf_inv(share))
}
