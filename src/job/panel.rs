//! Keys of a flat panel.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::words::{OutlineShape, OutlineUnit, Template};
use crate::file::{Length, Mass};
use crate::finish::{Kind as Finish, Shade};
use crate::shape::{Faces, Grain, Hand};

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
    /// Corners of a polygon.
    #[schemars(range(min = 3, max = 24))]
    pub corners: Option<u32>,
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
    /// What the trial fit showed: taken off all round; negative where it was too small.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub edge_cut: Option<Length>,
    /// What the trial fit showed: cut off the left edge, seen from the show face; openings stay where they are.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub left_cut: Option<Length>,
    /// What the trial fit showed: cut off the right edge.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub right_cut: Option<Length>,
    /// What the trial fit showed: cut off the upper edge.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub top_cut: Option<Length>,
    /// What the trial fit showed: cut off the lower edge.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub bottom_cut: Option<Length>,
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
    /// Mass of what is fixed to it: a speaker with its grille; nothing where nothing is said.
    #[schemars(extend("least" = "1 g", "most" = "10 kg"))]
    pub carried_mass: Option<Mass>,
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
