//! What it costs to have sheets brought, and to wait for them.

use super::grid::Problem;
use super::layout::Kind;
use super::sheet::Sold;

/// All that comes from one merchant.
#[derive(Debug, Clone, Copy)]
struct Load {
    merchant: usize,
    freight: f64,
    oversize: f64,
    mass_kg: f64,
    heaviest_kg: f64,
    overweight: f64,
}

/// Freight with its surcharges, and waiting, for boards of these sizes. [currency]
pub(super) fn delivery(
    problem: &Problem,
    pieces: impl Iterator<Item = (usize, (f64, f64))>,
) -> (f64, f64) {
    let mut loads: Vec<Load> = vec![];
    let mut days = 0.0_f64;
    for (b, (width_m, height_m)) in pieces {
        let board = &problem.boards[b];
        if board.kind == Kind::Offcut {
            continue;
        }
        days = days.max(board.days);
        let s = &board.surcharge;
        let long = s.longest_m.is_some_and(|most| width_m.max(height_m) > most);
        let this = Load {
            merchant: board.merchant,
            freight: board.freight,
            oversize: if long { s.oversize_fee } else { 0.0 },
            mass_kg: s.mass_kg_m2 * width_m * height_m,
            heaviest_kg: s.heaviest_kg.unwrap_or(f64::INFINITY),
            overweight: s.overweight_fee,
        };
        match loads.iter_mut().find(|l| l.merchant == this.merchant) {
            Some(l) => {
                l.freight = l.freight.max(this.freight);
                l.oversize = l.oversize.max(this.oversize);
                l.mass_kg += this.mass_kg;
                l.heaviest_kg = l.heaviest_kg.min(this.heaviest_kg);
                l.overweight = l.overweight.max(this.overweight);
            }
            None => loads.push(this),
        }
    }
    // From zero and not from the minus zero of an empty sum, which would be printed.
    let freight = loads.iter().fold(0.0, |sum, l| {
        let heavy = l.mass_kg > l.heaviest_kg;
        sum + l.freight + l.oversize + if heavy { l.overweight } else { 0.0 }
    });
    (freight, days * problem.waiting_rate)
}

/// The same at the least: of a board that is cut to order no more is known than that it comes.
pub(super) fn least_delivery(problem: &Problem, boards: impl Iterator<Item = usize>) -> (f64, f64) {
    let size = |b: usize| match problem.boards[b].sold {
        Sold::Whole => problem.boards[b].full_m,
        Sold::ByLength | Sold::ToSize => (0.0, 0.0),
    };
    delivery(problem, boards.map(|b| (b, size(b))))
}
