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
