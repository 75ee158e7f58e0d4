//! Laying out again after the stock has grown: the earlier answer stays a candidate.

use super::ask::Ask;
use super::check::check;
use super::lay_out::lay_out;
use super::layout::{Kind, Layout};
use crate::error::{Result, Watch};

/// Lays out again, and gives the earlier layout back where it is still possible at the same prices and no worse than the new one.
///
/// So an answer for less stock is never lost when there is more.
///
/// ```
/// use mountwright::error::Unwatched;
/// use mountwright::stock::{Ask, Method, Offcut, Part, SheetKind, Turns, lay_out, lay_out_again};
/// let panels = vec![Part::rectangle("panel", 0.4, 0.3, 2, Turns::Quarter)];
/// let mut ask = Ask::new(panels, vec![SheetKind::new("board", 1.0, 1.0, 20.0)], Method::Saw);
/// let before = lay_out(&ask, &Unwatched)?;
/// ask.offcuts.push(Offcut::rectangle("A-17", 0.5, 0.7, 3.0));
/// let after = lay_out_again(&ask, &before, &Unwatched)?;
/// assert!(after.money.objective <= before.money.objective);
/// # Ok::<(), mountwright::Error>(())
/// ```
///
/// # Errors
/// Those of [`lay_out`].
pub fn lay_out_again(ask: &Ask, earlier: &Layout, watch: &dyn Watch) -> Result<Layout> {
    let new = lay_out(ask, watch)?;
    let left = |layout: &Layout| -> f64 {
        let area = |part: &str| {
            let part = ask.blanks.iter().find(|b| b.id == part);
            part.map_or(0.0, |b| b.outline.area_m2())
        };
        layout
            .unplaced
            .iter()
            .fold(0.0, |sum, u| sum + area(&u.part) * f64::from(u.copies))
    };
    let (ours, theirs) = (left(&new), left(earlier));
    let no_worse =
        theirs < ours || (theirs <= ours && earlier.money.objective < new.money.objective);
    if !no_worse || !same_prices(ask, earlier) || check(ask, earlier).is_err() {
        return Ok(new);
    }
    let whole = earlier.unplaced.is_empty();
    let bound = new.bound.min(earlier.money.objective);
    let over = earlier.money.objective - bound;
    let proved = whole && over <= 1e-9 * (1.0 + bound);
    Ok(Layout {
        bound,
        gap_fraction: if proved {
            Some(0.0)
        } else if whole && bound > 0.0 {
            Some(over / bound)
        } else {
            None
        },
        proved,
        effort_used: earlier.effort_used + new.effort_used,
        cut_short: earlier.cut_short || new.cut_short,
        ..earlier.clone()
    })
}

/// Whether what the layout uses costs now what it cost then.
fn same_prices(ask: &Ask, layout: &Layout) -> bool {
    layout.sheets_used.iter().all(|used| {
        let now = match used.kind {
            Kind::Offcut => used.offcut(ask).map(|o| o.shelf_value),
            Kind::Sheet => ask.sheets.iter().find(|s| s.name == used.stock).map(|s| {
                let share = used.width_m * used.height_m / (s.width_m * s.height_m);
                s.cut_fee + s.price * share
            }),
        };
        now.is_some_and(|now| (now - used.cost).abs() <= 1e-9 * (1.0 + now))
    })
}
