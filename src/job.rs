//! The job file: which places of the vehicle, which parts, what was measured.

mod traces;

use std::collections::BTreeMap;
use std::path::Path;

use jiff::civil::{Date, DateTime};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cost::Binding;
use crate::error::{Error, Problem, Result};
use crate::file::{self, Angle, Length, Mass, Names, Share, Source, Temperature, Time};
use crate::finish::{Kind as Finish, Shade};
use crate::mount::airbag::Answer;
use crate::mount::place::{Climate as Sun, Zone};
use crate::mount::steel::ToSteel;
use crate::outline::Outline;
use crate::quantity::System;
use crate::shape::drawing::Page;
use crate::shape::seal::SteelFixing;
use crate::shape::{Faces, Grain, Hand};

/// What lies behind a part while one face is heated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Behind {
    /// Open air.
    OpenAir,
    /// A wooden board.
    Board,
    /// The same hot air on the other face.
    SameHeat,
}

/// What a heated part is pressed on and held against until it sets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FormedOn {
    /// A turned plug, a cap or a dead unit of the same size, in wood or plastic.
    Plug,
    /// The real part behind its foam.
    RealPart,
    /// Free in the hands.
    Hands,
}

/// Where the template of a part is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Template {
    /// It has to be made.
    #[default]
    Make,
    /// It hangs on the shelf from an earlier job.
    OnShelf,
    /// It was made once and cannot be found: it is made again, and the plan says what that costs.
    Lost,
}

/// How soft the sheet must be.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Need {
    /// It bends under its own weight: enough for a strap or a fold.
    Limp,
    /// It stretches over a plug.
    Formable,
}

/// A place on the vehicle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Place {
    /// What the shop calls it: "left pillar".
    pub name: String,
    /// Where in the cabin it is.
    pub zone: Zone,
    /// Whether an air bag, its tether or its path is there. Yes or unknown: nothing is planned for the place.
    pub airbag: Answer,
    /// Whether a part there stands in the driver's view. Yes or unknown: nothing is planned for the place.
    pub driver_view: Answer,
    /// Clips of the trim that is taken off there; some of them break.
    #[schemars(range(min = 0, max = 200))]
    pub trim_clips: Option<u32>,
}

/// A strap pressed round a round body and screwed down by a tab at each end: the pillar pod.
///
/// Seen from the show face; its ends are called front (towards the windscreen) and rear.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Strap {
    /// What the shop calls it: "left pod".
    pub name: String,
    /// The place where it goes, one of `places`.
    #[schemars(extend("format" = "place"))]
    pub place: String,
    /// Left, right or either; never assumed symmetric.
    pub hand: Hand,
    /// The sheet that it is cut from.
    #[schemars(extend("format" = "material"))]
    pub material: String,
    /// The sheet that it is cut from, by its name or its lot in the shop's file; any sheet that fits where nothing is said.
    pub sheet: Option<String>,
    /// Thickness of the sheet, as measured.
    #[schemars(extend("least" = "0.5 mm", "most" = "12 mm"))]
    pub thickness: Length,
    /// Outside diameter of the body that is held (the tweeter's shell).
    #[schemars(extend("least" = "10 mm", "most" = "120 mm"))]
    pub body_diameter: Length,
    /// Mass of the body with its lead.
    #[schemars(extend("least" = "1 g", "most" = "2 kg"))]
    pub body_mass: Mass,
    /// Highest temperature that the body's face may see while the hot sheet is pressed on it.
    #[schemars(extend("least" = "40 °C", "most" = "150 °C"))]
    pub body_limit: Option<Temperature>,
    /// The foam between body and strap.
    #[schemars(extend("format" = "foam"))]
    pub foam: String,
    /// Thickness of the foam, pressed.
    #[schemars(extend("least" = "0.5 mm", "most" = "12 mm"))]
    pub foam_thickness: Length,
    /// Height of the body's axis over the surface on which the tabs lie.
    #[schemars(extend("least" = "5 mm", "most" = "150 mm"))]
    pub axis_height: Length,
    /// Distance from the body's axis to the front screw point, along the surface; the front end points to the windscreen.
    #[schemars(extend("least" = "15 mm", "most" = "300 mm"))]
    pub front_screw: Length,
    /// Distance from the body's axis to the rear screw point, along the surface.
    #[schemars(extend("least" = "15 mm", "most" = "300 mm"))]
    pub rear_screw: Length,
    /// Inside radius of the bends at the feet.
    #[schemars(extend("least" = "0.5 mm", "most" = "60 mm"))]
    pub foot_radius: Length,
    /// Width of the strap over the body.
    #[schemars(extend("least" = "8 mm", "most" = "150 mm"))]
    pub middle_width: Length,
    /// Width at the ends of the tabs.
    #[schemars(extend("least" = "8 mm", "most" = "150 mm"))]
    pub end_width: Length,
    /// Length of the flat tab beyond each foot; its screw sits in the middle.
    #[schemars(extend("least" = "8 mm", "most" = "100 mm"))]
    pub tab_length: Length,
    /// Nominal diameter of the screws.
    #[schemars(extend("least" = "2 mm", "most" = "8 mm"))]
    pub screw_diameter: Length,
    /// How soft the sheet must be; limp where nothing is said.
    pub need: Option<Need>,
    /// What lies behind the strap while it is heated.
    pub behind: Behind,
    /// Time between turns, where the strap is turned over while it is heated.
    #[schemars(extend("least" = "2 s", "most" = "300 s"))]
    pub turn_every: Option<Time>,
    /// Distance from the nozzle to the sheet.
    #[schemars(extend("least" = "20 mm", "most" = "400 mm"))]
    pub gun_distance: Length,
    /// What it is pressed on and held against; a plug where nothing is said.
    pub formed_on: Option<FormedOn>,
    /// How it is finished.
    pub finish: Finish,
    /// How dark the finish is; dark where nothing is said.
    pub shade: Option<Shade>,
    /// Faces of the sheet: a one-sided blank may be turned in the layout, never flipped; alike where nothing is said.
    pub faces: Option<Faces>,
    /// Direction that the blank must follow in the sheet; free where nothing is said.
    pub grain: Option<Grain>,
    /// Height of an oval body off the surface; its diameter is then its width along the strap.
    #[schemars(extend("least" = "10 mm", "most" = "120 mm"))]
    pub body_height: Option<Length>,
    /// A drawing (.dxf or .svg, from the folder of this file) of the body's section, where it is neither round nor oval.
    pub body_file: Option<String>,
    /// Length of the body along its own axis.
    #[schemars(extend("least" = "5 mm", "most" = "200 mm"))]
    pub body_length: Option<Length>,
    /// Length of the body at its front that stays bare: dome and grille.
    #[schemars(extend("least" = "0 mm", "most" = "100 mm"))]
    pub bare_front: Option<Length>,
    /// How far the front screw lies aside of the body's middle, upwards in the drawing.
    #[schemars(extend("least" = "-150 mm", "most" = "150 mm"))]
    pub front_aside: Option<Length>,
    /// How far the rear screw lies aside of the body's middle, upwards in the drawing.
    #[schemars(extend("least" = "-150 mm", "most" = "150 mm"))]
    pub rear_aside: Option<Length>,
    /// How far the face under the front tab falls away outwards; negative rises.
    #[schemars(extend("least" = "-50°", "most" = "50°"))]
    pub front_tilt: Option<Angle>,
    /// How far the face under the rear tab falls away outwards; negative rises.
    #[schemars(extend("least" = "-50°", "most" = "50°"))]
    pub rear_tilt: Option<Angle>,
    /// How far the face under the front tab is turned about the strap's run.
    #[schemars(extend("least" = "-45°", "most" = "45°"))]
    pub front_twist: Option<Angle>,
    /// How far the face under the rear tab is turned about the strap's run.
    #[schemars(extend("least" = "-45°", "most" = "45°"))]
    pub rear_twist: Option<Angle>,
    /// What the trial fit showed: cut off the front leg; negative where it was too short.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub front_cut: Option<Length>,
    /// What the trial fit showed: cut off the rear leg; negative where it was too short.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub rear_cut: Option<Length>,
    /// Width of a notch for the cable in the lower edge of the strap.
    #[schemars(extend("least" = "1 mm", "most" = "30 mm"))]
    pub wire_width: Option<Length>,
    /// Where that notch lies along the strap from the body's middle, towards the front.
    #[schemars(extend("least" = "-100 mm", "most" = "100 mm"))]
    pub wire_forward: Option<Length>,
    /// Lift of the body's axis off the surface by a wedge under each tab.
    #[schemars(extend("least" = "0.5°", "most" = "45°"))]
    pub lift: Option<Angle>,
    /// Where its template is; it has to be made where nothing is said.
    #[serde(default)]
    pub template: Template,
}

/// What the driver's screws go into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum DriverFixing {
    /// Their thread cuts into the ring.
    Thread,
    /// Nuts, clip nuts or rivet nuts behind the ring's front layer.
    Nuts,
}

/// The outside of a ring or panel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum OutlineShape {
    /// A circle of diameter `width`.
    Circle,
    /// An ellipse, `width` by `height`.
    Ellipse,
    /// Two half circles joined by straight sides, `width` by `height`.
    Stadium,
    /// A rectangle with corners of `corner_radius`.
    RoundedRectangle,
    /// A regular polygon of `corners` corners in a circle of diameter `width`.
    Polygon,
    /// The contour of the drawing `outline_file`; `width` and `height`, as measured, must agree with it.
    Traced,
}

/// Unit of a drawing that states none.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum OutlineUnit {
    /// Millimetres.
    Millimetre,
    /// Inches.
    Inch,
}

/// An adapter ring: sheet between a driver and the vehicle, stacked to the depth that the driver needs.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Ring {
    /// What the shop calls it: "front door ring".
    pub name: String,
    /// The places where it goes, one of `places` each; as many rings are made.
    #[schemars(extend("items" = {"type": "string", "format": "place"}), length(min = 1, max = 20))]
    pub places: Vec<String>,
    /// Left, right or either.
    pub hand: Hand,
    /// The sheet that it is cut from.
    #[schemars(extend("format" = "material"))]
    pub material: String,
    /// The sheet that it is cut from, by its name or its lot in the shop's file; any sheet that fits where nothing is said.
    pub sheet: Option<String>,
    /// Shape of the outside.
    pub outline: OutlineShape,
    /// Width of the outside, or its diameter.
    #[schemars(extend("least" = "30 mm", "most" = "800 mm"))]
    pub width: Length,
    /// Height of the outside, where it differs from its width.
    #[schemars(extend("least" = "30 mm", "most" = "800 mm"))]
    pub height: Option<Length>,
    /// Radius of the corners of a rounded rectangle.
    #[schemars(extend("least" = "0 mm", "most" = "400 mm"))]
    pub corner_radius: Option<Length>,
    /// Corners of a polygon.
    #[schemars(range(min = 3, max = 24))]
    pub corners: Option<u32>,
    /// A drawing of a traced outside (.dxf or .svg, from the folder of this file). The middle of its largest opening, else of its outside, becomes the ring's centre.
    pub outline_file: Option<String>,
    /// Unit of that drawing, where it states none.
    pub outline_unit: Option<OutlineUnit>,
    /// Width of the cutout, or its diameter.
    #[schemars(extend("least" = "15 mm", "most" = "600 mm"))]
    pub cutout_width: Length,
    /// Height of an oval cutout.
    #[schemars(extend("least" = "15 mm", "most" = "600 mm"))]
    pub cutout_height: Option<Length>,
    /// Diameter of the circle of the driver's screws.
    #[schemars(extend("least" = "20 mm", "most" = "700 mm"))]
    pub driver_bolt_circle: Length,
    /// Number of the driver's screws.
    #[schemars(range(min = 2, max = 16))]
    pub driver_bolts: u32,
    /// Distance between the driver's holes across, where they sit at the corners of a rectangle (oval drivers).
    #[schemars(extend("least" = "20 mm", "most" = "500 mm"))]
    pub driver_holes_width: Option<Length>,
    /// Distance between the driver's holes upwards, where they sit at the corners of a rectangle.
    #[schemars(extend("least" = "20 mm", "most" = "500 mm"))]
    pub driver_holes_height: Option<Length>,
    /// Diameter of the driver's screws.
    #[schemars(extend("least" = "2 mm", "most" = "8 mm"))]
    pub driver_screw: Length,
    /// What the driver's screws go into; the ring itself where nothing is said.
    pub driver_fixing: Option<DriverFixing>,
    /// Diameter of the circle of the screws to the vehicle.
    #[schemars(extend("least" = "20 mm", "most" = "780 mm"))]
    pub vehicle_bolt_circle: Length,
    /// Number of the screws to the vehicle.
    #[schemars(range(min = 2, max = 16))]
    pub vehicle_bolts: u32,
    /// Diameter of the screws to the vehicle.
    #[schemars(extend("least" = "2 mm", "most" = "8 mm"))]
    pub vehicle_screw: Length,
    /// Turn of the first vehicle screw from the first driver screw, about the centre.
    #[schemars(extend("least" = "-180°", "most" = "180°"))]
    pub vehicle_turn: Option<Angle>,
    /// Depth of the finished stack.
    #[schemars(extend("least" = "2 mm", "most" = "150 mm"))]
    pub depth: Length,
    /// Depth of the driver behind its flange.
    #[schemars(extend("least" = "5 mm", "most" = "250 mm"))]
    pub driver_depth: Length,
    /// Diameter of the driver's flange, which must cover the cutout.
    #[schemars(extend("least" = "20 mm", "most" = "700 mm"))]
    pub driver_flange: Length,
    /// Free depth behind the mounting face of the vehicle, to the glass when it is fully down.
    #[schemars(extend("least" = "5 mm", "most" = "400 mm"))]
    pub free_depth: Length,
    /// Diameter of the driver's basket just behind its flange.
    #[schemars(extend("least" = "10 mm", "most" = "600 mm"))]
    pub basket: Option<Length>,
    /// Least gap from the magnet to wiring.
    #[schemars(extend("least" = "0 mm", "most" = "400 mm"))]
    pub magnet_to_wiring: Option<Length>,
    /// Least gap from the magnet to steel.
    #[schemars(extend("least" = "0 mm", "most" = "400 mm"))]
    pub magnet_to_steel: Option<Length>,
    /// Least gap round the driver's terminals, connectors on.
    #[schemars(extend("least" = "0 mm", "most" = "400 mm"))]
    pub terminal_gap: Option<Length>,
    /// Travel of the cone and its surround above the flange; with `grille_gap`.
    #[schemars(extend("least" = "0 mm", "most" = "60 mm"))]
    pub cone_travel: Option<Length>,
    /// From the flange to the grille or trim.
    #[schemars(extend("least" = "0 mm", "most" = "200 mm"))]
    pub grille_gap: Option<Length>,
    /// Mass of the driver.
    #[schemars(extend("least" = "10 g", "most" = "10 kg"))]
    pub driver_mass: Mass,
    /// How it sits on the steel of a door.
    pub steel: Option<Steel>,
    /// How it is finished.
    pub finish: Finish,
    /// How dark the finish is; dark where nothing is said.
    pub shade: Option<Shade>,
    /// Faces of the sheet: a one-sided blank may be turned in the layout, never flipped; alike where nothing is said.
    pub faces: Option<Faces>,
    /// Direction that the blank must follow in the sheet; free where nothing is said.
    pub grain: Option<Grain>,
    /// Height of a chamfer of 45° behind the cone, from the vehicle's face.
    #[schemars(extend("least" = "0 mm", "most" = "60 mm"))]
    pub chamfer: Option<Length>,
    /// Bevel of the upper outer edge of the driver's face, that sheds water.
    #[schemars(extend("least" = "0 mm", "most" = "20 mm"))]
    pub bevel: Option<Length>,
    /// Diameter of a countersink for the heads of the vehicle's screws, in the driver's face.
    #[schemars(extend("least" = "3 mm", "most" = "25 mm"))]
    pub vehicle_countersink: Option<Length>,
    /// Outside diameter of threaded inserts for the driver's screws.
    #[schemars(extend("least" = "3 mm", "most" = "15 mm"))]
    pub insert_diameter: Option<Length>,
    /// Length of those inserts.
    #[schemars(extend("least" = "2 mm", "most" = "30 mm"))]
    pub insert_length: Option<Length>,
    /// What takes the ring's screws in the vehicle's steel.
    pub fixing: Option<SteelFixing>,
    /// Thickness of the closed-cell foam for gaskets on both faces, before it is pressed.
    #[schemars(extend("least" = "1 mm", "most" = "20 mm"))]
    pub gasket: Option<Length>,
    /// Distance from the driver's face to the back of the trim, where a foam collar closes it.
    #[schemars(extend("least" = "1 mm", "most" = "100 mm"))]
    pub trim_gap: Option<Length>,
    /// Where its template is; it has to be made where nothing is said.
    #[serde(default)]
    pub template: Template,
}

/// How a ring sits on the steel of a door.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Steel {
    /// What its screws go into.
    pub fixing: ToSteel,
    /// Thickness of the steel.
    #[schemars(extend("least" = "0.3 mm", "most" = "10 mm"))]
    pub panel: Length,
    /// From the centre of a hole to the nearest edge of the steel.
    #[schemars(extend("least" = "0 mm", "most" = "500 mm"))]
    pub hole_edge: Option<Length>,
    /// Free room behind the steel at the screws, glass fully down and up.
    #[schemars(extend("least" = "0 mm", "most" = "400 mm"))]
    pub behind: Option<Length>,
    /// Gasket between ring and steel.
    pub gasket_to_steel: Option<GasketStrip>,
    /// Gasket between ring and driver.
    pub gasket_to_driver: Option<GasketStrip>,
    /// Foam collar from the driver to the trim.
    pub collar_to_trim: Option<GasketStrip>,
    /// Whether a bevel or lip on top of the ring sheds water.
    pub sheds_water: bool,
}

/// A strip of closed-cell foam between two faces.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct GasketStrip {
    /// Its thickness, free.
    #[schemars(extend("least" = "0.5 mm", "most" = "100 mm"))]
    pub free: Length,
    /// Its thickness with everything screwed home.
    #[schemars(extend("least" = "0 mm", "most" = "100 mm"))]
    pub pressed: Length,
}

/// An opening of a panel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cutout {
    /// Its shape.
    pub outline: OutlineShape,
    /// Its width, or its diameter.
    #[schemars(extend("least" = "2 mm", "most" = "1500 mm"))]
    pub width: Length,
    /// Its height, where it differs from its width.
    #[schemars(extend("least" = "2 mm", "most" = "1500 mm"))]
    pub height: Option<Length>,
    /// Radius of the corners of a rounded rectangle.
    #[schemars(extend("least" = "0 mm", "most" = "400 mm"))]
    pub corner_radius: Option<Length>,
    /// Its centre, to the right of the panel's centre, seen from the show face.
    #[schemars(extend("least" = "-1500 mm", "most" = "1500 mm"))]
    pub right: Length,
    /// Its centre, above the panel's centre.
    #[schemars(extend("least" = "-1500 mm", "most" = "1500 mm"))]
    pub up: Length,
}

/// A flat trim panel with cutouts.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Panel {
    /// What the shop calls it: "kick panel".
    pub name: String,
    /// The place where it goes, one of `places`.
    #[schemars(extend("format" = "place"))]
    pub place: String,
    /// Left, right or either.
    pub hand: Hand,
    /// The sheet that it is cut from.
    #[schemars(extend("format" = "material"))]
    pub material: String,
    /// The sheet that it is cut from, by its name or its lot in the shop's file; any sheet that fits where nothing is said.
    pub sheet: Option<String>,
    /// Thickness of the sheet, as measured.
    #[schemars(extend("least" = "0.5 mm", "most" = "25 mm"))]
    pub thickness: Length,
    /// Width over all.
    #[schemars(extend("least" = "20 mm", "most" = "2000 mm"))]
    pub width: Length,
    /// Height over all.
    #[schemars(extend("least" = "20 mm", "most" = "2000 mm"))]
    pub height: Length,
    /// Radius of its corners; left out where its outline is traced.
    #[schemars(extend("least" = "0 mm", "most" = "400 mm"))]
    pub corner_radius: Option<Length>,
    /// A drawing of a traced outline with its openings (.dxf or .svg, from the folder of this file); its width and height must agree with those measured.
    pub outline_file: Option<String>,
    /// Unit of that drawing, where it states none.
    pub outline_unit: Option<OutlineUnit>,
    /// Its openings.
    #[serde(default)]
    pub cutouts: Vec<Cutout>,
    /// Number of screws, spaced evenly round its edge.
    #[schemars(range(min = 2, max = 40))]
    pub screws: u32,
    /// Diameter of the screws.
    #[schemars(extend("least" = "2 mm", "most" = "8 mm"))]
    pub screw_diameter: Length,
    /// Distance from the screws to the edge.
    #[schemars(extend("least" = "3 mm", "most" = "100 mm"))]
    pub screw_edge: Length,
    /// How it is finished.
    pub finish: Finish,
    /// How dark the finish is; dark where nothing is said.
    pub shade: Option<Shade>,
    /// Faces of the sheet: a one-sided blank may be turned in the layout, never flipped; alike where nothing is said.
    pub faces: Option<Faces>,
    /// Direction that the blank must follow in the sheet; free where nothing is said.
    pub grain: Option<Grain>,
    /// Where its template is; it has to be made where nothing is said.
    #[serde(default)]
    pub template: Template,
}

/// What a quote says to the customer beside the price.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct QuoteWords {
    /// The shop's number of the quote.
    pub number: Option<String>,
    /// Who it is for, in the shop's own words.
    pub customer: Option<String>,
    /// Day of the quote, as "2026-11-25"; the day on which work can start where nothing is said.
    pub date: Option<String>,
    /// Days for which it stands; 21 where nothing is said.
    #[schemars(range(min = 1, max = 365))]
    pub valid_days: Option<u16>,
    /// Whether the price is fixed or an estimate with a range; fixed where nothing is said.
    pub binding: Option<Binding>,
    /// Share of the price with tax that is paid when the work is ordered.
    #[schemars(extend("least" = "0 %", "most" = "100 %"))]
    pub deposit: Option<Share>,
    /// Discount on the net price.
    #[schemars(extend("least" = "0 %", "most" = "90 %"))]
    pub discount: Option<Share>,
    /// What the price rests on, beside what the plan says by itself.
    #[serde(default)]
    #[schemars(length(max = 20))]
    pub assumptions: Vec<String>,
    /// What is not in the price; the usual three where none is given.
    #[serde(default)]
    #[schemars(length(max = 20))]
    pub exclusions: Vec<String>,
    /// Numbers of vehicles alike for which prices are shown beside each other.
    #[serde(default)]
    #[schemars(extend("items" = {"type": "integer", "minimum": 1, "maximum": 100}), length(max = 6))]
    pub breaks: Vec<u32>,
}

impl QuoteWords {
    /// Day of the quote.
    ///
    /// # Errors
    /// [`Error::Unit`] where it is not of the form `2026-11-25`.
    pub fn date(&self) -> Result<Option<Date>> {
        let read = |text: &str| {
            Date::strptime("%Y-%m-%d", text).map_err(|_| Error::Unit {
                what: "quote.date".into(),
                given: text.chars().take(40).collect(),
                expected: "a day such as \"2026-11-25\"".into(),
                remedy: "write year-month-day".into(),
            })
        };
        self.date.as_deref().map(read).transpose()
    }
}

/// A job: what is to be made for one vehicle, or for several alike.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "mountwright job")]
pub struct Job {
    /// Version of this file's form: 1.
    pub schema: u32,
    /// What the shop calls the job.
    pub name: String,
    /// Whether it is made up.
    #[serde(default)]
    pub invented: bool,
    /// Remarks that are printed with the plan.
    pub remarks: Option<String>,
    /// The vehicle in the shop's own words; no personal data is needed.
    pub vehicle: String,
    /// When work can start, as "2026-12-01 08:30".
    pub start: String,
    /// How hot the sun makes the vehicle where it is parked.
    pub sun: Sun,
    /// Units on drawings and pages; metric where nothing is said.
    pub units: Option<System>,
    /// Paper of the drawings to print; Letter where units are inches, else A4.
    pub paper: Option<Page>,
    /// Vehicles alike that are made in one batch; 1 where nothing is said. Templates and set-up are made once, hands get quicker.
    #[schemars(range(min = 1, max = 100))]
    pub sets: Option<u32>,
    /// Blanks of each part that are cut besides and kept for next time.
    #[schemars(range(min = 0, max = 10))]
    pub spare_blanks: Option<u32>,
    /// When the vehicle comes in again to be fitted, as "2026-12-03 08:30"; it stays where nothing is said.
    pub vehicle_back: Option<String>,
    /// What the quote says beside the price.
    pub quote: Option<QuoteWords>,
    /// Places on the vehicle.
    #[schemars(length(min = 1, max = 40))]
    pub places: Vec<Place>,
    /// Straps formed hot round a round body.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub straps: Vec<Strap>,
    /// Adapter rings.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub rings: Vec<Ring>,
    /// Flat trim panels.
    #[serde(default)]
    #[schemars(length(max = 40))]
    pub panels: Vec<Panel>,
}

/// A job with the place of each of its keys, for messages.
#[derive(Debug, Clone)]
pub struct JobFile {
    /// What it says.
    pub job: Job,
    /// Where it says it.
    pub source: Source,
    /// Traced outlines by the name of their part, about their centre.
    pub traced: BTreeMap<String, Outline>,
}

impl JobFile {
    /// Reads the text of a job file; `path` is for messages, `names` are the materials and foams that may be named.
    ///
    /// # Errors
    /// [`Error::Job`] with every fault of the file and its line.
    pub fn parse(path: &str, text: &str, names: &Names) -> Result<Self> {
        let (job, source) = file::read::<Job>(path, text, names, &[("place", "places")])?;
        let mut problems = faults(&job, &source);
        let mut traced = BTreeMap::new();
        if problems.is_empty() {
            let folder = Path::new(path).parent().unwrap_or(Path::new(""));
            traced = traces::traces(&job, &source, folder, &mut problems);
        }
        if problems.is_empty() {
            Ok(Self {
                job,
                source,
                traced,
            })
        } else {
            Err(source.fault(problems))
        }
    }

    /// Reads a job file.
    ///
    /// # Errors
    /// [`Error::Io`] where it cannot be read, [`Error::Job`] with every fault and its line.
    pub fn read(path: &str, names: &Names) -> Result<Self> {
        Self::parse(path, &text_of(path)?, names)
    }
}

/// The text of a file.
///
/// # Errors
/// [`Error::Io`] where it cannot be read or is not text.
pub fn text_of(path: &str) -> Result<String> {
    let bytes = std::fs::read(path).map_err(|e| Error::io(path, &e))?;
    String::from_utf8(bytes).map_err(|e| Error::Job {
        path: path.to_string(),
        problems: vec![Problem {
            line: None,
            field: String::new(),
            message: format!("not text: {e}; is it the right file?"),
        }],
    })
}

impl Job {
    /// The start as a civil time.
    ///
    /// # Errors
    /// [`Error::Unit`] where it is not of the form `2026-12-01 08:30`.
    pub fn start(&self) -> Result<DateTime> {
        civil("start", &self.start)
    }

    /// When the vehicle comes in again, as a civil time; `None` where it stays.
    ///
    /// # Errors
    /// [`Error::Unit`] where it is not of the form `2026-12-01 08:30`.
    pub fn vehicle_back(&self) -> Result<Option<DateTime>> {
        let back = self.vehicle_back.as_deref();
        back.map(|text| civil("vehicle_back", text)).transpose()
    }

    /// Names of all parts with the key where each stands.
    pub fn part_names(&self) -> Vec<(String, &str)> {
        let straps = self
            .straps
            .iter()
            .enumerate()
            .map(|(i, p)| (format!("straps[{i}]"), &p.name));
        let rings = self
            .rings
            .iter()
            .enumerate()
            .map(|(i, p)| (format!("rings[{i}]"), &p.name));
        let panels = self
            .panels
            .iter()
            .enumerate()
            .map(|(i, p)| (format!("panels[{i}]"), &p.name));
        straps
            .chain(rings)
            .chain(panels)
            .map(|(at, name)| (at, name.as_str()))
            .collect()
    }
}

/// A civil time from its text.
fn civil(what: &str, text: &str) -> Result<DateTime> {
    DateTime::strptime("%Y-%m-%d %H:%M", text).map_err(|_| Error::Unit {
        what: what.into(),
        given: text.chars().take(40).collect(),
        expected: "a date and a time such as \"2026-12-01 08:30\"".into(),
        remedy: "write year-month-day hour:minute".into(),
    })
}

/// Faults between keys.
fn faults(job: &Job, source: &Source) -> Vec<Problem> {
    let mut problems = vec![];
    if let Err(e) = job.start() {
        problems.push(source.problem("start", e.to_string()));
    }
    if let Some(Err(e)) = job.quote.as_ref().map(QuoteWords::date) {
        problems.push(source.problem("quote.date", e.to_string()));
    }
    match (job.vehicle_back(), job.start()) {
        (Err(e), _) => problems.push(source.problem("vehicle_back", e.to_string())),
        (Ok(Some(back)), Ok(start)) if back <= start => {
            let message = "the vehicle comes back before work starts: give a later time";
            problems.push(source.problem("vehicle_back", message));
        }
        _ => {}
    }
    let mut seen = BTreeMap::new();
    let places = job
        .places
        .iter()
        .enumerate()
        .map(|(i, p)| (format!("places[{i}]"), p.name.as_str()));
    for (kind, list) in [
        ("place", places.collect::<Vec<_>>()),
        ("part", job.part_names()),
    ] {
        for (at, name) in list {
            if let Some(first) = seen.insert((kind, name), at.clone()) {
                let message =
                    format!("a {kind} called \"{name}\" stands already at {first}: name each once");
                problems.push(source.problem(format!("{at}.name"), message));
            }
        }
    }
    if job.part_names().is_empty() {
        problems.push(source.problem(
            "",
            "there is nothing to make: add [[straps]], [[rings]] or [[panels]]",
        ));
    }
    for (i, ring) in job.rings.iter().enumerate() {
        outline_faults(
            &format!("rings[{i}]"),
            ring.outline,
            ring.height.is_some(),
            ring.corner_radius.is_some(),
            ring.corners.is_some(),
            ring.outline_file.is_some(),
            source,
            &mut problems,
        );
        if ring.driver_holes_width.is_some() != ring.driver_holes_height.is_some()
            || ring.driver_holes_width.is_some() && ring.driver_bolts != 4
        {
            problems.push(source.problem(
                format!("rings[{i}].driver_holes_width"),
                "holes at the corners of a rectangle have a width, a height and are four",
            ));
        }
        if ring.insert_diameter.is_some() != ring.insert_length.is_some() {
            problems.push(source.problem(
                format!("rings[{i}].insert_diameter"),
                "an insert needs its diameter and its length: give both or none",
            ));
        }
    }
    for (i, strap) in job.straps.iter().enumerate() {
        if strap.wire_forward.is_some() && strap.wire_width.is_none() {
            problems.push(source.problem(
                format!("straps[{i}].wire_forward"),
                "a notch for the cable needs its width too: give wire_width",
            ));
        }
    }
    for (i, panel) in job.panels.iter().enumerate() {
        let at = format!("panels[{i}].corner_radius");
        match (panel.corner_radius.is_some(), panel.outline_file.is_some()) {
            (false, false) => problems.push(source.problem(
                at,
                "missing; give the radius of the corners, or outline_file for a traced panel",
            )),
            (true, true) => problems.push(source.problem(
                at,
                "a traced panel has the corners of its drawing: remove the radius",
            )),
            _ => {}
        }
        for (k, cutout) in panel.cutouts.iter().enumerate() {
            let at = format!("panels[{i}].cutouts[{k}]");
            outline_faults(
                &at,
                cutout.outline,
                cutout.height.is_some(),
                cutout.corner_radius.is_some(),
                false,
                false,
                source,
                &mut problems,
            );
        }
    }
    problems
}

// Which keys are there: what they hold does not matter here.
#[allow(clippy::fn_params_excessive_bools, clippy::too_many_arguments)]
fn outline_faults(
    at: &str,
    shape: OutlineShape,
    height: bool,
    radius: bool,
    corners: bool,
    file: bool,
    source: &Source,
    problems: &mut Vec<Problem>,
) {
    let (needs_height, takes_radius, needs_corners) = match shape {
        OutlineShape::Circle => (false, false, false),
        OutlineShape::Ellipse | OutlineShape::Stadium => (true, false, false),
        OutlineShape::RoundedRectangle => (true, true, false),
        OutlineShape::Polygon => (false, false, true),
        // A traced outline is measured both ways where the shop did so.
        OutlineShape::Traced => (height, false, false),
    };
    let mut say =
        |key: &str, message: &str| problems.push(source.problem(format!("{at}.{key}"), message));
    match (shape == OutlineShape::Traced, file) {
        (true, false) => say(
            "outline_file",
            "missing; a traced outline needs its drawing (a cutout is drawn in the file of its panel)",
        ),
        (false, true) => say(
            "outline_file",
            "only the outline \"traced\" takes a drawing: remove it, or set outline = \"traced\"",
        ),
        _ => {}
    }
    match (needs_height, height) {
        (true, false) => say("height", "missing; this outline needs a height"),
        (false, true) => say("height", "this outline has only a width: remove the height"),
        _ => {}
    }
    if radius && !takes_radius {
        say(
            "corner_radius",
            "only a rounded rectangle has corners of a radius: remove it",
        );
    }
    match (needs_corners, corners) {
        (true, false) => say(
            "corners",
            "missing; a polygon needs its number of corners (3 to 24)",
        ),
        (false, true) => say(
            "corners",
            "only a polygon has a number of corners: remove it",
        ),
        _ => {}
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::shop::ShopFile;

    fn names() -> Names {
        crate::plan::names().unwrap()
    }

    #[test]
    fn the_demo_files_are_read() {
        let names = names();
        for text in [
            include_str!("../demo-data/pillar-pods.toml"),
            include_str!("../demo-data/door-rings.toml"),
        ] {
            JobFile::parse("demo", text, &names).unwrap();
        }
        ShopFile::parse("demo", include_str!("../demo-data/shop.toml"), &names).unwrap();
    }

    #[test]
    fn faults_between_keys_are_named_with_their_line() {
        let text = include_str!("../demo-data/pillar-pods.toml")
            .replace("name = \"right pod\"", "name = \"left pod\"")
            .replace("start = \"2026-12-01 08:30\"", "start = \"tomorrow\"");
        let message = JobFile::parse("demo", &text, &names())
            .unwrap_err()
            .to_string();
        assert!(
            message.contains("straps[1].name: a part called \"left pod\" stands already"),
            "{message}"
        );
        assert!(message.contains("2026-12-01 08:30"), "{message}");
    }
}
