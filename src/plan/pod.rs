//! One pod over a plug in one run of the chain.

use super::at_hand;
use super::cutting::Along;
use super::forming::{Forming, notes};
use super::mounting;
use super::part::{Beside, Cut, Glued, PartRun, Run, Seam};
use super::practice;
use super::rack::{self, InRack};
use super::setup::Stuff;
use super::values::{Values, measured};
use crate::bond::Load;
use crate::error::Result;
use crate::file::Length;
use crate::finish::Shade;
use crate::job::{self, PlugShape, PodHeld, PodInside};
use crate::material::{Properties, Property};
use crate::mount::beam::{Held, Tab};
use crate::mount::fixing::{Screw, clearance_hole_m};
use crate::mount::service_heat::{Made, SAG_SEEN, Warmth};
use crate::mount::vibration::Q_SCREWED;
use crate::mount::{Check, Material, StrapMount, check_strap, wall};
use crate::shape::draw::{self, DrawAsk, Drawn, drawn};
use crate::shape::flange::{RimFlange, rim_flange};
use crate::shape::seat::Seat;
use crate::shape::{Blank, Contour, Faces, Grain, Mark, template};

/// A pod's measures in one run. [m]
struct Measures {
    thickness: f64,
    width: f64,
    height: f64,
    crown: f64,
    corner: f64,
    depth: f64,
    clamp: f64,
    flange: f64,
    body: f64,
    body_length: f64,
    foam: f64,
}

impl Measures {
    fn take(job: &job::Pod, rack: Option<&InRack>, v: &mut Values) -> Result<Self> {
        let n = &job.name;
        let optional = |v: &mut Values, what: &str, length: Option<Length>| {
            length.map_or(Ok(0.0), |l| measured(v, n, what, l))
        };
        Ok(Self {
            thickness: rack::thickness_m(rack, n, job.thickness, v)?,
            width: measured(v, n, "width", job.width)?,
            height: optional(v, "height", job.height)?,
            crown: optional(v, "crown width", job.crown_width)?,
            corner: optional(v, "corner radius", job.corner_radius)?,
            depth: measured(v, n, "depth", job.depth)? - optional(v, "depth cut", job.depth_cut)?,
            clamp: measured(v, n, "clamp", job.clamp)?,
            flange: measured(v, n, "flange", job.flange)?
                - optional(v, "flange cut", job.flange_cut)?,
            body: measured(v, n, "body diameter", job.body_diameter)?,
            body_length: measured(v, n, "body length", job.body_length)?,
            foam: measured(v, n, "foam thickness", job.foam_thickness)?,
        })
    }

    fn seat(&self, plug: PlugShape) -> Seat {
        Seat {
            solid: plug.solid(PodInside {
                width_m: self.width,
                height_m: self.height,
                crown_m: self.crown,
                corner_m: self.corner,
                depth_m: self.depth,
            }),
            body_m: self.body,
            length_m: self.body_length,
            foam_m: self.foam,
        }
    }

    /// The face that foam and pod share; a draw in which they hardly touch keeps a hair of it, and its joint fails. [m²]
    fn glued_m2(&self, plug: PlugShape) -> f64 {
        self.seat(plug).held_m2().max(1e-6)
    }

    /// Length of the strip of foam round the body, at the middle of its thickness. [m]
    fn strip_m(&self) -> f64 {
        std::f64::consts::PI * (self.body + self.foam)
    }
}

/// Area of the drawn face with the flange round it [m²], and length of the flange's trimmed edge [m].
fn finished(made: &Drawn) -> (f64, f64) {
    let walls_m2 = made.walls.iter().map(|w| w.area_m2).sum::<f64>();
    let contour = |wanted: Contour| {
        made.blank.marks.iter().find_map(|mark| match mark {
            Mark::Contour { what, chain, .. } if *what == wanted => Some(chain),
            _ => None,
        })
    };
    match (contour(Contour::Rim), contour(Contour::Flange)) {
        (Some(rim), Some(flange)) => (
            walls_m2 + flange.area_m2().abs() - rim.area_m2().abs(),
            flange.length_m(),
        ),
        _ => (walls_m2, made.blank.outline.edge_length_m()),
    }
}

/// The blank with its flange, and the distance between its screws. [m]
fn shape(
    job: &job::Pod,
    m: &Measures,
    p: &Properties,
    finish_m: f64,
    faces: Faces,
) -> Result<(Drawn, f64)> {
    let mut made = drawn(&DrawAsk {
        name: job.name.clone(),
        hand: job.hand,
        thickness_m: m.thickness,
        solid: m.seat(job.plug).solid,
        held: match job.held {
            PodHeld::Clamped => draw::Held::Clamped,
            PodHeld::Free => draw::Held::Free,
        },
        edge_m: m.clamp,
        depth_ratio_max: p
            .get(Property::DrawDepthRatio)
            .unwrap_or(practice::DRAW_DEPTH.value),
        faces: job.faces.unwrap_or(faces),
        grain: job.grain.unwrap_or(Grain::Free),
    })?;
    let pitch_m = rim_flange(
        &mut made,
        &RimFlange {
            // The finish thickens the flange's edge.
            width_m: m.flange - finish_m,
            screws: job.screws,
            hole_m: clearance_hole_m(job.screw_diameter.si()),
        },
    )?;
    made.blank.notes.extend(made.notes.iter().cloned());
    Ok((made, pitch_m))
}

/// One pod of the job, the `unit`-th of its kind.
pub(super) fn run(run: &mut Run, job: &job::Pod, unit: u32) -> Result<PartRun> {
    let setup = run.setup;
    let name = job.name.as_str();
    let shade = job.shade.unwrap_or(Shade::Dark);
    let stuff = Stuff::of(&job.material, job.thickness.si(), job.sheet.as_ref());
    let rack = setup.measured(stuff);
    let (material, p) = setup.material(stuff, &mut run.values)?;
    let warmth = mounting::warmth(setup, setup.place(&job.place)?, shade, &mut run.values)?;
    let (adds_face_m, adds_edge_m) = run.coat_m(job.finish)?;
    let m = Measures::take(job, rack, &mut run.values)?;
    let faces = rack.map_or(Faces::Alike, InRack::faces);
    let (mut made, pitch_m) = shape(job, &m, &p, adds_edge_m, faces)?;
    run.say_routing(&mut made.blank, &job.material, Along::Line);
    let heat = job.heat();
    let formed = run.form(&Forming {
        name,
        heat: &heat,
        template: job.template,
        blank: &made.blank,
        material,
        properties: &p,
        unit,
        times: 1,
    })?;
    let kept_blanks = run.cut_spares(name, &[&made.blank])?;

    let units = run.batch(unit);
    let last = formed.last.clone();
    let (fitted, again) = run.trial(name, "trim the flange, trial fit, drill", units, last)?;
    let glued_m2 = m.glued_m2(job.plug);
    let seam = Seam {
        faces: [job.foam.as_str(), job.material.as_str()],
        area_m2: glued_m2,
        overlap_m: m.body_length,
        warmth,
        // The body hangs in its foam: the glue carries it.
        load: Load::Sustained,
    };
    // What is painted or wrapped is the drawn face, not the flat blank.
    let sizes = finished(&made);
    let (glued, finish, last) =
        run.line_and_coat(name, &seam, (job.finish, shade), sizes, units, fitted)?;
    run.foam(m.strip_m() * m.body_length)?;
    run.fit(name, units, job.screws * setup.sets, last)?;
    let cut_m = made.blank.cut_length_m * f64::from(setup.sets + formed.lost);
    run.wear(cut_m, made.blank.thickness_m)?;
    let (rework, spares) = run.rework(&formed, stuff, &made.blank, again)?;

    let (bench, last_at_bench) = bench(&made.blank, &m);
    let checks = checks(
        run,
        job,
        &m,
        (&made, pitch_m),
        (&p, adds_edge_m),
        (warmth, &glued),
    )?;
    let foam = Some(setup.materials.get(&job.foam)?);
    let notes = notes(material, foam, rack, (name, m.thickness), &formed.recipe)?;
    Ok(PartRun {
        name: name.into(),
        beside: vec![Beside {
            kind: "card",
            blank: template::card(&made.blank),
        }],
        notes,
        cuts: vec![Cut {
            spares,
            copies: setup.sets + kept_blanks,
            material: job.material.clone(),
            thickness_m: job.thickness.si(),
            sheet: job.sheet.clone(),
            blank: made.blank,
        }],
        developed_m: None,
        recipe: Some(formed.recipe),
        bends: vec![],
        bench,
        last: vec![last_at_bench],
        limits: Some(formed.limits),
        exposure: Some(formed.exposure),
        glued: Some(glued),
        finish,
        adds_face_m,
        warmth,
        checks,
        rework,
    })
}

/// What is done with the cold pod: flange and opening before its holes; foam and body last.
fn bench(blank: &Blank, m: &Measures) -> (Vec<String>, String) {
    let flange = blank.marks.iter().find_map(|mark| match mark {
        Mark::Contour {
            what: Contour::Flange,
            chain,
            ..
        } => Some(chain),
        _ => None,
    });
    let trim = flange.map(|chain| {
        format!(
            "trim the flange once cold: scribe {} on it, saw 2 to 3 mm outside the line, file to it",
            at_hand::sized(chain)
        )
    });
    let lap_m = practice::SOUND_LAP.value.min(m.body / 8.0);
    let open = format!(
        "open the crown for the sound: Ø {:.1} mm in its middle (the body less {:.1} mm of lap all round), by a hole saw or a saw from a start hole; file it smooth",
        (m.body - 2.0 * lap_m) * 1e3,
        lap_m * 1e3
    );
    let seat = format!(
        "glue the strip of foam, {:.0} x {:.1} mm, round the inside, its edge on the crown; push the body in from behind until it lies on the lap: the foam, pressed to {:.1} mm, holds it",
        m.strip_m() * 1e3,
        m.body_length * 1e3,
        m.foam * 1e3
    );
    (trim.into_iter().chain([open]).collect(), seat)
}

/// Wall, heat, shaking, screws and glue of the finished pod.
///
/// Its flange between two screws is taken as tabs, each as wide as the screws are apart and as long as from the screw to
/// the wall, as thick as the mean wall: the shell on them is far stiffer.
fn checks(
    run: &mut Run,
    job: &job::Pod,
    m: &Measures,
    (made, pitch_m): (&Drawn, f64),
    (p, finish_m): (&Properties, f64),
    (warmth, glued): (Warmth, &Glued),
) -> Result<Vec<Check>> {
    let material = Material::of(p)?;
    let screw_m = job.screw_diameter.si();
    let own_kg = material.density_kg_m3 * made.blank.area_m2() * m.thickness;
    let mut found = vec![wall(
        &job.name,
        made.thinnest_m,
        m.thickness,
        made.estimated,
    )?];
    found.extend(check_strap(&StrapMount {
        part: job.name.clone(),
        tab: Tab {
            length_m: m.flange / 2.0,
            width_m: pitch_m,
            thickness_m: made.mean_m,
        },
        tabs: job.screws,
        held: Held::BothEnds,
        carried_kg: job.body_mass.si() + own_kg,
        made: Made::FormedHot,
        warmth,
        screws_per_tab: 1,
        screw: Screw::pan(screw_m),
        edge_m: (m.flange - finish_m) / 2.0,
        // All holes alike and round: the pod grows from its middle.
        slot_m: clearance_hole_m(screw_m),
        from_fixed_m: made.blank.furthest_hole_m(),
        sag_limit_m: SAG_SEEN.value,
        q: run.values.constant(&Q_SCREWED)?,
        shock: StrapMount::SHOCK,
        fit: None,
        joint: Some(mounting::joint(run.setup, glued, glued.area_m2)),
        joined_kg: Some(job.body_mass.si()),
        material,
    })?);
    Ok(found)
}
