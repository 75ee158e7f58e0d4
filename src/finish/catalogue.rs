//! The table of finishes: steps, times, coverages, what they add and stand.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::error::{Error, Problem, Result};
use crate::file::{self, Names, Source};
use crate::sourced::{Sourced, Standing};

/// What a part is covered with.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// As it comes from the bench, edges broken and wiped.
    Bare,
    /// Sprayed texture.
    Textured,
    /// Filled, primed and painted.
    FilledPainted,
    /// Wrapped in vinyl film.
    VinylWrap,
    /// Wrapped in fabric.
    FabricWrap,
}

impl Kind {
    /// Whether it is a film or a fabric, turned round the edges onto the back.
    pub fn wraps(self) -> bool {
        matches!(self, Self::VinylWrap | Self::FabricWrap)
    }
}

/// How light or dark it is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Shade {
    /// Black or nearly.
    Dark,
    /// Grey, beige.
    Middle,
    /// White or nearly.
    Light,
}

/// What a material is counted in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Measure {
    /// m³.
    Volume,
    /// m².
    Area,
}

/// What a step uses.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Material {
    /// Name.
    pub name: String,
    /// What it is counted in.
    pub measure: Measure,
    /// Amount for each square metre of face, waste included. [m³/m² or m²/m²]
    pub per_area: Sourced,
    /// Amount for each metre of edge. [m³/m or m²/m]
    pub per_edge: Option<Sourced>,
}

/// One step of a finish.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct RecipeStep {
    /// What is done.
    pub name: String,
    /// Hands-on time for each part, or for the batch where `once`. [s]
    pub set_up: Sourced,
    /// Hands-on time for each square metre of face. [s/m²]
    pub per_area: Option<Sourced>,
    /// Hands-on time for each metre of edge. [s/m]
    pub per_edge: Option<Sourced>,
    /// Whether it is done once for the batch.
    #[serde(default)]
    pub once: bool,
    /// Drying time at 23 °C, until the next step. [s]
    pub dry: Option<Sourced>,
    /// Activation energy of the drying. [J/mol]
    pub activation: Option<Sourced>,
    /// Temperature below which it does not dry. [K]
    pub minimum: Option<Sourced>,
    /// Wait that the air does not change. [s]
    pub wait: Option<Sourced>,
    /// Adhesive of the bond room's catalogue that is spread on both faces and dries before the next step.
    pub adhesive: Option<String>,
    /// Filler or primer of the bond room's catalogue that must be dry before the next step.
    pub coating: Option<String>,
    /// Longest wait before this step. [s]
    pub max_wait: Option<Sourced>,
    /// What it uses.
    #[serde(default)]
    pub materials: Vec<Material>,
}

/// A finish.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Recipe {
    /// Name for people.
    pub name: String,
    /// Thickness that it adds to a face. [m]
    pub adds_face: Sourced,
    /// Thickness that it adds to an edge. [m]
    pub adds_edge: Sourced,
    /// Temperature that it stands; absent where the sheet itself decides. [K]
    pub limit: Option<Sourced>,
    /// What can hurt.
    pub cautions: Vec<String>,
    /// What else is to be known.
    pub notes: Vec<String>,
    /// Its steps, in order.
    pub steps: Vec<RecipeStep>,
}

/// What a finish does to the sheet beneath.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Effect {
    /// Sheets.
    pub substrates: Vec<String>,
    /// Finishes.
    pub finishes: Vec<Kind>,
    /// What happens, and what to do.
    pub text: String,
    /// Key of the source.
    pub source: String,
    /// Where it comes from.
    pub standing: Standing,
}

/// Share of sunlight that a colour takes up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Shades {
    /// Dark.
    pub dark: Sourced,
    /// Middle.
    pub middle: Sourced,
    /// Light.
    pub light: Sourced,
}

/// All finishes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Catalogue {
    /// Version of the form: 1.
    pub schema: u32,
    /// Sources by key.
    pub sources: BTreeMap<String, String>,
    /// Absorptance by colour.
    pub shade: Shades,
    /// Finishes by name.
    pub finish: BTreeMap<String, Recipe>,
    /// What finishes do to sheets.
    pub effects: Vec<Effect>,
}

impl Kind {
    /// All kinds.
    pub const ALL: [Self; 5] = [
        Self::Bare,
        Self::Textured,
        Self::FilledPainted,
        Self::VinylWrap,
        Self::FabricWrap,
    ];

    /// Its name in the catalogue.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Bare => "bare",
            Self::Textured => "textured",
            Self::FilledPainted => "filled-painted",
            Self::VinylWrap => "vinyl-wrap",
            Self::FabricWrap => "fabric-wrap",
        }
    }
}

impl Catalogue {
    /// The catalogue that comes with the library.
    ///
    /// # Errors
    /// None that a release has: its tests read the whole catalogue.
    pub fn standard() -> Result<&'static Self> {
        static STANDARD: OnceLock<Result<Catalogue>> = OnceLock::new();
        STANDARD
            .get_or_init(|| Self::parse("finish/catalogue.toml", include_str!("catalogue.toml")))
            .as_ref()
            .map_err(Clone::clone)
    }

    /// Reads a catalogue from the text of a TOML file; `path` is for messages.
    ///
    /// # Errors
    /// [`Error::Job`] with every fault and its line.
    pub fn parse(path: &str, text: &str) -> Result<Self> {
        let (catalogue, source) = file::read::<Self>(path, text, &Names::new(), &[])?;
        let problems = catalogue.faults(&source);
        if problems.is_empty() {
            Ok(catalogue)
        } else {
            Err(source.fault(problems))
        }
    }

    /// A finish by its kind.
    ///
    /// # Errors
    /// [`Error::Unknown`] where the catalogue lacks it.
    pub fn recipe(&self, kind: Kind) -> Result<&Recipe> {
        self.finish.get(kind.key()).ok_or_else(|| {
            Error::unknown("finish", kind.key(), self.finish.keys().map(String::as_str))
        })
    }

    /// Share of sunlight that a colour takes up.
    pub fn absorptance(&self, shade: Shade) -> &Sourced {
        match shade {
            Shade::Dark => &self.shade.dark,
            Shade::Middle => &self.shade.middle,
            Shade::Light => &self.shade.light,
        }
    }

    /// What the types cannot say: units, bounds in order, known sources, known finishes.
    fn faults(&self, source: &Source) -> Vec<Problem> {
        let mut problems = Vec::new();
        let mut number = |field: String, s: Option<&Sourced>, unit: &str| {
            for fault in s.map_or_else(Vec::new, |s| s.faults(unit, &self.sources)) {
                problems.push(source.problem(field.clone(), fault));
            }
        };
        number("shade.dark".into(), Some(&self.shade.dark), "1");
        number("shade.middle".into(), Some(&self.shade.middle), "1");
        number("shade.light".into(), Some(&self.shade.light), "1");
        for (key, recipe) in &self.finish {
            let at = format!("finish.{key}");
            number(format!("{at}.adds_face"), Some(&recipe.adds_face), "m");
            number(format!("{at}.adds_edge"), Some(&recipe.adds_edge), "m");
            number(format!("{at}.limit"), recipe.limit.as_ref(), "K");
            for (i, step) in recipe.steps.iter().enumerate() {
                let at = format!("{at}.steps[{i}]");
                for (name, s, unit) in [
                    ("set_up", Some(&step.set_up), "s"),
                    ("per_area", step.per_area.as_ref(), "s/m2"),
                    ("per_edge", step.per_edge.as_ref(), "s/m"),
                    ("dry", step.dry.as_ref(), "s"),
                    ("activation", step.activation.as_ref(), "J/mol"),
                    ("minimum", step.minimum.as_ref(), "K"),
                    ("wait", step.wait.as_ref(), "s"),
                    ("max_wait", step.max_wait.as_ref(), "s"),
                ] {
                    number(format!("{at}.{name}"), s, unit);
                }
                for (j, m) in step.materials.iter().enumerate() {
                    let at = format!("{at}.materials[{j}]");
                    let (face, edge) = match m.measure {
                        Measure::Volume => ("m3/m2", "m3/m"),
                        Measure::Area => ("m2/m2", "m2/m"),
                    };
                    number(format!("{at}.per_area"), Some(&m.per_area), face);
                    number(format!("{at}.per_edge"), m.per_edge.as_ref(), edge);
                }
            }
        }
        for (i, effect) in self.effects.iter().enumerate() {
            if !self.sources.contains_key(&effect.source) {
                let message = format!("no source is called \"{}\"", effect.source);
                problems.push(source.problem(format!("effects[{i}].source"), message));
            }
        }
        for name in self.finish.keys() {
            if !Kind::ALL.iter().any(|k| k.key() == name) {
                let known = Kind::ALL.iter().map(|k| k.key());
                let error = Error::unknown("finish", name, known);
                problems.push(source.problem(format!("finish.{name}"), error.to_string()));
            }
        }
        problems
    }
}
