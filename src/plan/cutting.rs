//! How the shop cuts: the method by tool and thickness, and what follows from it: time, wear, words, room in the layout.

use super::part::{Beside, Run};
use super::practice;
use super::setup::Setup;
use crate::error::{Note, Result};
use crate::outline::as_circle;
use crate::shape::router::{self, Cuts, Cutter, HAND_PASS_M, LEAST_CHIP_M, Method, TRIM_PASS_M};
use crate::shape::template::{self, Guide};
use crate::shape::{Blank, Contour, Mark};
use crate::shop::{CutBy, Shop};
use crate::stock::Hold;
use crate::stock::Method::Cnc;

/// How sheet of a thickness is cut.
pub(super) fn method(shop: &Shop, thickness_m: f64) -> Method {
    match shop.cutting.by {
        CutBy::HandRouter if thickness_m >= practice::THICK.value => Method::SawnThenTrimmed,
        CutBy::HandRouter => Method::HandPlunge,
        CutBy::Saw => Method::Saw,
        CutBy::Cnc => Method::Machine {
            pass_m: shop.cutting.pass_depth.si(),
        },
    }
}

/// What guides a hand that cuts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Along {
    /// A router template, which is drawn beside the blank.
    Template,
    /// The line alone, scribed round a card or the drawing.
    Line,
}

/// What the notes are about that say how openings and a recess are cut.
pub(super) const OPENINGS: &str = "openings";
pub(super) const RECESS: &str = "recess";

/// The shop's cutter: as wide as its kerf, two edges at 18 000 rpm.
pub(super) fn cutter(shop: &Shop) -> Cutter {
    Cutter {
        bit_m: shop.cutting.kerf.si(),
        flutes: 2,
        turns_per_s: practice::SPINDLE.value,
    }
}

/// Clear distance between parts in a layout of sheet of a thickness: it follows from how they are cut. [m]
pub(super) fn spacing_m(shop: &Shop, thickness_m: f64) -> f64 {
    match method(shop, thickness_m) {
        // The shop's own blade.
        Method::Saw => shop.cutting.kerf.si(),
        other => router::spacing_m(other, cutter(shop)),
    }
}

/// Passes of the router down to the floor of a recess: nothing saws one, and a trim has no strip there to take off.
fn recess_passes(shop: &Shop, depth_m: f64) -> u32 {
    let own_m = shop.cutting.pass_depth.si();
    match shop.cutting.by {
        CutBy::Cnc => router::passes(depth_m, own_m),
        CutBy::HandRouter | CutBy::Saw => router::passes(depth_m, own_m.min(HAND_PASS_M.value)),
    }
}

/// Passes through sheet of a thickness: of the router, or of the trim after the saw.
fn passes(shop: &Shop, thickness_m: f64) -> u32 {
    let own_m = shop.cutting.pass_depth.si();
    match method(shop, thickness_m) {
        Method::Saw => 1,
        Method::SawnThenTrimmed => router::passes(thickness_m, TRIM_PASS_M.value),
        Method::HandPlunge => router::passes(thickness_m, own_m.min(HAND_PASS_M.value)),
        Method::Machine { .. } => router::passes(thickness_m, own_m),
    }
}

/// Way of the tool along edges of `length_m`: every pass, and the saw before a trim. [m]
fn way_m(shop: &Shop, length_m: f64, thickness_m: f64) -> f64 {
    let sawn = match method(shop, thickness_m) {
        Method::SawnThenTrimmed => 1.0,
        _ => 0.0,
    };
    (sawn + f64::from(passes(shop, thickness_m))) * length_m
}

/// The router template of a blank for the shop's guide: its bushing, else a bit with a bearing.
pub(super) fn router_template(setup: &Setup, blank: &Blank) -> Result<Beside> {
    let cutting = &setup.shop.shop.cutting;
    let bit_m = cutting.kerf.si();
    let guide = match cutting.bushing {
        Some(bushing) => Guide::Bushing {
            bushing_m: bushing.si(),
            bit_m,
        },
        None => Guide::Bearing { bit_m },
    };
    Ok(Beside {
        kind: "template",
        blank: template::router(blank, guide)?,
    })
}

impl Run<'_, '_> {
    /// Routing or sawing edges of `length_m`, in passes. [s]
    pub(super) fn cutting_s(&self, length_m: f64, thickness_m: f64) -> f64 {
        let shop = &self.setup.shop.shop;
        way_m(shop, length_m, thickness_m) / shop.cutting.feed.si()
    }

    /// Routing a recess once round, in passes. [s]
    pub(super) fn recess_s(&self, length_m: f64, depth_m: f64) -> f64 {
        let shop = &self.setup.shop.shop;
        f64::from(recess_passes(shop, depth_m)) * length_m / shop.cutting.feed.si()
    }

    /// Bits or blades worn by edges of `length_m`, and the energy that it takes.
    pub(super) fn wear(&mut self, length_m: f64, thickness_m: f64) -> Result<()> {
        let shop = &self.setup.shop.shop;
        let rate = shop.cutting.cutter_price / shop.cutting.cutter_life.si();
        let way_m = way_m(shop, length_m, thickness_m);
        let cutting_s = way_m / shop.cutting.feed.si();
        self.energy(practice::CUTTER_POWER.value, cutting_s)?;
        self.consumes("bits and blades", way_m, "m", rate)
    }

    /// Says on a blank how it is cut with the shop's tool, at the likeliest inputs.
    pub(super) fn say_routing(&self, blank: &mut Blank, material: &str, along: Along) {
        if !self.values.is_nominal() {
            return;
        }
        let shop = &self.setup.shop.shop;
        let t = blank.thickness_m;
        let (method, cutter) = (method(shop, t), cutter(shop));
        let how = match (method, along) {
            (Method::SawnThenTrimmed, Along::Template) => {
                "saw 2 to 3 mm outside the line, then trim flush to the router template"
            }
            (Method::SawnThenTrimmed, Along::Line) => {
                "saw 2 to 3 mm outside the scribed line, then trim and file to it"
            }
            (Method::HandPlunge, Along::Template) => {
                "rout by hand, the guide against the router template"
            }
            (Method::HandPlunge, Along::Line) if as_circle(&blank.outline.outside).is_some() => {
                "rout freehand just outside the scribed line, then file to it"
            }
            (Method::HandPlunge, Along::Line) => {
                "rout along a straight edge clamped on the scribed line, curves freehand outside it, then file"
            }
            (Method::Machine { .. }, _) => by_machine(blank),
            (Method::Saw, _) => "saw to the line",
        };
        let cuts = cuts(material);
        let text = match router::cut(&blank.routed(), t, method, cutter, cuts) {
            Ok(_) => {
                let times = passes(shop, t);
                format!(
                    "{how}: {}, {}, {:.1} m of way",
                    in_passes(times, t),
                    feed(shop, method, t / f64::from(times), cuts),
                    way_m(shop, blank.cut_length_m, t)
                )
            }
            Err(error) => format!("{how}: {error}"),
        };
        blank.notes.push(Note::new("routing", text));
        let recess = blank.marks.iter().find_map(|mark| match mark {
            Mark::Contour {
                what: Contour::Recess,
                depth_m,
                ..
            } => Some(*depth_m),
            _ => None,
        });
        if let Some(start) = start_hole(blank, method) {
            blank.notes.push(Note::new(OPENINGS, start));
        }
        if let Some(depth_m) = recess {
            let guided = match shop.cutting.by {
                CutBy::Cnc => "by machine",
                CutBy::HandRouter | CutBy::Saw => {
                    "the router's guide against the recess's own template, turned over"
                }
            };
            let text = format!(
                "first, while the opening is still whole and carries the router: from the back, {guided}, from its edge inwards past the line of the opening, {}",
                in_passes(recess_passes(shop, depth_m), depth_m)
            );
            blank.notes.push(Note::new(RECESS, text));
        }
    }
}

/// Passes and how deep each goes: every pass takes off as much.
fn in_passes(times: u32, depth_m: f64) -> String {
    let depth_mm = depth_m * 1e3;
    match times {
        1 => format!("1 pass, {depth_mm:.1} mm deep"),
        _ => format!(
            "{times} passes, each {:.1} mm deeper than the last",
            depth_mm / f64::from(times)
        ),
    }
}

/// Where saw or bit enters an opening. What falls out may be kept, so that its middle stays whole.
fn start_hole(blank: &Blank, method: Method) -> Option<&'static str> {
    if blank.routed().holes.is_empty() {
        return None;
    }
    match method {
        Method::SawnThenTrimmed => Some(
            "before the outside; a start hole as wide as the saw blade just inside the line, not in the middle; saw 2 to 3 mm inside the line, then trim",
        ),
        Method::HandPlunge => Some(
            "before the outside; start just inside the line, not in the middle: plunge there, or drill a start hole wider than the bit",
        ),
        Method::Saw => Some(
            "before the outside; a start hole as wide as the saw blade just inside the line, not in the middle",
        ),
        // It lowers its own bit.
        Method::Machine { .. } => None,
    }
}

/// By machine; what is too small for the table's hold hangs by tabs.
fn by_machine(blank: &Blank) -> &'static str {
    let (width_m, height_m) = blank.outline.size_m();
    let holes = &blank.routed().holes;
    let small_piece = holes.iter().any(|hole| {
        let (l, b, r, t) = hole.bounds_m();
        Cnc.hold(r - l, t - b) == Hold::Tabs
    });
    if Cnc.hold(width_m, height_m) == Hold::Tabs {
        "by machine; it is small and would fly: leave four tabs 5 mm wide and 0.5 mm thick, or a skin of 0.3 mm all round, and trim them by hand"
    } else if small_piece {
        "by machine; what falls out of an opening would fly: leave three tabs 5 mm wide and 0.5 mm thick there, or a skin of 0.3 mm, and trim them by hand"
    } else {
        "by machine"
    }
}

/// The shop's feed and what it makes of the chip, against what suits the bit.
fn feed(shop: &Shop, method: Method, pass_m: f64, cuts: Cuts) -> String {
    let (feed_m_s, cutter) = (shop.cutting.feed.si(), cutter(shop));
    if method == Method::Saw {
        return format!("{:.1} m/min", feed_m_s * 60.0);
    }
    let chip_m = feed_m_s / router::feed_m_s(cutter.flutes, 1.0, cutter.turns_per_s);
    let own = format!(
        "{:.1} m/min ({:.3} mm a tooth with 2 edges at 18 000 rpm",
        feed_m_s * 60.0,
        chip_m * 1e3
    );
    let (low_m, high_m) = router::chip_m(cutter.bit_m, pass_m, cuts);
    let by_machine = matches!(method, Method::Machine { .. });
    if chip_m < LEAST_CHIP_M.value {
        format!("{own}, which rubs and melts: feed faster or run slower)")
    } else if by_machine && !(low_m..=high_m).contains(&chip_m) {
        let suits = |chip_m| router::feed_m_s(cutter.flutes, chip_m, cutter.turns_per_s) * 60.0;
        format!(
            "{own}; the bit's chart gives {:.1} to {:.1} m/min)",
            suits(low_m),
            suits(high_m)
        )
    } else {
        format!("{own})")
    }
}

/// How a plastic cuts.
fn cuts(material: &str) -> Cuts {
    let hard = ["pmma", "hips"];
    if hard.iter().any(|h| material.contains(h)) {
        Cuts::Hard
    } else {
        Cuts::Soft
    }
}
