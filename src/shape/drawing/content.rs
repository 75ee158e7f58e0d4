//! What stands below the views: legend, tables, notes, calibration bars and title block.

use super::figure::{figure, thickness, unit};
use super::sheet::{Anchor, Ink, Item, Paper, Title, clean};
use super::view::{LEAST_TEXT_M, letter};
use crate::outline::{Chain, Point, as_circle};
use crate::quantity::said;
use crate::shape::blank::{Blank, Contour, Drill, Faces, Grain, Hand, HoleKind, Mark, Toward};

pub(super) const TEXT_M: f64 = 0.0026;
pub(super) const ROW_M: f64 = 0.0044;
/// Mean width of a letter over its size, for breaking lines (common practice for sans-serif, no source).
const LETTER: f64 = 0.5;
/// Between two lines of a cell.
const LINE_M: f64 = 3.4e-3;

/// The meaning of the lines that this blank has.
pub(super) fn legend(blank: &Blank, paper: &mut Paper) {
    let later = blank.holes_after_trial_fit() > 0;
    let trimmed = blank
        .marks
        .iter()
        .any(|m| matches!(m, Mark::TrimLine { .. }));
    let contour = blank
        .marks
        .iter()
        .any(|m| matches!(m, Mark::Contour { .. }));
    let entries = [
        (true, Ink::Cut, "cut"),
        (!blank.bends.is_empty(), Ink::Bend, "bend begins, ends"),
        (trimmed, Ink::Trim, "trim after trial fit"),
        (later, Ink::Later, "drill after trial fit"),
        (contour, Ink::Contour, "dotted: see table"),
        (!blank.heated.is_empty(), Ink::Zone, "heated"),
    ];
    let mut x = paper.left_m;
    let y = paper.y_m - 3e-3;
    for (_, ink, text) in entries.into_iter().filter(|(shown, _, _)| *shown) {
        if ink == Ink::Zone {
            let chain = Chain::rounded_rectangle(Point::new(x + 4e-3, y + 1e-3), 8e-3, 2.6e-3, 0.0);
            paper.items.push(Item::Chain { chain, ink });
        } else {
            paper.line(Point::new(x, y + 1e-3), Point::new(x + 8e-3, y + 1e-3), ink);
        }
        paper.text(Point::new(x + 9e-3, y), TEXT_M, Anchor::Start, text);
        x += 9e-3 + TEXT_M * LETTER * (text.len() as f64 + 5.0);
    }
    paper.y_m = y - 3e-3;
}

/// A table with its own column places (fractions of the width).
pub(super) fn table(paper: &mut Paper, head: &str, columns: &[(f64, &str)], rows: &[Vec<String>]) {
    let width = paper.width_m();
    paper.write(
        Point::new(paper.left_m, paper.y_m - ROW_M),
        TEXT_M,
        Anchor::Start,
        false,
        true,
        head,
    );
    let mut y = paper.y_m - 2.0 * ROW_M;
    for (place, name) in columns {
        paper.text(
            Point::new(paper.left_m + place * width, y),
            TEXT_M,
            Anchor::Start,
            name,
        );
    }
    paper.line(
        Point::new(paper.left_m, y - 1.2e-3),
        Point::new(paper.right_m, y - 1.2e-3),
        Ink::Frame,
    );
    for row in rows {
        y -= ROW_M;
        for ((place, _), cell) in columns.iter().zip(row) {
            paper.text(
                Point::new(paper.left_m + place * width, y),
                TEXT_M,
                Anchor::Start,
                cell,
            );
        }
    }
    paper.y_m = y - 3e-3;
}

pub(super) fn bends(blank: &Blank, paper: &mut Paper) {
    if blank.bends.is_empty() {
        return;
    }
    let length = |m: f64| figure(m, paper.units);
    let rows: Vec<Vec<String>> = blank
        .bends
        .iter()
        .enumerate()
        .map(|(i, bend)| {
            vec![
                letter(i),
                bend.name.clone(),
                format!("{:.1}°", bend.angle_rad.to_degrees()),
                length(bend.inside_radius_m),
                match bend.toward {
                    Toward::Show => "flap towards the show face".into(),
                    Toward::Back => "flap away from the show face".into(),
                },
                length(bend.allowance_m),
                format!("{:.0} %", bend.outer_strain * 100.0),
                format!(
                    "{:.0} %",
                    100.0 * bend.outer_strain / (1.0 + bend.outer_strain)
                ),
            ]
        })
        .collect();
    table(
        paper,
        &format!("Bends, in this order ({})", unit(paper.units)),
        &[
            (0.0, ""),
            (0.04, "bend"),
            (0.26, "angle"),
            (0.36, "inside R"),
            (0.47, "direction"),
            (0.73, "length"),
            (0.82, "stretch"),
            (0.91, "thinner"),
        ],
        &rows,
    );
}

pub(super) fn holes(blank: &Blank, paper: &mut Paper) {
    let units = paper.units;
    let length = |m: f64| figure(m, units);
    let rows: Vec<Vec<String>> = blank
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Hole {
                name,
                kind,
                centre,
                diameter_m,
                drill,
            } => Some((name, kind, centre, diameter_m, drill)),
            _ => None,
        })
        .enumerate()
        .map(|(i, (name, kind, centre, diameter_m, drill))| {
            vec![
                (i + 1).to_string(),
                name.clone(),
                length(centre.x_m),
                length(centre.y_m),
                match kind {
                    HoleKind::Round => format!("Ø {}", length(*diameter_m)),
                    HoleKind::Slot { length_m, .. } => {
                        format!("slot {} x {}", length(*diameter_m), length(*length_m))
                    }
                },
                match drill {
                    Drill::Now => "drill in the flat".into(),
                    Drill::AfterTrialFit => "mark at the trial fit, then drill".into(),
                },
            ]
        })
        .collect();
    if rows.is_empty() {
        return;
    }
    table(
        paper,
        &format!("Holes ({} from the centre mark)", unit(units)),
        &[
            (0.0, ""),
            (0.04, "hole"),
            (0.30, "x"),
            (0.40, "y"),
            (0.50, "size"),
            (0.68, "when"),
        ],
        &rows,
    );
}

/// Where each opening lies and how large it is; drilled holes have a table of their own.
pub(super) fn openings(blank: &Blank, paper: &mut Paper) {
    let units = paper.units;
    let length = |m: f64| figure(m, units);
    let mut rows = vec![];
    for hole in &blank.outline.holes {
        let (l, b, r, t) = hole.bounds_m();
        let (x, y) = (f64::midpoint(l, r), f64::midpoint(b, t));
        if blank.drills(hole) {
            continue;
        }
        let size = match as_circle(hole) {
            Some((_, radius_m)) => format!("Ø {}", length(2.0 * radius_m)),
            None => format!("{} x {}", length(r - l), length(t - b)),
        };
        rows.push(vec![
            format!("opening {}", rows.len() + 1),
            length(x),
            length(y),
            size,
        ]);
    }
    if !rows.is_empty() {
        table(
            paper,
            &format!(
                "Openings ({}, their middle from the centre mark)",
                unit(units)
            ),
            &[(0.04, "opening"), (0.30, "x"), (0.40, "y"), (0.50, "size")],
            &rows,
        );
    }
}

/// What the dotted lines are: cut into a face without going through, or cut only once it is formed.
pub(super) fn contours(blank: &Blank, paper: &mut Paper) {
    let units = paper.units;
    let length = |m: f64| figure(m, units);
    let flanged = blank.marks.iter().any(|mark| {
        matches!(
            mark,
            Mark::Contour {
                what: Contour::Flange,
                ..
            }
        )
    });
    let rows: Vec<Vec<String>> = blank
        .marks
        .iter()
        .filter_map(|mark| match mark {
            Mark::Contour {
                what: contour,
                chain,
                depth_m,
            } => {
                let (l, b, r, t) = chain.bounds_m();
                let what = match contour {
                    Contour::Chamfer => "chamfer from the back, up to the dotted line",
                    Contour::Recess => "recess in the back, up to the dotted line",
                    Contour::Countersink => "countersink in the show face",
                    Contour::Bevel => {
                        "bevel of the upper outer edge, from the dotted line outwards"
                    }
                    Contour::Glue => "takes adhesive",
                    Contour::Rim if flanged => {
                        "rim of the plug: formed inside, clamped or flat outside"
                    }
                    Contour::Rim => "rim of the plug: cut through here, but only after forming",
                    Contour::Flange => {
                        "edge of the flange: cut through here, but only after forming"
                    }
                };
                Some(vec![
                    what.into(),
                    format!("{} x {}", length(r - l), length(t - b)),
                    // What is formed has no depth that a tool is set to.
                    if matches!(contour, Contour::Rim | Contour::Flange) {
                        String::new()
                    } else {
                        length(*depth_m)
                    },
                ])
            }
            _ => None,
        })
        .collect();
    let mut columns = vec![(0.0, "what"), (0.6, "over all")];
    if rows
        .iter()
        .any(|row| row.last().is_some_and(|depth| !depth.is_empty()))
    {
        columns.push((0.8, "depth"));
    }
    if !rows.is_empty() {
        table(
            paper,
            &format!("Dotted lines ({})", unit(units)),
            &columns,
            &rows,
        );
    }
}

pub(super) fn notes(blank: &Blank, paper: &mut Paper) {
    let mut lines = vec![];
    for note in &blank.notes {
        let words = said(&note.to_string(), paper.units);
        lines.extend(broken(&words, paper.width_m()));
    }
    if blank.faces == Faces::OneSided {
        lines.push("one-sided sheet: show face up in this view; it may be turned in the layout, never flipped; film on while cutting".into());
    }
    if !blank.heated.is_empty() {
        lines.push("protective film: on while cutting, off before heat".into());
    }
    match blank.grain {
        Grain::Free => {}
        Grain::AlongX => lines.push("grain of the sheet along x".into()),
        Grain::AlongY => lines.push("grain of the sheet along y".into()),
    }
    for line in lines {
        paper.y_m -= ROW_M;
        paper.text(
            Point::new(paper.left_m, paper.y_m),
            TEXT_M,
            Anchor::Start,
            &line,
        );
    }
    paper.y_m -= 3e-3;
}

/// Lines that fit a width, broken at spaces, and within a word that is longer than a line.
pub(super) fn broken(text: &str, width_m: f64) -> Vec<String> {
    let mut lines = vec![];
    let mut line = String::new();
    let fits = |letters: usize| (letters + 1) as f64 * TEXT_M * LETTER <= width_m;
    for word in clean(text).split_whitespace() {
        if !fits(line.chars().count() + word.chars().count()) && !line.is_empty() {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for letter in word.chars() {
            if !line.is_empty() && !fits(line.chars().count()) {
                lines.push(std::mem::take(&mut line));
            }
            line.push(letter);
        }
    }
    lines.push(line);
    lines
}

/// Bars of 100 mm and 4 in: a print that was scaled shows at once.
pub(super) fn calibration(paper: &mut Paper) {
    let x = paper.left_m;
    for (length_m, parts, text) in [
        (
            0.100,
            10_u32,
            "100 mm: measure this bar before you cut; print at 100 %, without fitting to the page",
        ),
        (0.1016, 4, "4 in"),
    ] {
        paper.text(Point::new(x, paper.y_m - 3e-3), TEXT_M, Anchor::Start, text);
        let y = paper.y_m - 7e-3;
        let step = length_m / f64::from(parts);
        for i in (0..parts).step_by(2) {
            paper.items.push(Item::Bar {
                at: Point::new(x + step * f64::from(i), y),
                width_m: step,
                height_m: 2e-3,
            });
        }
        for (y, z) in [(y, y), (y + 2e-3, y + 2e-3)] {
            paper.line(Point::new(x, y), Point::new(x + length_m, z), Ink::Frame);
        }
        for at in [x, x + length_m] {
            paper.line(
                Point::new(at, y - 1e-3),
                Point::new(at, y + 3e-3),
                Ink::Frame,
            );
        }
        paper.y_m = y - 2e-3;
    }
    paper.y_m -= 2e-3;
}

/// Part, material, thickness, hand, scale; two rows of cells.
pub(super) fn title_block(blank: &Blank, title: &Title, paper: &mut Paper) {
    let hand = match blank.hand {
        Hand::Left => "left side",
        Hand::Right => "right side",
        Hand::Either => "either side",
    };
    let units = paper.units;
    let mut size = thickness(blank.thickness_m, units);
    if let Some(length_m) = blank.developed_length_m {
        size = format!(
            "{size}, developed {} {}",
            figure(length_m, units),
            unit(units)
        );
    }
    let scale = format!("1 : 1, {}", unit(units));
    let rows: [&[(f64, &str, &str)]; 2] = [
        &[
            (0.0, "part", &blank.name),
            (0.5, "job", &title.job),
            (0.85, "scale, unit", &scale),
        ],
        &[
            (0.0, "material", &title.material),
            (0.36, "thickness", &size),
            (0.68, "side", hand),
            (0.85, "", &title.remark),
        ],
    ];
    let (l, r) = (paper.left_m, paper.right_m);
    for cells in rows {
        let ends = cells.iter().skip(1).map(|c| c.0).chain([1.0]);
        let cells: Vec<_> = cells
            .iter()
            .zip(ends)
            .map(|((place, label, value), end)| {
                let room = (end - place) * paper.width_m() - 2e-3;
                (l + place * paper.width_m(), label, fitted(value, room))
            })
            .collect();
        let more = cells.iter().map(|(_, _, value)| value.1.len()).max();
        let height = 9e-3 + more.map_or(0.0, |n| n.saturating_sub(1) as f64) * LINE_M;
        let (top, bottom) = (paper.y_m, paper.y_m - height);
        paper.line(Point::new(l, top), Point::new(r, top), Ink::Frame);
        for (x, label, (size, lines)) in cells {
            paper.line(Point::new(x, top), Point::new(x, bottom), Ink::Frame);
            let x = x + 1.2e-3;
            paper.text(
                Point::new(x, top - 3e-3),
                LEAST_TEXT_M,
                Anchor::Start,
                label,
            );
            let mut y = top - 7.4e-3;
            for line in lines {
                paper.write(Point::new(x, y), size, Anchor::Start, false, true, &line);
                y -= LINE_M;
            }
        }
        paper.line(Point::new(r, top), Point::new(r, bottom), Ink::Frame);
        paper.y_m = bottom;
    }
    paper.line(
        Point::new(l, paper.y_m),
        Point::new(r, paper.y_m),
        Ink::Frame,
    );
}

/// Size and lines of a value in a cell of the title block: a long one smaller, down to what can be read, then on more lines.
fn fitted(value: &str, room_m: f64) -> (f64, Vec<String>) {
    // Bold letters are wider than those that `broken` counts.
    let letters = clean(value).chars().count().max(1) as f64;
    let size = room_m / (letters * 0.7);
    if size < LEAST_TEXT_M {
        return (LEAST_TEXT_M, broken(value, room_m * LETTER / 0.6));
    }
    (size.min(0.0034), vec![clean(value)])
}
