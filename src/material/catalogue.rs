//! The catalogue: materials by name, the standard one and a user's file laid over it.

use std::collections::BTreeMap;
use std::fmt;
use std::sync::OnceLock;

use serde::Serialize;

use super::load;
use super::material::{Entry, Material, Role};
use super::property::Property;
use super::raw::{Known, RawFile};
use crate::error::{Error, Problem, Result};
use crate::file::{self, Names};
use crate::sourced::Constant;

/// Name of the catalogue that comes with the library, as results give it for the origin of a number.
pub const STANDARD: &str = "standard catalogue";

static TEXT: &str = include_str!("catalogue.toml");

/// Where numbers come from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Source {
    /// Its key.
    pub key: String,
    /// Who wrote it; a maker is described, not named.
    pub author: String,
    /// Its title.
    pub title: String,
    /// Its year; empty where none is printed.
    pub year: String,
    /// Page, table or section.
    pub place: String,
    /// Where it was read; empty where that would show a trade name.
    pub address: String,
    /// How it is known.
    pub how: Known,
    /// What else is to be known of it.
    pub note: String,
    /// The file that names it.
    pub origin: String,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}, {}", self.author, self.title)?;
        for part in [&self.year, &self.place, &self.address]
            .into_iter()
            .filter(|p| !p.is_empty())
        {
            write!(f, ", {part}")?;
        }
        Ok(())
    }
}

/// Distance that softening keeps above a temperature which a part stands for long; one that was formed hot wants more.
pub const SURVIVES_BY: Constant =
    Constant::practice("material.survives_by", [5.0, 10.0, 15.0], "K");

/// What a material must do to be listed; a field that is `None` asks nothing.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Wanted {
    /// What it is for.
    pub role: Option<Role>,
    /// Draws at this temperature or below. [K]
    pub formable_at_k: Option<f64>,
    /// Limp at this temperature or below. [K]
    pub limp_at_k: Option<f64>,
    /// Softens at this temperature or above ([`Properties::softening_k`](super::Properties::softening_k)): the lasting
    /// temperature of the place and the distance that is to be kept. [K]
    pub softens_above_k: Option<f64>,
    /// Stands this temperature for long: softens [`SURVIVES_BY`] above it or higher. [K]
    pub survives_k: Option<f64>,
    /// Stocked in this thickness. [m]
    pub stocked_m: Option<f64>,
    /// With or without PVC.
    pub contains_pvc: Option<bool>,
}

/// Materials by name, each number with the file that it came from.
#[derive(Debug, Clone, PartialEq, Serialize, Default)]
pub struct Catalogue {
    pub(super) materials: BTreeMap<String, Material>,
    pub(super) sources: BTreeMap<String, Source>,
    pub(super) defaults: BTreeMap<Property, Entry>,
}

impl Catalogue {
    /// The catalogue that comes with the library, read once.
    ///
    /// # Errors
    /// Never in a released library: a test walks it.
    ///
    /// ```
    /// use mountwright::material::Catalogue;
    /// let sheet = Catalogue::standard()?.get("foamed PVC")?;
    /// assert_eq!(sheet.name, "expanded-pvc");
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn standard() -> Result<&'static Self> {
        static ONCE: OnceLock<Result<Catalogue>> = OnceLock::new();
        ONCE.get_or_init(Self::read_standard)
            .as_ref()
            .map_err(Clone::clone)
    }

    /// Reads the text that comes with the library.
    fn read_standard() -> Result<Self> {
        let fault = |problems: Vec<Problem>| Error::Job {
            path: STANDARD.into(),
            problems,
        };
        let raw: RawFile = toml::from_str(TEXT).map_err(|e| {
            fault(vec![Problem {
                line: None,
                field: String::new(),
                message: e.to_string(),
            }])
        })?;
        load::laid_over(&Self::default(), &raw, STANDARD).map_err(|faults| {
            let problem = |(field, message)| Problem {
                line: None,
                field,
                message,
            };
            fault(faults.into_iter().map(problem).collect())
        })
    }

    /// This catalogue with a user's file laid over it: it adds materials, and replaces whole properties of known ones.
    ///
    /// `path` is the file's name, for messages and as the origin of its numbers.
    ///
    /// # Errors
    /// [`Error::Job`] with every fault of the file, its line and its key.
    ///
    /// ```
    /// use mountwright::material::{Catalogue, Property};
    /// let text = r#"
    /// schema = 1
    /// [sources.own-scale]
    /// author = "the shop"
    /// title = "weighed offcuts"
    /// how = "measured"
    /// [materials.expanded-pvc.properties]
    /// density = { value = 610, low = 590, high = 630, unit = "kg/m3", standing = "measured-by-shop", source = "own-scale" }
    /// "#;
    /// let own = Catalogue::standard()?.overlaid_with(text, "own.toml")?;
    /// let density = own.get("expanded-pvc")?.entry(Property::Density);
    /// assert_eq!(density.map(|d| d.origin.as_str()), Some("own.toml"));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn overlaid_with(&self, text: &str, path: &str) -> Result<Self> {
        let (raw, source) = file::read::<RawFile>(path, text, &Names::new(), &[])?;
        load::laid_over(self, &raw, path).map_err(|faults| {
            source.fault(
                faults
                    .into_iter()
                    .map(|(field, message)| source.problem(field, message))
                    .collect(),
            )
        })
    }

    /// JSON schema of a materials file, for editors.
    pub fn schema() -> schemars::Schema {
        file::schema::<RawFile>()
    }

    /// A material by its name or one of its aliases; case, spaces, underscores and hyphens do not matter.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest names.
    pub fn get(&self, name: &str) -> Result<&Material> {
        let wanted = canonical(name);
        self.materials
            .get(&wanted)
            .or_else(|| {
                self.materials
                    .values()
                    .find(|m| m.aliases.iter().any(|a| canonical(a) == wanted))
            })
            .ok_or_else(|| {
                let words = self
                    .materials
                    .values()
                    .flat_map(|m| std::iter::once(&m.name).chain(&m.aliases));
                Error::unknown("material", name, words.map(String::as_str))
            })
    }

    /// Canonical names, in the order of the alphabet.
    pub fn names(&self) -> Vec<&str> {
        self.materials.keys().map(String::as_str).collect()
    }

    /// Every material, in the order of the names.
    pub fn materials(&self) -> impl Iterator<Item = &Material> {
        self.materials.values()
    }

    /// A source by its key.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest keys.
    pub fn source(&self, key: &str) -> Result<&Source> {
        let unknown = || Error::unknown("source", key, self.sources.keys().map(String::as_str));
        self.sources.get(key).ok_or_else(unknown)
    }

    /// Every source, in the order of the keys.
    pub fn sources(&self) -> impl Iterator<Item = &Source> {
        self.sources.values()
    }

    /// The materials that do what is wanted, in the order of the names. A material without the number that is asked for does not.
    ///
    /// ```
    /// use mountwright::material::{Catalogue, Wanted};
    /// // 95 °C for long, and 10 K to spare
    /// let hot = Wanted { softens_above_k: Some(105.0 + 273.15), ..Wanted::default() };
    /// let names: Vec<&str> = Catalogue::standard()?.matching(&hot).iter().map(|m| &*m.name).collect();
    /// assert_eq!(names, ["pc", "pmma-cast", "pp"]);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn matching(&self, wanted: &Wanted) -> Vec<&Material> {
        let at_most = |m: &Material, p, limit: Option<f64>| {
            limit.is_none_or(|limit| m.entry(p).is_some_and(|e| e.sourced.value <= limit))
        };
        let serves_above = |m: &Material, limit: Option<f64>| {
            limit.is_none_or(|t| {
                let steady = m.entry(Property::MaxService);
                steady.is_none_or(|e| e.sourced.value >= t)
            })
        };
        let softens_above = |m: &Material, limit: Option<f64>| {
            limit.is_none_or(|t| m.properties().softening_k().is_some_and(|s| s >= t))
        };
        let fits = |m: &&Material| {
            wanted.role.is_none_or(|role| m.role == role)
                && wanted
                    .contains_pvc
                    .is_none_or(|with| m.contains_pvc == with)
                && at_most(m, Property::Formable, wanted.formable_at_k)
                && at_most(m, Property::Limp, wanted.limp_at_k)
                && softens_above(m, wanted.softens_above_k)
                && softens_above(m, wanted.survives_k.map(|t| t + SURVIVES_BY.value))
                && serves_above(m, wanted.survives_k.map(|t| t + SURVIVES_BY.value))
                && wanted
                    .stocked_m
                    .is_none_or(|t| m.stock.as_ref().is_some_and(|s| s.has(t)))
        };
        self.materials.values().filter(fits).collect()
    }
}

/// Small letters, with a single hyphen for spaces, underscores and hyphens.
pub(super) fn canonical(name: &str) -> String {
    let lower = name.to_lowercase();
    let words = lower.split([' ', '_', '-']).filter(|word| !word.is_empty());
    words.collect::<Vec<_>>().join("-")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::RemarkKind;
    use crate::sourced::Standing;

    #[test]
    fn the_standard_file_has_no_fault_that_a_users_file_would_be_told() {
        // The same text through the door of user files: unknown keys, units, ranges, orders, sources that
        // nothing resolves or nothing names, 'published' without a citation.
        Catalogue::default()
            .overlaid_with(TEXT, "catalogue.toml")
            .unwrap();
    }

    #[test]
    fn every_material_of_the_trade_is_there_under_its_words() {
        let c = Catalogue::standard().unwrap();
        for (words, name) in [
            ("Foamed PVC", "expanded-pvc"),
            ("dense expanded PVC", "expanded-pvc-dense"),
            ("uPVC", "rigid-pvc"),
            ("cast acrylic", "pmma-cast"),
            ("extruded PMMA", "pmma-extruded"),
            ("polycarbonate", "pc"),
            ("acrylic-PVC alloy", "acrylic-pvc"),
            ("aluminum", "aluminium"),
            ("MDF", "wood-board"),
            ("EVA_foam", "eva-foam"),
        ] {
            assert_eq!(c.get(words).unwrap().name, name);
        }
        for name in [
            "abs", "hips", "petg", "pp", "hdpe", "pcl", "pe-foam", "steel",
        ] {
            assert_eq!(c.get(name).unwrap().name, name);
        }
        let miss = c.get("polycarbonat").unwrap_err().to_string();
        assert!(miss.contains("polycarbonate"), "{miss}");
    }

    #[test]
    fn limp_and_formable_are_two_numbers_of_every_formable_sheet() {
        for m in Catalogue::standard()
            .unwrap()
            .materials()
            .filter(|m| m.role == Role::Sheet)
        {
            let (limp, formable) = (
                m.sourced(Property::Limp).unwrap(),
                m.sourced(Property::Formable).unwrap(),
            );
            assert!(limp.value < formable.value, "{}", m.name);
            assert!(!limp.source.is_empty() && !formable.source.is_empty());
        }
    }

    #[test]
    fn what_surprises_reaches_the_user() {
        let c = Catalogue::standard().unwrap();
        let foam = c.get("expanded-pvc").unwrap();
        // Makers list 55 to 60 °C; the hydrogen chloride begins inside the window.
        let service = foam.sourced(Property::MaxService).unwrap();
        assert!(service.low >= 55.0 + 273.0 && service.high <= 60.0 + 273.2);
        assert!(foam.properties().forming().unwrap().fumes_inside_window());
        for about in ["max_service", "forming window", "reheating"] {
            assert!(
                foam.remarks
                    .iter()
                    .any(|r| r.about == about && r.kind == RemarkKind::Surprise)
            );
        }
        let weak = foam.notes_on(&[Property::Conductivity]);
        assert!(weak.iter().any(|n| n.text.contains("derived")));
        let pcl = c.get("pcl").unwrap().properties().melting().unwrap();
        assert!(pcl.freezing_start_k < pcl.start_k, "it supercools");
    }

    #[test]
    fn a_new_material_may_lean_on_the_defaults_and_the_standard_sources() {
        let number = |value: f64, unit: &str| {
            format!(
                "{{ value = {value}, low = {value}, high = {value}, unit = \"{unit}\", standing = \"remembered\", source = \"handbooks-remembered\" }}"
            )
        };
        let mut text = String::from(
            "schema = 1\n[materials.own-sheet]\nabout = \"made up\"\nrole = \"sheet\"\nstructure = \"amorphous\"\n\
             [materials.own-sheet.hazards]\nfumes = []\ncautions = [\"extract\"]\nstanding = \"invented\"\nsource = \"trade-stock\"\n\
             [materials.own-sheet.properties]\n",
        );
        for (key, value, unit) in [
            ("density", 1.1, "g/cm3"),
            ("conductivity", 1.2, "BTU in/h/ft2/F"),
            ("heat_capacity", 0.33, "cal/g/K"),
            ("set", 176.0, "°F"),
            ("limp", 260.0, "°F"),
            ("formable", 280.0, "°F"),
            ("upper", 350.0, "°F"),
            ("degradation", 400.0, "°F"),
        ] {
            text.extend([key, " = ", &number(value, unit), "\n"]);
        }
        let own = Catalogue::standard()
            .unwrap()
            .overlaid_with(&text, "own.toml")
            .unwrap();
        let sheet = own.get("own sheet").unwrap();
        assert_eq!(sheet.origin, "own.toml");
        let dose = sheet.entry(Property::DoseTime).unwrap();
        assert_eq!(dose.origin, STANDARD);
        assert_eq!(dose.sourced.standing, Standing::Remembered);
        let p = sheet.properties();
        assert!((p.density_kg_m3() - 1100.0).abs() < 1e-9);
        assert!((p.dose().unwrap().reference_temperature_k - (400.0 + 459.67) / 1.8).abs() < 1e-9);
    }
}
