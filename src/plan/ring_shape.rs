//! The shape of a ring: its measures in one run, its screws, its layers.

use super::setup::{Setup, Stuff, called, same_thickness};
use super::values::{Values, measured};
use super::{drawn_holes, practice};
use crate::error::Result;
use crate::file::{Angle, Length};
use crate::job::{self, DriverFixing, OutlineShape};
use crate::mount::Family;
use crate::mount::fixing::{clearance_hole_m, thread_forming};
use crate::outline::{Chain, Outline, Point};
use crate::shape::panel::Cutout;
use crate::shape::ring::{Chamfer, Holds, Insert, Ring, RingAsk, Screws, ring};
use crate::shape::stack::Stocked;
use crate::shape::{Centres, Form, Grain};
use crate::shop::{OffcutInRack, SheetForSale};

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
    edge_cut: f64,
    cutout: f64,
    cutout_height: Option<f64>,
    cutout_corner: f64,
    cutout_cut: f64,
    driver_holes: DriverHoles,
    pub(super) vehicle_circle: f64,
    pub(super) depth: f64,
    pub(super) driver_depth: f64,
    pub(super) flange: f64,
    pub(super) free_depth: f64,
}

/// Where the driver's screws sit. [m]
#[derive(Clone, Copy)]
enum DriverHoles {
    /// On a circle of this diameter.
    Circle(f64),
    /// At the corners of a rectangle.
    Rectangle(f64, f64),
}

impl Measures {
    pub(super) fn take(job: &job::Ring, v: &mut Values) -> Result<Self> {
        let n = &job.name;
        let width = measured(v, n, "width", job.width)?;
        let optional = |v: &mut Values, what: &str, length: Option<Length>| {
            length.map(|l| measured(v, n, what, l)).transpose()
        };
        let across = optional(v, "driver holes width", job.driver_holes_width)?;
        let up = optional(v, "driver holes height", job.driver_holes_height)?;
        let circle = optional(v, "driver bolt circle", job.driver_bolt_circle)?;
        Ok(Self {
            width,
            height: optional(v, "height", job.height)?.unwrap_or(width),
            corner: optional(v, "corner radius", job.corner_radius)?.unwrap_or(0.0),
            edge_cut: optional(v, "edge cut", job.edge_cut)?.unwrap_or(0.0),
            cutout: measured(v, n, "cutout width", job.cutout_width)?,
            cutout_height: optional(v, "cutout height", job.cutout_height)?,
            cutout_corner: optional(v, "cutout corner radius", job.cutout_corner_radius)?
                .unwrap_or(0.0),
            cutout_cut: optional(v, "cutout cut", job.cutout_cut)?.unwrap_or(0.0),
            driver_holes: match (across, up) {
                (Some(across), Some(up)) => DriverHoles::Rectangle(across, up),
                // The file's own checks ask for one of the two.
                _ => DriverHoles::Circle(circle.unwrap_or(0.0)),
            },
            vehicle_circle: measured(v, n, "vehicle bolt circle", job.vehicle_bolt_circle)?,
            depth: measured(v, n, "depth", job.depth)?,
            driver_depth: measured(v, n, "driver depth", job.driver_depth)?,
            flange: measured(v, n, "driver flange", job.driver_flange)?,
            free_depth: measured(v, n, "free depth", job.free_depth)?,
        })
    }

    /// The outside after what the trial fit took off.
    fn outer(&self, job: &job::Ring, traced: Option<&Outline>) -> Result<Form> {
        let (shape, corners) = (job.outline, job.corners.unwrap_or(0));
        let (w, h, r) = (self.width, self.height, self.corner);
        form(shape, w, h, r, corners, traced).cut_back("outer", self.edge_cut)
    }

    /// The cutout, opened by what the trial fit asked for.
    fn opening(&self, job: &job::Ring, traced: Option<&Outline>) -> Result<Form> {
        let usual = match self.cutout_height {
            Some(_) => OutlineShape::Ellipse,
            None => OutlineShape::Circle,
        };
        let shape = job.cutout_outline.unwrap_or(usual);
        let corners = job.cutout_corners.unwrap_or(0);
        let (w, r) = (self.cutout, self.cutout_corner);
        let h = self.cutout_height.unwrap_or(w);
        form(shape, w, h, r, corners, traced).cut_back("cutout", -self.cutout_cut)
    }
}

/// The inserts that the driver's screws go into, where the job names them.
pub(super) fn insert(job: &job::Ring) -> Option<Insert> {
    let sizes = job.insert_diameter.zip(job.insert_length);
    sizes.map(|(outside, length)| Insert {
        outside_m: outside.si(),
        length_m: length.si(),
    })
}

/// The holes for the vehicle's screws: as asked, else the usual clearance. [m]
pub(super) fn vehicle_hole_m(job: &job::Ring) -> f64 {
    let usual = || clearance_hole_m(job.vehicle_screw.si());
    job.vehicle_hole.map_or_else(usual, Length::si)
}

/// Holes of both sets of screws, the driver's first.
fn screws(job: &job::Ring, m: &Measures, family: Family, drawn: Option<Centres>) -> Vec<Screws> {
    let quarter = std::f64::consts::FRAC_PI_4;
    let thread = thread_forming(family);
    let driver_screw = job.driver_screw.si();
    vec![
        Screws {
            name: "driver screw".into(),
            holds: Holds::Driver,
            centres: match m.driver_holes {
                DriverHoles::Rectangle(width_m, height_m) => {
                    Centres::Rectangle { width_m, height_m }
                }
                DriverHoles::Circle(diameter_m) => Centres::Circle {
                    diameter_m,
                    count: job.driver_bolts,
                    first_rad: quarter,
                },
            },
            hole_m: match job.driver_fixing {
                Some(DriverFixing::Nuts) => clearance_hole_m(driver_screw),
                Some(DriverFixing::Thread) | None => thread.hole * driver_screw,
            },
            depth_m: (practice::ENGAGED.value * driver_screw).min(m.depth),
            countersink_m: None,
            insert: insert(job),
        },
        Screws {
            name: "vehicle screw".into(),
            holds: Holds::Vehicle,
            centres: drawn.unwrap_or(Centres::Circle {
                diameter_m: m.vehicle_circle,
                count: job.vehicle_bolts,
                first_rad: quarter + job.vehicle_turn.map_or(0.0, Angle::si),
            }),
            hole_m: vehicle_hole_m(job),
            depth_m: 0.0,
            countersink_m: job.vehicle_countersink.map(Length::si),
            insert: None,
        },
    ]
}

/// What the shop can buy or has in the rack, each thickness once.
fn stocked(setup: &Setup, job: &job::Ring) -> Vec<Stocked> {
    let shop = &setup.shop.shop;
    let worth = shop.cutting.offcut_worth.si();
    let mut stocked: Vec<Stocked> = vec![];
    let named = job.sheet.as_ref();
    let meant =
        |s: &&SheetForSale| s.material == job.material && named.is_none_or(|name| called(s, name));
    for sheet in shop.sheets.iter().filter(meant) {
        let sold = Stuff::of(&job.material, sheet.thickness.si(), named);
        let rack = setup.measured(sold);
        let t = rack.map_or(sold.thickness_m, |own| own.sheet.thickness.value);
        if stocked.iter().any(|s| same_thickness(s.thickness_m, t)) {
            continue;
        }
        let offcut =
            |o: &OffcutInRack| o.material == job.material && same_thickness(o.thickness.si(), t);
        let on_shelf = named.is_none() && setup.offcuts().any(|(o, _)| offcut(o));
        let price = setup.price_per_m2(sold).unwrap_or(0.0);
        stocked.push(Stocked {
            name: sheet.name.clone(),
            thickness_m: t,
            price_per_m2: if on_shelf { price * worth } else { price },
        });
    }
    // Where the job names a sheet, that sheet says the thickness.
    let loose = setup.offcuts().map(|(o, _)| o).filter(|_| named.is_none());
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
    stocked
}

/// A ring and how its screws stand to each other.
pub(super) struct Made {
    pub(super) ring: Ring,
    /// Greatest distance along the ring from a driver screw to the nearest vehicle screw. [m]
    pub(super) driver_offset_m: f64,
    /// Greatest distance along the ring between neighbouring vehicle screws. [m]
    pub(super) vehicle_span_m: f64,
    /// The finished cutout, or its short side. [m]
    pub(super) opening_m: f64,
}

/// The ring, layer by layer, from what the shop can buy or has in the rack.
pub(super) fn shape(
    setup: &Setup,
    job: &job::Ring,
    m: &Measures,
    family: Family,
    finish_m: f64,
) -> Result<Made> {
    let traced = setup.job.traced.get(&job.name);
    let outer = m.outer(job, traced)?;
    let drawn = traced.map_or(Ok(None), |t| drawn_holes::screws(job, t, m.vehicle_circle))?;
    let screws = screws(job, m, family, drawn.map(Centres::Places));
    let (driver_offset_m, vehicle_span_m) = along(&screws, &outer.chain("outer")?, m)?;
    let opening = m.opening(job, setup.job.traced_cutouts.get(&job.name))?;
    let (left, bottom, right, top) = opening.chain("cutout")?.bounds_m();
    let ring = ring(&RingAsk {
        name: job.name.clone(),
        hand: job.hand,
        outer,
        cutout: Cutout {
            name: "driver".into(),
            form: opening,
            at: Point::new(0.0, 0.0),
            turn_rad: 0.0,
        },
        screws,
        depth_m: m.depth,
        over_m: practice::STACK_OVER.value,
        stocked: stocked(setup, job),
        joint_price: practice::GLUE_LINE.value / 3600.0 * setup.an_hour(),
        chamfer: job.chamfer.map(|depth| Chamfer {
            depth_m: depth.si(),
            angle_rad: std::f64::consts::FRAC_PI_4,
        }),
        bevel_m: job.bevel.map_or(0.0, Length::si),
        finish_m,
        faces: job.faces.unwrap_or(setup.faces(&job.material)),
        grain: job.grain.unwrap_or(Grain::Free),
    })?;
    Ok(Made {
        ring,
        driver_offset_m,
        vehicle_span_m,
        opening_m: (right - left).min(top - bottom),
    })
}

/// Angle from one direction to the next, counter-clockwise, 0 to a whole turn.
fn turn(from: f64, to: f64) -> f64 {
    (to - from).rem_euclid(std::f64::consts::TAU)
}

/// Along the vehicle's circle: the greatest distance from a driver screw to the nearest vehicle screw, and between
/// neighbouring vehicle screws, by where the holes really sit. [m]
fn along(screws: &[Screws], outer: &Chain, m: &Measures) -> Result<(f64, f64)> {
    let directions = |holds: Holds| -> Result<Vec<f64>> {
        let mut all = vec![];
        for set in screws.iter().filter(|s| s.holds == holds) {
            let centres = set.centres.points(&set.name, outer)?;
            all.extend(centres.iter().map(|p| p.y_m.atan2(p.x_m)));
        }
        all.sort_by(f64::total_cmp);
        Ok(all)
    };
    let (drivers, vehicles) = (directions(Holds::Driver)?, directions(Holds::Vehicle)?);
    let near = |at: f64| {
        let ways = vehicles.iter().map(|&v| turn(v, at).min(turn(at, v)));
        ways.fold(f64::INFINITY, f64::min)
    };
    let furthest = drivers.iter().map(|&d| near(d)).fold(0.0, f64::max);
    let after = vehicles.iter().cycle().skip(1);
    let gaps = vehicles.iter().zip(after).map(|(&a, &b)| match turn(a, b) {
        // One screw alone has itself as its neighbour, a whole turn away.
        0.0 => std::f64::consts::TAU,
        gap => gap,
    });
    let radius = m.vehicle_circle / 2.0;
    Ok((furthest * radius, gaps.fold(0.0, f64::max) * radius))
}
