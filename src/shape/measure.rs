//! The measure sheet of a kind of part: what to measure, with what, how well, and what is taken where nobody measured.

use serde::{Deserialize, Serialize};

use super::drawing::{Drawing, measure_sheet};
use crate::error::{Error, Result};
use crate::quantity::{System, said};

/// Kinds of parts that have a measure sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// A wrapped strap: pillar pods.
    Strap,
    /// An adapter ring.
    Ring,
    /// A trim panel with cutouts.
    Panel,
    /// A pod pressed over a plug.
    PressedPod,
    /// A panel folded along lines.
    FoldedPanel,
    /// A grille.
    Grille,
}

/// One line of a measure sheet. Spreads and defaults are common practice, no source.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Line {
    /// Key of the job file, where it has one.
    pub key: &'static str,
    /// What to measure.
    pub what: &'static str,
    /// With what.
    pub with: &'static str,
    /// How well, ± in the line's unit.
    pub plus_minus: f64,
    /// What is taken where nobody measured, in words; empty where it must be measured.
    pub default: &'static str,
    /// Unit of `plus_minus`: `mm`, `g`, `°`.
    pub unit: &'static str,
}

const fn line(
    key: &'static str,
    what: &'static str,
    with: &'static str,
    plus_minus: f64,
    unit: &'static str,
    default: &'static str,
) -> Line {
    Line {
        key,
        what,
        with,
        plus_minus,
        default,
        unit,
    }
}

#[rustfmt::skip] // a table reads as a table
const STRAP: [Line; 20] = [
    line("thickness", "thickness of the sheet, at three places", "calliper", 0.1, "mm", ""),
    line("body_diameter", "body across, without its bezel (oval: both ways; else a profile by card or gauge)", "calliper", 0.5, "mm", ""),
    line("body_mass", "body with its lead", "kitchen scale", 2.0, "g", "40 g"),
    line("body_length", "body along its own axis", "calliper", 0.5, "mm", "the strap's width"),
    line("bare_front", "dome and grille that must stay bare", "calliper", 0.5, "mm", "0 mm"),
    line("foam_thickness", "foam, pressed between two boards", "calliper", 0.5, "mm", "2 mm"),
    line("axis_height", "body's axis over the trim, held where it will sit", "rule and square", 1.0, "mm", ""),
    line("front_screw", "body's axis to the front screw, along the trim", "rule or tape", 1.0, "mm", ""),
    line("rear_screw", "body's axis to the rear screw, along the trim", "rule or tape", 1.0, "mm", ""),
    line("front_aside", "front screw aside of the body's middle", "rule", 1.0, "mm", "0 mm"),
    line("rear_aside", "rear screw aside of the body's middle", "rule", 1.0, "mm", "0 mm"),
    line("front_tilt", "face under the front tab against that under the body", "bevel gauge or telephone level", 2.0, "°", "0°"),
    line("rear_tilt", "face under the rear tab against that under the body", "bevel gauge or telephone level", 2.0, "°", "0°"),
    line("front_twist", "front face turned about the strap's run", "bevel gauge or telephone level", 2.0, "°", "0°"),
    line("rear_twist", "rear face turned about the strap's run", "bevel gauge or telephone level", 2.0, "°", "0°"),
    line("tab_length", "flat face at each screw", "rule", 1.0, "mm", "22 mm"),
    line("screw_diameter", "screws", "calliper", 0.1, "mm", "4 mm"),
    line("wire_width", "cable with its grommet", "calliper", 0.5, "mm", "leaves behind the trim"),
    line("", "dome to the far listener's ear: forward, left, up; left and right pod apart", "tape", 20.0, "mm", "parallel to the surface"),
    line("airbag", "air bag behind, beside or along this trim, its tether and path", "vehicle maker's instructions", 0.0, "", "unknown: nothing is planned"),
];

#[rustfmt::skip] // a table reads as a table
const RING: [Line; 16] = [
    line("width", "outside across: the vehicle's seat, both ways, or a tracing of it", "rule, tracing paper", 0.5, "mm", ""),
    line("cutout_width", "driver behind its flange, at its widest", "calliper", 0.5, "mm", ""),
    line("driver_bolt_circle", "driver's screws: across, hole to hole (four: 1.414 times neighbours)", "calliper", 0.3, "mm", ""),
    line("driver_screw", "driver's screws", "calliper", 0.1, "mm", "4 mm"),
    line("driver_flange", "driver's flange across", "calliper", 0.5, "mm", ""),
    line("driver_depth", "driver behind its flange, with terminals", "rule over a straight edge", 1.0, "mm", ""),
    line("driver_mass", "driver", "kitchen scale", 20.0, "g", "0.9 kg"),
    line("vehicle_bolt_circle", "vehicle's holes: across, hole to hole", "calliper or rubbing", 0.5, "mm", ""),
    line("vehicle_screw", "vehicle's screws or holes", "calliper", 0.1, "mm", "5 mm"),
    line("vehicle_turn", "first vehicle hole against the first driver hole", "protractor on a rubbing", 2.0, "°", "45°"),
    line("free_depth", "seat to the glass, fully down and fully up", "depth rule, modelling clay on the glass", 2.0, "mm", ""),
    line("", "magnet to wiring and steel behind it", "modelling clay", 2.0, "mm", "at least 10 mm and 5 mm"),
    line("", "driver's face to the back of the trim", "modelling clay", 2.0, "mm", "no collar is made"),
    line("", "cone's travel forwards, and to the grille", "driver's data sheet, rule", 0.5, "mm", "3 mm of room are kept"),
    line("depth", "depth of the stack that the driver needs", "worked out from the lines above", 0.5, "mm", ""),
    line("", "membrane and drains: where they are, how the membrane is fixed", "photograph", 0.0, "", "they stay as they are"),
];

#[rustfmt::skip] // a table reads as a table
const PANEL: [Line; 8] = [
    line("thickness", "thickness of the sheet, at three places", "calliper", 0.1, "mm", ""),
    line("width", "width over all", "rule or tape", 0.5, "mm", ""),
    line("height", "height over all", "rule or tape", 0.5, "mm", ""),
    line("corner_radius", "corners", "radius gauge or coins", 1.0, "mm", "15 mm"),
    line("", "each cutout: width, height, and its middle from the panel's middle", "rule", 0.5, "mm", ""),
    line("screw_diameter", "screws", "calliper", 0.1, "mm", "4 mm"),
    line("screw_edge", "screws to the edge", "rule", 0.5, "mm", "12 mm"),
    line("", "curve of the seat along both sides", "straight edge and feeler", 1.0, "mm", "flat"),
];

#[rustfmt::skip] // a table reads as a table
const PRESSED: [Line; 13] = [
    line("thickness", "thickness of the sheet, at three places", "calliper", 0.1, "mm", ""),
    line("width", "plug at its rim, both ways (a box: height too)", "calliper", 0.5, "mm", ""),
    line("crown_width", "plug at its crown, of a cone", "calliper", 0.5, "mm", ""),
    line("depth", "plug's height over its rim", "rule and square", 0.5, "mm", ""),
    line("corner_radius", "plug's least radius, of a box", "radius gauge", 0.5, "mm", "3 times the sheet"),
    line("clamp", "edge that the clamp needs", "rule", 1.0, "mm", "20 mm"),
    line("flange", "flat face round the pod that its flange may cover", "rule", 1.0, "mm", ""),
    line("screw_diameter", "screws", "calliper", 0.1, "mm", "4 mm"),
    line("body_diameter", "body across, without its bezel", "calliper", 0.5, "mm", ""),
    line("body_length", "body in its foam, along its axis", "calliper", 0.5, "mm", ""),
    line("body_mass", "body with its lead", "kitchen scale", 2.0, "g", "40 g"),
    line("foam_thickness", "foam, pressed between two boards", "calliper", 0.5, "mm", "2 mm"),
    line("airbag", "air bag behind, beside or along this trim, its tether and path", "vehicle maker's instructions", 0.0, "", "unknown: nothing is planned"),
];

#[rustfmt::skip] // a table reads as a table
const FOLDED: [Line; 8] = [
    line("thickness", "thickness of the sheet, at three places", "calliper", 0.1, "mm", ""),
    line("flanges", "each flange, outside to where the outer faces would meet", "rule", 0.5, "mm", ""),
    line("folds.angle", "each angle that the sheet turns through", "bevel gauge", 1.0, "°", "90°"),
    line("width", "length along the bend lines", "rule", 0.5, "mm", ""),
    line("folds.inside_radius", "inside radius of each bend", "radius gauge", 0.5, "mm", "3 times the sheet"),
    line("", "springback: bend a strip of the same sheet and let it cool", "protractor", 1.0, "°", "2°"),
    line("screw_diameter", "screws", "calliper", 0.1, "mm", "4 mm"),
    line("screw_edge", "screws to the free edge of the outer flanges", "rule", 0.5, "mm", "12 mm"),
];

#[rustfmt::skip] // a table reads as a table
const GRILLE: [Line; 10] = [
    line("thickness", "thickness of the trim ring's sheet, at three places", "calliper", 0.1, "mm", ""),
    line("retainer_thickness", "thickness of the retaining ring's sheet", "calliper", 0.1, "mm", ""),
    line("width", "outside across, both ways", "rule", 0.5, "mm", ""),
    line("opening_width", "opening across, both ways", "rule", 0.5, "mm", ""),
    line("mesh_thickness", "mesh", "calliper", 0.1, "mm", "1 mm"),
    line("mesh_mass", "mesh, or a piece of it scaled by its area", "kitchen scale", 2.0, "g", ""),
    line("lap", "mesh under the ring all round", "rule", 0.5, "mm", "8 mm"),
    line("cone_travel", "cone's greatest travel forwards", "driver's data sheet", 0.5, "mm", "not checked"),
    line("cone_to_trim", "cone at rest to the back of the trim ring", "rule over a straight edge", 0.5, "mm", "not checked"),
    line("", "thickness of the wrap, cloth or paint on an edge", "calliper on a wrapped strip", 0.1, "mm", "that of the finish"),
];

impl Kind {
    /// All kinds.
    pub const ALL: [Self; 6] = [
        Self::Strap,
        Self::Ring,
        Self::Panel,
        Self::PressedPod,
        Self::FoldedPanel,
        Self::Grille,
    ];

    /// Its name: `strap`, `ring`, `panel`, `pressed-pod`, `folded-panel`, `grille`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Strap => "strap",
            Self::Ring => "ring",
            Self::Panel => "panel",
            Self::PressedPod => "pressed-pod",
            Self::FoldedPanel => "folded-panel",
            Self::Grille => "grille",
        }
    }

    /// The kind with a name.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest names.
    pub fn named(name: &str) -> Result<Self> {
        Self::ALL
            .into_iter()
            .find(|k| k.name() == name)
            .ok_or_else(|| Error::unknown("kind of part", name, Self::ALL.map(Self::name)))
    }

    /// What to measure, in the order in which it is measured.
    ///
    /// ```
    /// use mountwright::shape::measure::Kind;
    /// let lines = Kind::Ring.lines();
    /// assert!(lines.iter().any(|l| l.key == "free_depth" && l.default.is_empty()));
    /// ```
    pub const fn lines(self) -> &'static [Line] {
        match self {
            Self::Strap => &STRAP,
            Self::Ring => &RING,
            Self::Panel => &PANEL,
            Self::PressedPod => &PRESSED,
            Self::FoldedPanel => &FOLDED,
            Self::Grille => &GRILLE,
        }
    }

    /// The sheet to print and fill in, in the shop's units.
    pub fn drawing(self, units: System) -> Drawing {
        measure_sheet(self.name(), self.lines(), units)
    }
}

impl Line {
    /// How well, for people: `± 0.5 mm`, `± 0.020 in`, empty where no figure is meant.
    pub fn spread(&self, units: System) -> String {
        match (self.plus_minus > 0.0, self.unit) {
            (false, _) => String::new(),
            (true, "°") => format!("± {}°", self.plus_minus),
            (true, unit) => said(&format!("± {} {unit}", self.plus_minus), units),
        }
    }

    /// What is taken where nobody measured, for people; empty where it must be measured.
    pub fn usual(&self, units: System) -> String {
        said(self.default, units)
    }
}
