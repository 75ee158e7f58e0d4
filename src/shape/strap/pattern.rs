//! The flat pattern of a strap: from lengths along the neutral axis to outline, bends, zones and marks.

use super::super::bend::{inner_length_m, outer_strain};
use super::super::blank::{
    Bend, Blank, Drill, Faces, Grain, Hand, HeatedZone, HoleKind, Mark, Toward,
};
use super::{LegPath, RoundBody, Side, StrapAsk};
use crate::error::{Range, Result, check};
use crate::outline::{Chain, Corner, Outline, Point};

/// A strap laid flat. Stations are signed lengths along the neutral axis from the centre mark, negative to the left.
pub(super) struct Pattern<'a> {
    ask: &'a StrapAsk,
    left: LegPath,
    right: LegPath,
    half_middle_m: f64,
    half_left_m: f64,
    half_right_m: f64,
    body: RoundBody,
}

impl<'a> Pattern<'a> {
    pub(super) fn new(
        ask: &'a StrapAsk,
        left: LegPath,
        right: LegPath,
        body: RoundBody,
    ) -> Result<Self> {
        for (side, leg) in [("left", &left), ("right", &right)] {
            check(
                "middle_length_m",
                ask.middle_length_m,
                Range::new(0.0, 2.0 * leg.foot_ends_m, "m"),
                format!("the taper must begin before the {side} foot ends"),
            )?;
        }
        let half = |width_m: f64| width_m / 2.0 - ask.finish_m;
        let pattern = Self {
            ask,
            left,
            right,
            half_middle_m: half(ask.middle_width_m),
            half_left_m: half(ask.left.end_width_m),
            half_right_m: half(ask.right.end_width_m),
            body,
        };
        if let Some(available) = ask.available_length_m {
            check(
                "available_length_m",
                available,
                Range::computed(pattern.blank_length_m(), f64::INFINITY, "m"),
                "the piece is too short to reach both screws: take a longer piece, less trim, or screws nearer to the body",
            )?;
        }
        Ok(pattern)
    }

    /// Place in the flat before heating of a station: what shrinks is added.
    fn x(&self, station_m: f64) -> f64 {
        station_m / (1.0 - self.ask.shrink_fraction)
    }

    /// Where the finished part ends: the finish thickens the end too.
    fn ends(&self) -> (f64, f64) {
        let finish = self.ask.finish_m;
        (-(self.left.end_m - finish), self.right.end_m - finish)
    }

    fn tips(&self) -> (f64, f64) {
        let (left, right) = self.ends();
        let trim = self.ask.trim_m;
        (
            self.x(left) - trim - self.left.oversize_m,
            self.x(right) + trim + self.right.oversize_m,
        )
    }

    pub(super) fn blank_length_m(&self) -> f64 {
        let (left, right) = self.tips();
        right - left
    }

    /// The strap's inside that touches foam or body: its length there times the strap's mean width, which is less than
    /// the middle's where the taper begins on the body.
    pub(super) fn liner_area_m2(&self) -> f64 {
        let flat = self.ask.middle_length_m / 2.0;
        let sides = [
            (-1.0, self.left.leaves_body_m),
            (1.0, self.right.leaves_body_m),
        ];
        sides
            .iter()
            .zip(self.body.inside_lengths)
            .map(|((sign, leaves), inside)| {
                let tapered = (leaves - flat).max(0.0) / leaves.max(1e-9);
                let (_, half_where_it_leaves) = self.half_at(sign * leaves);
                let lost = (self.half_middle_m - half_where_it_leaves).max(0.0) * tapered;
                inside * (2.0 * self.half_middle_m - lost)
            })
            .sum()
    }

    /// Where the strap's own middle lies at a station, and half of its finished width there.
    fn half_at(&self, station_m: f64) -> (f64, f64) {
        let (foot, half_end, aside) = if station_m < 0.0 {
            (
                self.left.foot_ends_m,
                self.half_left_m,
                self.ask.left.aside_m,
            )
        } else {
            (
                self.right.foot_ends_m,
                self.half_right_m,
                self.ask.right.aside_m,
            )
        };
        let flat = self.ask.middle_length_m / 2.0;
        let share = ((station_m.abs() - flat) / (foot - flat).max(1e-9)).clamp(0.0, 1.0);
        (
            share * aside,
            self.half_middle_m + (half_end - self.half_middle_m) * share,
        )
    }

    fn across(&self, station_m: f64) -> (Point, Point) {
        let (x, (y, h)) = (self.x(station_m), self.half_at(station_m));
        (Point::new(x, y - h), Point::new(x, y + h))
    }

    pub(super) fn outline(&self) -> Outline {
        let (tip_left, tip_right) = self.tips();
        let (l, r) = (
            self.half_left_m + self.left.oversize_m,
            self.half_right_m + self.right.oversize_m,
        );
        let (y_left, y_right) = (self.ask.left.aside_m, self.ask.right.aside_m);
        // The taper meets the tab in an inner corner, which is rounded: a sharp one starts a crack.
        let ease = (2.0 * self.ask.thickness_m)
            .min(self.half_left_m)
            .min(self.half_right_m);
        let mut corners = vec![Corner::new(tip_right, y_right + r, 0.0)];
        corners.extend(self.edge(1.0, ease, true));
        corners.push(Corner::new(tip_left, y_left + l, 0.0));
        corners.push(Corner::new(tip_left, y_left - l, 0.0));
        corners.extend(self.edge(-1.0, ease, true).into_iter().rev());
        corners.push(Corner::new(tip_right, y_right - r, 0.0));
        Outline::new(Chain::rounded_polygon(&corners), vec![])
    }

    /// Corners of the upper (1) or the lower (−1) edge from the right foot to the left, as cut or as they end up.
    fn edge(&self, side: f64, ease_m: f64, cut: bool) -> Vec<Corner> {
        let flat = self.ask.middle_length_m / 2.0;
        let at =
            |station: f64, y: f64, half: f64| Corner::new(self.x(station), y + side * half, ease_m);
        let over = |leg: &LegPath| if cut { leg.oversize_m } else { 0.0 };
        let mut corners = vec![
            at(
                self.right.foot_ends_m,
                self.ask.right.aside_m,
                self.half_right_m + over(&self.right),
            ),
            at(flat, 0.0, self.half_middle_m),
        ];
        if let Some(wire) = self.ask.wire
            && cut
            && wire.upper == (side > 0.0)
        {
            // The finish narrows the notch, and moves its floor as far as the edge.
            let half = wire.width_m / 2.0 + self.ask.finish_m;
            let floor = self.half_middle_m - wire.depth_m;
            let x = self.x(wire.along_m);
            corners.extend([
                Corner::new(x + half, side * self.half_middle_m, wire.lip_m),
                Corner::new(x + half, side * floor, half),
                Corner::new(x - half, side * floor, half),
                Corner::new(x - half, side * self.half_middle_m, wire.lip_m),
            ]);
        }
        corners.extend([
            at(-flat, 0.0, self.half_middle_m),
            at(
                -self.left.foot_ends_m,
                self.ask.left.aside_m,
                self.half_left_m + over(&self.left),
            ),
        ]);
        corners
    }

    /// The bends in the order in which they are made: round the body first, then the feet.
    pub(super) fn bends(&self) -> Vec<Bend> {
        let ask = self.ask;
        let (t, k) = (ask.thickness_m, ask.neutral_fraction);
        let bend =
            |name: &str, span: (f64, f64), radius: f64, angle: f64, toward, length: f64| Bend {
                name: name.into(),
                begins: self.across(span.0),
                ends: self.across(span.1),
                inside_radius_m: radius,
                angle_rad: angle,
                toward,
                allowance_m: length,
                outer_strain: outer_strain(radius, t, k),
            };
        let (l, r) = (&self.left, &self.right);
        let foot = ask.bend_radius_m;
        vec![
            bend(
                "round the body",
                (-l.leaves_body_m, r.leaves_body_m),
                self.body.least_radius_m,
                l.wrap_rad + r.wrap_rad,
                Toward::Back,
                l.leaves_body_m + r.leaves_body_m,
            ),
            bend(
                "left foot",
                (-l.foot_begins_m, -l.foot_ends_m),
                foot,
                l.foot_rad,
                Toward::Show,
                inner_length_m(l.foot_rad, foot, t, k),
            ),
            bend(
                "right foot",
                (r.foot_begins_m, r.foot_ends_m),
                foot,
                r.foot_rad,
                Toward::Show,
                inner_length_m(r.foot_rad, foot, t, k),
            ),
        ]
    }

    /// Everything between the tabs is made limp.
    pub(super) fn heated(&self) -> HeatedZone {
        let mut corners = self.edge(1.0, 0.0, false);
        corners.extend(self.edge(-1.0, 0.0, false).into_iter().rev());
        let chain = Chain::rounded_polygon(&corners);
        HeatedZone {
            name: "between the tabs".into(),
            length_m: self.x(self.left.foot_ends_m + self.right.foot_ends_m),
            width_m: 2.0
                * self
                    .half_middle_m
                    .max(self.half_left_m)
                    .max(self.half_right_m),
            area_m2: chain.area_m2(),
            chain,
        }
    }

    pub(super) fn marks(&self) -> Vec<Mark> {
        let (tip_left, tip_right) = self.tips();
        let (end_left, end_right) = self.ends();
        let trim = |station: f64| {
            let (from, to) = self.across(station);
            Mark::TrimLine { from, to }
        };
        let mut marks = vec![
            Mark::CentreLine {
                from: Point::new(0.0, -self.half_middle_m),
                to: Point::new(0.0, self.half_middle_m),
            },
            Mark::CentreLine {
                from: Point::new(tip_left, 0.0),
                to: Point::new(tip_right, 0.0),
            },
            trim(end_left),
            trim(end_right),
            self.screw(Side::Left),
            self.screw(Side::Right),
        ];
        // An oversize tab is cut back along its sides too, once it was marked on the vehicle.
        for (leg, sign, end) in [(&self.left, -1.0, end_left), (&self.right, 1.0, end_right)] {
            if leg.oversize_m > 0.0 {
                let (a, b) = (self.across(sign * leg.foot_ends_m), self.across(end));
                marks.push(Mark::TrimLine { from: a.0, to: b.0 });
                marks.push(Mark::TrimLine { from: a.1, to: b.1 });
            }
        }
        marks
    }

    fn screw(&self, side: Side) -> Mark {
        let station = match side {
            Side::Left => -self.left.screw_at_m,
            Side::Right => self.right.screw_at_m,
        };
        let holes = &self.ask.holes;
        Mark::Hole {
            name: "screw".into(),
            kind: if side == holes.slot {
                HoleKind::Slot {
                    length_m: holes.slot_m,
                    angle_rad: 0.0,
                }
            } else {
                HoleKind::Round
            },
            centre: Point::new(
                self.x(station),
                match side {
                    Side::Left => self.ask.left.aside_m,
                    Side::Right => self.ask.right.aside_m,
                },
            ),
            diameter_m: holes.diameter_m,
            drill: Drill::AfterTrialFit,
        }
    }

    /// The foam liner: as long as the wrap at the middle of its own thickness, as wide as the strap's middle.
    pub(super) fn foam(&self) -> Blank {
        let ask = self.ask;
        let [left, right] = self.body.foam_m;
        let length = left + right;
        let width = 2.0 * self.half_middle_m;
        let outline = Outline::new(
            Chain::rounded_rectangle(Point::new((right - left) / 2.0, 0.0), length, width, 0.0),
            vec![],
        );
        Blank {
            name: format!("{} foam", ask.name),
            thickness_m: ask.foam_m,
            hand: Hand::Either,
            marks: vec![Mark::CentreLine {
                from: Point::new(0.0, -width / 2.0),
                to: Point::new(0.0, width / 2.0),
            }],
            bends: vec![],
            heated: vec![],
            faces: Faces::Alike,
            grain: Grain::Free,
            developed_length_m: None,
            thinning_fraction: 0.0,
            least_radius_m: None,
            trim_m: 0.0,
            cut_length_m: outline.edge_length_m(),
            outline,
            notes: vec![],
        }
    }
}
