//! Words that several kinds of part share.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

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
