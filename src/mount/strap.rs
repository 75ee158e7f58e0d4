//! All checks of a strap or pod on its tabs.

use serde::Serialize;

use super::beam::{Held, Tab, positive, second_moment, section_modulus, tab_frequency};
use super::check::Check;
use super::fit::{self, Fit};
use super::fixing::{self, Screw, ScrewLoad};
use super::joint::{self, GluedJoint};
use super::service_heat::{self, Exposed, Made, Warmth};
use super::sheet::{Material, ROOM_K};
use super::shock::{BODY_SHOCK, HalfSine};
use super::vibration::{self, Shaken};
use crate::error::{Range, Result, check};

/// Standard gravity, exact. [m/s²]
pub(super) const GRAVITY: f64 = 9.806_65;

/// A strap or pod carried by one tab or more.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StrapMount {
    /// Name of the part.
    pub part: String,
    /// Its sheet.
    pub material: Material,
    /// One tab, from its screw to where the body begins.
    pub tab: Tab,
    /// How many tabs carry the body: 1 is a cantilever.
    pub tabs: u32,
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
    /// Hole centre to the nearest edge of the tab. [m]
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
}

impl StrapMount {
    /// The shock that a strap at a pillar, dash or shelf sees.
    pub const SHOCK: HalfSine = BODY_SHOCK;
}

/// Every check of a strap or pod on its tabs.
///
/// Each tab is taken as a cantilever with its share of the mass at its end, whatever holds the far side: the softest
/// way in which it can be held.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a size, mass, count or temperature that a mount cannot have.
pub fn check_strap(mount: &StrapMount) -> Result<Vec<Check>> {
    let m = mount;
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
    let held = if m.tabs == 1 {
        Held::Cantilever
    } else {
        Held::BothEnds
    };
    let part = m.part.as_str();
    let hot_k = m.warmth.temperature_k + m.warmth.plus_minus_k;

    let tip_kg = carried / tabs;
    let own_kg = m.tab.mass_kg(m.material.density_kg_m3);
    let length = m.tab.length_m;
    let section = section_modulus(m.tab.width_m, m.tab.thickness_m);
    let inertia = second_moment(m.tab.width_m, m.tab.thickness_m);
    // Moment at the screw for 1 m/s²: the tip's mass at L, the tab's own at L/2.
    let stress_per_m_s2 = (tip_kg + own_kg / 2.0) * length / section;
    // P L³/3EI and q L⁴/8EI, for E = 1 Pa.
    let sag = GRAVITY * length.powi(3) / inertia * (tip_kg / 3.0 + own_kg / 8.0);
    let shaken = Shaken {
        frequency_hz: tab_frequency(
            m.tab,
            m.material.modulus_pa.at(hot_k),
            m.material.density_kg_m3,
            tip_kg,
        )?,
        stress_per_m_s2,
        strength_pa: m.material.bending_pa.at(hot_k),
        thickness_m: m.tab.thickness_m,
    };

    let mut found = Vec::new();
    if let Some(fit) = &m.fit {
        found.extend(fit::check_fit(part, fit)?);
    }
    found.extend(service_heat::in_the_sun(&Exposed {
        part,
        material: &m.material,
        warmth: m.warmth,
        held,
        made: m.made,
        stress_pa: GRAVITY * stress_per_m_s2,
        sag_times_modulus: sag,
        sag_limit_m: m.sag_limit_m,
    })?);
    found.push(vibration::road(part, shaken, m.q)?);
    found.push(super::shock::shock(part, shaken, m.shock, m.q)?);

    let family = m.material.family;
    found.push(fixing::edge_distance(part, family, m.screw, m.edge_m)?);
    let peak = m.shock.peak_on(shaken.frequency_hz, m.q)?;
    let load = ScrewLoad {
        total_n: (carried + tabs * own_kg) * peak,
        screws: m.tabs.saturating_mul(m.screws_per_tab),
    };
    found.push(fixing::pull_through(
        part,
        &m.material,
        hot_k,
        m.screw,
        m.tab.thickness_m,
        load,
    )?);
    if m.tabs > 1 {
        found.push(fixing::movement(
            part,
            &m.material,
            m.screw,
            m.slot_m,
            (hot_k - ROOM_K).max(COLD_SWING_K),
            m.from_fixed_m,
        )?);
    }
    if let Some(joint) = &m.joint {
        found.extend(joint::glued(part, joint, m.warmth)?);
    }
    Ok(found)
}

/// From a warm shop to a winter night: the least swing that the holes have to allow. [K] Common practice.
pub(super) const COLD_SWING_K: f64 = 45.0;
