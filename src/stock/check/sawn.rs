//! The saw's cuts replayed: each goes through a piece that is there, and in the end each part is a piece.

use super::super::ask::Ask;
use super::super::layout::{Step, Used};
use super::{Bounds, bounds, fault};
use crate::error::Result;

/// Sizes are rounded up to whole micrometres on each side. [m]
const ROUNDING_M: f64 = 2.1e-6;

/// Cuts the sheet by its steps and looks for each part among the pieces.
pub(super) fn sawn(ask: &Ask, used: &Used, at: &str) -> Result<()> {
    let near = |a: f64, b: f64| (a - b).abs() <= ROUNDING_M;
    let mut pieces: Vec<Bounds> = vec![];
    for step in &used.steps {
        let Step::Through {
            piece,
            stop_m,
            from_m,
            to_m,
        } = step
        else {
            continue;
        };
        let p = bounds(piece);
        if pieces.is_empty() {
            pieces.push(p);
        }
        let same =
            |q: &Bounds| near(q.0, p.0) && near(q.1, p.1) && near(q.2, p.2) && near(q.3, p.3);
        let Some(found) = pieces.iter().position(same) else {
            return Err(fault(
                format!("{at}: cut"),
                "through a piece that is not there",
                "pieces of the cuts before",
            ));
        };
        pieces.swap_remove(found);
        let upright = near(from_m.0, to_m.0);
        let across = if upright {
            near(from_m.1, p.1) && near(to_m.1, p.3)
        } else {
            near(from_m.0, p.0) && near(to_m.0, p.2)
        };
        let end = if upright { p.0 } else { p.1 } + stop_m;
        if !across || *stop_m <= 0.0 {
            return Err(fault(
                format!("{at}: cut"),
                "not from edge to edge",
                "straight cuts through the whole piece",
            ));
        }
        let (first, second) = if upright {
            ((p.0, p.1, end, p.3), (end + ask.kerf_m, p.1, p.2, p.3))
        } else {
            ((p.0, p.1, p.2, end), (p.0, end + ask.kerf_m, p.2, p.3))
        };
        pieces.push(first);
        if second.0 < second.2 && second.1 < second.3 {
            pieces.push(second);
        }
    }
    for placed in &used.placements {
        let p = bounds(&placed.bounds);
        let free =
            |q: &Bounds| near(q.0, p.0) && near(q.1, p.1) && near(q.2, p.2) && near(q.3, p.3);
        let whole = used.placements.len() == 1 && pieces.is_empty();
        match pieces.iter().position(free) {
            Some(found) => {
                pieces.swap_remove(found);
            }
            None if whole => {}
            None => {
                return Err(fault(
                    format!("{at}: {}", placed.part),
                    "not freed by the cuts",
                    "a piece for each part",
                ));
            }
        }
    }
    Ok(())
}
