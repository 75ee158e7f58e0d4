//! Routing and sawing: templates, passes, feed, length and time, and the room that a layout must leave.

use serde::{Deserialize, Serialize};

use super::limits;
use super::template::least_inside_corner_m;
use crate::error::{Note, Range, Result, check};
use crate::outline::Outline;
use crate::sourced::{Constant, Standing};

/// Deepest pass of a hand-held router, whatever the bit.
pub const HAND_PASS_M: Constant = Constant {
    name: "router.hand_pass",
    value: 3.0e-3,
    low: 2.0e-3,
    high: 3.2e-3,
    unit: "m",
    source: "four operator manuals of hand-held routers; three give 3 mm (1/8 in)",
    standing: Standing::Published,
};

/// How far outside the line a ring is sawn before it is trimmed to its template.
pub const ROUGH_M: Constant = Constant {
    name: "router.rough_allowance",
    value: 2.5e-3,
    low: 2.0e-3,
    high: 3.0e-3,
    unit: "m",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// Kerf to plan for a saw.
pub const SAW_KERF_M: Constant = Constant {
    name: "router.saw_kerf",
    value: 3.2e-3,
    low: 1.5e-3,
    high: 3.2e-3,
    unit: "m",
    source: "common practice, no source; carbide blades for acrylic 2.2 to 3.2 mm (from memory)",
    standing: Standing::CommonPractice,
};

/// Feed of a saw in acrylic sheet.
pub const SAW_FEED_M_S: Constant = Constant {
    name: "router.saw_feed",
    value: 0.1,
    low: 0.042,
    high: 0.127,
    unit: "m/s",
    source: "acrylic sheet maker's installation guide (100 mm/s at 3450 rpm); another maker's saw note (42 to 127 mm/s)",
    standing: Standing::Published,
};

/// Feed that a hand keeps up with.
pub const HAND_FEED_M_S: Constant = Constant {
    name: "router.hand_feed",
    value: 0.03,
    low: 0.015,
    high: 0.06,
    unit: "m/s",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// Deepest pass of a flush trim: only a thin strip is cut, so one pass does up to this depth.
pub const TRIM_PASS_M: Constant =
    Constant::practice("router.trim_pass", [10e-3, 12.5e-3, 20e-3], "m");

/// Time for one plunge.
pub const PLUNGE_S: Constant = Constant::practice("router.plunge", [1.0, 2.0, 4.0], "s");

/// Lighter chips than this rub and melt.
pub const LEAST_CHIP_M: Constant = Constant {
    name: "router.least_chip",
    value: 2.5e-5,
    low: 2.0e-5,
    high: 5.0e-5,
    unit: "m",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// Chip per tooth: bit diameter, soft least and most, hard least and most, at a depth of one diameter.
/// Chart of a maker of spiral bits; foamed PVC, ABS, PC count as soft, cast acrylic and PS as hard.
const CHIPS_M: [(f64, f64, f64, f64, f64); 4] = [
    (3.2e-3, 0.076e-3, 0.127e-3, 0.051e-3, 0.102e-3),
    (6.35e-3, 0.152e-3, 0.229e-3, 0.127e-3, 0.203e-3),
    (9.5e-3, 0.229e-3, 0.279e-3, 0.203e-3, 0.254e-3),
    (12.7e-3, 0.279e-3, 0.356e-3, 0.254e-3, 0.330e-3),
];

/// Offset of a template by a guide bushing: `o = (B − d)/2`. [m]
///
/// A bearing bit has `B = d` and no offset.
pub fn template_offset_m(bushing_m: f64, bit_m: f64) -> f64 {
    (bushing_m - bit_m) / 2.0
}

/// Size of an inside template for a hole: `T = hole + B − d`. [m]
///
/// ```
/// use mountwright::shape::router::{template_for_hole_m, plug_m};
/// let template = template_for_hole_m(0.142, 0.016, 0.00635);
/// assert!((template - 0.15165).abs() < 1e-9 && (plug_m(template, 0.016, 0.00635) - 0.1293).abs() < 1e-9);
/// ```
pub fn template_for_hole_m(hole_m: f64, bushing_m: f64, bit_m: f64) -> f64 {
    hole_m + bushing_m - bit_m
}

/// Hole that an inside template makes: `T − B + d`. [m]
pub fn hole_of_template_m(template_m: f64, bushing_m: f64, bit_m: f64) -> f64 {
    template_m - bushing_m + bit_m
}

/// Plug that falls out of an inside template: `T − B − d`. [m]
pub fn plug_m(template_m: f64, bushing_m: f64, bit_m: f64) -> f64 {
    template_m - bushing_m - bit_m
}

/// Size of an outside pattern for a part: `P = part − B + d`. [m]
pub fn pattern_for_part_m(part_m: f64, bushing_m: f64, bit_m: f64) -> f64 {
    part_m - bushing_m + bit_m
}

/// From the pivot of a trammel to the bit's centre for a hole of `radius_m`: `R − d/2`. [m]
pub fn trammel_for_hole_m(radius_m: f64, bit_m: f64) -> f64 {
    radius_m - bit_m / 2.0
}

/// From the pivot of a trammel to the bit's centre for a disc of `radius_m`: `R + d/2`. [m]
pub fn trammel_for_disc_m(radius_m: f64, bit_m: f64) -> f64 {
    radius_m + bit_m / 2.0
}

/// Feed `N c n`: flutes, chip per tooth, turns in a second. [m/s]
///
/// ```
/// use mountwright::shape::router::feed_m_s;
/// // 2 flutes, 0.1 mm, 18 000 rpm: 3600 mm/min (a cutter dealer's feeds page).
/// assert!((feed_m_s(2, 1e-4, 300.0) - 0.06).abs() < 1e-12);
/// ```
pub fn feed_m_s(flutes: u32, chip_m: f64, turns_per_s: f64) -> f64 {
    f64::from(flutes) * chip_m * turns_per_s
}

/// How a plastic cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Cuts {
    /// Foamed PVC, ABS, polycarbonate, polyethylene.
    Soft,
    /// Cast acrylic, polystyrene.
    Hard,
}

/// Chip per tooth of a spiral bit in plastic, least and most. [m]
///
/// Straight between the sizes of the chart and held at its ends; a quarter less at 2 diameters deep, half at 3.
pub fn chip_m(bit_m: f64, depth_m: f64, cuts: Cuts) -> (f64, f64) {
    let pick = |row: &(f64, f64, f64, f64, f64)| match cuts {
        Cuts::Soft => (row.1, row.2),
        Cuts::Hard => (row.3, row.4),
    };
    let mut chip = pick(&CHIPS_M[0]);
    for pair in CHIPS_M.windows(2) {
        if let [a, b] = pair {
            let share = ((bit_m - a.0) / (b.0 - a.0)).clamp(0.0, 1.0);
            if bit_m >= a.0 {
                let (low, high) = (pick(a), pick(b));
                chip = (
                    low.0 + share * (high.0 - low.0),
                    low.1 + share * (high.1 - low.1),
                );
            }
        }
    }
    let deep = (depth_m / bit_m).clamp(1.0, 3.0);
    let kept = 1.0 - 0.25 * (deep - 1.0);
    (chip.0 * kept, chip.1 * kept)
}

/// Passes of `most_m` each through `thickness_m`.
pub fn passes(thickness_m: f64, most_m: f64) -> u32 {
    // Checked sizes: at most some hundred passes. A hair less than a whole pass more does not cost one.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let n = (thickness_m / most_m - 1e-9).ceil().clamp(1.0, 1e4) as u32;
    n
}

/// How a part is cut.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Method {
    /// Sawn 2 to 3 mm outside the line, then trimmed flush to a template with a bearing bit.
    SawnThenTrimmed,
    /// A hand-held plunge router along a template or trammel, in passes.
    HandPlunge,
    /// A machine.
    Machine {
        /// Deepest pass. [m]
        pass_m: f64,
    },
    /// A saw alone, along straight lines.
    Saw,
}

/// A cutter and how it runs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Cutter {
    /// Diameter; 1 to 25 mm. [m]
    pub bit_m: f64,
    /// Cutting edges, 1 to 4.
    pub flutes: u32,
    /// Turns in a second; 300 is 18 000 rpm. [1/s]
    pub turns_per_s: f64,
}

/// What it takes to cut one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cut {
    /// Passes.
    pub passes: u32,
    /// Depth of one pass. [m]
    pub pass_m: f64,
    /// Chip per tooth. [m]
    pub chip_m: f64,
    /// Feed. [m/s]
    pub feed_m_s: f64,
    /// Way of the cutter's centre in one pass. [m]
    pub path_m: f64,
    /// Way in all passes. [m]
    pub length_m: f64,
    /// Time at the feed, with a plunge for each pass of each contour; setting up is not in it. [s]
    pub time_s: f64,
    /// Clear distance that a layout keeps between parts. [m]
    pub spacing_m: f64,
    /// Cautions and limits.
    pub notes: Vec<Note>,
}

/// Sheet left between parts for clamps, where a hand-held router is plunged.
pub const HOLD_DOWN_M: Constant = Constant::practice("router.hold_down", [6e-3, 10e-3, 20e-3], "m");

/// Clear distance that a layout keeps between parts: the cutter and the sheet that holds the clamps, or the saw's kerf with
/// the rough allowance of both neighbours. [m]
///
/// ```
/// use mountwright::shape::router::{Cutter, Method, spacing_m};
/// let cutter = Cutter { bit_m: 0.00635, flutes: 2, turns_per_s: 300.0 };
/// assert!((spacing_m(Method::SawnThenTrimmed, cutter) - 0.0082).abs() < 1e-12);
/// assert!((spacing_m(Method::HandPlunge, cutter) - 0.01635).abs() < 1e-12);
/// ```
pub fn spacing_m(method: Method, cutter: Cutter) -> f64 {
    match method {
        Method::Machine { .. } => cutter.bit_m,
        Method::HandPlunge => cutter.bit_m + HOLD_DOWN_M.value,
        Method::SawnThenTrimmed => SAW_KERF_M.value + 2.0 * ROUGH_M.value,
        Method::Saw => SAW_KERF_M.value,
    }
}

/// What it takes to cut an outline out of sheet; drilled holes are left out of it ([`Blank::routed`](super::Blank::routed)).
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a tool or thickness that cannot be; [`crate::Error::Shape`] where the bit does not fit into a cutout; an inside corner that is tighter comes out round, and a note says so.
///
/// ```
/// use mountwright::outline::{Chain, Circle, Outline, Point};
/// use mountwright::shape::router::{Cuts, Cutter, Method, cut};
/// let circle = |r| Chain::circle(Circle { centre: Point::new(0.0, 0.0), radius_m: r });
/// let ring = Outline::new(circle(0.088), vec![circle(0.071)]);
/// let cutter = Cutter { bit_m: 0.00635, flutes: 2, turns_per_s: 300.0 };
/// let by_hand = cut(&ring, 0.0125, Method::HandPlunge, cutter, Cuts::Soft)?;
/// assert_eq!(by_hand.passes, 5);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn cut(
    outline: &Outline,
    thickness_m: f64,
    method: Method,
    cutter: Cutter,
    cuts: Cuts,
) -> Result<Cut> {
    limits::cut_thickness(thickness_m)?;
    check(
        "bit_m",
        cutter.bit_m,
        Range::new(1e-3, 0.025, "m"),
        "measure the bit",
    )?;
    check(
        "flutes",
        f64::from(cutter.flutes),
        Range::new(1.0, 4.0, "1"),
        "one or two cutting edges suit plastic",
    )?;
    check(
        "turns_per_s",
        cutter.turns_per_s,
        Range::new(10.0, 1000.0, "1/s"),
        "18 000 rpm are 300 turns in a second",
    )?;
    let bit = cutter.bit_m;
    let most = match method {
        Method::HandPlunge => HAND_PASS_M.value,
        Method::SawnThenTrimmed => TRIM_PASS_M.value,
        Method::Machine { pass_m } => check(
            "pass_m",
            pass_m,
            Range::computed(2e-4, 3.0 * bit, "m"),
            "a pass is at most three diameters deep",
        )?,
        Method::Saw => thickness_m,
    };
    let passes = passes(thickness_m, most);
    let pass_m = thickness_m / f64::from(passes);
    let (low, high) = chip_m(bit, pass_m, cuts);
    let wanted = f64::midpoint(low, high);
    let contours = 1 + outline.holes.len();
    let own = feed_m_s(cutter.flutes, wanted, cutter.turns_per_s);
    let mut notes = cautions(method);
    let rough = match method {
        Method::SawnThenTrimmed => outline.offset(ROUGH_M.value)?.edge_length_m(),
        _ => 0.0,
    };
    let (feed, path_m) = match method {
        Method::Machine { .. } => (own, outline.offset(bit / 2.0)?.edge_length_m()),
        Method::HandPlunge => (
            own.min(HAND_FEED_M_S.value),
            outline.offset(bit / 2.0)?.edge_length_m(),
        ),
        Method::SawnThenTrimmed => (
            own.min(HAND_FEED_M_S.value),
            outline.offset(bit / 2.0)?.edge_length_m() + rough,
        ),
        Method::Saw => (SAW_FEED_M_S.value, outline.outside.length_m()),
    };
    let chip = feed / (f64::from(cutter.flutes) * cutter.turns_per_s);
    if method != Method::Saw && chip < LEAST_CHIP_M.value {
        notes.push(Note::new(
            "chip",
            format!(
                "{:.3} mm a tooth rubs and melts: run slower than {:.0} rpm or take a bit with fewer edges",
                chip * 1e3,
                60.0 * feed / (f64::from(cutter.flutes) * LEAST_CHIP_M.value)
            ),
        ));
    }
    if method != Method::Saw {
        notes.extend(limits(outline, bit));
    } else if contours > 1 {
        notes.push(Note::new(
            "cutouts",
            "a saw alone cuts the outside; the cutouts are not in this time: drill into them and saw or rout them",
        ));
    }
    // The saw goes round once; only the routing is repeated.
    let length_m = rough + (path_m - rough) * f64::from(passes);
    Ok(Cut {
        passes,
        pass_m,
        chip_m: chip,
        feed_m_s: feed,
        path_m,
        length_m,
        time_s: length_m / feed + PLUNGE_S.value * f64::from(passes) * contours as f64,
        spacing_m: spacing_m(method, cutter),
        notes,
    })
}

/// Where the published chips end, and the corners that a bit leaves round.
fn limits(outline: &Outline, bit_m: f64) -> Vec<Note> {
    let mut notes = vec![];
    if let (Some(first), Some(last)) = (CHIPS_M.first(), CHIPS_M.last())
        && !(first.0 - 1e-9..=last.0 + 1e-9).contains(&bit_m)
    {
        notes.push(Note::new(
            "chip",
            format!(
                "chips are published for bits of {:.1} to {:.1} mm; this one has that of the nearest: try it on a scrap, slowly",
                first.0 * 1e3,
                last.0 * 1e3
            ),
        ));
    }
    if least_inside_corner_m(outline) < bit_m / 2.0 - 1e-9 {
        notes.push(Note::new(
            "inside corners",
            format!(
                "come out rounded by {:.1} mm, half of the bit: file them, or take a thinner bit",
                bit_m * 5e2
            ),
        ));
    }
    notes
}

fn cautions(method: Method) -> Vec<Note> {
    let mut notes = vec![Note::new(
        "caution",
        "eye and ear protection, dust mask, extraction at the bit; the data sheets of tool and sheet come first",
    )];
    if matches!(method, Method::HandPlunge | Method::SawnThenTrimmed) {
        notes.push(Note::new(
            "hand-held",
            "feed against the cutter: anticlockwise round an outside, clockwise inside a cutout; at most 3 mm a pass in solid sheet; clamp the part",
        ));
        notes.push(Note::new(
            "order",
            "cut holes and cutouts before the outside, while the sheet still holds the part",
        ));
    }
    notes
}
