//! One kind of ring in one run of the chain.

use super::mounting;
use super::part::{Beside, Cut, PartRun, Run, Seam, Stage};
use super::practice;
use super::setup::{Setup, Stuff, called, same_thickness};
use super::strap::{measured, with_template};
use super::values::Values;
use crate::bond::Load;
use crate::error::{Note, Result};
use crate::file::Length;
use crate::finish::Shade;
use crate::job::{self, DriverFixing, OutlineShape};
use crate::material::{Properties, Use};
use crate::mount::fit::Fit;
use crate::mount::fixing::{Screw, thread_forming};
use crate::mount::joint::GluedJoint;
use crate::mount::place::Zone;
use crate::mount::service_heat::{SAG_SEEN, Warmth};
use crate::mount::steel::{DOOR_NOTES, Gasket, SteelSeat};
use crate::mount::vibration::Q_SCREWED;
use crate::mount::{Check, Family, Material, RingMount, check_ring};
use crate::outline::{Outline, Point};
use crate::shape::panel::Cutout;
use crate::shape::ring::{Chamfer, Holds, Insert, Ring, RingAsk, Screws, ring};
use crate::shape::seal::{SealAsk, seals};
use crate::shape::stack::Stocked;
use crate::shape::template::{self, Guide};
use crate::shape::{Centres, Form, Grain};
use crate::task::Kind;

/// The form of an outline of the job's file.
pub(super) fn form(
    shape: OutlineShape,
    width_m: f64,
    height_m: f64,
    corner_m: f64,
    corners: u32,
    traced: Option<&Outline>,
) -> Form {
    if let Some(outline) = traced {
        return Form::Traced(outline.outside.clone());
    }
    match shape {
        // A job with a traced outline has read its drawing; `traced` is here then.
        OutlineShape::Circle | OutlineShape::Traced => Form::Circle {
            diameter_m: width_m,
        },
        OutlineShape::Ellipse => Form::Ellipse { width_m, height_m },
        OutlineShape::Stadium => Form::Stadium { width_m, height_m },
        OutlineShape::RoundedRectangle => Form::RoundedRectangle {
            width_m,
            height_m,
            corner_m,
        },
        OutlineShape::Polygon => {
            let centre = Point::new(0.0, 0.0);
            let corner = |i: u32| {
                let turn = f64::from(i) / f64::from(corners) + 0.25;
                centre.polar(turn * std::f64::consts::TAU, width_m / 2.0)
            };
            Form::Polygon {
                points: (0..corners).map(corner).collect(),
                corner_m,
            }
        }
    }
}

/// A ring's measures in one run. [m]
pub(super) struct Measures {
    width: f64,
    height: f64,
    corner: f64,
    pub(super) cutout: f64,
    cutout_height: Option<f64>,
    pub(super) driver_circle: f64,
    pub(super) vehicle_circle: f64,
    pub(super) depth: f64,
    pub(super) driver_depth: f64,
    pub(super) flange: f64,
    pub(super) free_depth: f64,
}

impl Measures {
    pub(super) fn take(job: &job::Ring, v: &mut Values) -> Result<Self> {
        let n = &job.name;
        let width = measured(v, n, "width", job.width)?;
        let optional = |v: &mut Values, what: &str, length: Option<crate::file::Length>| {
            length.map(|l| measured(v, n, what, l)).transpose()
        };
        Ok(Self {
            width,
            height: optional(v, "height", job.height)?.unwrap_or(width),
            corner: optional(v, "corner radius", job.corner_radius)?.unwrap_or(0.0),
            cutout: measured(v, n, "cutout width", job.cutout_width)?,
            cutout_height: optional(v, "cutout height", job.cutout_height)?,
            driver_circle: measured(v, n, "driver bolt circle", job.driver_bolt_circle)?,
            vehicle_circle: measured(v, n, "vehicle bolt circle", job.vehicle_bolt_circle)?,
            depth: measured(v, n, "depth", job.depth)?,
            driver_depth: measured(v, n, "driver depth", job.driver_depth)?,
            flange: measured(v, n, "driver flange", job.driver_flange)?,
            free_depth: measured(v, n, "free depth", job.free_depth)?,
        })
    }
}

/// Clearance hole of a screw: 0.4 mm over to 3 mm, 0.5 mm above (ISO 273 medium, from memory). [m]
pub(super) fn clearance_m(screw_m: f64) -> f64 {
    screw_m + if screw_m <= 3.2e-3 { 4e-4 } else { 5e-4 }
}

/// Holes of both sets of screws.
fn screws(job: &job::Ring, m: &Measures, family: Family) -> Vec<Screws> {
    let quarter = std::f64::consts::FRAC_PI_4;
    let thread = thread_forming(family);
    let driver_screw = job.driver_screw.si();
    vec![
        Screws {
            name: "driver screw".into(),
            holds: Holds::Driver,
            centres: match (job.driver_holes_width, job.driver_holes_height) {
                (Some(width), Some(height)) => Centres::Rectangle {
                    width_m: width.si(),
                    height_m: height.si(),
                },
                _ => Centres::Circle {
                    diameter_m: m.driver_circle,
                    count: job.driver_bolts,
                    first_rad: quarter,
                },
            },
            hole_m: match job.driver_fixing {
                Some(DriverFixing::Nuts) => clearance_m(driver_screw),
                Some(DriverFixing::Thread) | None => thread.hole * driver_screw,
            },
            depth_m: (3.0 * driver_screw).min(m.depth),
            countersink_m: None,
            insert: match (job.insert_diameter, job.insert_length) {
                (Some(outside), Some(length)) => Some(Insert {
                    outside_m: outside.si(),
                    length_m: length.si(),
                }),
                _ => None,
            },
        },
        Screws {
            name: "vehicle screw".into(),
            holds: Holds::Vehicle,
            centres: Centres::Circle {
                diameter_m: m.vehicle_circle,
                count: job.vehicle_bolts,
                first_rad: quarter + job.vehicle_turn.map_or(0.0, super::super::file::Angle::si),
            },
            hole_m: clearance_m(job.vehicle_screw.si()),
            depth_m: 0.0,
            countersink_m: job.vehicle_countersink.map(crate::file::Length::si),
            insert: None,
        },
    ]
}

/// The ring, layer by layer, from what the shop can buy or has in the rack.
pub(super) fn shape(
    setup: &Setup,
    job: &job::Ring,
    m: &Measures,
    family: Family,
    finish_m: f64,
) -> Result<Ring> {
    let shop = &setup.shop.shop;
    let worth = shop.cutting.offcut_worth.si();
    let mut stocked: Vec<Stocked> = vec![];
    let named = job.sheet.as_ref();
    for sheet in shop
        .sheets
        .iter()
        .filter(|s| s.material == job.material && named.is_none_or(|name| called(s, name)))
    {
        let sold = Stuff::of(&job.material, sheet.thickness.si(), named);
        let rack = setup.measured(sold);
        let t = rack.map_or(sold.thickness_m, |own| own.sheet.thickness.value);
        if stocked.iter().any(|s| same_thickness(s.thickness_m, t)) {
            continue;
        }
        let on_shelf = named.is_none()
            && shop
                .offcuts
                .iter()
                .any(|o| o.material == job.material && same_thickness(o.thickness.si(), t));
        let price = setup.price_per_m2(sold).unwrap_or(0.0);
        stocked.push(Stocked {
            name: sheet.name.clone(),
            thickness_m: t,
            price_per_m2: if on_shelf { price * worth } else { price },
        });
    }
    let loose = shop.offcuts.iter().filter(|_| named.is_none());
    for offcut in loose.filter(|o| o.material == job.material) {
        let t = offcut.thickness.si();
        if !stocked.iter().any(|s| same_thickness(s.thickness_m, t)) {
            stocked.push(Stocked {
                name: offcut.name.clone(),
                thickness_m: t,
                price_per_m2: 0.0,
            });
        }
    }
    let cutout = match m.cutout_height {
        Some(height_m) => Form::Ellipse {
            width_m: m.cutout,
            height_m,
        },
        None => Form::Circle {
            diameter_m: m.cutout,
        },
    };
    ring(&RingAsk {
        name: job.name.clone(),
        hand: job.hand,
        outer: form(
            job.outline,
            m.width,
            m.height,
            m.corner,
            job.corners.unwrap_or(0),
            setup.job.traced.get(&job.name),
        ),
        cutout: Cutout {
            name: "driver".into(),
            form: cutout,
            at: Point::new(0.0, 0.0),
            turn_rad: 0.0,
        },
        screws: screws(job, m, family),
        depth_m: m.depth,
        over_m: practice::STACK_OVER.value,
        stocked,
        joint_price: practice::GLUE_LINE.value / 3600.0 * setup.an_hour(),
        chamfer: job.chamfer.map(|depth| Chamfer {
            depth_m: depth.si(),
            angle_rad: std::f64::consts::FRAC_PI_4,
        }),
        bevel_m: job.bevel.map_or(0.0, Length::si),
        finish_m,
        faces: job.faces.unwrap_or(setup.faces(&job.material)),
        grain: job.grain.unwrap_or(Grain::Free),
    })
}

/// Greatest distance along the circle from a driver screw to the nearest vehicle screw. [m]
pub(super) fn driver_offset_m(job: &job::Ring, m: &Measures) -> f64 {
    use std::f64::consts::TAU;
    let turn = job.vehicle_turn.map_or(0.0, super::super::file::Angle::si);
    let (drivers, vehicles) = (f64::from(job.driver_bolts), f64::from(job.vehicle_bolts));
    let mut worst: f64 = 0.0;
    for i in 0..job.driver_bolts {
        let at = f64::from(i) / drivers * TAU - turn;
        let pitch = TAU / vehicles;
        let past = at.rem_euclid(pitch);
        worst = worst.max(past.min(pitch - past));
    }
    worst * m.vehicle_circle / 2.0
}

/// How warm the warmest of the places gets.
fn warmest(run: &mut Run, job: &job::Ring, shade: Shade) -> Result<Warmth> {
    let mut warmest = Warmth {
        temperature_k: 0.0,
        plus_minus_k: 0.0,
    };
    for place in &job.places {
        let place = run.setup.place(place)?;
        let here = mounting::warmth(run.setup, place, shade, &mut run.values)?;
        if here.temperature_k > warmest.temperature_k {
            warmest = here;
        }
    }
    Ok(warmest)
}

/// All rings of one kind.
pub(super) fn run(run: &mut Run, job: &job::Ring, first: u32) -> Result<PartRun> {
    let setup = run.setup;
    let name = job.name.as_str();
    let places = u32::try_from(job.places.len()).unwrap_or(u32::MAX);
    let count = places * setup.sets;
    let units = (first, first + count - 1);
    let shade = job.shade.unwrap_or(Shade::Dark);
    let warmth = warmest(run, job, shade)?;
    let (adds_face_m, adds_edge_m) = run.coat_m(job.finish)?;
    let m = Measures::take(job, &mut run.values)?;
    let family = Family::of_name(&setup.materials.get(&job.material)?.name);
    let mut made = shape(setup, job, &m, family, adds_edge_m)?;
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
    notes.extend(door_notes(setup, job));
    for blank in &mut made.blanks {
        run.say_routing(blank, &job.material);
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
    let face_m2 = made
        .blanks
        .first()
        .map_or(0.0, crate::shape::Blank::area_m2);
    let edge_m: f64 = made.blanks.iter().map(|b| b.outline.edge_length_m()).sum();
    let (finish, last) = run.coat(
        name,
        (job.finish, shade),
        (face_m2, edge_m),
        &job.material,
        units,
        trial,
    )?;
    run.fit(
        name,
        units,
        (job.driver_bolts + job.vehicle_bolts) * count,
        last,
    )?;
    for blank in &made.blanks {
        run.wear(blank.cut_length_m * f64::from(count), blank.thickness_m)?;
    }
    let checks = checks(run, job, &m, &made, glued.as_ref(), &p, warmth)?;
    let (beside, said) = beside(setup, job, &m, &made)?;
    notes.extend(said);
    notes.extend(made.notes.iter().cloned());
    let cuts = made
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
    Ok(PartRun {
        name: name.into(),
        cuts,
        beside,
        developed_m: None,
        recipe: None,
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

/// What is printed beside the layers: a router template of the front layer, gaskets, a collar.
fn beside(
    setup: &Setup,
    job: &job::Ring,
    m: &Measures,
    made: &Ring,
) -> Result<(Vec<Beside>, Vec<Note>)> {
    let (mut all, mut notes) = (vec![], vec![]);
    if let Some(front) = made.blanks.first() {
        let bit_m = setup.shop.shop.cutting.kerf.si();
        all.push(Beside {
            kind: "template",
            blank: template::router(front, Guide::Bearing { bit_m })?,
        });
    }
    if let Some(gasket) = job.gasket {
        let seals = seals(
            &made.blanks,
            &SealAsk {
                flange_m: m.flange,
                free_m: gasket.si(),
                trim_gap_m: job.trim_gap.map(crate::file::Length::si),
                fixing: job.fixing,
                screw_m: job.vehicle_screw.si(),
            },
        )?;
        let gasket = |blank| Beside {
            kind: "gasket",
            blank,
        };
        all.extend([gasket(seals.driver), gasket(seals.vehicle)]);
        all.extend(seals.collar.map(gasket));
        notes = seals.notes;
    } else if let Some(fixing) = job.fixing {
        notes.push(fixing.note(job.vehicle_screw.si())?);
    }
    Ok((all, notes))
}

/// The seat of a ring on the steel of a door.
fn seat(steel: &job::Steel) -> SteelSeat {
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
        sheds_water: steel.sheds_water,
        collar: steel.collar_to_trim.map(strip),
    }
}

/// What a ring in a door has to leave as it was.
fn door_notes(setup: &Setup, job: &job::Ring) -> Vec<Note> {
    let in_door = |place: &String| setup.place(place).is_ok_and(|p| p.zone == Zone::Door);
    if !job.places.iter().any(in_door) {
        return vec![];
    }
    let mut all: Vec<Note> = DOOR_NOTES
        .iter()
        .map(|t| Note::new(&job.name, *t))
        .collect();
    match &job.steel {
        Some(steel) => {
            let thread_m = job.vehicle_screw.si();
            let text = format!(
                "holes of {:.1} mm in the steel for {} of M{:.0}",
                steel.fixing.hole_m(thread_m) * 1e3,
                steel.fixing.name(),
                thread_m * 1e3
            );
            all.push(Note::new(&job.name, text));
        }
        None => all.push(Note::new(
            &job.name,
            "how it is held to the steel is not checked: give the ring a table `steel` with its nuts, gaskets and lip",
        )),
    }
    all
}

/// Depth, web, screws, heat, slam of one ring with its driver.
fn checks(
    run: &mut Run,
    job: &job::Ring,
    m: &Measures,
    made: &Ring,
    glued: Option<&super::part::Glued>,
    p: &Properties,
    warmth: Warmth,
) -> Result<Vec<Check>> {
    let material = Material::of(p)?;
    let thread = thread_forming(material.family);
    let driver_screw = job.driver_screw.si();
    let first_m = made.blanks.first().map_or(0.0, |b| b.thickness_m);
    let into_plastic = job.driver_fixing != Some(DriverFixing::Nuts);
    let joint = glued.map(|g| GluedJoint {
        adhesive: g.joint.name.clone(),
        area_m2: g.area_m2 / (made.blanks.len().max(2) - 1) as f64,
        strength_pa: g.joint.strength.value_pa,
        service_limit_k: run
            .setup
            .bonds
            .adhesive(&g.joint.adhesive)
            .map_or(353.15, |a| a.service_temperature.value),
        peels: false,
    });
    check_ring(&RingMount {
        part: job.name.clone(),
        thickness_m: made.stack.depth_m,
        layer_m: made
            .blanks
            .iter()
            .map(|b| b.thickness_m)
            .fold(0.0, f64::max),
        web_m: made.web_m,
        driver_kg: job.driver_mass.si(),
        warmth,
        vehicle_circle_m: m.vehicle_circle,
        vehicle_screws: job.vehicle_bolts,
        vehicle_screw: Screw::pan(job.vehicle_screw.si()),
        driver_screws: job.driver_bolts,
        driver_screw: Screw::pan(driver_screw),
        driver_offset_m: driver_offset_m(job, m),
        driver_engagement_m: into_plastic.then(|| first_m.min(3.0 * driver_screw)),
        driver_pilot_m: into_plastic.then_some(thread.hole * driver_screw),
        edge_m: made.edge_m.unwrap_or(made.web_m / 2.0),
        vehicle_hole_m: clearance_m(job.vehicle_screw.si()),
        sag_limit_m: SAG_SEEN.value,
        q: run.values.constant(&Q_SCREWED)?,
        shock: RingMount::SHOCK,
        fit: Some(Fit {
            driver_depth_m: m.driver_depth,
            depth_behind_face_m: m.free_depth,
            spacer_m: made.stack.depth_m,
            flange_m: Some(m.flange),
            cutout_m: Some(m.cutout),
            flange_recess_m: 0.0,
            basket_m: job.basket.map(Length::si),
            magnet_to_wiring_m: job.magnet_to_wiring.map(Length::si),
            magnet_to_steel_m: job.magnet_to_steel.map(Length::si),
            terminal_gap_m: job.terminal_gap.map(Length::si),
            cone_travel_m: job.cone_travel.map(Length::si),
            grille_gap_m: job.grille_gap.map(Length::si),
        }),
        joint,
        steel: job.steel.as_ref().map(seat),
        material,
    })
}
