//! When the shop is open.

use jiff::civil::{Date, DateTime, Time};
use jiff::{SignedDuration, ToSpan};
use serde::Serialize;

use crate::climate::DAY_S;
use crate::error::{Error, Range, Result, check};

/// Days that a calendar looks ahead: three years.
const HORIZON_DAYS: i64 = 1_096;
/// Clock times closer than this are one [s]: far below a minute, far above the rounding of a sum of seconds over three years.
pub(super) const SAME_S: f64 = 1e-5;

/// A span in which hands may work, in seconds since midnight of its day.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Window {
    /// Opens. [s]
    pub from_s: f64,
    /// Closes. [s]
    pub to_s: f64,
}

impl Window {
    /// Whole hours, for short: `Window::hours(8, 12)`.
    pub fn hours(from: u8, to: u8) -> Self {
        Self {
            from_s: f64::from(from) * 3600.0,
            to_s: f64::from(to) * 3600.0,
        }
    }

    /// What [`Window::parse`] reads, as a pattern; the order of the two times is not in it.
    pub const PATTERN: &str = r"^\s*\+?0*([01]?[0-9]|2[0-4]):\+?0*[0-5]?[0-9]\s*[-–]\s*\+?0*([01]?[0-9]|2[0-4]):\+?0*[0-5]?[0-9]\s*$";

    /// From its text: `"08:30-12:30"`, up to `24:00`.
    ///
    /// # Errors
    /// [`Error::Shape`] where it is not of that form, or closes before it opens.
    pub fn parse(text: &str) -> Result<Self> {
        let clock = |t: &str| {
            let (hour, minute) = t.trim().split_once(':')?;
            let (hour, minute) = (hour.parse::<u8>().ok()?, minute.parse::<u8>().ok()?);
            let inside = minute < 60 && (hour < 24 || hour == 24 && minute == 0);
            inside.then(|| f64::from(hour) * 3600.0 + f64::from(minute) * 60.0)
        };
        let both = text
            .split_once(['-', '–'])
            .and_then(|(from, to)| Some((clock(from)?, clock(to)?)));
        match both {
            Some((from_s, to_s)) if from_s < to_s => Ok(Self { from_s, to_s }),
            _ => Err(Error::Shape {
                what: "opening hours".into(),
                given: format!("\"{}\"", text.chars().take(40).collect::<String>()),
                allowed: "an opening and a closing time in order: 08:30-12:30".into(),
            }),
        }
    }
}

/// Opening windows by weekday, days closed, and the slot to which a promise is rounded up.
///
/// Instants are seconds since midnight at the start of the plan's first day, by the wall clock: a night in which the clocks change counts as any other.
///
/// ```
/// use jiff::civil::date;
/// use mountwright::promise::{Calendar, Window};
/// let day = vec![Window::hours(8, 12), Window::hours(13, 17)];
/// let week = [day.clone(), day.clone(), day.clone(), day.clone(), day, vec![], vec![]];
/// let calendar = Calendar::new(date(2026, 3, 6), &week, &[], 1800.0)?; // a Friday
/// // Done at seven on Friday evening: handed back when the shop opens on Monday.
/// assert_eq!(calendar.date_time(calendar.open_from(19.0 * 3600.0)?)?.to_string(), "2026-03-09T08:00:00");
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Calendar {
    first_day: Date,
    slot_s: f64,
    /// Open spans from the first midnight on, sorted; spans that touch are one. [s]
    #[serde(skip)]
    open: Vec<(f64, f64)>,
    /// Open time before each span. [s]
    #[serde(skip)]
    open_before_s: Vec<f64>,
}

impl Calendar {
    /// A calendar from the plan's first day; `week` is Monday to Sunday.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a window outside the day, windows of a day that overlap or are out of order, or a slot outside one second to one day;
    /// [`Error::Impossible`] where the shop never opens.
    pub fn new(
        first_day: Date,
        week: &[Vec<Window>; 7],
        closed: &[Date],
        slot_s: f64,
    ) -> Result<Self> {
        check(
            "slot_s",
            slot_s,
            Range::new(1.0, DAY_S, "s"),
            "900 is a quarter of an hour",
        )?;
        for (day, windows) in week.iter().enumerate() {
            let mut free_from = 0.0;
            for (at, window) in windows.iter().enumerate() {
                let what = |edge: &str| format!("week[{day}][{at}].{edge}");
                let remedy = "windows of a day follow each other between 0 and 24 h";
                let from = Range::new(free_from, DAY_S, "s");
                check(what("from_s"), window.from_s, from, remedy)?;
                let to = Range::new(window.from_s + 1.0, DAY_S, "s");
                free_from = check(what("to_s"), window.to_s, to, remedy)?;
            }
        }
        let mut open: Vec<(f64, f64)> = Vec::new();
        for day in 0..HORIZON_DAYS {
            let date = first_day.checked_add(day.days()).map_err(|_| beyond())?;
            if closed.contains(&date) {
                continue;
            }
            let weekday = usize::try_from(date.weekday().to_monday_zero_offset()).unwrap_or(0);
            let midnight = day as f64 * DAY_S;
            for window in &week[weekday] {
                let (from, to) = (midnight + window.from_s, midnight + window.to_s);
                match open.last_mut() {
                    Some(last) if last.1 >= from => last.1 = to,
                    _ => open.push((from, to)),
                }
            }
        }
        if open.is_empty() {
            return Err(Error::Impossible {
                what: "a calendar without opening hours".into(),
                why: "no day has a window in which hands may work".into(),
                remedy: "give opening hours for at least one weekday that is not closed".into(),
            });
        }
        let mut total = 0.0;
        let open_before_s = open
            .iter()
            .map(|(from, to)| {
                let before = total;
                total += to - from;
                before
            })
            .collect();
        Ok(Self {
            first_day,
            slot_s,
            open,
            open_before_s,
        })
    }

    /// Open around the clock: for textbook networks and for a shop that counts elapsed hours only.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a slot outside one second to one day.
    pub fn always(first_day: Date, slot_s: f64) -> Result<Self> {
        Self::new(
            first_day,
            &std::array::from_fn(|_| vec![Window::hours(0, 24)]),
            &[],
            slot_s,
        )
    }

    /// The plan's first day.
    pub const fn first_day(&self) -> Date {
        self.first_day
    }

    /// Slot to which a promise is rounded up. [s]
    pub const fn slot_s(&self) -> f64 {
        self.slot_s
    }

    /// The open spans that overlap `from_s..to_s`, for a picture of the days. [s]
    pub fn spans(&self, from_s: f64, to_s: f64) -> Vec<(f64, f64)> {
        let overlapping = |span: &&(f64, f64)| span.1 > from_s && span.0 < to_s;
        self.open.iter().filter(overlapping).copied().collect()
    }

    /// First instant at or after `at_s` at which somebody is in the shop, closing time included: what is done at closing is handed back then.
    ///
    /// # Errors
    /// [`Error::Impossible`] more than three years after the first day.
    pub fn open_from(&self, at_s: f64) -> Result<f64> {
        let at = self.open.partition_point(|span| span.1 < at_s - SAME_S);
        self.span(at).map(|(from, _)| at_s.max(from))
    }

    /// A promise: `at_s` rounded up to the slot's grid where the shop is open then, else the next opening.
    ///
    /// # Errors
    /// As [`Calendar::open_from`].
    pub fn slot_from(&self, at_s: f64) -> Result<f64> {
        let open_s = self.open_from(at_s)?;
        let slot = ((open_s - SAME_S) / self.slot_s).ceil() * self.slot_s;
        let (_, closes_s) =
            self.span(self.open.partition_point(|span| span.1 < open_s - SAME_S))?;
        // Past closing time the next opening is a slot of its own.
        if slot <= closes_s + SAME_S {
            Ok(slot)
        } else {
            self.open_from(closes_s + 2.0 * SAME_S)
        }
    }

    /// When the shop opens on the `days`-th open day after the day of `at_s`: a delivery that takes so many working days. [s]
    ///
    /// # Errors
    /// As [`Calendar::open_from`].
    pub fn opening(&self, at_s: f64, days: f64) -> Result<f64> {
        let (mut opens_s, mut left) = (at_s, days);
        while left > 0.0 {
            let midnight_s = ((opens_s / DAY_S).floor() + 1.0) * DAY_S;
            let (_, (from_s, _)) = self.span_from(midnight_s)?;
            opens_s = from_s.max(midnight_s);
            left -= 1.0;
        }
        Ok(opens_s)
    }

    /// Civil date and time of an instant, to the second.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an instant before the first day or more than three years after it.
    pub fn date_time(&self, at_s: f64) -> Result<DateTime> {
        let allowed = Range::new(0.0, HORIZON_DAYS as f64 * DAY_S, "s");
        check(
            "instant",
            at_s,
            allowed,
            "count seconds from the first midnight",
        )?;
        // Inside three years, checked above.
        #[allow(clippy::cast_possible_truncation)]
        let seconds = at_s.round() as i64;
        self.first_day
            .to_datetime(Time::midnight())
            .checked_add(SignedDuration::from_secs(seconds))
            .map_err(|_| beyond())
    }

    /// Instant of a civil date and time. [s]
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside the calendar.
    pub fn instant(&self, at: DateTime) -> Result<f64> {
        let since = at.duration_since(self.first_day.to_datetime(Time::midnight()));
        let allowed = Range::new(0.0, HORIZON_DAYS as f64 * DAY_S, "s");
        check(
            "instant",
            since.as_secs_f64(),
            allowed,
            "give a time from the plan's first day on",
        )
    }

    /// Number and bounds of the first open span that ends after `at_s`.
    pub(super) fn span_from(&self, at_s: f64) -> Result<(usize, (f64, f64))> {
        let at = self.open.partition_point(|span| span.1 <= at_s + SAME_S);
        self.span(at).map(|span| (at, span))
    }

    /// Open time from the first midnight to `at_s`. [s]
    pub(super) fn open_time(&self, at_s: f64) -> f64 {
        let at = self.open.partition_point(|span| span.0 <= at_s);
        match at.checked_sub(1) {
            None => 0.0,
            Some(last) => {
                self.open_before_s[last] + (at_s.min(self.open[last].1) - self.open[last].0)
            }
        }
    }

    /// Latest start of `hands_s` of work that ends by `by_s`; `None` where there is none. [s]
    pub(super) fn latest_start(&self, by_s: f64, hands_s: f64, may_split: bool) -> Option<f64> {
        let by_s = by_s + SAME_S;
        let mut left = hands_s;
        let last = self.open.partition_point(|span| span.0 < by_s);
        for &(from, to) in self.open[..last].iter().rev() {
            let to = to.min(by_s);
            if to - from >= left {
                return Some(to - left);
            }
            if may_split {
                left -= to - from;
            }
        }
        None
    }

    /// The open span of a number.
    pub(super) fn span(&self, at: usize) -> Result<(f64, f64)> {
        self.open.get(at).copied().ok_or_else(beyond)
    }

    /// Length of the longest open span. [s]
    pub(super) fn longest_s(&self) -> f64 {
        self.open
            .iter()
            .map(|span| span.1 - span.0)
            .fold(0.0, f64::max)
    }
}

fn beyond() -> Error {
    Error::Impossible {
        what: "a time more than three years after the first day".into(),
        why: "the calendar ends there".into(),
        remedy: "check the lengths of the tasks and the days closed".into(),
    }
}
