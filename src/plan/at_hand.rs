//! What has to lie ready for a part before work starts, and how its blank is cut.

use super::part::{Cut, PartRun};
use super::practice::{ENGAGED, TURNED};
use super::ring_shape::insert;
use super::setup::Setup;
use super::{bench, cutting, strap};
use crate::file::Length;
use crate::finish::Used;
use crate::job::{DriverFixing, FormedOn, Part, PlugShape, Pod, PodHeld, Ring, Steel};
use crate::outline::{Chain, as_circle};
use crate::shape::template;
use crate::shape::{Blank, Contour, Drill, HoleKind, Mark};
use crate::shop::CutBy;

/// How the blank is cut, in order.
pub(super) fn cut(run: &PartRun, asked: &Part) -> Vec<String> {
    let mut lines: Vec<String> = vec![];
    let mut sizes: Vec<(String, &str, u32, u32)> = vec![];
    for cut in &run.cuts {
        let across = across(&cut.blank);
        let at = sizes.iter().position(|(size, ..)| *size == across);
        match at.and_then(|at| sizes.get_mut(at)) {
            Some((_, _, copies, spares)) => {
                *copies += cut.copies + cut.spares;
                *spares += cut.spares;
            }
            None => sizes.push((across, &cut.blank.name, cut.copies + cut.spares, cut.spares)),
        }
    }
    let several = sizes.len() > 1;
    for (size, name, copies, spares) in sizes {
        let lost = match spares {
            0 => String::new(),
            1 => ", one of them for a try that fails".into(),
            n => format!(", {n} of them for tries that fail"),
        };
        let whose = if several {
            format!(", {name}")
        } else {
            String::new()
        };
        lines.push(format!("{} {size}{lost}{whose}", count(copies, "blank")));
    }
    if let Part::Pod(job) = asked
        && let Some(Cut { blank, .. }) = run.cuts.first()
    {
        lines.extend(dotted(blank));
        lines.push(plug(job));
        lines.extend(frame(job, blank));
    }
    let card = run.beside.iter().find(|b| b.kind == "card");
    lines.push(if card.is_some() {
        "card template: print at 100 %, measure its bar, try it on the vehicle, then scribe round it on the show face".into()
    } else {
        "drawing: print at 100 %, measure its bar, scribe round it on the show face".into()
    });
    let gap = card.and_then(|c| c.blank.notes.iter().find(|n| n.about == template::CARD_GAP));
    lines.extend(gap.map(|note| note.text.clone()));
    lines.extend(ways(&run.cuts));
    let over = run
        .cuts
        .first()
        .filter(|cut| gap.is_some() && cut.blank.trim_m > 0.0);
    lines.extend(over.map(|cut| {
        format!(
            "{:.1} mm over at each end: cut off after the trial fit",
            cut.blank.trim_m * 1e3
        )
    }));
    lines
}

/// How the blanks are cut, their openings and a recess; what is said of all alike stands once.
fn ways(cuts: &[Cut]) -> Vec<String> {
    let mut lines = vec![];
    for about in [cutting::RECESS, "routing", cutting::OPENINGS] {
        let mut found: Vec<(&str, &str)> = vec![];
        for blank in cuts.iter().map(|cut| &cut.blank) {
            for note in blank.notes.iter().filter(|n| n.about == about) {
                // What the bit does at each tooth stands on the drawing.
                let short = note.text.split(" (").next().unwrap_or(&note.text);
                if !found.iter().any(|(_, had)| *had == short) {
                    found.push((&blank.name, short));
                }
            }
        }
        for (name, text) in &found {
            lines.push(match (about, found.len()) {
                ("routing", 1) => (*text).to_string(),
                ("routing", _) => format!("{name}: {text}"),
                (_, 1) => format!("{about}: {text}"),
                _ => format!("{about}, {name}: {text}"),
            });
        }
    }
    lines
}

/// The plug that a pod is pressed over: as large as the pod is inside.
fn plug(job: &Pod) -> String {
    let mm = |length: Option<Length>| length.map_or(0.0, Length::si) * 1e3;
    let (width, crown) = (mm(Some(job.width)), mm(job.crown_width));
    let form = match job.plug {
        PlugShape::Cylinder => format!("turned, Ø {width:.1} mm"),
        PlugShape::Frustum => {
            format!("turned, Ø {width:.1} mm at its rim, {crown:.1} mm at its crown")
        }
        PlugShape::Dome => format!("turned, a dome Ø {width:.1} mm at its rim"),
        PlugShape::Box => format!(
            "sawn and rounded, {width:.1} x {:.1} mm, upright corners R {:.1} mm",
            mm(job.height),
            mm(job.corner_radius)
        ),
    };
    format!(
        "plug of wood or board, {form}, {:.1} mm high, upper edge R {:.0} mm",
        mm(Some(job.depth)) - mm(job.depth_cut),
        mm(Some(job.thickness))
    )
}

/// The frame that holds the sheet: plug and sheet go through it.
fn frame(job: &Pod, blank: &Blank) -> Option<String> {
    if job.held == PodHeld::Free {
        return None;
    }
    let rim = blank.marks.iter().find_map(|mark| match mark {
        Mark::Contour {
            what: Contour::Rim,
            chain,
            ..
        } => Some(chain),
        _ => None,
    })?;
    let opening = rim.offset(blank.thickness_m).ok()?;
    Some(format!(
        "clamping frame: two boards as large as the blank, opening {0} (plug and sheet), clamped all round; plug on a block as thick as the lower board and no wider than {1}, so that the frame goes down over both",
        sized(&opening),
        sized(rim)
    ))
}

/// What the dotted lines on a pod's blank are.
fn dotted(blank: &Blank) -> Option<String> {
    let size = |wanted: Contour| {
        blank.marks.iter().find_map(|mark| match mark {
            Mark::Contour { what, chain, .. } if *what == wanted => Some(sized(chain)),
            _ => None,
        })
    };
    let rim = size(Contour::Rim)?;
    Some(match size(Contour::Flange) {
        Some(flange) => {
            format!("dotted: inside {rim}, the plug's rim; outside {flange}, cut after forming")
        }
        None => format!("dotted: {rim}, cut after forming"),
    })
}

fn across(blank: &Blank) -> String {
    sized(&blank.outline.outside)
}

/// A chain by its diameter, or by its two sizes, the longer first.
pub(super) fn sized(chain: &Chain) -> String {
    if let Some((_, radius_m)) = as_circle(chain) {
        return format!("Ø {:.1} mm", 2e3 * radius_m);
    }
    let (left, bottom, right, top) = chain.bounds_m();
    let (width_m, height_m) = (right - left, top - bottom);
    format!(
        "{:.1} x {:.1} mm",
        width_m.max(height_m) * 1e3,
        width_m.min(height_m) * 1e3
    )
}

/// Screws, foam, adhesive, film and paint, bits and drills, with amounts for all copies.
pub(super) fn lines(setup: &Setup, run: &PartRun, asked: &Part) -> Vec<String> {
    let copies = u32::try_from(asked.places().len()).unwrap_or(1) * setup.sets;
    let mut all = screws(run, asked, copies);
    for beside in &run.beside {
        let (width_m, height_m) = beside.blank.outline.size_m();
        let what = match beside.kind {
            "foam" => "closed-cell foam",
            "gasket" => "self-adhesive gasket of closed-cell foam",
            "mesh" => "mesh",
            "wedge" => "wedge of sheet or block",
            _ => continue,
        };
        all.push(format!(
            "{what} {:.1} mm, {} of {:.0} x {:.0} mm ({})",
            beside.blank.thickness_m * 1e3,
            count(copies, "piece"),
            width_m.max(height_m) * 1e3,
            width_m.min(height_m) * 1e3,
            beside.blank.name
        ));
    }
    if let Some(glued) = &run.glued {
        let drawn = run.beside.iter().any(|b| b.kind == "foam");
        if let Some(foam) = glued
            .substrates
            .iter()
            .find(|s| !drawn && s.contains("foam"))
        {
            let size = match asked {
                Part::Pod(job) => {
                    let foam_m = job.foam_thickness.si();
                    format!(
                        "{:.0} x {:.1} mm, {:.1} mm thick once pressed",
                        std::f64::consts::PI * (job.body_diameter.si() + foam_m) * 1e3,
                        job.body_length.si() * 1e3,
                        foam_m * 1e3
                    )
                }
                _ => format!("{:.0} cm²", glued.area_m2 * 1e4),
            };
            all.push(format!("{foam}: {} of {size}", count(copies, "piece")));
        }
        let amount = &glued.joint.amount;
        let packs = match amount.packs {
            Some(1) => ", from 1 pack".into(),
            Some(n) => format!(", from {n} packs"),
            None => String::new(),
        };
        let mixes = if amount.batch_kg > 0.0 {
            format!(", in {} mixed at once", count(amount.batches, "lot"))
        } else {
            String::new()
        };
        all.push(format!(
            "{}: {} ({}){packs}{mixes}, for {} of {:.1} cm²",
            glued.joint.name,
            millilitres(amount.volume_m3),
            grams(amount.mass_kg),
            count(copies, "joint"),
            glued.area_m2 * 1e4
        ));
        for primed in &glued.joint.primed {
            all.push(format!(
                "{}: {} on the {}",
                primed.name,
                millilitres(primed.volume_m3),
                primed.face
            ));
        }
    }
    let turned_m = match asked {
        Part::Strap(job) => strap::turned_m(job),
        // The back of its flange takes the turn.
        Part::Pod(job) => TURNED.value.min(job.flange.si()),
        _ => TURNED.value,
    };
    all.extend(used_up(run, copies, turned_m));
    all.push(tool(setup, run));
    let drills = drills(run);
    if !drills.is_empty() {
        all.push(format!("drills {}", drills.join(", ")));
    }
    if let Part::Ring(job) = asked
        && let Some((fixing, hole_m)) = bench::in_steel(job)
    {
        all.push(format!(
            "drill {:.1} mm for the steel ({}), paint for its bare edges",
            hole_m * 1e3,
            fixing.name()
        ));
    }
    all
}

/// Screws by number, thread and the least length: what they go through here and what they hold in.
fn screws(run: &PartRun, asked: &Part, copies: u32) -> Vec<String> {
    let stack_m: f64 = run.cuts.iter().map(|c| c.blank.thickness_m).sum();
    let through_m = stack_m + 2.0 * run.adds_face_m;
    // A gasket to the steel lies under the ring.
    let gasket = match asked {
        Part::Ring(job) => job.steel.as_ref().and_then(|s| s.gasket_to_steel),
        _ => None,
    };
    let through_m = through_m + gasket.map_or(0.0, |strip| strip.pressed.si());
    let and_gasket = if gasket.is_some() { " and gasket" } else { "" };
    let headed = |many: u32, diameter_m: f64, what: &str, into: &str| {
        format!(
            "{}{what}, {:.1} mm thread, as long as {:.0} mm of part{and_gasket} and what they hold in ({into})",
            count(many * copies, "screw"),
            diameter_m * 1e3,
            (through_m * 1e3).ceil()
        )
    };
    let vehicle = "measure it on the vehicle";
    let one = |many, diameter_m, what: &str, into: &str| {
        headed(many, diameter_m, &format!("{what}, pan head"), into)
    };
    match asked {
        Part::Strap(job) => {
            let plug = (job.formed_on.unwrap_or(FormedOn::Plug) == FormedOn::Plug)
                .then(|| "plug, as its card says: made once, neither timed nor priced".into());
            let screws = one(2, job.screw_diameter.si(), "", vehicle);
            [screws].into_iter().chain(plug).collect()
        }
        Part::Pod(job) => {
            let tools = match job.held {
                PodHeld::Clamped => {
                    "wood or board for plug, block and clamping frame, as its card says: made once, neither timed nor priced"
                }
                PodHeld::Free => {
                    "wood or board for the plug, as its card says: made once, neither timed nor priced"
                }
            };
            vec![
                one(job.screws, job.screw_diameter.si(), "", vehicle),
                tools.into(),
            ]
        }
        Part::Panel(job) => vec![one(job.screws, job.screw_diameter.si(), "", vehicle)],
        Part::Folded(job) => vec![
            one(2 * job.screws, job.screw_diameter.si(), "", vehicle),
            "two boards to leave a fold's line open, a board with its edge rounded as the card says, an angle gauge: made once, neither timed nor priced".into(),
        ],
        Part::Grille(job) => vec![format!(
            "{}, {} for each, that fit the vehicle's holes",
            count(job.clips * copies, "clip"),
            job.clips
        )],
        Part::Ring(job) => {
            let steel: Option<&Steel> = job.steel.as_ref();
            let head = job.vehicle_countersink.map(|head| head.si() * 1e3);
            let told = head.map_or(", to the vehicle, pan head".into(), |mm| {
                format!(", to the vehicle, countersunk head of {mm:.1} mm at most")
            });
            let mut all = vec![headed(
                job.vehicle_bolts,
                job.vehicle_screw.si(),
                &told,
                vehicle,
            )];
            all.extend(head.map(|mm| format!("countersink bit of 90°, {mm:.1} mm wide at least")));
            all.extend(edge_work(run, job));
            if steel.is_some() {
                all.push(format!(
                    "{} for them, M{:.0}",
                    count(job.vehicle_bolts * copies, "rivet nut"),
                    job.vehicle_screw.si() * 1e3
                ));
            }
            let (many, thread_m) = (job.driver_bolts * copies, job.driver_screw.si());
            all.push(format!(
                "{}, {:.1} mm thread, for the driver, as long as its flange and gasket and {}",
                count(many, "screw"),
                thread_m * 1e3,
                holds_driver(run, job)
            ));
            if job.driver_fixing == Some(DriverFixing::Nuts) {
                let nuts = count(many, "nut");
                all.push(format!("{nuts} for them, {:.1} mm thread", thread_m * 1e3));
            }
            all
        }
    }
}

/// What the driver's screws go into below flange and gasket, and how deep.
fn holds_driver(run: &PartRun, job: &Ring) -> String {
    let front_m = run.cuts.first().map_or(0.0, |c| c.blank.thickness_m);
    if job.driver_fixing == Some(DriverFixing::Nuts) {
        return if run.cuts.len() > 1 {
            format!(
                "{:.1} mm, no longer: layer 2 lies behind their nuts",
                front_m * 1e3
            )
        } else {
            format!("{:.1} mm of ring and a nut behind it", front_m * 1e3)
        };
    }
    if let Some(insert) = insert(job) {
        return format!("{:.1} mm of insert", insert.length_m * 1e3);
    }
    let thread_m = front_m.min(ENGAGED.value * job.driver_screw.si());
    format!("{:.1} mm of ring", thread_m * 1e3)
}

/// What works the edges of a ring, and its lip.
fn edge_work(run: &PartRun, job: &Ring) -> Vec<String> {
    let mut all = vec![];
    let asked = [
        (job.chamfer, "the chamfer behind the cone"),
        (job.bevel, "the bevel of the upper outer edge"),
    ];
    for (deep, what) in asked {
        if let Some(deep) = deep.filter(|deep| deep.si() > 0.0) {
            all.push(format!(
                "router bit of 45° with a bearing, {:.1} mm of edge at least, for {what}",
                deep.si() * 1e3
            ));
        }
    }
    if let (Some(lip), Some(cut)) = (bench::lip_m(job, run.cuts.first()), run.cuts.first()) {
        let adhesive = run.glued.as_ref().map_or_else(
            || format!("an adhesive for {}", cut.material),
            |glued| format!("some more {}", glued.joint.name),
        );
        all.push(format!(
            "strip of the ring's sheet for the lip, {:.0} mm long (not drawn, not priced), and {adhesive}",
            lip * 1e3
        ));
    }
    all
}

/// What the finish uses up: film and fabric as a piece that covers one part, all else by volume over all coats.
fn used_up(run: &PartRun, copies: u32, turned_m: f64) -> Vec<String> {
    let mut all: Vec<(&Used, f64)> = vec![];
    for used in run.finish.steps.iter().flat_map(|step| &step.uses) {
        let amount = used.amount.likely() * f64::from(copies);
        let at = all.iter().position(|(had, _)| had.name == used.name);
        match at.and_then(|at| all.get_mut(at)) {
            Some((_, sum)) => *sum += amount,
            None => all.push((used, amount)),
        }
    }
    let sizes = (run.cuts.first()).map_or((0.0, 0.0), |c| c.blank.outline.size_m());
    let side = |m: f64| ((m + 2.0 * turned_m) * 100.0).ceil() * 10.0;
    let told = |(used, amount): (&Used, f64)| {
        if used.unit == "m2" {
            format!(
                "{}: {} of {:.0} x {:.0} mm, {:.0} mm to turn round each edge",
                used.name,
                count(copies, "piece"),
                side(sizes.0.max(sizes.1)),
                side(sizes.0.min(sizes.1)),
                turned_m * 1e3
            )
        } else {
            let name = used.name.replace('-', " ");
            format!("{name}: {}", millilitres(amount))
        }
    };
    all.into_iter().map(told).collect()
}

fn tool(setup: &Setup, run: &PartRun) -> String {
    let cutting = &setup.shop.shop.cutting;
    let bit = format!("router bit {:.2} mm", cutting.kerf.si() * 1e3);
    let thickest = (run.cuts.iter()).fold(0.0_f64, |most, c| most.max(c.blank.thickness_m));
    let guided = match cutting.bushing {
        Some(bushing) => format!("{bit} in a bushing of {:.2} mm", bushing.si() * 1e3),
        None => format!("{bit} with a bearing as wide"),
    };
    let long = format!("{:.0} mm of edge at least", (thickest * 1e3).ceil());
    match cutting.by {
        CutBy::Saw => "saw".into(),
        CutBy::Cnc => format!("{bit}, {long}"),
        CutBy::HandRouter => match cutting::method(&setup.shop.shop, thickest) {
            crate::shape::router::Method::SawnThenTrimmed => {
                format!("saw, then {guided}, {long}")
            }
            _ => format!("{guided}, {long}"),
        },
    }
}

/// Diameters of the holes, each once. [mm]
fn drills(run: &PartRun) -> Vec<String> {
    let mut found: Vec<String> = vec![];
    for mark in run.cuts.iter().flat_map(|c| &c.blank.marks) {
        if let Mark::Hole {
            kind,
            diameter_m,
            drill: Drill::Now | Drill::AfterTrialFit,
            ..
        } = mark
        {
            let file = match kind {
                HoleKind::Round => "",
                HoleKind::Slot { .. } => " and a round file",
            };
            let told = format!("{:.1} mm{file}", diameter_m * 1e3);
            if !found.contains(&told) {
                found.push(told);
            }
        }
    }
    // One drill serves hole and slot.
    let plain: Vec<String> = found.clone();
    found.retain(|told| !plain.contains(&format!("{told} and a round file")));
    found
}

fn count(many: u32, what: &str) -> String {
    format!("{many} {what}{}", if many == 1 { "" } else { "s" })
}

fn millilitres(volume_m3: f64) -> String {
    let ml = volume_m3 * 1e6;
    if ml < 10.0 {
        format!("{ml:.2} mL")
    } else {
        format!("{ml:.0} mL")
    }
}

fn grams(mass_kg: f64) -> String {
    let g = mass_kg * 1e3;
    if g < 10.0 {
        format!("{g:.2} g")
    } else {
        format!("{g:.0} g")
    }
}
