//! Constants of physics.

use crate::sourced::{Constant, Standing};

/// Molar gas constant.
pub const GAS_CONSTANT: Constant = Constant::exact(
    "physics.gas_constant",
    8.314_462_618,
    "J/mol/K",
    "exact in the SI since 2019 (26th CGPM)",
    Standing::Published,
);
/// Stefan-Boltzmann constant.
pub const STEFAN_BOLTZMANN: Constant = Constant::exact(
    "physics.stefan_boltzmann",
    5.670_374_419e-8,
    "W/m2/K4",
    "exact in the SI since 2019 (CODATA 2018)",
    Standing::Published,
);
/// Standard acceleration of free fall.
pub const GRAVITY: Constant = Constant::exact(
    "physics.gravity",
    9.806_65,
    "m/s2",
    "exact by definition (3rd CGPM, 1901)",
    Standing::Published,
);

/// Every constant here.
pub static CONSTANTS: &[&Constant] = &[&GAS_CONSTANT, &STEFAN_BOLTZMANN, &GRAVITY];
