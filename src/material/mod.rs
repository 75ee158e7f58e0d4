#![doc = include_str!("theory.md")]

mod catalogue;
mod forming;
mod load;
#[allow(clippy::module_inception)] // one material, beside the room's other ideas
mod material;
mod order;
mod properties;
mod property;
mod raw;
mod softening;
mod stock;
mod table;

pub use catalogue::{Catalogue, SERVICE_MARGIN_K, STANDARD, Source, Wanted};
pub use forming::{Dose, Forming, Melting, areal_ratio_of_cap, areal_ratio_of_cup};
pub use material::{Curve, Entry, Hazards, Material, Remark, RemarkKind, Role, Structure};
pub use properties::{Properties, ROOM_K};
pub use property::Property;
pub use raw::Known;
pub use softening::{DEFLECTION_STRAIN, HOT_CREEP_SHARE, LIMP_SHARE, modulus_at_deflection};
pub use stock::{Combine, Drying, Need, Stock, THICKNESS, Tolerance};
pub use table::Table;
