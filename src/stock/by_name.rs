//! The order of the input decides nothing: parts and stock are searched in the order of their names, which are unique.

use super::ask::Ask;
use super::grid::Problem;
use super::layout::Kind;

/// An ask in the order of its names, and where each part, sheet and offcut of it stands in the ask as given.
pub(super) struct ByName {
    pub(super) ask: Ask,
    parts: Vec<usize>,
    sheets: Vec<usize>,
    offcuts: Vec<usize>,
}

impl ByName {
    pub(super) fn new(given: &Ask) -> Self {
        let mut ask = given.clone();
        let parts = sort(&mut ask.blanks, |p| &p.id);
        let sheets = sort(&mut ask.sheets, |s| &s.name);
        let offcuts = sort(&mut ask.offcuts, |o| &o.name);
        Self {
            ask,
            parts,
            sheets,
            offcuts,
        }
    }

    /// Lets items and boards of a problem point into the ask as given.
    pub(super) fn back(&self, problem: &mut Problem) {
        for item in &mut problem.items {
            item.part = self.parts[item.part];
            for inner in &mut item.inner {
                inner.part = self.parts[inner.part];
            }
        }
        for board in &mut problem.boards {
            board.index = match board.kind {
                Kind::Offcut => self.offcuts[board.index],
                Kind::Sheet => self.sheets[board.index],
            };
        }
    }
}

/// Sorts by name; gives for each its place before.
fn sort<T: Clone>(list: &mut Vec<T>, name: impl Fn(&T) -> &str) -> Vec<usize> {
    let mut order: Vec<usize> = (0..list.len()).collect();
    order.sort_by(|&a, &b| name(&list[a]).cmp(name(&list[b])));
    *list = order.iter().map(|&i| list[i].clone()).collect();
    order
}
