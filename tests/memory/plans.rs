//! Small plans in the form of `plan.json`, made up.

use mountwright::memory::Offcut;
use mountwright::plan::names;
use mountwright::shop::ShopFile;
use serde_json::{Value, json};

pub(crate) const DAY: &str = "2026-11-26";
/// Offcuts that each job leaves.
pub(crate) const KEPT: u32 = 3;
/// Whole sheets in the rack at first.
pub(crate) const SHEETS: u32 = 10_000;

pub(crate) fn shop() -> ShopFile {
    let text = include_str!("../../demo-data/shop.toml");
    let name = "name = \"ABS 3 mm\"";
    let at = text.find(name).unwrap();
    let (before, after) = text.split_at(at);
    let after = after.replacen("on_hand = 1", &format!("on_hand = {SHEETS}"), 1);
    ShopFile::parse("shop.toml", &format!("{before}{after}"), &names().unwrap()).unwrap()
}

fn used(stock: &str, kind: &str, (width_m, height_m): (f64, f64), kept: u32) -> Value {
    let area = |at: u32| json!({ "x_m": 0.1 * f64::from(at), "y_m": 0.2, "width_m": 0.1, "height_m": 0.3 });
    let kept: Vec<Value> = (0..kept)
        .map(|at| json!({ "area": area(at), "diameter_m": null, "value": 1.5 }))
        .collect();
    json!({ "stock": stock, "kind": kind, "width_m": width_m, "height_m": height_m, "cost": 58.0, "placements": [],
        "steps": [], "kept": kept, "yield_fraction": 0.5 })
}

/// A job that takes one sheet from the rack, an offcut where one is given, and leaves three.
pub(crate) fn plan_text(job: &str, offcut: Option<&Offcut>) -> String {
    let mut sheets = vec![used("ABS 3 mm, in the rack", "sheet", (1.0, 2.0), KEPT)];
    sheets.extend(offcut.map(|o| used(&o.name, "offcut", (o.width_m, o.height_m), 0)));
    let nominal = |value: f64| json!({ "nominal": value });
    json!({
        "schema": 1,
        "job": { "name": job, "vehicle": "the grey estate", "start": "2026-12-01 08:30", "file": "schema = 1" },
        "shop": { "currency": "XTS" },
        "parts": [{ "name": "left pod", "kind": "strap", "places": ["left pillar"], "hand": "left", "quantity": 1,
            "blank": { "outline": null }, "recipe": null, "joint": null }],
        "layouts": [{ "material": "abs", "thickness_m": 0.003, "sheets_used": sheets,
            "from_rack": [{ "name": "ABS 3 mm, in the rack", "count": 1, "price": 58.0, "merchant": "", "days_to_arrive": 0.0 }] }],
        "tasks": [{ "id": "left pod / cut", "kind": "cut", "attended_s": nominal(600.0), "usual_s": 640.0 }],
        "estimate": { "cost": nominal(120.0), "hours": nominal(3.0) },
        "price": { "net": "200.00" },
    })
    .to_string()
}
