//! Screws: pilot, engagement, edge, pitch, pull-out, number, and room for thermal movement.

use std::f64::consts::PI;

use serde::Serialize;

use super::check::{Check, MarginKind, Rule, Sense};
use super::sheet::{Family, Material};
use crate::error::{Range, Result, check};
use crate::sourced::Standing;

/// A screw into or through plastic.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Screw {
    /// Thread outside diameter. [m]
    pub diameter_m: f64,
    /// Diameter of head or washer. [m]
    pub head_m: f64,
}

impl Screw {
    /// A pan-head screw: head twice the thread, as common practice has it.
    pub fn pan(diameter_m: f64) -> Self {
        Self {
            diameter_m,
            head_m: 2.0 * diameter_m,
        }
    }

    pub(super) fn validate(&self) -> Result<()> {
        check(
            "screw.diameter_m",
            self.diameter_m,
            Range::new(1e-3, 0.012, "m"),
            "screws of this trade are 2 to 6 mm",
        )?;
        check(
            "screw.head_m",
            self.head_m,
            Range::new(self.diameter_m, 0.06, "m"),
            "give the diameter of head or washer",
        )?;
        Ok(())
    }
}

/// Pilot hole, boss and engagement of thread-forming screws, as multiples of the thread diameter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ThreadForming {
    /// Pilot hole.
    pub hole: f64,
    /// Boss outside diameter.
    pub boss: f64,
    /// Engagement.
    pub engagement: f64,
    /// Where the row comes from.
    pub standing: Standing,
}

/// Factors of thread-forming screws for a kind of plastic.
///
/// ABS is printed in a screw maker's boss table; the rest are from memory, foamed PVC is common practice.
pub fn thread_forming(family: Family) -> ThreadForming {
    let row = |hole, boss, engagement, standing| ThreadForming {
        hole,
        boss,
        engagement,
        standing,
    };
    match family {
        Family::Abs => row(0.80, 2.00, 2.00, Standing::Published),
        Family::Pc => row(0.85, 2.50, 2.20, Standing::Remembered),
        Family::Acrylic => row(0.85, 2.00, 2.00, Standing::Remembered),
        Family::Pp => row(0.70, 2.00, 2.00, Standing::Remembered),
        Family::Hdpe => row(0.75, 1.80, 1.80, Standing::Remembered),
        Family::FoamedPvc => row(0.68, 2.00, 2.50, Standing::CommonPractice),
        Family::RigidPvc | Family::Hips | Family::AcrylicPvc | Family::Petg | Family::Other => {
            row(0.80, 2.00, 2.00, Standing::Remembered)
        }
    }
}

/// Thread and core diameters of thread-forming screws. [m] A screw maker's boss table.
pub const CORES_M: [(f64, f64); 8] = [
    (0.0022, 0.00125),
    (0.0025, 0.00140),
    (0.0030, 0.00166),
    (0.0035, 0.00191),
    (0.0040, 0.00217),
    (0.0050, 0.00268),
    (0.0060, 0.00319),
    (0.0080, 0.00421),
];

/// Core of a thread-forming screw of `diameter_m`: between the rows of [`CORES_M`] in a straight line, outside by the nearest row's share. [m]
pub fn core_m(diameter_m: f64) -> f64 {
    let (Some(first), Some(last)) = (CORES_M.first(), CORES_M.last()) else {
        return f64::NAN; // the table has rows
    };
    if diameter_m <= first.0 {
        return diameter_m * first.1 / first.0;
    }
    CORES_M
        .windows(2)
        .find_map(|w| match w {
            [a, b] if diameter_m <= b.0 => {
                Some(a.1 + (b.1 - a.1) * (diameter_m - a.0) / (b.0 - a.0))
            }
            _ => None,
        })
        .unwrap_or(diameter_m * last.1 / last.0)
}

/// Pull-out of a screw from plastic, upper bound: `pi d_p L s_y/sqrt(3)`, `d_p` the mean of thread and core. [N]
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a diameter outside 1 to 12 mm, an engagement outside 0 to 100 mm or a yield outside 0 to 1 GPa.
///
/// ```
/// let n = mountwright::mount::fixing::pull_out_n(0.004, 0.006, 40e6)?;
/// assert!((n - 1343.0).abs() < 0.5);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn pull_out_n(diameter_m: f64, engagement_m: f64, yield_pa: f64) -> Result<f64> {
    let d = check(
        "diameter_m",
        diameter_m,
        Range::new(1e-3, 0.012, "m"),
        "screws of this trade are 2 to 6 mm",
    )?;
    let l = check(
        "engagement_m",
        engagement_m,
        Range::new(0.0, 0.1, "m"),
        "give the threaded length in plastic",
    )?;
    let y = check(
        "yield_pa",
        yield_pa,
        Range::new(0.0, 1e9, "Pa"),
        "give pascal",
    )?;
    Ok(PI * f64::midpoint(d, core_m(d)) * l * y / 3f64.sqrt())
}

/// The upper bound is divided by this where there is vibration and heat.
pub const PULL_OUT_FACTOR: f64 = 5.0;

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

/// Round clearance hole for a screw, medium fit. [m] ISO 273, from memory: 0.4 mm more up to 3 mm, 0.5 mm above.
pub fn clearance_hole_m(diameter_m: f64) -> f64 {
    diameter_m + if diameter_m <= 0.003 { 0.0004 } else { 0.0005 }
}

/// What thread suits a sheet of flexural modulus `modulus_pa` at room temperature.
pub fn thread_advice(modulus_pa: f64) -> &'static str {
    if modulus_pa < 1.4e9 {
        "any thread-forming screw"
    } else if modulus_pa <= 2.8e9 {
        "thread-cutting or wide-pitch screws for plastics: ordinary thread formers overstress it"
    } else {
        "thread-cutting screws or an insert"
    }
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
            "sheet of {:.1} mm or more under the head, or {insert}",
            need * 1e3
        )
    }))
}

const EDGE: Rule = Rule {
    name: "screw edge distance",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Fraction,
    reserve: 0.0,
    source: "hole centre to edge: two threads' width, three in brittle sheet; common practice for small parts",
    standing: Standing::CommonPractice,
};

/// Hole centre to the nearest edge against two thread diameters, three in brittle sheet.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a screw or distance that cannot be.
pub fn edge_distance(part: &str, family: Family, screw: Screw, edge_m: f64) -> Result<Check> {
    screw.validate()?;
    let edge = check(
        "edge_m",
        edge_m,
        Range::new(0.0, 2.0, "m"),
        "measure centre to edge",
    )?;
    let times = if family.is_brittle() { 3.0 } else { 2.0 };
    let need = times * screw.diameter_m;
    let why = format!(
        "{:.1} mm from hole centre to edge, {times:.0} x {:.1} mm needed",
        edge * 1e3,
        screw.diameter_m * 1e3
    );
    Ok(EDGE.judge(part, edge, need, why, || {
        format!(
            "move the hole to {:.1} mm from the edge, or a screw of {:.1} mm at most",
            need * 1e3,
            edge * 1e3 / times
        )
    }))
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

/// Hole to hole against four thread diameters and one and a half thicknesses.
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
    let t = check(
        "thickness_m",
        thickness_m,
        Range::new(1e-4, 0.2, "m"),
        "give metres",
    )?;
    let need = (4.0 * screw.diameter_m).max(1.5 * t);
    let why = format!("holes {:.1} mm apart, {:.1} mm needed", p * 1e3, need * 1e3);
    Ok(PITCH.judge(part, p, need, why, || {
        format!("holes {:.1} mm apart, or fewer of them", need * 1e3)
    }))
}

const PULL_OUT: Rule = Rule {
    name: "screw pull-out, hot",
    unit: "N",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.2,
    source: "shear round the mean thread, pi d L yield/sqrt(3) at the hot yield, over 5 for vibration and heat (common practice)",
    standing: Standing::CommonPractice,
};

/// Load of one screw against a fifth of its hot pull-out.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a load, screw, length or count that cannot be.
pub fn pull_out(
    part: &str,
    material: &Material,
    temperature_k: f64,
    screw: Screw,
    engagement_m: f64,
    load: ScrewLoad,
) -> Result<Check> {
    screw.validate()?;
    let each = load.each_n()?;
    let hot_yield = material.yield_pa.at(temperature_k);
    let limit = pull_out_n(screw.diameter_m, engagement_m, hot_yield)? / PULL_OUT_FACTOR;
    let why = format!(
        "{:.0} N over {} screws is {each:.0} N each; {:.1} mm of thread at a hot yield of {:.0} MPa stands {:.0} N, a fifth of it counts",
        load.total_n,
        load.screws,
        engagement_m * 1e3,
        hot_yield / 1e6,
        limit * PULL_OUT_FACTOR
    );
    Ok(PULL_OUT.judge(part, each, limit, why, || {
        more_screws(load, limit, PULL_OUT.reserve, "bolts with nuts and washers")
    }))
}

const PULL_THROUGH: Rule = Rule {
    name: "head pull-through, hot",
    unit: "N",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.2,
    source: "shear round the head through the sheet, pi D t yield/sqrt(3) at the hot yield, over 5 for vibration and heat (derived as the pull-out; common practice)",
    standing: Standing::CommonPractice,
};

/// Load of one screw against a fifth of what pulls its head through the sheet.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a load, screw, thickness or count that cannot be.
pub fn pull_through(
    part: &str,
    material: &Material,
    temperature_k: f64,
    screw: Screw,
    thickness_m: f64,
    load: ScrewLoad,
) -> Result<Check> {
    screw.validate()?;
    let t = check(
        "thickness_m",
        thickness_m,
        Range::new(1e-4, 0.2, "m"),
        "give metres",
    )?;
    let each = load.each_n()?;
    let shear = material.yield_pa.at(temperature_k) / 3f64.sqrt();
    let limit = PI * screw.head_m * t * shear / PULL_OUT_FACTOR;
    let why = format!(
        "{each:.0} N each; a {:.1} mm head through {:.1} mm of sheet, hot, a fifth of its shear counts: {limit:.0} N",
        screw.head_m * 1e3,
        t * 1e3
    );
    Ok(PULL_THROUGH.judge(part, each, limit, why, || {
        let washer = screw.head_m * each / (limit * (1.0 - PULL_THROUGH.reserve));
        format!(
            "washers of {:.0} mm, or {}",
            (washer * 1e3).ceil(),
            more_screws(load, limit, PULL_THROUGH.reserve, "a backing plate")
        )
    }))
}

/// A load over a number of screws.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ScrewLoad {
    /// Load on all of them. [N]
    pub total_n: f64,
    /// How many share it.
    pub screws: u32,
}

impl ScrewLoad {
    /// Load on one. [N]
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for no screws, more than 200, or a load outside 0 to 1e6 N.
    pub fn each_n(self) -> Result<f64> {
        let n = check(
            "screws",
            f64::from(self.screws),
            Range::new(1.0, 200.0, ""),
            "give the number of screws that share the load",
        )?;
        let total = check(
            "total_n",
            self.total_n,
            Range::new(0.0, 1e6, "N"),
            "give newton",
        )?;
        Ok(total / n)
    }
}

fn more_screws(load: ScrewLoad, limit: f64, reserve: f64, or: &str) -> String {
    let n = (load.total_n / (limit * (1.0 - reserve))).ceil();
    if n <= 24.0 {
        format!("{n:.0} screws, or {or}")
    } else {
        or.to_string()
    }
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
            need * 1e3
        )
    }))
}
