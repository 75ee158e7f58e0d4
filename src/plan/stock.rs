//! All blanks of the job, laid out by sheet and thickness, offcuts first.

use super::part::Cut;
use super::result::{Drawing, LayoutPlan};
use super::setup::{Setup, Stuff, same_thickness};
use crate::error::{Error, Result, Watch};
use crate::shop::{CutBy, OffcutInRack};
use crate::stock::{self, Ask, Method, Offcut, Part, SheetKind};

/// Share of the usual effort for each layout of a plan: some 20 ms, enough for the few parts of a job.
const EFFORT_SHARE: u64 = 10;

/// Marks a whole sheet that stands in the rack already.
const IN_RACK: &str = ", in the rack";

/// Layouts of all blanks, one for each sheet and thickness.
pub(super) fn layouts(
    setup: &Setup,
    cuts: &[&Cut],
    seed: u64,
    watch: &dyn Watch,
) -> Result<(Vec<LayoutPlan>, Vec<Drawing>)> {
    let mut groups: Vec<(Stuff, Vec<&Cut>)> = vec![];
    for &cut in cuts {
        let stuff = cut.stuff();
        let known = groups.iter_mut().find(|(other, _)| {
            other.material == stuff.material
                && other.sheet == stuff.sheet
                && same_thickness(other.thickness_m, stuff.thickness_m)
        });
        match known {
            Some((_, list)) => list.push(cut),
            None => groups.push((stuff, vec![cut])),
        }
    }
    let mut plans = vec![];
    let mut drawings = vec![];
    for (stuff, list) in groups {
        let Stuff {
            material,
            thickness_m,
            sheet,
        } = stuff;
        let ask = ask(setup, stuff, &list, seed);
        if ask.sheets.is_empty() && ask.offcuts.is_empty() {
            return Err(located(
                setup,
                &list,
                no_stock(setup, material, thickness_m, &list),
            ));
        }
        let which = sheet.map_or_else(String::new, |name| format!("-{}", slug(name)));
        let mut layout = stock::lay_out(&ask, watch).map_err(|e| located(setup, &list, e))?;
        let mut files = vec![];
        for (i, svg) in stock::drawings(&ask, &layout).into_iter().enumerate() {
            let file = format!(
                "layout-{material}-{:.0}mm{which}-{}.svg",
                thickness_m * 1e3,
                i + 1
            );
            let title = layout
                .sheets_used
                .get(i)
                .map_or(String::new(), |u| u.stock.clone());
            drawings.push(Drawing {
                file: file.clone(),
                title,
                part: String::new(),
                kind: "layout".into(),
                svg,
                dxf: String::new(),
                pdf: vec![],
            });
            files.push(file);
        }
        let (from_rack, buy) = std::mem::take(&mut layout.buy)
            .into_iter()
            .partition(|b| b.name.ends_with(IN_RACK));
        layout.buy = buy;
        plans.push(LayoutPlan {
            from_rack,
            material: material.into(),
            thickness_m,
            sheet: sheet.map(Into::into),
            layout,
            drawings: files,
        });
    }
    Ok((plans, drawings))
}

/// What the shop has instead, where it has no sheet of this kind and thickness.
fn no_stock(setup: &Setup, material: &str, thickness_m: f64, cuts: &[&Cut]) -> Error {
    let shop = &setup.shop.shop;
    let sheets = shop
        .sheets
        .iter()
        .filter(|s| s.material == material)
        .map(|s| s.thickness.si());
    let mut have: Vec<f64> = sheets.map(|t| t * 1e3).collect();
    have.sort_by(f64::total_cmp);
    have.dedup();
    let names: Vec<&str> = cuts.iter().map(|c| c.blank.name.as_str()).collect();
    let list: Vec<String> = have.iter().map(|t| format!("{t:.1} mm")).collect();
    let why = if list.is_empty() {
        format!("the shop's file names no sheet or offcut of {material}")
    } else {
        format!("the shop has {material} in {}", list.join(", "))
    };
    Error::Impossible {
        what: format!(
            "{} from {material} of {:.1} mm",
            names.join(", "),
            thickness_m * 1e3
        ),
        why,
        remedy: "add the sheet with its price to the shop's file, or choose another".into(),
    }
}

/// The error with the lines of the parts that it is about.
fn located(setup: &Setup, cuts: &[&Cut], error: Error) -> Error {
    if matches!(error, Error::Stopped) {
        return error;
    }
    let text = error.to_string();
    let mut problems = vec![];
    for (at, name) in setup.job.job.part_names() {
        if cuts.iter().any(|c| c.blank.name.starts_with(&name)) && text.contains(&name) {
            problems.push(setup.job.source.problem(at, text.clone()));
        }
    }
    if problems.is_empty() {
        error
    } else {
        setup.job.source.fault(problems)
    }
}

fn method(by: CutBy) -> Method {
    match by {
        CutBy::HandRouter => Method::HandRouter,
        CutBy::Saw => Method::Saw,
        CutBy::Cnc => Method::Cnc,
    }
}

/// A name as a part of a file's name.
fn slug(name: &str) -> String {
    let small = name.to_lowercase();
    let words = small.split(|c: char| !c.is_alphanumeric());
    words
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join("-")
}

fn ask(setup: &Setup, stuff: Stuff, cuts: &[&Cut], seed: u64) -> Ask {
    let shop = &setup.shop.shop;
    let cutting = &shop.cutting;
    // An offcut has no lot: where the job names a sheet, only that sheet serves.
    let fits = |o: &&OffcutInRack| {
        stuff.sheet.is_none()
            && o.material == stuff.material
            && same_thickness(o.thickness.si(), stuff.thickness_m)
    };
    let blanks = cuts
        .iter()
        .map(|cut| Part {
            may_flip: cut.blank.may_flip(),
            ..Part::shape(
                &cut.blank.name,
                cut.blank.outline.clone(),
                cut.copies + cut.spares,
                cut.blank.turns(),
            )
        })
        .collect();
    let mut sheets = vec![];
    for sheet in setup.sheets(stuff) {
        let kind = |name: String, in_stock, days: u32| SheetKind {
            in_stock,
            days_to_arrive: f64::from(days),
            ..SheetKind::new(name, sheet.width.si(), sheet.height.si(), sheet.price)
        };
        let on_hand = sheet.on_hand.unwrap_or(0);
        if on_hand > 0 {
            sheets.push(kind(format!("{}{IN_RACK}", sheet.name), Some(on_hand), 0));
        }
        // What comes from the merchant comes with a delivery, which an offcut or a sheet in the rack saves.
        sheets.push(SheetKind {
            freight: shop.rates.delivery.unwrap_or(0.0),
            ..kind(sheet.name.clone(), None, sheet.days_to_arrive.unwrap_or(0))
        });
    }
    let per_m2 = setup.price_per_m2(stuff).unwrap_or(0.0);
    let worth = cutting.offcut_worth.si();
    let offcuts = shop
        .offcuts
        .iter()
        .filter(fits)
        .map(|o| {
            let (w, h) = (o.width.si(), o.height.si());
            Offcut::rectangle(&o.name, w, h, worth * per_m2 * w * h)
        })
        .collect();
    let passes = (stuff.thickness_m / cutting.pass_depth.si())
        .ceil()
        .max(1.0);
    let usual = Ask::new(blanks, sheets, method(cutting.by));
    Ask {
        offcuts,
        kerf_m: cutting.kerf.si(),
        spacing_m: super::cutting::spacing_m(shop, stuff.thickness_m),
        trim_m: cutting.trim.si(),
        keep_least_m: (cutting.keep_width.si(), cutting.keep_length.si()),
        recovery_fraction: worth,
        cutting_rate_per_m: passes / cutting.feed.si() / 3600.0 * setup.an_hour(),
        seed,
        effort: usual.effort / EFFORT_SHARE,
        ..usual
    }
}
