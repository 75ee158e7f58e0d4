//! One folded panel in one run of the chain.

use super::bench;
use super::cutting::Along;
use super::forming::{Forming, notes};
use super::mounting;
use super::part::{Beside, Cut, PartRun, Run};
use super::rack::{self, InRack};
use super::setup::Stuff;
use super::strap::expansion_1_k;
use super::values::{Values, measured};
use crate::error::{Note, Result};
use crate::file::Length;
use crate::finish::Shade;
use crate::job;
use crate::material::{Properties, Property};
use crate::mount::beam::Held;
use crate::mount::fixing::{Screw, clearance_hole_m};
use crate::mount::service_heat::{Made, SAG_SEEN, Warmth};
use crate::mount::shock::BODY_SHOCK;
use crate::mount::vibration::Q_SCREWED;
use crate::mount::{Check, Family, Material, PanelMount, check_panel};
use crate::shape::flange::{EdgeScrews, edge_screws};
use crate::shape::fold::{
    FOAM_BORDER_OVER_T, Fold, FoldAsk, Folded, NEUTRAL_HOT, Neutral, SPRINGBACK_RAD, folded,
};
use crate::shape::{Blank, Faces, Grain, template};

/// A folded panel's measures in one run. [m]
struct Measures {
    thickness: f64,
    width: f64,
    flanges: Vec<f64>,
    radii: Vec<f64>,
    screw_edge: f64,
}

impl Measures {
    fn take(job: &job::Folded, rack: Option<&InRack>, v: &mut Values) -> Result<Self> {
        let n = &job.name;
        let optional = |v: &mut Values, what: &str, length: Option<Length>| {
            length.map_or(Ok(0.0), |l| measured(v, n, what, l))
        };
        let mut flanges = vec![];
        for (i, flange) in job.flanges.iter().enumerate() {
            flanges.push(measured(v, n, &format!("flange {}", i + 1), *flange)?);
        }
        let mut radii = vec![];
        for (i, fold) in job.folds.iter().enumerate() {
            let what = format!("inside radius {}", i + 1);
            radii.push(measured(v, n, &what, fold.inside_radius)?);
        }
        if let Some(first) = flanges.first_mut() {
            *first -= optional(v, "first cut", job.first_cut)?;
        }
        if let Some(last) = flanges.last_mut() {
            *last -= optional(v, "last cut", job.last_cut)?;
        }
        Ok(Self {
            thickness: rack::thickness_m(rack, n, job.thickness, v)?,
            width: measured(v, n, "width", job.width)? - optional(v, "width cut", job.width_cut)?,
            flanges,
            radii,
            screw_edge: measured(v, n, "screw edge", job.screw_edge)?,
        })
    }
}

/// The blank with its screws, and the distance between them. [m]
fn shape(
    run: &mut Run,
    job: &job::Folded,
    m: &Measures,
    p: &Properties,
    (finish_m, faces): (f64, Faces),
) -> Result<(Folded, f64)> {
    let foamed =
        Family::of_name(&run.setup.materials.get(&job.material)?.name) == Family::FoamedPvc;
    let folds = job.folds.iter().zip(&m.radii);
    let mut made = folded(&FoldAsk {
        name: job.name.clone(),
        hand: job.hand,
        thickness_m: m.thickness,
        width_m: m.width,
        flanges_m: m.flanges.clone(),
        folds: folds
            .map(|(fold, &inside_radius_m)| Fold {
                angle_rad: fold.angle.si(),
                inside_radius_m,
                toward: fold.toward.toward(),
            })
            .collect(),
        neutral: Neutral::Fixed(run.values.constant(&NEUTRAL_HOT)?),
        bend_radius_over_t: p.get(Property::BendRadius).unwrap_or(2.0),
        border_over_t: if foamed {
            FOAM_BORDER_OVER_T.value
        } else {
            0.0
        },
        springback_rad: run.values.constant(&SPRINGBACK_RAD)?,
        finish_m,
        faces: job.faces.unwrap_or(faces),
        grain: job.grain.unwrap_or(Grain::Free),
    })?;
    let pitch_m = edge_screws(
        &mut made,
        &EdgeScrews {
            each: job.screws,
            edge_m: m.screw_edge,
            hole_m: clearance_hole_m(job.screw_diameter.si()),
            expansion_1_k: expansion_1_k(p),
        },
    )?;
    let press: Vec<String> = (made.press_to_rad.iter().enumerate())
        .map(|(i, rad)| format!("fold {} to {:.0}°", i + 1, rad.to_degrees()))
        .collect();
    let text = format!(
        "press {} and hold until cool: it springs back to its angle",
        press.join(", ")
    );
    made.blank.notes.push(Note::new("springback", text));
    Ok((made, pitch_m))
}

/// One folded panel of the job, the `unit`-th of its kind.
pub(super) fn run(run: &mut Run, job: &job::Folded, unit: u32) -> Result<PartRun> {
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
    let (mut made, pitch_m) = shape(run, job, &m, &p, (adds_edge_m, faces))?;
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
        // Line after line.
        times: u32::try_from(job.folds.len()).unwrap_or(1),
    })?;
    let kept_blanks = run.cut_spares(name, &[&made.blank])?;

    let units = run.batch(unit);
    let last = formed.last.clone();
    let (trial, again) = run.trial(name, "trial fit, trim, drill", units, last)?;
    let sizes = (made.blank.area_m2(), made.blank.outline.edge_length_m());
    let coat = (job.finish, shade);
    let (finish, last) = run.coat(name, coat, sizes, &job.material, units, trial)?;
    run.fit(name, units, 2 * job.screws * setup.sets, last)?;
    let cut_m = made.blank.cut_length_m * f64::from(setup.sets + formed.lost);
    run.wear(cut_m, made.blank.thickness_m)?;
    let (rework, spares) = run.rework(&formed, stuff, &made.blank, again)?;

    let folds = bench::folds(&made);
    let checks = checks(run, job, &m, (&made.blank, pitch_m), &p, warmth)?;
    let notes = notes(material, None, rack, (name, m.thickness), &formed.recipe)?;
    Ok(PartRun {
        name: name.into(),
        beside: vec![Beside {
            kind: "card",
            blank: template::card(&made.blank),
        }],
        notes,
        developed_m: Some(made.flat_length_m),
        cuts: vec![Cut {
            spares,
            copies: setup.sets + kept_blanks,
            material: job.material.clone(),
            thickness_m: job.thickness.si(),
            sheet: job.sheet.clone(),
            blank: made.blank,
        }],
        recipe: Some(formed.recipe),
        bends: vec![],
        bench: folds,
        last: vec![],
        limits: Some(formed.limits),
        exposure: Some(formed.exposure),
        glued: None,
        finish,
        adds_face_m,
        warmth,
        checks,
        rework,
    })
}

/// Heat, shaking, screws: each flange is a strip between its folds, and the widest is the softest.
fn checks(
    run: &mut Run,
    job: &job::Folded,
    m: &Measures,
    (blank, pitch_m): (&Blank, f64),
    p: &Properties,
    warmth: Warmth,
) -> Result<Vec<Check>> {
    let screw_m = job.screw_diameter.si();
    let widest = m.flanges.iter().copied().fold(0.0, f64::max);
    let (from_fixed_m, slot_m) =
        (blank.furthest_slot_m()).unwrap_or((0.0, clearance_hole_m(screw_m)));
    check_panel(&PanelMount {
        part: job.name.clone(),
        sides_m: [widest, m.width],
        thickness_m: m.thickness,
        centre_kg: 0.0,
        covering_kg_m2: 0.0,
        made: Made::FormedHot,
        held: Held::BothEnds,
        warmth,
        screw: Screw::pan(screw_m),
        edge_m: m.screw_edge,
        pitch_m,
        screws: 2 * job.screws,
        slot_m,
        from_fixed_m,
        sag_limit_m: SAG_SEEN.value,
        shock: BODY_SHOCK,
        q: run.values.constant(&Q_SCREWED)?,
        material: Material::of(p)?,
    })
}
