//! From a job and a shop to a plan: every stage in turn, once at the likeliest inputs and once for each draw.
//!
//! This is the only place that knows all stages. [`plan`] refuses places first, then runs shape, heat, bond, finish and
//! mount part by part, lays all blanks out together, puts all tasks on the calendar and prices them. Every uncertain
//! number is taken by name through one door, so that the same code serves the nominal run and the draws,
//! and shared causes (the fabricator's pace, the shop's air, the gun, a sheet's properties) stay shared.

mod assemble;
mod at_hand;
mod bench;
mod bill;
mod breaks;
mod buying;
mod cautions;
mod chain;
mod choose;
mod compare;
mod cutting;
mod day;
mod drawings;
mod drawn_holes;
mod draws;
mod facts;
mod folded;
mod forming;
mod grille;
mod gun;
mod held;
mod mounting;
mod offers;
mod own_keys;
mod panel;
mod part;
mod parts;
mod pod;
mod practice;
mod price;
mod provenance;
mod quote;
mod rack;
mod repeats;
mod result;
mod ring;
mod ring_shape;
mod setup;
mod stock;
mod strap;
mod strokes;
mod taken;
mod values;

use crate::error::{Result, Watch};
use crate::job::JobFile;
use crate::material::Catalogue;
use crate::shop::ShopFile;

pub(crate) use buying::{IN_RACK, areas};
pub use compare::{Alternatives, Way, WayPlan, compare, compare_with};
#[cfg(feature = "python")]
pub(crate) use gun::UsualTrial;
pub use gun::possible_trial;
pub use practice::ALL as CONSTANTS;
pub(crate) use practice::{PACE, SPOILAGE};
pub use result::*;
pub(crate) use setup::same_thickness;
pub use setup::{names, names_with};

/// Task that sets the saw or router up, once a job.
const CUT_SET_UP: &str = "set up: cutting";
/// Task that sets the hot-air station up, once a job.
const HEAT_SET_UP: &str = "set up: hot air";
/// Wait until the vehicle comes in again.
const AWAY: &str = "the vehicle is away";
/// Task that brings the vehicle in again.
const SECOND_VISIT: &str = "second visit: bring the vehicle in";
/// The last task of a job.
const HAND_BACK: &str = "clean up, hand back";

/// How a plan is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Options {
    /// Draws behind the ranges; 0 gives the likeliest figures alone.
    pub draws: usize,
    /// Seed: the same plan for the same seed.
    pub seed: u64,
}

impl Default for Options {
    fn default() -> Self {
        Self {
            draws: 256,
            seed: 1,
        }
    }
}

/// Plans a job in a shop.
///
/// # Errors
/// [`crate::Error::Job`] for parts that cannot be made as measured, each with its line; [`crate::Error::Impossible`] where
/// the shop has no sheet for a part or no order of work keeps its waits; [`crate::Error::Stopped`] when `watch` says so.
///
/// ```
/// use mountwright::error::Unwatched;
/// use mountwright::job::JobFile;
/// use mountwright::plan::{names, plan, Options};
/// use mountwright::shop::ShopFile;
/// let names = names()?;
/// let job = JobFile::parse("job", include_str!("../../demo-data/pillar-pods.toml"), &names)?;
/// let shop = ShopFile::parse("shop", include_str!("../../demo-data/shop.toml"), &names)?;
/// let plan = plan(&job, &shop, Options { draws: 0, seed: 1 }, &Unwatched)?;
/// assert_eq!(plan.refused[0].place, "rear quarter trim");
/// assert_eq!(plan.parts.len(), 2);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn plan(job: &JobFile, shop: &ShopFile, options: Options, watch: &dyn Watch) -> Result<Plan> {
    plan_with(job, shop, Catalogue::standard()?, options, watch)
}

/// Whether every part of a job can be made as measured, without a plan: no layout, no order, no price.
///
/// # Errors
/// [`crate::Error::Job`] for parts that cannot be made as measured, each with its line.
pub fn try_parts(job: &JobFile, shop: &ShopFile, materials: &Catalogue) -> Result<()> {
    let setup = setup::Setup::new(job, shop, materials)?;
    let kept = chain::Kept::of(&setup)?;
    let mut inputs = crate::spread::Inputs::default();
    let values = values::Values::Nominal(&mut inputs);
    chain::through(&setup, &kept, &std::collections::BTreeMap::new(), values).map(drop)
}

/// As [`plan`], with materials of the user's own: the standard catalogue with a file laid over it
/// ([`Catalogue::overlaid_with`]); read job and shop with [`names_with`] it.
///
/// # Errors
/// As [`plan`].
pub fn plan_with(
    job: &JobFile,
    shop: &ShopFile,
    materials: &Catalogue,
    options: Options,
    watch: &dyn Watch,
) -> Result<Plan> {
    let setup = setup::Setup::new(job, shop, materials)?;
    assemble::assemble(&setup, options, watch)
}
