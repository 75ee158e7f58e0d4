//! One flat panel in one run of the chain.

use super::cutting::{Along, router_template};
use super::mounting;
use super::part::{Beside, Cut, PartRun, Run, Stage, with_template};
use super::practice;
use super::rack::{self, InRack};
use super::ring_shape::form;
use super::setup::{Setup, Stuff};
use super::strap::play_m;
use super::values::{Values, measured};
use crate::error::Result;
use crate::file::{Length, Mass};
use crate::finish::Shade;
use crate::job;
use crate::material::{Properties, Use};
use crate::mount::beam::Held;
use crate::mount::fixing::{Screw, clearance_hole_m};
use crate::mount::service_heat::{Made, SAG_SEEN, Warmth};
use crate::mount::shock::BODY_SHOCK;
use crate::mount::vibration::Q_SCREWED;
use crate::mount::{Check, Material, PanelMount, check_panel, fit};
use crate::outline::{Chain, Outline, Point};
use crate::shape::panel::{Cutout, Hole, Panel, PanelAsk, panel};
use crate::shape::template;
use crate::shape::{Faces, Form, Grain, HoleKind};
use crate::task::Kind;

/// A panel's measures in one run. [m]
pub(super) struct Measures {
    pub(super) thickness: f64,
    pub(super) width: f64,
    pub(super) height: f64,
    corner: f64,
    pub(super) screw_edge: f64,
    /// What the trial fit showed: off the left, right, upper and lower edge.
    cut: [f64; 4],
    cutouts: Vec<[f64; 5]>,
}

impl Measures {
    pub(super) fn take(job: &job::Panel, rack: Option<&InRack>, v: &mut Values) -> Result<Self> {
        let n = &job.name;
        let mut cutouts = vec![];
        for (i, c) in job.cutouts.iter().enumerate() {
            let name = format!("{n}, cutout {}", i + 1);
            let width = measured(v, &name, "width", c.width)?;
            let height = c
                .height
                .map(|h| measured(v, &name, "height", h))
                .transpose()?;
            let corner = c
                .corner_radius
                .map(|r| measured(v, &name, "corner radius", r))
                .transpose()?;
            let right = measured(v, &name, "right", c.right)?;
            let up = measured(v, &name, "up", c.up)?;
            cutouts.push([
                width,
                height.unwrap_or(width),
                corner.unwrap_or(0.0),
                right,
                up,
            ]);
        }
        Ok(Self {
            thickness: rack::thickness_m(rack, n, job.thickness, v)?,
            width: measured(v, n, "width", job.width)?,
            height: measured(v, n, "height", job.height)?,
            corner: job
                .corner_radius
                .map(|r| measured(v, n, "corner radius", r))
                .transpose()?
                .unwrap_or(0.0),
            screw_edge: measured(v, n, "screw edge", job.screw_edge)?,
            cut: cuts(job, v)?,
            cutouts,
        })
    }

    /// Width and height after what was cut off.
    pub(super) fn sides(&self) -> [f64; 2] {
        let [left, right, top, bottom] = self.cut;
        [self.width - left - right, self.height - top - bottom]
    }

    /// The middle of what is left, seen from the panel's own: openings stay where they were.
    fn middle(&self) -> Point {
        let [left, right, top, bottom] = self.cut;
        Point::new((left - right) / 2.0, (bottom - top) / 2.0)
    }

    /// The outside after what was cut off.
    fn outer(&self, traced: Option<&Outline>) -> Result<Form> {
        let [left, ..] = self.cut;
        match traced {
            Some(outline) => Form::Traced(outline.outside.clone()).cut_back("outer", left),
            None if self.middle() == Point::new(0.0, 0.0) => Ok(Form::RoundedRectangle {
                width_m: self.sides()[0],
                height_m: self.sides()[1],
                corner_m: self.corner,
            }),
            None => {
                let [width, height] = self.sides();
                let line = Chain::rounded_rectangle(self.middle(), width, height, self.corner);
                Ok(Form::Traced(line))
            }
        }
    }

    /// Screws spaced evenly along the line that keeps their distance to the edge, and the greatest distance between two neighbours.
    pub(super) fn screws(&self, count: u32, traced: Option<&Outline>) -> Result<(Vec<Point>, f64)> {
        let line = if traced.is_some() {
            let outer = self.outer(traced)?.chain("outer")?;
            outer.offset(-self.screw_edge)?
        } else {
            let [width, height] = self.sides().map(|side| side - 2.0 * self.screw_edge);
            let corner = (self.corner - self.screw_edge).max(0.0);
            Chain::rounded_rectangle(self.middle(), width, height, corner)
        };
        let pitch = line.length_m() / f64::from(count);
        let points = (0..count)
            .map(|i| line.point_at((f64::from(i) + 0.5) * pitch))
            .collect();
        Ok((points, pitch))
    }
}

/// What the trial fit took off the left, right, upper and lower edge.
fn cuts(job: &job::Panel, v: &mut Values) -> Result<[f64; 4]> {
    let mut of = |what: &str, length: Option<Length>| {
        length.map_or(Ok(0.0), |l| measured(v, &job.name, what, l))
    };
    let round = of("edge cut", job.edge_cut)?;
    Ok([
        round + of("left cut", job.left_cut)?,
        round + of("right cut", job.right_cut)?,
        round + of("top cut", job.top_cut)?,
        round + of("bottom cut", job.bottom_cut)?,
    ])
}

/// The panel, flat.
///
/// The first hole is round, the rest are slots towards it, so that the panel may grow in the sun.
pub(super) fn shape(
    setup: &Setup,
    job: &job::Panel,
    m: &Measures,
    p: &Properties,
    finish_m: f64,
    faces: Faces,
) -> Result<Panel> {
    let traced = setup.job.traced.get(&job.name);
    let drawn = traced.map_or(&[][..], |t| t.holes.as_slice());
    let drawn = drawn.iter().enumerate().map(|(i, hole)| Cutout {
        name: format!("opening {} of the drawing", i + 1),
        form: Form::Traced(hole.clone()),
        at: Point::new(0.0, 0.0),
        turn_rad: 0.0,
    });
    let cutouts =
        job.cutouts
            .iter()
            .zip(&m.cutouts)
            .enumerate()
            .map(|(i, (c, &[w, h, r, x, y]))| Cutout {
                name: format!("cutout {}", i + 1),
                form: form(c.outline, w, h, r, c.corners.unwrap_or(0), None),
                at: Point::new(x, y),
                turn_rad: 0.0,
            });
    let hole = clearance_hole_m(job.screw_diameter.si());
    let (screws, _) = m.screws(job.screws, traced)?;
    let fixed = screws.first().copied().unwrap_or(Point::new(0.0, 0.0));
    let screw = |at: Point| {
        let far_m = at.distance_m(fixed);
        if far_m < 1e-9 {
            return Hole::round("screw, fixed", at, hole);
        }
        let kind = HoleKind::Slot {
            length_m: hole + play_m(p, far_m),
            angle_rad: (fixed.y_m - at.y_m).atan2(fixed.x_m - at.x_m),
        };
        Hole {
            kind,
            ..Hole::round("screw, slotted", at, hole)
        }
    };
    panel(&PanelAsk {
        name: job.name.clone(),
        hand: job.hand,
        thickness_m: m.thickness,
        outer: m.outer(traced)?,
        cutouts: drawn.chain(cutouts).collect(),
        holes: screws.iter().map(|&at| screw(at)).collect(),
        finish_m,
        faces,
        grain: job.grain.unwrap_or(Grain::Free),
    })
}

/// One panel of the job, the `unit`-th of its kind.
pub(super) fn run(run: &mut Run, job: &job::Panel, unit: u32) -> Result<PartRun> {
    let setup = run.setup;
    let name = job.name.as_str();
    let shade = job.shade.unwrap_or(Shade::Dark);
    let stuff = Stuff::of(&job.material, job.thickness.si(), job.sheet.as_ref());
    let rack = setup.measured(stuff);
    let (material, p) = setup.material(stuff, &mut run.values)?;
    let warmth = mounting::warmth(setup, setup.place(&job.place)?, shade, &mut run.values)?;
    let (adds_face_m, adds_edge_m) = run.coat_m(job.finish)?;
    let m = Measures::take(job, rack, &mut run.values)?;
    let faces = job
        .faces
        .unwrap_or(rack.map_or(Faces::Alike, InRack::faces));
    let mut made = shape(setup, job, &m, &p, adds_edge_m, faces)?;
    run.say_routing(&mut made.blank, &job.material, Along::Template);

    let times = setup.shop.shop.times;
    let (pattern, units) = ((unit, unit), run.batch(unit));
    let stage = |name, kind, time, paced_s, set_up| Stage {
        name,
        kind,
        time,
        units: match kind {
            Kind::Measure | Kind::Template => pattern,
            _ => units,
        },
        paced_s,
        set_up,
    };
    let cut = (times.cut_handling, &practice::CUT_HANDLING);
    let sets = f64::from(setup.sets);
    let cut_s = run.cutting_s(made.blank.cut_length_m, made.blank.thickness_m) * sets;
    let stages = [
        stage(
            "measure",
            Kind::Measure,
            (times.measure, &practice::MEASURE),
            0.0,
            None,
        ),
        stage(
            "card template",
            Kind::Template,
            (times.template, &practice::TEMPLATE),
            0.0,
            None,
        ),
        stage("cut", Kind::Cut, cut, cut_s, Some(super::CUT_SET_UP)),
    ];
    let on_shelf = job.template == job::Template::OnShelf;
    let cut = run.stages(name, None, &with_template(stages.into(), on_shelf))?;
    let kept_blanks = run.cut_spares(name, &[&made.blank])?;
    let (trial, again) = run.trial(name, "trial fit", units, cut)?;
    let sizes = (made.blank.area_m2(), made.blank.outline.edge_length_m());
    let (finish, last) = run.coat(
        name,
        (job.finish, shade),
        sizes,
        &job.material,
        units,
        trial,
    )?;
    run.fit(name, units, job.screws * setup.sets, last)?;
    run.wear(made.blank.cut_length_m * sets, made.blank.thickness_m)?;

    let checks = checks(run, job, &m, &made, &p, warmth)?;
    let beside = vec![
        Beside {
            kind: "card",
            blank: template::card(&made.blank),
        },
        router_template(setup, &made.blank)?,
    ];
    let used = Use {
        measured: rack.is_some(),
        ..Use::CUT
    };
    let mut notes = material.notes_of_sheet(m.thickness, used)?;
    notes.extend(rack.into_iter().flat_map(|own| own.notes(name)));
    Ok(PartRun {
        name: name.into(),
        beside,
        cuts: vec![Cut {
            copies: setup.sets + kept_blanks,
            spares: 0,
            material: job.material.clone(),
            thickness_m: job.thickness.si(),
            sheet: job.sheet.clone(),
            blank: made.blank,
        }],
        developed_m: None,
        recipe: None,
        bends: vec![],
        bench: vec![],
        last: vec![],
        limits: None,
        exposure: None,
        glued: None,
        finish,
        adds_face_m,
        warmth,
        checks,
        rework: again,
        notes,
    })
}

/// Heat, shaking, screws and webs of the finished panel.
fn checks(
    run: &mut Run,
    job: &job::Panel,
    m: &Measures,
    made: &Panel,
    p: &Properties,
    warmth: Warmth,
) -> Result<Vec<Check>> {
    let (_, pitch_m) = m.screws(job.screws, run.setup.job.traced.get(&job.name))?;
    let [width, height] = m.sides();
    let (from_fixed_m, slot_m) =
        (made.blank.furthest_slot_m()).unwrap_or((0.0, clearance_hole_m(job.screw_diameter.si())));
    let material = Material::of(p)?;
    let web = made
        .web_m
        .map(|web_m| fit::web(&job.name, material.family, web_m, m.thickness))
        .transpose()?;
    let mut found = check_panel(&PanelMount {
        part: job.name.clone(),
        sides_m: [width, height].map(|side| side - 2.0 * m.screw_edge),
        thickness_m: m.thickness,
        centre_kg: job.carried_mass.map_or(0.0, Mass::si),
        covering_kg_m2: 0.0,
        made: Made::Flat,
        held: Held::ClampedAllRound,
        warmth,
        screw: Screw::pan(job.screw_diameter.si()),
        edge_m: made.edge_m.unwrap_or(m.screw_edge),
        pitch_m,
        screws: job.screws,
        slot_m,
        from_fixed_m,
        sag_limit_m: SAG_SEEN.value,
        shock: BODY_SHOCK,
        q: run.values.constant(&Q_SCREWED)?,
        material,
    })?;
    found.extend(web);
    Ok(found)
}
