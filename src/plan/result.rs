//! What a plan holds: everything, in SI, with the unit in the name; `plan.json` is this, written out.

use serde::Serialize;

use crate::error::{Note, Result};
use crate::material::Ranked;
use crate::mount::Check;
use crate::outline::Outline;
use crate::provenance::Provenance;
use crate::quantity::System;
use crate::spread::percentiles;

/// A figure with its range over the draws.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// At the likeliest value of every input; `None` where it never happens.
    pub nominal: Option<f64>,
    /// One draw in ten is lower; `None` without draws, or where more than half of the draws never get there.
    pub p10: Option<f64>,
    /// Half of the draws are lower.
    pub p50: Option<f64>,
    /// Nine draws in ten are lower.
    pub p90: Option<f64>,
    /// Standard error of the least certain of the three, for independent draws; those of a Latin hypercube know it better.
    pub error: Option<f64>,
}

impl Band {
    /// From the nominal figure and those of the draws; a draw without the figure counts as never.
    ///
    /// # Errors
    /// A figure that is not finite.
    pub fn new(nominal: Option<f64>, draws: &[Option<f64>]) -> Result<Self> {
        let there: Vec<f64> = draws.iter().flatten().copied().collect();
        if there.is_empty() || there.len() * 2 < draws.len() {
            return Ok(Self {
                nominal,
                p10: None,
                p50: None,
                p90: None,
                error: None,
            });
        }
        let band = percentiles(&there)?;
        Ok(Self {
            nominal,
            p10: Some(band.p10),
            p50: Some(band.p50),
            p90: Some(band.p90),
            error: Some(band.error).filter(|error| error.is_finite()),
        })
    }
}

/// The job in short.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JobShort {
    /// What the shop calls it.
    pub name: String,
    /// The vehicle in the shop's own words.
    pub vehicle: String,
    /// Whether it is made up.
    pub invented: bool,
    /// Remarks.
    pub remarks: Option<String>,
    /// When work starts, civil time.
    pub start: String,
    /// How hot the sun makes the places.
    pub sun: String,
    /// Units for people.
    pub units: System,
    /// The text of the job's file, so that the plan can be remembered and made again.
    pub file: String,
}

/// The shop in short.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShopShort {
    /// Its name.
    pub name: String,
    /// Whether it is made up.
    pub invented: bool,
    /// ISO 4217 code.
    pub currency: String,
}

/// A place for which nothing is planned.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Refused {
    /// The place.
    pub place: String,
    /// The parts that were meant for it.
    pub parts: Vec<String>,
    /// Why.
    pub why: String,
    /// What to find out.
    pub find_out: Vec<String>,
    /// Places of the job that may be considered instead.
    pub consider_instead: Vec<String>,
}

/// A measurement as it came in.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Measured {
    /// What was measured.
    pub what: String,
    /// Value, SI.
    pub value: f64,
    /// Half-width of its range, SI.
    pub plus_minus: f64,
    /// SI unit.
    pub unit: String,
}

/// The flat blank of a part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BlankShort {
    /// Longest side of its bounds. [m]
    pub length_m: f64,
    /// Shorter side of its bounds. [m]
    pub width_m: f64,
    /// Net area of one layer. [m²]
    pub area_m2: f64,
    /// Edges of one layer, outside and holes. [m]
    pub edge_length_m: f64,
    /// Length of cut of one layer. [m]
    pub cut_length_m: f64,
    /// Developed length of a bent part with its range. [m]
    pub developed_m: Option<Band>,
    /// Thickness of each layer, back to front. [m]
    pub layer_thicknesses_m: Vec<f64>,
    /// Outline of its first layer, from the blank's origin. [m]
    pub outline: Option<Outline>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// Temperatures of a part while it is heated, formed and set, at the likeliest inputs.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct History {
    /// Time from the start of heat. [s]
    pub t_s: Vec<f64>,
    /// The face that is heated first. [K]
    pub front_k: Vec<f64>,
    /// The other face. [K]
    pub back_k: Vec<f64>,
    /// Mean over the thickness. [K]
    pub mean_k: Vec<f64>,
    /// The coldest point. [K]
    pub coldest_k: Vec<f64>,
}

/// The temperatures that bound a recipe.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LimitsShort {
    /// Limp: bends under its own weight. [K]
    pub limp_k: f64,
    /// Formable: stretches. [K]
    pub formable_k: f64,
    /// Hottest face allowed. [K]
    pub upper_k: f64,
    /// Set: holds its shape. [K]
    pub set_k: f64,
    /// Onset of fumes. [K]
    pub fume_onset_k: Option<f64>,
}

/// Why there is no window, and what would open one.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NoWindow {
    /// Why.
    pub why: String,
    /// What would open one.
    pub remedies: Vec<String>,
}

/// How to heat one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecipeShort {
    /// From the start of heat until the coldest point is soft enough. [s]
    pub opens_s: Band,
    /// From the start of heat until the coldest point is limp, which is what the bench sees: sooner than `opens_s` where
    /// the shape needs more. [s]
    pub limp_s: Band,
    /// From the start of heat until the hottest point or the dose is at its limit. [s]
    pub closes_s: Band,
    /// When heating stops: the middle of the window, or sooner, a quarter of the time to its opening past it. [s]
    pub stop_s: Band,
    /// From limp to the best stop, in each draw. [s]
    pub past_limp_s: Band,
    /// From limp to too hot, in each draw. [s]
    pub window_s: Band,
    /// Heat on for so long after it is seen to be limp, in whole 5 s: in nine draws of ten no later than the best stop, and in half of them at least as soft as the shape needs; 0 for at once. [s]
    pub more_s: Option<f64>,
    /// So long after limp it is too hot in the first draws of ten, in whole 5 s; `None` where it never is. [s]
    pub too_long_s: Option<f64>,
    /// The gun goes off by then, limp or not, from the start of heat: the late end of limp and `more_s`. [s]
    pub latest_s: Option<f64>,
    /// From the stop until the mean is too cold to form. [s]
    pub working_time_s: Band,
    /// From the stop until the hottest point is set. [s]
    pub hold_s: Band,
    /// From the stop until it may be touched. [s]
    pub touch_s: Band,
    /// What closes the window.
    pub closed_by: String,
    /// Whether there is a window at the likeliest inputs.
    pub has_window: bool,
    /// Share of the draws in which there is a window.
    pub window_share: Option<f64>,
    /// Why there is none.
    pub no_window: Option<NoWindow>,
    /// How many more heats the sheet stands.
    pub reheats_left: u32,
    /// What bounds them.
    pub reheats_bound_by: String,
    /// Hottest face. [K]
    pub peak_face_k: Option<f64>,
    /// Coldest point when heating stops. [K]
    pub core_k_at_stop: Option<f64>,
    /// Dose used by one heat, 1 is a visible change of colour.
    pub dose: Option<f64>,
    /// Limp or formable.
    pub need: String,
    /// What lies behind, and how it is turned.
    pub behind: String,
    /// The source of heat.
    pub gun: String,
    /// Nozzle to sheet. [m]
    pub distance_m: f64,
    /// The steps at the bench, in order.
    pub strokes: Vec<String>,
    /// The temperatures that bound it.
    pub limits: LimitsShort,
    /// Temperatures at the likeliest inputs.
    pub history: History,
    /// Hottest that the face of the part behind the foam gets, where the hot sheet is pressed on it. [K]
    pub body_peak_k: Option<Band>,
    /// Its limit. [K]
    pub body_limit_k: Option<f64>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// A glued joint.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JointShort {
    /// What it joins.
    pub name: String,
    /// The adhesive's family.
    pub adhesive: String,
    /// Its family in words.
    pub title: String,
    /// Why this one.
    pub why: String,
    /// What it joins.
    pub substrates: [String; 2],
    /// Glued area. [m²]
    pub area_m2: f64,
    /// Volume with waste. [m³]
    pub amount_m3: f64,
    /// Mixes to be made for all its parts.
    pub batches: u32,
    /// Packs to have at hand for them; `None` where the shop has none.
    pub packs: Option<u32>,
    /// Usual time to lay it and close one joint. [s]
    pub closing_s: f64,
    /// Time until it can no longer be joined, from mixing. [s]
    pub open_s: Band,
    /// Time until it may be handled, from joining at the start of the job in the shop's climate. [s]
    pub handling_s: Band,
    /// Time until it is fully cured. [s]
    pub full_s: Band,
    /// Shear strength at the service temperature, fully cured.
    pub strength: crate::bond::Strength,
    /// Greatest shear load of one joint at the service temperature, by the strength's factor; for planning. [N]
    pub allowable_n: Option<f64>,
    /// What speeds it up safely.
    pub speed_up: Vec<String>,
    /// How much sooner that makes it.
    pub quicker: Vec<crate::bond::Quicker>,
    /// Preparation.
    pub preparation: String,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// One step of a finish.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FinishStep {
    /// What is done.
    pub name: String,
    /// Hands-on time. [s]
    pub attended_s: Band,
    /// Waiting after it, in the shop's climate. [s]
    pub wait_s: Option<Band>,
}

/// One part of the job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartPlan {
    /// What the shop calls it.
    pub name: String,
    /// `strap`, `pressed-pod`, `ring`, `panel`, `folded-panel` or `grille`.
    pub kind: String,
    /// Where it goes.
    pub places: Vec<String>,
    /// Left, right or either.
    pub hand: String,
    /// How many are made.
    pub quantity: u32,
    /// The sheet, by the catalogue's name.
    pub material: String,
    /// The sheet in words.
    pub material_title: String,
    /// Thickness of the finished part's sheet or stack. [m]
    pub thickness_m: f64,
    /// How it is finished.
    pub finish: String,
    /// What was measured.
    pub measured: Vec<Measured>,
    /// The flat blank.
    pub blank: BlankShort,
    /// What is cut, drilled and folded, in order: places from the centre mark, seen from the show face.
    pub bench: Vec<String>,
    /// The plug of a strap and what it is bent to over it.
    pub bends: Vec<String>,
    /// How the blank is cut: from what, how large, after which template.
    pub cut: Vec<String>,
    /// What has to lie ready for it: screws, foam, adhesive, film, tools, with amounts.
    pub at_hand: Vec<String>,
    /// How to heat it.
    pub recipe: Option<RecipeShort>,
    /// Its joint.
    pub joint: Option<JointShort>,
    /// Steps of its finish.
    pub finish_steps: Vec<FinishStep>,
    /// Thickness that the finish adds to a face. [m]
    pub finish_adds_m: Band,
    /// Cautions of the finish.
    pub finish_cautions: Vec<String>,
    /// Checks of the finished mount, at the likeliest inputs.
    pub checks: Vec<Check>,
    /// Share of the draws in which a check fails.
    pub fails_in: Option<f64>,
}

/// One sheet kind of one thickness.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LayoutPlan {
    /// The sheet.
    pub material: String,
    /// Its thickness. [m]
    pub thickness_m: f64,
    /// Name or lot of the sheet, where the job names one.
    pub sheet: Option<String>,
    /// Whole sheets taken from the rack; `buy` holds those that have to be bought.
    pub from_rack: Vec<crate::stock::Purchase>,
    /// What one more piece would cost later; `None` where the rack still has a sheet, or nothing is on sale.
    pub second_visit: Option<SecondVisit>,
    /// The layout.
    #[serde(flatten)]
    pub layout: crate::stock::Layout,
    /// Files of its drawings, one for each sheet used.
    pub drawings: Vec<String>,
}

/// What it would cost to fetch or order one more sheet, because a piece is missing on the day; nothing of it is in the price.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SecondVisit {
    /// The cheapest sheet for it.
    pub sheet: String,
    /// Its price and fees. [currency]
    pub price: f64,
    /// Its delivery, and the waiting for it. [currency]
    pub brought: f64,
    /// Open days of the shop until it is there.
    pub days_to_arrive: f64,
    /// Beside that: the sheet of this layout that becomes neither a part nor an offcut. [currency]
    pub wasted: f64,
}

/// All sheet that comes from one merchant.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct DeliveryPlan {
    /// The merchant; empty where the shop's file names none.
    pub merchant: String,
    /// For the delivery. [currency]
    pub price: f64,
    /// More, because a piece is long. [currency]
    pub oversize_fee: f64,
    /// More, because it is heavy. [currency]
    pub overweight_fee: f64,
    /// The longest side in it. [m]
    pub longest_m: f64,
    /// Its mass. [kg]
    pub mass_kg: f64,
    /// Open days of the shop until all of it is there.
    pub days_to_arrive: f64,
    /// When it is there if it is ordered on the day on which the work starts: as the shop opens.
    pub arrives: String,
}

impl DeliveryPlan {
    /// Nothing yet from this merchant.
    pub(super) fn from(merchant: &str) -> Self {
        Self {
            merchant: merchant.into(),
            ..Self::default()
        }
    }

    /// Price with its surcharges. [currency]
    pub fn total(&self) -> f64 {
        self.price + self.oversize_fee + self.overweight_fee
    }
}

/// One task with its times.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TaskPlan {
    /// Name.
    pub id: String,
    /// The part that it belongs to.
    pub part: Option<String>,
    /// What kind of work.
    pub kind: crate::task::Kind,
    /// Hands-on time. [s]
    pub attended_s: Band,
    /// Its mean over the draws, which the price rests on and an actual time is held against; without draws the likeliest, and what is
    /// expected to be done over. [s]
    pub mean_s: f64,
    /// The same at the usual pace, without what done jobs taught: what they teach is held against it. [s]
    pub usual_s: f64,
    /// What sheet and machine take of both, whoever works: heating, holding, cutting by machine. [s]
    pub fixed_s: f64,
    /// What runs on alone. [s]
    pub wait_s: Option<Band>,
    /// What must be done before.
    pub after: Vec<String>,
}

/// One task on the calendar.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EntryPlan {
    /// The task.
    pub task: String,
    /// Its part.
    pub part: Option<String>,
    /// What kind of work.
    pub kind: crate::task::Kind,
    /// Start, civil time.
    pub start: String,
    /// End of the attended part, civil time.
    pub hands_off: String,
    /// When it is done, civil time.
    pub done: String,
    /// Start, from the first midnight. [s]
    pub start_s: f64,
    /// End of the attended part. [s]
    pub hands_off_s: f64,
    /// When it is done. [s]
    pub done_s: f64,
    /// The stretches of attended work. [s]
    pub pieces_s: Vec<(f64, f64)>,
    /// Which pair of hands, from 0; `None` where none is needed.
    pub hands: Option<u32>,
}

/// All tasks on the calendar at their likeliest times.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SchedulePlan {
    /// In the order of their start.
    pub entries: Vec<EntryPlan>,
    /// Attended time. [s]
    pub attended_s: Band,
    /// From the first start to the hand-back. [s]
    pub elapsed_s: Band,
    /// When the last task is done, civil time.
    pub ready: String,
    /// No order can be done sooner than this, from the first start. [s]
    pub bound_s: f64,
    /// Whether the order is proved best.
    pub proved: bool,
    /// Pairs of hands in the shop.
    pub fabricators: u32,
    /// Opening hours from the first start to the hand-back, from the first midnight. [s]
    pub open_s: Vec<(f64, f64)>,
}

/// A time for which the vehicle is in the shop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct VisitPlan {
    /// What it is in for.
    pub what: String,
    /// From, civil time.
    pub from: String,
    /// To, civil time.
    pub to: String,
}

/// When the vehicle can be promised.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PromisePlan {
    /// Half of the draws are ready by then; at the likeliest times where there are no draws.
    pub p50: String,
    /// Eight draws in ten.
    pub p80: Option<String>,
    /// Nine draws in ten.
    pub p90: Option<String>,
    /// The promise in words.
    pub words: String,
    /// When the vehicle is in the shop, at the likeliest times.
    pub visits: Vec<VisitPlan>,
    /// Share of the draws in which all is ready to be fitted when the vehicle comes in again; `None` where it stays.
    pub ready_to_fit_share: Option<f64>,
}

/// One line of the estimate.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LinePlan {
    /// What is paid for.
    pub name: String,
    /// Group.
    pub group: String,
    /// How much of it.
    pub amount: f64,
    /// Its unit.
    pub unit: String,
    /// Price of a unit, in the currency's major unit.
    pub rate: f64,
    /// Cost at the likeliest inputs, in the currency's major unit.
    pub cost: f64,
}

/// What the job costs the shop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EstimatePlan {
    /// The lines.
    pub lines: Vec<LinePlan>,
    /// Cost of all lines.
    pub cost: Band,
    /// Its mean over the draws; the likeliest where there are none.
    pub mean_cost: f64,
    /// Attended hours.
    pub hours: Band,
    /// What the cost that the price is made of lies above the likeliest cost: the allowance for what usually goes wrong.
    pub allowance: f64,
}

/// What the customer pays, rounded once.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PricePlan {
    /// ISO 4217 code.
    pub currency: String,
    /// Net price.
    pub net: String,
    /// Tax.
    pub tax: String,
    /// Price with tax.
    pub gross: String,
    /// Price with tax, in minor units.
    pub gross_minor: i64,
    /// Digits of the minor unit.
    pub minor_digits: u32,
    /// What is left of the net price after the cost that it is made of, as a share of it.
    pub margin_fraction: Option<f64>,
    /// Share of the draws in which the cost is more than the net price.
    pub chance_of_loss: Option<f64>,
    /// The rule of rounding, and what the price is made of, in words.
    pub words: String,
    /// Net prices that cover cost and fees, without any earning, each with its chance.
    pub covering: Vec<CoveringPlan>,
    /// What the net price rises by if a template on the shelf is lost; `None` where none is on the shelf.
    pub if_template_lost: Option<String>,
}

/// A net price that covers the cost.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CoveringPlan {
    /// Share of the draws whose cost and fees it covers.
    pub chance: f64,
    /// Net price.
    pub net: String,
}

/// A line of the quote.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QuoteLinePlan {
    /// In the customer's words.
    pub name: String,
    /// Without tax.
    pub net: String,
    /// Tax.
    pub tax: String,
}

/// The price of several sets.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BreakPlan {
    /// Vehicles alike.
    pub sets: u32,
    /// Net price of all.
    pub net: String,
    /// Net price of one, rounded.
    pub each_net: String,
}

/// What the customer sees: neither cost nor margin, neither rates nor risk.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct QuotePlan {
    /// The shop.
    pub shop: String,
    /// The shop's number of the quote.
    pub number: Option<String>,
    /// Who it is for.
    pub customer: Option<String>,
    /// For which vehicle.
    pub vehicle: String,
    /// Vehicles alike.
    pub sets: u32,
    /// Day of the quote.
    pub date: String,
    /// Last day on which it can be accepted.
    pub valid_until: String,
    /// Whether the price is fixed.
    pub binding: crate::cost::Binding,
    /// The work, so that a stranger could check it.
    pub work: Vec<String>,
    /// Parts and work apart; they add up to the net price.
    pub lines: Vec<QuoteLinePlan>,
    /// ISO 4217 code.
    pub currency: String,
    /// Net price.
    pub net: String,
    /// Tax.
    pub tax: String,
    /// Price with tax.
    pub gross: String,
    /// From and to, with tax, where the price is an estimate.
    pub range: Option<(String, String)>,
    /// Paid when the work is ordered; `None` where nothing is.
    pub deposit: Option<String>,
    /// How tax, discount and rounding were done.
    pub words: String,
    /// Handed back by then in nine jobs of ten, civil time.
    pub ready_by: Option<String>,
    /// What the price rests on.
    pub assumptions: Vec<String>,
    /// What is not in it.
    pub exclusions: Vec<String>,
    /// Prices of several sets.
    pub breaks: Vec<BreakPlan>,
}

/// An uncertain input and its part in the spread.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CausePlan {
    /// The input.
    pub input: String,
    /// Share of the variance of the cost that goes when it becomes known; see [`crate::spread::shares`].
    pub share_of_cost_spread: f64,
    /// The same of the hand-back.
    pub share_of_time_spread: f64,
}

/// Something that the plan changed by itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// What.
    pub what: String,
    /// Why.
    pub why: String,
}

/// Another sheet that passes where the one asked for does not.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Suggestion {
    /// The part.
    pub part: String,
    /// What to change.
    pub change: String,
    /// Why, and what stays to be looked at.
    pub why: String,
}

/// Sheets for one part, best first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// The part.
    pub part: String,
    /// The sheet that the job asks for.
    pub asked: String,
    /// The sheets of the shop in its thickness and near it, then those of the catalogue that would have to be bought, with reasons.
    pub ranked: Vec<Ranked>,
}

/// A drawing of the packet.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Drawing {
    /// Name of its file.
    pub file: String,
    /// Title.
    pub title: String,
    /// The part that it shows; empty for a layout.
    pub part: String,
    /// `blank`, at true size; `face`, its one view for the bench card; `layout`; beside the blank `card` and router
    /// `template`, `foam`, `gasket`, `wedge`, all at true size.
    pub kind: String,
    /// The drawing, SVG.
    pub svg: String,
    /// The same as DXF in layers; empty where it is not at true size.
    pub dxf: String,
    /// The same as PDF on the job's paper; empty where it is not at true size.
    pub pdf: Vec<u8>,
}

/// A value that was taken because the files say nothing of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Taken {
    /// The part; empty for what is the shop's.
    pub part: String,
    /// What was not said: the key of the file in words.
    pub what: String,
    /// What was taken, with its range.
    pub value: String,
    /// Where that comes from.
    pub why: String,
}

/// A plan: one value that holds all of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Plan {
    /// Version of this form: 1.
    pub schema: u32,
    /// The program and its version.
    pub program: String,
    /// Draws behind the ranges.
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
    /// The job.
    pub job: JobShort,
    /// The shop.
    pub shop: ShopShort,
    /// Places for which nothing is planned.
    pub refused: Vec<Refused>,
    /// The parts.
    pub parts: Vec<PartPlan>,
    /// The layouts.
    pub layouts: Vec<LayoutPlan>,
    /// What is brought, by merchant.
    pub deliveries: Vec<DeliveryPlan>,
    /// The tasks.
    pub tasks: Vec<TaskPlan>,
    /// The tasks on the calendar; `None` where nothing is planned.
    pub schedule: Option<SchedulePlan>,
    /// When the vehicle can be promised.
    pub promise: Option<PromisePlan>,
    /// What the job costs.
    pub estimate: Option<EstimatePlan>,
    /// What the customer pays.
    pub price: Option<PricePlan>,
    /// What the customer sees.
    pub quote: Option<QuotePlan>,
    /// What the spread comes from, most first.
    pub causes: Vec<CausePlan>,
    /// What was taken because the files say nothing of it.
    pub taken: Vec<Taken>,
    /// What the plan changed by itself.
    pub changes: Vec<Change>,
    /// What would do better where a check fails or no window opens.
    pub suggestions: Vec<Suggestion>,
    /// The shop's sheets for each part, ranked with its own heat, prices and adhesives.
    pub choices: Vec<Choice>,
    /// Every number that was used.
    pub provenance: Provenance,
    /// Cautions.
    pub cautions: Vec<String>,
    /// Remarks.
    pub notes: Vec<Note>,
    /// Drawings; not in `plan.json`.
    #[serde(skip)]
    pub drawings: Vec<Drawing>,
}
