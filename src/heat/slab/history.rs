//! The open face of the solver: any layers, any faces, any sequence of steps.

use ndarray::{Array1, Array2};
use serde::Serialize;

use super::body::{Layer, Part, parts, spread};
use super::drive::{Accuracy, Run, Stretch, all_nodes, layer_nodes};
use super::face::Face;
use super::track::{Nodes, Track, Where};
use crate::error::{Error, Range, Result, check};

/// A stretch of time with the same faces.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Step {
    /// How long it lasts, more than 0 and up to 1e7. [s]
    pub seconds: f64,
    /// What acts on the front.
    pub front: Face,
    /// What acts on the back.
    pub back: Face,
}

/// Temperatures over time and depth.
#[derive(Debug, Clone)]
pub struct History {
    /// Times. [s]
    pub t_s: Array1<f64>,
    /// Depths of the nodes from the front; both sides of a joint have one. [m]
    pub x_m: Array1<f64>,
    /// Temperature at each time and depth. [K]
    pub temperature_k: Array2<f64>,
    /// Mean over the thickness at each time. [K]
    pub mean_k: Array1<f64>,
    /// Front face at each time. [K]
    pub front_k: Array1<f64>,
    /// Back face at each time. [K]
    pub back_k: Array1<f64>,
    /// Coldest point at each time. [K]
    pub coldest_k: Array1<f64>,
    /// Hottest point at each time. [K]
    pub hottest_k: Array1<f64>,
    /// Heat that went in through front and back, in all. [J/m²]
    pub supplied_j_m2: [f64; 2],
    /// Heat stored minus heat supplied, over the sum of `|heat through a face|` of all steps.
    pub energy_error: f64,
    /// Steps that were taken.
    pub steps: usize,
    track: Track,
    parts: Vec<Part>,
}

/// Longest step of a schedule. [s]
const SECONDS: Range = Range::new(1e-6, 1e7, "s");
/// Most steps of a schedule.
const MOST_STEPS: usize = 10_000;

/// Follows a stack of layers through a sequence of steps.
///
/// `at_s` are the times reported, from 0 to the end of the last step, in rising order; an empty list
/// reports every step that the solver took.
///
/// # Errors
/// [`Error::OutOfRange`] and [`Error::Shape`] for what cannot be, with the place of the number;
/// [`Error::Impossible`] if 20 000 steps do not reach the end.
///
/// ```
/// use mountwright::heat::{Face, Layer, Step, Table, Where, heat_slab};
/// let sheet = Layer {
///     thickness_m: 3e-3,
///     conductivity_w_m_k: Table::constant(0.18),
///     density_kg_m3: 1180.0,
///     heat_capacity_j_kg_k: Table::constant(1500.0),
///     melting: None,
///     start_k: vec![293.0],
///     contact_w_m2_k: None,
///     cells: None,
/// };
/// let gun = Face { film_w_m2_k: 60.0, gas_k: 500.0, ..Face::INSULATED };
/// let history = heat_slab(&[sheet], &[Step { seconds: 150.0, front: gun, back: Face::INSULATED }], &[])?;
/// let limp_s = history.first_time(Where::Coldest, 380.0, true);
/// assert!(limp_s.is_some_and(|t| t > 60.0));
/// assert!(history.energy_error.abs() < 1e-9);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn heat_slab(layers: &[Layer], steps: &[Step], at_s: &[f64]) -> Result<History> {
    heat_slab_with(layers, steps, at_s, Fineness::default())
}

/// How finely [`heat_slab_with`] steps through time.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Fineness {
    /// Error allowed in one time step, root mean square over a layer, 1e-9 to 10. [K]
    pub step_error_k: f64,
    /// Steps after which it gives up, at most 1e6.
    pub most_steps: usize,
}

impl Default for Fineness {
    fn default() -> Self {
        Self {
            step_error_k: 0.005,
            most_steps: 20_000,
        }
    }
}

/// [`heat_slab`] with a fineness of your own.
///
/// # Errors
/// Those of [`heat_slab`], and [`Error::OutOfRange`] for a fineness outside its range.
pub fn heat_slab_with(
    layers: &[Layer],
    steps: &[Step],
    at_s: &[f64],
    fineness: Fineness,
) -> Result<History> {
    let parts = parts(layers)?;
    check(
        "step_error_k",
        fineness.step_error_k,
        Range::new(1e-9, 10.0, "K"),
        "0.005 is usual",
    )?;
    check(
        "most_steps",
        fineness.most_steps as f64,
        Range::new(1.0, 1e6, ""),
        "20000 is usual",
    )?;
    check_steps(steps)?;
    let end: f64 = steps.iter().map(|s| s.seconds).sum();
    check_times(at_s, end)?;
    let start_k: Vec<f64> = layers
        .iter()
        .zip(&parts)
        .flat_map(|(layer, part)| part.places().into_iter().map(|x| spread(&layer.start_k, x)))
        .collect();
    let accuracy = Accuracy {
        step_error_k: fineness.step_error_k,
        most_steps: fineness.most_steps,
    };
    let mut run = Run::new(&parts, &start_k, accuracy);
    let before = run.stored_j_m2();
    for step in steps {
        let end = run.walk.t_s + step.seconds;
        let stretch = Stretch {
            faces: [step.front, step.back],
            end_s: end,
        };
        run.advance(&stretch, |_| false)?;
    }
    let stored = run.stored_j_m2() - before;
    let supplied = run.walk.track.supplied[run.walk.track.len() - 1];
    let moved: f64 = run
        .walk
        .track
        .supplied
        .windows(2)
        .map(|w| (w[1][0] - w[0][0]).abs() + (w[1][1] - w[0][1]).abs())
        .sum();
    let energy_error = if moved > 0.0 {
        (stored - supplied[0] - supplied[1]) / moved
    } else {
        0.0
    };
    Ok(report(run, parts, at_s, supplied, energy_error))
}

fn check_steps(steps: &[Step]) -> Result<()> {
    if steps.is_empty() || steps.len() > MOST_STEPS {
        return Err(Error::Shape {
            what: "steps".into(),
            given: format!("{} steps", steps.len()),
            allowed: format!("1 to {MOST_STEPS} steps"),
        });
    }
    for (i, step) in steps.iter().enumerate() {
        step.check(&format!("steps[{i}]"))?;
    }
    Ok(())
}

impl Step {
    /// Checks the step and its faces; `place` names it.
    pub(crate) fn check(&self, place: &str) -> Result<()> {
        check(
            format!("{place}.seconds"),
            self.seconds,
            SECONDS,
            "give a positive time",
        )?;
        self.front.check(&format!("{place}.front"))?;
        self.back.check(&format!("{place}.back"))
    }
}

fn check_times(at_s: &[f64], end: f64) -> Result<()> {
    for &t in at_s {
        check(
            "at_s",
            t,
            Range::new(0.0, end, "s"),
            "ask for times within the steps",
        )?;
    }
    if at_s.windows(2).any(|w| w[1] < w[0]) {
        return Err(Error::Shape {
            what: "at_s".into(),
            given: "times that fall".into(),
            allowed: "times in rising order".into(),
        });
    }
    Ok(())
}

fn report(
    run: Run,
    parts: Vec<Part>,
    at_s: &[f64],
    supplied: [f64; 2],
    energy_error: f64,
) -> History {
    let track = run.walk.track;
    let t_s: Vec<f64> = if at_s.is_empty() {
        track.t_s.clone()
    } else {
        at_s.to_vec()
    };
    let nodes = all_nodes(&parts);
    let mut temperature = Vec::with_capacity(t_s.len() * track.nodes);
    let mut profile = Vec::new();
    let mut value: [Vec<f64>; 5] = Default::default();
    let places = [
        Where::Mean,
        Where::Front,
        Where::Back,
        Where::Coldest,
        Where::Hottest,
    ];
    for (i, &t) in t_s.iter().enumerate() {
        if at_s.is_empty() {
            profile.clear();
            profile.extend_from_slice(track.profile(i));
        } else {
            track.profile_at(t, &mut profile);
        }
        for (list, &place) in value.iter_mut().zip(&places) {
            list.push(nodes.value(place, &profile));
        }
        temperature.extend_from_slice(&profile);
    }
    let [mean_k, front_k, back_k, coldest_k, hottest_k] = value.map(Array1::from_vec);
    let shape = (t_s.len(), track.nodes);
    History {
        temperature_k: Array2::from_shape_vec(shape, temperature)
            .unwrap_or_else(|_| Array2::zeros(shape)),
        t_s: Array1::from_vec(t_s),
        x_m: Array1::from_vec(nodes.x_m),
        mean_k,
        front_k,
        back_k,
        coldest_k,
        hottest_k,
        supplied_j_m2: supplied,
        energy_error,
        steps: run.walk.tried,
        track,
        parts,
    }
}

impl History {
    /// First time at which the slab rises (or falls) to a level, located inside the step; `None` if never.
    ///
    /// A slab that starts at or beyond the level gives 0.
    pub fn first_time(&self, place: Where, level_k: f64, rising: bool) -> Option<f64> {
        self.first_in(&all_nodes(&self.parts), place, level_k, rising)
    }

    /// [`History::first_time`] for one layer, counted from 0 at the front; `None` also for a layer that is not there.
    pub fn first_time_in(
        &self,
        layer: usize,
        place: Where,
        level_k: f64,
        rising: bool,
    ) -> Option<f64> {
        (layer < self.parts.len())
            .then(|| layer_nodes(&self.parts, layer))
            .and_then(|nodes| self.first_in(&nodes, place, level_k, rising))
    }

    fn first_in(&self, nodes: &Nodes, place: Where, level_k: f64, rising: bool) -> Option<f64> {
        let mut scratch = Vec::new();
        self.track
            .first_time(nodes, place, level_k, rising, 0, &mut scratch)
    }
}
