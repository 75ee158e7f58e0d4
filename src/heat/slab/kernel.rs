//! One implicit step of the layered slab: finite volumes in space, TR-BDF2 in time.
//!
//! Nodes lie on both faces, on both sides of each joint, and between; the end nodes carry half cells.
//! The unknown is the stored heat of each node; each stage is one Newton step with the matrix of the
//! first stage, and the heat that the faces supplied is taken from the same linear system, so that
//! supply and storage agree to rounding whatever the tolerance. What the Newton steps left over is
//! part of the error that the step size answers to.

use std::sync::Arc;

use super::face::FaceLaw;
use super::lanes::Lanes;
use super::material::Material;

/// `γ/2` of TR-BDF2 with `γ = 2 − √2`: the weight of the implicit value in both stages.
const IMPLICIT: f64 = 1.0 - std::f64::consts::FRAC_1_SQRT_2;
/// `√2/4`: the weight of the first two slopes in the second stage.
const EXPLICIT: f64 = std::f64::consts::SQRT_2 / 4.0;
/// `γ`, where the first stage lies within the step.
const STAGE: f64 = 2.0 * IMPLICIT;

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
        let blank = vec![Lanes::ZERO; nodes + 2];
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
            change: blank.clone(),
            pivot: blank.clone(),
            lower: blank.clone(),
            upper: blank,
        }
    }

    /// Number of nodes, without the two ghosts.
    pub(crate) fn nodes(&self) -> usize {
        self.heat.len() - 2
    }

    /// Works out temperatures, rates and flows of the present state, after it or a face was changed.
    pub(crate) fn settle(&mut self) {
        self.guess.copy_from_slice(&self.heat);
        self.look_everywhere();
        self.conduct();
        let (front, back) = self.ends_known();
        self.flow = [front, back];
        self.rate.copy_from_slice(&self.slope);
    }

    /// Tries a step of `seconds`; gives the error of each lane in kelvin. The state is untouched until `accept`.
    #[inline(always)]
    pub(crate) fn attempt(&mut self, seconds: Lanes<W>) -> Lanes<W> {
        let weight = seconds * IMPLICIT;
        let n = self.nodes();
        // First stage: to γ of the step by the trapezoidal rule, from a straight prediction.
        for i in 1..=n {
            self.guess[i] = self.heat[i] + self.rate[i] * seconds * STAGE;
        }
        self.look();
        self.conduct();
        let stage = self.ends(Some(weight));
        for i in 1..=n {
            self.change[i] = (self.slope[i] - self.rate[i]) * weight;
        }
        self.solve();
        let first_flow = self.flow_after(&stage);
        let per_weight = Lanes::all(1.0) / weight;
        // Second stage: backward differences over the start, the first stage and the end.
        for i in 1..=n {
            let middle = self.rate[i] + self.change[i] * per_weight;
            let end = self.rate[i] + (middle - self.rate[i]) * (1.0 / STAGE);
            self.next_rate[i] = middle;
            self.guess[i] =
                self.heat[i] + (self.rate[i] + middle) * seconds * EXPLICIT + end * weight;
            self.next[i] = end;
        }
        self.look();
        self.conduct();
        let stage = self.ends(None);
        for i in 1..=n {
            self.change[i] = (self.slope[i] - self.next[i]) * weight;
        }
        self.solve();
        self.next_flow = self.flow_after(&stage);
        for (side, first) in first_flow.into_iter().enumerate() {
            self.supplied[side] =
                (self.flow[side] + first) * seconds * EXPLICIT + self.next_flow[side] * weight;
        }
        // `next_rate` holds the slope of the middle until here; the error of third order replaces it.
        for i in 1..=n {
            let middle = self.next_rate[i];
            let end = self.next[i] + self.change[i] * per_weight;
            self.next[i] = self.guess[i] + self.change[i];
            self.guess[i] = self.next[i];
            self.next_rate[i] = end;
            self.change[i] = (self.rate[i] * ((1.0 - 4.0 * EXPLICIT) / 3.0) + middle * (1.0 / 3.0)
                - end * (2.0 / 3.0 * IMPLICIT))
                * seconds;
        }
        self.look_everywhere();
        self.conduct();
        self.ends_known();
        for i in 1..=n {
            self.change[i] += (self.slope[i] - self.next_rate[i]) * weight;
        }
        self.solve();
        let mut worst = Lanes::ZERO;
        for span in &self.spans {
            let mut sum = Lanes::ZERO;
            for i in span.first..=span.last {
                let error = self.change[i] * self.per_heat[i];
                sum += error * error * self.share[i];
            }
            worst = worst.zip(sum, |a, b| if a > b { a } else { b });
        }
        worst.map(f64::sqrt)
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
                    let (t, molten) = (self.temperature[i].0[lane], self.molten[i].0[lane]);
                    self.molten[i].0[lane] = span.material[lane].molten_after(t, molten);
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
            for i in span.first..=span.last {
                for w in 0..W {
                    let molten = self.molten.get(i).map_or(0.0, |m| m.0[w]);
                    let look = span.material[w].look(self.guess[i].0[w], molten);
                    self.potential[i].0[w] = look.potential;
                    self.diffusivity[i].0[w] = look.diffusivity;
                }
            }
        }
    }

    /// Potentials and temperatures at the guess.
    #[inline(always)]
    fn look_everywhere(&mut self) {
        for span in &self.spans {
            for i in span.first..=span.last {
                for w in 0..W {
                    let molten = self.molten.get(i).map_or(0.0, |m| m.0[w]);
                    let look = span.material[w].look(self.guess[i].0[w], molten);
                    self.potential[i].0[w] = look.potential;
                    self.temperature[i].0[w] = look.temperature;
                    self.per_heat[i].0[w] = look.per_heat;
                }
            }
        }
    }

    /// Rates by conduction alone, into `slope`.
    #[inline(always)]
    fn conduct(&mut self) {
        for span in &self.spans {
            for i in span.first..=span.last {
                let here = self.potential[i];
                self.slope[i] = ((self.potential[i - 1] - here) * self.towards_front[i]
                    + (self.potential[i + 1] - here) * self.towards_back[i])
                    * span.stiffness;
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
        for span in &self.spans {
            let r = span.stiffness * weight;
            for i in span.first..=span.last {
                let (front, back) = (r * self.towards_front[i], r * self.towards_back[i]);
                self.lower[i] = -(front * self.diffusivity[i - 1]);
                self.upper[i] = -(back * self.diffusivity[i + 1]);
                self.pivot[i] = (front + back) * self.diffusivity[i] + 1.0;
            }
        }
    }

    /// Elimination of a tridiagonal matrix that needs no pivoting: its columns are diagonally dominant.
    #[inline(always)]
    fn factor(&mut self) {
        let mut above = Lanes::ZERO;
        for i in 1..=self.nodes() {
            let inverse = Lanes::all(1.0) / (self.pivot[i] - self.lower[i] * above);
            self.pivot[i] = inverse;
            self.lower[i] = self.lower[i] * inverse;
            above = self.upper[i] * inverse;
            self.upper[i] = above;
        }
    }

    /// Solves for `change` in place.
    #[inline(always)]
    fn solve(&mut self) {
        let n = self.nodes();
        let mut before = Lanes::ZERO;
        for i in 1..=n {
            before = self.change[i] * self.pivot[i] - self.lower[i] * before;
            self.change[i] = before;
        }
        for i in (1..n).rev() {
            before = self.change[i] - self.upper[i] * before;
            self.change[i] = before;
        }
    }

    /// Heat through the faces at the solution of a stage, by the same straight lines that the matrix used.
    #[inline(always)]
    fn flow_after(&self, stage: &[(Lanes<W>, Lanes<W>); 2]) -> [Lanes<W>; 2] {
        let n = self.nodes();
        let [(front, front_slope), (back, back_slope)] = *stage;
        [
            front + front_slope * self.change[1],
            back + back_slope * self.change[n],
        ]
    }
}
