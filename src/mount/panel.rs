//! All checks of a trim panel, flat or folded.

use std::f64::consts::PI;

use serde::Serialize;

use super::beam::{Held, cantilever_root, positive, second_moment};
use super::bundle::{Bent, COLD_SWING, Exposed, in_service};
use super::check::{Check, MarginKind, Rule, Sense, or_more_screws, or_thicker};
use super::fixing::{self, Screw, ScrewLoad, clearance_hole_m};
use super::plate::{plate_middle, plate_stiffness, with_point_mass};
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
    /// Its two sides between fastenings; held at both ends or at one, the first is the span and the second the breadth. [m]
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
/// Held all round it bends as a plate that is supported at its edges and may turn there: softer than any way of screwing
/// it down. Held at both ends it is a strip that may turn at them; held at one end it is clamped there, and its sag is
/// that of the free end. A force at one place is carried by a breadth of 1.2 spans at most, of twice its arm where one end
/// is free: a plate's strips far beside it do not help.
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
    let road_n = total_kg * 3.0 * Psd::body().response_rms_m_s2(frequency_hz, m.q)?;
    let shock_n = total_kg * m.shock.peak_on(frequency_hz, m.q)?;
    let through = |screws| {
        let load = ScrewLoad::harder(road_n, shock_n, m.shock.name, screws);
        fixing::pull_through(part, &m.material, hot_k, m.screw, t, load)
    };
    found.push(or_more_screws(through(m.screws)?, (m.screws, 1), through)?);
    found.extend(fixing::countersink(
        part,
        m.screw,
        clearance_hole_m(m.screw.diameter_m),
        t,
    )?);
    if m.screws > 1 {
        found.push(fixing::pitch(part, m.screw, m.pitch_m, t)?);
    }
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
    let hot_k = m.warmth.temperature_k;
    let per_area = m.material.density_kg_m3 * t + m.covering_kg_m2;
    let own_kg = per_area * a * b;
    let soft = Soft::of(m, t)?;
    // Deflections are those for E = 1 Pa.
    let modulus_pa = m.material.modulus_pa(hot_k);
    let bare_hz = soft.bare_root / (2.0 * PI) * (modulus_pa / own_kg).sqrt();
    Ok(Bent {
        shaken: Shaken {
            frequency_hz: with_point_mass(
                bare_hz,
                soft.modal_share / own_kg,
                soft.at_point_m_n / modulus_pa,
                m.centre_kg,
            ),
            stress_per_m_s2: 6.0 * (soft.own_moment * own_kg + soft.point_moment * m.centre_kg)
                / (t * t),
            strength_pa: m.material.bending_at_pa(hot_k),
        },
        sag_times_modulus: GRAVITY.value
            * (soft.own_sag_m_n * own_kg + soft.point_sag_m_n * m.centre_kg),
    })
}

/// How a panel gives way to its own mass and to a force at its middle, for a modulus of 1 Pa.
struct Soft {
    /// Greatest deflection for 1 N spread evenly. [m/N]
    own_sag_m_n: f64,
    /// Deflection at the same place for 1 N at the middle. [m/N]
    point_sag_m_n: f64,
    /// Deflection of the middle for 1 N there. [m/N]
    at_point_m_n: f64,
    /// Greatest moment per breadth for 1 N spread evenly.
    own_moment: f64,
    /// Greatest moment per breadth for 1 N at the middle.
    point_moment: f64,
    /// Square root of the first mode's stiffness over the panel's mass. [(N/m)^½]
    bare_root: f64,
    /// Panel's mass over the mass that its first mode has at its middle.
    modal_share: f64,
}

/// Strip supported at its two ends: breadth that helps to carry a force at its middle, over its span.
///
/// The infinite strip sinks by 0.01695 P a²/D (Timoshenko and Woinowsky-Krieger, from memory), a strip of this breadth by
/// 0.0174 to 0.019; exact series for breadths of 0.1 to 10 spans are within -8 and +22 % of it.
const HELPS_SPAN: f64 = 1.2;
/// Strip held at one end: the same over the arm of the force. The infinite one sinks by 0.168 P a²/D, as a strip of 1.98 arms would.
const HELPS_ARM: f64 = 2.0;

impl Soft {
    fn of(m: &PanelMount, t: f64) -> Result<Self> {
        let [a, b] = m.sides_m;
        let strip = |breadth_m: f64| a.powi(3) / second_moment(breadth_m, t);
        let own = strip(b);
        Ok(match m.held {
            Held::ClampedAllRound => {
                let nu = m.material.poisson;
                let unit = plate_stiffness(1.0, t, nu);
                let spread = plate_middle(m.sides_m, unit, nu, 1.0 / (a * b), 0.0)?;
                let point = plate_middle(m.sides_m, unit, nu, 0.0, 1.0)?.deflection_m;
                Self {
                    own_sag_m_n: spread.deflection_m,
                    point_sag_m_n: point,
                    at_point_m_n: point,
                    own_moment: spread.moment_n,
                    // Right under a point the moment of thin-plate theory has no bound, so it counts as twice the same
                    // force spread evenly: a beam's moment is P L/4 under a point and P L/8 under the same load spread.
                    point_moment: 2.0 * spread.moment_n,
                    bare_root: PI * PI * (a / b + b / a) * (unit / (a * b)).sqrt(),
                    modal_share: 4.0,
                }
            }
            Held::BothEnds => {
                let helps = b.min(HELPS_SPAN * a);
                let point = strip(helps) / 48.0;
                Self {
                    own_sag_m_n: 5.0 / 384.0 * own,
                    point_sag_m_n: point,
                    at_point_m_n: point,
                    own_moment: a / (8.0 * b),
                    point_moment: a / (4.0 * helps),
                    bare_root: PI * PI / own.sqrt(),
                    modal_share: 2.0,
                }
            }
            Held::Cantilever => {
                let helps = b.min(HELPS_ARM * a / 2.0);
                let root = cantilever_root(0.0, 1)?;
                Self {
                    own_sag_m_n: own / 8.0,
                    point_sag_m_n: 5.0 / 48.0 * strip(helps),
                    at_point_m_n: strip(helps) / 24.0,
                    own_moment: a / (2.0 * b),
                    point_moment: a / (2.0 * helps),
                    bare_root: root * root / own.sqrt(),
                    modal_share: CANTILEVER_MIDDLE,
                }
            }
        })
    }
}

/// Square of a cantilever's first mode at half its length, where its mean square is 1.
const CANTILEVER_MIDDLE: f64 = 0.461_06;

/// A thumb on the middle of a cold panel of thickness `t`, or on its free end.
fn pressed(m: &PanelMount, t: f64) -> Result<Check> {
    let [a, b] = m.sides_m;
    let (place, soft_m_n) = match m.held {
        Held::Cantilever => {
            let helps = b.min(HELPS_ARM * a);
            ("free end", a.powi(3) / (3.0 * second_moment(helps, t)))
        }
        _ => ("middle", Soft::of(m, t)?.at_point_m_n),
    };
    let pressed = PRESS_N * soft_m_n / m.material.modulus_pa(ROOM_K);
    let why = format!(
        "{PRESS_N:.0} N at its {place} presses it in by {:.2} mm, {:.1} mm allowed",
        pressed * 1e3,
        PRESS_M * 1e3
    );
    Ok(PRESS.judge(&m.part, pressed, PRESS_M, why, || {
        format!("a rib or pad behind its {place}")
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
