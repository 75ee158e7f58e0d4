//! What must hold for any outline: written and read back it is the same.

use mountwright::outline::{
    Chain, Circle, Corner, Outline, Placement, Point, Unit, read_dxf, read_svg,
};
use proptest::prelude::*;

proptest! {
    #[test]
    fn drawings_come_back_as_they_were_written(
        w in 0.05..0.5_f64, h in 0.05..0.5_f64, corner in 0.001..0.02_f64, r in 0.002..0.01_f64, turn in 0.0..6.0_f64,
        dent in 0.2..0.9_f64,
    ) {
        let corners = [
            Corner::new(-w / 2.0, -h / 2.0, corner),
            Corner::new(w / 2.0, -h / 2.0, 0.0),
            Corner::new(w / 2.0, h / 2.0, corner),
            Corner::new(0.0, h / 2.0 * dent, corner),
            Corner::new(-w / 2.0, h / 2.0, corner),
        ];
        let hole = Chain::circle(Circle { centre: Point::new(0.0, -h / 4.0), radius_m: r });
        let placement = Placement { turn_rad: turn, x_m: 0.5, y_m: 0.5 };
        let part = Outline::new(Chain::rounded_polygon(&corners), vec![hole]).placed(placement);
        prop_assume!(part.faults().is_empty());
        let text = part.dxf();
        let from_dxf = read_dxf("p.dxf", &text, Unit::Stated).unwrap();
        let path: String = std::iter::once(&part.outside).chain(&part.holes).map(|c| c.svg_path(0.0, 1.0)).collect();
        let svg = format!("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"1000mm\" height=\"1000mm\" viewBox=\"0 0 1000 1000\"><path d=\"{path}\"/></svg>");
        let from_svg = read_svg("p.svg", &svg).unwrap();
        // Written to 1e-9 mm in DXF, 1e-4 mm in SVG.
        for (read, place_m) in [(from_dxf, 1e-11), (from_svg, 2e-7)] {
            prop_assert_eq!(read.parts.len(), 1);
            let back = &read.parts[0];
            prop_assert_eq!(back.holes.len(), 1);
            prop_assert!((back.area_m2() - part.area_m2()).abs() < place_m * part.edge_length_m() + 1e-15);
            prop_assert!((back.edge_length_m() - part.edge_length_m()).abs() < 1e3 * place_m);
        }
    }

    #[test]
    fn green_agrees_with_fine_polygons(w in 0.02..0.5_f64, ratio in 0.2..5.0_f64, corner in 0.0..0.05_f64) {
        for chain in [
            Chain::ellipse(Point::new(0.1, -0.2), w, w * ratio, 1e-5),
            Chain::rounded_rectangle(Point::new(0.3, 0.0), w, w * ratio, corner),
        ] {
            let chord = 1e-6;
            let inner = Chain::polygon(&chain.flatten(chord, false)).area_m2();
            let outer = Chain::polygon(&chain.flatten(chord, true)).area_m2();
            let slack = 1e-15;
            prop_assert!(inner <= chain.area_m2() + slack && chain.area_m2() <= outer + slack);
            prop_assert!(outer - inner < 2.1 * chord * chain.length_m());
        }
    }
}
