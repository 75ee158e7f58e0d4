//! Sizes of loudspeakers by their nominal class, for what was not measured. No standard was found: measure the driver.

use serde::Serialize;

use super::check::{Check, MarginKind, Rule, Sense, mm_up};
use crate::sourced::{Constant, Standing};

/// Sizes of one nominal class. "Nominal inch" names the class, not the hole: makers differ by 20 mm.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DriverClass {
    /// Name: `6.5 in`.
    pub name: &'static str,
    /// Cutout, or its short side. [m]
    pub cutout_m: Constant,
    /// Long side of an oval cutout. [m]
    pub cutout_length_m: Option<Constant>,
    /// Depth behind the flange. [m]
    pub depth_m: Constant,
    /// Diagonal of the screw circle; adjacent holes of four lie at 0.7071 of it. [m]
    pub screw_circle_m: Option<Constant>,
    /// Mass. [kg]
    pub mass_kg: Constant,
}

const TRADE: &str = "common practice, no source";
const SHOPS: &str = "retail fitting pages, low authority";
const MANUAL: &str = "retail fitting pages, low authority, and a manual of 1990s component sets";
const WEIGHTS: &str = "catalogue weights, from memory";

const fn size(
    name: &'static str,
    [low, value, high]: [f64; 3],
    source: &'static str,
    standing: Standing,
) -> Constant {
    Constant {
        name,
        value: value * 1e-3,
        low: low * 1e-3,
        high: high * 1e-3,
        unit: "m",
        source,
        standing,
    }
}

const fn mass(name: &'static str, [low, value, high]: [f64; 3]) -> Constant {
    Constant {
        name,
        value,
        low,
        high,
        unit: "kg",
        source: WEIGHTS,
        standing: Standing::Remembered,
    }
}

use Standing::{CommonPractice, Published};

/// Classes of the trade.
pub static DRIVERS: [DriverClass; 7] = [
    DriverClass {
        name: "1 in tweeter",
        cutout_m: size(
            "driver.tweeter.cutout",
            [40.0, 45.0, 50.0],
            TRADE,
            CommonPractice,
        ),
        cutout_length_m: None,
        depth_m: size(
            "driver.tweeter.depth",
            [10.0, 18.0, 25.0],
            TRADE,
            CommonPractice,
        ),
        screw_circle_m: None,
        mass_kg: mass("driver.tweeter.mass", [0.015, 0.04, 0.15]),
    },
    DriverClass {
        name: "4 in",
        cutout_m: size(
            "driver.4.cutout",
            [92.0, 95.0, 101.6],
            MANUAL,
            CommonPractice,
        ),
        cutout_length_m: None,
        depth_m: size("driver.4.depth", [40.0, 48.0, 55.0], TRADE, CommonPractice),
        screw_circle_m: Some(size(
            "driver.4.screws",
            [113.0, 115.0, 117.0],
            SHOPS,
            Published,
        )),
        mass_kg: mass("driver.4.mass", [0.3, 0.5, 0.9]),
    },
    DriverClass {
        name: "5.25 in",
        cutout_m: size(
            "driver.5.25.cutout",
            [113.0, 117.0, 125.4],
            MANUAL,
            Published,
        ),
        cutout_length_m: None,
        depth_m: size("driver.5.25.depth", [44.0, 51.0, 58.0], SHOPS, Published),
        screw_circle_m: Some(size(
            "driver.5.25.screws",
            [130.0, 135.0, 140.0],
            TRADE,
            CommonPractice,
        )),
        mass_kg: mass("driver.5.25.mass", [0.4, 0.7, 1.3]),
    },
    DriverClass {
        name: "6.5 in",
        cutout_m: size(
            "driver.6.5.cutout",
            [124.0, 142.0, 148.4],
            MANUAL,
            Published,
        ),
        cutout_length_m: None,
        depth_m: size("driver.6.5.depth", [46.0, 58.0, 90.5], SHOPS, Published),
        screw_circle_m: Some(size(
            "driver.6.5.screws",
            [153.0, 155.0, 157.0],
            SHOPS,
            Published,
        )),
        mass_kg: mass("driver.6.5.mass", [0.5, 0.9, 2.0]),
    },
    DriverClass {
        name: "6 x 9 in",
        cutout_m: size("driver.6x9.cutout", [149.0, 150.0, 150.5], SHOPS, Published),
        cutout_length_m: Some(size(
            "driver.6x9.length",
            [220.0, 220.2, 220.5],
            SHOPS,
            Published,
        )),
        depth_m: size("driver.6x9.depth", [81.0, 86.0, 91.0], SHOPS, Published),
        screw_circle_m: None,
        mass_kg: mass("driver.6x9.mass", [0.9, 1.4, 2.5]),
    },
    DriverClass {
        name: "4 x 6 in",
        cutout_m: size(
            "driver.4x6.cutout",
            [93.0, 95.0, 98.0],
            TRADE,
            CommonPractice,
        ),
        cutout_length_m: Some(size(
            "driver.4x6.length",
            [142.0, 145.0, 148.0],
            TRADE,
            CommonPractice,
        )),
        depth_m: size(
            "driver.4x6.depth",
            [45.0, 58.0, 75.0],
            TRADE,
            CommonPractice,
        ),
        screw_circle_m: None,
        mass_kg: mass("driver.4x6.mass", [0.4, 0.6, 1.0]),
    },
    DriverClass {
        name: "5 x 7 in",
        cutout_m: size(
            "driver.5x7.cutout",
            [122.0, 125.0, 128.0],
            TRADE,
            CommonPractice,
        ),
        cutout_length_m: Some(size(
            "driver.5x7.length",
            [177.0, 180.0, 183.0],
            TRADE,
            CommonPractice,
        )),
        depth_m: size(
            "driver.5x7.depth",
            [45.0, 60.0, 75.0],
            TRADE,
            CommonPractice,
        ),
        screw_circle_m: None,
        mass_kg: mass("driver.5x7.mass", [0.5, 0.9, 1.6]),
    },
];

/// The class called `name`.
///
/// # Errors
/// [`crate::Error::Unknown`] with the nearest names.
///
/// ```
/// let class = mountwright::mount::drivers::driver_class("6.5 in")?;
/// assert!((class.cutout_m.value - 0.142).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn driver_class(name: &str) -> crate::Result<&'static DriverClass> {
    DRIVERS
        .iter()
        .find(|d| d.name == name.trim())
        .ok_or_else(|| crate::Error::unknown("driver class", name, DRIVERS.iter().map(|d| d.name)))
}

/// A class of drivers held against a ring or panel.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Opening {
    /// The class: `6.5 in`.
    pub driver: &'static str,
    /// Its usual cutout. [m]
    pub cutout_m: f64,
    /// What is left of the web beyond the least; negative where it does not fit. [m]
    pub web_left_m: f64,
    /// What is left beyond the edge distance of its screws; `None` where the class has no screw circle. [m]
    pub screw_left_m: Option<f64>,
    /// Whether it fits with both.
    pub fits: bool,
}

/// The largest driver for an outline whose least width is `least_width_m`: every round class, largest first, against the least
/// web and the edge distance of screws of `screw_m` (2 threads, 3 in brittle sheet).
///
/// Cutouts are those usual for the class: measure the driver.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a width, thickness or screw that cannot be.
///
/// ```
/// use mountwright::mount::{Family, drivers::openings};
/// let found = openings(Family::FoamedPvc, 0.186, 0.013, 0.0035)?;
/// let largest = found.iter().find(|o| o.fits);
/// assert_eq!(largest.map(|o| o.driver), Some("6.5 in"));
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn openings(
    family: super::Family,
    least_width_m: f64,
    thickness_m: f64,
    screw_m: f64,
) -> crate::Result<Vec<Opening>> {
    let largest = super::fit::largest_cutout_m(family, least_width_m, thickness_m)?;
    let screws = crate::error::Range::new(1e-3, 0.012, "m");
    let screw = crate::error::check(
        "screw_m",
        screw_m,
        screws,
        "screws of this trade are 2 to 6 mm",
    )?;
    let edge = screw * if family.is_brittle() { 3.0 } else { 2.0 };
    let mut found: Vec<Opening> = DRIVERS
        .iter()
        .filter(|d| d.cutout_length_m.is_none())
        .map(|d| {
            let web_left_m = (largest - d.cutout_m.value) / 2.0;
            let screw_left_m = d
                .screw_circle_m
                .map(|circle| (least_width_m - circle.value) / 2.0 - edge);
            Opening {
                driver: d.name,
                cutout_m: d.cutout_m.value,
                web_left_m,
                screw_left_m,
                fits: web_left_m >= 0.0 && screw_left_m.is_none_or(|left| left >= 0.0),
            }
        })
        .collect();
    found.sort_by(|a, b| b.cutout_m.total_cmp(&a.cutout_m));
    Ok(found)
}

const LARGEST: Rule = Rule {
    name: "largest cutout",
    unit: "m",
    sense: Sense::AtMost,
    margin_is: MarginKind::Difference,
    reserve: 0.0,
    source: "the outside less the least web on both sides (8 mm and 1.5 thicknesses, 2 in solid acrylic); common practice",
    standing: Standing::CommonPractice,
};

/// The cutout against the largest that the ring's outside leaves room for, with the largest usual class of driver that
/// fits by web and screws. `room_m` is the largest circle about the cutout's centre in the outside.
///
/// # Errors
/// As [`openings`].
///
/// ```
/// use mountwright::mount::{Family, Verdict, drivers::largest_driver};
/// let fits = largest_driver("ring", (Family::FoamedPvc, 0.013), 0.186, 0.0035, 0.142)?;
/// assert_eq!(fits.verdict, Verdict::Pass);
/// assert!(fits.why.contains("6.5 in"));
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn largest_driver(
    part: &str,
    (family, thickness_m): (super::Family, f64),
    room_m: f64,
    screw_m: f64,
    cutout_m: f64,
) -> crate::Result<Check> {
    let largest = super::fit::largest_cutout_m(family, room_m, thickness_m)?;
    let classes = openings(family, room_m, thickness_m, screw_m)?;
    let class = classes.iter().find(|o| o.fits);
    let class = class.map_or("no usual round class fits".into(), |o| {
        format!(
            "the largest usual class that fits is {} ({:.0} mm)",
            o.driver,
            o.cutout_m * 1e3
        )
    });
    let why = format!(
        "a cutout of {:.1} mm, at most {:.1} mm in this outside; {class}",
        cutout_m * 1e3,
        largest * 1e3
    );
    Ok(LARGEST.judge(part, cutout_m, largest, why, || {
        format!(
            "an outside wider by {:.1} mm, or a smaller driver: {class}",
            mm_up(cutout_m - largest, 0.5)
        )
    }))
}

/// The round classes whose usual cutout goes into `largest_cutout_m`, largest first; see [`super::fit::largest_cutout_m`].
///
/// ```
/// let fit = mountwright::mount::drivers::round_classes_within(0.120);
/// assert_eq!(fit.first().map(|d| d.name), Some("5.25 in"));
/// ```
pub fn round_classes_within(largest_cutout_m: f64) -> Vec<&'static DriverClass> {
    let mut fit: Vec<_> = DRIVERS
        .iter()
        .filter(|d| d.cutout_length_m.is_none() && d.cutout_m.value <= largest_cutout_m)
        .collect();
    fit.sort_by(|a, b| b.cutout_m.value.total_cmp(&a.cutout_m.value));
    fit
}
