#![doc = include_str!("theory.md")]

mod ask;
mod assemble;
mod attempt;
mod blocks;
mod bound;
mod check;
mod choice;
mod drawing;
mod exchange;
mod fit;
mod free;
mod grid;
mod holes;
mod inner;
mod lay_out;
mod layout;
mod nest;
mod polygon;
mod remnants;
mod saw;
mod search;
mod shapes;
mod solution;

pub use ask::{Ask, DEFAULT_EFFORT, Method, Offcut, Part, SheetKind, Turns};
pub use check::check;
pub use drawing::drawings;
pub use lay_out::lay_out;
pub use layout::{
    Area, Kind, Layout, Loss, Money, Placed, Purchase, Remnant, Share, Step, Unplaced, Used,
};
