//! Keys of a strap.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::words::{Behind, FormedOn, Need, Template};
use crate::file::{Angle, Length, Mass, Temperature, Time};
use crate::finish::{Kind as Finish, Shade};
use crate::shape::{Faces, Grain, Hand};

/// A strap pressed round a round body and screwed down by a tab at each end: the pillar pod.
///
/// Seen from the show face; its ends are called front (towards the windscreen) and rear.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("dependentRequired" = {"wire_forward": ["wire_width"]}, "not" = {"required": ["aim", "lift"]}))]
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
    /// Where the tweeter looks; the wedge and the turn follow from it.
    pub aim: Option<Aim>,
    /// Lift of the body's axis off the surface by a wedge under each tab; left out where `aim` is given.
    #[schemars(extend("least" = "0.5°", "most" = "45°"))]
    pub lift: Option<Angle>,
    /// Where its template is; it has to be made where nothing is said.
    #[serde(default)]
    pub template: Template,
}

/// Where a tweeter looks: each side measured by itself, in one frame: forward, to the left, up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Aim {
    /// The dome: forward, to the left, up from any point of the vehicle.
    #[schemars(extend("items" = {"type": "string", "format": "length", "least": "-20 m", "most": "20 m"}))]
    pub dome: [Length; 3],
    /// The ear that it should look at, from the same point; the far listener's is usual.
    #[schemars(extend("items" = {"type": "string", "format": "length", "least": "-20 m", "most": "20 m"}))]
    pub listener: [Length; 3],
    /// Direction in which the face under the pod looks; any length.
    pub surface: [f64; 3],
    /// Direction along that face from which the turn is counted: up the pillar; any length.
    pub along: [f64; 3],
}
