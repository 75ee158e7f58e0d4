//! Stiffness and strength at temperature, from the value at 23 °C and the softening points.

use serde::Serialize;

use super::material::Structure;
use super::properties::{Properties, ROOM_K};
use super::property::Property;
use crate::error::{Range, Result, check};
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

/// Creep modulus after 1000 h near the deflection temperature, over that at 23 °C.
pub const HOT_CREEP_SHARE: Constant = Constant {
    name: "softening.hot_creep_share",
    value: 0.25,
    low: 0.15,
    high: 0.4,
    unit: "1",
    source: "foamed PVC at 50 °C, 8 K below its deflection temperature under 1.82 MPa (remembered); other sheets by the same distance",
    standing: Standing::Remembered,
};
const HOT_CREEP_BELOW_K: f64 = 8.0;

/// Stresses of the two deflection tests. [Pa]
const STRESS_1820: f64 = 1.82e6;
const STRESS_455: f64 = 0.455e6;

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

/// Between two points straight on log paper.
fn log_between(t: f64, (t0, e0): (f64, f64), (t1, e1): (f64, f64)) -> f64 {
    (e0.ln() + (e1 / e0).ln() * (t - t0) / (t1 - t0)).exp()
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
        Ok(AtTemperature {
            material: self.name().into(),
            temperature_k: t,
            conductivity_w_m_k: self.conductivity().at(t),
            heat_capacity_j_kg_k: self.heat_capacity().at(t),
            modulus_pa: self.modulus_pa(t).ok(),
            yield_strength_pa: self.yield_strength_pa(t).ok(),
            creep_modulus_pa: self.creep_modulus_pa(t).ok(),
        })
    }

    /// Where it softens: the lower of the deflection temperature under 1.82 MPa and the Vicat temperature; the makers'
    /// highest service temperature where both are missing. [K]
    pub fn softening_k(&self) -> Option<f64> {
        match (self.get(Property::Hdt1820), self.get(Property::Vicat)) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (a, b) => a.or(b).or(self.get(Property::MaxService)),
        }
    }

    /// Short-time Young's modulus at a temperature. [Pa]
    ///
    /// Up to 23 °C the room value. Then the catalogue's curve where it has one; else through the two deflection
    /// temperatures ([`modulus_at_deflection`]), to the first by a falling parabola (amorphous: stiff until close to the
    /// glass transition) or straight on log paper (semicrystalline), and on to [`LIMP_SHARE`] of the room value where the
    /// sheet is limp or molten. Good to about 20 % up to the deflection temperature, to a factor of two above.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] outside -60 to 400 °C, [`crate::Error::Impossible`] where there is no modulus.
    ///
    /// ```
    /// use mountwright::material::Catalogue;
    /// let abs = Catalogue::standard()?.get("abs")?.properties();
    /// assert!(abs.modulus_pa(343.15)? < 0.85 * abs.modulus_pa(296.15)?);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn modulus_pa(&self, temperature_k: f64) -> Result<f64> {
        let t = check(
            "temperature_k",
            temperature_k,
            TEMPERATURE,
            "give the temperature of the part",
        )?;
        let room = self.need(Property::YoungsModulus)?;
        if t <= ROOM_K {
            return Ok(room);
        }
        if let Some(shape) = self.modulus_shape()
            && shape.temperature_k().last().is_some_and(|last| t <= *last)
        {
            return Ok(room * shape.at(t));
        }
        let points = self.softening_points(room);
        let after = points.iter().position(|p| t <= p.0);
        Ok(match after {
            None => points.last().map_or(room, |p| p.1),
            Some(0) => room,
            Some(1) if self.structure() == Structure::Amorphous => {
                let ((t0, e0), (t1, e1)) = (points[0], points[1]);
                e0 - (e0 - e1) * ((t - t0) / (t1 - t0)).powi(2)
            }
            Some(i) => log_between(t, points[i - 1], points[i]),
        })
    }

    /// Temperature and modulus, at rising temperatures and falling moduli, from 23 °C on.
    fn softening_points(&self, room: f64) -> Vec<(f64, f64)> {
        let mut points = vec![(ROOM_K, room)];
        if let (Some(shape), Some(at)) = (
            self.modulus_shape(),
            self.modulus_shape().and_then(|s| s.temperature_k().last()),
        ) {
            points.push((*at, room * shape.at(*at)));
        } else {
            let test = |p, stress| Some((self.get(p)?, modulus_at_deflection(stress, room)));
            points.extend(test(Property::Hdt1820, STRESS_1820));
            points.extend(test(Property::Hdt455, STRESS_455));
        }
        let soft = match self.structure() {
            Structure::Semicrystalline => self.get(Property::MeltingEnd),
            _ => self.get(Property::Limp),
        };
        points.extend(soft.map(|at| (at, room * LIMP_SHARE.value)));
        // Draws of neighbouring temperatures may cross: each point keeps 1 K from the last.
        for i in 1..points.len() {
            points[i].0 = points[i].0.max(points[i - 1].0 + 1.0);
        }
        points
    }

    /// Yield strength at a temperature. [Pa]
    ///
    /// Falls with the modulus, and in an amorphous sheet no slower than the straight line to nothing at the glass
    /// transition: above it there is no strength to count on.
    ///
    /// # Errors
    /// As [`Properties::modulus_pa`].
    pub fn yield_strength_pa(&self, temperature_k: f64) -> Result<f64> {
        let room = self.need(Property::YieldStrength)?;
        let stiff = self.modulus_pa(temperature_k)? / self.need(Property::YoungsModulus)?;
        let line = match (self.structure(), self.get(Property::GlassTransition)) {
            (Structure::Amorphous, Some(glass)) => {
                ((glass - temperature_k) / (glass - ROOM_K)).clamp(0.0, 1.0)
            }
            _ => 1.0,
        };
        Ok(room * stiff.min(line))
    }

    /// Creep modulus after 1000 h at a temperature. [Pa]
    ///
    /// At 23 °C the creep factor times the modulus; from there straight on log paper to [`HOT_CREEP_SHARE`] of that 8 K
    /// below the deflection temperature under 1.82 MPa, and on; never above the creep factor times the modulus at temperature.
    ///
    /// # Errors
    /// As [`Properties::modulus_pa`].
    pub fn creep_modulus_pa(&self, temperature_k: f64) -> Result<f64> {
        let factor = self.need(Property::CreepFactor)?;
        let short = factor * self.modulus_pa(temperature_k)?;
        let room = factor * self.need(Property::YoungsModulus)?;
        let hot = (self.need(Property::Hdt1820)? - HOT_CREEP_BELOW_K).max(ROOM_K + 5.0);
        let rise = (temperature_k - ROOM_K).max(0.0);
        Ok(short.min(room * HOT_CREEP_SHARE.value.powf(rise / (hot - ROOM_K))))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::Catalogue;

    fn properties(name: &str) -> Properties {
        Catalogue::standard()
            .unwrap()
            .get(name)
            .unwrap()
            .properties()
    }

    #[test]
    fn stiffness_and_strength_never_rise_with_temperature() {
        for material in Catalogue::standard().unwrap().materials() {
            let p = material.properties();
            if p.get(Property::YoungsModulus).is_none() {
                continue;
            }
            let mut last = f64::INFINITY;
            for c in (-50..350).step_by(3) {
                let e = p.modulus_pa(f64::from(c) + 273.15).unwrap();
                assert!(
                    e > 0.0 && e <= last * (1.0 + 1e-12),
                    "{} at {c} °C",
                    material.name
                );
                last = e;
                if p.get(Property::CreepFactor).is_some() {
                    let t = f64::from(c) + 273.15;
                    assert!(p.creep_modulus_pa(t).unwrap() < e);
                    let y = p.yield_strength_pa(t).unwrap();
                    assert!(y >= 0.0 && y <= p.need(Property::YieldStrength).unwrap());
                }
            }
        }
    }

    #[test]
    fn foamed_pvc_creeps_to_a_quarter_at_fifty_degrees() {
        // The remembered figure itself: a quarter of the value at 23 °C.
        let p = properties("expanded-pvc");
        let ratio = p.creep_modulus_pa(323.15).unwrap() / p.creep_modulus_pa(ROOM_K).unwrap();
        assert!((ratio - 0.25).abs() < 1e-9);
    }

    #[test]
    fn nothing_is_left_to_count_on_above_the_glass_transition() {
        let p = properties("abs");
        assert!(
            p.yield_strength_pa(p.need(Property::GlassTransition).unwrap())
                .unwrap()
                < 1e-6
        );
        assert!(p.modulus_pa(f64::NAN).is_err() && p.modulus_pa(5000.0).is_err());
    }
}
