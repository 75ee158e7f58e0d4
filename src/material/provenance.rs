//! What a plan was computed from: every number with its range, its source and its standing, and how many of each standing.

use std::collections::BTreeMap;
use std::fmt;

use serde::Serialize;

use super::catalogue::Catalogue;
use super::material::Material;
use super::property::Property;
use crate::sourced::{Constant, Sourced, Standing};

/// A number that was used.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Used {
    /// Whose it is: `abs`, `shop`, `constant`.
    pub of: String,
    /// What it is: `heat_capacity`, `jet.velocity_decay`.
    pub name: String,
    /// The number.
    #[serde(flatten)]
    pub sourced: Sourced,
    /// The file that it came from; empty for a constant of the program.
    pub origin: String,
    /// Its sources in words, one each.
    pub citations: Vec<String>,
    /// Value and range for people, in shop units.
    pub shown: String,
}

/// Every number that was used, in the order in which they were told.
///
/// ```
/// use mountwright::material::{Catalogue, DEFLECTION_STRAIN, Provenance};
/// let catalogue = Catalogue::standard()?;
/// let mut used = Provenance::default();
/// used.material(catalogue.get("abs")?, catalogue);
/// used.constant(&DEFLECTION_STRAIN);
/// println!("{used}");
/// assert!(used.counts().values().sum::<usize>() > 30);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Provenance {
    /// The numbers.
    pub used: Vec<Used>,
}

impl Provenance {
    /// Every number and curve of a material.
    pub fn material(&mut self, material: &Material, catalogue: &Catalogue) {
        for (property, entry) in &material.entries {
            self.add(Used {
                of: material.name.clone(),
                name: property.key().into(),
                shown: property.show_range(&entry.sourced),
                citations: citations(&entry.sourced.source, catalogue),
                sourced: entry.sourced.clone(),
                origin: entry.origin.clone(),
            });
        }
        for (property, curve) in &material.curves {
            let values = curve.table.value();
            let of_all =
                |pick: fn(f64, f64) -> f64, start| values.iter().copied().fold(start, pick);
            let sourced = Sourced {
                value: curve.table.at(super::ROOM_K),
                low: of_all(f64::min, f64::INFINITY),
                high: of_all(f64::max, f64::NEG_INFINITY),
                unit: property.dimension().si_unit().into(),
                source: curve.source.clone(),
                standing: curve.standing,
                note: curve.note.clone(),
            };
            self.add(Used {
                of: material.name.clone(),
                name: format!("{} over temperature", property.key()),
                shown: property.show_range(&sourced),
                citations: citations(&curve.source, catalogue),
                sourced,
                origin: curve.origin.clone(),
            });
        }
    }

    /// A constant of the program.
    pub fn constant(&mut self, constant: &Constant) {
        let sourced = constant.sourced();
        self.number("constant", constant.name, &sourced, "");
    }

    /// Any other number: of the shop, of a job.
    pub fn number(&mut self, of: &str, name: &str, sourced: &Sourced, origin: &str) {
        let unit = if sourced.unit == "1" {
            ""
        } else {
            &sourced.unit
        };
        self.add(Used {
            of: of.into(),
            name: name.into(),
            shown: format!(
                "{} ({} to {}) {unit}",
                short(sourced.value),
                short(sourced.low),
                short(sourced.high)
            )
            .trim_end()
            .into(),
            citations: vec![sourced.source.clone()],
            sourced: sourced.clone(),
            origin: origin.into(),
        });
    }

    /// A number told twice stands once.
    fn add(&mut self, used: Used) {
        if !self
            .used
            .iter()
            .any(|u| u.of == used.of && u.name == used.name)
        {
            self.used.push(used);
        }
    }

    /// How many numbers have each standing.
    pub fn counts(&self) -> BTreeMap<Standing, usize> {
        let mut counts = BTreeMap::new();
        for used in &self.used {
            *counts.entry(used.sourced.standing).or_insert(0) += 1;
        }
        counts
    }

    /// The words for a standing, as a report prints them.
    pub fn words(standing: Standing) -> &'static str {
        match standing {
            Standing::Published => "published",
            Standing::CommonPractice => "common practice",
            Standing::Remembered => "remembered",
            Standing::Derived => "derived",
            Standing::MeasuredByShop => "measured by the shop",
            Standing::Invented => "invented",
        }
    }
}

impl fmt::Display for Provenance {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let counts = self.counts();
        let told: Vec<String> = counts
            .iter()
            .map(|(s, n)| format!("{n} {}", Self::words(*s)))
            .collect();
        writeln!(f, "{} numbers: {}", self.used.len(), told.join(", "))?;
        let mut of = "";
        for used in &self.used {
            if used.of != of {
                of = &used.of;
                writeln!(f, "\n{of}")?;
            }
            let standing = Self::words(used.sourced.standing);
            writeln!(
                f,
                "  {}: {}  [{standing}]",
                used.name.replace('_', " "),
                used.shown
            )?;
            writeln!(f, "    {}", used.citations.join("; "))?;
            if !used.sourced.note.is_empty() {
                writeln!(f, "    {}", used.sourced.note)?;
            }
            if !used.origin.is_empty() && used.origin != super::STANDARD {
                writeln!(f, "    from {}", used.origin)?;
            }
        }
        Ok(())
    }
}

fn citations(keys: &str, catalogue: &Catalogue) -> Vec<String> {
    let words = |key: &str| {
        catalogue
            .source(key)
            .map_or_else(|_| key.into(), ToString::to_string)
    };
    keys.split(", ").map(words).collect()
}

/// Three significant digits, whole numbers in full, without a tail of zeros.
pub(super) fn short(x: f64) -> String {
    if x == 0.0 || !x.is_finite() {
        return format!("{x}");
    }
    let magnitude = x.abs().log10().floor();
    if !(-3.0..6.0).contains(&magnitude) {
        return format!("{x:.2e}");
    }
    let scale = 10_f64.powf((magnitude - 2.0).min(0.0));
    let rounded = (x / scale).round() * scale;
    let text = format!("{rounded:.5}");
    text.trim_end_matches('0').trim_end_matches('.').into()
}

impl Property {
    /// A value in shop units: `121 °C`, `2200 MPa`, `0.18 W/m/K`.
    ///
    /// ```
    /// use mountwright::material::Property;
    /// assert_eq!(Property::Limp.show(394.15), "121 °C");
    /// assert_eq!(Property::YoungsModulus.show(2.2e9), "2200 MPa");
    /// assert_eq!(Property::Emissivity.show(0.9), "0.9");
    /// ```
    pub fn show(self, si: f64) -> String {
        let (factor, offset, unit) = self.shop_unit();
        let number = if self.dimension() == crate::quantity::Dimension::Temperature {
            format!("{:.0}", si + offset)
        } else {
            short(si * factor)
        };
        format!("{number} {unit}").trim_end().into()
    }

    /// Value and range in shop units: `121 (104 to 127) °C`.
    pub fn show_range(self, sourced: &Sourced) -> String {
        let unit = self.shop_unit().2;
        let bare = |si: f64| {
            let text = self.show(si);
            text.strip_suffix(unit)
                .unwrap_or(&text)
                .trim_end()
                .to_string()
        };
        let (value, low, high) = (bare(sourced.value), bare(sourced.low), bare(sourced.high));
        let range = if low == high {
            String::new()
        } else {
            format!(" ({low} to {high})")
        };
        format!("{value}{range} {unit}").trim_end().into()
    }

    /// Factor and offset from SI, and the unit of the shop.
    fn shop_unit(self) -> (f64, f64, &'static str) {
        use crate::quantity::Dimension as D;
        match self.dimension() {
            D::Temperature => (1.0, -273.15, "°C"),
            D::Pressure
                if matches!(self, Self::CompressionStress25 | Self::CompressionStress50) =>
            {
                (1e-3, 0.0, "kPa")
            }
            D::Pressure => (1e-6, 0.0, "MPa"),
            D::SpecificEnergy => (1e-3, 0.0, "J/g"),
            D::MolarEnergy => (1e-3, 0.0, "kJ/mol"),
            D::Expansion => (1e6, 0.0, "µm/m/K"),
            D::Length => (1e3, 0.0, "mm"),
            D::Time => (1.0 / 60.0, 0.0, "min"),
            D::TimePerLength => (1e-3, 0.0, "s/mm"),
            D::Fraction if self.field().ends_with("_fraction") => (100.0, 0.0, "%"),
            D::Fraction => (1.0, 0.0, ""),
            other => (1.0, 0.0, other.si_unit()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_shown_as_a_shop_writes_them() {
        for (x, text) in [
            (0.0, "0"),
            (0.072, "0.072"),
            (1045.0, "1045"),
            (2.5, "2.5"),
            (9.4e-5, "9.40e-5"),
            (10.0, "10"),
        ] {
            assert_eq!(short(x), text);
        }
        assert_eq!(Property::WaterUptake.show(0.003), "0.3 %");
        let foam = Catalogue::standard().unwrap().get("expanded-pvc").unwrap();
        let limp = foam.sourced(Property::Limp).unwrap();
        assert_eq!(Property::Limp.show_range(limp), "121 (104 to 127) °C");
        let reference = foam.sourced(Property::DoseTemperature).unwrap();
        assert_eq!(Property::DoseTemperature.show_range(reference), "180 °C");
    }

    #[test]
    fn a_report_names_every_number_once_and_counts_them() {
        let catalogue = Catalogue::standard().unwrap();
        let abs = catalogue.get("abs").unwrap();
        let mut report = Provenance::default();
        report.material(abs, catalogue);
        report.material(abs, catalogue);
        assert_eq!(report.used.len(), abs.entries.len() + abs.curves.len());
        assert_eq!(report.counts().values().sum::<usize>(), report.used.len());
        let text = report.to_string();
        assert!(
            text.contains("hdt 1820: 93 (80 to 104) °C  [published]"),
            "{text}"
        );
        assert!(text.contains("handbook knowledge"));
    }
}
