//! The sums of a layout, each worked out again from the ask.

use super::super::ask::{Ask, Part};
use super::super::layout::{Kind, Layout, Step, Used};
use super::super::method::Method;
use super::super::sheet::{SheetKind, Sold};
use super::fault;
use crate::error::Result;

/// Money, bound and areas of a layout.
pub(super) fn sums(ask: &Ask, layout: &Layout) -> Result<()> {
    money(ask, layout)?;
    let m = &layout.money;
    if layout.bound > m.objective + scale(layout) {
        return Err(fault(
            "bound".into(),
            format!("{}", layout.bound),
            "at most the objective",
        ));
    }
    areas(layout)
}

/// Money below this is rounding.
fn scale(layout: &Layout) -> f64 {
    let m = &layout.money;
    1e-9 * (1.0 + m.bought + m.freight + m.waiting + m.shelf_taken + m.kept + m.cutting)
}

fn money(ask: &Ask, layout: &Layout) -> Result<()> {
    let m = &layout.money;
    let used = || layout.sheets_used.iter();
    let of = |kind: Kind| used().filter(move |u| u.kind == kind).map(|u| u.cost);
    let brought: Vec<(&Used, &SheetKind)> = used()
        .filter(|u| u.kind == Kind::Sheet)
        .filter_map(|u| Some((u, ask.sheets.iter().find(|s| s.name == u.stock)?)))
        .collect();
    let (freight, days) = brought_for(&brought);
    let material: f64 = layout.shares.iter().map(|s| s.material_cost).sum();
    let total = m.bought + m.freight + m.waiting + m.shelf_taken - m.kept + m.cutting;
    let cut_m = length(ask, layout);
    for (what, said, found) in [
        ("sheets bought", m.bought, of(Kind::Sheet).sum()),
        (
            "sheets on the list",
            layout.buy.iter().map(|b| b.price).sum(),
            m.bought,
        ),
        ("offcuts taken", m.shelf_taken, of(Kind::Offcut).sum()),
        ("freight", m.freight, freight),
        ("waiting", m.waiting, days * ask.waiting_rate_per_day),
        ("cutting", m.cutting, cut_m * ask.cutting_rate_per_m),
        (
            "remnants",
            m.kept,
            used().flat_map(|u| &u.kept).map(|k| k.value).sum(),
        ),
        (
            "shares of parts",
            material,
            m.bought + m.shelf_taken - m.kept,
        ),
        ("objective", m.objective, total),
    ] {
        // Lengths are whole micrometres; what is cut to order is bought by length.
        if (said - found).abs() > scale(layout) + 1e-6 * ask.cutting_rate_per_m || !said.is_finite()
        {
            return Err(fault(
                format!("money: {what}"),
                format!("{said}"),
                &format!("{found}"),
            ));
        }
    }
    used().try_for_each(|u| worth(ask, u))
}

/// What a sheet costs and what is kept of it is worth.
fn worth(ask: &Ask, used: &Used) -> Result<()> {
    let area = used.width_m * used.height_m;
    let (cost, per_m2) = match used.offcut(ask) {
        Some(offcut) => (
            offcut.shelf_value,
            offcut.shelf_value / offcut.outline.area_m2(),
        ),
        None => match ask.sheets.iter().find(|s| s.name == used.stock) {
            Some(s) => {
                let full = s.width_m * s.height_m;
                let kept = if s.sold == Sold::Whole {
                    ask.recovery_fraction
                } else {
                    0.0
                };
                (s.cut_fee + s.price * area / full, kept * s.price / full)
            }
            None => (f64::NAN, f64::NAN),
        },
    };
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + b.abs());
    if near(used.cost, cost)
        && used
            .kept
            .iter()
            .all(|k| near(k.value, k.area_m2() * per_m2))
    {
        return Ok(());
    }
    Err(fault(
        format!("money: {}", used.stock),
        format!("{}", used.cost),
        &format!("{cost}, and its remnants at {per_m2} a square metre"),
    ))
}

/// Freight with its surcharges, merchant by merchant, and days until the last sheet is there.
fn brought_for(brought: &[(&Used, &SheetKind)]) -> (f64, f64) {
    let mut merchants: Vec<&str> = brought.iter().map(|b| b.1.merchant.as_str()).collect();
    merchants.sort_unstable();
    merchants.dedup();
    let mut freight = 0.0;
    for merchant in merchants {
        let his = || brought.iter().filter(|b| b.1.merchant == merchant);
        let most = |f: &dyn Fn(&(&Used, &SheetKind)) -> f64| his().map(f).fold(0.0, f64::max);
        let mass: f64 = his()
            .map(|(u, s)| s.surcharge.mass_kg_m2 * u.width_m * u.height_m)
            .sum();
        let limit = his()
            .filter_map(|b| b.1.surcharge.heaviest_kg)
            .fold(f64::INFINITY, f64::min);
        freight += most(&|b| b.1.freight);
        freight += most(&|(u, s)| match s.surcharge.longest_m {
            Some(longest) if u.width_m.max(u.height_m) > longest => s.surcharge.oversize_fee,
            _ => 0.0,
        });
        if mass > limit {
            freight += most(&|b| b.1.surcharge.overweight_fee);
        }
    }
    let days = brought
        .iter()
        .map(|b| b.1.days_to_arrive)
        .fold(0.0, f64::max);
    (freight, days)
}

/// Length of all cuts: a saw's steps, or the edges of the parts. [m]
fn length(ask: &Ask, layout: &Layout) -> f64 {
    let used = layout.sheets_used.iter();
    if ask.method == Method::Saw {
        let steps = used.flat_map(|u| &u.steps);
        return steps
            .map(|s| match s {
                Step::Trim { from_m, to_m } | Step::Through { from_m, to_m, .. } => {
                    (to_m.0 - from_m.0).hypot(to_m.1 - from_m.1)
                }
                Step::Inside { .. } | Step::Outside { .. } => 0.0,
            })
            .sum();
    }
    let edges = |part: &str| {
        let part: Option<&Part> = ask.blanks.iter().find(|b| b.id == part);
        part.map_or(0.0, |b| b.outline.edge_length_m())
    };
    used.flat_map(|u| &u.placements)
        .map(|p| edges(&p.part))
        .sum()
}

fn areas(layout: &Layout) -> Result<()> {
    let stock: f64 = layout
        .sheets_used
        .iter()
        .map(|u| u.width_m * u.height_m)
        .sum();
    let l = &layout.loss;
    let sum = l.parts_m2 + l.kept_m2 + l.kerf_m2 + l.trim_m2 + l.scrap_m2;
    if [l.parts_m2, l.kept_m2, l.kerf_m2, l.trim_m2, l.scrap_m2]
        .iter()
        .any(|a| *a < -1e-9)
        || sum > stock + 1e-9 * (1.0 + stock)
    {
        return Err(fault(
            "areas".into(),
            format!("{sum} m2"),
            "parts, kept, kerf, trim and scrap within the stock",
        ));
    }
    Ok(())
}
