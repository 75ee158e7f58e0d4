//! The way through: check the ask, set parts aside that fit nothing, search, put together, check the layout.

use super::ask::Ask;
use super::board::Board;
use super::by_name::ByName;
use super::grid::Problem;
use super::holes::fill_holes;
use super::layout::{Kind, Layout, Unplaced};
use super::method::Method;
use super::search::search;
use super::solution::Cutting;
use super::{assemble, check};
use crate::error::{Error, Note, Result, Watch};

/// Lays all blanks of one material and thickness on offcuts and sheets, at the least money that the effort finds.
///
/// The same ask gives the same layout on any machine. Where `watch` stops the search, the best layout so far comes back
/// with `cut_short` set.
///
/// ```
/// use mountwright::error::Unwatched;
/// use mountwright::stock::{Ask, Method, Part, SheetKind, Turns, lay_out};
/// let ask = Ask::new(
///     vec![Part::rectangle("strap", 0.42, 0.06, 4, Turns::Quarter)],
///     vec![SheetKind::new("3 mm sheet", 1.22, 0.61, 24.0)],
///     Method::HandRouter,
/// );
/// let layout = lay_out(&ask, &Unwatched)?;
/// assert_eq!(layout.buy[0].count, 1);
/// assert!(layout.unplaced.is_empty() && layout.bound <= layout.money.objective);
/// # Ok::<(), mountwright::Error>(())
/// ```
///
/// # Errors
/// [`Error::OutOfRange`] and [`Error::Shape`] for an ask that cannot be; [`Error::Impossible`] where not one part fits on any
/// stock; [`Error::Stopped`] where `watch` stops before there is a layout. Parts that find no place are no error: they are in
/// [`Layout::unplaced`].
pub fn lay_out(ask: &Ask, watch: &dyn Watch) -> Result<Layout> {
    ask.checked()?;
    let by_name = ByName::new(ask);
    let mut problem = Problem::new(&by_name.ask);
    let mut unplaced = set_aside(&by_name.ask, &mut problem);
    unplaced.sort_by_key(|u| ask.blanks.iter().position(|b| b.id == u.part));
    if problem.items.is_empty() {
        return Err(nothing_fits(&unplaced));
    }
    let in_holes = fill(&by_name.ask, &mut problem);
    by_name.back(&mut problem);
    let saw = ask.method == Method::Saw;
    let perimeter_m = problem
        .items
        .iter()
        .map(|i| ask.blanks[i.part].outline.size_m())
        .map(|(w, h)| 2.0 * (w + h))
        .sum();
    let cutting = Cutting {
        saw,
        rate_per_m: if saw { ask.cutting_rate_per_m } else { 0.0 },
        perimeter_m,
    };
    let mut found = search(&problem, cutting, ask.seed, ask.effort, watch)?;
    found.effort += in_holes;
    let layout = assemble::layout(ask, &problem, &found, unplaced, notes(ask));
    check::check(ask, &layout)?;
    Ok(layout)
}

/// Puts small parts into the holes of others; gives the effort.
fn fill(ask: &Ask, problem: &mut Problem) -> u64 {
    let Some(shapes) = &problem.shapes else {
        return 0;
    };
    let weights: Vec<(usize, f64)> = problem.items.iter().map(|i| (i.part, i.weight)).collect();
    let items = std::mem::take(&mut problem.items);
    let (items, effort) = fill_holes(ask, shapes, items, problem.gap, ask.seed);
    problem.items = items;
    for item in &mut problem.items {
        let weight = |part: usize| weights.iter().find(|w| w.0 == part).map_or(0.0, |w| w.1);
        item.inner_weight = item.inner.iter().map(|i| weight(i.part)).sum();
    }
    effort
}

/// Takes out the items that fit on no stock at all, and says why.
fn set_aside(ask: &Ask, problem: &mut Problem) -> Vec<Unplaced> {
    let boards = problem.boards.clone();
    let mut copies = vec![0_u32; ask.blanks.len()];
    problem.items.retain(|item| {
        let fits = boards.iter().any(|b| item.fits(b));
        if !fits {
            copies[item.part] += 1;
        }
        fits
    });
    let largest = boards.iter().max_by(|a, b| a.area().total_cmp(&b.area()));
    let mut unplaced = vec![];
    for (part, copies) in ask.blanks.iter().zip(copies).filter(|(_, c)| *c > 0) {
        let (w, h) = part.outline.size_m();
        let stock = largest.map_or("there is no stock that arrives in time".into(), |b| {
            let (x, y) = size_m(problem, b);
            format!(
                "the largest stock, {}, has {:.1} x {:.1} mm inside its trim",
                name(ask, b),
                x * 1e3,
                y * 1e3
            )
        });
        let reason = format!(
            "{} is {:.1} x {:.1} mm, and {stock}",
            part.id,
            w * 1e3,
            h * 1e3
        );
        unplaced.push(Unplaced {
            part: part.id.clone(),
            copies,
            reason,
        });
    }
    unplaced
}

fn size_m(problem: &Problem, board: &Board) -> (f64, f64) {
    let m = |length| super::grid::metres(length - problem.gap);
    (m(board.w), m(board.h))
}

fn name<'a>(ask: &'a Ask, board: &Board) -> &'a str {
    match board.kind {
        Kind::Offcut => &ask.offcuts[board.index].name,
        Kind::Sheet => &ask.sheets[board.index].name,
    }
}

fn nothing_fits(unplaced: &[Unplaced]) -> Error {
    Error::Impossible {
        what: "a layout".into(),
        why: unplaced
            .first()
            .map_or_else(|| "there are no parts".into(), |u| u.reason.clone()),
        remedy: "take a larger sheet, allow turns, or make the part of two pieces".into(),
    }
}

fn notes(ask: &Ask) -> Vec<Note> {
    let mut notes = vec![];
    if ask.method == Method::Saw && ask.spacing_m > ask.kerf_m {
        notes.push(Note::new(
            "spacing",
            "a saw leaves one kerf between parts; the spacing asked for is not used",
        ));
    }
    let late: Vec<&str> = ask
        .sheets
        .iter()
        .filter(|s| ask.within_days.is_some_and(|d| s.days_to_arrive > d))
        .map(|s| s.name.as_str())
        .collect();
    if !late.is_empty() {
        notes.push(Note::new(
            "stock",
            format!("not used, because it arrives too late: {}", late.join(", ")),
        ));
    }
    notes
}
