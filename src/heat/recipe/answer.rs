//! The answer: one recipe.

use ndarray::Array1;
use serde::Serialize;

use super::ask::{Ask, Back, LONGEST_S};
use super::cool::{Behind, Cooled, State, cool};
use super::warm::{Warmed, face_nodes, warm};
use crate::error::{Note, Result};
use crate::heat::dose::Meter;
use crate::heat::slab::Where;
use crate::heat::slab::track::{Nodes, Track};

/// What closes a window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum ClosedBy {
    /// The hottest point reaches its upper limit.
    Upper,
    /// The dose of time and temperature reaches its limit.
    Dose,
}

/// What bounds the number of reheats.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Binds {
    /// The dose of time and temperature.
    Dose,
    /// Loss of thickness.
    Thinning,
    /// Shrinkage.
    Shrinkage,
}

/// How many more heats the sheet stands after this one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Reheats {
    /// The number.
    pub left: u32,
    /// What bounds it.
    pub binds: Binds,
}

/// Why there is no window.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct NoWindow {
    /// In words, with the temperatures.
    pub why: String,
    /// Temperature of the coldest point when the window closed, or at rest. [K]
    pub coldest_k: f64,
    /// Temperature of the hottest point then. [K]
    pub hottest_k: f64,
    /// What would open it, likeliest first.
    pub remedies: Vec<String>,
}

/// Temperatures over time, for a chart; time 0 is the start of heat.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Chart {
    /// Times. [s]
    pub t_s: Vec<f64>,
    /// Mean over the thickness. [K]
    pub mean_k: Vec<f64>,
    /// Heated face (the one that is heated first). [K]
    pub front_k: Vec<f64>,
    /// Other face. [K]
    pub back_k: Vec<f64>,
    /// Coldest point. [K]
    pub coldest_k: Vec<f64>,
}

/// The curves of a chart.
const PLACES: [Where; 4] = [Where::Mean, Where::Front, Where::Back, Where::Coldest];

/// About how many points a curve has at least, where the solver took long steps.
const POINTS: f64 = 100.0;

impl Chart {
    /// Adds a record that began at `after_s`.
    fn add(&mut self, track: &Track, nodes: &Nodes, after_s: f64) {
        let (Some(first), Some(last)) = (track.t_s.first(), track.t_s.last()) else {
            return;
        };
        let apart_s = (last - first) / POINTS;
        let mut scratch = Vec::new();
        for i in 0..track.len() - 1 {
            let step_s = track.t_s[i + 1] - track.t_s[i];
            // A long step is curved: points inside it, by its own cubic.
            let parts = (step_s / apart_s).ceil().clamp(1.0, 16.0);
            for part in 0..parts as u32 {
                let share = f64::from(part) / parts;
                let mut at = |place| track.value_in(nodes, place, i, share, &mut scratch);
                let values = PLACES.map(&mut at);
                self.push(after_s + track.t_s[i] + share * step_s, values);
            }
        }
        let at = |place| track.moving(nodes, place, track.len() - 1).value;
        self.push(after_s + last, PLACES.map(at));
    }

    fn push(&mut self, t_s: f64, [mean, front, back, coldest]: [f64; 4]) {
        self.t_s.push(t_s);
        self.mean_k.push(mean);
        self.front_k.push(front);
        self.back_k.push(back);
        self.coldest_k.push(coldest);
    }

    /// The times as an array.
    pub fn times(&self) -> Array1<f64> {
        Array1::from_vec(self.t_s.clone())
    }
}

/// How to heat one part.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Recipe {
    /// The coldest point reaches what the shape needs; from the start of heat, `None` if never. [s]
    pub opens_s: Option<f64>,
    /// The coldest point is limp, which is seen at the bench: `opens_s` itself unless the shape needs more. [s]
    #[serde(skip)]
    pub limp_s: Option<f64>,
    /// The hottest point reaches its limit or the dose is used up; `None` if never. [s]
    pub closes_s: Option<f64>,
    /// Which of the two closes it.
    pub closed_by: Option<ClosedBy>,
    /// When heating stops: the middle of the window, but at most `past_opening` beyond its opening; `None` without a window. [s]
    pub stop_s: Option<f64>,
    /// From the end of heat until the mean falls below what the shape needs. [s]
    pub working_time_s: Option<f64>,
    /// From the end of heat until the hottest point is below its set temperature. [s]
    pub hold_s: Option<f64>,
    /// From the end of heat until a firm grip of ten seconds does not burn. [s]
    pub touch_s: Option<f64>,
    /// More heats that the sheet stands after this one.
    pub reheats: Option<Reheats>,
    /// Dose of this heat at the worse face, cooling included.
    pub dose: Option<f64>,
    /// Hottest that a face becomes. [K]
    pub peak_face_k: f64,
    /// Middle of the sheet at the end of heat. [K]
    pub core_k: Option<f64>,
    /// Mean at the end of heat. [K]
    pub mean_k: Option<f64>,
    /// First time at which a face gives off fumes; `None` if it does not before the end of heat. [s]
    pub fumes_from_s: Option<f64>,
    /// Times that the sheet is turned over before the end of heat.
    pub turns: Option<u32>,
    /// How warm the metal behind the foam becomes, where it is held against one.
    pub behind: Option<Behind>,
    /// Why there is no window, where there is none.
    pub why_no_window: Option<NoWindow>,
    /// Temperatures over time, where they were asked for.
    pub history: Option<Chart>,
    /// Steps that the solver tried, as a measure of effort.
    #[serde(skip)]
    pub steps: usize,
    /// What is to be known.
    pub notes: Vec<Note>,
}

/// Works out how to heat one part.
///
/// # Errors
/// [`crate::Error::OutOfRange`] and [`crate::Error::Shape`] for a question that cannot be; a window that never opens is an
/// answer, not an error: see [`Recipe::why_no_window`].
///
/// ```
/// use mountwright::heat::{Ask, Back, Dose, HotAirGun, Limits, Sheet, Table, Wear, recipe};
/// let sheet = Sheet::new(3e-3, 550.0, Table::constant(0.072), Table::constant(1150.0), None, 0.9)?;
/// let limits = Limits { limp_k: 388.0, formable_k: 400.0, upper_k: 433.0, set_k: 339.0,
///     fume_onset_k: Some(423.0), dose: Some(Dose::PVC), wear: Wear::USUAL };
/// let heat = HotAirGun::two_setting("I")?.at(0.12, (0.05, 0.20))?;
/// let open = recipe(&Ask::new(sheet.clone(), limits.clone(), heat.clone(), 293.15, Back::Open))?;
/// assert!(open.why_no_window.is_some()); // the face scorches before the back is limp
/// let turned = recipe(&Ask::new(sheet, limits, heat, 293.15, Back::Turned { every_s: 8.0 }))?;
/// assert!(turned.opens_s < turned.closes_s);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn recipe(ask: &Ask) -> Result<Recipe> {
    ask.check()?;
    match stopped(ask, warm(ask)?)? {
        Stopped::NeverOpen(answer) => Ok(*answer),
        Stopped::Open(open) => {
            let cooled = cool(ask, &open.state)?;
            Ok(open.finish(ask, &cooled))
        }
    }
}

/// How far a recipe has come when heating stops.
pub(crate) enum Stopped {
    /// There is no window, and that is the answer.
    NeverOpen(Box<Recipe>),
    /// There is one, and the sheet cools from here.
    Open(Box<Open>),
}

/// A recipe whose heating half is known; the record of the heat is no longer needed.
pub(crate) struct Open {
    /// The sheet at the end of heat.
    pub(crate) state: State,
    stop_s: f64,
    meter: Option<Meter>,
    answer: Recipe,
}

/// Judges the window and goes to the end of heat.
pub(crate) fn stopped(ask: &Ask, mut warmed: Warmed) -> Result<Stopped> {
    let mut notes = ask.exposure.notes.clone();
    let (closes_s, closed_by) = warmed.closes().unzip();
    let opens_s = warmed
        .opens_s
        .filter(|&open| closes_s.is_none_or(|close| open < close));
    let mut answer = Recipe {
        opens_s,
        limp_s: warmed.limp_s,
        closes_s,
        closed_by,
        stop_s: None,
        working_time_s: None,
        hold_s: None,
        touch_s: None,
        reheats: None,
        dose: None,
        peak_face_k: ask.air_k,
        core_k: None,
        mean_k: None,
        fumes_from_s: None,
        turns: None,
        behind: None,
        why_no_window: None,
        history: None,
        steps: 0,
        notes: Vec::new(),
    };
    let Some(opens_s) = opens_s else {
        answer.peak_face_k = warmed
            .run
            .walk
            .track
            .peak(&warmed.nodes, Where::Hottest, 0)
            .1;
        answer.why_no_window = Some(why(ask, &warmed, closes_s));
        answer.history = ask.history.then(|| {
            let mut chart = Chart::default();
            chart.add(&warmed.run.walk.track, &warmed.nodes, 0.0);
            chart
        });
        answer.notes = notes;
        return Ok(Stopped::NeverOpen(Box::new(answer)));
    };
    if closes_s.is_none() {
        notes.push(Note::new(
            "window",
            "it stays open: in four hours of this heat no point reaches its limit",
        ));
    }
    let latest_s = opens_s * (1.0 + ask.past_opening);
    let middle_s = closes_s.map_or(latest_s, |close| f64::midpoint(opens_s, close));
    let stop_s = ask.stop_s.unwrap_or(middle_s.min(latest_s));
    if stop_s < opens_s || closes_s.is_some_and(|close| stop_s > close) {
        notes.push(Note::new(
            "end of heat",
            "the time given lies outside the window",
        ));
    }
    warmed.stop_at(stop_s)?;
    answer.notes = notes;
    Ok(Stopped::Open(Box::new(Open::heated(
        ask, warmed, stop_s, answer,
    ))))
}

impl Open {
    /// Takes from the record of the heat what the answer wants of it.
    fn heated(ask: &Ask, warmed: Warmed, stop_s: f64, mut answer: Recipe) -> Self {
        let state = warmed.state();
        let (track, nodes) = (&warmed.run.walk.track, &warmed.nodes);
        let last = track.len() - 1;
        answer.steps = warmed.run.walk.tried;
        answer.stop_s = Some(stop_s);
        answer.peak_face_k = track.peak(nodes, Where::Hottest, 0).1;
        answer.core_k = state
            .temperature_k
            .get(state.temperature_k.len() / 2)
            .copied();
        answer.mean_k = Some(track.moving(nodes, Where::Mean, last).value);
        answer.dose = warmed.meter.as_ref().map(|m| m.worst(last));
        if let Some(onset) = ask.limits.fume_onset_k {
            answer.fumes_from_s =
                track.first_time(nodes, Where::Hottest, onset, true, 0, &mut Vec::new());
            if answer.fumes_from_s.is_some() {
                answer.notes.push(Note::new(
                    "fumes",
                    "a face gives off fumes before the end of heat: extract at the source, and stop at a sharp smell or a change of colour",
                ));
            }
        }
        if let Back::Turned { every_s } = ask.back {
            answer.turns = Some((stop_s / every_s).floor() as u32);
        }
        if ask.history {
            let mut chart = Chart::default();
            chart.add(track, nodes, 0.0);
            answer.history = Some(chart);
        }
        Self {
            state,
            stop_s,
            meter: warmed.meter,
            answer,
        }
    }

    /// Adds what the cooling half says.
    pub(crate) fn finish(self, ask: &Ask, cooled: &Cooled) -> Recipe {
        let mut answer = self.answer;
        answer.steps += cooled.steps;
        answer.working_time_s = cooled.working_s;
        answer.hold_s = cooled.hold_s;
        answer.touch_s = cooled.touch_s;
        answer.behind = cooled.behind;
        if cooled.hold_s.is_none() {
            answer.notes.push(Note::new(
                "hold",
                "it does not cool below its set temperature in this air",
            ));
        }
        if let (Some(mut meter), Some(dose)) = (self.meter, &mut answer.dose) {
            meter.taken.clear();
            meter.follow(&cooled.track, face_nodes(&cooled.nodes));
            *dose += meter.worst(meter.taken.len() - 1);
        }
        answer.reheats = Some(reheats(ask, answer.dose));
        if let Some(chart) = &mut answer.history {
            chart.add(&cooled.track, &cooled.nodes, self.stop_s);
        }
        answer
    }
}

/// The least of what dose, thickness and shrinkage allow.
fn reheats(ask: &Ask, dose: Option<f64>) -> Reheats {
    let wear = &ask.limits.wear;
    let more = |limit: f64, each: f64| {
        if each > 0.0 {
            ((limit - each) / each + 1e-9).floor().clamp(0.0, 1000.0) as u32
        } else {
            1000
        }
    };
    let by_dose = dose
        .zip(ask.limits.dose)
        .map_or(1000, |(d, law)| more(law.limit, d));
    [
        (
            more(wear.thinning_limit, wear.thinning_per_heat),
            Binds::Thinning,
        ),
        (
            more(wear.shrinkage_limit, wear.shrinkage_per_heat),
            Binds::Shrinkage,
        ),
    ]
    .into_iter()
    .fold(
        Reheats {
            left: by_dose,
            binds: Binds::Dose,
        },
        |best, (left, binds)| {
            if left < best.left {
                Reheats { left, binds }
            } else {
                best
            }
        },
    )
}

fn celsius(k: f64) -> String {
    format!("{:.0} °C", k - 273.15)
}

fn why(ask: &Ask, warmed: &Warmed, closes_s: Option<f64>) -> NoWindow {
    let track = &warmed.run.walk.track;
    let last = track.len() - 1;
    let mut profile = Vec::new();
    track.profile_at(
        closes_s.unwrap_or(track.t_s[last]).min(track.t_s[last]),
        &mut profile,
    );
    let coldest_k = warmed.nodes.value(Where::Coldest, &profile);
    let hottest_k = warmed.nodes.value(Where::Hottest, &profile);
    let need = celsius(ask.need_k());
    let why = match closes_s {
        Some(t) => format!(
            "after {t:.0} s the hottest point is at {} and must not go on, while the coldest is at {} and needs {need}",
            celsius(hottest_k),
            celsius(coldest_k)
        ),
        None if track.t_s[last] >= LONGEST_S * (1.0 - 1e-9) => format!(
            "after {:.0} h, the longest that is followed, the hottest point is at {} and the coldest at {}, which needs {need}",
            LONGEST_S / 3600.0,
            celsius(hottest_k),
            celsius(coldest_k)
        ),
        None => format!(
            "it comes to rest with the hottest point at {} and the coldest at {}, which needs {need}",
            celsius(hottest_k),
            celsius(coldest_k)
        ),
    };
    let mut remedies: Vec<String> = Vec::new();
    if closes_s.is_some() {
        match ask.back {
            Back::Open => {
                remedies.push("turn it over every few seconds".into());
                remedies.push("lay it on a board".into());
                remedies.push("heat both faces".into());
            }
            Back::Board(_) => remedies.push("turn it over every few seconds".into()),
            Back::Turned { .. } => remedies.push("turn it over more often".into()),
            Back::SameHeat => {}
        }
        remedies.push("go further away or take a lower setting".into());
        remedies.push("heat in pulses with rests between".into());
        remedies.push("use an oven".into());
    } else {
        remedies.push("go nearer or take a higher setting".into());
        remedies.push("heat both faces".into());
        remedies.push("use an oven".into());
    }
    NoWindow {
        why,
        coldest_k,
        hottest_k,
        remedies,
    }
}
