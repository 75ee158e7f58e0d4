//! Materials files that are wrong, broken or malicious: every fault with its line and key, never a panic.

use mountwright::Error;
use mountwright::error::Problem;
use mountwright::material::{Catalogue, Property, Table};

fn faults(text: &str) -> Vec<Problem> {
    match Catalogue::standard()
        .unwrap()
        .overlaid_with(text, "own.toml")
    {
        Err(Error::Job { path, problems }) => {
            assert_eq!(path, "own.toml");
            problems
        }
        Err(other) => panic!("{other}"),
        Ok(_) => vec![],
    }
}

fn told(text: &str) -> String {
    let problems = faults(text);
    assert!(!problems.is_empty(), "accepted: {text}");
    problems
        .iter()
        .map(ToString::to_string)
        .collect::<Vec<_>>()
        .join("\n")
}

/// A file that changes one property of ABS.
fn abs(line: &str) -> String {
    format!("schema = 1\n[materials.abs.properties]\n{line}\n")
}

const END: &str = "standing = \"remembered\", source = \"handbooks-remembered\" }";

#[test]
fn what_is_not_a_materials_file_is_refused() {
    assert!(told("{\"schema\": 1}").contains("not TOML"));
    assert!(told("schema = 2\n").contains("newer"));
    assert!(told("").contains("schema"));
    assert!(told("schema = 1\nmaterials = 3\n").contains("materials"));
    let deep = format!(
        "schema = 1\nx = {}1{}",
        "[".repeat(200_000),
        "]".repeat(200_000)
    );
    assert!(!faults(&deep).is_empty());
    let huge = format!("schema = 1\n#{}", "x".repeat(5 << 20));
    assert!(told(&huge).contains("bytes"));
}

#[test]
fn every_fault_of_a_number_names_its_line_and_key() {
    for (line, expected) in [
        (format!("densty = {{ value = 1000, low = 1000, high = 1000, unit = \"kg/m3\", {END}"), "nearest: density"),
        (format!("density = {{ value = 1000, low = 1000, high = 1000, unit = \"W/m/K\", {END}"), "expected a density"),
        (format!("limp = {{ value = 3, low = 3, high = 3, unit = \"mm\", {END}"), "belongs to a length"),
        (format!("density = {{ value = nan, low = 1000, high = 1000, unit = \"kg/m3\", {END}"), "NaN"),
        (format!("density = {{ value = inf, low = 1000, high = 1000, unit = \"kg/m3\", {END}"), "inf"),
        (format!("density = {{ value = 1e308, low = 1, high = 1e308, unit = \"g/cm3\", {END}"), "finite"),
        (format!("density = {{ value = 1000, low = 1100, high = 900, unit = \"kg/m3\", {END}"), "must not fall"),
        (format!("density = {{ value = 1.04, low = 1, high = 1.1, unit = \"kg/m3\", {END}"), "slip of unit"),
        (format!("density = {{ value = 1000, low = 1000, hi = 1000, unit = \"kg/m3\", {END}"), "high"),
        (format!("limp = {{ value = 190, low = 190, high = 190, unit = \"°C\", {END}"), "limp is above formable"),
        (format!("set = {{ value = 85, low = 85, high = 128, unit = \"°C\", {END}"), "nothing would ever set"),
        ("density = { value = 1000, low = 1000, high = 1000, unit = \"kg/m3\", standing = \"published\", source = \"handbooks-remembered\" }".into(), "none of its sources was read"),
        ("density = { value = 1000, low = 1000, high = 1000, unit = \"kg/m3\", standing = \"sure\", source = \"x\" }".into(), "allowed are"),
        ("density = { value = 1000, low = 1000, high = 1000, unit = \"kg/m3\", standing = \"remembered\", source = \"handbook-remembered\" }".into(), "nearest: handbooks-remembered"),
        ("density = { value = 1000, low = 1000, high = 1000, unit = \"kg/m3\", standing = \"remembered\", source = [] }".into(), "no number without one"),
        ("density = 1000".into(), "density"),
        ("density = { }".into(), "missing"),
    ] {
        let told = told(&abs(&line));
        assert!(told.contains(expected), "{line}\n{told}");
        assert!(told.contains("materials.abs.properties"), "{told}");
        assert!(told.contains("line 3"), "{told}");
    }
}

#[test]
fn all_faults_come_at_once() {
    let text = abs(&format!(
        "density = {{ value = 1, low = 1, high = 1, unit = \"mm\", {END}\nlimp = {{ value = 1, low = 2, high = 3, unit = \"kg\", {END}"
    ));
    assert!(faults(&text).len() >= 2);
}

#[test]
fn names_stay_unambiguous() {
    assert!(told("schema = 1\n[materials.abss]\n").contains("abs"));
    assert!(told("schema = 1\n[materials.polycarbonate]\n").contains("another name of pc"));
    assert!(told("schema = 1\n[materials.\"My Sheet\"]\n").contains("my-sheet"));
    assert!(told("schema = 1\n[materials.abs]\naliases = [\"PVC\"]\n").contains("also stands for"));
    let twice =
        "schema = 1\n[sources.trade-stock]\nauthor = \"a\"\ntitle = \"t\"\nhow = \"trade\"\n";
    assert!(told(twice).contains("choose another"));
    let unused = "schema = 1\n[sources.mine]\nauthor = \"a\"\ntitle = \"t\"\nhow = \"trade\"\n";
    assert!(told(unused).contains("no number names it"));
}

#[test]
fn hostile_names_and_draws_are_refused() {
    let catalogue = Catalogue::standard().unwrap();
    for name in ["", "../../etc", "abs\0", &"x".repeat(100_000)] {
        assert!(
            matches!(catalogue.get(name), Err(Error::Unknown { .. })),
            "{name:.20}"
        );
    }
    let mut p = catalogue.get("abs").unwrap().properties();
    let before = p.clone();
    for value in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1e9] {
        assert!(matches!(
            p.set(Property::Density, value),
            Err(Error::OutOfRange { .. })
        ));
    }
    assert_eq!(p, before);
    let mut steel = catalogue.get("steel").unwrap().properties();
    assert!(matches!(
        steel.need(Property::Vicat),
        Err(Error::Impossible { .. })
    ));
    assert!(steel.set(Property::Conductivity, 50.0).is_ok());
    assert!(Table::new(vec![f64::INFINITY], vec![1.0]).is_err());
}
