//! What a bench card says of cutting, drilling and folding, in the order in which it is done.

use std::f64::consts::PI;

use super::part::Cut;
use crate::job::Ring;
use crate::mount::fixing::nut_m;
use crate::outline::{Chain, Point, as_circle};
use crate::quantity::{System, said};
use crate::shape::fold::Folded;
use crate::shape::seal::SteelFixing;
use crate::shape::strap::Strap;
use crate::shape::{Bend, Blank, Contour, Drill, Hand, HoleKind, Mark, Toward};

/// Each fold in the order in which they are made: its line, the strip that is heated, where it is bent and to what.
pub(super) fn folds(made: &Folded) -> Vec<String> {
    let mut before: Option<(String, String)> = None;
    let bends = made.blank.bends.iter();
    bends
        .map(|bend| {
            // Heated strips and pressed angles stand from left to right, the bends in the order of making.
            let at = (made.blank.heated.iter())
                .position(|zone| zone.name.ends_with(&bend.name))
                .unwrap_or(0);
            let heated_m = made.blank.heated.get(at).map_or(0.0, |z| z.length_m);
            let press = made.press_to_rad.get(at).copied().unwrap_or(bend.angle_rad);
            let middle_m = f64::midpoint(bend.begins.0.x_m, bend.ends.0.x_m);
            let line = format!(
                "{}, its line {:.1} mm {} of the centre mark",
                bend.name,
                middle_m.abs() * 1e3,
                if middle_m < 0.0 { "left" } else { "right" },
            );
            let open = format!(
                "drawn on both faces: cover both faces with boards that leave {:.0} mm open along it, and heat that; bend the flap {} the show face over an edge rounded by {:.1} mm",
                heated_m * 1e3,
                match bend.toward {
                    Toward::Show => "towards",
                    Toward::Back => "away from",
                },
                bend.inside_radius_m * 1e3
            );
            let angle = format!(
                "press to {:.0}° and hold until cold: let go, it opens to {:.0}°",
                press.to_degrees(),
                bend.angle_rad.to_degrees()
            );
            let how = format!("{open}, {angle}");
            match &before {
                Some((first, same)) if *same == how => {
                    format!("{line}: as {first}, {angle}")
                }
                _ => {
                    before = Some((bend.name.clone(), how.clone()));
                    format!("{line}, {how}")
                }
            }
        })
        .collect()
}

/// What a strap is laid over and bent to, with where each bend lies on the flat blank.
pub(super) fn bends(blank: &Blank, plug_m: f64) -> Vec<String> {
    let side = |x_m: f64| if x_m < 0.0 { "left" } else { "right" };
    let place = |x_m: f64| format!("{:.1} mm {}", x_m.abs() * 1e3, side(x_m));
    let lines = blank.bends.iter().map(|bend| {
        let (from, to) = (bend.begins.0.x_m, bend.ends.0.x_m);
        format!(
            "{} {:.0}°, inside radius {:.1} mm, {} to {}",
            bend.name,
            bend.angle_rad.to_degrees(),
            bend.inside_radius_m * 1e3,
            place(from),
            place(to)
        )
    });
    let plug = format!("plug {:.0} mm across; from the centre mark:", plug_m * 1e3);
    std::iter::once(plug).chain(lines).collect()
}

/// Which layer lies where, and what has to be done before they are glued.
///
/// `nuts_m` is the thread of the driver's nuts, where it has any.
pub(super) fn layers(count: usize, nuts_m: Option<f64>) -> Vec<String> {
    if count < 2 {
        return vec![];
    }
    let mut lines = vec![format!(
        "layer 1 lies towards the driver, layer {count} towards the vehicle: write DRIVER and VEHICLE on the faces as they are cut"
    )];
    if let Some(thread_m) = nuts_m {
        let pocket = nut_m(thread_m).map_or("as wide and deep as the nuts".into(), |(flats, high)| {
            format!(
                "for hexagon nuts M{}: {:.1} mm across flats, {:.1} mm across corners, {:.1} mm deep (measure those that lie ready)",
                (thread_m * 1e4).round() / 10.0,
                flats * 1e3,
                // Across the corners of a hexagon.
                flats * 1e3 * 2.0 / 3f64.sqrt(),
                high * 1e3
            )
        });
        lines.push(format!("set the driver's nuts before the layers are glued, in pockets in the back of layer 1 {pocket}: layer 2 covers them"));
    }
    lines
}

/// What a ring's edges and faces get once its layers are one piece: countersinks, chamfer, bevel, lip.
pub(super) fn edges(job: &Ring, front: Option<&Cut>) -> Vec<String> {
    let mut lines = vec![];
    let marks = front.iter().flat_map(|cut| &cut.blank.marks);
    let mut cone = marks.filter_map(|mark| match mark {
        Mark::Contour {
            what: Contour::Countersink,
            chain,
            depth_m,
        } => Some((chain, *depth_m)),
        _ => None,
    });
    if let Some((chain, depth_m)) = cone.next_back() {
        lines.push(format!(
            "countersink the vehicle's {} holes in the DRIVER face: {}, {:.1} mm deep",
            job.vehicle_bolts,
            across(chain),
            // Deep enough: a head that stands proud holds the driver off.
            ((depth_m * 1e4) - 1e-6).ceil() / 10.0
        ));
    }
    if let Some(deep) = job.chamfer.filter(|deep| deep.si() > 0.0) {
        lines.push(format!(
            "chamfer the opening from the VEHICLE face, all round: 45°, {:.1} mm deep",
            deep.si() * 1e3
        ));
    }
    if let Some(deep) = job.bevel.filter(|deep| deep.si() > 0.0) {
        lines.push(format!(
            "bevel the outer edge of the DRIVER face along its upper half: 45°, {:.1} mm deep",
            deep.si() * 1e3
        ));
    }
    if let Some(long_m) = lip_m(job, front) {
        lines.push(format!(
            "glue the lip along the upper half of the outside, {:.0} mm of it, so that water drips off clear of the magnet",
            long_m * 1e3
        ));
    }
    lines
}

/// What is done with a ring on the vehicle: holes in the steel, gaskets.
pub(super) fn on_steel(job: &Ring, foam: bool) -> Vec<String> {
    let mut lines = vec![];
    if let Some((fixing, hole_m)) = in_steel(job) {
        let set = match fixing {
            SteelFixing::ThroughBolt => "let it dry",
            SteelFixing::RivetNut | SteelFixing::ClipNut => "let it dry, set the nuts",
        };
        lines.push(format!(
            "on the vehicle, look behind the steel, then drill {} holes of {:.1} mm in it for the {}; paint their bare edges, {set}",
            job.vehicle_bolts,
            hole_m * 1e3,
            fixing.name()
        ));
    }
    if foam {
        lines.push("stick the gaskets on by their own adhesive once the finish is dry, as drawn, on wiped faces; foam without adhesive is held by contact adhesive on both faces".into());
    }
    lines
}

/// What holds a ring to the steel, and the hole that is drilled for it; `None` where nothing is drilled. [m]
pub(super) fn in_steel(job: &Ring) -> Option<(SteelFixing, f64)> {
    let fixing = job.steel.as_ref()?.fixing;
    // A thread that its nut is not made for has been told as a fault before.
    let hole_m = fixing.hole_m(job.vehicle_screw.si()).ok()??;
    Some((fixing, hole_m))
}

/// Length of a ring's lip, where it has one: the upper half of its outside. [m]
pub(super) fn lip_m(job: &Ring, front: Option<&Cut>) -> Option<f64> {
    let lip = job.steel.as_ref().is_some_and(|steel| steel.lip);
    let front = front.filter(|_| lip)?;
    Some(front.blank.outline.outside.length_m() / 2.0)
}

/// Openings, recess and holes of a blank, their places from its centre mark, seen from the show face.
pub(super) fn cuts(blank: &Blank, now: &str) -> Vec<String> {
    let routed = blank.routed();
    // The recess first: the router stands on what the opening takes away.
    let mut lines: Vec<String> = vec![];
    for mark in &blank.marks {
        if let Mark::Contour {
            what: Contour::Recess,
            chain,
            depth_m,
        } = mark
        {
            lines.push(format!(
                "{}: recess in the back {}, {:.1} mm deep, at {}; {:.1} mm stay in front of it",
                blank.name,
                across(chain),
                depth_m * 1e3,
                place(middle(chain)),
                (blank.thickness_m - depth_m) * 1e3
            ));
        }
    }
    lines.extend(routed.holes.iter().map(|hole| {
        format!(
            "{}: opening {} at {}",
            blank.name,
            across(hole),
            place(middle(hole))
        )
    }));
    for when in [Drill::Now, Drill::AfterTrialFit] {
        let holes = blank.marks.iter().filter_map(|mark| match mark {
            Mark::Hole {
                kind,
                centre,
                diameter_m,
                drill,
                ..
            } if *drill == when => Some((kind, centre, diameter_m)),
            _ => None,
        });
        let holes: Vec<String> = holes
            .map(|(kind, centre, diameter_m)| match kind {
                HoleKind::Round => format!("Ø {:.1} mm at {}", diameter_m * 1e3, place(*centre)),
                HoleKind::Slot {
                    length_m,
                    angle_rad,
                } => format!(
                    "slot {:.1} x {:.1} mm, {}, at {}",
                    diameter_m * 1e3,
                    length_m * 1e3,
                    lies(*angle_rad, &blank.bends),
                    place(*centre)
                ),
            })
            .collect();
        if !holes.is_empty() {
            let how = match when {
                Drill::Now => now,
                Drill::AfterTrialFit => {
                    "mark through the vehicle's holes at the trial fit, then drill; expected"
                }
            };
            lines.push(format!("{}: {how}: {}", blank.name, holes.join("; ")));
        }
    }
    lines
}

/// Which way a slot lies, in words.
fn lies(angle_rad: f64, bends: &[Bend]) -> &'static str {
    // A line has no direction: half turns are the same, and 8 sectors of 22.5° have 4 names.
    let eighth = (angle_rad.rem_euclid(PI) / PI * 8.0).round();
    // What is bent across its length is a strap.
    let strap = bends.iter().any(|bend| bend.name == "crown");
    if !(0.5..=7.5).contains(&eighth) {
        if strap {
            "along the strap"
        } else {
            "lying left to right"
        }
    } else if eighth < 3.5 {
        "slanting up to the right"
    } else if eighth < 4.5 {
        "standing up and down"
    } else {
        "slanting up to the left"
    }
}

/// Where a formed strap's screws stand on the vehicle, to hold it against.
pub(super) fn formed(made: &Strap, hand: Hand) -> String {
    let (front, rear) = match hand {
        Hand::Right => (&made.left, &made.right),
        Hand::Left | Hand::Either => (&made.right, &made.left),
    };
    format!(
        "formed, the screws stand {:.1} mm apart on the vehicle: REAR {:.1} mm, FRONT {:.1} mm from the body's middle",
        made.screw_spacing_m * 1e3,
        rear.screw_m * 1e3,
        front.screw_m * 1e3
    )
}

/// The same in the shop's units.
pub(super) fn in_units(lines: &[String], units: System) -> Vec<String> {
    lines.iter().map(|line| said(line, units)).collect()
}

fn middle(chain: &Chain) -> Point {
    let (l, b, r, t) = chain.bounds_m();
    Point::new(f64::midpoint(l, r), f64::midpoint(b, t))
}

fn across(chain: &Chain) -> String {
    if let Some((_, radius_m)) = as_circle(chain) {
        return format!("Ø {:.1} mm", 2e3 * radius_m);
    }
    let (l, b, r, t) = chain.bounds_m();
    format!("{:.1} x {:.1} mm", (r - l) * 1e3, (t - b) * 1e3)
}

/// A place from the centre mark, never -0.
fn place(p: Point) -> String {
    let mm = |v: f64| (v * 1e4).round() / 10.0 + 0.0;
    if mm(p.x_m) == 0.0 && mm(p.y_m) == 0.0 {
        return "the centre mark".into();
    }
    let side = |v: f64, less: &str, more: &str| {
        format!(
            "{:.1} mm {}",
            mm(v).abs(),
            if v < 0.0 { less } else { more }
        )
    };
    match (mm(p.x_m) == 0.0, mm(p.y_m) == 0.0) {
        (true, _) => side(p.y_m, "down", "up"),
        (_, true) => side(p.x_m, "left", "right"),
        _ => format!(
            "{} {}",
            side(p.x_m, "left", "right"),
            side(p.y_m, "down", "up")
        ),
    }
}
