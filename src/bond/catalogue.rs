//! The catalogue: adhesives and the faces that they bond, each number with its source.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::solvent;
use crate::error::{Error, Problem, Result};
use crate::file::{self, Names, Source};
use crate::sourced::{Sourced, Standing};

/// What an adhesive may be asked to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Carries load.
    Structural,
    /// Carries light load in shear.
    General,
    /// Holds faces together: wraps, foam, trim.
    Surface,
    /// Seals and damps.
    Flexible,
    /// Fills one face; joins nothing.
    Filler,
    /// Readies one face for glue or paint; joins nothing.
    Primer,
}

impl Role {
    /// All roles.
    pub const ALL: [Self; 6] = [
        Self::Structural,
        Self::General,
        Self::Surface,
        Self::Flexible,
        Self::Filler,
        Self::Primer,
    ];

    /// Its name in the catalogue.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Structural => "structural",
            Self::General => "general",
            Self::Surface => "surface",
            Self::Flexible => "flexible",
            Self::Filler => "filler",
            Self::Primer => "primer",
        }
    }

    /// Whether it goes on one face and joins nothing.
    pub const fn coats(self) -> bool {
        matches!(self, Self::Filler | Self::Primer)
    }
}

/// How the time of a stage is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum StageLaw {
    /// The same in any air.
    Fixed,
    /// Published at temperatures, shifted between and beyond.
    Shifted,
    /// By humidity and gap (cyanoacrylate).
    Surface,
    /// A skin, then inwards with the square root of time (silicone).
    Depth,
    /// The schedule of solvent cements.
    SolventCement,
    /// A bead that cools.
    Cooling,
}

/// One stage of a cure as the catalogue has it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Stage {
    /// How its time is known.
    pub law: StageLaw,
    /// Temperatures of the published times, rising; only for `shifted`. [K]
    #[serde(default)]
    pub temperature_k: Vec<f64>,
    /// Published times: one, or one for each temperature. [s]
    #[serde(default)]
    pub time_s: Vec<f64>,
    /// Time until a skin has formed; only for `depth`. [s]
    pub skin_s: Option<f64>,
    /// Depth of the first day at 23 °C and 50 % humidity; only for `depth`. [m/day^0.5]
    pub depth_m_root_day: Option<f64>,
    /// Depth that is enough; only for `depth`. [m]
    pub limit_m: Option<f64>,
    /// Row of the schedule; only for `solvent-cement`.
    pub row: Option<solvent::Row>,
    /// Time constant; only for `cooling`. [s]
    pub time_constant_s: Option<f64>,
    /// Temperature when applied; only for `cooling`. [K]
    pub applied_k: Option<f64>,
    /// Temperature at which the stage is reached; only for `cooling`. [K]
    pub set_k: Option<f64>,
    /// Key of the source.
    #[schemars(extend("format" = "source"))]
    pub source: String,
    /// Where the times come from.
    pub standing: Standing,
    /// Conditions.
    #[serde(default)]
    pub note: String,
}

/// How well an adhesive suits a face.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Suits {
    /// 3 first choice, 2 good, 1 makeshift or with the preparation named, 0 do not use.
    #[schemars(range(min = 0, max = 3))]
    pub score: u8,
    /// Why.
    pub why: String,
}

/// An adhesive.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Adhesive {
    /// Name for people.
    pub name: String,
    /// Its chemistry.
    pub family: String,
    /// What it may be asked to do.
    pub role: Role,
    /// Density as applied. [kg/m³]
    pub density: Sourced,
    /// Bond line: usual (`value`), least (`low`) and greatest (`high`). [m]
    pub gap: Sourced,
    /// Temperature below which it does not cure. [K]
    pub minimum_temperature: Sourced,
    /// Highest temperature in service: usual (`value`) with the range of its grades. [K]
    pub service_temperature: Sourced,
    /// Lowest temperature in service: usual (`value`) with the range of its grades. [K]
    pub cold_limit: Sourced,
    /// Factor on all times, for the range of its grades.
    pub time_factor: Sourced,
    /// Activation energy of its times beyond what is published. [J/mol]
    pub activation: Sourced,
    /// Squeeze-out and waste, as a share of the net volume.
    pub waste: Sourced,
    /// Time to lay it on for each area of overlap and bring the faces together. [s/m²]
    pub spread: Sourced,
    /// Whether the joint is closed before it is applied (capillary solvent), so that its open time does not matter.
    #[serde(default)]
    pub closed_first: bool,
    /// Whether two parts are mixed (a nozzle or a cup for each batch).
    pub pack_mixed: bool,
    /// Whether it comes as a tape of fixed thickness.
    #[serde(default)]
    pub tape: bool,
    /// Largest mass mixed at once. [kg]
    pub batch_limit: Option<Sourced>,
    /// Mixed mass for which the open time is stated, where a mass warms itself (epoxy). [kg]
    pub pot_mass: Option<Sourced>,
    /// Mass applied to each face, both faces coated (contact cement). [kg/m²]
    pub coat_kg_m2: Option<Sourced>,
    /// Growth of the time with the square of the gap (cyanoacrylate). [s/m²]
    pub gap_s_m2: Option<Sourced>,
    /// Greatest stress for long loads (tape). [Pa]
    pub static_stress: Option<Sourced>,
    /// What is done to the faces whatever they are.
    pub preparation: String,
    /// What can hurt.
    pub cautions: Vec<String>,
    /// What speeds it up safely.
    pub speed_up: Vec<String>,
    /// What else is to be known.
    pub notes: Vec<String>,
    /// How long it dries before the parts are joined.
    pub joinable: Option<Stage>,
    /// How long the parts can be joined.
    pub open: Stage,
    /// Until it can be handled: about 1 N/mm² in lap shear.
    pub handling: Stage,
    /// Until it is fully cured.
    pub full: Stage,
    /// Lap shear strength at 23 °C, fully cured, where nothing better is known. [Pa]
    pub strength: Sourced,
    /// The same by substrate. [Pa]
    #[serde(default)]
    pub strength_on: BTreeMap<String, Sourced>,
    /// How well it suits each face.
    pub suits: BTreeMap<String, Suits>,
    /// Primer without which it does not hold, by face.
    #[serde(default)]
    pub primer: BTreeMap<String, String>,
    /// Fixture time at zero gap by substrate (cyanoacrylate). [s]
    #[serde(default)]
    pub fixture: BTreeMap<String, Sourced>,
}

/// A face that is bonded.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Substrate {
    /// Name for people.
    pub name: String,
    /// The face that it bonds like, where adhesives say nothing about it by its own name.
    pub like: Option<String>,
    /// Surface energy. [N/m]
    pub surface_energy: Sourced,
    /// How it is prepared.
    pub preparation: String,
    /// What to watch; may be empty.
    #[serde(default)]
    pub caution: String,
    /// Strength of what lies under the face, where it gives way before a good bond does. [Pa]
    pub core_strength: Option<Sourced>,
}

/// Adhesives and faces.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Catalogue {
    /// Version of the form: 1.
    pub schema: u32,
    /// Sources by key.
    pub sources: BTreeMap<String, String>,
    /// Faces by name; the plastics go by the names of the material room.
    pub substrate: BTreeMap<String, Substrate>,
    /// Adhesives by name.
    pub adhesive: BTreeMap<String, Adhesive>,
}

impl Catalogue {
    /// The catalogue that comes with the library.
    ///
    /// # Errors
    /// None that a release has: its tests read the whole catalogue.
    ///
    /// ```
    /// let catalogue = mountwright::bond::Catalogue::standard()?;
    /// let epoxy = catalogue.adhesive("epoxy-30min")?;
    /// assert_eq!(epoxy.density.unit, "kg/m3");
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn standard() -> Result<&'static Self> {
        static STANDARD: OnceLock<Result<Catalogue>> = OnceLock::new();
        STANDARD
            .get_or_init(|| Self::parse("bond/catalogue.toml", include_str!("catalogue.toml")))
            .as_ref()
            .map_err(Clone::clone)
    }

    /// Reads a catalogue from the text of a TOML file; `path` is for messages.
    ///
    /// # Errors
    /// [`Error::Job`] with every fault and its line.
    pub fn parse(path: &str, text: &str) -> Result<Self> {
        let (catalogue, source) = file::read::<Self>(path, text, &Names::new(), &[])?;
        let mut problems = Vec::new();
        catalogue.faults(&source, &mut problems);
        if problems.is_empty() {
            Ok(catalogue)
        } else {
            Err(source.fault(problems))
        }
    }

    /// An adhesive by its name.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest names.
    pub fn adhesive(&self, name: &str) -> Result<&Adhesive> {
        self.adhesive.get(name).ok_or_else(|| {
            Error::unknown("adhesive", name, self.adhesive.keys().map(String::as_str))
        })
    }

    /// A face by its name.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest names.
    pub fn substrate(&self, name: &str) -> Result<&Substrate> {
        self.substrate.get(name).ok_or_else(|| {
            Error::unknown("substrate", name, self.substrate.keys().map(String::as_str))
        })
    }

    /// The name under which adhesives speak of a face: its own, or that of the face it is like.
    pub fn kin<'a>(&'a self, face: &'a str) -> &'a str {
        let like = self.substrate.get(face).and_then(|s| s.like.as_deref());
        like.unwrap_or(face)
    }

    /// Names of all adhesives.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.adhesive.keys().map(String::as_str)
    }

    /// What the types cannot say: bounds in order, units, known sources and faces, complete stages.
    fn faults(&self, source: &Source, problems: &mut Vec<Problem>) {
        let mut walk = Faults {
            catalogue: self,
            source,
            problems,
        };
        for (key, s) in &self.substrate {
            let at = format!("substrate.{key}");
            walk.number(&at, "surface_energy", &s.surface_energy, "N/m");
            let own = |like: &String| self.substrate.get(like).is_some_and(|s| s.like.is_none());
            if s.like.as_ref().is_some_and(|like| !own(like)) {
                let message = "must name a face that is not like another one";
                walk.say(&format!("{at}.like"), message);
            }
            if let Some(core) = &s.core_strength {
                walk.number(&at, "core_strength", core, "Pa");
            }
        }
        for (key, a) in &self.adhesive {
            walk.adhesive(&format!("adhesive.{key}"), a);
        }
    }
}

struct Faults<'a> {
    catalogue: &'a Catalogue,
    source: &'a Source,
    problems: &'a mut Vec<Problem>,
}

impl Faults<'_> {
    fn say(&mut self, field: &str, message: impl Into<String>) {
        self.problems.push(self.source.problem(field, message));
    }

    fn number(&mut self, at: &str, key: &str, s: &Sourced, unit: &str) {
        for fault in s.faults(unit, &self.catalogue.sources) {
            self.say(&format!("{at}.{key}"), fault);
        }
    }

    fn key(&mut self, field: &str, keys: &str) {
        for key in keys.split(", ") {
            if !self.catalogue.sources.contains_key(key) {
                self.say(field, format!("no source is called \"{key}\""));
            }
        }
    }

    fn face(&mut self, field: &str, name: &str) {
        if let Err(e) = self.catalogue.substrate(name) {
            self.say(field, e.to_string());
        }
    }

    fn adhesive(&mut self, at: &str, a: &Adhesive) {
        for (key, number, unit) in [
            ("density", Some(&a.density), "kg/m3"),
            ("gap", Some(&a.gap), "m"),
            ("minimum_temperature", Some(&a.minimum_temperature), "K"),
            ("service_temperature", Some(&a.service_temperature), "K"),
            ("cold_limit", Some(&a.cold_limit), "K"),
            ("time_factor", Some(&a.time_factor), "1"),
            ("activation", Some(&a.activation), "J/mol"),
            ("waste", Some(&a.waste), "1"),
            ("spread", Some(&a.spread), "s/m2"),
            ("batch_limit", a.batch_limit.as_ref(), "kg"),
            ("pot_mass", a.pot_mass.as_ref(), "kg"),
            ("coat_kg_m2", a.coat_kg_m2.as_ref(), "kg/m2"),
            ("gap_s_m2", a.gap_s_m2.as_ref(), "s/m2"),
            ("static_stress", a.static_stress.as_ref(), "Pa"),
            ("strength", Some(&a.strength), "Pa"),
        ] {
            if let Some(number) = number {
                self.number(at, key, number, unit);
            }
        }
        for (face, number) in &a.strength_on {
            self.face(&format!("{at}.strength_on.{face}"), face);
            self.number(at, &format!("strength_on.{face}"), number, "Pa");
        }
        for (face, number) in &a.fixture {
            self.face(&format!("{at}.fixture.{face}"), face);
            self.number(at, &format!("fixture.{face}"), number, "s");
        }
        for face in a.suits.keys() {
            self.face(&format!("{at}.suits.{face}"), face);
        }
        for (face, primer) in &a.primer {
            let field = format!("{at}.primer.{face}");
            self.face(&field, face);
            let takes = self.catalogue.adhesive.get(primer).is_some_and(|p| {
                p.role == Role::Primer && p.suits.get(face).is_some_and(|s| s.score > 0)
            });
            if !takes {
                self.say(&field, format!("\"{primer}\" is no primer for {face}"));
            }
        }
        let missing: Vec<&String> = self
            .catalogue
            .substrate
            .iter()
            .filter(|(face, s)| s.like.is_none() && !a.suits.contains_key(*face))
            .map(|(face, _)| face)
            .collect();
        if !missing.is_empty() {
            self.say(
                &format!("{at}.suits"),
                format!("says nothing about {missing:?}"),
            );
        }
        let stages = [
            ("joinable", a.joinable.as_ref()),
            ("open", Some(&a.open)),
            ("handling", Some(&a.handling)),
            ("full", Some(&a.full)),
        ];
        for (key, stage) in stages {
            if let Some(stage) = stage {
                let field = format!("{at}.{key}");
                self.key(&field, &stage.source);
                if let Err(e) = a.clock(stage, &super::schedule::Seam::default()) {
                    self.say(&field, e.to_string());
                }
            }
        }
    }
}
