//! The shop file: what stands in the rack and what it costs, the tools, the rates, the hours, the climate.

mod known;
mod rack;

use std::collections::BTreeMap;
use std::path::Path;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::cost::{Group, Model, TaxBy};
use crate::error::{Problem, Result};
use crate::file::{
    self, Area, Length, Mass, Names, Power, Share, Source, Speed, Temperature, Time, Volume,
    VolumeFlow,
};
use crate::job::text_of;
use crate::material::Texture;
use crate::money::{Currency, Rounding};
use crate::outline::Outline;
use crate::promise::Window;
use crate::spread::Law;

pub use known::{Known, Learned, add_materials};
pub use rack::{BadArea, Corner, Merchant, OffcutInRack, SheetForSale};

/// How sheet is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum CutBy {
    /// A router held in the hands, to a template or a trammel.
    HandRouter,
    /// Straight through-cuts: table saw, or score and snap.
    Saw,
    /// A numerically controlled router.
    Cnc,
}

/// A three-point time, for one piece of work at the shop's usual pace.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ThreePoint {
    /// When all goes well.
    #[schemars(extend("least" = "0 s", "most" = "7 d"))]
    pub low: Time,
    /// Most often.
    #[schemars(extend("least" = "0 s", "most" = "7 d"))]
    pub likely: Time,
    /// When it goes badly.
    #[schemars(extend("least" = "0 s", "most" = "7 d"))]
    pub high: Time,
}

impl ThreePoint {
    /// As a PERT law. [s]
    pub fn law(&self) -> Law {
        if self.low.si() < self.high.si() {
            Law::Pert {
                low: self.low.si(),
                likely: self.likely.si(),
                high: self.high.si(),
            }
        } else {
            Law::Fixed {
                value: self.likely.si(),
            }
        }
    }
}

/// The air of the shop over a day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ShopClimate {
    /// Air temperature while the shop is open.
    #[schemars(extend("least" = "-20 °C", "most" = "50 °C"))]
    pub day: Temperature,
    /// Air temperature in the coldest hour of the night.
    #[schemars(extend("least" = "-30 °C", "most" = "50 °C"))]
    pub night: Temperature,
    /// Relative humidity.
    #[schemars(extend("least" = "1 %", "most" = "100 %"))]
    pub humidity: Share,
}

/// What was measured on one sheet of the rack: these numbers take the place of the catalogue's.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("dependentRequired" = {
    "piece_mass": ["piece_area"],
    "piece_area": ["piece_mass"],
    "square_before": ["square_after"],
    "square_after": ["square_before"],
    "limp_after": ["limp_distance"],
    "limp_distance": ["limp_after"]
}))]
pub struct SheetMeasured {
    /// Lot or delivery.
    pub lot: Option<String>,
    /// Thickness by caliper.
    #[schemars(extend("least" = "0.3 mm", "most" = "60 mm"))]
    pub thickness: Length,
    /// Mass of a piece on the scales; with `piece_area`.
    #[schemars(extend("least" = "0.1 g", "most" = "50 kg"))]
    pub piece_mass: Option<Mass>,
    /// Area of that piece, one face.
    #[schemars(extend("least" = "1 cm2", "most" = "10 m2"))]
    pub piece_area: Option<Area>,
    /// Side of a square, 100 mm as a rule, before it was heated free; with `square_after`.
    #[schemars(extend("least" = "10 mm", "most" = "1000 mm"))]
    pub square_before: Option<Length>,
    /// The side that shrank most, cold again.
    #[schemars(extend("least" = "5 mm", "most" = "1000 mm"))]
    pub square_after: Option<Length>,
    /// Time until it was limp under the shop's gun, turned over every few seconds; with `limp_distance`.
    #[schemars(extend("least" = "2 s", "most" = "30 min"))]
    pub limp_after: Option<Time>,
    /// Distance of the nozzle in that trial.
    #[schemars(extend("least" = "10 mm", "most" = "1000 mm"))]
    pub limp_distance: Option<Length>,
    /// Which side is textured.
    pub texture: Option<Texture>,
    /// Whether a protective film is on it.
    pub film: Option<bool>,
}

/// How sheet is cut, and what is worth keeping.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cutting {
    /// The tool.
    pub by: CutBy,
    /// Width of the cut: the bit's diameter, or the blade's kerf.
    #[schemars(extend("least" = "0.5 mm", "most" = "20 mm"))]
    pub kerf: Length,
    /// Outside diameter of the guide bushing that follows router templates; a bit with a bearing where nothing is said.
    #[schemars(extend("least" = "6 mm", "most" = "60 mm"))]
    pub bushing: Option<Length>,
    /// Strip along every edge of a sheet that is not used.
    #[schemars(extend("least" = "0 mm", "most" = "100 mm"))]
    pub trim: Length,
    /// Feed along the cut.
    #[schemars(extend("least" = "0.05 m/min", "most" = "20 m/min"))]
    pub feed: Speed,
    /// Deepest cut in one pass.
    #[schemars(extend("least" = "0.5 mm", "most" = "30 mm"))]
    pub pass_depth: Length,
    /// Least width of an offcut that goes back into the rack; of a disc from the middle of a ring, its diameter.
    #[schemars(extend("least" = "20 mm", "most" = "1000 mm"))]
    pub keep_width: Length,
    /// Least length of an offcut that goes back into the rack.
    #[schemars(extend("least" = "20 mm", "most" = "2000 mm"))]
    pub keep_length: Length,
    /// Share of its price that a kept offcut is worth on the shelf.
    #[schemars(extend("least" = "0 %", "most" = "100 %"))]
    pub offcut_worth: Share,
    /// Price of one bit or blade.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub cutter_price: f64,
    /// Length that one bit or blade cuts.
    #[schemars(extend("least" = "1 m", "most" = "100000 m"))]
    pub cutter_life: Length,
}

/// A hot-air gun.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("oneOf" = [
    {"required": ["setting"], "not": {"required": ["air"]}},
    {"required": ["air", "airflow"], "not": {"required": ["setting"]}}
]))]
pub struct Gun {
    /// What the shop calls it.
    pub name: String,
    /// For a two-setting gun of unknown airflow: "I" or "II".
    #[schemars(extend("enum" = ["I", "II"]))]
    pub setting: Option<String>,
    /// For a gun with a dial: the air temperature that is set.
    #[schemars(extend("least" = "50 °C", "most" = "760 °C"))]
    pub air: Option<Temperature>,
    /// For a gun with a dial: its airflow.
    #[schemars(extend("least" = "20 L/min", "most" = "900 L/min"))]
    pub airflow: Option<VolumeFlow>,
    /// Its rated power.
    #[schemars(extend("least" = "100 W", "most" = "5 kW"))]
    pub power: Option<Power>,
    /// Diameter of the nozzle; 34 mm where nothing is said.
    #[schemars(extend("least" = "4 mm", "most" = "80 mm"))]
    pub nozzle: Option<Length>,
    /// Timed trials with this gun: two are enough to narrow every heating time.
    #[serde(default)]
    pub coupons: Vec<Coupon>,
}

/// A timed trial: a piece of sheet that was heated until it went limp.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Coupon {
    /// Its material, by the catalogue's name.
    #[schemars(extend("format" = "material"))]
    pub material: String,
    /// Its thickness, measured.
    #[schemars(extend("least" = "0.5 mm", "most" = "30 mm"))]
    pub thickness: Length,
    /// Width of the heated patch; 50 mm where nothing is said.
    #[schemars(extend("least" = "5 mm", "most" = "1 m"))]
    pub width: Option<Length>,
    /// Length of the heated patch; 100 mm where nothing is said.
    #[schemars(extend("least" = "5 mm", "most" = "2 m"))]
    pub length: Option<Length>,
    /// Distance of the nozzle.
    #[schemars(extend("least" = "20 mm", "most" = "600 mm"))]
    pub distance: Length,
    /// How often it was turned over; left out where it was not.
    #[schemars(extend("least" = "1 s", "most" = "5 min"))]
    pub turn_every: Option<Time>,
    /// Seconds from the start of heat until it bent under its own weight.
    #[schemars(extend("least" = "2 s", "most" = "1 h"))]
    pub limp_after: Time,
    /// Air of the shop at the trial; 20 °C where nothing is said.
    #[schemars(extend("least" = "-10 °C", "most" = "45 °C"))]
    pub air: Option<Temperature>,
}

/// An adhesive on the shelf.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct AdhesiveOnShelf {
    /// Its family, by the catalogue's name.
    #[schemars(extend("format" = "adhesive"))]
    pub family: String,
    /// Volume of a pack.
    #[schemars(extend("least" = "1 mL", "most" = "20 L"))]
    pub pack: Volume,
    /// Price of a pack.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub price: f64,
}

/// Material bought by area or by the piece.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Consumables {
    /// Price of a square metre of foam.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub foam_per_m2: f64,
    /// Price of a square metre of vinyl film.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub vinyl_per_m2: f64,
    /// Price of a square metre of covering fabric.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub fabric_per_m2: f64,
    /// Price of a litre of paint, filler, primer or texture, on average.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub coating_per_litre: f64,
    /// Price of a screw, clip or rivet nut.
    #[schemars(range(min = 0.0, max = 1e4))]
    pub fastener: f64,
    /// Price of a trim clip; that of a screw where nothing is said.
    #[schemars(range(min = 0.0, max = 1e4))]
    pub clip: Option<f64>,
    /// Gloves, masks, blades, wipes for one working hour.
    #[schemars(range(min = 0.0, max = 1e4))]
    pub protection_per_hour: f64,
    /// Price of a kilowatt-hour.
    #[schemars(range(min = 0.0, max = 1e3))]
    pub energy_per_kwh: f64,
}

/// What an hour costs, and how a price is made of a cost.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("oneOf" = [{"required": ["margin"]}, {"required": ["markup"]}],
    "if" = {"required": ["overhead_on_labour"]},
    "then" = {"properties": {"overhead_per_hour": {"maximum": 0}}}))]
pub struct Rates {
    /// Cost of a productive hour of one fabricator.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub labour_per_hour: f64,
    /// Overhead on an attended hour.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub overhead_per_hour: f64,
    /// Margin: share of the price. Give this or `markup`, not both.
    #[schemars(extend("least" = "0 %", "most" = "95 %"))]
    pub margin: Option<Share>,
    /// Markup: share of the cost. Give this or `margin`, not both.
    #[schemars(extend("least" = "0 %", "most" = "1000 %"))]
    pub markup: Option<Share>,
    /// Least net price of any job, before a discount.
    #[schemars(range(min = 0.0, max = 1e6))]
    pub minimum: Option<f64>,
    /// Tax on the net price.
    #[schemars(extend("least" = "0 %", "most" = "100 %"))]
    pub tax: Share,
    /// Learning from one unit to its double: 90 % means that a doubling takes a tenth off.
    #[schemars(extend("least" = "50 %", "most" = "100 %"))]
    pub learning: Option<Share>,
    /// What `learning` is a slope of: each unit by itself, or the mean so far; the unit where nothing is said.
    pub learning_model: Option<Model>,
    /// Overhead as a share of the labour lines, in place of `overhead_per_hour`, which is then 0.
    #[schemars(extend("least" = "0 %", "most" = "1000 %"))]
    pub overhead_on_labour: Option<Share>,
    /// Fees as a share of the price: card, marketplace.
    #[schemars(extend("least" = "0 %", "most" = "50 %"))]
    pub fees: Option<Share>,
    /// Chance with which the price, without the earning, covers the cost; the mean of the cost where nothing is said.
    #[schemars(extend("least" = "5 %", "most" = "99 %"))]
    pub cover: Option<Share>,
    /// Where tax is rounded: once on the total, or on each line; the total where nothing is said.
    pub tax_by: Option<TaxBy>,
    /// Lines that are not taxed; in some places labour.
    #[serde(default)]
    pub tax_exempt: Vec<Group>,
    /// What becomes of half a minor unit; half-up where nothing is said.
    pub rounding: Option<Rounding>,
    /// Price of a delivery of sheet, once a job in which sheet is bought that names no merchant.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub delivery: Option<f64>,
    /// What a day costs by which a sheet comes later: the room, a customer without his vehicle; nothing where nothing is said.
    #[schemars(range(min = 0.0, max = 1e5))]
    pub waiting_per_day: Option<f64>,
}

/// When the shop is open.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Hours {
    /// Opening hours by weekday: `monday = ["08:30-12:30", "13:00-17:30"]`.
    #[schemars(extend(
        "propertyNames" = {"enum": WEEKDAYS},
        "minProperties" = 1,
        "additionalProperties" = {"type": "array", "items": {"type": "string", "pattern": Window::PATTERN, "examples": ["08:30-12:30"]}}
    ))]
    pub open: BTreeMap<String, Vec<String>>,
    /// Days on which it is closed: "2026-12-25".
    #[serde(default)]
    #[schemars(extend("items" = {"type": "string", "format": "date", "examples": ["2026-12-25"]}))]
    pub closed: Vec<String>,
    /// Hand-back times are rounded up to this.
    #[schemars(extend("least" = "1 min", "most" = "12 h"))]
    pub slot: Option<Time>,
}

/// Names of the weekdays, Monday first.
pub const WEEKDAYS: [&str; 7] = [
    "monday",
    "tuesday",
    "wednesday",
    "thursday",
    "friday",
    "saturday",
    "sunday",
];

/// Three-point times of the shop; a time that is not given is common practice, without source.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Times {
    /// Measuring one place.
    pub measure: Option<ThreePoint>,
    /// Making a card template of one pattern.
    pub template: Option<ThreePoint>,
    /// Setting the router or saw up, once a job.
    pub cut_set_up: Option<ThreePoint>,
    /// Marking out, clamping and cleaning the edges of one blank, without the cut itself.
    pub cut_handling: Option<ThreePoint>,
    /// Setting the hot-air station up, once a job.
    pub heat_set_up: Option<ThreePoint>,
    /// Pressing, aligning and letting go, without the hold itself.
    pub form: Option<ThreePoint>,
    /// Trying one part on the vehicle, marking, trimming, drilling.
    pub trial_fit: Option<ThreePoint>,
    /// Preparing, gluing and clamping one joint.
    pub bond: Option<ThreePoint>,
    /// Fitting one part to the vehicle.
    pub fit: Option<ThreePoint>,
    /// Polarity, rattle and seal of one part.
    pub check: Option<ThreePoint>,
    /// Cleaning up and handing the vehicle back, once a job.
    pub hand_back: Option<ThreePoint>,
}

/// A shop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(title = "mountwright shop")]
pub struct Shop {
    /// Version of this file's form: 1.
    #[schemars(extend("const" = crate::file::SCHEMA))]
    pub schema: u32,
    /// The shop's name.
    pub name: String,
    /// The file of its memory, from the folder of this file: rack, patterns, jobs. It is made when first needed.
    pub memory: Option<String>,
    /// Whether it is made up.
    #[serde(default)]
    pub invented: bool,
    /// Currency, by its ISO 4217 code: "EUR"; "XTS" is the code for tests.
    #[schemars(extend("pattern" = "^[A-Z]{3}$"))]
    pub currency: String,
    /// Fabricators at work.
    #[schemars(range(min = 1, max = 8))]
    pub fabricators: u32,
    /// The air of the shop.
    pub climate: ShopClimate,
    /// Who sells sheet, and what his deliveries and cuts cost.
    #[serde(default)]
    #[schemars(length(max = 100))]
    pub merchants: Vec<Merchant>,
    /// Sheets that can be bought.
    #[schemars(length(max = 500))]
    pub sheets: Vec<SheetForSale>,
    /// Offcuts in the rack.
    #[serde(default)]
    #[schemars(length(max = 5000))]
    pub offcuts: Vec<OffcutInRack>,
    /// How sheet is cut.
    pub cutting: Cutting,
    /// The gun that heats.
    pub gun: Gun,
    /// Adhesives on the shelf.
    #[schemars(length(max = 100))]
    pub adhesives: Vec<AdhesiveOnShelf>,
    /// What is used up.
    pub consumables: Consumables,
    /// Rates.
    pub rates: Rates,
    /// Opening hours.
    pub hours: Hours,
    /// Share of formed parts that come out wrong at a first try; 10 % where nothing is said (common practice, no source).
    #[schemars(extend("least" = "0 %", "most" = "80 %"))]
    pub spoilage: Option<Share>,
    /// Times of the shop.
    #[serde(default)]
    pub times: Times,
}

/// A shop with the place of each of its keys, for messages.
#[derive(Debug, Clone)]
pub struct ShopFile {
    /// What it says.
    pub shop: Shop,
    /// Where it says it.
    pub source: Source,
    /// Outlines of the offcuts by their name.
    pub offcuts: BTreeMap<String, Outline>,
    /// What the shop's memory knows beyond the file; `None` without a memory.
    pub known: Option<Known>,
}

impl ShopFile {
    /// Reads the text of a shop file; `path` is for messages, `names` are the materials and adhesives that may be named.
    ///
    /// # Errors
    /// [`Error::Job`] with every fault of the file and its line.
    pub fn parse(path: &str, text: &str, names: &Names) -> Result<Self> {
        let (shop, source) = file::read::<Shop>(path, text, names, &[("merchant", "merchants")])?;
        let mut problems = faults(&shop, &source);
        let folder = Path::new(path).parent().unwrap_or(Path::new(""));
        let offcuts = rack::outlines(&shop, &source, folder, &mut problems);
        if problems.is_empty() {
            Ok(Self {
                shop,
                source,
                offcuts,
                known: None,
            })
        } else {
            Err(source.fault(problems))
        }
    }

    /// Reads a shop file.
    ///
    /// # Errors
    /// [`Error::Io`] where it cannot be read, [`Error::Job`] with every fault and its line.
    pub fn read(path: &str, names: &Names) -> Result<Self> {
        Self::parse(path, &text_of(path)?, names)
    }
}

/// Measurements of a sheet that say nothing without each other.
fn halves(shop: &Shop, source: &Source) -> Vec<Problem> {
    let mut problems = vec![];
    let mut say = |field: &str, message: &str| problems.push(source.problem(field, message));
    for (i, sheet) in shop.sheets.iter().enumerate() {
        let Some(m) = &sheet.measured else { continue };
        for (one, other, given) in [
            (
                "piece_mass",
                "piece_area",
                [m.piece_mass.is_some(), m.piece_area.is_some()],
            ),
            (
                "square_before",
                "square_after",
                [m.square_before.is_some(), m.square_after.is_some()],
            ),
            (
                "limp_after",
                "limp_distance",
                [m.limp_after.is_some(), m.limp_distance.is_some()],
            ),
        ] {
            if given[0] != given[1] {
                say(
                    &format!(
                        "sheets[{i}].measured.{}",
                        if given[0] { one } else { other }
                    ),
                    &format!("{one} and {other} belong together: give both or neither"),
                );
            }
        }
    }
    problems
}

fn faults(shop: &Shop, source: &Source) -> Vec<Problem> {
    let mut problems = halves(shop, source);
    problems.extend(rack::faults(shop, source));
    let mut say = |field: &str, message: &str| problems.push(source.problem(field, message));
    match (shop.rates.margin, shop.rates.markup) {
        (Some(_), Some(_)) => say(
            "rates.markup",
            "margin and markup are both given: keep the one that the shop means",
        ),
        (None, None) => say(
            "rates.margin",
            "missing; give margin (share of the price) or markup (share of the cost)",
        ),
        _ => {}
    }
    if shop.rates.overhead_on_labour.is_some() && shop.rates.overhead_per_hour > 0.0 {
        say(
            "rates.overhead_on_labour",
            "overhead is given by the hour and on labour: keep one, with overhead_per_hour = 0 for this one",
        );
    }
    let gun = &shop.gun;
    match (&gun.setting, gun.air) {
        (Some(_), Some(_)) => say(
            "gun.setting",
            "a gun has a setting (I or II) or an air temperature, not both",
        ),
        (None, None) => say(
            "gun.setting",
            "missing; give setting = \"I\" or \"II\", or the air temperature of the dial",
        ),
        _ => {}
    }
    if gun.air.is_some() && gun.airflow.is_none() {
        say(
            "gun.airflow",
            "missing; a gun with a dial needs its airflow (see its plate or manual)",
        );
    }
    if shop.climate.night.si() > shop.climate.day.si() {
        say(
            "climate.night",
            "the night is warmer than the day: change them over",
        );
    }
    if shop.climate.humidity.si() <= 0.0 {
        say("climate.humidity", "allowed is 1 % to 100 %");
    }
    for (day, windows) in &shop.hours.open {
        if !WEEKDAYS.contains(&day.as_str()) {
            let message = format!("unknown weekday; allowed are: {}", WEEKDAYS.join(", "));
            say(&format!("hours.open.{day}"), &message);
        }
        let mut end = 0.0;
        for (i, text) in windows.iter().enumerate() {
            match Window::parse(text) {
                Ok(window) if window.from_s >= end => end = window.to_s,
                _ => say(
                    &format!("hours.open.{day}[{i}]"),
                    "must be opening and closing times in order, such as \"08:30-12:30\"",
                ),
            }
        }
    }
    if shop.hours.open.values().all(Vec::is_empty) {
        say(
            "hours.open",
            "the shop is never open: give at least one day, monday = [\"08:30-17:00\"]",
        );
    }
    for (i, day) in shop.hours.closed.iter().enumerate() {
        if jiff::civil::Date::strptime("%Y-%m-%d", day).is_err() {
            say(
                &format!("hours.closed[{i}]"),
                "must be a date such as \"2026-12-25\"",
            );
        }
    }
    if let Err(e) = Currency::named(&shop.currency) {
        say("currency", &e.to_string());
    }
    let t = &shop.times;
    for (name, time) in [
        ("measure", t.measure),
        ("template", t.template),
        ("cut_set_up", t.cut_set_up),
        ("cut_handling", t.cut_handling),
        ("heat_set_up", t.heat_set_up),
        ("form", t.form),
        ("trial_fit", t.trial_fit),
        ("bond", t.bond),
        ("fit", t.fit),
        ("check", t.check),
        ("hand_back", t.hand_back),
    ] {
        if let Some(t) = time
            && !(t.low.si() <= t.likely.si() && t.likely.si() <= t.high.si())
        {
            say(
                &format!("times.{name}"),
                "must be in order: low, likely, high",
            );
        }
    }
    problems
}
