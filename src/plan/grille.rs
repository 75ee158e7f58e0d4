//! One kind of grille in one run of the chain.

use super::cutting::{Along, router_template};
use super::mounting;
use super::part::{Beside, Cut, Glued, PartRun, Run, Seam, Stage, with_template};
use super::practice;
use super::rack::{self, InRack};
use super::ring_shape::form;
use super::setup::Stuff;
use super::values::{Values, measured};
use crate::bond::Load;
use crate::error::{Note, Result};
use crate::file::Length;
use crate::finish::Shade;
use crate::job;
use crate::material::{Properties, Use};
use crate::mount::service_heat::Warmth;
use crate::mount::{Check, GrilleMount, Material, check_grille};
use crate::shape::grille::{Grille, GrilleAsk, grille};
use crate::shape::template;
use crate::shape::{Blank, Faces};
use crate::task::Kind;

/// A grille's measures in one run. [m]
struct Measures {
    thickness: f64,
    retainer: f64,
    outer: [f64; 3],
    opening: [f64; 3],
    /// What the trial fit showed: off the outside, and off the edge of the opening.
    cut: (f64, f64),
    mesh: f64,
    lap: f64,
    cone: Option<(f64, f64)>,
}

impl Measures {
    fn take(job: &job::Grille, rack: Option<&InRack>, v: &mut Values) -> Result<Self> {
        let n = &job.name;
        let optional = |v: &mut Values, what: &str, length: Option<Length>| {
            length.map(|l| measured(v, n, what, l)).transpose()
        };
        let edge = optional(v, "edge cut", job.edge_cut)?.unwrap_or(0.0);
        let opened = optional(v, "opening cut", job.opening_cut)?.unwrap_or(0.0);
        let width = measured(v, n, "width", job.width)?;
        let height = optional(v, "height", job.height)?.unwrap_or(width);
        let corner = optional(v, "corner radius", job.corner_radius)?.unwrap_or(0.0);
        let across = measured(v, n, "opening width", job.opening_width)?;
        let up = optional(v, "opening height", job.opening_height)?.unwrap_or(across);
        let round = optional(v, "opening corner radius", job.opening_corner_radius)?.unwrap_or(0.0);
        let travel = optional(v, "cone travel", job.cone_travel)?;
        let rest = optional(v, "cone to trim", job.cone_to_trim)?;
        Ok(Self {
            thickness: rack::thickness_m(rack, n, job.thickness, v)?,
            retainer: measured(v, n, "retainer thickness", job.retainer_thickness)?,
            outer: [width, height, corner],
            opening: [across, up, round],
            cut: (edge, opened),
            mesh: measured(v, n, "mesh thickness", job.mesh_thickness)?,
            lap: measured(v, n, "lap", job.lap)?,
            cone: travel.zip(rest),
        })
    }
}

fn shape(job: &job::Grille, m: &Measures, wrap_m: f64, faces: Faces) -> Result<Grille> {
    let outline = |shape, [w, h, r]: [f64; 3]| form(shape, w, h, r, 0, None);
    grille(&GrilleAsk {
        name: job.name.clone(),
        hand: job.hand,
        outer: outline(job.outline, m.outer).cut_back("outer", m.cut.0)?,
        opening: outline(job.opening_outline, m.opening).cut_back("opening", -m.cut.1)?,
        thickness_m: m.thickness,
        retainer_m: m.retainer,
        mesh_m: m.mesh,
        lap_m: m.lap,
        wrap_m,
        play_m: job.play.map_or(practice::PLAY.value, Length::si),
        cone_m: m.cone,
        faces: job.faces.unwrap_or(faces),
    })
}

/// All grilles of one kind.
pub(super) fn run(run: &mut Run, job: &job::Grille, first: u32) -> Result<PartRun> {
    let setup = run.setup;
    let name = job.name.as_str();
    let places = u32::try_from(job.places.len()).unwrap_or(u32::MAX);
    let count = places * setup.sets;
    let units = (first, first + count - 1);
    let shade = job.shade.unwrap_or(Shade::Dark);
    let stuff = Stuff::of(&job.material, job.thickness.si(), job.sheet.as_ref());
    let rack = setup.measured(stuff);
    let (material, p) = setup.material(stuff, &mut run.values)?;
    let warmth = mounting::warmest(setup, &job.places, shade, &mut run.values)?;
    let (adds_face_m, adds_edge_m) = run.coat_m(job.finish)?;
    let m = Measures::take(job, rack, &mut run.values)?;
    let faces = rack.map_or(Faces::Alike, InRack::faces);
    let mut made = shape(job, &m, adds_edge_m, faces)?;
    run.say_routing(&mut made.frame, &job.material, Along::Template);
    run.say_routing(&mut made.retainer, &job.material, Along::Line);
    let clips = clips(job, made.web_m - adds_edge_m);
    let assembled = vec![assembly(&made, m.retainer), clips.clone()];
    made.frame.notes.push(Note::new("clips", clips));

    let cut = cutting(run, job, &made, first, (places, count))?;
    let kept_blanks = run.cut_spares(name, &[&made.frame, &made.retainer])?;
    let (trial, again) = run.trial(name, "trial fit", units, cut)?;
    let sizes = (made.frame.area_m2(), made.frame.outline.edge_length_m());
    let coat = (job.finish, shade);
    let (finish, last) = run.coat(name, coat, sizes, &job.material, units, trial)?;
    // The ring lies on mesh and wrap: what the glue meets of bare plastic is the recess's wall, as high as the ring's edge.
    let glued_m2 = made.mesh.cut_length_m * m.retainer;
    let seam = Seam {
        faces: [job.material.as_str(), job.material.as_str()],
        area_m2: glued_m2,
        overlap_m: m.retainer,
        warmth,
        load: Load::Sustained,
    };
    let glued = run.glue(name, &seam, units, last)?;
    run.fit(name, units, job.clips * count, format!("{name} / glue"))?;
    for blank in [&made.frame, &made.retainer] {
        run.wear(blank.cut_length_m * f64::from(count), blank.thickness_m)?;
    }
    let checks = checks(run, job, &m, &made, &p, (warmth, &glued, glued_m2))?;
    let used = Use {
        measured: rack.is_some(),
        ..Use::CUT
    };
    let mut notes = material.notes_of_sheet(m.thickness, used)?;
    notes.extend(rack.into_iter().flat_map(|own| own.notes(name)));
    notes.extend(made.notes.iter().cloned());
    let beside = beside(run, &made)?;
    let cut = |blank: Blank, thickness_m, sheet| Cut {
        copies: count + kept_blanks,
        spares: 0,
        material: job.material.clone(),
        thickness_m,
        sheet,
        blank,
    };
    Ok(PartRun {
        name: name.into(),
        beside,
        cuts: vec![
            cut(made.frame, job.thickness.si(), job.sheet.clone()),
            cut(made.retainer, job.retainer_thickness.si(), None),
        ],
        developed_m: None,
        recipe: None,
        bends: vec![],
        bench: vec![],
        last: assembled,
        limits: None,
        exposure: None,
        glued: Some(glued),
        finish,
        adds_face_m,
        warmth,
        checks,
        rework: again,
        notes,
    })
}

/// Where its clips go, and what holds them: the vehicle's holes say where, nobody measured them.
fn clips(job: &job::Grille, bare_m: f64) -> String {
    format!(
        "{} clips sit on the back of the grille, in the {:.1} mm of sheet between recess and edge: mark the vehicle's holes there at the trial fit; with the ring, glue each clip on by a foot no wider than that, the film cut away under it",
        job.clips,
        bare_m * 1e3
    )
}

/// How mesh and ring go in, after the wrap.
fn assembly(made: &Grille, ring_m: f64) -> String {
    format!(
        "wrapped, the film turned onto the floor of the recess and trimmed in its corner, the recess's wall bare: lay the mesh in the recess, then glue \"{}\" in over it, its edge to the {:.1} mm of bare wall, all round",
        made.retainer.name,
        ring_m * 1e3
    )
}

/// Measuring, the template and the cutting of frame and retaining ring; gives the last task.
fn cutting(
    run: &mut Run,
    job: &job::Grille,
    made: &Grille,
    first: u32,
    (places, count): (u32, u32),
) -> Result<String> {
    let mut cut_s = 0.0;
    for blank in [&made.frame, &made.retainer] {
        cut_s += run.cutting_s(blank.cut_length_m, blank.thickness_m) * f64::from(count);
    }
    // The recess is routed once round, as wide as the lap, from the back.
    cut_s += run.recess_s(made.mesh.cut_length_m, made.recess_m) * f64::from(count);
    let times = run.setup.shop.shop.times;
    let measured = (first, first + places - 1);
    let pieces = (first, first + 2 * count - 1);
    let stage = |name, kind, time, units, paced_s, set_up| Stage {
        name,
        kind,
        time,
        units,
        paced_s,
        set_up,
    };
    let measure = (times.measure, &practice::MEASURE);
    let template = (times.template, &practice::TEMPLATE);
    let cut = (times.cut_handling, &practice::CUT_HANDLING);
    let stages = [
        stage("measure", Kind::Measure, measure, measured, 0.0, None),
        stage(
            "router template",
            Kind::Template,
            template,
            // One for outside and opening, one for the recess.
            (1, 2),
            0.0,
            None,
        ),
        stage(
            "cut",
            Kind::Cut,
            cut,
            pieces,
            cut_s,
            Some(super::CUT_SET_UP),
        ),
    ];
    let on_shelf = job.template == job::Template::OnShelf;
    run.stages(&job.name, None, &with_template(stages.into(), on_shelf))
}

/// What is printed beside frame and retaining ring: card and router template, and the mesh.
fn beside(run: &Run, made: &Grille) -> Result<Vec<Beside>> {
    Ok(vec![
        Beside {
            kind: "card",
            blank: template::card(&made.frame),
        },
        router_template(run.setup, &made.frame)?,
        router_template(run.setup, &made.recess_board())?,
        Beside {
            kind: "mesh",
            blank: made.mesh.clone(),
        },
    ])
}

fn checks(
    run: &mut Run,
    job: &job::Grille,
    m: &Measures,
    made: &Grille,
    p: &Properties,
    (warmth, glued, glued_m2): (Warmth, &Glued, f64),
) -> Result<Vec<Check>> {
    let material = Material::of(p)?;
    let retainer_kg = material.density_kg_m3 * made.retainer.area_m2() * m.retainer;
    check_grille(&GrilleMount {
        part: job.name.clone(),
        thickness_m: m.thickness,
        web_m: made.web_m,
        left_m: made.left_m,
        cone_room_m: made.cone_room_m,
        held_kg: job.mesh_mass.si() + retainer_kg,
        warmth,
        joint: mounting::joint(run.setup, glued, glued_m2),
        material,
    })
}
