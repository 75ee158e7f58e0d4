//! What the density of a foamed sheet says about its conductivity, stiffness and strength.

use crate::error::{Range, Result, check};
use crate::sourced::{Constant, Standing};

/// Conductivity of the solid in the walls of foamed PVC.
pub const SOLID_CONDUCTIVITY: Constant = Constant {
    name: "foam.solid_conductivity",
    value: 0.17,
    low: 0.146,
    high: 0.17,
    unit: "W/m/K",
    source: "rigid PVC: DIN EN 12524:2000, table 1 (0.17); data sheets 0.146 to 0.17",
    standing: Standing::Published,
};

/// Conductivity of the gas in the cells: air at 23 °C.
pub const GAS_CONDUCTIVITY: Constant = Constant {
    name: "foam.gas_conductivity",
    value: 0.026,
    low: 0.024,
    high: 0.026,
    unit: "W/m/K",
    source: "U.S. Standard Atmosphere 1976, formula for air (remembered); fresh blowing gas is a little lower",
    standing: Standing::Remembered,
};

/// Density of solid PVC.
pub const SOLID_DENSITY: Constant = Constant {
    name: "foam.solid_density",
    value: 1400.0,
    low: 1380.0,
    high: 1420.0,
    unit: "kg/m³",
    source: "properties of PVC 12454: 1400 ± 20",
    standing: Standing::Published,
};

/// Power of the density that stiffness and strength of foamed PVC go with.
pub const STIFFNESS_POWER: Constant = Constant {
    name: "foam.stiffness_power",
    value: 1.5,
    low: 1.0,
    high: 2.0,
    unit: "1",
    source: "closed-cell foam with dense skins, between the 1 of its skins and the 2 of open cells (remembered)",
    standing: Standing::Remembered,
};

/// Every constant of the foams.
pub static FOAM: &[&Constant] = &[
    &SOLID_CONDUCTIVITY,
    &GAS_CONDUCTIVITY,
    &SOLID_DENSITY,
    &STIFFNESS_POWER,
];

/// Conductivity of a closed-cell foam whose solid is continuous (Maxwell-Eucken). [W/m/K]
///
/// `k = ks (2 ks + kg - 2 p (ks - kg)) / (2 ks + kg + p (ks - kg))` with solid `ks`, gas `kg` and pore share `p`.
///
/// # Errors
/// [`crate::Error::OutOfRange`] where a conductivity is not between 1e-4 and 1e3 W/m/K or the share not between 0 and 1.
///
/// ```
/// use mountwright::material::foam_conductivity_w_m_k;
/// // No pores is the solid, nothing but pores the gas.
/// assert!((foam_conductivity_w_m_k(0.17, 0.026, 0.0)? - 0.17).abs() < 1e-15);
/// assert!((foam_conductivity_w_m_k(0.17, 0.026, 1.0)? - 0.026).abs() < 1e-15);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn foam_conductivity_w_m_k(solid: f64, gas: f64, pore_fraction: f64) -> Result<f64> {
    const ANY: Range = Range::new(1e-4, 1e3, "W/m/K");
    let ks = check("conductivity of the solid", solid, ANY, "look it up")?;
    let kg = check("conductivity of the gas", gas, ANY, "look it up")?;
    let share = Range::new(0.0, 1.0, "");
    let p = check(
        "pore_fraction",
        pore_fraction,
        share,
        "it is 1 - density / solid density",
    )?;
    Ok(ks * (2.0 * ks + kg - 2.0 * p * (ks - kg)) / (2.0 * ks + kg + p * (ks - kg)))
}

/// Conductivity of foamed PVC by its density, of the constants above. [W/m/K]
///
/// # Errors
/// [`crate::Error::OutOfRange`] above the density of the solid.
pub fn foamed_pvc_conductivity_w_m_k(density_kg_m3: f64) -> Result<f64> {
    let pores = 1.0 - density_kg_m3 / SOLID_DENSITY.value;
    foam_conductivity_w_m_k(SOLID_CONDUCTIVITY.value, GAS_CONDUCTIVITY.value, pores)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::material::{Catalogue, Property};

    #[test]
    fn the_boards_of_the_catalogue_are_what_their_density_says() {
        for name in ["expanded-pvc", "expanded-pvc-dense"] {
            let board = Catalogue::standard()
                .unwrap()
                .get(name)
                .unwrap()
                .properties();
            let derived = foamed_pvc_conductivity_w_m_k(board.density_kg_m3()).unwrap();
            // The file gives three digits.
            assert!(
                (board.conductivity().at(296.15) - derived).abs() < 0.5e-3,
                "{name}"
            );
        }
        let of = |name: &str, p| {
            Catalogue::standard()
                .unwrap()
                .get(name)
                .unwrap()
                .properties()
                .need(p)
                .unwrap()
        };
        let scale = (700.0 / 550.0_f64).powf(STIFFNESS_POWER.value);
        let e = Property::YoungsModulus;
        // The file rounds to 10 MPa.
        assert!((of("expanded-pvc-dense", e) - scale * of("expanded-pvc", e)).abs() < 5e6);
    }

    #[test]
    fn denser_conducts_better_and_nonsense_is_refused() {
        let at = |density| foamed_pvc_conductivity_w_m_k(density).unwrap();
        assert!(at(450.0) < at(550.0) && at(550.0) < at(900.0));
        assert!(foamed_pvc_conductivity_w_m_k(1500.0).is_err());
        assert!(foam_conductivity_w_m_k(f64::NAN, 0.026, 0.5).is_err());
    }
}
