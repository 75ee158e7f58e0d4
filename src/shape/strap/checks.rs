//! What a strap may be: every measurement within its range, each refusal with what would work.

use super::super::limits;
use super::{Leg, Side, StrapAsk};
use crate::error::{Range, Result, check};

pub(super) const WIDTH: Range = Range::new(5e-3, 0.5, "m");
pub(super) const LENGTH: Range = Range::new(0.0, 1.0, "m");

pub(super) fn checked(ask: &StrapAsk) -> Result<()> {
    limits::formed_thickness(ask.thickness_m)?;
    limits::bend_radius_over_t(ask.bend_radius_over_t)?;
    check(
        "neutral_fraction",
        ask.neutral_fraction,
        Range::new(0.0, 0.5, "1"),
        "0.5 for a limp strap, 0 where it is pulled tight on a form",
    )?;
    check(
        "foam_m",
        ask.foam_m,
        Range::new(0.0, 0.05, "m"),
        "measure the foam as pressed",
    )?;
    check(
        "bend_radius_m",
        ask.bend_radius_m,
        Range::new(ask.least_radius_m(), 0.1, "m"),
        "the material cracks or crushes in a tighter bend: take a larger radius, thinner sheet or another material",
    )?;
    check(
        "middle_width_m",
        ask.middle_width_m,
        WIDTH,
        "measure the body's height",
    )?;
    check(
        "trim_m",
        ask.trim_m,
        Range::new(0.0, 0.1, "m"),
        "5 to 10 mm is usual",
    )?;
    check(
        "shrink_fraction",
        ask.shrink_fraction,
        Range::new(0.0, 0.2, "1"),
        "mark a 100 mm square, heat it limp, measure it again",
    )?;
    limits::edge_finish(ask.finish_m)?;
    if let Some(length_m) = ask.body_length_m {
        check(
            "body_length_m",
            length_m,
            Range::new(2e-3, 1.0, "m"),
            "measure the body along its own axis",
        )?;
        check(
            "bare_m",
            ask.bare_m,
            Range::new(0.0, length_m, "m"),
            "measure the dome and the grille at the body's front",
        )?;
        check(
            "middle_width_m",
            ask.middle_width_m,
            Range::new(WIDTH.low, (length_m - ask.bare_m).max(WIDTH.low), "m"),
            "the strap would cover the dome: take a narrower middle",
        )?;
    }
    checked_wire(ask)?;
    checked_leg("left", ask, &ask.left)?;
    checked_leg("right", ask, &ask.right)?;
    check(
        "holes.slot_m",
        ask.holes.slot_m,
        Range::new(ask.holes.diameter_m, 0.3, "m"),
        "a slot is at least as long as it is wide",
    )?;
    Ok(())
}

/// The notch lies in the part of the strap that keeps its width.
fn checked_wire(ask: &StrapAsk) -> Result<()> {
    let Some(wire) = ask.wire else { return Ok(()) };
    check(
        "wire.width_m",
        wire.width_m,
        Range::new(1e-3, 0.03, "m"),
        "measure the cable with its grommet",
    )?;
    check(
        "wire.depth_m",
        wire.depth_m,
        Range::new(wire.width_m, 0.5 * ask.middle_width_m, "m"),
        "a notch is at least as deep as it is wide, and leaves half of the strap",
    )?;
    check(
        "wire.lip_m",
        wire.lip_m,
        Range::new(0.0, wire.depth_m / 2.0, "m"),
        "a lip is rounded by 1 to 3 mm",
    )?;
    let taken_m = wire.width_m / 2.0 + ask.finish_m + wire.lip_m;
    let most = (ask.middle_length_m / 2.0 - taken_m).max(0.0);
    check(
        "wire.along_m",
        wire.along_m,
        Range::new(-most, most, "m"),
        "the cable leaves where the strap keeps its width: move it nearer to the body's middle, or make the middle longer",
    )?;
    Ok(())
}

fn checked_leg(side: &str, ask: &StrapAsk, leg: &Leg) -> Result<()> {
    check(
        format!("{side}.tilt_rad"),
        leg.tilt_rad,
        Range::new(-1.0, 1.0, "rad"),
        "turn the drawing so that the tabs lie nearly in one plane",
    )?;
    check(
        format!("{side}.end_width_m"),
        leg.end_width_m,
        WIDTH,
        "give the tab's width",
    )?;
    check(
        format!("{side}.tab_m"),
        leg.tab_m,
        Range::new(3e-3, 0.3, "m"),
        "give the straight length beyond the foot bend",
    )?;
    check(
        format!("{side}.aside_m"),
        leg.aside_m,
        Range::new(-0.2, 0.2, "m"),
        "give how far the screw lies aside of the body's middle",
    )?;
    check(
        format!("{side}.twist_rad"),
        leg.twist_rad,
        Range::new(-0.8, 0.8, "rad"),
        "turn the measurement so that the tab looks nearly upwards",
    )?;
    let slot = if (side == "left") == (ask.holes.slot == Side::Left) {
        ask.holes.slot_m
    } else {
        ask.holes.diameter_m
    };
    check(
        format!("holes on the {side} tab"),
        slot,
        Range::computed(1e-3, leg.tab_m - 2.0 * ask.finish_m, "m"),
        "the hole must lie inside its tab: take a longer tab or a smaller hole",
    )?;
    let beyond_m = (leg.tab_m - slot) / 2.0 - ask.finish_m;
    check(
        format!("{side}.cut_m"),
        leg.cut_m,
        Range::computed(-0.05, 0.05_f64.min(beyond_m), "m"),
        "more would cut into the screw's hole: a larger change at the trial fit is a new measurement of the foot or the tab",
    )?;
    check(
        "holes.diameter_m",
        ask.holes.diameter_m,
        Range::computed(1e-3, leg.end_width_m - 2.0 * ask.finish_m, "m"),
        "the hole must lie inside its tab: take a wider tab or a smaller hole",
    )?;
    Ok(())
}
