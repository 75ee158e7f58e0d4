//! Discs and rectangles as thin plates: first frequencies, deflection and moment at the middle.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::beam::positive;
use crate::error::{Range, Result, check};

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
/// Exact for a thin plate (Navier); a clamped rim is stiffer. A mass at the middle lowers it: the first mode with its
/// inertia, all higher ones with their flexibility alone, within 1 % of the full series to 3 to 1, 7 % at 10 to 1.
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
    let stiffness = plate_stiffness(modulus_pa, thickness_m, poisson);
    let flexible = plate_middle(sides_m, stiffness, poisson, 0.0, 1.0)?.deflection_m;
    Ok(with_point_mass(bare, 4.0 / (per_area * a * b), flexible, m))
}

/// First frequency of a structure that carries a mass at one place. [Hz]
///
/// `bare_hz` is its own first frequency, `mode_1_kg` what that mode moves there per unit of its mass (4 over the mass of
/// a supported rectangle, at its middle), `flexible_m_n` how far 1 N moves that place. The first mode counts with its
/// inertia, all higher ones with their flexibility alone: `1 = m w² (g/(w0² - w²) + (f - g/w0²))`, the lower root. Within
/// 1 % of the full series for supported plates up to 10 to 1; one mode alone is up to twice too high there.
///
/// # Source
/// Receptance of a structure with an added mass (textbook); derived.
pub(super) fn with_point_mass(
    bare_hz: f64,
    mode_1_kg: f64,
    flexible_m_n: f64,
    mass_kg: f64,
) -> f64 {
    let own = (2.0 * PI * bare_hz).powi(2);
    let rest = (flexible_m_n - mode_1_kg / own).max(0.0);
    let middle = 1.0 + mass_kg * (mode_1_kg + rest * own);
    let root = (middle * middle - 4.0 * mass_kg * rest * own)
        .max(0.0)
        .sqrt();
    bare_hz * (2.0 / (middle + root)).sqrt()
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
