//! Keys of a grille.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::words::{OutlineShape, Template};
use crate::file::{Length, Mass};
use crate::finish::{Kind as Finish, Shade};
use crate::shape::{Faces, Hand};

/// A grille: a trim ring with a recess for its mesh, the mesh, and a ring that is glued in to hold it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Grille {
    /// What the shop calls it: "door grille".
    pub name: String,
    /// The places where it goes, one of `places` each; as many grilles are made.
    #[schemars(extend("items" = {"type": "string", "format": "place"}), length(min = 1, max = 20))]
    pub places: Vec<String>,
    /// Left, right or either.
    pub hand: Hand,
    /// The sheet of trim ring and retaining ring.
    #[schemars(extend("format" = "material"))]
    pub material: String,
    /// The sheet that its trim ring is cut from, by its name or its lot in the shop's file; any sheet that fits where nothing is said.
    pub sheet: Option<String>,
    /// Thickness of the trim ring's sheet, as measured.
    #[schemars(extend("least" = "2 mm", "most" = "25 mm"))]
    pub thickness: Length,
    /// Thickness of the retaining ring's sheet.
    #[schemars(extend("least" = "0.5 mm", "most" = "12 mm"))]
    pub retainer_thickness: Length,
    /// Shape of the trim ring's outside.
    pub outline: OutlineShape,
    /// Its width, or its diameter.
    #[schemars(extend("least" = "30 mm", "most" = "800 mm"))]
    pub width: Length,
    /// Its height, where it differs from its width.
    #[schemars(extend("least" = "30 mm", "most" = "800 mm"))]
    pub height: Option<Length>,
    /// Radius of the corners of a rounded rectangle.
    #[schemars(extend("least" = "0 mm", "most" = "400 mm"))]
    pub corner_radius: Option<Length>,
    /// What the trial fit showed: taken off the outside all round; negative where it was too small.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub edge_cut: Option<Length>,
    /// Shape of the opening.
    pub opening_outline: OutlineShape,
    /// Width of the opening, or its diameter.
    #[schemars(extend("least" = "15 mm", "most" = "700 mm"))]
    pub opening_width: Length,
    /// Height of the opening, where it differs from its width.
    #[schemars(extend("least" = "15 mm", "most" = "700 mm"))]
    pub opening_height: Option<Length>,
    /// Radius of the corners of an opening that is a rounded rectangle.
    #[schemars(extend("least" = "0 mm", "most" = "300 mm"))]
    pub opening_corner_radius: Option<Length>,
    /// What the trial fit showed: the opening made larger all round; negative where it was too large.
    #[schemars(extend("least" = "-20 mm", "most" = "20 mm"))]
    pub opening_cut: Option<Length>,
    /// Thickness of the mesh.
    #[schemars(extend("least" = "0.1 mm", "most" = "5 mm"))]
    pub mesh_thickness: Length,
    /// Mass of the mesh, cut to size.
    #[schemars(extend("least" = "1 g", "most" = "3 kg"))]
    pub mesh_mass: Mass,
    /// How far the mesh lies under the trim ring all round.
    #[schemars(extend("least" = "2 mm", "most" = "30 mm"))]
    pub lap: Length,
    /// Play round mesh and retaining ring; 0.5 mm where nothing is said.
    #[schemars(extend("least" = "0 mm", "most" = "3 mm"))]
    pub play: Option<Length>,
    /// Greatest travel of the cone forwards; with `cone_to_trim`.
    #[schemars(extend("least" = "0 mm", "most" = "60 mm"))]
    pub cone_travel: Option<Length>,
    /// From the cone at rest to the back of the trim ring.
    #[schemars(extend("least" = "0 mm", "most" = "200 mm"))]
    pub cone_to_trim: Option<Length>,
    /// Clips or screws that hold it.
    #[schemars(range(min = 2, max = 24))]
    pub clips: u32,
    /// How it is finished.
    pub finish: Finish,
    /// How dark the finish is; dark where nothing is said.
    pub shade: Option<Shade>,
    /// Faces of the sheet; alike where nothing is said.
    pub faces: Option<Faces>,
    /// Where its template is; it has to be made where nothing is said.
    #[serde(default)]
    pub template: Template,
}
