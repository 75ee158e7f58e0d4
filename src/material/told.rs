//! What a user of one sheet is to be told: surprises, conflicts and weak data of its material, and what follows for its thickness.

use super::material::Material;
use super::property::Property;
use super::stock::{Need, THICKNESS};
use crate::error::{Note, Result};
use crate::quantity::{Dimension, System, show};

/// A tolerance wider than this share of the thickness is told: heating goes with the square of the thickness.
const WIDE: f64 = 0.07;

/// How a sheet is used, for what is told of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Use {
    /// Formed hot, not only cut.
    pub formed: bool,
    /// Heated by radiation.
    pub infrared: bool,
    /// Its thickness is measured.
    pub measured: bool,
}

impl Use {
    /// Only cut.
    pub const CUT: Self = Self {
        formed: false,
        infrared: false,
        measured: false,
    };
    /// Formed hot in warm air.
    pub const FORMED: Self = Self {
        formed: true,
        ..Self::CUT
    };
}

impl Material {
    /// What is to be told of a sheet of this material: the remarks of the catalogue, how far its thickness may be off, how long
    /// it is dried, how deep infrared goes.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a thickness outside 0.1 to 100 mm.
    ///
    /// ```
    /// use mountwright::material::{Catalogue, Use};
    /// let cast = Catalogue::standard()?.get("cast acrylic")?;
    /// let told = cast.notes_of_sheet(3e-3, Use::CUT)?;
    /// assert!(told.iter().any(|note| note.text.contains("2.3 to 3.7 mm")));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn notes_of_sheet(&self, thickness_m: f64, used: Use) -> Result<Vec<Note>> {
        let mut all = self.notes_for(used.formed);
        if !used.measured {
            all.extend(self.tolerance_note(thickness_m)?);
        }
        if used.formed {
            all.extend(self.drying_note(thickness_m)?);
        }
        if used.infrared {
            all.extend(self.infrared_note());
        }
        Ok(all)
    }

    fn about(&self, what: &str) -> String {
        format!("{}, {what}", self.name)
    }

    fn tolerance_note(&self, thickness_m: f64) -> Result<Option<Note>> {
        let tolerance = self.stock.as_ref().and_then(|s| s.tolerance.as_ref());
        let Some(half_m) = tolerance.map(|t| t.at(thickness_m)).transpose()? else {
            return Ok(None);
        };
        let text = format!(
            "sold as {:.1} mm it may be {:.1} to {:.1} mm, and heating times go with the square: measure it",
            thickness_m * 1e3,
            (thickness_m - half_m) * 1e3,
            (thickness_m + half_m) * 1e3
        );
        Ok((half_m > WIDE * thickness_m).then(|| Note::new(self.about("thickness"), text)))
    }

    fn drying_note(&self, thickness_m: f64) -> Result<Option<Note>> {
        let Some(drying) = self.drying.as_ref().filter(|d| d.needed != Need::No) else {
            return Ok(None);
        };
        let Some(seconds) = drying.time_s(thickness_m)? else {
            return Ok(None);
        };
        let oven = drying.temperature_k.map_or(String::new(), |k| {
            format!(" at {}", show(k, Dimension::Temperature, System::Metric, 0))
        });
        let when = match drying.needed {
            Need::IfBlistered => "a sheet that blisters when it is heated was damp",
            Need::Yes | Need::No => "dry it before it is heated",
        };
        let hours = |s: f64| s / 3600.0;
        let twice = drying.time_s((2.0 * thickness_m).min(THICKNESS.high))?;
        let text = format!(
            "{when}: {:.1} h{oven} in an oven dry {:.1} mm of it, {:.1} h twice the thickness; {}",
            hours(seconds),
            thickness_m * 1e3,
            hours(twice.unwrap_or(seconds)),
            drying.note
        );
        Ok(Some(Note::new(self.about("drying"), text)))
    }

    /// Says at the bench that sheet has to be dry, and how it is dried; nothing of what takes up no water to speak of.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a thickness outside 0.1 to 100 mm.
    ///
    /// ```
    /// use mountwright::{material::Catalogue, quantity::System};
    /// let told = |name| Catalogue::standard()?.get(name)?.dry_first(3e-3, System::Metric);
    /// assert!(told("pc")?.is_some_and(|line| line.starts_with("Dry the sheet first")));
    /// assert!(told("abs")?.is_some_and(|line| line.contains("blisters")));
    /// assert_eq!(told("petg")?, None);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn dry_first(&self, thickness_m: f64, units: System) -> Result<Option<String>> {
        let Some(drying) = self.drying.as_ref().filter(|d| d.needed != Need::No) else {
            return Ok(None);
        };
        let Some(seconds) = drying.time_s(thickness_m)? else {
            return Ok(None);
        };
        let oven = drying.temperature_k.map_or(String::new(), |k| {
            format!(" at {}", show(k, Dimension::Temperature, units, 0))
        });
        let when = match drying.needed {
            Need::IfBlistered => "Dry the sheet first only if a scrap of it blisters",
            Need::Yes | Need::No => "Dry the sheet first",
        };
        Ok(Some(format!(
            "{when}: {:.1} h{oven} in an oven.",
            seconds / 3600.0
        )))
    }

    fn infrared_note(&self) -> Option<Note> {
        let absorption = &self.entry(Property::InfraredAbsorption)?.sourced;
        let depth = |per_m: f64| 1e3 / per_m;
        let text = format!(
            "infrared goes about {:.1} mm deep ({:.1} to {:.1}); a recipe takes all of it at the face, so the face is a little cooler and the inside warmer than it says",
            depth(absorption.value),
            depth(absorption.high),
            depth(absorption.low)
        );
        Some(Note::new(self.about("infrared"), text))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Catalogue;

    fn told(name: &str, thickness_m: f64, used: Use) -> String {
        let material = Catalogue::standard().unwrap().get(name).unwrap();
        let notes = material.notes_of_sheet(thickness_m, used).unwrap();
        let lines: Vec<String> = notes
            .iter()
            .map(|n| format!("{}: {}", n.about, n.text))
            .collect();
        lines.join("\n")
    }

    #[test]
    fn each_surprise_of_the_sources_is_told_where_its_sheet_is_used() {
        let foamed = told("expanded-pvc", 3e-3, Use::FORMED);
        assert!(foamed.contains("55 to 60 °C at most"));
        assert!(foamed.contains("150 °C") && foamed.contains("time at temperature counts"));
        assert!(foamed.contains("weak data: No data sheet that was read gives the conductivity"));
        // ISO 7823-1: 0.4 mm and a tenth of the thickness, here of 5 mm.
        assert!(told("pmma-cast", 5e-3, Use::CUT).contains("4.1 to 5.9 mm"));
        let measured = Use {
            measured: true,
            ..Use::CUT
        };
        assert!(!told("pmma-cast", 5e-3, measured).contains("4.1 to 5.9 mm"));
        // The maker's table: 7 h for 3 mm at 120 °C; by the square 28 h for 6 mm, the table says 26.
        let pc = told("pc", 3e-3, Use::FORMED);
        assert!(
            pc.contains("7.0 h at 12") && pc.contains("26.0 h twice"),
            "{pc}"
        );
        assert!(!told("pc", 3e-3, Use::CUT).contains("dry it"));
        let pcl = told("pcl", 2e-3, Use::FORMED);
        assert!(pcl.contains("supercools") && pcl.contains("working time"));
        assert!(pcl.contains("weak data: "));
        // 1/1800 m, from 1/2300 to 1/1400.
        let radiant = Use {
            infrared: true,
            ..Use::FORMED
        };
        assert!(told("abs", 3e-3, radiant).contains("0.6 mm deep (0.4 to 0.7)"));
        assert!(told("abs", 3e-3, radiant).contains("sources disagree: "));
    }

    #[test]
    fn infrared_goes_half_a_millimetre_to_one_into_every_sheet() {
        // 0.4 to 1 mm (fire-model inputs of plastics); bounds of grades a little beyond.
        for m in Catalogue::standard().unwrap().materials() {
            if let Some(entry) = m.entry(Property::InfraredAbsorption) {
                let depth_mm = 1e3 / entry.sourced.value;
                assert!((0.3..=1.1).contains(&depth_mm), "{}: {depth_mm}", m.name);
            }
        }
    }
}
