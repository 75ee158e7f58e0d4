//! The cooling half of a recipe: working time, hold, and when it may be touched.

use serde::Serialize;

use super::ask::{Ask, Body, Hold, LONGEST_S};
use super::warm::{Warmed, cooling_face, still};
use crate::error::Result;
use crate::heat::slab::abreast::Course;
use crate::heat::slab::body::Part;
use crate::heat::slab::drive::{Accuracy, Run, Stretch, layer_nodes};
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
#[derive(Default)]
pub(crate) struct State {
    pub(crate) temperature_k: Vec<f64>,
    pub(crate) heat: Vec<f64>,
    pub(crate) molten: Vec<f64>,
}

impl Warmed {
    /// State of the sheet alone.
    pub(crate) fn state(&self) -> State {
        let cut = |v: &[f64]| {
            let n = self.run.walk.track.nodes;
            v.get(v.len().saturating_sub(n)..)
                .and_then(|last| {
                    last.get(self.nodes.first..self.nodes.first + self.nodes.x_m.len())
                })
                .unwrap_or(&[])
                .to_vec()
        };
        State {
            temperature_k: cut(&self.run.walk.track.temperature_k),
            heat: cut(&self.run.walk.track.heat),
            molten: cut(&self.run.walk.track.molten),
        }
    }
}

/// Cools the sheet from a state, held as asked.
pub(crate) fn cool(ask: &Ask, state: &State) -> Result<Cooled> {
    let (stack, transfer_s): (Vec<&Body>, f64) = match &ask.hold {
        Hold::InHand => {
            let mut cooling = InHand::begin(ask, state)?;
            cooling.follow()?;
            return Ok(cooling.times(ask));
        }
        Hold::OnForm { form, transfer_s } => (vec![form], *transfer_s),
        Hold::AgainstMetalBehindFoam {
            foam,
            metal,
            transfer_s,
        } => (vec![foam, metal], *transfer_s),
    };
    let air = cooling_face(ask)?;
    let sheet = ask.sheet.part(ask.grain.cells, None);
    let need_k = ask.need_k();
    let alone = std::slice::from_ref(&sheet);
    let nodes = layer_nodes(alone, 0);
    // Working time is that of the bare sheet in air; then it is pressed on.
    let mut run = Run::resume(alone, state, ask.accuracy());
    let in_air = |end_s| Stretch {
        faces: [air, air],
        end_s,
    };
    run.advance(&in_air(LONGEST_S), |track| {
        let mean = track.moving(&nodes, Where::Mean, track.len() - 1);
        (mean.value < need_k && track.t_s[track.len() - 1] >= transfer_s) || mean.rate.abs() < 1e-4
    })?;
    let mut scratch = Vec::new();
    let working_s = run
        .walk
        .track
        .first_time(&nodes, Where::Mean, need_k, false, 0, &mut scratch);
    let mut run = Run::resume(alone, state, ask.accuracy());
    if transfer_s > 0.0 {
        run.advance(&in_air(transfer_s), |_| false)?;
    }
    pressed(ask, run, &stack, &sheet, air, working_s)
}

/// A sheet that cools in the hand, both faces in still air.
pub(crate) struct InHand {
    run: Run,
    nodes: Nodes,
    /// What is still to come.
    stretch: Option<Stretch>,
    rest: Rest,
    touch_k: f64,
}

impl Course for InHand {
    fn next_stretch(&mut self) -> Option<Stretch> {
        self.stretch.take()
    }

    fn apart(&mut self) -> (&mut Run, impl FnMut(&Track) -> bool) {
        let Self {
            run, nodes, rest, ..
        } = self;
        (run, |track: &Track| rest.reached(track, nodes))
    }

    fn end(&mut self) {}
}

impl InHand {
    pub(crate) fn begin(ask: &Ask, state: &State) -> Result<Self> {
        let air = cooling_face(ask)?;
        let sheet = [ask.sheet.part(ask.grain.cells, None)];
        let touch_k = touch::threshold_k(touch::GRIP.value)?;
        Ok(Self {
            run: Run::resume(&sheet, state, ask.accuracy()),
            nodes: layer_nodes(&sheet, 0),
            stretch: Some(Stretch {
                faces: [air, air],
                end_s: LONGEST_S,
            }),
            rest: Rest(ask.limits.set_k.min(touch_k)),
            touch_k,
        })
    }

    /// What the record of the cooling says.
    pub(crate) fn times(self, ask: &Ask) -> Cooled {
        let (track, nodes) = (self.run.walk.track, self.nodes);
        let mut scratch = Vec::new();
        let mut first =
            |place, level_k| track.first_time(&nodes, place, level_k, false, 0, &mut scratch);
        Cooled {
            working_s: first(Where::Mean, ask.need_k()),
            hold_s: first(Where::Hottest, ask.limits.set_k),
            touch_s: first(Where::Hottest, self.touch_k),
            steps: self.run.walk.tried,
            track,
            nodes,
            behind: None,
        }
    }
}

/// The temperature to which the hottest point is followed. [K]
#[derive(Debug, Clone, Copy)]
struct Rest(f64);

impl Rest {
    /// Whether it has come so far, or nothing moves.
    fn reached(self, track: &Track, nodes: &Nodes) -> bool {
        let hottest = track.moving(nodes, Where::Hottest, track.len() - 1);
        hottest.value <= self.0 || still(track, nodes, hottest.rate)
    }
}

/// The sheet pressed on a stack of bodies, both ends in the air of the shop.
fn pressed(
    ask: &Ask,
    before: Run,
    stack: &[&Body],
    sheet: &Part,
    air: Face,
    working_s: Option<f64>,
) -> Result<Cooled> {
    let touch_k = touch::threshold_k(touch::GRIP.value)?;
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
    let from = run.walk.track.len();
    // A part behind foam warms long after the sheet has set.
    let rest = Rest(if stack.len() > 1 {
        ask.air_k
    } else {
        ask.limits.set_k.min(touch_k)
    });
    let to_rest = Stretch {
        faces: [air, air],
        end_s: LONGEST_S,
    };
    run.advance(&to_rest, |track| rest.reached(track, &nodes))?;
    let mut first = |place, level| {
        run.walk
            .track
            .first_time(&nodes, place, level, false, 0, &mut scratch)
    };
    let (hold_s, touch_s) = (
        first(Where::Hottest, ask.limits.set_k),
        first(Where::Front, touch_k),
    );
    let behind = (stack.len() > 1).then(|| {
        let metal = layer_nodes(&parts, 2);
        let foam = layer_nodes(&parts, 1);
        let (face_s, face_k) = run.walk.track.peak(&metal, Where::Front, from);
        Behind {
            face_k,
            face_s,
            inside_k: run.walk.track.peak(&metal, Where::Mean, from).1,
            foam_k: run.walk.track.peak(&foam, Where::Hottest, from).1,
        }
    });
    Ok(Cooled {
        working_s,
        hold_s,
        touch_s,
        steps: run.walk.tried,
        track: run.walk.track,
        nodes,
        behind,
    })
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
        run.walk.t_s = self.walk.t_s;
        run
    }
}
