//! The job made for other numbers of vehicles alike.

use std::collections::BTreeMap;

use super::Options;
use super::assemble::placed;
use super::bill::bill;
use super::chain::{Kept, through};
use super::draws::costs;
use super::price::number;
use super::result::BreakPlan;
use super::setup::Setup;
use super::stock;
use super::values::Values;
use crate::cost::{Estimate, estimate};
use crate::error::{Result, Watch};
use crate::money::Money;
use crate::spread::Inputs;

/// Prices of the numbers of sets that the job asks for: what the plan of so many sets would say.
///
/// Each is laid out and drawn anew, with set-up once and hands that learn, so that a customer who takes one of them up
/// is asked the same.
pub(super) fn breaks(
    setup: &Setup,
    kept: &Kept,
    quoted: &Estimate,
    options: Options,
    watch: &dyn Watch,
) -> Result<Vec<BreakPlan>> {
    let wanted = setup.job.job.quote.iter().flat_map(|quote| &quote.breaks);
    let rounding = setup.terms().rounding;
    let mut breaks = vec![];
    for &sets in wanted {
        let net = if sets == setup.sets {
            quoted.price_net
        } else {
            net_of(sets, setup, kept, options, watch)?
        };
        breaks.push(BreakPlan {
            sets,
            net: number(net),
            each_net: number(net.times(1.0 / f64::from(sets), rounding)?),
        });
    }
    Ok(breaks)
}

/// Net price of so many sets.
fn net_of(
    sets: u32,
    setup: &Setup,
    kept: &Kept,
    options: Options,
    watch: &dyn Watch,
) -> Result<Money> {
    let setup = Setup {
        sets,
        ..Setup::new(setup.job, setup.shop, setup.materials)?
    };
    let mut inputs = Inputs::default();
    let nominal = through(&setup, kept, &BTreeMap::new(), Values::Nominal(&mut inputs))?;
    let cuts: Vec<_> = nominal.parts.iter().flat_map(|p| &p.cuts).collect();
    let (layouts, _) = stock::layouts(&setup, &cuts, options.seed, watch)?;
    placed(&setup, &layouts)?;
    let drawn = match options.draws {
        0 => vec![],
        draws => {
            let drawn = inputs.draw_watched(draws, options.seed, watch)?;
            let drawn = (&inputs, &drawn);
            costs(&setup, kept, &nominal.adhesives, &layouts, drawn, watch)?
        }
    };
    let bill = bill(&setup, &nominal, &layouts)?;
    let drawn = (!drawn.is_empty()).then_some(&drawn[..]);
    Ok(estimate(&bill, &setup.terms(), drawn)?.price_net)
}
