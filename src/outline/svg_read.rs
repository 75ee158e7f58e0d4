//! SVG in: paths and basic shapes of a drawing with an absolute size. Nothing in the file runs and nothing is loaded.

use std::str::FromStr;

use roxmltree::{Document, Node, ParsingOptions};
use svgtypes::{Length, LengthUnit, PointsParser, Transform, ViewBox};

use super::dxf_read::sized;
use super::svg::FRONT_CLASS;
use super::svg_path::{Matrix, Pen, oval, path};
use super::trace::{MOST_SEGMENTS, Sketch, Traced};
use super::{Point, Segment};
use crate::error::{Error, Range, Result, check};

/// Largest file. [bytes]
const MOST_BYTES: usize = 64 << 20;
const MOST_NODES: u32 = 500_000;
/// Elements within elements.
const DEEPEST: usize = 100;

/// Reads the parts of an SVG drawing. `name` stands in errors.
///
/// The root must say its size in mm, cm, in, pt, pc or px (96 to the inch); texts are left out and counted.
///
/// # Errors
/// [`Error::Job`] with every open, crossing or doubled contour and its place; [`Error::Shape`] for a file that is not
/// plain SVG, has no absolute size, or holds scripts, images or references to elsewhere; [`Error::OutOfRange`] for
/// parts of impossible size and for too many elements.
///
/// ```
/// use mountwright::outline::read_svg;
/// let text = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="50mm" viewBox="0 0 100 50">
///     <rect x="10" y="10" width="80" height="30"/><circle cx="50" cy="25" r="10"/></svg>"#;
/// let read = read_svg("plate.svg", text)?;
/// let want = 0.08 * 0.03 - std::f64::consts::PI * 1e-4;
/// assert!((read.parts[0].area_m2() - want).abs() < 1e-12);
/// # Ok::<(), mountwright::Error>(())
/// ```
pub fn read_svg(name: &str, text: &str) -> Result<Traced> {
    check(
        "size of the SVG file",
        text.len() as f64,
        Range::new(1.0, MOST_BYTES as f64, "byte"),
        "keep only the contours of the parts in the file",
    )?;
    let options = ParsingOptions {
        allow_dtd: false,
        nodes_limit: MOST_NODES,
        entity_resolver: None,
    };
    let document = Document::parse_with_options(text, options).map_err(|e| match e {
        roxmltree::Error::DtdDetected => {
            refused("a document type (DOCTYPE), which may define entities")
        }
        other => refused(&other.to_string()),
    })?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        return Err(refused("another XML document"));
    }
    let front = own_view(&root);
    let root_or_view = front.unwrap_or(root);
    let unseen = hidden_classes(&root)?;
    let mut sketch = Sketch::default();
    let mut stack = vec![(root_or_view, paper(&root)?, 0)];
    while let Some((node, matrix, depth)) = stack.pop() {
        if depth > DEEPEST {
            return Err(refused("elements nested more than 100 deep"));
        }
        safe(&node)?;
        if hidden(&node, &unseen) {
            sketch.ignore("hidden elements");
            continue;
        }
        let matrix = match node.attribute("transform").filter(|_| depth > 0) {
            None => matrix,
            Some(text) => {
                let t = Transform::from_str(text).map_err(|e| refused(&e.to_string()))?;
                matrix.then_inner(&Matrix(t.a, t.b, t.c, t.d, t.e, t.f))
            }
        };
        match node.tag_name().name() {
            "svg" if depth > 0 => return Err(refused("a drawing within the drawing")),
            "svg" | "g" | "a" | "switch" => {
                let children = node.children().filter(Node::is_element);
                stack.extend(children.map(|child| (child, matrix, depth + 1)));
            }
            // Definitions are drawn only where something refers to them, and references are refused.
            "defs" | "clipPath" | "mask" | "pattern" | "marker" | "symbol" | "style" | "title"
            | "desc" | "metadata" | "namedview" => {}
            _ if front.is_some() && !cuts(&node) => sketch.ignore("lines that are not cut"),
            kind => shape(kind, &node, &matrix, &mut sketch)?,
        }
    }
    let traced = sketch.traced(name)?;
    sized(&traced)?;
    Ok(traced)
}

/// The view from the show face, where the file is a drawing of this library's own: its other views, tables and legend are no
/// parts.
fn own_view<'a>(root: &Node<'a, 'a>) -> Option<Node<'a, 'a>> {
    let mut groups = root.children().filter(Node::is_element);
    groups.find(|node| node.attribute("class") == Some(FRONT_CLASS))
}

/// Whether a line of that view is an edge.
fn cuts(node: &Node) -> bool {
    matches!(node.attribute("class"), Some("cut" | "drill"))
}

pub(super) fn refused(given: &str) -> Error {
    Error::Shape {
        what: "SVG file".into(),
        given: given.chars().take(200).collect(),
        allowed:
            "plain SVG of paths and basic shapes, without DOCTYPE, scripts, images or references"
                .into(),
    }
}

fn safe(node: &Node) -> Result<()> {
    const REFUSED: [&str; 7] = [
        "script",
        "image",
        "use",
        "foreignObject",
        "iframe",
        "animate",
        "set",
    ];
    let kind = node.tag_name().name();
    if REFUSED.contains(&kind) {
        return Err(refused(&format!("a <{kind}> element")));
    }
    for attribute in node.attributes() {
        let name = attribute.name();
        if name.len() > 2 && name.starts_with("on") {
            return Err(refused(&format!("a script in the attribute \"{name}\"")));
        }
        if name == "style" && styles(node).any(|(key, _)| key == "transform") {
            return Err(refused(
                "a transform in a style; as an attribute it is read",
            ));
        }
        if name == "href" && !attribute.value().starts_with('#') {
            return Err(refused("a reference to elsewhere"));
        }
    }
    Ok(())
}

/// Whether it is not drawn: its author does not see it, so it is no edge.
fn hidden(node: &Node, unseen: &[&str]) -> bool {
    let is = |key: &str, words: &[&str]| {
        let said = node.attribute(key).map(str::trim);
        let styled = styles(node).find(|(name, _)| *name == key);
        [said, styled.map(|(_, value)| value)]
            .iter()
            .flatten()
            .any(|value| words.contains(value))
    };
    let classes = node.attribute("class").unwrap_or_default();
    HIDES.iter().any(|(key, words)| is(key, words))
        || classes
            .split_ascii_whitespace()
            .any(|c| unseen.contains(&c))
}

/// What hides an element, as an attribute or in a style.
const HIDES: [(&str, &[&str]); 2] = [
    ("display", &["none"]),
    ("visibility", &["hidden", "collapse"]),
];

/// Classes that a style sheet of the file hides.
fn hidden_classes<'a>(root: &Node<'a, 'a>) -> Result<Vec<&'a str>> {
    let mut unseen = vec![];
    let sheets = root
        .descendants()
        .filter(|n| n.tag_name().name() == "style");
    for rule in sheets
        .filter_map(|n| n.text())
        .flat_map(|text| text.split('}'))
    {
        let Some((selectors, body)) = rule.split_once('{') else {
            continue;
        };
        let hides = body
            .split(';')
            .filter_map(|one| one.split_once(':'))
            .any(|(key, value)| {
                let value = value.trim().trim_end_matches("!important").trim_end();
                HIDES
                    .iter()
                    .any(|(k, words)| *k == key.trim() && words.contains(&value))
            });
        if !hides {
            continue;
        }
        for selector in selectors.split(',').map(str::trim) {
            let class = selector.strip_prefix('.').filter(|name| {
                name.chars()
                    .all(|c| c.is_alphanumeric() || matches!(c, '-' | '_'))
            });
            unseen.push(class.ok_or_else(|| {
                refused(&format!(
                    "a style sheet that hides \"{selector}\": delete what is hidden"
                ))
            })?);
        }
    }
    Ok(unseen)
}

/// What its `style` says.
fn styles<'a>(node: &Node<'a, 'a>) -> impl Iterator<Item = (&'a str, &'a str)> {
    let style = node.attribute("style").unwrap_or_default();
    style
        .split(';')
        .filter_map(|one| one.split_once(':'))
        .map(|(name, value)| (name.trim(), value.trim()))
}

/// User units of the root to metres, y upwards from the lower edge.
fn paper(root: &Node) -> Result<Matrix> {
    let no_size = || Error::Shape {
        what: "SVG file".into(),
        given: "no absolute size".into(),
        allowed: "a width and height in mm, cm, in, pt, pc or px at the root".into(),
    };
    let size = |name| -> Result<f64> {
        let length = root.attribute(name).ok_or_else(no_size)?;
        let length = Length::from_str(length).map_err(|_| no_size())?;
        let unit_m = match length.unit {
            LengthUnit::Mm => 1e-3,
            LengthUnit::Cm => 1e-2,
            LengthUnit::In => 0.0254,
            LengthUnit::Pt => 0.0254 / 72.0,
            LengthUnit::Pc => 0.0254 / 6.0,
            // CSS: 96 px to the inch, and a bare number is px.
            LengthUnit::Px | LengthUnit::None => 0.0254 / 96.0,
            LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => return Err(no_size()),
        };
        check(
            format!("{name} of the SVG file"),
            length.number * unit_m,
            Range::new(1e-4, 100.0, "m"),
            "set the size of the drawing to that of the part",
        )
    };
    let (width, height) = (size("width")?, size("height")?);
    let (x, y, w, h) = match root.attribute("viewBox") {
        Some(text) => {
            let b = ViewBox::from_str(text).map_err(|_| no_size())?;
            (b.x, b.y, b.w, b.h)
        }
        None => (0.0, 0.0, width / 0.0254 * 96.0, height / 0.0254 * 96.0),
    };
    let (sx, sy) = (width / w, height / h);
    if !(sx.is_finite() && (sx / sy - 1.0).abs() < 1e-3) {
        return Err(Error::Shape {
            what: "viewBox of the SVG file".into(),
            given: format!("{w} by {h} for {width} m by {height} m"),
            allowed: "the same ratio of width and height as the size, so that a unit is equally long both ways".into(),
        });
    }
    Ok(Matrix(sx, 0.0, 0.0, -sx, -x * sx, height + y * sx))
}

fn number(node: &Node, name: &str) -> Result<f64> {
    let Some(text) = node.attribute(name) else {
        return Ok(0.0);
    };
    let length = Length::from_str(text).map_err(|e| refused(&e.to_string()))?;
    let px = match length.unit {
        LengthUnit::None | LengthUnit::Px => 1.0,
        LengthUnit::Mm => 96.0 / 25.4,
        LengthUnit::Cm => 96.0 / 2.54,
        LengthUnit::In => 96.0,
        LengthUnit::Pt => 96.0 / 72.0,
        LengthUnit::Pc => 16.0,
        LengthUnit::Em | LengthUnit::Ex | LengthUnit::Percent => {
            return Err(refused(&format!(
                "a length relative to something else in \"{name}\""
            )));
        }
    };
    check(
        format!("{name} of an SVG element"),
        length.number * px,
        Range::new(-1e9, 1e9, "px"),
        "set the size of the drawing to that of the part",
    )
}

fn shape(kind: &str, node: &Node, matrix: &Matrix, sketch: &mut Sketch) -> Result<()> {
    let get = |name| number(node, name);
    match kind {
        "path" => path(node.attribute("d").unwrap_or(""), matrix, sketch),
        "line" => {
            let (a, b) = (
                matrix.point(get("x1")?, get("y1")?),
                matrix.point(get("x2")?, get("y2")?),
            );
            sketch.run(a, vec![Segment::Line { end: b }])
        }
        "polygon" | "polyline" => {
            let points: Vec<Point> = PointsParser::from(node.attribute("points").unwrap_or(""))
                .take(MOST_SEGMENTS + 1)
                .map(|(x, y)| matrix.point(x, y))
                .collect();
            let mut pen = Pen::new(matrix);
            for (i, p) in points.iter().enumerate() {
                if i == 0 {
                    pen.start = *p;
                    pen.at = *p;
                } else {
                    pen.line(*p);
                }
            }
            if kind == "polygon" {
                pen.line(pen.start);
            }
            pen.finish(sketch)
        }
        "circle" => oval(
            (get("cx")?, get("cy")?),
            (get("r")?, get("r")?),
            matrix,
            sketch,
        ),
        "ellipse" => oval(
            (get("cx")?, get("cy")?),
            (get("rx")?, get("ry")?),
            matrix,
            sketch,
        ),
        "rect" => {
            let (x, y, w, h) = (get("x")?, get("y")?, get("width")?, get("height")?);
            let round = |name, other| -> Result<f64> {
                match (node.attribute(name), node.attribute(other)) {
                    (Some("auto") | None, Some("auto") | None) => Ok(0.0),
                    (Some("auto") | None, Some(_)) => get(other),
                    _ => get(name),
                }
            };
            let rx = round("rx", "ry")?.clamp(0.0, (w / 2.0).max(0.0));
            let ry = round("ry", "rx")?.clamp(0.0, (h / 2.0).max(0.0));
            // As a path, so that its corners are those of the standard.
            let text = if rx > 0.0 && ry > 0.0 {
                let (iw, ih) = (w - 2.0 * rx, h - 2.0 * ry);
                format!(
                    "M{} {y}h{iw}a{rx} {ry} 0 0 1 {rx} {ry}v{ih}a{rx} {ry} 0 0 1 {} {ry}h{}a{rx} {ry} 0 0 1 {} {}v{}a{rx} {ry} 0 0 1 {rx} {}z",
                    x + rx,
                    -rx,
                    -iw,
                    -rx,
                    -ry,
                    -ih,
                    -ry
                )
            } else {
                format!("M{x} {y}h{w}v{h}h{}z", -w)
            };
            path(&text, matrix, sketch)
        }
        other => {
            sketch.ignore(other);
            Ok(())
        }
    }
}
