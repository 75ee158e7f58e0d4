//! A sheet as the checks see it.

use serde::Serialize;

use crate::error::{Range, Result, check};
use crate::material::{Properties, Property, Softening};
use crate::sourced::{Constant, Standing};

/// Poisson's ratio of stiff plastics where the catalogue has none.
pub(super) const POISSON: Constant = Constant::practice("mount.poisson", [0.30, 0.35, 0.43], "1");

/// Moment of a rectangle that has yielded all through over that at first yield.
pub(super) const PLASTIC_SHAPE: Constant = Constant::exact(
    "mount.plastic_shape",
    1.5,
    "1",
    "exact for a rectangle: plastic over elastic section modulus, textbook",
    Standing::Derived,
);

/// The kind of plastic, as far as screws, edges and inserts care.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Serialize, serde::Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)] // each name says it
pub enum Family {
    FoamedPvc,
    RigidPvc,
    AcrylicPvc,
    Abs,
    Hips,
    Acrylic,
    Petg,
    Pc,
    Pp,
    Hdpe,
    Other,
}

impl Family {
    /// The kind of a material of the catalogue, by its name; [`Family::Other`] for a name that is not known here.
    pub fn of_name(name: &str) -> Self {
        match name {
            "expanded-pvc" | "expanded-pvc-dense" => Self::FoamedPvc,
            "rigid-pvc" => Self::RigidPvc,
            "acrylic-pvc" => Self::AcrylicPvc,
            "abs" => Self::Abs,
            "hips" => Self::Hips,
            "pmma-cast" | "pmma-extruded" => Self::Acrylic,
            "petg" => Self::Petg,
            "pc" => Self::Pc,
            "pp" => Self::Pp,
            "hdpe" => Self::Hdpe,
            _ => Self::Other,
        }
    }

    /// Cracks at an edge or a wedge rather than yields.
    pub fn is_brittle(self) -> bool {
        matches!(self, Self::Acrylic | Self::Hips)
    }
}

/// A sheet as the checks see it: plain numbers of one material, and how it softens.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Material {
    /// Name for the texts.
    pub name: String,
    /// Kind of plastic.
    pub family: Family,
    /// Density. [kg/m³]
    pub density_kg_m3: f64,
    /// Poisson's ratio.
    pub poisson: f64,
    /// Tensile yield at 23 °C. [Pa]
    pub yield_pa: f64,
    /// Bending strength at 23 °C, as an elastic fibre stress. [Pa]
    pub bending_pa: f64,
    /// Heat deflection at 1.82 MPa, for the texts. [K]
    pub hdt_1820_k: f64,
    /// The maker's limit for steady service. [K]
    pub max_service_k: f64,
    /// Creep modulus at 1000 h and 23 °C over the short-time modulus.
    pub creep_factor: f64,
    /// Linear thermal expansion. [1/K]
    pub expansion_1_k: f64,
    /// Stiffness and strength over temperature.
    pub softening: Softening,
}

impl Material {
    /// The sheet that a material of the catalogue is.
    ///
    /// Bending strength is the flexural strength, but no more than 1.5 times the yield (a rectangle that yields all through).
    ///
    /// # Errors
    /// [`crate::Error::Impossible`] where the catalogue lacks a number that the checks need: foams, metals, boards.
    ///
    /// ```
    /// use mountwright::material::Catalogue;
    /// let abs = mountwright::mount::Material::of(&Catalogue::standard()?.get("abs")?.properties())?;
    /// assert!(abs.modulus_pa(353.15) < abs.modulus_pa(296.15));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn of(properties: &Properties) -> Result<Self> {
        let need = |property| properties.need(property);
        let yield_pa = need(Property::YieldStrength)?;
        need(Property::Vicat)?;
        Ok(Self {
            name: properties.name().into(),
            family: Family::of_name(properties.name()),
            density_kg_m3: need(Property::Density)?,
            poisson: properties
                .get(Property::PoissonRatio)
                .unwrap_or(POISSON.value),
            yield_pa,
            bending_pa: need(Property::FlexuralStrength)?.min(PLASTIC_SHAPE.value * yield_pa),
            hdt_1820_k: need(Property::Hdt1820)?,
            max_service_k: need(Property::MaxService)?,
            creep_factor: need(Property::CreepFactor)?,
            expansion_1_k: need(Property::Expansion)?,
            softening: properties.softening()?,
        })
    }

    /// Where the sheet goes soft and a hot-formed bend begins to open. [K]
    pub fn soft_k(&self) -> f64 {
        self.softening.soft_k()
    }

    /// Short-time modulus. [Pa]
    pub fn modulus_pa(&self, temperature_k: f64) -> f64 {
        self.softening.modulus_pa(temperature_k)
    }

    /// Tensile yield. [Pa]
    pub fn yield_at_pa(&self, temperature_k: f64) -> f64 {
        self.yield_pa * self.softening.strength_share(temperature_k)
    }

    /// Bending strength as an elastic fibre stress. [Pa]
    pub fn bending_at_pa(&self, temperature_k: f64) -> f64 {
        self.bending_pa * self.softening.strength_share(temperature_k)
    }

    /// Modulus after 1000 h of creep. [Pa]
    pub fn creep_modulus_pa(&self, temperature_k: f64) -> f64 {
        self.softening
            .creep_modulus_pa(temperature_k, self.creep_factor)
    }

    /// Checks what the fields promise.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a property that no plastic has.
    pub fn validate(&self) -> Result<()> {
        let remedy = "take it from the data sheet, in SI";
        for (what, value, range) in [
            (
                "density_kg_m3",
                self.density_kg_m3,
                Range::new(10.0, 5000.0, "kg/m³"),
            ),
            ("poisson", self.poisson, Range::new(0.0, 0.499, "")),
            ("yield_pa", self.yield_pa, Range::new(1e5, 1e9, "Pa")),
            ("bending_pa", self.bending_pa, Range::new(1e5, 1e9, "Pa")),
            (
                "max_service_k",
                self.max_service_k,
                Range::new(273.15, 600.0, "K"),
            ),
            ("creep_factor", self.creep_factor, Range::new(0.01, 1.0, "")),
            (
                "expansion_1_k",
                self.expansion_1_k,
                Range::new(0.0, 1e-3, "1/K"),
            ),
        ] {
            check(format!("{}.{what}", self.name), value, range, remedy)?;
        }
        Ok(())
    }
}
