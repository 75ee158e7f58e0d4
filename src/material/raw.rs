//! The file as it is written: the structs that describe a materials file, for reading and for the editor's schema.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::material::{RemarkKind, Role, Structure};
use super::stock::{Combine, Need};
use crate::file::{Length, Share, Temperature, Time};
use crate::sourced::Standing;

/// A materials file.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawFile {
    /// Version of the form of the file.
    #[schemars(range(min = 1, max = 1))]
    #[allow(dead_code)] // checked before this struct is read
    pub(super) schema: u32,
    /// What a sheet gets where its own table says nothing, by property.
    #[serde(default)]
    pub(super) defaults: BTreeMap<String, RawNumber>,
    /// The materials, by name.
    #[serde(default)]
    pub(super) materials: BTreeMap<String, RawMaterial>,
    /// The sources, by key.
    #[serde(default)]
    pub(super) sources: BTreeMap<String, RawSource>,
}

/// A material: new, or what is to be replaced in one that is known.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawMaterial {
    /// What it is, in words.
    pub(super) about: Option<String>,
    /// Other names of the trade.
    pub(super) aliases: Option<Vec<String>>,
    /// What it is for.
    pub(super) role: Option<Role>,
    /// How it is built.
    pub(super) structure: Option<Structure>,
    /// Whether it is a foam.
    pub(super) foamed: Option<bool>,
    /// Whether it holds PVC.
    pub(super) contains_pvc: Option<bool>,
    /// Its numbers, by property.
    #[serde(default)]
    pub(super) properties: BTreeMap<String, RawNumber>,
    /// Its curves over temperature, by property.
    #[serde(default)]
    pub(super) curves: BTreeMap<String, RawCurve>,
    /// What hurts and what to do about it.
    pub(super) hazards: Option<RawHazards>,
    /// What is sold.
    pub(super) stock: Option<RawStock>,
    /// Whether and how it is dried before forming.
    pub(super) drying: Option<RawDrying>,
    /// Surprises, conflicts and weak data.
    #[serde(default)]
    pub(super) notes: Vec<RawRemark>,
}

/// Keys of sources.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub(super) enum RawKeys {
    /// One.
    One(String),
    /// Several.
    Several(Vec<String>),
}

impl RawKeys {
    pub(super) fn list(&self) -> &[String] {
        match self {
            Self::One(key) => std::slice::from_ref(key),
            Self::Several(keys) => keys,
        }
    }
}

impl JsonSchema for RawKeys {
    fn inline_schema() -> bool {
        true
    }
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Keys".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({"type": ["string", "array"], "items": {"type": "string"}})
    }
}

/// A number with its range, unit, standing and source.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawNumber {
    /// Most likely value.
    pub(super) value: f64,
    /// Least value that a shop will meet.
    pub(super) low: f64,
    /// Greatest value that a shop will meet.
    pub(super) high: f64,
    /// Unit of all three.
    pub(super) unit: String,
    /// Where it comes from.
    pub(super) standing: Standing,
    /// Key of its source, or a list of keys.
    pub(super) source: RawKeys,
    /// Conditions, test standard, conflicts.
    #[serde(default)]
    pub(super) note: String,
}

/// A property over temperature.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawCurve {
    /// Temperatures, rising.
    #[schemars(length(min = 1, max = 200))]
    pub(super) at: Vec<f64>,
    /// Unit of the temperatures.
    pub(super) at_unit: String,
    /// Values.
    #[schemars(length(min = 1, max = 200))]
    pub(super) value: Vec<f64>,
    /// Unit of the values.
    pub(super) unit: String,
    /// Where it comes from.
    pub(super) standing: Standing,
    /// Key of its source, or a list of keys.
    pub(super) source: RawKeys,
    /// Conditions and conflicts.
    #[serde(default)]
    pub(super) note: String,
}

/// Hazards and cautions.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawHazards {
    /// What it gives off when it is heated or overheated.
    pub(super) fumes: Vec<String>,
    /// The usual cautions.
    pub(super) cautions: Vec<String>,
    /// Where they come from.
    pub(super) standing: Standing,
    /// Key of the source, or a list of keys.
    pub(super) source: RawKeys,
}

/// What stockists carry.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawStock {
    /// Nominal thicknesses, rising.
    pub(super) thicknesses: Vec<Length>,
    /// Sheet sizes: `1220 x 2440 mm`.
    pub(super) sheets: Vec<String>,
    /// Where they come from.
    pub(super) standing: Standing,
    /// Key of the source, or a list of keys.
    pub(super) source: RawKeys,
    /// How true the thickness is.
    pub(super) tolerance: Option<RawTolerance>,
}

/// How far a thickness may be from its nominal.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawTolerance {
    /// How the fixed part and the share go together.
    pub(super) rule: Combine,
    /// Fixed part.
    #[schemars(extend("least" = "0 mm", "most" = "10 mm"))]
    pub(super) fixed: Length,
    /// Share of the thickness.
    #[schemars(extend("least" = "0 %", "most" = "50 %"))]
    pub(super) share: Share,
    /// Below this thickness the thin share holds.
    pub(super) thin_below: Option<Length>,
    /// Share of the thickness of a thin sheet.
    #[schemars(extend("least" = "0 %", "most" = "50 %"))]
    pub(super) thin_share: Option<Share>,
    /// Where it comes from.
    pub(super) standing: Standing,
    /// Key of the source, or a list of keys.
    pub(super) source: RawKeys,
    /// Conditions.
    #[serde(default)]
    pub(super) note: String,
}

/// Drying before forming.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawDrying {
    /// Whether.
    pub(super) needed: Need,
    /// Oven temperature.
    #[schemars(extend("least" = "30 °C", "most" = "200 °C"))]
    pub(super) temperature: Option<Temperature>,
    /// Times by thickness.
    #[serde(default)]
    pub(super) times: Vec<RawDryingTime>,
    /// Where they come from.
    pub(super) standing: Standing,
    /// Key of the source, or a list of keys.
    pub(super) source: RawKeys,
    /// Conditions.
    #[serde(default)]
    pub(super) note: String,
}

/// A time in the drying oven.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawDryingTime {
    /// Thickness of the sheet.
    #[schemars(extend("least" = "0.1 mm", "most" = "100 mm"))]
    pub(super) thickness: Length,
    /// Time in the oven.
    #[schemars(extend("least" = "1 min", "most" = "60 d"))]
    pub(super) time: Time,
}

/// A remark on a material.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawRemark {
    /// Why it is there.
    pub(super) kind: RemarkKind,
    /// A property's key, or a topic in words.
    pub(super) about: String,
    /// What is to be known.
    pub(super) text: String,
}

/// How a source is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, serde::Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Known {
    /// Its text was read.
    Read,
    /// Data that come with an open-source package.
    Package,
    /// From memory.
    Remembered,
    /// Computed from other entries.
    Computed,
    /// What the trade does.
    Trade,
    /// Measured by the shop.
    Measured,
    /// Made up for a scenario.
    Invented,
}

/// A source.
#[derive(Debug, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct RawSource {
    /// Who wrote it; a maker is described, not named.
    pub(super) author: String,
    /// Its title.
    pub(super) title: String,
    /// Its year.
    #[serde(default)]
    pub(super) year: String,
    /// Page, table or section.
    #[serde(default)]
    pub(super) place: String,
    /// Where it was read.
    #[serde(default)]
    pub(super) address: String,
    /// How it is known.
    pub(super) how: Known,
    /// What else is to be known of it.
    #[serde(default)]
    pub(super) note: String,
}
