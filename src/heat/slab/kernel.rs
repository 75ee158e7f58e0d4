//! One implicit step of the layered slab: finite volumes in space, TR-BDF2 in time.
//!
//! Nodes lie on both faces, on both sides of each joint, and between; the end nodes carry half cells.
//! The unknown is the stored heat of each node; each stage is one Newton step with the matrix of the
//! first stage, and the heat that the faces supplied is taken from the same linear system, so that
//! supply and storage agree to rounding whatever the tolerance. What the Newton steps left over is
//! part of the error that the step size answers to.

use std::ops::Range;
use std::sync::Arc;

use super::face::{Face, FaceLaw};
use super::lanes::Lanes;
use super::material::Material;

/// `γ/2` of TR-BDF2 with `γ = 2 − √2`: the weight of the implicit value in both stages.
const IMPLICIT: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// `√2/4`: the weight of the first two slopes in the second stage.
const EXPLICIT: f64 = std::f64::consts::SQRT_2 / 4.0;
/// `γ`, where the first stage lies within the step.
const STAGE: f64 = 2.0 * IMPLICIT;
/// Weights of the three slopes in third order minus those in second.
const ERROR: [f64; 3] = [
    (1.0 - 4.0 * EXPLICIT) / 3.0,
    1.0 / 3.0,
    -2.0 / 3.0 * IMPLICIT,
];

/// One layer of `W` slabs side by side.
#[derive(Debug, Clone)]
pub(crate) struct Span<const W: usize> {
    /// First node.
    pub(crate) first: usize,
    /// Last node.
    pub(crate) last: usize,
    /// Material of each lane.
    pub(crate) material: [Arc<Material>; W],
    /// Factor on the conductivity over factor on the capacity, over the square of the thickness. [1/m²]
    pub(crate) stiffness: Lanes<W>,
    /// Factor on the capacity times the thickness. [m]
    pub(crate) depth: Lanes<W>,
    /// Contact conductance to the next layer; 0 for the last. [W/m²/K]
    pub(crate) contact: Lanes<W>,
}

/// Where the nodes of one layer lie: shares of its thickness, rising from 0 to 1.
pub(crate) type Places = Vec<f64>;

/// State and scratch of `W` slabs; nothing is allocated while it steps.
#[derive(Debug, Clone)]
pub(crate) struct Kernel<const W: usize> {
    /// The layers.
    pub(crate) spans: Vec<Span<W>>,
    /// Front and back face.
    pub(crate) front: FaceLaw<W>,
    pub(crate) back: FaceLaw<W>,
    /// Stored heat over the factor on the capacity, node by node; index 0 and the last are ghosts. [J/m³]
    pub(crate) heat: Vec<Lanes<W>>,
    /// Its rate. [W/m³]
    pub(crate) rate: Vec<Lanes<W>>,
    /// Molten share; empty where nothing melts.
    pub(crate) molten: Vec<Lanes<W>>,
    /// Result of the last attempt.
    pub(crate) next: Vec<Lanes<W>>,
    pub(crate) next_rate: Vec<Lanes<W>>,
    /// Temperature and `dT/dU` at the result of the last attempt (or of `settle`).
    pub(crate) temperature: Vec<Lanes<W>>,
    pub(crate) per_heat: Vec<Lanes<W>>,
    /// Heat through the faces: now, at the end of the attempt, and supplied during it.
    pub(crate) flow: [Lanes<W>; 2],
    pub(crate) next_flow: [Lanes<W>; 2],
    pub(crate) supplied: [Lanes<W>; 2],
    /// Share of the layer that each node stands for.
    pub(crate) share: Vec<f64>,
    towards_front: Vec<f64>,
    towards_back: Vec<f64>,
    guess: Vec<Lanes<W>>,
    potential: Vec<Lanes<W>>,
    diffusivity: Vec<Lanes<W>>,
    slope: Vec<Lanes<W>>,
    middle: Vec<Lanes<W>>,
    change: Vec<Lanes<W>>,
    pivot: Vec<Lanes<W>>,
    lower: Vec<Lanes<W>>,
    upper: Vec<Lanes<W>>,
}

/// Temperatures and their slopes at the nodes that exchange heat other than by conduction.
struct Edge<const W: usize> {
    temperature: Lanes<W>,
    per_heat: Lanes<W>,
}

impl<const W: usize> Kernel<W> {
    /// A kernel for layers with nodes at `places`; the spans get their lanes from the caller.
    pub(crate) fn new(
        layers: &[Places],
        mut spans: Vec<Span<W>>,
        faces: (FaceLaw<W>, FaceLaw<W>),
    ) -> Self {
        let nodes: usize = layers.iter().map(Vec::len).sum();
        let mut share = vec![0.0; nodes + 2];
        let mut towards_front = vec![0.0; nodes + 2];
        let mut towards_back = vec![0.0; nodes + 2];
        let mut first = 1;
        for (x, span) in layers.iter().zip(&mut spans) {
            let last = first + x.len() - 1;
            (span.first, span.last) = (first, last);
            for i in 0..x.len() {
                let before = if i > 0 { x[i] - x[i - 1] } else { 0.0 };
                let after = if i + 1 < x.len() {
                    x[i + 1] - x[i]
                } else {
                    0.0
                };
                let volume = f64::midpoint(before, after);
                share[first + i] = volume;
                if i > 0 {
                    towards_front[first + i] = 1.0 / (before * volume);
                }
                if i + 1 < x.len() {
                    towards_back[first + i] = 1.0 / (after * volume);
                }
            }
            first = last + 1;
        }
        Self::blank(spans, [share, towards_front, towards_back], faces)
    }

    fn blank(
        spans: Vec<Span<W>>,
        [share, towards_front, towards_back]: [Vec<f64>; 3],
        faces: (FaceLaw<W>, FaceLaw<W>),
    ) -> Self {
        let blank = vec![Lanes::ZERO; share.len()];
        let melts = spans.iter().any(|s| s.material.iter().any(|m| m.melts()));
        Self {
            spans,
            front: faces.0,
            back: faces.1,
            heat: blank.clone(),
            rate: blank.clone(),
            molten: if melts { blank.clone() } else { Vec::new() },
            next: blank.clone(),
            next_rate: blank.clone(),
            temperature: blank.clone(),
            per_heat: blank.clone(),
            flow: [Lanes::ZERO; 2],
            next_flow: [Lanes::ZERO; 2],
            supplied: [Lanes::ZERO; 2],
            share,
            towards_front,
            towards_back,
            guess: blank.clone(),
            potential: blank.clone(),
            diffusivity: blank.clone(),
            slope: blank.clone(),
            middle: blank.clone(),
            change: blank.clone(),
            pivot: blank.clone(),
            lower: blank.clone(),
            upper: blank,
        }
    }

    /// Room for slabs that are built like one of them.
    pub(crate) fn abreast(like: &Kernel<1>) -> Self {
        let spans = like
            .spans
            .iter()
            .map(|span| Span {
                first: span.first,
                last: span.last,
                material: std::array::from_fn(|_| Arc::clone(&span.material[0])),
                stiffness: Lanes::all(span.stiffness.0[0]),
                depth: Lanes::all(span.depth.0[0]),
                contact: Lanes::all(span.contact.0[0]),
            })
            .collect();
        let still = FaceLaw::new(&[Face::INSULATED; W]);
        let spacing = [&like.share, &like.towards_front, &like.towards_back].map(Vec::clone);
        let mut kernel = Self::blank(spans, spacing, (still, still));
        for w in 0..W {
            kernel.load(w, like);
        }
        kernel
    }

    /// Takes a slab into a lane; says no where its layers or nodes differ.
    pub(crate) fn load(&mut self, lane: usize, one: &Kernel<1>) -> bool {
        let alike = one.share == self.share
            && one.molten.len() == self.molten.len()
            && one.spans.len() == self.spans.len()
            && one
                .spans
                .iter()
                .zip(&self.spans)
                .all(|(a, b)| a.first == b.first);
        if !alike {
            return false;
        }
        for (to, from) in self.spans.iter_mut().zip(&one.spans) {
            to.material[lane] = Arc::clone(&from.material[0]);
            to.stiffness.0[lane] = from.stiffness.0[0];
            to.depth.0[lane] = from.depth.0[0];
            to.contact.0[lane] = from.contact.0[0];
        }
        for (to, from) in self.heat.iter_mut().zip(&one.heat) {
            to.0[lane] = from.0[0];
        }
        for (to, from) in self.molten.iter_mut().zip(&one.molten) {
            to.0[lane] = from.0[0];
        }
        true
    }

    /// Lets melting nodes of a lane leave their branches, before another stretch whose faces may turn them.
    pub(crate) fn release(&mut self, lane: usize) {
        if self.molten.is_empty() {
            return;
        }
        for span in &self.spans {
            for i in span.first..=span.last {
                let molten = &mut self.molten[i].0[lane];
                *molten = span.material[lane].share(self.heat[i].0[lane], *molten);
            }
        }
    }

    /// Gives the slab of a lane back as it is in the middle of a stretch.
    pub(crate) fn store(&self, lane: usize, one: &mut Kernel<1>) {
        one.front = self.front.lane(lane);
        one.back = self.back.lane(lane);
        one.flow = self.flow.map(|f| Lanes([f.0[lane]]));
        for (from, to) in [
            (&self.heat, &mut one.heat),
            (&self.rate, &mut one.rate),
            (&self.molten, &mut one.molten),
        ] {
            for (from, to) in from.iter().zip(to) {
                to.0[0] = from.0[lane];
            }
        }
    }

    /// Puts faces to one lane.
    pub(crate) fn face(&mut self, lane: usize, [front, back]: &[Face; 2]) {
        self.front.set(lane, front);
        self.back.set(lane, back);
    }

    /// Number of nodes, without the two ghosts.
    pub(crate) fn nodes(&self) -> usize {
        self.heat.len() - 2
    }

    /// Works out temperatures, rates and flows of the present state, after it or a face was changed.
    pub(crate) fn settle(&mut self) {
        self.guess.copy_from_slice(&self.heat);
        self.look_everywhere(0..W);
        self.conduct();
        let (front, back) = self.ends_known();
        self.flow = [front, back];
        self.rate.copy_from_slice(&self.slope);
    }

    /// [`Kernel::settle`] for one lane; the others keep what they have, also of a step that was tried and not yet judged.
    pub(crate) fn settle_lane(&mut self, lane: usize) {
        for (guess, heat) in self.guess.iter_mut().zip(&self.heat) {
            guess.0[lane] = heat.0[lane];
        }
        self.look_everywhere(lane..lane + 1);
        self.conduct();
        let (front, back) = self.ends_known();
        self.flow[0].0[lane] = front.0[lane];
        self.flow[1].0[lane] = back.0[lane];
        for (rate, slope) in self.rate.iter_mut().zip(&self.slope) {
            rate.0[lane] = slope.0[lane];
        }
    }

    /// Tries a step of `seconds`; gives the error of each lane in kelvin. The state is untouched until `accept`.
    ///
    /// TR-BDF2 with its embedded error, smoothed by the matrix once for the estimate and twice for the
    /// correction that is added to the result: of third order, and still damping every stiff mode.
    #[inline(always)]
    pub(crate) fn attempt(&mut self, seconds: Lanes<W>) -> Lanes<W> {
        let weight = seconds * IMPLICIT;
        let per_weight = Lanes::all(1.0) / weight;
        let m = self.heat.len();
        let inner = 1..m - 1;
        // First stage: to γ of the step by the trapezoidal rule, from a straight prediction.
        {
            let (guess, heat, rate) = (&mut self.guess[..m], &self.heat[..m], &self.rate[..m]);
            let stage = seconds * STAGE;
            for i in inner.clone() {
                guess[i] = heat[i] + rate[i] * stage;
            }
        }
        self.look();
        self.conduct();
        let stage = self.ends(Some(weight));
        {
            let (change, slope, rate) = (&mut self.change[..m], &self.slope[..m], &self.rate[..m]);
            for i in inner.clone() {
                change[i] = (slope[i] - rate[i]) * weight;
            }
        }
        self.solve();
        let slopes = stage.map(|(_, slope)| slope);
        let first_flow = self.flow_after(stage.map(|(flow, _)| flow), slopes);
        // Second stage: backward differences over the start, the first stage and the end.
        {
            let (heat, rate) = (&self.heat[..m], &self.rate[..m]);
            let (middle, end) = (&mut self.middle[..m], &mut self.next_rate[..m]);
            let (guess, change) = (&mut self.guess[..m], &self.change[..m]);
            let explicit = seconds * EXPLICIT;
            for i in inner.clone() {
                let by_stage = change[i] * per_weight;
                middle[i] = rate[i] + by_stage;
                end[i] = rate[i] + by_stage * (1.0 / STAGE);
                guess[i] = heat[i] + (rate[i] + middle[i]) * explicit + end[i] * weight;
            }
        }
        self.look();
        self.conduct();
        let stage = self.ends(None);
        {
            let (change, slope, end) = (
                &mut self.change[..m],
                &self.slope[..m],
                &self.next_rate[..m],
            );
            for i in inner.clone() {
                change[i] = (slope[i] - end[i]) * weight;
            }
        }
        self.solve();
        let end_flow = self.flow_after(stage.map(|(flow, _)| flow), slopes);
        self.correct(seconds, slopes, [first_flow, end_flow])
    }

    /// Estimates the error of both stages and adds it, smoothed, to their result.
    #[inline(always)]
    fn correct(
        &mut self,
        seconds: Lanes<W>,
        slopes: [Lanes<W>; 2],
        [first_flow, end_flow]: [[Lanes<W>; 2]; 2],
    ) -> Lanes<W> {
        let weight = seconds * IMPLICIT;
        let per_weight = Lanes::all(1.0) / weight;
        let m = self.heat.len();
        let inner = 1..m - 1;
        // The error of second order, with what the Newton steps left over.
        {
            let (guess, change) = (&mut self.guess[..m], &mut self.change[..m]);
            let end = &mut self.next_rate[..m];
            for i in inner.clone() {
                guess[i] += change[i];
                end[i] += change[i] * per_weight;
            }
        }
        self.look_everywhere(0..W);
        self.conduct();
        let (front, back) = self.ends_known();
        {
            let (change, slope, rate) = (&mut self.change[..m], &self.slope[..m], &self.rate[..m]);
            let (middle, end) = (&self.middle[..m], &self.next_rate[..m]);
            let [first, second, third] = ERROR.map(|e| seconds * e);
            for i in inner.clone() {
                change[i] = rate[i] * first
                    + middle[i] * second
                    + end[i] * third
                    + (slope[i] - end[i]) * weight;
            }
        }
        self.solve();
        let error = self.size();
        let once = self.face_change();
        {
            let (change, middle) = (&self.change[..m], &mut self.middle[..m]);
            middle[inner.clone()].copy_from_slice(&change[inner.clone()]);
        }
        self.solve();
        let twice = self.face_change();
        {
            let (guess, change, middle) = (&self.guess[..m], &self.change[..m], &self.middle[..m]);
            let (next, end) = (&mut self.next[..m], &mut self.next_rate[..m]);
            let (temperature, per_heat) = (&mut self.temperature[..m], &self.per_heat[..m]);
            for i in inner {
                next[i] = guess[i] + change[i];
                // The matrix times the correction, from the system that it solves.
                end[i] += (change[i] - middle[i]) * per_weight;
                temperature[i] += change[i] * per_heat[i];
            }
        }
        // Heat supplied, by the same sums: each smoothing adds what the faces let in by the correction.
        for (side, now) in [front, back].into_iter().enumerate() {
            let slope = slopes[side];
            let error = self.flow[side] * ERROR[0]
                + first_flow[side] * ERROR[1]
                + end_flow[side] * ERROR[2];
            self.supplied[side] = (self.flow[side] + first_flow[side]) * (seconds * EXPLICIT)
                + end_flow[side] * weight
                + error * seconds
                + (now - end_flow[side] + slope * (once[side] + twice[side])) * weight;
            self.next_flow[side] = end_flow[side] + slope * twice[side];
        }
        error
    }

    /// Size of `change`: root mean square in kelvin over each layer, the greatest of all layers.
    #[inline(always)]
    fn size(&self) -> Lanes<W> {
        let mut worst = Lanes::ZERO;
        for span in &self.spans {
            let mut sum = Lanes::ZERO;
            let range = span.first..=span.last;
            let share = &self.share[range.clone()];
            let (change, per_heat) = (&self.change[range.clone()], &self.per_heat[range]);
            for ((change, per_heat), &share) in change.iter().zip(per_heat).zip(share) {
                let error = *change * *per_heat;
                sum += error * error * share;
            }
            // A NaN must stay one.
            worst = worst.zip(sum, |a, b| if a > b { a } else { b });
        }
        worst.map(f64::sqrt)
    }

    /// `change` at both faces.
    #[inline(always)]
    fn face_change(&self) -> [Lanes<W>; 2] {
        [self.change[1], self.change[self.nodes()]]
    }

    /// Makes the attempt the state of one lane.
    pub(crate) fn accept(&mut self, lane: usize) {
        for i in 1..=self.nodes() {
            self.heat[i].0[lane] = self.next[i].0[lane];
            self.rate[i].0[lane] = self.next_rate[i].0[lane];
        }
        for side in 0..2 {
            self.flow[side].0[lane] = self.next_flow[side].0[lane];
        }
        if !self.molten.is_empty() {
            for span in &self.spans {
                for i in span.first..=span.last {
                    let (heat, rate) = (self.heat[i].0[lane], self.rate[i].0[lane]);
                    let molten = &mut self.molten[i].0[lane];
                    *molten = span.material[lane].molten_after(heat, *molten, rate);
                }
            }
        }
    }

    #[inline(always)]
    fn molten_at(&self, i: usize, lane: usize) -> f64 {
        self.molten.get(i).map_or(0.0, |m| m.0[lane])
    }

    /// Potentials at the guess.
    #[inline(always)]
    fn look(&mut self) {
        for span in &self.spans {
            let range = span.first..=span.last;
            let guess = &self.guess[range.clone()];
            let potential = &mut self.potential[range.clone()];
            let diffusivity = &mut self.diffusivity[range.clone()];
            let molten = self.molten.get(range).unwrap_or(&[]);
            for w in 0..W {
                let nodes = guess
                    .iter()
                    .zip(potential.iter_mut())
                    .zip(diffusivity.iter_mut());
                let material = &*span.material[w];
                if let Some(branch) = material.plain() {
                    for ((guess, potential), diffusivity) in nodes {
                        let look = branch.look(guess.0[w]);
                        (potential.0[w], diffusivity.0[w]) = (look.potential, look.diffusivity);
                    }
                } else {
                    for (((guess, potential), diffusivity), molten) in nodes.zip(molten) {
                        let look = material.look(guess.0[w], molten.0[w]);
                        (potential.0[w], diffusivity.0[w]) = (look.potential, look.diffusivity);
                    }
                }
            }
        }
    }

    /// Potentials and temperatures of some lanes at the guess.
    #[inline(always)]
    fn look_everywhere(&mut self, lanes: Range<usize>) {
        for span in &self.spans {
            let range = span.first..=span.last;
            let guess = &self.guess[range.clone()];
            let potential = &mut self.potential[range.clone()];
            let temperature = &mut self.temperature[range.clone()];
            let per_heat = &mut self.per_heat[range.clone()];
            let molten = self.molten.get(range).unwrap_or(&[]);
            for w in lanes.clone() {
                let nodes = guess
                    .iter()
                    .zip(potential.iter_mut())
                    .zip(temperature.iter_mut().zip(per_heat.iter_mut()));
                let material = &*span.material[w];
                if let Some(branch) = material.plain() {
                    for ((guess, potential), (temperature, per_heat)) in nodes {
                        let look = branch.look(guess.0[w]);
                        potential.0[w] = look.potential;
                        (temperature.0[w], per_heat.0[w]) = (look.temperature, look.per_heat);
                    }
                } else {
                    for (((guess, potential), (temperature, per_heat)), molten) in nodes.zip(molten)
                    {
                        let look = material.look(guess.0[w], molten.0[w]);
                        potential.0[w] = look.potential;
                        (temperature.0[w], per_heat.0[w]) = (look.temperature, look.per_heat);
                    }
                }
            }
        }
    }

    /// Rates by conduction alone, into `slope`.
    #[inline(always)]
    fn conduct(&mut self) {
        let m = self.heat.len();
        let (slope, potential) = (&mut self.slope[..m], &self.potential[..m]);
        let (front, back) = (&self.towards_front[..m], &self.towards_back[..m]);
        for span in &self.spans {
            let stiffness = span.stiffness;
            for i in span.first.max(1)..(span.last + 1).min(m - 1) {
                let here = potential[i];
                slope[i] = ((potential[i - 1] - here) * front[i]
                    + (potential[i + 1] - here) * back[i])
                    * stiffness;
            }
        }
    }

    fn edge(&self, span: &Span<W>, i: usize) -> Edge<W> {
        let mut edge = Edge {
            temperature: Lanes::ZERO,
            per_heat: Lanes::ZERO,
        };
        for w in 0..W {
            let look = span.material[w].look(self.guess[i].0[w], self.molten_at(i, w));
            edge.temperature.0[w] = look.temperature;
            edge.per_heat.0[w] = look.per_heat;
        }
        edge
    }

    /// Adds faces and joints to `slope` at the guess; with a weight also factors the matrix `1 − weight · J`.
    #[inline(always)]
    fn ends(&mut self, weight: Option<Lanes<W>>) -> [(Lanes<W>, Lanes<W>); 2] {
        let (head, tail) = (&self.spans[0], &self.spans[self.spans.len() - 1]);
        let (first, last) = (head.first, tail.last);
        let front = self.edge(head, first);
        let back = self.edge(tail, last);
        let (front_flow, front_slope) = self.front.flux(front.temperature);
        let (back_flow, back_slope) = self.back.flux(back.temperature);
        let per_front = Lanes::all(1.0) / (head.depth * self.share[first]);
        let per_back = Lanes::all(1.0) / (tail.depth * self.share[last]);
        self.slope[first] += front_flow * per_front;
        self.slope[last] += back_flow * per_back;
        let front_slope = front_slope * front.per_heat;
        let back_slope = back_slope * back.per_heat;
        if let Some(weight) = weight {
            self.matrix(weight);
            let r = weight;
            self.pivot[first] += -(front_slope * per_front * r);
            self.pivot[last] += -(back_slope * per_back * r);
        }
        self.joints(weight);
        if weight.is_some() {
            self.factor();
        }
        [(front_flow, front_slope), (back_flow, back_slope)]
    }

    /// Faces and joints at nodes whose temperature `look_everywhere` has left behind.
    #[inline(always)]
    fn ends_known(&mut self) -> (Lanes<W>, Lanes<W>) {
        let (head, tail) = (&self.spans[0], &self.spans[self.spans.len() - 1]);
        let (first, last) = (head.first, tail.last);
        let front = self.front.flux(self.temperature[first]).0;
        let back = self.back.flux(self.temperature[last]).0;
        self.slope[first] += front / (head.depth * self.share[first]);
        self.slope[last] += back / (tail.depth * self.share[last]);
        self.joints(None);
        (front, back)
    }

    /// Heat through the joints between layers.
    #[inline(always)]
    fn joints(&mut self, weight: Option<Lanes<W>>) {
        for j in 1..self.spans.len() {
            let (left, right) = (&self.spans[j - 1], &self.spans[j]);
            let (a, b) = (left.last, right.first);
            let (one, two) = (self.edge(left, a), self.edge(right, b));
            let per_a = left.contact / (left.depth * self.share[a]);
            let per_b = left.contact / (right.depth * self.share[b]);
            self.slope[a] += (two.temperature - one.temperature) * per_a;
            self.slope[b] += (one.temperature - two.temperature) * per_b;
            if let Some(r) = weight {
                self.pivot[a] += one.per_heat * per_a * r;
                self.pivot[b] += two.per_heat * per_b * r;
                self.upper[a] = -(two.per_heat * per_a * r);
                self.lower[b] = -(one.per_heat * per_b * r);
            }
        }
    }

    /// Rows of `1 − weight · J` for conduction.
    #[inline(always)]
    fn matrix(&mut self, weight: Lanes<W>) {
        let m = self.heat.len();
        let (front, back) = (&self.towards_front[..m], &self.towards_back[..m]);
        let diffusivity = &self.diffusivity[..m];
        let (lower, upper) = (&mut self.lower[..m], &mut self.upper[..m]);
        let pivot = &mut self.pivot[..m];
        for span in &self.spans {
            let r = span.stiffness * weight;
            for i in span.first.max(1)..(span.last + 1).min(m - 1) {
                let (front, back) = (r * front[i], r * back[i]);
                lower[i] = -(front * diffusivity[i - 1]);
                upper[i] = -(back * diffusivity[i + 1]);
                pivot[i] = (front + back) * diffusivity[i] + 1.0;
            }
        }
    }

    /// Elimination of a tridiagonal matrix that needs no pivoting: its columns are diagonally dominant.
    ///
    /// From both ends at once to the node in the middle: two chains of half the length run side by side, and each
    /// operation of a chain waits for the one before it.
    #[inline(always)]
    fn factor(&mut self) {
        let n = self.nodes();
        let middle = n / 2;
        let one = Lanes::all(1.0);
        let (pivot, pivot_back) = self.pivot[1..=n].split_at_mut(middle);
        let (lower, lower_back) = self.lower[1..=n].split_at_mut(middle);
        let (upper, upper_back) = self.upper[1..=n].split_at_mut(middle);
        let (mut above, mut below) = (Lanes::ZERO, Lanes::ZERO);
        let front = pivot.iter_mut().zip(lower).zip(upper);
        let back = pivot_back[1..]
            .iter_mut()
            .zip(&mut lower_back[1..])
            .zip(&mut upper_back[1..])
            .rev();
        let mut down =
            |((pivot, lower), upper): ((&mut Lanes<W>, &mut Lanes<W>), &mut Lanes<W>)| {
                let inverse = one / (*pivot - *lower * above);
                *pivot = inverse;
                *lower = *lower * inverse;
                above = *upper * inverse;
                *upper = above;
            };
        let mut front = front;
        if n.is_multiple_of(2)
            && let Some(first) = front.next()
        {
            down(first);
        }
        for (front, ((pivot, lower), upper)) in front.zip(back) {
            down(front);
            let inverse = one / (*pivot - *upper * below);
            *pivot = inverse;
            *upper = *upper * inverse;
            below = *lower * inverse;
            *lower = below;
        }
        let inverse = one / (pivot_back[0] - lower_back[0] * above - upper_back[0] * below);
        pivot_back[0] = inverse;
        lower_back[0] = lower_back[0] * inverse;
        upper_back[0] = upper_back[0] * inverse;
    }

    /// Solves for `change` in place: inwards from both ends, then outwards.
    #[inline(always)]
    fn solve(&mut self) {
        let n = self.nodes();
        let middle = n / 2;
        let (change, change_back) = self.change[1..=n].split_at_mut(middle);
        let (pivot, pivot_back) = self.pivot[1..=n].split_at(middle);
        let (lower, lower_back) = self.lower[1..=n].split_at(middle);
        let (upper, upper_back) = self.upper[1..=n].split_at(middle);
        let (mut above, mut below) = (Lanes::ZERO, Lanes::ZERO);
        let mut front = change.iter_mut().zip(pivot).zip(lower);
        let back = change_back[1..]
            .iter_mut()
            .zip(&pivot_back[1..])
            .zip(&upper_back[1..])
            .rev();
        if n.is_multiple_of(2)
            && let Some(((change, pivot), _)) = front.next()
        {
            above = *change * *pivot;
            *change = above;
        }
        for (((change, pivot), lower), ((change_back, pivot_back), upper)) in front.zip(back) {
            above = *change * *pivot - *lower * above;
            *change = above;
            below = *change_back * *pivot_back - *upper * below;
            *change_back = below;
        }
        let centre = change_back[0] * pivot_back[0] - lower_back[0] * above - upper_back[0] * below;
        change_back[0] = centre;
        (above, below) = (centre, centre);
        let mut front = change.iter_mut().zip(upper).rev();
        for ((change_back, lower), (change, upper)) in change_back[1..]
            .iter_mut()
            .zip(&lower_back[1..])
            .zip(&mut front)
        {
            above = *change - *upper * above;
            *change = above;
            below = *change_back - *lower * below;
            *change_back = below;
        }
        if let Some((change, upper)) = front.next() {
            *change = *change - *upper * above;
        }
    }

    /// Heat through the faces at the solution of a stage, with the slopes that stand in the matrix.
    #[inline(always)]
    fn flow_after(&self, flow: [Lanes<W>; 2], slopes: [Lanes<W>; 2]) -> [Lanes<W>; 2] {
        let [front, back] = self.face_change();
        [flow[0] + slopes[0] * front, flow[1] + slopes[1] * back]
    }
}
