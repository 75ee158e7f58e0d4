//! DXF in: lines, arcs, circles, polylines with bulges, ellipses and splines of an ASCII file, in the units that it states.

use std::collections::HashSet;
use std::f64::consts::TAU;

use super::fit::{Place, arcs};
use super::spline::Spline;
use super::trace::{Sketch, Traced};
use super::{Point, Segment};
use crate::error::{Error, Note, Range, Result, check, plain};

/// Largest file. [bytes]
const MOST_BYTES: usize = 64 << 20;
/// Most entities looked at.
const MOST_ENTITIES: usize = 100_000;
/// A part is at least as large as this, and no larger than that. [m]
const SIZE: Range = Range::new(1e-3, 20.0, "m");

const MILLIMETRE_M: f64 = 1e-3;
const INCH_M: f64 = 0.0254;

/// Length of one drawing unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// What the file says.
    Stated,
    /// Millimetres where the file says nothing.
    ElseMillimetre,
    /// Inches where the file says nothing.
    ElseInch,
}

/// Reads the parts of a DXF drawing. `name` stands in errors.
///
/// Blocks must be exploded before; texts, dimensions and points are left out and counted.
///
/// # Errors
/// [`Error::Job`] with every open, crossing or doubled contour and its place; [`Error::Shape`] for a file that is not
/// ASCII DXF, has no units, or holds blocks or too many entities; [`Error::OutOfRange`] for parts of impossible size (wrong units).
///
/// ```
/// use mountwright::outline::{Chain, Circle, Outline, Point, Unit, read_dxf};
/// let circle = |radius_m| Chain::circle(Circle { centre: Point::new(0.1, 0.1), radius_m });
/// let ring = Outline::new(circle(0.09), vec![circle(0.07)]);
/// let read = read_dxf("ring.dxf", &ring.dxf(), Unit::Stated)?;
/// assert_eq!(read.parts.len(), 1);
/// assert!((read.parts[0].area_m2() - ring.area_m2()).abs() < 1e-9);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn read_dxf(name: &str, text: &str, unit: Unit) -> Result<Traced> {
    check(
        "size of the DXF file",
        text.len() as f64,
        Range::new(1.0, MOST_BYTES as f64, "byte"),
        "keep only the contours of the parts in the file",
    )?;
    let mut reader = Reader {
        lines: text.lines(),
        line: 0,
    };
    let mut sketch = Sketch::default();
    let mut section = String::new();
    let mut units: Option<i64> = None;
    let mut variable = String::new();
    let mut entity: Option<Entity> = None;
    let mut polyline: Option<Entity> = None;
    let mut scale = None;
    let mut count = 0;
    let own = is_own(text);
    let mut unseen = Unseen::default();
    while let Some((code, value)) = reader.next()? {
        if section == "TABLES" {
            unseen.table(code, value);
        }
        if code == 0 {
            if let Some(done) = entity.take() {
                if unseen.hides(&done) {
                    sketch.ignore("entities on layers that are off or frozen");
                } else if own && !done.cuts() {
                    sketch.ignore("entities on layers that are not cut");
                } else {
                    take(done, &mut polyline, &mut sketch, scale.unwrap_or(1e-3))?;
                }
            }
            match value {
                "EOF" => break,
                "ENDSEC" => section.clear(),
                "SECTION" => {}
                kind if section == "ENTITIES" => {
                    count += 1;
                    check(
                        "entities of the DXF file",
                        f64::from(count),
                        Range::new(0.0, MOST_ENTITIES as f64, "1"),
                        "keep only the contours of the parts in the file",
                    )?;
                    if scale.is_none() {
                        scale = Some(metres(units, unit)?);
                    }
                    entity = Some(Entity {
                        kind: kind.into(),
                        pairs: vec![],
                    });
                }
                _ => {}
            }
        } else if let Some(entity) = &mut entity {
            entity.pairs.push((code, value));
        } else if code == 2 && section.is_empty() {
            section = value.into();
        } else if section == "HEADER" && code == 9 {
            variable = value.into();
        } else if section == "HEADER" && code == 70 && variable == "$INSUNITS" {
            units = value.parse().ok();
        }
    }
    if count == 0 {
        return Err(not_dxf("no entities"));
    }
    if let Some(run) = polyline.take() {
        old_polyline(&run, &mut sketch, scale.unwrap_or(1e-3))?;
    }
    let mut traced = sketch.traced(name)?;
    sized(&traced)?;
    let asked = match unit {
        Unit::Stated => None,
        Unit::ElseMillimetre => Some(("millimetres", MILLIMETRE_M)),
        Unit::ElseInch => Some(("inches", INCH_M)),
    };
    if let (Some((asked, asked_m)), Some(scale_m)) = (asked, scale)
        && (scale_m / asked_m - 1.0).abs() > 1e-9
    {
        traced.notes.push(Note::new(
            "units",
            format!(
                "the file says that its unit is {} mm, which holds: {asked} would be taken only where a file says nothing",
                plain(scale_m * 1e3)
            ),
        ));
    }
    Ok(traced)
}

/// Parts of impossible size come from wrong units.
pub(super) fn sized(traced: &Traced) -> Result<()> {
    for part in &traced.parts {
        let (w, h) = part.size_m();
        check(
            "size of a traced part",
            w.max(h),
            SIZE,
            "the units of the file are wrong: set them to what the drawing was made in",
        )?;
    }
    Ok(())
}

fn not_dxf(why: &str) -> Error {
    Error::Shape {
        what: "DXF file".into(),
        given: why.into(),
        allowed: "an ASCII DXF drawing with lines, arcs, circles, polylines, ellipses or splines"
            .into(),
    }
}

/// Metres in one drawing unit, by the codes of `$INSUNITS` (DXF reference).
fn metres(units: Option<i64>, unit: Unit) -> Result<f64> {
    let known = match units.unwrap_or(0) {
        0 => None,
        1 => Some(INCH_M),
        2 => Some(12.0 * INCH_M),
        4 => Some(MILLIMETRE_M),
        5 => Some(1e-2),
        6 => Some(1.0),
        8 => Some(0.0254e-6),
        9 => Some(0.0254e-3),
        13 => Some(1e-6),
        14 => Some(0.1),
        other => {
            return Err(Error::Shape {
                what: "units of the DXF file".into(),
                given: format!("$INSUNITS {other}"),
                allowed: "inches (1), feet (2), millimetres (4), centimetres (5) or metres (6)"
                    .into(),
            });
        }
    };
    known
        .or(match unit {
            Unit::Stated => None,
            Unit::ElseMillimetre => Some(MILLIMETRE_M),
            Unit::ElseInch => Some(INCH_M),
        })
        .ok_or_else(|| Error::Shape {
            what: "units of the DXF file".into(),
            given: "not stated ($INSUNITS is missing or 0)".into(),
            allowed: "say millimetres or inches when reading it, or save it with units".into(),
        })
}

/// Layers that are off or frozen: what lies on them is not seen, so it is no edge.
#[derive(Debug, Default)]
struct Unseen<'a> {
    /// Name and whether it is hidden, as far as its table entry was read.
    entry: Option<(&'a str, bool)>,
    layers: HashSet<String>,
}

impl<'a> Unseen<'a> {
    /// One pair of the file's tables.
    fn table(&mut self, code: i32, value: &'a str) {
        match (code, &mut self.entry) {
            (0, entry) => {
                if let Some((name, true)) = entry.take() {
                    self.layers.insert(name.to_uppercase());
                }
                *entry = (value == "LAYER").then_some(("", false));
            }
            (2, Some(entry)) => entry.0 = value,
            // A negative colour is a layer that is off, the first flag one that is frozen.
            (62, Some(entry)) => entry.1 |= value.starts_with('-'),
            (70, Some(entry)) => entry.1 |= value.parse().is_ok_and(|flags: i64| flags & 1 == 1),
            _ => {}
        }
    }

    /// Whether an entity is not seen; the vertices of a polyline go where it goes.
    fn hides(&self, entity: &Entity) -> bool {
        !matches!(entity.kind.as_str(), "VERTEX" | "SEQEND")
            && (entity.text(8)).is_some_and(|l| self.layers.contains(&l.to_uppercase()))
    }
}

struct Reader<'a> {
    lines: std::str::Lines<'a>,
    line: usize,
}

impl<'a> Reader<'a> {
    /// The next pair of a code and a value.
    fn next(&mut self) -> Result<Option<(i32, &'a str)>> {
        let Some(code) = self.lines.next() else {
            return Ok(None);
        };
        self.line += 2;
        let Some(value) = self.lines.next() else {
            return if code.trim().is_empty() {
                Ok(None)
            } else {
                Err(not_dxf("cut off in the middle"))
            };
        };
        let code = code.trim().parse().map_err(|_| {
            let shown: String = code.trim().chars().take(40).collect();
            not_dxf(&format!(
                "\"{shown}\" in place of a group code in line {}",
                self.line - 1
            ))
        })?;
        Ok(Some((code, value.trim())))
    }
}

struct Entity<'a> {
    kind: String,
    pairs: Vec<(i32, &'a str)>,
}

impl Entity<'_> {
    /// Whether it is on a layer of edges: `CUT` or `DRILL`. The vertices of a polyline go where it goes.
    fn cuts(&self) -> bool {
        let edges = ["CUT", "DRILL"];
        matches!(self.kind.as_str(), "VERTEX" | "SEQEND")
            || (self.text(8))
                .is_some_and(|l| edges.iter().any(|e| l.trim().eq_ignore_ascii_case(e)))
    }

    fn text(&self, code: i32) -> Option<&str> {
        self.pairs.iter().find(|p| p.0 == code).map(|p| p.1)
    }

    fn number(&self, code: i32) -> Result<Option<f64>> {
        self.text(code).map(|t| self.parse(t)).transpose()
    }

    fn parse(&self, text: &str) -> Result<f64> {
        text.parse::<f64>()
            .ok()
            .filter(|v| v.is_finite())
            .ok_or_else(|| {
                let shown: String = text.chars().take(40).collect();
                not_dxf(&format!(
                    "\"{shown}\" in place of a number in a {}",
                    self.kind
                ))
            })
    }

    fn needed(&self, code: i32) -> Result<f64> {
        self.number(code)?
            .ok_or_else(|| not_dxf(&format!("a {} without group {code}", self.kind)))
    }

    fn flags(&self) -> i64 {
        self.text(70).and_then(|t| t.parse().ok()).unwrap_or(0)
    }

    /// 1, or −1 where the entity's own plane is seen from behind (extrusion 0, 0, −1).
    fn mirror(&self) -> Result<f64> {
        let (x, y) = (
            self.number(210)?.unwrap_or(0.0),
            self.number(220)?.unwrap_or(0.0),
        );
        let z = self.number(230)?.unwrap_or(1.0);
        if x.abs() > 1e-6 || y.abs() > 1e-6 || z.abs() < 1e-6 {
            return Err(Error::Shape {
                what: format!("{} of the DXF file", self.kind),
                given: "not in the plane of the drawing".into(),
                allowed: "a flat drawing seen from above".into(),
            });
        }
        Ok(z.signum())
    }
}

/// Layers of this library's own drawings; those of the back bear `BACK-` before.
const OWN_LAYERS: [&str; 12] = [
    "CUT",
    "DRILL",
    "LATER",
    "BEND",
    "CENTRE",
    "TRIM",
    "ZONE",
    "CONTOUR",
    "MEASURE",
    "FRAME",
    "TEXT",
    "HOLE-CENTRES",
];

/// Whether every entity is on a layer that this library's own drawings have, and some on `CUT`: then dimensions, bends and frames are no contours.
/// One entity on any other layer, and nothing is left out: a hole that is missing makes a wrong part.
fn is_own(text: &str) -> bool {
    let entities = text.split_once("ENTITIES").map_or("", |(_, rest)| rest);
    let entities = entities.split("ENDSEC").next().unwrap_or("");
    let lines: Vec<&str> = entities.lines().skip(1).map(str::trim).collect();
    let layers = lines.chunks_exact(2).filter(|pair| pair[0] == "8");
    let mut cut = false;
    for layer in layers.map(|pair| pair[1].to_ascii_uppercase()) {
        let front = layer.strip_prefix("BACK-").unwrap_or(&layer);
        if !OWN_LAYERS.contains(&front) {
            return false;
        }
        cut |= layer == "CUT";
    }
    cut
}

fn take<'a>(
    entity: Entity<'a>,
    polyline: &mut Option<Entity<'a>>,
    sketch: &mut Sketch,
    scale: f64,
) -> Result<()> {
    // Paper space is no part.
    if entity.text(67) == Some("1") {
        sketch.ignore("paper space");
        return Ok(());
    }
    // Vertices of an old polyline are hidden with it.
    if entity.text(60) == Some("1") && !matches!(entity.kind.as_str(), "VERTEX" | "SEQEND") {
        sketch.ignore("hidden entities");
        return Ok(());
    }
    match entity.kind.as_str() {
        "POLYLINE" => *polyline = Some(entity),
        "VERTEX" => {
            if let Some(run) = polyline {
                // Each vertex is kept as its own group of pairs behind a marker that no file holds.
                run.pairs.push((-1, ""));
                run.pairs.extend(entity.pairs);
            }
        }
        "SEQEND" => {
            if let Some(run) = polyline.take() {
                old_polyline(&run, sketch, scale)?;
            }
        }
        "LINE" => {
            let p = |x, y| -> Result<Point> {
                Ok(Point::new(
                    entity.needed(x)? * scale,
                    entity.needed(y)? * scale,
                ))
            };
            sketch.run(p(10, 20)?, vec![Segment::Line { end: p(11, 21)? }])?;
        }
        "CIRCLE" | "ARC" => circular(&entity, sketch, scale)?,
        "LWPOLYLINE" => light_polyline(&entity, sketch, scale)?,
        "ELLIPSE" => ellipse(&entity, sketch, scale)?,
        "SPLINE" => spline(&entity, sketch, scale)?,
        "INSERT" => {
            return Err(Error::Shape {
                what: "DXF file".into(),
                given: "a block reference (INSERT)".into(),
                allowed: "plain entities: explode the blocks and save again".into(),
            });
        }
        other => sketch.ignore(other),
    }
    Ok(())
}

fn circular(entity: &Entity, sketch: &mut Sketch, scale: f64) -> Result<()> {
    let m = entity.mirror()?;
    let centre = Point::new(m * entity.needed(10)? * scale, entity.needed(20)? * scale);
    let radius = entity.needed(40)? * scale;
    if !(radius > 1e-9 && radius < 1e3) {
        return Err(not_dxf(&format!(
            "a {} of radius {} mm",
            entity.kind,
            radius * 1e3
        )));
    }
    let (from, sweep) = if entity.kind == "CIRCLE" {
        (0.0, TAU)
    } else {
        let (a, b) = (
            entity.needed(50)?.to_radians(),
            entity.needed(51)?.to_radians(),
        );
        let turn = (b - a).rem_euclid(TAU);
        (a, if turn <= 1e-12 { TAU } else { turn })
    };
    // Mirrored in the y axis, an angle becomes its supplement and the turn changes sign.
    let (from, sweep) = if m < 0.0 {
        (std::f64::consts::PI - from, -sweep)
    } else {
        (from, sweep)
    };
    let start = centre.polar(from, radius);
    let arc = |a: f64| Segment::Arc {
        end: centre.polar(a, radius),
        centre,
        sweep_rad: sweep / 2.0,
    };
    let end = if sweep.abs() >= TAU - 1e-12 {
        Segment::Arc {
            end: start,
            centre,
            sweep_rad: sweep / 2.0,
        }
    } else {
        arc(from + sweep)
    };
    sketch.run(start, vec![arc(from + sweep / 2.0), end])
}

/// A run of vertices with bulges.
fn bulged(vertices: &[(Point, f64)], closed: bool, sketch: &mut Sketch) -> Result<()> {
    let n = vertices.len();
    let Some(&(start, _)) = vertices.first() else {
        return Ok(());
    };
    let last = if closed { n } else { n - 1 };
    let mut segments = vec![];
    for i in 0..last {
        let (Some(&(a, bulge)), Some(&(b, _))) = (vertices.get(i), vertices.get((i + 1) % n))
        else {
            continue;
        };
        if a.distance_m(b) <= 1e-9 {
            continue;
        }
        if bulge.abs() < 1e-9 {
            segments.push(Segment::Line { end: b });
            continue;
        }
        let sweep = 4.0 * bulge.atan();
        // The centre lies on the chord's normal: half the chord over tan(sweep/2) to the left.
        let (dx, dy) = (b.x_m - a.x_m, b.y_m - a.y_m);
        let away = 0.5 / (sweep / 2.0).tan();
        let centre = Point::new(
            f64::midpoint(a.x_m, b.x_m) - away * dy,
            f64::midpoint(a.y_m, b.y_m) + away * dx,
        );
        segments.push(Segment::Arc {
            end: b,
            centre,
            sweep_rad: sweep,
        });
    }
    sketch.run(start, segments)
}

fn light_polyline(entity: &Entity, sketch: &mut Sketch, scale: f64) -> Result<()> {
    let m = entity.mirror()?;
    let mut vertices: Vec<(Point, f64)> = vec![];
    for &(code, value) in &entity.pairs {
        match code {
            10 => vertices.push((Point::new(m * entity.parse(value)? * scale, 0.0), 0.0)),
            20 => {
                if let Some((p, _)) = vertices.last_mut() {
                    p.y_m = entity.parse(value)? * scale;
                }
            }
            42 => {
                if let Some((_, bulge)) = vertices.last_mut() {
                    *bulge = m * entity.parse(value)?;
                }
            }
            _ => {}
        }
    }
    bulged(&vertices, entity.flags() & 1 == 1, sketch)
}

/// POLYLINE with its VERTEX entities.
fn old_polyline(run: &Entity, sketch: &mut Sketch, scale: f64) -> Result<()> {
    let flags = run.flags();
    // 8: in space, 16 and 64: meshes.
    if flags & (8 | 16 | 64) != 0 {
        sketch.ignore("POLYLINE in space");
        return Ok(());
    }
    let m = run.mirror()?;
    let mut vertices = vec![];
    for group in run.pairs.split(|p| p.0 == -1).skip(1) {
        let vertex = Entity {
            kind: "VERTEX".into(),
            pairs: group.to_vec(),
        };
        // 16: a control point of a fitted curve, not on it.
        if vertex.flags() & 16 != 0 {
            continue;
        }
        let p = Point::new(m * vertex.needed(10)? * scale, vertex.needed(20)? * scale);
        vertices.push((p, m * vertex.number(42)?.unwrap_or(0.0)));
    }
    bulged(&vertices, flags & 1 == 1, sketch)
}

fn ellipse(entity: &Entity, sketch: &mut Sketch, scale: f64) -> Result<()> {
    // An ellipse states its centre and axis in the world, and only its sense in the extrusion.
    let sense = entity.mirror()?;
    let centre = Point::new(entity.needed(10)? * scale, entity.needed(20)? * scale);
    let (ax, ay) = (entity.needed(11)? * scale, entity.needed(21)? * scale);
    let ratio = entity.needed(40)?;
    if !(ratio > 1e-4 && ratio <= 1.0 + 1e-9 && ax.hypot(ay) > 1e-9) {
        return Err(not_dxf("an ELLIPSE without an axis"));
    }
    let (bx, by) = (-ay * ratio * sense, ax * ratio * sense);
    let (u, v) = (
        entity.number(41)?.unwrap_or(0.0),
        entity.number(42)?.unwrap_or(TAU),
    );
    let turn = (v - u).rem_euclid(TAU);
    let turn = if turn <= 1e-9 { TAU } else { turn };
    let curve = |w: f64| -> Place {
        let (s, c) = w.sin_cos();
        (
            Point::new(centre.x_m + ax * c + bx * s, centre.y_m + ay * c + by * s),
            (bx * c - ax * s, by * c - ay * s),
        )
    };
    let (start, _) = curve(u);
    let mut segments = arcs(&curve, u, u + turn / 2.0);
    segments.extend(arcs(&curve, u + turn / 2.0, u + turn));
    if turn >= TAU - 1e-9 {
        close(&mut segments, start);
    }
    sketch.run(start, segments)
}

/// Puts the last end exactly on the start, which rounding left a hair beside it.
pub(super) fn close(segments: &mut [Segment], start: Point) {
    if let Some(Segment::Line { end } | Segment::Arc { end, .. }) = segments.last_mut()
        && end.distance_m(start) < 1e-9
    {
        *end = start;
    }
}

fn spline(entity: &Entity, sketch: &mut Sketch, scale: f64) -> Result<()> {
    let mut knots = vec![];
    let mut points: Vec<Point> = vec![];
    let mut weights = vec![];
    for &(code, value) in &entity.pairs {
        match code {
            40 => knots.push(entity.parse(value)?),
            41 => weights.push(entity.parse(value)?),
            10 => points.push(Point::new(entity.parse(value)? * scale, 0.0)),
            20 => {
                if let Some(p) = points.last_mut() {
                    p.y_m = entity.parse(value)? * scale;
                }
            }
            _ => {}
        }
    }
    let degree = entity.text(71).and_then(|t| t.parse().ok()).unwrap_or(3);
    let spline = Spline::new(degree, knots, &points, &weights).ok_or_else(|| {
        not_dxf("a SPLINE whose knots, control points and weights do not fit together")
    })?;
    let curve = |u: f64| spline.at(u);
    let mut segments = vec![];
    for (u, v) in spline.spans() {
        segments.extend(arcs(&curve, u, v));
    }
    let (first, _) = spline.ends();
    let (start, _) = spline.at(first);
    close(&mut segments, start);
    sketch.run(start, segments)
}
