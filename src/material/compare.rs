//! Materials for people: one in rows, several side by side, in shop units.

use std::fmt;

use serde::Serialize;

use super::catalogue::Catalogue;
use super::material::Material;
use super::property::Property;
use crate::error::Result;
use crate::sourced::Standing;

/// One number of a material for people.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PropertyRow {
    /// The property.
    pub property: Property,
    /// Its name with the SI unit.
    pub field: &'static str,
    /// What it means, in one line.
    pub meaning: &'static str,
    /// Value and range in shop units.
    pub shown: String,
    /// Where it comes from.
    pub standing: Standing,
    /// Keys of its sources, separated by `, `.
    pub source: String,
    /// The file that it came from.
    pub origin: String,
    /// Conditions and conflicts; may be empty.
    pub note: String,
}

impl Material {
    /// Every number in shop units, in the order of the properties.
    ///
    /// ```
    /// use mountwright::material::Catalogue;
    /// let rows = Catalogue::standard()?.get("abs")?.rows();
    /// assert!(rows.iter().any(|r| r.shown == "93 (80 to 104) °C"));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn rows(&self) -> Vec<PropertyRow> {
        self.entries
            .iter()
            .map(|(property, entry)| PropertyRow {
                property: *property,
                field: property.field(),
                meaning: property.meaning(),
                shown: property.show_range(&entry.sourced),
                standing: entry.sourced.standing,
                source: entry.sourced.source.clone(),
                origin: entry.origin.clone(),
                note: entry.sourced.note.clone(),
            })
            .collect()
    }
}

/// Some materials side by side.
///
/// ```
/// use mountwright::material::{Catalogue, Property};
/// let table = Catalogue::standard()?.compared(&["abs", "pc"], &[Property::Limp, Property::Hdt1820])?;
/// println!("{table}");
/// assert_eq!(table.rows[0].cells[0], "127 (127 to 130) °C");
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Comparison {
    /// The properties, one column each.
    pub columns: Vec<Property>,
    /// The materials, one row each.
    pub rows: Vec<Row>,
}

/// One material of a [`Comparison`].
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// Canonical name.
    pub material: String,
    /// Value and range for people, in the order of the columns; a dash where there is none.
    pub cells: Vec<String>,
}

impl Catalogue {
    /// Some materials side by side.
    ///
    /// # Errors
    /// [`crate::Error::Unknown`] for a name that is not in the catalogue.
    pub fn compared(&self, names: &[&str], properties: &[Property]) -> Result<Comparison> {
        let row = |name: &&str| {
            let material = self.get(name)?;
            let cell = |p: &Property| {
                material
                    .entry(*p)
                    .map_or_else(|| "–".into(), |e| p.show_range(&e.sourced))
            };
            Ok(Row {
                material: material.name.clone(),
                cells: properties.iter().map(cell).collect(),
            })
        };
        let rows = names.iter().map(row).collect::<Result<Vec<Row>>>()?;
        Ok(Comparison {
            columns: properties.to_vec(),
            rows,
        })
    }
}

impl fmt::Display for Comparison {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let heads = self.columns.iter().map(|p| p.key().replace('_', " "));
        let mut lines: Vec<Vec<String>> =
            vec![std::iter::once("material".into()).chain(heads).collect()];
        lines.extend(self.rows.iter().map(|r| {
            std::iter::once(&r.material)
                .chain(&r.cells)
                .cloned()
                .collect()
        }));
        let columns = lines.first().map_or(0, Vec::len);
        let width = |c: usize| {
            lines
                .iter()
                .map(|l| l[c].chars().count())
                .max()
                .unwrap_or(0)
        };
        let widths: Vec<usize> = (0..columns).map(width).collect();
        for line in &lines {
            let cells: Vec<String> = line
                .iter()
                .zip(&widths)
                .map(|(cell, w)| format!("{cell:<w$}"))
                .collect();
            writeln!(f, "{}", cells.join("  ").trim_end())?;
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_line_up_and_what_is_missing_is_a_dash() {
        let c = Catalogue::standard().unwrap();
        let table = c
            .compared(
                &["abs", "steel", "foamed PVC"],
                &[Property::Vicat, Property::Density],
            )
            .unwrap();
        assert_eq!(table.rows[1].cells[0], "–");
        let text = table.to_string();
        let at = |line: &str, word: &str| line.find(word).map(|i| line[..i].chars().count());
        let lines: Vec<&str> = text.lines().collect();
        assert_eq!(at(lines[0], "density"), at(lines[1], "1040"));
        assert_eq!(lines.len(), 4);
        assert!(c.compared(&["abss"], &[]).is_err());
    }
}
