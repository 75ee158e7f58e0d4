#![doc = include_str!("theory.md")]

mod estimate;
mod learning;
mod line;
mod price;
mod quote;
mod rates;
mod rework;
mod sample;

pub use estimate::{Bill, Estimate, PriceLine, covering_price, estimate};
pub use learning::{Curve, Learning, Model, batch_s};
pub use line::{Group, Line, cutter_wear, labour_lines, net_material};
pub use price::{Asked, Earning, Overhead, PricedOn, Tax, TaxBy, Terms};
pub use quote::{
    Alternative, Binding, PriceBreak, Quote, QuoteLine, QuoteTerms, price_breaks, side_by_side,
};
pub use rates::{absorption_rate, capital_recovery, labour_rate, machine_rate, standard_time};
pub use rework::{Bounded, bounded, jeffreys_mean, spares, tries_drawn, unbounded};
pub use sample::{Repriced, Sampler, UncertainLine};
