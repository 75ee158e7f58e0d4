//! Stock in whole micrometres: trimmed, then grown by the gap, like the items that lie on it.

use super::ask::{Ask, rectangle};
use super::clear::{Clear, clear};
use super::grid::{Um, down, metres, up};
use super::inner::largest_rectangle;
use super::layout::{Area, Kind};
use super::method::Method;
use super::sheet::{Sold, Surcharge};
use crate::outline::Outline;

/// A kind of sheet, or one offcut, as a rectangle: trimmed, then grown by the gap.
#[derive(Debug, Clone)]
pub(super) struct Board {
    pub(super) kind: Kind,
    /// Index among the sheets or the offcuts of the ask.
    pub(super) index: usize,
    /// Size of the largest clear rectangle.
    pub(super) w: Um,
    pub(super) h: Um,
    pub(super) gap: Um,
    /// How many there are.
    pub(super) stock: u32,
    /// Paid for one, or its shelf value.
    pub(super) cost: f64,
    /// Part of the cost that does not depend on the size that is bought; all of it for a whole sheet.
    pub(super) fee: f64,
    /// Value of a kept square metre.
    pub(super) keep_per_m2: f64,
    pub(super) sold: Sold,
    /// Number of the merchant, and what a delivery of his costs.
    pub(super) merchant: usize,
    pub(super) freight: f64,
    pub(super) surcharge: Surcharge,
    pub(super) days: f64,
    /// Lower left corner of the trimmed rectangle on the sheet. [m]
    pub(super) corner_m: (f64, f64),
    /// Lower left corner of the whole sheet. [m]
    pub(super) origin_m: (f64, f64),
    /// Size of the whole sheet. [m]
    pub(super) full_m: (f64, f64),
    /// Area of the whole sheet. [m²]
    pub(super) area_m2: f64,
    /// Area in which parts lie, grown like them, as far as the outline tells. [µm²]
    pub(super) capacity: f64,
    /// Where outlines may lie, if that is more than the rectangle.
    pub(super) clear: Option<Clear>,
    /// Under a saw: where no item may lie (x, y, w, h).
    pub(super) blocked: Vec<(Um, Um, Um, Um)>,
}

impl Board {
    /// No items of more area than this lie on it, grown by half the gap all round. [µm²]
    pub(super) fn area(&self) -> f64 {
        let (w, h) = self.reach();
        self.capacity.min(w as f64 * h as f64)
    }

    /// No item that is larger than this fits on it.
    #[allow(clippy::cast_possible_truncation)] // sizes of a sheet
    pub(super) fn reach(&self) -> (Um, Um) {
        let Some(clear) = &self.clear else {
            return (self.w, self.h);
        };
        let [l, b, r, t] = clear.frame;
        let grown = |length: f64| length.ceil() as Um + self.gap;
        (grown(r - l), grown(t - b))
    }
}

pub(super) fn boards(ask: &Ask, gap: Um) -> Vec<Board> {
    let mut boards = vec![];
    let shapes = ask.method != Method::Saw;
    for (index, offcut) in ask.offcuts.iter().enumerate() {
        let area_m2 = offcut.outline.area_m2();
        boards.extend(
            board(ask, gap, &offcut.outline, &offcut.bad_areas, shapes).map(|b| Board {
                kind: Kind::Offcut,
                index,
                stock: 1,
                cost: offcut.shelf_value,
                fee: offcut.shelf_value,
                keep_per_m2: offcut.shelf_value / area_m2,
                area_m2,
                ..b
            }),
        );
    }
    let mut merchants: Vec<&str> = vec![];
    for (index, sheet) in ask.sheets.iter().enumerate() {
        if ask
            .within_days
            .is_some_and(|days| sheet.days_to_arrive > days)
        {
            continue;
        }
        let known = merchants.iter().position(|m| *m == sheet.merchant);
        let merchant = known.unwrap_or_else(|| {
            merchants.push(&sheet.merchant);
            merchants.len() - 1
        });
        let whole = sheet.sold == Sold::Whole;
        let area_m2 = sheet.width_m * sheet.height_m;
        let outline = rectangle(sheet.width_m, sheet.height_m);
        boards.extend(
            board(ask, gap, &outline, &sheet.bad_areas, shapes).map(|b| Board {
                kind: Kind::Sheet,
                index,
                stock: sheet.in_stock.unwrap_or(u32::MAX),
                cost: sheet.price + sheet.cut_fee,
                fee: if whole {
                    sheet.price + sheet.cut_fee
                } else {
                    sheet.cut_fee
                },
                keep_per_m2: if whole {
                    ask.recovery_fraction * sheet.price / area_m2
                } else {
                    0.0
                },
                sold: sheet.sold,
                merchant,
                freight: sheet.freight,
                surcharge: sheet.surcharge,
                days: sheet.days_to_arrive,
                area_m2,
                ..b
            }),
        );
    }
    boards.retain(|b| b.stock > 0 && b.w > gap && b.h > gap);
    boards
}

/// The shape of a board; nothing of its money is filled in.
fn board(ask: &Ask, gap: Um, outline: &Outline, bad: &[Area], shapes: bool) -> Option<Board> {
    let trim = up(ask.trim_m);
    // A saw cuts around bad areas.
    let (x, y, w, h) = largest_rectangle(outline, if shapes { bad } else { &[] })?;
    let full_m = outline.size_m();
    let (left, bottom, ..) = outline.bounds_m();
    let corner_m = (x + metres(trim), y + metres(trim));
    let size = (down(w) - 2 * trim + gap, down(h) - 2 * trim + gap);
    let blocked = if shapes {
        vec![]
    } else {
        bad.iter()
            .filter_map(|b| sawn_round(b, corner_m, size, trim, gap))
            .collect()
    };
    let plain = bad.is_empty() && super::shapes::is_rectangle(outline);
    Some(Board {
        kind: Kind::Sheet,
        index: 0,
        w: size.0,
        h: size.1,
        gap,
        stock: 0,
        cost: 0.0,
        fee: 0.0,
        keep_per_m2: 0.0,
        sold: Sold::Whole,
        merchant: 0,
        freight: 0.0,
        surcharge: Surcharge::default(),
        days: 0.0,
        corner_m,
        origin_m: (left, bottom),
        full_m,
        area_m2: 0.0,
        capacity: if shapes && !plain {
            capacity(outline, (gap as f64 / 2.0 - trim as f64) * 1e-6)
        } else {
            f64::INFINITY
        },
        clear: (shapes && !plain).then(|| clear(outline, bad, corner_m, trim as f64)),
        blocked,
    })
}

/// Area of an outline, grown all round where that is more (J. Steiner's formula, which no shape exceeds). [µm²]
fn capacity(outline: &Outline, grown_m: f64) -> f64 {
    let by = grown_m.max(0.0);
    let area = outline.area_m2() + outline.edge_length_m() * by + std::f64::consts::PI * by * by;
    area * 1e12
}

/// A piece narrower than this is not sawn. [µm]
const SLIVER: Um = 1_000;

/// What a saw has to take out of a board around a bad area: parts keep the trim from it, and the waste is no sliver.
fn sawn_round(
    bad: &Area,
    corner_m: (f64, f64),
    size: (Um, Um),
    trim: Um,
    gap: Um,
) -> Option<(Um, Um, Um, Um)> {
    let along = |from_m: f64, length_m: f64, corner_m: f64, size: Um| {
        // An item and the cut after it end where the trim begins.
        let low = down(from_m - corner_m) - trim + gap;
        let end = up(from_m + length_m - corner_m) + trim;
        // Nothing can be cut from what is left at an edge.
        let (low, out) = (
            if low < gap + SLIVER { 0 } else { low },
            end <= 0 || low >= size,
        );
        let high = end.max(low + gap + SLIVER);
        let high = if size - high < gap + SLIVER {
            size
        } else {
            high
        };
        (!out).then_some((low, high - low))
    };
    let (x, w) = along(bad.x_m, bad.width_m, corner_m.0, size.0)?;
    let (y, h) = along(bad.y_m, bad.height_m, corner_m.1, size.1)?;
    Some((x, y, w, h))
}
