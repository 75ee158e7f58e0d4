//! All checks of an adapter ring with its driver.

use std::f64::consts::PI;

use serde::Serialize;

use super::beam::{Held, positive, second_moment, section_modulus};
use super::bundle::{Bent, COLD_SWING, Exposed, in_service};
use super::check::{Check, Verdict, mm_up, or_more_screws, worst};
use super::drivers;
use super::fit::{self, Fit};
use super::fixing::{self, Screw, ScrewLoad};
use super::joint::{self, GluedJoint};
use super::service_heat::{Made, Warmth};
use super::sheet::Material;
use super::shock::{DOOR_SLAM, HalfSine};
use super::steel::{self, SteelSeat};
use super::vibration::{Psd, Shaken};
use crate::error::{Error, Range, Result, check};
use crate::material::ROOM_K;
use crate::physics::GRAVITY;
use crate::shape::ring::Insert;

/// An adapter ring, screwed to the vehicle all round, with a driver screwed to it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RingMount {
    /// Name of the part.
    pub part: String,
    /// Its sheet.
    pub material: Material,
    /// Thickness of the whole stack where its layers are glued, of one layer where they are not. [m]
    pub thickness_m: f64,
    /// Thickness of one layer, by which the web is judged. [m]
    pub layer_m: f64,
    /// Least web between cutout and outer edge. [m]
    pub web_m: f64,
    /// Least web where a screw stands, cutout to outer edge through its centre; `None` takes the least web. [m]
    pub web_at_screws_m: Option<f64>,
    /// Diameter of the largest circle about the cutout's centre in the outside, for the largest driver that fits; `None` leaves that out. [m]
    pub room_m: Option<f64>,
    /// Mass of the driver. [kg]
    pub driver_kg: f64,
    /// Temperature in service.
    pub warmth: Warmth,
    /// Diameter of the circle of the screws to the vehicle. [m]
    pub vehicle_circle_m: f64,
    /// How many of them.
    pub vehicle_screws: u32,
    /// Greatest distance along the ring between neighbouring vehicle screws; `None` where they are spaced evenly. [m]
    pub vehicle_span_m: Option<f64>,
    /// One of them.
    pub vehicle_screw: Screw,
    /// How many screws hold the driver.
    pub driver_screws: u32,
    /// One of them.
    pub driver_screw: Screw,
    /// From a driver screw along the ring to the nearest vehicle screw, at its worst. [m]
    pub driver_offset_m: f64,
    /// Thread of the driver's screws in plastic; `None` where they go into nuts or clips. [m]
    pub driver_engagement_m: Option<f64>,
    /// Their pilot hole, where they go into plastic. [m]
    pub driver_pilot_m: Option<f64>,
    /// The threaded inserts that the driver's screws go into, where they do.
    pub driver_insert: Option<Insert>,
    /// Least distance from the centre of a driver screw to the cutout or the outer edge. [m]
    pub driver_edge_m: f64,
    /// That of a vehicle screw. [m]
    pub vehicle_edge_m: f64,
    /// Least distance between two hole centres; `None` leaves that out. [m]
    pub pitch_m: Option<f64>,
    /// Thickness of the layer that the heads of the vehicle screws sit in. [m]
    pub front_m: f64,
    /// Clear diameter of the holes for the vehicle screws. [m]
    pub vehicle_hole_m: f64,
    /// Sag that is seen. [m]
    pub sag_limit_m: f64,
    /// Amplification at resonance, 8 to 15.
    pub q: f64,
    /// The shock of its place.
    pub shock: HalfSine,
    /// Measures of the driver in its place, where it has any.
    pub fit: Option<Fit>,
    /// The glue between its layers, where it alone carries the driver.
    pub joint: Option<GluedJoint>,
    /// Its seat on the steel of a door, where it has one.
    pub steel: Option<SteelSeat>,
}

impl RingMount {
    /// The shock that a ring in a door sees.
    pub const SHOCK: HalfSine = DOOR_SLAM;
}

/// Every check of an adapter ring with its driver.
///
/// The ring between two vehicle screws is a strip of the width of the web, held by its neighbours so that its ends
/// cannot turn, and pulled by one driver screw at its place: moment `F a b²/s²`, sag `F a³ b³/(3 EI s³)`. Its own mass
/// adds `W s/12` and `W s³/384 EI` (a beam with built-in ends), and 13/35 of it moves with the driver (Rayleigh, with
/// the shape under a load in the middle).
///
/// # Errors
/// [`Error::OutOfRange`] for a size, mass, count or temperature that a mount cannot have; [`Error::Shape`] for a driver
/// screw further from a vehicle screw than the middle between two of them.
pub fn check_ring(mount: &RingMount) -> Result<Vec<Check>> {
    let m = mount;
    let strip = Strip::of(m)?;
    let part = m.part.as_str();
    let family = m.material.family;
    let hot_k = m.warmth.temperature_k;

    let mut found = Vec::new();
    if let Some(fit) = &m.fit {
        found.extend(fit::check_fit(part, fit)?);
    }
    found.push(fit::web(part, family, m.web_m, m.layer_m)?);
    let wider = m.vehicle_screw.head_m.max(m.driver_screw.head_m);
    let at_screws = m.web_at_screws_m.unwrap_or(m.web_m);
    found.push(fit::web_at_screw(part, at_screws, wider)?);
    if let (Some(room), Some(cutout)) = (m.room_m, m.fit.as_ref().and_then(|f| f.cutout_m)) {
        found.push(drivers::largest_driver(
            part,
            (family, m.layer_m),
            room,
            m.driver_screw.diameter_m,
            cutout,
        )?);
    }
    let exposed = Exposed {
        part,
        material: &m.material,
        warmth: m.warmth,
        held: Held::ClampedAllRound,
        made: Made::Flat,
        thickness_m: m.thickness_m,
        sag_limit_m: m.sag_limit_m,
        q: m.q,
        shock: m.shock,
    };
    found.extend(in_service(&exposed, |t| Ok(strip.bent(m, t)))?);

    let pulls = Pulls::of(m, &strip)?;
    let screw = m.driver_screw;
    let more_driver = |check: &dyn Fn(ScrewLoad) -> Result<Check>| {
        or_more_screws(check(pulls.driver)?, (m.driver_screws, 1), |n| {
            check(Pulls::with(m, n, m.vehicle_screws)?.driver)
        })
    };
    if let Some(length) = m.driver_engagement_m {
        found.push(fixing::engagement(part, family, screw, length)?);
        found.push(more_driver(&|load| {
            fixing::pull_out(part, &m.material, hot_k, screw, length, load)
        })?);
    }
    if let Some(insert) = m.driver_insert {
        found.push(more_driver(&|load| {
            fixing::insert_out(part, &m.material, hot_k, insert, load)
        })?);
    }
    if let Some(pilot) = m.driver_pilot_m {
        found.push(fixing::pilot(part, family, screw, pilot)?);
    }
    let (driver_edge_m, vehicle_edge_m) = (m.driver_edge_m, m.vehicle_edge_m);
    found.push(fixing::driver_edge(part, family, screw, driver_edge_m)?);
    let bolt = m.vehicle_screw;
    found.push(fixing::vehicle_edge(part, family, bolt, vehicle_edge_m)?);
    found.push(fixing::head_shape(part, family, m.vehicle_screw)?);
    let head = m.vehicle_screw;
    if let (Some(flange), false) = (m.fit.as_ref().and_then(|f| f.flange_m), head.countersunk) {
        let circle_m = m.vehicle_circle_m;
        let flush = flush(m)?;
        found.push(fit::heads_beside_flange(
            part,
            circle_m,
            head.head_m,
            flange,
            flush,
            |circle_m| asks_besides(m, circle_m),
        )?);
    }
    let through = |load| {
        let head = m.vehicle_screw;
        fixing::pull_through(part, &m.material, hot_k, head, m.thickness_m, load)
    };
    found.push(or_more_screws(
        through(pulls.vehicle)?,
        (m.vehicle_screws, 1),
        |n| through(Pulls::with(m, m.driver_screws, n)?.vehicle),
    )?);
    let hole_m = m.vehicle_hole_m;
    found.extend(fixing::countersink(
        part,
        m.vehicle_screw,
        hole_m,
        m.front_m,
    )?);
    if let Some(pitch_m) = m.pitch_m {
        // The least pitch may be that of either screw: the thicker one asks for more.
        let thicker = if m.vehicle_screw.diameter_m > screw.diameter_m {
            m.vehicle_screw
        } else {
            screw
        };
        found.push(fixing::pitch(part, thicker, pitch_m, m.layer_m)?);
    }
    found.push(movement(m, m.vehicle_circle_m)?);
    if let Some(seat) = &m.steel {
        let thread_m = m.vehicle_screw.diameter_m;
        found.extend(steel::check_seat(part, seat, thread_m, pulls.vehicle)?);
    }
    if let Some(joint) = &m.joint {
        // The layers in front hang on the glue too: all of the ring is on the safe side.
        let weight_n = (m.driver_kg + ring_kg(m)) * GRAVITY.value;
        found.extend(joint::glued(
            part,
            joint,
            m.warmth,
            weight_n,
            pulls.shock_n,
        )?);
    }
    Ok(found)
}

/// Room for the growth of the ring, its vehicle screws on a circle of `circle_m`.
fn movement(m: &RingMount, circle_m: f64) -> Result<Check> {
    let swing_k = (m.warmth.temperature_k - ROOM_K).max(COLD_SWING.value);
    let (screw, hole_m) = (m.vehicle_screw, m.vehicle_hole_m);
    fixing::ring_movement(&m.part, &m.material, screw, hole_m, swing_k, circle_m)
}

/// Whether countersunk heads would pass where the vehicle's screws sit.
fn flush(m: &RingMount) -> Result<bool> {
    let (part, family) = (m.part.as_str(), m.material.family);
    let flat = Screw {
        countersunk: true,
        ..m.vehicle_screw
    };
    let mut checks = vec![
        fixing::head_shape(part, family, flat)?,
        fixing::vehicle_edge(part, family, flat, m.vehicle_edge_m)?,
    ];
    checks.extend(fixing::countersink(
        part,
        flat,
        m.vehicle_hole_m,
        m.front_m,
    )?);
    Ok(worst(&checks) != Verdict::Fail)
}

/// What a wider circle of vehicle screws asks for besides: a wider ring, wider holes.
fn asks_besides(m: &RingMount, circle_m: f64) -> String {
    /// What the finish takes off the outside, and a hair of measuring.
    const OVER_M: f64 = 1e-3;
    let mut asks = vec![];
    let across_m = circle_m + 2.0 * fixing::usual_edge_m(m.material.family, m.vehicle_screw);
    if m.room_m.is_some_and(|room| room < across_m) {
        let across_mm = mm_up(across_m + OVER_M, 1.0);
        asks.push(format!("a ring {across_mm:.0} mm wide"));
    }
    if let Ok(check) = movement(m, circle_m)
        && check.verdict != Verdict::Pass
    {
        let hole_mm = mm_up(check.limit, 0.5);
        asks.push(format!(
            "round holes of {hole_mm:.1} mm for them (vehicle_hole)"
        ));
    }
    if asks.is_empty() {
        String::new()
    } else {
        format!(" (with {})", asks.join(" and "))
    }
}

/// Mass of the ring, a band of its least web along the circle of its vehicle screws. [kg]
fn ring_kg(m: &RingMount) -> f64 {
    m.material.density_kg_m3 * PI * m.vehicle_circle_m * m.web_m * m.thickness_m
}

/// What its screws have to hold.
struct Pulls {
    /// Driver from ring.
    driver: ScrewLoad,
    /// Ring with its driver from vehicle.
    vehicle: ScrewLoad,
    /// The shock on ring and driver. [N]
    shock_n: f64,
}

impl Pulls {
    fn of(m: &RingMount, strip: &Strip) -> Result<Self> {
        let frequency_hz = strip.bent(m, m.thickness_m).shaken.frequency_hz;
        let shock_m_s2 = m.shock.peak_on(frequency_hz, m.q)?;
        let road_m_s2 = 3.0 * Psd::body().response_rms_m_s2(frequency_hz, m.q)?;
        let whole_kg = m.driver_kg + ring_kg(m);
        let load =
            |kg, screws| ScrewLoad::harder(kg * road_m_s2, kg * shock_m_s2, m.shock.name, screws);
        Ok(Self {
            driver: load(m.driver_kg, m.driver_screws),
            vehicle: load(whole_kg, m.vehicle_screws),
            shock_n: whole_kg * shock_m_s2,
        })
    }

    /// Those of the same ring with other numbers of screws.
    fn with(m: &RingMount, driver_screws: u32, vehicle_screws: u32) -> Result<Self> {
        let closer = f64::from(m.vehicle_screws) / f64::from(vehicle_screws.max(1));
        let other = RingMount {
            driver_screws,
            vehicle_screws,
            vehicle_span_m: m.vehicle_span_m.map(|span| span * closer),
            driver_offset_m: m.driver_offset_m * closer,
            ..m.clone()
        };
        Self::of(&other, &Strip::of(&other)?)
    }
}

/// The strip between two vehicle screws, its ends held, under one driver screw.
struct Strip {
    /// From screw to screw. [m]
    span_m: f64,
    /// Moment at the nearer end for 1 N. [m]
    moment_per_n: f64,
    /// Deflection at the load for 1 N and EI = 1. [m³]
    sag_times_ei_per_n: f64,
}

impl Strip {
    fn of(m: &RingMount) -> Result<Self> {
        m.material.validate()?;
        m.warmth.validate()?;
        positive("thickness_m", m.thickness_m, 5e-4, 0.2, "m")?;
        positive("web_m", m.web_m, 1e-3, 1.0, "m")?;
        positive("driver_kg", m.driver_kg, 1e-3, 30.0, "kg")?;
        let circle = positive("vehicle_circle_m", m.vehicle_circle_m, 0.01, 1.0, "m")?;
        let count = Range::new(2.0, 48.0, "");
        let n = check(
            "vehicle_screws",
            f64::from(m.vehicle_screws),
            count,
            "two at least",
        )?;
        check(
            "driver_screws",
            f64::from(m.driver_screws),
            count,
            "two at least",
        )?;
        let span = match m.vehicle_span_m {
            Some(span) => positive("vehicle_span_m", span, 1e-3, PI, "m")?,
            None => PI * circle / n,
        };
        let a = positive("driver_offset_m", m.driver_offset_m, 0.0, 1.0, "m")?;
        if a > span / 2.0 * (1.0 + 1e-9) {
            return Err(Error::Shape {
                what: "driver_offset_m".into(),
                given: format!("{:.1} mm", a * 1e3),
                allowed: format!(
                    "0 to {:.1} mm, the middle between two vehicle screws",
                    span / 2.0 * 1e3
                ),
            });
        }
        // A screw straight over another still has the flange's own width to bend over.
        let a = a.max(m.driver_screw.diameter_m.min(span / 2.0));
        let b = span - a;
        Ok(Self {
            span_m: span,
            moment_per_n: a * b * b / (span * span),
            sag_times_ei_per_n: (a * b / span).powi(3) / 3.0,
        })
    }

    /// The strip of thickness `t` with the share of one driver screw.
    fn bent(&self, m: &RingMount, t: f64) -> Bent {
        let hot_k = m.warmth.temperature_k;
        let each_kg = m.driver_kg / f64::from(m.driver_screws);
        let own_kg = m.material.density_kg_m3 * m.web_m * t * self.span_m;
        let inertia = second_moment(m.web_m, t);
        let sag_per_n = self.sag_times_ei_per_n / inertia;
        let own_sag_per_n = self.span_m.powi(3) / (384.0 * inertia);
        let stiffness = m.material.modulus_pa(hot_k) / sag_per_n;
        let moving_kg = each_kg + OWN_MOVES * own_kg;
        let moment = each_kg * self.moment_per_n + own_kg * self.span_m / 12.0;
        Bent {
            shaken: Shaken {
                frequency_hz: (stiffness / moving_kg).sqrt() / (2.0 * PI),
                stress_per_m_s2: moment / section_modulus(m.web_m, t),
                strength_pa: m.material.bending_at_pa(hot_k),
            },
            sag_times_modulus: GRAVITY.value * (each_kg * sag_per_n + own_kg * own_sag_per_n),
        }
    }
}

/// Share of a strip's mass that moves with a load in its middle, ends built in: 13/35 (Rayleigh, static shape).
const OWN_MOVES: f64 = 13.0 / 35.0;
