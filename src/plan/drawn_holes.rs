//! The holes that a ring's drawing has besides its opening: screws of the vehicle where they agree with what was measured.

use super::practice::{OFF_CIRCLE, SCREW_HOLE};
use crate::error::{Error, Note, Result};
use crate::job;
use crate::outline::{Chain, Outline, as_circle};

/// Round holes of a screw's size: centre and radius. [m]
fn small(traced: &Outline) -> Vec<(f64, f64, f64)> {
    let circles = traced.holes.iter().filter_map(as_circle);
    let small = circles.filter(|(_, radius_m)| 2.0 * radius_m <= SCREW_HOLE.value);
    small
        .map(|(c, radius_m)| (c.x_m, c.y_m, radius_m))
        .collect()
}

/// Centres of the vehicle's screws as drawn, where the drawing has as many small round holes as there are screws; `None`
/// where it has not.
///
/// # Errors
/// [`Error::Shape`] where they do not lie on the circle that was measured: one of the two is wrong.
pub(super) fn screws(
    job: &job::Ring,
    traced: &Outline,
    circle_m: f64,
) -> Result<Option<Vec<(f64, f64)>>> {
    let holes = small(traced);
    if u32::try_from(holes.len()) != Ok(job.vehicle_bolts) {
        return Ok(None);
    }
    for (x_m, y_m, _) in &holes {
        let off_m = x_m.hypot(*y_m) - circle_m / 2.0;
        if off_m.abs() > OFF_CIRCLE.value {
            return Err(Error::Shape {
                what: format!("vehicle's holes of \"{}\" in its drawing", job.name),
                given: format!(
                    "a hole {:.1} mm from the middle of the opening, at x {:.1} mm, y {:.1} mm",
                    x_m.hypot(*y_m) * 1e3,
                    x_m * 1e3,
                    y_m * 1e3
                ),
                allowed: format!(
                    "within {:.0} mm of the circle measured, {:.1} mm across: measure again, or correct the drawing",
                    OFF_CIRCLE.value * 1e3,
                    circle_m * 1e3
                ),
            });
        }
    }
    Ok(Some(holes.iter().map(|h| (h.0, h.1)).collect()))
}

/// What becomes of the drawing's holes.
pub(super) fn note(job: &job::Ring, traced: &Outline, circle_m: f64) -> Result<Vec<Note>> {
    let holes = small(traced);
    let mut said = vec![];
    let mut say = |text: String| said.push(Note::new(format!("{}, drawing", job.name), text));
    if screws(job, traced, circle_m)?.is_some() {
        say(format!(
            "the vehicle's {} screws are where the drawing has its small round holes; they are drilled for the screws, not as large as drawn",
            job.vehicle_bolts
        ));
    } else if !holes.is_empty() {
        say(format!(
            "the drawing has {} small round holes, the job {} screws to the vehicle: the drawing's are not drilled, the screws sit evenly on the circle measured",
            holes.len(),
            job.vehicle_bolts
        ));
    }
    let area = |chain: &Chain| chain.area_m2().abs();
    let largest = traced.holes.iter().map(area).fold(0.0, f64::max);
    let screw_m2 = std::f64::consts::PI * SCREW_HOLE.value.powi(2) / 4.0;
    let others = traced.holes.iter().filter(|hole| {
        let area = area(hole);
        area < largest * (1.0 - 1e-9) && (as_circle(hole).is_none() || area > screw_m2)
    });
    let others = others.count();
    if others > 0 {
        say(format!(
            "{others} more of the drawing's openings are not cut: a ring has one cutout and its screws"
        ));
    }
    Ok(said)
}
