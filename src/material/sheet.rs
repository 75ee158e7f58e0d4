//! The sheet in the rack, not the generic: what a shop measured on it takes the place of the catalogue's numbers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::foam::{STIFFNESS_POWER, foamed_pvc_conductivity_w_m_k};
use super::material::{Entry, Material};
use super::property::Property;
use super::stock::THICKNESS;
use crate::error::{Note, Range, Result, check};
use crate::quantity::Measure;
use crate::sourced::{Sourced, Standing};

/// The words that stand as the source of what a shop measured.
pub const MEASURED: &str = "measured by the shop";

/// A piece on the scales.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Piece {
    /// Its mass. [kg]
    pub mass_kg: Measure,
    /// Its area, one face. [m²]
    pub area_m2: Measure,
}

/// A square, 100 mm as a rule, before it was heated free and after it cooled.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Square {
    /// Its side before. [m]
    pub before_m: Measure,
    /// The side that shrank most, after. [m]
    pub after_m: Measure,
}

/// Which side is textured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Texture {
    /// Both smooth.
    None,
    /// One side.
    OneSide,
    /// Both sides.
    BothSides,
}

/// What a shop measured on one sheet of its rack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MeasuredSheet {
    /// What the shop calls the sheet.
    pub name: String,
    /// Lot or delivery; may be empty.
    pub lot: String,
    /// Thickness. [m]
    pub thickness_m: Measure,
    /// A piece on the scales.
    pub piece: Option<Piece>,
    /// A square before and after heating.
    pub square: Option<Square>,
    /// Time until limp under the shop's own gun: a coupon for the calibration of that gun. [s]
    pub limp_after_s: Option<Measure>,
    /// Which side is textured.
    pub texture: Texture,
    /// Whether a protective film is on it.
    pub film: bool,
}

/// A sheet with its own numbers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Sheet {
    /// The material with what was measured in place of the catalogue's numbers.
    pub material: Material,
    /// Thickness.
    pub thickness: Sourced,
    /// What the measurements say besides.
    pub notes: Vec<Note>,
}

impl MeasuredSheet {
    /// The material of the sheet with its measured numbers in place.
    ///
    /// Density from mass, area and thickness; shrinkage from the square; of a foamed PVC also conductivity, stiffness
    /// and strength, derived from the density. The uncertainties that were written add up by their squares, since they
    /// come from different tools.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] where a measurement or what follows from it is not possible.
    ///
    /// ```
    /// use mountwright::material::{Catalogue, MeasuredSheet, Piece, Property, Texture};
    /// use mountwright::quantity::{Dimension, parse};
    /// let sheet = MeasuredSheet {
    ///     name: "rack 3".into(), lot: "K7".into(),
    ///     thickness_m: parse("thickness", "3.1 mm ± 0.05 mm", Dimension::Length)?,
    ///     piece: Some(Piece {
    ///         mass_kg: parse("mass", "186 g ± 1 g", Dimension::Mass)?,
    ///         area_m2: parse("area", "0.1 m2", Dimension::Area)?,
    ///     }),
    ///     square: None, limp_after_s: None, texture: Texture::None, film: false,
    /// };
    /// let own = sheet.of(Catalogue::standard()?.get("expanded-pvc")?)?;
    /// assert!((own.material.sourced(Property::Density)?.value - 600.0).abs() < 1e-9);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn of(&self, generic: &Material) -> Result<Sheet> {
        let at = |what: &str| format!("{} of sheet {}", what, self.name);
        let remedy = "measure again";
        let t = measured(&at("thickness_m"), self.thickness_m, THICKNESS)?;
        let mut material = generic.clone();
        let mut notes = vec![];
        let origin = format!("sheet {}", self.name);
        if let Some(piece) = &self.piece {
            let mass = measured(&at("mass_kg"), piece.mass_kg, Range::new(1e-5, 100.0, "kg"))?;
            let area = measured(&at("area_m2"), piece.area_m2, Range::new(1e-5, 20.0, "m²"))?;
            let density = mass.value / (area.value * t.value);
            let relative = relative(mass).hypot(relative(area)).hypot(relative(t));
            let allowed = Property::Density.plausible(generic.role);
            check(at("density_kg_m3"), density, allowed, remedy)?;
            if let Some(usual) = generic.entry(Property::Density).map(|e| &e.sourced)
                && !(usual.low..=usual.high).contains(&density)
            {
                let text = format!(
                    "the measured density of {density:.0} kg/m³ is outside the {:.0} to {:.0} of {}: is it that material?",
                    usual.low, usual.high, generic.name
                );
                notes.push(Note::new(origin.clone(), text));
            }
            if generic.foamed && generic.contains_pvc {
                by_density(&mut material, density, &origin)?;
            }
            let note = "mass over area and thickness";
            put(
                &mut material,
                Property::Density,
                density,
                density * relative,
                note,
                &origin,
            );
        }
        if let Some(square) = &self.square {
            let sides = Range::new(5e-3, 2.0, "m");
            let before = measured(&at("side before heating, m"), square.before_m, sides)?;
            let after = measured(&at("side after heating, m"), square.after_m, sides)?;
            let left = after.value / before.value;
            let allowed = Property::HeatedShrinkage.plausible(generic.role);
            let shrinkage = check(at("heated_shrinkage_fraction"), 1.0 - left, allowed, remedy)?;
            let off = left * relative(after).hypot(relative(before));
            let note = "square before and after heating, free";
            put(
                &mut material,
                Property::HeatedShrinkage,
                shrinkage,
                off,
                note,
                &origin,
            );
        }
        if self.film {
            let text = "take the film off both faces before heat: it welds on";
            notes.push(Note::new(origin.clone(), text));
        }
        if self.texture != Texture::None {
            let text = "textured: heat from the plain side where the shape allows, and expect the grain to flatten where it stretches";
            notes.push(Note::new(origin, text));
        }
        let lot = if self.lot.is_empty() {
            String::new()
        } else {
            format!("lot {}", self.lot)
        };
        let thickness = number(t.value, t.plus_minus, "m", &lot);
        Ok(Sheet {
            material,
            thickness,
            notes,
        })
    }
}

fn measured(what: &str, measure: Measure, range: Range) -> Result<Measure> {
    let remedy = "measure again";
    check(what, measure.value, range, remedy)?;
    let off = Range::new(0.0, 0.5 * measure.value, range.unit);
    check(
        format!("uncertainty of {what}"),
        measure.plus_minus,
        off,
        remedy,
    )?;
    Ok(measure)
}

fn relative(measure: Measure) -> f64 {
    measure.plus_minus / measure.value
}

fn number(value: f64, plus_minus: f64, unit: &str, note: &str) -> Sourced {
    Sourced {
        value,
        low: value - plus_minus,
        high: value + plus_minus,
        unit: unit.into(),
        source: MEASURED.into(),
        standing: Standing::MeasuredByShop,
        note: note.into(),
    }
}

fn put(
    material: &mut Material,
    property: Property,
    value: f64,
    off: f64,
    note: &str,
    origin: &str,
) {
    let sourced = number(value, off, property.dimension().si_unit(), note);
    material.entries.insert(
        property,
        Entry {
            sourced,
            origin: origin.into(),
        },
    );
}

/// Conductivity, stiffness and strength of a foamed PVC, scaled with its range from the generic density to the measured one.
fn by_density(material: &mut Material, density: f64, origin: &str) -> Result<()> {
    let generic = material.sourced(Property::Density)?.value;
    let conducts =
        foamed_pvc_conductivity_w_m_k(density)? / foamed_pvc_conductivity_w_m_k(generic)?;
    let stiffens = (density / generic).powf(STIFFNESS_POWER.value);
    for (property, factor, note) in [
        (
            Property::Conductivity,
            conducts,
            "Maxwell-Eucken at the measured density",
        ),
        (
            Property::YoungsModulus,
            stiffens,
            "measured density to the power 1.5",
        ),
        (
            Property::YieldStrength,
            stiffens,
            "measured density to the power 1.5",
        ),
        (
            Property::FlexuralStrength,
            stiffens,
            "measured density to the power 1.5",
        ),
    ] {
        if let Some(entry) = material.entries.get_mut(&property) {
            let s = &mut entry.sourced;
            (s.value, s.low, s.high) = (s.value * factor, s.low * factor, s.high * factor);
            s.source = format!("{MEASURED}, {}", s.source);
            s.standing = Standing::Derived;
            s.note = note.into();
            entry.origin = origin.into();
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Catalogue;

    fn exact(value: f64) -> Measure {
        Measure {
            value,
            plus_minus: 0.0,
        }
    }

    fn sheet() -> MeasuredSheet {
        MeasuredSheet {
            name: "rack 1".into(),
            lot: "A".into(),
            thickness_m: Measure {
                value: 3.0e-3,
                plus_minus: 0.03e-3,
            },
            piece: Some(Piece {
                mass_kg: Measure {
                    value: 0.0198,
                    plus_minus: 0.000_396,
                },
                area_m2: exact(0.01),
            }),
            square: Some(Square {
                before_m: exact(0.1),
                after_m: exact(0.097),
            }),
            limp_after_s: None,
            texture: Texture::OneSide,
            film: true,
        }
    }

    #[test]
    fn measured_numbers_take_the_place_of_the_catalogues() {
        let generic = Catalogue::standard().unwrap().get("expanded-pvc").unwrap();
        let own = sheet().of(generic).unwrap();
        let density = own.material.sourced(Property::Density).unwrap();
        assert!((density.value - 660.0).abs() < 1e-9);
        assert_eq!(density.standing, Standing::MeasuredByShop);
        // 1 % of thickness and 2 % of mass by their squares.
        assert!((density.high / density.value - 1.0 - 0.05_f64.sqrt() / 10.0).abs() < 1e-9);
        let shrinkage = own.material.sourced(Property::HeatedShrinkage).unwrap();
        assert!((shrinkage.value - 0.03).abs() < 1e-12);
        let k = own.material.sourced(Property::Conductivity).unwrap();
        assert_eq!(k.standing, Standing::Derived);
        let ratio = foamed_pvc_conductivity_w_m_k(660.0).unwrap()
            / foamed_pvc_conductivity_w_m_k(550.0).unwrap();
        let before = generic.sourced(Property::Conductivity).unwrap();
        assert!(
            (k.value / before.value - ratio).abs() < 1e-12 && k.low < k.value && k.value < k.high
        );
        assert_eq!(own.notes.len(), 2, "film and texture");
    }

    #[test]
    fn a_strange_density_is_told_and_an_impossible_one_refused() {
        let abs = Catalogue::standard().unwrap().get("abs").unwrap();
        let own = sheet().of(abs).unwrap();
        assert!(own.notes[0].text.contains("is it that material"));
        let mut heavy = sheet();
        heavy.piece = Some(Piece {
            mass_kg: exact(1.98),
            area_m2: exact(0.01),
        });
        assert!(heavy.of(abs).is_err());
        for wrong in [f64::NAN, 0.0, -1.0, f64::INFINITY] {
            let mut s = sheet();
            s.thickness_m.value = wrong;
            assert!(s.of(abs).is_err());
            let mut s = sheet();
            s.thickness_m.plus_minus = if wrong == 0.0 { f64::NAN } else { wrong };
            assert!(s.of(abs).is_err());
        }
    }
}
