//! Numbers of materials for people: shop units, three digits, the range in brackets.

use super::property::Property;
use crate::sourced::Sourced;

/// Three significant digits, whole numbers in full, without a tail of zeros.
pub(crate) fn short(x: f64) -> String {
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
    use crate::material::Catalogue;

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
}
