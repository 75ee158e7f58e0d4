//! Keys of an adapter ring.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::words::{DriverFixing, OutlineShape, OutlineUnit, Template};
use crate::file::{Angle, Length, Mass};
use crate::finish::{Kind as Finish, Shade};
use crate::shape::seal::SteelFixing;
use crate::shape::{Faces, Grain, Hand};

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
    /// What the trial fit showed: taken off the outside all round; negative where it was too small.
    #[schemars(extend("least" = "-50 mm", "most" = "50 mm"))]
    pub edge_cut: Option<Length>,
    /// Shape of the cutout; a circle, or an ellipse where it has a height, where nothing is said.
    pub cutout_outline: Option<OutlineShape>,
    /// Width of the cutout, or its diameter.
    #[schemars(extend("least" = "15 mm", "most" = "600 mm"))]
    pub cutout_width: Length,
    /// Height of the cutout, where it differs from its width.
    #[schemars(extend("least" = "15 mm", "most" = "600 mm"))]
    pub cutout_height: Option<Length>,
    /// Radius of the corners of a cutout that is a rounded rectangle.
    #[schemars(extend("least" = "0 mm", "most" = "300 mm"))]
    pub cutout_corner_radius: Option<Length>,
    /// Corners of a cutout that is a polygon.
    #[schemars(range(min = 3, max = 24))]
    pub cutout_corners: Option<u32>,
    /// A drawing of a traced cutout alone (.dxf or .svg, from the folder of this file); left out where it is the largest opening of `outline_file`.
    pub cutout_file: Option<String>,
    /// What the trial fit showed: the cutout opened all round; negative where it was too large.
    #[schemars(extend("least" = "-20 mm", "most" = "20 mm"))]
    pub cutout_cut: Option<Length>,
    /// Diameter of the circle of the driver's screws; left out where they sit at the corners of a rectangle.
    #[schemars(extend("least" = "20 mm", "most" = "700 mm"))]
    pub driver_bolt_circle: Option<Length>,
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
    /// Diameter of their round holes; the usual clearance where nothing is said.
    #[schemars(extend("least" = "2 mm", "most" = "12 mm"))]
    pub vehicle_hole: Option<Length>,
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
    /// Where its template is; it has to be made where nothing is said.
    #[serde(default)]
    pub template: Template,
}

/// How a ring sits on the steel of a door.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Steel {
    /// What its screws go into.
    pub fixing: SteelFixing,
    /// Thickness of the steel.
    #[schemars(extend("least" = "0.3 mm", "most" = "10 mm"))]
    pub panel: Length,
    /// From the centre of a hole to the nearest edge of the steel.
    #[schemars(extend("least" = "0 mm", "most" = "500 mm"))]
    pub hole_edge: Option<Length>,
    /// Free room behind the steel at the screws, glass fully down and up.
    #[schemars(extend("least" = "0 mm", "most" = "400 mm"))]
    pub behind: Option<Length>,
    /// Gasket of closed-cell foam between ring and steel; drawn at true size.
    pub gasket_to_steel: Option<GasketStrip>,
    /// Gasket between ring and driver; drawn at true size.
    pub gasket_to_driver: Option<GasketStrip>,
    /// Foam collar from the driver to the trim; pressed, it is as wide as the gap that it closes.
    pub collar_to_trim: Option<GasketStrip>,
    /// Whether a lip on top of the ring sheds water; a `bevel` does so by itself.
    #[serde(default)]
    pub lip: bool,
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
