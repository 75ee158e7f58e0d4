//! Outlines from a few numbers: what a ring, a cutout or a panel may be.

use serde::{Deserialize, Serialize};

use crate::error::{Error, Range, Result, check};
use crate::outline::{Chain, Circle, Corner, Outline, Point};

/// How far the arcs of an ellipse may lie from it: far below what a router holds. [m]
const ELLIPSE_TOLERANCE_M: f64 = 1e-5;
const SIZE: Range = Range::new(1e-3, 5.0, "m");

/// A closed form about its own centre, or where it was traced.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Form {
    /// A circle.
    Circle {
        /// Diameter. [m]
        diameter_m: f64,
    },
    /// An ellipse, as tangent arcs within 0.01 mm.
    Ellipse {
        /// Width along x. [m]
        width_m: f64,
        /// Height along y. [m]
        height_m: f64,
    },
    /// A straight slot with round ends.
    Stadium {
        /// Width along x. [m]
        width_m: f64,
        /// Height along y. [m]
        height_m: f64,
    },
    /// A rectangle with rounded corners.
    RoundedRectangle {
        /// Width along x. [m]
        width_m: f64,
        /// Height along y. [m]
        height_m: f64,
        /// Radius of the corners, at most half of the smaller side. [m]
        corner_m: f64,
    },
    /// A polygon through corners in order, rounded.
    Polygon {
        /// Corners.
        points: Vec<Point>,
        /// Radius of the corners, smaller where an edge is too short; 0 leaves them sharp. [m]
        corner_m: f64,
    },
    /// A traced contour, taken as it is.
    Traced(Chain),
}

impl Form {
    /// The form with `cut_m` taken off all round (added where it is negative); `what` names the feature in errors.
    ///
    /// Circles, stadiums and rectangles stay what they are; the rest becomes its own parallel curve. A sharp corner stays sharp.
    ///
    /// # Errors
    /// As [`chain`](Self::chain), and where nothing is left.
    ///
    /// ```
    /// use mountwright::shape::Form;
    /// let trimmed = Form::Circle { diameter_m: 0.18 }.cut_back("outer", 0.002)?;
    /// assert_eq!(trimmed, Form::Circle { diameter_m: 0.176 });
    /// # Ok::<(), mountwright::Error>(())
    /// ```
    pub fn cut_back(&self, what: &str, cut_m: f64) -> Result<Self> {
        check(
            format!("{what}: cut after the trial fit"),
            cut_m,
            Range::new(-0.1, 0.1, "m"),
            "give what the trial fit showed",
        )?;
        let both = 2.0 * cut_m;
        Ok(match *self {
            _ if cut_m == 0.0 => self.clone(),
            Self::Circle { diameter_m } => Self::Circle {
                diameter_m: diameter_m - both,
            },
            Self::Stadium { width_m, height_m } => Self::Stadium {
                width_m: width_m - both,
                height_m: height_m - both,
            },
            Self::RoundedRectangle {
                width_m,
                height_m,
                corner_m,
            } => Self::RoundedRectangle {
                width_m: width_m - both,
                height_m: height_m - both,
                corner_m: if corner_m > 0.0 {
                    (corner_m - cut_m).max(0.0)
                } else {
                    0.0
                },
            },
            Self::Ellipse { .. } | Self::Polygon { .. } | Self::Traced(_) => {
                Self::Traced(self.chain(what)?.offset(-cut_m)?)
            }
        })
    }

    /// The chain of the form, counter-clockwise. `what` names the feature in errors.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a size outside 1 mm to 5 m, [`Error::Shape`] for a polygon of fewer than three corners or one that crosses itself.
    pub fn chain(&self, what: &str) -> Result<Chain> {
        let size =
            |name: &str, value: f64| check(format!("{what}.{name}"), value, SIZE, "give its size");
        let origin = Point::new(0.0, 0.0);
        let chain = match *self {
            Self::Circle { diameter_m } => Chain::circle(Circle {
                centre: origin,
                radius_m: size("diameter_m", diameter_m)? / 2.0,
            }),
            Self::Ellipse { width_m, height_m } => {
                let (w, h) = (size("width_m", width_m)?, size("height_m", height_m)?);
                check(
                    format!("{what}.width_m / height_m"),
                    w / h,
                    Range::new(0.05, 20.0, "1"),
                    "take a stadium for a long slot",
                )?;
                Chain::ellipse(origin, w, h, ELLIPSE_TOLERANCE_M)
            }
            Self::Stadium { width_m, height_m } => {
                let (w, h) = (size("width_m", width_m)?, size("height_m", height_m)?);
                Chain::rounded_rectangle(origin, w, h, w.min(h) / 2.0)
            }
            Self::RoundedRectangle {
                width_m,
                height_m,
                corner_m,
            } => {
                let (w, h) = (size("width_m", width_m)?, size("height_m", height_m)?);
                check(
                    format!("{what}.corner_m"),
                    corner_m,
                    Range::new(0.0, w.min(h) / 2.0, "m"),
                    "a corner is at most half of the smaller side",
                )?;
                Chain::rounded_rectangle(origin, w, h, corner_m)
            }
            Self::Polygon {
                ref points,
                corner_m,
            } => {
                if points.len() < 3 {
                    return Err(Error::Shape {
                        what: what.into(),
                        given: format!("a polygon of {} corners", points.len()),
                        allowed: "at least three corners in order".into(),
                    });
                }
                check(
                    format!("{what}.corner_m"),
                    corner_m,
                    Range::new(0.0, SIZE.high, "m"),
                    "0 leaves the corners sharp",
                )?;
                for (i, p) in points.iter().enumerate() {
                    let place = Range::new(-SIZE.high, SIZE.high, "m");
                    let fix = "give the corner's place";
                    check(format!("{what}.points[{i}].x_m"), p.x_m, place, fix)?;
                    check(format!("{what}.points[{i}].y_m"), p.y_m, place, fix)?;
                }
                let corners: Vec<Corner> = points
                    .iter()
                    .map(|p| Corner::new(p.x_m, p.y_m, corner_m))
                    .collect();
                let chain = Chain::rounded_polygon(&corners);
                Outline::new(chain, vec![]).checked(what)?.outside
            }
            Self::Traced(ref chain) => chain.clone(),
        };
        Ok(if chain.area_m2() < 0.0 {
            chain.reversed()
        } else {
            chain
        })
    }
}

/// Where hole centres lie, about the part's origin.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Centres {
    /// Evenly on a circle.
    Circle {
        /// Diameter of the circle through the centres. [m]
        diameter_m: f64,
        /// How many, 1 to 64.
        count: u32,
        /// Angle of the first, counter-clockwise from the x axis. [rad]
        first_rad: f64,
    },
    /// At the corners of a rectangle, as on oval drivers.
    Rectangle {
        /// Distance along x. [m]
        width_m: f64,
        /// Distance along y. [m]
        height_m: f64,
    },
    /// Evenly along the edge, from its start (the lower left of a rectangle) counter-clockwise.
    AlongEdge {
        /// Distance from the edge. [m]
        inset_m: f64,
        /// How many, 1 to 64.
        count: u32,
    },
    /// One by one: x and y. [m]
    Places(Vec<(f64, f64)>),
}

impl Centres {
    /// The centres, in order, on a part with the outside `outer`.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for sizes and counts that cannot be; [`Error::Shape`] where an edge leaves no room for holes.
    pub fn points(&self, what: &str, outer: &Chain) -> Result<Vec<Point>> {
        let counted = |count: u32| {
            check(
                format!("{what}.count"),
                f64::from(count),
                Range::new(1.0, 64.0, "1"),
                "count the holes",
            )
        };
        let size = |name: &str, value: f64| {
            check(
                format!("{what}.{name}"),
                value,
                SIZE,
                "measure between hole centres",
            )
        };
        Ok(match *self {
            Self::Circle {
                diameter_m,
                count,
                first_rad,
            } => {
                let r = size("diameter_m", diameter_m)? / 2.0;
                counted(count)?;
                check(
                    format!("{what}.first_rad"),
                    first_rad,
                    Range::new(-10.0, 10.0, "rad"),
                    "give the angle of the first hole",
                )?;
                let step = std::f64::consts::TAU / f64::from(count);
                (0..count)
                    .map(|i| Point::new(0.0, 0.0).polar(first_rad + step * f64::from(i), r))
                    .collect()
            }
            Self::Rectangle { width_m, height_m } => {
                let (a, b) = (
                    size("width_m", width_m)? / 2.0,
                    size("height_m", height_m)? / 2.0,
                );
                vec![
                    Point::new(a, b),
                    Point::new(-a, b),
                    Point::new(-a, -b),
                    Point::new(a, -b),
                ]
            }
            Self::AlongEdge { inset_m, count } => {
                counted(count)?;
                outer.offset(-size("inset_m", inset_m)?)?.evenly(count)
            }
            Self::Places(ref places) => places.iter().map(|&(x, y)| Point::new(x, y)).collect(),
        })
    }
}
