//! What an answer was computed from: every number with its range, its source and its standing, and how many of each standing.

mod record;

use std::collections::BTreeMap;

use serde::Serialize;

use crate::file::Given;
use crate::material::{self, Catalogue, Material, Need, ROOM_K, short};
use crate::sourced::{Constant, Sourced, Standing};
use crate::{bond, heat, memory, mount, physics, plan, shape, stock};

/// A number that was used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Used {
    /// Whose it is: `abs`, `sheet rack 3`, `gun`, `constant`.
    pub of: String,
    /// What it is, whole: `abs: heat capacity`.
    pub name: String,
    /// Value and range for people, in shop units where it is a material's.
    pub shown: String,
    /// The number, SI, with its source in words.
    #[serde(flatten)]
    pub sourced: Sourced,
    /// The file that it came from; empty for a constant of the program.
    pub origin: String,
}

/// Every constant of the program, room by room.
///
/// ```
/// let all = mountwright::provenance::rooms();
/// assert!(all.iter().flat_map(|(_, constants)| *constants).any(|c| c.name == "dose.limit"));
/// ```
pub fn rooms() -> Vec<(&'static str, &'static [&'static Constant])> {
    vec![
        ("physics", physics::CONSTANTS),
        ("materials", material::SOFTENING),
        ("materials", material::FOAM),
        ("materials", material::RANKING),
        ("heat", heat::constants::RECIPE),
        ("heat", heat::constants::GUN),
        ("heat", heat::constants::OTHERS),
        ("shape", shape::CONSTANTS),
        ("layouts", stock::CONSTANTS),
        ("joints", bond::CONSTANTS),
        ("mount", mount::CONSTANTS),
        ("plan", plan::CONSTANTS),
        ("memory", memory::CONSTANTS),
    ]
}

/// Every number that was used.
///
/// ```
/// use mountwright::material::{Catalogue, DEFLECTION_STRAIN};
/// use mountwright::provenance::Provenance;
/// use mountwright::sourced::Standing;
/// let catalogue = Catalogue::standard()?;
/// let mut used = Provenance::default();
/// used.material("abs", catalogue.get("abs")?, catalogue);
/// used.constants("materials", [&DEFLECTION_STRAIN]);
/// assert!(used.counts[Standing::Published.name()] > 10);
/// assert_eq!(used.entries[0].shown, "1040 (1030 to 1080) kg/m³");
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Provenance {
    /// How many of each standing.
    pub counts: BTreeMap<&'static str, usize>,
    /// The numbers.
    pub entries: Vec<Used>,
}

impl Provenance {
    /// Every number and curve of a material, as `whose`: its name, or that of the sheet that was measured.
    pub fn material(&mut self, whose: &str, material: &Material, catalogue: &Catalogue) {
        for (property, entry) in &material.entries {
            self.add(Used {
                of: whose.into(),
                name: format!("{whose}: {}", property.key().replace('_', " ")),
                shown: property.show_range(&entry.sourced),
                sourced: cited(&entry.sourced, |key| words(key, catalogue)),
                origin: entry.origin.clone(),
            });
        }
        for (property, curve) in &material.curves {
            let values = curve.table.value().iter().copied();
            let sourced = Sourced {
                value: curve.table.at(ROOM_K),
                low: values.clone().fold(f64::INFINITY, f64::min),
                high: values.fold(f64::NEG_INFINITY, f64::max),
                unit: property.dimension().si_unit().into(),
                source: curve.source.clone(),
                standing: curve.standing,
                note: curve.note.clone(),
            };
            self.add(Used {
                of: whose.into(),
                name: format!(
                    "{whose}: {} over temperature",
                    property.key().replace('_', " ")
                ),
                shown: property.show_range(&sourced),
                sourced: cited(&sourced, |key| words(key, catalogue)),
                origin: curve.origin.clone(),
            });
        }
        self.sheet_stock(whose, material, catalogue);
    }

    /// How true the thickness is, and the times in the drying oven.
    fn sheet_stock(&mut self, whose: &str, material: &Material, catalogue: &Catalogue) {
        let mut tell = |what: &str, value: f64, unit: &str, told: (&str, Standing, &str)| {
            let sourced = Sourced {
                value,
                low: value,
                high: value,
                unit: unit.into(),
                source: told.0.into(),
                standing: told.1,
                note: told.2.into(),
            };
            let cited = cited(&sourced, |key| words(key, catalogue));
            self.number(whose, &format!("{whose}: {what}"), &cited, &material.origin);
        };
        if let Some(t) = material.stock.as_ref().and_then(|s| s.tolerance.as_ref()) {
            let told = (t.source.as_str(), t.standing, t.note.as_str());
            tell("thickness tolerance, fixed", t.fixed_m, "m", told);
            tell("thickness tolerance, share", t.share_fraction, "1", told);
        }
        if let Some(drying) = material.drying.as_ref().filter(|d| d.needed != Need::No) {
            let told = (
                drying.source.as_str(),
                drying.standing,
                drying.note.as_str(),
            );
            if let Some(k) = drying.temperature_k {
                tell("drying temperature", k, "K", told);
            }
            for (thickness_m, seconds) in &drying.times {
                let what = format!("drying time at {} mm", short(thickness_m * 1e3));
                tell(&what, *seconds, "s", told);
            }
        }
    }

    /// Constants of the program, by the room that they belong to.
    pub fn constants<'c>(&mut self, room: &str, constants: impl IntoIterator<Item = &'c Constant>) {
        let of = format!("constants: {room}");
        for constant in constants {
            self.number(&of, constant.name, &constant.sourced(), "");
        }
    }

    /// Every sourced number in a record of a catalogue, whatever its fields are called; `keep` says which of them were used, by
    /// their path (`steps.lay the film.dry`), `words` tells a source's key in words.
    pub fn record(
        &mut self,
        of: &str,
        record: &impl Serialize,
        keep: impl Fn(&str) -> bool,
        words: impl Fn(&str) -> String,
    ) {
        let Ok(value) = serde_json::to_value(record) else {
            return;
        };
        let mut found = vec![];
        record::gather(&value, "", &mut found);
        for (path, sourced) in found.into_iter().filter(|(path, _)| keep(path)) {
            let name = format!("{of}: {}", path.replace('_', " ").replace('.', ", "));
            self.number(of, &name, &cited(&sourced, &words), "");
        }
    }

    /// A number that the user wrote in a file of their own, shown as it is written.
    pub fn given(&mut self, of: &str, given: &Given, standing: Standing, origin: &str) {
        let Given {
            field,
            text,
            measure,
            unit,
        } = given;
        self.add(Used {
            of: of.into(),
            name: format!("{of}: {field}"),
            shown: text.clone(),
            sourced: Sourced {
                value: measure.value,
                low: measure.value - measure.plus_minus,
                high: measure.value + measure.plus_minus,
                unit: (*unit).into(),
                source: if standing == Standing::MeasuredByShop {
                    material::MEASURED.into()
                } else {
                    "the user's own file".into()
                },
                standing,
                note: String::new(),
            },
            origin: origin.into(),
        });
    }

    /// Any other number; its source is in words already.
    pub fn number(&mut self, of: &str, name: &str, sourced: &Sourced, origin: &str) {
        self.add(Used {
            of: of.into(),
            name: name.into(),
            shown: shown(sourced),
            sourced: sourced.clone(),
            origin: origin.into(),
        });
    }

    /// A number told twice stands once.
    fn add(&mut self, used: Used) {
        if self.entries.iter().any(|u| u.name == used.name) {
            return;
        }
        *self.counts.entry(used.sourced.standing.name()).or_insert(0) += 1;
        self.entries.push(used);
    }
}

/// Value and range in units of the shop: millimetres, degrees Celsius, megapascals, minutes, hours.
/// The value with its range, in units of the shop.
pub(crate) fn shown(sourced: &Sourced) -> String {
    let size = sourced.value.abs().max(sourced.high.abs());
    let (per_unit, zero, unit) = match sourced.unit.as_str() {
        "1" => (1.0, 0.0, ""),
        "m" if size < 1.0 => (1e3, 0.0, "mm"),
        // Differences of temperature are smaller than any temperature of a shop.
        "K" if sourced.low > 150.0 => (1.0, -273.15, "°C"),
        "Pa" if size >= 1e5 => (1e-6, 0.0, "MPa"),
        "s" if size >= 7200.0 => (1.0 / 3600.0, 0.0, "h"),
        "s" if size >= 120.0 => (1.0 / 60.0, 0.0, "min"),
        "m3" if size < 1e-3 => (1e6, 0.0, "mL"),
        unit => (1.0, 0.0, unit),
    };
    let figure = |si: f64| short(si * per_unit + zero);
    let range = if sourced.high > sourced.low {
        format!(" ({} to {})", figure(sourced.low), figure(sourced.high))
    } else {
        String::new()
    };
    let text = format!("{}{range} {unit}", figure(sourced.value));
    text.trim_end().into()
}

/// The number with the keys of its sources told in words.
pub(crate) fn cited(sourced: &Sourced, words: impl Fn(&str) -> String) -> Sourced {
    let all: Vec<String> = sourced.source.split(", ").map(words).collect();
    Sourced {
        source: all.join("; "),
        ..sourced.clone()
    }
}

/// A source of the catalogue in words; what is no key stays as it is.
fn words(key: &str, catalogue: &Catalogue) -> String {
    catalogue
        .source(key)
        .map_or_else(|_| key.into(), ToString::to_string)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;
    use std::path::{Path, PathBuf};

    fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                rust_files(&path, found);
            } else if path.extension().is_some_and(|e| e == "rs") {
                found.push(path);
            }
        }
    }

    #[test]
    fn every_constant_of_the_source_is_in_the_list_of_its_room() {
        let listed: BTreeSet<&str> = rooms()
            .iter()
            .flat_map(|(_, constants)| constants.iter().map(|c| c.name))
            .collect();
        let count: usize = rooms().iter().map(|(_, c)| c.len()).sum();
        assert_eq!(listed.len(), count, "a name stands twice");
        let mut files = vec![];
        rust_files(
            &Path::new(env!("CARGO_MANIFEST_DIR")).join("src"),
            &mut files,
        );
        let mut seen = 0;
        for path in files {
            let text = std::fs::read_to_string(&path).unwrap();
            for after in text.split(concat!(": Constant", " =")).skip(1) {
                // The name is the first text of the definition.
                let name = after.split('"').nth(1).unwrap();
                assert!(
                    listed.contains(name),
                    "{name} of {} is in no room's list",
                    path.display()
                );
                seen += 1;
            }
        }
        assert_eq!(seen, count, "a list names what the source does not define");
    }

    #[test]
    fn a_constant_has_its_value_in_its_range_and_a_source() {
        for constant in rooms().iter().flat_map(|(_, c)| *c) {
            assert!(
                constant.low <= constant.value && constant.value <= constant.high,
                "{}",
                constant.name
            );
            assert!(!constant.source.is_empty() && !constant.unit.is_empty());
        }
    }

    #[test]
    fn numbers_are_shown_in_units_of_the_shop() {
        let told = |value: f64, low: f64, high: f64, unit: &str| {
            shown(&Sourced {
                value,
                low,
                high,
                unit: unit.into(),
                source: "made up".into(),
                standing: Standing::Invented,
                note: String::new(),
            })
        };
        assert_eq!(told(283.15, 278.15, 288.15, "K"), "10 (5 to 15) °C");
        assert_eq!(told(10.0, 5.0, 15.0, "K"), "10 (5 to 15) K");
        assert_eq!(told(0.0008, 0.0005, 0.0015, "m"), "0.8 (0.5 to 1.5) mm");
        assert_eq!(told(5e6, 2.5e6, 8e6, "Pa"), "5 (2.5 to 8) MPa");
        assert_eq!(told(30.0, 30.0, 30.0, "s"), "30 s");
        assert_eq!(told(86_400.0, 86_400.0, 86_400.0, "s"), "24 h");
        assert_eq!(told(1.5, 1.0, 2.0, "1"), "1.5 (1 to 2)");
    }

    #[test]
    fn a_record_is_walked_whole() {
        let record = serde_json::json!({
            "name": "made up",
            "density": { "value": 2.0, "low": 1.0, "high": 3.0, "unit": "kg/m3", "source": "a, b",
                "standing": "published", "note": "" },
            "full": { "law": "shifted", "temperature_k": [290.0, 300.0], "time_s": [7.0, 5.0],
                "source": "b", "standing": "remembered", "note": "n" },
            "steps": [{ "name": "wipe", "wait": { "value": 60.0, "low": 60.0, "high": 60.0, "unit": "s",
                "source": "b", "standing": "invented" } }],
        });
        let mut report = Provenance::default();
        report.record(
            "glue",
            &record,
            |path| path != "density",
            |key| format!("<{key}>"),
        );
        let told: Vec<(&str, f64, &str)> = report
            .entries
            .iter()
            .map(|u| (u.name.as_str(), u.sourced.value, u.sourced.unit.as_str()))
            .collect();
        assert_eq!(
            told,
            [
                ("glue: full, temperature k 1", 290.0, "K"),
                ("glue: full, temperature k 2", 300.0, "K"),
                ("glue: full, time s 1", 7.0, "s"),
                ("glue: full, time s 2", 5.0, "s"),
                ("glue: steps, wipe, wait", 60.0, "s"),
            ]
        );
        assert_eq!(report.entries[0].sourced.source, "<b>");
        assert_eq!(report.counts["remembered"], 4);
    }

    #[test]
    fn a_report_names_every_number_once_and_counts_them() {
        let catalogue = Catalogue::standard().unwrap();
        let abs = catalogue.get("abs").unwrap();
        let mut report = Provenance::default();
        report.material("abs", abs, catalogue);
        report.material("abs", abs, catalogue);
        // Beside properties and curves: both parts of the tolerance, and what is known of drying.
        let stock = |u: &&Used| u.name.contains("tolerance") || u.name.contains("drying");
        let others = report.entries.iter().filter(stock).count();
        assert_eq!(
            report.entries.len() - others,
            abs.entries.len() + abs.curves.len()
        );
        let drying = abs.drying.as_ref().unwrap();
        assert_eq!(
            others,
            2 + usize::from(drying.temperature_k.is_some()) + drying.times.len()
        );
        assert_eq!(report.counts.values().sum::<usize>(), report.entries.len());
        let hdt = report
            .entries
            .iter()
            .find(|u| u.name == "abs: hdt 1820")
            .unwrap();
        assert_eq!(hdt.shown, "93 (80 to 104) °C");
        assert!(
            report
                .entries
                .iter()
                .any(|u| u.sourced.source.contains("handbook knowledge"))
        );
    }
}
