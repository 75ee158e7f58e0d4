//! Stiffness and strength at temperature, from the value at 23 °C and the softening points.

use serde::Serialize;

use super::material::Structure;
use super::properties::{Properties, ROOM_K};
use super::property::Property;
use super::table::Table;
use crate::error::{Note, Range, Result, check};
use crate::sourced::{Constant, Standing};

/// Temperatures that the rules here are asked for, -60 to 400 °C. [K]
const TEMPERATURE: Range = Range::new(213.15, 673.15, "K");

/// Strain of the outer fibre at which the deflection test is read.
pub const DEFLECTION_STRAIN: Constant = Constant {
    name: "softening.deflection_strain",
    value: 0.0019,
    low: 0.0018,
    high: 0.0020,
    unit: "1",
    source: "ASTM D648: 0.25 mm on a span of 101.6 mm and a depth of 12.7 mm is 0.00185; ISO 75: 0.2 % (both remembered)",
    standing: Standing::Remembered,
};

/// Modulus of the limp sheet over its modulus at 23 °C: three decades from glass to rubber.
pub const LIMP_SHARE: Constant = Constant {
    name: "softening.limp_share",
    value: 1e-3,
    low: 3e-4,
    high: 3e-3,
    unit: "1",
    source: "glass to rubber plateau of linear polymers, polymer textbooks (remembered)",
    standing: Standing::Remembered,
};

/// Modulus of an amorphous sheet at its Vicat B temperature: a flat punch of 1 mm² under 50 N that has sunk 1 mm.
///
/// Rigid flat punch on a half-space, `F = 2 a E/(1 - nu²) d` (Sneddon 1965), a = 0.564 mm, nu 0.4: 37 MPa. The
/// strain is far beyond small, so the order of size only. In a semicrystalline sheet the punch reads strength instead.
pub const VICAT_MODULUS: Constant = Constant {
    name: "softening.vicat_modulus",
    value: 37e6,
    low: 20e6,
    high: 80e6,
    unit: "Pa",
    source: "ISO 306 method B (50 N, 1 mm², 1 mm) read as a rigid flat punch, Sneddon 1965; derived",
    standing: Standing::Derived,
};

/// Share of the strength at 23 °C that is left where an amorphous sheet softens; a straight line in between.
pub const STRENGTH_LEFT: Constant = Constant {
    name: "softening.strength_left",
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
pub const STRENGTH_LEFT_CRYSTALLINE: Constant = Constant {
    name: "softening.strength_left_crystalline",
    value: 0.5,
    low: 0.35,
    high: 0.65,
    unit: "1",
    source: "ISO 306 method B read as an indentation, hardness about three times the yield (Tabor 1951); derived",
    standing: Standing::Derived,
};

/// How much faster creep of an amorphous sheet runs near softening; see [`Softening::creep_modulus_pa`].
pub const CREEP_HEAT: Constant = Constant {
    name: "softening.creep_heat",
    value: 2.5,
    low: 1.4,
    high: 3.8,
    unit: "1",
    source: "fitted to one remembered figure: creep modulus of expanded PVC after 1000 h at 50 °C is a quarter (0.15 to 0.4) of that at 23 °C",
    standing: Standing::Derived,
};

/// The same for a semicrystalline sheet.
pub const CREEP_HEAT_CRYSTALLINE: Constant = Constant {
    name: "softening.creep_heat_crystalline",
    value: 0.3,
    low: 0.0,
    high: 1.0,
    unit: "1",
    source: "creep modulus of polyethylene falls with temperature little faster than its short-time modulus, from memory",
    standing: Standing::Remembered,
};

/// A semicrystalline sheet is taken to soften this much above its maker's steady limit.
pub const ABOVE_SERVICE: Constant = Constant {
    name: "softening.above_service",
    value: 10.0,
    low: 5.0,
    high: 15.0,
    unit: "K",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// Stress of the deflection test that data sheets print first. [Pa]
pub const DEFLECTION_STRESS_HIGH_PA: f64 = 1.82e6;
/// Its light stress. [Pa]
pub const DEFLECTION_STRESS_LOW_PA: f64 = 0.455e6;

/// Every constant of the softening curves.
pub static SOFTENING: &[&Constant] = &[
    &DEFLECTION_STRAIN,
    &LIMP_SHARE,
    &VICAT_MODULUS,
    &STRENGTH_LEFT,
    &STRENGTH_LEFT_CRYSTALLINE,
    &CREEP_HEAT,
    &CREEP_HEAT_CRYSTALLINE,
    &ABOVE_SERVICE,
];

/// Secant modulus at the deflection temperature: the test is read when the strain has grown by
/// [`DEFLECTION_STRAIN`] over the first deflection `stress/modulus`, so `E = stress / (strain + stress/modulus)`.
///
/// ```
/// use mountwright::material::modulus_at_deflection;
/// // Takemori, Polymer Engineering and Science 19 (1979) 1104: about 0.75 GPa under 1.82 MPa (from memory).
/// let e = modulus_at_deflection(1.82e6, 3.0e9);
/// assert!((e / 0.75e9 - 1.0).abs() < 0.1);
/// ```
pub fn modulus_at_deflection(stress_pa: f64, room_modulus_pa: f64) -> f64 {
    stress_pa / (DEFLECTION_STRAIN.value + stress_pa / room_modulus_pa)
}

/// A material at one temperature.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AtTemperature {
    /// Name of the material.
    pub material: String,
    /// The temperature. [K]
    pub temperature_k: f64,
    /// Thermal conductivity. [W/m/K]
    pub conductivity_w_m_k: f64,
    /// Specific heat capacity without any melting peak. [J/kg/K]
    pub heat_capacity_j_kg_k: f64,
    /// Short-time Young's modulus, where it has one. [Pa]
    pub modulus_pa: Option<f64>,
    /// Yield strength, where it has one. [Pa]
    pub yield_strength_pa: Option<f64>,
    /// Modulus after 1000 h of creep, where it is known. [Pa]
    pub creep_modulus_pa: Option<f64>,
    /// What lies outside the readings behind it, and is held at the nearest.
    #[serde(skip)]
    pub held: Vec<Note>,
}

impl Properties {
    /// Everything that changes with temperature, at one temperature.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] outside -60 to 400 °C.
    ///
    /// ```
    /// use mountwright::material::Catalogue;
    /// let hot = Catalogue::standard()?.get("abs")?.properties().at(353.15)?;
    /// assert!(hot.modulus_pa.is_some_and(|e| e < 2.0e9));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn at(&self, temperature_k: f64) -> Result<AtTemperature> {
        let t = check(
            "temperature_k",
            temperature_k,
            TEMPERATURE,
            "give the temperature of the part",
        )?;
        let soft = self.softening().ok();
        let soft = soft.as_ref();
        Ok(AtTemperature {
            held: self.held_at(t, soft),
            material: self.name().into(),
            temperature_k: t,
            conductivity_w_m_k: self.conductivity().at(t),
            heat_capacity_j_kg_k: self.heat_capacity().at(t),
            modulus_pa: soft.map(|s| s.modulus_pa(t)),
            yield_strength_pa: soft
                .zip(self.get(Property::YieldStrength))
                .map(|(s, room)| room * s.strength_share(t)),
            creep_modulus_pa: soft
                .zip(self.get(Property::CreepFactor))
                .map(|(s, factor)| s.creep_modulus_pa(t, factor)),
        })
    }

    /// What a temperature outside the readings holds at the nearest of them.
    fn held_at(&self, t: f64, soft: Option<&Softening>) -> Vec<Note> {
        let span = |table: Table| {
            let k = table.temperature_k();
            (k.len() > 1).then(|| (k.first().copied(), k.last().copied()))
        };
        let readings = [
            ("thermal conductivity", span(self.conductivity())),
            ("heat capacity", span(self.heat_capacity())),
            (
                "modulus and strength",
                soft.and_then(|s| s.points.last())
                    .map(|last| (None, Some(last.0))),
            ),
        ];
        let mut notes = vec![];
        for (what, span) in readings {
            let Some((low, high)) = span else { continue };
            let (beyond, word) = match (low, high) {
                (Some(low), _) if t < low => (low, "below"),
                (_, Some(high)) if t > high => (high, "above"),
                _ => continue,
            };
            notes.push(Note::new(
                format!("{}, {what}", self.name()),
                format!(
                    "nothing is known {word} {:.0} °C: the value there is held, and means no more than that",
                    beyond - 273.15
                ),
            ));
        }
        notes
    }

    /// Where it goes soft and a hot-formed bend begins to open. [K]
    ///
    /// Amorphous: the lower of Vicat B and the glass transition. Semicrystalline: its crystals hold it beyond Vicat B (a
    /// reading of strength), so [`ABOVE_SERVICE`] over the makers' steady limit where that is higher. `None` for what
    /// has neither: metal, wood.
    ///
    /// ```
    /// use mountwright::material::Catalogue;
    /// let soft_k = |name| Catalogue::standard()?.get(name).map(|m| m.properties().softening_k());
    /// assert_eq!(soft_k("abs")?, Some(373.15));
    /// assert_eq!(soft_k("steel")?, None);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn softening_k(&self) -> Option<f64> {
        let (vicat, service) = (self.get(Property::Vicat), self.get(Property::MaxService));
        if self.structure() == Structure::Semicrystalline {
            let service = service.map(|k| k + ABOVE_SERVICE.value);
            return vicat.into_iter().chain(service).reduce(f64::max);
        }
        let glass = self.get(Property::GlassTransition);
        glass.into_iter().chain(vicat).reduce(f64::min).or(service)
    }

    /// Stiffness and strength over temperature.
    ///
    /// # Errors
    /// [`crate::Error::Impossible`] where there is no modulus.
    ///
    /// ```
    /// use mountwright::material::Catalogue;
    /// let abs = Catalogue::standard()?.get("abs")?.properties().softening()?;
    /// assert!(abs.modulus_pa(343.15) < 0.85 * abs.modulus_pa(296.15));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn softening(&self) -> Result<Softening> {
        let room = self.need(Property::YoungsModulus)?;
        let crystalline = self.structure() == Structure::Semicrystalline;
        let mut points = vec![(ROOM_K, room)];
        if let Some(shape) = self.modulus_shape() {
            let all = shape.temperature_k().iter().zip(shape.value());
            points.extend(
                all.filter(|(k, _)| **k > ROOM_K)
                    .map(|(k, e)| (*k, room * e)),
            );
        } else {
            let test = |p, stress| Some((self.get(p)?, modulus_at_deflection(stress, room)));
            points.extend(test(Property::Hdt1820, DEFLECTION_STRESS_HIGH_PA));
            points.extend(test(Property::Hdt455, DEFLECTION_STRESS_LOW_PA));
            let vicat = self.get(Property::Vicat).filter(|_| !crystalline);
            points.extend(vicat.map(|k| (k, VICAT_MODULUS.value)));
        }
        let limp = if crystalline {
            self.get(Property::MeltingEnd)
        } else {
            self.get(Property::Limp)
        };
        points.extend(limp.map(|k| (k, room * LIMP_SHARE.value)));
        let soft_k = self.softening_k().unwrap_or(f64::INFINITY);
        Ok(Softening {
            crystalline,
            glassy: !crystalline && self.modulus_shape().is_none(),
            points: falling(&points),
            soft_k,
            weak_k: if crystalline {
                self.get(Property::Vicat).unwrap_or(soft_k)
            } else {
                soft_k
            },
        })
    }
}

/// Points at rising temperatures and falling moduli: draws of neighbouring temperatures may cross, so each keeps 1 K from
/// the last, and one that would make the sheet stiffer again is left out.
fn falling(points: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let mut kept: Vec<(f64, f64)> = vec![];
    for &(k, e) in points {
        match kept.last() {
            None => kept.push((k, e)),
            Some(&(before_k, before)) if e < before => kept.push((k.max(before_k + 1.0), e)),
            Some(_) => {}
        }
    }
    kept
}

/// Stiffness and strength of one material over temperature; see [`Properties::softening`].
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Softening {
    crystalline: bool,
    /// Whether it stays stiff until close to its first reading, as glass does.
    glassy: bool,
    /// (temperature K, modulus Pa), temperatures rising, moduli falling.
    points: Vec<(f64, f64)>,
    soft_k: f64,
    /// Where the share of strength that is left is known. [K]
    weak_k: f64,
}

impl Softening {
    /// Where it goes soft, as [`Properties::softening_k`]; infinite where it does not. [K]
    pub fn soft_k(&self) -> f64 {
        self.soft_k
    }

    /// Short-time Young's modulus. [Pa]
    ///
    /// Up to 23 °C the value there. Then through the readings of the standard tests: the two deflection temperatures
    /// ([`modulus_at_deflection`]), Vicat B ([`VICAT_MODULUS`], amorphous) and [`LIMP_SHARE`] where it is limp or molten; or the
    /// catalogue's own curve. To the first reading an amorphous sheet follows a falling parabola, since it is stiff until
    /// close to the glass transition; all else is straight on log paper. Good to about 20 % up to the deflection
    /// temperature, to a factor of two above.
    pub fn modulus_pa(&self, temperature_k: f64) -> f64 {
        let after = self.points.partition_point(|p| p.0 < temperature_k);
        let Some(&(t1, e1)) = self.points.get(after) else {
            return self.points.last().map_or(f64::NAN, |p| p.1);
        };
        let Some(&(t0, e0)) = after.checked_sub(1).and_then(|i| self.points.get(i)) else {
            return e1;
        };
        let way = (temperature_k - t0) / (t1 - t0);
        if self.glassy && after == 1 {
            e0 - (e0 - e1) * way * way
        } else {
            e0 * (e1 / e0).powf(way)
        }
    }

    /// Share of the strength at 23 °C that is left, in tension and in bending.
    ///
    /// Straight from 23 °C to [`STRENGTH_LEFT`] at softening, or to [`STRENGTH_LEFT_CRYSTALLINE`] at Vicat B and on; beyond
    /// softening as the modulus falls.
    pub fn strength_share(&self, temperature_k: f64) -> f64 {
        let left = if self.crystalline {
            STRENGTH_LEFT_CRYSTALLINE.value
        } else {
            STRENGTH_LEFT.value
        };
        let straight = |k: f64| {
            let way = (k - ROOM_K).max(0.0) / (self.weak_k - ROOM_K).max(1.0);
            (1.0 - way * (1.0 - left)).max(STRENGTH_LEFT.value)
        };
        if temperature_k <= self.soft_k {
            straight(temperature_k)
        } else {
            straight(self.soft_k) * self.modulus_pa(temperature_k) / self.modulus_pa(self.soft_k)
        }
    }

    /// Modulus after 1000 h of creep. [Pa]
    ///
    /// `E(T) c^(1 + k x)`, c the creep factor at 23 °C (modulus after 1000 h over the short-time one, 0 to 1), x the way from 23 °C to softening (0 to 1), k = [`CREEP_HEAT`] or
    /// [`CREEP_HEAT_CRYSTALLINE`]: heat multiplies the decades of time that a creep test runs through.
    pub fn creep_modulus_pa(&self, temperature_k: f64, creep_factor: f64) -> f64 {
        let way = ((temperature_k - ROOM_K) / (self.soft_k - ROOM_K).max(1.0)).clamp(0.0, 1.0);
        let heat = if self.crystalline {
            CREEP_HEAT_CRYSTALLINE.value
        } else {
            CREEP_HEAT.value
        };
        self.modulus_pa(temperature_k) * creep_factor.powf(1.0 + heat * way)
    }

    /// The deflection temperature under `stress_pa`, its real stress instead of the test's. [K]
    ///
    /// The test is read when the strain has grown by [`DEFLECTION_STRAIN`]: `s (1/E(T) - 1/E(23 °C)) = 0.0019`. At 1.82 MPa
    /// it gives back the data sheet's own figure; at a small stress it ends at softening.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for a stress outside 0 to 1 GPa.
    pub fn deflection_temperature_k(&self, stress_pa: f64) -> Result<f64> {
        let range = Range::new(0.0, 1e9, "Pa");
        let remedy = "give the sustained bending stress in pascal";
        let stress = check("stress_pa", stress_pa, range, remedy)?;
        let level = modulus_at_deflection(stress, self.modulus_pa(ROOM_K));
        let highest = self.points.last().map_or(ROOM_K, |p| p.0).min(self.soft_k);
        if self.modulus_pa(highest) >= level {
            return Ok(self.soft_k);
        }
        let (mut holds, mut gives) = (ROOM_K, highest);
        // Halving 500 K forty times leaves less than 1e-9 K.
        for _ in 0..40 {
            let middle = f64::midpoint(holds, gives);
            if self.modulus_pa(middle) > level {
                holds = middle;
            } else {
                gives = middle;
            }
        }
        Ok(gives)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Catalogue;

    #[test]
    fn stiffness_and_strength_never_rise_with_temperature() {
        for material in Catalogue::standard().unwrap().materials() {
            let Ok(soft) = material.properties().softening() else {
                continue;
            };
            let mut last = (f64::INFINITY, f64::INFINITY);
            for c in (-50..350).step_by(3) {
                let t = f64::from(c) + 273.15;
                let (e, y) = (soft.modulus_pa(t), soft.strength_share(t));
                // Rounding of a power.
                assert!(
                    e > 0.0 && e <= last.0 * (1.0 + 1e-12),
                    "{} at {c} °C",
                    material.name
                );
                assert!(
                    y > 0.0 && y <= last.1 * (1.0 + 1e-12),
                    "{} at {c} °C",
                    material.name
                );
                last = (e, y);
                assert!(soft.creep_modulus_pa(t, 0.5) < e);
            }
        }
    }

    #[test]
    fn foamed_pvc_creeps_to_a_quarter_at_fifty_degrees() {
        // The remembered figure itself, met by the fitted constant as it is written, to two digits.
        let material = Catalogue::standard().unwrap().get("expanded-pvc").unwrap();
        let p = material.properties();
        let creep = |k: f64| p.at(k).unwrap().creep_modulus_pa.unwrap();
        let ratio = creep(323.15) / creep(ROOM_K);
        assert!((ratio - 0.25).abs() < 0.005, "{ratio}");
    }

    #[test]
    fn at_the_tests_own_stress_the_tests_own_temperature_comes_back() {
        let catalogue = Catalogue::standard().unwrap();
        for name in [
            "abs",
            "hips",
            "pmma-cast",
            "pc",
            "petg",
            "rigid-pvc",
            "expanded-pvc",
        ] {
            let p = catalogue.get(name).unwrap().properties();
            let soft = p.softening().unwrap();
            for (property, stress) in [
                (Property::Hdt1820, DEFLECTION_STRESS_HIGH_PA),
                (Property::Hdt455, DEFLECTION_STRESS_LOW_PA),
            ] {
                let printed = p.need(property).unwrap();
                let found = soft.deflection_temperature_k(stress).unwrap();
                // The last interval of the halving.
                assert!(
                    (found - printed).abs() < 1e-6,
                    "{name}: {found} for {printed}"
                );
            }
            assert!((soft.deflection_temperature_k(0.0).unwrap() - soft.soft_k()).abs() < 1e-9);
            assert!(soft.deflection_temperature_k(f64::NAN).is_err());
        }
    }

    #[test]
    fn next_to_nothing_is_left_to_count_on_where_a_sheet_is_limp() {
        let abs = Catalogue::standard()
            .unwrap()
            .get("abs")
            .unwrap()
            .properties();
        let limp_k = abs.need(Property::Limp).unwrap();
        assert!(abs.softening().unwrap().strength_share(limp_k) < 0.02);
        assert!(abs.at(f64::NAN).is_err() && abs.at(5000.0).is_err());
    }
}
