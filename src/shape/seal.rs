//! What keeps a door ring tight on steel: gaskets on both faces, a collar to the trim, nuts, and what water needs.

use serde::{Deserialize, Serialize};

use super::blank::{Blank, Drill, Faces, Grain, Hand, Mark};
use super::hole::clearance_hole_m;
use crate::error::{Error, Note, Range, Result, check};
use crate::outline::{Chain, Circle, Outline, Point};
use crate::sourced::{Constant, Standing};

/// Share of its thickness by which a strip of closed-cell foam is pressed.
pub const PRESSED: Constant = Constant {
    name: "seal.pressed",
    value: 0.4,
    low: 0.3,
    high: 0.5,
    unit: "1",
    source: "common practice, no source",
    standing: Standing::CommonPractice,
};

/// How far a gasket stays back from the edge, so that it does not show and does not wick.
pub const BACK_M: Constant = Constant::practice("seal.back", [5e-4, 1e-3, 2e-3], "m");

/// What takes the ring's screws in the vehicle's steel.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SteelFixing {
    /// A nut riveted into a round hole.
    RivetNut,
    /// A nut clipped over the edge of the panel.
    ClipNut,
    /// A bolt through, with a washer and a locking nut behind.
    ThroughBolt,
}

const fn rivet_nut(name: &'static str, hole_m: f64) -> Constant {
    // Makers' holes for one thread differ by half a millimetre.
    Constant {
        name,
        value: hole_m,
        low: hole_m - 0.2e-3,
        high: hole_m + 0.5e-3,
        unit: "m",
        source: "rivet-nut makers' tables, usual steel nuts, from memory: the nut's own data sheet decides",
        standing: Standing::Remembered,
    }
}

/// Hole for a rivet nut of M3.
pub const RIVET_NUT_M3: Constant = rivet_nut("seal.rivet_nut_hole_m3", 5.0e-3);
/// Hole for a rivet nut of M4.
pub const RIVET_NUT_M4: Constant = rivet_nut("seal.rivet_nut_hole_m4", 6.0e-3);
/// Hole for a rivet nut of M5.
pub const RIVET_NUT_M5: Constant = rivet_nut("seal.rivet_nut_hole_m5", 7.0e-3);
/// Hole for a rivet nut of M6.
pub const RIVET_NUT_M6: Constant = rivet_nut("seal.rivet_nut_hole_m6", 9.0e-3);
/// Hole for a rivet nut of M8.
pub const RIVET_NUT_M8: Constant = rivet_nut("seal.rivet_nut_hole_m8", 11.0e-3);

/// Thread and hole of rivet nuts. [m]
const RIVET_NUTS: [(f64, &Constant); 5] = [
    (3e-3, &RIVET_NUT_M3),
    (4e-3, &RIVET_NUT_M4),
    (5e-3, &RIVET_NUT_M5),
    (6e-3, &RIVET_NUT_M6),
    (8e-3, &RIVET_NUT_M8),
];

impl SteelFixing {
    /// In words.
    pub fn name(self) -> &'static str {
        match self {
            Self::RivetNut => "rivet nuts",
            Self::ClipNut => "clip nuts",
            Self::ThroughBolt => "through bolts",
        }
    }

    /// Hole in the steel for a thread of `screw_m`; `None` where the vehicle's own hole and edge decide. [m]
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a thread that rivet nuts are not made for.
    ///
    /// ```
    /// use mountwright::shape::seal::SteelFixing;
    /// assert_eq!(SteelFixing::RivetNut.hole_m(0.005)?, Some(0.007));
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn hole_m(self, screw_m: f64) -> Result<Option<f64>> {
        check(
            "screw",
            screw_m,
            Range::new(2e-3, 0.012, "m"),
            "give the thread's diameter",
        )?;
        match self {
            Self::ClipNut => Ok(None),
            Self::ThroughBolt => Ok(Some(clearance_hole_m(screw_m))),
            Self::RivetNut => RIVET_NUTS
                .iter()
                .find(|(thread, _)| (thread - screw_m).abs() < 1e-4)
                .map(|row| Some(row.1.value))
                .ok_or(Error::OutOfRange {
                    what: "thread of a rivet nut".into(),
                    given: screw_m,
                    allowed: Range::new(3e-3, 8e-3, "m"),
                    remedy: "rivet nuts are made for 3, 4, 5, 6 and 8 mm: take one of these, or a clip nut".into(),
                }),
        }
    }

    /// What the bench must know.
    ///
    /// # Errors
    /// As for [`hole_m`](Self::hole_m).
    pub fn note(self, screw_m: f64) -> Result<Note> {
        let text = match self {
            Self::RivetNut => format!(
                "drill {:.1} mm for the rivet nut and check its data sheet; paint the bare edge, wait until it is dry, set the nut; look behind the steel for wiring, window and air bag parts first",
                self.hole_m(screw_m)?.unwrap_or(0.0) * 1e3
            ),
            Self::ClipNut => {
                "the clip nut needs the vehicle's own hole within its reach of an edge; its barrel lies behind the steel".into()
            }
            Self::ThroughBolt => format!(
                "drill {:.1} mm, paint the bare edge; washer and locking nut behind, reachable with the window up and down; seal the hole",
                self.hole_m(screw_m)?.unwrap_or(0.0) * 1e3
            ),
        };
        Ok(Note::new("fixing to steel", text))
    }
}

/// What is to be sealed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SealAsk {
    /// Diameter of the driver's flange, or its short side: it lies round the cutout by as much everywhere. [m]
    pub flange_m: f64,
    /// Thickness of the foam strip before it is pressed; 1 to 20 mm. [m]
    pub free_m: f64,
    /// Distance from the driver's face to the back of the trim, where a collar closes it. [m]
    pub trim_gap_m: Option<f64>,
    /// What takes the ring's screws, where it is screwed to steel.
    pub fixing: Option<SteelFixing>,
    /// Thread of the ring's screws. [m]
    pub screw_m: f64,
}

/// Gaskets and collar of a ring.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Seals {
    /// Between the driver's flange and the ring.
    pub driver: Blank,
    /// Between the ring and the vehicle.
    pub vehicle: Blank,
    /// The strip that is bent to a collar from the driver to the trim; its ends are glued together.
    pub collar: Option<Blank>,
    /// Thickness of a gasket once it is pressed. [m]
    pub pressed_m: f64,
    /// Length of one strip 10 mm wide that would serve both gaskets instead. [m]
    pub strip_m: f64,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// Makes the gaskets of a ring from the blanks of its layers, the driver's first.
///
/// # Errors
/// [`Error::OutOfRange`] for a size that cannot be, or a flange that does not cover the cutout.
pub fn seals(layers: &[Blank], ask: &SealAsk) -> Result<Seals> {
    let (Some(front), Some(back)) = (layers.first(), layers.last()) else {
        return Err(Error::Shape {
            what: "ring".into(),
            given: "no layers".into(),
            allowed: "a ring of at least one layer".into(),
        });
    };
    check(
        "free_m",
        ask.free_m,
        Range::new(1e-3, 0.02, "m"),
        "measure the foam strip",
    )?;
    let cutout = largest_hole(front)?;
    let (l, b, r, t) = cutout.bounds_m();
    let (short, long) = ((r - l).min(t - b), (r - l).max(t - b));
    let (outer_w, outer_h) = front.outline.size_m();
    // On the longer side it may not stand over the ring either.
    let most = outer_w
        .min(outer_h)
        .min(outer_w.max(outer_h) - (long - short));
    let least = short + 4.0 * BACK_M.value;
    check(
        "flange_m",
        ask.flange_m,
        Range::new(least, most.max(least), "m"),
        "the flange must cover the cutout and lie on the ring: measure it across, its short side where it is not round",
    )?;
    let cover = (ask.flange_m - short) / 2.0;
    let rim = cutout.offset(-(cover - BACK_M.value))?.reversed();
    let driver = foam(
        format!("{} driver gasket", ring_name(front)),
        Outline::new(rim.clone(), vec![cutout.offset(-BACK_M.value)?]),
        ask.free_m,
        front,
    );
    let opening = largest_hole(back)?;
    let vehicle = foam(
        format!("{} vehicle gasket", ring_name(front)),
        Outline::new(
            back.outline.outside.offset(-BACK_M.value)?,
            vec![opening.offset(-BACK_M.value)?],
        ),
        ask.free_m,
        back,
    );
    let collar = match ask.trim_gap_m {
        None => None,
        Some(gap_m) => {
            check(
                "trim_gap_m",
                gap_m,
                Range::new(1e-3, 0.1, "m"),
                "measure from the driver's face to the back of the trim",
            )?;
            // The middle of the strip lies half of its thickness inside the flange's edge.
            let length = cutout.offset(-(cover - ask.free_m / 2.0))?.length_m();
            let height = gap_m / (1.0 - PRESSED.value);
            Some(foam(
                format!("{} collar", ring_name(front)),
                Outline::new(
                    Chain::rounded_rectangle(Point::new(0.0, 0.0), length, height, 0.0),
                    vec![],
                ),
                ask.free_m,
                &Blank {
                    marks: vec![],
                    ..front.clone()
                },
            ))
        }
    };
    let mut notes = vec![
        Note::new(
            "gaskets",
            format!(
                "closed-cell foam on both faces, {:.1} mm pressed to {:.1} mm; one piece or a strip with its joint at the lower side, never at the top",
                ask.free_m * 1e3,
                ask.free_m * (1.0 - PRESSED.value) * 1e3
            ),
        ),
        Note::new(
            "water",
            "bevel or lip on the ring's upper edge; the membrane behind the trim goes back whole and is sealed again, and the drains at the door's lower edge stay open: a side-impact sensor may rely on the membrane",
        ),
    ];
    if let Some(fixing) = ask.fixing {
        notes.push(fixing.note(ask.screw_m)?);
    }
    Ok(Seals {
        strip_m: rim.length_m() + vehicle.outline.outside.length_m(),
        driver,
        vehicle,
        collar,
        pressed_m: ask.free_m * (1.0 - PRESSED.value),
        notes,
    })
}

fn ring_name(front: &Blank) -> &str {
    front.name.split(" layer ").next().unwrap_or(&front.name)
}

fn largest_hole(blank: &Blank) -> Result<&Chain> {
    blank
        .outline
        .holes
        .iter()
        .max_by(|a, b| a.area_m2().abs().total_cmp(&b.area_m2().abs()))
        .ok_or_else(|| Error::Shape {
            what: blank.name.clone(),
            given: "no cutout".into(),
            allowed: "a ring with its cutout".into(),
        })
}

/// A gasket with the screws of its layer punched through.
fn foam(name: String, mut outline: Outline, thickness_m: f64, layer: &Blank) -> Blank {
    let mut marks = vec![];
    for mark in &layer.marks {
        if let Mark::Hole {
            name,
            kind,
            centre,
            diameter_m,
            ..
        } = mark
        {
            let hole = Chain::circle(Circle {
                centre: *centre,
                radius_m: diameter_m / 2.0,
            });
            // A screw beyond the gasket needs no hole in it; one on its edge is left to the punch.
            if outline.holds(*centre) && outline.edge_distance_m(*centre) > diameter_m / 2.0 + 1e-4
            {
                outline.holes.push(hole.reversed());
                marks.push(Mark::Hole {
                    name: name.clone(),
                    kind: *kind,
                    centre: *centre,
                    diameter_m: *diameter_m,
                    drill: Drill::Now,
                });
            }
        }
    }
    Blank {
        name,
        cut_length_m: outline.edge_length_m(),
        outline,
        thickness_m,
        hand: Hand::Either,
        marks,
        bends: vec![],
        heated: vec![],
        faces: Faces::Alike,
        grain: Grain::Free,
        developed_length_m: None,
        thinning_fraction: 0.0,
        least_radius_m: None,
        trim_m: 0.0,
        notes: vec![],
    }
}
