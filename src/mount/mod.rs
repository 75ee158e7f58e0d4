#![doc = include_str!("theory.md")]

pub mod airbag;
pub mod beam;
mod bundle;
mod check;
pub mod drivers;
pub mod fit;
pub mod fixing;
pub mod joint;
mod panel;
pub mod place;
pub mod plate;
mod ring;
pub mod service_heat;
mod sheet;
pub mod shock;
mod strap;
mod table;
pub mod vibration;

pub use check::{CLOSING, Check, MarginKind, Sense, Verdict, summary, worst};
pub use panel::{PanelMount, check_panel};
pub use ring::{RingMount, check_ring};
pub use sheet::{
    CREEP_HEAT, CREEP_HEAT_CRYSTALLINE, DEFLECTION_STRAIN, DEFLECTION_STRESS_HIGH_PA,
    DEFLECTION_STRESS_LOW_PA, Facts, Family, Material, ROOM_K, STRENGTH_AT_SOFTENING,
    STRENGTH_AT_SOFTENING_CRYSTALLINE, VICAT_MODULUS,
};
pub use strap::{StrapMount, check_strap};
pub use table::Table;
