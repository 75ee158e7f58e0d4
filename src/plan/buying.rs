//! What can be bought for a layout, who brings it, and what a second visit for a missing piece would cost.

use std::collections::{BTreeMap, BTreeSet};

use super::day::civil;
use super::result::{DeliveryPlan, LayoutPlan, SecondVisit};
use super::setup::{Setup, Stuff, called, same_thickness};
use crate::error::{Note, Result};
use crate::file::{Length, Mass};
use crate::shop::{BadArea, Merchant, OffcutInRack, SheetForSale};
use crate::stock::{Area, Ask, Kind, Layout, Offcut, SheetKind, Surcharge};

/// Marks a whole sheet that stands in the rack already.
pub(crate) const IN_RACK: &str = ", in the rack";

/// Whether a sheet of a layout need not be bought.
pub(super) fn in_rack(name: &str) -> bool {
    name.ends_with(IN_RACK)
}

pub(crate) fn areas(bad: &[BadArea]) -> Vec<Area> {
    let area = |b: &BadArea| Area {
        x_m: b.x.si(),
        y_m: b.y.si(),
        width_m: b.width.si(),
        height_m: b.height.si(),
    };
    bad.iter().map(area).collect()
}

/// Sheets of one material and thickness: in the rack, and on sale whole or cut by the merchant.
pub(super) fn kinds(setup: &Setup, stuff: Stuff) -> Result<Vec<SheetKind>> {
    let shop = &setup.shop.shop;
    let properties = match setup.measured(stuff) {
        Some(own) => own.sheet.material.properties(),
        None => setup.materials.get(stuff.material)?.properties(),
    };
    let mass_kg_m2 = properties.density_kg_m3() * stuff.thickness_m;
    let mut kinds = vec![];
    for sheet in setup.sheets(stuff) {
        let whole =
            |name: String| SheetKind::new(name, sheet.width.si(), sheet.height.si(), sheet.price);
        let on_hand = setup.shop.on_hand(sheet);
        if on_hand > 0 {
            kinds.push(SheetKind {
                in_stock: Some(on_hand),
                bad_areas: areas(&sheet.bad_areas),
                ..whole(format!("{}{IN_RACK}", sheet.name))
            });
        }
        let merchant = merchant(&shop.merchants, sheet);
        let bought = SheetKind {
            days_to_arrive: f64::from(sheet.days_to_arrive.unwrap_or(0)),
            merchant: sheet.merchant.clone().unwrap_or_default(),
            // An offcut or a sheet in the rack saves the delivery.
            freight: merchant.map_or(shop.rates.delivery.unwrap_or(0.0), |m| m.delivery),
            surcharge: merchant.map_or_else(Surcharge::default, |m| surcharge(m, mass_kg_m2)),
            ..whole(sheet.name.clone())
        };
        if let Some(m) = merchant {
            kinds.extend(m.half_fee.map(|fee| bought.halved(fee)));
            kinds.extend(m.quarter_fee.map(|fee| bought.quartered(fee)));
            kinds.extend(m.by_length_fee.map(|fee| bought.cut_to_length(fee)));
            kinds.extend(m.to_size_fee.map(|fee| bought.cut_to_size(fee)));
        }
        kinds.push(bought);
    }
    Ok(kinds)
}

fn merchant<'a>(merchants: &'a [Merchant], sheet: &SheetForSale) -> Option<&'a Merchant> {
    let name = sheet.merchant.as_ref()?;
    merchants.iter().find(|m| m.name == *name)
}

fn surcharge(m: &Merchant, mass_kg_m2: f64) -> Surcharge {
    Surcharge {
        longest_m: m.oversize_over.map(Length::si),
        oversize_fee: m.oversize_fee.unwrap_or(0.0),
        heaviest_kg: m.overweight_over.map(Mass::si),
        overweight_fee: m.overweight_fee.unwrap_or(0.0),
        mass_kg_m2,
    }
}

/// Offcuts of one material and thickness.
pub(super) fn offcuts(setup: &Setup, stuff: Stuff) -> Vec<Offcut> {
    let shop = &setup.shop.shop;
    let worth = shop.cutting.offcut_worth.si();
    let per_m2 = setup.price_per_m2(stuff).unwrap_or(0.0);
    // Where the job names a sheet, only offcuts of that sheet serve beside it.
    let from = |o: &OffcutInRack| {
        stuff.sheet.is_none_or(|name| {
            let cut_from = o.sheet.as_deref();
            let both = |s: &SheetForSale| called(s, name) && cut_from.is_some_and(|c| called(s, c));
            shop.sheets.iter().any(both)
        })
    };
    let ours = setup.offcuts().filter(|(o, _)| {
        from(o)
            && o.material == stuff.material
            && same_thickness(o.thickness.si(), stuff.thickness_m)
    });
    ours.map(|(o, outline)| {
        let value = o.worth.unwrap_or(worth * per_m2 * outline.area_m2());
        Offcut {
            bad_areas: areas(&o.bad_areas),
            ..Offcut::shape(&o.name, outline.clone(), value)
        }
    })
    .collect()
}

/// Merchants from whom a layout buys.
pub(super) fn merchants(layout: &Layout) -> BTreeSet<String> {
    let bought = layout.buy.iter().filter(|b| !in_rack(&b.name));
    bought.map(|b| b.merchant.clone()).collect()
}

/// What one merchant brings comes together, with the slowest sheet of it, whichever layout that is for.
pub(super) fn together(layouts: &mut [LayoutPlan]) {
    let mut slowest: BTreeMap<String, f64> = BTreeMap::new();
    for bought in layouts.iter().flat_map(|l| &l.layout.buy) {
        let days = slowest.entry(bought.merchant.clone()).or_default();
        *days = days.max(bought.days_to_arrive);
    }
    for bought in layouts.iter_mut().flat_map(|l| &mut l.layout.buy) {
        if let Some(days) = slowest.get(&bought.merchant) {
            bought.days_to_arrive = *days;
        }
    }
}

/// All that comes from each merchant, over all layouts: one delivery.
pub(super) fn deliveries(setup: &Setup, layouts: &[LayoutPlan]) -> Result<Vec<DeliveryPlan>> {
    let mut all: Vec<(DeliveryPlan, Surcharge)> = vec![];
    for plan in layouts {
        let kinds = kinds(
            setup,
            Stuff::of(&plan.material, plan.thickness_m, plan.sheet.as_ref()),
        )?;
        for used in &plan.layout.sheets_used {
            let bought = used.kind == Kind::Sheet && !in_rack(&used.stock);
            let Some(kind) = kinds.iter().find(|k| bought && k.name == used.stock) else {
                continue;
            };
            let known = all.iter().position(|d| d.0.merchant == kind.merchant);
            let at = known.unwrap_or_else(|| {
                all.push((DeliveryPlan::from(&kind.merchant), kind.surcharge));
                all.len() - 1
            });
            let (delivery, _) = &mut all[at];
            delivery.price = delivery.price.max(kind.freight);
            delivery.days_to_arrive = delivery.days_to_arrive.max(kind.days_to_arrive);
            delivery.longest_m = delivery.longest_m.max(used.width_m).max(used.height_m);
            delivery.mass_kg += kind.surcharge.mass_kg_m2 * used.width_m * used.height_m;
        }
    }
    all.into_iter()
        .map(|(mut delivery, s)| {
            if s.longest_m.is_some_and(|most| delivery.longest_m > most) {
                delivery.oversize_fee = s.oversize_fee;
            }
            if s.heaviest_kg.is_some_and(|most| delivery.mass_kg > most) {
                delivery.overweight_fee = s.overweight_fee;
            }
            let there_s = setup
                .calendar
                .opening(setup.start_s, delivery.days_to_arrive)?;
            delivery.arrives = civil(setup, there_s)?;
            Ok(delivery)
        })
        .collect()
}

/// Why a whole sheet stays in the rack while others are bought: what would be taken of it costs more.
pub(super) fn left_in_rack(ask: &Ask, layout: &Layout) -> Vec<Note> {
    let money = &layout.money;
    let buys: Vec<_> = (layout.buy.iter()).filter(|b| !in_rack(&b.name)).collect();
    let days = buys.iter().map(|b| b.days_to_arrive).fold(0.0, f64::max);
    let used = |k: &SheetKind| layout.sheets_used.iter().any(|u| u.stock == k.name);
    let left = ask.sheets.iter().filter(|k| in_rack(&k.name) && !used(k));
    let say = |k: &SheetKind| {
        Note::new(
            "the rack",
            format!(
                "{} is left there: whole it counts {:.2}, what is bought instead {:.2} and {:.2} to bring it, and {days:.0} working days of waiting count {:.2} (rates.waiting_per_day in the shop's file)",
                k.name, k.price, money.bought, money.freight, money.waiting
            ),
        )
    };
    left.filter(|_| !buys.is_empty()).map(say).collect()
}

/// The cheapest way to one more piece when one is missing on the day; `None` where the rack still has a sheet, or nothing is on sale.
pub(super) fn second_visit(ask: &Ask, layout: &Layout) -> Option<SecondVisit> {
    let left_in_rack = |k: &SheetKind| {
        let used = layout
            .sheets_used
            .iter()
            .filter(|u| u.kind == Kind::Sheet && u.stock == k.name);
        in_rack(&k.name)
            && k.in_stock
                .is_some_and(|n| (used.count() as u64) < u64::from(n))
    };
    if ask.sheets.iter().any(left_in_rack) {
        return None;
    }
    let money = &layout.money;
    let net = money.bought + money.shelf_taken - money.kept;
    let of = |k: &SheetKind| {
        let s = &k.surcharge;
        let long = s
            .longest_m
            .is_some_and(|most| k.width_m.max(k.height_m) > most);
        let heavy = s
            .heaviest_kg
            .is_some_and(|most| s.mass_kg_m2 * k.width_m * k.height_m > most);
        k.freight
            + if long { s.oversize_fee } else { 0.0 }
            + if heavy { s.overweight_fee } else { 0.0 }
            + k.days_to_arrive * ask.waiting_rate_per_day
    };
    let whole = |k: &&SheetKind| !in_rack(&k.name) && k.sold == crate::stock::Sold::Whole;
    let on_sale = ask.sheets.iter().filter(whole);
    let next = on_sale.min_by(|a, b| {
        let cost = |k: &SheetKind| k.price + k.cut_fee + of(k);
        cost(a).total_cmp(&cost(b))
    })?;
    Some(SecondVisit {
        sheet: next.name.clone(),
        price: next.price + next.cut_fee,
        brought: of(next),
        days_to_arrive: next.days_to_arrive,
        wasted: (net * (1.0 - layout.yield_by_money_fraction)).max(0.0),
    })
}
