//! One strap in one run of the chain.

use super::mounting;
use super::part::{Beside, Cut, PartRun, Run, Seam, Stage};
use super::practice;
use super::rack::{self, InRack};
use super::setup::Stuff;
use super::values::Values;
use crate::bond::Load;
use crate::cost;
use crate::error::{Note, Result};
use crate::file::{Angle, Length};
use crate::finish::Shade;
use crate::heat::{self, Back, Body as Mass, Hold, Need};
use crate::job::{self, Behind, FormedOn};
use crate::material::{Material as Sheet, Need as Dried, Properties, Property, Use};
use crate::mount::beam::{Held, Tab};
use crate::mount::fixing::Screw;
use crate::mount::service_heat::{Made, SAG_SEEN, Warmth};
use crate::mount::vibration::Q_SCREWED;
use crate::mount::{Check, Material, StrapMount, check_strap};
use crate::outline::{CHORD_M, Outline};
use crate::shape::aim::{WedgeAsk, wedge};
use crate::shape::strap::{Body, Leg, Side, Strap, StrapAsk, TabHoles, WireExit, strap};
use crate::shape::template;
use crate::shape::{Faces, Grain, Hand};
use crate::spread::Law;
use crate::task::{Kind, Unattended};

/// A measurement with its own range.
pub(super) fn measured(values: &mut Values, part: &str, what: &str, length: Length) -> Result<f64> {
    let Length(m) = length;
    if m.plus_minus > 0.0 {
        let (low, high) = (m.value - m.plus_minus, m.value + m.plus_minus);
        values.take(
            &format!("{part}: {what}"),
            Law::Triangular {
                low,
                likely: m.value,
                high,
            },
        )
    } else {
        Ok(m.value)
    }
}

/// A strap's measures in one run. [m]
struct Measures {
    thickness: f64,
    radius: f64,
    foam: f64,
    axis: f64,
    front: f64,
    rear: f64,
    foot: f64,
    middle: f64,
    end: f64,
    tab: f64,
    body_height: Option<f64>,
    /// Front and rear.
    aside: [f64; 2],
    cut: [f64; 2],
}

impl Measures {
    fn take(strap: &job::Strap, rack: Option<&InRack>, v: &mut Values) -> Result<Self> {
        let n = &strap.name;
        let optional = |v: &mut Values, what: &str, length: Option<Length>| {
            length.map_or(Ok(0.0), |l| measured(v, n, what, l))
        };
        Ok(Self {
            body_height: strap
                .body_height
                .map(|h| measured(v, n, "body height", h))
                .transpose()?,
            aside: [
                optional(v, "front aside", strap.front_aside)?,
                optional(v, "rear aside", strap.rear_aside)?,
            ],
            cut: [
                optional(v, "front cut", strap.front_cut)?,
                optional(v, "rear cut", strap.rear_cut)?,
            ],
            thickness: rack::thickness_m(rack, n, strap.thickness, v)?,
            radius: measured(v, n, "body diameter", strap.body_diameter)? / 2.0,
            foam: measured(v, n, "foam thickness", strap.foam_thickness)?,
            axis: measured(v, n, "axis height", strap.axis_height)?,
            front: measured(v, n, "front screw", strap.front_screw)?,
            rear: measured(v, n, "rear screw", strap.rear_screw)?,
            foot: measured(v, n, "foot radius", strap.foot_radius)?,
            middle: measured(v, n, "middle width", strap.middle_width)?,
            end: measured(v, n, "end width", strap.end_width)?,
            tab: measured(v, n, "tab length", strap.tab_length)?,
        })
    }

    fn ask(
        &self,
        strap: &job::Strap,
        p: &Properties,
        finish_m: f64,
        (section, faces): (Option<&Outline>, Faces),
    ) -> StrapAsk {
        let turn = |angle: Option<Angle>| angle.map_or(0.0, Angle::si);
        let leg = |screw: f64, end: usize, tilt: Option<Angle>, twist: Option<Angle>| {
            let tilt_rad = turn(tilt);
            let pick = |values: &[f64; 2]| values.get(end).copied().unwrap_or(0.0);
            let leg = Leg {
                tilt_rad,
                aside_m: pick(&self.aside),
                twist_rad: turn(twist),
                cut_m: pick(&self.cut),
                ..Leg::flat(0.0, self.axis, self.tab, self.end)
            }
            .to_screw(screw, self.thickness + self.foot);
            // The axis is measured over the screw's face; under the foot a tilted face stands higher or lower.
            Leg {
                centre_height_m: self.axis - (screw - leg.foot_m) * tilt_rad.tan(),
                ..leg
            }
        };
        let front = leg(self.front, 0, strap.front_tilt, strap.front_twist);
        let rear = leg(self.rear, 1, strap.rear_tilt, strap.rear_twist);
        let forward = match strap.hand {
            Hand::Right => -1.0,
            Hand::Left | Hand::Either => 1.0,
        };
        let body = match (section, self.body_height) {
            (Some(outline), _) => Body::Profile {
                points: outline.outside.flatten(CHORD_M, true),
            },
            (None, Some(height_m)) => Body::Oval {
                width_m: 2.0 * self.radius,
                height_m,
            },
            (None, None) => Body::Round {
                radius_m: self.radius,
            },
        };
        // Seen from the cabin, the windscreen is to the right of a left pillar and to the left of a right one.
        let (left, right, slot) = match strap.hand {
            Hand::Right => (front, rear, Side::Right),
            Hand::Left | Hand::Either => (rear, front, Side::Left),
        };
        let clear = strap.screw_diameter.si() + 5e-4;
        let span = self.front + self.rear;
        StrapAsk {
            name: strap.name.clone(),
            hand: strap.hand,
            thickness_m: self.thickness,
            body,
            foam_m: self.foam,
            middle_width_m: self.middle,
            middle_length_m: 2.0 * self.radius,
            left,
            right,
            bend_radius_m: self.foot,
            bend_radius_over_t: p.get(Property::BendRadius).unwrap_or(2.0),
            neutral_fraction: practice::NEUTRAL.value,
            holes: TabHoles {
                diameter_m: clear,
                slot_m: clear + slot_play_m(p, span),
                slot,
            },
            screw_spacing_m: None,
            trim_m: practice::TRIM.value,
            shrink_fraction: p
                .get(Property::HeatedShrinkage)
                .or(p.get(Property::MouldShrinkage))
                .unwrap_or(0.0),
            finish_m,
            faces: strap.faces.unwrap_or(faces),
            grain: strap.grain.unwrap_or(Grain::Free),
            available_length_m: None,
            wire: strap.wire_width.map(|width| {
                let depth_m = 1.2 * width.si();
                WireExit {
                    along_m: forward * strap.wire_forward.map_or(0.0, Length::si),
                    width_m: width.si(),
                    depth_m,
                    lip_m: (depth_m / 2.0).min(2e-3),
                    upper: false,
                }
            }),
            body_length_m: strap.body_length.map(Length::si),
            bare_m: strap.bare_front.map_or(0.0, Length::si),
        }
    }
}

/// Play of the slotted hole along the strap, both ways: expansion over a swing of 70 K, and 1 mm to aim.
pub(super) fn slot_play_m(p: &Properties, span_m: f64) -> f64 {
    2.0 * p.get(Property::Expansion).unwrap_or(1e-4) * 70.0 * span_m + 1e-3
}

/// How the strap is heated, formed and held.
fn recipe_ask(run: &mut Run, job: &job::Strap, made: &Strap, p: &Properties) -> Result<heat::Ask> {
    let sheet = heat::Sheet::of(p, made.blank.thickness_m)?;
    let limits = heat::Limits::of(p)?;
    let (width_m, length_m) = match made.blank.heated.first() {
        Some(zone) => (zone.width_m, zone.length_m),
        None => (job.middle_width.si(), made.blank_length_m),
    };
    let air_k = run.air().temperature_k;
    let (patch_m, distance_m) = ((width_m, length_m), job.gun_distance.si());
    let exposure = super::gun::exposure(run.setup, distance_m, patch_m, air_k, &mut run.values)?;
    let back = match (job.turn_every, job.behind) {
        (_, Behind::SameHeat) => Back::SameHeat,
        (Some(every), _) => Back::Turned {
            every_s: every.si(),
        },
        (None, Behind::Board) => Back::Board(Mass::BOARD),
        (None, Behind::OpenAir) => Back::Open,
    };
    let foam = Mass {
        thickness_m: job.foam_thickness.si(),
        ..Mass::FOAM
    };
    let hold = match job.formed_on.unwrap_or(FormedOn::Plug) {
        FormedOn::Plug => Hold::OnForm {
            form: Mass::PLUG,
            transfer_s: practice::TRANSFER.value,
        },
        FormedOn::RealPart => Hold::AgainstMetalBehindFoam {
            foam,
            metal: Mass::DRIVER,
            transfer_s: practice::TRANSFER.value,
        },
        FormedOn::Hands => Hold::InHand,
    };
    let need = match job.need {
        Some(job::Need::Formable) => Need::Formable,
        Some(job::Need::Limp) | None => Need::Limp,
    };
    let history = run.values.is_nominal();
    Ok(heat::Ask {
        need,
        hold,
        width_m,
        history,
        ..heat::Ask::new(sheet, limits, exposure, air_k, back)
    })
}

/// One strap of the job, the `unit`-th of its kind.
pub(super) fn run(run: &mut Run, job: &job::Strap, unit: u32) -> Result<PartRun> {
    let setup = run.setup;
    let name = job.name.as_str();
    let place = setup.place(&job.place)?;
    let shade = job.shade.unwrap_or(Shade::Dark);
    let stuff = Stuff::of(&job.material, job.thickness.si(), job.sheet.as_ref());
    let rack = setup.measured(stuff);
    let (material, p) = setup.material(stuff, &mut run.values)?;
    let warmth = mounting::warmth(setup, place, shade, &mut run.values)?;
    let (adds_face_m, adds_edge_m) = run.coat_m(job.finish)?;
    let measures = Measures::take(job, rack, &mut run.values)?;
    let section = setup.job.traced.get(&job.name);
    let faces = rack.map_or(Faces::Alike, InRack::faces);
    let mut made = strap(&measures.ask(job, &p, adds_edge_m, (section, faces)))?;
    run.say_routing(&mut made.blank, &job.material);
    let ask = recipe_ask(run, job, &made, &p)?;
    let recipe = heat::recipe(&ask)?;

    let drying_s = match &material.drying {
        Some(drying) if drying.needed == Dried::Yes => drying.time_s(measures.thickness)?,
        _ => None,
    };
    let stands = 1 + recipe.reheats.map_or(0, |r| r.left);
    let luck = run.values.take(&format!("{name}: luck at forming"), LUCK)?;
    // One luck for each copy; the first keeps the name that it has in a job of one set.
    let (mut tries, mut lost) = (0, 0);
    for copy in 1..=setup.sets {
        let luck = match copy {
            1 => luck,
            _ => run
                .values
                .take(&format!("{name}: luck at forming, copy {copy}"), LUCK)?,
        };
        let own = if run.values.is_nominal() {
            1
        } else {
            cost::tries_drawn(run.spoilage, luck)?
        };
        tries += own;
        lost += own.saturating_sub(1) / stands;
    }
    let after_forming = forming(run, job, &made, &recipe, unit, (tries, lost), drying_s)?;
    let a_try_h = run.tasks.last().map_or(0.0, |t| t.attended_s) / f64::from(tries.max(1)) / 3600.0;
    let kept_blanks = run.cut_spares(name, &[&made.blank])?;

    let units = run.batch(unit);
    let (fitted, again) = run.trial(name, "trial fit, trim, drill", units, after_forming)?;
    let liner_m2 = made.liner_area_m2;
    let seam = Seam {
        faces: [job.foam.as_str(), job.material.as_str()],
        area_m2: liner_m2,
        overlap_m: job.middle_width.si(),
        warmth,
        // The foam is pressed between strap and body: its glue only keeps it in place.
        load: Load::Light,
    };
    let glued = run.glue(name, &seam, units, fitted)?;
    run.consumes(
        "foam",
        1.2 * liner_m2 * f64::from(setup.sets),
        "m²",
        setup.shop.shop.consumables.foam_per_m2,
    )?;
    let sizes = (made.blank.area_m2(), made.blank.outline.edge_length_m());
    let glue_id = format!("{name} / glue");
    let (finish, last) = run.coat(
        name,
        (job.finish, shade),
        sizes,
        &job.material,
        units,
        glue_id,
    )?;
    run.fit(name, units, 2 * setup.sets, last)?;
    run.wear(
        made.blank.cut_length_m * f64::from(setup.sets + lost),
        made.blank.thickness_m,
    )?;
    let watts = setup
        .shop
        .shop
        .gun
        .power
        .map_or(practice::GUN_POWER.value, super::super::file::Power::si);
    let kwh = watts * recipe.stop_s.unwrap_or(0.0) * f64::from(tries) / 3.6e6;
    run.consumes(
        "energy",
        kwh,
        "kWh",
        setup.shop.shop.consumables.energy_per_kwh,
    )?;

    let per_m2 = setup.price_per_m2(stuff).unwrap_or(0.0);
    let blank_cost = per_m2 * made.blank.area_m2();
    let rework = if run.values.is_nominal() {
        let one = cost::bounded(run.spoilage, stands, blank_cost, a_try_h * setup.an_hour())?;
        one.rework * f64::from(setup.sets) + again
    } else {
        f64::from(lost) * blank_cost
    };
    let lost_share = run.spoilage.powi(i32::try_from(stands).unwrap_or(i32::MAX));
    let checks = checks(run, job, &measures, &made, &p, warmth)?;
    let foam = setup.materials.get(&job.foam)?;
    let notes = notes(material, foam, rack, (name, measures.thickness), &recipe)?;
    let beside = beside(job, &measures, &made)?;
    Ok(PartRun {
        name: name.into(),
        beside,
        notes,
        cuts: vec![Cut {
            spares: cost::spares(setup.sets, lost_share, practice::ENOUGH_BLANKS.value)?
                - setup.sets,
            copies: setup.sets + kept_blanks,
            material: job.material.clone(),
            thickness_m: job.thickness.si(),
            sheet: job.sheet.clone(),
            blank: made.blank,
        }],
        developed_m: Some(made.developed_length_m),
        recipe: Some(recipe),
        limits: Some(ask.limits),
        exposure: Some(ask.exposure),
        glued: Some(glued),
        finish,
        adds_face_m,
        warmth,
        checks,
        rework,
    })
}

/// What is printed beside the strap: its card template, its foam, a wedge.
fn beside(job: &job::Strap, m: &Measures, made: &Strap) -> Result<Vec<Beside>> {
    let mut all = vec![Beside {
        kind: "card",
        blank: template::card(&made.blank),
    }];
    all.extend(made.foam.clone().map(|blank| Beside {
        kind: "foam",
        blank,
    }));
    if let Some(lift) = job.lift {
        let made = wedge(&WedgeAsk {
            name: format!("{} wedge", job.name),
            hand: job.hand,
            length_m: m.tab,
            width_m: m.end,
            lift_rad: lift.si(),
            thin_m: 1.5e-3,
            hole_m: job.screw_diameter.si() + 5e-4,
        })?;
        all.push(Beside {
            kind: "wedge",
            blank: made.blank,
        });
    }
    Ok(all)
}

/// What is to be known of a formed part's sheet and foam, and how the shop's own trial compares.
fn notes(
    material: &Sheet,
    foam: &Sheet,
    rack: Option<&InRack>,
    (name, thickness_m): (&str, f64),
    recipe: &heat::Recipe,
) -> Result<Vec<Note>> {
    let used = Use {
        measured: rack.is_some(),
        ..Use::FORMED
    };
    let mut all = material.notes_of_sheet(thickness_m, used)?;
    all.extend(foam.notes_for(true));
    let Some(own) = rack else { return Ok(all) };
    all.extend(own.notes(name));
    if let (Some((seconds, distance_m)), Some(opens_s)) = (own.limp, recipe.opens_s) {
        let text = format!(
            "in the shop's own trial the sheet was limp after {seconds:.0} s at {:.0} mm; this recipe has it limp after {opens_s:.0} s",
            distance_m * 1e3
        );
        all.push(Note::new(name, text));
    }
    Ok(all)
}

/// A draw that decides how often a part comes out wrong.
const LUCK: Law = Law::Uniform {
    low: 0.0,
    high: 1.0,
};

/// From the measuring to the formed strap; gives the last task's name.
fn forming(
    run: &mut Run,
    job: &job::Strap,
    made: &Strap,
    recipe: &heat::Recipe,
    unit: u32,
    (tries, lost): (u32, u32),
    drying_s: Option<f64>,
) -> Result<String> {
    let name = job.name.as_str();
    let times = run.setup.shop.shop.times;
    let sets = run.setup.sets;
    let cut_s =
        run.cutting_s(made.blank.cut_length_m, made.blank.thickness_m) * f64::from(sets + lost);
    // A pattern is measured and its template made once for the batch.
    let (pattern, batch) = ((unit, unit), run.batch(unit));
    let stage = |name, kind, time, paced_s, set_up| Stage {
        name,
        kind,
        time,
        units: match kind {
            Kind::Measure | Kind::Template => pattern,
            _ => batch,
        },
        paced_s,
        set_up,
    };
    let cut = (times.cut_handling, &practice::CUT_HANDLING);
    let before = [
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
    let mut last = run.stages(name, None, &with_template(before.into(), on_shelf))?;
    if let Some(seconds) = drying_s {
        let dry = stage(
            "dry the blank",
            Kind::Dry,
            (None, &practice::DRY),
            0.0,
            None,
        );
        last = run.stages(name, Some(last), &[dry])?;
        if let Some(task) = run.tasks.last_mut() {
            task.wait_s = seconds;
            task.task.unattended = Unattended::Fixed(Law::Fixed { value: seconds });
        }
    }
    let form = stage(
        "heat and form",
        Kind::Form,
        (times.form, &practice::FORM),
        0.0,
        Some(super::HEAT_SET_UP),
    );
    let last = run.stages(name, Some(last), &[form])?;
    // Heating, pressing and holding cannot be parted: one piece of work, as often as it takes.
    if let Some(task) = run.tasks.last_mut() {
        let (stop_s, hold_s) = (recipe.stop_s.unwrap_or(0.0), recipe.hold_s.unwrap_or(0.0));
        let each_s = task.attended_s / f64::from(sets) + stop_s + hold_s;
        task.attended_s = each_s * f64::from(tries);
        task.wait_s = (recipe.touch_s.unwrap_or(0.0) - hold_s).max(0.0);
        task.task.unattended = Unattended::Fixed(Law::Fixed { value: task.wait_s });
    }
    Ok(last)
}

/// The stages of a part, without the making of a template that is on the shelf.
pub(super) fn with_template(mut stages: Vec<Stage>, on_shelf: bool) -> Vec<Stage> {
    if on_shelf {
        stages.retain(|stage| stage.kind != Kind::Template);
    }
    stages
}

/// Shocks, heat, screws of the finished pod.
fn checks(
    run: &mut Run,
    job: &job::Strap,
    m: &Measures,
    made: &Strap,
    p: &Properties,
    warmth: Warmth,
) -> Result<Vec<Check>> {
    let material = Material::of(p)?;
    let own_kg = material.density_kg_m3 * made.blank.area_m2() * m.thickness;
    let clear = job.screw_diameter.si() + 5e-4;
    let tab_m = made.left.screw_m.max(made.right.screw_m) - m.radius - m.foam;
    check_strap(&StrapMount {
        part: job.name.clone(),
        tab: Tab {
            length_m: tab_m.max(m.tab / 2.0),
            width_m: m.end,
            thickness_m: m.thickness,
        },
        tabs: 2,
        held: Held::BothEnds,
        carried_kg: job.body_mass.si() + own_kg,
        made: Made::FormedHot,
        warmth,
        screws_per_tab: 1,
        screw: Screw::pan(job.screw_diameter.si()),
        edge_m: (m.end / 2.0).min(m.tab / 2.0),
        slot_m: clear + slot_play_m(p, made.screw_spacing_m),
        from_fixed_m: made.screw_spacing_m,
        sag_limit_m: SAG_SEEN.value,
        q: run.values.constant(&Q_SCREWED)?,
        shock: StrapMount::SHOCK,
        fit: None,
        // The wrap carries the body; its glue only keeps the foam in place.
        joint: None,
        material,
    })
}
