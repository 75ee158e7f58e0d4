//! One strap in one run of the chain.

use super::bench;
use super::cutting::Along;
use super::forming::{Forming, notes};
use super::mounting;
use super::part::{Beside, Cut, Glued, PartRun, Run, Seam};
use super::practice;
use super::rack::{self, InRack};
use super::setup::Stuff;
use super::values::{Values, measured};
use crate::bond::Load;
use crate::error::{Error, Note, Result};
use crate::file::{Angle, Length};
use crate::finish::Shade;
use crate::job;
use crate::material::{Properties, Property};
use crate::mount::beam::{Held, Tab};
use crate::mount::fixing::{Screw, clearance_hole_m};
use crate::mount::service_heat::{Made, SAG_SEEN, Warmth};
use crate::mount::vibration::Q_SCREWED;
use crate::mount::{Check, Material, StrapMount, check_strap, joint};
use crate::outline::{CHORD_M, Chain, Outline, Point};
use crate::physics::GRAVITY;
use crate::shape::aim::{AimAsk, THIN_EDGE_M, WedgeAsk, aim, wedge};
use crate::shape::hole::slot_play_m;
use crate::shape::strap::{Body, Leg, Side, Strap, StrapAsk, TabHoles, WireExit, strap};
use crate::shape::template;
use crate::shape::{Blank, Faces, Grain, Hand, Mark};

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
        let slot = rear_side(strap.hand);
        let (left, right) = match slot {
            Side::Right => (front, rear),
            Side::Left => (rear, front),
        };
        let clear = clearance_hole_m(strap.screw_diameter.si());
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
                slot_m: clear + play_m(p, span),
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
                let depth_m = practice::NOTCH.value * width.si();
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

/// Thermal expansion of a sheet, or that of plastics where the catalogue has none. [1/K]
pub(super) fn expansion_1_k(p: &Properties) -> f64 {
    p.get(Property::Expansion)
        .unwrap_or(practice::EXPANSION.value)
}

/// Where the rear foot lies on the drawing, which has the slot: seen from the cabin, the windscreen is to the right of a
/// left pillar and to the left of a right one.
fn rear_side(hand: Hand) -> Side {
    match hand {
        Hand::Right => Side::Right,
        Hand::Left | Hand::Either => Side::Left,
    }
}

/// Play of a slotted hole at `span_m` from the fixed one.
pub(super) fn play_m(p: &Properties, span_m: f64) -> f64 {
    slot_play_m(expansion_1_k(p), span_m)
}

/// Lift of the body's axis, by its wedge or by where it should look, with the words for the bench.
fn lift(job: &job::Strap) -> Result<(Option<f64>, Option<Note>)> {
    let Some(ask) = &job.aim else {
        return Ok((job.lift.map(Angle::si), None));
    };
    let set = aim(&AimAsk {
        at_m: ask.dome.map(Length::si),
        listener_m: ask.listener.map(Length::si),
        normal: ask.surface,
        along: ask.along,
    })?;
    let (turn, lift) = (set.turn_rad.to_degrees(), set.lift_rad.to_degrees());
    let (least, most) = (practice::LEAST_LIFT.value, practice::MOST_LIFT.value);
    let wedge = if lift < -least {
        "it would look into its face: seat the pod elsewhere, or turn it round its strap"
    } else if lift < least {
        "it needs no wedge"
    } else if lift > most {
        "no wedge is made for so much: seat it on a face that looks more that way"
    } else {
        "a wedge under each tab lifts it"
    };
    let text = format!(
        "looks at the listener {:.2} m away: its axis turned {turn:.0}° from the direction given, counter-clockwise seen from the cabin, and lifted {lift:.0}°; {wedge}",
        set.distance_m
    );
    let made = (least..=most).contains(&lift);
    Ok((
        made.then_some(set.lift_rad),
        Some(Note::new(format!("{}, aim", job.name), text)),
    ))
}

/// Writes FRONT and REAR below the screws of the two tabs: left and right straps differ in nothing else that is seen.
fn name_ends(blank: &mut Blank, hand: Hand, tab_width_m: f64) {
    // Clear of the hole's cross, and of the edge of a narrow tab.
    let below_m = (tab_width_m / 2.0 - 2e-3).min(7e-3);
    let screws = blank.marks.iter().filter_map(|mark| match mark {
        Mark::Hole { centre, .. } => Some(*centre),
        _ => None,
    });
    let names: Vec<Mark> = screws
        .map(|at| Mark::Text {
            at: Point::new(at.x_m, at.y_m - below_m),
            text: if (at.x_m < 0.0) == (rear_side(hand) == Side::Left) {
                "REAR".into()
            } else {
                "FRONT".into()
            },
        })
        .collect();
    blank.marks.extend(names);
    blank.notes.push(Note::new(
        "ends",
        "FRONT is the tab towards the windscreen: write both words on the card, the sheet and the finished strap's inside",
    ));
}

/// The words of a drawing, whose left and right change places with the side of the vehicle, as those of a job: its keys
/// where there is one, else front and rear.
fn by_ends(text: &str, hand: Hand) -> String {
    let (left, right) = match rear_side(hand) {
        Side::Left => ("rear", "front"),
        Side::Right => ("front", "rear"),
    };
    let mut text = text.to_owned();
    for (side, end) in [("left", left), ("right", right)] {
        for (field, key) in [
            ("tilt_rad", format!("{end}_tilt")),
            ("twist_rad", format!("{end}_twist")),
            ("aside_m", format!("{end}_aside")),
            ("cut_m", format!("{end}_cut")),
            ("tab_m", "tab_length".into()),
            ("end_width_m", "end_width".into()),
        ] {
            text = text.replace(&format!("{side}.{field}"), &key);
        }
        for what in ["screw", "tab", "leg", "foot"] {
            text = text.replace(&format!("{side} {what}"), &format!("{end} {what}"));
        }
    }
    text
}

/// A fault of a strap in the words of its job.
fn fault_by_ends(error: Error, hand: Hand) -> Error {
    let say = |text: String| by_ends(&text, hand);
    match error {
        Error::OutOfRange {
            what,
            given,
            allowed,
            remedy,
        } => Error::OutOfRange {
            what: say(what),
            given,
            allowed,
            remedy: say(remedy),
        },
        Error::Impossible { what, why, remedy } => Error::Impossible {
            what: say(what),
            why: say(why),
            remedy: say(remedy),
        },
        other => other,
    }
}

/// Calls the feet by the tab that they lead to: left and right change places from one side of the vehicle to the other.
fn name_feet(blank: &mut Blank, hand: Hand) {
    for bend in &mut blank.bends {
        let middle_m = f64::midpoint(bend.begins.0.x_m, bend.ends.0.x_m);
        bend.name = match bend.name.as_str() {
            "round the body" => "crown".into(),
            _ if (middle_m < 0.0) == (rear_side(hand) == Side::Left) => "REAR foot".into(),
            _ => "FRONT foot".into(),
        };
    }
}

/// How far a wrap is turned round each edge: half of the back stays bare where it is narrowest; 0 without a wrap. [m]
pub(super) fn turned_m(job: &job::Strap) -> f64 {
    let narrowest_m = job.middle_width.si().min(job.end_width.si());
    if job.finish.wraps() {
        practice::TURNED.value.min(narrowest_m / 4.0)
    } else {
        0.0
    }
}

/// Makes the foam narrower by a wrap that is turned onto the strap's inside on both sides of it.
fn leave_bare(made: &mut Strap, turned_m: f64) {
    let Some(foam) = made.foam.as_mut().filter(|_| turned_m > 0.0) else {
        return;
    };
    let (left, bottom, right, top) = foam.outline.outside.bounds_m();
    let (length_m, width_m) = (right - left, top - bottom - 2.0 * turned_m);
    let middle = Point::new(f64::midpoint(left, right), f64::midpoint(bottom, top));
    let narrow = Chain::rounded_rectangle(middle, length_m, width_m, 0.0);
    foam.outline = Outline::new(narrow, vec![]);
    foam.cut_length_m = foam.outline.edge_length_m();
    for mark in &mut foam.marks {
        if let Mark::CentreLine { from, to } = mark {
            from.y_m += turned_m;
            to.y_m -= turned_m;
        }
    }
    // It ends where it is drawn to end.
    made.liner_area_m2 = made.liner_area_m2.min(length_m * width_m);
}

/// What is wrapped and glued after the trial fit.
fn wrapped_line(turned_m: f64) -> Option<String> {
    (turned_m > 0.0).then(|| {
        format!(
            "wrap before the foam: turn {:.1} mm round each edge, then glue the foam on the bare plastic between, not on the wrap",
            turned_m * 1e3
        )
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
    let (lift_rad, aimed) = lift(job)?;
    let mut made = strap(&measures.ask(job, &p, adds_edge_m, (section, faces)))
        .map_err(|e| fault_by_ends(e, job.hand))?;
    for note in made.notes.iter_mut().chain(&mut made.blank.notes) {
        note.about = by_ends(&note.about, job.hand);
        note.text = by_ends(&note.text, job.hand);
    }
    let turned_m = turned_m(job);
    leave_bare(&mut made, turned_m);
    name_feet(&mut made.blank, job.hand);
    let plug_m = 2.0 * (measures.radius + measures.foam);
    let bends = bench::bends(&made.blank, plug_m);
    made.blank.notes.extend(aimed);
    name_ends(&mut made.blank, job.hand, job.end_width.si());
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
    let (fitted, again) = run.trial(name, "trial fit, trim, drill", units, last)?;
    let seam = Seam {
        faces: [job.foam.as_str(), job.material.as_str()],
        area_m2: made.liner_area_m2,
        overlap_m: job.middle_width.si() - 2.0 * turned_m,
        warmth,
        // The foam is pressed between strap and body: its glue only keeps it in place.
        load: Load::Light,
    };
    run.foam(made.liner_area_m2)?;
    let sizes = (made.blank.area_m2(), made.blank.outline.edge_length_m());
    let (glued, finish, last) =
        run.line_and_coat(name, &seam, (job.finish, shade), sizes, units, fitted)?;
    run.fit(name, units, 2 * setup.sets, last)?;
    let cut_m = made.blank.cut_length_m * f64::from(setup.sets + formed.lost);
    run.wear(cut_m, made.blank.thickness_m)?;
    let (rework, spares) = run.rework(&formed, stuff, &made.blank, again)?;

    let checks = checks(
        run,
        job,
        &measures,
        &made,
        (&p, adds_edge_m),
        (warmth, &glued),
    )?;
    let foam = Some(setup.materials.get(&job.foam)?);
    let notes = notes(
        material,
        foam,
        rack,
        (name, measures.thickness),
        &formed.recipe,
    )?;
    let formed_line = bench::formed(&made, job.hand);
    Ok(PartRun {
        name: name.into(),
        beside: beside(job, &measures, &made, lift_rad)?,
        notes,
        cuts: vec![Cut {
            spares,
            copies: setup.sets + kept_blanks,
            material: job.material.clone(),
            thickness_m: job.thickness.si(),
            sheet: job.sheet.clone(),
            blank: made.blank,
        }],
        developed_m: Some(made.developed_length_m),
        recipe: Some(formed.recipe),
        bends,
        bench: vec![formed_line],
        last: wrapped_line(turned_m).into_iter().collect(),
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

/// What is printed beside the strap: its card template, its foam, a wedge.
fn beside(
    job: &job::Strap,
    m: &Measures,
    made: &Strap,
    lift_rad: Option<f64>,
) -> Result<Vec<Beside>> {
    let mut all = vec![Beside {
        kind: "card",
        blank: template::strap_card(&made.blank, practice::NEUTRAL.value),
    }];
    all.extend(made.foam.clone().map(|blank| Beside {
        kind: "foam",
        blank,
    }));
    if let Some(lift_rad) = lift_rad {
        let made = wedge(&WedgeAsk {
            name: format!("{} wedge", job.name),
            hand: job.hand,
            length_m: m.tab,
            width_m: m.end,
            lift_rad,
            thin_m: THIN_EDGE_M.value,
            hole_m: clearance_hole_m(job.screw_diameter.si()),
        })?;
        let side = made.side_blank();
        all.extend([made.blank, side].map(|blank| Beside {
            kind: "wedge",
            blank,
        }));
    }
    Ok(all)
}

/// Shocks, heat, screws of the finished pod.
fn checks(
    run: &mut Run,
    job: &job::Strap,
    m: &Measures,
    made: &Strap,
    (p, finish_m): (&Properties, f64),
    (warmth, glued): (Warmth, &Glued),
) -> Result<Vec<Check>> {
    let material = Material::of(p)?;
    let own_kg = material.density_kg_m3 * made.blank.area_m2() * m.thickness;
    let clear = clearance_hole_m(job.screw_diameter.si());
    let slot_m = (made.blank.furthest_slot_m()).map_or(clear, |(_, length_m)| length_m);
    // After what the trial fit cut off, and what the finish takes; the screw may stand at the outer end of its slot.
    let play_m = |side| {
        if side == rear_side(job.hand) {
            (slot_m - clear) / 2.0
        } else {
            0.0
        }
    };
    let ends = [(&made.left, Side::Left), (&made.right, Side::Right)]
        .map(|(leg, side)| leg.end_m - leg.screw_at_m - finish_m - play_m(side));
    let end_m = ends.into_iter().fold(f64::INFINITY, f64::min);
    let tab_m = made.left.screw_m.max(made.right.screw_m) - m.radius - m.foam;
    let mut found = check_strap(&StrapMount {
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
        edge_m: (m.end / 2.0 - finish_m).min(end_m),
        slot_m,
        from_fixed_m: made.screw_spacing_m,
        sag_limit_m: SAG_SEEN.value,
        q: run.values.constant(&Q_SCREWED)?,
        shock: StrapMount::SHOCK,
        fit: None,
        joint: None,
        joined_kg: None,
        material,
    })?;
    // The wrap carries the body across; along its own axis, where the strap is stiff, only the foam's glue keeps it in.
    let joint = mounting::joint(run.setup, glued, made.liner_area_m2);
    let body_kg = job.body_mass.si();
    let shock_n = body_kg * StrapMount::SHOCK.peak_m_s2;
    let weight_n = body_kg * GRAVITY.value;
    found.extend(joint::glued(&job.name, &joint, warmth, weight_n, shock_n)?);
    Ok(found)
}
