//! Where holes sit and how wide they are: pilot, engagement, edge, pitch, slot.

use super::super::beam::positive;
use super::super::check::{Check, MarginKind, Rule, Sense, mm_up};
use super::super::sheet::{Family, Material};
use super::screws::{Screw, thread_forming};
use crate::error::{Range, Result, check};
use crate::sourced::Standing;

/// Slot length for a screw at `from_fixed_m` from the one round hole: `d + 2 alpha dT L`. [m]
///
/// # Errors
/// [`crate::Error::OutOfRange`] for numbers that cannot be.
///
/// ```
/// let slot = mountwright::mount::fixing::slot_m(0.004, 9e-5, 70.0, 0.150)?;
/// assert!((slot - 0.004 - 2.0 * 0.945e-3).abs() < 1e-9);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn slot_m(diameter_m: f64, expansion_1_k: f64, rise_k: f64, from_fixed_m: f64) -> Result<f64> {
    let d = check(
        "diameter_m",
        diameter_m,
        Range::new(1e-3, 0.02, "m"),
        "give metres",
    )?;
    let a = check(
        "expansion_1_k",
        expansion_1_k,
        Range::new(0.0, 1e-3, "1/K"),
        "plastics are 5e-5 to 2e-4 1/K",
    )?;
    let t = check(
        "rise_k",
        rise_k,
        Range::new(0.0, 200.0, "K"),
        "give the whole swing",
    )?;
    let l = check(
        "from_fixed_m",
        from_fixed_m,
        Range::new(0.0, 10.0, "m"),
        "give metres",
    )?;
    Ok(d + 2.0 * a * t * l)
}

const PILOT: Rule = Rule {
    name: "pilot hole",
    unit: "m",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.5,
    source: "screw makers' boss tables (hole as a share of the thread); a tenth of the thread either way, common practice",
    standing: Standing::CommonPractice,
};

/// How far the pilot hole is from the one that the plastic asks for, against a tenth of the thread.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a screw or hole that cannot be.
pub fn pilot(part: &str, family: Family, screw: Screw, hole_m: f64) -> Result<Check> {
    screw.validate()?;
    let hole = check(
        "hole_m",
        hole_m,
        Range::new(1e-4, 0.012, "m"),
        "give the drill",
    )?;
    let d = screw.diameter_m;
    let best = thread_forming(family).hole * d;
    let why = format!(
        "drilled {:.2} mm, best {:.2} mm for a {:.1} mm screw; too small splits, too wide strips",
        hole * 1e3,
        best * 1e3,
        d * 1e3
    );
    Ok(PILOT.judge(part, (hole - best).abs(), 0.1 * d, why, || {
        format!("drill {:.1} mm", best * 1e3)
    }))
}

const ENGAGEMENT: Rule = Rule {
    name: "thread engagement",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Fraction,
    reserve: 0.0,
    source: "screw makers' boss tables: about two threads' width in plastic",
    standing: Standing::Remembered,
};

/// Length of thread in plastic against what the plastic asks for.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a screw or length that cannot be.
pub fn engagement(part: &str, family: Family, screw: Screw, engagement_m: f64) -> Result<Check> {
    screw.validate()?;
    let l = check(
        "engagement_m",
        engagement_m,
        Range::new(0.0, 0.1, "m"),
        "give the threaded length in plastic",
    )?;
    let need = thread_forming(family).engagement * screw.diameter_m;
    let why = format!(
        "{:.1} mm of thread in plastic, {:.1} mm needed for a {:.1} mm screw",
        l * 1e3,
        need * 1e3,
        screw.diameter_m * 1e3
    );
    Ok(ENGAGEMENT.judge(part, l, need, why, || {
        let insert = if family == Family::FoamedPvc {
            "a bolt and nut or a clip nut (no heat-set insert in foam)"
        } else {
            "a bolt and nut, a clip nut or an insert"
        };
        format!(
            "{:.1} mm of thread in plastic, or {insert}",
            mm_up(need, 0.5)
        )
    }))
}

const EDGE: Rule = Rule {
    name: "screw edge distance",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Fraction,
    reserve: 1.0 / 3.0,
    source: "hole centre to edge: one thread of wall beside the hole at least (1.5 threads), 2 threads as a rule; 2 and 3 in brittle sheet; common practice for small parts",
    standing: Standing::CommonPractice,
};

/// Hole centre to the nearest edge: 2 thread diameters pass, under 1.5 fail; in brittle sheet 3 and 2.
///
/// Beside a countersink half a thread of wall has to stay at least, a whole one as a rule.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a screw or distance that cannot be.
pub fn edge_distance(part: &str, family: Family, screw: Screw, edge_m: f64) -> Result<Check> {
    edge_of(part, family, screw, edge_m, (EDGE.name, "the hole"))
}

/// [`edge_distance`] of the screws that hold a driver to a ring.
///
/// # Errors
/// As [`edge_distance`].
pub fn driver_edge(part: &str, family: Family, screw: Screw, edge_m: f64) -> Result<Check> {
    let called = ("edge distance, driver's screws", "the driver's holes");
    edge_of(part, family, screw, edge_m, called)
}

/// [`edge_distance`] of the screws that hold a ring to the vehicle.
///
/// # Errors
/// As [`edge_distance`].
pub fn vehicle_edge(part: &str, family: Family, screw: Screw, edge_m: f64) -> Result<Check> {
    let called = ("edge distance, vehicle's screws", "the vehicle's holes");
    edge_of(part, family, screw, edge_m, called)
}

/// Usual distance of a hole's centre from an edge: less does not pass. [m]
pub(in super::super) fn usual_edge_m(family: Family, screw: Screw) -> f64 {
    edge_threads(family, screw).1 * screw.diameter_m
}

/// Least and usual distance of a hole's centre from an edge, in threads of its screw.
fn edge_threads(family: Family, screw: Screw) -> (f64, f64) {
    let (mut least, mut usual) = if family.is_brittle() {
        (2.0, 3.0)
    } else {
        (1.5, 2.0)
    };
    if screw.countersunk {
        // The wall counts from the rim of the cone.
        let rim = screw.head_m / (2.0 * screw.diameter_m);
        least = f64::max(least, rim + 0.5);
        usual = f64::max(usual, rim + 1.0);
    }
    (least, usual)
}

fn edge_of(
    part: &str,
    family: Family,
    screw: Screw,
    edge_m: f64,
    (name, holes): (&'static str, &str),
) -> Result<Check> {
    screw.validate()?;
    let edge = check(
        "edge_m",
        edge_m,
        Range::new(0.0, 2.0, "m"),
        "measure centre to edge",
    )?;
    let d = screw.diameter_m;
    let (least, usual) = edge_threads(family, screw);
    let rule = Rule {
        name,
        reserve: usual / least - 1.0,
        ..EDGE
    };
    let why = format!(
        "{:.1} mm from hole centre to edge; {:.1} mm at least and {:.1} mm as a rule for a {:.1} mm screw",
        edge * 1e3,
        least * d * 1e3,
        usual * d * 1e3,
        d * 1e3
    );
    Ok(rule.judge(part, edge, least * d, why, || {
        format!(
            "move {holes} to {:.1} mm from the edge, or a screw of {:.1} mm at most{}",
            mm_up(usual * d, 0.5),
            (edge * 1e4 / usual).floor() / 10.0,
            if screw.countersunk {
                ", its head smaller by as much"
            } else {
                ""
            }
        )
    }))
}

const HEAD: Rule = Rule {
    name: "head shape",
    unit: "1",
    sense: Sense::AtMost,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "never countersink acrylic: the wedge cracks it (trade pages); pan or flange head and a washer",
    standing: Standing::CommonPractice,
};

/// Whether a countersunk head would crack the sheet: the figure is 1 for one in a brittle sheet, and none is allowed.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a screw that cannot be.
pub fn head_shape(part: &str, family: Family, screw: Screw) -> Result<Check> {
    screw.validate()?;
    let wedges = screw.countersunk && family.is_brittle();
    let why = match (screw.countersunk, wedges) {
        (true, true) => "a countersunk head wedges a brittle sheet apart",
        (true, false) => "a countersunk head wedges, which a tough sheet stands",
        (false, _) => "a flat head presses, and does not wedge",
    };
    let figure = if wedges { 1.0 } else { 0.0 };
    Ok(HEAD.judge(part, figure, 0.0, why.into(), || {
        "0 countersunk screws: pan or flange heads with washers, holes deburred".into()
    }))
}

const COUNTERSINK: Rule = Rule {
    name: "countersink depth",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.5e-3,
    source: "a 90° cone and 0.5 mm of straight hole under it at least, 1 mm as a rule: a knife edge lets the head through; common practice, no source",
    standing: Standing::CommonPractice,
};
const COUNTERSINK_LAND_M: f64 = 0.5e-3;

/// Sheet under a countersunk head, its hole `hole_m` wide: as thick as the cone is deep and 0.5 mm, 1 mm as a rule; `None` for other heads.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a screw or thickness that cannot be.
///
/// ```
/// use mountwright::mount::fixing::{Screw, countersink};
/// let flat = Screw { countersunk: true, ..Screw::pan(0.004) };
/// // A cone from 8 mm down to a hole of 4.5 mm is 1.75 mm deep.
/// let check = countersink("ring", flat, 0.0045, 0.002)?.map(|c| c.limit);
/// assert!(check.is_some_and(|m| (m - 0.00225).abs() < 1e-12));
/// assert!(countersink("ring", Screw::pan(0.004), 0.0045, 0.002)?.is_none());
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn countersink(
    part: &str,
    screw: Screw,
    hole_m: f64,
    thickness_m: f64,
) -> Result<Option<Check>> {
    screw.validate()?;
    let t = positive("thickness_m", thickness_m, 1e-4, 0.2, "m")?;
    if !screw.countersunk {
        return Ok(None);
    }
    let cone = ((screw.head_m - hole_m) / 2.0).max(0.0);
    let need = cone + COUNTERSINK_LAND_M;
    let why = format!(
        "a head of {:.1} mm over a hole of {:.1} mm asks for a cone {:.1} mm deep, in {:.1} mm of sheet",
        screw.head_m * 1e3,
        hole_m * 1e3,
        mm_up(cone, 0.1),
        t * 1e3
    );
    Ok(Some(COUNTERSINK.judge(part, t, need, why, || {
        format!(
            "sheet of {:.1} mm under the head, or pan heads",
            mm_up(need + COUNTERSINK.reserve, 0.5)
        )
    })))
}

const PITCH: Rule = Rule {
    name: "screw pitch",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Fraction,
    reserve: 0.0,
    source: "hole to hole: four threads' width and one and a half thicknesses; common practice for small parts",
    standing: Standing::CommonPractice,
};

/// Hole to hole against four thread diameters and one and a half thicknesses; heads stand half a thread apart.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a screw, pitch or thickness that cannot be.
pub fn pitch(part: &str, screw: Screw, pitch_m: f64, thickness_m: f64) -> Result<Check> {
    screw.validate()?;
    let p = check(
        "pitch_m",
        pitch_m,
        Range::new(0.0, 5.0, "m"),
        "measure hole to hole",
    )?;
    let t = positive("thickness_m", thickness_m, 1e-4, 0.2, "m")?;
    let need = (4.0 * screw.diameter_m)
        .max(1.5 * t)
        .max(screw.head_m + 0.5 * screw.diameter_m);
    let why = format!("holes {:.1} mm apart, {:.1} mm needed", p * 1e3, need * 1e3);
    Ok(PITCH.judge(part, p, need, why, || {
        format!("holes {:.1} mm apart, or fewer of them", mm_up(need, 0.5))
    }))
}

const SLOT: Rule = Rule {
    name: "room for thermal movement",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "slot of d + 2 alpha dT L from the one round hole (derived); one round hole, the rest slotted: cellular-PVC trim maker's bulletin",
    standing: Standing::Derived,
};

/// The hole furthest from the one round hole against the room that the part's growth asks for.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for numbers that cannot be.
pub fn movement(
    part: &str,
    material: &Material,
    screw: Screw,
    hole_m: f64,
    rise_k: f64,
    from_fixed_m: f64,
) -> Result<Check> {
    screw.validate()?;
    let hole = check(
        "hole_m",
        hole_m,
        Range::new(screw.diameter_m, 0.1, "m"),
        "give the hole's length along the part",
    )?;
    let need = slot_m(
        screw.diameter_m,
        material.expansion_1_k,
        rise_k,
        from_fixed_m,
    )?;
    let why = format!(
        "{:.0} mm from the fixed screw and {rise_k:.0} K it moves {:.2} mm each way; the hole is {:.1} mm for a {:.1} mm screw",
        from_fixed_m * 1e3,
        (need - screw.diameter_m) / 2.0 * 1e3,
        hole * 1e3,
        screw.diameter_m * 1e3
    );
    Ok(SLOT.judge(part, hole, need, why, || {
        format!(
            "a slot of {:.1} mm along the part, one hole round, the rest slotted",
            mm_up(need, 0.5)
        )
    }))
}

/// A ring's round holes, all alike on a circle, against the room that its growth asks for.
///
/// None of them is the fixed one: the middle stays where it is by symmetry, and each hole moves by `alpha dT R` outwards
/// or inwards.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for numbers that cannot be.
pub fn ring_movement(
    part: &str,
    material: &Material,
    screw: Screw,
    hole_m: f64,
    rise_k: f64,
    circle_m: f64,
) -> Result<Check> {
    screw.validate()?;
    let hole = check(
        "vehicle_hole_m",
        hole_m,
        Range::new(screw.diameter_m, 0.1, "m"),
        "a hole is as wide as its screw at least",
    )?;
    let d = screw.diameter_m;
    let need = slot_m(d, material.expansion_1_k, rise_k, circle_m / 2.0)?;
    let why = format!(
        "the ring grows from its middle: on a circle of {:.0} mm and over {rise_k:.0} K each hole moves {:.2} mm out or in; the holes are {:.1} mm for a {:.1} mm screw",
        circle_m * 1e3,
        (need - d) / 2.0 * 1e3,
        hole * 1e3,
        d * 1e3
    );
    Ok(SLOT.judge(part, hole, need, why, || {
        format!(
            "round holes of {:.1} mm for all of the vehicle's screws (vehicle_hole), none of them slotted",
            mm_up(need, 0.5)
        )
    }))
}
