//! Drawings made by another library, and sizes known from plane geometry.

use std::f64::consts::PI;

use mountwright::outline::{Unit, read_dxf, read_svg};

const INCH: f64 = 0.0254;

#[test]
fn a_drawing_of_an_independent_library_is_read_with_its_units_and_holes() {
    // Written by ezdxf in inches; see tests/data/outline/README.md.
    let text = include_str!("../data/outline/plate_inches.dxf");
    let read = read_dxf("plate_inches.dxf", text, Unit::Stated).unwrap();
    assert_eq!(read.parts.len(), 2);
    let plate = &read.parts[0];
    let (w, h) = plate.size_m();
    assert!((w - 6.0 * INCH).abs() < 1e-9 && (h - 4.0 * INCH).abs() < 1e-9);
    assert_eq!(plate.holes.len(), 4);
    // Plate less a corner fillet, two circles, an ellipse of half axes √0.68 and half of it, a slot with two half rounds.
    let square = 24.0 - (1.0 - PI / 4.0);
    let holes = 2.0 * PI / 16.0 + PI * 0.68 * 0.5 + (1.0 + PI / 4.0);
    // Arcs stand for the ellipse to within 5 µm of its 4 in.
    assert!((plate.area_m2() / (INCH * INCH) - (square - holes)).abs() < 4.0 * 5e-6 / INCH);
    let spline = &read.parts[1];
    assert!((spline.area_m2() / (INCH * INCH) - 6.879_896_9).abs() < 9.85 * 5e-6 / INCH);
    // A bump of 5 µm on a piece of 4 mm lengthens it by (π off/len)² ≈ 2e-5.
    assert!((spline.edge_length_m() / INCH - 9.849_848).abs() < 2e-5 * 9.85);
    assert_eq!(read.notes.len(), 1, "the text is left out and said so");
}

#[test]
fn svg_shapes_have_the_size_that_css_gives_them() {
    // CSS: 96 px, 72 pt, 6 pc and 25.4 mm to the inch. Each file is a square of one inch.
    for (size, view) in [
        ("96", "0 0 96 96"),
        ("96px", "0 0 1 1"),
        ("72pt", "0 0 7 7"),
        ("6pc", "-3 -3 5 5"),
        ("1in", "0 0 10 10"),
        ("2.54cm", "0 0 10 10"),
        ("25.4mm", "0 0 10 10"),
    ] {
        let side: f64 = view.rsplit(' ').next().unwrap().parse().unwrap();
        let corner: f64 = view.split(' ').next().unwrap().parse().unwrap();
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{size}\" height=\"{size}\" viewBox=\"{view}\"><rect x=\"{corner}\" y=\"{corner}\" width=\"{side}\" height=\"{side}\"/></svg>"
        );
        let read = read_svg("square.svg", &text).unwrap();
        let (left, bottom, right, top) = read.parts[0].bounds_m();
        for (got, want) in [(left, 0.0), (bottom, 0.0), (right, INCH), (top, INCH)] {
            assert!((got - want).abs() < 1e-12, "{size}");
        }
    }
}

#[test]
fn svg_curves_have_their_textbook_areas() {
    let area = |body: &str| {
        let text = format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200mm\" height=\"200mm\" viewBox=\"0 0 200 200\">{body}</svg>"
        );
        let read = read_svg("curves.svg", &text).unwrap();
        assert_eq!(read.parts.len(), 1);
        read.parts[0].area_m2() * 1e6
    };
    // Arcs of a circle, of an ellipse turned and sheared by transforms (areas scale with the determinant).
    let close = |got: f64, want: f64| assert!((got - want).abs() < 3.0, "{got} {want}");
    close(
        area("<circle cx=\"100\" cy=\"100\" r=\"50\"/>"),
        PI * 2500.0,
    );
    close(
        area("<path d=\"M50 100a50 50 0 1 1 100 0a50 50 0 1 1 -100 0z\"/>"),
        PI * 2500.0,
    );
    close(
        area(
            "<ellipse cx=\"100\" cy=\"100\" rx=\"60\" ry=\"30\" transform=\"rotate(30 100 100)\"/>",
        ),
        PI * 1800.0,
    );
    close(
        area(
            "<g transform=\"matrix(0.5 0 0.2 0.4 10 10)\"><circle cx=\"100\" cy=\"100\" r=\"50\"/></g>",
        ),
        PI * 2500.0 * 0.2,
    );
    close(
        area("<path d=\"M40 100A60 30 0 0 0 160 100A60 30 0 0 0 40 100\"/>"),
        PI * 1800.0,
    );
    // A parabola cut off by its chord holds two thirds of the box round it (Archimedes): box 100 by 50.
    close(
        area("<path d=\"M50 150Q100 50 150 150Z\"/>"),
        2.0 / 3.0 * 100.0 * 50.0,
    );
    close(
        area("<path d=\"M50,150 c33.333333,-66.666667 66.666667,-66.666667 100,0 z\"/>"),
        2.0 / 3.0 * 100.0 * 50.0,
    );
    // Rounded rectangle: w h less (4 − π) r².
    close(
        area("<rect x=\"10\" y=\"10\" width=\"100\" height=\"80\" rx=\"20\"/>"),
        8000.0 - (4.0 - PI) * 400.0,
    );
    // A path with its hole, run the same way: holes are found by where they lie.
    close(
        area("<path d=\"M0 0h100v100h-100zM20 20h60v60h-60z\"/>"),
        10_000.0 - 3600.0,
    );
}
