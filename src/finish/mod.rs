#![doc = include_str!("theory.md")]

mod catalogue;
mod steps;

pub use catalogue::{
    Catalogue, Effect, Kind, Material, Measure, Recipe, RecipeStep, Shade, Shades,
};
pub use steps::{Finish, FinishAsk, Step, Used, finish};
