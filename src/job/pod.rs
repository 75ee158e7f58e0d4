//! Keys of a pod pressed or draped over a plug.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::words::{Behind, Need, Template};
use crate::file::{Length, Mass, Time};
use crate::finish::{Kind as Finish, Shade};
use crate::shape::draw::Solid;
use crate::shape::seat::Seat;
use crate::shape::{Faces, Grain, Hand};

/// The form of a plug.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PlugShape {
    /// A round cup of diameter `width` with an upright wall.
    Cylinder,
    /// A cone without its tip: `width` at the rim, `crown_width` at the crown.
    Frustum,
    /// A spherical cap, `width` across at the rim.
    Dome,
    /// A box, `width` by `height` at the rim, with corners of `corner_radius`.
    Box,
}

/// Measures of a pod inside; 0 where its form has none. [m]
#[derive(Debug, Clone, Copy)]
pub struct PodInside {
    /// Width or diameter at the rim.
    pub width_m: f64,
    /// Height of a box at the rim.
    pub height_m: f64,
    /// Diameter of a frustum's crown.
    pub crown_m: f64,
    /// Radius of a box's upright corners.
    pub corner_m: f64,
    /// Depth.
    pub depth_m: f64,
}

impl PlugShape {
    /// The solid of these measures.
    pub fn solid(self, inside: PodInside) -> Solid {
        let PodInside { depth_m, .. } = inside;
        match self {
            Self::Cylinder => Solid::Cylinder {
                diameter_m: inside.width_m,
                depth_m,
            },
            Self::Frustum => Solid::Frustum {
                rim_m: inside.width_m,
                crown_m: inside.crown_m,
                depth_m,
            },
            Self::Dome => Solid::Dome {
                rim_m: inside.width_m,
                height_m: depth_m,
            },
            Self::Box => Solid::Box {
                length_m: inside.width_m,
                width_m: inside.height_m,
                depth_m,
                corner_m: inside.corner_m,
            },
        }
    }
}

/// How the sheet is held while it is pressed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum PodHeld {
    /// Clamped round the rim in a frame: the wall stretches.
    #[default]
    Clamped,
    /// Draped by hand, free to slide in.
    Free,
}

/// A pod pressed or draped hot over a plug, screwed down by the flange that stays round its rim.
///
/// The tweeter sits in its crown, in foam that is glued to the pod.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Pod {
    /// What the shop calls it: "left dash pod".
    pub name: String,
    /// The place where it goes, one of `places`.
    #[schemars(extend("format" = "place"))]
    pub place: String,
    /// Left, right or either.
    pub hand: Hand,
    /// The sheet that it is pressed from.
    #[schemars(extend("format" = "material"))]
    pub material: String,
    /// The sheet that it is cut from, by its name or its lot in the shop's file; any sheet that fits where nothing is said.
    pub sheet: Option<String>,
    /// Thickness of the sheet, as measured.
    #[schemars(extend("least" = "0.5 mm", "most" = "12 mm"))]
    pub thickness: Length,
    /// Form of the plug.
    pub plug: PlugShape,
    /// Width inside the rim, or the diameter there.
    #[schemars(extend("least" = "10 mm", "most" = "600 mm"))]
    pub width: Length,
    /// Height inside the rim, of a box.
    #[schemars(extend("least" = "10 mm", "most" = "600 mm"))]
    pub height: Option<Length>,
    /// Diameter of the crown, of a frustum.
    #[schemars(extend("least" = "5 mm", "most" = "600 mm"))]
    pub crown_width: Option<Length>,
    /// Radius of the upright corners, of a box.
    #[schemars(extend("least" = "1 mm", "most" = "200 mm"))]
    pub corner_radius: Option<Length>,
    /// Depth of the form over its rim.
    #[schemars(extend("least" = "1 mm", "most" = "300 mm"))]
    pub depth: Length,
    /// What the trial fit showed: taken off the depth; negative where it stood too low.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub depth_cut: Option<Length>,
    /// How the sheet is held; clamped where nothing is said.
    #[serde(default)]
    pub held: PodHeld,
    /// Width of the edge outside the rim that the clamp takes.
    #[schemars(extend("least" = "5 mm", "most" = "100 mm"))]
    pub clamp: Length,
    /// Width of the flange that stays outside the rim after trimming.
    #[schemars(extend("least" = "4 mm", "most" = "80 mm"))]
    pub flange: Length,
    /// What the trial fit showed: taken off the flange all round; negative where it was too narrow.
    #[schemars(extend("least" = "-40 mm", "most" = "40 mm"))]
    pub flange_cut: Option<Length>,
    /// Screws in the flange, evenly.
    #[schemars(range(min = 2, max = 16))]
    pub screws: u32,
    /// Diameter of the screws.
    #[schemars(extend("least" = "2 mm", "most" = "8 mm"))]
    pub screw_diameter: Length,
    /// Diameter of the body that sits in the crown.
    #[schemars(extend("least" = "8 mm", "most" = "300 mm"))]
    pub body_diameter: Length,
    /// Length of the body in its foam, along its axis.
    #[schemars(extend("least" = "3 mm", "most" = "200 mm"))]
    pub body_length: Length,
    /// Mass of the body with its lead.
    #[schemars(extend("least" = "1 g", "most" = "2 kg"))]
    pub body_mass: Mass,
    /// The foam between body and pod.
    #[schemars(extend("format" = "foam"))]
    pub foam: String,
    /// Thickness of the foam, pressed.
    #[schemars(extend("least" = "0.5 mm", "most" = "12 mm"))]
    pub foam_thickness: Length,
    /// How soft the sheet must be; formable where nothing is said.
    pub need: Option<Need>,
    /// What lies behind the sheet while it is heated.
    pub behind: Behind,
    /// Time between turns, where the sheet is turned over while it is heated.
    #[schemars(extend("least" = "2 s", "most" = "300 s"))]
    pub turn_every: Option<Time>,
    /// Distance from the nozzle to the sheet.
    #[schemars(extend("least" = "20 mm", "most" = "400 mm"))]
    pub gun_distance: Length,
    /// How it is finished.
    pub finish: Finish,
    /// How dark the finish is; dark where nothing is said.
    pub shade: Option<Shade>,
    /// Faces of the sheet; alike where nothing is said.
    pub faces: Option<Faces>,
    /// Direction that the blank must follow in the sheet; free where nothing is said.
    pub grain: Option<Grain>,
    /// Where its template is; it has to be made where nothing is said.
    #[serde(default)]
    pub template: Template,
}

impl Pod {
    /// How it is inside, as the job gives it.
    pub fn inside(&self) -> PodInside {
        let optional = |length: Option<Length>| length.map_or(0.0, Length::si);
        PodInside {
            width_m: self.width.si(),
            height_m: optional(self.height),
            crown_m: optional(self.crown_width),
            corner_m: optional(self.corner_radius),
            depth_m: self.depth.si() - optional(self.depth_cut),
        }
    }

    /// The seat of its body, as the job gives it.
    pub fn seat(&self) -> Seat {
        Seat {
            solid: self.plug.solid(self.inside()),
            body_m: self.body_diameter.si(),
            length_m: self.body_length.si(),
            foam_m: self.foam_thickness.si(),
        }
    }
}
