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
    let text = include_str!("../../demo-data/pillar-pods.toml")
        .replace("name = \"right pod\"", "name = \"left pod\"")
        .replace("start = \"2026-12-01 08:30\"", "start = \"tomorrow\"");
    let message = JobFile::parse("demo", &text, &names())
        .unwrap_err()
        .to_string();
    assert!(
        message.contains("straps[1].name: a part called \"left pod\" stands already"),
        "{message}"
    );
    assert!(message.contains("2026-12-01 08:30"), "{message}");
}
