#![doc = include_str!("theory.md")]

mod again;
mod around;
mod ask;
mod assemble;
mod attempt;
mod blocks;
mod board;
mod bound;
mod by_name;
mod check;
mod choice;
mod clear;
mod delivery;
mod discs;
mod drawing;
mod dxf;
mod exact_free;
mod exact_saw;
mod exchange;
mod fit;
mod free;
mod grid;
mod holes;
mod inner;
mod lay_out;
mod layout;
mod method;
mod nest;
mod order;
mod polygon;
mod prove;
mod remnants;
mod saw;
mod search;
mod shapes;
mod sheet;
mod solution;
mod used;

pub use again::lay_out_again;
pub use ask::{Ask, DEFAULT_EFFORT, DEFAULT_OUTLINE_EFFORT, DEFAULT_SAW_EFFORT, Part, Turns};
pub use check::check;
pub use drawing::drawings;
pub use dxf::dxf;
pub use lay_out::lay_out;
pub use layout::{
    Area, Kind, Layout, Loss, Money, Placed, Purchase, Remnant, Share, Step, Unplaced, Used,
};
pub use method::{CONSTANTS, Hold, Method};
pub use sheet::{Offcut, SheetKind, Sold, Surcharge};
