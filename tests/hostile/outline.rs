//! Hostile drawings: a typed error that names the place, in a moment.

use mountwright::Error;
use mountwright::outline::{Unit, read_dxf, read_svg};
use proptest::prelude::*;

fn dxf(units: &str, entities: &str) -> String {
    format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{units}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n"
    )
}

fn line(x: f64, y: f64, u: f64, v: f64) -> String {
    format!("0\nLINE\n8\n0\n10\n{x}\n20\n{y}\n11\n{u}\n21\n{v}\n")
}

fn square() -> Vec<String> {
    vec![
        line(0.0, 0.0, 100.0, 0.0),
        line(100.0, 0.0, 100.0, 100.0),
        line(100.0, 100.0, 0.0, 100.0),
        line(0.0, 100.0, 0.0, 0.0),
    ]
}

fn message(text: &str) -> String {
    read_dxf("t.dxf", text, Unit::Stated)
        .unwrap_err()
        .to_string()
}

#[test]
fn open_doubled_and_crossing_contours_are_reported_with_their_place() {
    assert!(read_dxf("t.dxf", &dxf("4", &square().concat()), Unit::Stated).is_ok());
    let open = message(&dxf("4", &square()[..3].concat()));
    assert!(
        open.contains("is open") && open.contains("x 0.00 mm, y 100.00 mm"),
        "{open}"
    );
    let mut twice = square();
    twice.push(line(100.0, 0.0, 0.0, 0.0));
    let twice = message(&dxf("4", &twice.concat()));
    assert!(twice.contains("twice at x 0.00 mm, y 0.00 mm"), "{twice}");
    let bow = [
        line(0.0, 0.0, 100.0, 100.0),
        line(100.0, 100.0, 100.0, 0.0),
        line(100.0, 0.0, 0.0, 90.0),
        line(0.0, 90.0, 0.0, 0.0),
    ];
    let bow = message(&dxf("4", &bow.concat()));
    assert!(
        bow.contains("crosses or touches itself at x 47.37 mm, y 47.37 mm"),
        "{bow}"
    );
    // A second circle over the edge of the first part.
    let circle = "0\nCIRCLE\n10\n100\n20\n50\n40\n10\n";
    let over = message(&dxf("4", &(square().concat() + circle)));
    assert!(
        over.contains("crosses another contour that starts at x 110.00 mm"),
        "{over}"
    );
}

#[test]
fn wrong_units_blocks_and_nonsense_are_refused() {
    let whole = square().concat();
    assert!(message(&dxf("0", &whole)).contains("units"));
    assert!(message(&dxf("19", &whole)).contains("$INSUNITS 19"));
    // 100 m of plate: the drawing was made in millimetres and says metres.
    assert!(matches!(
        read_dxf("t.dxf", &dxf("6", &whole), Unit::Stated),
        Err(Error::Job { .. } | Error::OutOfRange { .. })
    ));
    // 100 µm.
    assert!(matches!(
        read_dxf("t.dxf", &dxf("13", &whole), Unit::Stated),
        Err(Error::OutOfRange { .. })
    ));
    let silent = read_dxf("t.dxf", &dxf("0", &whole), Unit::ElseInch).unwrap();
    assert!(silent.notes.iter().all(|n| n.about != "units"));
    // What the file says holds over what is asked for beside it, and that is said.
    let stated = read_dxf("t.dxf", &dxf("4", &whole), Unit::ElseInch).unwrap();
    assert!(
        stated
            .notes
            .iter()
            .any(|n| n.about == "units" && n.text.contains("inches"))
    );
    assert!((silent.parts[0].size_m().0 / stated.parts[0].size_m().0 - 25.4).abs() < 1e-9);
    assert!(message(&dxf("4", "0\nINSERT\n2\nB\n10\n0\n20\n0\n")).contains("explode"));
    for text in [
        "",
        "not a drawing",
        "0\nSECTION",
        "AutoCAD Binary DXF\r\n\u{1a}\u{0}",
        "0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nnan\n20\n0\n11\n1\n21\n1\n0\nEOF\n",
    ] {
        assert!(
            read_dxf("t.dxf", text, Unit::ElseMillimetre).is_err(),
            "{text}"
        );
    }
    for entity in [
        "0\nCIRCLE\n10\n0\n20\n0\n40\n-5\n",
        "0\nCIRCLE\n10\n1e300\n20\n0\n40\n5\n",
        "0\nARC\n10\n0\n20\n0\n40\n5\n50\n0\n",
        "0\nELLIPSE\n10\n0\n20\n0\n11\n0\n21\n0\n40\n0.5\n",
        "0\nSPLINE\n71\n3\n40\n0\n10\n0\n20\n0\n",
        "0\nSPLINE\n71\n400000000000\n40\n0\n10\n0\n20\n0\n",
        "0\nLWPOLYLINE\n70\n1\n10\n0\n20\n0\n42\n1e300\n10\n50\n20\n50\n42\n1e300\n",
        "0\nLINE\n10\n1e999\n20\n0\n11\n1\n21\n1\n",
        "0\nCIRCLE\n10\n0\n20\n0\n40\n5\n210\n1\n220\n0\n230\n0\n",
        "0\nVERTEX\n10\n0\n20\n0\n",
    ] {
        assert!(
            read_dxf("t.dxf", &dxf("4", entity), Unit::Stated).is_err(),
            "{entity}"
        );
    }
}

#[test]
fn a_million_entities_are_refused_quickly() {
    let one = line(0.0, 0.0, 1.0, 1.0);
    let text = dxf("4", &one.repeat(1_000_000));
    match read_dxf("t.dxf", &text, Unit::Stated) {
        Err(Error::OutOfRange { what, .. }) => assert!(what.contains("DXF")),
        other => panic!("{other:?}"),
    }
    // Below the limit: a star of lines through one point, and lines that never meet.
    let star: String = (0..50_000)
        .map(|i| line(0.0, 0.0, f64::from(i) * 0.01, 50.0))
        .collect();
    assert!(message(&dxf("4", &star)).contains("meet near"));
    let loose: String = (0..50_000)
        .map(|i| line(f64::from(i) * 0.1, 0.0, f64::from(i) * 0.1, 50.0))
        .collect();
    assert!(
        matches!(read_dxf("t.dxf", &dxf("4", &loose), Unit::Stated), Err(Error::Job { problems, .. }) if problems.len() <= 50)
    );
}

fn svg(body: &str) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"100mm\" height=\"100mm\" viewBox=\"0 0 100 100\">{body}</svg>"
    )
}

#[test]
fn scripts_entities_and_references_are_refused() {
    let rect = "<rect width=\"50\" height=\"50\"/>";
    assert!(read_svg("t.svg", &svg(rect)).is_ok());
    let bomb = format!(
        "<?xml version=\"1.0\"?><!DOCTYPE svg [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]>{}",
        svg(rect)
    );
    let outside = format!("<!DOCTYPE svg SYSTEM \"file:///etc/passwd\">{}", svg(rect));
    let nested = "<g>".repeat(100_000) + &"</g>".repeat(100_000);
    for (text, says) in [
        (bomb, "DOCTYPE"),
        (outside, "DOCTYPE"),
        (svg("<script>alert(1)</script>"), "script"),
        (
            svg("<rect onload=\"x()\" width=\"5\" height=\"5\"/>"),
            "script",
        ),
        (svg("<image href=\"x.png\"/>"), "image"),
        (svg("<use href=\"#a\"/>"), "use"),
        (
            svg("<a href=\"http://example.com\"><rect width=\"5\" height=\"5\"/></a>"),
            "elsewhere",
        ),
        (svg(&nested), "nested"),
        (svg("<svg/>"), "within"),
        (svg("<path d=\"M0 0L1 1x\"/>"), "nonsense"),
        (
            svg("<path d=\"M0 0h50v50z\"/>").replace("100mm", "100%"),
            "absolute size",
        ),
        (
            svg(rect).replace("viewBox=\"0 0 100 100\"", "viewBox=\"0 0 100 50\""),
            "ratio",
        ),
        (svg("<rect width=\"50%\" height=\"50\"/>"), "relative"),
        (svg("<path d=\"M0 0h1e300v1e300z\"/>"), "SVG"),
        (svg("<path d=\"M0 0h50v50\"/>"), "is open"),
        (svg(""), "no closed contour"),
        (svg("<path d=\"M0 0h0.01v0.01h-0.01z\"/>"), "units"),
        ("<html/>".into(), "another XML"),
        ("<svg".into(), "SVG"),
        (String::new(), "size"),
    ] {
        let error = read_svg("t.svg", &text).unwrap_err().to_string();
        assert!(error.contains(says), "{says}: {error}");
    }
}

proptest! {
    #[test]
    fn any_path_is_read_or_refused(data in "[MLHVCSQTAZmlhvcsqtaz0-9 .,eE-]{0,80}", matrix in prop::collection::vec(-3.0..3.0_f64, 6)) {
        let transform: Vec<String> = matrix.iter().map(ToString::to_string).collect();
        let text = svg(&format!("<path transform=\"matrix({})\" d=\"M10 10{data}\"/>", transform.join(" ")));
        if let Ok(read) = read_svg("t.svg", &text) {
            for part in read.parts {
                prop_assert!(part.faults().is_empty() && part.area_m2().is_finite());
                let (outside, _) = part.flatten(5e-5);
                prop_assert!(outside.iter().all(|p| p.x_m.is_finite() && p.y_m.is_finite()));
            }
        }
    }

    #[test]
    fn any_pairs_are_read_or_refused(pairs in prop::collection::vec((prop::sample::select(vec![0, 10, 20, 11, 21, 40, 41, 42, 50, 51, 70, 71, 230]), "(LINE|ARC|CIRCLE|LWPOLYLINE|SPLINE|ELLIPSE|POLYLINE|VERTEX|SEQEND|[0-9.e-]{1,6})"), 0..60)) {
        let body = pairs.iter().fold(String::new(), |body, (code, value)| body + &format!("{code}\n{value}\n"));
        if let Ok(read) = read_dxf("t.dxf", &dxf("4", &body), Unit::Stated) {
            for part in read.parts {
                prop_assert!(part.faults().is_empty());
                part.flatten(5e-5);
            }
        }
    }
}
