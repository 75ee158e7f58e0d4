//! The measure sheet: a form to print and fill in before anything is planned.

use super::content::{self, ROW_M, TEXT_M};
use super::sheet::{Anchor, Drawing, Ink, Paper, Shows};
use crate::outline::Point;
use crate::quantity::System;
use crate::shape::measure::Line;

/// Width of the form: what A4 and Letter hold. [m]
const WIDTH_M: f64 = 0.188;
/// Where its columns begin, over the width: key, what, with, ±, measured, else.
const COLUMNS: [(f64, &str); 5] = [
    (0.0, "what"),
    (0.42, "with"),
    (0.62, "± "),
    (0.70, "measured"),
    (0.83, "if not measured"),
];

/// A form of one kind of part.
pub(in crate::shape) fn measure_sheet(kind: &str, lines: &[Line], units: System) -> Drawing {
    let mut paper = Paper::new(WIDTH_M, units);
    let column = |i: usize| COLUMNS.get(i).map_or(1.0, |c| c.0) * WIDTH_M;
    let room = |i: usize| column(i + 1) - column(i) - 2e-3;
    paper.write(
        Point::new(paper.left_m, paper.y_m - 5e-3),
        4.5e-3,
        Anchor::Start,
        false,
        true,
        &format!("Measure sheet: {}", kind.replace('-', " ")),
    );
    paper.y_m -= 12e-3;
    for words in [
        "vehicle, place ................................................................   side: left / right / either   date ....................",
        "One sheet for each side: left and right are not mirror images. Measure from the show face; write ± where you are less sure.",
    ] {
        paper.text(
            Point::new(paper.left_m, paper.y_m),
            TEXT_M,
            Anchor::Start,
            words,
        );
        paper.y_m -= 1.4 * ROW_M;
    }
    content::table(&mut paper, "", &COLUMNS, &[]);
    for line in lines {
        let cells = [
            content::broken(line.what, room(0)),
            content::broken(line.with, room(1)),
            vec![line.spread(units)],
            vec![".................".into()],
            content::broken(
                match line.usual(units).as_str() {
                    "" => "must be measured",
                    usual => usual,
                },
                room(4),
            ),
        ];
        let rows = cells.iter().map(Vec::len).max().unwrap_or(1);
        for (i, cell) in cells.iter().enumerate() {
            for (k, words) in cell.iter().enumerate() {
                let at = Point::new(
                    paper.left_m + column(i),
                    paper.y_m - (k as f64 + 0.4) * ROW_M,
                );
                paper.text(at, TEXT_M, Anchor::Start, words);
            }
        }
        paper.y_m -= (rows as f64 + 0.7) * ROW_M;
        let (a, b) = (
            Point::new(paper.left_m, paper.y_m + 0.75 * ROW_M),
            Point::new(paper.right_m, paper.y_m + 0.75 * ROW_M),
        );
        paper.line(a, b, Ink::Measure);
    }
    paper.strip(WIDTH_M, Shows::Words);
    paper.lifted(&format!("measure sheet, {kind}"))
}
