//! Runs a slab through time: step sizes from the error, exact landing on every switch, a record of each step.

use super::body::{Part, kernel};
use super::face::Face;
use super::kernel::Kernel;
use super::lanes::Lanes;
use super::track::{Nodes, Track};
use crate::error::{Error, Result};

/// How finely a run is stepped.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Accuracy {
    /// Error allowed in one step, root mean square over a layer. [K]
    pub(crate) step_error_k: f64,
    /// Steps after which a run is given up.
    pub(crate) most_steps: usize,
}

impl Default for Accuracy {
    fn default() -> Self {
        Self {
            step_error_k: 0.02,
            most_steps: 20_000,
        }
    }
}

/// Faces that act until a time.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Stretch {
    /// Front and back.
    pub(crate) faces: [Face; 2],
    /// When it ends. [s]
    pub(crate) end_s: f64,
}

/// A slab on its way.
#[derive(Debug, Clone)]
pub(crate) struct Run {
    pub(crate) kernel: Kernel<1>,
    pub(crate) walk: Walk,
}

/// How far a slab has come, what was recorded, and how long its next step may be.
#[derive(Debug, Clone)]
pub(crate) struct Walk {
    pub(crate) track: Track,
    pub(crate) t_s: f64,
    /// Steps tried, also those that were refused.
    pub(crate) tried: usize,
    accuracy: Accuracy,
    supplied: [f64; 2],
    /// Step to begin with at the start. [s]
    first_step_s: f64,
    /// Step to begin with after a switch: what the error allowed after the last one. [s]
    opening_step_s: f64,
    /// Where the present stretch ends. [s]
    end_s: f64,
    /// Step that the error allows. [s]
    step_s: f64,
    /// Step that is being tried. [s]
    trying_s: f64,
    /// Whether the next step is the first after a switch.
    opening: bool,
    /// Length and fault of the last step.
    before: Option<(f64, f64)>,
}

impl Run {
    /// A slab at rest; `start_k` gives each node's temperature.
    pub(crate) fn new(parts: &[Part], start_k: &[f64], accuracy: Accuracy) -> Self {
        let mut kernel = kernel(parts, &Face::INSULATED, &Face::INSULATED);
        let mut first_step_s = f64::INFINITY;
        let mut node = 0;
        for (j, part) in parts.iter().enumerate() {
            first_step_s = first_step_s.min(FIRST_STEP * part.cell_time_s(start_k[node]));
            for _ in 0..=part.cells {
                let (heat, molten) = part.material.heat_at(start_k[node]);
                let i = kernel.spans[j].first + node - first_node(parts, j);
                kernel.heat[i].0[0] = heat;
                if let Some(m) = kernel.molten.get_mut(i) {
                    m.0[0] = molten;
                }
                node += 1;
            }
        }
        let mut track = Track::default();
        track.clear(kernel.nodes());
        track.reserve(USUAL_STEPS);
        let walk = Walk {
            track,
            t_s: 0.0,
            tried: 0,
            accuracy,
            supplied: [0.0; 2],
            first_step_s,
            opening_step_s: first_step_s,
            end_s: f64::NEG_INFINITY,
            step_s: first_step_s,
            trying_s: 0.0,
            opening: true,
            before: None,
        };
        Self { kernel, walk }
    }

    /// Runs to the end of a stretch, or until `stop` says so after a step; says whether it did.
    pub(crate) fn advance(
        &mut self,
        stretch: &Stretch,
        stop: impl FnMut(&Track) -> bool,
    ) -> Result<bool> {
        self.kernel.face(0, &stretch.faces);
        self.kernel.release(0);
        self.kernel.settle();
        self.walk.begin(&self.kernel, 0, stretch.end_s);
        self.go_on(stop)
    }

    /// Goes on in the stretch that has begun.
    pub(crate) fn go_on(&mut self, mut stop: impl FnMut(&Track) -> bool) -> Result<bool> {
        let Self { kernel, walk } = self;
        while !walk.arrived() {
            let error_k = kernel.attempt(Lanes([walk.propose()])).0[0];
            if walk.judge(kernel, 0, error_k)? && stop(&walk.track) {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Present temperatures.
    pub(crate) fn present(&self) -> Vec<f64> {
        let k = &self.kernel;
        let mut out = Vec::with_capacity(k.nodes());
        for span in &k.spans {
            for i in span.first..=span.last {
                let molten = k.molten.get(i).map_or(0.0, |m| m.0[0]);
                out.push(span.material[0].look(k.heat[i].0[0], molten).temperature);
            }
        }
        out
    }

    /// Puts stored heats and molten shares into the nodes from `first` on.
    pub(crate) fn set_state(&mut self, first: usize, heat: &[f64], molten: &[f64]) {
        for (i, &h) in heat.iter().enumerate() {
            self.kernel.heat[first + 1 + i].0[0] = h;
        }
        for (i, &m) in molten.iter().enumerate() {
            if let Some(slot) = self.kernel.molten.get_mut(first + 1 + i) {
                slot.0[0] = m;
            }
        }
    }

    /// Goes back to record `i` and forgets what came after; gives its time.
    pub(crate) fn rewind(&mut self, i: usize) -> f64 {
        let track = &self.walk.track;
        let n = track.nodes;
        let range = i * n..(i + 1) * n;
        let heat = track.heat[range.clone()].to_vec();
        let molten = track.molten.get(range).unwrap_or(&[]).to_vec();
        self.set_state(0, &heat, &molten);
        let walk = &mut self.walk;
        walk.t_s = walk.track.t_s[i];
        walk.supplied = walk.track.supplied[i];
        walk.track.truncate(i + 1);
        walk.t_s
    }

    /// Heat stored in the whole slab. [J/m²]
    pub(crate) fn stored_j_m2(&self) -> f64 {
        let k = &self.kernel;
        k.spans
            .iter()
            .map(|span| {
                let sum: f64 = (span.first..=span.last)
                    .map(|i| k.heat[i].0[0] * k.share[i])
                    .sum();
                sum * span.depth.0[0]
            })
            .sum()
    }
}

impl Walk {
    /// Begins a stretch that ends at `end_s`; one lane of the kernel has just been settled under its faces.
    pub(crate) fn begin<const W: usize>(&mut self, kernel: &Kernel<W>, lane: usize, end_s: f64) {
        self.record(kernel, lane);
        self.end_s = end_s;
        self.step_s = self.opening_step_s.min(end_s - self.t_s);
        self.opening = true;
        self.before = None;
    }

    /// Whether the stretch has come to its end.
    pub(crate) fn arrived(&self) -> bool {
        self.t_s >= self.end_s
    }

    /// Length of the step to try. [s]
    pub(crate) fn propose(&mut self) -> f64 {
        let left = self.end_s - self.t_s;
        // Land on the end with a whole step rather than with a sliver.
        self.trying_s = if self.step_s >= left * 0.999_999 {
            left
        } else if self.step_s > 0.5 * left {
            0.5 * left
        } else {
            self.step_s
        };
        self.tried += 1;
        self.trying_s
    }

    /// Takes the step that was tried with this error, or refuses it and shortens the next; says whether it was taken.
    pub(crate) fn judge<const W: usize>(
        &mut self,
        kernel: &mut Kernel<W>,
        lane: usize,
        error_k: f64,
    ) -> Result<bool> {
        let this = self.trying_s;
        let error = error_k / self.accuracy.step_error_k;
        let fault = error.max(1e-9).cbrt();
        let growth = if error.is_finite() {
            // What switched on decays: where the last steps show it, the trend is followed (Gustafsson 1994).
            let trend = self
                .before
                .map_or(1.0, |(seconds, last)| this / seconds * (last / fault));
            (0.85 / fault * trend.clamp(1.0, 4.0)).clamp(0.2, 5.0)
        } else {
            0.1
        };
        let taken = error <= 1.0;
        if taken {
            kernel.accept(lane);
            self.t_s = if this >= self.end_s - self.t_s {
                self.end_s
            } else {
                self.t_s + this
            };
            for side in 0..2 {
                self.supplied[side] += kernel.supplied[side].0[lane];
            }
            self.record(kernel, lane);
            self.step_s = if this < self.step_s {
                self.step_s.max(this * growth)
            } else {
                this * growth
            };
            self.before = Some((this, fault));
            if std::mem::take(&mut self.opening) {
                self.opening_step_s = self.step_s;
                self.step_s *= AFTER_OPENING;
            }
        } else {
            self.before = None;
            self.step_s = this * growth.min(0.9);
        }
        let why = if !taken && self.step_s < 1e-12 * self.first_step_s {
            "no step is small enough".into()
        } else if self.tried >= self.accuracy.most_steps && !self.arrived() {
            format!("{} steps were not enough", self.accuracy.most_steps)
        } else {
            return Ok(taken);
        };
        Err(Error::Impossible {
            what: "following this slab through time".into(),
            why,
            remedy: "shorten the schedule, or check thickness, film coefficients and steps".into(),
        })
    }

    fn record<const W: usize>(&mut self, k: &Kernel<W>, lane: usize) {
        let track = &mut self.track;
        let n = k.nodes();
        track.t_s.push(self.t_s);
        track.supplied.push(self.supplied);
        track
            .temperature_k
            .extend(k.temperature[1..=n].iter().map(|t| t.0[lane]));
        track.rate_k_s.extend(
            k.rate[1..=n]
                .iter()
                .zip(&k.per_heat[1..=n])
                .map(|(r, p)| r.0[lane] * p.0[lane]),
        );
        track.heat.extend(k.heat[1..=n].iter().map(|h| h.0[lane]));
        if !k.molten.is_empty() {
            track
                .molten
                .extend(k.molten[1..=n].iter().map(|m| m.0[lane]));
        }
    }
}

/// Records that room is made for beforehand.
const USUAL_STEPS: usize = 64;
/// The step after a switch bears most of its jump; the next of the same length has some fifth of its error.
const AFTER_OPENING: f64 = 1.7;
/// First step of a run, over the time that heat needs to cross the cell at the face.
const FIRST_STEP: f64 = 0.2;

fn first_node(parts: &[Part], layer: usize) -> usize {
    parts[..layer].iter().map(|p| p.cells + 1).sum()
}

/// Nodes of one layer, `x_m` counted from the front of the whole slab.
pub(crate) fn layer_nodes(parts: &[Part], layer: usize) -> Nodes {
    let start: f64 = parts[..layer].iter().map(|p| p.thickness_m).sum();
    let places = parts[layer].places();
    let x_m: Vec<f64> = places
        .iter()
        .map(|x| start + x * parts[layer].thickness_m)
        .collect();
    let weight = weights(&places);
    Nodes {
        first: first_node(parts, layer),
        x_m,
        weight,
    }
}

/// Nodes of the whole slab.
pub(crate) fn all_nodes(parts: &[Part]) -> Nodes {
    let total: f64 = parts.iter().map(|p| p.thickness_m).sum();
    let (mut x_m, mut weight) = (Vec::new(), Vec::new());
    for (layer, part) in parts.iter().enumerate() {
        let nodes = layer_nodes(parts, layer);
        x_m.extend(nodes.x_m);
        weight.extend(nodes.weight.iter().map(|w| w * part.thickness_m / total));
    }
    Nodes {
        first: 0,
        x_m,
        weight,
    }
}

fn weights(places: &[f64]) -> Vec<f64> {
    (0..places.len())
        .map(|i| {
            let before = if i > 0 {
                places[i] - places[i - 1]
            } else {
                0.0
            };
            let after = places.get(i + 1).map_or(0.0, |next| next - places[i]);
            f64::midpoint(before, after)
        })
        .collect()
}
