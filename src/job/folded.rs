//! Keys of a panel folded along lines.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::words::{Behind, FormedOn, Need, Template};
use crate::file::{Angle, Length, Time};
use crate::finish::{Kind as Finish, Shade};
use crate::shape::{Faces, Grain, Hand, Toward};

/// Which way the flaps of a fold go.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum FoldToward {
    /// Back, away from the show face.
    #[default]
    Back,
    /// Towards the one who looks at the show face.
    Show,
}

impl FoldToward {
    /// The same for the shape.
    pub fn toward(self) -> Toward {
        match self {
            Self::Back => Toward::Back,
            Self::Show => Toward::Show,
        }
    }
}

/// One fold between two flanges.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fold {
    /// Angle that the sheet turns through.
    #[schemars(extend("least" = "1°", "most" = "170°"))]
    pub angle: Angle,
    /// Inside radius.
    #[schemars(extend("least" = "0.5 mm", "most" = "200 mm"))]
    pub inside_radius: Length,
    /// Which way the flaps go; back where nothing is said.
    #[serde(default)]
    pub toward: FoldToward,
}

/// A panel folded hot along parallel lines, screwed down by its first and its last flange.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Folded {
    /// What the shop calls it: "sill cover".
    pub name: String,
    /// The place where it goes, one of `places`.
    #[schemars(extend("format" = "place"))]
    pub place: String,
    /// Left, right or either.
    pub hand: Hand,
    /// The sheet that it is folded from.
    #[schemars(extend("format" = "material"))]
    pub material: String,
    /// The sheet that it is cut from, by its name or its lot in the shop's file; any sheet that fits where nothing is said.
    pub sheet: Option<String>,
    /// Thickness of the sheet, as measured.
    #[schemars(extend("least" = "0.5 mm", "most" = "12 mm"))]
    pub thickness: Length,
    /// Length along the bend lines.
    #[schemars(extend("least" = "10 mm", "most" = "2000 mm"))]
    pub width: Length,
    /// Flanges from left to right, each measured outside to where the outer faces would meet.
    #[schemars(extend("items" = {"type": "string", "format": "length", "least": "3 mm", "most": "1500 mm"}), length(min = 2, max = 12))]
    pub flanges: Vec<Length>,
    /// Folds between them, one fewer.
    #[schemars(length(min = 1, max = 11))]
    pub folds: Vec<Fold>,
    /// What the trial fit showed: cut off the free edge of the first flange; negative where it was too short.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub first_cut: Option<Length>,
    /// What the trial fit showed: cut off the free edge of the last flange.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub last_cut: Option<Length>,
    /// What the trial fit showed: cut off its length along the bend lines.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub width_cut: Option<Length>,
    /// Screws in each of the two outer flanges.
    #[schemars(range(min = 1, max = 12))]
    pub screws: u32,
    /// Diameter of the screws.
    #[schemars(extend("least" = "2 mm", "most" = "8 mm"))]
    pub screw_diameter: Length,
    /// Distance from the screws to the free edge of their flange.
    #[schemars(extend("least" = "3 mm", "most" = "100 mm"))]
    pub screw_edge: Length,
    /// How soft the sheet must be; limp where nothing is said.
    pub need: Option<Need>,
    /// What lies behind the sheet while a line is heated.
    pub behind: Behind,
    /// Time between turns, where the sheet is turned over while it is heated.
    #[schemars(extend("least" = "2 s", "most" = "300 s"))]
    pub turn_every: Option<Time>,
    /// Distance from the nozzle to the sheet.
    #[schemars(extend("least" = "20 mm", "most" = "400 mm"))]
    pub gun_distance: Length,
    /// What it is bent against and held on; a form where nothing is said.
    pub formed_on: Option<FormedOn>,
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
