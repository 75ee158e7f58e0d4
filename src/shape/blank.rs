//! The flat blank: what is cut, with its marks, bends and heated zones, seen from the show face.

use serde::{Deserialize, Serialize};

use crate::error::Note;
use crate::outline::{Chain, Outline, Point};

/// Which side of the vehicle a part belongs to.
#[derive(
    Debug,
    Clone,
    Copy,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Hand {
    /// The left side, seen from the driver's seat looking forward.
    Left,
    /// The right side.
    Right,
    /// The same part serves on both sides.
    Either,
}

/// The two faces of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Faces {
    /// Both faces are the same; a blank may be cut mirrored and turned over.
    Alike,
    /// One face is textured, coloured or filmed and must show; a blank is never flipped.
    OneSided,
}

/// The direction in the sheet that a blank must follow.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Grain {
    /// No direction matters.
    Free,
    /// The blank's x axis lies along the grain (rolling or extrusion direction, pattern) of the sheet.
    AlongX,
    /// The blank's y axis lies along the grain.
    AlongY,
}

/// Which turns a layout may use; a placement's turn is about the blank's origin.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Turns {
    /// As drawn only: grain or a pattern with a direction.
    None,
    /// Half turns: grain without a direction.
    Half,
    /// Quarter turns.
    Quarter,
    /// Any angle. Rectangles are still laid square to the sheet.
    Any,
}

/// Where a hole is round or a slot.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum HoleKind {
    /// A round hole.
    Round,
    /// A slot: the diameter is its width.
    Slot {
        /// Length from end to end. [m]
        length_m: f64,
        /// Direction of its length against the x axis. [rad]
        angle_rad: f64,
    },
}

/// When a hole is drilled.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Drill {
    /// In the flat.
    Now,
    /// Not in the flat: marked through the vehicle's hole at the trial fit, then drilled.
    AfterTrialFit,
}

/// What a marked contour is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Contour {
    /// A chamfer that is cut from the back up to this line.
    Chamfer,
    /// A recess that is cut into the back up to this line.
    Recess,
    /// A countersink up to this line.
    Countersink,
    /// A bevel of the outer edge's upper side from this line outwards, that sheds water.
    Bevel,
    /// The area that takes adhesive.
    Glue,
    /// The rim of a drawn part, outside which the sheet is clamped.
    Rim,
    /// Where a drawn part is cut off outside its rim after forming.
    Flange,
}

/// Something drawn on the blank that is not its edge.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "mark")]
pub enum Mark {
    /// A centre line.
    CentreLine {
        /// One end.
        from: Point,
        /// The other end.
        to: Point,
    },
    /// A hole. Those drilled now are holes of the outline too.
    Hole {
        /// What it is for: `vehicle screw`.
        name: String,
        /// Round or a slot.
        kind: HoleKind,
        /// Centre.
        centre: Point,
        /// Diameter, or width of the slot. [m]
        diameter_m: f64,
        /// When it is drilled.
        drill: Drill,
    },
    /// Where the part ends after trimming.
    TrimLine {
        /// One end.
        from: Point,
        /// The other end.
        to: Point,
    },
    /// A contour that is not cut through.
    Contour {
        /// What it is.
        what: Contour,
        /// The line.
        chain: Chain,
        /// Depth from the face. [m]
        depth_m: f64,
    },
    /// Words.
    Text {
        /// The middle of the text.
        at: Point,
        /// The words.
        text: String,
    },
}

impl Mark {
    fn mirrored(&self) -> Self {
        let flip = |p: Point| Point::new(-p.x_m, p.y_m);
        match self.clone() {
            Self::CentreLine { from, to } => Self::CentreLine {
                from: flip(from),
                to: flip(to),
            },
            Self::TrimLine { from, to } => Self::TrimLine {
                from: flip(from),
                to: flip(to),
            },
            Self::Hole {
                name,
                kind,
                centre,
                diameter_m,
                drill,
            } => Self::Hole {
                name,
                kind: match kind {
                    HoleKind::Round => HoleKind::Round,
                    HoleKind::Slot {
                        length_m,
                        angle_rad,
                    } => HoleKind::Slot {
                        length_m,
                        angle_rad: -angle_rad,
                    },
                },
                centre: flip(centre),
                diameter_m,
                drill,
            },
            Self::Contour {
                what,
                chain,
                depth_m,
            } => Self::Contour {
                what,
                chain: chain.mirrored(),
                depth_m,
            },
            Self::Text { at, text } => Self::Text { at: flip(at), text },
        }
    }
}

/// Which way a bend goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Toward {
    /// The flaps rise towards the one who looks at the show face.
    Show,
    /// The flaps go back, away from the show face.
    Back,
}

/// A bend across the blank, between two lines.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Bend {
    /// What it is: `left foot`.
    pub name: String,
    /// The line where it begins, end to end.
    pub begins: (Point, Point),
    /// The line where it ends, end to end.
    pub ends: (Point, Point),
    /// Inside radius. [m]
    pub inside_radius_m: f64,
    /// Angle that the sheet turns through. [rad]
    pub angle_rad: f64,
    /// Which way.
    pub toward: Toward,
    /// Length of the bend along the neutral axis. [m]
    pub allowance_m: f64,
    /// Strain of the outer fibre, `(1 − K) t / (R + K t)`.
    pub outer_strain: f64,
}

/// A part of the blank that is heated.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HeatedZone {
    /// What it is: `strap between the tabs`.
    pub name: String,
    /// Its edge.
    pub chain: Chain,
    /// Length along x. [m]
    pub length_m: f64,
    /// Greatest width along y. [m]
    pub width_m: f64,
    /// Area of one face. [m²]
    pub area_m2: f64,
}

/// One flat piece to be cut, seen from the show face.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Blank {
    /// Name, unique in the job: `left pod strap`.
    pub name: String,
    /// Its edges and the holes that are cut in the flat.
    pub outline: Outline,
    /// Sheet thickness. [m]
    pub thickness_m: f64,
    /// The side of the vehicle that it is for.
    pub hand: Hand,
    /// What is marked on it.
    pub marks: Vec<Mark>,
    /// Its bends, in the order in which they are made.
    pub bends: Vec<Bend>,
    /// Where it is heated; empty for a part that stays flat.
    pub heated: Vec<HeatedZone>,
    /// The faces of its sheet.
    pub faces: Faces,
    /// The direction that it must follow in the sheet.
    pub grain: Grain,
    /// Length of the finished part along the neutral axis; `None` where it stays flat. [m]
    pub developed_length_m: Option<f64>,
    /// Greatest thinning: of the outer fibre in a bend, of the wall in a draw; 0 where it stays flat.
    pub thinning_fraction: f64,
    /// Tightest inside radius; `None` where it stays flat. [m]
    pub least_radius_m: Option<f64>,
    /// Extra length at each end that is cut off after the trial fit. [m]
    pub trim_m: f64,
    /// Length of the saw or router's way round the outside and the cutouts, without drilled holes. [m]
    pub cut_length_m: f64,
    /// What is to be known.
    pub notes: Vec<Note>,
}

impl Blank {
    /// Turns that a layout may use.
    pub fn turns(&self) -> Turns {
        match self.grain {
            Grain::Free => Turns::Any,
            Grain::AlongX | Grain::AlongY => Turns::Half,
        }
    }

    /// Whether a layout may cut it mirrored, to be turned over afterwards.
    pub fn may_flip(&self) -> bool {
        self.faces == Faces::Alike
    }

    /// Its edges and cutouts without the holes that are drilled: the way of a router.
    #[must_use]
    pub fn routed(&self) -> Outline {
        Outline {
            outside: self.outline.outside.clone(),
            holes: self
                .outline
                .holes
                .iter()
                .filter(|hole| !self.drills(hole))
                .cloned()
                .collect(),
        }
    }

    /// Whether a hole of the outline is one that is drilled.
    pub(super) fn drills(&self, hole: &Chain) -> bool {
        let (left, bottom, right, top) = hole.bounds_m();
        let middle = Point::new(f64::midpoint(left, right), f64::midpoint(bottom, top));
        self.marks.iter().any(|mark| match *mark {
            Mark::Hole {
                kind,
                centre,
                diameter_m,
                drill: Drill::Now,
                ..
            } => {
                let length_m = match kind {
                    HoleKind::Round => diameter_m,
                    HoleKind::Slot { length_m, .. } => length_m,
                };
                let edge = std::f64::consts::PI * diameter_m + 2.0 * (length_m - diameter_m);
                centre.distance_m(middle) < 1e-6 && (hole.length_m() - edge).abs() < 1e-6
            }
            _ => false,
        })
    }

    /// Area of sheet that it takes. [m²]
    pub fn area_m2(&self) -> f64 {
        self.outline.area_m2()
    }

    /// Area of one face that is heated. [m²]
    pub fn heated_area_m2(&self) -> f64 {
        self.heated.iter().map(|z| z.area_m2).sum()
    }

    /// Holes that wait for the trial fit.
    pub fn holes_after_trial_fit(&self) -> usize {
        self.holes(Drill::AfterTrialFit)
    }

    /// The same blank mirrored in its y axis: as its back shows it, or the geometry of the other side's part.
    #[must_use]
    pub fn mirrored(&self) -> Self {
        let flip = |p: Point| Point::new(-p.x_m, p.y_m);
        let both = |(a, b): (Point, Point)| (flip(a), flip(b));
        Self {
            outline: self.outline.mirrored(),
            marks: self.marks.iter().map(Mark::mirrored).collect(),
            bends: self
                .bends
                .iter()
                .map(|bend| Bend {
                    begins: both(bend.begins),
                    ends: both(bend.ends),
                    ..bend.clone()
                })
                .collect(),
            heated: self
                .heated
                .iter()
                .map(|zone| HeatedZone {
                    chain: zone.chain.mirrored(),
                    ..zone.clone()
                })
                .collect(),
            ..self.clone()
        }
    }

    /// The slot that is furthest from the fixed screw, its round hole: how far along the slot it is, and its length; `None`
    /// for a blank without both. [m]
    ///
    /// The fixed screw is the first round hole whose name begins with `screw`.
    ///
    /// ```
    /// use mountwright::outline::Point;
    /// use mountwright::shape::panel::{Hole, PanelAsk, panel};
    /// use mountwright::shape::{Faces, Form, Grain, Hand, HoleKind};
    /// let slot = HoleKind::Slot { length_m: 0.006, angle_rad: 0.0 };
    /// let made = panel(&PanelAsk {
    ///     name: "trim".into(), hand: Hand::Left, thickness_m: 0.003,
    ///     outer: Form::RoundedRectangle { width_m: 0.2, height_m: 0.1, corner_m: 0.01 },
    ///     cutouts: vec![],
    ///     holes: vec![
    ///         Hole::round("screw, fixed", Point::new(-0.08, 0.0), 0.0045),
    ///         Hole { kind: slot, ..Hole::round("screw, slotted", Point::new(0.08, 0.03), 0.0045) },
    ///     ],
    ///     finish_m: 0.0, faces: Faces::Alike, grain: Grain::Free,
    /// })?;
    /// let (far_m, length_m) = made.blank.furthest_slot_m().unwrap();
    /// assert!((far_m - 0.16).abs() < 1e-12 && length_m == 0.006);
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn furthest_slot_m(&self) -> Option<(f64, f64)> {
        let fixed = self.marks.iter().find_map(|mark| match mark {
            Mark::Hole {
                name,
                kind: HoleKind::Round,
                centre,
                ..
            } if name.starts_with("screw") => Some(*centre),
            _ => None,
        })?;
        let slots = self.marks.iter().filter_map(|mark| match *mark {
            Mark::Hole {
                kind:
                    HoleKind::Slot {
                        length_m,
                        angle_rad,
                    },
                centre,
                ..
            } => {
                let (x, y) = (centre.x_m - fixed.x_m, centre.y_m - fixed.y_m);
                let along = (x * angle_rad.cos() + y * angle_rad.sin()).abs();
                Some((along, length_m))
            }
            _ => None,
        });
        slots.max_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// From the blank's origin to the centre of the furthest hole; 0 without holes. [m]
    pub fn furthest_hole_m(&self) -> f64 {
        let centres = self.marks.iter().filter_map(|mark| match mark {
            Mark::Hole { centre, .. } => Some(centre.x_m.hypot(centre.y_m)),
            _ => None,
        });
        centres.fold(0.0, f64::max)
    }

    fn holes(&self, when: Drill) -> usize {
        self.marks
            .iter()
            .filter(|m| matches!(m, Mark::Hole { drill, .. } if *drill == when))
            .count()
    }
}
