//! What a finished part is made of, as stiffness and strength over temperature.
//!
//! Data sheets print single numbers; a hot cabin needs curves. The two heat-deflection temperatures and the Vicat
//! temperature are themselves stiffness readings, so the curve is drawn through them ([`Facts::over_temperature`]).

use serde::Serialize;

use crate::error::{Error, Range, Result, check};
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

/// Share of the room-temperature strength that is left where the sheet softens; straight line in between.
pub const STRENGTH_AT_SOFTENING: Constant = Constant {
    name: "mount.strength_at_softening",
    value: 0.15,
    low: 0.05,
    high: 0.25,
    unit: "1",
    source: "yield of glassy polymers falls about straight with temperature, to near nothing at the glass transition (textbook); the share is from memory",
    standing: Standing::Remembered,
};

/// How much faster creep runs near softening; see [`Material::creep_share`].
pub const CREEP_HEAT: Constant = Constant {
    name: "mount.creep_heat",
    value: 2.1,
    low: 1.2,
    high: 3.0,
    unit: "1",
    source: "fitted to one remembered figure: creep modulus of expanded PVC at 1000 h and 50 °C is a quarter of that at 23 °C",
    standing: Standing::Derived,
};

/// A positive property over temperature: straight in its logarithm between the points, held at the ends.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Table {
    /// (temperature K, value), temperatures rising.
    points: Vec<(f64, f64)>,
}

impl Table {
    /// A table of 1 to 200 points with rising temperatures and positive values.
    ///
    /// # Errors
    /// [`Error::Shape`] for no or too many points or temperatures that do not rise, [`Error::OutOfRange`] for a
    /// temperature outside 1 to 2000 K or a value outside 1e-6 to 1e15.
    ///
    /// ```
    /// use mountwright::mount::Table;
    /// let modulus_pa = Table::new(vec![(296.0, 2.0e9), (366.0, 0.5e9)])?;
    /// assert!((modulus_pa.at(331.0) - 1.0e9).abs() < 1.0); // half way: the geometric mean
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn new(points: Vec<(f64, f64)>) -> Result<Self> {
        if points.is_empty() || points.len() > 200 {
            return Err(Error::Shape {
                what: "property table".into(),
                given: format!("{} points", points.len()),
                allowed: "1 to 200 points".into(),
            });
        }
        for (i, &(temperature_k, value)) in points.iter().enumerate() {
            check(
                format!("table[{i}].temperature_k"),
                temperature_k,
                Range::new(1.0, 2000.0, "K"),
                "give kelvin",
            )?;
            check(
                format!("table[{i}].value"),
                value,
                Range::new(1e-6, 1e15, ""),
                "give a positive value in SI",
            )?;
        }
        if points.windows(2).any(|w| matches!(w, [a, b] if b.0 <= a.0)) {
            return Err(Error::Shape {
                what: "property table".into(),
                given: "temperatures that do not rise".into(),
                allowed: "each temperature above the one before".into(),
            });
        }
        Ok(Self { points })
    }

    /// The value at `temperature_k`.
    pub fn at(&self, temperature_k: f64) -> f64 {
        let (Some(&first), Some(&last)) = (self.points.first(), self.points.last()) else {
            return f64::NAN; // `new` allows no empty table
        };
        if temperature_k <= first.0 {
            return first.1;
        }
        if temperature_k >= last.0 {
            return last.1;
        }
        let above = self.points.partition_point(|p| p.0 <= temperature_k);
        match self.points.get(above.saturating_sub(1)..=above) {
            Some(&[(t0, v0), (t1, v1)]) => v0 * (v1 / v0).powf((temperature_k - t0) / (t1 - t0)),
            _ => last.1,
        }
    }

    /// The lowest temperature at which the value has fallen to `level`; `None` where it never does.
    pub fn falls_to(&self, level: f64) -> Option<f64> {
        let mut before: Option<(f64, f64)> = None;
        for &(t1, v1) in &self.points {
            if v1 <= level {
                return Some(match before {
                    Some((t0, v0)) => t0 + (t1 - t0) * (level / v0).ln() / (v1 / v0).ln(),
                    None => t1,
                });
            }
            before = Some((t1, v1));
        }
        None
    }
}

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
    /// Vicat B gives a third (see [`VICAT_MODULUS`]). A reading that would make the sheet stiffer again is dropped.
    /// Strength falls straight from 23 °C to [`STRENGTH_AT_SOFTENING`]; bending strength is the flexural strength, but no
    /// more than 1.5 times the yield (a fully plastic rectangle).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a property that no plastic has.
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
        ] {
            within(what, k, 300.0, 600.0, "K")?;
        }
        let at_deflection = |stress: f64| 1.0 / (DEFLECTION_STRAIN.value / stress + 1.0 / modulus);
        let mut readings = [
            (self.hdt_1820_k, at_deflection(DEFLECTION_STRESS_HIGH_PA)),
            (self.hdt_455_k, at_deflection(DEFLECTION_STRESS_LOW_PA)),
            (self.vicat_k, VICAT_MODULUS.value.min(modulus)),
        ];
        readings.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.total_cmp(&a.1)));
        let mut points = vec![(ROOM_K, modulus)];
        for (k, e) in readings {
            if points.last().is_some_and(|&(k0, e0)| k > k0 && e < e0) {
                points.push((k, e));
            }
        }
        let soft_k = soft_k(self.tg_k, self.vicat_k);
        let falling = |room: f64| {
            // Straight in temperature; the table is straight in the logarithm, so it gets steps of a tenth.
            let points = (0..=10)
                .map(|i| {
                    let x = f64::from(i) / 10.0;
                    let share = 1.0 - x * (1.0 - STRENGTH_AT_SOFTENING.value);
                    (ROOM_K + x * (soft_k - ROOM_K), room * share)
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

/// The lower of Vicat and glass transition; a glass transition below 37 °C is that of a semicrystalline sheet and does not count.
fn soft_k(tg_k: f64, vicat_k: f64) -> f64 {
    if tg_k > 310.0 {
        tg_k.min(vicat_k)
    } else {
        vicat_k
    }
}

impl Material {
    /// Where the sheet goes soft and a hot-formed bend begins to open: the lower of Vicat B and the glass transition. [K]
    pub fn soft_k(&self) -> f64 {
        soft_k(self.tg_k, self.vicat_k)
    }

    /// Creep modulus at 1000 h over short-time modulus, both at `temperature_k`.
    ///
    /// `c^(1 + k x)`, c the factor at 23 °C, x the way from 23 °C to softening (0 to 1), k = [`CREEP_HEAT`]: heat
    /// multiplies the decades of time that a creep test runs through.
    pub fn creep_share(&self, temperature_k: f64) -> f64 {
        let way = ((temperature_k - ROOM_K) / (self.soft_k() - ROOM_K)).clamp(0.0, 1.0);
        self.creep_factor.powf(1.0 + CREEP_HEAT.value * way)
    }

    /// Creep modulus at 1000 h. [Pa]
    pub fn creep_modulus_pa(&self, temperature_k: f64) -> f64 {
        self.modulus_pa.at(temperature_k) * self.creep_share(temperature_k)
    }

    /// Checks what the fields promise.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a property that no plastic has.
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
