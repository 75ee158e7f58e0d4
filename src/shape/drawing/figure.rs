//! Lengths on paper, in the shop's units.

use crate::quantity::System;

/// The unit's name.
pub(super) const fn unit(units: System) -> &'static str {
    match units {
        System::Metric => "mm",
        System::Inch => "in",
    }
}

/// A length without its unit: tenths of a millimetre, thousandths of an inch; no minus before a zero.
pub(super) fn figure(length_m: f64, units: System) -> String {
    let text = match units {
        System::Metric => format!("{:.1}", length_m * 1e3),
        System::Inch => format!("{:.3}", length_m / 0.0254),
    };
    match text.strip_prefix('-') {
        Some(zero) if !zero.contains(|c: char| ('1'..='9').contains(&c)) => zero.into(),
        _ => text,
    }
}

/// A thickness with its unit.
pub(super) fn thickness(length_m: f64, units: System) -> String {
    match units {
        System::Metric => format!("{:.2} mm", length_m * 1e3),
        System::Inch => format!("{:.3} in", length_m / 0.0254),
    }
}
