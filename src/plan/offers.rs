//! Sheets that may serve for a part: as the job asks, others of the shop, near thicknesses, and what the catalogue knows besides.

use super::chain::Kept;
use super::practice;
use super::setup::{Setup, same_thickness};
use crate::file::Length;
use crate::material::{Material, Role};
use crate::quantity::Measure;
use crate::shop::{SheetForSale, ShopFile};

/// Whether sheet of thickness `t` may stand in for the thickness that is asked for.
fn stands_in(t: f64, wanted: f64) -> bool {
    (practice::NEAR_THIN.value..=practice::NEAR_THICK.value).contains(&(t / wanted))
}

/// Where a sheet is to be had.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Supply {
    /// A sheet or an offcut stands in the rack.
    InRack,
    /// In the shop's file, with a price.
    Listed,
    /// Known to the catalogue alone.
    ToBuy,
}

impl Supply {
    /// In words.
    pub(super) const fn words(self) -> &'static str {
        match self {
            Self::InRack => "in the rack",
            Self::Listed => "to order from the shop's list",
            Self::ToBuy => "not in the rack: to buy",
        }
    }

    fn of(setup: &Setup, material: &str, thickness_m: Option<f64>) -> Self {
        let shop = &setup.shop.shop;
        let fits = |m: &str, t: f64| {
            m == material && thickness_m.is_none_or(|wanted| same_thickness(t, wanted))
        };
        let sheets = || {
            shop.sheets
                .iter()
                .filter(|s| fits(&s.material, s.thickness.si()))
        };
        let offcut = (setup.offcuts()).any(|(o, _)| fits(&o.material, o.thickness.si()));
        if offcut || sheets().any(|s| setup.shop.on_hand(s) > 0) {
            Self::InRack
        } else if sheets().next().is_some() {
            Self::Listed
        } else {
            Self::ToBuy
        }
    }
}

/// A sheet that may serve.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Offer {
    pub(super) material: String,
    /// `None` for a ring, which is stacked of what there is. [m]
    pub(super) thickness_m: Option<f64>,
    /// Whether it is as thick as the job asks.
    pub(super) as_asked: bool,
    pub(super) supply: Supply,
}

/// Sheets for the part at `index`: first what the job asks for, then the shop's, as thick and then thinner or thicker, then
/// those of the catalogue that would have to be bought.
pub(super) fn offers(setup: &Setup, kept: &Kept, index: usize) -> Vec<Offer> {
    let Some((_, part)) = kept.parts.get(index) else {
        return vec![];
    };
    let (material, thickness_m) = (part.material(), part.thickness().map(Length::si));
    let mut found: Vec<Offer> = vec![];
    let mut offer = |material: &str, t: Option<f64>| {
        let as_asked = match (t, thickness_m) {
            (Some(t), Some(wanted)) => same_thickness(t, wanted),
            _ => true,
        };
        let known = found.iter().any(|o| {
            o.material == material
                && match (o.thickness_m, t) {
                    (Some(a), Some(b)) => same_thickness(a, b),
                    _ => true,
                }
        });
        if !known {
            found.push(Offer {
                material: material.into(),
                thickness_m: t,
                as_asked,
                supply: Supply::of(setup, material, t),
            });
        }
    };
    offer(material, thickness_m);
    let sheets = &setup.shop.shop.sheets;
    // The shop's, the wanted thickness before others that are near.
    for exact in [true, false] {
        for sheet in sheets {
            let t = sheet.thickness.si();
            match thickness_m {
                None => offer(&sheet.material, None),
                Some(wanted) if exact && same_thickness(t, wanted) => {
                    offer(&sheet.material, Some(wanted));
                }
                Some(wanted) if !exact && stands_in(t, wanted) => {
                    offer(&sheet.material, Some(t));
                }
                Some(_) => {}
            }
        }
    }
    for known in setup
        .materials
        .materials()
        .filter(|m| m.role == Role::Sheet)
    {
        match thickness_m {
            None => offer(&known.name, None),
            Some(wanted) => {
                if let Some(t) = nearest(known, wanted) {
                    offer(&known.name, Some(t));
                }
            }
        }
    }
    found
}

/// The stocked thickness of a material that is nearest to `wanted`, as a ratio; `None` where none is near.
fn nearest(material: &Material, wanted: f64) -> Option<f64> {
    let stocked = material.stock.as_ref()?.thicknesses_m.iter().copied();
    let off = |t: f64| (t / wanted).ln().abs();
    let t = stocked.min_by(|a, b| off(*a).total_cmp(&off(*b)))?;
    let near = stands_in(t, wanted);
    near.then(|| if same_thickness(t, wanted) { wanted } else { t })
}

/// The shop's file with the sheets that would have to be bought; they have no price.
pub(super) fn with_bought(setup: &Setup, offers: &[Offer]) -> ShopFile {
    let mut wider = setup.shop.clone();
    for offer in offers.iter().filter(|o| o.supply == Supply::ToBuy) {
        let stock = setup.materials.get(&offer.material).ok();
        let Some(stock) = stock.and_then(|m| m.stock.as_ref()) else {
            continue;
        };
        let (short_m, long_m) = stock.sheets_m.last().copied().unwrap_or((1.22, 2.44));
        let thicknesses = match offer.thickness_m {
            Some(t) => vec![t],
            None => stock.thicknesses_m.clone(),
        };
        let length = |value: f64| {
            Length(Measure {
                value,
                plus_minus: 0.0,
            })
        };
        wider
            .shop
            .sheets
            .extend(thicknesses.into_iter().map(|t| SheetForSale {
                name: format!("{} {:.1} mm, to buy", offer.material, t * 1e3),
                material: offer.material.clone(),
                thickness: length(t),
                width: length(short_m),
                height: length(long_m),
                price: 0.0,
                merchant: None,
                on_hand: None,
                days_to_arrive: None,
                bad_areas: vec![],
                measured: None,
            }));
    }
    wider
}

/// The job with the part at `index` alone, of the sheet that is offered.
pub(super) fn one(kept: &Kept, index: usize, offer: &Offer) -> Kept {
    let part = kept.parts.get(index).map(|(at, part)| {
        // As asked it is left alone, with its own uncertainty and the sheet that it names.
        if part.material() == offer.material && offer.as_asked {
            return (at.clone(), part.clone());
        }
        let other = offer.thickness_m.filter(|_| !offer.as_asked);
        let thickness = other.map(|value| {
            Length(Measure {
                value,
                plus_minus: 0.0,
            })
        });
        (at.clone(), part.clone().of(&offer.material, thickness))
    });
    Kept {
        parts: part.into_iter().collect(),
    }
}
