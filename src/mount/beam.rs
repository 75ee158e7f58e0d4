//! First frequencies, deflections and bending stresses of tabs, ring strips and plates.

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
    let mut low = if mode == 1 { 0.0 } else { (n - 0.8) * PI };
    let mut high = (n - 0.5) * PI + 0.31;
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
    Ok(f64::midpoint(low, high))
}

/// First frequency of a tab with a mass at its tip. [Hz]
///
/// `f = b²/(2 pi L²) sqrt(EI/(rho A))`, b from [`cantilever_root`].
///
/// # Errors
/// [`crate::Error::OutOfRange`] for sizes that are not positive or not finite.
///
/// ```
/// use mountwright::mount::beam::{tab_frequency, Tab};
/// let tab = Tab { length_m: 0.05, width_m: 0.04, thickness_m: 0.003 };
/// let f = tab_frequency(tab, 2.3e9, 1050.0, 0.030)?; // ABS, 30 g at the tip
/// assert!((f - 63.2).abs() < 0.1);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn tab_frequency(tab: Tab, modulus_pa: f64, density_kg_m3: f64, tip_kg: f64) -> Result<f64> {
    tab.validate()?;
    let e = positive("modulus_pa", modulus_pa, 1e3, 1e12, "Pa")?;
    let rho = positive("density_kg_m3", density_kg_m3, 1.0, 2e4, "kg/m³")?;
    let tip = check(
        "tip_kg",
        tip_kg,
        Range::new(0.0, 1e3, "kg"),
        "give the mass in kg",
    )?;
    let per_length = rho * tab.width_m * tab.thickness_m;
    let b = cantilever_root(tip / (per_length * tab.length_m), 1)?;
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
pub(super) fn positive(
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

/// Bending stiffness of a plate: `E t³/(12 (1 - nu²))`. [N m]
pub fn plate_stiffness(modulus_pa: f64, thickness_m: f64, poisson: f64) -> f64 {
    modulus_pa * thickness_m.powi(3) / (12.0 * (1.0 - poisson * poisson))
}

/// How the rim of a plate is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Rim {
    /// Cannot turn.
    Clamped,
    /// Can turn, cannot lift: clips, single screws.
    Supported,
}

/// First frequency of a disc of radius `radius_m`: `k/(2 pi a²) sqrt(D/(rho t))`. [Hz]
///
/// k = 10.216 clamped, 4.935 supported (Poisson's ratio 0.3; a table of 4.977 is also in print).
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a size or property outside what a mount can have.
///
/// # Source
/// Leissa, Vibration of Plates, NASA SP-160 (1969), circular plates; the factors are from memory.
pub fn disc_frequency(
    rim: Rim,
    radius_m: f64,
    thickness_m: f64,
    modulus_pa: f64,
    poisson: f64,
    density_kg_m3: f64,
) -> Result<f64> {
    let a = positive("radius_m", radius_m, 1e-3, 2.0, "m")?;
    let per_area = plate_inputs(thickness_m, modulus_pa, poisson, density_kg_m3)?;
    let k = match rim {
        Rim::Clamped => 10.2158,
        Rim::Supported => 4.935,
    };
    Ok(k / (2.0 * PI * a * a)
        * (plate_stiffness(modulus_pa, thickness_m, poisson) / per_area).sqrt())
}

/// First frequency of a rectangle supported at all four edges: `(pi/2) (1/a² + 1/b²) sqrt(D/(rho t))`. [Hz]
///
/// Exact for a thin plate (Navier); a clamped rim is stiffer. A mass at the middle lowers it by
/// `1/sqrt(1 + 4 m/(rho t a b))` (Rayleigh with the same mode, an upper bound).
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a size or property outside what a mount can have.
pub fn rectangle_frequency(
    sides_m: [f64; 2],
    thickness_m: f64,
    modulus_pa: f64,
    poisson: f64,
    density_kg_m3: f64,
    centre_kg: f64,
) -> Result<f64> {
    let [a, b] = sides_m;
    positive("sides_m[0]", a, 1e-3, 5.0, "m")?;
    positive("sides_m[1]", b, 1e-3, 5.0, "m")?;
    let per_area = plate_inputs(thickness_m, modulus_pa, poisson, density_kg_m3)?;
    let m = check(
        "centre_kg",
        centre_kg,
        Range::new(0.0, 100.0, "kg"),
        "give the mass in kg",
    )?;
    let bare = PI / 2.0
        * (1.0 / (a * a) + 1.0 / (b * b))
        * (plate_stiffness(modulus_pa, thickness_m, poisson) / per_area).sqrt();
    Ok(bare / (1.0 + 4.0 * m / (per_area * a * b)).sqrt())
}

fn plate_inputs(t: f64, e: f64, nu: f64, rho: f64) -> Result<f64> {
    positive("thickness_m", t, 1e-4, 0.2, "m")?;
    positive("modulus_pa", e, 1e3, 1e12, "Pa")?;
    check(
        "poisson",
        nu,
        Range::new(0.0, 0.499, ""),
        "0.35 for stiff plastics",
    )?;
    positive("density_kg_m3", rho, 1.0, 2e4, "kg/m³")?;
    Ok(rho * t)
}

/// Middle of a supported rectangle under a uniform pressure and a force at its middle.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PlateMiddle {
    /// Deflection. [m]
    pub deflection_m: f64,
    /// Greatest bending moment per width from the uniform pressure alone. [N]
    pub moment_n: f64,
}

/// Deflection and moment at the middle of a rectangle supported at all four edges (Navier's double series).
///
/// # Errors
/// [`crate::Error::OutOfRange`] for sides outside 1 mm to 5 m, a stiffness that is not positive or a load that is not finite.
///
/// # Source
/// Timoshenko and Woinowsky-Krieger, Theory of Plates and Shells, chapter 5: square, uniform load 0.00406 q a⁴/D and
/// 0.0479 q a² (nu 0.3); force at the middle 0.01160 P a²/D; from memory.
pub fn plate_middle(
    sides_m: [f64; 2],
    stiffness_n_m: f64,
    poisson: f64,
    pressure_pa: f64,
    force_n: f64,
) -> Result<PlateMiddle> {
    let [a, b] = sides_m;
    positive("sides_m[0]", a, 1e-3, 5.0, "m")?;
    positive("sides_m[1]", b, 1e-3, 5.0, "m")?;
    positive("stiffness_n_m", stiffness_n_m, 1e-12, 1e9, "N m")?;
    let load = Range::new(-1e9, 1e9, "");
    check("pressure_pa", pressure_pa, load, "give pascal")?;
    check("force_n", force_n, load, "give newton")?;
    let (mut deflection, mut along_a, mut along_b) = (0.0, 0.0, 0.0);
    for m in (1..=ODD_TERMS).step_by(2) {
        for n in (1..=ODD_TERMS).step_by(2) {
            let (m, n) = (f64::from(m), f64::from(n));
            let (x, y) = (m * m / (a * a), n * n / (b * b));
            let square = (x + y).powi(2);
            // sin(m pi/2) sin(n pi/2): +1 or -1
            let sign = if f64::midpoint(m, n).rem_euclid(2.0) > 0.5 {
                1.0
            } else {
                -1.0
            };
            let uniform = 16.0 * pressure_pa / (PI * PI * m * n) * sign;
            let point = 4.0 * force_n / (a * b);
            deflection += (uniform + point) / (PI.powi(4) * stiffness_n_m * square);
            along_a += uniform * (x + poisson * y) / (PI * PI * square);
            along_b += uniform * (y + poisson * x) / (PI * PI * square);
        }
    }
    Ok(PlateMiddle {
        deflection_m: deflection,
        moment_n: along_a.abs().max(along_b.abs()),
    })
}

/// Terms run to this order: the point force converges as its square, to under 0.1 %.
const ODD_TERMS: u32 = 59;
