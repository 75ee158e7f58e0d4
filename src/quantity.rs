//! Shop units at the edge, SI inside: `"1/8 in"`, `"350 °F"`, `"300 L/min"`, `"47 mm ± 1 mm"` become SI, and SI goes back for display.
//!
//! This is the only parser of quantities. Conversion factors are exact legal ones: the inch of
//! 0.0254 m, the pound of 0.453 592 37 kg (international yard and pound agreement, 1959), the US
//! gallon of 231 cubic inches (NIST Handbook 44, appendix C), 0 °C = 273.15 K and °F = 9/5 °C + 32
//! (NIST SP 811, appendix B), the standard acceleration 9.806 65 m/s² (3rd CGPM, 1901).

mod said;

use serde::{Deserialize, Serialize};

use crate::error::{Error, Result};
pub use said::{said, said_fault};

/// What a quantity measures; fixes the units that are accepted and the SI unit that comes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
#[allow(missing_docs)] // each name says it
pub enum Dimension {
    Length,
    Area,
    Volume,
    Angle,
    Time,
    Temperature,
    TemperatureDifference,
    Mass,
    Force,
    Pressure,
    Power,
    Speed,
    VolumeFlow,
    Density,
    Rotation,
    /// A share, 0 to 1, written `0.15` or `15 %`.
    Fraction,
    Conductivity,
    ConductivitySlope,
    HeatCapacity,
    SpecificEnergy,
    MolarEnergy,
    Expansion,
    Attenuation,
    TimePerLength,
}

/// Units of one dimension: (spellings, factor to SI, offset to SI after the factor).
type Units = &'static [(&'static [&'static str], f64, f64)];

const INCH: f64 = 0.0254;
const POUND: f64 = 0.453_592_37;
const GRAVITY: f64 = 9.806_65;
const KELVIN: f64 = 273.15;
/// British thermal unit (International Table) and thermochemical calorie: NIST SP 811, appendix B.8. [J]
const BTU: f64 = 1_055.055_852_62;
const CALORIE: f64 = 4.184;

impl Dimension {
    /// Every dimension.
    pub const ALL: [Self; 24] = [
        Self::Length,
        Self::Area,
        Self::Volume,
        Self::Angle,
        Self::Time,
        Self::Temperature,
        Self::TemperatureDifference,
        Self::Mass,
        Self::Force,
        Self::Pressure,
        Self::Power,
        Self::Speed,
        Self::VolumeFlow,
        Self::Density,
        Self::Rotation,
        Self::Fraction,
        Self::Conductivity,
        Self::ConductivitySlope,
        Self::HeatCapacity,
        Self::SpecificEnergy,
        Self::MolarEnergy,
        Self::Expansion,
        Self::Attenuation,
        Self::TimePerLength,
    ];

    /// The name in files and in Python: `length`, `volume-flow`.
    pub fn name(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Area => "area",
            Self::Volume => "volume",
            Self::Angle => "angle",
            Self::Time => "time",
            Self::Temperature => "temperature",
            Self::TemperatureDifference => "temperature-difference",
            Self::Mass => "mass",
            Self::Force => "force",
            Self::Pressure => "pressure",
            Self::Power => "power",
            Self::Speed => "speed",
            Self::VolumeFlow => "volume-flow",
            Self::Density => "density",
            Self::Rotation => "rotation",
            Self::Fraction => "fraction",
            Self::Conductivity => "conductivity",
            Self::ConductivitySlope => "conductivity-slope",
            Self::HeatCapacity => "heat-capacity",
            Self::SpecificEnergy => "specific-energy",
            Self::MolarEnergy => "molar-energy",
            Self::Expansion => "expansion",
            Self::Attenuation => "attenuation",
            Self::TimePerLength => "time-per-length",
        }
    }

    /// The dimension called `name`.
    ///
    /// # Errors
    /// [`Error::Unknown`] with the nearest names.
    ///
    /// ```
    /// use mountwright::quantity::Dimension;
    /// assert_eq!(Dimension::named("volume-flow")?, Dimension::VolumeFlow);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn named(name: &str) -> Result<Self> {
        Self::ALL
            .into_iter()
            .find(|d| d.name() == name)
            .ok_or_else(|| Error::unknown("dimension", name, Self::ALL.map(Self::name)))
    }

    /// SI unit of what [`parse`] gives.
    pub fn si_unit(self) -> &'static str {
        match self {
            Self::Length => "m",
            Self::Area => "m²",
            Self::Volume => "m³",
            Self::Angle => "rad",
            Self::Time => "s",
            Self::Temperature | Self::TemperatureDifference => "K",
            Self::Mass => "kg",
            Self::Force => "N",
            Self::Pressure => "Pa",
            Self::Power => "W",
            Self::Speed => "m/s",
            Self::VolumeFlow => "m³/s",
            Self::Density => "kg/m³",
            Self::Rotation => "1/s",
            Self::Fraction => "1",
            Self::Conductivity => "W/m/K",
            Self::ConductivitySlope => "W/m/K²",
            Self::HeatCapacity => "J/kg/K",
            Self::SpecificEnergy => "J/kg",
            Self::MolarEnergy => "J/mol",
            Self::Expansion => "1/K",
            Self::Attenuation => "1/m",
            Self::TimePerLength => "s/m",
        }
    }

    /// The dimension in words with an example, for error messages.
    pub fn example(self) -> &'static str {
        match self {
            Self::Length => "a length such as \"3 mm\" or \"1/8 in\"",
            Self::Area => "an area such as \"2.5 m2\" or \"4 sq ft\"",
            Self::Volume => "a volume such as \"50 mL\" or \"1 fl oz\"",
            Self::Angle => "an angle such as \"30°\" or \"30 deg\"",
            Self::Time => "a time such as \"90 s\", \"5 min\" or \"2 h\"",
            Self::Temperature => "a temperature such as \"120 °C\" or \"250 °F\"",
            Self::TemperatureDifference => "a temperature difference such as \"10 K\"",
            Self::Mass => "a mass such as \"30 g\" or \"2 lb\"",
            Self::Force => "a force such as \"10 N\" or \"2 lbf\"",
            Self::Pressure => "a pressure such as \"40 MPa\" or \"6000 psi\"",
            Self::Power => "a power such as \"2 kW\"",
            Self::Speed => "a speed such as \"1.5 m/min\"",
            Self::VolumeFlow => "a flow such as \"300 L/min\"",
            Self::Density => "a density such as \"550 kg/m3\"",
            Self::Rotation => "a speed of rotation such as \"18000 rpm\"",
            Self::Fraction => "a share such as \"15 %\" or \"0.15\"",
            Self::Conductivity => "a thermal conductivity such as \"0.17 W/m/K\"",
            Self::ConductivitySlope => {
                "a change of conductivity with temperature such as \"1e-4 W/m/K2\""
            }
            Self::HeatCapacity => "a specific heat capacity such as \"1400 J/kg/K\"",
            Self::SpecificEnergy => "an energy per mass such as \"70 J/g\"",
            Self::MolarEnergy => "an energy per mole such as \"130 kJ/mol\"",
            Self::Expansion => "a thermal expansion such as \"9e-5 1/K\"",
            Self::Attenuation => "an absorption such as \"2100 1/m\"",
            Self::TimePerLength => "a time for each thickness such as \"40 s/mm\"",
        }
    }

    #[allow(clippy::too_many_lines)] // one table
    fn units(self) -> Units {
        match self {
            Self::Length => &[
                (&["mm"], 1e-3, 0.0),
                (&["cm"], 1e-2, 0.0),
                (&["m"], 1.0, 0.0),
                (&["um", "µm", "μm", "micron", "microns"], 1e-6, 0.0),
                (&["in", "inch", "inches", "\"", "″"], INCH, 0.0),
                (&["ft", "foot", "feet", "'", "′"], 12.0 * INCH, 0.0),
                (&["mil", "thou"], INCH * 1e-3, 0.0),
            ],
            Self::Area => &[
                (&["m2", "m²", "sq m"], 1.0, 0.0),
                (&["cm2", "cm²", "sq cm"], 1e-4, 0.0),
                (&["mm2", "mm²", "sq mm"], 1e-6, 0.0),
                (&["in2", "in²", "sq in"], INCH * INCH, 0.0),
                (&["ft2", "ft²", "sq ft"], 144.0 * INCH * INCH, 0.0),
            ],
            Self::Volume => &[
                (&["mL", "ml", "cm3", "cm³", "cc"], 1e-6, 0.0),
                (&["L", "l", "litre", "litres", "liter", "liters"], 1e-3, 0.0),
                (&["m3", "m³"], 1.0, 0.0),
                (&["fl oz"], 231.0 / 128.0 * INCH * INCH * INCH, 0.0),
            ],
            Self::Angle => &[
                (
                    &["deg", "°", "degree", "degrees"],
                    std::f64::consts::PI / 180.0,
                    0.0,
                ),
                (&["rad"], 1.0, 0.0),
            ],
            Self::Time => &[
                (&["s", "sec", "second", "seconds"], 1.0, 0.0),
                (&["min", "minute", "minutes"], 60.0, 0.0),
                (&["h", "hr", "hour", "hours"], 3600.0, 0.0),
                (&["d", "day", "days"], 86_400.0, 0.0),
            ],
            Self::Temperature => &[
                (&["°C", "ºC", "℃", "degC", "C"], 1.0, KELVIN),
                (
                    &["°F", "ºF", "℉", "degF", "F"],
                    5.0 / 9.0,
                    KELVIN - 32.0 * 5.0 / 9.0,
                ),
                (&["K"], 1.0, 0.0),
            ],
            Self::TemperatureDifference => &[
                (&["K", "°C", "degC", "C"], 1.0, 0.0),
                (&["°F", "degF", "F"], 5.0 / 9.0, 0.0),
            ],
            Self::Mass => &[
                (&["g"], 1e-3, 0.0),
                (&["kg"], 1.0, 0.0),
                (&["mg"], 1e-6, 0.0),
                (&["lb", "lbs"], POUND, 0.0),
                (&["oz"], POUND / 16.0, 0.0),
            ],
            Self::Force => &[
                (&["N"], 1.0, 0.0),
                (&["kN"], 1e3, 0.0),
                (&["kgf"], GRAVITY, 0.0),
                (&["lbf"], POUND * GRAVITY, 0.0),
            ],
            Self::Pressure => &[
                (&["Pa"], 1.0, 0.0),
                (&["kPa"], 1e3, 0.0),
                (&["MPa", "N/mm2", "N/mm²"], 1e6, 0.0),
                (&["GPa"], 1e9, 0.0),
                (&["bar"], 1e5, 0.0),
                (&["psi"], POUND * GRAVITY / (INCH * INCH), 0.0),
            ],
            Self::Power => &[(&["W"], 1.0, 0.0), (&["kW"], 1e3, 0.0)],
            Self::Speed => &[
                (&["m/s"], 1.0, 0.0),
                (&["mm/s"], 1e-3, 0.0),
                (&["m/min"], 1.0 / 60.0, 0.0),
                (&["mm/min"], 1e-3 / 60.0, 0.0),
                (&["in/min", "ipm"], INCH / 60.0, 0.0),
            ],
            Self::VolumeFlow => &[
                (&["L/min", "l/min", "lpm", "LPM"], 1e-3 / 60.0, 0.0),
                (&["m3/h", "m³/h"], 1.0 / 3600.0, 0.0),
                (&["m3/s", "m³/s"], 1.0, 0.0),
                (&["cfm"], 1728.0 * INCH * INCH * INCH / 60.0, 0.0),
            ],
            Self::Density => &[
                (&["kg/m3", "kg/m³"], 1.0, 0.0),
                (&["g/cm3", "g/cm³", "g/cc"], 1e3, 0.0),
                (
                    &["lb/ft3", "lb/ft³", "pcf"],
                    POUND / (1728.0 * INCH * INCH * INCH),
                    0.0,
                ),
            ],
            Self::Rotation => &[
                (&["rpm", "1/min"], 1.0 / 60.0, 0.0),
                (&["1/s", "Hz"], 1.0, 0.0),
            ],
            Self::Fraction => &[(&["%", "percent"], 1e-2, 0.0), (&["1", ""], 1.0, 0.0)],
            Self::Conductivity => &[
                (&["W/m/K", "W/mK", "W/(m K)", "W/m·K"], 1.0, 0.0),
                (
                    &["BTU in/h/ft2/F", "BTU in/(h ft2 F)"],
                    BTU * INCH / (3600.0 * 144.0 * INCH * INCH * 5.0 / 9.0),
                    0.0,
                ),
                (
                    &["BTU/h/ft/F", "BTU/(h ft F)"],
                    BTU / (3600.0 * 12.0 * INCH * 5.0 / 9.0),
                    0.0,
                ),
                (&["cal/s/cm/K", "cal/(s cm K)"], CALORIE * 100.0, 0.0),
            ],
            Self::ConductivitySlope => &[(&["W/m/K2", "W/m/K²", "W/mK2"], 1.0, 0.0)],
            Self::HeatCapacity => &[
                (&["J/kg/K", "J/kgK", "J/(kg K)"], 1.0, 0.0),
                (&["kJ/kg/K", "kJ/(kg K)", "J/g/K"], 1e3, 0.0),
                (&["cal/g/K", "cal/(g K)"], CALORIE * 1e3, 0.0),
                (&["BTU/lb/F", "BTU/(lb F)"], BTU / (POUND * 5.0 / 9.0), 0.0),
            ],
            Self::SpecificEnergy => &[
                (&["J/g", "kJ/kg"], 1e3, 0.0),
                (&["J/kg"], 1.0, 0.0),
                (&["cal/g"], CALORIE * 1e3, 0.0),
            ],
            Self::MolarEnergy => &[
                (&["kJ/mol"], 1e3, 0.0),
                (&["J/mol"], 1.0, 0.0),
                (&["kcal/mol"], CALORIE * 1e3, 0.0),
            ],
            Self::Expansion => &[
                (&["1/K", "m/m/K", "1/°C"], 1.0, 0.0),
                (&["ppm/K", "um/m/K", "µm/m/K"], 1e-6, 0.0),
                (&["1/°F", "in/in/F"], 1.8, 0.0),
            ],
            Self::Attenuation => &[(&["1/m"], 1.0, 0.0), (&["1/mm"], 1e3, 0.0)],
            Self::TimePerLength => &[
                (&["s/mm"], 1e3, 0.0),
                (&["s/m"], 1.0, 0.0),
                (&["min/mm"], 60e3, 0.0),
                (&["s/in"], 1.0 / INCH, 0.0),
            ],
        }
    }
}

/// A measured quantity in SI, with the uncertainty that was written beside it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Measure {
    /// Value, SI.
    pub value: f64,
    /// Half-width of its range, SI; 0 where none was written.
    pub plus_minus: f64,
}

/// Reads a quantity: `"3 mm"`, `"1 1/2 in"`, `"350 °F"`, `"47 mm ± 1 mm"`, `"47 ± 1 mm"`, `"47 mm +- 2 %"`.
///
/// # Errors
/// [`Error::Unit`] where the text is not a finite number with a unit of `dimension`; a bare number is refused
/// unless the dimension is a fraction.
///
/// ```
/// use mountwright::quantity::{parse, Dimension};
/// assert!((parse("thickness", "1/8 in", Dimension::Length)?.value - 3.175e-3).abs() < 1e-12);
/// let spacing = parse("spacing", "47 mm ± 1 mm", Dimension::Length)?;
/// assert!((spacing.plus_minus - 1e-3).abs() < 1e-12);
/// assert!(parse("air", "3 mm", Dimension::Temperature).is_err());
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn parse(what: &str, text: &str, dimension: Dimension) -> Result<Measure> {
    let fail = |remedy: String| Error::Unit {
        what: what.to_string(),
        given: text.chars().take(60).collect(),
        expected: dimension.example().to_string(),
        remedy,
    };
    let normal = text.replace("+/-", "±").replace("+-", "±");
    let mut halves = normal.splitn(2, '±');
    let main = halves.next().unwrap_or("").trim();
    let spread = halves.next().map(str::trim);
    let (number, unit) = split(main).ok_or_else(|| fail("write a number and a unit".into()))?;
    let spread = match spread {
        None => None,
        Some(s) => Some(split(s).ok_or_else(|| fail("write a number after ±".into()))?),
    };
    // "47 ± 1 mm": the unit after the spread serves both.
    let unit = match (unit, spread) {
        ("", Some((_, u))) if u != "%" && !u.is_empty() => u,
        (u, _) => u,
    };
    let (factor, offset) =
        find(dimension, unit).ok_or_else(|| fail(unit_remedy(dimension, unit)))?;
    let value = shifted(number * factor, offset);
    let plus_minus = match spread {
        None => 0.0,
        Some((_, "%")) if dimension == Dimension::Temperature => {
            let remedy =
                "a temperature has no per cent: write its ± in degrees, such as \"± 5 °C\"";
            return Err(fail(remedy.into()));
        }
        Some((n, "%")) if dimension != Dimension::Fraction => (value * n / 100.0).abs(),
        Some((n, u)) => {
            let (f, _) = find(dimension, if u.is_empty() { unit } else { u })
                .ok_or_else(|| fail(unit_remedy(dimension, u)))?;
            n * f
        }
    };
    if !value.is_finite() || !plus_minus.is_finite() || plus_minus < 0.0 {
        return Err(fail(
            "write a finite number, and a positive one after ±".into(),
        ));
    }
    if dimension == Dimension::Temperature && value < 0.0 {
        return Err(fail(
            "nothing is colder than -273.15 °C: look at sign and unit".into(),
        ));
    }
    Ok(Measure { value, plus_minus })
}

/// Turns a number with a unit into SI.
///
/// # Errors
/// [`Error::Unit`] where the unit is not one of `dimension` or the number is not finite.
///
/// ```
/// use mountwright::quantity::{to_si, Dimension};
/// assert!((to_si("limp", 121.0, "°C", Dimension::Temperature)? - 394.15).abs() < 1e-9);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn to_si(what: &str, value: f64, unit: &str, dimension: Dimension) -> Result<f64> {
    let fail = |remedy: String| Error::Unit {
        what: what.to_string(),
        given: format!("{value} {}", unit.chars().take(60).collect::<String>()),
        expected: dimension.example().to_string(),
        remedy,
    };
    let (factor, offset) =
        find(dimension, unit).ok_or_else(|| fail(unit_remedy(dimension, unit)))?;
    let si = shifted(value * factor, offset);
    if si.is_finite() {
        Ok(si)
    } else {
        Err(fail("write a finite number".into()))
    }
}

/// A value after the zero of its scale is moved. To a nanokelvin: -60 °C is 213.15 K, as it is written, and not a rounding error below.
fn shifted(value: f64, offset: f64) -> f64 {
    const DIGITS: f64 = 1e9;
    if offset == 0.0 {
        value
    } else {
        ((value + offset) * DIGITS).round() / DIGITS
    }
}

fn unit_remedy(dimension: Dimension, unit: &str) -> String {
    let units: Vec<&str> = dimension
        .units()
        .iter()
        .filter_map(|(names, _, _)| names.first().copied())
        .filter(|n| !n.is_empty())
        .collect();
    let other = Dimension::ALL
        .iter()
        .find(|d| **d != dimension && !unit.is_empty() && find(**d, unit).is_some())
        .map(|d| format!("\"{unit}\" belongs to {}; ", d.example()))
        .unwrap_or_default();
    if unit.is_empty() {
        format!("a bare number has no unit; use one of {}", units.join(", "))
    } else {
        format!("{other}use one of {}", units.join(", "))
    }
}

fn find(dimension: Dimension, unit: &str) -> Option<(f64, f64)> {
    dimension
        .units()
        .iter()
        .find(|(names, _, _)| names.contains(&unit))
        .map(|(_, factor, offset)| (*factor, *offset))
}

/// Splits "1 1/2 in" into 1.5 and "in"; `None` without a leading number.
fn split(text: &str) -> Option<(f64, &str)> {
    let text = text.trim();
    let end = number_end(text);
    let mut value = fraction(text.get(..end)?)?;
    let mut rest = text.get(end..)?.trim_start();
    // A whole number may be followed by a fraction: "1 1/2".
    let next = number_end(rest);
    if next > 0 && rest.get(..next)?.contains('/') && !text.get(..end)?.contains(['/', '.']) {
        let part = fraction(rest.get(..next)?)?;
        value += if text.starts_with('-') { -part } else { part };
        rest = rest.get(next..)?.trim_start();
    }
    value.is_finite().then_some((value, rest.trim()))
}

fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let mut end = 0;
    while let Some(&b) = bytes.get(end) {
        let exponent_sign = matches!(b, b'+' | b'-')
            && (end == 0 || matches!(bytes.get(end - 1), Some(b'e' | b'E')));
        let exponent = matches!(b, b'e' | b'E')
            && end > 0
            && matches!(bytes.get(end + 1), Some(b'0'..=b'9' | b'+' | b'-'));
        if b.is_ascii_digit() || b == b'.' || b == b'/' || exponent_sign || exponent {
            end += 1;
        } else {
            break;
        }
    }
    // "1/min" is a unit, "1/8" a number: a slash must have digits behind it.
    while end > 0 && bytes.get(end - 1) == Some(&b'/') {
        end -= 1;
    }
    end
}

fn fraction(text: &str) -> Option<f64> {
    match text.split_once('/') {
        None => text.parse::<f64>().ok(),
        Some((above, below)) => {
            let below = below.parse::<f64>().ok()?;
            let value = above.parse::<f64>().ok()? / below;
            (below > 0.0).then_some(value)
        }
    }
}

/// Units for display.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// Millimetres, °C.
    #[default]
    Metric,
    /// Inches, °F.
    Inch,
}

impl System {
    /// The system called `name`: `metric`, `inch`.
    ///
    /// # Errors
    /// [`Error::Unknown`] for another name.
    pub fn named(name: &str) -> Result<Self> {
        match name {
            "metric" => Ok(Self::Metric),
            "inch" => Ok(Self::Inch),
            other => Err(Error::unknown("system of units", other, ["metric", "inch"])),
        }
    }
}

/// A quantity for people, with `digits` after the point in millimetres, degrees, seconds; inches get two more.
///
/// ```
/// use mountwright::quantity::{show, Dimension, System};
/// assert_eq!(show(3.175e-3, Dimension::Length, System::Metric, 1), "3.2 mm");
/// assert_eq!(show(3.175e-3, Dimension::Length, System::Inch, 1), "0.125 in");
/// assert_eq!(show(449.816_666_666, Dimension::Temperature, System::Inch, 0), "350 °F");
/// ```
pub fn show(si: f64, dimension: Dimension, system: System, digits: usize) -> String {
    let inch = system == System::Inch;
    let (value, unit, digits) = match dimension {
        Dimension::Length if inch => (si / INCH, "in", digits + 2),
        Dimension::Length => (si * 1e3, "mm", digits),
        Dimension::Area if inch => (si / (144.0 * INCH * INCH), "sq ft", digits + 2),
        Dimension::Area => (si, "m²", digits + 2),
        Dimension::Volume => (si * 1e6, "mL", digits),
        Dimension::Angle => (si.to_degrees(), "°", digits),
        Dimension::Temperature if inch => ((si - KELVIN) * 1.8 + 32.0, "°F", digits),
        Dimension::Temperature => (si - KELVIN, "°C", digits),
        Dimension::TemperatureDifference if inch => (si * 1.8, "°F", digits),
        Dimension::Mass if inch => (si / POUND, "lb", digits + 2),
        Dimension::Mass => (si * 1e3, "g", digits),
        Dimension::Pressure if inch => (si * INCH * INCH / (POUND * GRAVITY), "psi", digits),
        Dimension::Pressure => (si * 1e-6, "MPa", digits),
        Dimension::Force if inch => (si / (POUND * GRAVITY), "lbf", digits + 1),
        Dimension::VolumeFlow => (si * 6e4, "L/min", digits),
        Dimension::Rotation => (si * 60.0, "rpm", digits),
        Dimension::Fraction => (si * 100.0, "%", digits),
        Dimension::Time
        | Dimension::TemperatureDifference
        | Dimension::Force
        | Dimension::Power
        | Dimension::Speed
        | Dimension::Density
        | Dimension::Conductivity
        | Dimension::ConductivitySlope
        | Dimension::HeatCapacity
        | Dimension::SpecificEnergy
        | Dimension::MolarEnergy
        | Dimension::Expansion
        | Dimension::Attenuation
        | Dimension::TimePerLength => (si, dimension.si_unit(), digits),
    };
    let gap = if dimension == Dimension::Angle {
        ""
    } else {
        " "
    };
    format!("{value:.digits$}{gap}{unit}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn value(text: &str, dimension: Dimension) -> f64 {
        parse("x", text, dimension).unwrap().value
    }

    #[test]
    fn legal_factors_hold_to_the_last_digit() {
        // NIST SP 811 (2008), appendix B.8: factors printed there.
        for (text, dimension, si) in [
            ("1 in", Dimension::Length, 0.0254),
            ("1 ft", Dimension::Length, 0.3048),
            ("1 mil", Dimension::Length, 2.54e-5),
            ("1 psi", Dimension::Pressure, 6.894_757e3),
            ("1 lb", Dimension::Mass, 4.535_924e-1),
            ("1 fl oz", Dimension::Volume, 2.957_353e-5),
            ("1 cfm", Dimension::VolumeFlow, 4.719_474e-4),
            ("1 lbf", Dimension::Force, 4.448_222),
            ("1 lb/ft3", Dimension::Density, 1.601_846e1),
            ("1 BTU in/h/ft2/F", Dimension::Conductivity, 1.442_279e-1),
            ("1 BTU/h/ft/F", Dimension::Conductivity, 1.730_735),
            ("1 BTU/lb/F", Dimension::HeatCapacity, 4.186_8e3),
            ("1 cal/g/K", Dimension::HeatCapacity, 4.184e3),
        ] {
            // Half of the last digit printed there.
            assert!((value(text, dimension) / si - 1.0).abs() < 4e-7, "{text}");
        }
        assert!((value("32 °F", Dimension::Temperature) - 273.15).abs() < 1e-12);
        // Limits are written in kelvin with two digits: what is written in degrees lies on them, not beside.
        for (text, kelvin) in [
            ("-60 °C", 213.15_f64),
            ("400 °C", 673.15),
            ("-76 °F", 213.15),
        ] {
            assert_eq!(
                value(text, Dimension::Temperature).to_bits(),
                kelvin.to_bits(),
                "{text}"
            );
        }
        assert!(parse("x", "120 °C ± 5 %", Dimension::Temperature).is_err());
        assert!(parse("x", "-300 °C", Dimension::Temperature).is_err());
        assert!(parse("x", "-273.15 °C", Dimension::Temperature).is_ok());
        assert!((value("212 °F", Dimension::Temperature) - 373.15).abs() < 1e-12);
    }

    #[test]
    fn shop_spellings_are_read() {
        assert!((value("1 1/2 in", Dimension::Length) - 0.0381).abs() < 1e-15);
        assert!((value("3mm", Dimension::Length) - 3e-3).abs() < 1e-18);
        assert!((value("1/8\"", Dimension::Length) - 3.175e-3).abs() < 1e-15);
        assert!((value("15 %", Dimension::Fraction) - 0.15).abs() < 1e-15);
        assert!((value("0.15", Dimension::Fraction) - 0.15).abs() < 1e-15);
        assert!((value("18000 rpm", Dimension::Rotation) - 300.0).abs() < 1e-12);
        assert!((value("1e3 mm", Dimension::Length) - 1.0).abs() < 1e-12);
        assert!((value("-10 °C", Dimension::Temperature) - 263.15).abs() < 1e-12);
        let m = parse("x", "47 ± 1 mm", Dimension::Length).unwrap();
        assert!((m.value - 0.047).abs() < 1e-15 && (m.plus_minus - 0.001).abs() < 1e-15);
        let m = parse("x", "47 mm +- 2 %", Dimension::Length).unwrap();
        assert!((m.plus_minus - 0.000_94).abs() < 1e-15);
        let m = parse("x", "20 °C ± 2 K", Dimension::Temperature).unwrap();
        assert!((m.plus_minus - 2.0).abs() < 1e-12);
    }

    #[test]
    fn wrong_text_is_refused_with_a_reason() {
        for text in [
            "",
            "mm",
            "3",
            "3 furlongs",
            "NaN mm",
            "inf mm",
            "1/0 in",
            "3 mm ± -1 mm",
            "3 mm ± x",
            "±",
            "1e999 mm",
        ] {
            assert!(
                matches!(parse("x", text, Dimension::Length), Err(Error::Unit { .. })),
                "{text}"
            );
        }
        let message = parse("air", "3 mm", Dimension::Temperature)
            .unwrap_err()
            .to_string();
        assert!(message.contains("belongs to a length"), "{message}");
    }

    proptest! {
        #[test]
        fn any_text_is_read_or_refused(text in ".{0,40}") {
            for d in [Dimension::Length, Dimension::Temperature, Dimension::Fraction] {
                if let Ok(m) = parse("x", &text, d) {
                    prop_assert!(m.value.is_finite() && m.plus_minus >= 0.0);
                }
            }
        }

        #[test]
        fn what_is_shown_is_read_back(mm in 0.01..5000.0_f64, celsius in -60.0..600.0_f64) {
            for system in [System::Metric, System::Inch] {
                let back = value(&show(mm * 1e-3, Dimension::Length, system, 6), Dimension::Length);
                prop_assert!((back - mm * 1e-3).abs() < 1e-9);
                let k = celsius + 273.15;
                let back = value(&show(k, Dimension::Temperature, system, 6), Dimension::Temperature);
                prop_assert!((back - k).abs() < 1e-6);
            }
        }
    }
}
