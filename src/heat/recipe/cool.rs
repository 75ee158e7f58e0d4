//! The cooling half of a recipe: working time, hold, and when it may be touched.

use serde::Serialize;

use super::ask::{Ask, Body, Hold, LONGEST_S};
use super::warm::{Warmed, cooling_face, still};
use crate::error::Result;
use crate::heat::slab::body::Part;
use crate::heat::slab::drive::{Accuracy, Run, layer_nodes};
use crate::heat::slab::track::{Nodes, Track};
use crate::heat::slab::{Face, Where};
use crate::heat::touch;

/// Times from the end of heat.
pub(crate) struct Cooled {
    /// Until the mean falls below what the shape needs. [s]
    pub(crate) working_s: Option<f64>,
    /// Until the hottest point is below its set temperature. [s]
    pub(crate) hold_s: Option<f64>,
    /// Until a firm grip of ten seconds does not burn. [s]
    pub(crate) touch_s: Option<f64>,
    /// The record, its times counted from the end of heat.
    pub(crate) track: Track,
    pub(crate) nodes: Nodes,
    /// Greatest temperatures of a part behind foam, where there is one: its face and its middle. [K]
    pub(crate) behind: Option<Behind>,
    /// Steps that were tried.
    pub(crate) steps: usize,
}

/// How warm the part behind the foam becomes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Behind {
    /// Hottest that the face of the metal becomes. [K]
    pub face_k: f64,
    /// When; from the end of heat. [s]
    pub face_s: f64,
    /// Hottest mean of the metal. [K]
    pub inside_k: f64,
    /// Hottest that any point of the foam becomes. [K]
    pub foam_k: f64,
}

/// State to go on from.
pub(crate) struct State {
    pub(crate) temperature_k: Vec<f64>,
    pub(crate) heat: Vec<f64>,
    pub(crate) molten: Vec<f64>,
}

impl Warmed {
    /// State of the sheet alone.
    pub(crate) fn state(&self) -> State {
        let cut = |v: &[f64]| {
            let n = self.run.track.nodes;
            v.get(v.len().saturating_sub(n)..)
                .and_then(|last| {
                    last.get(self.nodes.first..self.nodes.first + self.nodes.x_m.len())
                })
                .unwrap_or(&[])
                .to_vec()
        };
        State {
            temperature_k: cut(&self.run.track.temperature_k),
            heat: cut(&self.run.track.heat),
            molten: cut(&self.run.track.molten),
        }
    }
}

/// Cools the sheet from a state, held as asked.
pub(crate) fn cool(ask: &Ask, state: &State) -> Result<Cooled> {
    let air = cooling_face(ask)?;
    let sheet = ask.sheet.part(ask.grain.cells, None);
    let touch_k = touch::threshold_k(touch::GRIP.value)?;
    let set_k = ask.limits.set_k;
    let last_k = set_k.min(touch_k);
    let (stack, transfer_s): (Vec<&Body>, f64) = match &ask.hold {
        Hold::InHand => (Vec::new(), 0.0),
        Hold::OnForm { form, transfer_s } => (vec![form], *transfer_s),
        Hold::AgainstMetalBehindFoam {
            foam,
            metal,
            transfer_s,
        } => (vec![foam, metal], *transfer_s),
    };
    let need_k = ask.need_k();
    let alone = std::slice::from_ref(&sheet);
    let mut run = Run::resume(alone, state, ask.accuracy());
    let nodes = layer_nodes(alone, 0);
    let mut scratch = Vec::new();
    if stack.is_empty() {
        to_rest(&mut run, &nodes, [air, air], last_k)?;
        let mut first = |place, level| {
            run.track
                .first_time(&nodes, place, level, false, 0, &mut scratch)
        };
        return Ok(Cooled {
            working_s: first(Where::Mean, need_k),
            hold_s: first(Where::Hottest, set_k),
            touch_s: first(Where::Hottest, touch_k),
            steps: run.tried,
            track: run.track,
            nodes,
            behind: None,
        });
    }
    // Working time is that of the bare sheet in air; then it is pressed on.
    run.advance(&air, &air, LONGEST_S, |track| {
        let mean = track.moving(&nodes, Where::Mean, track.len() - 1);
        (mean.value < need_k && track.t_s[track.len() - 1] >= transfer_s) || mean.rate.abs() < 1e-4
    })?;
    let working_s = run
        .track
        .first_time(&nodes, Where::Mean, need_k, false, 0, &mut scratch);
    let mut run = Run::resume(alone, state, ask.accuracy());
    if transfer_s > 0.0 {
        run.advance(&air, &air, transfer_s, |_| false)?;
    }
    pressed(
        ask,
        run,
        &stack,
        &sheet,
        [air, cooling_of_stack(ask)?],
        (last_k, touch_k),
        working_s,
    )
}

/// The back of a form or a part, in the air of the shop.
fn cooling_of_stack(ask: &Ask) -> Result<Face> {
    cooling_face(ask)
}

/// The sheet pressed on a stack of bodies.
fn pressed(
    ask: &Ask,
    before: Run,
    stack: &[&Body],
    sheet: &Part,
    faces: [Face; 2],
    (last_k, touch_k): (f64, f64),
    working_s: Option<f64>,
) -> Result<Cooled> {
    let mut parts = vec![sheet.clone()];
    for (i, body) in stack.iter().enumerate() {
        if let Some(previous) = parts.last_mut() {
            previous.contact_w_m2_k = Some(body.contact_w_m2_k);
        }
        parts.push(body.part(stack.get(i + 1).map(|b| b.contact_w_m2_k))?);
    }
    let nodes = layer_nodes(&parts, 0);
    let mut run = before.pressed_on(&parts, ask.air_k, ask.accuracy());
    let mut scratch = Vec::new();
    let from = run.track.len();
    // A part behind foam warms long after the sheet has set.
    let rest_k = if stack.len() > 1 { ask.air_k } else { last_k };
    to_rest(&mut run, &nodes, faces, rest_k)?;
    let mut first = |place, level| {
        run.track
            .first_time(&nodes, place, level, false, 0, &mut scratch)
    };
    let (hold_s, touch_s) = (
        first(Where::Hottest, ask.limits.set_k),
        first(Where::Front, touch_k),
    );
    let behind = (stack.len() > 1).then(|| {
        let metal = layer_nodes(&parts, 2);
        let foam = layer_nodes(&parts, 1);
        let (face_s, face_k) = run.track.peak(&metal, Where::Front, from);
        Behind {
            face_k,
            face_s,
            inside_k: run.track.peak(&metal, Where::Mean, from).1,
            foam_k: run.track.peak(&foam, Where::Hottest, from).1,
        }
    });
    Ok(Cooled {
        working_s,
        hold_s,
        touch_s,
        steps: run.tried,
        track: run.track,
        nodes,
        behind,
    })
}

/// Runs until the hottest point has fallen to `level_k`, or nothing moves.
fn to_rest(run: &mut Run, nodes: &Nodes, faces: [Face; 2], level_k: f64) -> Result<()> {
    run.advance(&faces[0], &faces[1], LONGEST_S, |track| {
        let hottest = track.moving(nodes, Where::Hottest, track.len() - 1);
        hottest.value <= level_k || still(track, nodes, hottest.rate)
    })?;
    Ok(())
}

impl Run {
    /// A slab that goes on from a state, its clock at 0.
    pub(crate) fn resume(parts: &[Part], state: &State, accuracy: Accuracy) -> Self {
        let mut run = Self::new(parts, &state.temperature_k, accuracy);
        run.set_state(0, &state.heat, &state.molten);
        run
    }

    /// The slab of one layer pressed on others that are at `air_k`; the record goes on with all nodes.
    pub(crate) fn pressed_on(self, parts: &[Part], air_k: f64, accuracy: Accuracy) -> Self {
        let state = State {
            temperature_k: self.present(),
            heat: self.kernel.heat[1..=self.kernel.nodes()]
                .iter()
                .map(|h| h.0[0])
                .collect(),
            molten: self
                .kernel
                .molten
                .get(1..=self.kernel.nodes())
                .unwrap_or(&[])
                .iter()
                .map(|m| m.0[0])
                .collect(),
        };
        let count: usize = parts.iter().map(|p| p.cells + 1).sum();
        let mut start = state.temperature_k.clone();
        start.resize(count, air_k);
        let mut run = Self::new(parts, &start, accuracy);
        run.set_state(0, &state.heat, &state.molten);
        run.t_s = self.t_s;
        run
    }
}
