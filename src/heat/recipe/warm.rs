//! The heating half of a recipe: the window, and the state in which heating stops.

use super::ask::{Ask, Back, Body, LONGEST_S};
use crate::error::Result;
use crate::heat::dose::Meter;
use crate::heat::film::{self, Lie};
use crate::heat::sheet::Sheet;
use crate::heat::slab::body::Part;
use crate::heat::slab::drive::{Run, layer_nodes};
use crate::heat::slab::track::{Nodes, Track};
use crate::heat::slab::{Face, Material, Table, Where};

/// Cells across a body behind the sheet.
const CELLS_BODY: usize = 16;
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
    /// The hottest point reaches its upper limit.
    pub(crate) too_hot_s: Option<f64>,
    /// The dose reaches its limit.
    pub(crate) overdone_s: Option<f64>,
    faces: [Face; 2],
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
    let mut parts = vec![ask.sheet.part(ask.grain.cells, None)];
    if let Back::Board(body) = &ask.back {
        parts[0].contact_w_m2_k = Some(body.contact_w_m2_k);
        parts.push(body.part(None)?);
    }
    let nodes = layer_nodes(&parts, 0);
    let count: usize = parts.iter().map(|p| p.cells + 1).sum();
    let heated = ask.exposure.face(ask.sheet.emissivity);
    let free = cooling_face(ask)?;
    let faces = match ask.back {
        Back::SameHeat => [heated, heated],
        Back::Open | Back::Board(_) | Back::Turned { .. } => [heated, free],
    };
    let mut warmed = Warmed {
        run: Run::new(&parts, &vec![ask.air_k; count], ask.accuracy()),
        nodes,
        meter: ask.limits.dose.map(Meter::new),
        opens_s: None,
        too_hot_s: None,
        overdone_s: None,
        faces,
    };
    warmed.follow(ask)?;
    let mut scratch = Vec::new();
    let (track, nodes) = (&warmed.run.track, &warmed.nodes);
    warmed.opens_s = track.first_time(nodes, Where::Coldest, ask.need_k(), true, 0, &mut scratch);
    warmed.too_hot_s = track.first_time(
        nodes,
        Where::Hottest,
        ask.limits.upper_k,
        true,
        0,
        &mut scratch,
    );
    warmed.overdone_s = warmed
        .meter
        .as_ref()
        .zip(ask.limits.dose)
        .and_then(|(m, d)| m.time_of(track, d.limit));
    Ok(warmed)
}

impl Warmed {
    /// Faces at a time of heating.
    fn faces_at(&self, back: &Back, t_s: f64) -> [Face; 2] {
        match back {
            Back::Turned { every_s } if (t_s / every_s) as u64 % 2 == 1 => {
                [self.faces[1], self.faces[0]]
            }
            _ => self.faces,
        }
    }

    /// Face nodes of the sheet in a profile.
    pub(crate) fn face_nodes(&self) -> [usize; 2] {
        [
            self.nodes.first,
            self.nodes.first + self.nodes.x_m.len() - 1,
        ]
    }

    fn follow(&mut self, ask: &Ask) -> Result<()> {
        let turn_s = match ask.back {
            Back::Turned { every_s } => every_s,
            _ => LONGEST_S,
        };
        let turned = turn_s < LONGEST_S;
        let face_nodes = self.face_nodes();
        let dose_limit = ask.limits.dose.map_or(f64::INFINITY, |d| d.limit);
        let upper = ask.limits.upper_k;
        let mut turn = 0_u64;
        let mut last = [0.0_f64; 3];
        while self.run.t_s < LONGEST_S {
            let (nodes, meter) = (&self.nodes, &mut self.meter);
            let faces = if turn % 2 == 1 {
                [self.faces[1], self.faces[0]]
            } else {
                self.faces
            };
            let seconds = turn_s.min(LONGEST_S - self.run.t_s);
            let closed = self.run.advance(&faces[0], &faces[1], seconds, |track| {
                let i = track.len() - 1;
                if let Some(meter) = meter {
                    meter.follow(track, face_nodes);
                    if meter.worst(i) >= dose_limit {
                        return true;
                    }
                }
                let hottest = track.moving(nodes, Where::Hottest, i);
                hottest.value >= upper || (!turned && still(track, nodes, hottest.rate))
            })?;
            if closed {
                return Ok(());
            }
            turn += 1;
            if turned && turn.is_multiple_of(2) {
                let i = self.run.track.len() - 1;
                let now = [Where::Coldest, Where::Mean, Where::Hottest]
                    .map(|w| self.run.track.moving(&self.nodes, w, i).value);
                let most = now
                    .iter()
                    .zip(&last)
                    .map(|(a, b)| (a - b).abs())
                    .fold(0.0, f64::max);
                if most < STILL_K_S * 2.0 * turn_s {
                    return Ok(());
                }
                last = now;
            }
        }
        Ok(())
    }

    /// Goes back to a time of heating and stops there.
    pub(crate) fn stop_at(&mut self, back: &Back, stop_s: f64) -> Result<()> {
        if stop_s >= self.run.t_s {
            // Heat on: the caller asked for more time than the window has.
            let mut from = self.run.t_s;
            while from < stop_s {
                let next = match back {
                    Back::Turned { every_s } => ((from / every_s + 1e-9).floor() + 1.0) * every_s,
                    _ => stop_s,
                };
                let faces = self.faces_at(back, from + 1e-9);
                self.run
                    .advance(&faces[0], &faces[1], next.min(stop_s) - from, |_| false)?;
                from = next;
            }
        } else {
            let i = self.run.track.step_of(stop_s);
            let from = self.run.rewind(i);
            if let Some(meter) = &mut self.meter {
                meter.taken.truncate(i + 1);
            }
            let faces = self.faces_at(back, f64::midpoint(from, stop_s));
            if stop_s > from {
                self.run
                    .advance(&faces[0], &faces[1], stop_s - from, |_| false)?;
            }
        }
        let faces = self.face_nodes();
        if let Some(meter) = &mut self.meter {
            meter.follow(&self.run.track, faces);
        }
        Ok(())
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
