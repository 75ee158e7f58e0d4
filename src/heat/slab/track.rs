//! The record of a run: every step with its slopes, and the search for the times at which something happens.

use serde::Serialize;

/// Where a temperature is taken.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Where {
    /// Mean over the thickness.
    Mean,
    /// The front face.
    Front,
    /// The back face.
    Back,
    /// The coldest point, wherever it is.
    Coldest,
    /// The hottest point, wherever it is.
    Hottest,
}

/// Nodes of the layer, or of the whole slab, that a temperature is taken over.
#[derive(Debug, Clone)]
pub(crate) struct Nodes {
    /// First node in the record.
    pub(crate) first: usize,
    /// Depth of each node. [m]
    pub(crate) x_m: Vec<f64>,
    /// Weight of each node in the mean; the weights sum to 1.
    pub(crate) weight: Vec<f64>,
}

/// A value and its rate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Moving {
    pub(crate) value: f64,
    pub(crate) rate: f64,
}

/// Every step of a run. At a switch of the faces two records carry the same time.
#[derive(Debug, Clone, Default)]
pub(crate) struct Track {
    pub(crate) nodes: usize,
    pub(crate) t_s: Vec<f64>,
    pub(crate) temperature_k: Vec<f64>,
    pub(crate) rate_k_s: Vec<f64>,
    pub(crate) heat: Vec<f64>,
    pub(crate) molten: Vec<f64>,
    /// Heat through front and back since the start. [J/m²]
    pub(crate) supplied: Vec<[f64; 2]>,
}

impl Track {
    /// Forgets everything, keeping its memory.
    pub(crate) fn clear(&mut self, nodes: usize) {
        self.nodes = nodes;
        self.t_s.clear();
        for list in [
            &mut self.temperature_k,
            &mut self.rate_k_s,
            &mut self.heat,
            &mut self.molten,
        ] {
            list.clear();
        }
        self.supplied.clear();
    }

    /// Makes room for some records.
    pub(crate) fn reserve(&mut self, records: usize) {
        self.t_s.reserve(records);
        for list in [&mut self.temperature_k, &mut self.rate_k_s, &mut self.heat] {
            list.reserve(records * self.nodes);
        }
        self.supplied.reserve(records);
    }

    /// Keeps the first `records`.
    pub(crate) fn truncate(&mut self, records: usize) {
        self.t_s.truncate(records);
        for list in [
            &mut self.temperature_k,
            &mut self.rate_k_s,
            &mut self.heat,
            &mut self.molten,
        ] {
            list.truncate(records * self.nodes);
        }
        self.supplied.truncate(records);
    }

    pub(crate) fn len(&self) -> usize {
        self.t_s.len()
    }

    /// Temperatures of record `i`.
    pub(crate) fn profile(&self, i: usize) -> &[f64] {
        &self.temperature_k[i * self.nodes..(i + 1) * self.nodes]
    }

    fn rates(&self, i: usize) -> &[f64] {
        &self.rate_k_s[i * self.nodes..(i + 1) * self.nodes]
    }

    /// The first record of the step that holds `t_s`; for a time of a switch, the step before it.
    pub(crate) fn step_of(&self, t_s: f64) -> usize {
        self.t_s
            .partition_point(|&t| t < t_s)
            .clamp(1, self.len() - 1)
            - 1
    }

    /// Temperature of a node at share `s` of step `i`, by the cubic of its two ends.
    pub(crate) fn node_at(&self, i: usize, s: f64, node: usize) -> f64 {
        let h = self.t_s[i + 1] - self.t_s[i];
        let (a, b) = (i * self.nodes + node, (i + 1) * self.nodes + node);
        Cubic {
            from: self.temperature_k[a],
            leaving: self.rate_k_s[a] * h,
            to: self.temperature_k[b],
            arriving: self.rate_k_s[b] * h,
        }
        .at(s)
    }

    /// Temperatures of the nodes at a time.
    pub(crate) fn profile_at(&self, t_s: f64, out: &mut Vec<f64>) {
        let i = self.step_of(t_s);
        let h = self.t_s[i + 1] - self.t_s[i];
        let s = if h > 0.0 {
            ((t_s - self.t_s[i]) / h).clamp(0.0, 1.0)
        } else {
            1.0
        };
        self.profile_in(i, s, out);
    }

    /// Temperatures of the nodes at share `s` of step `i`: [`Track::node_at`] for all of them at once.
    fn profile_in(&self, i: usize, s: f64, out: &mut Vec<f64>) {
        let h = self.t_s[i + 1] - self.t_s[i];
        let r = 1.0 - s;
        let (from, to) = (r * r * (1.0 + 2.0 * s), s * s * (1.0 + 2.0 * r));
        let (leaving, arriving) = (r * r * s * h, s * s * r * h);
        out.clear();
        out.extend(
            self.profile(i)
                .iter()
                .zip(self.profile(i + 1))
                .zip(self.rates(i).iter().zip(self.rates(i + 1)))
                .map(|((a, b), (out, into))| a * from + b * to + (out * leaving - into * arriving)),
        );
    }

    /// Value and rate at record `i`.
    pub(crate) fn moving(&self, nodes: &Nodes, place: Where, i: usize) -> Moving {
        nodes.moving(place, self.profile(i), self.rates(i))
    }

    /// Value at share `s` of step `i`, by the step's own interpolant at every node.
    pub(crate) fn value_in(
        &self,
        nodes: &Nodes,
        place: Where,
        i: usize,
        s: f64,
        scratch: &mut Vec<f64>,
    ) -> f64 {
        match place {
            Where::Front => self.node_at(i, s, nodes.first),
            Where::Back => self.node_at(i, s, nodes.first + nodes.x_m.len() - 1),
            _ => {
                self.profile_in(i, s, scratch);
                nodes.value(place, scratch)
            }
        }
    }

    /// First time, from record `from` on, at which the value lies at or beyond `level`.
    ///
    /// Both ends of each step are looked at, and what turns inside it: a pulse may cross a limit and come back within one step,
    /// and the coldest point may pass from one place to another.
    pub(crate) fn first_time(
        &self,
        nodes: &Nodes,
        place: Where,
        level: f64,
        rising: bool,
        from: usize,
        scratch: &mut Vec<f64>,
    ) -> Option<f64> {
        if from >= self.len() {
            return None;
        }
        let sign = if rising { 1.0 } else { -1.0 };
        let mut before = self.moving(nodes, place, from);
        if sign * (before.value - level) >= 0.0 {
            return Some(self.t_s[from]);
        }
        for i in from..self.len() - 1 {
            let h = self.t_s[i + 1] - self.t_s[i];
            let after = self.moving(nodes, place, i + 1);
            if h > 0.0 {
                let beyond = |s: f64, scratch: &mut Vec<f64>| {
                    sign * (self.value_in(nodes, place, i, s, scratch) - level)
                };
                let end = if sign * (after.value - level) >= 0.0 {
                    Some(1.0)
                } else {
                    match place {
                        Where::Coldest | Where::Hottest => peak_of(before, after, h, sign, level)
                            .then(|| highest(|s| beyond(s, scratch))),
                        _ => Cubic::of(before, after, h).turn(sign).map(|(s, _)| s),
                    }
                    .filter(|&s| beyond(s, scratch) >= 0.0)
                };
                if let Some(end) = end {
                    let start = sign * (before.value - level);
                    let s = root(start, end, |s| beyond(s, scratch));
                    return Some(self.t_s[i] + s * h);
                }
            }
            before = after;
            if h <= 0.0 && sign * (before.value - level) >= 0.0 {
                return Some(self.t_s[i]);
            }
        }
        None
    }

    /// Greatest value of a face or of the hottest point over records `from..`.
    pub(crate) fn peak(&self, nodes: &Nodes, place: Where, from: usize) -> (f64, f64) {
        let mut best = (self.t_s[from], f64::NEG_INFINITY);
        let mut before = self.moving(nodes, place, from);
        for i in from..self.len() {
            let here = self.moving(nodes, place, i);
            if here.value > best.1 {
                best = (self.t_s[i], here.value);
            }
            if i > from {
                let h = self.t_s[i] - self.t_s[i - 1];
                if let Some((s, top)) = Cubic::of(before, here, h).turn(1.0)
                    && top > best.1
                {
                    best = (self.t_s[i - 1] + s * h, top);
                }
            }
            before = here;
        }
        best
    }
}

impl Nodes {
    /// The nodes of a profile that belong here.
    fn of<'a>(&self, profile: &'a [f64]) -> &'a [f64] {
        &profile[self.first..self.first + self.x_m.len()]
    }

    /// Value over one profile.
    pub(crate) fn value(&self, place: Where, profile: &[f64]) -> f64 {
        self.moving(place, profile, profile).value
    }

    /// Value and rate over one profile and its rates.
    pub(crate) fn moving(&self, place: Where, profile: &[f64], rates: &[f64]) -> Moving {
        let (t, r) = (self.of(profile), self.of(rates));
        let at = |i: usize| Moving {
            value: t[i],
            rate: r[i],
        };
        match place {
            Where::Front => at(0),
            Where::Back => at(t.len() - 1),
            Where::Mean => {
                let sum = |v: &[f64]| v.iter().zip(&self.weight).map(|(v, w)| v * w).sum();
                Moving {
                    value: sum(t),
                    rate: sum(r),
                }
            }
            Where::Coldest => self.extreme(t, r, -1.0),
            Where::Hottest => self.extreme(t, r, 1.0),
        }
    }

    /// Extreme of the parabola through the extreme node and its neighbours.
    fn extreme(&self, t: &[f64], r: &[f64], sign: f64) -> Moving {
        let top = greatest(t, sign);
        let best = t.iter().position(|&x| sign * x >= top).unwrap_or(0);
        let plain = Moving {
            value: t[best],
            rate: r[best],
        };
        if best == 0 || best + 1 == t.len() {
            return plain;
        }
        let (x0, x1, x2) = (self.x_m[best - 1], self.x_m[best], self.x_m[best + 1]);
        let (left, right) = (
            (t[best] - t[best - 1]) / (x1 - x0),
            (t[best + 1] - t[best]) / (x2 - x1),
        );
        let bend = (right - left) / (x2 - x0);
        if sign * bend >= 0.0 {
            return plain;
        }
        // Newton's form: t0 + left (x − x0) + bend (x − x0)(x − x1); its turn lies between the neighbours.
        let x = f64::midpoint(x0, x1) - left / (2.0 * bend);
        let x = x.clamp(x0, x2);
        let w0 = (x - x1) * (x - x2) / ((x0 - x1) * (x0 - x2));
        let w1 = (x - x0) * (x - x2) / ((x1 - x0) * (x1 - x2));
        let w2 = (x - x0) * (x - x1) / ((x2 - x0) * (x2 - x1));
        let mix = |v: &[f64]| w0 * v[best - 1] + w1 * v[best] + w2 * v[best + 1];
        Moving {
            value: mix(t),
            rate: mix(r),
        }
    }
}

/// Greatest `sign · value`; four running values, so that none waits for the one before it.
fn greatest(values: &[f64], sign: f64) -> f64 {
    let mut tops = [f64::NEG_INFINITY; 4];
    let (fours, rest) = values.as_chunks::<4>();
    for four in fours {
        for (top, &x) in tops.iter_mut().zip(four) {
            let x = sign * x;
            *top = if x > *top { x } else { *top };
        }
    }
    let rest = rest.iter().map(|&x| sign * x);
    tops.into_iter()
        .chain(rest)
        .fold(f64::NEG_INFINITY, f64::max)
}

/// Whether an extreme may touch `level` inside a step at whose ends it does not.
///
/// Where the extreme passes from one node to another its value has a kink, which no cubic through the ends shows: the
/// tangents at both ends meet at it or beyond.
fn peak_of(before: Moving, after: Moving, h: f64, sign: f64, level: f64) -> bool {
    let (rising, falling) = (sign * before.rate, sign * after.rate);
    if rising <= 0.0 || falling >= 0.0 {
        return false;
    }
    let meet = (sign * (after.value - before.value) - falling * h) / (rising - falling);
    // A little beyond: the tangents of a smooth turn meet above it, those of a step are known to its error.
    sign * before.value + rising * meet.clamp(0.0, h) >= sign * level - 0.1 * rising * h
}

/// Where between 0 and 1 a function with one hump is highest, by golden section.
fn highest(mut f: impl FnMut(f64) -> f64) -> f64 {
    const GOLDEN: f64 = 0.618_033_988_749_894_9;
    let (mut low, mut high) = (0.0, 1.0);
    let (mut left, mut right) = (1.0 - GOLDEN, GOLDEN);
    let (mut at_left, mut at_right) = (f(left), f(right));
    // To a hundred-thousandth of the step.
    for _ in 0..24 {
        if at_left < at_right {
            low = left;
            (left, at_left) = (right, at_right);
            right = low + GOLDEN * (high - low);
            at_right = f(right);
        } else {
            high = right;
            (right, at_right) = (left, at_left);
            left = high - GOLDEN * (high - low);
            at_left = f(left);
        }
    }
    f64::midpoint(low, high)
}

/// A cubic over `s` from 0 to 1.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cubic {
    from: f64,
    leaving: f64,
    to: f64,
    arriving: f64,
}

impl Cubic {
    pub(crate) fn of(before: Moving, after: Moving, h: f64) -> Self {
        Self {
            from: before.value,
            leaving: before.rate * h,
            to: after.value,
            arriving: after.rate * h,
        }
    }

    pub(crate) fn at(&self, s: f64) -> f64 {
        let r = 1.0 - s;
        // Written about both ends so that it is exact at each.
        r * r * (self.from * (1.0 + 2.0 * s) + self.leaving * s)
            + s * s * (self.to * (1.0 + 2.0 * r) - self.arriving * r)
    }

    /// The place inside where it turns with the greatest `sign · value`, and its value.
    fn turn(&self, sign: f64) -> Option<(f64, f64)> {
        let rise = self.to - self.from;
        let a = 3.0 * (self.leaving + self.arriving - 2.0 * rise);
        let b = 2.0 * (3.0 * rise - 2.0 * self.leaving - self.arriving);
        let c = self.leaving;
        let inside = b * b - 4.0 * a * c;
        // Slopes of one sign at both ends and no real turn: the usual case, left early.
        if inside <= 0.0 {
            return None;
        }
        let q = -0.5 * (b + inside.sqrt().copysign(b));
        [q / a, c / q]
            .into_iter()
            .filter(|s| *s > 0.0 && *s < 1.0)
            .map(|s| (s, self.at(s)))
            .max_by(|x, y| (sign * x.1).total_cmp(&(sign * y.1)))
    }
}

/// Root of a function that is negative (`start`) at 0 and not negative at `end`, by false position with halving.
pub(crate) fn root(start: f64, end: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (mut low, mut low_value) = (0.0, start);
    let (mut high, mut high_value) = (end, f(end));
    let mut side = 0;
    for _ in 0..60 {
        if high_value <= 0.0 || high - low <= 1e-12 * end {
            break;
        }
        let mut s = high - high_value * (high - low) / (high_value - low_value);
        if !(s > low && s < high) {
            s = f64::midpoint(low, high);
        }
        let value = f(s);
        if value >= 0.0 {
            (high, high_value) = (s, value);
            if side == 1 {
                low_value *= 0.5;
            }
            side = 1;
        } else {
            (low, low_value) = (s, value);
            if side == -1 {
                high_value *= 0.5;
            }
            side = -1;
        }
        if value.abs() < 1e-9 {
            return s;
        }
    }
    high
}
