//! What a plan stands on: the job, the shop, the catalogues, the calendar; the same for the nominal run and every draw.

use super::practice;
use std::collections::BTreeMap;

use jiff::civil::Date;

use super::rack::InRack;
use super::values::Values;
use crate::bond;
use crate::climate::Climate;
use crate::cost::{Earning, Overhead, PricedOn, Tax, Terms};
use crate::error::{Error, Result};
use crate::file::Share;
use crate::heat::HotAirGun;
use crate::heat::calibrate::Calibration;
use crate::job::{JobFile, Place};
use crate::material::{Catalogue, Material, Properties};
use crate::money::Currency;
use crate::outline::Outline;
use crate::promise::{Calendar, Window};
use crate::shape::Faces;
use crate::shop::{OffcutInRack, SheetForSale, Shop, ShopFile, WEEKDAYS};

/// What a part is cut from.
#[derive(Debug, Clone, Copy)]
pub(super) struct Stuff<'s> {
    /// The catalogue's name of the material.
    pub(super) material: &'s str,
    /// Thickness, as sold or as measured. [m]
    pub(super) thickness_m: f64,
    /// Name or lot of the sheet, where the job names one.
    pub(super) sheet: Option<&'s str>,
}

impl<'s> Stuff<'s> {
    pub(super) fn of(material: &'s str, thickness_m: f64, sheet: Option<&'s String>) -> Self {
        Self {
            material,
            thickness_m,
            sheet: sheet.map(String::as_str),
        }
    }
}

/// Everything that does not change from draw to draw.
pub(super) struct Setup<'a> {
    pub(super) job: &'a JobFile,
    pub(super) shop: &'a ShopFile,
    pub(super) materials: &'a Catalogue,
    /// Sheets of the rack that the shop measured.
    pub(super) rack: Vec<InRack>,
    pub(super) bonds: &'a bond::Catalogue,
    /// The gun, narrowed by the shop's coupons.
    pub(super) gun: HotAirGun,
    /// What the coupons told, where there are some.
    pub(super) trials: Option<Calibration>,
    pub(super) calendar: Calendar,
    pub(super) currency: Currency,
    /// When work starts, from the first midnight. [s]
    pub(super) start_s: f64,
    /// When the vehicle comes in again; `None` where it stays. [s]
    pub(super) back_s: Option<f64>,
    /// Vehicles alike in the batch.
    pub(super) sets: u32,
}

impl<'a> Setup<'a> {
    pub(super) fn new(
        job: &'a JobFile,
        shop: &'a ShopFile,
        materials: &'a Catalogue,
    ) -> Result<Self> {
        let start = job.job.start()?;
        let calendar = calendar(&shop.shop, start.date())?;
        let rack = InRack::all(&shop.shop, materials)?;
        let (gun, trials) = super::gun::known(shop, materials, &rack)?;
        Ok(Self {
            job,
            shop,
            materials,
            gun,
            trials,
            rack,
            bonds: bond::Catalogue::standard()?,
            start_s: calendar.instant(start)?,
            back_s: (job.job.vehicle_back()?)
                .map(|back| calendar.instant(back))
                .transpose()?,
            sets: job.job.sets.unwrap_or(1),
            calendar,
            currency: Currency::named(&shop.shop.currency)?,
        })
    }

    /// Offcuts that are in the rack when work starts, with their outlines.
    pub(super) fn offcuts(&self) -> impl Iterator<Item = (&OffcutInRack, &Outline)> {
        let there = |name: &str| self.shop.to_come(name, self.first_day()).is_none();
        let all = self.shop.offcuts_in_rack();
        all.filter(move |(offcut, _)| there(&offcut.name))
    }

    /// The day on which work starts, as the job's file writes it.
    pub(super) fn first_day(&self) -> &str {
        self.job.job.start.get(..10).unwrap_or_default()
    }

    /// The shop's terms of price.
    pub(super) fn terms(&self) -> Terms {
        let rates = &self.shop.shop.rates;
        let earning = match (rates.margin, rates.markup) {
            (Some(margin), _) => Earning::Margin { share: margin.si() },
            (None, Some(markup)) => Earning::Markup { share: markup.si() },
            (None, None) => Earning::Markup { share: 0.0 },
        };
        let quote = self.job.job.quote.as_ref();
        Terms {
            currency: self.currency,
            overhead: match rates.overhead_on_labour {
                Some(share) => Overhead::OnLabour { share: share.si() },
                None => Overhead::PerHour {
                    rate: rates.overhead_per_hour,
                },
            },
            priced_on: match rates.cover {
                Some(share) => PricedOn::Percentile { share: share.si() },
                None => PricedOn::Mean,
            },
            earning,
            fees: rates.fees.map_or(0.0, Share::si),
            minimum: rates.minimum.unwrap_or(0.0),
            discount: quote.and_then(|q| q.discount).map_or(0.0, Share::si),
            tax: Tax {
                rate: rates.tax.si(),
                exempt: rates.tax_exempt.clone(),
                by: rates.tax_by.unwrap_or_default(),
            },
            rounding: rates.rounding.unwrap_or_default(),
        }
    }

    /// Cost of an attended hour with its overhead.
    pub(super) fn an_hour(&self) -> f64 {
        let rates = &self.shop.shop.rates;
        let labour = rates.labour_per_hour;
        let on_labour = rates.overhead_on_labour.map_or(0.0, Share::si);
        labour * (1.0 + on_labour) + rates.overhead_per_hour
    }

    /// The air of the shop on the days of this run, `rise_k` warmer than usual.
    ///
    /// A day between its coldest hour, 6 in the morning, and the open hours, 9 to 18.
    pub(super) fn climate(&self, rise_k: f64) -> Result<Climate> {
        let climate = &self.shop.shop.climate;
        let (day, night) = (climate.day.si(), climate.night.si());
        let mut air_k = [0.0; 24];
        for (hour, k) in air_k.iter_mut().enumerate() {
            let warm = match hour {
                0..=6 => (6 - hour) as f64 / 12.0,
                7..=8 => (hour - 6) as f64 / 3.0,
                9..=18 => 1.0,
                _ => (30 - hour) as f64 / 12.0,
            };
            *k = night + (day - night) * warm + rise_k;
        }
        Climate::daily(&air_k, &[climate.humidity.si(); 24])
    }

    /// A place of the job.
    pub(super) fn place(&self, name: &str) -> Result<&'a Place> {
        let places = &self.job.job.places;
        let known = places.iter().map(|p| p.name.as_str());
        places
            .iter()
            .find(|p| p.name == name)
            .ok_or_else(|| Error::unknown("place", name, known))
    }

    /// The measured sheet that a part of this stuff is cut from: the one that the job names, else the first of the shop's
    /// file that fits.
    pub(super) fn measured(&self, stuff: Stuff) -> Option<&InRack> {
        let fits = |own: &&InRack| own.is(stuff.material, stuff.thickness_m);
        let meant = |own: &&InRack| stuff.sheet.is_none_or(|name| own.called(name));
        self.rack.iter().filter(fits).find(meant)
    }

    /// The sheets of the shop that a part of this stuff may be cut from.
    pub(super) fn sheets(&self, stuff: Stuff) -> impl Iterator<Item = &'a SheetForSale> {
        let sheets = self.shop.shop.sheets.iter();
        sheets.filter(move |sheet| {
            sheet.material == stuff.material
                && same_thickness(sheet.thickness.si(), stuff.thickness_m)
                && stuff.sheet.is_none_or(|name| called(sheet, name))
        })
    }

    /// The same with another shop's file: one with more sheets.
    pub(super) fn in_shop<'b>(&self, shop: &'b ShopFile) -> Setup<'b>
    where
        'a: 'b,
    {
        Setup {
            job: self.job,
            shop,
            materials: self.materials,
            rack: self.rack.clone(),
            bonds: self.bonds,
            gun: self.gun.clone(),
            trials: self.trials.clone(),
            calendar: self.calendar.clone(),
            currency: self.currency,
            start_s: self.start_s,
            back_s: self.back_s,
            sets: self.sets,
        }
    }

    /// Faces of blanks of this material in any thickness: one-sided where a measured sheet is.
    pub(super) fn faces(&self, material: &str) -> Faces {
        let one_sided = |s: &&InRack| s.of(material) && s.faces() == Faces::OneSided;
        match self.rack.iter().find(one_sided) {
            Some(own) => own.faces(),
            None => Faces::Alike,
        }
    }

    /// The material of a part with its drawn properties: those of its sheet where that was measured.
    pub(super) fn material(
        &self,
        stuff: Stuff,
        values: &mut Values,
    ) -> Result<(&Material, Properties)> {
        let (material, whose) = match self.measured(stuff) {
            Some(own) => (&own.sheet.material, format!("sheet {}", own.name)),
            None => (
                self.materials.get(stuff.material)?,
                stuff.material.to_string(),
            ),
        };
        let mut properties = material.properties();
        for (property, law) in material.uncertain() {
            let key = format!("{whose}: {}", property.key().replace('_', " "));
            properties.set(property, values.take(&key, law)?)?;
        }
        Ok((material, properties))
    }

    /// Sheets and offcuts of a material and a thickness, price per square metre of the cheapest; `None` where there are none.
    pub(super) fn price_per_m2(&self, stuff: Stuff) -> Option<f64> {
        self.sheets(stuff)
            .map(|s| s.price / (s.width.si() * s.height.si()))
            .min_by(f64::total_cmp)
    }
}

/// Whether a sheet of the shop goes by this name or this lot.
pub(super) fn called(sheet: &SheetForSale, name: &str) -> bool {
    let lot = sheet.measured.as_ref().and_then(|m| m.lot.as_deref());
    sheet.name == name || lot == Some(name)
}

/// Whether a sheet sold as `a` and one measured as `b` are the same: within the usual tolerance.
pub(crate) fn same_thickness(a_m: f64, b_m: f64) -> bool {
    (a_m - b_m).abs() <= (practice::SAME_SHARE.value * a_m.min(b_m)).max(practice::SAME_BY.value)
}

fn calendar(shop: &Shop, first_day: Date) -> Result<Calendar> {
    let windows = |day: &str| -> Vec<Window> {
        let texts = shop.hours.open.get(day).map_or(&[][..], Vec::as_slice);
        texts.iter().filter_map(|t| Window::parse(t).ok()).collect()
    };
    let closed: Vec<Date> = shop
        .hours
        .closed
        .iter()
        .filter_map(|d| Date::strptime("%Y-%m-%d", d).ok())
        .collect();
    let slot_s = shop.hours.slot.map_or(1800.0, super::super::file::Time::si);
    Calendar::new(first_day, &WEEKDAYS.map(windows), &closed, slot_s)
}

/// Names that job and shop files may use, with the materials of the standard catalogue.
///
/// # Errors
/// A fault of the catalogues that come with the library.
pub fn names() -> Result<crate::file::Names> {
    names_with(Catalogue::standard()?)
}

/// Names that job and shop files may use, with the materials of `materials`.
///
/// # Errors
/// A fault of the catalogues that come with the library.
pub fn names_with(materials: &Catalogue) -> Result<crate::file::Names> {
    use crate::material::Role;
    let of = |roles: &[Role]| {
        let mut names = vec![];
        for m in materials.materials().filter(|m| roles.contains(&m.role)) {
            names.push(m.name.clone());
        }
        names
    };
    let adhesives = bond::Catalogue::standard()?
        .names()
        .map(ToString::to_string)
        .collect();
    Ok(BTreeMap::from([
        ("material", of(&[Role::Sheet, Role::Body])),
        ("foam", of(&[Role::Gasket])),
        ("adhesive", adhesives),
    ]))
}

/// A word of an enumeration as its file writes it.
pub(super) fn plain(word: &impl serde::Serialize) -> String {
    match serde_json::to_value(word) {
        Ok(serde_json::Value::String(text)) => text,
        _ => String::new(),
    }
}
