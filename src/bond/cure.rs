//! When a joint can be handled, if it is started then.

use serde::Serialize;

use super::clock::Clock;
use super::run::{Run, Way};
use super::shift::Shift;
use crate::climate::{Air, Climate, DAY_S};
use crate::error::{Note, Range, Result, check};
use crate::spread::Law;

/// A stage that would take longer than this counts as never. [s]
pub const LONGEST_S: f64 = 366.0 * DAY_S;

/// Instants that are accepted. [s]
const STARTS_S: Range = Range::new(-1e10, 1e10, "s");
const START_REMEDY: &str = "give seconds since the plan's first midnight";

/// A cure or a drying that has no length until it has a start in a climate.
///
/// ```
/// use mountwright::bond::Cure;
/// use mountwright::climate::Climate;
/// // An epoxy that handles after 3 h and is cured after a day at 23 °C, slower in a shop of 15 °C.
/// let epoxy = Cure::shifted("epoxy", 1500.0, 3.0 * 3600.0, 86_400.0, 296.15, 65_000.0)?;
/// let shop = Climate::constant(288.15, 0.5)?;
/// let ready = epoxy.ready_at(0.0, &shop)?;
/// let slower = ready.handling_s.unwrap_or(f64::NAN) / (3.0 * 3600.0);
/// assert!((slower - 2.081).abs() < 0.0005);
/// # Ok::<(), mountwright::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Cure {
    /// Adhesive, paint or filler.
    pub name: String,
    joinable: Option<Clock>,
    open: Option<Clock>,
    handling: Option<Clock>,
    full: Option<Clock>,
    minimum_k: f64,
    factor: f64,
    time_law: Law,
    notes: Vec<Note>,
}

/// [`Ready`] at the 10th, 50th and 90th percentile of the cure's time law: with 9 chances in 10 it is ready by `p90`.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReadyBand {
    /// A quick batch.
    pub p10: Ready,
    /// The middle.
    pub p50: Ready,
    /// A slow batch.
    pub p90: Ready,
}

/// When the stages of a cure are reached, all in seconds since the plan's first midnight.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ready {
    /// From when on the parts can be joined: the start, but later for contact cement, which dries first. `None` where it never dries. [s]
    pub joinable_s: Option<f64>,
    /// Until when the parts can be joined; a year after the start where the adhesive stays open. The start itself for paint and filler. [s]
    pub open_s: f64,
    /// From when on the joint can be handled and worked on; `None` for never. [s]
    pub handling_s: Option<f64>,
    /// From when on it is fully cured; `None` for never. [s]
    pub full_s: Option<f64>,
    /// Why a stage is never reached.
    pub never: Option<String>,
    /// Where a law was used outside its range.
    pub notes: Vec<Note>,
}

/// Air at which data sheets print their times.
const USUAL_DAY: Air = Air {
    temperature_k: 296.15,
    humidity: 0.5,
};

impl Cure {
    /// A cure without stages, to be built up with [`Cure::with_open`] and its like.
    pub fn named(name: impl Into<String>) -> Self {
        Self {
            name: name.into(),
            joinable: None,
            open: None,
            handling: None,
            full: None,
            minimum_k: 0.0,
            factor: 1.0,
            time_law: Law::Fixed { value: 1.0 },
            notes: Vec::new(),
        }
    }

    /// Published open, handling and full-cure times at one temperature, with an activation energy.
    ///
    /// # Errors
    /// As for [`Shift::new`].
    pub fn shifted(
        name: impl Into<String>,
        open_s: f64,
        handling_s: f64,
        full_s: f64,
        at_k: f64,
        activation_j_mol: f64,
    ) -> Result<Self> {
        let stage = |s| Ok(Clock::Shifted(Shift::new(&[(at_k, s)], activation_j_mol)?));
        Self::named(name)
            .with_open(stage(open_s)?)?
            .with_handling(stage(handling_s)?)?
            .with_full(stage(full_s)?)
    }

    /// Drying of paint, primer or filler: dry to be worked on after `minutes` at 23 °C (296.15 K).
    ///
    /// # Errors
    /// As for [`Shift::new`].
    pub fn drying(name: impl Into<String>, minutes: f64, activation_j_mol: f64) -> Result<Self> {
        let dry = Clock::Shifted(Shift::new(&[(296.15, minutes * 60.0)], activation_j_mol)?);
        Self::named(name).with_handling(dry.clone())?.with_full(dry)
    }

    /// Times that do not depend on the air.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for times outside 1 ms to ten years.
    pub fn fixed(
        name: impl Into<String>,
        open_s: f64,
        handling_s: f64,
        full_s: f64,
    ) -> Result<Self> {
        Self::named(name)
            .with_open(Clock::Fixed { time_s: open_s })?
            .with_handling(Clock::Fixed { time_s: handling_s })?
            .with_full(Clock::Fixed { time_s: full_s })
    }

    /// Sets how long it must dry before the parts are joined.
    ///
    /// # Errors
    /// As for [`Clock::checked`].
    pub fn with_joinable(mut self, clock: Clock) -> Result<Self> {
        self.joinable = Some(clock.checked()?);
        Ok(self)
    }

    /// Sets how long the parts can be joined.
    ///
    /// # Errors
    /// As for [`Clock::checked`].
    pub fn with_open(mut self, clock: Clock) -> Result<Self> {
        self.open = Some(clock.checked()?);
        Ok(self)
    }

    /// Sets the time to handling strength.
    ///
    /// # Errors
    /// As for [`Clock::checked`].
    pub fn with_handling(mut self, clock: Clock) -> Result<Self> {
        self.handling = Some(clock.checked()?);
        Ok(self)
    }

    /// Sets the time to full cure.
    ///
    /// # Errors
    /// As for [`Clock::checked`].
    pub fn with_full(mut self, clock: Clock) -> Result<Self> {
        self.full = Some(clock.checked()?);
        Ok(self)
    }

    /// Sets the temperature below which it stands still. [K]
    ///
    /// # Errors
    /// [`Error::OutOfRange`] outside 200 to 400 K.
    pub fn with_minimum(mut self, minimum_k: f64) -> Result<Self> {
        let range = Range::new(200.0, 400.0, "K");
        self.minimum_k = check("minimum_k", minimum_k, range, "see the data sheet")?;
        Ok(self)
    }

    /// Sets the law of the factor on all its times, 1 being the data sheet's.
    #[must_use]
    pub fn with_time_law(mut self, law: Law) -> Self {
        self.time_law = law;
        self
    }

    /// Adds a note that every answer carries.
    #[must_use]
    pub fn with_note(mut self, note: Note) -> Self {
        self.notes.push(note);
        self
    }

    /// The law of the factor on all its times: what a batch, a mix and a shop make of the data sheet.
    pub fn time_law(&self) -> Law {
        self.time_law
    }

    /// Temperature below which it stands still; 0 where none is known. [K]
    pub fn minimum_k(&self) -> f64 {
        self.minimum_k
    }

    /// The same cure with all times multiplied.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a factor outside 0.001 to 1000.
    pub fn scaled(&self, factor: f64) -> Result<Self> {
        let range = Range::new(1e-3, 1e3, "1");
        let factor = check("factor", factor, range, "draw it from the cure's time law")?;
        Ok(Self {
            factor: self.factor * factor,
            ..self.clone()
        })
    }

    /// When the stages are reached, if it is started at `start_s` in a climate.
    ///
    /// A stage that is never reached is an answer, with its reason, and not an error.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a start that is not finite or further than 300 years away.
    pub fn ready_at(&self, start_s: f64, climate: &Climate) -> Result<Ready> {
        check("start_s", start_s, STARTS_S, START_REMEDY)?;
        let run = |clock: &Option<Clock>| self.run(clock.as_ref(), start_s, climate);
        let (joinable, open) = (run(&self.joinable)?, run(&self.open)?);
        let handling = run(&self.handling)?;
        // A drying has one clock for both.
        let full = if self.full == self.handling {
            handling
        } else {
            run(&self.full)?
        };
        let reached = |way: Option<Way>| way.map_or(Some(start_s), |w| w.at_s);
        let handling_s = reached(handling);
        // What cannot be handled is not fully cured either.
        let full_s = reached(full).and_then(|f| Some(f.max(handling_s?)));
        let mut ready = Ready {
            joinable_s: reached(joinable),
            open_s: self.open_until(start_s, open, handling),
            handling_s,
            full_s,
            never: None,
            notes: self.notes.clone(),
        };
        if ready.full_s.is_none() || ready.joinable_s.is_none() {
            ready.never = Some(self.reason(climate));
        }
        for (clock, way) in [(&self.handling, handling), (&self.full, full)] {
            if let (Some(clock), Some(way)) = (clock, way) {
                self.judge(clock, way, &mut ready.notes);
            }
        }
        Ok(ready)
    }

    /// The way of one stage; `None` where the cure has no such stage.
    fn run(&self, clock: Option<&Clock>, start_s: f64, climate: &Climate) -> Result<Option<Way>> {
        let Some(clock) = clock else {
            return Ok(None);
        };
        let mut way = Run {
            clock,
            factor: self.factor,
            minimum_k: self.minimum_k,
        }
        .from(start_s, climate)?;
        way.at_s = way.at_s.filter(|at| at - start_s <= LONGEST_S);
        Ok(Some(way))
    }

    /// From when until when the parts can be joined; from `None` where they never may be.
    fn window(&self, start_s: f64, climate: &Climate) -> Result<(Option<f64>, f64)> {
        check("start_s", start_s, STARTS_S, START_REMEDY)?;
        let run = |clock: &Option<Clock>| self.run(clock.as_ref(), start_s, climate);
        let (from, open) = (run(&self.joinable)?, run(&self.open)?);
        let until_s = self.open_until(start_s, open, run(&self.handling)?);
        Ok((from.map_or(Some(start_s), |w| w.at_s), until_s))
    }

    /// Until when the parts can be joined: never later than the joint holds, for an adhesive that on a usual day can be joined for less long than it takes to hold
    /// (a dried primer stays open after it is dry). The single open time of a data sheet is not shifted as far up as a schedule with hot rows: hot, it would outlast the cure. [s]
    fn open_until(&self, start_s: f64, open: Option<Way>, handling: Option<Way>) -> f64 {
        let until_s = open.map_or(start_s, |w| w.at_s.unwrap_or(start_s + LONGEST_S));
        let usual = |clock: &Option<Clock>| clock.as_ref().map_or(0.0, |c| c.rate(USUAL_DAY));
        let closes_first = usual(&self.open) > usual(&self.handling);
        let holds_s = handling.filter(|_| closes_first).and_then(|w| w.at_s);
        until_s.min(holds_s.unwrap_or(f64::INFINITY))
    }

    /// How long the parts can be joined, from the moment that they may be (contact cement dries first); `None` where they never may be. [s]
    ///
    /// # Errors
    /// As for [`Cure::ready_at`].
    pub fn open_for(&self, start_s: f64, climate: &Climate) -> Result<Option<f64>> {
        let (from_s, until_s) = self.window(start_s, climate)?;
        Ok(from_s.map(|from_s| (until_s - from_s).max(0.0)))
    }

    /// Open time that is left at an instant: 0 once it is over, and before the parts may be joined. [s]
    ///
    /// # Errors
    /// As for [`Cure::ready_at`], for either instant.
    ///
    /// ```
    /// use mountwright::{bond, climate::Climate};
    /// let (epoxy, shop) = (bond::cure_of("epoxy-30min")?, Climate::constant(296.15, 0.5)?);
    /// // 25 minutes open at 23 °C; mixed ten minutes ago.
    /// assert!((epoxy.open_left(0.0, 600.0, &shop)? - 900.0).abs() < 1e-6);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn open_left(&self, start_s: f64, now_s: f64, climate: &Climate) -> Result<f64> {
        check("now_s", now_s, STARTS_S, START_REMEDY)?;
        let (from_s, until_s) = self.window(start_s, climate)?;
        let joinable = from_s.is_some_and(|from_s| now_s >= from_s);
        Ok(if joinable {
            (until_s - now_s).max(0.0)
        } else {
            0.0
        })
    }

    /// Its times in steady air, from the start.
    ///
    /// # Errors
    /// [`crate::Error::OutOfRange`] for air colder than the adhesive cures in, for a temperature outside 200 to 500 K and a humidity outside 0 to 1. Ask
    /// [`Cure::ready_at`] where "never" is the answer that is wanted.
    ///
    /// ```
    /// use mountwright::{bond, climate::Air};
    /// let epoxy = bond::cure_of("epoxy-5min")?;
    /// assert!(epoxy.times_at(Air { temperature_k: 296.15, humidity: 0.5 })?.handling_s.is_some());
    /// assert!(epoxy.times_at(Air { temperature_k: 275.15, humidity: 0.5 }).is_err());
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn times_at(&self, air: Air) -> Result<Ready> {
        let climate = Climate::constant(air.temperature_k, air.humidity)?;
        let range = Range::new(self.minimum_k, 500.0, "K");
        let remedy = "warm the shop and the parts: it does not cure below";
        check("temperature_k", air.temperature_k, range, remedy)?;
        self.ready_at(0.0, &climate)
    }

    /// [`Cure::ready_at`] over the range of its time law; exact, since every instant rises with the factor.
    ///
    /// # Errors
    /// As for [`Cure::ready_at`].
    pub fn ready_band_at(&self, start_s: f64, climate: &Climate) -> Result<ReadyBand> {
        let at = |p: f64| {
            let factor = self.time_law.quantile(p)?;
            self.scaled(factor)?.ready_at(start_s, climate)
        };
        Ok(ReadyBand {
            p10: at(0.1)?,
            p50: at(0.5)?,
            p90: at(0.9)?,
        })
    }

    /// Share of its full strength at an instant: nothing before handling strength, then straight over the logarithm of the time gone by, from
    /// `handling_share` to 1 at full cure.
    ///
    /// `handling_share` is 1 N/mm² over the full strength, at most 1. The shape is an engineering assumption; multiply by [`super::Catalogue::strength`] at the
    /// temperature of the load.
    ///
    /// # Errors
    /// As for [`Cure::ready_at`]; [`crate::Error::OutOfRange`] for a share outside 0 to 1 or an instant that is not finite.
    ///
    /// ```
    /// use mountwright::{bond, climate::Climate};
    /// // Acrylic foam tape: half after 20 min, 90 % after a day, all after three (remembered figures).
    /// let (tape, shop) = (bond::cure_of("foam-tape")?, Climate::constant(294.15, 0.5)?);
    /// let day = tape.strength_share_at(0.0, 86_400.0, &shop, 0.5)?;
    /// assert!((day - 0.9).abs() < 0.01);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn strength_share_at(
        &self,
        start_s: f64,
        t_s: f64,
        climate: &Climate,
        handling_share: f64,
    ) -> Result<f64> {
        let range = Range::new(-1e11, 1e11, "s");
        check(
            "t_s",
            t_s,
            range,
            "give seconds since the plan's first midnight",
        )?;
        let range = Range::new(0.0, 1.0, "1");
        check(
            "handling_share",
            handling_share,
            range,
            "1 N/mm² over the full strength",
        )?;
        let ready = self.ready_at(start_s, climate)?;
        let Some(handling_s) = ready.handling_s.filter(|h| t_s >= *h) else {
            return Ok(0.0);
        };
        let Some(full_s) = ready.full_s else {
            // It stops on the way: no more than handling strength is counted on.
            return Ok(handling_share);
        };
        if t_s >= full_s {
            return Ok(1.0);
        }
        let (gone, first, last) = (t_s - start_s, handling_s - start_s, full_s - start_s);
        let x = if first > 0.0 {
            (gone / first).ln() / (last / first).ln()
        } else {
            gone / last
        };
        Ok(handling_share + (1.0 - handling_share) * x)
    }

    /// Why a stage is not reached.
    fn reason(&self, climate: &Climate) -> String {
        let (coldest_k, hottest_k) = climate.extremes_k();
        let celsius = |k: f64| k - 273.15;
        if hottest_k < self.minimum_k {
            format!(
                "{} stands still below {:.0} °C and the air stays at {:.0} °C or less: warm the shop and the parts",
                self.name,
                celsius(self.minimum_k),
                celsius(hottest_k)
            )
        } else {
            format!(
                "{} does not cure within a year in air of {:.0} to {:.0} °C: it is too cold, too hot or too dry for it",
                self.name,
                celsius(coldest_k),
                celsius(hottest_k)
            )
        }
    }

    /// Notes where the air left the range in which a law is known.
    fn judge(&self, clock: &Clock, way: Way, notes: &mut Vec<Note>) {
        let mut add = |text: String| {
            let note = Note::new(self.name.clone(), text);
            if !notes.contains(&note) {
                notes.push(note);
            }
        };
        match clock {
            Clock::Shifted(shift) => {
                if way.temperature_k.0 < shift.coldest_k() - 5.0 {
                    add(format!(
                        "air down to {:.0} °C is more than 5 K below the coldest published time ({:.0} °C): the cure may stall",
                        way.temperature_k.0 - 273.15,
                        shift.coldest_k() - 273.15
                    ));
                }
                if way.temperature_k.1 > shift.hold_above_k() {
                    add(format!(
                        "above {:.0} °C the time is held: the temperature shift is not known there",
                        shift.hold_above_k() - 273.15
                    ));
                }
            }
            Clock::Humidity { .. } => {
                if way.humidity.0 < 0.3 {
                    add("air below 30 % humidity: use an activator or damp the air".into());
                }
                if way.humidity.1 > 0.7 {
                    add("air above 70 % humidity: weak, brittle bonds and white bloom".into());
                }
            }
            Clock::Banded { until_k, .. } if way.temperature_k.1 > *until_k => {
                add(format!(
                    "above {:.0} °C no schedule is published: the hottest row is used",
                    until_k - 273.15
                ));
            }
            _ => (),
        }
    }
}
