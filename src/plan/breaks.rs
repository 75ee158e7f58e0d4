//! The job made for other numbers of vehicles alike.

use std::collections::BTreeMap;

use super::assemble::placed;
use super::bill::bill;
use super::chain::{Kept, through};
use super::price::number;
use super::result::BreakPlan;
use super::setup::Setup;
use super::stock;
use super::values::Values;
use crate::cost::Estimate;
use crate::error::Result;
use crate::error::Watch;
use crate::money::Money;
use crate::spread::Inputs;

/// Prices of the numbers of sets that the job asks for: each laid out anew, with set-up once and hands that learn.
///
/// The allowance for what usually goes wrong is that of the plan, in proportion to the cost.
pub(super) fn breaks(
    setup: &Setup,
    kept: &Kept,
    quoted: &Estimate,
    seed: u64,
    watch: &dyn Watch,
) -> Result<Vec<BreakPlan>> {
    let wanted = setup.job.job.quote.iter().flat_map(|quote| &quote.breaks);
    let terms = setup.terms();
    let allowed = if quoted.full_cost > 0.0 {
        1.0 + quoted.allowance / quoted.full_cost
    } else {
        1.0
    };
    let mut breaks = vec![];
    for &sets in wanted {
        let setup = Setup {
            sets,
            ..Setup::new(setup.job, setup.shop, setup.materials)?
        };
        let mut inputs = Inputs::default();
        let nominal = through(&setup, kept, &BTreeMap::new(), Values::Nominal(&mut inputs))?;
        let cuts: Vec<_> = nominal.parts.iter().flat_map(|p| &p.cuts).collect();
        let (layouts, _) = stock::layouts(&setup, &cuts, seed, watch)?;
        placed(&setup, &layouts)?;
        let cost = bill(&setup, &nominal, &layouts)?.cost(&terms) * allowed;
        let net = Money::rounded(terms.asked(cost).net_price, terms.currency, terms.rounding)?;
        breaks.push(BreakPlan {
            sets,
            net: number(net),
            each_net: number(net.times(1.0 / f64::from(sets), terms.rounding)?),
        });
    }
    Ok(breaks)
}
