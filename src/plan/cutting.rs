//! How the shop cuts: the method by tool and thickness, and what follows from it: time, wear, words, room in the layout.

use super::part::Run;
use super::practice;
use crate::error::{Note, Result};
use crate::shape::Blank;
use crate::shape::router::{self, Cuts, Cutter, Method};
use crate::shop::{CutBy, Shop};

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

impl Run<'_, '_> {
    /// Routing or sawing `length_m` of sheet, in passes. [s]
    pub(super) fn cutting_s(&self, length_m: f64, thickness_m: f64) -> f64 {
        let cutting = &self.setup.shop.shop.cutting;
        let passes = (thickness_m / cutting.pass_depth.si()).ceil().max(1.0);
        passes * length_m / cutting.feed.si()
    }

    /// Bits or blades worn by `length_m` of cut.
    pub(super) fn wear(&mut self, length_m: f64, thickness_m: f64) -> Result<()> {
        let cutting = &self.setup.shop.shop.cutting;
        let passes = (thickness_m / cutting.pass_depth.si()).ceil().max(1.0);
        let rate = cutting.cutter_price / cutting.cutter_life.si();
        self.consumes("bits and blades", length_m * passes, "m", rate)
    }

    /// Says on a blank how it is cut with the shop's tool, at the likeliest inputs.
    pub(super) fn say_routing(&self, blank: &mut Blank, material: &str) {
        if !self.values.is_nominal() {
            return;
        }
        let shop = &self.setup.shop.shop;
        let (method, cutter) = (method(shop, blank.thickness_m), cutter(shop));
        let hard = ["pmma", "hips"];
        let cuts = if hard.iter().any(|h| material.contains(h)) {
            Cuts::Hard
        } else {
            Cuts::Soft
        };
        let how = match method {
            Method::SawnThenTrimmed => {
                "saw 2 to 3 mm outside the line, then trim flush to the template"
            }
            Method::HandPlunge => "by hand along a template",
            Method::Machine { .. } => "by machine",
            Method::Saw => "sawn",
        };
        let text = match router::cut(&blank.routed(), blank.thickness_m, method, cutter, cuts) {
            Ok(cut) => format!(
                "{how}: {} of {:.1} mm, {:.1} m/min ({:.3} mm a tooth with 2 edges at 18 000 rpm), {:.1} m of way",
                if cut.passes == 1 {
                    "1 pass".to_string()
                } else {
                    format!("{} passes", cut.passes)
                },
                cut.pass_m * 1e3,
                cut.feed_m_s * 60.0,
                cut.chip_m * 1e3,
                cut.length_m
            ),
            Err(error) => format!("{how}: {error}"),
        };
        blank.notes.push(Note::new("routing", text));
    }
}
