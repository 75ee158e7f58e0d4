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

/// A slab on its way.
#[derive(Debug, Clone)]
pub(crate) struct Run {
    pub(crate) kernel: Kernel<1>,
    pub(crate) track: Track,
    pub(crate) t_s: f64,
    accuracy: Accuracy,
    /// Steps tried, also those that were refused.
    pub(crate) tried: usize,
    /// Step to begin with at the start. [s]
    first_step_s: f64,
    /// Step to begin with after a switch: what the error allowed after the last one. [s]
    opening_step_s: f64,
    supplied: [f64; 2],
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
        Self {
            kernel,
            track,
            t_s: 0.0,
            accuracy,
            tried: 0,
            first_step_s,
            opening_step_s: first_step_s,
            supplied: [0.0; 2],
        }
    }

    /// Runs to the time `end` under these faces, or until `stop` says so after a step.
    pub(crate) fn advance(
        &mut self,
        front: &Face,
        back: &Face,
        end: f64,
        mut stop: impl FnMut(&Track) -> bool,
    ) -> Result<bool> {
        self.kernel.front.set(0, front);
        self.kernel.back.set(0, back);
        self.kernel.settle();
        self.record();
        let mut step = self.opening_step_s.min(end - self.t_s);
        let mut opening = true;
        let mut before: Option<(f64, f64)> = None;
        while self.t_s < end {
            let left = end - self.t_s;
            // Land on the end with a whole step rather than with a sliver.
            let this = if step >= left * 0.999_999 {
                left
            } else if step > 0.5 * left {
                0.5 * left
            } else {
                step
            };
            self.tried += 1;
            if self.tried > self.accuracy.most_steps {
                return Err(Error::Impossible {
                    what: "following this slab through time".into(),
                    why: format!("{} steps were not enough", self.accuracy.most_steps),
                    remedy: "shorten the schedule, or check thickness, film coefficients and steps"
                        .into(),
                });
            }
            let error = self.kernel.attempt(Lanes([this])).0[0] / self.accuracy.step_error_k;
            let fault = error.max(1e-9).cbrt();
            let growth = if error.is_finite() {
                // What switched on decays: where the last steps show it, the trend is followed (Gustafsson 1994).
                let trend = before.map_or(1.0, |(seconds, last)| this / seconds * (last / fault));
                (0.85 / fault * trend.clamp(1.0, 4.0)).clamp(0.2, 5.0)
            } else {
                0.1
            };
            if error <= 1.0 {
                self.kernel.accept(0);
                self.t_s = if this >= left { end } else { self.t_s + this };
                for side in 0..2 {
                    self.supplied[side] += self.kernel.supplied[side].0[0];
                }
                self.record();
                step = if this < step {
                    step.max(this * growth)
                } else {
                    this * growth
                };
                before = Some((this, fault));
                if std::mem::take(&mut opening) {
                    self.opening_step_s = step;
                    step *= AFTER_OPENING;
                }
                if stop(&self.track) {
                    return Ok(true);
                }
            } else {
                before = None;
                step = this * growth.min(0.9);
                if step < 1e-12 * self.first_step_s {
                    return Err(Error::Impossible {
                        what: "following this slab through time".into(),
                        why: "no step is small enough".into(),
                        remedy: "check film coefficients and fluxes".into(),
                    });
                }
            }
        }
        Ok(false)
    }

    fn record(&mut self) {
        let (k, track) = (&self.kernel, &mut self.track);
        let n = k.nodes();
        track.t_s.push(self.t_s);
        track.supplied.push(self.supplied);
        track
            .temperature_k
            .extend(k.temperature[1..=n].iter().map(|t| t.0[0]));
        track.rate_k_s.extend(
            k.rate[1..=n]
                .iter()
                .zip(&k.per_heat[1..=n])
                .map(|(r, p)| r.0[0] * p.0[0]),
        );
        track.heat.extend(k.heat[1..=n].iter().map(|h| h.0[0]));
        if !k.molten.is_empty() {
            track.molten.extend(k.molten[1..=n].iter().map(|m| m.0[0]));
        }
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
        let n = self.track.nodes;
        let range = i * n..(i + 1) * n;
        let heat = self.track.heat[range.clone()].to_vec();
        let molten = self.track.molten.get(range).unwrap_or(&[]).to_vec();
        self.set_state(0, &heat, &molten);
        self.t_s = self.track.t_s[i];
        self.supplied = self.track.supplied[i];
        self.track.truncate(i + 1);
        self.t_s
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
