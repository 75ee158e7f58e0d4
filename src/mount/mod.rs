#![doc = include_str!("theory.md")]

pub mod airbag;
pub mod beam;
mod bundle;
mod check;
mod constants;
pub mod drivers;
pub mod fit;
pub mod fixing;
mod grille;
pub mod joint;
mod panel;
pub mod place;
pub mod plate;
mod ring;
pub mod service_heat;
mod sheet;
pub mod shock;
pub mod steel;
mod strap;
pub mod vibration;
mod wall;

pub use check::{CLOSING, Check, MarginKind, Sense, Verdict, summary, worst};
pub use constants::CONSTANTS;
pub use grille::{GrilleMount, check_grille};
pub use panel::{PanelMount, check_panel};
pub use ring::{RingMount, check_ring};
pub use sheet::{Family, Material};
pub use strap::{StrapMount, check_strap};
pub use wall::wall;
