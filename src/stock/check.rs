//! The independent check: what a layout claims is measured again on the true outlines, and nothing of the search is used.

mod sawn;
mod sums;

use std::collections::BTreeMap;
use std::f64::consts::PI;

use super::ask::{Ask, Part, Turns, rectangle};
use super::layout::{Area, Kind, Layout, Used};
use super::method::Method;
use crate::error::{Error, Result};
use crate::outline::{Chain, Outline, Placement, Point};
use sawn::sawn;
use sums::sums;

/// Rounding of binary fractions of metres. [m]
const HAIR_M: f64 = 1e-8;

/// Left, bottom, right, top. [m]
type Bounds = (f64, f64, f64, f64);

/// An outline where it lies, with its bounds.
struct Lying {
    outline: Outline,
    bounds: Bounds,
}

impl Lying {
    fn new(outline: Outline) -> Self {
        Self {
            bounds: outline.bounds_m(),
            outline,
        }
    }

    fn chains(&self) -> impl Iterator<Item = &Chain> {
        std::iter::once(&self.outline.outside).chain(&self.outline.holes)
    }

    /// Whether all edges are at least `gap` from those of `other`, arcs exact.
    fn clear_of(&self, other: &Self, gap: f64) -> bool {
        self.chains().all(|a| {
            let bounds = a.bounds_m();
            other
                .chains()
                .all(|b| apart(bounds, b.bounds_m()) >= gap || a.clearance_m(b) >= gap)
        })
    }

    /// Whether the two overlap at all.
    fn meets(&self, other: &Self) -> bool {
        apart(self.bounds, other.bounds) < 0.0
            && (!self.clear_of(other, HAIR_M / 2.0) || self.nested(other))
    }

    /// Whether edges that do not meet leave one inside the material of the other.
    fn nested(&self, other: &Self) -> bool {
        let start = |x: &Self| -> Point { x.outline.outside.start };
        other.outline.holds(start(self)) || self.outline.holds(start(other))
    }
}

/// Distance between two boxes along the axis on which they are furthest apart.
fn apart(a: Bounds, b: Bounds) -> f64 {
    let x = (b.0 - a.2).max(a.0 - b.2);
    let y = (b.1 - a.3).max(a.1 - b.3);
    x.max(y)
}

fn fault(what: String, given: impl Into<String>, allowed: &str) -> Error {
    Error::Shape {
        what,
        given: given.into(),
        allowed: allowed.into(),
    }
}

/// Measures a layout against its ask: nothing overlaps, nothing leaves its sheet, gap and trim are kept, demand and
/// stock add up, the saw's cuts free every part, and the sums are right.
///
/// [`lay_out`](super::lay_out) runs it before it returns; it is public so that a layout that was changed by hand can be checked too.
///
/// # Errors
/// [`Error::Shape`] names the first fault.
pub fn check(ask: &Ask, layout: &Layout) -> Result<()> {
    let parts: BTreeMap<&str, &Part> = ask.blanks.iter().map(|p| (p.id.as_str(), p)).collect();
    demand(ask, layout)?;
    stock(ask, layout)?;
    for (number, used) in layout.sheets_used.iter().enumerate() {
        let at = format!("sheet {} ({})", number + 1, used.stock);
        let placed = outlines(&parts, used, &at)?;
        inside(ask, used, &placed, &at)?;
        apart_from_each_other(ask, used, &placed, &at)?;
        kept(ask, used, &placed, &at)?;
        if ask.method == Method::Saw {
            sawn(ask, used, &at)?;
        }
    }
    sums(ask, layout)
}

fn demand(ask: &Ask, layout: &Layout) -> Result<()> {
    let mut copies: BTreeMap<&str, Vec<u32>> = BTreeMap::new();
    for placed in layout.sheets_used.iter().flat_map(|u| &u.placements) {
        copies.entry(&placed.part).or_default().push(placed.copy);
    }
    for part in &ask.blanks {
        let mut placed = copies.remove(part.id.as_str()).unwrap_or_default();
        placed.sort_unstable();
        placed.dedup();
        let left: u32 = layout
            .unplaced
            .iter()
            .filter(|u| u.part == part.id)
            .map(|u| u.copies)
            .sum();
        if placed.len() as u64 + u64::from(left) != u64::from(part.quantity) {
            return Err(fault(
                format!("copies of {}", part.id),
                format!("{} laid and {left} left over", placed.len()),
                "the quantity asked for",
            ));
        }
    }
    copies.keys().next().map_or(Ok(()), |name| {
        Err(fault(
            "a placed part".into(),
            (*name).to_string(),
            "parts of the ask",
        ))
    })
}

fn stock(ask: &Ask, layout: &Layout) -> Result<()> {
    let count = |name: &str, kind: Kind| {
        layout
            .sheets_used
            .iter()
            .filter(|u| u.kind == kind && u.stock == name)
            .count() as u64
    };
    let mut known = 0;
    for sheet in &ask.sheets {
        let used = count(&sheet.name, Kind::Sheet);
        known += used;
        let bought: u32 = layout
            .buy
            .iter()
            .filter(|b| b.name == sheet.name)
            .map(|b| b.count)
            .sum();
        if used > sheet.in_stock.map_or(u64::MAX, u64::from) || used != u64::from(bought) {
            return Err(fault(
                format!("sheets of {}", sheet.name),
                format!("{used} used, {bought} bought"),
                "as many as there are, each bought once",
            ));
        }
    }
    for offcut in &ask.offcuts {
        let used = count(&offcut.name, Kind::Offcut);
        known += used;
        if used > 1 {
            return Err(fault(
                format!("offcut {}", offcut.name),
                format!("used {used} times"),
                "once",
            ));
        }
    }
    if known != layout.sheets_used.len() as u64 {
        return Err(fault(
            "stock".into(),
            "a name that is not in the ask",
            "sheets and offcuts of the ask",
        ));
    }
    Ok(())
}

/// The true outlines where they lie.
fn outlines(parts: &BTreeMap<&str, &Part>, used: &Used, at: &str) -> Result<Vec<Lying>> {
    let mut placed = vec![];
    for p in &used.placements {
        let Some(part) = parts.get(p.part.as_str()) else {
            continue;
        };
        let quarters = p.placement.turn_rad / (PI / 2.0);
        let whole = (quarters - quarters.round()).abs() < 1e-9;
        #[allow(clippy::cast_possible_truncation)] // a few turns
        let number = quarters.round() as i64;
        let allowed = match part.turns {
            Turns::None => whole && number.rem_euclid(4) == 0,
            Turns::Half => whole && number.rem_euclid(2) == 0,
            Turns::Quarter => whole,
            Turns::Any => p.placement.turn_rad.is_finite(),
        };
        if !allowed || (p.flipped && !part.may_flip) {
            return Err(fault(
                format!("{at}: turn of {}", p.part),
                format!(
                    "{} rad{}",
                    p.placement.turn_rad,
                    if p.flipped { ", flipped" } else { "" }
                ),
                "the turns of the part",
            ));
        }
        placed.push(Lying::new(put(&part.outline, p.flipped, p.placement)));
    }
    Ok(placed)
}

fn put(outline: &Outline, flipped: bool, placement: Placement) -> Outline {
    if flipped {
        outline.mirrored().placed(placement)
    } else {
        outline.placed(placement)
    }
}

fn inside(ask: &Ask, used: &Used, placed: &[Lying], at: &str) -> Result<()> {
    let outside = |i: usize| {
        Err(fault(
            format!("{at}: {}", used.placements[i].part),
            "over the trimmed edge",
            "inside the sheet and its trim",
        ))
    };
    let t = ask.trim_m - HAIR_M;
    let offcut = used.offcut(ask);
    let stock = offcut.map(|o| Lying::new(o.outline.clone()));
    let spoilt = bad_areas(ask, used);
    for (i, edges) in placed.iter().enumerate() {
        let (l, b, r, top) = edges.bounds;
        if spoilt.iter().any(|s| edges.meets(s)) {
            return Err(fault(
                format!("{at}: {}", used.placements[i].part),
                "on a bad area",
                "clear of bad areas",
            ));
        }
        match &stock {
            None => {
                if l < t || b < t || r > used.width_m - t || top > used.height_m - t {
                    return outside(i);
                }
            }
            Some(stock) => {
                let start = stock.outline.holds(edges.outline.outside.start);
                // A cutout of the offcut inside a part would not show as an edge that is too near.
                let swallowed = stock.chains().any(|c| edges.outline.holds(c.start));
                if !edges.clear_of(stock, t) || !start || swallowed {
                    return outside(i);
                }
            }
        }
    }
    Ok(())
}

/// The bad areas of a sheet or offcut, a hair smaller, so that what touches one does not meet it.
fn bad_areas(ask: &Ask, used: &Used) -> Vec<Lying> {
    let lying = |a: &Area| {
        let (w, h) = (a.width_m - 2.0 * HAIR_M, a.height_m - 2.0 * HAIR_M);
        Lying::new(rectangle(w, h).placed(Placement {
            turn_rad: 0.0,
            x_m: a.x_m + HAIR_M,
            y_m: a.y_m + HAIR_M,
        }))
    };
    used.bad_areas(ask).iter().map(lying).collect()
}

fn apart_from_each_other(ask: &Ask, used: &Used, placed: &[Lying], at: &str) -> Result<()> {
    let gap = ask.gap_m() - HAIR_M;
    let mut order: Vec<usize> = (0..placed.len()).collect();
    order.sort_by(|&a, &b| placed[a].bounds.0.total_cmp(&placed[b].bounds.0));
    for (n, &i) in order.iter().enumerate() {
        for &j in order.iter().skip(n + 1) {
            let (a, b) = (&placed[i], &placed[j]);
            if b.bounds.0 - a.bounds.2 >= gap {
                break;
            }
            if apart(a.bounds, b.bounds) >= gap {
                continue;
            }
            if !a.clear_of(b, gap) || a.nested(b) {
                let name =
                    |k: usize| format!("{} {}", used.placements[k].part, used.placements[k].copy);
                return Err(fault(
                    format!("{at}: distance of {} and {}", name(i), name(j)),
                    "less than the gap",
                    "one kerf or the spacing between all edges",
                ));
            }
        }
    }
    Ok(())
}

fn bounds(area: &Area) -> Bounds {
    (
        area.x_m,
        area.y_m,
        area.x_m + area.width_m,
        area.y_m + area.height_m,
    )
}

fn kept(ask: &Ask, used: &Used, placed: &[Lying], at: &str) -> Result<()> {
    let spoilt = bad_areas(ask, used);
    for (n, remnant) in used.kept.iter().enumerate() {
        let this = bounds(&remnant.area);
        let rest = Lying::new(remnant.outline());
        // Beside a disc only the cut that frees it is lost.
        let gap = match remnant.diameter_m {
            Some(_) => ask.kerf_m,
            None => ask.gap_m(),
        } - HAIR_M;
        let meets = placed
            .iter()
            .any(|p| apart(this, p.bounds) < gap && (!rest.clear_of(p, gap) || rest.nested(p)));
        let other = used
            .kept
            .iter()
            .skip(n + 1)
            // The boxes of two discs may overlap where the discs do not.
            .any(|o| {
                apart(this, bounds(&o.area)) < -HAIR_M && rest.meets(&Lying::new(o.outline()))
            });
        let out = this.0 < -HAIR_M
            || this.1 < -HAIR_M
            || this.2 > used.width_m + HAIR_M
            || this.3 > used.height_m + HAIR_M;
        let bad = spoilt.iter().any(|s| rest.meets(s));
        if meets || other || out || bad {
            return Err(fault(
                format!("{at}: remnant {}", n + 1),
                "on a part, a remnant or off the sheet",
                "a clear rectangle",
            ));
        }
    }
    Ok(())
}
