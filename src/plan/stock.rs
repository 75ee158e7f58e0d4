//! All blanks of the job, laid out by sheet and thickness, offcuts first.

use std::collections::BTreeSet;

use super::buying;
use super::part::Cut;
use super::result::{Drawing, LayoutPlan};
use super::setup::{Setup, Stuff, same_thickness};
use crate::error::{Error, Note, Result, Watch};
use crate::shop::CutBy;
use crate::stock::{self, Ask, Layout, Method, Part};

/// Share of the usual effort for each layout of a plan: some 20 ms, enough for the few parts of a job.
const EFFORT_SHARE: u64 = 10;
/// What a note on the thickness of the stock is about.
const THICKNESS: &str = "thickness";
/// A difference in thickness that shows in the shop's files. [m]
const SHOWN_M: f64 = 5e-6;

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
    let mut asks: Vec<Ask> = vec![];
    for (stuff, list) in &groups {
        let ask = ask(setup, *stuff, list, seed)?;
        if ask.sheets.is_empty() && ask.offcuts.is_empty() {
            let none = no_stock(setup, stuff.material, stuff.thickness_m, list);
            return Err(located(setup, list, none));
        }
        asks.push(ask);
    }
    let lists: Vec<&[&Cut]> = groups.iter().map(|g| g.1.as_slice()).collect();
    let laid = lay_all(setup, &asks, &lists, watch)?;
    let units = setup.job.job.units.unwrap_or_default();
    let mut plans = vec![];
    let mut drawings = vec![];
    for (((stuff, _), ask), mut layout) in groups.iter().zip(&asks).zip(laid) {
        let &stuff = stuff;
        let Stuff {
            material,
            thickness_m,
            sheet,
        } = stuff;
        let which = sheet.map_or_else(String::new, |name| format!("-{}", slug(name)));
        let mut files = vec![];
        let dxf = stock::dxf(ask, &layout);
        for (i, (svg, dxf)) in stock::drawings(ask, &layout, units)
            .into_iter()
            .zip(dxf)
            .enumerate()
        {
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
                dxf,
                pdf: vec![],
            });
            files.push(file);
        }
        let second_visit = buying::second_visit(ask, &layout);
        let left = buying::left_in_rack(ask, &layout);
        layout.notes.extend(left);
        layout.notes.extend(nearly_as_thick(setup, stuff, &layout));
        let (from_rack, buy) = std::mem::take(&mut layout.buy)
            .into_iter()
            .partition(|b| buying::in_rack(&b.name));
        layout.buy = buy;
        plans.push(LayoutPlan {
            from_rack,
            second_visit,
            material: material.into(),
            thickness_m,
            sheet: sheet.map(Into::into),
            layout,
            drawings: files,
        });
    }
    buying::together(&mut plans);
    Ok((plans, drawings))
}

/// What of the rack is not quite as thick as the job says, and is used as if it were.
fn nearly_as_thick(setup: &Setup, stuff: Stuff, layout: &Layout) -> Vec<Note> {
    let offcuts = setup.offcuts().map(|(o, _)| (o.name.as_str(), o.thickness));
    let sheets = setup.shop.shop.sheets.iter();
    let stock: Vec<_> = offcuts
        .chain(sheets.map(|s| (s.name.as_str(), s.thickness)))
        .collect();
    // A sheet that the merchant cuts has more to its name.
    let known = |used: &&str| {
        let fits = stock.iter().filter(|(name, _)| used.starts_with(*name));
        fits.max_by_key(|(name, _)| name.len())
    };
    let used: BTreeSet<&str> = (layout.sheets_used.iter())
        .map(|used| used.stock.as_str())
        .collect();
    let asked_m = stuff.thickness_m;
    let say = |name: &str| {
        let (_, thickness) = known(&name)?;
        let differs = (thickness.si() - asked_m).abs() > SHOWN_M;
        differs.then(|| {
            Note::new(
                THICKNESS,
                format!(
                    "{name} is {:.2} mm by its entry; heat and holes are for the job's {:.3} mm: measure it",
                    thickness.si() * 1e3,
                    asked_m * 1e3
                ),
            )
        })
    };
    used.into_iter().filter_map(say).collect()
}

/// Lays each group; what comes from a merchant from whom another group buys anyway comes with that delivery.
fn lay_all(
    setup: &Setup,
    asks: &[Ask],
    lists: &[&[&Cut]],
    watch: &dyn Watch,
) -> Result<Vec<Layout>> {
    let mut laid: Vec<Layout> = vec![];
    let lay = |at: usize, paid: &BTreeSet<String>| {
        let mut ask = asks[at].clone();
        for sheet in ask.sheets.iter_mut().filter(|s| paid.contains(&s.merchant)) {
            sheet.freight = 0.0;
        }
        stock::lay_out(&ask, watch).map_err(|e| located(setup, lists[at], e))
    };
    for at in 0..asks.len() {
        let paid = laid.iter().flat_map(buying::merchants).collect();
        laid.push(lay(at, &paid)?);
    }
    // Once more for those that were laid before the delivery was known, and do without it so far.
    for at in 0..asks.len() {
        let own = buying::merchants(&laid[at]);
        let later = laid.iter().skip(at + 1).flat_map(buying::merchants);
        let paid: BTreeSet<String> = later.filter(|m| !own.contains(m)).collect();
        let offered = |m: &String| {
            asks[at]
                .sheets
                .iter()
                .any(|s| s.merchant == *m && s.freight > 0.0)
        };
        if paid.iter().any(offered) {
            laid[at] = lay(at, &paid)?;
        }
    }
    Ok(laid)
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

fn ask(setup: &Setup, stuff: Stuff, cuts: &[&Cut], seed: u64) -> Result<Ask> {
    let shop = &setup.shop.shop;
    let cutting = &shop.cutting;
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
    let sheets = buying::kinds(setup, stuff)?;
    let passes = (stuff.thickness_m / cutting.pass_depth.si())
        .ceil()
        .max(1.0);
    let usual = Ask::new(blanks, sheets, method(cutting.by));
    Ok(Ask {
        offcuts: buying::offcuts(setup, stuff),
        kerf_m: cutting.kerf.si(),
        spacing_m: super::cutting::spacing_m(shop, stuff.thickness_m),
        trim_m: cutting.trim.si(),
        keep_least_m: (cutting.keep_width.si(), cutting.keep_length.si()),
        recovery_fraction: cutting.offcut_worth.si(),
        cutting_rate_per_m: passes / cutting.feed.si() / 3600.0 * setup.an_hour(),
        waiting_rate_per_day: shop.rates.waiting_per_day.unwrap_or(0.0),
        seed,
        effort: usual.effort / EFFORT_SHARE,
        ..usual
    })
}
