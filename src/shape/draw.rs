//! Pods drawn over a plug: blank, areal draw ratio, mean and thinnest wall.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use serde::{Deserialize, Serialize};

use super::blank::{Blank, Contour, Faces, Grain, Hand, HeatedZone, Mark};
use super::limits;
use crate::error::{Note, Range, Result, check};
use crate::outline::{Chain, Circle, Outline, Point};
use crate::sourced::{Constant, Standing};

/// Least share of the sheet that a wall may keep.
pub const LEAST_SHARE: Constant = Constant {
    name: "draw.least_share",
    value: 0.5,
    low: 0.4,
    high: 0.6,
    unit: "1",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// What a thinnest place that is only estimated must have in hand.
pub const ESTIMATED_RESERVE: Constant = Constant {
    name: "draw.estimated_reserve",
    value: 0.5,
    low: 0.3,
    high: 1.0,
    unit: "1",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// Thinnest wall that a pod may have.
pub const LEAST_WALL_M: Constant = Constant {
    name: "draw.least_wall",
    value: 1.5e-3,
    low: 1.0e-3,
    high: 2.0e-3,
    unit: "m",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// What is drawn. Sizes are inside the rim, where the sheet is free.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Solid {
    /// A round cup with an upright wall.
    Cylinder {
        /// Diameter. [m]
        diameter_m: f64,
        /// Depth. [m]
        depth_m: f64,
    },
    /// A cone without its tip.
    Frustum {
        /// Diameter at the rim. [m]
        rim_m: f64,
        /// Diameter of the crown, smaller than the rim. [m]
        crown_m: f64,
        /// Depth. [m]
        depth_m: f64,
    },
    /// A spherical cap.
    Dome {
        /// Diameter at the rim. [m]
        rim_m: f64,
        /// Height, at most half of the rim. [m]
        height_m: f64,
    },
    /// A box.
    Box {
        /// Length. [m]
        length_m: f64,
        /// Width. [m]
        width_m: f64,
        /// Depth. [m]
        depth_m: f64,
        /// Radius of its upright corners. The crown's edge is taken as sharp: rounded, it has less area to stretch to. [m]
        corner_m: f64,
    },
}

/// How the sheet is held.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Held {
    /// Clamped round the rim: the wall stretches.
    Clamped,
    /// Free to slide in (draped by hand): the sheet keeps its thickness and its area is that of the solid.
    Free,
}

/// What a pod is asked to be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DrawAsk {
    /// Name of the blank.
    pub name: String,
    /// The side of the vehicle that it is for.
    pub hand: Hand,
    /// Sheet thickness; 0.3 mm to 25 mm. [m]
    pub thickness_m: f64,
    /// What is drawn.
    pub solid: Solid,
    /// How the sheet is held.
    pub held: Held,
    /// Width of the clamped or trimmed edge outside the rim. [m]
    pub edge_m: f64,
    /// Greatest depth over width of the material.
    pub depth_ratio_max: f64,
    /// The faces of the sheet.
    pub faces: Faces,
    /// The direction in the sheet.
    pub grain: Grain,
}

/// A part of the drawn wall.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Wall {
    /// `wall` or `crown`.
    pub name: &'static str,
    /// Area. [m²]
    pub area_m2: f64,
    /// Mean thickness. [m]
    pub thickness_m: f64,
}

/// A drawn pod.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drawn {
    /// The blank.
    pub blank: Blank,
    /// Area of the solid over the area of its rim.
    pub draw_ratio: f64,
    /// Depth over the smaller width.
    pub depth_ratio: f64,
    /// The walls; their volume is that of the sheet inside the rim.
    pub walls: Vec<Wall>,
    /// Mean thickness over all. [m]
    pub mean_m: f64,
    /// Thinnest place: where wall and crown meet, at the pole of a dome; of a box estimated only. [m]
    pub thinnest_m: f64,
    /// Whether that is an estimate without a published law: a clamped box.
    pub estimated: bool,
    /// Whether the thinnest place keeps half of the sheet and 1.5 mm (common practice, no source).
    pub thick_enough: bool,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// Area of the solid over the area of its rim.
///
/// Cap `1 + (h/a)²`; cup `1 + 4 H/D`; frustum `(π (R + r) √((R − r)² + h²) + π r²)/(π R²)`; box `1 + H P/A` with the way `P` round
/// its rim and the area `A` inside it, its upright corners rounded (textbook geometry).
///
/// ```
/// use mountwright::shape::draw::{Solid, draw_ratio};
/// let hemisphere = Solid::Dome { rim_m: 0.1, height_m: 0.05 };
/// assert!((draw_ratio(&hemisphere) - 2.0).abs() < 1e-12);
/// ```
pub fn draw_ratio(solid: &Solid) -> f64 {
    match *solid {
        Solid::Cylinder {
            diameter_m,
            depth_m,
        } => 1.0 + 4.0 * depth_m / diameter_m,
        Solid::Frustum {
            rim_m,
            crown_m,
            depth_m,
        } => {
            let (big, small) = (rim_m / 2.0, crown_m / 2.0);
            ((big + small) * (big - small).hypot(depth_m) + small * small) / (big * big)
        }
        Solid::Dome { rim_m, height_m } => 1.0 + (2.0 * height_m / rim_m).powi(2),
        Solid::Box { depth_m, .. } => {
            let rim = rim(solid, 0.0);
            1.0 + depth_m * rim.length_m() / rim.area_m2()
        }
    }
}

/// Thickness of a sheet drawn into a cone, `z` deep: `h1 ((H − z)/H)^(sec α − 1)` with `h1 = h0 (1 + cos α)/2` and `H = R tan α`.
///
/// The sheet ahead of the wall is a cap tangent to the cone that stretches without friction and freezes where it
/// touches (thermoforming theory, University of California, Berkeley; its differential equation, integrated). Up an
/// upright wall, `sec α` without bound, the same law is `h0/2 exp(−z/R)`. A crown stops the cap sooner; see [`cup_edge_m`].
///
/// ```
/// use mountwright::shape::draw::cone_wall_m;
/// let upright = cone_wall_m(0.003, 0.03, std::f64::consts::FRAC_PI_2, 0.015);
/// assert!((upright - 0.0015 * (-0.5_f64).exp()).abs() < 1e-12);
/// ```
pub fn cone_wall_m(thickness_m: f64, rim_radius_m: f64, slope_rad: f64, depth_m: f64) -> f64 {
    let (sin, cos) = slope_rad.sin_cos();
    let rim = thickness_m * (1.0 + cos) / 2.0;
    // By its logarithm: of an upright wall the power has no bound and its base is 1.
    let gone = (depth_m * cos / (rim_radius_m * sin)).min(1.0);
    rim * ((1.0 / cos - 1.0) * (-gone).ln_1p()).exp()
}

/// Thickness at the crown's edge of an upright cup whose edge is rounded by `edge_m`.
///
/// The cone's assumptions ([`cone_wall_m`]: the free sheet stretches evenly, without friction, and freezes where it touches)
/// with the crown in the way; derived. The free sheet is a cap until it touches the crown or is a hemisphere; then an
/// arc from the rim that leans on the crown, or a hemisphere that goes down the wall; then a quarter round between wall and
/// crown that shrinks to the edge, `t ∝ ρ^(4/π − 1)` where it is small.
///
/// ```
/// use mountwright::shape::draw::cup_edge_m;
/// // A long way down the cone's law comes first: half of the sheet, times exp(−z/R).
/// let (deep, shallow) = (cup_edge_m(0.003, 0.03, 0.06, 0.03), cup_edge_m(0.003, 0.03, 0.006, 0.003));
/// assert!((deep - 0.0015 * (-1.0_f64).exp()).abs() < 1e-9 && shallow > 0.0018);
/// ```
pub fn cup_edge_m(thickness_m: f64, radius_m: f64, depth_m: f64, edge_m: f64) -> f64 {
    Touching::cup(thickness_m, radius_m, depth_m, edge_m).free_m
}

/// Draws a pod.
///
/// # Errors
/// [`crate::Error::OutOfRange`] for a size that cannot be, or a depth beyond the material's limit.
///
/// ```
/// use mountwright::shape::{Faces, Grain, Hand};
/// use mountwright::shape::draw::{DrawAsk, Held, Solid, drawn};
/// let made = drawn(&DrawAsk {
///     name: "pod".into(), hand: Hand::Left, thickness_m: 0.002,
///     solid: Solid::Frustum { rim_m: 0.06, crown_m: 0.04, depth_m: 0.015 },
///     held: Held::Clamped, edge_m: 0.02, depth_ratio_max: 1.0, faces: Faces::Alike, grain: Grain::Free,
/// })?;
/// assert!((made.draw_ratio - 1.446).abs() < 5e-4);
/// assert!((made.mean_m - 1.383e-3).abs() < 5e-7 && (made.thinnest_m - 1.123e-3).abs() < 5e-7);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn drawn(ask: &DrawAsk) -> Result<Drawn> {
    checked(ask)?;
    let t = ask.thickness_m;
    let ratio = draw_ratio(&ask.solid);
    let rim_area = rim(&ask.solid, 0.0).area_m2();
    let mut notes = vec![];
    let (walls, thinnest) = match ask.held {
        Held::Free => (
            vec![Wall {
                name: "wall",
                area_m2: ratio * rim_area,
                thickness_m: t,
            }],
            t,
        ),
        Held::Clamped => clamped(ask, ratio, rim_area, &mut notes),
    };
    let estimated = ask.held == Held::Clamped && matches!(ask.solid, Solid::Box { .. });
    let mean_m = match ask.held {
        Held::Free => t,
        Held::Clamped => t / ratio,
    };
    let in_hand = if estimated {
        1.0 + ESTIMATED_RESERVE.value
    } else {
        1.0
    };
    let thick_enough = thinnest >= in_hand * LEAST_WALL_M.value.max(LEAST_SHARE.value * t);
    notes.push(Note::new(
        "draw",
        format!(
            "areal draw ratio {ratio:.2}; the wall keeps {:.2} mm of {:.2} mm on average, {}{:.2} mm at its thinnest",
            mean_m * 1e3,
            t * 1e3,
            if estimated { "about " } else { "" },
            thinnest * 1e3
        ),
    ));
    if !thick_enough {
        notes.push(Note::new(
            "thinnest place",
            format!(
                "{:.2} mm of {:.2} mm: take thicker sheet, a shallower and more tapered form, or drape it free",
                thinnest * 1e3,
                t * 1e3
            ),
        ));
    }
    if ask.held == Held::Free {
        notes.push(Note::new(
            "draped",
            "a sheet that slides in folds at its edge: expect to relieve wrinkles, or clamp it",
        ));
    }
    let blank = blank(ask, ratio, 1.0 - thinnest / t);
    Ok(Drawn {
        blank,
        draw_ratio: ratio,
        depth_ratio: depth_ratio(&ask.solid),
        walls,
        mean_m,
        thinnest_m: thinnest,
        estimated,
        thick_enough,
        notes,
    })
}

fn clamped(ask: &DrawAsk, ratio: f64, rim_area: f64, notes: &mut Vec<Note>) -> (Vec<Wall>, f64) {
    let t = ask.thickness_m;
    let mean = || {
        vec![Wall {
            name: "wall and crown",
            area_m2: ratio * rim_area,
            thickness_m: t / ratio,
        }]
    };
    match ask.solid {
        Solid::Cylinder {
            diameter_m,
            depth_m,
        } => {
            let made = Touching::cup(t, diameter_m / 2.0, depth_m, t);
            let wall_area = PI * diameter_m * depth_m;
            let crown_area = PI * diameter_m * diameter_m / 4.0;
            let walls = vec![
                Wall {
                    name: "wall",
                    area_m2: wall_area,
                    thickness_m: (t * crown_area - made.crown_m3) / wall_area,
                },
                Wall {
                    name: "crown",
                    area_m2: crown_area,
                    thickness_m: made.crown_m3 / crown_area,
                },
            ];
            // Of a tray hardly deeper than its sheet the sharp solid is larger than the rounded one that the sheet fills.
            let least = walls.iter().fold(made.free_m, |m, w| m.min(w.thickness_m));
            (walls, least)
        }
        Solid::Frustum {
            rim_m,
            crown_m,
            depth_m,
        } => cone(t, [rim_m, crown_m], depth_m),
        // At the pole of a bulge both in-plane strains are ln(1 + (h/a)²) (Hill 1950, from memory).
        Solid::Dome { .. } => (mean(), t / (ratio * ratio)),
        Solid::Box {
            length_m,
            width_m,
            depth_m,
            ..
        } => {
            notes.push(Note::new(
                "thinnest place of a box",
                "no published law: estimated as that of a cup as wide as the box's smaller side; its corners may be thinner still, so measure the first piece there",
            ));
            let across = length_m.min(width_m);
            (
                mean(),
                cup_edge_m(t, across / 2.0, depth_m, t).min(t / ratio),
            )
        }
    }
}

/// A sheet on its way into an upright cup: what is still free, and what froze on the crown.
struct Touching {
    /// Thickness of the free sheet. [m]
    free_m: f64,
    /// Volume on the crown, with half of what is left for its edge. [m³]
    crown_m3: f64,
}

impl Touching {
    /// Steps of each stage; the midpoint rule is then off by less than 1e-5 of the thickness.
    const STEPS: u32 = 256;

    /// Lets a sheet touch the wall and the crown of a cup until a round of `edge_m` is left between them.
    fn cup(t: f64, a: f64, depth: f64, edge: f64) -> Self {
        let round = depth.min(a);
        // The cap that first touches: the crown, or as a hemisphere the wall.
        let mut volume = t * PI * a * a;
        let mut free_area = PI * (a * a + round * round);
        // Down the wall: the area of the hemisphere stays.
        volume *= (-(depth - round) / a).exp();
        let mut crown = 0.0;
        let mut touch = |on_crown: f64, on_wall: f64, middle_area: f64, area: f64| {
            let lost = volume * (1.0 - (-(on_crown + on_wall) / middle_area).exp());
            volume -= lost;
            crown += lost * on_crown / (on_crown + on_wall);
            free_area = area;
        };
        let steps = f64::from(Self::STEPS);
        // Outward on the crown, the rest an arc from there to the rim, until that stands upright at the rim.
        let arc = |c: f64| {
            let radius = ((a - c) * (a - c) + round * round) / (2.0 * round);
            let turn = (a - c).atan2(radius - round);
            TAU * radius * (c * turn + round)
        };
        let reach = a - round;
        if reach > 0.0 {
            for i in 0..Self::STEPS {
                let at = |part: f64| reach * (f64::from(i) + part) / steps;
                let ring = PI * (at(1.0) * at(1.0) - at(0.0) * at(0.0));
                touch(ring, 0.0, arc(at(0.5)), arc(at(1.0)));
            }
        }
        // A quarter round between wall and crown, by equal ratios of its radius.
        let quarter = |rho: f64| TAU * rho * ((a - rho) * FRAC_PI_2 + rho);
        if edge < round {
            for i in 0..Self::STEPS {
                let at = |part: f64| round * (edge / round).powf((f64::from(i) + part) / steps);
                let (from, to) = (at(0.0), at(1.0));
                let ring = PI * ((a - to) * (a - to) - (a - from) * (a - from));
                touch(ring, TAU * a * (from - to), quarter(at(0.5)), quarter(to));
            }
        }
        Self {
            free_m: volume / free_area,
            crown_m3: crown + volume / 2.0,
        }
    }
}

/// Wall and crown of a cone between two diameters, and its thinnest place.
fn cone(t: f64, [rim_m, crown_m]: [f64; 2], depth_m: f64) -> (Vec<Wall>, f64) {
    let (big, small) = (rim_m / 2.0, crown_m / 2.0);
    let slope = depth_m.atan2(big - small);
    let edge = cone_wall_m(t, big, slope, depth_m);
    // The cap that is left when the wall ends goes into the crown.
    let crown_volume = edge * 2.0 * PI * small * small / (1.0 + slope.cos());
    let crown_area = PI * small * small;
    let wall_area = PI * (big + small) * (big - small).hypot(depth_m);
    let walls = vec![
        Wall {
            name: "wall",
            area_m2: wall_area,
            thickness_m: (t * PI * big * big - crown_volume) / wall_area,
        },
        Wall {
            name: "crown",
            area_m2: crown_area,
            thickness_m: crown_volume / crown_area,
        },
    ];
    (walls, edge)
}

fn depth_ratio(solid: &Solid) -> f64 {
    match *solid {
        Solid::Cylinder {
            diameter_m,
            depth_m,
        } => depth_m / diameter_m,
        Solid::Frustum { rim_m, depth_m, .. } => depth_m / rim_m,
        Solid::Dome { rim_m, height_m } => height_m / rim_m,
        Solid::Box {
            length_m,
            width_m,
            depth_m,
            ..
        } => depth_m / length_m.min(width_m),
    }
}

/// The rim grown by an edge.
fn rim(solid: &Solid, edge_m: f64) -> Chain {
    let origin = Point::new(0.0, 0.0);
    let round = |diameter: f64| {
        Chain::circle(Circle {
            centre: origin,
            radius_m: diameter / 2.0 + edge_m,
        })
    };
    match *solid {
        Solid::Cylinder { diameter_m, .. } => round(diameter_m),
        Solid::Frustum { rim_m, .. } | Solid::Dome { rim_m, .. } => round(rim_m),
        Solid::Box {
            length_m,
            width_m,
            corner_m,
            ..
        } => Chain::rounded_rectangle(
            origin,
            length_m + 2.0 * edge_m,
            width_m + 2.0 * edge_m,
            corner_m + edge_m,
        ),
    }
}

fn blank(ask: &DrawAsk, ratio: f64, thinning_fraction: f64) -> Blank {
    // A sheet that slides in keeps its area: for a cup this is the handbooks' D = √(d² + 4 d h).
    let pulled = match ask.held {
        Held::Clamped => 0.0,
        Held::Free => {
            // Grown by p all round, a rim with the way P round it gains P p + π p².
            let rim = rim(&ask.solid, 0.0);
            let (round, gain) = (rim.length_m(), (ratio - 1.0) * rim.area_m2());
            2.0 * gain / (round + (round * round + 4.0 * PI * gain).sqrt())
        }
    };
    let free = rim(&ask.solid, pulled.max(0.0));
    let outline = Outline::new(rim(&ask.solid, pulled + ask.edge_m), vec![]);
    let (length_m, width_m) = Outline::new(free.clone(), vec![]).size_m();
    let marks = vec![
        Mark::Contour {
            what: Contour::Rim,
            chain: free.clone(),
            depth_m: ask.thickness_m,
        },
        Mark::CentreLine {
            from: Point::new(-length_m / 2.0, 0.0),
            to: Point::new(length_m / 2.0, 0.0),
        },
        Mark::CentreLine {
            from: Point::new(0.0, -width_m / 2.0),
            to: Point::new(0.0, width_m / 2.0),
        },
    ];
    Blank {
        name: ask.name.clone(),
        cut_length_m: outline.edge_length_m(),
        outline,
        thickness_m: ask.thickness_m,
        hand: ask.hand,
        marks,
        bends: vec![],
        heated: vec![HeatedZone {
            name: "inside the rim".into(),
            length_m,
            width_m,
            area_m2: free.area_m2(),
            chain: free,
        }],
        faces: ask.faces,
        grain: ask.grain,
        developed_length_m: None,
        thinning_fraction,
        least_radius_m: match ask.solid {
            Solid::Box { corner_m, .. } => Some(corner_m),
            _ => None,
        },
        trim_m: ask.edge_m,
        notes: vec![],
    }
}

fn checked(ask: &DrawAsk) -> Result<()> {
    limits::formed_thickness(ask.thickness_m)?;
    check(
        "edge_m",
        ask.edge_m,
        Range::new(0.0, 0.3, "m"),
        "give the clamp's width",
    )?;
    let size = Range::new(5e-3, 2.0, "m");
    let deep = Range::new(1e-4, 1.0, "m");
    match ask.solid {
        Solid::Cylinder {
            diameter_m,
            depth_m,
        } => {
            check("diameter_m", diameter_m, size, "measure the plug")?;
            check("depth_m", depth_m, deep, "measure the plug")?;
        }
        Solid::Frustum {
            rim_m,
            crown_m,
            depth_m,
        } => {
            check("rim_m", rim_m, size, "measure the plug")?;
            check(
                "crown_m",
                crown_m,
                Range::new(0.05 * rim_m, 0.98 * rim_m, "m"),
                "the crown is smaller than the rim; an upright wall is a cylinder",
            )?;
            check("depth_m", depth_m, deep, "measure the plug")?;
        }
        Solid::Dome { rim_m, height_m } => {
            check("rim_m", rim_m, size, "measure the plug")?;
            check(
                "height_m",
                height_m,
                Range::new(1e-4, rim_m / 2.0, "m"),
                "a dome is at most a hemisphere",
            )?;
        }
        Solid::Box {
            length_m,
            width_m,
            depth_m,
            corner_m,
        } => {
            check("length_m", length_m, size, "measure the plug")?;
            check("width_m", width_m, size, "measure the plug")?;
            check("depth_m", depth_m, deep, "measure the plug")?;
            check(
                "corner_m",
                corner_m,
                Range::new(
                    ask.thickness_m * (1.0 - 1e-9),
                    length_m.min(width_m) / 2.0,
                    "m",
                ),
                "an inside radius is at least the sheet's thickness",
            )?;
        }
    }
    check(
        "depth_ratio_max",
        ask.depth_ratio_max,
        Range::new(0.0, 10.0, "1"),
        "take it from the material",
    )?;
    check(
        "depth over width",
        depth_ratio(&ask.solid),
        Range::computed(0.0, ask.depth_ratio_max, "1"),
        "the material tears or whitens in a deeper draw: make it shallower or wider, or take another material",
    )?;
    Ok(())
}
