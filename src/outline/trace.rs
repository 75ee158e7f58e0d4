//! From loose lines and arcs of a drawing to parts with holes; what does not close is reported with its place.

use std::collections::BTreeMap;

use serde::Serialize;

use super::fit::FIT_M;
use super::{Chain, Outline, Point, Segment};
use crate::error::{Error, Note, Problem, Range, Result, check};

/// Ends nearer than this are one point. [m]
const JOIN_M: f64 = 1e-5;
/// More lines and arcs than this is not a drawing of parts.
pub(super) const MOST_SEGMENTS: usize = 100_000;
/// Coordinates and centres of flat arcs beyond this come from wrong units. [m]
const FARTHEST: Range = Range::new(-1e6, 1e6, "m");
/// No part is larger. [m]
const LARGEST_M: f64 = 20.0;
/// More ends than this in one point are no contour.
const MOST_IN_A_POINT: usize = 64;
/// More contours than this is not a drawing of parts.
const MOST_CONTOURS: usize = 2_000;

/// What was read from a drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Traced {
    /// The parts: outsides with their holes, largest first.
    pub parts: Vec<Outline>,
    /// What was left out or bridged.
    pub notes: Vec<Note>,
}

/// A loose line or arc.
#[derive(Debug, Clone, Copy)]
pub(super) struct Loose {
    pub(super) start: Point,
    pub(super) segment: Segment,
}

/// Collects the lines and arcs of a drawing, in metres.
#[derive(Debug, Default)]
pub(super) struct Sketch {
    loose: Vec<Loose>,
    closed: Vec<Chain>,
    count: usize,
    pub(super) ignored: BTreeMap<String, usize>,
}

impl Sketch {
    fn counted(&mut self, more: usize) -> Result<()> {
        self.count += more;
        check(
            "lines and arcs of the drawing",
            self.count as f64,
            Range::new(0.0, MOST_SEGMENTS as f64, "1"),
            "keep only the contours of the parts in the file",
        )
        .map(|_| ())
    }

    /// A run of segments, open or closed.
    pub(super) fn run(&mut self, start: Point, segments: Vec<Segment>) -> Result<()> {
        self.counted(segments.len())?;
        let mut from = start;
        for segment in &segments {
            let mut places = vec![from, segment.end()];
            if let Segment::Arc {
                centre, sweep_rad, ..
            } = *segment
            {
                places.push(centre);
                places.push(Point::new(sweep_rad, 0.0));
            }
            for value in places.iter().flat_map(|p| [p.x_m, p.y_m]) {
                check(
                    "a coordinate of the drawing",
                    value,
                    FARTHEST,
                    "set the units of the file to what the drawing was made in, and move it to the origin",
                )?;
            }
            from = segment.end();
        }
        let end = segments.last().map_or(start, Segment::end);
        if segments.len() > 1 && end.distance_m(start) <= 1e-9 {
            self.closed.push(Chain { start, segments });
            return Ok(());
        }
        let mut from = start;
        for segment in segments {
            self.loose.push(Loose {
                start: from,
                segment,
            });
            from = segment.end();
        }
        Ok(())
    }

    pub(super) fn ignore(&mut self, kind: &str) {
        // A hostile file may hold any number of names.
        if self.ignored.len() < 50 || self.ignored.contains_key(kind) {
            *self
                .ignored
                .entry(kind.chars().take(40).collect())
                .or_insert(0) += 1;
        }
    }

    /// Joins, nests and checks.
    pub(super) fn traced(self, name: &str) -> Result<Traced> {
        let mut problems = vec![];
        let mut bridged = 0;
        let mut chains = self.closed;
        chains.extend(joined(&self.loose, &mut bridged, &mut problems));
        check(
            "contours of the drawing",
            chains.len() as f64,
            Range::new(0.0, MOST_CONTOURS as f64, "1"),
            "keep only the contours of the parts in the file",
        )?;
        for chain in &chains {
            let (left, bottom, right, top) = chain.bounds_m();
            check(
                "size of a contour",
                (right - left).max(top - bottom),
                Range::new(0.0, LARGEST_M, "m"),
                "the units of the file are wrong: set them to what the drawing was made in",
            )?;
        }
        for (i, chain) in chains.iter().enumerate() {
            let alone = Outline {
                outside: chain.clone(),
                holes: vec![],
            };
            for fault in alone.faults() {
                problems.push(problem(i, &fault.to_string()));
            }
        }
        if chains.is_empty() && problems.is_empty() {
            problems.push(Problem {
                line: None,
                field: String::new(),
                message: "there is no closed contour in the drawing".into(),
            });
        }
        if problems.is_empty() {
            let parts = nested(chains);
            for (i, part) in parts.iter().enumerate() {
                for fault in part.faults() {
                    problems.push(problem(i, &fault.to_string()));
                }
            }
            problems.extend(overlapping(&parts));
            if problems.is_empty() {
                let mut notes: Vec<Note> = self
                    .ignored
                    .iter()
                    .map(|(kind, n)| Note::new("left out", format!("{n} of {kind}: not a contour")))
                    .collect();
                if bridged > 0 {
                    notes.push(Note::new(
                        "gaps",
                        format!("{bridged} gaps below {:.2} mm were bridged", JOIN_M * 1e3),
                    ));
                }
                return Ok(Traced { parts, notes });
            }
        }
        problems.truncate(50);
        Err(Error::Job {
            path: name.chars().take(200).collect(),
            problems,
        })
    }
}

fn problem(index: usize, text: &str) -> Problem {
    Problem {
        line: None,
        field: format!("contour {}", index + 1),
        message: text.replacen("the outside ", "", 1),
    }
}

type Cell = (i64, i64);

fn cell(p: Point) -> Cell {
    // Places were checked to lie within some metres.
    #[allow(clippy::cast_possible_truncation)]
    let index = |v: f64| (v / JOIN_M).floor() as i64;
    (index(p.x_m), index(p.y_m))
}

/// Chains from loose pieces by walking from end to end.
fn joined(loose: &[Loose], bridged: &mut usize, problems: &mut Vec<Problem>) -> Vec<Chain> {
    let mut ends: BTreeMap<Cell, Vec<usize>> = BTreeMap::new();
    for (i, piece) in loose.iter().enumerate() {
        for p in [piece.start, piece.segment.end()] {
            ends.entry(cell(p)).or_default().push(i);
        }
    }
    if let Some(problem) = crowded(loose, &ends) {
        problems.push(problem);
        return vec![];
    }
    duplicates(loose, &ends, problems);
    let mut used = vec![false; loose.len()];
    let near = |p: Point, used: &[bool]| -> Option<(usize, bool)> {
        let (cx, cy) = cell(p);
        let mut best: Option<(f64, usize, bool)> = None;
        for dx in -1..=1 {
            for dy in -1..=1 {
                for &i in ends.get(&(cx + dx, cy + dy)).into_iter().flatten() {
                    let (Some(piece), Some(false)) = (loose.get(i), used.get(i)) else {
                        continue;
                    };
                    for (q, forwards) in [(piece.start, true), (piece.segment.end(), false)] {
                        let gap = q.distance_m(p);
                        if gap <= JOIN_M && best.is_none_or(|(b, j, _)| (gap, i) < (b, j)) {
                            best = Some((gap, i, forwards));
                        }
                    }
                }
            }
        }
        best.map(|(_, i, forwards)| (i, forwards))
    };
    let mut chains = vec![];
    for first in 0..loose.len() {
        if used.get(first) != Some(&false) {
            continue;
        }
        let Some(piece) = loose.get(first) else {
            continue;
        };
        if let Some(flag) = used.get_mut(first) {
            *flag = true;
        }
        let mut chain = Chain {
            start: piece.start,
            segments: vec![piece.segment],
        };
        let mut at = piece.segment.end();
        let closed = loop {
            if at.distance_m(chain.start) <= JOIN_M {
                break true;
            }
            let Some((i, forwards)) = near(at, &used) else {
                break false;
            };
            if let Some(flag) = used.get_mut(i) {
                *flag = true;
            }
            let Some(next) = loose.get(i) else {
                break false;
            };
            let (from, segment) = if forwards {
                (next.start, next.segment)
            } else {
                turned(next)
            };
            *bridged += bridge(&mut chain.segments, at, from);
            chain.segments.push(segment);
            at = segment.end();
        };
        if closed {
            let start = chain.start;
            *bridged += bridge(&mut chain.segments, at, start);
            chains.push(chain);
        } else if problems.len() < 50 {
            let mm = |v: f64| v * 1e3;
            problems.push(Problem {
                line: None,
                field: format!("contour {}", chains.len() + 1),
                message: format!(
                    "is open: from x {:.2} mm, y {:.2} mm to x {:.2} mm, y {:.2} mm; close it in the drawing",
                    mm(chain.start.x_m),
                    mm(chain.start.y_m),
                    mm(at.x_m),
                    mm(at.y_m)
                ),
            });
        }
    }
    chains
}

/// A point in which far more than two ends meet.
fn crowded(loose: &[Loose], ends: &BTreeMap<Cell, Vec<usize>>) -> Option<Problem> {
    let crowd = ends.values().find(|list| list.len() > MOST_IN_A_POINT)?;
    let at = crowd.first().and_then(|&i| loose.get(i))?.start;
    Some(Problem {
        line: None,
        field: String::new(),
        message: format!(
            "{} lines and arcs meet near x {:.2} mm, y {:.2} mm; a contour has two",
            crowd.len(),
            at.x_m * 1e3,
            at.y_m * 1e3
        ),
    })
}

/// Closes a gap that counts as none; 1 where a short line was needed for it.
fn bridge(segments: &mut Vec<Segment>, at: Point, to: Point) -> usize {
    if at.distance_m(to) <= 1e-9 {
        return 0;
    }
    segments.push(Segment::Line { end: to });
    1
}

fn turned(piece: &Loose) -> (Point, Segment) {
    let segment = match piece.segment {
        Segment::Line { .. } => Segment::Line { end: piece.start },
        Segment::Arc {
            centre, sweep_rad, ..
        } => Segment::Arc {
            end: piece.start,
            centre,
            sweep_rad: -sweep_rad,
        },
    };
    (piece.segment.end(), segment)
}

/// Parts that cross one another.
fn overlapping(parts: &[Outline]) -> Vec<Problem> {
    let bounds: Vec<_> = parts.iter().map(Outline::bounds_m).collect();
    let mut problems = vec![];
    for (i, (one, a)) in parts.iter().zip(&bounds).enumerate() {
        for (two, b) in parts.iter().zip(&bounds).skip(i + 1) {
            let apart = a.2 < b.0 || b.2 < a.0 || a.3 < b.1 || b.3 < a.1;
            if !apart && problems.len() < 50 && one.outside.clearance_m(&two.outside) <= 0.0 {
                let at = two.outside.start;
                problems.push(problem(
                    i,
                    &format!(
                        "crosses another contour that starts at x {:.2} mm, y {:.2} mm",
                        at.x_m * 1e3,
                        at.y_m * 1e3
                    ),
                ));
            }
        }
    }
    problems
}

/// The same line or arc twice.
fn duplicates(loose: &[Loose], ends: &BTreeMap<Cell, Vec<usize>>, problems: &mut Vec<Problem>) {
    let middle = |l: &Loose| super::Piece::new(l.start, &l.segment).at(0.5);
    for (i, one) in loose.iter().enumerate() {
        if problems.len() >= 50 {
            return;
        }
        let (cx, cy) = cell(one.start);
        let twin = (-1..=1)
            .flat_map(|dx| (-1..=1).map(move |dy| (cx + dx, cy + dy)))
            .filter_map(|c| ends.get(&c))
            .flatten()
            .filter(|&&j| j > i)
            .filter_map(|&j| loose.get(j))
            .any(|two| {
                let same = |a: Point, b: Point| a.distance_m(b) <= JOIN_M;
                let (a, b) = (one.segment.end(), two.segment.end());
                let ends_meet = same(one.start, two.start) && same(a, b)
                    || same(one.start, b) && same(a, two.start);
                ends_meet && same(middle(one), middle(two))
            });
        if twin {
            problems.push(Problem {
                line: None,
                field: String::new(),
                message: format!(
                    "a line or arc is there twice at x {:.2} mm, y {:.2} mm; delete one",
                    one.start.x_m * 1e3,
                    one.start.y_m * 1e3
                ),
            });
        }
    }
}

/// Contours at an even depth are outsides; those inside them at the next depth are their holes.
fn nested(mut chains: Vec<Chain>) -> Vec<Outline> {
    chains.sort_by(|a, b| b.area_m2().abs().total_cmp(&a.area_m2().abs()));
    let bounds: Vec<_> = chains.iter().map(Chain::bounds_m).collect();
    let mut parents: Vec<Option<usize>> = vec![];
    let mut depths: Vec<usize> = vec![];
    for (i, chain) in chains.iter().enumerate() {
        // The smallest larger contour that holds it; a copy of itself does not.
        let parent = (0..i).rev().find(|&j| {
            let (Some(a), Some(b), Some(outer)) = (bounds.get(i), bounds.get(j), chains.get(j))
            else {
                return false;
            };
            let boxed = b.0 <= a.0 + FIT_M
                && b.1 <= a.1 + FIT_M
                && b.2 >= a.2 - FIT_M
                && b.3 >= a.3 - FIT_M;
            boxed && outer.holds(chain.start)
        });
        depths.push(parent.and_then(|j| depths.get(j)).map_or(0, |d| d + 1));
        parents.push(parent);
    }
    let mut parts: BTreeMap<usize, (Chain, Vec<Chain>)> = BTreeMap::new();
    for (i, chain) in chains.into_iter().enumerate() {
        let depth = depths.get(i).copied().unwrap_or(0);
        if depth % 2 == 0 {
            parts.insert(i, (chain, vec![]));
        } else if let Some(part) = parents
            .get(i)
            .copied()
            .flatten()
            .and_then(|p| parts.get_mut(&p))
        {
            part.1.push(chain);
        }
    }
    parts
        .into_values()
        .map(|(outside, holes)| Outline::new(outside, holes))
        .collect()
}
