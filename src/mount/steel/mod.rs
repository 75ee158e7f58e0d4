//! A ring on the steel of a door: what its screws go into, gaskets on both faces, and water.

mod fastener;

use std::f64::consts::PI;

use serde::Serialize;

use super::check::{Check, MarginKind, Rule, Sense, Verdict, mm_up};
use super::fixing::ScrewLoad;
use crate::error::{Range, Result, check};
use crate::shape::seal::{self as foam, SteelFixing};
use crate::sourced::{Constant, Standing};
pub use fastener::{
    CLIP_NUT_BEARS, CLIP_NUT_BEHIND, CLIP_NUT_GRIP, CLIP_NUT_REACH, RIVET_NUT_BEHIND,
    RIVET_NUT_BULGE, RIVET_NUT_GRIP, STEEL_YIELD, THROUGH_BOLT_BEARS, THROUGH_BOLT_BEHIND,
    THROUGH_BOLT_GRIP, grips_m, hole_m,
};
use fastener::{FROM_MEMORY, bears_m, needs_behind_m};

/// A strip of closed-cell foam between two faces.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Gasket {
    /// Its thickness, free. [m]
    pub free_m: f64,
    /// Its thickness with everything screwed home. [m]
    pub pressed_m: f64,
}

/// How a ring sits on the steel of a door. What was not measured is left out, and is not checked.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SteelSeat {
    /// What its screws go into.
    pub fixing: SteelFixing,
    /// Thickness of the steel. [m]
    pub panel_m: f64,
    /// From the centre of a hole to the nearest edge of the steel. [m]
    pub hole_edge_m: Option<f64>,
    /// Free room behind the steel at the screws. [m]
    pub behind_m: Option<f64>,
    /// Gasket between ring and steel.
    pub to_steel: Option<Gasket>,
    /// Gasket between ring and driver.
    pub to_driver: Option<Gasket>,
    /// Whether a bevel or lip at the top of the ring sheds water.
    pub sheds_water: bool,
    /// Foam collar from the driver to the trim.
    pub collar: Option<Gasket>,
}

/// What a ring on the steel of a door has to leave as it was, and what to do with water. For every packet of a door ring.
pub const DOOR_NOTES: [&str; 4] = [
    "leave the drains at the bottom of the door open, and the water membrane in its place: a side-impact sensor may read the air pressure behind it",
    "cut the membrane only where the driver goes and seal it again all round, to the steel, with butyl or its own adhesive",
    "paint every bare edge and hole in the steel before the ring goes on; seal the screw holes",
    SHED_WATER,
];
/// The last of [`DOOR_NOTES`]: for a ring that does not do so yet.
pub const SHED_WATER: &str = "water runs down inside the glass: let a bevel or a lip on top of the ring throw it clear of the magnet";

/// Least share by which a gasket is pressed, else it leaks.
pub const GASKET_LEAST: Constant = Constant {
    name: "steel.gasket_least",
    value: 0.15,
    low: 0.10,
    high: 0.15,
    unit: "1",
    source: "a seal maker's EPDM compression note: 10 to 15 % at least",
    standing: Standing::Published,
};
/// Greatest share by which a strip of foam is pressed, else it takes a set.
pub const GASKET_MOST: Constant = Constant::practice("steel.gasket_most", [0.50, 0.65, 0.70], "1");

const GRIP: Rule = Rule {
    name: "grip on the steel",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: FROM_MEMORY,
    standing: Standing::Remembered,
};
const EDGE: Rule = Rule {
    name: "hole to the edge of the steel",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "two hole diameters from the edge, common practice; a clip nut reaches about 12 mm from the edge that it is slid over, from memory",
    standing: Standing::CommonPractice,
};
const BEHIND: Rule = Rule {
    name: "room behind the steel",
    unit: "m",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.001,
    source: FROM_MEMORY,
    standing: Standing::Remembered,
};
const PULL: Rule = Rule {
    name: "pull on the steel",
    unit: "N",
    sense: Sense::AtMost,
    margin_is: MarginKind::Fraction,
    reserve: 0.2,
    source: "shear of mild steel (yield 180 MPa, from memory) round what bears on it, pi D t yield/sqrt(3), over 5 for what lasts and 2 for a shock (common practice)",
    standing: Standing::Derived,
};

const GASKETS: Rule = Rule {
    name: "gaskets",
    unit: "1",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "both faces of a door ring are gasketed: against the steel and against the driver; common practice, no source",
    standing: Standing::CommonPractice,
};
const PRESSED: Rule = Rule {
    name: "",
    unit: "1",
    sense: Sense::AtMost,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "closed-cell strip is pressed by 30 to 50 %, common practice; a seal maker's EPDM note: 10 to 15 % at least, about 50 % at most",
    standing: Standing::CommonPractice,
};

const SHEDS: Rule = Rule {
    name: "sheds water",
    unit: "1",
    sense: Sense::AtLeast,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "a bevel or lip on top of a door ring sheds water; common practice, no source",
    standing: Standing::CommonPractice,
};

/// Every check of a ring's seat on steel, `thread_m` the screw's thread, `load` what pulls at its screws.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a measure that cannot be.
///
/// ```
/// use mountwright::mount::Verdict;
/// use mountwright::mount::fixing::ScrewLoad;
/// use mountwright::mount::steel::{Gasket, SteelSeat, check_seat};
/// use mountwright::shape::seal::SteelFixing;
/// let strip = Gasket { free_m: 0.006, pressed_m: 0.0036 };
/// let seat = SteelSeat {
///     fixing: SteelFixing::RivetNut, panel_m: 0.0008, hole_edge_m: Some(0.020), behind_m: Some(0.030),
///     to_steel: Some(strip), to_driver: None, sheds_water: true, collar: Some(strip),
/// };
/// let slam = ScrewLoad { name: "door slam", total_n: 740.0, screws: 4, factor: 2.0 };
/// let found = check_seat("left ring", &seat, 0.005, slam)?;
/// let gaskets = found.iter().find(|c| c.name == "gaskets");
/// assert_eq!(gaskets.map(|c| c.verdict), Some(Verdict::Fail));
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn check_seat(
    part: &str,
    seat: &SteelSeat,
    thread_m: f64,
    load: ScrewLoad,
) -> Result<Vec<Check>> {
    let thread = check(
        "thread_m",
        thread_m,
        Range::new(0.002, 0.010, "m"),
        "screws to steel are M4 to M6",
    )?;
    let size = Range::new(0.0, 1.0, "m");
    let panel = check(
        "seat.panel_m",
        seat.panel_m,
        Range::new(1e-4, 0.02, "m"),
        "the inner panel of a door is 0.6 to 1.2 mm",
    )?;
    let mut found = vec![grip(part, seat.fixing, panel)];
    if let Some(edge) = seat.hole_edge_m {
        let edge = check(
            "seat.hole_edge_m",
            edge,
            size,
            "measure hole centre to edge",
        )?;
        found.push(edge_of_steel(part, seat.fixing, thread, edge)?);
    }
    if let Some(behind) = seat.behind_m {
        let behind = check("seat.behind_m", behind, size, "measure behind the steel")?;
        found.push(room_behind(part, seat.fixing, thread, behind));
    }
    found.push(pull(part, seat.fixing, thread, panel, load)?);
    found.push(gaskets(part, seat));
    for (name, gasket) in [
        ("gasket to the steel", seat.to_steel),
        ("gasket to the driver", seat.to_driver),
        ("collar to the trim", seat.collar),
    ] {
        if let Some(gasket) = gasket {
            found.push(pressed(part, name, gasket)?);
        }
    }
    found.push(sheds(part, seat.sheds_water));
    Ok(found)
}

fn grip(part: &str, fixing: SteelFixing, panel_m: f64) -> Check {
    let (least, most) = grips_m(fixing);
    let why = format!(
        "steel of {:.2} mm; {} grip {:.1} to {:.1} mm",
        panel_m * 1e3,
        fixing.name(),
        least * 1e3,
        most * 1e3
    );
    let mend = || "through bolts with large washers, or a plate behind the steel".into();
    if panel_m > most {
        let rule = Rule {
            sense: Sense::AtMost,
            ..GRIP
        };
        rule.judge(part, panel_m, most, why, mend)
    } else {
        GRIP.judge(part, panel_m, least, why, mend)
    }
}

fn edge_of_steel(part: &str, fixing: SteelFixing, thread_m: f64, edge_m: f64) -> Result<Check> {
    let two = 2.0 * hole_m(fixing, thread_m)?;
    let have = format!(
        "{:.1} mm from hole centre to the edge of the steel",
        edge_m * 1e3
    );
    if fixing == SteelFixing::ClipNut {
        let rule = Rule {
            sense: Sense::AtMost,
            ..EDGE
        };
        let reach_m = CLIP_NUT_REACH.value;
        let why = format!("{have}; a clip nut reaches {:.0} mm", reach_m * 1e3);
        return Ok(rule.judge(part, edge_m, reach_m, why, || {
            "rivet nuts, which need no edge".into()
        }));
    }
    let why = format!("{have}, {:.1} mm needed for {}", two * 1e3, fixing.name());
    Ok(EDGE.judge(part, edge_m, two, why, || {
        format!(
            "the hole {:.1} mm from the edge, or a clip nut over it",
            mm_up(two, 0.5)
        )
    }))
}

fn room_behind(part: &str, fixing: SteelFixing, thread_m: f64, behind_m: f64) -> Check {
    let need = needs_behind_m(fixing, thread_m);
    let why = format!(
        "{:.1} mm behind the steel, {} of M{:.0} stand {:.1} mm proud",
        behind_m * 1e3,
        fixing.name(),
        thread_m * 1e3,
        need * 1e3
    );
    BEHIND.judge(part, behind_m, need, why, || {
        format!(
            "{:.1} mm of room with the glass fully down and up, a shorter nut, or screws elsewhere",
            mm_up(need + BEHIND.reserve, 0.5)
        )
    })
}

fn pull(
    part: &str,
    fixing: SteelFixing,
    thread_m: f64,
    panel_m: f64,
    load: ScrewLoad,
) -> Result<Check> {
    let each = load.each_n()?;
    let bears = bears_m(fixing, thread_m)?;
    let whole = PI * bears * panel_m * STEEL_YIELD.value / 3f64.sqrt();
    let limit = whole / load.factor;
    let why = format!(
        "{} pulls {each:.0} N at each; {:.2} mm of steel stands {whole:.0} N round {:.1} mm, over {} is {limit:.0} N",
        load.name,
        panel_m * 1e3,
        bears * 1e3,
        load.factor
    );
    Ok(PULL.judge(part, each, limit, why, || {
        "through bolts with a plate behind the steel".into()
    }))
}

fn gaskets(part: &str, seat: &SteelSeat) -> Check {
    let have = f64::from(u8::from(seat.to_steel.is_some()) + u8::from(seat.to_driver.is_some()));
    let why = match (seat.to_steel.is_some(), seat.to_driver.is_some()) {
        (true, true) => "both faces are gasketed",
        (true, false) => {
            "nothing seals the driver to the ring: it leaks air, buzzes and lets water in"
        }
        (false, true) => {
            "nothing seals the ring to the steel: it leaks air, buzzes and lets water in"
        }
        (false, false) => "neither face is gasketed: it leaks air, buzzes and lets water in",
    };
    GASKETS.judge(part, have, 2.0, why.into(), || {
        "2 gaskets: closed-cell strip, one on each face, all round and inside the screws".into()
    })
}

fn pressed(part: &str, name: &'static str, gasket: Gasket) -> Result<Check> {
    let free = check(
        "gasket.free_m",
        gasket.free_m,
        Range::new(2e-4, 0.1, "m"),
        "give its free thickness",
    )?;
    let under = check(
        "gasket.pressed_m",
        gasket.pressed_m,
        Range::new(0.0, 0.2, "m"),
        "give the gap that it fills",
    )?;
    let by = 1.0 - under / free;
    // Too little is held against the least, too much against the most; what is usual lies as far within as foam asks.
    let (sense, limit, usual) = if by < foam::PRESSED.value {
        (Sense::AtLeast, GASKET_LEAST.value, foam::PRESSED.low)
    } else {
        (Sense::AtMost, GASKET_MOST.value, foam::PRESSED.high)
    };
    let rule = Rule {
        name,
        sense,
        reserve: (usual - limit).abs(),
        ..PRESSED
    };
    let why = format!(
        "{:.1} mm of foam in {:.1} mm is pressed by {:.0} %; {:.0} to {:.0} % seals and lasts",
        free * 1e3,
        under * 1e3,
        by * 100.0,
        foam::PRESSED.low * 100.0,
        foam::PRESSED.high * 100.0
    );
    let kept = 1.0 - foam::PRESSED.value;
    Ok(rule.judge(part, by, limit, why, || {
        format!(
            "{:.1} mm of foam in this gap, or a gap of {:.1} mm for this foam",
            under / kept * 1e3,
            free * kept * 1e3
        )
    }))
}

fn sheds(part: &str, sheds_water: bool) -> Check {
    let why = if sheds_water {
        "a bevel or lip on top sheds water"
    } else {
        "water that runs down inside the door can stand on the ring's upper edge"
    };
    let mut found = SHEDS.judge(
        part,
        f64::from(u8::from(sheds_water)),
        1.0,
        why.into(),
        || "1 bevel of 30° or more, or a lip, along the upper half of the ring".into(),
    );
    // Water harms in years, not at once: it is for the shop to decide.
    found.verdict = found.verdict.min(Verdict::Marginal);
    found
}
