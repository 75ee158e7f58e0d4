//! Faults between keys: what each key's own bounds cannot see.

use std::collections::BTreeMap;

use super::words::OutlineShape;
use super::{Grille, Job, Panel, PlugShape, Pod, QuoteWords, Ring, Strap};
use crate::error::Problem;
use crate::file::Source;
use crate::quantity::{Dimension, System, show};
use crate::shape::seat::FOAM_FREE;

/// Where the faults of one file are collected.
struct Found<'a> {
    source: &'a Source,
    problems: Vec<Problem>,
}

impl Found<'_> {
    fn say(&mut self, at: impl Into<String>, message: impl Into<String>) {
        self.problems.push(self.source.problem(at, message));
    }
}

/// Every fault between keys.
pub(super) fn faults(job: &Job, source: &Source) -> Vec<Problem> {
    let mut found = Found {
        source,
        problems: vec![],
    };
    times(job, &mut found);
    names(job, &mut found);
    for (i, one) in job.straps.iter().enumerate() {
        strap(&format!("straps[{i}]"), one, &mut found);
    }
    for (i, one) in job.pods.iter().enumerate() {
        let at = format!("pods[{i}]");
        pod(&at, one, &mut found);
        body(&at, one, job.units.unwrap_or_default(), &mut found);
    }
    for (i, one) in job.rings.iter().enumerate() {
        ring(&format!("rings[{i}]"), one, &mut found);
    }
    for (i, one) in job.panels.iter().enumerate() {
        panel(&format!("panels[{i}]"), one, &mut found);
    }
    for (i, one) in job.folded.iter().enumerate() {
        if one.flanges.len() != one.folds.len() + 1 {
            found.say(
                format!("folded[{i}].folds"),
                format!(
                    "{} flanges and {} folds: there is one fold between two flanges",
                    one.flanges.len(),
                    one.folds.len()
                ),
            );
        }
    }
    for (i, one) in job.grilles.iter().enumerate() {
        grille(&format!("grilles[{i}]"), one, &mut found);
    }
    found.problems
}

fn times(job: &Job, found: &mut Found) {
    if let Err(e) = job.start() {
        found.say("start", e.to_string());
    }
    if let Some(Err(e)) = job.quote.as_ref().map(QuoteWords::date) {
        found.say("quote.date", e.to_string());
    }
    match (job.vehicle_back(), job.start()) {
        (Err(e), _) => found.say("vehicle_back", e.to_string()),
        (Ok(Some(back)), Ok(start)) if back <= start => found.say(
            "vehicle_back",
            "the vehicle comes back before work starts: give a later time",
        ),
        _ => {}
    }
}

fn names(job: &Job, found: &mut Found) {
    let places = job.places.iter().enumerate();
    let places = places.map(|(i, p)| (format!("places[{i}]"), p.name.clone()));
    let parts = job.part_names();
    if parts.is_empty() {
        found.say(
            "",
            "there is nothing to make: add [[straps]], [[pods]], [[rings]], [[panels]], [[folded]] or [[grilles]]",
        );
    }
    for (kind, list) in [("place", places.collect::<Vec<_>>()), ("part", parts)] {
        let mut seen = BTreeMap::new();
        for (at, name) in list {
            let message = seen.get(&name).map(|first: &String| {
                format!("a {kind} called \"{name}\" stands already at {first}: name each once")
            });
            if let Some(message) = message {
                found.say(format!("{at}.name"), message);
            }
            seen.insert(name, at);
        }
    }
}

fn strap(at: &str, strap: &Strap, found: &mut Found) {
    if strap.wire_forward.is_some() && strap.wire_width.is_none() {
        found.say(
            format!("{at}.wire_forward"),
            "a notch for the cable needs its width too: give wire_width",
        );
    }
    if strap.aim.is_some() && strap.lift.is_some() {
        found.say(
            format!("{at}.lift"),
            "the lift follows from the aim: remove one of them",
        );
    }
}

fn pod(at: &str, pod: &Pod, found: &mut Found) {
    let boxed = pod.plug == PlugShape::Box;
    let coned = pod.plug == PlugShape::Frustum;
    let keys = [
        ("height", boxed, pod.height.is_some(), "a box"),
        ("corner_radius", boxed, pod.corner_radius.is_some(), "a box"),
        ("crown_width", coned, pod.crown_width.is_some(), "a frustum"),
    ];
    for (key, needed, there, what) in keys {
        match (needed, there) {
            (true, false) => found.say(format!("{at}.{key}"), format!("missing; {what} has one")),
            (false, true) => found.say(
                format!("{at}.{key}"),
                format!("only {what} has one: remove it"),
            ),
            _ => {}
        }
    }
    let (clamp, flange) = (pod.clamp.si(), pod.flange.si());
    if flange > clamp {
        found.say(
            format!("{at}.flange"),
            format!(
                "a flange of {:.1} mm cannot be trimmed out of a clamped edge of {:.1} mm: give the clamp more",
                flange * 1e3,
                clamp * 1e3
            ),
        );
    }
}

/// The body in its foam against the pod's inside: it must go in as far as the crown, and the foam must reach the wall.
fn body(at: &str, pod: &Pod, units: System, found: &mut Found) {
    let seat = pod.seat();
    let inside = pod.inside();
    let crown = match pod.plug {
        PlugShape::Frustum => "crown_width",
        PlugShape::Box if inside.height_m < inside.width_m => "height",
        _ => "width",
    };
    // Told as missing already.
    if pod.plug == PlugShape::Frustum && inside.crown_m <= 0.0
        || pod.plug == PlugShape::Box && inside.height_m <= 0.0
    {
        return;
    }
    // What would do is rounded to the side that does.
    let (most, least) = (Rounded::Down, Rounded::Up);
    let said = |m: f64, to: Rounded| to.said(m, units);
    let (bore_m, across_m) = (seat.bore_m(), seat.across_m());
    if across_m > bore_m + 1e-9 {
        let thinner_m = (bore_m - seat.body_m) / 2.0;
        let foam = if thinner_m >= 0.5e-3 {
            format!(", foam_thickness at most {}", said(thinner_m, most))
        } else {
            String::new()
        };
        found.say(
            format!("{at}.body_diameter"),
            format!(
                "{} across with its foam does not go into the {} inside: give body_diameter at most {}{foam}, or {crown} at least {}",
                said(across_m, Rounded::Near),
                said(bore_m, Rounded::Near),
                said(bore_m - 2.0 * seat.foam_m, most),
                said(across_m, least)
            ),
        );
    } else if pod.plug != PlugShape::Dome && seat.filled_m() < bore_m - 1e-9 {
        let gap_m = (bore_m - seat.body_m) / 2.0;
        found.say(
            format!("{at}.foam_thickness"),
            format!(
                "the wall stands {} off the body and foam pressed to {} springs back to {} at most, so that nothing holds the body: give foam_thickness from {} to {}, or {crown} from {} to {}",
                said(gap_m, Rounded::Near),
                said(seat.foam_m, Rounded::Near),
                said(FOAM_FREE.value * seat.foam_m, Rounded::Near),
                said(gap_m / FOAM_FREE.value, least),
                said(gap_m, most),
                said(across_m, least),
                said(seat.filled_m(), most)
            ),
        );
    }
    let depth_m = seat.depth_m(across_m);
    if across_m <= bore_m + 1e-9 && seat.length_m > depth_m + 1e-9 {
        // A higher dome is another ball.
        let deeper = if pod.plug == PlugShape::Dome {
            " or a higher dome".into()
        } else {
            let needs_m = pod.depth.si() + seat.length_m - depth_m;
            format!(", or depth at least {}", said(needs_m, least))
        };
        found.say(
            format!("{at}.body_length"),
            format!(
                "{} long in a pod that is {} deep for a body so wide: give body_length at most {}{deeper}",
                said(seat.length_m, Rounded::Near),
                said(depth_m, Rounded::Near),
                said(depth_m, most)
            ),
        );
    }
}

/// To which side a length in a fault is rounded.
#[derive(Clone, Copy)]
enum Rounded {
    Near,
    Down,
    Up,
}

impl Rounded {
    /// In shop units, to 0.1 mm or 0.001 in.
    fn said(self, m: f64, units: System) -> String {
        let step_m = match units {
            System::Metric => 1e-4,
            System::Inch => 25.4e-6,
        };
        let steps = m / step_m;
        // A length that is round already stays.
        let steps = match self {
            Self::Near => steps,
            Self::Down => (steps + 1e-6).floor(),
            Self::Up => (steps - 1e-6).ceil(),
        };
        show(steps * step_m, Dimension::Length, units, 1)
    }
}

fn ring(at: &str, ring: &Ring, found: &mut Found) {
    let outside = Keys {
        shape: ring.outline,
        names: OUTSIDE,
        height: ring.height.is_some(),
        radius: ring.corner_radius.is_some(),
        corners: ring.corners.is_some(),
        file: ring.outline_file.is_some(),
        traced_elsewhere: false,
    };
    outside.faults(at, found);
    let usual = if ring.cutout_height.is_some() {
        OutlineShape::Ellipse
    } else {
        OutlineShape::Circle
    };
    let cutout = Keys {
        shape: ring.cutout_outline.unwrap_or(usual),
        names: CUTOUT,
        height: ring.cutout_height.is_some(),
        radius: ring.cutout_corner_radius.is_some(),
        corners: ring.cutout_corners.is_some(),
        file: ring.cutout_file.is_some(),
        traced_elsewhere: ring.outline_file.is_some(),
    };
    cutout.faults(at, found);
    let (across, up) = (ring.driver_holes_width, ring.driver_holes_height);
    if across.is_some() != up.is_some() || across.is_some() && ring.driver_bolts != 4 {
        found.say(
            format!("{at}.driver_holes_width"),
            "holes at the corners of a rectangle have a width, a height and are four",
        );
    }
    match (ring.driver_bolt_circle.is_some(), across.is_some()) {
        (false, false) => found.say(
            format!("{at}.driver_bolt_circle"),
            "missing; give the circle of the driver's screws, or driver_holes_width and driver_holes_height",
        ),
        (true, true) => found.say(
            format!("{at}.driver_bolt_circle"),
            "the driver's holes sit at the corners of a rectangle: remove the circle",
        ),
        _ => {}
    }
    if ring.insert_diameter.is_some() != ring.insert_length.is_some() {
        found.say(
            format!("{at}.insert_diameter"),
            "an insert needs its diameter and its length: give both or none",
        );
    }
}

fn panel(at: &str, panel: &Panel, found: &mut Found) {
    let traced = panel.outline_file.is_some();
    match (panel.corner_radius.is_some(), traced) {
        (false, false) => found.say(
            format!("{at}.corner_radius"),
            "missing; give the radius of the corners, or outline_file for a traced panel",
        ),
        (true, true) => found.say(
            format!("{at}.corner_radius"),
            "a traced panel has the corners of its drawing: remove the radius",
        ),
        _ => {}
    }
    let sides = [
        ("left_cut", panel.left_cut),
        ("right_cut", panel.right_cut),
        ("top_cut", panel.top_cut),
        ("bottom_cut", panel.bottom_cut),
    ];
    for (key, _) in sides.iter().filter(|(_, cut)| traced && cut.is_some()) {
        found.say(
            format!("{at}.{key}"),
            "a traced panel has no straight sides to cut: change the drawing, or give edge_cut",
        );
    }
    for (k, cutout) in panel.cutouts.iter().enumerate() {
        let keys = Keys {
            shape: cutout.outline,
            names: OUTSIDE,
            height: cutout.height.is_some(),
            radius: cutout.corner_radius.is_some(),
            corners: cutout.corners.is_some(),
            file: false,
            traced_elsewhere: false,
        };
        keys.faults(&format!("{at}.cutouts[{k}]"), found);
    }
}

fn grille(at: &str, grille: &Grille, found: &mut Found) {
    let own = [
        (
            grille.outline,
            OUTSIDE,
            grille.height.is_some(),
            grille.corner_radius.is_some(),
        ),
        (
            grille.opening_outline,
            OPENING,
            grille.opening_height.is_some(),
            grille.opening_corner_radius.is_some(),
        ),
    ];
    for (shape, names, height, radius) in own {
        if matches!(shape, OutlineShape::Polygon | OutlineShape::Traced) {
            found.say(
                format!("{at}.{}", names.outline),
                "a grille is a circle, an ellipse, a stadium or a rounded rectangle",
            );
            continue;
        }
        let keys = Keys {
            shape,
            names,
            height,
            radius,
            corners: false,
            file: false,
            traced_elsewhere: false,
        };
        keys.faults(at, found);
    }
    if grille.cone_travel.is_some() != grille.cone_to_trim.is_some() {
        found.say(
            format!("{at}.cone_travel"),
            "the room for the cone needs its travel and its distance to the trim ring: give both or none",
        );
    }
}

/// What the keys of an outline are called.
#[derive(Clone, Copy)]
struct KeyNames {
    outline: &'static str,
    height: &'static str,
    radius: &'static str,
    corners: &'static str,
    file: &'static str,
}

const OUTSIDE: KeyNames = KeyNames {
    outline: "outline",
    height: "height",
    radius: "corner_radius",
    corners: "corners",
    file: "outline_file",
};
const CUTOUT: KeyNames = KeyNames {
    outline: "cutout_outline",
    height: "cutout_height",
    radius: "cutout_corner_radius",
    corners: "cutout_corners",
    file: "cutout_file",
};
const OPENING: KeyNames = KeyNames {
    outline: "opening_outline",
    height: "opening_height",
    radius: "opening_corner_radius",
    corners: "",
    file: "",
};

/// Which keys of an outline are there.
// What they hold does not matter here.
#[allow(clippy::struct_excessive_bools)]
struct Keys {
    shape: OutlineShape,
    names: KeyNames,
    height: bool,
    radius: bool,
    corners: bool,
    file: bool,
    /// Whether a traced outline may come from another drawing of the part.
    traced_elsewhere: bool,
}

impl Keys {
    fn faults(&self, at: &str, found: &mut Found) {
        let (needs_height, takes_radius, needs_corners) = match self.shape {
            OutlineShape::Circle => (false, false, false),
            OutlineShape::Ellipse | OutlineShape::Stadium => (true, false, false),
            OutlineShape::RoundedRectangle => (true, true, false),
            OutlineShape::Polygon => (false, false, true),
            // A traced outline is measured both ways where the shop did so.
            OutlineShape::Traced => (self.height, false, false),
        };
        let mut say = |key: &str, message: &str| found.say(format!("{at}.{key}"), message);
        let traced = self.shape == OutlineShape::Traced;
        match (traced, self.file) {
            (true, false) if !self.traced_elsewhere => say(
                self.names.file,
                "missing; a traced outline needs its drawing (a panel's cutout is drawn in the file of its panel)",
            ),
            (false, true) => say(
                self.names.file,
                "only the outline \"traced\" takes a drawing: remove it, or set the outline to \"traced\"",
            ),
            _ => {}
        }
        match (needs_height, self.height) {
            (true, false) => say(self.names.height, "missing; this outline needs a height"),
            (false, true) => say(
                self.names.height,
                "this outline has only a width: remove the height",
            ),
            _ => {}
        }
        if self.radius && !takes_radius {
            say(
                self.names.radius,
                "only a rounded rectangle has corners of a radius: remove it",
            );
        }
        match (needs_corners, self.corners) {
            (true, false) => say(
                self.names.corners,
                "missing; a polygon needs its number of corners (3 to 24)",
            ),
            (false, true) => say(
                self.names.corners,
                "only a polygon has a number of corners: remove it",
            ),
            _ => {}
        }
    }
}
