//! Order of work and promise in Python.

use std::collections::BTreeMap;

use jiff::civil::DateTime;
use pyo3::prelude::*;
use serde::Serialize;

use super::bond::{Climate as PyClimate, Cure as PyCure};
use super::whole;
use super::{long, record};
use crate::climate::Climate;
use crate::error::{Error, Result};
use crate::promise::{Bench, Calendar, Promise, Schedule, Window, order_and_promise};
use crate::quantity::{Dimension, parse};
use crate::spread::Law;
use crate::task::{Kind, Task, Unattended};

/// A time as one text, or as lowest, likeliest and highest.
#[derive(FromPyObject)]
enum TaskTime {
    Three(String, String, String),
    One(String),
}

impl TaskTime {
    fn law(&self, what: &str) -> Result<Law> {
        let seconds = |text: &str| Ok(parse(what, text, Dimension::Time)?.value);
        match self {
            Self::One(text) => Ok(Law::Fixed {
                value: seconds(text)?,
            }),
            Self::Three(low, likely, high) => Law::Pert {
                low: seconds(low)?,
                likely: seconds(likely)?,
                high: seconds(high)?,
            }
            .check(what),
        }
    }
}

/// A task as Python writes it.
#[derive(FromPyObject)]
#[pyo3(from_item_all)]
pub(super) struct PlainTask {
    name: String,
    attended: TaskTime,
    #[pyo3(default)]
    wait: Option<TaskTime>,
    #[pyo3(default)]
    cure: Option<Py<PyCure>>,
    #[pyo3(default)]
    after: Vec<String>,
    #[pyo3(default)]
    may_split: bool,
    #[pyo3(default)]
    max_wait: Option<String>,
}

const KEYS: [&str; 7] = [
    "name",
    "attended",
    "wait",
    "cure",
    "after",
    "may_split",
    "max_wait",
];

/// Tasks, none with a key that means nothing or without one that it needs.
fn tasks(given: &Bound<'_, PyAny>) -> PyResult<Vec<PlainTask>> {
    for (at, task) in given.try_iter()?.enumerate() {
        let task = task?;
        for key in task.try_iter()? {
            let key: String = key?.extract()?;
            if !KEYS.contains(&key.as_str()) {
                return Err(Error::unknown("key of a task", key, KEYS).into());
            }
        }
        for key in ["name", "attended"] {
            if !task.contains(key)? {
                return Err(Error::Shape {
                    what: format!("tasks[{at}]"),
                    given: format!("without \"{key}\""),
                    allowed: "a name and its attended time: {\"name\": \"cut\", \"attended\": \"20 min\"}"
                        .into(),
                }
                .into());
            }
        }
    }
    given.extract()
}

impl PlainTask {
    fn task(self) -> Result<Task> {
        let what = |part: &str| format!("\"{}\".{part}", self.name);
        let limit = self
            .max_wait
            .as_deref()
            .map(|text| parse(&what("max_wait"), text, Dimension::Time));
        Ok(Task {
            part: None,
            kind: Kind::Cut,
            attended: self.attended.law(&what("attended"))?,
            unattended: match (&self.wait, &self.cure) {
                (None, None) => Unattended::None,
                (Some(time), None) => Unattended::Fixed(time.law(&what("wait"))?),
                (None, Some(cure)) => Unattended::Cure(Box::new(cure.get().core().clone())),
                (Some(_), Some(_)) => {
                    return Err(Error::Shape {
                        what: format!("\"{}\"", self.name),
                        given: "a wait and a cure".into(),
                        allowed: "one of the two: a cure gives its own wait".into(),
                    });
                }
            },
            max_wait_s: limit.transpose()?.map(|wait| wait.value),
            id: self.name,
            after: self.after,
            may_split: self.may_split,
            once: true,
        })
    }
}

/// One task by the clock, as Python reads it.
#[derive(Serialize)]
struct Step<'a> {
    name: &'a str,
    start: DateTime,
    hands_off: DateTime,
    done: DateTime,
    hands: Option<u32>,
    start_s: f64,
    pieces_s: &'a [(f64, f64)],
}

/// The answer.
#[derive(Serialize)]
struct WorkPlan<'a> {
    steps: Vec<Step<'a>>,
    ready: DateTime,
    hand_back: DateTime,
    attended_s: f64,
    elapsed_s: f64,
    bound: DateTime,
    proved: bool,
    promise: &'a Promise,
    fabricators: u32,
    open_s: Vec<(f64, f64)>,
}

/// Put tasks on the calendar in the order that is done earliest, and promise a time.
///
/// Parameters
/// ----------
/// tasks : sequence of dict
///     ``name``; ``attended``, a time as text or a tuple of lowest, likeliest and highest; if wanted
///     ``wait``, time that runs on alone after it (the same forms), or ``cure``, a :class:`Cure` whose
///     length depends on when it starts, ``after``, names of tasks that must be done before,
///     ``may_split``, whether it may stop at closing time, ``max_wait``, longest time between the end
///     of the last task before and its start.
/// hours : dict of str to sequence of str
///     Opening hours by weekday: ``{"monday": ["08:00-12:00", "13:00-17:00"]}``.
/// start : str
///     When work may begin: ``"2026-03-02T08:00"``.
/// closed : sequence of str, optional
///     Days closed: ``"2026-12-25"``.
/// climate : Climate, optional
///     The air of the shop by the hour; needed where a task has a cure.
/// fabricators : int, default 1
///     Pairs of hands.
/// slot : str, default "15 min"
///     Promises are rounded up to this.
/// pace : tuple of float, default (0.85, 1.0, 1.3)
///     Lowest, likeliest and highest factor on all attended times together, 0.1 or more; common
///     practice, no source.
/// draws : int, default 256
///     Draws behind the promise.
/// seed : int, default 1
///     The same seed gives the same answer.
///
/// Returns
/// -------
/// WorkPlan
///     ``steps`` by the clock, ``ready``, ``hand_back``, ``attended_s``, ``elapsed_s``, ``bound``
///     (no order is done before), ``proved``, ``promise`` with ``p50``, ``p80`` and ``p90`` and
///     ``never_share``, the share of the draws that never end (a cure in the cold) and count as later
///     than all others; its ``draw()`` gives a picture of the days.
///
/// Raises
/// ------
/// ImpossibleError
///     Tasks wait for each other, the shop never opens, a task likely takes longer than any opening, a
///     cure or a longest wait fails in more than one draw of ten.
/// UnknownNameError
///     A task named in ``after`` or a weekday is not there.
/// ShapeError
///     A task has no name or no attended time, two have one name, a time of day is not one, or a cure
///     has no climate.
/// UnitError
///     A text is not a time.
/// OutOfRangeError
///     A number lies outside its range.
///
/// Examples
/// --------
/// >>> day = ["08:00-12:00", "13:00-17:00"]
/// >>> work = mw.promise(
/// ...     [
/// ...         {"name": "cut", "attended": ("10 min", "20 min", "45 min")},
/// ...         {"name": "glue", "attended": "10 min", "wait": "90 min", "after": ["cut"]},
/// ...         {"name": "trim", "attended": "25 min", "after": ["glue"]},
/// ...     ],
/// ...     hours={"monday": day, "tuesday": day},
/// ...     start="2026-03-02T08:00",
/// ... )
/// >>> work.hand_back, work.proved
/// ('2026-03-02T10:25:00', True)
/// >>> [step.name for step in work.steps]
/// ['cut', 'glue', 'trim']
///
/// A cure takes the night, and longer in a cold shop:
///
/// >>> glue = {"name": "glue", "attended": "20 min", "cure": mw.cure("epoxy-slow")}
/// >>> hours = dict.fromkeys(("monday", "tuesday", "wednesday"), day)
/// >>> for air in ("20 °C", "13 °C"):
/// ...     climate = mw.Climate.steady(air)
/// ...     print(mw.promise([glue], hours=hours, start="2026-03-02T08:00", climate=climate).hand_back)
/// 2026-03-03T08:00:00
/// 2026-03-03T...
#[pyfunction]
#[pyo3(signature = (
    tasks, *, hours, start, closed = vec![], climate = None, fabricators = 1, slot = "15 min",
    pace = (0.85, 1.0, 1.3), draws = 256, seed = 1
), text_signature = "(tasks, *, hours, start, closed=(), climate=None, fabricators=1, slot='15 min', \
pace=(0.85, 1.0, 1.3), draws=256, seed=1)")]
#[allow(clippy::too_many_arguments)] // keywords in Python
pub(super) fn promise<'py>(
    py: Python<'py>,
    #[pyo3(from_py_with = tasks)] tasks: Vec<PlainTask>,
    hours: BTreeMap<String, Vec<String>>,
    start: &str,
    closed: Vec<String>,
    climate: Option<Py<PyClimate>>,
    #[pyo3(from_py_with = whole::count)] fabricators: u32,
    slot: &str,
    pace: (f64, f64, f64),
    #[pyo3(from_py_with = whole::draws)] draws: usize,
    #[pyo3(from_py_with = whole::seed)] seed: u64,
) -> PyResult<Bound<'py, PyAny>> {
    let tasks = tasks
        .into_iter()
        .map(PlainTask::task)
        .collect::<Result<Vec<_>>>()?;
    let start: DateTime = read(start, "start", "a day and time: 2026-03-02T08:00")?;
    let closed = closed
        .iter()
        .map(|day| read(day, "closed", "a day: 2026-12-25"))
        .collect::<Result<Vec<_>>>()?;
    let slot_s = parse("slot", slot, Dimension::Time)?.value;
    let calendar = Calendar::new(start.date(), &week(&hours)?, &closed, slot_s)?;
    let start_s = calendar.instant(start)?;
    let pace = Law::Pert {
        low: pace.0,
        likely: pace.1,
        high: pace.2,
    }
    .check("pace")?;
    let curing = |task: &Task| matches!(task.unattended, Unattended::Cure(_));
    let climate = match climate {
        Some(climate) => climate.get().core().clone(),
        None if tasks.iter().any(curing) => {
            return Err(Error::Shape {
                what: "climate".into(),
                given: "none".into(),
                allowed:
                    "the air of the shop, since a task has a cure: mw.Climate.steady(\"18 °C\")"
                        .into(),
            }
            .into());
        }
        // Without a cure the air is not asked.
        None => Climate::constant(293.15, 0.5)?,
    };
    let (schedule, promise) = long::long(py, None, |_| {
        let bench = Bench {
            calendar: &calendar,
            climate: &climate,
            fabricators,
        };
        order_and_promise(&tasks, pace, &bench, start_s, draws, seed)
    })?;
    let plan = work_plan(&schedule, &promise, &tasks, &calendar, fabricators)?;
    record::give(py, "WorkPlan", &plan)
}

fn work_plan<'a>(
    schedule: &'a Schedule,
    promise: &'a Promise,
    tasks: &'a [Task],
    calendar: &Calendar,
    fabricators: u32,
) -> Result<WorkPlan<'a>> {
    let at = |s: f64| calendar.date_time(s);
    Ok(WorkPlan {
        steps: schedule
            .entries
            .iter()
            .map(|entry| {
                Ok(Step {
                    name: &tasks[entry.task].id,
                    start: at(entry.start_s)?,
                    hands_off: at(entry.hands_off_s)?,
                    done: at(entry.done_s)?,
                    hands: (!entry.pieces.is_empty()).then_some(entry.hands),
                    start_s: entry.start_s,
                    pieces_s: &entry.pieces,
                })
            })
            .collect::<Result<_>>()?,
        ready: at(schedule.ready_s)?,
        hand_back: at(schedule.hand_back_s)?,
        attended_s: schedule.attended_s,
        elapsed_s: schedule.elapsed_s,
        bound: at(schedule.bound_s)?,
        proved: schedule.proved,
        promise,
        fabricators,
        open_s: calendar.spans(schedule.start_s, schedule.hand_back_s),
    })
}

/// A civil date or time from its text.
pub(super) fn read<T: std::str::FromStr>(text: &str, what: &str, allowed: &str) -> Result<T> {
    text.parse().map_err(|_| Error::Shape {
        what: what.into(),
        given: format!("\"{}\"", text.chars().take(40).collect::<String>()),
        allowed: allowed.into(),
    })
}

/// Opening windows from Monday to Sunday.
fn week(hours: &BTreeMap<String, Vec<String>>) -> Result<[Vec<Window>; 7]> {
    const DAYS: [&str; 7] = [
        "monday",
        "tuesday",
        "wednesday",
        "thursday",
        "friday",
        "saturday",
        "sunday",
    ];
    let mut week: [Vec<Window>; 7] = Default::default();
    for (name, windows) in hours {
        let day = DAYS.iter().position(|day| day == name);
        let day = day.ok_or_else(|| Error::unknown("weekday", name.as_str(), DAYS))?;
        week[day] = windows
            .iter()
            .map(|text| Window::parse(text))
            .collect::<Result<_>>()?;
    }
    Ok(week)
}
