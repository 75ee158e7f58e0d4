//! All checks of a trim panel, flat or folded.

use serde::Serialize;

use super::beam::{Held, positive};
use super::bundle::{Bent, COLD_SWING, Exposed, in_service};
use super::check::{Check, MarginKind, Rule, Sense, or_thicker};
use super::fixing::{self, Screw, ScrewLoad};
use super::plate::{plate_middle, plate_stiffness, rectangle_frequency};
use super::service_heat::{Made, Warmth};
use super::sheet::Material;
use super::shock::HalfSine;
use super::vibration::{Psd, Shaken};
use crate::error::{Range, Result, check};
use crate::material::ROOM_K;
use crate::physics::GRAVITY;
use crate::sourced::Standing;

/// A rectangle of sheet, fastened along its edges.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PanelMount {
    /// Name of the part.
    pub part: String,
    /// Its sheet.
    pub material: Material,
    /// Its two sides between fastenings. [m]
    pub sides_m: [f64; 2],
    /// Thickness. [m]
    pub thickness_m: f64,
    /// Mass fixed at its middle. [kg]
    pub centre_kg: f64,
    /// Finish and other mass spread over it. [kg/m²]
    pub covering_kg_m2: f64,
    /// Flat or formed hot.
    pub made: Made,
    /// Held all round, at both ends, or with a free edge.
    pub held: Held,
    /// Temperature in service.
    pub warmth: Warmth,
    /// The screw.
    pub screw: Screw,
    /// Hole centre to the nearest edge. [m]
    pub edge_m: f64,
    /// Greatest distance between neighbouring screws. [m]
    pub pitch_m: f64,
    /// How many screws hold it; they share its mass and what is fixed to it. 1 to 64.
    pub screws: u32,
    /// Clear length of the slot that is furthest from the round hole. [m]
    pub slot_m: f64,
    /// From the round hole to that slot, along it. [m]
    pub from_fixed_m: f64,
    /// Sag that is seen. [m]
    pub sag_limit_m: f64,
    /// Amplification at resonance, 8 to 15.
    pub q: f64,
    /// The shock of its place.
    pub shock: HalfSine,
}

const SPACING: Rule = Rule {
    name: "screw spacing",
    unit: "m",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.0,
    source: "a cellular-PVC trim maker's bulletin: fasteners 406 mm (16 in) apart at most",
    standing: Standing::Published,
};
const SPACING_M: f64 = 0.406;

const PRESS: Rule = Rule {
    name: "pressed with a thumb",
    unit: "m",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.2,
    source: "a car maker's door-trim test: no more than 1.5 mm under 10 N",
    standing: Standing::Published,
};
const PRESS_N: f64 = 10.0;
const PRESS_M: f64 = 1.5e-3;

/// Every check of a trim panel.
///
/// Bending is that of a plate that is supported at its edges and may turn there: softer than any way of screwing it down.
/// A panel with a free edge is taken as such a plate over its sides between fastenings: give those.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a size, mass or temperature that a panel cannot have.
pub fn check_panel(mount: &PanelMount) -> Result<Vec<Check>> {
    let m = mount;
    m.material.validate()?;
    m.warmth.validate()?;
    let [a, b] = m.sides_m;
    positive("sides_m[0]", a, 0.01, 3.0, "m")?;
    positive("sides_m[1]", b, 0.01, 3.0, "m")?;
    let t = positive("thickness_m", m.thickness_m, 5e-4, 0.05, "m")?;
    check(
        "centre_kg",
        m.centre_kg,
        Range::new(0.0, 30.0, "kg"),
        "give the mass in kg",
    )?;
    check(
        "covering_kg_m2",
        m.covering_kg_m2,
        Range::new(0.0, 50.0, "kg/m²"),
        "give kg/m²",
    )?;
    let part = m.part.as_str();
    let hot_k = m.warmth.temperature_k;

    let exposed = Exposed {
        part,
        material: &m.material,
        warmth: m.warmth,
        held: m.held,
        made: m.made,
        thickness_m: t,
        sag_limit_m: m.sag_limit_m,
        q: m.q,
        shock: m.shock,
    };
    let mut found = in_service(&exposed, |t| bent(m, t))?;
    found.push(or_thicker(pressed(m, t)?, t, |t| pressed(m, t))?);
    found.push(fixing::edge_distance(
        part,
        m.material.family,
        m.screw,
        m.edge_m,
    )?);
    found.push(fixing::head_shape(part, m.material.family, m.screw)?);
    let screws = Range::new(1.0, 64.0, "1");
    check("screws", f64::from(m.screws), screws, "count them")?;
    let frequency_hz = bent(m, t)?.shaken.frequency_hz;
    let per_area = m.material.density_kg_m3 * t + m.covering_kg_m2;
    let total_kg = per_area * a * b + m.centre_kg;
    found.push(fixing::pull_through(
        part,
        &m.material,
        hot_k,
        m.screw,
        t,
        ScrewLoad::harder(
            total_kg * 3.0 * Psd::body().response_rms_m_s2(frequency_hz, m.q)?,
            total_kg * m.shock.peak_on(frequency_hz, m.q)?,
            m.shock.name,
            m.screws,
        ),
    )?);
    found.push(spacing(part, m.pitch_m)?);
    found.push(fixing::movement(
        part,
        &m.material,
        m.screw,
        m.slot_m,
        (hot_k - ROOM_K).max(COLD_SWING.value),
        m.from_fixed_m,
    )?);
    Ok(found)
}

/// The panel with thickness `t`.
fn bent(m: &PanelMount, t: f64) -> Result<Bent> {
    let [a, b] = m.sides_m;
    let nu = m.material.poisson;
    let hot_k = m.warmth.temperature_k;
    let per_area = m.material.density_kg_m3 * t + m.covering_kg_m2;
    // Everything for 1 m/s² and E = 1 Pa: deflection goes with 1/E, stress does not care.
    let unit = plate_stiffness(1.0, t, nu);
    let load = plate_middle(m.sides_m, unit, nu, per_area, m.centre_kg)?;
    // Right under a point the moment of thin-plate theory has no bound, so the mass at the middle counts as twice its
    // own spread evenly: a beam's moment is P L/4 under a point and P L/8 under the same load spread.
    let doubled = per_area + 2.0 * m.centre_kg / (a * b);
    let spread = plate_middle(m.sides_m, unit, nu, doubled, 0.0)?;
    Ok(Bent {
        shaken: Shaken {
            frequency_hz: rectangle_frequency(
                m.sides_m,
                t,
                m.material.modulus_pa(hot_k),
                nu,
                per_area / t,
                m.centre_kg,
            )?,
            stress_per_m_s2: 6.0 * spread.moment_n / (t * t),
            strength_pa: m.material.bending_at_pa(hot_k),
        },
        sag_times_modulus: GRAVITY.value * load.deflection_m,
    })
}

/// A thumb on the middle of a cold panel of thickness `t`.
fn pressed(m: &PanelMount, t: f64) -> Result<Check> {
    let unit = plate_stiffness(1.0, t, m.material.poisson);
    let pressed = plate_middle(m.sides_m, unit, m.material.poisson, 0.0, PRESS_N)?.deflection_m
        / m.material.modulus_pa(ROOM_K);
    let why = format!(
        "{PRESS_N:.0} N at its middle presses it in by {:.2} mm, {:.1} mm allowed",
        pressed * 1e3,
        PRESS_M * 1e3
    );
    Ok(PRESS.judge(&m.part, pressed, PRESS_M, why, || {
        "a rib or pad behind its middle".into()
    }))
}

fn spacing(part: &str, pitch_m: f64) -> Result<Check> {
    let pitch = check(
        "pitch_m",
        pitch_m,
        Range::new(0.0, 5.0, "m"),
        "measure hole to hole",
    )?;
    let why = format!(
        "screws {:.0} mm apart, {:.0} mm allowed",
        pitch * 1e3,
        SPACING_M * 1e3
    );
    Ok(SPACING.judge(part, pitch, SPACING_M, why, || {
        format!("a screw every {:.0} mm", SPACING_M * 1e3)
    }))
}
