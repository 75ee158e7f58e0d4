//! Plain SI numbers and tables of one material, for the stages; a plan writes its draws into them.

use serde::ser::SerializeMap;
use serde::{Serialize, Serializer};

use super::forming::{Dose, Forming, Melting};
use super::material::{Material, Role, Structure, no_value};
use super::property::Property;
use super::table::Table;
use crate::error::{Result, check};

/// Room temperature of the catalogue's values, 23 °C. [K]
pub const ROOM_K: f64 = 296.15;

/// Range over which a slope of the conductivity is taken as a straight line, -40 to 250 °C. [K]
const SLOPE_K: [f64; 2] = [233.15, 523.15];

/// The numbers of one material, SI.
///
/// Serialises as a map of [`Property::field`] to number, with the tables beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct Properties {
    name: String,
    role: Role,
    structure: Structure,
    values: [Option<f64>; Property::COUNT],
    /// Curves over temperature divided by their value at 23 °C.
    shapes: Shapes,
}

#[derive(Debug, Clone, PartialEq, Default)]
struct Shapes {
    conductivity: Option<Table>,
    heat_capacity: Option<Table>,
    youngs_modulus: Option<Table>,
    /// Conductivity that the slope is relative to.
    slope_base: f64,
}

impl Properties {
    pub(super) fn of(material: &Material) -> Self {
        let mut values = [None; Property::COUNT];
        for (property, entry) in &material.entries {
            values[*property as usize] = Some(entry.sourced.value);
        }
        let shape = |property| {
            let table = &material.curves.get(&property)?.table;
            Some(table.scaled(1.0 / table.at(ROOM_K)))
        };
        let shapes = Shapes {
            conductivity: shape(Property::Conductivity),
            heat_capacity: shape(Property::HeatCapacity),
            youngs_modulus: shape(Property::YoungsModulus),
            slope_base: values[Property::Conductivity as usize].unwrap_or(f64::NAN),
        };
        Self {
            name: material.name.clone(),
            role: material.role,
            structure: material.structure,
            values,
            shapes,
        }
    }

    /// Name of the material.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// How it softens.
    pub fn structure(&self) -> Structure {
        self.structure
    }

    /// A number, SI; `None` where there is none.
    pub fn get(&self, property: Property) -> Option<f64> {
        self.values[property as usize]
    }

    /// A number, SI.
    ///
    /// # Errors
    /// [`crate::Error::Impossible`] where there is none.
    pub fn need(&self, property: Property) -> Result<f64> {
        self.get(property)
            .ok_or_else(|| no_value(&self.name, property))
    }

    /// Writes a drawn or measured value, SI. A value at 23 °C scales the whole of its curve.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] outside what is plausible for the property.
    ///
    /// ```
    /// use mountwright::material::{Catalogue, Property};
    /// let mut p = Catalogue::standard()?.get("hdpe")?.properties();
    /// let before = p.conductivity().at(413.15);
    /// let room = p.need(Property::Conductivity)?;
    /// p.set(Property::Conductivity, 1.1 * room)?;
    /// assert!((p.conductivity().at(413.15) / before - 1.1).abs() < 1e-12);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn set(&mut self, property: Property, value: f64) -> Result<()> {
        let allowed = property.plausible(self.role);
        let remedy = "look for a slip of unit or decimal point";
        let what = format!("{} of {}", property.field(), self.name);
        self.values[property as usize] = Some(check(what, value, allowed, remedy)?);
        Ok(())
    }

    /// What every material has: no file without it is read.
    fn always(&self, property: Property) -> f64 {
        self.values[property as usize].unwrap_or(f64::NAN)
    }

    /// Density at 23 °C. [kg/m³]
    pub fn density_kg_m3(&self) -> f64 {
        self.always(Property::Density)
    }

    /// Emissivity in the infrared.
    pub fn emissivity(&self) -> f64 {
        self.always(Property::Emissivity)
    }

    /// Conductivity over temperature. [W/m/K]
    ///
    /// The curve of the catalogue scaled to the value at 23 °C; without a curve `k (1 + slope/k_catalogue (T - 23 °C))`
    /// from -40 to 250 °C; without either constant. Never below a fifth of the value at 23 °C.
    pub fn conductivity(&self) -> Table {
        let room = self.always(Property::Conductivity);
        if let Some(shape) = &self.shapes.conductivity {
            return shape.scaled(room);
        }
        let Some(slope) = self.get(Property::ConductivitySlope) else {
            return Table::constant(room);
        };
        let at = |t: f64| room * (1.0 + slope / self.shapes.slope_base * (t - ROOM_K)).max(0.2);
        // Two rising temperatures and two finite values cannot be refused.
        Table::new(SLOPE_K.to_vec(), SLOPE_K.map(at).to_vec())
            .unwrap_or_else(|_| Table::constant(room))
    }

    /// Heat capacity over temperature, without any melting peak: add [`Properties::melting`]. [J/kg/K]
    pub fn heat_capacity(&self) -> Table {
        let room = self.always(Property::HeatCapacity);
        match &self.shapes.heat_capacity {
            Some(shape) => shape.scaled(room),
            None => Table::constant(room),
        }
    }

    /// Melting and freezing of a semicrystalline sheet; `None` for the others.
    pub fn melting(&self) -> Option<Melting> {
        Melting::of(self)
    }

    /// Temperatures of the forming window.
    ///
    /// # Errors
    /// [`crate::Error::Impossible`] for what is not a sheet to be formed.
    pub fn forming(&self) -> Result<Forming> {
        Forming::of(self)
    }

    /// Parameters of thermal damage.
    ///
    /// # Errors
    /// [`crate::Error::Impossible`] for what is not a sheet to be formed.
    pub fn dose(&self) -> Result<Dose> {
        Dose::of(self)
    }

    /// The catalogue's curve of the modulus, divided by its value at 23 °C.
    pub(super) fn modulus_shape(&self) -> Option<&Table> {
        self.shapes.youngs_modulus.as_ref()
    }
}

impl Serialize for Properties {
    fn serialize<S: Serializer>(&self, serializer: S) -> std::result::Result<S::Ok, S::Error> {
        let mut map = serializer.serialize_map(None)?;
        map.serialize_entry("name", &self.name)?;
        for property in Property::all() {
            if let Some(value) = self.get(property) {
                map.serialize_entry(property.field(), &value)?;
            }
        }
        map.serialize_entry("conductivity_table_w_m_k", &self.conductivity())?;
        map.serialize_entry("heat_capacity_table_j_kg_k", &self.heat_capacity())?;
        map.end()
    }
}
