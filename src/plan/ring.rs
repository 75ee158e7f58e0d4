//! One kind of ring in one run of the chain.

use super::bench;
use super::cutting::{Along, router_template};
use super::drawn_holes;
use super::mounting;
use super::part::{Beside, Cut, Glued, PartRun, Run, Seam, Stage, with_template};
use super::practice;
use super::ring_shape::{Made, Measures, insert, shape, vehicle_hole_m};
use super::setup::{Setup, Stuff};
use crate::bond::Load;
use crate::error::{Note, Result};
use crate::file::Length;
use crate::finish::Shade;
use crate::job::{self, DriverFixing};
use crate::material::{Properties, Use};
use crate::mount::fit::Fit;
use crate::mount::fixing::{Screw, thread_forming};
use crate::mount::place::Zone;
use crate::mount::service_heat::{SAG_SEEN, Warmth};
use crate::mount::steel::{DOOR_NOTES, Gasket, SHED_WATER, SteelSeat, hole_m};
use crate::mount::vibration::Q_SCREWED;
use crate::mount::{Check, Family, Material, RingMount, check_ring};
use crate::shape::Blank;
use crate::shape::ring::Ring;
use crate::shape::seal::{PRESSED, SealAsk, Seals, seals};
use crate::shape::template;
use crate::task::Kind;

/// All rings of one kind.
pub(super) fn run(run: &mut Run, job: &job::Ring, first: u32) -> Result<PartRun> {
    let setup = run.setup;
    let name = job.name.as_str();
    let places = u32::try_from(job.places.len()).unwrap_or(u32::MAX);
    let count = places * setup.sets;
    let units = (first, first + count - 1);
    let shade = job.shade.unwrap_or(Shade::Dark);
    let warmth = mounting::warmest(setup, &job.places, shade, &mut run.values)?;
    let (adds_face_m, adds_edge_m) = run.coat_m(job.finish)?;
    let m = Measures::take(job, &mut run.values)?;
    let family = Family::of_name(&setup.materials.get(&job.material)?.name);
    let placed = shape(setup, job, &m, family, adds_edge_m)?;
    let mut made = placed.ring.clone();
    let layer_m = made
        .blanks
        .iter()
        .map(|b| b.thickness_m)
        .fold(0.0, f64::max);
    let (material, p) = setup.material(
        Stuff::of(&job.material, layer_m, job.sheet.as_ref()),
        &mut run.values,
    )?;
    let mut notes = material.notes_for(false);
    notes.extend(door_notes(setup, job)?);
    for blank in &mut made.blanks {
        run.say_routing(blank, &job.material, Along::Template);
        let stuff = Stuff::of(&job.material, blank.thickness_m, job.sheet.as_ref());
        match setup.measured(stuff) {
            Some(own) => notes.extend(own.notes(name)),
            None => notes.extend(material.notes_of_sheet(blank.thickness_m, Use::CUT)?),
        }
    }

    let layers = u32::try_from(made.blanks.len()).unwrap_or(u32::MAX);
    let mut last = cutting(run, job, &made, first, (places, count, layers))?;
    let kept_blanks = run.cut_spares(name, &made.blanks.iter().collect::<Vec<_>>())?;
    let mut glued = None;
    if layers > 1 {
        let seam = Seam {
            faces: [job.material.as_str(), job.material.as_str()],
            area_m2: made.glue_area_m2,
            overlap_m: made.web_m,
            warmth,
            load: Load::Sustained,
        };
        glued = Some(run.glue(name, &seam, units, last)?);
        last = format!("{name} / glue");
    }
    let (trial, again) = run.trial(name, "trial fit, drill", units, last)?;
    let face_m2 = made.blanks.first().map_or(0.0, Blank::area_m2);
    let edge_m: f64 = made.blanks.iter().map(|b| b.outline.edge_length_m()).sum();
    let (finish, last) = run.coat(
        name,
        (job.finish, shade),
        (face_m2, edge_m),
        &job.material,
        units,
        trial,
    )?;
    let beside = beside(setup, job, &m, &made)?;
    let last = sealed(run, job, (units, count), &beside, last)?;
    run.fit(name, units, fasteners(job) * count, last)?;
    for blank in &made.blanks {
        run.wear(blank.cut_length_m * f64::from(count), blank.thickness_m)?;
    }
    let checks = checks(run, job, &m, &placed, glued.as_ref(), (&p, warmth))?;
    if let Some(traced) = setup.job.traced.get(&job.name) {
        notes.extend(drawn_holes::note(job, traced, m.vehicle_circle)?);
    }
    notes.extend(made.notes.iter().cloned());
    let nuts = job.driver_fixing == Some(DriverFixing::Nuts);
    let bench = bench::layers(made.blanks.len(), nuts.then(|| job.driver_screw.si()));
    let cuts: Vec<Cut> = made
        .blanks
        .into_iter()
        .map(|blank| Cut {
            copies: count + kept_blanks,
            spares: 0,
            material: job.material.clone(),
            thickness_m: blank.thickness_m,
            sheet: job.sheet.clone(),
            blank,
        })
        .collect();
    let mut last = bench::edges(job, cuts.first());
    let foam = beside.iter().any(|b| b.kind == "gasket");
    last.extend(bench::on_steel(job, foam));
    Ok(PartRun {
        name: name.into(),
        cuts,
        beside,
        developed_m: None,
        recipe: None,
        bends: vec![],
        bench,
        last,
        limits: None,
        exposure: None,
        glued,
        finish,
        adds_face_m,
        warmth,
        checks,
        rework: again,
        notes,
    })
}

/// Screws of one ring with the nuts that take them.
fn fasteners(job: &job::Ring) -> u32 {
    let driver = if job.driver_fixing == Some(DriverFixing::Nuts) {
        2
    } else {
        1
    };
    let vehicle = if job.steel.is_some() { 2 } else { 1 };
    driver * job.driver_bolts + vehicle * job.vehicle_bolts
}

/// Gaskets and collar stuck on, and nuts set in the steel of a door; gives the last task.
fn sealed(
    run: &mut Run,
    job: &job::Ring,
    (units, count): ((u32, u32), u32),
    beside: &[Beside],
    after: String,
) -> Result<String> {
    if job.steel.is_none() {
        return Ok(after);
    }
    let strips = beside.iter().filter(|b| b.kind == "gasket");
    let foam_m2: f64 = strips.map(|b| b.blank.area_m2()).sum();
    let stage = |name, kind, time| Stage {
        name,
        kind,
        time: (None, time),
        units,
        paced_s: 0.0,
        set_up: None,
    };
    let mut stages = vec![];
    if foam_m2 > 0.0 {
        // Foam is counted for each set.
        run.foam(foam_m2 * f64::from(count / run.setup.sets.max(1)))?;
        stages.push(stage("gaskets and collar", Kind::Bond, &practice::SEALS));
    }
    stages.push(stage("nuts in the steel", Kind::Fit, &practice::STEEL_NUTS));
    run.stages(&job.name, Some(after), &stages)
}

/// Measuring, the template and the cutting of all layers; gives the last task.
fn cutting(
    run: &mut Run,
    job: &job::Ring,
    made: &Ring,
    first: u32,
    (places, count, layers): (u32, u32, u32),
) -> Result<String> {
    let cut_s: f64 = made
        .blanks
        .iter()
        .map(|b| run.cutting_s(b.cut_length_m, b.thickness_m))
        .sum();
    let times = run.setup.shop.shop.times;
    let stage = |name, kind, time, units, paced_s, set_up| Stage {
        name,
        kind,
        time,
        units,
        paced_s,
        set_up,
    };
    let cut = (times.cut_handling, &practice::CUT_HANDLING);
    let pieces = (first, first + layers * count - 1);
    let stages = [
        stage(
            "measure",
            Kind::Measure,
            (times.measure, &practice::MEASURE),
            (first, first + places - 1),
            0.0,
            None,
        ),
        stage(
            "router template",
            Kind::Template,
            (times.template, &practice::TEMPLATE),
            (1, 1),
            0.0,
            None,
        ),
        stage(
            "cut",
            Kind::Cut,
            cut,
            pieces,
            cut_s * f64::from(count),
            Some(super::CUT_SET_UP),
        ),
    ];
    let on_shelf = job.template == job::Template::OnShelf;
    run.stages(&job.name, None, &with_template(stages.into(), on_shelf))
}

/// What is printed beside the layers: a card and a router template of the front layer, gaskets, a collar.
fn beside(setup: &Setup, job: &job::Ring, m: &Measures, made: &Ring) -> Result<Vec<Beside>> {
    let mut all = vec![];
    if let Some(front) = made.blanks.first() {
        all.push(Beside {
            kind: "card",
            blank: template::card(front),
        });
        all.push(router_template(setup, front)?);
    }
    let Some(steel) = &job.steel else {
        return Ok(all);
    };
    let foam = |free: Length| -> Result<Seals> {
        seals(
            &made.blanks,
            &SealAsk {
                flange_m: m.flange,
                free_m: free.si(),
                // The collar is cut as wide as its foam is free.
                trim_gap_m: steel
                    .collar_to_trim
                    .map(|strip| strip.free.si() * (1.0 - PRESSED.value)),
                fixing: None,
                screw_m: job.vehicle_screw.si(),
            },
        )
    };
    let gasket = |blank| Beside {
        kind: "gasket",
        blank,
    };
    let (driver, vehicle) = (steel.gasket_to_driver, steel.gasket_to_steel);
    if let Some(strip) = driver {
        all.push(gasket(foam(strip.free)?.driver));
    }
    if let Some(strip) = vehicle {
        all.push(gasket(foam(strip.free)?.vehicle));
    }
    if let Some(strip) = driver.or(vehicle) {
        all.extend(foam(strip.free)?.collar.map(gasket));
    }
    Ok(all)
}

/// The seat of a ring on the steel of a door.
fn seat(job: &job::Ring, steel: &job::Steel) -> SteelSeat {
    let strip = |strip: job::GasketStrip| Gasket {
        free_m: strip.free.si(),
        pressed_m: strip.pressed.si(),
    };
    SteelSeat {
        fixing: steel.fixing,
        panel_m: steel.panel.si(),
        hole_edge_m: steel.hole_edge.map(Length::si),
        behind_m: steel.behind.map(Length::si),
        to_steel: steel.gasket_to_steel.map(strip),
        to_driver: steel.gasket_to_driver.map(strip),
        sheds_water: steel.lip || job.bevel.is_some_and(|b| b.si() > 0.0),
        collar: steel.collar_to_trim.map(strip),
    }
}

/// What a ring in a door has to leave as it was.
fn door_notes(setup: &Setup, job: &job::Ring) -> Result<Vec<Note>> {
    let in_door = |place: &String| setup.place(place).is_ok_and(|p| p.zone == Zone::Door);
    if !job.places.iter().any(in_door) {
        return Ok(vec![]);
    }
    let sheds = job
        .steel
        .as_ref()
        .is_some_and(|steel| seat(job, steel).sheds_water);
    let mut all: Vec<Note> = DOOR_NOTES
        .iter()
        .filter(|text| !(sheds && **text == SHED_WATER))
        .map(|t| Note::new(&job.name, *t))
        .collect();
    match &job.steel {
        Some(steel) => {
            let thread_m = job.vehicle_screw.si();
            let text = format!(
                "holes of {:.1} mm in the steel for {} of M{:.0}",
                hole_m(steel.fixing, thread_m)? * 1e3,
                steel.fixing.name(),
                thread_m * 1e3
            );
            all.push(Note::new(&job.name, text));
            all.push(steel.fixing.note(thread_m)?);
        }
        None => all.push(Note::new(
            &job.name,
            "how it is held to the steel is not checked: give the ring a table `steel` with its nuts, gaskets and lip",
        )),
    }
    Ok(all)
}

/// Depth, web, screws, heat, slam of one ring with its driver.
fn checks(
    run: &mut Run,
    job: &job::Ring,
    m: &Measures,
    placed: &Made,
    glued: Option<&Glued>,
    (p, warmth): (&Properties, Warmth),
) -> Result<Vec<Check>> {
    let made = &placed.ring;
    let material = Material::of(p)?;
    let thread = thread_forming(material.family);
    let driver_screw = job.driver_screw.si();
    let first_m = made.blanks.first().map_or(0.0, |b| b.thickness_m);
    let layers = made.blanks.iter().map(|b| b.thickness_m);
    let insert = insert(job);
    let into_plastic = job.driver_fixing != Some(DriverFixing::Nuts) && insert.is_none();
    let lines = (made.blanks.len().max(2) - 1) as f64;
    check_ring(&RingMount {
        part: job.name.clone(),
        thickness_m: made.stack.depth_m,
        layer_m: layers.fold(0.0, f64::max),
        web_m: made.web_m,
        web_at_screws_m: made.web_at_screws_m,
        room_m: Some(made.room_m),
        driver_kg: job.driver_mass.si(),
        warmth,
        vehicle_circle_m: m.vehicle_circle,
        vehicle_screws: job.vehicle_bolts,
        vehicle_span_m: Some(placed.vehicle_span_m),
        vehicle_screw: job
            .vehicle_countersink
            .map_or(Screw::pan(job.vehicle_screw.si()), |head| Screw {
                head_m: head.si(),
                countersunk: true,
                ..Screw::pan(job.vehicle_screw.si())
            }),
        pitch_m: made.pitch_m,
        front_m: first_m,
        driver_screws: job.driver_bolts,
        driver_screw: Screw::pan(driver_screw),
        driver_offset_m: placed.driver_offset_m,
        driver_engagement_m: into_plastic
            .then(|| first_m.min(practice::ENGAGED.value * driver_screw)),
        driver_pilot_m: into_plastic.then_some(thread.hole * driver_screw),
        driver_insert: insert,
        driver_edge_m: made.driver_edge_m.unwrap_or(made.web_m / 2.0),
        vehicle_edge_m: made.vehicle_edge_m.unwrap_or(made.web_m / 2.0),
        vehicle_hole_m: vehicle_hole_m(job),
        sag_limit_m: SAG_SEEN.value,
        q: run.values.constant(&Q_SCREWED)?,
        shock: RingMount::SHOCK,
        fit: Some(Fit {
            driver_depth_m: m.driver_depth,
            depth_behind_face_m: m.free_depth,
            spacer_m: made.stack.depth_m,
            flange_m: Some(m.flange),
            cutout_m: Some(placed.opening_m),
            flange_recess_m: 0.0,
            basket_m: job.basket.map(Length::si),
            magnet_to_wiring_m: job.magnet_to_wiring.map(Length::si),
            magnet_to_steel_m: job.magnet_to_steel.map(Length::si),
            terminal_gap_m: job.terminal_gap.map(Length::si),
            cone_travel_m: job.cone_travel.map(Length::si),
            grille_gap_m: job.grille_gap.map(Length::si),
        }),
        joint: glued.map(|g| mounting::joint(run.setup, g, g.area_m2 / lines)),
        steel: job.steel.as_ref().map(|steel| seat(job, steel)),
        material,
    })
}
