//! What an answer was computed from: every number with its range, its source and its standing, and how many of each standing.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::material::{Catalogue, Material, ROOM_K, short};
use crate::sourced::{Constant, Sourced};

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

/// Every number that was used.
///
/// ```
/// use mountwright::material::{Catalogue, DEFLECTION_STRAIN};
/// use mountwright::provenance::Provenance;
/// use mountwright::sourced::Standing;
/// let catalogue = Catalogue::standard()?;
/// let mut used = Provenance::default();
/// used.material("abs", catalogue.get("abs")?, catalogue);
/// used.constants([&DEFLECTION_STRAIN]);
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
    }

    /// Constants of the program.
    pub fn constants<'c>(&mut self, constants: impl IntoIterator<Item = &'c Constant>) {
        for constant in constants {
            self.number("constant", constant.name, &constant.sourced(), "");
        }
    }

    /// Any other number; its source is in words already.
    pub fn number(&mut self, of: &str, name: &str, sourced: &Sourced, origin: &str) {
        let unit = if sourced.unit == "1" {
            ""
        } else {
            &sourced.unit
        };
        let range = if sourced.high > sourced.low {
            format!(" ({} to {})", short(sourced.low), short(sourced.high))
        } else {
            String::new()
        };
        self.add(Used {
            of: of.into(),
            name: name.into(),
            shown: format!("{}{range} {unit}", short(sourced.value))
                .trim_end()
                .into(),
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

    #[test]
    fn a_report_names_every_number_once_and_counts_them() {
        let catalogue = Catalogue::standard().unwrap();
        let abs = catalogue.get("abs").unwrap();
        let mut report = Provenance::default();
        report.material("abs", abs, catalogue);
        report.material("abs", abs, catalogue);
        assert_eq!(report.entries.len(), abs.entries.len() + abs.curves.len());
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
