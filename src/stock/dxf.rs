//! Each sheet as a DXF drawing for the machine, in millimetres.

use std::collections::BTreeMap;

use super::ask::{Ask, rectangle};
use super::layout::{Layout, Step, Used};
use crate::outline::{self, Chain, DxfLayer, DxfText, Outline, Point};

/// One DXF drawing for each sheet used, in order.
///
/// Layers: `SHEET` the edge of the stock, `INSIDE` cutouts and `OUTSIDE` outlines of parts, `STRAIGHT` a saw's cuts, each in
/// the order of cutting; `KEEP` what is worth keeping, `BAD` areas that no part lies on, `NAMES` of parts and copies. Contours are true sizes: the tool's radius is
/// the machine's to offset.
///
/// ```
/// use mountwright::error::Unwatched;
/// use mountwright::stock::{Ask, Method, Part, SheetKind, Turns, dxf, lay_out};
/// let ask = Ask::new(
///     vec![Part::rectangle("strap", 0.42, 0.06, 4, Turns::Quarter)],
///     vec![SheetKind::new("3 mm sheet", 1.22, 0.61, 24.0)],
///     Method::Cnc,
/// );
/// let layout = lay_out(&ask, &Unwatched)?;
/// // Four straps and the edge of the sheet, besides what is kept.
/// assert!(dxf(&ask, &layout)[0].matches("LWPOLYLINE").count() >= 5);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn dxf(ask: &Ask, layout: &Layout) -> Vec<String> {
    layout
        .sheets_used
        .iter()
        .map(|used| sheet(ask, used))
        .collect()
}

fn sheet(ask: &Ask, used: &Used) -> String {
    let stock = used.offcut(ask).map_or_else(
        || rectangle(used.width_m, used.height_m),
        |o| o.outline.clone(),
    );
    let parts: BTreeMap<&str, &Outline> = ask
        .blanks
        .iter()
        .map(|p| (p.id.as_str(), &p.outline))
        .collect();
    let mut lying: BTreeMap<(&str, u32), Outline> = BTreeMap::new();
    for p in &used.placements {
        if let Some(&outline) = parts.get(p.part.as_str()) {
            let outline = if p.flipped {
                outline.mirrored()
            } else {
                outline.clone()
            };
            lying.insert((&p.part, p.copy), outline.placed(p.placement));
        }
    }
    let (mut inside, mut outside): (Vec<&Chain>, Vec<&Chain>) = (vec![], vec![]);
    let mut straight: Vec<(Point, Point)> = vec![];
    for step in &used.steps {
        match step {
            Step::Trim { from_m, to_m } | Step::Through { from_m, to_m, .. } => {
                straight.push((Point::new(from_m.0, from_m.1), Point::new(to_m.0, to_m.1)));
            }
            Step::Inside { part, copy, hole } => {
                let outline = lying.get(&(part.as_str(), *copy));
                inside.extend(outline.and_then(|o| o.holes.get(*hole)));
            }
            Step::Outside { part, copy } => {
                let outline = lying.get(&(part.as_str(), *copy));
                outside.extend(outline.map(|o| &o.outside));
            }
        }
    }
    if !straight.is_empty() {
        outside.extend(lying.values().map(|o| &o.outside));
    }
    let kept: Vec<Outline> = used.kept.iter().map(super::Remnant::outline).collect();
    let bad: Vec<Outline> = used
        .bad_areas(ask)
        .iter()
        .map(|a| {
            rectangle(a.width_m, a.height_m).placed(crate::outline::Placement {
                turn_rad: 0.0,
                x_m: a.x_m,
                y_m: a.y_m,
            })
        })
        .collect();
    let layer = |name, chains, lines| DxfLayer {
        name,
        chains,
        lines,
        ..DxfLayer::default()
    };
    // Names in the middle of each part's bounds, a tenth of its shorter side high.
    let names = used.placements.iter().map(|p| DxfText {
        at: Point::new(
            p.bounds.x_m + p.bounds.width_m / 2.0,
            p.bounds.y_m + p.bounds.height_m / 2.0,
        ),
        height_m: 0.1 * p.bounds.width_m.min(p.bounds.height_m),
        turn_deg: 0.0,
        anchor: 1,
        text: format!("{} {}", p.part, p.copy),
    });
    let names = DxfLayer {
        name: "NAMES",
        texts: names.collect(),
        ..DxfLayer::default()
    };
    let edges =
        |list: &[Outline]| -> Vec<Chain> { list.iter().map(|o| o.outside.clone()).collect() };
    let (kept, bad) = (edges(&kept), edges(&bad));
    let sheet = std::iter::once(&stock.outside).chain(&stock.holes);
    outline::dxf(&[
        layer("SHEET", sheet.collect(), vec![]),
        layer("INSIDE", inside, vec![]),
        layer("OUTSIDE", outside, vec![]),
        layer("STRAIGHT", vec![], straight),
        layer("KEEP", kept.iter().collect(), vec![]),
        layer("BAD", bad.iter().collect(), vec![]),
        names,
    ])
}
