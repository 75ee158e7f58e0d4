//! DXF out: ASCII, version R2000 (AC1015) entities that every reader since 2000 knows, in millimetres.

use std::fmt::Write;

use super::{Chain, Outline, Point, Segment};

/// One layer of a DXF file: its name and the chains and texts on it.
#[derive(Debug, Clone, PartialEq)]
pub struct DxfLayer<'a> {
    /// Letters, digits, `_` and `-`; anything else becomes `_`.
    pub name: &'a str,
    /// Colour number, 1 to 255; 7 is black on white.
    pub colour: u8,
    /// Closed chains.
    pub chains: Vec<&'a Chain>,
    /// Open lines.
    pub lines: Vec<(Point, Point)>,
    /// Single points: hole centres.
    pub points: Vec<Point>,
    /// Lines of text.
    pub texts: Vec<DxfText>,
}

impl Default for DxfLayer<'_> {
    fn default() -> Self {
        Self {
            name: "0",
            colour: 7,
            chains: vec![],
            lines: vec![],
            points: vec![],
            texts: vec![],
        }
    }
}

/// A line of text in a DXF file.
#[derive(Debug, Clone, PartialEq)]
pub struct DxfText {
    /// Where it starts, has its middle or ends.
    pub at: Point,
    /// Height of its capitals. [m]
    pub height_m: f64,
    /// Its turn, counter-clockwise. [°]
    pub turn_deg: f64,
    /// 0: it starts at `at`; 1: its middle is there; 2: it ends there.
    pub anchor: u8,
    /// The words.
    pub text: String,
}

impl Outline {
    /// The outline alone as a DXF drawing: the outside on layer `OUTSIDE`, holes on layer `HOLES`.
    ///
    /// ```
    /// use mountwright::outline::{Chain, Circle, Outline, Point};
    /// let disc = Chain::circle(Circle { centre: Point::new(0.0, 0.0), radius_m: 0.05 });
    /// let text = Outline::new(disc, vec![]).dxf();
    /// assert!(text.contains("$INSUNITS") && text.contains("CIRCLE") && text.ends_with("EOF\n"));
    /// ```
    pub fn dxf(&self) -> String {
        dxf(&[
            DxfLayer {
                name: "OUTSIDE",
                chains: vec![&self.outside],
                ..DxfLayer::default()
            },
            DxfLayer {
                name: "HOLES",
                chains: self.holes.iter().collect(),
                ..DxfLayer::default()
            },
        ])
    }
}

/// A DXF drawing of layers, in millimetres.
///
/// Circles are CIRCLE; other chains are closed LWPOLYLINE with bulges, so that a contour stays one piece.
pub fn dxf(layers: &[DxfLayer]) -> String {
    let mut out = Writer::default();
    out.head(layers);
    out.pair(0, "SECTION");
    out.pair(2, "ENTITIES");
    for layer in layers {
        let name = plain(layer.name);
        for chain in &layer.chains {
            match as_circle(chain) {
                Some((centre, radius_m)) => out.circle(&name, centre, radius_m),
                None => out.polyline(&name, chain),
            }
        }
        for &(from, to) in &layer.lines {
            out.entity("LINE", &name, "AcDbLine");
            out.point(10, from);
            out.point(11, to);
        }
        for &at in &layer.points {
            out.entity("POINT", &name, "AcDbPoint");
            out.point(10, at);
        }
        for text in &layer.texts {
            out.words(&name, text);
        }
    }
    out.pair(0, "ENDSEC");
    out.objects();
    out.pair(0, "EOF");
    out.text
}

/// The circle that a chain is, if it is one.
pub(crate) fn as_circle(chain: &Chain) -> Option<(Point, f64)> {
    let mut circle: Option<Point> = None;
    for (_, segment) in chain.pieces() {
        match *segment {
            Segment::Arc { centre, .. } if circle.is_none_or(|c| c.distance_m(centre) < 1e-12) => {
                circle = Some(centre);
            }
            _ => return None,
        }
    }
    let centre = circle?;
    Some((centre, chain.start.distance_m(centre)))
}

/// Text with `\\U+XXXX` for what is not ASCII, as R2000 has it; a caret or percent sign of its own is kept apart from DXF's codes.
fn escaped(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        match c {
            '^' => out.push_str("^ "),
            '%' => out.push_str("\\U+0025"),
            '\\' => out.push_str("\\U+005C"),
            ' '..='~' => out.push(c),
            c if c.is_control() => out.push(' '),
            c => {
                let mut units = [0; 2];
                for unit in c.encode_utf16(&mut units) {
                    // Writing to a string cannot fail.
                    let _ = write!(out, "\\U+{unit:04X}");
                }
            }
        }
    }
    out
}

/// Letters, digits, `_` and `-` only.
fn plain(name: &str) -> String {
    name.chars()
        .map(|c| {
            if c.is_ascii_alphanumeric() || c == '-' {
                c
            } else {
                '_'
            }
        })
        .collect()
}

#[derive(Default)]
struct Writer {
    text: String,
    handle: u32,
}

impl Writer {
    fn pair(&mut self, code: u16, value: impl std::fmt::Display) {
        // Writing to a string cannot fail.
        let _ = writeln!(self.text, "{code}\n{value}");
    }

    fn handle(&mut self) {
        self.handle += 1;
        let handle = format!("{:X}", self.handle);
        self.pair(5, handle);
    }

    fn number(&mut self, code: u16, value: f64) {
        self.pair(code, format!("{value:.9}"));
    }

    fn point(&mut self, code: u16, p: Point) {
        self.number(code, p.x_m * 1e3);
        self.number(code + 10, p.y_m * 1e3);
        self.number(code + 20, 0.0);
    }

    fn entity(&mut self, kind: &str, layer: &str, class: &str) {
        self.pair(0, kind);
        self.handle();
        self.pair(330, "1F");
        self.pair(100, "AcDbEntity");
        self.pair(8, layer);
        self.pair(100, class);
    }

    fn circle(&mut self, layer: &str, centre: Point, radius_m: f64) {
        self.entity("CIRCLE", layer, "AcDbCircle");
        self.point(10, centre);
        self.number(40, radius_m * 1e3);
    }

    fn polyline(&mut self, layer: &str, chain: &Chain) {
        let mut vertices: Vec<(Point, f64)> = vec![];
        for (start, segment) in chain.pieces() {
            match *segment {
                Segment::Line { .. } => vertices.push((start, 0.0)),
                Segment::Arc {
                    centre, sweep_rad, ..
                } => {
                    // A bulge is tan(sweep/4); two halves keep it below 1.
                    let half = sweep_rad / 2.0;
                    let from = (start.y_m - centre.y_m).atan2(start.x_m - centre.x_m);
                    let middle = centre.polar(from + half, start.distance_m(centre));
                    let bulge = (half / 4.0).tan();
                    vertices.push((start, bulge));
                    vertices.push((middle, bulge));
                }
            }
        }
        self.entity("LWPOLYLINE", layer, "AcDbPolyline");
        self.pair(90, vertices.len());
        self.pair(70, 1);
        for (p, bulge) in vertices {
            self.number(10, p.x_m * 1e3);
            self.number(20, p.y_m * 1e3);
            if bulge.abs() > 0.0 {
                self.number(42, bulge);
            }
        }
    }

    fn words(&mut self, layer: &str, text: &DxfText) {
        self.entity("TEXT", layer, "AcDbText");
        self.point(10, text.at);
        self.number(40, text.height_m * 1e3);
        self.pair(1, escaped(&text.text));
        self.number(50, text.turn_deg);
        if text.anchor > 0 {
            self.pair(72, text.anchor);
            self.point(11, text.at);
        }
        self.pair(100, "AcDbText");
    }

    fn table(&mut self, name: &str, handle: &str, count: usize) {
        self.pair(0, "TABLE");
        self.pair(2, name);
        self.pair(5, handle);
        self.pair(330, "0");
        self.pair(100, "AcDbSymbolTable");
        self.pair(70, count);
    }

    fn record(&mut self, kind: &str, table: &str, class: &str, name: &str) {
        self.pair(0, kind);
        self.handle();
        self.pair(330, table);
        self.pair(100, "AcDbSymbolTableRecord");
        self.pair(100, class);
        self.pair(2, name);
        self.pair(70, 0);
    }

    fn head(&mut self, layers: &[DxfLayer]) {
        self.pair(0, "SECTION");
        self.pair(2, "HEADER");
        self.pair(9, "$ACADVER");
        self.pair(1, "AC1015");
        self.pair(9, "$HANDSEED");
        self.pair(5, "FFFFFF");
        // 4: millimetres.
        self.pair(9, "$INSUNITS");
        self.pair(70, 4);
        self.pair(9, "$MEASUREMENT");
        self.pair(70, 1);
        self.pair(0, "ENDSEC");
        self.pair(0, "SECTION");
        self.pair(2, "TABLES");
        // Handles below 0x100 are kept for tables and blocks.
        self.handle = 0x100;
        self.table("VPORT", "8", 0);
        self.pair(0, "ENDTAB");
        self.table("LTYPE", "5", 3);
        for name in ["ByBlock", "ByLayer", "Continuous"] {
            self.record("LTYPE", "5", "AcDbLinetypeTableRecord", name);
            self.pair(3, "");
            self.pair(72, 65);
            self.pair(73, 0);
            self.number(40, 0.0);
        }
        self.pair(0, "ENDTAB");
        let mut names: Vec<(String, u8)> = vec![("0".into(), 7)];
        for layer in layers {
            let name = plain(layer.name);
            if names.iter().all(|(known, _)| *known != name) {
                names.push((name, layer.colour.max(1)));
            }
        }
        self.table("LAYER", "2", names.len());
        for (name, colour) in &names {
            self.record("LAYER", "2", "AcDbLayerTableRecord", name);
            self.pair(62, colour);
            self.pair(6, "Continuous");
            self.pair(390, "F");
        }
        self.pair(0, "ENDTAB");
        self.table("STYLE", "3", 1);
        self.record("STYLE", "3", "AcDbTextStyleTableRecord", "Standard");
        self.number(40, 0.0);
        self.number(41, 1.0);
        self.number(50, 0.0);
        self.pair(71, 0);
        self.number(42, 2.5);
        self.pair(3, "txt");
        self.pair(4, "");
        self.pair(0, "ENDTAB");
        self.table("VIEW", "6", 0);
        self.pair(0, "ENDTAB");
        self.table("UCS", "7", 0);
        self.pair(0, "ENDTAB");
        self.table("APPID", "9", 1);
        self.record("APPID", "9", "AcDbRegAppTableRecord", "ACAD");
        self.pair(0, "ENDTAB");
        self.dimension_styles();
        self.table("BLOCK_RECORD", "1", 2);
        for (name, handle) in [("*Model_Space", "1F"), ("*Paper_Space", "1B")] {
            self.pair(0, "BLOCK_RECORD");
            self.pair(5, handle);
            self.pair(330, "1");
            self.pair(100, "AcDbSymbolTableRecord");
            self.pair(100, "AcDbBlockTableRecord");
            self.pair(2, name);
            self.pair(340, "0");
        }
        self.pair(0, "ENDTAB");
        self.pair(0, "ENDSEC");
        self.blocks();
    }

    fn dimension_styles(&mut self) {
        self.table("DIMSTYLE", "A", 1);
        self.pair(100, "AcDbDimStyleTable");
        self.pair(71, 1);
        self.pair(0, "DIMSTYLE");
        self.handle += 1;
        let handle = format!("{:X}", self.handle);
        self.pair(105, handle);
        self.pair(330, "A");
        self.pair(100, "AcDbSymbolTableRecord");
        self.pair(100, "AcDbDimStyleTableRecord");
        self.pair(2, "Standard");
        self.pair(70, 0);
        self.pair(0, "ENDTAB");
    }

    fn blocks(&mut self) {
        self.pair(0, "SECTION");
        self.pair(2, "BLOCKS");
        for (name, owner) in [("*Model_Space", "1F"), ("*Paper_Space", "1B")] {
            self.pair(0, "BLOCK");
            self.handle();
            self.pair(330, owner);
            self.pair(100, "AcDbEntity");
            self.pair(8, "0");
            self.pair(100, "AcDbBlockBegin");
            self.pair(2, name);
            self.pair(70, 0);
            self.point(10, Point::new(0.0, 0.0));
            self.pair(3, name);
            self.pair(1, "");
            self.pair(0, "ENDBLK");
            self.handle();
            self.pair(330, owner);
            self.pair(100, "AcDbEntity");
            self.pair(8, "0");
            self.pair(100, "AcDbBlockEnd");
        }
        self.pair(0, "ENDSEC");
    }

    fn objects(&mut self) {
        self.pair(0, "SECTION");
        self.pair(2, "OBJECTS");
        self.pair(0, "DICTIONARY");
        self.pair(5, "C");
        self.pair(330, "0");
        self.pair(100, "AcDbDictionary");
        self.pair(281, 1);
        self.pair(3, "ACAD_GROUP");
        self.pair(350, "D");
        self.pair(0, "DICTIONARY");
        self.pair(5, "D");
        self.pair(330, "C");
        self.pair(100, "AcDbDictionary");
        self.pair(281, 1);
        self.pair(0, "ENDSEC");
    }
}
