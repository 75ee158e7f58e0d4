//! A material as the catalogue has it: every number with its source, its range and the file that it came from.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::properties::Properties;
use super::property::Property;
use super::stock::{Drying, Stock};
use super::table::Table;
use crate::error::{Error, Note, Result};
use crate::sourced::{Sourced, Standing};
use crate::spread::Law;

/// What a material is for in a mount.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// A sheet that is formed or cut.
    Sheet,
    /// A foam that seals or cushions.
    Gasket,
    /// What lies behind or is fixed to: board, metal.
    Body,
}

/// How it is built, which decides how it softens.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Structure {
    /// Glassy, softens at its glass transition.
    Amorphous,
    /// Partly crystalline, melts.
    Semicrystalline,
    /// Wood or wood-based board.
    Wood,
    /// Metal.
    Metal,
}

/// A number of the catalogue with the file that it came from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Entry {
    /// The number, SI, with range, source and standing.
    #[serde(flatten)]
    pub sourced: Sourced,
    /// The file: [`STANDARD`](super::STANDARD) or the user's path.
    pub origin: String,
}

/// A property over temperature with its provenance, as it stands in its file.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Curve {
    /// Points, SI.
    pub table: Table,
    /// Key of the source, or several separated by `, `.
    pub source: String,
    /// Where it comes from.
    pub standing: Standing,
    /// Conditions and conflicts; may be empty.
    pub note: String,
    /// The file that it came from.
    pub origin: String,
}

/// What hurts, and what to do about it. Local codes, the data sheet and licensed practice come first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hazards {
    /// What it gives off when it is heated or overheated.
    pub fumes: Vec<String>,
    /// The usual cautions.
    pub cautions: Vec<String>,
    /// Keys of the sources, separated by `, `.
    pub source: String,
    /// Where they come from.
    pub standing: Standing,
}

/// Why a remark is in the catalogue.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum RemarkKind {
    /// What a fabricator would not expect.
    Surprise,
    /// Sources disagree; what is used and why.
    Conflict,
    /// Data that are poor; said wherever they are used.
    Weak,
}

/// A remark on a material.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Remark {
    /// Why it is there.
    pub kind: RemarkKind,
    /// A property's key, or a topic in words.
    pub about: String,
    /// What is to be known.
    pub text: String,
}

/// What remarks are about that matter only where the sheet is heated to form.
const FORMING: [&str; 16] = [
    "forming window",
    "reheating",
    "drying",
    "conductivity",
    "heat_capacity",
    "emissivity",
    "infrared_absorption",
    "set",
    "limp",
    "formable",
    "normal",
    "upper",
    "degradation",
    "heated_shrinkage",
    "mould_shrinkage",
    "freezing_start",
];

/// One material of a [`Catalogue`](super::Catalogue).
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Material {
    /// Canonical name: `expanded-pvc`.
    pub name: String,
    /// What it is, in words.
    pub about: String,
    /// Other names of the trade.
    pub aliases: Vec<String>,
    /// What it is for.
    pub role: Role,
    /// How it is built.
    pub structure: Structure,
    /// Whether it is a foam.
    pub foamed: bool,
    /// Whether it holds PVC: it gives off hydrogen chloride when overheated.
    pub contains_pvc: bool,
    /// Every number.
    pub entries: BTreeMap<Property, Entry>,
    /// Every curve over temperature.
    pub curves: BTreeMap<Property, Curve>,
    /// Hazards and cautions.
    pub hazards: Option<Hazards>,
    /// What is sold.
    pub stock: Option<Stock>,
    /// Whether and how it is dried before forming.
    pub drying: Option<Drying>,
    /// Surprises, conflicts and weak data.
    pub remarks: Vec<Remark>,
    /// The file that the material was first named in.
    pub origin: String,
}

impl Material {
    /// A number with its provenance; `None` where the catalogue has none.
    pub fn entry(&self, property: Property) -> Option<&Entry> {
        self.entries.get(&property)
    }

    /// A number with its provenance.
    ///
    /// # Errors
    /// [`Error::Impossible`] where the catalogue has none.
    ///
    /// ```
    /// use mountwright::material::{Catalogue, Property};
    /// let abs = Catalogue::standard()?.get("abs")?;
    /// let limp = abs.sourced(Property::Limp)?;
    /// assert!(limp.low <= limp.value && limp.value <= limp.high && limp.unit == "K");
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn sourced(&self, property: Property) -> Result<&Sourced> {
        match self.entry(property) {
            Some(entry) => Ok(&entry.sourced),
            None => Err(no_value(&self.name, property)),
        }
    }

    /// Plain SI numbers and tables at the most likely values, for the stages.
    pub fn properties(&self) -> Properties {
        Properties::of(self)
    }

    /// What a plan draws: every uncertain property with its law. The thickness belongs to the sheet.
    ///
    /// Apply a draw with [`Properties::set`].
    ///
    /// ```
    /// use mountwright::material::{Catalogue, Property};
    /// let drawn = Catalogue::standard()?.get("abs")?.uncertain();
    /// assert!(drawn.iter().any(|(p, _)| *p == Property::Conductivity));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn uncertain(&self) -> Vec<(Property, Law)> {
        self.entries
            .iter()
            .filter(|(p, e)| p.is_drawn() && e.sourced.high > e.sourced.low)
            .map(|(p, e)| (*p, e.sourced.law()))
            .collect()
    }

    /// Everything that a user of the material is to be told: surprises, conflicts and weak data.
    pub fn notes(&self) -> Vec<Note> {
        self.remarks.iter().map(|r| self.note(r)).collect()
    }

    /// What a part of this material is to be told: of heat only where it is formed.
    pub fn notes_for(&self, formed: bool) -> Vec<Note> {
        let told = |r: &&Remark| formed || !FORMING.contains(&r.about.as_str());
        self.remarks
            .iter()
            .filter(told)
            .map(|r| self.note(r))
            .collect()
    }

    /// The remarks on these properties, for the results that use them; `forming window` counts for its temperatures.
    pub fn notes_on(&self, properties: &[Property]) -> Vec<Note> {
        let window = [
            Property::Limp,
            Property::Formable,
            Property::Upper,
            Property::Set,
        ];
        let touches = |r: &&Remark| {
            properties
                .iter()
                .any(|p| r.about == p.key() || (r.about == "forming window" && window.contains(p)))
        };
        self.remarks
            .iter()
            .filter(touches)
            .map(|r| self.note(r))
            .collect()
    }

    fn note(&self, remark: &Remark) -> Note {
        let kind = match remark.kind {
            RemarkKind::Surprise => "",
            RemarkKind::Conflict => "sources disagree: ",
            RemarkKind::Weak => "weak data: ",
        };
        Note::new(
            format!("{}, {}", self.name, remark.about.replace('_', " ")),
            format!("{kind}{}", remark.text),
        )
    }
}

/// The error for a property that a material does not have.
pub(super) fn no_value(material: &str, property: Property) -> Error {
    Error::Impossible {
        what: format!("{} of {material}", property.key().replace('_', " ")),
        why: "the catalogue has no value for it".into(),
        remedy: "give it, with its source, in a materials file of your own".into(),
    }
}
