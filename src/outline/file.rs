//! A traced drawing from a file beside the job: inside its folder, of bounded size, DXF or SVG.

use std::fs::File;
use std::io::Read;
use std::path::{Component, Path};

use super::{Traced, Unit, read_dxf, read_svg};
use crate::error::{Error, Result};

/// Largest file. [bytes]
const MOST_BYTES: u64 = 64 << 20;

/// Reads the parts of a traced drawing; `name` is its path from `folder` and ends in `.dxf` or `.svg`.
///
/// Only a plain file inside the folder is read: no absolute path, no `..`, no device, at most 64 MiB.
///
/// # Errors
/// [`Error::Shape`] for a path or a file that is refused, [`Error::Io`] where it cannot be read, else as
/// [`read_dxf`] and [`read_svg`].
pub fn read_file(folder: &Path, name: &str, unit: Unit) -> Result<Traced> {
    let shown: String = name.chars().take(200).collect();
    let refused = |given: String, allowed: &str| Error::Shape {
        what: format!("drawing file \"{shown}\""),
        given,
        allowed: allowed.into(),
    };
    let path = Path::new(name);
    let inside = path
        .components()
        .all(|c| matches!(c, Component::Normal(_) | Component::CurDir));
    if name.is_empty() || !inside {
        return Err(refused(
            "a path that leaves the job's folder".into(),
            "a path from the job file, such as \"drawings/ring.dxf\"",
        ));
    }
    let kind = path
        .extension()
        .and_then(|e| e.to_str())
        .map(str::to_ascii_lowercase);
    if !matches!(kind.as_deref(), Some("dxf" | "svg")) {
        return Err(refused(
            "another kind of file".into(),
            "a file that ends in .dxf or .svg",
        ));
    }
    let full = folder.join(path);
    let at = full.display().to_string();
    let facts = std::fs::metadata(&full).map_err(|e| Error::io(&at, &e))?;
    if !facts.is_file() {
        return Err(refused("no plain file".into(), "a plain file"));
    }
    if facts.len() > MOST_BYTES {
        return Err(refused(
            format!("{} bytes", facts.len()),
            "at most 67108864 bytes: keep only the contours of the parts in the file",
        ));
    }
    // The file may grow while it is read; no more than the limit is taken.
    let mut bytes = vec![];
    File::open(&full)
        .and_then(|f| f.take(MOST_BYTES).read_to_end(&mut bytes))
        .map_err(|e| Error::io(&at, &e))?;
    // Names of layers may stand in an old encoding; numbers never do.
    let text = String::from_utf8_lossy(&bytes);
    if kind.as_deref() == Some("svg") {
        read_svg(&shown, &text)
    } else {
        read_dxf(&shown, &text, unit)
    }
}
