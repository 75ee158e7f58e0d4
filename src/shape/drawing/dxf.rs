//! The drawing as DXF: the blank at true size about its own centre mark, one layer for each kind of line.

use std::collections::BTreeMap;

use super::sheet::{Anchor, Drawing, Ink, Item, Shows};
use crate::outline::{Chain, DxfLayer, DxfText, Point, dxf};

impl Ink {
    /// Colour number of its layer in DXF.
    fn colour(self) -> u8 {
        match self {
            Self::Cut => 7,
            Self::Drill => 5,
            Self::Later => 6,
            Self::Bend => 1,
            Self::Centre => 4,
            Self::Trim => 30,
            Self::Zone => 2,
            Self::Contour => 3,
            Self::Measure => 8,
            Self::Frame => 9,
        }
    }
}

impl Drawing {
    /// The drawing as an ASCII DXF file (R2000) in millimetres, with layers `CUT`, `DRILL`, `BEND`, `ZONE` and so on.
    ///
    /// The centre mark of the view from the show face is the origin. What shows the back is on layers that begin with
    /// `BACK-`, so that a machine is never sent both faces: cut the layers `CUT` and `DRILL`.
    pub fn dxf(&self) -> String {
        let (x0, y0) = self.origin_m.map_or((0.0, 0.0), |p| (p.x_m, p.y_m));
        let mut layers: BTreeMap<(bool, Ink), Owned> = BTreeMap::new();
        let mut words: Vec<DxfText> = vec![];
        let mut taken = 0;
        for band in &self.bands {
            let items = self.items.get(taken..band.items).unwrap_or(&[]);
            taken = band.items;
            let back = band.shows == Shows::Back;
            // A line that explains a line is no contour: cut, it would mar the sheet.
            let layer = |ink| match band.shows {
                Shows::Words => (false, Ink::Frame),
                Shows::Front | Shows::Back => (back, ink),
            };
            for item in items {
                let to = |p: Point| Point::new(p.x_m - x0, p.y_m - y0);
                match item {
                    Item::Chain { chain, ink } => layers
                        .entry(layer(*ink))
                        .or_default()
                        .chains
                        .push(chain.moved(-x0, -y0)),
                    Item::Line { from, to: end, ink } => layers
                        .entry(layer(*ink))
                        .or_default()
                        .lines
                        .push((to(*from), to(*end))),
                    Item::Bar {
                        at,
                        width_m,
                        height_m,
                    } => {
                        let middle = Point::new(at.x_m + width_m / 2.0, at.y_m + height_m / 2.0);
                        let bar = Chain::rounded_rectangle(to(middle), *width_m, *height_m, 0.0);
                        layers
                            .entry(layer(Ink::Frame))
                            .or_default()
                            .chains
                            .push(bar);
                    }
                    Item::Text {
                        at,
                        size_m,
                        anchor,
                        upwards,
                        text,
                        ..
                    } => words.push(DxfText {
                        at: to(*at),
                        // DXF measures capitals, which are 0.72 of the body in a sans-serif face.
                        height_m: size_m * 0.72,
                        turn_deg: if *upwards { 90.0 } else { 0.0 },
                        anchor: match anchor {
                            Anchor::Start => 0,
                            Anchor::Middle => 1,
                            Anchor::End => 2,
                        },
                        text: text.clone(),
                    }),
                }
            }
        }
        let names: Vec<String> = layers
            .keys()
            .map(|(back, ink)| {
                let face = if *back { "BACK-" } else { "" };
                format!("{face}{}", ink.name().to_uppercase())
            })
            .collect();
        let mut all: Vec<DxfLayer> = layers
            .iter()
            .zip(&names)
            .map(|(((_, ink), owned), name)| DxfLayer {
                name,
                colour: ink.colour(),
                chains: owned.chains.iter().collect(),
                lines: owned.lines.clone(),
                ..DxfLayer::default()
            })
            .collect();
        all.push(DxfLayer {
            name: "TEXT",
            texts: words,
            ..DxfLayer::default()
        });
        all.push(DxfLayer {
            name: "HOLE-CENTRES",
            points: self
                .centres_m
                .iter()
                .map(|p| Point::new(p.x_m - x0, p.y_m - y0))
                .collect(),
            ..DxfLayer::default()
        });
        dxf(&all)
    }
}

#[derive(Default)]
struct Owned {
    chains: Vec<Chain>,
    lines: Vec<(Point, Point)>,
}
