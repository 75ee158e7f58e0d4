//! All checks of a strap or pod on its tabs.

use serde::Serialize;

use super::beam::{Held, Tab, Tip, positive, second_moment, section_modulus, tab_frequency};
use super::bundle::{Bent, COLD_SWING, Exposed, in_service};
use super::check::{Check, or_more_screws};
use super::fit::{self, Fit};
use super::fixing::{self, Screw, ScrewLoad, clearance_hole_m};
use super::joint::{self, GluedJoint};
use super::service_heat::{Made, Warmth};
use super::sheet::Material;
use super::shock::{BODY_SHOCK, HalfSine};
use super::vibration::{Psd, Shaken};
use crate::error::{Error, Range, Result, check};
use crate::material::ROOM_K;
use crate::physics::GRAVITY;

/// A strap or pod carried by one tab or more.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrapMount {
    /// Name of the part.
    pub part: String,
    /// Its sheet.
    pub material: Material,
    /// One tab, from its screw to where the body begins.
    pub tab: Tab,
    /// How many tabs carry the body.
    pub tabs: u32,
    /// [`Held::BothEnds`] for tabs on opposite sides of a stiff body, [`Held::Cantilever`] for tabs on one side only.
    pub held: Held,
    /// Everything that the tabs carry: driver, foam, body of the strap, finish. [kg]
    pub carried_kg: f64,
    /// Flat or formed hot.
    pub made: Made,
    /// Temperature in service.
    pub warmth: Warmth,
    /// Screws of one tab.
    pub screws_per_tab: u32,
    /// The screw.
    pub screw: Screw,
    /// Hole centre to the end of the tab, and to its nearest edge. [m]
    pub edge_m: f64,
    /// Clear length of the hole along the strap that is not the fixed one. [m]
    pub slot_m: f64,
    /// From the fixed screw to that hole. [m]
    pub from_fixed_m: f64,
    /// Sag that is seen. [m]
    pub sag_limit_m: f64,
    /// Amplification at resonance, 8 to 15.
    pub q: f64,
    /// The shock of its place.
    pub shock: HalfSine,
    /// Measures of the driver in its place, where it has any.
    pub fit: Option<Fit>,
    /// A glued joint that carries the driver, where there is one.
    pub joint: Option<GluedJoint>,
    /// What that joint carries; `None` takes everything that the tabs carry. [kg]
    pub joined_kg: Option<f64>,
}

impl StrapMount {
    /// The shock that a strap at a pillar, dash or shelf sees.
    pub const SHOCK: HalfSine = BODY_SHOCK;
}

/// Every check of a strap or pod on its tabs.
///
/// Held at both ends, the body cannot tilt, and each tab bends like an S: moment `F L/2`, deflection `F L³/12EI`. Held
/// on one side it nods: `F L` and `F L³/3EI`. Each tab takes its share of the mass at its end, and its own along it. The
/// pull on a screw is the load with the prying of the tab over its end, `F (1 + moment share x L/e)`.
///
/// # Errors
/// [`Error::OutOfRange`] for a size, mass, count or temperature that a mount cannot have; [`Error::Shape`] for a strap
/// clamped all round, or held at both ends by one tab.
pub fn check_strap(mount: &StrapMount) -> Result<Vec<Check>> {
    let m = mount;
    let tip = tip(m)?;
    m.material.validate()?;
    m.tab.validate()?;
    m.warmth.validate()?;
    let tabs = check(
        "tabs",
        f64::from(m.tabs),
        Range::new(1.0, 20.0, ""),
        "count the tabs",
    )?;
    let carried = positive("carried_kg", m.carried_kg, 1e-4, 20.0, "kg")?;
    let edge = positive("edge_m", m.edge_m, 1e-4, 0.5, "m")?;
    let part = m.part.as_str();
    let hot_k = m.warmth.temperature_k;

    let mut found = Vec::new();
    if let Some(fit) = &m.fit {
        found.extend(fit::check_fit(part, fit)?);
    }
    let exposed = Exposed {
        part,
        material: &m.material,
        warmth: m.warmth,
        held: m.held,
        made: m.made,
        thickness_m: m.tab.thickness_m,
        sag_limit_m: m.sag_limit_m,
        q: m.q,
        shock: m.shock,
    };
    found.extend(in_service(&exposed, |t| bent(m, tip, t))?);

    found.push(fixing::edge_distance(
        part,
        m.material.family,
        m.screw,
        m.edge_m,
    )?);
    found.push(fixing::head_shape(part, m.material.family, m.screw)?);
    let frequency_hz = bent(m, tip, m.tab.thickness_m)?.shaken.frequency_hz;
    let shock_m_s2 = m.shock.peak_on(frequency_hz, m.q)?;
    let road_m_s2 = 3.0 * Psd::body().response_rms_m_s2(frequency_hz, m.q)?;
    let total_kg = carried + tabs * m.tab.mass_kg(m.material.density_kg_m3);
    let prying = 1.0 + tip.point_moment() * m.tab.length_m / edge;
    let through = |screws| {
        let (road_n, shock_n) = (total_kg * road_m_s2, total_kg * shock_m_s2);
        let load = ScrewLoad::harder(road_n * prying, shock_n * prying, m.shock.name, screws);
        fixing::pull_through(part, &m.material, hot_k, m.screw, m.tab.thickness_m, load)
    };
    let screws = m.tabs.saturating_mul(m.screws_per_tab);
    // Every tab takes as many.
    found.push(or_more_screws(through(screws)?, (screws, m.tabs), through)?);
    found.extend(fixing::countersink(
        part,
        m.screw,
        clearance_hole_m(m.screw.diameter_m),
        m.tab.thickness_m,
    )?);
    if m.held == Held::BothEnds {
        found.push(fixing::movement(
            part,
            &m.material,
            m.screw,
            m.slot_m,
            (hot_k - ROOM_K).max(COLD_SWING.value),
            m.from_fixed_m,
        )?);
    }
    if let Some(joint) = &m.joint {
        let joined = match m.joined_kg {
            Some(kg) => positive("joined_kg", kg, 1e-4, carried, "kg")?,
            None => carried,
        };
        let (weight_n, shock_n) = (joined * GRAVITY.value, joined * shock_m_s2);
        found.extend(joint::glued(part, joint, m.warmth, weight_n, shock_n)?);
    }
    Ok(found)
}

fn tip(m: &StrapMount) -> Result<Tip> {
    match m.held {
        Held::Cantilever => Ok(Tip::Free),
        Held::BothEnds if m.tabs >= 2 => Ok(Tip::Guided),
        held => Err(Error::Shape {
            what: "held".into(),
            given: format!("{held:?} with {} tabs", m.tabs),
            allowed: "BothEnds with two tabs or more, or Cantilever".into(),
        }),
    }
}

/// One tab of thickness `t` with its share of the load.
fn bent(m: &StrapMount, tip: Tip, t: f64) -> Result<Bent> {
    let tab = Tab {
        thickness_m: t,
        ..m.tab
    };
    let hot_k = m.warmth.temperature_k;
    let tip_kg = m.carried_kg / f64::from(m.tabs);
    let own_kg = tab.mass_kg(m.material.density_kg_m3);
    let length = tab.length_m;
    let moment = (tip.point_moment() * tip_kg + tip.spread_moment() * own_kg) * length;
    let flex = tip_kg / tip.point_stiffness() + own_kg / tip.spread_stiffness();
    Ok(Bent {
        shaken: Shaken {
            frequency_hz: tab_frequency(
                tab,
                tip,
                m.material.modulus_pa(hot_k),
                m.material.density_kg_m3,
                tip_kg,
            )?,
            stress_per_m_s2: moment / section_modulus(tab.width_m, t),
            strength_pa: m.material.bending_at_pa(hot_k),
        },
        sag_times_modulus: GRAVITY.value * length.powi(3) * flex / second_moment(tab.width_m, t),
    })
}
