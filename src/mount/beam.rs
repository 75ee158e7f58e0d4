//! Tabs and ring strips as beams: how they are held, their roots and first frequencies.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::error::{Range, Result, check};

/// How a part is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Held {
    /// At both ends, with the load between them.
    BothEnds,
    /// Screwed down all round.
    ClampedAllRound,
    /// At one end; the other is free.
    Cantilever,
}

/// Second moment of area of a rectangle bent over its thickness: `b t³/12`. [m⁴]
pub(super) fn second_moment(width_m: f64, thickness_m: f64) -> f64 {
    width_m * thickness_m.powi(3) / 12.0
}

/// Section modulus of a rectangle bent over its thickness: `b t²/6`. [m³]
pub(super) fn section_modulus(width_m: f64, thickness_m: f64) -> f64 {
    width_m * thickness_m * thickness_m / 6.0
}

/// Root b of a cantilever of uniform mass with a point mass at its tip, for the first mode (`mode` 1) and above.
///
/// `1 + cos b cosh b + mu b (cos b sinh b - sin b cosh b) = 0`, mu = tip mass over beam mass. `mode` up to 20.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a mass ratio outside 0 to 1e9 or a mode outside 1 to 20.
///
/// # Source
/// Euler-Bernoulli beam (textbook); roots for mu = 1 printed in Math. Probl. Eng. (2017) 1568019, table 1.
///
/// ```
/// let b = mountwright::mount::beam::cantilever_root(0.0, 1)?;
/// assert!((b * b - 3.5160).abs() < 5e-5);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn cantilever_root(mass_ratio: f64, mode: u32) -> Result<f64> {
    let mu = check(
        "mass_ratio",
        mass_ratio,
        Range::new(0.0, 1e9, ""),
        "give tip mass over beam mass",
    )?;
    let n = check(
        "mode",
        f64::from(mode),
        Range::new(1.0, 20.0, ""),
        "give a mode from 1 to 20",
    )?;
    // Divided by cosh b, so that nothing overflows.
    let g = |b: f64| 1.0 / b.cosh() + b.cos() + mu * b * (b.cos() * b.tanh() - b.sin());
    // Root n lies between that of a pinned tip (infinite mass) below and that of a free tip above.
    let low = if mode == 1 { 0.0 } else { (n - 0.8) * PI };
    Ok(bisect(g, low, (n - 0.5) * PI + 0.31))
}

/// First root b of a beam held at one end whose other end carries a mass and cannot turn, only move across.
///
/// `sin b cosh b + cos b sinh b = mu b (1 - cos b cosh b)`; bare: tan b + tanh b = 0, b = 2.3650.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a mass ratio outside 0 to 1e9.
///
/// # Source
/// Euler-Bernoulli beam; derived from its end conditions (no slope, shear = force on the mass).
pub fn guided_root(mass_ratio: f64) -> Result<f64> {
    let mu = check(
        "mass_ratio",
        mass_ratio,
        Range::new(0.0, 1e9, ""),
        "give end mass over beam mass",
    )?;
    // Divided by cosh b; positive below the root, negative above.
    let g = |b: f64| b.sin() + b.cos() * b.tanh() - mu * b * (1.0 / b.cosh() - b.cos());
    Ok(bisect(g, 1e-6, 2.4))
}

/// The zero of `g` between `low` and `high`, where it changes sign once, to the last bit.
fn bisect(g: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let sign_low = g(low).signum();
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        if g(middle).signum() * sign_low > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// What the far end of a tab may do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Tip {
    /// It moves and turns: tabs on one side only.
    Free,
    /// It moves and cannot turn: a stiff body with tabs on opposite sides.
    Guided,
}

impl Tip {
    /// Deflection of the tip under a force F there is `F L³/(this E I)`: 3 or 12.
    pub(super) fn point_stiffness(self) -> f64 {
        match self {
            Self::Free => 3.0,
            Self::Guided => 12.0,
        }
    }

    /// Deflection of the tip under a load q along the tab is `q L⁴/(this E I)`: 8 or 24.
    pub(super) fn spread_stiffness(self) -> f64 {
        match self {
            Self::Free => 8.0,
            Self::Guided => 24.0,
        }
    }

    /// Moment at the screw under F at the tip is this share of F L: all or half.
    pub(super) fn point_moment(self) -> f64 {
        match self {
            Self::Free => 1.0,
            Self::Guided => 0.5,
        }
    }

    /// Moment at the screw under a load W along the tab is this share of W L: a half or a third.
    pub(super) fn spread_moment(self) -> f64 {
        match self {
            Self::Free => 0.5,
            Self::Guided => 1.0 / 3.0,
        }
    }
}

/// First frequency of a tab with a mass at its tip. [Hz]
///
/// `f = b²/(2 pi L²) sqrt(EI/(rho A))`, b from [`cantilever_root`] or [`guided_root`].
///
/// # Errors
/// [`crate::Error::OutOfRange`] for sizes that are not positive or not finite.
///
/// ```
/// use mountwright::mount::beam::{tab_frequency, Tab, Tip};
/// let tab = Tab { length_m: 0.05, width_m: 0.04, thickness_m: 0.003 };
/// let f = tab_frequency(tab, Tip::Free, 2.3e9, 1050.0, 0.030)?; // ABS, 30 g at the tip
/// assert!((f - 63.2).abs() < 0.1);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn tab_frequency(
    tab: Tab,
    tip: Tip,
    modulus_pa: f64,
    density_kg_m3: f64,
    tip_kg: f64,
) -> Result<f64> {
    tab.validate()?;
    let e = positive("modulus_pa", modulus_pa, 1e3, 1e12, "Pa")?;
    let rho = positive("density_kg_m3", density_kg_m3, 1.0, 2e4, "kg/m³")?;
    let load = check(
        "tip_kg",
        tip_kg,
        Range::new(0.0, 1e3, "kg"),
        "give the mass in kg",
    )?;
    let per_length = rho * tab.width_m * tab.thickness_m;
    let ratio = load / (per_length * tab.length_m);
    let b = match tip {
        Tip::Free => cantilever_root(ratio, 1)?,
        Tip::Guided => guided_root(ratio)?,
    };
    let stiffness = e * second_moment(tab.width_m, tab.thickness_m);
    Ok(b * b / (2.0 * PI * tab.length_m.powi(2)) * (stiffness / per_length).sqrt())
}

/// A flat tab.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Tab {
    /// From the screw to where the load sits. [m]
    pub length_m: f64,
    /// Width. [m]
    pub width_m: f64,
    /// Thickness. [m]
    pub thickness_m: f64,
}

impl Tab {
    pub(super) fn validate(&self) -> Result<()> {
        positive("tab.length_m", self.length_m, 1e-4, 2.0, "m")?;
        positive("tab.width_m", self.width_m, 1e-4, 2.0, "m")?;
        positive("tab.thickness_m", self.thickness_m, 1e-4, 0.2, "m")?;
        Ok(())
    }

    /// Mass of the tab alone. [kg]
    pub(super) fn mass_kg(&self, density_kg_m3: f64) -> f64 {
        density_kg_m3 * self.length_m * self.width_m * self.thickness_m
    }
}

/// A number inside sizes that a mount can have.
pub(in crate::mount) fn positive(
    what: &str,
    value: f64,
    low: f64,
    high: f64,
    unit: &'static str,
) -> Result<f64> {
    check(
        what,
        value,
        Range::new(low, high, unit),
        "measure it, and give SI units",
    )
}
