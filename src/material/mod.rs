#![doc = include_str!("theory.md")]
#![doc = include_str!("agreement.md")]

mod catalogue;
mod compare;
mod foam;
mod forming;
mod load;
mod load_stock;
#[allow(clippy::module_inception)] // one material, beside the room's other ideas
mod material;
mod order;
mod properties;
mod property;
mod provenance;
mod rank;
mod raw;
mod sheet;
mod softening;
mod stock;
mod table;

pub use catalogue::{Catalogue, STANDARD, Source, Wanted};
pub use compare::{Comparison, PropertyRow, Row};
pub use foam::{
    GAS_CONDUCTIVITY, SOLID_CONDUCTIVITY, SOLID_DENSITY, STIFFNESS_POWER, foam_conductivity_w_m_k,
    foamed_pvc_conductivity_w_m_k,
};
pub use forming::{Dose, Forming, Melting, areal_ratio_of_cap, areal_ratio_of_cup};
pub use material::{Curve, Entry, Hazards, Material, Remark, RemarkKind, Role, Structure};
pub use properties::{Properties, ROOM_K};
pub use property::Property;
pub use provenance::{Provenance, Used};
pub use rank::{Candidate, Ranked, Reason, Weights, rank};
pub use raw::Known;
pub use sheet::{MEASURED, MeasuredSheet, Piece, Sheet, Square, Texture};
pub use softening::{
    AtTemperature, DEFLECTION_STRAIN, HOT_CREEP_SHARE, LIMP_SHARE, modulus_at_deflection,
};
pub use stock::{Combine, Drying, Need, Stock, THICKNESS, Tolerance};
pub use table::Table;
