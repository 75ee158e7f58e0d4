//! The demo files, and faults between keys.

use super::*;
use crate::file::Names;
use crate::shop::ShopFile;

fn names() -> Names {
    crate::plan::names().unwrap()
}

#[test]
fn the_demo_files_are_read() {
    let names = names();
    for text in [
        include_str!("../../demo-data/pillar-pods.toml"),
        include_str!("../../demo-data/door-rings.toml"),
    ] {
        JobFile::parse("demo", text, &names).unwrap();
    }
    ShopFile::parse("demo", include_str!("../../demo-data/shop.toml"), &names).unwrap();
}

#[test]
fn faults_between_keys_are_named_with_their_line() {
    let pods = include_str!("../../demo-data/pillar-pods.toml");
    let faults = |from: &str, to: &str| {
        let found = JobFile::parse("demo", &pods.replace(from, to), &names());
        found.unwrap_err().to_string()
    };
    let message = faults("name = \"right pod\"", "name = \"left pod\"");
    assert!(
        message.contains("straps[1].name: a part called \"left pod\" stands already"),
        "{message}"
    );
    let message = faults("start = \"2026-12-01 08:30\"", "start = \"tomorrow\"");
    assert!(
        message.contains("line 7: start: is \"tomorrow\", expected"),
        "{message}"
    );
}

/// One fault in each section, of every sort: of a value, between keys, and of a part that cannot be made as measured.
#[test]
fn faults_of_all_parts_come_at_once() {
    let text = include_str!("../../demo-data/dash-pods.toml")
        // Of values.
        .replace("width = \"96 mm ± 0.5 mm\"", "width = \"96 mn\"")
        .replace(
            "start = \"2026-12-04 08:30\"",
            "start = \"2026-13-04 08:30\"",
        )
        // Between keys, in a part without a fault of values.
        .replace("cone_travel = \"6 mm\"\n", "")
        // A radius that no sheet takes: it shows when the part is planned.
        .replacen("inside_radius = \"6 mm\"", "inside_radius = \"0.5 mm\"", 1);
    let names = names();
    let shop = include_str!("../../demo-data/shop.toml");
    let shop = ShopFile::parse("demo", shop, &names).unwrap();
    let materials = crate::material::Catalogue::standard().unwrap();
    let faulty = JobFile::parse_or_rest("demo", &text, &names).unwrap_err();
    let told = faulty.error_with(|rest| crate::plan::try_parts(rest, &shop, materials));
    let told = told.to_string();
    for part in [
        "start: ",
        "pods[0].width: is \"96 mn\"",
        "grilles[0].cone_travel: the room for the cone",
        "folded[0].folds[0].inside_radius: inside_radius is 0.5 mm",
    ] {
        assert!(told.contains(part), "{part}\n--- in ---\n{told}");
    }
    assert!(told.contains("4 faults"), "{told}");
    for problem in told.lines().skip(1).filter(|l| l.contains("inside_radius")) {
        let line: usize = problem.trim()["line ".len()..]
            .split(':')
            .next()
            .unwrap()
            .parse()
            .unwrap();
        let from_there = text.lines().nth(line - 1).unwrap();
        assert!(from_there.contains("inside_radius"), "{line}: {from_there}");
    }
}

/// What is left out keeps its number: a fault of the last strap is told of the last one.
#[test]
fn parts_keep_their_numbers_where_others_are_at_fault() {
    let pods = include_str!("../../demo-data/pillar-pods.toml");
    let (before, second) = pods.split_at(pods.rfind("[[straps]]").unwrap());
    let broken = before.replacen("body_mass = ", "body_mas = ", 1);
    let lost = second.replacen("[[straps]]", "[[straps]]\nwire_forward = \"3 mm\"", 1);
    let told = JobFile::parse("demo", &format!("{broken}{lost}"), &names());
    let told = told.unwrap_err().to_string();
    assert!(told.contains("straps[0].body_mas: unknown key"), "{told}");
    assert!(told.contains("straps[2].wire_forward: a notch"), "{told}");
    // A place that is at fault makes no fault of the parts that name it.
    let place = pods.replacen("airbag = \"no\"", "airbag = \"perhaps\"", 1);
    let told = JobFile::parse("demo", &place, &names()).unwrap_err();
    assert!(told.to_string().contains("1 fault"), "{told}");
}
