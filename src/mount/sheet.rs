//! What a finished part is made of, as stiffness and strength over temperature.
//!
//! Data sheets print single numbers; a hot cabin needs curves. The two heat-deflection temperatures and the Vicat
//! temperature are themselves stiffness readings, so the curve is drawn through them ([`Facts::over_temperature`]).

use serde::Serialize;

use super::table::Table;
use crate::error::{Range, Result, check};
use crate::sourced::{Constant, Standing};

/// Room temperature of data sheets. [K]
pub const ROOM_K: f64 = 296.15;

/// Growth of strain in the heat-deflection test at which the temperature is read.
pub const DEFLECTION_STRAIN: Constant = Constant {
    name: "mount.deflection_strain",
    value: 0.002,
    low: 0.0018,
    high: 0.002,
    unit: "1",
    source: "ISO 75-2, standard deflection = 0.2 % flexural strain beyond that of the cold, loaded bar; ASTM D648's 0.25 mm on 12.7 mm depth and 101.6 mm span is 0.18 %; from memory",
    standing: Standing::Remembered,
};
/// Stress of the heat-deflection test that data sheets print first. [Pa]
pub const DEFLECTION_STRESS_HIGH_PA: f64 = 1.82e6;
/// Its light stress. [Pa]
pub const DEFLECTION_STRESS_LOW_PA: f64 = 0.455e6;

/// Modulus at the Vicat B temperature, from the test itself: a flat punch of 1 mm² under 50 N that has sunk 1 mm.
///
/// Rigid flat punch on a half-space, `F = 2 a E/(1 - nu²) d` (Sneddon 1965), a = 0.564 mm, nu 0.4: 37 MPa. The
/// strain is far beyond small, so the order of size only.
pub const VICAT_MODULUS: Constant = Constant {
    name: "mount.vicat_modulus",
    value: 37e6,
    low: 20e6,
    high: 80e6,
    unit: "Pa",
    source: "ISO 306 method B (50 N, 1 mm², 1 mm) read as a rigid flat punch, Sneddon 1965; derived",
    standing: Standing::Derived,
};

/// Share of the room-temperature strength that is left where an amorphous sheet softens; straight line in between.
pub const STRENGTH_AT_SOFTENING: Constant = Constant {
    name: "mount.strength_at_softening",
    value: 0.15,
    low: 0.05,
    high: 0.25,
    unit: "1",
    source: "yield of glassy polymers falls about straight with temperature, to near nothing at the glass transition (textbook); the share is from memory",
    standing: Standing::Remembered,
};

/// The same for a semicrystalline sheet, whose crystals still hold at its Vicat temperature.
///
/// There the punch sinks because the sheet yields: a flat punch under 50 N/mm² reads about three times the yield
/// (Tabor), so some 17 MPa are left.
pub const STRENGTH_AT_SOFTENING_CRYSTALLINE: Constant = Constant {
    name: "mount.strength_at_softening_crystalline",
    value: 0.5,
    low: 0.35,
    high: 0.65,
    unit: "1",
    source: "ISO 306 method B read as an indentation, hardness about three times the yield (Tabor 1951); derived",
    standing: Standing::Derived,
};

/// How much faster creep of an amorphous sheet runs near softening; see [`Material::creep_share`].
pub const CREEP_HEAT: Constant = Constant {
    name: "mount.creep_heat",
    value: 2.1,
    low: 1.2,
    high: 3.0,
    unit: "1",
    source: "fitted to one remembered figure: creep modulus of expanded PVC at 1000 h and 50 °C is a quarter of that at 23 °C",
    standing: Standing::Derived,
};

/// The same for a semicrystalline sheet.
pub const CREEP_HEAT_CRYSTALLINE: Constant = Constant {
    name: "mount.creep_heat_crystalline",
    value: 0.3,
    low: 0.0,
    high: 1.0,
    unit: "1",
    source: "creep modulus of polyethylene falls with temperature little faster than its short-time modulus, from memory",
    standing: Standing::Remembered,
};

/// A glass transition below this belongs to the soft part of a semicrystalline sheet. [K]
const CRYSTALLINE_BELOW_K: f64 = 310.0;

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
    /// The kind that a material's key in the catalogue belongs to; [`Family::Other`] for a key that is not known here.
    pub fn of_key(key: &str) -> Self {
        match key {
            "expanded_pvc" => Self::FoamedPvc,
            "rigid_pvc" => Self::RigidPvc,
            "acrylic_pvc" => Self::AcrylicPvc,
            "abs" => Self::Abs,
            "hips" => Self::Hips,
            "pmma_cast" | "pmma_extruded" => Self::Acrylic,
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

/// The single numbers of a data sheet from which [`Material`] is drawn.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Facts {
    /// Name for the texts.
    pub name: String,
    /// Kind of plastic.
    pub family: Family,
    /// Density. [kg/m³]
    pub density_kg_m3: f64,
    /// Modulus at 23 °C. [Pa]
    pub modulus_pa: f64,
    /// Poisson's ratio; 0.35 is usual for stiff plastics.
    pub poisson: f64,
    /// Tensile yield at 23 °C. [Pa]
    pub yield_pa: f64,
    /// Flexural strength at 23 °C. [Pa]
    pub flexural_pa: f64,
    /// Glass transition; of a semicrystalline sheet it lies far below room temperature and is then not used. [K]
    pub tg_k: f64,
    /// Heat deflection at 1.82 MPa. [K]
    pub hdt_1820_k: f64,
    /// Heat deflection at 0.455 MPa. [K]
    pub hdt_455_k: f64,
    /// Vicat B (50 N). [K]
    pub vicat_k: f64,
    /// The maker's limit for steady service. [K]
    pub max_service_k: f64,
    /// Creep modulus at 1000 h and 23 °C over the short-time modulus.
    pub creep_factor: f64,
    /// Linear thermal expansion. [1/K]
    pub expansion_1_k: f64,
}

/// A sheet as the checks see it.
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
    /// Short-time modulus over temperature. [Pa]
    pub modulus_pa: Table,
    /// Tensile yield over temperature. [Pa]
    pub yield_pa: Table,
    /// Bending strength over temperature, as an elastic fibre stress. [Pa]
    pub bending_pa: Table,
    /// Glass transition. [K]
    pub tg_k: f64,
    /// Heat deflection at 1.82 MPa. [K]
    pub hdt_1820_k: f64,
    /// Vicat B. [K]
    pub vicat_k: f64,
    /// The maker's limit for steady service. [K]
    pub max_service_k: f64,
    /// Creep modulus at 1000 h and 23 °C over the short-time modulus.
    pub creep_factor: f64,
    /// Linear thermal expansion. [1/K]
    pub expansion_1_k: f64,
}

impl Facts {
    /// Curves through the readings of the standard tests.
    ///
    /// In the heat-deflection test the bar carries `s` = 1.82 or 0.455 MPa from the start, and the temperature is read
    /// when its strain has grown by 0.2 %: `s (1/E(T) - 1/E(23 °C)) = 0.002`. That gives E at both temperatures;
    /// Vicat B of an amorphous sheet gives a third (see [`VICAT_MODULUS`]; in a semicrystalline sheet the punch reads
    /// strength, not stiffness). A reading that would make the sheet stiffer again is dropped.
    /// Strength falls straight from 23 °C to [`STRENGTH_AT_SOFTENING`] of it; bending strength is the flexural strength, but no
    /// more than 1.5 times the yield (a fully plastic rectangle).
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a property that no plastic has.
    pub fn over_temperature(&self) -> Result<Material> {
        let within = |what: &str, value: f64, low: f64, high: f64, unit: &'static str| {
            check(
                format!("{}.{what}", self.name),
                value,
                Range::new(low, high, unit),
                "take it from the data sheet, in SI",
            )
        };
        let modulus = within("modulus_pa", self.modulus_pa, 1e6, 1e11, "Pa")?;
        let yields = within("yield_pa", self.yield_pa, 1e5, 1e9, "Pa")?;
        let flexural = within("flexural_pa", self.flexural_pa, 1e5, 1e9, "Pa")?;
        for (what, k) in [
            ("hdt_1820_k", self.hdt_1820_k),
            ("hdt_455_k", self.hdt_455_k),
            ("vicat_k", self.vicat_k),
            ("max_service_k", self.max_service_k),
        ] {
            within(what, k, 300.0, 600.0, "K")?;
        }
        let at_deflection = |stress: f64| 1.0 / (DEFLECTION_STRAIN.value / stress + 1.0 / modulus);
        let mut readings = vec![
            (self.hdt_1820_k, at_deflection(DEFLECTION_STRESS_HIGH_PA)),
            (self.hdt_455_k, at_deflection(DEFLECTION_STRESS_LOW_PA)),
        ];
        if !is_crystalline(self.tg_k) {
            readings.push((self.vicat_k, VICAT_MODULUS.value));
        }
        readings.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
        let mut points = vec![(ROOM_K, modulus)];
        for (k, e) in readings {
            if points.last().is_some_and(|&(k0, e0)| k > k0 && e < e0) {
                points.push((k, e));
            }
        }
        let soft_k = soft_k(self.tg_k, self.vicat_k, self.max_service_k);
        if let [.., (k0, e0), (k1, e1)] = points[..]
            && soft_k > k1
        {
            // on in the direction of the last two readings
            points.push((soft_k, e1 * (e1 / e0).powf((soft_k - k1) / (k1 - k0))));
        }
        let (fallen_k, left) = if is_crystalline(self.tg_k) {
            (self.vicat_k, STRENGTH_AT_SOFTENING_CRYSTALLINE.value)
        } else {
            (soft_k, STRENGTH_AT_SOFTENING.value)
        };
        let falling = |room: f64| {
            // Straight in temperature; the table is straight in the logarithm, so it gets steps of a tenth.
            let points = (0..=10)
                .map(|i| {
                    let k = ROOM_K + f64::from(i) / 10.0 * (soft_k - ROOM_K);
                    let share = 1.0 - (k - ROOM_K) / (fallen_k - ROOM_K) * (1.0 - left);
                    (k, room * share.max(STRENGTH_AT_SOFTENING.value))
                })
                .collect();
            Table::new(points)
        };
        let material = Material {
            name: self.name.clone(),
            family: self.family,
            density_kg_m3: self.density_kg_m3,
            poisson: self.poisson,
            modulus_pa: Table::new(points)?,
            yield_pa: falling(yields)?,
            bending_pa: falling(flexural.min(1.5 * yields))?,
            tg_k: self.tg_k,
            hdt_1820_k: self.hdt_1820_k,
            vicat_k: self.vicat_k,
            max_service_k: self.max_service_k,
            creep_factor: self.creep_factor,
            expansion_1_k: self.expansion_1_k,
        };
        material.validate()?;
        Ok(material)
    }
}

fn is_crystalline(tg_k: f64) -> bool {
    tg_k < CRYSTALLINE_BELOW_K
}

/// See [`Material::soft_k`].
fn soft_k(tg_k: f64, vicat_k: f64, max_service_k: f64) -> f64 {
    if is_crystalline(tg_k) {
        vicat_k.max(max_service_k + ABOVE_SERVICE_K)
    } else {
        tg_k.min(vicat_k)
    }
}

/// A semicrystalline sheet is taken to soften this much above its maker's steady limit. [K] Common practice, no source.
const ABOVE_SERVICE_K: f64 = 10.0;

impl Material {
    /// Where the sheet goes soft and a hot-formed bend begins to open. [K]
    ///
    /// Amorphous: the lower of Vicat B and the glass transition. Semicrystalline, told by a glass transition below
    /// 37 °C: its crystals hold it beyond Vicat B (a reading of strength), so 10 K above the maker's steady limit where
    /// that is higher.
    pub fn soft_k(&self) -> f64 {
        soft_k(self.tg_k, self.vicat_k, self.max_service_k)
    }

    /// Creep modulus at 1000 h over short-time modulus, both at `temperature_k`.
    ///
    /// `c^(1 + k x)`, c the factor at 23 °C, x the way from 23 °C to softening (0 to 1), k = [`CREEP_HEAT`] or
    /// [`CREEP_HEAT_CRYSTALLINE`]: heat multiplies the decades of time that a creep test runs through.
    pub fn creep_share(&self, temperature_k: f64) -> f64 {
        let way = ((temperature_k - ROOM_K) / (self.soft_k() - ROOM_K)).clamp(0.0, 1.0);
        let heat = if is_crystalline(self.tg_k) {
            CREEP_HEAT_CRYSTALLINE.value
        } else {
            CREEP_HEAT.value
        };
        self.creep_factor.powf(1.0 + heat * way)
    }

    /// Creep modulus at 1000 h. [Pa]
    pub fn creep_modulus_pa(&self, temperature_k: f64) -> f64 {
        self.modulus_pa.at(temperature_k) * self.creep_share(temperature_k)
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
            ("tg_k", self.tg_k, Range::new(100.0, 600.0, "K")),
            ("hdt_1820_k", self.hdt_1820_k, Range::new(300.0, 600.0, "K")),
            ("vicat_k", self.vicat_k, Range::new(300.0, 600.0, "K")),
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
