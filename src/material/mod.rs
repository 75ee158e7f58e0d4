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
mod rank;
mod raw;
mod sheet;
mod show;
mod softening;
mod stock;
mod table;
mod told;
mod weights;

pub use catalogue::{Catalogue, STANDARD, SURVIVES_BY, Source, Wanted};
pub use compare::{Comparison, PropertyRow, Row};
pub use foam::{
    FOAM, GAS_CONDUCTIVITY, SOLID_CONDUCTIVITY, SOLID_DENSITY, STIFFNESS_POWER,
    foam_conductivity_w_m_k, foamed_pvc_conductivity_w_m_k,
};
pub use forming::{Dose, Forming, Melting, areal_ratio_of_cap, areal_ratio_of_cup};
pub use material::{Curve, Entry, Hazards, Material, Remark, RemarkKind, Role, Structure};
pub use properties::{Properties, ROOM_K};
pub use property::Property;
pub use rank::{Candidate, Ranked, Reason, rank};
pub use raw::Known;
pub use sheet::{MEASURED, MeasuredSheet, Piece, Sheet, Square, Texture};
pub(crate) use show::short;
pub use softening::{
    ABOVE_SERVICE, AtTemperature, CREEP_HEAT, CREEP_HEAT_CRYSTALLINE, DEFLECTION_STRAIN,
    DEFLECTION_STRESS_HIGH_PA, DEFLECTION_STRESS_LOW_PA, LIMP_SHARE, SOFTENING, STRENGTH_LEFT,
    STRENGTH_LEFT_CRYSTALLINE, Softening, VICAT_MODULUS, modulus_at_deflection,
};
pub use stock::{Combine, Drying, Need, Stock, THICKNESS, Tolerance};
pub use table::Table;
pub use told::Use;
pub use weights::{RANKING, Weights};
