//! How long one stage of a cure takes in steady air, and how it adds up in air that changes.

use serde::Serialize;

use crate::climate::{Air, Climate, Stretch};
use crate::error::{Error, Range, Result, check};

/// Gas constant, exact since 2019 (26th CGPM). [J/(mol K)]
pub const GAS_CONSTANT: f64 = 8.314_462_618;

/// Times that a stage may take in steady air. [s]
pub(crate) const TIMES_S: Range = Range::new(1e-3, 3.2e8, "s");

/// Activation energies that are accepted. [J/mol]
pub(crate) const ACTIVATIONS_J_MOL: Range = Range::new(0.0, 200_000.0, "J/mol");

/// Temperature above which a single published time is not shifted further: the law is known to break there. [K]
pub const SHIFT_UNTIL_K: f64 = 323.15;

/// Saturation pressure of water vapour over water after Buck (1981), from memory: `611.21 exp{(18.678 - T/234.5) T/(257.14 + T)}`, T in °C. [Pa]
///
/// For -40 to 100 °C.
///
/// ```
/// assert!((mountwright::bond::clock::saturation_pa(296.15) - 2809.85).abs() < 0.01);
/// ```
pub fn saturation_pa(temperature_k: f64) -> f64 {
    let t = temperature_k - 273.15;
    611.21 * ((18.678 - t / 234.5) * t / (257.14 + t)).exp()
}

/// Times published at one or more temperatures, with a straight `ln t` over `1/T` between them and an activation energy beyond.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shift {
    /// Temperatures of the rows, rising. [K]
    temperature_k: Vec<f64>,
    /// Times of the rows. [s]
    time_s: Vec<f64>,
    /// Their natural logarithms.
    #[serde(skip)]
    ln_time: Vec<f64>,
    /// Activation energy below the coldest row, and above the hottest up to [`SHIFT_UNTIL_K`]. [J/mol]
    activation_j_mol: f64,
}

impl Shift {
    /// From rows of (temperature \[K\], time \[s\]) with rising temperatures.
    ///
    /// # Errors
    /// [`Error::Shape`] without a row, or where temperatures do not rise; [`Error::OutOfRange`] for a temperature outside 200 to 500 K, a time
    /// outside 1 ms to ten years, an activation energy outside 0 to 200 kJ/mol.
    pub fn new(rows: &[(f64, f64)], activation_j_mol: f64) -> Result<Self> {
        if rows.is_empty() || rows.windows(2).any(|w| w[1].0 <= w[0].0) {
            return Err(Error::Shape {
                what: "cure schedule".into(),
                given: format!("{} rows", rows.len()),
                allowed: "at least one row, temperatures rising".into(),
            });
        }
        let remedy = "copy the schedule from the data sheet";
        let mut shift = Self {
            temperature_k: Vec::new(),
            time_s: Vec::new(),
            ln_time: Vec::new(),
            activation_j_mol: check(
                "activation_j_mol",
                activation_j_mol,
                ACTIVATIONS_J_MOL,
                "65000 is usual for room-temperature adhesives",
            )?,
        };
        for (i, (t, s)) in rows.iter().enumerate() {
            let t = check(
                format!("rows[{i}].temperature_k"),
                *t,
                Range::new(200.0, 500.0, "K"),
                remedy,
            )?;
            let s = check(format!("rows[{i}].time_s"), *s, TIMES_S, remedy)?;
            shift.temperature_k.push(t);
            shift.time_s.push(s);
            shift.ln_time.push(s.ln());
        }
        Ok(shift)
    }

    /// Time in steady air of a temperature. [s]
    pub fn time_s(&self, temperature_k: f64) -> f64 {
        let t = temperature_k.min(self.hold_above_k());
        let beyond = |i: usize| {
            self.ln_time[i]
                + self.activation_j_mol / GAS_CONSTANT * (1.0 / t - 1.0 / self.temperature_k[i])
        };
        let last = self.temperature_k.len() - 1;
        let after = self.temperature_k.partition_point(|row| *row <= t);
        let ln_time = if after == 0 {
            beyond(0)
        } else if after > last {
            beyond(last)
        } else {
            let (a, b) = (self.temperature_k[after - 1], self.temperature_k[after]);
            let x = (1.0 / a - 1.0 / t) / (1.0 / a - 1.0 / b);
            self.ln_time[after - 1] + x * (self.ln_time[after] - self.ln_time[after - 1])
        };
        ln_time.exp()
    }

    /// Temperature above which the time no longer falls. [K]
    pub fn hold_above_k(&self) -> f64 {
        let hottest = self.temperature_k.last().copied().unwrap_or(SHIFT_UNTIL_K);
        hottest.max(SHIFT_UNTIL_K)
    }

    /// Coldest temperature with a published time. [K]
    pub fn coldest_k(&self) -> f64 {
        self.temperature_k.first().copied().unwrap_or(SHIFT_UNTIL_K)
    }
}

/// One temperature band of a solvent-cement schedule.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Band {
    /// The band holds above this temperature, the edge itself belongs to the colder band. [K]
    pub above_k: f64,
    /// Time in this band. [s]
    pub time_s: f64,
}

/// How long one stage takes in steady air.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Clock {
    /// The same at any temperature: tape, cooling of a thin bead.
    Fixed {
        /// Time. [s]
        time_s: f64,
    },
    /// Published times shifted by temperature.
    Shifted(Shift),
    /// A surface cure driven by moisture (cyanoacrylate): time in inverse proportion to humidity, held outside 20 to 70 %.
    Humidity {
        /// Time at 50 % relative humidity. [s]
        half_humid_s: f64,
    },
    /// A skin, then hardening inwards with the square root of time (silicone sealant).
    Moisture {
        /// Time until a skin has formed. [s]
        skin_s: f64,
        /// Depth to be hardened. [m]
        depth_m: f64,
        /// Depth hardened in the first day at 23 °C and 50 % relative humidity. [m/day^0.5]
        depth_m_root_day: f64,
    },
    /// Temperature bands (solvent cement), hottest first.
    Banded {
        /// The bands; below the last one nothing sets.
        bands: Vec<Band>,
        /// Upper edge of the hottest band; above it that band is used, with a note. [K]
        until_k: f64,
        /// Times are longer by this factor in damp air.
        damp_factor: f64,
        /// Relative humidity above which air is damp.
        damp_above: f64,
    },
    /// A thin bead that cools to its setting temperature (hot melt): `tau ln((T_start - T)/(T_set - T))`.
    Cooling {
        /// Time constant. [s]
        time_constant_s: f64,
        /// Temperature when applied. [K]
        applied_k: f64,
        /// Temperature at which it is set. [K]
        set_k: f64,
    },
}

/// Humidity between which the cyanoacrylate law is used; an assumption.
const HUMIDITY_LAW: (f64, f64) = (0.2, 0.7);

impl Clock {
    /// The clock itself, where its numbers are possible.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] or [`Error::Shape`] with the number that is not.
    pub fn checked(self) -> Result<Self> {
        let remedy = "copy it from the data sheet";
        let time = |what: &str, s: f64| check(what, s, TIMES_S, remedy).map(|_| ());
        let kelvin =
            |what: &str, k: f64| check(what, k, Range::new(200.0, 600.0, "K"), remedy).map(|_| ());
        match &self {
            Self::Fixed { time_s } => time("time_s", *time_s)?,
            Self::Shifted(_) => (),
            Self::Humidity { half_humid_s } => time("half_humid_s", *half_humid_s)?,
            Self::Moisture {
                skin_s,
                depth_m,
                depth_m_root_day,
            } => {
                check("skin_s", *skin_s, Range::new(0.0, 1e6, "s"), remedy)?;
                let range = Range::new(1e-6, 0.2, "m");
                check(
                    "depth_m",
                    *depth_m,
                    range,
                    "half the overlap, or the bead's height",
                )?;
                let range = Range::new(1e-5, 0.1, "m/day^0.5");
                check("depth_m_root_day", *depth_m_root_day, range, remedy)?;
            }
            Self::Banded {
                bands,
                until_k,
                damp_factor,
                damp_above,
            } => {
                kelvin("until_k", *until_k)?;
                if bands.is_empty() || bands.windows(2).any(|w| w[1].above_k >= w[0].above_k) {
                    return Err(Error::Shape {
                        what: "bands".into(),
                        given: format!("{} bands", bands.len()),
                        allowed: "at least one band, hottest first".into(),
                    });
                }
                for band in bands {
                    time("bands[].time_s", band.time_s)?;
                    kelvin("bands[].above_k", band.above_k)?;
                }
                check(
                    "damp_factor",
                    *damp_factor,
                    Range::new(1.0, 10.0, "1"),
                    remedy,
                )?;
                check("damp_above", *damp_above, Range::new(0.0, 1.0, "1"), remedy)?;
            }
            Self::Cooling {
                time_constant_s,
                applied_k,
                set_k,
            } => {
                time("time_constant_s", *time_constant_s)?;
                kelvin("applied_k", *applied_k)?;
                check("set_k", *set_k, Range::new(200.0, *applied_k, "K"), remedy)?;
            }
        }
        Ok(self)
    }

    /// Share of the stage that goes by in each second in this air: the inverse of its time in steady air, 0 where it stands still. [1/s]
    pub fn rate(&self, air: Air) -> f64 {
        match self {
            Self::Fixed { time_s } => 1.0 / time_s,
            Self::Shifted(shift) => 1.0 / shift.time_s(air.temperature_k),
            Self::Humidity { half_humid_s } => {
                air.humidity.clamp(HUMIDITY_LAW.0, HUMIDITY_LAW.1) / 0.5 / half_humid_s
            }
            Self::Moisture {
                skin_s,
                depth_m,
                depth_m_root_day,
            } => {
                let wet =
                    air.humidity * saturation_pa(air.temperature_k) / (0.5 * saturation_pa(296.15));
                if wet <= 0.0 {
                    return 0.0;
                }
                let days = (depth_m / depth_m_root_day).powi(2) / wet;
                1.0 / (skin_s + days * crate::climate::DAY_S)
            }
            Self::Banded {
                bands,
                damp_factor,
                damp_above,
                ..
            } => bands
                .iter()
                .find(|b| air.temperature_k > b.above_k)
                .map_or(0.0, |b| {
                    let damp = air.humidity > *damp_above;
                    1.0 / (b.time_s * if damp { *damp_factor } else { 1.0 })
                }),
            Self::Cooling {
                time_constant_s,
                applied_k,
                set_k,
            } => {
                let t = air.temperature_k;
                if t >= *set_k {
                    return 0.0;
                }
                // Never quicker than a thousandth of the time constant: an adhesive applied at its setting temperature has no open time.
                let spans = ((applied_k - t) / (set_k - t)).ln().max(1e-3);
                1.0 / (time_constant_s * spans)
            }
        }
    }

    /// Calls `kink` with every temperature at which the rate is not smooth.
    fn each_kink_k(&self, mut kink: impl FnMut(f64)) {
        match self {
            Self::Shifted(shift) => {
                shift.temperature_k.iter().for_each(|t| kink(*t));
                kink(shift.hold_above_k());
            }
            Self::Banded { bands, .. } => bands.iter().for_each(|b| kink(b.above_k)),
            Self::Cooling { set_k, .. } => kink(*set_k),
            Self::Fixed { .. } | Self::Humidity { .. } | Self::Moisture { .. } => (),
        }
    }

    /// Calls `kink` with every humidity at which the rate is not smooth.
    fn each_kink_humidity(&self, mut kink: impl FnMut(f64)) {
        match self {
            Self::Humidity { .. } => {
                kink(HUMIDITY_LAW.0);
                kink(HUMIDITY_LAW.1);
            }
            Self::Banded { damp_above, .. } => kink(*damp_above),
            Self::Fixed { .. }
            | Self::Shifted(_)
            | Self::Moisture { .. }
            | Self::Cooling { .. } => (),
        }
    }
}

/// Nodes and weights of four-point Gauss-Legendre quadrature on 0 to 1 (Abramowitz and Stegun, table 25.4).
const NODES: [f64; 4] = [
    0.069_431_844_202_973_71,
    0.330_009_478_207_571_87,
    0.669_990_521_792_428_1,
    0.930_568_155_797_026_3,
];
const WEIGHTS: [f64; 4] = [
    0.173_927_422_568_726_93,
    0.326_072_577_431_273_07,
    0.326_072_577_431_273_07,
    0.173_927_422_568_726_93,
];

/// Longest step in temperature of one quadrature. [K]
const STEP_K: f64 = 10.0;

/// What a stage met on its way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Way {
    /// The instant at which it is done; `None` where it never is. [s]
    pub(crate) at_s: Option<f64>,
    /// Coldest and hottest air on the way. [K]
    pub(crate) temperature_k: (f64, f64),
    /// Driest and dampest air on the way.
    pub(crate) humidity: (f64, f64),
}

/// One clock running in a climate, slowed by a factor, standing still below a temperature.
pub(crate) struct Run<'a> {
    pub(crate) clock: &'a Clock,
    pub(crate) factor: f64,
    pub(crate) minimum_k: f64,
}

impl Run<'_> {
    fn rate(&self, air: Air) -> f64 {
        if air.temperature_k < self.minimum_k {
            0.0
        } else {
            self.clock.rate(air) / self.factor
        }
    }

    /// Runs from `start_s` until the share gone by is one.
    pub(crate) fn from(&self, start_s: f64, climate: &Climate) -> Way {
        let mut way = Way {
            at_s: None,
            temperature_k: (f64::INFINITY, f64::NEG_INFINITY),
            humidity: (f64::INFINITY, f64::NEG_INFINITY),
        };
        let mut done = 0.0;
        let mut t_s = start_s;
        // A day that repeats is integrated once; whole days are then passed over.
        let mut day_end_s = climate.period_s().map_or(f64::INFINITY, |p| start_s + p);
        loop {
            let stretch = climate.stretch(t_s);
            let end_s = stretch.end_s.min(day_end_s);
            let from = stretch.at(t_s);
            if end_s.is_infinite() {
                way.meets(from);
                let rate = self.rate(from);
                way.at_s = (rate > 0.0).then(|| t_s + (1.0 - done) / rate);
                return way;
            }
            match self.over(&stretch, t_s, end_s, 1.0 - done, &mut way) {
                Passed::Share(share) => done += share,
                Passed::Done(at_s) => {
                    way.at_s = Some(at_s);
                    return way;
                }
            }
            t_s = end_s;
            if t_s >= day_end_s {
                if done <= 0.0 {
                    return way;
                }
                let period_s = day_end_s - start_s;
                let days = ((1.0 - done) / done).floor().max(0.0);
                t_s += days * period_s;
                done = (done + days * done).min(1.0);
                day_end_s = f64::INFINITY;
                if !t_s.is_finite() || t_s > 1e12 {
                    return way;
                }
            }
        }
    }

    /// The share that goes by between two instants of one stretch, or the instant at which `need` of it is reached.
    fn over(&self, stretch: &Stretch, from_s: f64, to_s: f64, need: f64, way: &mut Way) -> Passed {
        let (a, b) = (stretch.at(from_s), stretch.at(to_s));
        let rise_k = b.temperature_k - a.temperature_k;
        let damper = b.humidity - a.humidity;
        let mut cuts = Cuts::new();
        if rise_k.abs() > 0.0 {
            let mut kink = |k: f64| cuts.add((k - a.temperature_k) / rise_k);
            self.clock.each_kink_k(&mut kink);
            kink(self.minimum_k);
        }
        if damper.abs() > 0.0 {
            self.clock
                .each_kink_humidity(|h| cuts.add((h - a.humidity) / damper));
        }
        let mut passed = 0.0;
        let mut x0 = 0.0;
        for x1 in cuts.sorted() {
            let steps = ((x1 - x0) * rise_k.abs() / STEP_K).ceil().max(1.0);
            let width = (x1 - x0) / steps;
            let mut step = 0.0;
            while step < steps {
                let piece = Piece {
                    run: self,
                    stretch,
                    from_s: from_s + (x0 + step * width) * (to_s - from_s),
                    length_s: width * (to_s - from_s),
                    steady: rise_k.abs() <= 0.0 && damper.abs() <= 0.0,
                };
                way.meets(stretch.at(piece.from_s));
                let share = piece.share(piece.length_s);
                if passed + share >= need {
                    let at_s = piece.from_s + piece.time_of(need - passed, share);
                    way.meets(stretch.at(at_s));
                    return Passed::Done(at_s);
                }
                passed += share;
                step += 1.0;
            }
            x0 = x1;
        }
        way.meets(b);
        Passed::Share(passed)
    }
}

enum Passed {
    Share(f64),
    Done(f64),
}

impl Way {
    fn meets(&mut self, air: Air) {
        self.temperature_k.0 = self.temperature_k.0.min(air.temperature_k);
        self.temperature_k.1 = self.temperature_k.1.max(air.temperature_k);
        self.humidity.0 = self.humidity.0.min(air.humidity);
        self.humidity.1 = self.humidity.1.max(air.humidity);
    }
}

/// A smooth piece of one stretch.
struct Piece<'a> {
    run: &'a Run<'a>,
    stretch: &'a Stretch,
    from_s: f64,
    length_s: f64,
    steady: bool,
}

impl Piece<'_> {
    /// Share that goes by in the first `length_s` of the piece.
    fn share(&self, length_s: f64) -> f64 {
        if self.steady {
            return length_s * self.run.rate(self.stretch.first);
        }
        let sum: f64 = NODES
            .iter()
            .zip(WEIGHTS)
            .map(|(x, w)| w * self.run.rate(self.stretch.at(self.from_s + x * length_s)))
            .sum();
        length_s * sum
    }

    /// Time from the piece's start at which `need` of its whole `share` has gone by.
    fn time_of(&self, need: f64, share: f64) -> f64 {
        if self.steady {
            return need / share * self.length_s;
        }
        // Newton's method, kept inside the bracket.
        let (mut low, mut high) = (0.0, self.length_s);
        let mut t = self.length_s * (need / share);
        for _ in 0..60 {
            let miss = self.share(t) - need;
            if miss > 0.0 {
                high = t;
            } else {
                low = t;
            }
            let rate = self.run.rate(self.stretch.at(self.from_s + t));
            let mut next = t - miss / rate;
            if !(next > low && next < high) {
                next = f64::midpoint(low, high);
            }
            if (next - t).abs() <= 1e-9 * self.length_s {
                return next;
            }
            t = next;
        }
        t
    }
}

/// Places in 0 to 1 where a piece ends.
struct Cuts {
    at: [f64; 32],
    count: usize,
}

impl Cuts {
    fn new() -> Self {
        Self {
            at: [1.0; 32],
            count: 1,
        }
    }

    /// Adds a place strictly inside; a kink too many only costs accuracy.
    fn add(&mut self, x: f64) {
        if x > 0.0 && x < 1.0 && self.count < self.at.len() {
            self.at[self.count] = x;
            self.count += 1;
        }
    }

    fn sorted(&mut self) -> impl Iterator<Item = f64> {
        self.at[..self.count].sort_unstable_by(f64::total_cmp);
        self.at.into_iter().take(self.count)
    }
}
