//! Labels of offcuts, to print, cut apart and stick on.

use super::rack::Offcut;
use crate::outline::{CHORD_M, Chain, Point};
use crate::shape::drawing::{Anchor, Band, Drawing, Ink, Item, Shows};

/// Size of a label: two beside each other on A4 and on Letter. [m]
const LABEL_M: (f64, f64) = (0.093, 0.046);
const MARGIN_M: f64 = 0.010;
const BESIDE: usize = 2;
/// Room for the sketch, at the right. [m]
const SKETCH_M: (f64, f64) = (0.034, 0.030);

/// The labels on sheets of paper: name, material, thickness, size, lot, where it comes from, and a sketch.
pub fn labels(offcuts: &[Offcut]) -> Drawing {
    let rows = offcuts.len().div_ceil(BESIDE);
    let height_m = 2.0 * MARGIN_M + LABEL_M.1 * rows as f64;
    let width_m = 2.0 * MARGIN_M + LABEL_M.0 * BESIDE as f64;
    let mut items = vec![];
    let mut bands = vec![];
    for (row, pair) in offcuts.chunks(BESIDE).enumerate() {
        let top_m = height_m - MARGIN_M - LABEL_M.1 * row as f64;
        for (column, offcut) in pair.iter().enumerate() {
            let left_m = MARGIN_M + LABEL_M.0 * column as f64;
            label(offcut, Point::new(left_m, top_m - LABEL_M.1), &mut items);
        }
        bands.push(Band {
            top_m,
            bottom_m: top_m - LABEL_M.1,
            width_m: width_m - 2.0 * MARGIN_M,
            items: items.len(),
            shows: Shows::Words,
        });
    }
    Drawing {
        name: "labels of offcuts".into(),
        width_m,
        height_m,
        items,
        bands,
        margin_m: MARGIN_M,
        origin_m: None,
        centres_m: vec![],
    }
}

fn label(offcut: &Offcut, corner: Point, items: &mut Vec<Item>) {
    let (w, h) = LABEL_M;
    let middle = Point::new(corner.x_m + w / 2.0, corner.y_m + h / 2.0);
    items.push(Item::Chain {
        chain: Chain::rounded_rectangle(middle, w, h, 0.0),
        ink: Ink::Frame,
    });
    let mm = |length_m: f64, places: usize| format!("{:.places$}", length_m * 1e3);
    let mut lines = vec![
        offcut.material.clone(),
        format!("{} mm thick", mm(offcut.thickness_m, 1)),
        format!("{} x {} mm", mm(offcut.width_m, 0), mm(offcut.height_m, 0)),
    ];
    lines.extend(offcut.lot.iter().map(|lot| format!("lot {lot}")));
    lines.extend(offcut.since.iter().map(|day| format!("since {day}")));
    let left = corner.x_m + 3e-3;
    // What is longer than its room is cut.
    let mut write = |y_m: f64, size_m: f64, bold: bool, room_m: f64, text: &str| {
        let mut letters = 0.0;
        let fits = text.chars().take_while(|_| {
            letters += 1.0;
            letters * size_m * 0.55 < room_m
        });
        items.push(Item::Text {
            at: Point::new(left, y_m),
            size_m,
            anchor: Anchor::Start,
            upwards: false,
            bold,
            text: fits.collect(),
        });
    };
    let top = corner.y_m + h;
    let beside = w - SKETCH_M.0 - 7e-3;
    write(top - 9.5e-3, 7e-3, true, beside, &offcut.name);
    for (at, line) in lines.iter().enumerate() {
        write(top - 16e-3 - 5e-3 * at as f64, 3.4e-3, false, beside, line);
    }
    if let Some(job) = &offcut.from_job {
        write(
            corner.y_m + 3e-3,
            3.4e-3,
            false,
            w - 6e-3,
            &format!("from {job}"),
        );
    }
    let above = corner.y_m + h - SKETCH_M.1 - 4e-3;
    sketch(
        offcut,
        Point::new(corner.x_m + w - SKETCH_M.0 - 3e-3, above),
        items,
    );
}

/// The outline, as large as there is room for.
fn sketch(offcut: &Offcut, corner: Point, items: &mut Vec<Item>) {
    let (w, h) = (offcut.width_m.max(1e-6), offcut.height_m.max(1e-6));
    let scale = (SKETCH_M.0 / w).min(SKETCH_M.1 / h);
    let (left, bottom, _, _) = offcut.outline.bounds_m();
    let at = |p: &Point| {
        Point::new(
            corner.x_m + (SKETCH_M.0 - w * scale) / 2.0 + (p.x_m - left) * scale,
            corner.y_m + (SKETCH_M.1 - h * scale) / 2.0 + (p.y_m - bottom) * scale,
        )
    };
    let outline = &offcut.outline;
    for chain in std::iter::once(&outline.outside).chain(&outline.holes) {
        let points: Vec<Point> = chain
            .flatten(CHORD_M / scale, false)
            .iter()
            .map(at)
            .collect();
        items.push(Item::Chain {
            chain: Chain::polygon(&points),
            ink: Ink::Cut,
        });
    }
}
