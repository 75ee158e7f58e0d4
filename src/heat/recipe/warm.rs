//! The heating half of a recipe: the window, and the state in which heating stops.

use super::answer::ClosedBy;
use super::ask::{Ask, Back, Body, LONGEST_S, wrap_of};
use crate::error::Result;
use crate::heat::dose::Meter;
use crate::heat::film::{self, Lie};
use crate::heat::sheet::Sheet;
use crate::heat::slab::abreast::Course;
use crate::heat::slab::body::Part;
use crate::heat::slab::drive::{Run, Stretch, layer_nodes};
use crate::heat::slab::track::{Nodes, Track};
use crate::heat::slab::{Face, Material, Table, Where};

/// Cells across a body behind the sheet.
const CELLS_BODY: usize = 16;
/// Most rounds of turning that are looked at for the one in which pulses and turns begin together again.
const MOST_ROUNDS: u32 = 40;
/// Slower than this, nothing more will happen. [K/s]
const STILL_K_S: f64 = 1e-4;

impl Sheet {
    /// The sheet as a layer of the solver.
    pub(crate) fn part(&self, cells: usize, contact_w_m2_k: Option<f64>) -> Part {
        Part {
            material: self.material.clone(),
            thickness_m: self.thickness_m,
            conductivity_factor: self.conductivity_factor,
            capacity_factor: self.heat_capacity_factor,
            contact_w_m2_k,
            cells: if self.material.melts() {
                2 * cells
            } else {
                cells
            },
        }
    }
}

impl Body {
    /// The body as a layer of the solver.
    pub(crate) fn part(&self, next_contact: Option<f64>) -> Result<Part> {
        Ok(Part {
            material: std::sync::Arc::new(Material::new(
                &Table::constant(self.conductivity_w_m_k),
                self.density_kg_m3,
                &Table::constant(self.heat_capacity_j_kg_k),
                None,
            )?),
            thickness_m: self.thickness_m,
            conductivity_factor: 1.0,
            capacity_factor: 1.0,
            contact_w_m2_k: next_contact,
            cells: CELLS_BODY,
        })
    }
}

/// A sheet that has been heated until nothing more happens.
pub(crate) struct Warmed {
    pub(crate) run: Run,
    pub(crate) nodes: Nodes,
    pub(crate) meter: Option<Meter>,
    /// The coldest point reaches what the shape needs.
    pub(crate) opens_s: Option<f64>,
    /// The coldest point is limp, whatever the shape needs.
    pub(crate) limp_s: Option<f64>,
    /// The hottest point reaches its upper limit.
    pub(crate) too_hot_s: Option<f64>,
    /// The dose reaches its limit.
    pub(crate) overdone_s: Option<f64>,
    bounds: Bounds,
    schedule: Schedule,
    /// Whether a bound was passed, or nothing more happens.
    over: bool,
    /// Coldest, mean and hottest when it was last seen whether they still move, and when it is seen again.
    last_k: [f64; 3],
    next_look_s: f64,
}

/// Which faces act when.
struct Schedule {
    heated: Face,
    behind: Face,
    resting: Face,
    both: bool,
    turn_s: Option<f64>,
    pulse: Option<(f64, f64)>,
}

impl Schedule {
    fn new(ask: &Ask) -> Result<Self> {
        let mut heated = ask.exposure.face(ask.sheet.emissivity);
        let resting = cooling_face(ask)?;
        let wrap = match ask.back {
            Back::Open | Back::Turned { .. } => ask.wrap.unwrap_or_else(|| wrap_of(ask.width_m)),
            Back::Board(_) | Back::SameHeat => 0.0,
        };
        let behind = Face {
            still_k: ask.air_k + wrap * (heated.gas_k - ask.air_k).max(0.0),
            ..resting
        };
        if let Some(pulse) = ask.pulse {
            heated.film_w_m2_k *= pulse.strength;
        }
        Ok(Self {
            heated,
            behind,
            resting,
            both: ask.back == Back::SameHeat,
            turn_s: match ask.back {
                Back::Turned { every_s } => Some(every_s),
                _ => None,
            },
            pulse: ask.pulse.map(|p| (p.on_s, p.on_s + p.off_s)),
        })
    }

    /// Whether the faces never change.
    fn steady(&self) -> bool {
        self.turn_s.is_none() && self.pulse.is_none()
    }

    /// Time after which the faces come round again.
    fn period_s(&self) -> f64 {
        match (self.turn_s, self.pulse) {
            (Some(turn), None) => 2.0 * turn,
            (None, Some((_, period))) => period,
            // Rounds of turning until the pulses begin with one of them again.
            (Some(turn), Some((_, period))) => {
                let rounds = (1..MOST_ROUNDS).find(|&n| {
                    let pulses = f64::from(n) * 2.0 * turn / period;
                    (pulses - pulses.round()).abs() < 1e-6
                });
                2.0 * turn * f64::from(rounds.unwrap_or(MOST_ROUNDS))
            }
            (None, None) => LONGEST_S,
        }
    }

    /// Faces just after `t_s`, and until when they stay.
    fn at(&self, t_s: f64) -> ([Face; 2], f64) {
        // A time that was reached by adding counts as the switch that it stands for.
        let place = |length: f64| {
            let turns = (t_s / length + 1e-9).floor();
            (turns, t_s - turns * length, (turns + 1.0) * length)
        };
        let (turned, mut until) = self.turn_s.map_or((false, LONGEST_S), |length| {
            let (turns, _, next) = place(length);
            (turns as u64 % 2 == 1, next)
        });
        let mut on = true;
        if let Some((on_s, period)) = self.pulse {
            let (turns, into, next) = place(period);
            on = into < on_s * (1.0 - 1e-9);
            until = until.min(if on { turns * period + on_s } else { next });
        }
        let mut faces = match (on, self.both) {
            (true, true) => [self.heated; 2],
            (true, false) => [self.heated, self.behind],
            (false, _) => [self.resting; 2],
        };
        if turned {
            faces.swap(0, 1);
        }
        (faces, until)
    }
}

/// A face that cools in the air of the shop.
pub(crate) fn cooling_face(ask: &Ask) -> Result<Face> {
    let lie = Lie::Upright;
    film::cooling(
        ask.need_k(),
        ask.air_k,
        ask.width_m,
        lie,
        ask.sheet.emissivity,
    )
}

/// Heats until the window has closed, or nothing more happens.
pub(crate) fn warm(ask: &Ask) -> Result<Warmed> {
    let mut warmed = Warmed::cold(ask)?;
    warmed.follow()?;
    warmed.find(ask);
    Ok(warmed)
}

/// What ends the heat that is looked at.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    /// Ends it as soon as the coldest point is so warm, where only the opening is asked for.
    enough_k: f64,
    upper_k: f64,
    dose: f64,
    /// Whether the faces never change, so that rest can be seen at any step.
    steady: bool,
}

impl Bounds {
    /// Whether the last record is beyond the window, or at rest.
    fn passed(&self, track: &Track, nodes: &Nodes, meter: Option<&mut Meter>) -> bool {
        let i = track.len() - 1;
        if let Some(meter) = meter {
            meter.follow(track, face_nodes(nodes));
            if meter.worst(i) >= self.dose {
                return true;
            }
        }
        let hottest = track.moving(nodes, Where::Hottest, i);
        hottest.value >= self.upper_k
            || (self.enough_k.is_finite()
                && track.moving(nodes, Where::Coldest, i).value >= self.enough_k)
            || (self.steady && still(track, nodes, hottest.rate))
    }
}

/// Face nodes of the sheet in a profile.
pub(crate) fn face_nodes(nodes: &Nodes) -> [usize; 2] {
    [nodes.first, nodes.first + nodes.x_m.len() - 1]
}

impl Warmed {
    /// The sheet before the heat.
    pub(crate) fn cold(ask: &Ask) -> Result<Self> {
        let mut parts = vec![ask.sheet.part(ask.grain.cells, None)];
        if let Back::Board(body) = &ask.back {
            parts[0].contact_w_m2_k = Some(body.contact_w_m2_k);
            parts.push(body.part(None)?);
        }
        let count: usize = parts.iter().map(|p| p.cells + 1).sum();
        let schedule = Schedule::new(ask)?;
        let bounds = Bounds {
            enough_k: f64::INFINITY,
            upper_k: ask.limits.upper_k,
            dose: ask.limits.dose.map_or(f64::INFINITY, |d| d.limit),
            steady: schedule.steady(),
        };
        Ok(Self {
            run: Run::new(&parts, &vec![ask.air_k; count], ask.accuracy()),
            nodes: layer_nodes(&parts, 0),
            meter: ask.limits.dose.map(Meter::new),
            opens_s: None,
            limp_s: None,
            too_hot_s: None,
            overdone_s: None,
            bounds,
            over: false,
            last_k: [0.0; 3],
            next_look_s: schedule.period_s(),
            schedule,
        })
    }

    /// When the window opens and closes, in the record of the heat.
    pub(crate) fn find(&mut self, ask: &Ask) {
        let mut scratch = Vec::new();
        let (track, nodes) = (&self.run.walk.track, &self.nodes);
        let mut first =
            |place, level_k| track.first_time(nodes, place, level_k, true, 0, &mut scratch);
        self.opens_s = first(Where::Coldest, ask.need_k());
        self.limp_s = first(Where::Coldest, ask.limits.limp_k);
        self.too_hot_s = first(Where::Hottest, ask.limits.upper_k);
        let period_s = if self.schedule.steady() {
            0.0
        } else {
            self.schedule.period_s()
        };
        self.overdone_s = self
            .meter
            .as_ref()
            .zip(ask.limits.dose)
            .and_then(|(m, d)| {
                m.time_of(track, d.limit)
                    .or_else(|| m.time_at_rest(track, face_nodes(nodes), d.limit, period_s))
            })
            .filter(|&t| t <= LONGEST_S);
    }

    /// Ends the heat as soon as the window opens.
    pub(crate) fn only_to_the_opening(mut self, ask: &Ask) -> Self {
        self.bounds.enough_k = ask.need_k();
        self
    }

    /// When the window closes, and by what.
    pub(crate) fn closes(&self) -> Option<(f64, ClosedBy)> {
        match (self.too_hot_s, self.overdone_s) {
            (Some(hot), Some(dose)) if dose < hot => Some((dose, ClosedBy::Dose)),
            (Some(hot), _) => Some((hot, ClosedBy::Upper)),
            (None, Some(dose)) => Some((dose, ClosedBy::Dose)),
            (None, None) => None,
        }
    }

    /// Faces from now until they change, or until `end_s`.
    fn stretch(&self, end_s: f64) -> Stretch {
        let (faces, until) = self.schedule.at(self.run.walk.t_s);
        Stretch {
            faces,
            end_s: until.min(end_s),
        }
    }

    /// Whether a whole round of the schedule has changed nothing.
    fn rests(&mut self) -> bool {
        let walk = &self.run.walk;
        if self.schedule.steady() || walk.t_s < self.next_look_s * (1.0 - 1e-9) {
            return false;
        }
        let period_s = self.schedule.period_s();
        self.next_look_s += period_s;
        let i = walk.track.len() - 1;
        let now = [Where::Coldest, Where::Mean, Where::Hottest]
            .map(|w| walk.track.moving(&self.nodes, w, i).value);
        let most = now
            .iter()
            .zip(&self.last_k)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max);
        self.last_k = now;
        most < STILL_K_S * period_s
    }

    /// Heats on until a time, whatever happens.
    pub(crate) fn heat_until(&mut self, stop_s: f64) -> Result<()> {
        while self.run.walk.t_s < stop_s {
            let stretch = self.stretch(stop_s);
            self.run.advance(&stretch, |_| false)?;
        }
        Ok(())
    }

    /// Goes back to a time of heating, or on to it, and stops there.
    pub(crate) fn stop_at(&mut self, stop_s: f64) -> Result<()> {
        if stop_s < self.run.walk.t_s {
            let i = self.run.walk.track.step_of(stop_s);
            self.run.rewind(i);
            if let Some(meter) = &mut self.meter {
                meter.taken.truncate(i + 1);
            }
        }
        self.heat_until(stop_s)?;
        if let Some(meter) = &mut self.meter {
            meter.follow(&self.run.walk.track, face_nodes(&self.nodes));
        }
        Ok(())
    }
}

impl Course for Warmed {
    fn next_stretch(&mut self) -> Option<Stretch> {
        self.over = self.over || self.run.walk.t_s >= LONGEST_S || self.rests();
        (!self.over).then(|| self.stretch(LONGEST_S))
    }

    fn apart(&mut self) -> (&mut Run, impl FnMut(&Track) -> bool) {
        let Self {
            run,
            nodes,
            meter,
            bounds,
            ..
        } = self;
        (run, |track: &Track| {
            bounds.passed(track, nodes, meter.as_mut())
        })
    }

    fn end(&mut self) {
        self.over = true;
    }
}

/// Whether nothing moves any more.
pub(crate) fn still(track: &Track, nodes: &Nodes, hottest_rate: f64) -> bool {
    let i = track.len() - 1;
    hottest_rate.abs() < STILL_K_S
        && track.t_s[i] > 1.0
        && track.moving(nodes, Where::Mean, i).rate.abs() < STILL_K_S
        && track.moving(nodes, Where::Coldest, i).rate.abs() < STILL_K_S
}
