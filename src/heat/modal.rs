//! The exact series for one layer with constant properties and linear faces; the reference for the solver and the quick way
//! where it applies.

use serde::Serialize;

use super::slab::{CONDUCTIVITY, Step, TEMPERATURE, THICKNESS, Where};
use crate::error::{Error, Range, Result, check};

/// Most terms of a series.
const MOST_TERMS: usize = 1000;
/// A term that has fallen below this share is left out.
const NEGLIGIBLE: f64 = 1e-13;

/// One layer with constant properties, all of it at one temperature at the start.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Wall {
    /// Thickness. [m]
    pub thickness_m: f64,
    /// Conductivity. [W/m/K]
    pub conductivity_w_m_k: f64,
    /// Density times heat capacity. [J/m³/K]
    pub capacity_j_m3_k: f64,
    /// Temperature at the start. [K]
    pub start_k: f64,
}

/// One term: `amplitude · φ(X) · exp(−μ² Fo)`, `φ = cos μX + (B₁/μ) sin μX`.
#[derive(Debug, Clone, Copy)]
struct Term {
    root: f64,
    amplitude: f64,
    /// `B₁/μ`.
    lean: f64,
    /// `φ(1)`.
    back: f64,
    /// `∫ φ dX`.
    mean: f64,
    /// Sine and cosine of `μ/8`, to walk through the wall by turning.
    turn: (f64, f64),
}

/// Parts into which the wall is looked at for an extreme inside.
const LOOKS: usize = 8;

/// Terms that room is made for beforehand.
const MOST_USUAL: usize = 16;

/// One stretch of time with the same faces.
#[derive(Debug, Clone)]
struct Stage {
    start_s: f64,
    seconds: f64,
    /// Steady profile `at_front + slope X`. [K]
    at_front: f64,
    slope: f64,
    biot: [f64; 2],
    /// Heat offered by each face: Biot number times gas, plus the flux. [K]
    offered: [f64; 2],
    /// Least Fourier number at which the terms suffice.
    shortest_fo: f64,
    terms: Vec<Term>,
}

/// The exact temperatures of a [`Wall`] through a sequence of steps.
#[derive(Debug, Clone)]
pub struct Exact {
    wall: Wall,
    /// `α/L²`. [1/s]
    pace: f64,
    /// Least Fourier number after a switch at which it is asked.
    shortest_fo: f64,
    stages: Vec<Stage>,
}

/// `φ` and its parts at the `n`-th eigenvalue `root` of a wall with two Biot numbers.
fn shape(n: usize, root: f64, biot: [f64; 2]) -> Term {
    if root <= 0.0 {
        return Term {
            root: 0.0,
            amplitude: 0.0,
            lean: 0.0,
            back: 1.0,
            mean: 1.0,
            turn: (0.0, 1.0),
        };
    }
    // Sine and cosine from the condition that the root solves.
    let (opposite, adjacent) = (root * (biot[0] + biot[1]), root * root - biot[0] * biot[1]);
    let sign = if n.is_multiple_of(2) { -1.0 } else { 1.0 };
    let scale = sign / opposite.hypot(adjacent);
    let (sin, cos) = (opposite * scale, adjacent * scale);
    let lean = biot[0] / root;
    Term {
        root,
        amplitude: 0.0,
        lean,
        back: cos + lean * sin,
        mean: (sin + lean * (1.0 - cos)) / root,
        turn: (root / LOOKS as f64).sin_cos(),
    }
}

/// `∫ φ² dX`.
fn norm(t: &Term, biot: [f64; 2]) -> f64 {
    if t.root <= 0.0 {
        return 1.0;
    }
    let square = t.root * t.root;
    0.5 * ((1.0 + t.lean * t.lean) * (1.0 + biot[1] / (square + biot[1] * biot[1]))
        + biot[0] / square)
}

/// The `n`-th eigenvalue (from 1): `μ = (n−1)π + atan(B₁/μ) + atan(B₂/μ)`, equivalent to
/// `(μ² − B₁B₂) sin μ = μ (B₁ + B₂) cos μ`.
///
/// ```
/// // Symmetric wall of half thickness L, Bi = 1: ζ₁ = 0.8603 on the half thickness (Bergman et al., table 5.1).
/// let mu = mountwright::heat::modal::eigenvalue(1, [2.0, 2.0]);
/// assert!((mu / 2.0 - 0.8603).abs() < 5e-5);
/// ```
pub fn eigenvalue(n: usize, biot: [f64; 2]) -> f64 {
    let low = (n.max(1) - 1) as f64 * std::f64::consts::PI;
    let sum = biot[0] + biot[1];
    if n <= 1 && sum <= 0.0 {
        return 0.0;
    }
    let (mut below, mut above) = (low, low + std::f64::consts::PI);
    let both = biot[0] * biot[1];
    // The two arcs in one: their sum lies between 0 and π.
    let arcs = |root: f64| (root * sum).atan2(root * root - both);
    let mut root = if n <= 1 {
        (sum / (1.0 + sum / 9.87)).sqrt().min(3.1)
    } else {
        low + arcs(low).min(3.1)
    };
    for _ in 0..60 {
        let excess = root - low - arcs(root);
        if excess > 0.0 {
            above = root;
        } else {
            below = root;
        }
        // Halley's step: slope and bend are those of the two arcs.
        let square = root * root;
        let arc = biot.map(|b| {
            let share = b / (square + b * b);
            if b > 0.0 {
                (share, share * share / b)
            } else {
                (0.0, 0.0)
            }
        });
        let slope = 1.0 + arc[0].0 + arc[1].0;
        let bend = -2.0 * root * (arc[0].1 + arc[1].1);
        let newton = excess / slope;
        let halley = root - newton / (1.0 - 0.5 * newton * bend / slope);
        // A root found from one side may lie on the bound itself.
        let inside = halley >= below && halley <= above;
        let next = if inside {
            halley
        } else {
            f64::midpoint(below, above)
        };
        let moved = (next - root).abs();
        root = next;
        // The next move would be of the cube of this.
        if inside && moved <= 1e-5 * root {
            break;
        }
    }
    root
}

/// `∫ φ_a φ_b dX` of two shapes with different Biot numbers.
fn overlap(a: &Term, biot_a: [f64; 2], b: &Term, biot_b: [f64; 2]) -> f64 {
    let apart = a.root * a.root - b.root * b.root;
    if apart.abs() > 1e-3 * (1.0 + a.root * a.root) {
        // Green's identity: only the ends remain.
        return (a.back * b.back * (biot_a[1] - biot_b[1]) - (biot_b[0] - biot_a[0])) / apart;
    }
    let sine = |x: f64| {
        if x.abs() < 1e-4 {
            1.0 - x * x / 6.0
        } else {
            x.sin() / x
        }
    };
    let cosine = |x: f64| {
        if x.abs() < 1e-4 {
            0.5 * x
        } else {
            (1.0 - x.cos()) / x
        }
    };
    let (minus, plus) = (a.root - b.root, a.root + b.root);
    0.5 * (sine(minus) + sine(plus))
        + 0.5 * a.lean * b.lean * (sine(minus) - sine(plus))
        + 0.5 * a.lean * (cosine(plus) + cosine(minus))
        + 0.5 * b.lean * (cosine(plus) - cosine(minus))
}

impl Exact {
    /// The exact solution; `shortest_fo` is the least Fourier number after a switch at which it will be asked
    /// (fewer terms are needed for a greater one; 1e-4 takes some 170).
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a wall that cannot be, [`Error::Shape`] for faces with radiation or free convection, or
    /// with a flux on a wall that has no film.
    ///
    /// ```
    /// use mountwright::heat::modal::{Exact, Wall};
    /// use mountwright::heat::{Face, Step, Where};
    /// let wall = Wall { thickness_m: 0.04, conductivity_w_m_k: 63.9, capacity_j_m3_k: 7832.0 * 434.0, start_k: 253.15 };
    /// let oil = Face { film_w_m2_k: 500.0, gas_k: 333.15, ..Face::INSULATED };
    /// let exact = Exact::new(&wall, &[Step { seconds: 480.0, front: oil, back: Face::INSULATED }], 0.02)?;
    /// assert!((exact.value_k(Where::Back, 480.0) - 273.15 - 43.017).abs() < 1e-3);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn new(wall: &Wall, steps: &[Step], shortest_fo: f64) -> Result<Self> {
        check(
            "thickness_m",
            wall.thickness_m,
            THICKNESS,
            "measure the wall",
        )?;
        check(
            "conductivity_w_m_k",
            wall.conductivity_w_m_k,
            CONDUCTIVITY,
            "check the unit",
        )?;
        check(
            "capacity_j_m3_k",
            wall.capacity_j_m3_k,
            Range::new(50.0, 6e8, "J/m3/K"),
            "density times heat capacity",
        )?;
        check("start_k", wall.start_k, TEMPERATURE, "use kelvin")?;
        check(
            "shortest_fo",
            shortest_fo,
            Range::new(1e-6, 10.0, ""),
            "0.02 is usual",
        )?;
        let mut exact = Self {
            wall: *wall,
            pace: wall.conductivity_w_m_k
                / (wall.capacity_j_m3_k * wall.thickness_m * wall.thickness_m),
            shortest_fo,
            stages: Vec::with_capacity(steps.len()),
        };
        let mut start_s = 0.0;
        for step in steps {
            exact.push(step, start_s)?;
            start_s += step.seconds;
        }
        if exact.stages.is_empty() {
            return Err(Error::Shape {
                what: "steps".into(),
                given: "none".into(),
                allowed: "at least one".into(),
            });
        }
        Ok(exact)
    }

    /// Fourier numbers in a second. [1/s]
    pub(crate) fn pace_1_s(&self) -> f64 {
        self.pace
    }

    /// The same up to a time within the last step, and another step from there.
    ///
    /// # Errors
    /// As [`Exact::new`]; [`Error::OutOfRange`] for a time outside the last step.
    pub fn followed_by(mut self, at_s: f64, step: &Step) -> Result<Self> {
        if let Some(last) = self.stages.last_mut() {
            let range = Range::new(last.start_s, last.start_s + last.seconds, "s");
            check("at_s", at_s, range, "cut the last step")?;
            last.seconds = at_s - last.start_s;
        }
        self.push(step, at_s)?;
        Ok(self)
    }

    fn push(&mut self, step: &Step, start_s: f64) -> Result<()> {
        step.front.check("front of a step")?;
        step.back.check("back of a step")?;
        check(
            "seconds of a step",
            step.seconds,
            Range::new(1e-9, 1e9, "s"),
            "give a positive time",
        )?;
        let mut stage = self.stage(step, start_s)?;
        stage.deepen(self.shortest_fo, self.stages.last(), &self.wall, self.pace);
        self.stages.push(stage);
        Ok(())
    }

    /// Adds terms to the last step until it may be asked from a Fourier number after its switch on.
    pub(crate) fn deepen(&mut self, shortest_fo: f64) {
        if let Some((last, before)) = self.stages.split_last_mut() {
            last.deepen(shortest_fo, before.last(), &self.wall, self.pace);
        }
    }

    /// A step without its terms.
    fn stage(&self, step: &Step, start_s: f64) -> Result<Stage> {
        let faces = [step.front, step.back];
        if faces
            .iter()
            .any(|f| f.emissivity > 0.0 || f.free_w_m2_k125 > 0.0)
        {
            return Err(Error::Shape {
                what: "faces of an exact solution".into(),
                given: "radiation or free convection".into(),
                allowed: "film and flux; put radiation into the film".into(),
            });
        }
        let per_film = self.wall.thickness_m / self.wall.conductivity_w_m_k;
        let biot = faces.map(|f| f.film_w_m2_k * per_film);
        let offered: [f64; 2] =
            std::array::from_fn(|i| biot[i] * faces[i].gas_k + faces[i].flux_w_m2 * per_film);
        let (mut at_front, mut slope) = (self.wall.start_k, 0.0);
        let both = biot[0] + biot[1] + biot[0] * biot[1];
        if both > 0.0 {
            at_front = (offered[0] + offered[1] + biot[1] * offered[0]) / both;
            slope = biot[0] * at_front - offered[0];
        } else if offered.iter().any(|q| q.abs() > 0.0) {
            return Err(Error::Shape {
                what: "faces of an exact solution".into(),
                given: "a flux and no film on either face".into(),
                allowed: "a film on one face".into(),
            });
        }
        Ok(Stage {
            start_s,
            seconds: step.seconds,
            at_front,
            slope,
            biot,
            offered,
            shortest_fo: f64::INFINITY,
            terms: Vec::new(),
        })
    }

    /// Stage and time since it began.
    fn find(&self, t_s: f64) -> (&Stage, f64) {
        let mut found = &self.stages[0];
        // At a switch the series of the step before has converged, and the next one has not.
        for stage in &self.stages {
            if t_s > stage.start_s {
                found = stage;
            }
        }
        (found, (t_s - found.start_s).max(0.0))
    }

    /// Temperature at a share of the thickness, 0 at the front. [K]
    pub fn temperature_k(&self, depth_share: f64, t_s: f64) -> f64 {
        let (stage, since) = self.find(t_s);
        {
            let mut left = Vec::new();
            stage.left(since * self.pace, &mut left);
            stage.value(depth_share, &left)
        }
    }

    /// Temperature at a place. [K]
    pub fn value_k(&self, place: Where, t_s: f64) -> f64 {
        let (stage, since) = self.find(t_s);
        stage.place(place, since * self.pace, &mut Vec::new()).0
    }

    /// First time at which a place is at or beyond a level, to 1e-12 of the step; `None` if it is not within the steps.
    pub fn first_time(&self, place: Where, level_k: f64, rising: bool) -> Option<f64> {
        self.first_after(place, level_k, rising, 0.0)
    }

    /// [`Exact::first_time`] from a time on.
    pub fn first_after(
        &self,
        place: Where,
        level_k: f64,
        rising: bool,
        from_s: f64,
    ) -> Option<f64> {
        let sign = if rising { 1.0 } else { -1.0 };
        let mut scratch = Vec::with_capacity(MOST_USUAL);
        for (i, stage) in self.stages.iter().enumerate() {
            if stage.start_s + stage.seconds <= from_s {
                continue;
            }
            let end = stage.seconds * self.pace;
            let begin = ((from_s - stage.start_s) * self.pace).max(0.0);
            let excess = |fo: f64, scratch: &mut Vec<f64>| {
                sign * (stage.place(place, fo, scratch).0 - level_k)
            };
            let mut low = begin;
            let before = i.checked_sub(1).and_then(|j| self.stages.get(j));
            // Right after a switch the series has not converged: the value is that of the step before.
            let at_start = match before {
                _ if low > 0.0 => excess(low, &mut scratch),
                None => sign * (self.wall.start_k - level_k),
                Some(p) => sign * (p.place(place, p.seconds * self.pace, &mut scratch).0 - level_k),
            };
            if at_start >= 0.0 {
                return Some(stage.start_s + low / self.pace);
            }
            let found = |bounds, scratch: &mut Vec<f64>| {
                let fo = stage.crossing(place, level_k, sign, bounds, scratch);
                Some(stage.start_s + fo / self.pace)
            };
            let coldest_k = |scratch: &mut Vec<f64>| {
                before.map_or(self.wall.start_k, |p| {
                    p.place(Where::Coldest, p.seconds * self.pace, scratch).0
                })
            };
            if stage.crosses_once(place, level_k, sign)
                || (before.is_none() && stage.one_way(self.wall.start_k, sign))
                || (place == Where::Mean && stage.falls_in_mean(sign, || coldest_k(&mut scratch)))
            {
                if excess(end, &mut scratch) >= 0.0 {
                    return found((low, end), &mut scratch);
                }
                continue;
            }
            // Modes fall apart geometrically: so do the looks.
            let mut high = (low + stage.shortest_fo).min(end);
            let mut towards = true;
            loop {
                let (value_k, rate) = stage.place(place, high, &mut scratch);
                if sign * (value_k - level_k) >= 0.0 {
                    return found((low, high), &mut scratch);
                }
                // Towards the level before and away from it now: it turned between, perhaps beyond the level.
                if towards && sign * rate < 0.0 {
                    let top = stage.turn(place, sign, (low, high), &mut scratch);
                    if excess(top, &mut scratch) >= 0.0 {
                        return found((low, top), &mut scratch);
                    }
                }
                if high >= end {
                    break;
                }
                towards = sign * rate >= 0.0;
                low = high;
                high = (begin + (high - begin) * LOOK).min(end);
            }
        }
        None
    }
}

/// Ratio of two Fourier numbers since a switch between which a place is taken to move one way only.
const LOOK: f64 = 1.6;

impl Stage {
    /// Adds terms until they suffice from a Fourier number on.
    fn deepen(&mut self, shortest_fo: f64, previous: Option<&Self>, wall: &Wall, pace: f64) {
        let terms = (-NEGLIGIBLE.ln() / shortest_fo).sqrt() / std::f64::consts::PI;
        let terms = (terms.ceil() as usize + 1).min(MOST_TERMS);
        self.shortest_fo = self.shortest_fo.min(shortest_fo);
        // Start minus steady, both as `a + b X` plus the terms of the stage before.
        let (a, b) = previous.map_or((wall.start_k, 0.0), |p| (p.at_front, p.slope));
        let (a, b) = (a - self.at_front, b - self.slope);
        let mut left = Vec::new();
        if let Some(p) = previous {
            p.left(p.seconds * pace, &mut left);
        }
        self.terms.reserve(terms.saturating_sub(self.terms.len()));
        for n in self.terms.len() + 1..=terms {
            let mut term = shape(n, eigenvalue(n, self.biot), self.biot);
            let tilt = if term.root > 0.0 {
                (term.back * (1.0 + self.biot[1]) - 1.0) / (term.root * term.root)
            } else {
                0.5
            };
            let mut sum = a * term.mean + b * tilt;
            if let Some(p) = previous {
                for (old, weight) in p.terms.iter().zip(&left) {
                    sum += weight * overlap(old, p.biot, &term, self.biot);
                }
            }
            term.amplitude = sum / norm(&term, self.biot);
            self.terms.push(term);
        }
    }

    /// Whether the extreme passes a level at most once: no face draws the extreme back over it (maximum principle).
    fn crosses_once(&self, place: Where, level_k: f64, sign: f64) -> bool {
        let towards = if sign > 0.0 {
            Where::Coldest
        } else {
            Where::Hottest
        };
        place == towards && self.pulls(level_k, sign)
    }

    /// Whether every point of a wall that starts at one temperature moves one way only: its rate obeys the heat equation too, and
    /// begins with the sign of what the faces offer.
    fn one_way(&self, start_k: f64, sign: f64) -> bool {
        self.pulls(start_k, sign)
    }

    /// Whether the mean only falls: nothing is colder than the air of both faces, and so it stays.
    fn falls_in_mean(&self, sign: f64, coldest_k: impl FnOnce() -> f64) -> bool {
        if sign > 0.0 {
            return false;
        }
        let [front, back] = [0, 1].map(|i| self.offered[i] / self.biot[i]);
        let gas_k = match self.biot.map(|b| b > 0.0) {
            [true, true] if (front - back).abs() <= 1e-12 * front => front,
            [true, false] if self.offered[1] <= 0.0 => front,
            [false, true] if self.offered[0] <= 0.0 => back,
            _ => return false,
        };
        coldest_k() >= gas_k
    }

    /// Whether both faces would draw a wall that is at a level beyond it, or leave it there.
    fn pulls(&self, level_k: f64, sign: f64) -> bool {
        self.offered
            .iter()
            .zip(&self.biot)
            .all(|(offered, biot)| sign * (offered - biot * level_k) >= 0.0)
    }

    /// What is left of the terms at a Fourier number, as far as it counts.
    fn left(&self, fo: f64, out: &mut Vec<f64>) {
        let fades = self.terms.iter().map(|t| (-t.root * t.root * fo).exp());
        out.clear();
        out.extend(
            self.terms
                .iter()
                .zip(fades)
                .take_while(|&(_, fade)| fade >= NEGLIGIBLE)
                .map(|(term, fade)| term.amplitude * fade),
        );
    }

    fn value(&self, x: f64, left: &[f64]) -> f64 {
        let mut sum = self.at_front + self.slope * x;
        for (term, weight) in self.terms.iter().zip(left) {
            let (sin, cos) = (term.root * x).sin_cos();
            sum += weight * (cos + term.lean * sin);
        }
        sum
    }

    /// Slope and bend over X.
    fn slopes(&self, x: f64, left: &[f64]) -> (f64, f64) {
        let (mut first, mut second) = (self.slope, 0.0);
        for (term, weight) in self.terms.iter().zip(left) {
            let (sin, cos) = (term.root * x).sin_cos();
            let scale = weight * term.root;
            first += scale * (term.lean * cos - sin);
            second -= scale * term.root * (cos + term.lean * sin);
        }
        (first, second)
    }

    /// Value and its rate over the Fourier number.
    fn place(&self, place: Where, fo: f64, scratch: &mut Vec<f64>) -> (f64, f64) {
        let by = |steady: f64, part: fn(&Term) -> f64| {
            let (mut sum, mut rate) = (steady, 0.0);
            for term in &self.terms {
                let square = term.root * term.root;
                let fade = (-square * fo).exp();
                if fade < NEGLIGIBLE {
                    break;
                }
                let value = term.amplitude * fade * part(term);
                sum += value;
                rate -= square * value;
            }
            (sum, rate)
        };
        match place {
            Where::Front => by(self.at_front, |_| 1.0),
            Where::Back => by(self.at_front + self.slope, |t| t.back),
            Where::Mean => by(self.at_front + 0.5 * self.slope, |t| t.mean),
            Where::Coldest => self.extreme(-1.0, fo, scratch),
            Where::Hottest => self.extreme(1.0, fo, scratch),
        }
    }

    /// The extreme over X: at a face, or where the slope is nil between points that are looked at.
    fn extreme(&self, sign: f64, fo: f64, left: &mut Vec<f64>) -> (f64, f64) {
        self.left(fo, left);
        let mut front = (self.at_front, 0.0);
        let mut back = (self.at_front + self.slope, 0.0);
        let mut slopes = [self.slope; LOOKS + 1];
        for (term, &weight) in self.terms.iter().zip(&*left) {
            let rate = term.root * term.root * weight;
            front = (front.0 + weight, front.1 - rate);
            back = (back.0 + weight * term.back, back.1 - rate * term.back);
            let (scale, (turn_sin, turn_cos)) = (weight * term.root, term.turn);
            let (mut sin, mut cos) = (0.0_f64, 1.0_f64);
            for slope in &mut slopes {
                *slope += scale * (term.lean * cos - sin);
                (sin, cos) = (
                    sin * turn_cos + cos * turn_sin,
                    cos * turn_cos - sin * turn_sin,
                );
            }
        }
        let mut best = if sign * front.0 >= sign * back.0 {
            front
        } else {
            back
        };
        // Inside, a hump needs the slope to change its sign from `sign` to the other.
        for i in 1..=LOOKS {
            if sign * slopes[i - 1] > 0.0 && sign * slopes[i] <= 0.0 {
                let at = self.nil_slope(sign, left, (i - 1) as f64, slopes[i - 1], slopes[i]);
                let value = self.value(at, left);
                if sign * value > sign * best.0 {
                    // The heat equation: rate over the Fourier number is the bend.
                    best = (value, self.slopes(at, left).1);
                }
            }
        }
        best
    }

    /// Where the slope is nil between look `from` and the next.
    fn nil_slope(&self, sign: f64, left: &[f64], from: f64, before: f64, after: f64) -> f64 {
        let (mut low, mut high) = (from / LOOKS as f64, (from + 1.0) / LOOKS as f64);
        let mut at = low + (high - low) * before / (before - after);
        for _ in 0..50 {
            let (slope, bend) = self.slopes(at, left);
            if sign * slope > 0.0 {
                low = at;
            } else {
                high = at;
            }
            let newton = at - slope / bend;
            let inside = newton >= low && newton <= high;
            let next = if inside {
                newton
            } else {
                f64::midpoint(low, high)
            };
            let moved = (next - at).abs();
            at = next;
            // Newton's next error is of the square of this, and the value, flat here, of the square of that.
            if inside && moved < 1e-4 {
                break;
            }
        }
        at
    }

    /// Where between two Fourier numbers a place turns from rising by `sign` to falling.
    fn turn(
        &self,
        place: Where,
        sign: f64,
        (mut low, mut high): (f64, f64),
        scratch: &mut Vec<f64>,
    ) -> f64 {
        while high - low > 1e-9 * high {
            let middle = f64::midpoint(low, high);
            if sign * self.place(place, middle, scratch).1 >= 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
        low
    }

    /// Where a place comes to rest. [K]
    fn rest_k(&self, place: Where) -> f64 {
        let (front, back) = (self.at_front, self.at_front + self.slope);
        match place {
            Where::Front => front,
            Where::Back => back,
            Where::Mean => f64::midpoint(front, back),
            Where::Coldest => front.min(back),
            Where::Hottest => front.max(back),
        }
    }

    /// The one crossing between two Fourier numbers, by Newton steps on the logarithm of the way that is left, held between
    /// bounds: temperatures near their rest as one exponential.
    fn crossing(
        &self,
        place: Where,
        level: f64,
        sign: f64,
        (mut low, mut high): (f64, f64),
        scratch: &mut Vec<f64>,
    ) -> f64 {
        let rest = self.rest_k(place);
        // From the time that the slowest mode takes on.
        let slowest = self.terms.first().map_or(1.0, |t| t.root * t.root);
        let mut at = (low + 1.0 / slowest).clamp(f64::midpoint(low, high.min(2.0 * low)), high);
        for _ in 0..80 {
            let (value, rate) = self.place(place, at, scratch);
            let excess = sign * (value - level);
            if excess >= 0.0 {
                high = at;
            } else {
                low = at;
            }
            let (left, wanted) = (value - rest, level - rest);
            let by_log = at + (wanted / left).ln() * left / rate;
            let mut next = if by_log.is_finite() {
                by_log
            } else {
                at - (value - level) / rate
            };
            if !(next >= low && next <= high) {
                next = if high > 4.0 * low && low > 0.0 {
                    (low * high).sqrt()
                } else {
                    f64::midpoint(low, high)
                };
            }
            let moved = (next - at).abs();
            at = next;
            // Newton's next move would be of the square of this.
            if moved <= 1e-7 * at {
                break;
            }
        }
        at
    }
}
