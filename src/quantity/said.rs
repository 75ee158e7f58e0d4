//! Sentences with their measures in the shop's units.

use std::fmt::Write;

use super::{GRAVITY, INCH, POUND, System};
use crate::error::{Error, Range, plain};

/// A unit of the core's sentences, what stands for it in an inch shop, factor and shift, and digits more or fewer.
struct Spoken {
    metric: &'static str,
    inch: &'static str,
    factor: f64,
    shift: f64,
    digits: i32,
}

/// Longest first, so that `mm` is not read as `m`.
const SPOKEN: [Spoken; 8] = [
    spoken(" m/min", " in/min", 1.0 / INCH, 0.0, -1),
    spoken(" cm²", " in²", 1e-4 / (INCH * INCH), 0.0, 1),
    spoken(" mm", " in", 1e-3 / INCH, 0.0, 2),
    spoken(" cm", " in", 1e-2 / INCH, 0.0, 1),
    spoken(" °C", " °F", 1.8, 32.0, 0),
    spoken(" K", " °F", 1.8, 0.0, 0),
    spoken(" N", " lbf", 1.0 / (POUND * GRAVITY), 0.0, 1),
    spoken(" m", " ft", 1.0 / (12.0 * INCH), 0.0, 0),
];

/// What may stand between two numbers that share the unit behind the second.
const JOINED: [&str; 7] = [" to ", " x ", " by ", " or ", " ± ", " – ", "–"];

/// Most digits after the point in inches: a thousandth is finer than a router holds, a tenth of it finer than a calliper.
const MOST_DIGITS: i32 = 4;

const fn spoken(
    metric: &'static str,
    inch: &'static str,
    factor: f64,
    shift: f64,
    digits: i32,
) -> Spoken {
    Spoken {
        metric,
        inch,
        factor,
        shift,
        digits,
    }
}

/// A sentence of the core, which speaks of millimetres and degrees Celsius, for a shop that works in inches.
///
/// Lengths, areas, feeds, temperatures and forces are told in inches, feet, degrees Fahrenheit and pounds; stresses and masses stay.
/// Numbers that share a unit (`2 to 3 mm`, `64 x 40 mm`) go together. In a metric shop the sentence stays as it is.
///
/// ```
/// use mountwright::quantity::{System, said};
/// assert_eq!(said("saw 2 to 3 mm outside the line", System::Inch), "saw 0.08 to 0.12 in outside the line");
/// assert_eq!(said("softens at 93 °C, kept 10 K below", System::Inch), "softens at 199 °F, kept 18 °F below");
/// assert_eq!(said("a hole of 4.5 mm", System::Metric), "a hole of 4.5 mm");
/// ```
pub fn said(text: &str, system: System) -> String {
    if system == System::Metric {
        return text.into();
    }
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    // Each unit with the numbers before it; what lies between stays as it is.
    while let Some((at, unit)) = next_unit(rest) {
        let (before, after) = (&rest[..at], &rest[at + unit.metric.len()..]);
        let from = numbers_begin(before);
        out.push_str(&before[..from]);
        out.push_str(&told(&before[from..], unit));
        out.push_str(if from < before.len() {
            unit.inch
        } else {
            unit.metric
        });
        rest = after;
    }
    out.push_str(rest);
    out
}

/// A fault with its lengths as a shop writes them.
///
/// ```
/// use mountwright::error::{Range, check};
/// use mountwright::quantity::{System, said_fault};
/// let fault = check("width", 0.5, Range::new(0.0, 0.3048, "m"), "take a smaller cutout").unwrap_err();
/// assert_eq!(said_fault(&fault, System::Metric), "width is 500 mm, allowed is 0 to 304.8 mm: take a smaller cutout");
/// assert_eq!(said_fault(&fault, System::Inch), "width is 19.69 in, allowed is 0.00 to 12.000 in: take a smaller cutout");
/// ```
pub fn said_fault(fault: &Error, system: System) -> String {
    let text = match fault {
        Error::OutOfRange {
            what,
            given,
            allowed,
            remedy,
        } if allowed.unit == "m" => {
            // To a millionth of a millimetre: bounds that were computed carry idle digits.
            let mm = |length_m: f64| (length_m * 1e9).round() / 1e6;
            let allowed = Range::new(mm(allowed.low), mm(allowed.high), "mm");
            let given = plain(mm(*given));
            format!("{what} is {given} mm, allowed is {allowed}: {remedy}")
        }
        other => other.to_string(),
    };
    said(&text, system)
}

/// Where the next unit with a number before it stands.
fn next_unit(text: &str) -> Option<(usize, &'static Spoken)> {
    let ends_a_number = |at: usize| text[..at].ends_with(|c: char| c.is_ascii_digit());
    let stands_alone = |end: usize| {
        let next = text[end..].chars().next();
        next.is_none_or(|c| !c.is_alphanumeric() && !"²³/·".contains(c))
    };
    SPOKEN
        .iter()
        .filter_map(|unit| {
            let mut places = text.match_indices(unit.metric).map(|(at, _)| at);
            let at =
                places.find(|&at| ends_a_number(at) && stands_alone(at + unit.metric.len()))?;
            Some((at, unit))
        })
        .min_by_key(|(at, _)| *at)
}

/// Where the numbers begin that stand before a unit: one, or several that are joined.
fn numbers_begin(text: &str) -> usize {
    let mut from = number_begins(text);
    while let Some(joint) = JOINED.iter().find(|j| text[..from].ends_with(**j)) {
        let before = &text[..from - joint.len()];
        let begins = number_begins(before);
        if begins == before.len() {
            break;
        }
        from = begins;
    }
    from
}

/// Where the number at the end of a text begins; its end where there is none.
fn number_begins(text: &str) -> usize {
    let digits = |c: char| c.is_ascii_digit() || c == '.';
    let from = text.trim_end_matches(digits).len();
    let number = &text[from..];
    let plain = number.starts_with(|c: char| c.is_ascii_digit()) && number.parse::<f64>().is_ok();
    // A letter before it makes it a name (M5); an exponent or a group of thousands is not its whole.
    let before = &text[..from];
    let digit = |c: char| c.is_ascii_digit();
    let part = before.ends_with(char::is_alphanumeric)
        || before.ends_with("e-")
        || before.strip_suffix(' ').is_some_and(|b| b.ends_with(digit));
    if !plain || part {
        return text.len();
    }
    if text[..from].ends_with('-') && !text[..from - 1].ends_with(char::is_alphanumeric) {
        from - 1
    } else if text[..from].ends_with('\u{2212}') {
        from - '\u{2212}'.len_utf8()
    } else {
        from
    }
}

/// Numbers and what joins them, in the other unit.
fn told(numbers: &str, unit: &Spoken) -> String {
    let mut out = String::new();
    let mut rest = numbers;
    let mut difference = false;
    while !rest.is_empty() {
        let sign = rest.starts_with(['-', '\u{2212}']);
        let skip = rest
            .chars()
            .next()
            .filter(|_| sign)
            .map_or(0, char::len_utf8);
        let length = rest[skip..]
            .find(|c: char| !c.is_ascii_digit() && c != '.')
            .unwrap_or(rest.len() - skip);
        let number = &rest[skip..skip + length];
        let Ok(value) = number.parse::<f64>() else {
            out.push_str(rest);
            break;
        };
        let value = if sign { -value } else { value };
        let places = number.split_once('.').map_or(0, |(_, after)| after.len());
        let digits = i32::try_from(places).unwrap_or(0) + unit.digits;
        let digits = usize::try_from(digits.clamp(0, MOST_DIGITS)).unwrap_or(0);
        // What stands behind ± is a difference of temperature.
        let shift = if difference { 0.0 } else { unit.shift };
        // Writing to a string cannot fail.
        let _ = write!(out, "{:.digits$}", value * unit.factor + shift);
        rest = &rest[skip + length..];
        if let Some(joint) = JOINED.iter().find(|j| rest.starts_with(**j)) {
            difference = joint.contains('±');
            out.push_str(joint);
            rest = &rest[joint.len()..];
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn inch(text: &str) -> String {
        said(text, System::Inch)
    }

    #[test]
    fn measures_are_told_in_inches_and_the_rest_stays() {
        for (core, shop) in [
            ("64 x 40 mm, 3.0 mm thick", "2.52 x 1.57 in, 0.118 in thick"),
            ("cutouts 0.35 mm wider", "cutouts 0.0138 in wider"),
            (
                "screws of M5, 4 mm of thread",
                "screws of M5, 0.16 in of thread",
            ),
            ("1.5 m/min, 2.1 m of way", "59 in/min, 6.9 ft of way"),
            ("57 °C ± 6 K in the sun", "135 °F ± 11 °F in the sun"),
            ("23 ± 2 °C", "73 ± 4 °F"),
            (
                // 1 lbf = 4.448 222 N (NIST SP 811, appendix B.8).
                "stands 1343 N at 40 MPa, 30 g",
                "stands 301.9 lbf at 40 MPa, 30 g",
            ),
            (
                "0.17 W/m/K, 300 L/min, 9e-5 1/K",
                "0.17 W/m/K, 300 L/min, 9e-5 1/K",
            ),
            ("12.3 cm² glued, 5 mm² not", "1.91 in² glued, 5 mm² not"),
            ("18 000 mm, 1e-3 mm", "18 000 mm, 1e-3 mm"),
            ("-2 mm or −3 mm; x-2 mm", "-0.08 in or -0.12 in; x-0.08 in"),
            ("mm, °C and K alone", "mm, °C and K alone"),
        ] {
            assert_eq!(inch(core), shop);
        }
    }

    proptest! {
        #[test]
        fn any_text_is_told_or_left(text in ".{0,60}") {
            prop_assert_eq!(said(&text, System::Metric), text.clone());
            let told = inch(&text);
            if !text.chars().any(|c| c.is_ascii_digit()) {
                prop_assert_eq!(told, text);
            }
        }

        #[test]
        fn a_length_told_is_the_length_written(mm in 0.0..5000.0_f64) {
            let told = inch(&format!("cut {mm:.2} mm"));
            let inches: f64 = told["cut ".len()..told.len() - " in".len()].parse().unwrap();
            // Four digits of an inch, two of a millimetre.
            prop_assert!((inches * 25.4 - mm).abs() < 0.005 + 0.00005 * 25.4 + 1e-9);
        }
    }
}
